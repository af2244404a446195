package studio

import (
	"fmt"
	"math"
	"time"

	"platewright/measure"
	"platewright/pose"
)

// CommonWait is from focusing to the cap coming off where none is told: the holder in, the dark slide out,
// the hand to the cap. Common practice, no source.
const CommonWait = 10 * time.Second

// Poise is how still a sitter is reckoned to keep.
type Poise struct {
	Support string // as in [Setting]
	During  time.Duration
	InDepth float64        // chance that the eyes stay in the depth
	Smear   measure.Length // the usual smear on the plate
	Blur    measure.Length // the blur called sharp
}

// From what on a sitter's moving is told of: a chance under which a plate is more likely lost than made, and
// a smear so many times the blur called sharp, at which a face is hard to know again. Both are ours.
const (
	unlikely = 0.5
	smeared  = 10
)

// Restless tells when the seconds or the wait are too long for the sitter, and what helps. Nothing here
// refuses a plan.
func Restless(p Poise) (Problem, bool) {
	rest := ", or give a head rest."
	sitter := "a sitter who stands free"
	switch p.Support {
	case HeldHeadRest:
		sitter, rest = "a sitter in a head rest", "."
	case HeldSeated:
		sitter = "a seated sitter without a head rest"
	}
	switch {
	case p.InDepth < unlikely:
		return Problem{Field: "wait_s", Hint: "Take a smaller stop or a shorter wait" + rest,
			Sentence: fmt.Sprintf("The depth is too shallow for %s: the chance to keep in it is %s.", sitter, Chance(p.InDepth))}, true
	case p.Smear > smeared*p.Blur:
		return Problem{Field: "seconds", Hint: "Take more light or a wider stop" + rest,
			Sentence: fmt.Sprintf("%s is too long for %s: moving smears about %s on the plate.",
				measure.Thin(measure.FormatExposure(p.During)), sitter, SmearText(p.Smear))}, true
	}
	return Problem{}, false
}

// Chance writes a chance without more certainty than there is: "39 %", "under 1 %", "over 99 %".
func Chance(p float64) string {
	switch v := math.Round(100 * p); {
	case v <= 0:
		return "under 1\u2009%"
	case v >= 100:
		return "over 99\u2009%"
	default:
		return fmt.Sprintf("%.0f\u2009%%", v)
	}
}

// SmearText writes a smear on the plate to two figures, in millimetres in every system.
func SmearText(l measure.Length) string {
	if l > 0 {
		unit := measure.Length(math.Pow(10, math.Floor(math.Log10(float64(l)))-1))
		l = measure.Length(math.Round(float64(l/unit))) * unit
	}
	return measure.Thin(l.Format(measure.Metric))
}

// Supported is what steadies the sitter as package pose knows it; seated or standing where nothing is said.
func (s Setting) Supported() pose.Support {
	switch {
	case s.SitterSupport != "":
		return pose.Support(s.SitterSupport)
	case s.Standing:
		return pose.Standing
	default:
		return pose.Seated
	}
}
