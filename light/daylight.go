package light

import (
	"fmt"
	"math"

	"platewright/measure"
)

// Daylight returns a phase of daylight by its correlated colour temperature, 4000 to 25000 K, as the CIE composes it
// from the mean and the two departures of 622 measured skies [CIE15]; 300 to 830 nm at 5 nm, 100 at 560 nm.
// The multipliers are rounded to three decimals as the CIE does.
func Daylight(cct float64) (Source, error) {
	if err := measure.Within("colour temperature of daylight", cct, 4000, 25000, "K"); err != nil {
		return Source{}, err
	}
	kind := AnyDaylight
	switch {
	case cct >= 9000:
		kind = Shade
	case cct >= 6000:
		kind = Overcast
	}
	return Source{Name: fmt.Sprintf("daylight of %.0f K", cct), Kind: kind, Power: daylight(cct),
		From: "Composed by the formula of the CIE from the components of daylight; a phase of daylight, not this day's sky."}, nil
}

// daylight composes the spectrum.
func daylight(T float64) Spectrum {
	M1, M2 := DaylightMultipliers(T)
	return sampled(func(nm float64) float64 {
		return daylightS0.At(nm) + M1*daylightS1.At(nm) + M2*daylightS2.At(nm) // [CIE15]
	})
}

// DaylightChromaticity returns CIE 1931 x and y of the daylight of a colour temperature from 4000 to 25000 K [CIE15].
func DaylightChromaticity(kelvin float64) (x, y float64) {
	T := kelvin
	if T <= 7000 {
		x = -4.6070e9/(T*T*T) + 2.9678e6/(T*T) + 0.09911e3/T + 0.244063 // [CIE15] xD up to 7000 K
	} else {
		x = -2.0064e9/(T*T*T) + 1.9018e6/(T*T) + 0.24748e3/T + 0.237040 // [CIE15] xD above 7000 K
	}
	return x, -3*x*x + 2.870*x - 0.275 // [CIE15] yD
}

// DaylightMultipliers returns how much of either departure from the mean a phase of daylight holds, to three decimals.
func DaylightMultipliers(kelvin float64) (M1, M2 float64) {
	x, y := DaylightChromaticity(kelvin)
	M := 0.0241 + 0.2562*x - 0.7341*y // [CIE15]
	M1 = (-1.3515 - 1.7703*x + 5.9114*y) / M
	M2 = (0.0300 - 31.4424*x + 30.0717*y) / M
	return math.Round(M1*1000) / 1000, math.Round(M2*1000) / 1000
}

// Planck returns a black body of a temperature from 1000 to 25000 K, 300 to 830 nm at 5 nm, 100 at 560 nm [CIE15]. Up to
// 3500 K it is the light of an incandescent lamp, but for its glass and the emissivity of tungsten, which is higher
// toward the violet by some hundredths.
func Planck(cct float64) (Source, error) {
	if err := measure.Within("temperature of the black body", cct, coolest, 25000, "K"); err != nil {
		return Source{}, err
	}
	kind := OwnSpectrum
	if cct <= 3500 {
		kind = Tungsten
	}
	return Source{Name: fmt.Sprintf("black body of %.0f K", cct), Kind: kind, Power: planck(cct),
		From: "Planck's law with the CIE's constant; the lamp's glass, and tungsten's own emissivity, are not in it."}, nil
}
