package paper

import (
	"fmt"
	"math"

	"platewright/measure"
)

// Drawing is a line drawing in its own units, millimetres of the thing drawn: x to the right, y up. It
// is fitted whole into its place on the sheet, both ways to one scale. The zero value draws nothing.
type Drawing struct {
	Name    string // stands over it
	Strokes []Stroke
	Words   []Word
	// Bar is how long a scale bar is drawn, in the drawing's units; 0 draws none.
	Bar     float64
	BarWord string // "500 mm"
}

// Stroke is a polyline.
type Stroke struct {
	Points [][2]float64
	Closed bool
	Weight Weight
}

// Word is lettering in a drawing, its middle at the place.
type Word struct {
	At   [2]float64
	Text string
}

// Weight is how a stroke is drawn.
type Weight string

// The weights of strokes.
const (
	Outline Weight = ""       // a thing
	Heavy   Weight = "heavy"  // the plate, the lens board
	Thin    Weight = "thin"   // rays, dimensions
	Dashed  Weight = "dashed" // an axis, a limit of what is sharp
	Hatched Weight = "hatch"  // a closed area that is sharp
)

// Item is a word with its figure: "Extension", "643.5 mm", "25 5/16 in".
type Item struct{ Word, Value, Other string }

// check refuses a drawing that cannot be drawn.
func (d Drawing) check(name string) error {
	finite := func(v float64) bool { return !math.IsNaN(v) && math.Abs(v) <= 1e9 }
	for i, s := range d.Strokes {
		for _, p := range s.Points {
			if !finite(p[0]) || !finite(p[1]) {
				return fmt.Errorf("%s: stroke %d has the place %g, %g; places are within a thousand kilometres", name, i+1, p[0], p[1])
			}
		}
	}
	for i, w := range d.Words {
		if !finite(w.At[0]) || !finite(w.At[1]) {
			return fmt.Errorf("%s: word %d stands at %g, %g; places are within a thousand kilometres", name, i+1, w.At[0], w.At[1])
		}
	}
	return measure.Within(name+"'s scale bar", d.Bar, 0, 1e6, "mm")
}

// empty tells that there is nothing to draw.
func (d Drawing) empty() bool { return len(d.Strokes) == 0 && len(d.Words) == 0 }

// bounds are the least and the greatest places of what is drawn.
func (d Drawing) bounds() (least, most point) {
	least, most = point{math.Inf(1), math.Inf(1)}, point{math.Inf(-1), math.Inf(-1)}
	take := func(p [2]float64) {
		least = point{min(least.x, p[0]), min(least.y, p[1])}
		most = point{max(most.x, p[0]), max(most.y, p[1])}
	}
	for _, s := range d.Strokes {
		for _, p := range s.Points {
			take(p)
		}
	}
	for _, w := range d.Words {
		take(w.At)
	}
	return least, most
}

// lettering is the size of words in a drawing, in points.
const lettering = 9.0

// drawing fits a drawing into a box, its name over it and its scale bar under it.
func (p *pen) drawing(d Drawing, at, size point) {
	if d.empty() {
		return
	}
	top := at.y + size.y
	if d.Name != "" {
		p.text(point{at.x, top - 11}, d.Name, p.italic, 12)
		size.y -= 17
	}
	if d.Bar > 0 {
		at.y, size.y = at.y+13, size.y-13
	}
	least, most := d.bounds()
	wide, high := max(most.x-least.x, 1e-9), max(most.y-least.y, 1e-9)
	k := min(size.x/wide, size.y/high)
	from := point{at.x + (size.x-wide*k)/2, at.y + (size.y-high*k)/2}
	place := func(q [2]float64) point { return point{from.x + (q[0]-least.x)*k, from.y + (q[1]-least.y)*k} }
	for _, s := range d.Strokes {
		p.stroke(s, place)
	}
	for _, w := range d.Words {
		q := place(w.At)
		p.centred(point{q.x, q.y - lettering*0.36}, w.Text, p.sans, lettering)
	}
	if d.Bar > 0 && d.Bar*k <= size.x {
		p.scaleBar(point{from.x, at.y - 10}, d.Bar*k, d.BarWord)
	}
}

// scaleBar draws a rule divided in five, with its length at its end.
func (p *pen) scaleBar(at point, long float64, word string) {
	p.line(at, point{at.x + long, at.y}, 0.5)
	for i := range 6 {
		x, high := at.x+long*float64(i)/5, 2.0
		if i%5 == 0 {
			high = 4
		}
		p.line(point{x, at.y}, point{x, at.y + high}, p.hairline)
	}
	p.text(point{at.x + long + 4, at.y - 1}, word, p.sans, lettering)
}

// stroke draws one polyline.
func (p *pen) stroke(s Stroke, place func([2]float64) point) {
	if len(s.Points) < 2 {
		return
	}
	path := func() {
		for i, q := range s.Points {
			if at := place(q); i == 0 {
				p.s.MoveTo(at.x, at.y)
			} else {
				p.s.LineTo(at.x, at.y)
			}
		}
		if s.Closed || s.Weight == Hatched {
			p.s.ClosePath()
		}
	}
	p.s.SaveState()
	defer p.s.RestoreState()
	p.s.SetLineJoin(1)
	switch s.Weight {
	case Hatched:
		p.hatched(s, place, path)
		return
	case Heavy:
		p.s.SetLineWidth(1.4)
	case Thin:
		p.s.SetLineWidth(0.35)
	case Dashed:
		p.s.SetLineWidth(0.5)
		p.s.SetDashPattern([]float64{5, 2.5}, 0)
	default:
		p.s.SetLineWidth(0.75)
	}
	path()
	p.s.Stroke()
}

// hatched fills a polygon with slanting hairlines and draws its edge.
func (p *pen) hatched(s Stroke, place func([2]float64) point, path func()) {
	least, most := point{math.Inf(1), math.Inf(1)}, point{math.Inf(-1), math.Inf(-1)}
	for _, q := range s.Points {
		at := place(q)
		least = point{min(least.x, at.x), min(least.y, at.y)}
		most = point{max(most.x, at.x), max(most.y, at.y)}
	}
	p.s.SaveState()
	path()
	p.s.ClipNonZero()
	p.s.EndPath()
	p.s.SetLineWidth(p.hairline)
	high := most.y - least.y
	for x := least.x - high; x < most.x; x += 2.6 {
		p.s.MoveTo(x, least.y)
		p.s.LineTo(x+high, most.y)
	}
	p.s.Stroke()
	p.s.RestoreState()
	p.s.SetLineWidth(0.5)
	path()
	p.s.Stroke()
}
