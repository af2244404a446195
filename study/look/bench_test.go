package look_test

import (
	"bytes"
	"image"
	"image/jpeg"
	"image/png"
	"io"
	"os"
	"runtime"
	"sync"
	"testing"

	"platewright/collodion"
	"platewright/colour"
	"platewright/light"
	"platewright/picture"
	"platewright/study/look"
)

// sideBySide hands work out to as many hands as there are processors.
func sideBySide(n int, do func(i int)) {
	var wait sync.WaitGroup
	next := make(chan int)
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for i := range next {
				do(i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	wait.Wait()
}

func usual(t testing.TB) look.Options {
	t.Helper()
	s, err := colour.SightFor(light.AnyDaylight)
	if err != nil {
		t.Fatal(err)
	}
	return look.Options{Sight: s, Curve: collodion.UsualCurve()}
}

// enlarged is a real photograph made as large as asked, coloured and with grain, so that codecs work as on a camera's file.
func enlarged(t testing.TB, w, h int) *image.YCbCr {
	t.Helper()
	f, err := os.Open("../../picture/testdata/black-canyon.jpg")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	m, err := jpeg.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	src := m.(*image.YCbCr)
	sw, sh := src.Rect.Dx(), src.Rect.Dy()
	out := image.NewYCbCr(image.Rect(0, 0, w, h), image.YCbCrSubsampleRatio420)
	for y := range h {
		for x := range w {
			grain := uint8(uint32(x*7919+y*104729)*2654435761>>29) & 3
			out.Y[y*out.YStride+x] = src.Y[src.YOffset(x*sw/w, y*sh/h)]&^3 + grain
		}
	}
	for y := range (h + 1) / 2 {
		for x := range (w + 1) / 2 {
			i := y*out.CStride + x
			out.Cb[i], out.Cr[i] = uint8(96+64*x*2/w), uint8(160-64*y*2/h)
		}
	}
	return out
}

func open(t testing.TB, b []byte, name string) *picture.Photograph {
	t.Helper()
	p, err := picture.Open(bytes.NewReader(b), int64(len(b)), name)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func fileOf(t testing.TB, encode func(io.Writer) error) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := encode(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func jpegFile(t testing.TB, m image.Image) []byte {
	return fileOf(t, func(w io.Writer) error { return jpeg.Encode(w, m, &jpeg.Options{Quality: 92}) })
}

// BenchmarkWhole24Megapixels is the command's work on a JPEG of 24 megapixels, on as many processors as there are;
// the peak is what the runtime has ever asked the system for.
func BenchmarkWhole24Megapixels(b *testing.B) { benchmarkWhole(b, 6000, 4000) }

// BenchmarkWhole6Megapixels beside it shows that time grows with the pixels.
func BenchmarkWhole6Megapixels(b *testing.B) { benchmarkWhole(b, 3000, 2000) }

func benchmarkWhole(b *testing.B, w, h int) {
	file := jpegFile(b, enlarged(b, w, h))
	runtime.GC()
	o := usual(b)
	var m runtime.MemStats
	b.ResetTimer()
	for range b.N {
		l, err := look.Render(open(b, file, "large.jpg"), o, sideBySide)
		if err != nil {
			b.Fatal(err)
		}
		if err := l.WriteJPEG(io.Discard); err != nil {
			b.Fatal(err)
		}
		runtime.ReadMemStats(&m)
	}
	b.ReportMetric(float64(m.HeapSys)/1e6, "MB-heap")
	b.ReportMetric(b.Elapsed().Seconds()/float64(b.N)/(float64(w*h)/1e6)*1000, "ms/Mpx")
}

// BenchmarkStages times each stage on 24 megapixels: what decoding takes, then seeing with curve and tone by one hand
// and by all, then each way of writing.
func BenchmarkStages(b *testing.B) {
	m := enlarged(b, 6000, 4000)
	file := jpegFile(b, m)
	o := usual(b)
	b.Run("decode", func(b *testing.B) {
		for range b.N {
			if _, err := open(b, file, "large.jpg").Planes(); err != nil {
				b.Fatal(err)
			}
		}
	})
	for name, each := range map[string]look.Each{"decode and see, one hand": nil, "decode and see, all hands": sideBySide} {
		b.Run(name, func(b *testing.B) {
			for range b.N {
				if _, err := look.Render(open(b, file, "large.jpg"), o, each); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	b.Run("decode and reduce to 1600 px", func(b *testing.B) {
		for range b.N {
			if _, err := look.Reduce(open(b, file, "large.jpg"), 1600, false, sideBySide); err != nil {
				b.Fatal(err)
			}
		}
	})
	s, err := look.Reduce(open(b, file, "large.jpg"), 1600, false, sideBySide)
	if err != nil {
		b.Fatal(err)
	}
	b.Run("see 1600 px", func(b *testing.B) {
		for range b.N {
			if _, err := s.Render(o, sideBySide); err != nil {
				b.Fatal(err)
			}
		}
	})
	l, err := look.Render(open(b, file, "large.jpg"), o, sideBySide)
	if err != nil {
		b.Fatal(err)
	}
	for name, write := range map[string]func(io.Writer) error{"write JPEG": l.WriteJPEG, "write PNG": l.WritePNG} {
		b.Run(name, func(b *testing.B) {
			for range b.N {
				if err := write(io.Discard); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkDeep100Megapixels is a PNG of sixteen bits and 100 megapixels, 600 MB of samples, never held whole.
func BenchmarkDeep100Megapixels(b *testing.B) {
	const w, h = 11600, 8700
	file := func() []byte {
		m := image.NewRGBA64(image.Rect(0, 0, w, h))
		for i := range m.Pix {
			m.Pix[i] = uint8(i/8%w*200/w + i*7>>5&7)
		}
		return fileOf(b, func(to io.Writer) error { return (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(to, m) })
	}()
	runtime.GC()
	runtime.GC()
	o := usual(b)
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	before := m.HeapInuse
	b.ResetTimer()
	for range b.N {
		l, err := look.Render(open(b, file, "deep.png"), o, sideBySide)
		if err != nil {
			b.Fatal(err)
		}
		runtime.ReadMemStats(&m)
		b.ReportMetric(float64(m.HeapInuse-before)/1e6, "MB-in-use")
		if err := l.WriteJPEG(io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}
