package reckon

import (
	"fmt"
	"math"

	"platewright/collodion"
	"platewright/light"
	"platewright/measure"
)

type actinicQuestion struct {
	Source    actinicSource `json:"source" doc:"the light"`
	Collodion actinicFilm   `json:"collodion" default:"{\"iodide_mol\":5,\"bromide_mol\":1}" doc:"the halides of the collodion, of which only the ratio counts; left out: a usual iodo-bromized one"`
	Glass     string        `json:"glass" default:"\"none\"" enum:"none|old crown-flint|window|laminated|acrylic" doc:"glass in the way: the lens's (old crown-flint), which D55 is then seen through too, or a pane before the sitter, which the meter stands behind as well"`
}

// actinicSource is a light by one of its kinds.
type actinicSource struct {
	Kinds
	Daylight *actinicDaylight `kind:"daylight" doc:"a phase of daylight by its colour temperature"`
	Planck   *actinicPlanck   `kind:"planck" doc:"an incandescent lamp as a black body"`
	Flash    *actinicFlash    `kind:"flash" doc:"a xenon flash head by its tube"`
	LED      *actinicLED      `kind:"led" doc:"a white LED by its colour temperature and its pump"`
	Named    *actinicNamed    `kind:"named" doc:"a published illuminant"`
	Spectrum *actinicSpectrum `kind:"spectrum" doc:"a spectrum of your own"`
	Typical  *actinicTypical  `kind:"typical" doc:"the light that stands for a kind of which no more is known"`

	light light.Source
}

type actinicDaylight struct {
	CCT float64 `json:"cct_k" unit:"K" range:"[4000,25000]" doc:"correlated colour temperature"`
}

type actinicPlanck struct {
	CCT float64 `json:"cct_k" unit:"K" range:"[1000,25000]" doc:"temperature"`
}

type actinicFlash struct {
	Tube light.Tube `json:"tube" doc:"what the head lets out of its ultraviolet: a clear tube, one behind plain glass, a gold or amber one that cuts it"`
}

type actinicLED struct {
	CCT    float64 `json:"cct_k" unit:"K" range:"[2200,10000]" doc:"correlated colour temperature"`
	PumpNm float64 `json:"pump_nm" default:"450" range:"[400,470]" doc:"peak of the diode's own line: about 450 in most lamps, 405 to 420 in lamps with a violet pump"`
}

type actinicNamed struct {
	Name string `json:"name" doc:"A, D50, D55, D65, D75, FL2, FL7, FL11, FL12, LED-B1 to LED-B5, LED-BH1, LED-RGB1, LED-V1, LED-V2, G173 global, G173 direct"`
}

type actinicSpectrum struct {
	Nm    []float64 `json:"nm" range:"[200,4000]" items:"2,10000" doc:"wavelengths, rising, no gap above 20 nm"`
	Power []float64 `json:"power" unit:"" range:"[0,1e30]" items:"2,10000" doc:"power per nanometre at each, in any unit"`
}

type actinicTypical struct {
	Light light.Kind `json:"light" doc:"kind of light"`
}

// Check finds the light that was told.
func (q *actinicSource) Check() (err error) {
	switch {
	case q.Daylight != nil:
		q.light, err = light.Daylight(q.Daylight.CCT)
	case q.Planck != nil:
		q.light, err = light.Planck(q.Planck.CCT)
	case q.Flash != nil:
		q.light, err = light.Flash(q.Flash.Tube)
	case q.LED != nil:
		if q.light, err = light.LED(q.LED.CCT, q.LED.PumpNm); err != nil {
			return &FieldError{Field: "pump_nm", Message: fmt.Sprintf("pump_nm is %g; %s", q.LED.PumpNm, err)}
		}
	case q.Named != nil:
		if q.light, err = light.Named(q.Named.Name); err != nil {
			return &FieldError{Field: "name", Message: "name: " + err.Error()}
		}
	case q.Spectrum != nil:
		var s light.Spectrum
		if s, err = light.FromPairs(q.Spectrum.Nm, q.Spectrum.Power); err != nil {
			return &FieldError{Field: "nm", Message: "nm and power: " + err.Error()}
		}
		q.light = light.Source{Name: "your own spectrum", Kind: light.OwnSpectrum, Power: s, From: "The spectrum is taken as it was given: what the instrument did not see below its shortest wavelength is missing."}
	case q.Typical != nil:
		if q.light, err = q.Typical.Light.Typical(); err != nil {
			return &FieldError{Field: "light", Message: "light: " + err.Error()}
		}
	}
	return err
}

