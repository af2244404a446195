package optics_test

import (
	"errors"
	"math"
	"testing"

	"platewright/measure"
	"platewright/optics"
)

func points(c ...float64) (p [3]optics.Point) {
	for i := range p {
		p[i] = optics.Point{X: measure.Length(c[3*i]), Y: measure.Length(c[3*i+1]), Z: measure.Length(c[3*i+2])}
	}
	return p
}

// TestSquarePlane needs no movement: the set-up is that of the lens equation. Kind: identity.
func TestSquarePlane(t *testing.T) {
	pl, err := optics.Through(points(-40, 10, 1800, 60, 30, 1800, 0, -300, 1800))
	if err != nil {
		t.Fatal(err)
	}
	for name, by := range map[string]func(measure.Length) (optics.Camera, error){"back": pl.ByBack, "front": pl.ByFront} {
		c, err := by(360)
		if err != nil {
			t.Fatal(err)
		}
		if want := 360. * 1800 / (1800 - 360); math.Abs(float64(c.Extension)-want) > 1e-9 {
			t.Errorf("%s: extension %g, want %g", name, c.Extension, want)
		}
		if c.Lens != (optics.Movement{}) || c.Back != (optics.Movement{}) || c.Refocus() != 0 {
			t.Errorf("%s: moves %+v, refocus %g for a square plane", name, c, c.Refocus())
		}
		if h, ok := c.Hinge(); ok {
			t.Errorf("%s: hinge %+v for a square camera", name, h)
		}
	}
}

// TestSigns holds the words of the convention: for a plane that lies like a table top below the axis, its
// nearer part being the lower, the lens leans its top forward (tilt negative) and the back, whose top
// holds what is low and near, leans its top backward (tilt positive). A plane that is nearer on the right
// asks of the lens a swing of its right-hand side backward. Kind: identity.
func TestSigns(t *testing.T) {
	table := points(0, -500, 1500, 300, -500, 1500, 0, -400, 2500)
	wall := points(500, 0, 1500, 500, 300, 1500, 400, 0, 2500)
	for _, tt := range []struct {
		name                                     string
		pts                                      [3]optics.Point
		lensTilt, lensSwing, backTilt, backSwing int
	}{
		{"table below", table, -1, 0, 1, 0},
		{"wall on the right", wall, 0, 1, 0, -1},
	} {
		pl, err := optics.Through(tt.pts)
		if err != nil {
			t.Fatal(err)
		}
		front, err := pl.ByFront(300)
		if err != nil {
			t.Fatal(err)
		}
		back, err := pl.ByBack(300)
		if err != nil {
			t.Fatal(err)
		}
		sign := func(a measure.Angle) int {
			switch {
			case a > 1e-12:
				return 1
			case a < -1e-12:
				return -1
			}
			return 0
		}
		got := [4]int{sign(front.Lens.Tilt), sign(front.Lens.Swing), sign(back.Back.Tilt), sign(back.Back.Swing)}
		if want := [4]int{tt.lensTilt, tt.lensSwing, tt.backTilt, tt.backSwing}; got != want {
			t.Errorf("%s: signs of lens tilt, lens swing, back tilt, back swing %v, want %v", tt.name, got, want)
		}
	}
}

