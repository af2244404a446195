package reckon_test

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"platewright/reckon"

	"pgregory.net/rapid"
)

// marks returns the landmarks of an answer of sharpness by name.
func marks(t *testing.T, question string) (byName map[string]map[string]any, answer map[string]any) {
	t.Helper()
	a := ask(t, "sharpness", question)
	by := map[string]map[string]any{}
	for _, l := range a["landmarks"].([]any) {
		m := l.(map[string]any)
		by[m["name"].(string)] = m
	}
	return by, a
}

const tightHead = `"focal_mm":450,"f_number":4.5,"plate":"8x10","magnification":0.43`

func TestSharpness(t *testing.T) {
	for _, tt := range []struct {
		question, landmark, key string
		want, tol               float64
		source                  string
	}{
		// independent: by hand and by a script apart from the product
		{`{` + tightHead + `}`, "right eye", "z_mm", 1496.5116, 1e-4, "f(1+1/m): the nearer eye lies in the plane of the magnification"},
		{`{` + tightHead + `}`, "right eye", "blur_mm", 0, 1e-9, "it is focused on"},
		{`{` + tightHead + `}`, "left eye", "blur_mm", 0, 1e-9, "as far away as the other"},
		{`{` + tightHead + `,"focus_on":"lips"}`, "lips", "z_mm", 1496.5116, 1e-4, "the landmark focused on lies in the plane"},
		{`{` + tightHead + `,"focus_on":"lips"}`, "lips", "blur_mm", 0, 1e-9, "it is focused on"},
		{`{` + tightHead + `,"focus_on":"left ear","tilt_deg":8,"swing_deg":-12,"curve_mm":300}`, "left ear", "blur_mm", 0, 1e-7, "whatever the tilt, swing and curve"},
		{`{` + tightHead + `,"focus_on":"left ear","tilt_deg":8,"swing_deg":-12,"curve_mm":300}`, "left ear", "z_mm", 1496.5116, 1e-4, "the landmark focused on lies in the plane"},
		// [ANSUR2012] mean distance of the eyes of men 64.02 and women 61.71 mm
		{`{` + tightHead + `,"body":{"who":"man"}}`, "right eye", "x_mm", -64.02 / 2, 0.005, "[ANSUR2012] men's eyes"},
		{`{` + tightHead + `,"body":{"who":"woman"}}`, "left eye", "x_mm", 61.71 / 2, 0.005, "[ANSUR2012] women's eyes"},
		{`{` + tightHead + `,"body":{"who":"man"},"pose":{"head_scale":0.8}}`, "right eye", "x_mm", -0.8 * 64.02 / 2, 0.005, "[ANSUR2012] men's eyes, scaled"},
		{`{` + tightHead + `,"body":{"who":"man"},"pose":{"turn_deg":20}}`, "left eye", "z_mm", 1496.5116 + 64.02*math.Sin(20*math.Pi/180), 0.005, "the farther eye lies the eyes' distance by the sine farther"},
		{`{` + tightHead + `,"body":{"who":"man"},"pose":{"turn_deg":-20}}`, "right eye", "z_mm", 1496.5116 + 64.02*math.Sin(20*math.Pi/180), 0.005, "turned to the left the right eye is farther"},
		{`{` + tightHead + `,"focus_on":"left hand","pose":{"hands":true}}`, "left hand", "blur_mm", 0, 1e-9, "it is focused on"},
		{`{` + tightHead + `,"eyes_at_mm":[40,90]}`, "right eye", "y_mm", 90, 1e-9, "stated"},
		{`{` + tightHead + `,"centre_mm":[10,-20]}`, "right eye", "blur_mm", 0, 1e-9, "a shifted plate lies where it lay"},
		{`{` + tightHead + `,"shift_mm":3.04}`, "right eye", "blur_mm", 3.04 / (4.5 * 1.43), 0.005, "chemical focus 3.04 mm behind: over the effective f-number, to first order"},
	} {
		by, _ := marks(t, tt.question)
		got, ok := by[tt.landmark][tt.key].(float64)
		if !ok || !(math.Abs(got-tt.want) <= tt.tol) {
			t.Errorf("sharpness %s: %s of the %s = %.9g, want %.9g ± %g (%s)", tt.question, tt.key, tt.landmark, got, tt.want, tt.tol, tt.source)
		}
	}
}

