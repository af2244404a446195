package shared

import (
	"fmt"
	"net/url"
	"strings"
)

// Form is what a form shows: what was typed, how it was read and what is wrong with it, by the
// field's name. A form sent back holds everything as it was typed. The zero value is an empty form.
type Form struct {
	Typed    url.Values
	ReadAs   map[string]string // how a field was read: "165.1 mm"
	Problems []FormProblem     // in the order they were found, one a field
	Labels   map[string]string // what stands at a field, where its name says something else
	Choices  map[string]bool   // the fields that are choices among a few, so that a link finds them
}

// FormProblem is one field that cannot be taken.
type FormProblem struct {
	Field    string
	Sentence string
}

// NewForm returns a form that shows these texts, for a record about to be edited.
func NewForm(typed map[string]string) Form {
	f := Form{Typed: url.Values{}, ReadAs: map[string]string{}}
	for name, text := range typed {
		f.Typed.Set(name, text)
	}
	return f
}

// Value is what was typed in a field.
func (f Form) Value(name string) string { return f.Typed.Get(name) }

// Problem is what is wrong with a field; empty when nothing is.
func (f Form) Problem(name string) string {
	for _, p := range f.Problems {
		if p.Field == name {
			return p.Sentence
		}
	}
	return ""
}

// OK tells whether everything typed can be taken.
func (f Form) OK() bool { return len(f.Problems) == 0 }

// Field completes a field with what was typed, how it was read and what is wrong.
func (f Form) Field(d FieldData) FieldData {
	d.Value, d.Read, d.Error = f.Value(d.Name), f.ReadAs[d.Name], f.Problem(d.Name)
	if d.Error != "" {
		d.Read = ""
	}
	return d
}

// Choice completes a choice with what was chosen and what is wrong.
func (f Form) Choice(d ChoiceData) ChoiceData {
	d.Value, d.Error = f.Value(d.Name), f.Problem(d.Name)
	return d
}

// label is what stands at a field, or else its name in words.
func (f Form) label(p FormProblem) string {
	if label := f.Labels[p.Field]; label != "" {
		return label
	}
	words := strings.ReplaceAll(p.Field, "_", " ")
	if words == "" {
		return "This"
	}
	return strings.ToUpper(words[:1]) + words[1:]
}

// anchor is the id of a field's element.
func (f Form) anchor(name string) string {
	if f.Choices[name] {
		return "c-" + name + "-0"
	}
	return "f-" + name
}

func refusedWords(n int) string {
	if n == 1 {
		return "Nothing was written; one answer cannot be taken:"
	}
	return fmt.Sprintf("Nothing was written; %d answers cannot be taken:", n)
}
