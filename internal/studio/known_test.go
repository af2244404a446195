package studio_test

import (
	"math"
	"strings"
	"testing"

	"platewright/internal/studio"
	"platewright/measure"
	"platewright/optics"
	"platewright/optics/bench"
)

// bare is a lens of which only the focal length and a stop are known.
func bare() studio.Lens {
	return studio.Lens{ID: "lens-one", Name: "Brass", Focal: 300, Stops: []studio.Stop{{Name: "full", FNumber: 3.6}, {Name: "f/8", FNumber: 8}}}
}

// identity: with nothing told, everything is what the basis says it is taken as.
func TestNothingKnown(t *testing.T) {
	k := studio.Known(bare(), nil)
	if k.Focal != 300 || k.PupilMag != 1 || k.Surface != (optics.FocalSurface{}) || k.Rims != (optics.Rims{}) || k.Chemical != 0 || k.FrontAhead != 0 || k.RearAhead != 0 {
		t.Errorf("got %+v", k)
	}
	for what, pair := range map[string][2]string{
		"focal": {k.FocalBasis.Text, "as written down"}, "pupil": {k.PupilMagBasis.Text, "unknown: taken as 1"}, "surface": {k.SurfaceBasis.Text, "unknown: taken as flat"},
		"planes": {k.PlanesBasis.Text, "unknown: taken as at the lens board"}, "rims": {k.RimsBasis.Text, "unknown: taken as cutting nothing off"},
		"chemical": {k.ChemicalBasis.Text, "unknown: taken as none"}, "shift": {k.Stops[1].ShiftBasis.Text, "unknown: taken as none"},
		"coverage": {k.Stops[1].CoverageBasis.Text, "unknown: taken as covering the plate"}, "stop": {k.Stops[1].Basis.Text, "as written down"},
	} {
		if pair[0] != pair[1] {
			t.Errorf("%s: %q, want %q", what, pair[0], pair[1])
		}
	}
	if _, ok := k.Stops[0].Coverage(); ok {
		t.Error("a coverage is known")
	}
	l, st, ok := k.At("f/8")
	if !ok || l != (optics.Lens{Focal: 300, Stop: 8, PupilMag: 1}) || st.Name != "f/8" {
		t.Errorf("at f/8: %v %v %v", l, st, ok)
	}
	if _, _, ok := k.At("f/11"); ok {
		t.Error("a stop it does not have is found")
	}
}

// identity: what is written down comes before what the form has; a design is similar at every size, so that
// lengths grow with the focal length and curvatures shrink with it.
func TestKnownOfTheForm(t *testing.T) {
	small, large := bare(), bare()
	small.Design, large.Design, large.Focal = "portrait-1840", "portrait-1840", 600
	a, b := studio.Known(small, nil), studio.Known(large, nil)
	for _, basis := range []studio.Basis{a.PupilMagBasis, a.SurfaceBasis, a.RimsBasis, a.Stops[1].ShiftBasis, a.Stops[1].CoverageBasis} {
		if basis.Kind != studio.ByForm || !strings.Contains(basis.Text, "not of this lens") {
			t.Errorf("the basis is %+v", basis)
		}
	}
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-6*math.Abs(want) {
			t.Errorf("%s: %g, want %g", what, got, want)
		}
	}
	near("pupil magnification", b.PupilMag, a.PupilMag)
	near("sagittal curvature", b.Surface.Sagittal.Curvature, a.Surface.Sagittal.Curvature/2)
	near("tangential fourth", b.Surface.Tangential.Fourth, a.Surface.Tangential.Fourth/8)
	near("rims", float64(b.Rims.Front), 2*float64(a.Rims.Front))
	near("shift", float64(b.Stops[1].Shift), 2*float64(a.Stops[1].Shift))
	near("coverage", float64(b.Stops[0].Half), float64(a.Stops[0].Half))
	if a.Stops[0].Shift != 0 || a.Stops[1].Shift == 0 || a.Surface.Sagittal.Curvature == 0 {
		t.Errorf("shifts %v, surface %v", a.Stops, a.Surface)
	}
	// Not trusted of a form: the chemical focus, which a little of another glass takes away.
	if a.Chemical != 0 || a.ChemicalBasis.Kind != studio.ByNothing || !strings.Contains(a.ChemicalBasis.Text, "not to be trusted") {
		t.Errorf("chemical focus %v, %v", a.Chemical, a.ChemicalBasis)
	}
	// A near sitter has another surface and another shift of the stops, and the same all else.
	c := studio.KnownAt(small, nil, 1500)
	if c.Surface == a.Surface || c.Stops[1].ShiftHere == a.Stops[1].ShiftHere || a.Stops[1].ShiftHere != a.Stops[1].Shift {
		t.Errorf("at 1.5 m: %+v", c)
	}
	if c.Stops[1].ShiftHere = a.Stops[1].ShiftHere; c.Stops[1] != a.Stops[1] {
		t.Errorf("at 1.5 m f/8 is %+v", c.Stops[1])
	}
	if c := studio.KnownAt(small, nil, 250); c.Surface != a.Surface { // within the focal length nothing can be traced
		t.Errorf("at 250 mm: %+v", c.Surface)
	}

	small.PupilMag, small.Circle, small.Barrel, small.BoardAhead = 1.1, 250, 150, 20
	w := studio.Known(small, nil)
	if w.PupilMag != 1.1 || w.Rims.Barrel != 150 || w.Rims.Front != a.Rims.Front || (w.FrontAhead+w.RearAhead)/2 != 20 || w.PupilMagBasis.Kind != studio.ByHand {
		t.Errorf("written down is not kept: %+v", w)
	}
	if want := optics.CoverageOf(250, optics.Lens{Focal: 300, Stop: 8, PupilMag: 1.1}); w.Stops[1].Half != want.Half || w.Stops[1].CoverageBasis.Kind != studio.ByHand {
		t.Errorf("coverage %v, want %v", w.Stops[1].Half, want.Half)
	}
	if !strings.Contains(w.RimsBasis.Text, "as written down, and what is not") {
		t.Errorf("rims are %q", w.RimsBasis.Text)
	}
	// The planes of a portrait lens are crossed: the rear one lies before the front one.
	if !(w.RearAhead > 20 && w.RearAhead < 40) {
		t.Errorf("rear plane %v", w.RearAhead)
	}
	// A form that begins at a smaller stop says nothing of how the focus moves from a wider one.
	small.Design = "landscape"
	if c := studio.Known(small, nil); c.Stops[1].ShiftBasis.Kind != studio.ByNothing || c.SurfaceBasis.Kind != studio.ByForm {
		t.Errorf("a landscape lens at f/3.6: %+v", c.Stops[1])
	}
	small.Design = "portrait"
	if err := small.Check(); err == nil || !strings.Contains(err.Error(), "portrait-1840") {
		t.Errorf("a design nobody knows: %v", err)
	}
}

