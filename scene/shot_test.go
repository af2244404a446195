package scene_test

import (
	"errors"
	"math"
	"testing"

	"platewright/measure"
	"platewright/optics"
	"platewright/pose"
	"platewright/scene"

	"pgregory.net/rapid"
)

// figure returns a figure of landmarks alone, named in the order of names.
func figure(at ...pose.Vec) pose.Figure {
	var f pose.Figure
	for i, v := range at {
		f.Landmarks = append(f.Landmarks, pose.Placed{Name: names[i], At: v})
	}
	return f
}

var names = []pose.Landmark{pose.RightEye, pose.LeftEye, pose.NoseTip, pose.Lips, pose.Chin, pose.RightEar, pose.LeftEar,
	pose.Hairline, pose.Collar, pose.RightShoulder, pose.LeftShoulder}

// shot returns a square camera with a flat field before a figure, focused on its nearer eye.
func shot(t testing.TB, l optics.Lens, m float64, f pose.Figure) scene.Shot {
	t.Helper()
	set, err := l.AtMagnification(m)
	if err != nil {
		t.Fatal(err)
	}
	s := scene.Shot{
		Setup: optics.Setup{Lens: l, Camera: optics.Camera{Focal: l.Focal, Extension: set.Extension},
			Plate: measure.PlateSize{Width: 203.2, Height: 254}},
		Figure: f, Blur: 0.1,
	}
	if s, err = s.Focused(set.Distance); err != nil {
		t.Fatal(err)
	}
	return s
}

func marks(t testing.TB, s scene.Shot) map[pose.Landmark]scene.Mark {
	t.Helper()
	all, err := s.Landmarks()
	if err != nil {
		t.Fatal(err)
	}
	by := map[pose.Landmark]scene.Mark{}
	for _, m := range all {
		by[m.Name] = m
	}
	return by
}

func near(t testing.TB, what string, got, want, tol float64, source string) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.9g, want %.9g ± %g (%s)", what, got, want, tol, source)
	}
}

var portrait = optics.Lens{Focal: 450, Stop: 4.5, PupilMag: 1}

// independent: the figures of a tight head with a 450 mm lens at f/4.5, reckoned apart from the product.
func TestTightHead(t *testing.T) {
	s := shot(t, portrait, 0.43, figure(pose.Vec{X: -32}, pose.Vec{X: 32}, pose.Vec{Z: -25}, pose.Vec{Y: -60, Z: 1493.039 - 1496.51163}, pose.Vec{Y: -110, Z: 1500.000 - 1496.51163}))
	m := marks(t, s)
	near(t, "distance of the eyes", float64(m[pose.RightEye].At.Z), 1496.5116, 5e-5, "f(1+1/m), by hand")
	near(t, "blur of the eye focused on", float64(m[pose.RightEye].Blur), 0, 1e-12, "it is focused on")
	// 0.72 by the proportion c|z|/half-depth, which forgets that the nose is nearer; 0.7308 by similar triangles.
	near(t, "blur of a nose 25 mm ahead", float64(m[pose.NoseTip].Blur), 0.1*25/3.48, 0.015, "proportion of the half-depth, by hand")
	near(t, "blur of a nose 25 mm ahead", float64(m[pose.NoseTip].Blur), 100*0.43*25/(1496.5116-25), 1e-7, "similar triangles, by hand")
	near(t, "blur at the near limit", float64(m[pose.Lips].Blur), 0.1, 0.1*0.0006/3.47, "near limit 1493.039")
	near(t, "blur at the far limit", float64(m[pose.Chin].Blur), 0.1, 0.1*0.0006/3.47, "far limit 1500.000")
	for name, want := range map[pose.Landmark]scene.State{pose.RightEye: scene.Sharp, pose.LeftEye: scene.Sharp, pose.NoseTip: scene.Gone} {
		if m[name].State != want {
			t.Errorf("%s is %s, want %s", name, m[name].State, want)
		}
	}
	near(t, "image of the right eye", float64(m[pose.RightEye].On.X), 32*0.43, 1e-9, "m x, upside down")
}

