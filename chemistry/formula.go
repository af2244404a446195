package chemistry

import (
	"fmt"
	"strconv"
	"strings"
)

// MolarMass is a molar mass in grams per mole.
type MolarMass float64

// atomicWeight returns the standard atomic weight of an element [CIAAW2021], or 0 for an
// element that no substance of the dark room contains.
func atomicWeight(element string) float64 {
	switch element {
	case "H":
		return 1.008
	case "Li":
		return 6.94
	case "B":
		return 10.81
	case "C":
		return 12.011
	case "N":
		return 14.007
	case "O":
		return 15.999
	case "Na":
		return 22.990
	case "Mg":
		return 24.305
	case "Al":
		return 26.982
	case "P":
		return 30.974
	case "S":
		return 32.06
	case "Cl":
		return 35.45
	case "K":
		return 39.098
	case "Ca":
		return 40.078
	case "Fe":
		return 55.845
	case "Cu":
		return 63.546
	case "Zn":
		return 65.38
	case "Br":
		return 79.904
	case "Ag":
		return 107.868
	case "Cd":
		return 112.414
	case "I":
		return 126.904
	case "Au":
		return 196.967
	case "Hg":
		return 200.592
	}
	return 0
}

// Composition counts the atoms of one formula unit, by element.
type Composition map[string]int

// Atoms reads a chemical formula such as AgNO3, CdBr2.4H2O or Fe(NH4)2(SO4)2.6H2O. A full stop or
// a raised dot stands before the water of a hydrate. Elements the dark room does not use are refused.
func Atoms(formula string) (Composition, error) {
	if strings.TrimSpace(formula) == "" {
		return nil, fmt.Errorf("chemical formula is empty")
	}
	total := Composition{}
	for _, piece := range strings.Split(strings.ReplaceAll(formula, "·", "."), ".") {
		r := formulaReader{text: piece}
		times, given := r.count()
		if !given {
			times = 1
		}
		atoms, err := r.group(false)
		if err != nil {
			return nil, fmt.Errorf("chemical formula %q: %w", formula, err)
		}
		if len(atoms) == 0 || times == 0 {
			return nil, fmt.Errorf("chemical formula %q: %q holds no element", formula, piece)
		}
		for e, n := range atoms {
			total[e] += n * times
		}
	}
	return total, nil
}

// formulaReader walks one hydrate-free piece of a chemical formula.
type formulaReader struct {
	text  string
	at    int
	depth int
}

// maxCount bounds a subscript, and maxDepth the nesting of brackets.
const (
	maxCount = 1000
	maxDepth = 8
)

// count reads a number; given is false when there is none.
func (r *formulaReader) count() (n int, given bool) {
	start := r.at
	for r.at < len(r.text) && r.text[r.at] >= '0' && r.text[r.at] <= '9' {
		r.at++
	}
	n, err := strconv.Atoi(r.text[start:r.at])
	if err != nil || n > maxCount {
		r.at = start
		return 0, false
	}
	return n, true
}

func (r *formulaReader) group(inside bool) (Composition, error) {
	atoms := Composition{}
	for r.at < len(r.text) {
		var part Composition
		switch c := r.text[r.at]; {
		case c == ')' && inside:
			return atoms, nil
		case c == '(':
			if r.depth++; r.depth > maxDepth {
				return nil, fmt.Errorf("brackets are nested deeper than %d", maxDepth)
			}
			r.at++
			var err error
			if part, err = r.group(true); err != nil {
				return nil, err
			}
			if r.at >= len(r.text) {
				return nil, fmt.Errorf("a bracket is not closed")
			}
			r.at++
			r.depth--
		case c >= 'A' && c <= 'Z':
			end := r.at + 1
			for end < len(r.text) && r.text[end] >= 'a' && r.text[end] <= 'z' {
				end++
			}
			element := r.text[r.at:end]
			if atomicWeight(element) == 0 {
				return nil, fmt.Errorf("element %q is not in the table", element)
			}
			r.at = end
			part = Composition{element: 1}
		default:
			return nil, fmt.Errorf("%q is out of place", r.text[r.at:])
		}
		times, given := r.count()
		if !given {
			times = 1
		}
		if times == 0 {
			return nil, fmt.Errorf("a subscript of 0")
		}
		for e, n := range part {
			if atoms[e] += n * times; atoms[e] > maxCount*maxCount {
				return nil, fmt.Errorf("more than %d atoms of %s", maxCount*maxCount, e)
			}
		}
	}
	if inside {
		return nil, fmt.Errorf("a bracket is not closed")
	}
	return atoms, nil
}

// Mass returns the molar mass of the composition.
func (c Composition) Mass() MolarMass {
	// Sum in a fixed order, so that the same formula gives the same last digit.
	var m float64
	for _, e := range []string{"H", "Li", "B", "C", "N", "O", "Na", "Mg", "Al", "P", "S", "Cl", "K",
		"Ca", "Fe", "Cu", "Zn", "Br", "Ag", "Cd", "I", "Au", "Hg"} {
		m += float64(c[e]) * atomicWeight(e)
	}
	return MolarMass(m)
}

// MolarMassOf returns the molar mass of a chemical formula from the standard atomic
// weights [CIAAW2021].
func MolarMassOf(formula string) (MolarMass, error) {
	atoms, err := Atoms(formula)
	if err != nil {
		return 0, err
	}
	return atoms.Mass(), nil
}
