package optics_test

import (
	"errors"
	"math"
	"testing"

	"platewright/measure"
	"platewright/optics"

	"pgregory.net/rapid"
)

// someSetup draws a camera of a studio: a portrait lens, extended for a near sitter, both standards turned
// by up to twenty degrees.
func someSetup(t *rapid.T) optics.Setup {
	within := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
	f := within("focal", 80, 800)
	l := lens(measure.Length(f), measure.FNumber(within("stop", 2, 32)), 1)
	if rapid.Bool().Draw(t, "thick") {
		l.PupilMag = within("pupil magnification", 0.6, 1.6)
	}
	extension := within("extension", 1.03, 2)
	if rapid.Bool().Draw(t, "far off") {
		extension = within("extension for a far sitter", 0.99, 1.05)
	}
	turn := func(name string) measure.Angle { return measure.Angle(within(name, -20, 20)) * measure.Degree }
	s := optics.Setup{
		Lens:  l,
		Plate: measure.PlateSize{Width: measure.Length(f * 0.4), Height: measure.Length(f * 0.5)},
		Camera: optics.Camera{Focal: l.Focal, Extension: measure.Length(f * extension),
			Lens: optics.Movement{Tilt: turn("lens tilt"), Swing: turn("lens swing")},
			Back: optics.Movement{Tilt: turn("back tilt"), Swing: turn("back swing")}},
		Centre: optics.PlatePoint{X: measure.Length(f * within("centre x", -0.1, 0.1)), Y: measure.Length(f * within("centre y", -0.1, 0.1))},
	}
	if rapid.Bool().Draw(t, "curved") {
		s.Surface = optics.Even(optics.Curve{Curvature: within("curvature", -0.3, 0.3) / f, Fourth: within("fourth", -0.1, 0.1) / (f * f * f)})
		s.Shift = measure.Length(f * within("shift", -0.01, 0.01))
	}
	return s
}

// somePlace draws a place on the plate of a set-up.
func somePlace(t *rapid.T, s optics.Setup) optics.PlatePoint {
	share := func(name string) measure.Length {
		return measure.Length(rapid.Float64Range(-0.5, 0.5).Draw(t, name))
	}
	return optics.PlatePoint{X: s.Plate.Width * share("plate x"), Y: s.Plate.Height * share("plate y")}
}

// somePoint draws a point before the lens.
func somePoint(t *rapid.T, s optics.Setup) optics.Point {
	f := float64(s.Lens.Focal)
	z := f * rapid.Float64Range(2, 12).Draw(t, "z")
	return optics.Point{
		X: measure.Length(z * rapid.Float64Range(-0.2, 0.2).Draw(t, "x")),
		Y: measure.Length(z * rapid.Float64Range(-0.2, 0.2).Draw(t, "y")),
		Z: measure.Length(z),
	}
}

