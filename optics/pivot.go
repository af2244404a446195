package optics

import (
	"errors"
	"fmt"
	"math"

	"platewright/measure"
)

// Pivoted is a camera whose lens turned about an axis in its board and not about its principal point.
type Pivoted struct {
	Camera Camera         // seen from where the front principal point came to lie
	Moved  Point          // by how much that point moved
	Points [3]Point       // the three points, seen from there
	Board  measure.Length // from the board's axis to the plate along z, the principal planes taken as one
}

// AboutBoard solves for three points, seen from the front principal point of the square lens, on a camera whose lens turns
// about an axis in its board, ahead of which the front principal point lies by ahead (negative behind it). Turning
// carries that point sideways and so changes the question; it is asked again from the new place until it
// stands still. Solve answers the question for one plane: [Plane.ByFront] or [Plane.WithinLimits] with
// their other arguments bound.
func AboutBoard(points [3]Point, ahead measure.Length, solve func(Plane) (Camera, error)) (Pivoted, error) {
	if err := measure.Within("front principal point ahead of the board", float64(ahead), -float64(GreatestFocal), float64(GreatestFocal), "mm"); err != nil {
		return Pivoted{}, err
	}
	b := float64(ahead)
	var moved vec
	for range 100 {
		seen := points
		for i := range seen {
			seen[i].X -= measure.Length(moved[0])
			seen[i].Y -= measure.Length(moved[1])
			seen[i].Z -= measure.Length(moved[2])
		}
		pl, err := Through(seen)
		if err != nil {
			return Pivoted{}, err
		}
		c, err := solve(pl)
		if err != nil {
			return Pivoted{}, err
		}
		a := c.Lens.normal()
		next := vec{b * a[0], b * a[1], -b * (a[0]*a[0] + a[1]*a[1]) / (1 + a[2])} // b(a - z)
		if d := next.minus(moved); d.length() <= 1e-13*math.Abs(b) {
			// The plate where the board's axis lies, which is b·a behind the principal point.
			depth := float64(c.Extension) - b*a[0]*math.Tan(float64(c.Back.Swing)) - b*a[1]*math.Tan(float64(c.Back.Tilt))
			return Pivoted{Camera: c, Points: seen, Board: measure.Length(depth - b*a[2]),
				Moved: Point{measure.Length(moved[0]), measure.Length(moved[1]), measure.Length(moved[2])}}, nil
		}
		moved = next
	}
	return Pivoted{}, fmt.Errorf("%w with the lens %.4g mm ahead of the axis it turns about: each turn calls for another; turn the back instead", ErrBeyondMovements, b)
}

// Seen returns the point before a square lens whose image lies there: three points focused one after
// the other by moving the back, each with its reading on the rail and its place on the ground glass, are as good as three
// measured before the camera.
func Seen(focal measure.Length, i Image) (Point, error) {
	if err := checkFocal(focal); err != nil {
		return Point{}, err
	}
	f, z := float64(focal), float64(i.Z)
	if err := measure.Within("focus behind the lens", z, f*(1+LeastMagnification), float64(GreatestExtension), "mm"); err != nil {
		err.(*measure.RangeError).Source = "a point before the camera is in focus beyond the focal length"
		return Point{}, err
	}
	k := f / (z - f) // 1/m
	p := Point{X: measure.Length(-k * float64(i.X)), Y: measure.Length(-k * float64(i.Y)), Z: measure.Length(k * z)}
	if !(math.Abs(float64(p.X)) <= float64(GreatestReach)) || !(math.Abs(float64(p.Y)) <= float64(GreatestReach)) {
		return Point{}, errors.New("the image lies so far aside that its point is out of reach")
	}
	return p, nil
}

// TurnFromGlass returns the turn that brings two points into focus together, found on the ground glass of a square
// camera: they lie apart on it by separation along the direction of the turn, and the back had to move by spread from
// one focus to the other. The back alone is to be turned by back, or the lens alone by front, at the magnification m
// on the axis.
func TurnFromGlass(spread, separation measure.Length, m float64) (back, front measure.Angle, err error) {
	if err := measure.Within("separation on the ground glass", float64(separation), 0.1, float64(GreatestExtension), "mm"); err != nil {
		return 0, 0, err
	}
	if err := measure.Within("spread of the two foci", float64(spread), -float64(GreatestExtension), float64(GreatestExtension), "mm"); err != nil {
		return 0, 0, err
	}
	if err := measure.Within("magnification", m, 0, GreatestMagnification, ""); err != nil {
		return 0, 0, err
	}
	tan := spread.Over(separation)
	sin := tan / (1 + m) // f p_y with p_y = tan β/v and v = f(1+m)
	if math.Abs(sin) >= 1 {
		return 0, 0, fmt.Errorf("%w of the front: foci %.4g mm apart over %.4g mm of ground glass ask for a right angle; use the back", ErrBeyondMovements, float64(spread), float64(separation))
	}
	return measure.Angle(math.Atan(tan)), measure.Angle(math.Asin(sin)), nil
}

// Placed returns the set-up with its plate moved in its own plane so that the point's image falls on a place of the
// plate; [Limits.Check] tells whether the camera's rise, fall and shift allow it.
func (s Setup) Placed(p Point, at PlatePoint) (Setup, error) {
	got, err := s.Spot(p)
	if err != nil {
		return Setup{}, err
	}
	s.Centre.X += at.X - got.At.X
	s.Centre.Y += at.Y - got.At.Y
	if err := s.Check(); err != nil {
		return Setup{}, err
	}
	return s, nil
}
