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

var (
	eightByTen = measure.PlateSize{Name: "8x10", Width: 8 * measure.Inch, Height: 10 * measure.Inch}
	wholePlate = measure.PlateSize{Name: "whole plate", Width: 6.5 * measure.Inch, Height: 8.5 * measure.Inch}
)

// published is one figure from outside the project: its tolerance is half its last printed digit, or what the
// source's own words leave open.
type published struct {
	name           string
	got, want, tol float64
	source         string
}

const (
	notes  = "[PlateNotes2026]"
	custom = "common practice, no source; holds only as qualified"
	view96 = "[ViewFocus1996, part I]"
)

// TestPublished holds the package to figures printed in books and articles and to those reckoned by a script written
// apart from it. Count them with: go test ./optics -run 'TestPublished' -v | grep -c '^    --- PASS'
// Kind: published, and independent where the source is PlateNotes2026.
func TestPublished(t *testing.T) {
	for _, cases := range [][]published{
		conjugates(t), depths(t), diffraction(t), equivalents(t), hinges(t), eyesAndHand(t), wedges(t), coverage(t), surfaces(t), rims(t),
	} {
		for _, tt := range cases {
			t.Run(tt.name, func(t *testing.T) {
				if !(math.Abs(tt.got-tt.want) <= tt.tol) {
					t.Errorf("%.9g, want %.9g ± %g %s", tt.got, tt.want, tt.tol, tt.source)
				}
			})
		}
	}
}

func conjugates(t *testing.T) []published {
	oneToTwo, sameSize := atM(t, lens(80, 8, 1), 0.5), atM(t, lens(450, 4.5, 1), 1)
	sixth, quarter, head := atM(t, lens(450, 4.5, 1), 1./6), atM(t, lens(450, 4.5, 1), 0.25), atM(t, lens(450, 4.5, 1), 0.43)
	front := func(p float64) optics.Setting { return atM(t, lens(450, 4.5, p), 0.43) }
	pupil := func(n measure.FNumber) float64 { return float64(lens(450, n, 1).Pupil()) }
	return []published{
		{"bellows factor of an 80 mm lens, 10 cm drawn 5 cm", oneToTwo.Bellows().Factor(), 2.25, 1e-9, "[FocalCh22, worked example]"},
		{"its half second becomes about one", 0.5 * oneToTwo.Bellows().Factor(), 1, 0.15, "[FocalCh22, worked example]"},
		{"stops at the same size", float64(sameSize.Bellows()), 2, 1e-12, "[Conj1995]"},
		{"distance at the same size in focal lengths", sameSize.Distance.Over(450), 2, 1e-12, "[Conj1995]"},
		{"extension at the same size in focal lengths", sameSize.Extension.Over(450), 2, 1e-12, "[Conj1995]"},
		{"distance of a 450 mm lens at 1/6", float64(sixth.Distance), 3150, 1e-9, notes},
		{"extension at 1/6", float64(sixth.Extension), 525, 1e-9, notes},
		{"bellows factor at 1/6", sixth.Bellows().Factor(), 1.361, 5e-4, notes},
		{"bellows stops at 1/6", float64(sixth.Bellows()), 0.445, 5e-4, notes},
		{"distance of a 450 mm lens at 1/4", float64(quarter.Distance), 2250, 1e-9, notes},
		{"extension at 1/4", float64(quarter.Extension), 562.5, 1e-9, notes},
		{"bellows factor at 1/4", quarter.Bellows().Factor(), 1.5625, 1e-9, notes},
		{"bellows stops at 1/4", float64(quarter.Bellows()), 0.644, 5e-4, notes},
		{"distance of a 450 mm lens at 0.43", float64(head.Distance), 1496.51, 5e-3, notes},
		{"extension at 0.43", float64(head.Extension), 643.5, 1e-9, notes},
		{"bellows factor at 0.43", head.Bellows().Factor(), 2.0449, 1e-4, notes},
		{"bellows stops at 0.43", float64(head.Bellows()), 1.0320, 1e-4, notes},
		{"bellows factor at 0.43, pupil magnification .9046", front(0.9046).Bellows().Factor(), 2.1767, 1e-4, notes},
		{"bellows factor at 0.43, stop at the front glass, 1.340", front(1.340).Bellows().Factor(), 1.745, 5e-4, notes},
		{"entrance pupil of 450 mm at f/4.5", pupil(4.5), 100, 5e-3, notes},
		{"entrance pupil at f/5.66", pupil(4 * math.Sqrt2), 79.55, 5e-3, notes},
		{"entrance pupil at f/8", pupil(8), 56.25, 5e-3, notes},
		{"entrance pupil at f/11.3", pupil(8 * math.Sqrt2), 39.77, 5e-3, notes},
		{"entrance pupil at f/16", pupil(16), 28.13, 5.1e-3, notes}, // 28.125 exactly, rounded up
	}
}

