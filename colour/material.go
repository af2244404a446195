package colour

import (
	"fmt"
	"math"

	"platewright/light"
	"platewright/measure"
)

// Material is what a surface is made of, where its colour does not tell what it does with ultraviolet light: a tag
// that a person sets.
type Material string

// The materials.
const (
	None       Material = "none"
	OfSkin     Material = "skin"
	Brightened Material = "white textile with brightener"
	WhitePaint Material = "titanium or zinc white"
	Sunscreen  Material = "sunscreen"
	Spectacles Material = "UV-blocking spectacles"
	Foliage    Material = "foliage"
	Natural    Material = "natural white"
)

// AllMaterials returns the materials, none first.
func AllMaterials() []Material {
	return []Material{None, OfSkin, Brightened, WhitePaint, Sunscreen, Spectacles, Foliage, Natural}
}

// Correction is what a material does beyond its colour.
type Correction struct {
	Stops    measure.Stops // beyond what [Fit] tells, for a surface of the luminance Pivot
	PerStop  float64       // change of Stops for a stop of luminance; only skin has one
	Pivot    float64
	Band     measure.Stops // how far the corrected value may lie off, either way; four of five lie within
	Measured bool          // whether measured surfaces stand behind it, or only an estimate
	Basis    string        // what stands behind it, in words
}

// At returns the correction for a surface of this colour. Beyond the luminance of the skins that were measured,
// 0.13 to 0.45, it stays what it is there.
func (c Correction) At(colour RGB) measure.Stops {
	if c.PerStop == 0 {
		return c.Stops
	}
	Y := min(max(colour.Luminance(), darkestSkin), lightestSkin)
	return c.Stops + measure.Stops(c.PerStop*math.Log2(Y/c.Pivot))
}

// Luminance of the darkest and the lightest of the measured skins, rounded [NISTSkin2017].
const darkestSkin, lightestSkin = 0.13, 0.45

// Least band of a corrected value, in stops: few samples, and the camera's own colours. An estimate.
const leastBand = 0.3

// CorrectionFor returns the correction for a material in a kind of light, by the usual sight.
func CorrectionFor(k light.Kind, m Material) (Correction, error) {
	s, err := SightFor(k)
	if err != nil {
		return Correction{}, err
	}
	return s.Correction(m)
}

// Correction returns what a material does to this sight beyond its colour. Skin, brightened textile, white paint,
// foliage and natural white are the mean misses of [Fit] for measured surfaces of that material. Sunscreen and
// spectacles are estimates: an edge between 380 and 410 nm that light passes twice on its way to measured skin and
// back.
func (s Sight) Correction(m Material) (Correction, error) {
	t, err := s.trial()
	if err != nil {
		return Correction{}, err
	}
	fit, err := t.fit()
	if err != nil {
		return Correction{}, err
	}
	return t.correction(fit, m)
}

// membersOf lists the measured surfaces behind a material.
func membersOf(m Material) []string {
	switch m {
	case Brightened:
		return []string{"white cotton"}
	case WhitePaint:
		return []string{"chart white", "titanium white", "zinc white"}
	case Foliage:
		return []string{"chart foliage", "fresh oak leaf"}
	case Natural:
		return []string{"lead white", "white petunia"}
	}
	return nil
}

func (t trial) correction(fit Fit, m Material) (Correction, error) {
	switch m {
	case None:
		return Correction{Band: fit.Band(), Measured: true, Basis: "the colour alone; 63 measured surfaces, each told without itself, scatter so"}, nil
	case OfSkin:
		return t.skin(fit)
	case Brightened, WhitePaint, Foliage, Natural:
		return t.members(fit, m), nil
	case Sunscreen:
		return t.behind(fit, edge{370, 400}, edge{350, 380}, edge{385, 415},
			"an estimate: measured skin under a film that stops the ultraviolet below an edge at 385 nm, 365 to 400 nm; a mineral film also whitens what the eye sees")
	case Spectacles:
		return t.behind(fit, edge{390, 410}, edge{370, 390}, edge{405, 425},
			"an estimate: measured skin behind a lens with an edge at 400 nm, 380 to 415 nm, passed twice; clear to the eye, and without its reflections")
	}
	return Correction{}, fmt.Errorf("no material is called %q; there are %q", m, AllMaterials())
}

