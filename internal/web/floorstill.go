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
	"platewright/scene"
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
	eyes         []pose.Landmark // of them or of what is focused between, those that are sharp now
	none         bool            // nothing is sharp, so no depth is left to keep in
}

// mostDepth is the greatest depth that is asked about; as good as endless to a sitter.
const mostDepth = 1e6

// leastDepth is what is asked about where there is no depth at all, for what moving across does to the plate.
const leastDepth = 1e-3

// reckonStill asks how likely the sitter keeps still, once it is known how long the cap is off and how
// deep it is sharp.
func (s *Server) reckonStill(f *form, p planned, got *reckoned) error {
	during := exposureAsked(p, got.Seconds)
	if during <= 0 || during > time.Hour || got.Shot == nil {
		return nil
	}
	wait := p.posed.setting.Wait
	if f.text("wait") == "" {
		wait = studio.CommonWait
	}
	play, eyes := got.Shot.play()
	none := !(play > 0)
	if none {
		play = leastDepth / 2
	}
	// What is left before and behind the eyes as they are focused, movements and curve of the field reckoned in.
	question := map[string]any{
		"support": string(p.posed.setting.Supported()), "time_s": during.Seconds(), "depth_mm": min(2*float64(play), mostDepth), "magnification": got.Focus.Magnification,
		"wait_s": wait.Seconds(), "blur_mm": float64(got.Focus.Blur),
	}
	answer := stillAnswer{during: during, wait: wait, eyes: eyes, none: none}
	ok, err := s.ask(f, "stillness", question, &answer)
	if err != nil || !ok {
		return err
	}
	got.Still = &answer
	return nil
}

// stillOf lays out how likely the sitter keeps still.
func stillOf(p planned, got reckoned) floor.Still {
	a := got.Still
	switch {
	case a != nil:
	case exposureAsked(p, got.Seconds) <= 0:
		return floor.Still{Why: "How likely the sitter keeps still is told once the seconds are known."}
	default:
		return floor.Still{Why: "How likely the sitter keeps still cannot be told of this plate."}
	}
	smear := fmt.Sprintf("Moving smears about %s on the plate; within the blur called sharp %s.", studio.SmearText(a.Smear), studio.Chance(a.NoSmear))
	if a.none {
		what := "Neither eye is"
		if len(got.Shot.Between) > 0 {
			what = "Nothing it is focused between is"
		}
		why := what + " sharp as it is focused, so there is no depth to keep in and no chance of it to tell."
		if got.Shot.FocusApart(got.Shot.focused()) {
			why = what + " sharp at this stop, lines along and across the radius coming to a focus apart, so there is no depth to keep in and no chance of it to tell."
		}
		return floor.Still{Words: []string{smear}, Why: why}
	}
	low, high := a.InDepth, a.InDepth
	if a.InDepthBand != nil {
		low, high = min(a.InDepthBand[0], a.InDepthBand[1]), max(a.InDepthBand[0], a.InDepthBand[1])
	}
	whole := func(v float64) float64 { return math.Round(100 * v) }
	s := floor.Still{Band: &shared.BandData{Name: "still", Word: a.stays(p.posed.setting.FocusOn, got.Shot.wanted()), Low: whole(low), Median: whole(a.InDepth), High: whole(high), From: -2, To: 102, Unit: "%",
		Basis: string(p.posed.setting.Supported()) + ", " + measure.Thin(measure.FormatExposure(a.wait)) + " from focusing to cap off, then " + measure.Thin(measure.FormatExposure(a.during)) + "; from the most restless to the calmest sitter"}}
	s.Words = append(s.Words, smear+" Both together "+studio.Chance(a.Good)+".")
	if a.Middle > a.InDepth+0.1 {
		s.Words = append(s.Words, "Watch the sway and focus on the middle of it, and they stay in depth "+studio.Chance(a.Middle)+".")
	}
	if a.Blink > 0.5 {
		s.Words = append(s.Words, fmt.Sprintf("A blink or more falls into %s of such plates; the eyes are open %s of the time and lose %s\u2009stops.",
			studio.Chance(a.Blink), studio.Chance(a.OpenShare), figureOf(float64(a.LidStops), 2)))
	}
	return s
}

// stays is what is to stay in depth: all of what is focused between, or what of it or of the eyes is sharp now.
func (a *stillAnswer) stays(between string, wanted []pose.Landmark) string {
	switch {
	case len(a.eyes) == 1 && a.eyes[0] == pose.Lips:
		return "The lips stay in depth"
	case len(a.eyes) == 1:
		return "The " + string(a.eyes[0]) + " stays in depth"
	case len(a.eyes) < len(wanted):
		return "What is sharp of it stays in depth"
	case between == scene.WholeFace:
		return "The whole face stays in depth"
	case between == scene.NoseToEar:
		return "Nose to ear stay in depth"
	case between == scene.EyesAndLips:
		return "Both eyes and lips stay in depth"
	}
	return "Both eyes stay in depth"
}

// poise is what the studio judges by whether the sitter keeps still; false when it is not known.
func (p planned) poise(got reckoned) (studio.Poise, bool) {
	a := got.Still
	if a == nil {
		return studio.Poise{}, false
	}
	inDepth := a.InDepth
	if a.none { // that there is no depth is told of by itself
		inDepth = 1
	}
	return studio.Poise{Support: string(p.posed.setting.Supported()), During: a.during, InDepth: inDepth, Smear: a.Smear, Blur: got.Focus.Blur}, true
}
