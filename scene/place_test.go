package scene_test

import (
	"math"
	"testing"

	"platewright/measure"
	"platewright/optics"
	"platewright/pose"
	"platewright/scene"
)

// The eyes of a portrait lie a third from its top, those of a whole figure so that 112 mm above them are
// within an eighth of the height from the top.
func TestBelowEyes(t *testing.T) {
	for _, up := range []measure.Length{200, 360, 500} {
		if got := scene.BelowEyes(up); got != up/6 {
			t.Errorf("a portrait %g mm high: the camera is proposed %g mm below the eyes, want %g", up, got, up/6)
		}
	}
	if up := measure.Length(2200); up/2-scene.BelowEyes(up) < 112 || up/2-scene.BelowEyes(up)-112 > up/8 {
		t.Errorf("a whole figure %g mm high: the eyes are %g mm from its top", up, up/2-scene.BelowEyes(up))
	}
}

// identity: focused between two landmarks, the focus of the one lies as far before the plate as that of the other behind
// it, on a square back and on one that is turned.
func TestFocusedBetween(t *testing.T) {
	for _, back := range []optics.Movement{{}, {Tilt: -4 * measure.Degree, Swing: 6 * measure.Degree}} {
		at, err := optics.Lens{Focal: 360, Stop: 4, PupilMag: 0.9}.AtMagnification(0.4)
		if err != nil {
			t.Fatal(err)
		}
		s := scene.Shot{Figure: sitter(t, 25*measure.Degree), Eyes: optics.Point{Y: 90}, Blur: 0.1, Between: []pose.Landmark{pose.RightEye, pose.Chin},
			Setup: optics.Setup{Lens: at.Lens, Plate: wanted(t).Plate, Surface: optics.Even(optics.CurveOfRadius(430)), Camera: optics.Camera{Focal: 360, Extension: at.Extension, Back: back}}}
		s, err = s.Focused(at.Distance)
		if err != nil {
			t.Fatal(err)
		}
		m := marks(t, s)
		near(t, "the eye the lens is set from", float64(m[scene.NearerEye(s.Figure)].At.Z), float64(at.Distance), 1e-9, "the distance")
		extension := func(name pose.Landmark) float64 {
			set, err := s.Setup.FocusOn(m[name].At)
			if err != nil {
				t.Fatal(err)
			}
			return float64(set.Camera.Extension)
		}
		near(t, "extension", float64(s.Setup.Camera.Extension), (extension(pose.RightEye)+extension(pose.Chin))/2, 1e-9, "the mean of the two")
		if math.Signbit(float64(m[pose.RightEye].Behind)) == math.Signbit(float64(m[pose.Chin].Behind)) {
			t.Errorf("the foci lie on one side of the plate: %v, %v", m[pose.RightEye].Behind, m[pose.Chin].Behind)
		}
	}
}

// With two foci the landmark focused on may have no sharp point at all, and that is told of it alone; stopped down it is sharp.
func TestFocusApart(t *testing.T) {
	for stop, apart := range map[measure.FNumber]bool{3.6: true, 45: false} {
		at, err := optics.Lens{Focal: 300, Stop: stop, PupilMag: 1}.AtMagnification(0.45)
		if err != nil {
			t.Fatal(err)
		}
		s := scene.Shot{Figure: sitter(t, 0), Eyes: optics.Point{Y: 110}, Blur: 0.1,
			Setup: optics.Setup{Lens: at.Lens, Plate: wanted(t).Plate, Camera: optics.Camera{Focal: 300, Extension: at.Extension},
				Surface: optics.FocalSurface{Sagittal: optics.CurveOfRadius(600), Tangential: optics.CurveOfRadius(150)}}}
		s, err = s.Focused(at.Distance)
		if err != nil {
			t.Fatal(err)
		}
		for name, m := range marks(t, s) {
			if want := apart && name == scene.NearerEye(s.Figure); s.FocusApart(m) != want {
				t.Errorf("at %v the %s, blurred %v, is said to have foci apart: %v", stop, name, m.Blur, !want)
			}
		}
	}
}
