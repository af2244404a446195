package reckon_test

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"platewright/reckon"
)

const roundBox = `"spread":{"kind":"round softbox","diameter_m":0.8,"efficiency":0.6}`

// published: worked figures of the fact sheet's independent script; identity where it says so.
func TestFlash(t *testing.T) {
	soft := `{"energy_j":2400,"lm_per_j":40,` + roundBox
	bare := `{"energy_j":1000,"lm_per_j":35,"spread":{"kind":"bare"}`
	for _, tt := range []struct {
		question, key string
		want, tol     float64
		source        string
	}{
		{soft + `,"distance_m":1.2,"exposure_index":1}`, "scene_lxs", 11459, 1, "[PlateNotes2026] L52"},
		{soft + `,"distance_m":1.2,"exposure_index":1}`, "f_number", 6.77, 0.005, "[PlateNotes2026] L52"},
		{soft + `,"distance_m":1.2,"exposure_index":1,"actinic_stops":-0.744}`, "f_number", 5.2, 0.05, "[PlateNotes2026] tube that stops ultraviolet"},
		{soft + `,"distance_m":1.2,"f_number":6.7704}`, "exposure_index", 1, 1e-4, "identity"},
		{soft + `,"exposure_index":1,"f_number":6.7704}`, "distance_m", 1.2, 1e-4, "identity"},
		{`{"lm_per_j":40,` + roundBox + `,"distance_m":1.2,"exposure_index":1,"f_number":6.7704}`, "energy_j", 2400, 0.1, "identity"},
		{bare + `,"distance_m":1.5,"exposure_index":1}`, "scene_lxs", 1238, 0.5, "[PlateNotes2026] bare tube"},
		{bare + `,"distance_m":1.5,"exposure_index":1,"pops":4}`, "scene_lxs", 4 * 1237.87, 0.5, "identity: pops add"},
		// 13926.06 cd s at index 100: guide number 74.635 m.
		{`{"energy_j":5000,"lm_per_j":35,"spread":{"kind":"bare"},"distance_m":3,"exposure_index":100}`, "guide_m", 74.635, 0.005, "[PlateNotes2026] L53"},
		// identity: 8 lx s over the index lie on the plate behind a metered mid-tone, two tenths below by our constants.
		{soft + `,"distance_m":1.2,"exposure_index":1}`, "plate_lxs", 8, 0.2, "[ANSI349]"},
		{soft + `,"distance_m":1.2,"exposure_index":1,"bellows_stops":2}`, "f_number", 6.77 / 2, 0.003, "identity: two stops of bellows"},
		{bare + `,"distance_m":1.5,"exposure_index":1,"turn_deg":60}`, "scene_lxs", 1237.87 / 2, 0.5, "[Lambert1760] cosine"},
		{bare + `,"distance_m":1.5,"exposure_index":1,"room":{"surface_m2":100,"reflectance":0.5}}`, "scene_lxs", 1237.87 + 350, 0.5, "[Sumpner1892] 35 000 lm s/100 m²"},
	} {
		got, ok := ask(t, "flash", tt.question)[tt.key].(float64)
		if !ok || math.Abs(got-tt.want) > tt.tol {
			t.Errorf("flash %s: %s = %.9g, want %.9g ± %g (%s)", tt.question, tt.key, got, tt.want, tt.tol, tt.source)
		}
	}
}

