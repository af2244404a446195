package studiotest

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"platewright/internal/studio"
)

func (m *memory) AddPlate(ctx context.Context, p studio.Plate, words func(studio.Number) string) (studio.Plate, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := ctx.Err(); err != nil {
		return studio.Plate{}, err
	}
	if old, ok := m.plates[p.ID]; ok {
		return studio.Plate{}, &studio.Conflict{Kind: "plate", Yours: p, Theirs: old.plate}
	}
	last := 0
	for _, other := range m.plates {
		if other.plate.Number.Year == p.Number.Year {
			last = max(last, other.plate.Number.Serial)
		}
	}
	p.Number.Serial = last + 1
	m.plates[p.ID] = &plate{plate: p, summary: studio.Fold(nil), words: words(p.Number)}
	return p, nil
}

func (m *memory) ChangePlate(ctx context.Context, p studio.Plate, judge func([]studio.Event) (string, error)) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	row, err := m.plate(ctx, p.ID)
	if err != nil {
		return err
	}
	if row.plate.Version != p.Version-1 {
		return &studio.Conflict{Kind: "plate", Yours: p, Theirs: row.plate}
	}
	words, err := judge(slices.Clone(row.events))
	if err != nil {
		return err
	}
	p.Number = row.plate.Number
	row.plate, row.words = p, words
	return nil
}

// plate returns the row of a plate to a caller that holds the lock.
func (m *memory) plate(ctx context.Context, id studio.ID) (*plate, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	row, ok := m.plates[id]
	if !ok {
		return nil, fmt.Errorf("plate %s: %w", id, studio.ErrNotFound)
	}
	return row, nil
}

func (m *memory) Plate(ctx context.Context, n studio.Number) (studio.Plate, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := ctx.Err(); err != nil {
		return studio.Plate{}, err
	}
	for _, row := range m.plates {
		if row.plate.Number == n {
			return row.plate, nil
		}
	}
	return studio.Plate{}, fmt.Errorf("plate %s: %w", n, studio.ErrNotFound)
}

func (m *memory) PlateByID(ctx context.Context, id studio.ID) (studio.Plate, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	row, err := m.plate(ctx, id)
	if err != nil {
		return studio.Plate{}, err
	}
	return row.plate, nil
}

// byNumber returns all plates, the lowest number first, to a caller that holds the lock.
func (m *memory) byNumber() []*plate {
	rows := make([]*plate, 0, len(m.plates))
	for _, row := range m.plates {
		rows = append(rows, row)
	}
	slices.SortFunc(rows, func(a, b *plate) int { return compareNumbers(a.plate.Number, b.plate.Number) })
	return rows
}

func compareNumbers(a, b studio.Number) int {
	return cmp.Or(cmp.Compare(a.Year, b.Year), cmp.Compare(a.Serial, b.Serial))
}

func (m *memory) Plates(ctx context.Context, f studio.PlateFilter) (studio.PlatePage, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := ctx.Err(); err != nil {
		return studio.PlatePage{}, err
	}
	most := f.Most
	if most <= 0 {
		most = 50
	}
	most = min(most, 500)
	var page studio.PlatePage
	for _, row := range slices.Backward(m.byNumber()) {
		s := row.summary
		switch {
		case f.Below != (studio.Number{}) && compareNumbers(row.plate.Number, f.Below) >= 0,
			len(f.Numbers) > 0 && !slices.Contains(f.Numbers, row.plate.Number),
			f.State != "" && s.State() != f.State,
			f.Sitting != "" && row.plate.Plan.Sitting != f.Sitting,
			f.Begun && s.PouredAt.IsZero(),
			f.Open && (s.Verdict != nil || s.Next == ""):
			continue
		}
		if len(page.Rows) == most {
			page.More = true
			break
		}
		out := studio.PlateRow{Plate: row.plate, Summary: copySummary(s)}
		if id := row.plate.Plan.Sitting; id != "" {
			name, err := m.sitterOf(id)
			if err != nil {
				return studio.PlatePage{}, err
			}
			out.SitterName = name
		}
		page.Rows = append(page.Rows, out)
	}
	return page, nil
}

// sitterOf returns the name of a sitting's sitter to a caller that holds the lock.
func (m *memory) sitterOf(sitting studio.ID) (string, error) {
	s, err := m.sittings.find(sitting)
	if err != nil {
		return "", err
	}
	sitter, err := m.sitters.find(s.Sitter)
	return sitter.Name, err
}

func (m *memory) PlatesOf(ctx context.Context, sitter studio.ID) ([]studio.Number, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	var numbers []studio.Number
	for _, row := range m.byNumber() {
		if row.plate.Plan.Sitting == "" {
			continue
		}
		s, err := m.sittings.find(row.plate.Plan.Sitting)
		if err != nil {
			return nil, err
		}
		if s.Sitter == sitter {
			numbers = append(numbers, row.plate.Number)
		}
	}
	return numbers, nil
}

func (m *memory) Events(ctx context.Context, id studio.ID) ([]studio.Event, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	row, err := m.plate(ctx, id)
	if err != nil {
		return nil, err
	}
	return copyEvents(row.events), nil
}

func (m *memory) Append(ctx context.Context, e studio.Event, judge func([]studio.Event) (studio.Summary, string, error)) (bool, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	row, err := m.plate(ctx, e.Plate)
	if err != nil {
		return false, err
	}
	switch owner, known := m.owner[e.ID]; {
	case known && owner == e.Plate:
		return false, nil
	case known:
		return false, fmt.Errorf("event %s belongs to another plate: %w", e.ID, studio.ErrConflict)
	}
	e.Detail = copyDetail(e.Detail)
	events := append(copyEvents(row.events), e)
	summary, words, err := judge(copyEvents(events))
	if err != nil {
		return false, err
	}
	row.events, row.summary, row.words = events, copySummary(summary), words
	m.owner[e.ID] = e.Plate
	return true, nil
}

func (m *memory) Reword(ctx context.Context, id studio.ID, words func([]studio.Event) string) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	row, err := m.plate(ctx, id)
	if err != nil {
		return err
	}
	row.words = words(copyEvents(row.events))
	return nil
}
