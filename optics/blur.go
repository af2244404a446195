package optics

import (
	"math"

	"platewright/measure"
)

// Combined returns the blur of two causes that do not know of each other, such as defocus and diffraction:
// the root of the sum of their squares, an engineer's convention and from memory.
func Combined(geometric, airy measure.Length) measure.Length {
	return measure.Length(math.Hypot(float64(geometric), float64(airy)))
}

// BestStop returns the effective f-number at which a spread of foci along the axis, shared evenly before
// and behind the plate, is drawn with the least blur of defocus and diffraction together, and that blur.
// Divide by 1 + m/p for the f-number to set.
func BestStop(spread, wavelength measure.Length) (effective measure.FNumber, blur measure.Length, err error) {
	if err := measure.Within("spread of foci", float64(spread), 1e-6, 1e5, "mm"); err != nil {
		return 0, 0, err
	}
	if err := measure.Within("wavelength", float64(wavelength), 1e-4, 2e-3, "mm"); err != nil {
		return 0, 0, err
	}
	// Spread/(2N) and 2.44 λN have the least sum of squares where they are equal.
	n := math.Sqrt(float64(spread) / (2 * AiryFactor * float64(wavelength)))
	return measure.FNumber(n), Combined(spread/measure.Length(2*n), wavelength*measure.Length(AiryFactor*n)), nil
}