func depths(t *testing.T) []published {
	head := atM(t, lens(450, 4.5, 1), 0.43)
	near := depth(t, head, 0.1)
	thick := atM(t, lens(450, 4.5, 0.9046), 0.43)
	small := depth(t, atM(t, lens(210, 5.6, 1), 0.1), 0.1)
	total := func(f measure.Length, n measure.FNumber, m float64) float64 {
		return float64(depth(t, atM(t, lens(f, n, 1), m), 0.1).Total)
	}
	return []published{
		{"near limit of a head, 450 mm f/4.5 at 0.43", float64(near.Near), 1493.039, 1e-3, notes},
		{"far limit", float64(near.Far), 1500, 1e-3, notes},
		{"its depth for 0.1 mm", float64(near.Total), 6.9606, 1e-3, notes},
		{"its depth for 0.2 mm", float64(depth(t, head, 0.2).Total), 13.92, 5e-3, notes},
		{"its depth as the trade says, about 7 mm", float64(near.Total), 7, 0.5, custom + ": at a blur of 0.10 mm and a magnification of 0.43"},
		{"distance to the pupil, pupil magnification .9046", float64(thick.FromPupil()), 1543.969, 1e-3, notes},
		{"depth of a head, pupil magnification .9046", float64(depth(t, thick, 0.1).Total), 7.1813, 1e-3, notes},
		{"depth of a head at f/11", total(450, 11, 0.43), 17.0, 0.05, notes},
		{"depth of 450 mm f/4.5 at 0.2", total(450, 4.5, 0.2), 27.0, 0.05, notes},
		{"depth of 450 mm f/4.5 at 1/6", total(450, 4.5, 1./6), 37.8, 0.05, notes},
		{"depth of 300 mm f/3.6 at 1/4", total(300, 3.6, 0.25), 14.4003, 1e-3, notes},
		{"depth of 210 mm f/5.6 at 0.1", float64(small.Total), 123.288, 1e-2, notes},
		{"its near limit", float64(small.Near), 2250, 1e-2, notes},
		{"its far limit", float64(small.Far), 2373.288, 1e-2, notes},
		// "about 67 ft"; the article leaves out the last f of f²/(Nc) + f, half a foot here.
		{"hyperfocal distance less f, 150 mm f/11, in feet, about", float64((lens(150, 11, 1).Hyperfocal(0.1) - 150) / measure.Foot), 67, 0.5, view96},
		{"hyperfocal distance less f, 150 mm f/11, in feet", float64((lens(150, 11, 1).Hyperfocal(0.1) - 150) / measure.Foot), 67.1, 0.05, notes},
		{"play of the plate either way, 450 mm f/4.5 at 0.43", float64(head.FocusDepth(0.1)) / 2, 0.6435, 1e-4, notes},
	}
}

func diffraction(t *testing.T) []published {
	airy := func(n measure.FNumber) float64 {
		return float64(atM(t, lens(450, n, 1), 0.43).Airy(0.42 * measure.Micrometre))
	}
	stop, blur, err := optics.BestStop(5, 0.42*measure.Micrometre)
	if err != nil {
		t.Fatal(err)
	}
	return []published{
		{"first dark ring, 420 nm, f/4.5 at 0.43", airy(4.5), 0.0066, 5e-5, notes},
		{"first dark ring, f/11", airy(11), 0.0161, 5e-5, notes},
		{"first dark ring, f/32", airy(32), 0.046895, 1e-6, notes},
		{"first dark ring, f/64", airy(64), 0.0938, 5e-5, notes},
		{"best effective stop for foci 5 mm apart", float64(stop), 49.39, 0.01, notes},
		{"blur at that stop", float64(blur), 0.0716, 5e-5, notes},
	}
}

