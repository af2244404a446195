// Package desk holds the desk's screens: the day drawn as one strip of hours with its sittings, a
// sitting, the sitters.
package desk

import (
	"embed"

	"platewright/internal/web/shared"
)

// Files are the style sheets of these screens.
//
//go:embed *.css
var Files embed.FS

// Day is one day at the desk.
type Day struct {
	Previous, Next string // days as they stand in an address
	Today          bool
	Strip          Strip
	Sittings       []Sitting
	Booking        Booking
	Notices        []shared.NoticeData
}

// Sitting is a line of a day or of a sitter's story.
type Sitting struct {
	Href, Day, Time string
	Sitter          string
	SitterHref      string
	Purpose, Plates string
	Lasts, State    string
	PlanHref        string // empty when there is nothing to plan any more
}

// Booking is the form for a sitting of a known or a new sitter.
type Booking struct {
	shared.Form
	Found   Found
	Of      string // the sitting just booked; empty when there is none
	Contact string // what became of a contact typed for a known sitter: "new" or "added"; may be empty
}

// Found are the sitters a typed name may mean.
type Found struct {
	Sitters []Sitter
	Chosen  string // an id, or "new"
	Problem string
}

// Sitter is a line of the list of sitters.
type Sitter struct{ ID, Href, Name, Contact, Note string }

// Plate is a plate made in a sitting.
type Plate struct{ Number, Href, Size, State, Seconds string }

// OneSitting is the screen of a sitting.
type OneSitting struct {
	shared.Form
	ID, SitterID     string
	Sitter           string
	SitterHref, Day  string // where the sitter and the day are shown
	DayWord          string
	State            string
	Plates           []Plate
	Note             string
	StatesInTheOrder []string
}

// OneSitter is the screen of a sitter.
type OneSitter struct {
	shared.Form
	ID       string
	Sittings []Sitting
	Plates   []Plate
}

func (f Found) options() []shared.Option {
	var all []shared.Option
	for _, s := range f.Sitters {
		note := s.Contact
		if note == "" {
			note = s.Note
		}
		all = append(all, shared.Option{Value: s.ID, Word: s.Name, Note: note})
	}
	return append(all, shared.Option{Value: "new", Word: "Someone new", Note: "written into the list of sitters under the name above"})
}

func sittingRows(list []Sitting, withDay bool) []shared.Row {
	var rows []shared.Row
	for _, s := range list {
		first := s.Time
		if withDay {
			first = s.Day + ", " + s.Time
		}
		cells := []shared.Cell{{Text: first, Href: s.Href}}
		if !withDay {
			cells = append(cells, shared.Cell{Text: s.Sitter, Href: s.SitterHref, Name: true})
		}
		cells = append(cells, shared.Cell{Text: s.Plates}, shared.Cell{Text: s.Purpose}, shared.Cell{Text: s.Lasts}, shared.Cell{Text: s.State})
		if s.PlanHref != "" {
			cells = append(cells, shared.Cell{Text: "Plan a plate", Href: s.PlanHref})
		} else {
			cells = append(cells, shared.Cell{})
		}
		rows = append(rows, shared.Row{Cells: cells})
	}
	return rows
}

func sittingColumns(withDay bool) []shared.Column {
	first := []shared.Column{{Word: "Time"}, {Word: "Sitter"}}
	if withDay {
		first = []shared.Column{{Word: "When"}}
	}
	return append(first, shared.Column{Word: "Plates"}, shared.Column{Word: "For"}, shared.Column{Word: "Lasts"}, shared.Column{Word: "State"}, shared.Column{Word: "Next"})
}

func plateRows(list []Plate) []shared.Row {
	var rows []shared.Row
	for _, p := range list {
		rows = append(rows, shared.Row{Cells: []shared.Cell{{Text: p.Number, Href: p.Href}, {Text: p.Size}, {Text: p.Seconds}, {Text: p.State}}})
	}
	return rows
}

func plateColumns() []shared.Column {
	return []shared.Column{{Word: "Plate"}, {Word: "Size"}, {Word: "Seconds"}, {Word: "State"}}
}

func (s OneSitting) stateOptions() []shared.Option {
	var all []shared.Option
	for _, state := range s.StatesInTheOrder {
		all = append(all, shared.Option{Value: state, Word: state})
	}
	return all
}

func sitterRows(list []Sitter) []shared.Row {
	var rows []shared.Row
	for _, s := range list {
		rows = append(rows, shared.Row{Cells: []shared.Cell{{Text: s.Name, Href: s.Href, Name: true}, {Text: s.Contact}, {Text: s.Note}}})
	}
	return rows
}
