package look_test

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"platewright/collodion"
	"platewright/colour"
	"platewright/picture"
	"platewright/study/look"
)

// encode is the sRGB curve and linear its inverse [IEC61966], from memory, in the test's own words.
func encode(v float64) float64 {
	if v <= 0.0031308 {
		return 12.92 * max(0, v)
	}
	return 1.055*math.Pow(v, 1/2.4) - 0.055
}

func linear(v float64) float64 {
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

// plain makes the plate's reflectance readable: no tint, no strip, not mirrored, as measured.
func plain(t testing.TB) look.Options {
	o := usual(t)
	o.Tone, o.Measured, o.Unlabelled, o.Unmirrored = collodion.Neutral, true, true, true
	return o
}

// random is a picture of colours all over sRGB, in 16 bits.
func random(w, h int) *image.RGBA64 {
	r := rand.New(rand.NewPCG(3, 4))
	m := image.NewRGBA64(image.Rect(0, 0, w, h))
	for i := range w * h {
		c := func() uint16 { return uint16(65535 * math.Pow(r.Float64(), 1.5)) }
		m.SetRGBA64(i%w, i/w, color.RGBA64{c(), c(), c(), 0xffff})
	}
	return m
}

func pngFile(t testing.TB, m image.Image) []byte {
	return fileOf(t, func(w io.Writer) error { return png.Encode(w, m) })
}

func render(t testing.TB, file []byte, o look.Options) *look.Look {
	t.Helper()
	l, err := look.Render(open(t, file, "test"), o, sideBySide)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// codes are the codes of silver; of a plain look they are its grey.
func codes(l *look.Look) (pix []uint8, w, h int) {
	m := l.Image().(*image.Paletted)
	for y := range m.Rect.Dy() {
		pix = append(pix, m.Pix[y*m.Stride:][:m.Rect.Dx()]...)
	}
	return pix, m.Rect.Dx(), m.Rect.Dy()
}

// code is the grey that the plate shows for a surface of so many stops, by the full route.
func code(o look.Options, stops float64) uint8 {
	h := math.Exp2(min(0, stops)+float64(o.Exposure)) / colour.MidTone
	return uint8(math.Round(255 * encode(o.Curve.Reflectance(h))))
}

// identity: every pixel of a picture goes through tables as it goes through the formulas, to 0.01 stop: straight
// from sRGB's codes, through a profile's linear light, in eight bits and in sixteen, grey and tagged.
func TestFoldedAndFullRoutesAgree(t *testing.T) {
	deep := random(150, 90)
	shallow := image.NewRGBA(deep.Rect)
	grey := image.NewGray16(deep.Rect)
	for i := range 150 * 90 {
		x, y := i%150, i/150
		shallow.Set(x, y, deep.At(x, y))
		grey.SetGray16(x, y, color.Gray16{deep.RGBA64At(x, y).G})
	}
	wide, err := os.ReadFile("../../picture/testdata/compatibleWithAdobeRGB1998.icc")
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		name    string
		m       image.Image
		profile []byte
		skin    bool
	}{{"sixteen bits", deep, nil, false}, {"eight bits", shallow, nil, false}, {"grey", grey, nil, false}, {"by a profile", deep, wide, false}, {"tagged", deep, nil, true}} {
		o := plain(t)
		o.Exposure = -0.7
		fit, err := o.Sight.Fit()
		if err != nil {
			t.Fatal(err)
		}
		var does colour.Correction
		if tt.skin {
			o.Tagged = []look.Tagged{{X: 0, Y: 0, Width: 100, Height: 100, Material: colour.OfSkin}}
			if does, err = o.Sight.Correction(colour.OfSkin); err != nil {
				t.Fatal(err)
			}
		}
		file := pngFile(t, tt.m)
		c := picture.SRGB()
		if tt.profile != nil {
			file = withProfile(t, file, tt.profile)
			if c, err = picture.ReadProfile(tt.profile); err != nil {
				t.Fatal(err)
			}
		}
		got, w, _ := codes(render(t, file, o))
		for i, v := range got {
			r, g, b, _ := tt.m.At(i%w, i/w).RGBA()
			if tt.name == "eight bits" { // as the decoder has them
				r, g, b = r>>8*0x101, g>>8*0x101, b>>8*0x101
			}
			lin := make([]float32, 3)
			c.Linear(lin, []uint16{uint16(r), uint16(g), uint16(b)}, 3)
			rgb := colour.RGB{R: float64(lin[0]), G: float64(lin[1]), B: float64(lin[2])}
			if tt.profile == nil {
				rgb = colour.RGB{R: linear(float64(r) / 65535), G: linear(float64(g) / 65535), B: linear(float64(b) / 65535)}
			}
			stops := float64(fit.Stops(rgb))
			if tt.skin {
				stops += float64(does.At(rgb))
			}
			if low, high := code(o, stops-0.01), code(o, stops+0.01); v < low || v > high {
				t.Fatalf("%s: pixel %d, %+v: grey %d, the full route less and more 0.01 stop gives %d to %d", tt.name, i, rgb, v, low, high)
			}
		}
	}
}

// withProfile puts an ICC profile into a PNG.
func withProfile(t testing.TB, file, profile []byte) []byte {
	t.Helper()
	body := append([]byte("test\x00\x00"), packed(t, profile)...)
	return append(append(bytes.Clone(file[:33]), chunk("iCCP", body)...), file[33:]...)
}

func chunk(kind string, body []byte) []byte {
	b := binary.BigEndian.AppendUint32(nil, uint32(len(body)))
	b = append(append(b, kind...), body...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[4:]))
}

