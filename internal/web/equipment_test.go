package web_test

import (
	"math"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"platewright/internal/studio"
	"platewright/measure"
)

func lensForm() url.Values {
	return values("name", "Number 5", "form", "portrait, two cells apart", "focal", "8 1/4 in", "circle", "250", "stops", "f/8, 3,6; f/4,5 half  stop\nNo. 2, brass f/5.6",
		"pupil_mag", "1,1", "note", "bought at the fair", "design", "portrait-1840", "front_glass", "80", "rear_glass", "3 1/8 in", "barrel", "21 cm", "board_ahead", "\u2212 1/2 in")
}

// shownOn reads a form's fields as a page shows them.
func (h *house) shownOn(t *testing.T, target string, names ...string) url.Values {
	t.Helper()
	doc := h.get(t, target)
	shown := url.Values{}
	for _, name := range names {
		value, _ := kept(doc, name)
		shown.Set(name, value)
	}
	return shown
}

func TestLensIsWrittenDown(t *testing.T) {
	h := opened(t, studio.Metric)
	if got := mainWords(h.get(t, "/floor/lenses")); !strings.Contains(got, "No lens is written down yet") {
		t.Errorf("an empty list says %q", got)
	}
	h.get(t, "/floor/lenses/new")
	// A list with semicolons is parted by them alone, so its commas stay in the names.
	h.post(t, "/floor/lenses/new", but(lensForm(), "stops", "f/8; 3,6; f/4,5 half  stop; No. 2, brass f/5.6"), http.StatusSeeOther)
	all, err := h.studio.Lenses(t.Context())
	if err != nil || len(all) != 1 {
		t.Fatalf("%d lenses, %v", len(all), err)
	}
	l := all[0]
	want := []studio.Stop{{Name: "f/3.6", FNumber: 3.6}, {Name: "half stop", FNumber: 4.5}, {Name: "No. 2, brass", FNumber: 5.6}, {Name: "f/8", FNumber: 8}}
	if len(l.Stops) != len(want) {
		t.Fatalf("stops %v, want %v", l.Stops, want)
	}
	for i, st := range l.Stops {
		if st != want[i] {
			t.Errorf("stop %d is %v, want %v", i, st, want[i])
		}
	}
	// The inch is 25.4 mm exactly [SP811], so 8 1/4 in are 209.55 mm; a bare 250 is millimetres here.
	if math.Abs(float64(l.Focal)-209.55) > 1e-9 || l.Circle != 250 || l.PupilMag != 1.1 {
		t.Errorf("focal %v, circle %v, pupil %v", l.Focal, l.Circle, l.PupilMag)
	}
	if l.Design != "portrait-1840" || l.FrontGlass != 80 || math.Abs(float64(l.RearGlass)-79.375) > 1e-9 || l.Barrel != 210 || math.Abs(float64(l.BoardAhead)+12.7) > 1e-9 {
		t.Errorf("glasses %v and %v, barrel %v, board %v", l.FrontGlass, l.RearGlass, l.Barrel, l.BoardAhead)
	}
	at := "/floor/lenses/" + string(l.ID)
	page := mainWords(h.get(t, "/floor/lenses"))
	for _, words := range []string{"Number 5", "f/3.6 to f/8, 4 of them", "209.5 mm", "in use"} {
		if !strings.Contains(page, words) {
			t.Errorf("the list does not say %q: %s", words, page)
		}
	}
	// Written again as it is shown, nothing changes: no figure is rounded on the way.
	fields := []string{"version", "name", "form", "focal", "circle", "stops", "pupil_mag", "note", "retired", "design", "front_glass", "rear_glass", "barrel", "board_ahead"}
	h.post(t, at, h.shownOn(t, at, fields...), http.StatusSeeOther)
	again, err := h.studio.Lens(t.Context(), l.ID)
	if err != nil || math.Abs(float64(again.Focal-l.Focal)) > 1e-9 || again.Circle != l.Circle || len(again.Stops) != 4 || again.Version != 2 ||
		math.Abs(float64(again.RearGlass-l.RearGlass)) > 1e-9 || math.Abs(float64(again.BoardAhead-l.BoardAhead)) > 1e-9 || again.Design != l.Design || again.FrontGlass != 80 || again.Barrel != 210 {
		t.Errorf("written again as shown it is %+v, %v", again, err)
	}
	// The openings are drawn: 209.55 mm at f/3.6 is a pupil of 58.2 mm.
	svg := find(h.get(t, at), tag("svg"), with("role", "img"))
	if len(svg) != 1 || !strings.Contains(attr(svg[0], "aria-label"), "f/3.6 58.2\u2009mm") {
		t.Errorf("the openings are not drawn or not said")
	}
}

