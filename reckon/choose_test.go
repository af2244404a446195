package reckon_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"platewright/reckon"
)

// A kit of two lenses, and a head and shoulders on a whole plate in window light.
const (
	portraitLens = `{"name":"portrait","focal_mm":360,"stops":[4,5.6,8],"circle_mm":290,"curve_mm":430,"barrel_mm":190,"front_glass_mm":95,"rear_glass_mm":85}`
	plainWish    = `"sharp":"both eyes and lips","framing":"head and shoulders","plate":"whole plate","pose":{"turn_deg":15},"support":"head rest","exposure_index":1`
)

func choices(a map[string]any) []map[string]any {
	var all []map[string]any
	for _, c := range a["choices"].([]any) {
		all = append(all, c.(map[string]any))
	}
	return all
}

// identity: a choice asked again of sharpness and seconds has the same answers.
func TestChooseAgreesWithTheOthers(t *testing.T) {
	a := ask(t, "choose", `{`+plainWish+`,"incident_lx":4000,"show":100,"lenses":[`+portraitLens+`]}`)
	all := choices(a)
	if len(all) != 27 || a["choice_count"].(float64) != 27 {
		t.Fatalf("%d choices of %v", len(all), a["choice_count"])
	}
	for i, c := range all {
		if best := c["best"].(bool); best != (float64(i) < a["best_count"].(float64)) {
			t.Errorf("choice %d is best: %v, of %v best", i, best, a["best_count"])
		}
		focus := ask(t, "focus", fmt.Sprintf(`{"focal_mm":360,"f_number":%v,"plate":"whole plate","distance_mm":%v}`, c["f_number"], c["distance_mm"]))
		seconds := ask(t, "seconds", fmt.Sprintf(`{"incident_lx":4000,"exposure_index":1,"f_number":%v,"bellows_stops":%v}`, c["f_number"], focus["bellows_stops"]))
		for key, pair := range map[string][2]any{
			"magnification":   {c["magnification"], focus["magnification"]},
			"frame_height_mm": {c["frame_height_mm"], focus["frame_height_mm"]},
			"seconds":         {c["seconds"], seconds["seconds"]},
		} {
			if x, y := pair[0].(float64), pair[1].(float64); math.Abs(x-y) > 1e-9*y {
				t.Errorf("%s is %.12g, and asked alone %.12g", key, x, y)
			}
		}
	}
	for _, key := range []string{"swirl_corner", "circle_left_mm"} {
		if all[0][key] == nil {
			t.Errorf("%s is not told of a lens that is known", key)
		}
	}
	if all[0]["spare_stops"] != nil {
		t.Error("there is no longest exposure and something is spare of it")
	}
}

func TestChooseWishes(t *testing.T) {
	const light = `,"ev100":9,"exposure_index":1,"plate":"whole plate","lenses":[` + portraitLens + `]`
	for name, tt := range map[string]struct {
		question string
		targets  int
	}{
		"listed landmarks":      {`{"sharp":["nose tip","left ear"],"framing":"bust"` + light + `}`, 2},
		"hands, when they show": {`{"sharp":["right hand","right eye"],"framing":"half length","pose":{"hands":true}` + light + `}`, 2},
		"whole face":            {`{"sharp":"whole face","framing":{"least_mm":400,"greatest_mm":500}` + light + `}`, 6},
		"two heads":             {`{"sharp":"two heads","second":{"across_mm":220,"behind_mm":40},"framing":"bust"` + light + `}`, 4},
		"a child":               {`{"sharp":"both eyes","framing":"head","body":{"who":"child of 6"}` + light + `}`, 2},
		"little swirl":          {`{"sharp":"both eyes","framing":"bust","swirl":"little"` + light + `}`, 2},
	} {
		a := ask(t, "choose", tt.question)
		if got := choices(a); len(got) == 0 || len(got[0]["targets"].([]any)) != tt.targets {
			t.Errorf("%s: %d choices, refused %v", name, len(got), a["refused"])
		}
	}
	// A child's head is smaller, and a framing by name with it.
	child := ask(t, "choose", `{"sharp":"both eyes","framing":"head","body":{"who":"child of 6"}`+light+`}`)["framing_mm"].([]any)
	grown := ask(t, "choose", `{"sharp":"both eyes","framing":"head"`+light+`}`)["framing_mm"].([]any)
	if k := child[0].(float64) / grown[0].(float64); !(k > 0.75 && k < 0.98) || grown[0] != 330.0 {
		t.Errorf("a child is framed %.2f times as high as a grown sitter, and that one from %v mm", k, grown[0])
	}
	// A flash has no seconds.
	flash := choices(ask(t, "choose", `{`+plainWish+`,"flash_lxs":50000,"lenses":[`+portraitLens+`]}`))[0]
	if flash["seconds"] != nil || flash["spare_stops"] == nil {
		t.Errorf("with a flash the seconds are %v and %v stops are spare", flash["seconds"], flash["spare_stops"])
	}
}

