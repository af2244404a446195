package web_test

import (
	"fmt"
	"io"
	"math"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"platewright/internal/studio"
	"platewright/internal/web"
	"platewright/measure"
	"platewright/optics/bench"
)

// brass is a lens of 300 mm on the bench, written down as 310 mm.
func (h *house) brass(t *testing.T) (l studio.Lens, path string) {
	t.Helper()
	l, err := h.studio.AddLens(t.Context(), studio.Lens{Name: "Brass", Form: "portrait, two cells apart", Focal: 310, PupilMag: 1,
		Stops: []studio.Stop{{FNumber: 4.5}, {Name: "second", FNumber: 8}}})
	if err != nil {
		t.Fatal(err)
	}
	return l, "/floor/bench/" + string(l.ID)
}

// sized are settings of a lens of 300 mm at these magnifications by e = f(1+m) [PupilDof04], a rule of 200 mm.
func sized(magnifications ...float64) url.Values {
	v := values("asked", "yes", "object", "200", "focus_sd", "0.3", "image_sd", "0.15", "planes", "no")
	for i, m := range magnifications {
		v.Set(fmt.Sprintf("rail_%d", i+1), fmt.Sprintf("%.3f", 300*(1+m)))
		v.Set(fmt.Sprintf("image_%d", i+1), fmt.Sprintf("%.3f", 200*m))
	}
	return v
}

// onBench are forms of all methods, for a lens of 300 mm whose figures follow by hand from the identity beside
// each, and what must be found.
var onBench = []struct {
	method string
	form   url.Values
	name   bench.Name
	want   float64
	tol    float64
}{
	{"two-magnifications", sized(0.1, 0.25, 0.5, 1), bench.Focal, 300, 0.01},                                                                                                                                     // f = Δe/Δm
	{"far-target", values("way", "turn", "angle_sd", "0.1", "image_sd", "0.15", "angle_1", "10", "image_1", "52.898", "angle_2", "20°", "image_2", "109.191"), bench.Focal, 300, 0.1},                            // y = f tan θ
	{"far-target", values("way", "mark", "object", "200", "focus_sd", "0.3", "infinity_sd", "0.3", "image_sd", "0.15", "rail_1", "30", "image_1", "20", "rail_2", "75", "image_2", "50"), bench.Focal, 300, 0.1}, // e - e∞ = f m
	{"known-object", values("object", "200", "image_sd", "0.15", "distance_sd", "3", "target_1", "1875", "image_1", "50", "target_2", "1.35 m", "image_2", "100"), bench.Focal, 300, 0.1},                        // T = f(2+m+1/m)
	{"nodal-point", values("distance_sd", "0.5", "axis_sd", "0.5", "axis_1", "300", "axis_2", "300.4", "axis_3", "299.6"), bench.Focal, 300, 0.01},
	{"entrance-pupil", values("way", "disc", "read_sd", "0.3", "focal", "300", "focal_sd", "3", "disc_1", "60", "disc_2", "60"), bench.FNumber, 5, 0.01},                                                                                    // N = f/D
	{"stops", values("focal", "300", "focal_sd", "3", "hole_sd", "0.1", "stop_1", "first", "hole_1", "50", "pupil_1", "60", "stop_2", "second", "hole_2", "25", "hole_3", "40", "pupil_3", "48", "wanted", "f/8"), bench.Hole, 31.25, 0.02}, // hole = f/(N k), k = 60/50
	{"pupils", values("read_sd", "0.3", "front_1", "60", "rear_1", "54"), bench.PupilMag, 0.9, 0.001},
	{"field-curve", values("focus_sd", "0.3", "height_sd", "0.5", "fourth", "no", "height_1", "0", "rail_1", "500", "height_2", "30", "rail_2", "499.5", "height_3", "-60", "rail_3", "498", "height_4", "90", "rail_4", "495.5",
		"lines_1", "any", "lines_2", "any", "lines_3", "any", "lines_4", "any"), bench.Curve, 900, 12}, // Δ = h²/2R; heights have errors of their own
	{"coverage", values("stop", "second", "edge_sd", "3", "focal", "300", "focal_sd", "3", "pupil_mag", "1", "edge_1", "100", "kind_1", "sharp", "edge_2", "100", "kind_2", "sharp"), bench.Circle, 200, 0.1},
	{"focus-shift", values("focus_sd", "0.3", "stop_1", "f/4.5", "rail_1", "500", "stop_2", "f/4.5", "rail_2", "500", "stop_3", "second", "rail_3", "502", "stop_4", "f/8", "rail_4", "502"), bench.FocusShift, 2, 0.01},
	{"chemical-focus", values("step", "5", "magnification", "1/4", "focal", "300", "focal_sd", "3", "card_1", "2"), bench.Chemical, 0.4, 0.01}, // δs m²/(1+m)², to first order
}

