package web_test

import (
	"fmt"
	"log/slog"
	"math"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"platewright/internal/studio"
	"platewright/internal/studio/studiotest"
	"platewright/internal/web"
	"platewright/measure"
	"platewright/reckon"
)

// timesOf are the rows of the day's table by their time.
func timesOf(doc *html.Node) map[string][]string {
	rows := map[string][]string{}
	for _, tr := range find(find(doc, tag("tbody"))[0], tag("tr")) {
		var cells []string
		for _, td := range find(tr, tag("td")) {
			cells = append(cells, plain(words(td)))
		}
		rows[plain(words(find(tr, tag("th"))[0]))] = cells
	}
	return rows
}

// identity: an hour of the chart is what the reckonings sun and seconds say of that moment, one by one.
func TestDayChart(t *testing.T) {
	h := opened(t, studio.Metric)
	if doc := h.get(t, "/floor/day"); len(find(doc, tag("svg"), with("role", "img"))) != 0 || !strings.Contains(words(doc), "Where the studio stands is not written down") ||
		len(find(doc, tag("a"), with("href", "/studio"))) == 0 {
		t.Error("without a place a chart is drawn, or it is not said how to have one")
	}
	w := h.placed(t, 50.09, 14.42)
	h.sitting(t, h.sitter(t, "Ottilie Brandt"), time.Date(2026, 6, 21, 12, 0, 0, 0, h.loc))
	asked := "/floor/day?day=2026-06-21&window=" + string(w.ID) + "&stop=f/4&bellows=0.8&index=1&longest=8"
	doc := h.get(t, asked)
	if got := len(find(doc, tag("svg"), with("role", "img"))); got != 2 {
		t.Errorf("%d drawings, want a wide and a narrow one", got)
	}
	if got := inClass(doc, "course"); !strings.Contains(got, "rises at 04:52") || !strings.Contains(got, "sets at 21:1") {
		t.Errorf("the sun's course is %q; almanacs have it up from 4:52 to 21:16 that day at Prague, from memory", got)
	}
	if !strings.Contains(words(doc), "Ottilie Brandt") {
		t.Error("the sitting of that day is missing")
	}
	rows := timesOf(doc)
	for _, at := range []string{"09:00", "12:00", "18:30"} {
		for i, weather := range []string{"clear", "overcast"} {
			sun := answered(t, "sun", fmt.Sprintf(`{"time":"2026-06-21T%s:00+02:00","latitude_deg":50.09,"longitude_deg":14.42,"elevation_m":190,"sky":%q,
				"window":{"facing_deg":315,"width_m":1.8,"height_m":2.2,"sill_m":-0.3,"distance_m":1.5,"sky_share":0.7,"glass":"window"}}`, at, weather))
			seconds := answered(t, "seconds", fmt.Sprintf(`{"incident_lx":%v,"exposure_index":1,"f_number":4,"bellows_stops":0.8}`, sun["illuminance_lx"]))
			light, said := figureAt(t, rows[at][1+2*i]), figureAt(t, rows[at][2+2*i])
			if lx := sun["illuminance_lx"].(float64); math.Abs(light/lx-1) > 0.01 {
				t.Errorf("%s %s: %g lx, the reckoning sun says %g", at, weather, light, lx)
			}
			if want := seconds["seconds"].(float64); !near(said, want) {
				t.Errorf("%s %s: %g s, the reckoning seconds says %g", at, weather, said, want)
			}
		}
	}
	// It looks to the north-west: in the evening of the longest day the sun comes in.
	if got := inClass(doc, "findings"); !strings.Contains(got, "the sun falls on the face") {
		t.Errorf("findings: %q", got)
	}
}

// figureAt is the number a text begins with.
func figureAt(t testing.TB, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(strings.Fields(text)[0], 64)
	if err != nil {
		t.Fatalf("%q begins with no number", text)
	}
	return v
}

// Far north the sun does not set in June nor rise in December; at the pole too, and both are said.
func TestDayChartAtThePole(t *testing.T) {
	for _, latitude := range []float64{78, 90, -90} {
		h := opened(t, studio.Metric)
		h.placed(t, latitude, 15)
		light, dark := "2026-06-21", "2026-12-21"
		if latitude < 0 {
			light, dark = dark, light
		}
		if got := inClass(h.get(t, "/floor/day?day="+light), "course"); !strings.Contains(got, "does not set") {
			t.Errorf("%g°, %s: %q", latitude, light, got)
		}
		if got := words(h.get(t, "/floor/day?day="+dark)); !strings.Contains(got, "does not rise") || !strings.Contains(got, "no daylight for a plate") {
			t.Errorf("%g°, %s: nothing of a sun that does not rise", latitude, dark)
		}
		if doc := h.get(t, "/floor/year"); len(find(doc, tag("svg"), with("role", "img"))) != 2 {
			t.Errorf("%g°: the year is not drawn", latitude)
		}
	}
}

