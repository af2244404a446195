// Package shelf holds the shelf's screens: the batches by their age, the recipes with their
// cautions, and a recipe scaled for mixing.
package shelf

import (
	"embed"
	"math"
	"strconv"

	"platewright/internal/web/shared"
)

// Files are the style sheets of these screens.
//
//go:embed *.css
var Files embed.FS

// Shelf is everything on the shelf.
type Shelf struct {
	Batches []Batch
	Retired []Batch
	Kinds   []Kind
}

// Batch is one bottle.
type Batch struct {
	Href, Name string
	Recipe     string
	RecipeHref string
	Age        string
	Days       int
	Volume     string
}

// Kind is the recipes of one kind.
type Kind struct {
	Word    string
	Recipes []Recipe
}

// Recipe is a recipe as the list shows it.
type Recipe struct {
	Href, Name, Makes, Source string
	Cautions                  []string
}

// Mix is a recipe scaled for mixing, or why it is not.
type Mix struct {
	shared.Form
	Href         string // of this recipe
	NewBatchHref string
	Kind, Source string
	Origins      []Origin
	Note, Unsafe string
	Cautions     []string
	Usual        string // the volume mixed when none is asked for
	Volume       string // finished, as screens show it
	WrittenFor   string // heads the author's own figures: "As written, for 1 pint"
	Refused      string // why it is not mixed; empty when it is
	Parts        []Part
	Order        []Step
	Strengths    []Strength
	Label        Label
	Notes        []string
}

// Origin is where a recipe, or one line of it, comes from.
type Origin struct {
	Of   string // "the recipe", or the line's substance
	Work string
	Key  string // by which the product's documents and answers name the work; empty for no work
}

// Part is a line of a mixing.
type Part struct{ Substance, Text, Written, Note string }

// Step is what goes in next, and why then.
type Step struct{ Substance, Why string }

// Strength is a figure of the finished liquid.
type Strength struct{ Word, Value, Unit string }

// Label is what the mixture's label says.
type Label struct {
	Signal     string
	Statements []Statement
	Pictograms []string
	Unheld     []string // substances of which no classification is held
}

// Statement is a hazard statement.
type Statement struct{ Code, Text string }

// The line of a batch's age: a dot for each week, on a scale that holds the oldest on the shelf.
const (
	ageWidth = 260.0
	ageLeast = 28 // days the scale holds at the least
)

// ageLine is a batch's life drawn as a line of dots.
type ageLine struct {
	end  float64
	dots []float64
}

func (s Shelf) scaleDays() int {
	most := ageLeast
	for _, b := range s.Batches {
		most = max(most, b.Days)
	}
	return most
}

func (b Batch) line(scale int) ageLine {
	at := func(day int) float64 { return 6 + (ageWidth-16)*float64(day)/float64(scale) }
	days := max(0, b.Days)
	l := ageLine{end: at(days)}
	step := 7
	for scale/step > 30 {
		step *= 2
	}
	for day := 0; day < days; day += step {
		l.dots = append(l.dots, at(day))
	}
	return l
}

func (d Mix) partRows() []shared.Row {
	var rows []shared.Row
	for _, p := range d.Parts {
		rows = append(rows, shared.Row{Cells: []shared.Cell{{Text: p.Substance}, {Text: p.Text}, {Text: p.Written}, {Text: p.Note}}})
	}
	return rows
}

func n(v float64) string { return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64) }
