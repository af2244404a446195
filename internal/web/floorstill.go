package web

import (
	"fmt"
	"math"
	"time"

	"platewright/internal/studio"
	"platewright/internal/web/screens/floor"
	"platewright/internal/web/shared"
	"platewright/measure"
	"platewright/pose"
)

// stillAnswer is what the floor takes from the reckoning stillness.
type stillAnswer struct {
	InDepth     float64        `json:"p_in_depth"`
	InDepthBand *[2]float64    `json:"p_in_depth_band"`
	NoSmear     float64        `json:"p_no_smear"`
	Good        float64        `json:"p_good"`
	GoodBand    *[2]float64    `json:"p_good_band"`
	Middle      float64        `json:"p_in_depth_middle"`
	Smear       measure.Length `json:"smear_mm"`
	Blink       float64        `json:"p_blink"`
	OpenShare   float64        `json:"open_share"`
	LidStops    measure.Stops  `json:"lid_stops"`
	OneBlink    measure.Stops  `json:"one_blink_stops"`
	Notes       []string       `json:"notes"`

	during, wait time.Duration
	eyes         []pose.Landmark // those that are sharp now
}

// mostDepth is the greatest depth that is asked about; as good as endless to a sitter.
const mostDepth = 1e6

// supportAsked is what steadies the sitter.
func (p planned) supportAsked() string { return p.posed.setting.SitterSupport }

// reckonStill asks how likely the sitter keeps still, once it is known how long the cap is off and how
// deep it is sharp.
func (s *Server) reckonStill(f *form, p planned, got *reckoned) error {
	during := exposureAsked(p, got.Seconds)
	if during <= 0 || during > time.Hour || got.Shot == nil {
		return nil
	}
	wait := p.posed.setting.Wait
	if f.text("wait") == "" {
		wait = usualWait
	}
	play, eyes := got.Shot.play()
	if !(play > 0) {
		return nil
	}
	// What is left before and behind the eyes as they are focused, movements and curve of the field reckoned in.
	question := map[string]any{
		"support": p.supportAsked(), "time_s": during.Seconds(), "depth_mm": min(2*float64(play), mostDepth), "magnification": got.Focus.Magnification,
		"wait_s": wait.Seconds(), "blur_mm": float64(got.Focus.Blur),
	}
	answer := stillAnswer{during: during, wait: wait, eyes: eyes}
	ok, err := s.ask(f, "stillness", question, &answer)
	if err != nil || !ok {
		return err
	}
	got.Still = &answer
	return nil
}

// From what on a sitter's moving is warned of: a chance under which a plate is more likely lost than made,
// and a smear so many times the blur called sharp, at which a face cannot be known again.
const (
	uncertain = 0.5
	smeared   = 10
)

// percent writes a chance without more certainty than there is.
func percent(p float64) string {
	switch v := math.Round(100 * p); {
	case v == 0:
		return "under 1\u2009%"
	case v == 100 && p < 1:
		return "over 99\u2009%"
	default:
		return fmt.Sprintf("%.0f\u2009%%", v)
	}
}

// stillOf lays out how likely the sitter keeps still.
func stillOf(p planned, got reckoned) floor.Still {
	a := got.Still
	switch {
	case a != nil:
	case exposureAsked(p, got.Seconds) <= 0:
		return floor.Still{Why: "How likely the sitter keeps still is told once the seconds are known."}
	default:
		return floor.Still{Why: "Neither eye lies in the depth, so how still the sitter keeps does not decide this plate."}
	}
	low, high := a.InDepth, a.InDepth
	if a.InDepthBand != nil {
		low, high = min(a.InDepthBand[0], a.InDepthBand[1]), max(a.InDepthBand[0], a.InDepthBand[1])
	}
	whole := func(v float64) float64 { return math.Round(100 * v) }
	s := floor.Still{Band: &shared.BandData{Name: "still", Word: a.stays(), Low: whole(low), Median: whole(a.InDepth), High: whole(high), From: -2, To: 102, Unit: "%",
		Basis: p.supportAsked() + ", " + measure.Thin(measure.FormatExposure(a.wait)) + " from focusing to cap off, then " + measure.Thin(measure.FormatExposure(a.during)) + "; from the most restless to the calmest sitter"}}
	s.Words = append(s.Words, fmt.Sprintf("Moving smears about %s on the plate; within the blur called sharp %s. Both together %s.",
		measure.Thin(measure.Length(roundTo(float64(a.Smear), 2)).Format(measure.Metric)), percent(a.NoSmear), percent(a.Good)))
	if a.Middle > a.InDepth+0.1 {
		s.Words = append(s.Words, "Watch the sway and focus on the middle of it, and they stay in depth "+percent(a.Middle)+".")
	}
	if a.Blink > 0.5 {
		s.Words = append(s.Words, fmt.Sprintf("A blink or more falls into %s of such plates; the eyes are open %s of the time and lose %s\u2009stops.",
			percent(a.Blink), percent(a.OpenShare), figureOf(float64(a.LidStops), 2)))
	}
	return s
}

// roundTo keeps so many significant digits.
func roundTo(v float64, digits int) float64 {
	if v == 0 {
		return 0
	}
	unit := math.Pow(10, math.Floor(math.Log10(math.Abs(v)))-float64(digits-1))
	return math.Round(v/unit) * unit
}

// stays is what is to stay in depth.
func (a *stillAnswer) stays() string {
	if len(a.eyes) == 1 {
		return "The " + string(a.eyes[0]) + " stays in depth"
	}
	return "Both eyes stay in depth"
}

// stillWarning warns where the seconds or the wait are too long for the sitter, and says what helps; empty
// where they are not.
func stillWarning(p planned, got reckoned) string {
	a := got.Still
	if a == nil {
		return ""
	}
	sitter := map[string]string{studio.HeldHeadRest: "a sitter in a head rest", studio.HeldSeated: "a seated sitter without a head rest", studio.HeldStanding: "a sitter standing free"}[p.supportAsked()]
	rest := ", or give a head rest"
	if p.supportAsked() == studio.HeldHeadRest {
		rest = ""
	}
	switch {
	case a.InDepth < uncertain:
		return fmt.Sprintf("The depth is too shallow for %s: the chance to keep in it is %s. Take a smaller stop or a shorter wait%s.", sitter, percent(a.InDepth), rest)
	case a.Smear > smeared*got.Focus.Blur:
		return fmt.Sprintf("%s is too long for %s: moving smears about %s on the plate. Take more light or a wider stop%s.",
			measure.Thin(measure.FormatExposure(a.during)), sitter, measure.Thin(measure.Length(roundTo(float64(a.Smear), 2)).Format(measure.Metric)), rest)
	}
	return ""
}
