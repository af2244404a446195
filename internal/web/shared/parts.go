package shared

import (
	"context"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/a-h/templ"
)

// thin is the thin space that stands before a unit.
const thin = "\u2009"

// FieldData is one line people write in.
type FieldData struct {
	Name  string // the form key, also the start of the element's id
	Label string
	Value string // as typed, kept whatever it was
	Unit  string // what a bare number means: "mm"; may be empty
	Hint  string // how it may be written: "6 1/2 in, 165 mm"; may be empty
	Read  string // how it was read: "165.1 mm"; may be empty
	Error string // what is wrong, as a sentence; may be empty
	// Lines above one gives room for so many lines.
	Lines int
	// Secret hides what is typed.
	Secret bool
	// Figures asks a phone for its keys with digits.
	Figures bool
	// Required is told to a screen reader; the server refuses it empty.
	Required bool
	// More attributes of the input: hx-get and its kin. No style, no on...
	More templ.Attributes
}

func (d FieldData) id() string { return "f-" + d.Name }

// described names the elements that belong to the input, for a screen reader.
func (d FieldData) described() string {
	var ids []string
	if d.Error != "" {
		ids = append(ids, d.id()+"-error")
	}
	if d.Read != "" {
		ids = append(ids, d.id()+"-read")
	}
	if d.Hint != "" {
		ids = append(ids, d.id()+"-hint")
	}
	return strings.Join(ids, " ")
}

func (d FieldData) attributes(light Light) templ.Attributes {
	a := templ.Attributes{}
	for key, value := range d.More {
		a[key] = value
	}
	if ids := d.described(); ids != "" {
		a["aria-describedby"] = ids
	}
	if d.Error != "" {
		a["aria-invalid"] = "true"
	}
	if d.Required {
		// Not the attribute required: the bubble a browser shows for it is
		// its own, and white. The server says what is missing.
		a["aria-required"] = "true"
	}
	if mode := d.keys(light); mode != "" {
		a["inputmode"] = mode
	}
	return a
}

// keys is which keys a phone shows. In red light it shows none: they are lit
// and would fog a plate. Keys one can touch still write.
func (d FieldData) keys(light Light) string {
	switch {
	case light == Red:
		return "none"
	case d.Figures:
		return "decimal"
	default:
		return ""
	}
}

// kind is the type of the input. Numbers and dates are typed as text: the
// trade writes 6 1/2 and tomorrow at ten, and a browser's own calendar would
// light the dark room.
func (d FieldData) kind() string {
	if d.Secret {
		return "password"
	}
	return "text"
}

// ChoiceData is a choice of one among a few, in place of a list that pops up.
type ChoiceData struct {
	Name    string
	Label   string
	Value   string // the option chosen; may be none of them
	Options []Option
	Hint    string
	Error   string
	// List sets the options under each other with their notes, for more than
	// a handful; otherwise they stand in a row.
	List bool
	More templ.Attributes // of every radio button
}

// Option is one of a [ChoiceData].
type Option struct {
	Value string
	Word  string
	Note  string // a quiet remark: "210 mm, f/3.6"; may be empty
	// Withheld says why this one cannot be chosen now; empty when it can.
	Withheld string
}

func (d ChoiceData) id() string { return "c-" + d.Name }

func (d ChoiceData) described() string {
	var ids []string
	if d.Error != "" {
		ids = append(ids, d.id()+"-error")
	}
	if d.Hint != "" {
		ids = append(ids, d.id()+"-hint")
	}
	return strings.Join(ids, " ")
}

func described(ids string) templ.Attributes {
	if ids == "" {
		return nil
	}
	return templ.Attributes{"aria-describedby": ids}
}

// ActData is a button that does something.
type ActData struct {
	Word  string // a verb: "File the plate"
	Name  string // form key sent with it; may be empty
	Value string
	// Withheld says why it cannot be done now; the button is then drawn
	// dashed and the sentence stands beside it.
	Withheld string
	More     templ.Attributes
}

func (d ActData) attributes() templ.Attributes {
	a := templ.Attributes{}
	for key, value := range d.More {
		a[key] = value
	}
	if d.Name != "" {
		a["name"] = d.Name
		a["value"] = d.Value
	}
	if d.Withheld != "" {
		a["disabled"] = true
	}
	return a
}

// FigureData is a number with its unit.
type FigureData struct {
	Word  string // what it is: "bellows"; may be empty where the text around says it
	Value string // "165.1"
	Unit  string // "mm"; may be empty
	Other string // the same in the other units: "6 1/2 in"; may be empty
	// Large draws it as the screen's chief figure.
	Large bool
}

// BandData is a number that is not certain: the middle value and the band that
// holds it four times in five.
type BandData struct {
	Name              string // unique on the page; names the drawing's parts
	Word              string // what it is: "exposure"
	Low, Median, High float64
	// From and To are the ends of the scale drawn; To must be above From.
	From, To float64
	// Ratio draws the scale by ratio (1, 2, 4, 8), as exposures want; From
	// must then be above zero.
	Ratio bool
	Unit  string
	Basis string // "14 plates, this batch 3"
	// Extrapolated hatches the bar; Basis should say why.
	Extrapolated bool
}

