package store_test

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"

	"platewright/internal/store"
	"platewright/internal/studio"
	"platewright/measure"
)

// business is a studio over r whose ids count up and whose clock stands still.
func business(r studio.Records) *studio.Studio {
	var mu sync.Mutex
	n := 0
	return studio.New(r, func() time.Time { return at }, func() studio.ID {
		mu.Lock()
		defer mu.Unlock()
		n++
		return studio.ID(fmt.Sprintf("made-%04d", n))
	})
}

func event(id string, kind studio.EventKind, when time.Time) studio.Event {
	return studio.Event{ID: studio.ID(id), Kind: kind, At: when, Device: "phone in the dark room"}
}

func addPlate(t testing.TB, r studio.Records, id studio.ID, year int) studio.Plate {
	t.Helper()
	p, err := r.AddPlate(context.Background(), studio.Plate{ID: id, Number: studio.Number{Year: year}, Plan: studio.Plan{Size: size, Support: studio.ClearGlass}, Stamp: stamp()},
		func(n studio.Number) string { return n.String() + " clear glass" })
	ok(t, err)
	return p
}

func TestPlateRoundTrip(t *testing.T) {
	each(t, func(t *testing.T, where string) {
		ctx, s := context.Background(), open(t, where)
		filled(t, s)
		p := studio.Plate{ID: "plate-1", Number: studio.Number{Year: 2026}, Plan: plan, Stamp: stamp()}
		p, err := s.AddPlate(ctx, p, func(n studio.Number) string { return n.String() })
		ok(t, err)
		same(t, "number", p.Number, studio.Number{Year: 2026, Serial: 1})
		got, err := s.Plate(ctx, p.Number)
		ok(t, err)
		same(t, "plate by number", got, p)
		got, err = s.PlateByID(ctx, p.ID)
		ok(t, err)
		same(t, "plate by id", got, p)
		for _, err := range []error{second(s.Plate(ctx, studio.Number{Year: 2025, Serial: 1})), second(s.PlateByID(ctx, "none")), second(s.Events(ctx, "none")),
			s.Reword(ctx, "none", func([]studio.Event) string { return "x" }), second(s.Append(ctx, event("event-000", studio.Poured, at), nil))} {
			if !errors.Is(err, studio.ErrNotFound) {
				t.Errorf("of no plate: got %v, want ErrNotFound", err)
			}
		}

		mine, yours := p, p
		mine.Plan, mine.Version = studio.Plan{Size: size, Support: studio.BlackMetal}, 2
		mine.Number.Serial = 99 // a number never changes
		ok(t, s.ChangePlate(ctx, mine, worded("26-0001 blackened metal")))
		mine.Number = p.Number
		got, err = s.PlateByID(ctx, p.ID)
		ok(t, err)
		same(t, "changed plate", got, mine)
		yours.Version = 2
		err = s.ChangePlate(ctx, yours, worded("words of the loser"))
		var conflict *studio.Conflict
		if !errors.As(err, &conflict) {
			t.Fatalf("changing an older plate: got %v, want a *Conflict", err)
		}
		same(t, "theirs", conflict.Theirs, any(mine))
		if hits, err := s.Search(ctx, studio.Query{Words: "loser"}); err != nil || len(hits) > 0 {
			t.Errorf("the refused plan's words are found: %v, %v", hits, err)
		}
		if _, err := s.AddPlate(ctx, p, func(n studio.Number) string { return "" }); !errors.As(err, &conflict) {
			t.Errorf("adding a plate twice: got %v, want a *Conflict", err)
		}
		same(t, "the number after the refused plate", addPlate(t, s, "plate-2", 2026).Number.Serial, 2)
	})
}

// TestRewordBesideAppend: whoever comes last, a plate is found by the words of every event it has.
func TestRewordBesideAppend(t *testing.T) {
	each(t, func(t *testing.T, where string) {
		ctx, s := context.Background(), open(t, where)
		p := addPlate(t, s, "plate-1", 2026)
		said := func(es []studio.Event) string {
			var b strings.Builder
			for _, e := range es {
				b.WriteString(e.Detail.Words + " ")
			}
			return b.String()
		}
		var all sync.WaitGroup
		for i := range 12 {
			all.Go(func() {
				e := event(fmt.Sprintf("event-%03d", i), studio.Noted, at)
				e.Plate, e.Detail.Words = p.ID, fmt.Sprint("word", i, "x")
				_, err := s.Append(ctx, e, func(es []studio.Event) (studio.Summary, string, error) { return studio.Fold(es), said(es), nil })
				if err != nil {
					t.Error(err)
				}
			})
			all.Go(func() {
				if err := s.Reword(ctx, p.ID, said); err != nil {
					t.Error(err)
				}
			})
		}
		all.Wait()
		for i := range 12 {
			hits, err := s.Search(ctx, studio.Query{Words: fmt.Sprint("word", i, "x")})
			ok(t, err)
			if len(hits) != 1 {
				t.Errorf("note %d finds %v, want its plate", i, hits)
			}
		}
	})
}