// A lens without a name or a figure on it can be written down: the form and its refusal say that a guess will do.
func TestUnmarkedLensIsAskedForAGuess(t *testing.T) {
	h := opened(t, studio.Metric)
	if got := mainWords(h.get(t, "/floor/lenses/new")); strings.Count(got, "a guess will do until the bench has measured") != 2 {
		t.Errorf("the form does not say it of both figures: %s", got)
	}
	doc := document(t, h.post(t, "/floor/lenses/new", but(but(lensForm(), "focal", ""), "stops", ""), http.StatusUnprocessableEntity))
	if got := mainWords(doc); strings.Count(got, "a guess will do: ") < 2 {
		t.Errorf("the refusal does not say it of both: %s", got)
	}
	h.post(t, "/floor/lenses/new", but(but(lensForm(), "focal", "about"), "focal_guessed", "yes"), http.StatusUnprocessableEntity)
	h.post(t, "/floor/lenses/new", but(but(but(lensForm(), "stops", "f/4.5"), "focal", "310"), "focal_guessed", "yes"), http.StatusSeeOther)
	all, err := h.studio.Lenses(t.Context())
	if err != nil || len(all) != 1 || !all[0].FocalGuessed {
		t.Fatalf("%+v, %v; want one lens with a guess", all, err)
	}
	path := "/floor/bench/" + string(all[0].ID)
	if got := mainWords(h.get(t, path)); !strings.Contains(got, "a guess: the bench has not measured it yet") {
		t.Errorf("the bench takes the guess for a figure: %s", got)
	}
	h.post(t, path+"/two-magnifications", but(but(but(sized(0.1, 0.25, 0.5, 1), "id", "reading-0001"), "write_focal", "yes"), "version", "1"), http.StatusSeeOther)
	if l, err := h.studio.Lens(t.Context(), all[0].ID); err != nil || l.FocalGuessed || l.Focal != 300 {
		t.Errorf("%v guessed %t, %v; want what was measured, written down", l.Focal, l.FocalGuessed, err)
	}
	if got := mainWords(h.get(t, path)); strings.Contains(got, "a guess") {
		t.Errorf("a measured lens is told as a guess: %s", got)
	}
}

func TestLensRefuses(t *testing.T) {
	h := opened(t, studio.Metric)
	good := but(lensForm(), "stops", "f/3.6, f/4.5 half stop")
	spoilt := map[string]string{"name": " ", "form": strings.Repeat("x", 201), "focal": "long", "circle": "6 km", "stops": "wide open", "pupil_mag": "9", "note": strings.Repeat("x", 4001),
		"design": "a window pane", "front_glass": "1.5 m", "rear_glass": "-3", "barrel": "2001", "board_ahead": "-2.5 m"}
	h.refusesEach(t, "/floor/lenses/new", good, spoilt)
	h.refusesEach(t, "/floor/lenses/new", good, map[string]string{"focal": "2", "stops": "", "pupil_mag": "one"})
	h.refusesEach(t, "/floor/lenses/new", good, map[string]string{"stops": "f/4, f/4", "focal": ""})
	l := h.lens(t, "Number 5")
	known := but(but(good, "version", "1"), "retired", "no")
	h.refusesEach(t, "/floor/lenses/"+string(l.ID), known, map[string]string{"focal": "8000", "retired": "perhaps", "stops": "f/300"})
	if all, err := h.studio.Lenses(t.Context()); err != nil || len(all) != 1 || all[0].Version != 1 {
		t.Errorf("refused forms wrote something: %v, %v", all, err)
	}
}

