package paper

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"github.com/carlos7ags/folio/document"
)

// LensPage is what a lens sheet says: all that is known of a lens, and on what basis. Empty strings and
// lists leave their place out.
type LensPage struct {
	Sheet   Sheet
	Studio  string
	Name    string // as the studio calls it
	Form    string // "portrait, two cells apart"
	Note    string
	Printed time.Time // the instant written into the file as its date; zero writes none

	Known []Known
	// Stops are the openings it has, or is to have.
	Stops []StopRow
	// Holes are to be cut, each with the band it is known in: the sheet goes to the lathe.
	Holes []HoleRow
	// Graphs are drawn two in a row: field curve, focus shift.
	Graphs []Graph
	// Readings are the measurements, the newest first.
	Readings []ReadingRow
	// Disagrees are sentences about readings that disagree with the others.
	Disagrees []string
}

// Known is one thing known of a lens, with its basis.
type Known struct{ Word, Value, Basis string }

// StopRow is a stop: its name, the f-number found, the entrance pupil, and the hole's diameter in the
// plate, measured or to be cut.
type StopRow struct{ Name, FNumber, Pupil, Hole, Basis string }

// HoleRow is a hole to cut: what for, how wide with its band, the same in the other units.
type HoleRow struct{ FNumber, Across, Other, Basis string }

// ReadingRow is one measurement kept with the lens.
type ReadingRow struct {
	Date, Method, Found, By string
	Withdrawn               bool // printed struck
}

// Graph is readings against a fitted line.
type Graph struct {
	Name         string
	XWord, YWord string // "height on the glass, mm"
	Line         [][2]float64
	LineWord     string // "best fit"
	More         []GraphLine
	Marks        []GraphMark
	YDown        bool // positive y is drawn downward
}

// GraphLine is a further line, drawn broken, with its word.
type GraphLine struct {
	Word   string
	Points [][2]float64
}

// GraphMark is a reading; one that disagrees is drawn as an open square, the others as dots.
type GraphMark struct {
	X, Y      float64
	Disagrees bool
}

// LensSheet writes a lens's sheet as PDF, on as many pages as its readings need.
func LensSheet(w io.Writer, in LensPage) error {
	if err := in.check(); err != nil {
		return err
	}
	title := "Lens sheet: " + in.Name
	info := document.Info{Title: title, Author: in.Studio, Subject: in.Form, CreationDate: in.Printed, ModDate: in.Printed}
	m, err := layLens(in, info, graphsHigh)
	if err != nil {
		return err
	}
	for _, high := range []float64{graphsHigh * 0.8, graphsHigh * 0.65} { // lower graphs where they save a sheet
		lower, err := layLens(in, info, high)
		if err != nil {
			return err
		}
		if lower.pages < m.pages {
			m = lower
			break
		}
	}
	return m.press.write(w, title)
}

// graphsHigh is how high graphs are where nothing presses.
const graphsHigh = 152.0

// layLens lays a sheet out with graphs of that height.
func layLens(in LensPage, info document.Info, high float64) (*lensFlow, error) {
	m, err := newPress(in.Sheet, info)
	if err != nil {
		return nil, err
	}
	f := &lensFlow{press: m, name: in.Name, graphsHigh: high}
	f.begin()
	f.head(in)
	f.known(in.Known)
	f.stops(in.Stops)
	f.holes(in.Holes)
	f.graphs(in.Graphs)
	f.disagrees(in.Disagrees)
	f.readings(in.Readings)
	f.note(in.Note)
	f.end()
	return f, nil
}

func (in *LensPage) check() error {
	switch {
	case in.Sheet != A4 && in.Sheet != Letter:
		return fmt.Errorf("sheet is %d; it is 0 (A4) or 1 (Letter)", in.Sheet)
	case strings.TrimSpace(in.Name) == "":
		return fmt.Errorf("name is empty; a lens sheet needs the lens's name")
	case len(in.Readings) > mostReadings:
		return fmt.Errorf("readings: %d are more than the %d that are printed", len(in.Readings), mostReadings)
	}
	for _, g := range in.Graphs {
		if err := g.check(); err != nil {
			return err
		}
	}
	return nil
}

