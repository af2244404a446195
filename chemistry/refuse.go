package chemistry

import (
	"fmt"
	"slices"
	"strings"
)

// Refusal says that the parts of a recipe must not be mixed, and why.
type Refusal struct {
	Rule   string   // a short name of the rule
	Parts  []string // the parts that meet
	Why    string
	Source string // where the danger is told
}

func (e *Refusal) Error() string {
	return fmt.Sprintf("refused: %s: %s", strings.Join(e.Parts, " with "), e.Why)
}

// mixture is what the rules look at.
type mixture struct {
	parts []Substance
	share map[string]float64 // volume of a liquid part over the sum of the liquids; missing where it is not known
	wets  float64            // millilitres of water, alcohol and ether to a gram of what burns or feeds fire
}

// having returns the names of the parts in any of the roles.
func (m mixture) having(roles ...role) []string {
	var names []string
	for _, s := range m.parts {
		if slices.ContainsFunc(roles, s.is) {
			names = append(names, s.Name)
		}
	}
	return names
}

// outside returns the names of the parts in none of the roles.
func (m mixture) outside(roles ...role) []string {
	var names []string
	for _, s := range m.parts {
		if !slices.ContainsFunc(roles, s.is) {
			names = append(names, s.Name)
		}
	}
	return names
}

func (m mixture) has(roles ...role) bool { return len(m.having(roles...)) > 0 }

// rule is one line of the matrix of what may not meet: a part of every group, and, where only is
// given, a part in none of its roles.
type rule struct {
	name   string
	groups [][]role
	only   []role
	unless func(mixture) bool // a mixture the rule does not mean; nil when there is none
	why    string
	source string
}

// dilute reports whether the acid is known to be a small share of liquids with water among them: at
// most 2 per cent, our own limit, no source.
func dilute(acid string) func(mixture) bool {
	return func(m mixture) bool {
		share, known := m.share[acid]
		return known && share <= 0.02 && m.has(water)
	}
}

// wetted reports whether the liquids drown what burns and what feeds fire: five millilitres to the
// gram, our own limit, no source.
func wetted(m mixture) bool { return m.wets >= 5 }