// The list holds what the contract names, in a state that follows from the blur, whatever the question.
func TestSharpnessListsEveryLandmark(t *testing.T) {
	want := []string{"right eye", "left eye", "nose tip", "lips", "chin", "right ear", "left ear", "hairline", "collar", "right shoulder", "left shoulder"}
	number := func(r *rapid.T, low, high float64, what string) float64 {
		return rapid.Float64Range(low, high).Draw(r, what)
	}
	rapid.Check(t, func(r *rapid.T) {
		q := fmt.Sprintf(`{"focal_mm":%g,"f_number":%g,"plate":"whole plate","magnification":%g,"curve_mm":%g,"tilt_deg":%g,"swing_deg":%g,"blur_mm":%g,"pose":{"turn_deg":%g,"nod_deg":%g,"lean_deg":%g}}`,
			number(r, 150, 600, "focal length"), number(r, 2.5, 32, "stop"), number(r, 0.03, 0.5, "magnification"), number(r, 100, 2000, "curve"),
			number(r, -15, 15, "tilt"), number(r, -15, 15, "swing"), number(r, 0.02, 0.5, "blur"),
			number(r, -60, 60, "turn"), number(r, -20, 20, "nod"), number(r, -10, 20, "lean"))
		g, _ := reckon.New().Lookup("sharpness")
		raw, err := g.Answer([]byte(q))
		if err != nil {
			r.Skip(err)
		}
		var a struct {
			Landmarks []struct {
				Name  string
				State string
				Blur  float64 `json:"blur_mm"`
			}
			Blur  float64 `json:"blur_mm"`
			Share float64 `json:"sharp_share"`
			On    string  `json:"focus_on"`
		}
		if err := json.Unmarshal(raw, &a); err != nil {
			r.Fatal(err)
		}
		if a.Share < 0 || a.Share > 1 {
			r.Errorf("a share of %g", a.Share)
		}
		for i, l := range a.Landmarks {
			if i >= len(want) || l.Name != want[i] {
				r.Fatalf("landmark %d is the %s", i, l.Name)
			}
			state := "gone"
			if l.Blur <= 3*a.Blur {
				state = "soft"
			}
			if l.Blur <= a.Blur {
				state = "sharp"
			}
			if l.State != state || l.Name == a.On && l.State != "sharp" {
				r.Errorf("the %s, focused on the %s, is %s with a blur of %g of %g", l.Name, a.On, l.State, l.Blur, a.Blur)
			}
		}
		if len(a.Landmarks) != len(want) {
			r.Errorf("%d landmarks", len(a.Landmarks))
		}
	})
}

// identity: the limits that focus tells for a square camera are those on the axis; stopping down never takes from
// the sharp share; a share of one has no landmark of the face beyond.
func TestSharpnessAgreesWithFocus(t *testing.T) {
	focus := ask(t, "focus", `{`+tightHead+`}`)
	_, sharp := marks(t, `{`+tightHead+`}`)
	for _, key := range []string{"near_mm", "far_mm", "magnification", "distance_mm", "extension_mm", "effective_f_number", "bellows_stops", "airy_mm"} {
		if a, b := focus[key].(float64), sharp[key].(float64); math.Abs(a-b) > 1e-6*math.Abs(a) {
			t.Errorf("%s is %.9g by focus and %.9g by sharpness", key, a, b)
		}
	}
	was := -1.0
	for _, stop := range []float64{2.8, 4.5, 8, 16, 32, 64, 160} {
		by, a := marks(t, fmt.Sprintf(`{"focal_mm":450,"f_number":%g,"plate":"8x10","magnification":0.43}`, stop))
		share := a["sharp_share"].(float64)
		if share < was {
			t.Errorf("at f/%g %g of the face is sharp, and wider open %g", stop, share, was)
		}
		if was = share; share == 1 && by["nose tip"]["state"] != "sharp" {
			t.Errorf("at f/%g all of the face is sharp and the nose is %s", stop, by["nose tip"]["state"])
		}
	}
	if was < 0.99 {
		t.Errorf("at f/160 %g of the face is sharp", was)
	}
}

