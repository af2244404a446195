package light_test

import (
	"errors"
	"math"
	"testing"

	"platewright/light"
	"platewright/measure"
)

// published: the constants of the meter standard agree with each other.
func TestMeterConstants(t *testing.T) {
	for _, tt := range []struct {
		name           string
		got, want, tol float64
		source         string
	}{
		{"EV 0 in lx", float64(light.IlluminanceAt(0)), 2.5, 1e-12, "[ISO2720] C 250, index 100"},
		{"EV 15 in lx", float64(light.IlluminanceAt(15)), 81920, 1e-9, "[ISO2720] C 250, index 100"},
		{"EV 0 in cd/m²", light.ReflectedConstant / 100, 0.125, 1e-12, "[ISO2720] K 12.5, index 100"},
		// pi K/C, the reflectance at which both meters agree, is printed as 15.7 %.
		{"reflectance of the mid-tone", math.Pi * light.ReflectedConstant / light.IncidentConstant, 0.157, 0.0005, "[ISO2720]"},
	} {
		if math.Abs(tt.got-tt.want) > tt.tol {
			t.Errorf("%s = %.9g, want %.9g ± %g %s", tt.name, tt.got, tt.want, tt.tol, tt.source)
		}
	}
}

// identity: EV to lux and back.
func TestEVRoundTrip(t *testing.T) {
	for ev := measure.EV(-8); ev <= 17; ev += 0.25 {
		if got := light.EVAt(light.IlluminanceAt(ev)); math.Abs(float64(got-ev)) > 1e-12 {
			t.Errorf("EV %g comes back as %g", ev, got)
		}
	}
}

func TestExposeRefuses(t *testing.T) {
	good := light.Reading{Light: 100, Index: 1, Aperture: 4}
	if _, err := good.Expose(); err != nil {
		t.Fatal(err)
	}
	for what, r := range map[string]light.Reading{
		"light":          {Light: 0, Index: 1, Aperture: 4},
		"exposure index": {Light: 100, Index: light.ExposureIndex(math.NaN()), Aperture: 4},
		"aperture":       {Light: 100, Index: 1, Aperture: -4},
	} {
		_, err := r.Expose()
		var re *measure.RangeError
		if !errors.As(err, &re) || re.What != what {
			t.Errorf("%+v: error %v, want a range error about %s", r, err, what)
		}
	}
}

// published: at 4 s a Weber share of 0.07 and 0.1 s of handling give 0.297 s [FechnerDay356].
func TestCapScatter(t *testing.T) {
	if got := light.CapScatter(4); math.Abs(float64(got)-0.2973) > 5e-5 {
		t.Errorf("scatter of 4 s by hand = %g s, want 0.2973 s [FechnerDay356]", got)
	}
}
