package light

import (
	"fmt"
	"slices"
	"strings"
)

// Colour temperatures of the CIE's daylight illuminants on the present scale: the name times 1.4388/1.4380 [CIE15].
const (
	kelvinD50 = 5003.0
	kelvinD55 = 5503.0
	kelvinD75 = 7504.0
)

// D55 is the light that every actinic ratio refers to: the CIE's daylight of 5503 K.
func D55() Source {
	return Source{Name: "D55", Kind: AnyDaylight, Power: daylight(kelvinD55),
		From: "CIE illuminant D55, composed from the components of daylight at 5503 K."}
}

// Sentences that several lamps share.
const (
	fromCIE         = "CIE standard illuminant, tabulated."
	fromFluorescent = "CIE illuminant for a typical fluorescent lamp, 380 to 780 nm. A line of mercury at 365 nm that many tubes let through is not in the table, so the plate may see more than is said."
	fromLED         = "CIE illuminant for a typical LED lamp, 380 to 780 nm. Lamps of one colour temperature differ by half a stop for the plate: the place of the blue peak decides."
	fromG173        = "ASTM G173 reference sunlight at air mass 1.5, W/m²/nm, means over 5 nm from 300 to 830 nm."
)

// lampsNamed lists the sources that have a name, in the order of the catalogue.
func lampsNamed() []Source {
	d := func(name string, kelvin float64, kind Kind) Source {
		return Source{name, kind, daylight(kelvin), fmt.Sprintf("CIE illuminant %s, composed from the components of daylight at %.0f K.", name, kelvin)}
	}
	return []Source{
		{"A", Tungsten, illuminantA, fromCIE},
		d("D50", kelvinD50, AnyDaylight),
		D55(),
		{"D65", Overcast, illuminantD65, fromCIE},
		d("D75", kelvinD75, Overcast),
		{"FL2", Fluorescent, lampFL2, fromFluorescent},
		{"FL7", Fluorescent, lampFL7, fromFluorescent},
		{"FL11", Fluorescent, lampFL11, fromFluorescent},
		{"FL12", Fluorescent, lampFL12, fromFluorescent},
		{"LED-B1", WhiteLED, lampLEDB1, fromLED},
		{"LED-B2", WhiteLED, lampLEDB2, fromLED},
		{"LED-B3", WhiteLED, lampLEDB3, fromLED},
		{"LED-B4", WhiteLED, lampLEDB4, fromLED},
		{"LED-B5", WhiteLED, lampLEDB5, fromLED},
		{"LED-BH1", WhiteLED, lampLEDBH1, fromLED},
		{"LED-RGB1", WhiteLED, lampLEDRGB1, fromLED},
		{"LED-V1", WhiteLED, lampLEDV1, fromLED},
		{"LED-V2", WhiteLED, lampLEDV2, fromLED},
		{"G173 global", Sun, sunGlobal, fromG173},
		{"G173 direct", Sun, sunDirect, fromG173},
	}
}

// Names returns the names that [Named] knows.
func Names() []string {
	var out []string
	for _, s := range lampsNamed() {
		out = append(out, s.Name)
	}
	return out
}

// Named returns a published lamp or light by its name; capitals do not count.
func Named(name string) (Source, error) {
	all := lampsNamed()
	i := slices.IndexFunc(all, func(s Source) bool { return strings.EqualFold(s.Name, strings.TrimSpace(name)) })
	if i < 0 {
		return Source{}, fmt.Errorf("no light is called %q; known are %s, or give its spectrum", shortened(name), strings.Join(Names(), ", "))
	}
	return all[i], nil
}

// shortened returns a text that is fit to be quoted in a sentence.
func shortened(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}
