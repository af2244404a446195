package measure

import (
	"slices"
	"strings"
)

// System is a system of weights and measures, the one a recipe was written in or the one a person
// reads. It settles what a bare ounce, pint or minim is; [Metric] settles none of them.
type System int

// The systems. [Apothecary] is the American apothecaries' table: grains, scruples, drachms and an
// ounce of 480 grains, and the US fluid measure [HB44, app. C]. British books of the imperial
// measure are [Imperial]; both weigh solids by the avoirdupois ounce, drachms of 60 grains
// included, which is the usage of the old photographic books (common practice, no source).
const (
	Metric System = iota
	Imperial
	US
	Apothecary
)

var systemNames = [...]string{"metric", "imperial", "us", "apothecary"}

// String returns the system's key: metric, imperial, us or apothecary.
func (s System) String() string {
	if s < 0 || int(s) >= len(systemNames) {
		return "unknown system"
	}
	return systemNames[s]
}

// ParseSystem reads a system's key.
func ParseSystem(s string) (System, error) {
	if i := slices.Index(systemNames[:], strings.ToLower(strings.TrimSpace(s))); i >= 0 {
		return System(i), nil
	}
	return 0, reading{"system of measures", s}.refuse("use %s", strings.Join(systemNames[:], ", "))
}

// massUnits maps the ways to write a unit of mass that mean one thing in every system.
var massUnits = map[string]Mass{
	"mg": Milligram, "milligram": Milligram, "milligrams": Milligram,
	"g": Gram, "gm": Gram, "gms": Gram, "gram": Gram, "grams": Gram, "gramme": Gram, "grammes": Gram,
	"kg": Kilogram, "kilogram": Kilogram, "kilograms": Kilogram, "kilo": Kilogram, "kilos": Kilogram,
	"gr": Grain, "grs": Grain, "grain": Grain, "grains": Grain,
	"scruple": Scruple, "scruples": Scruple, "℈": Scruple,
	"drachm": ApothecaryDrachm, "drachms": ApothecaryDrachm, "ʒ": ApothecaryDrachm, "dr ap": ApothecaryDrachm,
	"dram ap": ApothecaryDrachm, "drams ap": ApothecaryDrachm,
	"dr av": AvoirdupoisDram, "dram av": AvoirdupoisDram, "drams av": AvoirdupoisDram,
	"oz av": AvoirdupoisOunce, "oz avdp": AvoirdupoisOunce, "ounce av": AvoirdupoisOunce, "ounces av": AvoirdupoisOunce,
	"avoirdupois ounce": AvoirdupoisOunce, "avoirdupois ounces": AvoirdupoisOunce,
	"oz ap": ApothecaryOunce, "oz troy": ApothecaryOunce, "oz t": ApothecaryOunce, "troy oz": ApothecaryOunce,
	"troy ounce": ApothecaryOunce, "troy ounces": ApothecaryOunce, "ounce ap": ApothecaryOunce, "ounces ap": ApothecaryOunce,
	"apothecary ounce": ApothecaryOunce, "apothecary ounces": ApothecaryOunce, "℥": ApothecaryOunce,
	"lb av": AvoirdupoisPound, "lb troy": TroyPound, "troy pound": TroyPound, "troy pounds": TroyPound, "lb ap": TroyPound,
}

// massUnit finds a unit of mass, settled by sys where the name alone is not enough.
func (r reading) massUnit(name string, sys System) (Mass, error) {
	if u, ok := massUnits[name]; ok {
		return u, nil
	}
	switch name {
	case "oz", "ozs", "ounce", "ounces":
		switch sys {
		case Imperial, US:
			return AvoirdupoisOunce, nil
		case Apothecary:
			return ApothecaryOunce, nil
		}
		return 0, r.refuse("an ounce by itself is not settled in the metric system; write oz av (28.35 g) or oz troy (31.10 g)")
	case "lb", "lbs", "pound", "pounds":
		switch sys {
		case Imperial, US:
			return AvoirdupoisPound, nil
		case Apothecary:
			return TroyPound, nil
		}
		return 0, r.refuse("a pound by itself is not settled in the metric system; write lb av (453.6 g) or lb troy (373.2 g)")
	case "dr", "dram", "drams":
		if sys == Apothecary {
			return ApothecaryDrachm, nil
		}
		return 0, r.refuse("a dram by itself is not settled; write dr ap (60 grains, 3.888 g) or dr av (27.34 grains, 1.772 g)")
	}
	if _, err := r.volumeUnit(name, US); err == nil {
		return 0, r.refuse("%q is a volume, and a mass is wanted; use mg, g, kg, gr, oz av, oz troy or lb", name)
	}
	return 0, r.refuse("the unit %q is not known here; use mg, g, kg, gr, scruple, drachm, oz av, oz troy or lb", name)
}

// metricVolumes maps the metric units of volume.
var metricVolumes = map[string]Volume{
	"ml": Millilitre, "millilitre": Millilitre, "millilitres": Millilitre, "milliliter": Millilitre, "milliliters": Millilitre,
	"cc": Millilitre, "ccm": Millilitre, "cm3": Millilitre, "cm³": Millilitre,
	"cl": 10 * Millilitre, "dl": 100 * Millilitre,
	"l": Litre, "litre": Litre, "litres": Litre, "liter": Litre, "liters": Litre,
}

