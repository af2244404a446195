package reckon

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"platewright/measure"
)

func TestAnswerEchoes(t *testing.T) {
	r := toy()
	for _, tt := range []struct{ question, want string }{
		{`{"length_mm":1,"wide_m":2}`, `"length_mm":1,"ratio":0.5,"count":3,"wide_m":2,"tall_m":null,"move":"back","name":null,"wet":false,"when":null,"centre_mm":[0,0],"tags":[],"parts":[],"film":{"iodide_mol":0.8},"plate":null,"source":null,"curve_mm":null`},
		{` { "length_mm" : 1.5e3 , "tall_m":-0, "wide_m":null } ` + "\r\n", `"length_mm":1500,"ratio":0.5,"count":3,"wide_m":null,"tall_m":0,`},
		{`{"length_mm":1,"wide_m":2,"source":{"cct_k":3000,"kind":"daylight"}}`, `"source":{"kind":"daylight","cct_k":3000}`},
		{`{"length_mm":1,"wide_m":2,"source":{"kind":"daylight"}}`, `"source":{"kind":"daylight","cct_k":5500}`},
		{`{"length_mm":1,"wide_m":2,"plate":"half plate"}`, `"plate":"half plate"`},
		{`{"length_mm":1,"wide_m":2,"plate":{"width_mm":100,"height_mm":1.2e2}}`, `"plate":{"width_mm":100,"height_mm":120}`},
		{`{"length_mm":1,"wide_m":2,"parts":[{"substance":"a\u00e9\ud83d\ude00\n"},{"amount_g":2,"substance":"\\"}]}`, `"parts":[{"substance":"aé😀\n","amount_g":1},{"substance":"\\","amount_g":2}]`},
		{`{"length_mm":1,"wide_m":2,"when":"2026-05-01T10:30:00+02:00","centre_mm":[-1,2.5],"tags":["x","y"],"wet":true,"count":4.0,"move":"front","film":{"iodide_mol":1}}`,
			`"count":4,"wide_m":2,"tall_m":null,"move":"front","name":null,"wet":true,"when":"2026-05-01T10:30:00+02:00","centre_mm":[-1,2.5],"tags":["x","y"],"parts":[],"film":{"iodide_mol":1}`},
		{`{"length_mm":0.0000001,"wide_m":1e300}`, `"length_mm":1e-07,"ratio":0.5,"count":3,"wide_m":1e+300`},
		{`{"length_mm":1,"wide_m":2}`, `"sum_mm":1.5,"shares":{"a":2,"b":1},"nothing":null,"notes":[]}`},
	} {
		got, err := r.Answer([]byte(tt.question))
		if err != nil {
			t.Errorf("%s: %v", tt.question, err)
			continue
		}
		if !strings.Contains(string(got), tt.want) {
			t.Errorf("%s answers\n%s\nwant in it\n%s", tt.question, got, tt.want)
		}
		if !json.Valid(got) {
			t.Errorf("%s answers no JSON: %s", tt.question, got)
		}
	}
}