// identity: every method finds by way of its form what the figures in it were made from, is kept as the bench
// answered, and shows the same again when it is measured again from what was kept.
func TestEveryMethodFindsAndKeeps(t *testing.T) {
	for i, tt := range onBench {
		t.Run(fmt.Sprint(i, " ", tt.method), func(t *testing.T) {
			h := opened(t, studio.Metric)
			l, path := h.brass(t)
			h.get(t, path+"/"+tt.method)
			form := but(tt.form, "asked", "yes")
			page := h.get(t, path+"/"+tt.method+"?"+form.Encode())
			if figures := find(page, tag("section"), func(n *html.Node) bool { return strings.Contains(attr(n, "class"), "with-rows") }); len(figures) != 1 {
				t.Fatalf("%d steps with rows", len(figures))
			}
			form.Set("id", "reading-0001")
			form.Set("by", "Odile")
			h.post(t, path+"/"+tt.method, form, http.StatusSeeOther)
			h.post(t, path+"/"+tt.method, form, http.StatusSeeOther)
			readings, err := h.studio.LensReadings(t.Context(), l.ID)
			if err != nil || len(readings) != 1 {
				t.Fatalf("%d readings kept, %v; want one however often it is sent", len(readings), err)
			}
			f, err := bench.ReadFound(readings[0].Answer)
			if err != nil {
				t.Fatal(err)
			}
			r, ok := f.Get(tt.name)
			if !ok || r.Value == nil || math.Abs(*r.Value-tt.want) > tt.tol {
				t.Errorf("%s is %v, want %g ± %g", tt.name, r, tt.want, tt.tol)
			}
			shown := h.get(t, path+"/readings/reading-0001")
			said := mainWords(shown)
			if strings.Contains(said, "_mm") || strings.Contains(said, "_sd") {
				t.Errorf("a key of the reckoning is on the screen: %s", said)
			}
			again := find(shown, tag("a"), func(n *html.Node) bool { return words(n) == "Measure again from these" })
			if len(again) != 1 {
				t.Fatal("no way to measure again")
			}
			strip := find(h.get(t, attr(again[0], "href")), with("id", "strip"))
			if len(strip) != 1 || !strings.Contains(words(find(page, with("id", "strip"))[0]), words(strip[0])) {
				t.Errorf("measured again it says %q, before it said %q", words(strip[0]), words(find(page, with("id", "strip"))[0]))
			}
		})
	}
}

