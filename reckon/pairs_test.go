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

// A number may be written as the screens take it; JSON itself is held to JSON. An inch is 25.4 mm
// exactly, a foot 0.3048 m and a US fluid ounce 29.5735295625 mL [SP811]; 68 °F are 20 °C.
func TestFromPairsAsPeopleWrite(t *testing.T) {
	for _, tt := range []struct{ reckoning, word, want string }{
		{"focus", "magnification=.43", `{"magnification":0.43}`},
		{"focus", "f_number=f/4.5", `{"f_number":4.5}`},
		{"focus", "focal_mm=450mm", `{"focal_mm":450}`},
		{"focus", "focal_mm=18in", `{"focal_mm":457.2}`},
		{"focus", "focal_mm=17 3/4 in", `{"focal_mm":450.85}`},
		{"focus", "distance_mm=1.5 m", `{"distance_mm":1500}`},
		{"focus", "plate.width_mm=8in", `{"plate":{"width_mm":203.2}}`},
		{"focus", "plate=8 x 10 in", `{"plate":"8 x 10 in"}`},
		{"mix", "volume_ml=2 l", `{"volume_ml":2000}`},
		{"mix", "volume_ml=1 us fl oz", `{"volume_ml":29.5735295625}`},
		{"mix", "temperature_c=68 F", `{"temperature_c":20}`},
		{"seconds", "cap_sd_s=200 ms", `{"cap_sd_s":0.2}`},
		// what reads two ways, has a unit of another kind or none at all is handed on to be refused
		{"focus", "focal_mm=450 g", `{"focal_mm":"450 g"}`},
		{"focus", "focal_mm=1,234 mm", `{"focal_mm":"1,234 mm"}`},
		{"focus", "magnification=.4.3", `{"magnification":".4.3"}`},
		{"focus", "magnification=.inf", `{"magnification":".inf"}`},
		{"focus", "magnification=43 %", `{"magnification":"43 %"}`},
		{"mix", "volume_ml=3 oz", `{"volume_ml":"3 oz"}`},
		{"seconds", "incident_lx=.5", `{"incident_lx":0.5}`},
	} {
		r, ok := New().Lookup(tt.reckoning)
		if !ok {
			t.Fatalf("no reckoning is called %s", tt.reckoning)
		}
		got, err := r.FromPairs([]string{tt.word})
		if err != nil || string(got) != tt.want {
			t.Errorf("%s %q becomes %s, %v; want %s", tt.reckoning, tt.word, got, err, tt.want)
		}
	}
	r, _ := New().Lookup("focus")
	for _, bad := range []string{`{"focal_mm":.43}`, `{"focal_mm":"450mm"}`, `{"f_number":"f/4.5"}`} {
		if _, err := r.Answer([]byte(bad)); err == nil {
			t.Errorf("the JSON %s is answered", bad)
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
