package floor

import (
	"math"
	"strconv"
	"strings"

	"platewright/measure"
)

// Lengths that are drawn and not measured, in millimetres.
const (
	behindSitter = 330.0 // room drawn behind the eyes, at least
	behindNarrow = 130.0 // room drawn behind the plate on a narrow sheet
	wallDepth    = 60.0
	cutBelow     = 400.0 // where the sitter is broken off, below the eyes, unless the picture shows more
	mostRoom     = 900.0 // room drawn behind the sitter, at most
)

// stage is where the things of an elevation stand on its sheet.
type stage struct {
	pen
	Geometry
	sheet Sheet
	scale float64 // millimetres to a unit
	plate float64 // across the sheet: where the plate meets the axis,
	lens  float64 // the lens's principal planes,
	eyes  float64 // the eye plane,
	wall  float64 // and the wall behind the camera, or the sheet's edge
	edge  float64 // where the drawing ends on the right, before the height's dimension
}

// elevation is one of the two views of a stage.
type elevation struct {
	Section
	name     string  // "side" or "above"
	fromSide bool    // else from above
	mid      float64 // height on the sheet of the camera's middle
	axis     float64 // and of the lens's axis
	down     float64 // +1 where Across runs down the sheet, else -1
	plate    float64 // the side of the plate that is seen, millimetres
	holder   float64 // and that of the holder; 0 without one
}

// to is the place of a point of the section on the sheet.
func (s *stage) to(v elevation, p Place) point {
	return point{s.lens + p.Along/s.scale, v.axis + v.down*p.Across/s.scale}
}

func (s *stage) all(v elevation, places []Place) []point {
	out := make([]point, len(places))
	for i, p := range places {
		out[i] = s.to(v, p)
	}
	return out
}

// views are the side elevation and the view from above, not yet placed on their sheets.
func (g Geometry) views() (side, above elevation) {
	side = elevation{Section: g.Side, name: "side", fromSide: true, down: -1, plate: float64(g.Plate.Height)}
	above = elevation{Section: g.Above, name: "above", down: 1, plate: float64(g.Plate.Width)}
	if g.Holder != nil {
		side.holder, above.holder = float64(g.Holder.Height), float64(g.Holder.Width)
	}
	return side, above
}

// back is half the side of the camera's back that is seen, in millimetres.
func (v elevation) back() float64 { return (max(v.plate, v.holder) + 40) / 2 }

// reach is how far things reach from the camera's middle: toward lower and toward higher places across.
func (v elevation) reach() (low, high float64) {
	low, high = v.Off+v.Frame[0], v.Off+v.Frame[1]
	if v.fromSide {
		low, high = min(low, v.Off+v.Eyes-cutBelow), max(high, v.Off+v.Eyes+125)
	} else {
		low, high = min(low, v.Off+v.Eyes-245), max(high, v.Off+v.Eyes+245)
	}
	if from, to, ok := bounds(v.Body); ok && !v.fromSide {
		low, high = min(low, v.Off+max(from.Across, -600)), max(high, v.Off+min(to.Across, 600))
	}
	return min(low, -v.back()-30), max(high, v.back())
}

// cut is the lowest place of the sitter that is drawn.
func (v elevation) cut() float64 { return min(v.Frame[0]-40, v.Eyes-cutBelow) }

// setScale chooses the scale and where things stand: those of the view held while a handle is
// dragged, where they fit, or else the largest of the ladder that does.
func (s *stage) setScale(heights ...float64) {
	pad := 6.0
	right := s.margin()
	behind := s.behind()
	along := behind + float64(s.Extension+s.Distance) + s.beyond()
	usable := s.sheet.width() - 2*pad - right
	least := along / usable
	for _, h := range heights {
		least = max(least, h/s.most())
	}
	s.edge = s.sheet.width() - pad - right
	if v := s.Held; v.Sheet == s.sheet.name() && v.Scale >= least*0.55 && v.Scale <= least*20 {
		s.scale = v.Scale
		s.plate = v.At - float64(s.Extension)/s.scale
		if v.Hold == "eye" {
			s.plate -= float64(s.Distance) / s.scale
		}
		s.place(behind)
		if s.plate > pad+2 && s.eyes < s.edge-2 {
			return
		}
	}
	s.scale = scaleFor(least)
	s.plate = pad + behind/s.scale + (usable-along/s.scale)/2
	s.place(behind)
}

