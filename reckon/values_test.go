package reckon_test

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"platewright/reckon"
)

type valued struct {
	Values []struct {
		Name     string
		Material string
		Actinic  float64 `json:"actinic_reflectance"`
		Band     [2]float64
		Plate    float64    `json:"plate_reflectance"`
		PlateAt  [2]float64 `json:"plate_band"`
		Eye      float64    `json:"eye_reflectance"`
		Stops    float64
		Words    string
		Basis    string
	}
	Order []int
	Notes []string
}

// askText asks values and returns the raw answer or the refusal.
func askText(t *testing.T, question string) (string, error) {
	t.Helper()
	r, ok := reckon.New().Lookup("values")
	if !ok {
		t.Fatal("no reckoning values")
	}
	raw, err := r.Answer([]byte(question))
	return string(raw), err
}

func askValues(t *testing.T, question string) valued {
	t.Helper()
	text, err := askText(t, question)
	if err != nil {
		t.Fatalf("%s: %v", question, err)
	}
	var a valued
	if err := json.Unmarshal([]byte(text), &a); err != nil {
		t.Fatal(err)
	}
	return a
}

// independent [PlateNotes2026, L60, L62]: shares of D55 that measured surfaces send back to the plate, asked for by name.
func TestValuesOfMeasuredSurfaces(t *testing.T) {
	a := askValues(t, `{"items": [{"surface": "vermilion"}, {"surface": "yellow ochre"}, {"surface": "titanium white"}, {"surface": "lead white"}, {"surface": "skin, very light"}, {"surface": "skin, brown"}]}`)
	for i, want := range []float64{.022, .029, .327, .646, .2475, .0726} {
		if got := a.Values[i].Actinic; math.Abs(got-want) > .002 {
			t.Errorf("%s sends back %.4f, want %.4f [PlateNotes2026]", a.Values[i].Name, got, want)
		}
	}
	if want := []int{0, 1, 5, 4, 2, 3}; len(a.Order) != 6 || a.Order[0] != want[0] || a.Order[2] != want[2] || a.Order[5] != want[5] {
		t.Errorf("order %v, want %v", a.Order, want)
	}
}

// Common practice, no source: a red scarf comes out nearly black, blue eyes pale, a freckle darker than the skin about it.
func TestValuesOfCommonThings(t *testing.T) {
	a := askValues(t, `{"items": [{"thing": "red scarf"}, {"thing": "blue eyes"}, {"thing": "freckle on light skin"}, {"surface": "skin, light"}, {"colour": "#4b2f1e", "name": "my coat"}], "light": "window"}`)
	red, blue, freckle, skin, coat := a.Values[0], a.Values[1], a.Values[2], a.Values[3], a.Values[4]
	if red.Stops > -1 || blue.Stops < 0 || freckle.Plate >= skin.Plate || coat.Name != "my coat" || coat.Stops > -0.5 {
		t.Errorf("%+v", a.Values)
	}
	if !strings.Contains(red.Words, "darker than it looks") || !strings.Contains(red.Basis, "assumption") || strings.Contains(skin.Basis, "assumption") {
		t.Errorf("%+v", a.Values)
	}
	for _, v := range a.Values {
		if !(v.Band[0] <= v.Actinic && v.Actinic <= v.Band[1] && v.PlateAt[0] <= v.Plate && v.Plate <= v.PlateAt[1]) {
			t.Errorf("band of %+v", v)
		}
	}
	more := askValues(t, `{"items": [{"thing": "red scarf"}], "light": "window", "exposure_stops": 2}`)
	if more.Values[0].Plate <= red.Plate || more.Values[0].Actinic != red.Actinic {
		t.Errorf("two stops more: %+v, before %+v", more.Values[0], red)
	}
}

// The light itself and its kind, where one stands for the other, give the same; an own spectrum gives values as well.
func TestValuesOfASource(t *testing.T) {
	items := `"items": [{"surface": "chart white"}, {"colour": "#6f8fb4"}]`
	kind, source := askValues(t, `{`+items+`, "light": "tungsten"}`), askValues(t, `{`+items+`, "source": {"kind": "named", "name": "A"}}`)
	if kind.Values[0].Actinic != source.Values[0].Actinic || kind.Values[1].Actinic != source.Values[1].Actinic {
		t.Errorf("tungsten %+v, illuminant A %+v", kind.Values, source.Values)
	}
	// identity: under a line of light at 420 nm a surface sends back its reflectance there, as a camera cannot know.
	line := askValues(t, `{"items": [{"surface": "chart white"}], "source": {"kind": "spectrum", "nm": [419, 420, 421], "power": [0, 1, 0]}}`)
	if got := line.Values[0].Actinic; math.Abs(got-0.84) > 0.005 {
		t.Errorf("chart white at 420 nm %.4f, want 0.840 [Ohta1997]", got)
	}
}

func TestValuesRefuse(t *testing.T) {
	for question, says := range map[string]string{
		`{"items": []}`:                                                                                      "items",
		`{"items": [{"colour": "mauve"}]}`:                                                                   "hexadecimal",
		`{"items": [{"surface": "moon"}]}`:                                                                   "yellow ochre",
		`{"items": [{"thing": "moon"}]}`:                                                                     "red scarf",
		`{"items": [{}]}`:                                                                                    "colour",
		`{"items": [{"colour": "#fff", "thing": "red scarf"}]}`:                                              "thing",
		`{"items": [{"thing": "red scarf", "material": "skin"}]}`:                                            "material",
		`{"items": [{"colour": "#fff", "material": "velvet"}]}`:                                              "sunscreen",
		`{"items": [{"colour": "#fff"}], "light": "moonlight"}`:                                              "tungsten",
		`{"items": [{"colour": "#fff"}], "light": "own spectrum"}`:                                           "light",
		`{"items": [{"colour": "#fff"}], "light": "shade", "source": {"kind": "named", "name": "A"}}`:        "both",
		`{"items": [{"colour": "#fff"}], "source": {"kind": "spectrum", "nm": [700, 710], "power": [1, 1]}}`: "nothing of this light",
		`{"items": [{"colour": "#fff"}], "exposure_stops": 11}`:                                              "exposure_stops",
		`{"items": [{"colour": "#fff"}], "collodion": {"iodide_mol": 0, "bromide_mol": 0}}`:                  "collodion",
	} {
		if text, err := askText(t, question); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %s %v, want a refusal that says %q", question, text, err, says)
		}
	}
}

func BenchmarkValues(b *testing.B) {
	r, _ := reckon.New().Lookup("values")
	for b.Loop() {
		if _, err := r.Answer([]byte(`{"items": [{"thing": "red scarf"}, {"thing": "blue eyes"}, {"colour": "#c99c82", "material": "skin"}, {"surface": "yellow ochre"}]}`)); err != nil {
			b.Fatal(err)
		}
	}
}
