package optics

import (
	"platewright/measure"
)

// The blur limit proposed when the operator names none: for a plate looked at with the naked eye
// from 250 mm, a disc of 0.10 mm. Printed conventions run from 0.075 to 0.25 mm; this one is what
// [ViewFocus1996] works with. It grows with the viewing distance.
const (
	UsualBlur    measure.Length = 0.10
	UsualViewing measure.Length = 250
)

// BlurFor returns the usual blur limit for a plate looked at from the given distance.
func BlurFor(viewing measure.Length) measure.Length {
	return measure.Length(float64(UsualBlur) * float64(viewing) / float64(UsualViewing))
}

// Depth is what lies sharp before and behind the plane of focus. When Endless, Far and Rear hold
// nothing: the far limit is at infinity.
type Depth struct {
	Near    measure.Length // front principal plane to the near limit
	Far     measure.Length // front principal plane to the far limit
	Front   measure.Length // depth from the plane of focus toward the lens
	Rear    measure.Length // depth from the plane of focus away from the lens
	Total   measure.Length // Front and Rear
	Endless bool           // the far limit is at infinity
}

// endless is how near to 1 the ratio q of [Setting.Depth] counts as 1: a far limit more than a
// million million times as far as the sitter. Rounding of the hyperfocal distance lies within it.
const endless = 1e-12

// Depth returns the zone rendered within a blur disc on the plate.
//
// With u from the entrance pupil and q = Nc/(mf), similar triangles at the pupil give the limits
// u/(1+q) and u/(1-q), the latter infinite from q = 1 on. No thin lens is assumed. With p below 1
// and a very large blur the near limit may come out behind the front principal plane, as a
// negative Near.
func (s Setting) Depth(blur measure.Length) (Depth, error) {
	if err := measure.Within("blur", float64(blur), float64(LeastBlur), float64(GreatestBlur), "mm"); err != nil {
		return Depth{}, err
	}
	f, N, m, c := float64(s.Lens.Focal), float64(s.Lens.Stop), s.Magnification, float64(blur)
	u := float64(s.FromPupil())
	q := N * c / (m * f)
	d := Depth{
		Near:  measure.Length(u/(1+q) + float64(s.Lens.EntrancePupil())),
		Front: measure.Length(u * q / (1 + q)),
	}
	if q >= 1-endless {
		d.Endless = true
		return d, nil
	}
	d.Rear = measure.Length(u * q / (1 - q))
	d.Far = s.Distance + d.Rear
	d.Total = measure.Length(2 * u * q / ((1 - q) * (1 + q)))
	return d, nil
}

// FocusDepth returns how far in all the plate may be moved along the axis before a point of the
// plane of focus grows to the blur disc: as much before its place as behind.
func (s Setting) FocusDepth(blur measure.Length) measure.Length {
	return measure.Length(2 * float64(blur) * float64(s.EffectiveStop())) // ±Nc(1 + m/p)
}

// Equivalent is a lens and stop on a 24 x 36 mm frame.
type Equivalent struct {
	Focal measure.Length
	Stop  measure.FNumber
}

// frame24x36 is the frame small-camera photographers think in.
var frame24x36 = measure.PlateSize{Width: 36, Height: 24}

// AtInfinity returns what has the same diagonal view at infinity on 24 x 36 mm, with the same
// diameter of pupil.
func (l Lens) AtInfinity(plate measure.PlateSize) Equivalent {
	k := frame24x36.Diagonal().Over(plate.Diagonal())
	return Equivalent{Focal: l.Focal * measure.Length(k), Stop: l.Stop * measure.FNumber(k)}
}

// Framed returns what frames the same sitter from the same distance by the diagonal on 24 x 36 mm, with
// the same diameter of pupil and so the same depth relative to the picture. For a portrait it
// is longer than [Lens.AtInfinity], because the long extension has narrowed the view.
func (s Setting) Framed(plate measure.PlateSize) Equivalent {
	k := frame24x36.Diagonal().Over(plate.Diagonal())
	m := s.Magnification
	// The small camera works at the magnification mk from s = f'(1 + 1/(mk)).
	ratio := (1 + m) * k / (1 + m*k)
	return Equivalent{Focal: s.Lens.Focal * measure.Length(ratio), Stop: s.Lens.Stop * measure.FNumber(ratio)}
}
