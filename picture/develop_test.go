package picture_test

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"platewright/picture"
)

// withEXIF makes a JPEG of w x h px whose EXIF block holds the orientation alone.
func withEXIF(t testing.TB, w, h int, orientation uint16) []byte {
	b := encoded(t, func(to io.Writer) error { return jpeg.Encode(to, corners(w, h), &jpeg.Options{Quality: 100}) })
	exif := append([]byte("Exif\x00\x00"), tiffOf([4]uint32{274, 3, 1, uint32(orientation)})...)
	return withSegment(b, 0xe1, exif)
}

func withSegment(b []byte, mark byte, body []byte) []byte {
	out := append([]byte{0xff, 0xd8, 0xff, mark}, 0, 0)
	binary.BigEndian.PutUint16(out[4:], uint16(len(body)+2))
	return append(append(out, body...), b[2:]...)
}

var cornerGrey = [4]uint8{30, 90, 160, 230} // top left, top right, bottom left, bottom right

// corners is a picture whose four quarters differ.
func corners(w, h int) *image.Gray {
	m := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			i := 0
			if x >= w/2 {
				i++
			}
			if y >= h/2 {
				i += 2
			}
			m.SetGray(x, y, color.Gray{cornerGrey[i]})
		}
	}
	return m
}

// published (from memory): the table of tag 274 in [Exif232] says which side of the scene row 0 and column 0 hold. From
// it follows which stored corner stands at the top left, top right, bottom left and bottom right.
func TestOrientations(t *testing.T) {
	const tl, tr, bl, br = 0, 1, 2, 3
	for orientation, want := range map[uint16][4]int{
		1: {tl, tr, bl, br}, // row 0 top, column 0 left
		2: {tr, tl, br, bl}, // top, right
		3: {br, bl, tr, tl}, // bottom, right
		4: {bl, br, tl, tr}, // bottom, left
		5: {tl, bl, tr, br}, // left, top
		6: {bl, tl, br, tr}, // right, top
		7: {br, tr, bl, tl}, // right, bottom
		8: {tr, br, tl, bl}, // left, bottom
	} {
		p, err := openBytes(withEXIF(t, 64, 48, orientation), "turned.jpg")
		if err != nil {
			t.Fatal(err)
		}
		if got := p.About().Orientation; got != int(orientation) {
			t.Errorf("orientation read as %d, want %d", got, orientation)
		}
		for _, seen := range []picture.Seen{picture.AlreadyTrue, picture.AsItLies} {
			v, err := p.TrueView(seen)
			if err != nil {
				t.Fatal(err)
			}
			size := image.Pt(64, 48)
			if orientation >= 5 {
				size = image.Pt(48, 64)
			}
			if v.Size() != size {
				t.Errorf("orientation %d: %v, want %v", orientation, v.Size(), size)
			}
			expect := want
			if seen == picture.AsItLies {
				expect = [4]int{want[1], want[0], want[3], want[2]}
			}
			b := v.Image().Bounds()
			for i, at := range []image.Point{{b.Min.X + 3, b.Min.Y + 3}, {b.Max.X - 4, b.Min.Y + 3}, {b.Min.X + 3, b.Max.Y - 4}, {b.Max.X - 4, b.Max.Y - 4}} {
				got := color.GrayModel.Convert(v.Image().At(at.X, at.Y)).(color.Gray).Y
				if d := int(got) - int(cornerGrey[expect[i]]); d < -2 || d > 2 {
					t.Errorf("orientation %d seen %d: corner %d is %d, want %d [Exif232]", orientation, seen, i, got, cornerGrey[expect[i]])
				}
			}
		}
	}
}

