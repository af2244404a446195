package light

import (
	"fmt"
	"math"

	"platewright/measure"
)

// Spectrum is a spectral distribution sampled on an even grid of wavelengths. Between two samples it is
// linear, outside its grid it is nothing. A Spectrum never changes; the zero value is dark everywhere.
//
// What the values mean is the holder's to say: W/m²/nm for an irradiance, a relative power for a lamp, a
// share from 0 to 1 for a filter or a surface, a response per J/m² for a film.
type Spectrum struct {
	first, step float64 // nm
	v           []float64
}

// Grid limits: what a spectrum may span and how finely it may be sampled, in nanometres and samples.
const (
	ShortestNM  = 200.0
	LongestNM   = 4000.0
	FinestNM    = 0.05
	MostSamples = 40_000
	MostPower   = 1e30 // of a sample: beyond it sums would overflow
)

// Usual grid of the package's own tables: all that a plate or an eye sees, in steps of 5 nm.
const (
	usualFirst = 300.0
	usualLast  = 830.0
	usualStep  = 5.0
)

// NewSpectrum returns the spectrum with these samples, the first at firstNM and each stepNM further. It refuses
// fewer than two samples, a grid outside 200 to 4000 nm, and values that are negative or not finite.
func NewSpectrum(firstNM, stepNM float64, values []float64) (Spectrum, error) {
	if len(values) < 2 || len(values) > MostSamples {
		return Spectrum{}, fmt.Errorf("a spectrum has %d samples; 2 to %d are taken", len(values), MostSamples)
	}
	if err := measure.Within("step of the wavelengths", stepNM, FinestNM, 1000, "nm"); err != nil {
		return Spectrum{}, err
	}
	if err := measure.Within("first wavelength", firstNM, ShortestNM, LongestNM, "nm"); err != nil {
		return Spectrum{}, err
	}
	if last := firstNM + stepNM*float64(len(values)-1); last > LongestNM+1e-9 {
		return Spectrum{}, measure.Within("last wavelength", last, ShortestNM, LongestNM, "nm")
	}
	for i, v := range values {
		if !(v >= 0 && v <= MostPower) {
			return Spectrum{}, fmt.Errorf("power at %g nm is %g; a power is a number from 0 to %g", firstNM+stepNM*float64(i), v, MostPower)
		}
	}
	return Spectrum{firstNM, stepNM, append([]float64(nil), values...)}, nil
}

// IsZero tells that s has no samples: it is dark everywhere.
func (s Spectrum) IsZero() bool { return len(s.v) == 0 }

// Bounds returns the wavelengths of the first and last sample and the step between samples, in nm; zeros when
// there are none.
func (s Spectrum) Bounds() (first, last, step float64) {
	if s.IsZero() {
		return 0, 0, 0
	}
	return s.first, s.first + s.step*float64(len(s.v)-1), s.step
}

// Values returns a copy of the samples.
func (s Spectrum) Values() []float64 { return append([]float64(nil), s.v...) }

// Each calls do with every sample in order of wavelength.
func (s Spectrum) Each(do func(nm, value float64)) {
	for i, v := range s.v {
		do(s.first+s.step*float64(i), v)
	}
}

// At returns the value at a wavelength: linear between samples, zero outside them.
func (s Spectrum) At(nm float64) float64 {
	if s.IsZero() {
		return 0
	}
	x := (nm - s.first) / s.step
	n := float64(len(s.v) - 1)
	const tie = 1e-9
	if !(x >= -tie && x <= n+tie) {
		return 0
	}
	x = min(max(x, 0), n)
	i := min(int(x), len(s.v)-2)
	f := x - float64(i)
	return s.v[i] + f*(s.v[i+1]-s.v[i])
}

// On returns s resampled at first, first+step, ... up to last, by linear interpolation and zero outside.
func (s Spectrum) On(first, last, step float64) (Spectrum, error) {
	if err := measure.Within("step of the wavelengths", step, FinestNM, 1000, "nm"); err != nil {
		return Spectrum{}, err
	}
	n := int(math.Floor((last-first)/step+1e-9)) + 1
	if n < 2 || n > MostSamples {
		return Spectrum{}, fmt.Errorf("%g to %g nm in steps of %g nm is no grid of 2 to %d samples", first, last, step, MostSamples)
	}
	v := make([]float64, n)
	for i := range v {
		v[i] = s.At(first + step*float64(i))
	}
	return NewSpectrum(first, step, v)
}

