package studio_test

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"platewright/chemistry"
	"platewright/internal/studio"
	"platewright/internal/studio/studiotest"
	"platewright/measure"
)

// Common practice and our own rules are what these tests hold the package to; no figure here comes
// from outside.

var halfPlate = measure.PlateSize{Name: "half plate", Width: 107.95, Height: 139.7}

// house is a studio over records in memory, with a clock and ids that the test owns.
type house struct {
	*studio.Studio
	t    *testing.T
	now  time.Time
	id   func() studio.ID
	kept studio.Records
}

func newHouse(t *testing.T) *house {
	h := &house{t: t, now: time.Date(2026, 5, 4, 9, 0, 0, 0, time.UTC), id: ids("id"), kept: studiotest.NewMemory()}
	h.Studio = studio.New(h.kept, func() time.Time { return h.now }, h.id)
	_, err := h.Begin(t.Context(), studio.Profile{Name: " The  Rooms ", Units: studio.Metric, Place: "Nowhere"})
	h.must(err)
	return h
}

// ids returns a maker of ids that begin so.
func ids(begin string) func() studio.ID {
	made := 0
	return func() studio.ID {
		made++
		return studio.ID(fmt.Sprintf("%s-%06d", begin, made))
	}
}

func (h *house) must(err error) {
	h.t.Helper()
	if err != nil {
		h.t.Fatal(err)
	}
}

// stock gives a house a sitter with a sitting, a lens, and a batch of each of two kinds.
type stock struct {
	sitter    studio.Sitter
	sitting   studio.Sitting
	lens      studio.Lens
	collodion studio.Batch
	bath      studio.Batch
}

func (h *house) stock() (s stock) {
	h.t.Helper()
	ctx := h.t.Context()
	var err error
	s.sitter, err = h.AddSitter(ctx, studio.Sitter{Name: "Halina  Wojsław"})
	h.must(err)
	s.sitting, err = h.Book(ctx, studio.Sitting{Sitter: s.sitter.ID, At: h.now, Lasts: time.Hour, Size: halfPlate, Plates: 1, Purpose: "with her cello"})
	h.must(err)
	s.lens, err = h.AddLens(ctx, studio.Lens{Name: "House brass", Focal: 190, Stops: []studio.Stop{{FNumber: 4.5}, {Name: "the small one", FNumber: 8}}})
	h.must(err)
	for _, r := range chemistry.Recipes(false) {
		var to *studio.Batch
		switch {
		case r.Kind == chemistry.Collodion && s.collodion.ID == "":
			to = &s.collodion
		case r.Kind == chemistry.Bath && s.bath.ID == "":
			to = &s.bath
		default:
			continue
		}
		added, err := h.AddRecipe(ctx, studio.Recipe{Body: r})
		h.must(err)
		*to, err = h.AddBatch(ctx, studio.Batch{Name: "Batch of " + string(r.Kind), Recipe: added.ID, Mixed: h.now.AddDate(0, 0, -9), Volume: 500})
		h.must(err)
	}
	return s
}

func (s stock) plan() studio.Plan {
	return studio.Plan{Sitting: s.sitting.ID, Size: halfPlate, Lens: s.lens.ID, Stop: s.lens.Stops[0], Distance: 950, Magnification: 0.25,
		Exposure: 6 * time.Second, Light: " window  light ", Collodion: s.collodion.ID, Bath: s.bath.ID}
}

// press records a step on a plate as a device does, at the house's clock, and moves it on a minute.
func (h *house) press(n studio.Number, kind studio.EventKind) (studio.Story, error) {
	h.now = h.now.Add(time.Minute)
	return h.Record(h.t.Context(), n, studio.Event{ID: h.id(), Kind: kind, At: h.now, Device: "tablet"})
}

func (h *house) plate() (studio.Plate, stock) {
	h.t.Helper()
	s := h.stock()
	p, err := h.PlanPlate(h.t.Context(), s.plan())
	h.must(err)
	return p, s
}

// invalid asserts that err is an *Invalid about exactly these fields.
func invalid(t *testing.T, err error, fields ...string) {
	t.Helper()
	var inv *studio.Invalid
	if !errors.As(err, &inv) {
		t.Fatalf("got %v, want an *Invalid about %v", err, fields)
	}
	var got []string
	for _, p := range inv.Problems {
		got = append(got, p.Field)
		if p.Sentence == "" || inv.Of(p.Field) == "" {
			t.Errorf("the problem with %s has no sentence", p.Field)
		}
	}
	if !slices.Equal(got, fields) {
		t.Errorf("got problems with %v, want %v (%v)", got, fields, err)
	}
}

