package light_test

import (
	"fmt"
	"math"
	"testing"

	"platewright/light"
	"platewright/measure"
)

// plate is the response of an iodo-bromide collodion per J/m², 300 to 560 nm at 10 nm, as the notes that these check
// values come from had it [PlateNotes2026].
func plate(t *testing.T) light.Spectrum {
	return spectrum(t, 300, 10, .35, .50, .62, .70, .76, .80, .83, .86, .89, .92, .95, .98, 1.00, .90,
		.58, .32, .17, .090, .045, .022, .011, .0055, .0027, .0013, .0006, .0003, .00015)
}

func spectrum(t *testing.T, first, step float64, v ...float64) light.Spectrum {
	t.Helper()
	s, err := light.NewSpectrum(first, step, v)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func named(t *testing.T, name string) light.Spectrum {
	t.Helper()
	s, err := light.Named(name)
	if err != nil {
		t.Fatal(err)
	}
	return s.Power
}

func filter(t *testing.T, name string) light.Spectrum {
	t.Helper()
	f, err := light.FilterOf(name)
	if err != nil {
		t.Fatal(err)
	}
	return f.Pass
}

// published: what a plate makes of a lux under many lights, through the old lens, against D55.
func TestPublishedActinicRatios(t *testing.T) {
	sees, lens := plate(t), filter(t, light.OldLens)
	perLumen := func(s light.Spectrum) float64 { return s.Times(lens).Weighed(sees) / s.Lux() }
	d55 := perLumen(light.D55().Power)
	check(t, "actinic W per lm of D55", d55, 7.2938e-4, 1e-6, "[PlateNotes2026]")
	for _, tt := range []struct {
		name       string
		ratio, tol float64
	}{
		{"A", .284, .0005}, {"D65", 1.346, .0005}, {"D75", 1.662, .0005}, {"G173 global", 1.120, .0005}, {"G173 direct", .954, .0005},
		{"FL2", .605, .0005}, {"FL7", .942, .0005}, {"FL11", .490, .0005}, {"FL12", .354, .0005},
		{"LED-B1", .122, .0005}, {"LED-B2", .145, .0005}, {"LED-B3", .291, .0005}, {"LED-B4", .362, .0005}, {"LED-B5", .453, .0005},
		{"LED-V1", .502, .0005}, {"LED-V2", .709, .0005}, {"LED-RGB1", .102, .0005},
	} {
		check(t, tt.name+" per lux against D55", perLumen(named(t, tt.name))/d55, tt.ratio, tt.tol, "[PlateNotes2026]")
	}
	warm, err := light.Planck(3200)
	if err != nil {
		t.Fatal(err)
	}
	check(t, "black body of 3200 K per lux against D55", perLumen(warm.Power)/d55, .407, .0005, "[PlateNotes2026]")
	for tube, ratio := range map[light.Tube]float64{light.ClearTube: 1.763, light.PartUV: 1.266, light.UVCut: .597} {
		s, err := light.Flash(tube)
		if err != nil {
			t.Fatal(err)
		}
		check(t, "flash, "+string(tube)+", per lux against D55", perLumen(s.Power)/d55, ratio, .0005, "[PlateNotes2026]")
	}

	stops := func(glass light.Spectrum) float64 {
		return math.Log2(light.D55().Power.Times(glass).Weighed(sees) / light.D55().Power.Weighed(sees))
	}
	check(t, "old lens against none", stops(lens), -.09, .005, "[PlateNotes2026]")
	for edge, loss := range map[float64]float64{340: .02, 360: .12, 380: .29, 400: .55, 410: .81, 420: 1.19} {
		cut := filter(t, fmt.Sprintf("cut below %g nm", edge))
		got := -math.Log2(perLumen(light.D55().Power.Times(cut)) / d55) // the eye loses nothing worth telling
		check(t, fmt.Sprintf("loss by a cut below %g nm", edge), got, loss, .005, "[PlateNotes2026]")
	}

	blue := spectrum(t, 300, 5, blueHazard()...)
	check(t, "blue-light watts per lm of D65", named(t, "D65").Weighed(blue)/named(t, "D65").Lux(), 9.89e-4, 1e-5, "[PlateNotes2026], to 1 %")
	check(t, "blue-light watts per lm of A", named(t, "A").Weighed(blue)/named(t, "A").Lux(), 3.07e-4, 3e-6, "[PlateNotes2026], to 1 %")
}

// blueHazard is the weight of the blue-light hazard, 300 to 700 nm at 5 nm [PlateNotes2026].
func blueHazard() []float64 {
	return []float64{
		0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 0.013, 0.025, 0.05,
		0.1, 0.2, 0.4, 0.8, 0.9, 0.95, 0.98, 1, 1, 0.97, 0.94, 0.9, 0.8, 0.7, 0.62, 0.55, 0.45, 0.4, 0.22, 0.16,
		0.1, 0.07943, 0.0631, 0.05012, 0.03981, 0.03162, 0.02512, 0.01995, 0.01585, 0.01259, 0.01, 0.007943, 0.00631, 0.005012, 0.003981, 0.003162, 0.002512, 0.001995, 0.001585, 0.001259,
		0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.001,
		0.001,
	}
}

// published: tables and formulas of the lights.
func TestPublishedLights(t *testing.T) {
	usual, err := named(t, "D65").On(380, 780, 5)
	if err != nil {
		t.Fatal(err)
	}
	X, Y, Z := usual.XYZ()
	check(t, "D65 X for Y 100", 100*X/Y, 95.043, .0005, "[CIE15; PlateNotes2026], 380 to 780 nm at 5 nm")
	check(t, "D65 Z for Y 100", 100*Z/Y, 108.880, .0005, "[CIE15; PlateNotes2026], 380 to 780 nm at 5 nm")

	for _, nm := range []float64{300, 380, 450, 560, 700, 780, 830} { // the formula that defines A
		ratio := math.Pow(560/nm, 5) * math.Expm1(1.435e7/(2848*560)) / math.Expm1(1.435e7/(2848*nm))
		check(t, fmt.Sprintf("A at %g nm", nm), named(t, "A").At(nm), 100*ratio, 1e-5*ratio+5e-7, "[CIE15], formula of A")
	}
	check(t, "A at 380 nm", named(t, "A").At(380), 9.7951, 5e-5, "[CIE15]")
	check(t, "A at 780 nm", named(t, "A").At(780), 241.675, 5e-4, "[CIE15]")

	x, y := light.DaylightChromaticity(6503.6)
	check(t, "x of daylight at 6503.6 K", x, .312721, 1e-6, "[CIE15; PlateNotes2026]")
	check(t, "y of daylight at 6503.6 K", y, .329126, 1e-6, "[CIE15; PlateNotes2026]")
	M1, M2 := light.DaylightMultipliers(6503.6)
	check(t, "M1 at 6503.6 K", M1, -.295, 1e-9, "[CIE15; PlateNotes2026]")
	check(t, "M2 at 6503.6 K", M2, -.689, 1e-9, "[CIE15; PlateNotes2026]")
	M1, M2 = light.DaylightMultipliers(5503)
	check(t, "M1 at 5503 K", M1, -.785, 1e-9, "[CIE15; PlateNotes2026]")
	check(t, "M2 at 5503 K", M2, -.198, 1e-9, "[CIE15; PlateNotes2026]")
	rebuilt, err := light.Daylight(6503.6)
	if err != nil {
		t.Fatal(err)
	}
	worst := 0.0
	rebuilt.Power.Each(func(nm, v float64) { worst = max(worst, math.Abs(v-named(t, "D65").At(nm))) })
	check(t, "D65 composed against its table", worst, 0, .00095, "[CIE15], table to four decimals; the notes found 0.00085")

	global, direct := named(t, "G173 global"), named(t, "G173 direct")
	check(t, "global sunlight 300 to 830 nm in W/m²", global.Integral(300, 830), 620.527, .01, "[ASTMG173; PlateNotes2026]")
	check(t, "direct sunlight 300 to 830 nm in W/m²", direct.Integral(300, 830), 537.856, .01, "[ASTMG173; PlateNotes2026]")
	check(t, "global sunlight in lx", global.Lux(), 109493, 20, "[ASTMG173; PlateNotes2026]")
	check(t, "direct sunlight in lx", direct.Lux(), 97140, 20, "[ASTMG173; PlateNotes2026]")

	green := spectrum(t, 554, 1, 0, 1, 0) // W/m²/nm: 1 W/m² at 555 nm
	check(t, "lm per W at 555 nm", green.Lux(), 683, .5, "[CIE18]")

	// The whole power of a black body is that of Stefan and Boltzmann: sigma T^4 = 2 pi^5 k^4 T^4 / (15 h^3 c^2). What is
	// seen of it is compared with a paper's figures.
	for kelvin, want := range map[float64]float64{4000: 54.7, 7000: 95} {
		s, err := light.Planck(kelvin)
		if err != nil {
			t.Fatal(err)
		}
		const c1, c2, sigma = 3.741771852e-16, 1.438776877e-2, 5.670374419e-8 // SI; exitance, so c1 = 2 pi h c²
		at560 := c1 / math.Pow(560e-9, 5) / math.Expm1(c2/(560e-9*kelvin)) * 1e-9
		lm := s.Power.Scaled(at560 / 100).Lux()
		check(t, fmt.Sprintf("lm per W of a black body of %g K", kelvin), lm/(sigma*math.Pow(kelvin, 4)), want, .5, "[WhiteLimit2012], 7000 K to the unit")
	}
	sun, err := light.Planck(5800)
	if err != nil {
		t.Fatal(err)
	}
	ends := (sun.Power.At(400) + sun.Power.At(700)) / 2 * 5 // trapezoid
	check(t, "lm per W of 5800 K cut to 400 to 700 nm", sun.Power.Lux()/(sun.Power.Integral(400, 700)-ends), 251, 1, "[WhiteLimit2012]; V beyond the cuts adds 0.01 %")
}

// published: what glass lets through.
func TestPublishedGlass(t *testing.T) {
	glass := func(kind string, mm float64) light.Spectrum {
		f, err := light.Glass(kind, measure.Length(mm))
		if err != nil {
			t.Fatal(err)
		}
		return f.Pass
	}
	for _, tt := range []struct {
		kind             string
		mm, nm, tau, tol float64
	}{
		{"N-BK7", 10, 320, .770, .0005}, {"N-BK7", 10, 350, .9672, .0002}, {"N-BK7", 10, 365, .988, .0005}, {"N-BK7", 10, 400, .997, .0005},
		{"K7", 10, 320, .707, .0005}, {"K7", 10, 350, .976, .0005},
		{"F2", 10, 350, .9054, .0002}, {"F2", 10, 365, .968, .0005}, {"F2", 10, 400, .994, .0005}, {"F2", 9, 350, .9145, .0005},
		{"SF2", 10, 350, .672, .0005}, {"SF2", 10, 365, .877, .0005}, {"SF2", 10, 400, .981, .0005},
	} {
		check(t, fmt.Sprintf("%g mm of %s at %g nm", tt.mm, tt.kind, tt.nm), glass(tt.kind, tt.mm).At(tt.nm), tt.tau, tt.tol, "[OpticalGlass17; PlateNotes2026]")
	}
	for kind, half := range map[string]float64{"N-BK7": 307, "K7": 313, "F2": 333, "SF2": 343} {
		low, high := 300.0, 400.0
		for range 40 {
			if mid := (low + high) / 2; glass(kind, 10).At(mid) < .5 {
				low = mid
			} else {
				high = mid
			}
		}
		check(t, "wavelength at which 10 mm of "+kind+" pass half", low, half, .5, "[OpticalGlass17; PlateNotes2026]")
	}
	for nm, tau := range map[float64]float64{320: .04, 330: .34, 340: .70, 350: .88, 360: .94, 380: .98, 400: .99} {
		check(t, fmt.Sprintf("old lens at %g nm", nm), filter(t, light.OldLens).At(nm), tau, .006, "[OpticalGlass17; PlateNotes2026]; .695 at 340 nm is printed .70")
	}
}

// published: the family of LED lamps against the typical lamps of the CIE, by what a plate makes of a lux.
func TestPublishedLEDFamily(t *testing.T) {
	sees, lens := plate(t), filter(t, light.OldLens)
	perLumen := func(s light.Spectrum) float64 { return s.Times(lens).Weighed(sees) / s.Lux() }
	for _, tt := range []struct {
		name         string
		kelvin, pump float64 // the lamp's own colour temperature and the top of its line
	}{
		{"LED-B1", 2733, 452}, {"LED-B2", 2998, 452}, {"LED-B3", 4103, 448}, {"LED-B4", 5109, 451.5}, {"LED-B5", 6598, 452},
		{"LED-V1", 2724, 413}, {"LED-V2", 4070, 412.5},
	} {
		lamp, err := light.LED(tt.kelvin, tt.pump)
		if err != nil {
			t.Fatal(err)
		}
		check(t, "stops between the family and "+tt.name, math.Log2(perLumen(lamp.Power)/perLumen(named(t, tt.name))), 0, .15, "[CIE15]; the band the family states")
		shifted, err := light.LED(tt.kelvin, tt.pump-5)
		if err != nil {
			t.Fatal(err)
		}
		if d := math.Log2(perLumen(shifted.Power) / perLumen(lamp.Power)); tt.pump > 430 && !(d > .2 && d < .55) {
			t.Errorf("%s: a pump 5 nm shorter gives %.2f stop; a third to half is what the lamp's note says", tt.name, d)
		}
	}
}