func spot(t rapid.TB, s optics.Setup, p optics.Point) optics.Spot {
	t.Helper()
	got, err := s.Spot(p)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

type xyz [3]float64

func (a xyz) dot(b xyz) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
func (a xyz) plus(k float64, b xyz) xyz {
	return xyz{a[0] + k*b[0], a[1] + k*b[1], a[2] + k*b[2]}
}
func (a xyz) cross(b xyz) xyz {
	return xyz{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}
func (a xyz) unit() xyz { return xyz{}.plus(1/math.Sqrt(a.dot(a)), a) }

// byRays sends a ring of rays through the exit pupil of a set-up and measures the figure they draw on the plate:
// its widest and its narrowest extent, and where the ray through the middle of the pupil ends in space.
func byRays(t rapid.TB, s optics.Setup, p optics.Point) (long, short float64, middle xyz) {
	t.Helper()
	im, err := s.Camera.Image(p)
	if err != nil {
		t.Fatal(err)
	}
	f, pm := float64(s.Lens.Focal), s.Lens.PupilMag
	a := xyz(s.Camera.Axis())
	exit := xyz{}.plus(-f*(1-pm), a)
	radius := pm * f / float64(s.Lens.Stop) / 2
	ideal := xyz{float64(im.X), float64(im.Y), -float64(im.Z)}
	away := ideal.plus(-1, exit)
	zeta := -away.dot(a)
	c := xyz{}.plus(1/zeta, away)
	side := c.plus(1, a)
	r := xyz{0, a[2], -a[1]}
	if side.dot(side) > 1e-20 {
		r = side
	}
	r = r.unit()
	across := a.cross(r)
	height := measure.Length(zeta * math.Sqrt(side.dot(side)))
	zt := zeta - float64(s.Surface.Tangential.Nearer(height)) + float64(s.Shift)
	zs := zeta - float64(s.Surface.Sagittal.Nearer(height)) + float64(s.Shift)
	w := xyz{math.Tan(float64(s.Camera.Back.Swing)), math.Tan(float64(s.Camera.Back.Tilt)), 1}
	meet := func(from, along xyz) xyz {
		return from.plus(-(float64(s.Camera.Extension)+w.dot(from))/w.dot(along), along)
	}
	middle = meet(exit, c)
	const rays = 360
	var ring [rays]xyz
	for i := range ring {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / rays)
		u, v := radius*cos, radius*sin
		ring[i] = meet(exit.plus(u, r).plus(v, across), c.plus(-u/zt, r).plus(-v/zs, across))
	}
	// Two directions of the plate, square to each other; which does not matter to a width.
	e1 := w.cross(xyz{0.3, 0.7, -0.2}).unit()
	e2 := w.unit().cross(e1)
	width := func(angle float64) float64 {
		sin, cos := math.Sincos(angle)
		low, high := math.Inf(1), math.Inf(-1)
		for _, x := range ring {
			at := x.dot(e1)*cos + x.dot(e2)*sin
			low, high = min(low, at), max(high, at)
		}
		return high - low
	}
	long, short = 0, math.Inf(1)
	narrow := 0.0
	for i := range 180 {
		angle := math.Pi * float64(i) / 180
		w := width(angle)
		long = max(long, w)
		if w < short {
			short, narrow = w, angle
		}
	}
	// A slender figure is narrowest in one direction only, which a whole degree may miss.
	const degree = math.Pi / 180
	short = min(short, width(optics.LeastOf(narrow-degree, narrow+degree, 1e-9, width)))
	return long, short, middle
}

// TestSpotAgreesWithRays draws the spot by rays. Kind: independent (rays from the rim of the pupil).
func TestSpotAgreesWithRays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := someSetup(t)
		p := somePoint(t, s)
		got, err := s.Spot(p)
		if err != nil {
			t.Fatal(err)
		}
		long, short, _ := byRays(t, s, p)
		if math.Abs(float64(got.Long)-long) > 2e-4*long+1e-9 || math.Abs(float64(got.Short)-short) > 2e-4*long+1e-9 {
			t.Fatalf("spot %.9g by %.9g mm, by rays %.9g by %.9g", got.Long, got.Short, long, short)
		}
	})
}

// TestSpotOfAnAstigmaticLens does the same with two foci, where the spot leaves out the term in ρσ of the ray's place on the
// plate, at most long·k/2. Opposite rays have it alike, so that it enters the width of a round figure in second order only.
// Kind: independent.
func TestSpotOfAnAstigmaticLens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := someSetup(t)
		f := float64(s.Lens.Focal)
		s.Surface.Sagittal.Curvature = rapid.Float64Range(-0.3, 0.3).Draw(t, "sagittal") / f
		p := somePoint(t, s)
		if rapid.Bool().Draw(t, "focused") { // between the two foci the term is largest beside the spot
			focused, err := s.FocusOn(p)
			if err != nil {
				t.Fatal(err)
			}
			s = focused
		}
		got, err := s.Spot(p)
		if err != nil {
			t.Fatal(err)
		}
		long, short, _ := byRays(t, s, p)
		a, b := s.Camera.Axis(), optics.Camera{Lens: s.Camera.Back}.Axis()
		k := math.Tan(math.Acos(min(1, xyz(a).dot(b)))) * s.Lens.PupilMag * float64(s.Lens.Pupil()) / 2 / float64(s.Camera.Extension)
		const drawing = 2e-4 // what the ring of rays leaves uncertain
		if off := (math.Abs(float64(got.Long)-long) - 1e-9) / long; off > 2*k*k+drawing {
			t.Fatalf("spot %.9g mm long, by rays %.9g: off by %.3g of it, allowed %.3g", got.Long, long, off, 2*k*k+drawing)
		}
		if off := (math.Abs(float64(got.Short)-short) - 1e-9) / long; off > k+drawing {
			t.Fatalf("spot %.9g mm short, by rays %.9g: off by %.3g of its length, allowed %.3g", got.Short, short, off, k+drawing)
		}
	})
}

