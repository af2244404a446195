package paper

import (
	"fmt"
	"math"

	"platewright/measure"
)

// Drawing is a line drawing in its own units, millimetres of the thing drawn: x to the right, y up. It
// is fitted whole into its place on the sheet, both ways to one scale. The zero value draws nothing.
type Drawing struct {
	Name    string // stands over it
	Strokes []Stroke
	Words   []Word
	// Bar is how long a scale bar is drawn, in the drawing's units; 0 draws none.
	Bar     float64
	BarWord string // "500 mm"
}

// Stroke is a polyline.
type Stroke struct {
	Points [][2]float64
	Closed bool
	Weight Weight
}

// Word is lettering in a drawing, its middle at the place.
type Word struct {
	At   [2]float64
	Text string
}

// Weight is how a stroke is drawn.
type Weight string

// The weights of strokes.
const (
	Outline Weight = ""       // a thing
	Heavy   Weight = "heavy"  // the plate, the lens board
	Thin    Weight = "thin"   // rays, dimensions
	Dashed  Weight = "dashed" // an axis, a limit of what is sharp
	Hatched Weight = "hatch"  // a closed area that is sharp
)

// Item is a word with its figure: "Extension", "643.5 mm", "25 5/16 in".
type Item struct{ Word, Value, Other string }

// check refuses a drawing that cannot be drawn.
func (d Drawing) check(name string) error {
	finite := func(v float64) bool { return !math.IsNaN(v) && math.Abs(v) <= 1e9 }
	for i, s := range d.Strokes {
		for _, p := range s.Points {
			if !finite(p[0]) || !finite(p[1]) {
				return fmt.Errorf("%s: stroke %d has the place %g, %g; places are within a thousand kilometres", name, i+1, p[0], p[1])
			}
		}
	}
	for i, w := range d.Words {
		if !finite(w.At[0]) || !finite(w.At[1]) {
			return fmt.Errorf("%s: word %d stands at %g, %g; places are within a thousand kilometres", name, i+1, w.At[0], w.At[1])
		}
	}
	return measure.Within(name+"'s scale bar", d.Bar, 0, 1e6, "mm")
}
