package studio

import (
	"fmt"
	"math"
	"time"

	"platewright/measure"
)

// sameLength is how much longer a plate's side may be than a holder's before it counts as too long:
// rounding of inches, not play.
const sameLength = 0.05 * measure.Millimetre

// goesInto tells whether a plate goes into an opening, either way round.
func goesInto(plate, opening measure.PlateSize) bool {
	return plate.LongSide() <= opening.LongSide()+sameLength && plate.ShortSide() <= opening.ShortSide()+sameLength
}

// HolderFor returns the holder a plate of that size goes into: one of its very size, preferred before
// the others of that size, else the smallest that takes it; empty when none does.
func HolderFor(plate measure.PlateSize, holders []Holder, preferred ID) ID {
	var found Holder
	spare := math.Inf(1)
	for _, h := range holders {
		if h.Retired || !goesInto(plate, h.Size) {
			continue
		}
		over := float64(h.Size.LongSide()+h.Size.ShortSide()) - float64(plate.LongSide()+plate.ShortSide())
		over = max(over, 0) // rounding of inches
		if over < spare-float64(sameLength) || over <= spare+float64(sameLength) && h.ID == preferred {
			found, spare = h, over
		}
	}
	return found.ID
}

// longestExposure is the longest exposure a plan takes: far beyond what a wet plate allows.
const longestExposure = time.Hour

// reserve is the part of the wet time that goes to the holder, to the way to the camera and back:
// common practice, no source.
const reserve = time.Minute

// TooLong tells what is wrong with an exposure that is longer than a plate can take. The film is wet
// for t.Wet out of the bath ([Targets.Basis]: common practice, no source), of which a minute goes to
// holder and way. It refuses nothing that a plan may hold, which is at most an hour.
func TooLong(exposure time.Duration, t Targets) (Problem, bool) {
	says := measure.Thin(measure.FormatExposure(exposure))
	hint := "Take a wider stop, bring more light or go less near, and look at the light and the exposure index again."
	switch {
	case exposure > longestExposure:
		return Problem{Field: "seconds", Hint: hint,
			Sentence: says + " is longer than any plate stays wet, and more than the hour that can be planned."}, true
	case exposure > t.Wet-reserve:
		return Problem{Field: "seconds", Hint: hint,
			Sentence: fmt.Sprintf("%s under the lens outlasts the wet plate: it has about %s out of the bath, %s of them for the holder and the way (%s).",
				says, measure.Thin(measure.FormatExposure(t.Wet)), measure.Thin(measure.FormatExposure(reserve)), t.Basis)}, true
	}
	return Problem{}, false
}

// Counted returns the exposure as a hand can give it: to two figures. A hand that counts aloud
// scatters by several hundredths of the time, more than such a rounding changes.
func Counted(exposure time.Duration) time.Duration {
	if exposure <= 0 {
		return exposure
	}
	unit := math.Pow(10, math.Floor(math.Log10(exposure.Seconds()))-1)
	return time.Duration(math.Round(math.Round(exposure.Seconds()/unit) * unit * 1e9))
}
