package store

import (
	"context"

	"platewright/internal/studio"
)

// Sitters are the studio's sitters, by name.
func (r records) Sitters() studio.Book[studio.Sitter] { return r.sitters() }

func (r records) sitters() table[studio.Sitter] {
	return table[studio.Sitter]{
		records: r,
		kind:    "sitter",
		id:      func(s *studio.Sitter) *studio.ID { return &s.ID },
		stamp:   func(s *studio.Sitter) *studio.Stamp { return &s.Stamp },
		columns: func(s *studio.Sitter) []column {
			return []column{
				{name: "name", value: words(&s.Name)},
				{name: "contact", value: words(&s.Contact)},
				{name: "note", value: words(&s.Note)},
			}
		},
		compare: func(a, b *studio.Sitter) int { return byName(a.Name, b.Name) },
		index:   r.indexSitter,
	}
}

// indexSitter lets a sitter and the sitter's sittings be found by the name the sitter has now.
func (r records) indexSitter(ctx context.Context, q querier, s *studio.Sitter) error {
	if err := r.enter(ctx, q, entry{kind: "sitter", ref: string(s.ID), title: s.Name, body: joined(s.Name, s.Contact, s.Note)}); err != nil {
		return err
	}
	if s.Version == 1 {
		return nil
	}
	t := r.sittings()
	sittings, err := gather(ctx, q, func(one *studio.Sitting) []any { return places(t.all(one)) },
		t.selecting()+" where sitter = $1", string(s.ID))
	if err != nil {
		return err
	}
	for i := range sittings {
		if err := r.enterSitting(ctx, q, &sittings[i], s.Name); err != nil {
			return err
		}
	}
	return nil
}
