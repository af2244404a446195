package reckon

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"
)

// The question and the answer of a reckoning are structs. Each exported field is a JSON key, told
// by tags:
//
//	json:"focal_mm"        the key; its last part is the unit (see units)
//	doc:"..."              what it is, a phrase; always required
//	range:"(0,5000]"       least and greatest value of a number, or of each number of a list; a
//	                       round bracket leaves the end out, an empty end is open: "[0,)".
//	                       Every number of a question has one.
//	default:"0"            the JSON value taken when the key is missing
//	one:"aperture"         exactly one of the fields with this word is given; they are pointers
//	enum:"back|front"      the texts allowed
//	items:"1,50"           least and greatest length of a list (default 0 to 1000)
//	unit:"mm"              a unit the key does not carry
//
// A field without default and without one is required, unless it is a pointer: that may be left out
// or null. In an answer a nil pointer is null, and ",omitempty" in the json tag leaves a nil
// pointer, list or map out. Embedded structs are flattened.
//
// A value is a float64 or an int (or a named type of them), string, bool, [time.Time], a struct, a
// list, an array, or a union: a struct that embeds [Either] and has one pointer field for each shape
// (told apart as text, number, list and object), or embeds [Kinds] and has one pointer field for
// each kind (tagged kind:"flash"), told apart by the object's own key "kind".
//
// A type with a method Choices() []string has these texts as its enum. A type whose pointer has
// Check() error is asked after it was read; a [*FieldError] from it may name a key inside.

// Either marks a union told apart by the shape of its value.
type Either struct{}

// Kinds marks a union of objects told apart by their key "kind".
type Kinds struct{}

type chooser interface{ Choices() []string }

type checker interface{ Check() error }

// Kind is the kind of a value.
type Kind string

// Kinds of values.
const (
	Number  Kind = "number"
	Integer Kind = "whole number"
	Text    Kind = "text"
	Claim   Kind = "true or false"
	Instant Kind = "time"
	List    Kind = "list"
	Object  Kind = "object"
	Mapping Kind = "object of free keys"
	Union   Kind = "one of several shapes"
)

// Range is the range in which a number is allowed; an infinite end is open.
type Range struct {
	Low, High             float64
	WithoutLow, WithoutHi bool // the end itself is not allowed
}

// Contains reports whether v lies in the range.
func (r Range) Contains(v float64) bool {
	return (v > r.Low || v == r.Low && !r.WithoutLow) && (v < r.High || v == r.High && !r.WithoutHi)
}

// text says the range in words.
func (r Range) text(unit string) string {
	if unit != "" {
		unit = " " + unit
	}
	low, high := !math.IsInf(r.Low, -1), !math.IsInf(r.High, 1)
	switch {
	case low && high:
		s := number(r.Low) + " to "
		if r.WithoutLow {
			s = "above " + s
		}
		if r.WithoutHi {
			s += "below "
		}
		return s + number(r.High) + unit
	case low && r.WithoutLow:
		return "above " + number(r.Low) + unit
	case low:
		return "at least " + number(r.Low) + unit
	case high && r.WithoutHi:
		return "below " + number(r.High) + unit
	case high:
		return "at most " + number(r.High) + unit
	}
	return "any finite number" + unit
}

// Field describes one key of a question or an answer.
type Field struct {
	Key      string // dotted; "[]" after a key stands for every place of a list
	Kind     Kind
	Unit     string
	Range    *Range // of a number, or of each number of a list; nil when none is stated
	Default  string // JSON; empty when there is none
	Required bool
	Nullable bool
	Items    [2]int   // least and greatest length of a list; both 0 when it is free
	Each     Kind     // of a list's places
	Shape    bool     // the key is, or lies in, one of the shapes its value may take
	OneOf    []string // the keys of which exactly one is given, this one among them
	Choices  []string
	Doc      string
}

// Allowed says in words what the field takes.
func (f Field) Allowed() string {
	switch {
	case len(f.Choices) > 0:
		return strings.Join(f.Choices, " | ")
	case f.Range != nil:
		return f.Range.text(f.Unit)
	case f.Unit != "":
		return string(f.Kind) + ", " + f.Unit
	}
	return string(f.Kind)
}

// node is a compiled type: decoding, encoding, help and schema all walk it.
type node struct {
	kind     Kind
	typ      reflect.Type
	nullable bool // the value is behind a pointer; elem is what it points to
	checks   bool

	unit    string
	limits  *Range
	choices []string

	elem               *node // of a list, a mapping or a pointer
	fixed              bool  // an array
	minItems, maxItems int

	fields []*member
	keys   map[string]int
	groups [][]int
	blank  reflect.Value // the struct with its defaults set

	byKind bool // a union told apart by "kind"
}

type member struct {
	key, doc   string
	kindTag    string // of a union
	place      []int
	node       *node
	required   bool
	preset     string
	omit       bool
	quoted     []byte // "key":
	afterComma []byte // ,"key":
}

type purpose bool

const (
	asQuestion purpose = true
	asAnswer   purpose = false
)

