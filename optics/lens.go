package optics

import (
	"math"

	"platewright/measure"
)

// The ranges within which the package answers. They are far wider than any studio: they hold the
// arithmetic to its promise and catch a slipped decimal point or a wrong unit.
const (
	LeastFocal    measure.Length = 10
	GreatestFocal measure.Length = 5000

	LeastStop    measure.FNumber = 0.5
	GreatestStop measure.FNumber = 256

	LeastPupilMag    = 0.1
	GreatestPupilMag = 10.0

	LeastMagnification    = 1e-6
	GreatestMagnification = 100.0

	LeastBlur    measure.Length = 0.0001
	GreatestBlur measure.Length = 10
)

// Lens is a lens at one of its stops.
type Lens struct {
	Focal    measure.Length  // focal length
	Stop     measure.FNumber // marked f-number: Focal over the diameter of the entrance pupil
	PupilMag float64         // exit pupil over entrance pupil; 1 for a thin or symmetrical lens
}

// Check reports the first quantity of the lens that is out of range.
func (l Lens) Check() error {
	if err := checkFocal(l.Focal); err != nil {
		return err
	}
	if err := measure.Within("f-number", float64(l.Stop), float64(LeastStop), float64(GreatestStop), ""); err != nil {
		return err
	}
	return measure.Within("pupil magnification", l.PupilMag, LeastPupilMag, GreatestPupilMag, "")
}

func checkFocal(f measure.Length) error {
	return measure.Within("focal length", float64(f), float64(LeastFocal), float64(GreatestFocal), "mm")
}

// Pupil returns the diameter of the entrance pupil.
func (l Lens) Pupil() measure.Length { return measure.Length(float64(l.Focal) / float64(l.Stop)) }

// EntrancePupil returns how far the entrance pupil lies before the front principal plane, toward
// the sitter; it is negative when the pupil lies behind that plane.
func (l Lens) EntrancePupil() measure.Length {
	// f(1-1/p): the front principal plane is imaged at unit magnification, the stop at p.
	return measure.Length(float64(l.Focal) * ((l.PupilMag - 1) / l.PupilMag))
}

// Hyperfocal returns the distance from the front principal plane beyond which, with the lens set
// to it, all is sharp within blur. It does not depend on the pupil magnification.
func (l Lens) Hyperfocal(blur measure.Length) measure.Length {
	f, N, c := float64(l.Focal), float64(l.Stop), float64(blur)
	return measure.Length(f*f/(N*c) + f) // [Conj1995]; without the last f in [ViewFocus1996]
}

// Setting is a lens focused on a sitter, everything square.
type Setting struct {
	Lens          Lens
	Magnification float64        // image size over subject size, positive
	Distance      measure.Length // front principal plane to the sitter's plane of focus
	Extension     measure.Length // rear principal plane to the plate
}

// AtMagnification focuses the lens so that the sitter's image has the given magnification.
func (l Lens) AtMagnification(m float64) (Setting, error) {
	if err := l.Check(); err != nil {
		return Setting{}, err
	}
	if err := measure.Within("magnification", m, LeastMagnification, GreatestMagnification, ""); err != nil {
		return Setting{}, err
	}
	return l.at(m, l.Focal+measure.Length(float64(l.Focal)/m)), nil
}

// AtDistance focuses the lens on a sitter at a distance from its front principal plane. The distance
// must be beyond the focal length, and such that the magnification stays within range.
func (l Lens) AtDistance(s measure.Length) (Setting, error) {
	if err := l.Check(); err != nil {
		return Setting{}, err
	}
	low, high := DistanceRange(l.Focal)
	if err := measure.Within("distance", float64(s), float64(low), float64(high), "mm"); err != nil {
		err.(*measure.RangeError).Source = "beyond the focal length, magnification at most 100"
		return Setting{}, err
	}
	return l.at(float64(l.Focal)/float64(s-l.Focal), s), nil
}

// DistanceRange returns the nearest and the farthest distance a lens of that focal length is
// answered for: those of [GreatestMagnification] and [LeastMagnification].
func DistanceRange(focal measure.Length) (near, far measure.Length) {
	return focal + focal/GreatestMagnification, focal + focal/LeastMagnification
}

func (l Lens) at(m float64, s measure.Length) Setting {
	return Setting{Lens: l, Magnification: m, Distance: s, Extension: l.Focal + measure.Length(float64(l.Focal)*m)}
}

// FromPupil returns the distance from the entrance pupil to the sitter's plane of focus.
func (s Setting) FromPupil() measure.Length {
	f := float64(s.Lens.Focal)
	return measure.Length(f/s.Magnification + f/s.Lens.PupilMag) // u = f(1/m + 1/p)
}

// EffectiveStop returns the f-number that counts for exposure and diffraction at this extension.
func (s Setting) EffectiveStop() measure.FNumber {
	return measure.FNumber(float64(s.Lens.Stop) * (1 + s.Magnification/s.Lens.PupilMag)) // N(1 + m/p)
}

// Bellows returns the exposure that the extension asks for beyond that at infinity. Add it to the
// exposure; at same size it is two stops for a symmetrical lens.
func (s Setting) Bellows() measure.Stops {
	return measure.Stops(2 * math.Log1p(s.Magnification/s.Lens.PupilMag) / math.Ln2) // 2 log2(1 + m/p)
}

// View returns the angle under which a length on the plate, centred on the axis, is seen from the
// rear principal point at this extension.
func (s Setting) View(across measure.Length) measure.Angle {
	return measure.Angle(2 * math.Atan(float64(across)/(2*float64(s.Extension)))) // [Conj1995]
}

// ViewFromPupil returns the angle that the same length covers in front of the camera, seen from
// the entrance pupil. It differs from [Setting.View] unless the pupil magnification is 1.
func (s Setting) ViewFromPupil(across measure.Length) measure.Angle {
	f, x := float64(s.Lens.Focal), float64(across)
	return measure.Angle(2 * math.Atan(x/(2*f*(1+s.Magnification/s.Lens.PupilMag))))
}

// AiryFactor is the diameter of the first dark ring of a point's image in units of wavelength times
// effective f-number, as handbooks round it; 2.43934 is nearer the truth.
const AiryFactor = 2.44

// Airy returns the diameter of the first dark ring of the diffraction image at this extension.
func (s Setting) Airy(wavelength measure.Length) measure.Length {
	return wavelength * measure.Length(AiryFactor*float64(s.EffectiveStop()))
}