// TestLinesMeet holds the two rules of the view camera: the planes of subject, lens and plate share a
// line, and so do the subject, the front focal plane and the plane through the lens parallel to the
// plate [ViewFocus1996, part I]. Kind: published rule.
func TestLinesMeet(t *testing.T) {
	pl, err := optics.Through(points(-30, 40, 1795, 32, 42, 1773, 60, -330, 1600))
	if err != nil {
		t.Fatal(err)
	}
	p := pl.Intercepts()
	dot := func(a, b [3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
	for name, by := range map[string]func(measure.Length) (optics.Camera, error){"back": pl.ByBack, "front": pl.ByFront} {
		c, err := by(360)
		if err != nil {
			t.Fatal(err)
		}
		a := c.Axis()
		E := float64(c.Extension)
		// The plate as q·X = 1 with z = -z'.
		q := [3]float64{-math.Tan(float64(c.Back.Swing)) / E, -math.Tan(float64(c.Back.Tilt)) / E, -1 / E}
		// Any point of the line where plate and lens board meet: q·X = 1, a·X = 0.
		cross := func(u, v [3]float64) [3]float64 {
			return [3]float64{u[1]*v[2] - u[2]*v[1], u[2]*v[0] - u[0]*v[2], u[0]*v[1] - u[1]*v[0]}
		}
		along := cross(q, a)
		foot := cross(a, along)
		k := 1 / dot(foot, q)
		for _, step := range []float64{-1e9, 0, 1e9} {
			var x [3]float64
			for i := range x {
				x[i] = foot[i]*k + along[i]*step
			}
			if got := dot(p, x); math.Abs(got-1) > 1e-6 {
				t.Errorf("%s: the line of lens and plate at step %g has p·X = %.12g, want 1", name, step, got)
			}
		}
		h, ok := c.Hinge()
		if !ok {
			t.Fatalf("%s: no hinge", name)
		}
		foot3 := [3]float64{float64(h.Foot.X), float64(h.Foot.Y), float64(h.Foot.Z)}
		for what, off := range map[string]float64{"subject plane": dot(p, foot3) - 1, "front focal plane": dot(a, foot3)/360 - 1,
			"plane parallel to the plate": dot(q, foot3)} {
			if math.Abs(off) > 1e-12 {
				t.Errorf("%s: the hinge's foot is off the %s by %g", name, what, off)
			}
		}
		// Refocusing swings the plane about the hinge and nothing else.
		c.Extension *= 1.05
		if off := dot(c.SharpPlane(), foot3) - 1; math.Abs(off) > 1e-12 {
			t.Errorf("%s: after refocusing the hinge's foot is off the sharp plane by %g", name, off)
		}
	}
}

func TestNoSetUp(t *testing.T) {
	for _, tt := range []struct {
		name string
		pts  [3]optics.Point
		want error
	}{
		{"one spot", points(1, 2, 1000, 1, 2, 1000, 1, 2, 1000), optics.ErrInLine},
		{"two on one spot", points(1, 2, 1000, 1, 2, 1000, 5, 6, 1100), optics.ErrInLine},
		{"in line", points(0, 0, 1000, 10, 20, 1100, 20, 40, 1200), optics.ErrInLine},
		{"in line but for rounding", points(0.1, 0.1, 1000.1, 0.2, 0.2, 1000.2, 0.3, 0.3, 1000.3), optics.ErrInLine},
		{"through the lens", points(10, 0, 1000, 20, 0, 3000, -50, 0, 2000), optics.ErrThroughLens},
		{"through the lens, askew", points(100, 200, 1000, 300, 100, 1500, 400, 300, 2500), optics.ErrThroughLens},
	} {
		if _, err := optics.Through(tt.pts); !errors.Is(err, tt.want) {
			t.Errorf("%s: %v, want %v", tt.name, err, tt.want)
		}
	}
	if _, err := optics.Through(points(0, 0, 1000, 10, 2e6, 1100, 20, 40, 1200)); err == nil || err.Error() != "point 2 y 2000000 mm is outside -1000000 to 1000000 mm" {
		t.Errorf("a point beyond reach: %v", err)
	}

	within, err := optics.Through(points(0, -200, 1000, 300, -200, 1000, 0, -200.5, 2000)) // passes 200 mm under the lens
	if err != nil {
		t.Fatal(err)
	}
	if _, err := within.ByFront(300); !errors.Is(err, optics.ErrBeyondMovements) {
		t.Errorf("a plane within a focal length of the lens: front says %v", err)
	}
	steep, err := optics.Through(points(0, -700, 1000, 300, -700, 1000, 0, -100, 400)) // meets the axis at 300 mm
	if err != nil {
		t.Fatal(err)
	}
	if _, err := steep.ByBack(320); !errors.Is(err, optics.ErrBeyondMovements) {
		t.Errorf("a plane that meets the axis within the focal length: back says %v", err)
	}
	if _, err := steep.ByBack(280); err != nil {
		t.Errorf("a plane that meets the axis beyond the focal length: back says %v", err)
	}
	if _, err := steep.ByBack(9); err == nil {
		t.Error("a focal length of 9 mm is answered")
	}
	c := optics.Camera{Focal: 300, Extension: 400}
	if im, err := c.Image(optics.Point{Z: 300}); err == nil {
		t.Errorf("a point on the front focal plane has the image %+v", im)
	}
}

var sink float64

func BenchmarkSetting(b *testing.B) {
	for b.Loop() {
		s, err := lens(450, 4.5, 1).AtMagnification(0.43)
		if err != nil {
			b.Fatal(err)
		}
		d, err := s.Depth(0.1)
		if err != nil {
			b.Fatal(err)
		}
		sink = float64(d.Total) + float64(s.Bellows()) + float64(s.View(300))
	}
}

func BenchmarkThrough(b *testing.B) {
	pts := points(-30, 40, 1795, 32, 42, 1773, 60, -330, 1600)
	for b.Loop() {
		pl, err := optics.Through(pts)
		if err != nil {
			b.Fatal(err)
		}
		c, err := pl.ByFront(360)
		if err != nil {
			b.Fatal(err)
		}
		sink = float64(c.Extension)
	}
}
