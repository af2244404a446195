package demo_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image/jpeg"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"platewright/internal/demo"
	"platewright/internal/studio"
	"platewright/internal/studio/studiotest"
)

// The scenario is our own invention: these tests hold it to its own promises and to common practice,
// no source.

// noon is a fixed day for the tests: a Tuesday in autumn, two hours east of Greenwich.
var noon = time.Date(2026, 10, 13, 13, 20, 0, 0, time.FixedZone("", 2*3600))

// house is a studio in memory that the demo was made in.
type house struct {
	*studio.Studio
	made  *demo.Filled
	clock *demo.Clock
}

func fill(t *testing.T, o demo.Options) house {
	t.Helper()
	s, clock := empty(o.Today)
	f, err := demo.Fill(t.Context(), s, clock, o)
	if err != nil {
		t.Fatal(err)
	}
	return house{s, f, clock}
}

func empty(now time.Time) (*studio.Studio, *demo.Clock) {
	clock := demo.NewClock(func() time.Time { return now })
	ids := 0
	return studio.New(studiotest.NewMemory(), clock.Now, func() studio.ID {
		ids++
		return studio.ID(fmt.Sprintf("test-%08d", ids))
	}), clock
}

// stories returns every plate's story, the lowest number first.
func (h house) stories(t *testing.T) []studio.Story {
	t.Helper()
	page, err := h.Plates(t.Context(), studio.PlateFilter{Most: 500})
	if err != nil {
		t.Fatal(err)
	}
	var all []studio.Story
	for _, row := range slices.Backward(page.Rows) {
		story, err := h.Plate(t.Context(), row.Number)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, story)
	}
	return all
}

func TestSameSeedSameStudio(t *testing.T) {
	one, two := fill(t, demo.Options{Seed: 7, Today: noon}).stories(t), fill(t, demo.Options{Seed: 7, Today: noon}).stories(t)
	if !reflect.DeepEqual(one, two) {
		t.Error("the same seed and day made two different studios")
	}
	if reflect.DeepEqual(one, fill(t, demo.Options{Seed: 8, Today: noon}).stories(t)) {
		t.Error("another seed made the same studio")
	}
}

func TestHowPlatesComeOut(t *testing.T) {
	const seeds = 8
	plates, walnut := 0, 0
	marked := make(map[string]int) // plates with that fault
	walnutOysters, otherOysters := 0, 0
	for seed := range uint64(seeds) {
		h := fill(t, demo.Options{Seed: seed, Today: noon})
		little := 0
		for _, p := range h.stories(t) {
			plates++
			if p.Verdict == nil {
				t.Fatalf("seed %d: plate %s was never judged", seed, p.Number)
			}
			if w := p.Verdict.Word; -1 <= w && w <= 1 {
				little++
			}
			holder, err := h.Holder(t.Context(), p.Plan.Holder)
			if err != nil {
				t.Fatal(err)
			}
			old := strings.Contains(holder.Name, "walnut")
			if old {
				walnut++
			}
			seen := make(map[string]bool)
			for _, m := range p.Marks {
				seen[m.Appearance] = true
				corner := (m.XPct < 10 || m.XPct > 90) && (m.YPct < 10 || m.YPct > 90)
				if m.Appearance == "oyster mark" && !corner {
					t.Errorf("plate %s has an oyster mark at %g, %g, which is no corner", p.Number, m.XPct, m.YPct)
				}
			}
			for kind := range seen {
				marked[kind]++
			}
			if seen["oyster mark"] && old {
				walnutOysters++
			} else if seen["oyster mark"] {
				otherOysters++
			}
		}
		if f := h.made; f.Plates != 60 || f.Little != little || f.Fates[studio.Keep]+f.Fates[studio.Redo]+f.Fates[studio.Reject] != 60 {
			t.Errorf("seed %d: the figures told are %+v, counted %d", seed, f, little)
		}
		if share := float64(little) / 60; share < 0.4 || share > 0.85 {
			t.Errorf("seed %d: %.0f %% of the plates are right or a little off, want 40 to 85", seed, 100*share)
		}
		if kept := h.made.Fates[studio.Keep]; kept < 20 || kept > 50 {
			t.Errorf("seed %d: %d of 60 are kept, want 20 to 50", seed, kept)
		}
	}
	for kind, want := range map[string][2]float64{"comet": {0.04, 0.25}, "oyster mark": {0.05, 0.25}, "fog": {0.02, 0.3},
		"pour ridge": {0.04, 0.2}, "streak": {0.01, 0.12}, "bare corner": {0.02, 0.15}} {
		if share := float64(marked[kind]) / float64(plates); share < want[0] || share > want[1] {
			t.Errorf("%s on %.1f %% of the plates, want %g to %g", kind, 100*share, 100*want[0], 100*want[1])
		}
	}
	if len(marked) != 6 {
		t.Errorf("the faults are %v, want six kinds", marked)
	}
	if bad, good := float64(walnutOysters)/float64(walnut), float64(otherOysters)/float64(plates-walnut); bad < 5*good {
		t.Errorf("oyster marks on %.0f %% of the walnut holder's plates and %.0f %% of the others': the holder does not show", 100*bad, 100*good)
	}
}

