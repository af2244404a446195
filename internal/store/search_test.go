package store_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"platewright/internal/studio"
)

func refs(t testing.TB, r studio.Records, q studio.Query) []string {
	t.Helper()
	hits, err := r.Search(context.Background(), q)
	if err != nil {
		t.Fatalf("search %q: %v", q.Words, err)
	}
	found := []string{}
	for _, h := range hits {
		found = append(found, h.Kind+" "+h.Ref)
	}
	return found
}

// searchable fills r with a few records that have something to find.
func searchable(t testing.TB, r studio.Records) {
	t.Helper()
	ctx := context.Background()
	b := business(r)
	for i, name := range []string{"Żofia Łąka", "Jürgen Groß", "Søren Ærø", "Ida O'Neill", "Ида Жанна", "Grosso"} {
		_, err := b.AddSitter(ctx, studio.Sitter{ID: studio.ID(fmt.Sprint("sitter-", i)), Name: name, Contact: "0664-1234", Note: "likes daylight"})
		ok(t, err)
	}
	_, err := b.Book(ctx, studio.Sitting{ID: "sitting-1", Sitter: "sitter-0", At: at, Lasts: 90 * 60e9, Purpose: "Hochzeit", Size: size, Plates: 1, Note: "with the accordion"})
	ok(t, err)
	for i := range 12 {
		p := studio.Plan{Size: size, Support: studio.ClearGlass, Note: fmt.Sprintf("study %d", i)}
		if i == 3 {
			p.Sitting = "sitting-1"
		}
		_, err := b.PlanPlate(ctx, p)
		ok(t, err)
	}
}

func TestSearch(t *testing.T) {
	each(t, func(t *testing.T, where string) {
		s := open(t, where)
		searchable(t, s)
		for _, c := range []struct {
			words string
			want  []string
		}{
			{"zofia laka", []string{"sitter sitter-0", "sitting sitting-1", "plate 26-0004"}},
			{"ŻOF ŁĄ", []string{"sitter sitter-0", "sitting sitting-1", "plate 26-0004"}},
			{"laka daylight", []string{"sitter sitter-0"}},
			{"jurgen gross", []string{"sitter sitter-1"}},
			{"Groß", []string{"sitter sitter-1", "sitter sitter-5"}},
			{"soren aero", []string{"sitter sitter-2"}},
			{"o'neill", []string{"sitter sitter-3"}},
			{"neil", []string{"sitter sitter-3"}},
			{"жан", []string{"sitter sitter-4"}},
			{"hochz accord", []string{"sitting sitting-1"}},
			{"26-0004", []string{"plate 26-0004"}},
			{"26-001", []string{"plate 26-0010", "plate 26-0011", "plate 26-0012"}},
			{"0004", []string{"plate 26-0004"}},
			{"260004", []string{"plate 26-0004"}},
			{"study 3 glass", []string{"plate 26-0004"}},
			{"zofia nobody", nil},
			{"ofia", nil}, // the middle of a word
		} {
			got := refs(t, s, studio.Query{Words: c.words})
			slices.Sort(got)
			want := slices.Clone(c.want)
			slices.Sort(want)
			same(t, "search "+c.words, got, want)
		}
		same(t, "one kind", refs(t, s, studio.Query{Words: "laka", Kinds: []string{"plate", "sitting"}}), []string{"sitting sitting-1", "plate 26-0004"})
		same(t, "unknown kind", refs(t, s, studio.Query{Words: "laka", Kinds: []string{"lens"}}), []string{})
		same(t, "most", len(refs(t, s, studio.Query{Words: "26", Most: 5})), 5)
		same(t, "the exact name first", refs(t, s, studio.Query{Words: "grosso"})[0], "sitter sitter-5")
	})
}

