package reckon_test

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
	"time"

	"platewright/reckon"
)

// told asks a reckoning and returns its answer as a general-purpose reader sees it.
func told(t *testing.T, name, question string) map[string]any {
	t.Helper()
	r, ok := reckon.New().Lookup(name)
	if !ok {
		t.Fatalf("no reckoning is called %s", name)
	}
	a, err := r.Answer([]byte(question))
	if err != nil {
		t.Fatalf("%s: %v", question, err)
	}
	var out map[string]any
	if err := json.Unmarshal(a, &out); err != nil {
		t.Fatal(err)
	}
	return out
}

func isNear(t *testing.T, a map[string]any, key string, want, tol float64, source string) {
	t.Helper()
	if got, ok := a[key].(float64); !ok || !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %v, want %g ± %g [%s]", key, a[key], want, tol, source)
	}
}

// The worked example of the report [Reda2008], and an independent ephemeris at three places without the air's lift
// [SunCheck00].
func TestSunPlaces(t *testing.T) {
	a := told(t, "sun", `{"time":"2003-10-17T12:30:30-07:00","latitude_deg":39.742476,"longitude_deg":-105.1786,"elevation_m":1830.14,"pressure_hpa":820,"temperature_c":11,"delta_t_s":67}`)
	isNear(t, a, "zenith_deg", 50.11162, 0.5e-5, "Reda2008")
	isNear(t, a, "azimuth_deg", 194.34024, 0.5e-5, "Reda2008")
	isNear(t, a, "true_elevation_deg", 39.872046, 0.5e-6, "Reda2008")
	if _, there := a["illuminance_lx"]; there {
		t.Error("without a sky a light is told")
	}
	a = told(t, "sun", `{"time":"2015-01-02T20:00:00-07:00","latitude_deg":39.742476,"longitude_deg":-105.1786,"elevation_m":1830.14}`)
	for key, want := range map[string]string{"sunrise": "2015-01-02T07:21:55-07:00", "solar_noon": "2015-01-02T12:04:45-07:00", "sunset": "2015-01-02T16:47:43-07:00"} {
		got, err1 := time.Parse(time.RFC3339, a[key].(string))
		exact, err2 := time.Parse(time.RFC3339, want)
		if err1 != nil || err2 != nil || got.Sub(exact).Abs() > time.Second {
			t.Errorf("%s is %v, want %s within a second [Reda2008]", key, a[key], want)
		}
	}
	for _, c := range []struct {
		question        string
		zenith, azimuth float64
	}{
		{`{"time":"2026-06-21T09:00:00Z","latitude_deg":48.8566,"longitude_deg":2.3522,"elevation_m":35}`, 42.241, 111.176},
		{`{"time":"2024-12-21T12:00:00Z","latitude_deg":51.4779,"longitude_deg":0}`, 74.920, 180.406},
		{`{"time":"2026-03-20T17:00:00Z","latitude_deg":40.7128,"longitude_deg":-74.006}`, 40.685, 178.696},
	} {
		a := told(t, "sun", c.question)
		isNear(t, a, "true_elevation_deg", 90-c.zenith, 0.001, "SunCheck00")
		isNear(t, a, "azimuth_deg", c.azimuth, 0.001, "SunCheck00")
	}
}

