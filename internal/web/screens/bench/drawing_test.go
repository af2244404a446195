package bench_test

import (
	"math"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"platewright/internal/web/screens/bench"
)

// elements are those of an SVG text, which must be well formed enough for a browser.
func elements(t *testing.T, svg string) []*html.Node {
	t.Helper()
	doc, err := html.Parse(strings.NewReader(svg))
	if err != nil {
		t.Fatal(err)
	}
	var all []*html.Node
	for n := range doc.Descendants() {
		if n.Type == html.ElementNode {
			all = append(all, n)
		}
	}
	return all
}

func attribute(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if strings.EqualFold(a.Key, key) {
			return a.Val
		}
	}
	return ""
}

// Every drawing says what it shows, keeps within its width, and is without figures that are none.
func TestDrawings(t *testing.T) {
	for _, name := range []string{"camera-and-rule", "glass-and-rail", "nearer", "turned-camera", "far-image", "object-at", "torch-behind", "pupil-in-front", "stop-plate",
		"two-eyes", "both-sides", "flat-wall", "heights-on-glass", "edge-on-glass", "slanted-rule", "stop-in-lens", "stepped-cards", "card-plate", "series", "resting-image", "cone"} {
		svg := bench.Drawing(name, false)
		if svg == "" || strings.Contains(svg, "NaN") || strings.Contains(svg, "Inf") || strings.Contains(svg, "style=") {
			t.Errorf("%s is drawn as %.80q", name, svg)
			continue
		}
		for _, n := range elements(t, svg) {
			if n.Data == "svg" && (attribute(n, "role") != "img" || attribute(n, "aria-label") == "" || !strings.HasPrefix(attribute(n, "viewBox"), "0 0 420 ")) {
				t.Errorf("%s: an element without its name: %v", name, n.Attr)
			}
		}
	}
	if bench.Drawing("something else", false) != "" {
		t.Error("a drawing nobody knows is drawn")
	}
}

// identity: readings are drawn where the axes say, the line through them; what departs stands at its own scale.
func TestPlotIsToScale(t *testing.T) {
	p := bench.Plot{Title: "t", Across: "a", Up: "u", Departs: "mm", Line: [][2]float64{{0, 0}, {10, 100}},
		Marks: []bench.Mark{{X: 0, Y: 0, Departs: 1}, {X: 5, Y: 50, Departs: -2}, {X: 10, Y: 100, Departs: 1, Disagrees: true}}}
	var dots [][2]float64
	squares := 0
	for _, n := range elements(t, p.Draw(false)) {
		switch attribute(n, "class") {
		case "solid":
			if n.Data == "circle" {
				dots = append(dots, [2]float64{number(t, attribute(n, "cx")), number(t, attribute(n, "cy"))})
			}
		case "off":
			squares++
		}
	}
	if len(dots) != 4 || squares != 2 {
		t.Fatalf("%d dots and %d squares, want 4 and 2", len(dots), squares)
	}
	// Between the first mark and the middle one lies half the span, on axes that are 1.08 and 1.16 spans long.
	first, middle := dots[0], dots[1]
	if math.Abs((middle[0]-first[0])/(420-8-66)-0.5/1.08) > 0.005 || math.Abs((first[1]-middle[1])/170-0.5/1.16) > 0.005 {
		t.Errorf("marks at %v and %v: half of the span across and up is wanted", first, middle)
	}
	// Below, −2 lies twice as far from the line as +1, on its other side.
	up, down := dots[2], dots[3]
	zero := (2*up[1] + down[1]) / 3
	if up[1] >= zero || down[1] <= zero {
		t.Errorf("departures at %v and %v", up, down)
	}
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	var v, k float64 = 0, 1
	seen := false
	for _, c := range text {
		switch {
		case c == '.':
			seen = true
		case c >= '0' && c <= '9':
			v = v*10 + float64(c-'0')
			if seen {
				k *= 10
			}
		default:
			t.Fatalf("%q is no coordinate", text)
		}
	}
	return v / k
}

// A plot of one reading, of equal readings, and of none has no figures that are none.
func TestPlotOfLittle(t *testing.T) {
	for name, p := range map[string]bench.Plot{
		"none":  {},
		"one":   {Marks: []bench.Mark{{X: 3, Y: 0}}},
		"equal": {Marks: []bench.Mark{{X: 3, Y: 7}, {X: 3, Y: 7}}, Departs: "mm"},
		"large": {Line: [][2]float64{{0, 1e12}, {1e-9, 1e12}}},
	} {
		if svg := p.Draw(true); strings.Contains(svg, "NaN") || strings.Contains(svg, "Inf") || (svg == "") != (name == "none") {
			t.Errorf("%s: %.200q", name, svg)
		}
	}
}
