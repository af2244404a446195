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

func someLimits(t *rapid.T, f float64) optics.Limits {
	most := func(name string) measure.Angle {
		if rapid.IntRange(0, 3).Draw(t, name+" fixed") == 0 {
			return 0
		}
		return measure.Angle(rapid.Float64Range(1, 25).Draw(t, name)) * measure.Degree
	}
	l := optics.Limits{FrontTilt: most("front tilt"), FrontSwing: most("front swing"), BackTilt: most("back tilt"), BackSwing: most("back swing"),
		BaseTilt: rapid.Bool().Draw(t, "base tilt")}
	if rapid.IntRange(0, 2).Draw(t, "fixed back") == 0 {
		l.BackTilt, l.BackSwing = 0, 0
		l.FrontTilt, l.FrontSwing = 20*measure.Degree, 20*measure.Degree
	}
	if rapid.Bool().Draw(t, "bellows") {
		l.Shortest = measure.Length(f * rapid.Float64Range(0.3, 1.2).Draw(t, "shortest"))
		l.Longest = measure.Length(f * rapid.Float64Range(1.2, 2).Draw(t, "longest"))
	}
	return l
}

// sittersPoints draws three points of a sitter or a table before a lens.
func sittersPoints(t *rapid.T, f float64) [3]optics.Point {
	var pts [3]optics.Point
	z := f * rapid.Float64Range(2.5, 8).Draw(t, "far")
	at := func(name string, by float64) measure.Length {
		return measure.Length(z * rapid.Float64Range(-by, by).Draw(t, name))
	}
	for i := range pts {
		pts[i] = optics.Point{X: at("x", 0.3), Y: at("y", 0.3), Z: measure.Length(z) + at("z", 0.25)}
	}
	return pts
}

// TestWithinLimits: what is answered lies within the limits and draws the three points on the plate to 1e-9 mm; the
// back comes first, then the front; and what a search over shares of front and back finds is not
// refused. Kind: identity (tracing the points) and independent (the search).
func TestWithinLimits(t *testing.T) {
	counts := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		f := rapid.Float64Range(100, 600).Draw(t, "focal")
		pts := sittersPoints(t, f)
		pl, err := optics.Through(pts)
		if err != nil {
			return
		}
		l := someLimits(t, f)
		fits := func(c optics.Camera, room float64) bool {
			ft, fs := l.Read(c.Lens)
			bt, bs := l.Read(c.Back)
			for _, q := range [][2]measure.Angle{{ft, l.FrontTilt}, {fs, l.FrontSwing}, {bt, l.BackTilt}, {bs, l.BackSwing}} {
				if math.Abs(float64(q[0])) > float64(q[1])+room {
					return false
				}
			}
			e := float64(c.Extension)
			return e >= float64(l.Shortest)*(1-room) && (l.Longest == 0 || e <= float64(l.Longest)*(1+room))
		}
		back, backErr := pl.ByBack(measure.Length(f))
		front, frontErr := pl.ByFront(measure.Length(f))
		if backErr == nil && frontErr == nil && rapid.IntRange(0, 2).Draw(t, "half each") == 0 {
			// Each standard goes about half as far as it would have to alone.
			half := func(m optics.Movement) (tilt, swing measure.Angle) {
				tilt, swing = l.Read(m)
				share := measure.Angle(rapid.Float64Range(0.4, 0.8).Draw(t, "share"))
				return min(max(tilt, -tilt)*share, measure.Degree*60), min(max(swing, -swing)*share, measure.Degree*60)
			}
			l.FrontTilt, l.FrontSwing = half(front.Lens)
			l.BackTilt, l.BackSwing = half(back.Back)
		}
		got, err := pl.WithinLimits(measure.Length(f), l)
		if err != nil {
			var beyond *optics.BeyondLimits
			if !errors.As(err, &beyond) && !errors.Is(err, optics.ErrBeyondMovements) {
				t.Fatalf("refused with %v", err)
			}
			if errors.As(err, &beyond) {
				counts[beyond.Movement]++
				if !(beyond.Needs != beyond.Has) || beyond.Remedy == "" {
					t.Fatalf("the refusal says nothing: %v", err)
				}
			}
			if l.Shortest > 0 {
				return // the search of the package for a longer extension is not exhaustive, and says so
			}
			if c, found := bySearch(pl, f, func(c optics.Camera) bool { return fits(c, -1e-6) }); found {
				t.Fatalf("refused (%v), but %+v would do", err, c)
			}
			return
		}
		if !fits(got, 1e-8) {
			t.Fatalf("%+v is not within %+v", got, l)
		}
		for i, p := range pts {
			im, err := got.Image(p)
			if err != nil {
				t.Fatal(err)
			}
			if off := math.Abs(float64(got.Off(im))); off > 1e-9 {
				t.Fatalf("point %d falls %g mm off the plate of %+v", i+1, off, got)
			}
		}
		switch {
		case backErr == nil && fits(back, 0):
			counts["back"]++
			if got != back {
				t.Fatalf("the back does it alone, but the answer is %+v", got)
			}
		case frontErr == nil && fits(front, 0):
			counts["front"]++
			if got != front && got != back {
				t.Fatalf("the front does it alone, but the answer is %+v", got)
			}
		default:
			counts["shared"]++
		}
	})
	t.Log(counts)
	counts["refused"] = counts["front tilt"] + counts["front swing"]
	for _, k := range []string{"back", "front", "shared", "refused"} {
		if counts[k] < 1 {
			t.Errorf("%q was met %d times", k, counts[k])
		}
	}
}

