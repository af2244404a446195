package picture_test

import (
	"bytes"
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

// identity: the profile written for sRGB, read back, leaves sRGB as it is to one step of its figures.
func TestSRGBProfile(t *testing.T) {
	c, err := picture.ReadProfile(picture.SRGBProfile())
	if err != nil {
		t.Fatal(err)
	}
	if c.Name() != "sRGB" {
		t.Errorf("it is called %q", c.Name())
	}
	for _, s := range [][]uint16{{0, 0, 0}, {2000, 2000, 2000}, {65535, 65535, 65535}, {65535, 0, 0}, {10000, 40000, 60000}} {
		got := make([]float32, 3)
		c.Linear(got, s, 3)
		for i, v := range got {
			if want := linear(float64(s[i]) / 65535); math.Abs(float64(v)-want) > 1e-4 {
				t.Errorf("%v: channel %d is %.5f, want %.5f [IEC61966]", s, i, v, want)
			}
		}
	}
}

const caption = "a computed study, not a promise"

// What is written opens again, is marked as sRGB and carries its caption; exiftool agrees.
func TestMarkedFiles(t *testing.T) {
	m := gradient(120, 80)
	files := map[string][]byte{
		"a.jpg": encoded(t, func(w io.Writer) error { return picture.EncodeJPEG(w, m, 95, caption+" \u00e9\n") }),
		"b.png": encoded(t, func(w io.Writer) error { return picture.EncodePNG(w, m, caption+" \u00e9\n") }),
	}
	if got, err := png.Decode(bytes.NewReader(files["b.png"])); err != nil || got.Bounds() != m.Bounds() || got.At(50, 40) != (color.RGBA{106, 127, 70, 255}) {
		t.Errorf("the PNG is read back otherwise: %v", err)
	}
	if got, err := jpeg.Decode(bytes.NewReader(files["a.jpg"])); err != nil || got.Bounds() != m.Bounds() {
		t.Errorf("the JPEG is read back otherwise: %v", err)
	}
	if p, err := openBytes(files["a.jpg"], "a.jpg"); err != nil || p.About().Profile != "sRGB" || len(p.About().Notes) > 0 {
		t.Errorf("the JPEG opens with %+v, %v", p.About(), err)
	}
	exiftool := tool(t, "exiftool")
	for name, b := range files {
		file := filepath.Join(t.TempDir(), name)
		if err := os.WriteFile(file, b, 0o600); err != nil {
			t.Fatal(err)
		}
		if exiftool != "" {
			for tag, want := range map[string]string{
				"-ImageDescription -Description": caption + " ??", "-ColorSpace -SRGBRendering": map[string]string{"a.jpg": "sRGB", "b.png": "Relative Colorimetric"}[name],
				"-Warning -Error": "",
			} {
				got, err := exec.Command(exiftool, append(strings.Fields(tag), "-s3", file)...).CombinedOutput()
				if err != nil || strings.TrimSpace(string(got)) != want {
					t.Errorf("%s: exiftool reads %s as %q, want %q (%v)", name, tag, got, want, err)
				}
			}
		}
	}
}

// Every orientation: the place that Stored names is where Upright takes its pixel from.
func TestStoredIsWhereUprightTakesFrom(t *testing.T) {
	for o := 1; o <= 8; o++ {
		p, err := openBytes(withEXIF(t, 20, 12, uint16(o)), "turned.jpg")
		if err != nil {
			t.Fatal(err)
		}
		if p.About().Orientation != o {
			t.Fatalf("orientation %d is read as %d", o, p.About().Orientation)
		}
		grey := func() *image.Gray {
			m := image.NewGray(image.Rect(0, 0, 20, 12))
			for i := range m.Pix {
				m.Pix[i] = uint8(i)
			}
			return m
		}
		src, up, mirrored := grey(), p.Upright(grey(), false), p.Upright(grey(), true)
		s := up.Rect.Size()
		for y := range s.Y {
			for x := range s.X {
				sx, sy := p.Stored((float64(x)+0.5)/float64(s.X), (float64(y)+0.5)/float64(s.Y))
				if got, want := up.GrayAt(x, y), src.GrayAt(int(sx*20), int(sy*12)); got != want {
					t.Fatalf("orientation %d: %d,%d is %v, stored there %v", o, x, y, got, want)
				}
				if got, want := mirrored.GrayAt(s.X-1-x, y), up.GrayAt(x, y); got != want {
					t.Fatalf("orientation %d: %d,%d mirrored is %v, want %v", o, x, y, got, want)
				}
			}
		}
	}
}
