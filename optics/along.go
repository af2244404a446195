package optics

import (
	"fmt"
	"math"

	"platewright/measure"
)

// Reach is what is sharp along one chief ray.
type Reach struct {
	Near, Sharp, Far Point
	Endless          bool // sharp to infinity: Far holds nothing
	Beyond           bool // the plate lies before the image of infinity here: Sharp holds nothing
	Nothing          bool // no place along the ray is drawn within the blur: Near and Far hold nothing
}

// Along returns what is sharp along the chief ray that ends at a place of the plate: the point drawn
// best, and the nearest and the farthest drawn with a spot no longer than blur. [Setup.Spot] of
// either limit is a spot as long as blur, at that place.
func (s Setup) Along(q PlatePoint, blur measure.Length) (Reach, error) {
	if err := s.Check(); err != nil {
		return Reach{}, err
	}
	if err := measure.Within("blur", float64(blur), float64(LeastBlur), float64(GreatestBlur), "mm"); err != nil {
		return Reach{}, err
	}
	if d := max(math.Abs(float64(q.X)), math.Abs(float64(q.Y))); !(d <= float64(GreatestReach)) {
		return Reach{}, measure.Within("place on the plate", d, 0, float64(GreatestReach), "mm")
	}
	st := s.stand()
	rel := s.inSpace(&st, q).minus(st.exit)
	reach := -rel.dot(st.a)
	if !(reach > 0) {
		return Reach{}, ErrNoSpot
	}
	y := newRay(&st, rel.plus(st.a.times(reach)).times(1/reach))
	b := bundle{s: &s, st: &st, ray: &y, reach: reach, blur: float64(blur)}
	return b.limits()
}

// bundle is a chief ray with its place on the plate, and answers how wide it is there for an ideal image anywhere
// along it, told by u = 1/zeta.
type bundle struct {
	s     *Setup
	st    *stand
	ray   *ray
	reach float64
	blur  float64
}

// over returns by how much the spot of the point with its ideal image at 1/u is longer than the blur.
func (b *bundle) over(u float64) float64 {
	t, s, ok := b.s.foci(b.ray, 1/u)
	if !ok {
		return math.MaxFloat64
	}
	long, _, ok := b.ray.width(b.st, 1/t, 1/s, b.reach)
	if !ok {
		return math.MaxFloat64
	}
	return long - b.blur
}

// ideal returns the zeta of the ideal image that the surface's section brings to a focus at the plate.
func (b *bundle) ideal(c Curve) (float64, bool) {
	shift, tau := float64(b.s.Shift), b.ray.tau
	zeta := b.reach - shift
	zeta += c.nearer(zeta * tau)
	for range 30 {
		h := zeta * tau
		slope := 1 - tau*c.slope(h)
		if !(zeta > 0) || !(slope > 0) {
			return 0, false
		}
		step := (zeta - c.nearer(h) + shift - b.reach) / slope
		zeta -= step
		if math.Abs(step) <= 4e-16*b.reach {
			break
		}
	}
	return zeta, zeta > 0
}

func (b *bundle) limits() (Reach, error) {
	if !(b.ray.wc < 0) || !(b.reach > float64(b.s.Shift)) {
		return Reach{}, ErrNoSpot
	}
	fp := b.st.f * b.st.p // zeta of the image of infinity
	t, ok := b.ideal(b.s.Surface.Tangential)
	s := t
	if ok && b.s.Surface.Sagittal != b.s.Surface.Tangential {
		s, ok = b.ideal(b.s.Surface.Sagittal)
	}
	if !ok {
		return Reach{}, ErrTooCurved
	}
	best := 1 / t
	if s != t {
		best = LeastOf(1/max(s, t), 1/min(s, t), 1e-15/min(s, t), b.over)
	}
	var r Reach
	last := 1 / fp // u of infinity
	if best >= last*(1-1e-13) {
		best, r.Beyond = last, true
	} else {
		r.Sharp = b.object(1 / best)
	}
	if s != t && b.over(best) > 0 || r.Beyond && b.over(last) > 0 {
		r.Nothing = true
		return r, nil
	}
	// The spot grows with |1 - reach·u| times nearly the same: a first guess of how far u may go.
	guess := 1.25 * b.blur / (2 * b.st.r) * best
	near, ok := b.crossing(best, best, -guess, 1e-6/b.st.f)
	if !ok {
		return Reach{}, fmt.Errorf("blur of %g mm is as wide as the whole bundle of light, so nothing before the lens has a near limit; give a smaller blur or open the stop", b.blur)
	}
	r.Near = b.object(1 / near)
	if r.Beyond {
		r.Endless = true
		return r, nil
	}
	far, ok := b.crossing(best, best, guess, last*(1-1e-13))
	if !ok {
		r.Endless = true
		return r, nil
	}
	r.Far = b.object(1 / far)
	return r, nil
}

// crossing returns the u between from and end at which the spot grows to the blur, walking away from from with
// growing steps and then closing in; false when it is still narrower at end.
func (b *bundle) crossing(from, inside, step, end float64) (float64, bool) {
	gi := b.over(inside)
	outside, g := from, 0.0
	for {
		outside += step
		if (outside-end)*step >= 0 {
			outside = end
		}
		g = b.over(outside)
		if g > 0 {
			break
		}
		if outside == end {
			return 0, false
		}
		inside, gi = outside, g
		step *= 2
	}
	// Regula falsi, the value at an end that stays halved.
	u, side := outside, 0
	for range 200 {
		u = outside - g*(outside-inside)/(g-gi)
		if g == math.MaxFloat64 || !(min(inside, outside) < u && u < max(inside, outside)) {
			u = (inside + outside) / 2
		}
		gu := b.over(u)
		if math.Abs(gu) <= 1e-13*b.blur || math.Abs(outside-inside) <= 4e-16*outside {
			break
		}
		if gu > 0 {
			outside, g = u, gu
			if side == 1 {
				gi /= 2
			}
			side = 1
		} else {
			inside, gi = u, gu
			if side == -1 {
				g /= 2
			}
			side = -1
		}
	}
	return u, true
}

// object returns the point before the lens whose ideal image lies at zeta on the ray.
func (b *bundle) object(zeta float64) Point {
	i := b.st.exit.plus(b.ray.c.times(zeta))
	x := i.times(b.st.f / (b.st.f*b.st.p - zeta)) // X = f X'/(f + a·X')
	return Point{measure.Length(x[0]), measure.Length(x[1]), measure.Length(x[2])}
}
