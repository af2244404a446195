package demo

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"platewright/chemistry"
	"platewright/internal/studio"
	"platewright/measure"
	"platewright/reckon"
)

// Filer files a copy photograph with a plate, as the Copy stand does.
type Filer func(ctx context.Context, n studio.Number, fileName string, content []byte) error

// Options says what studio to make.
type Options struct {
	Seed   uint64
	Today  time.Time // now, in the studio's own time zone
	Plates int       // poured before today; 60 when 0, at most 200
	Copies int       // plates photographed at the most; all that are kept, and some others, when 0
	File   Filer     // nil leaves the photographs out
}

// Filled is a studio that was made, with what is needed to do the day's first sitting in it.
type Filled struct {
	Name, Place string
	Since       time.Time // of the first plate
	Plates      int
	Copies      int
	Fates       map[studio.Fate]int
	Little      int // plates whose verdict was right or a little off

	first choice
	zone  *time.Location
	world *world
	clock *Clock
	newID func() studio.ID
	ask   reckoner
}

// choice is what the operator has chosen for a sitting's plates before anything is reckoned.
type choice struct {
	visit
	sitter  studio.Sitter
	sitting studio.Sitting
	lensRow studio.Lens
	bottles chosen
	before  string // the collodion used before this one
	cam     studio.Camera
	hold    studio.Holder
}

// chosen are the bottles in use.
type chosen struct{ collodion, bath, developer, fixer, varnish studio.Batch }

// act is one thing that happens at a time.
type act struct {
	at time.Time
	do func(context.Context) error
}

// maker writes the past down.
type maker struct {
	name  string // the studio's
	place string
	s     *studio.Studio
	clock *Clock
	w     *world
	ask   reckoner
	o     Options
	day   time.Time // midnight of today
	begun time.Time

	acts     []act
	drafts   []*draft
	copyOf   int
	sitters  []studio.Sitter // with their ids once met
	lenses   []studio.Lens
	cameras  []studio.Camera
	holders  []studio.Holder
	windows  []studio.Window
	rigs     []studio.Rig
	batches  []studio.Batch // in the order of bottles, with their ids
	sittings map[int]*studio.Sitting
}

// Fill makes the invented studio in s, which must hold no sitters, and sets clock through the past
// as it goes; clock is what s was made with, and is left live.
func Fill(ctx context.Context, s *studio.Studio, clock *Clock, o Options) (*Filled, error) {
	if o.Plates == 0 {
		o.Plates = 60
	}
	if o.Copies == 0 {
		o.Copies = o.Plates
	}
	if o.Plates < 1 || o.Plates > 200 {
		return nil, fmt.Errorf("plates %d is outside 1 to 200", o.Plates)
	}
	y, mo, d := o.Today.Date()
	m := &maker{
		s: s, clock: clock, w: newWorld(o.Seed, o.Today), ask: reckoner{reckon.New()}, o: o,
		day: time.Date(y, mo, d, 0, 0, 0, 0, o.Today.Location()), sittings: make(map[int]*studio.Sitting),
	}
	m.begun = m.day.AddDate(0, 0, -120).Add(9 * time.Hour)
	defer clock.Release()

	clock.Set(m.begun)
	if err := m.furnish(ctx); err != nil {
		return nil, err
	}
	if err := m.past(); err != nil {
		return nil, err
	}
	if err := m.measured(); err != nil {
		return nil, err
	}
	if err := m.lit(); err != nil {
		return nil, err
	}
	first := m.ahead()
	slices.SortStableFunc(m.acts, func(a, b act) int { return a.at.Compare(b.at) })

	drawing, stop := context.WithCancel(ctx)
	defer stop()
	m.draw(drawing)
	for _, a := range m.acts {
		clock.Set(a.at)
		if err := a.do(ctx); err != nil {
			return nil, fmt.Errorf("%s: %w", a.at.Format("2006-01-02 15:04"), err)
		}
	}
	f := &Filled{Name: m.name, Place: m.place, Fates: make(map[studio.Fate]int), zone: o.Today.Location(), world: m.w, clock: clock, newID: s.NewID, ask: m.ask}
	for _, d := range m.drafts {
		f.Plates++
		f.Fates[d.fate]++
		if d.out.word >= -1 && d.out.word <= 1 {
			f.Little++
		}
		if d.picture != nil {
			f.Copies++
		}
	}
	f.Since = m.drafts[0].at
	f.first = *first
	f.first.sitting = *m.sittings[firstToday]
	f.first.sitter = m.sitters[first.visit.sitter]
	return f, nil
}

// at adds something that happens at a time before now; what would happen later is left out.
func (m *maker) at(t time.Time, do func(context.Context) error) {
	if t.Before(m.o.Today) {
		m.acts = append(m.acts, act{t, do})
	}
}

