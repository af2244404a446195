package bench

import (
	"html"
	"math"
	"strconv"
	"strings"
)

// Plot is readings against the line fitted through them.
type Plot struct {
	Title  string
	Across string // what runs across: "size of the image over the rule's"
	Up     string // what runs up: "reading on the rail, mm"
	Line   [][2]float64
	More   []PlotLine
	Marks  []Mark
	// Departs is the unit of what lies below: how far each reading departs from the line, drawn larger.
	// Empty draws no such part.
	Departs string
}

// PlotLine is another line, drawn broken.
type PlotLine struct {
	Word   string
	Points [][2]float64
}

// Mark is a reading: a dot, a ring for one of a second kind, an open square when it disagrees.
type Mark struct {
	X, Y, Departs float64
	Second        bool
	Disagrees     bool
}

// The parts of a plot, in its own units: 420 wide.
const (
	plotWide   = 420.0
	plotTop    = 8.0
	plotHigh   = 170.0
	departHigh = 62.0
)

// scale maps a span on to a stretch of the drawing.
type scale struct{ from, to, a, b float64 }

func (s scale) at(v float64) float64 { return s.a + (v-s.from)/(s.to-s.from)*(s.b-s.a) }

// widened is a span with room at both ends; a span of nothing is given some.
func widened(from, to, share float64) (float64, float64) {
	room := (to - from) * share
	if room == 0 {
		room = max(math.Abs(from)*0.01, 0.01)
	}
	return from - room, to + room
}

// steps are round values within a span, at most so many.
func steps(from, to float64, most int) (at []float64, step float64) {
	step = math.Pow(10, math.Floor(math.Log10((to-from)/float64(most))))
	for _, k := range []float64{1, 2, 5, 10} {
		if (to-from)/(k*step) <= float64(most) {
			step *= k
			break
		}
	}
	for v := math.Ceil(from/step-1e-9) * step; v <= to+step*1e-9; v += step {
		at = append(at, v)
	}
	return at, step
}

// figure writes a value of an axis.
func figure(v, step float64) string {
	places := max(0, int(math.Ceil(-math.Log10(step)-1e-9)))
	if math.Abs(v) < step/1e6 {
		return "0"
	}
	return strings.Replace(strconv.FormatFloat(v, 'f', places, 64), "-", "−", 1)
}

// Draw returns the plot as an SVG element.
func (d Plot) Draw(red bool) string {
	p := &pen{red: red}
	left, letters, most := 66.0, 20.0, 5
	if red {
		left, letters, most = 112, 34, 3
	}
	xFrom, xTo, yFrom, yTo, depart := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1), 0.0
	take := func(x, y float64) {
		xFrom, xTo, yFrom, yTo = min(xFrom, x), max(xTo, x), min(yFrom, y), max(yTo, y)
	}
	for _, line := range append([]PlotLine{{Points: d.Line}}, d.More...) {
		for _, q := range line.Points {
			take(q[0], q[1])
		}
	}
	for _, m := range d.Marks {
		take(m.X, m.Y)
		depart = max(depart, math.Abs(m.Departs))
	}
	if !(xTo >= xFrom) {
		return ""
	}
	xFrom, xTo = widened(xFrom, xTo, 0.04)
	yFrom, yTo = widened(yFrom, yTo, 0.08)
	x := scale{xFrom, xTo, left, plotWide - 8}
	y := scale{yFrom, yTo, plotTop + plotHigh, plotTop}
	p.axes(x, y, left, letters, most)

	for _, more := range d.More {
		p.line("axis", placed(more.Points, x, y)...)
	}
	if len(d.Line) > 1 {
		p.line("sharp", placed(d.Line, x, y)...)
	}
	for _, m := range d.Marks {
		p.mark(point{x.at(m.X), y.at(m.Y)}, m)
	}
	foot := plotTop + plotHigh + letters + 12
	if d.Departs != "" && depart > 0 {
		foot = d.departures(p, x, foot+8, depart, letters)
	}
	return `<svg class="drawing bench-plot" role="img" aria-label="` + html.EscapeString(d.Title+": across, "+d.Across+"; up, "+d.Up) +
		`" viewBox="0 0 420 ` + n(foot) + `">` + p.String() + `</svg>`
}

func placed(points [][2]float64, x, y scale) []point {
	out := make([]point, 0, len(points))
	for _, q := range points {
		out = append(out, point{x.at(q[0]), y.at(q[1])})
	}
	return out
}

// axes are two divided lines with their figures.
func (p *pen) axes(x, y scale, left, letters float64, most int) {
	base := plotTop + plotHigh
	p.line("outline", point{left, plotTop}, point{left, base}, point{plotWide - 8, base})
	at, step := steps(x.from, x.to, most)
	for _, v := range at {
		p.line("outline", point{x.at(v), base}, point{x.at(v), base + 5})
		p.text("axis-figure", point{x.at(v), base + 8 + letters/2}, "middle", figure(v, step))
	}
	at, step = steps(y.from, y.to, most)
	for _, v := range at {
		p.line("outline", point{left - 5, y.at(v)}, point{left, y.at(v)})
		p.text("axis-figure", point{left - 8, y.at(v)}, "end", figure(v, step))
	}
	if y.from < 0 && y.to > 0 {
		p.line("thin", point{left, y.at(0)}, point{plotWide - 8, y.at(0)})
	}
}

