package pose

import (
	"math"
	"math/cmplx"
)

// contour inverts a Laplace transform for a stretch of times from one set of places in the plane: the parabola
// z = μ (1+iu)², u in steps of h from h/2 on. For times up to t that reach back by the ratio Λ, h = √(8Λ+1)/n and μ = π n/(4 t √(8Λ+1)) leave an error of
// exp(-2π n/√(8Λ+1)) [Talbot2006; Bromwich2007].
type contour struct {
	first  int // of the times it is for
	at     []complex128
	weight [][]complex128 // by time and place
}

// mostApart is the ratio of the times for which one contour serves.
const mostApart = 10.0

// contoursOf returns the contours for rising times of n places each; times that are as good as none have no contour.
func contoursOf(times []float64, n int) []contour {
	var all []contour
	for first := 0; first < len(times); {
		if times[first] < shortestTime {
			first++
			continue
		}
		after := first + 1
		for after < len(times) && times[after] <= mostApart*times[first] {
			after++
		}
		all = append(all, parabola(first, times[first:after], n))
		first = after
	}
	return all
}

func parabola(first int, times []float64, n int) contour {
	longest := times[len(times)-1]
	root := math.Sqrt(8*longest/times[0] + 1)
	step, size := root/float64(n), math.Pi*float64(n)/(4*longest*root)
	c := contour{first: first, at: make([]complex128, n), weight: make([][]complex128, len(times))}
	for j := range times {
		c.weight[j] = make([]complex128, n)
	}
	for k := range n {
		u := complex(1, (float64(k)+0.5)*step)
		c.at[k] = complex(size, 0) * u * u
		for j, t := range times {
			c.weight[j][k] = complex(2*step/math.Pi*size, 0) * u * cmplx.Exp(c.at[k]*complex(t, 0))
		}
	}
	return c
}

// add adds to the chances of the contour's times so much of those of not having met a wall until then, from a
// beginning of [walled.begin]; beginning outside counts as having met it. It returns the greatest it added.
func (c *contour) add(chances []float64, share float64, w *walled, begin *[mostCells]float64) float64 {
	greatest := 0.0
	var resolved [mostPlaces]complex128
	for k, z := range c.at {
		resolved[k] = w.resolve(z, begin)
	}
	for j, weights := range c.weight {
		sum := 0.0
		for k, v := range weights {
			sum += real(v)*real(resolved[k]) - imag(v)*imag(resolved[k])
		}
		chances[c.first+j] += share * sum
		greatest = max(greatest, share*sum)
	}
	return greatest
}
