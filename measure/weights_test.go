package measure_test

import (
	"math"
	"testing"

	"platewright/measure"
)

// published: the conversion factors as printed, to half a unit of the last printed digit.
func TestUnitsAgreeWithPublishedTables(t *testing.T) {
	for _, tt := range []struct {
		name      string
		got, want float64
		tol       float64
		source    string
	}{
		{"inch in mm", measure.Inch.Millimetres(), 25.4, 1e-12, "[SP811, app. B.9] 2.54 E-02 m, exact"},
		{"foot in m", measure.Foot.Metres(), 0.3048, 1e-15, "[SP811, app. B.9] 3.048 E-01 m, exact"},
		{"yard in m", measure.Yard.Metres(), 0.9144, 1e-15, "[SP811, app. B.9] 9.144 E-01 m, exact"},
		{"degree in rad", measure.Degree.Radians(), 1.745329e-2, 5e-9, "[SP811, app. B.8] 1.745 329 E-02"},
		{"grain in g", measure.Grain.Grams(), 0.06479891, 1e-17, "[SP811, app. B.9] 6.479 891 E-05 kg, exact"},
		{"ounce avoirdupois in g", measure.AvoirdupoisOunce.Grams(), 28.34952, 5e-6, "[SP811, app. B.9] 2.834 952 E-02 kg"},
		{"ounce troy or apothecary in g", measure.ApothecaryOunce.Grams(), 31.10348, 5e-6, "[SP811, app. B.9] 3.110 348 E-02 kg"},
		{"pound avoirdupois in g", measure.AvoirdupoisPound.Grams(), 453.59237, 1e-12, "[UkWeights1985, sch. 1 part V] 0.453 592 37 kg"},
		{"ounce troy in g, statute", measure.ApothecaryOunce.Grams(), 31.1034768, 1e-12, "[UkWeights1985, sch. 1 part V] 0.031 103 476 8 kg"},
		{"ounce troy in pounds av", float64(measure.ApothecaryOunce / measure.AvoirdupoisPound), 12. / 175, 1e-15, "[UkWeights1985, sch. 1 part V] 12/175 pound"},
		{"pound troy or apothecary in g", measure.TroyPound.Grams(), 373.2417, 5e-5, "[SP811, app. B.9] 3.732 417 E-01 kg"},
		{"drachm in grains", measure.ApothecaryDrachm.Grains(), 60, 1e-12, "[Cooley1880, p. 1491] 1 drachm 60 grains"},
		{"scruple in grains", measure.Scruple.Grains(), 20, 1e-12, "[Cooley1880, p. 1491] 1 scruple 20 grains"},
		{"ounce apothecary in grains", measure.ApothecaryOunce.Grains(), 480, 1e-11, "[Cooley1880, p. 1491] 1 ounce 480 grains"},
		{"gallon US in l", measure.USGallon.Litres(), 3.785412, 5e-7, "[SP811, app. B.9] 3.785 412 E-03 m3"},
		{"quart US in l", measure.USQuart.Litres(), 0.9463529, 5e-8, "[SP811, app. B.9] 9.463 529 E-04 m3"},
		{"pint US in l", measure.USPint.Litres(), 0.4731765, 5e-8, "[SP811, app. B.9] 4.731 765 E-04 m3"},
		{"fluid ounce US in ml", measure.USFluidOunce.Millilitres(), 29.57353, 5e-6, "[SP811, app. B.9] 2.957 353 E-05 m3"},
		{"fluid dram US in ml", measure.USFluidDram.Millilitres(), 3.6966911953125, 1e-13, "[HB44, app. C] quoted"},
		{"gallon imperial in l", measure.ImperialGallon.Litres(), 4.54609, 1e-14, "[SP811, app. B.9] 4.546 09 E-03 m3, exact"},
		{"fluid ounce imperial in ml", measure.ImperialFluidOunce.Millilitres(), 28.41306, 5e-6, "[SP811, app. B.9] 2.841 306 E-05 m3"},
		{"fluid ounce imperial in ml, long", measure.ImperialFluidOunce.Millilitres(), 28.4130625, 1e-12, "[HB44, app. C] quoted"},
		{"fluid drachm imperial in ml", measure.ImperialFluidDrachm.Millilitres(), 3.5516328125, 1e-13, "[HB44, app. C] quoted"},
		{"minims in a US pint", float64(measure.USPint / measure.USMinim), 7680, 1e-9, "[Sulz1888, weights and measures] 7680 minims = 1 pt"},
		{"minims in an imperial pint", float64(measure.ImperialPint / measure.ImperialMinim), 9600, 1e-9, "[Sulz1888, weights and measures] 9600 minims = 1 pt"},
		{"US fluid ounce in cubic inches", measure.USFluidOunce.Millilitres() / math.Pow(2.54, 3), 1.8047, 5e-5, "[Sulz1888, weights and measures] 1.8047 cubic inches"},
		{"minim of a drachm", float64(measure.ImperialFluidDrachm / measure.ImperialMinim), 60, 1e-11, "[Cooley1880, p. 1491] a minim is 1/60 fluid drachm"},
		{"ounce of a gallon", float64(measure.ImperialGallon / measure.ImperialFluidOunce), 160, 1e-11, "[Cooley1880, p. 1491] 1/160 imperial gallon"},
	} {
		if math.Abs(tt.got-tt.want) > tt.tol {
			t.Errorf("%s = %.12g, want %.12g ± %g %s", tt.name, tt.got, tt.want, tt.tol, tt.source)
		}
	}
}