// open begins the studio under the invented name, or takes one that has just begun under its own. A
// studio with sitters in it is somebody's and is left alone.
func (m *maker) open(ctx context.Context) error {
	p, err := m.s.Profile(ctx)
	if errors.Is(err, studio.ErrNotFound) {
		p, err = m.s.Begin(ctx, studio.Profile{Name: studioName, Place: studioPlace, Units: studio.Metric, Room: roomDepth})
	}
	if err != nil {
		return err
	}
	known, err := m.s.Sitters(ctx)
	if err != nil {
		return err
	}
	if len(known) > 0 {
		return fmt.Errorf("%s has sitters already, and the example is not mixed with them: %w", p.Name, studio.ErrConflict)
	}
	m.name, m.place = p.Name, p.Place
	if p.Room != 0 && p.Placed {
		return nil
	}
	p.Room = cmp.Or(p.Room, roomDepth)
	if !p.Placed {
		p.Placed, p.Latitude, p.Longitude, p.Elevation = true, studioLatitude, studioLongitude, studioElevation
	}
	_, err = m.s.ChangeProfile(ctx, p)
	return err
}

// furnish puts the things into the studio and the bottles on the shelf.
func (m *maker) furnish(ctx context.Context) error {
	if err := m.open(ctx); err != nil {
		return err
	}
	var err error
	if m.lenses, err = each(ctx, lenses(), m.s.AddLens); err != nil {
		return err
	}
	if m.cameras, err = each(ctx, cameras(), m.s.AddCamera); err != nil {
		return err
	}
	if m.holders, err = each(ctx, holders(), m.s.AddHolder); err != nil {
		return err
	}
	if m.windows, err = each(ctx, windows(), m.s.AddWindow); err != nil {
		return err
	}
	if m.rigs, err = each(ctx, rigs(), m.s.AddRig); err != nil {
		return err
	}
	panel, err := panelSpectrum()
	if err != nil {
		return err
	}
	if _, err = m.s.AddSpectrum(ctx, panel); err != nil {
		return err
	}
	m.sitters = sitters()
	recipes, err := m.recipes(ctx)
	if err != nil {
		return err
	}
	for i, b := range bottles() {
		of := recipes[b.kind]
		if len(of) == 0 {
			return fmt.Errorf("there is no recipe for a %s", b.kind)
		}
		mixed := m.day.AddDate(0, 0, -b.daysAgo).Add(16*time.Hour + 20*time.Minute)
		m.batches = append(m.batches, studio.Batch{ID: m.s.NewID(), Name: b.name, Recipe: of[b.recipe%len(of)].ID,
			Kind: b.kind, Mixed: mixed.UTC(), Volume: b.ml, Note: b.note})
		put := mixed
		if put.Before(m.begun) {
			put = m.begun
		}
		m.at(put, func(ctx context.Context) error {
			made, err := m.s.AddBatch(ctx, m.batches[i])
			m.batches[i] = made
			return err
		})
		if last := m.before(b.kind, i, 2); last >= 0 && b.kind != "bath" { // the one before the last is empty now
			m.at(mixed.Add(10*time.Minute), func(ctx context.Context) error {
				empty := m.batches[last]
				empty.Retired = true
				made, err := m.s.ChangeBatch(ctx, empty)
				m.batches[last] = made
				return err
			})
		}
	}
	return nil
}

// before returns the place of the bottle of that kind that many before the one at place i, or -1.
func (m *maker) before(kind string, i, many int) int {
	all := bottles()
	for j := i - 1; j >= 0; j-- {
		if all[j].kind != kind {
			continue
		}
		if many--; many == 0 {
			return j
		}
	}
	return -1
}

// recipes returns the studio's recipes by kind, after adding those the product comes with if there
// are none yet.
func (m *maker) recipes(ctx context.Context) (map[string][]studio.Recipe, error) {
	have, err := m.s.Recipes(ctx)
	if err != nil {
		return nil, err
	}
	if len(have) == 0 {
		for _, r := range chemistry.Recipes(false) {
			added, err := m.s.AddRecipe(ctx, studio.Recipe{Body: r})
			if err != nil {
				return nil, err
			}
			have = append(have, added)
		}
	}
	byKind := make(map[string][]studio.Recipe)
	for _, r := range have {
		byKind[string(r.Body.Kind)] = append(byKind[string(r.Body.Kind)], r)
	}
	return byKind, nil
}

func each[T any](ctx context.Context, rows []T, add func(context.Context, T) (T, error)) ([]T, error) {
	for i := range rows {
		var err error
		if rows[i], err = add(ctx, rows[i]); err != nil {
			return nil, err
		}
	}
	return rows, nil
}

// inUse returns the bottles one would take at a time: the newest of each kind that is ready.
func (m *maker) inUse(at time.Time) chosen {
	ready := map[string]time.Duration{"collodion": 6 * 24 * time.Hour, "bath": 24 * time.Hour}
	pick := func(kind string, or ...int) studio.Batch {
		found := -1
		for i, b := range m.batches {
			if b.Kind == kind && (found < 0 || at.Sub(b.Mixed) > ready[kind]) {
				found = i
			}
		}
		return m.batches[found]
	}
	c := chosen{pick("collodion"), pick("bath"), pick("developer"), pick("fixer"), pick("varnish")}
	if _, week := at.ISOWeek(); week%2 == 0 { // the two baths take turns
		for _, b := range m.batches {
			if b.Kind == "bath" {
				c.bath = b
				break
			}
		}
	}
	return c
}

