package paper

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/carlos7ags/folio/barcode"
	"github.com/carlos7ags/folio/document"
)

// CardPage is what a set-up card says: everything the hand sets on the camera for one plate. Empty
// strings and lists leave their place out.
type CardPage struct {
	Sheet   Sheet
	Number  string // plate number; empty before the plate is planned
	Studio  string
	Sitter  string
	Printed time.Time // the instant written into the file as its date; zero writes none

	Lens   string // "Portrait lens 300"
	Stop   string // "f/4.5, half stop"
	Plate  string // "whole plate upright, 165.1 × 215.9 mm"
	Camera string

	// Main are the figures read from across the room, at most six: extension, eye to lens board, height
	// of the lens above the floor, seconds.
	Main []Item
	// Front and Back are what each standard is set to: tilt, swing, rise or fall, shift. An empty list
	// prints that it stands square.
	Front, Back []Item
	// Rest are the other figures: near and far limit, depth, effective f-number, bellows.
	Rest    []Item
	FocusOn string // "right eye"
	Support string // "seated, head rest"
	// Sharp are the landmarks with their state and their blur on the plate: "right eye", "sharp", "0.04 mm".
	Sharp    []Item
	Cautions []string // only those that belong to this plate

	Side, Above, Face Drawing
	Code              string // ASCII for the code: plate number or address; empty prints none
}

// SetUpCard writes the set-up card of a plate as PDF, on one page.
func SetUpCard(w io.Writer, in CardPage) error {
	if err := in.check(); err != nil {
		return err
	}
	title := "Set-up card"
	if in.Number != "" {
		title += " of plate " + in.Number
	}
	m, err := newPress(in.Sheet, document.Info{Title: title, Author: in.Studio, Subject: in.Lens, CreationDate: in.Printed, ModDate: in.Printed})
	if err != nil {
		return err
	}
	if err := m.page().card(in, m.size); err != nil {
		return err
	}
	return m.write(w, title)
}

func (in *CardPage) check() error {
	switch {
	case in.Sheet != A4 && in.Sheet != Letter:
		return fmt.Errorf("sheet is %d; it is 0 (A4) or 1 (Letter)", in.Sheet)
	case strings.TrimSpace(in.Lens) == "":
		return fmt.Errorf("lens is empty; a set-up card needs the lens's name")
	case len(in.Main) > 6:
		return fmt.Errorf("main has %d figures; 6 at most are legible from across the room", len(in.Main))
	}
	if err := errors.Join(in.Side.check("side"), in.Above.check("above"), in.Face.check("face")); err != nil {
		return err
	}
	return checkCode(in.Code)
}

// checkCode refuses what a code cannot carry.
func checkCode(code string) error {
	for _, c := range code {
		if c < ' ' || c > '~' {
			return fmt.Errorf("code has the character %q; only plain ASCII is taken", c)
		}
	}
	if len(code) > 300 {
		return fmt.Errorf("code is %d characters; 300 at most are taken", len(code))
	}
	return nil
}

// card lays the sheet out from the top: what is in the camera, the figures it is set to, the drawings,
// the standards with the plate's face, what must be heeded.
func (p *pen) card(in CardPage, sheet point) error {
	p.frame(point{margin, margin}, point{sheet.x - 2*margin, sheet.y - 2*margin})
	left, right := margin+7*mm, sheet.x-margin-7*mm
	y := p.cardHead(in, point{left, sheet.y - margin - 6*mm}, right)
	y = p.mainFigures(in.Main, point{left, y}, right)

	foot := margin + 6*mm
	foot = p.cautions(in.Cautions, point{left, foot}, right)
	settingsTop, err := p.settings(in, point{left, foot}, point{right, y - 8})
	if err != nil {
		return err
	}
	p.elevations(in, point{left, settingsTop + 8}, point{right, y - 8})
	if p.undrawn {
		p.text(point{left, margin + 2.4*mm}, "A character the bundled faces do not have is printed as a question mark.", p.italic, 8)
	}
	return nil
}

func (p *pen) cardHead(in CardPage, at point, right float64) (foot float64) {
	p.spaced(point{at.x, at.y - 7}, "SET-UP CARD", p.bold, 8, 1.6)
	numberWide := 0.0
	if in.Number != "" {
		size := p.fitted(in.Number, p.serif, 40, (right-at.x)*0.4)
		numberWide = p.serif.MeasureString(p.drawable(in.Number, p.serif), size) + 14
		p.right(point{right, at.y - 32}, in.Number, p.serif, size)
	}
	room := right - at.x - numberWide
	y := at.y - 32
	size := max(14, p.fitted(in.Lens, p.serif, 26, room))
	for i, line := range p.wrapped(in.Lens, p.serif, size, room, 2) {
		if i > 0 {
			y -= size + 2
		}
		p.text(point{at.x, y}, line, p.serif, size)
	}
	y -= 21
	room = right - at.x
	for _, line := range p.wrapped(in.Sitter, p.italic, 14, room*0.4, 1) {
		p.right(point{right, y}, line, p.italic, 14)
		room -= p.italic.MeasureString(line, 14) + 14
	}
	size = max(11, p.fitted(in.Stop, p.bold, 16, room))
	for i, line := range p.wrapped(in.Stop, p.bold, size, room, 0) {
		if i > 0 {
			y -= size + 2
		}
		p.text(point{at.x, y}, line, p.bold, size)
	}
	y -= 2
	for _, line := range p.wrapped(joined("; ", in.Plate, in.Camera), p.sans, 11, right-at.x, 3) {
		y -= 14
		p.text(point{at.x, y}, line, p.sans, 11)
	}
	y -= 9
	p.line(point{at.x, y}, point{right, y}, 0.7)
	p.line(point{at.x, y - 1.6}, point{right, y - 1.6}, p.hairline)
	return y - 1.6
}

