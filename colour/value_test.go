package colour_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"platewright/collodion"
	"platewright/colour"
	"platewright/measure"
)

func judge(t testing.TB, k string) *colour.Judge {
	t.Helper()
	s, err := colour.SightFor(kind(k))
	if err != nil {
		t.Fatal(err)
	}
	j, err := s.Judge(collodion.UsualCurve(), 0)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

func stops(v float64) measure.Stops { return measure.Stops(v) }

func thing(t testing.TB, j *colour.Judge, name string) colour.Value {
	t.Helper()
	th, err := colour.ThingNamed(name)
	if err != nil {
		t.Fatal(err)
	}
	v, err := th.Value(j)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// Common practice, no source: reds come out black, yellows dark, blues pale, freckles darker than the skin about
// them, blue eyes light, and a spectacle lens that stops ultraviolet darker than a clear one.
func TestCommonPractice(t *testing.T) {
	for _, k := range kinds(t) {
		j := judge(t, string(k))
		for _, red := range []string{"red scarf", "red lipstick", "burgundy wool", "red nylon"} {
			if v := thing(t, j, red); Lightness(v) > 32 {
				t.Errorf("%s: %s comes out %s", k, red, v.Words)
			}
		}
		for _, yellow := range []string{"yellow silk", "mustard wool", "orange knitwear"} {
			if v := thing(t, j, yellow); v.Stops > -2 || !strings.Contains(v.Words, "darker than it looks") {
				t.Errorf("%s: %s comes out %+.1f stops, %s", k, yellow, v.Stops, v.Words)
			}
		}
		for _, blue := range []string{"blue nylon", "blue denim", "navy suit", "violet silk"} {
			if v := thing(t, j, blue); v.Stops < 0.3 || !strings.Contains(v.Words, "paler than it looks") {
				t.Errorf("%s: %s comes out %+.1f stops, %s", k, blue, v.Stops, v.Words)
			}
		}
		if f, s := thing(t, j, "freckle on light skin"), thing(t, j, "skin, light"); f.Stops >= s.Stops || f.Grey >= s.Grey {
			t.Errorf("%s: a freckle loses %+.2f stops, skin %+.2f", k, f.Stops, s.Stops)
		}
		if b, w := thing(t, j, "blue eyes"), thing(t, j, "brown eyes"); b.Stops < 0 || w.Stops > -0.5 || b.Grey <= w.Grey {
			t.Errorf("%s: blue eyes %d (seen %d), brown %d (seen %d)", k, b.Grey, b.EyeGrey, w.Grey, w.EyeGrey)
		}
		clear, cut := thing(t, j, "light skin behind clear lenses"), thing(t, j, "light skin behind UV-blocking lenses")
		if cut.Actinic > clear.Actinic {
			t.Errorf("%s: behind a blocking lens %.3f, behind a clear one %.3f", k, cut.Actinic, clear.Actinic)
		}
		if k == "daylight" && cut.Actinic > 0.8*clear.Actinic {
			t.Errorf("a blocking lens hardly shows in daylight: %.3f of %.3f", cut.Actinic, clear.Actinic)
		}
	}
}

// Lightness is that of the plate's grey.
func Lightness(v colour.Value) float64 { return colour.Lightness(colour.Linear(float64(v.Grey) / 255)) }

// independent [PlateNotes2026, B7]: all skin loses 0.8 to 1.3 stops in daylight, darker skin 0.3 to 0.5 more; an LED or
// a UV-cut flash takes 0.6 to 1.0 of it. Told from the camera's colour, a tagged skin is within its band of what was measured.
func TestSkin(t *testing.T) {
	for _, k := range []string{"daylight", "LED", "flash, UV cut", "flash, clear tube", "shade"} {
		j := judge(t, k)
		for _, s := range colour.Surfaces() {
			if s.Group != colour.Skin {
				continue
			}
			truth, err := j.Surface(s)
			if err != nil {
				t.Fatal(err)
			}
			told, err := j.Colour(colour.Of(s.Reflectance), colour.OfSkin)
			if err != nil {
				t.Fatal(err)
			}
			if d := math.Abs(math.Log2(told.Actinic / truth.Actinic)); d > 0.2 || !(told.Low < truth.Actinic && truth.Actinic < told.High) {
				t.Errorf("%s, %s: told %.3f (%.3f to %.3f), measured %.3f", k, s.Name, told.Actinic, told.Low, told.High, truth.Actinic)
			}
			if s.Subjects > 1 && k == "daylight" && !(truth.Stops < -0.7 && truth.Stops > -1.4) {
				t.Errorf("%s in daylight: %+.2f stops, want -0.8 to -1.3 [PlateNotes2026]", s.Name, truth.Stops)
			}
			if s.Subjects > 1 && k == "LED" && !(truth.Stops < -0.5 && truth.Stops > -1.1) {
				t.Errorf("%s by LED: %+.2f stops, want -0.6 to -1.0 [PlateNotes2026]", s.Name, truth.Stops)
			}
			if !strings.Contains(told.Words, "as all skin is") {
				t.Errorf("%s: %s", s.Name, told.Words)
			}
		}
	}
}

// identity: with what a material's own measured surfaces taught it, each of them lies within the band.
func TestMaterialsCoverTheirOwn(t *testing.T) {
	for _, k := range kinds(t) {
		j := judge(t, string(k))
		for m, names := range map[colour.Material][]string{
			colour.Brightened: {"white cotton"}, colour.WhitePaint: {"chart white", "titanium white", "zinc white"},
			colour.Foliage: {"chart foliage", "fresh oak leaf"}, colour.Natural: {"lead white", "white petunia"},
		} {
			for _, name := range names {
				s := surface(t, name)
				truth, err := j.Surface(s)
				if err != nil {
					t.Fatal(err)
				}
				told, err := j.Colour(colour.Of(s.Reflectance), m)
				if err != nil {
					t.Fatal(err)
				}
				if !(told.Low <= truth.Actinic && truth.Actinic <= told.High) {
					t.Errorf("%s, %s as %s: %.3f to %.3f, measured %.3f", k, name, m, told.Low, told.High, truth.Actinic)
				}
			}
		}
	}
	white, _ := colour.ParseRGB("#f0efe8")
	j := judge(t, "daylight")
	paint, err := j.Colour(white, colour.WhitePaint)
	if err != nil {
		t.Fatal(err)
	}
	natural, err := j.Colour(white, colour.Natural)
	if err != nil {
		t.Fatal(err)
	}
	if natural.Actinic < 1.2*paint.Actinic {
		t.Errorf("a natural white %.3f, white paint %.3f", natural.Actinic, paint.Actinic)
	}
}

func TestEstimatesSayThatTheyAre(t *testing.T) {
	for _, m := range colour.AllMaterials() {
		c, err := colour.CorrectionFor("shade", m)
		if err != nil {
			t.Fatal(err)
		}
		estimate := m == colour.Sunscreen || m == colour.Spectacles
		if c.Measured == estimate || strings.Contains(c.Basis, "an estimate: ") != estimate || !(c.Band >= 0.3) {
			t.Errorf("%s: %+v", m, c)
		}
	}
}

func TestValueRefuses(t *testing.T) {
	curve := collodion.UsualCurve()
	if _, err := colour.ValueOf(colour.RGB{R: math.NaN()}, colour.None, "daylight", curve, 0); err == nil {
		t.Error("no number was taken for a colour")
	}
	if _, err := colour.ValueOf(colour.RGB{}, "velvet", "daylight", curve, 0); err == nil || !strings.Contains(err.Error(), "sunscreen") {
		t.Errorf("an unknown material: %v", err)
	}
	if _, err := colour.ValueOf(colour.RGB{}, colour.None, "moon", curve, 0); err == nil || !strings.Contains(err.Error(), "tungsten") {
		t.Errorf("an unknown light: %v", err)
	}
	if _, err := colour.FitFor("own spectrum"); err == nil {
		t.Error("an own spectrum has no typical light")
	}
	if _, err := colour.ValueOf(colour.RGB{}, colour.None, "daylight", curve, 11); err == nil {
		t.Error("an exposure of 11 stops was taken")
	}
	red, err := colour.SightIn(named(t, "A"))
	if err != nil {
		t.Fatal(err)
	}
	red.Light.Power = red.Light.Power.Scaled(0)
	if _, err := red.Fit(); err == nil {
		t.Error("a dark light was taken")
	}
}

// Whatever the colour, light and exposure: shares and reflectances within their bounds, bands about the value, and
// more exposure never darker.
func TestValueHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.Float64Range(0, 1)
		c := colour.Encoded(unit.Draw(t, "r"), unit.Draw(t, "g"), unit.Draw(t, "b"))
		m := rapid.SampledFrom(colour.AllMaterials()).Draw(t, "material")
		s, err := colour.SightFor(kind(rapid.SampledFrom([]string{"daylight", "shade", "LED", "flash, clear tube"}).Draw(t, "light")))
		if err != nil {
			t.Fatal(err)
		}
		curve := collodion.UsualCurve()
		last := 0.0
		for _, x := range []float64{-6, 0, 1.5, 6} {
			j, err := s.Judge(curve, stops(x))
			if err != nil {
				t.Fatal(err)
			}
			v, err := j.Colour(c, m)
			if err != nil {
				t.Fatal(err)
			}
			if !(0 < v.Low && v.Low <= v.Actinic && v.Actinic <= v.High && v.High <= 1) {
				t.Fatalf("%v: %+v", c, v)
			}
			if !(curve.Least <= v.PlateLow && v.PlateLow <= v.Plate && v.Plate <= v.PlateHigh && v.PlateHigh <= curve.Most && v.Plate >= last) {
				t.Fatalf("%v at %g: %+v", c, x, v)
			}
			if math.IsNaN(float64(v.Stops)) || math.IsInf(float64(v.Stops), 0) || v.Words == "" || v.Basis == "" {
				t.Fatalf("%v: %+v", c, v)
			}
			last = v.Plate
		}
	})
}

func TestWardrobe(t *testing.T) {
	j := judge(t, "window")
	groups := map[string]int{}
	for _, th := range colour.Wardrobe() {
		groups[th.Group]++
		if _, err := th.Value(j); err != nil {
			t.Errorf("%s: %v", th.Name, err)
		}
		if (th.Surface == "") != strings.Contains(th.Basis, "assumption") {
			t.Errorf("%s is measured and assumed: %s", th.Name, th.Basis)
		}
	}
	for _, g := range []string{"cloth", "lips", "hair", "skin", "iris", "spectacles", "paper"} {
		if groups[g] < 2 {
			t.Errorf("%d of %s", groups[g], g)
		}
	}
	if _, err := colour.ThingNamed("crown"); err == nil {
		t.Error("an unknown thing was found")
	}
}
