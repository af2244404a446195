package trace

import (
	"errors"
	"math"
	"slices"

	"platewright/measure"
)

// Bundle is the light of one field angle through the whole stop: rays evenly weighted over the stop's
// area, as they leave the lens.
type Bundle struct {
	Open float64 // share of the stop's area whose rays came through

	rays []leaving
}

// leaving is a ray on the paraxial image plane with its slopes, and the area of stop it stands for.
type leaving struct{ x, y, p, q, weight float64 }

// Rings a bundle may have.
const (
	leastRings = 2
	mostRings  = 64
)

// Bundle sends light through the whole stop: rings of rays at the places of Gauss's quadrature over
// the area, so that few rings give exact means of smooth images. Six serve most lenses; rims that cut the light
// ask for more. Rays that rims or surfaces stop are left out and counted in Open.
func (w Working) Bundle(a measure.Angle, rings int) (Bundle, error) {
	if err := measure.Within("rings", float64(rings), leastRings, mostRings, ""); err != nil {
		return Bundle{}, err
	}
	s, err := w.sightAt(a)
	if err != nil {
		return Bundle{}, err
	}
	areas, weights := gauss(rings)
	spokes := 2 * rings
	b := Bundle{rays: make([]leaving, 0, rings*spokes)}
	var lost *Lost
	for i, area := range areas {
		radius := math.Sqrt(area)
		for j := range spokes {
			// Half the stop; the other half is its mirror image in the plane of the field.
			sin, cos := math.Sincos(math.Pi * ((float64(j)+0.5)/float64(spokes) - 0.5))
			r, err := w.through(&s, radius*cos, radius*sin)
			if errors.As(err, &lost) {
				continue
			}
			if err != nil {
				return Bundle{}, err
			}
			weight := weights[i] / float64(spokes)
			b.rays = append(b.rays, leave(r, weight))
			b.Open += weight
		}
	}
	if len(b.rays) == 0 {
		return Bundle{}, lost
	}
	return b, nil
}

func leave(r Ray, weight float64) leaving {
	p, q := r.L/r.N, r.M/r.N
	return leaving{x: r.X - r.Z*p, y: r.Y - r.Z*q, p: p, q: q, weight: weight}
}

// Spot is the geometric image of a point on a plane across the axis.
type Spot struct {
	Behind measure.Length // the plane, from the paraxial image plane; negative nearer the lens
	Height measure.Length // centre of gravity
	RMS    measure.Length // root mean square distance from it
	Across measure.Length // its part across the field
	Along  measure.Length // its part along the field
}

// At returns the spot on a plane so far behind the paraxial image plane.
func (b Bundle) At(behind measure.Length) Spot {
	z, sum, mean := float64(behind), 0.0, 0.0
	for _, r := range b.rays {
		sum += r.weight
		mean += r.weight * (r.y + z*r.q)
	}
	mean /= sum
	xx, yy := 0.0, 0.0
	for _, r := range b.rays {
		x, y := r.x+z*r.p, r.y+z*r.q-mean
		xx += r.weight * x * x
		yy += r.weight * y * y
	}
	xx, yy = xx/sum, yy/sum
	return Spot{Behind: behind, Height: measure.Length(mean), RMS: measure.Length(math.Sqrt(xx + yy)),
		Across: measure.Length(math.Sqrt(xx)), Along: measure.Length(math.Sqrt(yy))}
}

// Best returns the spot on the plane where its RMS is least.
func (b Bundle) Best() Spot {
	sum, y, q := 0.0, 0.0, 0.0
	for _, r := range b.rays {
		sum += r.weight
		y += r.weight * r.y
		q += r.weight * r.q
	}
	y, q = y/sum, q/sum
	over, under := 0.0, 0.0
	for _, r := range b.rays {
		over += r.weight * (r.x*r.p + (r.y-y)*(r.q-q))
		under += r.weight * (r.p*r.p + (r.q-q)*(r.q-q))
	}
	if under == 0 {
		return b.At(0)
	}
	return b.At(measure.Length(-over / under))
}

// Encircled returns the radius about the centre of gravity that holds a share of the light, on a
// plane so far behind the paraxial image plane.
func (b Bundle) Encircled(behind measure.Length, share float64) (measure.Length, error) {
	if err := measure.Within("share of the light", share, 0, 1, ""); err != nil {
		return 0, err
	}
	centre, z := float64(b.At(behind).Height), float64(behind)
	type held struct{ radius, weight float64 }
	all, sum := make([]held, len(b.rays)), 0.0
	for i, r := range b.rays {
		all[i] = held{math.Hypot(r.x+z*r.p, r.y+z*r.q-centre), r.weight}
		sum += r.weight
	}
	slices.SortFunc(all, func(a, b held) int {
		switch {
		case a.radius < b.radius:
			return -1
		case a.radius > b.radius:
			return 1
		}
		return 0
	})
	within := 0.0
	for _, h := range all {
		if within += h.weight; within >= share*sum*(1-1e-12) {
			return measure.Length(h.radius), nil
		}
	}
	return measure.Length(all[len(all)-1].radius), nil
}

