package colour

import "math"

// Folded is a [Fit] as two tables, one for the blue channel and one for the greatest of the three: a pixel costs
// two look-ups and a sum. It is read only, so any number of hands may use one.
type Folded struct {
	blue, greatest [knots + 1]float32 // by the square root of the linear component
}

// knots of the tables. The worst error is between the first two; 2048 keep it below a hundredth of a stop.
const knots = 2048

// Fold returns f as tables. They agree with [Fit.Stops] to 0.01 stop over all of sRGB.
func (f Fit) Fold() *Folded {
	t := new(Folded)
	for i := range knots + 1 {
		root := float64(i) / knots
		v := root*root + f.Floor
		t.blue[i] = float32(math.Log2(f.K) + f.Blue*math.Log2(v))
		t.greatest[i] = float32(f.Greatest * math.Log2(v))
	}
	return t
}

// Stops returns log2 of the share of the plate's light that a surface of these linear sRGB components sends back.
// Components outside 0 to 1, and what is no number, are taken at the nearest.
func (t *Folded) Stops(r, g, b float32) float32 {
	b = inside(b)
	m := max(inside(r), inside(g), b)
	return min(0, between(&t.blue, b)+between(&t.greatest, m))
}

func inside(v float32) float32 {
	if !(v > 0) {
		return 0
	}
	return min(v, 1)
}

// between reads a table at a linear component.
func between(t *[knots + 1]float32, v float32) float32 {
	x := float32(math.Sqrt(float64(v))) * knots
	i := min(int(x), knots-1)
	return t[i] + (x-float32(i))*(t[i+1]-t[i])
}

// ByCode returns the tables for components coded in whole numbers 0 to n-1, n at least 2, such as the 256 values
// of eight bits or the 65536 of sixteen; linear tells the linear light of an encoded component from 0 to 1, as
// [Linear] does for sRGB. The stops of a pixel are
//
//	min(0, blue[b] + greatest[max(r, g, b)])
//
// exactly, for any linear that rises.
func (f Fit) ByCode(n int, linear func(float64) float64) (blue, greatest []float32) {
	n = max(n, 2)
	blue, greatest = make([]float32, n), make([]float32, n)
	for i := range n {
		v := within(linear(float64(i)/float64(n-1))) + f.Floor
		blue[i] = float32(math.Log2(f.K) + f.Blue*math.Log2(v))
		greatest[i] = float32(f.Greatest * math.Log2(v))
	}
	return blue, greatest
}
