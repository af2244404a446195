package web_test

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"platewright/internal/studio"
	"platewright/measure"
)

// kitted is a studio with two lenses and a camera: a long fast one, and one whose circle is too small for a whole plate.
func kitted(t *testing.T) *house {
	t.Helper()
	h := opened(t, studio.Metric)
	for _, l := range []studio.Lens{
		{Name: "Long", Focal: 360, PupilMag: 1, Circle: 400, Stops: []studio.Stop{{FNumber: 4}, {Name: "middle", FNumber: 8}}},
		{Name: "Little", Focal: 100, PupilMag: 1, Circle: 90, Stops: []studio.Stop{{FNumber: 4}}},
	} {
		must(t)(h.studio.AddLens(t.Context(), l))
	}
	back, err := measure.ParsePlateSize("8x10")
	if err != nil {
		t.Fatal(err)
	}
	must(t)(h.studio.AddCamera(t.Context(), studio.Camera{Name: "Stand camera", Back: back, Shortest: 150, Longest: 900, BackTilt: 10 * measure.Degree, BackSwing: 10 * measure.Degree}))
	return h
}

func portrait() url.Values {
	return values("asked", "yes", "sharp", "both eyes", "framing", "head and shoulders", "face", "15", "size", "whole plate", "by", "daylight", "light_lx", "3000",
		"index", "1", "longest", "12 s", "held", "head rest", "wait", "60 s", "swirl", "any", "room", "6 m")
}

// A fresh page proposes a portrait and answers it; each way leads to a floor on which it is set.
func TestChooserLeadsToTheFloor(t *testing.T) {
	h := kitted(t)
	doc := h.get(t, "/floor/choose")
	if ways := find(doc, tag("article")); len(ways) == 0 {
		t.Fatalf("a fresh page proposes nothing: %s", mainWords(doc))
	}
	doc = h.get(t, "/floor/choose?"+portrait().Encode())
	ways := find(doc, tag("article"))
	if len(ways) == 0 {
		t.Fatalf("no way is found: %s", mainWords(doc))
	}
	first := words(ways[0])
	for _, want := range []string{"Long", "Sharp of what must be", "Stays in depth", "lens to eyes", "Plan with this", "on Stand camera"} {
		if !strings.Contains(first, want) {
			t.Errorf("the first way does not say %q: %s", want, first)
		}
	}
	for _, svg := range find(ways[0], tag("svg"), with("role", "img")) {
		if attr(svg, "aria-label") == "" {
			t.Error("a drawing without words")
		}
	}
	plan := find(ways[0], tag("a"), func(n *html.Node) bool { return words(n) == "Plan with this" })
	if len(plan) != 1 {
		t.Fatal("no way to the floor")
	}
	floor := h.get(t, attr(plan[0], "href"))
	for name, want := range map[string]string{"size": "whole plate", "light_lx": "3000", "turn": "15", "by": "distance", "held": "head rest"} {
		if got, problem := kept(floor, name); got != want || problem != "" {
			t.Errorf("on the floor %s is %q (%s), want %q", name, got, problem, want)
		}
	}
	if got := mainWords(floor); strings.Contains(got, "cannot be read") {
		t.Errorf("the floor cannot read it: %s", got)
	}
}

// What cannot make the picture is told with what would, and no lens is offered that does not cover the plate.
func TestChooserTellsWhatCannot(t *testing.T) {
	h := kitted(t)
	doc := h.get(t, "/floor/choose?"+portrait().Encode())
	cannot := find(doc, tag("section"), with("class", "cannot"))
	if len(cannot) != 1 || !strings.Contains(words(cannot[0]), "Little") {
		t.Errorf("the lens whose circle is too small is not told of: %s", mainWords(doc))
	}
	for _, way := range find(doc, tag("article")) {
		if strings.HasPrefix(words(way), "Little") {
			t.Error("a lens is offered that does not cover the plate")
		}
	}
	doc = h.get(t, "/floor/choose?"+but(portrait(), "longest", "1/8 s").Encode())
	if got := mainWords(doc); !strings.Contains(got, "No lens of yours can make this picture") {
		t.Errorf("with an eighth of a second it says %q", got)
	}
}

