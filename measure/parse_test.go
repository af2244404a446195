package measure_test

import (
	"errors"
	"math"
	"testing"
	"time"

	"platewright/measure"
)

// row is a text, what it means, and the sentence that refuses it.
type row struct {
	in   string
	want float64
	err  string
}

func check(t *testing.T, rows []row, parse func(string) (float64, error)) {
	t.Helper()
	for _, tt := range rows {
		got, err := parse(tt.in)
		switch {
		case tt.err != "" && (err == nil || err.Error() != tt.err):
			t.Errorf("%q: error %v\nwant %s", tt.in, err, tt.err)
		case tt.err == "" && err != nil:
			t.Errorf("%q: %v", tt.in, err)
		case tt.err == "" && math.Abs(got-tt.want) > 1e-9*math.Max(1, math.Abs(tt.want)):
			t.Errorf("%q = %.12g, want %.12g", tt.in, got, tt.want)
		}
	}
}

func TestParseLength(t *testing.T) {
	check(t, []row{
		{in: "6 1/2 in", want: 165.1},
		{in: "6-1/2 in", want: 165.1},
		{in: "6½\"", want: 165.1},
		{in: "6 ½ in.", want: 165.1},
		{in: "6½″", want: 165.1},
		{in: "½ in", want: 12.7},
		{in: "1/4 in", want: 6.35},
		{in: "1⁄4 in", want: 6.35},
		{in: "165.1mm", want: 165.1},
		{in: "165.1\u2009mm", want: 165.1},
		{in: " 165.1\u00a0MM ", want: 165.1},
		{in: "1.5 m", want: 1500},
		{in: "1,5 m", want: 1500},
		{in: "0,125 in", want: 3.175},
		{in: ".5 in", want: 12.7},
		{in: "210", want: 210},
		{in: "3 ft 2 in", want: 38 * 25.4},
		{in: "3'2\"", want: 38 * 25.4},
		{in: "3' 2½''", want: 38.5 * 25.4},
		{in: "1 m 20 cm", want: 1200},
		{in: "0", want: 0},
		{in: "1 km", err: `length "1 km": the unit "km" is not known here; use mm, cm, m, in, ft or yd`},
		{in: "", err: `length "": nothing was given`},
		{in: "  ", err: `length "  ": nothing was given`},
		{in: "mm", err: `length "mm": a number is missing at "mm"`},
		{in: "-5 mm", err: `length "-5 mm": a length is not negative`},
		{in: "−5 mm", err: `length "−5 mm": a length is not negative`},
		{in: "1,500 mm", err: `length "1,500 mm": 1,500 can be read two ways; write 1.500 or 1500`},
		{in: "1.2.3 mm", err: `length "1.2.3 mm": a number has one decimal point or comma`},
		{in: "1/0 in", err: `length "1/0 in": a fraction cannot have 0 below the line`},
		{in: "1/ in", err: `length "1/ in": the fraction "1/ in" has no lower number`},
		{in: "6 5/4 in", err: `length "6 5/4 in": the fraction in 6 5/4 is not less than one`},
		{in: "3 ft 2", err: `length "3 ft 2": 2 has no unit`},
		{in: "2 in 3 ft", err: `length "2 in 3 ft": put the larger unit first and each unit once`},
		{in: "1 m 1 m", err: `length "1 m 1 m": put the larger unit first and each unit once`},
		{in: "2000 m", err: `length 2000000 mm is outside 0 to 1000000 mm`},
		{in: "1e3 mm", err: `length "1e3 mm": a power of ten is not read, and a great one is more than can be measured; write it out in figures`},
		{in: "1e99", err: `length "1e99": a power of ten is not read, and a great one is more than can be measured; write it out in figures`},
		{in: "2 e-3 m", err: `length "2 e-3 m": a power of ten is not read, and a great one is more than can be measured; write it out in figures`},
		{in: "NaN", err: `length "NaN": a number is missing at "nan"`},
		{in: "5\x00mm", err: "length \"5\\x00mm\": it holds a control character"},
		{in: "\xff", err: "length \"\\xff\": it is not readable text"},
		{in: string(make([]byte, 65)), err: "length \"" + nul65 + "\": it is longer than 64 characters"},
	}, func(s string) (float64, error) {
		l, err := measure.ParseLength(s, measure.Millimetre)
		return l.Millimetres(), err
	})
	if l, err := measure.ParseLength("2", measure.Metre); err != nil || l != 2*measure.Metre {
		t.Errorf("a bare 2 in metres = %v, %v", l, err)
	}
}

