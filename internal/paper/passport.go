// Package paper prints the studio's papers as PDF: the passport of a plate, its set-up card, the sheet
// of a lens.
//
// A passport is one sheet, A4 or Letter, black on white, drawn like an instrument maker's drawing:
// the plate to its proportion with dimension arrows, a section through its layers, what it was made
// with, how it wants to be kept, and its number as a code for a reader. The same [PassportPage] gives
// the same bytes. The file follows PDF/A-2u as its writer checks it; no outside validator has.
//
// A set-up card ([CardPage]) holds on one sheet what the hand sets on the camera, large enough to be read
// at arm's length; a lens sheet ([LensPage]) what is known of a lens, on as many sheets as its readings
// need. Both are made like the passport.
//
// The bundled faces draw Latin, Greek and Cyrillic. A character they lack is printed as a question
// mark and a line on the sheet says so. Text too long for its place ends in an ellipsis. Refused are
// a missing number or studio, a size that is no plate's, a picture that is not a JPEG and a code that
// is not plain ASCII. The section is a diagram, not to scale.
package paper

import (
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/carlos7ags/folio/barcode"
	"github.com/carlos7ags/folio/document"
	"github.com/carlos7ags/folio/font"
	folioimage "github.com/carlos7ags/folio/image"

	"platewright/measure"
)

// Sheet is a size of paper.
type Sheet int

// The sheets printed on.
const (
	A4 Sheet = iota
	Letter
)

// PassportPage is what a passport says. Empty strings leave their line out.
type PassportPage struct {
	Sheet   Sheet
	Number  string    // plate number, as 26-0147
	Studio  string    // name of the studio
	Place   string    // where the plate was made
	Made    string    // the day, as people read it
	Printed time.Time // the instant written into the file as its date; zero writes none
	Picture []byte    // true view as JPEG; nil draws the plate's outline alone
	Width   measure.Length
	Height  measure.Length

	Sitter   string // only where the leave allows it
	Process  string // empty means wet collodion positive
	Support  string
	Lens     string
	Stop     string
	Exposure string
	Hand     string // who made it

	Collodion string // the bottle's name, with its recipe; so the next four
	Bath      string
	Developer string
	Fixer     string
	Varnish   string

	Verdict string
	Notes   string
	Care    []string // nil prints [CareLines]
	Code    string   // ASCII for the code: plate number or address; empty means the number
}

// CareLines is what institutions write about keeping such plates, each with its source.
// Figures differ between them, so both are shown [LibraryCare2008; PSAP00; LifeWPA00; Neugebauer2005].
func CareLines() []string {
	return []string{
		"Dark, at room temperature or below, 30-40 % relative humidity; above 60 % decay is faster. (Library of Congress, care pages, 2008; a regional museum says 40-50 %.)",
		"One acid-free enclosure a plate, seams away from the image, inside a box, far from sulphur and paint fumes. (The same; Univ. of Illinois, PSAP.)",
		"Nitrile gloves, by the edges. No writing on the back; no clips, tape or rubber. (Library of Congress.)",
		"On show 50 lux is the figure cited for originals; a copy is better. (Neugebauer, 2005.)",
	}
}

// Passport writes the passport of a plate as PDF.
func Passport(w io.Writer, in PassportPage) error {
	if err := in.check(); err != nil {
		return err
	}
	m, err := newPress(in.Sheet, document.Info{
		Title: "Passport of plate " + in.Number, Author: in.Studio, Subject: "Wet collodion plate", CreationDate: in.Printed, ModDate: in.Printed,
	})
	if err != nil {
		return err
	}
	if err := m.page().passport(in, m.size); err != nil {
		return err
	}
	return m.write(w, "passport "+in.Number)
}

func (in *PassportPage) check() error {
	switch {
	case in.Sheet != A4 && in.Sheet != Letter:
		return fmt.Errorf("sheet is %d; it is 0 (A4) or 1 (Letter)", in.Sheet)
	case strings.TrimSpace(in.Number) == "":
		return fmt.Errorf("number is empty; a passport needs the plate's number")
	case strings.TrimSpace(in.Studio) == "":
		return fmt.Errorf("studio is empty; a passport needs the studio's name")
	}
	if err := measure.Within("width", in.Width.Millimetres(), 10, 2000, "mm"); err != nil {
		return err
	}
	if err := measure.Within("height", in.Height.Millimetres(), 10, 2000, "mm"); err != nil {
		return err
	}
	if in.Process == "" {
		in.Process = "wet collodion positive"
	}
	if in.Care == nil {
		in.Care = CareLines()
	}
	if in.Code == "" {
		in.Code = in.Number
	}
	return checkCode(in.Code)
}

