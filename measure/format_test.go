package measure_test

import (
	"math"
	"testing"
	"time"

	"platewright/measure"
)

var systems = []measure.System{measure.Metric, measure.Imperial, measure.US, measure.Apothecary}

func TestFormat(t *testing.T) {
	for _, tt := range []struct{ got, want string }{
		{measure.Length(165.1).String(), "165.1 mm"},
		{measure.Length(165.1).Format(measure.US), "6½ in"},
		{measure.Length(165.1).Format(measure.Metric), "165.1 mm"},
		{(5*measure.Inch + 3*measure.Inch/16).Format(measure.Imperial), "5 3/16 in"},
		{(15 * measure.Inch / 16).Format(measure.US), "15/16 in"},
		{(5 * measure.Inch / 8).Format(measure.US), "⅝ in"},
		{(38.5 * measure.Inch).Format(measure.US), "3 ft 2½ in"},
		{(36 * measure.Inch).Format(measure.US), "3 ft"},
		{(35.99 * measure.Inch).Format(measure.US), "3 ft"},
		{measure.Length(-165.1).Format(measure.US), "-6½ in"},
		{measure.Length(1500).Format(measure.Metric), "1.5 m"},
		{measure.Length(999.97).Format(measure.Metric), "1 m"},
		{measure.Length(6.9634).Format(measure.US), "6.96 mm"},
		{measure.Length(0.1).Format(measure.Metric), "0.1 mm"},
		{measure.Length(0).Format(measure.Metric), "0 mm"},
		{measure.FNumber(4.5).String(), "f/4.5"},
		{measure.FNumber(5.6234).String(), "f/5.62"},
		{measure.FNumber(16).String(), "f/16"},
		{measure.Stops(1).String(), "+1 stop"},
		{measure.Stops(-0.3333).String(), "-0.33 stops"},
		{measure.Stops(0.001).String(), "0 stops"},
		{measure.EV(12.34).String(), "EV 12.3"},
		{measure.Celsius(20).String(), "20 °C"},
		{measure.Celsius(20).Format(measure.US), "68 °F"},
		{measure.Celsius(-0.01).String(), "0 °C"},
		{(6.73 * measure.Degree).String(), "6.73°"},
		{(480 * measure.Grain).Format(measure.Apothecary), "1 oz troy"},
		{(45 * measure.Grain).Format(measure.US), "45 gr"},
		{(875 * measure.Grain).Format(measure.US), "2 oz av"},
		{measure.Mass(12.5).Format(measure.Metric), "12.5 g"},
		{measure.ImperialPint.Format(measure.Imperial), "20 imp fl oz"},
		{(20 * measure.USMinim).Format(measure.US), "20 US minim"},
		{measure.Volume(250).Format(measure.Metric), "250 ml"},
		{measure.FormatExposure(4 * time.Second), "4 s"},
		{measure.FormatExposure(2500 * time.Millisecond), "2.5 s"},
		{measure.FormatExposure(250 * time.Millisecond), "1/4 s"},
		{measure.FormatExposure(time.Second / 3), "1/3 s"},
		{measure.FormatExposure(700 * time.Millisecond), "0.7 s"},
		{measure.FormatExposure(80 * time.Second), "1 min 20 s"},
		{measure.FormatExposure(59960 * time.Millisecond), "1 min"},
		{measure.FormatExposure(0), "0 s"},
		{measure.Thin("6 3/16 in"), "6 3/16\u2009in"},
		{measure.Thin("6½ × 8½ in"), "6½ × 8½\u2009in"},
		{measure.Thin("3 ft 2½ in"), "3\u2009ft 2½\u2009in"},
		{measure.Thin("20 imp fl oz"), "20\u2009imp fl oz"},
		{measure.Thin("EV 12.3"), "EV 12.3"},
		{measure.Thin("20 °C"), "20\u2009°C"},
	} {
		if tt.got != tt.want {
			t.Errorf("got %q, want %q", tt.got, tt.want)
		}
	}
}

