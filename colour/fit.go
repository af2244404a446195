package colour

import (
	"fmt"
	"math"

	"platewright/light"
	"platewright/measure"
)

// Floor of the components, added to each: it keeps logarithms finite and a colour that sRGB cannot hold from
// coming out blacker than any surface. Chosen with the constants by leaving each of the 63 surfaces out in turn;
// from 0.001 to 0.002 the error moves by 0.005 stop.
const Floor = 0.0015

// Fit tells from a camera's colour which share of the plate's light a surface sends back:
//
//	K (B + f)^p (M + f)^q
//
// with the linear sRGB components, M the greatest of the three, f the [Floor]. The blue channel alone runs too
// dark for what is bright in another channel, since no real surface is bright in the green or red and sends back
// as little blue as a display can show; the second factor mends that. It beats the product of powers of all three
// components with one constant fewer; the tests hold the table.
type Fit struct {
	K, Blue, Greatest float64       // the constants K, p and q
	Floor             float64       // f
	RMS               measure.Stops // error over the surfaces it was fitted to
	LeaveOneOut       measure.Stops // error over the surfaces, each predicted without itself
	Kind              light.Kind    // the kind of light it was fitted for
	Light             string        // the light it was fitted in
}

// FitFor returns the fit of the usual sight in a kind of light, as [SightFor] tells it.
func FitFor(k light.Kind) (Fit, error) {
	s, err := SightFor(k)
	if err != nil {
		return Fit{}, err
	}
	return s.Fit()
}

// Fit returns the fit of this sight. It is refused when the plate sees nothing of some surface in this light.
func (s Sight) Fit() (Fit, error) {
	t, err := s.trial()
	if err != nil {
		return Fit{}, err
	}
	return t.fit()
}

// trial is a sight with all measured surfaces before it: what a camera sees of each, and what the plate does.
type trial struct {
	sight    Sight
	surfaces []Surface
	colours  []RGB
	stops    []float64 // log2 of the share of the plate's light that comes back
}

func (s Sight) trial() (trial, error) {
	t := trial{sight: s, surfaces: Surfaces()}
	for _, surface := range t.surfaces {
		a, err := s.Actinic(surface.Reflectance)
		if err != nil {
			return trial{}, err
		}
		if !(a > 0) {
			return trial{}, fmt.Errorf("the plate sees nothing of %s in this light, so no colour can be told from it", surface.Name)
		}
		t.colours = append(t.colours, Of(surface.Reflectance))
		t.stops = append(t.stops, math.Log2(a))
	}
	return t, nil
}

func (t trial) fit() (Fit, error) {
	rows := make([][]float64, len(t.colours))
	for i, c := range t.colours {
		rows[i] = terms(c, Floor)
	}
	c, out, err := leastSquares(rows, t.stops)
	if err != nil {
		return Fit{}, err
	}
	in := make([]float64, len(rows))
	for i, r := range rows {
		in[i] = dot(c, r) - t.stops[i]
	}
	return Fit{K: math.Exp2(c[0]), Blue: c[1], Greatest: c[2], Floor: Floor, RMS: measure.Stops(rms(in)),
		LeaveOneOut: measure.Stops(rms(out)), Kind: t.sight.Light.Kind, Light: t.sight.Light.Name}, nil
}

// fourOfFive is the half width of a normal scatter that holds four of five, in standard deviations.
const fourOfFive = 1.2816

// terms are what the logarithm of the fit is linear in.
func terms(c RGB, floor float64) []float64 {
	b, m := blueAndGreatest(c)
	return []float64{1, math.Log2(b + floor), math.Log2(m + floor)}
}

func blueAndGreatest(c RGB) (blue, greatest float64) {
	blue = within(c.B)
	return blue, max(within(c.R), within(c.G), blue)
}

// Seen returns the share of the plate's light, 0 to 1, that a surface of this colour sends back. A component
// outside 0 to 1 is taken at the nearest that a photograph in sRGB can hold.
func (f Fit) Seen(c RGB) float64 {
	b, m := blueAndGreatest(c)
	return min(1, f.K*math.Pow(b+f.Floor, f.Blue)*math.Pow(m+f.Floor, f.Greatest))
}

// Stops returns log2 of what [Fit.Seen] returns.
func (f Fit) Stops(c RGB) measure.Stops { return measure.StopsOf(f.Seen(c)) }

// Band returns how far a value may lie off, in stops either way: within it lie four of five surfaces, each
// predicted without itself, if they scatter normally.
func (f Fit) Band() measure.Stops { return fourOfFive * f.LeaveOneOut }
