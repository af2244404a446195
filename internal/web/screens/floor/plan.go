package floor

import (
	"math"
	"strconv"
	"strings"

	"github.com/a-h/templ"

	"platewright/internal/studio"
	"platewright/internal/web/shared"
	"platewright/measure"
)

// PlanData is the screen a plate is planned on.
type PlanData struct {
	ID      studio.ID // of the plate this form plans
	Form    shared.Form
	Choices Choices
	Result  Result
}

// Choices are what the form offers.
type Choices struct {
	Lenses, Stops, Cameras, Holders, Supports, Sittings []shared.Option
	Batches                                             []Batches
	Bodies, Landmarks                                   []shared.Option
	Light                                               LightChoices
	Through                                             []Tick // the landmarks the plane may be laid through
}

// Tick is a landmark that can be ticked.
type Tick struct {
	Name string
	On   bool
}

// Batches are the batches of one kind.
type Batches struct {
	Kind    string // "collodion", also the field's name
	Options []shared.Option
}

// Live is the answer to a form that is being filled in.
type Live struct {
	Form   shared.Form
	Result Result
	Laid   bool // movements were set, and their fields are sent along
	// Stops are sent along when the lens has changed; Lens is whose they are.
	Stops []shared.Option
	Lens  string
	// Plates are sent along when others are now most alike; PlatesOf is what they are alike to.
	Plates   []shared.Option
	PlatesOf string
}

// Result is what was reckoned, laid out. Drawn is nil when nothing was; Waiting then says what is
// missing, and is empty when a field was refused.
type Result struct {
	Units    measure.System
	Drawn    *Geometry
	Waiting  string
	Before   bool // a field was refused, and what is on the screen was reckoned before it was
	Problems []shared.FormProblem
	Warnings []string // sentences, each with its figures and what to do
	Notes    []string // what the figures assume
	Figures  []Figure
	Exposure Exposure
	Lit      Lit
	Lines    Lines
	Marks    []MarkRow
	Share    string // "42 % of the face's front is sharp"; empty when unknown
	Basis    string // of the focal surface
	Circle   string // how much is left of the lens's circle; empty when it is unknown
	Still    Still
	Laid     string // what was laid through the landmarks, or why it cannot be
	Card     string // address of the set-up card's PDF; empty offers none
}

// Lines say what is chosen in the parts that are folded.
type Lines struct{ Plate, Card, Pose, Moves, Rest string }

// all are the lines by the names of their parts.
func (l Lines) all() [][2]string {
	return [][2]string{{"plate", l.Plate}, {"card", l.Card}, {"pose", l.Pose}, {"moves", l.Moves}, {"rest", l.Rest}}
}

// MarkRow is a landmark in the table.
type MarkRow struct {
	Name    string
	State   State
	Blur    string // "0.04 mm"
	Airy    string // the same with diffraction
	Off     string // which way it is out: "too near", "too far", empty when sharp
	Outside bool   // its image falls beside the plate
}

// Still is how likely the sitter keeps still.
type Still struct {
	Band  *shared.BandData // nil when it cannot be told
	Words []string
	Why   string // why it is not told; empty when it is
}

// marksOf are the rows in one state, as they are listed: "right eye 0.04, lips 0.08".
func (r Result) marksOf(state State) string {
	var words []string
	for _, m := range r.Marks {
		if m.State == state && !m.Outside {
			words = append(words, strings.ReplaceAll(m.Name, " ", "\u00a0")+"\u00a0"+strings.TrimSuffix(m.Blur, "\u2009mm"))
		}
	}
	return strings.Join(words, ", ")
}

// outside are the landmarks beside the plate.
func (r Result) outside() string {
	var words []string
	for _, m := range r.Marks {
		if m.Outside {
			words = append(words, m.Name)
		}
	}
	return strings.Join(words, ", ")
}

// states are the states in their order, with the words that head them.
func states() []State { return []State{IsSharp, IsSoft, IsGone} }

// Figure is a row of the table of what was reckoned.
type Figure struct {
	Word, Value string
	Other       string // in the other units, or a remark; may be empty
	OnCard      string // its word on the set-up card; empty when the card leaves it out or says it elsewhere
}

// Exposure is how long the cap is off.
type Exposure struct {
	Reckoned string           // "4.6 s"; empty without a metered light
	Between  string           // the band's ends, "4.4–7.1 s"; empty without a metered light
	Band     *shared.BandData // nil without a metered light
	Typed    string           // what was typed in its place; may be empty
	Seconds  string           // what a hand is to count, in figures; empty when it is not known
	Flash    string           // the stop, pops, energy or distance of a flash; empty without one
	Waits    bool             // nothing is told of the light yet
}

