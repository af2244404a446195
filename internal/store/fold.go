package store

import (
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"
)

// foreign are letters that carry their accent inside, which no decomposition takes off.
var foreign = strings.NewReplacer("ø", "o", "ł", "l", "đ", "d", "ð", "d", "þ", "th", "æ", "ae", "œ", "oe", "ı", "i", "ħ", "h")

// fold returns s without capitals and accents: "Łukasz Ó Briain" becomes "lukasz o briain".
func fold(s string) string {
	s = norm.NFKD.String(cases.Fold().String(s))
	s = strings.Map(func(r rune) rune {
		if unicode.IsMark(r) {
			return -1
		}
		return r
	}, s)
	return foreign.Replace(s)
}

// tokens splits s into folded words of letters and figures alone. A hyphen between two figures
// joins them, so that "26-0147" is the one word 260147, found by its beginning "26-01" too.
func tokens(s string) (joined, parts []string) {
	rs := []rune(fold(s))
	start, part, digits := -1, -1, false
	flush := func(end int) {
		if start < 0 {
			return
		}
		joined = append(joined, short(slices.DeleteFunc(slices.Clone(rs[start:end]), func(r rune) bool { return r == '-' })))
		if part > start {
			parts = append(parts, short(rs[part:end]))
		}
		start, part = -1, -1
	}
	for i, r := range rs {
		letter := unicode.IsLetter(r) || unicode.IsNumber(r)
		switch {
		case letter && start < 0:
			start, part = i, i
		case letter:
		case r == '-' && digits && i+1 < len(rs) && unicode.IsDigit(rs[i+1]):
			if part > start {
				parts = append(parts, short(rs[part:i]))
			}
			part = i + 1
		default:
			flush(i)
		}
		digits = unicode.IsDigit(r)
	}
	flush(len(rs))
	return joined, parts
}

// short cuts a word that is longer than any word, which PostgreSQL would refuse to index.
func short(word []rune) string { return string(word[:min(len(word), 64)]) }

// searchable returns the words an entry is found by, divided by single spaces.
func searchable(s string) string {
	joined, parts := tokens(s)
	return strings.Join(append(joined, parts...), " ")
}

// asked returns the words of a query, each once, at most as many as a person would type.
func asked(s string) []string {
	joined, _ := tokens(s)
	seen := make(map[string]bool, len(joined))
	var ws []string
	for _, w := range joined {
		if !seen[w] && len(ws) < 16 {
			seen[w] = true
			ws = append(ws, w)
		}
	}
	return ws
}