// Through returns the spot on evenly spaced planes from one place to another, both from the paraxial image plane.
func (b Bundle) Through(from, to measure.Length, planes int) ([]Spot, error) {
	if err := measure.Within("planes", float64(planes), 2, 10000, ""); err != nil {
		return nil, err
	}
	spots := make([]Spot, planes)
	for i := range spots {
		spots[i] = b.At(from + (to-from)*measure.Length(float64(i)/float64(planes-1)))
	}
	return spots, nil
}

// axialRings is how many rays stand for the stop on the axis. Means of a smooth spherical
// aberration come out exact up to its fifteenth order.
const axialRings = 8

// AxialFocus returns the spot of least RMS on the axis. Where it lies is what stopping down shifts.
func (w Working) AxialFocus() (Spot, error) {
	s, err := w.sightAt(0)
	if err != nil {
		return Spot{}, err
	}
	areas, weights := gauss(axialRings)
	yq, qq, yy := 0.0, 0.0, 0.0
	for i := range areas {
		r, err := w.through(&s, 0, math.Sqrt(areas[i]))
		if err != nil {
			return Spot{}, err
		}
		l := leave(r, weights[i])
		yq += l.weight * l.y * l.q
		qq += l.weight * l.q * l.q
		yy += l.weight * l.y * l.y
	}
	if qq == 0 {
		return Spot{}, w.astray()
	}
	z := -yq / qq
	rms := math.Sqrt(max(yy+z*yq, 0))
	each := measure.Length(rms / math.Sqrt2)
	return Spot{Behind: measure.Length(z), RMS: measure.Length(rms), Across: each, Along: each}, nil
}

// Crossing returns where the ray of the axial point through a zone of the stop, in radii of the stop, crosses
// the axis, from the paraxial image plane: longitudinal spherical aberration.
func (w Working) Crossing(zone float64) (measure.Length, error) {
	r, err := w.Ray(0, 0, zone)
	if err != nil {
		return 0, err
	}
	if r.M == 0 {
		return 0, &measure.RangeError{What: "zone of the stop", Got: zone, Low: 1e-6, High: 1, Unit: "radii", Source: "the ray on the axis crosses it nowhere"}
	}
	return measure.Length(r.Z - r.Y*r.N/r.M), nil
}

// Open returns the share of the stop that the rims leave open for a field angle, by sending rays
// through a square grid over the stop.
func (w Working) Open(a measure.Angle, across int) (float64, error) {
	if err := measure.Within("grid", float64(across), 5, 1001, "rays across"); err != nil {
		return 0, err
	}
	s, err := w.sightAt(a)
	if err != nil {
		return 0, err
	}
	all, open := 0, 0
	for i := range (across + 1) / 2 {
		twice := 2 // a column and its mirror image
		if 2*i+1 == across {
			twice = 1
		}
		x := (float64(2*i+1) - float64(across)) / float64(across)
		for j := range across {
			y := (float64(2*j+1) - float64(across)) / float64(across)
			if x*x+y*y > 1 {
				continue
			}
			all += twice
			if _, err := w.through(&s, x, y); err == nil {
				open += twice
			}
		}
	}
	return float64(open) / float64(all), nil
}

// gauss returns the n places and weights of Gauss's quadrature over 0 to 1: the roots of Legendre's
// polynomial by Newton's method.
func gauss(n int) (places, weights []float64) {
	places, weights = make([]float64, n), make([]float64, n)
	for i := range n {
		x := math.Cos(math.Pi * (float64(i) + 0.75) / (float64(n) + 0.5))
		slope := 0.0
		for range 20 {
			now, last := 1.0, 0.0
			for k := range n {
				now, last = (float64(2*k+1)*x*now-float64(k)*last)/float64(k+1), now
			}
			slope = float64(n) * (x*now - last) / (x*x - 1)
			step := now / slope
			x -= step
			if math.Abs(step) < 1e-15 {
				break
			}
		}
		places[i] = (1 + x) / 2
		weights[i] = 1 / ((1 - x*x) * slope * slope)
	}
	return places, weights
}
