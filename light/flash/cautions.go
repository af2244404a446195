package flash

import (
	"fmt"

	"platewright/light"
	"platewright/measure"
)

// Near is the distance below which a flash is called near a face: common practice, no source.
const Near = measure.Metre

// Cautions returns what is to be thought of before the head is fired at a sitter, the most pressing first. It never says
// that a flash does no harm.
func (h Head) Cautions() []string {
	out := []string{
		"Ask before the first flash: epilepsy that light sets off, migraine, medicine or illness that makes eyes or skin sensitive to light. If so, or in doubt, use steady light and a longer time; an infant's or a child's face is spared close flash.",
	}
	if h.Distance < Near {
		out = append(out, fmt.Sprintf("The head is %.2g m from the face: the sitter shuts the eyes or looks aside until the count, and nobody looks into the tube. Heat in the retina by so short and near a flash was not reckoned.", h.Distance.Metres()))
	}
	if h.Pops > 1 {
		out = append(out, "Fire pops slowly and never in a steady rhythm: flashes 3 to 60 times a second are what sets off photosensitive epilepsy (range from memory); seconds or minutes apart they are not that, but ask.")
	}
	if h.Tube == light.ClearTube {
		out = append(out, "A clear tube sends ultraviolet below the 300 nm that is reckoned here, without its glass dome far more of it, with ozone: keep the dome on; it also holds the pieces of a tube that bursts.")
	}
	return append(out, HotLamp())
}

// HotLamp returns the caution for modelling lamps.
func HotLamp() string {
	return "A halogen modelling lamp and a tube just fired burn skin and light cloth and the vapour of collodion: keep head and charger away from ether, alcohol, hair and drapery, and let them cool before they are moved."
}

// Cautions returns what is to be thought of before a panel of ultraviolet or violet diodes is turned on a sitter for a
// time.
func (p Panel) Cautions(t light.Seconds) ([]string, error) {
	d, err := p.Over(t)
	if err != nil {
		return nil, err
	}
	held, err := d.Against(t)
	if err != nil {
		return nil, err
	}
	out := []string{
		"A lamp of near ultraviolet looks weak and is not: the eye neither sees it nor turns away. Measure its irradiance at the face in W/m²; without that figure there is no dose to tell.",
		"The operator stands in it all day: glasses that stop ultraviolet, sleeves, and a switch that puts it out between plates. The sitter shuts the eyes or looks away outside the exposure.",
		"Ask before: medicine or illness that makes eyes or skin sensitive to light, an eye without its lens, epilepsy if the lamp flickers.",
	}
	if uva := d.UVA / max(float64(t), 1e-9); t > 0 {
		if longest, unbounded, err := UVATime(uva); err != nil {
			return nil, err
		} else if !unbounded {
			out = append(out, fmt.Sprintf("%s W/m² of UVA reach the day's limit for the eye after %s s in all, every exposure of the day added (IEC 62471, 4.3.2).", plain(uva), plain(float64(longest))))
		}
	}
	for _, h := range held {
		out = append(out, h.Sentence)
	}
	return out, nil
}
