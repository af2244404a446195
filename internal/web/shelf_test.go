package web_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"platewright/chemistry"
	"platewright/internal/studio"
)

// stocked is a house with every recipe that comes with the product, by name.
func stocked(t *testing.T, units studio.System) (*house, map[string]studio.Recipe) {
	t.Helper()
	h := opened(t, units)
	byName := map[string]studio.Recipe{}
	for _, body := range chemistry.Recipes(false) {
		r, err := h.studio.AddRecipe(t.Context(), studio.Recipe{Body: body})
		if err != nil {
			t.Fatal(err)
		}
		byName[body.Name] = r
	}
	return h, byName
}

// Every recipe on the shelf has a page on which it is scaled through the reckoning, with its
// cautions, its order and its label.
func TestEveryRecipeIsScaled(t *testing.T) {
	h, recipes := stocked(t, studio.Metric)
	shelf := mainWords(h.get(t, "/darkroom/shelf"))
	for name, r := range recipes {
		if !strings.Contains(shelf, name) {
			t.Errorf("the shelf does not list %s", name)
		}
		at := "/darkroom/shelf/recipes/" + string(r.ID)
		doc := h.get(t, at+"?volume=500+ml")
		page := mainWords(doc)
		for _, want := range []string{name[1:], "Weigh and pour, for 500 ml", "In this order", "Its label"} {
			if !strings.Contains(page, want) {
				t.Errorf("%s: the page does not say %q: %s", name, want, page)
			}
		}
		for _, c := range r.Body.Cautions {
			if !strings.Contains(page, c[1:]) || !strings.Contains(shelf, c[1:]) {
				t.Errorf("%s: the caution %q does not stand on the shelf and the page", name, c)
			}
		}
		if rows := len(find(doc, tag("th"), with("scope", "row"))); rows != len(r.Body.Parts) {
			t.Errorf("%s: %d lines are shown, the recipe has %d", name, rows, len(r.Body.Parts))
		}
		if got := mainWords(h.get(t, at)); !strings.Contains(got, "Weigh and pour, for") {
			t.Errorf("%s without a volume: %s", name, got)
		}
	}
}

// Twice the volume takes twice the silver: 45 grains to the US fluid ounce are 98.6 g to the litre,
// by 64.79891 mg to the grain and 29.5735295625 ml to the ounce [SP811].
func TestMixIsScaled(t *testing.T) {
	h, recipes := stocked(t, studio.Metric)
	r, ok := recipes["silver bath of 45 grains"]
	if !ok {
		t.Fatal("the silver bath of 45 grains is not on the shelf")
	}
	at := "/darkroom/shelf/recipes/" + string(r.ID)
	perLitre := 45 * 64.79891e-3 / 29.5735295625e-3
	for volume, litres := range map[string]float64{"1 l": 1, "2000": 2, "0,5 l": 0.5} {
		page := mainWords(h.get(t, at+"?volume="+url.QueryEscape(volume)))
		if want := fmt.Sprintf("silver nitrate %.3g g", perLitre*litres); !strings.Contains(page, want) {
			t.Errorf("%s: the page does not say %q: %s", volume, want, page)
		}
	}
	for volume, want := range map[string]string{"lots": "lots", "1000 l": "200000", "2 pints": ""} {
		answer := do(h, request("GET", at+"?volume="+url.QueryEscape(volume), ""))
		doc := document(t, answer)
		value, problem := kept(doc, "volume")
		if answer.StatusCode != http.StatusUnprocessableEntity || value != volume || problem == "" || !strings.Contains(problem, want) {
			t.Errorf("%q: status %d, shows %q and says %q", volume, answer.StatusCode, value, problem)
		}
		if got := mainWords(doc); strings.Contains(got, "Weigh and pour") {
			t.Errorf("%q is mixed all the same", volume)
		}
	}
	imperial, recipes := stocked(t, studio.Imperial)
	if got := mainWords(imperial.get(t, "/darkroom/shelf/recipes/"+string(recipes["silver bath of 45 grains"].ID)+"?volume=10")); !strings.Contains(got, "for 10 imp fl oz") {
		t.Errorf("in a studio of imperial habits a bare 10 is not imperial fluid ounces: %s", got)
	}
}

