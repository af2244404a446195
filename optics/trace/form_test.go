package trace_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"platewright/measure"
	"platewright/optics"
	"platewright/optics/trace"
)

func figures(t testing.TB, f trace.Form, u trace.Use) trace.Figures {
	return must(f.Figures(u))(t)
}

// TestFormsAreDescribed: every form says its name, source and what it is worth, and its glasses too.
func TestFormsAreDescribed(t *testing.T) {
	seen := map[string]bool{}
	for _, f := range trace.Forms() {
		if seen[f.Key] || f.Key == "" || f.Name == "" || f.Source == "" || f.Good <= 0 || f.Half < f.Good || f.Largest <= 0 {
			t.Errorf("form %+v is not described", f)
		}
		seen[f.Key] = true
		if !strings.Contains(f.Basis(), f.Name) || !strings.HasSuffix(f.Basis(), "not of this lens") {
			t.Errorf("basis %q", f.Basis())
		}
		for i, s := range f.System.Surfaces {
			if s.After.Name != "air" && s.After.Source == "" {
				t.Errorf("%s: the glass after surface %d has no source", f.Key, i+1)
			}
		}
	}
	if _, err := trace.FormOf("no such form"); err == nil || !strings.Contains(err.Error(), "portrait-1840") {
		t.Errorf("an unknown form: %v", err)
	}
}

// TestScaledForms: a form scaled to a focal length has it, in the eye's light. Kind: identity.
func TestScaledForms(t *testing.T) {
	for _, f := range trace.Forms() {
		for _, focal := range []measure.Length{90, 450} {
			o := must(must(f.Scaled(focal))(t).In(trace.Visual))(t)
			compare(t, []check{{f.Key + " focal length", float64(o.FirstOrder().Focal), float64(focal), 1e-9, "asked for"}})
		}
	}
	soft := must(form(t, "soft-focus").With(8.19))(t)
	g := figures(t, soft, trace.Use{Focal: 300})
	compare(t, []check{{"focal length shortened by softness", float64(g.Focal), 300 * 95.111 / 100.0017, .01, "PlateNotes2026"}})
}

// TestFiguresOfFocus compares the figures of the form of 1840 at f = 450 with the notes' own: the field at
// infinity, the shift at 2 m. Kind: independent; figures are in the eye's light, the notes' in the d line.
func TestFiguresOfFocus(t *testing.T) {
	f := form(t, "portrait-1840")
	g := figures(t, f, trace.Use{Focal: 450.01, Stop: 8, Wavelength: trace.LineD})
	const k = 4.49
	for _, c := range []struct {
		angle                measure.Angle
		sagittal, tangential float64
	}{{4, -.0844, .1628}, {8, -.2991, .8838}} {
		h := measure.Length(450 * math.Tan(float64(c.angle*measure.Degree)))
		compare(t, []check{
			{"sagittal surface", -float64(g.Surface.Sagittal.Nearer(h)), k * c.sagittal, .03, "PlateNotes2026"},
			{"tangential surface", -float64(g.Surface.Tangential.Nearer(h)), k * c.tangential, .1, "PlateNotes2026"},
		})
	}
	if g.Misfit > 0.1 || g.FitTo < 70 || g.FitTo > 72 {
		t.Errorf("fitted to %v with a misfit of %v", g.FitTo, g.Misfit)
	}
	// 2 m before the first vertex; Distance counts from the front principal plane, 25.4/100 f behind it.
	near := figures(t, f, trace.Use{Focal: 450, Stop: 8, Distance: 2000 + 450*.254054/1.002229, Wavelength: trace.LineD})
	wide := must(near.At(3.6))(t)
	small := must(near.At(8))(t)
	moved := must(near.Behind(3.6))(t)
	compare(t, []check{
		{"magnification", near.Magnification, .270, 1e-3, "PlateNotes2026"},
		{"shift at f/3.6", float64(wide), -2.472, .02, "PlateNotes2026"},
		{"shift at f/8", float64(small), -.580, .02, "PlateNotes2026"},
		{"focused at f/3.6, exposed at f/8", float64(moved), 1.89, .02, "PlateNotes2026"},
	})
}

