package reckon

import (
	"fmt"
	"math"

	"platewright/collodion"
	"platewright/light"
	"platewright/measure"
)

type curveQuestion struct {
	ExposuresStops *[]float64        `json:"exposures_stops" one:"exposures" range:"[-12,12]" items:"1,200" doc:"exposures beyond that of a metered mid-tone"`
	Range          *curveRange       `json:"range" one:"exposures" doc:"exposures in even steps instead"`
	Reflectances   []float64         `json:"reflectances" default:"[]" range:"(0,1)" items:"0,200" doc:"reflectances of the plate whose exposures are asked as well"`
	Collodion      actinicFilm       `json:"collodion" default:"{\"iodide_mol\":5,\"bromide_mol\":1}" doc:"the halides of the collodion, of which only the ratio counts: they decide what it sees"`
	Support        collodion.Support `json:"support" default:"\"blackened metal\"" doc:"what lies behind the silver; clear glass is laid on black"`
	Fixer          collodion.Fixer   `json:"fixer" default:"\"unknown\"" doc:"what the plate was fixed in"`
	Varnished      bool              `json:"varnished" default:"true" doc:"whether it is varnished"`
	Least          *float64          `json:"least_reflectance" range:"[0.0005,0.5]" doc:"the plate's deepest black, measured; left out: that of the finish"`
	Most           *float64          `json:"most_reflectance" range:"[0.01,1]" doc:"its whitest silver, measured; left out: that of the finish"`
	Steepness      *float64          `json:"steepness" range:"[0.3,6]" doc:"exponent of exposure; left out: 1.6"`
	MiddleStops    *float64          `json:"middle_stops" range:"[-6,6]" doc:"exposure of the middle tone beyond a metered mid-tone; left out: 0"`
	VeilStops      float64           `json:"veil_stops" default:"0" range:"[0,8]" doc:"exposure the whole plate got too much, which veils its blacks"`
	Age            *curveAge         `json:"age" doc:"age of the collodion, by what is believed before any plate; left out: none is laid on"`
	ReciprocityP   float64           `json:"reciprocity_p" default:"1" range:"[0.85,1]" doc:"beyond 1 s a light counts by its time to this power; 1: no loss"`
	TimeS          *float64          `json:"time_s" range:"[0.0000001,3600]" doc:"a metered time to be lengthened by reciprocity_p"`
	Tone           collodion.Tone    `json:"tone" default:"\"warm\"" doc:"tone of the developed silver, for the colours"`
}

type curveRange struct {
	FromStops float64 `json:"from_stops" range:"[-12,12]" doc:"the first"`
	ToStops   float64 `json:"to_stops" range:"[-12,12]" doc:"the last, above the first"`
	StepStops float64 `json:"step_stops" default:"0.5" range:"[0.05,12]" doc:"from one to the next"`
}

type curveAge struct {
	Days float64        `json:"age_days" range:"[0,3650]" doc:"since it was mixed"`
	Salt collodion.Salt `json:"salt" default:"\"unknown\"" doc:"the metal, or ammonium, that most of its halides came with"`
}

type curveAnswer struct {
	Values       []curveValue     `json:"values" doc:"the plate at each exposure, in the order asked"`
	Exposures    []measure.Stops  `json:"exposures_for_reflectances" unit:"stops" doc:"exposures beyond a metered mid-tone that give the reflectances, in the order asked"`
	Least        float64          `json:"least_reflectance" doc:"reflectance of the deepest black"`
	LeastBand    [2]float64       `json:"least_band" doc:"the range it is believed to lie in"`
	Most         float64          `json:"most_reflectance" doc:"reflectance of the whitest silver"`
	MostBand     [2]float64       `json:"most_band" doc:"the range it is believed to lie in"`
	Steepness    float64          `json:"steepness" doc:"exponent of exposure"`
	SteepBand    [2]float64       `json:"steepness_band" doc:"the range it is believed to lie in"`
	MiddleStops  measure.Stops    `json:"middle_stops" doc:"exposure of the middle tone beyond a metered mid-tone, age included"`
	Gamma        float64          `json:"gamma" doc:"slope of reflection density against the logarithm of exposure in the middle"`
	RangeStops   [2]measure.Stops `json:"range_stops" doc:"exposures between which the tone goes from a tenth to nine tenths of its way: shadows below are blocked, whites above burnt"`
	UsableStops  measure.Stops    `json:"usable_stops" doc:"how far they lie apart"`
	Sees         []curveSight     `json:"sees" doc:"what the collodion sees, each 10 nm"`
	SpeedStops   measure.Stops    `json:"speed_stops" doc:"speed of these halides beyond the usual, an estimate to a stop either way; age not included"`
	CurveVersion int              `json:"curve_version" doc:"revision of the drawn sensitivity"`
	AgeLossStops *measure.Stops   `json:"age_loss_stops" doc:"speed believed lost by age; null when no age was given"`
	AgeSdStops   *measure.Stops   `json:"age_sd_stops" doc:"its standard deviation"`
	TimeS        *float64         `json:"time_s" doc:"the time lengthened by reciprocity; null when none was given"`
	Notes        []string         `json:"notes" doc:"what to know about this answer"`
}

