// Package study computes a picture of what a plate might look like.
//
// A study shows an invented sitter, modelled from a seed, lit by one window, seen through a fast
// portrait lens and laid on a wet collodion plate: mirror-reversed, blind to red, warm in tone, poured
// by hand. It fills the example studio and stands beside plans; it is never a photograph and never a
// promise, and the word "study" is scratched into every one.
//
// The model: blur of a point is that of similar triangles behind the lens's pupil, with the plane of
// sharpness curved as portrait lenses curve it; the light is one broad source with a soft shadow, a fill
// and the room; the plate's tone is [collodion.UsualCurve] in the warm [collodion.Tone], shown under lamps that make its
// whitest silver half as bright as paper beside it (real plates scatter widely); faults are drawn after the look the
// trade describes. Body proportions are common figures, from memory.
// The same [Study] gives the same pixels. Pixels are sRGB. Nothing here reads a file or a clock.
package study

import (
	"fmt"
	"image"
	"math"
	"math/rand/v2"

	"platewright/measure"
)

// Lens is what decides how blur grows with depth. The zero value is a portrait lens of 210 mm, f/3.8,
// at a quarter of life size.
type Lens struct {
	Pupil     measure.Length // diameter of the entrance pupil
	Distance  measure.Length // lens to the nearer eye
	Curvature measure.Length // radius of the surface of sharpness, hollow to the lens; 0 means flat
}

// usual is the lens that the zero value stands for.
func usual() Lens {
	return Lens{Pupil: 55 * measure.Millimetre, Distance: 1050 * measure.Millimetre, Curvature: 420 * measure.Millimetre}
}

// BlurAtSitter returns the diameter, at the sitter's eye plane, of the blur of a point that lies nearer
// than that plane by the depth given (farther when negative): similar triangles, pupil to point.
// Times the magnification it is the blur on the plate.
func (l Lens) BlurAtSitter(nearer measure.Length) measure.Length {
	return measure.Length(math.Abs(float64(nearer)) * l.Pupil.Over(l.Distance-nearer))
}

// Study describes one plate.
type Study struct {
	Seed          uint64
	Width, Height int            // of the plate, px
	Tall          measure.Length // height of subject on the plate; 0 means 430 mm, head and shoulders
	Lens          Lens
	Exposure      measure.Stops // error: negative is too little light, 0 is right
	Faults        []Fault
}

// Limits of a study's size.
const (
	leastSide = 64
	mostSide  = 4000
)

func (s *Study) check() error {
	if s.Width < leastSide || s.Width > mostSide {
		return &measure.RangeError{What: "width", Got: float64(s.Width), Low: leastSide, High: mostSide, Unit: "px"}
	}
	if s.Height < leastSide || s.Height > mostSide {
		return &measure.RangeError{What: "height", Got: float64(s.Height), Low: leastSide, High: mostSide, Unit: "px"}
	}
	if err := measure.Within("exposure", float64(s.Exposure), -6, 6, "stops"); err != nil {
		return err
	}
	if s.Tall == 0 {
		s.Tall = 430 * measure.Millimetre
	}
	if err := measure.Within("tall", float64(s.Tall), 150, 2000, "mm"); err != nil {
		return err
	}
	if s.Lens == (Lens{}) {
		s.Lens = usual()
	}
	if err := measure.Within("pupil", float64(s.Lens.Pupil), 0.5, 200, "mm"); err != nil {
		return err
	}
	if err := measure.Within("distance", float64(s.Lens.Distance), 600, 10000, "mm"); err != nil {
		return err
	}
	if c := float64(s.Lens.Curvature); c != 0 {
		if err := measure.Within("curvature", c, 200, 100000, "mm"); err != nil {
			return err
		}
	}
	for _, f := range s.Faults {
		if !f.known() {
			return fmt.Errorf("fault %q is not drawn here; drawn are %v", f, Faults())
		}
	}
	return nil
}

// Plate returns the plate as it lies on the table: mirror-reversed.
func (s Study) Plate() (*image.RGBA, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	light := s.scene()
	mirror(light, s.Width, s.Height)
	f := newFilm(s)
	return f.develop(light), nil
}