func second[T any](_ T, err error) error { return err }

// story is a day of one plate, with everything an event can hold.
func story() []studio.Event {
	cold := measure.Celsius(0) // zero is a temperature
	es := []studio.Event{
		event("event-001", studio.Poured, at),
		event("event-002", studio.InBath, at.Add(time.Minute)),
		event("event-003", studio.Exposed, at.Add(6*time.Minute)),
		event("event-004", studio.DeveloperOff, at.Add(7*time.Minute)),
		event("event-005", studio.Judged, at.Add(9*time.Minute)),
		event("event-006", studio.Marked, at.Add(10*time.Minute)),
		event("event-007", studio.Copied, at.Add(11*time.Minute)),
		event("event-008", studio.Moved, at.Add(12*time.Minute)),
		event("event-009", studio.Noted, at.Add(13*time.Minute)),
		event("event-010", studio.Corrected, at.Add(14*time.Minute)),
	}
	es[1].By, es[1].Detail.TemperatureC = "Ida", &cold
	es[2].Detail.ExposureS = 3.5
	es[3].Detail.FirstImageS = 4.25
	es[4].Detail.Verdict = &studio.Verdict{Word: -1, Fate: studio.Keep, Say: "soft & \"warm\""}
	es[5].Detail.Mark = &studio.Mark{Appearance: "comet", XPct: 12.5, YPct: 88, Say: "corner"}
	es[6].Detail.Copy = &studio.Copy{Original: "aa", FileName: "x.tif", TrueView: "bb", View: "cc", Thumb: "dd", Format: "tiff", WidthPx: 600, HeightPx: 800, Turned: true}
	es[7].Detail.Place = "drawer 4"
	es[8].Detail.Words = "blühende Hände"
	es[9].Corrects, es[9].Detail.Instead = "event-003", &studio.Instead{At: at.Add(5*time.Minute + 7), Detail: studio.Detail{ExposureS: 7}}
	return es
}

func TestEvents(t *testing.T) {
	each(t, func(t *testing.T, where string) {
		ctx, s := context.Background(), open(t, where)
		filled(t, s)
		b := business(s)
		p, err := b.PlanPlate(ctx, studio.Plan{Sitting: "sitting-1", Size: size})
		ok(t, err)
		var last studio.Story
		for _, e := range story() {
			last, err = b.Record(ctx, p.Number, e)
			ok(t, err)
		}
		want := story()
		for i := range want {
			want[i].Plate, want[i].Received = p.ID, at
		}
		want[9].Detail.Instead.At = at.Add(5 * time.Minute) // whole microseconds are kept
		same(t, "events", last.Events, want)

		page, err := s.Plates(ctx, studio.PlateFilter{})
		ok(t, err)
		wantRow := studio.PlateRow{Plate: p, Summary: studio.Fold(want), SitterName: sitter.Name}
		same(t, "row", page, studio.PlatePage{Rows: []studio.PlateRow{wantRow}})
		same(t, "thumb", page.Rows[0].Thumb(), "dd")

		// A device hands over again what it kept.
		for _, e := range story() {
			again, err := b.Record(ctx, p.Number, e)
			ok(t, err)
			same(t, "story after a repeat", again, last)
		}
		// A step that stands is refused, and leaves nothing behind: neither event nor words.
		twice := event("event-777", studio.Poured, at.Add(time.Hour))
		twice.Detail.Words = "unmistakable"
		_, err = b.Record(ctx, p.Number, twice)
		var done *studio.AlreadyDone
		if !errors.As(err, &done) || !done.At.Equal(at) || done.Device != "phone in the dark room" {
			t.Errorf("a second pour: got %v, want *AlreadyDone with the first one's time and device", err)
		}
		after, err := b.Plate(ctx, p.Number)
		ok(t, err)
		same(t, "story after the refusal", after, last)
		if hits, err := s.Search(ctx, studio.Query{Words: "unmistakable"}); err != nil || len(hits) > 0 {
			t.Errorf("the refused event's words are found: %v, %v", hits, err)
		}
		// Voiding the pour lets it happen again.
		void := event("event-011", studio.Corrected, at.Add(time.Hour))
		void.Corrects, void.Detail.Void = "event-001", true
		_, err = b.Record(ctx, p.Number, void)
		ok(t, err)
		last, err = b.Record(ctx, p.Number, twice)
		ok(t, err)
		same(t, "poured at", last.PouredAt, at.Add(time.Hour))

		other := addPlate(t, s, "plate-2", 2026)
		if _, err := b.Record(ctx, other.Number, event("event-001", studio.Poured, at)); !errors.Is(err, studio.ErrConflict) {
			t.Errorf("an event known at another plate: got %v, want ErrConflict", err)
		}

		tally, err := s.Tally(ctx)
		ok(t, err)
		same(t, "tally", tally, studio.Tally{Sitters: 1, Sittings: 1, Plates: 2, Poured: 1})
	})
}

