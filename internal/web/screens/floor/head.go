package floor

import (
	"cmp"
	"math"
	"slices"

	"platewright/measure"
)

// Heads draws the sitter's head from the side and from above, larger than the elevations and both to one
// scale, with what is sharp hatched between its curved limits and the landmarks marked.
func Heads(g Geometry, red bool) (side, above string) {
	v, w := g.views()
	return g.head(v, red), g.head(w, red)
}

// headRoom is how the drawing of a head is laid out.
type headRoom struct {
	pen
	scale  float64 // millimetres to a unit
	focus  float64 // where the plane of focus stands, across the sheet
	middle float64 // height of the eyes' middle on the sheet
	frame  box
}

const (
	headWidth = 400.0
	headHigh  = 236.0 // from the side; it is less high from above
)

// headWindow is how much is shown before and behind the plane of focus, in millimetres: at least the
// face, at most ten heads.
func (g Geometry) headWindow() (before, behind float64) {
	before, behind = min(max(75, 1.25*float64(g.Front)), 1500), 250
	if g.Rear != nil {
		behind = min(max(190, 1.25*float64(*g.Rear)), 2500)
	}
	return before, behind
}

func (g Geometry) head(v elevation, red bool) string {
	p := &headRoom{pen: pen{size: Sheet{Red: red}.letters(), heavy: red}}
	before, behind := g.headWindow()
	p.scale = scaleFor(max((before+behind)/(headWidth-8), 235/headHigh))
	p.focus = 4 + before/p.scale
	top, high, name, title := 1.5*p.size+6, headHigh, "What is sharp", "What is sharp, from the side: "
	if !v.fromSide {
		high, name, title = 0.86*headHigh, "The same from above", "What is sharp, from above: "
	}
	p.frame = box{2, top, headWidth - 2, top + high}
	p.middle = top + 0.5*high
	to := func(q Place) point {
		return point{p.focus + (q.Along-float64(g.Distance))/p.scale, p.middle + v.down*(q.Across-v.Eyes)/p.scale}
	}
	all := func(places []Place) []point {
		out := make([]point, len(places))
		for i, q := range places {
			out[i] = to(q)
		}
		return out
	}

	p.name(point{0, 0}, name)
	id := "head-" + v.name
	p.clipBox(id+"-box", p.frame)
	p.shell(id+"-shell", all(v.Near), all(v.Far), all(v.Sharp))
	for _, l := range v.Body {
		class := "outline body"
		if l.Fine {
			class = "thin"
		}
		p.path(class, polyline(all(l.At), l.Closed))
	}
	p.line("axis", point{p.focus, p.frame.top}, point{p.focus, p.frame.bottom})
	for _, m := range v.Marks {
		if at := to(m.At); at.x > p.frame.left && at.x < p.frame.right && at.y > p.frame.top && at.y < p.frame.bottom {
			p.mark(m.State, at, 0.26*p.size, m.Name)
		}
	}
	p.raw(`</g>`)
	p.rect("thin", p.frame)
	p.turner(v, to(v.Nose), to(v.Neck))

	title += g.depthWords()
	foot := p.frame.bottom + 4
	if v.fromSide {
		foot = p.words(g, foot+p.size)
	}
	return framed(p.String(), "head-"+v.name, title, foot, ` data-scale="`+at4(p.scale)+`" data-eye="`+at(p.focus)+`" data-middle="`+at(p.middle)+`" data-sheet="head" data-lens="0"`)
}

// shell hatches what is sharp between its limits, within the frame.
func (p *headRoom) shell(id string, near, far, sharpest []point) {
	if len(near) == 0 {
		return
	}
	shape := slices.Clone(near)
	if len(far) == 0 {
		shape = append(shape, point{p.frame.right, near[len(near)-1].y}, point{p.frame.right, near[0].y})
	} else {
		back := slices.Clone(far)
		slices.Reverse(back)
		shape = append(shape, back...)
	}
	low, high := extent(shape)
	p.clip(id, polyline(shape, true))
	p.hatch("sharp fine", box{max(low.x, p.frame.left), max(low.y, p.frame.top), min(high.x, p.frame.right), min(high.y, p.frame.bottom)}, 7)
	p.raw(`</g>`)
	p.path("sharp", polyline(near, false), ` data-length="near"`)
	if len(far) > 0 {
		p.path("sharp", polyline(far, false), ` data-length="far"`)
	}
	if len(sharpest) > 0 {
		p.path("sharpest", polyline(sharpest, false), ` data-length="sharpest"`)
	}
}

// turner draws the handle that nods the head, or turns it from above: before the nose, on a stem.
func (p *headRoom) turner(v elevation, nose, pivot point) {
	if nose == pivot {
		return
	}
	long := math.Hypot(nose.x-pivot.x, nose.y-pivot.y)
	out := (long + 24) / long
	tip := point{pivot.x + (nose.x-pivot.x)*out, pivot.y + (nose.y-pivot.y)*out}
	tip = point{min(max(tip.x, p.frame.left+10), p.frame.right-10), min(max(tip.y, p.frame.top+10), p.frame.bottom-10)}
	g := grip{name: "nod", field: "nod", label: "Head: nod, chin down", low: -45, high: 45, step: 1}
	if !v.fromSide {
		g = grip{name: "turn", field: "turn", label: "Head: turn, to the photographer's right", low: -90, high: 90, step: 5}
	}
	g.upright, g.degrees, g.at, g.value, g.text, g.hold = true, true, tip, v.Head, Degrees(v.Head), "eye"
	g.rate = 180 / math.Pi / (long + 24)
	p.line("thin", nose, tip)
	p.grip("head", g, 27)
}

// depthWords is how deep it is sharp about the plane of focus, or about what lies aside of it.
func (g Geometry) depthWords() string {
	about := cmp.Or(g.About, "the plane of focus")
	side := func(l measure.Length, plus, minus string) string {
		if l < 0 {
			plus, l = minus, -l
		}
		return g.sharp(l) + " " + plus + " "
	}
	words := "from " + side(g.Front, "before", "behind") + about + " "
	if g.Rear == nil {
		return words + "to infinity"
	}
	return words + "to " + side(*g.Rear, "behind", "before") + "it"
}

// words writes the depth before and behind the plane of focus under the drawing, and returns where it ends.
func (p *headRoom) words(g Geometry, below float64) float64 {
	before, behind := "before "+g.sharp(g.Front), "behind without end"
	if g.Front < 0 {
		before = "from behind " + g.sharp(-g.Front)
	}
	switch {
	case g.Rear == nil:
	case *g.Rear < 0:
		behind = "to before " + g.sharp(-*g.Rear)
	default:
		behind = "behind " + g.sharp(*g.Rear)
	}
	if both := before + ", " + behind; p.widthOf(both) <= headWidth {
		p.text(point{2, below}, "start", both)
		return below + p.size
	}
	p.text(point{2, below}, "start", before)
	p.text(point{2, below + 1.3*p.size}, "start", behind)
	return below + 2.3*p.size
}

// framed puts a small drawing into its SVG element.
func framed(body, name, title string, height float64, more ...string) string {
	var out pen
	out.raw(`<svg id="`, name, `" class="drawing elevation narrow `, name, `" viewBox="0 0 400 `, at(height), `" role="group" aria-labelledby="`, name, `-title" aria-describedby="marks-table"`)
	out.raw(more...)
	out.raw(`><title id="`, name, `-title">`, escape(title), `</title>`, body, `</svg>`)
	return out.String()
}
