package studio_test

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"platewright/internal/studio"
	"platewright/measure"
)

func TestNumbersRunThroughTheYear(t *testing.T) {
	h := newHouse(t)
	s := h.stock()
	ctx := t.Context()
	var got []string
	plan := func() studio.Plate {
		p, err := h.PlanPlate(ctx, s.plan())
		h.must(err)
		got = append(got, p.Number.String())
		return p
	}
	plan()
	plan()
	h.now = time.Date(2026, 12, 31, 23, 59, 59, 0, time.UTC)
	plan()
	h.now = h.now.Add(time.Second)
	plan()
	plan()
	if want := []string{"26-0001", "26-0002", "26-0003", "27-0001", "27-0002"}; !slices.Equal(got, want) {
		t.Errorf("numbers are %v, want %v", got, want)
	}

	bad := s.plan()
	bad.Support = "paper"
	if _, err := h.PlanPlate(ctx, bad); err == nil {
		t.Fatal("a bad plan was taken")
	}
	if p := plan(); p.Number.Serial != 3 {
		t.Errorf("a refused plan used up a number: the next is %s", p.Number)
	}
}

func TestNumbersUnderSeveralHands(t *testing.T) {
	h := newHouse(t)
	s := h.stock()
	const hands, each = 8, 25
	var wg sync.WaitGroup
	var mu sync.Mutex
	serials := make(map[int]bool)
	for hand := range hands {
		wg.Go(func() {
			own := studio.New(h.kept, func() time.Time { return h.now }, ids(fmt.Sprintf("hand%d", hand)))
			for range each {
				p, err := own.PlanPlate(t.Context(), s.plan())
				if err != nil {
					t.Error(err)
					return
				}
				mu.Lock()
				serials[p.Number.Serial] = true
				mu.Unlock()
			}
		})
	}
	wg.Wait()
	for i := 1; i <= hands*each; i++ {
		if !serials[i] {
			t.Errorf("number %d was given to nobody", i)
		}
	}
}

func TestPlanHoldsFiniteLengths(t *testing.T) {
	h := newHouse(t)
	p, _ := h.plate()
	p.Plan.Extension, p.Plan.Depth, p.Plan.BlurLimit = measure.Length(math.NaN()), measure.Length(math.Inf(1)), -1
	_, err := h.ChangePlan(t.Context(), p)
	invalid(t, err, "extension_mm", "depth_mm", "blur_mm")
}

func TestParseNumber(t *testing.T) {
	for _, n := range []studio.Number{{Year: 2026, Serial: 147}, {Year: 2000, Serial: 1}, {Year: 2099, Serial: 1234567}} {
		if got, err := studio.ParseNumber(n.String()); err != nil || got != n {
			t.Errorf("%s read back as %v (%v)", n, got, err)
		}
	}
	for _, s := range []string{"", "26-0000", "26-147", "2026-0147", "26_0147", "26-0147 ", "26-12345678", "٢٦-0147"} {
		if n, err := studio.ParseNumber(s); err == nil {
			t.Errorf("%q was read as %v", s, n)
		}
	}
}

func TestPlanStandsOncePoured(t *testing.T) {
	h := newHouse(t)
	ctx := t.Context()
	p, _ := h.plate()
	p.Plan.Exposure = 8 * time.Second
	p, err := h.ChangePlan(ctx, p)
	h.must(err)
	if p.Version != 2 {
		t.Errorf("a changed plan has version %d, want 2", p.Version)
	}
	story, err := h.press(p.Number, studio.Poured)
	h.must(err)
	p.Plan.Exposure = time.Second
	_, err = h.ChangePlan(ctx, p)
	invalid(t, err, "plan")

	// A pour that did not happen sets the plan free again.
	_, err = h.Record(ctx, p.Number, studio.Event{ID: h.id(), Kind: studio.Corrected, At: h.now, Corrects: story.Events[0].ID, Detail: studio.Detail{Void: true}})
	h.must(err)
	_, err = h.ChangePlan(ctx, p)
	h.must(err)
}