// identity: turning twice gives the same pixels, for every way chroma is stored and odd sizes.
func TestMirroredTwiceIsTheSame(t *testing.T) {
	files := map[string][]byte{
		"odd.jpg":  encoded(t, func(w io.Writer) error { return jpeg.Encode(w, gradient(61, 37), nil) }),
		"even.jpg": encoded(t, func(w io.Writer) error { return jpeg.Encode(w, gradient(64, 48), nil) }),
		"odd.png":  encoded(t, func(w io.Writer) error { return png.Encode(w, gradient(61, 37)) }),
		"grey.jpg": encoded(t, func(w io.Writer) error { return jpeg.Encode(w, corners(61, 37), nil) }),
		"real.jpg": readFile(t, "testdata/nagasaki-boats.jpg"),
	}
	for name, file := range files {
		open := func(seen picture.Seen) *picture.Picture {
			p, err := openBytes(file, name)
			if err != nil {
				t.Fatal(err)
			}
			v, err := p.TrueView(seen)
			if err != nil {
				t.Fatal(err)
			}
			return v
		}
		plain, turned := open(picture.AlreadyTrue), open(picture.AsItLies)
		size := plain.Size()
		pb, tb := plain.Image().Bounds().Min, turned.Image().Bounds().Min
		for y := range size.Y {
			for x := range size.X {
				a := plain.Image().At(pb.X+x, pb.Y+y)
				b := turned.Image().At(tb.X+size.X-1-x, tb.Y+y)
				if a != b {
					t.Fatalf("%s: pixel %d,%d is %v and mirrored %v", name, x, y, a, b)
				}
			}
		}
		turned.Mirrored()
		tb = turned.Image().Bounds().Min
		for y := range size.Y {
			for x := range size.X {
				if a, b := plain.Image().At(pb.X+x, pb.Y+y), turned.Image().At(tb.X+x, tb.Y+y); a != b {
					t.Fatalf("%s: pixel %d,%d is %v, after two turns %v", name, x, y, a, b)
				}
			}
		}
	}
}

