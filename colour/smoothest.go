package colour

import (
	"fmt"
	"math"

	"platewright/light"
)

// Limits of the smoothest spectrum: no components nearer to black or white, and no more steps than these.
const (
	smoothLeast = 0.001
	smoothMost  = 0.999
	smoothSteps = 100
)

// Smoothest returns the reflectance of a colour that is the least uneven in the hyperbolic arc tangent: of all
// reflectances (tanh z + 1)/2 on 380 to 780 nm by 10 nm which have the colour in daylight D65, the one with the
// least sum of squared steps of z [Burns2020]. Beyond both ends it is held flat, as its own rule would have it.
// Components are taken at the nearest of 0.001 to 0.999, where the rule has an answer. It is the option for those
// who want a spectrum; [Fit] errs less.
func Smoothest(c RGB) (light.Spectrum, error) {
	const n = 41
	T, target := colourRows(n), [3]float64{}
	for i, v := range [3]float64{c.R, c.G, c.B} {
		target[i] = math.Max(smoothLeast, math.Min(smoothMost, v))
		if math.IsNaN(v) {
			return light.Spectrum{}, fmt.Errorf("colour %v has a component that is no number", c)
		}
	}
	// Unknowns: n values of z, three multipliers. Stationary point of the sum of squares less the multipliers times
	// the miss of the colour, by Newton's rule with steps halved while they make it worse.
	x := make([]float64, n+3)
	miss := stationary(x, T, target)
	for range smoothSteps {
		if largest(miss) < 1e-10 {
			break
		}
		step, err := solve(slope(x, T), append([]float64(nil), miss...))
		if err != nil {
			return light.Spectrum{}, fmt.Errorf("colour %s: no smooth reflectance was found: %w", c.Hex(), err)
		}
		x, miss = damped(x, step, miss, T, target)
	}
	if !(largest(miss) < 1e-6) {
		return light.Spectrum{}, fmt.Errorf("colour %s: no smooth reflectance was found in %d steps", c.Hex(), smoothSteps)
	}
	v := make([]float64, n)
	for i := range v {
		v[i] = (math.Tanh(x[i]) + 1) / 2
	}
	return sampled(visibleFrom, stepNM, v).Held(firstNM, lastNM), nil
}

// damped takes the step, or the largest half, quarter ... of it that brings x nearer.
func damped(x, step, miss []float64, T [3][]float64, target [3]float64) (next, nextMiss []float64) {
	worst := dot(miss, miss)
	for k := 1.0; ; k /= 2 {
		next = make([]float64, len(x))
		for i := range x {
			next[i] = x[i] - k*step[i]
		}
		nextMiss = stationary(next, T, target)
		if dot(nextMiss, nextMiss) < worst || k < 1e-3 {
			return next, nextMiss
		}
	}
}

// colourRows are the weights that make linear sRGB of a reflectance at n wavelengths by 10 nm from 380 nm.
func colourRows(n int) (T [3][]float64) {
	x, y, z := light.Observer()
	d65 := daylight65()
	for k := range T {
		T[k] = make([]float64, n)
	}
	white := [3]float64{}
	for i := range n {
		nm := visibleFrom + stepNM*float64(i)
		s := d65.At(nm)
		r, g, b := times(fromXYZ, s*x.At(nm), s*y.At(nm), s*z.At(nm))
		for k, v := range [3]float64{r, g, b} {
			T[k][i] = v
			white[k] += v
		}
	}
	for k := range T {
		for i := range T[k] {
			T[k][i] /= white[k]
		}
	}
	return T
}

// stationary is what must vanish: the slope of the sum in each z, and the miss of each component.
func stationary(x []float64, T [3][]float64, target [3]float64) []float64 {
	n := len(x) - 3
	out := make([]float64, n+3)
	for i := range n {
		if i > 0 {
			out[i] += 2 * (x[i] - x[i-1])
		}
		if i < n-1 {
			out[i] += 2 * (x[i] - x[i+1])
		}
		t := math.Tanh(x[i])
		for k := range T {
			out[i] += x[n+k] * T[k][i] * (1 - t*t) / 2
			out[n+k] += T[k][i] * (t + 1) / 2
		}
	}
	for k := range T {
		out[n+k] -= target[k]
	}
	return out
}

// slope is the matrix of derivatives of stationary.
func slope(x []float64, T [3][]float64) [][]float64 {
	n := len(x) - 3
	J := make([][]float64, n+3)
	for i := range J {
		J[i] = make([]float64, n+3)
	}
	for i := range n {
		if i > 0 {
			J[i][i] += 2
			J[i][i-1] = -2
		}
		if i < n-1 {
			J[i][i] += 2
			J[i][i+1] = -2
		}
		t := math.Tanh(x[i])
		d := (1 - t*t) / 2
		for k := range T {
			J[i][i] -= 2 * x[n+k] * T[k][i] * d * t
			J[i][n+k] = T[k][i] * d
			J[n+k][i] = T[k][i] * d
		}
	}
	return J
}

func largest(v []float64) float64 {
	most := 0.0
	for _, e := range v {
		if !(math.Abs(e) <= most) {
			most = math.Abs(e)
		}
	}
	return most
}
