package light_test

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"platewright/light"
	"platewright/measure"
)

// published: EV 0 at index 100 is f/1 for a second, 2.5 lx and 0.125 cd/m²; a card of 15.7 % makes both meters agree.
func TestCard(t *testing.T) {
	zero := light.MeterSetting{Aperture: 1, Time: 1, Index: 100}
	ev, err := zero.EV()
	if err != nil || ev != 0 {
		t.Errorf("f/1, 1 s at index 100 is EV %g, %v, want 0 [ISO2720]", ev, err)
	}
	if L, err := zero.Luminance(); err != nil || math.Abs(float64(L)-0.125) > 1e-12 {
		t.Errorf("EV 0 is %g cd/m², %v, want 0.125 [ISO2720]", L, err)
	}
	fifteen := light.MeterSetting{Aperture: 16, Time: 1. / 128, Index: 100}
	if L, err := fifteen.Luminance(); err != nil || math.Abs(float64(L)-4096) > 1e-9 {
		t.Errorf("EV 15 is %g cd/m², %v, want 4096 [ISO2720]", L, err)
	}
	agree := math.Pi * light.ReflectedConstant / light.IncidentConstant
	got, err := light.CardReading{MeterSetting: zero, Reflectance: agree}.Incident()
	if err != nil || math.Abs(float64(got.Light)-2.5) > 1e-12 {
		t.Errorf("a card of %.4f at EV 0 has %g lx, %v, want 2.5 [ISO2720]", agree, got.Light, err)
	}
	// published: with K 14 the meters agree at 17.6 % [ISO2720], so that end of the band of an 17.6 % card is C 250.
	got, err = light.CardReading{MeterSetting: zero, Reflectance: 0.176}.Incident()
	if err != nil || math.Abs(float64(got.High)-2.5) > 0.5*2.5*0.001/0.176 {
		t.Errorf("with K 14 a card of 17.6 %% has %g lx at EV 0, %v, want 2.5 [ISO2720]", got.High, err)
	}
}

// published: numbers that hand-books set beside each other.
func TestOldSpeeds(t *testing.T) {
	for name, tt := range map[string]struct {
		f    func(light.LuxSeconds) (float64, error)
		want float64
	}{"H&D": {light.HurterDriffield, 170}, "Watkins": {light.Watkins, 250}, "Wynne": {light.Wynne, 101}} {
		if got, err := tt.f(0.2); err != nil || math.Abs(got-tt.want) > 0.5 {
			t.Errorf("inertia 0.2 is %s %.4g, %v, want %g [HurterDriffield1890]", name, got, err, tt.want)
		}
		if _, err := tt.f(0); err == nil {
			t.Errorf("%s of an inertia of 0 is not refused", name)
		}
	}
}

// identity: a card of any reflectance under a light gives back that light, whatever the setting's time, stop and index.
func TestCardGivesBackTheLight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		E := math.Exp(rapid.Float64Range(-4, 12).Draw(t, "ln E"))
		rho := rapid.Float64Range(0.02, 1).Draw(t, "reflectance")
		N := rapid.Float64Range(1, 22).Draw(t, "N")
		S := math.Exp(rapid.Float64Range(2, 12).Draw(t, "ln S"))
		L := rho * E / math.Pi
		m := light.MeterSetting{Aperture: measure.FNumber(N), Time: light.Seconds(light.ReflectedConstant * N * N / (L * S)), Index: light.ExposureIndex(S)}
		if m.Check() != nil {
			return // a time that no camera has
		}
		got, err := light.CardReading{MeterSetting: m, Reflectance: rho}.Incident()
		if err != nil || math.Abs(float64(got.Light)/E-1) > 1e-9 {
			t.Fatalf("%g lx comes back as %g, %v", E, got.Light, err)
		}
		if !(got.Low < got.Light && got.Light < got.High) {
			t.Fatalf("band %v", got)
		}
		ev, err := m.EV()
		if err != nil {
			t.Fatal(err)
		}
		at, err := light.EVAtIndex(ev, m.Index)
		if err != nil || math.Abs(float64(at)-math.Log2(N*N/float64(m.Time))) > 1e-9 {
			t.Fatalf("EV at its own index is %g, %v, want log2(N²/t)", at, err)
		}
	})
}

func TestCardRefuses(t *testing.T) {
	good := light.CardReading{MeterSetting: light.MeterSetting{Aperture: 2, Time: 1, Index: 100}, Reflectance: 0.18}
	for what, change := range map[string]func(*light.CardReading){
		"aperture":    func(c *light.CardReading) { c.Aperture = 0 },
		"time":        func(c *light.CardReading) { c.Time = light.Seconds(math.NaN()) },
		"index":       func(c *light.CardReading) { c.Index = -1 },
		"reflectance": func(c *light.CardReading) { c.Reflectance = 1.01 },
	} {
		c := good
		change(&c)
		_, err := c.Incident()
		var re *measure.RangeError
		if !errors.As(err, &re) || re.What != what {
			t.Errorf("%+v: error %v, want a range error about %s", c, err, what)
		}
	}
}

// identity: at the least time by hand, one standard deviation late is the tolerance.
func TestLeastByHand(t *testing.T) {
	for _, tolerance := range []measure.Stops{0.15, 1. / 3, 0.5, 1} {
		least, err := light.LeastByHand(tolerance)
		if err != nil {
			t.Fatal(err)
		}
		if late := light.LateCap(least, light.CapScatter(least)); math.Abs(float64(late-tolerance)) > 1e-9 {
			t.Errorf("at %g s a late cap gains %g stops, want %g", least, late, tolerance)
		}
	}
	if _, err := light.LeastByHand(0.09); err == nil {
		t.Error("a tolerance below the scatter of counting is not refused")
	}
}
