// Package look draws the screen on which a photograph is looked at as a plate would show it.
package look

import (
	"embed"

	"platewright/internal/web/shared"
)

// Files are the screen's style sheet.
//
//go:embed *.css
var Files embed.FS

// Page is the form, with the pictures before and after once there are any.
type Page struct {
	shared.Form
	Here    string // this page's address
	Most    string // the greatest file taken
	Kept    string // how long pictures are kept, in words
	Choices Choices
	Made    *Made // nil while there is none
}

// Choices are what can be chosen.
type Choices struct{ Lights, Tones, Sides []shared.Option }

// Made is a photograph and its look.
type Made struct {
	Before, After Picture
	Notes         []string
	Facts         []Fact
}

// Picture is one of the two.
type Picture struct {
	Src           string
	Width, Height int
}

// Fact is a word with its value.
type Fact struct{ Word, Value string }
