package bench

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// chance is how often chance alone is allowed to look like a fault.
const chance = 0.05

// measured is a figure with the standard deviation of its error; an sd of 0 is exact.
type measured struct{ value, sd float64 }

// observation is one reading: one equation between what was read and the unknowns.
type observation struct {
	number       int // its place in the question, from 1
	field, group string
	x, y         float64    // where it is drawn
	read         []measured // all that was read, erring apart
	// miss returns by how much y, from what was read, exceeds what the unknowns make it.
	miss func(unknowns, read []float64) float64
}

// values returns what was read, without the errors.
func (o observation) values() []float64 {
	out := make([]float64, len(o.read))
	for i, r := range o.read {
		out[i] = r.value
	}
	return out
}

// unknown is something sought. Its size is its order of magnitude, for taking differences.
type unknown struct{ start, size float64 }

// problem is what one fit solves: the unknowns, then what is common to all readings, which is both known
// and, within its error, unknown.
type problem struct {
	unknowns []unknown
	common   []measured
	readings []observation
	unit     string // of y and miss
}

// fit is a solved problem.
type fit struct {
	problem
	at      []float64     // unknowns and common figures
	free    []int         // places of those that are not exact
	own     int           // how many of the free are unknowns proper
	inverse *mat.SymDense // of all that is free, each in units of its size
	alone   *mat.SymDense // of the unknowns when the common figures are exact
	rows    *mat.Dense    // whitened readings by free places, in terms of the stated errors
	stated  *mat.SymDense // inverse of the same with the stated errors
	white   []float64     // whitened misses, in terms of the stated errors, of the fit with those
	missed  []float64     // the same as they were read

	scratch []float64
	freedom int
	square  float64 // chi-square of the fit with the stated errors
	raised  float64 // factor on the readings' errors; 1 when the stated ones count
}

// errFlat says that the readings leave an unknown open.
var errFlat = errors.New("these readings leave something open")

// errBlunt says that a reading is no figure, or claims to be exact.
var errBlunt = errors.New("every reading must be a finite number with a standard deviation above 0")

func (p problem) solve() (*fit, error) {
	for _, o := range p.readings {
		var sum, spread float64
		for _, r := range o.read {
			sum, spread = sum+r.value, spread+r.sd
		}
		if !(spread > 0) || math.IsInf(spread, 0) || math.IsNaN(sum) || math.IsInf(sum, 0) {
			return nil, errBlunt
		}
	}
	f := &fit{problem: p, raised: 1, own: len(p.unknowns), freedom: len(p.readings) - len(p.unknowns)}
	for i, u := range p.unknowns {
		f.at, f.free = append(f.at, u.start), append(f.free, i)
	}
	for i, c := range p.common {
		f.at = append(f.at, c.value)
		if c.sd > 0 {
			f.free = append(f.free, len(p.unknowns)+i)
		}
	}
	square, err := f.settle()
	if err != nil {
		return nil, err
	}
	f.square = square
	f.white = f.whitened(f.at)[:len(p.readings)]
	f.rows = f.slopes(f.at)
	if f.stated = inverseOf(symmetric(f.rows)); f.stated == nil {
		return nil, errFlat
	}
	for _, o := range f.readings {
		f.missed = append(f.missed, o.miss(f.at, o.values()))
	}
	if f.freedom == 0 || square <= (distuv.ChiSquared{K: float64(f.freedom)}).Quantile(1-chance) {
		return f, nil
	}
	for range 60 { // raise the readings' errors until they explain the scatter [Birge1932]
		ratio := math.Sqrt(square / float64(f.freedom))
		f.raised *= ratio
		if square, err = f.settle(); err != nil {
			return nil, err
		}
		if math.Abs(ratio-1) < 1e-5 {
			break
		}
	}
	return f, nil
}

