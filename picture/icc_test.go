package picture_test

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"platewright/picture"
)

// tag is one tag of a profile made for a test.
type tag struct {
	name string
	body []byte
}

// profileOf makes a profile ([ICC2010] section 7, from memory).
func profileOf(version byte, class, space, pcs string, tags ...tag) []byte {
	b := make([]byte, 132+12*len(tags))
	b[8] = version
	copy(b[12:], class+space+pcs)
	binary.BigEndian.PutUint16(b[24:], 2020)
	binary.BigEndian.PutUint16(b[26:], 1)
	binary.BigEndian.PutUint16(b[28:], 1)
	copy(b[36:], "acsp")
	for i, v := range []float64{0.9642, 1, 0.8249} {
		binary.BigEndian.PutUint32(b[68+4*i:], s15(v))
	}
	binary.BigEndian.PutUint32(b[128:], uint32(len(tags)))
	for i, t := range tags {
		for len(b)%4 != 0 {
			b = append(b, 0)
		}
		copy(b[132+12*i:], t.name)
		binary.BigEndian.PutUint32(b[136+12*i:], uint32(len(b)))
		binary.BigEndian.PutUint32(b[140+12*i:], uint32(len(t.body)))
		b = append(b, t.body...)
	}
	binary.BigEndian.PutUint32(b, uint32(len(b)))
	return b
}

func s15(v float64) uint32 { return uint32(int32(math.Round(v * 65536))) }

func words32(head string, v ...float64) []byte {
	b := []byte(head + "\x00\x00\x00\x00")
	for _, x := range v {
		b = binary.BigEndian.AppendUint32(b, s15(x))
	}
	return b
}

func para(kind byte, v ...float64) []byte {
	return append([]byte("para\x00\x00\x00\x00\x00"+string(rune(kind))+"\x00\x00"), words32("", v...)[4:]...)
}

func curv(f func(float64) float64, n int) []byte {
	b := binary.BigEndian.AppendUint32([]byte("curv\x00\x00\x00\x00"), uint32(n))
	for i := range n {
		b = binary.BigEndian.AppendUint16(b, uint16(math.Round(65535*f(float64(i)/float64(n-1)))))
	}
	return b
}

// colorants is a matrix profile with curves and the primaries of ROMM RGB as they are printed [ROMM99, from memory].
func colorants(version byte, curve []byte) []byte {
	d := tag{"desc", append([]byte("desc\x00\x00\x00\x00\x00\x00\x00\x05wide\x00"), make([]byte, 78)...)}
	return profileOf(version, "mntr", "RGB ", "XYZ ", d, tag{"wtpt", words32("XYZ ", 0.9642, 1, 0.8249)},
		tag{"rXYZ", words32("XYZ ", 0.7977, 0.2880, 0)}, tag{"gXYZ", words32("XYZ ", 0.1352, 0.7119, 0)}, tag{"bXYZ", words32("XYZ ", 0.0313, 0.0001, 0.8249)},
		tag{"rTRC", curve}, tag{"gTRC", curve}, tag{"bTRC", curve})
}

// lab is a colour that is neither straight nor separable in red, green and blue.
func lab(r, g, b float64) [3]float64 {
	return [3]float64{100 * math.Pow(0.25*r+0.6*g+0.15*b, 0.8), 90*(r-g) + 12*r*b, 70*(0.5*(r+g)-b) - 9*g*b}
}

const gridSteps = 17

// lut16 and lut8 make a table of lab as lut16Type or lut8Type; the curves bend in and out.
func lut(kind string) []byte {
	b := []byte(kind + "\x00\x00\x00\x00\x03\x03" + string(rune(gridSteps)) + "\x00")
	b = append(b, words32("", 1, 0, 0, 0, 1, 0, 0, 0, 1)[4:]...)
	put := func(v float64) { b = append(b, uint8(math.Round(255*v))) }
	scale := 1.0
	if kind == "mft2" {
		b = binary.BigEndian.AppendUint16(b, 256)
		b = binary.BigEndian.AppendUint16(b, 256)
		put = func(v float64) { b = binary.BigEndian.AppendUint16(b, uint16(math.Round(65535*v))) }
		scale = 65280.0 / 65535
	}
	for range 3 {
		for i := range 256 {
			put(math.Pow(float64(i)/255, 1.3))
		}
	}
	cube(func(c [3]float64) {
		put(scale * c[0] / 100)
		put(scale * (c[1] + 128) / 255)
		put(scale * (c[2] + 128) / 255)
	})
	for range 3 {
		for i := range 256 {
			put(math.Pow(float64(i)/255, 0.95))
		}
	}
	return b
}

