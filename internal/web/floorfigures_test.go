package web_test

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"platewright/chemistry"
	"platewright/internal/studio"
)

// saidOf is what stands below a field.
func saidOf(t *testing.T, doc *html.Node, field string) string {
	t.Helper()
	at := find(doc, with("id", "said-"+field))
	if len(at) != 1 {
		t.Fatalf("%d places below %s", len(at), field)
	}
	return words(at[0])
}

// The light is read in lux or foot-candles, and a number of two readings is refused. A foot-candle is
// 10.764 lx [SP811, app. B.8], from memory.
func TestFloorReadsTheLight(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	for typed, want := range map[string]string{
		"2000": "read as 2000 lx", "2000 lx": "read as 2000 lx", "2 000": "read as 2000 lx", "200 fc": "read as 2152.78 lx",
		"2,000": "can be read two ways", "0": "the least is 0.01 lx", "3000000": "3000000; the most is 250000 lx",
	} {
		if got := saidOf(t, h.get(t, "/floor?"+but(form, "light_lx", typed).Encode()), "light_lx"); !strings.Contains(got, want) {
			t.Errorf("%q: said is %q, want %q", typed, got, want)
		}
	}
	if got := saidOf(t, h.get(t, "/floor?"+but(form, "index", "1,000").Encode()), "index"); !strings.Contains(got, "two ways") {
		t.Errorf("index 1,000: %q", got)
	}
	if got := saidOf(t, h.get(t, "/floor?"+but(but(form, "light_lx", ""), "ev", "8,000").Encode()), "ev"); !strings.Contains(got, "two ways") {
		t.Errorf("EV 8,000: %q", got)
	}
}

// A figure out of range is said as it was typed, with the limit in the unit a person reads. The least
// distance is the focal length and a hundredth of it: 454.5 mm for 450 mm (identity of the lens formula
// at a hundredfold image).
func TestFloorSaysLimits(t *testing.T) {
	for _, tt := range []struct {
		units             studio.System
		by, typed, wanted string
	}{
		{studio.Metric, "distance", "20 cm", "20 cm; the least is 455 mm with a focal length of 450 mm"},
		{studio.Metric, "distance", "2", "2 mm; the least is 455 mm with a focal length of 450 mm; for metres write 2 m"},
		{studio.Metric, "distance", "455", "read as 455 mm"},
		{studio.Metric, "distance", "5000 m", "5000 m; the most is 1000 m"},
		{studio.Metric, "frame", "1", "1 mm; the least is 2.6 mm on a plate with a long side of 254 mm; for metres write 1 m"},
		{studio.Metric, "magnification", "101", "101; the most is 100 : 1"},
		{studio.Metric, "magnification", "2", "read as 2 : 1"},
		{studio.Metric, "seconds", "78 min", "78 min; the most is 60 min"},
		{studio.Imperial, "distance", "6 1/2", "6½ in; the least is 17 15/16 in with a focal length of 17 11/16 in; for feet write 6 1/2 ft"},
		{studio.Imperial, "distance", "17 15/16", "read as 17 15/16 in"},
	} {
		h, form := floorHouse(t, tt.units)
		if tt.by != "seconds" {
			form = but(form, "by", tt.by)
		}
		if got := saidOf(t, h.get(t, "/floor?"+but(form, tt.by, tt.typed).Encode()), tt.by); got != tt.wanted {
			t.Errorf("%s %s %q: said is %q, want %q", tt.units, tt.by, tt.typed, got, tt.wanted)
		}
	}
}

// Seconds that outlast the wet plate are warned of, and such as cannot be planned refused in words.
func TestFloorWarnsOfLongSeconds(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	form = but(form, "held", "head rest")
	for lx, want := range map[string]string{"2000": "", "10": "outlasts the wet plate", "2": "more than the hour that can be planned"} {
		doc := h.get(t, "/floor?"+but(form, "light_lx", lx).Encode())
		var got string
		if list := find(doc, with("id", "warnings")); len(list) == 1 {
			got = words(list[0])
		}
		if want == "" && got != "" || !strings.Contains(got, want) {
			t.Errorf("%s lx: warned is %q, want %q", lx, got, want)
		}
	}
	doc := document(t, h.post(t, "/floor", but(form, "light_lx", "2"), http.StatusUnprocessableEntity))
	if got := saidOf(t, doc, "seconds"); !strings.Contains(got, "the most that can be planned is 60 min") || strings.Contains(got, "h0m") {
		t.Errorf("refused with %q", got)
	}
	if got := words(find(h.get(t, "/floor?"+but(form, "seconds", "9 min 30 s").Encode()), with("id", "warnings"))[0]); !strings.Contains(got, "9 min 30 s under the lens") {
		t.Errorf("typed seconds: warned is %q", got)
	}
}

