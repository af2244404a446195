package optics

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"platewright/measure"
)

// Rims are the edges that cut a lens's light off its axis: the clear diameters of its front and rear
// glass and the length of the barrel between them. Zero is unknown.
type Rims struct {
	Front, Rear, Barrel measure.Length
	// ToEntrance is how far behind the front rim the entrance pupil is seen, ToExit how far before the
	// rear rim the exit pupil. Zero is unknown: half the barrel is taken. For a stop at the rim itself give a hair.
	ToEntrance, ToExit measure.Length
}

// ErrRimsUnknown: one of the three measures without which nothing can be said of the rims is missing.
var ErrRimsUnknown = errors.New("the rims of the lens are not known; measure the clear width of its front and rear glass and the distance between them")

// greatestOff is the greatest angle of the field answered.
const greatestOff = 80 * measure.Degree

// Open returns the share of the pupil's area that the rims leave open to a point of the field, seen
// from the entrance pupil at that angle from the lens's axis: 1 on the axis when the rims are wider than the stop's light.
//
// Both rims are laid into the pupil, seen through which they cut the light: the front one along rays from the
// point in focus, the rear one along rays to its image. They then are discs whose middles lie on
// one line, and what is open is common to them and to the pupil. It does not know the fall of light
// with the fourth power of the cosine, nor what the glass does to the pupil off the axis: of rays traced through the
// portrait form of 1840, its stop at the front glass or between the cells, from f/3.6 to f/11 and out to 15 degrees it stays within 0.05.
func (r Rims) Open(s Setting, off measure.Angle) (float64, error) {
	discs, err := r.discs(s, off)
	if err != nil {
		return 0, err
	}
	area, _, _ := overlap(discs[:])
	return area / math.Pi, nil
}

// Eye returns the extents of the open pupil, the cat's eye that the blur of a far highlight takes the shape
// of: along the direction away from the axis, and across it, as parts of the pupil's diameter. Highlights around
// a picture whose eyes are narrow along and not across seem to swirl about its middle. Both are 0 where no light
// passes.
func (r Rims) Eye(s Setting, off measure.Angle) (along, across float64, err error) {
	discs, err := r.discs(s, off)
	if err != nil {
		return 0, 0, err
	}
	_, along, across = overlap(discs[:])
	return along / 2, across / 2, nil
}

// disc is a disc with its middle on the line of the field direction.
type disc struct{ at, radius float64 }

// discs returns the pupil, as the unit disc, and the two rims in its measure.
func (r Rims) discs(s Setting, off measure.Angle) ([3]disc, error) {
	l := s.Lens
	if err := l.Check(); err != nil {
		return [3]disc{}, err
	}
	if err := measure.Within("magnification", s.Magnification, LeastMagnification, GreatestMagnification, ""); err != nil {
		return [3]disc{}, err
	}
	if err := measure.Within("angle of the field", off.Degrees(), 0, greatestOff.Degrees(), "degrees"); err != nil {
		return [3]disc{}, err
	}
	for _, q := range [...]struct {
		name string
		got  measure.Length
	}{
		{"front glass", r.Front}, {"rear glass", r.Rear}, {"barrel", r.Barrel}, {"entrance pupil behind the front rim", r.ToEntrance}, {"exit pupil before the rear rim", r.ToExit},
	} {
		if err := measure.Within(q.name, float64(q.got), 0, float64(GreatestFocal), "mm"); err != nil {
			return [3]disc{}, err
		}
	}
	if r.Front == 0 || r.Rear == 0 || r.Barrel == 0 {
		return [3]disc{}, ErrRimsUnknown
	}
	a, b := float64(r.ToEntrance), float64(r.ToExit)
	if a == 0 {
		a = float64(r.Barrel) / 2
	}
	if b == 0 {
		b = float64(r.Barrel) / 2
	}
	f, p := float64(l.Focal), l.PupilMag
	u := float64(s.FromPupil())    // entrance pupil to the point in focus
	z := f * (p + s.Magnification) // exit pupil to the plate
	entrance := float64(l.Pupil()) / 2
	exit := p * entrance
	if a >= u || b >= z {
		return [3]disc{}, fmt.Errorf("a rim is said to lie %.4g mm from its pupil, beyond the sitter or the plate; measure the barrel again", max(a, b))
	}
	// A ray through the pupil at ρ is at ρ(1 - b/z) + b tanθ' where the rear rim is; at the pupils tan θ' = tan θ/p.
	front, rear := 1-a/u, 1-b/z
	tan := math.Tan(float64(off))
	return [3]disc{
		{0, 1},
		{a * tan / (front * entrance), float64(r.Front) / 2 / (front * entrance)},
		{-b * tan / p / (rear * exit), float64(r.Rear) / 2 / (rear * exit)},
	}, nil
}

// overlap returns the area common to discs whose middles lie on one line, and its extents along that line and across it.
func overlap(discs []disc) (area, along, across float64) {
	low, high := math.Inf(-1), math.Inf(1)
	for _, d := range discs {
		low, high = max(low, d.at-d.radius), min(high, d.at+d.radius)
	}
	if !(low < high) {
		return 0, 0, 0
	}
	// The common figure is bounded above and below by the lowest of the arcs; which one that is changes where two
	// arcs cross, and they cross once.
	cuts := []float64{low, high}
	for i, d := range discs {
		for _, e := range discs[:i] {
			if d.at == e.at {
				continue
			}
			x := (d.at + e.at + (d.radius*d.radius-e.radius*e.radius)/(e.at-d.at)) / 2
			if low < x && x < high {
				cuts = append(cuts, x)
			}
		}
	}
	slices.Sort(cuts)
	for i := 1; i < len(cuts); i++ {
		from, to := cuts[i-1], cuts[i]
		d := lowest(discs, (from+to)/2)
		area += 2 * (d.under(to) - d.under(from))
		// The arc is highest over its middle, or at the end nearer to it.
		across = max(across, 2*d.height(min(max(d.at, from), to)))
	}
	return area, high - low, across
}

// lowest returns the disc whose arc is the lowest over x.
func lowest(discs []disc, x float64) disc {
	best := discs[0]
	for _, d := range discs[1:] {
		if d.height(x) < best.height(x) {
			best = d
		}
	}
	return best
}

// height returns the arc's height over x.
func (d disc) height(x float64) float64 {
	x -= d.at
	return math.Sqrt(max(0, (d.radius-x)*(d.radius+x)))
}

// under returns the integral of the height from the middle to x.
func (d disc) under(x float64) float64 {
	x = max(-d.radius, min(d.radius, x-d.at))
	return (x*math.Sqrt((d.radius-x)*(d.radius+x)) + d.radius*d.radius*math.Asin(x/d.radius)) / 2
}