func TestWholeClock(t *testing.T) {
	h := newHouse(t)
	p, s := h.plate()
	for i, step := range studio.Steps(p.Plan, studio.CommonTargets()) {
		before, err := h.Plate(t.Context(), p.Number)
		h.must(err)
		if before.Next != step.Event {
			t.Errorf("before step %d the clock asks for %q, want %q", i, before.Next, step.Event)
		}
		after, err := h.press(p.Number, step.Event)
		h.must(err)
		if after.Last != step.Event || after.State() != string(step.Event) || after.Done != i+1 {
			t.Errorf("after %q the plate is %q, %d events", step.Event, after.State(), after.Done)
		}
		if last, ok := after.LastStep(); !ok || last.Kind != step.Event {
			t.Errorf("undoing would take back %v", last.Kind)
		}
	}
	story, err := h.Plate(t.Context(), p.Number)
	h.must(err)
	if story.Next != "" || story.Sitter == nil || story.Sitter.ID != s.sitter.ID || story.Sitting == nil {
		t.Errorf("the whole story is %+v", story)
	}
}

// TestTargetsOfTheClock: pinned, against the plan and common practice, no source.
func TestTargetsOfTheClock(t *testing.T) {
	steps := studio.Steps(studio.Plan{Exposure: 7 * time.Second}, studio.CommonTargets())
	for _, step := range steps {
		switch {
		case step.Do == "" || step.Basis == "":
			t.Errorf("%s does not say what to do or where its times come from", step.Event)
		case step.Until != 0 && step.Until < step.After:
			t.Errorf("%s is late at %v, before it is due at %v", step.Event, step.Until, step.After)
		case step.Event == studio.Exposed && step.After != 7*time.Second:
			t.Errorf("the exposure is %v, want the planned 7s", step.After)
		case step.Event == studio.DeveloperOn && step.Since != studio.OutOfBath:
			t.Errorf("the wet time runs from %q, want from the bath", step.Since)
		}
	}
	if steps := studio.Steps(studio.Plan{}, studio.CommonTargets()); steps[4].Basis != "no seconds were planned" {
		t.Errorf("without planned seconds the basis is %q", steps[4].Basis)
	}
}

func TestStepRecordedTwice(t *testing.T) {
	h := newHouse(t)
	ctx := t.Context()
	p, _ := h.plate()
	first, err := h.press(p.Number, studio.Poured)
	h.must(err)

	again, err := h.Record(ctx, p.Number, first.Events[0]) // handed over twice
	h.must(err)
	if again.Done != 1 || len(again.Events) != 1 {
		t.Errorf("an event handed over twice is kept %d times", len(again.Events))
	}

	_, err = h.press(p.Number, studio.Poured) // pressed on another device
	var done *studio.AlreadyDone
	if !errors.As(err, &done) || !errors.Is(err, studio.ErrConflict) {
		t.Fatalf("a second pour gave %v, want *AlreadyDone", err)
	}
	if done.Number != p.Number.String() || done.Kind != studio.Poured || done.Device != "tablet" || !done.At.Equal(first.Events[0].At) {
		t.Errorf("it says %+v", done)
	}
	if story, err := h.Plate(ctx, p.Number); err != nil || len(story.Events) != 1 {
		t.Errorf("after it there are %d events (%v), want 1", len(story.Events), err)
	}
}

