package studio_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"platewright/internal/studio"
)

// start is when the first reading was taken.
var start = time.Date(2026, 5, 4, 8, 30, 0, 0, time.UTC)

// measured is a reading of the lens with that id.
func measured(lens studio.ID) studio.LensReading {
	return studio.LensReading{ID: "reading-one", Lens: lens, Method: studio.TwoMagnifications, Taken: start.In(time.FixedZone("", 3600)), By: " Ada  Quill ",
		Question: `{"method": "two magnifications"}`, Answer: `{"focal_mm": 300}`, Note: "by lamp"}
}

// A reading is kept as it was made, once however often it is sent, with the lens it is of.
func TestReadingsAreKept(t *testing.T) {
	s, ctx := newHouse(t), t.Context()
	lens, err := s.AddLens(ctx, studio.Lens{Name: "Brass", Focal: 300, Stops: []studio.Stop{{FNumber: 4}}})
	if err != nil {
		t.Fatal(err)
	}
	r := measured(lens.ID)
	for range 2 {
		got, err := s.KeepLensReading(ctx, r)
		if err != nil || got.By != "Ada Quill" || !got.Taken.Equal(start) || got.Taken.Location() != time.UTC || got.Received.IsZero() {
			t.Fatalf("kept %+v, %v", got, err)
		}
	}
	// A form gone back to and written anew is not taken for the one that was kept: neither is lost unsaid.
	var other *studio.OtherReading
	for what, change := range map[string]func(*studio.LensReading){
		"question": func(r *studio.LensReading) { r.Question = `{"a": 2}` }, "note": func(r *studio.LensReading) { r.Note += " again" },
		"method": func(r *studio.LensReading) { r.Method = studio.FarTarget }, "hand": func(r *studio.LensReading) { r.By = "Ben" },
	} {
		anew := r
		change(&anew)
		if _, err := s.KeepLensReading(ctx, anew); !errors.As(err, &other) || !errors.Is(err, studio.ErrConflict) || other.Kept.ID != r.ID {
			t.Errorf("another %s under one id: got %v, want an *OtherReading", what, err)
		}
	}
	later := r
	later.Taken = r.Taken.Add(time.Second)
	if _, err := s.KeepLensReading(ctx, later); err != nil {
		t.Errorf("sent again a second later: %v", err)
	}
	withoutID := r
	withoutID.ID = ""
	second, err := s.KeepLensReading(ctx, withoutID)
	if err != nil || second.ID == "" {
		t.Fatalf("kept %+v, %v", second, err)
	}
	all, err := s.LensReadings(ctx, lens.ID)
	if err != nil || len(all) != 2 || all[0].ID != r.ID || all[1].ID != second.ID {
		t.Fatalf("readings %+v, %v", all, err)
	}

	var invalid *studio.Invalid
	for field, spoil := range map[string]func(*studio.LensReading){
		"id":       func(r *studio.LensReading) { r.ID = "short" },
		"lens":     func(r *studio.LensReading) { r.Lens = "no-such-lens" },
		"method":   func(r *studio.LensReading) { r.Method = "by feel" },
		"taken":    func(r *studio.LensReading) { r.Taken = time.Time{} },
		"by":       func(r *studio.LensReading) { r.By = strings.Repeat("x", 201) },
		"note":     func(r *studio.LensReading) { r.Note = strings.Repeat("x", 4001) },
		"question": func(r *studio.LensReading) { r.Question = "[1]" },
		"answer":   func(r *studio.LensReading) { r.Answer = `{"focal_mm": 1` },
	} {
		bad := r
		bad.ID = "reading-bad"
		spoil(&bad)
		if _, err := s.KeepLensReading(ctx, bad); !errors.As(err, &invalid) || invalid.Of(field) == "" {
			t.Errorf("%s: got %v, want an *Invalid of it", field, err)
		}
	}
	for _, text := range []string{"", "null", `{"a": "` + strings.Repeat("x", 200_000) + `"}`} {
		bad := r
		bad.ID, bad.Answer = "reading-bad", text
		if _, err := s.KeepLensReading(ctx, bad); !errors.As(err, &invalid) || invalid.Of("answer") == "" {
			t.Errorf("an answer of %d bytes: got %v", len(text), err)
		}
	}
	if all, err = s.LensReadings(ctx, lens.ID); err != nil || len(all) != 2 {
		t.Errorf("%d readings after the refusals, %v", len(all), err)
	}
}

// A reading that is withdrawn stays, with the word that it does not count; it is withdrawn once.
func TestReadingsAreWithdrawn(t *testing.T) {
	s, ctx := newHouse(t), t.Context()
	lens, err := s.AddLens(ctx, studio.Lens{Name: "Brass", Focal: 300, Stops: []studio.Stop{{FNumber: 4}}})
	if err != nil {
		t.Fatal(err)
	}
	other, err := s.AddLens(ctx, studio.Lens{Name: "Other", Focal: 300, Stops: []studio.Stop{{FNumber: 4}}})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.KeepLensReading(ctx, measured(lens.ID)); err != nil {
		t.Fatal(err)
	}
	away := studio.LensReading{ID: "withdrawal-one", Lens: lens.ID, Withdraws: "reading-one", Taken: start.Add(time.Hour), By: "Ada", Note: "the rule was upside down"}
	for range 2 { // sent twice, it is kept once
		got, err := s.WithdrawLensReading(ctx, away)
		if err != nil || got.Method != studio.TwoMagnifications || got.Question != "" || got.Answer != "" {
			t.Fatalf("withdrawn: %+v, %v", got, err)
		}
	}
	all, err := s.LensReadings(ctx, lens.ID)
	if err != nil || len(all) != 2 || all[1].Withdraws != "reading-one" || len(studio.StandingReadings(all)) != 0 {
		t.Fatalf("readings %+v, %v", all, err)
	}

	var invalid *studio.Invalid
	for name, spoil := range map[string]func(*studio.LensReading){
		"a reading that is not there": func(r *studio.LensReading) { r.Withdraws = "reading-two" },
		"no reading":                  func(r *studio.LensReading) { r.Withdraws = "" },
		"a withdrawal":                func(r *studio.LensReading) { r.Withdraws = "withdrawal-one" },
		"of another lens":             func(r *studio.LensReading) { r.Lens = other.ID },
	} {
		bad := away
		bad.ID = "withdrawal-bad"
		spoil(&bad)
		if _, err := s.WithdrawLensReading(ctx, bad); !errors.As(err, &invalid) || invalid.Of("withdraws") == "" {
			t.Errorf("%s: got %v", name, err)
		}
	}
	again := away
	again.ID = "withdrawal-two"
	if _, err := s.WithdrawLensReading(ctx, again); !errors.Is(err, studio.ErrConflict) {
		t.Errorf("withdrawn a second time: got %v, want ErrConflict", err)
	}
	fresh := measured(lens.ID)
	fresh.ID = "reading-three"
	if _, err := s.KeepLensReading(ctx, fresh); err != nil {
		t.Fatal(err)
	}
	if all, err = s.LensReadings(ctx, lens.ID); err != nil || len(studio.StandingReadings(all)) != 1 || studio.StandingReadings(all)[0].ID != "reading-three" {
		t.Errorf("standing are %+v, %v", studio.StandingReadings(all), err)
	}
}
