package collodion

import (
	"math"

	"platewright/light"
	"platewright/measure"
)

// Bounds of reciprocity's exponent: 0.86 was found for dry gelatine [Reciprocity00]; 1 is no loss.
const (
	LeastReciprocity = 0.85
	NoReciprocity    = 1.0
)

// Lengthened returns the time that does what a metered time should: t^(1/p) beyond 1 s, after Schwarzschild's t^p
// [Reciprocity00]. p is 0.85 to 1. No figure for wet collodion was found: take 1 until your own plates say otherwise.
func Lengthened(t light.Seconds, p float64) (light.Seconds, error) {
	if err := reciprocal(t, p); err != nil {
		return 0, err
	}
	if t <= 1 {
		return t, nil
	}
	return light.Seconds(math.Pow(float64(t), 1/p)), nil
}

// Counts returns the time for which a given one counts: t^p beyond 1 s. It is the reverse of [Lengthened].
func Counts(t light.Seconds, p float64) (light.Seconds, error) {
	if err := reciprocal(t, p); err != nil {
		return 0, err
	}
	if t <= 1 {
		return t, nil
	}
	return light.Seconds(math.Pow(float64(t), p)), nil
}

func reciprocal(t light.Seconds, p float64) error {
	if err := measure.Within("reciprocity", p, LeastReciprocity, NoReciprocity, ""); err != nil {
		return err
	}
	return measure.Within("time", float64(t), math.SmallestNonzeroFloat64, math.MaxFloat64, "s")
}
