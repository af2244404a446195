package web_test

import (
	"context"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"github.com/alexedwards/scs/v2/memstore"

	"platewright/internal/studio"
	"platewright/internal/web"
)

func TestStudioPage(t *testing.T) {
	h := opened(t, studio.Metric)
	sitting := h.sitting(t, h.sitter(t, "Ottilie Brandt"), morning())
	h.sitter(t, "Jonas Weir")
	for range 3 {
		must(t)(h.studio.PlanPlate(t.Context(), studio.Plan{Sitting: sitting.ID, Size: sitting.Size}))
	}
	n := studio.Number{Year: 2026, Serial: 2}
	must(t)(h.studio.Record(t.Context(), n, studio.Event{ID: "event-of-the-pour", Kind: studio.Poured, At: morning()}))

	foot := find(h.get(t, "/desk"), tag("footer"))
	if len(foot) != 1 || len(find(foot[0], tag("a"), with("href", "/studio"))) != 1 || len(find(foot[0], tag("a"), with("href", "/about"))) != 1 {
		t.Fatal("the foot of the desk does not lead to /studio and /about")
	}
	page := mainWords(h.get(t, "/studio"))
	for _, want := range []string{
		"Plates 3 of them poured 1 Sitters 2 Sittings 1 Begun Tuesday, 24 November 2026",
		"Recipes that need cyanide are off", "No password is set", "platewright password", "platewright open --listen 0.0.0.0:8417",
		"listens at 127.0.0.1:8417, which no other machine reaches", "plain HTTP, others on the same network can read",
	} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not say %q: %s", want, page)
		}
	}
}

func TestStudioChanges(t *testing.T) {
	h := opened(t, studio.Metric)
	form := values("version", "1", "name", " The  Lock House ", "units", "imperial", "place", "Upper Mill", "room", "6.5 m")
	h.refusesEach(t, "/studio", form, map[string]string{"name": " ", "units": "cubits", "place": strings.Repeat("long ", 60), "room": "90 cm"})
	if r := h.post(t, "/studio", form, http.StatusSeeOther); r.Header.Get("Location") != "/studio" {
		t.Errorf("led to %q", r.Header.Get("Location"))
	}
	p, err := h.studio.Profile(t.Context())
	if err != nil || p.Name != "The Lock House" || p.Units != studio.Imperial || p.Place != "Upper Mill" || p.Room != 6500 || p.Version != 2 || !p.Created.Equal(morning()) {
		t.Errorf("stored %+v, %v", p, err)
	}
	if got := words(find(h.get(t, "/studio"), tag("header"))[0]); !strings.Contains(got, "The Lock House") {
		t.Errorf("the head of the page says %q", got)
	}

	// Made from the first version: both forms are shown, and the choice goes against the newer one.
	late := but(but(form, "name", "Mill Rooms"), "units", "metric")
	doc := document(t, h.post(t, "/studio", late, http.StatusConflict))
	pageInOrder(t, "conflict", doc)
	page := mainWords(doc)
	for _, want := range []string{"Name Mill Rooms yours, as you typed it The Lock House theirs, as it stands now", "Units metric yours", "imperial theirs"} {
		if !strings.Contains(page, want) {
			t.Errorf("the conflict does not show %q: %s", want, page)
		}
	}
	chosen := url.Values{"name": {"Mill Rooms"}, "units": {"imperial"}}
	for _, in := range find(find(doc, tag("form"), with("action", "/studio"))[0], tag("input"), with("type", "hidden")) {
		chosen.Set(attr(in, "name"), attr(in, "value"))
	}
	h.post(t, "/studio", chosen, http.StatusSeeOther)
	p, err = h.studio.Profile(t.Context())
	if err != nil || p.Name != "Mill Rooms" || p.Units != studio.Imperial || p.Place != "Upper Mill" || p.Room != 6500 || p.Version != 3 {
		t.Errorf("after the choice %+v, %v", p, err)
	}
}

// A studio with a password says so, and where it listens, to this machine and to a device that has
// logged in.
func TestStudioOnTheNetwork(t *testing.T) {
	kept, err := web.HashPassword("albumen and lavender")
	if err != nil {
		t.Fatal(err)
	}
	h := unbegun(t, func(c *web.Config) {
		c.Listen, c.Sessions = "0.0.0.0:9000", memstore.New()
		c.Passwords = func(context.Context) (string, error) { return kept, nil }
	})
	must(t)(h.studio.Begin(t.Context(), studio.Profile{Name: "Atelier", Units: studio.Metric}))
	page := mainWords(h.get(t, "/studio"))
	for _, want := range []string{"A password is set", "listens at 0.0.0.0:9000, which other machines", "--listen 0.0.0.0:9000"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not say %q: %s", want, page)
		}
	}
	if strings.Contains(page, "argon2") {
		t.Error("the page shows what is kept of the password")
	}
	far := httptest.NewRequest("GET", "/studio", nil)
	if r := do(h, far); r.StatusCode != http.StatusSeeOther || !strings.HasPrefix(r.Header.Get("Location"), "/login") {
		t.Errorf("from elsewhere: status %d to %q, want the login", r.StatusCode, r.Header.Get("Location"))
	}
}