// TestOperatorLearns: with the model's truth hidden, the later plates of a batch come out better than
// the first ones of all.
func TestOperatorLearns(t *testing.T) {
	early, late := 0, 0
	for seed := range uint64(10) {
		for i, p := range fill(t, demo.Options{Seed: seed, Today: noon}).stories(t) {
			off := p.Verdict.Word * p.Verdict.Word
			switch {
			case i < 15:
				early += off
			case i >= 45:
				late += off
			}
		}
	}
	if late >= early {
		t.Errorf("squares of the words: %d over the first 15 plates, %d over the last 15", early, late)
	}
}

func TestEveryStoryHangsTogether(t *testing.T) {
	h := fill(t, demo.Options{Seed: 3, Today: noon})
	voids, insteads, notes, varnished, delivered := 0, 0, 0, 0, 0
	for i, p := range h.stories(t) {
		if p.Number.Serial != i+1 {
			t.Errorf("plate %d has the number %s", i+1, p.Number)
		}
		if p.Sitter == nil || p.Sitting.State != studio.Done {
			t.Errorf("plate %s: sitting %+v", p.Number, p.Sitting)
		}
		var last time.Time
		for _, s := range studio.Steps(p.Plan, studio.CommonTargets())[:9] {
			at := p.Standing(s.Event).At
			if !at.After(last) {
				t.Errorf("plate %s: %s at %v, not after the step before", p.Number, s.Event, at)
			}
			last = at
		}
		wet := p.Standing(studio.DeveloperOn).At.Sub(p.Standing(studio.OutOfBath).At)
		bath := p.Standing(studio.OutOfBath).At.Sub(p.Standing(studio.InBath).At)
		if wet < 90*time.Second || wet > 10*time.Minute || bath < 3*time.Minute || bath > 7*time.Minute {
			t.Errorf("plate %s: %v wet, %v in the bath", p.Number, wet, bath)
		}
		given := p.Standing(studio.Exposed).Detail.ExposureS
		if planned := p.Plan.Exposure.Seconds(); given < planned/2 || given > planned*2 {
			t.Errorf("plate %s: %g s given, %g planned", p.Number, given, planned)
		}
		for _, e := range p.Events {
			if e.At.After(noon) || !e.Received.Equal(e.At) {
				t.Errorf("plate %s: %s at %v, received %v, today %v", p.Number, e.Kind, e.At, e.Received, noon)
			}
			switch {
			case e.Detail.Void:
				voids++
			case e.Detail.Instead != nil:
				insteads++
			case e.Kind == studio.Noted:
				notes++
			case e.Kind == studio.Varnished:
				varnished++
			case e.Kind == studio.Delivered:
				delivered++
			}
		}
		if p.PouredAt.In(noon.Location()).Weekday() == time.Sunday {
			t.Errorf("plate %s was poured on a Sunday", p.Number)
		}
	}
	if voids == 0 || insteads == 0 || notes < 5 || varnished < 15 || delivered < 5 {
		t.Errorf("%d voided, %d corrected, %d notes, %d varnished, %d delivered", voids, insteads, notes, varnished, delivered)
	}
	if now := h.clock.Now(); !now.Equal(noon) {
		t.Errorf("the clock was left at %v", now)
	}
}

