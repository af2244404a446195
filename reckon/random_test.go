package reckon

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// randomValue makes a value of a compiled type within its ranges, often at their very ends.
func (n *node) randomValue(rnd *rand.Rand, dst []byte) []byte {
	switch {
	case n.nullable:
		return n.elem.randomValue(rnd, dst)
	case n.kind == Number || n.kind == Integer:
		return appendNumber(dst, n.randomNumber(rnd))
	case n.kind == Text && len(n.choices) > 0:
		return appendText(dst, n.choices[rnd.IntN(len(n.choices))])
	case n.kind == Text:
		words := []string{"", "half plate", "water", "silver nitrate", "general collodion", "g", "ml", "é\n"}
		return appendText(dst, words[rnd.IntN(len(words))])
	case n.kind == Claim:
		return append(dst, []string{"true", "false"}[rnd.IntN(2)]...)
	case n.kind == Instant:
		return append(dst, `"2026-05-01T10:30:00+02:00"`...)
	case n.kind == List:
		dst = append(dst, '[')
		for i := range n.minItems + rnd.IntN(min(3, n.maxItems-n.minItems)+1) {
			if i > 0 {
				dst = append(dst, ',')
			}
			dst = n.elem.randomValue(rnd, dst)
		}
		return append(dst, ']')
	case n.kind == Union:
		m := n.fields[rnd.IntN(len(n.fields))]
		at := len(dst)
		dst = m.node.elem.randomValue(rnd, dst)
		if n.byKind {
			kind := appendText([]byte(`"kind":`), m.kindTag)
			if len(dst) > at+2 {
				kind = append(kind, ',')
			}
			dst = slices.Insert(dst, at+1, kind...)
		}
		return dst
	}
	dst = append(dst, '{')
	given := map[int]bool{}
	for _, g := range n.groups {
		one := g[rnd.IntN(len(g))]
		for _, i := range g {
			given[i] = i == one
		}
	}
	first := true
	for i, m := range n.fields {
		want, grouped := given[i]
		if grouped && !want || !grouped && !m.required && rnd.IntN(2) == 0 {
			continue
		}
		if !first {
			dst = append(dst, ',')
		}
		first = false
		dst = append(appendText(dst, m.key), ':')
		dst = m.node.randomValue(rnd, dst)
	}
	return append(dst, '}')
}

func (n *node) randomNumber(rnd *rand.Rand) float64 {
	low, high := max(n.limits.Low, -1e12), min(n.limits.High, 1e12)
	var x float64
	switch rnd.IntN(5) {
	case 0:
		x = low
	case 1:
		x = high
	case 2:
		if low < 0 {
			x = 0
			break
		}
		x = math.Exp(math.Log(max(low, 1e-9)) + rnd.Float64()*(math.Log(high)-math.Log(max(low, 1e-9))))
	default:
		x = low + rnd.Float64()*(high-low)
	}
	if n.kind == Integer {
		x = math.Round(x)
	}
	switch {
	case x <= low && n.limits.WithoutLow:
		x = math.Nextafter(low, high)
	case x >= high && n.limits.WithoutHi:
		x = math.Nextafter(high, low)
	}
	return min(max(x, low), high)
}

// Whatever lies within the stated ranges, to their very ends, has a finite answer that fits its
// schema, or is refused with a reason that is not "no finite answer".
func TestRandomQuestions(t *testing.T) {
	g := New()
	_, doc := document(t, g)
	schema := compiler(t, doc)
	for _, r := range append(g.All(), toy()) {
		rnd := rand.New(rand.NewPCG(1851, 1))
		answers := 0
		var fits *jsonschema.Schema
		if r.Name != "toy" {
			fits = schema("#/components/schemas/" + r.Name + "_answer")
		}
		asked := 3000
		if r.Name == "daylight" {
			asked = 150 // an answer holds up to 1500 moments, each of which is validated
		}
		for range asked {
			q := r.question.randomValue(rnd, nil)
			a, err := r.Answer(q)
			var fe *FieldError
			switch {
			case errors.As(err, &fe):
				if strings.Contains(fe.Message, "finite answer") || fe.Message == "" {
					t.Errorf("%s %s: %v", r.Name, q, err)
				}
				continue
			case err != nil:
				t.Errorf("%s %s: %v is no field error", r.Name, q, err)
				continue
			}
			answers++
			if fits == nil {
				continue
			}
			v, err := jsonschema.UnmarshalJSON(bytes.NewReader(a))
			if err != nil {
				t.Fatalf("%s %s: %v", r.Name, q, err)
			}
			if err := fits.Validate(v); err != nil {
				t.Errorf("%s %s: the answer does not fit its schema: %v", r.Name, q, err)
			}
			if notes, ok := v.(map[string]any)["notes"].([]any); !ok {
				t.Errorf("%s %s: the notes are %v", r.Name, q, notes)
			}
		}
		t.Logf("%s: %d of %d answered", r.Name, answers, asked)
	}
}

// independent: what we read is what the standard library reads.
func TestReadsAsTheStandardLibrary(t *testing.T) {
	r := toy()
	rnd := rand.New(rand.NewPCG(1851, 2))
	compared := 0
	for range 2000 {
		q := r.question.randomValue(rnd, nil)
		a, err := r.Answer(q)
		if err != nil {
			continue
		}
		var asked, heard map[string]any
		if err := json.Unmarshal(q, &asked); err != nil {
			t.Fatalf("%s: %v", q, err)
		}
		if err := json.Unmarshal(a, &heard); err != nil {
			t.Fatalf("%s: %v", a, err)
		}
		for key, want := range asked {
			if key == "parts" || key == "source" {
				continue // these gain defaults
			}
			compared++
			if !reflect.DeepEqual(heard[key], want) {
				t.Errorf("%s: %s is heard as %v", q, key, heard[key])
			}
		}
	}
	if compared < 2000 {
		t.Errorf("only %d values compared", compared)
	}
}
