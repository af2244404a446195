package studiotest_test

import (
	"errors"
	"testing"
	"time"

	"platewright/internal/studio"
	"platewright/internal/studio/studiotest"
	"platewright/measure"
)

// What the port promises and the studio's own rules never show is tried here; the rest is tried by
// the studio's tests.

func TestWhatIsKeptIsCopied(t *testing.T) {
	ctx, r := t.Context(), studiotest.NewMemory()
	lens := studio.Lens{ID: "lens", Stops: []studio.Stop{{Name: "f/4"}}, Stamp: studio.Stamp{Version: 1}}
	if err := r.Lenses().Add(ctx, lens); err != nil {
		t.Fatal(err)
	}
	lens.Stops[0].Name = "spoilt by the one who gave it"
	got, err := r.Lenses().Find(ctx, "lens")
	if err != nil {
		t.Fatal(err)
	}
	got.Stops[0].Name = "spoilt by the one who took it"
	if got, err = r.Lenses().Find(ctx, "lens"); err != nil || got.Stops[0].Name != "f/4" {
		t.Errorf("kept is %v (%v)", got.Stops, err)
	}

	p, err := r.AddPlate(ctx, studio.Plate{ID: "plate-1", Number: studio.Number{Year: 2026}}, func(studio.Number) string { return "" })
	if err != nil {
		t.Fatal(err)
	}
	c := measure.Celsius(18)
	e := studio.Event{ID: "e", Plate: p.ID, Kind: studio.InBath, At: time.Unix(9, 0), Detail: studio.Detail{TemperatureC: &c}}
	fold := func(events []studio.Event) (studio.Summary, string, error) { return studio.Fold(events), "", nil }
	if fresh, err := r.Append(ctx, e, fold); !fresh || err != nil {
		t.Fatal(fresh, err)
	}
	c = 99
	if events, err := r.Events(ctx, p.ID); err != nil || *events[0].Detail.TemperatureC != 18 {
		t.Errorf("kept is %v (%v)", events, err)
	}
}

func TestAppend(t *testing.T) {
	ctx, r := t.Context(), studiotest.NewMemory()
	for _, id := range []studio.ID{"one", "two"} {
		if _, err := r.AddPlate(ctx, studio.Plate{ID: id, Number: studio.Number{Year: 2026}}, func(n studio.Number) string { return n.String() }); err != nil {
			t.Fatal(err)
		}
	}
	no := errors.New("no")
	refuse := func([]studio.Event) (studio.Summary, string, error) { return studio.Summary{}, "", no }
	take := func(events []studio.Event) (studio.Summary, string, error) {
		return studio.Fold(events), "taken", nil
	}
	e := studio.Event{ID: "event", Plate: "one", Kind: studio.Poured, At: time.Unix(1, 0)}
	if fresh, err := r.Append(ctx, e, refuse); fresh || !errors.Is(err, no) {
		t.Errorf("a refused event gave %v, %v", fresh, err)
	}
	if events, err := r.Events(ctx, "one"); err != nil || len(events) != 0 {
		t.Errorf("a refused event left %v (%v)", events, err)
	}
	if fresh, err := r.Append(ctx, e, take); !fresh || err != nil {
		t.Errorf("the event gave %v, %v", fresh, err)
	}
	if fresh, err := r.Append(ctx, e, refuse); fresh || err != nil {
		t.Errorf("the event again gave %v, %v; want nothing to happen", fresh, err)
	}
	e.Plate = "two"
	if _, err := r.Append(ctx, e, take); !errors.Is(err, studio.ErrConflict) {
		t.Errorf("the same event of another plate gave %v", err)
	}
	e.Plate = "three"
	if _, err := r.Append(ctx, e, take); !errors.Is(err, studio.ErrNotFound) {
		t.Errorf("an event of no plate gave %v", err)
	}
	if hits, err := r.Search(ctx, studio.Query{Words: "taken"}); err != nil || len(hits) != 1 || hits[0].Ref != "26-0001" {
		t.Errorf("the search words gave %v (%v)", hits, err)
	}
	if p, err := r.PlateByID(ctx, "two"); err != nil || p.Number.Serial != 2 {
		t.Errorf("plate two is %v (%v)", p, err)
	}
}

func TestSearchFoldsAccents(t *testing.T) {
	ctx, r := t.Context(), studiotest.NewMemory()
	if err := r.Sitters().Add(ctx, studio.Sitter{ID: "s", Name: "Éloïse Nuñez", Stamp: studio.Stamp{Version: 1}}); err != nil {
		t.Fatal(err)
	}
	if hits, err := r.Search(ctx, studio.Query{Words: "eloise NUN"}); err != nil || len(hits) != 1 {
		t.Errorf("got %v (%v)", hits, err)
	}
}
