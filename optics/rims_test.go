package optics_test

import (
	"errors"
	"math"
	"testing"

	"platewright/measure"
	"platewright/optics"

	"pgregory.net/rapid"
)

// TestOpenByCounting lays a fine grid over the pupil and counts what passes both rims. Kind: independent.
func TestOpenByCounting(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		part := func(name string, low, high float64) measure.Length {
			return measure.Length(rapid.Float64Range(low, high).Draw(t, name))
		}
		l := lens(300, 4, rapid.Float64Range(0.7, 1.4).Draw(t, "pupil magnification"))
		set, err := l.AtMagnification(rapid.Float64Range(0.01, 1).Draw(t, "magnification"))
		if err != nil {
			t.Fatal(err)
		}
		r := optics.Rims{Front: part("front", 60, 120), Rear: part("rear", 50, 120), Barrel: part("barrel", 50, 250)}
		off := measure.Angle(rapid.Float64Range(0, 25).Draw(t, "off")) * measure.Degree
		got, err := r.Open(set, off)
		if err != nil {
			t.Fatal(err)
		}
		along, across, err := r.Eye(set, off)
		if err != nil {
			t.Fatal(err)
		}
		f, p := 300., l.PupilMag
		half := float64(r.Barrel) / 2
		u, z := float64(set.FromPupil()), f*(p+set.Magnification)
		tan := math.Tan(float64(off))
		const n = 160
		open, all := 0, 0
		low, high, wide := math.Inf(1), math.Inf(-1), 0.0
		for i := range n {
			for k := range n {
				x, y := (float64(i)+0.5)/n*2-1, (float64(k)+0.5)/n*2-1
				if x*x+y*y > 1 {
					continue
				}
				all++
				// A ray from the point in focus through (x, y) of the entrance pupil, where it passes the front rim, and one
				// from the same spot of the exit pupil to the image, where it passes the rear one.
				ex, ey := x*37.5, y*37.5
				fx, fy := ex+(u*tan-ex)*half/u, ey-ey*half/u
				rx, ry := p*ex+(-z*tan/p-p*ex)*half/z, p*ey-p*ey*half/z
				if math.Hypot(fx, fy) <= float64(r.Front)/2 && math.Hypot(rx, ry) <= float64(r.Rear)/2 {
					open++
					low, high, wide = min(low, x), max(high, x), max(wide, 2*math.Abs(y))
				}
			}
		}
		if counted := float64(open) / float64(all); math.Abs(got-counted) > 0.005 {
			t.Fatalf("open %.5f, counted %.5f", got, counted)
		}
		// The grid misses the eye's two points, where it is narrower than the grid's step: a figure between two arcs
		// of breadth w narrows as w(1 - y²) toward them.
		const step = 1.0 / n
		points := 2*step + across*(1-math.Sqrt(1-min(1, step/along)))
		if open > 200 && (math.Abs(along-(high-low)/2) > 0.02 || math.Abs(across-wide/2) > points) {
			t.Fatalf("the eye is %.4f by %.4f, counted %.4f by %.4f", along, across, (high-low)/2, wide/2)
		}
	})
}

// TestOpenNarrows: nothing is cut on the axis of a lens whose rims hold the stop's light, and never more opens
// farther out. Kind: identity.
func TestOpenNarrows(t *testing.T) {
	set := atM(t, lens(300, 4, 1), 0.2)
	r := optics.Rims{Front: 85, Rear: 80, Barrel: 160}
	before := 1.0
	for deg := range 40 {
		got, err := r.Open(set, measure.Angle(deg)*measure.Degree)
		if err != nil {
			t.Fatal(err)
		}
		if deg == 0 && math.Abs(got-1) > 1e-12 || got > before+1e-12 {
			t.Errorf("%d degrees: %g open after %g", deg, got, before)
		}
		before = got
	}
	if before != 0 {
		t.Errorf("at 39 degrees %g is open", before)
	}
	if along, across, err := r.Eye(set, 39*measure.Degree); along != 0 || across != 0 || err != nil {
		t.Errorf("a shut eye is %g by %g, %v", along, across, err)
	}
	// A smaller stop is cut less: stopping down takes the swirl away.
	along, across, err := r.Eye(atM(t, lens(300, 16, 1), 0.2), 8*measure.Degree)
	if err != nil || math.Abs(along-1) > 1e-12 || math.Abs(across-1) > 1e-12 {
		t.Errorf("at f/16 the eye is %g by %g, %v", along, across, err)
	}
	if along, across, err = r.Eye(set, 15*measure.Degree); err != nil || along > 0.8*across {
		t.Errorf("wide open the eye is %g by %g, %v; want it narrow", along, across, err)
	}
	if _, err := (optics.Rims{Front: 85, Rear: 80}).Open(set, 0); !errors.Is(err, optics.ErrRimsUnknown) {
		t.Errorf("a barrel of unknown length: %v", err)
	}
	var re *measure.RangeError
	if _, err := r.Open(set, -1); !errors.As(err, &re) {
		t.Errorf("an angle below nothing: %v", err)
	}
	if _, err := (optics.Rims{Front: 85, Rear: 80, Barrel: 800}).Open(set, 0); err == nil {
		t.Error("a rim behind the plate is answered")
	}
}

// TestRimsAgainstTracedRays compares with real rays traced through the portrait form of 1840 at 100 mm, its front rim of 14 mm
// being the stop and its rear rim of 11.5 mm assumed; those shares were counted to 0.005. (Package optics/trace compares more of them.) The rims laid into paraxial
// pupils miss what the glass does to the pupil off the axis, and come within 0.02 of them. Kind: independent [PlateNotes2026].
func TestRimsAgainstTracedRays(t *testing.T) {
	const (
		f     = 100.2229
		p     = 1.340
		front = 28.0
	)
	set := atM(t, lens(f, f/front, p), optics.LeastMagnification)
	// The stop is the front rim; the exit pupil lies pf before the plate, and the last glass 58.8856.
	r := optics.Rims{Front: front, Rear: 23, Barrel: 60.4, ToEntrance: 0.001, ToExit: p*f - 58.8856}
	for i, want := range []float64{1, .997, .853, .633, .398, .182} {
		got, err := r.Open(set, measure.Angle(3*i)*measure.Degree)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got-want) > 0.02 {
			t.Errorf("%d degrees: %.4f open, traced %.3f", 3*i, got, want)
		}
	}
}

func BenchmarkEye(b *testing.B) {
	set := atM(b, lens(300, 4, 1), 0.2)
	r := optics.Rims{Front: 85, Rear: 80, Barrel: 160}
	for b.Loop() {
		along, _, err := r.Eye(set, 12*measure.Degree)
		if err != nil {
			b.Fatal(err)
		}
		sink = along
	}
}
