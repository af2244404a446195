package optics

import (
	"errors"
	"fmt"
	"math"

	"platewright/measure"
)

// Why no plane of sharpness or no set-up was found.
var (
	// ErrInLine: the points lie on one straight line (or on one spot) and fix no plane.
	ErrInLine = errors.New("the three points are in line with each other, so they fix no plane; choose one aside of the line of the other two")
	// ErrThroughLens: the plane passes through the lens and has no image but its own trace.
	ErrThroughLens = errors.New("the plane through the three points passes through the lens; move the camera up, down or aside, or choose another third point")
	// ErrBeyondMovements: no movement of that standard images the plane onto a flat plate behind the lens.
	ErrBeyondMovements = errors.New("no movement reaches the plane")
)

// GreatestReach is the farthest coordinate a point may have.
const GreatestReach measure.Length = 1e6

// relativeFloor is the part of the largest coordinate below which a distance counts as nothing: with sixteen
// digits carried, what is left of it above this floor is still good to one part in a million.
const relativeFloor = 1e-9

// steepest is the greatest slope of a standard that is answered, 89.994 degrees: beyond it the angle
// no longer carries the digits of the slope.
const steepest = 1e4

// Point is a point before the lens, seen from its front principal point.
type Point struct {
	X measure.Length // to the photographer's right
	Y measure.Length // up
	Z measure.Length // toward the sitter
}

// Image is the image of a point, seen from the rear principal point.
type Image struct {
	X measure.Length // to the photographer's right
	Y measure.Length // up
	Z measure.Length // backward
}

// Plane is a plane in front of the camera that does not pass through the lens: the points X with
// n·X = d, d positive, and the point it was built from.
type Plane struct {
	n vec
	d float64
	x vec // one point of the plane
}

// Through returns the plane through three points.
func Through(points [3]Point) (Plane, error) {
	var v [3]vec
	reach := 0.0
	for i, p := range points {
		v[i] = vec{float64(p.X), float64(p.Y), float64(p.Z)}
		for axis, c := range v[i] {
			if !(math.Abs(c) <= float64(GreatestReach)) {
				name := fmt.Sprintf("point %d %s", i+1, [3]string{"x", "y", "z"}[axis])
				return Plane{}, measure.Within(name, c, -float64(GreatestReach), float64(GreatestReach), "mm")
			}
			reach = max(reach, math.Abs(c))
		}
	}
	a, b := v[1].minus(v[0]), v[2].minus(v[0])
	n := a.cross(b)
	longest := max(a.length(), b.length(), v[2].minus(v[1]).length())
	// The triangle's least height is its doubled area over its longest side.
	if n.length() <= relativeFloor*reach*longest {
		return Plane{}, ErrInLine
	}
	d := n.dot(v[0])
	if math.Abs(d) <= 4*relativeFloor*reach*n.length() {
		return Plane{}, ErrThroughLens
	}
	if d < 0 {
		n, d = n.times(-1), -d
	}
	return Plane{n: n, d: d, x: v[0]}, nil
}

// Intercepts returns the plane as the vector p of p·X = 1, per millimetre: the reciprocals of where the
// plane meets the three axes.
func (pl Plane) Intercepts() [3]float64 { return pl.n.times(1 / pl.d) }

// Camera is a view camera with its movements: a lens that turns about its principal point and a
// plate that turns about the point where it meets the z axis.
type Camera struct {
	Focal     measure.Length
	Lens      Movement       // of the lens board
	Back      Movement       // of the plate
	Extension measure.Length // along z, from the lens to the plate
}

// Movement is how a standard stands: Tilt is the slope of its upright and Swing the slope of its
// level line, positive when the top or the right-hand side leans backward. The order in
// which the two were set does not enter.
type Movement struct {
	Tilt  measure.Angle
	Swing measure.Angle
}

// Total returns the angle between the standard and its square position.
func (m Movement) Total() measure.Angle {
	return measure.Angle(math.Atan(math.Hypot(math.Tan(float64(m.Tilt)), math.Tan(float64(m.Swing)))))
}

// TiltOnSwing returns the tilt to set on a camera whose tilt axis turns with the swing; the swing to set is
// [Movement.Swing].
func (m Movement) TiltOnSwing() measure.Angle {
	return measure.Angle(math.Atan(math.Tan(float64(m.Tilt)) * math.Cos(float64(m.Swing))))
}

