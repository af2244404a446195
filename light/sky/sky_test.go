package sky_test

import (
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"platewright/light"
	"platewright/light/sky"
	"platewright/measure"
)

// sunUp is a sun with a lifted zenith distance in degrees, the air's lift taken off by the usual air.
func sunUp(zenith, azimuth float64) sky.Sun {
	e := 90 - zenith
	lift := max(1.02/(60*math.Tan((e+10.3/(e+5.11))*math.Pi/180)), 0)
	return sky.Sun{Zenith: measure.Angle(zenith) * measure.Degree, Elevation: measure.Angle(e) * measure.Degree,
		TrueElevation: measure.Angle(e-lift) * measure.Degree, Azimuth: measure.Angle(azimuth) * measure.Degree, DistanceAU: 1}
}

// Every figure of the case that the institute's program printed [Bird1984].
func TestClearSkyCase(t *testing.T) {
	text, err := os.ReadFile("testdata/clear-sky-case.csv")
	if err != nil {
		t.Fatal(err)
	}
	c := sky.Clear{OzoneAtmCm: 0.344, Aerosol500: 0.1, WaterCm: 1.42, Albedo: 0.2, PressureHPa: 1013}
	lines, err := c.Lines(sunUp(47.912086486816406, 180), 75)
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for line := range strings.Lines(string(text)) {
		cells := strings.Split(strings.TrimSpace(line), ",")
		nm, err := strconv.ParseFloat(cells[0], 64)
		if err != nil {
			continue // head and remarks
		}
		if lines[n].NM != nm {
			t.Fatalf("line %d is at %g nm, want %g", n, lines[n].NM, nm)
		}
		for i, got := range []float64{lines[n].Diffuse, lines[n].Direct, lines[n].Beyond, lines[n].Global} {
			want, err := strconv.ParseFloat(cells[i+1], 64)
			if err != nil {
				t.Fatal(err)
			}
			near(t, cells[0]+" nm", got, want, 2e-6, "Bird1984")
		}
		n++
	}
	if n != 52 {
		t.Errorf("%d wavelengths were compared, want 52", n)
	}
}

func TestAirMass(t *testing.T) {
	m, err := sky.AirMass(measure.Angle(47.912086486816406) * measure.Degree)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "air mass", m, 1.4899535986910446, 1e-9, "KastenYoung1989")
	if _, err := sky.AirMass(91 * measure.Degree); err == nil {
		t.Error("the air mass below the horizon was not refused")
	}
}

// Light on level ground of a clear day by the sun's zenith distance, day 80 [PlateNotes2026].
func TestClearSkyTable(t *testing.T) {
	for _, c := range []struct{ zenith, global, diffuse float64 }{
		{20, 116700, 16000}, {30, 106600, 15500}, {40, 92700, 14700}, {50, 75700, 13600}, {60, 56100, 12100},
		{70, 34800, 9900}, {75, 23900, 8300}, {80, 13600, 6300},
	} {
		clear := sky.UsualClear()
		k, err := clear.Spectra(sunUp(c.zenith, 180), 80)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "global light", k.Global.Lux(), c.global, 0.006*c.global, "PlateNotes2026")
		near(t, "light of the sky", k.Diffuse.Lux(), c.diffuse, 0.006*c.diffuse, "PlateNotes2026")
	}
}

// A clear sky reckoned by wavelengths against the fit to measurements [Seidelmann1992]; above 100 000 lx in sunshine
// [LampHandbook00].
func TestClearSkyAgainstMeasurements(t *testing.T) {
	for e := 6.0; e <= 70; e += 4 {
		k, err := sky.UsualClear().Spectra(sunUp(90-e, 180), 91)
		if err != nil {
			t.Fatal(err)
		}
		want, err := sky.GroundLight(k.Sun.TrueElevation)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "stops between model and measurements", math.Log2(k.Global.Lux()/float64(want)), 0, 0.35, "Seidelmann1992")
	}
	if e, _ := sky.GroundLight(65 * measure.Degree); e < 100_000 {
		t.Errorf("a high sun gives %v, want above 100 000 lx", e)
	}
}

// Twilight at its ends [WmoTwilight00].
func TestTwilight(t *testing.T) {
	for _, c := range []struct{ elevation, want, tol float64 }{{-12, 0.008, 0.0006}, {-17.999, 0.0006, 0.0001}} {
		e, err := sky.GroundLight(measure.Angle(c.elevation) * measure.Degree)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "twilight", float64(e), c.want, c.tol, "WmoTwilight00")
	}
	s := sunUp(0, 0)
	s.Elevation, s.TrueElevation, s.Zenith = -19*measure.Degree, -19*measure.Degree, 109*measure.Degree
	for covered := range 2 {
		k, err := sky.Weather{Clear: sky.UsualClear(), Covered: float64(covered)}.Sky(s, 1)
		if err != nil || k.Global.Lux() != 0 || k.Direct.Lux() != 0 {
			t.Errorf("at night the sky gives %g lx, error %v", k.Global.Lux(), err)
		}
	}
}

