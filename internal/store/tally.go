package store

import (
	"context"
	"fmt"

	"platewright/internal/studio"
)

// Tally counts what is kept.
func (r records) Tally(ctx context.Context) (t studio.Tally, err error) {
	err = r.pool.QueryRowContext(ctx, `select (select count(*) from sitter), (select count(*) from sitting),
		(select count(*) from plate), (select count(*) from plate where poured_us <> 0)`).
		Scan(&t.Sitters, &t.Sittings, &t.Plates, &t.Poured)
	if err != nil {
		return studio.Tally{}, fmt.Errorf("tally: %w", err)
	}
	return t, nil
}
