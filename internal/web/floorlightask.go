package web

import (
	"context"
	"errors"
	"fmt"
	"math"
	"time"

	"platewright/internal/studio"
	"platewright/light"
	"platewright/light/flash"
	"platewright/light/sky"
	"platewright/measure"
	"platewright/optics"
	"platewright/reckon"
)

// litFound is what was found of the light at the face, before the time.
type litFound struct {
	kind    light.Kind          // of the light; empty when it is taken to be that of the index
	speed   studio.SpeedKnown   // by which index it is exposed
	typed   bool                // the index was typed, and holds for this light
	between stopsBand           // what this light does to the plate beyond that of the index
	stands  string              // what the two lights are taken as, where something comes between
	missing *missing            // what stands in the way; nil when nothing does
	sun     *sunAnswer          // of sun and sky
	sides   *[2]float64         // lx on the two sides of the face, to the right and to the left of the camera; nil when unknown
	flash   *flashFound         // of a flash
	judged  *studio.JudgedPlate // the plate it is relative to
}

// missing is what has to be said first.
type missing struct{ what, href, word string }

// stopsBand is a figure in stops with its band.
type stopsBand struct{ Stops, Low, High float64 }

// sunAnswer is what the floor takes from the reckoning sun.
type sunAnswer struct {
	Elevation float64    `json:"elevation_deg"`
	Azimuth   float64    `json:"azimuth_deg"`
	Lux       *float64   `json:"illuminance_lx"`
	Band      float64    `json:"band_stops"`
	Actinic   *float64   `json:"actinic_stops"`
	Ends      []float64  `json:"actinic_band_stops"`
	Kind      light.Kind `json:"light_kind"`
	OnFace    bool       `json:"sun_on_face"`
	InRoom    bool       `json:"sun_in_room"`
	Sunrise   *time.Time `json:"sunrise"`
	Sunset    *time.Time `json:"sunset"`
	Notes     []string   `json:"notes"`
}

// actinicAnswer is what the floor takes from the reckoning actinic.
type actinicAnswer struct {
	Stops float64    `json:"actinic_stops"`
	Band  [2]float64 `json:"band_stops"`
	Light string     `json:"light"`
}

// throughLens is the glass that both lights pass.
const throughLens = "old crown-flint"

// doesOf tells what the light that stands for a kind does to the plate.
func (s *Server) doesOf(kind light.Kind) (actinicAnswer, error) {
	return s.does(map[string]any{"kind": "typical", "light": kind})
}

func (s *Server) does(source map[string]any) (a actinicAnswer, err error) {
	err = s.answerOf("actinic", map[string]any{"source": source, "glass": throughLens}, &a)
	return a, err
}

// between tells how much more one light does to the plate than another of the same reading. The bands are put together
// as if they knew nothing of each other, which makes the difference less sure than it is.
func between(to, from actinicAnswer) stopsBand {
	d := to.Stops - from.Stops
	return stopsBand{d, d - math.Hypot(to.Stops-to.Band[0], from.Band[1]-from.Stops), d + math.Hypot(to.Band[1]-to.Stops, from.Stops-from.Band[0])}
}

// findLight finds the light at the face, the index, and what comes between them.
func (s *Server) findLight(ctx context.Context, f *form, p planned, lens optics.Lens, got *reckoned) error {
	l := p.lit
	found := &litFound{kind: l.kind}
	got.Lit = found
	switch l.way {
	case studio.ByWindow:
		if err := s.findSun(f, p, got); err != nil || found.missing != nil {
			return err
		}
		if found.kind = found.sun.Kind; l.window == nil {
			found.kind = kindThere(nil, l.weather)
		}
	case studio.ByFlash:
		if l.rig == nil {
			found.missing = &missing{what: "Write down a flash rig, and what it gives is reckoned."}
			return nil
		}
		found.kind, _ = l.rig.Kind()
	case studio.ByOldPlate:
		return s.findJudged(ctx, f, p, found)
	}
	speeds, err := s.cfg.Studio.Speeds(ctx)
	if err != nil {
		return fmt.Errorf("found speeds: %w", err)
	}
	found.setIndex(p, speeds, f.id("collodion"))
	if err := s.setBetween(l, found); err != nil {
		return err
	}
	if l.way == studio.ByFlash {
		return s.findFlash(ctx, p, lens, got)
	}
	return nil
}

// setIndex takes the index that was typed, for this light; else what is known of the collodion.
func (l *litFound) setIndex(p planned, speeds []studio.SpeedFound, collodion studio.ID) {
	if p.ownIndex {
		l.typed = true
		l.speed = studio.SpeedKnown{Index: light.ExposureIndex(p.index), Kind: l.kind, Same: true}
		return
	}
	l.speed = studio.SpeedOf(speeds, l.kind, collodion)
	if l.kind == "" { // taken to be that of the index
		l.speed.Same = true
	}
}

