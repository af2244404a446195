package optics_test

import (
	"math"
	"math/big"
	"testing"

	"platewright/measure"
	"platewright/optics"

	"pgregory.net/rapid"
)

// The tests of this file reckon every figure a second time by the textbook formulas in arithmetic
// of 400 bits and hold the package to one part in a million over the whole of its ranges.
// Kind: identity.

const promised = 1e-6

// n is a number of 400 bits; its operations return new numbers.
type n struct{ *big.Float }

func num(v float64) n   { return n{new(big.Float).SetPrec(400).SetFloat64(v)} }
func fresh() *big.Float { return new(big.Float).SetPrec(400) }
func (a n) add(b n) n   { return n{fresh().Add(a.Float, b.Float)} }
func (a n) sub(b n) n   { return n{fresh().Sub(a.Float, b.Float)} }
func (a n) mul(b n) n   { return n{fresh().Mul(a.Float, b.Float)} }
func (a n) div(b n) n   { return n{fresh().Quo(a.Float, b.Float)} }
func (a n) sqrt() n     { return n{fresh().Sqrt(a.Float)} }
func (a n) f() float64  { v, _ := a.Float64(); return v }

var one, two = num(1), num(2)

func agree(t *rapid.T, name string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= promised*math.Abs(want)) {
		t.Fatalf("%s = %.15g, want %.15g within one part in a million", name, got, want)
	}
}

// wide draws evenly over the decades from low to high, ends included.
func wide(t *rapid.T, name string, low, high float64) float64 {
	at := rapid.Float64Range(0, 1).Draw(t, name)
	return min(max(low*math.Pow(high/low, at), low), high)
}

func anyLens(t *rapid.T) optics.Lens {
	l := optics.Lens{
		Focal:    measure.Length(wide(t, "focal", float64(optics.LeastFocal), float64(optics.GreatestFocal))),
		Stop:     measure.FNumber(wide(t, "stop", float64(optics.LeastStop), float64(optics.GreatestStop))),
		PupilMag: 1,
	}
	if rapid.Bool().Draw(t, "thick") {
		l.PupilMag = wide(t, "pupil magnification", optics.LeastPupilMag, optics.GreatestPupilMag)
	}
	return l
}

