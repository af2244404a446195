package store

import (
	"context"
	"time"

	"platewright/internal/studio"
)

// Sittings are the studio's sittings, earliest first.
func (r records) Sittings() studio.Book[studio.Sitting] { return r.sittings() }

func (r records) sittings() table[studio.Sitting] {
	return table[studio.Sitting]{
		records: r,
		kind:    "sitting",
		id:      func(s *studio.Sitting) *studio.ID { return &s.ID },
		stamp:   func(s *studio.Sitting) *studio.Stamp { return &s.Stamp },
		columns: func(s *studio.Sitting) []column {
			return append([]column{
				{name: "sitter", value: words(&s.Sitter)},
				{name: "at_us", value: instant{&s.At}},
				{name: "lasts_ns", value: count(&s.Lasts)},
				{name: "purpose", value: words(&s.Purpose)},
				{name: "plates", value: count(&s.Plates)},
				{name: "state", value: words(&s.State)},
				{name: "note", value: words(&s.Note)},
			}, sizeColumns(&s.Size)...)
		},
		compare: func(a, b *studio.Sitting) int { return a.At.Compare(b.At) },
		index:   r.indexSitting,
	}
}

func (r records) indexSitting(ctx context.Context, q querier, s *studio.Sitting) error {
	sitter, err := r.sitters().find(ctx, q, s.Sitter)
	if err != nil {
		return err
	}
	return r.enterSitting(ctx, q, s, sitter.Name)
}

func (r records) enterSitting(ctx context.Context, q querier, s *studio.Sitting, sitterName string) error {
	return r.enter(ctx, q, entry{kind: "sitting", ref: string(s.ID), title: joined(sitterName, s.Purpose),
		body: joined(sitterName, s.Purpose, string(s.State), s.Note)})
}

// SittingsBetween returns the sittings that begin in [from, until), earliest first.
func (r records) SittingsBetween(ctx context.Context, from, until time.Time) ([]studio.Sitting, error) {
	return r.sittings().where(ctx, "where at_us >= $1 and at_us < $2 order by at_us, id", micros(from), micros(until))
}

// SittingsOf returns a sitter's sittings, earliest first.
func (r records) SittingsOf(ctx context.Context, sitter studio.ID) ([]studio.Sitting, error) {
	return r.sittings().where(ctx, "where sitter = $1 order by at_us, id", string(sitter))
}
