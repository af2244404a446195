package chemistry

import (
	"encoding/json"
	"fmt"
	"strings"
)

// Kind says what a recipe makes.
type Kind string

// Kinds of recipes.
const (
	Collodion Kind = "collodion"
	Bath      Kind = "bath"
	Developer Kind = "developer"
	Fixer     Kind = "fixer"
	Varnish   Kind = "varnish"
)

// Kinds lists the kinds of recipes.
func Kinds() []Kind { return []Kind{Collodion, Bath, Developer, Fixer, Varnish} }

// Recipe is what an author tells to be mixed, in the author's own measures.
type Recipe struct {
	Name     string   `json:"name"`
	Kind     Kind     `json:"kind"`
	System   System   `json:"system"` // the author's weights and measures
	Parts    []Part   `json:"parts"`
	Makes    Amount   `json:"makes,omitzero"` // finished volume; left out: the sum of the liquids
	Source   string   `json:"source"`         // a citation, or whose notebook it comes from
	Note     string   `json:"note,omitempty"`
	Cautions []string `json:"cautions,omitempty"`
	Unsafe   string   `json:"unsafe,omitempty"` // what the old text says and nobody should do
}

// Part is one line of a recipe.
type Part struct {
	Substance string  `json:"substance"`
	Amount    float64 `json:"amount,omitempty"`
	Unit      Unit    `json:"unit,omitempty"`
	ToVolume  bool    `json:"to_volume,omitempty"` // filled up to what the recipe makes, instead of an amount
	Note      string  `json:"note,omitempty"`
	Source    string  `json:"source,omitempty"` // of this line, where it differs from the recipe's
}

// UnmarshalJSON reads an amount as {"amount": 64, "unit": "fl oz"}, or a bare number of millilitres.
func (a *Amount) UnmarshalJSON(text []byte) error {
	if string(text) == "null" {
		return nil
	}
	var ml float64
	if json.Unmarshal(text, &ml) == nil {
		*a = Amount{Value: ml, Unit: "ml"}
		return nil
	}
	type plain Amount
	var p plain
	if err := json.Unmarshal(text, &p); err != nil {
		return fmt.Errorf("amount %s: a number of millilitres or {\"amount\", \"unit\"} is wanted: %w", text, err)
	}
	*a = Amount(p)
	return nil
}

// FieldError says which field of a recipe is wrong, and how.
type FieldError struct {
	Field string // as in JSON: parts[2].unit
	Err   error
}

func (e *FieldError) Error() string { return e.Field + ": " + e.Err.Error() }

// Unwrap returns what is wrong with the field.
func (e *FieldError) Unwrap() error { return e.Err }

func inField(field string, err error) error {
	if err == nil {
		return nil
	}
	return &FieldError{Field: field, Err: err}
}

// maxParts bounds the lines of a recipe.
const maxParts = 40

// Validate reports the first thing that keeps the recipe from being kept and mixed. It does not
// ask whether the parts may stand together: [Mix] does, each time.
func (r Recipe) Validate() error {
	if strings.TrimSpace(r.Name) == "" {
		return inField("name", fmt.Errorf("is missing"))
	}
	if !oneOf(r.Kind, Kinds()) {
		return inField("kind", fmt.Errorf("%q is not known; allowed: %s", string(r.Kind), joined(Kinds())))
	}
	if !oneOf(r.System, Systems()) {
		return inField("system", fmt.Errorf("%q is not known; allowed: %s", string(r.System), joined(Systems())))
	}
	return r.checkParts()
}

// checkParts checks the lines and the finished volume, which is all that mixing needs.
func (r Recipe) checkParts() error {
	if len(r.Parts) == 0 || len(r.Parts) > maxParts {
		return inField("parts", fmt.Errorf("%d lines are given; allowed: 1 to %d", len(r.Parts), maxParts))
	}
	if !r.Makes.IsZero() {
		if _, err := r.Makes.VolumeIn(r.System); err != nil {
			return inField("makes", err)
		}
	}
	filled := -1
	for i, p := range r.Parts {
		field := fmt.Sprintf("parts[%d]", i)
		s, err := substanceNamed(p.Substance)
		if err != nil {
			return inField(field+".substance", err)
		}
		if !p.ToVolume {
			if _, err := s.measured(p, r.System); err != nil {
				return inField(field, err)
			}
			continue
		}
		switch {
		case p.Amount != 0 || p.Unit != "":
			return inField(field, fmt.Errorf("%s has both an amount and to_volume; one of them is allowed", s.Name))
		case !s.Liquid:
			return inField(field, fmt.Errorf("%s is a solid and cannot be filled up to a volume; a liquid can", s.Name))
		case r.Makes.IsZero():
			return inField(field, fmt.Errorf("to_volume wants makes, the volume to fill up to"))
		case filled >= 0:
			return inField(field, fmt.Errorf("to_volume is given for parts[%d] too; one line can be filled up", filled))
		}
		filled = i
	}
	return nil
}

func oneOf[T comparable](v T, list []T) bool {
	for _, w := range list {
		if v == w {
			return true
		}
	}
	return false
}

// HoldsCyanide reports whether the recipe holds a cyanide, which is off the shelf unless asked for.
func (r Recipe) HoldsCyanide() bool {
	for _, p := range r.Parts {
		if s, err := substanceNamed(p.Substance); err == nil && s.is(cyanide) {
			return true
		}
	}
	return false
}