func TestCorrections(t *testing.T) {
	h := newHouse(t)
	ctx := t.Context()
	p, _ := h.plate()
	for _, kind := range []studio.EventKind{studio.Poured, studio.InBath, studio.OutOfBath} {
		_, err := h.press(p.Number, kind)
		h.must(err)
	}
	story, err := h.Plate(ctx, p.Number)
	h.must(err)
	out := story.Standing(studio.OutOfBath)
	correct := func(d studio.Detail, corrects studio.ID) (studio.Story, error) {
		return h.Record(ctx, p.Number, studio.Event{ID: h.id(), Kind: studio.Corrected, At: h.now, Corrects: corrects, Detail: d})
	}

	// Undo: the press did not happen, the step is to be taken again, and the old event stays readable.
	story, err = correct(studio.Detail{Void: true, Words: "wrong pedal"}, out.ID)
	h.must(err)
	if story.Last != studio.InBath || story.Next != studio.OutOfBath || story.Done != 2 || len(story.Events) != 4 {
		t.Errorf("after undoing the plate is %q, next %q, %d stand of %d", story.Last, story.Next, story.Done, len(story.Events))
	}
	story, err = h.press(p.Number, studio.OutOfBath)
	h.must(err)

	// Instead: another time and detail; the last correction counts.
	bath := story.Standing(studio.InBath)
	temperature := measure.Celsius(17)
	for _, minutes := range []int{5, 2} {
		story, err = correct(studio.Detail{Instead: &studio.Instead{At: bath.At.Add(time.Duration(minutes) * time.Minute), Detail: studio.Detail{TemperatureC: &temperature}}}, bath.ID)
		h.must(err)
	}
	now := story.Standing(studio.InBath)
	if !now.At.Equal(bath.At.Add(2*time.Minute)) || now.Detail.TemperatureC == nil || *now.Detail.TemperatureC != 17 || now.ID != bath.ID {
		t.Errorf("the corrected event is %+v", now)
	}

	// What was taken back and done again does not come back by a later correction.
	_, err = correct(studio.Detail{Instead: &studio.Instead{At: out.At}}, out.ID)
	if done := (*studio.AlreadyDone)(nil); !errors.As(err, &done) || done.Kind != studio.OutOfBath {
		t.Errorf("an event taken back and replaced, corrected, gave %v, want *AlreadyDone", err)
	}

	// What a correction may not be.
	hot := measure.Celsius(99)
	for _, tt := range []struct {
		name     string
		corrects studio.ID
		detail   studio.Detail
		fields   []string
	}{
		{"of nothing", "", studio.Detail{Void: true}, []string{"corrects"}},
		{"of an event of no plate", "no-such-event", studio.Detail{Void: true}, []string{"corrects"}},
		{"of a correction", story.Events[len(story.Events)-1].ID, studio.Detail{Void: true}, []string{"corrects"}},
		{"that says nothing", bath.ID, studio.Detail{}, []string{"instead"}},
		{"that says both", bath.ID, studio.Detail{Void: true, Instead: &studio.Instead{At: bath.At}}, []string{"instead"}},
		{"within a correction", bath.ID, studio.Detail{Instead: &studio.Instead{At: bath.At, Detail: studio.Detail{Void: true, Instead: &studio.Instead{}}}}, []string{"void", "instead"}},
		{"to what belongs elsewhere", bath.ID, studio.Detail{Instead: &studio.Instead{At: bath.At, Detail: studio.Detail{
			Verdict: &studio.Verdict{}, Mark: &studio.Mark{}, Copy: &studio.Copy{}}}}, []string{"verdict", "mark", "copy"}},
		{"to what is not allowed", bath.ID, studio.Detail{Instead: &studio.Instead{At: bath.At, Detail: studio.Detail{TemperatureC: &hot}}}, []string{"temperature_c"}},
		{"to no time", bath.ID, studio.Detail{Instead: &studio.Instead{}}, []string{"instead.at"}},
		{"to the far future", bath.ID, studio.Detail{Instead: &studio.Instead{At: h.now.AddDate(1, 0, 0)}}, []string{"instead.at"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := correct(tt.detail, tt.corrects)
			invalid(t, err, tt.fields...)
		})
	}
}

