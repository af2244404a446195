// Package copystand is the copy stand: a photograph of a plate is chosen here and filed with it.
package copystand

import (
	"embed"

	"platewright/internal/web/shared"
)

// Files are the style sheet and script of this screen.
//
//go:embed *.css *.js
var Files embed.FS

// Stand is the copy stand with what was typed.
type Stand struct {
	shared.Form
	EventID string
	Here    string  // this page's address
	Chosen  *Plate  // the plate typed or taken from the list; nil while there is none
	Waiting []Plate // poured plates without a copy, newest first
	Last    []Pair  // the last copies filed
	// NonePoured tells that there is no plate yet that could be photographed.
	NonePoured bool
	Most       string // the greatest file taken
}

// Plate is a plate to choose.
type Plate struct{ Number, Href, Sitter, About string }

// Pair is one copy: the plate as it lies and its true view.
type Pair struct {
	Plate
	Src           string
	Width, Height int
}

func (s Stand) chosenNumber() string {
	if s.Chosen == nil {
		return ""
	}
	return s.Chosen.Number
}