// identity: what is shown reads back, to the coarseness of what is shown.
func TestShownFiguresReadBack(t *testing.T) {
	for _, sys := range systems {
		for _, x := range []float64{0, 0.0123, 0.1, 6.9634, 12.69, 12.71, 99.97, 165.1, 914.39, 999.94, 999.96, 1496.51, 25400, 990000} {
			l := measure.Length(x)
			got, err := measure.ParseLength(measure.Thin(l.Format(sys)), measure.Foot)
			if err != nil || math.Abs(float64(got-l)) > math.Max(25.4/32+1e-9, 0.5) {
				t.Errorf("%v length %v shown %q reads back %v, %v", sys, l, l.Format(sys), got, err)
			}
			m := measure.Mass(x / 10)
			if got, err := measure.ParseMass(measure.Thin(m.Format(sys)), measure.Kilogram, measure.Metric); err != nil || math.Abs(float64(got-m)) > 5.1e-4*float64(m) {
				t.Errorf("%v mass %v shown %q reads back %v, %v", sys, m, m.Format(sys), got, err)
			}
			v := measure.Volume(x)
			if got, err := measure.ParseVolume(measure.Thin(v.Format(sys)), measure.Litre, measure.Metric); err != nil || math.Abs(float64(got-v)) > 5.1e-4*float64(v) {
				t.Errorf("%v volume %v shown %q reads back %v, %v", sys, v, v.Format(sys), got, err)
			}
		}
		for _, c := range []measure.Celsius{-17.8, 0, 16.7, 20, 35.04} {
			if got, err := measure.ParseTemperature(measure.Thin(c.Format(sys))); err != nil || math.Abs(float64(got-c)) > 0.051 {
				t.Errorf("%v shown %q reads back %v, %v", c, c.Format(sys), got, err)
			}
		}
	}
	for d := 100 * time.Microsecond; d <= time.Hour; d += d/7 + 1 {
		text := measure.FormatExposure(d)
		got, err := measure.ParseExposure(text)
		off := math.Abs(got.Seconds() - d.Seconds())
		if err != nil || off > math.Max(0.0051*d.Seconds(), 0) && off > 0.5 {
			t.Errorf("%v shown %q reads back %v, %v", d, text, got, err)
		}
		if d < time.Minute && off > 0.0051*d.Seconds() {
			t.Errorf("%v shown %q is off by %g", d, text, off/d.Seconds())
		}
	}
	for _, n := range []measure.FNumber{0.95, 3.6, 4.5, 5.62, 16, 256} {
		if got, err := measure.ParseFNumber(n.String()); err != nil || got != n {
			t.Errorf("%v reads back %v, %v", n, got, err)
		}
	}
	for _, e := range []measure.EV{-3.3, 0, 12, 15.7} {
		if got, err := measure.ParseEV(e.String()); err != nil || math.Abs(float64(got-e)) > 1e-9 {
			t.Errorf("%v reads back %v, %v", e, got, err)
		}
	}
}

// An inch is 25.4 mm [SP811, app. B.8]: 6.43 mm are 4.05 sixteenths of one, 8.93 mm 5.63.
func TestFormatDepth(t *testing.T) {
	for _, tt := range []struct {
		length measure.Length
		sys    measure.System
		want   string
	}{
		{6.43, measure.Imperial, "6.43 mm (¼ in)"}, {8.93, measure.Imperial, "8.93 mm (⅜ in)"}, {0.5, measure.Imperial, "0.5 mm"},
		{152.4, measure.Imperial, "152 mm (6 in)"}, {1828.8, measure.Imperial, "6 ft"}, {6.434, measure.Metric, "6.43 mm"}, {152.44, measure.Metric, "152.4 mm"},
	} {
		if got := tt.length.FormatDepth(tt.sys); got != tt.want {
			t.Errorf("%g mm in %v is %q, want %q", float64(tt.length), tt.sys, got, tt.want)
		}
	}
}
