package optics

import (
	"errors"
	"fmt"
	"math"

	"platewright/measure"
)

// ErrNoSpot: the light of a point does not reach the plate as a spot: the plate's plane cuts the cone of
// rays before the exit pupil or runs along it.
var ErrNoSpot = errors.New("the plate does not lie across the light of that point behind the lens; less tilt or swing, or more extension, would bring it there")

// ErrTooCurved: so far from the axis the focal surface has bent back to the exit pupil or on itself, as a curve does that was fitted
// near the axis.
var ErrTooCurved = errors.New("so far from the lens's axis the focal surface bends back on itself, so nothing can be told of the focus; ask for a place nearer the axis, or give a curve that holds there")

// InsideFocal says that a point lies too near the lens to have an image behind it.
type InsideFocal struct {
	At       Point
	Distance measure.Length // from the lens, along its axis
	Focal    measure.Length
}

func (e *InsideFocal) Error() string {
	return fmt.Sprintf("the point [%.5g, %.5g, %.5g] mm lies %.5g mm before the lens along its axis, not beyond its focal length of %g mm, so no extension makes it sharp; move it farther away or take a shorter lens",
		float64(e.At.X), float64(e.At.Y), float64(e.At.Z), float64(e.Distance), float64(e.Focal))
}

// Spot is the image of a point on the plate, by geometry alone: diffraction and spherical aberration
// are not in it.
type Spot struct {
	At          PlatePoint     // where the chief ray, through the middles of the pupils, meets the plate
	Long, Short measure.Length // axes of the blur ellipse on the plate
	Behind      measure.Length // focus behind the plate along the z axis, negative before it; of two foci, their mean
}

// Spot returns the image of a point.
//
// The disc of the exit pupil, of diameter pD and f(1-p) behind the rear principal plane, square to the lens's axis,
// is projected through the point's image onto the plate, both tilted as they may be. The projection of a
// circle from a point is a conic, and its axes here are exact. With astigmatism the rays of the radial
// section aim at the tangential focus and those across it at the sagittal one, and on a plate that leans to the lens
// the figure is no conic: a term in the product of the two pupil coordinates is left out, which shifts opposite
// rays alike. With k the pupil's radius over its distance from the plate, times the plate's slope to the lens, Long is then good to
// 2k² of itself and Short to k of Long: one part in 500 and one in 30 for a 450 mm lens at f/4.5 on a plate leaning 20 degrees.
func (s Setup) Spot(p Point) (Spot, error) {
	if err := s.Check(); err != nil {
		return Spot{}, err
	}
	st := s.stand()
	ray, zeta, err := st.rayOf(p)
	if err != nil {
		return Spot{}, err
	}
	tangential, sagittal, ok := s.foci(&ray, zeta)
	reach := ray.toPlate(&st)
	if !ok {
		return Spot{}, ErrTooCurved
	}
	if !(reach > 0) {
		return Spot{}, ErrNoSpot
	}
	long, short, ok := ray.width(&st, 1/tangential, 1/sagittal, reach)
	if !ok {
		return Spot{}, ErrNoSpot
	}
	return Spot{
		At:   s.onPlate(&st, st.exit.plus(ray.c.times(reach))),
		Long: measure.Length(long), Short: measure.Length(short),
		Behind: measure.Length(((tangential+sagittal)/2 - reach) * -ray.c[2]),
	}, nil
}

// ray is a chief ray behind the lens and what its bundle does on the plate. Along it zeta counts from the exit
// pupil, measured along the lens's axis.
type ray struct {
	c    vec     // direction, of length 1 along the axis
	tau  float64 // slope to the axis
	wc   float64 // w·c, negative
	r, s [2]float64
	k    [2]float64
}

// onAxis is the slope below which a ray counts as the axis, where radial is any direction.
const onAxis = 1e-9

// newRay prepares the chief ray whose direction is the lens's axis, backward, and side.
//
// A pupil point (ρ, σ), radial and across, sends a ray along c - ρ r̂/ζt - σ ŝ/ζs. It meets the plate off the chief
// ray by A(ρ, σ)/(1 - k·(ρ, σ)); r and s are the columns of A for unit defocus, in the plate's own
// directions, and k what a pupil point gains in slope toward the plate, to be divided by ζ.
func newRay(st *stand, side vec) ray {
	side = side.minus(st.a.times(st.a.dot(side))) // square to the axis but for rounding: to the last digit
	c := side.minus(st.a)
	y := ray{c: c, wc: st.w.dot(c), tau: side.length()}
	r := vec{0, st.a[2], -st.a[1]}
	if y.tau > onAxis {
		r = side
	}
	r = r.times(1 / r.length())
	// ŝ = a × r̂
	s := vec{st.a[1]*r[2] - st.a[2]*r[1], st.a[2]*r[0] - st.a[0]*r[2], st.a[0]*r[1] - st.a[1]*r[0]}
	y.k = [2]float64{st.w.dot(r) / y.wc, st.w.dot(s) / y.wc}
	br, bs := r.minus(c.times(y.k[0])), s.minus(c.times(y.k[1]))
	y.r = [2]float64{br.dot(st.ex), br.dot(st.ey)}
	y.s = [2]float64{bs.dot(st.ex), bs.dot(st.ey)}
	return y
}

