package web

import (
	"bytes"
	"fmt"
	"net/http"
	"strconv"
	"time"
)

// Card is what a set-up card says, in words and figures as they are printed. Empty strings and lists
// leave their place out.
type Card struct {
	Number  string // plate number; empty before the plate is planned
	Studio  string
	Sitter  string
	Printed time.Time // the instant written into the file as its date

	Lens, Stop, Plate, Camera string

	Main        []CardItem // at most six, read from across the room: extension, eye to lens board, lens above the floor, seconds
	Front, Back []CardItem // what each standard is set to; an empty list prints that it stands square
	Rest        []CardItem // the other figures: near and far limit, depth, effective f-number
	FocusOn     string
	Support     string
	Sharp       []CardItem // landmarks with their state and blur: "right eye", "sharp", "0.04 mm"
	Cautions    []string

	Side, Above, Face CardDrawing
	Code              string // ASCII for the code: plate number or address; empty prints none
}

// CardItem is a word with its figure: "Extension", "643.5 mm", "25 5/16 in".
type CardItem struct{ Word, Value, Other string }

// CardDrawing is a line drawing in millimetres of the thing drawn, x to the right, y up.
type CardDrawing struct {
	Name    string
	Strokes []CardStroke
	Words   []CardWord
	Bar     float64 // length of the scale bar in the drawing's units; 0 draws none
	BarWord string
}

// CardStroke is a polyline. Weight is "" (outline), "heavy", "thin", "dashed" or "hatch" (a closed area
// that is sharp).
type CardStroke struct {
	Points [][2]float64
	Closed bool
	Weight string
}

// CardWord is lettering in a drawing, its middle at the place.
type CardWord struct {
	At   [2]float64
	Text string
}

// LensSheet is what a lens's sheet says, in words and figures as they are printed.
type LensSheet struct {
	Studio, Name, Form, Note string
	Printed                  time.Time

	Known     []SheetKnown
	Stops     []SheetStop
	Holes     []SheetHole // to be cut
	Graphs    []SheetGraph
	Readings  []SheetReading
	Disagrees []string // a sentence for every reading that disagrees with the others
}

// SheetKnown is one thing known of a lens, with its basis.
type SheetKnown struct{ Word, Value, Basis string }

// SheetStop is a stop with what is known of it.
type SheetStop struct{ Name, FNumber, Pupil, Hole, Basis string }

// SheetHole is a hole to cut for an f-number, with the band it is known in.
type SheetHole struct{ FNumber, Across, Other, Basis string }

// SheetReading is one measurement kept with a lens.
type SheetReading struct {
	Date, Method, Found, By string
	Withdrawn               bool
}

// SheetGraph is readings against a fitted line.
type SheetGraph struct {
	Name, XWord, YWord string
	Line               [][2]float64
	LineWord           string
	More               []SheetLine
	Marks              []SheetMark
	YDown              bool
}

// SheetLine is a further line of a graph, drawn broken.
type SheetLine struct {
	Word   string
	Points [][2]float64
}

// SheetMark is a reading in a graph.
type SheetMark struct {
	X, Y      float64
	Disagrees bool
}

// paperOf is the sheet a paper is asked for on: "a4", which is also the default, or "letter".
func paperOf(r *http.Request) (string, error) {
	switch sheet := r.URL.Query().Get("paper"); sheet {
	case "", "a4":
		return "a4", nil
	case "letter":
		return sheet, nil
	default:
		return "", &problem{status: http.StatusUnprocessableEntity, title: "No such paper", what: "paper: " + quoted(sheet) + " is not a4 or letter"}
	}
}

// sendPaper answers with a PDF that write makes; what names it in a failure.
func (s *Server) sendPaper(w http.ResponseWriter, r *http.Request, name, what string, write func(*bytes.Buffer) error) error {
	var pdf bytes.Buffer
	if err := write(&pdf); err != nil {
		return fmt.Errorf("%s: %w", what, err)
	}
	h := w.Header()
	h.Set("Content-Type", "application/pdf")
	h.Set("Content-Disposition", disposition("inline", name))
	h.Set("Content-Length", strconv.Itoa(pdf.Len()))
	h.Set("Cache-Control", "no-store")
	if _, err := pdf.WriteTo(w); err != nil {
		s.undelivered(r, err)
	}
	return nil
}
