package browsertest

import (
	"strconv"
	"strings"
	"testing"
)

// TestCountForTheCap plans a plate of two seconds and lets the floor count them, in day and in red light: three beats
// first, then the seconds, then the cap. Pressed when it says so, it tells how far off the time was.
func TestCountForTheCap(t *testing.T) {
	needBrowser(t)
	s := exampleServer(t)
	for _, l := range []string{day, red} {
		t.Run(l, func(t *testing.T) {
			t.Parallel()
			b := open(t, s, devices[0])
			b.light(l)
			b.goTo("/floor")
			if l == day {
				b.press(`label.option:has([name="way"][value="metered"])`)
			}
			b.write("seconds", "2")
			b.wait("two seconds to count", `document.querySelector('#cap-off')?.value === '2'`)
			b.press(".count-go")
			b.wait("the make-ready", `['3', '2', '1'].includes(document.querySelector('.count-figure').textContent)`)
			b.wait("the cap off", `document.querySelector('.count-said').textContent === 'Cap off'`)
			b.wait("the count", `document.querySelector('.count-figure').textContent === '1'`)
			b.wait("the cap on", `document.querySelector('.count-said').textContent.startsWith('Cap on')`)
			if height := eval[float64](b, `document.querySelector('.count-figure').getBoundingClientRect().height`); height < 90 {
				t.Errorf("the count stands %g pixels high, want 90 at least, to be read across a room", height)
			}
			if l == red {
				onlyRed(t, "the floor while it counts", b.picture())
			}
			b.press(".count-go")
			said := eval[string](b, `document.querySelector('.count-said').textContent`)
			words := strings.Fields(said)
			if !strings.Contains(said, "2.0\u2009s") {
				t.Fatalf("after the count it says %q", said)
			}
			if strings.HasSuffix(said, "right") {
				return
			}
			off, err := strconv.ParseFloat(strings.TrimPrefix(strings.Split(words[len(words)-1], "\u2009")[0], "+"), 64)
			if err != nil {
				off, err = strconv.ParseFloat(strings.TrimPrefix(words[len(words)-2], "+"), 64)
			}
			if err != nil || off < -0.05 || off > 1.5 {
				t.Errorf("after the count it says %q: that is not a little late", said)
			}
		})
	}
}

// TestFloorWays chooses each way of knowing the light: its own fields are seen, those of the others are not, and what is
// told follows.
func TestFloorWays(t *testing.T) {
	needBrowser(t)
	s := exampleServer(t)
	for _, d := range devices {
		t.Run(d.name, func(t *testing.T) {
			t.Parallel()
			b := open(t, s, d)
			b.light(day)
			b.goTo("/floor")
			for _, w := range []struct{ way, part, told string }{
				{"window", ".of-window", "the light, the sun"},
				{"flash", ".of-flash", "the rig"},
				{"from a plate", ".of-plate", "the plate"},
				{"metered", ".of-meter", "the meter"},
			} {
				b.press(`label.option:has([name="way"][value="` + w.way + `"])`)
				b.wait("the part of "+w.way, `!document.querySelector('.htmx-request') && document.querySelector('`+w.part+`').getClientRects().length > 0`)
				for _, other := range []string{".of-window", ".of-flash", ".of-plate"} {
					if seen := eval[bool](b, `document.querySelector('`+other+`').getClientRects().length > 0`); seen != (other == w.part) {
						t.Errorf("%s: %s is seen: %v", w.way, other, seen)
					}
				}
				if w.way != "metered" {
					b.wait("what is told of "+w.told, `document.querySelector('.lit-told').textContent.trim().length > 20`)
				}
			}
			if wide := eval[float64](b, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); wide > 0 {
				t.Errorf("the page is %g pixels wider than the window", wide)
			}
		})
	}
}
