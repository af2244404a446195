package floor

import (
	"fmt"
	"math"
	"slices"
)

// Elevations draws the camera and the sitter from the side and from above, both to one scale. Each is an
// SVG element whose lines that stand for a length carry data-length with that length's name, and which
// itself carries the scale, in millimetres to a unit, as data-scale.
func Elevations(g Geometry, sheet Sheet) (side, above string) {
	s := &stage{Geometry: g, sheet: sheet}
	s.size, s.heavy = sheet.letters(), sheet.Red
	v, w := g.views()
	low, high := v.reach()
	right, left := w.reach()
	s.setScale(high-low, left-right)

	gap := 0.7 * s.size
	v.mid = 1.5*s.size + gap + high/s.scale
	v.axis = v.mid - v.Off/s.scale
	foot := v.mid - low/s.scale
	s.name(point{0, 0}, "Side elevation")
	if s.CapOff != "" && (s.sheet.Wide || !s.sheet.Red) { // letters for red light leave no room on a narrow sheet
		s.text(point{s.edge - 10, 0.75 * s.size}, "end", "cap off "+s.CapOff, ` class="cap-off"`)
	}
	s.draw(v, 1.6*s.size, foot)
	side = s.element("side", s.told(v), s.dimensions(v, foot+gap))

	s.Reset()
	w.mid = 1.5*s.size - right/s.scale
	if s.sheet.Wide {
		w.mid -= 0.4 * s.size
	}
	w.axis = w.mid + w.Off/s.scale
	foot = w.mid + left/s.scale
	s.name(point{0, 0}, "From above")
	s.draw(w, 1.2*s.size, foot)
	if words := s.roomWords(); words != "" && s.widthOf(words)+s.sheet.width()*0.45 < s.sheet.width() {
		s.text(point{s.edge, foot + gap + 4}, "end", words)
	}
	above = s.element("above", s.told(w), s.scaleBar(foot+gap))
	return side, above
}

// told is an elevation in a sentence.
func (s *stage) told(v elevation) string {
	name, frame := "Side elevation: plate, lens "+s.figure(s.Extension)+" before it, the sitter's eyes "+s.figure(s.Distance)+" before the lens", ""
	words := [3]string{"leans", "rises", "falls"}
	if !v.fromSide {
		name, words = "The same from above", [3]string{"turns", "shifts to the right by", "shifts to the left by"}
		frame = ": " + s.figure(lengthOf(v.Frame[1]-v.Frame[0])) + " fill the plate across"
	}
	moved := ""
	if v.Back != 0 {
		moved += "; the back " + words[0] + " " + Degrees(v.Back)
	}
	if v.Front != 0 {
		moved += "; the lens board " + words[0] + " " + Degrees(v.Front)
	}
	if v.Off > 0 {
		moved += "; the lens " + words[1] + " " + s.figure(lengthOf(v.Off))
	} else if v.Off < 0 {
		moved += "; the lens " + words[2] + " " + s.figure(lengthOf(-v.Off))
	}
	return name + frame + moved
}

// draw draws one elevation between two heights of the sheet.
func (s *stage) draw(v elevation, top, foot float64) {
	s.shell(v)
	s.axisLine(v.axis)
	if s.sheet.Wide {
		s.walls(top, foot)
	}
	s.camera(v)
	s.rays(v)
	s.sitter(v)
	s.eyePlane(v)
	s.frameDimension(v)
	s.grips(v)
}

func (s *stage) axisLine(y float64) {
	from := 2.0
	if s.sheet.Wide {
		from = s.wall
	}
	s.line("axis", point{from, y}, point{s.edge, y})
}

// picture is the box of the picture at the eye plane, carried along the axis.
func (s *stage) picture(v elevation) box {
	a, b := s.to(v, Place{0, v.Frame[0]}).y, s.to(v, Place{0, v.Frame[1]}).y
	return box{s.plate, min(a, b), s.edge, max(a, b)}
}

