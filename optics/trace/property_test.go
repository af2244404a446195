package trace_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"platewright/measure"
	"platewright/optics/trace"
)

// These tests need no figure from outside: they hold for every lens. Kind: identity.

// anySystem draws a lens of two to four glasses in the manner of real ones; its focal length may be of either sign.
func anySystem(t *rapid.T) trace.System {
	glasses := rapid.IntRange(1, 4).Draw(t, "glasses")
	s := trace.System{Name: "drawn lens"}
	for i := range glasses {
		n := rapid.Float64Range(1.45, 1.8).Draw(t, "n")
		s.Surfaces = append(s.Surfaces,
			trace.Surface{Curvature: rapid.Float64Range(-.02, .03).Draw(t, "c"), Thickness: measure.Length(rapid.Float64Range(1, 8).Draw(t, "t")), After: trace.Constant("glass", n)},
			trace.Surface{Curvature: rapid.Float64Range(-.03, .02).Draw(t, "c"), Thickness: measure.Length(rapid.Float64Range(0.5, 20).Draw(t, "t")), After: trace.Air()})
		if i < glasses-1 && rapid.Bool().Draw(t, "cemented") {
			s.Surfaces[len(s.Surfaces)-1].After = trace.Constant("glass", rapid.Float64Range(1.45, 1.8).Draw(t, "n"))
		}
	}
	s.Surfaces[len(s.Surfaces)-1].After = trace.Air()
	s.Surfaces[rapid.IntRange(0, len(s.Surfaces)-1).Draw(t, "stop")].Stop = true
	return s
}

// anyOptic draws a lens that forms a real image with usable pupils.
func anyOptic(t *rapid.T) trace.Optic {
	o, err := anySystem(t).In(trace.LineD)
	if err != nil {
		t.Skip(err)
	}
	f := o.FirstOrder()
	if f.Focal < 30 || f.Focal > 2000 || f.PupilMag < 0.2 || f.PupilMag > 5 || math.Abs(float64(f.EntrancePupil)) > 200 {
		t.Skip("not a lens for a camera")
	}
	return o
}

// drawn returns a value, or fails the test.
func drawn(t *rapid.T) func(steps []trace.Step, err error) []trace.Step {
	return func(steps []trace.Step, err error) []trace.Step {
		if err != nil {
			t.Fatal(err)
		}
		return steps
	}
}

func working(t *rapid.T, o trace.Optic, c trace.Conditions) trace.Working {
	w, err := o.Work(c)
	if err != nil {
		t.Skip(err)
	}
	return w
}

