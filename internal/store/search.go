package store

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"platewright/internal/studio"
)

// entry is what the search knows of one record.
type entry struct {
	kind, ref   string
	title, body string
}

// newest is how many of a kind's matches are ranked when a query is so common that it matches
// more: the newest ones.
const newest = 1000

// kinds of entries, in the order that breaks a tie.
var kinds = [...]string{"sitter", "sitting", "plate"}

// enter stores e in place of what the search knew of that record.
func (r records) enter(ctx context.Context, q querier, e entry) error {
	_, err := q.ExecContext(ctx, `insert into search_entry (kind, ref, title, body, title_words, body_words) values ($1, $2, $3, $4, $5, $6)
		on conflict (kind, ref) do update set title = excluded.title, body = excluded.body,
			title_words = excluded.title_words, body_words = excluded.body_words
		where search_entry.title <> excluded.title or search_entry.body <> excluded.body`,
		e.kind, e.ref, clean(e.title), clean(e.body), searchable(e.title), searchable(e.body))
	if err != nil {
		return fmt.Errorf("search entry: %w", err)
	}
	return nil
}

// Search returns what matches, the best first: each kind's best in turn, so that a sitter is not
// buried under the sitter's plates.
func (r records) Search(ctx context.Context, q studio.Query) ([]studio.Hit, error) {
	ws := asked(q.Words)
	if len(ws) == 0 {
		return nil, nil
	}
	most := q.Most
	if most <= 0 {
		most = 20
	}
	most = min(most, 200)
	var found [len(kinds)][]studio.Hit
	for i, kind := range kinds {
		if len(q.Kinds) > 0 && !slices.Contains(q.Kinds, kind) {
			continue
		}
		hits, err := gather(ctx, r.pool, func(h *studio.Hit) []any { return []any{&h.Kind, &h.Ref, &h.Title, &h.Snippet} },
			r.dialect.found, r.dialect.match(kind, ws), most, newest)
		if err != nil {
			return nil, fmt.Errorf("search: %w", err)
		}
		found[i] = hits
	}
	var all []studio.Hit
	for rank := 0; len(all) < most; rank++ {
		some := false
		for _, hits := range found {
			if rank < len(hits) && len(all) < most {
				h := hits[rank]
				h.Snippet = snippet(h.Snippet, ws)
				all, some = append(all, h), true
			}
		}
		if !some {
			break
		}
	}
	return all, nil
}

// A snippet is some words before the first that matches, and as many after it as fit.
const (
	snippetBefore  = 4
	snippetLetters = 140
)

// snippet returns the words of body around the first that one of the asked words begins.
func snippet(body string, asked []string) string {
	fields := strings.Fields(body)
	at := slices.IndexFunc(fields, func(f string) bool {
		joined, parts := tokens(f)
		return slices.ContainsFunc(append(joined, parts...), func(w string) bool {
			return slices.ContainsFunc(asked, func(a string) bool { return strings.HasPrefix(w, a) })
		})
	})
	from := max(0, at-snippetBefore)
	var b strings.Builder
	if from > 0 {
		b.WriteString("… ")
	}
	letters := 0
	for i, f := range fields[from:] {
		n := utf8.RuneCountInString(f)
		if i > 0 {
			if letters+n > snippetLetters && from+i > at {
				b.WriteString(" …")
				break
			}
			b.WriteByte(' ')
		}
		if n > snippetLetters { // a word without end
			f, n = string([]rune(f)[:snippetLetters])+"…", snippetLetters
		}
		b.WriteString(f)
		letters += n + 1
	}
	return b.String()
}

// clean returns s without what PostgreSQL takes in no text: zero bytes and what is not UTF-8.
func clean(s string) string {
	return strings.ToValidUTF8(strings.ReplaceAll(s, "\x00", ""), "\uFFFD")
}

func joined(parts ...string) string {
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), " ")
}
