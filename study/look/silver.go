package look

import (
	"image/color"
	"math"

	"platewright/collodion"
	"platewright/colour"
)

// top is the luminance at which the plate's whitest silver is shown, so that there is room for its colour.
const top = 0.88

// silver says how the plate's reflectance is shown. A code is the luma that it has in sRGB, so that codes
// are the luma plane of a picture and an index of colours at once.
type silver struct {
	least, most float64
	luma        [steps + 1]float64 // by the share of the way from black to white
	colours     [256][3]uint8
	cb, cr      [256]uint8
	share       [256]float64 // of the way from black to white
	plain       bool         // grey without colour
}

const steps = 4096

func newSilver(o Options) *silver {
	s := &silver{least: o.Curve.Least, most: o.Curve.Most, plain: o.Tone == collodion.Neutral}
	next := 0
	for i := range s.luma {
		share := float64(i) / steps
		Y := top * share
		if o.Measured {
			Y = s.least + (s.most-s.least)*share
		}
		r, g, b := o.Tone.Silver(share, Y)
		r, g, b = colour.Encode(r), colour.Encode(g), colour.Encode(b)
		s.luma[i] = 0.299*r + 0.587*g + 0.114*b // [T871]
		for last := i == steps; next < 256 && (last || float64(next) <= 255*s.luma[i]); next++ {
			scale := 1.0
			if last && s.luma[i] > 0 { // codes above the whitest silver, which no plate has, keep its colour
				scale = float64(next) / 255 / s.luma[i]
			}
			s.keep(next, share, scale*r, scale*g, scale*b)
		}
	}
	return s
}

func (s *silver) keep(code int, share, r, g, b float64) {
	eight := func(v float64) uint8 { return uint8(math.Round(255 * max(0, min(1, v)))) }
	y := 0.299*r + 0.587*g + 0.114*b
	s.colours[code] = [3]uint8{eight(r), eight(g), eight(b)}
	s.cb[code], s.cr[code] = eight((b-y)/1.772+128.0/255), eight((r-y)/1.402+128.0/255) // [T871]
	s.share[code] = share
}

// code returns the code of a reflectance.
func (s *silver) code(reflectance float64) uint8 {
	x := max(0, min(1, (reflectance-s.least)/(s.most-s.least))) * steps
	i := min(int(x), steps-1)
	return uint8(math.Round(255 * (s.luma[i] + (x-float64(i))*(s.luma[i+1]-s.luma[i]))))
}

func (s *silver) palette() color.Palette {
	p := make(color.Palette, 256)
	for i, c := range s.colours {
		p[i] = color.RGBA{c[0], c[1], c[2], 255}
	}
	return p
}