var rules = [...]rule{
	{name: "cyanide and acid", groups: [][]role{{cyanide}, {acid}},
		why:    "acid frees hydrogen cyanide from a cyanide, a gas that kills and that many people cannot smell",
		source: "common knowledge of the trade, in every safety sheet of potassium cyanide"},
	{name: "cyanide and iron developer", groups: [][]role{{cyanide}, {iron}},
		why:    "iron salts are acid and free hydrogen cyanide from a cyanide; a plate is rinsed between developer and fixer for that reason",
		source: "from memory"},
	{name: "cyanide and silver nitrate", groups: [][]role{{cyanide}, {silver}},
		why:    "silver nitrate throws down silver cyanide; silver and cyanide are kept apart, in use and in waste",
		source: "from memory"},
	{name: "cyanide and an oxidiser", groups: [][]role{{cyanide}, {chlorate, nitrite, nitrate}},
		why: "a cyanide explodes with chlorates, nitrites and nitrates when it is heated", source: "Slac2013; nitrates from memory"},
	{name: "cyanide and bleach", groups: [][]role{{cyanide}, {bleach, peroxide}},
		why: "bleach or peroxide with a cyanide makes poisonous gas; destroying cyanide is the work of a licensed carrier", source: "from memory"},
	{name: "cyanide in company", groups: [][]role{{cyanide}}, only: []role{cyanide, water},
		why: "a cyanide is mixed with water and nothing else: weak acids and acid salts free hydrogen cyanide from it, " +
			"copper salts cyanogen, and both gases kill", source: "from memory"},
	{name: "silver and ammonia", groups: [][]role{{silver}, {ammonia}},
		why: "silver nitrate with ammonia becomes fulminating silver, which goes off untouched, and a silver bath always holds " +
			"alcohol besides; neutralise a bath with sodium bicarbonate only", source: "Rice00; JAMA00"},
	{name: "silver, ammonium salt and alkali", groups: [][]role{{silver}, {ammonium}, {alkali}},
		why: "an alkali frees ammonia from an ammonium salt, and silver nitrate with ammonia becomes fulminating silver", source: "Rice00; from memory"},
	{name: "silver, nitric acid and alcohol", groups: [][]role{{silver}, {nitric}, {alcohol, ether}},
		why: "silver nitrate, nitric acid and alcohol are how silver fulminate is made, an explosive; leave one of them out, " +
			"and never heat an acid bath that plates have carried alcohol into", source: "Cutbush1825"},
	{name: "nitric acid and alcohol", groups: [][]role{{nitric}, {alcohol, ether, oil, resin, organicSolid}},
		unless: dilute("nitric acid"),
		why:    "nitric acid reacts violently with alcohol, ether and whatever else burns, unless the acid is very dilute",
		source: "from memory; the limit of 2 % is our own"},
	{name: "sulphuric acid and what burns", groups: [][]role{{sulphuric}, {alcohol, ether, oil, resin, organicSolid}},
		unless: dilute("sulphuric acid"),
		why:    "strong sulphuric acid boils up with alcohol, drives ether off as vapour and chars what is dry, unless it is very dilute",
		source: "from memory; the limit of 2 % is our own"},
	{name: "nitrate, strong acid and what burns", groups: [][]role{{nitrate}, {mineralAcid}, {alcohol, ether, oil, resin, organicSolid}},
		why: "a nitrate in strong acid is nitric acid, which makes explosives of what burns", source: "from memory"},
	{name: "nitric and hydrochloric acid", groups: [][]role{{nitric}, {hydrochloric}},
		why: "the two acids together give off chlorine and nitrous fumes", source: "from memory"},
	{name: "nitrite and acid", groups: [][]role{{nitrite}, {acid}},
		why: "acid frees nitrous fumes from a nitrite, poisonous gases whose harm shows hours later", source: "from memory"},
	{name: "nitrate, iron and mineral acid", groups: [][]role{{nitrate}, {iron}, {mineralAcid}},
		why: "a nitrate and an iron salt in strong acid give off nitrous fumes; dilute acetic acid only", source: "from memory"},
	{name: "oxidiser and dry organic matter", groups: [][]role{{oxidiser}, {organicSolid}},
		unless: wetted,
		why:    "an oxidiser with organic matter that is dry, or dries, takes fire", source: "CLP2008, the meaning of H272; from memory; the limit of 5 mL to the gram is our own"},
	{name: "chlorate and organic matter", groups: [][]role{{chlorate}, {organicSolid, alcohol, ether, oil, hypo}},
		why: "a chlorate with anything that burns, hypo included, is an explosive", source: "from memory"},
	{name: "chlorate and acid", groups: [][]role{{chlorate}, {acid}},
		why: "acid frees chlorine dioxide from a chlorate, a gas that explodes by itself", source: "from memory"},
	{name: "chlorate or nitrite and ammonium salt", groups: [][]role{{chlorate, nitrite}, {ammonium, ammonia}},
		why: "ammonium chlorate and ammonium nitrite go off by themselves when they dry", source: "from memory"},
	{name: "peroxide and ether", groups: [][]role{{peroxide}, {ether, alcohol}},
		why: "hydrogen peroxide with ether or alcohol can form explosive peroxides", source: "from memory"},
	{name: "peroxide and acid", groups: [][]role{{peroxide}, {acid}},
		why: "hydrogen peroxide with an acid can form peracids, which burn skin and can explode", source: "from memory"},
	{name: "hypo and acid", groups: [][]role{{hypo}, {acid}},
		why: "acid breaks hypo up into sulphur and sulphur dioxide gas", source: "from memory"},
	{name: "hypo and bleach", groups: [][]role{{hypo}, {bleach}},
		why: "bleach with used hypo gives off poisonous gas", source: "from memory"},
	{name: "bleach and acid", groups: [][]role{{bleach}, {acid}},
		why: "acid frees chlorine gas from bleach", source: "CLP2008, the meaning of EUH031; from memory"},
	{name: "bleach and ammonia", groups: [][]role{{bleach}, {ammonia, ammonium}},
		why: "bleach with ammonia or its salts gives off chloramine gas", source: "from memory"},
	{name: "bleach and solvent", groups: [][]role{{bleach}, {alcohol, ether}},
		why: "bleach with alcohol or ether reacts violently and gives off poisonous vapours", source: "from memory"},
}

// refuse returns the first rule the mixture breaks, as a [*Refusal].
func (m mixture) refuse() error {
	for _, r := range rules {
		met := []string{}
		for _, g := range r.groups {
			found := m.having(g...)
			if len(found) == 0 {
				met = nil
				break
			}
			met = append(met, found[0])
		}
		if met != nil && r.only != nil {
			others := m.outside(r.only...)
			if len(others) == 0 {
				continue
			}
			met = append(met, others[0])
		}
		if met == nil || r.unless != nil && r.unless(m) {
			continue
		}
		return &Refusal{Rule: r.name, Parts: met, Why: r.why, Source: r.source}
	}
	return nil
}

// cyanideCaution stands with every mixing that holds a cyanide.
const cyanideCaution = "Cyanide solution kills by skin, mouth and the gas that any acid frees from it; up to two people in five " +
	"do not smell that gas. Rinse every plate free of developer first, keep acids out of the room, never work alone, " +
	"have a plan agreed with a physician, and follow the supplier's safety sheet and local rules. Hypo fixes too."

// poison is the refusal to mix a cyanide that was not asked for by name.
func poison(name string) error {
	return &Refusal{Rule: "cyanide not allowed", Parts: []string{name},
		Why: "cyanide is off the shelf; it is mixed only when allow_cyanide is true. " + cyanideCaution, Source: "from memory"}
}
