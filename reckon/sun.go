package reckon

import (
	"fmt"
	"math"
	"time"

	"platewright/collodion"
	"platewright/light"
	"platewright/light/sky"
	"platewright/measure"
)

// standing is where on the earth a question stands.
type standing struct {
	LatitudeDeg  float64 `json:"latitude_deg" range:"[-90,90]" doc:"north positive"`
	LongitudeDeg float64 `json:"longitude_deg" range:"[-180,180]" doc:"east positive"`
	ElevationM   float64 `json:"elevation_m" default:"0" range:"[-500,9000]" doc:"of the place above the sea"`
	PressureHpa  float64 `json:"pressure_hpa" default:"1013.25" range:"[300,1100]" doc:"of the air at the place, not reduced to the sea"`
}

func (q standing) place() sky.Place {
	return sky.Place{Latitude: degrees(q.LatitudeDeg), Longitude: degrees(q.LongitudeDeg), Elevation: metres(q.ElevationM)}
}

func degrees(d float64) measure.Angle { return measure.Angle(d) * measure.Degree }

// sunWindow is a window and the face before it.
type sunWindow struct {
	FacingDeg float64 `json:"facing_deg" range:"[-360,360]" doc:"where it looks out to: 0 north, 90 east, 180 south, 270 west, from true north"`
	WidthM    float64 `json:"width_m" range:"[0.05,100]" doc:"of the glass"`
	HeightM   float64 `json:"height_m" range:"[0.05,100]" doc:"of the glass"`
	DistanceM float64 `json:"distance_m" range:"[0.1,100]" doc:"square from its wall to the sitter's face"`
	SkyShare  float64 `json:"sky_share" default:"1" range:"[0,1]" doc:"share of the sky before it that no building or tree hides"`
	SillM     float64 `json:"sill_m" default:"-0.3" range:"[-50,50]" doc:"lower edge of the glass above the sitter's face, negative below it"`
	AsideM    float64 `json:"aside_m" default:"0" range:"[-100,100]" doc:"the face to the right of the window's middle, looking out"`
	TurnDeg   float64 `json:"turn_deg" default:"0" range:"[-180,180]" doc:"where the meter looks: 0 squarely at the window's wall, positive to the right, looking out; toward the camera is the usual"`
	Glass     string  `json:"glass" default:"\"window\"" enum:"none|window|laminated|acrylic" doc:"what the window is glazed with"`
	SunOut    bool    `json:"sun_kept_out" default:"false" doc:"whether something keeps the direct sun out"`
}

func (w sunWindow) window() (sky.Window, sky.Sitter) {
	return sky.Window{Facing: degrees(w.FacingDeg), Width: metres(w.WidthM), Height: metres(w.HeightM), Sill: metres(w.SillM),
			SkyShare: w.SkyShare, Glazing: w.Glass, NoSun: w.SunOut},
		sky.Sitter{Distance: metres(w.DistanceM), Aside: metres(w.AsideM), Turn: degrees(w.TurnDeg)}
}

// skyWeather is the sky that is asked about: in a word, or as clear air in figures.
type skyWeather struct {
	Either
	Word *skyWord
	Air  *skyAir
}

type skyWord string

// Choices are the skies told in a word.
func (skyWord) Choices() []string { return []string{"clear", "overcast"} }

type skyAir struct {
	OzoneAtmCm  float64 `json:"ozone_atm_cm" default:"0.3" range:"[0.05,0.7]" doc:"ozone overhead; 0.3 is 300 Dobson units"`
	Aerosol500  float64 `json:"aerosol_500nm" default:"0.1" range:"[0,1.5]" unit:" " doc:"optical depth of haze at 500 nm: 0.05 very clear, 0.1 clear, 0.3 hazy"`
	WaterCm     float64 `json:"water_cm" default:"1.42" range:"[0,8]" unit:"cm" doc:"water vapour overhead as rain"`
	Albedo      float64 `json:"albedo" default:"0.2" range:"[0,1]" doc:"share of the light the ground sends back; fresh snow 0.8"`
	CoveredPart float64 `json:"covered_share" default:"0" range:"[0,1]" doc:"share of the sky under passing cloud"`
}

