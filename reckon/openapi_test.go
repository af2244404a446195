package reckon

import (
	"bytes"
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// document returns the registry's OpenAPI document, as bytes and as a general-purpose reader sees it.
func document(t *testing.T, g *Registry) ([]byte, map[string]any) {
	t.Helper()
	raw, err := g.OpenAPI()
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	return raw, doc.(map[string]any)
}

func registries() map[string]*Registry {
	return map[string]*Registry{"all": New(), "toy": newRegistry(toy())}
}

// independent: the OpenAPI Initiative's own schema accepts the document [OAS31].
func TestOpenAPIDocument(t *testing.T) {
	raw, err := os.ReadFile("testdata/OAS31-schema-2022-10-07.json")
	if err != nil {
		t.Fatal(err)
	}
	schema, err := jsonschema.UnmarshalJSON(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	const id = "https://spec.openapis.org/oas/3.1/schema/2022-10-07"
	if err := c.AddResource(id, schema); err != nil {
		t.Fatal(err)
	}
	compiled, err := c.Compile(id)
	if err != nil {
		t.Fatal(err)
	}
	for name, g := range registries() {
		_, doc := document(t, g)
		if err := compiled.Validate(doc); err != nil {
			t.Errorf("%s: %v [OAS31]", name, err)
		}
		delete(doc, "info")
		if compiled.Validate(doc) == nil {
			t.Errorf("%s: the schema lets a document without info pass: it checks nothing", name)
		}
	}
}

// compiler reads every component of the document as a JSON schema of draft 2020-12.
func compiler(t *testing.T, doc map[string]any) func(pointer string) *jsonschema.Schema {
	t.Helper()
	c := jsonschema.NewCompiler()
	c.DefaultDraft(jsonschema.Draft2020)
	c.AssertFormat()
	bare := map[string]any{} // the dialect named in the document adds only annotations
	for k, v := range doc {
		if k != "jsonSchemaDialect" {
			bare[k] = v
		}
	}
	if err := c.AddResource("doc.json", bare); err != nil {
		t.Fatal(err)
	}
	return func(pointer string) *jsonschema.Schema {
		s, err := c.Compile("doc.json" + pointer)
		if err != nil {
			t.Fatalf("%s is no schema: %v [JSONSchema2020]", pointer, err)
		}
		return s
	}
}

// independent: every reference resolves, every schema is one, and every example fits its schema.
func TestOpenAPIExamples(t *testing.T) {
	for name, g := range registries() {
		_, doc := document(t, g)
		schema := compiler(t, doc)
		references := 0
		var walk func(v any)
		walk = func(v any) {
			switch v := v.(type) {
			case []any:
				for _, e := range v {
					walk(e)
				}
			case map[string]any:
				if ref, ok := v["$ref"].(string); ok {
					references++
					resolve(t, doc, ref)
					if strings.HasPrefix(ref, "#/components/schemas/") {
						schema(ref)
					}
				}
				if s, ok := v["schema"].(map[string]any); ok && v["example"] != nil {
					if err := schema(s["$ref"].(string)).Validate(v["example"]); err != nil {
						t.Errorf("%s: an example does not fit %s: %v", name, s["$ref"], err)
					}
				}
				for _, e := range v {
					walk(e)
				}
			}
		}
		walk(doc)
		if references < 5 {
			t.Errorf("%s: only %d references found", name, references)
		}
	}
}

func resolve(t *testing.T, doc map[string]any, ref string) {
	t.Helper()
	path, ok := strings.CutPrefix(ref, "#/")
	var at any = doc
	for step := range strings.SplitSeq(path, "/") {
		m, isMap := at.(map[string]any)
		if !isMap || m[step] == nil {
			ok = false
			break
		}
		at = m[step]
	}
	if !ok {
		t.Errorf("the reference %s leads nowhere", ref)
	}
}

// independent: the schema and the reader agree on what is a question.
func TestSchemaAgreesWithReader(t *testing.T) {
	r := toy()
	_, doc := document(t, newRegistry(r))
	schema := compiler(t, doc)("#/components/schemas/toy_question")
	answers := compiler(t, doc)("#/components/schemas/toy_answer")
	for _, q := range []string{
		`{"length_mm":1,"wide_m":2}`,
		`{"length_mm":1,"wide_m":null,"tall_m":2}`,
		`{"length_mm":1,"wide_m":null}`,
		`{"length_mm":1}`,
		`{"length_mm":1,"wide_m":2,"tall_m":2}`,
		`{"length_mm":0,"wide_m":2}`,
		`{"length_mm":5000,"wide_m":2,"ratio":1}`,
		`{"length_mm":5000,"wide_m":2,"ratio":0}`,
		`{"length_mm":null,"wide_m":2}`,
		`{"length_mm":1,"wide_m":2,"count":2.0}`,
		`{"length_mm":1,"wide_m":2,"count":2.5}`,
		`{"length_mm":1,"wide_m":2,"move":"side"}`,
		`{"length_mm":1,"wide_m":2,"other":1}`,
		`{"length_mm":1,"wide_m":2,"centre_mm":[1,2,3]}`,
		`{"length_mm":1,"wide_m":2,"tags":["a","b","c","d"]}`,
		`{"length_mm":1,"wide_m":2,"source":{"kind":"daylight","cct_k":3000}}`,
		`{"length_mm":1,"wide_m":2,"source":{"kind":"named"}}`,
		`{"length_mm":1,"wide_m":2,"source":null,"plate":null,"curve_mm":null}`,
		`{"length_mm":1,"wide_m":2,"source":{"kind":"moon"}}`,
		`{"length_mm":1,"wide_m":2,"plate":{"width_mm":10}}`,
		`{"length_mm":1,"wide_m":2,"plate":{"width_mm":10,"height_mm":10}}`,
		`{"length_mm":1,"wide_m":2,"plate":"half plate"}`,
		`{"length_mm":1,"wide_m":2,"when":"2026-05-01T10:30:00+02:00"}`,
		`{"length_mm":1,"wide_m":2,"when":"yesterday"}`,
		`[]`,
	} {
		v, err := jsonschema.UnmarshalJSON(strings.NewReader(q))
		if err != nil {
			t.Fatal(err)
		}
		said := schema.Validate(v)
		answer, err := r.Answer([]byte(q))
		if (said == nil) != (err == nil) {
			t.Errorf("%s: the schema says %v, the reader %v", q, said, err)
		}
		if err != nil {
			continue
		}
		a, err := jsonschema.UnmarshalJSON(bytes.NewReader(answer))
		if err != nil {
			t.Fatal(err)
		}
		if err := answers.Validate(a); err != nil {
			t.Errorf("%s: the answer %s does not fit its schema: %v", q, answer, err)
		}
	}
}

// The document is the same every time it is made.
func TestOpenAPIIsStable(t *testing.T) {
	a, _ := document(t, New())
	b, _ := document(t, New())
	if !bytes.Equal(a, b) || !json.Valid(a) {
		t.Error("two documents of one registry differ")
	}
}
