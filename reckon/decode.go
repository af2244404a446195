package reckon

import (
	"errors"
	"math"
	"math/bits"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"platewright/measure"
)

// longestText is the greatest length, in letters, of a text that is not one of a list of choices.
const longestText = 400

// decode reads a whole question into v.
func decode(n *node, src []byte, v reflect.Value) error {
	s := scanner{src: src}
	if c := s.peek(); c != '{' {
		if s.at >= len(src) {
			return &FieldError{Message: "no question: a JSON object is wanted"}
		}
		shown, f := s.shown()
		if f != nil {
			return f.error()
		}
		return &FieldError{Message: "the question is " + shown + "; a JSON object is wanted"}
	}
	if f := n.decode(&s, v); f != nil {
		return f.error()
	}
	if s.peek(); s.at < len(src) {
		return s.broken("the end of the question").error()
	}
	return nil
}

func (n *node) decode(s *scanner, v reflect.Value) *fault {
	c := s.peek()
	if n.nullable {
		if c == 'n' && s.word("null") {
			v.SetZero()
			return nil
		}
		p := reflect.New(n.elem.typ)
		if f := n.elem.decode(s, p.Elem()); f != nil {
			return f
		}
		v.Set(p)
		return nil
	}
	start := s.at
	var f *fault
	switch {
	case n.kind == Number && (c == '-' || c-'0' <= 9):
		f = n.decodeNumber(s, v)
	case n.kind == Integer && (c == '-' || c-'0' <= 9):
		f = n.decodeNumber(s, v)
	case n.kind == Text && c == '"':
		f = n.decodeText(s, v)
	case n.kind == Claim && (c == 't' || c == 'f'):
		switch {
		case s.word("true"):
			v.SetBool(true)
		case s.word("false"):
			v.SetBool(false)
		default:
			return s.broken("true or false")
		}
	case n.kind == Instant && c == '"':
		f = n.decodeInstant(s, v)
	case n.kind == List && c == '[':
		f = n.decodeList(s, v)
	case n.kind == Object && c == '{':
		f = n.decodeObject(s, v, false)
	case n.kind == Union && n.byKind && c == '{':
		f = n.decodeKind(s, v)
	case n.kind == Union && !n.byKind:
		m := n.shapeFor(c)
		if m == nil {
			return n.mistyped(s)
		}
		f = m.node.decode(s, v.FieldByIndex(m.place))
	default:
		return n.mistyped(s)
	}
	if f == nil && n.checks {
		if err := v.Addr().Interface().(checker).Check(); err != nil {
			return checked(err, s.src[start:s.at])
		}
	}
	return f
}

// checked turns what a type's own Check said into a fault at its place.
func checked(err error, raw []byte) *fault {
	var fe *FieldError
	if errors.As(err, &fe) && fe.Field != "" {
		return &fault{path: fe.Field, text: fe.Message, bare: strings.Contains(fe.Message, fe.Field)}
	}
	var pe *measure.ParseError
	if errors.As(err, &pe) {
		return wrong("is %s; %s", cut(string(raw)), pe.Reason)
	}
	return wrong("is %s; %s", cut(string(raw)), err)
}

// mistyped says that the value is of the wrong type.
func (n *node) mistyped(s *scanner) *fault {
	shown, f := s.shown()
	if f != nil {
		return f
	}
	return wrong("is %s; %s is wanted", shown, n.wanted())
}

// wanted says in words what a node takes.
func (n *node) wanted() string {
	if n.nullable {
		return n.elem.wanted()
	}
	switch n.kind {
	case Number, Integer:
		s := "a " + string(n.kind)
		if n.limits != nil {
			s += " (" + n.limits.text(n.unit) + ")"
		}
		return s
	case Text:
		if len(n.choices) > 0 {
			return "one of " + quoted(n.choices)
		}
		return "a text"
	case Claim:
		return "true or false"
	case Instant:
		return "a time such as \"2026-05-01T10:30:00+02:00\""
	case List:
		s := "a list"
		if n.fixed {
			s += " of " + strconv.Itoa(n.minItems)
		}
		return s + ", each " + n.elem.wanted()
	case Object:
		return "an object with the keys " + strings.Join(n.names(), ", ")
	case Union:
		var shapes []string
		for _, m := range n.fields {
			if n.byKind {
				shapes = append(shapes, `an object of kind "`+m.kindTag+`"`)
			} else {
				shapes = append(shapes, m.node.wanted())
			}
		}
		return strings.Join(shapes, " or ")
	}
	return string(n.kind)
}