// independent: the 24-patch chart as a photograph of it would show it, against the integration of its measured
// reflectances over the plate's sensitivity.
func TestChartRanksAsIntegrated(t *testing.T) {
	var chart []colour.Surface
	for _, s := range colour.Surfaces() {
		if s.Group == colour.Chart {
			chart = append(chart, s)
		}
	}
	if len(chart) != 24 {
		t.Fatalf("the chart has %d patches", len(chart))
	}
	const side = 10
	m := image.NewRGBA64(image.Rect(0, 0, 6*side, 4*side))
	for i := range 24 * side * side {
		x, y := i%(6*side), i/(6*side)
		c := colour.Of(chart[y/side*6+x/side].Reflectance)
		deep := func(v float64) uint16 { return uint16(math.Round(65535 * encode(max(0, min(1, v))))) }
		m.SetRGBA64(x, y, color.RGBA64{deep(c.R), deep(c.G), deep(c.B), 0xffff})
	}
	o := plain(t)
	got, w, _ := codes(render(t, pngFile(t, m), o))
	var shown, reflects, off []float64
	for i, s := range chart {
		direct, err := o.Sight.Actinic(s.Reflectance)
		if err != nil {
			t.Fatal(err)
		}
		v := got[(i/6*side+side/2)*w+i%6*side+side/2]
		shown, reflects = append(shown, float64(v)), append(reflects, direct)
		// In stops of exposure, where the curve can be read backwards.
		R := linear(float64(v) / 255)
		if share := (R - o.Curve.Least) / (o.Curve.Most - o.Curve.Least); share > 0.02 && share < 0.98 {
			off = append(off, exposureOf(o, R)-math.Log2(direct/colour.MidTone))
		}
	}
	rms := 0.0
	for _, v := range off {
		rms += v * v / float64(len(off))
	}
	rank := spearman(shown, reflects)
	t.Logf("rank correlation %.3f; rms %.2f stop over %d patches within the curve", rank, math.Sqrt(rms), len(off))
	if rank < 0.95 || math.Sqrt(rms) > 0.5 || len(off) < 18 {
		t.Errorf("rank correlation %.3f, want 0.95; rms %.2f stop, want 0.5; over %d patches, want 18", rank, math.Sqrt(rms), len(off))
	}
}

