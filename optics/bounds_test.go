package optics_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"platewright/measure"
	"platewright/optics"

	"pgregory.net/rapid"
)

// TestNeverNotANumber asks everything of cameras from all over the ranges and beyond them: an answer is finite or there is
// an error. Kind: identity.
func TestNeverNotANumber(t *testing.T) {
	odd := rapid.SampledFrom([]float64{0, math.Copysign(0, -1), 1e-300, -1e300, math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64})
	answered := 0
	rapid.Check(t, func(t *rapid.T) {
		one := func(name string, low, high float64) float64 {
			if rapid.IntRange(0, 40).Draw(t, name+" odd") == 0 {
				return odd.Draw(t, name)
			}
			return rapid.Float64Range(low, high).Draw(t, name)
		}
		long := func(name string, low, high float64) measure.Length { return measure.Length(one(name, low, high)) }
		turn := func(name string) measure.Angle { return measure.Angle(one(name, -1.6, 1.6)) }
		l := lens(long("focal", 10, 5000), measure.FNumber(one("stop", 0.5, 256)), one("pupil magnification", 0.1, 10))
		curve := func(name string) optics.Curve {
			return optics.Curve{Curvature: one(name, -1, 1), Fourth: one(name+" fourth", -1e-3, 1e-3)}
		}
		s := optics.Setup{Lens: l, Camera: optics.Camera{Focal: l.Focal, Extension: long("extension", 1, 10000)},
			Plate:  measure.PlateSize{Width: long("width", 1, 600), Height: long("height", 1, 600)},
			Centre: optics.PlatePoint{X: long("centre x", -500, 500), Y: long("centre y", -500, 500)}}
		if rapid.Bool().Draw(t, "turned") {
			s.Camera.Lens = optics.Movement{Tilt: turn("lens tilt"), Swing: turn("lens swing")}
			s.Camera.Back = optics.Movement{Tilt: turn("back tilt"), Swing: turn("back swing")}
		}
		if rapid.Bool().Draw(t, "curved") {
			s.Surface = optics.FocalSurface{Sagittal: curve("sagittal"), Tangential: curve("tangential")}
			s.Shift = long("shift", -100, 100)
		}
		p := optics.Point{X: long("x", -1e4, 1e4), Y: long("y", -1e4, 1e4), Z: long("z", -100, 2e4)}
		q := optics.PlatePoint{X: long("plate x", -300, 300), Y: long("plate y", -300, 300)}
		blur := long("blur", 1e-4, 10)
		hold := func(what string, err error, figures ...measure.Length) {
			if err != nil {
				if err.Error() == "" {
					t.Fatalf("%s: an error that says nothing", what)
				}
				return
			}
			answered++
			for _, v := range figures {
				if math.IsNaN(float64(v)) || math.IsInf(float64(v), 0) {
					t.Fatalf("%s answers %v for %+v", what, figures, s)
				}
			}
		}
		spot, err := s.Spot(p)
		hold("Spot", err, spot.At.X, spot.At.Y, spot.Long, spot.Short, spot.Behind)
		r, err := s.Along(q, blur)
		hold("Along", err, r.Near.X, r.Near.Y, r.Near.Z, r.Sharp.X, r.Sharp.Y, r.Sharp.Z, r.Far.X, r.Far.Y, r.Far.Z)
		f, err := s.FocusOn(p)
		hold("FocusOn", err, f.Camera.Extension)
		placed, err := s.Placed(p, q)
		hold("Placed", err, placed.Centre.X, placed.Centre.Y)
		c, err := s.Covers(optics.Coverage{Half: turn("half")})
		hold("Covers", err, c.Axis.X, c.Axis.Y, c.Circle, c.Needed, c.Left, measure.Length(c.Corners[0]), measure.Length(c.Corners[3]))
		w, err := s.Wedge(blur)
		hold("Wedge", err, measure.Length(w.Near[2]), measure.Length(w.Far[0]))
		if err == nil {
			near, sharp, far, _, err := w.Depth(p.X, p.Y)
			hold("Depth", err, near, sharp, far)
		}
		set, err := l.AtMagnification(one("magnification", 0.001, 3))
		if err != nil {
			return
		}
		rims := optics.Rims{Front: long("front", 1, 300), Rear: long("rear", 1, 300), Barrel: long("barrel", 1, 600)}
		open, err := rims.Open(set, turn("off"))
		hold("Open", err, measure.Length(open))
		along, across, err := rims.Eye(set, turn("off"))
		hold("Eye", err, measure.Length(along), measure.Length(across))
		moved, err := set.SitterShift(long("at infinity", -50, 50))
		hold("SitterShift", err, moved)
		moved, err = set.ExactImageShift(long("at infinity", -50, 50))
		hold("ExactImageShift", err, moved)
		stop, least, err := optics.BestStop(long("spread", 0, 20), long("wavelength", 0, 0.001))
		hold("BestStop", err, measure.Length(stop), least)
	})
	if answered < 100 {
		t.Errorf("only %d questions were answered", answered)
	}
}