// A form that is being filled in is answered with what it says so far: the chief figure, the strip, how each line
// was read; a disagreeing reading is marked by its shape and told in a sentence.
func TestBenchAnswersWhileOneWrites(t *testing.T) {
	h := opened(t, studio.Metric)
	_, path := h.brass(t)
	part := func(form url.Values) *html.Node {
		r := request("GET", path+"/two-magnifications?"+form.Encode(), "")
		r.Header.Set("HX-Request", "true")
		r.Header.Set("HX-Target", "div#found")
		w := do(h, r)
		if w.StatusCode != http.StatusOK {
			t.Fatalf("status %d", w.StatusCode)
		}
		return document(t, w)
	}
	form := sized(0.1, 0.25, 0.5, 0.75, 1)
	doc := part(form)
	if got := words(find(doc, with("id", "strip"))[0]); !strings.Contains(got, "Focal length 300.") {
		t.Errorf("the strip says %q", got)
	}
	if len(find(doc, tag("main"))) != 0 {
		t.Error("a part of the page is the whole page")
	}
	form.Set("rail_4", "531") // 6 mm off
	doc = part(form)
	if off := find(doc, tag("rect"), with("class", "off")); len(off) != 2 { // against the line, and among what departs from it
		t.Errorf("%d open squares, want 2", len(off))
	}
	if got := words(find(doc, tag("ul"), with("class", "disagreements"))[0]); !strings.Contains(got, "Reading 4") {
		t.Errorf("the reading that disagrees is told as %q", got)
	}
	form.Del("object")
	if got := words(find(part(form), with("id", "strip"))[0]); !strings.Contains(got, "length between two marks") {
		t.Errorf("without the rule's length the strip says %q", got)
	}
}

// What was measured goes into the lens's record only where that is ticked, and a record that was changed meanwhile
// is not written over.
func TestBenchWritesTheRecord(t *testing.T) {
	h := opened(t, studio.Metric)
	l, path := h.brass(t)
	form := but(but(sized(0.1, 0.5, 1), "id", "reading-0001"), "version", "1")
	h.post(t, path+"/two-magnifications", form, http.StatusSeeOther)
	if now, err := h.studio.Lens(t.Context(), l.ID); err != nil || now.Focal != 310 || now.Version != 1 {
		t.Errorf("unticked, the record says %v in version %d (%v)", now.Focal, now.Version, err)
	}
	page := h.get(t, path+"/two-magnifications?"+form.Encode())
	if ticks := find(page, tag("input"), with("name", "write_focal"), hasAttr("checked")); len(ticks) != 1 {
		t.Errorf("%d ticks for the focal length are set, want 1", len(ticks))
	}
	form.Set("id", "reading-0002")
	form.Set("write_focal", "yes")
	h.post(t, path+"/two-magnifications", form, http.StatusSeeOther)
	now, err := h.studio.Lens(t.Context(), l.ID)
	if err != nil || now.Focal != 300 || now.Version != 2 {
		t.Errorf("ticked, the record says %v in version %d (%v)", now.Focal, now.Version, err)
	}
	form.Set("id", "reading-0003") // still from version 1
	now.Focal = 295
	must(t)(h.studio.ChangeLens(t.Context(), now))
	r := h.post(t, path+"/two-magnifications", form, http.StatusConflict)
	if said := mainWords(document(t, r)); !strings.Contains(said, "The reading is kept") {
		t.Errorf("the conflict says %q", said)
	}
	if readings, err := h.studio.LensReadings(t.Context(), l.ID); err != nil || len(readings) != 3 {
		t.Errorf("%d readings, want 3 (%v)", len(readings), err)
	}
}

// The stops that are found go into the record by their names, the full opening by its place.
func TestBenchWritesStops(t *testing.T) {
	h := opened(t, studio.Metric)
	l, path := h.brass(t)
	form := but(but(onBench[6].form, "id", "reading-0001"), "write_stops", "yes")
	form.Set("version", "1")
	h.post(t, path+"/stops", form, http.StatusSeeOther)
	now, err := h.studio.Lens(t.Context(), l.ID)
	if err != nil {
		t.Fatal(err)
	}
	want := []studio.Stop{{Name: "f/4.5", FNumber: 4.5}, {Name: "first", FNumber: 5}, {Name: "second", FNumber: 10}} // 300/60, and 300/(1.2 · 25)
	if len(now.Stops) != len(want) {
		t.Fatalf("stops %v, want %v", now.Stops, want)
	}
	for i, st := range now.Stops {
		if st.Name != want[i].Name || math.Abs(float64(st.FNumber-want[i].FNumber)) > 0.051 {
			t.Errorf("stop %d is %v, want %v", i, st, want[i])
		}
	}
}

