package light_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"platewright/light"
	"platewright/measure"
)

func TestReadCSV(t *testing.T) {
	for _, text := range []string{
		"400,1\n405,2\n410,3\n",
		"\ufeffwavelength_nm,power\r\n400,1\r\n405,2\r\n410,3",
		"# a lamp\nnm;W\n400;1,0\n\n405;2,0\n410;3,0\n",
		"400\t1e0\n405\t2\n# dim\n410\t3",
		"\"400\",\"1\"\n405, 2,\n410 ,3",
	} {
		s, err := light.ReadCSV(text)
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		first, last, step := s.Bounds()
		if first != 400 || last != 410 || step != 5 || s.At(402.5) != 1.5 || s.At(410) != 3 || s.At(411) != 0 {
			t.Errorf("%q: %g to %g by %g, %v", text, first, last, step, s.Values())
		}
	}
	for text, say := range map[string]string{
		"":                                "no line holds",
		"nm,power\n":                      "no line holds",
		"400,1":                           "at least 2",
		"400 1\n405 2":                    "line 1 has 1 columns",
		"400,1,2\n405,2,3":                "line 1 has 3 columns",
		"400,1\n405,-0.5":                 "line 2: power -0.5 at 405 nm",
		"400,1\n405,NaN":                  "line 2: power:",
		"400,1\n405,inf":                  "line 2: power:",
		"400,1\n405,1e31":                 "line 2: power 1e+31",
		"400,1\nNaN,1":                    "line 2: wavelength:",
		"a,b\nc,d\n400,1\n405,1":          "line 2: wavelength:",
		"400,1\n# so\n395,2":              "line 3: 395 nm comes after 400 nm",
		"400,1\n400,2":                    "line 2: 400 nm comes after 400 nm",
		"400,1\n420.5,2":                  "line 2: nothing is given between 400 and 420.5 nm",
		"100,1\n105,2":                    "line 1: wavelength 100 nm is outside 200 to 4000 nm",
		"400.1,1\n400.9,2":                "at least two whole nanometres",
		strings.Repeat("4", 70) + ",1":    "no line holds",
		strings.Repeat("#", 1<<20) + "\n": "at most 1048576",
	} {
		_, err := light.ReadCSV(text)
		if err == nil || !strings.Contains(err.Error(), say) {
			t.Errorf("%.40q: %v, want it to say %q", text, err, say)
		}
	}
	var many strings.Builder
	for i := range light.MostSamples + 1 {
		fmt.Fprintf(&many, "%.3f,1\n", 400+float64(i)/1000)
	}
	if _, err := light.ReadCSV(many.String()); err == nil || !strings.Contains(err.Error(), "line 40001") {
		t.Errorf("too many pairs: %v", err)
	}
	if _, err := light.FromPairs([]float64{400, 405}, []float64{1}); err == nil {
		t.Error("pairs without a partner are taken")
	}
}

// What is read is a spectrum between the least and greatest value given, whatever is written.
func FuzzReadCSV(f *testing.F) {
	f.Add("400,1\n405,2\n410,3\n")
	f.Add("nm;W\n400;1,0\n400,5;2\n401;3")
	f.Add("# no\n300\t0\n301\tnan")
	f.Fuzz(func(t *testing.T, text string) {
		s, err := light.ReadCSV(text)
		if err != nil {
			if strings.TrimSpace(err.Error()) == "" || len(err.Error()) > 1000 {
				t.Errorf("it says %q", err)
			}
			return
		}
		first, last, _ := s.Bounds()
		if first < 200 || last > 4000 || len(s.Values()) < 2 {
			t.Errorf("%g to %g nm, %d samples", first, last, len(s.Values()))
		}
		sane(t, s)
	})
}

// sane checks that nothing about a spectrum is endless or not a number.
func sane(t interface{ Errorf(string, ...any) }, s light.Spectrum) {
	X, Y, Z := s.XYZ()
	x, y := s.Chromaticity()
	k, _ := s.CCT()
	c, _ := s.Centroid()
	for _, v := range append(s.Values(), X, Y, Z, x, y, k, c, s.Lux(), s.Integral(0, 5000)) {
		if !(v >= 0) || math.IsInf(v, 0) {
			t.Errorf("%g comes out of %v", v, s.Values())
			return
		}
	}
}