func TestSettingAgreesWithClosedFormulas(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := anyLens(t)
		f, N, p := num(float64(l.Focal)), num(float64(l.Stop)), num(l.PupilMag)
		var s optics.Setting
		var err error
		var m n // by whichever was given
		if rapid.Bool().Draw(t, "by distance") {
			low, high := optics.DistanceRange(l.Focal)
			d := wide(t, "distance", float64(low), float64(high))
			s, err = l.AtDistance(measure.Length(d))
			m = f.div(num(d).sub(f))
		} else {
			mag := wide(t, "magnification", optics.LeastMagnification, optics.GreatestMagnification)
			s, err = l.AtMagnification(mag)
			m = num(mag)
		}
		if err != nil {
			t.Fatal(err)
		}
		c := wide(t, "blur", float64(optics.LeastBlur), float64(optics.GreatestBlur))
		sx := f.mul(one.add(one.div(m)))
		v := one.div(one.div(f).sub(one.div(sx))) // not by m: the lens equation itself
		agree(t, "magnification", s.Magnification, m.f())
		agree(t, "distance", float64(s.Distance), sx.f())
		agree(t, "extension", float64(s.Extension), v.f())
		ne := N.mul(one.add(m.div(p)))
		agree(t, "effective stop", float64(s.EffectiveStop()), ne.f())
		agree(t, "bellows", float64(s.Bellows()), 2*log1(m.div(p))/math.Ln2)
		agree(t, "first dark ring", float64(s.Airy(0.00043)), ne.mul(num(0.00043)).mul(num(2.44)).f())
		agree(t, "focus depth", float64(s.FocusDepth(measure.Length(c))), ne.mul(num(c)).mul(two).f())
		agree(t, "hyperfocal", float64(l.Hyperfocal(measure.Length(c))), f.mul(f).div(N.mul(num(c))).add(f).f())

		side := wide(t, "side", 1, 5000)
		agree(t, "view", float64(s.View(measure.Length(side))), 2*math.Atan(num(side).div(v).div(two).f()))
		agree(t, "view from pupil", float64(s.ViewFromPupil(measure.Length(side))),
			2*math.Atan(num(side).div(f.mul(one.add(m.div(p)))).div(two).f()))

		// The blur of the limits, u' from the pupil, is D|u'-u|m/u' = c.
		D := f.div(N)
		shift := f.sub(f.div(p)) // entrance pupil before the principal plane
		u := sx.sub(shift)
		near := u.mul(D).mul(m).div(D.mul(m).add(num(c)))
		room := D.mul(m).sub(num(c)) // far limit: u D m over this
		d, err := s.Depth(measure.Length(c))
		if err != nil {
			t.Fatal(err)
		}
		agree(t, "front depth", float64(d.Front), u.sub(near).f())
		// near + shift may cancel when the pupil lies behind; what is left then has the rounding of its terms.
		if want := near.add(shift).f(); math.Abs(float64(d.Near)-want) > promised*math.Abs(want)+1e-14*u.f() {
			t.Fatalf("near = %.15g, want %.15g", d.Near, want)
		}
		ratio := room.div(D.mul(m)).f() // 1 - q
		switch {
		case ratio > 1e-9:
			far := u.mul(D).mul(m).div(room)
			if d.Endless {
				t.Fatalf("far limit is infinite, want %g", far.f())
			}
			agree(t, "far", float64(d.Far), far.add(shift).f())
			agree(t, "rear depth", float64(d.Rear), far.sub(u).f())
			agree(t, "depth", float64(d.Total), far.sub(near).f())
		case ratio <= 0 && !d.Endless:
			t.Fatalf("far limit is %g, want infinite", d.Far)
		}
	})
}

// log1 is ln(1+x) from the number itself.
func log1(x n) float64 {
	if v := x.f(); v < 1e-4 {
		return v - v*v/2 + v*v*v/3
	}
	return math.Log(one.add(x).f())
}

// vector of 400-bit numbers
type v3 [3]n

func (a v3) dot(b v3) n { return a[0].mul(b[0]).add(a[1].mul(b[1])).add(a[2].mul(b[2])) }
func (a v3) minus(b v3) v3 {
	return v3{a[0].sub(b[0]), a[1].sub(b[1]), a[2].sub(b[2])}
}
func det(a, b, c v3) n {
	m := func(i, j int) n { return b[i].mul(c[j]).sub(b[j].mul(c[i])) }
	return a[0].mul(m(1, 2)).sub(a[1].mul(m(0, 2))).add(a[2].mul(m(0, 1)))
}

// cramer solves p·X = 1 for the three points; exact reports whether the determinant is not nothing.
func cramer(x [3]v3) (p v3, d n) {
	d = det(x[0], x[1], x[2])
	if d.Sign() == 0 {
		return p, d
	}
	for k := range 3 {
		y := x
		for i := range 3 {
			y[i][k] = one
		}
		p[k] = det(y[0], y[1], y[2]).div(d)
	}
	return p, d
}

// somePoints draws three points that span a scene of any size within the ranges.
func somePoints(t *rapid.T, f float64) [3]optics.Point {
	reach := wide(t, "reach", 1, float64(optics.GreatestReach)-2*f)
	depth := wide(t, "depth", 1e-3, 1)
	from := wide(t, "from", 1e-3, 1)
	co := func(name string) float64 { return rapid.Float64Range(-1, 1).Draw(t, name) }
	var pts [3]optics.Point
	for i := range pts {
		z := f + reach*(from+(1-from)*depth*math.Abs(co("z")))
		pts[i] = optics.Point{X: measure.Length(reach * co("x")), Y: measure.Length(reach * co("y")), Z: measure.Length(z)}
	}
	return pts
}