func readFile(t testing.TB, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// Real photographs go the whole way: true view, view, thumb, each readable again.
func TestRealPhotographs(t *testing.T) {
	for name, size := range map[string]image.Point{"black-canyon.jpg": {1024, 750}, "nagasaki-boats.jpg": {1024, 819}} {
		p, err := openBytes(readFile(t, filepath.Join("testdata", name)), name)
		if err != nil {
			t.Fatal(err)
		}
		// independent: exiftool 12.57 names both profiles so
		if got := p.About().Profile; got != "sRGB IEC61966-2.1" {
			t.Errorf("%s: profile is called %q", name, got)
		}
		v, err := p.TrueView(picture.AsItLies)
		if err != nil {
			t.Fatal(err)
		}
		if v.Size() != size {
			t.Errorf("%s: %v, want %v", name, v.Size(), size)
		}
		view, err := v.Reduced(picture.ViewSide)
		if err != nil || view.Size() != size {
			t.Errorf("%s: a view must not be enlarged: %v %v", name, view.Size(), err)
		}
		thumb, err := v.Reduced(picture.ThumbSide)
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if err := thumb.WriteJPEG(&b); err != nil {
			t.Fatal(err)
		}
		got, err := jpeg.Decode(&b)
		if err != nil {
			t.Fatal(err)
		}
		if got.Bounds().Dx() != picture.ThumbSide {
			t.Errorf("%s: thumb is %v", name, got.Bounds())
		}
		// identity: the mean linear light of a reduced picture is that of the whole.
		if a, b := meanLight(v.Image()), meanLight(thumb.Image()); a-b > 0.004 || b-a > 0.004 {
			t.Errorf("%s: mean light %.4f whole, %.4f reduced", name, a, b)
		}
		// The thumb's left quarter matches the photograph's right one: it was turned.
		src, err := jpeg.Decode(bytes.NewReader(readFile(t, filepath.Join("testdata", name))))
		if err != nil {
			t.Fatal(err)
		}
		right := meanLight(src.(*image.YCbCr).SubImage(image.Rect(size.X*3/4, 0, size.X, size.Y)))
		left := meanLight(got.(*image.YCbCr).SubImage(image.Rect(0, 0, 100, got.Bounds().Dy())))
		if d := right - left; d > 0.01 || d < -0.01 {
			t.Errorf("%s: right of the photograph %.4f, left of the thumb %.4f", name, right, left)
		}
	}
}

// meanLight is the mean of linear green, by the formula of [IEC61966] (from memory) in the test's own words.
func meanLight(m image.Image) float64 {
	sum, n := 0.0, 0
	for y := m.Bounds().Min.Y; y < m.Bounds().Max.Y; y++ {
		for x := m.Bounds().Min.X; x < m.Bounds().Max.X; x++ {
			_, g, _, _ := m.At(x, y).RGBA()
			sum += linear(float64(g) / 65535)
			n++
		}
	}
	return sum / float64(n)
}

// published (from memory): a fine checker of black and white reflects half the light, which is sRGB code 188
// (0.5 encoded is 0.7354 [IEC61966]), not the mean code 128.
func TestReductionAveragesLight(t *testing.T) {
	m := image.NewGray(image.Rect(0, 0, 400, 400))
	for y := range 400 {
		for x := range 400 {
			m.SetGray(x, y, color.Gray{uint8(255 * ((x + y) % 2))})
		}
	}
	for _, side := range []int{200, 100, 40} {
		p, err := openBytes(encoded(t, func(w io.Writer) error { return png.Encode(w, m) }), "checker.png")
		if err != nil {
			t.Fatal(err)
		}
		v, err := p.TrueView(picture.AsItLies)
		if err != nil {
			t.Fatal(err)
		}
		r, err := v.Reduced(side)
		if err != nil {
			t.Fatal(err)
		}
		if got := r.Image().(*image.Gray).Pix[side+1]; got != 188 {
			t.Errorf("checker reduced to %d px: %d, want 188 [IEC61966]", side, got)
		}
	}
	// A side that does not divide: a flat field stays flat.
	flat := image.NewRGBA(image.Rect(0, 0, 401, 333))
	for i := range flat.Pix {
		flat.Pix[i] = 255
	}
	p, err := openBytes(encoded(t, func(w io.Writer) error { return png.Encode(w, flat) }), "flat.png")
	if err != nil {
		t.Fatal(err)
	}
	v, err := p.TrueView(picture.AsItLies)
	if err != nil {
		t.Fatal(err)
	}
	r, err := v.Reduced(97)
	if err != nil {
		t.Fatal(err)
	}
	for i, y := range r.Image().(*image.YCbCr).Y {
		if y != 255 {
			t.Fatalf("flat white reduced: sample %d is %d", i, y)
		}
	}
}

// profile makes a sound ICC profile of n bytes: head, one description, filling.
func profile(n int, space string) []byte {
	b := make([]byte, n)
	binary.BigEndian.PutUint32(b, uint32(n))
	copy(b[8:], "\x02\x10\x00\x00mntr")
	copy(b[16:], space)
	copy(b[20:], "XYZ ")
	copy(b[36:], "acsp")
	binary.BigEndian.PutUint32(b[128:], 1)
	copy(b[132:], "desc")
	binary.BigEndian.PutUint32(b[136:], 144)
	binary.BigEndian.PutUint32(b[140:], 40)
	copy(b[144:], "desc\x00\x00\x00\x00\x00\x00\x00\x0dStand space\x00")
	for i := 200; i < n; i++ {
		b[i] = byte(i * 31)
	}
	return b
}

func profileSegment(piece []byte, i, of byte) []byte {
	return append(append([]byte("ICC_PROFILE\x00"), i, of), piece...)
}

func TestProfileSurvives(t *testing.T) {
	small, large := profile(600, "RGB "), profile(150_000, "RGB ")
	base := encoded(t, func(w io.Writer) error { return jpeg.Encode(w, gradient(64, 48), nil) })
	files := map[string]struct{ file, profile []byte }{
		"one.jpg": {withSegment(base, 0xe2, profileSegment(small, 1, 1)), small},
		// pieces out of order, as [ICC2010] annex B.4 allows (from memory)
		"three.jpg": {withSegment(withSegment(withSegment(base, 0xe2, profileSegment(large[120_000:], 3, 3)),
			0xe2, profileSegment(large[:60_000], 1, 3)), 0xe2, profileSegment(large[60_000:120_000], 2, 3)), large},
		"missing.jpg": {withSegment(base, 0xe2, profileSegment(large[:60_000], 1, 3)), nil},
		"press.jpg":   {withSegment(base, 0xe2, profileSegment(profile(600, "CMYK"), 1, 1)), nil},
	}
	for name, tt := range files {
		p, err := openBytes(tt.file, name)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(p.Profile(), tt.profile) {
			t.Errorf("%s: profile of %d bytes read, want %d", name, len(p.Profile()), len(tt.profile))
		}
		if tt.profile == nil {
			if len(p.About().Notes) == 0 {
				t.Errorf("%s: a profile was left out without a note", name)
			}
			continue
		}
		if got := p.About().Profile; got != "Stand space" {
			t.Errorf("%s: profile is called %q", name, got)
		}
		v, err := p.TrueView(picture.AsItLies)
		if err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		if err := v.WriteJPEG(&out); err != nil {
			t.Fatal(err)
		}
		again, err := openBytes(out.Bytes(), "again.jpg")
		if err != nil || !bytes.Equal(again.Profile(), tt.profile) {
			t.Errorf("%s: profile lost on the way (%v)", name, err)
		}
		// independent: exiftool reads the profile back
		if exiftool := tool(t, "exiftool"); exiftool != "" {
			file := filepath.Join(t.TempDir(), "out.jpg")
			if err := os.WriteFile(file, out.Bytes(), 0o600); err != nil {
				t.Fatal(err)
			}
			got, err := exec.Command(exiftool, "-icc_profile", "-b", file).Output()
			if err != nil || !bytes.Equal(got, tt.profile) {
				t.Errorf("%s: exiftool reads a profile of %d bytes, want %d (%v)", name, len(got), len(tt.profile), err)
			}
		}
	}
}

// tool finds a program used as an oracle. It says so when the check is left out, and fails where
// the tools are required.
func tool(t testing.TB, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv("PLATEWRIGHT_TOOLS") == "required" {
			t.Fatalf("%s is required and not installed", name)
		}
		t.Logf("LEFT OUT: %s is not installed, so its reading was not compared", name)
		return ""
	}
	return path
}

