package picture_test

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/gif"
	"image/jpeg"
	"image/png"
	"io"
	"os"
	"strings"
	"testing"

	"golang.org/x/image/tiff"

	"platewright/picture"
)

func encoded(t testing.TB, encode func(io.Writer) error) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := encode(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// gradient makes a picture with detail, so that codecs give a file of a likely size.
func gradient(w, h int) *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			m.SetRGBA(x, y, color.RGBA{uint8(x * 255 / w), uint8(y * 255 / h), uint8((x*7 + y*3) % 200), 255})
		}
	}
	return m
}

func pngHead(w, h uint32, bits, kind byte) []byte {
	b := []byte("\x89PNG\r\n\x1a\n\x00\x00\x00\x0dIHDR")
	b = binary.BigEndian.AppendUint32(b, w)
	b = binary.BigEndian.AppendUint32(b, h)
	b = append(b, bits, kind, 0, 0, 0)
	b = binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[12:]))
	return append(b, "\x00\x00\x00\x08IDAT\x78\x9c\x03\x00\x00\x00\x00\x01\x00\x00\x00\x00"...)
}

// tiffOf makes a little-endian TIFF of one directory; each row is tag, kind, count, value.
func tiffOf(rows ...[4]uint32) []byte {
	b := []byte("II*\x00\x08\x00\x00\x00")
	b = binary.LittleEndian.AppendUint16(b, uint16(len(rows)))
	for _, r := range rows {
		b = binary.LittleEndian.AppendUint16(b, uint16(r[0]))
		b = binary.LittleEndian.AppendUint16(b, uint16(r[1]))
		b = binary.LittleEndian.AppendUint32(b, r[2])
		b = binary.LittleEndian.AppendUint32(b, r[3])
	}
	return append(b, 0, 0, 0, 0)
}

// jpegHead changes the frame header of a real JPEG.
func jpegHead(b []byte, change func(frame []byte)) []byte {
	b = bytes.Clone(b)
	i := bytes.Index(b, []byte{0xff, 0xc0})
	change(b[i+4:])
	return b
}

