package chemistry_test

import (
	"encoding/json"
	"errors"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
	"platewright/chemistry"
	"platewright/measure"
)

func shelf(t *testing.T, name string) chemistry.Recipe {
	t.Helper()
	r, err := chemistry.RecipeNamed(name)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func mixed(t *testing.T, in chemistry.Mixing) chemistry.Mixed {
	t.Helper()
	m, err := chemistry.Mix(in)
	if err != nil {
		t.Fatalf("%s: %v", in.Recipe.Name, err)
	}
	return m
}

func part(t *testing.T, m chemistry.Mixed, substance string) chemistry.Weighed {
	t.Helper()
	for _, p := range m.Parts {
		if p.Substance.Name == substance {
			return p
		}
	}
	t.Fatalf("%s holds no %s", m.Recipe.Name, substance)
	return chemistry.Weighed{}
}

// Every recipe of the shelf stands as it is: it validates, mixes, keeps its source and its cautions,
// and goes through JSON unchanged.
func TestShelf(t *testing.T) {
	count := map[chemistry.Kind]int{}
	for _, r := range chemistry.Recipes(true) {
		count[r.Kind]++
		if err := r.Validate(); err != nil {
			t.Errorf("%s: %v", r.Name, err)
		}
		if r.Source == "" || len(r.Cautions) == 0 {
			t.Errorf("%s has no source or no caution", r.Name)
		}
		m, err := chemistry.Mix(chemistry.Mixing{Recipe: r, Volume: 500, AllowCyanide: true})
		if err != nil {
			t.Errorf("%s: %v", r.Name, err)
			continue
		}
		if m.Kind != r.Kind || len(m.Order) != len(r.Parts) || len(m.Notes) == 0 {
			t.Errorf("%s: kind %q, %d steps, %d notes", r.Name, m.Kind, len(m.Order), len(m.Notes))
		}
		loose := r
		loose.Kind, loose.Name = "", ""
		if m := mixed(t, chemistry.Mixing{Recipe: loose, AllowCyanide: true}); m.Kind != r.Kind {
			t.Errorf("%s: the parts are read as %q, want %q", r.Name, m.Kind, r.Kind)
		}
		text, err := json.Marshal(r)
		if err != nil {
			t.Fatal(err)
		}
		var back chemistry.Recipe
		if err := json.Unmarshal(text, &back); err != nil {
			t.Fatal(err)
		}
		again, _ := json.Marshal(back)
		if string(again) != string(text) {
			t.Errorf("%s: JSON came back as %s, was %s", r.Name, again, text)
		}
	}
	for kind, least := range map[chemistry.Kind]int{"collodion": 5, "bath": 2, "developer": 3, "fixer": 1, "varnish": 2} {
		if count[kind] < least {
			t.Errorf("%d recipes of kind %s, want at least %d", count[kind], kind, least)
		}
	}
	for _, r := range chemistry.Recipes(false) {
		if r.HoldsCyanide() {
			t.Errorf("%s holds cyanide and is on the shelf unasked", r.Name)
		}
	}
}

// identity: strengths, halide and demand for silver, against arithmetic done by hand from the
// printed grains (g per grain 0.06479891, ounces 29.5735 and 28.4131 mL, molar masses [CRC95]).
func TestStrengths(t *testing.T) {
	for _, tt := range []struct {
		recipe, substance string
		want, tol         float64
	}{
		{"silver bath of 45 grains", "silver nitrate", 9.860, 5e-4},
		{"silver bath of 35 grains", "silver nitrate", 7.982, 5e-4},
		{"iodized silver bath of 30 grains", "silver nitrate", 6.842, 5e-4},
		{"silver bath of 9 per cent", "silver nitrate", 9.000, 1e-9},
		{"ferrotype collodion with copper", "ammonium iodide", 0.876, 5e-4},
		{"winter collodion", "cadmium iodide", 0.845, 5e-4},
		{"zinc collodion", "zinc iodide", 0.998, 5e-4},
		{"positive developer, strong", "ferrous sulphate", 8.5, 0.05},
		{"positive developer", "ferrous sulphate", 5.3, 0.05},
		{"negative developer", "ferrous sulphate", 4.1, 0.05},
		{"double salt developer", "ferrous ammonium sulphate", 3.3, 0.05},
		{"mild developer", "ferrous sulphate", 5.0, 0.05},
		{"hypo fixer", "hypo", 16.0, 0.05},
		{"hypo fixer, strong", "hypo", 20.0, 0.05},
		{"cyanide fixer", "potassium cyanide", 3.2, 0.01},
	} {
		m := mixed(t, chemistry.Mixing{Recipe: shelf(t, tt.recipe), Volume: 250, AllowCyanide: true})
		if got := part(t, m, tt.substance).Strength; got == nil || math.Abs(float64(*got)-tt.want) > tt.tol {
			t.Errorf("%s: %s %v %% w/v, want %g ± %g", tt.recipe, tt.substance, got, tt.want, tt.tol)
		}
	}
	for _, tt := range []struct {
		recipe                  string
		mmolPerML, ratio, agPML float64
	}{
		{"ferrotype collodion with copper", 0.1201, 2.36, 20.4}, {"ferrotype collodion", 0.1095, 1.72, 18.6},
		{"negative collodion", 0.1052, 0.76, 17.9}, {"general collodion", 0.0794, 3.93, 13.5},
		{"hot weather collodion", 0.1018, 1.65, 17.3}, {"winter collodion", 0.1099, 2.41, 18.7}, {"zinc collodion", 0.1005, 1.65, 17.1},
	} {
		m := mixed(t, chemistry.Mixing{Recipe: shelf(t, tt.recipe), Volume: 1000})
		ratio := *m.IodideShare / (1 - *m.IodideShare)
		if math.Abs(m.Halide-tt.mmolPerML) > 1.5e-4 || math.Abs(ratio-tt.ratio) > 0.01 || math.Abs(m.SilverDemand-tt.agPML) > 0.06 {
			t.Errorf("%s: halide %.4f mol/L, I:Br %.3f, %.2f g AgNO3 per litre, want %g, %g, %g", tt.recipe, m.Halide, ratio, m.SilverDemand,
				tt.mmolPerML, tt.ratio, tt.agPML)
		}
	}
	dev := mixed(t, chemistry.Mixing{Recipe: shelf(t, "positive developer, strong")})
	if acetic := part(t, dev, "acetic acid").VolumePct; math.Abs(*acetic-8.1) > 0.05 {
		t.Errorf("acetic acid %.3f %% v/v, want 8.1", *acetic)
	}
}

// A litre of 9 % bath is 90.00 g of silver nitrate and 983 g of water, not a litre of water.
func TestBathByWeight(t *testing.T) {
	m := mixed(t, chemistry.Mixing{Recipe: shelf(t, "silver bath of 9 per cent"), Volume: 1000})
	if g := float64(*part(t, m, "water").Mass); math.Abs(g-983.0) > 0.5 {
		t.Errorf("water %.2f g, want 983.0 ± 0.5", g)
	}
	if p := part(t, m, "water"); !p.ToVolume || part(t, m, "silver nitrate").ToVolume {
		t.Error("the water is what is filled up, and nothing else")
	}
	// A trace of iodide leaves the density known; a twentieth of alcohol does not.
	if d := mixed(t, chemistry.Mixing{Recipe: shelf(t, "iodized silver bath of 30 grains")}).Density; d == nil {
		t.Error("iodized bath: no density")
	}
	r := shelf(t, "silver bath of 9 per cent")
	r.Parts = append(slices.Clone(r.Parts), chemistry.Part{Substance: "alcohol", Amount: 50, Unit: "ml"})
	if d := mixed(t, chemistry.Mixing{Recipe: r}).Density; d != nil {
		t.Errorf("bath with alcohol: density %v, want none", *d)
	}
	// published points on either side: 5 % by mass 1.0417, 10 % by mass 1.0882 [ETB1958].
	if d := float64(*m.Density); d < 1.0417 || d > 1.0882 || math.Abs(d-1.0730) > 5e-4 {
		t.Errorf("density %.5f g/mL, want 1.0730 ± 0.0005", d)
	}
}

// Hydrated cadmium bromide gives a fifth less bromide than the dry salt: 7.347 and 5.809 mmol a gram.
func TestHydrates(t *testing.T) {
	for name, want := range map[string]float64{"cadmium bromide": 7.347, "cadmium bromide tetrahydrate": 5.809} {
		r := chemistry.Recipe{Parts: []chemistry.Part{{Substance: name, Amount: 1, Unit: "g"}, {Substance: "alcohol", ToVolume: true}},
			Makes: chemistry.Amount{Value: 1, Unit: "l"}}
		m := mixed(t, chemistry.Mixing{Recipe: r, Volume: 1000})
		if got := m.Halide * 1000; math.Abs(got-want) > 0.001 {
			t.Errorf("%s: %.4f mmol bromide a gram, want %g", name, got, want)
		}
	}
}

// What is wrong with a line is said with its place and what is allowed.
func TestBadRecipes(t *testing.T) {
	good := []chemistry.Part{{Substance: "silver nitrate", Amount: 9, Unit: "g"}, {Substance: "water", Amount: 100, Unit: "ml"}}
	line := func(p chemistry.Part) chemistry.Recipe { return chemistry.Recipe{Parts: append(slices.Clone(good), p)} }
	for _, tt := range []struct {
		name    string
		recipe  chemistry.Recipe
		field   string
		message string
	}{
		{"no parts", chemistry.Recipe{}, "parts", "1 to 40"},
		{"unknown substance", line(chemistry.Part{Substance: "phlogiston", Amount: 1, Unit: "g"}), "parts[2].substance", "alcohol, alcohol 96 %"},
		{"unknown unit", line(chemistry.Part{Substance: "sugar", Amount: 1, Unit: "stone"}), "parts[2]", "mg, g, kg, gr"},
		{"solid by volume", line(chemistry.Part{Substance: "sugar", Amount: 1, Unit: "ml"}), "parts[2]", "sugar is a solid"},
		{"ambiguous ounce", line(chemistry.Part{Substance: "sugar", Amount: 1, Unit: "oz"}), "parts[2]", "imperial, us or apothecary"},
		{"no amount", line(chemistry.Part{Substance: "sugar", Unit: "g"}), "parts[2]", "above 0"},
		{"not a number", line(chemistry.Part{Substance: "sugar", Amount: math.NaN(), Unit: "g"}), "parts[2]", "above 0"},
		{"filled without makes", line(chemistry.Part{Substance: "water", ToVolume: true}), "parts[2]", "makes"},
		{"unknown system", chemistry.Recipe{Parts: good, System: "roman"}, "system", "metric, imperial, us, apothecary"},
		{"unknown kind", chemistry.Recipe{Parts: good, Kind: "soup"}, "kind", "collodion, bath, developer, fixer, varnish"},
		{"too strong to fill up", chemistry.Recipe{Parts: []chemistry.Part{{Substance: "silver nitrate", Amount: 900, Unit: "g"}, {Substance: "water", ToVolume: true}},
			Makes: chemistry.Amount{Value: 1000, Unit: "ml"}}, "makes", "90 % w/v is outside 0 to 58.96999"},
		{"too strong to pour", chemistry.Recipe{Parts: []chemistry.Part{{Substance: "silver nitrate", Amount: 900, Unit: "g"}, {Substance: "water", Amount: 1, Unit: "ml"}}},
			"parts", "is outside 0 to 0.4"},
		{"makes too little", chemistry.Recipe{Parts: good, Makes: chemistry.Amount{Value: 50, Unit: "ml"}}, "makes", "less than its liquids"},
	} {
		_, err := chemistry.Mix(chemistry.Mixing{Recipe: tt.recipe})
		var fe *chemistry.FieldError
		if !errors.As(err, &fe) || fe.Field != tt.field || !strings.Contains(err.Error(), tt.message) {
			t.Errorf("%s: got %v, want field %s and %q", tt.name, err, tt.field, tt.message)
		}
	}
	for _, v := range []float64{-1, 1e9, math.NaN(), math.Inf(1)} {
		_, err := chemistry.Mix(chemistry.Mixing{Recipe: chemistry.Recipe{Parts: good}, Volume: measure.Volume(v)})
		var re *measure.RangeError
		if !errors.As(err, &re) {
			t.Errorf("volume %v: got %v, want a range error", v, err)
		}
	}
	if _, err := chemistry.RecipeNamed("elixir"); err == nil || !strings.Contains(err.Error(), "hypo fixer") || strings.Contains(err.Error(), "cyanide") {
		t.Errorf("unknown recipe: %v", err)
	}
}

// The ounce is read by the author: liquid as fluid ounce, solid as avoirdupois unless apothecary;
// a drachm of a solid is 60 grains in all [HB44].
func TestOunces(t *testing.T) {
	for _, tt := range []struct {
		system       chemistry.System
		grams, fluid float64
	}{
		{chemistry.US, 28.349523125, 29.5735295625}, {chemistry.Imperial, 28.349523125, 28.4130625}, {chemistry.Apothecary, 31.1034768, 29.5735295625},
	} {
		oz := chemistry.Amount{Value: 1, Unit: "oz"}
		if m, err := oz.MassIn(tt.system); err != nil || math.Abs(float64(m)-tt.grams) > 1e-9 {
			t.Errorf("%s ounce of a solid: %v g, %v, want %v [HB44]", tt.system, m, err, tt.grams)
		}
		if v, err := oz.VolumeIn(tt.system); err != nil || math.Abs(float64(v)-tt.fluid) > 1e-9 {
			t.Errorf("%s ounce of a liquid: %v mL, %v, want %v [HB44]", tt.system, v, err, tt.fluid)
		}
		if m, err := (chemistry.Amount{Value: 1, Unit: "drachm"}).MassIn(tt.system); err != nil || math.Abs(float64(m)-3.8879346) > 1e-9 {
			t.Errorf("%s drachm of a solid: %v g, %v [HB44]", tt.system, m, err)
		}
	}
}

// identity: scaling is linear, strengths do not depend on it, trade amounts stay within half a per
// cent of the exact ones, and a part is somewhere in the order exactly once.
func TestScaling(t *testing.T) {
	recipes := chemistry.Recipes(true)
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.SampledFrom(recipes).Draw(t, "recipe")
		v := rapid.Float64Range(1, 50_000).Draw(t, "volume")
		units := rapid.SampledFrom(chemistry.Systems()).Draw(t, "units")
		one, err := chemistry.Mix(chemistry.Mixing{Recipe: r, Volume: measure.Volume(v), Units: units, AllowCyanide: true})
		if err != nil {
			t.Fatal(err)
		}
		two, err := chemistry.Mix(chemistry.Mixing{Recipe: r, Volume: measure.Volume(2 * v), Units: units, AllowCyanide: true})
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(one.Halide-two.Halide) > 1e-12 {
			t.Fatalf("halide %v and %v", one.Halide, two.Halide)
		}
		for i, p := range one.Parts {
			q := two.Parts[i]
			if p.Mass != nil && math.Abs(float64(*q.Mass / *p.Mass)-2) > 1e-9 {
				t.Fatalf("%s: %v g and %v g", p.Substance.Name, *p.Mass, *q.Mass)
			}
			if p.Volume != nil && math.Abs(float64(*q.Volume / *p.Volume)-2) > 1e-9 {
				t.Fatalf("%s: %v mL and %v mL", p.Substance.Name, *p.Volume, *q.Volume)
			}
			var exact, shown float64
			if p.Substance.Liquid {
				back, err := p.Trade.VolumeIn(units)
				if err != nil {
					t.Fatal(err)
				}
				exact, shown = float64(*p.Volume), float64(back)
			} else {
				back, err := p.Trade.MassIn(units)
				if err != nil {
					t.Fatal(err)
				}
				exact, shown = float64(*p.Mass), float64(back)
			}
			if math.Abs(shown/exact-1) > 0.00501 {
				t.Fatalf("%s: shown as %v, which is %v, of %v", p.Substance.Name, p.Trade, shown, exact)
			}
			if laid := laidOut(t, p, units); math.Abs(laid-exact) > 0.005*exact+0.035 { // 0.035: half a grain or minim
				t.Fatalf("%s: laid out as %q, which is %v, of %v", p.Substance.Name, p.Text, laid, exact)
			}
		}
		var inOrder, inParts []string
		for i, s := range one.Order {
			inOrder, inParts = append(inOrder, s.Substance), append(inParts, one.Parts[i].Substance.Name)
			if s.Why == "" {
				t.Fatalf("%s has no reason for its place", s.Substance)
			}
		}
		slices.Sort(inOrder)
		slices.Sort(inParts)
		if !slices.Equal(inOrder, inParts) {
			t.Fatalf("order %v, parts %v", inOrder, inParts)
		}
	})
}