// TestSpotTurnsWithTheCamera turns lens, plate and point together about the principal point: the spot stays as it is, so that a turned
// lens before a square plate is a square lens before a turned one. Kind: identity.
func TestSpotTurnsWithTheCamera(t *testing.T) {
	turned := 0
	rapid.Check(t, func(t *rapid.T) {
		s := someSetup(t)
		s.Surface.Sagittal.Curvature *= 0.5
		p := somePoint(t, s)
		axis := xyz{rapid.Float64Range(-1, 1).Draw(t, "about x"), rapid.Float64Range(-1, 1).Draw(t, "about y"), rapid.Float64Range(-1, 1).Draw(t, "about z")}.plus(1, xyz{0, 0, 1e-3}).unit()
		sin, cos := math.Sincos(rapid.Float64Range(-0.5, 0.5).Draw(t, "angle"))
		turn := func(x xyz) xyz { // Rodrigues's formula
			return xyz{}.plus(cos, x).plus(sin, axis.cross(x)).plus((1-cos)*axis.dot(x), axis)
		}
		standard := func(n xyz) optics.Movement {
			return optics.Movement{Swing: measure.Angle(math.Atan2(n[0], n[2])), Tilt: measure.Angle(math.Atan2(n[1], n[2]))}
		}
		before := xyz(optics.Camera{Lens: s.Camera.Back}.Axis())
		plate := turn(before)
		if plate[2] < 0.2 || turn(s.Camera.Axis())[2] < 0.2 {
			return // beyond what a standard's slopes can tell
		}
		turned++
		other := s
		other.Camera.Lens, other.Camera.Back = standard(turn(s.Camera.Axis())), standard(plate)
		other.Camera.Extension *= measure.Length(before[2] / plate[2]) // the plate's distance from the lens stays
		q := turn(xyz{float64(p.X), float64(p.Y), float64(p.Z)})
		a, b := spot(t, s, p), spot(t, other, optics.Point{X: measure.Length(q[0]), Y: measure.Length(q[1]), Z: measure.Length(q[2])})
		if d := max(math.Abs(float64(a.Long-b.Long)), math.Abs(float64(a.Short-b.Short))); d > 1e-9*float64(s.Lens.Pupil()) {
			t.Fatalf("the spot is %.12g by %.12g mm, and turned with the camera %.12g by %.12g", a.Long, a.Short, b.Long, b.Short)
		}
	})
	if turned < 50 {
		t.Errorf("only %d cameras were turned", turned)
	}
}

// TestFocusOn: what was focused on is a point, and moving the plate either way only makes it larger. Kind: identity.
func TestFocusOn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := someSetup(t)
		p := somePoint(t, s)
		split := rapid.Bool().Draw(t, "astigmatic")
		if split {
			s.Surface.Sagittal.Curvature = rapid.Float64Range(-0.3, 0.3).Draw(t, "sagittal") / float64(s.Lens.Focal)
		}
		focused, err := s.FocusOn(p)
		if err != nil {
			t.Fatal(err)
		}
		best := spot(t, focused, p)
		if !split && float64(best.Long) > 1e-11*float64(s.Lens.Focal) {
			t.Fatalf("focused on, the point is %g mm wide", best.Long)
		}
		for _, step := range []float64{-1e-4, 1e-4} {
			moved := focused
			moved.Camera.Extension *= measure.Length(1 + step)
			if other := spot(t, moved, p); other.Long < best.Long*(1-1e-9) {
				t.Fatalf("focused on, the spot is %.12g mm; moved by %g it is %.12g", best.Long, step, other.Long)
			}
		}
	})
}

// TestLeastConfusion: on a square plate the best of two foci is where the spot is round, at the harmonic mean
// of their distances from the exit pupil. Kind: identity.
func TestLeastConfusion(t *testing.T) {
	s := optics.Setup{
		Lens:    lens(300, 4, 0.9),
		Camera:  optics.Camera{Focal: 300, Extension: 400},
		Surface: optics.FocalSurface{Sagittal: optics.CurveOfRadius(900), Tangential: optics.CurveOfRadius(-400)},
	}
	p := optics.Point{X: 200, Y: -350, Z: 1500}
	focused, err := s.FocusOn(p)
	if err != nil {
		t.Fatal(err)
	}
	got := spot(t, focused, p)
	h := math.Hypot(200, 350) * 300 / 1200
	exit, v := 300*0.1, 300.*1500/1200
	zt, zs := v-exit+h*h/800, v-exit-h*h/1800
	if want := exit + 2/(1/zt+1/zs); math.Abs(float64(focused.Camera.Extension)-want) > 1e-6 {
		t.Errorf("extension %.9g, want %.9g", focused.Camera.Extension, want)
	}
	if math.Abs(float64(got.Long-got.Short)) > 1e-6*float64(got.Long) || got.Long < 0.1 {
		t.Errorf("the spot is %g by %g mm, want it round and wide", got.Long, got.Short)
	}
}

