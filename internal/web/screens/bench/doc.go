// Package bench draws the screens of the bench: what is known of a lens, and the guided measuring of
// it, one step after another, each with a drawing.
//
// [Drawing] draws a step as an instrument maker would, every distance that is read with a letter that
// the key beside it explains; nothing on it is to scale. [Plot.Draw] draws readings against the line
// fitted through them, to scale. Nothing is reckoned here.
package bench

import (
	"embed"
	"strconv"

	"platewright/internal/web/shared"
)

// Files are the screens' style sheet and script.
//
//go:embed *.css *.js
var Files embed.FS

// ListPage is the bench with all lenses.
type ListPage struct {
	Lenses  []LensLine
	Methods []MethodLine
}

// LensLine is one lens in the list.
type LensLine struct {
	Name, Href string
	Known      []Known // the few chief things
	Newest     string  // "newest measurement 12 November 2026"
	Retired    bool
}

// Known is one thing known of a lens, with its basis.
type Known struct {
	Word, Value, Basis string
	Measured           bool // on this lens, on the bench
}

// LensPage is the bench of one lens.
type LensPage struct {
	Name     string
	Record   string // where its record is
	Sheet    string // where its sheet is printed
	Kept     string // what was just kept, as a sentence; may be empty
	Known    []Known
	Methods  []MethodLine
	Readings []ReadingLine
}

// MethodLine is a method in a list.
type MethodLine struct {
	Name, Href  string // Href is empty where no lens is chosen
	Drawing     string
	Gives       string // "focal length, and where the principal planes lie"
	Needs       string // "a rule, a tape"
	State       string // "12 November 2026: 302.4 mm ± 1.3"; empty when never measured
	Recommended bool   // worth measuring first
}

// ReadingLine is a kept measurement in a list.
type ReadingLine struct {
	Href, Date, Method, Found, By string
	Withdrawn                     bool
}

// MethodPage is the guided measuring of a lens by one method.
type MethodPage struct {
	shared.Form
	ID      string // of the reading to be kept
	Action  string
	Version string // of the lens's record the page was made from
	Bench   string // where the lens's bench is
	Lens    string
	Steps   []Step
	Found   Found
	Keep    []Tick
}

// Step is one step: a drawing with its key, what to do, and the lines to write on.
type Step struct {
	Name    string
	Drawing string
	Key     []KeyLine
	Do      []string
	Caution *shared.CautionData
	Fields  []shared.FieldData
	Sure    []shared.FieldData // how sure one reading is: folded, since the usual figures stand there
	Choices []shared.ChoiceData
	Rows    *Rows
}

// KeyLine explains a letter of a drawing.
type KeyLine struct{ Letter, What string }

// Rows are lines of a table one writes readings in, as many as there are readings.
type Rows struct {
	Word    string // "Settings"
	Hint    string
	Columns []Column
	Count   int
}

// Column is one figure of a row. With Options it is a choice among a few.
type Column struct {
	Name, Word, Unit string
	Options          []shared.Option
	Optional         bool
}

// label is what stands over a row's field.
func (c Column) label() string {
	if c.Unit == "" {
		return c.Word
	}
	return c.Word + ", " + c.Unit
}

// cell is the name of a row's field.
func (c Column) cell(row int) string { return c.Name + "_" + strconv.Itoa(row) }

// Found is what the readings so far say.
type Found struct {
	Waiting  string   // what is missing before anything can be said; empty when something is found
	Refused  []string // what the reckoning would not take, as sentences
	Strip    string   // the chief figure in little room: "302.4 mm ± 1.3 mm"
	Word     string   // what the chief figure is
	Value    string
	Other    string // the same in the other units
	Interval *Interval
	Basis    string   // what the interval rests on
	Lines    []Line   // further figures
	Disagree []string // a sentence for every reading that disagrees
	Plots    []Plot
	Table    *shared.TableData // readings against the line, for reading
	Holes    []Hole            // openings to be cut or found, drawn to one scale
	Notes    []string
}

// Line is a further figure with its band as text.
type Line struct{ Word, Value, Other string }

// Interval is a figure with the interval that holds the truth nineteen times in twenty.
type Interval struct{ Low, Value, High float64 }

// Hole is an opening, drawn as a circle.
type Hole struct {
	Name, Across string
	Diameter     float64 // mm
}

// Tick is something that can be written into the lens's record along with keeping the reading.
type Tick struct {
	Name, Word, Was string
	Checked         bool
}

// ReadingPage is one kept measurement.
type ReadingPage struct {
	shared.Form
	Lens, Bench  string
	Method       string
	Date, By     string
	Note         string
	Found        Found
	Given        shared.TableData // what was read off
	Again        string           // the guided measuring, filled with these readings
	Action       string           // where it is withdrawn; empty when it is withdrawn already
	ID           string           // of the withdrawal
	WithdrawnOn  string           // "withdrawn 12 November 2026"
	WithdrawnWhy string
}
