package reckon

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"unicode/utf8"
)

// Help returns the reckoning's page: what it answers, its keys with units, ranges and defaults, its
// sources, and a worked example whose answer is computed on the spot.
func (r *Reckoning) Help() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s\n\n%s\n", r.Name, r.Title, wrap(r.Summary, ""))
	if r.Model != "" {
		fmt.Fprintf(&b, "\n%s\n", wrap(r.Model, ""))
	}
	b.WriteString("\nQuestion\n")
	for _, f := range r.Fields {
		if f.opensShape() {
			fmt.Fprintf(&b, "\n  %s\n%s\n", f.Key, wrap(strings.TrimSuffix(fmt.Sprintf("%q: %s", f.Choices[0], f.Doc), ": "), "      "))
			continue
		}
		listKey(&b, f, f.need())
	}
	for _, f := range r.Fields {
		if names := r.Names[f.Key]; len(names) > 0 {
			fmt.Fprintf(&b, "\nNames for %s, one a line\n  %s\n", f.Key, strings.Join(names, "\n  "))
		}
	}
	b.WriteString("\nAnswer\n")
	for _, f := range r.Outputs {
		listKey(&b, f, "")
	}
	if len(r.Sources) > 0 {
		fmt.Fprintf(&b, "\nSources (docs/SOURCES.md)\n%s\n", wrap(strings.Join(r.Sources, ", "), "  "))
	}
	question, answer := r.WorkedExample()
	fmt.Fprintf(&b, "\nExample\n  echo '%s' | platewright reckon %s\n\n%s\n", question, r.Name, indent(answer))
	return b.String()
}

// WorkedExample returns the example's question on one line and its answer, computed now.
func (r *Reckoning) WorkedExample() (question, answer []byte) {
	var line bytes.Buffer
	if err := json.Compact(&line, []byte(r.Example)); err != nil {
		panic("reckon: the example of " + r.Name + ": " + err.Error())
	}
	answer, err := r.Answer(line.Bytes())
	if err != nil {
		panic("reckon: the example of " + r.Name + ": " + err.Error())
	}
	return line.Bytes(), answer
}

func indent(answer []byte) string {
	var out bytes.Buffer
	if err := json.Indent(&out, answer, "  ", "  "); err != nil {
		panic("reckon: an answer is no JSON: " + err.Error())
	}
	return "  " + out.String()
}

// opensShape reports whether the key names one of several shapes; the keys of that shape follow.
func (f Field) opensShape() bool {
	return f.Shape && f.Kind == Text && len(f.Choices) == 1 && strings.HasSuffix(f.Key, ".kind")
}

// need says whether a key must be given.
func (f Field) need() string {
	switch {
	case len(f.OneOf) > 0:
		return "one of " + strings.Join(f.OneOf, " | ")
	case f.Default != "":
		return "default " + f.Default
	case f.Required && f.Shape:
		return "required in this shape"
	case f.Required:
		return "required"
	case f.Shape && !f.Nullable:
		return "one of the shapes"
	}
	return "may be left out"
}

// list says what a list holds, and how many of them.
func (f Field) list(each string) string {
	s := string(List)
	switch low, high := f.Items[0], f.Items[1]; {
	case high == 0:
	case low == high:
		s += fmt.Sprintf(" of %d", low)
	default:
		s += fmt.Sprintf(" of %d to %d", low, high)
	}
	rest, bare := strings.CutPrefix(each, string(List))
	switch {
	case !bare:
		return s + ", each " + each
	case f.Each == Object || f.Each == Union || f.Each == List:
		return s + rest
	}
	return s + ", each " + string(f.Each) + rest
}

// listKey writes a key on one line and what it is below.
func listKey(b *strings.Builder, f Field, need string) {
	allowed := f.Allowed()
	if f.Kind == List {
		allowed = f.list(allowed)
	}
	if f.Nullable && need == "" {
		allowed += ", or null"
	}
	if need != "" {
		allowed += "; " + need
	}
	fmt.Fprintf(b, "  %s\n%s\n", f.Key, wrap(allowed, "      "))
	if f.Doc != "" {
		fmt.Fprintf(b, "%s\n", wrap(f.Doc, "      "))
	}
}

// wrap breaks a text into lines of at most 88 letters.
func wrap(text, margin string) string {
	var b strings.Builder
	column := 0
	for i, word := range strings.Fields(text) {
		n := utf8.RuneCountInString(word)
		switch {
		case i == 0:
			b.WriteString(margin)
			column = len(margin)
		case column+1+n > 88:
			b.WriteString("\n" + margin)
			column = len(margin)
		default:
			b.WriteByte(' ')
			column++
		}
		b.WriteString(word)
		column += n
	}
	return b.String()
}
