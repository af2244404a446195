package studio_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"platewright/internal/studio"
)

// refusedFor returns what is said of a field; it fails the test when err says nothing of it.
func refusedFor(t *testing.T, err error, field string) string {
	t.Helper()
	var invalid *studio.Invalid
	if !errors.As(err, &invalid) || invalid.Of(field) == "" {
		t.Errorf("got %v, want something said of %s", err, field)
		return ""
	}
	return invalid.Of(field)
}

func TestBatchFromTheFuture(t *testing.T) {
	h := newHouse(t)
	s := h.stock()
	batch := studio.Batch{Name: "Bath B", Recipe: s.bath.Recipe, Mixed: h.now.Add(36*time.Hour + time.Second), Volume: 500}
	_, err := h.AddBatch(t.Context(), batch)
	if said := refusedFor(t, err, "mixed"); !strings.Contains(said, batch.Mixed.Format("2 January 2006")+" is in the future") {
		t.Errorf("said is %q", said)
	}
	batch.Mixed = h.now.Add(36 * time.Hour)
	added, err := h.AddBatch(t.Context(), batch)
	h.must(err)
	added.Mixed = h.now.AddDate(1, 0, 0)
	_, err = h.ChangeBatch(t.Context(), added)
	refusedFor(t, err, "mixed")
}

// A name stands once on the shelf for each kind; an empty bottle gives its name free.
func TestBatchNameStandsOnce(t *testing.T) {
	h := newHouse(t)
	s := h.stock()
	again := studio.Batch{Name: strings.ToUpper(s.bath.Name), Recipe: s.bath.Recipe, Mixed: h.now, Volume: 500}
	_, err := h.AddBatch(t.Context(), again)
	if said := refusedFor(t, err, "name"); !strings.Contains(said, s.bath.Mixed.Format("2 January 2006")) {
		t.Errorf("said is %q", said)
	}
	other := again
	other.Recipe = s.collodion.Recipe // of another kind
	if _, err := h.AddBatch(t.Context(), other); err != nil {
		t.Errorf("another kind of that name: %v", err)
	}
	s.bath.Note = "half used"
	s.bath, err = h.ChangeBatch(t.Context(), s.bath)
	h.must(err)
	s.bath.Retired = true
	s.bath, err = h.ChangeBatch(t.Context(), s.bath)
	h.must(err)
	_, err = h.AddBatch(t.Context(), again)
	h.must(err)
	s.bath.Retired = false
	_, err = h.ChangeBatch(t.Context(), s.bath)
	refusedFor(t, err, "name")
}

func TestProposedBatch(t *testing.T) {
	now := time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC)
	batch := func(id studio.ID, kind string, days int, retired bool) studio.Batch {
		return studio.Batch{ID: id, Kind: kind, Mixed: now.AddDate(0, 0, -days), Retired: retired}
	}
	shelf := []studio.Batch{batch("old", "collodion", 40, false), batch("new", "collodion", 3, false), batch("ahead", "collodion", -365, false),
		batch("empty", "collodion", 1, true), batch("bath", "bath", 90, false)}
	for _, tt := range []struct {
		kind       string
		last, want studio.ID
	}{{"collodion", "", "new"}, {"collodion", "old", "old"}, {"collodion", "empty", "new"}, {"collodion", "bath", "new"}, {"bath", "", "bath"}, {"varnish", "", ""}} {
		if got := studio.ProposedBatch(tt.kind, shelf, tt.last, now); got != tt.want {
			t.Errorf("%s after %q: %q, want %q", tt.kind, tt.last, got, tt.want)
		}
	}
}