// margin is what is kept free on the right for the height's figure.
func (s *stage) margin() float64 {
	if s.cramped() {
		return 12
	}
	return 3.4 * s.size
}

// cramped tells a narrow sheet in red light, whose letters leave room for little but the drawing.
func (s *stage) cramped() bool { return s.sheet.Red && !s.sheet.Wide }

func (s *stage) place(behind float64) {
	s.lens = s.plate + float64(s.Extension)/s.scale
	s.eyes = s.lens + float64(s.Distance)/s.scale
	s.wall = s.plate - behind/s.scale
	if s.sheet.Wide {
		s.wall = s.eyes - float64(s.Room)/s.scale
	}
}

// behind is how much is drawn behind the plate: on a wide sheet the whole room.
func (s *stage) behind() float64 {
	if s.sheet.Wide {
		return float64(s.Room-s.Extension-s.Distance) + wallDepth
	}
	return behindNarrow
}

// Behind is how far the sitter reaches behind the plane of focus.
func (g Geometry) Behind() measure.Length { return measure.Length(g.body()) }

func (g Geometry) body() float64 {
	if _, high, ok := bounds(g.Side.Body); ok {
		return max(0, high.Along-float64(g.Distance))
	}
	return 215
}

// beyond is how much is drawn behind the eyes.
func (s *stage) beyond() float64 {
	b := max(behindSitter, s.body()+40)
	if s.Rear != nil {
		b = max(b, min(1.15*float64(*s.Rear), float64(s.Distance)))
	}
	if s.RoomLeft != nil && s.sheet.Wide && *s.RoomLeft >= 0 && float64(*s.RoomLeft) <= mostRoom {
		b = max(b, s.body()+float64(*s.RoomLeft)+wallDepth)
	}
	return b
}

// most is how high an elevation may be drawn, in units.
func (s *stage) most() float64 {
	if s.sheet.Wide {
		return 200
	}
	return 150
}

// x is the place across the sheet of a point so far before the plate.
func (s *stage) x(z float64) float64 { return s.plate + z/s.scale }

// turned is a place near a standard that leans by so many degrees about c: along the axis toward the
// sitter and down the sheet, before it leans.
func (v elevation) turned(c point, deg, along, down float64) point {
	sin, cos := math.Sincos(-v.down * deg * math.Pi / 180)
	return point{c.x + along*cos + down*sin, c.y - along*sin + down*cos}
}

// foot is where the axis meets the plate, on the sheet.
func (s *stage) foot(v elevation) point { return point{s.plate, v.axis} }

// onPlate is a place on the plate's side that is seen, so far across from its middle and so far
// before its face, in millimetres.
func (s *stage) onPlate(v elevation, across, before float64) point {
	// The plate turns about the place where the axis meets it, which lies Off from its middle.
	return v.turned(s.foot(v), v.Back, before/s.scale, v.down*(across-v.Off)/s.scale)
}

// element is what was drawn so far as an SVG element.
func (s *stage) element(view, title string, height float64) string {
	var out pen
	id := s.sheet.name() + "-" + view
	out.raw(`<svg id="`, id, `" class="drawing elevation `, s.sheet.name(), ` `, view, `" viewBox="0 0 `, at(s.sheet.width()), ` `, at(height), `" role="group" aria-labelledby="`, id, `-title" aria-describedby="figures-table"`,
		` data-scale="`, at4(s.scale), `" data-sheet="`, s.sheet.name(), `" data-lens="`, at(s.lens), `" data-eye="`, at(s.eyes), `">`)
	out.raw(`<title id="`, id, `-title">`, escape(title), `</title>`, s.String(), `</svg>`)
	return out.String()
}

// at4 writes a scale, which needs more figures than a place.
func at4(v float64) string { return strings.TrimRight(strings.TrimRight(formatFixed(v, 4), "0"), ".") }

func formatFixed(v float64, decimals int) string { return strconv.FormatFloat(v, 'f', decimals, 64) }

func formatFigure(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