// TestFiguresOfColour: the chemical focus by the form agrees with the rule δf(1+m)² near the axis, and a form whose
// source is silent on colour says so. Kind: identity.
func TestFiguresOfColour(t *testing.T) {
	for _, key := range []string{"portrait-1840", "triplet", "landscape", "double-meniscus"} {
		g := figures(t, form(t, key), trace.Use{Focal: 450, Magnification: .43})
		set := must(optics.Lens{Focal: 450, Stop: 8, PupilMag: g.FirstOrder.PupilMag}.AtMagnification(.43))(t)
		byRule := float64(set.ImageShift(g.Chemical.AtInfinity))
		if !g.Chemical.Known || g.Chemical.Caution == "" {
			t.Errorf("%s: colour is known and cautioned: %+v", key, g.Chemical)
		}
		// The rule leaves out that the principal planes move with the colour.
		compare(t, []check{{key + " here and by the rule", float64(g.Chemical.Here), byRule, .1*math.Abs(byRule) + .15, "PlateNotes2026"}})
	}
	landscape := figures(t, form(t, "landscape"), trace.Use{Focal: 450})
	compare(t, []check{{"uncorrected lens, % of f", 100 * float64(landscape.Chemical.AtInfinity) / 450, -1.914, .06, "PlateNotes2026"}})
	if g := figures(t, form(t, "soft-focus"), trace.Use{Focal: 300}); g.Chemical.Known {
		t.Error("nothing is printed of the soft-focus form's colours")
	}
}

// TestFiguresHold: whatever the lens, stop and distance, the figures are finite and scale with the focal length.
func TestFiguresHold(t *testing.T) {
	all := trace.Forms()
	rapid.Check(t, func(t *rapid.T) {
		f := rapid.SampledFrom(all).Draw(t, "form")
		if f.Movable != nil {
			at := rapid.Float64Range(float64(f.Movable.Least), float64(f.Movable.Greatest)).Draw(t, "ring")
			var err error
			if f, err = f.With(measure.Length(at)); err != nil {
				t.Fatal(err)
			}
		}
		focal := rapid.Float64Range(20, 2000).Draw(t, "focal")
		u := trace.Use{
			Focal:         measure.Length(focal),
			Stop:          f.Largest * measure.FNumber(rapid.Float64Range(.8, 12).Draw(t, "stop")),
			Magnification: rapid.SampledFrom([]float64{0, 1e-4, .05, .2, .43, 1, 1.5}).Draw(t, "m"),
			Wavelength:    measure.Length(rapid.SampledFrom([]float64{0, 420e-6, 555e-6, 650e-6}).Draw(t, "colour")),
		}
		g, err := f.Figures(u)
		if err != nil {
			t.Fatalf("%s %+v: %v", f.Key, u, err)
		}
		values := []float64{float64(g.Focal), float64(g.Misfit), float64(g.FitTo), float64(g.Circle), g.Distortion, float64(g.Chemical.Here),
			g.Surface.Sagittal.Curvature, g.Surface.Sagittal.Fourth, g.Surface.Tangential.Curvature, g.Surface.Tangential.Fourth}
		for i, s := range g.Shifts {
			values = append(values, float64(s.Behind), float64(s.RMS))
			if i > 0 && s.Stop <= g.Shifts[i-1].Stop {
				t.Fatalf("stops out of order: %v", g.Shifts)
			}
		}
		for _, v := range values {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%+v", g)
			}
		}
		if _, err := g.At(u.Stop); err != nil {
			t.Fatal(err)
		}
		double := u
		double.Focal *= 2
		d, err := f.Figures(double)
		if err != nil {
			t.Fatal(err)
		}
		alike(t, "curvature at twice the focal length", 2*d.Surface.Sagittal.Curvature, g.Surface.Sagittal.Curvature, 1e-6, 1/focal)
		alike(t, "shift at twice the focal length", float64(d.Shifts[0].Behind), 2*float64(g.Shifts[0].Behind), 1e-6, 1e-3*focal)
		alike(t, "circle", float64(d.Circle), 2*float64(g.Circle), 1e-9, 1)
	})
}

func TestFiguresRefuse(t *testing.T) {
	f := form(t, "portrait-1840")
	for name, u := range map[string]trace.Use{
		"no focal length":                {},
		"a stop wider than drawn":        {Focal: 450, Stop: 2.3},
		"a stop of NaN":                  {Focal: 450, Stop: measure.FNumber(math.NaN())},
		"the sitter within the focus":    {Focal: 450, Distance: 400},
		"distance and magnification":     {Focal: 450, Distance: 4000, Magnification: .2},
		"a colour the glass has not":     {Focal: 450, Wavelength: 200e-6},
		"a magnification of less than 0": {Focal: 450, Magnification: -1},
		"a magnification of NaN":         {Focal: 450, Magnification: math.NaN()},
	} {
		if g, err := f.Figures(u); err == nil {
			t.Errorf("%s was taken: %+v", name, g)
		}
	}
	if _, err := form(t, "soft-focus").Figures(trace.Use{Focal: 450, Stop: 1.88}); err == nil || !strings.Contains(err.Error(), "drawn for f/2.8") {
		t.Errorf("a stop whose light the glasses do not pass: %v", err)
	}
	g := figures(t, f, trace.Use{Focal: 450, Stop: 8})
	if _, err := g.At(2); err == nil {
		t.Error("a stop wider than drawn was answered")
	}
	if _, err := g.Behind(measure.FNumber(math.Inf(1))); err == nil {
		t.Error("a stop of no size was answered")
	}
	if _, err := (trace.Figures{}).At(8); err == nil {
		t.Error("empty figures answered")
	}
	far := float64(must(g.At(200))(t))
	last := g.Shifts[len(g.Shifts)-1]
	compare(t, []check{{"beyond the table the shift dies away with the stop's area", far, float64(last.Behind) * math.Pow(float64(last.Stop)/200, 2), 1e-12, "third-order theory"}})
}

