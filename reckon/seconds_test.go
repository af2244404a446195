package reckon_test

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"platewright/reckon"
)

// ask answers a question of the registry and reads the answer.
func ask(t *testing.T, name, question string) map[string]any {
	t.Helper()
	r, ok := reckon.New().Lookup(name)
	if !ok {
		t.Fatalf("no reckoning %s", name)
	}
	raw, err := r.Answer([]byte(question))
	if err != nil {
		t.Fatalf("%s %s: %v", name, question, err)
	}
	var a map[string]any
	if err := json.Unmarshal(raw, &a); err != nil {
		t.Fatalf("%s %s answers %s: %v", name, question, raw, err)
	}
	return a
}

// published: worked figures of the meter equation.
func TestSeconds(t *testing.T) {
	for _, tt := range []struct {
		question, key string
		want, tol     float64
		source        string
	}{
		// EV is log2(N²/t) at index 100: f/1 and 1 s are EV 0, f/16 and 1/128 s EV 15.
		{`{"ev100":0,"exposure_index":100,"f_number":1}`, "seconds", 1, 1e-12, "[ISO2720] definition of EV"},
		{`{"ev100":15,"exposure_index":100,"f_number":16}`, "seconds", 1.0 / 128, 1e-12, "[ISO2720] definition of EV"},
		{`{"ev100":1,"exposure_index":100,"f_number":4}`, "seconds", 8, 1e-12, "[ISO2720] definition of EV"},
		{`{"ev100":0,"exposure_index":100,"f_number":1}`, "incident_lx", 2.5, 1e-12, "[ISO2720] C 250"},
		{`{"ev100":15,"exposure_index":100,"f_number":1}`, "incident_lx", 81920, 1e-9, "[ISO2720] C 250"},
		// The exposure behind a meter's mid-tone is usually printed as 8/S, two tenths below ours.
		{`{"ev100":5,"exposure_index":1,"f_number":5.6}`, "plate_lxs", 8, 0.2, "[ANSI349]"},
		// identity: a stop of bellows is a stop of time, and leaves the plate's exposure alone.
		{`{"ev100":1,"exposure_index":100,"f_number":4,"bellows_stops":1}`, "seconds", 16, 1e-12, "identity"},
		{`{"ev100":1,"exposure_index":100,"f_number":4,"bellows_stops":1}`, "plate_lxs", 0.08125, 1e-12, "identity"},
		{`{"ev100":1,"exposure_index":100,"f_number":4,"actinic_stops":1}`, "seconds", 4, 1e-12, "identity"},
		{`{"ev100":1,"exposure_index":100,"f_number":4,"actinic_stops":1}`, "plate_lxs", 0.040625, 1e-12, "identity"},
		// 4 s counted at 7 % with 0.1 s for the cap: sd 0.2973 s, late by 0.103 stop.
		{`{"ev100":2,"exposure_index":100,"f_number":4}`, "timing_stops", 0.103, 0.0005, "[FechnerDay356] Weber share 0.07"},
	} {
		got, ok := ask(t, "seconds", tt.question)[tt.key].(float64)
		if !ok || math.Abs(got-tt.want) > tt.tol {
			t.Errorf("seconds %s: %s = %.9g, want %.9g ± %g (%s)", tt.question, tt.key, got, tt.want, tt.tol, tt.source)
		}
	}
}

func TestSecondsNotes(t *testing.T) {
	a := ask(t, "seconds", `{"ev100":12,"exposure_index":1,"f_number":2}`)
	if notes := a["notes"].([]any); !strings.Contains(notes[len(notes)-2].(string), "third of a stop") {
		t.Errorf("a tenth of a second by hand goes without a warning: %v", notes)
	}
}

// published: a card of the reflectance at which both meters agree gives back the incident reading; the rest by hand.
func TestSecondsByCard(t *testing.T) {
	card := `{"card":{"f_number":4,"time_s":0.125,"iso":100,"reflectance_pct":15.707963267948966},"exposure_index":1,"f_number":4.5}`
	a := ask(t, "seconds", card)
	// N²/t = 128 at index 100 is EV 7: 320 lx with C 250, K 12.5 at 15.7 % [ISO2720].
	if got := a["incident_lx"].(float64); math.Abs(got-320) > 1e-9 {
		t.Errorf("the card comes to %g lx, want 320 [ISO2720]", got)
	}
	if got, want := a["seconds"].(float64), ask(t, "seconds", `{"ev100":7,"exposure_index":1,"f_number":4.5}`)["seconds"].(float64); math.Abs(got/want-1) > 1e-12 {
		t.Errorf("by the card %g s, by EV 7 %g s", got, want)
	}
	if a["basis"] != "metered by a card" {
		t.Errorf("basis %v", a["basis"])
	}
	// by hand: C 240 to 400 about 250 and K 10.6 to 14 about 12.5, in stops, squared and added each way.
	band := a["band_stops"].([]any)
	low := -math.Hypot(math.Log2(250./240), math.Log2(14/12.5))
	high := math.Hypot(math.Log2(400./250), math.Log2(12.5/10.6))
	if math.Abs(band[0].(float64)-low) > 1e-9 || math.Abs(band[1].(float64)-high) > 1e-9 {
		t.Errorf("band %v stops, want %g to %g by hand", band, low, high)
	}
	// An 18 % card is the usual one, and brighter than 15.7 %.
	if got := ask(t, "seconds", `{"card":{"f_number":4,"time_s":0.125,"iso":100},"exposure_index":1,"f_number":4.5}`)["incident_lx"].(float64); math.Abs(got-320*15.707963/18) > 1e-4 {
		t.Errorf("18 %% comes to %g lx, want %g", got, 320*15.707963/18)
	}
}

