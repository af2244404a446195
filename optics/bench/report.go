package bench

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"platewright/optics"
)

// roughest is the relative standard deviation from which on a figure is not worth an answer, and first-order
// errors are not right any more.
const roughest = 0.25

// result makes a figure of the answer out of an estimate.
func (f *fit) result(n Name, unit, how string, e estimate) Result {
	return Result{Name: n, Value: &e.value, Unit: unit, SD: &e.sd, Low95: &e.low, High95: &e.high, Basis: sentence(how + "; " + f.trust())}
}

// found puts the answer together.
func (f *fit) found(results []Result, lines []Line, notes ...string) Found {
	out := Found{Results: results, Readings: f.shown(), Lines: lines, Scatter: f.scatter(), Notes: append([]string{}, notes...)}
	odd := 0
	for _, r := range out.Readings {
		if r.Disagrees {
			odd++
			out.Notes = append(out.Notes, r.Sentence)
		}
	}
	switch {
	case f.raised > 1 && odd == 0:
		out.Notes = append(out.Notes, fmt.Sprintf("The readings scatter %.2g times what was stated, none more than the others: the reading error is larger than stated, or something moves.", *out.Scatter.Ratio))
	case odd > 0:
		out.Notes = append(out.Notes, "A reading that disagrees is still in the fit and widens its intervals; leave it out of the question only for a reason, such as a slip found.")
	}
	if f.freedom == 0 {
		out.Notes = append(out.Notes, "No reading is to spare, so nothing tests the stated errors: one reading more is worth the minute.")
	}
	return out
}

// sentence gives a basis its capital and its stop.
func sentence(s string) string {
	return string(s[0]-'a'+'A') + s[1:] + "."
}

// enough refuses fewer readings than a method needs.
func enough(field string, got, need int, why string) error {
	if got >= need {
		return nil
	}
	return refuse(field, "%s given; at least %d needed: %s", counted(got), need, why)
}

func counted(n int) string {
	switch n {
	case 0:
		return "no reading is"
	case 1:
		return "1 reading is"
	}
	return fmt.Sprintf("%d readings are", n)
}

// solved solves a problem; what its readings leave open is refused under field with the way out.
func solved(p problem, field, way string) (*fit, error) {
	f, err := p.solve()
	switch {
	case errors.Is(err, errFlat):
		return nil, refuse(field, "the readings leave the answer open; %s", way)
	case err != nil:
		return nil, refuse(field, "%s", err.Error())
	}
	return f, nil
}

// plausible refuses a focal length out of the range of package optics, saying what to look at, or one known too roughly
// to be of use.
func (f *fit) plausible(e estimate, field, look string) error {
	low, high := float64(optics.LeastFocal), float64(optics.GreatestFocal)
	if !(e.value >= low && e.value <= high) {
		return refuse(field, "these readings make a focal length of %.4g mm; lenses of %g to %g mm are reckoned with; %s%s", e.value, low, high, look, f.odd())
	}
	return f.precise(e, "focal length", field)
}

// odd is what is said in a refusal of the reading that lies farthest from the others, if one disagrees with them.
func (f *fit) odd() string {
	var worst Reading
	for _, r := range f.shown() {
		if r.Disagrees && r.InSD > worst.InSD {
			worst = r
		}
	}
	if worst.Sentence == "" {
		return ""
	}
	return ". " + strings.TrimSuffix(worst.Sentence, ".")
}

// precise refuses a figure that is known too roughly to be of use.
func (f *fit) precise(e estimate, what, field string) error {
	if !(e.value > 0) || e.sd > roughest*e.value {
		return refuse(field, "these readings make the %s %.3g ± %.2g, too rough for use: its standard deviation must be below a quarter of it; read finer, more often or farther apart%s", what, e.value, e.sd, f.odd())
	}
	return nil
}

// readable refuses a length that drowns in its own reading error.
func readable(field string, value, sd float64) error {
	if value < 4*sd {
		return refuse(field, "%.4g mm read to ± %.3g mm tells too little; at least %.4g mm is needed, or a finer reading", value, sd, 4*sd)
	}
	return nil
}

// stops is an error of an f-number as exposure.
func stops(e estimate) *float64 {
	s := 2 * e.sd / e.value / math.Ln2
	return &s
}

// drawn samples a fitted curve.
func drawn(group, across, up string, from, to float64, n int, y func(x float64) float64) Line {
	l := Line{Group: group, Across: across, Up: up}
	for i := range n {
		x := from + (to-from)*float64(i)/float64(n-1)
		l.Points = append(l.Points, [2]float64{x, y(x)})
	}
	return l
}

func place(key string, i int) string { return fmt.Sprintf("readings[%d].%s", i, key) }