// actinicFilm is the halides of a collodion.
type actinicFilm struct {
	IodideMol  float64 `json:"iodide_mol" range:"[0,1000]" doc:"iodide, in moles or any measure of count"`
	BromideMol float64 `json:"bromide_mol" range:"[0,1000]" doc:"bromide, in the same measure"`

	sees collodion.Sensitivity
}

// Check finds what the collodion sees.
func (q *actinicFilm) Check() (err error) {
	if q.sees, err = collodion.Sees(collodion.Halides{Iodide: q.IodideMol, Bromide: q.BromideMol}); err != nil {
		return &FieldError{Field: "iodide_mol", Message: fmt.Sprintf("iodide_mol is %g and bromide_mol %g; %s", q.IodideMol, q.BromideMol, err)}
	}
	return nil
}

type actinicAnswer struct {
	ActinicStops measure.Stops `json:"actinic_stops" doc:"stops that this light does to the plate beyond CIE D55 of the same meter reading; positive: it works faster"`
	CentroidNm   float64       `json:"centroid_nm" doc:"mean wavelength of what works on the plate"`
	Below400     float64       `json:"share_below_400nm" doc:"share of what works on the plate that lies below 400 nm, where most eyes and meters see nothing"`

	BandStops   [2]measure.Stops `json:"band_stops" doc:"one standard deviation either side, for what is not known of plate, lamp and pane"`
	SourceStops measure.Stops    `json:"source_sd_stops" doc:"the lamp's own share of that: how flash heads and LED lamps of its kind differ; 0 for every other light, taken as published or as given"`
	PaneStops   measure.Stops    `json:"glass_sd_stops" doc:"the pane's own share of it: where its edge in the ultraviolet may lie; 0 for none and for the lens, which both lights pass"`
	GlassStops  measure.Stops    `json:"glass_stops" doc:"what the glass does to the plate's light and no meter sees; negative: it loses"`
	Light       string           `json:"light" doc:"the light that was reckoned with"`
	Kind        light.Kind       `json:"light_kind" doc:"its kind, as kept with a speed"`
	CctK        *float64         `json:"cct_k" unit:"K" doc:"its correlated colour temperature before any glass; null when its colour has none"`
	Notes       []string         `json:"notes" doc:"what to know about this answer"`
}

// actinic asks what a light does to the plate beyond what a meter says: the integral of spectrum, glass and the plate's
// sensitivity over the photopic reading [CIE18], against CIE D55 [CIE15].
func actinic() *Reckoning {
	return define(Spec{
		Name:    "actinic",
		Title:   "what a light does beyond the meter",
		Summary: "From a light's spectrum, the collodion's halides and the glass between to the stops that a meter misses.",
		Model: "The plate answers to spectrum times glass times its own sensitivity, the meter to spectrum times the eye's; their ratio is held against that of " +
			"CIE daylight D55 (5503 K). A lens's glass stands before the plate in both lights. A pane stands before the light, so the meter reads through it too, and D55 is " +
			"taken without it. The sensitivity of wet collodion is an estimate with a band, no measured curve being known; the band is one standard deviation of it and " +
			"of the lamp's kind and the pane together, taken as independent. Surfaces, coatings, veil and the speed of a batch are in neither.",
		Sources: []string{"CIE15", "CIE18", "OpticalGlass17", "ASTMG173", "PlateNotes2026"},
		Example: `{"source": {"kind": "led", "cct_k": 4000}, "glass": "old crown-flint"}`,
	}, answerActinic)
}

