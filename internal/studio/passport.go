package studio

import (
	"context"
	"errors"
	"fmt"
	"io"
)

// PassportFacts is everything a plate's passport says. Records that were never chosen are nil.
type PassportFacts struct {
	Studio    Profile
	Story     Story
	Lens      *Lens
	Collodion *Batch
	Bath      *Batch
	Developer *Batch
	Fixer     *Batch
	Varnish   *Batch
	Picture   []byte // JPEG of the true view for print; nil when the plate was never copied
}

// Passport gathers what a plate's passport says. A plate that was not poured has none.
func (s *Studio) Passport(ctx context.Context, files Files, n Number) (PassportFacts, error) {
	story, err := s.Plate(ctx, n)
	if err != nil {
		return PassportFacts{}, err
	}
	if story.PouredAt.IsZero() {
		return PassportFacts{}, &Invalid{Problems: []Problem{{Field: "plate",
			Sentence: "plate " + n.String() + " is not poured yet, so it has no passport"}}}
	}
	f := PassportFacts{Story: story}
	if f.Studio, err = s.records.Profile(ctx); err != nil {
		return PassportFacts{}, err
	}
	plan := story.Plan
	f.Lens, err = chosen(ctx, s.records.Lenses(), plan.Lens)
	for _, b := range []struct {
		to *(*Batch)
		id ID
	}{{&f.Collodion, plan.Collodion}, {&f.Bath, plan.Bath}, {&f.Developer, plan.Developer}, {&f.Fixer, plan.Fixer}, {&f.Varnish, plan.Varnish}} {
		batch, findErr := chosen(ctx, s.records.Batches(), b.id)
		*b.to, err = batch, errors.Join(err, findErr)
	}
	if err != nil {
		return PassportFacts{}, err
	}
	if len(story.Copies) == 0 {
		return f, nil
	}
	file, err := files.Open(ctx, story.Copies[len(story.Copies)-1].View)
	if err != nil {
		return PassportFacts{}, fmt.Errorf("picture of plate %s: %w", n, err)
	}
	f.Picture, err = io.ReadAll(file)
	return f, errors.Join(err, file.Close())
}

// chosen finds a record by an id that may be empty.
func chosen[T any](ctx context.Context, book Book[T], id ID) (*T, error) {
	if id == "" {
		return nil, nil
	}
	record, err := book.Find(ctx, id)
	if err != nil {
		return nil, err
	}
	return &record, nil
}