// TestBestStop: at the stop named, defocus and diffraction together blur least. Kind: identity.
func TestBestStop(t *testing.T) {
	for _, spread := range []measure.Length{0.1, 5, 80} {
		const wave = 0.42 * measure.Micrometre
		stop, blur, err := optics.BestStop(spread, wave)
		if err != nil {
			t.Fatal(err)
		}
		at := func(n measure.FNumber) measure.Length {
			return optics.Combined(spread/measure.Length(2*n), wave*measure.Length(optics.AiryFactor*float64(n)))
		}
		if got := at(stop); math.Abs(float64(got-blur)) > 1e-12 {
			t.Errorf("spread %g: blur %g at f/%g, want %g", spread, blur, stop, got)
		}
		if at(stop*1.01) <= blur || at(stop/1.01) <= blur {
			t.Errorf("spread %g: another stop than f/%g blurs less", spread, stop)
		}
	}
}

// TestShiftsMeetTheLensEquation sends sitter and plate through a lens of the other focal length. Kind: identity.
func TestShiftsMeetTheLensEquation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		set, err := portraitLens(t).AtMagnification(rapid.Float64Range(0.05, 1).Draw(t, "magnification"))
		if err != nil {
			t.Fatal(err)
		}
		shift := measure.Length(float64(set.Lens.Focal) * rapid.Float64Range(-0.01, 0.01).Draw(t, "shift"))
		f := float64(set.Lens.Focal + shift)
		sitter, err := set.SitterShift(shift)
		if err != nil {
			t.Fatal(err)
		}
		if got := 1/float64(set.Distance+sitter) + 1/float64(set.Extension); math.Abs(got*f-1) > 1e-12 {
			t.Fatalf("the place said to be sharp is off by %g of the lens equation", got*f-1)
		}
		image, err := set.ExactImageShift(shift)
		if err != nil {
			t.Fatal(err)
		}
		if got := 1/float64(set.Distance) + 1/float64(set.Extension+image); math.Abs(got*f-1) > 1e-12 {
			t.Fatalf("the image is off by %g of the lens equation", got*f-1)
		}
		// The first order leaves out the part δm/f of the whole.
		if got, want := float64(set.ImageShift(shift)), float64(image)*(1-float64(shift)*set.Magnification/float64(set.Lens.Focal)); math.Abs(got-want) > 1e-12*math.Abs(want) {
			t.Fatalf("to first order %g, want %g", got, want)
		}
		if got, want := set.FirstSitterShift(shift), set.ImageShift(shift); math.Abs(float64(got)*set.Magnification*set.Magnification-float64(want)) > 1e-12*math.Abs(float64(want)) {
			t.Fatalf("before the camera %g, behind it %g", got, want)
		}
		// The set-up tells the same: with the plate where it is and the focus shifted, that place is a point.
		s := optics.Setup{Lens: set.Lens, Camera: optics.Camera{Focal: set.Lens.Focal, Extension: set.Extension}}
		s.Shift = measure.Length(f*float64(set.Distance)/(float64(set.Distance)-f)) - set.Extension
		if got := spot(t, s, optics.Point{Z: set.Distance}); math.Abs(float64(got.Behind-image)) > 1e-8 {
			t.Fatalf("the focus lies %g behind the plate, want %g", got.Behind, image)
		}
	})
	set := atM(t, lens(300, 4, 1), 0.01)
	if _, err := set.SitterShift(10); err == nil {
		t.Error("a plate before the image of infinity is answered")
	}
	near := atM(t, lens(300, 4, 1), 50)
	if _, err := near.ExactImageShift(20); err == nil {
		t.Error("a sitter within the focal length is answered")
	}
	var re *measure.RangeError
	if _, err := set.SitterShift(200); !errors.As(err, &re) {
		t.Errorf("a shift of two thirds of the focal length: %v", err)
	}
}

func portraitLens(t *rapid.T) optics.Lens {
	return lens(measure.Length(rapid.Float64Range(80, 800).Draw(t, "focal")), 4.5, rapid.Float64Range(0.6, 1.6).Draw(t, "pupil magnification"))
}

func ExampleSetup_Spot() {
	// A 450 mm portrait lens, its field curved, set on the sitter's nearer eye; how wide is the ear drawn?
	lens := optics.Lens{Focal: 450, Stop: 4.5, PupilMag: 0.905}
	camera := optics.Setup{Lens: lens, Camera: optics.Camera{Focal: 450, Extension: 643.5}, Surface: optics.Even(optics.CurveOfRadius(600))}
	focused, err := camera.FocusOn(optics.Point{X: -32, Z: 1500})
	if err != nil {
		fmt.Println(err)
		return
	}
	ear, err := focused.Spot(optics.Point{X: -75, Y: -10, Z: 1600})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("the plate at %.1f mm; the ear falls on [%.1f, %.1f] mm, %.1f mm wide\n", focused.Camera.Extension, ear.At.X, ear.At.Y, ear.Long)
	// Output:
	// the plate at 642.7 mm; the ear falls on [30.2, 4.0] mm, 2.7 mm wide
}