func thirdOf(t *rapid.T, w trace.Working, field measure.Angle) trace.Third {
	s, err := w.Third(field, trace.Band{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func s1(s trace.Sums) float64 { return s.S1 }
func s2(s trace.Sums) float64 { return s.S2 }
func s3(s trace.Sums) float64 { return s.S3 }
func s4(s trace.Sums) float64 { return s.S4 }
func s5(s trace.Sums) float64 { return s.S5 }

// alike fails unless two figures agree to a part of their size or of a floor.
func alike(t *rapid.T, what string, got, want, part, floor float64) {
	t.Helper()
	if !(math.Abs(got-want) <= part*math.Max(math.Abs(want), floor)) {
		t.Fatalf("%s: %.15g, want %.15g", what, got, want)
	}
}

func anyConditions(t *rapid.T, o trace.Optic) trace.Working {
	c := trace.Conditions{Stop: measure.FNumber(rapid.Float64Range(4, 32).Draw(t, "N"))}
	if rapid.Bool().Draw(t, "near") {
		c.Magnification = rapid.Float64Range(0.02, 1.2).Draw(t, "m")
	}
	return working(t, o, c)
}

// size is what a sum's parts add up to without their signs, the measure of its rounding.
func size(s trace.Third, pick func(trace.Sums) float64) float64 {
	total := 0.0
	for _, e := range s.Each {
		total += math.Abs(pick(e))
	}
	return total
}

func TestLagrangeInvariant(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := anyConditions(t, anyOptic(t))
		steps := drawn(t)(w.Paraxial(measure.Angle(rapid.Float64Range(0.01, 0.6).Draw(t, "field"))))
		first := steps[0].Invariant()
		for i, s := range steps {
			part := math.Abs(s.Index*s.U*s.YBar) + math.Abs(s.Index*s.UBar*s.Y)
			if math.Abs(s.Invariant()-first) > 1e-12*math.Max(part, math.Abs(first)) {
				t.Fatalf("after surface %d the invariant is %.16g, before the lens %.16g", i, s.Invariant(), first)
			}
		}
	})
}

// TestStopElsewhere moves the stop and keeps the entering pencil: spherical aberration and the bare
// curvature stay, coma and astigmatism follow the stop-shift rule. [Welford1986]
func TestStopElsewhere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := anyOptic(t)
		moved := o.System.Scaled(1)
		to := rapid.IntRange(0, len(moved.Surfaces)-1).Draw(t, "stop's new place")
		for i := range moved.Surfaces {
			moved.Surfaces[i].Stop = i == to
		}
		p, err := moved.In(trace.LineD)
		if err != nil {
			t.Skip(err)
		}
		const field = 0.2
		v, w := working(t, o, trace.Conditions{Pupil: 10}), working(t, p, trace.Conditions{Pupil: 10})
		a, b := thirdOf(t, v, field), thirdOf(t, w, field)
		steps := drawn(t)(v.Paraxial(field))
		other := drawn(t)(w.Paraxial(field))
		q := (other[1].YBar - steps[1].YBar) / steps[1].Y // shift of the chief ray over the marginal ray's height
		for _, c := range []struct {
			name      string
			pick      func(trace.Sums) float64
			got, want float64
		}{
			{"S1", s1, b.Total.S1, a.Total.S1},
			{"S2", s2, b.Total.S2, a.Total.S2 + q*a.Total.S1},
			{"S3", s3, b.Total.S3, a.Total.S3 + 2*q*a.Total.S2 + q*q*a.Total.S1},
			{"S4", s4, b.Total.S4, a.Total.S4},
		} {
			alike(t, c.name, c.got, c.want, 1e-8, size(a, c.pick)+size(b, c.pick)+math.Abs(q)*size(a, s1)*(1+math.Abs(q)))
		}
	})
}

// TestFieldCurvatureOfEveryDistance: the part of the curvature that astigmatism leaves is the same at
// every distance, and is that of the first-order figures.
func TestFieldCurvatureOfEveryDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := anyOptic(t)
		bare, _, _ := thirdOf(t, anyConditions(t, o), 0.1).Curvatures()
		alike(t, "bare curvature", bare, o.FirstOrder().Bare, 1e-9, 1e-4)
	})
}

func TestReversedLens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := anyOptic(t)
		back := again(t, o.System.Reversed())
		a, b := o.FirstOrder(), back.FirstOrder()
		alike(t, "focal length", float64(b.Focal), float64(a.Focal), 1e-10, 1)
		alike(t, "back focus", float64(b.Back), -float64(a.Front), 1e-9, float64(a.Focal))
		alike(t, "entrance pupil", float64(b.EntrancePupil), -float64(a.ExitPupil), 1e-9, float64(a.Focal))
		alike(t, "pupil magnification", b.PupilMag, 1/a.PupilMag, 1e-9, 1)
		twice := o.System.Reversed().Reversed()
		for i, f := range twice.Surfaces {
			if g := o.System.Surfaces[i]; f.Curvature != g.Curvature || f.Stop != g.Stop || (i < len(twice.Surfaces)-1 && f.Thickness != g.Thickness) {
				t.Fatalf("turned round twice, surface %d is %+v, was %+v", i, f, g)
			}
		}
		// A ray sent back along the way it came comes out where it went in.
		r := trace.Ray{X: 1, Y: 2, L: 0.02, M: -0.05, N: math.Sqrt(1 - .0029)}
		out, err := o.Trace(r)
		if err != nil {
			t.Skip(err)
		}
		home, err := back.Trace(trace.Ray{X: out.X, Y: out.Y, Z: -out.Z, L: -out.L, M: -out.M, N: out.N})
		if err != nil {
			t.Fatal(err)
		}
		dz := (-home.Z) / home.N // to the first vertex's plane, seen from behind
		alike(t, "x of the ray sent back", home.X+dz*home.L, r.X, 1e-9, 1)
		alike(t, "y of the ray sent back", home.Y+dz*home.M, r.Y, 1e-9, 1)
		alike(t, "direction sent back", home.M, -r.M, 1e-9, 1)
	})
}