// published: worked figures; by hand where it says so.
func TestSecondsWorked(t *testing.T) {
	for _, tt := range []struct {
		question, key string
		want, tol     float64
		source        string
	}{
		{`{"incident_lx":2000,"exposure_index":1,"f_number":4.5}`, "seconds", 2.53125, 1e-6, "[PlateNotes2026] L45"},
		{`{"incident_lx":2000,"exposure_index":1,"f_number":4.5,"actinic_stops":-1.78087}`, "seconds", 8.7, 0.05, "[PlateNotes2026] LED of 0.291"},
		{`{"incident_lx":20000,"exposure_index":1,"f_number":5.6}`, "seconds", 0.392, 5e-4, "[PlateNotes2026]"},
		{`{"incident_lx":800,"exposure_index":0.5,"f_number":3.6}`, "seconds", 8.1, 0.05, "[PlateNotes2026]"},
		{`{"ev100":1,"exposure_index":100,"f_number":4,"reciprocity_p":0.9}`, "seconds", 10.079, 0.001, "[PlateNotes2026] L55"},
		{`{"ev100":1,"exposure_index":100,"f_number":4,"reciprocity_p":0.95}`, "seconds", 8.9, 0.05, "[PlateNotes2026]"},
		{`{"ev100":5,"exposure_index":100,"f_number":4,"reciprocity_p":0.9}`, "seconds", 0.5, 1e-12, "identity: below 1 s nothing changes"},
		// by hand: a plate of 4 s at f/4, a stop and a half too dark, is 4·2^1.5 s; at f/5.6568 twice that.
		{`{"judged":{"seconds":4,"f_number":4,"verdict":-3},"f_number":4}`, "seconds", 4 * 2.8284271, 1e-6, "by hand"},
		{`{"judged":{"seconds":4,"f_number":4,"verdict":0},"f_number":5.656854249492381}`, "seconds", 8, 1e-9, "by hand"},
		{`{"judged":{"seconds":4,"f_number":4,"error_stops":1,"bellows_stops":0.5},"f_number":4,"bellows_stops":1}`, "seconds", 4 * 0.70710678, 1e-7, "by hand"},
		{`{"judged":{"seconds":4,"f_number":4,"error_stops":0,"incident_lx":500,"incident_now_lx":125},"f_number":4}`, "seconds", 16, 1e-9, "by hand"},
		{`{"judged":{"seconds":4,"f_number":4,"error_stops":0,"actinic_stops":-1},"f_number":4,"actinic_stops":0}`, "seconds", 2, 1e-9, "by hand"},
		// identity: with p the judged time counts for t^p, so a stop on 4 s is (2·4^p)^(1/p).
		{`{"judged":{"seconds":4,"f_number":4,"error_stops":-1},"f_number":4,"reciprocity_p":0.9}`, "seconds", 4 * 2.1601195, 1e-5, "identity: 2^(1/0.9)"},
		// the time of a judged plate and an index tell the light: C N²/(t S).
		{`{"judged":{"seconds":4,"f_number":4,"error_stops":0},"f_number":4,"exposure_index":2}`, "incident_lx", 250 * 16 / 8., 1e-9, "[ISO2720]"},
		{`{"ev100":1,"exposure_index":100,"f_number":4}`, "least_by_hand_s", 0.3995, 5e-4, "by hand: 0.1/sqrt((2^(1/3)-1)² - 0.07²)"},
	} {
		got, ok := ask(t, "seconds", tt.question)[tt.key].(float64)
		if !ok || math.Abs(got-tt.want) > tt.tol {
			t.Errorf("seconds %s: %s = %.9g, want %.9g ± %g (%s)", tt.question, tt.key, got, tt.want, tt.tol, tt.source)
		}
	}
}