// Every wish is heard: two heads, a flash, swirl; and a smaller stop makes more of the face sharp.
func TestChooserHearsWishes(t *testing.T) {
	h := kitted(t)
	for name, form := range map[string]url.Values{
		"two heads": but(but(portrait(), "sharp", "two heads"), "across", "280"),
		"flash":     but(but(portrait(), "by", "flash"), "flash", "f/180"),
		"swirl":     but(portrait(), "swirl", "little"),
		"standing":  but(portrait(), "held", "standing"),
		"lying":     but(portrait(), "size", "whole plate lying"),
	} {
		doc := h.get(t, "/floor/choose?"+form.Encode())
		if len(find(doc, tag("article"))) == 0 {
			t.Errorf("%s: no way is found: %s", name, mainWords(doc))
		}
	}
	for name, tt := range map[string]struct{ field, typed, says string }{
		"no plate":  {"size", "", "Write the plate's size"},
		"no light":  {"light_lx", "", "Meter the light"},
		"odd plate": {"size", "a barn door", "cannot be read"},
		"odd wish":  {"sharp", "everything", "cannot be read"},
	} {
		if got := mainWords(h.get(t, "/floor/choose?"+but(portrait(), tt.field, tt.typed).Encode())); !strings.Contains(got, tt.says) {
			t.Errorf("%s: it says %q, want %q", name, got, tt.says)
		}
	}
	r := request("GET", "/floor/choose?"+portrait().Encode(), "")
	r.Header.Set("HX-Request", "true")
	r.Header.Set("HX-Target", "div#ways")
	w := do(h, r)
	if w.StatusCode != http.StatusOK {
		t.Fatalf("status %d", w.StatusCode)
	}
	if doc := document(t, w); len(find(doc, tag("form"))) != 0 || len(find(doc, tag("article"))) == 0 {
		t.Error("a changed wish is not answered with the ways alone")
	}
	empty := opened(t, studio.Metric)
	if got := mainWords(empty.get(t, "/floor/choose")); !strings.Contains(got, "no lens to choose from") {
		t.Errorf("without a lens it says %q", got)
	}
}

// What the bench found of a lens's circle counts before what is written down.
func TestChooserTakesTheMeasuredCircle(t *testing.T) {
	h := kitted(t)
	l, err := h.studio.AddLens(t.Context(), studio.Lens{Name: "Brass", Focal: 300, PupilMag: 1, Circle: 90, Stops: []studio.Stop{{FNumber: 5.6}}})
	if err != nil {
		t.Fatal(err)
	}
	offered := func() bool {
		return slices.ContainsFunc(find(h.get(t, "/floor/choose?"+portrait().Encode()), tag("a")), func(n *html.Node) bool {
			to, err := url.Parse(attr(n, "href"))
			return err == nil && words(n) == "Plan with this" && to.Query().Get("lens") == string(l.ID)
		})
	}
	if offered() {
		t.Error("a lens is offered whose circle is written down as too small")
	}
	h.post(t, "/floor/bench/"+string(l.ID)+"/coverage", values("asked", "yes", "id", "reading-0001", "stop", "f/5.6", "edge_sd", "3", "focal", "300", "focal_sd", "3", "pupil_mag", "1",
		"edge_1", "200", "kind_1", "sharp", "edge_2", "200", "kind_2", "sharp"), http.StatusSeeOther)
	if !offered() {
		t.Error("a lens is not offered whose circle was measured to be large enough")
	}
}

// A studio with very many lenses is answered with as many ways as can be compared.
func TestChooserOfManyLenses(t *testing.T) {
	h := kitted(t)
	for i := range 60 {
		l := studio.Lens{Name: fmt.Sprint("Number ", i), Design: "portrait-1840", Focal: measure.Length(200 + 5*i), PupilMag: 1, Circle: 500}
		for n := range 20 {
			l.Stops = append(l.Stops, studio.Stop{FNumber: measure.FNumber(3.6 + float64(n))})
		}
		must(t)(h.studio.AddLens(t.Context(), l))
	}
	doc := h.get(t, "/floor/choose?"+portrait().Encode())
	best := find(find(doc, tag("section"), with("class", "result"))[0], tag("article"))
	if ways := find(doc, tag("article")); len(best) == 0 || len(ways)-len(best) > 12 {
		t.Errorf("%d ways are shown, %d of them the best", len(ways), len(best))
	}
}

