package reckon_test

import (
	"errors"
	"math"
	"testing"

	"platewright/reckon"
)

// By hand and from the notes; no measured curve of a wet plate is known.
func TestPlateCurve(t *testing.T) {
	for _, tt := range []struct {
		question  string
		keys      []any
		want, tol float64
		source    string
	}{
		{`{"exposures_stops":[0]}`, []any{"usable_stops"}, 3.96, .01, "[PlateNotes2026] L61"},
		{`{"exposures_stops":[0],"time_s":8,"reciprocity_p":0.9}`, []any{"time_s"}, 10.079, .0005, "[PlateNotes2026] L55"},
		// x = 2^1.6 = 3.0314; 0.02 + 0.33·3.0314/4.0314
		{`{"exposures_stops":[0,1]}`, []any{"values", 1, "reflectance"}, .26814, 5e-6, "by hand"},
		{`{"exposures_stops":[0,1]}`, []any{"values", 1, "density"}, .57164, 1e-5, "by hand"},
		{`{"exposures_stops":[0,1]}`, []any{"values", 0, "share"}, .5, 1e-12, "identity"},
		{`{"range":{"from_stops":-2,"to_stops":2},"least_reflectance":0.01,"most_reflectance":0.41,"steepness":2}`, []any{"values", 8, "reflectance"}, .01 + .4*16/17, 1e-12, "by hand"},
		{`{"exposures_stops":[0],"least_reflectance":0.01,"most_reflectance":0.41,"steepness":2}`, []any{"gamma"}, .4 / .42, 1e-12, "by hand"},
		{`{"exposures_stops":[0],"reflectances":[0.26814]}`, []any{"exposures_for_reflectances", 0}, 1, 1e-4, "by hand, the other way"},
		{`{"exposures_stops":[0],"veil_stops":3}`, []any{"least_reflectance"}, .06, 1e-12, "[PlateNotes2026] B6"},
		{`{"exposures_stops":[0],"collodion":{"iodide_mol":0,"bromide_mol":1}}`, []any{"speed_stops"}, math.Log2(.1), 1e-12, "[SchultzSellack1871]"},
		{`{"exposures_stops":[0],"collodion":{"iodide_mol":1,"bromide_mol":0}}`, []any{"sees", 14, "response"}, .27, 1e-9, "[PlateNotes2026] B1, iodide at 440 nm"},
		{`{"exposures_stops":[0]}`, []any{"sees", 14, "factor"}, 1.6, 1e-9, "[PlateNotes2026] B1"},
	} {
		got, ok := dig(t, ask(t, "curve", tt.question), tt.keys...).(float64)
		if !ok || math.Abs(got-tt.want) > tt.tol {
			t.Errorf("%s\n%v is %v, want %g ± %g %s", tt.question, tt.keys, got, tt.want, tt.tol, tt.source)
		}
	}
}

// The bands hold their figures, tones rise with exposure, age makes a plate darker.
func TestPlateCurveIsConsistent(t *testing.T) {
	for _, more := range []string{``, `,"support":"clear glass"`, `,"fixer":"cyanide"`, `,"varnished":false`, `,"veil_stops":2`, `,"age":{"age_days":60,"salt":"zinc"}`, `,"tone":"cool","most_reflectance":0.4`} {
		a := ask(t, "curve", `{"range":{"from_stops":-4,"to_stops":4}`+more+`}`)
		last := 0.0
		for i := range 17 {
			r := dig(t, a, "values", i, "reflectance").(float64)
			low, high := dig(t, a, "values", i, "band", 0).(float64), dig(t, a, "values", i, "band", 1).(float64)
			if !(low <= r && r <= high && r > last) {
				t.Errorf("%s: place %d is %g in %g to %g, after %g", more, i, r, low, high, last)
			}
			red, green, blue := dig(t, a, "values", i, "linear_rgb", 0).(float64), dig(t, a, "values", i, "linear_rgb", 1).(float64), dig(t, a, "values", i, "linear_rgb", 2).(float64)
			if y := .2126*red + .7152*green + .0722*blue; math.Abs(y-r) > 1e-9 {
				t.Errorf("%s: the colour of %g has luminance %g [IEC61966]", more, r, y)
			}
			last = r
		}
		for _, k := range []string{"least", "most"} {
			v, low, high := dig(t, a, k+"_reflectance").(float64), dig(t, a, k+"_band", 0).(float64), dig(t, a, k+"_band", 1).(float64)
			if !(low <= v && v <= high) {
				t.Errorf("%s: %s %g outside %g to %g", more, k, v, low, high)
			}
		}
	}
	const one = `{"exposures_stops":[0],"age":{"salt":"potassium","age_days":`
	young, old := dig(t, ask(t, "curve", one+`1}}`), "values", 0, "reflectance").(float64), dig(t, ask(t, "curve", one+`60}}`), "values", 0, "reflectance").(float64)
	if !(old < young) {
		t.Errorf("at 60 days %g, at one %g", old, young)
	}
}

func TestPlateCurveRefusals(t *testing.T) {
	r, ok := reckon.New().Lookup("curve")
	if !ok {
		t.Fatal("no curve")
	}
	for question, field := range map[string]string{
		`{}`: "exposures_stops",
		`{"exposures_stops":[0],"range":{"from_stops":0,"to_stops":1}}`:                       "range",
		`{"range":{"from_stops":1,"to_stops":0}}`:                                             "range.to_stops",
		`{"range":{"from_stops":-12,"to_stops":12,"step_stops":0.05}}`:                        "range.step_stops",
		`{"exposures_stops":[0],"reflectances":[0.1,0.9]}`:                                    "reflectances[1]",
		`{"exposures_stops":[0],"most_reflectance":0.015}`:                                    "most_reflectance",
		`{"exposures_stops":[0],"least_reflectance":0.4}`:                                     "most_reflectance",
		`{"exposures_stops":[0],"collodion":{"iodide_mol":0,"bromide_mol":0}}`:                "collodion.iodide_mol",
		`{"exposures_stops":[0],"support":"paper"}`:                                           "support",
		`{"exposures_stops":[0],"age":{"age_days":9000}}`:                                     "age.age_days",
		`{"exposures_stops":[0],"middle_stops":6,"age":{"age_days":3000,"salt":"potassium"}}`: "middle_stops",
	} {
		_, err := r.Answer([]byte(question))
		var fe *reckon.FieldError
		if !errors.As(err, &fe) || fe.Field != field {
			t.Errorf("%s is refused by %v, want %s", question, err, field)
		}
	}
}