// settle finds the least squares by Gauss's and Newton's steps and returns chi-square there.
func (f *fit) settle() (float64, error) {
	white := f.whitened(f.at)
	square := sumOfSquares(white)
	for range 50 {
		j := f.slopes(f.at)
		normal := symmetric(j)
		f.inverse = inverseOf(normal)
		f.alone = inverseOf(normal.SliceSym(0, f.own).(*mat.SymDense))
		if f.inverse == nil || f.alone == nil {
			return 0, errFlat
		}
		var right, step mat.VecDense
		right.MulVec(j.T(), mat.NewVecDense(len(white), white))
		step.MulVec(f.inverse, &right)
		next, moved, better := make([]float64, len(f.at)), 0.0, false
		for cut := 1.0; cut > 1e-4 && !better; cut /= 2 {
			copy(next, f.at)
			moved = 0
			for k, i := range f.free {
				d := cut * step.AtVec(k)
				next[i] -= d * f.size(i)
				moved = max(moved, math.Abs(d)/math.Sqrt(f.inverse.At(k, k)))
			}
			trial := f.whitened(next)
			if s := sumOfSquares(trial); s <= square*(1+1e-12) || moved < 1e-6 {
				f.at, white, square, better = next, trial, s, true
			}
		}
		if !better || moved < 1e-6 {
			return square, nil
		}
	}
	return 0, errors.New("the readings contradict each other so much that no lens fits them; measure again")
}

// whitened returns the readings' misses over their standard deviations, then those of the common figures.
func (f *fit) whitened(at []float64) []float64 {
	out := make([]float64, 0, len(f.readings)+len(f.common))
	for _, o := range f.readings {
		read := f.scratch[:0]
		for _, r := range o.read {
			read = append(read, r.value)
		}
		f.scratch = read
		miss, variance := o.miss(at, read), 0.0
		for k, r := range o.read {
			if r.sd == 0 {
				continue
			}
			read[k] = r.value + r.sd/2
			up := o.miss(at, read)
			read[k] = r.value - r.sd/2
			down := o.miss(at, read)
			read[k] = r.value
			variance += (up - down) * (up - down)
		}
		out = append(out, miss/math.Sqrt(variance)/f.raised)
	}
	for i, c := range f.common {
		if c.sd > 0 {
			out = append(out, (at[len(f.unknowns)+i]-c.value)/c.sd)
		}
	}
	return out
}

func (f *fit) size(place int) float64 {
	if place < len(f.unknowns) {
		return f.unknowns[place].size
	}
	return f.common[place-len(f.unknowns)].sd
}

// slopes returns how the whitened misses change with the free figures, each in units of its size.
func (f *fit) slopes(at []float64) *mat.Dense {
	moved := append([]float64(nil), at...)
	var j *mat.Dense
	for k, i := range f.free {
		h := 1e-4 * f.size(i)
		moved[i] = at[i] + h
		up := f.whitened(moved)
		moved[i] = at[i] - h
		down := f.whitened(moved)
		moved[i] = at[i]
		if j == nil {
			j = mat.NewDense(len(up), len(f.free), nil)
		}
		for r := range up {
			j.Set(r, k, (up[r]-down[r])/2e-4)
		}
	}
	return j
}

// unitDiagonal scales a matrix of normal equations so that the sizes of figures do not count; scale is what
// each row and column was divided by.
func unitDiagonal(s *mat.SymDense) (scaled *mat.SymDense, scale []float64) {
	n := s.SymmetricDim()
	scaled = mat.NewSymDense(n, nil)
	for a := range n {
		scale = append(scale, math.Sqrt(s.At(a, a)))
	}
	for a := range n {
		for b := a; b < n; b++ {
			scaled.SetSym(a, b, s.At(a, b)/(scale[a]*scale[b]))
		}
	}
	return scaled, scale
}

// inverseOf inverts a matrix of normal equations; nil when the readings leave something open.
func inverseOf(s *mat.SymDense) *mat.SymDense {
	scaled, scale := unitDiagonal(s)
	var chol mat.Cholesky
	if !chol.Factorize(scaled) || chol.Cond() > 1e12 || chol.InverseTo(scaled) != nil {
		return nil
	}
	n := s.SymmetricDim()
	for a := range n {
		for b := a; b < n; b++ {
			scaled.SetSym(a, b, scaled.At(a, b)/(scale[a]*scale[b]))
		}
	}
	return scaled
}

func sumOfSquares(v []float64) (s float64) {
	for _, x := range v {
		s += x * x
	}
	return s
}

// estimate is a figure that follows from a fit.
type estimate struct{ value, sd, low, high float64 }