// The year has its twelve months, in summer more hours of use than in winter, each leading to its day.
func TestYearChart(t *testing.T) {
	h := opened(t, studio.Metric)
	h.placed(t, 50.09, 14.42)
	doc := h.get(t, "/floor/year?year=2026&stop=f/4&index=1&weather=overcast&longest=8")
	rows := timesOf(doc)
	if len(rows) != 12 {
		t.Fatalf("%d months, want 12", len(rows))
	}
	if june, december := figureAt(t, rows["June"][1]), figureAt(t, rows["December"][1]); june >= december {
		t.Errorf("at noon June asks for %g s and December for %g", june, december)
	}
	if got := len(find(doc, tag("a"), func(n *html.Node) bool {
		return strings.HasPrefix(attr(n, "href"), "/floor/day?") && strings.Contains(attr(n, "href"), "day=2026-06-15")
	})); got != 1 {
		t.Errorf("%d links to a day of June, want 1", got)
	}
}

// What cannot be read is told at its field, and nothing is drawn.
func TestChartsRefuse(t *testing.T) {
	h := opened(t, studio.Metric)
	h.placed(t, 50, 14)
	for _, path := range []string{"/floor/day", "/floor/year"} {
		good := values("stop", "f/4", "index", "1", "longest", "8")
		for name, spoilt := range map[string]string{"stop": "wide", "index": "0", "bellows": "much", "longest": "-3", "window": "no-such", "day": "someday", "year": "3026"} {
			if name == "day" && path == "/floor/year" || name == "year" && path == "/floor/day" {
				continue
			}
			r := do(h, request("GET", path+"?"+but(good, name, spoilt).Encode(), ""))
			body := text(t, r)
			if r.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(body, "form-refused") || strings.Contains(body, `role="img"`) {
				t.Errorf("%s %s %q: status %d, or a chart all the same", path, name, spoilt, r.StatusCode)
			}
		}
	}
}

// BenchmarkDayChart is the whole page of a day, both skies, and BenchmarkYearChart of a year, with the records in memory.
func BenchmarkDayChart(b *testing.B)  { benchChart(b, "/floor/day?day=2026-06-21&stop=f/4") }
func BenchmarkYearChart(b *testing.B) { benchChart(b, "/floor/year?year=2026&stop=f/4") }

func benchChart(b *testing.B, target string) {
	s := placedServer(b)
	for b.Loop() {
		if r := do(s, request("GET", target, "")); r.StatusCode != http.StatusOK {
			b.Fatal(r.StatusCode)
		}
	}
}

// placedServer serves a studio that knows where it stands, with a window.
func placedServer(b *testing.B) *web.Server {
	n := 0
	records := studio.New(studiotest.NewMemory(), morning, func() studio.ID { n++; return studio.ID(fmt.Sprintf("bench-%04d", n)) })
	if _, err := records.Begin(b.Context(), studio.Profile{Name: "Atelier at the Lock", Units: studio.Metric, Placed: true,
		Latitude: 50 * measure.Degree, Longitude: 14 * measure.Degree}); err != nil {
		b.Fatal(err)
	}
	if _, err := records.AddWindow(b.Context(), studio.Window{Name: "Large window", Facing: 315 * measure.Degree, Width: 1800, Height: 2200, Sill: 900, SkyShare: 0.7, Distance: 1500}); err != nil {
		b.Fatal(err)
	}
	s, err := web.New(web.Config{Clock: morning, Log: slog.New(slog.DiscardHandler), Listen: "127.0.0.1:8417", Studio: records, Reckon: reckon.New()})
	if err != nil {
		b.Fatal(err)
	}
	if _, err := records.AddLens(b.Context(), studio.Lens{Name: "Number 5", Focal: 450, Circle: 341, Stops: []studio.Stop{{FNumber: 4.5}}}); err != nil {
		b.Fatal(err)
	}
	return s
}

// BenchmarkFloorByWindow is what one letter typed costs while the light is that of sun and sky through a window.
func BenchmarkFloorByWindow(b *testing.B) {
	s := placedServer(b)
	form := url.Values{}
	for name, text := range map[string]string{"lens": "bench-0002", "stop": "f/4.5", "size": "8x10", "by": "magnification", "magnification": "0.43", "way": "window", "weather": "clear"} {
		form.Set(name, text)
	}
	for b.Loop() {
		if r := do(s, typed(form)); r.StatusCode != http.StatusOK {
			b.Fatal(r.StatusCode)
		}
	}
}
