package study_test

import (
	"bytes"
	"image"
	"image/color"
	"math"
	"strings"
	"testing"

	"platewright/measure"
	"platewright/study"
)

func small(seed uint64) study.Study { return study.Study{Seed: seed, Width: 180, Height: 220} }

func plate(t testing.TB, s study.Study) *image.RGBA {
	t.Helper()
	m, err := s.Plate()
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// linear decodes an sRGB code [IEC61966], from memory.
func linear(code uint8) float64 {
	v := float64(code) / 255
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

// reflects is a pixel's luminance, with the sRGB weights [IEC61966], from memory.
func reflects(m *image.RGBA, x, y int) float64 {
	c := m.RGBAAt(x, y)
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}

// mean reflectance of the middle of the plate, away from the rim.
func mean(m *image.RGBA) float64 {
	sum, n := 0.0, 0
	b := m.Bounds().Inset(m.Bounds().Dx() / 8)
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			sum += reflects(m, x, y)
			n++
		}
	}
	return sum / float64(n)
}

func TestSameSeedSamePlate(t *testing.T) {
	s := small(5)
	s.Faults = study.Faults()
	if !bytes.Equal(plate(t, s).Pix, plate(t, s).Pix) {
		t.Error("the same study differs between two runs")
	}
	for seed := range uint64(3) {
		if bytes.Equal(plate(t, small(seed)).Pix, plate(t, small(seed+1)).Pix) {
			t.Errorf("seeds %d and %d give one plate", seed, seed+1)
		}
	}
}

// identity: the plate's brightness follows the mirrored scene, not the scene as it stood in the room.
func TestPlateIsMirrored(t *testing.T) {
	for seed := range uint64(3) {
		s := small(seed)
		light, err := s.Scene()
		if err != nil {
			t.Fatal(err)
		}
		m := plate(t, s)
		black, white, _ := study.Shown()
		apart := func(x func(int) int) float64 {
			sum := 0.0
			for y := 30; y < s.Height-30; y++ {
				for i := 30; i < s.Width-30; i++ {
					want := study.Tone(float64(light[y*s.Width+x(i)]), 0)
					sum += math.Abs(black + want*(white-black) - reflects(m, i, y))
				}
			}
			return sum
		}
		mirrored, straight := apart(func(i int) int { return s.Width - 1 - i }), apart(func(i int) int { return i })
		if mirrored*2 > straight {
			t.Errorf("seed %d: the plate lies %.0f from the mirrored scene and %.0f from the scene itself", seed, mirrored, straight)
		}
	}
}

func TestMoreLightLighterPlate(t *testing.T) {
	for seed := range uint64(2) {
		last := 0.0
		for _, stops := range []measure.Stops{-4, -1, -1.0 / 3, 0, 1.0 / 3, 1, 4} {
			s := small(seed)
			s.Exposure = stops
			got := mean(plate(t, s))
			if got <= last {
				t.Errorf("seed %d at %+.2f stops: mean reflectance %.4f, no more than %.4f before", seed, stops, got, last)
			}
			last = got
		}
	}
}

// identity: a stop more on the lens is twice the light, and the ends of the curve are the stated ones.
func TestCurve(t *testing.T) {
	black, white, middle := study.Shown()
	for _, light := range []float64{0.001, 0.02, 0.17, 0.6} {
		for _, stops := range []float64{-2, -1, 1, 2} {
			a, b := study.Tone(light, stops), study.Tone(light*math.Exp2(stops), 0)
			if math.Abs(a-b) > 1e-12 {
				t.Errorf("tone of %g at %g stops is %g, of as much light %g", light, stops, a, b)
			}
		}
	}
	if got := study.Tone(middle, 0); math.Abs(got-0.5) > 1e-12 {
		t.Errorf("middle light gives %g, want 0.5", got)
	}
	dark := small(3)
	dark.Exposure = -6
	m := plate(t, dark)
	if got := reflects(m, m.Rect.Dx()/3, 40); math.Abs(got-black) > 0.012 {
		t.Errorf("an unexposed place reflects %.4f, want %.3f and a little veil", got, black)
	}
	most := 0.0
	light := small(3)
	light.Exposure = 6
	m = plate(t, light)
	for y := 40; y < 180; y++ {
		most = max(most, reflects(m, m.Rect.Dx()/2, y))
	}
	if math.Abs(most-white) > 0.02 {
		t.Errorf("the lightest place reflects %.4f, want %.2f", most, white)
	}
}