// weather is the weather asked about at a pressure.
func (s skyWeather) weather(pressureHPa float64) sky.Weather {
	w := sky.Weather{Clear: sky.UsualClear()}
	w.Clear.PressureHPa = pressureHPa
	if s.Word != nil && *s.Word == "overcast" {
		w.Covered = 1
	}
	if a := s.Air; a != nil {
		w.Clear.OzoneAtmCm, w.Clear.Aerosol500, w.Clear.WaterCm, w.Clear.Albedo = a.OzoneAtmCm, a.Aerosol500, a.WaterCm, a.Albedo
		w.Covered = a.CoveredPart
	}
	return w
}

type sunQuestion struct {
	Time time.Time `json:"time" doc:"the moment, with its offset; the day is the civil day of that offset"`
	standing
	TemperatureC float64     `json:"temperature_c" default:"12" range:"[-90,60]" doc:"of the air, for its lift of a low sun"`
	DeltaTS      *float64    `json:"delta_t_s" range:"[-8000,8000]" doc:"terrestrial less universal time; left out: by a published polynomial"`
	Window       *sunWindow  `json:"window" doc:"the window a sitter sits before; asks for sky as well"`
	Sky          *skyWeather `json:"sky" doc:"clear, overcast, or clear air in figures; without window the light is that on level open ground"`
}

type sunAnswer struct {
	ZenithDeg        float64    `json:"zenith_deg" doc:"from straight up, lifted by the air"`
	AzimuthDeg       float64    `json:"azimuth_deg" doc:"from true north, clockwise"`
	ElevationDeg     float64    `json:"elevation_deg" doc:"above the horizon, lifted by the air"`
	TrueElevationDeg float64    `json:"true_elevation_deg" doc:"the same without the air"`
	Sunrise          *time.Time `json:"sunrise" doc:"first rising of the upper rim on that day; null when there is none"`
	SolarNoon        *time.Time `json:"solar_noon" doc:"the sun on the meridian; null when that is not on this day"`
	Sunset           *time.Time `json:"sunset" doc:"last setting of the upper rim on that day; null when there is none"`
	DeltaTS          float64    `json:"delta_t_s" doc:"terrestrial less universal time that was used"`

	IlluminanceLx *light.Lux      `json:"illuminance_lx,omitempty" doc:"at the sitter's face through the window, or on level open ground; where sky is given"`
	BandStops     *measure.Stops  `json:"band_stops,omitempty" doc:"how far either way such a sky strays from that; our estimate"`
	ActinicStops  *measure.Stops  `json:"actinic_stops,omitempty" doc:"what this light does to the plate more than CIE D55 of the same reading; missing in the dark"`
	ActinicBand   []measure.Stops `json:"actinic_band_stops,omitempty" doc:"the same at either end of what is known of the plate's sight"`
	LightKind     *light.Kind     `json:"light_kind,omitempty" doc:"the kind of this light, for indices found in it"`
	SunOnFace     *bool           `json:"sun_on_face,omitempty" doc:"whether the direct sun falls on the receptor"`
	SunInRoom     *bool           `json:"sun_in_room,omitempty" doc:"whether the sun comes in through the window, on the face or beside it"`
	OpenLx        *light.Lux      `json:"open_ground_lx,omitempty" doc:"on level open ground"`
	SkyPartLx     *light.Lux      `json:"from_sky_lx,omitempty" doc:"of the light, from the open sky"`
	GroundPartLx  *light.Lux      `json:"from_ground_lx,omitempty" doc:"of the light, from the ground and from what hides the sky"`
	SunPartLx     *light.Lux      `json:"from_sun_lx,omitempty" doc:"of the light, from the direct sun"`
	Notes         []string        `json:"notes" doc:"what to know about this answer"`
}

