package reckon

import (
	"fmt"
	"math"

	"platewright/collodion"
	"platewright/light"
	"platewright/measure"
)

type secondsQuestion struct {
	IncidentLx    *float64       `json:"incident_lx" one:"reading" range:"[0.01,250000]" doc:"incident light at the sitter's face, receptor toward the camera"`
	EV100         *float64       `json:"ev100" one:"reading" range:"[-8,17]" doc:"the same as an exposure value at index 100"`
	Card          *secondsCard   `json:"card" one:"reading" doc:"what any camera or telephone shows for a card held at the sitter's face, lit as the face is"`
	Judged        *secondsJudged `json:"judged" one:"reading" doc:"a plate of this collodion that was judged; the answer is then relative to it, and exposure_index may be left out"`
	ExposureIndex *float64       `json:"exposure_index" range:"[0.01,100]" doc:"the plate's speed for incident readings, found by test in this kind of light"`
	FNumber       float64        `json:"f_number" range:"[0.5,512]" doc:"aperture number without the bellows"`
	BellowsStops  float64        `json:"bellows_stops" default:"0" range:"[0,12]" doc:"stops lost by the extension, as focus tells them"`
	ActinicStops  float64        `json:"actinic_stops" default:"0" range:"[-10,10]" doc:"what this light does to the plate beyond the light the index was found in"`
	CapSdS        *float64       `json:"cap_sd_s" range:"[0,60]" doc:"standard deviation of your own timing by hand; left out: counted aloud"`

	IndexSigmaStops  float64     `json:"index_sigma_stops" default:"0" range:"[0,5]" doc:"standard deviation of the exposure index; it widens the band"`
	ActinicBandStops *[2]float64 `json:"actinic_band_stops" range:"[-12,12]" doc:"least and most that actinic_stops may be, as actinic tells them; they widen the band"`
	ReciprocityP     *float64    `json:"reciprocity_p" range:"[0.85,1]" doc:"beyond 1 s a light counts by its time to this power: a figure of your own, 0.9 to 1; left out: 1"`
}

// secondsCard is what a camera shows for a card.
type secondsCard struct {
	FNumber        float64 `json:"f_number" range:"[0.5,512]" doc:"the camera's"`
	TimeS          float64 `json:"time_s" range:"[0.000001,100000]" doc:"the camera's"`
	Iso            float64 `json:"iso" range:"[0.001,10000000]" doc:"the camera's"`
	ReflectancePct float64 `json:"reflectance_pct" default:"18" range:"[1,100]" doc:"of the card, as its maker tells it"`
}

// secondsJudged is a plate that was judged.
type secondsJudged struct {
	Seconds       float64  `json:"seconds" unit:"s" range:"[0.00001,3600]" doc:"the cap was off"`
	FNumber       float64  `json:"f_number" range:"[0.5,512]" doc:"aperture number it was made with"`
	BellowsStops  float64  `json:"bellows_stops" default:"0" range:"[0,12]" doc:"stops its extension lost"`
	IncidentLx    *float64 `json:"incident_lx" range:"[0.01,250000]" doc:"light it was made in; left out: not metered"`
	IncidentNowLx *float64 `json:"incident_now_lx" range:"[0.01,250000]" doc:"light now, by the same meter; left out: as it was then"`
	ActinicStops  float64  `json:"actinic_stops" default:"0" range:"[-10,10]" doc:"what its light did beyond the meter"`
	Verdict       *int     `json:"verdict" one:"judgement" range:"[-3,3]" doc:"the operator's word: -3 much too dark, -2 too dark, -1 a little dark, 0 right, 1 a little light, 2 too light, 3 much too light"`
	ErrorStops    *float64 `json:"error_stops" one:"judgement" range:"[-10,10]" doc:"exposure it had too much: positive when it is too light"`
}

