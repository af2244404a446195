package colour_test

import (
	"math"
	"strings"
	"testing"

	"platewright/colour"
	"platewright/light"
)

func kind(name string) light.Kind { return light.Kind(name) }

// kinds are the kinds of light that stand for one light.
func kinds(t testing.TB) []light.Kind {
	t.Helper()
	var out []light.Kind
	for _, k := range light.Kinds() {
		if k != "own spectrum" {
			out = append(out, k)
		}
	}
	if len(out) < 11 {
		t.Fatalf("%d kinds of light", len(out))
	}
	return out
}

func TestSurfacesStandOnOneGrid(t *testing.T) {
	count := map[string]int{}
	seen := map[string]bool{}
	for _, s := range colour.Surfaces() {
		count[s.Group]++
		if seen[s.Name] {
			t.Errorf("%s stands twice", s.Name)
		}
		seen[s.Name] = true
		if first, last, step := s.Reflectance.Bounds(); first != 300 || last != 830 || step != 10 {
			t.Errorf("%s: %g to %g by %g nm", s.Name, first, last, step)
		}
		s.Reflectance.Each(func(nm, v float64) {
			if !(v > 0 && v < 1) {
				t.Errorf("%s sends back %g at %g nm", s.Name, v, nm)
			}
		})
		from := map[string]float64{colour.Chart: 380, colour.Skin: 300, colour.Materials: 350}[s.Group]
		if s.Reflectance.At(300) != s.Reflectance.At(from) {
			t.Errorf("%s is not held below %g nm", s.Name, from)
		}
	}
	if count[colour.Chart] != 24 || count[colour.Skin] != 7 || count[colour.Materials] != 32 {
		t.Errorf("surfaces: %v", count)
	}
	if _, err := colour.SurfaceNamed("moonlight"); err == nil || !strings.Contains(err.Error(), "yellow ochre") {
		t.Errorf("an unknown surface: %v", err)
	}
	all := strings.Join(colour.Attributions(), "\n")
	for _, who := range []string{"National Institute of Standards and Technology", "U.S. Geological Survey", "Ohta", "CIE"} {
		if !strings.Contains(all, who) {
			t.Errorf("attributions leave out %s", who)
		}
	}
}

// independent [PlateNotes2026, L18-L19]: the chart's lightness and Lab against the white of D50, summed by 10 nm as
// they are tabled.
func TestChartLab(t *testing.T) {
	d50 := named(t, "D50").Power
	for _, tt := range []struct {
		name    string
		L, a, b float64
	}{{"chart neutral 5", 52.19, 0, -0.06}, {"chart blue", 29.17, 17.05, -52.09}} {
		L, a, b := colour.Lab(surface(t, tt.name).Reflectance, d50)
		for i, d := range []float64{L - tt.L, a - tt.a, b - tt.b} {
			if math.Abs(d) > 0.05 {
				t.Errorf("%s: Lab %.2f %.2f %.2f, want %.2f %.2f %.2f (coordinate %d) [PlateNotes2026, L19]", tt.name, L, a, b, tt.L, tt.a, tt.b, i)
			}
		}
	}
	for name, want := range map[string]float64{"chart white": 95.47, "chart black": 21.39} {
		if L, _, _ := colour.Lab(surface(t, name).Reflectance, d50); math.Abs(L-want) > 0.05 {
			t.Errorf("%s: L* %.3f, want %.2f [PlateNotes2026, L18]", name, L, want)
		}
	}
}

// published [NISTSkin2017]: mean reflectance of 100 people at 550 nm; the sizes of the classes follow from the
// class limits as the notes' script found them [PlateNotes2026, L21].
func TestSkinTables(t *testing.T) {
	mean, scatter := colour.SkinOfAll()
	if got := mean.At(550); math.Abs(got-0.3161) > 1e-4 {
		t.Errorf("mean at 550 nm %.4f, want 0.3161 [NISTSkin2017]", got)
	}
	if got := scatter.At(550); !(got > 0.02 && got < 0.1) {
		t.Errorf("scatter at 550 nm %.4f", got)
	}
	people := 0
	classMean := make([]float64, 54)
	for name, want := range map[string]int{"very light": 18, "light": 63, "intermediate": 10, "tan": 4, "brown": 5} {
		s := surface(t, "skin, "+name)
		if s.Subjects != want {
			t.Errorf("%s: %d people, want %d [PlateNotes2026, L21]", name, s.Subjects, want)
		}
		people += s.Subjects
		for i, v := range s.Reflectance.Values() {
			classMean[i] += v * float64(s.Subjects) / 100
		}
	}
	if people != 100 {
		t.Errorf("%d people in the classes, want 100", people)
	}
	// identity: the classes' means weighed by their sizes are the mean of all
	for i, v := range mean.Values() {
		if math.Abs(v-classMean[i]) > 2e-4 {
			t.Errorf("at %d nm the classes make %.4f, the mean of all is %.4f", 300+10*i, classMean[i], v)
		}
	}
}

