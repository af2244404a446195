// Package plates shows the plate store: the list of plates, and a plate with its story.
//
// A mark is kept in hundredths of the plate's sides as the plate itself shows it, which is the mirror
// of the true view; [OnView] goes from the one to the other and back. A copy is taken to show the
// plate edge to edge. Nothing here asks the studio: a handler hands over what is known.
package plates

import (
	"embed"
	"fmt"
	"time"

	"platewright/internal/studio"
	"platewright/internal/web/shared"
	"platewright/measure"
)

// Files are the style sheets and scripts of these screens.
//
//go:embed *.css *.js
var Files embed.FS

// Habits are how the studio reads figures and days.
type Habits struct {
	Units    measure.System
	Location *time.Location
}

// List is a page of the plate store.
type List struct {
	Words, State string
	Filters      []Filter
	Rows         []Row
	Others       []Other // sitters and sittings found by the words
	Newest       string  // leads to the top of the list; empty when there
	Older        string  // leads further down; empty at the end
	Cut          int     // how many plates are shown of more that were found; 0 when all are
}

// Filter is one state the list can be narrowed to.
type Filter struct {
	Word, Href string
	Here       bool
}

// Row is one plate of the list.
type Row struct {
	Number, Href, Sitter, Made, Size, Verdict string
	Thumb                                     Thumb
}

// Thumb is a plate seen small. Without Src its outline is drawn.
type Thumb struct {
	Src           string
	Width, Height int
}

// Other is a sitter or a sitting the words found.
type Other struct{ Kind, Title, Snippet, Href string }

// CopyPath is where a picture of a plate's copy is found. The picture's own name is part of the
// address, so that the address never shows another picture.
func CopyPath(number string, k int, what, name string) string {
	return fmt.Sprintf("%s/%s/copies/%d/%s?is=%s", shared.PlateStore.Path(), number, k, what, short(name))
}

// short is enough of a picture's name to tell it from the plate's others.
func short(name string) string { return name[:min(len(name), 16)] }

// thumbSide is the longest side of a plate in the list, in pixels.
const thumbSide = 92

// RowOf is a plate as the list shows it.
func RowOf(p studio.PlateRow, h Habits) Row {
	number := p.Number.String()
	row := Row{Number: number, Href: shared.PlateStore.Path() + "/" + number, Sitter: p.SitterName, Size: sizeWord(p.Plan.Size, h.Units)}
	if !p.PouredAt.IsZero() {
		row.Made = p.PouredAt.In(h.Location).Format("2 January 2006")
	}
	switch {
	case p.Verdict != nil:
		row.Verdict = VerdictText(*p.Verdict)
	case p.Last == studio.Varnished:
		row.Verdict = "varnished, not judged"
	default:
		row.Verdict = p.State()
	}
	size := p.Plan.Size
	if len(p.Copies) > 0 {
		last := p.Copies[len(p.Copies)-1]
		row.Thumb.Src = CopyPath(number, len(p.Copies), "thumb", last.Thumb)
		size = asPictured(size, last)
	}
	row.Thumb.Width, row.Thumb.Height = fitted(float64(size.Width), float64(size.Height), thumbSide)
	return row
}

// asPictured turns a plate's sides to stand as its picture does.
func asPictured(size measure.PlateSize, c studio.Copy) measure.PlateSize {
	if (size.Width > size.Height) != (c.WidthPx > c.HeightPx) {
		return size.Turned()
	}
	return size
}

// fitted are the sides of a shape whose longer side is so many pixels.
func fitted(width, height float64, longest int) (w, h int) {
	k := float64(longest) / max(width, height)
	return max(1, int(width*k+0.5)), max(1, int(height*k+0.5))
}

// VerdictText is a verdict in words.
func VerdictText(v studio.Verdict) string { return studio.VerdictWord(v.Word) + ", " + string(v.Fate) }

// sizeWord is a plate's size by its trade name, or its sides.
func sizeWord(p measure.PlateSize, sys measure.System) string {
	if p.Name == "" {
		return measure.Thin(p.Format(sys))
	}
	return p.String()
}

// OnView turns a place across the plate into the place across its true view, and back: the one is
// the mirror of the other.
func OnView(xPct float64) float64 { return 100 - xPct }

// Faults are the names a mark is usually given: common practice, no source.
func Faults() []string {
	return []string{"fog", "comet", "pinholes", "oyster mark", "streak", "tide line", "pour ridge", "crepe lines", "bare corner", "peeling", "stain", "scratch"}
}

// Fitted are the sides of a copy's picture whose longer side is so many pixels.
func Fitted(c studio.Copy, longest int) (w, h int) {
	return fitted(float64(c.WidthPx), float64(c.HeightPx), longest)
}

const (
	leastSide = 300 // pixels below which a picture shows too little of a plate
	mostOff   = 1.3 // how much a picture's proportion may be off the plate's
)

// OddOf says what is odd about a photograph of a plate of this size: that it lies while the plate
// stands, that its proportion is another, that it is small. The limits are our own.
func OddOf(c studio.Copy, size measure.PlateSize) []string {
	var all []string
	if longest := max(c.WidthPx, c.HeightPx); longest < leastSide {
		all = append(all, fmt.Sprintf("The picture is small: %d × %d px, of which little of the plate can be seen.", c.WidthPx, c.HeightPx))
	}
	if c.WidthPx <= 0 || c.HeightPx <= 0 || size.Width <= 0 || size.Height <= 0 {
		return all
	}
	picture, plate := float64(c.WidthPx)/float64(c.HeightPx), float64(size.Width)/float64(size.Height)
	off := func(a, b float64) bool { return max(a/b, b/a) > mostOff }
	stands := func(ratio float64) string {
		if ratio < 1 {
			return "stands upright"
		}
		return "lies"
	}
	switch {
	case !off(picture, plate):
	case !off(picture, 1/plate):
		all = append(all, fmt.Sprintf("The picture %s and the plate was planned so that it %s; if the plate was turned for the sitter, all is well.", stands(picture), stands(plate)))
	default:
		all = append(all, fmt.Sprintf("The picture's shape is not the plate's: its sides are as 1 to %.2f, the plate's as 1 to %.2f. Marks are set edge to edge, so fill the frame with the plate.",
			max(picture, 1/picture), max(plate, 1/plate)))
	}
	return all
}