func TestFirstRun(t *testing.T) {
	h := newHouse(t)
	p, err := h.Profile(t.Context())
	h.must(err)
	if p.Name != "The Rooms" || p.Version != 1 || !p.Created.Equal(h.now) {
		t.Errorf("got profile %+v", p)
	}
	if _, err := h.Begin(t.Context(), p); !errors.Is(err, studio.ErrConflict) {
		t.Errorf("a second first run gave %v, want a conflict", err)
	}
	fresh := studio.New(studiotest.NewMemory(), func() time.Time { return h.now }, h.id)
	if _, err := fresh.Profile(t.Context()); !errors.Is(err, studio.ErrNotFound) {
		t.Errorf("a profile before the first run gave %v, want not found", err)
	}
	_, err = fresh.Begin(t.Context(), studio.Profile{Name: " ", Units: "furlongs", Place: strings.Repeat("x", 201)})
	invalid(t, err, "name", "units", "place")
	p.Place = "Somewhere"
	p, err = h.ChangeProfile(t.Context(), p)
	h.must(err)
	if p.Version != 2 {
		t.Errorf("a changed profile has version %d, want 2", p.Version)
	}
}

func TestEveryWrongFieldIsNamedAtOnce(t *testing.T) {
	h := newHouse(t)
	s := h.stock()
	ctx := t.Context()
	long := strings.Repeat("ä", 4001)
	for _, tt := range []struct {
		name   string
		try    func() error
		fields []string
	}{
		{"sitter", func() error {
			_, err := h.AddSitter(ctx, studio.Sitter{Name: "\t", Contact: long, Note: long})
			return err
		}, []string{"name", "contact", "note"}},
		{"sitting", func() error {
			_, err := h.Book(ctx, studio.Sitting{Lasts: time.Minute, Plates: 101, State: "asleep", Size: measure.PlateSize{Width: 5, Height: 1001}})
			return err
		}, []string{"sitter", "at", "lasts", "size", "size", "plates", "state"}},
		{"sitting of nobody", func() error {
			r := s.sitting
			r.ID, r.Sitter = "", "nobody"
			_, err := h.Book(ctx, r)
			return err
		}, []string{"sitter"}},
		{"lens", func() error {
			_, err := h.AddLens(ctx, studio.Lens{Focal: 9, PupilMag: 6, Circle: -1})
			return err
		}, []string{"name", "focal_mm", "pupil_mag", "circle_mm", "stops"}},
		{"lens with an impossible stop", func() error {
			_, err := h.AddLens(ctx, studio.Lens{Name: "L", Focal: 190, Stops: []studio.Stop{{FNumber: 4}, {FNumber: 0.1}}})
			return err
		}, []string{"stops"}},
		{"camera", func() error {
			_, err := h.AddCamera(ctx, studio.Camera{Name: "C", Back: halfPlate, Shortest: 300, Longest: 200})
			return err
		}, []string{"longest_mm"}},
		{"holder", func() error { _, err := h.AddHolder(ctx, studio.Holder{}); return err }, []string{"name", "size", "size"}},
		{"batch", func() error { _, err := h.AddBatch(ctx, studio.Batch{}); return err }, []string{"name", "recipe", "mixed", "volume_ml"}},
		{"batch of no recipe", func() error {
			_, err := h.AddBatch(ctx, studio.Batch{Name: "B", Recipe: "none", Mixed: h.now, Volume: 100})
			return err
		}, []string{"recipe"}},
		{"recipe", func() error { _, err := h.AddRecipe(ctx, studio.Recipe{}); return err }, []string{"name", "recipe"}},
		{"plan", func() error {
			_, err := h.PlanPlate(ctx, studio.Plan{Size: halfPlate, Support: "paper", Lens: s.lens.ID, Exposure: 2 * time.Hour, Note: long})
			return err
		}, []string{"support", "stop", "distance_mm", "magnification", "seconds", "note"}},
		{"plan with things that are not there", func() error {
			p := s.plan()
			p.Sitting, p.Lens, p.Camera, p.Holder, p.Developer, p.Bath = "x", "x", "x", "x", "x", s.collodion.ID
			_, err := h.PlanPlate(ctx, p)
			return err
		}, []string{"sitting", "lens", "camera", "holder", "bath", "developer"}},
		{"search", func() error { _, err := h.Search(ctx, studio.Query{Words: long}); return err }, []string{"words"}},
	} {
		t.Run(tt.name, func(t *testing.T) { invalid(t, tt.try(), tt.fields...) })
	}
}