func TestAnswerRefuses(t *testing.T) {
	r := toy()
	const good = `"length_mm":1,"wide_m":2`
	for _, tt := range []struct{ question, field, message string }{
		{``, ``, `no question: a JSON object is wanted`},
		{`[1]`, ``, `the question is [1]; a JSON object is wanted`},
		{`{` + good, ``, `not JSON: the text ends where a comma or } is wanted`},
		{`{` + good + `,}`, ``, `not JSON: byte 27 is '}' where a key is wanted`},
		{`{` + good + `} x`, ``, `not JSON: byte 28 is 'x' where the end of the question is wanted`},
		{`{"length_mm":1 "wide_m":2}`, ``, `not JSON: byte 16 is '"' where a comma or } is wanted`},
		{`{"length_mm":1,"wide_m":02}`, ``, `not JSON: the number 02 begins with a 0 it does not need`},
		{`{"length_mm":.5,"wide_m":2}`, ``, `not JSON: byte 14 is '.' where a value is wanted`},
		{`{"length_mm":NaN}`, ``, `not JSON: byte 14 is 'N' where a value is wanted`},
		{`{"name":"` + "\xff" + `"}`, ``, `not JSON: byte 10 is 0xff, no UTF-8, where UTF-8 is wanted`},
		{`{"name":"\ud800"}`, ``, `not JSON: half a surrogate pair before byte 16`},
		{`{"wide_m":2}`, `length_mm`, `length_mm is missing; a number (above 0 to 5000 mm) is wanted`},
		{`{"wide_m":2,"length_mm":0}`, `length_mm`, `length_mm is 0; allowed is above 0 to 5000 mm`},
		{`{"wide_m":2,"length_mm":5000.5}`, `length_mm`, `length_mm is 5000.5; allowed is above 0 to 5000 mm`},
		{`{"wide_m":2,"length_mm":1e999}`, `length_mm`, `length_mm is 1e999, too large a number; allowed is above 0 to 5000 mm`},
		{`{"wide_m":2,"length_mm":"5"}`, `length_mm`, `length_mm is "5"; a number (above 0 to 5000 mm) is wanted`},
		{`{"wide_m":2,"length_mm":null}`, `length_mm`, `length_mm is null; a number (above 0 to 5000 mm) is wanted`},
		{`{"wide_m":2,"length_mm":{"a":[1,{}]}}`, `length_mm`, `length_mm is {"a":[1,{}]}; a number (above 0 to 5000 mm) is wanted`},
		{`{` + good + `,"ratio":1}`, `ratio`, `ratio is 1; allowed is 0 to below 1`},
		{`{` + good + `,"count":2.5}`, `count`, `count is 2.5; a whole number (1 to 9) is wanted`},
		{`{` + good + `,"tall_m":1}`, `tall_m`, `tall_m is given together with wide_m; exactly one of wide_m, tall_m is allowed`},
		{`{"length_mm":1}`, `wide_m`, `wide_m is missing; exactly one of wide_m, tall_m is wanted`},
		{`{` + good + `,"move":"bakc"}`, `move`, `move is "bakc"; allowed is "back", "front"; did you mean "back"?`},
		{`{` + good + `,"wet":1}`, `wet`, `wet is 1; true or false is wanted`},
		{`{` + good + `,"when":"2026-05-01"}`, `when`, `when is "2026-05-01"; a time such as "2026-05-01T10:30:00+02:00" is wanted`},
		{`{` + good + `,"centre_mm":[1]}`, `centre_mm`, `centre_mm has 1 in its list; allowed is exactly 2`},
		{`{` + good + `,"centre_mm":[1,200]}`, `centre_mm[1]`, `centre_mm[1] is 200; allowed is -100 to 100 mm`},
		{`{` + good + `,"tags":["a","b","c","d"]}`, `tags`, `tags has more than 3 in its list; allowed is 0 to 3`},
		{`{` + good + `,"parts":[{"substance":"a"},{"amount":1}]}`, `parts[1].amount`, `unknown key "parts[1].amount" (given 1); allowed is substance, amount_g; did you mean amount_g?`},
		{`{` + good + `,"parts":[{"substance":"gold"}]}`, `parts[0].substance`, `substance is gold; that is too dear`},
		{`{` + good + `,"parts":[{"substance":"lead"}]}`, `parts[0]`, `parts[0] is {"substance":"lead"}; lead has no place here`},
		{`{` + good + `,"lenght_mm":1}`, `lenght_mm`, `unknown key "lenght_mm" (given 1); allowed is length_mm, `},
		{`{` + good + `,"wide_m":2}`, `wide_m`, `wide_m is given twice; once is allowed`},
		{`{` + good + `,"curve_mm":null,"curve_mm":null}`, `curve_mm`, `curve_mm is given twice; once is allowed`},
		{`{` + good + `,"source":{"kind":"moon"}}`, `source.kind`, `source.kind is "moon"; allowed is "daylight", "named"`},
		{`{` + good + `,"source":{"cct_k":3000}}`, `source.kind`, `source.kind is missing; allowed is "daylight", "named"`},
		{`{` + good + `,"source":{"kind":"daylight","cct_k":1}}`, `source.cct_k`, `source.cct_k is 1; allowed is 2000 to 20000 K`},
		{`{` + good + `,"source":{"kind":"daylight","name":"x"}}`, `source.name`, `unknown key "source.name" (given "x"); allowed is cct_k`},
		{`{` + good + `,"source":{"kind":"daylight","kind":"daylight"}}`, `source.kind`, `source.kind is given twice; once is allowed`},
		{`{` + good + `,"source":"daylight"}`, `source`, `source is "daylight"; an object of kind "daylight" or an object of kind "named" is wanted`},
		{`{` + good + `,"plate":"enormous"}`, `plate`, `plate is "enormous"; no trade size has this name; use `},
		{`{` + good + `,"plate":7}`, `plate`, `plate is 7; a text or an object with the keys width_mm, height_mm is wanted`},
		{`{` + good + `,"plate":{"width_mm":100}}`, `plate.height_mm`, `plate.height_mm is missing; a number (10 to 1000 mm) is wanted`},
		{`{` + good + `,"name":"` + strings.Repeat("é", 401) + `"}`, `name`, `name is a text of 401 letters; allowed is at most 400`},
		{`{` + good + `,"x":` + strings.Repeat("[", 1000) + `}`, ``, `not read: nested deeper than 64`},
	} {
		got, err := r.Answer([]byte(tt.question))
		var fe *FieldError
		if !errors.As(err, &fe) || len(got) > 0 {
			t.Errorf("%s: answer %s, error %v", tt.question, got, err)
			continue
		}
		if fe.Field != tt.field || !strings.HasPrefix(fe.Message, tt.message) {
			t.Errorf("%s is refused\n     %q: %s\nwant %q: %s", tt.question, fe.Field, fe.Message, tt.field, tt.message)
		}
		if object := AppendError(nil, err); !json.Valid(object) {
			t.Errorf("%s: the error object is no JSON: %s", tt.question, object)
		}
	}
}

