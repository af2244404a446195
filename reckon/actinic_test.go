package reckon_test

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"platewright/light"
	"platewright/reckon"
)

type actinicSaid struct {
	Stops   float64    `json:"actinic_stops"`
	Nm      float64    `json:"centroid_nm"`
	UV      float64    `json:"share_below_400nm"`
	Band    [2]float64 `json:"band_stops"`
	Spread  float64    `json:"source_sd_stops"`
	Pane    float64    `json:"glass_sd_stops"`
	Glass   float64    `json:"glass_stops"`
	Kind    light.Kind `json:"light_kind"`
	Kelvin  *float64   `json:"cct_k"`
	Notes   []string   `json:"notes"`
	Message string     `json:"-"`
}

var actinicReckoning = sync.OnceValue(func() *reckon.Reckoning {
	r, _ := reckon.New().Lookup("actinic")
	return r
})

func askActinic(t interface{ Fatal(...any) }, question string) (a actinicSaid) {
	r := actinicReckoning()
	if r == nil {
		t.Fatal("no reckoning called actinic")
	}
	raw, err := r.Answer([]byte(question))
	if err != nil {
		a.Message = err.Error()
		return a
	}
	if err := json.Unmarshal(raw, &a); err != nil {
		t.Fatal(err)
	}
	return a
}

// published: the table of actinic ratios of the notes, through the old lens, in stops against D55 [PlateNotes2026].
func TestActinicPublished(t *testing.T) {
	for _, tt := range []struct {
		source     string
		ratio, tol float64
		kind       light.Kind
	}{
		{`{"kind":"named","name":"A"}`, .284, .0005, light.Tungsten},
		{`{"kind":"planck","cct_k":3200}`, .407, .0005, light.Tungsten},
		{`{"kind":"named","name":"D65"}`, 1.346, .0005, light.Overcast},
		{`{"kind":"daylight","cct_k":7504}`, 1.662, .0005, light.Overcast},
		{`{"kind":"daylight","cct_k":5503}`, 1, 1e-9, light.AnyDaylight},
		{`{"kind":"named","name":"LED-B3"}`, .291, .0005, light.WhiteLED},
		{`{"kind":"named","name":"G173 direct"}`, .954, .0005, light.Sun},
		{`{"kind":"flash","tube":"clear"}`, 1.763, .0005, light.ClearFlash},
		{`{"kind":"flash","tube":"part UV"}`, 1.266, .0005, light.PartFlash},
		{`{"kind":"flash","tube":"UV cut"}`, .597, .0005, light.CutFlash},
		{`{"kind":"led","cct_k":4103,"pump_nm":448}`, .291, .291 * .1, light.WhiteLED}, // the family's own 0.15 stop
	} {
		a := askActinic(t, `{"source":`+tt.source+`,"glass":"old crown-flint"}`)
		if a.Message != "" || math.Abs(math.Exp2(a.Stops)-tt.ratio) > tt.tol || a.Kind != tt.kind {
			t.Errorf("%s: ratio %.4f, want %.4f ± %.4f [PlateNotes2026]; %s %s", tt.source, math.Exp2(a.Stops), tt.ratio, tt.tol, a.Kind, a.Message)
		}
	}
	// D55: 8 % of the response from 300 to 360 nm and 24 % from there to 400 nm, to the unit each; the lens costs 0.09 stop.
	a := askActinic(t, `{"source":{"kind":"named","name":"D55"},"glass":"old crown-flint"}`)
	if math.Abs(a.UV-.32) > .01 || math.Abs(a.Glass+.09) > .005 || a.Stops != 0 || a.Kelvin == nil || math.Abs(*a.Kelvin-5503) > 2 {
		t.Errorf("D55: %+v [PlateNotes2026]", a)
	}
	// Clear float is negligible, laminated glass 0.2 to 0.3 stop as if its edge were sharp (ours slopes, and takes of the violet
	// too), acrylic that stops ultraviolet 0.5 to 0.8, in D55.
	for glass, say := range map[string][2]float64{"window": {-.1, 0}, "laminated": {-.55, -.2}, "acrylic": {-.85, -.45}} {
		a := askActinic(t, `{"source":{"kind":"named","name":"D55"},"glass":"`+glass+`"}`)
		if !(a.Stops >= say[0] && a.Stops <= say[1]) || a.Stops != a.Glass {
			t.Errorf("%s: %.3f and %.3f stops, want %v [PlateNotes2026]", glass, a.Stops, a.Glass, say)
		}
	}
}