// shell hatches what is within the blur called sharp, between its curved limits.
func (s *stage) shell(v elevation) {
	if len(v.Near) == 0 {
		return
	}
	id := s.sheet.name() + "-" + v.name + "-shell"
	near, far := s.all(v, v.Near), s.all(v, v.Far)
	shape := slices.Clone(near)
	if len(far) == 0 { // without end
		shape = append(shape, point{s.edge, near[len(near)-1].y}, point{s.edge, near[0].y})
	} else {
		back := slices.Clone(far)
		slices.Reverse(back)
		shape = append(shape, back...)
	}
	bound := s.picture(v)
	s.clipBox(id+"-box", box{s.lens, bound.top - 3, s.edge, bound.bottom + 3})
	low, high := extent(shape)
	s.clip(id, polyline(shape, true))
	s.hatch("sharp fine", box{max(low.x, s.lens), low.y, min(high.x, s.edge), high.y}, 6)
	s.raw(`</g>`)
	s.path("sharp", polyline(near, false), ` data-length="near"`)
	if len(far) > 0 {
		s.path("sharp", polyline(far, false), ` data-length="far"`)
	}
	if len(v.Sharp) > 0 && high.x-low.x > 8 {
		s.path("sharpest", polyline(s.all(v, v.Sharp), false), ` data-length="sharpest"`)
	}
	s.raw(`</g>`)
}

// extent is the least box around points: its upper left and its lower right corner.
func extent(points []point) (low, high point) {
	low, high = points[0], points[0]
	for _, q := range points {
		low = point{min(low.x, q.x), min(low.y, q.y)}
		high = point{max(high.x, q.x), max(high.y, q.y)}
	}
	return low, high
}

// walls draws the wall one metre behind the camera and, where the room's depth is known and it lies on
// the sheet, the wall behind the sitter.
func (s *stage) walls(top, bottom float64) {
	s.line("heavy", point{s.wall, top}, point{s.wall, bottom})
	s.hatch("thin", box{max(0.5, s.wall-7), top, s.wall, bottom}, 7)
	if s.RoomLeft == nil {
		return
	}
	if x := s.eyes + (s.body()+float64(*s.RoomLeft))/s.scale; x < s.edge-7 && x > s.lens {
		s.line("heavy", point{x, top}, point{x, bottom}, ` data-length="far-wall"`)
		s.hatch("thin", box{x, top, x + 7, bottom}, 7)
	}
}

// eyePlane draws the plane through the eyes, square to the axis.
func (s *stage) eyePlane(v elevation) {
	b := s.picture(v)
	end := min(9, b.height()/4)
	s.line("heavy", point{s.eyes, b.top}, point{s.eyes, b.top + end})
	s.line("heavy", point{s.eyes, b.bottom - end}, point{s.eyes, b.bottom})
	s.line("thin", point{s.eyes, b.top}, point{s.eyes, b.bottom})
}

// rays draws the edges of the picture, from the plate's edges through the lens to the eye plane.
func (s *stage) rays(v elevation) {
	b := s.picture(v)
	upper, lower := s.onPlate(v, v.down*v.plate/2, 0), s.onPlate(v, -v.down*v.plate/2, 0)
	s.line("thin ray", point{s.eyes, b.top}, upper)
	s.line("thin ray", point{s.eyes, b.bottom}, lower)
}

// frameDimension draws how much fills the plate, on the right.
func (s *stage) frameDimension(v elevation) {
	b := s.picture(v)
	length := "frame-up"
	if !v.fromSide {
		length = "frame-across"
	}
	x := s.edge + 2
	s.line("dimension", point{s.eyes + 3, b.top}, point{x + 4, b.top})
	s.line("dimension", point{s.eyes + 3, b.bottom}, point{x + 4, b.bottom})
	s.line("dimension", point{x, b.top}, point{x, b.bottom}, ` data-length="`, length, `"`)
	s.arrow(point{x, b.top}, 0, -1)
	s.arrow(point{x, b.bottom}, 0, 1)
	if s.cramped() {
		return
	}
	s.upright(point{x + 0.95*s.size, (b.top + b.bottom) / 2}, s.figure(lengthOf(v.Frame[1]-v.Frame[0])))
}

// upright writes a figure that reads upward beside a standing dimension.
func (s *stage) upright(p point, words string) {
	s.raw(`<text text-anchor="middle" transform="translate(`, at(p.x-0.36*s.size), ` `, at(p.y), `) rotate(-90)">`, escape(words), `</text>`)
}

// sitter draws the outline, broken off where the sheet does not reach.
func (s *stage) sitter(v elevation) {
	if !v.fromSide {
		s.outline(v, s.scale < 9)
		return
	}
	cut := v.cut()
	y := s.to(v, Place{0, cut}).y
	s.clipBox(s.sheet.name()+"-sitter", box{s.lens, -1000, s.sheet.width(), y})
	s.outline(v, s.scale < 9)
	s.raw(`</g>`)
	if from, to, crosses := crossing(v.Body, cut); crosses {
		s.breakLine(s.to(v, Place{from, cut}), s.to(v, Place{to, cut}))
	}
}