// setBetween finds what comes between the light of the index and this one.
func (s *Server) setBetween(l litAsked, found *litFound) error {
	if found.speed.Same {
		return nil
	}
	from, err := s.doesOf(found.speed.Kind)
	if err != nil {
		return err
	}
	var to actinicAnswer
	switch sun := found.sun; {
	case sun != nil && sun.Actinic != nil && len(sun.Ends) == 2:
		to = actinicAnswer{Stops: *sun.Actinic, Band: [2]float64{sun.Ends[0], sun.Ends[1]}, Light: "this sky's own light"}
	case l.spectrum != nil:
		source, err := l.spectrum.Source()
		if err != nil {
			return err
		}
		var nm, power []float64
		source.Power.Each(func(at, v float64) { nm, power = append(nm, at), append(power, v) })
		if to, err = s.does(map[string]any{"kind": "spectrum", "nm": nm, "power": power}); err != nil {
			return err
		}
	default:
		if to, err = s.doesOf(found.kind); err != nil {
			return err
		}
	}
	found.between = between(to, from)
	found.stands = string(found.speed.Kind) + " taken as " + from.Light + ", this light as " + to.Light
	return nil
}

// findSun asks for the light of sun and sky at the face.
func (s *Server) findSun(f *form, p planned, got *reckoned) error {
	found := got.Lit
	where, ok := p.lit.profile.Where()
	if !ok {
		found.missing = &missing{"Where the studio stands is not written down, so the sun cannot be told.", "/studio", "Write down its latitude and longitude"}
		return nil
	}
	question := sunQuestion(where)
	question["time"] = p.lit.at.Format(time.RFC3339)
	question["sky"] = skyQuestion(p.lit.weather)
	question["window"] = windowQuestion(p.lit.window, eyesOf(got), where.Latitude, p.lit.turn)
	var a sunAnswer
	if err := s.answerOf("sun", question, &a); err != nil {
		var refused *reckon.FieldError
		if errors.As(err, &refused) {
			f.refuse("at_day", "%s", keyWords.Replace(refused.Message))
			found.missing = &missing{what: "The light of sun and sky cannot be told for this day."}
			return nil
		}
		return err
	}
	found.sun = &a
	if a.Lux == nil || a.Actinic == nil || *a.Lux < leastSkyLux {
		found.missing = &missing{what: fmt.Sprintf("At %s the sun stands %s: there is no light for a plate. Take another hour; the chart of the day shows them.",
			p.lit.at.Format("15:04 on 2 January"), sunHeight(a.Elevation))}
		return nil
	}
	if p.lit.window == nil {
		return nil
	}
	found.sides = &[2]float64{}
	for i, cheek := range []float64{flash.UsualCheek.Degrees(), -flash.UsualCheek.Degrees()} {
		var side sunAnswer
		question["window"] = windowQuestion(p.lit.window, eyesOf(got), where.Latitude, math.Remainder(p.lit.turn+cheek, 360))
		if err := s.answerOf("sun", question, &side); err != nil {
			return err
		}
		if side.Lux != nil {
			found.sides[i] = *side.Lux
		}
	}
	return nil
}

// leastSkyLux is the light below which no time is told: the darkest that the reckoning seconds takes.
const leastSkyLux = 0.01

func sunHeight(deg float64) string {
	if deg < 0 {
		return figureOf(-deg, 2) + "° below the horizon"
	}
	return figureOf(deg, 2) + "° above the horizon"
}

// sunQuestion is a place, as sun and daylight ask for it.
func sunQuestion(at sky.Place) map[string]any {
	return map[string]any{"latitude_deg": at.Latitude.Degrees(), "longitude_deg": at.Longitude.Degrees(), "elevation_m": at.Elevation.Metres()}
}

// skyQuestion is the weather as the reckonings ask for it.
func skyQuestion(weather string) any {
	switch weather {
	case skyOvercast:
		return "overcast"
	case skyHalf:
		return map[string]any{"covered_share": 0.5}
	}
	return "clear"
}

// The open shade: an upright face with half the sky before it and the sun behind a building, outdoors.
const (
	shadeWide  = 100.0
	shadeHigh  = 50.0
	shadeDeep  = 1.0
	shadeFloor = -1.2
)

// windowQuestion is a window, or the open shade, as the reckonings ask for it.
func windowQuestion(w *studio.Window, eyes measure.Length, latitude measure.Angle, turn float64) map[string]any {
	if w == nil {
		facing := 0.0
		if latitude < 0 {
			facing = 180
		}
		return map[string]any{"facing_deg": facing, "width_m": shadeWide, "height_m": shadeHigh, "distance_m": shadeDeep, "sill_m": shadeFloor,
			"turn_deg": turn, "glass": "none", "sun_kept_out": true}
	}
	seen := w.Sky(eyes)
	return map[string]any{"facing_deg": seen.Facing.Degrees(), "width_m": seen.Width.Metres(), "height_m": seen.Height.Metres(), "sill_m": seen.Sill.Metres(),
		"distance_m": w.Distance.Metres(), "turn_deg": turn, "sky_share": seen.SkyShare, "glass": seen.Glazing, "sun_kept_out": seen.NoSun}
}

