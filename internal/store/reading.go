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

func rigReadingColumns(r *studio.RigReading) []column {
	return []column{
		{name: "id", value: words(&r.ID)},
		{name: "rig", value: words(&r.Rig)},
		{name: "method", value: words(&r.Method)},
		{name: "taken_us", value: instant{&r.Taken}},
		{name: "received_us", value: instant{&r.Received}},
		{name: "made_by", value: words(&r.By)},
		{name: "energy_j", value: amount(&r.Energy)},
		{name: "distance_mm", value: amount(&r.Distance)},
		{name: "metered_lx_s", value: amount(&r.Metered)},
		{name: "reckoned_lx_s", value: amount(&r.Reckoned)},
		{name: "error_stops", value: amount(&r.Error)},
		{name: "sigma_stops", value: amount(&r.Sigma)},
		{name: "plate_year", value: count(&r.Plate.Year)},
		{name: "plate_serial", value: count(&r.Plate.Serial)},
		{name: "note", value: words(&r.Note)},
		{name: "withdraws", value: words(&r.Withdraws)},
	}
}

func speedColumns(f *studio.SpeedFound) []column {
	return []column{
		{name: "id", value: words(&f.ID)},
		{name: "exposure_index", value: amount(&f.Index)},
		{name: "light_kind", value: words(&f.Kind)},
		{name: "sigma_stops", value: amount(&f.Sigma)},
		{name: "collodion", value: link{&f.Collodion}},
		{name: "plate_year", value: count(&f.Plate.Year)},
		{name: "plate_serial", value: count(&f.Plate.Serial)},
		{name: "taken_us", value: instant{&f.Taken}},
		{name: "received_us", value: instant{&f.Received}},
		{name: "made_by", value: words(&f.By)},
		{name: "note", value: words(&f.Note)},
		{name: "withdraws", value: words(&f.Withdraws)},
	}
}

// readings keeps what was measured of one kind of thing, in the table of their name: rows are only ever added.
type readings[T any] struct {
	records
	kind    string // the table
	of      string // the table of the things, and the column that names one
	columns func(*T) []column
	ids     func(T) (id, of studio.ID)
}

func (r records) lensReadings() readings[studio.LensReading] {
	return readings[studio.LensReading]{r, "lens_reading", "lens", readingColumns,
		func(l studio.LensReading) (studio.ID, studio.ID) { return l.ID, l.Lens }}
}

func (r records) rigReadings() readings[studio.RigReading] {
	return readings[studio.RigReading]{r, "rig_reading", "rig", rigReadingColumns,
		func(g studio.RigReading) (studio.ID, studio.ID) { return g.ID, g.Rig }}
}

// all returns a thing's readings in the order they were received.
func (k readings[T]) all(ctx context.Context, of studio.ID) ([]T, error) {
	var none T
	rs, err := gather(ctx, k.pool, func(r *T) []any { return places(k.columns(r)) },
		"select "+strings.Join(names(k.columns(&none)), ", ")+" from "+k.kind+" where "+k.of+" = $1 order by seq", clean(string(of)))
	if err != nil {
		return nil, fmt.Errorf("readings of %s %s: %w", k.of, of, err)
	}
	return rs, nil
}

// add stores what was measured of a thing, unless it is there already. The thing is this transaction's alone until its
// end, so that readings are numbered in the order they come.
func (k readings[T]) add(ctx context.Context, reading T) (fresh bool, err error) {
	err = k.atomic(ctx, func(q querier) error {
		readingID, thing := k.ids(reading)
		var id string
		if err := q.QueryRowContext(ctx, "select id from "+k.of+" where id = $1"+k.dialect.lock, clean(string(thing))).Scan(&id); err != nil {
			return fmt.Errorf("%s %s: %w", k.of, thing, absent(err))
		}
		args, err := bind(k.columns(&reading))
		if err != nil {
			return err
		}
		var seq int
		if err := q.QueryRowContext(ctx, "select coalesce(max(seq), 0) + 1 from "+k.kind+" where "+k.of+" = $1", id).Scan(&seq); err != nil {
			return err
		}
		n, err := affected(q.ExecContext(ctx, "insert into "+k.kind+" ("+strings.Join(names(k.columns(&reading)), ", ")+", seq) values ("+
			holders(1, len(args)+1)+") on conflict (id) do nothing", append(args, seq)...))
		if err != nil {
			return err
		}
		if fresh = n > 0; fresh {
			return nil
		}
		var owner string
		switch err := q.QueryRowContext(ctx, "select "+k.of+" from "+k.kind+" where id = $1", string(readingID)).Scan(&owner); {
		case errors.Is(err, sql.ErrNoRows):
			return fmt.Errorf("reading %s: %w", readingID, studio.ErrConflict)
		case err != nil:
			return err
		case owner != id:
			return fmt.Errorf("reading %s belongs to another %s: %w", readingID, k.of, studio.ErrConflict)
		}
		return nil
	})
	if err != nil {
		return false, fmt.Errorf("keep reading: %w", err)
	}
	return fresh, nil
}

// LensReadings returns a lens's readings in the order they were received.
func (r records) LensReadings(ctx context.Context, lens studio.ID) ([]studio.LensReading, error) {
	return r.lensReadings().all(ctx, lens)
}

// AddLensReading stores what was measured of a lens, unless it is there already.
func (r records) AddLensReading(ctx context.Context, reading studio.LensReading) (fresh bool, err error) {
	return r.lensReadings().add(ctx, reading)
}

// RigReadings returns a flash rig's readings in the order they were received.
func (r records) RigReadings(ctx context.Context, rig studio.ID) ([]studio.RigReading, error) {
	return r.rigReadings().all(ctx, rig)
}

// AddRigReading stores what was measured of a flash rig, unless it is there already.
func (r records) AddRigReading(ctx context.Context, reading studio.RigReading) (fresh bool, err error) {
	return r.rigReadings().add(ctx, reading)
}

// Speeds returns the found speeds in the order they were received.
func (r records) Speeds(ctx context.Context) ([]studio.SpeedFound, error) {
	found, err := gather(ctx, r.pool, func(f *studio.SpeedFound) []any { return places(speedColumns(f)) },
		"select "+strings.Join(names(speedColumns(&studio.SpeedFound{})), ", ")+" from speed_found order by received_us, id")
	if err != nil {
		return nil, fmt.Errorf("speeds: %w", err)
	}
	return found, nil
}

// AddSpeed stores a found speed, unless it is there already.
func (r records) AddSpeed(ctx context.Context, f studio.SpeedFound) (fresh bool, err error) {
	err = r.atomic(ctx, func(q querier) error {
		args, err := bind(speedColumns(&f))
		if err != nil {
			return err
		}
		n, err := affected(q.ExecContext(ctx, "insert into speed_found ("+strings.Join(names(speedColumns(&f)), ", ")+") values ("+
			holders(1, len(args))+") on conflict (id) do nothing", args...))
		fresh = n > 0
		return err
	})
	if err != nil {
		return false, fmt.Errorf("keep speed: %w", err)
	}
	return fresh, nil
}