// A row written in half, a line that cannot be read and a figure the bench does not take are told where they stand;
// nothing is kept.
func TestBenchRefuses(t *testing.T) {
	h := opened(t, studio.Metric)
	l, path := h.brass(t)
	for name, tt := range map[string]struct {
		change func(url.Values)
		says   string
	}{
		"half a row":     {func(v url.Values) { v.Set("rail_4", "400") }, "Row 4, image : is empty; write it, or clear the row"},
		"not a length":   {func(v url.Values) { v.Set("image_2", "long") }, "Image:"},
		"no error":       {func(v url.Values) { v.Set("focus_sd", "60 mm") }, "60"},
		"one reading":    {func(v url.Values) { v.Del("rail_2"); v.Del("image_2"); v.Del("rail_3"); v.Del("image_3") }, "One more setting"},
		"far too large":  {func(v url.Values) { v.Set("image_2", "5 m") }, "5"},
		"by its label":   {func(v url.Values) { v.Set("object", "long") }, "Length between two marks of the rule : length"},
		"row by label":   {func(v url.Values) { v.Set("image_2", "long") }, "Row 2, image : length"},
		"power of ten":   {func(v url.Values) { v.Set("object", "1e99") }, "more than can be measured; write it out in figures"},
		"no rule at all": {func(v url.Values) { v.Del("object") }, "length between two marks"},
	} {
		t.Run(name, func(t *testing.T) {
			form := sized(0.1, 0.5, 1)
			form.Set("id", "reading-0001")
			tt.change(form)
			doc := document(t, h.post(t, path+"/two-magnifications", form, http.StatusUnprocessableEntity))
			pageInOrder(t, path, doc)
			said := mainWords(doc)
			if !strings.Contains(said, tt.says) || strings.Contains(said, "_mm") || strings.Contains(said, "method.") {
				t.Errorf("it says %q, want %q in it and no keys", said, tt.says)
			}
		})
	}
	doc := document(t, h.post(t, path+"/two-magnifications", values("asked", "yes", "id", "reading-0001"), http.StatusUnprocessableEntity))
	for _, a := range find(doc, tag("a"), func(n *html.Node) bool { return strings.HasPrefix(attr(n, "href"), "#f-") }) {
		if len(find(doc, with("id", attr(a, "href")[1:]))) != 1 {
			t.Errorf("a refusal leads to %s, which is not there", attr(a, "href"))
		}
	}
	if readings, err := h.studio.LensReadings(t.Context(), l.ID); err != nil || len(readings) != 0 {
		t.Errorf("%d readings were kept, %v", len(readings), err)
	}
	for _, at := range []string{path + "/by-guess", "/floor/bench/nobody", path + "/readings/none", path + "/sheet.pdf"} {
		if r := do(h, request("GET", at, "")); r.StatusCode != http.StatusNotFound {
			t.Errorf("GET %s: status %d, want 404", at, r.StatusCode)
		}
	}
}

// A form sent twice keeps one reading. One that was kept, gone back to and written anew is not taken for the
// first: it is shown again with all that was typed, and kept beside the other when it is sent once more.
func TestBenchLosesNoReading(t *testing.T) {
	h := opened(t, studio.Metric)
	l, path := h.brass(t)
	count := func() int {
		t.Helper()
		readings, err := h.studio.LensReadings(t.Context(), l.ID)
		if err != nil {
			t.Fatal(err)
		}
		return len(readings)
	}
	form := but(but(sized(0.1, 0.5, 1), "id", "reading-0001"), "note", "by window")
	for range 2 {
		h.post(t, path+"/two-magnifications", form, http.StatusSeeOther)
	}
	if count() != 1 {
		t.Fatalf("%d readings of a form sent twice", count())
	}
	form.Set("rail_1", "330.4")
	doc := document(t, h.post(t, path+"/two-magnifications", form, http.StatusUnprocessableEntity))
	if count() != 1 || !strings.Contains(mainWords(doc), "kept already, with other figures") {
		t.Errorf("%d readings; it says %q", count(), mainWords(doc))
	}
	typed := func(name string) string {
		t.Helper()
		all := find(doc, tag("input"), with("name", name))
		if len(all) != 1 {
			t.Fatalf("%d fields %s", len(all), name)
		}
		return attr(all[0], "value")
	}
	if typed("rail_1") != "330.4" || typed("id") == "reading-0001" || typed("id") == "" {
		t.Errorf("the form is shown with rail %q and id %q", typed("rail_1"), typed("id"))
	}
	form.Set("id", typed("id"))
	h.post(t, path+"/two-magnifications", form, http.StatusSeeOther)
	if count() != 2 {
		t.Errorf("%d readings, want both", count())
	}
}