// again returns a system that is known to be sound, in the d line.
func again(t *rapid.T, s trace.System) trace.Optic {
	o, err := s.In(trace.LineD)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

func TestScaling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := anyOptic(t)
		k := rapid.Float64Range(0.05, 20).Draw(t, "k")
		big := again(t, o.System.Scaled(k))
		a, b := o.FirstOrder(), big.FirstOrder()
		for name, pair := range map[string][2]measure.Length{"focal length": {a.Focal, b.Focal}, "back focus": {a.Back, b.Back}, "front focus": {a.Front, b.Front}, "entrance pupil": {a.EntrancePupil, b.EntrancePupil}} {
			alike(t, name, float64(pair[1]), k*float64(pair[0]), 1e-10, k)
		}
		n := measure.FNumber(rapid.Float64Range(5, 20).Draw(t, "N"))
		s := thirdOf(t, working(t, o, trace.Conditions{Stop: n}), 0.1)
		u := thirdOf(t, working(t, big, trace.Conditions{Stop: n}), 0.1)
		for i, pick := range []func(trace.Sums) float64{s1, s2, s3, s4, s5} {
			alike(t, "sum "+string(rune('1'+i)), pick(u.Total), k*pick(s.Total), 1e-9, k*size(s, pick))
		}
		r := trace.Ray{X: 1, Y: 2, M: 0.1, N: math.Sqrt(1 - .01)}
		out, err := o.Trace(r)
		if err != nil {
			t.Skip(err)
		}
		r.X, r.Y = k*r.X, k*r.Y
		enlarged, err := big.Trace(r)
		if err != nil {
			t.Fatal(err)
		}
		alike(t, "ray", enlarged.Y, k*out.Y, 1e-9, k)
		alike(t, "direction", enlarged.M, out.M, 1e-9, 1)
	})
}

// TestThirdOrderIsTheLimit: as the stop closes, real spherical aberration tends to that of the sums; as the field
// closes, the foci along the chief ray tend to the sums' curvatures.
func TestThirdOrderIsTheLimit(t *testing.T) {
	for _, f := range trace.Forms() {
		o := must(must(f.Scaled(100))(t).In(trace.Visual))(t)
		for _, m := range []float64{0, 0.1, 0.43} {
			w := work(t, o, trace.Conditions{Stop: 240, Magnification: m})
			s := third(t, w, 1*measure.Degree)
			along := float64(must(w.Crossing(1))(t))
			if math.Abs(along/s.Along()-1) > 0.005 {
				t.Errorf("%s at m %g: spherical aberration at f/240 %g, third order %g", f.Key, m, along, s.Along())
			}
			const small = 0.1 * measure.Degree
			foci := must(w.Foci(small))(t)
			_, sagittal, tangential := s.Curvatures()
			h2 := float64(foci.Height * foci.Height)
			compare(t, []check{
				{f.Key + " sagittal curvature", -2 * float64(foci.Sagittal) / h2, sagittal, 2e-4 * math.Max(math.Abs(sagittal), o.FirstOrder().Bare), "the sums"},
				{f.Key + " tangential curvature", -2 * float64(foci.Tangential) / h2, tangential, 2e-4 * math.Max(math.Abs(tangential), o.FirstOrder().Bare), "the sums"},
			})
		}
	}
}

