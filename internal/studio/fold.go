package studio

import (
	"strings"
	"time"
)

// Summary is what a plate's events come to: everything a list or the clock shows.
type Summary struct {
	Last     EventKind // the furthest step taken; empty for a plate only planned
	Next     EventKind // the step to take now; empty when the last one is taken
	PouredAt time.Time // zero before the pour
	ChangeAt time.Time // when the last event happened; zero when there is none
	Verdict  *Verdict
	Marks    []Mark
	Copies   []Copy
	Place    string // where it was last moved or delivered to
	Done     int    // events that stand
}

// Thumb names the picture a list shows, empty when the plate was never copied.
func (s Summary) Thumb() string {
	if len(s.Copies) == 0 {
		return ""
	}
	return s.Copies[len(s.Copies)-1].Thumb
}

// State is the plate's state in words.
func (s Summary) State() string {
	switch {
	case s.Verdict != nil:
		return string(s.Verdict.Fate)
	case s.Last == "":
		return "planned"
	default:
		return string(s.Last)
	}
}

// Stands returns the events that hold after all corrections, in the order received: what was
// voided is left out, what was corrected has its later time and detail. Corrections themselves are
// left out too. The last correction of an event is the one that counts; one that says nothing, which
// [Studio.Record] would have refused, counts for nothing.
func Stands(events []Event) []Event {
	correction := make(map[ID]Event)
	for _, e := range events {
		if e.Kind == Corrected && (e.Detail.Void || e.Detail.Instead != nil) {
			correction[e.Corrects] = e
		}
	}
	standing := make([]Event, 0, len(events))
	for _, e := range events {
		if e.Kind == Corrected {
			continue
		}
		if c, ok := correction[e.ID]; ok {
			if c.Detail.Void {
				continue
			}
			e.At, e.Detail = c.Detail.Instead.At, c.Detail.Instead.Detail
		}
		standing = append(standing, e)
	}
	return standing
}

// Fold sums up a plate's events. They are given in the order they were received.
func Fold(events []Event) Summary {
	var s Summary
	furthest := -1
	for _, e := range Stands(events) {
		s.Done++
		if e.At.After(s.ChangeAt) {
			s.ChangeAt = e.At
		}
		switch e.Kind {
		case Poured:
			s.PouredAt = e.At
		case Judged:
			s.Verdict = e.Detail.Verdict
		case Marked:
			if e.Detail.Mark != nil {
				s.Marks = append(s.Marks, *e.Detail.Mark)
			}
		case Copied:
			if e.Detail.Copy != nil {
				s.Copies = append(s.Copies, *e.Detail.Copy)
			}
		case Moved, Delivered:
			s.Place = e.Detail.Place
		}
		furthest = max(furthest, e.Kind.step())
	}
	if furthest >= 0 {
		s.Last = stepOrder[furthest]
	}
	if furthest+1 < len(stepOrder) {
		s.Next = stepOrder[furthest+1]
	}
	return s
}

// standing returns the event of that kind that stands, if there is one.
func standing(events []Event, kind EventKind) (Event, bool) {
	all := Stands(events)
	for i := len(all) - 1; i >= 0; i-- {
		if all[i].Kind == kind {
			return all[i], true
		}
	}
	return Event{}, false
}

// words gathers everything a search should find a plate by.
func (st Story) words(names ...string) string {
	parts := []string{st.Number.String(), st.Plan.Size.Name, string(st.Plan.Support), st.Plan.Light, st.Plan.Note, st.State(), st.Place}
	parts = append(parts, names...)
	if v := st.Verdict; v != nil {
		parts = append(parts, VerdictWord(v.Word), v.Say)
	}
	for _, m := range st.Marks {
		parts = append(parts, m.Appearance, m.Say)
	}
	for _, e := range Stands(st.Events) {
		parts = append(parts, e.Detail.Words)
	}
	return tidy(strings.Join(parts, " "))
}