// laidOut adds up the words of a part's text.
func laidOut(t *rapid.T, p chemistry.Weighed, units chemistry.System) (sum float64) {
	words := strings.Fields(p.Text)
	for len(words) > 0 {
		n, err := strconv.ParseFloat(words[0], 64)
		if err != nil {
			t.Fatalf("%q: %v", p.Text, err)
		}
		end := 1
		for end < len(words) && !strings.ContainsAny(words[end][:1], "0123456789") {
			end++
		}
		a := chemistry.Amount{Value: n, Unit: chemistry.Unit(strings.Join(words[1:end], " "))}
		if p.Substance.Liquid {
			v, err := a.VolumeIn(units)
			if err != nil {
				t.Fatal(err)
			}
			sum += float64(v)
		} else {
			m, err := a.MassIn(units)
			if err != nil {
				t.Fatal(err)
			}
			sum += float64(m)
		}
		words = words[end:]
	}
	return sum
}

// A text of weights is what stands on the scale: 98.60 g is 3 oz av and 209 gr, or 3 oz ap 1 drachm
// and a scruple, within a grain [HB44].
func TestLaidOut(t *testing.T) {
	for units, want := range map[chemistry.System]string{
		chemistry.US: "3 oz av 209 gr", chemistry.Apothecary: "3 oz ap 1 drachm 1 scruple 2 gr", chemistry.Metric: "98.6 g",
	} {
		m := mixed(t, chemistry.Mixing{Recipe: shelf(t, "silver bath of 45 grains"), Volume: 1000, Units: units})
		if got := part(t, m, "silver nitrate").Text; got != want {
			t.Errorf("%s: %q, want %q", units, got, want)
		}
	}
}

