package collodion_test

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"platewright/collodion"
	"platewright/light"
	"platewright/measure"
)

//go:embed testdata/surfaces_10nm.csv
var surfacesCSV string

// surface returns a measured reflectance of the test's table.
func surface(t testing.TB, name string) light.Spectrum {
	t.Helper()
	r := csv.NewReader(strings.NewReader(surfacesCSV))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for col, head := range rows[0] {
		if head != name {
			continue
		}
		var nm, v []float64
		for _, row := range rows[1:] {
			if row[col] == "" {
				continue
			}
			x, err1 := strconv.ParseFloat(row[0], 64)
			y, err2 := strconv.ParseFloat(row[col], 64)
			if err1 != nil || err2 != nil {
				t.Fatal(row)
			}
			nm, v = append(nm, x), append(v, y)
		}
		s, err := light.FromPairs(nm, v)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	t.Fatalf("no surface %q", name)
	return light.Spectrum{}
}

func sees(t testing.TB, iodide, bromide float64) collodion.Sensitivity {
	t.Helper()
	s, err := collodion.Sees(collodion.Halides{Iodide: iodide, Bromide: bromide})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func usualFilm(t testing.TB) collodion.Sensitivity {
	t.Helper()
	s, err := collodion.Sees(collodion.UsualHalides())
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func filter(t testing.TB, name string) light.Filter {
	t.Helper()
	f, err := light.FilterOf(name)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// source returns a light by its published name, or a flash by "flash" and its tube.
func source(t testing.TB, name string) light.Spectrum {
	t.Helper()
	var s light.Source
	var err error
	switch tube, flash := strings.CutPrefix(name, "flash "); {
	case flash:
		s, err = light.Flash(light.Tube(tube))
	case name == "3200 K":
		s, err = light.Planck(3200)
	default:
		s, err = light.Named(name)
	}
	if err != nil {
		t.Fatal(err)
	}
	return s.Power
}

func actinic(t testing.TB, film collodion.Sensitivity, name string) collodion.Actinic {
	t.Helper()
	a, err := film.Actinic(source(t, name), filter(t, "none"), filter(t, "old crown-flint"))
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func near(t testing.TB, what string, got, want, tol float64, source string) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %.6g, want %g ± %g %s", what, got, want, tol, source)
	}
}

// The curves at the wavelengths of their source, their own greatest 1, and the usual film's factor.
func TestCurvesAreThoseOfTheirSource(t *testing.T) {
	for _, tt := range []struct {
		iodide, bromide float64
		at              map[float64]float64
	}{
		{5, 1, map[float64]float64{300: .35, 350: .80, 400: .95, 420: 1, 430: .90, 440: .58, 450: .32, 470: .09, 500: .011, 560: .00015}},
		{1, 0, map[float64]float64{300: .35, 350: .80, 400: .95, 420: 1, 430: .80, 440: .27, 450: .065, 470: .0042, 500: .00015, 560: 0}},
		{0, 3, map[float64]float64{300: .40, 350: .97, 360: 1, 400: .84, 420: .62, 440: .36, 450: .25, 470: .10, 500: .016, 560: .00025}},
	} {
		film := sees(t, tt.iodide, tt.bromide)
		for nm, want := range tt.at {
			near(t, fmt.Sprintf("response of %g:%g at %g nm", tt.iodide, tt.bromide, nm), film.Curve.At(nm), want, 2e-5, "[PlateNotes2026] B1")
		}
	}
	for nm, want := range map[float64]float64{300: 3, 350: 1.5, 400: 1.2, 420: 1.15, 440: 1.6, 480: 3, 560: 8} {
		near(t, fmt.Sprintf("factor at %g nm", nm), usualFilm(t).Factor.At(nm), want, 1e-12, "[PlateNotes2026] B1")
	}
	near(t, "speed of bromide alone", sees(t, 0, 1).Level.Factor(), .1, 1e-12, "[SchultzSellack1871]")
}

// Where the effect of daylight lies, and its amount for a lumen.
func TestDaylightOnTheFilm(t *testing.T) {
	film, lens := usualFilm(t), filter(t, "old crown-flint")
	d55 := light.D55().Power
	near(t, "K of D55", film.Response(d55.Times(lens.Pass))/d55.Lux(), 7.2938e-4, 1e-6, "[PlateNotes2026] L48")
	seen := d55.Times(lens.Pass).Times(film.Curve)
	all := seen.Integral(300, 560)
	for _, tt := range []struct{ from, to, share, tol float64 }{ // a sample belongs to the band that it begins
		{300, 355, .08, .005}, {360, 395, .24, .005}, {400, 425, .37, .005}, {430, 455, .25, .005}, {460, 495, .06, .006}, {500, 560, .004, .0005},
	} {
		near(t, fmt.Sprintf("share from %g nm", tt.from), seen.Integral(tt.from, tt.to)/all, tt.share, tt.tol, "[PlateNotes2026] B1")
	}
	a := actinic(t, film, "D55")
	near(t, "share below 400 nm", a.Below400, .3177, 5e-5, "by script")
	near(t, "centroid", a.CentroidNM, 409.79, .005, "by script")
	near(t, "centroid of A", actinic(t, film, "A").CentroidNM, 416.752, .005, "by script")
	if a.Stops != 0 || a.Low != 0 || a.High != 0 {
		t.Errorf("D55 against itself is %v, from %v to %v", a.Stops, a.Low, a.High)
	}
}

// Every ratio of the notes' table.
func TestActinicRatios(t *testing.T) {
	film := usualFilm(t)
	for _, tt := range []struct {
		light string
		want  float64
		tol   float64
	}{
		{"A", .284, .002}, {"3200 K", .407, .002}, {"D65", 1.346, .002}, {"D75", 1.662, .002},
		{"G173 global", 1.120, .002}, {"G173 direct", .954, .002},
		{"FL2", .605, .002}, {"FL7", .942, .002}, {"FL11", .490, .002}, {"FL12", .354, .002},
		{"LED-B1", .122, .002}, {"LED-B2", .145, .002}, {"LED-B3", .291, .002}, {"LED-B4", .362, .002}, {"LED-B5", .453, .002},
		{"LED-V1", .502, .002}, {"LED-V2", .709, .002}, {"LED-RGB1", .102, .002},
		{"flash clear", 1.763, .003}, {"flash part UV", 1.266, .003}, {"flash UV cut", .597, .003},
	} {
		near(t, tt.light, actinic(t, film, tt.light).Stops.Factor(), tt.want, tt.tol, "[PlateNotes2026] B3, L46, L47")
	}
	more, _ := actinic(t, film, "flash clear").Against(actinic(t, film, "flash UV cut"))
	near(t, "clear tube beyond UV-cut tube", float64(more), 1.56, .005, "[PlateNotes2026] B3")
}

// The notes' bands, when the edge alone moves by one standard deviation. They are printed to a tenth of a stop, and their
// script drew the line where the edge begins a little otherwise.
func TestBandsOfTheEdge(t *testing.T) {
	film := usualFilm(t)
	for _, tt := range []struct {
		light     string
		low, high float64
	}{{"LED-B1", -3.5, -2.5}, {"LED-B3", -2.2, -1.4}, {"LED-B5", -1.6, -.7}, {"flash UV cut", -.9, -.5}} {
		a := actinic(t, film, tt.light)
		near(t, tt.light+" low", float64(a.EdgeLow), tt.low, .1, "[PlateNotes2026] B3")
		near(t, tt.light+" high", float64(a.EdgeHigh), tt.high, .1, "[PlateNotes2026] B3")
		if !(a.Low <= a.EdgeLow && a.EdgeHigh <= a.High) {
			t.Errorf("%s: the whole band %v to %v is narrower than the edge's %v to %v", tt.light, a.Low, a.High, a.EdgeLow, a.EdgeHigh)
		}
	}
	// The edge moved by EdgeSD does about what the factor does, and so does the ultraviolet by UVSD.
	for _, tt := range []struct {
		edge  float64
		uv    measure.Stops
		light string
		tol   float64
	}{
		{collodion.EdgeSD, 0, "LED-B3", .12}, {-collodion.EdgeSD, 0, "LED-B3", .12}, {collodion.EdgeSD, 0, "LED-B1", .15}, {-collodion.EdgeSD, 0, "LED-B1", .15},
		{0, collodion.UVSD, "flash clear", .05}, {0, -collodion.UVSD, "flash clear", .05},
	} {
		moved, err := film.Fitted(tt.edge, tt.uv)
		if err != nil {
			t.Fatal(err)
		}
		a, b := actinic(t, film, tt.light), actinic(t, moved, tt.light)
		want := a.EdgeHigh
		switch {
		case tt.edge < 0:
			want = a.EdgeLow
		case tt.uv > 0:
			want = a.High
		case tt.uv < 0:
			want = a.Low
		}
		near(t, fmt.Sprintf("%s, edge %+g, uv %+g", tt.light, tt.edge, float64(tt.uv)), float64(b.Stops), float64(want), tt.tol, "the factor's band")
	}
}

// Filters and glass in daylight, in stops.
func TestGlass(t *testing.T) {
	film, none, lens := usualFilm(t), filter(t, "none"), filter(t, "old crown-flint")
	d55 := light.D55().Power
	for _, tt := range []struct{ nm, want float64 }{{340, -.02}, {360, -.12}, {380, -.29}, {400, -.55}, {410, -.81}, {420, -1.19}} {
		a, err := film.Actinic(d55, filter(t, fmt.Sprintf("cut below %g nm", tt.nm)), lens)
		if err != nil {
			t.Fatal(err)
		}
		near(t, fmt.Sprintf("cut below %g nm", tt.nm), float64(a.Stops), tt.want, .005, "[PlateNotes2026] B2")
		if tt.nm == 400 {
			near(t, "cut below 400 nm", a.Stops.Factor(), .682, .003, "[PlateNotes2026] L49")
		}
	}
	loss := measure.StopsOf(film.Response(d55.Times(lens.Pass)) / film.Response(d55))
	near(t, "old lens", float64(loss), -.09, .005, "[PlateNotes2026] B2")
	sf2, err := light.Glass("SF2", 12)
	if err != nil {
		t.Fatal(err)
	}
	heavy := measure.StopsOf(film.Response(d55.Times(filter(t, "crown only").Pass).Times(sf2.Pass)) / film.Response(d55))
	near(t, "14 mm of crown and 12 mm of SF2", float64(heavy), -.17, .005, "[PlateNotes2026] B2")
	// A pane that the meter stands behind costs what it takes beyond its share of what the eye sees.
	grey, err := light.NewSpectrum(300, 5, repeat(.5, 107))
	if err != nil {
		t.Fatal(err)
	}
	for _, before := range []bool{true, false} {
		a, err := film.Actinic(d55, light.Filter{Pass: grey, BeforeMeter: before}, none)
		if err != nil {
			t.Fatal(err)
		}
		want := -1.0
		if before {
			want = 0
		}
		near(t, fmt.Sprintf("grey pane, before the meter: %v", before), float64(a.Stops), want, 1e-9, "identity")
	}
}

func repeat(v float64, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = v
	}
	return out
}

// What more bromide does: little in daylight, much under white LEDs.
func TestHalides(t *testing.T) {
	for _, tt := range []struct {
		iodide, bromide float64
		light           string
		want, tol       float64
	}{
		{5, 1, "D65", 1.35, .005}, {1, 0, "D65", 1.38, .005}, {0, 1, "D65", 1.37, .005},
		{5, 1, "LED-B3", .29, .005}, {1, 0, "LED-B3", .16, .005}, {0, 1, "LED-B3", .25, .005},
	} {
		near(t, fmt.Sprintf("%g:%g in %s", tt.iodide, tt.bromide, tt.light), actinic(t, sees(t, tt.iodide, tt.bromide), tt.light).Stops.Factor(), tt.want, tt.tol, "[PlateNotes2026] B1")
	}
	// identity: only the ratio counts; between two drawn films a share lies half-way in the logarithm
	a, b := sees(t, 5, 1), sees(t, 0.25, 0.05)
	for nm := 300.0; nm <= 560; nm += 2.5 {
		near(t, fmt.Sprintf("5:1 twice at %g nm", nm), a.Curve.At(nm), b.Curve.At(nm), 1e-12, "identity")
	}
	between := sees(t, 11, 1) // a twelfth, half of the usual share
	for nm := 420.0; nm <= 520; nm += 10 {
		near(t, fmt.Sprintf("11:1 at %g nm", nm), between.Curve.At(nm), math.Sqrt(sees(t, 1, 0).Curve.At(nm)*a.Curve.At(nm)), 1e-9, "identity")
	}
	// More bromide, a longer tail: past the usual edge the response only rises with its share, until iodide gives out.
	last := 0.0
	for _, bromide := range []float64{0, .02, .05, .1, 1.0 / 6} {
		v := sees(t, 1-bromide, bromide).Curve.At(470)
		if v <= last {
			t.Errorf("response at 470 nm with a share of %.2f bromide is %.4g, not above %.4g", bromide, v, last)
		}
		last = v
		for nm := 430.0; nm < 560; nm += 10 {
			s := sees(t, 1-bromide, bromide)
			if s.Curve.At(nm+10) >= s.Curve.At(nm) {
				t.Errorf("share %.2f: the response does not fall from %g to %g nm", bromide, nm, nm+10)
			}
			if s.Factor.At(nm) < usualFilm(t).Factor.At(nm)-1e-12 {
				t.Errorf("share %.2f: surer at %g nm than the usual film", bromide, nm)
			}
		}
	}
}

// Narrow lamps, actinic for radiant watts, through the lens. Peak and width at half height, summed at each nm.
func TestNarrowLamps(t *testing.T) {
	film, lens := usualFilm(t), filter(t, "old crown-flint")
	for _, tt := range []struct{ peak, width, want float64 }{{365, 10, .81}, {385, 12, .89}, {395, 14, .92}, {405, 15, .95}, {450, 20, .36}, {470, 25, .11}} {
		v := make([]float64, 301)
		for i := range v {
			d := (300 + float64(i) - tt.peak) / tt.width
			v[i] = math.Exp(-4 * math.Ln2 * d * d)
		}
		s, err := light.NewSpectrum(300, 1, v)
		if err != nil {
			t.Fatal(err)
		}
		near(t, fmt.Sprintf("lamp at %g nm", tt.peak), film.Response(s.Times(lens.Pass))/s.Integral(300, 600), tt.want, .0056, "[PlateNotes2026] B3")
	}
}

// What the plate sees of measured surfaces in daylight, alone and against what the eye sees of them: skin loses about a
// stop, reds come out black, blues pale.
func TestSurfaces(t *testing.T) {
	film, lens, d55 := usualFilm(t), filter(t, "old crown-flint"), light.D55().Power
	for _, tt := range []struct {
		name        string
		actinic     float64 // 0 where the notes print none
		tol         float64
		beyond      float64 // stops, plate against eye
		against     float64 // its tolerance; 0 where the notes print none
		blackOrPale int     // -1 black, 1 pale beside what the eye sees
	}{
		{"skin very light", .2475, .0005, -.77, .05, 0}, {"skin light", .198, .0005, 0, 0, 0}, {"skin intermediate", .142, .0005, 0, 0, 0},
		{"skin tan", .097, .0005, 0, 0, 0}, {"skin brown", .0726, .0005, -1.3, .05, -1},
		{"vermilion", .022, .002, 0, 0, -1}, {"yellow ochre", .029, .002, -2.4, .1, -1}, {"titanium white", .327, .002, 0, 0, 0}, {"lead white", .646, .002, -.1, .05, 0},
		{"yellow pansy", 0, 0, -6.1, .05, -1}, {"chart yellow", 0, 0, -3.4, .05, -1}, {"red geranium", 0, 0, -1.7, .11, -1}, {"chart red", 0, 0, -1.2, .13, -1},
		{"chart white", 0, 0, -.6, .05, 0}, {"chart blue sky", 0, 0, .5, .05, 1}, {"blue nylon", 0, 0, 1, .1, 1}, {"chart blue", 0, 0, 1.6, .05, 1}, {"ultramarine", 0, 0, 2.7, .05, 1},
	} {
		s := surface(t, tt.name)
		a, err := film.Reflects(s, d55, lens)
		if err != nil {
			t.Fatal(err)
		}
		if tt.actinic > 0 {
			near(t, tt.name, a, tt.actinic, tt.tol, "[PlateNotes2026] L60, L62, B7")
		}
		stops := math.Log2(a / (d55.Times(s.Held(300, 830)).Lux() / d55.Lux()))
		if tt.against > 0 {
			near(t, tt.name+" against the eye", stops, tt.beyond, tt.against, "[PlateNotes2026] B7")
		}
		if tt.blackOrPale < 0 && !(stops < -1 && a < .08) || tt.blackOrPale > 0 && !(stops > .4) {
			t.Errorf("%s: %.3f of the plate's light comes back, %+.1f stops against the eye; common practice, no source: reds black, blues pale", tt.name, a, stops)
		}
	}
	if half, err := film.Reflects(must(light.NewSpectrum(400, 10, repeat(.5, 3))), d55, lens); err != nil || math.Abs(half-.5) > 1e-12 {
		t.Errorf("a grey of one half reflects %g, %v", half, err)
	}
}

func must(s light.Spectrum, err error) light.Spectrum {
	if err != nil {
		panic(err)
	}
	return s
}

// A ratio does not know how strong a light is or in what steps it is written.
func TestRatiosKnowNoScale(t *testing.T) {
	film, none, lens := usualFilm(t), filter(t, "none"), filter(t, "old crown-flint")
	for _, name := range []string{"D65", "FL2", "LED-B3", "flash clear"} {
		s := source(t, name)
		first, last, _ := s.Bounds()
		fine, err := s.On(first, last, 1)
		if err != nil {
			t.Fatal(err)
		}
		a := actinic(t, film, name)
		for _, k := range []float64{1e-6, 3, 1e6} {
			b, err := film.Actinic(s.Scaled(k), none, lens)
			if err != nil {
				t.Fatal(err)
			}
			near(t, name+" scaled", float64(b.Stops), float64(a.Stops), 1e-9, "identity")
			near(t, name+" scaled, low", float64(b.Low), float64(a.Low), 1e-9, "identity")
		}
		b, err := film.Actinic(fine, none, lens)
		if err != nil {
			t.Fatal(err)
		}
		near(t, name+" at 1 nm", float64(b.Stops), float64(a.Stops), .03, "the same light, summed finer")
	}
}

func TestSensitivityRefusals(t *testing.T) {
	film, none, lens := usualFilm(t), filter(t, "none"), filter(t, "old crown-flint")
	red := must(light.NewSpectrum(620, 10, repeat(1, 5)))
	ultraviolet := must(light.NewSpectrum(310, 10, repeat(1, 5)))
	for says, err := range map[string]error{
		"iodide -1 mol":            second(collodion.Sees(collodion.Halides{Iodide: -1, Bromide: 1})),
		"bromide NaN":              second(collodion.Sees(collodion.Halides{Iodide: 1, Bromide: math.NaN()})),
		"sees nothing":             second(collodion.Sees(collodion.Halides{})),
		"edge shift 26 nm":         second(film.Fitted(26, 0)),
		"ultraviolet level -3.5":   second(film.Fitted(0, -3.5)),
		"no meter sees":            second(film.Actinic(ultraviolet, none, lens)),
		"nothing of this light":    second(film.Actinic(red, none, lens)),
		"no eye":                   second(film.Actinic(light.Spectrum{}, none, lens)),
		"the film sees 300 to 560": second(film.Reflects(ultraviolet, red, lens)),
		"0 pairs":                  second(film.FitPairs(nil, lens)),
		"pair 1: sigma 0":          second(film.FitPairs([]collodion.Pair{{}}, lens)),
		"pair 1, light A":          second(film.FitPairs([]collodion.Pair{{Sigma: .3}}, lens)),
		"more than 25 nm":          second(film.FitPairs([]collodion.Pair{{collodion.Lit{source(t, "LED-B1"), none}, collodion.Lit{source(t, "D55"), none}, 10, .01}}, lens)),
	} {
		if err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%v does not say %q", err, says)
		}
	}
}

func second[T any](_ T, err error) error { return err }

func BenchmarkActinic(b *testing.B) {
	film, s, none, lens := usualFilm(b), source(b, "LED-B3"), filter(b, "none"), filter(b, "old crown-flint")
	for b.Loop() {
		if _, err := film.Actinic(s, none, lens); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkResponse(b *testing.B) {
	film, s := usualFilm(b), source(b, "D65")
	for b.Loop() {
		film.Response(s)
	}
}
