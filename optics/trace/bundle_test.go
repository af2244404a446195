package trace_test

import (
	"math"
	"testing"

	"platewright/measure"
	"platewright/optics/trace"
)

// TestBestFocusOfThirdOrder: with third-order spherical aberration alone the spot is least, by RMS, two thirds
// of the way from the paraxial to the marginal focus. Kind: published (from memory), identity.
func TestBestFocusOfThirdOrder(t *testing.T) {
	o := in(t, "landscape")
	w := work(t, o, trace.Conditions{Stop: 60})
	marginal := float64(must(w.Crossing(1))(t))
	best := must(w.AxialFocus())(t)
	bundle := must(w.Bundle(0, 12))(t)
	compare(t, []check{
		{"best focus between the foci", float64(best.Behind) / marginal, 2. / 3, 2e-3, "Welford1986"},
		{"the bundle's own best focus", float64(bundle.Best().Behind) / marginal, 2. / 3, 2e-3, "Welford1986"},
		// RMS of a³ρ(ρ² - 2/3) over the disc, for a marginal error a at the paraxial focus: a/6.
		{"RMS there over the marginal error", float64(best.RMS) / math.Abs(third(t, w, 0.1).Transverse()), 1. / 6, 1e-3, "integration over the disc"},
	})
	if best.RMS > bundle.At(best.Behind+0.001).RMS || best.RMS > bundle.At(best.Behind-0.001).RMS {
		t.Error("the spot is smaller beside its best focus")
	}
}

// TestEvenDisc looks at a spot far out of focus, which is the pupil's disc evenly lit. Kind: identity.
func TestEvenDisc(t *testing.T) {
	o := in(t, "portrait-1950")
	w := work(t, o, trace.Conditions{Stop: 16})
	b := must(w.Bundle(0, 40))(t)
	const out = 40.0
	edge := out / (2 * 16)
	half := must(b.Encircled(out, 0.5))(t)
	all := must(b.Encircled(out, 1))(t)
	compare(t, []check{
		{"RMS of an even disc", float64(b.At(out).RMS), edge / math.Sqrt2, edge * 2e-3, "integration over the disc"},
		{"half the light", float64(half), edge / math.Sqrt2, edge * 0.03, "integration over the disc"},
		{"all the light", float64(all), edge, edge * 0.01, "integration over the disc"},
		{"share that came through", b.Open, 1, 1e-12, "no rims"},
	})
	spots := must(b.Through(-1, 1, 5))(t)
	if len(spots) != 5 || spots[0].Behind != -1 || spots[4].Behind != 1 || spots[0].RMS < spots[2].RMS {
		t.Errorf("through focus %+v", spots)
	}
}

// TestPencilFociAreTheBundles: in a narrow bundle the spot is shortest across the field at the sagittal focus and
// along it at the tangential one. Kind: identity (Coddington's equations against real rays).
func TestPencilFociAreTheBundles(t *testing.T) {
	for _, f := range trace.Forms() {
		o := must(must(f.Scaled(100))(t).In(trace.Visual))(t)
		for _, m := range []float64{0, 0.4} {
			w := work(t, o, trace.Conditions{Stop: 400, Magnification: m})
			for _, part := range []measure.Angle{0.3, 0.7, 1} {
				angle := f.Half * part
				foci := must(w.Foci(angle))(t)
				b := must(w.Bundle(angle, 3))(t)
				least := func(pick func(trace.Spot) measure.Length) measure.Length {
					// Both widths are parabolas in the square; three planes find the lowest place.
					q := func(z measure.Length) float64 { v := float64(pick(b.At(z))); return v * v }
					a, c, d := q(-1), q(0), q(1)
					return measure.Length((a - d) / (2 * (a - 2*c + d)))
				}
				across, along := least(func(s trace.Spot) measure.Length { return s.Across }), least(func(s trace.Spot) measure.Length { return s.Along })
				compare(t, []check{
					{f.Key + " sagittal", float64(across), float64(foci.Sagittal), 0.01 + 0.002*math.Abs(float64(foci.Sagittal)), "Coddington's equations"},
					{f.Key + " tangential", float64(along), float64(foci.Tangential), 0.01 + 0.002*math.Abs(float64(foci.Tangential)), "Coddington's equations"},
					{f.Key + " height", float64(b.At(0).Height), float64(foci.Height), 1e-3, "the chief ray"},
				})
			}
		}
	}
}

