package floor

import (
	"math"
	"slices"

	"platewright/measure"
)

// Stroke is a line of a drawing for paper, in millimetres of the thing drawn. Weight is "" (outline),
// "heavy", "thin", "dashed" or "hatch" (a closed area that is sharp).
type Stroke struct {
	At     []Place
	Closed bool
	Weight string
}

// Strokes are the two elevations and the plate's face as lines for paper, without letters or
// handles. The elevations have the lens's front principal point at the origin, the photographer on the left.
func (g Geometry) Strokes() (side, above, face []Stroke) {
	v, w := g.views()
	return g.strokes(v), g.strokes(w), g.faceStrokes()
}

// leant is a place of a standard that leans about c: so far along the axis and across it before it leans.
func leant(c Place, deg, along, across float64) Place {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	return Place{c.Along + along*cos - across*sin, c.Across + along*sin + across*cos}
}

func (g Geometry) strokes(v elevation) []Stroke {
	foot := Place{-float64(g.Extension), 0}
	onBack := func(along, across float64) Place { return leant(foot, v.Back, along, across-v.Off) }
	onLens := func(along, across float64) Place { return leant(Place{}, v.Front, along, across) }
	quad := func(to func(along, across float64) Place, a, b Place) []Place {
		return []Place{to(a.Along, a.Across), to(b.Along, a.Across), to(b.Along, b.Across), to(a.Along, b.Across)}
	}
	back, barrel := v.back(), 0.6*float64(g.Widest)
	board := min(max(0.62*back, barrel+20), max(back, barrel+20))
	long := 1.35 * float64(g.Widest)
	from, to := v.cut(), v.Frame[1]+200
	if !v.fromSide {
		from, to = v.Frame[0]-200, v.Frame[1]+200
	}
	all := []Stroke{
		{At: quad(onBack, Place{-22, -back}, Place{14, back}), Closed: true},
		{At: []Place{onBack(0, -v.plate/2), onBack(0, v.plate/2)}, Weight: "heavy"},
		{At: []Place{onBack(14, back-8), onLens(-12, board-8)}},
		{At: []Place{onBack(14, 8-back), onLens(-12, 8-board)}},
		{At: quad(onLens, Place{-12, -board}, Place{6, board}), Closed: true, Weight: "heavy"},
		{At: quad(onLens, Place{-0.25 * long, -barrel}, Place{0.75 * long, barrel}), Closed: true},
		{At: []Place{{-float64(g.Extension) - 60, 0}, {float64(g.Distance) + 60, 0}}, Weight: "dashed"},
		{At: []Place{onBack(0, v.plate/2), {float64(g.Distance), v.Frame[0]}}, Weight: "thin"},
		{At: []Place{onBack(0, -v.plate/2), {float64(g.Distance), v.Frame[1]}}, Weight: "thin"},
		{At: []Place{{float64(g.Distance), v.Frame[0]}, {float64(g.Distance), v.Frame[1]}}, Weight: "thin"},
	}
	if area := v.sharpArea(float64(g.Distance) + 400); len(area) > 0 {
		all = append(all, Stroke{At: area, Closed: true, Weight: "hatch"}, Stroke{At: v.Near, Weight: "dashed"})
		if len(v.Far) > 0 {
			all = append(all, Stroke{At: v.Far, Weight: "dashed"})
		}
	}
	for _, l := range v.Body {
		weight := ""
		if l.Fine {
			weight = "thin"
		}
		for _, part := range within(l, from, to) {
			all = append(all, Stroke{At: part.At, Closed: part.Closed, Weight: weight})
		}
	}
	return all
}

// sharpArea is the closed area within the limits of what is sharp; where that has no end it is drawn up
// to a place along the axis.
func (s Section) sharpArea(end float64) []Place {
	if len(s.Near) < 2 {
		return nil
	}
	area := slices.Clone(s.Near)
	if len(s.Far) == 0 {
		return append(area, Place{end, s.Near[len(s.Near)-1].Across}, Place{end, s.Near[0].Across})
	}
	far := slices.Clone(s.Far)
	slices.Reverse(far)
	return append(area, far...)
}

// within are the pieces of a line between two places across.
func within(l Line, low, high float64) []Line {
	inside := func(p Place) bool { return p.Across >= low && p.Across <= high }
	if !slices.ContainsFunc(l.At, func(p Place) bool { return !inside(p) }) {
		return []Line{l}
	}
	at := l.At
	if l.Closed {
		at = append(slices.Clone(at), at[0])
	}
	var pieces []Line
	var piece []Place
	for _, p := range at {
		if inside(p) {
			piece = append(piece, p)
			continue
		}
		if len(piece) > 1 {
			pieces = append(pieces, Line{At: piece})
		}
		piece = nil
	}
	if len(piece) > 1 {
		pieces = append(pieces, Line{At: piece})
	}
	return pieces
}

// faceStrokes draw the plate's face as the screen does: upright or as on the ground glass.
func (g Geometry) faceStrokes() []Stroke {
	turn := -1.0
	if g.Face.OnGlass {
		turn = 1
	}
	w, h := float64(g.Plate.Width)/2, float64(g.Plate.Height)/2
	to := func(at []Place) []Place {
		out := make([]Place, len(at))
		for i, p := range at {
			out[i] = Place{turn * p.Along, turn * p.Across}
		}
		return out
	}
	all := []Stroke{{At: []Place{{-w, -h}, {w, -h}, {w, h}, {-w, h}}, Closed: true, Weight: "heavy"}}
	add := func(l Line, weight string) {
		for _, part := range within(l, -h, h) {
			for _, piece := range within(crossed(part), -w, w) {
				all = append(all, Stroke{At: to(crossed(piece).At), Closed: piece.Closed, Weight: weight})
			}
		}
	}
	for _, l := range g.Face.Outline {
		weight := ""
		if l.Fine {
			weight = "thin"
		}
		add(l, weight)
	}
	for _, c := range g.Face.Contours {
		weight := "dashed"
		if c.Limit {
			weight = "heavy"
		}
		for _, l := range c.Lines {
			add(l, weight)
		}
	}
	foot := to([]Place{g.Face.Axis})[0]
	arm := 0.03 * h
	return append(all,
		Stroke{At: []Place{{foot.Along - arm, foot.Across}, {foot.Along + arm, foot.Across}}, Weight: "thin"},
		Stroke{At: []Place{{foot.Along, foot.Across - arm}, {foot.Along, foot.Across + arm}}, Weight: "thin"})
}

// crossed exchanges along and across.
func crossed(l Line) Line {
	out := Line{Closed: l.Closed, Fine: l.Fine, At: make([]Place, len(l.At))}
	for i, p := range l.At {
		out.At[i] = Place{p.Across, p.Along}
	}
	return out
}

// Bar is a round length for a scale bar beside a drawing so many millimetres wide, with its word.
func Bar(units measure.System, wide float64) (mm float64, word string) {
	total, unit, name := barLength(units, wide)
	if total == 0 {
		return 0, ""
	}
	return float64(total), formatFigure(total.Over(unit)) + "\u2009" + name
}
