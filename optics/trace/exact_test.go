package trace_test

import (
	"errors"
	"math"
	"testing"

	"platewright/measure"
	"platewright/optics/trace"
)

// one is a single sphere of radius r before a glass of index n.
func one(t testing.TB, r measure.Length, n float64) trace.Optic {
	s := trace.System{Surfaces: []trace.Surface{{Curvature: trace.Radius(r), After: trace.Constant("glass", n), Stop: true}}}
	return must(s.In(trace.LineD))(t)
}

// TestSnellByHand follows a ray parallel to the axis at one sphere by plane trigonometry: the ray meets
// the sphere under the angle asin(y/r), leaves it under asin(y/(nr)), and crosses the axis where the sine
// rule in the triangle of centre, vertex and crossing says. Kind: identity.
func TestSnellByHand(t *testing.T) {
	for _, r := range []float64{10, 37.5, 800} {
		for _, n := range []float64{1.33, 1.5168, 1.9} {
			o := one(t, measure.Length(r), n)
			for _, part := range []float64{1e-6, 0.01, 0.3, 0.7, 0.99} {
				y := part * r
				into := math.Asin(y / r)
				out := math.Asin(y / (n * r))
				slope := into - out
				// Sine rule from the centre: crossing to centre = r sin(out)/sin(slope).
				cross := r + r*math.Sin(out)/math.Sin(slope)
				ray := must(o.Trace(trace.Ray{Y: y, N: 1}))(t)
				got := ray.Z - ray.Y*ray.N/ray.M
				compare(t, []check{
					{"crossing over radius", got / r, cross / r, 1e-9, "plane trigonometry"},
					{"sine of the slope", -ray.M, math.Sin(slope), 1e-13, "plane trigonometry"},
					{"height kept", ray.Y / r, y / r, 1e-14, "plane trigonometry"},
				})
			}
		}
	}
}

// TestPlaneAndPlate: a plane refracts by the sine law alone, a plate only shifts. Kind: identity.
func TestPlaneAndPlate(t *testing.T) {
	glass := trace.Constant("glass", 1.6)
	// A weak lens far away gives the plate its power, for an optic without power is refused.
	s := trace.System{Surfaces: []trace.Surface{
		{Thickness: 10, After: glass, Stop: true}, {Thickness: 5, After: trace.Air()}, {Curvature: 1e-3, After: glass},
	}}
	o := must(s.In(trace.LineD))(t)
	in := trace.Ray{L: 0.3, M: 0.4, N: math.Sqrt(1 - .25)}
	path := must(o.Path(in))(t)
	compare(t, []check{
		{"sine law across", path[0].L, 0.3 / 1.6, 1e-15, "sine law"},
		{"sine law up", path[0].M, 0.4 / 1.6, 1e-15, "sine law"},
		{"behind the plate as before it", path[1].M, 0.4, 1e-15, "sine law"},
		{"shift", path[1].Y, 10 * (0.4 / 1.6) / math.Sqrt(1-0.25/2.56), 1e-13, "sine law"},
		{"Path counts from the first vertex", path[1].Z, 10, 1e-12, "the drawing"},
	})
}

// TestAplanaticPoints: from the point at r(1 + 1/n) behind the vertex a sphere images without error at any
// aperture to r(1 + n); its centre and its vertex are the other two such places. Kind: identity.
func TestAplanaticPoints(t *testing.T) {
	const r, n = 20.0, 1.6
	// Light goes from air into glass; the converging light before the sphere aims at r(1 + n) and is
	// brought to r(1 + 1/n).
	o := one(t, r, n)
	for _, slope := range []float64{0.01, 0.1, 0.3, 0.6, 0.9} {
		for _, place := range []struct{ aim, want float64 }{{r * (1 + n), r * (1 + 1/n)}, {r, r}} {
			sin, cos := slope/math.Sqrt(1+slope*slope), 1/math.Sqrt(1+slope*slope)
			out, err := o.Trace(trace.Ray{Y: place.aim * slope * 0.5, Z: place.aim * 0.5, M: -sin, N: cos})
			if err != nil {
				if slope > 0.5 { // beyond the sphere's horizon for the outer point
					continue
				}
				t.Fatal(err)
			}
			compare(t, []check{{"aplanatic image", out.Z - out.Y*out.N/out.M, place.want, 1e-11, "Welford1986"}})
			if place.aim != r { // sines of the slopes stand in the constant ratio n
				compare(t, []check{{"sine ratio", -out.M / sin, n, 1e-12, "Welford1986"}})
			}
		}
	}
}