// miss is what the plate sees of a measured surface beyond what the fit tells of its colour, in stops.
func (t trial) miss(fit Fit, i int) float64 { return t.stops[i] - float64(fit.Stops(t.colours[i])) }

func (t trial) members(fit Fit, m Material) Correction {
	var misses []float64
	names := ""
	for _, name := range membersOf(m) {
		for i, s := range t.surfaces {
			if s.Name == name {
				misses = append(misses, t.miss(fit, i))
				if names != "" {
					names += ", "
				}
				names += name
			}
		}
	}
	n := float64(len(misses))
	mean, spread := 0.0, 0.0
	for _, v := range misses {
		mean += v / n
	}
	if len(misses) == 1 {
		return Correction{Stops: measure.Stops(mean), Pivot: 1, Band: fit.Band(), Measured: true,
			Basis: "measured: " + names + " alone; the band is that of any colour"}
	}
	for _, v := range misses {
		spread += square(v-mean) / (n - 1)
	}
	band := fourOfFive * math.Sqrt(spread*(1+1/n))
	return Correction{Stops: measure.Stops(mean), Pivot: 1, Band: measure.Stops(max(band, leastBand)), Measured: true,
		Basis: fmt.Sprintf("measured: %s; a band below %.1f stop is not claimed from so few", names, leastBand)}
}

// skin is a straight line of the misses over the luminance of the measured skins.
func (t trial) skin(fit Fit) (Correction, error) {
	const pivot = 0.3
	var rows [][]float64
	var misses []float64
	for i, s := range t.surfaces {
		if s.Group == Skin {
			rows = append(rows, []float64{1, math.Log2(t.colours[i].Luminance() / pivot)})
			misses = append(misses, t.miss(fit, i))
		}
	}
	c, out, err := leastSquares(rows, misses)
	if err != nil {
		return Correction{}, err
	}
	return Correction{Stops: measure.Stops(c[0]), PerStop: c[1], Pivot: pivot, Band: measure.Stops(max(fourOfFive*rms(out), leastBand)), Measured: true,
		Basis: "measured on inner forearms, seven means and single people; the band is an estimate for faces, which are redder"}, nil
}

// edge is where a film lets pass nothing below its first and all above its second wavelength, in nm.
type edge struct{ dark, clear float64 }

func (e edge) at(nm float64) float64 { return within((nm - e.dark) / (e.clear - e.dark)) }

// behind is skin under something with an edge, passed twice; the band spans two other edges.
func (t trial) behind(fit Fit, usual, least, most edge, basis string) (Correction, error) {
	c, err := t.skin(fit)
	if err != nil {
		return Correction{}, err
	}
	mean, _ := SkinOfAll()
	bare, err := t.sight.Actinic(mean)
	if err != nil {
		return Correction{}, err
	}
	lost := func(e edge) (float64, error) {
		v := mean.Values()
		first, _, step := mean.Bounds()
		for i := range v {
			v[i] *= square(e.at(first + step*float64(i)))
		}
		a, err := t.sight.Actinic(sampled(first, step, v))
		if !(a > 0) {
			return 0, fmt.Errorf("nothing this plate sees in this light passes below %g nm", e.clear)
		}
		return math.Log2(a / bare), err
	}
	var found [3]float64
	for i, e := range []edge{usual, least, most} {
		if found[i], err = lost(e); err != nil {
			return Correction{}, err
		}
	}
	c.Stops += measure.Stops(found[0])
	c.Band = measure.Stops(math.Hypot(float64(c.Band), math.Max(found[1]-found[0], found[0]-found[2])))
	c.Measured, c.Basis = false, basis
	return c, nil
}
