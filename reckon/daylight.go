package reckon

import (
	"fmt"
	"time"

	"platewright/light"
	"platewright/light/sky"
	"platewright/measure"
)

type daylightQuestion struct {
	Date time.Time `json:"date" doc:"a moment of the day, with its offset; the day is the civil day of that offset, and for a year its year"`
	standing
	Sky       skyWeather `json:"sky" doc:"clear, overcast, or clear air in figures, all day"`
	Window    *sunWindow `json:"window" doc:"the window a sitter sits before; left out: level open ground"`
	Through   string     `json:"through" default:"\"day\"" enum:"day|year" doc:"the one day, or its year from the first of January on"`
	EveryMin  int        `json:"every_min" default:"60" range:"[10,360]" doc:"from one moment told to the next, from midnight on"`
	EveryDays int        `json:"every_days" default:"7" range:"[1,92]" doc:"from one day of the year to the next"`
}

type daylightAnswer struct {
	Days      []daylightDay  `json:"days" doc:"one for a day, many for a year"`
	BestTime  *time.Time     `json:"best_time" doc:"when the plate gets most light; null in the dark"`
	BestLx    *light.Lux     `json:"best_actinic_lx" doc:"actinic_lx then"`
	BandStops *measure.Stops `json:"band_stops" doc:"how far either way such a sky strays from what is told at best_time; our estimate"`
	Notes     []string       `json:"notes" doc:"what to know about this answer"`
}

type daylightDay struct {
	Date      string         `json:"date" doc:"year, month and day"`
	Sunrise   *time.Time     `json:"sunrise" doc:"null when there is none"`
	SolarNoon *time.Time     `json:"solar_noon" doc:"null when that is not on this day"`
	Sunset    *time.Time     `json:"sunset" doc:"null when there is none"`
	Hours     []daylightHour `json:"hours" doc:"while the sun stands above 6° below the horizon"`
}

type daylightHour struct {
	Time          time.Time      `json:"time" doc:"the moment"`
	ElevationDeg  float64        `json:"elevation_deg" doc:"of the sun, lifted by the air"`
	AzimuthDeg    float64        `json:"azimuth_deg" doc:"of the sun, from true north, clockwise"`
	IlluminanceLx light.Lux      `json:"illuminance_lx" doc:"at the sitter's face, or on level open ground"`
	ActinicStops  *measure.Stops `json:"actinic_stops" doc:"what the light does to the plate more than CIE D55 of the same reading; null in the dark"`
	ActinicLx     light.Lux      `json:"actinic_lx" doc:"the CIE D55 that would do as much to the plate"`
	LightKind     light.Kind     `json:"light_kind" doc:"the kind of this light"`
	SunOnFace     bool           `json:"sun_on_face" doc:"whether the direct sun falls on the receptor"`
}

// mostHours bounds an answer.
const mostHours = 1500

// darkBelow is the sun's elevation below which no hour is told: the end of civil twilight, some 3 lx in the open.
const darkBelow = -6.0

// daylight asks how the light goes through a day or a year. Package sky tells the models and their sources.
func daylight() *Reckoning {
	return define(Spec{
		Name:    "daylight",
		Title:   "the light of a day, hour by hour, or of a year",
		Summary: "From a place, a sky and perhaps a window to the light at the sitter's face through a day, and to what it does to the plate; or such days through a year.",
		Model: "Hour by hour what sun tells for one moment, with the same sky all day: no hour's weather is known here. actinic_lx is the reading times two to the actinic_stops: the light " +
			"of CIE D55 that would do as much to the usual collodion behind an old lens. Hours with the sun more than 6° below the horizon are left out.",
		Sources: []string{"Reda2008", "Espenak2006", "Bird1984", "ISO15469", "Krochmann1974", "Seidelmann1992", "SplitFlux1966", "Rivero1958"},
		Example: `{"date": "2026-03-20T12:00:00+01:00", "latitude_deg": 48.8566, "longitude_deg": 2.3522, "sky": "clear", "every_min": 120, "window": {"facing_deg": 0, "width_m": 1.5, "height_m": 2, "distance_m": 2}}`,
	}, answerDaylight)
}

