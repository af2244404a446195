package web_test

import (
	"context"
	"errors"
	"net/http"
	"os"
	"regexp"
	"strings"
	"testing"

	"platewright/chemistry"
	"platewright/internal/studio"
	"platewright/internal/web"
)

// The first questions begin a studio with the recipes that come with the product on its shelf.
func TestBeginEmpty(t *testing.T) {
	h := unbegun(t, nil)
	doc := h.get(t, "/begin")
	if len(find(doc, tag("nav"))) != 0 {
		t.Error("the first questions show rooms there is nothing in yet")
	}
	if len(find(doc, with("name", "start"), with("type", "radio"))) != 0 {
		t.Error("the example is offered though there is none")
	}
	good := values("name", "  Atelier   at the Lock ", "units", "imperial", "place", "Lower Mill", "start", "empty")
	r := h.post(t, "/begin", good, http.StatusSeeOther)
	if got := r.Header.Get("Location"); got != "/desk" {
		t.Errorf("led to %q, want /desk", got)
	}
	p, err := h.studio.Profile(t.Context())
	if err != nil || p.Name != "Atelier at the Lock" || p.Units != studio.Imperial || p.Place != "Lower Mill" {
		t.Errorf("profile %+v, %v", p, err)
	}
	recipes, err := h.studio.Recipes(t.Context())
	if want := len(chemistry.Recipes(false)); err != nil || len(recipes) != want || want == 0 {
		t.Errorf("%d recipes on the shelf, %v, want %d", len(recipes), err, want)
	}
	h.post(t, "/begin", good, http.StatusConflict)
	if r := do(h, request("GET", "/begin", "")); r.StatusCode != http.StatusSeeOther {
		t.Errorf("a studio that has begun asks again: status %d", r.StatusCode)
	}
}

func TestBeginRefuses(t *testing.T) {
	h := unbegun(t, func(c *web.Config) { c.Example = func(context.Context) error { return nil } })
	good := values("name", "Atelier", "units", "metric", "place", "Lower Mill", "start", "empty")
	h.refusesEach(t, "/begin", good, map[string]string{"name": "", "units": "cubits", "place": strings.Repeat("long ", 60), "start": "over"})
	if _, err := h.studio.Profile(t.Context()); err == nil {
		t.Error("a refused form began the studio all the same")
	}
}

func TestBeginWithTheExample(t *testing.T) {
	filled := 0
	h := unbegun(t, func(c *web.Config) {
		c.Example = func(context.Context) error { filled++; return nil }
	})
	asked := h.get(t, "/begin")
	if n := len(find(asked, with("name", "start"), with("type", "radio"))); n != 2 {
		t.Errorf("%d ways to start are offered, want 2", n)
	}
	if n := len(find(asked, with("class", "beginning"), with("role", "status"))); n != 1 {
		t.Errorf("%d lines are there to say that the example takes a while, want 1", n)
	}
	h.post(t, "/begin", values("name", "Atelier", "units", "metric", "start", "example"), http.StatusSeeOther)
	if filled != 1 {
		t.Errorf("the example was made %d times, want once", filled)
	}
}

// When the example fails, and though the browser has left meanwhile, the studio that has begun gets
// the recipes that come with the product.
func TestBeginThoughTheExampleFails(t *testing.T) {
	ctx, leave := context.WithCancel(t.Context())
	h := unbegun(t, func(c *web.Config) {
		c.Example = func(context.Context) error { leave(); return errors.New("no pictures today") }
	})
	r := request("POST", "/begin", values("name", "Atelier", "units", "metric", "start", "example").Encode())
	if got := do(h, r.WithContext(ctx)); got.StatusCode != http.StatusInternalServerError {
		t.Errorf("status %d, want 500", got.StatusCode)
	}
	recipes, err := h.studio.Recipes(t.Context())
	if want := len(chemistry.Recipes(false)); err != nil || len(recipes) != want {
		t.Errorf("%d recipes on the shelf, %v, want %d", len(recipes), err, want)
	}
}

// The page about the product names every danger that docs/cautions.md names, and its licences can
// be read.
func TestAbout(t *testing.T) {
	h := opened(t, studio.Metric)
	doc := h.get(t, "/about")
	page := words(find(doc, tag("main"))[0])
	said, err := os.ReadFile("../../docs/cautions.md")
	if err != nil {
		t.Fatal(err)
	}
	dangers := regexp.MustCompile(`(?m)^- \*\*(.+?)\*\*`).FindAllStringSubmatch(string(said), -1)
	if len(dangers) < 8 {
		t.Fatalf("only %d dangers found in docs/cautions.md", len(dangers))
	}
	for _, d := range dangers {
		if !strings.Contains(page, d[1]) {
			t.Errorf("the page does not name %q, docs/cautions.md does", d[1])
		}
	}
	texts := 0
	for _, a := range find(find(doc, tag("main"))[0], tag("a")) {
		if href := attr(a, "href"); strings.HasPrefix(href, "/static/") {
			texts++
			if r := do(h, request("GET", href, "")); r.StatusCode != http.StatusOK || len(text(t, r)) < 300 {
				t.Errorf("%s: status %d or next to nothing in it", href, r.StatusCode)
			}
		}
	}
	if texts != 3 {
		t.Errorf("%d licence texts can be read, want 3", texts)
	}
}