// A reading is withdrawn with a reason, counts no more, and stays readable, struck.
func TestWithdrawnReadingStaysReadable(t *testing.T) {
	h := opened(t, studio.Metric)
	_, path := h.brass(t)
	h.post(t, path+"/two-magnifications", but(sized(0.1, 0.5, 1), "id", "reading-0001"), http.StatusSeeOther)
	if got := mainWords(h.get(t, path)); !strings.Contains(got, "Focal length 300.0") {
		t.Errorf("the bench says %q", got)
	}
	at := path + "/readings/reading-0001"
	h.post(t, at+"/withdraw", values("id", "withdraw-0001"), http.StatusUnprocessableEntity)
	h.post(t, at+"/withdraw", values("id", "withdraw-0001", "note", "the rule had slipped", "by", "Odile"), http.StatusSeeOther)
	page := h.get(t, path)
	if rows := find(page, tag("tr"), with("class", "withdrawn")); len(rows) != 1 || !strings.Contains(words(rows[0]), "300.0") {
		t.Errorf("%d struck rows", len(rows))
	}
	if got := mainWords(page); strings.Contains(got, "Focal length 300.0") || !strings.Contains(got, "Focal length 310") {
		t.Errorf("a withdrawn reading still counts: %s", got)
	}
	kept := h.get(t, at)
	if got := mainWords(kept); !strings.Contains(got, "the rule had slipped") || !strings.Contains(got, "300.0") {
		t.Errorf("the withdrawn reading says %q", got)
	}
	if len(find(kept, tag("form"), func(n *html.Node) bool { return strings.Contains(attr(n, "action"), "withdraw") })) != 0 {
		t.Error("it can be withdrawn twice")
	}
}

// The bench lists every lens with what is known and on what basis, and without a lens asks for one.
func TestBenchListsLenses(t *testing.T) {
	h := opened(t, studio.Imperial)
	if got := mainWords(h.get(t, "/floor/bench")); !strings.Contains(got, "There is no lens to measure yet") {
		t.Errorf("without a lens it says %q", got)
	}
	_, path := h.brass(t)
	h.post(t, path+"/two-magnifications", but(but(sized(0.1, 0.5, 1), "id", "reading-0001"), "object", "200 mm"), http.StatusUnprocessableEntity) // bare figures are inches here
	got := mainWords(h.get(t, "/floor/bench"))
	for _, want := range []string{"Brass", "12 3/16 in", "as written down", "Nothing measured yet", "Chemical focus"} {
		if !strings.Contains(got, want) {
			t.Errorf("the list does not say %q: %s", want, got)
		}
	}
}

