package plates

import (
	"math"
	"strings"
	"testing"
	"time"

	"platewright/internal/studio"
)

// happened is a plate's steps and what came after, at these seconds from the pour.
func happened(seconds ...float64) []studio.Event {
	kinds := []studio.EventKind{studio.Poured, studio.InBath, studio.OutOfBath, studio.Loaded, studio.Exposed, studio.DeveloperOn, studio.DeveloperOff,
		studio.Fixed, studio.Washed, studio.Varnished, studio.Judged, studio.Copied, studio.Delivered}
	at := time.Date(2026, 11, 24, 9, 30, 0, 0, time.UTC)
	var all []studio.Event
	for i, s := range seconds {
		all = append(all, studio.Event{Kind: kinds[i%len(kinds)], At: at.Add(time.Duration(s * float64(time.Second)))})
	}
	return all
}

// Seconds and days both show: events keep apart, longer waits are longer, and a wait of an hour or
// more is broken.
func TestStripShowsSecondsAndDays(t *testing.T) {
	s := StripOf(happened(0, 30, 210, 240, 244, 300, 315, 375, 1900, 9e4, 1e5, 6e5, 2e6))
	if len(s.Points) != 13 || len(s.Gaps) != 12 {
		t.Fatalf("%d points and %d gaps", len(s.Points), len(s.Gaps))
	}
	for i, g := range s.Gaps {
		if wide := g.To - g.From; wide < least {
			t.Errorf("gap %d is %.1f wide, want at least %.0f", i, wide, least)
		}
		if g.From != s.Points[i].X || g.To != s.Points[i+1].X {
			t.Errorf("gap %d does not reach from event to event", i)
		}
	}
	if s.Points[0].X != stripFrom || s.Points[12].X < stripTo-1e-6 || s.Points[12].X > stripTo+1e-6 {
		t.Errorf("the strip runs from %.1f to %.1f", s.Points[0].X, s.Points[12].X)
	}
	wide := func(i int) float64 { return s.Gaps[i].To - s.Gaps[i].From }
	if !(wide(3) < wide(0) && wide(0) < wide(1) && wide(1) < wide(10)) { // 4 s, 30 s, 3 min, 6 days
		t.Errorf("4 s is %.1f wide, 30 s %.1f, 3 min %.1f, 6 days %.1f", wide(3), wide(0), wide(1), wide(10))
	}
	if s.Gaps[7].Broken || !s.Gaps[8].Broken {
		t.Error("half an hour is drawn whole and a day broken")
	}
	if got := strings.Count(s.line(), "l6-12"); got != 8 {
		t.Errorf("%d strokes across the axis, want two for each of the four long waits", got)
	}
}

// No name lies over another, and no line up to a name crosses one.
func TestStripNamesKeepClear(t *testing.T) {
	for name, events := range map[string][]studio.Event{
		"a day":   happened(0, 30, 210, 240, 244, 300, 315, 375, 1900, 9e4, 1e5, 6e5, 2e6),
		"at once": happened(0, 0, 0, 0, 0, 0, 0, 0),
		"many":    happened(0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22, 23, 24, 25),
	} {
		s := StripOf(events)
		for i, p := range s.Points {
			ends := p.X + float64(len(p.Name))*letter
			for _, later := range s.Points[i+1:] {
				if (later.Rise > 0) != (p.Rise > 0) || later.X >= ends {
					continue
				}
				if math.Abs(later.Rise) > math.Abs(p.Rise)-nameStep {
					t.Errorf("%s: %q ends at %.0f; %q at %.0f stands %.0f away against %.0f", name, p.Name, ends, later.Name, later.X, later.Rise, p.Rise)
				}
			}
			if p.Rise+10 > s.Axis || s.nameAt(p)+14 > s.Height {
				t.Errorf("%s: %q stands outside the drawing", name, p.Name)
			}
		}
		for i, g := range s.Gaps {
			if float64(len([]rune(g.Text)))*letter > g.To-g.From {
				t.Errorf("%s: span %d, %q, is broader than its %.0f", name, i, g.Text, g.To-g.From)
			}
		}
	}
	if s := StripOf(nil); len(s.Points) != 0 {
		t.Error("nothing happened, and something is drawn")
	}
	if one := StripOf(happened(0)); len(one.Points) != 1 || one.line() != "" {
		t.Error("one event is a point without a line")
	}
}

func TestSpanText(t *testing.T) {
	for d, want := range map[time.Duration]string{
		400 * time.Millisecond:               "0\u2009s",
		59600 * time.Millisecond:             "1\u2009min",
		185 * time.Second:                    "3\u2009min 5\u2009s",
		time.Hour:                            "1\u2009h",
		5*time.Hour + 12*time.Minute:         "5\u2009h 12\u2009min",
		47*time.Hour + 59*time.Minute + 40e9: "2\u2009days",
		12 * 24 * time.Hour:                  "12\u2009days",
		-90 * time.Second:                    "-1\u2009min 30\u2009s",
	} {
		if got := SpanText(d); got != want {
			t.Errorf("%v is %q, want %q", d, got, want)
		}
	}
}

// The true view is the plate's mirror: what is turned twice is as it was.
func TestOnView(t *testing.T) {
	for plate, view := range map[float64]float64{0: 100, 25: 75, 50: 50, 100: 0} {
		if OnView(plate) != view || OnView(OnView(plate)) != plate {
			t.Errorf("%g on the plate is %g on the view, want %g", plate, OnView(plate), view)
		}
	}
}
