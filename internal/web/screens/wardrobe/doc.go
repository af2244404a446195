// Package wardrobe draws the screen that tells how cloth, hair, lips and skin come out on a plate.
package wardrobe

import (
	"embed"
	"strconv"

	"platewright/internal/web/shared"
)

// Files are the screen's style sheet.
//
//go:embed *.css
var Files embed.FS

// Page is the wardrobe in one light.
type Page struct {
	shared.Form
	Choices Choices
	Own     *Thing  // the colour that was typed; nil when there is none
	Things  []Thing // the darkest on the plate first
	Said    string  // "41 things, the darkest on the plate first"
	Paper   string  // address of the brief for the sitter; empty when there is none
}

// Choices are what can be chosen.
type Choices struct{ Lights, Groups, Materials []shared.Option }

// Thing is one thing's place on the plate, next to how the eye sees it. Places are CIE lightness, 0 black to 100
// white.
type Thing struct {
	Name, Group string
	Colour      string // #rrggbb
	Grey        string // of the plate, #rrggbb
	Words       string // how it comes out
	Against     string // "1.2 stops darker than it looks"
	Basis       string
	Plate, Eye  float64
	Low, High   float64
	BandText    string // "plate 38 (31–45), eye 60"
}

func at(lightness float64) string { return strconv.FormatFloat(2*lightness, 'f', 1, 64) }

func wide(low, high float64) string { return at(max(0.5, high-low)) }
