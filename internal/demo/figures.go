package demo

import (
	"encoding/json"
	"fmt"
	"math"
	"time"

	"platewright/internal/studio"
	"platewright/measure"
	"platewright/reckon"
)

// blurLimit is the largest blur spot called sharp on the invented studio's plates.
const blurLimit = 0.1 * measure.Millimetre

// sight is what focus answers of a lens set on a sitter.
type sight struct {
	Magnification    float64  `json:"magnification"`
	DistanceMM       float64  `json:"distance_mm"`
	ExtensionMM      float64  `json:"extension_mm"`
	EffectiveFNumber float64  `json:"effective_f_number"`
	BellowsStops     float64  `json:"bellows_stops"`
	DepthMM          *float64 `json:"depth_mm"` // null when it reaches infinity
	FrontDepthMM     *float64 `json:"front_depth_mm"`
	RearDepthMM      *float64 `json:"rear_depth_mm"`
	FrameWidthMM     float64  `json:"frame_width_mm"`
	FrameHeightMM    float64  `json:"frame_height_mm"`
	RoomMM           float64  `json:"room_mm"`
}

// capOff is what seconds answers.
type capOff struct {
	Seconds float64    `json:"seconds"`
	BandS   [2]float64 `json:"band_s"`
}

// reckoner asks the reckonings as the Floor does, through the registry.
type reckoner struct{ all *reckon.Registry }

func (r reckoner) ask(name string, question map[string]any, answer any) error {
	_, answered, err := r.put(name, question)
	if err != nil {
		return err
	}
	if err := json.Unmarshal(answered, answer); err != nil {
		return fmt.Errorf("%s: the answer: %w", name, err)
	}
	return nil
}

// put asks a reckoning and returns question and answer as they stand.
func (r reckoner) put(name string, question map[string]any) (asked, answered []byte, err error) {
	reckoning, ok := r.all.Lookup(name)
	if !ok {
		return nil, nil, fmt.Errorf("there is no reckoning called %s", name)
	}
	if asked, err = json.Marshal(question); err != nil {
		return nil, nil, fmt.Errorf("%s: %w", name, err)
	}
	if answered, err = reckoning.Answer(asked); err != nil {
		return nil, nil, fmt.Errorf("%s: %w", name, err)
	}
	return asked, answered, nil
}

// framing is a lens about to be set so that a height of the subject fills the plate.
type framing struct {
	lens  studio.Lens
	stop  studio.Stop
	plate measure.PlateSize
	frame measure.Length
}

func (r reckoner) focus(f framing) (sight, error) {
	var a sight
	err := r.ask("focus", map[string]any{
		"focal_mm": f.lens.Focal, "f_number": f.stop.FNumber, "pupil_mag": f.lens.PupilMag,
		"plate":           map[string]any{"width_mm": f.plate.Width, "height_mm": f.plate.Height},
		"frame_height_mm": f.frame, "blur_mm": blurLimit,
	}, &a)
	return a, err
}

// seconds asks how long the cap is off in a metered light with the operator's index.
func (r reckoner) seconds(stop studio.Stop, bellowsStops float64, m metering) (capOff, error) {
	var a capOff
	err := r.ask("seconds", map[string]any{
		"incident_lx": m.lx, "exposure_index": m.index, "f_number": stop.FNumber, "bellows_stops": bellowsStops,
	}, &a)
	return a, err
}

// metering is what the meter shows and the index the operator goes by.
type metering struct{ lx, index float64 }

// counted rounds seconds to what a hand can time: halves up to five, whole ones above.
func counted(seconds float64) time.Duration {
	step := 1.0
	if seconds < 5 {
		step = 0.5
	}
	return time.Duration(math.Max(step, step*math.Round(seconds/step)) * float64(time.Second))
}

// plan puts the figures into a plan.
func (a sight) plan(p studio.Plan) studio.Plan {
	p.Distance, p.Extension = measure.Length(a.DistanceMM), measure.Length(a.ExtensionMM)
	p.Magnification, p.BlurLimit = a.Magnification, blurLimit
	if a.DepthMM != nil {
		p.Depth = measure.Length(*a.DepthMM)
	}
	return p
}