// What sun and sky do to the plate beyond a meter: a clear day at zenith distance 40° gives an actinic ratio of 1.21 on
// open ground and 92 700 lx, a blue sky alone 2.49, a covered sky 1.35 to 1.66 [PlateNotes2026].
func TestSunLight(t *testing.T) {
	a := told(t, "sun", `{"time":"2026-03-21T12:07:00Z","latitude_deg":40.35,"longitude_deg":0,"pressure_hpa":1013,"sky":"clear"}`)
	isNear(t, a, "zenith_deg", 40, 0.1, "the question")
	isNear(t, a, "illuminance_lx", 92700, 900, "PlateNotes2026")
	isNear(t, a, "actinic_stops", math.Log2(1.21), 0.02, "PlateNotes2026")
	a = told(t, "sun", `{"time":"2026-03-21T12:07:00Z","latitude_deg":40.35,"longitude_deg":0,"pressure_hpa":1013,"sky":{"albedo":0},
		"window":{"facing_deg":0,"width_m":1,"height_m":1,"distance_m":1,"sill_m":0,"glass":"none"}}`)
	isNear(t, a, "actinic_stops", math.Log2(2.49), 0.06, "PlateNotes2026")
	if a["light_kind"] != "window" || a["sun_on_face"] != false || a["from_ground_lx"] != 0.0 {
		t.Errorf("a north window over black ground: %v", a)
	}
	a = told(t, "sun", `{"time":"2026-03-21T12:07:00Z","latitude_deg":40.35,"longitude_deg":0,"sky":"overcast"}`)
	if s := a["actinic_stops"].(float64); s < math.Log2(1.346) || s > math.Log2(1.662) {
		t.Errorf("a covered sky has %g stops, want between D65 and D75 [PlateNotes2026]", s)
	}
	if a["light_kind"] != "overcast" {
		t.Errorf("a covered sky is %v", a["light_kind"])
	}
	night := told(t, "sun", `{"time":"2026-12-21T00:00:00Z","latitude_deg":45,"longitude_deg":0,"sky":"overcast"}`)
	isNear(t, night, "illuminance_lx", 0, 0, "night")
	if _, there := night["actinic_stops"]; there {
		t.Error("the dark has actinic stops")
	}
}

func TestSunAtTheEnds(t *testing.T) {
	for _, c := range []struct{ question, note string }{
		{`{"time":"2026-06-21T12:00:00Z","latitude_deg":90,"longitude_deg":0}`, "does not set"},
		{`{"time":"2026-12-21T12:00:00Z","latitude_deg":90,"longitude_deg":0}`, "does not rise"},
		{`{"time":"2026-12-21T12:00:00+01:00","latitude_deg":69.65,"longitude_deg":18.96}`, "does not rise"},
		{`{"time":"2026-12-21T12:00:00Z","latitude_deg":-90,"longitude_deg":0}`, "every direction is south or north"},
	} {
		a := told(t, "sun", c.question)
		if a["sunrise"] != nil || a["sunset"] != nil {
			t.Errorf("%s: %v", c.question, a)
		}
		notes, _ := json.Marshal(a["notes"])
		if !strings.Contains(string(notes), c.note) {
			t.Errorf("%s: the notes lack %q: %s", c.question, c.note, notes)
		}
	}
}

func TestSunRefuses(t *testing.T) {
	for _, c := range []struct{ name, question, field string }{
		{"sun", `{"time":"1700-06-21T12:00:00Z","latitude_deg":50,"longitude_deg":0}`, "time"},
		{"sun", `{"time":"2026-06-21 12:00","latitude_deg":50,"longitude_deg":0}`, "time"},
		{"sun", `{"time":"2026-06-21T12:00:00Z","latitude_deg":91,"longitude_deg":0}`, "latitude_deg"},
		{"sun", `{"time":"2026-06-21T12:00:00Z","latitude_deg":50}`, "longitude_deg"},
		{"sun", `{"time":"2026-06-21T12:00:00Z","latitude_deg":50,"longitude_deg":0,"window":{"facing_deg":0,"width_m":1,"height_m":1,"distance_m":1}}`, "sky"},
		{"sun", `{"time":"2026-06-21T12:00:00Z","latitude_deg":50,"longitude_deg":0,"sky":"cloudy"}`, "sky"},
		{"sun", `{"time":"2026-06-21T12:00:00Z","latitude_deg":50,"longitude_deg":0,"sky":{"ozone_atm_cm":300}}`, "sky.ozone_atm_cm"},
		{"sun", `{"time":"2026-06-21T12:00:00Z","latitude_deg":50,"longitude_deg":0,"sky":"clear","window":{"facing_deg":0,"width_m":1,"height_m":1,"distance_m":0}}`, "window.distance_m"},
		{"daylight", `{"date":"2400-06-21T12:00:00Z","latitude_deg":50,"longitude_deg":0,"sky":"clear"}`, "date"},
		{"daylight", `{"date":"2026-06-21T12:00:00Z","latitude_deg":50,"longitude_deg":0}`, "sky"},
		{"daylight", `{"date":"2026-06-21T12:00:00Z","latitude_deg":50,"longitude_deg":0,"sky":"clear","through":"year","every_days":1,"every_min":10}`, "every_min"},
	} {
		r, _ := reckon.New().Lookup(c.name)
		_, err := r.Answer([]byte(c.question))
		var fe *reckon.FieldError
		if !errorAs(err, &fe) || fe.Field != c.field {
			t.Errorf("%s %s: %v", c.name, c.question, err)
		}
	}
}