type secondsAnswer struct {
	Seconds       light.Seconds     `json:"seconds" unit:"s" doc:"time the cap is off"`
	BandS         [2]light.Seconds  `json:"band_s" doc:"the time at either end of what the answer rests on: of a reading the meter's constant and, where given, the spread of index and light; of a judged plate the judgement"`
	PlateLxs      *light.LuxSeconds `json:"plate_lxs" doc:"photometric exposure of a mid-tone on the plate; null when the light is not known"`
	ExposureStops *measure.Stops    `json:"exposure_stops" doc:"log2 of plate_lxs over 1 lx·s; null when the light is not known"`
	TimingStops   measure.Stops     `json:"timing_stops" doc:"stops gained by a cap one standard deviation late"`
	CapSdS        light.Seconds     `json:"cap_sd_s" doc:"the standard deviation of the timing that was used"`
	IncidentLx    *light.Lux        `json:"incident_lx" doc:"the incident light that was used; null when it is not known"`

	Basis        string           `json:"basis" doc:"what the time rests on: metered, metered by a card, or a judged plate"`
	BandStops    [2]measure.Stops `json:"band_stops" doc:"the band in stops about the time"`
	LeastByHandS light.Seconds    `json:"least_by_hand_s" doc:"shortest time that a hand gives within a third of a stop, by the scatter of counting aloud and of the cap"`
	Count        *secondsCount    `json:"count" doc:"counting aloud in whole seconds; null when the time is too short for one"`
	OneStop      secondsStop      `json:"one_stop" doc:"what one stop more would cost, each by itself"`
	Warnings     []string         `json:"warnings" doc:"what must be seen before the plate is made"`
	Notes        []string         `json:"notes" doc:"what to know about this answer"`
}

type secondsCount struct {
	Counts     int            `json:"counts" doc:"seconds to count"`
	ErrorStops measure.Stops  `json:"error_stops" doc:"what so many whole seconds give more than the time"`
	LateStops  measure.Stops  `json:"late_stops" doc:"stops gained when the count and the cap are one standard deviation late"`
	EarlyStops *measure.Stops `json:"early_stops" doc:"stops lost when they are as early; null when that is no exposure at all"`
}

type secondsStop struct {
	Seconds       light.Seconds   `json:"seconds" unit:"s" doc:"in one time"`
	Openings      int             `json:"openings" doc:"of the cap, each for the time told, if what so many do adds up"`
	FNumber       measure.FNumber `json:"f_number" doc:"aperture number"`
	DistanceShare float64         `json:"distance_share" doc:"of the distance from a small lamp to the sitter; a window or large face asks for less far a move, by share"`
}

// Bases of a time.
const (
	byMeter = "metered"
	byCard  = "metered by a card"
	byPlate = "a judged plate"
)

// judgement returns what is taken of a verdict, in stops: the middle of the word, which is the advice's own scale, and how
// widely it is meant, which is an assumption of ours.
func judgement(verdict int) (wrong, sigma float64) {
	size := [4][2]float64{{0, 0.25}, {1. / 3, 0.25}, {0.8, 0.3}, {1.5, 0.5}}[max(verdict, -verdict)]
	return math.Copysign(size[0], float64(verdict)), size[1]
}

// Standard deviations in stops, assumptions of ours.
const (
	toldSigma  = 0.25 // of an error told in stops
	meterSigma = 0.1  // between two readings of one meter
)

// filmDries is the longest that a wet plate is exposed [Scheiner1897].
const filmDries = 15 * 60 * light.Seconds(1)

// seconds asks how long the cap is off. The formula is the incident meter's, t = C N²/(E S)
// [ISO2720], lengthened by the bellows and shortened by what the light does beyond the meter.
func seconds() *Reckoning {
	return define(Spec{
		Name:    "seconds",
		Title:   "how long the cap is off",
		Summary: "From a reading and the plate's exposure index, or from a judged plate, to a time, the exposure on the plate, and what timing by hand makes of it.",
		Model: "The time is that of an incident meter with the constant 250 (flat receptor). The standard leaves makers " +
			"240 to 400; band_s shows both ends. It falls away when the index was found with the meter that is read. " +
			"A card is read as a camera's meter does with the constant 12.5, and its band takes in 10.6 to 14. " +
			"Where more than one thing scatters, the band is the root of the sum of their squares in stops, each way by itself; the ends of a range count as a standard deviation. " +
			"A judged plate needs neither constant nor index: the time goes as the square of the stop, the bellows, and the light. Its band is that of the verdict, of the hand that timed it and of two readings of one meter. " +
			"No reciprocity term unless reciprocity_p is given: none was found measured for wet collodion.",
		Sources: []string{"ISO2720", "ISO2721", "FechnerDay356", "Scheiner1897"},
		Example: `{"incident_lx": 2000, "exposure_index": 1, "f_number": 4.5, "bellows_stops": 0.5}`,
		Keys:    map[string]string{"light": "incident_lx", "exposure index": "exposure_index", "aperture": "f_number"},
	}, answerSeconds)
}

