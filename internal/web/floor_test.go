package web_test

import (
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"platewright/internal/studio"
	"platewright/internal/web/shared"
	"platewright/measure"
	"platewright/reckon"
)

func plateSize(t testing.TB, text string) measure.PlateSize {
	t.Helper()
	p, err := measure.ParsePlateSize(text)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// floorHouse is a house with a lens, a camera and a holder, and the form of a plate planned with them.
func floorHouse(t *testing.T, units studio.System) (*house, url.Values) {
	t.Helper()
	h := opened(t, units)
	lens, err := h.studio.AddLens(t.Context(), studio.Lens{Name: "Number 5", Focal: 450, PupilMag: 0.905, Circle: 241,
		Stops: []studio.Stop{{FNumber: 4.5}, {Name: "second", FNumber: 5.6}, {FNumber: 11}}})
	if err != nil {
		t.Fatal(err)
	}
	camera, err := h.studio.AddCamera(t.Context(), studio.Camera{Name: "Studio camera", Back: plateSize(t, "8x10"), Shortest: 250, Longest: 900})
	if err != nil {
		t.Fatal(err)
	}
	holder, err := h.studio.AddHolder(t.Context(), studio.Holder{Name: "Large", Size: plateSize(t, "8x10")})
	if err != nil {
		t.Fatal(err)
	}
	return h, values("lens", string(lens.ID), "stop", "f/4.5", "camera", string(camera.ID), "holder", string(holder.ID),
		"size", "8x10", "by", "magnification", "magnification", "0.43", "light_lx", "2000", "index", "1", "support", "clear glass", "light", "north window", "note", "hold still")
}

// answered asks the reckoning itself.
func answered(t testing.TB, name, question string) map[string]any {
	t.Helper()
	r, ok := reckon.New().Lookup(name)
	if !ok {
		t.Fatal("no reckoning " + name)
	}
	out, err := r.Answer([]byte(question))
	if err != nil {
		t.Fatal(err)
	}
	var a map[string]any
	if err := json.Unmarshal(out, &a); err != nil {
		t.Fatal(err)
	}
	return a
}

const (
	focusQuestion   = `{"focal_mm":450,"f_number":4.5,"pupil_mag":0.905,"plate":"8x10","magnification":0.43}`
	secondsQuestion = `{"incident_lx":2000,"exposure_index":1,"f_number":4.5,"bellows_stops":%v}`
)

// typed asks as the form does while it is typed in.
func typed(form url.Values) *http.Request {
	r := request("GET", "/floor?"+form.Encode(), "")
	r.Header.Set("HX-Request", "true")
	r.Header.Set("HX-Request-Type", "partial")
	r.Header.Set("HX-Target", "section#reckoned")
	return r
}

// While it is typed in, the form is answered with the drawing, the figures and how each field was read,
// and with nothing of the page around them; asked for plainly, with the page.
func TestFloorFragmentAndPage(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	doc := h.get(t, "/floor?"+form.Encode())
	for what, n := range map[string]int{
		"drawings":        len(find(doc, tag("svg"), func(n *html.Node) bool { return hasClass(n, "elevation") })),
		"tables":          len(find(doc, tag("table"), with("id", "figures-table"))),
		"stops":           len(find(doc, tag("input"), with("name", "stop"))),
		"chosen lens":     len(find(doc, with("name", "lens"), checked)),
		"chosen stop":     len(find(doc, with("name", "stop"), with("value", "f/4.5"), checked)),
		"primary buttons": len(find(doc, tag("button"), with("class", "primary"))),
	} {
		if want := map[string]int{"drawings": 7, "tables": 1, "stops": 3, "chosen lens": 1, "chosen stop": 1, "primary buttons": 1}[what]; n != want {
			t.Errorf("page: %d %s, want %d", n, what, want)
		}
	}
	r := do(h, typed(form))
	if r.StatusCode != http.StatusOK || r.Header.Get("HX-Reswap") != "" {
		t.Fatalf("fragment: status %d, reswap %q", r.StatusCode, r.Header.Get("HX-Reswap"))
	}
	body := text(t, r)
	for _, not := range []string{"<html", "<form", "<nav", `id="slip"`} {
		if strings.Contains(body, not) {
			t.Errorf("the fragment holds %s", not)
		}
	}
	for _, want := range []string{`id="figures-table"`, `id="wide-eye"`, `id="narrow-lens"`, `id="said-size" class="said" hx-swap-oob="true"`, `id="state"`, `id="stops" hx-swap-oob="true"`} {
		if !strings.Contains(body, want) {
			t.Errorf("the fragment lacks %s", want)
		}
	}
	if again := but(form, "stops_of", form.Get("lens")); strings.Contains(text(t, do(h, typed(again))), `id="stops"`) {
		t.Error("stops are sent again though the lens is the same")
	}
}

// plain is a text as words gives it, with ordinary spaces.
func plain(text string) string { return strings.Join(strings.Fields(text), " ") }

func hasClass(n *html.Node, class string) bool {
	for _, c := range strings.Fields(attr(n, "class")) {
		if c == class {
			return true
		}
	}
	return false
}

func checked(n *html.Node) bool {
	for _, a := range n.Attr {
		if a.Key == "checked" {
			return true
		}
	}
	return false
}

// The figures on the page are those of the reckonings, asked apart.
func TestFloorSaysWhatIsReckoned(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	doc := h.get(t, "/floor?"+form.Encode())
	a := answered(t, "focus", focusQuestion)
	s := answered(t, "seconds", fmt.Sprintf(secondsQuestion, a["bellows_stops"]))
	rows := map[string]string{}
	for _, tr := range find(find(doc, with("id", "figures-table"))[0], tag("tr")) {
		rows[words(find(tr, tag("th"))[0])] = words(find(tr, tag("td"))[0])
	}
	long := func(key string) string { return measure.Thin(measure.Length(a[key].(float64)).Format(measure.Metric)) }
	for word, want := range map[string]string{
		"Magnification":                        "0.43",
		"Distance, lens to what is in focus":   long("distance_mm"),
		"Extension, lens to plate":             long("extension_mm"),
		"Sharp from, at the right eye":         long("near_mm"),
		"Sharp to, at the right eye":           long("far_mm"),
		"Depth of sharpness, at the right eye": long("depth_mm"),
		"Room, wall to eyes, a metre behind the plate in it and nothing behind the eyes": long("room_mm"),
		"Stop at this extension": measure.FNumber(a["effective_f_number"].(float64)).String(),
		"Bellows":                measure.Thin(measure.Stops(a["bellows_stops"].(float64)).String()),
	} {
		if !strings.HasPrefix(rows[word], plain(want)) {
			t.Errorf("%s: the table says %q, want %q", word, rows[word], want)
		}
	}
	exposure := find(doc, func(n *html.Node) bool { return hasClass(n, "exposure") })[0]
	band := s["band_s"].([]any)
	want := shared.BandText(twoFigures(t, band[0].(float64)), twoFigures(t, s["seconds"].(float64)), twoFigures(t, band[1].(float64)), "s")
	if exact := plain(measure.Thin(measure.FormatExposure(time.Duration(s["seconds"].(float64) * 1e9)))); rows["Cap off, before rounding to what a hand gives"] != exact {
		t.Errorf("the table has %q, want %s", rows["Cap off, before rounding to what a hand gives"], exact)
	}
	if got := words(exposure); !strings.Contains(got, plain(want)) {
		t.Errorf("seconds say %q, want %q in it", got, want)
	}

}

// twoFigures rounds as strconv writes two significant digits.
func twoFigures(t *testing.T, v float64) float64 {
	t.Helper()
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', 1, 64), 64)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// The reckonings' sentences are shown in words, without the keys of their questions and answers.
func TestFloorNotesNameNoKeys(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	plain, err := h.studio.AddLens(t.Context(), studio.Lens{Name: "Plain", Focal: 150, Stops: []studio.Stop{{FNumber: 200}}})
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, form := range []url.Values{
		form, but(form, "magnification", "0.0005"), but(form, "light_lx", "20"), but(form, "light_lx", "200000"),
		but(form, "lens", string(plain.ID)), but(but(form, "by", "distance"), "distance", "451 mm"), but(form, "index", "1000"), but(form, "magnification", "1000"),
		but(but(form, "light_lx", ""), "ev", "18"), but(but(form, "by", "frame"), "frame", "0.2 mm"), but(form, "light_lx", "0.001"),
	} {
		doc := h.get(t, "/floor?"+form.Encode())
		for _, n := range find(doc, func(n *html.Node) bool { return n.Data == "li" || hasClass(n, "error") }) {
			seen++
			if text := words(n); strings.ContainsAny(text, "_*") {
				t.Errorf("%v: a sentence speaks of keys: %q", form, text)
			}
		}
	}
	if seen < 40 {
		t.Errorf("only %d sentences were looked at", seen)
	}
}

// A studio of inches reads and says inches and feet.
func TestFloorInInches(t *testing.T) {
	h, form := floorHouse(t, studio.Imperial)
	form = but(but(form, "by", "distance"), "distance", "78")
	doc := h.get(t, "/floor?"+form.Encode())
	if got, want := words(find(doc, with("id", "said-distance"))[0]), "read as 6 ft 6 in"; got != want {
		t.Errorf("distance is %q, want %q", got, want)
	}
	if got := words(find(doc, with("id", "wide-side"))[0]); !strings.Contains(got, "distance 6 ft 6 in") {
		t.Errorf("the drawing says %q", got)
	}
	if got := words(find(doc, with("id", "head-side"))[0]); !strings.Contains(got, "mm (") || !strings.Contains(got, " in)") {
		t.Errorf("the depths are not said in both: %q", got)
	}
}

// Each way to say how near leads to the same place.
func TestFloorByDistanceFrameAndMagnification(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	a := answered(t, "focus", focusQuestion)
	want := plain(measure.Length(a["extension_mm"].(float64)).Format(measure.Metric))
	for by, text := range map[string]string{
		"distance": fmt.Sprint(a["distance_mm"]) + " mm", "frame": fmt.Sprint(a["frame_height_mm"]) + " mm", "magnification": "43/100",
	} {
		doc := h.get(t, "/floor?"+but(but(form, "by", by), by, text).Encode())
		if got := words(find(doc, with("id", "figures-table"))[0]); !strings.Contains(got, want) {
			t.Errorf("by %s %s: no extension of %s in %q", by, text, want, got)
		}
	}
}

// What cannot be taken is said at its field, everything typed stays, nothing is planned; and while it is
// typed in, what was drawn before is kept and said to be old.
func TestFloorRefuses(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	for name, bad := range map[string]string{
		"lens": "no-such-lens", "stop": "third", "size": "elephant", "magnification": "much", "light_lx": "bright", "index": "0",
		"seconds": "a while", "camera": "no-such-camera", "holder": "no-such-holder", "support": "paper", "by": "feel",
		"collodion": "no-such-batch", "sitting": "no-such-sitting", "light": strings.Repeat("north ", 90), "note": strings.Repeat("still ", 700),
	} {
		sent := but(form, name, bad)
		doc := document(t, h.post(t, "/floor", sent, http.StatusUnprocessableEntity))
		pageInOrder(t, "/floor", doc)
		if said := find(doc, func(n *html.Node) bool { return hasClass(n, "error") || hasClass(n, "refused") }); len(said) == 0 {
			t.Errorf("%s %q: nothing is said to be wrong", name, bad)
		}
		for field, want := range sent {
			for _, n := range find(doc, with("name", field)) {
				switch attr(n, "type") {
				case "text":
					if got := attr(n, "value"); got != strings.TrimSpace(want[0]) && got != want[0] {
						t.Errorf("%s %q: field %s now holds %q, typed was %q", name, bad, field, got, want[0])
					}
				case "radio":
					if attr(n, "value") == want[0] && !checked(n) {
						t.Errorf("%s %q: the choice of %s is lost", name, bad, field)
					}
				}
				if n.Data == "textarea" && words(n) != strings.Join(strings.Fields(want[0]), " ") {
					t.Errorf("%s %q: the note is lost", name, bad)
				}
			}
		}
	}
	for _, name := range []string{"lens", "stop", "size", "magnification"} {
		if said := words(document(t, h.post(t, "/floor", but(form, name, ""), http.StatusUnprocessableEntity))); !strings.Contains(said, "is empty") {
			t.Errorf("without %s nothing is said to be empty", name)
		}
	}
	for _, bad := range []string{"0", "2000 mm 3", "0.1 m"} {
		sent := but(but(form, "by", "distance"), "distance", bad)
		doc := document(t, h.post(t, "/floor", sent, http.StatusUnprocessableEntity))
		if got := words(find(doc, with("id", "said-distance"))[0]); !strings.Contains(got, "the least is 455 mm") && !strings.Contains(got, "length") || strings.Contains(got, "_mm") {
			t.Errorf("distance %q: %q", bad, got)
		}
		r := do(h, typed(sent))
		if got := r.Header.Get("HX-Reswap"); got != "none" {
			t.Errorf("distance %q while typed: reswap %q, want none", bad, got)
		}
		if body := text(t, do(h, typed(but(sent, "drawn", "yes")))); !strings.Contains(body, "are from before") || strings.Contains(body, "<table") {
			t.Errorf("distance %q while typed: %s", bad, body)
		}
	}
	page, err := h.studio.Plates(t.Context(), studio.PlateFilter{})
	if err != nil || len(page.Rows) != 0 {
		t.Errorf("%d plates were planned by refused forms, %v", len(page.Rows), err)
	}
}

// The plate that is planned carries the very figures of the reckonings.
func TestFloorPlans(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	sitting := h.sitting(t, h.sitter(t, "Ottilie Brandt"), morning().Add(time.Hour))
	form = but(form, "sitting", string(sitting.ID))
	a := answered(t, "focus", focusQuestion)
	s := answered(t, "seconds", fmt.Sprintf(secondsQuestion, a["bellows_stops"]))
	reckoned := time.Duration(math.Round(twoFigures(t, s["seconds"].(float64)) * 1e9)) // as a hand gives it
	for _, tt := range []struct {
		seconds string
		want    time.Duration
	}{{"", reckoned}, {"5 1/2", 5500 * time.Millisecond}} {
		r := h.post(t, "/floor", but(form, "seconds", tt.seconds), http.StatusSeeOther)
		n, err := studio.ParseNumber(strings.TrimPrefix(r.Header.Get("Location"), "/darkroom/"))
		if err != nil {
			t.Fatal(err)
		}
		story, err := h.studio.Plate(t.Context(), n)
		if err != nil {
			t.Fatal(err)
		}
		p := story.Plan
		for what, pair := range map[string][2]any{
			"distance":      {float64(p.Distance), a["distance_mm"]},
			"magnification": {p.Magnification, a["magnification"]},
			"extension":     {float64(p.Extension), a["extension_mm"]},
			"depth":         {math.Round(float64(p.Depth) * 1e6), math.Round(a["depth_mm"].(float64) * 1e6)},
			"blur":          {float64(p.BlurLimit), a["blur_mm"]},
			"exposure":      {p.Exposure, tt.want},
			"lens":          {string(p.Lens), form.Get("lens")},
			"stop":          {p.Stop, studio.Stop{Name: "f/4.5", FNumber: 4.5}},
			"camera":        {string(p.Camera), form.Get("camera")},
			"holder":        {string(p.Holder), form.Get("holder")},
			"size":          {p.Size.String(), "8x10"},
			"support":       {p.Support, studio.ClearGlass},
			"light":         {p.Light, "north window"},
			"note":          {p.Note, "hold still"},
			"sitter":        {story.Sitter.Name, "Ottilie Brandt"},
		} {
			if pair[0] != pair[1] {
				t.Errorf("seconds %q: %s is %v, want %v", tt.seconds, what, pair[0], pair[1])
			}
		}
	}
	// The next plate is proposed as this one was, on the size of the sitting in hand.
	doc := h.get(t, "/floor")
	for name, want := range map[string]string{"sitting": string(sitting.ID), "size": "half plate", "support": "clear glass", "lens": form.Get("lens"), "holder": form.Get("holder")} {
		if v, _ := kept(doc, name); v != want {
			t.Errorf("the next plate is proposed with %s %q, want %q", name, v, want)
		}
	}
}

// What does not go together is said, with its figures.
func TestFloorWarns(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	short, err := h.studio.AddCamera(t.Context(), studio.Camera{Name: "Short", Back: plateSize(t, "8x10"), Shortest: 200, Longest: 600})
	if err != nil {
		t.Fatal(err)
	}
	long, err := h.studio.AddCamera(t.Context(), studio.Camera{Name: "Long", Back: plateSize(t, "8x10"), Shortest: 700, Longest: 1200})
	if err != nil {
		t.Fatal(err)
	}
	half, err := h.studio.AddHolder(t.Context(), studio.Holder{Name: "Half", Size: plateSize(t, "half plate")})
	if err != nil {
		t.Fatal(err)
	}
	form = but(form, "held", "head rest")
	warnings := func(form url.Values) string {
		doc := h.get(t, "/floor?"+form.Encode())
		var said []string
		for _, n := range find(doc, func(n *html.Node) bool { return hasClass(n, "warnings") }) {
			said = append(said, words(n))
		}
		return strings.Join(said, " ")
	}
	if got := warnings(form); got != "" {
		t.Errorf("what goes together is warned of: %s", got)
	}
	for _, tt := range []struct {
		name, field, value, want string
	}{
		{"bellows too short", "camera", string(short.ID), "The bellows of Short draws out to 600 mm; this needs 643.5 mm, 43.5 mm more."},
		{"bellows too long", "camera", string(long.ID), "The bellows of Long closes to 700 mm; this needs 643.5 mm, 56.5 mm less."},
		{"holder too small", "holder", string(half.ID), "Half takes 107.9 × 139.7 mm; the plate is 203.2 × 254 mm."},
		{"circle too small", "magnification", "0.2", "good over a circle of 294.3 mm at this extension; the plate's diagonal is 325.3 mm"},
		{"too short for a hand", "light_lx", "200000", "shorter than a hand can cap"},
	} {
		if got := warnings(but(form, tt.field, tt.value)); !strings.Contains(got, tt.want) {
			t.Errorf("%s: warned is %q, want %q in it", tt.name, got, tt.want)
		}
	}
}

// Without a lens the page says what to do first.
func TestFloorWithoutLens(t *testing.T) {
	h := opened(t, studio.Metric)
	doc := h.get(t, "/floor")
	if len(find(doc, tag("a"), with("href", "/floor/lenses/new"))) != 1 {
		t.Error("no way to a first lens")
	}
	if len(find(doc, tag("svg"), func(n *html.Node) bool { return hasClass(n, "elevation") })) != 0 {
		t.Error("a camera without a lens is drawn")
	}
}

// A sitting brings its plate's size, and its slip hangs on the page.
func TestFloorForSitting(t *testing.T) {
	h, _ := floorHouse(t, studio.Metric)
	sitting := h.sitting(t, h.sitter(t, "Ottilie Brandt"), morning().Add(50*time.Hour))
	doc := h.get(t, "/floor?sitting="+string(sitting.ID))
	if v, _ := kept(doc, "size"); v != "half plate" {
		t.Errorf("size %q, want that of the sitting", v)
	}
	if v, _ := kept(doc, "sitting"); v != string(sitting.ID) {
		t.Errorf("the sitting chosen is %q", v)
	}
	if got := words(find(doc, with("id", "slip"))[0]); !strings.Contains(got, "Ottilie Brandt") {
		t.Errorf("slip %q", got)
	}
	if got := words(find(h.get(t, "/floor?sitting=gone"), tag("form"), with("id", "plan"))[0]); !strings.Contains(got, "not among the studio's sittings") {
		t.Error("a sitting that is gone is not spoken of")
	}
}

// A form that is sent twice plans one plate, and a fresh form the next.
func TestFloorFormSentTwice(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	id := func() string {
		t.Helper()
		for _, n := range find(h.get(t, "/floor?"+form.Encode()), tag("input"), with("name", "id")) {
			return attr(n, "value")
		}
		t.Fatal("the form names no plate")
		return ""
	}
	first, second := id(), id()
	var led []string
	for _, plate := range []string{first, first, second} {
		r := h.post(t, "/floor", but(form, "id", plate), http.StatusSeeOther)
		led = append(led, r.Header.Get("Location"))
	}
	if led[0] != led[1] || led[1] == led[2] {
		t.Errorf("the forms led to %v; want the first two alike and the third another", led)
	}
	h.post(t, "/floor", but(form, "id", "../x"), http.StatusUnprocessableEntity)
}
