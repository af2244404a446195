package light

import (
	"math"

	"platewright/measure"
)

// Luminance is a luminance, cd/m².
type Luminance float64

// Ends of the constant K of reflected-light meters and cameras, cd·s/m²: 10.6 to 13.4 are recommended [ISO2720], 14 is in
// use too.
const (
	ReflectedConstantLow  = 10.6
	ReflectedConstantHigh = 14.0
)

// GreyCard is the reflectance of a grey card as sold. The card must be lit as the face is, square to the camera or a little
// to the light, and fill the spot that is metered.
const GreyCard = 0.18

// MeterSetting is what a meter or camera shows or sets: a stop and a time for an index.
type MeterSetting struct {
	Aperture measure.FNumber
	Time     Seconds
	Index    ExposureIndex // ISO, on a camera or a telephone
}

// Check refuses a setting with a figure that no camera has.
func (m MeterSetting) Check() error {
	if err := measure.Within("aperture", float64(m.Aperture), 0.5, 512, ""); err != nil {
		return err
	}
	if err := measure.Within("time", float64(m.Time), 1e-6, 1e5, "s"); err != nil {
		return err
	}
	return measure.Within("index", float64(m.Index), 0.001, 1e7, "")
}

// EV returns the exposure value at index 100 of the setting: log2(N²/t) less what the index is above 100 [ISO2720].
func (m MeterSetting) EV() (measure.EV, error) {
	if err := m.Check(); err != nil {
		return 0, err
	}
	N := float64(m.Aperture)
	return measure.EV(math.Log2(N * N / float64(m.Time) * 100 / float64(m.Index))), nil
}

// EVAtIndex returns the exposure value for another index of a light that is ev at index 100.
func EVAtIndex(ev measure.EV, index ExposureIndex) (measure.EV, error) {
	if err := measure.Within("index", float64(index), 0.001, 1e7, ""); err != nil {
		return 0, err
	}
	return ev + measure.EV(math.Log2(float64(index)/100)), nil
}

// Luminance returns the luminance at which a reflected-light meter or camera takes the setting, L = K N²/(t S) [ISO2720],
// with K [ReflectedConstant].
func (m MeterSetting) Luminance() (Luminance, error) {
	if err := m.Check(); err != nil {
		return 0, err
	}
	N := float64(m.Aperture)
	return Luminance(ReflectedConstant * N * N / (float64(m.Time) * float64(m.Index))), nil
}

// CardReading is a card metered through a camera, a telephone or a spot meter.
type CardReading struct {
	MeterSetting
	Reflectance float64 // of the card, 0.01 to 1; [GreyCard]
}

// Lit is an incident light found from a card, and the same for the ends of the meter's constant.
type Lit struct{ Light, Low, High Lux }

// Incident returns the light that falls on the card: E = pi L/rho for a matt one. Cameras set their index and their
// meters as they like, so check yours once against an incident meter.
func (c CardReading) Incident() (Lit, error) {
	L, err := c.Luminance()
	if err != nil {
		return Lit{}, err
	}
	if err := measure.Within("reflectance", c.Reflectance, 0.01, 1, ""); err != nil {
		return Lit{}, err
	}
	E := math.Pi * float64(L) / c.Reflectance // [Lambert1760]
	return Lit{Light: Lux(E), Low: Lux(E * ReflectedConstantLow / ReflectedConstant), High: Lux(E * ReflectedConstantHigh / ReflectedConstant)}, nil
}

// Speed numbers of the old hand-books for negatives, all of one figure: the inertia, lx·s, where the straight part of the
// curve drawn on meets no density [HurterDriffield1890]. None is the exposure index of a positive plate.

// HurterDriffield returns the H&D number of an inertia.
func HurterDriffield(inertia LuxSeconds) (float64, error) {
	if err := measure.Within("inertia", float64(inertia), 1e-6, 1e6, "lx·s"); err != nil {
		return 0, err
	}
	return 34 / float64(inertia), nil
}

// Watkins returns the Watkins number of an inertia.
func Watkins(inertia LuxSeconds) (float64, error) {
	hd, err := HurterDriffield(inertia)
	return hd * 50 / 34, err
}

// Wynne returns the Wynne number, written F 101, of an inertia.
func Wynne(inertia LuxSeconds) (float64, error) {
	w, err := Watkins(inertia)
	return 6.4 * math.Sqrt(w), err
}

// LeastByHand returns the shortest time that a hand gives within a tolerance, when its scatter is [CapScatter]: the cap one
// standard deviation late is then the tolerance too much. No hand's scatter is below [CountingScatter], so a tolerance
// that is smaller is refused.
func LeastByHand(tolerance measure.Stops) (Seconds, error) {
	least := measure.StopsOf(1 + CountingScatter)
	if err := measure.Within("tolerance", float64(tolerance), float64(least)+0.001, 10, "stops"); err != nil {
		return 0, err
	}
	late := tolerance.Factor() - 1 // sqrt((w t)² + s²) = late t
	return HandlingScatter / Seconds(math.Sqrt(late*late-CountingScatter*CountingScatter)), nil
}
