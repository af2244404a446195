package optics

import "platewright/measure"

// Curve is a section of the focal surface through the lens's axis: at the image height h from the axis
// the focus lies nearer the lens than a flat field would put it by Curvature h²/2 + Fourth h⁴, measured
// along the axis. The first term is the parabola with that curvature at its vertex; the zero value is flat.
//
// h is the height of the ideal image. A curve holds for the distance at which it was measured or traced, and the package
// takes it as it stands at every other, where it may be out by millimetres: as package optics/trace follows it, the portrait
// form of 1840 at 450 mm, its stop at the front glass, has its tangential focus 60 mm off the axis 1.2 mm behind a flat field for a
// far sitter and 8.2 mm behind at a magnification of 0.43. Measure it at the distance of the sitting, or trace it there.
type Curve struct {
	Curvature float64 // per mm, positive when the edges focus nearer the lens
	Fourth    float64 // per mm³, of the same sign
}

// CurveOfRadius returns the parabola with that radius at its vertex, positive when the edges focus
// nearer the lens. A radius of zero stands for a flat field.
func CurveOfRadius(r measure.Length) Curve {
	if r == 0 {
		return Curve{}
	}
	return Curve{Curvature: 1 / float64(r)}
}

// Nearer returns by how much the focus at image height h lies nearer the lens than a flat field.
func (c Curve) Nearer(h measure.Length) measure.Length {
	return measure.Length(c.nearer(float64(h)))
}

func (c Curve) nearer(h float64) float64 {
	h2 := h * h
	return h2 * (c.Curvature/2 + c.Fourth*h2)
}

// slope returns how fast nearer grows with h.
func (c Curve) slope(h float64) float64 { return h * (c.Curvature + 4*c.Fourth*h*h) }

// FocalSurface is where a lens draws points sharply: one curve for the lines that run round the axis
// (drawn by the tangential fan of rays) and one for those that run away from it (by the sagittal
// fan). A lens of which one curve was measured has both the same. The zero value is a flat field.
type FocalSurface struct {
	Sagittal, Tangential Curve
}

// Even returns the surface both of whose sections are c.
func Even(c Curve) FocalSurface { return FocalSurface{Sagittal: c, Tangential: c} }
