package collodion

import (
	"math"
	"slices"
)

// Tone is the colour of the developed silver. A tone is named by how it looks: print says that nitrate or nitric acid in an iron
// developer whitens the silver, that thiosulfate leaves it cooler and greyer and cyanide warmer and whiter, and gives
// no colour of any.
type Tone string

// Tones.
const (
	Warm    Tone = "warm"    // cream in the lights, brown in the middles
	Neutral Tone = "neutral" // grey
	Cool    Tone = "cool"    // a bluish white
)

// FromTones is what stands behind the colours of the tones.
const FromTones = "An estimate by eye: no measured colour of collodion silver was found"

// Tones lists the tones.
func Tones() []Tone { return []Tone{Warm, Neutral, Cool} }

// Choices returns the texts of [Tones].
func (Tone) Choices() []string { return []string{string(Warm), string(Neutral), string(Cool)} }

// Valid tells that t is one of [Tones].
func (t Tone) Valid() bool { return slices.Contains(Tones(), t) }

// Luminance of linear sRGB [IEC61966].
const redShare, greenShare, blueShare = 0.2126, 0.7152, 0.0722

// Silver returns the linear sRGB of a place whose luminance is given, 0 to 1, where share is how far it lies on the way from the
// plate's black to its white ([Curve.Share]). The colour never changes the luminance, so no part is cut off but where it
// would pass 1: keep whites below 0.88. An unknown tone is grey.
func (t Tone) Silver(share, luminance float64) (r, g, b float64) {
	tint := t.tint(max(0, min(1, share)))
	k := luminance / (redShare*tint[0] + greenShare*tint[1] + blueShare*tint[2])
	return min(1, k*tint[0]), min(1, k*tint[1]), min(1, k*tint[2])
}

// tint returns red, green and blue to each other. The figures are ours, by eye.
func (t Tone) tint(share float64) [3]float64 {
	root := math.Sqrt(share) // about even to the eye
	switch t {
	case Warm: // brown deepens up to the middles, then clears to cream
		up, down := min(1, root/0.4), max(0, (root-0.4)/0.6)
		return [3]float64{1.18 + 0.09*up - 0.15*down, 0.97 - 0.01*up + 0.03*down, 0.82 - 0.16*up + 0.12*down}
	case Cool:
		middle := 4 * share * (1 - share)
		return [3]float64{0.97 - 0.02*middle, 1, 1.05 + 0.05*middle}
	}
	return [3]float64{1, 1, 1}
}