// TestBall: a ball of index 1.5 and radius 10 has focal length 15 and focus 5 behind it. Kind: identity.
func TestBall(t *testing.T) {
	s := trace.System{Surfaces: []trace.Surface{
		{Curvature: 0.1, Thickness: 20, After: trace.Constant("glass", 1.5), Stop: true}, {Curvature: -0.1, After: trace.Air()},
	}}
	o := must(s.In(trace.LineD))(t)
	f := o.FirstOrder()
	compare(t, []check{
		{"focal length", float64(f.Focal), 15, 1e-12, "closed form"},
		{"back focus", float64(f.Back), 5, 1e-12, "closed form"},
		{"bare radius", -1 / f.Bare, -15, 1e-12, "closed form"},
		{"front principal plane at the centre", float64(f.FrontPrincipal), 10, 1e-12, "closed form"},
		{"rear principal plane at the centre", float64(f.RearPrincipal), -10, 1e-12, "closed form"},
	})
	// A ray at height y turns by twice (i - i'), the same at both sides.
	for _, y := range []float64{1, 4, 8} {
		out := must(o.Trace(trace.Ray{Y: y, N: 1}))(t)
		compare(t, []check{{"turn", math.Asin(-out.M), 2 * (math.Asin(y/10) - math.Asin(y/15)), 1e-13, "plane trigonometry"}})
	}
}

// TestPlanoConvex is the textbook singlet, its flat side to the plate. Kind: independent.
func TestPlanoConvex(t *testing.T) {
	s := trace.System{Surfaces: []trace.Surface{
		{Curvature: 1. / 50, Thickness: 5, After: trace.Constant("glass", 1.5168), Stop: true}, {After: trace.Air()},
	}}
	o := must(s.In(trace.LineD))(t)
	out := must(o.Trace(trace.Ray{Y: 10, N: 1}))(t)
	compare(t, []check{
		{"focal length", float64(o.FirstOrder().Focal), 96.749226, 5e-7, "PlateNotes2026"},
		{"back focus", float64(o.FirstOrder().Back), 93.452813, 5e-7, "PlateNotes2026"},
		{"spherical aberration at 10", lsa(t, o, 10), -1.136754, 5e-7, "PlateNotes2026"},
		{"cosine of the leaving ray", out.M, -.104752127, 5e-10, "PlateNotes2026"},
	})
}

// TestSineCondition takes coma by another way than the sums: with little spherical aberration the offence
// against the sine condition, h/sin(u') over the focal length less 1, corrected for where the ray crosses
// the axis, is the sagittal coma over the image height, S2/(2 n'u'h'). Kind: identity.
func TestSineCondition(t *testing.T) {
	for _, key := range []string{"portrait-1840", "portrait-1840-front", "portrait-1950", "triplet", "four-glass", "five-glass", "landscape", "soft-focus"} {
		f := form(t, key)
		o := must(must(f.Scaled(100))(t).In(trace.LineD))(t)
		first := o.FirstOrder()
		focal, back, exit := float64(first.Focal), float64(first.Back), float64(first.ExitPupil)
		const small = 1 * measure.Degree
		offence := func(stop measure.FNumber) (offence, seidel float64) {
			w := work(t, o, trace.Conditions{Stop: stop})
			y := focal / (2 * float64(stop))
			ray := must(o.Trace(trace.Ray{Y: y, N: 1}))(t)
			cross := ray.Z - ray.Y*ray.N/ray.M
			offence = (y / -ray.M / focal) * (back - exit) / (cross - exit)
			s := third(t, w, small)
			height := focal * math.Tan(float64(small))
			// S2 = 2n'u'·(sagittal coma); u' = -y/f.
			return offence - 1, s.Total.S2 / (2 * (-y / focal) * height)
		}
		// Both go as the square of the aperture; halving it must make their ratio tend to one.
		a1, s1 := offence(40)
		a2, s2 := offence(80)
		r1, r2 := a1/s1-1, a2/s2-1
		if math.Abs(r2) > 0.02 || math.Abs(r2) > math.Abs(r1)/3+1e-3 {
			t.Errorf("%s: offence against the sine condition over third-order coma less 1: %g at f/40, %g at f/80 [Welford1986]", key, r1, r2)
		}
	}
}