// The order keeps its three rules wherever the parts are present.
func TestOrder(t *testing.T) {
	at := func(m chemistry.Mixed, name string) int {
		return slices.IndexFunc(m.Order, func(s chemistry.Step) bool { return s.Substance == name })
	}
	for _, r := range chemistry.Recipes(true) {
		m := mixed(t, chemistry.Mixing{Recipe: r, AllowCyanide: true})
		if i := at(m, "ether"); i >= 0 && i != len(m.Order)-1 {
			t.Errorf("%s: ether is %d of %d, want last", r.Name, i+1, len(m.Order))
		}
		if a, w := at(m, "acetic acid"), at(m, "water"); a >= 0 && a < w {
			t.Errorf("%s: acid before water", r.Name)
		}
		if i := at(m, "water"); i > 0 {
			t.Errorf("%s: water is %d, want first", r.Name, i+1)
		}
	}
}

// Every statement of a part stands on the mixture's label, or a graver one of its family does.
func TestLabelLeavesNothingOut(t *testing.T) {
	graver := map[string][]string{
		"H225": {"H224"}, "H226": {"H224", "H225"}, "H302": {"H300", "H301"}, "H301": {"H300"}, "H312": {"H310", "H311"}, "H315": {"H314"},
		"H319": {"H314", "H318"}, "H318": {"H314"}, "H332": {"H330", "H331"}, "H373": {"H372"}, "H400": {"H410"}, "H412": {"H410", "H411"},
	}
	for _, r := range chemistry.Recipes(true) {
		m := mixed(t, chemistry.Mixing{Recipe: r, AllowCyanide: true})
		on := map[string]bool{}
		for _, s := range m.Label.Statements {
			on[s.Code] = true
			for _, g := range graver[s.Code] {
				if on[g] {
					t.Errorf("%s: both %s and %s", r.Name, s.Code, g)
				}
			}
		}
		for _, p := range m.Parts {
			if p.Substance.Name == "acetic acid" || p.Substance.Name == "pyroxylin" {
				continue // diluted, and wetted: TestLabel
			}
			for _, code := range p.Substance.Hazard.Statements {
				if !on[code] && !slices.ContainsFunc(graver[code], func(g string) bool { return on[g] }) {
					t.Errorf("%s: %s of %s is not on the label", r.Name, code, p.Substance.Name)
				}
			}
			if p.Substance.Hazard.Signal == chemistry.Danger && m.Label.Signal != chemistry.Danger {
				t.Errorf("%s: signal word %q", r.Name, m.Label.Signal)
			}
		}
	}
}

