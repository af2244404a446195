package web_test

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"platewright/internal/studio"
	"platewright/internal/web"
	"platewright/internal/web/shared"
)

// noon is the clock of these tests.
func noon() time.Time { return time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC) }

// local is a server on loopback with nothing behind it.
func local(t *testing.T, change func(*web.Config)) *web.Server {
	t.Helper()
	cfg := web.Config{Clock: noon, Log: slog.New(slog.DiscardHandler), Listen: "127.0.0.1:8417"}
	if change != nil {
		change(&cfg)
	}
	s, err := web.New(cfg)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// request is one as a browser on this machine would send it.
func request(method, target, body string) *http.Request {
	r := httptest.NewRequest(method, target, strings.NewReader(body))
	r.Host = "127.0.0.1:8417"
	r.RemoteAddr = "127.0.0.1:50000"
	if body != "" {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	return r
}

func do(s http.Handler, r *http.Request) *http.Response {
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w.Result()
}

func text(t *testing.T, r *http.Response) string {
	t.Helper()
	b, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// document is an answer's body as a tree.
func document(t *testing.T, r *http.Response) *html.Node {
	t.Helper()
	n, err := html.Parse(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// find lists the elements for which every condition holds, in document order.
func find(n *html.Node, conditions ...func(*html.Node) bool) []*html.Node {
	var found []*html.Node
	for d := range n.Descendants() {
		if d.Type != html.ElementNode {
			continue
		}
		all := true
		for _, holds := range conditions {
			all = all && holds(d)
		}
		if all {
			found = append(found, d)
		}
	}
	return found
}

func tag(name string) func(*html.Node) bool {
	return func(n *html.Node) bool { return n.Data == name }
}

func with(key, value string) func(*html.Node) bool {
	return func(n *html.Node) bool { return attr(n, key) == value }
}

func attr(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

func words(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data)
			b.WriteByte(' ')
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// A page has its landmarks, one h1, a skip link to the work, the five rooms
// with the present one named, and the slip.
func TestPageHasLandmarks(t *testing.T) {
	r := do(local(t, nil), request("GET", "/specimen", ""))
	if r.StatusCode != http.StatusOK {
		t.Fatalf("status %d", r.StatusCode)
	}
	doc := document(t, r)
	for _, want := range []struct {
		what  string
		conds []func(*html.Node) bool
		count int
	}{
		{"main", []func(*html.Node) bool{tag("main"), with("id", "work")}, 1},
		{"h1", []func(*html.Node) bool{tag("h1")}, 1},
		{"header", []func(*html.Node) bool{tag("header")}, 1},
		{"rooms", []func(*html.Node) bool{tag("nav"), with("aria-label", "Rooms")}, 1},
		{"search", []func(*html.Node) bool{tag("search")}, 1},
		{"slip", []func(*html.Node) bool{tag("aside"), with("id", "slip")}, 1},
		{"skip link", []func(*html.Node) bool{tag("a"), with("href", "#work")}, 1},
		{"present room", []func(*html.Node) bool{tag("a"), with("aria-current", "page")}, 1},
		{"light buttons", []func(*html.Node) bool{tag("button"), with("name", "light")}, 3},
		{"pressed light", []func(*html.Node) bool{tag("button"), with("aria-pressed", "true"), with("value", "day")}, 1},
	} {
		if got := len(find(doc, want.conds...)); got != want.count {
			t.Errorf("%s: %d on the page, want %d", want.what, got, want.count)
		}
	}
	nav := find(doc, tag("nav"))[0]
	if got, want := words(nav), "Desk Floor Dark room Copy stand Plate store"; got != want {
		t.Errorf("rooms %q, want %q", got, want)
	}
}

// Every input has a label, and what belongs to it is named by an id that exists.
func TestFieldsAreLabelled(t *testing.T) {
	doc := document(t, do(local(t, nil), request("GET", "/specimen", "")))
	byID := map[string]bool{}
	for _, n := range find(doc, func(n *html.Node) bool { return attr(n, "id") != "" }) {
		if byID[attr(n, "id")] {
			t.Errorf("id %q twice on the page", attr(n, "id"))
		}
		byID[attr(n, "id")] = true
	}
	inputs := find(doc, tag("input"))
	if len(inputs) < 5 {
		t.Fatalf("only %d inputs found", len(inputs))
	}
	for _, in := range inputs {
		if attr(in, "type") == "hidden" {
			continue
		}
		labelled := len(find(doc, tag("label"), with("for", attr(in, "id")))) == 1
		for up := in.Parent; up != nil; up = up.Parent {
			labelled = labelled || up.Data == "label"
		}
		if !labelled {
			t.Errorf("input %s has no label", attr(in, "name"))
		}
		for _, id := range strings.Fields(attr(in, "aria-describedby")) {
			if !byID[id] {
				t.Errorf("input %s is described by %q, which is not there", attr(in, "name"), id)
			}
		}
	}
	wrong := find(doc, tag("input"), with("name", "stop"))[0]
	if attr(wrong, "aria-invalid") != "true" || attr(wrong, "value") != "f/" {
		t.Errorf("a wrong field keeps what was typed and says it is wrong: %v", wrong.Attr)
	}
}

// A script that asks gets the screen alone, and the slip to replace the one
// shown; a browser gets the whole page from the same address.
func TestFragmentOrPage(t *testing.T) {
	s := local(t, nil)
	for _, tt := range []struct {
		name    string
		headers map[string]string
		whole   bool
	}{
		{"browser", nil, true},
		{"script", map[string]string{"HX-Request": "true", "HX-Request-Type": "partial"}, false},
		{"script asking for the whole page", map[string]string{"HX-Request": "true", "HX-Request-Type": "full"}, true},
		{"going back", map[string]string{"HX-Request": "true", "HX-History-Restore-Request": "true"}, true},
	} {
		t.Run(tt.name, func(t *testing.T) {
			req := request("GET", "/specimen", "")
			for k, v := range tt.headers {
				req.Header.Set(k, v)
			}
			r := do(s, req)
			if !strings.Contains(strings.Join(r.Header.Values("Vary"), ","), "HX-Request") {
				t.Errorf("Vary %q does not name HX-Request", r.Header.Values("Vary"))
			}
			body := text(t, r)
			if whole := strings.HasPrefix(strings.ToLower(body), "<!doctype html>"); whole != tt.whole {
				t.Errorf("whole page: %v, want %v", whole, tt.whole)
			}
			doc, err := html.Parse(strings.NewReader(body))
			if err != nil {
				t.Fatal(err)
			}
			again := len(find(doc, with("id", "slip"), with("hx-swap-oob", "true"))) == 1
			if again == tt.whole {
				t.Errorf("slip sent to replace: %v on a whole page: %v", again, tt.whole)
			}
		})
	}
}

// The light is kept on the device and the page comes in it, from its first
// bytes on.
func TestLightIsKept(t *testing.T) {
	s := local(t, nil)
	r := do(s, request("POST", "/light", "light=red&back=/specimen%3Fa=1"))
	if r.StatusCode != http.StatusSeeOther || r.Header.Get("Location") != "/specimen?a=1" {
		t.Fatalf("status %d to %q, want 303 to the page it came from", r.StatusCode, r.Header.Get("Location"))
	}
	cookies := r.Cookies()
	if len(cookies) != 1 || cookies[0].Name != "light" || cookies[0].Value != "red" || cookies[0].MaxAge < 180*24*3600 {
		t.Fatalf("cookies %v, want one named light, red, that lasts", cookies)
	}
	req := request("GET", "/specimen", "")
	req.AddCookie(cookies[0])
	body := text(t, do(s, req))
	scheme := strings.Index(body, `<meta name="color-scheme" content="dark">`)
	style := strings.Index(body, "<style>"+shared.Red.FirstPaint()+"</style>")
	if scheme < 0 || style < 0 || style > 400 {
		t.Errorf("color scheme at %d and first paint at %d: want both in the first bytes", scheme, style)
	}
	if !strings.Contains(body, `<html lang="en" data-light="red">`) {
		t.Error("the page is not marked red")
	}
}

// In red, white light is asked about once more while a plate is between the bath and the fixer, with
// and without a script, and else not.
func TestWhiteLightIsAskedAbout(t *testing.T) {
	h := opened(t, studio.Metric)
	p := h.planned(t, 0)
	press := func(form string, script bool) *http.Response {
		r := request("POST", "/light", form+"&back=/darkroom")
		r.AddCookie(&http.Cookie{Name: "light", Value: "red"})
		if script {
			r.Header.Set("HX-Request", "true")
		}
		return do(h, r)
	}
	free := func(when string) {
		t.Helper()
		if r := press("light=day", false); r.StatusCode != http.StatusSeeOther || len(r.Cookies()) != 1 {
			t.Errorf("%s: status %d, want white light at one press", when, r.StatusCode)
		}
	}
	free("a plate only planned")
	for i, kind := range []string{"poured", "in bath", "developer off"} {
		status, _ := h.send(t, p.Number, eventJSON(fmt.Sprintf("press-%04d", i), kind, *h.clock, ""))
		if status != http.StatusOK {
			t.Fatalf("%s: status %d", kind, status)
		}
		if kind == "poured" {
			free("a plate not yet in the bath")
			continue
		}
		for _, script := range []bool{false, true} {
			for _, to := range []string{"day", "lamp"} {
				r := press("light="+to, script)
				if body := text(t, r); r.StatusCode != http.StatusOK || len(r.Cookies()) != 0 || !strings.Contains(body, "Is the plate covered?") ||
					strings.Contains(body, "<html") == script || !script && !strings.Contains(body, `data-light="red"`) {
					t.Errorf("%s, %s, script %t: status %d, cookies %v: %.200s", kind, to, script, r.StatusCode, r.Cookies(), body)
				}
			}
		}
		if r := press("light=day&confirm=yes", false); r.StatusCode != http.StatusSeeOther || len(r.Cookies()) != 1 {
			t.Errorf("confirmed: status %d", r.StatusCode)
		}
		if r := press("light=day&confirm=yes", true); r.Header.Get("HX-Redirect") != "/darkroom" || len(r.Cookies()) != 1 {
			t.Errorf("confirmed with a script: %v", r.Header)
		}
	}
	if status, _ := h.send(t, p.Number, eventJSON("press-0009", "fixed", *h.clock, "")); status != http.StatusOK {
		t.Fatalf("fixed: status %d", status)
	}
	free("a plate fixed")
}

func TestLightRefusals(t *testing.T) {
	s := local(t, nil)
	if r := do(s, request("POST", "/light", "light=green&back=/")); r.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("green light: status %d, want 422", r.StatusCode)
	}
	for _, back := range []string{"https://elsewhere.example/", "//elsewhere.example", `/\elsewhere.example`, "javascript:alert(1)", ""} {
		req := request("POST", "/light", "")
		req.Body = io.NopCloser(strings.NewReader("light=lamp&back=" + back))
		req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		if got := do(s, req).Header.Get("Location"); got != "/" {
			t.Errorf("back %q leads to %q, want /", back, got)
		}
	}
}

// In red light nothing is on the page that opens a window of the browser's own.
func TestRedWithholdsBrowserWindows(t *testing.T) {
	s := local(t, nil)
	req := request("GET", "/specimen", "")
	req.AddCookie(&http.Cookie{Name: "light", Value: "red"})
	doc := document(t, do(s, req))
	for _, banned := range []string{"select", "dialog", "datalist", "details"} {
		if n := len(find(doc, tag(banned))); n != 0 {
			t.Errorf("%d %s in red light", n, banned)
		}
	}
	for _, kind := range []string{"file", "date", "time", "color", "number", "search"} {
		if n := len(find(doc, tag("input"), with("type", kind))); n != 0 {
			t.Errorf("%d inputs of type %s in red light", n, kind)
		}
	}
	if n := len(find(doc, func(n *html.Node) bool { return n.Data != "svg" && attr(n, "title") != "" })); n != 0 {
		t.Errorf("%d tool tips in red light", n)
	}
	for _, line := range find(doc, tag("input"), with("type", "text")) {
		if attr(line, "inputmode") != "none" {
			t.Errorf("%s calls up a phone's lit keys in red light", attr(line, "name"))
		}
	}
	if n := len(find(doc, func(n *html.Node) bool {
		for _, a := range n.Attr {
			if a.Key == "required" {
				return true
			}
		}
		return false
	})); n != 0 {
		t.Errorf("%d fields that open the browser's own bubble in red light", n)
	}
	if n := len(find(doc, tag("button"), with("formaction", "/light"), with("value", "lamp"))); n != 1 {
		t.Errorf("%d ways to lamp light beside the withheld file, want 1", n)
	}
	day := document(t, do(s, request("GET", "/specimen", "")))
	if n := len(find(day, tag("input"), with("type", "file"))); n != 1 {
		t.Errorf("%d file fields in day light, want 1", n)
	}
}

// Every file a page or a style sheet names is there, unchanged by compression,
// and may be kept for ever.
func TestEveryAssetExists(t *testing.T) {
	s := local(t, nil)
	asked := map[string]bool{}
	for _, light := range shared.Lights() {
		req := request("GET", "/specimen", "")
		req.AddCookie(&http.Cookie{Name: "light", Value: string(light)})
		doc := document(t, do(s, req))
		for _, n := range find(doc, func(*html.Node) bool { return true }) {
			for _, key := range []string{"src", "href"} {
				if v := attr(n, key); strings.HasPrefix(v, shared.StaticPrefix) {
					asked[v] = true
				}
			}
		}
	}
	for path := range asked {
		r := do(s, request("GET", path, ""))
		if r.StatusCode != http.StatusOK {
			t.Errorf("%s: status %d", path, r.StatusCode)
			continue
		}
		if !strings.Contains(r.Header.Get("Cache-Control"), "immutable") || r.Header.Get("ETag") == "" {
			t.Errorf("%s: cache %q, tag %q", path, r.Header.Get("Cache-Control"), r.Header.Get("ETag"))
		}
		if strings.HasSuffix(path, ".css") {
			body := text(t, r)
			for _, piece := range strings.Split(body, `url("`)[1:] {
				file, _, _ := strings.Cut(piece, `"`)
				if r := do(s, request("GET", file, "")); r.StatusCode != http.StatusOK {
					t.Errorf("%s names %s: status %d", path, file, r.StatusCode)
				}
			}
			if !strings.Contains(body, "/static/") {
				t.Errorf("%s names no faces: their addresses were not written in", path)
			}
		}
	}
	if len(asked) < 6 {
		t.Errorf("only %d files asked for: %v", len(asked), asked)
	}
}

// The slip in hand stands on every screen.
func TestSlipInHand(t *testing.T) {
	s := local(t, func(c *web.Config) {
		c.InHand = func(context.Context) (shared.SlipData, error) {
			return shared.SlipData{Kind: "Plate", Number: "26-0009", Left: shared.Countdown{Of: "wet", Left: 65 * time.Second}}, nil
		}
		c.StudioName = func(context.Context) (string, error) { return "The Glass House", nil }
	})
	r := do(s, request("GET", "/specimen", ""))
	doc := document(t, r)
	if got := words(find(doc, tag("title"))[0]); got != "Specimen sheet - The Glass House" {
		t.Errorf("title %q", got)
	}
	if len(find(doc, with("id", "slip"))) != 1 {
		t.Error("no slip")
	}
}

// BenchmarkPage is the time of one whole page without a studio behind it.
func BenchmarkPage(b *testing.B) {
	s, err := web.New(web.Config{Clock: noon, Log: slog.New(slog.DiscardHandler), Listen: "127.0.0.1:8417"})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if r := do(s, request("GET", "/specimen", "")); r.StatusCode != http.StatusOK {
			b.Fatal(r.Status)
		}
	}
}

// BenchmarkNew is what the server adds to the start: files taken in, hashed
// and compressed.
func BenchmarkNew(b *testing.B) {
	for b.Loop() {
		if _, err := web.New(web.Config{Clock: noon, Log: slog.New(slog.DiscardHandler), Listen: "127.0.0.1:8417"}); err != nil {
			b.Fatal(err)
		}
	}
}