// heard is the result in a sentence, for those who do not see the drawing change.
func (r Result) heard() string {
	if r.Drawn == nil {
		return ""
	}
	said := "Distance " + r.Drawn.figure(r.Drawn.Distance) + ", extension " + r.Drawn.figure(r.Drawn.Extension)
	if r.Exposure.Reckoned != "" {
		said += ", " + r.Exposure.Reckoned + " reckoned"
	}
	if n := len(r.Warnings); n == 1 {
		said += ". One warning"
	} else if n > 1 {
		said += ". " + strconv.Itoa(n) + " warnings"
	}
	return said + "."
}

// strip is the essential answer.
func (r Result) strip() []Figure {
	g := r.Drawn
	off := Figure{Word: "Cap off", Value: "meter the light"}
	switch {
	case r.Exposure.Typed != "":
		off.Value, off.Other = r.Exposure.Typed, "as typed"
	case r.Exposure.Reckoned != "":
		off.Value, off.Other = r.Exposure.Reckoned, r.Exposure.Between
	case r.Exposure.Flash != "":
		off.Word, off.Value = "Flash", r.Exposure.Flash
	case !r.Exposure.Waits:
		off.Value = "say the light"
	}
	all := []Figure{{Word: "Distance", Value: g.figure(g.Distance)}, {Word: "Extension", Value: g.figure(g.Extension)},
		{Word: "Depth", Value: g.depth()}, off}
	if b := r.Still.Band; b != nil {
		all = append(all, Figure{Word: "In depth", Value: strconv.Itoa(int(math.Round(b.Median))) + "\u2009%"})
	}
	if n := len(r.Warnings); n > 0 {
		all = append(all, Figure{Word: "Warned of", Value: strconv.Itoa(n)})
	}
	return all
}

// kit is the camera, the holder and what the plate is made on, as choices.
func (c Choices) kit() []Batches {
	return []Batches{{Kind: "camera", Options: c.Cameras}, {Kind: "holder", Options: c.Holders}, {Kind: "support", Options: c.Supports}}
}

// chosenWords names what is chosen in each of some choices.
func chosenWords(f shared.Form, of []Batches) string {
	var words []string
	for _, b := range of {
		for _, o := range b.Options {
			if o.Value != "" && o.Value == f.Value(b.Kind) {
				words = append(words, o.Word)
			}
		}
	}
	if len(words) == 0 {
		return "not said"
	}
	return strings.Join(words, ", ")
}

// refusedAmong tells whether something is wrong with one of these fields.
func refusedAmong(f shared.Form, names ...string) bool {
	for _, name := range names {
		if f.Problem(name) != "" {
			return true
		}
	}
	return false
}

// written is a field that says below itself, as one types, how it was read.
type written struct {
	name, label, unit, hint string
	figures                 bool
	step                    string // what an arrow key adds: see floor.js
}

// fields are those whose reading is sent with every answer.
func fields(units measure.System) []written {
	bare, distance := "mm", "a bare number is mm; 1.5 m, 5 ft 2 in"
	frame := "of the sitter; a bare number is mm; 24 in"
	if units != measure.Metric {
		bare, distance = "in", "a bare number is inches; 5 ft 2 in, 1.5 m"
		frame = "of the sitter; a bare number is inches"
	}
	return append(lightFields(), []written{
		{"size", "Plate", "", "by name or sides: half plate, whole plate lying, 165 x 216 mm", false, ""},
		{"distance", "Distance, lens to what is in focus", bare, distance, false, "length"},
		{"frame", "What fills the plate's long side", bare, frame, false, "length"},
		{"magnification", "Size of the image over the sitter's", "", "0.43, 1/3 or 1:3", false, ""},
		{"age", "Age of the child", "years", "", false, "one"},
		{"turn", "Face turned", "°", "to the photographer's right; minus to the left", false, "five"},
		{"nod", "Chin down", "°", "minus is up", false, "one"},
		{"shoulders", "Shoulders turned", "°", "as the face", false, "five"},
		{"lean", "Trunk leant forward", "°", "minus is back", false, "one"},
		{"seat", "Height of the seat", bare, "", false, "small"},
		{"below", "Camera below the eyes", bare, "left empty: the eyes a third from the top, or higher in a tall picture", false, "small"},
		{"rise", "Rise of the lens", bare, "minus is a fall", false, "small"},
		{"shift", "Shift of the lens", bare, "to your right; minus to the left", false, "small"},
		{"front_tilt", "Front tilt", "°", "the top backward; minus forward", false, "degree"},
		{"front_swing", "Front swing", "°", "its right side backward", false, "degree"},
		{"back_tilt", "Back tilt", "°", "the top backward; minus forward", false, "degree"},
		{"back_swing", "Back swing", "°", "its right side backward", false, "degree"},
		{"blur", "Largest blur called sharp", "mm", "on the plate; left empty: 0.1 mm", false, "blur"},
		{"wait", "Wait, from focusing to cap off", "s", "holder, dark slide, cap", false, "one"},
		{"room", "Depth of the room", bare, "wall to wall", false, "length"},
	}...)
}

