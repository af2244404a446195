package web_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"platewright/internal/studio"
	"platewright/internal/web"
)

func (s *store) at(what string) string { return "/plates/" + s.plate.Number.String() + what }

// to sends one of the plate's forms, which must be taken.
func (s *store) to(t *testing.T, what string, pairs ...string) {
	t.Helper()
	if r := s.post(t, s.at(what), values(pairs...), http.StatusSeeOther); r.Header.Get("Location") != s.at("") {
		t.Fatalf("%s leads to %q, want %s", what, r.Header.Get("Location"), s.at(""))
	}
}

// Every form of the plate's page records its event, and a form sent twice records it once.
func TestPlateForms(t *testing.T) {
	s := storeWith(t, nil)
	for range 2 {
		s.to(t, "/verdict", "id", "form-id-0001", "word", "-1", "fate", "keep", "say", "soft at the collar")
		s.to(t, "/marks", "id", "form-id-0002", "appearance", "comet", "x_pct", "20,5", "y_pct", "30", "say", "tail down")
		s.to(t, "/notes", "id", "form-id-0003", "words", "Pour edge left uncut")
		s.to(t, "/moves", "id", "form-id-0004", "place", "sleeve 12")
		s.to(t, "/moves", "id", "form-id-0005", "place", "the sitter's own hands", "delivered", "yes")
	}
	story := s.story(t)
	if v := story.Verdict; v == nil || *v != (studio.Verdict{Word: -1, Fate: studio.Keep, Say: "soft at the collar"}) {
		t.Errorf("verdict %+v", v)
	}
	if want := (studio.Mark{Appearance: "comet", XPct: 20.5, YPct: 30, Say: "tail down"}); len(story.Marks) != 1 || story.Marks[0] != want {
		t.Errorf("marks %+v, want one, %+v", story.Marks, want)
	}
	if story.Place != "the sitter's own hands" || story.Standing(studio.Delivered).ID != "form-id-0005" || story.Standing(studio.Moved).Detail.Place != "sleeve 12" {
		t.Errorf("the plate is at %q", story.Place)
	}
	if len(story.Events) != 6 {
		t.Errorf("%d events, want the pour and five", len(story.Events))
	}
	said := words(find(s.get(t, s.at("")), tag("main"))[0])
	for _, want := range []string{"A little dark, keep", "soft at the collar", "tail down", "Pour edge left uncut", "the sitter's own hands"} {
		if !strings.Contains(said, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
}

// Hundredths may carry their sign.
func TestMarksInHundredths(t *testing.T) {
	s := storeWith(t, nil)
	s.to(t, "/marks", "id", "form-id-0001", "appearance", "comet", "x_pct", "40 %", "y_pct", "12,5%")
	if m := s.story(t).Marks; len(m) != 1 || m[0].XPct != 40 || m[0].YPct != 12.5 {
		t.Errorf("40 %% and 12,5%% were kept as %+v", m)
	}
}

// A place chosen on the true view is kept as the plate itself shows it, and shown again where it
// was chosen; one chosen on the plate itself is kept as it is.
func TestMarksAreKeptAsThePlateShowsThem(t *testing.T) {
	s := storeWith(t, nil)
	s.to(t, "/marks", "id", "form-id-0001", "appearance", "fog", "x_pct", "10", "y_pct", "40")
	if doc := s.get(t, s.at("")); len(find(doc, with("name", "seen"))) != 0 {
		t.Error("without a copy the outline is the plate as it lies, so nothing is turned")
	}
	s.file(t, "halves.png", halves(t), "copy-id-0001")
	doc := s.get(t, s.at(""))
	seen := find(doc, with("name", "seen"))
	if len(seen) != 1 {
		t.Fatal("with a copy the form says that places are seen on the true view")
	}
	s.to(t, "/marks", "id", "form-id-0002", "appearance", "comet", "x_pct", "25", "y_pct", "60", "seen", attr(seen[0], "value"))
	if got := s.story(t).Marks[1].XPct; got != 75 {
		t.Errorf("25 %% from the left of the true view is kept as %g, want 75: the plate is its mirror", got)
	}
	// The outline is 1000 broad and, as 64 x 48 px, 750 high.
	drawn := find(s.get(t, s.at("")), tag("g"), with("class", "plate-mark"))
	for i, want := range []string{"translate(900.0 300.0)", "translate(250.0 450.0)"} {
		if got := attr(drawn[i], "transform"); got != want {
			t.Errorf("mark %d is drawn at %s, want %s", i+1, got, want)
		}
	}
}

// spoilt posts one of the plate's forms with one field spoilt: 422, a sentence at that field, and
// everything typed still in that form.
func (s *store) spoilt(t *testing.T, what string, sent url.Values, name, value string) {
	t.Helper()
	sent = but(sent, name, value)
	doc := document(t, s.post(t, s.at(what), sent, http.StatusUnprocessableEntity))
	pageInOrder(t, what, doc)
	if _, problem := kept(doc, name); problem == "" {
		t.Errorf("%s with %s=%.20q: nothing is said at the field: %.300s", what, name, value, words(find(doc, tag("main"))[0]))
	}
	form := find(doc, tag("form"), with("action", s.at(what)))[0]
	for field := range sent {
		if field == name && len(find(form, with("name", name), with("type", "radio"))) > 0 {
			continue // what is none of the choices cannot be shown as chosen
		}
		if got, _ := kept(form, field); got != strings.TrimSpace(sent.Get(field)) && got != sent.Get(field) {
			t.Errorf("%s with %s=%.20q: %s shows %.20q, typed was %.20q", what, name, value, field, got, sent.Get(field))
		}
	}
}

// What the studio does not take comes back in its form, as it was typed, and records nothing.
func TestPlateFormsRefuse(t *testing.T) {
	s := storeWith(t, nil)
	before := len(s.story(t).Events)
	verdict := values("id", "form-id-0001", "word", "0", "fate", "keep", "say", "as wished")
	mark := values("id", "form-id-0001", "appearance", "comet", "x_pct", "5", "y_pct", "6", "say", "tail down")
	for _, tt := range []struct {
		what        string
		form        url.Values
		name, value string
	}{
		{"/verdict", verdict, "word", "4"}, {"/verdict", verdict, "word", ""}, {"/verdict", verdict, "word", "light"},
		{"/verdict", verdict, "fate", "sell"}, {"/verdict", verdict, "fate", ""}, {"/verdict", verdict, "say", strings.Repeat("x", 4001)},
		{"/marks", mark, "appearance", ""}, {"/marks", mark, "x_pct", "101"}, {"/marks", mark, "x_pct", "left"}, {"/marks", mark, "x_pct", "NaN"},
		{"/marks", mark, "y_pct", "-1"}, {"/marks", mark, "y_pct", ""},
		{"/notes", values("id", "form-id-0001", "words", "a"), "words", " "},
		{"/moves", values("id", "form-id-0001", "place", "sleeve 1", "delivered", "yes"), "place", ""},
	} {
		s.spoilt(t, tt.what, tt.form, tt.name, tt.value)
	}
	doc := document(t, s.post(t, s.at("/marks"), but(but(mark, "appearance", "other"), "say", ""), http.StatusUnprocessableEntity))
	if said := words(find(doc, tag("main"))[0]); !strings.Contains(said, "say in words what it looks like") {
		t.Error("another fault than those listed wants words")
	}
	s.post(t, s.at("/notes"), values("id", "x", "words", "a"), http.StatusUnprocessableEntity)
	if after := len(s.story(t).Events); after != before {
		t.Errorf("%d events were recorded by refused forms", after-before)
	}
	s.file(t, "halves.png", halves(t), "copy-id-0001")
	for _, beyond := range []string{"-0.5", "100.5"} {
		s.spoilt(t, "/marks", but(mark, "seen", "true view"), "x_pct", beyond)
	}
	dry := s.planned(t, "")
	said := document(t, s.post(t, "/plates/"+dry.Number.String()+"/verdict", verdict, http.StatusUnprocessableEntity))
	if got := words(find(said, tag("main"))[0]); !strings.Contains(got, "not poured yet") {
		t.Errorf("judging a plate not poured: %s", got)
	}
}

// One press voids an event; it stays on the page, struck through, and one press more restores it.
func TestCorrections(t *testing.T) {
	s := storeWith(t, nil)
	s.to(t, "/verdict", "id", "form-id-0001", "word", "2", "fate", "reject")
	rows := func() *html.Node { return find(s.get(t, s.at("")), with("class", "story-table"))[0] }
	press := func(name string) []string {
		for _, form := range find(rows(), tag("form")) {
			if button := find(form, tag("button"), with("name", name)); len(button) == 1 {
				if id := attr(find(form, with("name", "corrects"))[0], "value"); id == "form-id-0001" {
					return []string{"id", attr(find(form, with("name", "id"))[0], "value"), "corrects", id, name, attr(button[0], "value")}
				}
			}
		}
		t.Fatalf("no button %s at the verdict", name)
		return nil
	}
	void := press("void")
	s.to(t, "/corrections", void...)
	s.to(t, "/corrections", void...)
	if story := s.story(t); story.Verdict != nil || len(story.Events) != 3 {
		t.Errorf("after voiding, the verdict is %v and there are %d events, want none and 3", story.Verdict, len(story.Events))
	}
	struck := find(rows(), tag("tr"), with("class", "void"))
	if len(struck) != 1 || words(find(struck[0], tag("s"))[0]) != "judged: too light, reject" {
		t.Errorf("%d rows struck through, want the verdict, still readable", len(struck))
	}
	s.to(t, "/corrections", press("restore")...)
	if v := s.story(t).Verdict; v == nil || v.Word != 2 {
		t.Errorf("restored, the verdict is %+v", v)
	}
	s.post(t, s.at("/corrections"), values("id", "form-id-0009", "corrects", "no-such-event", "void", "yes"), http.StatusUnprocessableEntity)
	s.post(t, s.at("/corrections"), values("id", "form-id-0010", "corrects", "form-id-0001"), http.StatusUnprocessableEntity)
}

// The list runs down in pages, newest first, each row once, and narrows to a state.
func TestListOfPlates(t *testing.T) {
	s := storeWith(t, nil)
	for i := range 59 {
		p := s.poured(t, "")
		if i%10 == 0 {
			s.record(t, p, studio.Judged, studio.Detail{Verdict: &studio.Verdict{Word: 0, Fate: studio.Keep}})
		}
	}
	var seen []string
	target := "/plates"
	for pages := 1; ; pages++ {
		doc := s.get(t, target)
		for _, n := range find(doc, with("class", "plate-number")) {
			seen = append(seen, words(n))
		}
		next := find(doc, with("rel", "next"))
		if len(next) == 0 {
			if pages != 2 {
				t.Errorf("%d pages, want 2", pages)
			}
			break
		}
		target = attr(next[0], "href")
	}
	if len(seen) != 60 || seen[0] != "26-0060" || seen[59] != "26-0001" {
		t.Fatalf("%d rows, first %s, last %s", len(seen), seen[0], seen[len(seen)-1])
	}
	for i, number := range seen {
		if want := fmt.Sprintf("26-%04d", 60-i); number != want {
			t.Fatalf("row %d is %s, want %s", i+1, number, want)
		}
	}
	for state, want := range map[string]int{"keep": 6, "open": 50, "reject": 0, "planned": 0} {
		if got := len(find(s.get(t, "/plates?state="+state), with("class", "plate-number"))); got != want {
			t.Errorf("state %s: %d rows, want %d", state, got, want)
		}
	}
	for _, bad := range []string{"/plates?state=sold", "/plates?below=last"} {
		if r := do(s, request("GET", bad, "")); r.StatusCode != http.StatusUnprocessableEntity {
			t.Errorf("GET %s: status %d, want 422", bad, r.StatusCode)
		}
	}
}

// Words find plates, sitters and sittings by their beginnings; a whole number leads to its plate.
func TestFindPlates(t *testing.T) {
	s := storeWith(t, nil)
	sitting := s.sitting(t, s.sitter(t, "Ottilie Brandt"), morning().Add(time.Hour))
	hers := s.poured(t, sitting.ID)
	kept := s.poured(t, sitting.ID)
	s.record(t, kept, studio.Judged, studio.Detail{Verdict: &studio.Verdict{Word: 0, Fate: studio.Keep}})
	doc := s.get(t, "/plates?words=ottil")
	if got := len(find(doc, with("class", "plate-number"))); got != 2 {
		t.Errorf("%d plates of Ottilie found, want 2", got)
	}
	if links := find(find(doc, with("class", "others"))[0], tag("a")); len(links) != 2 {
		t.Errorf("%d sitters and sittings found, want one of each", len(links))
	} else if got := attr(links[0], "href"); !strings.HasPrefix(got, "/desk/sitters/") {
		t.Errorf("the sitter leads to %s", got)
	}
	if rows := find(s.get(t, "/plates?words=ottil&state=keep"), with("class", "plate-number")); len(rows) != 1 || words(rows[0]) != kept.Number.String() {
		t.Errorf("%d kept plates of Ottilie, want 1", len(rows))
	}
	if rows := find(s.get(t, "/plates?words=ottil&state=open"), with("class", "plate-number")); len(rows) != 1 || words(rows[0]) != hers.Number.String() {
		t.Errorf("%d open plates of Ottilie, want 1", len(rows))
	}
	if got := words(find(s.get(t, "/plates?words=nobody"), tag("main"))[0]); !strings.Contains(got, "No plate has “nobody” among its words.") {
		t.Errorf("nothing found: %s", got)
	}
	if r := do(s, request("GET", "/plates?words="+hers.Number.String(), "")); r.Header.Get("Location") != "/plates/"+hers.Number.String() {
		t.Errorf("a whole number: status %d to %q", r.StatusCode, r.Header.Get("Location"))
	}
}

// Pictures may be kept by the browser for ever, since their address never shows another picture:
// not even when a copy before them is voided.
func TestPicturesHaveTheirHeaders(t *testing.T) {
	s := storeWith(t, nil)
	s.file(t, "..\\..\\plate \"one\".png", halves(t), "copy-id-0001")
	s.file(t, "Brücke.jpg", testdata(t, "nagasaki-boats.jpg"), "copy-id-0002")
	for _, tt := range []struct{ what, kind, name string }{
		{"/copies/1/original", "image/png", "plate one.png"},
		{"/copies/2/original", "image/jpeg", "Brücke.jpg"},
		{"/copies/1/true", "image/jpeg", ""},
		{"/copies/1/view", "image/jpeg", ""},
		{"/copies/2/thumb", "image/jpeg", ""},
	} {
		r := do(s, request("GET", s.at(tt.what), ""))
		h := r.Header
		if r.StatusCode != http.StatusOK || h.Get("Content-Type") != tt.kind {
			t.Errorf("%s: status %d, %s, want 200, %s", tt.what, r.StatusCode, h.Get("Content-Type"), tt.kind)
		}
		if !strings.Contains(h.Get("Cache-Control"), "immutable") || h.Get("X-Content-Type-Options") != "nosniff" {
			t.Errorf("%s: %q, %q, want immutable and nosniff", tt.what, h.Get("Cache-Control"), h.Get("X-Content-Type-Options"))
		}
		if tt.name == "" {
			if got := h.Get("Content-Disposition"); got != "" {
				t.Errorf("%s: %q, want it shown in the page", tt.what, got)
			}
			continue
		}
		how, params, err := mime.ParseMediaType(h.Get("Content-Disposition"))
		if err != nil || how != "attachment" || params["filename"] != tt.name {
			t.Errorf("%s: %q (%v), want an attachment named %q", tt.what, h.Get("Content-Disposition"), err, tt.name)
		}
	}
	for _, none := range []string{"/copies/0/view", "/copies/3/view", "/copies/1/raw", "/copies/x/view", "/copies/1/view?is=ffff"} {
		if r := do(s, request("GET", s.at(none), "")); r.StatusCode != http.StatusNotFound {
			t.Errorf("%s: status %d, want 404", none, r.StatusCode)
		}
	}
	second := text(t, do(s, request("GET", s.at("/copies/2/thumb"), "")))
	s.to(t, "/corrections", "id", "void-id-0001", "corrects", "copy-id-0001", "void", "yes")
	if got := text(t, do(s, request("GET", s.at("/copies/2/thumb"), ""))); got != second {
		t.Error("once the first copy is voided, the second has another address")
	}
	thumb := find(s.get(t, "/plates"), with("class", "plate-thumb"))[0]
	if got := text(t, do(s, request("GET", attr(find(thumb, tag("img"))[0], "src"), ""))); got != second {
		t.Error("the list shows another picture than the copy that stands")
	}
	if img := find(thumb, tag("img"))[0]; attr(img, "loading") != "lazy" {
		t.Error("thumbs of a long list are loaded as they come into sight")
	}
}

// The passport is a PDF shown by the browser under the plate's number; a plate that was not poured
// has none.
func TestPassport(t *testing.T) {
	s := storeWith(t, func(cfg *web.Config) {
		cfg.Passport = func(w io.Writer, facts studio.PassportFacts, paper string) error {
			if len(facts.Picture) == 0 {
				return errors.New("no picture")
			}
			_, err := fmt.Fprintf(w, "%%PDF-1.7 %s on %s, poured %s", facts.Story.Number, paper, facts.Story.PouredAt.Format("15:04"))
			return err
		}
	})
	s.file(t, "halves.png", halves(t), "copy-id-0001")
	for query, want := range map[string]string{"": "a4", "?paper=a4": "a4", "?paper=letter": "letter"} {
		r := do(s, request("GET", s.at("/passport.pdf"+query), ""))
		if got := text(t, r); got != "%PDF-1.7 26-0001 on "+want+", poured 10:30" {
			t.Errorf("%q: status %d: %s", query, r.StatusCode, got)
		}
		if got := r.Header.Get("Content-Type"); got != "application/pdf" {
			t.Errorf("content type %q", got)
		}
		if how, params, err := mime.ParseMediaType(r.Header.Get("Content-Disposition")); err != nil || how != "inline" || params["filename"] != "passport-26-0001.pdf" {
			t.Errorf("%q (%v), want it inline under its name", r.Header.Get("Content-Disposition"), err)
		}
	}
	if r := do(s, request("GET", s.at("/passport.pdf?paper=a3"), "")); r.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("on a3: status %d, want 422", r.StatusCode)
	}
	dry := s.planned(t, "")
	r := do(s, request("GET", "/plates/"+dry.Number.String()+"/passport.pdf", ""))
	if said := text(t, r); r.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(said, "is not poured yet, so it has no passport") {
		t.Errorf("not poured: status %d", r.StatusCode)
	}
}

// A plate's page holds together at every point of its life, in every light.
func TestPlatePages(t *testing.T) {
	s := storeWith(t, nil)
	sitting := s.sitting(t, s.sitter(t, "Ottilie Brandt"), morning().Add(time.Hour))
	s.plate = s.planned(t, sitting.ID)
	for i, kind := range []studio.EventKind{"", studio.Poured, studio.InBath, studio.OutOfBath, studio.Loaded, studio.Exposed,
		studio.DeveloperOn, studio.DeveloperOff, studio.Fixed, studio.Washed, studio.Varnished} {
		if kind != "" {
			s.record(t, s.plate, kind, studio.Detail{})
		}
		*s.clock = s.clock.Add(time.Duration(i*i) * 20 * time.Second)
		doc := s.get(t, s.at(""))
		if got := len(find(doc, tag("circle"), with("class", "solid"))); got != i {
			t.Errorf("after %q: %d events on the strip, want %d", kind, got, i)
		}
	}
	if h1 := words(find(s.get(t, s.at("")), tag("h1"))[0]); h1 != "Plate 26-0002" {
		t.Errorf("headed %q", h1)
	}
	for _, none := range []string{"/plates/26-0999", "/plates/x", "/plates/26-0999/passport.pdf"} {
		if r := do(s, request("GET", none, "")); r.StatusCode != http.StatusNotFound {
			t.Errorf("GET %s: status %d, want 404", none, r.StatusCode)
		}
	}
	red := request("GET", s.at(""), "")
	red.AddCookie(&http.Cookie{Name: "light", Value: "red"})
	if body := do(s, red); bytes.Contains([]byte(text(t, body)), []byte("passport.pdf")) {
		t.Error("in red light a white page is one press away")
	}
}
