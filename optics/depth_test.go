package optics_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"platewright/measure"
	"platewright/optics"
)

// TestLimitsTracedInImageSpace sends the near and far limits through the lens and measures their
// blur where the cone from the exit pupil meets the plate. Kind: identity.
func TestLimitsTracedInImageSpace(t *testing.T) {
	for _, l := range []optics.Lens{lens(450, 4.5, 1), lens(300, 3.6, 0.905), lens(150, 11, 1.34), lens(90, 64, 0.5)} {
		for _, m := range []float64{0.05, 0.2, 0.43, 1, 3} {
			s := atM(t, l, m)
			d := depth(t, s, 0.1)
			f, p := float64(l.Focal), l.PupilMag
			exit := p * float64(l.Pupil()) // diameter of the exit pupil
			at := f * (1 - p)              // its place behind the rear principal plane
			for _, limit := range []measure.Length{d.Near, d.Far} {
				if d.Endless && limit == d.Far {
					continue
				}
				v := 1 / (1/f - 1/float64(limit))
				blur := exit * math.Abs(v-float64(s.Extension)) / math.Abs(v-at)
				if math.Abs(blur-0.1) > 1e-9 {
					t.Errorf("%+v at %g: a point at %g mm is drawn %.12g mm wide, want 0.1", l, m, limit, blur)
				}
			}
			// A plate at the end of its play draws the plane of focus as the blur disc.
			play := float64(s.FocusDepth(0.1)) / 2
			if blur := exit * play / (float64(s.Extension) - at); math.Abs(blur-0.1) > 1e-12 {
				t.Errorf("%+v at %g: play %g draws %g mm, want 0.1", l, m, play, blur)
			}
			// Nothing is gained or lost between the parts and the whole.
			if !d.Endless && math.Abs(float64(d.Far-d.Near-d.Total)) > 1e-9*float64(d.Far) {
				t.Errorf("%+v at %g: far - near = %g, total %g", l, m, d.Far-d.Near, d.Total)
			}
		}
	}
}

// TestHyperfocal sets a lens to its hyperfocal distance: far is infinite and near is half of it. Just inside
// far is finite. Kind: identity.
func TestHyperfocal(t *testing.T) {
	l := lens(150, 11, 1)
	for _, tt := range []struct {
		part    measure.Length
		endless bool
	}{{1, true}, {1 + 1e-6, true}, {1 - 1e-6, false}, {10, true}} {
		s, err := l.AtDistance(l.Hyperfocal(0.1) * tt.part)
		if err != nil {
			t.Fatal(err)
		}
		d := depth(t, s, 0.1)
		if d.Endless != tt.endless {
			t.Errorf("at %g of the hyperfocal distance endless = %t, want %t", tt.part, d.Endless, tt.endless)
		}
		if d.Endless && (d.Far != 0 || d.Rear != 0 || d.Total != 0) {
			t.Errorf("an endless depth holds far %g, rear %g, total %g", d.Far, d.Rear, d.Total)
		}
	}
	s, err := l.AtDistance(l.Hyperfocal(0.1))
	if err != nil {
		t.Fatal(err)
	}
	if got, want := float64(depth(t, s, 0.1).Near), float64(s.Distance)/2; math.Abs(got-want) > 1e-6*want {
		t.Errorf("near at the hyperfocal distance = %g, want half of it, %g", got, want)
	}
}

