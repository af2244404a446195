package scene_test

import (
	"math"
	"testing"

	"platewright/measure"
	"platewright/optics"
	"platewright/pose"
)

// ball returns a ball of that radius with its nearest point at z = 0, all of it face.
func ball(radius float64, rings int) pose.Figure {
	f := figure(pose.Vec{}, pose.Vec{})
	for i := range rings {
		theta := (float64(i) + 0.5) * math.Pi / float64(rings)
		n := max(1, int(math.Round(2*float64(rings)*math.Sin(theta))))
		for k := range n {
			phi := (float64(k) + 0.5*float64(i%2)) * 2 * math.Pi / float64(n)
			v := pose.Vec{X: math.Sin(theta) * math.Cos(phi), Y: math.Cos(theta), Z: math.Sin(theta) * math.Sin(phi)}
			f.Patches = append(f.Patches, pose.Patch{Normal: v, Face: true,
				At:   pose.Vec{X: radius * v.X, Y: radius * v.Y, Z: radius + radius*v.Z},
				Area: 4 * math.Pi * radius * radius * math.Sin(theta) * math.Sin(math.Pi/float64(2*rings)) / float64(n)})
		}
	}
	return f
}

// wall returns a wall that leans: its middle at the origin, its depth rising by slope times x. Square to the camera it
// is 240 mm wide and high.
func wall(slope float64) pose.Figure {
	f := figure(pose.Vec{}, pose.Vec{})
	long := math.Hypot(1, slope)
	for i := range 60 {
		for j := range 60 {
			x, y := (float64(i)-29.5)*4, (float64(j)-29.5)*4
			f.Patches = append(f.Patches, pose.Patch{At: pose.Vec{X: x, Y: y, Z: slope * x},
				Normal: pose.Vec{X: slope / long, Z: -1 / long}, Area: 16 * long, Face: true})
		}
	}
	return f
}

// independent: on a ball before a square camera the lines of equal blur are circles about the axis, of the radius at
// which the ball has fallen back to the depth of that blur.
func TestContoursOfABall(t *testing.T) {
	const radius, m, u = 100.0, 0.43, 1496.511628
	s := shot(t, portrait, m, ball(radius, 120))
	levels := []measure.Length{0.1, 0.3, 0.6}
	c, err := s.Face(levels, 128)
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Equal) != len(levels) {
		t.Fatalf("%d lines of equal blur, want one a level", len(c.Equal))
	}
	for _, line := range c.Equal {
		// D m dz/(u+dz) = c at dz = c u/(D m - c); on the ball r² = 2R dz - dz²; the image is smaller by u/(u+dz).
		l := float64(line.Level)
		dz := l * u / (100*m - l)
		want := math.Sqrt(2*radius*dz-dz*dz) * m * u / (u + dz)
		if !line.Closed || line.Nearer {
			t.Errorf("the line of %g mm is closed: %v, before what is sharp: %v", l, line.Closed, line.Nearer)
		}
		for _, p := range line.Points {
			near(t, "radius of the line of equal blur", math.Hypot(float64(p.X), float64(p.Y)), want, 0.5, "circle on a ball, by hand")
		}
	}
}

// independent: on a leaning wall the lines of equal blur are straight and upright, before and behind the sharp line, and
// the sharp share is the depth of field over the wall's.
func TestContoursOfALeaningWall(t *testing.T) {
	const m, u, slope = 0.43, 1496.511628, 0.5
	s := shot(t, portrait, m, wall(slope))
	c, err := s.Face([]measure.Length{0.1, 0.5}, 128)
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Equal) != 4 {
		t.Fatalf("%d lines of equal blur, want four", len(c.Equal))
	}
	for _, line := range c.Equal {
		l := float64(line.Level)
		dz := l * u / (100*m - l)
		if line.Nearer {
			dz = -l * u / (100*m + l)
		}
		want := -dz / slope * m * u / (u + dz) // the image is turned round
		lowest, highest := math.Inf(1), math.Inf(-1)
		for _, p := range line.Points {
			if math.Abs(float64(p.Y)) < 118*m { // beyond lies only the rim that is drawn on to meet the outline
				near(t, "place of the line of equal blur", float64(p.X), want, 0.05, "by hand")
			}
			lowest, highest = min(lowest, float64(p.Y)), max(highest, float64(p.Y))
		}
		if highest-lowest < 0.95*240*m {
			t.Errorf("the line of %g mm runs from %g to %g, the wall being %g mm high", l, lowest, highest, 240*m)
		}
	}
	share, err := s.Share()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "sharp share of the wall", share, 6.9606/slope/240, 4.0/240, "depth of field over the wall's depth, to a row of patches")
}

