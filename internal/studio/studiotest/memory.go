// Package studiotest keeps a studio's records in memory, for tests and for trying things out.
//
// It keeps the promises of [studio.Records] as a store on disk does: a change is refused unless
// the stored version is one less, plate numbers run through the year without gaps, an event handed
// over twice is kept once, and what fails leaves nothing behind. What it hands out and takes in is
// copied, so a caller that goes on changing a record changes nothing here. It forgets everything
// when it goes; it is no store.
package studiotest

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"

	"platewright/internal/studio"
)

// NewMemory returns empty records, safe for use by several goroutines.
func NewMemory() studio.Records {
	m := &memory{
		plates: make(map[studio.ID]*plate),
		owner:  make(map[studio.ID]studio.ID),
	}
	m.sitters = newBook(m, "sitter", func(r studio.Sitter) key { return key{r.ID, r.Version, r.Name} }, same[studio.Sitter])
	m.sittings = newBook(m, "sitting", func(r studio.Sitting) key {
		return key{r.ID, r.Version, r.At.UTC().Format(time.RFC3339Nano)}
	}, same[studio.Sitting])
	m.lenses = newBook(m, "lens", func(r studio.Lens) key { return key{r.ID, r.Version, r.Name} }, func(r studio.Lens) studio.Lens {
		r.Stops = slices.Clone(r.Stops)
		return r
	})
	m.cameras = newBook(m, "camera", func(r studio.Camera) key { return key{r.ID, r.Version, r.Name} }, same[studio.Camera])
	m.holders = newBook(m, "holder", func(r studio.Holder) key { return key{r.ID, r.Version, r.Name} }, same[studio.Holder])
	m.recipes = newBook(m, "recipe", func(r studio.Recipe) key { return key{r.ID, r.Version, r.Body.Name} }, func(r studio.Recipe) studio.Recipe {
		r.Body.Parts, r.Body.Cautions = slices.Clone(r.Body.Parts), slices.Clone(r.Body.Cautions)
		return r
	})
	m.batches = newBook(m, "batch", func(r studio.Batch) key { return key{r.ID, r.Version, r.Name} }, same[studio.Batch])
	m.windows = newBook(m, "light_window", func(r studio.Window) key { return key{r.ID, r.Version, r.Name} }, same[studio.Window])
	m.rigs = newBook(m, "rig", func(r studio.Rig) key { return key{r.ID, r.Version, r.Name} }, func(r studio.Rig) studio.Rig {
		r.Heads = slices.Clone(r.Heads)
		return r
	})
	m.spectra = newBook(m, "spectrum", func(r studio.LightSpectrum) key { return key{r.ID, r.Version, r.Name} }, same[studio.LightSpectrum])
	return m
}

type memory struct {
	mu       sync.Mutex
	profile  *studio.Profile
	sitters  *book[studio.Sitter]
	sittings *book[studio.Sitting]
	lenses   *book[studio.Lens]
	cameras  *book[studio.Camera]
	holders  *book[studio.Holder]
	recipes  *book[studio.Recipe]
	batches  *book[studio.Batch]
	plates   map[studio.ID]*plate
	owner    map[studio.ID]studio.ID // event to plate
	readings []studio.LensReading
	windows  *book[studio.Window]
	rigs     *book[studio.Rig]
	spectra  *book[studio.LightSpectrum]
	given    []studio.RigReading
	speeds   []studio.SpeedFound
}

type plate struct {
	plate   studio.Plate
	events  []studio.Event
	summary studio.Summary
	words   string
}

// key is what a book must know of a record: its id, its version and what it is ordered by.
type key struct {
	id      studio.ID
	version int
	order   string
}

func same[T any](r T) T { return r }

// book keeps records of one kind.
type book[T any] struct {
	m     *memory
	kind  string
	key   func(T) key
	clone func(T) T
	rows  map[studio.ID]T
}

func newBook[T any](m *memory, kind string, of func(T) key, clone func(T) T) *book[T] {
	return &book[T]{m: m, kind: kind, key: of, clone: clone, rows: make(map[studio.ID]T)}
}

func (b *book[T]) Add(ctx context.Context, record T) error {
	b.m.mu.Lock()
	defer b.m.mu.Unlock()
	if err := ctx.Err(); err != nil {
		return err
	}
	k := b.key(record)
	if old, ok := b.rows[k.id]; ok {
		return &studio.Conflict{Kind: b.kind, Yours: b.clone(record), Theirs: b.clone(old)}
	}
	b.rows[k.id] = b.clone(record)
	return nil
}

func (b *book[T]) Find(ctx context.Context, id studio.ID) (T, error) {
	b.m.mu.Lock()
	defer b.m.mu.Unlock()
	if err := ctx.Err(); err != nil {
		var none T
		return none, err
	}
	return b.find(id)
}

