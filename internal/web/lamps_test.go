package web_test

import (
	"bytes"
	"math"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"platewright/internal/studio"
	"platewright/light"
	"platewright/light/flash"
	"platewright/measure"
)

func windowForm() url.Values {
	return values("name", "North", "facing", "NNW", "width", "1.8 m", "height", "2100", "sill", "80 cm", "distance", "1.5 m", "sky_share", "70 %", "glazing", light.WindowGlass, "blind", "yes", "note", "limes")
}

func TestWindowIsWrittenDown(t *testing.T) {
	h := opened(t, studio.Metric)
	if got := mainWords(h.get(t, "/floor/windows")); !strings.Contains(got, "No window is written down yet") {
		t.Errorf("an empty list says %q", got)
	}
	h.get(t, "/floor/windows/new")
	h.post(t, "/floor/windows/new", windowForm(), http.StatusSeeOther)
	all, err := h.studio.Windows(t.Context())
	if err != nil || len(all) != 1 {
		t.Fatalf("%d windows, %v", len(all), err)
	}
	w := all[0]
	if w.Facing != 337.5*measure.Degree || w.Width != 1800 || w.Height != 2100 || w.Sill != 800 || w.Distance != 1500 || w.SkyShare != 0.7 || !w.Blind || w.Glazing != light.WindowGlass {
		t.Errorf("stored %+v", w)
	}
	if page := mainWords(h.get(t, "/floor/windows")); !strings.Contains(page, "337.5° (NNW)") || !strings.Contains(page, "70 %") {
		t.Errorf("the list says %s", page)
	}
	at := "/floor/windows/" + string(w.ID)
	h.post(t, at, h.shownOn(t, at, "version", "name", "facing", "width", "height", "sill", "distance", "sky_share", "glazing", "blind", "note", "retired"), http.StatusSeeOther)
	again, err := h.studio.Window(t.Context(), w.ID)
	again.Stamp, w.Stamp = studio.Stamp{}, studio.Stamp{}
	if err != nil || again != w {
		t.Errorf("written again as shown it is %+v, %v", again, err)
	}
	h.refusesEach(t, "/floor/windows/new", but(windowForm(), "name", "South"), map[string]string{"name": " ", "facing": "up", "width": "9 cm", "height": "tall", "sill": "-1",
		"distance": "40 m", "sky_share": "101", "glazing": "horn", "blind": "perhaps", "note": strings.Repeat("x", 4001)})
	// From an older form: both are shown.
	doc := document(t, h.post(t, at, but(but(windowForm(), "version", "1"), "note", "oaks"), http.StatusConflict))
	pageInOrder(t, "conflict", doc)
}

func rigForm() url.Values {
	return values("name", "Two heads",
		"h1_name", "key", "h1_energy", "2400 Ws", "h1_efficacy", "", "h1_tube", "UV cut", "h1_spread", "softbox", "h1_gain", "", "h1_width", "80 cm", "h1_height", "1.2 m", "h1_through", "60",
		"h1_distance", "1.2 m", "h1_angle", "40", "h1_above", "40 cm", "h1_pops", "2",
		"h2_name", "", "h2_energy", "600", "h2_efficacy", "30", "h2_tube", "clear", "h2_spread", "umbrella", "h2_gain", "1.5", "h2_width", "", "h2_height", "", "h2_through", "",
		"h2_distance", "2 m", "h2_angle", "-50", "h2_above", "", "h2_pops", "",
		"board_width", "1 m", "board_height", "2 m", "board_distance", "1.1 m", "board_angle", "-85", "board_reflects", "80", "room_surface", "110 m²", "room_reflects", "30", "note", "dome on")
}

