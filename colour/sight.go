package colour

import (
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
	in, err := k.Typical()
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
