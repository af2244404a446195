package collodion

import (
	"fmt"
	"math"

	"platewright/light"
	"platewright/measure"
)

// Halides are the salts of a collodion in mol, or in any other unit of amount: only their ratio counts. Chloride is not
// modelled.
type Halides struct{ Iodide, Bromide float64 }

// UsualHalides returns five parts of iodide to one of bromide, which is printed as both softer and faster than
// collodion with more bromide [VogelHandbook00].
func UsualHalides() Halides { return Halides{Iodide: 5, Bromide: 1} }

// share returns the bromide's share of the halides, 0 to 1.
func (h Halides) share() (float64, error) {
	for _, a := range []struct {
		what string
		mol  float64
	}{{"iodide", h.Iodide}, {"bromide", h.Bromide}} {
		if err := measure.Within(a.what, a.mol, 0, 1e6, "mol"); err != nil {
			return 0, err
		}
	}
	if h.Iodide+h.Bromide < 1e-9 {
		return 0, fmt.Errorf("a collodion without iodide and bromide sees nothing; give the mol of either")
	}
	return h.Bromide / (h.Iodide + h.Bromide), nil
}

// Version counts the revisions of the drawn curves. A figure that is kept should keep it too.
const Version = 1

// Sensitivity is what a film sees.
type Sensitivity struct {
	Curve   light.Spectrum // response per J/m², 1 at its greatest
	Factor  light.Spectrum // the curve multiplied and divided by it is one standard deviation off; at least 1
	Level   measure.Stops  // speed where the curve is 1, beyond the usual film's; an estimate, ±1 stop
	Version int            // of the drawn curves
	From    string         // where the curve comes from and how sure it is, a sentence
}

// How two numbers move the curve, and how far off they may be beforehand. The edge moves from edgeFrom on, wholly from
// edgeFull on; the ultraviolet changes below uvNone, wholly below uvFull. Between lies violet, where the curve is 1.
const (
	uvFull, uvNone     = 400.0, 420.0 // nm
	edgeFrom, edgeFull = 410.0, 440.0 // nm
	firmTo, looseFrom  = 430.0, 440.0 // nm; the edge's uncertainty, which Factor states from 440 on

	EdgeSD = 10.0               // nm: a shift of the usual edge that does what Factor does
	UVSD   = measure.Stops(0.5) // of the level below 400 nm: Factor is 1.4 there
)

// Limits of a fit.
const (
	MostEdge = 25.0               // nm, either way
	MostUV   = measure.Stops(3.0) // either way
)

// Sees returns what a film of these halides sees. The usual film, iodide alone and bromide alone are drawn from
// [SchultzSellack1871; Vogel1874; SilverGap00]; between them the logarithm of the response follows the bromide's share
// on a straight line. That and the curves are estimates of ours. For other halides than the usual the factor also
// takes in half of what they change, in squares.
func Sees(h Halides) (Sensitivity, error) {
	share, err := h.share()
	if err != nil {
		return Sensitivity{}, err
	}
	a, b, f := iodideAlone, usual, share/usualShare
	if share > usualShare {
		a, b, f = usual, bromideAlone, (share-usualShare)/(1-usualShare)
	}
	curve, most := make([]float64, len(usual)), 0.0
	for i := range curve {
		curve[i] = math.Exp((1-f)*math.Log(a[i]) + f*math.Log(b[i]))
		most = max(most, curve[i])
	}
	factor := make([]float64, len(usual))
	for i := range curve {
		curve[i] /= most
		factor[i] = math.Exp(math.Hypot(math.Log(usualFactor[i]), math.Log(curve[i]/usual[i])/2))
	}
	s := Sensitivity{Version: Version,
		From: "A drawn curve (version 1), an estimate: no measured one of a wet plate was found. From iodide alone to bromide alone it is led through what print says of either; fit it with paired plates."}
	if share > usualShare {
		s.Level = measure.StopsOf(bromideLevel) * measure.Stops(f)
	}
	if s.Curve, err = even(curve); err != nil {
		return Sensitivity{}, err
	}
	s.Factor, err = even(factor)
	return s, err
}

// even returns knots of 10 nm as a spectrum in steps of 5 nm, straight between them.
func even(knots []float64) (light.Spectrum, error) {
	s, err := light.NewSpectrum(knotsFirst, knotsStep, knots)
	if err != nil {
		return light.Spectrum{}, err
	}
	return s.On(knotsFirst, knotsFirst+knotsStep*float64(len(knots)-1), knotsStep/2)
}

// ramp rises from 0 at a to 1 at b.
func ramp(a, b, x float64) float64 { return max(0, min(1, (x-a)/(b-a))) }

// Fitted returns the sensitivity with its edge toward the green moved by up to 25 nm either way, to the red when edgeNM
// is positive, and its level below 400 nm raised by up to 3 stops either way. The factor stays as it was;
// [Sensitivity.FittedTo] narrows it.
func (s Sensitivity) Fitted(edgeNM float64, uv measure.Stops) (Sensitivity, error) {
	if err := measure.Within("edge shift", edgeNM, -MostEdge, MostEdge, "nm"); err != nil {
		return Sensitivity{}, err
	}
	if err := measure.Within("ultraviolet level", float64(uv), -float64(MostUV), float64(MostUV), "stops"); err != nil {
		return Sensitivity{}, err
	}
	if edgeNM == 0 && uv == 0 {
		return s, nil
	}
	first, last, _ := s.Curve.Bounds()
	n := int(last+MostEdge-first) + 1
	v, most := make([]float64, n), 0.0
	for i := range v {
		nm := first + float64(i)
		v[i] = s.Curve.At(nm-edgeNM*ramp(edgeFrom, edgeFull, nm)) * math.Exp2(float64(uv)*(1-ramp(uvFull, uvNone, nm)))
		most = max(most, v[i])
	}
	curve, err := light.NewSpectrum(first, 1, v)
	if err != nil {
		return Sensitivity{}, err
	}
	s.Curve = curve.Scaled(1 / most)
	s.Factor = s.Factor.Held(first, last+MostEdge)
	s.From = fmt.Sprintf("%s Its edge is moved by %+.1f nm and its ultraviolet by %+.2f stops.", s.From, edgeNM, float64(uv))
	return s, nil
}

// Response returns the sum of power times curve: for an irradiance in W/m²/nm, W/m² as light of the curve's best
// wavelength would do the same.
func (s Sensitivity) Response(power light.Spectrum) float64 { return power.Weighed(s.Curve) }

// tilted returns the curve one standard deviation off in one of two ways, each as a whole: the ultraviolet below the
// violet, or the edge above it. Neighbouring wavelengths are wrong together, the two ends independently: an
// assumption.
func (s Sensitivity) tilted(way int, sign float64) (light.Spectrum, error) {
	first, _, step := s.Curve.Bounds()
	v := s.Curve.Values()
	for i := range v {
		nm := first + step*float64(i)
		w := 1 - ramp(uvFull, uvNone, nm)
		if way == edgeWay {
			w = ramp(firmTo, looseFrom, nm)
		}
		if w > 0 {
			v[i] *= math.Pow(max(1, s.Factor.At(nm)), sign*w)
		}
	}
	return light.NewSpectrum(first, step, v)
}

const (
	uvWay = iota
	edgeWay
	ways
)