// find is Find for a caller that holds the lock.
func (b *book[T]) find(id studio.ID) (T, error) {
	r, ok := b.rows[id]
	if !ok {
		return r, fmt.Errorf("%s %s: %w", b.kind, id, studio.ErrNotFound)
	}
	return b.clone(r), nil
}

func (b *book[T]) Change(ctx context.Context, record T) error {
	b.m.mu.Lock()
	defer b.m.mu.Unlock()
	if err := ctx.Err(); err != nil {
		return err
	}
	k := b.key(record)
	old, err := b.find(k.id)
	if err != nil {
		return err
	}
	if b.key(old).version != k.version-1 {
		return &studio.Conflict{Kind: b.kind, Yours: b.clone(record), Theirs: old}
	}
	b.rows[k.id] = b.clone(record)
	return nil
}

func (b *book[T]) All(ctx context.Context) ([]T, error) {
	b.m.mu.Lock()
	defer b.m.mu.Unlock()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return b.all(func(T) bool { return true }), nil
}

// all returns the records that want holds for, in order, for a caller that holds the lock.
func (b *book[T]) all(want func(T) bool) []T {
	found := make([]T, 0, len(b.rows))
	for _, r := range b.rows {
		if want(r) {
			found = append(found, b.clone(r))
		}
	}
	slices.SortFunc(found, func(x, y T) int {
		kx, ky := b.key(x), b.key(y)
		if c := strings.Compare(strings.ToLower(kx.order), strings.ToLower(ky.order)); c != 0 {
			return c
		}
		return strings.Compare(string(kx.id), string(ky.id))
	})
	return found
}

func (m *memory) Sitters() studio.Book[studio.Sitter]   { return m.sitters }
func (m *memory) Sittings() studio.Book[studio.Sitting] { return m.sittings }
func (m *memory) Lenses() studio.Book[studio.Lens]      { return m.lenses }
func (m *memory) Cameras() studio.Book[studio.Camera]   { return m.cameras }
func (m *memory) Holders() studio.Book[studio.Holder]   { return m.holders }
func (m *memory) Recipes() studio.Book[studio.Recipe]   { return m.recipes }
func (m *memory) Batches() studio.Book[studio.Batch]    { return m.batches }
func (m *memory) Windows() studio.Book[studio.Window]   { return m.windows }
func (m *memory) Rigs() studio.Book[studio.Rig]         { return m.rigs }

func (m *memory) Spectra() studio.Book[studio.LightSpectrum] { return m.spectra }

func (m *memory) Profile(ctx context.Context) (studio.Profile, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := ctx.Err(); err != nil {
		return studio.Profile{}, err
	}
	if m.profile == nil {
		return studio.Profile{}, fmt.Errorf("profile: %w", studio.ErrNotFound)
	}
	return *m.profile, nil
}

func (m *memory) SaveProfile(ctx context.Context, p studio.Profile) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := ctx.Err(); err != nil {
		return err
	}
	switch {
	case m.profile == nil && p.Version != 1:
		return fmt.Errorf("profile: %w", studio.ErrNotFound)
	case m.profile != nil && m.profile.Version != p.Version-1:
		return &studio.Conflict{Kind: "profile", Yours: p, Theirs: *m.profile}
	}
	m.profile = &p
	return nil
}

func (m *memory) SittingsBetween(ctx context.Context, from, until time.Time) ([]studio.Sitting, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return m.sittings.all(func(s studio.Sitting) bool { return !s.At.Before(from) && s.At.Before(until) }), nil
}

func (m *memory) SittingsOf(ctx context.Context, sitter studio.ID) ([]studio.Sitting, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return m.sittings.all(func(s studio.Sitting) bool { return s.Sitter == sitter }), nil
}

func (m *memory) Tally(ctx context.Context) (studio.Tally, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := ctx.Err(); err != nil {
		return studio.Tally{}, err
	}
	t := studio.Tally{Sitters: len(m.sitters.rows), Sittings: len(m.sittings.rows), Plates: len(m.plates)}
	for _, p := range m.plates {
		if !p.summary.PouredAt.IsZero() {
			t.Poured++
		}
	}
	return t, nil
}

// copyEvents copies events down to what their details point at.
func copyEvents(events []studio.Event) []studio.Event {
	out := slices.Clone(events)
	for i := range out {
		out[i].Detail = copyDetail(out[i].Detail)
	}
	return out
}

func copyDetail(d studio.Detail) studio.Detail {
	text, err := json.Marshal(d)
	if err != nil {
		panic("studiotest: a detail that cannot be written as JSON: " + err.Error())
	}
	var c studio.Detail
	if err := json.Unmarshal(text, &c); err != nil {
		panic("studiotest: a detail that cannot be read back: " + err.Error())
	}
	return c
}

func copySummary(s studio.Summary) studio.Summary {
	if s.Verdict != nil {
		v := *s.Verdict
		s.Verdict = &v
	}
	s.Marks, s.Copies = slices.Clone(s.Marks), slices.Clone(s.Copies)
	return s
}