// mark draws one reading.
func (p *pen) mark(at point, m Mark) {
	switch {
	case m.Disagrees:
		p.rect("off", at.x-6, at.y-6, 12, 12)
	case m.Second:
		p.circle("second", at, 4)
	default:
		p.circle("solid", at, 4)
	}
}

// departures draw how far each reading departs from the line, on a scale of their own.
func (d Plot) departures(p *pen, x scale, top, most, letters float64) (foot float64) {
	y := scale{-most * 1.15, most * 1.15, top + departHigh, top}
	p.line("outline", point{x.a, y.at(0)}, point{x.b, y.at(0)})
	p.line("outline", point{x.a, top}, point{x.a, top + departHigh})
	round := roundDown(most)
	for _, v := range []float64{-round, round} {
		p.line("outline", point{x.a - 5, y.at(v)}, point{x.a, y.at(v)})
		if v > 0 || !p.red { // large letters leave room for one
			p.text("axis-figure", point{x.a - 8, y.at(v)}, "end", figure(v, round))
		}
	}
	for _, m := range d.Marks {
		p.line("thin", point{x.at(m.X), y.at(0)}, point{x.at(m.X), y.at(m.Departs)})
		p.mark(point{x.at(m.X), y.at(m.Departs)}, m)
	}
	return top + departHigh + letters/2
}

// roundDown is the next 1, 2 or 5 times a power of ten below a value.
func roundDown(v float64) float64 {
	decade := math.Pow(10, math.Floor(math.Log10(v)))
	for _, k := range []float64{5, 2, 1} {
		if k*decade <= v*(1+1e-9) {
			return k * decade
		}
	}
	return decade
}

// draw is the interval as a bar with soft ends on a divided line, the value as a tick; the words beside it
// say the same.
func (d Interval) draw(red bool) string {
	half := max(d.High-d.Value, d.Value-d.Low)
	if !(half > 0) {
		return ""
	}
	p := &pen{red: red}
	letters, most := 19.0, 5
	if red {
		letters, most = 34, 3
	}
	x := scale{d.Value - 2.2*half, d.Value + 2.2*half, 6, plotWide - 6}
	p.raw(`<defs><linearGradient id="interval-ends"><stop offset="0" class="soft"></stop><stop offset=".2" class="full"></stop><stop offset=".8" class="full"></stop><stop offset="1" class="soft"></stop></linearGradient></defs>`)
	p.raw(`<rect x="`, n(x.at(d.Low)), `" y="8" width="`, n(x.at(d.High)-x.at(d.Low)), `" height="10" fill="url(#interval-ends)"></rect>`)
	p.line("outline", point{6, 24}, point{plotWide - 6, 24})
	at, step := steps(x.from, x.to, most)
	for _, v := range at {
		if place := x.at(v); place > 24 && place < plotWide-24 {
			p.line("outline", point{place, 24}, point{place, 29})
			p.text("axis-figure", point{place, 32 + letters/2}, "middle", figure(v, step))
		}
	}
	p.line("heavy", point{x.at(d.Value), 3}, point{x.at(d.Value), 24})
	return `<svg class="drawing bench-plot interval" aria-hidden="true" focusable="false" viewBox="0 0 420 ` + n(34+letters) + `">` + p.String() + `</svg>`
}

// holes draws openings side by side, all to one scale, as they are; red drawings have larger letters.
func holes(all []Hole, red bool) string {
	p := &pen{red: red}
	most, room := 1.0, 84.0
	if red {
		room = 140
	}
	for _, h := range all {
		most = max(most, h.Diameter)
	}
	x, rows, across := 0.0, 0, int(plotWide/room)
	widest := room - 12
	letters := map[bool]float64{true: 34, false: 21}[red]
	high := widest + 2*letters + 26
	for i, h := range all {
		if i%across == 0 {
			x, rows = 0, rows+1
		}
		r := widest / 2 * h.Diameter / most
		mid, base := x+room/2, float64(rows-1)*high+widest+6
		p.circle("paper", point{mid, base - r}, r)
		p.line("axis", point{mid - r - 5, base - r}, point{mid + r + 5, base - r})
		p.text("axis-figure", point{mid, base + 8 + letters/2}, "middle", h.Name)
		p.text("axis-figure", point{mid, base + 10 + 1.5*letters}, "middle", h.Across)
		x += room
	}
	return `<svg class="drawing bench-plot" role="img" aria-label="Holes, all to one scale" viewBox="0 0 420 ` + n(float64(rows)*high) + `">` + p.String() + `</svg>`
}