// The orientation is read from PNG and TIFF too, and the profile from both.
func TestPNGAndTIFFHeads(t *testing.T) {
	whole := encoded(t, func(w io.Writer) error { return png.Encode(w, corners(64, 48)) })
	exif := pngChunk("eXIf", tiffOf([4]uint32{274, 3, 1, 6}))
	grey := profile(600, "GRAY")
	packed := append([]byte("stand\x00\x00"), deflated(t, grey)...)
	file := append(append(append(bytes.Clone(whole[:33]), exif...), pngChunk("iCCP", packed)...), whole[33:]...)
	p, err := openBytes(file, "turned.png")
	if err != nil {
		t.Fatal(err)
	}
	if p.About().Orientation != 6 || !bytes.Equal(p.Profile(), grey) {
		t.Errorf("orientation %d, profile %d bytes; notes %q", p.About().Orientation, len(p.Profile()), p.About().Notes)
	}
	v, err := p.TrueView(picture.AsItLies)
	if err != nil || v.Size() != image.Pt(48, 64) {
		t.Errorf("%v %v", v.Size(), err)
	}
	var out bytes.Buffer
	if err := v.WriteJPEG(&out); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(out.String(), "ICC_PROFILE") {
		t.Error("grey profile lost")
	}
}

func BenchmarkTrueView24Megapixels(b *testing.B) { benchmarkTrueView(b, 6000, 4000) }

// BenchmarkTrueView200Megapixels also reports the peak of the heap as the runtime counts it.
func BenchmarkTrueView200Megapixels(b *testing.B) { benchmarkTrueView(b, 16000, 12500) }

func benchmarkTrueView(b *testing.B, w, h int) {
	src := image.NewYCbCr(image.Rect(0, 0, w, h), image.YCbCrSubsampleRatio420)
	for i := range src.Y {
		src.Y[i] = uint8(i%w*200/w + i*2654435761>>20&15)
	}
	for i := range src.Cb {
		src.Cb[i], src.Cr[i] = 120, 136
	}
	file := encoded(b, func(to io.Writer) error { return jpeg.Encode(to, src, &jpeg.Options{Quality: 92}) })
	src = nil
	runtime.GC()
	var most uint64
	b.ResetTimer()
	for range b.N {
		p, err := openBytes(file, "large.jpg")
		if err != nil {
			b.Fatal(err)
		}
		v, err := p.TrueView(picture.AsItLies)
		if err != nil {
			b.Fatal(err)
		}
		if err := v.WriteJPEG(io.Discard); err != nil {
			b.Fatal(err)
		}
		view, err := v.Reduced(picture.ViewSide)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := view.Reduced(picture.ThumbSide); err != nil {
			b.Fatal(err)
		}
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		most = max(most, m.HeapSys)
		runtime.KeepAlive(v)
	}
	b.ReportMetric(float64(most)/1e6, "MB-heap")
	b.ReportMetric(float64(len(file))/1e6, "MB-file")
}
