package trace

import (
	"fmt"
	"math"

	"platewright/measure"
)

// Ray is a place and a direction, in mm; the direction's cosines are L, M and N.
type Ray struct {
	X, Y, Z float64
	L, M, N float64
}

// Cause is why a ray did not come through.
type Cause int

// The causes.
const (
	Missed    Cause = iota + 1 // it passes beside the sphere, or turns back
	Reflected                  // it is totally reflected
	Clipped                    // the rim stops it
	Astray                     // no ray from that point of the sitter was found to that place of the stop
)

// Lost says where and why a ray did not come through.
type Lost struct {
	Surface int // counted from 1
	Cause   Cause
}

func (l *Lost) Error() string {
	switch l.Cause {
	case Reflected:
		return fmt.Sprintf("the ray is totally reflected at surface %d", l.Surface)
	case Clipped:
		return fmt.Sprintf("the rim of surface %d stops the ray", l.Surface)
	case Astray:
		return fmt.Sprintf("no ray was found that reaches that place of the stop at surface %d", l.Surface)
	default:
		return fmt.Sprintf("the ray misses surface %d", l.Surface)
	}
}

// steepest is the least cosine to the axis a ray may have and still count as going on to the plate.
const steepest = 1e-9

// toPlane carries the ray along to the plane z = 0. It returns false when the ray does not go there.
func (r *Ray) toPlane() bool {
	if !(r.N > steepest) {
		return false
	}
	d := -r.Z / r.N
	r.X += d * r.L
	r.Y += d * r.M
	r.Z = 0
	return true
}

// cross brings a ray, counted from the vertex of a surface, through that surface. It returns 0 or why not.
//
// The intersection is in the form that stays exact as the curvature goes to zero: with
// F = c(x² + y²) and G = N - c(Lx + My) on the vertex plane, the way on is F/(G + sqrt(G² - cF)), and
// that root is the cosine of incidence. [Welford1986]
func (f *face) cross(r *Ray, rims bool) Cause {
	if !r.toPlane() {
		return Missed
	}
	c := f.c
	F := c * (r.X*r.X + r.Y*r.Y)
	G := r.N - c*(r.L*r.X+r.M*r.Y)
	square := G*G - c*F
	if !(square >= 0) {
		return Missed
	}
	incidence := math.Sqrt(square)
	below := G + incidence
	if !(below > steepest) {
		return Missed
	}
	way := F / below
	r.X += way * r.L
	r.Y += way * r.M
	r.Z = way * r.N
	if rims && f.rim > 0 && r.X*r.X+r.Y*r.Y > f.rim*f.rim {
		return Clipped
	}
	if f.n == f.next {
		return 0
	}
	mu := f.n / f.next
	square = 1 - mu*mu*(1-incidence*incidence)
	if !(square >= 0) {
		return Reflected
	}
	turn := math.Sqrt(square) - mu*incidence
	r.L = mu*r.L - turn*c*r.X
	r.M = mu*r.M - turn*c*r.Y
	r.N = mu*r.N + turn*(1-c*r.Z)
	return 0
}

// run brings a ray through the surfaces from a first up to and without a last. It is counted from the
// vertex of the first at the start and from the vertex of the one after the last at the end (from
// its own vertex after the whole lens). The second result is the surface where it was lost.
func (o *Optic) run(r *Ray, from, to int, rims bool) (Cause, int) {
	for i := from; i < to; i++ {
		if cause := o.faces[i].cross(r, rims); cause != 0 {
			return cause, i
		}
		r.Z -= o.faces[i].t
	}
	return 0, 0
}

// Trace brings a ray through the whole lens. Z counts from the first vertex on the way in and from
// the last on the way out. The error is a [*Lost], or says what is wrong with the ray given.
func (o Optic) Trace(r Ray) (Ray, error) {
	if err := r.settle(); err != nil {
		return Ray{}, err
	}
	if cause, at := o.run(&r, 0, len(o.faces), true); cause != 0 {
		return Ray{}, &Lost{Surface: at + 1, Cause: cause}
	}
	return r, nil
}

// Path returns the ray at every surface, where it leaves it, with Z from the first vertex: what a
// drawing of the lens needs. When the ray is lost the surfaces it did cross are returned with the error.
func (o Optic) Path(r Ray) ([]Ray, error) {
	if err := r.settle(); err != nil {
		return nil, err
	}
	path := make([]Ray, 0, len(o.faces))
	vertex := 0.0
	for i := range o.faces {
		if cause := o.faces[i].cross(&r, true); cause != 0 {
			return path, &Lost{Surface: i + 1, Cause: cause}
		}
		at := r
		at.Z += vertex
		path = append(path, at)
		r.Z -= o.faces[i].t
		vertex += o.faces[i].t
	}
	return path, nil
}

// settle checks a ray from outside and makes its direction one long.
func (r *Ray) settle() error {
	for _, v := range []struct {
		what string
		v    float64
	}{{"x of the ray", r.X}, {"y of the ray", r.Y}, {"z of the ray", r.Z}} {
		if err := measure.Within(v.what, v.v, -1e9, 1e9, "mm"); err != nil {
			return err
		}
	}
	size := math.Hypot(math.Hypot(r.L, r.M), r.N)
	if !(size > 1e-100 && size < 1e100) {
		return fmt.Errorf("the ray has no direction")
	}
	r.L, r.M, r.N = r.L/size, r.M/size, r.N/size
	if !(r.N > steepest) {
		return fmt.Errorf("the ray does not go toward the plate")
	}
	return nil
}
