package paper_test

import (
	"bytes"
	"testing"
	"time"

	"platewright/internal/paper"
	"platewright/internal/studio"
	"platewright/measure"
)

// A plate's records come onto the sheet word for word, and the sheet is one that can be printed.
func TestPageOf(t *testing.T) {
	at := time.Date(2026, 5, 14, 23, 30, 0, 0, time.FixedZone("two hours east", 7200))
	event := func(kind studio.EventKind, after time.Duration, d studio.Detail) studio.Event {
		return studio.Event{ID: studio.ID("event-" + string(kind)), Kind: kind, At: at.Add(after), By: "Odile Marchetti", Detail: d}
	}
	events := []studio.Event{
		event(studio.Poured, 0, studio.Detail{}),
		event(studio.Exposed, 5*time.Minute, studio.Detail{ExposureS: 2.5}),
		event(studio.Judged, time.Hour, studio.Detail{Verdict: &studio.Verdict{Word: 0, Fate: studio.Keep, Say: "soft at the collar"}}),
		event(studio.Noted, 2*time.Hour, studio.Detail{Words: "Pour edge left uncut"}),
		event(studio.Copied, 3*time.Hour, studio.Detail{Copy: &studio.Copy{Original: "o", TrueView: "t", WidthPx: 800, HeightPx: 600}}),
	}
	for i, x := range []float64{10, 60} {
		e := event(studio.Marked, time.Hour, studio.Detail{Mark: &studio.Mark{Appearance: "comet", XPct: x, YPct: 20}})
		e.ID += studio.ID(rune('a' + i))
		events = append(events, e)
	}
	facts := studio.PassportFacts{
		Studio: studio.Profile{Name: "Atelier at the Lock", Place: "Lower Mill"},
		Story: studio.Story{Plate: studio.Plate{Number: studio.Number{Year: 2026, Serial: 147}, Plan: studio.Plan{
			Size: measure.PlateSize{Name: "half plate", Width: 4.25 * measure.Inch, Height: 5.5 * measure.Inch}, Support: studio.BlackMetal,
			Stop: studio.Stop{Name: "full opening", FNumber: 3.8}, Exposure: 4 * time.Second, Light: "north window",
		}}, Events: events, Summary: studio.Fold(events), Sitter: &studio.Sitter{Name: "Ottilie Brandt"}},
		Lens:      &studio.Lens{Name: "Number 5"},
		Collodion: &studio.Batch{Name: "Collodion 7", RecipeName: "Oxney no. 2"},
		Bath:      &studio.Batch{Name: "Bath A", RecipeName: "silver bath of 45 grains"},
		Developer: &studio.Batch{Name: "Iron developer 12", RecipeName: "iron developer"},
		Varnish:   &studio.Batch{Name: "Varnish 2"},
		Picture:   shaded(t, 800, 600),
	}
	facts.Story.PouredAt = facts.Story.PouredAt.In(at.Location())
	page := paper.PageOf(facts, "letter")
	for _, line := range []struct{ what, got, want string }{
		{"number", page.Number, "26-0147"},
		{"studio", page.Studio, "Atelier at the Lock"},
		{"place", page.Place, "Lower Mill"},
		{"day, in the zone of the pour", page.Made, "14 May 2026"},
		{"support", page.Support, "blackened metal"},
		{"lens", page.Lens, "Number 5"},
		{"stop", page.Stop, "full opening"},
		{"seconds given, not those planned", page.Exposure, "2.5\u2009s, north window"},
		{"collodion with its recipe", page.Collodion, "Collodion 7, Oxney no. 2"},
		{"bath", page.Bath, "Bath A, silver bath of 45 grains"},
		{"developer, its recipe said by its name", page.Developer, "Iron developer 12"},
		{"fixer, none chosen", page.Fixer, ""},
		{"varnish, chosen but not yet on the plate", page.Varnish, ""},
		{"hand", page.Hand, "Odile Marchetti"},
		{"verdict", page.Verdict, "right; soft at the collar"},
		{"notes", page.Notes, "Pour edge left uncut. Marks: comet (2)."},
		{"sitter, no leave recorded", page.Sitter, ""},
	} {
		if line.got != line.want {
			t.Errorf("%s: %q, want %q", line.what, line.got, line.want)
		}
	}
	if page.Sheet != paper.Letter {
		t.Error("letter paper was asked for")
	}
	if page.Width != 4.25*measure.Inch || page.Height != 5.5*measure.Inch {
		t.Errorf("the plate is %v by %v, want its own sides though its photograph lies", page.Width, page.Height)
	}
	if !page.Printed.Equal(at.Add(3 * time.Hour)) {
		t.Errorf("dated %v, want the time of the last event", page.Printed)
	}
	var pdf bytes.Buffer
	if err := paper.Passport(&pdf, page); err != nil {
		t.Fatal(err)
	}
	if !bytes.HasPrefix(pdf.Bytes(), []byte("%PDF-")) {
		t.Errorf("begins with %q", pdf.Bytes()[:8])
	}
	if sheet := paper.PageOf(facts, "a4").Sheet; sheet != paper.A4 {
		t.Errorf("a4 gives sheet %d", sheet)
	}
}