// sun asks where the sun stands and, with a sky, what light it and the sky give. Package sky tells the models and their
// sources.
func sun() *Reckoning {
	return define(Spec{
		Name:    "sun",
		Title:   "where the sun stands, and the light of sun and sky",
		Summary: "From a time and a place to the sun's direction and the day's rising and setting; with a sky also the light on open ground or, with a window, at a sitter's face, and what it does to the plate.",
		Model: "The sun by the full NREL algorithm, 0.0003° by its authors, 1800 to 2300. Rising and setting are of the upper rim on a level horizon (the sun's middle 0.8333° below it, seen from the earth's centre). " +
			"A clear sky is the model of Bird and Riordan, spread as the CIE's clear sky; a covered one 300 + 21 000 sin h lx, spread as Moon and Spencer's, in CIE daylight of 7000 K. Twilight follows a published fit. " +
			"A window is summed over what the face sees through it of sky and ground; the room's own walls are left out. The receptor stands upright. actinic_stops take the usual collodion and an old lens.",
		Sources: []string{"Reda2008", "Espenak2006", "Bird1984", "ISO15469", "Krochmann1974", "Seidelmann1992", "SplitFlux1966", "Rivero1958"},
		Example: `{"time": "2026-06-21T10:00:00+02:00", "latitude_deg": 48.8566, "longitude_deg": 2.3522, "elevation_m": 35, "sky": "overcast", "window": {"facing_deg": 0, "width_m": 1.5, "height_m": 2, "distance_m": 2, "sky_share": 0.8}}`,
	}, answerSun)
}

func answerSun(q sunQuestion) (sunAnswer, error) {
	if q.Window != nil && q.Sky == nil {
		return sunAnswer{}, &FieldError{Field: "sky", Message: `sky is missing; with window it is "clear", "overcast" or clear air in figures`}
	}
	if err := yearOf("time", q.Time); err != nil {
		return sunAnswer{}, err
	}
	notes := make([]string, 0, 6)
	deltaT := sky.DeltaT(q.Time)
	if q.DeltaTS != nil {
		deltaT = *q.DeltaTS
	}
	s, err := sky.SunAt(q.Time, q.place(), sky.Air{PressureHPa: q.PressureHpa, TemperatureC: q.TemperatureC}, deltaT)
	if err != nil {
		return sunAnswer{}, err
	}
	day, err := sky.DayAt(q.Time, q.place(), deltaT)
	if err != nil {
		return sunAnswer{}, err
	}
	a := sunAnswer{ZenithDeg: s.Zenith.Degrees(), AzimuthDeg: s.Azimuth.Degrees(), ElevationDeg: s.Elevation.Degrees(), TrueElevationDeg: s.TrueElevation.Degrees(),
		Sunrise: day.Rise, SolarNoon: day.Noon, Sunset: day.Set, DeltaTS: deltaT}
	if q.Sky != nil {
		if err := a.lighten(q, s); err != nil {
			return sunAnswer{}, err
		}
		notes = append(notes, lightNotes(q.Window, *q.Sky, a.TrueElevationDeg)...)
	}
	notes = append(notes, dayNotes(q.standing, day)...)
	a.Notes = append(notes, "Hills, houses and height above the country round move sunrise and sunset by minutes; a compass shows magnetic north, facing and azimuth count from true north.")
	return a, nil
}

// lighten adds the light.
func (a *sunAnswer) lighten(q sunQuestion, s sky.Sun) error {
	k, err := q.Sky.weather(q.PressureHpa).Sky(s, q.Time.YearDay())
	if err != nil {
		return err
	}
	lit := k.Open()
	if q.Window != nil {
		w, sitter := q.Window.window()
		if lit, err = w.At(sitter, k); err != nil {
			return err
		}
	}
	open, ground := light.Lux(k.Global.Lux()), lit.FromGround+lit.FromFacade
	a.IlluminanceLx, a.BandStops, a.LightKind, a.OpenLx = &lit.Illuminance, &lit.Band, &lit.Kind, &open
	a.SunOnFace, a.SunInRoom = &lit.Direct, &lit.SunInRoom
	a.SkyPartLx, a.GroundPartLx, a.SunPartLx = &lit.FromSky, &ground, &lit.FromSun
	if lit.Illuminance < leastLit {
		return nil
	}
	sight, err := usualSight()
	if err != nil {
		return err
	}
	seen, err := sight.sees.Actinic(lit.Spectrum, sight.none, sight.lens)
	if err != nil {
		return err
	}
	a.ActinicStops, a.ActinicBand = &seen.Stops, []measure.Stops{seen.Low, seen.High}
	return nil
}