// drawPairs draws rising wavelengths without wide gaps, and values.
func drawPairs(t *rapid.T) (nm, v []float64) {
	at := rapid.Float64Range(200, 900).Draw(t, "first")
	for range rapid.IntRange(3, 60).Draw(t, "pairs") {
		nm = append(nm, at)
		v = append(v, rapid.Float64Range(0, 100).Draw(t, "value"))
		at += rapid.Float64Range(.05, 20).Draw(t, "step")
	}
	return nm, v
}

// identity: a spectrum stays between the values it was given, and text and pairs say the same.
func TestPairsStayWithin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		nm, v := drawPairs(t)
		s, err := light.FromPairs(nm, v)
		if err != nil {
			if nm[len(nm)-1]-nm[0] > 2 {
				t.Fatal(err)
			}
			return
		}
		low, high := math.Inf(1), 0.0
		var text strings.Builder
		for i := range nm {
			low, high = min(low, v[i]), max(high, v[i])
			fmt.Fprintf(&text, "%v;%v\n", nm[i], v[i])
		}
		for _, got := range s.Values() {
			if got < low-1e-9 || got > high+1e-9 {
				t.Fatalf("%g outside %g to %g", got, low, high)
			}
		}
		sane(t, s)
		r, err := light.ReadCSV(text.String())
		if err != nil || fmt.Sprint(r) != fmt.Sprint(s) {
			t.Fatalf("text says %v, %v; pairs say %v", r, err, s)
		}
	})
}

// identity: a line finer than a nanometre keeps its energy.
func TestFineLineKeepsItsEnergy(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		peak := rapid.Float64Range(420, 580).Draw(t, "peak")
		width := rapid.Float64Range(.1, 5).Draw(t, "width")
		var nm, v []float64
		for w := 400.0; w < 600; w += .05 {
			nm = append(nm, w)
			v = append(v, math.Exp(-(w-peak)*(w-peak)/(2*width*width)))
		}
		s, err := light.FromPairs(nm, v)
		if err != nil {
			t.Fatal(err)
		}
		want := width * math.Sqrt(2*math.Pi) * (math.Erf(20 / width / math.Sqrt2)) // all of it lies within
		if got := s.Integral(400, 600); math.Abs(got/want-1) > 1e-3 {
			t.Fatalf("%g, want %g", got, want)
		}
	})
}

// identity: light adds up, in all that is read from it.
func TestLightAdds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := func(name string) light.Spectrum {
			s, err := light.NewSpectrum(5*float64(rapid.IntRange(60, 90).Draw(t, name)), rapid.SampledFrom([]float64{5, 2.5, 1, 10}).Draw(t, name+" step"),
				rapid.SliceOfN(rapid.Float64Range(0, 50), 2, 60).Draw(t, name+" values"))
			if err != nil {
				t.Fatal(err)
			}
			return s
		}
		a, b := v("a"), v("b")
		_, stepA := span(a)
		_, stepB := span(b)
		k := rapid.Float64Range(0, 9).Draw(t, "k")
		if got, want := a.Scaled(k).Lux(), k*a.Lux(); math.Abs(got-want) > 1e-9*(1+want) {
			t.Fatalf("%g lx, want %g", got, want)
		}
		if stepA != stepB || stepA > 5 {
			return // sums on different grids differ by the grids' own coarseness
		}
		if got, want := a.Plus(b).Lux(), a.Lux()+b.Lux(); math.Abs(got-want) > 1e-9*(1+want) {
			t.Fatalf("%g lx, want %g", got, want)
		}
		f, err := light.FilterOf(rapid.SampledFrom(light.Filters()).Draw(t, "filter"))
		if err != nil {
			t.Fatal(err)
		}
		if got := a.Times(f.Pass).Lux(); got > a.Lux()*(1+1e-9) {
			t.Fatalf("%s makes %g lx of %g", f.Name, got, a.Lux())
		}
	})
}

func span(s light.Spectrum) (first, step float64) {
	first, _, step = s.Bounds()
	return first, step
}

// identity: a black body's colour temperature is its own, and daylight's is what it was composed for.
func TestColourTemperaturesComeBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.Float64Range(1100, 25000).Draw(t, "kelvin")
		s, err := light.Planck(k)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := s.Power.CCT(); err != nil || math.Abs(got/k-1) > 1e-5 {
			t.Fatalf("a black body of %g K comes back as %g, %v", k, got, err)
		}
		if k < 4000 {
			return
		}
		d, err := light.Daylight(k)
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range d.Power.Values() {
			if v < 0 {
				t.Fatalf("daylight of %g K is negative", k)
			}
		}
		if got, err := d.Power.CCT(); err != nil || math.Abs(got/k-1) > .01 { // the CIE's formula is itself a fit
			t.Fatalf("daylight of %g K comes back as %g, %v", k, got, err)
		}
	})
}