// Where a recipe comes from is told as a work, with the key beside it; a line of another origin tells
// its own; what is no work stands as it is written.
func TestRecipeTellsItsSources(t *testing.T) {
	h, recipes := stocked(t, studio.Metric)
	works := map[string]string{}
	for _, c := range chemistry.Citations() {
		works[c.Key] = c.Work
	}
	list := mainWords(h.get(t, "/darkroom/shelf"))
	for name, want := range map[string][]string{
		"hot weather collodion": {"Collodion, from " + works["Wilson1881"], "the recipe " + works["Wilson1881"] + " Wilson1881", "pyroxylin " + works["Britannica1911"] + " Britannica1911",
			"tested for peroxides (" + works["ICSC0355"] + ")."},
		"hypo fixer":          {"Fixer, from " + works["Schriever1908"], "the recipe " + works["Schriever1908"] + " Schriever1908"},
		"potassium collodion": {"Collodion, from memory: our own", "the recipe from memory: our own"},
	} {
		r, ok := recipes[name]
		if !ok {
			t.Fatalf("%s is not on the shelf", name)
		}
		page := mainWords(h.get(t, "/darkroom/shelf/recipes/"+string(r.ID)))
		for _, w := range want {
			if !strings.Contains(page, w) {
				t.Errorf("%s: the page does not say %q: %s", name, w, page)
			}
		}
	}
	for key, work := range works {
		if strings.Contains(list, key) {
			t.Errorf("the shelf's list says %s, want words alone", key)
		}
		if key != "Britannica1911" && key != "ICSC0355" && !strings.Contains(list, "from "+work) {
			t.Errorf("the shelf's list does not say %q", work)
		}
	}
}

// What must not meet is not mixed, and the page says why in plain words.
func TestRefusedMixtureIsShownPlainly(t *testing.T) {
	h := opened(t, studio.Metric)
	body := chemistry.Recipe{Name: "an old mistake", Kind: chemistry.Bath, System: chemistry.Metric, Source: "an invented notebook",
		Parts: []chemistry.Part{{Substance: "silver nitrate", Amount: 40, Unit: "g"}, {Substance: "ammonia water", Amount: 5, Unit: "ml"}, {Substance: "water", Amount: 500, Unit: "ml"}},
		Makes: chemistry.Amount{Value: 500, Unit: "ml"}}
	if _, err := chemistry.SubstanceNamed("ammonia water"); err != nil {
		body.Parts[1].Substance = "ammonia"
	}
	r, err := h.studio.AddRecipe(t.Context(), studio.Recipe{Body: body, Own: true})
	if err != nil {
		t.Fatal(err)
	}
	page := mainWords(h.get(t, "/darkroom/shelf/recipes/"+string(r.ID)))
	if !strings.Contains(page, "fulminating silver") || strings.Contains(page, "In this order") {
		t.Errorf("silver with ammonia: %s", page)
	}
	if !strings.Contains(page, "The studio's own") && !strings.Contains(page, "the studio's own") {
		t.Errorf("whose recipe it is does not stand there: %s", page)
	}
}

func TestBatchIsWrittenDown(t *testing.T) {
	h, recipes := stocked(t, studio.Metric)
	if got := mainWords(h.get(t, "/darkroom/shelf")); !strings.Contains(got, "No batch stands on the shelf") {
		t.Errorf("an empty shelf says %q", got)
	}
	var of studio.Recipe
	for _, r := range recipes {
		if r.Body.Kind == chemistry.Collodion {
			of = r
		}
	}
	doc := h.get(t, "/darkroom/shelf/batches/new?recipe="+string(of.ID))
	if value, _ := kept(doc, "recipe"); value != string(of.ID) {
		t.Errorf("the recipe one came from is not chosen: %q", value)
	}
	form := values("name", "Collodion 7", "volume", "250", "mixed", "3 Nov 2026", "recipe", string(of.ID), "note", "from the new ether")
	h.refusesEach(t, "/darkroom/shelf/batches/new", form, map[string]string{"name": "", "volume": "a bottle", "mixed": "whenever", "recipe": "", "note": strings.Repeat("x", 4001)})
	h.refusesEach(t, "/darkroom/shelf/batches/new", form, map[string]string{"volume": "0", "mixed": "1800-01-01", "recipe": "none-such"})
	if all, err := h.studio.Batches(t.Context()); err != nil || len(all) != 0 {
		t.Fatalf("refused forms wrote %d batches, %v", len(all), err)
	}
	r := h.post(t, "/darkroom/shelf/batches/new", form, http.StatusSeeOther)
	if r.Header.Get("Location") != "/darkroom/shelf" {
		t.Errorf("led to %q", r.Header.Get("Location"))
	}
	all, err := h.studio.Batches(t.Context())
	if err != nil || len(all) != 1 || all[0].Kind != "collodion" || all[0].Volume != 250 {
		t.Fatalf("batches %+v, %v", all, err)
	}
	// Mixed at noon of 3 November; the clock stands at 24 November, half past nine UTC.
	if got := mainWords(h.get(t, "/darkroom/shelf")); !strings.Contains(got, "Collodion 7") || !strings.Contains(got, "21 days, since Tue 3 November") {
		t.Errorf("the shelf says %q", got)
	}
	at := "/darkroom/shelf/batches/" + string(all[0].ID)
	shown := h.shownOn(t, at, "version", "name", "volume", "mixed", "note", "retired")
	if got := mainWords(h.get(t, at)); !strings.Contains(got, "Mixed from "+of.Body.Name) {
		t.Errorf("the batch says %q", got)
	}
	h.post(t, at, but(shown, "retired", "yes"), http.StatusSeeOther)
	again, err := h.studio.Batch(t.Context(), all[0].ID)
	if err != nil || !again.Retired || !again.Mixed.Equal(all[0].Mixed) || again.Volume != 250 || again.Recipe != of.ID {
		t.Errorf("retired it is %+v, %v", again, err)
	}
	if got := mainWords(h.get(t, "/darkroom/shelf")); !strings.Contains(got, "Retired batches") || !strings.Contains(got, "No batch stands") {
		t.Errorf("the shelf says %q", got)
	}
	conflict := document(t, h.post(t, at, but(shown, "volume", "200"), http.StatusConflict))
	if got := mainWords(conflict); !strings.Contains(got, "200 ml yours") || !strings.Contains(got, "250 ml theirs") || !strings.Contains(got, "retired theirs") {
		t.Errorf("the conflict says %q", got)
	}
}

