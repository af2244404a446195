package look

import (
	"image"

	"platewright/picture"
)

// band is how many rows one hand takes at a time.
const band = 32

// lines gives the rows of planes as linear light.
type lines struct {
	grey    *image.Gray
	planes  *image.YCbCr
	colours *picture.Colours
}

// scratch is what one hand needs to read rows.
type scratch struct {
	samples []uint16
	lin     []float32
}

func (l *lines) size() (w, h int) {
	if l.grey != nil {
		return l.grey.Rect.Dx(), l.grey.Rect.Dy()
	}
	return l.planes.Rect.Dx(), l.planes.Rect.Dy()
}

func (l *lines) scratch() *scratch {
	w, _ := l.size()
	return &scratch{make([]uint16, 3*w), make([]float32, 3*w)}
}

// channels returns how many samples a pixel has.
func (l *lines) channels() int {
	if l.grey != nil {
		return 1
	}
	return 3
}

// row returns the samples of row y in sixteen bits, valid until the next.
func (l *lines) row(y int, s *scratch) []uint16 {
	w, _ := l.size()
	if l.grey != nil {
		for x, v := range l.grey.Pix[y*l.grey.Stride:][:w] {
			s.samples[x] = uint16(v) * 0x101
		}
		return s.samples[:w]
	}
	m := l.planes
	across := 1
	switch m.SubsampleRatio {
	case image.YCbCrSubsampleRatio422, image.YCbCrSubsampleRatio420:
		across = 2
	}
	c := m.COffset(m.Rect.Min.X, m.Rect.Min.Y+y)
	ys, cbs, crs := m.Y[y*m.YStride:][:w], m.Cb[c:], m.Cr[c:]
	out := s.samples[:3*w]
	if across == 1 {
		for x, v := range ys {
			rgb(out[3*x:3*x+3], v, cbs[x], crs[x])
		}
	} else {
		for x, v := range ys {
			rgb(out[3*x:3*x+3], v, cbs[x>>1], crs[x>>1])
		}
	}
	return out
}

// light returns row y as linear light, valid until the next.
func (l *lines) light(y int, s *scratch) []float32 {
	l.colours.Linear(s.lin, l.row(y, s), l.channels())
	return s.lin
}

// rgb turns luma and chroma into red, green and blue of sixteen bits, whose upper byte is exact [T871].
func rgb(out []uint16, y, cb, cr uint8) {
	yy, b, r := int32(y)*0x10101, int32(cb)-128, int32(cr)-128
	_ = out[2]
	out[0] = spread(yy + 91881*r)
	out[1] = spread(yy - 22554*b - 46802*r)
	out[2] = spread(yy + 116130*b)
}

// spread rounds 16.16 figures of 0 to 255 to sixteen bits.
func spread(v int32) uint16 {
	v = max(0, min(0xff0000, v))
	return uint16((v + 128) >> 8 * 0x101 >> 8)
}

// seeAll turns a photograph into codes of silver, as it is stored.
func seeAll(p *picture.Photograph, c *picture.Colours, e *eye, each Each) (*image.Gray, error) {
	a := p.About()
	if a.Format == picture.JPEG {
		l, err := linesOf(p, c)
		if err != nil {
			return nil, err
		}
		w, h := l.size()
		out := l.grey // the codes take the place of the luma they come from
		if out == nil {
			out = &image.Gray{Pix: l.planes.Y, Stride: l.planes.YStride, Rect: image.Rect(0, 0, w, h)}
		}
		each.all((h+band-1)/band, func(i int) {
			s := l.scratch()
			for y := i * band; y < min((i+1)*band, h); y++ {
				e.seeSamples(out.Pix[y*out.Stride:][:w], c, l.row(y, s), l.channels(), s.lin, 0, y)
			}
		})
		return out, nil
	}
	out := image.NewGray(image.Rect(0, 0, a.Width, a.Height))
	return out, blocks(p, each, func(b picture.Block, y int, lin []float32) {
		e.seeSamples(out.Pix[(b.Y+y)*out.Stride+b.X:][:b.Width], c, b.Row(y), b.Channels, lin, b.X, b.Y+y)
	})
}

func linesOf(p *picture.Photograph, c *picture.Colours) (*lines, error) {
	img, err := p.Planes()
	if err != nil {
		return nil, err
	}
	l := &lines{colours: c}
	switch m := img.(type) {
	case *image.Gray:
		l.grey = m
	case *image.YCbCr:
		l.planes = m
	}
	return l, nil
}

// blocks reads a PNG or TIFF and does something with each row of each block; lin has room for its light.
func blocks(p *picture.Photograph, each Each, do func(b picture.Block, y int, lin []float32)) error {
	const parts = picture.BlockRows / 8
	var lin [parts][]float32
	return p.Blocks(func(b picture.Block) error {
		each.all(parts, func(i int) {
			if len(lin[i]) < 3*b.Width {
				lin[i] = make([]float32, 3*b.Width)
			}
			for y := i * b.Height / parts; y < (i+1)*b.Height/parts; y++ {
				do(b, y, lin[i][:3*b.Width])
			}
		})
		return nil
	})
}
