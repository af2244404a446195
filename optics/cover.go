package optics

import (
	"errors"
	"fmt"
	"math"

	"platewright/measure"
)

// Coverage is the field a lens draws well (or at all) at a stop: a cone behind it, with its tip in the
// middle of the exit pupil, that does not depend on the extension. The circle on the plate grows with it.
type Coverage struct {
	Half measure.Angle // between the lens's axis and the edge of the cone
}

// greatestCone is the widest half-angle answered, degrees; a wider cone meets a plate nowhere.
const greatestCone = 80

// CoverageOf returns the cone of a lens that covers a circle of that diameter when focused at infinity.
func CoverageOf(circleAtInfinity measure.Length, l Lens) Coverage {
	return Coverage{Half: measure.Angle(math.Atan(float64(circleAtInfinity) / (2 * float64(l.Focal) * l.PupilMag)))}
}

// CoverageSeen returns the cone of a lens that covers a circle of that diameter at this setting.
func (s Setting) CoverageSeen(circle measure.Length) Coverage {
	behind := float64(s.Lens.Focal) * (s.Lens.PupilMag + s.Magnification)
	return Coverage{Half: measure.Angle(math.Atan(float64(circle) / (2 * behind)))}
}

// AtInfinity returns the diameter of the circle that the cone has on the plate of a lens focused at infinity: what
// [CoverageOf] takes.
func (c Coverage) AtInfinity(l Lens) measure.Length {
	return measure.Length(2 * float64(l.Focal) * l.PupilMag * math.Tan(float64(c.Half)))
}

// Cover is how a cone meets a plate. The corners are in the order of [CornerName].
type Cover struct {
	Axis    PlatePoint       // foot of the lens's axis on the plate
	Circle  measure.Length   // diameter of the covered circle, square to the axis where that meets the plate
	Needed  measure.Length   // diameter of the circle that would just hold all four corners, likewise
	Corners [4]measure.Angle // between the lens's axis and the ray to each corner of the plate
	// Left is how far the cone's edge on the plate lies beyond the worst corner, along the line from the foot of
	// the axis through that corner; negative when the corner is cut.
	Left  measure.Length
	Worst int // that corner
}

var cornerNames = [4]string{"upper left", "upper right", "lower left", "lower right"}

// CornerName names a corner of [Cover] as it is seen on the ground glass, from behind the camera.
func CornerName(i int) string { return cornerNames[i] }

var errNoEdge = errors.New("the cone covers the plate's plane without end beyond every corner, so no margin can be told; give the angle of the field that is drawn well, or turn the standards less")

var errAxisOffPlate = errors.New("the lens's axis does not meet the plate behind the lens; less tilt or swing would bring it there")

// Covers returns how the cone meets the plate under the movements of the set-up.
func (s Setup) Covers(c Coverage) (Cover, error) {
	if err := s.Check(); err != nil {
		return Cover{}, err
	}
	if err := measure.Within("half angle of coverage", c.Half.Degrees(), 0.1, greatestCone, "degrees"); err != nil {
		return Cover{}, err
	}
	if err := checkPlate(s.Plate); err != nil {
		return Cover{}, err
	}
	st := s.stand()
	wa := st.w.dot(st.a)
	height := (st.e + st.w.dot(st.exit)) / wa // from the exit pupil to the plate along the axis
	if !(wa > 0) || !(height > 0) {
		return Cover{}, errAxisOffPlate
	}
	foot := st.exit.minus(st.a.times(height))
	tan := math.Tan(float64(c.Half))
	out := Cover{Axis: s.onPlate(&st, foot), Circle: measure.Length(2 * height * tan), Left: math.MaxFloat64}
	steepest := 0.0
	for i := range out.Corners {
		corner := PlatePoint{X: s.Plate.Width / 2, Y: s.Plate.Height / 2}
		if i%2 == 0 {
			corner.X = -corner.X
		}
		if i >= 2 {
			corner.Y = -corner.Y
		}
		at := s.inSpace(&st, corner)
		v := at.minus(st.exit)
		behind := -v.dot(st.a)
		if !(behind > 0) {
			return Cover{}, fmt.Errorf("the plate's %s corner lies before the exit pupil of the lens; less tilt or swing, or more extension, would bring it behind", cornerNames[i])
		}
		slope := v.plus(st.a.times(behind)).length() / behind
		out.Corners[i] = measure.Angle(math.Atan(slope))
		steepest = max(steepest, slope)
		// Along the line from the foot the ray's distance from the axis and its depth both grow evenly.
		d := at.minus(foot)
		length := d.length()
		if length == 0 {
			continue
		}
		deeper := -d.dot(st.a) / length
		aside := d.plus(st.a.times(deeper*length)).length() / length
		if open := aside - deeper*tan; open > 0 {
			if left := measure.Length(height*tan/open - length); left < out.Left {
				out.Left, out.Worst = left, i
			}
		}
	}
	if out.Left == math.MaxFloat64 {
		return Cover{}, errNoEdge
	}
	out.Needed = measure.Length(2 * height * steepest)
	return out, nil
}

func checkPlate(p measure.PlateSize) error {
	if err := measure.Within("plate width", float64(p.Width), 1, 5000, "mm"); err != nil {
		return err
	}
	return measure.Within("plate height", float64(p.Height), 1, 5000, "mm")
}

// Check returns a [*ShortCircle] when a corner is cut.
func (c Cover) Check() error {
	if c.Left >= 0 {
		return nil
	}
	return &ShortCircle{Cover: c}
}

// ShortCircle says that a lens's circle does not hold the plate.
type ShortCircle struct{ Cover Cover }

func (e *ShortCircle) Error() string {
	c := e.Cover
	return fmt.Sprintf("the lens covers a circle of %.0f mm here and the plate as it stands needs %.0f mm: the %s corner is cut by %.0f mm; "+
		"bring the lens's axis, now [%.0f, %.0f] mm from the plate's middle, nearer to it, or take a smaller plate, more extension, or a smaller stop if the lens covers more there",
		float64(c.Circle), float64(c.Needed), cornerNames[c.Worst], -float64(c.Left), float64(c.Axis.X), float64(c.Axis.Y))
}
