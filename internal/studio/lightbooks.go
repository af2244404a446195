package studio

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"platewright/measure"
)

// book adds and changes the records of one kind: what they hold must be in order, and their name free.
type book[T named] struct {
	kind  string
	of    Book[T]
	ready func(T) T
	check func(T) error
	id    func(*T) *ID
	stamp func(*T) *Stamp
}

func (b book[T]) add(ctx context.Context, s *Studio, r T) (T, error) {
	var none T
	r = b.ready(r)
	if err := b.check(r); err != nil {
		return none, err
	}
	if err := nameFree(ctx, b.kind, b.of, r); err != nil {
		return none, err
	}
	s.fresh(b.id(&r), b.stamp(&r))
	return r, b.of.Add(ctx, r)
}

func (b book[T]) change(ctx context.Context, s *Studio, r T) (T, error) {
	var none T
	r = b.ready(r)
	if err := b.check(r); err != nil {
		return none, err
	}
	if err := nameKept(ctx, b.kind, b.of, r); err != nil {
		return none, err
	}
	s.renew(b.stamp(&r))
	return r, b.of.Change(ctx, r)
}

func (s *Studio) windows() book[Window] {
	return book[Window]{"window", s.records.Windows(), readyWindow, Window.check, func(w *Window) *ID { return &w.ID }, func(w *Window) *Stamp { return &w.Stamp }}
}

func (s *Studio) rigs() book[Rig] {
	return book[Rig]{"flash rig", s.records.Rigs(), readyRig, Rig.check, func(r *Rig) *ID { return &r.ID }, func(r *Rig) *Stamp { return &r.Stamp }}
}

func (s *Studio) spectra() book[LightSpectrum] {
	return book[LightSpectrum]{"spectrum", s.records.Spectra(), readySpectrum, LightSpectrum.check,
		func(l *LightSpectrum) *ID { return &l.ID }, func(l *LightSpectrum) *Stamp { return &l.Stamp }}
}

// AddWindow stores a new window.
func (s *Studio) AddWindow(ctx context.Context, w Window) (Window, error) {
	return s.windows().add(ctx, s, w)
}

// ChangeWindow stores a changed window.
func (s *Studio) ChangeWindow(ctx context.Context, w Window) (Window, error) {
	return s.windows().change(ctx, s, w)
}

// Window returns one window.
func (s *Studio) Window(ctx context.Context, id ID) (Window, error) {
	return s.records.Windows().Find(ctx, id)
}

// Windows returns all windows by name.
func (s *Studio) Windows(ctx context.Context) ([]Window, error) { return s.records.Windows().All(ctx) }

// AddRig stores a new flash rig.
func (s *Studio) AddRig(ctx context.Context, r Rig) (Rig, error) { return s.rigs().add(ctx, s, r) }

// ChangeRig stores a changed flash rig.
func (s *Studio) ChangeRig(ctx context.Context, r Rig) (Rig, error) {
	return s.rigs().change(ctx, s, r)
}

// Rig returns one flash rig.
func (s *Studio) Rig(ctx context.Context, id ID) (Rig, error) { return s.records.Rigs().Find(ctx, id) }

// Rigs returns all flash rigs by name.
func (s *Studio) Rigs(ctx context.Context) ([]Rig, error) { return s.records.Rigs().All(ctx) }

// AddSpectrum stores a new spectrum.
func (s *Studio) AddSpectrum(ctx context.Context, l LightSpectrum) (LightSpectrum, error) {
	return s.spectra().add(ctx, s, l)
}

// ChangeSpectrum stores a changed spectrum.
func (s *Studio) ChangeSpectrum(ctx context.Context, l LightSpectrum) (LightSpectrum, error) {
	return s.spectra().change(ctx, s, l)
}

// Spectrum returns one spectrum.
func (s *Studio) Spectrum(ctx context.Context, id ID) (LightSpectrum, error) {
	return s.records.Spectra().Find(ctx, id)
}

// Spectra returns all spectra by name.
func (s *Studio) Spectra(ctx context.Context) ([]LightSpectrum, error) {
	return s.records.Spectra().All(ctx)
}