func TestWhatTheStudioOwns(t *testing.T) {
	h := fill(t, demo.Options{Seed: 1, Today: noon})
	ctx := t.Context()
	lenses, err := h.Lenses(ctx)
	if err != nil || len(lenses) != 12 {
		t.Errorf("%d lenses (%v), want 12", len(lenses), err)
	}
	cameras, err := h.Cameras(ctx)
	if err != nil || len(cameras) != 3 {
		t.Errorf("%d cameras (%v), want 3", len(cameras), err)
	}
	reach := make(map[studio.ID]studio.Camera)
	for _, c := range cameras {
		reach[c.ID] = c
	}
	profile, err := h.Profile(ctx)
	if err != nil {
		t.Fatal(err)
	}
	turned, held := false, make(map[string]int)
	for _, p := range h.stories(t) {
		c := reach[p.Plan.Camera]
		if p.Plan.Extension < c.Shortest || p.Plan.Extension > c.Longest || p.Plan.Size.LongSide() > c.Back.LongSide() {
			t.Errorf("plate %s: %s at %.0f mm does not fit the %s", p.Number, p.Plan.Size.Name, p.Plan.Extension.Millimetres(), c.Name)
		}
		lens, err := h.Lens(ctx, p.Plan.Lens)
		if err != nil {
			t.Fatal(err)
		}
		circle := lens.Circle.Millimetres() * (1 + p.Plan.Magnification) // as the extension grows
		if circle < 0.95*p.Plan.Size.Diagonal().Millimetres() {
			t.Errorf("plate %s: %s covers %.0f mm of a diagonal of %.0f", p.Number, lens.Name, circle, p.Plan.Size.Diagonal().Millimetres())
		}
		setup := studio.Setup{Plate: p.Plan.Size, Lens: lens, Camera: &c, Extension: p.Plan.Extension, Distance: p.Plan.Distance, Room: profile.Room, Setting: p.Plan.Setting}
		for _, m := range setup.Misfits() {
			if m.Field != "lens" { // a corner may be soft
				t.Errorf("plate %s: %s %s", p.Number, m.Sentence, m.Hint)
			}
		}
		turned = turned || p.Plan.Setting.Turn != 0
		held[p.Plan.Setting.SitterSupport]++
		b, err := h.Batch(ctx, p.Plan.Collodion)
		if err != nil {
			t.Fatal(err)
		}
		if age := b.AgeDays(p.PouredAt); age < 5 || age > 60 {
			t.Errorf("plate %s: %s is %d days old", p.Number, b.Name, age)
		}
	}
	if !turned || len(held) != 3 || profile.Room == 0 {
		t.Errorf("turned %v, held %v, room %v: want some turned, all three ways of holding and a known room", turned, held, profile.Room)
	}
	batches, err := h.Batches(ctx)
	if err != nil {
		t.Fatal(err)
	}
	kinds := make(map[string]int)
	for _, b := range batches {
		kinds[b.Kind]++
		if b.Mixed.After(noon) {
			t.Errorf("%s was mixed after today", b.Name)
		}
	}
	if kinds["collodion"] < 3 || kinds["bath"] < 2 || kinds["developer"] < 3 || kinds["fixer"] < 2 || kinds["varnish"] < 2 {
		t.Errorf("the shelf has %v", kinds)
	}
}