func TestRecordsAreTidied(t *testing.T) {
	h := newHouse(t)
	p, s := h.plate()
	switch {
	case s.sitter.Name != "Halina Wojsław":
		t.Errorf("the sitter is called %q", s.sitter.Name)
	case s.lens.PupilMag != 1:
		t.Errorf("an unknown pupil magnification is %g, want 1", s.lens.PupilMag)
	case s.lens.Stops[0].Name != "f/4.5" || s.lens.Stops[1].Name != "the small one":
		t.Errorf("the stops are called %v", s.lens.Stops)
	case s.sitting.State != studio.Booked:
		t.Errorf("a new sitting is %q, want booked", s.sitting.State)
	case s.collodion.Kind != "collodion" || s.collodion.RecipeName == "":
		t.Errorf("the batch did not take kind and recipe name: %+v", s.collodion)
	case s.collodion.AgeDays(h.now) != 9:
		t.Errorf("the batch is %d days old, want 9", s.collodion.AgeDays(h.now))
	case p.Plan.Light != "window light" || p.Plan.Support != studio.BlackMetal:
		t.Errorf("the plan is %+v", p.Plan)
	}
	if st, ok := s.lens.Stop("the small one"); !ok || st.FNumber != 8 {
		t.Errorf("the stop by name is %v, %v", st, ok)
	}
}

func TestNewerEditIsNotOverwritten(t *testing.T) {
	h := newHouse(t)
	ctx := t.Context()
	p, s := h.plate()

	mine, theirs := s.sitter, s.sitter
	theirs.Note = "deaf in the left ear"
	stored, err := h.ChangeSitter(ctx, theirs)
	h.must(err)
	mine.Note = "likes the window open"
	_, err = h.ChangeSitter(ctx, mine)
	var c *studio.Conflict
	if !errors.As(err, &c) || !errors.Is(err, studio.ErrConflict) {
		t.Fatalf("an edit of what was read before gave %v, want a *Conflict", err)
	}
	if c.Kind != "sitter" || c.Yours.(studio.Sitter).Note != mine.Note || c.Theirs.(studio.Sitter) != stored {
		t.Errorf("the conflict carries %+v", c)
	}
	if now, err := h.Sitter(ctx, s.sitter.ID); err != nil || now != stored {
		t.Errorf("stored is %+v (%v), want %+v", now, err, stored)
	}

	second := p
	second.Plan.Note = "first"
	_, err = h.ChangePlan(ctx, second)
	h.must(err)
	late := p
	late.Plan.Note = "second"
	if _, err = h.ChangePlan(ctx, late); !errors.As(err, &c) || c.Theirs.(studio.Plate).Plan.Note != "first" {
		t.Errorf("a late plan gave %v", err)
	}
	ghost := s.lens
	ghost.ID = "not there"
	if _, err := h.ChangeLens(ctx, ghost); !errors.Is(err, studio.ErrNotFound) {
		t.Errorf("changing a lens that is not there gave %v", err)
	}
}

func TestCyanideIsRefusedUntilSwitchedOn(t *testing.T) {
	h := newHouse(t)
	ctx := t.Context()
	var poison *chemistry.Recipe
	for _, r := range chemistry.Recipes(true) {
		if r.HoldsCyanide() {
			poison = &r
			break
		}
	}
	if poison == nil {
		t.Fatal("the shelf has no recipe that needs cyanide to try this with")
	}
	if _, err := h.AddRecipe(ctx, studio.Recipe{Body: *poison}); !errors.Is(err, studio.ErrNotPermitted) {
		t.Fatalf("a cyanide recipe gave %v, want not permitted", err)
	}
	if all, err := h.Recipes(ctx); err != nil || len(all) != 0 {
		t.Errorf("after the refusal there are %d recipes (%v)", len(all), err)
	}
	p, err := h.Profile(ctx)
	h.must(err)
	p.Cyanide = true
	_, err = h.ChangeProfile(ctx, p)
	h.must(err)
	added, err := h.AddRecipe(ctx, studio.Recipe{Body: *poison})
	h.must(err)
	bottle, err := h.AddBatch(ctx, studio.Batch{Name: "Fixer 1", Recipe: added.ID, Mixed: h.now, Volume: 500})
	h.must(err)
	p, err = h.Profile(ctx)
	h.must(err)
	p.Cyanide = false
	_, err = h.ChangeProfile(ctx, p)
	h.must(err)
	if _, err := h.ChangeRecipe(ctx, added); !errors.Is(err, studio.ErrNotPermitted) {
		t.Errorf("changing a cyanide recipe after the switch went off gave %v, want not permitted", err)
	}
	if _, err := h.AddBatch(ctx, studio.Batch{Name: "Fixer 2", Recipe: added.ID, Mixed: h.now, Volume: 500}); !errors.Is(err, studio.ErrNotPermitted) {
		t.Errorf("another cyanide batch after the switch went off gave %v, want not permitted", err)
	}
	hypo, err := chemistry.RecipeNamed("hypo fixer")
	h.must(err)
	other, err := h.AddRecipe(ctx, studio.Recipe{Body: hypo})
	h.must(err)
	plain, err := h.AddBatch(ctx, studio.Batch{Name: "Hypo 1", Recipe: other.ID, Mixed: h.now, Volume: 500})
	h.must(err)
	plain.Recipe = added.ID
	if _, err := h.ChangeBatch(ctx, plain); !errors.Is(err, studio.ErrNotPermitted) {
		t.Errorf("a batch turned into cyanide gave %v, want not permitted", err)
	}
	bottle.Retired = true
	if _, err := h.ChangeBatch(ctx, bottle); err != nil {
		t.Errorf("the cyanide bottle that was there could not be retired: %v", err)
	}
}