// TestSpotOfASquareCamera is the blur disc of the depth of field: the near and far limits of a square camera are drawn
// as round spots of the blur limit, at the place of plain proportion. Kind: identity.
func TestSpotOfASquareCamera(t *testing.T) {
	for _, l := range []optics.Lens{lens(450, 4.5, 1), lens(450, 4.5, 0.905), lens(300, 3.6, 1.34)} {
		set := atM(t, l, 0.43)
		d := depth(t, set, 0.1)
		s := optics.Setup{Lens: l, Camera: optics.Camera{Focal: l.Focal, Extension: set.Extension}}
		for _, z := range []measure.Length{d.Near, d.Far} {
			got := spot(t, s, optics.Point{Z: z})
			if math.Abs(float64(got.Long)-0.1) > 1e-11 || math.Abs(float64(got.Short)-0.1) > 1e-11 {
				t.Errorf("%+v: a limit at %g is drawn %.12g by %.12g mm", l, z, got.Long, got.Short)
			}
		}
		got := spot(t, s, optics.Point{X: 100, Y: -50, Z: set.Distance})
		if math.Abs(float64(got.At.X)+43) > 1e-9 || math.Abs(float64(got.At.Y)-21.5) > 1e-9 || float64(got.Long) > 1e-10 || math.Abs(float64(got.Behind)) > 1e-9 {
			t.Errorf("%+v: the point in focus is drawn as %+v", l, got)
		}
		if near := spot(t, s, optics.Point{Z: d.Near}); near.Behind <= 0 {
			t.Errorf("%+v: the near limit is in focus %g behind the plate", l, near.Behind)
		}
	}
}

// TestAlongMeetsSpot: the limits along a ray are drawn at the place asked, as long as the blur; what lies
// between is sharper and what lies outside is not. Kind: identity.
func TestAlongMeetsSpot(t *testing.T) {
	counts := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		s := someSetup(t)
		if rapid.Bool().Draw(t, "astigmatic") {
			s.Surface.Sagittal.Curvature = rapid.Float64Range(-0.3, 0.3).Draw(t, "sagittal") / float64(s.Lens.Focal)
		}
		q := somePlace(t, s)
		blur := measure.Length(wide(t, "blur", 0.03, 1))
		r, err := s.Along(q, blur)
		if err != nil {
			counts["refused"]++
			return
		}
		ends := func(name string, p optics.Point, want float64) optics.Spot {
			got := spot(t, s, p)
			if off := math.Hypot(float64(got.At.X-q.X), float64(got.At.Y-q.Y)); off > 1e-9*float64(s.Camera.Extension) {
				t.Fatalf("%s %+v is drawn %g mm from the place asked", name, p, off)
			}
			if want > 0 && math.Abs(float64(got.Long)-want) > 1e-9*want {
				t.Fatalf("%s %+v is drawn %.15g mm long, want %.15g", name, p, got.Long, want)
			}
			return got
		}
		switch {
		case r.Nothing:
			counts["nothing"]++
			if !r.Beyond {
				if got := ends("best", r.Sharp, 0); got.Long < blur {
					t.Fatalf("nothing is said to be sharp, but %+v is drawn %g mm long", r.Sharp, got.Long)
				}
			}
			return
		case r.Endless:
			counts["endless"]++
		default:
			counts["limits"]++
			ends("far", r.Far, float64(blur))
			if !(r.Far.Z > r.Sharp.Z) {
				t.Fatalf("far %+v is not beyond %+v", r.Far, r.Sharp)
			}
		}
		ends("near", r.Near, float64(blur))
		if !r.Beyond {
			best := ends("best", r.Sharp, 0)
			if best.Long > blur || s.Surface.Sagittal == s.Surface.Tangential && float64(best.Long) > 1e-10*float64(s.Lens.Focal) {
				t.Fatalf("the sharp point is drawn %g mm long", best.Long)
			}
			if !(r.Near.Z < r.Sharp.Z) {
				t.Fatalf("near %+v is not nearer than %+v", r.Near, r.Sharp)
			}
		}
	})
	t.Log(counts)
	for _, k := range []string{"limits", "endless", "nothing"} {
		if counts[k] < 1 {
			t.Errorf("%q was met %d times", k, counts[k])
		}
	}
}