// KeepRigReading keeps what a flash rig was found to give. One that is sent again changes nothing and is no error; one
// of the same id that says something else is refused with [ErrConflict], and nothing is kept.
func (s *Studio) KeepRigReading(ctx context.Context, r RigReading) (RigReading, error) {
	r.Withdraws = ""
	return s.keepRigReading(ctx, r)
}

// WithdrawRigReading keeps that a reading of the rig does not count any more, and why. r names the reading in
// Withdraws; all but ID, Rig, Taken, By and Note is taken from there.
func (s *Studio) WithdrawRigReading(ctx context.Context, r RigReading) (RigReading, error) {
	all, err := s.RigReadings(ctx, r.Rig)
	if err != nil {
		return RigReading{}, err
	}
	old, err := withdrawable(all, r.ID, r.Withdraws, func(r RigReading) (ID, ID) { return r.ID, r.Withdraws })
	if err != nil {
		return RigReading{}, err
	}
	old.ID, old.Taken, old.By, old.Note, old.Withdraws = r.ID, r.Taken, r.By, r.Note, r.Withdraws
	return s.keepRigReading(ctx, old)
}

func (s *Studio) keepRigReading(ctx context.Context, r RigReading) (RigReading, error) {
	if r.ID == "" {
		r.ID = s.newID()
	}
	r.By, r.Taken, r.Received = tidy(r.By), r.Taken.UTC(), s.now()
	if err := r.check(); err != nil {
		return RigReading{}, err
	}
	var ps problems
	err := errors.Join(
		s.amongRecords(&ps, "rig", func() error { _, err := s.records.Rigs().Find(ctx, r.Rig); return err }),
		s.plateKnown(ctx, &ps, "plate", r.Plate),
	)
	if err != nil {
		return RigReading{}, err
	}
	if err := ps.err(); err != nil {
		return RigReading{}, err
	}
	fresh, err := s.records.AddRigReading(ctx, r)
	if err != nil || fresh {
		return r, err
	}
	all, err := s.RigReadings(ctx, r.Rig)
	if err != nil {
		return RigReading{}, err
	}
	return r, sentAgain(all, r, func(r RigReading) (ID, RigReading) {
		r.Taken, r.Received = time.Time{}, time.Time{}
		return r.ID, r
	})
}

// RigReadings returns all readings of a rig, the withdrawn and the withdrawals too, in the order they were received.
func (s *Studio) RigReadings(ctx context.Context, rig ID) ([]RigReading, error) {
	return s.records.RigReadings(ctx, rig)
}

// KeepSpeed keeps an exposure index that was found, as [Studio.KeepRigReading] does.
func (s *Studio) KeepSpeed(ctx context.Context, f SpeedFound) (SpeedFound, error) {
	f.Withdraws = ""
	return s.keepSpeed(ctx, f)
}

// WithdrawSpeed keeps that a found speed does not count any more, as [Studio.WithdrawRigReading] does.
func (s *Studio) WithdrawSpeed(ctx context.Context, f SpeedFound) (SpeedFound, error) {
	all, err := s.Speeds(ctx)
	if err != nil {
		return SpeedFound{}, err
	}
	old, err := withdrawable(all, f.ID, f.Withdraws, func(f SpeedFound) (ID, ID) { return f.ID, f.Withdraws })
	if err != nil {
		return SpeedFound{}, err
	}
	old.ID, old.Taken, old.By, old.Note, old.Withdraws = f.ID, f.Taken, f.By, f.Note, f.Withdraws
	return s.keepSpeed(ctx, old)
}

func (s *Studio) keepSpeed(ctx context.Context, f SpeedFound) (SpeedFound, error) {
	if f.ID == "" {
		f.ID = s.newID()
	}
	f.By, f.Taken, f.Received = tidy(f.By), f.Taken.UTC(), s.now()
	if err := f.check(); err != nil {
		return SpeedFound{}, err
	}
	var ps problems
	err := errors.Join(s.collodionKnown(ctx, &ps, f.Collodion), s.plateKnown(ctx, &ps, "plate", f.Plate))
	if err != nil {
		return SpeedFound{}, err
	}
	if err := ps.err(); err != nil {
		return SpeedFound{}, err
	}
	fresh, err := s.records.AddSpeed(ctx, f)
	if err != nil || fresh {
		return f, err
	}
	all, err := s.Speeds(ctx)
	if err != nil {
		return SpeedFound{}, err
	}
	return f, sentAgain(all, f, func(f SpeedFound) (ID, SpeedFound) {
		f.Taken, f.Received = time.Time{}, time.Time{}
		return f.ID, f
	})
}