func TestSittingsOfADayFollowTheStudiosTimeZone(t *testing.T) {
	h := newHouse(t)
	s := h.stock()
	ctx := t.Context()
	zone := time.FixedZone("", 5*3600+1800)
	midnight := time.Date(2026, 6, 1, 0, 0, 0, 0, zone)
	for _, after := range []time.Duration{-time.Minute, 0, 23*time.Hour + 59*time.Minute, 24 * time.Hour, 10 * time.Hour} {
		r := s.sitting
		r.ID, r.At = "", midnight.Add(after)
		_, err := h.Book(ctx, r)
		h.must(err)
	}
	got, err := h.SittingsOn(ctx, midnight)
	h.must(err)
	want := []time.Duration{0, 10 * time.Hour, 23*time.Hour + 59*time.Minute}
	if len(got) != len(want) {
		t.Fatalf("got %d sittings, want %d", len(got), len(want))
	}
	for i, w := range want {
		if !got[i].At.Equal(midnight.Add(w)) || got[i].At.Location() != time.UTC {
			t.Errorf("sitting %d is at %v, want %v in UTC", i, got[i].At, midnight.Add(w))
		}
	}
}

// Two are stored or none, with every wrong field of both named at once.
func TestBookForSomeoneNew(t *testing.T) {
	h := newHouse(t)
	ctx := t.Context()
	good := studio.Sitting{At: h.now, Lasts: time.Hour, Size: halfPlate, Plates: 2, Purpose: " with  a  dog "}
	_, err := h.BookFor(ctx, studio.Sitter{Name: "  ", Contact: strings.Repeat("7", 401)}, studio.Sitting{At: h.now, Lasts: time.Second, Size: halfPlate, Plates: 1})
	invalid(t, err, "sitter_name", "sitter_contact", "lasts")
	_, err = h.BookFor(ctx, studio.Sitter{Name: "Halina"}, studio.Sitting{At: h.now, Lasts: time.Hour, Size: halfPlate})
	invalid(t, err, "plates")
	_, err = h.BookFor(ctx, studio.Sitter{Note: strings.Repeat("x", 4001), Name: "Halina"}, good)
	invalid(t, err, "sitter_note")
	if all, err := h.Sitters(ctx); err != nil || len(all) != 0 {
		t.Fatalf("refused bookings left %v, %v; want nobody", all, err)
	}
	booked, err := h.BookFor(ctx, studio.Sitter{Name: "Halina  Wojsław", Contact: "by letter"}, good)
	h.must(err)
	who, err := h.Sitter(ctx, booked.Sitter)
	h.must(err)
	if who.Name != "Halina Wojsław" || who.Contact != "by letter" || who.Version != 1 || !who.Created.Equal(h.now) {
		t.Errorf("the sitter is stored as %+v", who)
	}
	again := good
	again.Sitter, again.At = who.ID, h.now.Add(-time.Hour)
	earlier, err := h.Book(ctx, again)
	h.must(err)
	other, err := h.BookFor(ctx, studio.Sitter{Name: "Halina Wojsław"}, good)
	h.must(err)
	for _, c := range []struct {
		of   studio.ID
		want []studio.ID
	}{{who.ID, []studio.ID{earlier.ID, booked.ID}}, {other.Sitter, []studio.ID{other.ID}}, {"nobody", nil}} {
		sittings, err := h.SittingsOf(ctx, c.of)
		h.must(err)
		var got []studio.ID
		for _, r := range sittings {
			got = append(got, r.ID)
			if r.State != studio.Booked || r.Purpose != "with a dog" || r.Version != 1 {
				t.Errorf("sitting stored as %+v", r)
			}
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("sittings of %s are %v, want %v", c.of, got, c.want)
		}
	}
}