// Held returns s drawn out to [first, last] in its own step with the value of its nearest end: what a surface
// or a filter is taken to do where it was not measured.
func (s Spectrum) Held(first, last float64) Spectrum {
	if s.IsZero() {
		return s
	}
	before := max(0, int(math.Ceil((s.first-first)/s.step-1e-9)))
	_, end, _ := s.Bounds()
	after := max(0, int(math.Ceil((last-end)/s.step-1e-9)))
	v := make([]float64, 0, before+len(s.v)+after)
	for range before {
		v = append(v, s.v[0])
	}
	v = append(v, s.v...)
	for range after {
		v = append(v, s.v[len(s.v)-1])
	}
	return Spectrum{s.first - s.step*float64(before), s.step, v}
}

// fine returns s in steps of 5 nm when its own are wider, so that products with tables are summed as finely as these.
func (s Spectrum) fine() Spectrum {
	if s.IsZero() || s.step <= usualStep {
		return s
	}
	first, last, _ := s.Bounds()
	v := make([]float64, int(math.Floor((last-first)/usualStep+1e-9))+1)
	for i := range v {
		v[i] = s.At(first + usualStep*float64(i))
	}
	return Spectrum{first, usualStep, v}
}

// Times returns s times f, wavelength by wavelength, on the grid of s, or at 5 nm where that is finer: a light behind a
// filter, a film's response to it, a surface in it. Where f was not sampled it is nothing.
func (s Spectrum) Times(f Spectrum) Spectrum {
	s = s.fine()
	out := Spectrum{s.first, s.step, make([]float64, len(s.v))}
	for i, v := range s.v {
		out.v[i] = v * f.At(s.first+s.step*float64(i))
	}
	return out
}

// Scaled returns s times k; k must be finite and not negative, and is taken as zero when it is not.
func (s Spectrum) Scaled(k float64) Spectrum {
	if !(k >= 0) || math.IsInf(k, 0) {
		k = 0
	}
	out := Spectrum{s.first, s.step, make([]float64, len(s.v))}
	for i, v := range s.v {
		out.v[i] = k * v
	}
	return out
}

// Plus returns the sum of two lights on the finer of the two grids, over all that either spans.
func (s Spectrum) Plus(t Spectrum) Spectrum {
	if s.IsZero() {
		return t
	}
	if t.IsZero() {
		return s
	}
	if t.step < s.step {
		s, t = t, s
	}
	sFirst, sLast, step := s.Bounds()
	tFirst, tLast, _ := t.Bounds()
	before := math.Ceil((sFirst-min(sFirst, tFirst))/step - 1e-9)
	first := sFirst - before*step
	n := int(math.Ceil((max(sLast, tLast)-first)/step-1e-9)) + 1
	v := make([]float64, n)
	for i := range v {
		nm := first + step*float64(i)
		v[i] = s.At(nm) + t.At(nm)
	}
	return Spectrum{first, step, v}
}

// Integral returns the sum of the samples from lo to hi, both included, times the step: the rule by which
// tables of colorimetry are summed [CIE15]. Narrow lines need samples as fine as they are.
func (s Spectrum) Integral(lo, hi float64) float64 {
	sum := 0.0
	for i, v := range s.v {
		if nm := s.first + s.step*float64(i); nm >= lo-1e-9 && nm <= hi+1e-9 {
			sum += v
		}
	}
	return sum * s.step
}

// Weighed returns the integral of s times weight by the rule of [Spectrum.Integral], on the grid of s, or at 5 nm where
// that is finer.
func (s Spectrum) Weighed(weight Spectrum) float64 {
	s = s.fine()
	sum := 0.0
	for i, v := range s.v {
		if v != 0 {
			sum += v * weight.At(s.first+s.step*float64(i))
		}
	}
	return sum * s.step
}

// Centroid returns the mean wavelength of s in nm, each weighed by its value, and false when s is dark.
func (s Spectrum) Centroid() (nm float64, lit bool) {
	sum, moment := 0.0, 0.0
	for i, v := range s.v {
		sum += v
		moment += v * (s.first + s.step*float64(i))
	}
	if !(sum > 0) || math.IsInf(moment, 0) {
		return 0, false
	}
	return moment / sum, true
}
