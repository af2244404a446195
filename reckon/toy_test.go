package reckon

import (
	"fmt"
	"time"
)

// The toy has a key of every kind; it computes nothing but its own echo.
type toyQuestion struct {
	LengthMm float64    `json:"length_mm" range:"(0,5000]" doc:"a number"`
	Ratio    float64    `json:"ratio" range:"[0,1)" default:"0.5" doc:"a ratio with a default"`
	Count    int        `json:"count" range:"[1,9]" default:"3" doc:"a count"`
	Wide     *float64   `json:"wide_m" range:"[0,)" one:"size" doc:"first of two"`
	Tall     *float64   `json:"tall_m" range:"[0,)" one:"size" doc:"second of two"`
	Move     string     `json:"move" enum:"back|front" default:"\"back\"" doc:"a word"`
	Name     *string    `json:"name" doc:"any text"`
	Wet      bool       `json:"wet" default:"false" doc:"a claim"`
	When     *time.Time `json:"when" doc:"a time"`
	Centre   [2]float64 `json:"centre_mm" range:"[-100,100]" default:"[0,0]" doc:"a pair"`
	Tags     []string   `json:"tags" items:"0,3" default:"[]" doc:"words"`
	Parts    []toyPart  `json:"parts" items:"0,2" default:"[]" doc:"objects"`
	Film     toyFilm    `json:"film" default:"{\"iodide_mol\":0.8}" doc:"an object with a default"`
	Plate    *Plate     `json:"plate" doc:"text or object"`
	Source   *toySource `json:"source" doc:"one of several kinds"`
	Curve    *float64   `json:"curve_mm" range:"(,)" doc:"null is flat"`
}

type toyPart struct {
	Substance string  `json:"substance" doc:"what"`
	AmountG   float64 `json:"amount_g" range:"[0,1000]" default:"1" doc:"how much"`
}

func (p *toyPart) Check() error {
	if p.Substance == "gold" {
		return &FieldError{Field: "substance", Message: "substance is gold; that is too dear"}
	}
	if p.Substance == "lead" {
		return fmt.Errorf("lead has no place here")
	}
	return nil
}

type toyFilm struct {
	IodideMol float64 `json:"iodide_mol" range:"[0,2]" doc:"iodide"`
}

type toySource struct {
	Kinds
	Daylight *toyDaylight `kind:"daylight"`
	Named    *toyNamed    `kind:"named"`
}

type toyDaylight struct {
	CCT float64 `json:"cct_k" range:"[2000,20000]" default:"5500" doc:"colour temperature"`
}

type toyNamed struct {
	Name string `json:"name" doc:"its name"`
}

type toyAnswer struct {
	toyQuestion
	Sum     float64            `json:"sum_mm" doc:"a number"`
	Series  []float64          `json:"series,omitempty" doc:"left out when there is none"`
	Shares  map[string]float64 `json:"shares" doc:"free keys"`
	Nothing *float64           `json:"nothing" doc:"null"`
	Notes   []string           `json:"notes" doc:"notes"`
}

func toy() *Reckoning {
	return define(Spec{Name: "toy", Title: "echo", Summary: "Says what it heard.", Model: "None.",
		Example: `{"length_mm": 1, "wide_m": 2, "source": {"kind":"daylight"}, "plate":"half plate"}`,
	}, func(q toyQuestion) (toyAnswer, error) {
		return toyAnswer{toyQuestion: q, Sum: q.LengthMm + q.Ratio, Shares: map[string]float64{"b": 1, "a": 2}}, nil
	})
}