// TestLosses names every way in which a ray is lost. Kind: identity.
func TestLosses(t *testing.T) {
	glass := trace.Constant("glass", 1.5)
	lens := trace.System{Surfaces: []trace.Surface{
		{Curvature: 0.1, Thickness: 4, After: glass, Rim: 6, Stop: true}, {Curvature: -0.1, Thickness: 30, After: trace.Air()}, {Curvature: 0.2, After: trace.Air()},
	}}
	o := must(lens.In(trace.LineD))(t)
	steep := must(trace.System{Surfaces: []trace.Surface{{Thickness: 1, After: glass, Stop: true}, {Curvature: -0.5, After: trace.Air()}}}.In(trace.LineD))(t)
	for _, c := range []struct {
		name    string
		optic   trace.Optic
		ray     trace.Ray
		surface int
		cause   trace.Cause
	}{
		{"beside the sphere", o, trace.Ray{Y: 11, N: 1}, 1, trace.Missed},
		{"on the rim's outer side", o, trace.Ray{Y: 6.5, N: 1}, 1, trace.Clipped},
		{"beside a sphere farther on", o, trace.Ray{Y: 0, M: 0.6, N: 0.8}, 3, trace.Missed},
		{"past the critical angle", steep, trace.Ray{Y: 1.8, N: 1}, 2, trace.Reflected},
	} {
		_, err := c.optic.Trace(c.ray)
		var lost *trace.Lost
		if !errors.As(err, &lost) || lost.Surface != c.surface || lost.Cause != c.cause {
			t.Errorf("%s: %v, want surface %d, cause %d", c.name, err, c.surface, c.cause)
		}
	}
	for name, r := range map[string]trace.Ray{
		"no direction": {}, "backward": {N: -1}, "not a number": {Y: math.NaN(), N: 1}, "endless": {Y: math.Inf(1), N: 1}, "across": {M: 1},
	} {
		if _, err := o.Trace(r); err == nil {
			t.Errorf("a ray with %s was traced", name)
		}
		if _, err := o.Path(r); err == nil {
			t.Errorf("a ray with %s was drawn", name)
		}
	}
	path, err := o.Path(trace.Ray{M: 0.6, N: 0.8})
	if err == nil || len(path) != 2 {
		t.Errorf("a ray lost at the third surface left %d points and %v", len(path), err)
	}
}

// TestVeryFlat: a surface of a million metres radius refracts as a plane does. Kind: identity.
func TestVeryFlat(t *testing.T) {
	r := trace.Ray{X: 3, Y: -7, L: 0.1, M: 0.2, N: math.Sqrt(1 - 0.05)}
	flat := one(t, 1e9, 1.5)
	got := must(flat.Trace(r))(t)
	compare(t, []check{
		{"x", got.X, 3, 2e-7, "sine law"}, {"y", got.Y, -7, 2e-7, "sine law"},
		{"L", got.L, 0.1 / 1.5, 1e-8, "sine law"}, {"M", got.M, 0.2 / 1.5, 1e-8, "sine law"},
	})
}