func TestMovementsAgreeWithVectorEquation(t *testing.T) {
	counts := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		focal := wide(t, "focal", float64(optics.LeastFocal), float64(optics.GreatestFocal))
		pts := somePoints(t, focal)
		var x [3]v3
		reach := 0.0
		for i, p := range pts {
			x[i] = v3{num(float64(p.X)), num(float64(p.Y)), num(float64(p.Z))}
			reach = max(reach, math.Abs(float64(p.X)), math.Abs(float64(p.Y)), float64(p.Z))
		}
		// Exact height of the triangle and distance of its plane from the lens.
		a, b, c := x[1].minus(x[0]), x[2].minus(x[0]), x[2].minus(x[1])
		area := a.dot(a).mul(b.dot(b)).sub(a.dot(b).mul(a.dot(b)))
		longest := math.Sqrt(max(a.dot(a).f(), b.dot(b).f(), c.dot(c).f()))
		height := 0.0
		if longest > 0 && area.Sign() > 0 {
			height = area.sqrt().f() / longest
		}
		p, d := cramer(x)
		pl, err := optics.Through(pts)
		if err != nil {
			away := 0.0
			if d.Sign() != 0 {
				away = one.div(p.dot(p).sqrt()).f()
			}
			if height > 2e-9*reach && away > 8e-9*reach {
				t.Fatalf("refused: %v, but the triangle is %g high and its plane %g from the lens", err, height, away)
			}
			counts["refused"]++
			return
		}
		if height < 1e-6*reach {
			return // good to the last digit the points carry, which is not a millionth
		}
		f := num(focal)
		// Conditions of the two solutions, exact.
		across := p[0].mul(p[0]).add(p[1].mul(p[1]))
		sin2 := across.mul(f).mul(f)
		toBack := one.div(f).sub(p[2])
		size := one.div(f).f() + math.Abs(p[2].f())
		away := one.div(p.dot(p).sqrt()).f() // the plane from the lens
		floor := 1e-9 * size * (1 + reach/height)
		floor += 4e-9 * reach / (away * focal)

		back, err := pl.ByBack(measure.Length(focal))
		steep := math.Sqrt(across.f()) / math.Abs(toBack.f())
		if (err == nil) != (toBack.Sign() > 0 && steep < 1e4) && math.Abs(toBack.f()) > floor && math.Abs(steep-1e4) > 1 {
			t.Fatalf("back: %v, but 1/f - p_z = %g", err, toBack.f())
		}
		// Cancellation in 1/f - p_z is the question's own: it eats as many digits of any answer.
		if err == nil && toBack.f() > floor {
			counts["back"]++
			E := one.div(toBack)
			agree(t, "back extension", float64(back.Extension), E.f())
			agreeSlope(t, "back tilt", back.Back.Tilt, p[1].mul(E).f(), p, E.f(), reach/height)
			agreeSlope(t, "back swing", back.Back.Swing, p[0].mul(E).f(), p, E.f(), reach/height)
			hingeAgrees(t, back, backHinge(p, toBack, f))
			traced(t, back, pts)
		}

		front, err := pl.ByFront(measure.Length(focal))
		if s2 := sin2.f(); s2 >= 1 {
			if err == nil && s2 > 1+1e-6 {
				t.Fatalf("front answered with a sine of %g", math.Sqrt(s2))
			}
			return
		} else if s2 > 1-1e-6 {
			return
		}
		az := one.sub(sin2).sqrt()
		toFront := az.div(f).sub(p[2])
		if (err == nil) != (toFront.Sign() > 0) && math.Abs(toFront.f()) > floor {
			t.Fatalf("front: %v, but a_z/f - p_z = %g", err, toFront.f())
		}
		if err == nil && toFront.f() > floor {
			counts["front"]++
			v := one.div(toFront)
			agree(t, "front extension", float64(front.Extension), v.f())
			agreeSlope(t, "lens tilt", front.Lens.Tilt, -p[1].mul(f).div(az).f(), p, focal/az.f(), reach/height)
			agreeSlope(t, "lens swing", front.Lens.Swing, -p[0].mul(f).div(az).f(), p, focal/az.f(), reach/height)
			if sin2.f() > 1e-12 {
				agree(t, "refocus", float64(front.Refocus()), v.sub(one.div(toBack)).f())
			}
			if across.Sign() > 0 {
				hingeAgrees(t, front, one.div(across.sqrt()).f())
			}
			traced(t, front, pts)
		}
	})
	t.Logf("answered: %v", counts)
	for _, k := range []string{"back", "front"} {
		if counts[k] < 10 {
			t.Errorf("only %d set-ups by the %s were compared", counts[k], k)
		}
	}
}