// outline draws the sitter's lines; the fine ones where there is room for them.
func (s *stage) outline(v elevation, fine bool) {
	for _, l := range v.Body {
		switch {
		case !l.Fine:
			s.path("outline body", polyline(s.all(v, l.At), l.Closed))
		case fine:
			s.path("thin", polyline(s.all(v, l.At), l.Closed))
		}
	}
}

// crossing is from where to where, along the axis, an outline is cut by a level.
func crossing(lines []Line, level float64) (from, to float64, ok bool) {
	from, to = math.Inf(1), math.Inf(-1)
	for _, l := range lines {
		for i := range l.At {
			a := l.At[i]
			b := l.At[(i+1)%len(l.At)]
			if i == len(l.At)-1 && !l.Closed || (a.Across > level) == (b.Across > level) {
				continue
			}
			x := a.Along + (level-a.Across)/(b.Across-a.Across)*(b.Along-a.Along)
			from, to = min(from, x), max(to, x)
		}
	}
	return from, to, to > from
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

// grips draws the handles of an elevation: those a finger finds apart from each other.
func (s *stage) grips(v elevation) {
	reach := 22.0 // what a finger hits
	if !s.sheet.Wide {
		reach = 27
	}
	b := s.picture(v)
	stem := reach - 4
	put := func(g grip, from point) {
		if from != g.at {
			s.line("thin", from, g.at)
		}
		s.grip(s.sheet.name(), g, reach)
	}
	arm := v.back() / s.scale // half of the back, in units
	lean := func(name, field, label string, from point, up float64) {
		to := point{from.x, from.y + up*stem}
		// The handle goes to the left as the top, or the right-hand side, leans backward.
		put(grip{name: name, field: field, label: label, at: to, value: v.Back, text: Degrees(v.Back), degrees: true,
			rate: -180 / math.Pi / (arm + stem), step: 0.5, low: -45, high: 45, hold: "lens"}, from)
	}
	if !v.fromSide {
		lean("back-swing", "back_swing", "Back: swing", s.onPlate(v, v.back(), 0), 1)
		return
	}
	step := float64(Step(s.Units))
	distance := func(name, label string, rate float64, hold string) grip {
		return grip{name: name, field: "distance", label: label, value: float64(s.Distance), text: s.figure(s.Distance), rate: rate, step: step, high: 1e6, hold: hold}
	}
	eye := distance("eye", "Eye plane: distance from the lens", s.scale, "lens")
	eye.at = point{s.eyes, b.top}
	put(eye, eye.at)
	bed := s.bed(v)
	lens := distance("lens", "Lens board: distance to the sitter", -s.scale, "eye")
	lens.at = point{s.lens, bed + 2}
	put(lens, lens.at)
	lean("back-tilt", "back_tilt", "Back: tilt", s.onPlate(v, v.back(), 0), -1)
	top := v.turned(point{s.lens, v.axis}, v.Front, 0, -s.board(v))
	rise := grip{name: "rise", field: "rise", label: "Lens board: rise", upright: true, value: v.Off, text: s.figure(lengthOf(v.Off)), rate: -s.scale,
		step: float64(SmallStep(s.Units)), low: -500, high: 500, hold: "lens", at: point{s.lens, top.y - stem}}
	put(rise, point{s.lens, top.y})
}

// span is a dimension along the axis.
type span struct {
	word, length string
	from, to     float64
	text         string
	open         bool // begins at the sheet's edge, broken
}

// spans are the lengths along the axis.
func (s *stage) spans() []span {
	all := []span{
		{"extension", "extension", s.plate, s.lens, s.figure(s.Extension), false},
		{"distance", "distance", s.lens, s.eyes, s.figure(s.Distance), false},
	}
	if s.cramped() {
		return all
	}
	return append(all, span{"room", "room", s.wall, s.eyes, s.figure(s.Room), !s.sheet.Wide})
}

// dimensions draws the lengths along the axis, below the side elevation, and returns where the next
// thing may begin.
func (s *stage) dimensions(v elevation, top float64) float64 {
	row := 1.75 * s.size
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
	for _, d := range s.spans() {
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
			from = s.bed(v) + 13
		}
		if q.y > 0 {
			s.line("dimension", point{q.x, min(from, q.y)}, point{q.x, q.y + 4})
		}
	}
	return y + row/2 + 0.4*s.size
}

// roomWords is what is left of the room, or missing.
func (g Geometry) roomWords() string {
	switch {
	case g.RoomLeft == nil:
		return ""
	case *g.RoomLeft < 0:
		return fmt.Sprintf("the room is %s too short", g.figure(-*g.RoomLeft))
	default:
		return g.figure(*g.RoomLeft) + " of the room left behind the sitter"
	}
}
