package studio

import "time"

// Step is one step of the plate clock: what the hands do now, and the event that pressing *next*
// records when it is done.
type Step struct {
	Event  EventKind
	Do     string        // what to do, said to the operator
	Since  EventKind     // the event the count runs from; empty for the first step
	After  time.Duration // when, counted from Since, the step is due; 0 when the hand decides
	Until  time.Duration // when it is late; 0 when it never is
	Basis  string        // where the times come from
	Danger string        // the caution that stands where the hand is; empty when there is none
}

// Targets are the times the clock counts towards. The zero value is not useful: start from
// [CommonTargets].
type Targets struct {
	Set     time.Duration // pour to bath
	Bath    time.Duration // in the bath
	Wet     time.Duration // out of the bath to the developer, at the latest
	Develop time.Duration // developer on to developer off
	Fix     time.Duration // until the plate has cleared, and as long again
	Wash    time.Duration
	Basis   string
}

// CommonTargets are what the trade does at about 20 °C: common practice, no source that measured
// them. A studio's own plates are better.
func CommonTargets() Targets {
	return Targets{
		Set:     30 * time.Second,
		Bath:    3 * time.Minute,
		Wet:     10 * time.Minute,
		Develop: 15 * time.Second,
		Fix:     time.Minute,
		Wash:    25 * time.Minute,
		Basis:   "common practice at about 20 °C, no measured source",
	}
}

// Steps returns the steps of the clock for a plate planned so.
func Steps(plan Plan, t Targets) []Step {
	exposureBasis := "the plan"
	if plan.Exposure == 0 {
		exposureBasis = "no seconds were planned"
	}
	return []Step{
		{Event: Poured, Do: "Pour the collodion", Basis: t.Basis,
			Danger: "Ether and alcohol vapour: no flame, no spark, moving air. Follow the bottle's label and safety sheet."},
		{Event: InBath, Do: "Lower into the bath", Since: Poured, After: t.Set, Until: 4 * t.Set, Basis: t.Basis,
			Danger: "Silver nitrate blinds and burns: eyes covered, gloves on."},
		{Event: OutOfBath, Do: "Lift out of the bath", Since: InBath, After: t.Bath, Basis: t.Basis},
		{Event: Loaded, Do: "Drain, wipe the back, load the holder", Since: OutOfBath, Until: t.Wet, Basis: t.Basis},
		{Event: Exposed, Do: "Expose", Since: Loaded, After: plan.Exposure, Basis: exposureBasis},
		{Event: DeveloperOn, Do: "Pour the developer", Since: OutOfBath, Until: t.Wet, Basis: t.Basis},
		{Event: DeveloperOff, Do: "Stop with water", Since: DeveloperOn, After: t.Develop, Until: 3 * t.Develop, Basis: t.Basis + "; the eye decides"},
		{Event: Fixed, Do: "Fix until clear, and as long again", Since: DeveloperOff, After: t.Fix, Basis: t.Basis,
			Danger: "No acid near the fixer. Follow the bottle's label and safety sheet."},
		{Event: Washed, Do: "Wash", Since: Fixed, After: t.Wash, Basis: t.Basis},
		{Event: Varnished, Do: "Dry, warm, varnish", Since: Washed, Basis: "dry first; the hand decides",
			Danger: "Warm varnish is spirit vapour: no open flame, moving air."},
	}
}
