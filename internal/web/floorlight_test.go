package web_test

import (
	"fmt"
	"math"
	"net/http"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"platewright/internal/studio"
	"platewright/light"
	"platewright/light/flash"
	"platewright/measure"
)

// placed writes down where the house stands, with a window to the north-west.
func (h *house) placed(t testing.TB, latitude, longitude float64) studio.Window {
	t.Helper()
	p, err := h.studio.Profile(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	p.Placed, p.Latitude, p.Longitude, p.Elevation = true, measure.Angle(latitude)*measure.Degree, measure.Angle(longitude)*measure.Degree, 190*measure.Metre
	if _, err := h.studio.ChangeProfile(t.Context(), p); err != nil {
		t.Fatal(err)
	}
	w, err := h.studio.AddWindow(t.Context(), studio.Window{Name: "Large window", Facing: 315 * measure.Degree, Width: 1800, Height: 2200, Sill: 900,
		SkyShare: 0.7, Glazing: light.WindowGlass, Distance: 1500})
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// inClass is the text of the first element of a class; empty without one.
func inClass(doc *html.Node, class string) string {
	found := find(doc, func(n *html.Node) bool { return hasClass(n, class) })
	if len(found) == 0 {
		return ""
	}
	return words(found[0])
}

// counted is what the hand is to count, in seconds.
func countedOn(t testing.TB, doc *html.Node) float64 {
	t.Helper()
	found := find(doc, tag("data"), with("id", "cap-off"))
	if len(found) != 1 {
		t.Fatalf("%d figures to count, want 1: %s", len(found), inClass(doc, "lit-told"))
	}
	v, err := strconv.ParseFloat(attr(found[0], "value"), 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// near tells whether two figures agree within what rounding to two digits changes.
func near(a, b float64) bool { return math.Abs(a-b) <= 0.051*math.Max(math.Abs(a), math.Abs(b)) }

// lightless is a floor form without a light.
func lightless(form url.Values) url.Values { return but(but(form, "light_lx", ""), "index", "") }

// identity: a window's light on the floor is that of the reckoning sun, and its time that of the reckoning seconds.
func TestFloorBySunAndSky(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	asked := but(lightless(form), "way", "window")
	if doc := h.get(t, "/floor?"+asked.Encode()); !strings.Contains(inClass(doc, "lit-told"), "Where the studio stands is not written down") ||
		len(find(find(doc, func(n *html.Node) bool { return hasClass(n, "lit-told") })[0], with("href", "/studio"))) != 1 {
		t.Errorf("without a place the floor says %q", inClass(doc, "lit-told"))
	}
	w := h.placed(t, 50.09, 14.42)
	asked = but(but(but(but(asked, "window", string(w.ID)), "weather", "clear"), "at_day", "2026-06-21"), "at_time", "17:00")
	doc := h.get(t, "/floor?"+asked.Encode())
	eyes := 0.0
	for _, f := range find(doc, tag("tr")) {
		if head := words(f); strings.HasPrefix(head, "Lens above the floor") {
			if m := regexp.MustCompile(`eyes ([0-9.]+) m above`).FindStringSubmatch(plain(head)); m != nil {
				eyes, _ = strconv.ParseFloat(m[1], 64)
			}
		}
	}
	if eyes < 0.8 || eyes > 1.9 {
		t.Fatalf("the eyes are %g m above the floor", eyes)
	}
	sun := answered(t, "sun", fmt.Sprintf(`{"time":"2026-06-21T17:00:00+02:00","latitude_deg":50.09,"longitude_deg":14.42,"elevation_m":190,"sky":"clear",
		"window":{"facing_deg":315,"width_m":1.8,"height_m":2.2,"sill_m":%g,"distance_m":1.5,"sky_share":0.7,"glass":"window"}}`, 0.9-eyes))
	focus := answered(t, "focus", focusQuestion)
	seconds := answered(t, "seconds", fmt.Sprintf(`{"incident_lx":%v,"exposure_index":1,"f_number":4.5,"bellows_stops":%v}`, sun["illuminance_lx"], focus["bellows_stops"]))
	told := inClass(doc, "lit-told")
	lx := sun["illuminance_lx"].(float64)
	if m := regexp.MustCompile(`Reckoned: ([0-9]+) lx`).FindStringSubmatch(plain(told)); m == nil {
		t.Fatalf("no light is told: %s", told)
	} else if got, _ := strconv.ParseFloat(m[1], 64); math.Abs(got/lx-1) > 0.01 {
		t.Errorf("%g lx at the face, the reckoning says %g", got, lx)
	}
	// The usual index was found in daylight: what this sky does beyond that comes between.
	between := sun["actinic_stops"].(float64)
	want := seconds["seconds"].(float64) / math.Exp2(between)
	if got := countedOn(t, doc); !near(got, want) {
		t.Errorf("%g s to count, want %g", got, want)
	}
	if !strings.Contains(told, "daylight taken as") {
		t.Errorf("what comes between is not told: %s", told)
	}
	// Turned so that the window is at the sitter's side, the face toward the camera gets less, by its two sides unlike:
	// identity, the reckoning sun for receptors turned so.
	side := h.get(t, "/floor?"+but(asked, "window_turn", "60").Encode())
	turned := func(deg int) float64 {
		return answered(t, "sun", fmt.Sprintf(`{"time":"2026-06-21T17:00:00+02:00","latitude_deg":50.09,"longitude_deg":14.42,"elevation_m":190,"sky":"clear",
		"window":{"facing_deg":315,"width_m":1.8,"height_m":2.2,"sill_m":%g,"distance_m":1.5,"sky_share":0.7,"glass":"window","turn_deg":%d}}`, 0.9-eyes, deg))["illuminance_lx"].(float64)
	}
	if got := countedOn(t, side); math.Abs(math.Log2(got/want*turned(60)/lx)) > 0.3 { // its colour differs a little too
		t.Errorf("with the window at the side %g s, before it %g s, for %g and %g lx", got, want, turned(60), lx)
	}
	if got, want := plain(inClass(side, "sides")), math.Log2(turned(15)/turned(105)); !strings.Contains(got, fmt.Sprintf("face %.2g stops", want)) {
		t.Errorf("the sides of the face: %q, want %.2g stops", got, want)
	}
	// An index that is typed is taken to be of this light.
	if got := countedOn(t, h.get(t, "/floor?"+but(asked, "index", "1").Encode())); !near(got, seconds["seconds"].(float64)) {
		t.Errorf("by an index of this light %g s, want %g", got, seconds["seconds"])
	}
	night := inClass(h.get(t, "/floor?"+but(asked, "at_time", "1:00").Encode()), "lit-told")
	if !strings.Contains(night, "there is no light for a plate") {
		t.Errorf("by night the floor says %q", night)
	}
}

// A speed that was found holds for its own kind of light; from another, what the plate sees comes between. Tungsten does
// 1.82 stops less per lux than daylight [PlateNotes2026] at 2856 K, and some less of that at 3000 K.
func TestFloorIndexByKind(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	form = but(form, "index", "")
	usual := countedOn(t, h.get(t, "/floor?"+form.Encode()))
	if _, err := h.studio.KeepSpeed(t.Context(), studio.SpeedFound{Index: 2, Kind: light.WindowLight, Sigma: 0.3, Taken: morning()}); err != nil {
		t.Fatal(err)
	}
	found := countedOn(t, h.get(t, "/floor?"+but(form, "kind", "window").Encode()))
	if !near(found, usual/2) {
		t.Errorf("by an index of 2 %g s, by 1 %g", found, usual)
	}
	doc := h.get(t, "/floor?"+but(form, "kind", "tungsten").Encode())
	slower := math.Log2(countedOn(t, doc) / found)
	if slower < 1.4 || slower > 2.6 {
		t.Errorf("tungsten takes %.2f stops more than window light, want about 2", slower)
	}
	if told := inClass(doc, "lit-told"); !strings.Contains(told, "found 24 November 2026 under window, another kind of light than this") || !strings.Contains(told, "less than the meter says") {
		t.Errorf("the basis says %q", told)
	}
}

// published: a card of 18 % in a camera's EV 10 at ISO 100 stands in E = pi K N²/(t S rho) [ISO2720] [Lambert1760].
func TestFloorByACard(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	form = but(form, "light_lx", "")
	asked := but(but(but(form, "card_f", "f/4"), "card_t", "1/60"), "card_iso", "100")
	doc := h.get(t, "/floor?"+asked.Encode())
	lx := math.Pi * 12.5 * 16 * 60 / (100 * 0.18)
	direct := countedOn(t, h.get(t, "/floor?"+but(form, "light_lx", fmt.Sprint(lx)).Encode()))
	if got := countedOn(t, doc); !near(got, direct) {
		t.Errorf("by a card %g s, by the same light metered %g", got, direct)
	}
	if told := plain(inClass(doc, "lit-told")); !strings.Contains(told, "A card and a camera: 2090 lx") {
		t.Errorf("the basis says %q, want %.0f lx", told, lx)
	}
	for name, spoilt := range map[string]string{"card_f": "wide", "card_t": "-1", "card_iso": "0", "card_r": "300"} {
		r := do(h, typed(but(asked, name, spoilt)))
		if body := plain(text(t, r)); !strings.Contains(body, `id="said-`+name) || !strings.Contains(body, `class="error"`) {
			t.Errorf("%s %q is not refused at its field", name, spoilt)
		}
	}
	if got := saidOf(t, h.get(t, "/floor?"+but(asked, "ev", "9").Encode()), "card_f"); !strings.Contains(got, "twice") {
		t.Errorf("a card beside a meter: %q", got)
	}
}

// rigOf is a rig of one softbox: 2400 J of 40 lm s, 60 % through a disc of 0.8 m, 1.2 m away [PlateNotes2026].
func rigOf() studio.Rig {
	return studio.Rig{Name: "Softbox", Heads: []studio.RigHead{{Name: "key", Energy: 2400, Efficacy: 40, Tube: light.ClearTube, Spread: flash.Softbox,
		Width: 800, Through: 0.6, Distance: 1200, Pops: 1}}}
}

// published: the softbox of the fact sheet gives 11459 lx s and reaches f/6.77 at an index of 1 [PlateNotes2026]; with the
// bellows of this plate less by their square root, and a quarter as many pops at twice the stop.
func TestFloorByFlash(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	asked := but(but(form, "light_lx", ""), "way", "flash")
	rig, err := h.studio.AddRig(t.Context(), rigOf())
	if err != nil {
		t.Fatal(err)
	}
	asked = but(but(asked, "rig", string(rig.ID)), "solve", "stop")
	bellows := answered(t, "focus", focusQuestion)["bellows_stops"].(float64)
	doc := h.get(t, "/floor?"+asked.Encode())
	want := measure.FNumber(6.77 * math.Exp2(-bellows/2))
	if got := plain(inClass(doc, "lit-told")); !strings.Contains(got, "Stop in the lens, at most "+want.String()) {
		t.Errorf("the floor says %q, want %s", got, want)
	}
	if got := plain(inClass(doc, "lit-told")); !strings.Contains(got, "11459 lx s") && !strings.Contains(got, "11460 lx s") {
		t.Errorf("the light at the face is not 11459 lx s: %q", got)
	}
	pops := plain(inClass(h.get(t, "/floor?"+but(asked, "solve", "pops").Encode()), "lit-told"))
	times := 250 * 4.5 * 4.5 * math.Exp2(bellows) / 11459
	if want := fmt.Sprintf("Fire all heads %d time", int(math.Ceil(times))); !strings.Contains(pops, want) {
		t.Errorf("the floor says %q, want %q", pops, want)
	}
	energy := plain(inClass(h.get(t, "/floor?"+but(asked, "solve", "energy").Encode()), "lit-told"))
	if want := fmt.Sprintf("%.2g", times); !strings.Contains(energy, "so times "+want) {
		t.Errorf("the floor says %q, want times %s", energy, want)
	}
	if !strings.Contains(pops, "epilepsy") || !strings.Contains(pops, "keep the dome on") {
		t.Errorf("the cautions of flash and ultraviolet are missing: %q", pops)
	}
	if !strings.Contains(pops, "One side of the face") && !strings.Contains(pops, "Between the sides of the face") {
		t.Errorf("the sides of the face are not told: %q", pops)
	}
	if strings.Contains(pops, "safe") {
		t.Errorf("something is called safe: %q", pops)
	}
	// Planned, the plate keeps what it was planned by.
	r := h.post(t, "/floor", but(asked, "solve", "pops"), http.StatusSeeOther)
	n, err := studio.ParseNumber(r.Header.Get("Location")[len("/darkroom/"):])
	if err != nil {
		t.Fatal(err)
	}
	story, err := h.studio.Plate(t.Context(), n)
	if err != nil {
		t.Fatal(err)
	}
	l := story.Plan.Lighting
	if k := int(math.Ceil(times)); l.Way != studio.ByFlash || l.Rig != rig.ID || l.Pops != k || math.Abs(l.Energy-2400*float64(k)) > 1e-6 || math.Abs(float64(l.Dose)/float64(k)-11459) > 1 {
		t.Errorf("kept %+v, want %d pops", l, k)
	}
}

// identity: from a judged plate that was right, the same plate at twice the f-number takes four times as long.
func TestFloorByAJudgedPlate(t *testing.T) {
	s := storeWith(t, nil)
	h := s.house
	lens, err := h.studio.AddLens(t.Context(), studio.Lens{Name: "Number 5", Focal: 450, PupilMag: 1, Circle: 400, Stops: []studio.Stop{{FNumber: 4}, {FNumber: 8}}})
	if err != nil {
		t.Fatal(err)
	}
	form := values("lens", string(lens.ID), "stop", "f/4", "size", "whole plate", "by", "distance", "distance", "2000 mm", "support", "clear glass", "seconds", "3", "way", "metered",
		"light_lx", "2000", "kind", "window")
	r := h.post(t, "/floor", form, http.StatusSeeOther)
	n, err := studio.ParseNumber(r.Header.Get("Location")[len("/darkroom/"):])
	if err != nil {
		t.Fatal(err)
	}
	story, err := h.studio.Plate(t.Context(), n)
	if err != nil {
		t.Fatal(err)
	}
	if l := story.Plan.Lighting; l.Way != studio.Metered || l.Kind != light.WindowLight || l.Incident != 2000 || l.Low <= 0 || l.High <= l.Low {
		t.Errorf("kept %+v", l)
	}
	asked := but(but(but(but(but(form, "seconds", ""), "light_lx", ""), "way", "from a plate"), "stop", "f/8"), "kind", "")
	if got := inClass(h.get(t, "/floor?"+asked.Encode()), "lit-told"); !strings.Contains(got, "No plate of yours has been judged yet") {
		t.Errorf("before any plate was judged the floor says %q", got)
	}
	for _, e := range []struct {
		kind   studio.EventKind
		detail studio.Detail
	}{{studio.Poured, studio.Detail{}}, {studio.Judged, studio.Detail{Verdict: &studio.Verdict{Word: 0, Fate: studio.Keep}}}} {
		s.record(t, story.Plate, e.kind, e.detail)
	}
	doc := h.get(t, "/floor?"+asked.Encode())
	if got := countedOn(t, doc); !near(got, 12) {
		t.Errorf("%g s at f/8, want four times 3 s", got)
	}
	if len(find(doc, with("name", "from_plate"), with("value", n.String()), checked)) != 1 {
		t.Error("the judged plate is not chosen")
	}
	// Metered again at half the light, it takes twice as long; the kind is what it was.
	half := countedOn(t, h.get(t, "/floor?"+but(asked, "light_lx", "1000").Encode()))
	if !near(half, 24) {
		t.Errorf("at half the light %g s, want 24", half)
	}
	if r := do(h, typed(but(asked, "from_plate", "26-9999"))); !strings.Contains(text(t, r), "there is no plate 26-9999") {
		t.Error("a plate that does not exist is not refused")
	}
}

// What is no light is refused where it is chosen, and nothing is lost of what was typed.
func TestFloorRefusesLight(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	h.placed(t, 50, 14)
	for name, spoilt := range map[string]string{"way": "guess", "kind": "moonlight", "window": "no-such", "weather": "hail", "rig": "no-such", "solve": "all", "from_plate": "26",
		"at_day": "someday", "at_time": "noonish"} {
		body := text(t, h.post(t, "/floor", but(form, name, spoilt), http.StatusUnprocessableEntity))
		if !strings.Contains(body, `id="c-`+name+`-error"`) && !strings.Contains(body, `id="said-`+name+`" class="said"><p class="error">`) {
			t.Errorf("%s %q is not refused at its place", name, spoilt)
		}
	}
}
