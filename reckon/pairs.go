package reckon

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"platewright/measure"
)

// FromPairs makes a question of key=value words. Keys are dotted to reach inside an object
// (collodion.iodide_mol=0.8). A value is read as what its key takes: a text as it stands, a number, a
// list of numbers or texts divided by commas, or any value written as JSON. A number may be written
// as people write it, which JSON does not allow: .43, f/4.5, and with a unit where the key's own is a
// length, a time, a temperature or a volume (focal_mm=18in). The question is not checked further;
// Answer does that. An error is a [*FieldError].
func (r *Reckoning) FromPairs(words []string) ([]byte, error) {
	root := &branch{}
	for _, w := range words {
		key, value, ok := strings.Cut(w, "=")
		if !ok || key == "" {
			return nil, &FieldError{Message: fmt.Sprintf("%q is no key=value", cut(w))}
		}
		if !utf8.ValidString(w) {
			return nil, &FieldError{Message: fmt.Sprintf("%q is no UTF-8", cut(w))}
		}
		path := strings.Split(key, ".")
		if len(path) > deepest {
			return nil, &FieldError{Field: cut(key), Message: fmt.Sprintf("%s: nested deeper than %d", cut(key), deepest)}
		}
		if r.question.find(path) == nil {
			if near := r.question.ending(path[len(path)-1]); len(near) > 0 {
				return nil, &FieldError{Field: cut(key), Message: fmt.Sprintf("unknown key %q (given %s); did you mean %s?", cut(key), cut(value), strings.Join(near, " or "))}
			}
		}
		if err := root.put(path, key, pairValue(r.question.find(path), path[len(path)-1], value)); err != nil {
			return nil, err
		}
	}
	return root.append(nil), nil
}

// branch is an object being put together, or a value at its end.
type branch struct {
	value []byte // JSON; nil in an object
	keys  []string
	below map[string]*branch
}

func (b *branch) put(path []string, whole string, value []byte) error {
	for i, p := range path {
		next := b.below[p]
		last := i == len(path)-1
		switch {
		case next != nil && (last || next.value != nil):
			return &FieldError{Field: whole, Message: fmt.Sprintf("%s is given twice; once is allowed", strings.Join(path[:i+1], "."))}
		case next == nil:
			next = &branch{}
			if last {
				next.value = value
			}
			if b.below == nil {
				b.below = map[string]*branch{}
			}
			b.below[p] = next
			b.keys = append(b.keys, p)
		}
		b = next
	}
	return nil
}

func (b *branch) append(dst []byte) []byte {
	if b.value != nil {
		return append(dst, b.value...)
	}
	dst = append(dst, '{')
	for i, k := range b.keys {
		if i > 0 {
			dst = append(dst, ',')
		}
		dst = append(appendText(dst, k), ':')
		dst = b.below[k].append(dst)
	}
	return append(dst, '}')
}

// find returns the node a dotted key reaches, or nil.
func (n *node) find(path []string) *node {
	for n.nullable {
		n = n.elem
	}
	if len(path) == 0 {
		return n
	}
	switch n.kind {
	case Object:
		if i, ok := n.keys[path[0]]; ok {
			return n.fields[i].node.find(path[1:])
		}
	case Union:
		for _, m := range n.fields {
			if n.byKind && len(path) == 1 && path[0] == "kind" {
				return &node{kind: Text}
			}
			if found := m.node.find(path); found != nil {
				return found
			}
		}
	}
	return nil
}

// ending returns the dotted keys below the node whose last part is that key, at most three.
func (n *node) ending(key string) []string {
	var all []string
	var walk func(n *node, before string, deep int)
	walk = func(n *node, before string, deep int) {
		for n.nullable {
			n = n.elem
		}
		found := func(name string) {
			if name == key && before != "" && len(all) < 3 && !slices.Contains(all, before+name) {
				all = append(all, before+name)
			}
		}
		switch {
		case deep > deepest:
		case n.kind == Object:
			for _, m := range n.fields {
				found(m.key)
				walk(m.node, before+m.key+".", deep+1)
			}
		case n.kind == Union:
			if n.byKind {
				found("kind")
			}
			for _, m := range n.fields {
				walk(m.node, before, deep+1)
			}
		}
	}
	walk(n, "", 0)
	return all
}

