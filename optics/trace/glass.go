package trace

import (
	"fmt"
	"strings"

	"platewright/measure"
)

// The two glasses between which old glass is interpolated. [GlassIndex2017]
var (
	crownK5  = sellmeier{[3]float64{1.08511833, 0.199562005, 0.930511663}, [3]float64{0.00661099503, 0.024110866, 111.982777}}
	flintLF5 = sellmeier{[3]float64{1.28035628, 0.163505973, 0.893930112}, [3]float64{0.00929854416, 0.0449135769, 110.493685}}
)

// Glasses returns the catalogued glasses the package knows.
func Glasses() []Medium {
	catalogued := func(name string, from measure.Length, b, c [3]float64) Medium {
		m := Sellmeier(name, b, c, from, 2500*nanometre)
		m.Source = "GlassIndex2017"
		return m
	}
	silica := Sellmeier("fused silica", [3]float64{0.6961663, 0.4079426, 0.8974794},
		[3]float64{0.0684043 * 0.0684043, 0.1162414 * 0.1162414, 9.896161 * 9.896161}, 300*nanometre, 2500*nanometre)
	silica.Source = "Malitson1965"
	lightFlint := Polynomial("E-LLF6", []Power{{2.30466, 0}, {-0.00864131348, 2}, {0.0145944618, -2},
		{0.000206597874, -4}, {1.88931616e-05, -6}, {1.82626789e-07, -8}}, 400*nanometre, 700*nanometre)
	lightFlint.Source = "GlassIndex2017"
	return []Medium{
		catalogued("N-BK7", 300*nanometre, [3]float64{1.03961212, 0.231792344, 1.01046945}, [3]float64{0.00600069867, 0.0200179144, 103.560653}),
		catalogued("N-K5", 310*nanometre, crownK5.b, crownK5.c),
		catalogued("K10", 310*nanometre, [3]float64{1.15687082, 0.0642625444, 0.872376139}, [3]float64{0.00809424251, 0.0386051284, 104.74773}),
		catalogued("LLF1", 310*nanometre, [3]float64{1.21640125, 0.13366454, 0.883399468}, [3]float64{0.00857807248, 0.0420143003, 107.59306}),
		catalogued("LF5", 320*nanometre, flintLF5.b, flintLF5.c),
		catalogued("F5", 320*nanometre, [3]float64{1.3104463, 0.19603426, 0.96612977}, [3]float64{0.00958633048, 0.0457627627, 115.011883}),
		catalogued("F2", 320*nanometre, [3]float64{1.34533359, 0.209073176, 0.937357162}, [3]float64{0.00997743871, 0.0470450767, 111.886764}),
		catalogued("N-SK15", 334*nanometre, [3]float64{1.30417786, 0.28584116, 0.974781572}, [3]float64{0.00695051276, 0.0232023703, 99.016884}),
		catalogued("N-SK16", 310*nanometre, [3]float64{1.34317774, 0.241144399, 0.994317969}, [3]float64{0.00704687339, 0.0229005, 92.7508526}),
		catalogued("N-LAK9", 300*nanometre, [3]float64{1.46231905, 0.344399589, 1.15508372}, [3]float64{0.00724270156, 0.0243353131, 85.4686868}),
		catalogued("N-SF5", 370*nanometre, [3]float64{1.52481889, 0.187085527, 1.42729015}, [3]float64{0.011254756, 0.0588995392, 129.141675}),
		lightFlint,
		silica,
	}
}

// Glass returns a catalogued glass by its name.
func Glass(name string) (Medium, error) {
	var known []string
	for _, g := range Glasses() {
		if g.Name == name {
			return g, nil
		}
		known = append(known, g.Name)
	}
	return Medium{}, fmt.Errorf("glass %q is not known; known are %s", name, strings.Join(known, ", "))
}
