package collodion_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"platewright/collodion"
	"platewright/light"
	"platewright/measure"
)

func TestCurve(t *testing.T) {
	c := collodion.UsualCurve()
	from, to := c.Range()
	near(t, "from a tenth to nine tenths", float64(to-from), 3.96, .01, "[PlateNotes2026] L61")
	near(t, "share at the lower end", c.Share(from.Factor()), .1, 1e-12, "identity")
	near(t, "share at the upper end", c.Share(to.Factor()), .9, 1e-12, "identity")
	near(t, "middle", c.Reflectance(1), (c.Least+c.Most)/2, 1e-12, "identity")
	near(t, "no light", c.Reflectance(0), c.Least, 0, "identity")
	near(t, "blocked shadows", c.Reflectance(1e-6), c.Least, 1e-6, "identity")
	near(t, "burnt whites", c.Reflectance(1e6), c.Most, 1e-6, "identity")
	// The density's slope about the middle, by differences.
	const d = 1e-5
	slope := (c.Density(math.Pow(10, -d)) - c.Density(math.Pow(10, d))) / (2 * d)
	near(t, "gamma", c.Gamma(), slope, 1e-6, "identity")
	// By hand: x = 2^1.6 = 3.0314, R = 0.02 + 0.33·3.0314/4.0314 = 0.26814, D = 0.57164
	near(t, "a stop over", c.Reflectance(2), .26814, 5e-6, "by hand")
	near(t, "density a stop over", c.Density(2), .57164, 1e-5, "by hand")
	if got := c.Veiled(-2); got != c {
		t.Errorf("under-exposure veils: %+v", got)
	}
	near(t, "veil of three stops", c.Veiled(3).Least, .06, 1e-12, "[PlateNotes2026] B6")
	near(t, "veil of ten", c.Veiled(10).Least, .06, 1e-12, "[PlateNotes2026] B6")
}

// Every figure of every finish lies in its own range, and in the notes' for varnished black metal. Cyanide is the
// whiter, clear glass never the blacker [PlateNotes2026].
func TestFinishes(t *testing.T) {
	in := func(what string, v float64, s collodion.Span) {
		t.Helper()
		if !(s.Low <= v && v <= s.High) {
			t.Errorf("%s is %g, outside %g to %g", what, v, s.Low, s.High)
		}
	}
	usual := collodion.UsualCurve()
	for _, support := range collodion.Supports() {
		white := map[collodion.Fixer]float64{}
		for _, fixer := range []collodion.Fixer{"unknown", "thiosulfate", "cyanide"} {
			for _, bare := range []bool{false, true} {
				f := collodion.Finish{Support: support, Fixer: fixer, Unvarnished: bare}
				c, s, err := collodion.CurveOf(f)
				if err != nil {
					t.Fatal(err)
				}
				what := fmt.Sprint(f)
				in(what+" least", c.Least, s.Least)
				in(what+" most", c.Most, s.Most)
				in(what+" steepness", c.Steepness, s.Steepness)
				if err := c.Check(); err != nil || c.Least < usual.Least || c.From == "" {
					t.Errorf("%s: %+v, %v", what, c, err)
				}
				white[fixer] = c.Most
			}
		}
		if !(white["thiosulfate"] < white["unknown"] && white["unknown"] < white["cyanide"]) {
			t.Errorf("%s: whites %v", support, white)
		}
	}
	c, s, err := collodion.CurveOf(collodion.Finish{Support: collodion.BlackMetal})
	if err != nil {
		t.Fatal(err)
	}
	in("black metal", c.Least, collodion.Span{Low: .01, High: .03})
	in("density of black, most", -math.Log10(s.Least.Low), collodion.Span{Low: 2, High: 2})
	in("density of black, least", -math.Log10(s.Least.High), collodion.Span{Low: 1.5, High: 1.53})
	in("density of white, most", -math.Log10(s.Most.Low), collodion.Span{Low: .6, High: .605})
	in("density of white, least", -math.Log10(s.Most.High), collodion.Span{Low: .345, High: .35})
	if w, _, err := collodion.CurveOf(collodion.Finish{Support: collodion.BlackMetal, Unvarnished: true}); err != nil || w.Least < .03 || w.Least > .06 {
		t.Errorf("unvarnished black reflects %g, %v", w.Least, err)
	}
}

