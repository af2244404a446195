package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"platewright/internal/studio"
	"platewright/internal/web/screens/plates"
	"platewright/internal/web/shared"
	"platewright/measure"
)

// pageDevice is what an event says it came from when a form of a page recorded it.
const pageDevice = "the studio's pages"

// mostFound is how many plates a search shows.
const mostFound = 50

func (s *Server) platesRoutes() {
	s.handle("GET /plates", s.plateStore)
	s.handle("GET /plates/{number}", s.plateSheet)
	s.handle("POST /plates/{number}/verdict", s.judge)
	s.handle("POST /plates/{number}/marks", s.mark)
	s.handle("POST /plates/{number}/notes", s.note)
	s.handle("POST /plates/{number}/moves", s.move)
	s.handle("POST /plates/{number}/corrections", s.correct)
	s.handle("POST /plates/{number}/steps", s.addStep)
	s.handle("GET /plates/{number}/passport.pdf", s.passport)
	s.handle("GET /plates/{number}/copies/{k}/{what}", s.copyPicture)
}

// habits are the studio's units and place, for the screens.
func (s *Server) habits(r *http.Request) (plates.Habits, error) {
	sys, err := s.system(r)
	return plates.Habits{Units: sys, Location: s.cfg.Location}, err
}

// plateFilters are the states the list can be narrowed to; the state "open" is any plate in hand.
var plateFilters = []struct{ state, word string }{
	{"", "All"}, {"planned", "Planned"}, {"open", "In hand"}, {string(studio.Varnished), "To judge"},
	{string(studio.Keep), "Keep"}, {string(studio.Redo), "Redo"}, {string(studio.Reject), "Reject"},
}

// openState is the list's word for plates neither judged nor at their last step.
const openState = "open"

// plateStates are the states an address may ask for.
func plateStates() []string {
	states := []string{"", "planned", openState, string(studio.Keep), string(studio.Redo), string(studio.Reject)}
	for _, step := range studio.Steps(studio.Plan{}, studio.CommonTargets()) {
		states = append(states, string(step.Event))
	}
	return states
}

// plateStore answers GET /plates. A plate's whole number leads straight to the plate.
func (s *Server) plateStore(w http.ResponseWriter, r *http.Request) error {
	query := r.URL.Query()
	words := strings.TrimSpace(query.Get("words"))
	if words == "" {
		words = strings.TrimSpace(query.Get("q"))
	}
	list := plates.List{Words: words, State: query.Get("state")}
	if !slices.Contains(plateStates(), list.State) {
		return &problem{status: http.StatusUnprocessableEntity, title: "No such state",
			what: "state: " + quoted(list.State) + " is not one a plate can be in", hint: "Choose one of those above the list."}
	}
	for _, f := range plateFilters {
		list.Filters = append(list.Filters, plates.Filter{Word: f.word, Href: platesAt("words", words, "state", f.state), Here: f.state == list.State})
	}
	h, err := s.habits(r)
	if err != nil {
		return err
	}
	if words == "" {
		err = s.listPlates(r, &list, h)
	} else {
		if n, parseErr := studio.ParseNumber(words); parseErr == nil {
			if _, err := s.cfg.Studio.Plate(r.Context(), n); err == nil {
				http.Redirect(w, r, shared.PlateStore.Path()+"/"+n.String(), http.StatusSeeOther)
				return nil
			} else if !errors.Is(err, studio.ErrNotFound) {
				return err
			}
		}
		err = s.findPlates(r.Context(), &list, h)
	}
	if err != nil {
		return err
	}
	return s.show(w, r, shared.PageData{Room: shared.PlateStore, Title: "Plate store", Styles: []string{"plates.css"}}, plates.Store(list))
}

// platesAt is the address of the list with what is not empty of these pairs.
func platesAt(pairs ...string) string {
	q := url.Values{}
	for i := 0; i+1 < len(pairs); i += 2 {
		if pairs[i+1] != "" {
			q.Set(pairs[i], pairs[i+1])
		}
	}
	if len(q) == 0 {
		return shared.PlateStore.Path()
	}
	return shared.PlateStore.Path() + "?" + q.Encode()
}

