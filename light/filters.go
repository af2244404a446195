package light

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"platewright/measure"
)

// Filter is glass or cloth in the way of light. Pass is what it lets through, 0 to 1, from 300 nm on: below that glass
// passes nothing that a plate could tell. BeforeMeter marks what the sitter's meter stands behind as well, a window or
// the cloth of a softbox; a lens only the plate stands behind.
type Filter struct {
	Name        string
	Pass        Spectrum
	From        string
	BeforeMeter bool
	EdgeSD      float64 // nm, one standard deviation of where its edge lies; 0 for glass taken as catalogued
}

// Shifted returns the filter with its edge moved by nm, up to 50 either way, toward the red when nm is positive.
func (f Filter) Shifted(nm float64) (Filter, error) {
	if err := measure.Within("shift of the edge", nm, -50, 50, "nm"); err != nil {
		return Filter{}, err
	}
	pass := f.Pass
	f.Pass = sampled(func(at float64) float64 { return pass.At(min(at-nm, usualLast)) })
	return f, nil
}

// Catalogue's names of what a light or an image passes.
const (
	NoGlass     = "none"
	OldLens     = "old crown-flint"
	CrownOnly   = "crown only"
	NewLens     = "new mixed glass"
	Balsam      = "Canada balsam"
	WindowGlass = "window"
	Laminated   = "laminated"
	Acrylic     = "acrylic"
	SoftboxWrap = "softbox cloth"
)

// Filters returns the names that [FilterOf] knows.
func Filters() []string {
	var out []string
	for _, f := range catalogue() {
		out = append(out, f.Name)
	}
	return out
}

// FilterOf returns a filter by its name; capitals do not count. "cut below 400 nm" with any wavelength from 300 to
// 600 nm is [CutBelow].
func FilterOf(name string) (Filter, error) {
	name = strings.TrimSpace(name)
	all := catalogue()
	if i := slices.IndexFunc(all, func(f Filter) bool { return strings.EqualFold(f.Name, name) }); i >= 0 {
		return all[i], nil
	}
	return Filter{}, fmt.Errorf("no glass or filter is called %q; known are %s", shortened(name), strings.Join(Filters(), ", "))
}

// cuts are the edges of the hard-cut filters in the catalogue, nm.
func cuts() []float64 { return []float64{340, 360, 380, 400, 410, 420} }

// CutBelow returns a filter that passes nothing below a wavelength of 300 to 600 nm and all from there on: the sharpest
// that could be, for a limit; a real edge is 10 to 30 nm wide.
func CutBelow(nm float64) (Filter, error) {
	if err := measure.Within("edge of the filter", nm, 300, 600, "nm"); err != nil {
		return Filter{}, err
	}
	return cutBelow(nm), nil
}

func cutBelow(edge float64) Filter {
	v := make([]float64, int(usualLast-usualFirst)+1) // at 1 nm, so that an edge is an edge
	for i := range v {
		if usualFirst+float64(i) >= edge {
			v[i] = 1
		}
	}
	return Filter{Name: fmt.Sprintf("cut below %g nm", edge), Pass: Spectrum{usualFirst, 1, v},
		From: "An ideal edge, for a limit: no filter is so sharp."}
}