// bySearch tries shares of the front's turn, in either direction apart, and returns a set-up that fits.
func bySearch(pl optics.Plane, f float64, fits func(optics.Camera) bool) (optics.Camera, bool) {
	p := pl.Intercepts()
	const steps = 40
	for i := range steps + 1 {
		for j := range steps + 1 {
			ax, ay := f*p[0]*float64(i)/steps, f*p[1]*float64(j)/steps
			az2 := 1 - ax*ax - ay*ay
			if az2 <= 0 {
				continue
			}
			az := math.Sqrt(az2)
			qx, qy, qz := p[0]-ax/f, p[1]-ay/f, p[2]-az/f // q = p - a/f
			if qz >= 0 {
				continue
			}
			c := optics.Camera{Focal: measure.Length(f), Extension: measure.Length(-1 / qz),
				Lens: optics.Movement{Tilt: measure.Angle(math.Atan(ay / az)), Swing: measure.Angle(math.Atan(ax / az))},
				Back: optics.Movement{Tilt: measure.Angle(math.Atan(qy / qz)), Swing: measure.Angle(math.Atan(qx / qz))}}
			if fits(c) {
				return c, true
			}
		}
	}
	return optics.Camera{}, false
}

func TestBeyondLimitsSpeaks(t *testing.T) {
	pl, err := optics.Through(points(-30, 40, 1795, 32, 42, 1773, 60, -330, 1600)) // two eyes and a hand
	if err != nil {
		t.Fatal(err)
	}
	const deg = measure.Degree
	for _, tt := range []struct {
		name     string
		limits   optics.Limits
		movement string
		says     []string
	}{
		{"nothing moves", optics.Limits{}, "front tilt", []string{"degrees of front tilt is needed and the camera has none", "a back that tilts", "a front that tilts 5.1 degrees and swings 4.3 degrees", "turn the sitter"}},
		{"too little", optics.Limits{FrontTilt: 2 * deg, FrontSwing: 9 * deg, BackTilt: 2 * deg}, "front tilt", []string{"the camera has 2.0", "beside all that the back gives"}},
		{"no swing", optics.Limits{FrontTilt: 10 * deg, BackTilt: 10 * deg}, "front swing", []string{"front swing is needed and the camera has none"}},
		{"short bellows", optics.Limits{FrontTilt: 20 * deg, FrontSwing: 20 * deg, BackTilt: 20 * deg, BackSwing: 20 * deg, Longest: 400}, "longest extension",
			[]string{"the bellows are too short: 45", "the camera reaches 400", "a focal length of at most 326 mm would reach it"}},
		{"long bellows", optics.Limits{FrontTilt: 20 * deg, FrontSwing: 20 * deg, BackTilt: 20 * deg, BackSwing: 20 * deg, Shortest: 600}, "shortest extension",
			[]string{"do not close far enough", "longer lens"}},
	} {
		_, err := pl.WithinLimits(360, tt.limits)
		var beyond *optics.BeyondLimits
		if !errors.As(err, &beyond) || beyond.Movement != tt.movement {
			t.Errorf("%s: %v, want a lack of %s", tt.name, err, tt.movement)
			continue
		}
		for _, s := range tt.says {
			if !strings.Contains(err.Error(), s) {
				t.Errorf("%s: %q does not say %q", tt.name, err, s)
			}
		}
	}
	// The remedy of too short bellows holds: that focal length reaches the plane, two millimetres more do not.
	wide := optics.Limits{BackTilt: 30 * deg, BackSwing: 30 * deg, Longest: 400}
	if _, err := pl.WithinLimits(326, wide); err != nil {
		t.Errorf("the focal length that was said to reach it: %v", err)
	}
	if _, err := pl.WithinLimits(328, wide); err == nil {
		t.Error("a longer focal length reaches it as well")
	}
	var re *measure.RangeError
	if _, err := pl.WithinLimits(360, optics.Limits{FrontTilt: -1}); !errors.As(err, &re) {
		t.Errorf("a limit below nothing: %v", err)
	}
	if _, err := pl.WithinLimits(9, wide); !errors.As(err, &re) {
		t.Errorf("a focal length of 9 mm: %v", err)
	}
	if _, err := pl.WithinLimits(360, optics.Limits{Shortest: 300, Longest: 200}); !errors.As(err, &re) {
		t.Errorf("bellows shorter out than in: %v", err)
	}
}

