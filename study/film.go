package study

import (
	"image"
	"math"
	"math/rand/v2"

	"platewright/collodion"
)

// Fault is a fault of a plate by the trade's name.
type Fault string

// The faults that are drawn.
const (
	Fog       Fault = "fog"
	Comet     Fault = "comet"
	Streak    Fault = "streak"
	Oyster    Fault = "oyster"
	Peel      Fault = "peel"
	LightLeak Fault = "light leak"
	Uneven    Fault = "uneven development"
	Moved     Fault = "moved"
)

// Faults lists the faults that are drawn.
func Faults() []Fault {
	return []Fault{Fog, Comet, Streak, Oyster, Peel, LightLeak, Uneven, Moved}
}

func (f Fault) known() bool {
	for _, g := range Faults() {
		if f == g {
			return true
		}
	}
	return false
}

// film is the poured and developed layer of one plate, in the plate's own directions.
type film struct {
	Study
	r     *rand.Rand
	drain point // the corner the collodion ran off, 0 or 1 across and down
}

type point struct{ x, y float64 }

func newFilm(s Study) *film {
	f := &film{Study: s, r: rand.New(rand.NewPCG(s.Seed, 0x66696c6d))}
	f.drain = point{float64(f.r.IntN(2)), 1}
	return f
}

const (
	whiteShown  = 0.50 // luminance at which a plate's whitest silver is shown: lamps on it, paper beside it
	middleLight = 0.17 // light that a right exposure lays in the middle of the curve
)

// tone returns the share of the way from black to white, 0 to 1, that light gives on the usual plate.
func tone(light, stops float64) float64 {
	return collodion.UsualCurve().Share(light / middleLight * math.Exp2(stops))
}

// shown returns the luminance at which a share of the way from black to white is shown.
func shown(share float64) float64 {
	c := collodion.UsualCurve()
	return whiteShown / c.Most * mix(c.Least, c.Most, share)
}

// toneTable holds tone against the square root of light, 0 to 2.
func toneTable(stops float64) *[2049]float32 {
	var t [2049]float32
	for i := range t {
		q := float64(i) / 1024
		t[i] = float32(tone(q*q/2, stops))
	}
	return &t
}

// develop turns light into the plate's colours, with what pouring, holder and developer leave.
func (f *film) develop(light []float32) *image.RGBA {
	w, h := f.Width, f.Height
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	table := toneTable(float64(f.Exposure))
	veil, gain := f.layers()
	colours := colourTable()
	scratched := f.scratches()
	for y := range h {
		for x := range w {
			i := y*w + x
			q := min(2047.99, math.Sqrt(2*float64(light[i]*gain[i]))*1024)
			k := int(q)
			t := float64(table[k]) + (q-float64(k))*float64(table[k+1]-table[k])
			v := float64(veil[i])
			if v < -0.99 { // no film: the bare plate
				t = 0.006 * (1 + noise(float64(x)*0.02, float64(y)*0.5, f.Seed+200))
			} else {
				t = t + v*(1-t)
				t += 0.012 * (unit(int32(x), int32(y), f.Seed+201) - 0.5) * (0.4 + t)
			}
			c := colours[int(max(0, min(1, t))*1023)]
			p := img.Pix[4*i : 4*i+4]
			p[0], p[1], p[2], p[3] = c[0], c[1], c[2], 255
		}
	}
	for _, s := range scratched {
		s.draw(img)
	}
	f.label(img)
	return img
}

// colourTable maps the share of the way from black to white to sRGB, in the warm tone.
func colourTable() *[1024][3]uint8 {
	var t [1024][3]uint8
	for i := range t {
		share := float64(i) / 1023
		r, g, b := collodion.Warm.Silver(share, shown(share))
		for c, v := range [3]float64{r, g, b} {
			t[i][c] = uint8(255*encode(v) + 0.5)
		}
	}
	return &t
}

// encode is the sRGB curve [IEC61966].
func encode(v float64) float64 {
	if v <= 0.0031308 {
		return 12.92 * max(0, v)
	}
	return 1.055*math.Pow(min(1, v), 1/2.4) - 0.055
}

