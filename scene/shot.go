package scene

import (
	"fmt"

	"platewright/measure"
	"platewright/optics"
	"platewright/pose"
)

// Shot is a camera set up with a sitter before it.
type Shot struct {
	Setup      optics.Setup
	Figure     pose.Figure
	Eyes       optics.Point    // where the figure's origin lies, midway between the eyes
	FocusOn    pose.Landmark   // what the camera is focused on; empty: the nearer eye
	Between    []pose.Landmark // focused so that the foci of all these lie evenly about the plate, not on FocusOn alone
	Blur       measure.Length  // largest blur on the plate that is called sharp
	Wavelength measure.Length  // of the light that makes the picture, for diffraction; 0: diffraction is not looked at
}

// State is how a landmark comes out.
type State string

// States of a landmark, by the long axis of its blur: within the limit, within [SoftBlur] times the limit, beyond.
const (
	Sharp State = "sharp"
	Soft  State = "soft"
	Gone  State = "gone"
)

// SoftBlur is how many times the limit of sharpness a blur may be and still be called soft; a
// convention of ours.
const SoftBlur = 3

// StateOf returns what a blur is called.
func StateOf(blur, limit measure.Length) State {
	switch {
	case blur <= limit:
		return Sharp
	case blur <= SoftBlur*limit:
		return Soft
	}
	return Gone
}

// Mark is a landmark before the camera and on the plate.
type Mark struct {
	Name            pose.Landmark
	At              optics.Point
	On              optics.PlatePoint
	Blur, Short     measure.Length // axes of the geometric blur ellipse on the plate, the longer first
	Behind          measure.Length // how far its focus lies behind the plate; negative before it
	WithDiffraction measure.Length // Blur and the disc of diffraction in quadrature
	State           State          // of Blur
	Seen            bool           // its image falls on the plate
}

// NearerEye returns the eye nearer the camera, the sitter's right eye when both are equally far.
func NearerEye(f pose.Figure) pose.Landmark { return nearer(f, pose.RightEye, pose.LeftEye) }

// nearer returns which of two landmarks is nearer the camera, the first when both are equally far.
func nearer(f pose.Figure, first, second pose.Landmark) pose.Landmark {
	a, _ := f.Landmark(first)
	b, _ := f.Landmark(second)
	if b.Z < a.Z-sameDepth {
		return second
	}
	return first
}

// sameDepth is the difference of depth, in millimetres, that rounding makes.
const sameDepth = 1e-9

// before returns where a point of the figure lies before the camera.
func (s Shot) before(v pose.Vec) optics.Point {
	return optics.Point{
		X: s.Eyes.X + measure.Length(v.X),
		Y: s.Eyes.Y + measure.Length(v.Y),
		Z: s.Eyes.Z + measure.Length(v.Z),
	}
}

// focusOn returns the landmark that the camera is focused on.
func (s Shot) focusOn() pose.Landmark {
	if s.FocusOn == "" {
		return NearerEye(s.Figure)
	}
	return s.FocusOn
}

// At returns where a landmark of the figure lies before the camera.
func (s Shot) At(name pose.Landmark) (optics.Point, error) {
	v, ok := s.Figure.Landmark(name)
	if !ok {
		return optics.Point{}, fmt.Errorf("this figure has no landmark %q", name)
	}
	return s.before(v), nil
}

// Focused returns the shot with the sitter moved along z until the landmark focused on lies in the plane at
// the distance from the front principal plane, and with the camera focused on it: there its blur is
// least, whatever the tilt, the swing and the curve of the field; or with it focused evenly between the landmarks of
// Between, the one of FocusOn still lying at the distance. It is focused by eye: what Setup.Shift moves comes
// after. Where the eyes lie across and up stays.
func (s Shot) Focused(distance measure.Length) (Shot, error) {
	name := s.focusOn()
	v, ok := s.Figure.Landmark(name)
	if !ok {
		return Shot{}, fmt.Errorf("this figure has no landmark %q to focus on", name)
	}
	s.Eyes.Z = distance - measure.Length(v.Z)
	byEye := s.Setup
	byEye.Shift = 0
	set, err := s.focusedBy(byEye, v)
	if err != nil {
		return Shot{}, err
	}
	set.Shift = s.Setup.Shift
	s.Setup = set
	return s, nil
}

// Landmarks returns the figure's landmarks as they come out on the plate, in the figure's order.
func (s Shot) Landmarks() ([]Mark, error) {
	marks := make([]Mark, 0, len(s.Figure.Landmarks))
	for _, l := range s.Figure.Landmarks {
		at := s.before(l.At)
		spot, err := s.Setup.Spot(at)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", l.Name, err)
		}
		marks = append(marks, Mark{
			Name: l.Name, At: at, On: spot.At,
			Blur: spot.Long, Short: spot.Short, Behind: spot.Behind,
			WithDiffraction: optics.Combined(spot.Long, s.Airy(at)),
			State:           StateOf(spot.Long, s.Blur),
			Seen:            s.within(spot.At, 1),
		})
	}
	return marks, nil
}

// Airy returns the diameter of the disc of diffraction of a point in focus; nothing when the shot names no wavelength.
func (s Shot) Airy(p optics.Point) measure.Length {
	a, f := s.Setup.Camera.Axis(), float64(s.Setup.Lens.Focal)
	beyond := a[0]*float64(p.X) + a[1]*float64(p.Y) + a[2]*float64(p.Z) - f
	return optics.Setting{Lens: s.Setup.Lens, Magnification: f / beyond}.Airy(s.Wavelength)
}

// within reports whether a place on the plate lies within k times the plate's sides.
func (s Shot) within(p optics.PlatePoint, k measure.Length) bool {
	size := s.Setup.Plate
	return max(p.X, -p.X) <= k*size.Width/2 && max(p.Y, -p.Y) <= k*size.Height/2
}

func point(x, y, z float64) optics.Point {
	return optics.Point{X: measure.Length(x), Y: measure.Length(y), Z: measure.Length(z)}
}
