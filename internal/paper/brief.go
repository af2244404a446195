package paper

import (
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/carlos7ags/folio/document"
)

// BriefPage is what a sitter's brief says: what to wear, by how it comes out on the plate. Empty strings and lists
// leave their place out.
type BriefPage struct {
	Sheet   Sheet
	Studio  string
	Light   string // the kind of light the colours are told for
	Printed time.Time
	Tones   []BriefTone // the darkest on the plate first
	Ask     []string    // what the sitter is asked to tell or bring, in sentences
	Study   string      // how sure it is, in a sentence
}

// BriefTone are things that come out alike.
type BriefTone struct {
	Word      string // "dark grey"
	Grey      float64
	Things    []string
	Otherwise []string // of these, the ones that look otherwise to the eye: "red scarf, much darker than it looks"
}

// Brief writes the brief for a sitter as PDF, on one page.
func Brief(w io.Writer, in BriefPage) error {
	if err := in.check(); err != nil {
		return err
	}
	const title = "What to wear for a plate"
	m, err := newPress(in.Sheet, document.Info{Title: title, Author: in.Studio, Subject: in.Light, CreationDate: in.Printed, ModDate: in.Printed})
	if err != nil {
		return err
	}
	m.page().brief(in, m.size, title)
	return m.write(w, title)
}

// Most a brief has room for.
const (
	mostTones = 8
	mostAsked = 8
)

func (in *BriefPage) check() error {
	switch {
	case in.Sheet != A4 && in.Sheet != Letter:
		return fmt.Errorf("sheet is %d; it is 0 (A4) or 1 (Letter)", in.Sheet)
	case len(in.Tones) == 0:
		return fmt.Errorf("tones are empty; a brief tells how at least one thing comes out")
	case len(in.Tones) > mostTones:
		return fmt.Errorf("tones: %d are more than the %d that are printed", len(in.Tones), mostTones)
	case len(in.Ask) > mostAsked:
		return fmt.Errorf("ask: %d sentences are more than the %d that are printed", len(in.Ask), mostAsked)
	}
	for _, t := range in.Tones {
		if !(t.Grey >= 0 && t.Grey <= 1) {
			return fmt.Errorf("grey of %q is %g; it is 0 (black) to 1 (white)", t.Word, t.Grey)
		}
	}
	return nil
}

// brief lays the sheet out from the top: the tones from black to white, then what is asked.
func (p *pen) brief(in BriefPage, sheet point, title string) {
	p.frame(point{margin, margin}, point{sheet.x - 2*margin, sheet.y - 2*margin})
	left, right := margin+7*mm, sheet.x-margin-7*mm
	y := sheet.y - margin - 6*mm
	p.spaced(point{left, y - 7}, "FOR THE SITTER", p.bold, 8, 1.6)
	p.right(point{right, y - 8}, p.short(in.Studio, p.italic, 12, (right-left)*0.6), p.italic, 12)
	p.text(point{left, y - 40}, title, p.serif, 30)
	y -= 62
	lead := "A wet collodion plate sees violet, blue and ultraviolet, and hardly any yellow, orange or red. So things come out otherwise than they look"
	if in.Light != "" {
		lead += " (here told for this light: " + in.Light + ")"
	}
	for _, line := range p.wrapped(lead+". Texture and folds show well; colours do not. The greys are those of a plate beside white paper.", p.sans, 11, right-left, 5) {
		p.text(point{left, y}, line, p.sans, 11)
		y -= 14
	}
	y -= 2
	for _, t := range in.Tones {
		p.line(point{left, y + 6}, point{right, y + 6}, p.hairline)
		y = p.briefTone(t, point{left, y}, right)
	}
	p.line(point{left, y + 6}, point{right, y + 6}, 0.7)
	y -= 16
	if len(in.Ask) > 0 {
		p.text(point{left, y}, "Please tell us before the sitting", p.serif, 16)
		y -= 17
		for _, a := range in.Ask {
			for _, line := range p.wrapped(a, p.sans, 10.5, right-left, 3) {
				p.text(point{left, y}, line, p.sans, 10.5)
				y -= 13
			}
			y -= 3
		}
	}
	for _, line := range p.wrapped(in.Study, p.italic, 10.5, right-left, 3) {
		p.text(point{left, y - 4}, line, p.italic, 10.5)
		y -= 13
	}
	if p.undrawn {
		p.text(point{left, margin + 2.4*mm}, "A character the bundled faces do not have is printed as a question mark.", p.italic, 8)
	}
}

// briefTone draws a tone as a patch of its grey, with what comes out so.
func (p *pen) briefTone(t BriefTone, at point, right float64) (foot float64) {
	const patch, high = 52.0, 30.0
	p.tint(point{at.x, at.y - high}, point{patch, high}, t.Grey)
	p.box(point{at.x, at.y - high}, point{patch, high}, 0.7)
	x := at.x + patch + 12
	p.text(point{x, at.y - 10}, upperFirst(t.Word), p.bold, 12)
	y := at.y - 10
	for _, line := range p.wrapped(strings.Join(t.Things, ", "), p.sans, 10, right-x, 3) {
		y -= 12.5
		p.text(point{x, y}, line, p.sans, 10)
	}
	for _, line := range p.wrapped(strings.Join(t.Otherwise, "; "), p.italic, 10.5, right-x-10, 2) {
		y -= 12.5
		p.text(point{x, y}, line, p.italic, 10.5)
	}
	return min(y, at.y-high) - 14
}

// tint fills a box with a grey, 0 black to 1 white.
func (p *pen) tint(at, size point, grey float64) {
	p.s.SaveState()
	p.s.SetFillColorGray(grey)
	p.s.Rectangle(at.x, at.y, size.x, size.y)
	p.s.Fill()
	p.s.RestoreState()
}

func upperFirst(words string) string {
	if words == "" {
		return ""
	}
	return strings.ToUpper(words[:1]) + words[1:]
}
