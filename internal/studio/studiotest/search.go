package studiotest

import (
	"context"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"platewright/internal/studio"
)

// Search counts, for every record that matches all the words, how often they occur: more first,
// then sitters before sittings before plates, the newest plate first.
func (m *memory) Search(ctx context.Context, q studio.Query) ([]studio.Hit, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	wanted := fold(q.Words)
	if len(wanted) == 0 {
		return nil, nil
	}
	most := q.Most
	if most <= 0 {
		most = 20
	}
	most = min(most, 200)

	type scored struct {
		studio.Hit
		times int
	}
	var found []scored
	look := func(kind, ref, title, text string) {
		if len(q.Kinds) > 0 && !slices.Contains(q.Kinds, kind) {
			return
		}
		if times, snippet := match(wanted, text); times > 0 {
			found = append(found, scored{studio.Hit{Kind: kind, Ref: ref, Title: title, Snippet: snippet}, times})
		}
	}
	everyone := func(studio.Sitter) bool { return true }
	for _, s := range m.sitters.all(everyone) {
		look("sitter", string(s.ID), s.Name, s.Name+" "+s.Contact+" "+s.Note)
	}
	for _, s := range m.sittings.all(func(studio.Sitting) bool { return true }) {
		sitter, err := m.sitters.find(s.Sitter)
		if err != nil {
			return nil, err
		}
		look("sitting", string(s.ID), sitter.Name+", "+s.At.Format("2006-01-02 15:04"), sitter.Name+" "+s.Purpose+" "+s.Note)
	}
	for _, row := range slices.Backward(m.byNumber()) {
		look("plate", row.plate.Number.String(), row.plate.Number.String(), row.words)
	}
	slices.SortStableFunc(found, func(a, b scored) int { return b.times - a.times })
	hits := make([]studio.Hit, 0, min(len(found), most))
	for _, f := range found[:min(len(found), most)] {
		hits = append(hits, f.Hit)
	}
	return hits, nil
}

// fold splits text into words as a search compares them: small letters without accents.
func fold(text string) []string {
	var b strings.Builder
	for _, c := range norm.NFD.String(text) {
		if !unicode.Is(unicode.Mn, c) {
			b.WriteRune(unicode.ToLower(c))
		}
	}
	return strings.FieldsFunc(b.String(), func(c rune) bool { return !unicode.IsLetter(c) && !unicode.IsNumber(c) })
}

// match returns how often the wanted words begin a word of text, 0 unless each of them does, and
// the words around the first place.
func match(wanted []string, text string) (times int, snippet string) {
	words := fold(text)
	first := len(words)
	for _, w := range wanted {
		seen := 0
		for i, have := range words {
			if strings.HasPrefix(have, w) {
				seen++
				first = min(first, i)
			}
		}
		if seen == 0 {
			return 0, ""
		}
		times += seen
	}
	from, until := max(0, first-4), min(len(words), first+8)
	return times, strings.Join(words[from:until], " ")
}
