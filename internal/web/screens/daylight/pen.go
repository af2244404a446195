package daylight

import (
	"html"
	"math"
	"strconv"
	"strings"
)

// pen writes SVG.
type pen struct{ strings.Builder }

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

func (p *pen) rect(class string, x, y, w, h float64) {
	p.raw(`<rect class="`, class, `" x="`, n(x), `" y="`, n(y), `" width="`, n(max(w, 0)), `" height="`, n(max(h, 0)), `"></rect>`)
}

func (p *pen) text(class string, x, y float64, anchor, words string) {
	p.raw(`<text class="`, class, `" x="`, n(x), `" y="`, n(y), `" text-anchor="`, anchor, `">`, html.EscapeString(words), `</text>`)
}

// hatch draws lines at a slant within a rectangle, so far apart; rising ones, or falling ones.
func (p *pen) hatch(class string, x, y, w, h, apart float64, falling bool) {
	var d strings.Builder
	for c := apart / 2; c < w+h; c += apart {
		x1, y1 := min(c, w), max(0, c-w)
		x2, y2 := max(0, c-h), min(c, h)
		if falling {
			d.WriteString("M" + n(x+w-x1) + " " + n(y+y1) + "L" + n(x+w-x2) + " " + n(y+y2))
		} else {
			d.WriteString("M" + n(x+x1) + " " + n(y+y1) + "L" + n(x+x2) + " " + n(y+y2))
		}
	}
	if d.Len() > 0 {
		p.path(class, d.String())
	}
}

func (p *pen) element(class, said string, wide, high float64) string {
	return `<svg class="chart ` + class + `" role="img" aria-label="` + html.EscapeString(said) + `" viewBox="0 0 ` + n(wide) + ` ` + n(high) + `">` + p.String() + `</svg>`
}

// trade writes seconds in little room: 0.3, 4, 8.1, 12.
func trade(s float64) string {
	switch {
	case s <= 0:
		return ""
	case s < 0.095:
		return strings.TrimPrefix(strconv.FormatFloat(s, 'f', 2, 64), "0")
	case s < 0.95:
		return strings.TrimPrefix(strconv.FormatFloat(s, 'f', 1, 64), "0")
	case s < 9.95:
		return strings.TrimSuffix(strconv.FormatFloat(s, 'f', 1, 64), ".0")
	}
	return strconv.FormatFloat(s, 'f', 0, 64)
}
