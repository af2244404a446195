package light

import (
	"fmt"
	"math"

	"platewright/measure"
)

// Shapes of the LED family, in nm. They were fitted by eye to LED-B1 to B5, V1 and V2 of [CIE15], whose actinic ratios
// the family then meets within 0.15 stop.
const (
	bluePump   = 430.0 // from here on a pump is blue: its own light is the lamp's blue
	blueWidth  = 7.5   // of a blue pump's sech line, 20 nm wide at half its height
	pumpWidth  = 5.6   // of a violet pump's sech line, 15 nm wide
	violetLeak = 0.088 // share of a violet pump's line in the power of the lamp
)

// LED returns a white LED lamp by its colour temperature, 2200 to 10000 K, and the peak of its pump, 400 to 470 nm: a
// parametric family of our own. A pump from 430 nm on is blue, and a green and a red phosphor are added until the
// chromaticity is that of the black body up to 4500 K, of daylight from 5500 K, and between both in between. A violet
// pump leaks 9 % of the power, and a blue phosphor stands for the blue. 300 to 830 nm at 5 nm, 100 at 560 nm.
//
// It is refused when no mixture of the phosphors has that colour, as at a low temperature with a pump near 425 nm.
func LED(cct, pumpNM float64) (Source, error) {
	if err := measure.Within("colour temperature of an LED", cct, 2200, 10000, "K"); err != nil {
		return Source{}, err
	}
	if err := measure.Within("peak of the pump of an LED", pumpNM, 400, 470, "nm"); err != nil {
		return Source{}, err
	}
	parts := blueParts(pumpNM)
	if pumpNM < bluePump {
		parts = violetParts(pumpNM)
	}
	amounts, ok := mixture(parts, whiteOf(cct))
	if !ok {
		return Source{}, fmt.Errorf("no mixture of the phosphors makes %g K white of a pump at %g nm; a blue pump from %g nm on makes all from 2200 to 10000 K", cct, pumpNM, bluePump)
	}
	power := parts[0].Scaled(amounts[0]).Plus(parts[1].Scaled(amounts[1])).Plus(parts[2].Scaled(amounts[2]))
	return Source{Name: fmt.Sprintf("LED of %.0f K, pump at %g nm", cct, pumpNM), Kind: WhiteLED, Power: power.Scaled(100 / power.At(560)),
		From: "An estimate: a family of pump and phosphors that meets the CIE's typical lamps of its kind within 0.15 stop of actinic ratio; a pump 5 nm off moves it by a third to half a stop."}, nil
}

// blueParts returns a blue pump and two phosphors.
func blueParts(pumpNM float64) [3]Spectrum {
	return [3]Spectrum{line(pumpNM, blueWidth), hump(535, 30, 45), hump(610, 40, 45)}
}

// violetParts returns three phosphors, each with its share of the violet that pumps it.
func violetParts(pumpNM float64) [3]Spectrum {
	pump := line(pumpNM, pumpWidth)
	parts := [3]Spectrum{hump(475, 35, 45), hump(530, 40, 45), hump(615, 45, 50)}
	for i, p := range parts {
		leak := violetLeak / (1 - violetLeak) * p.Integral(0, LongestNM) / pump.Integral(0, LongestNM)
		parts[i] = p.Plus(pump.Scaled(leak))
	}
	return parts
}

// line is the line of a pump: its flanks fall like those of an emitting diode, slower than a normal curve.
func line(peak, width float64) Spectrum {
	return sampled(func(nm float64) float64 { return 1 / math.Cosh((nm-peak)/width) })
}

// hump is the band of a phosphor, steeper toward the violet.
func hump(peak, before, after float64) Spectrum {
	return sampled(func(nm float64) float64 {
		d := (nm - peak) / after
		if nm < peak {
			d = (nm - peak) / before
		}
		return math.Exp(-d * d / 2)
	})
}

// whiteOf returns the tristimulus values, Y = 1, of the white that a lamp of a colour temperature is made for.
func whiteOf(cct float64) [3]float64 {
	at := func(s Spectrum) [3]float64 {
		X, Y, Z := s.XYZ()
		return [3]float64{X / Y, 1, Z / Y}
	}
	const black, sky = 4500, 5500
	switch {
	case cct <= black:
		return at(planck(cct))
	case cct >= sky:
		return at(daylight(cct))
	}
	a, b, f := at(planck(cct)), at(daylight(cct)), (cct-black)/(sky-black)
	return [3]float64{a[0] + f*(b[0]-a[0]), 1, a[2] + f*(b[2]-a[2])}
}

// mixture returns the amounts of three lights that make a white, by Cramer's rule, and false when one would be negative.
func mixture(parts [3]Spectrum, white [3]float64) (amounts [3]float64, ok bool) {
	var c [3][3]float64
	for i, p := range parts {
		c[i][0], c[i][1], c[i][2] = p.XYZ()
	}
	all := determinant(c)
	for i := range parts {
		with := c
		with[i] = white
		amounts[i] = determinant(with) / all
		if !(amounts[i] >= 0) {
			return amounts, false
		}
	}
	return amounts, true
}

func determinant(m [3][3]float64) float64 {
	return m[0][0]*(m[1][1]*m[2][2]-m[1][2]*m[2][1]) - m[0][1]*(m[1][0]*m[2][2]-m[1][2]*m[2][0]) + m[0][2]*(m[1][0]*m[2][1]-m[1][1]*m[2][0])
}