// compile reads a struct type and its tags; it panics when they are wrong.
func compile(t reflect.Type, p purpose) *node {
	n := compileType(t, "", p, t.Name())
	if n.kind != Object {
		panic("reckon: " + t.String() + " is not a struct")
	}
	return n
}

func compileType(t reflect.Type, tag reflect.StructTag, p purpose, at string) *node {
	n := &node{typ: t, unit: tag.Get("unit")}
	n.checks = p == asQuestion && reflect.PointerTo(t).Implements(reflect.TypeFor[checker]())
	if c, ok := reflect.Zero(t).Interface().(chooser); ok && t.Kind() == reflect.String {
		n.choices = c.Choices()
	}
	if e := tag.Get("enum"); e != "" {
		n.choices = strings.Split(e, "|")
	}
	switch {
	case t == reflect.TypeFor[time.Time]():
		n.kind = Instant
		return n
	case t.Kind() == reflect.Pointer:
		n.elem = compileType(t.Elem(), tag, p, at)
		n.kind, n.nullable, n.checks = n.elem.kind, true, false
		return n
	}
	switch t.Kind() {
	case reflect.Float64, reflect.Int:
		n.kind = Number
		if t.Kind() == reflect.Int {
			n.kind = Integer
		}
		if s := tag.Get("range"); s != "" {
			n.limits = parseRange(s, at)
		} else if p == asQuestion {
			panic("reckon: " + at + " is a number without a range")
		}
	case reflect.String:
		n.kind = Text
	case reflect.Bool:
		n.kind = Claim
	case reflect.Slice, reflect.Array:
		n.kind = List
		n.elem = compileType(t.Elem(), tag, p, at)
		n.minItems, n.maxItems = 0, 1000
		if t.Kind() == reflect.Array {
			n.fixed, n.minItems, n.maxItems = true, t.Len(), t.Len()
		} else if s := tag.Get("items"); s != "" {
			if k, err := fmt.Sscanf(s, "%d,%d", &n.minItems, &n.maxItems); k != 2 || err != nil {
				panic("reckon: " + at + " has items " + s)
			}
		}
	case reflect.Map:
		if p == asQuestion || t.Key().Kind() != reflect.String {
			panic("reckon: " + at + " is a map")
		}
		n.kind = Mapping
		n.elem = compileType(t.Elem(), tag, p, at)
	case reflect.Struct:
		n.compileStruct(t, p, at)
	default:
		panic("reckon: " + at + " has the type " + t.String())
	}
	return n
}

func (n *node) compileStruct(t reflect.Type, p purpose, at string) {
	n.kind, n.keys = Object, map[string]int{}
	groups := map[string][]int{}
	var order []string
	var walk func(t reflect.Type, place []int)
	walk = func(t reflect.Type, place []int) {
		for i := range t.NumField() {
			sf := t.Field(i)
			here := append(slices.Clone(place), i)
			switch {
			case sf.Type == reflect.TypeFor[Either]():
				n.kind = Union
				continue
			case sf.Type == reflect.TypeFor[Kinds]():
				n.kind, n.byKind = Union, true
				continue
			case sf.Anonymous && sf.Type.Kind() == reflect.Struct:
				walk(sf.Type, here)
				continue
			case !sf.IsExported():
				continue
			}
			key, opt, _ := strings.Cut(sf.Tag.Get("json"), ",")
			if key == "" {
				key = sf.Name // a shape of a union has no key
			}
			where := at + "." + key
			m := &member{key: key, doc: sf.Tag.Get("doc"), kindTag: sf.Tag.Get("kind"), place: here,
				preset: sf.Tag.Get("default"), omit: opt == "omitempty"}
			m.node = compileType(sf.Type, sf.Tag, p, where)
			m.node.setUnit(key)
			m.quoted = append(appendText(nil, key), ':')
			m.afterComma = append([]byte{','}, m.quoted...)
			group := sf.Tag.Get("one")
			m.required = !m.node.nullable && m.preset == "" && group == ""
			if group != "" {
				if !m.node.nullable {
					panic("reckon: " + where + " is one of several and no pointer")
				}
				if groups[group] == nil {
					order = append(order, group)
				}
				groups[group] = append(groups[group], len(n.fields))
			}
			if _, twice := n.keys[key]; twice {
				panic("reckon: " + where + " is there twice")
			}
			n.keys[key] = len(n.fields)
			n.fields = append(n.fields, m)
		}
	}
	walk(t, nil)
	if n.kind == Union {
		for _, m := range n.fields {
			if !m.node.nullable || n.byKind && (m.kindTag == "" || m.node.elem.kind != Object) {
				panic("reckon: " + at + "." + m.key + " is no shape of a union")
			}
		}
		return
	}
	for _, m := range n.fields {
		if m.doc == "" {
			panic("reckon: " + at + "." + m.key + " has no doc")
		}
	}
	if len(n.fields) > 64 {
		panic("reckon: " + at + " has more than 64 keys")
	}
	for _, g := range order {
		n.groups = append(n.groups, groups[g])
	}
	if p == asQuestion {
		n.blank = reflect.New(t).Elem()
		for _, m := range n.fields {
			if m.preset == "" {
				continue
			}
			if m.node.nullable {
				panic("reckon: " + at + "." + m.key + " is a pointer with a default")
			}
			s := scanner{src: []byte(m.preset)}
			if f := m.node.decode(&s, n.blank.FieldByIndex(m.place)); f != nil {
				panic("reckon: " + at + "." + m.key + " " + f.text)
			}
		}
	}
}