// identity: with two foci there is no sharp line between the sides, and none is drawn.
func TestContoursWithTwoFoci(t *testing.T) {
	s := shot(t, portrait, 0.43, wall(0.5))
	s.Setup.Surface = optics.FocalSurface{Sagittal: optics.CurveOfRadius(100), Tangential: optics.CurveOfRadius(-100)}
	s.Eyes.Y = 150 // far off the axis, where no spot is round
	c, err := s.Face([]measure.Length{0.1}, 96)
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range c.Equal {
		for _, p := range line.Points {
			if h := math.Hypot(float64(p.X), float64(p.Y)); h > 40 {
				t.Fatalf("sharp at %v, %.0f mm off the axis", p, h)
			}
		}
	}
}

func TestFaceTurnedAway(t *testing.T) {
	f := wall(0.5)
	for i := range f.Patches {
		f.Patches[i].Normal.Z *= -1
		f.Patches[i].Normal.X *= -1
	}
	s := shot(t, portrait, 0.43, f)
	if share, err := s.Share(); err == nil {
		t.Errorf("the back of a head has a sharp share of %g", share)
	}
	if c, err := s.Face([]measure.Length{0.1}, 96); err != nil || len(c.Equal)+len(c.Outline) != 0 {
		t.Errorf("nothing to draw gives %d lines and %v", len(c.Equal)+len(c.Outline), err)
	}
}

func TestFaceRefuses(t *testing.T) {
	s := shot(t, portrait, 0.43, wall(0))
	if _, err := s.Face([]measure.Length{0.1}, 5); err == nil {
		t.Error("5 cells are drawn")
	}
	if _, err := s.Face([]measure.Length{0.1}, 100000); err == nil {
		t.Error("100000 cells are drawn")
	}
	if _, err := s.Face([]measure.Length{0}, 96); err == nil {
		t.Error("a blur of nothing is drawn")
	}
}

// identity: the drawing of the sitter falls on the plate where its points do, upside down.
func TestOutlineOnThePlate(t *testing.T) {
	f := ball(100, 40)
	f.Front = pose.Outline{{Part: "head", Closed: true, Points: []pose.Vec{{X: 60, Z: 100}, {Y: 80, Z: 90}, {X: -60, Z: 100}}}, {Part: "nose", Points: []pose.Vec{{Y: 10}, {Y: -10}}}, {Part: "bust", Points: []pose.Vec{{X: 10}, {Y: -10}}}}
	s := shot(t, portrait, 0.43, f)
	c, err := s.Face(nil, 96)
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Outline) != 2 || c.Outline[1].Part != "bust" || c.Outline[0].Part != "head" || !c.Outline[0].Closed || c.Outline[1].Closed || len(c.Equal) != 0 {
		t.Fatalf("the drawing is %+v", c)
	}
	const u = 1496.511628
	top := c.Outline[0].Points[1]
	near(t, "top of the head across", float64(top.X), 0, 1e-9, "on the axis")
	near(t, "top of the head", float64(top.Y), -80*0.43*u/(u+90), 1e-6, "similar triangles at the pupil")
	near(t, "side of the head", float64(c.Outline[0].Points[0].X), -60*0.43*u/(u+100), 1e-6, "similar triangles at the pupil")
}
