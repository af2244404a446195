package floor

import (
	"math"
	"strings"

	"platewright/measure"
)

// Lengths that are drawn and not measured, in millimetres.
const (
	behindSitter = 330.0 // room drawn behind the eyes, at least
	behindNarrow = 130.0 // room drawn behind the plate on a narrow sheet
	wallDepth    = 60.0
)

// stage is where the things of an elevation stand on its sheet.
type stage struct {
	pen
	Geometry
	sheet    Sheet
	scale    float64 // millimetres to a unit
	plate    float64 // across the sheet: the plate,
	lens     float64 // the lens's principal planes,
	eyes     float64 // the eye plane,
	wall     float64 // and the wall behind the camera, or the sheet's edge
	edge     float64 // where the drawing ends on the right, before the height's dimension
	eyeAbove float64 // how far the eyes are drawn above the axis, in millimetres
}

// Elevations draws the camera and the sitter from the side and from above, both to one scale. Each is an
// SVG element whose lines that stand for a length carry data-length with that length's name, and which
// itself carries the scale, in millimetres to a unit, as data-scale.
func Elevations(g Geometry, sheet Sheet) (side, above string) {
	s := &stage{Geometry: g, sheet: sheet}
	s.size, s.heavy = sheet.letters(), sheet.Red
	s.eyeAbove = g.eyesAbove()
	s.setScale()

	up, down, across := s.reach()
	gap := 0.7 * s.size
	axis := 1.5*s.size + gap + up/s.scale
	foot := axis + down/s.scale
	s.name(point{0, 0}, "Side elevation")
	if s.CapOff != "" && (s.sheet.Wide || !s.sheet.Red) { // letters for red light leave no room on a narrow sheet
		s.text(point{s.edge - 10, 0.75 * s.size}, "end", "cap off "+s.CapOff, ` class="cap-off"`)
	}
	s.fromTheSide(axis, foot)
	side = s.element("side", "Side elevation: plate, lens "+g.figure(g.Extension)+" before it, the sitter's eyes "+g.figure(g.Distance)+" before the lens",
		s.dimensions(axis, foot+gap))

	s.Reset()
	s.name(point{0, 0}, "From above")
	axis = 1.5*s.size + across/s.scale
	if s.sheet.Wide {
		axis -= 0.4 * s.size
	}
	s.fromAbove(axis, across/s.scale)
	above = s.element("above", "The same from above: "+g.figure(g.FrameAcross)+" fill the plate across",
		s.scaleBar(axis+across/s.scale+gap))
	return side, above
}

// eyesAbove is how far above the axis the eyes are drawn: in the upper third of a portrait, nearer the top
// of a whole figure.
func (g Geometry) eyesAbove() float64 {
	return max(float64(g.FrameUp)/6, 0.38*float64(g.FrameUp)-112)
}

// element is what was drawn so far as an SVG element.
func (s *stage) element(view, title string, height float64) string {
	var out pen
	id := s.sheet.name() + "-" + view
	out.raw(`<svg id="`, id, `" class="drawing elevation `, s.sheet.name(), ` `, view, `" viewBox="0 0 `, at(s.sheet.width()), ` `, at(height), `" role="group" aria-labelledby="`, id, `-title" aria-describedby="figures-table"`,
		` data-scale="`, at4(s.scale), `" data-sheet="`, s.sheet.name(), `" data-lens="`, at(s.lens), `" data-eye="`, at(s.eyes), `" data-step="`, at(float64(Step(s.Units))), `">`)
	out.raw(`<title id="`, id, `-title">`, escape(title), `</title>`, s.String(), `</svg>`)
	return out.String()
}

// at4 writes a scale, which needs more figures than a place.
func at4(v float64) string { return strings.TrimRight(strings.TrimRight(formatFixed(v, 4), "0"), ".") }