// nul65 is sixty-five zero bytes as a quoted string prints them.
var nul65 = func() string {
	s := ""
	for range 65 {
		s += `\x00`
	}
	return s
}()

func TestParseExposure(t *testing.T) {
	check(t, []row{
		{in: "1/4 s", want: 0.25},
		{in: "4", want: 4},
		{in: "4 s", want: 4},
		{in: "1 min 20 s", want: 80},
		{in: "1'20\"", want: 80},
		{in: "0.5s", want: 0.5},
		{in: "0,5 s", want: 0.5},
		{in: "2½ s", want: 2.5},
		{in: "2 1/2 sec.", want: 2.5},
		{in: "90 sec", want: 90},
		{in: "1/125", want: 0.008},
		{in: "250 ms", want: 0.25},
		{in: "0", err: `exposure 0 s is outside 0.0001 to 3600 s`},
		{in: "2 h", err: `exposure 7200 s is outside 0.0001 to 3600 s`},
		{in: "4 stops", err: `exposure "4 stops": the unit "stops" is not known here; use s or min`},
		{in: "-1", err: `exposure "-1": an exposure is not negative`},
		{in: "four", err: `exposure "four": a number is missing at "four"`},
	}, func(s string) (float64, error) {
		d, err := measure.ParseExposure(s)
		return d.Seconds(), err
	})
}

func TestParseFNumber(t *testing.T) {
	check(t, []row{
		{in: "f/4.5", want: 4.5},
		{in: "F4.5", want: 4.5},
		{in: "4.5", want: 4.5},
		{in: "f 5,6", want: 5.6},
		{in: "1:4.5", want: 4.5},
		{in: "f/.95", want: 0.95},
		{in: "ƒ/4", err: `f-number "ƒ/4": a number is missing at "ƒ/4"`},
		{in: "f/", err: `f-number "f/": the number is missing; write f/4.5 or 4.5`},
		{in: "0", err: `f-number 0 is outside 0.5 to 1000`},
		{in: "f/4.5 mm", err: `f-number "f/4.5 mm": "mm" after the number is not understood; write f/4.5 or 4.5`},
	}, func(s string) (float64, error) {
		n, err := measure.ParseFNumber(s)
		return float64(n), err
	})
}

func TestParseTemperature(t *testing.T) {
	check(t, []row{
		{in: "20 C", want: 20},
		{in: "20°C", want: 20},
		{in: "20", want: 20},
		{in: "68 F", want: 20},
		{in: "68 °F", want: 20},
		{in: "62 deg. F", want: 100. / 6},
		{in: "-5", want: -5},
		{in: "−5 °C", want: -5},
		{in: "293 K", err: `temperature "293 K": the unit "k" is not known here; use C or F`},
		{in: "900", err: `temperature 900 °C is outside -60 to 250 °C`},
	}, func(s string) (float64, error) {
		c, err := measure.ParseTemperature(s)
		return float64(c), err
	})
}

func TestParseEV(t *testing.T) {
	check(t, []row{
		{in: "12", want: 12},
		{in: "EV 12", want: 12},
		{in: "12 ev", want: 12},
		{in: "EV100 12 1/3", want: 12 + 1./3},
		{in: "-2", want: -2},
		{in: "EV −2,5", want: -2.5},
		{in: "100", err: `exposure value 100 is outside -12 to 24`},
		{in: "12 lx", err: `exposure value "12 lx": "lx" after the number is not understood; write EV 12 or 12`},
	}, func(s string) (float64, error) {
		e, err := measure.ParseEV(s)
		return float64(e), err
	})
}