func errorAs(err error, to **reckon.FieldError) bool {
	fe, ok := err.(*reckon.FieldError)
	*to = fe
	return ok
}

// The chart of a day tells at each moment what sun tells for it, and the plate's light is the reading by its stops.
func TestDaylightIsSun(t *testing.T) {
	const where = `"latitude_deg":48.8566,"longitude_deg":2.3522,"elevation_m":35,"window":{"facing_deg":120,"width_m":1.5,"height_m":2,"distance_m":2,"sky_share":0.7}`
	for _, weather := range []string{`"clear"`, `"overcast"`, `{"covered_share":0.5,"albedo":0.8}`} {
		day := told(t, "daylight", `{"date":"2026-05-05T22:00:00+02:00","every_min":60,"sky":`+weather+`,`+where+`}`)
		hours := day["days"].([]any)[0].(map[string]any)["hours"].([]any)
		if len(hours) < 14 || len(hours) > 17 {
			t.Fatalf("%d hours in May", len(hours))
		}
		best, sunny := 0.0, 0
		for _, h := range hours {
			hour := h.(map[string]any)
			one := told(t, "sun", `{"time":"`+hour["time"].(string)+`","sky":`+weather+`,`+where+`}`)
			lx := hour["illuminance_lx"].(float64)
			isNear(t, one, "illuminance_lx", lx, 2e-3*lx+1e-6, "the same light by the other reckoning")
			isNear(t, one, "azimuth_deg", hour["azimuth_deg"].(float64), 0.001, "the same sun")
			stops, lit := hour["actinic_stops"].(float64)
			if lit {
				isNear(t, one, "actinic_stops", stops, 0.01, "the full reckoning")
				isNear(t, hour, "actinic_lx", lx*math.Exp2(stops), 1e-9*lx, "its definition")
				best = math.Max(best, hour["actinic_lx"].(float64))
			}
			if hour["sun_on_face"] == true {
				sunny++
			}
		}
		isNear(t, day, "best_actinic_lx", best, 0, "its definition")
		if (sunny > 0) != (weather != `"overcast"`) {
			t.Errorf("under %s the sun falls on the face in %d hours", weather, sunny)
		}
	}
}

func TestDaylightYear(t *testing.T) {
	year := told(t, "daylight", `{"date":"2026-05-05T12:00:00+01:00","latitude_deg":69.65,"longitude_deg":18.96,"sky":"overcast","through":"year","every_days":30,"every_min":120}`)
	days := year["days"].([]any)
	if len(days) != 13 {
		t.Fatalf("%d days", len(days))
	}
	first, june := days[0].(map[string]any), days[5].(map[string]any)
	if first["date"] != "2026-01-01" || june["date"] != "2026-05-31" || june["sunrise"] != nil || len(june["hours"].([]any)) != 12 || len(first["hours"].([]any)) > 4 {
		t.Errorf("the first of January %v, the end of May %v", first, june["date"])
	}
	dark := told(t, "daylight", `{"date":"2026-12-21T12:00:00Z","latitude_deg":90,"longitude_deg":0,"sky":"clear"}`)
	if dark["best_time"] != nil || dark["best_actinic_lx"] != nil || len(dark["days"].([]any)[0].(map[string]any)["hours"].([]any)) != 0 {
		t.Errorf("the polar night: %v", dark)
	}
}

func BenchmarkDaylight(b *testing.B) {
	r, _ := reckon.New().Lookup("daylight")
	q := []byte(`{"date":"2026-06-21T12:00:00Z","latitude_deg":50,"longitude_deg":0,"sky":"clear","every_min":10,"window":{"facing_deg":0,"width_m":1.5,"height_m":2,"distance_m":2}}`)
	for b.Loop() {
		if _, err := r.Answer(q); err != nil {
			b.Fatal(err)
		}
	}
}
