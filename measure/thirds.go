package measure

import "math"

// engraved is the series of aperture numbers cut on iris scales, from f/1 to f/1.8 in thirds of a
// stop and twice that an octave higher and so on; rounding differs octave by octave, so the whole
// series is written out. Common practice, no source.
var engraved = [...]FNumber{
	1, 1.1, 1.2, 1.4, 1.6, 1.8, 2, 2.2, 2.5, 2.8, 3.2, 3.5, 4, 4.5, 5, 5.6, 6.3, 7.1,
	8, 9, 10, 11, 13, 14, 16, 18, 20, 22, 25, 29, 32, 36, 40, 45, 51, 57, 64, 72, 80, 90,
}

// NearestThird returns the aperture number of the usual scale that is nearest in stops. Outside
// f/1 to f/90 it returns the exact third of a stop to two digits.
func NearestThird(n FNumber) FNumber {
	thirds := math.Round(6 * math.Log2(float64(n))) // a stop is a factor of sqrt(2) in N
	if thirds >= 0 && int(thirds) < len(engraved) {
		return engraved[int(thirds)]
	}
	return FNumber(rounded(math.Exp2(thirds/6), 2))
}