// oldVolume is a unit that exists in two sizes.
type oldVolume struct {
	name         string // the short name the refusal prints
	imperial, us Volume
}

var (
	minim   = oldVolume{"minim", ImperialMinim, USMinim}
	drachm  = oldVolume{"fl dr", ImperialFluidDrachm, USFluidDram}
	flOunce = oldVolume{"fl oz", ImperialFluidOunce, USFluidOunce}
	pint    = oldVolume{"pint", ImperialPint, USPint}
	quart   = oldVolume{"quart", ImperialQuart, USQuart}
	gallon  = oldVolume{"gallon", ImperialGallon, USGallon}
)

// oldVolumes maps the names of the old units of volume, without the word for the country.
var oldVolumes = map[string]oldVolume{
	"minim": minim, "minims": minim, "min": minim, "mins": minim, "♏": minim,
	"fl dr": drachm, "fl dram": drachm, "fl drams": drachm, "fluid drachm": drachm, "fluid drachms": drachm,
	"fluid dram": drachm, "fluid drams": drachm, "dr": drachm, "dram": drachm, "drams": drachm, "drachm": drachm, "drachms": drachm, "ʒ": drachm,
	"fl oz": flOunce, "floz": flOunce, "fluid ounce": flOunce, "fluid ounces": flOunce, "fl ounce": flOunce, "fl ounces": flOunce,
	"oz": flOunce, "ozs": flOunce, "ounce": flOunce, "ounces": flOunce, "℥": flOunce,
	"pt": pint, "pts": pint, "pint": pint, "pints": pint,
	"qt": quart, "qts": quart, "quart": quart, "quarts": quart,
	"gal": gallon, "gals": gallon, "gallon": gallon, "gallons": gallon,
}

// countries are the words that settle an old unit of volume, written before or after it.
var countries = [...]struct {
	word string
	sys  System
}{{"us", US}, {"u s", US}, {"american", US}, {"imp", Imperial}, {"imperial", Imperial}, {"uk", Imperial}, {"british", Imperial}}

// volumeUnit finds a unit of volume, settled by sys where the name alone is not enough.
func (r reading) volumeUnit(name string, sys System) (Volume, error) {
	if u, ok := metricVolumes[name]; ok {
		return u, nil
	}
	for _, c := range countries {
		short, found := strings.CutPrefix(name, c.word+" ")
		if !found {
			short, found = strings.CutSuffix(name, " "+c.word)
		}
		if found {
			name, sys = short, c.sys
			break
		}
	}
	u, ok := oldVolumes[name]
	if !ok {
		if _, heavy := massUnits[name]; heavy {
			return 0, r.refuse("%q is a mass, and a volume is wanted; use ml, l, minim, fl dr, fl oz or pint", name)
		}
		return 0, r.refuse("the unit %q is not known here; use ml, l, minim, fl dr, fl oz, pint, quart or gallon", name)
	}
	switch sys {
	case Imperial:
		return u.imperial, nil
	case US, Apothecary:
		return u.us, nil
	}
	return 0, r.refuse("%s by itself is not settled in the metric system; write US %s (%s ml) or imp %s (%s ml)",
		u.name, u.name, figure(float64(u.us), 4), u.name, figure(float64(u.imperial), 4))
}

// ParseMass reads a mass such as "480 gr", "2 drachms", "1 oz troy" or "12.5 g", or several of
// them with the largest first. A number without a unit counts in units of bare; sys settles what
// an ounce, a pound or a dram is.
func ParseMass(s string, bare Mass, sys System) (Mass, error) {
	r := reading{"mass", s}
	g, err := r.amount(func(name string) (float64, error) {
		if name == "" {
			return float64(bare), nil
		}
		u, err := r.massUnit(name, sys)
		return float64(u), err
	})
	if err != nil {
		return 0, err
	}
	if err := Within("mass", g, 0, float64(heaviest), "g"); err != nil {
		return 0, err
	}
	return Mass(g), nil
}

// ParseVolume reads a volume such as "250 ml", "20 minims", "3 fl oz" or "1 imp pint". A number
// without a unit counts in units of bare; sys settles whose ounce, pint or minim is meant unless
// the text says so itself.
func ParseVolume(s string, bare Volume, sys System) (Volume, error) {
	r := reading{"volume", s}
	ml, err := r.amount(func(name string) (float64, error) {
		if name == "" {
			return float64(bare), nil
		}
		u, err := r.volumeUnit(name, sys)
		return float64(u), err
	})
	if err != nil {
		return 0, err
	}
	if err := Within("volume", ml, 0, float64(largestVolume), "ml"); err != nil {
		return 0, err
	}
	return Volume(ml), nil
}

// amount reads what masses and volumes have in common.
func (r reading) amount(unit func(string) (float64, error)) (float64, error) {
	text, err := r.tidy()
	if err != nil {
		return 0, err
	}
	if strings.HasPrefix(text, "-") {
		return 0, r.refuse("a %s is not negative", r.what)
	}
	all, err := r.terms(text)
	if err != nil {
		return 0, err
	}
	return r.sum(all, unit)
}
