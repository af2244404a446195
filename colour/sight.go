package colour

import (
	"fmt"

	"platewright/collodion"
	"platewright/light"
)

// Sight is how a plate sees: in a light, through a lens, with the sensitivity of its collodion.
type Sight struct {
	Light light.Source
	Lens  light.Filter
	Sees  collodion.Sensitivity
}

// SightFor returns the usual sight in a kind of light: the usual collodion behind an old lens. A kind stands for one
// light: the sun for CIE daylight of 5000 K, shade for 10000 K, an overcast sky and a window for D65, daylight for
// D55, tungsten for A, fluorescent for FL2, LED for LED-B3. An own spectrum stands for no kind: give the light.
func SightFor(k light.Kind) (Sight, error) {
	in, err := typical(k)
	if err != nil {
		return Sight{}, err
	}
	return SightIn(in)
}

// SightIn returns the usual collodion behind an old lens in this light.
func SightIn(in light.Source) (Sight, error) {
	sees, err := collodion.Sees(collodion.UsualHalides())
	if err != nil {
		return Sight{}, err
	}
	lens, err := light.FilterOf("old crown-flint")
	if err != nil {
		return Sight{}, err
	}
	return Sight{in, lens, sees}, nil
}

// Actinic returns the share of the light's effect on the plate that a surface sends back, summed wavelength by
// wavelength: what every other way is measured against.
func (s Sight) Actinic(surface light.Spectrum) (float64, error) {
	return s.Sees.Reflects(surface, s.Light.Power, s.Lens)
}

// typical returns the light that stands for a kind.
func typical(k light.Kind) (light.Source, error) {
	var s light.Source
	var err error
	switch k {
	case light.Sun:
		s, err = light.Daylight(5000)
	case light.Shade:
		s, err = light.Daylight(10000)
	case light.Overcast, light.WindowLight:
		s, err = light.Named("D65")
	case light.AnyDaylight:
		s, err = light.Named("D55")
	case light.Tungsten:
		s, err = light.Named("A")
	case light.Fluorescent:
		s, err = light.Named("FL2")
	case light.WhiteLED:
		s, err = light.Named("LED-B3")
	case light.ClearFlash:
		s, err = light.Flash(light.ClearTube)
	case light.PartFlash:
		s, err = light.Flash(light.PartUV)
	case light.CutFlash:
		s, err = light.Flash(light.UVCut)
	case light.OwnSpectrum:
		err = fmt.Errorf("an own spectrum stands for no kind of light; the light itself is needed")
	default:
		err = fmt.Errorf("no kind of light is called %q; there are %q", k, light.Kinds())
	}
	s.Kind = k
	return s, err
}
