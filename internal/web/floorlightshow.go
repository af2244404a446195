package web

import (
	"fmt"
	"math"
	"net/url"
	"strings"
	"time"

	"platewright/internal/studio"
	"platewright/internal/web/screens/floor"
	"platewright/light"
	"platewright/measure"
)

// rootOfSquares adds standard deviations that know nothing of each other.
func rootOfSquares(each ...measure.Stops) measure.Stops {
	sum := 0.0
	for _, s := range each {
		sum = math.Hypot(sum, float64(s))
	}
	return measure.Stops(sum)
}

// octaves are the ends of a scale by ratio that holds a band with room.
func octaves(low, high float64) (from, to float64) {
	return math.Exp2(math.Floor(math.Log2(low)) - 1), math.Exp2(math.Ceil(math.Log2(high)) + 1)
}

// litOf lays out what was found of the light.
func litOf(f *form, p planned, got reckoned) floor.Lit {
	var out floor.Lit
	l := got.Lit
	if l == nil {
		return out
	}

	out.Day, out.Year = chartAddress("/floor/day", f, p, got), chartAddress("/floor/year", f, p, got)
	if l.missing != nil {
		out.Missing, out.Href, out.HrefWord = l.missing.what, l.missing.href, l.missing.word
		return out
	}
	if l.flash != nil {
		l.flash.tell(f.sys, p, &out)
	}
	if got.Seconds == nil && l.flash == nil {
		return out
	}
	out.Basis = l.basis(p, got)
	if l.sides != nil {
		out.Sides = windowSides(*l.sides)
	}
	if a := got.Seconds; a != nil {
		out.Costs = secondsCosts(p, a)
	}
	return out
}

// basis says in words what the exposure rests on.
func (l *litFound) basis(p planned, got reckoned) []string {
	var words []string
	switch {
	case l.sun != nil:
		words = append(words, l.skyWords(p))
	case l.judged != nil:
		words = append(words, judgedWords(*l.judged))
	case l.flash != nil:
		words = append(words, p.lit.rig.Name+": its light "+l.flash.given.Basis.Text+".")
	case p.lit.card != nil:
		words = append(words, "A card and a camera: "+luxText(got.Seconds.Lux)+" at the face.")
	default:
		words = append(words, "Metered: "+luxText(got.Seconds.Lux)+" at the face.")
	}
	if l.judged == nil {
		words = append(words, l.indexWords())
	}
	if b := l.between; b.High > b.Low {
		words = append(words, "To the plate this light does "+moreOrLess(b)+" the meter says: "+l.stands+".")
	}
	return words
}

// windowSides say what lies between the two sides of the face; the window lights what is turned to it.
func windowSides(lx [2]float64) string {
	low, high := min(lx[0], lx[1]), max(lx[0], lx[1])
	switch {
	case low <= high/256:
		return "The far side of the face gets no light of the window, only what walls or a board send back, which is not reckoned."
	case high < 1.07*low:
		return "Both sides of the face get the same from the window."
	}
	return fmt.Sprintf("Between the sides of the face %s\u2009stops, before walls or a board open the darker one; the shadow of the nose is not in it.",
		figureOf(math.Log2(high/low), 2))
}

// skyWords say by what sun and sky the light was reckoned.
func (l *litFound) skyWords(p planned) string {
	a := l.sun
	words := fmt.Sprintf("Reckoned: %s at the face, %s, %s, %s; the sun %s, and such a sky strays %s\u2009stops either way.", luxText(a.Lux), windowName(p.lit.window), skyWord(p.lit.weather),
		p.lit.at.Format("15:04 on 2 January"), sunHeight(a.Elevation), figureOf(a.Band, 2))
	switch {
	case a.OnFace:
		words += " The sun falls on the face."
	case a.InRoom:
		words += " The sun comes in beside the face."
	}
	return words
}

// judgedWords say what is known of the plate that is gone by.
func judgedWords(j studio.JudgedPlate) string {
	words := fmt.Sprintf("From plate %s: %s at %s, judged %s", j.Plate.Number, measure.Thin(measure.FormatExposure(j.Given)), j.Plate.Plan.Stop.FNumber, studio.VerdictWord(j.Verdict.Word))
	if j.BatchAge >= 0 {
		words += ", its collodion " + counted(int(math.Round(j.BatchAge)), "day") + " old"
	}
	if j.Plate.Plan.Lighting.Incident > 0 {
		return words + ". Meter now, and a change of the light is reckoned in."
	}
	return words + ". The light is taken to be what it was then."
}

// indexWords say which index was used and on what basis.
func (l *litFound) indexWords() string {
	index := figureOf(float64(l.speed.Index), 3)
	if l.typed {
		return "Exposure index " + index + " as typed, taken to be of this light."
	}
	words := "Exposure index " + index + ", " + strings.TrimPrefix(l.speed.Basis.Text, index+", ")
	if l.kind == "" && l.speed.From != "" {
		words += "; this light is taken to be of that kind"
	}
	return words + "; known to " + figureOf(float64(l.speed.Sigma), 2) + "\u2009stops."
}