func TestSharpnessOfAFaceTurnedAway(t *testing.T) {
	_, a := marks(t, `{`+tightHead+`,"pose":{"turn_deg":90},"body":{"who":"child of 6"}}`)
	if share, ok := a["sharp_share"].(float64); !ok || share <= 0 || share > 0.5 { // half of it is seen, from the nose's ridge to the ear
		t.Errorf("in profile the sharp share is %v", a["sharp_share"])
	}
}

func TestSharpnessNotes(t *testing.T) {
	for _, tt := range []struct{ question, part string }{
		{`{` + tightHead + `}`, "taken as flat"},
		{`{` + tightHead + `}`, "No blur_mm was given"},
		{`{` + tightHead + `,"shift_mm":3}`, "shift_mm puts the picture 3 mm off"},
		{`{"focal_mm":450,"f_number":128,"plate":"8x10","magnification":0.43}`, "diffraction alone"},
		{`{"focal_mm":450,"f_number":4.5,"plate":"quarter plate","magnification":0.9}`, "beside the plate"},
		{`{"focal_mm":300,"f_number":3.6,"plate":"whole plate","magnification":0.45,"sagittal_curve_mm":600,"tangential_curve_mm":150,"eyes_at_mm":[0,110]}`, "along and across the radius come to a focus apart"},
	} {
		_, a := marks(t, tt.question)
		if notes := fmt.Sprint(a["notes"]); !strings.Contains(notes, tt.part) {
			t.Errorf("sharpness %s: no note says %q: %s", tt.question, tt.part, notes)
		}
	}
}

func TestSharpnessRefuses(t *testing.T) {
	for _, tt := range []struct{ question, field, part string }{
		{`{` + tightHead + `,"curve_mm":0}`, "curve_mm", "null for a flat field"},
		{`{` + tightHead + `,"tangential_curve_mm":-3}`, "tangential_curve_mm", "10 mm or more"},
		{`{` + tightHead + `,"focus_on":"left knee"}`, "focus_on", "nearer eye"},
		{`{` + tightHead + `,"distance_mm":2000}`, "", ""},
		{`{"focal_mm":450,"f_number":4.5,"plate":"8x10","distance_mm":400}`, "distance_mm", "454.5"},
		{`{"focal_mm":450,"f_number":4.5,"plate":"8x10","magnification":40}`, "magnification", "focal length"},
		{`{` + tightHead + `,"pose":{"turn_deg":120}}`, "pose.turn_deg", "90"},
		{`{` + tightHead + `,"body":{"who":"giant"}}`, "body.who", "adult"},
		{`{` + tightHead + `,"body":{"who":"man"},"pose":{"head_scale":1.5}}`, "pose.head_scale", "a scale nearer 1"},
		{`{` + tightHead + `,"focus_on":"left hand"}`, "focus_on", "pose.hands true"},
	} {
		r, _ := reckon.New().Lookup("sharpness")
		_, err := r.Answer([]byte(tt.question))
		fe, ok := err.(*reckon.FieldError)
		if !ok || tt.field != "" && fe.Field != tt.field || !strings.Contains(fe.Message, tt.part) {
			t.Errorf("sharpness %s: %v, want one about %s with %q", tt.question, err, tt.field, tt.part)
		}
	}
}

func BenchmarkSharpness(b *testing.B) { benchmarkBatch(b, "sharpness") }
