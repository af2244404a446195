package light

import "fmt"

// Typical returns the light that stands for a kind where nothing more is known of it: a choice of ours among published
// illuminants and the package's own flash tubes, no mean of measured ones. It refuses [OwnSpectrum], for which nothing can
// stand, and a kind that is not known.
func (k Kind) Typical() (Source, error) {
	var s Source
	var err error
	switch k {
	case Sun:
		s, err = Daylight(5000)
	case Shade:
		s, err = Daylight(10000)
	case Overcast, WindowLight:
		s, err = Named("D65")
	case AnyDaylight:
		s, err = Named("D55")
	case Tungsten:
		s, err = Named("A")
	case Fluorescent:
		s, err = Named("FL2")
	case WhiteLED:
		s, err = Named("LED-B3")
	case ClearFlash:
		s, err = Flash(ClearTube)
	case PartFlash:
		s, err = Flash(PartUV)
	case CutFlash:
		s, err = Flash(UVCut)
	case OwnSpectrum:
		err = fmt.Errorf("an own spectrum stands for no kind of light; the light itself is needed")
	default:
		err = fmt.Errorf("no kind of light is called %q; there are %q", k, Kinds())
	}
	s.Kind = k
	return s, err
}
