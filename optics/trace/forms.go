package trace

import (
	"platewright/measure"
	"platewright/optics"
)

// The prescriptions, as printed: radii and distances in the source's own unit, then the glass that follows.

// An ideal portrait lens is asked for full definition over 18° at f/4. [Schriever1908, ch. XXXV]
const goodPortrait = 9 * measure.Degree

const inferredOldGlass = "the V-numbers of the glasses (60 and 41) and with them all that concerns colour"

// lines1840 are the surfaces without the stop's plane. [PortraitSlides00] Beware of a copy that has the
// rear flint and crown exchanged: its focal length comes out at 86, not at the printed 100.
func lines1840() (front, rear []drawn) {
	crown := Normal("crown 1.517", 1.517, 60)
	flint := Normal("flint 1.576", 1.576, 41)
	crown.Source, flint.Source = "PortraitSlides00", "PortraitSlides00"
	crown.Inferred, flint.Inferred = "V-number", "V-number"
	front = []drawn{{52.9, 5.8, crown}, {-41.4, 1.5, flint}, {436.2, 23.3, Air()}}
	rear = []drawn{{104.8, 2.2, flint}, {36.8, 0.7, Air()}, {45.5, 3.6, crown}, {-149.5, 0, Air()}}
	return front, rear
}

func portrait1840() Form {
	front, rear := lines1840()
	lines := append(append(front, drawn{0, 23.3, Air()}), rear...)
	return Form{
		Key: "portrait-1840", Name: "portrait form, 1840", Source: "PortraitSlides00",
		Inferred: "the stop midway between the cells; " + inferredOldGlass,
		System:   build("portrait form, 1840", "PortraitSlides00", 3, lines),
		Largest:  3.6, Half: 15 * measure.Degree, Good: goodPortrait,
		Rims:      optics.Rims{Front: 28, Rear: 23, Barrel: 60.4},
		RimsBasis: "clear diameters of 28 and 23 for a focal length of 100 are assumed, no source",
	}
}

// portrait1840Front has the stop where it first was, at the front glass.
func portrait1840Front() Form {
	front, rear := lines1840()
	front[2].thickness = 46.6
	f := portrait1840()
	f.Key, f.Name, f.Inferred = "portrait-1840-front", "portrait form, 1840, stop at the front glass", inferredOldGlass
	f.System = build(f.Name, f.Source, 0, append(front, rear...))
	return f
}

func portrait1950() Form {
	glass := func(name string, nd, v float64) Medium {
		m := Normal(name, nd, v)
		m.Source, m.Inferred = "Portrait1950", "partial dispersion"
		return m
	}
	return Form{
		Key: "portrait-1950", Name: "portrait form, 1950", Source: "Portrait1950",
		Inferred: "how the glasses' dispersion is shared out between the colours; the largest stop and the field, taken as far as the printed curves of aberration go",
		System: build("portrait form, 1950", "Portrait1950", 3, []drawn{
			{70.97, 15.0, glass("1.523/58.6", 1.523, 58.6)}, {-56.79, 4.5, glass("1.617/38.5", 1.617, 38.5)}, {0, 18.9, Air()},
			{0, 30.4, Air()},
			{119.91, 3.8, glass("1.649/33.8", 1.649, 33.8)}, {40.87, 0.9, Air()}, {46.87, 7.5, glass("1.697/56.1", 1.697, 56.1)}, {-282.05, 0, Air()},
		}),
		Largest: 2.1, Half: 7 * measure.Degree, Good: 7 * measure.Degree,
	}
}

func triplet() Form {
	crown, flint := named("N-LAK9"), named("N-SF5")
	return Form{
		Key: "triplet", Name: "three-glass form", Source: "TripletTable00",
		Inferred: "a modern drawing of the form of 1893, in modern glass",
		System: build("three-glass form", "TripletTable00", 2, []drawn{
			{23.713, 4.831, crown}, {7331.288, 5.86, Air()}, {-24.456, 0.975, flint},
			{21.896, 4.822, Air()}, {86.759, 3.127, crown}, {-20.4942, 0, Air()},
		}),
		Largest: 4, Half: 20 * measure.Degree, Good: 20 * measure.Degree,
	}
}

// fourGlass1902 is printed with indices for three lines. One copy reads the F index of the second
// glass as 1.61486, which would give it the dispersion of no flint.
func fourGlass1902() Form {
	glass := func(name string, d, f, g float64) Medium {
		m := ThreeLines(name, [3]Reading{{LineSodium, d}, {LineF, f}, {LineGPrime, g}}, 400*nanometre, 700*nanometre)
		m.Source, m.Inferred = "FourGlass1903", "indices beyond the three printed lines"
		return m
	}
	first := glass("first glass", 1.61132, 1.61870, 1.62462)
	second := glass("second glass", 1.60457, 1.61436, 1.62252)
	third := glass("third glass", 1.52110, 1.52820, 1.53397)
	fourth := glass("fourth glass", 1.61132, 1.61895, 1.62514)
	return Form{
		Key: "four-glass-1902", Name: "four-glass form, 1902", Source: "FourGlass1903",
		Inferred: "the stop midway in its space; radii are printed to three figures only",
		System: build("four-glass form, 1902", "FourGlass1903", 4, []drawn{
			{0.215, 0.033, first}, {0, 0.019, Air()}, {-0.742, 0.011, second}, {0.208, 0.030, Air()},
			{0, 0.030, Air()},
			{-1.113, 0.011, third}, {0.252, 0.030, fourth}, {-0.367, 0, Air()},
		}),
		Largest: 5.5, Half: 30 * measure.Degree, Good: 30 * measure.Degree,
	}
}

