package web_test

import (
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"platewright/collodion"
	"platewright/colour"
	"platewright/internal/studio"
	"platewright/internal/web"
	"platewright/light"
	"platewright/measure"
)

// thingsOn are the names of the things on the wardrobe's page, in their order.
func thingsOn(t *testing.T, h *house, target string) (names []string, all string) {
	t.Helper()
	doc := h.get(t, target)
	for _, li := range find(doc, tag("li"), with("class", "thing")) {
		name := words(find(li, tag("h3"))[0])
		names = append(names, name)
		if svgs := find(li, tag("svg"), with("role", "img")); len(svgs) != 1 || !strings.Contains(attr(svgs[0], "aria-label"), "eye") {
			t.Errorf("%s: its place has no words", name)
		}
	}
	return names, mainWords(doc)
}

// place is where a thing stands in a list, -1 when it does not.
func place(names []string, thing string) int {
	for i, n := range names {
		if strings.HasPrefix(n, thing+" ") {
			return i
		}
	}
	return -1
}

// The order of red, yellow and blue is the trade's own experience of blue-sensitive plates (common practice, no
// source); what a filter for the ultraviolet adds is an identity: it never lets more through.
func TestWardrobeIsLaidOutByThePlate(t *testing.T) {
	h := opened(t, studio.Metric)
	names, all := thingsOn(t, h, "/floor/wardrobe")
	if len(names) != len(colour.Wardrobe()) {
		t.Errorf("%d things are shown, the wardrobe has %d", len(names), len(colour.Wardrobe()))
	}
	for _, pair := range [][2]string{{"red scarf", "light blue shirt"}, {"yellow silk", "light blue shirt"}, {"black suit", "white shirt"},
		{"light skin behind UV-blocking lenses", "light skin behind clear lenses"}, {"light skin with sunscreen", "light skin behind clear lenses"}} {
		if a, b := place(names, pair[0]), place(names, pair[1]); a < 0 || b < 0 || a >= b {
			t.Errorf("%s stands at %d and %s at %d; the first comes out darker", pair[0], a, pair[1], b)
		}
	}
	for _, want := range []string{"Spectacles that block ultraviolet", "Sunscreen", "tattoo", "let the sitter choose", "not a promise"} {
		if !strings.Contains(all, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	names, _ = thingsOn(t, h, "/floor/wardrobe?group=iris&light=tungsten")
	if len(names) != 5 {
		t.Errorf("irises: %q", names)
	}
}

// A colour of one's own says what the package says of it in that light.
func TestWardrobeTakesAColour(t *testing.T) {
	h := opened(t, studio.Metric)
	for _, c := range []struct {
		hex      string
		kind     light.Kind
		material colour.Material
		typed    string
		stops    measure.Stops
	}{{"#b0182a", light.Shade, colour.None, "", 0}, {"#eeeeee", light.Tungsten, colour.Brightened, "-1", -1}, {"#c99c82", light.CutFlash, colour.Sunscreen, "1.5", 1.5}} {
		rgb, err := colour.ParseRGB(c.hex)
		if err != nil {
			t.Fatal(err)
		}
		v, err := colour.ValueOf(rgb, c.material, c.kind, collodion.UsualCurve(), c.stops)
		if err != nil {
			t.Fatal(err)
		}
		q := url.Values{"colour": {c.hex}, "light": {string(c.kind)}, "material": {string(c.material)}, "exposure": {c.typed}}
		doc := h.get(t, "/floor/wardrobe?"+q.Encode())
		own := find(doc, tag("li"), with("class", "thing"))[0]
		want := fmt.Sprintf("plate %.0f (%.0f–%.0f), eye %.0f", colour.Lightness(v.Plate), colour.Lightness(v.PlateLow), colour.Lightness(v.PlateHigh), colour.Lightness(v.Luminous))
		for _, w := range []string{c.hex, v.Words, want} {
			if !strings.Contains(words(own), w) {
				t.Errorf("%s in %s does not say %q: %s", c.hex, c.kind, w, words(own))
			}
		}
	}
}

// What cannot be read is said at its field, and nothing is shown for it.
func TestWardrobeRefuses(t *testing.T) {
	h := opened(t, studio.Metric)
	for query, want := range map[string]string{"colour=reddish": "reddish", "exposure=40": "10", "light=moon": "moon", "light=own+spectrum": "own spectrum", "group=hats": "hats", "material=wood": "wood"} {
		r := do(h, request("GET", "/floor/wardrobe?"+query, ""))
		doc := document(t, r)
		if r.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(mainWords(doc), want) || len(find(doc, tag("li"), with("class", "thing"))) != 0 {
			t.Errorf("%s answers %d: %s", query, r.StatusCode, mainWords(doc))
		}
		if len(find(doc, with("class", "notice refused form-refused"))) != 1 {
			t.Errorf("%s: no summary of what is refused", query)
		}
	}
}

// The brief tells the sitter of cloths and lips by how they come out, darkest first, in the light that was chosen.
func TestBriefForTheSitter(t *testing.T) {
	var got web.Brief
	h := unbegun(t, func(cfg *web.Config) {
		cfg.Brief = func(w io.Writer, facts web.Brief, paper string) error {
			got = facts
			_, err := io.WriteString(w, "%PDF "+paper)
			return err
		}
	})
	must(t)(h.studio.Begin(t.Context(), studio.Profile{Name: "Atelier at the Lock", Units: studio.Metric, Place: "Lower Mill"}))
	var to string
	for _, a := range find(h.get(t, "/floor/wardrobe?light=window"), tag("a")) {
		if strings.Contains(attr(a, "href"), "brief.pdf") {
			to = attr(a, "href")
		}
	}
	r := do(h, request("GET", to+"&paper=letter", ""))
	if body := text(t, r); r.StatusCode != http.StatusOK || body != "%PDF letter" || r.Header.Get("Content-Type") != "application/pdf" {
		t.Fatalf("%q answers %d: %q", to, r.StatusCode, body)
	}
	if got.Studio != "Atelier at the Lock" || got.Light != "window" || len(got.Ask) < 3 || !strings.Contains(got.Study, "not a promise") {
		t.Errorf("%+v", got)
	}
	worn := 0
	for i, tone := range got.Tones {
		worn += len(tone.Things)
		if i > 0 && tone.Grey <= got.Tones[i-1].Grey {
			t.Errorf("%s is not paler than %s", tone.Word, got.Tones[i-1].Word)
		}
	}
	want := 0
	for _, thing := range colour.Wardrobe() {
		if thing.Group == "cloth" || thing.Group == "lips" {
			want++
		}
	}
	if worn != want || len(got.Tones) < 4 || len(got.Tones) > 8 {
		t.Errorf("%d things in %d tones, want %d", worn, len(got.Tones), want)
	}
	if r := do(h, request("GET", "/floor/wardrobe/brief.pdf?light=moon", "")); r.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("a light there is not answers %d", r.StatusCode)
	}
}
