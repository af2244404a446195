package plates

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"time"

	"platewright/internal/studio"
	"platewright/measure"
)

// Strip is a plate's story drawn as one strip of time. Seconds and days both have to show, so the
// way between two events grows with the logarithm of the time between them, and a wait of an hour
// or more is drawn broken.
type Strip struct {
	Points []Point
	Gaps   []Gap
	Axis   float64 // how far down the axis lies
	Height float64
}

// Point is one event on the strip.
type Point struct {
	N    int
	X    float64
	Name string
	Rise float64 // how far above the axis its name stands; below it when less than nothing
}

// Gap is the time between two events.
type Gap struct {
	From, To float64
	Text     string // to one unit; empty where there is no room for it
	Whole    string // as the table has it
	Broken   bool
}

// Measures of the strip, in units of its drawing.
const (
	stripFrom, stripTo = 14.0, 690.0
	least              = 48.0 // between two events, where there is room
	letter             = 7.3  // breadth of a letter of a name
	nameStep           = 21.0
	firstRise          = 32.0 // the spans stand on the axis, under the first row of names
	firstFall          = -12.0
	brokenFrom         = time.Hour
)

// StripOf draws events that stand, in the order they happened.
func StripOf(events []studio.Event) Strip {
	if len(events) == 0 {
		return Strip{}
	}
	var s Strip
	gaps := make([]time.Duration, len(events)-1)
	all := 0.0
	for i := range gaps {
		gaps[i] = max(0, events[i+1].At.Sub(events[i].At))
		all += weight(gaps[i])
	}
	apart := min(least, (stripTo-stripFrom)/float64(max(1, len(gaps))))
	rest := stripTo - stripFrom - apart*float64(len(gaps))
	x := stripFrom
	for i, e := range events {
		s.Points = append(s.Points, Point{N: i + 1, X: x, Name: strconv.Itoa(i+1) + " " + string(e.Kind)})
		if i == len(gaps) {
			break
		}
		next := x + apart
		if all > 0 {
			next += rest * weight(gaps[i]) / all
		}
		s.Gaps = append(s.Gaps, Gap{From: x, To: next, Text: shortSpan(gaps[i]), Whole: SpanText(gaps[i]), Broken: gaps[i] >= brokenFrom})
		x = next
	}
	s.lay()
	return s
}

func weight(d time.Duration) float64 { return math.Log2(1 + d.Seconds()/5) }

// lay sets the names above and below the axis in turn, each at a height of its own, so that no name
// is crossed by the line that leads to another, and leaves out spans there is no room for.
func (s *Strip) lay() {
	highest, deepest := 24.0, 0.0
	for i := len(s.Points) - 1; i >= 0; i-- {
		p := &s.Points[i]
		up := i%2 == 0
		rise := firstRise
		if !up {
			rise = -firstFall
		}
		for k := i + 2; k < len(s.Points); k += 2 {
			if later := s.Points[k]; later.X < p.X+float64(len(p.Name))*letter+8 {
				rise = max(rise, math.Abs(later.Rise)+nameStep)
			}
		}
		if up {
			p.Rise, highest = rise, max(highest, rise)
		} else {
			p.Rise, deepest = -rise, max(deepest, rise)
		}
	}
	for i := range s.Gaps {
		g := &s.Gaps[i]
		if float64(len([]rune(g.Text)))*letter > g.To-g.From {
			g.Text = ""
		}
	}
	s.Axis = highest + 14
	s.Height = s.Axis + max(deepest+18, 56)
}

// nameAt is how far down a point's name hangs from.
func (s Strip) nameAt(p Point) float64 {
	if p.Rise < 0 {
		return s.Axis - p.Rise - 4
	}
	return s.Axis - p.Rise - 10
}

// numberAt is where a point's number stands when there is no room for names.
func (s Strip) numberAt(p Point) float64 {
	if p.Rise > 0 {
		return s.Axis - 14
	}
	return s.Axis + 14
}

// shortSpan is a span of time in one unit.
func shortSpan(d time.Duration) string {
	in := func(unit time.Duration, word string) string {
		return fmt.Sprintf("%.0f\u2009%s", math.Round(float64(d)/float64(unit)), word)
	}
	switch {
	case d < 99*time.Second+500*time.Millisecond:
		return in(time.Second, "s")
	case d < 99*time.Minute+30*time.Second:
		return in(time.Minute, "min")
	case d < 48*time.Hour:
		return in(time.Hour, "h")
	default:
		return in(24*time.Hour, "d")
	}
}

func (g Gap) middle() float64 { return (g.From + g.To) / 2 }

func (s Strip) viewBox() string { return "0 0 800 " + px(s.Height) }

// line is the axis: a stroke between any two events, broken where the wait was long.
func (s Strip) line() string {
	d := ""
	for _, g := range s.Gaps {
		if !g.Broken {
			d += "M" + px(g.From) + " " + px(s.Axis) + "H" + px(g.To)
			continue
		}
		d += "M" + px(g.From) + " " + px(s.Axis) + "H" + px(g.middle()-5) + "m-3 6l6-12M" + px(g.middle()+2) + " " + px(s.Axis+6) + "l6-12M" +
			px(g.middle()+5) + " " + px(s.Axis) + "H" + px(g.To)
	}
	return d
}

// words say what the strip shows to those who do not see it.
func (s Strip) words() string {
	text := "The plate's story as a strip of time"
	for i, p := range s.Points {
		text += ", " + p.Name
		if i < len(s.Gaps) {
			text += ", then " + s.Gaps[i].Whole
		}
	}
	return text
}

func px(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }

// SpanText is a span of time as people say it: 45 s, 3 min 5 s, 5 h 12 min, 12 days.
func SpanText(d time.Duration) string {
	two := func(large time.Duration, largeWord string, small time.Duration, smallWord string) string {
		d := d.Round(small)
		text := fmt.Sprintf("%d %s", d/large, largeWord)
		if rest := d % large / small; rest > 0 {
			text += fmt.Sprintf(" %d %s", rest, smallWord)
		}
		return text
	}
	switch {
	case d < 0:
		return "-" + SpanText(-d)
	case d.Round(time.Second) < time.Minute:
		return measure.Thin(fmt.Sprintf("%d s", d.Round(time.Second)/time.Second))
	case d.Round(time.Second) < time.Hour:
		return measure.Thin(two(time.Minute, "min", time.Second, "s"))
	case d.Round(time.Minute) < 48*time.Hour:
		return measure.Thin(two(time.Hour, "h", time.Minute, "min"))
	default:
		return measure.Thin(fmt.Sprintf("%d days", int(math.Round(d.Hours()/24))))
	}
}

// inOrder sorts events by when they happened; what happened at once keeps the order received.
func inOrder(events []studio.Event) []studio.Event {
	sorted := slices.Clone(events)
	slices.SortStableFunc(sorted, func(a, b studio.Event) int { return a.At.Compare(b.At) })
	return sorted
}
