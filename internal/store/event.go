package store

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"platewright/internal/studio"
)

func eventColumns(e *studio.Event) []column {
	return []column{
		{name: "id", value: words(&e.ID)},
		{name: "plate", value: words(&e.Plate)},
		{name: "kind", value: words(&e.Kind)},
		{name: "at_us", value: instant{&e.At}},
		{name: "received_us", value: instant{&e.Received}},
		{name: "device", value: words(&e.Device)},
		{name: "made_by", value: words(&e.By)},
		{name: "corrects", value: words(&e.Corrects)},
		{name: "detail", value: written(&e.Detail)},
	}
}

// Events returns a plate's events in the order they were received.
func (r records) Events(ctx context.Context, plate studio.ID) ([]studio.Event, error) {
	es, err := events(ctx, r.pool, plate)
	if err == nil && len(es) == 0 {
		_, err = r.numberOf(ctx, r.pool, plate, "") // a plate without events, or no plate at all
	}
	return es, err
}

func events(ctx context.Context, q querier, plate studio.ID) ([]studio.Event, error) {
	es, err := gather(ctx, q, func(e *studio.Event) []any { return places(eventColumns(e)) },
		"select "+strings.Join(names(eventColumns(&studio.Event{})), ", ")+" from event where plate = $1 order by seq", string(plate))
	if err != nil {
		return nil, fmt.Errorf("events of plate %s: %w", plate, err)
	}
	return es, nil
}

// errKnown ends a transaction that found its event stored already.
var errKnown = errors.New("the event is known")

// Append adds e to its plate's events, with what judge makes of them all. The plate is this
// transaction's alone from its first statement to its last, so of two devices that record the same
// step at the same moment, one is judged after the other was stored.
func (r records) Append(ctx context.Context, e studio.Event, judge func([]studio.Event) (studio.Summary, string, error)) (bool, error) {
	e = asKept(e)
	err := r.atomic(ctx, func(q querier) error {
		number, err := r.numberOf(ctx, q, e.Plate, r.dialect.lock)
		if err != nil {
			return err
		}
		before, err := events(ctx, q, e.Plate)
		if err != nil {
			return err
		}
		args, err := bind(eventColumns(&e))
		if err != nil {
			return err
		}
		n, err := affected(q.ExecContext(ctx, "insert into event ("+strings.Join(names(eventColumns(&e)), ", ")+", seq) values ("+
			holders(1, len(args)+1)+") on conflict (id) do nothing", append(args, len(before)+1)...))
		if err != nil {
			return err
		}
		if n == 0 {
			return known(ctx, q, e)
		}
		summary, words, err := judge(append(before, e))
		if err != nil {
			return err
		}
		if err := project(ctx, q, e.Plate, summary); err != nil {
			return err
		}
		return r.enter(ctx, q, plateEntry(number, words))
	})
	switch {
	case errors.Is(err, errKnown):
		return false, nil
	case err != nil:
		return false, fmt.Errorf("record %q: %w", e.Kind, err)
	}
	return true, nil
}

// known returns errKnown, or what is wrong when another plate has the event with e's id.
func known(ctx context.Context, q querier, e studio.Event) error {
	var plate string
	if err := q.QueryRowContext(ctx, "select plate from event where id = $1", string(e.ID)).Scan(&plate); err != nil {
		return err
	}
	if plate != string(e.Plate) {
		return fmt.Errorf("event %s belongs to another plate: %w", e.ID, studio.ErrConflict)
	}
	return errKnown
}

// asKept returns e with its times as they will be read again, so that what is judged is what is
// stored.
func asKept(e studio.Event) studio.Event {
	e.At, e.Received = kept(e.At), kept(e.Received)
	if e.Detail.Instead != nil {
		instead := *e.Detail.Instead
		instead.At = kept(instead.At)
		e.Detail.Instead = &instead
	}
	return e
}

func project(ctx context.Context, q querier, plate studio.ID, s studio.Summary) error {
	columns := projected(s).columns()
	args, err := bind(columns)
	if err != nil {
		return err
	}
	set := make([]string, len(columns))
	for i, c := range columns {
		set[i] = fmt.Sprintf("%s = $%d", c.name, i+1)
	}
	_, err = q.ExecContext(ctx, fmt.Sprintf("update plate set %s where id = $%d", strings.Join(set, ", "), len(args)+1),
		append(args, string(plate))...)
	return err
}
