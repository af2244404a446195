package studio

import (
	"platewright/measure"
	"platewright/optics"
)

// leastRack is the least way of the plate that is worth telling: one sets a back no finer by hand. Common
// practice, no source.
const leastRack = 0.05 * measure.Millimetre

// Refocus tells what focusing by eye misses with the lens, stop and distance of the set-up, each with what to
// do: the chemical focus, and the way the focus takes from the full opening to the stop. Nothing here refuses a plan.
func (s Setup) Refocus() []Problem {
	k := s.known()
	lens, stop, ok := k.At(s.Stop)
	if !ok {
		return nil
	}
	set, err := lens.AtDistance(s.Distance)
	if err != nil {
		return nil
	}
	var found misfits
	if behind := set.ImageShift(k.Chemical); absolute(behind) >= leastRack {
		found.say("lens", "Focus by eye at this stop, then rack the plate "+outOrIn(behind)+" by that much.",
			"This lens's picture forms %s from where the eye sees it sharp (%s).", s.depth(behind), k.ChemicalBasis.Text)
	}
	// Told from where it takes half the depth of focus to one side.
	if absolute(stop.ShiftHere) >= set.FocusDepth(optics.UsualBlur)/4 {
		way := "farther from the lens"
		if stop.ShiftHere < 0 {
			way = "nearer the lens"
		}
		found.say("stop", "Focus with the stop in, or rack the plate "+outOrIn(stop.ShiftHere)+" by that much after focusing wide open.",
			"From the full opening to %s the focus moves about %s %s (%s).", stop.Name, s.depth(stop.ShiftHere), way, stop.ShiftBasis.Text)
	}
	return found
}

func outOrIn(behind measure.Length) string {
	if behind < 0 {
		return "in"
	}
	return "out"
}

func (s Setup) depth(l measure.Length) string { return measure.Thin(absolute(l).FormatDepth(s.Units)) }