func cube(do func(c [3]float64)) {
	for r := range gridSteps {
		for g := range gridSteps {
			for b := range gridSteps {
				do(lab(float64(r)/(gridSteps-1), float64(g)/(gridSteps-1), float64(b)/(gridSteps-1)))
			}
		}
	}
}

// lutAB makes a table as lutAToBType with all its parts, to XYZ.
func lutAB() []byte {
	b := make([]byte, 32)
	copy(b, "mAB ")
	b[8], b[9] = 3, 3
	at := func(i int) { binary.BigEndian.PutUint32(b[i:], uint32(len(b))) }
	curves := func(c []byte) {
		for range 3 {
			b = append(b, c...)
			for len(b)%4 != 0 {
				b = append(b, 0)
			}
		}
	}
	at(12)
	curves(para(0, 1))
	at(16)
	b = append(b, words32("", 0.45, 0.05, 0.02, 0.24, 0.28, 0.03, 0.01, 0.06, 0.38, 0.001, 0.002, 0.001)[4:]...)
	at(20)
	curves(para(3, 2.4, 1/1.055, 0.055/1.055, 1/12.92, 0.04045))
	at(24)
	b = append(b, gridSteps, gridSteps, gridSteps, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 2, 0, 0, 0)
	for r := range gridSteps {
		for g := range gridSteps {
			for bl := range gridSteps {
				x, y, z := float64(r)/(gridSteps-1), float64(g)/(gridSteps-1), float64(bl)/(gridSteps-1)
				for _, v := range []float64{x, 0.8*y + 0.2*x*z, z * (0.9 + 0.1*y)} {
					b = binary.BigEndian.AppendUint16(b, uint16(math.Round(65535*v)))
				}
			}
		}
	}
	for len(b)%4 != 0 {
		b = append(b, 0)
	}
	at(28)
	curves(curv(func(v float64) float64 { return math.Pow(v, 0.9) }, 33))
	return b
}

// profiles are those the check against another colour engine goes through, by what is special in them.
func profiles(t testing.TB) map[string][]byte {
	out := map[string][]byte{
		"gamma 1.8":    colorants(2, []byte("curv\x00\x00\x00\x00\x00\x00\x00\x01\x01\xcd")),
		"straight":     colorants(2, []byte("curv\x00\x00\x00\x00\x00\x00\x00\x00")),
		"formula 0":    colorants(4, para(0, 2.2)),
		"formula 1":    colorants(4, para(1, 1.8, 0.9, 0.1)),
		"formula 2":    colorants(4, para(2, 2, 0.9, -0.1, 0.04)),
		"formula 3":    colorants(4, para(3, 2.4, 1/1.055, 0.055/1.055, 1/12.92, 0.04045)),
		"formula 4":    colorants(4, para(4, 2.2, 0.9, 0.06, 0.5, 0.1, 0.02, 0.01)),
		"table of 33":  colorants(2, curv(func(v float64) float64 { return v * v * (0.7 + 0.3*v) }, 33)),
		"lut8 to Lab":  profileOf(2, "scnr", "RGB ", "Lab ", tag{"wtpt", words32("XYZ ", 0.9642, 1, 0.8249)}, tag{"A2B0", lut("mft1")}),
		"lut16 to Lab": profileOf(2, "scnr", "RGB ", "Lab ", tag{"wtpt", words32("XYZ ", 0.9642, 1, 0.8249)}, tag{"A2B0", lut("mft2")}),
		"our own sRGB": picture.SRGBProfile(),
		"lutAToB":      profileOf(4, "scnr", "RGB ", "XYZ ", tag{"wtpt", words32("XYZ ", 0.9642, 1, 0.8249)}, tag{"A2B0", lutAB()}),
	}
	for _, name := range []string{"compatibleWithAdobeRGB1998.icc", "LStar-RGB.icc", "sRGB.icc", "Gray.icc", "Gray-CIE_L.icc"} {
		out[name] = readFile(t, filepath.Join("testdata", name))
	}
	return out
}