// found is a time and what it rests on, before reciprocity; where a plate was judged that is taken off it first.
type found struct {
	basis     string
	time      light.Seconds
	low, high light.Seconds
	incident  *light.Lux
	notes     []string
}

func answerSeconds(q secondsQuestion) (secondsAnswer, error) {
	if b := q.ActinicBandStops; b != nil && !(b[0] <= q.ActinicStops && q.ActinicStops <= b[1]) {
		return secondsAnswer{}, &FieldError{Field: "actinic_band_stops", Message: fmt.Sprintf("actinic_band_stops is %s to %s; allowed is a band that holds actinic_stops, %s",
			number(b[0]), number(b[1]), number(q.ActinicStops))}
	}
	f, err := q.find()
	if err != nil {
		return secondsAnswer{}, err
	}
	twice := light.Seconds(2)
	times := [...]light.Seconds{f.time, f.low, f.high, twice * f.time}
	for i, t := range times {
		if times[i], err = collodion.Lengthened(t, q.reciprocity()); err != nil {
			return secondsAnswer{}, err
		}
	}
	t := times[0]
	a := secondsAnswer{Seconds: t, BandS: [2]light.Seconds{times[1], times[2]}, IncidentLx: f.incident, Basis: f.basis,
		Warnings: []string{}, Notes: f.notes}
	a.BandStops = [2]measure.Stops{measure.StopsOf(float64(a.BandS[0] / t)), measure.StopsOf(float64(a.BandS[1] / t))}
	if f.incident != nil {
		plate, stops := q.onPlate(*f.incident, t)
		a.PlateLxs, a.ExposureStops = &plate, &stops
	}
	if a.LeastByHandS, err = light.LeastByHand(1. / 3); err != nil {
		return secondsAnswer{}, err
	}
	a.timing(q)
	a.OneStop = secondsStop{Seconds: times[3], Openings: 2, FNumber: measure.FNumber(q.FNumber / math.Sqrt2), DistanceShare: 1 / math.Sqrt2}
	a.warn(q)
	return a, nil
}

// find finds the time by whichever reading was given.
func (q secondsQuestion) find() (found, error) {
	if q.Judged != nil {
		return q.byPlate()
	}
	if q.ExposureIndex == nil {
		return found{}, &FieldError{Field: "exposure_index", Message: "exposure_index is missing; a number (0.01 to 100) is wanted"}
	}
	f := found{basis: byMeter, notes: []string{"The band is the recommended range of the meter's constant, 240 to 400; with one meter for index and reading it falls away."}}
	var e light.Lux
	card := light.Lit{}
	switch {
	case q.IncidentLx != nil:
		e = light.Lux(*q.IncidentLx)
	case q.EV100 != nil:
		e = light.IlluminanceAt(measure.EV(*q.EV100))
	default:
		var err error
		if card, err = q.Card.incident(); err != nil {
			return found{}, err
		}
		e, f.basis = card.Light, byCard
		f.notes = append(f.notes, "The card's light rests on the camera's own metering, whose constant may be 10.6 to 14 about the 12.5 taken; check the camera once against an incident meter, and hold the card so that it shines nowhere.")
	}
	x, err := light.Reading{Light: e, Index: light.ExposureIndex(*q.ExposureIndex), Aperture: measure.FNumber(q.FNumber),
		Bellows: measure.Stops(q.BellowsStops), Actinic: measure.Stops(q.ActinicStops)}.Expose()
	if err != nil {
		return found{}, err
	}
	f.time, f.low, f.high, f.incident = x.Time, x.Low, x.High, &e
	less, more := []float64{q.IndexSigmaStops}, []float64{q.IndexSigmaStops}
	if q.Card != nil { // a brighter light asks for less time
		less, more = append(less, math.Log2(float64(card.High/e))), append(more, math.Log2(float64(e/card.Low)))
	}
	f.widen(q.lightBand(less, more))
	if q.IndexSigmaStops > 0 || q.ActinicBandStops != nil || q.Card != nil {
		f.notes = append(f.notes, "The band is put together, each way, as the root of the sum of squares of what scatters: the constant's range"+q.scatters()+".")
	}
	return f, nil
}

// scatters names what was given beside the constant.
func (q secondsQuestion) scatters() string {
	s := ""
	if q.Card != nil {
		s += ", the camera's constant"
	}
	if q.IndexSigmaStops > 0 {
		s += ", one standard deviation of the index"
	}
	if q.ActinicBandStops != nil {
		s += ", the band of what the light does to the plate"
	}
	return s
}