// setUnit gives numbers the unit their key ends in, unless a tag told one.
func (n *node) setUnit(key string) {
	for e := n; e != nil; e = e.elem {
		if e.unit == "" && (e.kind == Number || e.kind == Integer || e.kind == List || e.kind == Mapping) {
			e.unit = unitOf(key)
		}
	}
}

// unitOf returns the unit a key's last part stands for, empty for ratios, counts and names.
func unitOf(key string) string {
	units := []struct{ suffix, unit string }{
		{"_per_l", "/L"}, {"_g_ml", "g/mL"}, {"_m3_h", "m³/h"}, {"_g_m2_h", "g/(m²·h)"}, {"_per_m2", "/m²"},
		{"_lm_per_j", "lm/J"}, {"_mm", "mm"}, {"_um", "µm"}, {"_nm", "nm"}, {"_m2", "m²"}, {"_m3", "m³"}, {"_m_s", "m/s"},
		{"_m", "m"}, {"_s", "s"}, {"_min", "min"}, {"_h", "h"}, {"_days", "d"}, {"_c", "°C"}, {"_pct", "%"},
		{"_g", "g"}, {"_ml", "mL"}, {"_j", "J"}, {"_lx", "lx"}, {"_lxs", "lx·s"}, {"_deg", "°"}, {"_stops", "stops"},
		{"_ppm", "ppm"}, {"_hpa", "hPa"}, {"_k", "K"}, {"_px", "px"},
	}
	for _, u := range units {
		if strings.HasSuffix(key, u.suffix) {
			return u.unit
		}
	}
	return ""
}

func parseRange(s, at string) *Range {
	bad := func() { panic("reckon: " + at + " has the range " + s) }
	if len(s) < 3 || !strings.ContainsAny(s[:1], "[(") || !strings.ContainsAny(s[len(s)-1:], "])") {
		bad()
	}
	low, high, ok := strings.Cut(s[1:len(s)-1], ",")
	r := &Range{Low: math.Inf(-1), High: math.Inf(1), WithoutLow: s[0] == '(', WithoutHi: s[len(s)-1] == ')'}
	for _, end := range []struct {
		text string
		to   *float64
	}{{strings.TrimSpace(low), &r.Low}, {strings.TrimSpace(high), &r.High}} {
		if end.text == "" {
			continue
		}
		v, err := strconv.ParseFloat(end.text, 64)
		if err != nil {
			bad()
		}
		*end.to = v
	}
	if !ok || r.Low > r.High {
		bad()
	}
	return r
}

// flatten lists the keys of a compiled struct, nested ones dotted.
func flatten(n *node) []Field {
	var out []Field
	var inside func(n *node, key string, shape bool)
	list := func(n *node, prefix string, shape bool) {
		oneOf := map[int][]string{}
		for _, g := range n.groups {
			var keys []string
			for _, i := range g {
				keys = append(keys, prefix+n.fields[i].key)
			}
			for _, i := range g {
				oneOf[i] = keys
			}
		}
		for i, m := range n.fields {
			f := Field{Key: prefix + m.key, Kind: m.node.kind, Nullable: m.node.nullable, Default: m.preset,
				Required: m.required, OneOf: oneOf[i], Doc: m.doc, Shape: shape}
			for e := m.node; e != nil; e = e.elem {
				if e.unit != "" {
					f.Unit = e.unit
				}
				if e.kind == List && !e.nullable && f.Items[1] == 0 && (e.fixed || n.blank.IsValid()) {
					f.Items = [2]int{e.minItems, e.maxItems}
				}
				if e.kind == List && !e.nullable && f.Each == "" {
					f.Each = e.elem.kind
				}
				if e.limits != nil {
					f.Range = e.limits
				}
				if len(e.choices) > 0 {
					f.Choices = e.choices
				}
			}
			out = append(out, f)
			inside(m.node, f.Key, shape)
		}
	}
	inside = func(n *node, key string, shape bool) {
		switch {
		case n.nullable:
			inside(n.elem, key, shape)
		case n.kind == List && n.elem.kind != Number && n.elem.kind != Integer:
			inside(n.elem, key+"[]", shape)
		case n.kind == Object:
			list(n, key+".", shape)
		case n.kind == Union:
			for _, m := range n.fields {
				if n.byKind {
					out = append(out, Field{Key: key + ".kind", Kind: Text, Choices: []string{m.kindTag}, Required: true, Shape: true, Doc: m.doc})
				} else if e := m.node.elem; e.kind != Object {
					out = append(out, Field{Key: key, Kind: e.kind, Unit: e.unit, Range: e.limits, Choices: e.choices, Shape: true, Doc: m.doc})
				}
				inside(m.node.elem, key, true)
			}
		}
	}
	list(n, "", false)
	return out
}