// published (from memory): the matrix from Adobe RGB (1998) to sRGB in linear light, both of the
// white D65, and its exponent 563/256 [AdobeRGB2005].
func TestAdobeRGB(t *testing.T) {
	c, err := picture.ReadProfile(readFile(t, "testdata/compatibleWithAdobeRGB1998.icc"))
	if err != nil {
		t.Fatal(err)
	}
	want := [3][3]float64{{1.39836, -0.39836, 0}, {0, 1, 0}, {0, -0.04293, 1.04293}}
	for i := range 3 {
		samples := []uint16{0, 0, 0}
		samples[i] = 0xffff
		got := make([]float32, 3)
		c.Linear(got, samples, 3)
		for j, v := range got {
			if d := float64(v) - want[j][i]; math.Abs(d) > 2e-3 { // the profile's colorants have 16 bits and a white of their own
				t.Errorf("channel %d alone gives %v, want column %d of %v", i, got, i, want)
				break
			}
		}
	}
	got := make([]float32, 3)
	c.Linear(got, []uint16{32768, 32768, 32768}, 3)
	if want := math.Pow(32768.0/65535, 563.0/256); math.Abs(float64(got[1])-want) > 5e-4 {
		t.Errorf("the middle is %.5f, want %.5f", got[1], want)
	}
}

// published (from memory): the profile that came with sRGB has sRGB's colorants, so it changes nothing.
func TestSRGBProfilesChangeNothing(t *testing.T) {
	p, err := openBytes(readFile(t, "testdata/black-canyon.jpg"), "black-canyon.jpg")
	if err != nil {
		t.Fatal(err)
	}
	for name, b := range map[string][]byte{"of a photograph": p.Profile(), "of Debian": readFile(t, "testdata/sRGB.icc")} {
		c, err := picture.ReadProfile(b)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range [][]uint16{{0, 0, 0}, {3000, 3000, 3000}, {65535, 65535, 65535}, {65535, 0, 0}, {0, 65535, 0}, {0, 0, 65535}, {40000, 20000, 50000}} {
			got := make([]float32, 3)
			c.Linear(got, s, 3)
			for i, v := range got {
				if want := linear(float64(s[i]) / 65535); math.Abs(float64(v)-want) > 1.2e-3 {
					t.Errorf("%s: %v gives %v, channel %d should be %.4f", name, s, got, i, want)
				}
			}
		}
	}
}

// independent: the colour engine behind ImageMagick's convert (6.9.11 with its lcms delegate was used)
// turns the same samples, by the same profiles, into sRGB.
func TestProfilesAgainstAnotherEngine(t *testing.T) {
	convert := tool(t, "convert")
	if convert == "" {
		t.Skip("LEFT OUT: profiles were not compared with another engine")
	}
	to, err := filepath.Abs("testdata/sRGB.icc")
	if err != nil {
		t.Fatal(err)
	}
	back, err := picture.ReadProfile(readFile(t, to))
	if err != nil {
		t.Fatal(err)
	}
	for name, b := range profiles(t) {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			from := filepath.Join(dir, "from.icc")
			if err := os.WriteFile(from, b, 0o600); err != nil {
				t.Fatal(err)
			}
			c, err := picture.ReadProfile(b)
			if err != nil {
				t.Fatal(err)
			}
			grey := strings.HasPrefix(name, "Gray")
			const n = 11
			var m interface {
				image.Image
				Set(x, y int, c color.Color)
			} = image.NewRGBA64(image.Rect(0, 0, n*n, n))
			if grey {
				m = image.NewGray16(image.Rect(0, 0, n*n, n))
			}
			for i := range n * n * n {
				v := color.RGBA64{uint16(i % n * 6553), uint16(i / n % n * 6553), uint16(i / n / n * 6553), 0xffff}
				if grey {
					v = color.RGBA64{uint16(i * 49), uint16(i * 49), uint16(i * 49), 0xffff}
				}
				m.Set(i%(n*n), i/(n*n), v)
			}
			src, dst := filepath.Join(dir, "in.png"), filepath.Join(dir, "out.png")
			if err := os.WriteFile(src, encoded(t, func(w io.Writer) error { return png.Encode(w, m) }), 0o600); err != nil {
				t.Fatal(err)
			}
			out, err := exec.Command(convert, src, "-intent", "relative", "+black-point-compensation", "-profile", from,
				"-profile", to, "-depth", "16", "PNG48:"+dst).CombinedOutput()
			if err != nil {
				t.Fatalf("%v: %s", err, out)
			}
			theirs, err := png.Decode(bytes.NewReader(readFile(t, dst)))
			if err != nil {
				t.Fatal(err)
			}
			worst, outside := 0.0, 0
			for i := range n * n * n {
				x, y := i%(n*n), i/(n*n)
				r, g, bl, _ := m.At(x, y).RGBA()
				got := make([]float32, 3)
				c.Linear(got, []uint16{uint16(r), uint16(g), uint16(bl)}, 3)
				r, g, bl, _ = theirs.At(x, y).RGBA()
				want := make([]float32, 3)
				back.Linear(want, []uint16{uint16(r), uint16(g), uint16(bl)}, 3)
				for k := range got {
					// The other engine cuts off at sRGB's edge; there only the side is compared.
					if got[k] < 0.002 || got[k] > 0.998 {
						outside++
						if d := max(0, min(1, float64(got[k]))) - float64(want[k]); math.Abs(d) > 0.004 {
							t.Errorf("%d,%d: channel %d is %.4f, theirs %.4f", x, y, k, got[k], want[k])
						}
						continue
					}
					worst = max(worst, math.Abs(math.Log2(float64(got[k]/want[k]))))
				}
			}
			t.Logf("farthest apart %.4f stop, %d of %d at the edge", worst, outside, 3*n*n*n)
			if worst > 0.03 {
				t.Errorf("farthest apart %.4f stop in linear light above 0.002, want 0.03", worst)
			}
		})
	}
}

