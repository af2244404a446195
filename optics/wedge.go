package optics

import (
	"fmt"
	"math"

	"platewright/measure"
)

// Wedge is the depth of a camera with turned standards: between two planes that meet the sharp plane in the
// hinge line [ViewFocus1996]. Each plane is the vector p of p·X = 1, per millimetre.
type Wedge struct {
	Near, Sharp, Far [3]float64
}

// Wedge returns the planes that a plate moved parallel to itself to either end of its play would be sharp on.
//
// It is the view camera's usual reckoning, for a flat field: play along the z axis as for a square plate. How wide a certain
// point is drawn, [Setup.Spot] tells; for lens and plate square to each other the two agree.
func (s Setup) Wedge(blur measure.Length) (Wedge, error) {
	if err := s.Check(); err != nil {
		return Wedge{}, err
	}
	if err := measure.Within("blur", float64(blur), float64(LeastBlur), float64(GreatestBlur), "mm"); err != nil {
		return Wedge{}, err
	}
	st := s.stand()
	e := -st.w.dot(st.exit) // extension of a plate through the middle of the exit pupil
	k := float64(blur) / (2 * st.r)
	if !(st.e > e) || k >= 1 {
		return Wedge{}, fmt.Errorf("a blur of %g mm is as wide as the bundle of light at the plate, so it has no limits; give a smaller blur or open the stop", float64(blur))
	}
	p := s.Camera.SharpPlane()
	w := Wedge{Near: p, Sharp: p, Far: p}
	// The image of a limit lies where (v' - e)/(v - e) = 1/(1 ∓ c/(pD)), and p = q + a/f with q = -w/v: for a
	// thin lens p_z moves by ±c/(Dv).
	near := e + (st.e-e)/(1-k)
	far := e + (st.e-e)/(1+k)
	for i, wi := range st.w {
		w.Near[i] += wi * (1/st.e - 1/near)
		w.Far[i] += wi * (1/st.e - 1/far)
	}
	return w, nil
}

// Depth returns where the line through (x, y) parallel to the z axis crosses the three planes. A limit that it
// does not cross before the lens is endless: with a lens turned far enough the wedge opens to infinity.
func (w Wedge) Depth(x, y measure.Length) (near, sharp, far measure.Length, endless bool, err error) {
	z := func(p [3]float64) float64 { return (1 - p[0]*float64(x) - p[1]*float64(y)) / p[2] }
	n, s, f := z(w.Near), z(w.Sharp), z(w.Far)
	if !(n > 0) || !(s > 0) || math.IsInf(s, 0) || math.IsInf(n, 0) {
		return 0, 0, 0, false, fmt.Errorf("the sharp plane does not cross the line at [%g, %g] mm before the lens; less turn of the standards would bring it there", float64(x), float64(y))
	}
	if !(f > 0) || f > 1e12 {
		return measure.Length(n), measure.Length(s), 0, true, nil
	}
	return measure.Length(n), measure.Length(s), measure.Length(f), false, nil
}
