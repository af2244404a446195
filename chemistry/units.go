package chemistry

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"platewright/measure"
)

// System is the family of weights and measures an author wrote in, or a mixer wants to read.
type System string

// The four systems. American manuals of the nineteenth century write in US fluid ounces, British
// ones after 1826 in imperial. In the apothecary system an ounce of a solid is 480 grains, and
// the fluid measures are those of the wine gallon, which the US gallon still is [HB44].
const (
	Metric     System = "metric"
	Imperial   System = "imperial"
	US         System = "us"
	Apothecary System = "apothecary"
)

// Systems lists the systems of weights and measures.
func Systems() []System { return []System{Metric, Imperial, US, Apothecary} }

// Unit is a unit as a recipe writes it. Some name one measure whoever writes ("g", "us fl oz"),
// others are read by the author's system ("oz", "pint").
type Unit string

// drop is a drop from a common dropper, 0.05 mL: common practice, no source.
const drop = 0.05 * measure.Millilitre

// unitRow is one unit: its fixed size, or one size per system for a unit that needs the author.
type unitRow struct {
	unit    Unit
	aliases []string
	mass    measure.Mass   // of a solid; 0 when it measures no mass
	volume  measure.Volume // of a liquid; 0 when it measures no volume
	// For units read by system; zero where the system does not settle it.
	massIn   func(System) measure.Mass
	volumeIn func(System) measure.Volume
}

func (r unitRow) weighs() bool { return r.mass > 0 || r.massIn != nil }
func (r unitRow) pours() bool  { return r.volume > 0 || r.volumeIn != nil }

// fluid chooses between the US and the imperial size of one fluid unit.
func fluid(us, imperial measure.Volume) func(System) measure.Volume {
	return func(s System) measure.Volume {
		switch s {
		case US, Apothecary:
			return us
		case Imperial:
			return imperial
		}
		return 0
	}
}

// weight chooses between the avoirdupois and the apothecary size of one unit of mass.
func weight(avoirdupois, apothecary measure.Mass) func(System) measure.Mass {
	return func(s System) measure.Mass {
		switch s {
		case US, Imperial:
			return avoirdupois
		case Apothecary:
			return apothecary
		}
		return 0
	}
}

// unitRows is the table of units; every factor is [measure]'s, exact [SP811; HB44].
var unitRows = [...]unitRow{
	{unit: "mg", aliases: []string{"milligram", "milligrams"}, mass: measure.Milligram},
	{unit: "g", aliases: []string{"gram", "grams", "gramme", "grammes"}, mass: measure.Gram},
	{unit: "kg", aliases: []string{"kilogram", "kilograms"}, mass: measure.Kilogram},
	{unit: "gr", aliases: []string{"grain", "grains"}, mass: measure.Grain},
	{unit: "scruple", aliases: []string{"scruples", "℈"}, mass: measure.Scruple},
	{unit: "oz av", aliases: []string{"avoirdupois ounce", "oz avoirdupois"}, mass: measure.AvoirdupoisOunce},
	{unit: "oz ap", aliases: []string{"oz troy", "troy ounce", "apothecary ounce"}, mass: measure.ApothecaryOunce},
	{unit: "lb av", aliases: []string{"avoirdupois pound"}, mass: measure.AvoirdupoisPound},
	{unit: "lb troy", aliases: []string{"lb ap", "troy pound"}, mass: measure.TroyPound},
	{unit: "ml", aliases: []string{"cc", "millilitre", "millilitres", "milliliter", "milliliters"}, volume: measure.Millilitre},
	{unit: "l", aliases: []string{"litre", "litres", "liter", "liters"}, volume: measure.Litre},
	{unit: "drop", aliases: []string{"drops"}, volume: drop},
	{unit: "us minim", volume: measure.USMinim},
	{unit: "us fl dr", volume: measure.USFluidDram},
	{unit: "us fl oz", aliases: []string{"us oz"}, volume: measure.USFluidOunce},
	{unit: "us pint", volume: measure.USPint},
	{unit: "us quart", volume: measure.USQuart},
	{unit: "us gallon", volume: measure.USGallon},
	{unit: "imp minim", volume: measure.ImperialMinim},
	{unit: "imp fl dr", volume: measure.ImperialFluidDrachm},
	{unit: "imp fl oz", aliases: []string{"imp oz"}, volume: measure.ImperialFluidOunce},
	{unit: "imp pint", volume: measure.ImperialPint},
	{unit: "imp quart", volume: measure.ImperialQuart},
	{unit: "imp gallon", volume: measure.ImperialGallon},
	// Read by the author's system. A drachm of a solid is 60 grains in all of them: the
	// avoirdupois dram was no measure for chemicals.
	{unit: "drachm", aliases: []string{"drachms", "dr", "dram", "drams", "ʒ"}, mass: measure.ApothecaryDrachm,
		volumeIn: fluid(measure.USFluidDram, measure.ImperialFluidDrachm)},
	{unit: "oz", aliases: []string{"ounce", "ounces", "℥"}, massIn: weight(measure.AvoirdupoisOunce, measure.ApothecaryOunce),
		volumeIn: fluid(measure.USFluidOunce, measure.ImperialFluidOunce)},
	{unit: "lb", aliases: []string{"pound", "pounds"}, massIn: weight(measure.AvoirdupoisPound, measure.TroyPound)},
	{unit: "minim", aliases: []string{"minims"}, volumeIn: fluid(measure.USMinim, measure.ImperialMinim)},
	{unit: "fl dr", aliases: []string{"fluid drachm", "fluid drachms", "fluid dram"},
		volumeIn: fluid(measure.USFluidDram, measure.ImperialFluidDrachm)},
	{unit: "fl oz", aliases: []string{"fluid ounce", "fluid ounces"},
		volumeIn: fluid(measure.USFluidOunce, measure.ImperialFluidOunce)},
	{unit: "pint", aliases: []string{"pints"}, volumeIn: fluid(measure.USPint, measure.ImperialPint)},
	{unit: "quart", aliases: []string{"quarts"}, volumeIn: fluid(measure.USQuart, measure.ImperialQuart)},
	{unit: "gallon", aliases: []string{"gallons"}, volumeIn: fluid(measure.USGallon, measure.ImperialGallon)},
}