// Text is the band in words: 4 s (3-6).
func (d BandData) Text() string {
	return BandText(d.Low, d.Median, d.High, d.Unit)
}

// BandText writes a band as text, three significant digits at most: 4 s (3-6).
func BandText(low, median, high float64, unit string) string {
	if unit == "" {
		return fmt.Sprintf("%s (%s-%s)", digits(median), digits(low), digits(high))
	}
	return fmt.Sprintf("%s%s%s (%s-%s)", digits(median), thin, unit, digits(low), digits(high))
}

// digits writes a number with three significant digits, without an exponent
// and without trailing zeros.
func digits(v float64) string {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	places := max(0, 2-int(math.Floor(math.Log10(math.Abs(v)))))
	text := strconv.FormatFloat(v, 'f', places, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// bandWidth is the width of a band's drawing in its own units.
const bandWidth = 400.0

// at is the place of a value on the drawing, held within its ends: a band that
// runs off the scale is drawn up to the edge, its text says the figure.
func (d BandData) at(v float64) float64 {
	place := (v - d.From) / (d.To - d.From)
	if d.Ratio {
		place = math.Log(v/d.From) / math.Log(d.To/d.From)
	}
	if math.IsNaN(place) {
		place = 0
	}
	return bandWidth * min(1, max(0, place))
}

// px writes a coordinate of a drawing.
func px(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }

// ticks are the graduations of the scale: at most some ten, at round values.
func (d BandData) ticks() []float64 {
	if !(d.To > d.From) || d.Ratio && !(d.From > 0) {
		return nil
	}
	var at []float64
	if d.Ratio {
		step := 2.0
		for math.Log(d.To/d.From)/math.Log(step) > 10 {
			step *= 2
		}
		start := math.Pow(2, math.Ceil(math.Log2(d.From)-1e-9))
		for v := start; v <= d.To*(1+1e-9); v *= step {
			at = append(at, v)
		}
		return at
	}
	step := math.Pow(10, math.Floor(math.Log10((d.To-d.From)/4)))
	for _, more := range []float64{2, 5, 10} {
		if (d.To-d.From)/step > 10 {
			step *= more
			if (d.To-d.From)/step > 10 {
				step /= more
			}
		}
	}
	first := math.Ceil(d.From/step-1e-9) + 0 // never minus zero
	for k := first; k*step <= d.To+step*1e-9; k++ {
		at = append(at, k*step)
	}
	return at
}

// CautionData stands where the hand is.
type CautionData struct {
	What  string // the danger, as a sentence
	Do    string // what to do about it
	Defer string // "the label", "the supplier's safety sheet", "local rules"
}

// NoticeKind says what sort of thing a notice tells.
type NoticeKind string

// The kinds of notice.
const (
	Told    NoticeKind = "told"    // something worth knowing
	Done    NoticeKind = "done"    // what was asked has been done
	Refused NoticeKind = "refused" // what was asked has not been done, and why
)

// NoticeData is a message in the page: what, why with the figure, what next.
type NoticeData struct {
	Kind NoticeKind
	Text string
	// Href leads on; HrefWord is what the link says. May be empty.
	Href, HrefWord string
	// Undo is the address that takes the act back with one press; may be empty.
	Undo string
}

// mark is the notice's sign for those who do not see its colour or place.
func (k NoticeKind) mark() string {
	switch k {
	case Done:
		return "Done"
	case Refused:
		return "Refused"
	default:
		return "Note"
	}
}

// role makes a refusal heard at once and the rest when there is time.
func (k NoticeKind) role() string {
	if k == Refused {
		return "alert"
	}
	return "status"
}

// TableData is a table of records or figures.
type TableData struct {
	Caption string
	Columns []Column
	Rows    []Row
	Empty   string // the sentence shown when there are no rows
}

// Column heads a column.
type Column struct {
	Word    string
	Unit    string
	Figures bool // set right, digits under digits
}

// Row is one line of a table; its first cell heads it.
type Row struct {
	Cells []Cell
	// Current marks the row of what is in hand.
	Current bool
}

// Cell is one place of a table.
type Cell struct {
	Text string
	Href string // may be empty
	Name bool   // set in the serif of names
}

// PictureData is a photograph or a drawing shown as an image.
type PictureData struct {
	Src           string
	Alt           string
	Width, Height int    // in pixels of the image, so that the page does not jump
	Caption       string // may be empty
}

// ChooseFileData asks for a file.
type ChooseFileData struct {
	Name   string
	Label  string
	Accept string // "image/jpeg,image/png,image/tiff"
	Hint   string
	Error  string
	// Here is the path of this page, to come back to from the other light.
	Here     string
	Required bool
}

func (d ChooseFileData) described() string {
	var ids []string
	if d.Error != "" {
		ids = append(ids, "f-"+d.Name+"-error")
	}
	if d.Hint != "" {
		ids = append(ids, "f-"+d.Name+"-hint")
	}
	return strings.Join(ids, " ")
}

// figures tells whether the column is set in figures.
func (d TableData) figures(i int) bool { return i < len(d.Columns) && d.Columns[i].Figures }

// fill lets the browser offer a kept password, except in red light, where the
// list it opens would be white.
func fill(ctx context.Context, d FieldData) string {
	if d.Secret && LightOf(ctx) != Red {
		return "current-password"
	}
	return "off"
}