// rowsOf are the rows of one of the floor's tables, by what heads them.
func rowsOf(doc *html.Node, table string) map[string]string {
	rows := map[string]string{}
	for _, tr := range find(find(doc, with("id", table))[0], tag("tr")) {
		if cells := find(tr, tag("td")); len(cells) > 0 {
			rows[words(find(tr, tag("th"))[0])] = words(cells[0])
		}
	}
	return rows
}

// The floor a way leads to shows the picture that was promised: extension, frame, share of the face, what is sharp and the
// chance to stay in depth with its band, to the digit; square and moved, near and far, with a field that is curved and that
// of a form, by daylight and flash.
func TestTheFloorKeepsTheChoosersPromise(t *testing.T) {
	h := kitted(t)
	must(t)(h.studio.AddLens(t.Context(), studio.Lens{Name: "Form", Design: "portrait-1840", Focal: 300, PupilMag: 1, Circle: 500, Stops: []studio.Stop{{FNumber: 3.6}, {FNumber: 8}}}))
	compared := map[string]int{}
	for _, change := range [][]string{{}, {"sharp", "both eyes and lips"}, {"sharp", "nose to ear", "face", "35"}, {"sharp", "whole face", "framing", "half length"},
		{"by", "flash", "flash", "f/90"}, {"wait", ""}} {
		asked := portrait()
		for i := 0; i < len(change); i += 2 {
			asked = but(asked, change[i], change[i+1])
		}
		ways := find(h.get(t, "/floor/choose?"+asked.Encode()), tag("article"))
		if len(ways) == 0 {
			t.Errorf("%v: no way", change)
		}
		for _, way := range ways {
			said := map[string]string{}
			for _, dt := range find(way, tag("dt")) {
				dd := dt.NextSibling
				for dd != nil && dd.Data != "dd" {
					dd = dd.NextSibling
				}
				said[words(dt)] = words(dd)
			}
			href := attr(find(way, tag("a"), func(n *html.Node) bool { return words(n) == "Plan with this" })[0], "href")
			floor := h.get(t, href)
			figures, marks := rowsOf(floor, "figures-table"), rowsOf(floor, "marks-table")
			if got := figures["Extension, lens to plate"]; !strings.HasPrefix(got, said["extension"]) {
				t.Errorf("%s: the extension is %q, promised %q", href, got, said["extension"])
			}
			if got := words(find(floor, func(n *html.Node) bool { return hasClass(n, "share") })[0]); !strings.HasPrefix(got, said["Face sharp"]+" ") {
				t.Errorf("%s: of the face %q, promised %q", href, got, said["Face sharp"])
			}
			targets := map[string][]string{"both eyes": {"right eye", "left eye"}, "both eyes and lips": {"right eye", "left eye", "lips"},
				"nose to ear": {"right eye", "left eye", "nose tip", "right ear"}, "whole face": {"right eye", "left eye", "nose tip", "lips", "chin", "hairline"}}[asked.Get("sharp")]
			if strings.Contains(words(way), "left ear") {
				targets[3] = "left ear"
			}
			sharp := 0
			for _, name := range targets {
				if strings.HasPrefix(marks[name], "sharp") {
					sharp++
				}
			}
			if got := fmt.Sprintf("%d of %d", sharp, len(targets)); got != said["Sharp of what must be"] && !strings.Contains(asked.Get("sharp"), "ear") {
				t.Errorf("%s: sharp is %s, promised %s", href, got, said["Sharp of what must be"])
			}
			chance, band, _ := strings.Cut(strings.TrimSuffix(said["Stays in depth"], ")"), " (")
			still := words(find(floor, func(n *html.Node) bool { return hasClass(n, "still") })[0])
			if want := "in depth " + chance + " (" + strings.ReplaceAll(band, "–", "-") + ")"; sharp > 0 && !strings.Contains(strings.ReplaceAll(still, "–", "-"), want) {
				t.Errorf("%s: still is %q, promised %q", href, still, want)
			}
			compared[strings.Fields(words(way))[0]]++
			if said["movements"] != "" {
				compared["moved"]++
			}
		}
	}
	if compared["Long"] < 5 || compared["Form"] < 5 || compared["moved"] < 3 {
		t.Errorf("only %v were compared", compared)
	}
}