// Any curve rises, stays between its ends, and its inverse leads back.
func TestCurveProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := collodion.Curve{Least: rapid.Float64Range(.001, .1).Draw(t, "least"), Most: rapid.Float64Range(.2, 1).Draw(t, "most"),
			Steepness: rapid.Float64Range(.5, 4).Draw(t, "steepness"), Middle: measure.Stops(rapid.Float64Range(-3, 3).Draw(t, "middle"))}
		if err := c.Check(); err != nil {
			t.Fatal(err)
		}
		h := math.Exp2(rapid.Float64Range(-6, 6).Draw(t, "stops"))
		r := c.Reflectance(h)
		if !(r > c.Least && r < c.Most && c.Reflectance(h*1.01) > r && c.Density(h*1.01) < c.Density(h)) {
			t.Fatalf("%+v at %g: %g, then %g", c, h, r, c.Reflectance(h*1.01))
		}
		back, err := c.Inverse(r)
		share := c.Share(h) // toward the ends the curve levels off, and a last digit of reflectance is worth more stops
		if err != nil || math.Abs(math.Log2(back/h)) > 1e-12/(share*(1-share)) {
			t.Fatalf("%+v: inverse of %g is %g, want %g, %v", c, r, back, h, err)
		}
		v := c.Veiled(measure.Stops(rapid.Float64Range(0, 8).Draw(t, "over")))
		if !(v.Least >= c.Least && v.Reflectance(h) >= r-1e-15 && v.Reflectance(h) < v.Most) {
			t.Fatalf("a veil darkens: %+v from %+v", v, c)
		}
	})
}

func TestReciprocity(t *testing.T) {
	for _, tt := range []struct{ t, p, want, tol float64 }{{8, .9, 10.079, .0005}, {8, .95, 8.9, .05}, {8, 1, 8, 0}, {1, .85, 1, 0}, {.01, .85, .01, 0}} {
		got, err := collodion.Lengthened(light.Seconds(tt.t), tt.p)
		if err != nil {
			t.Fatal(err)
		}
		near(t, fmt.Sprintf("%g s with p %g", tt.t, tt.p), float64(got), tt.want, tt.tol, "[PlateNotes2026] L55, B6")
		back, err := collodion.Counts(got, tt.p)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "and back", float64(back), tt.t, 1e-9, "identity")
	}
}

func TestAgeing(t *testing.T) {
	for _, name := range collodion.AnySalt.Choices() {
		a, err := collodion.AgeingOf(collodion.Salt(name))
		if err != nil {
			t.Fatal(err)
		}
		lastLoss, lastSD := measure.Stops(-1), measure.Stops(-1)
		for _, days := range []float64{0, a.Life / 4, a.Life / 2, a.Life, 2 * a.Life} {
			loss, sd, err := a.Loss(days)
			if err != nil {
				t.Fatal(err)
			}
			if !(loss > lastLoss && loss < 2 && sd > lastSD) {
				t.Errorf("%s at %g days: loss %v ± %v after %v ± %v", name, days, loss, sd, lastLoss, lastSD)
			}
			lastLoss, lastSD = loss, sd
		}
		loss, _, err := a.Loss(3650)
		if err != nil || !(loss > 1.8 && loss <= 2) {
			t.Errorf("%s, very old, loses %v, want up to 2 [CollodionAge00]; %v", name, loss, err)
		}
		var factors [3]float64
		for i, days := range []float64{0, a.Life / 2, 3 * a.Life} {
			if factors[i], err = a.Steepened(days); err != nil {
				t.Fatal(err)
			}
		}
		if !(factors[1] > factors[0] && factors[1] > factors[2]) {
			t.Errorf("%s: contrast %v does not rise and fall [CollodionAge00]", name, factors)
		}
		old, err := collodion.UsualCurve().Aged(a, a.Life)
		if err != nil || !(old.Reflectance(1) < collodion.UsualCurve().Reflectance(1)) {
			t.Errorf("%s: an old film is not darker: %+v, %v", name, old, err)
		}
		// The drift is what the loss begins with.
		early, _, err := a.Loss(.01)
		if err != nil {
			t.Fatal(err)
		}
		near(t, name+": a hundredth of a day", float64(early)*100, float64(a.PerDay), 1e-5, "identity")
	}
	potassium, err := collodion.AgeingOf(collodion.Potassium)
	if err != nil || potassium.Ripe != 15 || potassium.Life != 30 {
		t.Errorf("potassium: %+v, %v; ripe in 15 days, useful for a month [CollodionLife00]", potassium, err)
	}
}