func fourGlassLater() Form {
	crown := named("N-SK15")
	return Form{
		Key: "four-glass", Name: "four-glass form, f/4.5", Source: "LensDesign2007",
		Inferred: "the field of 25° to each side",
		System: build("four-glass form, f/4.5", "LensDesign2007", 4, []drawn{
			{1.3329, 0.2791, crown}, {-9.9754, 0.2054, Air()}, {-2.0917, 0.09, named("F2")}, {1.2123, 0.0709, Air()},
			{0, 0.1534, Air()},
			{-7.5205, 0.09, named("K10")}, {1.3010, 0.3389, crown}, {-1.5218, 0, Air()},
		}),
		Largest: 4.5, Half: 25 * measure.Degree, Good: 25 * measure.Degree,
	}
}

func fiveGlass() Form {
	crown, flint := named("N-SK16"), named("E-LLF6")
	return Form{
		Key: "five-glass", Name: "five-glass form", Source: "LensDesign2007",
		Inferred: "the field of 20° to each side",
		System: build("five-glass form", "LensDesign2007", 5, []drawn{
			{4.2103, 0.9004, crown}, {-3.6208, 0.2999, flint}, {29.1869, 0.7587, Air()}, {-3.1715, 0.2, flint}, {3.2083, 0.1264, Air()},
			{0, 0.2629, Air()},
			{43.0710, 0.25, flint}, {2.4494, 0.8308, crown}, {-3.2576, 0, Air()},
		}),
		Largest: 5, Half: 20 * measure.Degree, Good: 20 * measure.Degree,
	}
}

// meniscus is the landscape lens behind its stop, in its printed curvatures. [Landscape00]
func meniscus(name string) System {
	glass := named("N-BK7")
	return System{Name: name, Source: "Landscape00", Surfaces: []Surface{
		{Thickness: 1.664, After: Air(), Stop: true},
		{Curvature: -0.2, Thickness: 0.22, After: glass},
		{Curvature: -0.387040626, After: Air()},
	}}
}

func landscape() Form {
	const name = "landscape meniscus"
	return Form{
		Key: "landscape", Name: name, Source: "Landscape00", Inferred: "modern crown in place of the old",
		System:  meniscus(name),
		Largest: 10, Half: 25 * measure.Degree, Good: 25 * measure.Degree,
	}
}

// doubleMeniscus is the landscape meniscus before and behind one stop: our own construction, because no
// prescription of the symmetrical doublets of the time was found.
func doubleMeniscus() Form {
	const name = "symmetrical double meniscus"
	half := meniscus(name)
	surfaces := half.Reversed().Surfaces
	surfaces = surfaces[:len(surfaces)-1]
	s := System{Name: name, Source: half.Source, Inferred: "built here from the landscape meniscus", Surfaces: append(surfaces, half.Surfaces...)}
	return Form{
		Key: "double-meniscus", Name: name, Source: "Landscape00",
		Inferred: "the whole: our own construction from the landscape meniscus and its mirror image, single glasses in place of cemented ones",
		System:   s,
		Largest:  10, Half: 25 * measure.Degree, Good: 25 * measure.Degree,
	}
}

func softFocus() Form {
	glass := func(n float64) Medium {
		m := Constant("glass", n)
		m.Source = "SoftFocus1978"
		return m
	}
	f := Form{
		Key: "soft-focus", Name: "soft-focus form with one movable glass", Source: "SoftFocus1978",
		Inferred: "the place of the stop in its space, the field of 12° to each side; nothing is known of its colours",
		System: build("soft-focus form", "SoftFocus1978", 4, []drawn{
			{47.717, 8.64, glass(1.7495)}, {995.518, 9.37, Air()}, {-71.607, 3.22, glass(1.6398)}, {35.967, 3.99, Air()},
			{0, 3.40, Air()},
			{650.716, 2.53, glass(1.54072)}, {35.711, 10.69, glass(1.72)}, {-54.216, 2.76, Air()},
			{-49.647, 5.78, glass(1.6968)}, {-34.730, 2.44, Air()}, {-31.559, 3.22, glass(1.57616)}, {-48.743, 0, Air()},
		}),
		Largest: 2.8, Half: 12 * measure.Degree, Good: 12 * measure.Degree,
		Movable: &Movable{Name: "distance before the movable glass", Least: 2.44, Greatest: 8.19, after: 9},
	}
	return f
}