// The lens's sheet holds what is known, each on its basis, the stops, the readings and what disagrees.
func TestLensSheetHoldsAll(t *testing.T) {
	var got web.LensSheet
	var paper string
	h := unbegun(t, func(cfg *web.Config) {
		cfg.LensSheet = func(w io.Writer, facts web.LensSheet, sheet string) error {
			got, paper = facts, sheet
			_, err := io.WriteString(w, "%PDF-")
			return err
		}
	})
	must(t)(h.studio.Begin(t.Context(), studio.Profile{Name: "Atelier at the Lock", Units: studio.Metric}))
	_, path := h.brass(t)
	form := sized(0.1, 0.25, 0.5, 0.75, 1)
	form.Set("rail_4", "531")
	h.post(t, path+"/two-magnifications", but(form, "id", "reading-0001"), http.StatusSeeOther)
	h.post(t, path+"/stops", but(onBench[6].form, "id", "reading-0002"), http.StatusSeeOther)
	r := do(h, request("GET", path+"/sheet.pdf?paper=letter", ""))
	if r.StatusCode != http.StatusOK || r.Header.Get("Content-Type") != "application/pdf" || text(t, r) != "%PDF-" {
		t.Fatalf("status %d, %s", r.StatusCode, r.Header.Get("Content-Type"))
	}
	if paper != "letter" || got.Name != "Brass" || got.Studio != "Atelier at the Lock" || len(got.Readings) != 2 || len(got.Graphs) == 0 || len(got.Disagrees) != 1 {
		t.Errorf("on %s: %+v", paper, got)
	}
	if len(got.Known) == 0 || got.Known[0].Word != "Focal length" || !strings.Contains(got.Known[0].Basis, "measured 24 November 2026") {
		t.Errorf("known %+v", got.Known)
	}
	// k = 60/50, so the pupil of 66.7 mm of f/4.5 needs a hole of 66.7/1.2 mm; the hole of the second was measured as
	// 25 mm, and the first is kept by the reading alone: 300/60 = f/5.
	if len(got.Stops) != 3 || got.Stops[0].Hole == "" || got.Stops[1].Hole != "25.00\u2009mm" ||
		got.Stops[2].Name != "first" || got.Stops[2].FNumber != "f/5" || got.Stops[2].Hole != "50.00\u2009mm" {
		t.Errorf("stops %+v", got.Stops)
	}
	// 300 mm / (8 · 1.2) is 31.25 mm, which is 1.230 in [SP811].
	if len(got.Holes) != 1 || got.Holes[0].FNumber != "f/8" || !strings.HasPrefix(got.Holes[0].Across, "31.2") || !strings.Contains(got.Holes[0].Across, "±") || !strings.HasPrefix(got.Holes[0].Other, "1.230 ± 0.") {
		t.Errorf("holes %+v", got.Holes)
	}
	if r := do(h, request("GET", path+"/sheet.pdf?paper=napkin", "")); r.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("on a napkin: status %d, want 422", r.StatusCode)
	}
}

// What is known, what was kept and the list of lenses tell one band of one measurement: the bench's own interval.
func TestOneBandEverywhere(t *testing.T) {
	h := opened(t, studio.Metric)
	_, path := h.brass(t)
	form := sized(0.1, 0.5, 1)
	form.Set("rail_2", "454") // three settings that do not lie on one line: few readings, a wide band
	h.post(t, path+"/two-magnifications", but(form, "id", "reading-0001"), http.StatusSeeOther)
	readings, err := h.studio.LensReadings(t.Context(), studio.ID(strings.TrimPrefix(path, "/floor/bench/")))
	if err != nil || len(readings) != 1 {
		t.Fatalf("%d readings, %v", len(readings), err)
	}
	f, err := bench.ReadFound(readings[0].Answer)
	if err != nil {
		t.Fatal(err)
	}
	r, _ := f.Get(bench.Focal)
	want := fmt.Sprintf("± %.0f", (*r.High95-*r.Low95)/2)
	if *r.SD*1.96*2 > *r.High95-*r.Low95 {
		t.Fatal("the example does not tell the two bands apart")
	}
	for _, at := range []string{"/floor/bench", path, path + "/readings/reading-0001", path + "?kept=reading-0001"} {
		if got := mainWords(h.get(t, at)); !strings.Contains(got, want) || strings.Contains(got, fmt.Sprintf("± %.0f", *r.SD*1.96)) {
			t.Errorf("%s does not say %s alone: %s", at, want, got)
		}
	}
}

