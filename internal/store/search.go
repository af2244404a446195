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

// kindMark makes a word of a kind that no text has: words of text are letters and figures.
const kindMark = "\ue000"

// ranked is how many of a kind's matches are ranked when a query is so common that more match: the
// newest ones. It bounds the time of a search whatever is asked.
const ranked = 500

// kinds of entries, in the order that breaks a tie.
var kinds = [...]string{"sitter", "sitting", "plate"}

// enter stores e in place of what the search knew of that record.
func (r records) enter(ctx context.Context, q querier, e entry) error {
	if r.later != nil {
		r.later.call = append(r.later.call, e)
		return nil
	}
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

// Search returns what matches: each kind's best in turn, so that a sitter is not buried under the
// sitter's plates. How good a match is is reckoned here rather than by the database's ranking,
// which on SQLite counts every entry of the whole index that has a word, however common, and which
// the two databases do not agree on.
func (r records) Search(ctx context.Context, q studio.Query) ([]studio.Hit, error) {
	ws := asked(q.Words)
	if len(ws) == 0 {
		return nil, nil
	}
	if err := r.flush(ctx); err != nil {
		return nil, err
	}
	most := q.Most
	if most <= 0 {
		most = 20
	}
	most = min(most, 200)
	var found [len(kinds)][]match
	for i, kind := range kinds {
		if len(q.Kinds) > 0 && !slices.Contains(q.Kinds, kind) {
			continue
		}
		ms, err := gather(ctx, r.pool, func(m *match) []any {
			return []any{&m.kind, &m.ref, &m.title, &m.body, &m.titleWords, &m.bodyWords}
		}, r.dialect.newest(kind), r.dialect.match(kind, ws), ranked)
		if err != nil {
			return nil, fmt.Errorf("search: %w", err)
		}
		for j := range ms {
			ms[j].weigh(ws)
		}
		slices.SortStableFunc(ms, func(a, b match) int { return b.weight - a.weight }) // the newest first among equals
		found[i] = ms
	}
	var hits []studio.Hit
	for rank := range ranked {
		for _, ms := range found {
			if rank < len(ms) && len(hits) < most {
				m := ms[rank]
				hits = append(hits, studio.Hit{Kind: m.kind, Ref: m.ref, Title: m.title, Snippet: snippet(m.body, ws)})
			}
		}
	}
	return hits, nil
}

// match is an entry that matches, and how well.
type match struct {
	entry
	titleWords, bodyWords string
	weight                int
}

// weigh lets a word asked for count most when the title has it whole, then when the title has a
// word that begins so, then when the body has it whole.
func (m *match) weigh(asked []string) {
	title, body := strings.Fields(m.titleWords), strings.Fields(m.bodyWords)
	for _, a := range asked {
		begins := func(w string) bool { return strings.HasPrefix(w, a) }
		switch {
		case slices.Contains(title, a):
			m.weight += 8
		case slices.ContainsFunc(title, begins):
			m.weight += 4
		case slices.Contains(body, a):
			m.weight++
		}
	}
}

// later holds back what [Store.Bulk] enters into the search: an entry that is replaced ten times
// over is written once.
type later struct {
	call    []entry // of the call under way, dropped when it fails
	entries map[[2]string]entry
	order   [][2]string
}

func (l *later) keep() {
	for _, e := range l.call {
		key := [2]string{e.kind, e.ref}
		if _, there := l.entries[key]; !there {
			l.order = append(l.order, key)
		}
		l.entries[key] = e
	}
	l.call = l.call[:0]
}

// flush writes what was held back.
func (r records) flush(ctx context.Context) error {
	l := r.later
	if l == nil {
		return nil
	}
	now := r
	now.later = nil
	for _, key := range l.order {
		if err := now.enter(ctx, r.pool, l.entries[key]); err != nil {
			return err
		}
	}
	l.order = l.order[:0]
	clear(l.entries)
	return nil
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
