package collodion

import (
	"errors"
	"math"

	"platewright/light"
	"platewright/measure"
)

// Actinic is what a light does to the film beyond what a meter says.
type Actinic struct {
	// Stops is the effect over that of CIE D55 with the same photopic reading, both through the same lens. Low and
	// High hold two of three films like this one: the edge and the ultraviolet level each move by one standard
	// deviation as a whole, independently of each other.
	Stops, Low, High measure.Stops

	EdgeLow, EdgeHigh measure.Stops // of that band, what the edge alone does
	CentroidNM        float64       // mean wavelength of the effect
	Below400          float64       // share of the effect below 400 nm

	tilt [ways]measure.Stops // signed change when the curve tilts upward, for differences between lights
}

// Actinic returns what a source does to the film behind a glazing and a lens. The meter stands behind the glazing when
// that is marked so, and never behind the lens. A light that a meter or the film cannot see is refused.
//
//	ratio = ∫S τ c dλ / 683∫S V dλ, over the same of D55
func (s Sensitivity) Actinic(source light.Spectrum, glazing, lens light.Filter) (Actinic, error) {
	way, err := s.through(Lit{source, glazing}, lens)
	if err != nil {
		return Actinic{}, err
	}
	d55 := light.D55().Power
	standard := d55.Times(lens.Pass)
	perLux := func(curve light.Spectrum) measure.Stops {
		return measure.StopsOf(way.effect.Weighed(curve) / way.lux / (standard.Weighed(curve) / d55.Lux()))
	}
	a := Actinic{Stops: perLux(s.Curve)}
	var below, above [ways]float64
	for k := range ways {
		up, err := s.tilted(k, 1)
		if err != nil {
			return Actinic{}, err
		}
		down, err := s.tilted(k, -1)
		if err != nil {
			return Actinic{}, err
		}
		u, d := float64(perLux(up)-a.Stops), float64(perLux(down)-a.Stops)
		below[k], above[k] = min(0, u, d), max(0, u, d)
		a.tilt[k] = measure.Stops((u - d) / 2)
	}
	a.Low = a.Stops - measure.Stops(math.Hypot(below[uvWay], below[edgeWay]))
	a.High = a.Stops + measure.Stops(math.Hypot(above[uvWay], above[edgeWay]))
	a.EdgeLow, a.EdgeHigh = a.Stops+measure.Stops(below[edgeWay]), a.Stops+measure.Stops(above[edgeWay])

	seen := way.effect.Times(s.Curve)
	a.CentroidNM, _ = seen.Centroid()
	first, last, step := seen.Bounds()
	a.Below400 = seen.Integral(first, uvFull-step/2) / seen.Integral(first, last)
	return a, nil
}

// way is a light behind glazing and lens, and what a meter behind the glazing reads of it.
type way struct {
	effect light.Spectrum
	lux    float64
}

// through refuses a light that a meter or the film cannot see.
func (s Sensitivity) through(l Lit, lens light.Filter) (way, error) {
	before := l.Source.Times(l.Glazing.Pass)
	metered := l.Source
	if l.Glazing.BeforeMeter {
		metered = before
	}
	w := way{before.Times(lens.Pass), metered.Lux()}
	if !(w.lux > 0) {
		return way{}, errors.New("no eye and so no meter sees this light: measure its watts, and find the exposure by a stepped plate")
	}
	if !(w.effect.Weighed(s.Curve) > 0) {
		return way{}, errors.New("nothing of this light that the film sees comes through glazing and lens; the film sees 300 to 560 nm")
	}
	return w, nil
}

// perLux returns what a light does to the film with a given meter reading, in stops beyond something that all lights share.
func (s Sensitivity) perLux(l Lit, lens light.Filter) (measure.Stops, error) {
	w, err := s.through(l, lens)
	if err != nil {
		return 0, err
	}
	return measure.StopsOf(s.Response(w.effect) / w.lux), nil
}

// Against returns how many stops more a does to the film than b with the same reading, and one standard deviation of that. What
// one film's curve may be off by moves both lights at once, so the difference is surer than either.
func (a Actinic) Against(b Actinic) (more, sigma measure.Stops) {
	uv, edge := a.tilt[uvWay]-b.tilt[uvWay], a.tilt[edgeWay]-b.tilt[edgeWay]
	return a.Stops - b.Stops, measure.Stops(math.Hypot(float64(uv), float64(edge)))
}

// Reflects returns the share of a light's effect on the film, through a lens, that a surface sends back. Where the surface was
// not measured, its nearest figure is held.
func (s Sensitivity) Reflects(surface, source light.Spectrum, lens light.Filter) (float64, error) {
	whole := source.Times(lens.Pass).Times(s.Curve)
	first, last, _ := whole.Bounds()
	all := whole.Integral(first, last)
	if !(all > 0) {
		return 0, errors.New("nothing of this light that the film sees comes through the lens; the film sees 300 to 560 nm")
	}
	return whole.Weighed(surface.Held(first, last)) / all, nil
}