// scene returns the light on the plate, as the sitter is seen in the room.
func (s Study) scene() []float32 {
	w, h := s.Width, s.Height
	who := newSitter(s.Seed)
	r := rand.New(rand.NewPCG(s.Seed, 0x6c69676874))
	perMM := float64(h) / float64(s.Tall)
	distance := float64(s.Lens.Distance)
	side := float64(1 - 2*r.IntN(2))
	if who.head[0].z*side > 0.25 { // the face looks toward the window rather than away
		side = -side
	}
	eyeZ := 0.0
	for _, x := range []float64{-31.5, 31.5} {
		if z := (vec{x, 0, 86}).turned(who.head).z; z > eyeZ {
			eyeZ = z
		}
	}
	sheets := who.sheets()
	for _, m := range sheets { // the nearer eye becomes the plane z = 0
		for i := range m.at {
			m.at[i].z -= eyeZ
		}
	}
	c := camera{w, h, perMM, distance, vec{8 * (2*r.Float64() - 1), -48 + 10*(2*r.Float64()-1), 0}}
	v := newSeen(c)
	for _, m := range sheets {
		v.draw(m)
	}
	l := light{
		key: vec{side * (0.55 + 0.25*r.Float64()), 0.42 + 0.2*r.Float64(), 0.62}, fill: vec{-side, 0.1, 0.5},
		keyPower: 1.25, fillPower: 0.08 + 0.09*r.Float64(), sky: 0.07,
	}
	shadow := newShade(l.key, 280, 2.2, sheets)
	cover, radius := make([]float32, w*h), make([]float32, w*h)
	for i, of := range v.of {
		if of == nothing {
			continue
		}
		cover[i] = 1
		nearer := float64(v.depth[i])
		if R := float64(s.Lens.Curvature); R > 0 { // the surface of sharpness bends toward the lens
			x, y := (float64(i%w)-float64(w)/2)/perMM, (float64(i/w)-float64(h)*0.42)/perMM
			nearer -= (x*x + y*y) / (2 * R) * 0.55
		}
		b := s.Lens.BlurAtSitter(measure.Length(nearer))
		radius[i] = float32(0.4 + 0.5*float64(b)*perMM*0.85)
	}
	lightOf := lightPixels(v, who, l, shadow, hollows(v, perMM), radius)
	behind := backdrop(w, h, perMM, s.Seed, -0.5*side)
	out := throughLens(lightOf, cover, radius, behind, w, h)
	if s.has(Moved) {
		blurMoved(out, w, h, 2.2*perMM, s.Seed)
	}
	// Spherical aberration veils the sharp image with a glow; the corners fall off.
	small, sw, sh := shrunk(out, w, h)
	small, sw, sh = shrunk(small, sw, sh)
	glow := level{boxBlur(small, sw, sh, max(0.5, 2.2*perMM/4)), sw, sh, 4, 0}
	reach := math.Hypot(float64(w), float64(h)) / 2
	for y := range h {
		for x := range w {
			i := y*w + x
			dx, dy := (float64(x)-float64(w)/2)/reach, (float64(y)-float64(h)/2)/reach
			d := dx*dx + dy*dy
			out[i] = (out[i]*0.84 + glow.at(x, y)*0.16) * float32(1-0.62*d*math.Sqrt(d))
		}
	}
	return out
}

func mirror(pix []float32, w, h int) {
	for y := range h {
		row := pix[y*w : y*w+w]
		for i, j := 0, w-1; i < j; i, j = i+1, j-1 {
			row[i], row[j] = row[j], row[i]
		}
	}
}

// blurMoved smears the picture as a sitter who swayed during the exposure.
func blurMoved(pix []float32, w, h int, reach float64, seed uint64) {
	tmp := make([]float32, len(pix))
	copy(tmp, pix)
	blurRows(pix, tmp, w, h, reach*(0.7+0.6*unit(1, 1, seed)))
}

func (s Study) has(f Fault) bool {
	for _, g := range s.Faults {
		if g == f {
			return true
		}
	}
	return false
}
