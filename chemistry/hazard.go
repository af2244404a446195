package chemistry

import "slices"

// Hazard is a substance's classification under the European regulation that takes up the GHS
// [CLP2008]. Classifications change and differ by region and supplier: the label on the bottle
// and the supplier's safety sheet hold, not this record.
type Hazard struct {
	Signal     string   `json:"signal,omitempty"` // Danger, Warning, or empty
	Statements []string `json:"statements,omitempty"`
	Source     string   `json:"source,omitempty"`      // citation key
	Date       string   `json:"date,omitempty"`        // of the source, as far as it is known
	FromMemory []string `json:"from_memory,omitempty"` // statements not yet read in a source
	Held       bool     `json:"held"`                  // false: no classification is held here, which does not mean none exists
}

// Signal words.
const (
	Danger  = "Danger"
	Warning = "Warning"
)

// statementRow is one hazard statement: its words and the pictogram it asks for. Words and
// pictograms as in [CLP2008, annexes I and III], from memory.
type statementRow struct {
	code, words, pictogram string
}

var statementTable = [...]statementRow{
	{"H201", "Explosive; mass explosion hazard.", "GHS01"},
	{"H224", "Extremely flammable liquid and vapour.", "GHS02"},
	{"H225", "Highly flammable liquid and vapour.", "GHS02"},
	{"H226", "Flammable liquid and vapour.", "GHS02"},
	{"H228", "Flammable solid.", "GHS02"},
	{"H271", "May cause fire or explosion; strong oxidiser.", "GHS03"},
	{"H272", "May intensify fire; oxidiser.", "GHS03"},
	{"H290", "May be corrosive to metals.", "GHS05"},
	{"H300", "Fatal if swallowed.", "GHS06"},
	{"H301", "Toxic if swallowed.", "GHS06"},
	{"H302", "Harmful if swallowed.", "GHS07"},
	{"H304", "May be fatal if swallowed and enters airways.", "GHS08"},
	{"H310", "Fatal in contact with skin.", "GHS06"},
	{"H311", "Toxic in contact with skin.", "GHS06"},
	{"H312", "Harmful in contact with skin.", "GHS07"},
	{"H314", "Causes severe skin burns and eye damage.", "GHS05"},
	{"H315", "Causes skin irritation.", "GHS07"},
	{"H317", "May cause an allergic skin reaction.", "GHS07"},
	{"H318", "Causes serious eye damage.", "GHS05"},
	{"H319", "Causes serious eye irritation.", "GHS07"},
	{"H330", "Fatal if inhaled.", "GHS06"},
	{"H331", "Toxic if inhaled.", "GHS06"},
	{"H332", "Harmful if inhaled.", "GHS07"},
	{"H335", "May cause respiratory irritation.", "GHS07"},
	{"H336", "May cause drowsiness or dizziness.", "GHS07"},
	{"H350", "May cause cancer.", "GHS08"},
	{"H360", "May damage fertility or the unborn child.", "GHS08"},
	{"H370", "Causes damage to organs.", "GHS08"},
	{"H372", "Causes damage to organs through prolonged or repeated exposure.", "GHS08"},
	{"H373", "May cause damage to organs through prolonged or repeated exposure.", "GHS08"},
	{"H400", "Very toxic to aquatic life.", "GHS09"},
	{"H410", "Very toxic to aquatic life with long lasting effects.", "GHS09"},
	{"H411", "Toxic to aquatic life with long lasting effects.", "GHS09"},
	{"H412", "Harmful to aquatic life with long lasting effects.", ""},
	{"EUH019", "May form explosive peroxides.", ""},
	{"EUH031", "Contact with acids liberates toxic gas.", ""},
	{"EUH032", "Contact with acids liberates very toxic gas.", ""},
	{"EUH066", "Repeated exposure may cause skin dryness or cracking.", ""},
	{"EUH071", "Corrosive to the respiratory tract.", ""},
}

func statementOf(code string) (statementRow, bool) {
	for _, r := range statementTable {
		if r.code == code {
			return r, true
		}
	}
	return statementRow{}, false
}

// StatementText returns the words of a hazard statement, empty for one that no substance here bears.
func StatementText(code string) string {
	r, _ := statementOf(code)
	return r.words
}

// graverFirst lists families of statements of which only the gravest stands on a label.
var graverFirst = [...][]string{
	{"H224", "H225", "H226"},
	{"H271", "H272"},
	{"H300", "H301", "H302"},
	{"H310", "H311", "H312"},
	{"H314", "H315"},
	{"H314", "H318", "H319"},
	{"H330", "H331", "H332"},
	{"H372", "H373"},
	{"H410", "H411", "H412"},
	{"H410", "H400"},
}

// Statement is one hazard statement in code and words.
type Statement struct {
	Code string `json:"code"`
	Text string `json:"text"`
}

// Label is what a bottle's label would bear: signal word, pictogram codes, hazard statements.
type Label struct {
	Signal     string      `json:"signal"`
	Pictograms []string    `json:"pictograms"`
	Statements []Statement `json:"statements"`
}

// labelOf puts hazards together: every statement any of them bears, less those a graver one of the
// same family makes needless; the stronger signal word; the pictograms of what is left.
func labelOf(hazards []Hazard) Label {
	l := Label{Pictograms: []string{}, Statements: []Statement{}}
	all := map[string]bool{}
	for _, h := range hazards {
		if h.Signal == Danger || l.Signal == "" {
			l.Signal = h.Signal
		}
		for _, code := range h.Statements {
			all[code] = true
		}
	}
	for _, family := range graverFirst {
		found := false
		for _, code := range family {
			if found {
				delete(all, code)
			}
			found = found || all[code]
		}
	}
	signs := map[string]bool{}
	for _, r := range statementTable {
		if all[r.code] {
			l.Statements = append(l.Statements, Statement{r.code, r.words})
			if r.pictogram != "" {
				signs[r.pictogram] = true
			}
		}
	}
	// The exclamation mark gives way to the skull, and to corrosion for skin and eyes
	// [CLP2008, art. 26], from memory.
	if signs["GHS06"] || signs["GHS05"] && !needsMark(all) {
		delete(signs, "GHS07")
	}
	for code := range signs {
		l.Pictograms = append(l.Pictograms, code)
	}
	slices.Sort(l.Pictograms)
	return l
}

// needsMark reports whether a statement other than skin or eye irritation asks for GHS07.
func needsMark(all map[string]bool) bool {
	for code := range all {
		r, _ := statementOf(code)
		if r.pictogram == "GHS07" && code != "H315" && code != "H319" {
			return true
		}
	}
	return false
}

// Pictograms returns the pictogram codes that the substance's own statements ask for.
func (h Hazard) Pictograms() []string { return labelOf([]Hazard{h}).Pictograms }