func luxText(lx *float64) string {
	if lx == nil {
		return "light"
	}
	unit := math.Pow(10, max(0, math.Floor(math.Log10(max(*lx, 1)))-2)) // to three figures
	return figureOf(math.Round(*lx/unit)*unit, 3) + "\u2009lx"
}

// moreOrLess says what a light does beyond the meter, with its band: "1.3 stops (1 to 1.6) less than".
func moreOrLess(b stopsBand) string {
	low, high, than := b.Low, b.High, "more than"
	if b.Stops < 0 {
		low, high, than = -b.High, -b.Low, "less than"
	}
	return fmt.Sprintf("%s\u2009stops (%s to %s) %s", figureOf(round1(math.Abs(b.Stops)), 2), figureOf(round1(low), 2), figureOf(round1(high), 2), than)
}

func round1(v float64) float64 { return math.Round(10*v) / 10 }

// secondsCosts are what one stop more costs, each by itself.
func secondsCosts(p planned, a *secondsAnswer) []floor.Figure {
	counted := studio.Counted(time.Duration(a.OneStop.Seconds * 1e9))
	costs := []floor.Figure{
		{Word: "Time", Value: measure.Thin(measure.FormatExposure(counted)), Other: "instead of " + measure.Thin(measure.FormatExposure(studio.Counted(a.duration())))},
		{Word: "Stop", Value: a.OneStop.FNumber.String(), Other: "instead of " + p.stop.FNumber.String() + "; " + nearestStop(p.lens, a.OneStop.FNumber)},
	}
	if p.lit.way != studio.ByWindow {
		costs = append(costs, floor.Figure{Word: "Distance of a small lamp", Value: "times " + figureOf(a.OneStop.Distance, 2), Other: "a window or a large face asks for a longer move"})
	}
	return costs
}

// bandBasis says what the band of the seconds holds.
func (l *litFound) bandBasis(p planned) string {
	if l == nil {
		return "by the meter's constant, 240 to 400"
	}
	if l.judged != nil {
		return "by the word on the plate and the hand that timed it"
	}
	var holds []string
	if l.sun != nil {
		holds = append(holds, "the weather")
	}
	holds = append(holds, "the meter's constant, 240 to 400")
	if p.lit.card != nil && l.sun == nil {
		holds = append(holds, "the camera's own")
	}
	if l.speed.Sigma > 0 {
		holds = append(holds, "the index")
	}
	if l.between.High > l.between.Low {
		holds = append(holds, "what the plate sees")
	}
	if len(holds) == 1 {
		return "by " + holds[0]
	}
	return "by " + strings.Join(holds[:len(holds)-1], ", ") + " and " + holds[len(holds)-1]
}

// chartAddress is a chart of daylight for this lens, stop and index.
func chartAddress(path string, f *form, p planned, got reckoned) string {
	v := url.Values{}
	v.Set("window", f.text("window"))
	v.Set("stop", p.stop.FNumber.String())
	if got.Focus != nil {
		v.Set("bellows", figureOf(math.Max(0, float64(got.Focus.Bellows)), 2))
	}
	if f.text("index") != "" {
		v.Set("index", f.text("index"))
	}
	if t := f.text("window_turn"); t != "" {
		v.Set("window_turn", t)
	}
	if c := f.text("collodion"); c != "" {
		v.Set("collodion", c)
	}
	if d := f.text("at_day"); d != "" {
		v.Set("day", p.lit.at.Format(isoDay))
	}
	return path + "?" + v.Encode()
}

// lighting is what is kept with the plan of the light; nothing where none was told.
func (p planned) lighting(got reckoned) studio.Lighting {
	l := got.Lit
	if l == nil || l.missing != nil || got.Seconds == nil && (l.flash == nil || l.flash.none != "") {
		return studio.Lighting{}
	}
	out := studio.Lighting{Way: p.lit.way, Kind: l.kind, Index: l.speed.Index, IndexKind: l.speed.Kind, Actinic: measure.Stops(l.between.Stops)}
	if p.lit.spectrum != nil {
		out.Spectrum = p.lit.spectrum.ID
	}
	if l.judged != nil {
		out.FromPlate = l.judged.Plate.Number
	}
	if l.sun != nil && p.lit.window != nil {
		out.Window = p.lit.window.ID
	}
	if a := got.Seconds; a != nil {
		if a.Lux != nil {
			out.Incident = measure.Lux(*a.Lux)
		}
		seconds := func(v float64) time.Duration { return time.Duration(math.Round(v * 1e9)) }
		out.Low, out.High = seconds(a.Band[0]), seconds(a.Band[1])
	}
	if a := l.flash; a != nil {
		out.Rig = p.lit.rig.ID
		times := float64(a.times(p.lit.solve)) * a.power(p.lit.solve)
		out.Dose, out.Energy = a.reach.Lit.Front*light.LuxSeconds(times), a.energy*times
		out.Pops = a.pops() * a.times(p.lit.solve)
	}
	return out
}
