package chemistry

import "strings"

// Citation is a work that recipes on the shelf, or the notes to a mixing, come from, under the key by
// which they name it.
type Citation struct{ Key, Work string }

// Citations lists the works behind the recipes that come with the product and the notes of [Mix], by
// their keys.
func Citations() []Citation {
	return []Citation{
		{"Britannica1911", `Encyclopaedia Britannica, 11th ed., 1911, vol. 21, "Photography", p. 488`},
		{"Dictionary1900", "A Dictionary of Photography, about 1900, collodion articles"},
		{"Estabrooke1887", "E. M. Estabrooke, Photography in the Studio and in the Field, 1887, pp. 17-36"},
		{"Hunt1854", "R. Hunt, A Manual of Photography"},
		{"ICSC0355", "International Chemical Safety Card 0355, diethyl ether, ILO/WHO, April 2024"},
		{"Rodger1857", "T. Rodger, The Collodion Process, about 1857"},
		{"SandaracNote07", "Open note on a sandarac varnish, web, 2007"},
		{"Schriever1908", "J. B. Schriever (ed.), Complete Self-Instructing Library of Practical Photography, 1908-09, §870-1010"},
		{"ShellacNote00", "Open note on shellac varnishes for wet plates, web, undated"},
		{"Towler1864", "J. Towler, The Silver Sunbeam, 1864, chs. 9, 15-17"},
		{"WetPlate00", `"The Wet Plate Process Continued", in a book of photography, web copy, undated`},
		{"WetSheet00", "Workshop sheet on the wet plate, web, undated"},
		{"Wilkinson00", "W. T. Wilkinson, Photo-engraving, Photo-etching and Photo-lithography, ch. II"},
		{"Wilson1881", "E. L. Wilson, Wilson's Photographics, 1881, §131-311"},
	}
}

// CitationOf tells which work a source names: a key, or a key with a place in the work after a comma.
// Another source, a memory or a notebook, names none.
func CitationOf(source string) (Citation, bool) {
	key, _, _ := strings.Cut(source, ",")
	for _, c := range Citations() {
		if c.Key == key {
			return c, true
		}
	}
	return Citation{}, false
}