func TestRigIsWrittenDownAndRead(t *testing.T) {
	h := opened(t, studio.Metric)
	if got := mainWords(h.get(t, "/floor/rigs/new")); !strings.Contains(got, "1.5 stops lie between them") || !strings.Contains(got, "epilepsy") || !strings.Contains(got, "modelling lamp") || !strings.Contains(got, "IEC 62471") {
		t.Errorf("the form does not ask for the tube, or does not caution: %s", got)
	}
	h.post(t, "/floor/rigs/new", rigForm(), http.StatusSeeOther)
	all, err := h.studio.Rigs(t.Context())
	if err != nil || len(all) != 1 || len(all[0].Heads) != 2 {
		t.Fatalf("%+v, %v", all, err)
	}
	g := all[0]
	key, fill := g.Heads[0], g.Heads[1]
	if key.Energy != 2400 || key.Efficacy != flash.UsualEfficacy || key.Tube != light.UVCut || key.Spread != flash.Softbox || key.Width != 800 || key.Height != 1200 || key.Through != 0.6 || key.Pops != 2 ||
		math.Abs(key.Angle.Degrees()-40) > 1e-9 || key.Above != 400 {
		t.Errorf("the key is %+v", key)
	}
	if fill.Name != "head 2" || fill.Efficacy != 30 || fill.Gain != 1.5 || fill.Pops != 1 || fill.Distance != 2000 {
		t.Errorf("the fill is %+v", fill)
	}
	if g.Board.Reflects != 0.8 || g.RoomSurface != 110 || g.RoomReflects != 0.3 {
		t.Errorf("board %+v, room %v, %v", g.Board, g.RoomSurface, g.RoomReflects)
	}
	at := "/floor/rigs/" + string(g.ID)
	var names []string
	for name := range rigForm() {
		names = append(names, name)
	}
	h.post(t, at, h.shownOn(t, at, append(names, "version", "retired")...), http.StatusSeeOther)
	again, err := h.studio.Rig(t.Context(), g.ID)
	if err != nil || again.Version != 2 || len(again.Heads) != 2 || again.Heads[0] != key || again.Heads[1] != fill || again.Board != g.Board {
		t.Errorf("written again as shown it is %+v, %v", again, err)
	}
	h.refusesEach(t, "/floor/rigs/new", but(rigForm(), "name", "Another"), map[string]string{"name": "", "h1_energy": "0", "h1_efficacy": "500", "h1_tube": "brown", "h1_spread": "lens", "h1_width": "5 cm",
		"h1_height": "30 m", "h1_through": "0", "h1_distance": "1 cm", "h1_angle": "200", "h1_above": "5 m", "h1_pops": "many", "h2_gain": "0.01", "h2_tube": "", "h2_distance": "",
		"board_width": "2 cm", "board_reflects": "0", "room_surface": "0.5", "room_reflects": "96"})
	// A head that stands behind an empty one is asked about.
	gap := rigForm()
	for name := range gap {
		if strings.HasPrefix(name, "h1_") {
			gap.Set(name, "")
		}
	}
	doc := document(t, h.post(t, "/floor/rigs/new", gap, http.StatusUnprocessableEntity))
	if _, problem := kept(doc, "h2_energy"); !strings.Contains(problem, "stands empty before it") {
		t.Errorf("of a gap the form says %q", problem)
	}

	readings := at + "/readings"
	page := mainWords(h.get(t, readings))
	for _, want := range []string{"Nothing was read of it yet", "reckoned from its energy", "of the limit (IEC 62471", "epilepsy", "UV cut tube"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not say %q: %s", want, page)
		}
	}
	meter := values("id", "given-0001", "method", "flash meter", "f_number", "f/32", "index", "100", "plate", "", "taken", "today", "by", "Ada", "note", "dome on")
	h.refusesEach(t, readings, meter, map[string]string{"f_number": "wide", "index": "0", "taken": "soon", "note": strings.Repeat("x", 4001), "method": "by eye"})
	h.refusesEach(t, readings, but(meter, "method", "judged plate"), map[string]string{"plate": "26-0099"})
	h.post(t, readings, meter, http.StatusSeeOther)
	given, err := h.studio.RigReadings(t.Context(), g.ID)
	// H = C N²/S at index 100 [ISO2720]: f/32 is 2560 lx s.
	if err != nil || len(given) != 1 || given[0].Metered != 2560 || given[0].By != "Ada" {
		t.Fatalf("kept %+v, %v", given, err)
	}
	if page := mainWords(h.get(t, readings)); !strings.Contains(page, "with a flash meter") || !strings.Contains(page, "2560 lx s") {
		t.Errorf("the page says %s", page)
	}
	h.refusesEach(t, readings+"/withdraw", values("withdraws", "given-0001", "why", "the dome was off"), map[string]string{"why": "", "withdraws": "nothing"})
	h.post(t, readings+"/withdraw", values("withdraws", "given-0001", "why", "the dome was off"), http.StatusSeeOther)
	if page := mainWords(h.get(t, readings)); !strings.Contains(page, "the dome was off") || !strings.Contains(page, "reckoned from its energy") {
		t.Errorf("after the withdrawal the page says %s", page)
	}
}