// lightBand adds to what shortens and lengthens the time, in stops, how uncertain the light's effect is.
func (q secondsQuestion) lightBand(less, more []float64) (allLess, allMore []float64) {
	if b := q.ActinicBandStops; b != nil {
		return append(less, b[1]-q.ActinicStops), append(more, q.ActinicStops-b[0])
	}
	return less, more
}

// widen widens the band by more that scatters, in stops.
func (f *found) widen(less, more []float64) {
	wider := func(end light.Seconds, by []float64) float64 {
		stops := math.Log2(float64(end / f.time))
		all := math.Abs(stops)
		for _, s := range by {
			all = math.Hypot(all, s)
		}
		return all
	}
	if sum(less)+sum(more) == 0 {
		return // as it was, to the last digit
	}
	down, up := wider(f.low, less), wider(f.high, more)
	f.low, f.high = f.time*light.Seconds(math.Exp2(-down)), f.time*light.Seconds(math.Exp2(up))
}

func sum(v []float64) (total float64) {
	for _, x := range v {
		total += x
	}
	return total
}

// incident returns the light on the card.
func (c secondsCard) incident() (light.Lit, error) {
	lit, err := light.CardReading{
		MeterSetting: light.MeterSetting{Aperture: measure.FNumber(c.FNumber), Time: light.Seconds(c.TimeS), Index: light.ExposureIndex(c.Iso)},
		Reflectance:  c.ReflectancePct / 100,
	}.Incident()
	if err != nil {
		return light.Lit{}, err
	}
	if err := measure.Within("card", float64(lit.Light), 0.01, 250000, "lx"); err != nil {
		return light.Lit{}, &FieldError{Field: "card", Message: fmt.Sprintf("card comes to %s lx at the face; allowed is 0.01 to 250000 lx, moonlight to more than sunlight, so one of its figures has slipped", twoFigures(float64(lit.Light))), cause: err}
	}
	return lit, nil
}

// byPlate finds the time from a judged plate.
func (q secondsQuestion) byPlate() (found, error) {
	j := q.Judged
	if j.IncidentNowLx != nil && j.IncidentLx == nil {
		return found{}, &FieldError{Field: "judged.incident_lx", Message: "judged.incident_lx is missing; with incident_now_lx it says what the light was then, by the same meter"}
	}
	var wrong, sigma float64
	if j.Verdict != nil {
		wrong, sigma = judgement(*j.Verdict)
	} else {
		wrong, sigma = *j.ErrorStops, toldSigma
	}
	light0, light1 := j.IncidentLx, j.IncidentLx
	if j.IncidentNowLx != nil {
		light1 = j.IncidentNowLx
	}
	stops := 2*math.Log2(q.FNumber/j.FNumber) + q.BellowsStops - j.BellowsStops - (q.ActinicStops - j.ActinicStops) - wrong
	if light0 != nil {
		stops += math.Log2(*light0 / *light1)
	}
	then := light.Seconds(j.Seconds)
	counted, err := collodion.Counts(then, q.reciprocity())
	if err != nil {
		return found{}, err
	}
	t := counted * light.Seconds(math.Exp2(stops))
	f := found{basis: byPlate, time: t, low: t, high: t}
	hand := float64(light.LateCap(then, light.CapScatter(then)))
	all := []float64{sigma, hand}
	if j.IncidentNowLx != nil {
		all = append(all, meterSigma)
	}
	f.widen(q.lightBand(append([]float64(nil), all...), append([]float64(nil), all...)))
	if light1 != nil {
		e := light.Lux(*light1)
		f.incident = &e
	} else if q.ExposureIndex != nil { // by which the time, rightly timed, needs this light
		e := light.Lux(light.IncidentConstant * q.FNumber * q.FNumber * math.Exp2(q.BellowsStops-q.ActinicStops) / (float64(t) * *q.ExposureIndex))
		f.incident = &e
	}
	f.notes = []string{
		fmt.Sprintf("Relative to a judged plate, taken as %s stops %s: neither the meter's constant nor the exposure index is in the time, as long as collodion, developer and kind of light are the same.",
			number(rounded(math.Abs(wrong))), map[bool]string{true: "under", false: "over"}[wrong < 0]),
		fmt.Sprintf("The band is the root of the sum of squares of the judgement (%s stops, our assumption), of the hand that timed that plate (%s) and, when the light was metered twice, of the meter (0.1); a bath or collodion that has aged since is not in it.",
			number(rounded(sigma)), number(rounded(hand))),
	}
	if j.IncidentLx == nil && j.IncidentNowLx == nil {
		f.notes = append(f.notes, "The light is taken to be what it was for the judged plate.")
	}
	return f, nil
}

