package chemistry

import (
	"platewright/measure"
)

// Percent is a strength in grams in 100 mL of finished solution at 20 °C (% w/v).
type Percent float64

// waterDensity is the density of water at 20 °C in g/mL [ITS90Water].
const waterDensity = 0.99820

// strongestSilver is the mass fraction up to which the density of silver nitrate is held.
const strongestSilver = 0.40

// SilverSolution is silver nitrate in water at 20 °C, with nothing else in it. A bath that has
// taken in alcohol from plates is lighter than this, so its reading tells less silver than it holds.
type SilverSolution struct {
	Strength     Percent
	MassFraction float64
	Density      Density
	Gravity      float64 // specific gravity 20/20 °C, as a hydrometer reads it
}

// silverDensity returns g/mL at mass fraction w: our cubic through the published points at 1, 5,
// 10, 20, 30 and 40 per cent by mass [ETB1958], from which it departs by at most 0.0003 g/mL.
func silverDensity(w float64) float64 {
	return 0.998305 + w*(0.842846+w*(0.483624+w*0.959790))
}

// SilverByMass returns the solution that holds the mass fraction w of silver nitrate, 0 to 0.4.
func SilverByMass(w float64) (SilverSolution, error) {
	if err := measure.Within("silver nitrate mass fraction", w, 0, strongestSilver, ""); err != nil {
		return SilverSolution{}, err
	}
	rho := silverDensity(w)
	return SilverSolution{Strength: Percent(100 * rho * w), MassFraction: w, Density: Density(rho), Gravity: rho / waterDensity}, nil
}

// SilverAt returns the solution of a strength in % w/v, up to that of 40 per cent by mass.
func SilverAt(strength Percent) (SilverSolution, error) {
	most := 100 * silverDensity(strongestSilver) * strongestSilver
	if err := measure.Within("silver nitrate strength", float64(strength), 0, most, "% w/v"); err != nil {
		return SilverSolution{}, err
	}
	// 100 ρ(w) w rises with w, so halving the interval finds the one root; the density's own
	// uncertainty is far larger than what 60 halvings leave.
	low, high := 0.0, strongestSilver
	for range 60 {
		mid := (low + high) / 2
		if 100*silverDensity(mid)*mid < float64(strength) {
			low = mid
		} else {
			high = mid
		}
	}
	return SilverByMass(low)
}

// SilverInWater returns the solution that a mass of silver nitrate gives with a volume of water,
// and its volume, which is larger than the water's.
func SilverInWater(salt measure.Mass, poured measure.Volume) (SilverSolution, measure.Volume, error) {
	if err := measure.Within("water", float64(poured), 1e-9, 1e9, "mL"); err != nil {
		return SilverSolution{}, 0, err
	}
	if err := measure.Within("silver nitrate", float64(salt), 0, 1e9, "g"); err != nil {
		return SilverSolution{}, 0, err
	}
	total := float64(salt) + float64(poured)*waterDensity
	s, err := SilverByMass(float64(salt) / total)
	if err != nil {
		return SilverSolution{}, 0, err
	}
	return s, measure.Volume(total / float64(s.Density)), nil
}
