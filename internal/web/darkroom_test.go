package web_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"platewright/internal/studio"
	"platewright/internal/web/screens/darkroom"
	"platewright/measure"
)

// planned plans a whole plate for a sitter.
func (h *house) planned(t *testing.T, exposure time.Duration) studio.Plate {
	t.Helper()
	size := measure.PlateSize{Name: "whole plate", Width: 165.1, Height: 215.9}
	sitting, err := h.studio.Book(t.Context(), studio.Sitting{Sitter: h.sitter(t, "Ottilie Brandt").ID, At: *h.clock, Lasts: time.Hour, Size: size, Plates: 2})
	if err != nil {
		t.Fatal(err)
	}
	p, err := h.studio.PlanPlate(t.Context(), studio.Plan{Sitting: sitting.ID, Size: size, Exposure: exposure})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// clockAnswer is what the interface says of a plate.
type clockAnswer struct {
	Number string `json:"number"`
	Last   string `json:"last"`
	Next   string `json:"next"`
	State  string `json:"state"`
	Events []struct {
		ID     string         `json:"id"`
		Kind   string         `json:"kind"`
		At     time.Time      `json:"at"`
		Device string         `json:"device"`
		Detail map[string]any `json:"detail"`
	} `json:"events"`
	Now   time.Time `json:"now"`
	Error struct {
		Field   string `json:"field"`
		Message string `json:"message"`
	} `json:"error"`
	Plate *clockAnswer `json:"plate"`
}

// send hands an event over as a device does.
func (h *house) send(t *testing.T, number studio.Number, body string) (int, clockAnswer) {
	t.Helper()
	r := request("POST", "/api/plates/"+number.String()+"/events", body)
	r.Header.Set("Content-Type", "application/json")
	return h.ask(t, r)
}

func (h *house) ask(t *testing.T, r *http.Request) (int, clockAnswer) {
	t.Helper()
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	var a clockAnswer
	if err := json.Unmarshal(w.Body.Bytes(), &a); err != nil {
		t.Fatalf("%s %s answers %d %q: %v", r.Method, r.URL.Path, w.Code, w.Body, err)
	}
	return w.Code, a
}

func eventJSON(id, kind string, at time.Time, more string) string {
	return fmt.Sprintf(`{"id":%q,"kind":%q,"at":%q,"device":"device AB12"%s}`, id, kind, at.Format(time.RFC3339Nano), more)
}

var allSteps = []string{"poured", "in bath", "out of bath", "loaded", "exposed", "developer on", "developer off", "fixed", "washed", "varnished"}

// A whole plate through the interface: every answer says what was last and what is next.
func TestPlateThroughTheInterface(t *testing.T) {
	h := opened(t, studio.Metric)
	p := h.planned(t, 4*time.Second)
	for i, kind := range allSteps {
		*h.clock = h.clock.Add(time.Minute)
		more, next := "", ""
		if kind == "exposed" {
			more = `,"detail":{"exposure_s":4.2}`
		}
		if i+1 < len(allSteps) {
			next = allSteps[i+1]
		}
		status, a := h.send(t, p.Number, eventJSON(fmt.Sprintf("press-%04d", i), kind, *h.clock, more))
		if status != 200 || a.Number != p.Number.String() || a.Last != kind || a.State != kind || a.Next != next || len(a.Events) != i+1 || !a.Now.Equal(*h.clock) {
			t.Fatalf("%s: %d %+v, want last %q, next %q, %d events, now %s", kind, status, a, kind, next, i+1, *h.clock)
		}
		if got := a.Events[i]; got.Kind != kind || !got.At.Equal(*h.clock) || got.Device != "device AB12" {
			t.Errorf("%s is answered as %+v", kind, got)
		}
	}
	status, a := h.ask(t, request("GET", "/api/plates/"+p.Number.String(), ""))
	if status != 200 || len(a.Events) != len(allSteps) || a.Events[4].Detail["exposure_s"] != 4.2 {
		t.Errorf("the plate is answered %d %+v", status, a)
	}
}

// What a device hands over twice is kept once, and answered as the first time.
func TestRepeatOfAPressIsHarmless(t *testing.T) {
	h := opened(t, studio.Metric)
	p := h.planned(t, 0)
	body := eventJSON("press-0001", "poured", *h.clock, "")
	for range 3 {
		status, a := h.send(t, p.Number, body)
		if status != 200 || len(a.Events) != 1 || a.Next != "in bath" {
			t.Fatalf("answered %d %+v, want 200 with one event", status, a)
		}
	}
	if status, _ := h.send(t, p.Number, eventJSON("undo-0001", "corrected", *h.clock, `,"corrects":"press-0001","detail":{"void":true}`)); status != 200 {
		t.Fatal("undo answered", status)
	}
	if status, a := h.send(t, p.Number, body); status != 200 || len(a.Events) != 0 || a.Next != "poured" {
		t.Errorf("a repeat after its undo answers %d %+v, want 200 and nothing standing", status, a)
	}
}

// An id given twice to different plates is refused by name, so that a device does not wait for ever.
func TestIDOfAnotherPlatesEvent(t *testing.T) {
	h := opened(t, studio.Metric)
	one, other := h.planned(t, 4*time.Second), h.planned(t, 4*time.Second)
	if status, a := h.send(t, one.Number, eventJSON("press-0001", "poured", *h.clock, "")); status != 200 {
		t.Fatalf("the first press: %d %+v", status, a)
	}
	status, a := h.send(t, other.Number, eventJSON("press-0001", "poured", *h.clock, ""))
	if status != 422 || a.Error.Field != "id" || !strings.Contains(a.Error.Message, "another plate") {
		t.Errorf("the id of another plate's event: %d %+v, want 422 naming id", status, a)
	}
}

// A second device that records a standing step is told so, with the plate as it stands.
func TestStepAlreadyDone(t *testing.T) {
	h := opened(t, studio.Metric)
	p := h.planned(t, 0)
	h.send(t, p.Number, eventJSON("press-0001", "poured", *h.clock, ""))
	status, a := h.send(t, p.Number, eventJSON("press-0002", "poured", h.clock.Add(time.Second), ""))
	if status != http.StatusConflict || a.Plate == nil {
		t.Fatalf("answered %d %+v, want 409 with the plate", status, a)
	}
	if a.Plate.Number != p.Number.String() || a.Plate.Next != "in bath" || len(a.Plate.Events) != 1 || a.Plate.Events[0].ID != "press-0001" || a.Plate.Now.IsZero() {
		t.Errorf("the plate that comes along is %+v", *a.Plate)
	}
	for _, want := range []string{"poured", "10:30:00", "on another device"} { // 09:30 UTC where the studio is
		if !strings.Contains(a.Error.Message, want) {
			t.Errorf("message %q does not name %s", a.Error.Message, want)
		}
	}
}

// An undone step can be taken again; a corrected time is answered as corrected.
func TestUndoAndCorrectThroughTheInterface(t *testing.T) {
	h := opened(t, studio.Metric)
	p := h.planned(t, 0)
	h.send(t, p.Number, eventJSON("press-0001", "poured", *h.clock, ""))
	h.send(t, p.Number, eventJSON("press-0002", "in bath", *h.clock, ""))
	status, a := h.send(t, p.Number, eventJSON("undo-0001", "corrected", *h.clock, `,"corrects":"press-0002","detail":{"void":true}`))
	if status != 200 || a.Last != "poured" || a.Next != "in bath" || len(a.Events) != 1 {
		t.Fatalf("after the undo: %d %+v", status, a)
	}
	status, a = h.send(t, p.Number, eventJSON("press-0003", "in bath", h.clock.Add(time.Second), ""))
	if status != 200 || a.Last != "in bath" || len(a.Events) != 2 {
		t.Fatalf("taken again: %d %+v", status, a)
	}
	earlier := h.clock.Add(-time.Minute)
	status, a = h.send(t, p.Number, eventJSON("mend-0001", "corrected", *h.clock,
		fmt.Sprintf(`,"corrects":"press-0001","detail":{"instead":{"at":%q,"detail":{"words":"poured slowly"}}}`, earlier.Format(time.RFC3339))))
	if status != 200 || !a.Events[0].At.Equal(earlier) || a.Events[0].Detail["words"] != "poured slowly" {
		t.Errorf("corrected: %d %+v", status, a)
	}
}

// What cannot be taken is refused by name, and nothing of it is kept.
func TestRefusedEventsNameTheirField(t *testing.T) {
	h := opened(t, studio.Metric)
	p := h.planned(t, 0)
	at := *h.clock
	for _, tt := range []struct {
		name, body string
		status     int
		field      string
	}{
		{"no such kind", eventJSON("press-0001", "dipped", at, ""), 422, "kind"},
		{"a copy without its photograph", eventJSON("press-0001", "copied", at, `,"detail":{"copy":{"original":"a","true_view":"b"}}`), 422, "kind"},
		{"short id", eventJSON("p1", "poured", at, ""), 422, "id"},
		{"no time", `{"id":"press-0001","kind":"poured","at":"half past two"}`, 422, "at"},
		{"no time at all", `{"id":"press-0001","kind":"poured"}`, 422, "at"},
		{"a day and a half ahead", eventJSON("press-0001", "poured", at.Add(37*time.Hour), ""), 422, "at"},
		{"unknown key", eventJSON("press-0001", "poured", at, `,"colour":"red"`), 422, "colour"},
		{"unknown key of the detail", eventJSON("press-0001", "poured", at, `,"detail":{"colour":"red"}`), 422, "colour"},
		{"wrong type", `{"id":"press-0001","kind":7,"at":"2026-11-24T09:30:00Z"}`, 422, "kind"},
		{"wrong type of the detail", eventJSON("press-0001", "exposed", at, `,"detail":{"exposure_s":"4"}`), 422, "detail.exposure_s"},
		{"bad time instead", eventJSON("press-0001", "corrected", at, `,"corrects":"press-0000","detail":{"instead":{"at":"noon","detail":{}}}`), 422, "detail.instead.at"},
		{"too long an exposure", eventJSON("press-0001", "exposed", at, `,"detail":{"exposure_s":3601}`), 422, "exposure_s"},
		{"correcting nothing", eventJSON("press-0001", "corrected", at, `,"corrects":"press-9999","detail":{"void":true}`), 422, "corrects"},
		{"two events", eventJSON("press-0001", "poured", at, "") + eventJSON("press-0002", "in bath", at, ""), 422, ""},
		{"no JSON", `poured`, 400, ""},
		{"nothing", ` `, 400, ""},
		{"too long", eventJSON("press-0001", "poured", at, `,"by":"`+strings.Repeat("x", 64<<10)+`"`), 413, ""},
	} {
		status, a := h.send(t, p.Number, tt.body)
		if status != tt.status || a.Error.Field != tt.field || a.Error.Message == "" {
			t.Errorf("%s: answered %d, field %q, %q; want %d, field %q", tt.name, status, a.Error.Field, a.Error.Message, tt.status, tt.field)
		}
	}
	if status, a := h.ask(t, request("POST", "/api/plates/"+p.Number.String()+"/events", "kind=poured")); status != 415 || a.Error.Message == "" {
		t.Errorf("a form is answered %d %+v, want 415", status, a)
	}
	foreign := request("POST", "/api/plates/"+p.Number.String()+"/events", eventJSON("press-0001", "poured", at, ""))
	foreign.Header.Set("Content-Type", "application/json")
	foreign.Header.Set("Sec-Fetch-Site", "cross-site")
	if status, _ := h.ask(t, foreign); status != 403 {
		t.Errorf("another site's press is answered %d, want 403", status)
	}
	for _, number := range []string{"26-0099", "plate", "26-0"} {
		if status, _ := h.ask(t, request("GET", "/api/plates/"+number, "")); status != 404 {
			t.Errorf("GET of plate %s is answered %d, want 404", number, status)
		}
	}
	if _, a := h.ask(t, request("GET", "/api/plates/"+p.Number.String(), "")); len(a.Events) != 0 {
		t.Errorf("after refusals %d events stand", len(a.Events))
	}
}

// pressForm is the form of the clock's page as a browser without script would send it.
func (h *house) pressForm(t *testing.T, number, act string) url.Values {
	t.Helper()
	v := url.Values{}
	for _, form := range find(h.get(t, "/darkroom/"+number), tag("form"), with("action", "/darkroom/"+number+"/"+act)) {
		for _, input := range find(form, tag("input")) {
			v.Set(attr(input, "name"), attr(input, "value"))
		}
	}
	return v
}

// A plate can be taken through every step by forms alone, and a step undone.
func TestClockWithoutScript(t *testing.T) {
	h := opened(t, studio.Metric)
	p := h.planned(t, 4*time.Second)
	number := p.Number.String()
	for _, kind := range allSteps {
		*h.clock = h.clock.Add(time.Minute)
		v := h.pressForm(t, number, "step")
		if v.Get("kind") != kind {
			t.Fatalf("the form records %q, want %q", v.Get("kind"), kind)
		}
		if kind == "exposed" {
			v.Set("seconds", "1/4")
		}
		// Sent twice, it is one step.
		for range 2 {
			r := h.post(t, "/darkroom/"+number+"/step", v, http.StatusSeeOther)
			if to := r.Header.Get("Location"); to != "/darkroom/"+number {
				t.Fatalf("%s leads to %q", kind, to)
			}
		}
	}
	story, err := h.studio.Plate(t.Context(), p.Number)
	if err != nil {
		t.Fatal(err)
	}
	if len(story.Events) != len(allSteps) || story.Next != "" || story.Standing(studio.Exposed).Detail.ExposureS != 0.25 {
		t.Errorf("the plate has %d events, next %q, exposure %g s", len(story.Events), story.Next, story.Standing(studio.Exposed).Detail.ExposureS)
	}
	h.post(t, "/darkroom/"+number+"/undo", h.pressForm(t, number, "undo"), http.StatusSeeOther)
	h.post(t, "/darkroom/"+number+"/undo", values(), http.StatusSeeOther)
	if story, err = h.studio.Plate(t.Context(), p.Number); err != nil || story.Next != studio.Washed {
		t.Errorf("after two undos next is %q (%v), want washed", story.Next, err)
	}
}

// What a form cannot record comes back with what was typed and why.
func TestClockSendsRefusedFormsBack(t *testing.T) {
	h := opened(t, studio.Metric)
	p := h.planned(t, 4*time.Second)
	at := "/darkroom/" + p.Number.String()
	if body := text(t, h.post(t, at+"/undo", values(), 422)); !strings.Contains(body, "No step was taken yet") {
		t.Error("undoing nothing is refused without a word")
	}
	for i, kind := range allSteps[:4] {
		h.send(t, p.Number, eventJSON(fmt.Sprintf("press-%04d", i), kind, *h.clock, ""))
	}
	if body := text(t, h.post(t, at+"/step", values("kind", "poured", "id", "press-0099"), 409)); !strings.Contains(body, "10:30:00, on another device") {
		t.Error("a step that stands is refused without saying who was first")
	}
	doc := document(t, h.post(t, at+"/step", values("kind", "exposed", "id", "press-0099", "seconds", "4 stones"), 422))
	pageInOrder(t, at, doc)
	if value, problem := kept(doc, "seconds"); value != "4 stones" || !strings.Contains(problem, "stones") {
		t.Errorf("seconds that cannot be read come back as %q with %q", value, problem)
	}
	for _, v := range []url.Values{
		values("kind", "exposed", "id", "press-0099", "at", "noon"),
		values("kind", "smashed", "id", "press-0099"),
		values("kind", "exposed", "id", "p"),
	} {
		if body := text(t, h.post(t, at+"/step", v, 422)); !strings.Contains(body, "Not recorded: ") {
			t.Errorf("%v is refused without a word", v)
		}
	}
	if story, err := h.studio.Plate(t.Context(), p.Number); err != nil || len(story.Events) != 4 {
		t.Errorf("after refusals the plate has %d events (%v), want 4", len(story.Events), err)
	}
}

func hasAttr(key string) func(*html.Node) bool {
	return func(n *html.Node) bool {
		return slices.ContainsFunc(n.Attr, func(a html.Attribute) bool { return a.Key == key })
	}
}

// clockIn is the clock of a page without what is hidden.
func clockIn(t *testing.T, page *html.Node) *html.Node {
	t.Helper()
	clocks := find(page, hasAttr("data-clock"))
	if len(clocks) != 1 {
		t.Fatalf("%d clocks on the page, want 1", len(clocks))
	}
	for _, part := range find(clocks[0], hasAttr("hidden")) {
		part.Parent.RemoveChild(part)
	}
	return clocks[0]
}

// The page says the one thing to do, its count, the target with its basis, the caution, and the
// wet time left, as they stand when it is made.
func TestClockPage(t *testing.T) {
	h := opened(t, studio.Metric)
	p := h.planned(t, 4*time.Second)
	number := p.Number.String()
	for i, tt := range []struct {
		wait time.Duration
		want []string
		not  string
	}{
		{0, []string{"Ottilie Brandt", "Pour the collodion", "Ether and alcohol vapour", "Poured", "common practice"}, "Undo"},
		{20 * time.Second, []string{"Undo poured", "Lower into the bath 20 due in 0:10", "0:30 to 2:00", "Silver nitrate blinds and burns", "In the bath"}, "Ether"},
		{200 * time.Second, []string{"Lift out of the bath 3:20 due now", "from 3:00", "Out of the bath"}, "Caution"},
		{65 * time.Second, []string{"Drain, wipe the back", "1:05", "8:55 of wet left", "before 10:00", "Loaded"}, "within"},
		{60 * time.Second, []string{"Expose 4\u2009s", "7:55 of wet left", "planned 4\u2009s", "the plan", "Exposed", "Seconds the cap was off"}, "due"},
		{500 * time.Second, []string{"Pour the developer 10:25", "wet time run out 0:25 ago", "Developer on"}, "wet left"},
		{50 * time.Second, []string{"Stop with water 50 late by 0:05", "the eye decides", "Developer off"}, "wet"},
		{10 * time.Second, []string{"Fix until clear, and as long again 10 due in 0:50", "No acid near the fixer", "Fixed"}, "may be left"},
		{26 * time.Minute, []string{"Wash 26:00 due now", "This may be left", "Washed"}, "Judge"},
		{65 * time.Minute, []string{"Dry, warm, varnish 1:05:00", "no open flame", "This may be left", "Varnished"}, "due"},
		{time.Minute, []string{"The plate is finished", "Judge the plate", "Photograph it", "Undo varnished"}, "press when"},
	} {
		*h.clock = h.clock.Add(tt.wait)
		got := words(clockIn(t, h.get(t, "/darkroom/"+number)))
		for _, want := range tt.want {
			if !strings.Contains(got, strings.ReplaceAll(want, "\u2009", " ")) {
				t.Errorf("step %d: %q is not on the page: %s", i, want, got)
			}
		}
		if strings.Contains(got, tt.not) {
			t.Errorf("step %d: %q is on the page: %s", i, tt.not, got)
		}
		if i < len(allSteps) {
			if status, _ := h.send(t, p.Number, eventJSON(fmt.Sprintf("press-%04d", i), allSteps[i], *h.clock, "")); status != 200 {
				t.Fatal(allSteps[i], status)
			}
		}
	}
	page := h.get(t, "/darkroom/"+number)
	var taken []string
	for _, row := range find(page, tag("li"), hasAttr("data-step")) {
		if !hasAttr("hidden")(row) {
			taken = append(taken, words(row))
		}
	}
	if len(taken) != len(allSteps) {
		t.Fatalf("%d steps are listed as taken, want %d", len(taken), len(allSteps))
	}
	// Each step was recorded when the next wait had passed: the pour at once, the bath 20 s later.
	for i, want := range []string{
		"Poured 10:30:00",
		"In the bath 10:30:20 after 0:20, early by 0:10 0:30 to 2:00 common practice",
		"Out of the bath 10:33:40 after 3:20 from 3:00",
		"Loaded 10:34:45 after 1:05 before 10:00",
		"Exposed 10:35:45 not counted planned 4 s",
		"Developer on 10:44:05 after 10:25, late by 0:25 before 10:00",
	} {
		if !strings.HasPrefix(taken[i], want) {
			t.Errorf("step %d is listed as %q, want %q", i, taken[i], want)
		}
	}
	var a clockAnswer
	if err := json.Unmarshal([]byte(attr(find(page, hasAttr("data-clock"))[0], "data-plate")), &a); err != nil || a.Number != number || len(a.Events) != len(allSteps) {
		t.Errorf("the script is given %+v (%v)", a, err)
	}
}

// The room lists what is planned and running, newest first, and leads to clocks and shelf.
// Pinned: a step is early or late by the whole seconds its time is shown with, so that the two add up
// to the target.
func TestStepOffAddsUp(t *testing.T) {
	step := darkroom.ClockStep{Step: studio.Step{After: 30 * time.Second, Until: 2 * time.Minute}}
	for took, want := range map[time.Duration]string{
		1900 * time.Millisecond: ", early by 0:29", 29999 * time.Millisecond: ", early by 0:01", 30 * time.Second: "",
		120900 * time.Millisecond: "", 121100 * time.Millisecond: ", late by 0:01",
	} {
		if got := step.Off(took); got != want {
			t.Errorf("off by %q after %v, want %q", got, took, want)
		}
	}
}

func TestDarkRoomListsPlatesInHand(t *testing.T) {
	h := opened(t, studio.Metric)
	if empty := words(h.get(t, "/darkroom")); !strings.Contains(empty, "No plate is planned or running") {
		t.Error("an empty dark room does not say so")
	}
	first, second := h.planned(t, 0), h.planned(t, 0)
	for i, kind := range allSteps[:3] {
		h.send(t, first.Number, eventJSON(fmt.Sprintf("press-%04d", i), kind, *h.clock, ""))
	}
	*h.clock = h.clock.Add(90 * time.Second)
	page := h.get(t, "/darkroom")
	rows := find(page, tag("a"), with("class", "hand-plate"))
	if len(rows) != 2 {
		t.Fatalf("%d plates are listed, want 2", len(rows))
	}
	for i, want := range []struct{ number, words string }{
		{second.Number.String(), "Ottilie Brandt Pour the collodion planned"},
		{first.Number.String(), "Ottilie Brandt Drain, wipe the back, load the holder out of bath at 10:30 8:30 of wet left"},
	} {
		if got := attr(rows[i], "href"); got != "/darkroom/"+want.number {
			t.Errorf("row %d leads to %q", i, got)
		}
		if got := words(rows[i]); got != want.number+" "+want.words {
			t.Errorf("row %d reads %q, want %q", i, got, want.number+" "+want.words)
		}
	}
	if len(find(page, tag("a"), with("href", "/darkroom/shelf"))) != 1 {
		t.Error("no way to the shelf")
	}
	if !strings.Contains(words(page), "No device is tested for its light near a wet plate") {
		t.Error("the page does not say that devices are untested")
	}
	for range 40 {
		h.planned(t, 0)
	}
	if older := find(h.get(t, "/darkroom"), tag("a"), with("href", "/darkroom?below=26-0003")); len(older) != 1 {
		t.Fatal("more plates than a page holds, and no way to the older")
	}
	if n := len(find(h.get(t, "/darkroom?below=26-0003"), tag("a"), with("class", "hand-plate"))); n != 2 {
		t.Errorf("%d older plates are listed, want 2", n)
	}
	if r := do(h, request("GET", "/darkroom?below=lots", "")); r.StatusCode != http.StatusNotFound {
		t.Errorf("no plate number is answered %d, want 404", r.StatusCode)
	}
}