// leastLit is the light below which nothing is told of its effect.
const leastLit light.Lux = 0.01

// sight is the usual collodion behind an old lens.
type sight struct {
	sees       collodion.Sensitivity
	none, lens light.Filter
	weight     light.Spectrum // what the plate makes of a light before the lens
	standard   float64        // that of CIE D55 of one lux
}

func usualSight() (sight, error) {
	var out sight
	var err error
	if out.sees, err = collodion.Sees(collodion.UsualHalides()); err != nil {
		return sight{}, err
	}
	if out.none, err = light.FilterOf(light.NoGlass); err != nil {
		return sight{}, err
	}
	if out.lens, err = light.FilterOf(light.OldLens); err != nil {
		return sight{}, err
	}
	out.weight = out.sees.Curve.Times(out.lens.Pass)
	d55 := light.D55().Power
	out.standard = d55.Weighed(out.weight) / d55.Lux()
	return out, nil
}

// stops tells what a light does to the plate beyond its reading, as the full reckoning does but without its band. The
// light is that behind the glass already.
func (s sight) stops(l sky.Lit) (measure.Stops, bool) {
	effect := l.Spectrum.Weighed(s.weight)
	if l.Illuminance < leastLit || !(effect > 0) {
		return 0, false
	}
	return measure.StopsOf(effect / float64(l.Illuminance) / s.standard), true
}

// yearOf refuses a moment for which the sun is not told.
func yearOf(key string, t time.Time) error {
	if y := t.UTC().Year(); y < sky.FirstYear || y > sky.LastYear {
		return &FieldError{Field: key, Message: fmt.Sprintf("%s is in the year %d; allowed is %d to %d", key, y, sky.FirstYear, sky.LastYear)}
	}
	return nil
}

// dayNotes says what is unusual of a place and its day.
func dayNotes(q standing, d sky.Day) []string {
	var notes []string
	switch {
	case d.NeverSets:
		notes = append(notes, "The sun does not set on this day, so sunrise and sunset have no time.")
	case d.NeverRises:
		notes = append(notes, "The sun does not rise on this day, so sunrise and sunset have no time.")
	case d.Rise == nil:
		notes = append(notes, "The sun sets on this day and does not rise.")
	case d.Set == nil:
		notes = append(notes, "The sun rises on this day and does not set.")
	}
	if math.Abs(q.LatitudeDeg) > 89.99 {
		notes = append(notes, "At the pole every direction is south or north: azimuth counts from the meridian of the longitude given.")
	}
	if q.ElevationM > 300 && q.PressureHpa > 1000 {
		notes = append(notes, "pressure_hpa is that of the sea at a place well above it; give the place's own, about 12 hPa less for each 100 m.")
	}
	return notes
}

// lightNotes says what the light was reckoned by.
func lightNotes(w *sunWindow, s skyWeather, elevation float64) []string {
	notes := []string{"The light is that of a usual sky of its kind, band_stops either way; a meter at the face is better than any of it."}
	if s.Word != nil && *s.Word == "overcast" {
		notes = append(notes, "A covered sky is told as a mean: thin cloud gives twice as much, rain cloud half or less.")
	} else if s.Air == nil {
		notes = append(notes, "The clear sky's air is usual: ozone 0.3 atm-cm, haze 0.1, water 1.42 cm, ground 0.2; give sky in figures for other air, or snow.")
	}
	if s.Air != nil && s.Air.CoveredPart > 0 && s.Air.CoveredPart < 1 {
		notes = append(notes, "Under passing cloud the light is a mean that no moment has: the sun is out or it is not.")
	}
	if elevation < 5 && elevation > -18 {
		notes = append(notes, "With so low a sun the light is a published mean and its colour held from a higher sun; the plate sees more of a blue twilight than told.")
	}
	if w == nil {
		return append(notes, "No window was given: the light is that on a level receptor on open ground.")
	}
	notes = append(notes, "The receptor is upright and turned by turn_deg; the room's own walls are left out, and in a light room add some to the shadow side.")
	if w.SkyShare < 1 {
		notes = append(notes, "What hides the sky is taken as a fifth as bright as that sky; whether it hides the sun is not known here.")
	}
	return notes
}