// identity: an LED comes out at the colour temperature it was asked for, or is refused with what would do.
func TestLEDComesOut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.Float64Range(2200, 10000).Draw(t, "kelvin")
		pump := rapid.Float64Range(400, 470).Draw(t, "pump")
		s, err := light.LED(k, pump)
		if err != nil {
			if pump >= 430 || pump <= 420 && k > 2600 && k < 9000 {
				t.Fatal(err)
			}
			return
		}
		sane(t, s.Power)
		if got, err := s.Power.CCT(); err != nil || math.Abs(got/k-1) > .01 {
			t.Fatalf("%g K at %g nm comes back as %g, %v", k, pump, got, err)
		}
	})
}

func TestLightsRefuse(t *testing.T) {
	for name, ask := range map[string]func() error{
		"daylight of 3999 K":  func() error { _, err := light.Daylight(3999); return err },
		"daylight of 25001 K": func() error { _, err := light.Daylight(25001); return err },
		"daylight of NaN":     func() error { _, err := light.Daylight(math.NaN()); return err },
		"black body of 0 K":   func() error { _, err := light.Planck(0); return err },
		"LED of 2000 K":       func() error { _, err := light.LED(2000, 450); return err },
		"LED pump at 365 nm":  func() error { _, err := light.LED(5000, 365); return err },
		"glass of 0 mm":       func() error { _, err := light.Glass("K7", 0); return err },
		"cut at 700 nm":       func() error { _, err := light.CutBelow(700); return err },
	} {
		var r *measure.RangeError
		if err := ask(); !errors.As(err, &r) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for name, ask := range map[string]func() error{
		"tube":    func() error { _, err := light.Flash("gold"); return err },
		"light":   func() error { _, err := light.Named("moon"); return err },
		"filter":  func() error { _, err := light.FilterOf("smoke"); return err },
		"kind":    func() error { _, err := light.Glass("smoke", 10); return err },
		"mixture": func() error { _, err := light.LED(2200, 425); return err },
		"samples": func() error { _, err := light.NewSpectrum(400, 5, []float64{1}); return err },
		"minus":   func() error { _, err := light.NewSpectrum(400, 5, []float64{1, -1}); return err },
		"NaN":     func() error { _, err := light.NewSpectrum(400, 5, []float64{1, math.NaN()}); return err },
		"beyond":  func() error { _, err := light.NewSpectrum(3999, 5, []float64{1, 1}); return err },
		"dark":    func() error { _, err := light.Spectrum{}.CCT(); return err },
		"green":   func() error { s, _ := light.NewSpectrum(520, 5, []float64{0, 1, 0}); _, err := s.CCT(); return err },
	} {
		if err := ask(); err == nil {
			t.Errorf("%s is taken", name)
		}
	}
	if !light.Sun.Valid() || light.Kind("moon").Valid() || len(light.Kinds()) != 12 {
		t.Error("kinds")
	}
	for _, n := range light.Names() {
		if s, err := light.Named(strings.ToLower(n)); err != nil || s.Name != n || !s.Kind.Valid() || s.From == "" {
			t.Errorf("%s: %+v, %v", n, s.Name, err)
		}
	}
	for _, n := range light.Filters() {
		f, err := light.FilterOf(n)
		if err != nil || f.From == "" {
			t.Errorf("%s: %v", n, err)
		}
		for _, v := range f.Pass.Values() {
			if !(v >= 0 && v <= 1) {
				t.Errorf("%s passes %g", n, v)
			}
		}
	}
}

// The zero spectrum is dark and harmless.
func TestZeroSpectrum(t *testing.T) {
	var s light.Spectrum
	if s.At(500) != 0 || s.Lux() != 0 || s.Times(light.V()).Lux() != 0 || !s.Held(300, 400).IsZero() || fmt.Sprint(s.Plus(light.V())) != fmt.Sprint(light.V()) {
		t.Error("it is not dark")
	}
	if x, y := s.Chromaticity(); x != 0 || y != 0 {
		t.Error("it has a colour")
	}
}

func BenchmarkCCT(b *testing.B) {
	s, err := light.Named("D65")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := s.Power.CCT(); err != nil {
			b.Fatal(err)
		}
	}
}
