package measure_test

import (
	"math"
	"testing"

	"platewright/measure"
)

// The fuzz targets hold three claims about any text at all: no panic; a value that comes out is
// finite and within the bounds the parser states; what is then written reads back as itself.

func seeds(f *testing.F, texts ...string) {
	for _, s := range texts {
		f.Add(s)
	}
}

// settled checks a value and its written form: bounds, then a reading that no longer moves.
func settled(t *testing.T, value, low, high float64, text string, again func(string) (float64, string, error)) {
	t.Helper()
	if !(low <= value && value <= high) {
		t.Fatalf("%g is outside %g to %g", value, low, high)
	}
	got, rewritten, err := again(text)
	if err != nil {
		t.Fatalf("%q was written and cannot be read: %v", text, err)
	}
	if rewritten != text {
		t.Fatalf("%q reads as %g and is written %q", text, got, rewritten)
	}
	if math.Abs(got-value) > 1e-8+1e-5*math.Abs(value) {
		t.Fatalf("%.12g was written %q and reads %.12g", value, text, got)
	}
}

// nearTop says that a value is so near its upper bound that rounding for show may pass the bound.
func nearTop(value, top float64) bool { return value > 0.998*top }

func FuzzParseLength(f *testing.F) {
	seeds(f, "6 1/2 in", "6½\"", "165.1mm", "1,5 m", "3 ft 2 in", "0", "1,500", "1/0", "³ mm", "1e9", "9999999999999999999999")
	f.Fuzz(func(t *testing.T, s string) {
		l, err := measure.ParseLength(s, measure.Millimetre)
		if err != nil {
			return
		}
		settled(t, float64(l), 0, 1e6, l.String(), func(s string) (float64, string, error) {
			l, err := measure.ParseLength(s, measure.Metre)
			return float64(l), l.String(), err
		})
		if nearTop(float64(l), 1e6) {
			return
		}
		for _, sys := range systems {
			back, err := measure.ParseLength(l.Format(sys), measure.Metre)
			if err != nil || back.Format(sys) != l.Format(sys) || math.Abs(float64(back-l)) > math.Max(0.8, 1e-3*float64(l)) {
				t.Fatalf("%v: %v is shown %q, which reads %v, %v", sys, l, l.Format(sys), back, err)
			}
		}
	})
}

func FuzzParseExposure(f *testing.F) {
	seeds(f, "1/4 s", "4", "1 min 20 s", "0.5s", "2½ s", "90 sec", "3600", "1/10000")
	f.Fuzz(func(t *testing.T, s string) {
		d, err := measure.ParseExposure(s)
		if err != nil {
			return
		}
		text := measure.FormatExposure(d)
		back, err := measure.ParseExposure(text)
		if err != nil || measure.FormatExposure(back) != text || math.Abs((back-d).Seconds()) > math.Max(0.006*d.Seconds(), 1e-9) && math.Abs((back-d).Seconds()) > 0.5 {
			t.Fatalf("%v is shown %q, which reads %v, %v", d, text, back, err)
		}
	})
}

func FuzzParseFNumber(f *testing.F) {
	seeds(f, "f/4.5", "4.5", "f 5,6", "1:4.5", "f/.95", "f", "1000")
	f.Fuzz(func(t *testing.T, s string) {
		n, err := measure.ParseFNumber(s)
		if err != nil {
			return
		}
		back, err := measure.ParseFNumber(n.String())
		if err != nil || back.String() != n.String() || n < 0.5 || n > 1000 {
			t.Fatalf("%q is %v, which reads %v, %v", s, n, back, err)
		}
	})
}

