package web_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"golang.org/x/net/html"

	"platewright/internal/studio"
	"platewright/internal/studio/studiotest"
	"platewright/internal/web"
	"platewright/measure"
	"platewright/reckon"
)

// house is a served studio on records in memory, with its clock in a test's hand.
type house struct {
	*web.Server
	studio *studio.Studio
	clock  *time.Time
	loc    *time.Location
}

// morning is when these tests begin: a Tuesday.
func morning() time.Time { return time.Date(2026, 11, 24, 9, 30, 0, 0, time.UTC) }

// unbegun is a house before its first questions.
func unbegun(t *testing.T, change func(*web.Config)) *house {
	t.Helper()
	loc, err := time.LoadLocation("Europe/Prague")
	if err != nil {
		t.Fatal(err)
	}
	now := morning()
	h := &house{clock: &now, loc: loc}
	var last atomic.Int64
	h.studio = studio.New(studiotest.NewMemory(), func() time.Time { return *h.clock },
		func() studio.ID { return studio.ID(fmt.Sprintf("test-id-%04d", last.Add(1))) })
	h.Server = local(t, func(cfg *web.Config) {
		cfg.Studio, cfg.Reckon, cfg.Location = h.studio, reckon.New(), loc
		cfg.Clock = func() time.Time { return *h.clock }
		if change != nil {
			change(cfg)
		}
	})
	return h
}

// opened is a house that has begun, of these units, and is otherwise empty.
func opened(t *testing.T, units studio.System) *house {
	t.Helper()
	h := unbegun(t, nil)
	must(t)(h.studio.Begin(t.Context(), studio.Profile{Name: "Atelier at the Lock", Units: units, Place: "Lower Mill"}))
	return h
}

