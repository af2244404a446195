package scene

import (
	"platewright/measure"
	"platewright/optics"
)

// lines returns where a field over the nodes crosses a level, as lines on the plate. Only cells all four of whose
// nodes have a place are looked at; a place between two nodes is found in proportion.
func (n *nodes) lines(field []float64, level float64) []Line {
	m := march{nodes: n, field: field, level: level, links: make([][2]int32, 2*len(field))}
	for j := range n.high - 1 {
		for i := range n.wide - 1 {
			k := j*n.wide + i
			if n.there[k] && n.there[k+1] && n.there[k+n.wide] && n.there[k+n.wide+1] {
				m.cell(k)
			}
		}
	}
	return m.chains()
}

// march joins the crossings of cell after cell. A side of a cell is numbered 2k when it runs from node k to the right
// and 2k+1 when it runs up; links holds the one or two sides its crossing is joined to, plus one.
type march struct {
	*nodes
	field []float64
	level float64
	links [][2]int32
	used  []int32
}

// cell joins the crossings on the sides of the cell whose lower left node is k.
func (m *march) cell(k int) {
	corner := 0
	for bit, at := range [4]int{k, k + 1, k + m.wide + 1, k + m.wide} {
		if m.field[at] >= m.level {
			corner |= 1 << bit
		}
	}
	if corner == 0 || corner == 15 {
		return
	}
	below, right, above, left := 2*k, 2*(k+1)+1, 2*(k+m.wide), 2*k+1
	switch corner {
	case 1, 14:
		m.join(left, below)
	case 2, 13:
		m.join(below, right)
	case 3, 12:
		m.join(left, right)
	case 4, 11:
		m.join(right, above)
	case 6, 9:
		m.join(below, above)
	case 7, 8:
		m.join(left, above)
	case 5, 10: // two opposite corners are above the level: the middle decides which way the lines go
		middle := (m.field[k] + m.field[k+1] + m.field[k+m.wide] + m.field[k+m.wide+1]) / 4
		if (middle >= m.level) == (corner == 5) {
			m.join(left, above)
			m.join(below, right)
		} else {
			m.join(left, below)
			m.join(right, above)
		}
	}
}

func (m *march) join(a, b int) {
	for _, s := range [2][2]int{{a, b}, {b, a}} {
		if l := &m.links[s[0]]; l[0] == 0 {
			l[0] = int32(s[1] + 1)
			m.used = append(m.used, int32(s[0]))
		} else {
			l[1] = int32(s[1] + 1)
		}
	}
}

// chains walks the joined crossings: first from the ends of open lines, then round the closed ones.
func (m *march) chains() []Line {
	var all []Line
	for _, open := range [2]bool{true, false} {
		for _, at := range m.used {
			l := m.links[at]
			if l[0] == 0 || open && l[1] != 0 {
				continue
			}
			line := Line{Closed: !open}
			for side := at; side >= 0; {
				line.Points = append(line.Points, m.crossing(int(side)))
				next := m.links[side]
				m.links[side] = [2]int32{}
				side = -1
				for _, to := range next {
					if to > 0 && m.links[to-1][0] != 0 {
						side = to - 1
						break
					}
				}
			}
			all = append(all, line)
		}
	}
	return all
}

// crossing returns where on a side the field has the level.
func (m *march) crossing(side int) optics.PlatePoint {
	a := side / 2
	b := a + 1
	if side%2 == 1 {
		b = a + m.wide
	}
	t := (m.level - m.field[a]) / (m.field[b] - m.field[a])
	p, q := m.on[a], m.on[b]
	p.X += (q.X - p.X) * measure.Length(t)
	p.Y += (q.Y - p.Y) * measure.Length(t)
	return p
}