// agreeSlope compares an angle with its exact slope (of the opposite sign): to a millionth of it, or to what the points'
// own last digits leave uncertain in it.
func agreeSlope(t *rapid.T, name string, got measure.Angle, minus float64, p v3, scale, worse float64) {
	t.Helper()
	want := math.Atan(-minus)
	own := 1e-14 * worse * scale * p.dot(p).sqrt().f()
	if !(math.Abs(float64(got)-want) <= promised*math.Abs(want)+own) {
		t.Fatalf("%s = %.15g, want %.15g within one part in a million", name, got, want)
	}
}

// backHinge is f over the sine of the back's whole angle, exact until the last step.
func backHinge(p v3, toBack, f n) float64 {
	across := p[0].mul(p[0]).add(p[1].mul(p[1]))
	if across.Sign() == 0 {
		return math.Inf(1)
	}
	return f.mul(across.add(toBack.mul(toBack)).div(across).sqrt()).f()
}

func hingeAgrees(t *rapid.T, c optics.Camera, want float64) {
	t.Helper()
	h, ok := c.Hinge()
	if want > 1e12 {
		return // lens and plate square to each other but for rounding
	}
	if !ok {
		t.Fatalf("no hinge, want one at %g", want)
	}
	agree(t, "hinge", float64(h.Distance), want)
	foot := math.Hypot(math.Hypot(float64(h.Foot.X), float64(h.Foot.Y)), float64(h.Foot.Z))
	agree(t, "hinge's foot", foot, want)
}

// traced sends the points through the answered camera: they must fall on its plate to 1e-9 of the
// size of the image, and the camera's own sharp plane must hold the points.
func traced(t *rapid.T, c optics.Camera, pts [3]optics.Point) {
	t.Helper()
	for i, p := range pts {
		im, err := c.Image(p)
		if err != nil {
			t.Fatalf("point %d: %v", i+1, err)
		}
		size := float64(c.Extension) + math.Abs(float64(im.X)) + math.Abs(float64(im.Y)) + math.Abs(float64(im.Z))
		// A point all but on the front focal plane has its image thrown far away, rounding included.
		thrown := size / float64(c.Focal)
		if off := math.Abs(float64(c.Off(im))); off > 1e-9*max(1, size*max(1, thrown*1e-3)) {
			t.Fatalf("point %d falls %g mm off the plate, image %+v, camera %+v", i+1, off, im, c)
		}
		q := c.SharpPlane()
		sum := q[0]*float64(p.X) + q[1]*float64(p.Y) + q[2]*float64(p.Z)
		terms := 1 + math.Abs(q[0]*float64(p.X)) + math.Abs(q[1]*float64(p.Y)) +
			float64(p.Z)*(1/float64(c.Focal)+1/float64(c.Extension))
		if math.Abs(sum-1) > 1e-9*terms {
			t.Fatalf("point %d is off the sharp plane: p·X = %.15g", i+1, sum)
		}
	}
}
