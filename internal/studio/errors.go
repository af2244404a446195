package studio

import (
	"errors"
	"fmt"
	"strings"
	"time"
)

// Sentinels to match with errors.Is.
var (
	ErrNotFound     = errors.New("not found")
	ErrConflict     = errors.New("changed by someone else meanwhile")
	ErrNotPermitted = errors.New("not permitted")
)

// Problem is one thing wrong with what was given.
type Problem struct {
	Field    string // the field's name as forms and JSON know it
	Sentence string // what was given and what is allowed
	Hint     string // what to do next; may be empty
}

// Invalid lists everything wrong with a record or an event, all at once.
type Invalid struct{ Problems []Problem }

func (e *Invalid) Error() string {
	parts := make([]string, len(e.Problems))
	for i, p := range e.Problems {
		parts[i] = p.Field + ": " + p.Sentence
	}
	return strings.Join(parts, "; ")
}

// Of returns the sentence about one field, empty when nothing is wrong with it.
func (e *Invalid) Of(field string) string {
	for _, p := range e.Problems {
		if p.Field == field {
			return p.Sentence
		}
	}
	return ""
}

// problems gathers what is wrong while a record is looked through.
type problems []Problem

func (ps *problems) add(field, format string, args ...any) {
	*ps = append(*ps, Problem{Field: field, Sentence: fmt.Sprintf(format, args...)})
}

func (ps *problems) within(field string, err error) {
	if err != nil {
		ps.add(field, "%v", err)
	}
}

func (ps *problems) text(field, value string, most int) {
	if n := len([]rune(value)); n > most {
		ps.add(field, "%d letters are more than the %d allowed", n, most)
	}
}

func (ps *problems) name(field, value string) {
	if strings.TrimSpace(value) == "" {
		ps.add(field, "is empty; it needs at least one letter")
	}
	ps.text(field, value, 200)
}

func (ps problems) err() error {
	if len(ps) == 0 {
		return nil
	}
	return &Invalid{Problems: ps}
}

// Conflict says that a record was changed by someone else since it was read. It carries both
// forms of the record, of one and the same record type, and wraps [ErrConflict].
type Conflict struct {
	Kind   string // "sitter", "sitting", "lens" ...
	Yours  any    // what was to be stored
	Theirs any    // what is stored now
}

func (e *Conflict) Error() string { return e.Kind + ": " + ErrConflict.Error() }

// Unwrap lets errors.Is find [ErrConflict].
func (e *Conflict) Unwrap() error { return ErrConflict }

// AlreadyDone says that a step of a plate has been recorded before, perhaps by another device a
// moment earlier. It wraps [ErrConflict]; nothing was stored.
type AlreadyDone struct {
	Number string
	Kind   EventKind
	At     time.Time
	Device string
}

func (e *AlreadyDone) Error() string {
	return fmt.Sprintf("plate %s: %q was already recorded", e.Number, e.Kind)
}

// Unwrap lets errors.Is find [ErrConflict].
func (e *AlreadyDone) Unwrap() error { return ErrConflict }
