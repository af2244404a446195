package picture_test

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"testing"

	"platewright/picture"
)

// whole gathers the blocks of a photograph and checks that they cover it once.
func whole(t testing.TB, name string, file []byte) (*image.RGBA64, error) {
	t.Helper()
	p, err := openBytes(file, name)
	if err != nil {
		return nil, err
	}
	a := p.About()
	m := image.NewRGBA64(image.Rect(0, 0, a.Width, a.Height))
	err = p.Blocks(func(b picture.Block) error {
		if b.Height > picture.BlockRows || len(b.Samples) != b.Width*b.Height*b.Channels {
			t.Errorf("%s: a block of %d x %d has %d samples", name, b.Width, b.Height, len(b.Samples))
		}
		for y := range b.Height {
			for x := range b.Width {
				s := b.Row(y)[x*b.Channels:]
				c := color.RGBA64{s[0], s[0], s[0], 0xffff}
				if b.Channels == 3 {
					c.G, c.B = s[1], s[2]
				}
				if m.RGBA64At(b.X+x, b.Y+y).A != 0 {
					t.Errorf("%s: pixel %d,%d comes twice", name, b.X+x, b.Y+y)
				}
				m.SetRGBA64(b.X+x, b.Y+y, c)
			}
		}
		return nil
	})
	return m, err
}

// onBlack compares samples with another decoder's to one part in 65535.
func onBlack(t *testing.T, name string, file []byte, want image.Image) {
	t.Helper()
	got, err := whole(t, name, file)
	if err != nil {
		t.Errorf("%s: %v", name, err)
		return
	}
	for y := range want.Bounds().Dy() {
		for x := range want.Bounds().Dx() {
			c := got.RGBA64At(x, y)
			r, g, b, _ := want.At(x, y).RGBA()
			for i, d := range [3]int{int(c.R) - int(r), int(c.G) - int(g), int(c.B) - int(b)} {
				if d > 1 || d < -1 {
					t.Errorf("%s: channel %d at %d,%d is %d off in 65535", name, i, x, y, d)
					return
				}
			}
		}
	}
}

// independent: image/png reads the same files, every kind of them.
func TestPNGRowsAgainstAnotherReader(t *testing.T) {
	key := pngChunk("tRNS", []byte{0x12, 0x34, 0x56, 0x78, 0x9a, 0xbc})
	greyKey := pngChunk("tRNS", []byte{0, 0x44})
	files := map[string][]byte{}
	for kind, m := range speckled() {
		for _, l := range []png.CompressionLevel{png.NoCompression, png.BestCompression} {
			files[fmt.Sprintf("%s level %d", kind, l)] = encoded(t, func(w io.Writer) error { return (&png.Encoder{CompressionLevel: l}).Encode(w, m) })
		}
	}
	behindHead := func(file, chunk []byte) []byte {
		return append(append(bytes.Clone(file[:33]), chunk...), file[33:]...)
	}
	files["keyed colour"] = behindHead(files["rgba64 level -1"], key)
	files["keyed grey"] = behindHead(files["grey level -1"], greyKey)
	clear := image.NewPaletted(image.Rect(0, 0, 30, 20), color.Palette{color.NRGBA{255, 90, 0, 130}, color.NRGBA{1, 2, 3, 255}, color.NRGBA{200, 200, 10, 0}})
	for i := range clear.Pix {
		clear.Pix[i] = uint8(i % 3)
	}
	wide := image.NewPaletted(clear.Rect, append(make(color.Palette, 0, 200), clear.Palette...))
	for len(wide.Palette) < 200 {
		wide.Palette = append(wide.Palette, color.Gray{uint8(len(wide.Palette))})
	}
	copy(wide.Pix, clear.Pix)
	files["clear palette"] = encoded(t, func(w io.Writer) error { return png.Encode(w, wide) })
	for name, file := range files {
		want, err := png.Decode(bytes.NewReader(file))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		onBlack(t, name, file, want)
	}
}

// independent: ImageMagick (6.9.11 was used) writes each filter, interlaced files, and chunks of a few bytes.
func TestPNGRowsOfAnotherWriter(t *testing.T) {
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
			"none": {"-define", "png:compression-filter=0"}, "left": {"-define", "png:compression-filter=1"},
			"above": {"-define", "png:compression-filter=2"}, "mean": {"-define", "png:compression-filter=3"},
			"nearest": {"-define", "png:compression-filter=4"}, "passes": {"-interlace", "PNG"},
		} {
			out := filepath.Join(t.TempDir(), name+".png")
			if b, err := exec.Command(convert, append(append([]string{src}, args...), out)...).CombinedOutput(); err != nil {
				t.Fatalf("%v: %s", err, b)
			}
			onBlack(t, kind+" "+name, readFile(t, out), m)
		}
	}
}

// A damaged or cut file is said to be so, and an error of the caller comes back as it is.
func TestPNGRowsRefuse(t *testing.T) {
	good := encoded(t, func(w io.Writer) error { return png.Encode(w, gradient(200, 150)) })
	sum := bytes.Clone(good)
	sum[len(sum)-17] ^= 1 // of the last byte of the picture's chunk
	short := append(append(bytes.Clone(good[:33]), pngChunk("IDAT", deflated(t, make([]byte, 1000)))...), pngChunk("IEND", nil)...)
	long := append(append(bytes.Clone(good[:33]), pngChunk("IDAT", deflated(t, make([]byte, 150*601+1)))...), pngChunk("IEND", nil)...)
	odd := append(append(bytes.Clone(good[:33]), pngChunk("IDAT", deflated(t, bytes.Repeat([]byte{9}, 150*601)))...), pngChunk("IEND", nil)...)
	for name, file := range map[string][]byte{"half": good[:len(good)/2], "sum": sum, "short": short, "long": long, "odd filter": odd} {
		if _, err := whole(t, name+".png", file); err == nil || err.Error()[:len(name)] != name {
			t.Errorf("%s: %v, want a refusal", name, err)
		}
	}
	p, err := openBytes(good, "good.png")
	if err != nil {
		t.Fatal(err)
	}
	if err := p.Blocks(func(picture.Block) error { return io.ErrClosedPipe }); err != io.ErrClosedPipe {
		t.Errorf("the caller's error came back as %v", err)
	}
}

// A PNG of sixteen bits is never held whole: reading one takes some rows and the packer's window.
func TestPNGRowsTakeLittleMemory(t *testing.T) {
	const w, h = 3000, 2000
	deep := image.NewRGBA64(image.Rect(0, 0, w, h))
	for i := range deep.Pix {
		deep.Pix[i] = uint8(i >> 5)
	}
	file := encoded(t, func(to io.Writer) error { return (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(to, deep) })
	p, err := openBytes(file, "deep.png")
	if err != nil {
		t.Fatal(err)
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	if err := p.Blocks(func(picture.Block) error { return nil }); err != nil {
		t.Fatal(err)
	}
	runtime.ReadMemStats(&after)
	if got, most := after.TotalAlloc-before.TotalAlloc, uint64(w*6*(picture.BlockRows+4)+1<<20); got > most {
		t.Errorf("%d bytes were taken, want at most %d", got, most)
	}
}
