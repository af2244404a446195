package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"platewright/internal/studio"
)

func bookingForm() url.Values {
	return values("sitter_name", "Ottilie Brandt", "contact", "by the lock", "day", "tomorrow", "time", "2:30 pm", "lasts", "1 h 30",
		"purpose", "a likeness", "size", "half plate", "plates", "3", "note", "brings a dog")
}

// main is the work of a page, in words.
func mainWords(doc *html.Node) string { return words(find(doc, tag("main"))[0]) }

// A sitting booked with what people write stands on its day, in the studio's place, with its sitter.
func TestBookASitting(t *testing.T) {
	h := opened(t, studio.Metric)
	if got := mainWords(h.get(t, "/desk")); !strings.Contains(got, "Tuesday, 24 November") || !strings.Contains(got, "No sitting is booked") {
		t.Errorf("an empty desk says %q", got)
	}
	r := h.post(t, "/desk/sittings", bookingForm(), http.StatusSeeOther)
	if got := r.Header.Get("Location"); !strings.HasPrefix(got, "/desk?day=2026-11-25&booked=") {
		t.Errorf("led to %q, want tomorrow's desk", got)
	}
	doc := h.get(t, "/desk?day=2026-11-25")
	for _, want := range []string{"Wednesday, 25 November", "14:30", "Ottilie Brandt", "3 × half plate", "a likeness", "1 h 30 min", "booked", "Plan a plate"} {
		if !strings.Contains(mainWords(doc), want) {
			t.Errorf("the desk does not say %q: %s", want, mainWords(doc))
		}
	}
	sittings, err := h.studio.SittingsOn(t.Context(), time.Date(2026, 11, 25, 0, 0, 0, 0, h.loc))
	if err != nil || len(sittings) != 1 {
		t.Fatalf("%d sittings stored, %v", len(sittings), err)
	}
	// 14:30 in the studio's place, an hour ahead of UTC in November.
	if got := sittings[0].At; !got.Equal(time.Date(2026, 11, 25, 13, 30, 0, 0, time.UTC)) {
		t.Errorf("stored at %v, want 13:30 UTC", got)
	}
	if got := find(doc, tag("a"), with("href", "/floor?sitting="+string(sittings[0].ID))); len(got) != 1 {
		t.Errorf("%d ways to plan a plate, want 1", len(got))
	}
	// The drawing says in words what it shows, and draws as many plates as are wanted, twice: lying
	// and standing.
	figure := find(doc, tag("figure"), with("role", "img"))
	if len(figure) != 1 || !strings.Contains(attr(figure[0], "aria-label"), "1 sitting, 3 plates wanted") {
		t.Errorf("the strip does not say what it shows")
	}
	if n := len(find(doc, tag("rect"), with("class", "plate"))); n != 6 {
		t.Errorf("%d plates drawn, want 3 on each of two strips", n)
	}
	if len(find(doc, with("class", "now"))) != 0 {
		t.Error("tomorrow's strip has a now-mark")
	}
	if len(find(h.get(t, "/desk"), with("class", "now"))) != 2 {
		t.Error("today's strip has no now-mark")
	}
}

func TestBookingRefuses(t *testing.T) {
	h := opened(t, studio.Metric)
	h.refusesEach(t, "/desk/sittings", bookingForm(), map[string]string{
		"sitter_name": "", "contact": strings.Repeat("x", 401), "day": "5/6/2027", "time": "25:00", "lasts": "a while", "size": "13x18",
		"plates": "many", "purpose": strings.Repeat("y", 401), "note": strings.Repeat("z", 4001),
	})
	h.refusesEach(t, "/desk/sittings", bookingForm(), map[string]string{"day": "1850-01-01", "lasts": "2 min", "plates": "0", "size": "2000x2000 mm", "time": ""})
	// The clocks skip 02:30 on 29 March 2026 in the studio's place; a year on it is 28 March 2027.
	h.refusesEach(t, "/desk/sittings", but(bookingForm(), "day", "2027-03-28"), map[string]string{"time": "2:30"})
	if all, err := h.studio.Sitters(t.Context()); err != nil || len(all) != 0 {
		t.Errorf("refused bookings left %d sitters behind, %v", len(all), err)
	}
	if r := do(h, request("GET", "/desk?day=soon", "")); r.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("a day nobody understands: status %d", r.StatusCode)
	}
}