const g = 0.06479891 // a grain in grams, exact [SP811, app. B.9]

func TestParseMass(t *testing.T) {
	parse := func(sys measure.System) func(string) (float64, error) {
		return func(s string) (float64, error) {
			m, err := measure.ParseMass(s, measure.Gram, sys)
			return m.Grams(), err
		}
	}
	check(t, []row{
		{in: "480 gr", want: 480 * g},
		{in: "2 drachms", want: 120 * g},
		{in: "1 oz troy 2 drachms 5 gr", want: 605 * g},
		{in: "1 oz. av.", want: 437.5 * g},
		{in: "12.5", want: 12.5},
		{in: "12,5 g", want: 12.5},
		{in: "2 kg", want: 2000},
		{in: "2 oz", err: `mass "2 oz": an ounce by itself is not settled in the metric system; write oz av (28.35 g) or oz troy (31.10 g)`},
		{in: "1 lb", err: `mass "1 lb": a pound by itself is not settled in the metric system; write lb av (453.6 g) or lb troy (373.2 g)`},
		{in: "1 dr", err: `mass "1 dr": a dram by itself is not settled; write dr ap (60 grains, 3.888 g) or dr av (27.34 grains, 1.772 g)`},
		{in: "20 ml", err: `mass "20 ml": "ml" is a volume, and a mass is wanted; use mg, g, kg, gr, oz av, oz troy or lb`},
		{in: "20 minims", err: `mass "20 minims": "minims" is a volume, and a mass is wanted; use mg, g, kg, gr, oz av, oz troy or lb`},
		{in: "3 pinches", err: `mass "3 pinches": the unit "pinches" is not known here; use mg, g, kg, gr, scruple, drachm, oz av, oz troy or lb`},
		{in: "-1 g", err: `mass "-1 g": a mass is not negative`},
		{in: "200 kg", err: `mass 200000 g is outside 0 to 100000 g`},
	}, parse(measure.Metric))
	check(t, []row{{in: "2 oz", want: 875 * g}, {in: "1 lb", want: 7000 * g}}, parse(measure.US))
	check(t, []row{{in: "2 oz", want: 875 * g}}, parse(measure.Imperial))
	check(t, []row{{in: "2 oz", want: 960 * g}, {in: "1 dram", want: 60 * g}, {in: "1 lb", want: 5760 * g}}, parse(measure.Apothecary))
}