// TestEventsStay holds that the database itself refuses to change or delete an event.
func TestEventsStay(t *testing.T) {
	each(t, func(t *testing.T, where string) {
		ctx, s := context.Background(), open(t, where)
		p := addPlate(t, s, "plate-1", 2026)
		_, err := business(s).Record(ctx, p.Number, event("event-001", studio.Poured, at))
		ok(t, err)
		db := raw(t, where)
		for _, statement := range []string{"update event set at_us = 1", "delete from event"} {
			if _, err := db.Exec(statement); err == nil || !strings.Contains(err.Error(), "never") {
				t.Errorf("%s: got %v, want it refused", statement, err)
			}
		}
		es, err := s.Events(ctx, p.ID)
		ok(t, err)
		same(t, "events left", len(es), 1)
	})
}

// raw opens the database past the store.
func raw(t testing.TB, where string) *sql.DB {
	t.Helper()
	driver, dsn := "sqlite", filepath.Join(where, "studio.db")
	if strings.HasPrefix(where, "postgres") {
		driver, dsn = "pgx", where
	}
	db, err := sql.Open(driver, dsn)
	ok(t, err)
	t.Cleanup(func() { ok(t, db.Close()) })
	return db
}

// TestSameStepAtOnce lets eight devices record the same step at the same moment: one wins.
func TestSameStepAtOnce(t *testing.T) {
	each(t, func(t *testing.T, where string) {
		ctx, s := context.Background(), open(t, where)
		other := open(t, where) // half of them through another program's connections
		p := addPlate(t, s, "plate-1", 2026)
		for round, kind := range []studio.EventKind{studio.Poured, studio.InBath, studio.OutOfBath, studio.Loaded} {
			results := make([]error, 8)
			var all sync.WaitGroup
			for i := range results {
				b := business([]studio.Records{s, other}[i%2])
				all.Go(func() {
					_, results[i] = b.Record(ctx, p.Number, event(fmt.Sprintf("event-%d-%d", round, i), kind, at))
				})
			}
			all.Wait()
			won := 0
			for _, err := range results {
				var done *studio.AlreadyDone
				switch {
				case err == nil:
					won++
				case !errors.As(err, &done):
					t.Errorf("%s: got %v, want *AlreadyDone", kind, err)
				}
			}
			same(t, string(kind)+": how many won", won, 1)
		}
		es, err := s.Events(ctx, p.ID)
		ok(t, err)
		same(t, "events", len(es), 4)
	})
}

func TestPlateNumbersAtOnce(t *testing.T) {
	each(t, func(t *testing.T, where string) {
		ctx, s := context.Background(), open(t, where)
		const hands, each = 8, 12
		var mu sync.Mutex
		var got []int
		var all sync.WaitGroup
		for h := range hands {
			all.Go(func() {
				for i := range each {
					p := studio.Plate{ID: studio.ID(fmt.Sprintf("plate-%d-%d", h, i)), Number: studio.Number{Year: 2026 + i%2}, Plan: studio.Plan{Size: size}, Stamp: stamp()}
					p, err := s.AddPlate(ctx, p, studio.Number.String)
					mu.Lock()
					if err != nil {
						t.Error(err)
					}
					got = append(got, p.Number.Year*1000+p.Number.Serial)
					mu.Unlock()
				}
			})
		}
		all.Wait()
		slices.Sort(got)
		var want []int
		for _, year := range []int{2026, 2027} {
			for serial := range hands * each / 2 {
				want = append(want, year*1000+serial+1)
			}
		}
		same(t, "numbers", got, want)
	})
}