// independent [PlateNotes2026, L60, L62 and B7]: shares of the plate's light that come back, under D55 through an old lens.
func TestActinicReflectances(t *testing.T) {
	d55 := named(t, "D55")
	for _, tt := range []struct {
		name      string
		want, tol float64
	}{
		{"skin, very light", .2475, .0005}, {"skin, brown", .0726, .0005}, {"skin, light", .198, .0005}, {"skin, intermediate", .142, .0005}, {"skin, tan", .097, .0005},
		{"vermilion", .022, .002}, {"yellow ochre", .029, .002}, {"titanium white", .327, .002}, {"lead white", .646, .002},
	} {
		if got := actinic(t, tt.name, d55); math.Abs(got-tt.want) > tt.tol {
			t.Errorf("%s sends back %.4f, want %.4f ± %g [PlateNotes2026]", tt.name, got, tt.want, tt.tol)
		}
	}
	// Plate against eye, in stops, as the notes list it.
	for name, want := range map[string]float64{
		"yellow pansy": -6.1, "chart yellow": -3.4, "yellow ochre": -2.4, "red geranium": -1.7, "chart red": -1.2, "chart white": -0.6,
		"lead white": -0.1, "chart blue sky": 0.5, "blue nylon": 1.0, "chart blue": 1.6, "ultramarine": 2.7,
	} {
		s := surface(t, name)
		if got := math.Log2(actinic(t, name, d55) / colour.Of(s.Reflectance).Luminance()); math.Abs(got-want) > 0.06 {
			t.Errorf("%s: %+.2f stops, want %+.1f [PlateNotes2026]", name, got, want)
		}
	}
}

// published [IEC61966]: D65's white is 1, 1, 1, and the codes of sRGB read and write.
func TestSRGB(t *testing.T) {
	flat, err := light.NewSpectrum(300, 10, append(make([]float64, 0, 54), ones(54)...))
	if err != nil {
		t.Fatal(err)
	}
	w := colour.Of(flat)
	for _, v := range []float64{w.R, w.G, w.B} {
		if math.Abs(v-1) > 2e-3 { // summed by 5 nm from 380 to 780 nm, the white is not quite .3127 .3290
			t.Errorf("white is %+v", w)
		}
	}
	for _, tt := range []struct {
		text string
		want colour.RGB
	}{{"#ffffff", colour.RGB{R: 1, G: 1, B: 1}}, {"#000000", colour.RGB{}}, {"#F00", colour.RGB{R: 1}}, {"#808080", colour.RGB{R: .21586, G: .21586, B: .21586}}} {
		got, err := colour.ParseRGB(tt.text)
		if err != nil || math.Abs(got.R-tt.want.R) > 1e-5 || math.Abs(got.G-tt.want.G) > 1e-5 || math.Abs(got.B-tt.want.B) > 1e-5 {
			t.Errorf("%s: %+v %v, want %+v", tt.text, got, err, tt.want)
		}
	}
	for i := range 256 {
		v := float64(i) / 255
		if got := colour.Encode(colour.Linear(v)); math.Abs(got-v) > 1e-6 {
			t.Errorf("code %d comes back as %g", i, 255*got)
		}
	}
	for _, bad := range []string{"", "red", "#12345", "#gggggg", "b22222", "#1234567", "#+12345", "#-12"} {
		if c, err := colour.ParseRGB(bad); err == nil {
			t.Errorf("%q was read as %+v", bad, c)
		}
	}
	c, _ := colour.ParseRGB("#b22222")
	if c.Hex() != "#b22222" {
		t.Errorf("#b22222 is written %s", c.Hex())
	}
	X, Y, Z := colour.RGB{R: 1, G: 1, B: 1}.XYZ()
	if math.Abs(X-.9505) > 1e-3 || math.Abs(Y-1) > 1e-6 || math.Abs(Z-1.089) > 1e-3 {
		t.Errorf("white is %.4f %.4f %.4f", X, Y, Z)
	}
}

func ones(n int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = 1
	}
	return v
}