func answerDaylight(q daylightQuestion) (daylightAnswer, error) {
	if err := yearOf("date", q.Date); err != nil {
		return daylightAnswer{}, err
	}
	every := time.Duration(q.EveryMin) * time.Minute
	days, err := q.days(every)
	if err != nil {
		return daylightAnswer{}, err
	}
	sight, err := usualSight()
	if err != nil {
		return daylightAnswer{}, err
	}
	a := daylightAnswer{Days: make([]daylightDay, 0, len(days))}
	var first sky.Day
	for i, hours := range days {
		course, err := sky.DayAt(hours[0].Time, q.place(), sky.DeltaT(hours[0].Time))
		if err != nil {
			return daylightAnswer{}, err
		}
		if i == 0 {
			first = course
		}
		day := daylightDay{Date: hours[0].Time.Format(time.DateOnly), Sunrise: course.Rise, SolarNoon: course.Noon, Sunset: course.Set, Hours: []daylightHour{}}
		for _, h := range hours {
			if h.Sun.TrueElevation.Degrees() < darkBelow {
				continue
			}
			told := daylightHour{Time: h.Time, ElevationDeg: h.Sun.Elevation.Degrees(), AzimuthDeg: h.Sun.Azimuth.Degrees(),
				IlluminanceLx: h.Lit.Illuminance, LightKind: h.Lit.Kind, SunOnFace: h.Lit.Direct}
			stops, lit := sight.stops(h.Lit)
			if lit {
				told.ActinicStops, told.ActinicLx = &stops, h.Lit.Illuminance*light.Lux(stops.Factor())
			}
			if lit && (a.BestLx == nil || told.ActinicLx > *a.BestLx) {
				when, best, band := h.Time, told.ActinicLx, h.Lit.Band
				a.BestTime, a.BestLx, a.BandStops = &when, &best, &band
			}
			day.Hours = append(day.Hours, told)
		}
		a.Days = append(a.Days, day)
	}
	a.Notes = lightNotes(q.Window, q.Sky, 90)
	if q.Through == "day" {
		a.Notes = append(a.Notes, dayNotes(q.standing, first)...)
	} else {
		a.Notes = append(a.Notes, "The offset of date holds all year: where clocks change, add the hour yourself.")
	}
	if a.BestTime == nil {
		a.Notes = append(a.Notes, "It is dark all through: no hour has light for a plate.")
	}
	return a, nil
}

// days are the hours of the day or of the year.
func (q daylightQuestion) days(every time.Duration) ([][]sky.Hour, error) {
	weather := q.Sky.weather(q.PressureHpa)
	if q.Through == "year" {
		if days, hours := 366/q.EveryDays+1, 1440/q.EveryMin; days*hours > mostHours {
			return nil, &FieldError{Field: "every_min", Message: fmt.Sprintf("every_min is %d with every_days %d, %d moments in all; allowed are %d in all: every 60 minutes of every seventh day, or fewer",
				q.EveryMin, q.EveryDays, days*hours, mostHours)}
		}
		if q.Window != nil {
			w, s := q.Window.window()
			return w.Year(q.Date.Year(), q.Date.Location(), q.place(), weather, s, q.EveryDays, every)
		}
		return weather.Year(q.Date.Year(), q.Date.Location(), q.place(), q.EveryDays, every)
	}
	var hours []sky.Hour
	var err error
	if q.Window != nil {
		w, s := q.Window.window()
		hours, err = w.Day(q.Date, q.place(), weather, s, every)
	} else {
		hours, err = weather.Day(q.Date, q.place(), every)
	}
	return [][]sky.Hour{hours}, err
}
