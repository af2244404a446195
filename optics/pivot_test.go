package optics_test

import (
	"errors"
	"math"
	"testing"

	"platewright/measure"
	"platewright/optics"

	"pgregory.net/rapid"
)

// TestAboutBoard turns the lens about its board in space and traces the points: from the principal point's new place they
// fall on the plate to 1e-9 mm. Kind: identity.
func TestAboutBoard(t *testing.T) {
	answered := 0
	rapid.Check(t, func(t *rapid.T) {
		f := rapid.Float64Range(100, 600).Draw(t, "focal")
		pts := sittersPoints(t, f)
		ahead := measure.Length(f * rapid.Float64Range(-0.3, 0.3).Draw(t, "ahead"))
		got, err := optics.AboutBoard(pts, ahead, func(pl optics.Plane) (optics.Camera, error) { return pl.ByFront(measure.Length(f)) })
		if err != nil {
			return
		}
		answered++
		// The principal point is ahead of the board's axis by as much as before, along the lens's own axis.
		a := got.Camera.Axis()
		for i, m := range []measure.Length{got.Moved.X, got.Moved.Y, got.Moved.Z} {
			want := float64(ahead) * a[i]
			if i == 2 {
				want -= float64(ahead)
			}
			if math.Abs(float64(m)-want) > 1e-9 {
				t.Fatalf("moved %+v, axis %v, %g ahead", got.Moved, a, ahead)
			}
		}
		for i, p := range pts {
			seen := optics.Point{X: p.X - got.Moved.X, Y: p.Y - got.Moved.Y, Z: p.Z - got.Moved.Z}
			im, err := got.Camera.Image(seen)
			if err != nil {
				t.Fatal(err)
			}
			// To 1e-9 mm, and where the image lies more than 100 mm off, as near as its own last digits go.
			size := math.Abs(float64(im.X)) + math.Abs(float64(im.Y)) + math.Abs(float64(im.Z))
			if off := math.Abs(float64(got.Camera.Off(im))); off > 1e-9*max(1, size/100) {
				t.Fatalf("point %d falls %g mm off the plate", i+1, off)
			}
		}
		// On a square plate the board is nearer to it than the principal point by what that lies ahead.
		if want := float64(got.Camera.Extension) - float64(ahead)*a[2]; math.Abs(float64(got.Board)-want) > 1e-9 {
			t.Fatalf("board %g mm from the plate, want %g", got.Board, want)
		}
	})
	if answered < 30 {
		t.Errorf("only %d cameras were answered", answered)
	}
	straight, err := optics.AboutBoard(points(-30, 40, 1795, 32, 42, 1773, 60, -330, 1600), 0, func(pl optics.Plane) (optics.Camera, error) { return pl.ByFront(360) })
	if err != nil || straight.Moved != (optics.Point{}) {
		t.Errorf("turned about its principal point the lens moved by %+v, %v", straight.Moved, err)
	}
}

// TestGlassReadings: what is read off the ground glass stands for the points, and two readings give the turns of the
// back and of the lens that the plane through such points asks for. Kind: identity.
func TestGlassReadings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := measure.Length(rapid.Float64Range(100, 600).Draw(t, "focal"))
		for _, p := range sittersPoints(t, float64(f)) {
			im, err := optics.Camera{Focal: f, Extension: f}.Image(p)
			if err != nil {
				t.Fatal(err)
			}
			back, err := optics.Seen(f, im)
			if err != nil {
				t.Fatal(err)
			}
			if d := math.Hypot(math.Hypot(float64(back.X-p.X), float64(back.Y-p.Y)), float64(back.Z-p.Z)); d > 1e-9*float64(p.Z) {
				t.Fatalf("%+v is seen again at %+v", p, back)
			}
		}
	})
	const f, v, up, spread = 300, 360, 150, 10 // m = 0.2 on the axis
	var pts [3]optics.Point
	for i, im := range []optics.Image{{Z: v}, {X: 80, Z: v}, {Y: up, Z: v + spread}} {
		p, err := optics.Seen(f, im)
		if err != nil {
			t.Fatal(err)
		}
		pts[i] = p
	}
	pl, err := optics.Through(pts)
	if err != nil {
		t.Fatal(err)
	}
	byBack, err := pl.ByBack(f)
	if err != nil {
		t.Fatal(err)
	}
	byFront, err := pl.ByFront(f)
	if err != nil {
		t.Fatal(err)
	}
	back, front, err := optics.TurnFromGlass(spread, up, 0.2)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(float64(byBack.Back.Tilt-back)) > 1e-12 || math.Abs(math.Abs(float64(byFront.Lens.Tilt))-float64(front)) > 1e-12 {
		t.Errorf("back %v, front %v; by the plane %v and %v", back, front, byBack.Back.Tilt, byFront.Lens.Tilt)
	}
	if _, _, err := optics.TurnFromGlass(500, 150, 0.2); !errors.Is(err, optics.ErrBeyondMovements) {
		t.Errorf("foci far apart: %v", err)
	}
	var re *measure.RangeError
	if _, err := optics.Seen(300, optics.Image{Z: 290}); !errors.As(err, &re) {
		t.Errorf("a focus within the focal length: %v", err)
	}
}

// TestPlaced: the image falls where it was asked to. Kind: identity.
func TestPlaced(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := someSetup(t)
		p, at := somePoint(t, s), somePlace(t, s)
		placed, err := s.Placed(p, at)
		if err != nil {
			t.Fatal(err)
		}
		got := spot(t, placed, p).At
		if off := math.Hypot(float64(got.X-at.X), float64(got.Y-at.Y)); off > 1e-9*float64(s.Camera.Extension) {
			t.Fatalf("placed at %+v, drawn at %+v", at, got)
		}
	})
}

// TestWedge: the limits meet the sharp plane in the hinge line, and are as far from it, along the axis, as the spots of the
// blur for a square camera. Kind: identity.
func TestWedge(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := someSetup(t)
		h, ok := s.Camera.Hinge()
		w, err := s.Wedge(0.1)
		if err != nil {
			return
		}
		if ok {
			for name, p := range map[string][3]float64{"near": w.Near, "sharp": w.Sharp, "far": w.Far} {
				terms := 1.0
				sum := -1.0
				for i, x := range []measure.Length{h.Foot.X, h.Foot.Y, h.Foot.Z} {
					sum += p[i] * float64(x)
					terms += math.Abs(p[i] * float64(x))
				}
				if math.Abs(sum) > 1e-9*terms {
					t.Fatalf("the %s plane misses the hinge's foot by %g", name, sum)
				}
			}
		}
		square := optics.Setup{Lens: s.Lens, Camera: optics.Camera{Focal: s.Camera.Focal, Extension: s.Camera.Focal * 1.3}}
		w, err = square.Wedge(0.1)
		if err != nil {
			t.Fatal(err)
		}
		near, sharp, far, endless, err := w.Depth(0, 0)
		if err != nil || endless {
			t.Fatal(err, endless)
		}
		r, err := square.Along(optics.PlatePoint{}, 0.1)
		if err != nil {
			t.Fatal(err)
		}
		for _, q := range [][2]measure.Length{{near, r.Near.Z}, {sharp, r.Sharp.Z}, {far, r.Far.Z}} {
			if math.Abs(float64(q[0]-q[1])) > 1e-9*float64(q[1]) {
				t.Fatalf("wedge %g, %g, %g; along the axis %g, %g, %g", near, sharp, far, r.Near.Z, r.Sharp.Z, r.Far.Z)
			}
		}
	})
}