// passport lays the sheet out: head, plate with dimensions at the left, what it was made with at the
// right, section, care and code at the foot.
func (p *pen) passport(in PassportPage, sheet point) error {
	p.frame(point{margin, margin}, point{sheet.x - 2*margin, sheet.y - 2*margin})
	left, right := margin+7*mm, sheet.x-margin-7*mm
	top, foot := sheet.y-margin-6*mm, margin+6*mm

	headFoot := p.head(in, point{left, top}, right)
	careTop, err := p.foot(in, point{left, foot}, right)
	if err != nil {
		return err
	}
	sectionTop := p.section(in, point{left, careTop + 7*mm}, right)

	// The plate takes what remains, at most three fifths of the width.
	gutter := 9 * mm
	space := point{(right-left)*0.6 - 12*mm, headFoot - sectionTop - 20*mm}
	scale := min(space.x/in.Width.Millimetres(), space.y/in.Height.Millimetres())
	plate := point{in.Width.Millimetres() * scale, in.Height.Millimetres() * scale}
	at := point{left + 1*mm, headFoot - 4*mm - plate.y}
	if err := p.plate(in, at, plate); err != nil {
		return err
	}
	column := max(at.x+plate.x+13*mm+gutter/2, left+(right-left)*0.5)
	p.facts(in, point{column, headFoot - 4*mm}, point{right, sectionTop + 3*mm})
	if p.undrawn {
		p.text(point{left, foot - 5}, "A character the bundled faces do not have is printed as a question mark.", p.italic, 8)
	}
	return nil
}

// frame draws two hairlines round the sheet, with ticks as on a copper plate.
func (p *pen) frame(at, size point) {
	p.box(at, size, 0.7)
	in := 1.3 * mm
	p.box(point{at.x + in, at.y + in}, point{size.x - 2*in, size.y - 2*in}, p.hairline)
	for i := 1; i < 40; i++ { // a scale along the long sides, every tenth longer
		y := at.y + in + (size.y-2*in)*float64(i)/40
		long := 0.8 * mm
		if i%10 == 0 {
			long = 1.8 * mm
		}
		p.line(point{at.x + in, y}, point{at.x + in + long, y}, p.hairline)
		p.line(point{at.x + size.x - in, y}, point{at.x + size.x - in - long, y}, p.hairline)
	}
}

func (p *pen) head(in PassportPage, at point, right float64) (foot float64) {
	p.spaced(point{at.x, at.y - 7}, "PASSPORT OF A PLATE", p.bold, 7.5, 1.6)
	numberSize := p.fitted(in.Number, p.serif, 44, (right-at.x)*0.45)
	p.right(point{right, at.y - 33}, in.Number, p.serif, numberSize)
	room := (right-at.x)*0.95 - p.serif.MeasureString(p.drawable(in.Number, p.serif), numberSize)
	studioSize := max(11, p.fitted(in.Studio, p.serif, 20, room))
	for _, line := range p.wrapped(in.Studio, p.serif, studioSize, room, 1) {
		p.text(point{at.x, at.y - 29}, line, p.serif, studioSize)
	}
	where := joined(", ", in.Place, in.Made)
	for _, line := range p.wrapped(where, p.italic, 12, room, 1) {
		p.text(point{at.x, at.y - 44}, line, p.italic, 12)
	}
	y := at.y - 54
	p.line(point{at.x, y}, point{right, y}, 0.7)
	p.line(point{at.x, y - 1.6}, point{right, y - 1.6}, p.hairline)
	return y - 1.6
}

func joined(by string, parts ...string) string {
	var kept []string
	for _, s := range parts {
		if s = strings.TrimSpace(s); s != "" {
			kept = append(kept, s)
		}
	}
	return strings.Join(kept, by)
}

