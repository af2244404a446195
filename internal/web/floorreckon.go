package web

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"platewright/internal/studio"
	"platewright/internal/web/screens/floor"
	"platewright/internal/web/shared"
	"platewright/measure"
	"platewright/optics"
	"platewright/reckon"
)

// focusAnswer is what the floor takes from the reckoning focus.
type focusAnswer struct {
	Magnification     float64         `json:"magnification"`
	Distance          measure.Length  `json:"distance_mm"`
	Extension         measure.Length  `json:"extension_mm"`
	EffectiveFNumber  measure.FNumber `json:"effective_f_number"`
	Bellows           measure.Stops   `json:"bellows_stops"`
	Near              measure.Length  `json:"near_mm"`
	Far               *measure.Length `json:"far_mm"`
	Depth             *measure.Length `json:"depth_mm"`
	FrontDepth        measure.Length  `json:"front_depth_mm"`
	RearDepth         *measure.Length `json:"rear_depth_mm"`
	FrameWidth        measure.Length  `json:"frame_width_mm"`
	FrameHeight       measure.Length  `json:"frame_height_mm"`
	ViewDeg           float64         `json:"view_deg"`
	EquivalentFocal   measure.Length  `json:"equivalent_focal_mm"`
	EquivalentFNumber measure.FNumber `json:"equivalent_f_number"`
	FramedFocal       measure.Length  `json:"framed_focal_mm"`
	FramedFNumber     measure.FNumber `json:"framed_f_number"`
	Airy              measure.Length  `json:"airy_mm"`
	Room              measure.Length  `json:"room_mm"`
	Blur              measure.Length  `json:"blur_mm"`
	Pupil             measure.Length  `json:"pupil_mm"`
	PlateWidth        measure.Length  `json:"plate_width_mm"`
	PlateHeight       measure.Length  `json:"plate_height_mm"`
	Notes             []string        `json:"notes"`
}

// frame is what fills the plate at the sitter, as the plate lies.
func (a focusAnswer) frame() (across, up measure.Length) {
	if a.PlateWidth > a.PlateHeight {
		return a.FrameHeight, a.FrameWidth
	}
	return a.FrameWidth, a.FrameHeight
}

// secondsAnswer is what the floor takes from the reckoning seconds.
type secondsAnswer struct {
	Seconds float64    `json:"seconds"`
	Band    [2]float64 `json:"band_s"`
	Timing  float64    `json:"timing_stops"`
	CapSd   float64    `json:"cap_sd_s"`
	Basis   string     `json:"basis"`
	Lux     *float64   `json:"incident_lx"`
	OneStop struct {
		Seconds  float64         `json:"seconds"`
		FNumber  measure.FNumber `json:"f_number"`
		Distance float64         `json:"distance_share"`
	} `json:"one_stop"`
	Warnings []string `json:"warnings"`
	Notes    []string `json:"notes"`
}

// duration is the time the cap is off, as records keep it.
func (a secondsAnswer) duration() time.Duration {
	return time.Duration(math.Round(a.Seconds * float64(time.Second)))
}

// floorKeys are the form's fields for the reckonings' keys.
var floorKeys = map[string]string{
	"focal_mm": "lens", "pupil_mag": "lens", "f_number": "stop", "plate": "size", "plate.width_mm": "size", "plate.height_mm": "size",
	"magnification": "magnification", "distance_mm": "distance", "frame_height_mm": "frame",
	"blur_mm": "blur", "incident_lx": "light_lx", "ev100": "ev", "exposure_index": "index", "bellows_stops": "stop",
	"card": "card_f", "card.f_number": "card_f", "card.time_s": "card_t", "card.iso": "card_iso", "card.reflectance_pct": "card_r",
	"index_sigma_stops": "index", "actinic_stops": "kind", "actinic_band_stops": "kind",
	"judged": "from_plate", "judged.seconds": "from_plate", "judged.f_number": "from_plate", "judged.bellows_stops": "from_plate",
	"judged.incident_lx": "from_plate", "judged.incident_now_lx": "light_lx", "judged.verdict": "from_plate",
}

