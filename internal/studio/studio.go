package studio

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"
)

// Studio is the business over its records. Its methods are safe for use by several goroutines if
// the ports are.
type Studio struct {
	records Records
	now     func() time.Time
	newID   func() ID
}

// New returns the studio over records. now gives the server's time, newID an id never given
// before.
func New(records Records, now func() time.Time, newID func() ID) *Studio {
	return &Studio{records: records, now: func() time.Time { return now().UTC() }, newID: newID}
}

// Now returns the server's time in UTC.
func (s *Studio) Now() time.Time { return s.now() }

// NewID returns a fresh id, for a form that is about to be filled in.
func (s *Studio) NewID() ID { return s.newID() }

// Profile returns the studio itself, or an error wrapping ErrNotFound before its first run.
func (s *Studio) Profile(ctx context.Context) (Profile, error) { return s.records.Profile(ctx) }

// Begin answers the three questions of a first run. It refuses a studio that has begun.
func (s *Studio) Begin(ctx context.Context, p Profile) (Profile, error) {
	if old, err := s.records.Profile(ctx); err == nil {
		return Profile{}, fmt.Errorf("this studio is %s already: %w", old.Name, ErrConflict)
	} else if !errors.Is(err, ErrNotFound) {
		return Profile{}, err
	}
	p.Name, p.Place = tidy(p.Name), tidy(p.Place)
	if err := p.check(); err != nil {
		return Profile{}, err
	}
	now := s.now()
	p.Stamp = Stamp{Created: now, Changed: now, Version: 1}
	return p, s.records.SaveProfile(ctx, p)
}

// ChangeProfile stores a changed profile.
func (s *Studio) ChangeProfile(ctx context.Context, p Profile) (Profile, error) {
	p.Name, p.Place = tidy(p.Name), tidy(p.Place)
	if err := p.check(); err != nil {
		return Profile{}, err
	}
	s.renew(&p.Stamp)
	return p, s.records.SaveProfile(ctx, p)
}

func (s *Studio) renew(st *Stamp) {
	st.Changed = s.now()
	st.Version++
}

func (s *Studio) fresh(id *ID, st *Stamp) {
	if *id == "" {
		*id = s.newID()
	}
	now := s.now()
	*st = Stamp{Created: now, Changed: now, Version: 1}
}

// Tally counts what the studio has come to.
func (s *Studio) Tally(ctx context.Context) (Tally, error) { return s.records.Tally(ctx) }

// AddSitter stores a new sitter.
func (s *Studio) AddSitter(ctx context.Context, r Sitter) (Sitter, error) {
	r.Name = tidy(r.Name)
	if err := r.check(); err != nil {
		return Sitter{}, err
	}
	s.fresh(&r.ID, &r.Stamp)
	return r, s.records.Sitters().Add(ctx, r)
}

// ChangeSitter stores a changed sitter and lets the sitter's plates be found by a changed name.
func (s *Studio) ChangeSitter(ctx context.Context, r Sitter) (Sitter, error) {
	r.Name = tidy(r.Name)
	if err := r.check(); err != nil {
		return Sitter{}, err
	}
	s.renew(&r.Stamp)
	if err := s.records.Sitters().Change(ctx, r); err != nil {
		return Sitter{}, err
	}
	return r, s.rewordPlatesOf(ctx, r.ID)
}