// by hand: with a calibration only ratios to the judged plate count. f/5.6 at 1.5 m with 1200 J was a stop too much; f/4 at
// 3 m asks for half the light by its stop, four times by its distance, half by the error: 1200 J again.
func TestFlashRelative(t *testing.T) {
	calibration := `"calibration":{"energy_j":1200,"distance_m":1.5,"f_number":5.656854249492381,"bellows_stops":0.5,"error_stops":1}`
	for _, lm := range []string{"", `"lm_per_j":17,`, `"lm_per_j":44,`} {
		for _, index := range []string{"0.3", "1", "6"} {
			q := `{` + lm + `"spread":{"kind":"reflector","gain":5},"distance_m":3,"f_number":4,"bellows_stops":0.5,"exposure_index":` + index + `,` + calibration + `}`
			a := ask(t, "flash", q)
			if got := a["energy_j"].(float64); math.Abs(got-1200) > 1e-6 {
				t.Errorf("%s: %g J, want 1200 by hand", q, got)
			}
			if a["relative"] != true || !strings.HasPrefix(a["notes"].([]any)[0].(string), "Relative to the judged plate") {
				t.Errorf("%s does not say that it is relative: %v", q, a["notes"])
			}
			band := a["band_stops"].([]any)
			if math.Abs(band[1].(float64)-1./3) > 1e-9 {
				t.Errorf("the band of a judged plate is %v, want a third of a stop", band)
			}
		}
	}
	a := ask(t, "flash", `{"energy_j":1200,"spread":{"kind":"bare"},"distance_m":1.5,"f_number":4,"bellows_stops":0.5,`+calibration+`}`)
	if got, judged := a["exposure_index"].(float64), a["judged_index"].(float64); math.Abs(judged/got-4) > 1e-9 {
		t.Errorf("f/4 instead of f/5.6 after a stop too much asks for a plate of index %g, the judged one had %g, want a quarter by hand", got, judged)
	}
}

// identity: whatever was solved for, asked the other way round it gives back the rest, and its band holds it.
func TestFlashRoundTrip(t *testing.T) {
	spreads := []string{`{"kind":"bare"}`, `{"kind":"reflector","gain":6}`, `{"kind":"umbrella","diameter_m":1}`,
		`{"kind":"softbox","width_m":0.6,"height_m":0.9}`, `{"kind":"round softbox","diameter_m":1.5}`}
	keys := []string{"energy_j", "f_number", "exposure_index", "distance_m"}
	r, _ := reckon.New().Lookup("flash")
	rapid.Check(t, func(t *rapid.T) {
		v := map[string]float64{
			"energy_j": rapid.Float64Range(50, 5000).Draw(t, "J"), "exposure_index": rapid.Float64Range(0.1, 5).Draw(t, "S"),
			"distance_m": rapid.Float64Range(0.3, 8).Draw(t, "m"),
		}
		rest := fmt.Sprintf(`"spread":%s,"bellows_stops":%g,"actinic_stops":%g,"pops":%d,"turn_deg":%g`, rapid.SampledFrom(spreads).Draw(t, "spread"),
			rapid.Float64Range(0, 2).Draw(t, "bellows"), rapid.Float64Range(-2, 2).Draw(t, "actinic"), rapid.IntRange(1, 9).Draw(t, "pops"), rapid.Float64Range(0, 80).Draw(t, "turn"))
		get := func(leave string) map[string]any {
			q := "{" + rest
			for _, k := range keys {
				if k != leave {
					q += fmt.Sprintf(`,%q:%.17g`, k, v[k])
				}
			}
			raw, err := r.Answer([]byte(q + "}"))
			if err != nil {
				t.Fatalf("%s}: %v", q, err)
			}
			var a map[string]any
			if err := json.Unmarshal(raw, &a); err != nil {
				t.Fatal(err)
			}
			return a
		}
		first := get("f_number")
		if v["f_number"] = first["f_number"].(float64); v["f_number"] < 0.5 || v["f_number"] > 512 {
			return
		}
		for _, k := range keys {
			a := get(k)
			got := a[k].(float64)
			if a["solved"] != k || math.Abs(got/v[k]-1) > 1e-6 {
				t.Fatalf("%s comes back as %g, want %g", k, got, v[k])
			}
			band := a["band"].([]any)
			for i, end := range band {
				if end, ok := end.(float64); ok && (end-got)*float64(2*i-1) <= 0 {
					t.Fatalf("%s is %g and its band %v", k, got, band)
				}
			}
		}
	})
}