func TestParseVolume(t *testing.T) {
	parse := func(sys measure.System) func(string) (float64, error) {
		return func(s string) (float64, error) {
			v, err := measure.ParseVolume(s, measure.Millilitre, sys)
			return v.Millilitres(), err
		}
	}
	check(t, []row{
		{in: "250 ml", want: 250},
		{in: "250", want: 250},
		{in: "1½ l", want: 1500},
		{in: "3 US fl oz", want: 3 * 29.5735295625},
		{in: "3 fl. oz. US", want: 3 * 29.5735295625},
		{in: "3 u.s. fl oz", want: 3 * 29.5735295625},
		{in: "1 imperial pint", want: 568.26125},
		{in: "3 fl oz", err: `volume "3 fl oz": fl oz by itself is not settled in the metric system; write US fl oz (29.57 ml) or imp fl oz (28.41 ml)`},
		{in: "3 oz", err: `volume "3 oz": fl oz by itself is not settled in the metric system; write US fl oz (29.57 ml) or imp fl oz (28.41 ml)`},
		{in: "1 pint", err: `volume "1 pint": pint by itself is not settled in the metric system; write US pint (473.2 ml) or imp pint (568.3 ml)`},
		{in: "20 minims", err: `volume "20 minims": minim by itself is not settled in the metric system; write US minim (0.06161 ml) or imp minim (0.05919 ml)`},
		{in: "480 gr", err: `volume "480 gr": "gr" is a mass, and a volume is wanted; use ml, l, minim, fl dr, fl oz or pint`},
		{in: "3 us imp oz", err: `volume "3 us imp oz": the unit "imp oz" is not known here; use ml, l, minim, fl dr, fl oz, pint, quart or gallon`},
		{in: "1 cup", err: `volume "1 cup": the unit "cup" is not known here; use ml, l, minim, fl dr, fl oz, pint, quart or gallon`},
		{in: "2000 l", err: `volume 2000000 ml is outside 0 to 1000000 ml`},
	}, parse(measure.Metric))
	check(t, []row{
		{in: "3 fl oz", want: 3 * 29.5735295625}, {in: "20 minims", want: 20 * 0.061611519921875},
		{in: "1 pint", want: 473.176473}, {in: "2 drachms", want: 2 * 3.6966911953125},
		{in: "1 imp fl oz", want: 28.4130625},
	}, parse(measure.US))
	check(t, []row{
		{in: "3 fl oz", want: 3 * 28.4130625}, {in: "1 pint", want: 568.26125},
		{in: "2 fl oz 3 fl dr 20 minims", want: 28.4130625 * (2 + 3./8 + 20./480)},
	}, parse(measure.Imperial))
	check(t, []row{{in: "1 ℥", want: 29.5735295625}}, parse(measure.Apothecary))
}

func TestParseSystem(t *testing.T) {
	for _, sys := range []measure.System{measure.Metric, measure.Imperial, measure.US, measure.Apothecary} {
		if got, err := measure.ParseSystem(sys.String()); err != nil || got != sys {
			t.Errorf("ParseSystem(%q) = %v, %v", sys, got, err)
		}
	}
	want := `system of measures "troy": use metric, imperial, us, apothecary`
	if _, err := measure.ParseSystem("troy"); err == nil || err.Error() != want {
		t.Errorf("error %v, want %s", err, want)
	}
}

func TestErrorsCanBeMatched(t *testing.T) {
	_, err := measure.ParseLength("x", measure.Millimetre)
	if bad := (*measure.ParseError)(nil); !errors.As(err, &bad) || bad.What != "length" || bad.Text != "x" {
		t.Errorf("%#v is not the ParseError of a length", err)
	}
	_, err = measure.ParseExposure("2 h")
	if bad := (*measure.RangeError)(nil); !errors.As(err, &bad) || bad.High != time.Hour.Seconds() {
		t.Errorf("%#v is not a RangeError", err)
	}
	if err := measure.Within("depth", math.NaN(), 0, 1, "mm"); err == nil {
		t.Error("not-a-number was within bounds")
	}
}

// Figures in a refusal are readable, and never look as if the value given were allowed.
func TestRangeErrorIsReadable(t *testing.T) {
	for _, tt := range []struct {
		got, low, high float64
		want           string
	}{
		{9_999_999, 0, 1e6, "reach 9999999 mm is outside 0 to 1000000 mm"},
		{-0.00025, 0.0001, 0.1 + 0.2, "reach -0.00025 mm is outside 0.0001 to 0.3 mm"},
		{1000.00001, 0, 1000, "reach 1000.00001 mm is outside 0 to 1000 mm"},
		{3e8, 0, 2e7, "reach 3e+08 mm is outside 0 to 2e+07 mm"},
		{math.NaN(), 0, 1, "reach NaN mm is outside 0 to 1 mm"},
		{math.Inf(-1), 0, 1, "reach -Inf mm is outside 0 to 1 mm"},
	} {
		if err := measure.Within("reach", tt.got, tt.low, tt.high, "mm"); err == nil || err.Error() != tt.want {
			t.Errorf("got %v, want %s", err, tt.want)
		}
	}
}
