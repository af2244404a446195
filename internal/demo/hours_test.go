package demo_test

import (
	"context"
	"io"
	"slices"
	"testing"
	"time"

	"platewright/internal/demo"
	"platewright/internal/studio"
)

func TestSittingsOfToday(t *testing.T) {
	zone := noon.Location()
	at := func(hour, minute int) time.Time { return time.Date(2026, 10, 13, hour, minute, 0, 0, zone) }
	for _, tt := range []struct {
		now        time.Time
		rest       [2]int // days from today until the second and the third sitting
		dayOfFirst int
	}{
		{at(0, 5), [2]int{0, 0}, -1}, {at(0, 40), [2]int{0, 0}, -1}, {at(3, 0), [2]int{0, 0}, 0}, {at(9, 0), [2]int{0, 0}, 0}, {noon, [2]int{0, 0}, 0},
		{at(17, 10), [2]int{0, 1}, 0}, {at(18, 30), [2]int{1, 1}, 0}, {at(23, 50), [2]int{1, 1}, 0},
		{time.Date(2027, 1, 20, 16, 0, 0, 0, zone), [2]int{0, 1}, 0},
	} {
		now := tt.now
		h := fill(t, demo.Options{Seed: 2, Today: now, Plates: 8})
		y, m, d := now.Date()
		midnight := time.Date(y, m, d, 0, 0, 0, 0, zone)
		near, err := h.SittingsBetween(t.Context(), midnight.AddDate(0, 0, -1), midnight.AddDate(0, 0, 2))
		if err != nil {
			t.Fatal(err)
		}
		find := func(purpose string) studio.Sitting {
			i := slices.IndexFunc(near, func(s studio.Sitting) bool { return s.Purpose == purpose })
			if i < 0 {
				t.Fatalf("at %v no sitting is for %q", now, purpose)
			}
			return near[i]
		}
		first := find("portrait, eyes to the lens")
		if want := midnight.AddDate(0, 0, tt.dayOfFirst); first.At.Before(want) || !first.At.Before(want.AddDate(0, 0, 1)) || first.At.Add(first.Lasts).After(now) {
			t.Errorf("at %v the first sitting is at %v for %v", now, first.At, first.Lasts)
		}
		for i, purpose := range []string{"portrait, hand resting", "the children, one plate each"} {
			s := find(purpose)
			begins, ends := s.At.In(zone), s.At.Add(s.Lasts).In(zone)
			day := midnight.AddDate(0, 0, tt.rest[i])
			if !begins.After(now) || begins.Before(day.Add(9*time.Hour)) || ends.After(day.Add(19*time.Hour)) {
				t.Errorf("at %v %q is from %v to %v, want it on %v between nine and seven", now, purpose, begins, ends, day)
			}
		}
		slices.SortFunc(near, func(a, b studio.Sitting) int { return a.At.Compare(b.At) })
		for i, s := range near[1:] {
			if before := near[i]; before.At.After(now) && before.At.Add(before.Lasts).After(s.At) {
				t.Errorf("at %v %q and %q fall on one time", now, before.Purpose, s.Purpose)
			}
		}
		coming, err := h.SittingsBetween(t.Context(), midnight.AddDate(0, 0, 1), midnight.AddDate(0, 0, 8))
		if err != nil || len(coming) < 3 {
			t.Errorf("at %v: %d sittings in the next days (%v)", now, len(coming), err)
		}
	}
	serial := make(map[int]int)
	for _, p := range fill(t, demo.Options{Seed: 2, Today: time.Date(2027, 1, 20, 16, 0, 0, 0, zone)}).stories(t) {
		serial[p.Number.Year] = max(serial[p.Number.Year], p.Number.Serial)
	}
	if serial[2026]+serial[2027] != 60 || serial[2027] == 0 {
		t.Errorf("over the new year the highest numbers are %v", serial)
	}
}

// TestNothingLaterThanNow does the day at all hours: no plate has an event that is still to come, and
// the last of what happened is told before now.
func TestNothingLaterThanNow(t *testing.T) {
	for _, hour := range []time.Duration{5 * time.Minute, 40 * time.Minute, 9 * time.Hour, 23*time.Hour + 50*time.Minute} {
		now := time.Date(2026, 10, 13, 0, 0, 0, 0, noon.Location()).Add(hour)
		for seed := range uint64(12) { // among them days with a second and a third plate
			h := fill(t, demo.Options{Seed: seed, Today: now, Plates: 8})
			var latest time.Time
			see := func(at time.Time) {
				if at.After(latest) {
					latest = at
				}
			}
			watched := watching{hands{h, t}, func() { see(h.clock.Now()) }}
			if _, err := h.made.Day(t.Context(), watched, demo.DayOptions{Out: io.Discard, Long: 200, Save: func(name string, _ []byte) (string, error) {
				see(h.clock.Now())
				return name, nil
			}}); err != nil {
				t.Fatal(err)
			}
			for _, p := range h.stories(t) {
				for _, e := range p.Events {
					see(e.At)
					see(e.Received)
				}
			}
			if latest.After(now) {
				t.Errorf("seed %d: at %v something happened at %v", seed, now, latest)
			}
		}
	}
}

// watching are hands that look at the clock with every sitting's step.
type watching struct {
	hands
	look func()
}

func (w watching) Sitting(ctx context.Context, id studio.ID, state studio.SittingState) error {
	w.look()
	return w.hands.Sitting(ctx, id, state)
}
