// Package choose draws the screen that ranks the studio's lenses and stops for a picture that is wanted.
//
// [Strip] draws camera and sitter in the room, every entry to the one scale of the page, so that the
// entries can be compared by eye. Nothing is reckoned here.
package choose

import (
	"embed"

	"platewright/internal/web/shared"
)

// Files are the screen's style sheet.
//
//go:embed *.css
var Files embed.FS

// Page is the chooser.
type Page struct {
	shared.Form
	Choices Choices
	Units   Units
	Result  Result
}

// Choices are what can be asked for.
type Choices struct {
	Sharp, Framing, Faces, Lights, Supports, Swirls []shared.Option
}

// Units are what a bare number means.
type Units struct{ Length string }

// Result is what was found.
type Result struct {
	Waiting  string // what is missing before anything can be said
	Heading  string // "3 of 24 ways: none is beaten in everything by another"
	Best     []Entry
	Rest     []Entry
	Cannot   []Cannot
	Assumed  []string
	Refusals []string
}

// Entry is one way to make the picture.
type Entry struct {
	Lens, Stop string
	Seconds    string // "4 s"
	Words      string // the trade it makes
	Bars       []Bar
	Figures    []Figure
	Room       Strip
	Href       string // the floor, filled with it
	Basis      string // on what basis the lens is known
	Bench      string // where it is measured
}

// Bar is a share drawn as a length.
type Bar struct {
	Word, Text string
	Share      float64    // 0 to 1
	Band       [2]float64 // the least and the most it may be; both 0 where that is not told
	Best       bool       // the most of all entries
}

// Figure is a word with its figure.
type Figure struct{ Word, Value string }

// Strip is camera and sitter in the room, in millimetres.
type Strip struct {
	Room      float64 // the room's depth; 0 when it is not known
	Extension float64
	Distance  float64 // lens to eyes
	Whole     float64 // what the page's scale must hold
	Said      string
}

// Cannot is a lens that cannot make the picture, and what would make it possible.
type Cannot struct{ Lens, Why string }