// layers returns, for each pixel, the veil laid over the picture (-1 where there is no film) and the
// factor of the film's speed. They are worked out on a coarse grid away from the rim.
func (f *film) layers() (veil, gain []float32) {
	w, h := f.Width, f.Height
	veil, gain = make([]float32, w*h), make([]float32, w*h)
	unitPx := float64(min(w, h)) / 100 // one hundredth of the short side
	bx, by := float64(w)*mix(-0.1, 1.1, f.r.Float64()), float64(h)*mix(-0.1, 0.3, f.r.Float64())
	corner := point{f.drain.x * float64(w), f.drain.y * float64(h)}
	sweep := f.r.Float64()
	cell := max(2, min(6, int(unitPx*0.7)))
	gw := w/cell + 2
	vg, gg := make([]float32, gw*(h/cell+2)), make([]float32, gw*(h/cell+2))
	for j := 0; j < h/cell+2; j++ {
		for i := range gw {
			x, y := float64(i*cell), float64(j*cell)
			u, v := x/unitPx, y/unitPx
			rim := min(x, float64(w)-x, y, float64(h)-y) / unitPx
			a := 0.012 * (1 + clouds(u*0.05, v*0.05, f.Seed+210))
			g := 1 + 0.07*clouds(u*0.03, v*0.03, f.Seed+211)
			// Waves where the developer was swept on, from one side.
			d := math.Hypot(x-bx, y-by) / unitPx
			g *= 1 + 0.05*noise(d*0.16, sweep*9, f.Seed+212)*step(60, 10, d)
			// Toward the drain corner the film is thick and lies in ridges.
			dc := math.Hypot(x-corner.x, y-corner.y) / unitPx
			wave := dc + 2.2*noise(u*0.12, v*0.12, f.Seed+213)
			if wave < 34 {
				g *= 1 + 0.16*math.Sin(wave*0.9)*step(34, 12, wave)*noise(u*0.06+2, v*0.06, f.Seed+214)
				a += 0.05 * bell(wave-13, 1.1) * step(-0.4, 0.5, noise(u*0.09, v*0.09, f.Seed+215))
			}
			// Silver from the holder creeps in along the rim.
			creep := 2.6 + 2.2*clouds(u*0.09, v*0.09, f.Seed+216)
			a += 0.20 * bell(rim-creep*0.7, 1.3) * step(0.1, 0.7, 0.5+noise(u*0.04, v*0.04, f.Seed+217))
			f.faultsAt(point{u, v}, rim, dc, &a, &g)
			vg[j*gw+i], gg[j*gw+i] = float32(a), float32(max(0, g))
		}
	}
	for y := range h {
		for x := range w {
			ix, iy := x/cell, y/cell
			u, v := float32(x%cell)/float32(cell), float32(y%cell)/float32(cell)
			k := iy*gw + ix
			i := y*w + x
			veil[i] = (vg[k]*(1-u)+vg[k+1]*u)*(1-v) + (vg[k+gw]*(1-u)+vg[k+gw+1]*u)*v
			gain[i] = (gg[k]*(1-u)+gg[k+1]*u)*(1-v) + (gg[k+gw]*(1-u)+gg[k+gw+1]*u)*v
		}
	}
	f.rim(veil, gain, unitPx)
	return veil, gain
}

// faultsAt adds the faults that are fields: fog, streaks, oysters, light leaks, uneven development.
func (f *film) faultsAt(at point, rim, drain float64, veil, gain *float64) {
	u, v := at.x, at.y
	for _, fault := range f.Faults {
		switch fault {
		case Fog:
			*veil += 0.16 + 0.05*clouds(u*0.03, v*0.03, f.Seed+230) + 0.10*step(25, 0, rim)
		case Streak:
			s := noise(u*0.33, v*0.008, f.Seed+231)
			*veil += 0.17 * step(0.35, 0.8, s) * (0.4 + 0.6*step(110, 20, v))
			*gain *= 1 - 0.35*step(0.3, 0.8, -s)
		case Oyster:
			shell := rim + 9*clouds(u*0.05, v*0.05, f.Seed+232)
			m := step(19, 8, shell) * step(-0.05, 0.3, clouds(u*0.03, v*0.03, f.Seed+233))
			*veil += m * (0.13 + 0.11*math.Sin(shell*1.2))
			*gain *= 1 - 0.5*m
		case LightLeak:
			angle := math.Atan2(v+6, u-30)
			*veil += 0.6 * bell(angle-1.25, 0.16) * step(130, 10, v) * (0.8 + 0.2*noise(angle*40, 0, f.Seed+234))
		case Uneven:
			*gain *= math.Exp2(1.3 * math.Sin(0.022*(u*math.Cos(float64(f.Seed%7))+v)+float64(f.Seed%5)))
		}
	}
}

// rim takes the film away where collodion did not reach, in the corners the holder touched, and
// where it peeled.
func (f *film) rim(veil, gain []float32, unitPx float64) {
	w, h := f.Width, f.Height
	bare := [4]float64{0.3 + 1.2*f.r.Float64(), 0.3 + 0.9*f.r.Float64(), 0.2 + 0.8*f.r.Float64(), 0.3 + 1.0*f.r.Float64()}
	short := point{1 - f.drain.x, float64(f.r.IntN(2))} // the corner that got least
	reach := 3 + 5*f.r.Float64()
	peel := point{f.r.Float64(), f.r.Float64() * 0.25}
	for y := range h {
		for x := range w {
			u, v := float64(x)/unitPx, float64(y)/unitPx
			W, H := float64(w)/unitPx, float64(h)/unitPx
			if f.has(Peel) {
				d := math.Hypot(u-peel.x*W, (v-peel.y*H)*1.3) + 7*clouds(u*0.09, v*0.09, f.Seed+242)
				if d < 15 {
					veil[y*w+x] = -1
				} else if d < 16.2 {
					veil[y*w+x] += float32(0.5 * bell(d-15.4, 0.5))
				}
			}
			near, beside := min(u, W-u), min(v, H-v)
			if near > 5 && beside > 5 && near+beside > 18 {
				continue
			}
			i := y*w + x
			edge := min(near-bare[0], beside-bare[2])
			if near < 4 {
				k := 0
				if u > W/2 {
					k = 1
				}
				edge = near - bare[k] - 0.5*noise(9*float64(k), v*0.11, f.Seed+240)
			}
			if beside < 4 {
				k := 2
				if v > H/2 {
					k = 3
				}
				edge = min(edge, beside-bare[k]-0.5*noise(u*0.11, 3*float64(k), f.Seed+240))
			}
			dc := math.Hypot(u-short.x*W, v-short.y*H) - reach - 1.6*noise(u*0.2, v*0.2, f.Seed+241)
			edge = min(edge, dc)
			// Corners of the holder: a small triangle that saw no light, with a bright line.
			holder := (near + beside - 6.4) / 1.41
			if holder < 0 {
				gain[i] *= 0.05
			}
			veil[i] += float32(0.15 * bell(holder-0.2, 0.35))
			switch {
			case edge < 0:
				veil[i] = -1
			case edge < 2.5: // the film ends in a thick lip
				veil[i] += float32(0.22 * bell(edge-0.45, 0.4) * (0.6 + 0.4*noise(u*0.3, v*0.3, f.Seed+243)))
			}
		}
	}
}
