package chemistry_test

import (
	"errors"
	"slices"
	"testing"

	"platewright/chemistry"
)

// What must not meet is refused by name; each rule has a mixture that trips it.
func TestRefusals(t *testing.T) {
	p := func(substance string, amount float64, unit chemistry.Unit) chemistry.Part {
		return chemistry.Part{Substance: substance, Amount: amount, Unit: unit}
	}
	w := p("water", 1000, "ml")
	for _, tt := range []struct {
		rule  string
		parts []chemistry.Part
	}{
		{"cyanide and acid", []chemistry.Part{w, p("potassium cyanide", 10, "g"), p("acetic acid", 1, "ml")}},
		{"cyanide and iron developer", []chemistry.Part{w, p("potassium cyanide", 10, "g"), p("ferrous sulphate", 1, "g")}},
		{"cyanide and silver nitrate", []chemistry.Part{w, p("potassium cyanide", 10, "g"), p("silver nitrate", 1, "g")}},
		{"cyanide and an oxidiser", []chemistry.Part{w, p("potassium cyanide", 10, "g"), p("sodium nitrite", 1, "g")}},
		{"cyanide and bleach", []chemistry.Part{w, p("potassium cyanide", 10, "g"), p("bleach", 1, "ml")}},
		{"cyanide in company", []chemistry.Part{w, p("potassium cyanide", 10, "g"), p("tannin", 1, "g")}},
		{"cyanide in company", []chemistry.Part{w, p("potassium cyanide", 10, "g"), p("copper sulphate", 1, "g")}},
		{"cyanide in company", []chemistry.Part{w, p("potassium cyanide", 10, "g"), p("sodium bicarbonate", 1, "g")}},
		{"silver, ammonium salt and alkali", []chemistry.Part{w, p("silver nitrate", 90, "g"), p("ammonium bromide", 1, "g"), p("sodium bicarbonate", 1, "g")}},
		{"silver and ammonia", []chemistry.Part{w, p("silver nitrate", 90, "g"), p("ammonia solution", 1, "drop")}},
		{"silver, nitric acid and alcohol", []chemistry.Part{w, p("silver nitrate", 90, "g"), p("nitric acid", 1, "drop"), p("alcohol", 5, "ml")}},
		{"nitric acid and alcohol", []chemistry.Part{p("nitric acid", 10, "ml"), p("alcohol", 10, "ml")}},
		// Weighed acid has no volume to be found dilute by, alone or beside a measured drop.
		{"nitric acid and alcohol", []chemistry.Part{p("water", 1, "ml"), p("nitric acid", 50, "g"), p("alcohol", 100, "ml")}},
		{"nitric acid and alcohol", []chemistry.Part{w, p("nitric acid", 1, "drop"), p("nitric acid", 50, "g"), p("alcohol", 10, "ml")}},
		{"nitric acid and alcohol", []chemistry.Part{p("water", 1, "ml"), p("nitric acid", 50, "ml"), p("sugar", 10, "g")}},
		{"sulphuric acid and what burns", []chemistry.Part{w, p("sulphuric acid", 50, "ml"), p("alcohol", 50, "ml")}},
		{"nitrate, strong acid and what burns", []chemistry.Part{w, p("sulphuric acid", 1, "ml"), p("potassium nitrate", 50, "g"), p("pyroxylin", 5, "g")}},
		{"nitric and hydrochloric acid", []chemistry.Part{w, p("nitric acid", 1, "ml"), p("hydrochloric acid", 1, "ml")}},
		{"nitrite and acid", []chemistry.Part{w, p("sodium nitrite", 10, "g"), p("citric acid", 1, "g")}},
		{"chlorate and acid", []chemistry.Part{w, p("potassium chlorate", 10, "g"), p("sulphuric acid", 1, "ml")}},
		{"chlorate or nitrite and ammonium salt", []chemistry.Part{w, p("potassium chlorate", 10, "g"), p("ammonium iodide", 1, "g")}},
		{"chlorate or nitrite and ammonium salt", []chemistry.Part{w, p("sodium nitrite", 10, "g"), p("ammonia solution", 1, "ml")}},
		{"chlorate and organic matter", []chemistry.Part{w, p("potassium chlorate", 10, "g"), p("hypo", 10, "g")}},
		{"peroxide and acid", []chemistry.Part{w, p("hydrogen peroxide", 10, "ml"), p("acetic acid", 10, "ml")}},
		{"bleach and ammonia", []chemistry.Part{w, p("bleach", 10, "ml"), p("ammonium bromide", 10, "g")}},
		{"nitrate, iron and mineral acid", []chemistry.Part{w, p("potassium nitrate", 10, "g"), p("ferrous sulphate", 10, "g"), p("sulphuric acid", 1, "ml")}},
		{"oxidiser and dry organic matter", []chemistry.Part{p("potassium nitrate", 10, "g"), p("sugar", 10, "g")}},
		// A drop of water wets nothing.
		{"oxidiser and dry organic matter", []chemistry.Part{p("water", 1, "drop"), p("potassium nitrate", 10, "g"), p("charcoal", 10, "g")}},
		{"oxidiser and dry organic matter", []chemistry.Part{p("alcohol", 49, "ml"), p("silver nitrate", 5, "g"), p("tannin", 5, "g")}},
		{"chlorate and organic matter", []chemistry.Part{w, p("potassium chlorate", 10, "g"), p("sugar", 10, "g")}},
		{"peroxide and ether", []chemistry.Part{w, p("hydrogen peroxide", 10, "ml"), p("ether", 10, "ml")}},
		{"hypo and acid", []chemistry.Part{w, p("hypo", 200, "g"), p("acetic acid", 10, "ml")}},
		{"hypo and bleach", []chemistry.Part{w, p("hypo", 200, "g"), p("bleach", 10, "ml")}},
		{"bleach and acid", []chemistry.Part{w, p("bleach", 10, "ml"), p("acetic acid", 10, "ml")}},
		{"bleach and ammonia", []chemistry.Part{w, p("bleach", 10, "ml"), p("ammonia solution", 10, "ml")}},
		{"bleach and solvent", []chemistry.Part{w, p("bleach", 10, "ml"), p("alcohol", 10, "ml")}},
	} {
		r := chemistry.Recipe{Parts: tt.parts, Makes: chemistry.Amount{Value: 1020, Unit: "ml"}}
		_, err := chemistry.Mix(chemistry.Mixing{Recipe: r, AllowCyanide: true})
		var no *chemistry.Refusal
		if !errors.As(err, &no) || no.Rule != tt.rule || no.Why == "" || no.Source == "" {
			t.Errorf("%s: got %v", tt.rule, err)
		}
		// The order in which the lines are written does not matter.
		slices.Reverse(r.Parts)
		if _, err := chemistry.Mix(chemistry.Mixing{Recipe: r, AllowCyanide: true}); !errors.As(err, &no) || no.Rule != tt.rule {
			t.Errorf("%s, lines reversed: got %v", tt.rule, err)
		}
	}
	var no *chemistry.Refusal
	if _, err := chemistry.Mix(chemistry.Mixing{Recipe: shelf(t, "cyanide fixer")}); !errors.As(err, &no) || no.Rule != "cyanide not allowed" {
		t.Errorf("cyanide unasked: %v", err)
	}
	// A drop of acid in a plain bath is how baths are kept, and is mixed.
	bath := chemistry.Recipe{Parts: []chemistry.Part{w, p("silver nitrate", 90, "g"), p("nitric acid", 2, "drop")}}
	mixed(t, chemistry.Mixing{Recipe: bath})
	// So is a developer with alcohol and a drop of nitric acid, which is very dilute.
	developer := chemistry.Recipe{Parts: []chemistry.Part{w, p("alcohol", 30, "ml"), p("nitric acid", 2, "drop"), p("copper sulphate", 10, "g")}}
	mixed(t, chemistry.Mixing{Recipe: developer})
	// Nor is an oxidiser that swims in its liquid refused with a little sugar.
	mixed(t, chemistry.Mixing{Recipe: chemistry.Recipe{Parts: []chemistry.Part{w, p("potassium nitrate", 10, "g"), p("sugar", 10, "g")}}})
}
