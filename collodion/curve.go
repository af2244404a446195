package collodion

import (
	"fmt"
	"math"

	"platewright/measure"
)

// Curve is the tone of a positive seen on black: reflectance against the logarithm of exposure. Without enough light the
// shadows are blocked at Least, with more than enough the whites are burnt at Most.
//
//	R = Least + (Most - Least) x/(1 + x),  x = (h / 2^Middle)^Steepness
//
// h is the exposure over that of a metered mid-tone. No measured curve of a wet plate was found: the form and all
// its figures are estimates [PlateNotes2026].
type Curve struct {
	Least, Most float64       // reflectance of the blackest and of the whitest place, 0 to 1
	Steepness   float64       // exponent
	Middle      measure.Stops // exposure of the middle tone beyond that of a metered mid-tone
	From        string        // where the figures come from and how sure they are
}

// Span is a least and a greatest figure.
type Span struct{ Low, High float64 }

// Ranges in which the figures of real plates are believed to lie [PlateNotes2026]: estimates.
var (
	blackVarnished = Span{0.01, 0.03} // japanned metal, varnished: density 1.5 to 2
	blackVeiled    = Span{0.03, 0.06} // not varnished, or veiled
	whitest        = Span{0.25, 0.45} // density 0.35 to 0.6; fixed in cyanide it is the lighter half
	steepness      = Span{1.2, 2.2}
)

// UsualCurve returns the curve of a plate of which nothing is known.
func UsualCurve() Curve {
	return Curve{Least: 0.02, Most: 0.35, Steepness: 1.6,
		From: "An estimate: no measured curve of a wet plate was found. Blacks are believed to lie at 0.01 to 0.03, whites at 0.25 to 0.45, the exponent at 1.2 to 2.2; the index is taken to lay a metered mid-tone in the middle"}
}

// Support is what lies behind the silver.
type Support string

// Supports.
const (
	BlackMetal Support = "blackened metal"
	DarkGlass  Support = "dark glass"
	ClearGlass Support = "clear glass" // laid on black
)

// Supports returns the supports.
func Supports() []Support { return []Support{BlackMetal, DarkGlass, ClearGlass} }

// Choices returns the texts of [Supports].
func (Support) Choices() []string {
	return []string{string(BlackMetal), string(DarkGlass), string(ClearGlass)}
}

// Fixer is what the plate is fixed in.
type Fixer string

// Fixers.
const (
	AnyFixer    Fixer = "unknown"
	Thiosulfate Fixer = "thiosulfate" // cooler and greyer
	Cyanide     Fixer = "cyanide"     // warmer and whiter
)

// Choices returns the fixers' names.
func (Fixer) Choices() []string {
	return []string{string(AnyFixer), string(Thiosulfate), string(Cyanide)}
}

// Finish is how a plate is made up: what lies behind its silver, what it was fixed in, and whether it is varnished.
type Finish struct {
	Support     Support
	Fixer       Fixer
	Unvarnished bool
}

// Spans are the ranges that belong to a finish.
type Spans struct{ Least, Most, Steepness Span }

// CurveOf returns the curve of a finished plate and the ranges its figures may lie in. Only varnished black metal has figures of
// its own [PlateNotes2026]; dark glass is taken to be as black but less surely, clear glass laid on black to send back a
// little more from its two further surfaces: assumptions of ours.
func CurveOf(f Finish) (Curve, Spans, error) {
	c := UsualCurve()
	s := Spans{blackVarnished, whitest, steepness}
	switch f.Support {
	case BlackMetal:
	case DarkGlass:
		s.Least.High = 0.04
	case ClearGlass:
		c.Least, s.Least = 0.03, Span{0.015, 0.06}
	default:
		return Curve{}, Spans{}, fmt.Errorf("no support is called %q; there are %q", f.Support, Supports())
	}
	switch f.Fixer {
	case AnyFixer, "":
	case Thiosulfate:
		c.Most, s.Most = 0.31, Span{0.25, 0.38}
	case Cyanide:
		c.Most, s.Most = 0.39, Span{0.32, 0.45}
	default:
		return Curve{}, Spans{}, fmt.Errorf("no fixer is called %q; there are %q", f.Fixer, f.Fixer.Choices())
	}
	if f.Unvarnished {
		c.Least, s.Least = max(0.045, c.Least), Span{blackVeiled.Low, max(blackVeiled.High, s.Least.High)}
	}
	c.From = fmt.Sprintf("An estimate, for %s: no measured curve of a wet plate was found. Blacks are believed to lie at %g to %g, whites at %g to %g, the exponent at %g to %g; the index is taken to lay a metered mid-tone in the middle",
		f.Support, s.Least.Low, s.Least.High, s.Most.Low, s.Most.High, s.Steepness.Low, s.Steepness.High)
	return c, s, nil
}