// What is told of a piece beyond the usual stands folded, and open when some of it is refused.
func TestMoreIsFolded(t *testing.T) {
	h := opened(t, studio.Metric)
	folded := func(doc *html.Node) bool {
		t.Helper()
		more := find(doc, tag("details"), func(n *html.Node) bool { return hasClass(n, "record-more") })
		if len(more) != 1 || len(find(more[0], with("name", "barrel"))) != 1 || len(find(more[0], with("name", "focal"))) != 0 {
			t.Fatal("the page has no folded lines, or the wrong ones in them")
		}
		return !slices.ContainsFunc(more[0].Attr, func(a html.Attribute) bool { return a.Key == "open" })
	}
	if !folded(h.get(t, "/floor/lenses/new")) {
		t.Error("a new lens is asked for everything at once")
	}
	if form := but(lensForm(), "stops", "f/3.6"); folded(document(t, h.post(t, "/floor/lenses/new", but(form, "barrel", "long"), http.StatusUnprocessableEntity))) {
		t.Error("what is refused stands folded")
	}
}

// Bare numbers are in the studio's units.
func TestImperialStudioMeasuresInInches(t *testing.T) {
	h := opened(t, studio.Imperial)
	h.post(t, "/floor/cameras/new", values("name", "Tailboard", "back", "whole plate", "shortest", "4", "longest", "24", "note", ""), http.StatusSeeOther)
	all, err := h.studio.Cameras(t.Context())
	if err != nil || len(all) != 1 || all[0].Shortest != 4*measure.Inch || all[0].Longest != 24*measure.Inch {
		t.Fatalf("cameras %v, %v, want 4 and 24 inches", all, err)
	}
	if got := mainWords(h.get(t, "/floor/cameras")); !strings.Contains(got, "6½ × 8½") {
		t.Errorf("the list says %q, want inches", got)
	}
}

func TestCamerasAndHolders(t *testing.T) {
	h := opened(t, studio.Metric)
	camera := values("name", "Tailboard", "back", "whole plate", "shortest", "100", "longest", "60 cm", "note", "",
		"rise", "1 1/2 in", "fall", "", "shift", "20", "front_tilt", "15°", "front_swing", "7.5", "back_tilt", "12,5 degrees", "back_swing", "10 deg", "base_tilt", "yes")
	h.get(t, "/floor/cameras/new")
	h.post(t, "/floor/cameras/new", camera, http.StatusSeeOther)
	h.refusesEach(t, "/floor/cameras/new", camera, map[string]string{"name": "", "back": "biggest", "shortest": "1", "longest": "9 cm", "note": strings.Repeat("x", 4001),
		"rise": "-5", "fall": "6 m", "shift": "far", "front_tilt": "61", "front_swing": "-1", "back_tilt": "much", "back_swing": "1/0", "base_tilt": "perhaps"})
	cameras, err := h.studio.Cameras(t.Context())
	if err != nil || len(cameras) != 1 {
		t.Fatalf("cameras %v, %v", cameras, err)
	}
	written := cameras[0]
	if math.Abs(float64(written.Rise)-38.1) > 1e-9 || written.Fall != 0 || written.Shift != 20 || !written.BaseTilt {
		t.Errorf("rise, fall, shift, foot are %v", written)
	}
	for i, a := range []measure.Angle{written.FrontTilt, written.FrontSwing, written.BackTilt, written.BackSwing} {
		if want := []float64{15, 7.5, 12.5, 10}[i]; math.Abs(a.Degrees()-want) > 1e-9 {
			t.Errorf("angle %d is %v, want %v", i, a, want)
		}
	}
	// Written again as it is shown, nothing changes.
	atCamera := "/floor/cameras/" + string(written.ID)
	h.post(t, atCamera, h.shownOn(t, atCamera, "version", "name", "back", "shortest", "longest", "note", "rise", "fall", "shift", "front_tilt",
		"front_swing", "back_tilt", "back_swing", "base_tilt", "retired"), http.StatusSeeOther)
	again, err := h.studio.Camera(t.Context(), written.ID)
	again.Stamp, again.Rise = written.Stamp, measure.Length(math.Round(float64(again.Rise)*1e9)/1e9)
	written.Rise = measure.Length(math.Round(float64(written.Rise)*1e9) / 1e9)
	if err != nil || again != written {
		t.Errorf("written again as shown it is %+v, want %+v (%v)", again, written, err)
	}
	holder := values("name", "Book holder 2", "size", "half plate", "note", "leaks at the hinge")
	h.get(t, "/floor/holders/new")
	h.post(t, "/floor/holders/new", holder, http.StatusSeeOther)
	h.refusesEach(t, "/floor/holders/new", holder, map[string]string{"name": "", "size": "13x18", "note": strings.Repeat("x", 4001)})
	all, err := h.studio.Holders(t.Context())
	if err != nil || len(all) != 1 {
		t.Fatalf("holders %v, %v", all, err)
	}
	at := "/floor/holders/" + string(all[0].ID)
	retired := h.shownOn(t, at, "version", "name", "size", "note", "retired")
	if retired.Get("retired") != "no" {
		t.Errorf("a holder in use is shown as %q", retired.Get("retired"))
	}
	h.post(t, at, but(retired, "retired", "yes"), http.StatusSeeOther)
	if got := mainWords(h.get(t, "/floor/holders")); !strings.Contains(got, "Book holder 2 half plate") || !strings.Contains(got, "retired") {
		t.Errorf("the list says %q", got)
	}
	// The form was made before the holder was retired: both forms are shown.
	doc := document(t, h.post(t, at, but(retired, "note", "mended"), http.StatusConflict))
	pageInOrder(t, "conflict", doc)
	if got := mainWords(doc); !strings.Contains(got, "in use yours") || !strings.Contains(got, "retired theirs") || !strings.Contains(got, "mended yours") {
		t.Errorf("the conflict says %q", got)
	}
	if r := do(h, request("GET", "/floor/holders/not-there", "")); r.StatusCode != http.StatusNotFound {
		t.Errorf("a holder that is not there: status %d", r.StatusCode)
	}
}

