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
	if !(play > 0) {
		return nil
	}
	// What is left before and behind the eyes as they are focused, movements and curve of the field reckoned in.
	question := map[string]any{
		"support": string(p.posed.setting.Supported()), "time_s": during.Seconds(), "depth_mm": min(2*float64(play), mostDepth), "magnification": got.Focus.Magnification,
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
		Basis: string(p.posed.setting.Supported()) + ", " + measure.Thin(measure.FormatExposure(a.wait)) + " from focusing to cap off, then " + measure.Thin(measure.FormatExposure(a.during)) + "; from the most restless to the calmest sitter"}}
	s.Words = append(s.Words, fmt.Sprintf("Moving smears about %s on the plate; within the blur called sharp %s. Both together %s.",
		studio.SmearText(a.Smear), studio.Chance(a.NoSmear), studio.Chance(a.Good)))
	if a.Middle > a.InDepth+0.1 {
		s.Words = append(s.Words, "Watch the sway and focus on the middle of it, and they stay in depth "+studio.Chance(a.Middle)+".")
	}
	if a.Blink > 0.5 {
		s.Words = append(s.Words, fmt.Sprintf("A blink or more falls into %s of such plates; the eyes are open %s of the time and lose %s\u2009stops.",
			studio.Chance(a.Blink), studio.Chance(a.OpenShare), figureOf(float64(a.LidStops), 2)))
	}
	return s
}

// stays is what is to stay in depth.
func (a *stillAnswer) stays() string {
	if len(a.eyes) == 1 {
		return "The " + string(a.eyes[0]) + " stays in depth"
	}
	return "Both eyes stay in depth"
}

// poise is what the studio judges by whether the sitter keeps still; false when it is not known.
func (p planned) poise(got reckoned) (studio.Poise, bool) {
	a := got.Still
	if a == nil {
		return studio.Poise{}, false
	}
	return studio.Poise{Support: string(p.posed.setting.Supported()), During: a.during, InDepth: a.InDepth, Smear: a.Smear, Blur: got.Focus.Blur}, true
}