func FuzzParseMass(f *testing.F) {
	for _, s := range []string{"480 gr", "2 drachms", "1 oz troy 2 drachms 5 gr", "1 lb", "12,5 g"} {
		for i := range systems {
			f.Add(s, i)
		}
	}
	f.Fuzz(func(t *testing.T, s string, i int) {
		sys := systems[((i%4)+4)%4]
		m, err := measure.ParseMass(s, measure.Gram, sys)
		if err != nil {
			return
		}
		settled(t, float64(m), 0, 1e5, m.String(), func(s string) (float64, string, error) {
			m, err := measure.ParseMass(s, measure.Kilogram, sys)
			return float64(m), m.String(), err
		})
		if nearTop(float64(m), 1e5) {
			return
		}
		for _, shown := range systems {
			if back, err := measure.ParseMass(m.Format(shown), measure.Gram, sys); err != nil || math.Abs(float64(back-m)) > 1e-7+5.1e-4*float64(m) {
				t.Fatalf("%v is shown %q, which reads %v, %v", m, m.Format(shown), back, err)
			}
		}
	})
}

func FuzzParseVolume(f *testing.F) {
	for _, s := range []string{"250 ml", "20 minims", "3 fl oz", "1 imp pint", "2 fl oz 3 fl dr 20 minims"} {
		for i := range systems {
			f.Add(s, i)
		}
	}
	f.Fuzz(func(t *testing.T, s string, i int) {
		sys := systems[((i%4)+4)%4]
		v, err := measure.ParseVolume(s, measure.Millilitre, sys)
		if err != nil {
			return
		}
		settled(t, float64(v), 0, 1e6, v.String(), func(s string) (float64, string, error) {
			v, err := measure.ParseVolume(s, measure.Litre, sys)
			return float64(v), v.String(), err
		})
		if nearTop(float64(v), 1e6) {
			return
		}
		for _, shown := range systems {
			if back, err := measure.ParseVolume(v.Format(shown), measure.Litre, sys); err != nil || math.Abs(float64(back-v)) > 1e-7+5.1e-4*float64(v) {
				t.Fatalf("%v is shown %q, which reads %v, %v", v, v.Format(shown), back, err)
			}
		}
	})
}

func FuzzParseTemperature(f *testing.F) {
	seeds(f, "20 C", "68 °F", "-5", "−5 ℃", "deg", "20.")
	f.Fuzz(func(t *testing.T, s string) {
		c, err := measure.ParseTemperature(s)
		if err != nil {
			return
		}
		for _, sys := range systems {
			back, err := measure.ParseTemperature(c.Format(sys))
			if err != nil || back.Format(sys) != c.Format(sys) || math.Abs(float64(back-c)) > 0.06 {
				t.Fatalf("%v is shown %q, which reads %v, %v", c, c.Format(sys), back, err)
			}
		}
	})
}

func FuzzParseEV(f *testing.F) {
	seeds(f, "12", "EV 12", "12 1/3 ev", "-2", "ev100 5")
	f.Fuzz(func(t *testing.T, s string) {
		e, err := measure.ParseEV(s)
		if err != nil {
			return
		}
		back, err := measure.ParseEV(e.String())
		if err != nil || back.String() != e.String() || math.Abs(float64(back-e)) > 0.06 {
			t.Fatalf("%v reads %v, %v", e, back, err)
		}
	})
}

func FuzzParsePlateSize(f *testing.F) {
	seeds(f, "whole plate", "whole plate, lying", "4x5", "6 1/2 x 8 1/2 in", "165x216 mm", "13x18 cm", "1/4 plate", "x", "½x½")
	f.Fuzz(func(t *testing.T, s string) {
		p, err := measure.ParsePlateSize(s)
		if err != nil {
			return
		}
		if p.Width < 10 || p.Height < 10 || p.Width > 1000 || p.Height > 1000 {
			t.Fatalf("%q gives %+v", s, p)
		}
		back, err := measure.ParsePlateSize(p.String())
		if err != nil || back.String() != p.String() || math.Abs(float64(back.Width-p.Width)) > 1e-3 || math.Abs(float64(back.Height-p.Height)) > 1e-3 {
			t.Fatalf("%q gives %v, which reads %v, %v", s, p, back, err)
		}
	})
}