// field returns one of the fields by its name.
func field(units measure.System, name string) written {
	for _, w := range fields(units) {
		if w.name == name {
			return w
		}
	}
	panic("floor: no field " + name)
}

// labelOf is a field's name as the form shows it.
func labelOf(units measure.System, name string) string {
	for _, w := range fields(units) {
		if w.name == name {
			return w.label
		}
	}
	if name == "" {
		return "This"
	}
	return capital(strings.ReplaceAll(name, "_", " "))
}

// data is the field for the shared part. What it says below is this screen's own, so that it can be
// sent again without the field, in which someone may be typing.
func (w written) data(f shared.Form) shared.FieldData {
	more := templ.Attributes{"aria-describedby": "said-" + w.name}
	if w.step != "" {
		more["data-step"] = w.step
	}
	if f.Problem(w.name) != "" {
		more["aria-invalid"] = "true"
	}
	return shared.FieldData{Name: w.name, Label: w.label, Value: f.Value(w.name), Unit: w.unit, Figures: w.figures, More: more}
}

// byOptions are the three ways to say how near.
func byOptions() []shared.Option {
	return []shared.Option{{Value: "distance", Word: "Distance"}, {Value: "frame", Word: "Frame"}, {Value: "magnification", Word: "Magnification"}}
}

// sizes are the plates offered at a touch, upright.
func sizes() []string {
	return []string{"quarter plate", "half plate", "5x7", "whole plate", "8x10"}
}

// others are the problems of fields that say nothing themselves below, for the head of the form.
func others(f shared.Form, units measure.System) []shared.FormProblem {
	own := map[string]bool{"lens": true, "stop": true, "by": true, "camera": true, "holder": true, "support": true, "sitting": true, "light": true, "note": true}
	for _, w := range fields(units) {
		own[w.name] = true
	}
	for _, name := range choicesOfLight {
		own[name] = true
	}
	for _, name := range []string{"body", "stands", "held", "hands", "focus_on"} {
		own[name] = true
	}
	for _, kind := range []string{"collodion", "bath", "developer", "fixer", "varnish"} {
		own[kind] = true
	}
	var rest []shared.FormProblem
	for _, p := range f.Problems {
		if !own[p.Field] {
			rest = append(rest, p)
		}
	}
	return rest
}

func oob(again bool) templ.Attributes {
	if again {
		return templ.Attributes{"hx-swap-oob": "true"}
	}
	return nil
}

// batchRefused tells whether something is wrong with the choice of a batch, which must then be in sight.
func batchRefused(f shared.Form, batches []Batches) bool {
	for _, b := range batches {
		if f.Problem(b.Kind) != "" {
			return true
		}
	}
	return false
}

func open(is bool) templ.Attributes {
	if is {
		return templ.Attributes{"open": true}
	}
	return nil
}

// movements are the fields of the standards.
func movements() []string {
	return []string{"rise", "shift", "front_tilt", "front_swing", "back_tilt", "back_swing"}
}

// ways are the choices of how the sitter is placed and held.
func ways() (stands, held, hands []shared.Option) {
	return []shared.Option{{Value: "seated", Word: "Sits"}, {Value: "standing", Word: "Stands"}},
		[]shared.Option{{Value: "", Word: "Nothing"}, {Value: "head rest", Word: "A head rest"}},
		[]shared.Option{{Value: "", Word: "Left out"}, {Value: "yes", Word: "In the picture"}}
}

// shows are the drawings a narrow place shows one of.
func shows() []shared.Option {
	return []shared.Option{{Value: "side", Word: "Side"}, {Value: "above", Word: "Above"}, {Value: "head", Word: "Head"}, {Value: "plate", Word: "Plate"}}
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
