package collodion

import (
	"fmt"
	"math"

	"platewright/measure"
)

// Salt is the metal, or the ammonium, that most of the halides came with: it decides how fast collodion ripens.
type Salt string

// Salts, the fastest to ripen first: that order is from memory.
const (
	AnySalt   Salt = "unknown"
	Ammonium  Salt = "ammonium"
	Potassium Salt = "potassium"
	Sodium    Salt = "sodium"
	Lithium   Salt = "lithium"
	Zinc      Salt = "zinc"
	Cadmium   Salt = "cadmium"
)

// Choices returns the names of the salts.
func (Salt) Choices() []string {
	var out []string
	for _, a := range agings {
		out = append(out, string(a.Salt))
	}
	return out
}

// Ageing is what is believed of a collodion's way through its bottle before any of its own plates is judged: a prior, to
// be outweighed by plates. Only the greatest loss and two lives are printed; every other figure is an assumption of ours.
type Ageing struct {
	Salt        Salt
	Ripe        float64       // days until it is usually ready
	Life        float64       // days until it is usually called old
	PerDay      measure.Stops // speed lost a day while it is young
	SigmaPerDay measure.Stops // one standard deviation of that
	From        string
}

// Printed: very old, red collodion loses up to two stops [CollodionAge00]. That a life ends with half of it is ours, and so
// is a standard deviation as great as the drift.
const (
	MostAgeLoss  = measure.Stops(2)
	lossOfALife  = measure.Stops(1)
	LongestAge   = 3650.0 // days
	youngSteep   = 0.9    // of the curve's steepness when new, and again when very old
	ripeSteep    = 0.2    // gained on that at its best
	SteepnessSD  = 0.1    // of the factor
	bestInALife  = 0.5    // of a life, where the contrast is greatest
	ourGuess     = "an assumption of ours"
	fromOrdering = "an assumption of ours after the order in which the salts ripen (from memory)"
)

// agings holds ripening and life in days, and their basis.
var agings = []struct {
	Salt
	ripe, life float64
	from       string
}{
	{AnySalt, 10, 90, ourGuess},
	{Ammonium, 3, 30, fromOrdering},
	{Potassium, 15, 30, "ripe after about 15 days and useful for about a month [CollodionLife00]"},
	{Sodium, 15, 30, fromOrdering},
	{Lithium, 7, 180, fromOrdering},
	{Zinc, 7, 180, "ready in a week and best up to six months [Wilkinson00]"},
	{Cadmium, 15, 365, fromOrdering},
}

// AgeingOf returns the prior of a collodion whose halides came mostly with one salt.
func AgeingOf(s Salt) (Ageing, error) {
	for _, a := range agings {
		if a.Salt == s || s == "" && a.Salt == AnySalt {
			drift := lossOfALife / measure.Stops(a.life)
			return Ageing{Salt: a.Salt, Ripe: a.ripe, Life: a.life, PerDay: drift, SigmaPerDay: drift,
				From: fmt.Sprintf("A prior before any plate. Ripening and life: %s. Very old red collodion loses up to two stops [CollodionAge00]; that a life ends at one, and the contrast's way, are assumptions of ours.", a.from)}, nil
		}
	}
	return Ageing{}, fmt.Errorf("no ageing is known for %q; there are %q", s, AnySalt.Choices())
}

// Loss returns the speed lost at an age in days and its standard deviation: PerDay at first, never beyond [MostAgeLoss].
//
//	loss = 2 (1 - exp(-PerDay age/2))
func (a Ageing) Loss(days float64) (loss, sigma measure.Stops, err error) {
	if err := measure.Within("age", days, 0, LongestAge, "days"); err != nil {
		return 0, 0, err
	}
	left := math.Exp(-float64(a.PerDay) * days / float64(MostAgeLoss))
	loss = MostAgeLoss * measure.Stops(1-left)
	return loss, measure.Stops(days*left) * a.SigmaPerDay, nil
}

// Steepened returns the factor that age lays on a curve's steepness: contrast rises to a peak and falls again
// [CollodionAge00]. Where the peak lies and how high, 0.9 to 1.1 about half-way through its life, are assumptions of ours.
func (a Ageing) Steepened(days float64) (float64, error) {
	if err := measure.Within("age", days, 0, LongestAge, "days"); err != nil {
		return 0, err
	}
	x := days / (bestInALife * a.Life)
	return youngSteep + ripeSteep*x*math.Exp(1-x), nil
}

// Aged returns the curve of a film whose collodion is so many days old: slower, and steeper or softer.
func (c Curve) Aged(a Ageing, days float64) (Curve, error) {
	loss, _, err := a.Loss(days)
	if err != nil {
		return Curve{}, err
	}
	factor, err := a.Steepened(days)
	if err != nil {
		return Curve{}, err
	}
	c.Middle += loss
	c.Steepness *= factor
	c.From = fmt.Sprintf("%s; %.4g days of age are laid on it: a loss of %.2f stops and %.2f times the exponent, mostly assumptions of ours", c.From, days, float64(loss), factor)
	return c, c.Check()
}