// identity: the four ounces are four. Each pair differs, by these shares of the smaller.
func TestFourOuncesStayApart(t *testing.T) {
	if d := measure.ApothecaryOunce.Grains() - measure.AvoirdupoisOunce.Grains(); math.Abs(d-42.5) > 1e-9 {
		t.Errorf("apothecary ounce less avoirdupois ounce = %g grains, want 42.5 (480 - 437.5)", d)
	}
	us, imperial := measure.USFluidOunce.Millilitres(), measure.ImperialFluidOunce.Millilitres()
	// 473176473/454609000 is printed as the US fluid ounce in imperial ones [HB44, app. C] quoted.
	if got, want := us/imperial, 473176473./454609000.; math.Abs(got-want) > 1e-12 {
		t.Errorf("US fluid ounce = %.12g imperial, want %.12g", got, want)
	}
	// An imperial fluid ounce of water weighs 437.5 grains at 62 °F in air [Cooley1880, p. 1491]:
	// one avoirdupois ounce, so the two figures are near each other and still not the same.
	if share := measure.AvoirdupoisOunce.Grams() / imperial; share > 0.9985 || share < 0.9970 {
		t.Errorf("avoirdupois ounce over imperial fluid ounce = %.5f g/ml, want water's 0.997 to 0.9985 at 62 °F in air", share)
	}
	four := map[string]float64{
		"oz av": measure.AvoirdupoisOunce.Grams(), "oz troy": measure.ApothecaryOunce.Grams(),
		"imp fl oz": imperial, "US fl oz": us,
	}
	for a, x := range four {
		for b, y := range four {
			if a != b && math.Abs(x-y)/x < 0.002 {
				t.Errorf("%s (%g) and %s (%g) are not kept apart", a, x, b, y)
			}
		}
	}
}

// published: fixed points of the two scales.
func TestFahrenheit(t *testing.T) {
	for _, tt := range []struct{ f, c float64 }{{32, 0}, {212, 100}, {68, 20}, {-40, -40}} {
		// t/°C = (t/°F - 32)/1.8 [SP811, app. B.9]
		if got := measure.FromFahrenheit(tt.f); math.Abs(float64(got)-tt.c) > 1e-12 {
			t.Errorf("%g °F = %g °C, want %g", tt.f, float64(got), tt.c)
		}
		if got := measure.Celsius(tt.c).Fahrenheit(); math.Abs(got-tt.f) > 1e-12 {
			t.Errorf("%g °C = %g °F, want %g", tt.c, got, tt.f)
		}
	}
}

// identity: a logarithm and back, and the stop as twice the light.
func TestStops(t *testing.T) {
	for _, ratio := range []float64{0.001, 0.5, 1, 2.045, 4, 1e6} {
		if got := measure.StopsOf(ratio).Factor(); math.Abs(got/ratio-1) > 1e-12 {
			t.Errorf("StopsOf(%g).Factor() = %g", ratio, got)
		}
	}
	if got := measure.StopsOf(4); got != 2 {
		t.Errorf("StopsOf(4) = %v, want 2", float64(got))
	}
}