// lune is the area that two discs share, over that of the larger.
func lune(R, r, d float64) float64 {
	if d >= R+r {
		return 0
	}
	if d <= R-r {
		return r * r / (R * R)
	}
	a := (d*d + R*R - r*r) / (2 * d)
	b := d - a
	area := R*R*math.Acos(a/R) - a*math.Sqrt(R*R-a*a) + r*r*math.Acos(b/r) - b*math.Sqrt(r*r-b*b)
	return area / (math.Pi * R * R)
}

// TestRims cuts the light by two rims in the open, before and behind a stop and a weak lens far from both, and
// compares with the area that two discs share. Kind: identity; the two-disc figures are independent.
func TestRims(t *testing.T) {
	compare(t, []check{
		{"two like discs a radius apart", lune(1, 1, 1), .391002, 5e-7, "PlateNotes2026"},
		{"two unlike discs", lune(1, .8, .5), .513155, 5e-7, "PlateNotes2026"},
	})
	s := trace.System{Surfaces: []trace.Surface{
		{Thickness: 40, After: trace.Air(), Rim: 10},
		{Thickness: 40, After: trace.Air(), Stop: true},
		{Thickness: 900, After: trace.Air(), Rim: 10},
		{Curvature: 1e-4, After: trace.Constant("glass", 1.5)},
	}}
	o := must(s.In(trace.LineD))(t)
	w := work(t, o, trace.Conditions{Pupil: 20})
	for _, a := range []measure.Angle{0, 2, 4, 6, 9} {
		apart := 2 * 40 * math.Tan(float64(a*measure.Degree))
		// The two rims and the stop between are three discs in a row: the stop, in the middle, cuts
		// nothing that both rims leave.
		compare(t, []check{{"share open", must(w.Open(a*measure.Degree, 201))(t), lune(10, 10, apart), 4e-3, "two-disc overlap"}})
	}
	b := must(w.Bundle(6*measure.Degree, 40))(t)
	compare(t, []check{{"share of the bundle", b.Open, lune(10, 10, 80*math.Tan(6*math.Pi/180)), 0.02, "two-disc overlap"}})
}

// TestCatsEye sends light through the form of 1840 with assumed rims of 14 and 11.5 at its outer glasses,
// the front rim being the stop. Kind: independent.
func TestCatsEye(t *testing.T) {
	s := form(t, "portrait-1840-front").System.Scaled(1)
	s.Surfaces[len(s.Surfaces)-1].Rim = 11.5
	w := work(t, must(s.In(trace.LineD))(t), trace.Conditions{Pupil: 28})
	for i, want := range []float64{1, .997, .853, .633, .398, .182} {
		got := must(w.Open(measure.Angle(3*i)*measure.Degree, 61))(t)
		compare(t, []check{{"share open", got, want, .005, "PlateNotes2026"}})
	}
	if _, err := work(t, w.Optic, trace.Conditions{Stop: 3.6}).Foci(40 * measure.Degree); err == nil {
		t.Error("the chief ray of 40° passes rims that stop it")
	}
}

func TestBundleRefuses(t *testing.T) {
	w := work(t, in(t, "portrait-1950"), trace.Conditions{Stop: 4})
	b := must(w.Bundle(0, 4))(t)
	for name, err := range map[string]error{
		"one ring":              second(w.Bundle(0, 1)),
		"a field past the side": second(w.Bundle(95*measure.Degree, 6)),
		"a field of NaN":        second(w.Foci(measure.Angle(math.NaN()))),
		"more than the light":   second(b.Encircled(0, 1.5)),
		"one plane":             second(b.Through(0, 1, 1)),
		"a grid of one":         second(w.Open(0, 1)),
		"beyond the stop":       second(w.Ray(0, 0, 1.5)),
		"the middle zone":       second(w.Crossing(0)),
	} {
		if err == nil {
			t.Errorf("%s was taken", name)
		}
	}
}