// rewordPlatesOf lets a sitter's plates be found by what is known of them now. It follows a change
// that is stored already, so it goes on though nobody waits for the answer any more.
func (s *Studio) rewordPlatesOf(ctx context.Context, sitter ID) error {
	ctx = context.WithoutCancel(ctx)
	numbers, err := s.records.PlatesOf(ctx, sitter)
	if err != nil {
		return err
	}
	for _, n := range numbers {
		p, err := s.records.Plate(ctx, n)
		if err != nil {
			return err
		}
		names, err := s.namesFor(ctx, p.Plan)
		if err != nil {
			return err
		}
		err = s.records.Reword(ctx, p.ID, func(events []Event) string {
			return Story{Plate: p, Events: events, Summary: Fold(events)}.words(names...)
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// Sitter returns one sitter.
func (s *Studio) Sitter(ctx context.Context, id ID) (Sitter, error) {
	return s.records.Sitters().Find(ctx, id)
}

// Sitters returns all sitters by name.
func (s *Studio) Sitters(ctx context.Context) ([]Sitter, error) { return s.records.Sitters().All(ctx) }

// Book stores a new sitting.
func (s *Studio) Book(ctx context.Context, r Sitting) (Sitting, error) {
	r, err := s.checkSitting(ctx, r)
	if err != nil {
		return Sitting{}, err
	}
	s.fresh(&r.ID, &r.Stamp)
	return r, s.records.Sittings().Add(ctx, r)
}

// BookFor stores a sitter who is new and the sitter's first sitting. Both are looked at before
// either is stored, so a refusal leaves no sitter behind; problems of the sitter have the fields
// sitter_name, sitter_contact and sitter_note. A store that fails between the two leaves a sitter
// without a sitting, whom the next booking finds by name.
func (s *Studio) BookFor(ctx context.Context, who Sitter, r Sitting) (Sitting, error) {
	who.Name = tidy(who.Name)
	s.fresh(&who.ID, &who.Stamp)
	r.Sitter = who.ID
	r = readySitting(r)
	var ps problems
	var invalid *Invalid
	if errors.As(who.check(), &invalid) {
		for _, p := range invalid.Problems {
			p.Field = "sitter_" + p.Field
			ps = append(ps, p)
		}
	}
	if errors.As(r.check(), &invalid) {
		ps = append(ps, invalid.Problems...)
	}
	if err := ps.err(); err != nil {
		return Sitting{}, err
	}
	if err := s.records.Sitters().Add(ctx, who); err != nil {
		return Sitting{}, err
	}
	s.fresh(&r.ID, &r.Stamp)
	return r, s.records.Sittings().Add(ctx, r)
}

// ChangeSitting stores a changed sitting and lets its plates be found by a changed purpose or
// sitter.
func (s *Studio) ChangeSitting(ctx context.Context, r Sitting) (Sitting, error) {
	r, err := s.checkSitting(ctx, r)
	if err != nil {
		return Sitting{}, err
	}
	old, err := s.records.Sittings().Find(ctx, r.ID)
	if err != nil {
		return Sitting{}, err
	}
	s.renew(&r.Stamp)
	if err := s.records.Sittings().Change(ctx, r); err != nil {
		return Sitting{}, err
	}
	if old.Purpose == r.Purpose && old.Sitter == r.Sitter {
		return r, nil
	}
	return r, s.rewordPlatesOf(ctx, r.Sitter)
}

func (s *Studio) checkSitting(ctx context.Context, r Sitting) (Sitting, error) {
	r = readySitting(r)
	if err := r.check(); err != nil {
		return Sitting{}, err
	}
	if _, err := s.records.Sitters().Find(ctx, r.Sitter); errors.Is(err, ErrNotFound) {
		return Sitting{}, &Invalid{Problems: []Problem{{Field: "sitter", Sentence: "is not among the studio's sitters"}}}
	} else if err != nil {
		return Sitting{}, err
	}
	return r, nil
}

func readySitting(r Sitting) Sitting {
	if r.State == "" {
		r.State = Booked
	}
	r.Purpose, r.At = tidy(r.Purpose), r.At.UTC()
	return r
}

// Sitting returns one sitting.
func (s *Studio) Sitting(ctx context.Context, id ID) (Sitting, error) {
	return s.records.Sittings().Find(ctx, id)
}

// SittingsOn returns the sittings of the day that begins at midnight, which carries the studio's
// time zone, earliest first.
func (s *Studio) SittingsOn(ctx context.Context, midnight time.Time) ([]Sitting, error) {
	return s.records.SittingsBetween(ctx, midnight.UTC(), midnight.AddDate(0, 0, 1).UTC())
}

// SittingsBetween returns the sittings that begin in [from, until), earliest first.
func (s *Studio) SittingsBetween(ctx context.Context, from, until time.Time) ([]Sitting, error) {
	return s.records.SittingsBetween(ctx, from.UTC(), until.UTC())
}

// SittingsOf returns a sitter's sittings, earliest first.
func (s *Studio) SittingsOf(ctx context.Context, sitter ID) ([]Sitting, error) {
	return s.records.SittingsOf(ctx, sitter)
}

// AddLens stores a new lens.
func (s *Studio) AddLens(ctx context.Context, r Lens) (Lens, error) {
	r = readyLens(r)
	if err := r.check(); err != nil {
		return Lens{}, err
	}
	if err := nameFree(ctx, "lens", s.records.Lenses(), r); err != nil {
		return Lens{}, err
	}
	s.fresh(&r.ID, &r.Stamp)
	return r, s.records.Lenses().Add(ctx, r)
}

// ChangeLens stores a changed lens.
func (s *Studio) ChangeLens(ctx context.Context, r Lens) (Lens, error) {
	r = readyLens(r)
	if err := r.check(); err != nil {
		return Lens{}, err
	}
	if err := nameKept(ctx, "lens", s.records.Lenses(), r); err != nil {
		return Lens{}, err
	}
	s.renew(&r.Stamp)
	return r, s.records.Lenses().Change(ctx, r)
}

func readyLens(r Lens) Lens {
	r.Name, r.Form = tidy(r.Name), tidy(r.Form)
	if r.PupilMag == 0 {
		r.PupilMag = 1
	}
	stops := make([]Stop, len(r.Stops))
	for i, st := range r.Stops {
		st.Name = tidy(st.Name)
		if st.Name == "" {
			st.Name = fmt.Sprintf("f/%.3g", float64(st.FNumber))
		}
		stops[i] = st
	}
	r.Stops = stops
	return r
}

// Lens returns one lens.
func (s *Studio) Lens(ctx context.Context, id ID) (Lens, error) {
	return s.records.Lenses().Find(ctx, id)
}

// Lenses returns all lenses by name.
func (s *Studio) Lenses(ctx context.Context) ([]Lens, error) { return s.records.Lenses().All(ctx) }

// AddCamera stores a new camera.
func (s *Studio) AddCamera(ctx context.Context, r Camera) (Camera, error) {
	r.Name = tidy(r.Name)
	if err := r.check(); err != nil {
		return Camera{}, err
	}
	if err := nameFree(ctx, "camera", s.records.Cameras(), r); err != nil {
		return Camera{}, err
	}
	s.fresh(&r.ID, &r.Stamp)
	return r, s.records.Cameras().Add(ctx, r)
}

// ChangeCamera stores a changed camera.
func (s *Studio) ChangeCamera(ctx context.Context, r Camera) (Camera, error) {
	r.Name = tidy(r.Name)
	if err := r.check(); err != nil {
		return Camera{}, err
	}
	if err := nameKept(ctx, "camera", s.records.Cameras(), r); err != nil {
		return Camera{}, err
	}
	s.renew(&r.Stamp)
	return r, s.records.Cameras().Change(ctx, r)
}

// Camera returns one camera.
func (s *Studio) Camera(ctx context.Context, id ID) (Camera, error) {
	return s.records.Cameras().Find(ctx, id)
}

// Cameras returns all cameras by name.
func (s *Studio) Cameras(ctx context.Context) ([]Camera, error) { return s.records.Cameras().All(ctx) }

// AddHolder stores a new holder.
func (s *Studio) AddHolder(ctx context.Context, r Holder) (Holder, error) {
	r.Name = tidy(r.Name)
	if err := r.check(); err != nil {
		return Holder{}, err
	}
	if err := nameFree(ctx, "holder", s.records.Holders(), r); err != nil {
		return Holder{}, err
	}
	s.fresh(&r.ID, &r.Stamp)
	return r, s.records.Holders().Add(ctx, r)
}

// ChangeHolder stores a changed holder.
func (s *Studio) ChangeHolder(ctx context.Context, r Holder) (Holder, error) {
	r.Name = tidy(r.Name)
	if err := r.check(); err != nil {
		return Holder{}, err
	}
	if err := nameKept(ctx, "holder", s.records.Holders(), r); err != nil {
		return Holder{}, err
	}
	s.renew(&r.Stamp)
	return r, s.records.Holders().Change(ctx, r)
}

// Holder returns one holder.
func (s *Studio) Holder(ctx context.Context, id ID) (Holder, error) {
	return s.records.Holders().Find(ctx, id)
}

// Holders returns all holders by name.
func (s *Studio) Holders(ctx context.Context) ([]Holder, error) { return s.records.Holders().All(ctx) }

// AddRecipe stores a recipe. One that needs cyanide is refused unless the studio has switched
// cyanide on.
func (s *Studio) AddRecipe(ctx context.Context, r Recipe) (Recipe, error) {
	if err := s.checkRecipe(ctx, r); err != nil {
		return Recipe{}, err
	}
	s.fresh(&r.ID, &r.Stamp)
	return r, s.records.Recipes().Add(ctx, r)
}

// ChangeRecipe stores a changed recipe.
func (s *Studio) ChangeRecipe(ctx context.Context, r Recipe) (Recipe, error) {
	if err := s.checkRecipe(ctx, r); err != nil {
		return Recipe{}, err
	}
	s.renew(&r.Stamp)
	return r, s.records.Recipes().Change(ctx, r)
}

func (s *Studio) checkRecipe(ctx context.Context, r Recipe) error {
	if err := r.check(); err != nil {
		return err
	}
	return s.permit(ctx, r)
}

// permit refuses a recipe that needs cyanide unless the studio has switched cyanide on.
func (s *Studio) permit(ctx context.Context, r Recipe) error {
	if !r.Body.HoldsCyanide() {
		return nil
	}
	p, err := s.records.Profile(ctx)
	if err != nil {
		return err
	}
	if !p.Cyanide {
		return fmt.Errorf("recipe %s needs cyanide, which this studio has not switched on: %w", r.Body.Name, ErrNotPermitted)
	}
	return nil
}

// Recipe returns one recipe.
func (s *Studio) Recipe(ctx context.Context, id ID) (Recipe, error) {
	return s.records.Recipes().Find(ctx, id)
}

// Recipes returns all recipes by name.
func (s *Studio) Recipes(ctx context.Context) ([]Recipe, error) { return s.records.Recipes().All(ctx) }

// AddBatch puts a batch on the shelf. Its kind and the recipe's name are taken from the recipe. One
// that needs cyanide is refused as the recipe would be; so are a batch mixed in the future and a name
// that a batch of the kind on the shelf has.
func (s *Studio) AddBatch(ctx context.Context, r Batch) (Batch, error) {
	r, err := s.checkBatch(ctx, r, "")
	if err != nil {
		return Batch{}, err
	}
	if err := s.checkShelf(ctx, r, nil); err != nil {
		return Batch{}, err
	}
	s.fresh(&r.ID, &r.Stamp)
	return r, s.records.Batches().Add(ctx, r)
}

// checkBatch takes the batch's kind and its recipe's name from the recipe, which must be permitted
// unless the batch was mixed by it before.
func (s *Studio) checkBatch(ctx context.Context, r Batch, before ID) (Batch, error) {
	r.Name, r.Mixed = tidy(r.Name), r.Mixed.UTC()
	if err := r.check(); err != nil {
		return Batch{}, err
	}
	recipe, err := s.records.Recipes().Find(ctx, r.Recipe)
	if errors.Is(err, ErrNotFound) {
		return Batch{}, &Invalid{Problems: []Problem{{Field: "recipe", Sentence: "is not among the studio's recipes"}}}
	} else if err != nil {
		return Batch{}, err
	}
	if r.Recipe != before {
		if err := s.permit(ctx, recipe); err != nil {
			return Batch{}, err
		}
	}
	r.RecipeName, r.Kind = recipe.Body.Name, string(recipe.Body.Kind)
	return r, nil
}

// ChangeBatch stores a changed batch; what is changed must be as [Studio.AddBatch] takes it. A cyanide bottle already there may be written on, and retired,
// whatever the switch says.
func (s *Studio) ChangeBatch(ctx context.Context, r Batch) (Batch, error) {
	old, err := s.records.Batches().Find(ctx, r.ID)
	if err != nil {
		return Batch{}, err
	}
	r, err = s.checkBatch(ctx, r, old.Recipe)
	if err != nil {
		return Batch{}, err
	}
	if err := s.checkShelf(ctx, r, &old); err != nil {
		return Batch{}, err
	}
	s.renew(&r.Stamp)
	return r, s.records.Batches().Change(ctx, r)
}

// Batch returns one batch.
func (s *Studio) Batch(ctx context.Context, id ID) (Batch, error) {
	return s.records.Batches().Find(ctx, id)
}

// Batches returns all batches, the retired too, by name.
func (s *Studio) Batches(ctx context.Context) ([]Batch, error) { return s.records.Batches().All(ctx) }

// Search finds sitters, sittings and plates by their words.
func (s *Studio) Search(ctx context.Context, q Query) ([]Hit, error) {
	q.Words = strings.TrimSpace(q.Words)
	if q.Words == "" {
		return nil, nil
	}
	var ps problems
	if ps.text("words", q.Words, 200); len(ps) > 0 {
		return nil, ps.err()
	}
	if q.Most <= 0 {
		q.Most = 20
	}
	q.Most = min(q.Most, 200)
	return s.records.Search(ctx, q)
}