// unitPlaces finds a unit's place in the table by its name or an alias.
var unitPlaces = func() map[string]int {
	places := map[string]int{}
	for i, r := range unitRows {
		for _, name := range append([]string{string(r.unit)}, r.aliases...) {
			places[name] = i
		}
	}
	return places
}()

// Units lists the units a recipe may be written in.
func Units() []Unit {
	out := make([]Unit, len(unitRows))
	for i, r := range unitRows {
		out[i] = r.unit
	}
	return out
}

// row finds a unit by its name or an alias.
func (u Unit) row() (unitRow, error) {
	i, known := unitPlaces[string(u)]
	if !known {
		i, known = unitPlaces[strings.Join(strings.Fields(strings.ToLower(strings.ReplaceAll(string(u), ".", " "))), " ")]
	}
	if !known {
		return unitRow{}, fmt.Errorf("unit %q is not known; allowed: %s", string(u), joined(Units()))
	}
	return unitRows[i], nil
}

// Amount is a number of units.
type Amount struct {
	Value float64 `json:"amount"`
	Unit  Unit    `json:"unit"`
}

// IsZero reports whether nothing is given.
func (a Amount) IsZero() bool { return a == Amount{} }

// maxAmount bounds what one line of a recipe may ask for, in any unit.
const maxAmount = 1e6

func (a Amount) check() error {
	if !(a.Value > 0 && a.Value <= maxAmount) {
		return fmt.Errorf("amount %v is not allowed; it must be above 0 and at most %g", a.Value, float64(maxAmount))
	}
	return nil
}

// MassIn returns the mass a solid's amount stands for in the author's system.
func (a Amount) MassIn(s System) (measure.Mass, error) {
	if err := a.check(); err != nil {
		return 0, err
	}
	r, err := a.Unit.row()
	if err != nil {
		return 0, err
	}
	m := r.mass
	if m == 0 && r.massIn != nil {
		if m = r.massIn(s); m == 0 {
			return 0, ambiguous(r.unit, s)
		}
	}
	if m == 0 {
		return 0, fmt.Errorf("unit %q measures volume, not mass; allowed: %s", string(a.Unit), joined(unitsThat(unitRow.weighs)))
	}
	return measure.Mass(a.Value) * m, nil
}

// VolumeIn returns the volume a liquid's amount stands for in the author's system.
func (a Amount) VolumeIn(s System) (measure.Volume, error) {
	if err := a.check(); err != nil {
		return 0, err
	}
	r, err := a.Unit.row()
	if err != nil {
		return 0, err
	}
	v := r.volume
	if v == 0 && r.volumeIn != nil {
		if v = r.volumeIn(s); v == 0 {
			return 0, ambiguous(r.unit, s)
		}
	}
	if v == 0 {
		return 0, fmt.Errorf("unit %q measures mass, not volume; allowed: %s", string(a.Unit), joined(unitsThat(unitRow.pours)))
	}
	return measure.Volume(a.Value) * v, nil
}

func ambiguous(u Unit, s System) error {
	given := "no system is given"
	if s != "" {
		given = fmt.Sprintf("the system is %q", string(s))
	}
	return fmt.Errorf("unit %q is not one measure and %s; give the author's system (imperial, us or apothecary) "+
		"or a unit that says which, such as \"us fl oz\", \"imp fl oz\", \"oz av\"", string(u), given)
}

