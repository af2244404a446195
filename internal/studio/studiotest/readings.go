package studiotest

import (
	"context"
	"fmt"

	"platewright/internal/studio"
)

func (m *memory) AddLensReading(ctx context.Context, r studio.LensReading) (bool, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := ctx.Err(); err != nil {
		return false, err
	}
	if _, err := m.lenses.find(r.Lens); err != nil {
		return false, err
	}
	for _, old := range m.readings {
		switch {
		case old.ID == r.ID && old.Lens == r.Lens:
			return false, nil
		case old.ID == r.ID:
			return false, fmt.Errorf("reading %s belongs to another lens: %w", r.ID, studio.ErrConflict)
		}
	}
	m.readings = append(m.readings, r)
	return true, nil
}

func (m *memory) LensReadings(ctx context.Context, lens studio.ID) ([]studio.LensReading, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	var of []studio.LensReading
	for _, r := range m.readings {
		if r.Lens == lens {
			of = append(of, r)
		}
	}
	return of, nil
}
