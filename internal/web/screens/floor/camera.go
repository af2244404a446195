package floor

import (
	"html"
	"math"
	"strconv"
	"strings"
)

// camera draws back, bellows, board, lens and bed about an axis; side is the plate's side that is
// seen. From above there is no bed, and no handle.
func (s *stage) camera(axis, side float64, fromSide bool) {
	k := s.scale
	plate := side / 2 / k
	back := (side + 40) / 2 / k
	if s.Holder != nil {
		held := float64(s.Holder.Height)
		if !fromSide {
			held = float64(s.Holder.Width)
		}
		back = max(back, (held+40)/2/k)
	}
	barrel := 0.6 * float64(s.Widest) / k
	board := min(max(0.62*back, barrel+6), max(back, barrel+6))
	lens := s.lens

	// the back, with the holder's thickness behind the plate
	s.rect("paper", box{s.x(-22), axis - back, s.x(14), axis + back})
	s.line("thin", point{s.x(-8), axis - back}, point{s.x(-8), axis + back})
	s.line("heavy plate", point{s.plate, axis - plate}, point{s.plate, axis + plate}, ` data-length="plate"`)

	// the bellows
	from, to := s.x(14), lens-max(2.5, 7/k)
	if to > from+4 {
		s.path("outline", bellows(from, to, axis, back-2, board-2))
		s.path("thin faint", folds(from, to, axis, back-2, board-2))
	}

	// the board and the barrel
	s.rect("paper", box{to, axis - board, lens + max(1.5, 5/k), axis + board})
	long := max(1.35*float64(s.Widest)/k, 10)
	rear, front := lens-0.25*long, lens+0.75*long
	s.path("paper", "M"+at(rear)+" "+at(axis-barrel)+"H"+at(front-0.16*long)+"L"+at(front)+" "+at(axis-1.16*barrel)+
		"V"+at(axis+1.16*barrel)+"L"+at(front-0.16*long)+" "+at(axis+barrel)+"H"+at(rear)+"Z")
	glass := 0.86 * barrel
	for _, g := range []float64{lens - 0.1*long, lens + 0.58*long} {
		bulge := 0.07 * long
		s.path("thin", "M"+at(g)+" "+at(axis-glass)+"Q"+at(g+2*bulge)+" "+at(axis)+" "+at(g)+" "+at(axis+glass)+
			"Q"+at(g-2*bulge)+" "+at(axis)+" "+at(g)+" "+at(axis-glass)+"Z")
	}
	// the stop, open as wide as the pupil
	pupil := float64(s.Pupil) / 2 / k
	stop := lens + 0.26*long
	s.line("heavy", point{stop, axis - barrel}, point{stop, axis - pupil})
	s.line("heavy", point{stop, axis + pupil}, point{stop, axis + barrel})
	if !fromSide {
		return
	}
	// the bed, with the reach of the bellows on it
	bed := axis + back + 3
	s.rect("paper", box{s.x(-30), bed, max(lens+0.3*long, s.x(40)), bed + 4})
	if s.Longest > 0 {
		a, b := s.x(float64(s.Shortest)), s.x(float64(s.Longest))
		end := min(b, s.edge)
		y := bed + 9
		s.line("dimension", point{a, y}, point{end, y})
		s.line("outline", point{a, y - 3}, point{a, y + 3})
		if b <= s.edge {
			s.line("outline", point{b, y - 3}, point{b, y + 3})
		}
	}
	s.handle("lens", point{lens, bed + 2}, "Lens board: distance to the sitter")
}

// bellows returns both zigzag edges of a bellows that narrows from one half height to another.
func bellows(from, to, axis, back, front float64) string {
	var d strings.Builder
	for _, sign := range []float64{-1, 1} {
		n := foldCount(from, to)
		for i := range n + 1 {
			t := float64(i) / float64(n)
			h := back + t*(front-back)
			if i%2 == 1 {
				h -= min(4, 0.16*h)
			}
			move := "L"
			if i == 0 {
				move = "M"
			}
			d.WriteString(move + at(from+t*(to-from)) + " " + at(axis+sign*h))
		}
	}
	return d.String()
}

// folds returns the upright lines of the bellows' outer folds.
func folds(from, to, axis, back, front float64) string {
	var d strings.Builder
	n := foldCount(from, to)
	for i := 2; i < n; i += 2 {
		t := float64(i) / float64(n)
		h := back + t*(front-back)
		d.WriteString("M" + at(from+t*(to-from)) + " " + at(axis-h) + "V" + at(axis+h))
	}
	return d.String()
}

// foldCount is even, so that a bellows begins and ends at an outer fold.
func foldCount(from, to float64) int {
	return 2 * max(2, min(16, int(math.Round((to-from)/9))))
}

func escape(words string) string { return html.EscapeString(words) }

func formatFixed(v float64, decimals int) string { return strconv.FormatFloat(v, 'f', decimals, 64) }

func formatFigure(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