// mostReadings is how many readings a sheet lists: some forty pages.
const mostReadings = 2000

// lensFlow lays a lens sheet out from the top, page after page.
type lensFlow struct {
	press             *press
	name              string
	p                 *pen
	pages             int
	left, right, foot float64
	y                 float64
	graphsHigh        float64
	undrawn           bool
}

// begin starts a sheet.
func (f *lensFlow) begin() {
	size := f.press.size
	f.p = f.press.page()
	f.pages++
	f.p.frame(point{margin, margin}, point{size.x - 2*margin, size.y - 2*margin})
	f.left, f.right, f.foot = margin+7*mm, size.x-margin-7*mm, margin+8*mm
	f.y = size.y - margin - 6*mm
	if f.pages > 1 {
		f.p.text(point{f.left, f.y - 10}, f.p.short(f.name, f.p.serif, 15, f.wide()*0.8), f.p.serif, 15)
		f.p.right(point{f.right, f.y - 10}, strconv.Itoa(f.pages), f.p.serif, 15)
		f.y -= 26
	}
}

// end says on the last sheet when a character could not be drawn.
func (f *lensFlow) end() {
	if f.undrawn || f.p.undrawn {
		f.p.text(point{f.left, margin + 2.4*mm}, "A character the bundled faces do not have is printed as a question mark.", f.p.italic, 8)
	}
}

func (f *lensFlow) wide() float64 { return f.right - f.left }

// room begins another sheet where less than that height is left.
func (f *lensFlow) room(high float64) {
	if f.y-high < f.foot {
		f.undrawn = f.undrawn || f.p.undrawn
		f.begin()
	}
}

func (f *lensFlow) head(in LensPage) {
	p := f.p
	p.spaced(point{f.left, f.y - 7}, "LENS SHEET", p.bold, 8, 1.6)
	p.right(point{f.right, f.y - 8}, p.short(in.Studio, p.italic, 12, f.wide()*0.6), p.italic, 12)
	size := max(16, p.fitted(in.Name, p.serif, 38, f.wide()))
	p.text(point{f.left, f.y - 42}, p.short(in.Name, p.serif, size, f.wide()), p.serif, size)
	f.y -= 52
	if in.Form != "" {
		p.text(point{f.left, f.y - 9}, p.short(in.Form, p.italic, 14, f.wide()), p.italic, 14)
		f.y -= 18
	}
	p.line(point{f.left, f.y}, point{f.right, f.y}, 0.7)
	p.line(point{f.left, f.y - 1.6}, point{f.right, f.y - 1.6}, p.hairline)
	f.y -= 8
}

// title begins a part.
func (f *lensFlow) title(words string, least float64) {
	f.room(least + 30)
	f.p.spaced(point{f.left, f.y - 18}, strings.ToUpper(words), f.p.bold, 8, 1.2)
	f.y -= 24
}

// known sets each thing with its figure and, under it, its basis.
func (f *lensFlow) known(all []Known) {
	wide := f.wide()
	for _, k := range all {
		basis := f.p.wrapped(k.Basis, f.p.italic, 10.5, wide*0.66, 4)
		size := max(11.5, f.p.fitted(k.Value, f.p.bold, 15, wide*0.66))
		value := f.p.wrapped(k.Value, f.p.bold, size, wide*0.66, 3)
		f.room(6 + 15*float64(len(value)) + 12.5*float64(len(basis)))
		f.p.text(point{f.left, f.y - 15}, f.p.short(k.Word, f.p.sans, 11, wide*0.31), f.p.sans, 11)
		for i, line := range value {
			f.p.text(point{f.left + wide*0.34, f.y - 15 - 14*float64(i)}, line, f.p.bold, size)
		}
		f.y -= 4 + 14*float64(max(1, len(value)))
		for _, line := range basis {
			f.y -= 12.5
			f.p.text(point{f.left + wide*0.34, f.y + 2}, line, f.p.italic, 10.5)
		}
		f.y -= 3
		f.p.line(point{f.left, f.y}, point{f.right, f.y}, f.p.hairline)
	}
}