// A profile that cannot be used is named, with what is the matter.
func TestProfilesRefused(t *testing.T) {
	good := colorants(4, para(0, 2.2))
	change := func(f func(b []byte)) []byte { b := bytes.Clone(good); f(b); return b }
	for name, tt := range map[string]struct {
		profile []byte
		says    string
	}{
		"empty":         {nil, "no head"},
		"tags":          {change(func(b []byte) { b[128] = 0xff }), "tags"},
		"outside":       {change(func(b []byte) { b[136] = 0xff }), "outside"},
		"press":         {change(func(b []byte) { copy(b[16:], "CMYK") }), `"CMYK"`},
		"link":          {change(func(b []byte) { copy(b[12:], "link") }), `"link"`},
		"connects":      {change(func(b []byte) { copy(b[20:], "LUV ") }), `"LUV"`},
		"no colorant":   {profileOf(4, "mntr", "RGB ", "XYZ "), "rXYZ"},
		"no curve":      {profileOf(4, "mntr", "GRAY", "XYZ "), "kTRC"},
		"odd curve":     {colorants(4, []byte("abcd\x00\x00\x00\x00\x00\x00\x00\x00")), `"abcd"`},
		"cut curve":     {colorants(2, []byte("curv\x00\x00\x00\x00\x00\x00\x03\x00\x01\x02")), "768 points"},
		"formula":       {colorants(4, para(9, 1)), "formula"},
		"black white":   {colorants(4, para(3, 1, 0, 0, 0, 0)), "luminance 0"},
		"table cut off": {profileOf(2, "scnr", "RGB ", "Lab ", tag{"A2B0", lut("mft2")[:2000]}), "cut off"},
		"odd table":     {profileOf(2, "scnr", "RGB ", "Lab ", tag{"A2B0", append([]byte("mpet\x00\x00\x00\x00\x03\x03"), make([]byte, 40)...)}), `"mpet"`},
	} {
		_, err := picture.ReadProfile(tt.profile)
		var refused *picture.ProfileError
		if err == nil || !strings.Contains(err.Error(), tt.says) || !asProfileError(err, &refused) {
			t.Errorf("%s: %v, want words %q", name, err, tt.says)
		}
	}
	base := encoded(t, func(w io.Writer) error { return png.Encode(w, gradient(8, 8)) })
	packed := append([]byte("press\x00\x00"), deflated(t, profile(600, "CMYK"))...)
	p, err := openBytes(append(append(bytes.Clone(base[:33]), pngChunk("iCCP", packed)...), base[33:]...), "press.png")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := p.Colours(); err == nil || !strings.HasPrefix(err.Error(), "press.png: ") || !strings.Contains(err.Error(), `"CMYK"`) {
		t.Errorf("a profile for a press: %v", err)
	}
}

