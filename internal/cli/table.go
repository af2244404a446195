package cli

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"platewright/reckon"
)

// widest is the longest line of a table.
const widest = 88

// writeTable writes an answer for people: a line a key, numbers to six figures with their unit, what
// is empty left out, and the notes as sentences at the end.
func writeTable(w io.Writer, r *reckon.Reckoning, answer []byte) error {
	d := json.NewDecoder(bytes.NewReader(answer))
	d.UseNumber()
	whole, err := readValue(d)
	if err != nil {
		return fmt.Errorf("reading the answer of %s: %w", r.Name, err)
	}
	t := table{of: make(map[string]reckon.Field)}
	for _, f := range r.Outputs {
		t.of[f.Key] = f
	}
	var notes []any
	var rest members
	for _, m := range whole.(members) {
		if list, ok := m.value.([]any); ok && m.key == "notes" {
			notes = list
			continue
		}
		rest = append(rest, m)
	}
	t.object("", "", rest)
	if len(notes) > 0 {
		t.b.WriteString("\n")
		t.sentences("notes", "", notes)
	}
	_, err = io.WriteString(w, t.b.String())
	return err
}

// member is a key of an object with its value: members, []any, a string, a json.Number, a bool or nil.
type member struct {
	key   string
	value any
}

type members []member

// readValue reads JSON with the keys in their order.
func readValue(d *json.Decoder) (any, error) {
	token, err := d.Token()
	if err != nil {
		return nil, err
	}
	switch token {
	case json.Delim('{'):
		all := members{}
		for d.More() {
			key, err := d.Token()
			if err != nil {
				return nil, err
			}
			value, err := readValue(d)
			if err != nil {
				return nil, err
			}
			all = append(all, member{key.(string), value})
		}
		_, err = d.Token()
		return all, err
	case json.Delim('['):
		all := []any{}
		for d.More() {
			value, err := readValue(d)
			if err != nil {
				return nil, err
			}
			all = append(all, value)
		}
		_, err = d.Token()
		return all, err
	}
	if _, ok := token.(json.Delim); ok {
		return nil, errors.New("a bracket too many")
	}
	return token, nil
}

// table is a table being written.
type table struct {
	of map[string]reckon.Field // the answer's keys
	b  strings.Builder
}

// object writes the keys of an object below a path, each on a line of its own.
func (t *table) object(path, margin string, all members) {
	wide := 0
	for _, m := range all {
		if t.flat(m.value) && !empty(m.value) {
			wide = max(wide, utf8.RuneCountInString(m.key))
		}
	}
	for _, m := range all {
		at := m.key
		if path != "" {
			at = path + "." + m.key
		}
		switch v := m.value.(type) {
		case members:
			if len(v) > 0 {
				fmt.Fprintf(&t.b, "%s%s\n", margin, m.key)
				t.object(at, margin+"  ", v)
			}
			continue
		case []any:
			if len(v) > 0 && !t.flat(v) {
				t.list(m.key, at, margin, v)
				continue
			}
		}
		if empty(m.value) {
			continue
		}
		head := margin + m.key + strings.Repeat(" ", wide-utf8.RuneCountInString(m.key)) + "   "
		t.wrapped(head, strings.Repeat(" ", utf8.RuneCountInString(head)), t.words(at, m.value))
	}
}

// list writes a list whose places do not fit on one line.
func (t *table) list(key, at, margin string, all []any) {
	if _, ok := all[0].(string); ok {
		t.sentences(key, margin, all)
		return
	}
	rest := t.rows(key, at+"[]", margin, all)
	for i, v := range rest {
		m, ok := v.(members)
		if ok && len(m) == 0 {
			continue
		}
		if !ok {
			t.wrapped(fmt.Sprintf("%s%s %d   ", margin, key, i+1), margin+"    ", t.words(at, v))
			continue
		}
		fmt.Fprintf(&t.b, "%s%s %d\n", margin, key, i+1)
		t.object(at+"[]", margin+"  ", m)
	}
}

// widestCell is the widest cell of a table of objects; what is wider stands under the table.
const widestCell = 36

// rows writes a list of objects as a table, a row an object, with the keys that are short in all of them; those
// that a line does not hold go into a second table, headed by the same first key. It returns the list without
// what it wrote; a list of other things as it is.
func (t *table) rows(key, at, margin string, all []any) []any {
	var keys []string
	cells := map[string][]string{}
	for i, v := range all {
		m, ok := v.(members)
		if !ok || len(all) < 2 {
			return all
		}
		for _, each := range m {
			if cells[each.key] == nil {
				keys = append(keys, each.key)
				cells[each.key] = make([]string, len(all))
			}
			cells[each.key][i] = t.cell(at+"."+each.key, each.value)
		}
	}
	wide := map[string]int{}
	short := slices.DeleteFunc(keys, func(k string) bool {
		wide[k] = utf8.RuneCountInString(k)
		blank := true
		for _, c := range cells[k] {
			wide[k], blank = max(wide[k], utf8.RuneCountInString(c)), blank && c == ""
		}
		return blank || wide[k] > widestCell
	})
	if len(short) < 2 {
		return all
	}
	number := utf8.RuneCountInString(margin+key) + 1 + len(strconv.Itoa(len(all)))
	for rest := short; len(rest) > 0; {
		var shown []string
		column := number
		if len(rest) < len(short) {
			shown, column = append(shown, short[0]), column+2+wide[short[0]]
		}
		for len(rest) > 0 && (column+2+wide[rest[0]] <= widest || len(shown) == 0) {
			shown, column, rest = append(shown, rest[0]), column+2+wide[rest[0]], rest[1:]
		}
		t.row(margin+key, number, shown, wide, func(k string) string { return k })
		for i := range all {
			head := margin + strings.Repeat(" ", utf8.RuneCountInString(key)+1) + strconv.Itoa(i+1)
			t.row(head, number, shown, wide, func(k string) string { return cells[k][i] })
		}
	}
	left := make([]any, len(all))
	for i, v := range all {
		left[i] = slices.DeleteFunc(v.(members), func(m member) bool { return slices.Contains(short, m.key) || empty(m.value) })
	}
	return left
}

