package studiotest

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"platewright/internal/studio"
)

func (m *memory) AddLensReading(ctx context.Context, r studio.LensReading) (bool, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if _, err := m.lenses.find(r.Lens); err != nil {
		return false, err
	}
	return keep(ctx, &m.readings, r, func(r studio.LensReading) (studio.ID, studio.ID) { return r.ID, r.Lens })
}

func (m *memory) LensReadings(ctx context.Context, lens studio.ID) ([]studio.LensReading, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return of(ctx, m.readings, func(r studio.LensReading) bool { return r.Lens == lens })
}

func (m *memory) AddRigReading(ctx context.Context, r studio.RigReading) (bool, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if _, err := m.rigs.find(r.Rig); err != nil {
		return false, err
	}
	return keep(ctx, &m.given, r, func(r studio.RigReading) (studio.ID, studio.ID) { return r.ID, r.Rig })
}

func (m *memory) RigReadings(ctx context.Context, rig studio.ID) ([]studio.RigReading, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return of(ctx, m.given, func(r studio.RigReading) bool { return r.Rig == rig })
}

func (m *memory) AddSpeed(ctx context.Context, f studio.SpeedFound) (bool, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return keep(ctx, &m.speeds, f, func(f studio.SpeedFound) (studio.ID, studio.ID) { return f.ID, "" })
}

func (m *memory) Speeds(ctx context.Context) ([]studio.SpeedFound, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	found, err := of(ctx, m.speeds, func(studio.SpeedFound) bool { return true })
	slices.SortStableFunc(found, func(a, b studio.SpeedFound) int {
		return cmp.Or(a.Received.Compare(b.Received), cmp.Compare(a.ID, b.ID))
	})
	return found, err
}

// keep adds a reading unless one with its id is there, which must be of the same thing.
func keep[T any](ctx context.Context, all *[]T, r T, ids func(T) (id, of studio.ID)) (bool, error) {
	if err := ctx.Err(); err != nil {
		return false, err
	}
	id, thing := ids(r)
	for _, old := range *all {
		switch oldID, oldThing := ids(old); {
		case oldID == id && oldThing == thing:
			return false, nil
		case oldID == id:
			return false, fmt.Errorf("reading %s belongs to something else: %w", id, studio.ErrConflict)
		}
	}
	*all = append(*all, r)
	return true, nil
}

// of returns the readings that want holds for, in the order they came.
func of[T any](ctx context.Context, all []T, want func(T) bool) ([]T, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	var found []T
	for _, r := range all {
		if want(r) {
			found = append(found, r)
		}
	}
	return found, nil
}