// TestFramedEquivalent: the same sitter at the same distance fills the same part of the frame and
// has the same depth relative to it. Kind: identity.
func TestFramedEquivalent(t *testing.T) {
	s := atM(t, lens(450, 4.5, 1), 0.3)
	e := s.Framed(eightByTen)
	small, err := lens(e.Focal, e.Stop, 1).AtDistance(s.Distance)
	if err != nil {
		t.Fatal(err)
	}
	k := math.Hypot(24, 36) / float64(eightByTen.Diagonal())
	if got, want := small.Magnification, s.Magnification*k; math.Abs(got-want) > 1e-12 {
		t.Errorf("magnification on 24 x 36 = %g, want %g", got, want)
	}
	got, want := depth(t, small, measure.Length(0.1*k)).Total, depth(t, s, 0.1).Total
	if math.Abs(float64(got-want)) > 1e-9 {
		t.Errorf("depth on 24 x 36 = %g, want %g", got, want)
	}
	if a, b := s.View(100), s.ViewFromPupil(100); math.Abs(float64(a-b)) > 1e-15 {
		t.Errorf("at pupil magnification 1 the view is %g from the lens and %g from the pupil", a, b)
	}
}

func TestRangesAreHeld(t *testing.T) {
	nan := measure.Length(math.NaN())
	ok := lens(300, 4, 1)
	at := func(l optics.Lens, m float64) error { _, err := l.AtMagnification(m); return err }
	from := func(l optics.Lens, s measure.Length) error { _, err := l.AtDistance(s); return err }
	blur := func(c measure.Length) error { _, err := atM(t, ok, 0.2).Depth(c); return err }
	for _, tt := range []struct {
		name string
		err  error
		want string
	}{
		{"short focal", at(lens(9.999, 4, 1), 1), "focal length 9.999 mm is outside 10 to 5000 mm"},
		{"long focal", at(lens(5001, 4, 1), 1), "focal length 5001 mm is outside"},
		{"no focal", at(lens(nan, 4, 1), 1), "focal length NaN mm is outside"},
		{"stop", at(lens(300, 0.49, 1), 1), "f-number 0.49 is outside 0.5 to 256"},
		{"pupil", at(lens(300, 4, 0), 1), "pupil magnification 0 is outside 0.1 to 10"},
		{"magnification", at(ok, 0), "magnification 0 is outside 1e-06 to 100"},
		{"no magnification", at(ok, math.Inf(1)), "magnification +Inf is outside"},
		{"distance", from(ok, 300), "distance 300 mm is outside 303 to 3.000003e+08 mm"},
		{"no distance", from(ok, nan), "distance NaN mm is outside"},
		{"blur", blur(0), "blur 0 mm is outside 0.0001 to 10 mm"},
	} {
		var re *measure.RangeError
		if !errors.As(tt.err, &re) || !strings.HasPrefix(tt.err.Error(), tt.want) {
			t.Errorf("%s: %v, want %q", tt.name, tt.err, tt.want)
		}
	}
	// The ends themselves are answered.
	for _, f := range []measure.Length{optics.LeastFocal, optics.GreatestFocal} {
		for _, n := range []measure.FNumber{optics.LeastStop, optics.GreatestStop} {
			for _, p := range []float64{optics.LeastPupilMag, optics.GreatestPupilMag} {
				near, far := optics.DistanceRange(f)
				for _, err := range []error{at(lens(f, n, p), optics.LeastMagnification), at(lens(f, n, p), optics.GreatestMagnification),
					from(lens(f, n, p), near), from(lens(f, n, p), far)} {
					if err != nil {
						t.Errorf("f %g, N %g, p %g: %v", f, n, p, err)
					}
				}
			}
		}
	}
}

func ExampleLens_AtMagnification() {
	head, err := optics.Lens{Focal: 450, Stop: 4.5, PupilMag: 1}.AtMagnification(0.43)
	if err != nil {
		fmt.Println(err)
		return
	}
	d, err := head.Depth(optics.UsualBlur)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("the sitter at %.0f mm, the plate at %.1f mm, %.2f stops for the bellows\n",
		head.Distance, head.Extension, head.Bellows())
	fmt.Printf("sharp from %.1f to %.1f mm, %.2f mm in all\n", d.Near, d.Far, d.Total)
	// Output:
	// the sitter at 1497 mm, the plate at 643.5 mm, 1.03 stops for the bellows
	// sharp from 1493.0 to 1500.0 mm, 6.96 mm in all
}
