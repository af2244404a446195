package main

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"platewright/internal/store"
	"platewright/internal/studio"
	"platewright/measure"
)

// The times promised, at the middle or at the slow end as each benchmark says. A benchmark beyond
// its bound fails.
const (
	startBound  = 300 * time.Millisecond
	pageBound   = 100 * time.Millisecond
	searchBound = 50 * time.Millisecond
)

const bigPlates = 100_000

// big is the folder of a studio of 100,000 plates of four years, filled once a process: a sitter for
// every twenty plates, most plates poured and judged, eight sittings today.
var big = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp(filepath.Dir(built), "big-")
	if err != nil {
		return "", err
	}
	s, err := store.Open(context.Background(), dir)
	if err != nil {
		return "", err
	}
	if err := s.Bulk(context.Background(), fillBig); err != nil {
		return "", err
	}
	return dir, s.Close()
})

var (
	givenNames  = []string{"Anna", "Bruno", "Clara", "Daniel", "Elif", "Franz", "Greta", "Hugo", "Ida", "Jakob", "Klára", "Łukasz", "Marta", "Nils", "Olga", "Pavel", "Rosa", "Søren", "Tilda", "Ute"}
	familyNames = []string{"Auer", "Berger", "Conti", "Dvořák", "Ebner", "Fuchs", "Gruber", "Huber", "Ivanov", "Jensen", "Kovács", "Lang", "Maier", "Novák", "Özdemir", "Pichler", "Rossi", "Šimek", "Toth", "Vogl"}
	remarks     = []string{"soft", "window", "gauze", "velvet", "profile", "hands", "collar", "hat", "violin", "corner", "streak", "comet", "edge", "pale", "dense", "warm", "cold", "second", "try"}
)

// fillBig fills a studio by its own rules, at the times of its four years.
func fillBig(records studio.Records) error {
	ctx := context.Background()
	today := time.Now().Truncate(24 * time.Hour)
	now := today.AddDate(-4, 0, 0)
	made := 0
	business := studio.New(records, func() time.Time { return now }, func() studio.ID {
		made++
		return studio.ID(fmt.Sprintf("big-%08d", made))
	})
	if _, err := business.Begin(ctx, studio.Profile{Name: "Atelier of many plates", Units: studio.Metric, Place: "by the river"}); err != nil {
		return err
	}
	lens, err := business.AddLens(ctx, studio.Lens{Name: "Portrait 12", Focal: 300 * measure.Millimetre, PupilMag: 1, Stops: []studio.Stop{{Name: "f/4.5", FNumber: 4.5}}})
	if err != nil {
		return err
	}
	size := measure.PlateSize{Name: "half plate", Width: 4.25 * measure.Inch, Height: 5.5 * measure.Inch}
	const sittings = bigPlates / 20
	var sitting studio.Sitting
	for i := range bigPlates {
		if i%20 == 0 {
			n := i / 20
			now = today.AddDate(-4, 0, 0).Add(time.Duration(n) * 4 * 365 * 24 * time.Hour / sittings)
			at := now.Add(10 * time.Hour)
			if left := sittings - n; left <= 8 {
				at = today.Add(time.Duration(18-left) * time.Hour)
			}
			sitter, err := business.AddSitter(ctx, studio.Sitter{Contact: fmt.Sprintf("0664-%05d", n), Note: remarks[n%len(remarks)],
				Name: fmt.Sprintf("%s %s %c%c", givenNames[n%20], familyNames[n/20%20], 'A'+rune(n/400%26), 'a'+rune(n/10400%26))})
			if err != nil {
				return err
			}
			if sitting, err = business.Book(ctx, studio.Sitting{Sitter: sitter.ID, At: at, Lasts: 90 * time.Minute, Purpose: "wedding gift", Size: size, Plates: 2}); err != nil {
				return err
			}
		}
		p, err := business.PlanPlate(ctx, studio.Plan{Sitting: sitting.ID, Size: size, Support: studio.ClearGlass, Lens: lens.ID, Stop: lens.Stops[0],
			Distance: 2 * measure.Metre, Magnification: 0.176, Exposure: 4 * time.Second, Light: "north window"})
		if err != nil {
			return err
		}
		var events []studio.Event
		switch {
		case i%50 == 7: // planned only
		case i%50 == 8 || i > bigPlates-20:
			events = []studio.Event{{Kind: studio.Poured}}
		default:
			said := remarks[i%19] + " " + remarks[i/7%19] + " " + remarks[i/131%19]
			events = []studio.Event{{Kind: studio.Poured}, {Kind: studio.Judged, Detail: studio.Detail{
				Verdict: &studio.Verdict{Word: i%7 - 3, Fate: studio.Fates()[i%3], Say: said}}}}
		}
		for j, e := range events {
			e.ID, e.At, e.Device = studio.ID(fmt.Sprintf("event-%06d-%d", i, j)), now.Add(time.Duration(j)*time.Hour), "pen"
			if _, err := business.Record(ctx, p.Number, e); err != nil {
				return err
			}
		}
	}
	return nil
}