// SwingOnTilt returns the swing to set on a camera whose swing axis leans with the tilt; the tilt to set
// is [Movement.Tilt].
func (m Movement) SwingOnTilt() measure.Angle {
	return measure.Angle(math.Atan(math.Tan(float64(m.Swing)) * math.Cos(float64(m.Tilt))))
}

// normal returns the unit normal of the standard, toward the sitter.
func (m Movement) normal() vec {
	// The standard holds z' = x tan(swing) + y tan(tilt), and z = -z'.
	n := vec{math.Tan(float64(m.Swing)), math.Tan(float64(m.Tilt)), 1}
	return n.times(1 / n.length())
}

// Axis returns the unit vector along the lens's axis, toward the sitter.
func (c Camera) Axis() [3]float64 { return c.Lens.normal() }

// ByBack returns the camera whose square lens images the plane onto a tilted and swung back.
func (pl Plane) ByBack(focal measure.Length) (Camera, error) {
	if err := checkFocal(focal); err != nil {
		return Camera{}, err
	}
	f := float64(focal)
	// Plane p·X = 1, plate q·X' = 1 and axis a are tied by q = p - a/f. With a along z and p = n/d
	// the plate is z' = (f d - f n_x x' - f n_y y')/w, w = d - f n_z = n·(X - F), F the front
	// focal point; the latter form does not cancel for a plane close to F.
	w := pl.fromFocus(f)
	switch {
	case w <= 0:
		return Camera{}, fmt.Errorf("%w: it crosses the lens's axis no farther than the focal length, where a square lens gives it no image the back could hold; move the camera farther away or take a shorter lens", ErrBeyondMovements)
	case w <= relativeFloor*pl.spread(f):
		return Camera{}, fmt.Errorf("%w: it passes so near the front focal point that its image is out of reach; move the camera farther away or take a shorter lens", ErrBeyondMovements)
	}
	if f*math.Hypot(pl.n[0], pl.n[1]) > steepest*w {
		return Camera{}, fmt.Errorf("%w: the back would lie along the lens's axis, turned by 90 degrees but for a hair; move the camera farther from the plane", ErrBeyondMovements)
	}
	return Camera{
		Focal: focal,
		Back: Movement{
			Tilt:  measure.Angle(math.Atan(0 - f*pl.n[1]/w)),
			Swing: measure.Angle(math.Atan(0 - f*pl.n[0]/w)),
		},
		Extension: measure.Length(f * pl.d / w),
	}, nil
}

// ByFront returns the camera whose lens, turned about its principal point, images the plane onto a
// square plate.
func (pl Plane) ByFront(focal measure.Length) (Camera, error) {
	if err := checkFocal(focal); err != nil {
		return Camera{}, err
	}
	f := float64(focal)
	// q along z asks for a_x = f p_x, a_y = f p_y; a being a unit vector, a_z is what is left.
	s := f * math.Hypot(pl.n[0], pl.n[1]) / pl.d // sine of the lens's whole turn, f/J
	if s >= 1-0.5/(steepest*steepest) {
		return Camera{}, fmt.Errorf("%w: beside the lens it passes within one focal length of it (%.4g mm), and a hinge line so near needs a turn of 90 degrees or more; turn the back instead, take a shorter lens, or move the camera away from the plane", ErrBeyondMovements, f/s)
	}
	az := math.Sqrt((1 - s) * (1 + s))
	// v = 1/(a_z/f - p_z) = f d/(a_z d - f n_z), with d - f n_z taken as in ByBack.
	w := pl.fromFocus(f) - pl.d*s*s/(1+az)
	switch {
	case w <= 0:
		return Camera{}, fmt.Errorf("%w: with the plate square its image does not fall behind the lens; turn the back as well, or move the camera farther away", ErrBeyondMovements)
	case w <= relativeFloor*pl.spread(f):
		return Camera{}, fmt.Errorf("%w: with the plate square its image is out of reach behind the lens; turn the back as well, or move the camera farther away", ErrBeyondMovements)
	}
	return Camera{
		Focal: focal,
		Lens: Movement{
			Tilt:  measure.Angle(math.Atan(0 + f*pl.n[1]/(pl.d*az))),
			Swing: measure.Angle(math.Atan(0 + f*pl.n[0]/(pl.d*az))),
		},
		Extension: measure.Length(f * pl.d / w),
	}, nil
}