// identity: with a flat field and no movements the blur is that of similar triangles at the entrance pupil, D m |dz|/(u+dz),
// wherever in the field, for any pupil magnification.
func TestSquareCameraIsSimilarTriangles(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		l := optics.Lens{
			Focal:    measure.Length(rapid.Float64Range(60, 900).Draw(r, "focal")),
			Stop:     measure.FNumber(rapid.Float64Range(2, 64).Draw(r, "stop")),
			PupilMag: rapid.Float64Range(0.5, 2).Draw(r, "pupil magnification"),
		}
		m := rapid.Float64Range(0.02, 1).Draw(r, "magnification")
		set, err := l.AtMagnification(m)
		if err != nil {
			r.Fatal(err)
		}
		u := float64(set.FromPupil())
		reach := min(400, 0.4*(float64(set.Distance)-float64(l.Focal)))
		dz := rapid.Float64Range(-reach, 400).Draw(r, "dz")
		at := pose.Vec{X: rapid.Float64Range(-200, 200).Draw(r, "x"), Y: rapid.Float64Range(-200, 200).Draw(r, "y"), Z: dz}
		mark := marks(t, shot(t, l, m, figure(pose.Vec{}, pose.Vec{}, at)))[pose.NoseTip]
		want := float64(l.Pupil()) * m * math.Abs(dz) / (u + dz)
		if got := float64(mark.Blur); !(math.Abs(got-want) <= 1e-9*(1+want)) {
			r.Errorf("blur %.15g, similar triangles %.15g", got, want)
		}
		if long, short := float64(mark.Blur), float64(mark.Short); math.Abs(long-short) > 1e-9*(1+long) {
			r.Errorf("the spot is %g by %g, not round", long, short)
		}
	})
}

// identity: the limits of depth that the lens tells are where the blur is the limit.
func TestLimitsOfDepthBlurByTheLimit(t *testing.T) {
	for _, p := range []float64{0.8, 0.9046, 1, 1.34} {
		l := optics.Lens{Focal: 360, Stop: 5.6, PupilMag: p}
		set, err := l.AtMagnification(0.2)
		if err != nil {
			t.Fatal(err)
		}
		depth, err := set.Depth(0.1)
		if err != nil {
			t.Fatal(err)
		}
		m := marks(t, shot(t, l, 0.2, figure(pose.Vec{}, pose.Vec{}, pose.Vec{Z: -float64(depth.Front)}, pose.Vec{X: 90, Z: float64(depth.Rear)})))
		near(t, "blur at the near limit", float64(m[pose.NoseTip].Blur), 0.1, 1e-10, "depth of field")
		near(t, "blur at the far limit", float64(m[pose.Lips].Blur), 0.1, 1e-10, "depth of field")
	}
}

// independent: the gap of depth between the eyes of a turned head, and the turn at which both are just within 7 mm.
func TestEyesOfATurnedHead(t *testing.T) {
	turned := func(deg float64) pose.Figure {
		sin, cos := math.Sincos(deg * math.Pi / 180)
		// Turned to the photographer's right, the sitter's right eye comes nearer.
		return figure(pose.Vec{X: -32 * cos, Z: -32 * sin}, pose.Vec{X: 32 * cos, Z: 32 * sin})
	}
	near(t, "gap at 20°", marks(t, shot(t, portrait, 0.43, turned(20)))[pose.LeftEye].At.Z.Millimetres()-1496.51163, 21.89, 0.005, "64 sin 20°")
	if n := scene.NearerEye(turned(20)); n != pose.RightEye {
		t.Errorf("the nearer eye is the %s", n)
	}
	if n := scene.NearerEye(turned(-20)); n != pose.LeftEye {
		t.Errorf("turned to the left the nearer eye is the %s", n)
	}
	// Focused midway, 7 mm deep in all: the eyes leave the depth at 6.279°. With a limit that makes the half-depth
	// 3.5 mm on either side to first order, half a degree less or more decides.
	for _, tt := range []struct {
		deg  float64
		want scene.State
	}{{5.8, scene.Sharp}, {6.8, scene.Soft}} {
		f := turned(tt.deg)
		f.Landmarks = append(f.Landmarks, pose.Placed{Name: pose.NoseTip})
		s := shot(t, portrait, 0.43, f)
		s.FocusOn, s.Blur = pose.NoseTip, measure.Length(0.1*3.5/3.48)
		s, err := s.Focused(1496.51163)
		if err != nil {
			t.Fatal(err)
		}
		for _, eye := range []pose.Landmark{pose.RightEye, pose.LeftEye} {
			if got := marks(t, s)[eye].State; got != tt.want {
				t.Errorf("turned by %g° the %s is %s, want %s (limit 6.279°)", tt.deg, eye, got, tt.want)
			}
		}
	}
	// A back that is swung to follow makes both sharp.
	s := shot(t, portrait, 0.43, turned(20))
	eyes := marks(t, s)
	top := eyes[pose.RightEye].At
	top.Y += 100
	plane, err := optics.Through([3]optics.Point{eyes[pose.RightEye].At, eyes[pose.LeftEye].At, top})
	if err != nil {
		t.Fatal(err)
	}
	swung, err := plane.ByBack(450)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "tilt that an upright plane asks", swung.Back.Tilt.Degrees(), 0, 1e-9, "nothing is up or down")
	s.Setup.Camera.Back = swung.Back
	if s, err = s.Focused(1496.51163); err != nil { // the extension is found anew
		t.Fatal(err)
	}
	for _, eye := range []pose.Landmark{pose.RightEye, pose.LeftEye} {
		near(t, "blur of the "+string(eye)+" with the back swung", float64(marks(t, s)[eye].Blur), 0, 1e-8, "it lies in the plane of sharpness")
	}
}

