// Package begin holds what is about the studio as a whole: the first questions of a new one, its own
// page afterwards, and the page that says what the product is, what to beware of and whose work is
// in it.
package begin

import (
	"embed"
	"strconv"

	"platewright/internal/web/shared"
)

// Files are the style sheet and the script of these screens.
//
//go:embed *.css *.js
var Files embed.FS

// Questions are the first questions.
type Questions struct {
	shared.Form
	Example bool // whether the example studio can be had
}

// units asks for the studio's habit of units.
func units(label, hint string) shared.ChoiceData {
	return shared.ChoiceData{Name: "units", Label: label, Hint: hint, List: true, Options: []shared.Option{
		{Value: "metric", Word: "Metric", Note: "mm, g, ml, °C"},
		{Value: "imperial", Word: "Imperial", Note: "inches, grains, imperial fl oz, °F"},
	}}
}

// Studio is the page about this studio.
type Studio struct {
	shared.Form
	Unit     string // what a bare length means
	Zone     string // of the hours shown: "CET, +01:00"
	Holds    []shared.Fact
	Password bool   // whether one is set
	Cyanide  bool   // whether recipes with cyanide are on
	Listen   string // where it listens now
	Beyond   bool   // other machines reach that
	Port     string // to listen on for the network
}

func (d Studio) cyanideWords() string {
	if d.Cyanide {
		return "Recipes that need cyanide are on in this studio."
	}
	return "Recipes that need cyanide are off, and no screen switches them on."
}

func (d Studio) reachWords() string {
	if d.Beyond {
		return "The studio listens at " + d.Listen + ", which other machines on its network reach."
	}
	return "The studio listens at " + d.Listen + ", which no other machine reaches. To have the clock on a phone:"
}

func (d Studio) passwordWords() string {
	if d.Password {
		return "A password is set. To set another, which logs every device out:"
	}
	return "No password is set. Set one; it is asked for twice:"
}

// About is the page about the product.
type About struct {
	Version string
	Modules []Module
	Texts   []Text
	Credits []string // whose measurements and standards are in the program, a sentence each
}

// Module is a library in the program.
type Module struct{ Path, Version string }

// Text is a licence that can be read.
type Text struct{ Of, Name, Href string }

// danger is one line of the cautions.
type danger struct{ Of, Say string }

// dangers are the cautions in short; docs/cautions.md says more.
func dangers() []danger {
	return []danger{
		{"Ether and alcohol", "Very flammable vapour that creeps along the floor. No flame, spark, heater or switch nearby; moving air; small amounts open at a time. Do not open a bottle with crystals in it."},
		{"Silver nitrate", "Burns skin and can blind. Eyes covered, gloves on. Never together with ammonia."},
		{"Acids", "Acid into water, never the other way. Away from cyanide, always."},
		{"Cyanide", "Deadly by mouth, skin and, with any acid, as gas. It is switched off here; hypo is the fixer proposed."},
		{"Cadmium salts", "Poisonous, cause cancer. No dust, no skin, no drain."},
		{"Flash and ultraviolet", "Unpleasant near a face and for some people dangerous. Ask about photosensitivity before the first flash."},
		{"Hot varnish", "Flammable vapour from a warmed plate. No open flame."},
		{"Metal and glass plates", "Edges cut. Deburr them first."},
		{"Waste", "Silver, cadmium and solvents do not go down a drain unless your local rules say so in writing."},
		{"Phones and lamps near a wet plate", "A red screen is not proof of anything. Test your own device on your own plate."},
		{"Computed pictures", "Studies, not promises. A plate is judged by eye."},
		{"A network", "Pages beyond this machine ask for a password but travel unencrypted unless you put them behind TLS."},
	}
}

func modulesWord(n int) string {
	return strconv.Itoa(n) + " libraries are built into this program, each under its own open licence"
}