// Speeds returns all found speeds, the withdrawn and the withdrawals too, in the order they were received.
func (s *Studio) Speeds(ctx context.Context) ([]SpeedFound, error) { return s.records.Speeds(ctx) }

// withdrawable returns the reading that id withdraws.
func withdrawable[T any](all []T, id, withdraws ID, ids func(T) (id, withdraws ID)) (T, error) {
	var old *T
	for _, r := range all {
		each, gone := ids(r)
		if each == withdraws {
			old = &r
		}
		if gone == withdraws && each != id {
			return r, fmt.Errorf("that is withdrawn already: %w", ErrConflict)
		}
	}
	var none T
	if old == nil {
		return none, &Invalid{Problems: []Problem{{Field: "withdraws", Sentence: "names nothing that was kept here"}}}
	}
	if _, w := ids(*old); w != "" {
		return none, &Invalid{Problems: []Problem{{Field: "withdraws", Sentence: "names a withdrawal", Hint: "keep the figure once more, and it counts again"}}}
	}
	return *old, nil
}

// sentAgain refuses a reading whose id is that of a kept one that says something else; said leaves out when it came.
func sentAgain[T comparable](all []T, r T, said func(T) (ID, T)) error {
	id, says := said(r)
	for _, old := range all {
		if oldID, was := said(old); oldID == id && was != says {
			return fmt.Errorf("what was kept under this id says something else: %w", ErrConflict)
		}
	}
	return nil
}

// amongRecords makes a problem of a record that is not there.
func (s *Studio) amongRecords(ps *problems, field string, find func() error) error {
	err := find()
	if errors.Is(err, ErrNotFound) {
		ps.add(field, "is not among the studio's records")
		return nil
	}
	return err
}

func (s *Studio) plateKnown(ctx context.Context, ps *problems, field string, n Number) error {
	if n == (Number{}) {
		return nil
	}
	_, err := s.records.Plate(ctx, n)
	if errors.Is(err, ErrNotFound) {
		ps.add(field, "there is no plate %s", n)
		return nil
	}
	return err
}

func (s *Studio) collodionKnown(ctx context.Context, ps *problems, id ID) error {
	if id == "" {
		return nil
	}
	return s.amongRecords(ps, "collodion", func() error {
		b, err := s.records.Batches().Find(ctx, id)
		if err == nil && b.Kind != "collodion" {
			ps.add("collodion", "%s is a %s, not a collodion", b.Name, b.Kind)
		}
		return err
	})
}

// quadrature adds standard deviations that know nothing of each other.
func quadrature(each ...measure.Stops) measure.Stops {
	sum := 0.0
	for _, s := range each {
		sum += float64(s) * float64(s)
	}
	return measure.Stops(math.Sqrt(sum))
}

// lightingKnown looks whether what a plan's lighting names is there.
func (s *Studio) lightingKnown(ctx context.Context, ps *problems, l Lighting) error {
	var errs []error
	for _, each := range []struct {
		field string
		id    ID
		find  func(ID) error
	}{
		{"window", l.Window, func(id ID) error { _, err := s.records.Windows().Find(ctx, id); return err }},
		{"rig", l.Rig, func(id ID) error { _, err := s.records.Rigs().Find(ctx, id); return err }},
		{"spectrum", l.Spectrum, func(id ID) error { _, err := s.records.Spectra().Find(ctx, id); return err }},
	} {
		if each.id != "" {
			errs = append(errs, s.amongRecords(ps, each.field, func() error { return each.find(each.id) }))
		}
	}
	return errors.Join(slices.Concat(errs, []error{s.plateKnown(ctx, ps, "from_plate", l.FromPlate)})...)
}
