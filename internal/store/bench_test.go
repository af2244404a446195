package store_test

import (
	"context"
	"fmt"
	"os"
	"slices"
	"sync"
	"testing"
	"time"

	"platewright/internal/store"
	"platewright/internal/studio"
)

// big is a studio of 100,000 plates of four years, 20 to a sitter, most of them judged. It is filled
// once for all benchmarks of a process, in a folder or in the database PLATEWRIGHT_BENCH_POSTGRES
// names, which must be empty.
const bigPlates = 100_000

var benchFolder string // made by big, removed by TestMain

var big = sync.OnceValues(func() (string, error) {
	where := os.Getenv("PLATEWRIGHT_BENCH_POSTGRES")
	if where == "" {
		folder, err := os.MkdirTemp("", "platewright-bench-")
		if err != nil {
			return "", err
		}
		where, benchFolder = folder, folder
	}
	s, err := store.Open(context.Background(), where)
	if err != nil {
		return "", err
	}
	const portion = 2000
	for from := 0; from < bigPlates; from += portion {
		err := s.Bulk(context.Background(), func(r studio.Records) error { return fill(r, from, from+portion) })
		if err != nil {
			return "", err
		}
	}
	return where, s.Close()
})

var (
	firstNames = []string{"Anna", "Bruno", "Clara", "Daniel", "Elif", "Franz", "Greta", "Hugo", "Ida", "Jakob", "Klára", "Łukasz", "Marta", "Nils", "Olga", "Pavel", "Rosa", "Søren", "Tilda", "Ute"}
	lastNames  = []string{"Auer", "Berger", "Conti", "Dvořák", "Ebner", "Fuchs", "Gruber", "Huber", "Ivanov", "Jensen", "Kovács", "Lang", "Maier", "Novák", "Özdemir", "Pichler", "Rossi", "Šimek", "Toth", "Vogl"}
	wordStock  = []string{"soft", "window", "gauze", "velvet", "profile", "hands", "collar", "hat", "violin", "window", "corner", "streak", "comet", "edge", "pale", "dense", "warm", "cold", "second", "try"}
)

// fill stores the plates from one place to before another.
func fill(r studio.Records, from, until int) error {
	ctx := context.Background()
	pick := func(from []string, n int) string { return from[n%len(from)] }
	for i := from; i < until; i++ {
		if i%20 == 0 {
			n := i / 20
			name := pick(firstNames, n) + " " + pick(lastNames, n/20) + fmt.Sprintf(" %c%c", 'A'+rune(n/400%26), 'a'+rune(n/10400%26))
			if err := r.Sitters().Add(ctx, studio.Sitter{ID: studio.ID(fmt.Sprint("sitter-", n)), Name: name, Contact: fmt.Sprintf("0664-%05d", n), Note: pick(wordStock, n), Stamp: stamp()}); err != nil {
				return err
			}
			sit := sitting
			sit.ID, sit.Sitter, sit.At = studio.ID(fmt.Sprint("sitting-", n)), studio.ID(fmt.Sprint("sitter-", n)), at.Add(time.Duration(n)*time.Hour)
			if err := r.Sittings().Add(ctx, sit); err != nil {
				return err
			}
		}
		n := i / 20
		name := pick(firstNames, n) + " " + pick(lastNames, n/20)
		said := pick(wordStock, i) + " " + pick(wordStock, i/7) + " " + pick(wordStock, i/131)
		words := func(state string) func(studio.Number) string {
			return func(n studio.Number) string {
				return n.String() + " whole plate clear glass north window " + state + " " + name + " wedding gift Portrait 12 Collodion 7 " + said
			}
		}
		p, err := r.AddPlate(ctx, studio.Plate{ID: studio.ID(fmt.Sprint("plate-", i)), Number: studio.Number{Year: 2023 + i/25_001},
			Plan: studio.Plan{Size: size, Support: studio.ClearGlass, Sitting: studio.ID(fmt.Sprint("sitting-", n))}, Stamp: stamp()}, words("planned"))
		if err != nil {
			return err
		}
		var done []studio.EventKind
		switch {
		case i%50 == 7: // planned only
		case i%50 == 8 || i > bigPlates-20:
			done = []studio.EventKind{studio.Poured}
		default:
			done = []studio.EventKind{studio.Poured, studio.Judged}
		}
		for j, kind := range done {
			e := event(fmt.Sprintf("event-%d-%d", i, j), kind, at.Add(time.Duration(i)*time.Minute))
			e.Plate = p.ID
			if kind == studio.Judged {
				e.Detail.Verdict = &studio.Verdict{Word: i%7 - 3, Fate: studio.Fates()[i%3], Say: said}
			}
			if _, err := r.Append(ctx, e, func(es []studio.Event) (studio.Summary, string, error) {
				sum := studio.Fold(es)
				return sum, words(sum.State())(p.Number), nil
			}); err != nil {
				return err
			}
		}
	}
	return nil
}