// TestPages walks lists of plates page by page, with every filter and pair of filters, and compares
// with picking them by hand from all.
func TestPages(t *testing.T) {
	each(t, func(t *testing.T, where string) {
		ctx, s := context.Background(), open(t, where)
		filled(t, s)
		b := business(s)
		days := [][]studio.EventKind{{}, {studio.Poured}, {studio.Poured, studio.Judged}, {studio.Poured, studio.Varnished},
			{studio.InBath}, {studio.Poured, studio.InBath}, {studio.Poured, studio.Varnished, studio.Judged}}
		for i := range 120 {
			p := studio.Plate{ID: studio.ID(fmt.Sprint("plate-", i)), Number: studio.Number{Year: 2025 + i/70}, Plan: studio.Plan{Size: size}, Stamp: stamp()}
			if i%3 == 0 {
				p.Plan.Sitting = sitting.ID
			}
			p, err := s.AddPlate(ctx, p, studio.Number.String)
			ok(t, err)
			for j, kind := range days[i%len(days)] {
				e := event(fmt.Sprintf("event-%d-%d", i, j), kind, at)
				if kind == studio.Judged {
					e.Detail.Verdict = &studio.Verdict{Fate: studio.Fates()[i%3]}
				}
				_, err := b.Record(ctx, p.Number, e)
				ok(t, err)
			}
		}
		everything, err := s.Plates(ctx, studio.PlateFilter{Most: 500})
		ok(t, err)
		same(t, "how many", len(everything.Rows), 120)
		for _, f := range filters(sitting.ID) {
			var want []studio.PlateRow
			for _, r := range everything.Rows {
				if (f.State == "" || f.State == r.State()) && (f.Sitting == "" || f.Sitting == r.Plan.Sitting) &&
					(!f.Begun || !r.PouredAt.IsZero()) && (!f.Open || r.Verdict == nil && r.Next != "") {
					want = append(want, r)
				}
			}
			var got []studio.PlateRow
			f.Most = 7
			for {
				page, err := s.Plates(ctx, f)
				ok(t, err)
				got = append(got, page.Rows...)
				if !page.More {
					break
				}
				same(t, "rows of a full page", len(page.Rows), f.Most)
				f.Below = got[len(got)-1].Number
			}
			same(t, fmt.Sprintf("%+v", f), got, want)
		}
		named := []studio.Number{{Year: 2025, Serial: 3}, {Year: 2026, Serial: 50}, {Year: 2026, Serial: 51}, {Year: 2024, Serial: 3}}
		page, err := s.Plates(ctx, studio.PlateFilter{Numbers: named})
		ok(t, err)
		var numbers []studio.Number
		for _, r := range page.Rows {
			numbers = append(numbers, r.Number)
		}
		same(t, "plates asked for by number, those there are", numbers, []studio.Number{{Year: 2026, Serial: 50}, {Year: 2025, Serial: 3}})
		ns, err := s.PlatesOf(ctx, sitter.ID)
		ok(t, err)
		same(t, "plates of the sitter", len(ns), 40)
	})
}

// filters are all there is to ask of a list of plates.
func filters(sitting studio.ID) (all []studio.PlateFilter) {
	for _, state := range []string{"", "planned", "poured", "varnished", "keep", "nonsense"} {
		for _, sit := range []studio.ID{"", sitting} {
			for _, begun := range []bool{false, true} {
				for _, unfinished := range []bool{false, true} {
					all = append(all, studio.PlateFilter{State: state, Sitting: sit, Begun: begun, Open: unfinished})
				}
			}
		}
	}
	return all
}

