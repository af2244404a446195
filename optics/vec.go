package optics

import "math"

// vec is a vector of three components, in millimetres unless it is a direction.
type vec [3]float64

func (a vec) minus(b vec) vec     { return vec{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }
func (a vec) plus(b vec) vec      { return vec{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }
func (a vec) times(k float64) vec { return vec{a[0] * k, a[1] * k, a[2] * k} }
func (a vec) dot(b vec) float64   { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
func (a vec) length() float64     { return math.Sqrt(a.dot(a)) }

// cross returns the vector product, each component good to the last digits even where its two
// products all but cancel.
func (a vec) cross(b vec) vec {
	return vec{
		differenceOfProducts(a[1], b[2], a[2], b[1]),
		differenceOfProducts(a[2], b[0], a[0], b[2]),
		differenceOfProducts(a[0], b[1], a[1], b[0]),
	}
}

// differenceOfProducts returns ab - cd, the rounding of cd being found by a fused multiply-add and
// given back.
func differenceOfProducts(a, b, c, d float64) float64 {
	cd := c * d
	lost := math.FMA(-c, d, cd)
	return math.FMA(a, b, -cd) + lost
}
