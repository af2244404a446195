package paper

import (
	"fmt"
	"math"
	"strconv"
)

func (g Graph) check() error {
	finite := func(x, y float64) error {
		if math.IsNaN(x+y) || math.Abs(x) > 1e9 || math.Abs(y) > 1e9 {
			return fmt.Errorf("graph %q has the place %g, %g; places are within a thousand million", g.Name, x, y)
		}
		return nil
	}
	for _, line := range append([]GraphLine{{Points: g.Line}}, g.More...) {
		for _, p := range line.Points {
			if err := finite(p[0], p[1]); err != nil {
				return err
			}
		}
	}
	for _, m := range g.Marks {
		if err := finite(m.X, m.Y); err != nil {
			return err
		}
	}
	return nil
}

// bounds are the ends of the two axes: those of what is drawn, with a little room.
func (g Graph) bounds() (least, most point) {
	least, most = point{math.Inf(1), math.Inf(1)}, point{math.Inf(-1), math.Inf(-1)}
	take := func(x, y float64) {
		least = point{min(least.x, x), min(least.y, y)}
		most = point{max(most.x, x), max(most.y, y)}
	}
	for _, line := range append([]GraphLine{{Points: g.Line}}, g.More...) {
		for _, p := range line.Points {
			take(p[0], p[1])
		}
	}
	for _, m := range g.Marks {
		take(m.X, m.Y)
	}
	room := point{max((most.x-least.x)*0.04, 1e-6), max((most.y-least.y)*0.08, 1e-6)}
	return point{least.x - room.x, least.y - room.y}, point{most.x + room.x, most.y + room.y}
}

// roundStep is the step of 1, 2 or 5 times a power of ten that divides a span in at most so many.
func roundStep(span float64, most int) float64 {
	step := math.Pow(10, math.Floor(math.Log10(span/float64(most))))
	for _, k := range []float64{1, 2, 5, 10} {
		if span/(k*step) <= float64(most) {
			return k * step
		}
	}
	return 10 * step
}

// plain writes a figure of an axis.
func plain(v, step float64) string {
	places := max(0, int(math.Ceil(-math.Log10(step)-1e-9)))
	text := strconv.FormatFloat(v, 'f', places, 64)
	if v == 0 {
		return "0"
	}
	return text
}

// graph draws readings against the fitted line, with both axes divided.
func (p *pen) graph(g Graph, at, size point) {
	if len(g.Line) == 0 && len(g.Marks) == 0 {
		return
	}
	const letters = 8.5
	p.text(point{at.x, at.y + size.y - 12}, p.short(g.Name, p.italic, 13, size.x), p.italic, 13)
	left, foot, right, top := at.x+34, at.y+30, at.x+size.x-6, at.y+size.y-34
	least, most := g.bounds()
	x := func(v float64) float64 { return left + (v-least.x)/(most.x-least.x)*(right-left) }
	y := func(v float64) float64 {
		share := (v - least.y) / (most.y - least.y)
		if g.YDown {
			share = 1 - share
		}
		return foot + share*(top-foot)
	}
	p.text(point{at.x, top + 7}, g.YWord, p.sans, letters)
	p.right(point{right, at.y + 4}, g.XWord, p.sans, letters)
	p.line(point{left, foot}, point{right, foot}, 0.5)
	p.line(point{left, foot}, point{left, top}, 0.5)
	step := roundStep(most.x-least.x, 6)
	for v := math.Ceil(least.x/step) * step; v <= most.x; v += step {
		p.line(point{x(v), foot}, point{x(v), foot - 3}, 0.5)
		p.centred(point{x(v), foot - 13}, plain(v, step), p.sans, letters)
	}
	step = roundStep(most.y-least.y, 5)
	for v := math.Ceil(least.y/step) * step; v <= most.y; v += step {
		p.line(point{left, y(v)}, point{left - 3, y(v)}, 0.5)
		p.right(point{left - 5, y(v) - 3}, plain(v, step), p.sans, letters)
	}
	if least.y < 0 && most.y > 0 {
		p.line(point{left, y(0)}, point{right, y(0)}, p.hairline)
	}
	place := func(q [2]float64) point { return point{x(q[0]), y(q[1])} }
	p.stroke(Stroke{Points: g.Line}, place)
	for _, more := range g.More {
		p.stroke(Stroke{Points: more.Points, Weight: Dashed}, place)
	}
	p.key(g, point{right, top + 7})
	for _, m := range g.Marks {
		p.mark(point{x(m.X), y(m.Y)}, m.Disagrees)
	}
}

// key says at the right what each line is.
func (p *pen) key(g Graph, at point) {
	entry := func(word string, weight Weight) {
		if word == "" {
			return
		}
		word = p.short(word, p.italic, 9.5, 110)
		p.right(at, word, p.italic, 9.5)
		at.x -= p.italic.MeasureString(p.drawable(word, p.italic), 9.5) + 4
		p.stroke(Stroke{Points: [][2]float64{{at.x - 18, at.y + 3}, {at.x, at.y + 3}}, Weight: weight}, func(q [2]float64) point { return point{q[0], q[1]} })
		at.x -= 26
	}
	for _, more := range g.More {
		entry(more.Word, Dashed)
	}
	entry(g.LineWord, Outline)
}

// mark draws a reading: a dot, or an open square for one that disagrees with the others.
func (p *pen) mark(at point, disagrees bool) {
	p.s.SaveState()
	if disagrees {
		p.s.SetLineWidth(1.1)
		p.s.Rectangle(at.x-3, at.y-3, 6, 6)
		p.s.Stroke()
	} else {
		p.s.Circle(at.x, at.y, 2)
		p.s.Fill()
	}
	p.s.RestoreState()
}
