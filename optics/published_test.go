package optics_test

import (
	"math"
	"testing"

	"platewright/measure"
	"platewright/optics"
)

func lens(f measure.Length, n measure.FNumber, p float64) optics.Lens {
	return optics.Lens{Focal: f, Stop: n, PupilMag: p}
}

func atM(t testing.TB, l optics.Lens, m float64) optics.Setting {
	t.Helper()
	s, err := l.AtMagnification(m)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func depth(t testing.TB, s optics.Setting, blur measure.Length) optics.Depth {
	t.Helper()
	d, err := s.Depth(blur)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// TestPublished compares with figures printed in books and articles. Kind: published.
func TestPublished(t *testing.T) {
	hinge := func(lensTilt, backTilt measure.Angle, f measure.Length) float64 {
		c := optics.Camera{Focal: f, Lens: optics.Movement{Tilt: lensTilt}, Back: optics.Movement{Tilt: backTilt}, Extension: 200}
		h, ok := c.Hinge()
		if !ok {
			t.Fatal("no hinge")
		}
		return float64(h.Distance / measure.Foot)
	}
	tiltFor := func(f, hinge measure.Length) float64 {
		// A level plane as far below the lens as the hinge line: y = -J.
		pl, err := optics.Through([3]optics.Point{{X: 0, Y: -hinge, Z: 2000}, {X: 500, Y: -hinge, Z: 2500}, {X: -300, Y: -hinge, Z: 4000}})
		if err != nil {
			t.Fatal(err)
		}
		c, err := pl.ByFront(f)
		if err != nil {
			t.Fatal(err)
		}
		return -c.Lens.Tilt.Degrees()
	}
	oneToTwo := atM(t, lens(80, 8, 1), 0.5)
	sameSize := atM(t, lens(450, 4.5, 1), 1)
	for _, tt := range []struct {
		name           string
		got, want, tol float64
		source         string
	}{
		// "about 67 ft"; the article leaves out the last f of f²/(Nc) + f, half a foot here.
		{"hyperfocal distance less f, 150 mm at f/11, 0.1 mm, ft", float64((lens(150, 11, 1).Hyperfocal(0.1) - 150) / measure.Foot), 67, 0.5, "[ViewFocus1996, part I]"},
		{"bellows factor of an 80 mm lens, 10 cm drawn 5 cm", oneToTwo.Bellows().Factor(), 2.25, 0.005, "[FocalCh22, worked example]"},
		{"stops at the same size", float64(sameSize.Bellows()), 2, 1e-12, "[Conj1995]"},
		{"distance at the same size in focal lengths", sameSize.Distance.Over(450), 2, 1e-12, "[Conj1995]"},
		// "near enough 7 degrees": the article's quick rule; the exact 6.73 is within its word.
		{"tilt for a hinge 4.2 ft below a 150 mm lens", tiltFor(150, 4.2*measure.Foot), 7, 0.5, "[ViewFocus1996, part I]"},
		{"hinge of a 150 mm lens tilted 14 degrees, ft, just over 2", hinge(-14*measure.Degree, 0, 150), 2.05, 0.05, "[ViewFocus1996, part I]"},
		// Back 30 and lens 26 degrees forward; 7 ft measured along the tilted back's plane.
		{"hinge of back 30, lens 26 degrees, ft", hinge(-26*measure.Degree, -30*measure.Degree, 150), 7, 0.1, "[ViewFocus1996, part I]"},
		// Common practice, no source: about 7 mm in all for a head on 8x10 with a 450 mm lens near f/4.5.
		{"depth of a head, 450 mm f/4.5, mm", float64(depth(t, atM(t, lens(450, 4.5, 1), 0.43), 0.1).Total), 7, 0.5, "common practice, no source"},
		// Common practice, no source: a 450 mm lens on 8x10 looks like about 70 mm on 24x36 (at 1:5).
		{"equivalent of 450 mm on 8x10 at 1:5, mm", float64(atM(t, lens(450, 4.5, 1), 0.2).Framed(eightByTen).Focal), 70, 0.5, "common practice, no source"},
		{"equivalent stop of f/4.5 on 8x10", float64(lens(450, 4.5, 1).AtInfinity(eightByTen).Stop), 0.60, 0.005, "common practice, no source"},
	} {
		if !(math.Abs(tt.got-tt.want) <= tt.tol) {
			t.Errorf("%s = %.6g, want %.6g ± %g %s", tt.name, tt.got, tt.want, tt.tol, tt.source)
		}
	}
}

var eightByTen = measure.PlateSize{Name: "8x10", Width: 8 * measure.Inch, Height: 10 * measure.Inch}

// TestAgainstHandReckoning compares with figures worked by hand and by a script written apart from
// this package, to the digits kept. Kind: independent.
func TestAgainstHandReckoning(t *testing.T) {
	head := atM(t, lens(450, 4.5, 1), 0.43)
	front := func(p float64) optics.Setting { return atM(t, lens(450, 4.5, p), 0.43) }
	k := lens(450, 4.5, 1).AtInfinity
	for _, tt := range []struct {
		name           string
		got, want, tol float64
	}{
		{"distance at 0.43", float64(head.Distance), 1496.51, 0.005},
		{"extension at 0.43", float64(head.Extension), 643.5, 1e-9},
		{"bellows factor at 0.43", head.Bellows().Factor(), 2.045, 0.0005},
		{"bellows stops at 0.43", float64(head.Bellows()), 1.032, 0.0005},
		{"bellows factor at 1/6", atM(t, lens(450, 4.5, 1), 1./6).Bellows().Factor(), 1.361, 0.0005},
		{"bellows factor with p 0.905", front(0.905).Bellows().Factor(), 2.177, 0.001},
		{"bellows factor with p 1.340", front(1.340).Bellows().Factor(), 1.745, 0.001},
		{"near at 0.43", float64(depth(t, head, 0.1).Near), 1493.04, 0.005},
		{"far at 0.43", float64(depth(t, head, 0.1).Far), 1500.00, 0.005},
		{"depth at 0.43", float64(depth(t, head, 0.1).Total), 6.96, 0.005},
		{"depth for 0.2 mm", float64(depth(t, head, 0.2).Total), 13.92, 0.005},
		{"distance to the pupil, p 0.905", float64(front(0.905).FromPupil()), 1543.75, 0.05},
		{"depth with p 0.905", float64(depth(t, front(0.905), 0.1).Total), 7.18, 0.005},
		{"depth at f/11", float64(depth(t, atM(t, lens(450, 11, 1), 0.43), 0.1).Total), 17.0, 0.05},
		{"depth at 0.2", float64(depth(t, atM(t, lens(450, 4.5, 1), 0.2), 0.1).Total), 27.0, 0.05},
		{"depth at 1/6", float64(depth(t, atM(t, lens(450, 4.5, 1), 1./6), 0.1).Total), 37.8, 0.05},
		{"depth of 300 mm f/3.6 at 1/4", float64(depth(t, atM(t, lens(300, 3.6, 1), 0.25), 0.1).Total), 14.4, 0.05},
		{"first dark ring, 420 nm, f/4.5 at 0.43", float64(head.Airy(0.42 * measure.Micrometre)), 0.0066, 0.00005},
		{"first dark ring, 420 nm, f/64 at 0.43", float64(atM(t, lens(450, 64, 1), 0.43).Airy(0.42 * measure.Micrometre)), 0.0938, 0.00005},
		{"equivalent of 450 mm on 8x10 at infinity", float64(k(eightByTen).Focal), 59.9, 0.05},
		{"equivalent at 0.1", float64(atM(t, lens(450, 4.5, 1), 0.1).Framed(eightByTen).Focal), 65.0, 0.05},
		{"equivalent at 0.43", float64(head.Framed(eightByTen).Focal), 81.0, 0.05},
	} {
		if !(math.Abs(tt.got-tt.want) <= tt.tol) {
			t.Errorf("%s = %.8g, want %.8g ± %g", tt.name, tt.got, tt.want, tt.tol)
		}
	}
}

// TestFirstDarkRing finds the first zero of the Bessel function J1, which the rounded factor stands
// for. Kind: independent (the standard library's J1).
func TestFirstDarkRing(t *testing.T) {
	low, high := 3.0, 4.5 // J1 > 0, J1 < 0
	for high-low > 1e-12 {
		if mid := (low + high) / 2; math.J1(mid) > 0 {
			low = mid
		} else {
			high = mid
		}
	}
	if want := 2 * low / math.Pi; math.Abs(optics.AiryFactor-want) > 0.005 {
		t.Errorf("AiryFactor = %g, want %.6f to two decimals", optics.AiryFactor, want)
	}
}

// TestEyesAndHand is a worked example of both standards: two eyes and a hand before a 360 mm lens,
// reckoned by a script written apart from this package. Kind: independent.
func TestEyesAndHand(t *testing.T) {
	points := [3]optics.Point{{X: -30, Y: 40, Z: 1795}, {X: 32, Y: 42, Z: 1773}, {X: 60, Y: -330, Z: 1600}}
	pl, err := optics.Through(points)
	if err != nil {
		t.Fatal(err)
	}
	c, err := pl.ByFront(360)
	if err != nil {
		t.Fatal(err)
	}
	check := func(name string, got, want, tol float64) {
		t.Helper()
		if !(math.Abs(got-want) <= tol) {
			t.Errorf("%s = %.9g, want %.9g ± %g", name, got, want, tol)
		}
	}
	p := pl.Intercepts()
	check("p x", p[0], 2.08863e-4, 5e-10)
	check("p y", p[1], -2.47551e-4, 5e-10)
	check("p z", p[2], 5.66110e-4, 5e-10)
	check("total", c.Lens.Total().Degrees(), 6.696, 0.0005)
	check("swing", c.Lens.Swing.Degrees(), 4.3294, 0.00005)
	check("tilt on swing", c.Lens.TiltOnSwing().Degrees(), -5.1129, 0.00005)
	check("tilt", c.Lens.Tilt.Degrees(), -5.1274, 0.00005)
	check("swing on tilt", c.Lens.SwingOnTilt().Degrees(), 4.3122, 0.00005)
	check("extension", float64(c.Extension), 456.0546, 0.00005)
	h, _ := c.Hinge()
	check("hinge", float64(h.Distance), 3087.46, 0.005)
	for i, want := range [][2]float64{{7.6221, -10.1628}, {-8.2311, -10.8033}, {-17.1020, 94.0613}} {
		im, err := c.Image(points[i])
		if err != nil {
			t.Fatal(err)
		}
		check("image x", float64(im.X), want[0], 0.00005)
		check("image y", float64(im.Y), want[1], 0.00005)
		check("image z", float64(im.Z), 456.0546, 0.00005)
	}
	long, err := pl.ByFront(450)
	if err != nil {
		t.Fatal(err)
	}
	check("450 mm: total", long.Lens.Total().Degrees(), 8.381, 0.0005)
	check("450 mm: extension", float64(long.Extension), 612.602, 0.0005)
	check("450 mm: swing", long.Lens.Swing.Degrees(), 5.427, 0.0005)
	check("450 mm: tilt on swing", long.Lens.TiltOnSwing().Degrees(), -6.396, 0.0006)

	ground, err := optics.Through([3]optics.Point{{X: 0, Y: -1500, Z: 2000}, {X: 900, Y: -1500, Z: 3000}, {X: -500, Y: -1500, Z: 9000}})
	if err != nil {
		t.Fatal(err)
	}
	g, err := ground.ByFront(150)
	if err != nil {
		t.Fatal(err)
	}
	check("ground: tilt", -g.Lens.Tilt.Degrees(), 5.739, 0.0005)
	check("ground: extension", float64(g.Extension), 150.756, 0.0005)
	check("ground: refocus", float64(g.Refocus()), 0.756, 0.0005)
}