// identity: the same light by its name and by its figures, and however strong it is.
func TestActinicSpectrum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom(light.Names()).Draw(t, "name")
		k := rapid.Float64Range(1e-6, 1e6).Draw(t, "strength")
		src, err := light.Named(name)
		if err != nil {
			t.Fatal(err)
		}
		var nm, power []float64
		src.Power.Each(func(w, v float64) { nm, power = append(nm, w), append(power, k*v) })
		w, _ := json.Marshal(nm)
		p, _ := json.Marshal(power)
		glass := rapid.SampledFrom([]string{"none", "old crown-flint", "window", "laminated", "acrylic"}).Draw(t, "glass")
		one := askActinic(t, fmt.Sprintf(`{"source":{"kind":"spectrum","nm":%s,"power":%s},"glass":%q}`, w, p, glass))
		two := askActinic(t, fmt.Sprintf(`{"source":{"kind":"named","name":%q},"glass":%q}`, name, glass))
		if one.Message != "" || two.Message != "" || math.Abs(one.Stops-two.Stops) > 1e-6 || math.Abs(one.Nm-two.Nm) > 1e-6 {
			t.Fatalf("%s: %+v, and by its figures %+v", name, two, one)
		}
		if one.Kind != light.OwnSpectrum || !(two.Band[0] <= two.Stops && two.Stops <= two.Band[1]) || !(two.UV >= 0 && two.UV <= 1) {
			t.Fatalf("%s: %+v", name, two)
		}
	})
}

func TestActinicRefuses(t *testing.T) {
	for question, say := range map[string]string{
		`{"source":{"kind":"daylight","cct_k":3000}}`:                                              "cct_k",
		`{"source":{"kind":"flash","tube":"gold"}}`:                                                "tube",
		`{"source":{"kind":"named","name":"moon"}}`:                                                `no light is called "moon"`,
		`{"source":{"kind":"led","cct_k":2200,"pump_nm":425}}`:                                     "no mixture",
		`{"source":{"kind":"spectrum","nm":[400,430],"power":[1,1]}}`:                              "gap",
		`{"source":{"kind":"spectrum","nm":[400,405],"power":[1,1,1]}}`:                            "2 wavelengths and 3 values",
		`{"source":{"kind":"spectrum","nm":[400,405],"power":[0,0]}}`:                              "source",
		`{"source":{"kind":"spectrum","nm":[700,705],"power":[1,1]}}`:                              "source",
		`{"source":{"kind":"spectrum","nm":[310,315],"power":[1,1]}}`:                              "source",
		`{"source":{"kind":"daylight","cct_k":5500},"collodion":{"iodide_mol":0,"bromide_mol":0}}`: "iodide_mol",
		`{"source":{"kind":"daylight","cct_k":5500},"glass":"smoke"}`:                              "glass",
		`{}`: "source",
	} {
		if a := askActinic(t, question); !strings.Contains(a.Message, say) {
			t.Errorf("%s: %q, want it to say %q", question, a.Message, say)
		}
	}
}

// A light that hardly differs from head to head has a narrower band than one that does.
func TestActinicSpread(t *testing.T) {
	clear := askActinic(t, `{"source":{"kind":"flash","tube":"clear"}}`)
	cut := askActinic(t, `{"source":{"kind":"flash","tube":"UV cut"}}`)
	own := askActinic(t, `{"source":{"kind":"named","name":"D65"}}`)
	acrylic := askActinic(t, `{"source":{"kind":"named","name":"D65"},"glass":"acrylic"}`)
	if own.Pane != 0 || !(acrylic.Pane > .15 && acrylic.Pane < .4) || !(acrylic.Band[1]-acrylic.Band[0] > own.Band[1]-own.Band[0]) {
		t.Errorf("none %+v, acrylic %+v", own, acrylic)
	}
	if !(clear.Spread > cut.Spread && cut.Spread > own.Spread && own.Spread == 0) {
		t.Errorf("clear %g, cut %g, D65 %g", clear.Spread, cut.Spread, own.Spread)
	}
}