// keyWords puts words in the place of the keys that the reckonings' sentences name.
var keyWords = strings.NewReplacer(
	"No blur_mm was given: sharp", "Sharp",
	"in proportion to viewing_mm", "in proportion to the viewing distance",
	"(pupil_mag 1)", "(ratio 1)", "(airy_mm) ", "",
	"room_mm takes", "The room's figure takes", "near_mm to infinity", "the near limit to infinity",
	"so far_mm, rear_depth_mm and depth_mm have no figure", "so the depth behind the eyes has no figure",
	"equivalent_* compare", "The small-camera lenses of the same view compare", "framed_* frame", "those of the same frame take in",
	"band_s shows", "the band shows", "give it as sway_sd_mm", "ask the reckoning stillness with it", "(smear_mm) ", "", "(one_blink_stops)", "",
	"gains what p_in_depth_middle has more", "gains what is said beside it", "p_good takes", "The chance takes",
	"incident_lx is", "the light is", "ev100 is", "the light is EV", "exposure_index is", "the exposure index is",
	"distance_mm is", "the distance is", "frame_height_mm is", "the height in the frame is", "magnification is", "the magnification is",
	"focal_mm is", "the focal length is", "f_number is", "the f-number is", "bellows_stops is", "the bellows' loss is", "pupil_mag is", "the pupils' ratio is",
)

// answerOf puts a question to a reckoning. What it refuses is a [reckon.FieldError].
func (s *Server) answerOf(name string, question map[string]any, answer any) error {
	reckoning, found := s.cfg.Reckon.Lookup(name)
	if !found {
		return fmt.Errorf("there is no reckoning %s", name)
	}
	text, err := json.Marshal(question)
	if err != nil {
		return fmt.Errorf("question to %s: %w", name, err)
	}
	out, err := reckoning.Answer(text)
	if err != nil {
		return fmt.Errorf("reckoning %s: %w", name, err)
	}
	if err := json.Unmarshal(out, answer); err != nil {
		return fmt.Errorf("answer of %s: %w", name, err)
	}
	return nil
}

// ask puts a question to a reckoning. What it refuses becomes a problem of the form, and ok is false.
func (s *Server) ask(f *form, name string, question map[string]any, answer any) (ok bool, err error) {
	return s.askWith(f, name, question, answer, floorKeys)
}

// askWith is ask for a form whose fields have these keys.
func (s *Server) askWith(f *form, name string, question map[string]any, answer any, keys map[string]string) (ok bool, err error) {
	err = s.answerOf(name, question, answer)
	var refused *reckon.FieldError
	if !errors.As(err, &refused) {
		return err == nil, err
	}
	field, known := keys[refused.Field]
	if !known {
		return false, err
	}
	reckoning, _ := s.cfg.Reckon.Lookup(name)
	said, outside := f.refusedFigure(reckoning, refused, field, question)
	if !outside {
		said = keyWords.Replace(refused.Message)
	}
	f.refuse(field, "%s", said)
	return false, nil
}

// reckoned is what was reckoned of a form: Focus is nil without enough to reckon with or when it was
// refused, Seconds is nil without a metered light, Shot when there is no picture of the sitter, for which
// Trouble then has the reason, and Still when the stillness is not known.
type reckoned struct {
	Focus   *focusAnswer
	Seconds *secondsAnswer
	Shot    *shot
	Trouble error
	Still   *stillAnswer
	Lit     *litFound
}

// extension is rear principal plane to plate: as focused on this sitter, where there is a picture of one.
func (r reckoned) extension() measure.Length {
	if r.Shot != nil {
		return r.Shot.Setup.Camera.Extension
	}
	return r.Focus.Extension
}

// reckonPlan asks the reckonings about what is planned, and notes in it what is known of the lens.
func (s *Server) reckonPlan(ctx context.Context, f *form, p *planned) (reckoned, error) {
	var got reckoned
	if !p.complete {
		return got, nil
	}
	readings, err := s.readingsOf(ctx, p.lens.ID)
	if err != nil {
		return got, fmt.Errorf("readings of the lens: %w", err)
	}
	p.known = studio.Known(p.lens, readings)
	lens, _, ok := p.known.At(p.stop.Name)
	if !ok {
		return got, fmt.Errorf("lens %s has no stop %q", p.lens.ID, p.stop.Name)
	}
	question := map[string]any{
		"focal_mm": float64(lens.Focal), "f_number": float64(lens.Stop), "pupil_mag": lens.PupilMag,
		"plate": map[string]any{"width_mm": float64(p.size.Width), "height_mm": float64(p.size.Height)},
	}
	if p.posed.blur > 0 {
		question["blur_mm"] = float64(p.posed.blur)
	}
	switch p.by {
	case "frame":
		question["frame_height_mm"] = float64(p.frame)
	case "magnification":
		question["magnification"] = p.magnification
	default:
		question["distance_mm"] = float64(p.distance)
	}
	var focus focusAnswer
	ok, err = s.ask(f, "focus", question, &focus)
	if err != nil || !ok {
		return got, err
	}
	p.known = studio.KnownAt(p.lens, readings, focus.Distance) // a form's field changes with the distance
	if got.Shot, got.Trouble = f.shoot(*p, focus); poseRefused(f) {
		return got, nil
	}
	if got.Shot != nil && got.Shot.laid {
		p.posed.setting = got.Shot.moved(p.posed.setting)
		f.setMoves(p.posed.setting)
	}
	if got.Shot != nil {
		got.Shot.limits(&focus)
	}
	got.Focus = &focus
	if err := s.reckonSeconds(ctx, f, *p, lens, &got); err != nil {
		return got, err
	}
	return got, s.reckonStill(f, *p, &got)
}