// mainFigures sets the chief figures three in a row, or two where they are two or four.
func (p *pen) mainFigures(items []Item, at point, right float64) (foot float64) {
	const high = 62.0
	across, large := 3, 27.0
	if len(items) == 2 || len(items) == 4 {
		across, large = 2, 32
	}
	wide := (right - at.x) / float64(across)
	for i, item := range items {
		x, y := at.x+float64(i%across)*wide, at.y-float64(i/across)*high
		room := wide - 16
		if i%across > 0 {
			p.line(point{x - 7, y - 10}, point{x - 7, y - high + 4}, p.hairline)
		}
		p.spaced(point{x, y - 17}, strings.ToUpper(item.Word), p.sans, p.fitted(item.Word, p.sans, 8, room*0.72), 0.7)
		p.text(point{x, y - 44}, item.Value, p.bold, p.fitted(item.Value, p.bold, large, room))
		p.text(point{x, y - 57}, item.Other, p.sans, p.fitted(item.Other, p.sans, 11, room))
	}
	foot = at.y - float64((len(items)+across-1)/across)*high
	if len(items) > 0 {
		p.line(point{at.x, foot - 3}, point{right, foot - 3}, p.hairline)
		foot -= 3
	}
	return foot
}

// cautions stand at the foot between two heavy lines; it returns where they begin.
func (p *pen) cautions(cautions []string, at point, right float64) (top float64) {
	if len(cautions) == 0 {
		return at.y
	}
	const size, step, most = 11.0, 14.0, 9
	var lines []string
	for i, c := range cautions {
		more := p.wrapped("Caution. "+c, p.bold, size, right-at.x, 4)
		if room := most - len(lines); len(more) > room || len(more) == room && i < len(cautions)-1 {
			lines = append(lines, fmt.Sprintf("Caution. %d more on the floor's page: look there before the plate is made.", len(cautions)-i))
			break
		}
		lines = append(lines, more...)
	}
	top = at.y + float64(len(lines))*step + 10
	p.line(point{at.x, top}, point{right, top}, 1.4)
	for i, line := range lines {
		p.text(point{at.x, top - 14 - float64(i)*step}, line, p.bold, size)
	}
	p.line(point{at.x, at.y - 2}, point{right, at.y - 2}, 1.4)
	return top
}

// settings sets the standards and the other figures at the left, the plate's face and the code at the
// right, and what will be sharp under them, as high as the longer column asks for; it returns where they
// begin.
func (p *pen) settings(in CardPage, at, corner point) (top float64, err error) {
	right := corner.x
	y := p.sharpness(in.Sharp, point{at.x, at.y + 6}, right)
	gutter := 6 * mm
	wide := (right - at.x - 2*gutter) / 3
	set, rest := p.columns(in, wide, corner.y-y)
	high := max(leastSettings, min(max(set.high(), rest.high()), corner.y-y))
	top = y + high
	p.line(point{at.x, top}, point{right, top}, p.hairline)

	column := func(x float64) float64 { return at.x + x*(wide+gutter) }
	p.rows(set, point{column(0), top}, wide)
	p.rows(rest, point{column(1), top}, wide)

	side := 0.0
	if in.Code != "" {
		code, err := barcode.NewQRWithECC(in.Code, barcode.ECCLevelM)
		if err != nil {
			return 0, fmt.Errorf("code: %w", err)
		}
		side = 21 * mm
		code.Draw(p.s, right-side-2*mm, y+6, side, side)
		side += 4 * mm
	}
	p.drawing(in.Face, point{column(2), y + side + 4}, point{wide, high - side - 10}) // over the code
	return top, nil
}

// items2 are those of two items that have a figure.
func items2(a, b Item) []Item {
	var out []Item
	for _, i := range []Item{a, b} {
		if i.Value != "" {
			out = append(out, i)
		}
	}
	return out
}

// sharpness says what of the sitter is sharp, soft and gone, a line or two each; it returns where it begins.
func (p *pen) sharpness(items []Item, at point, right float64) (top float64) {
	if len(items) == 0 {
		return at.y
	}
	var states []string
	names := map[string][]string{}
	for _, i := range items {
		if names[i.Value] == nil {
			states = append(states, i.Value)
		}
		names[i.Value] = append(names[i.Value], joined(" ", i.Word, i.Other))
	}
	type line struct{ state, words string }
	var lines []line
	for _, s := range states {
		for i, words := range p.wrapped(strings.Join(names[s], ", "), p.sans, 11, right-at.x-46, 3) {
			if i > 0 {
				lines = append(lines, line{"", words})
			} else {
				lines = append(lines, line{s, words})
			}
		}
	}
	const step = 14.0
	top = at.y + float64(len(lines))*step + 6
	p.line(point{at.x, top}, point{right, top}, p.hairline)
	for i, l := range lines {
		y := top - 13 - float64(i)*step
		p.text(point{at.x, y}, l.state, p.bold, 11)
		p.text(point{at.x + 46, y}, l.words, p.sans, 11)
	}
	return top
}

// elevations share what room there is between two corners: the side takes the larger part.
func (p *pen) elevations(in CardPage, from, to point) {
	wide, high := to.x-from.x, to.y-from.y
	switch {
	case high < 40:
	case in.Above.empty():
		p.drawing(in.Side, from, point{wide, high})
	case in.Side.empty():
		p.drawing(in.Above, from, point{wide, high})
	default:
		split := high * 0.54
		p.drawing(in.Side, point{from.x, from.y + high - split}, point{wide, split})
		p.drawing(in.Above, from, point{wide, high - split - 6})
	}
}
