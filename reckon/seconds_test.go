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