// TestLongEnough: bellows that do not close far enough for the back's own set-up are helped by turning the front.
func TestLongEnough(t *testing.T) {
	pts := points(0, -300, 1500, 300, -300, 1500, 0, -250, 2300)
	pl, err := optics.Through(pts)
	if err != nil {
		t.Fatal(err)
	}
	back, err := pl.ByBack(200)
	if err != nil {
		t.Fatal(err)
	}
	l := optics.Limits{BackTilt: 30 * measure.Degree, FrontTilt: 40 * measure.Degree, Shortest: back.Extension + 1}
	got, err := pl.WithinLimits(200, l)
	if err != nil {
		t.Fatal(err)
	}
	if got.Extension < l.Shortest-1e-6 || got.Lens.Tilt == 0 {
		t.Errorf("extension %g, want at least %g", got.Extension, l.Shortest)
	}
	for _, p := range pts {
		im, err := got.Image(p)
		if err != nil || math.Abs(float64(got.Off(im))) > 1e-9 {
			t.Errorf("off the plate by %g mm, %v", got.Off(im), err)
		}
	}
}

func TestLimitsCheck(t *testing.T) {
	s := optics.Setup{Lens: lens(300, 4, 1), Camera: optics.Camera{Focal: 300, Extension: 400, Back: optics.Movement{Tilt: 0.1}}, Plate: eightByTen}
	l := optics.Limits{BackTilt: 10 * measure.Degree, Rise: 20, Fall: 5, Shift: 10, Shortest: 100, Longest: 500}
	if err := l.Check(s); err != nil {
		t.Errorf("a set-up within its limits: %v", err)
	}
	for _, tt := range []struct {
		movement string
		change   func(*optics.Setup)
	}{
		{"rise", func(s *optics.Setup) { s.Centre.Y = 21 }},
		{"fall", func(s *optics.Setup) { s.Centre.Y = -6 }},
		{"shift", func(s *optics.Setup) { s.Centre.X = -11 }},
		{"back tilt", func(s *optics.Setup) { s.Camera.Back.Tilt = -0.2 }},
		{"front swing", func(s *optics.Setup) { s.Camera.Lens.Swing = 0.01 }},
		{"longest extension", func(s *optics.Setup) { s.Camera.Extension = 501 }},
		{"shortest extension", func(s *optics.Setup) { s.Camera.Extension = 99 }},
	} {
		changed := s
		tt.change(&changed)
		var beyond *optics.BeyondLimits
		if err := l.Check(changed); !errors.As(err, &beyond) || beyond.Movement != tt.movement || beyond.Remedy == "" {
			t.Errorf("%v, want a lack of %s", err, tt.movement)
		}
	}
}

// TestBeyondByAHair: what is needed and what there is are told with as many digits as tell them apart.
// identity: an extension is what the bellows are drawn, and the way from the board to the plane.
func TestBoard(t *testing.T) {
	l := optics.Limits{Shortest: 100, Longest: 500, BackTilt: 1}
	for _, tt := range []struct{ ahead, shortest, longest measure.Length }{{0, 100, 500}, {60, 160, 560}, {-60, 40, 440}, {-150, 0, 350}, {-600, 0, 1e-9}} {
		got := l.Board(tt.ahead)
		if want := (optics.Limits{Shortest: tt.shortest, Longest: tt.longest, BackTilt: 1}); got != want || got.Validate() != nil {
			t.Errorf("%v ahead: %+v, %v", tt.ahead, got, got.Validate())
		}
	}
	// A camera whose bellows nobody told of does everything with every lens.
	if got := (optics.Limits{}).Board(60); got != (optics.Limits{}) {
		t.Errorf("no limits are %+v", got)
	}
}

func TestBeyondByAHair(t *testing.T) {
	e := &optics.BeyondLimits{Movement: "back tilt", Needs: 10.004, Has: 10, Unit: "degrees", Remedy: "share it"}
	if got := e.Error(); !strings.Contains(got, "10.004 degrees") || !strings.Contains(got, "has 10.000") {
		t.Errorf("%q", got)
	}
}

func BenchmarkWithinLimits(b *testing.B) {
	pl, err := optics.Through(sittersEyesAndHand)
	if err != nil {
		b.Fatal(err)
	}
	l := optics.Limits{FrontTilt: 4 * measure.Degree, FrontSwing: 4 * measure.Degree, BackTilt: 5 * measure.Degree, BackSwing: 5 * measure.Degree, Longest: 700}
	for b.Loop() {
		c, err := pl.WithinLimits(360, l)
		if err != nil {
			b.Fatal(err)
		}
		sink = float64(c.Extension)
	}
}