// eyesOf is how high the sitter's eyes are: as posed, else as of one who sits.
func eyesOf(got *reckoned) measure.Length {
	if got.Shot != nil {
		return got.Shot.Figure.EyeHeight
	}
	return studio.SeatedEyes
}

// findJudged finds the judged plate that the time is told from.
func (s *Server) findJudged(ctx context.Context, f *form, p planned, found *litFound) error {
	if f.text("from_plate") == "" {
		plates, _, err := s.judgedOptions(ctx, p, f.id("collodion"))
		if err != nil {
			return err
		}
		if len(plates) == 0 {
			found.missing = &missing{what: "No plate of yours has been judged yet: meter the light for this one, judge it, and the next is told from it."}
			return nil
		}
		f.Typed.Set("from_plate", plates[0].Value)
		if p.lit.plate, err = studio.ParseNumber(plates[0].Value); err != nil {
			return err
		}
	}
	if f.Problem("from_plate") != "" {
		found.missing = &missing{what: "Choose a judged plate to go by, and the seconds follow."}
		return nil
	}
	j, ok, err := s.cfg.Studio.JudgedPlateOf(ctx, p.lit.plate)
	switch {
	case errors.Is(err, studio.ErrNotFound):
		f.refuse("from_plate", "there is no plate %s; choose again", p.lit.plate)
	case err != nil:
		return fmt.Errorf("judged plate: %w", err)
	case !ok:
		f.refuse("from_plate", "nobody has judged plate %s yet; judge it, or choose another", p.lit.plate)
	case j.Given <= 0 || j.Plate.Plan.Stop.FNumber <= 0:
		f.refuse("from_plate", "plate %s has no stop or no time, so nothing is told from it; choose another", p.lit.plate)
	default:
		found.judged = &j
		was := j.Plate.Plan.Lighting.Kind
		if found.kind == "" {
			found.kind = was
		}
		found.speed = studio.SpeedKnown{Kind: was, Same: was == "" || was == found.kind}
		return s.setBetween(p.lit, found)
	}
	found.missing = &missing{what: "Choose another plate to go by."}
	return nil
}

// secondsKeys are the part of the question seconds that tells the light; nil when there is none.
func (s *Server) secondsKeys(p planned, lit *litFound) map[string]any {
	if lit == nil || lit.missing != nil {
		return nil
	}
	q := map[string]any{}
	switch p.lit.way {
	case studio.ByFlash:
		return nil
	case studio.ByWindow:
		q["incident_lx"] = *lit.sun.Lux
	case studio.ByOldPlate:
		judged := judgedQuestion(*lit.judged, p.pupilMag(lit.judged.Plate.Plan.Lens))
		if then := float64(lit.judged.Plate.Plan.Lighting.Incident); then > 0 {
			judged["incident_lx"] = then
			if now, metered := p.metered(); metered {
				judged["incident_now_lx"] = now
			}
		}
		q["judged"] = judged
	default:
		switch {
		case p.lightLx != nil:
			q["incident_lx"] = *p.lightLx
		case p.ev != nil:
			q["ev100"] = float64(*p.ev)
		case p.lit.card != nil:
			q["card"] = p.lit.card
		default:
			return nil
		}
	}
	if lit.judged == nil {
		q["exposure_index"] = float64(lit.speed.Index)
		sigma := float64(lit.speed.Sigma)
		if lit.sun != nil {
			sigma = math.Hypot(sigma, lit.sun.Band)
		}
		if sigma > 0 {
			q["index_sigma_stops"] = min(sigma, 5)
		}
	}
	if b := lit.between; b.High > b.Low {
		q["actinic_stops"] = b.Stops
		q["actinic_band_stops"] = []float64{b.Low, b.High}
	}
	return q
}

// metered is the light by a meter, in lux, where one was read.
func (p planned) metered() (lx float64, ok bool) {
	switch {
	case p.lightLx != nil:
		return *p.lightLx, true
	case p.ev != nil:
		return float64(light.IlluminanceAt(*p.ev)), true
	}
	return 0, false
}

// pupilMag is that of the lens a plate was made with, where it is this one.
func (p planned) pupilMag(lens studio.ID) float64 {
	if lens == p.lens.ID && p.lens.PupilMag > 0 {
		return p.lens.PupilMag
	}
	return 1
}

// judgedQuestion is a judged plate as the reckoning seconds asks for it.
func judgedQuestion(j studio.JudgedPlate, pupilMag float64) map[string]any {
	plan := j.Plate.Plan
	bellows := judgedBellows(plan, pupilMag)
	return map[string]any{"seconds": j.Given.Seconds(), "f_number": float64(plan.Stop.FNumber), "bellows_stops": float64(bellows), "verdict": j.Verdict.Word}
}

// judgedBellows is what the extension of a plate cost.
func judgedBellows(plan studio.Plan, pupilMag float64) measure.Stops {
	return optics.Setting{Lens: optics.Lens{PupilMag: pupilMag}, Magnification: plan.Magnification}.Bellows()
}