func TestRefusals(t *testing.T) {
	s, clock := empty(noon)
	if _, err := demo.Fill(t.Context(), s, clock, demo.Options{Today: noon, Plates: 201}); err == nil {
		t.Error("201 plates were made")
	}
	if _, err := demo.Fill(t.Context(), s, clock, demo.Options{Today: noon, Plates: 5}); err != nil {
		t.Fatal(err)
	}
	if _, err := demo.Fill(t.Context(), s, clock, demo.Options{Today: noon, Plates: 5}); err == nil {
		t.Error("a studio that has begun was filled again")
	}
}

func TestPictures(t *testing.T) {
	filed := make(map[studio.Number][]byte)
	o := demo.Options{Seed: 4, Today: noon, Plates: 8, Copies: 2, File: func(_ context.Context, n studio.Number, fileName string, content []byte) error {
		if fileName != "copy-"+n.String()+".jpg" {
			t.Errorf("plate %s: the photograph is called %s", n, fileName)
		}
		filed[n] = content
		return nil
	}}
	h := fill(t, o)
	if len(filed) != 2 || h.made.Copies != 2 {
		t.Errorf("%d photographs were filed, %d told, want 2", len(filed), h.made.Copies)
	}
	for n, content := range filed {
		story, err := h.Plate(t.Context(), n)
		if err != nil {
			t.Fatal(err)
		}
		img, err := jpeg.Decode(bytes.NewReader(content))
		if err != nil {
			t.Fatalf("plate %s: %v", n, err)
		}
		got := float64(img.Bounds().Dx()) / float64(img.Bounds().Dy())
		if want := story.Plan.Size.ShortSide().Over(story.Plan.Size.LongSide()); math.Abs(got-want) > 0.01 {
			t.Errorf("plate %s: the photograph's sides are as %.3f, the plate's as %.3f", n, got, want)
		}
	}
	again := make(map[studio.Number][]byte)
	o.File = func(_ context.Context, n studio.Number, _ string, content []byte) error {
		again[n] = content
		return nil
	}
	fill(t, o)
	if !reflect.DeepEqual(filed, again) {
		t.Error("the same seed and day drew different pictures")
	}

	full := errors.New("the disk is full")
	o.File = func(context.Context, studio.Number, string, []byte) error { return full }
	s, clock := empty(noon)
	if _, err := demo.Fill(t.Context(), s, clock, o); !errors.Is(err, full) {
		t.Errorf("a photograph that could not be filed gave %v", err)
	}
}

// hands do the sitting on the studio itself, which the screens do in the product.
type hands struct {
	house
	t *testing.T
}

func (h hands) Sitting(ctx context.Context, id studio.ID, state studio.SittingState) error {
	r, err := h.Studio.Sitting(ctx, id)
	if err != nil {
		return err
	}
	r.State = state
	_, err = h.ChangeSitting(ctx, r)
	return err
}

func (h hands) Plan(ctx context.Context, p demo.Planned) (studio.Number, error) {
	if p.Frame <= 0 || p.Lx <= 0 || p.Index <= 0 {
		h.t.Errorf("the plan comes without what it was reckoned from: %+v", p)
	}
	made, err := h.PlanPlate(ctx, p.Plan)
	return made.Number, err
}

func (h hands) Press(ctx context.Context, n studio.Number, e studio.Event) error {
	_, err := h.Record(ctx, n, e)
	return err
}

func (h hands) Judge(ctx context.Context, n studio.Number, v studio.Verdict) error {
	return h.Press(ctx, n, studio.Event{ID: h.NewID(), Kind: studio.Judged, At: h.clock.Now(), Detail: studio.Detail{Verdict: &v}})
}

func (h hands) Mark(ctx context.Context, n studio.Number, m studio.Mark) error {
	return h.Press(ctx, n, studio.Event{ID: h.NewID(), Kind: studio.Marked, At: h.clock.Now(), Detail: studio.Detail{Mark: &m}})
}