func quoted(words []string) string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = strconv.Quote(w)
	}
	return strings.Join(out, ", ")
}

func (n *node) names() []string {
	out := make([]string, len(n.fields))
	for i, m := range n.fields {
		out[i] = m.key
	}
	return out
}

func (n *node) decodeNumber(s *scanner, v reflect.Value) *fault {
	raw, f := s.number()
	if f != nil {
		return f
	}
	x, err := strconv.ParseFloat(string(raw), 64)
	if err != nil || math.IsInf(x, 0) {
		return wrong("is %s, too large a number; allowed is %s", cut(string(raw)), n.limits.text(n.unit))
	}
	if n.kind == Integer && (x != math.Trunc(x) || math.Abs(x) > 1<<53) {
		return wrong("is %s; %s is wanted", cut(string(raw)), n.wanted())
	}
	if !n.limits.Contains(x) {
		return wrong("is %s; allowed is %s", cut(string(raw)), n.limits.text(n.unit))
	}
	if n.kind == Integer {
		v.SetInt(int64(x))
	} else {
		v.SetFloat(x)
	}
	return nil
}

func (n *node) decodeText(s *scanner, v reflect.Value) *fault {
	raw, f := s.string()
	if f != nil {
		return f
	}
	for _, c := range n.choices {
		if c == string(raw) {
			v.SetString(c)
			return nil
		}
	}
	text := string(raw)
	if len(n.choices) > 0 {
		hint := ""
		if near := nearest(text, n.choices); near != "" {
			hint = "; did you mean " + strconv.Quote(near) + "?"
		}
		return wrong("is %q; allowed is %s%s", cut(text), quoted(n.choices), hint)
	}
	if long := utf8.RuneCountInString(text); long > longestText {
		return wrong("is a text of %d letters; allowed is at most %d", long, longestText)
	}
	v.SetString(text)
	return nil
}

func (n *node) decodeInstant(s *scanner, v reflect.Value) *fault {
	raw, f := s.string()
	if f != nil {
		return f
	}
	t, err := time.Parse(time.RFC3339, string(raw)) // [RFC3339]
	if err != nil {
		return wrong("is %q; %s is wanted", cut(string(raw)), n.wanted())
	}
	v.Set(reflect.ValueOf(t))
	return nil
}

func (n *node) decodeList(s *scanner, v reflect.Value) *fault {
	s.at++
	count := 0
	if !n.fixed {
		v.SetZero()
		v.Set(reflect.MakeSlice(n.typ, 0, max(n.minItems, 4)))
	}
	if !s.take(']') {
		for {
			if count >= n.maxItems {
				return wrong("has more than %d in its list; allowed is %s", n.maxItems, n.lengths())
			}
			if !n.fixed {
				v.Grow(1)
				v.SetLen(count + 1)
				v.Index(count).SetZero()
			}
			if f := n.elem.decode(s, v.Index(count)); f != nil {
				return f.blameKey("[" + strconv.Itoa(count) + "]")
			}
			count++
			if s.take(']') {
				break
			}
			if !s.take(',') {
				return s.broken("a comma or ]")
			}
		}
	}
	if count < n.minItems {
		return wrong("has %d in its list; allowed is %s", count, n.lengths())
	}
	return nil
}

func (n *node) lengths() string {
	if n.minItems == n.maxItems {
		return "exactly " + strconv.Itoa(n.minItems)
	}
	return strconv.Itoa(n.minItems) + " to " + strconv.Itoa(n.maxItems)
}

// decodeObject reads an object; withKind allows the key "kind", read before.
func (n *node) decodeObject(s *scanner, v reflect.Value, withKind bool) *fault {
	v.Set(n.blank)
	s.at++
	var seen, given uint64
	kindSeen := false
	for first := true; ; first = false {
		if s.take('}') {
			if first {
				break
			}
			s.at--
			return s.broken("a key")
		}
		key, f := s.string()
		if f != nil {
			return f
		}
		i, known := n.keys[string(key)]
		name := ""
		if !known {
			name = string(key)
		}
		if !s.take(':') {
			return s.broken("a colon")
		}
		switch {
		case known && seen&(1<<i) != 0:
			return wrong("is given twice; once is allowed").under(n.fields[i].key)
		case known:
			m := n.fields[i]
			seen |= 1 << i
			if f := m.node.decode(s, v.FieldByIndex(m.place)); f != nil {
				return f.blameKey(m.key)
			}
			if !m.node.nullable || !v.FieldByIndex(m.place).IsNil() { // null stands for "not given"
				given |= 1 << i
			}
		case withKind && name == "kind" && kindSeen:
			return wrong("is given twice; once is allowed").under(name)
		case withKind && name == "kind":
			kindSeen = true
			if f := s.skip(0); f != nil {
				return f
			}
		default:
			return n.unknown(s, name)
		}
		if s.take('}') {
			break
		}
		if !s.take(',') {
			return s.broken("a comma or }")
		}
	}
	return n.complete(given)
}

