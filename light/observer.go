package light

import (
	"errors"
	"fmt"
	"math"

	"platewright/measure"
)

// LumensPerWatt is the luminous efficacy of light at 555 nm by the definition of the lumen [CIE18].
const LumensPerWatt = 683.0

// secondRadiation is c2 of Planck's law in nm K, as colour temperatures are reckoned with [CIE15].
const secondRadiation = 1.4388e7

// FurthestFromPlanck is the distance in CIE 1960 u, v beyond which a colour has no correlated colour temperature [CIE15].
const FurthestFromPlanck = 0.05

// V returns the efficiency of light for an eye used to brightness, 360 to 830 nm at 5 nm, 1 at 555 nm [CIE18].
func V() Spectrum { return observerY }

// Observer returns the colour-matching functions of the CIE 1931 observer, 360 to 830 nm at 5 nm [CIE18].
func Observer() (x, y, z Spectrum) { return observerX, observerY, observerZ }

// Lux returns the illuminance of an irradiance in W/m²/nm: 683 times the sum of S V times the step [CIE18].
func (s Spectrum) Lux() float64 { return LumensPerWatt * s.Weighed(observerY) }

// XYZ returns the tristimulus values on the scale of [Spectrum.Lux], so that Y is the illuminance of an irradiance
// in W/m²/nm; of a relative power only their ratios count.
func (s Spectrum) XYZ() (X, Y, Z float64) {
	return LumensPerWatt * s.Weighed(observerX), LumensPerWatt * s.Weighed(observerY), LumensPerWatt * s.Weighed(observerZ)
}

// Chromaticity returns CIE 1931 x and y; 0, 0 for a spectrum that no eye sees.
func (s Spectrum) Chromaticity() (x, y float64) {
	X, Y, Z := s.XYZ()
	sum := X + Y + Z
	if !(sum > 0) || math.IsInf(sum, 0) {
		return 0, 0
	}
	return X / sum, Y / sum
}

// uv returns CIE 1960 u and v of a chromaticity.
func uv(x, y float64) (u, v float64) {
	d := -2*x + 12*y + 3
	return 4 * x / d, 6 * y / d
}

// Coolest and hottest black body that a colour is compared with.
const (
	coolest = 1000.0  // K
	hottest = 40000.0 // K
)

// CCT returns the correlated colour temperature: that of the black body whose colour lies nearest in CIE 1960 u, v
// [CIE15]. It is an error when there is no light, when the nearest is further off than [FurthestFromPlanck], or when
// it is not within 1000 to 40000 K: such a colour has none.
func (s Spectrum) CCT() (kelvin float64, err error) {
	x, y := s.Chromaticity()
	if y == 0 {
		return 0, errors.New("no light that an eye sees, so no colour temperature")
	}
	u, v := uv(x, y)
	off := func(mired float64) float64 {
		a, b := uv(blackBody(1e6 / mired))
		return math.Hypot(u-a, v-b)
	}
	const parts = 40
	low, high := 1e6/hottest, 1e6/coolest // equal steps of reciprocal temperature are nearly equal steps of colour
	width := (high - low) / parts
	best, least := low, off(low)
	for i := 1; i <= parts; i++ {
		m := low + width*float64(i)
		if d := off(m); d < least {
			best, least = m, d
		}
	}
	a, b := max(low, best-width), min(high, best+width)
	const golden = 0.6180339887498949
	for range 40 {
		c, d := b-golden*(b-a), a+golden*(b-a)
		if off(c) < off(d) {
			b = d
		} else {
			a = c
		}
	}
	mired := (a + b) / 2
	if far := off(mired); far > FurthestFromPlanck {
		return 0, fmt.Errorf("the colour lies %.3f from the nearest black body in CIE 1960 u, v; beyond %g a colour has no correlated colour temperature", far, FurthestFromPlanck)
	}
	if mired-low < 1e-6*low || high-mired < 1e-6*high {
		return 0, &measure.RangeError{What: "correlated colour temperature", Got: 1e6 / mired, Low: coolest, High: hottest, Unit: "K"}
	}
	return 1e6 / mired, nil
}

// blackBody returns CIE 1931 x and y of a black body, summed over the observer's own grid.
func blackBody(kelvin float64) (x, y float64) {
	var X, Y, Z float64
	for i := range observerY.v {
		nm := observerY.first + observerY.step*float64(i)
		p := 1 / (nm * nm * nm * nm * nm * math.Expm1(secondRadiation/(nm*kelvin)))
		X, Y, Z = X+p*observerX.v[i], Y+p*observerY.v[i], Z+p*observerZ.v[i]
	}
	sum := X + Y + Z
	return X / sum, Y / sum
}

// planck returns the relative power of a black body, 100 at 560 nm, on the usual grid [CIE15].
func planck(kelvin float64) Spectrum {
	radiance := func(nm float64) float64 { return math.Pow(560/nm, 5) / math.Expm1(secondRadiation/(nm*kelvin)) }
	at560 := radiance(560)
	return sampled(func(nm float64) float64 { return 100 * radiance(nm) / at560 })
}

// sampled returns f on the usual grid.
func sampled(f func(nm float64) float64) Spectrum {
	v := make([]float64, int((usualLast-usualFirst)/usualStep)+1)
	for i := range v {
		v[i] = f(usualFirst + usualStep*float64(i))
	}
	return Spectrum{usualFirst, usualStep, v}
}
