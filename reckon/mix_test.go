package reckon_test

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"platewright/chemistry"
	"platewright/reckon"
)

func dig(t *testing.T, v any, keys ...any) any {
	t.Helper()
	for _, k := range keys {
		switch k := k.(type) {
		case string:
			m, ok := v.(map[string]any)
			if !ok || m[k] == nil {
				t.Fatalf("no %v in %v", k, v)
			}
			v = m[k]
		case int:
			l, ok := v.([]any)
			if !ok || k >= len(l) {
				t.Fatalf("no place %d in %v", k, v)
			}
			v = l[k]
		}
	}
	return v
}

// identity: hand arithmetic from printed grains [HB44]; published: molar masses [CRC95] from
// memory, densities between printed points [ETB1958].
func TestMix(t *testing.T) {
	const written = `"recipe":{"system":"us","makes":{"amount":1,"unit":"fl oz"},"parts":[
		{"substance":"cadmium bromide","amount":1,"unit":"gr"},{"substance":"ammonium bromide","amount":1,"unit":"gr"},
		{"substance":"cadmium iodide","amount":1.5,"unit":"gr"},{"substance":"ammonium iodide","amount":3,"unit":"gr"},
		{"substance":"alcohol","to_volume":true}]}`
	for _, tt := range []struct {
		question  string
		keys      []any
		want, tol float64
		source    string
	}{
		{`{"recipe":"silver bath of 45 grains"}`, []any{"percent", "silver nitrate"}, 9.860, 5e-4, "45 gr to the US fluid ounce [HB44]"},
		{`{"recipe":"silver bath of 45 grains","volume_ml":1000}`, []any{"parts", 0, "g"}, 98.60, 5e-3, "45 gr to the US fluid ounce [HB44]"},
		{`{"recipe":"silver bath of 45 grains","volume_ml":1000,"units":"us"}`, []any{"parts", 0, "amount"}, 3.48, 1e-9, "98.60 g over 28.3495 g [HB44]"},
		{`{"recipe":"silver bath of 45 grains","volume_ml":1000,"units":"apothecary"}`, []any{"parts", 0, "amount"}, 3.17, 1e-9, "98.60 g over 31.1035 g [HB44]"},
		{`{"recipe":{"parts":[{"substance":"silver nitrate","amount":10,"unit":"g"},{"substance":"water","amount":90,"unit":"g"}]}}`,
			[]any{"density_g_ml"}, 1.0882, 3.5e-4, "10 % by mass [ETB1958]"},
		{`{` + written + `}`, []any{"halide_mol_per_l"}, 0.1018, 1e-4, "grains of [Wilson1881] over molar masses [CRC95]"},
		{`{` + written + `}`, []any{"iodide_share"}, 1.65 / 2.65, 1e-3, "grains of [Wilson1881] over molar masses [CRC95]"},
		{`{` + written + `,"volume_ml":500}`, []any{"silver_demand_g_per_l"}, 17.3, 0.05, "the same with AgNO3 169.87 [CRC95]"},
		{`{"recipe":{"makes":500,"parts":[{"substance":"hypo","amount":100,"unit":"g"},{"substance":"water","to_volume":true}]},"volume_ml":1000}`,
			[]any{"parts", 0, "g"}, 200, 1e-9, "twice"},
		{`{"recipe":"cyanide fixer","volume_ml":1000,"allow_cyanide":true}`, []any{"percent", "potassium cyanide"}, 3.20, 0.01, "1 oz av in 30 US fl oz [HB44]"},
	} {
		got, ok := dig(t, ask(t, "mix", tt.question), tt.keys...).(float64)
		if !ok || math.Abs(got-tt.want) > tt.tol {
			t.Errorf("mix %s: %v = %v, want %v ± %v (%s)", tt.question, tt.keys, got, tt.want, tt.tol, tt.source)
		}
	}
	a := ask(t, "mix", `{"recipe":"general collodion","volume_ml":300}`)
	if dig(t, a, "label", "signal") != "Danger" || dig(t, a, "kind") != "collodion" || len(dig(t, a, "refusals").([]any)) != 0 {
		t.Errorf("general collodion: %v", a)
	}
}

// What is wrong is said with its key; what must not meet is refused with the reason.
func TestMixRefuses(t *testing.T) {
	for _, tt := range []struct {
		question, field, message string
		refused                  bool
	}{
		{`{"recipe":"elixir"}`, "recipe", "hypo fixer", false},
		{`{"volume_ml":5}`, "recipe", "missing", false},
		{`{"recipe":"hypo fixer","volume_ml":0}`, "volume_ml", "1 to 200000", false},
		{`{"recipe":"hypo fixer","units":"roman"}`, "units", `"apothecary"`, false},
		{`{"recipe":"hypo fixer","colour":"red"}`, "colour", "allow_cyanide", false},
		{`{"recipe":{"parts":[]}}`, "recipe.parts", "1 to 40", false},
		{`{"recipe":{"parts":[{"substance":"lead","amount":1,"unit":"g"}]}}`, "recipe.parts[0].substance", "silver nitrate", false},
		{`{"recipe":{"parts":[{"substance":"water","amount":1,"unit":"oz"}]}}`, "recipe.parts[0]", "imperial, us or apothecary", false},
		{`{"recipe":{"parts":[{"substance":"water","amount":-1,"unit":"ml"}]}}`, "recipe.parts[0].amount", "0.000001 to 1000000", false},
		{`{"recipe":{"parts":[{"substance":"water"}]}}`, "recipe.parts[0]", "unit", false},
		{`{"recipe":"cyanide fixer"}`, "recipe", "allow_cyanide", true},
		{`{"recipe":{"parts":[{"substance":"water","amount":1,"unit":"l"},{"substance":"silver nitrate","amount":90,"unit":"g"},
			{"substance":"ammonia","amount":1,"unit":"ml"}]}}`, "recipe", "fulminating silver", true},
	} {
		r, _ := reckon.New().Lookup("mix")
		_, err := r.Answer([]byte(tt.question))
		var fe *reckon.FieldError
		var no *chemistry.Refusal
		if !errors.As(err, &fe) || fe.Field != tt.field || !strings.Contains(fe.Message, tt.message) || errors.As(err, &no) != tt.refused {
			t.Errorf("mix %s: got %v, want field %s and %q", tt.question, err, tt.field, tt.message)
		}
	}
}

// A recipe of the shelf, written out as the studio keeps it, is mixed as when it is named.
func TestMixTakesKeptRecipes(t *testing.T) {
	for _, recipe := range chemistry.Recipes(true) {
		text, err := json.Marshal(recipe)
		if err != nil {
			t.Fatal(err)
		}
		name, _ := json.Marshal(recipe.Name)
		r, _ := reckon.New().Lookup("mix")
		named, err := r.Answer([]byte(`{"volume_ml":250,"allow_cyanide":true,"recipe":` + string(name) + `}`))
		if err != nil {
			t.Fatal(err)
		}
		whole, err := r.Answer([]byte(`{"volume_ml":250,"allow_cyanide":true,"recipe":` + string(text) + `}`))
		if err != nil || string(whole) != string(named) {
			t.Errorf("%s: written out %s, %v; named %s", recipe.Name, whole, err, named)
		}
	}
}
