package pose

import (
	"math"
	"time"

	"platewright/measure"
)

// The table's places: half depths in σ crowd toward zero, times are taken as the root of the time over
// the half depth, in which the chance is smooth from the closed form at zero on.
const (
	holdRows       = 28
	holdColumns    = 16
	holdDeepest    = 8.0
	holdShallowest = 1e-3
	holdLongest    = 3.0
)

// Holds is a table of [Sway.StaysWithin] for one sway and one wait, for those who ask thousands of
// times: good to 0.005 for waits of a tenth of the settling time and more and exposures of up to 40
// settling times, to 0.01 for shorter waits, to 0.03 for longer exposures.
type Holds struct {
	sway   Sway
	chance [holdRows][holdColumns]float64
}

// NewHolds computes the table for a wait between focusing and the cap coming off.
func NewHolds(s Sway, wait time.Duration) (*Holds, error) {
	if err := s.checkHold(Hold{Wait: wait}); err != nil {
		return nil, err
	}
	h := &Holds{sway: s}
	kept := math.Exp(-s.units(wait))
	var times [holdColumns]float64
	for row := range holdRows {
		deep := max(holdShallowest, holdDeepest*math.Pow(float64(row)/(holdRows-1), 1.5))
		for column := range holdColumns {
			root := holdLongest * math.Pow(float64(column)/(holdColumns-1), 1.5) * deep
			times[column] = root * root
		}
		focusedOnce(h.chance[row][:], deep, kept, times[:], coarse())
	}
	return h, nil
}

// StaysWithin is [Sway.StaysWithin] for the table's wait. Depth and exposure are not checked:
// no depth left is no chance, and what is out of the table lies at its end.
func (h *Holds) StaysWithin(half, offset measure.Length, during time.Duration) float64 {
	deep := (float64(half) - math.Abs(float64(offset))) / float64(h.sway.Toward)
	if !(deep > 0) || during < 0 {
		return 0
	}
	deep = math.Min(deep, holdDeepest)
	t := h.sway.units(during)
	row := (holdRows - 1) * math.Cbrt(deep*deep/(holdDeepest*holdDeepest))
	column := (holdColumns - 1) * math.Cbrt(t/(deep*deep*holdLongest*holdLongest))
	if column <= holdColumns-1 {
		return h.between(row, column)
	}
	// Beyond, the chance dies away as it did last.
	last, before := h.between(row, holdColumns-1), h.between(row, holdColumns-2)
	if last <= 1e-9 || before <= last {
		return last
	}
	end := holdLongest * deep * holdLongest * deep
	step := end * (1 - math.Pow((holdColumns-2.0)/(holdColumns-1), 3))
	return last * math.Exp(-math.Log(before/last)*(t-end)/step)
}

// between interpolates the table by Catmull-Rom curves in both directions.
func (h *Holds) between(row, column float64) float64 {
	r := min(int(row), holdRows-2)
	var along [4]float64
	for k := range along {
		line := &h.chance[max(0, min(holdRows-1, r-1+k))]
		c := min(int(column), holdColumns-2)
		along[k] = through(ends(line[:], c), column-float64(c))
	}
	if r == 0 {
		along[0] = 2*along[1] - along[2]
	}
	if r == holdRows-2 {
		along[3] = 2*along[2] - along[1]
	}
	return math.Max(0, math.Min(1, through(along, row-float64(r))))
}

// ends returns the four values about a step of a line, continued straight beyond its ends.
func ends(line []float64, c int) [4]float64 {
	p := [4]float64{0, line[c], line[c+1], 0}
	if c > 0 {
		p[0] = line[c-1]
	} else {
		p[0] = 2*p[1] - p[2]
	}
	if c+2 < len(line) {
		p[3] = line[c+2]
	} else {
		p[3] = 2*p[2] - p[1]
	}
	return p
}

// through is the Catmull-Rom curve between the second and the third value.
func through(p [4]float64, u float64) float64 {
	return p[1] + u/2*(p[2]-p[0]+u*(2*p[0]-5*p[1]+4*p[2]-p[3]+u*(3*(p[1]-p[2])+p[3]-p[0])))
}