// listPlates fills a page of the list.
func (s *Server) listPlates(r *http.Request, list *plates.List, h plates.Habits) error {
	filter := studio.PlateFilter{State: list.State}
	if list.State == openState {
		filter.State, filter.Open = "", true
	}
	if below := r.URL.Query().Get("below"); below != "" {
		n, err := studio.ParseNumber(below)
		if err != nil {
			return &problem{status: http.StatusUnprocessableEntity, title: "No such place", what: "below: " + err.Error()}
		}
		filter.Below = n
		list.Newest = platesAt("state", list.State)
	}
	page, err := s.cfg.Studio.Plates(r.Context(), filter)
	if err != nil {
		return err
	}
	for _, row := range page.Rows {
		list.Rows = append(list.Rows, plates.RowOf(row, h))
	}
	if page.More {
		list.Older = platesAt("state", list.State, "below", page.Rows[len(page.Rows)-1].Number.String())
	}
	return nil
}

// findPlates fills the list with what its words find.
func (s *Server) findPlates(ctx context.Context, list *plates.List, h plates.Habits) error {
	hits, err := s.cfg.Studio.Search(ctx, studio.Query{Words: list.Words, Kinds: []string{"sitter", "sitting"}, Most: 12})
	if err != nil {
		return err
	}
	for _, hit := range hits {
		list.Others = append(list.Others, plates.Other{Kind: hit.Kind, Title: hit.Title, Snippet: hit.Snippet, Href: shared.Desk.Path() + "/" + hit.Kind + "s/" + url.PathEscape(hit.Ref)})
	}
	words := list.Words
	if list.State != openState {
		words += " " + list.State // a plate is found by its state too
	}
	hits, err = s.cfg.Studio.Search(ctx, studio.Query{Words: words, Kinds: []string{"plate"}, Most: 200})
	if err != nil {
		return err
	}
	var numbers []studio.Number
	for _, hit := range hits {
		n, err := studio.ParseNumber(hit.Ref)
		if err != nil {
			return err
		}
		numbers = append(numbers, n)
	}
	if len(numbers) == 0 {
		return nil
	}
	page, err := s.cfg.Studio.Plates(ctx, studio.PlateFilter{Numbers: numbers, Most: len(numbers)})
	if err != nil {
		return err
	}
	rows := make(map[studio.Number]studio.PlateRow, len(page.Rows))
	for _, row := range page.Rows {
		rows[row.Number] = row
	}
	for _, n := range numbers { // best first, as the search gave them
		row, ok := rows[n]
		if !ok || list.State == openState && (row.Verdict != nil || row.Next == "") || list.State != "" && list.State != openState && row.State() != list.State {
			continue
		}
		if len(list.Rows) == mostFound {
			list.Cut = mostFound
			break
		}
		list.Rows = append(list.Rows, plates.RowOf(row, h))
	}
	return nil
}

// storyOf is the plate an address names.
func (s *Server) storyOf(r *http.Request) (studio.Story, error) {
	n, err := numberOf(r)
	if err != nil {
		return studio.Story{}, err
	}
	return s.cfg.Studio.Plate(r.Context(), n)
}

// plateSheet answers GET /plates/{number}.
func (s *Server) plateSheet(w http.ResponseWriter, r *http.Request) error {
	story, err := s.storyOf(r)
	if err != nil {
		return err
	}
	ids, forms := plates.IDs{}, plates.Forms{}
	if step, ok := standingStep(story, studio.ID(r.URL.Query().Get("correct"))); ok {
		ids.Corrects, forms.Correct = step.ID, shared.NewForm(s.stepTyped(step))
	}
	return s.showSheet(w, r, http.StatusOK, story, forms, ids)
}