// exposureOf looks the curve up backwards, in stops of the mid-tone's exposure.
func exposureOf(o look.Options, R float64) float64 {
	low, high := -12.0, 12.0
	for range 60 {
		mid := (low + high) / 2
		if o.Curve.Reflectance(math.Exp2(mid)) < R {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

func spearman(a, b []float64) float64 {
	rank := func(v []float64) []float64 {
		out := make([]float64, len(v))
		for i, x := range v {
			for _, y := range v {
				if y < x {
					out[i]++
				} else if y == x {
					out[i] += 0.5
				}
			}
		}
		return out
	}
	ra, rb := rank(a), rank(b)
	mean := float64(len(a)) / 2
	var ab, aa, bb float64
	for i := range ra {
		ab += (ra[i] - mean) * (rb[i] - mean)
		aa += (ra[i] - mean) * (ra[i] - mean)
		bb += (rb[i] - mean) * (rb[i] - mean)
	}
	return ab / math.Sqrt(aa*bb)
}

// Common practice says so (no source): red and yellow come out dark, blue pale, though the eye sees them the other way.
func TestRedIsDarkAndBlueIsPale(t *testing.T) {
	m := image.NewRGBA(image.Rect(0, 0, 4, 1))
	for i, c := range []color.RGBA{{170, 30, 35, 255}, {230, 190, 30, 255}, {60, 80, 170, 255}, {150, 150, 150, 255}} {
		m.SetRGBA(i, 0, c)
	}
	v, _, _ := codes(render(t, pngFile(t, m), plain(t)))
	if !(v[0] < v[2] && v[1] < v[3] && v[1] < v[2] && v[2] < v[3]+40) {
		t.Errorf("red %d, yellow %d, blue %d, grey %d", v[0], v[1], v[2], v[3])
	}
}

// identity: at exposure 0 a surface that sends back the mid-tone's share lies where the curve has exposure 1, and every
// stop more makes no pixel darker.
func TestExposure(t *testing.T) {
	o := plain(t)
	fit, err := o.Sight.Fit()
	if err != nil {
		t.Fatal(err)
	}
	low, high := 0.0, 1.0
	for range 50 {
		if mid := (low + high) / 2; fit.Seen(colour.RGB{R: mid, G: mid, B: mid}) < colour.MidTone {
			low = mid
		} else {
			high = mid
		}
	}
	m := image.NewGray16(image.Rect(0, 0, 1, 1))
	m.SetGray16(0, 0, color.Gray16{uint16(math.Round(65535 * encode(low)))})
	v, _, _ := codes(render(t, pngFile(t, m), o))
	if want := uint8(math.Round(255 * encode(o.Curve.Reflectance(1)))); v[0] != want {
		t.Errorf("a mid-tone comes out as %d, want %d", v[0], want)
	}
	file := pngFile(t, random(40, 30))
	before, _, _ := codes(render(t, file, o))
	o.Exposure = 1
	after, _, _ := codes(render(t, file, o))
	more := 0
	for i := range before {
		if after[i] < before[i] {
			t.Fatalf("pixel %d is darker with a stop more: %d, before %d", i, after[i], before[i])
		}
		more += int(after[i]) - int(before[i])
	}
	if more < len(before) {
		t.Errorf("a stop more makes the picture lighter by %d codes in all", more)
	}
}

// quarters is a picture whose corners differ: from white to nearly black along the rows.
func quarters(w, h int) *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	for i := range w * h {
		x, y := i%w, i/w
		c := color.RGBA{255, 255, 255, 255}
		switch {
		case x >= w/2 && y < h/2:
			c = color.RGBA{120, 120, 120, 255}
		case x < w/2 && y >= h/2:
			c = color.RGBA{60, 60, 60, 255}
		case x >= w/2 && y >= h/2:
			c = color.RGBA{10, 10, 10, 255}
		}
		m.SetRGBA(x, y, c)
	}
	return m
}

// turned puts an orientation into a JPEG or PNG.
func turned(file []byte, orientation byte) []byte {
	exif := []byte("MM\x00*\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00" + string(rune(orientation)) + "\x00\x00\x00\x00\x00\x00")
	if file[0] == 0xff {
		body := append([]byte("Exif\x00\x00"), exif...)
		segment := append(binary.BigEndian.AppendUint16([]byte{0xff, 0xe1}, uint16(2+len(body))), body...)
		return append(append(bytes.Clone(file[:2]), segment...), file[2:]...)
	}
	return append(append(bytes.Clone(file[:33]), chunk("eXIf", exif)...), file[33:]...)
}

// published (from memory): where the first row and the first column of the stored picture lie, for each orientation
// [Exif232]. Here: which corner each stored corner comes to, upper left, upper right, lower left, lower right being 0 to 3.
func TestOrientationMirrorAndTags(t *testing.T) {
	comesTo := [9][4]int{1: {0, 1, 2, 3}, 2: {1, 0, 3, 2}, 3: {3, 2, 1, 0}, 4: {2, 3, 0, 1}, 5: {0, 2, 1, 3}, 6: {1, 3, 0, 2}, 7: {3, 1, 2, 0}, 8: {2, 0, 3, 1}}
	src := quarters(96, 64)
	files := map[string][]byte{"jpeg": jpegFile(t, src), "png": pngFile(t, src)}
	corner := func(l *look.Look) (v [4]int) {
		pix, w, h := codes(l)
		for i := range v {
			v[i] = int(pix[(h/8+i/2*h*3/4)*w+w/8+i%2*w*3/4])
		}
		return v
	}
	for kind, file := range files {
		stored := corner(render(t, file, plain(t)))
		if !(stored[0] > stored[1]+5 && stored[1] > stored[2]+5 && stored[2] > stored[3]) {
			t.Fatalf("%s: the corners are %v", kind, stored)
		}
		for o := 1; o <= 8; o++ {
			for _, longest := range []int{0, 80} {
				options := plain(t)
				options.Longest = longest
				got := corner(render(t, turned(file, byte(o)), options))
				options.Unmirrored = false
				mirrored := corner(render(t, turned(file, byte(o)), options))
				for i, to := range comesTo[o] {
					if d := got[to] - stored[i]; d > 1 || d < -1 {
						t.Errorf("%s, orientation %d, longest %d: stored corner %d does not come to %d: %v from %v", kind, o, longest, i, to, got, stored)
						break
					}
					if mirrored[to^1] != got[to] {
						t.Errorf("%s, orientation %d, longest %d: mirrored %v of %v", kind, o, longest, mirrored, got)
						break
					}
				}
				// A tag is told in the upright picture: only its lower right quarter changes.
				options.Unmirrored = true
				options.Tagged = []look.Tagged{{X: 50, Y: 50, Width: 50, Height: 50, Material: colour.Spectacles}}
				tagged := corner(render(t, turned(file, byte(o)), options))
				for i := range 3 {
					if tagged[i] != got[i] {
						t.Errorf("%s, orientation %d, longest %d: corner %d changes by a tag elsewhere: %v from %v", kind, o, longest, i, tagged, got)
					}
				}
				if got[3] > stored[3]+5 && tagged[3] >= got[3] {
					t.Errorf("%s, orientation %d, longest %d: spectacles do not darken: %v from %v", kind, o, longest, tagged, got)
				}
			}
		}
	}
}

// The same photograph as JPEG with chroma at full and at half resolution and as PNG gives nearly the same look, and
// one hand the same as many.
func TestFormatsAgree(t *testing.T) {
	m := image.NewRGBA(image.Rect(0, 0, 240, 160))
	for i := range 240 * 160 {
		x, y := i%240, i/240
		m.SetRGBA(x, y, color.RGBA{uint8(40 + x/2), uint8(60 + y), uint8(200 - x/2), 255})
	}
	o := plain(t)
	want, _, _ := codes(render(t, pngFile(t, m), o))
	file := fileOf(t, func(w io.Writer) error { return jpeg.Encode(w, m, &jpeg.Options{Quality: 100}) })
	got, _, _ := codes(render(t, file, o))
	for i := range want {
		if d := int(want[i]) - int(got[i]); d > 3 || d < -3 {
			t.Fatalf("pixel %d is %d as PNG and %d as JPEG", i, want[i], got[i])
		}
	}
	alone, err := look.Render(open(t, file, "a.jpg"), o, nil)
	if err != nil {
		t.Fatal(err)
	}
	if one, _, _ := codes(alone); !slices.Equal(one, got) {
		t.Error("one hand makes another picture than many")
	}
}

// What is written opens again as sRGB with its caption, the strip is lettered, and the JPEG's luma is the silver's code.
func TestWritten(t *testing.T) {
	file := jpegFile(t, enlarged(t, 600, 400))
	for _, tone := range collodion.Tones() {
		o := usual(t)
		o.Tone = tone
		l := render(t, file, o)
		if s := l.Size(); s.X != 600 || s.Y <= 400 || s.Y > 430 {
			t.Errorf("%s: %v", tone, s)
		}
		pix, w, h := codes(l)
		strip := pix[401*w : h*w]
		lit := 0
		for _, v := range strip {
			if v > strip[0]+60 {
				lit++
			}
		}
		if lit < 200 || lit > len(strip)/3 {
			t.Errorf("%s: %d of %d pixels of the strip are lettered", tone, lit, len(strip))
		}
		j := fileOf(t, l.WriteJPEG)
		p := open(t, j, "out.jpg")
		if p.About().Profile != "sRGB" || !bytes.Contains(j, []byte(look.Study)) {
			t.Errorf("%s: profile %q, or no caption", tone, p.About().Profile)
		}
		back, err := jpeg.Decode(bytes.NewReader(j))
		if err != nil {
			t.Fatal(err)
		}
		n := fileOf(t, l.WritePNG)
		whole, err := png.Decode(bytes.NewReader(n))
		if err != nil || !bytes.Contains(n, []byte(look.Study)) {
			t.Fatalf("%s: %v, or no caption", tone, err)
		}
		var off, warm float64
		for i := range 600 * 400 {
			x, y := i%600, i/600
			r, g, b, _ := whole.At(x, y).RGBA()
			warm += (float64(r) - float64(b)) / 257 / 240000
			if Y := (0.299*float64(r) + 0.587*float64(g) + 0.114*float64(b)) / 257; math.Abs(Y-float64(pix[y*w+x])) > 1.5 { // three rounded channels
				t.Fatalf("%s: code %d has the luma %.1f", tone, pix[y*w+x], Y)
			}
			r2, g2, b2, _ := back.At(x, y).RGBA()
			off += (math.Abs(float64(r)-float64(r2)) + math.Abs(float64(g)-float64(g2)) + math.Abs(float64(b)-float64(b2))) / 257 / 3 / 240000
		}
		if off > 4 {
			t.Errorf("%s: JPEG and PNG are %.1f codes apart in the mean", tone, off)
		}
		if (tone == collodion.Warm) != (warm > 5) || (tone == collodion.Cool) != (warm < -3) {
			t.Errorf("%s: red above blue by %.1f codes", tone, warm)
		}
	}
}

// published (from memory): a colour said by Adobe RGB (1998) is the colour said by sRGB [AdobeRGB2005; IEC61966], so both give
// the same plate.
func TestProfileHonoured(t *testing.T) {
	wide, err := os.ReadFile("../../picture/testdata/compatibleWithAdobeRGB1998.icc")
	if err != nil {
		t.Fatal(err)
	}
	plainly := random(60, 40)
	other := image.NewRGBA64(plainly.Rect)
	for i := range 60 * 40 {
		x, y := i%60, i/60
		c := plainly.RGBA64At(x, y)
		r, g, b := linear(float64(c.R)/65535), linear(float64(c.G)/65535), linear(float64(c.B)/65535)
		// the inverse of the matrix of 1.39836 -0.39836 0; 0 1 0; 0 -0.04293 1.04293
		r, b = (r+0.39836*g)/1.39836, (b+0.04293*g)/1.04293
		deep := func(v float64) uint16 { return uint16(math.Round(65535 * math.Pow(v, 256.0/563))) }
		other.SetRGBA64(x, y, color.RGBA64{deep(r), deep(g), deep(b), 0xffff})
	}
	o := plain(t)
	want, _, _ := codes(render(t, pngFile(t, plainly), o))
	got, _, _ := codes(render(t, withProfile(t, pngFile(t, other), wide), o))
	unread, _, _ := codes(render(t, pngFile(t, other), o))
	far, wrong := 0, 0
	for i := range want {
		far = max(far, absolute(int(want[i])-int(got[i])))
		wrong = max(wrong, absolute(int(want[i])-int(unread[i])))
	}
	if far > 2 {
		t.Errorf("the same colours by another profile are %d codes apart", far)
	}
	if wrong < 6 {
		t.Errorf("without its profile the picture is only %d codes apart: the check cannot fail", wrong)
	}
}

// A profile that cannot be used is refused by name, unless sRGB is asked for.
func TestUnknownProfile(t *testing.T) {
	press := make([]byte, 132)
	copy(press[12:], "prtrCMYKLab ")
	copy(press[36:], "acsp")
	press[3] = 132
	file := withProfile(t, pngFile(t, quarters(20, 10)), press)
	p := open(t, file, "press.png")
	o := usual(t)
	_, err := look.Render(p, o, nil)
	if e, ok := err.(*picture.ProfileError); !ok || !strings.Contains(e.Error(), "press.png") || !strings.Contains(e.Error(), "CMYK") {
		t.Errorf("a profile for a press: %v", err)
	}
	o.AsSRGB = true
	l, err := look.Render(p, o, nil)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(strings.Join(l.Notes, " "), "sRGB, as asked") {
		t.Errorf("the notes do not say that sRGB was taken: %q", l.Notes)
	}
}
