package floor

import (
	"strconv"
	"strings"

	"platewright/measure"
)

// Geometry is what is drawn, as the reckonings and the studio's records have it.
type Geometry struct {
	Distance  measure.Length  // front principal plane to the eye plane
	Extension measure.Length  // rear principal plane to the plate
	Room      measure.Length  // eye plane to the wall behind the camera
	Near      measure.Length  // front principal plane to the near limit of what is sharp
	Far       *measure.Length // the far limit; nil when it is at infinity
	Depth     *measure.Length // near to far; nil when endless
	Front     measure.Length  // the part of the depth before the eyes
	Rear      *measure.Length // the part behind; nil when endless

	Plate       measure.PlateSize // as it lies in the camera
	FrameAcross measure.Length    // what fills the plate at the sitter, across
	FrameUp     measure.Length    // and up

	Magnification float64

	Pupil  measure.Length // entrance pupil at this stop
	Widest measure.Length // entrance pupil at the lens's widest stop
	Circle measure.Length // the lens's circle of good definition on the plate; 0 when unknown

	Shortest, Longest measure.Length     // the camera's bellows; 0 when no camera was chosen
	Holder            *measure.PlateSize // nil when none was chosen

	CapOff string // how long the cap is off, with its unit; empty when not known

	Units measure.System
	Held  View
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
	Sheet string  // which sheet: "wide" or "narrow"
}

// ParseView reads what the script sends while a handle is dragged: "lens,412.5,4.5,wide". Anything
// else is the zero View.
func ParseView(text string) View {
	parts := strings.Split(text, ",")
	if len(parts) != 4 || parts[0] != "lens" && parts[0] != "eye" || parts[3] != "wide" && parts[3] != "narrow" {
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