// The plate's tone is warm: red over green over blue, everywhere.
func TestToneIsWarm(t *testing.T) {
	m := plate(t, small(9))
	for i := 0; i < len(m.Pix); i += 4 {
		if p := m.Pix[i:]; p[0] < p[1] || p[1] < p[2] {
			t.Fatalf("pixel %d is %v", i/4, p[:3])
		}
	}
}

// Red is dark to the plate: lips reflect less than the skin above them.
func TestRedIsDark(t *testing.T) {
	for seed := range uint64(8) {
		if lips, skin := study.FaceAt(seed, 6, -74), study.FaceAt(seed, 6, 45); lips > 0.8*skin {
			t.Errorf("seed %d: lips reflect %.3f, skin %.3f", seed, lips, skin)
		}
	}
}

// identity: similar triangles by hand, and the thin lens's total depth 2 N c (1+m)/m² by a second route.
func TestBlur(t *testing.T) {
	l := study.Lens{Pupil: 55, Distance: 1050}
	for _, tt := range []struct{ nearer, want measure.Length }{{50, 2.75}, {-50, 2.5}, {0, 0}} {
		if got := l.BlurAtSitter(tt.nearer); math.Abs(float64(got-tt.want)) > 1e-9 {
			t.Errorf("blur of a point %g mm nearer is %g mm, want %g", tt.nearer, got, tt.want)
		}
	}
	for _, tt := range []struct{ f, N, m, c float64 }{{210, 3.6, 0.2, 0.2}, {210, 3.6, 0.33, 0.2}, {300, 4, 0.3, 0.2}, {300, 5.6, 0.3, 0.2}} {
		l := study.Lens{Pupil: measure.Length(tt.f / tt.N), Distance: measure.Length(tt.f * (1 + 1/tt.m))}
		edge := func(sign float64) float64 { // where the blur on the plate reaches c
			low, high := 0.0, 200.0
			for range 60 {
				mid := (low + high) / 2
				if tt.m*float64(l.BlurAtSitter(measure.Length(sign*mid))) < tt.c {
					low = mid
				} else {
					high = mid
				}
			}
			return low
		}
		got, want := edge(1)+edge(-1), 2*tt.N*tt.c*(1+tt.m)/(tt.m*tt.m)
		if math.Abs(got/want-1) > 0.005 {
			t.Errorf("f %g N %g m %g: sharp over %.2f mm, want %.2f", tt.f, tt.N, tt.m, got, want)
		}
	}
}

// detail is the mean squared step between neighbours in a part of a picture.
func detail(m *image.RGBA, r image.Rectangle) float64 {
	sum := 0.0
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			d := reflects(m, x+1, y) - reflects(m, x, y)
			sum += d * d
		}
	}
	return sum / float64(r.Dx()*r.Dy())
}

func TestSmallStopIsSharper(t *testing.T) {
	for _, seed := range []uint64{2, 7} {
		wide, narrow := study.Study{Seed: seed, Width: 270, Height: 330}, study.Study{Seed: seed, Width: 270, Height: 330}
		wide.Lens = study.Lens{Pupil: 70, Distance: 1050, Curvature: 420}
		narrow.Lens = study.Lens{Pupil: 4, Distance: 1050, Curvature: 420}
		shoulders := image.Rect(40, 225, 230, 310)
		if a, b := detail(plate(t, wide), shoulders), detail(plate(t, narrow), shoulders); a*1.3 > b {
			t.Errorf("seed %d: detail of the shoulders %.3g wide open, %.3g stopped down", seed, a, b)
		}
	}
}

func TestFaults(t *testing.T) {
	whole := study.Study{Seed: 11, Width: 225, Height: 275}
	clean := plate(t, whole)
	for _, f := range study.Faults() {
		s := whole
		s.Faults = []study.Fault{f}
		m := plate(t, s)
		changed := 0
		for i := 0; i < len(m.Pix); i += 4 {
			if d := int(m.Pix[i]) - int(clean.Pix[i]); d > 6 || d < -6 {
				changed++
			}
		}
		if share := float64(changed) / float64(len(m.Pix)/4); share < 0.002 {
			t.Errorf("%s changes %.4f of the plate", f, share)
		}
		switch f {
		case study.Fog:
			if a, b := darkest(clean), darkest(m); b < a*2 {
				t.Errorf("fog: the darks reflect %.4f, without it %.4f", b, a)
			}
		case study.Moved:
			r := image.Rect(60, 60, 165, 170)
			if a, b := detail(clean, r), detail(m, r); b > a*0.7 {
				t.Errorf("moved: detail %.3g, without %.3g", b, a)
			}
		}
	}
}