func TestEventsThatAreRefused(t *testing.T) {
	h := newHouse(t)
	p, _ := h.plate()
	good := func() studio.Event {
		return studio.Event{ID: h.id(), Kind: studio.Poured, At: h.now, Device: "tablet"}
	}
	hot := measure.Celsius(61)
	for _, tt := range []struct {
		name   string
		change func(*studio.Event)
		fields []string
	}{
		{"bad id", func(e *studio.Event) { e.ID = "short" }, []string{"id"}},
		{"id with a space", func(e *studio.Event) { e.ID = "has a space in it" }, []string{"id"}},
		{"unknown kind", func(e *studio.Event) { e.Kind = "dropped" }, []string{"kind"}},
		{"a clock never set", func(e *studio.Event) { e.At = time.Unix(0, 0) }, []string{"at"}},
		{"a clock far ahead", func(e *studio.Event) { e.At = h.now.Add(36*time.Hour + time.Second) }, []string{"at"}},
		{"an endless exposure", func(e *studio.Event) { e.Kind, e.Detail.ExposureS = studio.Exposed, 3601 }, []string{"exposure_s"}},
		{"a boiling bath", func(e *studio.Event) { e.Kind, e.Detail.TemperatureC = studio.InBath, &hot }, []string{"temperature_c"}},
		{"a verdict that is none", func(e *studio.Event) { e.Kind = studio.Judged }, []string{"verdict"}},
		{"a verdict beyond words", func(e *studio.Event) {
			e.Kind, e.Detail.Verdict = studio.Judged, &studio.Verdict{Word: 4, Fate: "sell"}
		}, []string{"verdict", "fate"}},
		{"a mark off the plate", func(e *studio.Event) {
			e.Kind, e.Detail.Mark = studio.Marked, &studio.Mark{XPct: -1, YPct: 101}
		}, []string{"appearance", "x_pct", "y_pct"}},
		{"a verdict on a pour", func(e *studio.Event) { e.Detail.Verdict = &studio.Verdict{Fate: studio.Keep} }, []string{"verdict"}},
		{"a pour that takes itself back", func(e *studio.Event) { e.Detail.Void = true }, []string{"void"}},
		{"a mark that is none", func(e *studio.Event) { e.Kind = studio.Marked }, []string{"mark"}},
		{"a copy without pictures", func(e *studio.Event) { e.Kind, e.Detail.Copy = studio.Copied, &studio.Copy{} }, []string{"copy"}},
		{"a photograph of an endless name", func(e *studio.Event) {
			e.Kind, e.Detail.Copy = studio.Copied, &studio.Copy{Original: "a", TrueView: "b", FileName: strings.Repeat("n", 401)}
		}, []string{"photograph"}},
		{"endless words", func(e *studio.Event) { e.Detail.Words = strings.Repeat("w", 4001) }, []string{"words"}},
		{"moved nowhere", func(e *studio.Event) { e.Kind, e.Detail.Place = studio.Moved, " " }, []string{"place"}},
		{"a note without words", func(e *studio.Event) { e.Kind = studio.Noted }, []string{"words"}},
		{"judged before it is poured", func(e *studio.Event) {
			e.Kind, e.Detail.Verdict = studio.Judged, &studio.Verdict{Fate: studio.Keep}
		}, []string{"kind"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			e := good()
			tt.change(&e)
			_, err := h.Record(t.Context(), p.Number, e)
			invalid(t, err, tt.fields...)
		})
	}
	if story, err := h.Plate(t.Context(), p.Number); err != nil || len(story.Events) != 0 {
		t.Errorf("%d refused events were kept (%v)", len(story.Events), err)
	}
	if _, err := h.Record(t.Context(), studio.Number{Year: 2026, Serial: 99}, good()); !errors.Is(err, studio.ErrNotFound) {
		t.Errorf("an event of a plate that is not there gave %v", err)
	}
	e := good()
	e.At = h.now.Add(36 * time.Hour)
	if _, err := h.Record(t.Context(), p.Number, e); err != nil {
		t.Errorf("a clock 36 hours ahead was refused: %v", err)
	}
}

// TestStepsMayBeSkipped: a press that was forgotten does not stop the clock.
func TestStepsMayBeSkipped(t *testing.T) {
	h := newHouse(t)
	p, _ := h.plate()
	_, err := h.press(p.Number, studio.Poured)
	h.must(err)
	story, err := h.press(p.Number, studio.Exposed)
	h.must(err)
	if story.Last != studio.Exposed || story.Next != studio.DeveloperOn {
		t.Errorf("after a skipped step the plate is %q, next %q", story.Last, story.Next)
	}
	story, err = h.press(p.Number, studio.Loaded) // handed over late
	h.must(err)
	if story.Last != studio.Exposed {
		t.Errorf("a step handed over late moved the plate back to %q", story.Last)
	}
}

