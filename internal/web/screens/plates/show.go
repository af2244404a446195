package plates

import (
	"context"
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/a-h/templ"

	"platewright/internal/web/shared"
)

func capital(s string) string {
	if s == "" {
		return ""
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// quietKeys keeps a phone's lit keys away in red light.
func quietKeys(ctx context.Context) templ.Attributes {
	if shared.LightOf(ctx) == shared.Red {
		return templ.Attributes{"inputmode": "none"}
	}
	return nil
}

// nothing is what an empty list says.
func (l List) nothing() string {
	switch {
	case l.Words != "":
		return fmt.Sprintf("No plate has “%s” among its words.", l.Words)
	case l.State != "" || l.Newest != "":
		return "No plate is here."
	default:
		return "No plate yet. A plate is begun on the floor, from a sitting at the desk."
	}
}

// refusal is one field that cannot be taken: its word, where it stands and what is wrong.
type refusal struct{ word, at, sentence string }

// refused gathers what is wrong with whichever form was sent.
func (s Sheet) refused() []refusal {
	words := map[string]refusal{
		"word": {word: "How light it is", at: "c-word-0"}, "fate": {word: "What becomes of it", at: "c-fate-0"}, "say": {word: "In words", at: "f-say"},
		"appearance": {word: "What it looks like", at: "c-appearance-0"}, "x_pct": {word: "From the left edge", at: "f-x_pct"}, "y_pct": {word: "From the upper edge", at: "f-y_pct"},
		"at": {word: "When it was done", at: "f-at"}, "seconds": {word: "Seconds the cap was off", at: "f-seconds"}, "first_image": {word: "Seconds to the first image", at: "f-first_image"},
		"temperature": {word: "Temperature", at: "f-temperature"}, "kind": {word: "The step", at: "c-kind-0"},
		"words": {word: "The note", at: "f-words"}, "place": {word: "The place", at: "f-place"},
	}
	var all []refusal
	for _, f := range []shared.Form{s.Forms.Verdict, s.Forms.Mark, s.Forms.Note, s.Forms.Move, s.Forms.Correct, s.Forms.Step} {
		for _, p := range f.Problems {
			r, ok := words[p.Field]
			if !ok {
				r = refusal{word: "The form", at: "work"}
			}
			if p.Field == "say" && !s.Forms.Mark.OK() {
				r.at = "mark-say"
			}
			r.sentence = p.Sentence
			all = append(all, r)
		}
	}
	return all
}

// saidWrong ties the mark's words to what is wrong with them.
func (s Sheet) saidWrong() templ.Attributes {
	if s.Forms.Mark.Problem("say") == "" {
		return nil
	}
	return templ.Attributes{"aria-invalid": "true", "aria-describedby": "mark-say-error"}
}

func (s Sheet) to(what string) templ.SafeURL {
	if what != "" && what[0] != '?' {
		what = "/" + what
	}
	return templ.SafeURL(shared.PlateStore.Path() + "/" + s.Number + what)
}

func (s Sheet) passport(paper string) templ.SafeURL {
	return s.to("passport.pdf?paper=" + url.QueryEscape(paper))
}

// card is the address of the plate's set-up card.
func (s Sheet) card(paper string) templ.SafeURL {
	return s.to("card.pdf?paper=" + url.QueryEscape(paper))
}

// overlayHeight is how high the outline is when it is 1000 broad.
func (s Sheet) overlayHeight() float64 {
	if s.View != nil {
		return 1000 * float64(s.View.Height) / float64(s.View.Width)
	}
	return 1000 * s.OutlineHeight / s.OutlineWidth
}

// overlayWords say what the outline shows.
func (s Sheet) overlayWords() string {
	if len(s.Marks) == 0 {
		return "Outline of the plate, no marks"
	}
	var each []string
	for _, m := range s.Marks {
		each = append(each, m.Appearance+" "+s.place(m))
	}
	return "Outline of the plate with its marks: " + strings.Join(each, "; ")
}

// place is where a mark is, in words, on the picture shown.
func (s Sheet) place(m Mark) string {
	return fmt.Sprintf("%.0f\u2009%% from the left, %.0f\u2009%% from above", m.X, m.Y)
}

func (s Sheet) at(xPct, yPct float64) string {
	return "translate(" + px(xPct*10) + " " + px(yPct/100*s.overlayHeight()) + ")"
}

// chosen is where the place typed is, for the cross; without one the cross is not drawn.
func (s Sheet) chosen() templ.Attributes {
	plain := func(name string) string {
		return strings.Replace(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(s.Forms.Mark.Value(name)), "%")), ",", ".", 1)
	}
	x, errX := strconv.ParseFloat(plain("x_pct"), 64)
	y, errY := strconv.ParseFloat(plain("y_pct"), 64)
	if errX != nil || errY != nil || !(0 <= x && x <= 100 && 0 <= y && y <= 100) {
		return templ.Attributes{"visibility": "hidden"}
	}
	return templ.Attributes{"transform": s.at(x, y)}
}

// A mark's number stands beside it, on the side where there is room.
func (m Mark) textAt() float64 {
	if m.X > 85 {
		return -36
	}
	return 36
}

func (m Mark) anchor() string {
	if m.X > 85 {
		return "end"
	}
	return "start"
}

// tapWords say where the place is measured.
func (s Sheet) tapWords() string {
	if s.View != nil {
		return "Tap the picture where it is, or measure it on the picture as it stands here. The picture is taken to show the plate edge to edge; it is filed with the plate's own left and right."
	}
	return "Tap the outline where it is, or measure it on the plate as it lies before you."
}

// faults are the names offered; one typed otherwise stays among them.
func faults(chosen string) []shared.Option {
	var all []shared.Option
	for _, f := range Faults() {
		all = append(all, shared.Option{Value: f, Word: capital(f)})
	}
	if chosen != "" && chosen != "other" && !slices.Contains(Faults(), chosen) {
		all = append(all, shared.Option{Value: chosen, Word: capital(chosen)})
	}
	return append(all, shared.Option{Value: "other", Word: "Other, in words"})
}
