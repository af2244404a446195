package reckon_test

import (
	"errors"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"platewright/optics/bench"
	"platewright/reckon"
)

func benchOf(t *testing.T) *reckon.Reckoning {
	t.Helper()
	r, ok := reckon.New().Lookup("bench")
	if !ok {
		t.Fatal("there is no reckoning bench")
	}
	return r
}

func asksBench(t *testing.T, question string) bench.Found {
	t.Helper()
	answer, err := benchOf(t).Answer([]byte(question))
	if err != nil {
		t.Fatalf("%s: %v", question, err)
	}
	found, err := bench.ReadFound(string(answer))
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// TestBenchExamples asks one example of every method and reads the answers back, as those who keep them do.
func TestBenchExamples(t *testing.T) {
	text, err := os.ReadFile("testdata/bench-examples.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	asked := map[string]bool{}
	for line := range strings.Lines(string(text)) {
		_, kind, _ := strings.Cut(line, `"kind": "`)
		kind, _, _ = strings.Cut(kind, `"`)
		asked[kind] = true
		found := asksBench(t, line)
		if len(found.Results) == 0 || len(found.Readings) == 0 || found.Notes == nil {
			t.Errorf("%s: answer without results or readings", kind)
		}
		for _, r := range found.Results {
			if r.Basis == "" {
				t.Errorf("%s: %s says no basis", kind, r.Name)
			}
			if r.Value != nil && !(*r.Low95 <= *r.Value && *r.Value <= *r.High95) {
				t.Errorf("%s: %s %g lies outside its interval %g to %g", kind, r.Name, *r.Value, *r.Low95, *r.High95)
			}
			if r.Value != nil {
				t.Logf("%s: %s %.6g ± %.3g (%.6g to %.6g) %s %s", kind, r.Name, *r.Value, *r.SD, *r.Low95, *r.High95, r.Unit, r.Basis)
			}
		}
		t.Log(found.Notes)
	}
	for _, f := range benchOf(t).Fields {
		if f.Key == "method.kind" && !asked[f.Choices[0]] {
			t.Errorf("no example asks %q", f.Choices[0])
		}
	}
}

// TestBenchShowsTheOddReading gives five settings of a 450 mm lens of which the third is read 4 mm wrong.
func TestBenchShowsTheOddReading(t *testing.T) {
	found := asksBench(t, `{"method": {"kind": "two magnifications", "extension_sd_mm": 0.3, "readings": [
		{"extension_mm": 45.1, "magnification": 0.1}, {"extension_mm": 89.9, "magnification": 0.2}, {"extension_mm": 139.1, "magnification": 0.3},
		{"extension_mm": 180.1, "magnification": 0.4}, {"extension_mm": 224.9, "magnification": 0.5}, {"extension_mm": 270.1, "magnification": 0.6}]}}`)
	for _, r := range found.Readings {
		if r.Disagrees != (r.Number == 3) {
			t.Errorf("reading %d: disagrees %v, %.1f sd against %.1f", r.Number, r.Disagrees, r.InSD, r.Limit)
		}
	}
	if len(found.Readings) != 6 || found.Scatter.Counts != "scatter" || !slices.ContainsFunc(found.Notes, func(n string) bool { return strings.Contains(n, "Reading 3 lies") }) {
		t.Errorf("the odd reading is not shown: %v", found.Notes)
	}
	if f, _ := found.Get(bench.Focal); *f.Low95 > 450 || *f.High95 < 450 {
		t.Errorf("the interval %g to %g was not widened to hold 450", *f.Low95, *f.High95)
	}
}

func TestBenchRefuses(t *testing.T) {
	for name, c := range map[string]struct{ question, field, says string }{
		"too few": {`{"method": {"kind": "two magnifications", "extension_sd_mm": 0.3, "readings": [{"extension_mm": 45, "magnification": 0.1}]}}`,
			"method.readings", "at least 2"},
		"the same twice": {`{"method": {"kind": "two magnifications", "extension_sd_mm": 0.3, "readings": [{"extension_mm": 45, "magnification": 0.1}, {"extension_mm": 45.2, "magnification": 0.1}]}}`,
			"method.readings[1].magnification", "two that differ clearly"},
		"both ways of size": {`{"method": {"kind": "two magnifications", "extension_sd_mm": 0.3, "readings": [{"extension_mm": 45, "magnification": 0.1, "image_mm": 20}, {"extension_mm": 90, "magnification": 0.2}]}}`,
			"method.readings[0].magnification", "either magnification or both"},
		"a rail read backward": {`{"method": {"kind": "two magnifications", "extension_sd_mm": 0.3, "readings": [{"extension_mm": 90, "magnification": 0.1}, {"extension_mm": 45, "magnification": 0.2}]}}`,
			"method.readings", "focal length"},
		"half an angle":      {`{"method": {"kind": "far target", "readings": [{"angle_deg": 20}]}}`, "method.readings[0]", "image_mm with angle_deg"},
		"an eye nowhere":     {`{"method": {"kind": "entrance pupil", "focal_mm": 450, "focal_sd_mm": 2, "readings": [{"seen_mm": 90}]}}`, "method.eye_mm", "missing"},
		"a pupil too wide":   {`{"method": {"kind": "entrance pupil", "focal_mm": 50, "focal_sd_mm": 1, "readings": [{"disc_mm": 900}]}}`, "method.readings", "f/0.5 to f/256"},
		"no stop factor":     {`{"method": {"kind": "stops", "focal_mm": 450, "focal_sd_mm": 2, "wanted": [8]}}`, "method.discs", "at least 1"},
		"factor twice":       {`{"method": {"kind": "stops", "focal_mm": 450, "focal_sd_mm": 2, "stop_factor": 1.2, "discs": [{"hole_mm": 60, "pupil_mm": 76}]}}`, "method.stop_factor", "one of the two"},
		"one height":         {`{"method": {"kind": "curvature", "extension_sd_mm": 0.2, "readings": [{"height_mm": 80, "extension_mm": 480}, {"height_mm": -80, "extension_mm": 480.1}]}}`, "method.readings[1].height_mm", "at least 2"},
		"lines mixed":        {`{"method": {"kind": "curvature", "extension_sd_mm": 0.2, "readings": [{"height_mm": 0, "extension_mm": 480}, {"height_mm": 80, "extension_mm": 478, "lines": "away"}, {"height_mm": 80, "extension_mm": 478}]}}`, "method.readings[2].lines", "away or round"},
		"an edge behind":     {`{"method": {"kind": "coverage", "f_number": 8, "focal_mm": 100, "readings": [{"edge_mm": 900}]}}`, "method.readings[0].edge_mm", "80°"},
		"one stop":           {`{"method": {"kind": "focus shift", "extension_sd_mm": 0.2, "readings": [{"f_number": 4, "extension_mm": 480}]}}`, "method.readings", "one stop more"},
		"a card in the lens": {`{"method": {"kind": "chemical focus", "step_sd_mm": 2, "focal_mm": 100, "magnification": 1, "readings": [{"behind_mm": -250}]}}`, "method.readings", "from the lens"},
		"a slip of the pen":  {`{"method": {"kind": "chemical focus", "step_sd_mm": 2, "focal_mm": 450, "magnification": 0.43, "readings": [{"behind_mm": -1450}]}}`, "method.readings", "look for a slip"},
		"a rule too near":    {`{"method": {"kind": "known object", "readings": [{"object_mm": 600, "image_mm": 100, "target_mm": 50}]}}`, "method.readings", "target_mm is from the object to the glass"},
		"a point forgotten":  {`{"method":{"kind":"two magnifications","extension_sd_mm":0.3,"readings":[{"extension_mm":45.1,"magnification":0.1},{"extension_mm":89.9,"magnification":0.2},{"extension_mm":13.51,"magnification":0.3},{"extension_mm":180.1,"magnification":0.4},{"extension_mm":224.9,"magnification":0.5}]}}`, "method.readings", "Reading 3 lies"},
		"a rail misread":     {`{"method":{"kind":"curvature","extension_sd_mm":0.1,"readings":[{"height_mm":0,"extension_mm":480},{"height_mm":40,"extension_mm":479},{"height_mm":60,"extension_mm":4780},{"height_mm":80,"extension_mm":475},{"height_mm":80,"extension_mm":475.2}]}}`, "method.readings", "look for a slip"},
		"nothing read":       {`{"method": {"kind": "nodal point", "readings": []}}`, "method.readings", "1"},
		"too rough":          {`{"method": {"kind": "two magnifications", "extension_sd_mm": 50, "readings": [{"extension_mm": 45, "magnification": 0.1}, {"extension_mm": 90, "magnification": 0.2}]}}`, "method.readings", "too rough"},
		"an unknown method":  {`{"method": {"kind": "guess"}}`, "method.kind", "guess"},
	} {
		_, err := benchOf(t).Answer([]byte(c.question))
		var fe *reckon.FieldError
		if !errors.As(err, &fe) || fe.Field != c.field || !strings.Contains(fe.Message, c.says) {
			t.Errorf("%s: got %v, want an error at %s that says %q", name, err, c.field, c.says)
		}
	}
}

// TestBenchWaterhouse asks for holes of a 450 mm lens whose front glass magnifies 1.2686 times [PlateNotes2026].
func TestBenchWaterhouse(t *testing.T) {
	found := asksBench(t, `{"method": {"kind": "stops", "focal_mm": 450, "focal_sd_mm": 0, "stop_factor": 1.2686, "wanted": [4.5, 8, 16]}}`)
	want := map[float64]float64{4.5: 78.83, 8: 44.340, 16: 22.17}
	for _, r := range found.All(bench.Hole) {
		if math.Abs(*r.Value-want[*r.AtFNumber]) > 0.005 {
			t.Errorf("hole for f/%g is %.3f, want %.3f", *r.AtFNumber, *r.Value, want[*r.AtFNumber])
		}
		delete(want, *r.AtFNumber)
	}
	if len(want) > 0 {
		t.Errorf("no hole for %v", want)
	}
}