// The essential answer stands together in the strip, rounded as a hand gives it.
func TestFloorStrip(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	got := words(find(h.get(t, "/floor?"+form.Encode()), tag("dl"), with("class", "strip"))[0])
	for _, want := range []string{"Distance 1.497 m", "Extension 643.5 mm", "Cap off 5.5 s 5.3–8.8 s"} {
		if !strings.Contains(got, want) {
			t.Errorf("the strip says %q, want %q in it", got, want)
		}
	}
}

// The page names the batches it will plan with: those of the last plate poured while they are there,
// else the newest that is not from the future; equal names are told apart by their days.
func TestFloorProposesBatches(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	ctx := t.Context()
	recipe, err := h.studio.AddRecipe(ctx, studio.Recipe{Body: chemistry.Recipes(false)[0]})
	if err != nil {
		t.Fatal(err)
	}
	kind := string(recipe.Body.Kind)
	add := func(name string, days int) studio.Batch {
		t.Helper()
		b, err := h.studio.AddBatch(ctx, studio.Batch{Name: name, Recipe: recipe.ID, Mixed: morning().AddDate(0, 0, -days), Volume: 250})
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	if kind != "collodion" {
		t.Fatalf("the first recipe is one of a %s", kind)
	}
	old := add("Collodion 6", 30)
	add("Collodion 7", 5)
	add("Collodion 8", -1)
	proposed := func() string {
		t.Helper()
		part := find(h.get(t, "/floor"), tag("details"), func(n *html.Node) bool { return hasClass(n, "batches") })
		return words(find(part[0], tag("summary"))[0])
	}
	if got := proposed(); got != "Batches: Collodion 7 change" {
		t.Errorf("the line of the batches says %q", got)
	}
	plate, err := h.studio.PlanPlate(ctx, studio.Plan{Size: plateSize(t, "8x10"), Lens: studio.ID(form.Get("lens")), Stop: studio.Stop{Name: "f/4.5", FNumber: 4.5},
		Distance: 2000, Magnification: 0.3, Collodion: old.ID})
	if err != nil {
		t.Fatal(err)
	}
	if got := proposed(); !strings.Contains(got, "Collodion 7") {
		t.Errorf("a plate only planned settles the batches: %q", got)
	}
	if _, err := h.studio.Record(ctx, plate.Number, studio.Event{ID: "poured-once", Kind: studio.Poured, At: morning(), Device: "t"}); err != nil {
		t.Fatal(err)
	}
	if got := proposed(); !strings.Contains(got, "Collodion 6") {
		t.Errorf("after a plate was poured: %q", got)
	}
	if got := words(h.get(t, "/floor")); !strings.Contains(got, "since") || !strings.Contains(got, "30 days") {
		t.Error("the batches do not tell their age and day")
	}
}

// The sitting the slip shows is the one the next plate is for, with its size and a holder that takes it.
func TestFloorTakesSittingInHand(t *testing.T) {
	h, _ := floorHouse(t, studio.Metric)
	half, err := h.studio.AddHolder(t.Context(), studio.Holder{Name: "Half", Size: plateSize(t, "half plate")})
	if err != nil {
		t.Fatal(err)
	}
	sitting := h.sitting(t, h.sitter(t, "Ottilie Brandt"), morning().Add(time.Hour))
	doc := h.get(t, "/floor")
	for name, want := range map[string]string{"sitting": string(sitting.ID), "size": "half plate", "holder": string(half.ID)} {
		if v, _ := kept(doc, name); v != want {
			t.Errorf("%s is %q, want %q", name, v, want)
		}
	}
	if got := words(find(doc, with("id", "slip"))[0]); !strings.Contains(got, "Ottilie Brandt") {
		t.Errorf("slip %q", got)
	}
}

// Nothing is said to be from before where nothing was drawn.
func TestFloorFromBefore(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	bad := but(form, "magnification", "much")
	for drawn, want := range map[string]bool{"": false, "yes": true} {
		body := text(t, do(h, typed(but(bad, "drawn", drawn))))
		if strings.Contains(body, "are from before") != want || strings.Contains(body, "stale") != want {
			t.Errorf("drawn %q: said to be from before is not %v", drawn, want)
		}
	}
}

// A phone shows its keys with digits alone only where nothing else can be written.
func TestFloorKeys(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	for _, n := range find(h.get(t, "/floor?"+form.Encode()), tag("input"), with("type", "text")) {
		if got, want := attr(n, "inputmode") == "decimal", attr(n, "name") == "index"; got != want {
			t.Errorf("%s: keys with digits alone: %v", attr(n, "name"), got)
		}
	}
}