// of returns what a figure that depends on the unknowns and the common figures is.
func (f *fit) of(figure func(at []float64) float64) estimate {
	grad := mat.NewVecDense(len(f.free), nil)
	moved := append([]float64(nil), f.at...)
	for k, i := range f.free {
		h := 1e-4 * f.size(i)
		moved[i] = f.at[i] + h
		up := figure(moved)
		moved[i] = f.at[i] - h
		down := figure(moved)
		moved[i] = f.at[i]
		grad.SetVec(k, (up-down)/2e-4)
	}
	all := mat.Inner(grad, f.inverse, grad)
	own := grad.SliceVec(0, f.own)
	part := mat.Inner(own, f.alone, own)
	e := estimate{value: figure(f.at), sd: math.Sqrt(all)}
	q := f.quantile(all, part)
	e.low, e.high = e.value-q*e.sd, e.value+q*e.sd
	return e
}

// quantile is how many standard deviations the interval reaches to either side. part is the share of the
// variance that comes from the readings; only that is uncertain when it is read from the scatter.
func (f *fit) quantile(all, part float64) float64 {
	if f.raised == 1 || part == 0 {
		return distuv.UnitNormal.Quantile(1 - chance/2)
	}
	nu := float64(f.freedom) * (all / part) * (all / part) // [GUM2008, G.4.1]
	return distuv.StudentsT{Sigma: 1, Nu: nu}.Quantile(1 - chance/2)
}

// scatter says how the readings agree with the stated errors.
func (f *fit) scatter() Scatter {
	s := Scatter{Readings: len(f.readings), Freedom: f.freedom, Counts: "stated"}
	if f.freedom > 0 {
		ratio := math.Sqrt(f.square / float64(f.freedom))
		chance := (distuv.ChiSquared{K: float64(f.freedom)}).Survival(f.square)
		s.Ratio, s.Chance = &ratio, &chance
	}
	if f.raised > 1 {
		s.Counts = "scatter"
	}
	return s
}

// trust is the second half of a basis sentence: what the interval rests on.
func (f *fit) trust() string {
	s := f.scatter()
	switch {
	case f.freedom == 0:
		return "the interval rests on the stated errors alone, no reading being to spare"
	case f.raised > 1:
		return fmt.Sprintf("the readings scatter %.2g times what was stated, so the interval rests on the scatter, with %d to spare", *s.Ratio, f.freedom)
	}
	return fmt.Sprintf("the readings agree with the stated errors (scatter %.2g of them), on which the interval rests", *s.Ratio)
}

// shown returns every reading beside the fit.
func (f *fit) shown() []Reading {
	n := len(f.readings)
	out := make([]Reading, n)
	for i, o := range f.readings {
		miss := o.miss(f.at, o.values())
		x := o.x
		r := Reading{Number: o.number, Field: o.field, Group: o.group, X: &x, Y: o.y, Fitted: o.y - miss, Residual: miss, Unit: f.unit}
		row := f.rows.RowView(i)
		left := 1 - mat.Inner(row, f.stated, row) // one less the reading's hold on the fit
		if f.freedom > 0 && left > 1e-6 {
			f.judge(&r, i, left)
		}
		out[i] = r
	}
	return out
}

// judge says how far a reading lies from what the others say, and whether that is too far. The distance is
// in stated errors if the others agree with those, else in the others' scatter.
func (f *fit) judge(r *Reading, i int, left float64) {
	far := f.white[i] / math.Sqrt(left)
	others, rest := f.square-far*far, f.freedom-1
	tail := 1 - chance/(2*float64(len(f.readings))) // Bonferroni
	r.InSD, r.Limit = math.Abs(far), distuv.UnitNormal.Quantile(tail)
	if rest > 0 && others > (distuv.ChiSquared{K: float64(rest)}).Quantile(1-chance) {
		r.InSD /= math.Sqrt(others / float64(rest))
		r.Limit = distuv.StudentsT{Sigma: 1, Nu: float64(rest)}.Quantile(tail)
	}
	if r.Disagrees = r.InSD > r.Limit; !r.Disagrees {
		return
	}
	what := "measure it again"
	if f.freedom == 1 {
		what = "with one reading to spare it cannot be told which is the odd one, so take more"
	}
	r.Sentence = fmt.Sprintf("Reading %d lies %s from where the others put it, %.1f standard deviations; %s.",
		r.Number, withUnit(math.Abs(f.missed[i])/left, f.unit), r.InSD, what)
}

func symmetric(j *mat.Dense) *mat.SymDense {
	_, n := j.Dims()
	s := mat.NewSymDense(n, nil)
	s.SymOuterK(1, j.T())
	return s
}

func withUnit(v float64, unit string) string {
	if unit == "" {
		return fmt.Sprintf("%.3g", v)
	}
	return fmt.Sprintf("%.4g %s", v, unit)
}