// reciprocity is the exponent that was given, or none.
func (q secondsQuestion) reciprocity() float64 {
	if q.ReciprocityP == nil {
		return collodion.NoReciprocity
	}
	return *q.ReciprocityP
}

// onPlate returns the photometric exposure of a mid-tone on the plate.
func (q secondsQuestion) onPlate(e light.Lux, t light.Seconds) (light.LuxSeconds, measure.Stops) {
	L := light.ReflectedConstant * float64(e) / light.IncidentConstant
	H := light.LensShare * L * float64(t) / (q.FNumber * q.FNumber * math.Exp2(q.BellowsStops)) // [ISO2721] H = q L t/N²
	return light.LuxSeconds(H), measure.Stops(math.Log2(H))
}

// timing tells what the hand makes of the time, and the notes that belong to it.
func (a *secondsAnswer) timing(q secondsQuestion) {
	sd := light.CapScatter(a.Seconds)
	if q.CapSdS != nil {
		sd = light.Seconds(*q.CapSdS)
	} else {
		a.Notes = append(a.Notes, "The timing is that of counting aloud, 7 % of the time, with 0.1 s for the cap itself, which is our assumption; measure your own.")
	}
	late := light.LateCap(a.Seconds, sd)
	a.CapSdS, a.TimingStops = sd, late
	if late > 1.0/3 {
		a.Notes = append(a.Notes, "By hand this time is uncertain by more than a third of a stop: stop down, or time it by a shutter or flash.")
	}
	if a.Seconds > 60 && q.ReciprocityP == nil {
		a.Notes = append(a.Notes, "No reciprocity term is used, none being known for wet collodion; the sitter's stillness and the drying film limit so long a time first.")
	}
	if q.ReciprocityP != nil && *q.ReciprocityP < 1 {
		a.Notes = append(a.Notes, "Beyond 1 s the time is lengthened by your own reciprocity_p; no figure was found for wet collodion, so it stands or falls with your test.")
	}
	if q.ActinicStops == 0 && q.Judged == nil {
		a.Notes = append(a.Notes, "The light is taken to be of the kind the exposure index was found in.")
	}
	whole := func(n float64) float64 { return math.Abs(math.Log2(n / float64(a.Seconds))) }
	n := math.Floor(float64(a.Seconds))
	if n == 0 || whole(n+1) < whole(n) {
		n++
	}
	if short := math.Log2(n / float64(a.Seconds)); short > 0.5 || n > 1e6 {
		return // not even one second, or nothing that anybody counts
	}
	scatter := light.CapScatter(light.Seconds(n))
	if q.CapSdS != nil {
		scatter = sd
	}
	c := &secondsCount{Counts: int(n), ErrorStops: measure.StopsOf(n / float64(a.Seconds)), LateStops: light.LateCap(light.Seconds(n), scatter)}
	if float64(scatter) < n {
		early := -measure.StopsOf(1 - float64(scatter)/n)
		c.EarlyStops = &early
	}
	a.Count = c
}

// warn says what must be seen before the plate is made.
func (a *secondsAnswer) warn(q secondsQuestion) {
	if a.Seconds < a.LeastByHandS {
		a.Warnings = append(a.Warnings, fmt.Sprintf("%s s is shorter than a hand can cap: below about %s s the cap alone, 0.1 s late (our assumption) and counted to 7 %%, gives a third of a stop too much. Stop down, take a slower plate, less light, or a shutter.",
			twoFigures(float64(a.Seconds)), twoFigures(float64(a.LeastByHandS))))
	}
	if a.Seconds > filmDries {
		a.Warnings = append(a.Warnings, fmt.Sprintf("%s min is longer than a wet film lasts: about 15 min from the bath, pour and walk included, and less when it is warm. Open the stop, bring more light, or pour so that the film is as wet as it can be when it begins.",
			twoFigures(float64(a.Seconds)/60)))
	} else if a.BandS[1] > filmDries {
		a.Warnings = append(a.Warnings, "The longer end of the band is more than a wet film lasts, about 15 min from the bath.")
	}
}
