package paper

import (
	"fmt"
	"strings"

	"github.com/carlos7ags/folio/font"
)

// row is one line of a column of a card: words at its left end, a figure at its right.
type row struct {
	step        float64 // how far it stands under the line before
	word, value string
	face        *font.EmbeddedFont // of the figure
	size        float64            // of the figure; the words are a point smaller
	head        bool               // the word is a heading
}

type rows []row

// high is the height of a column with the room under it.
func (rs rows) high() float64 {
	high := 0.0
	for _, r := range rs {
		high += r.step
	}
	return high + 10
}

// leastSettings is how high the settings stand at least, and leastElevations what they leave the elevations
// where smaller letters allow it.
const (
	leastSettings   = 176.0
	leastElevations = 150.0
)

// columns are what is set by hand, and the other figures, in the largest letters that leave the elevations
// their room, or else that fit at all. What a hand sets is never left out; of the other figures those that
// find no room are counted.
func (p *pen) columns(in CardPage, wide, room float64) (set, rest rows) {
	for _, leave := range []float64{leastElevations, leastElevations / 2, 0} {
		for _, k := range []float64{1, 0.92, 0.84, 0.76} {
			set, rest = p.byHand(in, wide, k), p.figures(in.Rest, wide, k)
			if max(set.high(), rest.high()) <= room-leave {
				return set, rest
			}
		}
	}
	for n := len(in.Rest); n > 0 && rest.high() > room; n-- {
		rest = p.figures(in.Rest[:n-1], wide, 0.76)
		rest = append(rest, row{step: 13, word: fmt.Sprintf("and %d more …", len(in.Rest)-n+1), face: p.sans, size: 10})
	}
	return set, rest
}

// byHand lists what both standards are set to, what is focused on and how the sitter is held.
func (p *pen) byHand(in CardPage, wide, k float64) rows {
	all := append(p.standard("Front", in.Front, wide, k), p.standard("Back", in.Back, wide, k)...)
	return append(all, p.figures(items2(Item{Word: "Focus on", Value: in.FocusOn}, Item{Word: "Held", Value: in.Support}), wide, k)...)
}

// standard lists what a standard is set to.
func (p *pen) standard(name string, items []Item, wide, k float64) rows {
	all := rows{{step: 19 * k, word: strings.ToUpper(name), face: p.italic, size: 15 * k, head: true}}
	if len(items) == 0 {
		all[0].value = "square"
	}
	for _, item := range items {
		all = append(all, p.rowsOf(item, wide, p.bold, 14*k, 11*k)...)
	}
	return all
}

// figures lists words with their figures.
func (p *pen) figures(items []Item, wide, k float64) rows {
	var all rows
	for i, item := range items {
		lines := p.rowsOf(item, wide, p.sans, 12*k, 9.5*k)
		if i == 0 {
			lines[0].step += 5 * k
		}
		all = append(all, lines...)
	}
	return all
}

// rowsOf sets a word and its figure on one line, smaller where they would meet, down to the least size;
// else in lines one under the other. Nothing is cut.
func (p *pen) rowsOf(item Item, wide float64, f *font.EmbeddedFont, size, least float64) rows {
	const apart = 8.0
	together := func(word, value string, size float64) float64 {
		return p.sans.MeasureString(p.drawable(word, p.sans), size-1) + apart + f.MeasureString(p.drawable(value, f), size)
	}
	if w := together(item.Word, item.Value, size); w > wide {
		if smaller := 0.995 * size * wide / w; smaller >= least && together(item.Word, item.Value, smaller) <= wide {
			return rows{{step: size + 3, word: item.Word, value: item.Value, face: f, size: smaller}}
		}
	} else {
		return rows{{step: size + 3, word: item.Word, value: item.Value, face: f, size: size}}
	}
	size = (size + least) / 2
	var all rows
	for _, line := range p.wrapped(item.Word, p.sans, size-1, wide, 0) {
		all = append(all, row{step: size + 1.5, word: line, face: f, size: size})
	}
	for i, line := range p.wrapped(item.Value, f, size, wide, 0) {
		if last := len(all) - 1; i == 0 && last >= 0 && together(all[last].word, line, size) <= wide {
			all[last].value = line
			continue
		}
		all = append(all, row{step: size + 1.5, value: line, face: f, size: size})
	}
	if len(all) == 0 {
		return rows{{face: f, size: size}}
	}
	all[0].step += 2.5
	return all
}

// rows draws a column from its top.
func (p *pen) rows(all rows, at point, wide float64) {
	y := at.y
	for _, r := range all {
		y -= r.step
		if r.head {
			p.spaced(point{at.x, y}, r.word, p.bold, r.size*0.6, 1.2)
		} else {
			p.text(point{at.x, y}, r.word, p.sans, r.size-1)
		}
		p.right(point{at.x + wide, y}, r.value, r.face, r.size)
	}
}
