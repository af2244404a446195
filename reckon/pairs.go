package reckon

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// FromPairs makes a question of key=value words. Keys are dotted to reach inside an object
// (collodion.iodide_mol=0.8). A value is read as what its key takes: a text as it stands, a number, a
// list of numbers or texts divided by commas, or any value written as JSON. The question is not
// checked further; Answer does that. An error is a [*FieldError].
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
		if err := root.put(path, key, pairValue(r.question.find(path), value)); err != nil {
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

// pairValue writes the value as JSON, as its key takes it.
func pairValue(n *node, value string) []byte {
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
			list = append(list, pairValue(n.elem, strings.TrimSpace(p))...)
		}
		return append(append([]byte{'['}, list...), ']')
	case whole():
		return []byte(value)
	}
	return appendText(nil, value)
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
