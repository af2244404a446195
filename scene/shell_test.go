package scene_test

import (
	"testing"

	"platewright/measure"
	"platewright/optics"
	"platewright/pose"
	"platewright/scene"
)

func shell(t *testing.T, s scene.Shot, section scene.Section) scene.Band {
	t.Helper()
	b, err := s.Shell(section)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// identity: the shell of a square camera with a flat field lies between two planes, those of the depth of field.
func TestShellOfASquareCamera(t *testing.T) {
	s := shot(t, portrait, 0.43, figure(pose.Vec{}, pose.Vec{}))
	for _, section := range []scene.Section{scene.Side, scene.Above} {
		b := shell(t, s, section)
		if len(b.Near) < 20 || len(b.Near) != len(b.Far) || len(b.Near) != len(b.Sharp) || b.Endless {
			t.Fatalf("%s: %d, %d and %d points, endless %v", section, len(b.Near), len(b.Sharp), len(b.Far), b.Endless)
		}
		for i := range b.Near {
			near(t, "near limit", float64(b.Near[i].Z), 1493.039, 0.001, "depth of field")
			near(t, "sharp", float64(b.Sharp[i].Z), 1496.51163, 1e-4, "distance")
			near(t, "far limit", float64(b.Far[i].Z), 1500.000, 0.001, "depth of field")
		}
		// The upper edge of the plate shows the lower end of the sitter.
		last := b.Sharp[len(b.Sharp)-1]
		if section == scene.Side {
			near(t, "lowest point", float64(last.Y), -127/0.43, 1e-6, "the plate's half over m")
			near(t, "it lies on the axis", float64(last.X), 0, 1e-9, "side elevation")
		} else {
			near(t, "leftmost point", float64(last.X), -101.6/0.43, 1e-6, "the plate's half over m")
			near(t, "it lies on the axis", float64(last.Y), 0, 1e-9, "from above")
		}
	}
}

// independent: the wedge of a turned lens crosses the axis at its own limits, and all three planes pass
// through one hinge line.
func TestShellOfATurnedLens(t *testing.T) {
	plane, err := optics.Through([3]optics.Point{{X: -30, Y: 40, Z: 1795}, {X: 32, Y: 42, Z: 1773}, {X: 60, Y: -330, Z: 1600}})
	if err != nil {
		t.Fatal(err)
	}
	c, err := plane.ByFront(360)
	if err != nil {
		t.Fatal(err)
	}
	s := scene.Shot{Blur: 0.1, Setup: optics.Setup{Lens: optics.Lens{Focal: 360, Stop: 4.5, PupilMag: 1}, Camera: c,
		Plate: measure.PlateSize{Width: 165.1, Height: 215.9}}}
	b := shell(t, s, scene.Side)
	middle := len(b.Sharp) / 2
	near(t, "wedge's sharp plane on the axis", float64(b.Sharp[middle].Z), 1766.44, 0.005, "reckoned apart: 1/p_z of the three-point example")
	// The limits 1757.94 and 1775.05 are those of a pupil parallel to the plate. The turned pupil is seen
	// foreshortened in the direction of its turn, which shortens one axis and leaves the longer one.
	near(t, "wedge's near limit on the axis", float64(b.Near[middle].Z), 1757.94, 0.1, "reckoned apart, for a pupil parallel to the plate")
	near(t, "wedge's far limit on the axis", float64(b.Far[middle].Z), 1775.05, 0.1, "reckoned apart, for a pupil parallel to the plate")
	p := plane.Intercepts()
	for _, q := range b.Sharp {
		near(t, "p·X on the sharp line", p[0]*float64(q.X)+p[1]*float64(q.Y)+p[2]*float64(q.Z), 1, 1e-9, "the plane through the three points")
	}
}

// identity: with a curved field the shell is a bowl: at the image height h its sharp line is the conjugate of
// the flat field's extension and h²/2R.
func TestShellOfACurvedField(t *testing.T) {
	s := shot(t, portrait, 0.43, figure(pose.Vec{}, pose.Vec{}))
	s.Setup.Surface = optics.Even(optics.CurveOfRadius(540))
	b := shell(t, s, scene.Above)
	for _, q := range b.Sharp {
		// The ideal image of the point: z' = 1/(1/f - 1/z), h = x z'/z; curved, it comes to a focus h²/2R nearer: on the plate.
		back := 1 / (1/450.0 - 1/float64(q.Z))
		h := float64(q.X) * back / float64(q.Z)
		near(t, "focus of a point of the bowl", back-h*h/(2*540), 643.5, 1e-8, "h²/2R")
	}
	if edge, middle := b.Sharp[0].Z, b.Sharp[len(b.Sharp)/2].Z; !(edge < middle-20) {
		t.Errorf("the edges, at %g, are no nearer than the middle at %g", edge, middle)
	}
}

func TestShellToInfinity(t *testing.T) {
	l := optics.Lens{Focal: 150, Stop: 32, PupilMag: 1}
	s := shot(t, l, 0.02, figure(pose.Vec{}, pose.Vec{}))
	b := shell(t, s, scene.Side)
	if !b.Endless || len(b.Far) != 0 || len(b.Near) == 0 {
		t.Errorf("at the hyperfocal distance: endless %v, %d far points", b.Endless, len(b.Far))
	}
	s.Blur = 1000
	if _, err := s.Shell(scene.Side); err == nil {
		t.Error("a blur of a metre has a shell")
	}
}

// identity: the movements found for three landmarks make them sharp, with a flat and with a curved field.
func TestThroughThreeLandmarks(t *testing.T) {
	wide := optics.Limits{FrontTilt: 30 * measure.Degree, FrontSwing: 30 * measure.Degree, BackTilt: 30 * measure.Degree, BackSwing: 30 * measure.Degree}
	f := figure(pose.Vec{X: -30, Y: -1, Z: -11}, pose.Vec{X: 30, Y: 1, Z: 11}, pose.Vec{X: -25, Y: -70, Z: -40})
	three := [3]pose.Landmark{pose.RightEye, pose.LeftEye, pose.NoseTip}
	for name, surface := range map[string]optics.FocalSurface{"flat": {}, "curved": optics.Even(optics.CurveOfRadius(1500))} {
		for what, limits := range map[string]optics.Limits{
			"back": wide, "front": {FrontTilt: 30 * measure.Degree, FrontSwing: 30 * measure.Degree},
			"shared": {FrontTilt: 30 * measure.Degree, FrontSwing: 30 * measure.Degree, BackTilt: 3 * measure.Degree, BackSwing: 3 * measure.Degree},
		} {
			s := shot(t, portrait, 0.43, f)
			s.Setup.Surface = surface
			s.Eyes.Y = 90
			s, err := s.Through(three, limits)
			if err != nil {
				t.Errorf("%s field, %s: %v", name, what, err)
				continue
			}
			if err := limits.Check(s.Setup); err != nil {
				t.Errorf("%s field, %s: beyond the limits it was given: %v", name, what, err)
			}
			for landmark, m := range marks(t, s) {
				near(t, name+" field, "+what+", blur of the "+string(landmark), float64(m.Blur), 0, 1e-8, "it was chosen")
			}
		}
	}
	s := shot(t, portrait, 0.43, f)
	s.Eyes.Y, s.Setup.Surface = 90, optics.FocalSurface{Sagittal: optics.CurveOfRadius(3000), Tangential: optics.CurveOfRadius(900)}
	both, err := s.Through(three, wide)
	if err != nil {
		t.Errorf("a back follows no field with two foci: %v", err)
	}
	for landmark, m := range marks(t, both) {
		again := both
		if again.Setup, err = both.Setup.FocusOn(m.At); err != nil {
			t.Fatal(err)
		}
		near(t, "two foci, blur of the "+string(landmark), float64(m.Blur), float64(marks(t, again)[landmark].Blur), 1e-3, "the least it can have by focusing")
	}
	s.Eyes.Y, s.Setup.Surface = 90, optics.Even(optics.CurveOfRadius(430))
	if _, err := s.Through(three, wide); err != nil {
		t.Errorf("a back follows no field of a radius of 430 mm: %v", err)
	}
	// Turning the lens carries the curve along, away from the face: no turn of it ends there.
	if _, err := s.Through(three, optics.Limits{FrontTilt: 30 * measure.Degree, FrontSwing: 30 * measure.Degree}); err == nil {
		t.Error("a front follows a field of a radius of 430 mm")
	} else {
		t.Log(err)
	}
	s = shot(t, portrait, 0.43, f)
	if _, err := s.Through([3]pose.Landmark{pose.RightEye, pose.RightEye, pose.LeftEye}, wide); err == nil {
		t.Error("three landmarks in line fix a plane")
	}
	if _, err := s.Through(three, optics.Limits{BackSwing: measure.Degree}); err == nil {
		t.Error("one degree of swing is enough for a head turned by 20°")
	} else {
		t.Log(err)
	}
}
