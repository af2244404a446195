package studio

import (
	"context"
	"errors"
	"fmt"
)

// PlanPlate begins a plate: it gets the next number of the year and the plan it is meant to be
// made by.
func (s *Studio) PlanPlate(ctx context.Context, plan Plan) (Plate, error) {
	return s.PlanPlateOnce(ctx, "", plan)
}

// PlanPlateOnce is PlanPlate with an id that was made with the form: a plate that has it already is
// returned as it is, so that a form sent twice uses up one number. An empty id is always new.
func (s *Studio) PlanPlateOnce(ctx context.Context, id ID, plan Plan) (Plate, error) {
	if id != "" && !idForm.MatchString(string(id)) {
		return Plate{}, &Invalid{Problems: []Problem{{Field: "id", Sentence: fmt.Sprintf("%q is not 8 to 64 letters, figures, dashes or underscores", id)}}}
	}
	if id != "" {
		if p, err := s.records.PlateByID(ctx, id); !errors.Is(err, ErrNotFound) {
			return p, err
		}
	}
	if err := s.checkPlan(ctx, &plan); err != nil {
		return Plate{}, err
	}
	p := Plate{ID: id, Plan: plan}
	s.fresh(&p.ID, &p.Stamp)
	p.Number.Year = p.Created.Year()
	names, err := s.namesFor(ctx, plan)
	if err != nil {
		return Plate{}, err
	}
	added, err := s.records.AddPlate(ctx, p, func(n Number) string {
		p.Number = n
		return Story{Plate: p, Summary: Fold(nil)}.words(names...)
	})
	if id != "" && errors.Is(err, ErrConflict) { // the same form was quicker
		return s.records.PlateByID(ctx, id)
	}
	return added, err
}

// ChangePlan changes how a plate is meant to be made. Once it is poured the plan stands, and what
// was done otherwise belongs into its events.
func (s *Studio) ChangePlan(ctx context.Context, p Plate) (Plate, error) {
	if err := s.checkPlan(ctx, &p.Plan); err != nil {
		return Plate{}, err
	}
	s.renew(&p.Stamp)
	names, err := s.namesFor(ctx, p.Plan)
	if err != nil {
		return Plate{}, err
	}
	return p, s.records.ChangePlate(ctx, p, func(events []Event) (string, error) {
		summary := Fold(events)
		if summary.Last != "" {
			return "", &Invalid{Problems: []Problem{{Field: "plan",
				Sentence: "plate " + p.Number.String() + " is poured, so its plan stands",
				Hint:     "record what was done otherwise as a note on the plate"}}}
		}
		return Story{Plate: p, Events: events, Summary: summary}.words(names...), nil
	})
}

func (s *Studio) checkPlan(ctx context.Context, plan *Plan) error {
	if plan.Support == "" {
		plan.Support = BlackMetal
	}
	plan.Light, plan.Stop.Name = tidy(plan.Light), tidy(plan.Stop.Name)
	if err := plan.check(); err != nil {
		return err
	}
	var ps problems
	known := func(field string, id ID, find func() error) error {
		if id == "" {
			return nil
		}
		err := find()
		if errors.Is(err, ErrNotFound) {
			ps.add(field, "is not among the studio's records")
			return nil
		}
		return err
	}
	batch := func(field string, id ID, kind string) error {
		return known(field, id, func() error {
			b, err := s.records.Batches().Find(ctx, id)
			if err == nil && b.Kind != kind {
				ps.add(field, "%s is a %s, not a %s", b.Name, b.Kind, kind)
			}
			return err
		})
	}
	err := errors.Join(
		known("sitting", plan.Sitting, func() error { _, err := s.records.Sittings().Find(ctx, plan.Sitting); return err }),
		known("lens", plan.Lens, func() error { _, err := s.records.Lenses().Find(ctx, plan.Lens); return err }),
		known("camera", plan.Camera, func() error { _, err := s.records.Cameras().Find(ctx, plan.Camera); return err }),
		known("holder", plan.Holder, func() error { _, err := s.records.Holders().Find(ctx, plan.Holder); return err }),
		batch("collodion", plan.Collodion, "collodion"),
		batch("bath", plan.Bath, "bath"),
		batch("developer", plan.Developer, "developer"),
		batch("fixer", plan.Fixer, "fixer"),
		batch("varnish", plan.Varnish, "varnish"),
		s.lightingKnown(ctx, &ps, plan.Lighting),
	)
	if err != nil {
		return err
	}
	return ps.err()
}

// namesFor returns the names a plate of this plan should be found by.
func (s *Studio) namesFor(ctx context.Context, plan Plan) ([]string, error) {
	var names []string
	if plan.Sitting != "" {
		sitting, err := s.records.Sittings().Find(ctx, plan.Sitting)
		if err != nil {
			return nil, err
		}
		sitter, err := s.records.Sitters().Find(ctx, sitting.Sitter)
		if err != nil {
			return nil, err
		}
		names = append(names, sitter.Name, sitting.Purpose)
	}
	if plan.Lens != "" {
		lens, err := s.records.Lenses().Find(ctx, plan.Lens)
		if err != nil {
			return nil, err
		}
		names = append(names, lens.Name)
	}
	for _, id := range []ID{plan.Collodion, plan.Bath, plan.Developer, plan.Varnish} {
		if id == "" {
			continue
		}
		b, err := s.records.Batches().Find(ctx, id)
		if err != nil {
			return nil, err
		}
		names = append(names, b.Name)
	}
	return names, nil
}