type curveValue struct {
	ExposureStops measure.Stops `json:"exposure_stops" doc:"beyond a metered mid-tone"`
	Reflectance   float64       `json:"reflectance" doc:"of the plate"`
	Band          [2]float64    `json:"band" doc:"least and most that the ranges of black, white and exponent make of it, with the middle held"`
	Density       float64       `json:"density" doc:"reflection density"`
	Share         float64       `json:"share" doc:"of the way from black to white"`
	Linear        [3]float64    `json:"linear_rgb" doc:"red, green and blue of the tone, linear sRGB beside white paper"`
}

type curveSight struct {
	Nm       float64 `json:"at_nm" doc:"wavelength"`
	Response float64 `json:"response" doc:"for the same energy, 1 at its greatest"`
	Factor   float64 `json:"factor" doc:"multiplied and divided by it is one standard deviation off"`
}

// plateCurve asks what silver an exposure leaves on a positive, and what its film sees. Package collodion tells the model.
func plateCurve() *Reckoning {
	return define(Spec{
		Name:    "curve",
		Title:   "what silver an exposure leaves",
		Summary: "From exposures, halides, support and finish to the reflectances and densities of a positive on black, its contrast and range, and what the film sees.",
		Model: "Reflectance is least + (most - least) x/(1 + x) with x the exposure over that of the middle tone to the power of the steepness. " +
			"No measured curve of a wet plate was found: the form, the figures and their ranges are estimates, as is the sensitivity, which is led through what " +
			"print says of iodide and bromide. Ageing is a prior: of it only a loss of up to two stops and two lives are printed. Measure a stepped plate and give its own figures.",
		Sources: []string{"SchultzSellack1871", "Vogel1874", "VogelHandbook00", "SilverGap00", "CollodionAge00", "CollodionLife00", "Wilkinson00", "Reciprocity00", "Scheiner1897"},
		Example: `{"range": {"from_stops": -3, "to_stops": 3, "step_stops": 1}, "support": "dark glass"}`,
		Keys: map[string]string{"greatest reflectance": "most_reflectance", "least reflectance": "least_reflectance", "age": "age.age_days",
			"middle": "middle_stops", "reflectance": "reflectances", "time": "time_s"},
	}, answerCurve)
}

func (q curveQuestion) exposures() ([]float64, error) {
	if q.ExposuresStops != nil {
		return *q.ExposuresStops, nil
	}
	r := q.Range
	if r.ToStops < r.FromStops {
		return nil, &FieldError{Field: "range.to_stops", Message: fmt.Sprintf("range.to_stops is %s; it is not below range.from_stops, %s", number(r.ToStops), number(r.FromStops))}
	}
	n := int((r.ToStops-r.FromStops)/r.StepStops+1e-9) + 1
	if n > 200 {
		return nil, &FieldError{Field: "range.step_stops", Message: fmt.Sprintf("range.step_stops is %s, which makes %d exposures of this range; at most 200 are answered", number(r.StepStops), n)}
	}
	out := make([]float64, n)
	for i := range out {
		out[i] = r.FromStops + float64(i)*r.StepStops
	}
	return out, nil
}

// given returns the plate's curve with the figures that were given, and the ranges of those that were not.
func (q curveQuestion) given() (collodion.Curve, collodion.Spans, error) {
	c, s, err := collodion.CurveOf(collodion.Finish{Support: q.Support, Fixer: q.Fixer, Unvarnished: !q.Varnished})
	if err != nil {
		return c, s, err
	}
	for _, g := range []struct {
		got *float64
		own *float64
		in  *collodion.Span
	}{{q.Least, &c.Least, &s.Least}, {q.Most, &c.Most, &s.Most}, {q.Steepness, &c.Steepness, &s.Steepness}} {
		if g.got != nil {
			*g.own, *g.in = *g.got, collodion.Span{Low: *g.got, High: *g.got}
		}
	}
	if q.MiddleStops != nil {
		c.Middle = measure.Stops(*q.MiddleStops)
	}
	return c, s, c.Check()
}

