package bench

import (
	"html"
	"math"
	"strconv"
	"strings"
)

// point is a place on a drawing, in its own units; y runs down.
type point struct{ x, y float64 }

// pen writes SVG. Every letter on a drawing is explained by the key under it.
type pen struct {
	strings.Builder
	red bool // letters are larger, so fewer of them fit
}

// n writes a coordinate.
func n(v float64) string {
	if v = math.Round(v*10) / 10; v == 0 {
		return "0" // never minus zero
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

func (p *pen) raw(parts ...string) {
	for _, s := range parts {
		p.WriteString(s)
	}
}

func (p *pen) path(class, d string) { p.raw(`<path class="`, class, `" d="`, d, `"></path>`) }

// line draws straight lines from each point to the next.
func (p *pen) line(class string, points ...point) { p.path(class, through(points)) }

// through is a path through points.
func through(points []point) string {
	var d strings.Builder
	for i, q := range points {
		d.WriteString(map[bool]string{true: "M", false: "L"}[i == 0] + n(q.x) + " " + n(q.y))
	}
	return d.String()
}

func (p *pen) rect(class string, x, y, w, h float64) {
	p.raw(`<rect class="`, class, `" x="`, n(x), `" y="`, n(y), `" width="`, n(w), `" height="`, n(h), `"></rect>`)
}

func (p *pen) circle(class string, c point, r float64) {
	p.raw(`<circle class="`, class, `" cx="`, n(c.x), `" cy="`, n(c.y), `" r="`, n(r), `"></circle>`)
}

// text writes words whose middle is at the point's height; anchor is start, middle or end.
func (p *pen) text(class string, at point, anchor, words string) {
	p.raw(`<text class="`, class, `" x="`, n(at.x), `" y="`, n(at.y), `" text-anchor="`, anchor, `">`, html.EscapeString(words), `</text>`)
}

// letter names a thing; the key under the drawing says what it is.
func (p *pen) letter(at point, l string) { p.text("key-letter", at, "middle", l) }

// arrow draws an arrowhead at the tip, pointing along a direction of any length.
func (p *pen) arrow(tip point, dx, dy float64) {
	const long, half = 9, 2.6
	u := math.Hypot(dx, dy)
	dx, dy = dx/u, dy/u
	p.path("solid", through([]point{tip, {tip.x - dx*long + dy*half, tip.y - dy*long - dx*half}, {tip.x - dx*long - dy*half, tip.y - dy*long + dx*half}})+"Z")
}

// dimension draws a line with arrows at both ends and its letter beside its middle.
func (p *pen) dimension(a, b point, l string, aside point) {
	p.line("dimension", a, b)
	p.arrow(a, a.x-b.x, a.y-b.y)
	p.arrow(b, b.x-a.x, b.y-a.y)
	p.letter(point{(a.x+b.x)/2 + aside.x, (a.y+b.y)/2 + aside.y}, l)
}

// rail is the bed of a camera with its scale.
func (p *pen) rail(x1, x2, y float64) {
	p.rect("paper", x1, y, x2-x1, 9)
	var d strings.Builder
	for i, x := 0, x1+6; x < x2-3; i, x = i+1, x+6 {
		d.WriteString("M" + n(x) + " " + n(y) + "v" + map[bool]string{true: "6", false: "3.5"}[i%5 == 0])
	}
	p.path("thin", d.String())
}

// glass is the back with its ground glass, standing on the rail; a pointer shows where it is read.
func (p *pen) glass(x, axis, half, rail float64) {
	p.rect("paper", x-7, axis-half-7, 7, 2*half+14)
	p.line("heavy", point{x, axis - half}, point{x, axis + half})
	p.line("outline", point{x - 3.5, axis + half + 7}, point{x - 3.5, rail})
	p.path("solid", through([]point{{x, rail - 1}, {x - 3.5, rail - 9}, {x + 3.5, rail - 9}})+"Z")
}

// board is the front with the lens in it, standing on the rail: flange, barrel, hood.
func (p *pen) board(x, axis, half, rail float64) {
	p.rect("paper", x, axis-half, 5, 2*half)
	p.line("outline", point{x + 2.5, axis + half}, point{x + 2.5, rail})
	p.barrel(x+5, axis, 19)
}

// barrel is a brass lens, its flange at x.
func (p *pen) barrel(x, axis, r float64) {
	p.rect("paper", x, axis-r-4, 4, 2*r+8)
	p.rect("paper", x+4, axis-r, 34, 2*r)
	p.path("paper", through([]point{{x + 38, axis - r - 1}, {x + 48, axis - r - 5}, {x + 48, axis + r + 5}, {x + 38, axis + r + 1}})+"Z")
	p.line("thin", point{x + 15, axis - r}, point{x + 15, axis + r})
	p.line("thin", point{x + 19, axis - r}, point{x + 19, axis + r})
}

// bellows joins the glass and the board with folds.
func (p *pen) bellows(x1, x2, axis, half1, half2 float64) {
	const folds = 9
	for _, side := range []float64{-1, 1} {
		points := make([]point, 0, 2*folds+1)
		for i := range 2*folds + 1 {
			t := float64(i) / (2 * folds)
			half := half1 + (half2-half1)*t
			if i%2 == 1 {
				half -= 7
			}
			points = append(points, point{x1 + (x2-x1)*t, axis + side*half})
		}
		p.line("thin", points...)
	}
}

// rule is a standing scale.
func (p *pen) rule(x, y1, y2 float64) {
	p.rect("paper", x, y1, 11, y2-y1)
	var d strings.Builder
	for i, y := 0, y1+5; y < y2-2; i, y = i+1, y+5 {
		d.WriteString("M" + n(x) + " " + n(y) + "h" + map[bool]string{true: "8", false: "4"}[i%5 == 0])
	}
	p.path("thin", d.String())
}

// lying is a scale that lies along a line.
func (p *pen) lying(x1, x2, y float64) {
	p.rect("paper", x1, y, x2-x1, 12)
	var d strings.Builder
	for i, x := 0, x1+5; x < x2-2; i, x = i+1, x+5 {
		d.WriteString("M" + n(x) + " " + n(y) + "v" + map[bool]string{true: "8", false: "4"}[i%5 == 0])
	}
	p.path("thin", d.String())
}

// floor is the ground things stand on.
func (p *pen) floor(x1, x2, y float64) {
	p.line("outline", point{x1, y}, point{x2, y})
	var d strings.Builder
	for x := x1 + 6; x < x2; x += 12 {
		d.WriteString("M" + n(x) + " " + n(y) + "l-5 6")
	}
	p.path("thin", d.String())
}

// eye is an eye that looks to the left, or to the right.
func (p *pen) eye(at point, left bool) {
	s := 1.0
	if left {
		s = -1
	}
	p.path("outline", "M"+n(at.x-s*16)+" "+n(at.y-10)+"Q"+n(at.x+s*2)+" "+n(at.y-7)+" "+n(at.x+s*4)+" "+n(at.y)+
		"Q"+n(at.x+s*2)+" "+n(at.y+7)+" "+n(at.x-s*16)+" "+n(at.y+10))
	p.circle("solid", point{at.x, at.y}, 3.2)
}

// element is what was drawn as an SVG element of that height, 420 wide.
func (p *pen) element(title string, height float64) string {
	return `<svg class="drawing bench-drawing" role="img" aria-label="` + html.EscapeString(title) + `" viewBox="0 0 420 ` + n(height) + `">` + p.String() + `</svg>`
}
