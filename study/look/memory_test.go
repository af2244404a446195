package look_test

import (
	"bytes"
	"compress/zlib"
	"image"
	"image/png"
	"io"
	"runtime"
	"testing"

	"platewright/study/look"
)

func packed(t testing.TB, b []byte) []byte {
	t.Helper()
	var out bytes.Buffer
	z := zlib.NewWriter(&out)
	if _, err := z.Write(b); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// Memory is bounded by the size of the picture, not by its depth: three bytes a pixel of a JPEG (its planes and the look
// with its strip), two of a PNG of sixteen bits (the look twice, for the strip), with the chroma of what is written half
// a byte, and 12 MB of tables, fonts and rows.
func TestMemory(t *testing.T) {
	const w, h = 3000, 2000
	deep := image.NewRGBA64(image.Rect(0, 0, w, h))
	for i := range deep.Pix {
		deep.Pix[i] = uint8(i >> 5)
	}
	for name, tt := range map[string]struct {
		file     []byte
		perPixel float64
	}{
		"a.jpg": {jpegFile(t, enlarged(t, w, h)), 3},
		"b.png": {fileOf(t, func(to io.Writer) error { return (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(to, deep) }), 2.5},
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		l, err := look.Render(open(t, tt.file, name), usual(t), sideBySide)
		if err != nil {
			t.Fatal(err)
		}
		if err := l.WriteJPEG(io.Discard); err != nil {
			t.Fatal(err)
		}
		runtime.ReadMemStats(&after)
		got, most := float64(after.TotalAlloc-before.TotalAlloc), tt.perPixel*w*h+12e6
		t.Logf("%s: %.1f MB taken in all for %d megapixels", name, got/1e6, w*h/1000000)
		if got > most {
			t.Errorf("%s: %.1f MB were taken in all, want at most %.1f", name, got/1e6, most/1e6)
		}
	}
}
