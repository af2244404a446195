package study

import (
	"fmt"
	"image"
	"math"

	"platewright/measure"
)

// Copy describes a photograph of a plate on the copy stand.
type Copy struct {
	Width, Height int            // of the photograph, px
	Long          measure.Length // long side of the plate; 0 leaves the scale out
	Seed          uint64
}

// CopyPhotograph returns a photograph of the plate, face up between two lamps, with a margin of dark
// card, a scale when the size is known, and the camera's noise. The plate stays mirror-reversed.
func CopyPhotograph(plate *image.RGBA, c Copy) (*image.RGBA, error) {
	if c.Width < leastSide || c.Width > mostSide || c.Height < leastSide || c.Height > mostSide {
		return nil, fmt.Errorf("photograph of %d x %d px is outside %d to %d px a side", c.Width, c.Height, leastSide, mostSide)
	}
	if plate.Rect.Dx() < 2 || plate.Rect.Dy() < 2 {
		return nil, fmt.Errorf("plate of %d x %d px is less than 2 px a side", plate.Rect.Dx(), plate.Rect.Dy())
	}
	if c.Long != 0 {
		if err := measure.Within("long side", float64(c.Long), 20, 2000, "mm"); err != nil {
			return nil, err
		}
	}
	img := image.NewRGBA(image.Rect(0, 0, c.Width, c.Height))
	W, H := float64(c.Width), float64(c.Height)
	pw, ph := float64(plate.Rect.Dx()), float64(plate.Rect.Dy())
	strip := 0.0
	if c.Long > 0 {
		strip = 0.055 * H
	}
	scale := min(W*0.88/pw, (H-strip)*0.90/ph)
	cx, cy := W/2, (H-strip)/2
	sin, cos := math.Sincos((unit(3, 3, c.Seed) - 0.5) * 0.012)
	for y := range c.Height {
		for x := range c.Width {
			dx, dy := float64(x)+0.5-cx, float64(y)+0.5-cy
			u, v := (dx*cos+dy*sin)/scale+pw/2, (dy*cos-dx*sin)/scale+ph/2
			rim := min(u, pw-u, v, ph-v) * scale // px inside the plate
			var p [3]float64
			if rim > 0 {
				p = sample(plate, u-0.5, v-0.5)
				k := 1 + 0.9*bell(rim-1, 0.9) // the cut edge catches the lamps
				for i := range p {
					p[i] = min(255, p[i]*k+10*bell(rim-1, 0.9))
				}
			} else {
				g := 47 + 5*noise(float64(x)*0.7, float64(y)*0.7, c.Seed+300) + 4*noise(float64(x)*0.05, float64(y)*0.3, c.Seed+301)
				g *= 1 - 0.45*step(-9, 0, rim) // the plate's shadow
				p = [3]float64{g, g * 0.985, g * 0.96}
			}
			fall := 1 - 0.09*(dx*dx/(W*W)*2.2+dy*dy/(H*H)*3) // two lamps, left and right
			n := (unit(int32(x), int32(y), c.Seed+302) + unit(int32(x), int32(y), c.Seed+303) - 1) * 3.2
			q := img.Pix[4*(y*c.Width+x):][:4]
			for i := range p {
				q[i] = uint8(max(0, min(255, p[i]*fall+n+0.5)))
			}
			q[3] = 255
		}
	}
	if strip > 0 {
		c.rule(img, scale*max(pw, ph)/float64(c.Long))
	}
	return img, nil
}

// sample reads the plate between pixels.
func sample(m *image.RGBA, x, y float64) [3]float64 {
	w, h := m.Rect.Dx(), m.Rect.Dy()
	x, y = max(0, min(float64(w)-1.001, x)), max(0, min(float64(h)-1.001, y))
	ix, iy := int(x), int(y)
	u, v := x-float64(ix), y-float64(iy)
	i := iy*m.Stride + 4*ix
	j := i + m.Stride
	if iy+1 >= h {
		j = i
	}
	var out [3]float64
	for c := range out {
		a, b := float64(m.Pix[i+c]), float64(m.Pix[i+4+c])
		d, e := float64(m.Pix[j+c]), float64(m.Pix[j+4+c])
		out[c] = (a*(1-u)+b*u)*(1-v) + (d*(1-u)+e*u)*v
	}
	return out
}

// rule lays a white scale of centimetres below the plate, with a row of greys and the word study.
func (c Copy) rule(img *image.RGBA, perMM float64) {
	W, H := c.Width, c.Height
	top, foot := int(float64(H)*0.957), int(float64(H)*0.985)
	left := W * 6 / 100
	length := int(min(100, math.Floor(float64(W)*0.5/perMM/10)*10) * perMM)
	set := func(x, y int, g uint8) {
		if (image.Point{x, y}.In(img.Rect)) {
			n := uint8(hash(int32(x), int32(y), c.Seed+310) & 3)
			q := img.Pix[img.PixOffset(x, y):]
			q[0], q[1], q[2] = g-n, g-n, g-n-g/40
		}
	}
	for y := top; y < foot; y++ {
		for x := left - 4; x <= left+length+4; x++ {
			set(x, y, 214)
		}
	}
	for mm := 0; float64(mm)*perMM <= float64(length)+0.5; mm++ {
		x := left + int(float64(mm)*perMM+0.5)
		long := (foot - top) * 3 / 10
		switch {
		case mm%10 == 0:
			long = (foot - top) * 7 / 10
		case mm%5 == 0:
			long = (foot - top) * 5 / 10
		case perMM < 3:
			continue
		}
		for y := top; y < top+long; y++ {
			set(x, y, 40)
		}
	}
	patch := W * 3 / 100
	for i, g := range []uint8{233, 188, 145, 104, 66, 34} {
		for y := top; y < foot; y++ {
			for x := range patch {
				set(W*70/100+i*patch+x, y, g)
			}
		}
	}
	size := max(1, H/700)
	words(img, "study", image.Pt(left+length+14, top), size, false, func(x, y int, _ float64) { set(x, y, 170) })
}
