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

// Setup is the brass and wood a plate is planned with. Camera and Holder are nil where none was
// chosen.
type Setup struct {
	Plate     measure.PlateSize
	Lens      Lens
	Camera    *Camera
	Holder    *Holder
	Extension measure.Length // rear principal plane to plate, as reckoned
	Units     measure.System // of the figures in what is said
}

// CircleAt returns the lens's circle of good definition on a plate at this extension; 0 when it is
// unknown. The circle is a cone's section: it grows with the extension.
func (s Setup) CircleAt() measure.Length {
	if s.Lens.Focal <= 0 {
		return 0
	}
	return s.Lens.Circle * measure.Length(s.Extension.Over(s.Lens.Focal))
}

// Misfits tells what does not go together, each with its figures and what may be done. It takes lens
// board and principal planes as one, which in a long-barrelled lens they are not: within a barrel's
// length it may be wrong either way. Nothing here refuses a plan.
func (s Setup) Misfits() []Problem {
	var found []Problem
	say := func(field, hint, format string, args ...any) {
		found = append(found, Problem{Field: field, Sentence: fmt.Sprintf(format, args...), Hint: hint})
	}
	long := func(l measure.Length) string { return measure.Thin(l.Format(s.Units)) }
	sides := func(p measure.PlateSize) string { return measure.Thin(p.Format(s.Units)) }
	if c := s.Camera; c != nil {
		switch {
		case s.Extension > c.Longest:
			say("camera", "Take less of the sitter's size, a shorter lens, or a camera that draws out further.",
				"The bellows of %s draws out to %s; this needs %s, %s more.", c.Name, long(c.Longest), long(s.Extension), long(s.Extension-c.Longest))
		case s.Extension < c.Shortest:
			say("camera", "Go nearer, take a longer lens, or a board that sits deeper.",
				"The bellows of %s closes to %s; this needs %s, %s less.", c.Name, long(c.Shortest), long(s.Extension), long(c.Shortest-s.Extension))
		}
		if !goesInto(s.Plate, c.Back) {
			say("camera", "Take a smaller plate or a larger camera.", "The back of %s takes %s; the plate is %s.", c.Name, sides(c.Back), sides(s.Plate))
		}
	}
	if h := s.Holder; h != nil && !goesInto(s.Plate, h.Size) {
		say("holder", "Take another holder or a smaller plate.", "%s takes %s; the plate is %s.", h.Name, sides(h.Size), sides(s.Plate))
	}
	if circle := s.CircleAt(); circle > 0 && circle < s.Plate.Diagonal() {
		say("lens", "Its corners will be soft or dark: take a smaller plate, go nearer, or mean it so.",
			"%s is good over a circle of %s at this extension; the plate's diagonal is %s.", s.Lens.Name, long(circle), long(s.Plate.Diagonal()))
	}
	return found
}

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