func answerCurve(q curveQuestion) (curveAnswer, error) {
	at, err := q.exposures()
	if err != nil {
		return curveAnswer{}, err
	}
	c, spans, err := q.given()
	if err != nil {
		return curveAnswer{}, err
	}
	a := curveAnswer{Notes: []string{c.From + "."}, SpeedStops: q.Collodion.sees.Level, CurveVersion: q.Collodion.sees.Version}
	if q.Least != nil && q.Most != nil && q.Steepness != nil {
		a.Notes = []string{"The curve's black, white and exponent are your own figures."}
	}
	steeper := 1.0
	if q.Age != nil {
		aged, err := a.age(c, *q.Age)
		if err != nil {
			return curveAnswer{}, err
		}
		steeper, c = aged.Steepness/c.Steepness, aged
	}
	unveiled := c.Least
	c = c.Veiled(measure.Stops(q.VeilStops))
	if c.Least > unveiled {
		a.Notes = append(a.Notes, "The veil of over-exposure is an assumption: blacks greyed to 0.06 over three stops, the plate not made whiter.")
	}
	spans.Steepness = collodion.Span{Low: spans.Steepness.Low * steeper, High: spans.Steepness.High * steeper}
	veil := c.Least - unveiled
	spans.Least = collodion.Span{Low: spans.Least.Low + veil, High: spans.Least.High + veil}
	for _, stops := range at {
		a.Values = append(a.Values, valueAt(c, spans, q.Tone, stops))
	}
	a.Exposures = []measure.Stops{}
	for i, r := range q.Reflectances {
		h, err := c.Inverse(r)
		if err != nil {
			return curveAnswer{}, &FieldError{Field: fmt.Sprintf("reflectances[%d]", i), Message: fmt.Sprintf("reflectances[%d] is %s; this plate gives only what lies between %s and %s, its black and its white", i, number(r), number(c.Least), number(c.Most))}
		}
		a.Exposures = append(a.Exposures, measure.StopsOf(h))
	}
	a.Least, a.LeastBand = c.Least, [2]float64{spans.Least.Low, spans.Least.High}
	a.Most, a.MostBand = c.Most, [2]float64{spans.Most.Low, spans.Most.High}
	a.Steepness, a.SteepBand = c.Steepness, [2]float64{spans.Steepness.Low, spans.Steepness.High}
	a.MiddleStops, a.Gamma = c.Middle, c.Gamma()
	a.RangeStops[0], a.RangeStops[1] = c.Range()
	a.UsableStops = a.RangeStops[1] - a.RangeStops[0]
	first, last, _ := q.Collodion.sees.Curve.Bounds()
	for nm := first; nm <= last; nm += 10 {
		a.Sees = append(a.Sees, curveSight{nm, q.Collodion.sees.Curve.At(nm), q.Collodion.sees.Factor.At(nm)})
	}
	if q.TimeS != nil {
		t, err := collodion.Lengthened(light.Seconds(*q.TimeS), q.ReciprocityP)
		if err != nil {
			return curveAnswer{}, err
		}
		s := float64(t)
		a.TimeS = &s
		a.Notes = append(a.Notes, "No reciprocity was found measured for wet collodion: reciprocity_p stands or falls with your own test, and drying limits long exposures first.")
	}
	a.Notes = append(a.Notes, q.Collodion.sees.From, collodion.FromTones+".")
	return a, nil
}

// age lays an age on the curve.
func (a *curveAnswer) age(c collodion.Curve, q curveAge) (collodion.Curve, error) {
	prior, err := collodion.AgeingOf(q.Salt)
	if err != nil {
		return collodion.Curve{}, err
	}
	loss, sd, err := prior.Loss(q.Days)
	if err != nil {
		return collodion.Curve{}, err
	}
	a.AgeLossStops, a.AgeSdStops = &loss, &sd
	a.Notes = append(a.Notes, prior.From)
	return c.Aged(prior, q.Days)
}

func valueAt(c collodion.Curve, s collodion.Spans, tone collodion.Tone, stops float64) curveValue {
	h := math.Exp2(stops)
	v := curveValue{ExposureStops: measure.Stops(stops), Reflectance: c.Reflectance(h), Density: c.Density(h), Share: c.Share(h)}
	v.Band = [2]float64{v.Reflectance, v.Reflectance}
	for _, steep := range []float64{s.Steepness.Low, s.Steepness.High} {
		dark, pale := c, c
		dark.Least, dark.Most, dark.Steepness = s.Least.Low, s.Most.Low, steep
		pale.Least, pale.Most, pale.Steepness = s.Least.High, s.Most.High, steep
		v.Band[0], v.Band[1] = min(v.Band[0], dark.Reflectance(h)), max(v.Band[1], pale.Reflectance(h))
	}
	v.Linear[0], v.Linear[1], v.Linear[2] = tone.Silver(v.Share, v.Reflectance)
	return v
}
