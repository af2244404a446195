package scene

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"platewright/measure"
)

// tell says of each choice what it trades against the first of all, and of the first what one stop more or less
// would trade.
func (c *chooser) tell() {
	if len(c.choices) == 0 {
		return
	}
	first := &c.choices[0]
	for i := range c.choices[1:] {
		k := &c.choices[i+1]
		k.Trade = c.trade(first, k)
	}
	var ways []string
	for _, way := range []struct {
		name  string
		wider bool
	}{{"wider", true}, {"smaller", false}} {
		if k := c.neighbour(first, way.wider); k != nil {
			ways = append(ways, c.trade(first, k))
		}
	}
	first.Trade = strings.Join(ways, "; ")
	if first.Trade == "" {
		first.Trade = "no other stop of this lens will do here"
	}
}

// neighbour returns the same set-up at the next wider or smaller stop, if there is one.
func (c *chooser) neighbour(of *Choice, wider bool) *Choice {
	var next *Choice
	for i := range c.choices {
		k := &c.choices[i]
		if !sameStand(of, k) || k.Stop == of.Stop || (k.Stop < of.Stop) != wider {
			continue
		}
		if next == nil || math.Abs(float64(k.Stop-of.Stop)) < math.Abs(float64(next.Stop-of.Stop)) {
			next = k
		}
	}
	return next
}

func sameStand(a, b *Choice) bool {
	return a.Lens == b.Lens && a.Moves == b.Moves && a.Distance == b.Distance && a.Setup.Camera == b.Setup.Camera
}

// trade says what choosing k instead of the first gives and takes.
func (c *chooser) trade(first, k *Choice) string {
	var head []string
	if k.Lens != first.Lens {
		head = append(head, k.Lens+" instead of "+first.Lens)
	}
	if stops := measure.Stops(2 * math.Log2(float64(k.Stop/first.Stop))); math.Abs(float64(stops)) >= 0.05 {
		head = append(head, howMuch(float64(stops), "stop", "wider", "smaller"))
	}
	if k.Moves != first.Moves {
		head = append(head, map[Moves]string{Square: "no movement", Swung: "the swing alone", TiltAndSwing: "tilt and swing"}[k.Moves])
	}
	if d := float64(k.Distance - first.Distance); math.Abs(d) >= 10 {
		head = append(head, fmt.Sprintf("%.2f m %s", math.Abs(d)/1000, either(d > 0, "farther", "nearer")))
	}
	var gives []string
	switch d := float64(k.Seconds - first.Seconds); {
	case c.q.Light.Flash > 0:
		if s := math.Log2(float64(k.Needed / first.Needed)); math.Abs(s) >= 0.05 {
			gives = append(gives, howMuch(s, "stop", "less flash", "more flash"))
		}
	case math.Abs(d) >= 0.02*float64(first.Seconds):
		gives = append(gives, counted(math.Abs(d))+either(d > 0, " more", " less"))
	}
	for i, mark := range k.Targets {
		if was := first.Targets[i].State; mark.State != was {
			gives = append(gives, mark.Target.String()+" "+string(mark.State))
		}
	}
	if a, b := percent(first.Stillness), percent(k.Stillness); a != b {
		gives = append(gives, fmt.Sprintf("%d %% in depth instead of %d %%", b, a))
	}
	if c.q.Swirl != AnySwirl && k.Swirl != nil && first.Swirl != nil {
		if d := k.Swirl.Corner - first.Swirl.Corner; math.Abs(d) >= 0.05 {
			gives = append(gives, either(d > 0, "more swirl", "less swirl"))
		}
	}
	if d := k.FaceShare - first.FaceShare; math.Abs(d) >= 0.02 {
		gives = append(gives, fmt.Sprintf("%d %% of the face sharp instead of %d %%", percent(k.FaceShare), percent(first.FaceShare)))
	}
	switch {
	case len(head) == 0 && len(gives) == 0:
		return "as good as the first"
	case len(head) == 0:
		return strings.Join(gives, ", ")
	case len(gives) == 0:
		return strings.Join(head, ", ") + ": nothing else changes"
	}
	return strings.Join(head, ", ") + ": " + strings.Join(gives, ", ")
}

// counted writes seconds as they are counted, and as a plain figure when there are more of them than in a day.
func counted(s float64) string {
	if s > 24*60*60 {
		return plain(s) + " s"
	}
	return measure.FormatExposure(time.Duration(s * float64(time.Second)))
}

// plain writes a figure with three significant digits and without a power of ten.
func plain(v float64) string {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', 2, 64), 64)
	if err != nil { // never: a number was written
		rounded = v
	}
	return strconv.FormatFloat(rounded, 'f', -1, 64)
}

func percent(x float64) int { return int(math.Round(100 * x)) }

func either(claim bool, yes, no string) string {
	if claim {
		return yes
	}
	return no
}

// howMuch says a signed amount: "1 stop wider", "0.7 stops smaller".
func howMuch(x float64, unit, negative, positive string) string {
	amount := strings.TrimSuffix(fmt.Sprintf("%.1f", math.Abs(x)), ".0")
	if amount != "1" {
		unit += "s"
	}
	return amount + " " + unit + " " + either(x > 0, positive, negative)
}