// The f-numbers of a series are read as people list them.
func TestBenchReadsSeries(t *testing.T) {
	h := opened(t, studio.Metric)
	_, path := h.brass(t)
	for i, series := range []string{"4.5,5.6,8,11,16", "4.5, 5.6, 8, 11, 16", "f/4.5 f/5.6 f/8 f/11 f/16", "4,5 5,6 8 11 16", "f/4.5,f/5.6;8\n11,16", "4,5; 5,6; 8; 11; 16"} {
		id := fmt.Sprintf("reading-%04d", i+1)
		h.post(t, path+"/stops", but(but(onBench[6].form, "wanted", series), "id", id), http.StatusSeeOther)
		readings, err := h.studio.LensReadings(t.Context(), studio.ID(strings.TrimPrefix(path, "/floor/bench/")))
		if err != nil || len(readings) != i+1 || !strings.Contains(readings[i].Question, `"wanted":[4.5,5.6,8,11,16]`) {
			t.Errorf("%q: %v, asked %s", series, err, readings[len(readings)-1].Question)
		}
	}
}

// Holes are told in inches to the thousandth, with millimetres beside: 31.25 mm are 1.230 in [SP811].
func TestBenchTellsHolesFinely(t *testing.T) {
	h := opened(t, studio.Imperial)
	_, path := h.brass(t)
	form := values("asked", "yes", "focal", "300 mm", "focal_sd", "3 mm", "hole_sd", "0.1 mm", "stop_1", "first", "hole_1", "50 mm", "pupil_1", "60 mm", "wanted", "f/8")
	got := mainWords(h.get(t, path+"/stops?"+form.Encode()))
	for _, want := range []string{"1.230 ± 0.0", "31.25 ± 0.", "1.230 in"} {
		if !strings.Contains(strings.ReplaceAll(got, "\u2009", " "), want) {
			t.Errorf("%q is not said: %s", want, got)
		}
	}
}

// A lens measured in inches is found as in millimetres: 300 mm are 11.811 in [SP811].
func TestBenchReadsInches(t *testing.T) {
	h := opened(t, studio.Imperial)
	l, path := h.brass(t)
	form := values("asked", "yes", "object", "8", "focus_sd", "0.3 mm", "image_sd", "0.15 mm", "id", "reading-0001")
	for i, m := range []float64{0.1, 0.25, 0.5, 1} {
		form.Set(fmt.Sprintf("rail_%d", i+1), fmt.Sprintf("%.4f", 300*(1+m)/25.4))
		form.Set(fmt.Sprintf("image_%d", i+1), fmt.Sprintf("%.4f", 8*m))
	}
	h.post(t, path+"/two-magnifications", form, http.StatusSeeOther)
	readings, err := h.studio.LensReadings(t.Context(), l.ID)
	if err != nil || len(readings) != 1 {
		t.Fatalf("%d readings, %v", len(readings), err)
	}
	if k := studio.Known(l, readings); math.Abs(float64(k.Focal-300*measure.Millimetre)) > 0.05 {
		t.Errorf("%v, want 300 mm", k.Focal)
	}
}

// Every letter on a drawing is explained by the key beside it, and the key explains no letter that is not drawn.
func TestBenchExplainsItsLetters(t *testing.T) {
	h := opened(t, studio.Metric)
	_, path := h.brass(t)
	seen := 0
	for _, tt := range onBench {
		page := h.get(t, path+"/"+tt.method+"?"+but(tt.form, "asked", "yes").Encode())
		for _, step := range find(page, tag("section"), func(n *html.Node) bool { return strings.HasPrefix(attr(n, "id"), "step-") }) {
			drawn, told := map[string]bool{}, map[string]bool{}
			for _, l := range find(step, tag("text"), with("class", "key-letter")) {
				drawn[words(l)] = true
			}
			for _, dt := range find(step, tag("dt")) {
				told[words(dt)] = true
			}
			seen += len(drawn)
			for l := range drawn {
				if !told[l] {
					t.Errorf("%s, %s: the letter %s is not explained", tt.method, words(find(step, tag("h2"))[0]), l)
				}
			}
			for l := range told {
				if !drawn[l] {
					t.Errorf("%s, %s: the letter %s is explained and not drawn", tt.method, words(find(step, tag("h2"))[0]), l)
				}
			}
		}
	}
	if seen < 40 {
		t.Errorf("%d letters on all drawings, want the drawings looked at", seen)
	}
}
