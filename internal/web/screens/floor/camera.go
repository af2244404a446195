package floor

import (
	"html"
	"math"
	"strings"
)

// standards says how large board and barrel are drawn: half of each, in units of the sheet.
func (s *stage) standards(v elevation) (board, barrel float64) {
	back := v.back() / s.scale
	barrel = 0.6 * float64(s.Widest) / s.scale
	return min(max(0.62*back, barrel+6), max(back, barrel+6)), barrel
}

// board is half of the lens board, in units.
func (s *stage) board(v elevation) float64 {
	board, _ := s.standards(v)
	return board
}

// bed is the height on the sheet of the camera's bed.
func (s *stage) bed(v elevation) float64 {
	low := max(s.onPlate(v, -v.back(), 0).y, v.axis+s.board(v), v.mid+v.back()/s.scale)
	return low + 3
}

// camera draws back, bellows, board, lens and, from the side, the bed. Both standards lean as they are
// set; the bellows follow.
func (s *stage) camera(v elevation) {
	k := s.scale
	board, barrel := s.standards(v)
	back := v.back()
	lens := point{s.lens, v.axis}
	onLens := func(along, down float64) point { return v.turned(lens, v.Front, along, down) }
	// quad is a rectangle of a standard, given by two opposite corners.
	quad := func(class string, to func(along, down float64) point, a, b point, more ...string) {
		s.path(class, polyline([]point{to(a.x, a.y), to(b.x, a.y), to(b.x, b.y), to(a.x, b.y)}, true), more...)
	}
	onBack := func(along, down float64) point { return s.onPlate(v, v.down*down*k, along*k) }

	// the back, with the holder's thickness behind the plate
	quad("paper", onBack, point{-22 / k, -back / k}, point{14 / k, back / k})
	s.line("thin", onBack(-8/k, -back/k), onBack(-8/k, back/k))
	s.line("heavy plate", onBack(0, -v.plate/2/k), onBack(0, v.plate/2/k), ` data-length="plate"`)

	// the bellows, between the back's front and the board's rear
	rear := -max(2.5, 7/k)
	a, b := onBack(14/k, -(back/k-2)), onBack(14/k, back/k-2)
	c, d := onLens(rear, -(board-2)), onLens(rear, board-2)
	if c.x > a.x+4 || d.x > b.x+4 {
		s.path("outline", bellows(a, c, b, d))
		s.path("thin faint", folds(a, c, b, d))
	}

	// the board and the barrel
	quad("paper", onLens, point{rear, -board}, point{max(1.5, 5/k), board})
	long := max(1.35*float64(s.Widest)/k, 10)
	first, last := -0.25*long, 0.75*long
	s.path("paper", polyline([]point{onLens(first, -barrel), onLens(last-0.16*long, -barrel), onLens(last, -1.16*barrel),
		onLens(last, 1.16*barrel), onLens(last-0.16*long, barrel), onLens(first, barrel)}, true))
	glass := 0.86 * barrel
	for _, g := range []float64{-0.1 * long, 0.58 * long} {
		bulge := 0.14 * long
		p := func(along, down float64) string { q := onLens(g+along, down); return at(q.x) + " " + at(q.y) }
		s.path("thin", "M"+p(0, -glass)+"Q"+p(bulge, 0)+" "+p(0, glass)+"Q"+p(-bulge, 0)+" "+p(0, -glass)+"Z")
	}
	// the stop, open as wide as the pupil
	pupil := float64(s.Pupil) / 2 / k
	s.line("heavy", onLens(0.26*long, -barrel), onLens(0.26*long, -pupil))
	s.line("heavy", onLens(0.26*long, pupil), onLens(0.26*long, barrel))
	if !v.fromSide {
		return
	}
	// the bed, with the reach of the bellows on it
	bed := s.bed(v)
	s.rect("paper", box{s.x(-30), bed, max(s.lens+0.3*long, s.x(40)), bed + 4})
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
}

// bellows returns both zigzag edges of a bellows, from a to c and from b to d.
func bellows(a, c, b, d point) string {
	var path strings.Builder
	n := foldCount(a, c, b, d)
	for _, edge := range [][4]point{{a, c, b, d}, {b, d, a, c}} {
		for i := range n + 1 {
			t := float64(i) / float64(n)
			p, q := between(edge[0], edge[1], t), between(edge[2], edge[3], t)
			if i%2 == 1 {
				wide := math.Hypot(p.x-q.x, p.y-q.y)
				p = between(p, q, min(4/max(wide, 1), 0.08))
			}
			move := "L"
			if i == 0 {
				move = "M"
			}
			path.WriteString(move + at(p.x) + " " + at(p.y))
		}
	}
	return path.String()
}

// folds returns the lines of the bellows' outer folds.
func folds(a, c, b, d point) string {
	var path strings.Builder
	n := foldCount(a, c, b, d)
	for i := 2; i < n; i += 2 {
		t := float64(i) / float64(n)
		p, q := between(a, c, t), between(b, d, t)
		path.WriteString("M" + at(p.x) + " " + at(p.y) + "L" + at(q.x) + " " + at(q.y))
	}
	return path.String()
}

// between is the point a part t of the way from a to b.
func between(a, b point, t float64) point { return point{a.x + t*(b.x-a.x), a.y + t*(b.y-a.y)} }

// foldCount is even, so that a bellows begins and ends at an outer fold.
func foldCount(a, c, b, d point) int {
	long := (math.Hypot(c.x-a.x, c.y-a.y) + math.Hypot(d.x-b.x, d.y-b.y)) / 2
	return 2 * max(2, min(16, int(math.Round(long/9))))
}

func escape(words string) string { return html.EscapeString(words) }
