package scene

import (
	"math"

	"platewright/measure"
	"platewright/optics"
)

// Contours is the sitter's image on the plate as lines.
type Contours struct {
	Outline []Line    // the sitter's edges: head, bust and hands of the figure's drawing from the front
	Equal   []Isoline // lines of equal blur on the sitter
}

// Line is a line on the plate, from point to point.
type Line struct {
	Part   string // what a line of the outline draws, as [pose.Line] calls it
	Points []optics.PlatePoint
	Closed bool // the last point joins the first
}

// Isoline is a line along which the blur is Level.
type Isoline struct {
	Line
	Level measure.Length
	// Nearer: the sitter is nearer there than what is sharp, so that the focus lies behind the plate.
	Nearer bool
}

// The number of cells along the plate's long side that [Shot.Face] takes.
const (
	LeastCells    = 16
	GreatestCells = 512
)

// Face draws the sitter's image: the outline and, for each level of blur, the lines of that blur before and
// behind what is sharp. The plate's long side is divided into n cells, [LeastCells] to [GreatestCells]; 96 is
// enough for a screen. The lines may run a little beyond the plate's edge, to be cut there by whoever draws them.
func (s Shot) Face(levels []measure.Length, n int) (Contours, error) {
	if err := measure.Within("cells", float64(n), LeastCells, GreatestCells, ""); err != nil {
		return Contours{}, err
	}
	for _, l := range levels {
		if err := measure.Within("level of blur", float64(l), float64(optics.LeastBlur), float64(optics.GreatestBlur), "mm"); err != nil {
			return Contours{}, err
		}
	}
	outline, err := s.outline()
	if err != nil {
		return Contours{}, err
	}
	c := Contours{Outline: outline}
	g, err := s.relief(n)
	if err != nil || g.empty() {
		return c, err
	}
	nodes, err := s.image(g)
	if err != nil {
		return Contours{}, err
	}
	// With two foci no blur is nought, and a change of sides is no place of sharpness: then the sides are not told apart.
	sides := s.Setup.Surface.Sagittal == s.Setup.Surface.Tangential
	for _, l := range levels {
		level := float64(l)
		if !sides {
			for _, line := range nodes.lines(nodes.blur, level) {
				c.Equal = append(c.Equal, Isoline{Line: line, Level: l})
			}
			continue
		}
		for _, line := range nodes.lines(nodes.signed, level) {
			c.Equal = append(c.Equal, Isoline{Line: line, Level: l, Nearer: true})
		}
		for _, line := range nodes.lines(nodes.signed, -level) {
			c.Equal = append(c.Equal, Isoline{Line: line, Level: l})
		}
	}
	return c, nil
}

// nodes are the corners of the grid's cells as they fall on the plate.
type nodes struct {
	wide, high int
	on         []optics.PlatePoint
	there      []bool // the sitter is seen there or at a neighbour
	blur       []float64
	signed     []float64 // blur, negative where the focus lies before the plate
}

// image finds where the nodes of a relief fall on the plate, and how blurred. Around the sitter one row of nodes beyond
// the edge continues the relief, so that the lines reach it.
func (s Shot) image(g *relief) (*nodes, error) {
	n := &nodes{wide: g.wide, high: g.high, on: make([]optics.PlatePoint, len(g.z)), there: make([]bool, len(g.z)),
		blur: make([]float64, len(g.z)), signed: make([]float64, len(g.z))}
	g.widen()
	for j := range g.high {
		for i := range g.wide {
			k := j*g.wide + i
			if math.IsInf(g.z[k], 0) {
				continue
			}
			spot, err := s.Setup.Spot(g.point(i, j))
			if err != nil {
				return nil, err
			}
			n.on[k], n.there[k] = spot.At, true
			n.blur[k] = float64(spot.Long)
			n.signed[k] = math.Copysign(float64(spot.Long), float64(spot.Behind))
		}
	}
	return n, nil
}

// outline lays the edges of the figure's drawing from the front onto the plate.
func (s Shot) outline() ([]Line, error) {
	all := make([]Line, 0, len(s.Figure.Front))
	for _, l := range s.Figure.Front {
		if l.Part != "head" && l.Part != "bust" && l.Part != "hand" {
			continue
		}
		f := Line{Part: l.Part, Points: make([]optics.PlatePoint, len(l.Points)), Closed: l.Closed}
		for i, v := range l.Points {
			spot, err := s.Setup.Spot(s.before(v))
			if err != nil {
				return nil, err
			}
			f.Points[i] = spot.At
		}
		all = append(all, f)
	}
	return all, nil
}
