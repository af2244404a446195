package picture_test

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"testing"

	"golang.org/x/image/tiff"

	"platewright/picture"
)

// speckled are pictures of every kind that the other program writes, with runs and noise in them.
func speckled() map[string]image.Image {
	r := rand.New(rand.NewPCG(1, 2))
	area := image.Rect(0, 0, 173, 91)
	grey, grey16 := image.NewGray(area), image.NewGray16(area)
	rgba, rgba64, nrgba := image.NewRGBA(area), image.NewRGBA64(area), image.NewNRGBA(area)
	palette := make(color.Palette, 256)
	for i := range palette {
		palette[i] = color.RGBA{uint8(i), uint8(255 - i), uint8(i * 7), 255}
	}
	paletted := image.NewPaletted(area, palette)
	for y := range area.Dy() {
		for x := range area.Dx() {
			v := uint16(x / 9 * 3300)
			if y%3 == 0 {
				v = uint16(r.Uint32())
			}
			c := color.RGBA64{v, v*3 + 77, ^v, 0xffff}
			grey.Set(x, y, color.Gray16{v})
			grey16.SetGray16(x, y, color.Gray16{v})
			rgba.Set(x, y, c)
			rgba64.SetRGBA64(x, y, c)
			nrgba.SetNRGBA(x, y, color.NRGBA{uint8(v), uint8(v >> 8), 200, uint8(y * 2)})
			paletted.SetColorIndex(x, y, uint8(v>>4))
		}
	}
	return map[string]image.Image{"grey": grey, "grey16": grey16, "rgba": rgba, "rgba64": rgba64, "nrgba": nrgba, "palette": paletted}
}

// sameAs compares our true view, not mirrored, with another decoder's pixels; two codes of 255 are left
// for the way through luma and chroma.
func sameAs(t *testing.T, name string, file []byte, want image.Image) {
	t.Helper()
	p, err := openBytes(file, name)
	if err != nil {
		t.Error(err)
		return
	}
	v, err := p.TrueView(picture.AlreadyTrue)
	if err != nil {
		t.Error(err)
		return
	}
	for y := range want.Bounds().Dy() {
		for x := range want.Bounds().Dx() {
			r, g, b, _ := v.Image().At(x, y).RGBA()
			wr, wg, wb, _ := want.At(x, y).RGBA()
			for i, d := range [3]int{int(r) - int(wr), int(g) - int(wg), int(b) - int(wb)} {
				if d > 2*257+200 || d < -2*257-200 {
					t.Errorf("%s: channel %d at %d,%d is %d off in 65535", name, i, x, y, d)
					return
				}
			}
		}
	}
}

// independent: golang.org/x/image/tiff v0.47.0 writes and reads the same files.
func TestTIFFAgainstAnotherReader(t *testing.T) {
	for kind, m := range speckled() {
		for _, o := range []*tiff.Options{nil, {Compression: tiff.Deflate}, {Compression: tiff.Deflate, Predictor: true}} {
			name := fmt.Sprintf("%s-%v.tif", kind, o)
			file := encoded(t, func(w io.Writer) error { return tiff.Encode(w, m, o) })
			want, err := tiff.Decode(bytes.NewReader(file))
			if err != nil {
				t.Fatal(err)
			}
			sameAs(t, name, file, want)
		}
	}
}

// independent: ImageMagick (6.9.11 was used) writes strips and tiles, both byte orders, and the other packings.
func TestTIFFOfAnotherWriter(t *testing.T) {
	convert := tool(t, "convert")
	if convert == "" {
		t.Skip("LEFT OUT: files of another writer were not read")
	}
	for kind, m := range speckled() {
		src := filepath.Join(t.TempDir(), "src.png")
		if err := os.WriteFile(src, encoded(t, func(w io.Writer) error { return png.Encode(w, m) }), 0o600); err != nil {
			t.Fatal(err)
		}
		for name, args := range map[string][]string{
			"lzw":      {"-compress", "LZW"},
			"packbits": {"-compress", "RLE"},
			"zip-msb":  {"-compress", "Zip", "-endian", "MSB"},
			"raw-msb":  {"-compress", "None", "-endian", "MSB"},
			"tiles":    {"-compress", "LZW", "-define", "tiff:tile-geometry=64x32"},
			"strips":   {"-compress", "None", "-define", "tiff:rows-per-strip=7"},
		} {
			out := filepath.Join(t.TempDir(), name+".tif")
			if b, err := exec.Command(convert, append(append([]string{src}, args...), out)...).CombinedOutput(); err != nil {
				t.Fatalf("%v: %s", err, b)
			}
			sameAs(t, kind+"-"+name+".tif", readFile(t, out), m)
		}
	}
}

func FuzzTIFF(f *testing.F) {
	for _, m := range speckled() {
		small := m.(interface {
			SubImage(image.Rectangle) image.Image
		}).SubImage(image.Rect(0, 0, 12, 9))
		f.Add(encoded(f, func(w io.Writer) error { return tiff.Encode(w, small, nil) }))
		f.Add(encoded(f, func(w io.Writer) error {
			return tiff.Encode(w, small, &tiff.Options{Compression: tiff.Deflate, Predictor: true})
		}))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		p, err := openBytes(b, "fuzzed.tif")
		if err != nil || p.About().Megapixels() > 0.3 {
			return
		}
		v, err := p.TrueView(picture.AsItLies)
		if err == nil && v.Size().X*v.Size().Y != p.About().Width*p.About().Height {
			t.Errorf("%v of %+v", v.Size(), p.About())
		}
	})
}

// Memory: a JPEG takes its planes (1.5 bytes a pixel at half chroma), turned in place; a TIFF of
// sixteen bits three bytes a pixel. A half is allowed on top for tables and readers.
func TestMemoryIsBounded(t *testing.T) {
	const w, h = 2000, 1500
	deep := image.NewRGBA64(image.Rect(0, 0, w, h))
	for i := range deep.Pix {
		deep.Pix[i] = uint8(i * 7 >> 3)
	}
	for name, tt := range map[string]struct {
		file     []byte
		perPixel float64
	}{
		"plate.jpg": {encoded(t, func(to io.Writer) error { return jpeg.Encode(to, gradient(w, h), nil) }), 1.5},
		"plate.tif": {encoded(t, func(to io.Writer) error { return tiff.Encode(to, deep, nil) }), 3},
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		p, err := openBytes(tt.file, name)
		if err != nil {
			t.Fatal(err)
		}
		v, err := p.TrueView(picture.AsItLies)
		if err != nil {
			t.Fatal(err)
		}
		runtime.ReadMemStats(&after)
		runtime.KeepAlive(v)
		if got := float64(after.TotalAlloc-before.TotalAlloc) / (w * h); got > tt.perPixel+0.5 {
			t.Errorf("%s: %.2f bytes a pixel taken, want at most %.1f", name, got, tt.perPixel+0.5)
		}
	}
}