// HowToWrite says how a word gives the list that is wrong in an answer's error: "points_mm='[[...]]'"; empty
// where the key at fault is no list.
func (r *Reckoning) HowToWrite(field string) string {
	key, _, _ := strings.Cut(field, "[")
	n := r.question.find(strings.Split(key, "."))
	if n == nil || n.kind != List {
		return ""
	}
	each := n.elem
	for each.nullable {
		each = each.elem
	}
	switch {
	case each.kind == List && each.fixed:
		places := make([]string, each.minItems)
		for i := range places {
			places[i] = strconv.Itoa(i + 1)
		}
		one := "[" + strings.Join(places, ",") + "]"
		all := make([]string, max(n.minItems, 2))
		for i := range all {
			all[i] = one
		}
		return "write " + key + " as JSON in quotation marks of the shell: " + key + "='[" + strings.Join(all, ",") + "]'"
	case each.kind == Object || each.kind == Union || each.kind == List:
		return "write " + key + " as JSON in quotation marks of the shell: " + key + "='[...]'"
	case each.kind == Number || each.kind == Integer:
		return "write " + key + " with commas between: " + key + "=1,2,3"
	}
	return ""
}

// pairValue writes the value as JSON, as its key takes it.
func pairValue(n *node, key, value string) []byte {
	whole := func() bool {
		s := scanner{src: []byte(value)}
		if s.skip(0) != nil {
			return false
		}
		s.space()
		return s.at == len(s.src)
	}
	c := byte(0)
	if trimmed := strings.TrimSpace(value); trimmed != "" {
		c = trimmed[0]
	}
	switch {
	case n.takes(Text):
		if (c == '"' || c == '{' && n.takes(Object) || c == '[' && n.takes(List) || n.takes(Number)) && whole() {
			return []byte(value)
		}
		return appendText(nil, value)
	case n != nil && n.kind == List && c != '[':
		var list []byte
		for i, p := range strings.Split(value, ",") {
			if i > 0 {
				list = append(list, ',')
			}
			list = append(list, pairValue(n.elem, key, strings.TrimSpace(p))...)
		}
		return append(append([]byte{'['}, list...), ']')
	case whole():
		return []byte(value)
	case n.takes(Number):
		if v, ok := n.written(key, value); ok {
			return strconv.AppendFloat(nil, v, 'g', 12, 64) // 17 3/4 in is 450.85 mm, not 450.84999999999997
		}
	}
	return appendText(nil, value)
}

// written reads a number that is no JSON, in the unit of its key; ok is false when it cannot be read.
func (n *node) written(key, value string) (v float64, ok bool) {
	if sign, digits, found := strings.Cut(value, "."); found && (sign == "" || sign == "-") {
		if v, err := strconv.ParseFloat(sign+"0."+digits, 64); err == nil {
			return v, true
		}
	}
	var err error
	switch {
	case key == "f_number":
		var f measure.FNumber
		f, err = measure.ParseFNumber(value)
		v = float64(f)
	case n.unit == "mm" || n.unit == "m":
		bare := measure.Millimetre
		if n.unit == "m" {
			bare = measure.Metre
		}
		var l measure.Length
		l, err = measure.ParseLength(value, bare)
		v = l.Over(bare)
	case n.unit == "s":
		var t time.Duration
		t, err = measure.ParseExposure(value)
		v = t.Seconds()
	case n.unit == "°C":
		var c measure.Celsius
		c, err = measure.ParseTemperature(value)
		v = float64(c)
	case n.unit == "mL":
		var ml measure.Volume
		ml, err = measure.ParseVolume(value, measure.Millilitre, measure.Metric)
		v = ml.Millilitres()
	default:
		return 0, false
	}
	return v, err == nil
}

// takes reports whether a value of the kind fits the node or one of its shapes.
func (n *node) takes(k Kind) bool {
	if n == nil {
		return false
	}
	switch n.kind {
	case Union:
		for _, m := range n.fields {
			if m.node.elem.takes(k) {
				return true
			}
		}
		return false
	case Integer:
		return k == Number
	case Instant:
		return k == Text
	}
	if n.nullable {
		return n.elem.takes(k)
	}
	return n.kind == k
}