// A sitter known by the very name is taken, two of a name are asked about, and someone new can have
// the name of one who is known.
func TestBookingFindsTheSitter(t *testing.T) {
	h := opened(t, studio.Metric)
	known := h.sitter(t, "Ottilie Brandt")
	h.post(t, "/desk/sittings", but(bookingForm(), "sitter_name", " ottilie  brandt"), http.StatusSeeOther)
	count := func(want int) {
		t.Helper()
		if all, err := h.studio.Sitters(t.Context()); err != nil || len(all) != want {
			t.Fatalf("%d sitters, %v, want %d", len(all), err, want)
		}
	}
	count(1)
	h.post(t, "/desk/sittings", but(bookingForm(), "sitter", "new"), http.StatusSeeOther)
	count(2)
	doc := document(t, h.post(t, "/desk/sittings", bookingForm(), http.StatusUnprocessableEntity))
	if n := len(find(doc, with("name", "sitter"), with("type", "radio"))); n != 3 {
		t.Errorf("%d to choose from, want both of the name and someone new", n)
	}
	pageInOrder(t, "asked which", doc)
	h.post(t, "/desk/sittings", but(bookingForm(), "sitter", string(known.ID)), http.StatusSeeOther)
	count(2)
	sittings, err := h.studio.SittingsOn(t.Context(), time.Date(2026, 11, 25, 0, 0, 0, 0, h.loc))
	if err != nil || len(sittings) != 3 {
		t.Fatalf("%d sittings, %v", len(sittings), err)
	}
	doc = document(t, h.post(t, "/desk/sittings", but(bookingForm(), "sitter", "gone-gone"), http.StatusUnprocessableEntity))
	if _, problem := kept(doc, "sitter_name"); !strings.Contains(problem, "not among") {
		t.Errorf("a sitter who is gone: %q", problem)
	}
}

// As one types, a script is given those a name may mean, and nothing around them.
func TestFindingSittersAsOneTypes(t *testing.T) {
	h := opened(t, studio.Metric)
	for _, name := range []string{"Ottilie Brandt", "Otto Weir", "Jonas Weir"} {
		h.sitter(t, name)
	}
	ask := func(typed string) *html.Node {
		t.Helper()
		r := request("GET", "/desk/sitters?sitter_name="+url.QueryEscape(typed), "")
		r.Header.Set("HX-Request", "true")
		answer := do(h, r)
		if answer.StatusCode != http.StatusOK {
			t.Fatalf("status %d", answer.StatusCode)
		}
		doc := document(t, answer)
		if len(find(doc, with("id", "sitter-found"))) != 1 || len(find(doc, tag("h1"))) != 0 {
			t.Error("the fragment is not the list alone")
		}
		return doc
	}
	for typed, want := range map[string]int{"o": 0, "ot": 3, "weir": 3, "otto w": 2, "zzz": 0} {
		if n := len(find(ask(typed), tag("input"))); n != want {
			t.Errorf("%q gives %d choices, want %d", typed, n, want)
		}
	}
	if n := len(find(h.get(t, "/desk/sitters"), tag("tbody"))); n != 1 {
		t.Error("a browser is not given the page of sitters")
	}
	if got := mainWords(h.get(t, "/desk/sitters")); !strings.Contains(got, "3 sitters") || !strings.Contains(got, "Jonas Weir") {
		t.Errorf("the list of sitters says %q", got)
	}
}

func TestChangeASitting(t *testing.T) {
	h := opened(t, studio.Metric)
	sitting := h.sitting(t, h.sitter(t, "Ottilie Brandt"), morning().Add(2*time.Hour))
	at := "/desk/sittings/" + string(sitting.ID)
	doc := h.get(t, at)
	form := url.Values{}
	for _, name := range []string{"version", "sitter", "state", "day", "time", "lasts", "size", "plates", "purpose", "note"} {
		value, _ := kept(doc, name)
		form.Set(name, value)
	}
	if form.Get("time") != "12:30" || form.Get("day") != "2026-11-24" || form.Get("lasts") != "1 h" || form.Get("version") != "1" {
		t.Errorf("the form shows %v", form)
	}
	if len(find(doc, tag("form"), with("action", "/floor"))) != 1 {
		t.Error("no way to plan a plate")
	}
	r := h.post(t, at, but(but(form, "state", "arrived"), "time", "13"), http.StatusSeeOther)
	if r.Header.Get("Location") != at {
		t.Errorf("led to %q", r.Header.Get("Location"))
	}
	got, err := h.studio.Sitting(t.Context(), sitting.ID)
	if err != nil || got.State != studio.Arrived || got.At.In(h.loc).Hour() != 13 || got.Version != 2 {
		t.Errorf("stored %+v, %v", got, err)
	}
	h.refusesEach(t, at, but(form, "version", "2"), map[string]string{"time": "x", "state": "lost", "size": "", "plates": "101", "lasts": "25 h", "day": "31 April"})

	// Someone has changed it since the form was made: both forms are shown, what differs can be
	// chosen, and the choice goes against the newer version.
	late := but(but(form, "plates", "5"), "note", "brings a dog")
	doc = document(t, h.post(t, at, late, http.StatusConflict))
	pageInOrder(t, "conflict", doc)
	page := mainWords(doc)
	for _, want := range []string{"State booked yours, as you typed it arrived theirs, as it stands now", "Plates wanted 5", "brings a dog", "nothing theirs"} {
		if !strings.Contains(page, want) {
			t.Errorf("the conflict does not show %q: %s", want, page)
		}
	}
	chosen := url.Values{}
	for _, in := range find(find(doc, tag("form"), with("action", at))[0], tag("input")) {
		if attr(in, "type") == "hidden" {
			chosen.Set(attr(in, "name"), attr(in, "value"))
		}
	}
	if chosen.Get("version") != "2" || chosen.Get("plates") != "" {
		t.Errorf("hidden with the choice: %v", chosen)
	}
	for name, value := range map[string]string{"state": "arrived", "time": "13:00", "plates": "5", "note": "brings a dog"} {
		chosen.Set(name, value)
	}
	h.post(t, at, chosen, http.StatusSeeOther)
	got, err = h.studio.Sitting(t.Context(), sitting.ID)
	if err != nil || got.State != studio.Arrived || got.Plates != 5 || got.Note != "brings a dog" || got.Version != 3 {
		t.Errorf("after the choice %+v, %v", got, err)
	}
	// The same change twice is no conflict to look at.
	h.post(t, at, chosen, http.StatusSeeOther)
}

