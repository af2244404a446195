package trace_test

import (
	"math"
	"testing"

	"platewright/measure"
	"platewright/optics/trace"
)

// check is one figure against its source.
type check struct {
	name           string
	got, want, tol float64
	source         string
}

func compare(t *testing.T, checks []check) {
	t.Helper()
	for _, c := range checks {
		if !(math.Abs(c.got-c.want) <= c.tol) {
			t.Errorf("%s = %.10g, want %.10g ± %g [%s]", c.name, c.got, c.want, c.tol, c.source)
		}
	}
}

func must[T any](v T, err error) func(testing.TB) T {
	return func(t testing.TB) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func form(t testing.TB, key string) trace.Form { return must(trace.FormOf(key))(t) }

func glass(t testing.TB, name string) trace.Medium { return must(trace.Glass(name))(t) }

// in returns a form's printed system in the d line.
func in(t testing.TB, key string) trace.Optic {
	return must(form(t, key).System.In(trace.LineD))(t)
}

func work(t testing.TB, o trace.Optic, c trace.Conditions) trace.Working {
	return must(o.Work(c))(t)
}

func third(t testing.TB, w trace.Working, a measure.Angle) trace.Third {
	return must(w.Third(a, trace.Band{}))(t)
}

// sums lists the checks of five sums.
func sums(name string, got trace.Sums, want [5]float64, tol float64, source string) []check {
	var c []check
	for i, g := range []float64{got.S1, got.S2, got.S3, got.S4, got.S5} {
		c = append(c, check{name + " S" + string(rune('1'+i)), g, want[i], tol, source})
	}
	return c
}

// lsa traces a ray that enters parallel to the axis at a height and returns where it crosses the axis, from
// the paraxial focus.
func lsa(t testing.TB, o trace.Optic, y float64) float64 {
	r := must(o.Trace(trace.Ray{Y: y, N: 1}))(t)
	return r.Z - r.Y*r.N/r.M - float64(o.FirstOrder().Back)
}

// TestPortraitForm compares the form of 1840 with its print and with an independent tracer. Kind: published, independent.
func TestPortraitForm(t *testing.T) {
	o := in(t, "portrait-1840")
	f := o.FirstOrder()
	compare(t, []check{
		{"printed focal length", float64(f.Focal), 100, 0.5, "PortraitSlides00"},
		{"focal length", float64(f.Focal), 100.2229, 1e-4, "PlateNotes2026"},
		{"back focus", float64(f.Back), 58.8856, 1e-4, "PlateNotes2026"},
		{"front focus", float64(f.Front), -74.8174, 1e-4, "PlateNotes2026"},
		{"front principal plane", float64(f.FrontPrincipal), 25.405, 5e-4, "PlateNotes2026"},
		{"rear principal plane", float64(f.RearPrincipal), -41.337, 5e-4, "PlateNotes2026"},
		{"length", float64(f.Length), 60.4, 1e-9, "PortraitSlides00"},
		{"principal planes crossed", float64(f.Gap), -6.34, 5e-3, "PlateNotes2026"},
		{"bare radius", -1 / f.Bare, -119.9885, 1e-4, "PlateNotes2026"},
		{"entrance pupil", float64(f.EntrancePupil), 35.971, 5e-4, "PlateNotes2026"},
		{"exit pupil", float64(f.ExitPupil), -31.779, 5e-4, "PlateNotes2026"},
		{"pupil magnification", f.PupilMag, 0.90463, 5e-6, "PlateNotes2026"},
		{"pupil over stop", f.PupilPerStop, 1.26862, 5e-6, "PlateNotes2026"},
	})
	w := work(t, o, trace.Conditions{Stop: 3.6})
	s := third(t, w, 15*measure.Degree)
	compare(t, append(sums("f/3.6 15°", s.Total, [5]float64{.015481, .016095, -.066253, .115940, -.111075}, 1e-6, "PlateNotes2026"),
		check{"Lagrange invariant", s.Invariant, -3.72981, 1e-5, "PlateNotes2026"}))
	front := in(t, "portrait-1840-front")
	atFront := third(t, work(t, front, trace.Conditions{Stop: 3.6}), 15*measure.Degree)
	_, _, tangential := atFront.Curvatures()
	compare(t, append(sums("stop at the front", atFront.Total, [5]float64{.015481, .026815, -.036541, .115940, -.140129}, 1e-6, "PlateNotes2026"),
		check{"pupil magnification, stop at the front", front.FirstOrder().PupilMag, 1.340, 5e-4, "PlateNotes2026"},
		check{"tangential radius, stop at the front", 1 / tangential, 2202, 1, "PlateNotes2026"}))
	for _, c := range []struct {
		angle      measure.Angle
		sagittal   float64
		tangential float64
	}{{4, -.0844, .1628}, {8, -.2991, .8838}, {10, -.4174, 1.7075}, {15, -.4551, 7.8573}} {
		foci := must(w.Foci(c.angle * measure.Degree))(t)
		compare(t, []check{
			{"sagittal focus", float64(foci.Sagittal), c.sagittal, 1e-4, "PlateNotes2026"},
			{"tangential focus", float64(foci.Tangential), c.tangential, 1e-4, "PlateNotes2026"},
		})
	}
	ten := must(w.Foci(10 * measure.Degree))(t)
	frontTen := must(work(t, front, trace.Conditions{Stop: 3.6}).Foci(10 * measure.Degree))(t)
	compare(t, []check{
		{"image height at 10°", float64(ten.Height), 17.7957, 1e-4, "PlateNotes2026"},
		{"distortion at 10°, %", 100 * ten.Distortion, 0.70, 5e-3, "PlateNotes2026"},
		{"sagittal focus at 10°, stop at the front", float64(frontTen.Sagittal), -.6936, 1e-4, "PlateNotes2026"},
		{"tangential focus at 10°, stop at the front", float64(frontTen.Tangential), .9768, 1e-4, "PlateNotes2026"},
	})
	for _, c := range []struct{ stop, want float64 }{{8, -.07304}, {5.6, -.12999}, {4.5, -.16629}, {3.6, -.16020}} {
		compare(t, []check{{"spherical aberration along the axis", lsa(t, o, float64(f.Focal)/(2*c.stop)), c.want, 1e-5, "PlateNotes2026"}})
	}
	out := must(o.Trace(trace.Ray{X: 5, Y: -2, M: math.Sin(10 * math.Pi / 180), N: math.Cos(10 * math.Pi / 180)}))(t)
	ahead := (float64(f.Back) - out.Z) / out.N
	compare(t, []check{
		{"skew ray x on the last surface", out.X, 2.90007293, 1e-8, "PlateNotes2026"},
		{"skew ray y", out.Y, 8.72852157, 1e-8, "PlateNotes2026"},
		{"skew ray z", out.Z, -.28320306, 1e-8, "PlateNotes2026"},
		{"skew ray L", out.L, -.04891046, 1e-8, "PlateNotes2026"},
		{"skew ray M", out.M, .15217717, 1e-8, "PlateNotes2026"},
		{"skew ray N", out.N, .98714228, 1e-8, "PlateNotes2026"},
		{"skew ray x at the focus", out.X + ahead*out.L, -.0315962, 1e-6, "PlateNotes2026"},
		{"skew ray y at the focus", out.Y + ahead*out.M, 17.8499478, 1e-6, "PlateNotes2026"},
	})
}

// TestPortraitFormCells takes the two cells alone, and the copy with its rear glasses exchanged. Kind: independent.
func TestPortraitFormCells(t *testing.T) {
	whole := form(t, "portrait-1840").System
	focal := func(surfaces ...trace.Surface) float64 {
		surfaces[0].Stop = true
		o := must(trace.System{Surfaces: surfaces}.In(trace.LineD))(t)
		return float64(o.FirstOrder().Focal)
	}
	exchanged := whole.Scaled(1).Surfaces
	exchanged[4].After, exchanged[6].After = exchanged[6].After, exchanged[4].After
	exchanged[3].Stop = false
	compare(t, []check{
		{"front cell", focal(whole.Scaled(1).Surfaces[:3]...), 140.0424, 1e-4, "PlateNotes2026"},
		{"rear cell", focal(whole.Scaled(1).Surfaces[4:]...), 209.8852, 1e-4, "PlateNotes2026"},
		{"rear glasses exchanged: not the printed 100", focal(exchanged...), 86.190, 1e-3, "PlateNotes2026"},
	})
}

// TestLaterPortraitForm compares the form of 1950 with its patent, whose curves of aberration are
// printed. Kind: published, independent.
func TestLaterPortraitForm(t *testing.T) {
	o := in(t, "portrait-1950")
	f := o.FirstOrder()
	edge := must(work(t, o, trace.Conditions{Stop: 2.1}).Foci(7 * measure.Degree))(t)
	compare(t, []check{
		{"focal length", float64(f.Focal), 100, 0.05, "Portrait1950"},
		{"back focus", float64(f.Back), 56.5, 0.05, "Portrait1950"},
		{"focal length", float64(f.Focal), 99.9838, 1e-4, "PlateNotes2026"},
		{"back focus", float64(f.Back), 56.4527, 1e-4, "PlateNotes2026"},
		{"bare radius", -1 / f.Bare, -124.406, 1e-3, "PlateNotes2026"},
		{"spherical aberration at 18", lsa(t, o, 18), -0.2, 0.03, "Portrait1950, fig. 3"},
		{"spherical aberration at 24", lsa(t, o, 24), 0, 0.03, "Portrait1950, fig. 3"},
		{"spherical aberration at 18", lsa(t, o, 18), -.2047, 1e-4, "PlateNotes2026"},
		{"spherical aberration at 24", lsa(t, o, 24), .0028, 1e-4, "PlateNotes2026"},
		{"sagittal focus at 7°", float64(edge.Sagittal), -0.45, 0.05, "Portrait1950, fig. 4"},
		{"tangential focus at 7°", float64(edge.Tangential), -0.1, 0.05, "Portrait1950, fig. 4"},
		{"sagittal focus at 7°", float64(edge.Sagittal), -.4395, 1e-4, "PlateNotes2026"},
		{"tangential focus at 7°", float64(edge.Tangential), -.0841, 1e-4, "PlateNotes2026"},
	})
}

// TestGlassForms compares the forms of three, four and five glasses. The radii of 1902 have three figures, so
// that the printed unit focal length is met within one part in a hundred only. Kind: published, independent.
func TestGlassForms(t *testing.T) {
	o := must(form(t, "four-glass-1902").System.Scaled(100).In(trace.LineSodium))(t)
	f := o.FirstOrder()
	compare(t, append(sums("1902 f/5.5 30°", third(t, work(t, o, trace.Conditions{Pupil: 100 / 5.5}), 30*measure.Degree).Total,
		[5]float64{.027432, -.011948, .000019, .087441, .069079}, 1e-6, "PlateNotes2026"),
		check{"1902 focal length", float64(f.Focal), 100, 1, "FourGlass1903"},
		check{"1902 focal length by a copyist's own trace", float64(f.Focal), 99.25, 5e-3, "FourGlass1903"},
		check{"1902 back focus by the same", float64(f.Back), 90.7, 5e-2, "FourGlass1903"},
		check{"1902 focal length", float64(f.Focal), 99.2517, 1e-4, "PlateNotes2026"},
		check{"1902 back focus", float64(f.Back), 90.7103, 1e-4, "PlateNotes2026"},
		check{"1902 bare radius", -1 / f.Bare, -315.05, 5e-3, "PlateNotes2026"}))

	four, five := in(t, "four-glass").FirstOrder(), in(t, "five-glass").FirstOrder()
	compare(t, []check{
		{"four glasses focal length", float64(four.Focal), 3.997777747, 1e-8, "LensDesign2007"},
		{"four glasses front focus", float64(four.Front), -3.404763037, 1e-8, "LensDesign2007"},
		{"four glasses entrance pupil", float64(four.EntrancePupil), .658755577, 1e-8, "LensDesign2007"},
		{"five glasses focal length", float64(five.Focal), 10.006529335, 1e-8, "LensDesign2007"},
		{"five glasses back focus", float64(five.Back), 8.521034233, 1e-8, "LensDesign2007"},
		{"five glasses entrance pupil", float64(five.EntrancePupil), 2.396910655, 1e-8, "LensDesign2007"},
	})

	three := in(t, "triplet")
	f = three.FirstOrder()
	w := work(t, three, trace.Conditions{Pupil: 12.5})
	s := third(t, w, 20*measure.Degree)
	bare, sagittal, tangential := s.Curvatures()
	compare(t, append(sums("triplet 20°", s.Total, [5]float64{.010973, -.000912, -.010832, .036297, -.004597}, 1.5e-6, "TripletTable00"),
		check{"triplet focal length", float64(f.Focal), 50, 5e-3, "TripletTable00"},
		check{"triplet back focus", float64(f.Back), 41.24, 5e-3, "TripletTable00"},
		check{"triplet front focus", float64(f.Front), -37.1, 5e-2, "TripletTable00"},
		check{"triplet entrance pupil", float64(f.EntrancePupil), 11.68, 5e-3, "TripletTable00"},
		check{"triplet exit pupil", float64(f.ExitPupil), -10.01, 5e-3, "TripletTable00"},
		check{"triplet bare curvature", bare, .007014, 1e-6, "TripletTable00"},
		check{"triplet sagittal curvature", sagittal, .004921, 1e-6, "TripletTable00"},
		check{"triplet tangential curvature", tangential, .000734, 1e-6, "TripletTable00"},
		check{"triplet transverse spherical aberration", s.Transverse(), -.043893, 1.5e-6, "TripletTable00"},
		check{"triplet spherical aberration in waves", s.Total.S1 / 8 / float64(trace.LineD), 2.334457, 1e-4, "TripletTable00"}))
	for i, want := range []float64{.027654, .022082, -.105156, -.045358, .007942, .103810} {
		compare(t, []check{{"triplet S1 of a surface", s.Each[i].S1, want, 2e-6, "TripletTable00"}})
	}
}

// TestMeniscus compares the landscape meniscus, whose stop lies where its coma vanishes. Kind: published, independent.
func TestMeniscus(t *testing.T) {
	o := must(form(t, "landscape").System.In(550e-6))(t)
	f := o.FirstOrder()
	w := work(t, o, trace.Conditions{Pupil: 1})
	s := third(t, w, 25*measure.Degree)
	_, _, tangential := s.Curvatures()
	foci := must(w.Foci(20 * measure.Degree))(t)
	compare(t, []check{
		{"focal length", float64(f.Focal), 10, 1e-4, "Landscape00"},
		{"back focus", float64(f.Back), 10.150245, 1e-6, "PlateNotes2026"},
		{"S1", s.Total.S1, .0021216, 5e-8, "PlateNotes2026"},
		{"S2", s.Total.S2, -.0000507, 5e-8, "PlateNotes2026"},
		{"S3", s.Total.S3, -.0010165, 5e-8, "PlateNotes2026"},
		{"S4", s.Total.S4, .0034719, 5e-8, "PlateNotes2026"},
		{"tangential curvature", tangential, .00777, 5e-6, "PlateNotes2026"},
		{"bare curvature", f.Bare, .06387, 5e-6, "PlateNotes2026"},
		{"sagittal focus at 20°", float64(foci.Sagittal), -.27287, 1e-5, "PlateNotes2026"},
		{"tangential focus at 20°", float64(foci.Tangential), -.03401, 1e-5, "PlateNotes2026"},
	})
}

// TestSoftFocus turns the ring of the soft-focus form. Kind: published, independent.
func TestSoftFocus(t *testing.T) {
	base := form(t, "soft-focus")
	at := func(separation measure.Length) trace.Optic {
		return must(must(base.With(separation))(t).System.In(trace.LineD))(t)
	}
	soften := func(separation measure.Length) trace.Sums {
		return third(t, work(t, at(separation), trace.Conditions{Pupil: 100.0017 / 2.8}), 12*measure.Degree).Total
	}
	sharp, soft := at(2.44).FirstOrder(), at(8.19).FirstOrder()
	compare(t, []check{
		{"focal length", float64(sharp.Focal), 100, 0.05, "SoftFocus1978"},
		{"focal length sharp", float64(sharp.Focal), 100.0017, 1e-4, "PlateNotes2026"},
		{"back focus sharp", float64(sharp.Back), 75.797, 1e-3, "PlateNotes2026"},
		{"focal length at 4.50", float64(at(4.5).FirstOrder().Focal), 98.193, 1e-3, "PlateNotes2026"},
		{"focal length soft", float64(soft.Focal), 95.111, 1e-3, "PlateNotes2026"},
		{"back focus soft", float64(soft.Back), 63.628, 1e-3, "PlateNotes2026"},
		{"spherical aberration at 12.5 sharp", lsa(t, at(2.44), 12.5), -.287, 1e-3, "PlateNotes2026"},
		{"spherical aberration at 12.5 soft", lsa(t, at(8.19), 12.5), -3.434, 1e-3, "PlateNotes2026"},
		{"S1 sharp", soften(2.44).S1, .0688, 1e-4, "PlateNotes2026"},
		{"S1 at 4.50", soften(4.5).S1, .2036, 1e-4, "PlateNotes2026"},
		{"S1 at 6.00", soften(6).S1, .2947, 1e-4, "PlateNotes2026"},
		{"S1 soft", soften(8.19).S1, .4177, 1e-4, "PlateNotes2026"},
		{"S4 does not move", soften(8.19).S4 - soften(2.44).S4, 0, 1e-12, "PlateNotes2026"},
	})
	if _, err := base.With(9); err == nil {
		t.Error("a separation beyond the ring's end was taken")
	}
	if _, err := form(t, "triplet").With(3); err == nil {
		t.Error("the three-glass form has no ring")
	}
}

// TestFocusShift stops the portrait form down at infinity and at two metres. Kind: independent.
func TestFocusShift(t *testing.T) {
	s := form(t, "portrait-1840").System
	o := must(s.Scaled(450 / 100.2229).In(trace.LineD))(t)
	for _, c := range []struct{ stop, far, near float64 }{
		{3.6, -.685, -2.472}, {4.5, -.566, -1.702}, {5.6, -.414, -1.144}, {8, -.224, -.580}, {11, -.123, -.311}, {16, -.060, -.148},
	} {
		n := measure.FNumber(c.stop)
		far := must(work(t, o, trace.Conditions{Stop: n}).AxialFocus())(t)
		near := must(work(t, o, trace.Conditions{Stop: n, Distance: 2000}).AxialFocus())(t)
		compare(t, []check{
			{"focus shift at infinity", float64(far.Behind), c.far, .02, "PlateNotes2026"},
			{"focus shift at 2 m", float64(near.Behind), c.near, .02, "PlateNotes2026"},
		})
	}
	compare(t, []check{{"magnification at 2 m", work(t, o, trace.Conditions{Stop: 8, Distance: 2000}).Magnification, .270, 5e-4, "PlateNotes2026"}})
}

// TestOtherPrints takes two lenses that are no forms: a spaced pair whose print gives its indices to three
// decimals only, and a three-glass lens. Kind: published, independent.
func TestOtherPrints(t *testing.T) {
	crown, flint, air := trace.Constant("crown", 1.517), trace.Constant("flint", 1.717), trace.Air()
	pair := trace.System{Surfaces: []trace.Surface{
		{Curvature: 1 / 17.654, Thickness: 1.4, After: crown, Stop: true}, {Curvature: 1 / 53.898, Thickness: .1, After: air},
		{Curvature: 1 / 16.530, Thickness: .6, After: flint}, {Curvature: 1 / 13.075, After: air},
	}}
	f := must(pair.In(trace.LineD))(t).FirstOrder()
	compare(t, []check{
		{"spaced pair focal length, part in a thousand", float64(f.Focal), 99.98, .15, "ModernLens1992, p. 66"},
		{"spaced pair back focus, part in a thousand", float64(f.Back), 94.93, .15, "ModernLens1992, p. 66"},
		{"spaced pair focal length", float64(f.Focal), 99.876, 5e-4, "PlateNotes2026"},
		{"spaced pair back focus", float64(f.Back), 94.811, 5e-4, "PlateNotes2026"},
		{"spaced pair bare radius over focal length", -1 / f.Bare / float64(f.Focal), -1.588, 5e-4, "PlateNotes2026"},
	})
	three := trace.System{Surfaces: []trace.Surface{
		{Curvature: 1 / 22.01359, Thickness: 3.25896, After: glass(t, "N-SK16")}, {Curvature: -1 / 435.76044, Thickness: 6.00755, After: air},
		{Curvature: -1 / 22.21328, Thickness: .99997, After: glass(t, "F2")}, {Curvature: 1 / 20.29192, Thickness: 4.75041, After: air, Stop: true},
		{Curvature: 1 / 79.68360, Thickness: 2.95208, After: glass(t, "N-SK16")}, {Curvature: -1 / 18.39533, After: air},
	}}
	compare(t, []check{{"another three-glass lens", float64(must(three.In(550e-6))(t).FirstOrder().Focal), 49.99998, 5e-6, "PlateNotes2026"}})
}