func TestIndex(t *testing.T) {
	film := usualFilm(t)
	usual := collodion.UsualIndex()
	low, high := usual.Band()
	if !(low >= collodion.LeastQuotedIndex && high <= collodion.MostQuotedIndex) {
		t.Errorf("the guess's band %g to %g lies outside what people quote", low, high)
	}
	near(t, "what people quote", math.Log2(collodion.MostQuotedIndex/collodion.LeastQuotedIndex), 3.32, .01, "[PlateNotes2026] S3")
	found := collodion.Index{EI: .5, Kind: light.AnyDaylight, Sigma: .3, From: "a test"}
	day, led, tube, cut := actinic(t, film, "D55"), actinic(t, film, "LED-B3"), actinic(t, film, "flash clear"), actinic(t, film, "flash UV cut")
	same, err := found.In(light.AnyDaylight, day, actinic(t, film, "D75"))
	if err != nil || same != found {
		t.Errorf("within one kind %+v became %+v, %v", found, same, err)
	}
	in := func(i collodion.Index, k light.Kind, a, b collodion.Actinic) collodion.Index {
		t.Helper()
		out, err := i.In(k, a, b)
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	// 2000 lx at f/4.5 and index 1: 2.53 s by day, 8.7 s under LED-B3 [PlateNotes2026, B5]
	under := in(collodion.Index{EI: 1, Kind: light.AnyDaylight, Sigma: .3}, light.WhiteLED, day, led)
	near(t, "seconds under LED-B3", 250*4.5*4.5/2000/under.EI, 8.7, .05, "[PlateNotes2026] B5")
	if under.Kind != light.WhiteLED || !(under.Sigma > .3) || in(found, light.WhiteLED, day, led).Sigma <= found.Sigma {
		t.Errorf("%+v: an index carried over is as sure as before", under)
	}
	back := in(under, light.AnyDaylight, led, day)
	near(t, "there and back", back.EI, 1, 1e-12, "identity")
	if !(back.Sigma > under.Sigma) {
		t.Errorf("carried twice it is surer: %+v", back)
	}
	// From tube to tube the film's edge moves both lights alike; from daylight to flash the short time comes on top.
	if a, b := in(collodion.Index{EI: 1, Kind: light.ClearFlash}, light.CutFlash, tube, cut), in(collodion.Index{EI: 1, Kind: light.AnyDaylight}, light.CutFlash, day, cut); !(a.Sigma < b.Sigma) {
		t.Errorf("between tubes ± %v, from daylight ± %v", a.Sigma, b.Sigma)
	}
}

// A tone gives a place its colour and leaves it its luminance; warm is redder than blue throughout, cool the reverse.
func TestTones(t *testing.T) {
	for _, tone := range collodion.Tones() {
		if !tone.Valid() {
			t.Errorf("%q is no tone", tone)
		}
		for share := 0.0; share <= 1; share += .05 {
			r, g, b := tone.Silver(share, share*.88)
			near(t, fmt.Sprintf("luminance of %s at %g", tone, share), .2126*r+.7152*g+.0722*b, share*.88, 1e-12, "[IEC61966]")
			if share > 0 && ((tone == collodion.Warm) != (r > b) || (tone == collodion.Cool) != (r < b)) {
				t.Errorf("%s at %g is %.3f %.3f %.3f", tone, share, r, g, b)
			}
		}
	}
}

func TestRefusals(t *testing.T) {
	c := collodion.UsualCurve()
	potassium, err := collodion.AgeingOf(collodion.Potassium)
	if err != nil {
		t.Fatal(err)
	}
	flat, faint := c, c
	flat.Most, faint.Steepness = c.Least, math.NaN()
	dark := c
	dark.Least = 0
	for says, err := range map[string]error{
		"reflectance 0.02 is outside":   second(c.Inverse(c.Least)),
		"reflectance 0.4 is outside":    second(c.Inverse(.4)),
		"reflectance NaN":               second(c.Inverse(math.NaN())),
		"greatest reflectance 0.02":     flat.Check(),
		"steepness NaN":                 faint.Check(),
		"least reflectance 0":           dark.Check(),
		"no support is called \"wood\"": third(collodion.CurveOf(collodion.Finish{Support: "wood"})),
		"no fixer is called":            third(collodion.CurveOf(collodion.Finish{Support: collodion.DarkGlass, Fixer: "salt"})),
		"reciprocity 0.8":               second(collodion.Lengthened(4, .8)),
		"time 0 s":                      second(collodion.Lengthened(0, .9)),
		"time NaN":                      second(collodion.Counts(light.Seconds(math.NaN()), .9)),
		"age -1 days":                   third(potassium.Loss(-1)),
		"age NaN":                       second(potassium.Steepened(math.NaN())),
		"age 5000 days":                 second(c.Aged(potassium, 5000)),
		"no ageing is known for":        second(collodion.AgeingOf("gold")),
		"exposure index 0":              collodion.Index{Kind: light.Sun}.Check(),
		"no kind of light is called":    collodion.Index{EI: 1}.Check(),
		"sigma of the exposure index":   collodion.Index{EI: 1, Kind: light.Sun, Sigma: -1}.Check(),
		"kind of light is called \"x\"": second(collodion.UsualIndex().In("x", collodion.Actinic{}, collodion.Actinic{})),
	} {
		if err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%v does not say %q", err, says)
		}
	}
}

func third[A, B any](_ A, _ B, err error) error { return err }