// by hand: the band of a reading is the constant's range, to the last digit, until something else is told; then the root of
// the sum of squares. That of a judged plate is narrower.
func TestSecondsBand(t *testing.T) {
	band := func(q string) (low, high float64) {
		b := ask(t, "seconds", q)["band_stops"].([]any)
		return b[0].(float64), b[1].(float64)
	}
	plain := `{"ev100":1,"exposure_index":100,"f_number":4`
	low, high := band(plain + `}`)
	if math.Abs(low-math.Log2(240./250)) > 1e-12 || math.Abs(high-math.Log2(400./250)) > 1e-12 {
		t.Errorf("band %g to %g, want that of 240 to 400 [ISO2720], from memory", low, high)
	}
	l, h := band(plain + `,"index_sigma_stops":1}`)
	if math.Abs(l+math.Hypot(low, 1)) > 1e-9 || math.Abs(h-math.Hypot(high, 1)) > 1e-9 {
		t.Errorf("with a stop of index %g to %g", l, h)
	}
	l, h = band(plain + `,"actinic_stops":-1,"actinic_band_stops":[-1.5,-0.8]}`)
	if math.Abs(l+math.Hypot(low, 0.2)) > 1e-9 || math.Abs(h-math.Hypot(high, 0.5)) > 1e-9 {
		t.Errorf("with a light of -1.5 to -0.8 stops %g to %g: what does less asks for more time", l, h)
	}
	l, h = band(`{"judged":{"seconds":4,"f_number":4,"verdict":0},"f_number":4}`)
	if want := math.Hypot(0.25, math.Log2(1+0.2973/4)); math.Abs(h-want) > 1e-4 || math.Abs(l+want) > 1e-4 || h > high {
		t.Errorf("a judged plate's band is %g to %g, want %g either way by hand", l, h, want)
	}
}

func TestSecondsCountsAloud(t *testing.T) {
	count := func(ev string) map[string]any {
		c, _ := ask(t, "seconds", `{"ev100":`+ev+`,"exposure_index":100,"f_number":4}`)["count"].(map[string]any)
		return c
	}
	// by hand: 8 s are eight counts without error, late by 0.5688 s; 2^2.5 s = 5.657 s are six counts, nearer than five.
	if c := count("1"); c["counts"] != 8. || c["error_stops"] != 0. || math.Abs(c["late_stops"].(float64)-math.Log2(8.5688/8)) > 1e-4 {
		t.Errorf("8 s are counted %v", c)
	}
	if c := count("1.5"); c["counts"] != 6. || math.Abs(c["error_stops"].(float64)-math.Log2(6/5.656854)) > 1e-6 {
		t.Errorf("5.66 s are counted %v", c)
	}
	if c := count("6"); c != nil {
		t.Errorf("a quarter of a second is counted %v", c)
	}
}

func TestSecondsWarns(t *testing.T) {
	for _, tt := range []struct {
		question, says string
	}{
		{`{"ev100":6,"exposure_index":100,"f_number":4}`, "shorter than a hand can cap: below about 0.4 s"},
		{`{"ev100":-6,"exposure_index":100,"f_number":4}`, "17 min is longer than a wet film lasts: about 15 min"},
		{`{"ev100":-5.5,"exposure_index":100,"f_number":4}`, "longer end of the band"},
		{`{"ev100":1,"exposure_index":100,"f_number":4}`, ""},
	} {
		warnings := ask(t, "seconds", tt.question)["warnings"].([]any)
		if tt.says == "" && len(warnings) > 0 || tt.says != "" && (len(warnings) != 1 || !strings.Contains(warnings[0].(string), tt.says)) {
			t.Errorf("%s warns %q, want %q", tt.question, warnings, tt.says)
		}
	}
}

func TestSecondsRefuses(t *testing.T) {
	r, _ := reckon.New().Lookup("seconds")
	for _, tt := range []struct{ question, field, says string }{
		{`{"ev100":1,"f_number":4}`, "exposure_index", "exposure_index is missing; a number (0.01 to 100) is wanted"},
		{`{"ev100":1,"incident_lx":5,"exposure_index":1,"f_number":4}`, "ev100", "exactly one"},
		{`{"judged":{"seconds":4,"f_number":4},"f_number":4}`, "judged.verdict", "exactly one"},
		{`{"judged":{"seconds":4,"f_number":4,"verdict":0,"error_stops":0},"f_number":4}`, "judged.error_stops", "exactly one"},
		{`{"judged":{"seconds":4,"f_number":4,"verdict":0,"incident_now_lx":20},"f_number":4}`, "judged.incident_lx", "by the same meter"},
		{`{"ev100":1,"exposure_index":1,"f_number":4,"actinic_stops":2,"actinic_band_stops":[-1,1]}`, "actinic_band_stops", "holds actinic_stops"},
		{`{"card":{"f_number":22,"time_s":0.000001,"iso":1},"exposure_index":1,"f_number":4}`, "card", "one of its figures has slipped"},
		{`{"card":{"f_number":4,"time_s":1,"iso":100,"reflectance_pct":0},"exposure_index":1,"f_number":4}`, "card.reflectance_pct", "allowed is"},
	} {
		_, err := r.Answer([]byte(tt.question))
		fe, ok := err.(*reckon.FieldError)
		if !ok || fe.Field != tt.field || !strings.Contains(fe.Message, tt.says) {
			t.Errorf("%s: %v, want %q about %s", tt.question, err, tt.says, tt.field)
		}
	}
}