func TestNoSpot(t *testing.T) {
	s := optics.Setup{Lens: lens(300, 4, 1), Camera: optics.Camera{Focal: 300, Extension: 400}}
	var inside *optics.InsideFocal
	if _, err := s.Spot(optics.Point{X: 10, Z: 300}); !errors.As(err, &inside) {
		t.Errorf("a point at the focal length: %v", err)
	}
	if _, err := s.FocusOn(optics.Point{Z: 250}); !errors.As(err, &inside) {
		t.Errorf("focusing within the focal length: %v", err)
	}
	if _, err := s.Spot(optics.Point{X: measure.Length(math.NaN()), Z: 1000}); err == nil {
		t.Error("a point that is nowhere has a spot")
	}
	other := s
	other.Camera.Focal = 310
	if _, err := other.Spot(optics.Point{Z: 1000}); err == nil {
		t.Error("a camera set up for another lens is answered")
	}
	edge := s
	edge.Camera.Back.Tilt = 80 * measure.Degree
	edge.Lens.Stop = 0.7
	if _, err := edge.Spot(optics.Point{Y: -900, Z: 1500}); !errors.Is(err, optics.ErrNoSpot) {
		t.Errorf("a plate along the light: %v", err)
	}
	folded := s // a curve fitted near the axis, asked for far out
	folded.Surface = optics.Even(optics.Curve{Curvature: -0.002, Fourth: 3e-7})
	if _, err := folded.Along(optics.PlatePoint{X: 150}, 0.1); !errors.Is(err, optics.ErrTooCurved) {
		t.Errorf("a place where the surface bends back: %v", err)
	}
	if _, err := folded.Spot(optics.Point{X: -700, Z: 1200}); !errors.Is(err, optics.ErrTooCurved) {
		t.Errorf("a point imaged where the surface bends back: %v", err)
	}
	if _, err := folded.FocusOn(optics.Point{X: -700, Z: 1200}); !errors.Is(err, optics.ErrTooCurved) {
		t.Errorf("focusing where the surface bends back: %v", err)
	}
	short := s
	short.Camera.Extension = 0
	var re *measure.RangeError
	if _, err := short.Along(optics.PlatePoint{}, 0.1); !errors.As(err, &re) || re.What != "extension" {
		t.Errorf("no extension: %v", err)
	}
	if _, err := s.Along(optics.PlatePoint{X: measure.Length(math.Inf(1))}, 0.1); !errors.As(err, &re) {
		t.Errorf("a place at infinity: %v", err)
	}
}

func BenchmarkSpot(b *testing.B) {
	s := tilted()
	p := optics.Point{X: 30, Y: 40, Z: 1500}
	for b.Loop() {
		got, err := s.Spot(p)
		if err != nil {
			b.Fatal(err)
		}
		sink = float64(got.Long)
	}
}

func BenchmarkAlong(b *testing.B) {
	s := tilted()
	for b.Loop() {
		got, err := s.Along(optics.PlatePoint{X: 40, Y: -60}, 0.1)
		if err != nil {
			b.Fatal(err)
		}
		sink = float64(got.Near.Z)
	}
}

func BenchmarkAlongAstigmatic(b *testing.B) {
	s := tilted()
	s.Surface.Sagittal.Curvature /= 2
	for b.Loop() {
		got, err := s.Along(optics.PlatePoint{X: 40, Y: -60}, 0.1)
		if err != nil {
			b.Fatal(err)
		}
		sink = float64(got.Near.Z)
	}
}

func BenchmarkFocusOn(b *testing.B) {
	s := tilted()
	p := optics.Point{X: 30, Y: 40, Z: 1500}
	for b.Loop() {
		got, err := s.FocusOn(p)
		if err != nil {
			b.Fatal(err)
		}
		sink = float64(got.Camera.Extension)
	}
}

// tilted is a camera with both standards turned and a curved field.
func tilted() optics.Setup {
	return optics.Setup{
		Lens:    lens(450, 4.5, 0.905),
		Camera:  optics.Camera{Focal: 450, Extension: 640, Lens: optics.Movement{Tilt: 0.05, Swing: -0.03}, Back: optics.Movement{Tilt: -0.1, Swing: 0.04}},
		Plate:   eightByTen,
		Surface: optics.Even(optics.CurveOfRadius(2400)),
	}
}

// The valley of |x - a|³ + |x - a| lies at a, wherever a is between the ends, and at the nearer end when it is not. Kind: identity.
func TestLeastOf(t *testing.T) {
	for _, tt := range []struct{ a, want float64 }{{2.25, 2.25}, {-1, 0}, {0.001, 0.001}, {9, 5}} {
		got := optics.LeastOf(0, 5, 1e-9, func(x float64) float64 { return math.Pow(math.Abs(x-tt.a), 3) + math.Abs(x-tt.a) })
		if math.Abs(got-tt.want) > 1e-8 {
			t.Errorf("least for %g at %.12g, want %g", tt.a, got, tt.want)
		}
	}
}