// fromFocus returns n·(X - F), F the front focal point of a square lens.
func (pl Plane) fromFocus(f float64) float64 {
	return pl.n[0]*pl.x[0] + pl.n[1]*pl.x[1] + pl.n[2]*(pl.x[2]-f)
}

// spread returns the size of the terms that fromFocus adds up.
func (pl Plane) spread(f float64) float64 {
	return math.Abs(pl.n[0]*pl.x[0]) + math.Abs(pl.n[1]*pl.x[1]) + math.Abs(pl.n[2]*(pl.x[2]-f))
}

// Image returns the image of a point through the turned lens. The point must lie beyond the lens's
// front focal plane; the image of one on that plane is at infinity, and a [*InsideFocal].
func (c Camera) Image(p Point) (Image, error) {
	f := float64(c.Focal)
	x := vec{float64(p.X), float64(p.Y), float64(p.Z)}
	a := c.Lens.normal()
	beyond := a.dot(x) - f
	if a[0] == 0 && a[1] == 0 {
		beyond = x[2] - f
	}
	if !(beyond > 0) {
		return Image{}, &InsideFocal{At: p, Distance: measure.Length(a.dot(x)), Focal: c.Focal}
	}
	i := x.times(-f / beyond) // X' = f X/(f - a·X)
	return Image{X: measure.Length(i[0]), Y: measure.Length(i[1]), Z: measure.Length(-i[2])}, nil
}

// Off returns how far an image lies behind the plate, square to the plate; negative before it.
func (c Camera) Off(i Image) measure.Length {
	n := c.Back.normal()
	// n is (tan swing, tan tilt, 1) shortened to one.
	return measure.Length(n[2]*(float64(i.Z)-float64(c.Extension)) - n[0]*float64(i.X) - n[1]*float64(i.Y))
}

// Hinge is the line about which the plane of sharpness swings when the camera is refocused: where the
// front focal plane meets the plane through the lens parallel to the plate [ViewFocus1996].
type Hinge struct {
	Distance measure.Length // from the lens, square to the line
	Foot     Point          // the point of the line nearest the lens
}

// Hinge returns the hinge line, or false when lens and plate are parallel and there is none.
// The sine of the angle between lens and plate is the focal length over the hinge's distance.
func (c Camera) Hinge() (Hinge, bool) {
	a, b := c.Lens.normal(), c.Back.normal()
	// Foot: in the plane b·X = 0 the point of a·X = f nearest the lens lies along a - (a·b)b,
	// whose length is the sine of the angle; through the cross product, so that small angles keep their digits.
	side := b.cross(a.cross(b)) // = a - (a·b)b for unit b
	sin := side.length()
	if sin == 0 {
		return Hinge{}, false
	}
	f := float64(c.Focal)
	foot := side.times(f / (sin * sin))
	return Hinge{
		Distance: measure.Length(f / sin),
		Foot:     Point{measure.Length(foot[0]), measure.Length(foot[1]), measure.Length(foot[2])},
	}, true
}

// SharpPlane returns the plane the camera is focused on, as the vector p of p·X = 1: p = q + a/f.
func (c Camera) SharpPlane() [3]float64 {
	// The plate z' = E + x' tan(swing) + y' tan(tilt) is q·X' = 1 with q = -(tan swing, tan tilt, 1)/E.
	E, f := float64(c.Extension), float64(c.Focal)
	a := c.Lens.normal()
	return [3]float64{
		a[0]/f - math.Tan(float64(c.Back.Swing))/E,
		a[1]/f - math.Tan(float64(c.Back.Tilt))/E,
		a[2]/f - 1/E,
	}
}

// Refocus returns by how much the plate is to be moved back after the lens was turned: the extension
// less that of the same camera with lens and plate square, focused on the spot where the plane of
// sharpness meets the z axis (1/v = 1/f - 1/z, whatever the sign of that z).
func (c Camera) Refocus() measure.Length {
	// 1/v0 = 1/f - p_z and, for a square plate, 1/v = a_z/f - p_z: v - v0 = v v0 (1 - a_z)/f.
	a, v, f := c.Lens.normal(), float64(c.Extension), float64(c.Focal)
	lost := (a[0]*a[0] + a[1]*a[1]) / (1 + a[2]) / f // (1 - a_z)/f
	return measure.Length(v * lost / (1/v + lost))
}