// darkest is the reflectance that a fiftieth of the middle of the plate lies below.
func darkest(m *image.RGBA) float64 {
	var counts [256]int
	b := m.Bounds().Inset(30)
	n := 0
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			counts[m.RGBAAt(x, y).G]++
			n++
		}
	}
	seen := 0
	for c, k := range counts {
		if seen += k; seen > n/50 {
			return linear(uint8(c))
		}
	}
	return 1
}

func TestRefusals(t *testing.T) {
	for says, s := range map[string]study.Study{
		"width 10 px":          {Width: 10, Height: 300},
		"height 9000 px":       {Width: 300, Height: 9000},
		"exposure 9 stops":     {Width: 300, Height: 300, Exposure: 9},
		"exposure NaN":         {Width: 300, Height: 300, Exposure: measure.Stops(math.NaN())},
		"tall 3 mm":            {Width: 300, Height: 300, Tall: 3},
		"pupil 0 mm":           {Width: 300, Height: 300, Lens: study.Lens{Distance: 1000}},
		"distance 200 mm":      {Width: 300, Height: 300, Lens: study.Lens{Pupil: 50, Distance: 200}},
		"curvature 5 mm":       {Width: 300, Height: 300, Lens: study.Lens{Pupil: 50, Distance: 1000, Curvature: 5}},
		`fault "ghost" is not`: {Width: 300, Height: 300, Faults: []study.Fault{"ghost"}},
	} {
		if _, err := s.Plate(); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%v, want %q", err, says)
		}
	}
	m := plate(t, small(1))
	for says, c := range map[string]study.Copy{
		"10 x 300 px":    {Width: 10, Height: 300},
		"long side 5 mm": {Width: 300, Height: 300, Long: 5},
	} {
		if _, err := study.CopyPhotograph(m, c); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%v, want %q", err, says)
		}
	}
}

// identity: on the photograph the scale and the plate agree about the plate's length.
func TestCopyPhotograph(t *testing.T) {
	white := image.NewRGBA(image.Rect(0, 0, 500, 600))
	for i := range white.Pix {
		white.Pix[i] = 200
	}
	c := study.Copy{Width: 900, Height: 1100, Long: 139.7, Seed: 4}
	if _, err := study.CopyPhotograph(image.NewRGBA(image.Rect(0, 0, 1, 600)), c); err == nil || !strings.Contains(err.Error(), "1 x 600 px") {
		t.Errorf("a plate of one column gave %v", err)
	}
	m, err := study.CopyPhotograph(white, c)
	if err != nil {
		t.Fatal(err)
	}
	again, err := study.CopyPhotograph(white, c)
	if err != nil || !bytes.Equal(m.Pix, again.Pix) {
		t.Errorf("the same copy differs between two runs (%v)", err)
	}
	run := func(at func(i int) color.RGBA, n int) int { // longest bright run
		best, now := 0, 0
		for i := range n {
			if at(i).G > 150 {
				now++
			} else {
				now = 0
			}
			best = max(best, now)
		}
		return best
	}
	long := run(func(i int) color.RGBA { return m.RGBAAt(450, i) }, 1050)
	scale := run(func(i int) color.RGBA { return m.RGBAAt(i, 1081) }, 560) - 9 // less the rim of the scale
	got := float64(long) / float64(scale) * 60                                 // the scale is cut to whole centimetres
	if math.Abs(got-139.7) > 1.5 {
		t.Errorf("plate %d px, scale of 60 mm %d px: %.1f mm, want 139.7", long, scale, got)
	}
	if dark := m.RGBAAt(20, 500).G; dark > 80 {
		t.Errorf("the card beside the plate is %d, want dark", dark)
	}
	bare, err := study.CopyPhotograph(white, study.Copy{Width: 900, Height: 1100})
	if err != nil {
		t.Fatal(err)
	}
	if bare.RGBAAt(100, 1081).G > 80 {
		t.Error("a scale is drawn though the size is not known")
	}
}
