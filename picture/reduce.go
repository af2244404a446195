package picture

import (
	"fmt"
	"image"
	"image/color"
	"math"
)

// Reduced returns the picture with its longest side reduced to longest pixels, each new pixel being
// the mean, in linear light, of the area it covers. A picture that is no larger is returned whole.
func (p *Picture) Reduced(longest int) (*Picture, error) {
	if longest < 1 || longest > LongestSide {
		return nil, fmt.Errorf("longest side %d px is outside 1 to %d px", longest, LongestSide)
	}
	s := p.Size()
	if max(s.X, s.Y) <= longest {
		return p, nil
	}
	scale := float64(longest) / float64(max(s.X, s.Y))
	w, h := max(1, int(math.Round(float64(s.X)*scale))), max(1, int(math.Round(float64(s.Y)*scale)))
	return &Picture{img: reduce(p.img, w, h), profile: p.profile}, nil
}

// reduce averages areas. Rows of the source are first averaged across, then added to the one or two
// rows of the result that they touch, so only a few rows are held besides the result.
func reduce(img image.Image, w, h int) image.Image {
	b := img.Bounds()
	sw, sh := b.Dx(), b.Dy()
	linear, code := curves()
	grey, isGrey := img.(*image.Gray)
	var out *image.YCbCr
	var outGrey *image.Gray
	channels := 3
	if isGrey {
		channels = 1
		outGrey = image.NewGray(image.Rect(0, 0, w, h))
	} else {
		out = image.NewYCbCr(image.Rect(0, 0, w, h), image.YCbCrSubsampleRatio444)
	}
	row := make([]float32, channels*sw)
	across := make([]float32, channels*w)
	acc, next := make([]float32, channels*w), make([]float32, channels*w)
	fx, fy := float64(sw)/float64(w), float64(sh)/float64(h)
	// Rounding of long sums may pass white by a hair.
	at := func(v float32) uint8 { return code[min(int(v+0.5), curveSteps)] }
	flush := func(y int) {
		scale := float32(curveSteps / (fx * fy))
		if isGrey {
			for x := range w {
				outGrey.Pix[y*outGrey.Stride+x] = at(acc[x] * scale)
			}
		} else {
			for x := range w {
				i := y*out.YStride + x
				out.Y[i], out.Cb[i], out.Cr[i] = color.RGBToYCbCr(
					at(acc[3*x]*scale), at(acc[3*x+1]*scale), at(acc[3*x+2]*scale))
			}
		}
		acc, next = next, acc
		clear(next)
	}
	y := 0
	for sy := range sh {
		if isGrey {
			for x, v := range grey.Pix[sy*grey.Stride:][:sw] {
				row[x] = linear[v]
			}
		} else {
			linearRow(row, img.(*image.YCbCr), b.Min.Y+sy, linear)
		}
		averageAcross(across, row, channels, fx)
		edge := float64(y+1) * fy
		low := min(1, edge-float64(sy)) // share of this source row that falls to row y
		if y == h-1 {
			low = 1
		}
		for i, v := range across {
			acc[i] += v * float32(low)
		}
		if float64(sy+1) >= edge-1e-9 && y < h-1 {
			if high := 1 - low; high > 1e-9 {
				for i, v := range across {
					next[i] += v * float32(high)
				}
			}
			flush(y)
			y++
		}
	}
	flush(y)
	if isGrey {
		return outGrey
	}
	return out
}

// averageAcross sums the source samples under each new one, the shared ones by their shares.
func averageAcross(dst, row []float32, channels int, fx float64) {
	n, sw := len(dst)/channels, len(row)/channels
	for x := range n {
		from, to := float64(x)*fx, float64(x+1)*fx
		i, j := int(from), min(int(to), sw)
		first := float32(float64(i+1) - from)
		last := float32(to - float64(j))
		for c := range channels {
			sum := row[channels*i+c] * first
			for k := i + 1; k < j; k++ {
				sum += row[channels*k+c]
			}
			if j < sw && last > 0 {
				sum += row[channels*j+c] * last
			}
			dst[channels*x+c] = sum
		}
	}
}

// linearRow fills row with the linear red, green and blue of one line, by the JFIF matrix [T871].
func linearRow(row []float32, m *image.YCbCr, y int, linear *[256]float32) {
	h, _ := steps(m.SubsampleRatio)
	ys := m.Y[m.YOffset(m.Rect.Min.X, y):]
	c0 := m.COffset(m.Rect.Min.X, y)
	cbs, crs := m.Cb[c0:], m.Cr[c0:]
	start := m.Rect.Min.X % h
	for x := range m.Rect.Dx() {
		c := (x + start) / h
		yy := int32(ys[x]) * 0x10101
		cb, cr := int32(cbs[c])-128, int32(crs[c])-128
		r := (yy + 91881*cr + 1<<15) >> 16
		g := (yy - 22554*cb - 46802*cr + 1<<15) >> 16
		b := (yy + 116130*cb + 1<<15) >> 16
		row[3*x], row[3*x+1], row[3*x+2] = linear[limit(r)], linear[limit(g)], linear[limit(b)]
	}
}

func limit(v int32) uint8 { return uint8(max(0, min(255, v))) }

const curveSteps = 1 << 15

// curves returns the sRGB curve and its inverse as tables [IEC61966]: code to linear light, and linear
// light in steps of 1/32768 to the nearest code.
func curves() (*[256]float32, *[curveSteps + 2]uint8) {
	var linear [256]float32
	for i := range linear {
		linear[i] = float32(sRGBLinear(float64(i) / 255))
	}
	var code [curveSteps + 2]uint8
	c := 0
	for i := range code {
		for c < 255 && float64(i)/curveSteps >= sRGBLinear((float64(c)+0.5)/255) {
			c++
		}
		code[i] = uint8(c)
	}
	return &linear, &code
}

// sRGBLinear decodes an sRGB value of 0 to 1 [IEC61966].
func sRGBLinear(v float64) float64 {
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}