// showSheet shows a plate with its forms as they were typed and the ids they were made with.
func (s *Server) showSheet(w http.ResponseWriter, r *http.Request, status int, story studio.Story, forms plates.Forms, ids plates.IDs) error {
	h, err := s.habits(r)
	if err != nil {
		return err
	}
	known, err := s.known(r.Context(), story.Plan)
	if err != nil {
		return err
	}
	sheet := plates.SheetOf(story, known, h)
	sheet.Forms = forms
	for _, id := range []struct {
		to    *string
		typed string
	}{{&sheet.IDs.Verdict, ids.Verdict}, {&sheet.IDs.Mark, ids.Mark}, {&sheet.IDs.Note, ids.Note}, {&sheet.IDs.Move, ids.Move}, {&sheet.IDs.Correct, ids.Correct}, {&sheet.IDs.Step, ids.Step}} {
		if id.typed != "" {
			*id.to = id.typed
		}
	}
	if step, ok := standingStep(story, ids.Corrects); ok {
		sheet.Correcting = plates.CorrectingOf(step, h)
	}
	if filed := r.URL.Query().Get("filed"); r.Method == http.MethodGet && filed != "" {
		for _, c := range sheet.Copies {
			if strconv.Itoa(c.K) == filed {
				sheet.Told = c.Odd
			}
		}
	}
	page := shared.PageData{Room: shared.PlateStore, Title: "Plate " + story.Number.String(), Lead: lead(story, h),
		Slip: s.plateSlip(r.Context(), story), Styles: []string{"plates.css"}, Scripts: []string{"plates.js"}}
	return s.showStatus(w, r, status, page, plates.Plate(sheet))
}

// lead is the sentence under a plate's number.
func lead(story studio.Story, h plates.Habits) string {
	var parts []string
	if story.Sitter != nil {
		parts = append(parts, story.Sitter.Name)
	}
	parts = append(parts, measure.Thin(sizeText(story.Plan.Size, h.Units)))
	if !story.PouredAt.IsZero() {
		parts = append(parts, "poured "+dayText(story.PouredAt.In(h.Location)))
	} else {
		parts = append(parts, "planned, not poured")
	}
	return strings.Join(parts, "; ")
}

// known looks up what a plate's plan names.
func (s *Server) known(ctx context.Context, plan studio.Plan) (plates.Known, error) {
	k := plates.Known{NewID: s.cfg.Studio.NewID}
	for _, look := range []struct {
		id   studio.ID
		find func() error
	}{
		{plan.Lens, func() error { l, err := s.cfg.Studio.Lens(ctx, plan.Lens); k.Lens = l.Name; return err }},
		{plan.Camera, func() error { c, err := s.cfg.Studio.Camera(ctx, plan.Camera); k.Camera = c.Name; return err }},
		{plan.Holder, func() error { h, err := s.cfg.Studio.Holder(ctx, plan.Holder); k.Holder = h.Name; return err }},
	} {
		if look.id == "" {
			continue
		}
		if err := look.find(); err != nil {
			return k, fmt.Errorf("plan: %w", err)
		}
	}
	for _, id := range []studio.ID{plan.Collodion, plan.Bath, plan.Developer, plan.Fixer, plan.Varnish} {
		if id == "" {
			continue
		}
		b, err := s.cfg.Studio.Batch(ctx, id)
		if err != nil {
			return k, fmt.Errorf("plan: %w", err)
		}
		k.Batches = append(k.Batches, b)
	}
	return k, nil
}

// recordForm records what a form of the plate's page says, and leads back to the page. A form that
// cannot be taken comes back as it was typed, laid into the page by back.
func (s *Server) recordForm(w http.ResponseWriter, r *http.Request, names map[string]string,
	fill func(*form) studio.Event, back func(shared.Form, string) (plates.Forms, plates.IDs)) error {
	story, err := s.storyOf(r)
	if err != nil {
		return err
	}
	f, err := s.readForm(r)
	if err != nil {
		return err
	}
	e := fill(f)
	e.ID, e.At, e.Device = f.id("id"), s.cfg.Clock(), pageDevice
	if f.OK() {
		if _, err := s.cfg.Studio.Record(r.Context(), story.Number, e); err == nil {
			http.Redirect(w, r, shared.PlateStore.Path()+"/"+story.Number.String(), http.StatusSeeOther)
			return nil
		} else if err := f.take(err, names); err != nil {
			return err
		}
	}
	forms, ids := back(f.Form, f.text("id"))
	return s.showSheet(w, r, http.StatusUnprocessableEntity, story, forms, ids)
}