// reckonSeconds asks how long the cap is off, where the light is known.
func (s *Server) reckonSeconds(ctx context.Context, f *form, p planned, lens optics.Lens, got *reckoned) error {
	if f.Problem("index") != "" {
		return nil
	}
	if err := s.findLight(ctx, f, p, lens, got); err != nil {
		return err
	}
	question := s.secondsKeys(p, got.Lit)
	if question == nil {
		return nil
	}
	question["f_number"], question["bellows_stops"] = float64(lens.Stop), float64(got.Focus.Bellows)
	var seconds secondsAnswer
	ok, err := s.ask(f, "seconds", question, &seconds)
	if ok {
		got.Seconds = &seconds
	}
	return err
}

// warned says of a reckoning's note whether it must be seen before the plate is made, and not only
// be there to be looked up.
func warned(note string) bool {
	return strings.HasPrefix(note, "At this stop diffraction alone") ||
		strings.HasPrefix(note, "The near limit lies behind")
}

// exposureAsked is how long the cap is to be off: as typed, else as reckoned; 0 when neither is known.
func exposureAsked(p planned, a *secondsAnswer) time.Duration {
	if p.seconds > 0 || a == nil {
		return p.seconds
	}
	return a.duration()
}

// exposureOf is how long the cap is off: as typed, as reckoned, or not yet known. What is reckoned is
// shown as a hand can give it.
func exposureOf(p planned, got reckoned) floor.Exposure {
	a := got.Seconds
	var e floor.Exposure
	if asked := exposureAsked(p, a); asked > 0 {
		e.Seconds = figureOf(studio.Counted(asked).Seconds(), 3)
	}
	e.Waits = a == nil && p.seconds == 0 && p.lit.way == studio.Metered
	if l := got.Lit; l != nil && l.flash != nil && l.flash.none == "" {
		chief, _ := l.flash.chief(measure.Metric, p)
		e.Flash = chief.Value
		if chief.Unit != "" {
			e.Flash += "\u2009" + chief.Unit
		}
	}
	if p.seconds > 0 {
		e.Typed = measure.Thin(measure.FormatExposure(p.seconds))
	}
	if a == nil {
		return e
	}
	counted := func(seconds float64) float64 {
		return studio.Counted(time.Duration(math.Round(seconds * float64(time.Second)))).Seconds()
	}
	low, high := counted(a.Band[0]), counted(a.Band[1])
	e.Reckoned = measure.Thin(measure.FormatExposure(studio.Counted(a.duration())))
	e.Between = figureOf(low, 2) + "–" + figureOf(high, 2) + "\u2009s"
	e.Band = &shared.BandData{
		Name: "seconds", Word: "Seconds", Low: low, Median: counted(a.Seconds), High: high, Unit: "s", Ratio: true,
		From: math.Exp2(math.Floor(math.Log2(low)) - 1), To: math.Exp2(math.Ceil(math.Log2(high)) + 1),
		Basis: got.Lit.bandBasis(p) + "; your own hand adds " + signed(a.Timing) + "\u2009stops when it is " + figureOf(a.CapSd, 2) + "\u2009s late",
	}
	return e
}

// figureOf writes a number with so many significant digits, without exponent or trailing zeros.
func figureOf(v float64, digits int) string {
	if v == 0 {
		return "0"
	}
	places := max(0, digits-1-int(math.Floor(math.Log10(math.Abs(v)))))
	text := strconv.FormatFloat(v, 'f', places, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}

func signed(v float64) string {
	if v > 0 {
		return "+" + figureOf(v, 2)
	}
	return figureOf(v, 2)
}
