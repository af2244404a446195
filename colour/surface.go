package colour

import (
	"fmt"
	"sort"

	"platewright/light"
)

// Groups of measured surfaces.
const (
	Chart     = "chart"
	Skin      = "skin"
	Materials = "materials"
)

// ends of every surface's grid, in nm: all that a plate or an eye sees.
const firstNM, lastNM, stepNM = 300.0, 830.0, 10.0

// Surface is a measured reflectance: the share of light of each wavelength that comes back, 0 to 1, on 300 to
// 830 nm by 10 nm. Where it was not measured (below 380 nm for the chart, below 350 nm for the materials, above
// 780 nm for the chart) it holds the value of the nearest wavelength that was.
type Surface struct {
	Name        string
	Group       string // Chart, Skin or Materials
	Reflectance light.Spectrum
	Subjects    int    // people behind a mean of skin; 0 for what is no skin
	From        string // where the figures come from
}

// tabled is a row of the built-in tables.
type tabled struct {
	name     string
	subjects int
	values   []float64
}

// family is one of the built-in tables with what its rows have in common.
type family struct {
	group   string
	rows    []tabled
	firstNM float64
	from    string
}

func families() []family {
	return []family{
		{Chart, chartPatches, 380, "24-patch colour chart, measured 380 to 780 nm [Ohta1997]"},
		{Skin, skinClasses, 300, "inner forearm of 100 people, measured 300 to 830 nm [NISTSkin2017]"},
		{Materials, materials, 350, "field spectrometer, measured 350 to 830 nm [USGS2017]"},
	}
}

// Surfaces returns the 63 measured surfaces: 24 patches of a chart, 7 of skin, 32 materials, in that order.
func Surfaces() []Surface {
	var out []Surface
	for _, f := range families() {
		for _, r := range f.rows {
			out = append(out, Surface{r.name, f.group, drawnOut(f.firstNM, r.values), r.subjects, f.from})
		}
	}
	return out
}

// SurfaceNamed returns the measured surface of that name; an unknown name is refused with those there are.
func SurfaceNamed(name string) (Surface, error) {
	all := Surfaces()
	names := make([]string, len(all))
	for i, s := range all {
		if s.Name == name {
			return s, nil
		}
		names[i] = s.Name
	}
	sort.Strings(names)
	return Surface{}, fmt.Errorf("no measured surface is called %q; there are %q", name, names)
}

// SkinOfAll returns the mean reflectance of the skin of 100 people and the standard deviation between them
// [NISTSkin2017].
func SkinOfAll() (mean, scatter light.Spectrum) {
	return drawnOut(firstNM, skinOfAll), drawnOut(firstNM, skinScatter)
}

// Attributions returns the sentences that the sources of the package's tables ask for, or deserve, on a page
// that tells where figures come from.
func Attributions() []string {
	return []string{
		"Reflectances of the 24-patch colour chart: N. Ohta, The Basis of Color Reproduction Engineering, 1997, distributed by the Munsell Color Science Laboratory, Rochester Institute of Technology; the same as in ISO 17321-1.",
		"Reflectance of human skin: C. C. Cooksey, D. W. Allen and B. K. Tsai, Reference Data Set of Human Skin Reflectance, Journal of Research of the National Institute of Standards and Technology 122, article 26 (2017), doi:10.6028/jres.122.026. Data of the National Institute of Standards and Technology, without warranty; means by class were made for this product.",
		"Reflectances of materials: R. F. Kokaly and others, USGS Spectral Library Version 7, U.S. Geological Survey Data Series 1035 (2017), doi:10.3133/ds1035, public domain (CC0 1.0).",
		"Reflectance basis of sRGB, used to compare ways of reckoning: I. Mallett and C. Yuksel, Spectral Primary Decomposition for Rendering with sRGB Reflectance, Eurographics Symposium on Rendering 2019, doi:10.2312/sr.20191216, BSD 3-clause.",
		"Observer and standard light: International Commission on Illumination (CIE), Vienna.",
	}
}

// drawnOut is a built-in row by 10 nm on the surfaces' grid, held at both ends.
func drawnOut(first float64, values []float64) light.Spectrum {
	return sampled(first, stepNM, values).Held(firstNM, lastNM)
}

// sampled is a spectrum of a built-in table, which is known to be one.
func sampled(first, step float64, values []float64) light.Spectrum {
	s, err := light.NewSpectrum(first, step, values)
	if err != nil {
		panic("a built-in table is no spectrum: " + err.Error())
	}
	return s
}