// The shift of the stops comes of spherical aberration, which changes with the distance. In the portrait form of
// 1840 at 450 mm the best focus lies, from f/3.6 to f/8, at -0.685 and -0.224 mm at infinity and at -2.472 and
// -0.580 mm two metres before the lens [PlateNotes2026]; the rule of the chemical focus would have 0.77 mm there.
// The notes are in the d line and count from the first vertex, 114 mm before the principal plane; here it is the eye's light.
func TestShiftAtTheDistance(t *testing.T) {
	lens := studio.Lens{Name: "Long", Design: "portrait-1840", Focal: 450, Stops: []studio.Stop{{Name: "full", FNumber: 3.6}, {Name: "f/8", FNumber: 8}}}
	far, near := studio.Known(lens, nil).Stops[1], studio.KnownAt(lens, nil, 2114).Stops[1]
	for what, v := range map[string]struct{ got, want, within measure.Length }{
		"far": {far.Shift, 0.461, 0.08}, "far, here": {far.ShiftHere, 0.461, 0.08}, "near, at infinity": {near.Shift, 0.461, 0.08}, "near": {near.ShiftHere, 1.892, 0.12},
	} {
		if math.Abs(float64(v.got-v.want)) > float64(v.within) {
			t.Errorf("%s: the focus shifts by %.3f mm, want %.3f", what, float64(v.got), float64(v.want))
		}
	}
	// Measured, and with nothing better: by (1 + m)², which is 4 at twice the focal length. identity.
	measured := []studio.LensReading{onDay(t, 1, studio.FocusShift, atStop(figure(bench.FocusShift, 0.4, 0.1), 8))}
	if got := studio.KnownAt(lens, measured, 900).Stops[1]; got.Shift != 0.4 || math.Abs(float64(got.ShiftHere)-1.6) > 1e-9 || got.ShiftBasis.Kind != studio.ByBench {
		t.Errorf("measured %v, here %v, %v", got.Shift, got.ShiftHere, got.ShiftBasis)
	}
}

// BenchmarkKnown is one lens whose focal surface, shifts and pupils are its form's.
func BenchmarkKnown(b *testing.B) {
	lens := bare()
	lens.Design = "portrait-1840"
	for b.Loop() {
		if k := studio.KnownAt(lens, nil, 1500); k.SurfaceBasis.Kind != studio.ByForm {
			b.Fatal("nothing is known")
		}
	}
}