// plate draws the picture in the plate's outline, with its size as dimension arrows.
func (p *pen) plate(in PassportPage, at, size point) error {
	if in.Picture != nil {
		img, err := folioimage.NewJPEG(in.Picture)
		if err != nil {
			return fmt.Errorf("picture: %w; a JPEG is taken", err)
		}
		// The picture stands whole inside the plate's outline.
		iw, ih := float64(img.Width()), float64(img.Height())
		k := min(size.x/iw, size.y/ih)
		p.page.AddImage(img, at.x+(size.x-iw*k)/2, at.y+(size.y-ih*k)/2, iw*k, ih*k)
	} else {
		p.hatch(at, size, 4, 1)
		p.s.SaveState()
		p.s.SetFillColorGray(1)
		p.s.Rectangle(at.x+size.x/2-38, at.y+size.y/2-6, 76, 15)
		p.s.Fill()
		p.s.RestoreState()
		p.centred(point{at.x + size.x/2, at.y + size.y/2 - 2}, "no picture filed", p.italic, 11)
	}
	p.box(at, size, 0.6)
	gap, reach := 1.2*mm, 6*mm
	// width, below
	y := at.y - 4.5*mm
	for _, x := range []float64{at.x, at.x + size.x} {
		p.line(point{x, at.y - gap}, point{x, at.y - reach}, p.hairline)
	}
	label := dimension(in.Width)
	p.dimensionLine(point{at.x, y}, point{at.x + size.x, y}, p.sans.MeasureString(label, 8)+8)
	p.centred(point{at.x + size.x/2, y - 2.6}, label, p.sans, 8)
	if in.Picture != nil { // the photograph is not cut to the plate, so the sheet says so
		p.centred(point{at.x + size.x/2, y - 5*mm}, "sides of the plate; its photograph is shown whole, with what lay round it", p.italic, 8)
	}
	// height, at the right
	x := at.x + size.x + 4.5*mm
	for _, yy := range []float64{at.y, at.y + size.y} {
		p.line(point{at.x + size.x + gap, yy}, point{at.x + size.x + reach, yy}, p.hairline)
	}
	label = dimension(in.Height)
	long := p.sans.MeasureString(label, 8)
	p.dimensionLine(point{x, at.y}, point{x, at.y + size.y}, long+8)
	p.s.SaveState()
	p.s.ConcatMatrix(0, 1, -1, 0, x+2.6, at.y+size.y/2-long/2)
	p.text(point{}, label, p.sans, 8)
	p.s.RestoreState()
	return nil
}

// dimensionLine draws a line with arrows at both ends, open in the middle by room points.
func (p *pen) dimensionLine(a, b point, room float64) {
	long := b.x - a.x + b.y - a.y // one of the two is nothing
	u := point{(b.x - a.x) / long, (b.y - a.y) / long}
	if half := (long - room) / 2; half > 0 {
		p.line(a, point{a.x + u.x*half, a.y + u.y*half}, p.hairline)
		p.line(b, point{b.x - u.x*half, b.y - u.y*half}, p.hairline)
	}
	p.arrow(a, point{-u.x, -u.y})
	p.arrow(b, u)
}

// dimension prints a length in millimetres and in inches to the nearest sixteenth.
func dimension(l measure.Length) string {
	millimetres := strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.2f", l.Millimetres()), "0"), ".")
	return millimetres + " mm · " + inches(l) + " in"
}

// inches prints to the nearest sixteenth, in lowest terms; a sign says when that is rounded.
func inches(l measure.Length) string {
	sixteenths := int(l.Inches()*16 + 0.5)
	about := ""
	if d := l.Inches() - float64(sixteenths)/16; d > 0.004 || d < -0.004 {
		about = "≈ "
	}
	whole, n, d := sixteenths/16, sixteenths%16, 16
	for n > 0 && n%2 == 0 {
		n, d = n/2, d/2
	}
	switch {
	case n == 0:
		return fmt.Sprintf("%s%d", about, whole)
	case whole == 0:
		return fmt.Sprintf("%s%d/%d", about, n, d)
	}
	return fmt.Sprintf("%s%d %d/%d", about, whole, n, d)
}

// facts writes label and value pairs down the column, and the notes with what room is left.
func (p *pen) facts(in PassportPage, at, to point) {
	y := at.y - 7
	width := to.x - at.x
	write := func(label, value string, f *font.EmbeddedFont, size float64, most int) {
		if strings.TrimSpace(value) == "" || y < to.y+size {
			return
		}
		p.spaced(point{at.x, y}, strings.ToUpper(label), p.sans, 6.3, 0.7)
		y -= size + 0.5
		for _, line := range p.wrapped(value, f, size, width, most) {
			p.text(point{at.x, y}, line, f, size)
			y -= size * 1.14
		}
		y -= 4.2
	}
	write("sitter", in.Sitter, p.serif, 15, 2)
	write("process", joined(", on ", in.Process, in.Support), p.serif, 12, 2)
	write("lens and stop", joined(", ", in.Lens, in.Stop), p.serif, 12, 2)
	write("exposure", in.Exposure, p.serif, 12, 2)
	write("collodion", in.Collodion, p.serif, 12, 1)
	write("bath", in.Bath, p.serif, 12, 1)
	write("developer", in.Developer, p.serif, 12, 1)
	write("fixer", in.Fixer, p.serif, 12, 1)
	write("varnish", in.Varnish, p.serif, 12, 1)
	write("made by", in.Hand, p.serif, 12, 1)
	write("verdict", in.Verdict, p.italic, 12, 2)
	if in.Notes != "" {
		write("notes", in.Notes, p.italic, 11, max(1, int((y-to.y-14)/12.5)))
	}
}