// blameKey puts a key before a fault, but leaves faults of JSON's grammar without a place.
func (f *fault) blameKey(key string) *fault {
	if f.bare && f.path == "" {
		return f
	}
	return f.under(key)
}

func (n *node) unknown(s *scanner, key string) *fault {
	shown, f := s.shown()
	if f != nil {
		return f
	}
	hint := ""
	if near := nearest(key, n.names()); near != "" {
		hint = "; did you mean " + near + "?"
	}
	return &fault{path: cut(key), bare: true, lead: "unknown key", text: "(given " + shown + "); allowed is " +
		strings.Join(n.names(), ", ") + hint}
}

// complete checks that every required key and one of each group was given.
func (n *node) complete(seen uint64) *fault {
	for i, m := range n.fields {
		if m.required && seen&(1<<i) == 0 {
			return wrong("is missing; %s is wanted", m.node.wanted()).under(m.key)
		}
	}
	for _, g := range n.groups {
		var mask uint64
		keys := make([]string, 0, 4)
		for _, i := range g {
			mask |= 1 << i
		}
		if bits.OnesCount64(seen&mask) == 1 {
			continue
		}
		last := n.fields[g[0]].key
		given := make([]string, 0, 4)
		for _, i := range g {
			keys = append(keys, n.fields[i].key)
			if seen&(1<<i) != 0 {
				last = n.fields[i].key
				given = append(given, last)
			}
		}
		if len(given) == 0 {
			return wrong("is missing; exactly one of %s is wanted", strings.Join(keys, ", ")).under(last)
		}
		return wrong("is given together with %s; exactly one of %s is allowed",
			strings.Join(given[:len(given)-1], ", "), strings.Join(keys, ", ")).under(last)
	}
	return nil
}

// shapeFor returns the shape of a union that begins with the byte.
func (n *node) shapeFor(c byte) *member {
	for _, m := range n.fields {
		var fits bool
		switch m.node.elem.kind {
		case Number, Integer:
			fits = c == '-' || c-'0' <= 9
		case Text, Instant:
			fits = c == '"'
		case Claim:
			fits = c == 't' || c == 'f'
		case List:
			fits = c == '['
		case Object:
			fits = c == '{'
		case Union:
			fits = c == '{' && m.node.elem.byKind
		}
		if fits {
			return m
		}
	}
	return nil
}

// decodeKind reads the key "kind" wherever it stands, then the object as that kind.
func (n *node) decodeKind(s *scanner, v reflect.Value) *fault {
	kinds := make([]string, len(n.fields))
	for i, m := range n.fields {
		kinds[i] = m.kindTag
	}
	start := s.at
	s.at++
	for !s.take('}') {
		key, f := s.string()
		if f != nil {
			return f
		}
		isKind := string(key) == "kind"
		if !s.take(':') {
			return s.broken("a colon")
		}
		if isKind && s.peek() == '"' {
			raw, f := s.string()
			if f != nil {
				return f
			}
			i := slices.Index(kinds, string(raw))
			if i < 0 {
				return wrong("is %q; allowed is %s", cut(string(raw)), quoted(kinds)).under("kind")
			}
			s.at = start
			m := n.fields[i]
			p := reflect.New(m.node.elem.typ)
			if f := m.node.elem.decodeObject(s, p.Elem(), true); f != nil {
				return f
			}
			v.FieldByIndex(m.place).Set(p)
			return nil
		}
		shown, f := s.shown()
		if f != nil {
			return f
		}
		if isKind {
			return wrong("is %s; allowed is %s", shown, quoted(kinds)).under("kind")
		}
		if !s.take(',') && s.peek() != '}' {
			return s.broken("a comma or }")
		}
	}
	return wrong("is missing; allowed is %s", quoted(kinds)).under("kind")
}
