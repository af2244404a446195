package measure_test

import (
	"math"
	"strings"
	"testing"

	"platewright/measure"
)

// [SP811, app. B.8]: a footcandle is 1.076 391 E+01 lx. The figure is from memory; it is also the square
// of feet in a metre, a foot being 0.3048 m.
func TestFootCandle(t *testing.T) {
	if got := float64(measure.FootCandle); math.Abs(got-10.76391) > 0.000005 {
		t.Errorf("a foot-candle is %g lx, want 10.76391", got)
	}
}

func TestParseLux(t *testing.T) {
	for text, want := range map[string]float64{
		"2000": 2000, "2000 lx": 2000, "2 000": 2000, "2\u202f000 lux": 2000, "12 000 lx": 12000, "1 234 567": 1234567, "2.5 klx": 2500,
		"200 fc": 2152.782, "200 foot-candles": 2152.782, "0,5": 0.5, "0.125": 0.125, "12 1/2": 12.5, "150 1/2": 150.5,
	} {
		got, err := measure.ParseLux(text)
		if err != nil || math.Abs(float64(got)-want) > want*1e-6 {
			t.Errorf("%q is read as %v, %v; want %g lx", text, got, err, want)
		}
	}
	for text, want := range map[string]string{
		"2,000": "two ways", "12,000 lx": "two ways", "2,000 fc": "two ways", "bright": "number is missing", "200 fl": "use lx or fc",
		"2 00": "use lx or fc", "-3": "not negative", "": "nothing", "2 0000": "use lx or fc", "1e5": "use lx or fc",
	} {
		if got, err := measure.ParseLux(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q is read as %v, %v; want a refusal with %q", text, got, err, want)
		}
	}
	if got := (200 * measure.FootCandle).String(); got != "2152.78 lx" {
		t.Errorf("200 foot-candles are %q", got)
	}
}

func TestParseNumber(t *testing.T) {
	for text, want := range map[string]float64{"1.5": 1.5, "1,5": 1.5, "-2": -2, "12 000": 12000, "1/4": 0.25, "2 1/2": 2.5, "0,125": 0.125} {
		if got, err := measure.ParseNumber(text); err != nil || got != want {
			t.Errorf("%q is read as %g, %v; want %g", text, got, err, want)
		}
	}
	for _, text := range []string{"2,000", "", "NaN", "Inf", "1e5", "5 lx", "1.2.3", "x", "2 00"} {
		if got, err := measure.ParseNumber(text); err == nil {
			t.Errorf("%q is read as %g, want a refusal", text, got)
		}
	}
}