func equivalents(t *testing.T) []published {
	infinity := lens(450, 4.5, 1).AtInfinity(eightByTen)
	framed := func(m float64) float64 { return float64(atM(t, lens(450, 4.5, 1), m).Framed(eightByTen).Focal) }
	far := atM(t, lens(450, 4.5, 1), optics.LeastMagnification)
	return []published{
		{"450 mm on 8x10 at infinity, as on 24x36", float64(infinity.Focal), 59.856, 1e-3, notes},
		{"f/4.5 on 8x10, as on 24x36", float64(infinity.Stop), 0.5986, 5e-5, notes},
		{"450 mm on 8x10 framed at 0.1", framed(0.1), 65.0, 0.05, notes},
		{"450 mm on 8x10 framed at 0.20", framed(0.2), 69.97, 0.01, notes},
		{"450 mm on 8x10 framed at 0.25", framed(0.25), 72.4, 0.05, notes},
		{"450 mm on 8x10 framed at 0.43", framed(0.43), 81.0, 0.05, notes},
		{"450 mm on 8x10 as the trade says, about 70 mm", framed(0.2), 70, 0.5, custom + ": for the same sitter framed at 0.20; at infinity it is 59.86"},
		{"diagonal view of 450 mm on 8x10", far.View(eightByTen.Diagonal()).Degrees(), 39.742, 1e-3, notes},
	}
}

