package optics

import (
	"fmt"
	"math"

	"platewright/measure"
)

// The ranges of what a [Setup] adds to its lens.
const (
	GreatestExtension measure.Length = 1e6
	GreatestCurvature                = 1.0  // per mm
	GreatestFourth                   = 1e-3 // per mm³
	GreatestShift     measure.Length = 1e3
)

// PlatePoint is a place on the plate, from its middle, along its own sides: X along the side that stays
// level when the plate is swung and then tilted, to the photographer's right; Y up. The image is upside down.
type PlatePoint struct{ X, Y measure.Length }

// Setup is a camera set up: everything that decides where a point falls on the plate and how wide it blurs.
type Setup struct {
	Lens    Lens              // with its stop
	Camera  Camera            // movements and extension; Camera.Focal is Lens.Focal
	Plate   measure.PlateSize // as it lies in the camera
	Centre  PlatePoint        // where the camera's z axis (the lens's, when that is square) meets the plate
	Surface FocalSurface      // the zero value is a flat field
	// Shift is how far the image that makes the picture lies behind the one seen on the ground
	// glass: chemical focus and focus shift of the stop together, at this extension. To focus by eye, call
	// [Setup.FocusOn] with Shift zero and set Shift afterwards.
	Shift measure.Length
}

// leastExtension is the least there is to set, in mm: a plate at the lens or before it shows nothing.
const leastExtension = 0.001

// Check reports the first quantity of the set-up that is out of range.
func (s *Setup) Check() error {
	if err := s.Lens.Check(); err != nil {
		return err
	}
	if s.Camera.Focal != s.Lens.Focal {
		return fmt.Errorf("the camera is set up for a focal length of %g mm and the lens has %g mm; give both the same", s.Camera.Focal, s.Lens.Focal)
	}
	for _, q := range [...]struct {
		name      string
		got       float64
		low, high float64
		unit      string
	}{
		{"extension", float64(s.Camera.Extension), leastExtension, float64(GreatestExtension), "mm"},
		{"lens tilt", s.Camera.Lens.Tilt.Degrees(), -89, 89, "degrees"},
		{"lens swing", s.Camera.Lens.Swing.Degrees(), -89, 89, "degrees"},
		{"back tilt", s.Camera.Back.Tilt.Degrees(), -89, 89, "degrees"},
		{"back swing", s.Camera.Back.Swing.Degrees(), -89, 89, "degrees"},
		{"centre x", float64(s.Centre.X), -float64(GreatestReach), float64(GreatestReach), "mm"},
		{"centre y", float64(s.Centre.Y), -float64(GreatestReach), float64(GreatestReach), "mm"},
		{"sagittal curvature", s.Surface.Sagittal.Curvature, -GreatestCurvature, GreatestCurvature, "per mm"},
		{"sagittal fourth", s.Surface.Sagittal.Fourth, -GreatestFourth, GreatestFourth, "per mm³"},
		{"tangential curvature", s.Surface.Tangential.Curvature, -GreatestCurvature, GreatestCurvature, "per mm"},
		{"tangential fourth", s.Surface.Tangential.Fourth, -GreatestFourth, GreatestFourth, "per mm³"},
		{"focus shift", float64(s.Shift), -float64(GreatestShift), float64(GreatestShift), "mm"},
	} {
		if !(q.low <= q.got && q.got <= q.high) {
			return measure.Within(q.name, q.got, q.low, q.high, q.unit)
		}
	}
	return nil
}

// stand is a set-up as it stands in space: plain numbers in the coordinates of the package, z toward the
// sitter on both sides of the lens, the rear principal point laid on the front one.
type stand struct {
	f, p   float64
	a      vec     // the lens's axis, toward the sitter
	exit   vec     // middle of the exit pupil
	r      float64 // radius of the exit pupil
	w      vec     // the plate holds w·X = -e
	e      float64
	ex, ey vec // the plate's own directions: level, and up
}

func (s *Setup) stand() stand {
	st := stand{f: float64(s.Lens.Focal), p: s.Lens.PupilMag, e: float64(s.Camera.Extension)}
	st.a = s.Camera.Lens.normal()
	st.exit = st.a.times(-st.f * (1 - st.p)) // f(1-p) behind the rear principal plane
	st.r = st.p * float64(s.Lens.Pupil()) / 2
	ts, tt := math.Tan(float64(s.Camera.Back.Swing)), math.Tan(float64(s.Camera.Back.Tilt))
	st.w = vec{ts, tt, 1}
	level := math.Sqrt(1 + ts*ts)
	whole := math.Sqrt(1 + ts*ts + tt*tt)
	st.ex = vec{1 / level, 0, -ts / level}
	// ey = n × ex, n = w/whole.
	st.ey = vec{-tt * ts / (whole * level), level / whole, -tt / (whole * level)}
	return st
}

// onPlate returns the place of a point of the plate's plane.
func (s *Setup) onPlate(st *stand, x vec) PlatePoint {
	d := vec{x[0], x[1], x[2] + st.e}
	return PlatePoint{X: s.Centre.X + measure.Length(d.dot(st.ex)), Y: s.Centre.Y + measure.Length(d.dot(st.ey))}
}

// inSpace returns the point of space at a place on the plate.
func (s *Setup) inSpace(st *stand, q PlatePoint) vec {
	x, y := float64(q.X-s.Centre.X), float64(q.Y-s.Centre.Y)
	return vec{x*st.ex[0] + y*st.ey[0], x*st.ex[1] + y*st.ey[1], x*st.ex[2] + y*st.ey[2] - st.e}
}
