package reckon

import (
	"encoding/json"
	"errors"
	"testing"
)

func TestFromPairs(t *testing.T) {
	r := toy()
	for _, tt := range []struct {
		words []string
		want  string
	}{
		{nil, `{}`},
		{[]string{"length_mm=1.5", "wide_m=2"}, `{"length_mm":1.5,"wide_m":2}`},
		{[]string{"film.iodide_mol=0.8"}, `{"film":{"iodide_mol":0.8}}`},
		{[]string{"plate=half plate"}, `{"plate":"half plate"}`},
		{[]string{"plate=4x5"}, `{"plate":"4x5"}`},
		{[]string{"plate.width_mm=100", "length_mm=1", "plate.height_mm=120"}, `{"plate":{"width_mm":100,"height_mm":120},"length_mm":1}`},
		{[]string{`plate={"width_mm":100}`}, `{"plate":{"width_mm":100}}`},
		{[]string{"source.kind=named", "source.name=12"}, `{"source":{"kind":"named","name":"12"}}`},
		{[]string{"source.kind=daylight", "source.cct_k=5000"}, `{"source":{"kind":"daylight","cct_k":5000}}`},
		{[]string{"centre_mm=1,-2"}, `{"centre_mm":[1,-2]}`},
		{[]string{"centre_mm=[1,2]"}, `{"centre_mm":[1,2]}`},
		{[]string{"tags=a, b"}, `{"tags":["a","b"]}`},
		{[]string{"name=true"}, `{"name":"true"}`},
		{[]string{`name="quo\"ted"`}, `{"name":"quo\"ted"}`},
		{[]string{`name=say "it"`}, `{"name":"say \"it\""}`},
		{[]string{"wet=true", "curve_mm=null"}, `{"wet":true,"curve_mm":null}`},
		{[]string{"name=a=b"}, `{"name":"a=b"}`},
		// what no key takes is handed on, to be refused by name
		{[]string{"length_mm=long"}, `{"length_mm":"long"}`},
		{[]string{"length_mm="}, `{"length_mm":""}`},
		{[]string{"nosuch.key=7"}, `{"nosuch":{"key":7}}`},
		{[]string{"length_mm=+1"}, `{"length_mm":"+1"}`},
	} {
		got, err := r.FromPairs(tt.words)
		if err != nil || string(got) != tt.want {
			t.Errorf("%q becomes %s, %v; want %s", tt.words, got, err, tt.want)
		}
	}
}

func TestFromPairsRefuses(t *testing.T) {
	r := toy()
	for _, tt := range []struct {
		words          []string
		field, message string
	}{
		{[]string{"length_mm"}, "", `"length_mm" is no key=value`},
		{[]string{"=1"}, "", `"=1" is no key=value`},
		{[]string{"name=\xff"}, "", `"name=\xff" is no UTF-8`},
		{[]string{"length_mm=1", "length_mm=2"}, "length_mm", "length_mm is given twice; once is allowed"},
		{[]string{"plate=4x5", "plate.width_mm=2"}, "plate.width_mm", "plate is given twice; once is allowed"},
		{[]string{"plate.width_mm=2", "plate=4x5"}, "plate", "plate is given twice; once is allowed"},
	} {
		_, err := r.FromPairs(tt.words)
		var fe *FieldError
		if !errors.As(err, &fe) || fe.Field != tt.field || fe.Message != tt.message {
			t.Errorf("%q is refused with %v, want %q: %s", tt.words, err, tt.field, tt.message)
		}
	}
}

// FuzzPairs: whatever words come, the question made of them is JSON, and answering it does not panic.
func FuzzPairs(f *testing.F) {
	f.Add("length_mm", "1", "wide_m", "2")
	f.Add("plate.width_mm", "100", "plate.height_mm", "1e2")
	f.Add("source.kind", "daylight", "centre_mm", "1,[2")
	f.Add("parts", `[{"substance":"x"}]`, "name", `"`)
	f.Add("a..b", "{}", ".", "\xff")
	r := toy()
	f.Fuzz(func(t *testing.T, k1, v1, k2, v2 string) {
		q, err := r.FromPairs([]string{k1 + "=" + v1, k2 + "=" + v2})
		if err != nil {
			return
		}
		if !json.Valid(q) {
			t.Fatalf("%q=%q %q=%q becomes no JSON: %s", k1, v1, k2, v2, q)
		}
		checkAnswer(t, r, q)
	})
}

// FuzzDecode: no question makes any reckoning panic; what is accepted by us is accepted by a
// general-purpose reader, and the answer, or the error in its place, is JSON again.
func FuzzDecode(f *testing.F) {
	all := append(New().All(), toy())
	for i, r := range all {
		f.Add(byte(i), []byte(r.Example))
	}
	f.Add(byte(0), []byte(`{"ev100":1e999}`))
	f.Add(byte(len(all)-1), []byte(`{"length_mm":1,"wide_m":2,"parts":[{"substance":"\ud83d\ude00"}],"source":{"cct_k":1e4,"kind":"daylight"}}`))
	f.Fuzz(func(t *testing.T, which byte, q []byte) {
		checkAnswer(t, all[int(which)%len(all)], q)
	})
}

func checkAnswer(t *testing.T, r *Reckoning, q []byte) {
	a, err := r.Answer(q)
	if err != nil {
		var fe *FieldError
		if !errors.As(err, &fe) || fe.Message == "" {
			t.Fatalf("%s %s: refused without a field error: %v", r.Name, q, err)
		}
		a = AppendError(nil, err)
	} else if !json.Valid(q) {
		t.Fatalf("%s answers what is no JSON: %q", r.Name, q)
	}
	if !json.Valid(a) {
		t.Fatalf("%s %s: the answer is no JSON: %s", r.Name, q, a)
	}
	if err != nil || r.Name != "toy" {
		return
	}
	// The toy's answer holds its question: asked again it answers the same.
	var echo map[string]json.RawMessage
	if err := json.Unmarshal(a, &echo); err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"sum_mm", "series", "shares", "nothing", "notes"} {
		delete(echo, key)
	}
	again, err := json.Marshal(echo)
	if err != nil {
		t.Fatal(err)
	}
	b, err := r.Answer(again)
	if err != nil {
		t.Fatalf("%s was accepted, its echo %s is not: %v", q, again, err)
	}
	if string(a) != string(b) {
		t.Fatalf("%s: asked again, the answer changes\n%s\n%s", q, a, b)
	}
}