// section draws the layers of the plate on edge, as a diagram with leaders.
func (p *pen) section(in PassportPage, at point, right float64) (top float64) {
	layers := []struct {
		name, what   string
		high         float64
		apart, slant float64
	}{
		{name: "support", what: in.Support, high: 7 * mm, apart: 3.2, slant: 1},
		{name: "image", what: "silver in collodion", high: 2 * mm, apart: 1.1, slant: 0},
		{name: "varnish", what: in.Varnish, high: 2.2 * mm, apart: 5, slant: -2},
	}
	if in.Varnish == "" {
		layers = layers[:2]
	}
	width := (right - at.x) * 0.34
	y := at.y
	signed := right - 46*mm
	p.line(point{signed, at.y}, point{right, at.y}, p.hairline)
	p.spaced(point{signed, at.y - 8}, "SIGNED", p.sans, 6.3, 0.7)
	for i, l := range layers {
		p.hatch(point{at.x, y}, point{width, l.high}, l.apart, l.slant)
		p.box(point{at.x, y}, point{width, l.high}, 0.5)
		from := point{at.x + width, y + l.high/2}
		to := point{at.x + width + 10*mm, at.y + float64(i)*11 + 3}
		p.line(from, point{from.x + 4*mm, from.y}, p.hairline)
		p.line(point{from.x + 4*mm, from.y}, to, p.hairline)
		p.text(point{to.x + 3, to.y - 2.4}, l.name, p.italic, 10)
		if l.what != "" {
			x := to.x + 3 + p.italic.MeasureString(l.name+"  ", 10)
			for _, line := range p.wrapped(l.what, p.sans, 8, max(30, signed-6*mm-x), 1) {
				p.text(point{x, to.y - 2.4}, line, p.sans, 8)
			}
		}
		y += l.high
	}
	y = max(y, at.y+float64(len(layers)-1)*11+8)
	p.spaced(point{at.x, y + 5}, "SECTION, NOT TO SCALE", p.sans, 6.3, 0.7)
	return y + 13
}

// foot writes how the plate wants to be kept, with the code at the right.
func (p *pen) foot(in PassportPage, at point, right float64) (top float64, err error) {
	code, err := barcode.NewQRWithECC(in.Code, barcode.ECCLevelM)
	if err != nil {
		return 0, fmt.Errorf("code: %w", err)
	}
	side := 29 * mm
	quiet := 2.5 * mm // four modules of a small code; nothing is drawn nearer
	corner := point{right - side - quiet, at.y + 11}
	code.Draw(p.s, corner.x, corner.y, side, side)
	p.box(point{corner.x - quiet, corner.y - quiet}, point{side + 2*quiet, side + 2*quiet}, p.hairline)
	p.centred(point{corner.x + side/2, at.y - 5}, in.Number, p.sans, 7.5)

	width := corner.x - quiet - 8*mm - at.x
	var lines []string
	for _, care := range in.Care {
		lines = append(lines, p.wrapped(care, p.sans, 8.4, width-9, 3)...)
		lines = append(lines, "")
	}
	const step = 10.2
	top = corner.y + side + quiet
	y := top - 6
	p.spaced(point{at.x, y}, "TO KEEP IT", p.bold, 6.5, 1)
	y -= 12
	first := true
	for _, line := range lines {
		if line == "" {
			first = true
			y -= 2
			continue
		}
		if y < at.y {
			break
		}
		if first {
			p.line(point{at.x, y + 2.8}, point{at.x + 5, y + 2.8}, 0.5)
			first = false
		}
		p.text(point{at.x + 9, y}, line, p.sans, 8.4)
		y -= step
	}
	p.line(point{at.x, top + 3*mm}, point{right, top + 3*mm}, p.hairline)
	return top + 3*mm, nil
}