func TestSearch(t *testing.T) {
	h := newHouse(t)
	ctx := t.Context()
	p, s := h.plate()
	find := func(words string, kinds ...string) []string {
		t.Helper()
		hits, err := h.Search(ctx, studio.Query{Words: words, Kinds: kinds})
		h.must(err)
		var refs []string
		for _, hit := range hits {
			if hit.Title == "" || hit.Snippet == "" {
				t.Errorf("hit without words: %+v", hit)
			}
			refs = append(refs, hit.Kind+" "+hit.Ref)
		}
		slices.Sort(refs)
		return refs
	}
	n := p.Number.String()
	sitter, sitting, plate := "sitter "+string(s.sitter.ID), "sitting "+string(s.sitting.ID), "plate "+n
	for _, tt := range []struct {
		words string
		kinds []string
		want  []string
	}{
		{"halina", nil, []string{plate, sitter, sitting}},
		{"HAL wojs", []string{"sitter"}, []string{sitter}},
		{"cello", []string{"plate"}, []string{plate}},
		{"house brass", nil, []string{plate}},
		{n, nil, []string{plate}},
		{"halina nobody", nil, nil},
		{"alina", nil, nil},
		{"  ", nil, nil},
	} {
		if got := find(tt.words, tt.kinds...); !slices.Equal(got, tt.want) {
			t.Errorf("%q among %v found %v, want %v", tt.words, tt.kinds, got, tt.want)
		}
	}

	_, err := h.press(p.Number, studio.Poured)
	h.must(err)
	_, err = h.Record(ctx, p.Number, studio.Event{ID: h.id(), Kind: studio.Noted, At: h.now, Detail: studio.Detail{Words: "chair creaked"}})
	h.must(err)
	if got := find("creak"); !slices.Equal(got, []string{plate}) {
		t.Errorf("the note found %v", got)
	}
	renamed := s.sitter
	renamed.Name = "Halina Oddsdatter"
	_, err = h.ChangeSitter(ctx, renamed)
	h.must(err)
	if got := find("oddsdatter", "plate"); !slices.Equal(got, []string{plate}) {
		t.Errorf("by the new name found %v, want %v", got, plate)
	}
	if got := find("wojs", "plate"); got != nil {
		t.Errorf("by the old name found %v, want nothing", got)
	}
}

func TestSittingGivenToAnotherTakesItsPlatesAlong(t *testing.T) {
	h := newHouse(t)
	ctx := t.Context()
	p, s := h.plate()
	other, err := h.AddSitter(ctx, studio.Sitter{Name: "Oke Brannagh"})
	h.must(err)
	s.sitting.Sitter, s.sitting.Purpose = other.ID, "with his viola"
	_, err = h.ChangeSitting(ctx, s.sitting)
	h.must(err)
	for words, want := range map[string]int{"halina": 0, "cello": 0, "brannagh": 1, "viola": 1} {
		hits, err := h.Search(ctx, studio.Query{Words: words, Kinds: []string{"plate"}})
		h.must(err)
		if len(hits) != want || want == 1 && hits[0].Ref != p.Number.String() {
			t.Errorf("%q found %v, want %d plate", words, hits, want)
		}
	}
}

func TestBatchKeepsTheKindOfItsRecipe(t *testing.T) {
	h := newHouse(t)
	s := h.stock()
	wrong := s.bath
	wrong.Kind, wrong.RecipeName = "collodion", "something else"
	got, err := h.ChangeBatch(t.Context(), wrong)
	h.must(err)
	if got.Kind != "bath" || got.RecipeName != s.bath.RecipeName {
		t.Errorf("the batch became a %s of %q", got.Kind, got.RecipeName)
	}
}

// TestGivenUp: identity. A call whose context has ended changes nothing.
func TestGivenUp(t *testing.T) {
	h := newHouse(t)
	s := h.stock()
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if _, err := h.AddSitter(ctx, studio.Sitter{Name: "N"}); !errors.Is(err, context.Canceled) {
		t.Errorf("adding gave %v", err)
	}
	if _, err := h.PlanPlate(ctx, s.plan()); !errors.Is(err, context.Canceled) {
		t.Errorf("planning gave %v", err)
	}
	if all, err := h.Sitters(t.Context()); err != nil || len(all) != 1 {
		t.Errorf("there are %d sitters (%v), want 1", len(all), err)
	}
}