// TestSymmetry: a lens that is its own mirror image has no coma, distortion or lateral colour at the same size.
func TestSymmetry(t *testing.T) {
	o := must(form(t, "double-meniscus").System.In(trace.LineD))(t)
	band := trace.Band{From: trace.LineF, To: trace.LineC}
	at := func(m float64) trace.Sums {
		s := must(work(t, o, trace.Conditions{Stop: 10, Magnification: m}).Third(15*measure.Degree, band))(t)
		return s.Total
	}
	same, far := at(1), at(0.1)
	compare(t, []check{
		{"S2", same.S2, 0, 1e-12, "symmetry"}, {"S5", same.S5, 0, 1e-12, "symmetry"}, {"C2", same.C2, 0, 1e-12, "symmetry"},
	})
	if math.Abs(far.S2) < 1e-6 || math.Abs(far.S5) < 1e-6 || math.Abs(far.C2) < 1e-6 || math.Abs(same.S1) < 1e-6 || math.Abs(same.C1) < 1e-6 {
		t.Errorf("away from the same size the lens should not be free of them: %+v", far)
	}
	// The same in real rays: the chief ray leaves as it came in.
	w := work(t, o, trace.Conditions{Stop: 10, Magnification: 1})
	foci := must(w.Foci(20 * measure.Degree))(t)
	compare(t, []check{{"distortion", foci.Distortion, 0, 1e-9, "symmetry"}})
}

// TestColourSums compares the chromatic sums with two traces in two colours.
func TestColourSums(t *testing.T) {
	for _, key := range []string{"triplet", "landscape", "five-glass", "portrait-1840"} {
		s := form(t, key).System
		from, to := measure.Length(587e-6), measure.Length(588e-6)
		a, b := must(s.In(from))(t), must(s.In(to))(t)
		w := work(t, a, trace.Conditions{Stop: 8})
		sums := must(w.Third(2*measure.Degree, trace.Band{From: from, To: to}))(t)
		const u = -1. / (2 * 8)
		// The focus moves by C1/u'² from the first colour to the second.
		moved := float64(a.FirstOrder().Back - b.FirstOrder().Back)
		compare(t, []check{{key + " colour along the axis", -sums.Total.C1 / (u * u), moved, 3e-3 * math.Max(math.Abs(moved), 1e-6), "two traces"}})
		// The image height grows by C2/u' from the second colour to the first, in one plane.
		other := work(t, b, trace.Conditions{Stop: 8})
		one, two := must(w.Ray(2*measure.Degree, 0, 0))(t), must(other.Ray(2*measure.Degree, 0, 0))(t)
		height := one.Y - one.Z*one.M/one.N
		another := two.Y - (two.Z+float64(other.Image-w.Image))*two.M/two.N
		compare(t, []check{{key + " colour across the field", sums.Total.C2 / u, height - another, 1e-2*math.Abs(height-another) + 1e-8*float64(a.FirstOrder().Focal), "two traces"}})
	}
}

// TestAimedRays: a ray crosses the stop where it was aimed, whatever the lens and the distance.
func TestAimedRays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := anyOptic(t)
		w := anyConditions(t, o)
		angle := measure.Angle(rapid.Float64Range(-0.3, 0.3).Draw(t, "field"))
		rho, phi := rapid.Float64Range(0, 1).Draw(t, "rho"), rapid.Float64Range(0, 2*math.Pi).Draw(t, "phi")
		px, py := rho*math.Cos(phi), rho*math.Sin(phi)
		in, err := w.Into(angle, px, py)
		if err != nil {
			t.Skip(err)
		}
		// Cut the lens off before the stop: what leaves its front part crosses the stop's plane there.
		stop := 0
		for i, f := range o.System.Surfaces {
			if f.Stop {
				stop = i
			}
		}
		radius := float64(o.FirstOrder().Focal) / (2 * float64(w.Stop) * math.Abs(o.FirstOrder().PupilPerStop))
		x, y := in.X, in.Y
		if stop > 0 {
			path, err := o.Path(in)
			if len(path) < stop {
				t.Fatal(err)
			}
			at, vertex := path[stop-1], 0.0
			for _, f := range o.System.Surfaces[:stop] {
				vertex += float64(f.Thickness)
			}
			d := (vertex - at.Z) / at.N
			x, y = at.X+d*at.L, at.Y+d*at.M
		}
		alike(t, "x in the stop", x/radius, px, 1e-6, 1)
		alike(t, "y in the stop", y/radius, py, 1e-6, 1)
	})
}
