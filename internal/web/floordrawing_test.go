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

	"golang.org/x/net/html"

	"platewright/internal/studio"
	"platewright/internal/studio/studiotest"
	"platewright/internal/web"
	"platewright/internal/web/shared"
	"platewright/measure"
	"platewright/reckon"
)

// span returns how long the line for a length is drawn.
func span(t *testing.T, svg *html.Node, length string, upright bool) float64 {
	t.Helper()
	lines := find(svg, with("data-length", length))
	if len(lines) == 0 {
		t.Fatalf("%s is not drawn in %s", length, attr(svg, "id"))
	}
	d := attr(lines[0], "d")
	low, high := math.Inf(1), math.Inf(-1)
	x, y, i := 0.0, 0.0, 0
	for i < len(d) {
		c := d[i]
		i++
		next := func() float64 {
			j := i
			for j < len(d) && strings.ContainsRune("0123456789.- ", rune(d[j])) && (d[j] != ' ' || j == i) {
				j++
			}
			v, err := strconv.ParseFloat(strings.TrimSpace(d[i:j]), 64)
			if err != nil {
				t.Fatalf("path %q: %v", d, err)
			}
			i = j
			return v
		}
		switch c {
		case 'M', 'L':
			x, y = next(), next()
		case 'H':
			x = next()
		case 'V':
			y = next()
		default:
			t.Fatalf("path %q: %c is not expected here", d, c)
		}
		v := x
		if upright {
			v = y
		}
		low, high = min(low, v), max(high, v)
	}
	return high - low
}

// The drawing is to scale: every length drawn, times the scale, is the length reckoned, on both sheets and
// in every light, whatever is planned.
func TestFloorIsDrawnToScale(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	for _, tt := range []struct{ question, size, m string }{
		{focusQuestion, "8x10", "0.43"},
		{`{"focal_mm":450,"f_number":4.5,"pupil_mag":0.905,"plate":"whole plate lying","magnification":0.12}`, "whole plate lying", "0.12"},
		{`{"focal_mm":450,"f_number":4.5,"pupil_mag":0.905,"plate":"quarter plate","magnification":1}`, "quarter plate", "1"},
		{`{"focal_mm":450,"f_number":4.5,"pupil_mag":0.905,"plate":"8x10","magnification":0.015}`, "8x10", "0.015"},
	} {
		a := answered(t, "focus", tt.question)
		size := plateSize(t, tt.size)
		across, up := a["frame_width_mm"].(float64), a["frame_height_mm"].(float64)
		if size.Width > size.Height {
			across, up = up, across
		}
		for _, light := range shared.Lights() {
			r := typed(but(but(form, "size", tt.size), "magnification", tt.m))
			r.AddCookie(&http.Cookie{Name: "light", Value: string(light)})
			doc := document(t, do(h, r))
			for _, sheet := range []string{"wide", "narrow"} {
				side, above := find(doc, with("id", sheet+"-side"))[0], find(doc, with("id", sheet+"-above"))[0]
				scale, err := strconv.ParseFloat(attr(side, "data-scale"), 64)
				if err != nil || attr(above, "data-scale") != attr(side, "data-scale") {
					t.Fatalf("scale %q and %q: %v", attr(side, "data-scale"), attr(above, "data-scale"), err)
				}
				lengths := []struct {
					svg     *html.Node
					name    string
					upright bool
					want    float64
				}{
					{side, "extension", false, a["extension_mm"].(float64)},
					{side, "distance", false, a["distance_mm"].(float64)},
					{side, "frame-up", true, up},
					{side, "plate", true, float64(size.Height)},
					{above, "frame-across", true, across},
					{above, "plate", true, float64(size.Width)},
				}
				if sheet == "wide" {
					lengths = append(lengths, struct {
						svg     *html.Node
						name    string
						upright bool
						want    float64
					}{side, "room", false, a["room_mm"].(float64)})
				}
				for _, l := range lengths {
					// Places are written to a hundredth of a unit, so a length is right to one of those.
					if got := span(t, l.svg, l.name, l.upright); math.Abs(got-l.want/scale) > 0.0101 {
						t.Errorf("%s at %s, %s, %s: drawn %g units at %g mm a unit, that is %g mm; reckoned %g mm", tt.size, tt.m, light, l.name, got, scale, got*scale, l.want)
					}
				}
				for _, text := range find(side, tag("text")) {
					x, err := strconv.ParseFloat(attr(text, "x"), 64)
					if width := map[string]float64{"wide": 800, "narrow": 400}[sheet]; err == nil && (x < 0 || x > width) {
						t.Errorf("%s at %s, %s: %q stands outside the %s sheet", tt.size, tt.m, light, words(text), sheet)
					}
				}
			}
			detail := find(doc, with("id", "head-side"))[0]
			scale, err := strconv.ParseFloat(attr(detail, "data-scale"), 64)
			if err != nil {
				t.Fatal(err)
			}
			eye, err := strconv.ParseFloat(attr(detail, "data-eye"), 64)
			if err != nil {
				t.Fatal(err)
			}
			for name, want := range map[string]any{"near": a["front_depth_mm"], "far": a["rear_depth_mm"]} {
				var x float64
				if want == nil {
					continue
				}
				d := attr(find(detail, with("data-length", name))[0], "d")
				if _, err := fmt.Sscanf(d, "M%f", &x); err != nil {
					t.Fatal(err)
				}
				if got := math.Abs(x - eye); math.Abs(got-want.(float64)/scale) > 0.0101 {
					t.Errorf("%s at %s, %s: %s is %g units from the eyes, want %g", tt.size, tt.m, light, name, got, want.(float64)/scale)
				}
			}
		}
	}
}

