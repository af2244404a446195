package shared_test

import (
	"math"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"platewright/internal/web/shared"
)

// pinned: our own way of writing bands; look at the sheet when it changes.
func TestBandText(t *testing.T) {
	for _, tt := range []struct {
		low, median, high float64
		unit, want        string
	}{
		{3, 4, 6, "s", "4\u2009s (3-6)"},
		{0.25, 0.5, 1, "s", "0.5\u2009s (0.25-1)"},
		{5.5, 8, 11, "min", "8\u2009min (5.5-11)"},
		{118.4, 123.456, 130, "mm", "123\u2009mm (118-130)"},
		{0.01234, 0.0456, 0.1, "", "0.0456 (0.0123-0.1)"},
		{-1, 0, 2, "stops", "0\u2009stops (-1-2)"},
		{9.996, 10, 1234.5, "s", "10\u2009s (10-1234)"},
	} {
		if got := shared.BandText(tt.low, tt.median, tt.high, tt.unit); got != tt.want {
			t.Errorf("%v %v %v: %q, want %q", tt.low, tt.median, tt.high, got, tt.want)
		}
	}
}

// A band drawn on a scale that cannot be drawn still says its figures, and no
// coordinate is ever not a number.
func TestBandDrawing(t *testing.T) {
	for name, d := range map[string]shared.BandData{
		"plain":          {Low: 3, Median: 4, High: 6, From: 0, To: 10},
		"ratio":          {Low: 3, Median: 4, High: 6, From: 1, To: 64, Ratio: true},
		"off the scale":  {Low: -3, Median: 40, High: 60, From: 0, To: 10},
		"empty scale":    {Low: 3, Median: 4, High: 6},
		"ratio of zero":  {Low: 3, Median: 4, High: 6, From: 0, To: 8, Ratio: true},
		"not a number":   {Low: math.NaN(), Median: math.NaN(), High: math.Inf(1), From: 0, To: 8},
		"very long rule": {Low: 3, Median: 4, High: 6, From: 0.001, To: 1e9, Ratio: true},
	} {
		var out strings.Builder
		if err := shared.Band(d).Render(t.Context(), &out); err != nil {
			t.Fatal(err)
		}
		drawing := out.String()[strings.Index(out.String(), "<svg"):]
		if strings.Contains(drawing, "NaN") || strings.Contains(drawing, "Inf") {
			t.Errorf("%s: a coordinate is not a number: %s", name, drawing)
		}
		if n := strings.Count(drawing, "<text"); n > 12 {
			t.Errorf("%s: %d figures on the scale", name, n)
		}
		if name == "plain" && strings.Count(drawing, "<text") < 4 {
			t.Errorf("plain: too few figures on the scale: %s", drawing)
		}
	}
}

func TestLights(t *testing.T) {
	for _, light := range shared.Lights() {
		if got, ok := shared.ParseLight(string(light)); !ok || got != light {
			t.Errorf("%s is read as %s, %v", light, got, ok)
		}
	}
	if got, ok := shared.ParseLight("RED"); ok || got != shared.Day {
		t.Errorf("RED is read as %s, %v", got, ok)
	}
	if got := shared.LightOf(shared.WithLight(t.Context(), shared.Red)); got != shared.Red {
		t.Errorf("the context's light is %s", got)
	}
	if got := shared.LightOf(t.Context()); got != shared.Day {
		t.Errorf("without a light it is %s", got)
	}
}

// A screen's files are taken in once, and what a style sheet names must exist.
func TestScreenAssets(t *testing.T) {
	screen := fstest.MapFS{
		"plate.css": {Data: []byte(`.x{background:url("plate.svg")}`)}, "plate.js": {Data: []byte("1;")}, "plate.svg": {Data: []byte("<svg/>")},
		"plate.go": {Data: []byte("package plate")},
	}
	assets, err := shared.NewAssets(screen)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(assets.URL("plate.css"), shared.StaticPrefix) || strings.Contains(assets.URL("plate.css"), "missing") {
		t.Errorf("plate.css at %s", assets.URL("plate.css"))
	}
	if !strings.Contains(assets.URL("plate.go"), "missing") {
		t.Error("source is served")
	}
	if _, err := shared.NewAssets(screen, screen); err == nil {
		t.Error("two files of one name are taken")
	}
	if _, err := shared.NewAssets(fstest.MapFS{"a.css": {Data: []byte(`a{src:url("none.svg")}`)}}); err == nil {
		t.Error("a style sheet naming a file that is not there is taken")
	}
}

// The tokens are the house's table.
func TestTokens(t *testing.T) {
	assets, err := shared.NewAssets()
	if err != nil {
		t.Fatal(err)
	}
	css := string(assets.Bytes("shared.css"))
	for light, tokens := range map[shared.Light][]string{
		shared.Day:  {"--ground: #F7F3EA", "--panel: #FFFDF7", "--ink: #1E1B16", "--quiet: #5C554A", "--line: #CFC6B4", "--amber: #8A5200", "--warn: #8A1C1C"},
		shared.Lamp: {"--ground: #12110F", "--panel: #1C1A17", "--ink: #EFE7D6", "--quiet: #B8AE9B", "--line: #3A362F", "--amber: #E0A33A", "--warn: #F08A7A"},
		shared.Red:  {"--ground: #000000", "--panel: #000000", "--ink: #FF0000", "--quiet: #FF0000", "--line: #700000", "--amber: #FF0000", "--warn: #FF0000"},
	} {
		_, rest, found := strings.Cut(css, `html[data-light="`+string(light)+`"] {`)
		block, _, closed := strings.Cut(rest, "}")
		if !found || !closed {
			t.Fatalf("%s has no tokens", light)
		}
		for _, token := range tokens {
			if !strings.Contains(block, token+";") {
				t.Errorf("%s lacks %s", light, token)
			}
		}
	}
}

// published: contrast of text by the formula of WCAG 2.2 [WCAG22, relative
// luminance, contrast ratio], from memory: 4.5:1 for text, 3:1 for the lines
// of controls and for large text, which red light's is (24 px and up).
func TestContrast(t *testing.T) {
	assets, err := shared.NewAssets()
	if err != nil {
		t.Fatal(err)
	}
	css := string(assets.Bytes("shared.css"))
	token := func(light shared.Light, name string) float64 {
		_, rest, _ := strings.Cut(css, `html[data-light="`+string(light)+`"] {`)
		_, rest, _ = strings.Cut(rest, "--"+name+": #")
		v, err := strconv.ParseUint(rest[:6], 16, 32)
		if err != nil {
			t.Fatalf("%s %s: %v", light, name, err)
		}
		linear := func(c uint64) float64 {
			s := float64(c) / 255
			if s <= 0.04045 {
				return s / 12.92
			}
			return math.Pow((s+0.055)/1.055, 2.4)
		}
		return 0.2126*linear(v>>16) + 0.7152*linear(v>>8&255) + 0.0722*linear(v&255)
	}
	for _, light := range shared.Lights() {
		for _, pair := range [][2]string{
			{"ink", "ground"}, {"ink", "panel"}, {"quiet", "ground"}, {"quiet", "panel"},
			{"amber", "ground"}, {"amber", "panel"}, {"warn", "ground"}, {"warn", "panel"}, {"on-amber", "amber"}, {"ground", "ink"},
		} {
			a, b := token(light, pair[0]), token(light, pair[1])
			if got := (max(a, b) + 0.05) / (min(a, b) + 0.05); got < 4.5 {
				t.Errorf("%s: %s on %s is %.2f:1, want 4.5:1 [WCAG22]", light, pair[0], pair[1], got)
			}
		}
	}
}