// row writes one line of a table of objects.
func (t *table) row(head string, number int, keys []string, wide map[string]int, of func(key string) string) {
	line := head + strings.Repeat(" ", max(0, number-utf8.RuneCountInString(head)))
	for _, k := range keys {
		line += "  " + of(k) + strings.Repeat(" ", wide[k]-utf8.RuneCountInString(of(k)))
	}
	t.b.WriteString(strings.TrimRight(line, " ") + "\n")
}

// cell is a value in a table of objects, whose key tells its unit; one that is too wide for any cell where it
// does not stand on one line.
func (t *table) cell(at string, v any) string {
	switch v := v.(type) {
	case nil:
		return "none"
	case json.Number:
		return figures(v)
	case []any:
		if len(v) > 0 && t.flat(v) {
			parts := make([]string, len(v))
			for i, place := range v {
				parts[i] = t.cell(at, place)
			}
			return strings.Join(parts, ", ")
		}
	}
	switch {
	case empty(v):
		return ""
	case !t.flat(v):
		return strings.Repeat(" ", widestCell+1)
	}
	return t.words(at, v)
}

// sentences writes a list of texts, each beginning with a dash.
func (t *table) sentences(key, margin string, all []any) {
	fmt.Fprintf(&t.b, "%s%s\n", margin, key)
	for _, v := range all {
		t.wrapped(margin+"  - ", margin+"    ", t.words("", v))
	}
}

// flat reports whether a value stands on one line: no object, and no list of texts that are long.
func (t *table) flat(v any) bool {
	switch v := v.(type) {
	case members:
		return false
	case []any:
		long := 0
		for _, place := range v {
			if s, ok := place.(string); ok {
				long += utf8.RuneCountInString(s)
			}
			if !t.flat(place) {
				return false
			}
		}
		return long < 60
	}
	return true
}

// empty reports whether there is nothing to say: a null is something.
func empty(v any) bool {
	switch v := v.(type) {
	case string:
		return v == ""
	case []any:
		return len(v) == 0
	case members:
		return len(v) == 0
	}
	return false
}

// words writes a value with its unit.
func (t *table) words(at string, v any) string {
	f, known := t.of[at]
	if i := strings.LastIndexByte(at, '.'); !known && i >= 0 { // a place of a mapping
		f = t.of[at[:i]]
	}
	switch v := v.(type) {
	case nil:
		if _, when, ok := strings.Cut(f.Doc, "null "); ok {
			when, _, _ = strings.Cut(when, ";")
			return "none, " + when
		}
		return "none"
	case bool:
		if v {
			return "yes"
		}
		return "no"
	case string:
		return plain(v)
	case json.Number:
		return figures(v) + unit(f.Unit)
	case []any:
		by, measures := ", ", true
		var parts []string
		for _, place := range v {
			switch n := place.(type) {
			case json.Number:
				parts = append(parts, figures(n))
			case []any:
				parts, by = append(parts, "("+t.words("", n)+")"), "; "
			default:
				parts, by, measures = append(parts, t.words(at, place)), "; ", false
			}
		}
		if measures {
			return strings.Join(parts, by) + unit(f.Unit)
		}
		return strings.Join(parts, by)
	}
	return fmt.Sprint(v)
}

func unit(of string) string {
	if of == "" || of == "°" {
		return of
	}
	return " " + of
}

// figures writes a number to six significant figures, with no more noughts than it has.
func figures(n json.Number) string {
	x, err := n.Float64()
	if err != nil {
		return n.String()
	}
	a := math.Abs(x)
	switch {
	case a == 0:
		return "0"
	case a < 1e-4 || a >= 1e15:
		return strconv.FormatFloat(x, 'g', 6, 64)
	case a >= 1e5:
		return strconv.FormatFloat(x, 'f', 0, 64)
	}
	places := 5 - int(math.Floor(math.Log10(a)))
	s := strconv.FormatFloat(x, 'f', places, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// wrapped writes a text after a head, broken into lines that begin with a margin.
func (t *table) wrapped(head, margin, text string) {
	t.b.WriteString(head)
	column, first := utf8.RuneCountInString(head), true
	for word := range strings.FieldsSeq(text) {
		n := utf8.RuneCountInString(word)
		switch {
		case first:
		case column+1+n > widest:
			t.b.WriteString("\n" + margin)
			column = utf8.RuneCountInString(margin)
		default:
			t.b.WriteByte(' ')
			column++
		}
		t.b.WriteString(word)
		column, first = column+n, false
	}
	t.b.WriteString("\n")
}