func TestRefusals(t *testing.T) {
	whole := encoded(t, func(w io.Writer) error { return jpeg.Encode(w, gradient(200, 150), nil) })
	wholePNG := encoded(t, func(w io.Writer) error { return png.Encode(w, gradient(200, 150)) })
	for _, tt := range []struct {
		name string
		file []byte
		says []string // words of the sentence
	}{
		{"empty.jpg", nil, []string{"empty"}},
		{"letter.txt", []byte("Dear sir, the plate is lovely.\n"), []string{"text", "JPEG, PNG or TIFF"}},
		{"zeros.bin", make([]byte, 900), []string{"no picture"}},
		{"dance.gif", encoded(t, func(w io.Writer) error { return gif.Encode(w, gradient(20, 20), nil) }), []string{"GIF"}},
		{"phone.heic", []byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00"), []string{"HEIF"}},
		{"web.webp", []byte("RIFF\x10\x00\x00\x00WEBPVP8 "), []string{"WebP"}},
		{"big.tif", []byte("II+\x00\x08\x00\x00\x00"), []string{"BigTIFF"}},
		{"head-only.jpg", whole[:20], []string{"cut off"}},
		{"no-scan.jpg", append(bytes.Clone(whole[:2]), 0xff, 0xd9, 0, 0), []string{"JPEG", "ends before"}},
		{"half.jpg", whole[:len(whole)/2], []string{"cut off"}},
		{"half.png", wholePNG[:len(wholePNG)/2], []string{"cut off"}},
		{"flipped-bits.png", func() []byte { b := bytes.Clone(wholePNG); b[len(b)/2] ^= 0x55; return b }(), []string{"damaged"}},
		{"twelve-bit.jpg", jpegHead(whole, func(f []byte) { f[0] = 12 }), []string{"12 bits"}},
		{"press.jpg", jpegHead(whole, func(f []byte) { f[5] = 4 }), []string{"4 channels"}},
		{"wide.jpg", jpegHead(whole, func(f []byte) { f[3], f[4] = 0xff, 0xff }), []string{"65535 x 150", "30000 px"}},
		{"short.jpg", jpegHead(whole, func(f []byte) { f[1], f[2], f[3], f[4] = 0x30, 0, 0x30, 0 }), []string{"12288 x 12288", "too short"}},
		{"giant.png", pngHead(1<<31-1, 1<<31-1, 8, 2), []string{"30000 px"}},
		{"vast.png", pngHead(20000, 20000, 8, 2), []string{"400 megapixels", "200 megapixels"}},
		{"bomb.png", pngHead(14000, 14000, 8, 2), []string{"14000 x 14000", "too short"}},
		{"line-art.png", pngHead(100, 100, 1, 0), []string{"1 bits"}},
		{"nothing.png", pngHead(0, 100, 8, 2), []string{"a side is nothing"}},
		{"crooked.png", append([]byte("\x89PNG\r\n\x1a\n"), make([]byte, 40)...), []string{"header"}},
		{"huge-directory.tif", append([]byte("II*\x00\x08\x00\x00\x00\xff\xff"), make([]byte, 400)...), []string{"65535 entries"}},
		{"huge-tag.tif", tiffOf([4]uint32{256, 4, 1, 100}, [4]uint32{34675, 7, 0xfffffff0, 8}), []string{"tag 34675", "4294967280 bytes"}},
		{"lost-directory.tif", []byte("II*\x00\xff\xff\xff\x7f"), []string{"outside the file"}},
		{"short.tif", tiffOf([4]uint32{256, 4, 1, 12000}, [4]uint32{257, 4, 1, 12000}, [4]uint32{258, 3, 1, 16}), []string{"12000 x 12000", "too short"}},
		{"fax.tif", tiffOf([4]uint32{256, 4, 1, 10}, [4]uint32{257, 4, 1, 10}, [4]uint32{258, 3, 1, 8}, [4]uint32{259, 3, 1, 4}), []string{"scheme 4"}},
		{"no-strips.tif", tiffOf([4]uint32{256, 4, 1, 10}, [4]uint32{257, 4, 1, 10}, [4]uint32{258, 3, 1, 8}, [4]uint32{262, 3, 1, 1}), []string{"TIFF"}},
	} {
		p, err := openBytes(tt.file, "some/folder/"+tt.name)
		if err == nil {
			_, err = p.TrueView(picture.AsItLies)
		}
		if err == nil {
			t.Errorf("%s: taken, want a refusal", tt.name)
			continue
		}
		for _, want := range append(tt.says, tt.name) {
			if !strings.Contains(err.Error(), want) {
				t.Errorf("%s: %q does not say %q", tt.name, err, want)
			}
		}
		if strings.Contains(err.Error(), "some/folder") {
			t.Errorf("%s: %q tells the folder", tt.name, err)
		}
	}
}

// A file that only claims to be large must not make Open take memory for it.
func TestOpenTakesNoMemoryForClaims(t *testing.T) {
	bomb := pngHead(14000, 14000, 16, 6)
	r := testing.Benchmark(func(b *testing.B) {
		b.ReportAllocs()
		for range b.N {
			if _, err := openBytes(bomb, "bomb.png"); err == nil {
				b.Fatal("taken")
			}
		}
	})
	if got := r.AllocedBytesPerOp(); got > 64<<10 {
		t.Errorf("refusing a bomb took %d bytes, want at most 64 KiB", got)
	}
}

func TestParticulars(t *testing.T) {
	sixteen := image.NewGray16(image.Rect(0, 0, 40, 30))
	colour := image.NewRGBA64(image.Rect(0, 0, 41, 31))
	for i := range colour.Pix {
		colour.Pix[i] = 0xff
	}
	for _, tt := range []struct {
		name     string
		file     []byte
		format   picture.Format
		w, h     int
		bits, ch int
	}{
		{"a.jpg", encoded(t, func(w io.Writer) error { return jpeg.Encode(w, gradient(33, 17), nil) }), picture.JPEG, 33, 17, 8, 3},
		{"b.png", encoded(t, func(w io.Writer) error { return png.Encode(w, gradient(33, 17)) }), picture.PNG, 33, 17, 8, 3},
		{"c.png", encoded(t, func(w io.Writer) error { return png.Encode(w, sixteen) }), picture.PNG, 40, 30, 16, 1},
		{"d.tif", encoded(t, func(w io.Writer) error { return tiff.Encode(w, sixteen, nil) }), picture.TIFF, 40, 30, 16, 1},
		{"e.tif", encoded(t, func(w io.Writer) error {
			return tiff.Encode(w, colour, &tiff.Options{Compression: tiff.Deflate, Predictor: true})
		}), picture.TIFF, 41, 31, 16, 4},
		{"f.tif", encoded(t, func(w io.Writer) error { return tiff.Encode(w, gradient(33, 17), nil) }), picture.TIFF, 33, 17, 8, 4},
	} {
		p, err := openBytes(tt.file, tt.name)
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		a := p.About()
		if a.Format != tt.format || a.Width != tt.w || a.Height != tt.h || a.Bits != tt.bits || a.Channels != tt.ch {
			t.Errorf("%s: %+v, want %s %d x %d, %d bits, %d channels", tt.name, a, tt.format, tt.w, tt.h, tt.bits, tt.ch)
		}
		if v, err := p.TrueView(picture.AsItLies); err != nil || v.Size() != image.Pt(tt.w, tt.h) {
			t.Errorf("%s: true view: %v", tt.name, err)
		}
	}
}

func FuzzOpen(f *testing.F) {
	f.Add([]byte{})
	f.Add(encoded(f, func(w io.Writer) error { return jpeg.Encode(w, gradient(20, 12), nil) }))
	f.Add(encoded(f, func(w io.Writer) error { return png.Encode(w, gradient(20, 12)) }))
	f.Add(encoded(f, func(w io.Writer) error { return tiff.Encode(w, gradient(20, 12), nil) }))
	f.Add(withEXIF(f, 20, 12, 6))
	f.Add(pngHead(14000, 14000, 8, 2))
	f.Add(tiffOf([4]uint32{256, 4, 1, 10}, [4]uint32{257, 4, 1, 10}, [4]uint32{274, 3, 1, 6}))
	if b, err := os.ReadFile("testdata/nagasaki-boats.jpg"); err == nil {
		f.Add(b[:3000])
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		p, err := openBytes(b, "fuzzed")
		if err != nil {
			if !strings.HasPrefix(err.Error(), "fuzzed: ") {
				t.Errorf("%q does not name the file", err)
			}
			return
		}
		a := p.About()
		if a.Width*a.Height > picture.MostPixels || a.Orientation < 1 || a.Orientation > 8 {
			t.Errorf("taken with %+v", a)
		}
		if a.Megapixels() > 0.3 {
			return
		}
		v, err := p.TrueView(picture.AsItLies)
		if err != nil {
			return
		}
		small, err := v.Reduced(16)
		if err != nil {
			t.Fatal(err)
		}
		if err := small.WriteJPEG(io.Discard); err != nil {
			t.Error(err)
		}
	})
}
