package reckon

import (
	"encoding/json"
	"maps"
	"math"
	"slices"
	"strconv"
)

// interfaceVersion is that of the HTTP interface; its first figure changes when a key changes its meaning.
const interfaceVersion = "1.0.0"

// jsonObject is a part of the document; its keys are written in alphabetical order.
type jsonObject = map[string]any

// OpenAPI returns the OpenAPI 3.1 document [OAS31] of the registry's HTTP interface, with a schema
// [JSONSchema2020] for every question and answer.
func (g *Registry) OpenAPI() ([]byte, error) {
	ref := func(kind, name string) jsonObject { return jsonObject{"$ref": "#/components/" + kind + "/" + name} }
	schemas := jsonObject{
		"error": object(jsonObject{
			"error": object(jsonObject{
				"field":   jsonObject{"type": "string", "description": "the dotted key that is wrong; empty when the whole question is meant"},
				"message": jsonObject{"type": "string", "description": "names the key, the value and what is allowed"},
			}),
		}),
		"list": object(jsonObject{"reckonings": jsonObject{"type": "array", "items": object(jsonObject{
			"name": jsonObject{"type": "string"}, "title": jsonObject{"type": "string"}, "summary": jsonObject{"type": "string"},
		})}}),
	}
	refused := func(why string) jsonObject {
		return jsonObject{"description": why, "content": jsonObject{"application/json": jsonObject{"schema": ref("schemas", "error")}}}
	}
	paths := jsonObject{"/api/reckon": jsonObject{"get": jsonObject{
		"operationId": "reckonings", "summary": "lists the reckonings", "tags": []string{"reckon"},
		"responses": jsonObject{"200": jsonObject{"description": "the reckonings in reading order",
			"content": jsonObject{"application/json": jsonObject{"schema": ref("schemas", "list")}}}},
	}}}
	for _, r := range g.all {
		question, answer := r.WorkedExample()
		schemas[r.Name+"_question"] = r.question.schema(asQuestion)
		schemas[r.Name+"_answer"] = r.answer.schema(asAnswer)
		paths["/api/reckon/"+r.Name] = jsonObject{"post": jsonObject{
			"operationId": "reckon_" + r.Name, "summary": r.Title, "description": r.Summary + " " + r.Model, "tags": []string{"reckon"},
			"requestBody": jsonObject{"required": true, "content": jsonObject{"application/json": jsonObject{
				"schema": ref("schemas", r.Name+"_question"), "example": json.RawMessage(question)}}},
			"responses": jsonObject{
				"200": jsonObject{"description": "the answer", "content": jsonObject{"application/json": jsonObject{
					"schema": ref("schemas", r.Name+"_answer"), "example": json.RawMessage(answer)}}},
				"413": ref("responses", "too_long"), "415": ref("responses", "not_json"), "422": ref("responses", "refused"),
			},
		}}
	}
	return json.MarshalIndent(jsonObject{
		"openapi": "3.1.0",
		"info": jsonObject{"title": "Platewright reckonings", "version": interfaceVersion,
			"description": "Named computations of the wet-plate portraitist's trade. Keys carry their units."},
		"jsonSchemaDialect": "https://spec.openapis.org/oas/3.1/dialect/base",
		"tags":              []jsonObject{{"name": "reckon", "description": "a typed question in, a typed answer out"}},
		"paths":             paths,
		"components": jsonObject{"schemas": schemas, "responses": jsonObject{
			"refused":  refused("the question is refused: a key is unknown, missing, of the wrong type or out of range, or a rule forbids it"),
			"too_long": refused("the question is too long"),
			"not_json": refused("the question is not sent as application/json"),
		}},
	}, "", "  ")
}

// object makes the schema of an object with all its keys required.
func object(properties jsonObject) jsonObject {
	return jsonObject{"type": "object", "properties": properties, "required": slices.Sorted(maps.Keys(properties))}
}

// schema writes a compiled type as a JSON schema.
func (n *node) schema(p purpose) jsonObject {
	if n.nullable {
		return orNull(n.elem.schema(p))
	}
	s := jsonObject{}
	switch n.kind {
	case Number, Integer:
		s["type"] = "number"
		if n.kind == Integer {
			s["type"] = "integer"
		}
		if n.limits != nil {
			n.limits.schema(s)
		}
		if n.unit != "" {
			s["x-unit"] = n.unit
		}
	case Text:
		s["type"] = "string"
		if len(n.choices) > 0 {
			s["enum"] = n.choices
		} else if p == asQuestion {
			s["maxLength"] = longestText
		}
	case Claim:
		s["type"] = "boolean"
	case Instant:
		s["type"], s["format"] = "string", "date-time"
	case List:
		s["type"], s["items"] = "array", n.elem.schema(p)
		if p == asQuestion || n.fixed {
			s["minItems"], s["maxItems"] = n.minItems, n.maxItems
		}
	case Mapping:
		s["type"], s["additionalProperties"] = "object", n.elem.schema(p)
	case Union:
		var shapes []jsonObject
		for _, m := range n.fields {
			shape := m.node.elem.schema(p)
			if n.byKind {
				shape["properties"].(jsonObject)["kind"] = jsonObject{"const": m.kindTag}
				required, _ := shape["required"].([]string)
				shape["required"] = append(required, "kind")
			}
			if m.doc != "" {
				shape["description"] = m.doc
			}
			shapes = append(shapes, shape)
		}
		s["oneOf"] = shapes
	case Object:
		n.objectSchema(s, p)
	}
	return s
}

func (n *node) objectSchema(s jsonObject, p purpose) {
	properties := jsonObject{}
	var required []string
	for _, m := range n.fields {
		f := m.node.schema(p)
		f["description"] = m.doc
		if m.preset != "" {
			f["default"] = json.RawMessage(m.preset)
		}
		properties[m.key] = f
		if p == asQuestion && m.required || p == asAnswer && !m.omit {
			required = append(required, m.key)
		}
	}
	s["type"], s["properties"] = "object", properties
	if len(required) > 0 {
		s["required"] = required
	}
	if p == asAnswer {
		return // answers may gain keys
	}
	s["additionalProperties"] = false
	var groups []jsonObject
	for _, g := range n.groups {
		var choices []jsonObject
		for _, i := range g {
			key := n.fields[i].key
			choices = append(choices, jsonObject{"required": []string{key},
				"properties": jsonObject{key: jsonObject{"not": jsonObject{"type": "null"}}}})
		}
		groups = append(groups, jsonObject{"oneOf": choices})
	}
	if len(groups) > 0 {
		s["allOf"] = groups
	}
}

func (r Range) schema(s jsonObject) {
	put := func(key string, without bool, v float64) {
		if math.IsInf(v, 0) {
			return
		}
		if without {
			key = "exclusive" + string(key[0]-'a'+'A') + key[1:]
		}
		s[key] = json.Number(strconv.FormatFloat(v, 'g', -1, 64))
	}
	put("minimum", r.WithoutLow, r.Low)
	put("maximum", r.WithoutHi, r.High)
}

// orNull lets a schema take null as well.
func orNull(s jsonObject) jsonObject {
	t, ok := s["type"].(string)
	if !ok || s["properties"] != nil {
		return jsonObject{"anyOf": []jsonObject{s, {"type": "null"}}}
	}
	s["type"] = []string{t, "null"}
	if words, ok := s["enum"].([]string); ok {
		with := make([]any, 0, len(words)+1)
		for _, w := range words {
			with = append(with, w)
		}
		s["enum"] = append(with, nil)
	}
	return s
}