// setScale chooses the scale and where things stand: those of the view held while a handle is
// dragged, where they fit, or else the largest of the ladder that does.
func (s *stage) setScale() {
	pad := 6.0
	right := 3.4 * s.size // for the height's figure
	behind := s.behind()
	along := behind + float64(s.Extension+s.Distance) + s.beyond()
	usable := s.sheet.width() - 2*pad - right
	up, down, side := s.reach()
	least := max(along/usable, (up+down)/s.most(), 2*side/s.most())
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

// beyond is how much is drawn behind the eyes.
func (s *stage) beyond() float64 {
	b := behindSitter
	if s.Rear != nil {
		b = max(b, min(1.15*float64(*s.Rear), float64(s.Distance)))
	}
	return b
}

// most is how high an elevation may be drawn, in units.
func (s *stage) most() float64 {
	if s.sheet.Wide {
		return 190
	}
	return 104
}

// reach is how far things reach above and below the axis and to its side, in millimetres.
func (s *stage) reach() (up, down, side float64) {
	body := s.body()/2 + 40
	up = max(float64(s.FrameUp)/2, s.eyeAbove+125, body)
	down = max(float64(s.FrameUp)/2, cutBelow-s.eyeAbove, body+30)
	side = max(float64(s.FrameAcross)/2, 245, float64(s.Plate.Width)/2+40)
	return up, down, side
}

// body is the height of the camera's back.
func (s *stage) body() float64 {
	h := float64(s.Plate.Height)
	if s.Holder != nil {
		h = max(h, float64(s.Holder.LongSide()))
	}
	return h + 40
}

// x is the place across the sheet of a point so far before the plate.
func (s *stage) x(z float64) float64 { return s.plate + z/s.scale }

func (s *stage) axisLine(y float64) {
	from := 2.0
	if s.sheet.Wide {
		from = s.wall
	}
	s.line("axis", point{from, y}, point{s.edge, y})
}

func (s *stage) fromTheSide(axis, foot float64) {
	half := float64(s.FrameUp) / 2 / s.scale
	s.sharp(axis-half, axis+half)
	s.axisLine(axis)
	if s.sheet.Wide {
		s.wallOf(max(axis-0.42*s.most(), 1.6*s.size), foot)
	}
	s.camera(axis, float64(s.Plate.Height), true)
	s.rays(axis, half, float64(s.Plate.Height))
	s.bust(axis - s.eyeAbove/s.scale)
	s.eyePlane(axis, half)
	// the height that fills the plate, on the right
	x := s.edge + 2
	s.line("dimension", point{s.eyes + 3, axis - half}, point{x + 4, axis - half})
	s.line("dimension", point{s.eyes + 3, axis + half}, point{x + 4, axis + half})
	s.line("dimension", point{x, axis - half}, point{x, axis + half}, ` data-length="frame-up"`)
	s.arrow(point{x, axis - half}, 0, -1)
	s.arrow(point{x, axis + half}, 0, 1)
	s.upright(point{x + 0.95*s.size, axis}, s.figure(s.FrameUp), axis-half, axis+half)
}

// upright writes a figure that reads upward beside a standing dimension.
func (s *stage) upright(p point, words string, _, _ float64) {
	s.raw(`<text text-anchor="middle" transform="translate(`, at(p.x-0.36*s.size), ` `, at(p.y), `) rotate(-90)">`, escape(words), `</text>`)
}

// sharp hatches what is within the blur called sharp, between two heights.
func (s *stage) sharp(top, bottom float64) {
	near := s.lens + float64(s.Near)/s.scale
	far := s.edge
	if s.Far != nil {
		far = min(far, s.lens+float64(*s.Far)/s.scale)
	}
	s.hatch("sharp fine", box{max(near, s.plate), top, far, bottom}, 6)
	s.line("sharp", point{near, top}, point{near, bottom}, ` data-length="near"`)
	if s.Far != nil && s.lens+float64(*s.Far)/s.scale <= s.edge {
		s.line("sharp", point{far, top}, point{far, bottom}, ` data-length="far"`)
	}
}

// wallOf draws the wall one metre behind the camera.
func (s *stage) wallOf(top, bottom float64) {
	s.line("heavy", point{s.wall, top}, point{s.wall, bottom})
	s.hatch("thin", box{max(0.5, s.wall-7), top, s.wall, bottom}, 7)
}

// eyePlane draws the plane the camera is focused on, with its handle.
func (s *stage) eyePlane(axis, half float64) {
	s.line("heavy", point{s.eyes, axis - half}, point{s.eyes, axis - half + min(9, half/2)})
	s.line("heavy", point{s.eyes, axis + half - min(9, half/2)}, point{s.eyes, axis + half})
	s.line("thin", point{s.eyes, axis - half}, point{s.eyes, axis + half})
	s.handle("eye", point{s.eyes, axis - half}, "Eye plane: distance from the lens")
}

// handle is a small square that is dragged, or moved with the arrow keys.
func (s *stage) handle(what string, p point, words string) {
	const half = 6.5
	reach := 22.0 // what a finger hits
	if !s.sheet.Wide {
		reach = 27
	}
	s.raw(`<g id="`, s.sheet.name(), `-`, what, `" class="grip" tabindex="0" role="slider" data-handle="`, what, `" aria-label="`, words, `" aria-orientation="horizontal"`,
		` aria-valuemin="0" aria-valuemax="1000000" aria-valuenow="`, at(float64(s.Distance)), `" aria-valuetext="`, s.figure(s.Distance), `">`)
	s.rect("reach", box{p.x - reach, p.y - reach, p.x + reach, p.y + reach})
	s.rect("handle", box{p.x - half, p.y - half, p.x + half, p.y + half})
	s.raw(`</g>`)
}

func (s *stage) rays(axis, half, side float64) {
	up := side / 2 / s.scale
	s.line("thin ray", point{s.eyes, axis - half}, point{s.plate, axis + up})
	s.line("thin ray", point{s.eyes, axis + half}, point{s.plate, axis - up})
}

func (s *stage) bust(y float64) {
	to := func(list []place) []point {
		out := make([]point, len(list))
		for i, q := range list {
			out[i] = point{s.eyes + q.back/s.scale, y - q.up/s.scale}
		}
		return out
	}
	s.path("outline body", smooth(to(profile), false))
	s.path("thin", smooth(to(ear), true))
	if s.scale < 9 {
		for _, stroke := range [][]place{jaw, hair, collar} {
			s.path("thin", smooth(to(stroke), false))
		}
		s.path("thin", smooth(to(eye), true))
		s.path("thin", smooth(to(lid), false))
	}
	// where the outline is broken off
	a, b := to([]place{{-4, -cutBelow}, {212, -cutBelow}})[0], to([]place{{212, -cutBelow}})[0]
	s.breakLine(a, b)
}

// breakLine draws the wavy line at which a thing is broken off.
func (s *stage) breakLine(a, b point) {
	n := 4
	points := make([]point, 0, n+1)
	for i := range n + 1 {
		t := float64(i) / float64(n)
		lift := 0.0
		if i%2 == 1 {
			lift = math.Copysign(2.2, float64(i%4)-2)
		}
		points = append(points, point{a.x + t*(b.x-a.x), a.y + t*(b.y-a.y) + lift})
	}
	s.path("thin", smooth(points, false))
}

func (s *stage) fromAbove(axis, room float64) {
	half := float64(s.FrameAcross) / 2 / s.scale
	s.sharp(axis-half, axis+half)
	s.axisLine(axis)
	if s.sheet.Wide {
		s.wallOf(axis-room*0.8, axis+room*0.8)
	}
	s.camera(axis, float64(s.Plate.Width), false)
	s.rays(axis, half, float64(s.Plate.Width))
	mirrored := func(list []place) []point {
		out := make([]point, 0, 2*len(list))
		for _, q := range list {
			out = append(out, point{s.eyes + q.back/s.scale, axis - q.up/s.scale})
		}
		for i := len(list) - 2; i > 0; i-- {
			out = append(out, point{s.eyes + list[i].back/s.scale, axis + list[i].up/s.scale})
		}
		return out
	}
	s.path("outline body", smooth(mirrored(shouldersAbove), true))
	s.path("outline body", smooth(mirrored(above), true))
	s.line("thin", point{s.eyes, axis - half}, point{s.eyes, axis + half})
	for _, sign := range []float64{-1, 1} {
		s.line("heavy", point{s.eyes, axis + sign*half}, point{s.eyes, axis + sign*(half-min(9, half/2))})
	}
	x := s.edge + 2
	s.line("dimension", point{s.eyes + 3, axis - half}, point{x + 4, axis - half})
	s.line("dimension", point{s.eyes + 3, axis + half}, point{x + 4, axis + half})
	s.line("dimension", point{x, axis - half}, point{x, axis + half}, ` data-length="frame-across"`)
	s.arrow(point{x, axis - half}, 0, -1)
	s.arrow(point{x, axis + half}, 0, 1)
	s.upright(point{x + 0.95*s.size, axis}, s.figure(s.FrameAcross), axis-half, axis+half)
}

// dimensions draws the lengths along the axis, below the side elevation, and returns where the next
// thing may begin.
func (s *stage) dimensions(axis, top float64) float64 {
	row := 1.75 * s.size
	type span struct {
		word, length string
		from, to     float64
		text         string
		open         bool // begins at the sheet's edge, broken
	}
	spans := []span{
		{"extension", "extension", s.plate, s.lens, s.figure(s.Extension), false},
		{"distance", "distance", s.lens, s.eyes, s.figure(s.Distance), false},
		{"room", "room", s.wall, s.eyes, s.figure(s.Room), !s.sheet.Wide},
	}
	y := top + row/2
	var used []box // what is taken in the present row
	free := func(b box) bool {
		for _, u := range used {
			if b.left < u.right && u.left < b.right {
				return false
			}
		}
		return true
	}
	lowest := []point{{s.wall, 0}, {s.plate, 0}, {s.lens, 0}, {s.eyes, 0}} // how far down each reaches
	for _, d := range spans {
		text := d.word + " " + d.text
		if s.widthOf(text)+30 > d.to-d.from {
			text = d.text
		}
		w := s.widthOf(text)
		inside := w+26 <= d.to-d.from
		mid := (d.from + d.to) / 2
		left, lower := mid-w/2, 0.0
		switch {
		case inside:
		case d.to+8+w <= s.sheet.width():
			left = d.to + 8 // after the arrow
		case d.from-8-w >= 0:
			left = d.from - 8 - w
		default: // nowhere beside it: below it
			left, lower = min(max(0, left), s.sheet.width()-w), 0.9*s.size
		}
		taken := box{min(d.from, left) - 2, 0, max(d.to, left+w) + 2, 0}
		if d.word == "distance" && inside {
			taken.left = d.from // shares its arrow's tip with the extension
		}
		if !free(taken) {
			y += row
			used = used[:0]
		}
		if d.word == "extension" && inside {
			taken.right = d.to
		}
		used = append(used, taken)
		for i := range lowest {
			if x := lowest[i].x; x == d.to || x == d.from && !d.open {
				lowest[i].y = y
			}
		}
		if inside {
			s.path("dimension", "M"+at(d.from)+" "+at(y)+"H"+at(left-4)+"M"+at(left+w+4)+" "+at(y)+"H"+at(d.to), ` data-length="`, d.length, `"`)
			s.text(point{mid, y}, "middle", text)
		} else {
			s.path("dimension", "M"+at(d.from)+" "+at(y)+"H"+at(d.to), ` data-length="`, d.length, `"`)
			s.text(point{left, y + lower}, "start", text)
		}
		s.arrow(point{d.to, y}, 1, 0)
		if d.open {
			s.path("thin", "M"+at(d.from+6)+" "+at(y-5)+"l-4 4 8 2 -4 4")
		} else {
			s.arrow(point{d.from, y}, -1, 0)
		}
		if lower > 0 {
			y += lower
			used = append(used, box{left: math.Inf(-1), right: math.Inf(1)}) // the row is full
		}
	}
	for _, q := range lowest {
		from := top - 0.4*s.size
		if q.x == s.plate || q.x == s.lens {
			from = axis + s.body()/2/s.scale + 16
		}
		if q.y > 0 {
			s.line("dimension", point{q.x, min(from, q.y)}, point{q.x, q.y + 4})
		}
	}
	return y + row/2 + 0.4*s.size
}

// scaleBar draws a rule divided in five and returns the height used.
func (s *stage) scaleBar(y float64) float64 {
	unit, word := measure.Length(1), ""
	long := s.sheet.width() * 0.3 * s.scale // at most, in mm
	var total measure.Length
	if s.Units == measure.Metric {
		for _, l := range []measure.Length{50, 100, 250, 500, 1000, 2500, 5000, 10000, 50000, 100000, 1e6} {
			if float64(l) <= long {
				total = l
			}
		}
		unit, word = measure.Millimetre, "mm"
		if total >= 1000 {
			unit, word = measure.Metre, "m"
		}
	} else {
		for _, l := range []measure.Length{2.5, 5, 10, 20} {
			if float64(l*measure.Inch) <= long {
				total = l * measure.Inch
			}
		}
		unit, word = measure.Inch, "in"
		for _, l := range []measure.Length{2.5, 5, 10, 25, 50, 100, 500, 2500} {
			if float64(l*measure.Foot) <= long {
				total = l * measure.Foot
				unit, word = measure.Foot, "ft"
			}
		}
	}
	if total == 0 {
		return y
	}
	x := 2.0
	step := float64(total) / 5 / s.scale
	for i := range 5 {
		b := box{x + float64(i)*step, y + 2, x + float64(i+1)*step, y + 6}
		if i%2 == 0 {
			s.rect("solid", b)
		} else {
			s.rect("outline", b)
		}
	}
	s.line("outline", point{x, y + 4}, point{x + 5*step, y + 4}, ` data-length="bar" data-mm="`, at(float64(total)), `"`)
	s.text(point{x + 5*step + 8, y + 4}, "start", formatFigure(total.Over(unit))+"\u2009"+word)
	return y + max(10, 1.1*s.size)
}
