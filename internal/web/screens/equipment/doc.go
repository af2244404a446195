// Package equipment holds the screens on which lenses, cameras and holders are kept, and the plain
// form of a record they share with the shelf.
package equipment

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

// List is a list of one kind of thing.
type List struct {
	Kinds   []Kind
	Table   shared.TableData
	NewHref string
	NewWord string // "Write down a lens"
}

// Kind leads to the list of another kind.
type Kind struct {
	Word, Href string
	Here       bool
}

// Record is the form of one record, new or known.
type Record struct {
	shared.Form
	Action   string
	Back     string // where the list is
	BackWord string
	Act      string // the button's verb
	Aside    Way    // to what belongs to the record; the zero value is none
	Lines    []Line
	More     string // what the folded lines are; empty when there are none
	Stops    Stops
	Cautions []shared.CautionData
}

// Way is a link and what it says.
type Way struct{ Word, Href string }

// Line is one line of the form: a field, or a choice.
type Line struct {
	Field  *shared.FieldData
	Choice *shared.ChoiceData
	Wide   bool // takes the whole width
	More   bool // stands folded away
	Group  string
}

// group is a part of the form that folds away: one head of a rig.
type group struct {
	name  string
	lines []Line
	open  bool
}

// groups are the parts in their order. The first stands open, and so does every one that says something or cannot be
// taken.
func (d Record) groups() []group {
	var all []group
	for _, l := range d.Lines {
		if l.Group == "" {
			continue
		}
		if n := len(all); n == 0 || all[n-1].name != l.Group {
			all = append(all, group{name: l.Group, open: n == 0})
		}
		g := &all[len(all)-1]
		g.lines = append(g.lines, l)
		name := ""
		if l.Field != nil {
			name = l.Field.Name
			g.open = g.open || d.Value(name) != ""
		} else if l.Choice != nil {
			name = l.Choice.Name
		}
		g.open = g.open || d.Problem(name) != ""
	}
	return all
}

// lines returns the lines that stand open, or those folded away.
func (d Record) lines(more bool) []Line {
	var of []Line
	for _, l := range d.Lines {
		if l.More == more && l.Group == "" {
			of = append(of, l)
		}
	}
	return of
}

// moreRefused tells whether one of the folded lines cannot be taken: then they stand open.
func (d Record) moreRefused() bool {
	for _, l := range d.lines(true) {
		if l.Field != nil && d.Problem(l.Field.Name) != "" || l.Choice != nil && d.Problem(l.Choice.Name) != "" {
			return true
		}
	}
	return false
}

// Stops are the openings of a lens, drawn side by side to one scale.
type Stops struct {
	Said string
	Each []Opening
}

// Opening is one stop: its name and the diameter of its pupil in millimetres.
type Opening struct {
	Name, Across string
	Diameter     float64
}

// The drawing of stops: pixels of height for the widest, and room for each stop's words.
const (
	widest   = 120.0
	least    = 96.0
	leastRed = 150.0
)

// round is an opening placed on the drawing.
type round struct {
	Opening
	x, y, r float64
}

func (s Stops) placed(room float64) (all []round, width float64) {
	most := 1.0
	for _, o := range s.Each {
		most = max(most, o.Diameter)
	}
	x := 0.0
	for _, o := range s.Each {
		r := widest / 2 * o.Diameter / most
		w := max(room, 2*r+16)
		all = append(all, round{o, x + w/2, 4 + widest - r, r})
		x += w
	}
	return all, x
}

func roomOf(light shared.Light) float64 {
	if light == shared.Red {
		return leastRed
	}
	return least
}

func n(v float64) string { return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64) }