// levelBelow returns the movements of the front for a level plane below the lens.
func levelBelow(t *testing.T, f, below measure.Length) optics.Camera {
	t.Helper()
	pl, err := optics.Through([3]optics.Point{{X: 0, Y: -below, Z: 2000}, {X: 500, Y: -below, Z: 2500}, {X: -300, Y: -below, Z: 4000}})
	if err != nil {
		t.Fatal(err)
	}
	c, err := pl.ByFront(f)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func hinges(t *testing.T) []published {
	hinge := func(lensTilt, backTilt measure.Angle) float64 {
		c := optics.Camera{Focal: 150, Lens: optics.Movement{Tilt: lensTilt}, Back: optics.Movement{Tilt: backTilt}, Extension: 200}
		h, ok := c.Hinge()
		if !ok {
			t.Fatal("no hinge")
		}
		return float64(h.Distance / measure.Foot)
	}
	tilt := func(f, below measure.Length) float64 { return -levelBelow(t, f, below).Lens.Tilt.Degrees() }
	ground := levelBelow(t, 150, 1500)
	back, front, err := optics.TurnFromGlass(10, 150, 0.2)
	if err != nil {
		t.Fatal(err)
	}
	const deg = measure.Degree
	return []published{
		// "near enough 7 degrees": the article's quick rule; the exact 6.73 is within its word.
		{"tilt for a hinge 4.2 ft below a 150 mm lens, near enough", tilt(150, 4.2*measure.Foot), 7, 0.3, view96},
		{"tilt for a hinge 4.2 ft below a 150 mm lens", tilt(150, 4.2*measure.Foot), 6.729, 1e-3, notes},
		{"hinge of a 150 mm lens tilted 14 degrees, ft, just over 2", hinge(-14*deg, 0), 2.05, 0.05, view96},
		{"hinge of a 150 mm lens tilted 14 degrees, ft", hinge(-14*deg, 0), 2.034, 5e-4, notes},
		// Back 30 and lens 26 degrees forward; 7 ft measured along the tilted back's plane.
		{"hinge of back 30, lens 26 degrees, ft, as printed", hinge(-26*deg, -30*deg), 7, 0.1, view96},
		{"hinge of back 30, lens 26 degrees, ft", hinge(-26*deg, -30*deg), 7.055, 5e-4, notes},
		{"tilt for a hinge 3.6 ft below a 90 mm lens", tilt(90, 3.6*measure.Foot), 4.70, 0.01, notes},
		{"tilt for the ground 1.5 m below a 150 mm lens", -ground.Lens.Tilt.Degrees(), 5.7392, 1e-4, notes},
		{"its extension", float64(ground.Extension), 150.7557, 1e-4, notes},
		{"its refocusing", float64(ground.Refocus()), 0.756, 5e-4, notes},
		{"back tilt for foci 10 mm apart over 150 mm", back.Degrees(), 3.8141, 1e-3, notes},
		{"front tilt for the same at 0.2", front.Degrees(), 3.1847, 1e-3, notes},
	}
}

// sittersEyesAndHand are the right eye, the left eye and a hand.
var sittersEyesAndHand = [3]optics.Point{{X: -30, Y: 40, Z: 1795}, {X: 32, Y: 42, Z: 1773}, {X: 60, Y: -330, Z: 1600}}

func eyesAndHandBy(t *testing.T, f measure.Length) (optics.Plane, optics.Camera) {
	t.Helper()
	pl, err := optics.Through(sittersEyesAndHand)
	if err != nil {
		t.Fatal(err)
	}
	c, err := pl.ByFront(f)
	if err != nil {
		t.Fatal(err)
	}
	return pl, c
}

func eyesAndHand(t *testing.T) []published {
	pl, c := eyesAndHandBy(t, 360)
	_, long := eyesAndHandBy(t, 450)
	p := pl.Intercepts()
	h, _ := c.Hinge()
	cases := []published{
		{"eyes and hand: p x", p[0], 2.08863e-4, 5e-10, notes},
		{"eyes and hand: p y", p[1], -2.47551e-4, 5e-10, notes},
		{"eyes and hand: p z", p[2], 5.66110e-4, 5e-10, notes},
		{"360 mm: whole turn of the lens", c.Lens.Total().Degrees(), 6.696, 5e-4, notes},
		{"360 mm: swing", c.Lens.Swing.Degrees(), 4.3294, 5e-5, notes},
		{"360 mm: tilt on the swing", c.Lens.TiltOnSwing().Degrees(), -5.1129, 5e-5, notes},
		{"360 mm: tilt", c.Lens.Tilt.Degrees(), -5.1274, 5e-5, notes},
		{"360 mm: swing on the tilt", c.Lens.SwingOnTilt().Degrees(), 4.3122, 5e-5, notes},
		{"360 mm: extension", float64(c.Extension), 456.0546, 5e-5, notes},
		{"360 mm: hinge", float64(h.Distance), 3087.46, 5e-3, notes},
		{"450 mm: whole turn of the lens", long.Lens.Total().Degrees(), 8.381, 5e-4, notes},
		{"450 mm: extension", float64(long.Extension), 612.602, 5e-4, notes},
		{"450 mm: swing", long.Lens.Swing.Degrees(), 5.427, 5e-4, notes},
		{"450 mm: tilt on the swing", long.Lens.TiltOnSwing().Degrees(), -6.396, 6e-4, notes},
	}
	names := [3]string{"right eye", "left eye", "hand"}
	square := optics.Setup{Lens: lens(360, 4.5, 1), Camera: optics.Camera{Focal: 360, Extension: 450}}
	turned := optics.Setup{Lens: lens(360, 4.5, 1), Camera: c}
	for i, want := range [][3]float64{{7.6221, -10.1628, 450.314}, {-8.2311, -10.8033, 451.720}, {-17.1020, 94.0613, 464.516}} {
		im, err := c.Image(sittersEyesAndHand[i])
		if err != nil {
			t.Fatal(err)
		}
		on := spot(t, turned, sittersEyesAndHand[i])
		alone, err := square.FocusOn(sittersEyesAndHand[i])
		if err != nil {
			t.Fatal(err)
		}
		cases = append(cases,
			published{"360 mm: " + names[i] + " drawn at x", float64(im.X), want[0], 5e-5, notes},
			published{"360 mm: " + names[i] + " drawn at y", float64(im.Y), want[1], 5e-5, notes},
			published{"360 mm: " + names[i] + " drawn at z", float64(im.Z), 456.0546, 5e-5, notes},
			published{"360 mm: " + names[i] + " on the plate at x", float64(on.At.X), want[0], 5e-5, notes},
			published{"360 mm: " + names[i] + " on the plate at y", float64(on.At.Y), want[1], 5e-5, notes},
			published{"360 mm: extension for the " + names[i] + " alone, square", float64(alone.Camera.Extension), want[2], 5e-4, notes},
		)
	}
	return cases
}

func wedges(t *testing.T) []published {
	_, c := eyesAndHandBy(t, 360)
	w, err := optics.Setup{Lens: lens(360, 4.5, 1), Camera: c}.Wedge(0.1)
	if err != nil {
		t.Fatal(err)
	}
	near, sharp, far, _, err := w.Depth(0, 0)
	if err != nil {
		t.Fatal(err)
	}
	// Offset, square to the hinge line and parallel to the plate, of a limit from the sharp plane at a distance z: the change of
	// p_z by z over the length of (p_x, p_y).
	hyperfocal := float64(lens(360, 4.5, 1).Pupil()) * float64(c.Extension) / 0.1
	h, _ := c.Hinge()
	offset := (w.Far[2] - w.Sharp[2]) * hyperfocal / math.Hypot(w.Sharp[0], w.Sharp[1])
	return []published{
		{"wedge of eyes and hand: sharp on the axis", float64(sharp), 1766.44, 5e-3, notes},
		{"its near limit on the axis", float64(near), 1757.94, 0.02, notes},
		{"its far limit on the axis", float64(far), 1775.05, 0.02, notes},
		{"its offset at the hyperfocal distance over that of the hinge", math.Abs(offset) / float64(h.Distance), 1, 1e-9, view96},
	}
}

func coverage(t *testing.T) []published {
	_, c := eyesAndHandBy(t, 360)
	cover := func(s optics.Setup, half float64) optics.Cover {
		got, err := s.Covers(optics.Coverage{Half: measure.Angle(half) * measure.Degree})
		if err != nil {
			t.Fatal(err)
		}
		return got
	}
	setup := func(plate measure.PlateSize, f, e, shift, rise measure.Length) optics.Setup {
		return optics.Setup{Lens: lens(f, 4.5, 1), Plate: plate, Camera: optics.Camera{Focal: f, Extension: e}, Centre: optics.PlatePoint{X: shift, Y: rise}}
	}
	turned := cover(optics.Setup{Lens: lens(360, 4.5, 1), Plate: wholePlate, Camera: c}, 20)
	return []published{
		{"circle needed by 8x10 upright with 40 mm of rise", float64(cover(setup(eightByTen, 450, 500, 0, 40), 20).Needed), 390.96, 0.01, notes},
		{"circle needed by a whole plate, rise 30, shift 20", float64(cover(setup(wholePlate, 450, 500, 20, 30), 20).Needed), 343.78, 0.01, notes},
		{"eyes and hand: ray to the lower left corner", turned.Corners[2].Degrees(), 19.15, 5e-3, notes},
		{"eyes and hand: ray to the upper left corner", turned.Corners[0].Degrees(), 9.91, 5e-3, notes},
		{"eyes and hand: ray to the lower right corner", turned.Corners[3].Degrees(), 23.28, 5e-3, notes},
		{"eyes and hand: ray to the upper right corner", turned.Corners[1].Degrees(), 16.47, 5e-3, notes},
		{"eyes and hand: foot of the axis at x", float64(turned.Axis.X), -34.5, 0.05, notes},
		{"eyes and hand: foot of the axis at y", float64(turned.Axis.Y), 40.9, 0.05, notes},
		{"circle of 18 degrees, 450 mm at infinity", float64(cover(setup(eightByTen, 450, 450, 0, 0), 9).Circle), 143, 0.5, notes},
		{"circle of 30 degrees, 450 mm at infinity", float64(cover(setup(eightByTen, 450, 450, 0, 0), 15).Circle), 241, 0.5, notes},
		{"circle of 30 degrees, 450 mm at 0.43", float64(cover(setup(eightByTen, 450, 643.5, 0, 0), 15).Circle), 345, 0.5, notes},
	}
}

func surfaces(t *testing.T) []published {
	head := atM(t, lens(450, 4.5, 1), 0.43)
	sitter := func(shift measure.Length) float64 {
		got, err := head.SitterShift(shift)
		if err != nil {
			t.Fatal(err)
		}
		return float64(got)
	}
	return []published{
		{"edge of a Petzval surface of 1.197 f, 450 mm, at 80 mm", float64(optics.CurveOfRadius(1.197 * 450).Nearer(80)), 5.9, 0.05, notes},
		{"edge of a surface of 2467 mm at 81 mm", float64(optics.CurveOfRadius(2467).Nearer(81)), 1.33, 5e-3, notes},
		{"image shift of 1.485 mm at infinity, at 0.43", float64(head.ImageShift(1.485)), 3.04, 5e-3, notes},
		{"place sharp behind the sitter for 1.485 mm", sitter(1.485), 16.550, 0.01, notes},
		{"the same to first order", float64(head.FirstSitterShift(1.485)), 16.42, 5e-3, notes},
		{"place sharp behind the sitter for 0.397 mm", sitter(0.397), 4.40, 5e-3, notes},
	}
}

func rims(t *testing.T) []published {
	// A pupil of radius 10 seen from far off through a front rim alone, at the angle at which their middles part.
	overlap := func(a, b, d float64) float64 {
		got, err := optics.Rims{Front: measure.Length(20 * b / a), Rear: 1000, Barrel: 100, ToEntrance: 50, ToExit: 0.001}.
			Open(atM(t, lens(100, 5, 1), optics.LeastMagnification), measure.Angle(math.Atan(10*d/a/50)))
		if err != nil {
			t.Fatal(err)
		}
		return got
	}
	return []published{
		{"overlap of two discs of radius 1, 1 apart", overlap(1, 1, 1), 0.391002, 1e-6, notes},
		{"overlap of discs of 1 and 0.8, 0.5 apart", overlap(1, 0.8, 0.5), 0.513155, 1e-6, notes},
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