func (h hands) FileCopy(ctx context.Context, n studio.Number, fileName string, content []byte) (studio.Copy, error) {
	c := studio.Copy{Original: "o", TrueView: "t", View: "v", Thumb: "s", FileName: fileName, Format: "JPEG", WidthPx: 600, HeightPx: 750, Turned: true}
	_, err := h.Record(ctx, n, studio.Event{ID: h.NewID(), Kind: studio.Copied, At: h.clock.Now(), Detail: studio.Detail{Copy: &c}})
	return c, err
}

func (h hands) Passport(context.Context, studio.Number) ([]byte, error) {
	return []byte("%PDF-1.7"), nil
}

func TestDay(t *testing.T) {
	again := 0
	for seed := range uint64(12) {
		h := fill(t, demo.Options{Seed: seed, Today: noon})
		var told bytes.Buffer
		saved := make(map[string][]byte)
		made, err := h.made.Day(t.Context(), hands{h, t}, demo.DayOptions{Out: &told, Long: 200, Save: func(name string, content []byte) (string, error) {
			saved[name] = content
			return "studio/" + name, nil
		}})
		if err != nil {
			t.Fatal(err)
		}
		lines := strings.Split(strings.TrimRight(told.String(), "\n"), "\n")
		if len(lines) >= 60 || len(lines) < 25 {
			t.Errorf("seed %d: %d lines were told, want 25 to 59", seed, len(lines))
		}
		for _, line := range lines {
			if n := utf8.RuneCountInString(line); n > 110 || strings.Contains(line, "%!") || strings.TrimSpace(line) == "" {
				t.Errorf("seed %d: a line of %d letters: %q", seed, n, line)
			}
		}
		story, err := h.Plate(t.Context(), made.Number)
		if err != nil {
			t.Fatal(err)
		}
		if story.Number.Serial < 61 || story.Number.Serial > 63 || story.Verdict == nil || *story.Verdict != made.Verdict || len(story.Copies) != 1 || story.Sitting.State != studio.Done {
			t.Errorf("seed %d: the story of plate %s is %+v", seed, made.Number, story.Summary)
		}
		if strings.Contains(told.String(), "Again") != (made.Number.Serial > 61) {
			t.Errorf("seed %d: plate %s is the last, and told is\n%s", seed, made.Number, told.String())
		}
		again += made.Number.Serial - 61
		if want := made.Verdict.Fate == studio.Keep; want != (story.Last == studio.Varnished) {
			t.Errorf("seed %d: %s, and the last step is %q", seed, made.Verdict.Fate, story.Last)
		}
		for _, e := range story.Events {
			if e.At.After(noon) || e.At.Before(story.Sitting.At) {
				t.Errorf("seed %d: %s at %v, the sitting is at %v and now is %v", seed, e.Kind, e.At, story.Sitting.At, noon)
			}
		}
		if len(saved) != 2 || made.Passport == "" || made.Original == "" {
			t.Errorf("seed %d: saved are %d files: %+v", seed, len(saved), made)
		}
	}
	if again == 0 {
		t.Error("no day of twelve needed a second plate, so making one again was not tried")
	}
}

func TestFillsAStudioThatHasJustBegun(t *testing.T) {
	s, clock := empty(noon)
	if _, err := s.Begin(t.Context(), studio.Profile{Name: "Harbour Street", Units: studio.Imperial, Place: "Aldermoor"}); err != nil {
		t.Fatal(err)
	}
	f, err := demo.Fill(t.Context(), s, clock, demo.Options{Seed: 3, Today: noon})
	if err != nil {
		t.Fatal(err)
	}
	if p, err := s.Profile(t.Context()); err != nil || p.Name != "Harbour Street" || p.Units != studio.Imperial || f.Name != p.Name {
		t.Errorf("the studio is %+v (%v) and the demo calls it %q; it keeps the name it was given", p, err, f.Name)
	}
	if _, err := demo.Fill(t.Context(), s, clock, demo.Options{Seed: 3, Today: noon}); !errors.Is(err, studio.ErrConflict) {
		t.Errorf("filling a studio with sitters in it gave %v, want a refusal", err)
	}
}