// Two things in use are not called alike; one that is retired gives its name free. An exit pupil of
// nothing is no lens.
func TestNamesOfEquipmentAreFree(t *testing.T) {
	h := opened(t, studio.Metric)
	h.refusesEach(t, "/floor/lenses/new", but(lensForm(), "stops", "f/3.6"), map[string]string{"pupil_mag": "0"})
	for path, form := range map[string]url.Values{
		"/floor/lenses":  but(lensForm(), "stops", "f/3.6"),
		"/floor/cameras": values("name", "Field", "back", "whole plate", "shortest", "80 mm", "longest", "600 mm"),
		"/floor/holders": values("name", "A", "size", "half plate"),
	} {
		h.post(t, path+"/new", form, http.StatusSeeOther)
		if got := h.summary(t, path+"/new", but(form, "name", strings.ToUpper(form.Get("name"))+" ")); !strings.Contains(got["Name"], "in use is called") {
			t.Errorf("%s: a second one of that name is refused with %q", path, got)
		}
		h.post(t, path+"/new", but(form, "name", "another"), http.StatusSeeOther)
		list := h.get(t, path)
		for _, link := range find(list, tag("a")) {
			if words(link) != "another" {
				continue
			}
			known := but(but(form, "version", "1"), "retired", "no")
			if got := h.summary(t, attr(link, "href"), known); got["Name"] == "" {
				t.Errorf("%s: another is given a name that is taken", path)
			}
			h.post(t, attr(link, "href"), but(but(known, "name", "another"), "note", "lent out"), http.StatusSeeOther)
			h.post(t, attr(link, "href"), but(but(but(known, "retired", "yes"), "version", "2"), "name", "another"), http.StatusSeeOther)
		}
		h.post(t, path+"/new", but(form, "name", "another"), http.StatusSeeOther)
	}
}

// A lens changed by two at once is shown in both forms, in the words its form is told in.
func TestLensInTwoForms(t *testing.T) {
	h := opened(t, studio.Metric)
	l := h.lens(t, "Number 5")
	at := "/floor/lenses/" + string(l.ID)
	form := h.shownOn(t, at, "version", "name", "form", "focal", "circle", "stops", "pupil_mag", "note", "retired", "design", "front_glass", "rear_glass", "barrel", "board_ahead")
	h.post(t, at, but(but(form, "design", "triplet"), "board_ahead", "-12"), http.StatusSeeOther)
	doc := document(t, h.post(t, at, but(but(form, "design", "portrait-1840"), "barrel", "18 cm"), http.StatusConflict))
	pageInOrder(t, "conflict", doc)
	got := mainWords(doc)
	for _, want := range []string{"Built like portrait form, 1840 yours", "three-glass form theirs", "From front rim to rear rim 180 yours", "nothing theirs", "-12"} {
		if !strings.Contains(got, want) {
			t.Errorf("the conflict does not show %q: %s", want, got)
		}
	}
}