func TestSitterPage(t *testing.T) {
	h := opened(t, studio.Metric)
	sitter := h.sitter(t, "Ottilie Brandt")
	sitting := h.sitting(t, sitter, morning().Add(2*time.Hour))
	h.sitting(t, h.sitter(t, "Jonas Weir"), morning().Add(4*time.Hour))
	plate, err := h.studio.PlanPlate(t.Context(), studio.Plan{Sitting: sitting.ID, Size: sitting.Size, Exposure: 4 * time.Second})
	if err != nil {
		t.Fatal(err)
	}
	at := "/desk/sitters/" + string(sitter.ID)
	page := mainWords(h.get(t, at))
	for _, want := range []string{"Ottilie Brandt", "1 sitting, 1 plate", "today, 12:30", plate.Number.String(), "planned"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not say %q: %s", want, page)
		}
	}
	if strings.Contains(page, "14:30") {
		t.Error("the page shows another sitter's sitting")
	}
	if got := mainWords(h.get(t, "/desk/sittings/"+string(sitting.ID))); !strings.Contains(got, plate.Number.String()) {
		t.Errorf("the sitting does not show its plate: %s", got)
	}
	good := values("version", "1", "name", "Ottilie Brandt-Weir", "contact", "by the lock", "note", "left profile")
	h.refusesEach(t, at, good, map[string]string{"name": " ", "contact": strings.Repeat("x", 401), "note": strings.Repeat("x", 4001)})
	h.post(t, at, but(good, "note", "left profile\r\nno hat"), http.StatusSeeOther)
	if got, err := h.studio.Sitter(t.Context(), sitter.ID); err != nil || got.Note != "left profile\nno hat" {
		t.Errorf("stored %+v, %v", got, err)
	}
	doc := document(t, h.post(t, at, but(good, "name", "O. Brandt"), http.StatusConflict))
	if got := mainWords(doc); !strings.Contains(got, "O. Brandt yours") || !strings.Contains(got, "Ottilie Brandt-Weir theirs") {
		t.Errorf("the conflict says %q", got)
	}
	if r := do(h, request("GET", "/desk/sitters/nobody-here", "")); r.StatusCode != http.StatusNotFound {
		t.Errorf("a sitter who is not there: status %d", r.StatusCode)
	}
}

// A booking says what it was read as and what is odd about it, and is booked all the same.
func TestBookingTellsWhatIsOdd(t *testing.T) {
	h := opened(t, studio.Metric)
	book := func(form url.Values) string {
		t.Helper()
		return mainWords(h.get(t, h.post(t, "/desk/sittings", form, http.StatusSeeOther).Header.Get("Location")))
	}
	says := func(what, got string, want ...string) {
		t.Helper()
		for _, w := range want {
			if !strings.Contains(got, w) {
				t.Errorf("%s: the desk does not say %q: %.600s", what, w, got)
			}
		}
	}
	// 24 November 2026 is a Tuesday, and the day of these tests.
	got := book(but(bookingForm(), "day", "Tue"))
	says("a weekday that is today", got, "Ottilie Brandt is booked for Tuesday, 24 November 2026, 14:30.")
	if strings.Contains(got, "overlap") || strings.Contains(got, "is past") || strings.Contains(got, "contact was") {
		t.Errorf("an ordinary booking is told of something odd: %.600s", got)
	}
	says("another sitter in the same time", book(but(but(but(bookingForm(), "day", "Tue"), "time", "15:00"), "sitter_name", "Kaspar Lund")),
		"Two sittings overlap: Kaspar Lund is to come at 15:00, and the sitting of Ottilie Brandt lasts until 16:00.")
	got = book(but(but(but(bookingForm(), "day", "Tue"), "time", "15:30"), "contact", "+420 555 0101"))
	says("a known sitter twice, with another contact", got, "Ottilie Brandt is booked twice at one time: at 15:30",
		"The contact was written down with Ottilie Brandt, behind the one that was known.")
	says("the sitters", mainWords(h.get(t, "/desk/sitters")), "by the lock; +420 555 0101")
	says("a day that is past", book(but(bookingForm(), "day", "yesterday")), "That day is past.")
	if got := mainWords(h.get(t, "/desk?day=2026-11-26")); strings.Contains(got, "overlap") {
		t.Errorf("a free day has sittings that overlap: %.600s", got)
	}
}
