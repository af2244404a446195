package paper

import (
	"fmt"
	"io"
	"strings"
	"time"
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
	// Graphs are drawn under each other: field curve, focus shift.
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
	return fmt.Errorf("lens sheet: not yet")
}

func (in *LensPage) check() error {
	switch {
	case in.Sheet != A4 && in.Sheet != Letter:
		return fmt.Errorf("sheet is %d; it is 0 (A4) or 1 (Letter)", in.Sheet)
	case strings.TrimSpace(in.Name) == "":
		return fmt.Errorf("name is empty; a lens sheet needs the lens's name")
	}
	return nil
}