// judge answers POST /plates/{number}/verdict.
func (s *Server) judge(w http.ResponseWriter, r *http.Request) error {
	return s.recordForm(w, r, map[string]string{"verdict": "word", "kind": "word"}, func(f *form) studio.Event {
		f.Choices["word"], f.Choices["fate"] = true, true
		f.need("word", "choose one of the seven words")
		f.need("fate", "choose keep, redo or reject")
		v := studio.Verdict{Word: f.count("word"), Fate: studio.Fate(f.text("fate")), Say: f.text("say")}
		return studio.Event{Kind: studio.Judged, Detail: studio.Detail{Verdict: &v}}
	}, func(f shared.Form, id string) (plates.Forms, plates.IDs) {
		return plates.Forms{Verdict: f}, plates.IDs{Verdict: id}
	})
}

// mark answers POST /plates/{number}/marks. A place seen on the true view is kept as the plate
// itself shows it.
func (s *Server) mark(w http.ResponseWriter, r *http.Request) error {
	return s.recordForm(w, r, map[string]string{"kind": "appearance"}, func(f *form) studio.Event {
		f.Choices["appearance"] = true
		f.need("appearance", "choose what it looks like")
		f.need("x_pct", "tap the plate, or write the hundredths from the left edge")
		f.need("y_pct", "tap the plate, or write the hundredths from the upper edge")
		m := studio.Mark{Appearance: f.text("appearance"), XPct: f.hundredths("x_pct"), YPct: f.hundredths("y_pct"), Say: f.text("say")}
		if f.text("appearance") == "other" {
			f.need("say", "say in words what it looks like")
		}
		// Looked over here and not only by the studio, since turning would change the figure it names.
		if err := measure.Within("place across", m.XPct, 0, 100, "%"); err != nil {
			f.refuse("x_pct", "%v", err)
		}
		if err := measure.Within("place down", m.YPct, 0, 100, "%"); err != nil {
			f.refuse("y_pct", "%v", err)
		}
		if f.text("seen") == "true view" {
			m.XPct = plates.OnView(m.XPct)
		}
		return studio.Event{Kind: studio.Marked, Detail: studio.Detail{Mark: &m}}
	}, func(f shared.Form, id string) (plates.Forms, plates.IDs) {
		return plates.Forms{Mark: f}, plates.IDs{Mark: id}
	})
}

// hundredths is a number of hundredths, with the sign for them or without: 40, 40 %.
func (f *form) hundredths(name string) float64 {
	return read(f, name, func(s string) (float64, error) {
		return measure.ParseNumber(strings.TrimSpace(strings.TrimSuffix(s, "%")))
	}, func(float64) string { return "" })
}

// note answers POST /plates/{number}/notes.
func (s *Server) note(w http.ResponseWriter, r *http.Request) error {
	return s.recordForm(w, r, nil, func(f *form) studio.Event {
		f.need("words", "write what should be known of this plate")
		return studio.Event{Kind: studio.Noted, Detail: studio.Detail{Words: f.text("words")}}
	}, func(f shared.Form, id string) (plates.Forms, plates.IDs) {
		return plates.Forms{Note: f}, plates.IDs{Note: id}
	})
}

// move answers POST /plates/{number}/moves.
func (s *Server) move(w http.ResponseWriter, r *http.Request) error {
	return s.recordForm(w, r, map[string]string{"kind": "place"}, func(f *form) studio.Event {
		f.need("place", "write where the plate goes")
		kind := studio.Moved
		if f.checked("delivered") {
			kind = studio.Delivered
		}
		return studio.Event{Kind: kind, Detail: studio.Detail{Place: f.text("place")}}
	}, func(f shared.Form, id string) (plates.Forms, plates.IDs) {
		return plates.Forms{Move: f}, plates.IDs{Move: id}
	})
}
