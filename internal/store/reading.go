package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"

	"platewright/internal/studio"
)

func readingColumns(r *studio.LensReading) []column {
	return []column{
		{name: "id", value: words(&r.ID)},
		{name: "lens", value: words(&r.Lens)},
		{name: "method", value: words(&r.Method)},
		{name: "taken_us", value: instant{&r.Taken}},
		{name: "received_us", value: instant{&r.Received}},
		{name: "made_by", value: words(&r.By)},
		{name: "question", value: words(&r.Question)},
		{name: "answer", value: words(&r.Answer)},
		{name: "note", value: words(&r.Note)},
		{name: "withdraws", value: words(&r.Withdraws)},
	}
}

// LensReadings returns a lens's readings in the order they were received.
func (r records) LensReadings(ctx context.Context, lens studio.ID) ([]studio.LensReading, error) {
	rs, err := gather(ctx, r.pool, func(l *studio.LensReading) []any { return places(readingColumns(l)) },
		"select "+strings.Join(names(readingColumns(&studio.LensReading{})), ", ")+" from lens_reading where lens = $1 order by seq", clean(string(lens)))
	if err != nil {
		return nil, fmt.Errorf("readings of lens %s: %w", lens, err)
	}
	return rs, nil
}

// AddLensReading stores what was measured of a lens, unless it is there already. The lens is this
// transaction's alone until its end, so that readings are numbered in the order they come.
func (r records) AddLensReading(ctx context.Context, reading studio.LensReading) (fresh bool, err error) {
	err = r.atomic(ctx, func(q querier) error {
		var id string
		if err := q.QueryRowContext(ctx, "select id from lens where id = $1"+r.dialect.lock, clean(string(reading.Lens))).Scan(&id); err != nil {
			return fmt.Errorf("lens %s: %w", reading.Lens, absent(err))
		}
		args, err := bind(readingColumns(&reading))
		if err != nil {
			return err
		}
		var seq int
		if err := q.QueryRowContext(ctx, "select coalesce(max(seq), 0) + 1 from lens_reading where lens = $1", id).Scan(&seq); err != nil {
			return err
		}
		n, err := affected(q.ExecContext(ctx, "insert into lens_reading ("+strings.Join(names(readingColumns(&reading)), ", ")+", seq) values ("+
			holders(1, len(args)+1)+") on conflict (id) do nothing", append(args, seq)...))
		if err != nil {
			return err
		}
		if fresh = n > 0; fresh {
			return nil
		}
		var lens string
		switch err := q.QueryRowContext(ctx, "select lens from lens_reading where id = $1", string(reading.ID)).Scan(&lens); {
		case errors.Is(err, sql.ErrNoRows):
			return fmt.Errorf("reading %s: %w", reading.ID, studio.ErrConflict)
		case err != nil:
			return err
		case lens != id:
			return fmt.Errorf("reading %s belongs to another lens: %w", reading.ID, studio.ErrConflict)
		}
		return nil
	})
	if err != nil {
		return false, fmt.Errorf("keep reading: %w", err)
	}
	return fresh, nil
}