func TestFlashRefuses(t *testing.T) {
	r, _ := reckon.New().Lookup("flash")
	for _, tt := range []struct{ question, field, says string }{
		{`{"energy_j":1000,"spread":{"kind":"bare"},"f_number":4,"exposure_index":1,"distance_m":2}`, "energy_j", "leave out exactly one"},
		{`{"energy_j":1000,"spread":{"kind":"bare"},"f_number":4}`, "distance_m", "missing together with exposure_index"},
		{`{"energy_j":100,"spread":{"kind":"softbox","width_m":1,"height_m":1},"f_number":16,"exposure_index":1}`, "distance_m", "times the energy"},
		{`{"energy_j":100,"spread":{"kind":"bare"},"exposure_index":1,"distance_m":2,"turn_deg":120}`, "turn_deg", "turn the light or the face"},
		{`{"energy_j":1000,"spread":{"kind":"bare"},"exposure_index":1,"f_number":1,"room":{"surface_m2":20,"reflectance":0.9}}`, "distance_m", "room alone"},
		{`{"energy_j":1000,"spread":{"kind":"softbox","width_m":0,"height_m":1},"exposure_index":1,"f_number":1}`, "spread.width_m", "allowed is"},
		{`{"energy_j":1000,"spread":{"kind":"candle"},"exposure_index":1,"f_number":1}`, "spread.kind", "allowed is"},
		{`{"energy_j":1000,"exposure_index":1,"f_number":1}`, "spread", "missing"},
		{`{"spread":{"kind":"bare"},"exposure_index":100,"f_number":512,"distance_m":1,"calibration":{"energy_j":1000000,"distance_m":0.01,"f_number":0.5}}`, "calibration", "powers of ten"},
	} {
		_, err := r.Answer([]byte(tt.question))
		fe, ok := err.(*reckon.FieldError)
		if !ok || fe.Field != tt.field || !strings.Contains(fe.Message, tt.says) {
			t.Errorf("%s: %v, want %s about %s", tt.question, err, tt.says, tt.field)
		}
	}
}

// The doses of a known tube are told and cautions stand in the notes; none says that anything does no harm.
func TestFlashCautions(t *testing.T) {
	a := ask(t, "flash", `{"energy_j":2400,"lm_per_j":40,`+roundBox+`,"distance_m":0.6,"exposure_index":1,"tube":"clear","pops":3}`)
	doses := a["doses"].([]any)
	if len(doses) != 3 {
		t.Fatalf("doses %v", doses)
	}
	lxs := a["scene_lxs"].(float64)
	for i, per := range []float64{0.04 / 12000, 11. / 12000, 12. / 12000} { // [PlateNotes2026] of 12 000 lx s
		if got := doses[i].(map[string]any)["dose"].(float64); math.Abs(got/(per*lxs)-1) > 0.05 {
			t.Errorf("%v is not %g J/m², as the fact sheet's flash in proportion [PlateNotes2026]", doses[i], per*lxs)
		}
	}
	notes := fmt.Sprint(a["notes"])
	for _, want := range []string{"epilepsy", "m from the face", "modelling lamp", "never in a steady rhythm", "dome", "inverse square would promise"} {
		if !strings.Contains(notes, want) {
			t.Errorf("the notes do not speak of %q: %s", want, notes)
		}
	}
	if strings.Contains(strings.ToLower(notes), "safe") {
		t.Errorf("the notes: %s", notes)
	}
}

func BenchmarkFlash(b *testing.B) {
	for name, q := range map[string]string{
		"stop":     `{"energy_j":2400,"lm_per_j":40,"spread":{"kind":"softbox","width_m":0.8,"height_m":1.2},"distance_m":1.2,"exposure_index":1,"tube":"clear"}`,
		"distance": `{"energy_j":2400,"lm_per_j":40,"spread":{"kind":"softbox","width_m":0.8,"height_m":1.2},"f_number":5.6,"exposure_index":1,"tube":"clear"}`,
	} {
		b.Run(name, func(b *testing.B) {
			r, _ := reckon.New().Lookup("flash")
			var out []byte
			for b.Loop() {
				var err error
				if out, err = r.AppendAnswer(out[:0], []byte(q)); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
