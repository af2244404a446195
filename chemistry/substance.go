package chemistry

import (
	"fmt"
	"slices"
	"strings"

	"platewright/measure"
)

// Density is a density in grams per millilitre.
type Density float64

// Substance is one thing that recipes weigh or pour.
type Substance struct {
	Name          string   `json:"name"`
	Aliases       []string `json:"aliases,omitempty"`
	CAS           string   `json:"cas,omitempty"`
	Formula       string   `json:"chemical_formula,omitempty"` // empty for gums, oils and other mixtures
	Liquid        bool     `json:"liquid"`
	Density       Density  `json:"density_g_ml,omitempty"` // of a liquid at 20 °C unless the note says otherwise; 0 unknown
	DensitySource string   `json:"density_source,omitempty"`
	Hazard        Hazard   `json:"hazard"`
	Note          string   `json:"note,omitempty"`
	roles         []role

	molar  MolarMass  // of the formula; 0 without one
	halide [3]float64 // iodide, bromide and chloride ions of one formula unit
}

// role is what a substance does in a mixture, for refusals and the order of mixing.
type role int

const (
	halide role = iota
	potassiumSalt
	bromideSalt
	silver
	iron
	acid
	mineralAcid
	nitric
	hydrochloric
	sulphuric
	water
	alcohol
	ether
	cotton
	plain // pyroxylin already dissolved
	resin
	oil
	hypo
	cyanide
	ammonia
	ammonium // a salt that frees ammonia with an alkali
	alkali
	oxidiser
	chlorate
	nitrite
	bleach
	peroxide
	organicSolid
	nitrate
)

func (s Substance) is(r role) bool { return slices.Contains(s.roles, r) }

// MolarMass returns the molar mass, and whether the substance has a chemical formula.
func (s Substance) MolarMass() (MolarMass, bool) { return s.molar, s.molar > 0 }

// substances are the records of the table with what their formulas say, and byName finds their
// places by every name in the form of [plainName]. Both are made once and never changed.
var substances, byName = prepared()

func prepared() ([]Substance, map[string]int) {
	list, places := make([]Substance, len(substanceTable)), map[string]int{}
	for i, s := range substanceTable {
		if s.Formula != "" {
			atoms, err := Atoms(s.Formula)
			if err != nil {
				panic("chemistry: " + s.Name + ": " + err.Error())
			}
			s.molar = atoms.Mass()
			if s.is(halide) {
				s.halide = [3]float64{float64(atoms["I"]), float64(atoms["Br"]), float64(atoms["Cl"])}
			}
		}
		list[i] = s
		for _, name := range append([]string{s.Name, s.CAS}, s.Aliases...) {
			if name != "" {
				places[plainName(name)] = i
			}
		}
	}
	return list, places
}

// Substances returns every substance there is a record of, in the order of their names.
func Substances() []Substance {
	out := make([]Substance, len(substances))
	for i, s := range substances {
		out[i] = s.clone()
	}
	slices.SortFunc(out, func(a, b Substance) int { return strings.Compare(a.Name, b.Name) })
	return out
}

func (s Substance) clone() Substance {
	s.Aliases = slices.Clone(s.Aliases)
	s.Hazard.Statements = slices.Clone(s.Hazard.Statements)
	s.Hazard.FromMemory = slices.Clone(s.Hazard.FromMemory)
	s.roles = slices.Clone(s.roles)
	return s
}

// SubstanceNamed finds a substance by its name, an alias or its CAS number. "Sulfate" and
// "thiosulfate" are read as the sulphate they are, capitals and spaces do not matter.
func SubstanceNamed(name string) (Substance, error) {
	s, err := substanceNamed(name)
	return s.clone(), err
}

// substanceNamed is SubstanceNamed without a copy of the record's lists.
func substanceNamed(name string) (Substance, error) {
	i, known := byName[name]
	if !known {
		i, known = byName[plainName(name)]
	}
	if known {
		return substances[i], nil
	}
	names := make([]string, 0, len(substances))
	for _, s := range Substances() {
		names = append(names, s.Name)
	}
	return Substance{}, fmt.Errorf("substance %q is not known; allowed: %s", name, strings.Join(names, ", "))
}

func plainName(name string) string {
	n := strings.Join(strings.Fields(strings.ToLower(name)), " ")
	return strings.ReplaceAll(n, "sulf", "sulph")
}

// quantity is one part as read: what is not known is nil.
type quantity struct {
	mass   *measure.Mass
	volume *measure.Volume
}

// measured reads the amount of one line. A liquid may be weighed; a solid is never given by volume.
func (s Substance) measured(p Part, system System) (quantity, error) {
	a := Amount{Value: p.Amount, Unit: p.Unit}
	row, err := a.Unit.row()
	if err != nil {
		return quantity{}, err
	}
	if !s.Liquid {
		if !row.weighs() {
			return quantity{}, fmt.Errorf("%s is a solid and %q measures volume; allowed: %s",
				s.Name, string(p.Unit), joined(unitsThat(unitRow.weighs)))
		}
		m, err := a.MassIn(system)
		if err != nil {
			return quantity{}, err
		}
		return quantity{mass: &m}, nil
	}
	if row.pours() {
		v, err := a.VolumeIn(system)
		if err != nil {
			return quantity{}, err
		}
		return s.poured(v), nil
	}
	m, err := a.MassIn(system)
	if err != nil {
		return quantity{}, err
	}
	q := quantity{mass: &m}
	if s.Density > 0 {
		v := measure.Volume(float64(m) / float64(s.Density))
		q.volume = &v
	}
	return q, nil
}

// poured completes a volume of a liquid with its mass, where the density is known.
func (s Substance) poured(v measure.Volume) quantity {
	q := quantity{volume: &v}
	if s.Density > 0 {
		m := measure.Mass(float64(v) * float64(s.Density))
		q.mass = &m
	}
	return q
}