// Colours that are told otherwise than by a profile, and are not sRGB, are refused too: they are never taken for sRGB in silence.
func TestColoursToldOtherwise(t *testing.T) {
	whole := encoded(t, func(w io.Writer) error { return png.Encode(w, gradient(8, 8)) })
	with := func(chunks ...[]byte) []byte {
		return append(append(bytes.Clone(whole[:33]), bytes.Join(chunks, nil)...), whole[33:]...)
	}
	gamma := func(v uint32) []byte { return pngChunk("gAMA", binary.BigEndian.AppendUint32(nil, v)) }
	base := encoded(t, func(w io.Writer) error { return jpeg.Encode(w, gradient(64, 48), nil) })
	exif := func(space uint32) []byte {
		main := tiffOf([4]uint32{34665, 4, 1, 26})
		return withSegment(base, 0xe1, append(append([]byte("Exif\x00\x00"), main...), tiffOf([4]uint32{40961, 3, 1, space})[8:]...))
	}
	for name, tt := range map[string]struct {
		file []byte
		says string // empty: taken
	}{
		"straight.png": {with(gamma(100000)), "exponent of 1 "},
		"usual.png":    {with(gamma(45455)), ""},
		"both.png":     {with(gamma(100000), pngChunk("sRGB", []byte{0})), ""},
		"points.png":   {with(pngChunk("cICP", []byte{12, 13, 0, 1})), "primaries 12"},
		"same.png":     {with(pngChunk("cICP", []byte{1, 13, 0, 1})), ""},
		"wide.jpg":     {exif(0xffff), "EXIF"},
		"srgb.jpg":     {exif(1), ""},
	} {
		p, err := openBytes(tt.file, name)
		if err != nil {
			t.Fatal(err)
		}
		_, err = p.Colours()
		if tt.says == "" && (err != nil || len(p.About().Notes) > 0) {
			t.Errorf("%s: %v, notes %q", name, err, p.About().Notes)
		}
		if tt.says != "" && (err == nil || !strings.Contains(err.Error(), tt.says) || len(p.About().Notes) == 0) {
			t.Errorf("%s: %v, want words %q, and a note: %q", name, err, tt.says, p.About().Notes)
		}
	}
}

func asProfileError(err error, to **picture.ProfileError) bool {
	e, ok := err.(*picture.ProfileError)
	*to = e
	return ok
}

// A picture of one channel with an RGB profile has equal channels; without a profile sRGB is taken.
func TestColoursOfGrey(t *testing.T) {
	c := picture.SRGB()
	got := make([]float32, 6)
	c.Linear(got, []uint16{0x8080, 0xffff}, 1)
	want := float32(linear(0x80 / 255.0))
	for i, v := range got {
		if i >= 3 {
			want = 1
		}
		if math.Abs(float64(v-want)) > 1e-6 {
			t.Errorf("figure %d is %.6f, want %.6f [IEC61966]", i, v, want)
		}
	}
}

func FuzzProfile(f *testing.F) {
	for _, b := range profiles(f) {
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		c, err := picture.ReadProfile(b)
		if err != nil {
			if !strings.Contains(err.Error(), "the colour profile") {
				t.Errorf("%q does not say what it is about", err)
			}
			return
		}
		dst := make([]float32, 3)
		for _, s := range [][]uint16{{0, 0, 0}, {65535, 65535, 65535}, {1, 65534, 30000}, {65535, 0, 0}} {
			c.Linear(dst, s, 3)
			for _, v := range dst {
				if math.IsNaN(float64(v)) || math.IsInf(float64(v), 0) {
					t.Fatalf("%v gives %v", s, dst)
				}
			}
		}
	})
}

func BenchmarkLinear(b *testing.B) {
	for _, name := range []string{"compatibleWithAdobeRGB1998.icc", "lut16 to Lab"} {
		c, err := picture.ReadProfile(profiles(b)[name])
		if err != nil {
			b.Fatal(err)
		}
		samples, dst := make([]uint16, 3*6000), make([]float32, 3*6000)
		for i := range samples {
			samples[i] = uint16(i * 40503)
		}
		b.Run(fmt.Sprint(name), func(b *testing.B) {
			for range b.N {
				c.Linear(dst, samples, 3)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/6000, "ns/px")
		})
	}
}