// TestSearchHostile holds that nothing a person types is read as anything but words.
func TestSearchHostile(t *testing.T) {
	each(t, func(t *testing.T, where string) {
		s := open(t, where)
		searchable(t, s)
		for _, words := range []string{`"`, `""`, `'`, `''; drop table plate; --`, `NEAR(`, `NEAR(zofia laka, 2)`, `*`, `zof*`, `*zof`, `zofia OR laka`, `zofia AND`, `NOT laka`,
			`title_words : zofia`, `kind : sitter`, `{a b} : c`, `^zofia`, `zofia + laka`, `zofia & laka`, `!laka`, `zofia | laka`, `laka:*`, `zofia <-> laka`, `\`, `\'`, `$1`, `%`, `_`, `-`, `--`, `26-`,
			"zof\x00ia", "\xff\xfe", strings.Repeat("a", 5000), strings.Repeat("a ", 3000), "\u0301", "…", "=plate", "'=plate'", "a\u200bb", "½", "१२"} {
			if _, err := s.Search(context.Background(), studio.Query{Words: words}); err != nil {
				t.Errorf("search %q: %v", words, err)
			}
		}
		same(t, "a star is no wildcard", refs(t, s, studio.Query{Words: "* zofia *", Kinds: []string{"sitter"}}), []string{"sitter sitter-0"})
		same(t, "OR is a word", refs(t, s, studio.Query{Words: "zofia OR jurgen"}), []string{})
		same(t, "nothing but marks", refs(t, s, studio.Query{Words: `"*"`}), []string{})
	})
}

// TestSearchFollows holds that a changed record is found by its new words and not by its old ones.
func TestSearchFollows(t *testing.T) {
	each(t, func(t *testing.T, where string) {
		ctx, s := context.Background(), open(t, where)
		searchable(t, s)
		b := business(s)
		r, err := b.Sitter(ctx, "sitter-0")
		ok(t, err)
		r.Name = "Magdalena Vogt"
		_, err = b.ChangeSitter(ctx, r)
		ok(t, err)
		same(t, "old name", refs(t, s, studio.Query{Words: "laka"}), []string{})
		same(t, "new name", refs(t, s, studio.Query{Words: "magda"}), []string{"sitter sitter-0", "sitting sitting-1", "plate 26-0004"})
		_, err = b.Record(ctx, studio.Number{Year: 2026, Serial: 4}, event("event-001", studio.Poured, at))
		ok(t, err)
		same(t, "new state", refs(t, s, studio.Query{Words: "poured magdalena"}), []string{"plate 26-0004"})
		same(t, "old state", refs(t, s, studio.Query{Words: "planned magdalena"}), []string{})
	})
}

func TestSnippet(t *testing.T) {
	each(t, func(t *testing.T, where string) {
		ctx, s := context.Background(), open(t, where)
		long := strings.Repeat("daylight through the gauze ", 40)
		_, err := business(s).AddSitter(ctx, studio.Sitter{ID: "sitter-9", Name: "Ann", Note: long + "Brücke am Fluß " + long})
		ok(t, err)
		hits, err := s.Search(ctx, studio.Query{Words: "fluss"})
		ok(t, err)
		if len(hits) != 1 || !strings.Contains(hits[0].Snippet, "Brücke am Fluß daylight") || utf8.RuneCountInString(hits[0].Snippet) > 160 ||
			!strings.HasPrefix(hits[0].Snippet, "… ") || !strings.HasSuffix(hits[0].Snippet, " …") {
			t.Errorf("got %+v, want words around Fluß", hits)
		}
	})
}

// TestSearchFarBack: identity. However common a word is and however long ago it was written, the
// newest that have it are found, newest first.
func TestSearchFarBack(t *testing.T) {
	each(t, func(t *testing.T, where string) {
		s := open(t, where)
		const all = 4700
		name := func(i int) string {
			name := fmt.Sprintf("Common N%d", i)
			if i < 10 {
				name += " Early"
			}
			if i%12 == 0 { // 392 in all, fewer than are ranked
				name += " Dozenth"
			}
			if i < 400 || i >= all-300 { // 700 in all, 300 of them lately
				name += " Twofold"
			}
			return name
		}
		ok(t, s.Bulk(context.Background(), func(r studio.Records) error {
			for i := range all {
				err := r.Sitters().Add(context.Background(), studio.Sitter{ID: studio.ID(fmt.Sprintf("sitter-%d", i)), Name: name(i), Stamp: stamp()})
				if err != nil {
					return err
				}
			}
			return nil
		}))
		for _, word := range []string{"common", "early", "dozenth", "twofold"} {
			want := []string{}
			for i := all - 1; i >= 0 && len(want) < 200; i-- {
				if strings.Contains(strings.ToLower(name(i)), word) {
					want = append(want, fmt.Sprintf("sitter sitter-%d", i))
				}
			}
			if got := refs(t, s, studio.Query{Words: word, Most: 200}); !slices.Equal(got, want) {
				t.Errorf("%q finds %d, the first %.60q; want %d, the first %.60q", word, len(got), got, len(want), want)
			}
		}
	})
}
