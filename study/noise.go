package study

import "math"

// hash mixes a lattice point into 64 bits (the finalizer of a splitmix generator).
func hash(x, y int32, seed uint64) uint64 {
	z := seed ^ uint64(uint32(x))<<32 ^ uint64(uint32(y))
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// unit returns a number of 0 to 1 for a lattice point.
func unit(x, y int32, seed uint64) float64 { return float64(hash(x, y, seed)>>40) / (1 << 24) }

// noise is smooth noise of -1 to 1 with one wave about every two units.
func noise(x, y float64, seed uint64) float64 {
	fx, fy := math.Floor(x), math.Floor(y)
	ix, iy := int32(fx), int32(fy)
	u, v := x-fx, y-fy
	u, v = u*u*(3-2*u), v*v*(3-2*v)
	a, b := unit(ix, iy, seed), unit(ix+1, iy, seed)
	c, d := unit(ix, iy+1, seed), unit(ix+1, iy+1, seed)
	return 2*(a+(b-a)*u+(c-a)*v+(a-b-c+d)*u*v) - 1
}

// clouds is noise in four octaves, about -1 to 1.
func clouds(x, y float64, seed uint64) float64 {
	return (noise(x, y, seed) + 0.5*noise(2.1*x, 2.1*y, seed+1) + 0.25*noise(4.3*x, 4.3*y, seed+2) + 0.12*noise(8.7*x, 8.7*y, seed+3)) / 1.3
}

// step rises smoothly from 0 at a to 1 at b; a may be above b.
func step(a, b, x float64) float64 {
	t := (x - a) / (b - a)
	if t <= 0 {
		return 0
	}
	if t >= 1 {
		return 1
	}
	return t * t * (3 - 2*t)
}

// bell is a bump of height 1 and the given half width.
func bell(x, half float64) float64 {
	t := x / half
	if t > 3.2 || t < -3.2 {
		return 0
	}
	return math.Exp(-0.5 * t * t)
}

func mix(a, b, t float64) float64 { return a + (b-a)*t }

// curve runs smoothly through points sorted by x, with level ends.
type curve [][2]float64

func (c curve) at(x float64) float64 {
	if x <= c[0][0] {
		return c[0][1]
	}
	n := len(c)
	if x >= c[n-1][0] {
		return c[n-1][1]
	}
	i := 1
	for c[i][0] < x {
		i++
	}
	slope := func(k int) float64 { // monotone enough for outlines: secant through the neighbours
		if k == 0 || k == n-1 {
			return 0
		}
		return (c[k+1][1] - c[k-1][1]) / (c[k+1][0] - c[k-1][0])
	}
	h := c[i][0] - c[i-1][0]
	t := (x - c[i-1][0]) / h
	m0, m1 := slope(i-1)*h, slope(i)*h
	t2, t3 := t*t, t*t*t
	return (2*t3-3*t2+1)*c[i-1][1] + (t3-2*t2+t)*m0 + (-2*t3+3*t2)*c[i][1] + (t3-t2)*m1
}