type lonely struct {
	Length float64 `json:"length_mm" range:"(,)" doc:"a length"`
}

type answerless struct {
	Value float64  `json:"value" doc:"a value"`
	Notes []string `json:"notes" doc:"notes"`
}

// A formula's own refusals name the question's key.
func TestFormulaRefuses(t *testing.T) {
	for _, tt := range []struct {
		say            error
		field, message string
	}{
		{&measure.RangeError{What: "length_mm", Got: 3, Low: 5, High: 9, Unit: "mm"}, "length_mm", "length_mm is 3; allowed is 5 to 9 mm"},
		{&measure.RangeError{What: "rod", Got: 3, Low: 5, High: math.Inf(1), Source: "a reason"}, "length_mm", "length_mm is 3; allowed is at least 5 (a reason)"},
		{&FieldError{Field: "length_mm", Message: "too short"}, "length_mm", "length_mm: too short"},
		{errors.New("the points are in line"), "", "the points are in line"},
	} {
		r := define(Spec{Name: "lonely", Example: `{"length_mm":1}`, Keys: map[string]string{"rod": "length_mm"}}, func(q lonely) (answerless, error) {
			if q.Length == 1 {
				return answerless{}, nil
			}
			return answerless{}, tt.say
		})
		_, err := r.Answer([]byte(`{"length_mm":2}`))
		var fe *FieldError
		if !errors.As(err, &fe) || fe.Field != tt.field || fe.Message != tt.message {
			t.Errorf("%v becomes %v, want %q: %s", tt.say, err, tt.field, tt.message)
		}
		if !errors.Is(err, tt.say) {
			t.Errorf("%v is lost in %v", tt.say, err)
		}
	}
}

// An answer that is not finite is refused, never written.
func TestAnswerIsFinite(t *testing.T) {
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		r := define(Spec{Name: "lonely", Example: `{"length_mm":1}`}, func(q lonely) (answerless, error) {
			if q.Length == 1 {
				return answerless{}, nil
			}
			return answerless{Value: bad}, nil
		})
		got, err := r.AppendAnswer([]byte("before"), []byte(`{"length_mm":2}`))
		if err == nil || string(got) != "before" || !strings.Contains(err.Error(), "value") {
			t.Errorf("%g is answered %s, %v", bad, got, err)
		}
	}
}
