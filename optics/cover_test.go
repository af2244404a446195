package optics_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"platewright/measure"
	"platewright/optics"

	"pgregory.net/rapid"
)

// TestCoversAtItsEdge: a point of the plate that lies at the angle of the cone is at the edge: with the plate's corner
// laid there nothing is left, and Left tells how far a corner must go to reach it. Kind: identity.
func TestCoversAtItsEdge(t *testing.T) {
	answered, moved := 0, 0
	defer func() {
		if answered < 50 || moved < 20 {
			t.Errorf("only %d covers were answered and %d corners moved", answered, moved)
		}
	}()
	rapid.Check(t, func(t *rapid.T) {
		s := someSetup(t)
		c := optics.Coverage{Half: measure.Angle(rapid.Float64Range(10, 35).Draw(t, "half")) * measure.Degree}
		got, err := s.Covers(c)
		if err != nil {
			return // a plate turned across the cone
		}
		answered++
		worst := measure.Angle(0)
		for _, a := range got.Corners {
			worst = max(worst, a)
		}
		if (worst <= c.Half) != (got.Left >= 0) && math.Abs(float64(worst-c.Half)) > 1e-9 {
			t.Fatalf("the worst corner is seen under %v of %v, and %g mm are left", worst, c.Half, got.Left)
		}
		if (got.Needed <= got.Circle) != (got.Left >= 0) && math.Abs(float64(worst-c.Half)) > 1e-9 {
			t.Fatalf("needed %g of %g, and %g mm are left", got.Needed, got.Circle, got.Left)
		}
		// Make the plate larger or smaller about the foot of the axis until the worst corner is Left farther on.
		corner := optics.PlatePoint{X: s.Plate.Width / 2, Y: s.Plate.Height / 2}
		if got.Worst%2 == 0 {
			corner.X = -corner.X
		}
		if got.Worst >= 2 {
			corner.Y = -corner.Y
		}
		dx, dy := float64(corner.X-got.Axis.X), float64(corner.Y-got.Axis.Y)
		away := math.Hypot(dx, dy)
		k := (away + float64(got.Left)) / away
		larger := s
		larger.Plate.Width, larger.Plate.Height = 2*measure.Length(math.Abs(float64(got.Axis.X)+k*dx)), 2*measure.Length(math.Abs(float64(got.Axis.Y)+k*dy))
		if larger.Plate.Width < 1 || larger.Plate.Height < 1 || (float64(got.Axis.X)+k*dx)*float64(corner.X) <= 0 || (float64(got.Axis.Y)+k*dy)*float64(corner.Y) <= 0 {
			return // the edge lies beyond a middle line, where it would be another corner
		}
		at, err := larger.Covers(c)
		if err != nil {
			t.Fatal(err)
		}
		moved++
		if off := float64(at.Corners[got.Worst] - c.Half); math.Abs(off) > 1e-9 {
			t.Fatalf("moved by what was left, the corner is off the cone's edge by %g rad", off)
		}
	})
}

// TestCoverOfAFoot: a spot on the lens's axis falls on the foot of the axis. Kind: identity.
func TestCoverOfAFoot(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := someSetup(t)
		got, err := s.Covers(optics.Coverage{Half: 30 * measure.Degree})
		if err != nil {
			return
		}
		a := s.Camera.Axis()
		far := float64(s.Lens.Focal) * rapid.Float64Range(1.5, 10).Draw(t, "far")
		at := spot(t, s, optics.Point{X: measure.Length(a[0] * far), Y: measure.Length(a[1] * far), Z: measure.Length(a[2] * far)}).At
		if off := math.Hypot(float64(at.X-got.Axis.X), float64(at.Y-got.Axis.Y)); off > 1e-9*float64(s.Camera.Extension) {
			t.Fatalf("a point on the axis is drawn %g mm from its foot", off)
		}
	})
}

// TestCoverGrows: the cone that covers a circle at infinity covers one of f(p+m)/fp its size at the magnification m, and
// one told by its circle at a setting is the same cone. Kind: identity.
func TestCoverGrows(t *testing.T) {
	for _, p := range []float64{1, 0.905} {
		l := lens(450, 4.5, p)
		set := atM(t, l, 0.43)
		s := optics.Setup{Lens: l, Plate: eightByTen, Camera: optics.Camera{Focal: 450, Extension: set.Extension}}
		got, err := s.Covers(optics.CoverageOf(240, l))
		if err != nil {
			t.Fatal(err)
		}
		if want := 240 * (p + 0.43) / p; math.Abs(float64(got.Circle)-want) > 1e-9 {
			t.Errorf("p %g: circle %g, want %g", p, got.Circle, want)
		}
		if back := optics.CoverageOf(240, l).AtInfinity(l); math.Abs(float64(back)-240) > 1e-9 {
			t.Errorf("a circle of 240 mm has a cone of %v", back)
		}
		if a, b := optics.CoverageOf(240, l).Half, set.CoverageSeen(got.Circle).Half; math.Abs(float64(a-b)) > 1e-12 {
			t.Errorf("p %g: the cone is %v by one circle and %v by the other", p, a, b)
		}
	}
}

func TestShortCircle(t *testing.T) {
	l := lens(450, 4.5, 1)
	s := optics.Setup{Lens: l, Plate: eightByTen, Camera: optics.Camera{Focal: 450, Extension: 500}, Centre: optics.PlatePoint{Y: 40}}
	got, err := s.Covers(optics.CoverageOf(241, l))
	if err != nil {
		t.Fatal(err)
	}
	var short *optics.ShortCircle
	if err := got.Check(); !errors.As(err, &short) || !strings.Contains(err.Error(), "lower") || !strings.Contains(err.Error(), "cut by") {
		t.Errorf("a circle that is short below: %v", err)
	}
	s.Centre = optics.PlatePoint{}
	if got, err = s.Covers(optics.CoverageOf(330, l)); err != nil || got.Check() != nil {
		t.Errorf("a circle that holds the plate: %v, %v", err, got.Check())
	}
	var re *measure.RangeError
	if _, err := s.Covers(optics.Coverage{Half: 85 * measure.Degree}); !errors.As(err, &re) {
		t.Errorf("a cone of 85 degrees: %v", err)
	}
	deep := s
	deep.Centre.Y, deep.Camera.Back.Tilt = -400, 60*measure.Degree // all of the plate leans away inside the cone
	if _, err := deep.Covers(optics.Coverage{Half: 75 * measure.Degree}); err == nil || !strings.Contains(err.Error(), "without end") {
		t.Errorf("a cone without an edge: %v", err)
	}
	s.Plate = measure.PlateSize{}
	if _, err := s.Covers(optics.CoverageOf(330, l)); !errors.As(err, &re) || re.What != "plate width" {
		t.Errorf("no plate: %v", err)
	}
}

func BenchmarkCovers(b *testing.B) {
	s := tilted()
	c := optics.CoverageOf(240, s.Lens)
	for b.Loop() {
		got, err := s.Covers(c)
		if err != nil {
			b.Fatal(err)
		}
		sink = float64(got.Left)
	}
}