// A batch mixed today is no day old, and its hour is kept when the rest of it is changed.
func TestBatchMixedToday(t *testing.T) {
	h, recipes := stocked(t, studio.Metric)
	var of studio.Recipe
	for _, r := range recipes {
		of = r
	}
	h.post(t, "/darkroom/shelf/batches/new", values("name", "Bottle", "volume", "1 l", "mixed", "today", "recipe", string(of.ID)), http.StatusSeeOther)
	all, err := h.studio.Batches(t.Context())
	if err != nil || len(all) != 1 || !all[0].Mixed.Equal(morning()) {
		t.Fatalf("batches %+v, %v, want one mixed now", all, err)
	}
	*h.clock = h.clock.Add(49 * time.Hour)
	if got := mainWords(h.get(t, "/darkroom/shelf")); !strings.Contains(got, "2 days, since Tue 24 November") {
		t.Errorf("two days later: %s", got)
	}
}

// A recipe is first shown for a volume one mixes, not for its author's one ounce, and the form of a
// batch leads to what is weighed for its volume.
func TestRecipeIsShownForAUsefulVolume(t *testing.T) {
	h, recipes := stocked(t, studio.Metric)
	r := recipes["silver bath of 45 grains"]
	at := "/darkroom/shelf/recipes/" + string(r.ID)
	page := h.get(t, at)
	got := mainWords(page)
	// 45 grains to the US fluid ounce, in half a litre: as in TestMixIsScaled [SP811].
	if want := fmt.Sprintf("silver nitrate %.3g g", 45*64.79891e-3/29.5735295625e-3/2); !strings.Contains(got, "for 500\u2009ml") && !strings.Contains(got, "for 500 ml") || !strings.Contains(got, want) {
		t.Errorf("without a volume the page is not for half a litre, with %q: %s", want, got)
	}
	if volume, weigh := strings.Index(got, "Mix how much?"), strings.Index(got, "Weigh and pour"); volume < 0 || volume > weigh {
		t.Errorf("the volume is asked for after the parts: %s", got)
	}
	if note := r.Body.Note; note != "" && strings.Index(got, note) > strings.Index(got, "Weigh and pour") {
		t.Errorf("the author's note stands after the parts: %s", got)
	}
	form := mainWords(h.get(t, "/darkroom/shelf/batches/new?recipe="+string(r.ID)+"&volume=2+l"))
	if !strings.Contains(form, "What to weigh and pour for 2 l") {
		t.Errorf("the form of a batch does not lead to its weights: %s", form)
	}
}

// A batch mixed late last night is a day old this morning, by the studio's calendar and not by hours.
func TestBatchAgeByTheCalendar(t *testing.T) {
	h, recipes := stocked(t, studio.Metric)
	mixed := time.Date(2026, 11, 23, 21, 0, 0, 0, time.UTC) // twelve and a half hours before [morning]
	must(t)(h.studio.AddBatch(t.Context(), studio.Batch{Name: "Last night's", Recipe: recipes["hypo fixer"].ID, Mixed: mixed, Volume: 500}))
	if got := mainWords(h.get(t, "/darkroom/shelf")); !strings.Contains(got, "1 day, since Mon 23 November") {
		t.Errorf("a batch of last night is not a day old: %s", got)
	}
}