// TestProjection records random events, sensible or not, and holds that what a list shows equals
// folding the stored events: whatever happened, and whatever was refused.
func TestProjection(t *testing.T) {
	each(t, func(t *testing.T, where string) {
		ctx, s := context.Background(), open(t, where)
		b := business(s)
		plates, events := 0, 0
		kinds := []studio.EventKind{studio.Poured, studio.InBath, studio.OutOfBath, studio.Loaded, studio.Exposed, studio.DeveloperOn, studio.DeveloperOff,
			studio.Fixed, studio.Washed, studio.Varnished, studio.Judged, studio.Marked, studio.Copied, studio.Moved, studio.Delivered, studio.Noted, studio.Corrected, studio.Corrected}
		rapid.Check(t, func(rt *rapid.T) {
			plates++
			p := addPlate(t, s, studio.ID(fmt.Sprint("plate-", plates)), 2026)
			var ids []studio.ID
			for range rapid.IntRange(0, 12).Draw(rt, "events") {
				events++
				e := event(fmt.Sprintf("event-%06d", events), rapid.SampledFrom(kinds).Draw(rt, "kind"), at.Add(time.Duration(rapid.IntRange(-5e9, 5e9).Draw(rt, "ns"))))
				detail := func() studio.Detail {
					return studio.Detail{Verdict: &studio.Verdict{Word: rapid.IntRange(-4, 3).Draw(rt, "word"), Fate: studio.Keep, Say: rapid.String().Draw(rt, "say")},
						Mark:  &studio.Mark{Appearance: rapid.StringMatching(`[a-zö ]{0,9}`).Draw(rt, "appearance"), XPct: rapid.Float64Range(0, 100).Draw(rt, "x")},
						Copy:  &studio.Copy{Original: "aa", TrueView: "bb", Thumb: rapid.StringMatching(`[0-9a-f]{0,4}`).Draw(rt, "thumb")},
						Place: rapid.String().Draw(rt, "place"), Words: rapid.String().Draw(rt, "words")}
				}
				e.Detail = detail()
				if e.Kind == studio.Corrected {
					e.Corrects = rapid.SampledFrom(append(ids, "event-none")).Draw(rt, "corrects")
					if e.Detail.Void = rapid.Bool().Draw(rt, "void"); !e.Detail.Void {
						e.Detail.Instead = &studio.Instead{At: e.At.Add(-time.Second), Detail: detail()}
					}
				}
				_, err := b.Record(ctx, p.Number, e)
				var invalid *studio.Invalid
				switch {
				case err == nil:
					ids = append(ids, e.ID)
				case !errors.Is(err, studio.ErrConflict) && !errors.As(err, &invalid):
					rt.Fatalf("record: %v", err)
				}
			}
			stored, err := s.Events(ctx, p.ID)
			ok(t, err)
			same(t, "events stored", len(stored), len(ids))
			page, err := s.Plates(ctx, studio.PlateFilter{Most: 1})
			ok(t, err)
			same(t, "the plate's row", page.Rows, []studio.PlateRow{{Plate: p, Summary: studio.Fold(stored)}})
			if t.Failed() {
				rt.FailNow()
			}
		})
	})
}

// TestBulk holds that a refused call within leaves nothing, and a failed whole leaves nothing.
func TestBulk(t *testing.T) {
	each(t, func(t *testing.T, where string) {
		ctx, s := context.Background(), open(t, where)
		failed := errors.New("enough")
		err := s.Bulk(ctx, func(r studio.Records) error {
			filled(t, r)
			addPlate(t, r, "plate-1", 2026)
			return failed
		})
		if !errors.Is(err, failed) {
			t.Fatalf("got %v, want the error of the whole", err)
		}
		if all, err := s.Sitters().All(ctx); err != nil || len(all) > 0 {
			t.Errorf("after the failure: %v, %v; want nothing", all, err)
		}
		ok(t, s.Bulk(ctx, func(r studio.Records) error {
			filled(t, r)
			b := business(r)
			p, err := b.PlanPlate(ctx, studio.Plan{Size: size, Sitting: sitting.ID})
			ok(t, err)
			_, err = b.Record(ctx, p.Number, event("event-001", studio.Poured, at))
			ok(t, err)
			var done *studio.AlreadyDone
			if _, err = b.Record(ctx, p.Number, event("event-002", studio.Poured, at)); !errors.As(err, &done) {
				t.Errorf("got %v, want *AlreadyDone", err)
			}
			es, err := r.Events(ctx, p.ID)
			ok(t, err)
			same(t, "events after the refused one", len(es), 1)
			var conflict *studio.Conflict
			if _, err := r.AddPlate(ctx, p, studio.Number.String); !errors.As(err, &conflict) {
				t.Errorf("got %v, want a *Conflict", err)
			}
			same(t, "the number after the refused plate", addPlate(t, r, "plate-2", 2026).Number.Serial, 2)
			hits, err := r.Search(ctx, studio.Query{Words: "lak pour", Kinds: []string{"plate"}})
			ok(t, err)
			same(t, "plates found within", len(hits), 1)
			return nil
		}))
		page, err := s.Plates(ctx, studio.PlateFilter{Begun: true})
		ok(t, err)
		same(t, "plates begun", len(page.Rows), 1)
		hits, err := s.Search(ctx, studio.Query{Words: "lak pour", Kinds: []string{"plate"}})
		ok(t, err)
		same(t, "plates found", len(hits), 1)
	})
}

var _ studio.Records = (*store.Store)(nil)

// worded lets every change of a plan pass, to be found by words.
func worded(words string) func([]studio.Event) (string, error) {
	return func([]studio.Event) (string, error) { return words, nil }
}