func TestWorkRefuses(t *testing.T) {
	o := in(t, "portrait-1840")
	for name, c := range map[string]trace.Conditions{
		"nothing":                     {},
		"stop and pupil":              {Stop: 8, Pupil: 10},
		"distance and magnification":  {Stop: 8, Distance: 1000, Magnification: .1},
		"a sitter within the focus":   {Stop: 8, Distance: 50},
		"a sitter behind":             {Stop: 8, Distance: -50},
		"a pupil of NaN":              {Pupil: measure.Length(math.NaN())},
		"a magnification of infinity": {Stop: 8, Magnification: math.Inf(1)},
	} {
		if w, err := o.Work(c); err == nil {
			t.Errorf("%s was taken: %+v", name, w)
		}
	}
	if _, err := (trace.Optic{}).Work(trace.Conditions{Stop: 8}); err == nil {
		t.Error("an empty optic works")
	}
	if _, err := must((trace.System{Surfaces: []trace.Surface{{Curvature: -0.01, After: trace.Constant("glass", 1.5), Stop: true, Thickness: 2}, {After: trace.Air()}}}).In(trace.LineD))(t).Work(trace.Conditions{Stop: 8, Magnification: .5}); err == nil {
		t.Error("a diverging lens makes a real image")
	}
	for name, s := range map[string]trace.System{
		"no surface":    {},
		"no stop":       {Surfaces: []trace.Surface{{Curvature: .1, After: trace.Constant("glass", 1.5)}}},
		"two stops":     {Surfaces: []trace.Surface{{Curvature: .1, After: trace.Constant("glass", 1.5), Stop: true}, {After: trace.Air(), Stop: true}}},
		"no power":      {Surfaces: []trace.Surface{{After: trace.Constant("glass", 1.5), Stop: true}, {After: trace.Air()}}},
		"NaN curvature": {Surfaces: []trace.Surface{{Curvature: math.NaN(), After: trace.Air(), Stop: true}}},
		"NaN thickness": {Surfaces: []trace.Surface{{Curvature: .1, Thickness: measure.Length(math.NaN()), After: trace.Constant("glass", 1.5), Stop: true}}},
		"no medium":     {Surfaces: []trace.Surface{{Curvature: .1, Stop: true}}},
	} {
		if _, err := s.In(trace.LineD); err == nil {
			t.Errorf("a system with %s was taken", name)
		}
	}
}

// TestRimsOfForm compares the share open by rays through the glasses with that by three overlapping discs, the rims as the
// form has them. Kind: identity; the discs know nothing of what the glass does to the pupil off the axis, which is
// worth up to 0.041 (stop between the cells, f/5.6), and the grid counts to 0.004.
func TestRimsOfForm(t *testing.T) {
	for _, key := range []string{"portrait-1840", "portrait-1840-front"} {
		f := form(t, key)
		for _, m := range []float64{1e-6, 0.3} {
			for _, stop := range []measure.FNumber{3.6, 5.6, 11} {
				g := figures(t, f, trace.Use{Focal: 450, Stop: stop, Magnification: m})
				s := must(f.Scaled(450))(t)
				s.Surfaces[0].Rim, s.Surfaces[len(s.Surfaces)-1].Rim = g.Rims.Front/2, g.Rims.Rear/2
				w := work(t, must(s.In(trace.Visual))(t), trace.Conditions{Stop: stop, Magnification: m})
				set := must(optics.Lens{Focal: 450, Stop: stop, PupilMag: g.FirstOrder.PupilMag}.AtMagnification(m))(t)
				for _, a := range []measure.Angle{0, 3, 6, 9, 12, 15} {
					a *= measure.Degree
					compare(t, []check{{key + " share open", must(w.Open(a, 81))(t), must(g.Rims.Open(set, a))(t), .045, "three discs"}})
				}
			}
		}
	}
	if g := figures(t, form(t, "triplet"), trace.Use{Focal: 300}); g.Rims != (optics.Rims{}) || g.RimsBasis != "" {
		t.Errorf("nothing is known of this form's rims: %+v", g.Rims)
	}
}