func unitsThat(fit func(unitRow) bool) []Unit {
	var out []Unit
	for _, r := range unitRows {
		if fit(r) {
			out = append(out, r.unit)
		}
	}
	return out
}

func joined[T ~string](list []T) string {
	s := make([]string, len(list))
	for i, v := range list {
		s[i] = string(v)
	}
	return strings.Join(s, ", ")
}

// tradeMass writes a mass in a convenient unit of the wanted system, to three figures.
func tradeMass(m measure.Mass, s System) Amount {
	gr := m.Grains()
	switch s {
	case Imperial, US:
		if gr >= 437.5 {
			return Amount{threeFigures(gr / 437.5), "oz av"}
		}
		return Amount{threeFigures(gr), "gr"}
	case Apothecary:
		switch {
		case gr >= 480:
			return Amount{threeFigures(gr / 480), "oz ap"}
		case gr >= 60:
			return Amount{threeFigures(gr / 60), "drachm"}
		case gr >= 20:
			return Amount{threeFigures(gr / 20), "scruple"}
		}
		return Amount{threeFigures(gr), "gr"}
	}
	switch g := m.Grams(); {
	case g >= 1000:
		return Amount{threeFigures(g / 1000), "kg"}
	case g >= 0.1:
		return Amount{threeFigures(g), "g"}
	default:
		return Amount{threeFigures(g * 1000), "mg"}
	}
}

// tradeVolume writes a volume in a convenient unit of the wanted system, to three figures.
func tradeVolume(v measure.Volume, s System) Amount {
	var oz measure.Volume
	var prefix string
	switch s {
	case Imperial:
		oz, prefix = measure.ImperialFluidOunce, "imp "
	case US, Apothecary:
		oz, prefix = measure.USFluidOunce, "us "
	default:
		if v >= measure.Litre {
			return Amount{threeFigures(v.Litres()), "l"}
		}
		return Amount{threeFigures(v.Millilitres()), "ml"}
	}
	switch n := float64(v / oz); {
	case n >= 1:
		return Amount{threeFigures(n), Unit(prefix + "fl oz")}
	case n >= 1.0/8:
		return Amount{threeFigures(n * 8), Unit(prefix + "fl dr")}
	default:
		return Amount{threeFigures(n * 480), Unit(prefix + "minim")}
	}
}

// threeFigures rounds to three significant figures, so by less than half of one per cent.
func threeFigures(x float64) float64 {
	if x == 0 {
		return 0
	}
	place := math.Floor(math.Log10(math.Abs(x))) - 2
	if place > 0 {
		p := math.Pow(10, place)
		return math.Round(x/p) * p
	}
	p := math.Pow(10, -place)
	return math.Round(x*p) / p
}

// step is one weight or measure of a set, largest first.
type step struct {
	size float64
	unit Unit
}

// ladder returns the weights or measures one lays out for an amount in the old systems.
func ladder(s System, liquid bool) []step {
	gr := float64(measure.Grain)
	switch {
	case liquid && s == Imperial:
		return []step{{float64(measure.ImperialFluidOunce), "imp fl oz"}, {float64(measure.ImperialFluidDrachm), "imp fl dr"}, {float64(measure.ImperialMinim), "imp minim"}}
	case liquid:
		return []step{{float64(measure.USFluidOunce), "us fl oz"}, {float64(measure.USFluidDram), "us fl dr"}, {float64(measure.USMinim), "us minim"}}
	case s == Apothecary:
		return []step{{480 * gr, "oz ap"}, {60 * gr, "drachm"}, {20 * gr, "scruple"}, {gr, "gr"}}
	}
	return []step{{437.5 * gr, "oz av"}, {gr, "gr"}}
}

// tradeText writes an amount as one lays out weights or reads a glass: "3 oz av 209 gr", to the
// grain or minim. Small and metric amounts stand as they are in trade.
func tradeText(trade Amount, base float64, s System, liquid bool) string {
	number := func(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
	alone := number(trade.Value) + " " + string(trade.Unit)
	if s == Metric || s == "" {
		return alone
	}
	steps := ladder(s, liquid)
	least := steps[len(steps)-1]
	left := base / least.size                                                    // rounded once to the least unit, so that nothing is carried twice
	if per := steps[0].size / least.size; math.Abs(per-math.Round(per)) > 1e-6 { // 437.5 grains to the ounce: the grains beside whole ounces are rounded
		ounces := math.Floor(left/per+1e-9) * per
		left = ounces + math.Round(left-ounces)
	} else {
		left = math.Round(left)
	}
	if left < 100 && base < steps[0].size {
		return alone
	}
	var words []string
	for i, st := range steps {
		per := st.size / least.size
		n := math.Floor(left/per + 1e-9)
		if i == len(steps)-1 {
			n = math.Round(left)
		}
		if left -= n * per; n > 0 {
			words = append(words, number(n)+" "+string(st.unit))
		}
	}
	return strings.Join(words, " ")
}