func bigStore(b *testing.B) *store.Store {
	b.Helper()
	start := time.Now()
	where, err := big()
	ok(b, err)
	if d := time.Since(start); d > time.Second {
		b.Logf("filled %d plates in %v at %s", bigPlates, d.Round(time.Millisecond), where)
	}
	return open(b, where)
}

// timed reports the middle and the slow end of b.N calls.
func timed(b *testing.B, call func(i int)) {
	var took []time.Duration
	i := 0
	for b.Loop() {
		start := time.Now()
		call(i)
		took = append(took, time.Since(start))
		i++
	}
	slices.Sort(took)
	b.ReportMetric(took[len(took)/2].Seconds()*1000, "p50-ms")
	b.ReportMetric(took[len(took)*99/100].Seconds()*1000, "p99-ms")
	b.ReportMetric(took[len(took)-1].Seconds()*1000, "worst-ms")
}

// BenchmarkSearch100k asks what a person types, letter by letter: names, numbers, remarks, and the
// most common words there are.
func BenchmarkSearch100k(b *testing.B) {
	s := bigStore(b)
	for _, group := range []struct {
		name    string
		queries []string
	}{
		{"typed", []string{"anna", "anna ber", "anna berger", "berg", "26-0147", "24-01", "soren", "klara novak", "violin soft", "lukasz simek", "comet hat", "25-12345", "0664-00123", "redo violin", "ozdem gauz"}},
		{"common", []string{"g", "gl", "glass", "whole plate", "2", "w", "keep", "north window whole", "a b"}},
	} {
		b.Run(group.name, func(b *testing.B) {
			timed(b, func(i int) {
				_, err := s.Search(context.Background(), studio.Query{Words: group.queries[i%len(group.queries)]})
				ok(b, err)
			})
		})
	}
}

// BenchmarkPlatePage100k reads pages of 50: the newest, and in turn with every filter, from the
// newest and from the middle. It fails when the middle time of any one filter is over 10 ms.
func BenchmarkPlatePage100k(b *testing.B) {
	s := bigStore(b)
	ctx := context.Background()
	b.Run("newest", func(b *testing.B) {
		timed(b, func(int) {
			_, err := s.Plates(ctx, studio.PlateFilter{})
			ok(b, err)
		})
	})
	var all []studio.PlateFilter
	for _, f := range filters("sitting-77") {
		all = append(all, f)
		f.Below = studio.Number{Year: 2024, Serial: 9000}
		all = append(all, f)
	}
	b.Run("filtered", func(b *testing.B) {
		timed(b, func(i int) {
			_, err := s.Plates(ctx, all[i%len(all)])
			ok(b, err)
		})
	})
	for _, f := range all {
		var took []time.Duration
		for range 7 {
			start := time.Now()
			_, err := s.Plates(ctx, f)
			ok(b, err)
			took = append(took, time.Since(start))
		}
		if slices.Sort(took); took[3] > 10*time.Millisecond {
			b.Errorf("%+v: %v", f, took[3])
		}
	}
}

// BenchmarkAppend records one event, on the disk when it returns.
func BenchmarkAppend(b *testing.B) {
	s := bigStore(b)
	p := addPlate(b, s, studio.ID(fmt.Sprint("bench-", time.Now().UnixNano())), 2027)
	timed(b, func(i int) {
		if i%12 == 0 {
			p = addPlate(b, s, studio.ID(fmt.Sprint("bench-", time.Now().UnixNano())), 2027)
		}
		e := event(fmt.Sprint("bench-", time.Now().UnixNano()), studio.Noted, at)
		e.Plate, e.Detail.Words = p.ID, "soft"
		_, err := s.Append(context.Background(), e, func(es []studio.Event) (studio.Summary, string, error) {
			return studio.Fold(es), fmt.Sprint("27-0001 clear glass soft ", i), nil
		})
		ok(b, err)
	})
}
