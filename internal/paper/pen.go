package paper

import (
	"embed"
	"fmt"
	"strings"

	"github.com/carlos7ags/folio/content"
	"github.com/carlos7ags/folio/document"
	"github.com/carlos7ags/folio/font"
)

//go:embed fonts/*.ttf fonts/OFL-*.txt
var fontFiles embed.FS

// mm is a millimetre in points.
const mm = 72 / 25.4

// faces are the bundled faces as one document uses them.
type faces struct {
	serif, italic, sans, bold *font.EmbeddedFont
}

func loadFaces() (faces, error) {
	load := func(name string) (*font.EmbeddedFont, error) {
		b, err := fontFiles.ReadFile("fonts/" + name)
		if err != nil {
			return nil, err
		}
		f, err := font.ParseTTF(b)
		if err != nil {
			return nil, fmt.Errorf("face %s: %w", name, err)
		}
		return font.NewEmbeddedFont(f), nil
	}
	var fs faces
	for _, f := range []struct {
		to   **font.EmbeddedFont
		name string
	}{
		{&fs.serif, "EBGaramond-Regular.ttf"}, {&fs.italic, "EBGaramond-Italic.ttf"},
		{&fs.sans, "IBMPlexSans-Regular.ttf"}, {&fs.bold, "IBMPlexSans-SemiBold.ttf"},
	} {
		var err error
		if *f.to, err = load(f.name); err != nil {
			return faces{}, err
		}
	}
	return fs, nil
}

// pen draws on one page. Lengths are points, y runs upward from the foot of the sheet.
type pen struct {
	faces
	page     *document.Page
	s        *content.Stream
	undrawn  bool // a character that no bundled face has was asked for
	hairline float64
}

// point is a place on the sheet.
type point struct{ x, y float64 }

// drawable replaces what the face cannot draw by a box, and remembers that it did.
func (p *pen) drawable(text string, f *font.EmbeddedFont) string {
	return strings.Map(func(c rune) rune {
		if c == '\n' || c == '\t' || c == '\r' {
			return ' '
		}
		if f.Face().GlyphIndex(c) == 0 {
			if c < ' ' {
				return -1
			}
			p.undrawn = true
			return '?'
		}
		return c
	}, text)
}

// text writes one line with its left end at the point.
func (p *pen) text(at point, text string, f *font.EmbeddedFont, size float64) {
	if text = p.drawable(text, f); text != "" {
		p.page.AddTextEmbedded(text, f, size, at.x, at.y)
	}
}

// centred writes one line with its middle at the point.
func (p *pen) centred(at point, text string, f *font.EmbeddedFont, size float64) {
	text = p.drawable(text, f)
	p.text(point{at.x - f.MeasureString(text, size)/2, at.y}, text, f, size)
}

// right writes one line with its right end at the point.
func (p *pen) right(at point, text string, f *font.EmbeddedFont, size float64) {
	text = p.drawable(text, f)
	p.text(point{at.x - f.MeasureString(text, size), at.y}, text, f, size)
}

// spaced writes one line in letters set apart, as engravers set small words.
func (p *pen) spaced(at point, text string, f *font.EmbeddedFont, size, apart float64) {
	p.s.SaveState()
	p.s.SetCharSpacing(apart)
	p.text(at, text, f, size)
	p.s.RestoreState()
}

// fitted returns the largest size, not above size, at which text is no wider than width.
func (p *pen) fitted(text string, f *font.EmbeddedFont, size, width float64) float64 {
	if w := f.MeasureString(p.drawable(text, f), size); w > width {
		return size * width / w
	}
	return size
}

// wrapped breaks text into lines no wider than width, at most most of them; what does not fit ends
// in an ellipsis.
func (p *pen) wrapped(text string, f *font.EmbeddedFont, size, width float64, most int) []string {
	var lines []string
	line := ""
	cut := func(word string) (string, string) { // as much of a word as one line holds
		r := []rune(word)
		n := 1
		for n < len(r) && f.MeasureString(string(r[:n+1]), size) <= width {
			n++
		}
		return string(r[:n]), string(r[n:])
	}
	for _, word := range strings.Fields(p.drawable(text, f)) {
		if most > 0 && len(lines) > most {
			break // there is more than is shown already
		}
		for word != "" {
			next := word
			if line != "" {
				next = line + " " + word
			}
			if f.MeasureString(next, size) <= width {
				line, word = next, ""
				continue
			}
			if line != "" {
				lines, line = append(lines, line), ""
				continue
			}
			var head string
			head, word = cut(word)
			lines = append(lines, head)
			if most > 0 && len(lines) > most {
				break
			}
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	if len(lines) > most && most > 0 {
		lines = lines[:most]
		last := []rune(lines[most-1])
		for len(last) > 0 && f.MeasureString(string(last)+" …", size) > width {
			last = last[:len(last)-1]
		}
		lines[most-1] = strings.TrimRight(string(last), " ,;.") + " …"
	}
	return lines
}

// short is text cut to a width, with an ellipsis where something is left out.
func (p *pen) short(text string, f *font.EmbeddedFont, size, wide float64) string {
	for _, line := range p.wrapped(text, f, size, wide, 1) {
		return line
	}
	return ""
}

// line draws a straight line of the given width.
func (p *pen) line(a, b point, width float64) {
	p.s.SaveState()
	p.s.SetLineWidth(width)
	p.s.MoveTo(a.x, a.y)
	p.s.LineTo(b.x, b.y)
	p.s.Stroke()
	p.s.RestoreState()
}

// box draws an outline with its lower left corner at the point.
func (p *pen) box(at, size point, width float64) {
	p.s.SaveState()
	p.s.SetLineWidth(width)
	p.s.Rectangle(at.x, at.y, size.x, size.y)
	p.s.Stroke()
	p.s.RestoreState()
}

// hatch fills a box with slanting hairlines, apart points from each other.
func (p *pen) hatch(at, size point, apart, slant float64) {
	p.s.SaveState()
	p.s.SetLineWidth(p.hairline)
	p.s.Rectangle(at.x, at.y, size.x, size.y)
	p.s.ClipNonZero()
	p.s.EndPath()
	run := size.y * slant
	for x := at.x - max(0, run); x < at.x+size.x+max(0, -run); x += apart {
		p.s.MoveTo(x, at.y)
		p.s.LineTo(x+run, at.y+size.y)
	}
	p.s.Stroke()
	p.s.RestoreState()
}

// arrow fills the head of a dimension arrow whose tip is at the point; toward is the direction it
// points in, of length one.
func (p *pen) arrow(tip, toward point) {
	const long, half = 5.5, 1.1
	p.s.SaveState()
	p.s.MoveTo(tip.x, tip.y)
	p.s.LineTo(tip.x-long*toward.x-half*toward.y, tip.y-long*toward.y+half*toward.x)
	p.s.LineTo(tip.x-long*toward.x+half*toward.y, tip.y-long*toward.y-half*toward.x)
	p.s.ClosePath()
	p.s.Fill()
	p.s.RestoreState()
}