// rayOf returns the chief ray of a point and where on it its ideal image lies.
func (st *stand) rayOf(p Point) (ray, float64, error) {
	x := vec{float64(p.X), float64(p.Y), float64(p.Z)}
	far := st.a.dot(x)
	beyond := far - st.f
	if !(beyond > 0) || math.IsInf(x.dot(x), 0) {
		return ray{}, 0, &InsideFocal{At: p, Distance: measure.Length(far), Focal: measure.Length(st.f)}
	}
	zeta := st.f * (st.p + st.f/beyond)                           // f² / (s-f) behind the rear focal point
	side := x.minus(st.a.times(far)).times(-st.f / beyond / zeta) // the image's height over zeta
	return newRay(st, side), zeta, nil
}

// toPlate returns zeta where the ray meets the plate.
func (y *ray) toPlate(st *stand) float64 { return -(st.e + st.w.dot(st.exit)) / y.wc }

// foci returns where the tangential and the sagittal focus lie of a point whose ideal image is at zeta.
func (s *Setup) foci(y *ray, zeta float64) (tangential, sagittal float64, ok bool) {
	h := zeta * y.tau
	tangential = zeta - s.Surface.Tangential.nearer(h) + float64(s.Shift)
	sagittal = zeta - s.Surface.Sagittal.nearer(h) + float64(s.Shift)
	return tangential, sagittal, tangential > 0 && sagittal > 0
}

// width returns the axes of the ellipse in which the plate at reach cuts the bundle with the two
// foci at the reciprocals t and s.
func (y *ray) width(st *stand, t, s, reach float64) (long, short float64, ok bool) {
	// The disc of radius R under ρ -> ρ/(1 - k·ρ) is an ellipse: R/(1-g) along k and R/√(1-g) across, g = R²k².
	kr, ks := y.k[0]*t, y.k[1]*s
	rest := 1 - st.r*st.r*(kr*kr+ks*ks) // 1 - g
	if !(rest > 0) || !(y.wc < 0) {
		return 0, 0, false
	}
	root := math.Sqrt(rest)
	even, along := 1/root, st.r*st.r/(rest*(1+root))
	// What follows is the largest and the least stretch of A·(even I + along k kᵀ).
	ar, as := 1-reach*t, 1-reach*s
	a, c := ar*y.r[0], ar*y.r[1]
	b, d := as*y.s[0], as*y.s[1]
	ak, ck := along*(a*kr+b*ks), along*(c*kr+d*ks)
	a, b = even*a+ak*kr, even*b+ak*ks
	c, d = even*c+ck*kr, even*d+ck*ks
	sum := math.Sqrt((a+d)*(a+d) + (c-b)*(c-b))
	difference := math.Sqrt((a-d)*(a-d) + (b+c)*(b+c))
	long = (sum + difference) * st.r
	short = math.Abs(sum-difference) * st.r
	return long, short, true
}

// FocusOn returns the set-up with the extension at which the point's blur is least: none without
// astigmatism, with it the smallest long axis, between the two foci.
func (s Setup) FocusOn(p Point) (Setup, error) {
	if err := s.Check(); err != nil {
		return Setup{}, err
	}
	st := s.stand()
	ray, zeta, err := st.rayOf(p)
	if err != nil {
		return Setup{}, err
	}
	tangential, sagittal, ok := s.foci(&ray, zeta)
	if !ok {
		return Setup{}, ErrTooCurved
	}
	if !(ray.wc < 0) {
		return Setup{}, ErrNoSpot
	}
	reach := tangential
	if tangential != sagittal {
		reach = LeastOf(min(tangential, sagittal), max(tangential, sagittal), 1e-15*max(tangential, sagittal), func(reach float64) float64 {
			long, _, ok := ray.width(&st, 1/tangential, 1/sagittal, reach)
			if !ok {
				return math.MaxFloat64
			}
			return long
		})
	}
	s.Camera.Extension = measure.Length(-ray.wc*reach - st.w.dot(st.exit))
	if err := s.Check(); err != nil {
		return Setup{}, err
	}
	return s, nil
}

// LeastOf returns where a function with one valley between low and high is least, by the golden section: to within that
// distance, or as near as sixteen digits go.
func LeastOf(low, high, within float64, f func(float64) float64) float64 {
	const part = 0.6180339887498949
	a, b := high-part*(high-low), low+part*(high-low)
	fa, fb := f(a), f(b)
	for range 80 {
		if high-low <= within {
			break
		}
		if fa < fb {
			high, b, fb = b, a, fa
			a = high - part*(high-low)
			fa = f(a)
		} else {
			low, a, fa = a, b, fb
			b = low + part*(high-low)
			fb = f(b)
		}
	}
	return (low + high) / 2
}