// identity: with a curved field a landmark imaged at height h focuses nearer the lens by h²/2R.
func TestCurvedField(t *testing.T) {
	flat := shot(t, portrait, 0.43, figure(pose.Vec{}, pose.Vec{}, pose.Vec{X: 120, Y: -160}))
	curved := flat
	curved.Setup.Surface = optics.Even(optics.CurveOfRadius(540))
	h := math.Hypot(120, 160) * 0.43
	near(t, "focus before the plate", float64(marks(t, curved)[pose.NoseTip].Behind), -h*h/(2*540), 1e-9, "h²/2R")
	// The blur is the depth of focus the curve uses up, over the effective f-number.
	near(t, "blur at the edge", float64(marks(t, curved)[pose.NoseTip].Blur), h*h/(2*540)/(4.5*1.43), 0.02, "Δ/N(1+m), to first order")
	near(t, "blur at the edge of a flat field", float64(marks(t, flat)[pose.NoseTip].Blur), 0, 1e-12, "in the plane of focus")
	curved.FocusOn = pose.NoseTip
	again, err := curved.Focused(1496.51163)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "extension focused on the edge", float64(again.Setup.Camera.Extension), 643.5-h*h/(2*540), 1e-5, "f(1+m) - h²/2R")
	near(t, "blur at the edge, focused on", float64(marks(t, again)[pose.NoseTip].Blur), 0, 1e-9, "it is focused on")
}

// property: a landmark's state follows from its blur, whatever the camera; the landmark focused on is always sharp
// in a field without two foci.
func TestStatesFollowTheBlur(t *testing.T) {
	angle := rapid.Float64Range(-0.2, 0.2)
	rapid.Check(t, func(r *rapid.T) {
		vec := rapid.Custom(func(r *rapid.T) pose.Vec {
			c := rapid.Float64Range(-150, 150)
			return pose.Vec{X: c.Draw(r, "x"), Y: c.Draw(r, "y"), Z: c.Draw(r, "z")}
		})
		s := shot(t, portrait, rapid.Float64Range(0.05, 0.5).Draw(r, "magnification"), figure(rapid.SliceOfN(vec, 11, 11).Draw(r, "landmarks")...))
		s.Setup.Camera.Back = optics.Movement{Tilt: measure.Angle(angle.Draw(r, "tilt")), Swing: measure.Angle(angle.Draw(r, "swing"))}
		s.Setup.Surface = optics.Even(optics.Curve{Curvature: rapid.Float64Range(-0.002, 0.002).Draw(r, "curvature")})
		s.Blur = measure.Length(rapid.Float64Range(0.02, 1).Draw(r, "limit"))
		s.FocusOn = rapid.SampledFrom(names).Draw(r, "focus on")
		s, err := s.Focused(2500)
		if err != nil {
			r.Skip(err)
		}
		all, err := s.Landmarks()
		if err != nil {
			r.Skip(err)
		}
		for _, m := range all {
			want := scene.Gone
			if m.Blur <= 3*s.Blur {
				want = scene.Soft
			}
			if m.Blur <= s.Blur {
				want = scene.Sharp
			}
			if m.State != want {
				r.Errorf("%s with a blur of %g is %s, the limit being %g", m.Name, m.Blur, m.State, s.Blur)
			}
			if m.Name == s.FocusOn && (m.Blur > 1e-7 || m.At.Z != 2500) {
				r.Errorf("focused on the %s it blurs by %g at %g", m.Name, m.Blur, m.At.Z)
			}
			if m.Short > m.Blur || m.WithDiffraction < m.Blur {
				r.Errorf("%s: long %g, short %g, with diffraction %g", m.Name, m.Blur, m.Short, m.WithDiffraction)
			}
			if seen := math.Abs(float64(m.On.X)) <= 101.6 && math.Abs(float64(m.On.Y)) <= 127; seen != m.Seen {
				r.Errorf("%s at %v is seen: %v", m.Name, m.On, m.Seen)
			}
		}
	})
}

func TestLandmarkThatIsNotThere(t *testing.T) {
	s := shot(t, portrait, 0.2, figure(pose.Vec{}, pose.Vec{}))
	s.FocusOn = pose.RightHand
	if _, err := s.Focused(2000); err == nil {
		t.Error("focused on a hand that is not there")
	}
	if _, err := s.Through([3]pose.Landmark{pose.RightEye, pose.LeftEye, pose.RightHand}, optics.Limits{}); err == nil {
		t.Error("a shell through a hand that is not there")
	}
	s.FocusOn = ""
	var inside *optics.InsideFocal
	if _, err := s.Focused(400); !errors.As(err, &inside) {
		t.Errorf("an eye within the focal length: %v", err)
	}
}