// Places in maker.sittings that are no place of the table of past visits.
const (
	firstToday = 1000 + iota*100
	firstAhead
	calledOff
)

// book lets a sitting be booked ahead of its time.
func (m *maker) book(place int, b visit, at time.Time, daysAhead int) {
	booked := at.AddDate(0, 0, -daysAhead).Add(-time.Duration(place%5) * 37 * time.Minute)
	if !booked.Before(m.o.Today) {
		booked = m.o.Today.Add(-time.Duration(26+place%5) * time.Hour)
	}
	if booked.Before(m.begun) {
		booked = m.begun.Add(time.Duration(place%7+1) * time.Hour)
	}
	m.at(booked, func(ctx context.Context) error {
		sitter := &m.sitters[b.sitter]
		if sitter.ID == "" {
			added, err := m.s.AddSitter(ctx, *sitter)
			if err != nil {
				return err
			}
			*sitter = added
		}
		made, err := m.s.Book(ctx, studio.Sitting{Sitter: sitter.ID, At: at, Lasts: b.lasts(), Purpose: b.purpose, Size: b.size, Plates: b.wanted})
		m.sittings[place] = &made
		return err
	})
}

func (m *maker) setState(place int, at time.Time, state studio.SittingState, note string) {
	m.at(at, func(ctx context.Context) error {
		r := *m.sittings[place]
		r.State = state
		if note != "" {
			r.Note = note
		}
		made, err := m.s.ChangeSitting(ctx, r)
		m.sittings[place] = &made
		return err
	})
}

// ahead books today's sittings and those of the next days, and returns the choice for the first.
func (m *maker) ahead() *choice {
	first, second, third := m.hours()
	for i, at := range []time.Time{first, second, third} {
		m.book(firstToday+i, today()[i], at, 9-2*i)
	}
	for i, c := range coming() {
		m.book(firstAhead+i, c.visit, m.day.AddDate(0, 0, c.days).Add(time.Duration(c.hour)*time.Hour), 12)
	}
	off := visit{13, "portrait, hat in hand", half, 1, lensHalf, 1, cameraTail, holderD, spotWindow, 620, poseStanding}
	at := m.day.AddDate(0, 0, -19).Add(16 * time.Hour)
	m.book(calledOff, off, at, 8)
	m.setState(calledOff, at.Add(-3*time.Hour), studio.CalledOff, "Rang: the ferry does not run.")
	b := today()[0]
	if h := first.Hour(); h < 9 || h >= 16 { // no daylight to speak of
		b.spot = spotLamps
	}
	c := m.choose(b, first)
	return &c
}

// dayLasts is more than the day's first sitting takes with three plates, wash and varnish.
const dayLasts = 150 * time.Minute

// hours returns when the sittings of the day begin: the first so that it is over by now, in the
// afternoon's light at the latest; the others after now, between nine and seven o'clock. What no
// longer fits into the day falls on tomorrow.
func (m *maker) hours() (first, second, third time.Time) {
	now := m.o.Today
	first = now.Add(-dayLasts).Truncate(15 * time.Minute)
	y, mo, d := first.Date()
	if latest := time.Date(y, mo, d, 15, 30, 0, 0, now.Location()); first.After(latest) {
		first = latest
	}
	clock := func(days, hour int) time.Time { return m.day.AddDate(0, 0, days).Add(time.Duration(hour) * time.Hour) }
	fits := func(b visit, at, otherwise time.Time) time.Time {
		switch {
		case at.Before(clock(0, 9)):
			return clock(0, 9)
		case at.Add(b.lasts()).After(clock(0, 19)):
			return otherwise
		}
		return at
	}
	list := today()
	second = fits(list[1], now.Add(59*time.Minute).Truncate(30*time.Minute), clock(1, 9))
	third = fits(list[2], second.Add(90*time.Minute), clock(1, 13))
	return first, second, third
}

// choose takes what a sitting's plates are made with at a time.
func (m *maker) choose(b visit, at time.Time) choice {
	in := m.inUse(at)
	return choice{visit: b, lensRow: m.lenses[b.lens], bottles: in, before: m.collodionBefore(in.collodion), cam: m.cameras[b.camera], hold: m.holders[b.holder]}
}

// planFor is a plan with all that the operator chooses and none of the figures.
func (c choice) planFor() studio.Plan {
	return studio.Plan{Sitting: c.sitting.ID, Size: c.size, Support: studio.BlackMetal, Lens: c.lensRow.ID, Stop: c.lensRow.Stops[c.stop],
		Camera: c.cam.ID, Holder: c.hold.ID, Light: spots()[c.spot].name,
		Collodion: c.bottles.collodion.ID, Bath: c.bottles.bath.ID, Developer: c.bottles.developer.ID,
		Fixer: c.bottles.fixer.ID, Varnish: c.bottles.varnish.ID, Setting: c.setting()}
}

func celsius(t float64) *measure.Celsius { c := measure.Celsius(t); return &c }