// The figures stand on the drawing.
func TestFloorDrawingSaysFigures(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	a := answered(t, "focus", focusQuestion)
	doc := h.get(t, "/floor?"+form.Encode())
	for _, tt := range []struct{ id, key string }{
		{"wide-side", "extension_mm"}, {"wide-side", "distance_mm"}, {"wide-side", "room_mm"}, {"wide-side", "frame_height_mm"},
		{"narrow-side", "extension_mm"}, {"narrow-side", "distance_mm"}, {"narrow-side", "room_mm"}, {"narrow-side", "frame_height_mm"},
		{"wide-above", "frame_width_mm"}, {"narrow-above", "frame_width_mm"},
	} {
		want := plain(measure.Length(a[tt.key].(float64)).Format(measure.Metric))
		var said []string
		for _, n := range find(find(doc, with("id", tt.id))[0], tag("text")) {
			said = append(said, words(n))
		}
		if !strings.Contains(strings.Join(said, "|"), want) {
			t.Errorf("%s does not say %s (%s): %q", tt.id, want, tt.key, said)
		}
	}
	for _, svg := range find(doc, tag("svg"), func(n *html.Node) bool { return hasClass(n, "elevation") }) {
		tables := find(doc, tag("table"), with("id", attr(svg, "aria-describedby")))
		if len(tables) != 1 || svg.FirstChild == nil || svg.FirstChild.Data != "title" {
			t.Errorf("drawing %q has no table or no title", attr(svg, "class"))
		}
	}
}

// While the eye plane is dragged the lens stays where it is and the eye plane moves by the drawing's own
// scale; and the other way round.
func TestFloorHoldsWhatIsNotDragged(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	form = but(but(form, "by", "distance"), "distance", "2 m")
	start := find(document(t, do(h, typed(form))), with("id", "wide-side"))[0]
	place := func(svg *html.Node, key string) float64 {
		v, err := strconv.ParseFloat(attr(svg, key), 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	for _, held := range []string{"lens", "eye"} {
		view := strings.Join([]string{held, attr(start, "data-"+held), attr(start, "data-scale"), "wide"}, ",")
		moved := find(document(t, do(h, typed(but(but(form, "distance", "1.9 m"), "view", view)))), with("id", "wide-side"))[0]
		if attr(moved, "data-scale") != attr(start, "data-scale") || math.Abs(place(moved, "data-"+held)-place(start, "data-"+held)) > 0.0101 {
			t.Errorf("%s held: it moved from %s to %s, scale from %s to %s", held, attr(start, "data-"+held), attr(moved, "data-"+held), attr(start, "data-scale"), attr(moved, "data-scale"))
		}
		other := map[string]string{"lens": "data-eye", "eye": "data-lens"}[held]
		by := math.Abs(place(moved, other) - place(start, other))
		if want := 100 / place(start, "data-scale"); math.Abs(by-want) > 0.0201 {
			t.Errorf("%s held: the other moved by %g units, want %g", held, by, want)
		}
	}
}

// BenchmarkFloorFragment is what one letter typed, or one step of a handle that is dragged, costs the
// server with its records in memory: a lens that borrows the field of its form, a sitter who turns, a
// camera that is moved, and how likely the sitter keeps still.
func BenchmarkFloorFragment(b *testing.B) {
	records := studio.New(studiotest.NewMemory(), morning, func() studio.ID { return "the-one-lens" })
	if _, err := records.Begin(b.Context(), studio.Profile{Name: "Atelier at the Lock", Units: studio.Metric}); err != nil {
		b.Fatal(err)
	}
	lens, err := records.AddLens(b.Context(), studio.Lens{Name: "Number 5", Focal: 450, Circle: 341, Design: "portrait-1840", Stops: []studio.Stop{{FNumber: 4.5}, {FNumber: 11}}})
	if err != nil {
		b.Fatal(err)
	}
	s, err := web.New(web.Config{Clock: morning, Log: slog.New(slog.DiscardHandler), Listen: "127.0.0.1:8417", Studio: records, Reckon: reckon.New()})
	if err != nil {
		b.Fatal(err)
	}
	square := values("lens", string(lens.ID), "stop", "f/4.5", "size", "8x10", "by", "magnification", "magnification", "0.43", "light_lx", "2000", "index", "1")
	moved, _ := posedForm(square)
	for _, tt := range []struct {
		name string
		form url.Values
	}{{"square", square}, {"moved", moved}} {
		b.Run(tt.name, func(b *testing.B) {
			for b.Loop() {
				if r := do(s, typed(tt.form)); r.StatusCode != http.StatusOK {
					b.Fatal(r.StatusCode)
				}
			}
		})
	}
}