func TestChooseSaysWhatStandsInTheWay(t *testing.T) {
	a := ask(t, "choose", `{`+plainWish+`,"incident_lx":4000,"longest_s":2,"room_mm":5000,"lenses":[`+portraitLens+`,`+
		`{"name":"long","focal_mm":900,"stops":[8]},{"name":"small","focal_mm":150,"stops":[8],"circle_mm":120}],`+
		`"cameras":[{"name":"box","longest_mm":500},{"name":"little","back":"half plate"}]}`)
	refused := fmt.Sprint(a["refused"])
	for _, part := range []string{"the room is too short: with long", "the circle is too small: small", "larger than the back of little",
		"too long an exposure: portrait at f/5.6 to f/8"} {
		if !strings.Contains(refused, part) {
			t.Errorf("refused does not say %q: %s", part, refused)
		}
	}
	if notes := fmt.Sprint(a["notes"]); !strings.Contains(notes, "Of 1 of the lenses the circle") || !strings.Contains(notes, "Of 2 of the lenses the glasses") {
		t.Errorf("notes: %s", notes)
	}
	none := ask(t, "choose", `{`+plainWish+`,"incident_lx":4000,"lenses":[{"name":"long","focal_mm":900,"stops":[8]}],"cameras":[{"name":"box","longest_mm":500}]}`)
	if notes := fmt.Sprint(none["notes"]); len(choices(none)) != 0 || !strings.Contains(notes, "Nothing there is") || !strings.Contains(fmt.Sprint(none["refused"]), "the bellows are too short") {
		t.Errorf("a bellows of 500 mm and a lens of 900: %v", none)
	}
}

func TestChooseSaysWhenNotAllIsSharp(t *testing.T) {
	profile := `"sharp":"both eyes","framing":"head","plate":"whole plate","incident_lx":4000,"exposure_index":1,"lenses":[` + portraitLens + `]`
	for q, want := range map[string]bool{`{` + profile + `,"pose":{"turn_deg":90}}`: true, `{` + profile + `}`: false} {
		a := ask(t, "choose", q)
		if said := strings.Contains(fmt.Sprint(a["notes"]), "No choice makes all"); said != want {
			t.Errorf("%s: told that not all is sharp: %v, want %v", q, said, want)
		}
	}
}

func TestChooseRefuses(t *testing.T) {
	for _, tt := range []struct{ question, field, part string }{
		{`{` + plainWish + `,"lenses":[` + portraitLens + `]}`, "incident_lx", "flash_lxs"},
		{`{` + plainWish + `,"incident_lx":4000,"flash_lxs":10,"lenses":[` + portraitLens + `]}`, "", "flash_lxs"},
		{`{` + plainWish + `,"incident_lx":4000,"lenses":[]}`, "lenses", "1 to 200"},
		{`{` + plainWish + `,"incident_lx":4000,"lenses":[{"name":"a","focal_mm":300,"stops":[4],"curve_mm":2}]}`, "lenses[0].curve_mm", "10 mm or more"},
		{`{` + plainWish + `,"incident_lx":4000,"lenses":[` + portraitLens + `],"cameras":[{"name":"c","shortest_mm":500,"longest_mm":400}]}`, "cameras[0].longest_mm", "500"},
		{`{"sharp":"two heads","framing":"bust","plate":"whole plate","incident_lx":1000,"exposure_index":1,"lenses":[` + portraitLens + `]}`, "second", "where the second head is"},
		{`{"sharp":["left hand"],"framing":"bust","plate":"whole plate","incident_lx":1000,"exposure_index":1,"lenses":[` + portraitLens + `]}`, "sharp[0]", "pose.hands"},
		{`{"sharp":"both eyes","framing":{"least_mm":700,"greatest_mm":600},"plate":"whole plate","incident_lx":1000,"exposure_index":1,"lenses":[` + portraitLens + `]}`, "framing.greatest_mm", "700"},
		{`{"sharp":"toes","framing":"bust","plate":"whole plate","incident_lx":1000,"exposure_index":1,"lenses":[` + portraitLens + `]}`, "sharp", "whole face"},
	} {
		r, _ := reckon.New().Lookup("choose")
		_, err := r.Answer([]byte(tt.question))
		fe, ok := err.(*reckon.FieldError)
		if !ok || tt.field != "" && fe.Field != tt.field || !strings.Contains(fe.Message, tt.part) {
			t.Errorf("choose %s: %v, want one about %s with %q", tt.question, err, tt.field, tt.part)
		}
	}
}

func BenchmarkChooseExample(b *testing.B) { benchmarkBatch(b, "choose") }