// catalogue lists the filters.
func catalogue() []Filter {
	all := []Filter{
		{Name: NoGlass, Pass: clear(), From: "Nothing in the way."},
		{Name: OldLens, Pass: through(through(clear(), glassK7, 14), glassF2, 9),
			From: "14 mm of K7 crown and 9 mm of F2 flint of a modern catalogue, inside only, in place of an old portrait lens; old glass is often yellower, so below 400 nm this is the most it passes."},
		{Name: CrownOnly, Pass: through(clear(), glassK7, 14),
			From: "14 mm of K7 crown of a modern catalogue, inside only, in place of an old landscape lens without flint."},
		{Name: NewLens, Pass: through(through(clear(), glassNBK7, 20), glassSF2, 20),
			From: "20 mm of N-BK7 and 20 mm of SF2, inside only, in place of a modern lens; coatings cut further below 380 nm."},
		{Name: Balsam, Pass: drawn(300, 0, 320, .05, 330, .2, 340, .55, 350, .8, 360, .9, 380, .96, 400, .985, 450, .995, 500, 1),
			From: "An estimate: one cemented face of fresh Canada balsam, which begins to absorb near 340 nm (from memory); yellowed balsam takes violet too."},
		{Name: WindowGlass, BeforeMeter: true,
			Pass: drawn(300, 0, 310, .02, 315, .08, 320, .2, 325, .34, 330, .48, 340, .67, 350, .78, 360, .84, 370, .86, 380, .85, 390, .87, 400, .89, 450, .895, 550, .90, 600, .89, 700, .86, 830, .82), EdgeSD: 5,
			From: "An estimate: 3 to 4 mm of clear float with its surfaces; panes differ greatly from 310 to 330 nm, where the plate sees little."},
		{Name: Laminated, BeforeMeter: true,
			Pass: drawn(355, 0, 365, .02, 370, .10, 375, .27, 380, .45, 385, .60, 390, .70, 395, .77, 400, .815, 410, .855, 420, .87, 450, .88, 550, .89, 600, .88, 700, .85, 830, .81), EdgeSD: 10,
			From: "An estimate: two panes with a sheet of plastic that stops ultraviolet; makers let 2 to 4 % of the ultraviolet through, from 360 to 380 nm on, and the edge may lie 10 nm to either side."},
		{Name: Acrylic, BeforeMeter: true,
			Pass: drawn(380, 0, 385, .01, 390, .04, 395, .14, 400, .35, 405, .58, 410, .76, 415, .85, 420, .89, 430, .915, 450, .92, 830, .92), EdgeSD: 10,
			From: "An estimate: acrylic sheet that stops ultraviolet, with half its light at 403 nm; the edge may lie 10 nm to either side. Sheet made to pass ultraviolet is as good as none."},
		{Name: SoftboxWrap, BeforeMeter: true,
			Pass: drawn(300, .10, 320, .16, 340, .24, 360, .31, 380, .37, 400, .46, 420, .53, 450, .57, 500, .59, 550, .60, 830, .62),
			From: "An estimate, common practice, no source: new white diffusing cloth; yellowed or brightened cloth takes more of the violet. Pair two plates with and without it to know."},
	}
	for _, nm := range cuts() {
		all = append(all, cutBelow(nm))
	}
	return all
}

// Glasses returns the kinds of glass that [Glass] knows.
func Glasses() []string { return []string{"N-BK7", "K7", "F2", "SF2"} }

// Glass returns what a thickness of optical glass from 0.1 to 200 mm lets through inside, without its surfaces
// [OpticalGlass17]: crowns N-BK7 and K7, flints F2 and SF2.
func Glass(kind string, thick measure.Length) (Filter, error) {
	i := slices.Index(Glasses(), kind)
	if i < 0 {
		return Filter{}, fmt.Errorf("no glass is called %q; known are %s", shortened(kind), strings.Join(Glasses(), ", "))
	}
	mm := thick.Millimetres()
	if err := measure.Within("thickness of the glass", mm, 0.1, 200, "mm"); err != nil {
		return Filter{}, err
	}
	tau := []Spectrum{glassNBK7, glassK7, glassF2, glassSF2}[i]
	return Filter{Name: fmt.Sprintf("%g mm of %s", mm, kind), Pass: through(clear(), tau, mm),
		From: "A modern catalogue's glass, inside only; an old melt is often yellower."}, nil
}

// clear returns the filter that passes everything a spectrum can hold.
func clear() Spectrum {
	v := make([]float64, int((LongestNM-ShortestNM)/usualStep)+1)
	for i := range v {
		v[i] = 1
	}
	return Spectrum{ShortestNM, usualStep, v}
}

// through returns what is left behind a thickness in mm of glass whose 10 mm pass tau10. A glass is held at its last
// figure beyond its table and passes nothing before it.
func through(before, tau10 Spectrum, mm float64) Spectrum {
	tau := tau10.Held(tau10.first, LongestNM)
	for i, t := range tau.v {
		tau.v[i] = math.Pow(t, mm/10) // Beer and Lambert [OpticalGlass17]
	}
	return before.Times(tau)
}

// drawn returns a curve through pairs of wavelength and value, straight between them, nothing before the first and held
// beyond the last.
func drawn(pairs ...float64) Spectrum {
	return sampled(func(nm float64) float64 {
		if nm < pairs[0] {
			return 0
		}
		for i := 2; i < len(pairs); i += 2 {
			if nm <= pairs[i] {
				f := (nm - pairs[i-2]) / (pairs[i] - pairs[i-2])
				return pairs[i-1] + f*(pairs[i+1]-pairs[i-1])
			}
		}
		return pairs[len(pairs)-1]
	})
}
