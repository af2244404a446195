package picture

import "image"

// turning is a change of place of pixels: first rows become columns, then left-right and up-down
// are exchanged.
type turning struct{ transpose, mirrorX, mirrorY bool }

// turnOf returns what makes a picture of an orientation upright ([Exif232] tag 274).
func turnOf(orientation int) turning {
	switch orientation {
	case 2:
		return turning{mirrorX: true}
	case 3:
		return turning{mirrorX: true, mirrorY: true}
	case 4:
		return turning{mirrorY: true}
	case 5:
		return turning{transpose: true}
	case 6:
		return turning{transpose: true, mirrorX: true}
	case 7:
		return turning{transpose: true, mirrorX: true, mirrorY: true}
	case 8:
		return turning{transpose: true, mirrorY: true}
	}
	return turning{}
}

// plane is one channel of a picture.
type plane struct {
	pix           []uint8
	stride        int
	width, height int
}

// turn changes the places of the pixels, in place where rows stay rows. A picture whose chroma is
// coarser than its luma keeps its grid: the bounds move by a pixel when the size does not divide.
func turn(img image.Image, t turning) image.Image {
	if t == (turning{}) {
		return img
	}
	switch m := img.(type) {
	case *image.Gray:
		p := turnPlane(plane{m.Pix, m.Stride, m.Rect.Dx(), m.Rect.Dy()}, t)
		return &image.Gray{Pix: p.pix, Stride: p.stride, Rect: image.Rect(0, 0, p.width, p.height)}
	case *image.YCbCr:
		h, v := steps(m.SubsampleRatio)
		r := m.Rect
		cw, ch := (r.Max.X+h-1)/h-r.Min.X/h, (r.Max.Y+v-1)/v-r.Min.Y/v
		y := turnPlane(plane{m.Y, m.YStride, r.Dx(), r.Dy()}, t)
		cb := turnPlane(plane{m.Cb, m.CStride, cw, ch}, t)
		cr := turnPlane(plane{m.Cr, m.CStride, cw, ch}, t)
		ratio := m.SubsampleRatio
		if t.transpose {
			r = image.Rect(r.Min.Y, r.Min.X, r.Max.Y, r.Max.X)
			h, v = v, h
			switch ratio {
			case image.YCbCrSubsampleRatio422:
				ratio = image.YCbCrSubsampleRatio440
			case image.YCbCrSubsampleRatio440:
				ratio = image.YCbCrSubsampleRatio422
			}
		}
		if t.mirrorX {
			r.Min.X, r.Max.X = mirrorSpan(r.Min.X, r.Max.X, h)
		}
		if t.mirrorY {
			r.Min.Y, r.Max.Y = mirrorSpan(r.Min.Y, r.Max.Y, v)
		}
		return &image.YCbCr{Y: y.pix, Cb: cb.pix, Cr: cr.pix, YStride: y.stride, CStride: cb.stride, SubsampleRatio: ratio, Rect: r}
	}
	panic("picture: turn of a picture that planes did not make")
}

// steps returns how many luma samples share one chroma sample, across and down.
func steps(r image.YCbCrSubsampleRatio) (across, down int) {
	switch r {
	case image.YCbCrSubsampleRatio422:
		return 2, 1
	case image.YCbCrSubsampleRatio420:
		return 2, 2
	case image.YCbCrSubsampleRatio440:
		return 1, 2
	}
	return 1, 1
}

// mirrorSpan mirrors the span [low, high) on a grid of the given step, so that grid cells fall on
// grid cells.
func mirrorSpan(low, high, step int) (int, int) {
	k := (high + step - 1) / step * step
	return k - high, k - low
}

func turnPlane(p plane, t turning) plane {
	if t.transpose {
		p = transposed(p)
	}
	if t.mirrorX {
		for y := range p.height {
			row := p.pix[y*p.stride:][:p.width]
			for i, j := 0, len(row)-1; i < j; i, j = i+1, j-1 {
				row[i], row[j] = row[j], row[i]
			}
		}
	}
	if t.mirrorY {
		for i, j := 0, p.height-1; i < j; i, j = i+1, j-1 {
			a, b := p.pix[i*p.stride:][:p.width], p.pix[j*p.stride:][:p.width]
			for x := range a {
				a[x], b[x] = b[x], a[x]
			}
		}
	}
	return p
}

// transposed exchanges rows and columns, square by square to stay in the cache.
func transposed(p plane) plane {
	out := plane{make([]uint8, p.width*p.height), p.height, p.height, p.width}
	const side = 64
	for y0 := 0; y0 < p.height; y0 += side {
		for x0 := 0; x0 < p.width; x0 += side {
			for y := y0; y < min(y0+side, p.height); y++ {
				row := p.pix[y*p.stride:]
				for x := x0; x < min(x0+side, p.width); x++ {
					out.pix[x*out.stride+y] = row[x]
				}
			}
		}
	}
	return out
}

// Stored returns where the place x, y of the upright picture lies in the picture as it is stored, both
// in shares of the sides from the upper left corner.
func (p *Photograph) Stored(x, y float64) (sx, sy float64) {
	t := turnOf(p.about.Orientation)
	if t.mirrorX {
		x = 1 - x
	}
	if t.mirrorY {
		y = 1 - y
	}
	if t.transpose {
		x, y = y, x
	}
	return x, y
}

// Upright returns a grey picture, whose pixels lie as the photograph's do, upright and, when mirrored, turned left for
// right. The pixels given are used up.
func (p *Photograph) Upright(m *image.Gray, mirrored bool) *image.Gray {
	t := turnOf(p.about.Orientation)
	t.mirrorX = t.mirrorX != mirrored
	return turn(m, t).(*image.Gray)
}
