package study

import (
	"image"
	"math"

	"golang.org/x/image/font"
	"golang.org/x/image/font/basicfont"
	"golang.org/x/image/math/fixed"
)

// scratch is a speck, hair or comet on the film: a dark or light head with a tail.
type scratch struct {
	at      point // px
	radius  float64
	tail    float64 // px
	toward  float64 // direction of the tail
	lighter bool
	strong  float64
}

// scratches returns the specks every plate has, and the comets of a faulty one.
func (f *film) scratches() []scratch {
	w, h := float64(f.Width), float64(f.Height)
	k := min(w, h) / 900
	r := f.r
	var out []scratch
	for range 14 + r.IntN(30) {
		out = append(out, scratch{at: point{w * r.Float64(), h * r.Float64()}, radius: k * (0.5 + 1.2*r.Float64()*r.Float64()), lighter: r.Float64() < 0.3, strong: 0.4 + 0.5*r.Float64()})
	}
	if f.has(Comet) {
		way := math.Pi*0.5 + 0.9*(2*r.Float64()-1)
		for range 9 + r.IntN(10) {
			out = append(out, scratch{at: point{w * r.Float64(), h * r.Float64()}, radius: k * (2.2 + 3.6*r.Float64()), tail: k * (30 + 80*r.Float64()),
				toward: way + 0.12*(2*r.Float64()-1), lighter: r.Float64() < 0.75, strong: 0.85})
		}
	}
	return out
}

func (s scratch) draw(img *image.RGBA) {
	sin, cos := math.Sincos(s.toward)
	reach := s.radius*3 + s.tail
	for y := int(s.at.y - reach); y <= int(s.at.y+reach); y++ {
		for x := int(s.at.x - reach); x <= int(s.at.x+reach); x++ {
			if !(image.Point{x, y}.In(img.Rect)) {
				continue
			}
			dx, dy := float64(x)-s.at.x, float64(y)-s.at.y
			t := step(1.4, 0.7, math.Hypot(dx, dy)/s.radius)
			if s.tail > 0 {
				along, across := dx*cos+dy*sin, math.Abs(dy*cos-dx*sin)
				if along > 0 && along < s.tail {
					t = max(t, (1-along/s.tail)*step(1, 0.3, across/(s.radius*(0.9+1.3*along/s.tail)))*0.8)
				}
			}
			if t > 0 {
				blend(img, x, y, s.lighter, t*s.strong)
			}
		}
	}
}

// blend moves a pixel toward the plate's white or black.
func blend(img *image.RGBA, x, y int, lighter bool, t float64) {
	to := [3]float64{34, 30, 27}
	if lighter {
		to = [3]float64{196, 184, 160}
	}
	p := img.Pix[img.PixOffset(x, y):][:3]
	for c := range p {
		p[c] = uint8(mix(float64(p[c]), to[c], t) + 0.5)
	}
}

// words writes a line of plain letters in one colour, scaled up by whole pixels; mirrored letters read
// right in the true view.
func words(img *image.RGBA, text string, at image.Point, size int, mirrored bool, draw func(x, y int, t float64)) {
	face := basicfont.Face7x13
	width := font.MeasureString(face, text).Ceil()
	mask := image.NewAlpha(image.Rect(0, 0, width, 13))
	d := font.Drawer{Dst: mask, Src: image.Opaque, Face: face, Dot: fixed.P(0, 11)}
	d.DrawString(text)
	for y := range 13 * size {
		for x := range width * size {
			mx := x / size
			if mirrored {
				mx = width - 1 - mx
			}
			if mask.AlphaAt(mx, y/size).A == 0 {
				continue
			}
			if p := at.Add(image.Pt(x, y)); p.In(img.Rect) {
				draw(p.X, p.Y, 1)
			}
		}
	}
}

// label scratches the word into the lower rim, mirrored as a hand would that wants it read in the
// true view.
func (f *film) label(img *image.RGBA) {
	size := max(1, min(f.Width, f.Height)/620)
	at := image.Pt(f.Width/2-21*size, f.Height-17*size-f.Height/120)
	words(img, "study", at, size, true, func(x, y int, t float64) { blend(img, x, y, true, 0.55*t) })
}