// The noons of a year under cloud at 51° north run from 6000 to 20 000 lx [LampHandbook00]; the ratio of light on the
// ground to zenith luminance is 7 pi/9 in the overcast sky [ISO15469], and the two published formulas have it
// [Krochmann1974].
func TestOvercast(t *testing.T) {
	for _, c := range []struct{ elevation, want float64 }{{15.6, 6000}, {62.4, 20000}} {
		k, err := sky.Overcast(sunUp(90-c.elevation, 180))
		if err != nil {
			t.Fatal(err)
		}
		near(t, "covered noon", k.Global.Lux(), c.want, 0.06*c.want, "LampHandbook00")
		zenith, err := k.Luminance(0, 90*measure.Degree)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "zenith", zenith, 123+8600*math.Sin(c.elevation*math.Pi/180), 0.005*zenith, "Krochmann1974")
		low, err := k.Luminance(77*measure.Degree, 0)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "zenith over horizon", zenith/low, 3, 1e-9, "ISO15469")
		cct, err := k.Global.CCT()
		if err != nil {
			t.Fatal(err)
		}
		near(t, "colour of a covered sky", cct, sky.OvercastCCT, 25, "CIE15")
		if k.Kind != light.Overcast || k.Direct.Lux() != 0 {
			t.Errorf("a covered sky is %s with %g lx of sun", k.Kind, k.Direct.Lux())
		}
	}
}

// The pattern of the clear sky at one point as another program prints it: zenith distance 45° opposite to a sun 30° from
// the zenith [SkyDome00].
func TestClearPattern(t *testing.T) {
	k, err := sky.UsualClear().Spectra(sunUp(30, 0), 100)
	if err != nil {
		t.Fatal(err)
	}
	point, err := k.Luminance(180*measure.Degree, 45*measure.Degree)
	if err != nil {
		t.Fatal(err)
	}
	zenith, err := k.Luminance(0, 90*measure.Degree)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "relative luminance", point/zenith, 0.4544524, 5e-7, "SkyDome00")
}

// The dome adds up to the light on level ground, whatever the sun does: an independent, finer sum.
func TestDomeAddsUp(t *testing.T) {
	for _, zenith := range []float64{5, 30, 60, 80, 90} {
		for _, covered := range []float64{0, 0.4, 1} {
			k, err := sky.Weather{Clear: sky.UsualClear(), Covered: covered}.Sky(sunUp(zenith, 123), 200)
			if err != nil {
				t.Fatal(err)
			}
			sum, want := 0.0, k.Diffuse.Lux()
			for e := 0.5; e < 90; e++ {
				s, c := math.Sincos(e * math.Pi / 180)
				for a := 1.5; a < 360; a += 3 {
					l, err := k.Luminance(measure.Angle(a)*measure.Degree, measure.Angle(e)*measure.Degree)
					if err != nil {
						t.Fatal(err)
					}
					sum += l * s * c * math.Pi / 180 * 3 * math.Pi / 180
				}
			}
			near(t, "sum over the dome", sum/want, 1, 0.008, "its definition")
		}
	}
}

func TestSkyRefuses(t *testing.T) {
	good := sunUp(50, 180)
	bad := []func(c *sky.Clear){
		func(c *sky.Clear) { c.OzoneAtmCm = 300 }, func(c *sky.Clear) { c.Aerosol500 = math.NaN() }, func(c *sky.Clear) { c.WaterCm = -1 },
		func(c *sky.Clear) { c.Albedo = 1.2 }, func(c *sky.Clear) { c.PressureHPa = 101300 },
	}
	for i, spoil := range bad {
		c := sky.UsualClear()
		spoil(&c)
		if _, err := c.Spectra(good, 80); err == nil {
			t.Errorf("bad air %d was taken", i)
		}
		if _, err := c.Lines(good, 80); err == nil {
			t.Errorf("bad air %d was taken for lines", i)
		}
		if _, err := (sky.Weather{Clear: c, Covered: 1}).Sky(good, 80); err == nil {
			t.Errorf("bad air %d was taken under cloud", i)
		}
	}
	if _, err := sky.UsualClear().Spectra(good, 0); err == nil {
		t.Error("day 0 was taken")
	}
	if _, err := sky.UsualClear().Spectra(sky.Sun{Zenith: measure.Angle(math.NaN())}, 1); err == nil {
		t.Error("a sun that is nowhere was taken")
	}
	if _, err := (sky.Weather{Clear: sky.UsualClear(), Covered: 1.1}).Sky(good, 1); err == nil {
		t.Error("more than all cloud was taken")
	}
}
