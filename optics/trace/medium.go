package trace

import (
	"fmt"
	"math"

	"platewright/measure"
)

const nanometre = measure.Micrometre / 1000

// Spectral lines by their usual letters, and the two colours a studio compares: the one the eye
// focuses by and the one collodion is made by.
const (
	LineC      = 656.2725 * nanometre
	LineSodium = 589.2938 * nanometre // D, the middle of the sodium pair, of the older tables
	LineD      = 587.5618 * nanometre // d, helium
	LineF      = 486.1327 * nanometre
	LineG      = 435.8343 * nanometre // g, mercury
	LineGPrime = 434.0472 * nanometre // G', hydrogen, of the older tables
	LineH      = 404.6561 * nanometre

	Visual = 555 * nanometre // where the eye is most sensitive in daylight, from memory
	Plate  = 420 * nanometre // about where iodised collodion is most sensitive, with a glass lens before it: a working value of our notes [PlateNotes2026]
)

// Medium is what light travels through. Its index is that against air.
type Medium struct {
	Name     string
	Source   string // key of docs/SOURCES.md
	Inferred string // what was not printed there and was supplied here; empty when nothing was

	From, To measure.Length // wavelengths for which the figures hold
	Colour   bool           // whether the index is known to change with the wavelength

	law law
}

// law gives an index from a wavelength in micrometres.
type law interface{ index(um float64) float64 }

// Index returns the refractive index at a wavelength, or an error when the data do not reach it.
func (m Medium) Index(wavelength measure.Length) (float64, error) {
	if m.law == nil {
		return 0, fmt.Errorf("medium %q has no index", m.Name)
	}
	if !(m.From <= wavelength && wavelength <= m.To) {
		return 0, &measure.RangeError{What: "wavelength in " + m.Name, Got: float64(wavelength / nanometre),
			Low: float64(m.From / nanometre), High: float64(m.To / nanometre), Unit: "nm", Source: "the data of the glass"}
	}
	n := m.law.index(float64(wavelength / measure.Micrometre))
	if !(n >= LeastIndex && n <= GreatestIndex) {
		return 0, &measure.RangeError{What: "index of " + m.Name, Got: n, Low: LeastIndex, High: GreatestIndex}
	}
	return n, nil
}

// The indices the package traces through.
const (
	LeastIndex    = 1.0
	GreatestIndex = 4.0
)

// Air is the medium about a lens.
func Air() Medium {
	m := Constant("air", 1)
	m.Colour = true // against air, air is the same in every colour
	return m
}

// Constant is a medium whose index is known in one colour only, and is taken for all.
func Constant(name string, n float64) Medium {
	return Medium{Name: name, From: 300 * nanometre, To: 2500 * nanometre, law: constant(n)}
}

type constant float64

func (c constant) index(float64) float64 { return float64(c) }

// Sellmeier is a glass by n² = 1 + Σ B λ²/(λ² - C), λ in micrometres, C in square micrometres.
func Sellmeier(name string, b, c [3]float64, from, to measure.Length) Medium {
	return Medium{Name: name, From: from, To: to, Colour: true, law: sellmeier{b, c}}
}

type sellmeier struct{ b, c [3]float64 }

func (s sellmeier) index(um float64) float64 {
	l2, n2 := um*um, 1.0
	for i := range s.b {
		n2 += s.b[i] * l2 / (l2 - s.c[i])
	}
	return math.Sqrt(n2)
}

// Power is one term of a polynomial in the wavelength.
type Power struct {
	Coefficient float64
	Exponent    float64
}

// Polynomial is a glass by n² = Σ a λ^e, λ in micrometres.
func Polynomial(name string, terms []Power, from, to measure.Length) Medium {
	return Medium{Name: name, From: from, To: to, Colour: true, law: polynomial(terms)}
}

type polynomial []Power

func (p polynomial) index(um float64) float64 {
	n2 := 0.0
	for _, t := range p {
		n2 += t.Coefficient * math.Pow(um, t.Exponent)
	}
	return math.Sqrt(n2)
}

// Reading is an index printed for a line.
type Reading struct {
	At    measure.Length
	Index float64
}

// ThreeLines is a glass printed as indices for three lines: n = a + b/λ² + c/λ⁴ through all three.
func ThreeLines(name string, lines [3]Reading, from, to measure.Length) Medium {
	// Divided differences in w = 1/λ².
	var w, n [3]float64
	for i, l := range lines {
		um := float64(l.At / measure.Micrometre)
		w[i], n[i] = 1/(um*um), l.Index
	}
	first := (n[1] - n[0]) / (w[1] - w[0])
	second := ((n[2]-n[1])/(w[2]-w[1]) - first) / (w[2] - w[0])
	return Medium{Name: name, From: from, To: to, Colour: true, law: threeLines{w[0], w[1], n[0], first, second}}
}

type threeLines struct{ w0, w1, n0, first, second float64 }

func (t threeLines) index(um float64) float64 {
	w := 1 / (um * um)
	return t.n0 + (w-t.w0)*(t.first+(w-t.w1)*t.second)
}

// Normal is an old glass of which no more is known than its index for the d line and its V-number
// (n-1 over the dispersion from C to F): the shape of its dispersion is taken from the line of
// ordinary glasses, between a crown (N-K5) and a light flint (LF5), by its V-number.
func Normal(name string, nd, v float64) Medium {
	m := Medium{Name: name, From: 365 * nanometre, To: 700 * nanometre, Colour: true,
		law: normal{nd: nd, v: v, crown: shapeOf(crownK5), flint: shapeOf(flintLF5)}}
	return m
}

type normal struct {
	nd, v        float64
	crown, flint shape
}

// shape is a glass's dispersion relative to that from C to F.
type shape struct {
	glass     sellmeier
	nd, fc, v float64
}

func shapeOf(g sellmeier) shape {
	at := func(l measure.Length) float64 { return g.index(float64(l / measure.Micrometre)) }
	s := shape{glass: g, nd: at(LineD), fc: at(LineF) - at(LineC)}
	s.v = (s.nd - 1) / s.fc
	return s
}

func (s shape) at(um float64) float64 { return (s.glass.index(um) - s.nd) / s.fc }

func (n normal) index(um float64) float64 {
	share := (n.crown.v - n.v) / (n.crown.v - n.flint.v)
	shape := n.crown.at(um) + share*(n.flint.at(um)-n.crown.at(um))
	return n.nd + (n.nd-1)/n.v*shape
}