// bigServed serves the big studio, warm.
func bigServed(b *testing.B) *serving {
	b.Helper()
	begun := time.Now()
	dir, err := big()
	if err != nil {
		b.Fatal(err)
	}
	if took := time.Since(begun); took > time.Second {
		b.Logf("filled %d plates in %v", bigPlates, took.Round(100*time.Millisecond))
	}
	s := opened(b, dir, "127.0.0.1:0")
	b.Cleanup(func() { s.stopped(b) })
	for _, path := range []string{"/desk", "/plates", "/plates?words=anna"} {
		for range 5 {
			page(b, s.base+path)
		}
	}
	return s
}

// page asks for a page, reads it to its end and returns it.
func page(b *testing.B, address string) string {
	b.Helper()
	r, err := sender.Get(address)
	if err != nil {
		b.Fatal(err)
	}
	body, err := io.ReadAll(r.Body)
	if closed := r.Body.Close(); err != nil || closed != nil || r.StatusCode != http.StatusOK {
		b.Fatalf("%s: %s, %v, %v", address, r.Status, err, closed)
	}
	return string(body)
}

// timed reports the middle and the slow end of b's calls and returns them.
func timed(b *testing.B, call func(i int)) (p50, p99 time.Duration) {
	b.Helper()
	var took []time.Duration
	for b.Loop() {
		begun := time.Now()
		call(len(took))
		took = append(took, time.Since(begun))
	}
	slices.Sort(took)
	p50, p99 = took[len(took)/2], took[len(took)*99/100]
	b.ReportMetric(p50.Seconds()*1000, "p50-ms")
	b.ReportMetric(p99.Seconds()*1000, "p99-ms")
	return p50, p99
}

// BenchmarkStart is the time from starting the program to the address it prints, of an empty studio
// and of one of 100,000 plates; the middle start is held against the bound.
func BenchmarkStart(b *testing.B) {
	for _, studios := range []struct {
		name   string
		folder func() (string, error)
	}{
		{"empty", func() (string, error) { return b.TempDir(), nil }},
		{"plates=100000", big},
	} {
		b.Run(studios.name, func(b *testing.B) {
			dir, err := studios.folder()
			if err != nil {
				b.Fatal(err)
			}
			opened(b, dir, "127.0.0.1:0").killed(b) // the schema is made once
			var took []time.Duration
			for b.Loop() {
				s := opened(b, dir, "127.0.0.1:0")
				took = append(took, s.took)
				s.killed(b)
			}
			slices.Sort(took)
			middle := took[len(took)/2]
			b.ReportMetric(middle.Seconds()*1000, "p50-ms")
			b.ReportMetric(took[len(took)-1].Seconds()*1000, "worst-ms")
			if middle > startBound {
				b.Errorf("the middle start took %v, want at most %v", middle, startBound)
			}
		})
	}
}

// BenchmarkFirstStart is the very first start in a folder, schema and all.
func BenchmarkFirstStart(b *testing.B) {
	parent := b.TempDir()
	p50, _ := timed(b, func(i int) { opened(b, filepath.Join(parent, fmt.Sprint(i)), "127.0.0.1:0").killed(b) })
	if p50 > startBound {
		b.Errorf("the middle first start took %v, want at most %v", p50, startBound)
	}
}

// BenchmarkFirstPage100k is the time to a page of a studio of 100,000 plates on a warm server, over
// HTTP; the slow end is held against the bound.
func BenchmarkFirstPage100k(b *testing.B) {
	s := bigServed(b)
	for path, holds := range map[string]string{"/desk": "wedding gift", "/plates": "half plate", "/darkroom": "Pour the collodion", "/floor": "Portrait 12"} {
		b.Run(strings.TrimPrefix(path, "/"), func(b *testing.B) {
			if body := page(b, s.base+path); !strings.Contains(body, holds) {
				b.Fatalf("%s does not say %q", path, holds)
			}
			if p50, p99 := timed(b, func(int) { page(b, s.base+path) }); p99 > pageBound {
				b.Errorf("%s: 99 of 100 pages took up to %v (the middle %v), want at most %v", path, p99, p50, pageBound)
			}
		})
	}
}

// BenchmarkSearchPage100k is the time to a page of what a search finds among 100,000 plates, over
// HTTP; the slow end is held against the bound.
func BenchmarkSearchPage100k(b *testing.B) {
	s := bigServed(b)
	for _, group := range []struct {
		name  string
		words []string
	}{
		{"typed", []string{"anna", "anna ber", "anna berger", "berg", "soren", "klara novak", "violin soft", "lukasz simek", "comet hat", "0664-00123", "redo violin", "ozdem gauz"}},
		{"common", []string{"g", "gl", "glass", "half plate", "2", "w", "keep", "north window", "a b"}},
	} {
		b.Run(group.name, func(b *testing.B) {
			if p50, p99 := timed(b, func(i int) {
				page(b, s.base+"/plates?words="+url.QueryEscape(group.words[i%len(group.words)]))
			}); p99 > searchBound {
				b.Errorf("99 of 100 searches took up to %v (the middle %v), want at most %v", p99, p50, searchBound)
			}
		})
	}
}