func answerActinic(q actinicQuestion) (actinicAnswer, error) {
	src, sees := q.Source.light, q.Collodion.sees
	none, err := light.FilterOf(light.NoGlass)
	if err != nil {
		return actinicAnswer{}, err
	}
	glass, err := light.FilterOf(q.Glass)
	if err != nil {
		return actinicAnswer{}, err
	}
	pane, lens := none, glass
	if glass.BeforeMeter {
		pane, lens = glass, none
	}
	a, err := sees.Actinic(src.Power, pane, lens)
	if err != nil {
		return actinicAnswer{}, &FieldError{Field: "source", Message: "source: " + err.Error()}
	}
	bare, err := sees.Actinic(src.Power, none, none)
	if err != nil {
		return actinicAnswer{}, &FieldError{Field: "source", Message: "source: " + err.Error()}
	}
	lost := a.Stops - bare.Stops
	if !glass.BeforeMeter {
		lost = measure.StopsOf(sees.Response(src.Power.Times(lens.Pass)) / sees.Response(src.Power))
	}
	edge, err := edgeSpread(sees, src, pane)
	if err != nil {
		return actinicAnswer{}, err
	}
	spread := sourceSpread(src, q.Source, func(s light.Spectrum) float64 { return sees.Response(s.Times(pane.Pass).Times(lens.Pass)) })
	widened := func(d measure.Stops) measure.Stops {
		return measure.Stops(math.Hypot(float64(d), math.Hypot(float64(spread), float64(edge))))
	}
	out := actinicAnswer{ActinicStops: a.Stops, CentroidNm: a.CentroidNM, Below400: a.Below400,
		BandStops:   [2]measure.Stops{a.Stops - widened(a.Stops-a.Low), a.Stops + widened(a.High-a.Stops)},
		SourceStops: spread, PaneStops: edge, GlassStops: lost, Light: src.Name, Kind: src.Kind,
		Notes: []string{
			"Use actinic_stops only from one kind of light to another: a speed found in this same light has it in it already.",
			"band_stops is one standard deviation of what is estimated: wet collodion's sensitivity, how lamps of a kind differ, where a pane's edge lies. A pair of plates in both lights narrows it.",
			src.From,
			sees.From,
		}}
	if k, err := src.Power.CCT(); err == nil {
		out.CctK = &k
	}
	if q.Glass != light.NoGlass {
		out.Notes = append(out.Notes, glass.From)
	}
	if glass.BeforeMeter {
		out.Notes = append(out.Notes, "The pane stands before the light: meter behind it, at the sitter. D55 is taken without it.")
	}
	if width := out.BandStops[1] - out.BandStops[0]; width > 1 {
		out.Notes = append(out.Notes, fmt.Sprintf("The band is %.1f stops wide: in this light make a stepped test plate first.", float64(width)))
	}
	return out, nil
}

// sourceSpread returns how lamps of the kind differ for the plate, one standard deviation. response is what works on the plate.
func sourceSpread(src light.Source, q actinicSource, response func(light.Spectrum) float64) measure.Stops {
	switch {
	case q.Flash != nil: // a quarter below 400 nm, 7 % above [PlateNotes2026]
		low, err := light.CutBelow(400)
		if err != nil {
			return 0
		}
		whole, above := response(src.Power), response(src.Power.Times(low.Pass))
		return measure.StopsOf(1 + math.Hypot(.25*(whole-above), .07*above)/whole)
	case q.LED != nil:
		return .15 // [light.LED]
	case src.Kind == light.WhiteLED:
		return .4 // a lamp of the same colour temperature with its pump 5 nm off: an assumption, no survey of lamps being known
	}
	return 0
}

// edgeSpread returns what one standard deviation of the place of a pane's edge makes, half the way from either side. The eye
// hardly sees so far, so the plate's side alone is reckoned.
func edgeSpread(sees collodion.Sensitivity, src light.Source, pane light.Filter) (measure.Stops, error) {
	if pane.EdgeSD == 0 {
		return 0, nil
	}
	var works [2]float64
	for i, nm := range []float64{-pane.EdgeSD, pane.EdgeSD} {
		moved, err := pane.Shifted(nm)
		if err != nil {
			return 0, err
		}
		works[i] = sees.Response(src.Power.Times(moved.Pass))
	}
	if !(works[1] > 0) {
		return 0, &FieldError{Field: "glass", Message: "glass stops all that works on the plate if its edge lies a little further; nothing can be said behind it"}
	}
	return measure.StopsOf(works[0]/works[1]) / 2, nil
}