func TestFold(t *testing.T) {
	at := func(minute int) time.Time { return time.Date(2026, 5, 4, 10, minute, 0, 0, time.UTC) }
	verdict := func(word int, fate studio.Fate) studio.Detail {
		return studio.Detail{Verdict: &studio.Verdict{Word: word, Fate: fate}}
	}
	poured := studio.Event{ID: "p", Kind: studio.Poured, At: at(1)}
	bath := studio.Event{ID: "b", Kind: studio.InBath, At: at(2)}
	judged := studio.Event{ID: "j", Kind: studio.Judged, At: at(3), Detail: verdict(-1, studio.Redo)}
	mark := studio.Event{ID: "m", Kind: studio.Marked, At: at(4), Detail: studio.Detail{Mark: &studio.Mark{Appearance: "comet"}}}
	void := func(id studio.ID) studio.Event {
		return studio.Event{ID: "v" + id, Kind: studio.Corrected, Corrects: id, At: at(5), Detail: studio.Detail{Void: true}}
	}
	for _, tt := range []struct {
		name   string
		events []studio.Event
		state  string
		next   studio.EventKind
		done   int
		marks  int
	}{
		{"nothing yet", nil, "planned", studio.Poured, 0, 0},
		{"poured", []studio.Event{poured}, "poured", studio.InBath, 1, 0},
		{"judged before it is finished", []studio.Event{poured, bath, judged}, "redo", studio.OutOfBath, 3, 0},
		{"judged anew", []studio.Event{poured, judged, {ID: "j2", Kind: studio.Judged, At: at(6), Detail: verdict(0, studio.Keep)}}, "keep", studio.InBath, 3, 0},
		{"verdict taken back", []studio.Event{poured, judged, void("j")}, "poured", studio.InBath, 1, 0},
		{"verdict corrected", []studio.Event{poured, judged, {ID: "c", Kind: studio.Corrected, Corrects: "j",
			Detail: studio.Detail{Instead: &studio.Instead{At: at(3), Detail: verdict(2, studio.Reject)}}}}, "reject", studio.InBath, 2, 0},
		{"mark", []studio.Event{poured, mark}, "poured", studio.InBath, 2, 1},
		{"mark taken back", []studio.Event{poured, mark, void("m")}, "poured", studio.InBath, 1, 0},
		{"pour taken back", []studio.Event{poured, void("p")}, "planned", studio.Poured, 0, 0},
		{"corrected after it was voided", []studio.Event{poured, void("p"), {ID: "c", Kind: studio.Corrected, Corrects: "p",
			Detail: studio.Detail{Instead: &studio.Instead{At: at(0)}}}}, "poured", studio.InBath, 1, 0},
		{"a correction that says nothing", []studio.Event{poured, {ID: "c", Kind: studio.Corrected, Corrects: "p", At: at(4)}}, "poured", studio.InBath, 1, 0},
		{"a correction of itself", []studio.Event{poured, {ID: "c", Kind: studio.Corrected, Corrects: "c", Detail: studio.Detail{Void: true}}}, "poured", studio.InBath, 1, 0},
		{"a correction that came first", []studio.Event{void("p"), poured}, "planned", studio.Poured, 0, 0},
		{"mark and copy without what they name", []studio.Event{poured, {ID: "m", Kind: studio.Marked}, {ID: "c", Kind: studio.Copied}}, "poured", studio.InBath, 3, 0},
		{"last step", []studio.Event{{ID: "x", Kind: studio.Varnished, At: at(9)}}, "varnished", "", 1, 0},
	} {
		t.Run(tt.name, func(t *testing.T) {
			before := slices.Clone(tt.events)
			s := studio.Fold(tt.events)
			if s.State() != tt.state || s.Next != tt.next || s.Done != tt.done || len(s.Marks) != tt.marks {
				t.Errorf("got %q, next %q, %d done, %d marks; want %q, %q, %d, %d", s.State(), s.Next, s.Done, len(s.Marks), tt.state, tt.next, tt.done, tt.marks)
			}
			for i := range before {
				if before[i].At != tt.events[i].At || before[i].Detail != tt.events[i].Detail {
					t.Errorf("folding changed event %d", i)
				}
			}
		})
	}
}

