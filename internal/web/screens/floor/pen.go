package floor

import (
	"html"
	"math"
	"strconv"
	"strings"
)

// point is a place on a sheet, in its own units; y runs down.
type point struct{ x, y float64 }

// box is an upright rectangle on a sheet.
type box struct{ left, top, right, bottom float64 }

func (b box) width() float64  { return b.right - b.left }
func (b box) height() float64 { return b.bottom - b.top }

// pen writes SVG. Letters are size units high, names a quarter larger.
type pen struct {
	strings.Builder
	size  float64
	heavy bool // letters of weight 600, which are wider
}

// at writes a coordinate.
func at(v float64) string {
	if v = math.Round(v*100) / 100; v == 0 {
		return "0" // never minus zero
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

func (p *pen) raw(parts ...string) {
	for _, s := range parts {
		p.WriteString(s)
	}
}

// path draws a path of that class; more holds further attributes, each with a space before it.
func (p *pen) path(class, d string, more ...string) {
	p.raw(`<path class="`, class, `"`)
	p.raw(more...)
	p.raw(` d="`, d, `"></path>`)
}

// line draws a straight line.
func (p *pen) line(class string, from, to point, more ...string) {
	p.path(class, "M"+at(from.x)+" "+at(from.y)+"L"+at(to.x)+" "+at(to.y), more...)
}

// rect draws a rectangle.
func (p *pen) rect(class string, b box, more ...string) {
	p.raw(`<rect class="`, class, `" x="`, at(b.left), `" y="`, at(b.top), `" width="`, at(b.width()), `" height="`, at(b.height()), `"`)
	p.raw(more...)
	p.raw(`></rect>`)
}

// text writes words whose middle is at the point's height; anchor is start, middle or end.
func (p *pen) text(at_ point, anchor, words string, more ...string) {
	p.raw(`<text x="`, at(at_.x), `" y="`, at(at_.y-0.36*p.size), `" text-anchor="`, anchor, `"`)
	p.raw(more...)
	p.raw(`>`, html.EscapeString(words), `</text>`)
}

// clip opens a group that shows only what lies within a closed path; the caller closes it with </g>.
func (p *pen) clip(id, d string) {
	p.raw(`<clipPath id="`, id, `"><path d="`, d, `"></path></clipPath><g clip-path="url(#`, id, `)">`)
}

// clipBox is [pen.clip] for a box.
func (p *pen) clipBox(id string, b box) { p.clip(id, boxPath(b)) }

func boxPath(b box) string {
	return "M" + at(b.left) + " " + at(b.top) + "H" + at(b.right) + "V" + at(b.bottom) + "H" + at(b.left) + "Z"
}

// polyline returns a path straight from point to point.
func polyline(points []point, closed bool) string {
	var d strings.Builder
	for i, q := range points {
		if i == 0 {
			d.WriteByte('M')
		} else {
			d.WriteByte('L')
		}
		d.WriteString(at(q.x) + " " + at(q.y))
	}
	if closed {
		d.WriteByte('Z')
	}
	return d.String()
}

// mark draws the sign of a landmark: a dot where it is sharp, a ring where it is soft, a cross where it
// is gone.
func (p *pen) mark(state State, c point, r float64, words string) {
	p.raw(`<g class="mark-`, string(state), `" data-mark="`, html.EscapeString(words), `"><title>`, html.EscapeString(words+", "+string(state)), `</title>`)
	switch state {
	case IsSharp:
		p.raw(`<circle class="dot" cx="`, at(c.x), `" cy="`, at(c.y), `" r="`, at(r), `"></circle>`)
	case IsSoft:
		p.raw(`<circle class="ring" cx="`, at(c.x), `" cy="`, at(c.y), `" r="`, at(r), `"></circle>`)
	default:
		p.path("cross", "M"+at(c.x-r)+" "+at(c.y-r)+"L"+at(c.x+r)+" "+at(c.y+r)+"M"+at(c.x-r)+" "+at(c.y+r)+"L"+at(c.x+r)+" "+at(c.y-r))
	}
	p.raw(`</g>`)
}

// grip is a small square that is dragged, or moved with the arrow keys. The script writes its value
// into a field of the form and asks for the drawing again.
type grip struct {
	name, label string
	field       string // the form's field it writes
	at          point
	upright     bool    // dragged up and down; else across
	value       float64 // in millimetres or degrees
	text        string  // the value as it is said
	rate        float64 // change of the value for a unit of the sheet, to the right or down
	step        float64 // what an arrow key changes
	low, high   float64
	degrees     bool
	hold        string // what the drawing keeps in its place meanwhile: lens or eye
}

// grip draws a handle on a sheet; reach is half of what a finger hits.
func (p *pen) grip(sheet string, g grip, reach float64) {
	const half = 6.5
	unit, lies := "mm", "horizontal"
	if g.degrees {
		unit = "deg"
	}
	if g.upright {
		lies = "vertical"
	}
	p.raw(`<g id="`, sheet, `-`, g.name, `" class="grip `, lies, `" tabindex="0" role="slider" data-handle="`, g.name, `" data-field="`, g.field, `" data-unit="`, unit,
		`" data-rate="`, formatFigure(g.rate), `" data-step="`, at(g.step), `" data-hold="`, g.hold, `" aria-label="`, html.EscapeString(g.label), `" aria-orientation="`, lies,
		`" aria-valuemin="`, at(g.low), `" aria-valuemax="`, at(g.high), `" aria-valuenow="`, at(g.value), `" aria-valuetext="`, html.EscapeString(g.text), `">`)
	p.rect("reach", box{g.at.x - reach, g.at.y - reach, g.at.x + reach, g.at.y + reach})
	p.rect("handle", box{g.at.x - half, g.at.y - half, g.at.x + half, g.at.y + half})
	p.raw(`</g>`)
}

// name writes a drawing's title, its top at the point.
func (p *pen) name(at_ point, words string) {
	p.raw(`<text class="drawing-name" x="`, at(at_.x), `" y="`, at(at_.y), `">`, html.EscapeString(words), `</text>`)
}

// widthOf estimates how wide words are set.
func (p *pen) widthOf(words string) float64 {
	w := 0.0
	for _, r := range words {
		switch {
		case r == '\u2009':
			w += 0.2
		case r == ' ', r == '.', r == ',':
			w += 0.28
		case r == 'm':
			w += 0.88
		default:
			w += 0.58
		}
	}
	if p.heavy {
		w *= 1.06
	}
	return w * p.size
}

// arrow draws an arrowhead at the tip, pointing along dx, dy, one of which is 0.
func (p *pen) arrow(tip point, dx, dy float64) {
	const long, half = 8, 2.2
	p.path("solid", "M"+at(tip.x)+" "+at(tip.y)+
		"L"+at(tip.x-dx*long+dy*half)+" "+at(tip.y-dy*long+dx*half)+
		"L"+at(tip.x-dx*long-dy*half)+" "+at(tip.y-dy*long-dx*half)+"Z")
}

// hatch fills a box with parallel lines rising to the right. A box too thin for that is left empty.
func (p *pen) hatch(class string, b box, spacing float64) {
	if b.width() < 2.5 || b.height() < 2.5 {
		return
	}
	var d strings.Builder
	w := b.width()
	for t := b.top + spacing/2; t < b.bottom+w; t += spacing {
		// The line runs from (left, t) to (right, t-w); cut it at top and bottom.
		x1, y1, x2, y2 := b.left, t, b.right, t-w
		if y1 > b.bottom {
			x1, y1 = x1+(y1-b.bottom), b.bottom
		}
		if y2 < b.top {
			x2, y2 = x2-(b.top-y2), b.top
		}
		if x2 > x1 {
			d.WriteString("M" + at(x1) + " " + at(y1) + "L" + at(x2) + " " + at(y2))
		}
	}
	p.path(class, d.String())
}

// smooth returns a path through the points, curved as a ruler bent around pins (Catmull-Rom).
func smooth(points []point, closed bool) string {
	n := len(points)
	get := func(i int) point {
		if closed {
			return points[(i+n)%n]
		}
		return points[min(max(i, 0), n-1)]
	}
	var d strings.Builder
	d.WriteString("M" + at(points[0].x) + " " + at(points[0].y))
	last := n - 1
	if closed {
		last = n
	}
	for i := range last {
		a, b, c, e := get(i-1), get(i), get(i+1), get(i+2)
		d.WriteString("C" + at(b.x+(c.x-a.x)/6) + " " + at(b.y+(c.y-a.y)/6) +
			" " + at(c.x-(e.x-b.x)/6) + " " + at(c.y-(e.y-b.y)/6) + " " + at(c.x) + " " + at(c.y))
	}
	if closed {
		d.WriteString("Z")
	}
	return d.String()
}

// scales are the scales drawn at, in millimetres to a unit of the sheet, times a power of ten: a
// ladder, so that a drawing does not creep while a figure is typed.
var scales = [...]float64{1, 1.12, 1.25, 1.4, 1.6, 1.8, 2, 2.24, 2.5, 2.8, 3.15, 3.55, 4, 4.5, 5, 5.6, 6.3, 7.1, 8, 9}

// scaleFor returns the scale of the ladder next above the one that would just fit.
func scaleFor(least float64) float64 {
	decade := math.Pow(10, math.Floor(math.Log10(least)))
	for _, s := range scales {
		if s*decade >= least*(1-1e-9) {
			return s * decade
		}
	}
	return 10 * decade
}
