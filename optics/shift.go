package optics

import (
	"fmt"

	"platewright/measure"
)

// Chemical focus is told by how much the focal length in the light that makes the picture exceeds that in the light one
// focuses with: atInfinity, positive when the picture's focus lies behind. What it does at a portrait's distance is many
// times as much.
//
// The shift of focus between two stops comes of spherical aberration, which changes with the distance, and does not follow
// these rules: in the portrait form of 1840 at 450 mm and f/3.6 it is -0.685 mm at infinity and -2.472 mm two metres before
// the lens, where δf(1+m)² would have -1.10 [PlateNotes2026]. Take it measured or traced at the distance in use.

// ImageShift returns how far behind the focus seen on the ground glass the picture's lies at this setting, to first
// order: δf(1+m)². The plate, or its holder, is to be moved back by it.
func (s Setting) ImageShift(atInfinity measure.Length) measure.Length {
	k := measure.Length(1 + s.Magnification)
	return atInfinity * k * k
}

// ExactImageShift returns the same without the approximation: the image of the sitter by a focal length longer by atInfinity.
func (s Setting) ExactImageShift(atInfinity measure.Length) (measure.Length, error) {
	if err := s.checkShift(atInfinity); err != nil {
		return 0, err
	}
	f, d := float64(s.Lens.Focal)+float64(atInfinity), float64(s.Distance)
	if d <= f*(1+1e-9) {
		return 0, fmt.Errorf("with that focus the sitter at %.5g mm is within the focal length; a smaller shift or more distance has an image", d)
	}
	// v' - v = δ s²/((s-f)(s-f-δ))
	return measure.Length(float64(atInfinity) * d * d / ((d - float64(s.Lens.Focal)) * (d - f))), nil
}

// SitterShift returns how far behind the place that was focused on by eye the plate is sharp instead; negative
// before it. It is exact: 1/s' = 1/f' - 1/v with the plate where it is.
func (s Setting) SitterShift(atInfinity measure.Length) (measure.Length, error) {
	if err := s.checkShift(atInfinity); err != nil {
		return 0, err
	}
	f, v := float64(s.Lens.Focal)+float64(atInfinity), float64(s.Extension)
	if v <= f*(1+1e-9) {
		return 0, fmt.Errorf("with that focus the plate at %.5g mm lies before the image of infinity; nothing would be sharp, and a longer extension or a smaller shift is needed", v)
	}
	return measure.Length(f*v/(v-f)) - s.Distance, nil
}

// FirstSitterShift returns the same to first order: δf(1+m)²/m².
func (s Setting) FirstSitterShift(atInfinity measure.Length) measure.Length {
	m := measure.Length(s.Magnification)
	return s.ImageShift(atInfinity) / (m * m)
}

func (s Setting) checkShift(atInfinity measure.Length) error {
	most := float64(s.Lens.Focal) / 2
	return measure.Within("shift of focus", float64(atInfinity), -most, most, "mm")
}
