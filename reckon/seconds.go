package reckon

import (
	"math"

	"platewright/light"
	"platewright/measure"
)

type secondsQuestion struct {
	IncidentLx    *float64 `json:"incident_lx" one:"reading" range:"[0.01,250000]" doc:"incident light at the sitter's face, receptor toward the camera"`
	EV100         *float64 `json:"ev100" one:"reading" range:"[-8,17]" doc:"the same as an exposure value at index 100"`
	ExposureIndex float64  `json:"exposure_index" range:"[0.01,100]" doc:"the plate's speed for incident readings, found by test in this kind of light"`
	FNumber       float64  `json:"f_number" range:"[0.5,512]" doc:"aperture number without the bellows"`
	BellowsStops  float64  `json:"bellows_stops" default:"0" range:"[0,12]" doc:"stops lost by the extension, as focus tells them"`
	ActinicStops  float64  `json:"actinic_stops" default:"0" range:"[-10,10]" doc:"what this light does to the plate beyond the light the index was found in"`
	CapSdS        *float64 `json:"cap_sd_s" range:"[0,60]" doc:"standard deviation of your own timing by hand; left out: counted aloud"`
}

type secondsAnswer struct {
	Seconds       light.Seconds    `json:"seconds" unit:"s" doc:"time the cap is off"`
	BandS         [2]light.Seconds `json:"band_s" doc:"the time if the meter's constant lies at either end of its recommended range"`
	PlateLxs      light.LuxSeconds `json:"plate_lxs" doc:"photometric exposure of a mid-tone on the plate"`
	ExposureStops measure.Stops    `json:"exposure_stops" doc:"log2 of plate_lxs over 1 lx·s"`
	TimingStops   measure.Stops    `json:"timing_stops" doc:"stops gained by a cap one standard deviation late"`
	CapSdS        light.Seconds    `json:"cap_sd_s" doc:"the standard deviation of the timing that was used"`
	IncidentLx    light.Lux        `json:"incident_lx" doc:"the incident light that was used"`
	Notes         []string         `json:"notes" doc:"what to know about this answer"`
}

// seconds asks how long the cap is off. The formula is the incident meter's, t = C N²/(E S)
// [ISO2720], lengthened by the bellows and shortened by what the light does beyond the meter.
func seconds() *Reckoning {
	return define(Spec{
		Name:    "seconds",
		Title:   "how long the cap is off",
		Summary: "From an incident reading and the plate's exposure index to a time, the exposure on the plate, and what timing by hand makes of it.",
		Model: "The time is that of an incident meter with the constant 250 (flat receptor). The standard leaves makers " +
			"240 to 400; band_s shows both ends. It falls away when the index was found with the meter that is read. " +
			"No reciprocity term: none was found measured for wet collodion.",
		Sources: []string{"ISO2720", "ISO2721", "FechnerDay356"},
		Example: `{"incident_lx": 2000, "exposure_index": 1, "f_number": 4.5, "bellows_stops": 0.5}`,
		Keys:    map[string]string{"light": "incident_lx", "exposure index": "exposure_index", "aperture": "f_number"},
	}, answerSeconds)
}

func answerSeconds(q secondsQuestion) (secondsAnswer, error) {
	var e light.Lux
	if q.IncidentLx != nil {
		e = light.Lux(*q.IncidentLx)
	} else {
		e = light.IlluminanceAt(measure.EV(*q.EV100))
	}
	x, err := light.Reading{Light: e, Index: light.ExposureIndex(q.ExposureIndex), Aperture: measure.FNumber(q.FNumber),
		Bellows: measure.Stops(q.BellowsStops), Actinic: measure.Stops(q.ActinicStops)}.Expose()
	if err != nil {
		return secondsAnswer{}, err
	}
	notes := []string{"The band is the recommended range of the meter's constant, 240 to 400; with one meter for index and reading it falls away."}
	sd := light.CapScatter(x.Time)
	if q.CapSdS != nil {
		sd = light.Seconds(*q.CapSdS)
	} else {
		notes = append(notes, "The timing is that of counting aloud, 7 % of the time, with 0.1 s for the cap itself, which is our assumption; measure your own.")
	}
	late := light.LateCap(x.Time, sd)
	if late > 1.0/3 {
		notes = append(notes, "By hand this time is uncertain by more than a third of a stop: stop down, or time it by a shutter or flash.")
	}
	if x.Time > 60 {
		notes = append(notes, "No reciprocity term is used, none being known for wet collodion; the sitter's stillness and the drying film limit so long a time first.")
	}
	if q.ActinicStops == 0 {
		notes = append(notes, "The light is taken to be of the kind the exposure index was found in.")
	}
	return secondsAnswer{Seconds: x.Time, BandS: [2]light.Seconds{x.Low, x.High}, PlateLxs: x.Plate,
		ExposureStops: measure.Stops(math.Log2(float64(x.Plate))), TimingStops: late, CapSdS: sd, IncidentLx: e, Notes: notes}, nil
}