// The label warns of everything its parts warn of, or of something graver of the same family; a
// dilute acid is not called corrosive, and the dry cotton's explosion is told in a note.
func TestLabel(t *testing.T) {
	codes := func(m chemistry.Mixed) (out []string) {
		for _, s := range m.Label.Statements {
			out = append(out, s.Code)
		}
		return out
	}
	c := mixed(t, chemistry.Mixing{Recipe: shelf(t, "general collodion")})
	if got := codes(c); c.Label.Signal != "Danger" || !slices.Contains(got, "H224") || slices.Contains(got, "H225") ||
		!slices.Contains(got, "H350") || slices.Contains(got, "H201") || !strings.Contains(strings.Join(c.Notes, " "), "H201") {
		t.Errorf("general collodion: %s %v", c.Label.Signal, got)
	}
	// The skull drives out the exclamation mark [CLP2008, art. 26], from memory.
	if want := []string{"GHS02", "GHS06", "GHS08", "GHS09"}; !slices.Equal(c.Label.Pictograms, want) {
		t.Errorf("general collodion: pictograms %v, want %v", c.Label.Pictograms, want)
	}
	// concentration limits of acetic acid, from memory [CLP2008]: nothing below 10 %, irritant to
	// 25 %, corrosive above.
	for _, tt := range []struct {
		ml      float64
		has     string
		without string
	}{{50, "H226", "H319"}, {150, "H319", "H314"}, {300, "H314", "H319"}} {
		m := mixed(t, chemistry.Mixing{Recipe: chemistry.Recipe{Makes: chemistry.Amount{Value: 1000, Unit: "ml"}, Parts: []chemistry.Part{
			{Substance: "acetic acid", Amount: tt.ml, Unit: "ml"}, {Substance: "water", ToVolume: true}}}})
		if got := codes(m); !slices.Contains(got, tt.has) || slices.Contains(got, tt.without) {
			t.Errorf("%g mL acetic acid in a litre: %v, want %s and not %s", tt.ml, got, tt.has, tt.without)
		}
	}
}

func FuzzAmountJSON(f *testing.F) {
	for _, s := range []string{`5`, `{"amount":2,"unit":"oz"}`, `"x"`, `{}`, `[]`, `1e999`} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		var a chemistry.Amount
		if json.Unmarshal([]byte(s), &a) != nil {
			return
		}
		if v, err := a.VolumeIn(chemistry.US); err == nil && !(v > 0 && v < 1e12) {
			t.Fatalf("%s is %v mL without an error", s, v)
		}
	})
}
