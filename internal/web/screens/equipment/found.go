package equipment

import "platewright/internal/web/shared"

// Found is a page of figures that were found and are only ever added to: readings of a flash rig, or speeds.
type Found struct {
	shared.Form
	Kinds    []Kind
	Kept     string // what was just done; empty when nothing was
	Known    []shared.Fact
	KnownOf  string
	Cautions []shared.CautionData
	Doses    []string // what falls on the eyes and skin, held against limits
	Rows     []FoundRow
	Columns  []string
	Caption  string
	None     string // says so when there are no rows
	Ways     []Adding
	Withdraw string // the address that withdraws one
	Back     Way
}

// FoundRow is one figure that was found.
type FoundRow struct {
	ID        string
	Name      string // in the list of those that can be withdrawn
	Cells     []string
	Withdrawn string // on which day, and why; empty when it counts
}

// Adding is a form that adds one.
type Adding struct {
	Title  string
	Say    string
	Action string
	Lines  []Line
	Act    string
}

// standing are the rows that count.
func (d Found) standing() []shared.Option {
	var all []shared.Option
	for _, r := range d.Rows {
		if r.Withdrawn == "" {
			all = append(all, shared.Option{Value: r.ID, Word: r.Name})
		}
	}
	return all
}

// Upload is a list with a form that takes a file.
type Upload struct {
	List
	shared.Form
	Action   string
	Here     string
	Cautions []shared.CautionData
}
