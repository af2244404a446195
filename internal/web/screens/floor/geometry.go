package floor

import (
	"math"
	"strconv"
	"strings"

	"platewright/measure"
)

// Geometry is what is drawn, as the reckonings and the studio's records have it.
type Geometry struct {
	Distance  measure.Length  // front principal plane to the eye plane
	Extension measure.Length  // rear principal plane to the plate, along the axis
	Room      measure.Length  // eye plane to the wall behind the camera
	Depth     *measure.Length // of sharpness at the eyes; nil when endless
	Front     measure.Length  // the part of the depth before the eyes; negative when it begins behind them
	Rear      *measure.Length // the part behind; nil when endless

	About string // what Front and Rear are told from; empty: the plane of focus

	Plate measure.PlateSize // as it lies in the camera

	Pupil  measure.Length // entrance pupil at this stop
	Widest measure.Length // entrance pupil at the lens's widest stop

	Shortest, Longest measure.Length     // the camera's bellows; 0 when no camera was chosen
	Holder            *measure.PlateSize // nil when none was chosen

	RoomLeft *measure.Length // what is left of the room behind the sitter; negative when it is too short; nil when the room is unknown

	CapOff string // how long the cap is off, with its unit; empty when not known

	Side, Above Section
	Face        Face

	Units measure.System
	Held  View
}

// Place is a place in an elevation, in millimetres from the lens's front principal point: Along the
// camera's axis toward the sitter, and Across it, up in the side elevation and to the photographer's
// right from above.
type Place struct{ Along, Across float64 }

// Line is a line of places.
type Line struct {
	At     []Place
	Closed bool
	Fine   bool // a stroke within an outline
}

// Section is what one elevation shows of camera and sitter.
type Section struct {
	Body []Line // the sitter's outline
	// Near, Sharp and Far run from one edge of the picture to the other: the limits of what is sharp and
	// the sharpest between them. Far is empty where sharpness has no end.
	Near, Sharp, Far []Place
	Frame            [2]float64 // where the picture ends at the eye plane, across: the lower and the higher
	Eyes             float64    // where the middle between the eyes lies, across
	Marks            []Mark
	Nose, Neck       Place   // the tip of the nose, and about what it turns or nods
	Head             float64 // degrees of nod, or of turn from above
	Front, Back      float64 // degrees the lens board and the back lean: tilt, or swing from above
	Off              float64 // how far the lens stands from the middle of the plate, millimetres: rise, or shift from above
}

// Mark is a landmark of the sitter in a drawing.
type Mark struct {
	Name  string
	At    Place
	State State
}

// State is how sharp a landmark is.
type State string

// The states. A landmark is sharp within the blur called sharp, soft within three times as much.
const (
	IsSharp State = "sharp"
	IsSoft  State = "soft"
	IsGone  State = "gone"
)

// Face is the plate as the camera sees it, in millimetres on the plate from its middle: Along to the
// photographer's right, Across up, the picture upside down in it.
type Face struct {
	OnGlass  bool // drawn as it stands on the ground glass; else turned upright
	Outline  []Line
	Grains   []Place   // places of the sitter that are sharp, spread over them
	Contours []Contour // from the least blur up
	Marks    []Mark
	Axis     Place          // foot of the lens's axis
	Circle   measure.Length // the lens's circle of good definition on the plate; 0 when unknown
	Left     measure.Length // the least that is left of the circle beyond a corner; negative when one is cut
}

// Contour joins places of one blur.
type Contour struct {
	Blur  measure.Length
	Limit bool // the blur called sharp
	Lines []Line
}

// figure writes a length in the studio's units, with thin spaces.
func (g Geometry) figure(l measure.Length) string { return measure.Thin(l.Format(g.Units)) }

// sharp writes a depth of sharpness, which is judged more finely than other lengths.
func (g Geometry) sharp(l measure.Length) string { return measure.Thin(l.FormatDepth(g.Units)) }

// depth is how deep it is sharp, in words where there is no end.
func (g Geometry) depth() string {
	if g.Depth == nil {
		return "no end"
	}
	return g.sharp(*g.Depth)
}

// View keeps a drawing's scale and one thing in its place while the other is dragged. The zero value
// leaves both to the drawing.
type View struct {
	Hold  string  // "lens" or "eye": what stays
	At    float64 // where, across the sheet
	Scale float64 // millimetres to a unit
	Sheet string  // which sheet: "wide", "narrow" or "head"
}

// ParseView reads what the script sends while a handle is dragged: "lens,412.5,4.5,wide". Anything
// else is the zero View.
func ParseView(text string) View {
	parts := strings.Split(text, ",")
	if len(parts) != 4 || parts[0] != "lens" && parts[0] != "eye" || parts[3] != "wide" && parts[3] != "narrow" && parts[3] != "head" {
		return View{}
	}
	x, errX := strconv.ParseFloat(parts[1], 64)
	k, errK := strconv.ParseFloat(parts[2], 64)
	if errX != nil || errK != nil || !(x >= -2000 && x <= 2000) || !(k >= 0.01 && k <= 1000) {
		return View{}
	}
	return View{Hold: parts[0], At: x, Scale: k, Sheet: parts[3]}
}

// Sheet is what a drawing is drawn on.
type Sheet struct {
	Wide bool // 800 units across, else 400
	Red  bool // letters for red light: large and heavy
}

func (s Sheet) width() float64 {
	if s.Wide {
		return 800
	}
	return 400
}

func (s Sheet) name() string {
	if s.Wide {
		return "wide"
	}
	return "narrow"
}

// letters is the height of letters on the sheet, in its units; the style sheet says the same.
func (s Sheet) letters() float64 {
	switch {
	case s.Wide && s.Red:
		return 31
	case s.Red:
		return 34
	case s.Wide:
		return 15
	default:
		return 17
	}
}

// Step is how far one press of an arrow key moves a handle: a trade step of the studio's units.
func Step(units measure.System) measure.Length {
	if units == measure.Metric {
		return 10 * measure.Millimetre
	}
	return measure.Inch / 4
}

// SmallStep is that of a standard's slide.
func SmallStep(units measure.System) measure.Length {
	if units == measure.Metric {
		return 5 * measure.Millimetre
	}
	return measure.Inch / 8
}

// Degrees writes an angle to a tenth of a degree: "3.5°".
func Degrees(deg float64) string {
	return formatFigure(math.Round(deg*10)/10+0) + "°"
}

// bounds are the least box around lines, in millimetres; ok is false without a place.
func bounds(lines []Line) (low, high Place, ok bool) {
	low, high = Place{math.Inf(1), math.Inf(1)}, Place{math.Inf(-1), math.Inf(-1)}
	for _, l := range lines {
		for _, p := range l.At {
			low = Place{min(low.Along, p.Along), min(low.Across, p.Across)}
			high = Place{max(high.Along, p.Along), max(high.Across, p.Across)}
			ok = true
		}
	}
	return low, high, ok
}
