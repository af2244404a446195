package reckon

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"time"
	"unicode/utf8"
)

// append writes an answer as JSON: keys in the order of the struct, the shortest numbers that read
// back the same. A number that is not finite is an error and nothing is written.
func (n *node) append(dst []byte, v reflect.Value) ([]byte, error) {
	if n.nullable {
		if v.IsNil() {
			return append(dst, "null"...), nil
		}
		return n.elem.append(dst, v.Elem())
	}
	switch n.kind {
	case Number:
		x := v.Float()
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return dst, fmt.Errorf("a value is %g", x)
		}
		return appendNumber(dst, x), nil
	case Integer:
		return strconv.AppendInt(dst, v.Int(), 10), nil
	case Text:
		return appendText(dst, v.String()), nil
	case Claim:
		return strconv.AppendBool(dst, v.Bool()), nil
	case Instant:
		dst = append(dst, '"')
		dst = v.Interface().(time.Time).AppendFormat(dst, time.RFC3339)
		return append(dst, '"'), nil
	case List:
		dst = append(dst, '[')
		for i := range v.Len() {
			if i > 0 {
				dst = append(dst, ',')
			}
			var err error
			if dst, err = n.elem.append(dst, v.Index(i)); err != nil {
				return dst, err
			}
		}
		return append(dst, ']'), nil
	case Mapping:
		return n.appendMapping(dst, v)
	case Union:
		return n.appendUnion(dst, v)
	}
	return n.appendObject(dst, v)
}

func (n *node) appendObject(dst []byte, v reflect.Value) ([]byte, error) {
	dst = append(dst, '{')
	first := true
	for _, m := range n.fields {
		f := v.Field(m.place[0])
		for _, i := range m.place[1:] {
			f = f.Field(i)
		}
		if m.omit && f.IsNil() {
			continue
		}
		if first {
			dst, first = append(dst, m.quoted...), false
		} else {
			dst = append(dst, m.afterComma...)
		}
		var err error
		if dst, err = m.node.append(dst, f); err != nil {
			return dst, fmt.Errorf("%s: %w", m.key, err)
		}
	}
	return append(dst, '}'), nil
}

func (n *node) appendMapping(dst []byte, v reflect.Value) ([]byte, error) {
	keys := make([]string, 0, v.Len())
	for _, k := range v.MapKeys() {
		keys = append(keys, k.String())
	}
	slices.Sort(keys)
	dst = append(dst, '{')
	for i, k := range keys {
		if i > 0 {
			dst = append(dst, ',')
		}
		dst = append(appendText(dst, k), ':')
		var err error
		if dst, err = n.elem.append(dst, v.MapIndex(reflect.ValueOf(k).Convert(n.typ.Key()))); err != nil {
			return dst, fmt.Errorf("%s: %w", k, err)
		}
	}
	return append(dst, '}'), nil
}

// appendUnion writes the shape that is set.
func (n *node) appendUnion(dst []byte, v reflect.Value) ([]byte, error) {
	for _, m := range n.fields {
		f := v.FieldByIndex(m.place)
		if f.IsNil() {
			continue
		}
		if !n.byKind {
			return m.node.append(dst, f)
		}
		at := len(dst)
		dst, err := m.node.append(dst, f)
		if err != nil {
			return dst, err
		}
		kind := appendText([]byte(`"kind":`), m.kindTag)
		if len(dst) > at+2 {
			kind = append(kind, ',')
		}
		return slices.Insert(dst, at+1, kind...), nil
	}
	return append(dst, "null"...), nil
}

// appendNumber writes the shortest decimal that reads back as x; zero has no sign.
func appendNumber(dst []byte, x float64) []byte {
	a := math.Abs(x)
	switch {
	case a == 0:
		return append(dst, '0')
	case a < 1e-6 || a >= 1e21:
		return strconv.AppendFloat(dst, x, 'e', -1, 64)
	}
	return strconv.AppendFloat(dst, x, 'f', -1, 64)
}

// appendText writes a JSON string; bytes that are no UTF-8 become the replacement character.
func appendText(dst []byte, s string) []byte {
	const hex = "0123456789abcdef"
	dst = append(dst, '"')
	from := 0
	for i := 0; i < len(s); {
		c := s[i]
		if c >= 0x20 && c != '"' && c != '\\' && c != 0x7f && c < utf8.RuneSelf {
			i++
			continue
		}
		r, size := utf8.DecodeRuneInString(s[i:])
		if c >= utf8.RuneSelf && r != utf8.RuneError && r >= 0xa0 && r != '\u2028' && r != '\u2029' {
			i += size
			continue
		}
		dst = append(dst, s[from:i]...)
		switch {
		case c == '"' || c == '\\':
			dst = append(dst, '\\', c)
		case c == '\n':
			dst = append(dst, `\n`...)
		default:
			dst = append(dst, '\\', 'u', hex[r>>12&15], hex[r>>8&15], hex[r>>4&15], hex[r&15])
		}
		i += size
		from = i
	}
	return append(append(dst, s[from:]...), '"')
}