const lampText = "nm, W\n400, 0.1\n420, 1\n440, 0.5\n460, 0.5\n480, 0.5\n500, 1\n520, 1\n"

func TestSpectrumIsReadFromFormAndFile(t *testing.T) {
	h := opened(t, studio.Metric)
	form := values("name", "Panel", "csv", lampText, "note", "borrowed meter")
	h.get(t, "/floor/spectra/new")
	h.post(t, "/floor/spectra/new", form, http.StatusSeeOther)
	h.refusesEach(t, "/floor/spectra/new", but(form, "name", "Other"), map[string]string{"name": "", "csv": "400, 1 450, 1"})
	doc := document(t, h.post(t, "/floor/spectra/new", but(but(form, "name", "Other"), "csv", "400, 1\n450, 1"), http.StatusUnprocessableEntity))
	if _, problem := kept(doc, "csv"); !strings.Contains(problem, "line 2") || !strings.Contains(problem, "20 nm") {
		t.Errorf("of a gap the form says %q", problem)
	}
	send := func(field, name, text string) *http.Response {
		var b bytes.Buffer
		parts := multipart.NewWriter(&b)
		part, err := parts.CreateFormFile(field, name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := part.Write([]byte(text)); err != nil {
			t.Fatal(err)
		}
		if err := parts.Close(); err != nil {
			t.Fatal(err)
		}
		r := request("POST", "/floor/spectra/file", b.String())
		r.Header.Set("Content-Type", parts.FormDataContentType())
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		return w.Result()
	}
	if r := send("file", "lamps over the door.csv", lampText); r.StatusCode != http.StatusSeeOther || !strings.HasPrefix(r.Header.Get("Location"), "/floor/spectra/") {
		t.Errorf("a file is answered %d to %q", r.StatusCode, r.Header.Get("Location"))
	} else if page := mainWords(h.get(t, r.Header.Get("Location"))); !strings.Contains(page, "400 to 520 nm by 5 nm") {
		t.Errorf("it is shown as %s", page)
	}
	for name, text := range map[string]string{"picture.csv": "\x89PNG\r\n\x1a\n\x00\x00", "": lampText, "dark.csv": "400, 0\n420, 0\n", "Panel.csv": lampText, "endless.csv": strings.Repeat("400, 1\n", 200_000)} {
		r := send("file", name, text)
		page := mainWords(document(t, r))
		if r.StatusCode != http.StatusUnprocessableEntity && r.StatusCode != http.StatusRequestEntityTooLarge {
			t.Errorf("%q is answered %d: %s", name, r.StatusCode, page)
		}
	}
	if all, err := h.studio.Spectra(t.Context()); err != nil || len(all) != 2 {
		t.Errorf("%d spectra, %v; want 2", len(all), err)
	}
}

func TestSpeedsAreKept(t *testing.T) {
	h := opened(t, studio.Metric)
	if page := mainWords(h.get(t, "/floor/speeds")); !strings.Contains(page, "No speed was found yet") {
		t.Errorf("an empty list says %s", page)
	}
	form := values("id", "speed-0001", "index", "0,8", "sigma", "0.4", "kind", "shade", "collodion", "", "plate", "", "taken", "2 Nov 2026", "by", "Ada", "note", "three plates")
	h.refusesEach(t, "/floor/speeds", form, map[string]string{"index": "0", "sigma": "9", "kind": "moon", "plate": "26-0099", "taken": "soon", "note": strings.Repeat("x", 4001)})
	h.post(t, "/floor/speeds", but(form, "kind", ""), http.StatusUnprocessableEntity)
	for range 2 { // sent again it is one
		h.post(t, "/floor/speeds", form, http.StatusSeeOther)
	}
	all, err := h.studio.Speeds(t.Context())
	if err != nil || len(all) != 1 || all[0].Index != 0.8 || all[0].Kind != light.Shade || !all[0].Taken.Equal(time.Date(2026, 11, 1, 23, 0, 0, 0, time.UTC)) {
		t.Fatalf("kept %+v, %v", all, err)
	}
	if page := mainWords(h.get(t, "/floor/speeds")); !strings.Contains(page, "0.8 ± 0.4 stops, found 2 November 2026 under shade") {
		t.Errorf("the page says %s", page)
	}
	h.post(t, "/floor/speeds/withdraw", values("withdraws", "speed-0001", "why", "fogged bath"), http.StatusSeeOther)
	page := mainWords(h.get(t, "/floor/speeds"))
	if strings.Contains(page, "What holds now") || !strings.Contains(page, "fogged bath") {
		t.Errorf("after the withdrawal the page says %s", page)
	}
	h.post(t, "/floor/speeds/withdraw", values("withdraws", "speed-0001", "why", "again"), http.StatusConflict)
}

func TestStudioIsPlaced(t *testing.T) {
	h := opened(t, studio.Imperial)
	form := values("version", "1", "name", "Lock House", "units", "imperial", "place", "Upper Mill", "room", "", "latitude", "48° 12' 30\" N", "longitude", "16 22' w", "elevation", "560 ft")
	h.refusesEach(t, "/studio", form, map[string]string{"latitude": "91 N", "longitude": "16 N", "elevation": "10 km"})
	h.post(t, "/studio", but(form, "latitude", ""), http.StatusUnprocessableEntity)
	h.post(t, "/studio", form, http.StatusSeeOther)
	p, err := h.studio.Profile(t.Context())
	where, placed := p.Where()
	if err != nil || !placed || math.Abs(where.Latitude.Degrees()-(48+12.5/60)) > 1e-9 || math.Abs(where.Longitude.Degrees()+16+22./60) > 1e-9 || math.Abs(float64(where.Elevation)-560*304.8) > 1e-6 {
		t.Fatalf("stored %+v, %v", p, err)
	}
	shown := h.shownOn(t, "/studio", "version", "name", "place", "room", "latitude", "longitude", "elevation")
	shown.Set("units", "imperial")
	h.post(t, "/studio", shown, http.StatusSeeOther)
	again, err := h.studio.Profile(t.Context())
	if err != nil || math.Abs((again.Latitude-p.Latitude).Degrees()) > 1e-6 || math.Abs((again.Longitude-p.Longitude).Degrees()) > 1e-6 || math.Abs(float64(again.Elevation-p.Elevation)) > 1 {
		t.Errorf("written again as shown it is %+v, %v", again, err)
	}
	shown.Set("version", "3")
	for _, name := range []string{"latitude", "longitude", "elevation"} {
		shown.Set(name, "")
	}
	h.post(t, "/studio", shown, http.StatusSeeOther)
	if p, err := h.studio.Profile(t.Context()); err != nil || p.Placed {
		t.Errorf("emptied it is %+v, %v", p, err)
	}
}

// The page about the product tells whose measurements it reckons with.
func TestAboutTellsWhoseMeasurements(t *testing.T) {
	h := opened(t, studio.Metric)
	page := mainWords(h.get(t, "/about"))
	for _, want := range []string{"International Commission on Illumination (CIE), Vienna", "National Institute of Standards and Technology", "U.S. Geological Survey"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not name %q", want)
		}
	}
}