// must ends the test on an error of a call whose result is not wanted.
func must(t *testing.T) func(any, error) {
	t.Helper()
	return func(_ any, err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
}

// sitter, sitting and lens store one of each.
func (h *house) sitter(t *testing.T, name string) studio.Sitter {
	t.Helper()
	r, err := h.studio.AddSitter(t.Context(), studio.Sitter{Name: name})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func (h *house) sitting(t *testing.T, sitter studio.Sitter, at time.Time) studio.Sitting {
	t.Helper()
	size, err := measure.ParsePlateSize("half plate")
	if err != nil {
		t.Fatal(err)
	}
	r, err := h.studio.Book(t.Context(), studio.Sitting{Sitter: sitter.ID, At: at, Lasts: time.Hour, Purpose: "a likeness", Size: size, Plates: 2})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func (h *house) lens(t *testing.T, name string) studio.Lens {
	t.Helper()
	r, err := h.studio.AddLens(t.Context(), studio.Lens{Name: name, Focal: 210, PupilMag: 1, Stops: []studio.Stop{{FNumber: 3.6}, {FNumber: 4.5}}})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// get asks for a page, which must be there.
func (h *house) get(t *testing.T, target string) *html.Node {
	t.Helper()
	r := do(h, request("GET", target, ""))
	if r.StatusCode != http.StatusOK {
		t.Fatalf("GET %s: status %d: %s", target, r.StatusCode, text(t, r))
	}
	doc := document(t, r)
	pageInOrder(t, target, doc)
	return doc
}

// post sends a form and asks for a status.
func (h *house) post(t *testing.T, target string, form url.Values, want int) *http.Response {
	t.Helper()
	r := do(h, request("POST", target, form.Encode()))
	if r.StatusCode != want {
		t.Fatalf("POST %s %v: status %d, want %d: %s", target, form, r.StatusCode, want, text(t, r))
	}
	return r
}

// values makes a form of pairs.
func values(pairs ...string) url.Values {
	v := url.Values{}
	for i := 0; i+1 < len(pairs); i += 2 {
		v.Set(pairs[i], pairs[i+1])
	}
	return v
}

// but is a form with one field changed.
func but(form url.Values, name, value string) url.Values {
	changed := url.Values{}
	for k, v := range form {
		changed[k] = v
	}
	changed.Set(name, value)
	return changed
}

// pageInOrder holds every screen to one h1, one main, unique ids, a label for every input and
// described-by ids that exist.
func pageInOrder(t *testing.T, where string, doc *html.Node) {
	t.Helper()
	for _, once := range []string{"h1", "main"} {
		if n := len(find(doc, tag(once))); n != 1 {
			t.Errorf("%s: %d %s, want 1", where, n, once)
		}
	}
	ids := map[string]bool{}
	for _, n := range find(doc, func(n *html.Node) bool { return attr(n, "id") != "" }) {
		if ids[attr(n, "id")] {
			t.Errorf("%s: id %q twice", where, attr(n, "id"))
		}
		ids[attr(n, "id")] = true
	}
	inputs := find(doc, func(n *html.Node) bool { return n.Data == "input" || n.Data == "textarea" })
	for _, in := range inputs {
		if attr(in, "type") == "hidden" {
			continue
		}
		labelled := len(find(doc, tag("label"), with("for", attr(in, "id")))) == 1
		for up := in.Parent; up != nil; up = up.Parent {
			labelled = labelled || up.Data == "label"
		}
		if !labelled {
			t.Errorf("%s: field %s has no label", where, attr(in, "name"))
		}
		for _, id := range strings.Fields(attr(in, "aria-describedby")) {
			if !ids[id] {
				t.Errorf("%s: field %s is described by %q, which is not there", where, attr(in, "name"), id)
			}
		}
	}
	for _, n := range find(doc, func(n *html.Node) bool { return attr(n, "style") != "" }) {
		t.Errorf("%s: %s carries a style attribute, which the policy forbids", where, n.Data)
	}
	for _, n := range find(doc, tag("label")) {
		if id := attr(n, "for"); id != "" && !ids[id] {
			t.Errorf("%s: a label is for %q, which is not there", where, id)
		}
	}
	for _, n := range find(doc, func(n *html.Node) bool { return strings.Contains(attr(n, "href")+attr(n, "src"), "/static/missing/") }) {
		t.Errorf("%s: %s names a file that does not exist: %s%s", where, n.Data, attr(n, "href"), attr(n, "src"))
	}
}

// kept tells what a form sent back shows in a field, and what is wrong with it.
func kept(doc *html.Node, name string) (value, problem string) {
	for _, n := range find(doc, func(n *html.Node) bool { return attr(n, "name") == name }) {
		switch {
		case n.Data == "textarea":
			value = words(n)
		case attr(n, "type") == "radio":
			for _, a := range n.Attr {
				if a.Key == "checked" {
					value = attr(n, "value")
				}
			}
		default:
			value = attr(n, "value")
		}
	}
	for _, prefix := range []string{"f-", "c-"} {
		for _, n := range find(doc, with("id", prefix+name+"-error")) {
			problem = words(n)
		}
	}
	return value, problem
}

// refusesEach posts the form with one field spoilt at a time: 422, a sentence at that field, and
// everything typed still there.
func (h *house) refusesEach(t *testing.T, target string, good url.Values, spoilt map[string]string) {
	t.Helper()
	for name, value := range spoilt {
		t.Run(name+"="+value, func(t *testing.T) {
			sent := but(good, name, value)
			doc := document(t, h.post(t, target, sent, http.StatusUnprocessableEntity))
			pageInOrder(t, target, doc)
			if _, problem := kept(doc, name); problem == "" {
				t.Errorf("nothing is said at %s: %s", name, words(find(doc, tag("main"))[0]))
			}
			for field := range sent {
				if field == name && len(find(doc, with("name", name), with("type", "radio"))) > 0 {
					continue // what is none of the choices cannot be shown as chosen; the sentence repeats it
				}
				if got, _ := kept(doc, field); got != strings.Join(strings.Fields(sent.Get(field)), " ") && got != sent.Get(field) {
					t.Errorf("%s shows %q, typed was %q", field, got, sent.Get(field))
				}
			}
		})
	}
}

// Until the studio has begun, every page leads to the first questions.
func TestEveryPageLeadsToTheFirstQuestions(t *testing.T) {
	h := unbegun(t, nil)
	for _, path := range []string{"/", "/desk", "/floor", "/darkroom/26-0001", "/plates?words=a"} {
		r := do(h, request("GET", path, ""))
		if r.StatusCode != http.StatusSeeOther || r.Header.Get("Location") != "/begin" {
			t.Errorf("GET %s: status %d to %q, want 303 to /begin", path, r.StatusCode, r.Header.Get("Location"))
		}
	}
	part := request("GET", "/desk", "")
	part.Header.Set("HX-Request", "true")
	if r := do(h, part); r.Header.Get("HX-Redirect") != "/begin" {
		t.Errorf("a fragment asked for before the beginning: %v", r.Header)
	}
	must(t)(h.studio.Begin(t.Context(), studio.Profile{Name: "Atelier at the Lock", Units: studio.Metric}))
	if r := do(h, request("GET", "/", "")); r.Header.Get("Location") != "/desk" {
		t.Errorf("after the beginning / leads to %q, want /desk", r.Header.Get("Location"))
	}
}

// slip gives the words of the slip on a page that is about nothing in particular.
func (h *house) slip(t *testing.T) (*html.Node, string) {
	t.Helper()
	doc := document(t, do(h, request("GET", "/about", "")))
	slips := find(doc, with("id", "slip"))
	if len(slips) != 1 {
		t.Fatalf("%d slips on the page", len(slips))
	}
	return slips[0], words(slips[0])
}

// The slip shows today's next sitting until a plate is in hand, then that plate with its wet time,
// and lets it go three hours after it was last touched.
func TestSlipShowsWhatIsInHand(t *testing.T) {
	h := opened(t, studio.Metric)
	if _, got := h.slip(t); !strings.Contains(got, "Nothing in hand") {
		t.Errorf("an empty studio's slip says %q", got)
	}
	sitter := h.sitter(t, "Ottilie Brandt")
	past := h.sitting(t, h.sitter(t, "Jonas Weir"), morning().Add(-2*time.Hour))
	sitting := h.sitting(t, sitter, morning().Add(time.Hour))
	if _, got := h.slip(t); !strings.Contains(got, "Sitting in hand 11:30 Ottilie Brandt") || strings.Contains(got, "Weir") {
		t.Errorf("the slip says %q, want the sitting at 11:30 in the studio's place and not the one at %v that is over", got, past.At)
	}
	lens := h.lens(t, "Number 5")
	plan := studio.Plan{Sitting: sitting.ID, Size: sitting.Size, Lens: lens.ID, Stop: lens.Stops[0], Distance: 2000, Magnification: 0.1, Exposure: 4 * time.Second}
	plate, err := h.studio.PlanPlate(t.Context(), plan)
	if err != nil {
		t.Fatal(err)
	}
	number := plate.Number.String()
	slip, got := h.slip(t)
	for _, want := range []string{"Plate in hand " + number, "Ottilie Brandt", "half plate", "Number 5, f/3.6", "Pour the collodion"} {
		if !strings.Contains(got, want) {
			t.Errorf("the slip says %q, want %q in it", got, want)
		}
	}
	if len(find(slip, tag("a"), with("href", "/darkroom/"+number))) != 1 {
		t.Error("the slip has no link to the plate's clock")
	}
	if len(find(slip, func(n *html.Node) bool { return attr(n, "data-left") != "" })) != 0 {
		t.Error("a plate that is not poured counts down already")
	}
	for i, kind := range []studio.EventKind{studio.Poured, studio.InBath, studio.OutOfBath} {
		must(t)(h.studio.Record(t.Context(), plate.Number, studio.Event{ID: studio.ID("event-" + number + string(rune('a'+i))), Kind: kind, At: *h.clock}))
	}
	*h.clock = h.clock.Add(4 * time.Minute)
	plan.Sitting = ""
	must(t)(h.studio.PlanPlate(t.Context(), plan))
	slip, got = h.slip(t)
	if !strings.Contains(got, number) || !strings.Contains(got, "Drain, wipe the back") {
		t.Errorf("the slip says %q, want the wet plate rather than the newer one only planned", got)
	}
	// Out of the bath four minutes ago, of the ten that are common practice: six are left.
	if left := find(slip, func(n *html.Node) bool { return attr(n, "data-left") != "" }); len(left) != 1 || words(left[0]) != "6:00 of wet left" {
		t.Errorf("the slip %q does not count down from 6:00", got)
	}
	*h.clock = h.clock.Add(3*time.Hour + time.Minute)
	if _, got := h.slip(t); strings.Contains(got, number) {
		t.Errorf("three hours later the slip still says %q", got)
	}
}