// column is one of a table: where it begins and ends, as shares of the width.
type column struct {
	word     string
	from, to float64
}

func (f *lensFlow) columns(of []column) {
	for _, c := range of {
		f.p.text(point{f.left + c.from*f.wide(), f.y - 10}, c.word, f.p.sans, 8.5)
	}
	f.y -= 14
	f.p.line(point{f.left, f.y}, point{f.right, f.y}, 0.5)
}

// row sets one line of a table; the first cell is bold.
func (f *lensFlow) row(of []column, cells []string, struck bool) {
	wide := f.wide()
	for i, c := range of {
		face := f.p.sans
		if i == 0 {
			face = f.p.bold
		}
		room := (c.to-c.from)*wide - 6
		size := max(8.5, f.p.fitted(cells[i], face, 10.5, room))
		f.p.text(point{f.left + c.from*wide, f.y - 13}, f.p.short(cells[i], face, size, room+0.1), face, size)
	}
	if struck {
		f.p.line(point{f.left, f.y - 9.5}, point{f.right, f.y - 9.5}, 0.5)
	}
	f.y -= 17
	f.p.line(point{f.left, f.y}, point{f.right, f.y}, f.p.hairline)
}

func (f *lensFlow) stops(all []StopRow) {
	if len(all) == 0 {
		return
	}
	of := []column{{"stop", 0, 0.15}, {"f-number", 0.15, 0.28}, {"entrance pupil", 0.28, 0.43}, {"hole in the plate", 0.43, 0.59}, {"basis", 0.59, 1}}
	f.title("Stops", 34)
	f.columns(of)
	for _, s := range all {
		f.room(17)
		f.row(of, []string{s.Name, s.FNumber, s.Pupil, s.Hole, s.Basis}, false)
	}
}

func (f *lensFlow) holes(all []HoleRow) {
	if len(all) == 0 {
		return
	}
	of := []column{{"for", 0, 0.15}, {"hole to cut", 0.15, 0.37}, {"the same", 0.37, 0.59}, {"basis", 0.59, 1}}
	f.title("Holes to cut", 34)
	f.columns(of)
	for _, h := range all {
		f.room(17)
		f.row(of, []string{h.FNumber, h.Across, h.Other, h.Basis}, false)
	}
}

func (f *lensFlow) graphs(all []Graph) {
	const gutter = 18.0
	high := f.graphsHigh
	wide := (f.wide() - gutter) / 2
	for i, g := range all {
		if i%2 == 0 {
			f.room(high + 14)
			f.y -= high + 12
		}
		f.p.graph(g, point{f.left + float64(i%2)*(wide+gutter), f.y}, point{wide, high})
	}
}

func (f *lensFlow) disagrees(sentences []string) {
	for _, s := range sentences {
		lines := f.p.wrapped(s, f.p.sans, 11, f.wide()-16, 4)
		f.room(14*float64(len(lines)) + 8)
		f.p.mark(point{f.left + 4, f.y - 11}, true)
		for _, line := range lines {
			f.y -= 14
			f.p.text(point{f.left + 16, f.y}, line, f.p.sans, 11)
		}
		f.y -= 5
	}
}

func (f *lensFlow) readings(all []ReadingRow) {
	if len(all) == 0 {
		return
	}
	of := []column{{"measured", 0, 0.21}, {"method", 0.21, 0.43}, {"found", 0.43, 0.82}, {"by", 0.82, 1}}
	f.title("Readings", 34)
	f.columns(of)
	for _, r := range all {
		before := f.pages
		if f.room(17); f.pages != before {
			f.columns(of)
		}
		found := r.Found
		if r.Withdrawn {
			found = "withdrawn: " + found
		}
		f.row(of, []string{r.Date, r.Method, found, r.By}, r.Withdrawn)
	}
}

func (f *lensFlow) note(text string) {
	if strings.TrimSpace(text) == "" {
		return
	}
	f.title("Note", 16)
	for _, line := range f.p.wrapped(text, f.p.italic, 12, f.wide(), 12) {
		f.room(15)
		f.y -= 15
		f.p.text(point{f.left, f.y + 3}, line, f.p.italic, 12)
	}
}