// Plate returns a plate's whole story by its number.
func (s *Studio) Plate(ctx context.Context, n Number) (Story, error) {
	p, err := s.records.Plate(ctx, n)
	if err != nil {
		return Story{}, err
	}
	return s.story(ctx, p)
}

func (s *Studio) story(ctx context.Context, p Plate) (Story, error) {
	events, err := s.records.Events(ctx, p.ID)
	if err != nil {
		return Story{}, err
	}
	st := Story{Plate: p, Events: events, Summary: Fold(events)}
	if p.Plan.Sitting == "" {
		return st, nil
	}
	sitting, err := s.records.Sittings().Find(ctx, p.Plan.Sitting)
	if err != nil {
		return Story{}, err
	}
	sitter, err := s.records.Sitters().Find(ctx, sitting.Sitter)
	if err != nil {
		return Story{}, err
	}
	st.Sitting, st.Sitter = &sitting, &sitter
	return st, nil
}

// Plates returns a page of plates, newest number first.
func (s *Studio) Plates(ctx context.Context, f PlateFilter) (PlatePage, error) {
	if f.Most <= 0 {
		f.Most = 50
	}
	f.Most = min(f.Most, 500)
	if len(f.Numbers) > 500 {
		return PlatePage{}, &Invalid{Problems: []Problem{{Field: "numbers", Sentence: fmt.Sprintf("%d plates are more than the 500 asked for at once", len(f.Numbers))}}}
	}
	return s.records.Plates(ctx, f)
}

// Record adds an event to the plate with that number and returns the plate's story with it. An
// event whose id is known already changes nothing and is no error, so that a device may hand over
// what it kept as often as it likes. A step that stands already gives [*AlreadyDone].
func (s *Studio) Record(ctx context.Context, n Number, e Event) (Story, error) {
	p, err := s.records.Plate(ctx, n)
	if err != nil {
		return Story{}, err
	}
	e.Plate, e.Received = p.ID, s.now()
	e.At, e.Device, e.By = e.At.UTC(), tidy(e.Device), tidy(e.By)
	if e.Detail.Instead != nil {
		instead := *e.Detail.Instead
		instead.At = instead.At.UTC()
		e.Detail.Instead = &instead
	}
	if err := e.check(); err != nil {
		return Story{}, err
	}
	names, err := s.namesFor(ctx, p.Plan)
	if err != nil {
		return Story{}, err
	}
	_, err = s.records.Append(ctx, e, func(events []Event) (Summary, string, error) {
		if err := admit(p, events[:len(events)-1], e); err != nil {
			return Summary{}, "", err
		}
		story := Story{Plate: p, Events: events, Summary: Fold(events)}
		return story.Summary, story.words(names...), nil
	})
	if err != nil {
		return Story{}, err
	}
	return s.story(ctx, p)
}

// admit says whether e may follow the events before it.
func admit(p Plate, before []Event, e Event) error {
	refuse := func(field, sentence string) error {
		return &Invalid{Problems: []Problem{{Field: field, Sentence: sentence}}}
	}
	if e.Kind == Corrected {
		for _, old := range before {
			if old.ID != e.Corrects {
				continue
			}
			if old.Kind == Corrected {
				return refuse("corrects", "names a correction; correct the event itself once more")
			}
			if e.Detail.Void {
				return nil
			}
			if old.Kind == Copied {
				return refuse("instead", "a copy is not rewritten; void it and file its photograph again")
			}
			// An event once taken back does not come back beside the one that took its place.
			if done, ok := standing(before, old.Kind); ok && done.ID != old.ID && old.Kind.step() >= 0 {
				return &AlreadyDone{Number: p.Number.String(), Kind: old.Kind, At: done.At, Device: done.Device}
			}
			var ps problems
			e.Detail.Instead.Detail.check(old.Kind, &ps)
			return ps.err()
		}
		return refuse("corrects", "names an event that plate "+p.Number.String()+" does not have")
	}
	if e.Kind.step() >= 0 {
		if done, ok := standing(before, e.Kind); ok {
			return &AlreadyDone{Number: p.Number.String(), Kind: e.Kind, At: done.At, Device: done.Device}
		}
		return nil
	}
	if _, poured := standing(before, Poured); !poured && e.Kind != Noted {
		return refuse("kind", "plate "+p.Number.String()+" is not poured yet, so it cannot be "+string(e.Kind))
	}
	return nil
}

// LastStep returns the step event that undoing would take back: the furthest one that stands.
func (st Story) LastStep() (Event, bool) {
	if st.Last == "" {
		return Event{}, false
	}
	return standing(st.Events, st.Last)
}

// Standing returns the event of that kind that stands; the zero Event when there is none.
func (st Story) Standing(kind EventKind) Event {
	e, _ := standing(st.Events, kind)
	return e
}