func TestStandsKeepsTheOrderReceived(t *testing.T) {
	events := []studio.Event{{ID: "3", Kind: studio.Noted, At: time.Unix(3, 0)}, {ID: "1", Kind: studio.Noted, At: time.Unix(1, 0)},
		{ID: "c", Kind: studio.Corrected, Corrects: "3", Detail: studio.Detail{Instead: &studio.Instead{At: time.Unix(9, 0), Detail: studio.Detail{Words: "w"}}}}}
	got := studio.Stands(events)
	if len(got) != 2 || got[0].ID != "3" || !got[0].At.Equal(time.Unix(9, 0)) || got[0].Detail.Words != "w" || got[1].ID != "1" {
		t.Errorf("standing are %+v", got)
	}
}

func TestListOfPlates(t *testing.T) {
	h := newHouse(t)
	ctx := t.Context()
	s := h.stock()
	var numbers []studio.Number
	for i := range 7 {
		plan := s.plan()
		if i%2 == 1 {
			plan.Sitting = ""
		}
		p, err := h.PlanPlate(ctx, plan)
		h.must(err)
		numbers = append(numbers, p.Number)
	}
	for _, i := range []int{1, 2, 3} {
		_, err := h.press(numbers[i], studio.Poured)
		h.must(err)
	}
	_, err := h.Record(ctx, numbers[3], studio.Event{ID: h.id(), Kind: studio.Judged, At: h.now, Detail: studio.Detail{Verdict: &studio.Verdict{Word: 1, Fate: studio.Keep}}})
	h.must(err)
	tally, err := h.Tally(ctx)
	h.must(err)
	if want := (studio.Tally{Sitters: 1, Sittings: 1, Plates: 7, Poured: 3}); tally != want {
		t.Errorf("the tally is %+v, want %+v", tally, want)
	}
	list := func(f studio.PlateFilter) (serials []int, more bool) {
		t.Helper()
		page, err := h.Plates(ctx, f)
		h.must(err)
		for _, r := range page.Rows {
			serials = append(serials, r.Number.Serial)
			if (r.SitterName == "") != (r.Plan.Sitting == "") {
				t.Errorf("plate %s of sitting %q has the sitter %q", r.Number, r.Plan.Sitting, r.SitterName)
			}
		}
		return serials, page.More
	}
	for _, tt := range []struct {
		name string
		f    studio.PlateFilter
		want []int
		more bool
	}{
		{"all", studio.PlateFilter{}, []int{7, 6, 5, 4, 3, 2, 1}, false},
		{"first page", studio.PlateFilter{Most: 3}, []int{7, 6, 5}, true},
		{"next page", studio.PlateFilter{Most: 3, Below: numbers[4]}, []int{4, 3, 2}, true},
		{"last page", studio.PlateFilter{Most: 3, Below: numbers[1]}, []int{1}, false},
		{"begun", studio.PlateFilter{Begun: true}, []int{4, 3, 2}, false},
		{"open", studio.PlateFilter{Begun: true, Open: true}, []int{3, 2}, false},
		{"kept", studio.PlateFilter{State: "keep"}, []int{4}, false},
		{"planned", studio.PlateFilter{State: "planned"}, []int{7, 6, 5, 1}, false},
		{"of a sitting", studio.PlateFilter{Sitting: s.sitting.ID}, []int{7, 5, 3, 1}, false},
	} {
		got, more := list(tt.f)
		if !slices.Equal(got, tt.want) || more != tt.more {
			t.Errorf("%s: %v, more %v; want %v, %v", tt.name, got, more, tt.want, tt.more)
		}
	}
}
