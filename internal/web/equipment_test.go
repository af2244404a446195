package web_test

import (
	"math"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"platewright/internal/studio"
	"platewright/measure"
)

func lensForm() url.Values {
	return values("name", "Number 5", "form", "portrait, two cells apart", "focal", "8 1/4 in", "circle", "250", "stops", "f/8, 3,6; f/4,5 half  stop\nNo. 2, brass f/5.6",
		"pupil_mag", "1,1", "note", "bought at the fair")
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
	at := "/floor/lenses/" + string(l.ID)
	page := mainWords(h.get(t, "/floor/lenses"))
	for _, words := range []string{"Number 5", "f/3.6 to f/8, 4 of them", "209.5 mm", "in use"} {
		if !strings.Contains(page, words) {
			t.Errorf("the list does not say %q: %s", words, page)
		}
	}
	// Written again as it is shown, nothing changes: no figure is rounded on the way.
	fields := []string{"version", "name", "form", "focal", "circle", "stops", "pupil_mag", "note", "retired"}
	h.post(t, at, h.shownOn(t, at, fields...), http.StatusSeeOther)
	again, err := h.studio.Lens(t.Context(), l.ID)
	if err != nil || math.Abs(float64(again.Focal-l.Focal)) > 1e-9 || again.Circle != l.Circle || len(again.Stops) != 4 || again.Version != 2 {
		t.Errorf("written again as shown it is %+v, %v", again, err)
	}
	// The openings are drawn: 209.55 mm at f/3.6 is a pupil of 58.2 mm.
	svg := find(h.get(t, at), tag("svg"), with("role", "img"))
	if len(svg) != 1 || !strings.Contains(attr(svg[0], "aria-label"), "f/3.6 58.2\u2009mm") {
		t.Errorf("the openings are not drawn or not said")
	}
}

func TestLensRefuses(t *testing.T) {
	h := opened(t, studio.Metric)
	good := but(lensForm(), "stops", "f/3.6, f/4.5 half stop")
	spoilt := map[string]string{"name": " ", "form": strings.Repeat("x", 201), "focal": "long", "circle": "6 km", "stops": "wide open", "pupil_mag": "9", "note": strings.Repeat("x", 4001)}
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
	camera := values("name", "Tailboard", "back", "whole plate", "shortest", "100", "longest", "60 cm", "note", "")
	h.get(t, "/floor/cameras/new")
	h.post(t, "/floor/cameras/new", camera, http.StatusSeeOther)
	h.refusesEach(t, "/floor/cameras/new", camera, map[string]string{"name": "", "back": "biggest", "shortest": "1", "longest": "9 cm", "note": strings.Repeat("x", 4001)})
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