// Check refuses a curve that does not rise between 0 and 1 or has a slope or place no plate has.
func (c Curve) Check() error {
	if err := measure.Within("least reflectance", c.Least, 0.0005, 0.5, ""); err != nil {
		return err
	}
	if err := measure.Within("greatest reflectance", c.Most, c.Least+0.001, 1, ""); err != nil {
		return err
	}
	if err := measure.Within("steepness", c.Steepness, 0.3, 6, ""); err != nil {
		return err
	}
	return measure.Within("middle", float64(c.Middle), -6, 6, "stops")
}

// Share returns the share of the way from the blackest to the whitest that an exposure gives, 0 to 1; h is as for
// [Curve.Reflectance].
func (c Curve) Share(h float64) float64 {
	if !(h > 0) {
		return 0
	}
	return 1 / (1 + math.Exp2(-c.Steepness*(math.Log2(h)-float64(c.Middle))))
}

// Reflectance returns the reflectance that an exposure gives; h is the exposure over that of a metered mid-tone, and a
// place without light is as black as can be.
func (c Curve) Reflectance(h float64) float64 { return c.Least + (c.Most-c.Least)*c.Share(h) }

// Density returns the reflection density, -log10 of [Curve.Reflectance].
func (c Curve) Density(h float64) float64 { return -math.Log10(c.Reflectance(h)) }

// Inverse returns the exposure, over that of a metered mid-tone, that gives a reflectance. What is not between Least and
// Most has none and is refused.
func (c Curve) Inverse(reflectance float64) (float64, error) {
	share := (reflectance - c.Least) / (c.Most - c.Least)
	if !(share > 0 && share < 1) {
		return 0, &measure.RangeError{What: "reflectance", Got: reflectance, Low: c.Least, High: c.Most, Source: "both ends left out: there the curve is level and tells no exposure"}
	}
	return math.Exp2(float64(c.Middle) + math.Log2(share/(1-share))/c.Steepness), nil
}

// Gamma returns the slope of the curve's middle: decades of reflectance a decade of exposure.
func (c Curve) Gamma() float64 { return c.Steepness / 2 * (c.Most - c.Least) / (c.Most + c.Least) }

// Range returns the exposures, in stops beyond a metered mid-tone, between which the tone goes from a tenth to nine tenths of
// its way: what the plate can tell apart. The two lie log2(81)/Steepness apart.
func (c Curve) Range() (from, to measure.Stops) {
	half := measure.Stops(math.Log2(9) / c.Steepness)
	return c.Middle - half, c.Middle + half
}

// A veil: over-exposure greys the shadows of the whole plate rather than whitening its lights further [PlateNotes2026]. That it
// grows evenly over three stops is an assumption of ours.
const (
	veiledLeast = 0.06
	veilStops   = 3.0
)

// Veiled returns the curve of a plate that got so many stops too much everywhere: its blacks greyed by a veil. The
// exposure itself is not moved. Under-exposure veils nothing.
func (c Curve) Veiled(over measure.Stops) Curve {
	if over > 0 && c.Least < veiledLeast && c.Most > veiledLeast {
		c.Least += (veiledLeast - c.Least) * min(1, float64(over)/veilStops)
	}
	return c
}
