// Package reckon holds the reckonings: the named computations of the trade, each a typed question
// in and a typed answer out.
//
// One [Registry] serves the command line, the HTTP interface, the screens and the written
// reference. A reckoning is defined by a Go struct for its question, one for its answer, and a
// function between them; keys, units, ranges, defaults, help and the OpenAPI document are read from
// the structs' tags once, when the registry is made. The tags are told in definition.go.
//
// The package promises that a question is either answered or refused by a [*FieldError] that names
// the key, the value and what is allowed. It refuses unknown, missing and repeated keys, values of
// the wrong type, numbers that are not finite or lie outside the range stated, and it never lets an
// answer out that holds a number that is not finite. It reads no file and no clock and keeps no
// state: the same question has the same answer.
package reckon

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"platewright/measure"
)

// Registry is the set of reckonings, in the order in which people read them.
type Registry struct {
	all    []*Reckoning
	byName map[string]*Reckoning
}

// New returns the registry of all reckonings.
func New() *Registry { return newRegistry(all()...) }

func newRegistry(rs ...*Reckoning) *Registry {
	g := &Registry{all: rs, byName: make(map[string]*Reckoning, len(rs))}
	for _, r := range rs {
		if g.byName[r.Name] != nil {
			panic("reckon: two reckonings are called " + r.Name)
		}
		g.byName[r.Name] = r
	}
	return g
}

// All returns the reckonings in reading order.
func (g *Registry) All() []*Reckoning { return slices.Clone(g.all) }

// Names returns the names of the reckonings in reading order.
func (g *Registry) Names() []string {
	names := make([]string, len(g.all))
	for i, r := range g.all {
		names[i] = r.Name
	}
	return names
}

// Lookup returns the reckoning of that name, if there is one.
func (g *Registry) Lookup(name string) (*Reckoning, bool) {
	r, ok := g.byName[name]
	return r, ok
}

// Nearest returns the name a misspelt one was probably meant to be, or nothing.
func (g *Registry) Nearest(name string) string { return nearest(name, g.Names()) }

// Spec says what a reckoning is, beside the types of its question and answer.
type Spec struct {
	Name    string   // the word people type
	Title   string   // what it answers, a few words
	Summary string   // one or two sentences: what goes in, what comes out
	Model   string   // the model and its limits, for the help text
	Sources []string // citation keys of docs/SOURCES.md, without brackets
	Example string   // a question as a JSON object; its answer is computed, never written down

	// Names are the names that a key of free text knows, such as the recipes of the shelf.
	Names map[string][]string

	// Keys maps the names that a formula's [*measure.RangeError] uses for its quantities to the
	// question's keys. A name that is a key already needs no entry.
	Keys map[string]string
}

// Reckoning is one named computation.
type Reckoning struct {
	Spec
	Fields  []Field // the question's keys, nested ones dotted
	Outputs []Field // the answer's keys

	question, answer *node
	reckon           func(dst, question []byte) ([]byte, error)
}

// define makes a reckoning of a formula. It panics when the definition itself is wrong: an answer
// without notes, a number without a range, an example that is refused.
func define[Q, A any](spec Spec, formula func(Q) (A, error)) *Reckoning {
	r := &Reckoning{
		Spec:     spec,
		question: compile(reflect.TypeFor[Q](), asQuestion),
		answer:   compile(reflect.TypeFor[A](), asAnswer),
	}
	if _, ok := r.answer.keys["notes"]; !ok {
		panic("reckon: the answer of " + spec.Name + " has no notes")
	}
	r.Fields, r.Outputs = flatten(r.question), flatten(r.answer)
	r.reckon = func(dst, question []byte) ([]byte, error) {
		var q Q
		if err := decode(r.question, question, reflect.ValueOf(&q).Elem()); err != nil {
			return dst, err
		}
		a, err := formula(q)
		if err != nil {
			return dst, r.blame(err)
		}
		out, err := r.answer.append(dst, reflect.ValueOf(&a).Elem())
		if err != nil {
			return dst, &FieldError{Message: "this question has no finite answer: " + err.Error(), cause: err}
		}
		return out, nil
	}
	if _, err := r.Answer([]byte(spec.Example)); err != nil {
		panic("reckon: the example of " + spec.Name + ": " + err.Error())
	}
	return r
}

// Answer answers one question, a JSON object. An error is always a [*FieldError].
func (r *Reckoning) Answer(question []byte) ([]byte, error) { return r.AppendAnswer(nil, question) }

// AppendAnswer appends the answer to one question to dst; on an error dst is returned as it was.
func (r *Reckoning) AppendAnswer(dst, question []byte) ([]byte, error) {
	return r.reckon(dst, question)
}

// FieldError says which key of a question is wrong, and how.
type FieldError struct {
	Field   string // the dotted key, list places in brackets; empty when the whole question is meant
	Message string // a sentence that names the key, the value and what is allowed
	cause   error
}

func (e *FieldError) Error() string { return e.Message }

// Unwrap returns what the formula said, if it was the formula that refused.
func (e *FieldError) Unwrap() error { return e.cause }

// AppendError appends the JSON object that stands in the place of an answer to a bad question.
func AppendError(dst []byte, err error) []byte {
	var fe *FieldError
	if !errors.As(err, &fe) {
		fe = &FieldError{Message: err.Error()}
	}
	dst = append(dst, `{"error":{"field":`...)
	dst = appendText(dst, fe.Field)
	dst = append(dst, `,"message":`...)
	dst = appendText(dst, fe.Message)
	return append(dst, "}}"...)
}

// blame turns a formula's error into one that names a key of the question.
func (r *Reckoning) blame(err error) error {
	var fe *FieldError
	if errors.As(err, &fe) {
		if fe.Field != "" && !strings.Contains(fe.Message, fe.Field) {
			return &FieldError{Field: fe.Field, Message: fe.Field + ": " + fe.Message, cause: err}
		}
		return fe
	}
	var re *measure.RangeError
	if errors.As(err, &re) {
		key := re.What
		if k, ok := r.Keys[key]; ok {
			key = k
		}
		if r.hasKey(key) {
			lim := Range{Low: re.Low, High: re.High}
			msg := fmt.Sprintf("%s is %s; allowed is %s", key, number(re.Got), lim.text(re.Unit))
			if re.Source != "" {
				msg += " (" + re.Source + ")"
			}
			return &FieldError{Field: key, Message: msg, cause: err}
		}
	}
	return &FieldError{Message: err.Error(), cause: err}
}

func (r *Reckoning) hasKey(key string) bool {
	return slices.ContainsFunc(r.Fields, func(f Field) bool { return f.Key == key })
}

// number writes a number as people write it.
func number(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return fmt.Sprint(v)
	}
	return string(appendNumber(nil, v))
}

// Listing is the list of reckonings as the command line and the HTTP interface give it.
type Listing struct {
	Reckonings []Listed `json:"reckonings"`
}

// Listed is one line of a [Listing].
type Listed struct {
	Name    string `json:"name"`
	Title   string `json:"title"`
	Summary string `json:"summary"`
}

// List returns the reckonings' names and what they answer, in reading order.
func (g *Registry) List() Listing {
	l := Listing{Reckonings: []Listed{}}
	for _, r := range g.all {
		l.Reckonings = append(l.Reckonings, Listed{r.Name, r.Title, r.Summary})
	}
	return l
}