// TestSpotsOfFormsMeetTheCamera sets up a camera with the form's focal surface and compares the spots it draws with rays
// traced through the glasses to the plate, square, leaning back and leaning forward, before and behind the focus: the two
// packages agree on what is up, on the way a plate leans and a field curves, and on which section is which.
// Kind: independent. The camera knows no distortion, and no change of the pupil off the axis.
func TestSpotsOfFormsMeetTheCamera(t *testing.T) {
	const focal, stop = 300, 32 // little spherical aberration, as the camera knows none
	for _, c := range []struct {
		key          string
		width, place float64 // parts of the spot, of its distance from the middle
	}{{"portrait-1840", .02, .006}, {"portrait-1840-front", .06, .012}, {"portrait-1950", .02, .002}} {
		f := form(t, c.key)
		for _, m := range []float64{.05, .3} {
			g := figures(t, f, trace.Use{Focal: focal, Stop: stop, Magnification: m})
			w := work(t, must(must(f.Scaled(focal))(t).In(trace.Visual))(t), trace.Conditions{Stop: stop, Magnification: m})
			set := must(optics.Lens{Focal: focal, Stop: stop, PupilMag: g.FirstOrder.PupilMag}.AtMagnification(m))(t)
			for _, tilt := range []measure.Angle{0, 7 * measure.Degree, -7 * measure.Degree} {
				for _, out := range []measure.Length{-4, 0, 4} {
					s := optics.Setup{Lens: set.Lens, Surface: g.Surface,
						Camera: optics.Camera{Focal: focal, Extension: set.Extension + out, Back: optics.Movement{Tilt: tilt}}}
					for _, part := range []measure.Angle{-1, -.5, .5, 1} {
						a := f.Good * part
						// A ray that climbs before the lens comes from below the axis.
						below := (w.Distance + g.FirstOrder.EntrancePupil) * measure.Length(math.Tan(float64(a)))
						got := must(s.Spot(optics.Point{Y: -below, Z: w.Distance + g.FirstOrder.FrontPrincipal}))(t)
						across, along, at := onPlate(t, w, a, tilt, float64(out))
						long, short := max(across, along), min(across, along)
						compare(t, []check{
							{c.key + " long axis", float64(got.Long), long, c.width * max(long, .1), "traced rays"},
							{c.key + " short axis", float64(got.Short), short, c.width * max(long, .1), "traced rays"},
							{c.key + " place on the plate", float64(got.At.Y), at, c.place * math.Abs(at), "traced rays"},
						})
						if got.At.Y*measure.Length(a) <= 0 {
							t.Errorf("%s: the image of a point %g mm below the axis lies at %g", c.key, below, got.At.Y)
						}
					}
				}
			}
		}
	}
}

// onPlate sends rays from the stop's edge to a plate that lies out behind the image near the axis and leans back by tilt, and
// returns the widths of their figure, across and up, and where the chief ray ends.
func onPlate(t testing.TB, w trace.Working, a, tilt measure.Angle, out float64) (across, along, at float64) {
	slope := math.Tan(float64(tilt))
	meet := func(px, py float64) (x, up float64) {
		r := must(w.Ray(a, px, py))(t)
		way := (out + r.Y*slope - r.Z) / (r.N - r.M*slope) // to z = out + y tan(tilt)
		return r.X + way*r.L, (r.Y + way*r.M) / math.Cos(float64(tilt))
	}
	left, right, low, high := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for i := range 72 {
		sin, cos := math.Sincos(float64(i) * math.Pi / 36)
		x, up := meet(cos, sin)
		left, right, low, high = min(left, x), max(right, x), min(low, up), max(high, up)
	}
	_, at = meet(0, 0)
	return right - left, high - low, at
}

// TestBetweenStops: between the stops of the table the shift is near the one traced for that stop. Kind: identity.
func TestBetweenStops(t *testing.T) {
	f := form(t, "portrait-1840")
	g := figures(t, f, trace.Use{Focal: 450, Stop: 8, Magnification: .3})
	for _, stop := range []measure.FNumber{4.7, 6.7, 9, 14} {
		traced := must(figures(t, f, trace.Use{Focal: 450, Stop: stop, Magnification: .3}).At(stop))(t)
		compare(t, []check{{"shift between stops", float64(must(g.At(stop))(t)), float64(traced), .03, "a trace at that stop"}})
	}
	first := g.Shifts[0]
	if !first.Beyond || first.Stop >= f.Largest {
		t.Errorf("the table begins at %+v", first)
	}
}

// TestWords: what a person reads of a lost ray.
func TestWords(t *testing.T) {
	for cause, want := range map[trace.Cause]string{
		trace.Missed: "the ray misses surface 3", trace.Reflected: "the ray is totally reflected at surface 3",
		trace.Clipped: "the rim of surface 3 stops the ray", trace.Astray: "no ray was found that reaches that place of the stop at surface 3",
	} {
		if got := (&trace.Lost{Surface: 3, Cause: cause}).Error(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
