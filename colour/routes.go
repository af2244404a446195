package colour

import (
	"math"

	"platewright/light"
)

// blueFloor is the least blue of the route by the blue channel alone, which else would make nothing of some yellows.
const blueFloor = 0.001

// Route is one way from a camera's colour to the share of the plate's light that comes back.
type Route struct {
	Name string
	Seen func(RGB) (float64, error)
}

// loglinearFloor is the least component that the product of powers takes [PlateNotes2026].
const loglinearFloor = 0.003

// LogLinear is the product of powers K R^P G^Q B^S of the linear components, each at least 0.003, fitted to the
// measured surfaces in a light: four constants, which [Fit] does better with three.
type LogLinear struct{ K, P, Q, S float64 }

// Seen returns the share of the plate's light that a surface of this colour sends back.
func (l LogLinear) Seen(c RGB) float64 {
	t := logTerms(c)
	return l.K * math.Exp2(l.P*t[1]+l.Q*t[2]+l.S*t[3])
}

func logTerms(c RGB) []float64 {
	of := func(v float64) float64 { return math.Log2(max(v, loglinearFloor)) }
	return []float64{1, of(c.R), of(c.G), of(c.B)}
}

// LogLinear returns the product of powers fitted for this sight.
func (s Sight) LogLinear() (LogLinear, error) {
	t, err := s.trial()
	if err != nil {
		return LogLinear{}, err
	}
	rows := make([][]float64, len(t.colours))
	for i, c := range t.colours {
		rows[i] = logTerms(c)
	}
	c, _, err := leastSquares(rows, t.stops)
	if err != nil {
		return LogLinear{}, err
	}
	return LogLinear{math.Exp2(c[0]), c[1], c[2], c[3]}, nil
}

// Routes returns every way that was tried from a camera's colour to what the plate sees, so that
// they can be compared: the grey that the eye sees; the blue channel; the spectra of Mallett and Yuksel; the
// smoothest spectrum by [Smoothest]; the product of powers; and [Fit], the one the product uses. The spectra are
// held flat beyond where they are told. A second route by smooth spectra, the sigmoid of a parabola, was left
// out: it needs a table of coefficients, and its parabola runs away outside 400 to 700 nm [PlateNotes2026].
func (s Sight) Routes() ([]Route, error) {
	fit, err := s.Fit()
	if err != nil {
		return nil, err
	}
	powers, err := s.LogLinear()
	if err != nil {
		return nil, err
	}
	plain := func(f func(RGB) float64) func(RGB) (float64, error) {
		return func(c RGB) (float64, error) { return f(c), nil }
	}
	return []Route{
		{"luminance", plain(RGB.Luminance)},
		{"blue channel", plain(func(c RGB) float64 { return max(c.B, blueFloor) })},
		{"Mallett and Yuksel", func(c RGB) (float64, error) { return s.Actinic(MallettYuksel(c)) }},
		{"smoothest spectrum", func(c RGB) (float64, error) {
			smooth, err := Smoothest(c)
			if err != nil {
				return 0, err
			}
			return s.Actinic(smooth)
		}},
		{"product of powers", plain(powers.Seen)},
		{"blue and greatest", plain(fit.Seen)},
	}, nil
}

// MallettYuksel returns the reflectance that is the sum of the three primaries' [Mallett2019], held flat below 380
// and above 780 nm. Components outside 0 to 1 are taken at the nearest, for a reflectance cannot be negative.
func MallettYuksel(c RGB) light.Spectrum {
	v := make([]float64, len(mallett[0]))
	for i := range v {
		v[i] = within(c.R)*mallett[0][i] + within(c.G)*mallett[1][i] + within(c.B)*mallett[2][i]
	}
	return sampled(visibleFrom, visibleStep, v).Held(firstNM, lastNM)
}
