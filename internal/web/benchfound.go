package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"platewright/internal/studio"
	"platewright/internal/web/screens/bench"
	"platewright/internal/web/shared"
	"platewright/measure"
	fit "platewright/optics/bench"
	"platewright/reckon"
)

// askBench puts the question to the reckoning. What it refuses is told with the answer, or at the line it
// is about.
func (s *Server) askBench(g *measuring) error {
	reckoning, found := s.cfg.Reckon.Lookup("bench")
	if !found {
		return errors.New("there is no reckoning bench")
	}
	text, err := json.Marshal(g.question)
	if err != nil {
		return fmt.Errorf("question to bench: %w", err)
	}
	out, err := reckoning.Answer(text)
	var refused *reckon.FieldError
	if errors.As(err, &refused) {
		g.refusedField(refused)
		return nil
	}
	if err != nil {
		return fmt.Errorf("reckoning bench: %w", err)
	}
	answer, err := fit.ReadFound(string(out))
	if err != nil {
		return err
	}
	answer.Results = slices.DeleteFunc(answer.Results, func(r fit.Result) bool { return slices.Contains(g.dropped, r.Name) })
	answer.Notes = slices.DeleteFunc(answer.Notes, func(note string) bool {
		return slices.ContainsFunc(g.dropped, func(name fit.Name) bool { return strings.Contains(note, string(name)) })
	})
	g.answer = &answer
	return nil
}

// chiefResult is the figure a method is made for.
func (m benchMethod) chiefResult(f fit.Found) (fit.Result, bool) {
	for _, name := range m.chief {
		if r, ok := f.Get(name); ok && r.Value != nil {
			return r, true
		}
	}
	return fit.Result{}, false
}

// resultWords are the figures' names as they are shown.
var resultWords = map[fit.Name]string{
	fit.Focal: "Focal length", fit.Infinity: "Rail, far target sharp", fit.FrontAhead: "Front principal plane ahead of the board", fit.RearAhead: "Rear principal plane ahead of the board",
	fit.Pupil: "Entrance pupil", fit.FNumber: "f-number", fit.Uniform: "Uniform System number", fit.StopFactor: "Pupil over hole", fit.Hole: "Hole to cut",
	fit.PupilMag: "Exit pupil over entrance pupil", fit.Curvature: "Curvature of the field", fit.Curve: "Radius of the field", fit.Fourth: "Fourth-order term",
	fit.HalfAngle: "Half angle of good definition", fit.Circle: "Circle of good definition, at infinity", fit.LitAngle: "Half angle lit", fit.LitCircle: "Circle lit, at infinity",
	fit.FocusShift: "Focus behind that of the full opening", fit.ShiftHere: "The same at this distance", fit.Chemical: "Plate's focus behind the eye's", fit.SitterShift: "Sharp behind the card focused on",
}

// resultWord names a result, with its section or stop.
func resultWord(r fit.Result) string {
	name, section := r.Name, ""
	for _, s := range []fit.Section{fit.Sagittal, fit.Tangential} {
		if cut, ok := strings.CutSuffix(string(name), "_"+string(s)); ok {
			name = fit.Name(cut)
			section = map[fit.Section]string{fit.Sagittal: ", along the radius", fit.Tangential: ", across it"}[s]
		}
	}
	word := resultWords[name]
	if word == "" {
		word = strings.ReplaceAll(string(name), "_", " ")
	}
	word += section
	switch {
	case r.Stop != "":
		word += ", stop " + r.Stop
	case r.AtFNumber != nil:
		word += ", " + measure.FNumber(*r.AtFNumber).String()
	}
	return word
}

// resultText is a figure with its band, in the studio's units: "302.4 ± 1.3 mm".
func (b onBench) resultText(r fit.Result) string {
	if r.Value == nil {
		return "flat, as far as can be told"
	}
	if r.Unit == "mm" && b.units != measure.Metric {
		return bandFigures(*r.Value/inch, bandHalf(r)/inch) + "\u2009in"
	}
	return metricText(r)
}

// inch is in millimetres.
const inch = float64(measure.Inch)

// metricText is a figure with its band as the bench gives it.
func metricText(r fit.Result) string {
	half := bandHalf(r)
	text := bandFigures(*r.Value, half)
	switch {
	case r.Name == fit.FNumber:
		return "f/" + text
	case math.Abs(*r.Value) < 1e-3 && *r.Value != 0 && r.Unit != "mm":
		text = bandExponent(*r.Value, half)
	}
	if r.Unit == "" {
		return text
	}
	return text + "\u2009" + unitWord(r.Unit)
}

// bandExponent writes a very small figure with a power of ten.
func bandExponent(v, half float64) string {
	e := math.Floor(math.Log10(math.Abs(v)))
	k := math.Pow(10, e)
	digits := strings.NewReplacer("0", "⁰", "1", "¹", "2", "²", "3", "³", "4", "⁴", "5", "⁵", "6", "⁶", "7", "⁷", "8", "⁸", "9", "⁹", "-", "⁻")
	return "(" + bandFigures(v/k, half/k) + ") × 10" + digits.Replace(strconv.Itoa(int(e)))
}

func unitWord(unit string) string {
	switch unit {
	case "deg":
		return "°"
	case "1/mm":
		return "per mm"
	case "1/mm³", "1/mm3":
		return "per mm³"
	}
	return unit
}

// bandHalf is half the width of a result's interval.
func bandHalf(r fit.Result) float64 {
	if r.Low95 == nil || r.High95 == nil {
		return 0
	}
	return (*r.High95 - *r.Low95) / 2
}

// resultOther is a length in the other units, a stop's uncertainty as exposure.
func (b onBench) resultOther(r fit.Result) string {
	switch {
	case r.Value == nil:
		return ""
	case r.Stops != nil:
		if half := bandHalf(r); half > 0 && *r.Low95 > 0 { // exposure goes with the square of the f-number
			return fmt.Sprintf("± %s stop", figureOf(math.Log2(*r.High95 / *r.Low95), 2))
		}
		return ""
	case r.Unit == "mm" && b.units != measure.Metric:
		return metricText(r)
	case r.Name == fit.Hole || r.Name == fit.Pupil:
		return thousandths(*r.Value/inch) + " ± " + thousandths(bandHalf(r)/inch) + "\u2009in"
	case slices.Contains([]fit.Name{fit.Focal, fit.Circle, fit.LitCircle}, r.Name):
		return measure.Thin(measure.Length(*r.Value).Format(measure.Imperial))
	}
	return ""
}

// found lays out what the readings so far say.
func (g *measuring) found() bench.Found {
	if g.answer == nil {
		return bench.Found{Waiting: g.waiting, Refused: g.refused}
	}
	return g.foundOf(g.method, *g.answer)
}

// foundOf lays out an answer of the bench.
func (b onBench) foundOf(m benchMethod, f fit.Found) bench.Found {
	var d bench.Found
	chief, ok := m.chiefResult(f)
	if ok {
		d.Word, d.Value, d.Other = resultWord(chief), b.resultText(chief), b.resultOther(chief)
		d.Strip = d.Value
		d.Interval, d.Basis = b.intervalOf(chief), basisOf(f.Scatter)
	} else if len(f.Results) > 0 {
		d.Word, d.Value = resultWord(f.Results[0]), b.resultText(f.Results[0])
		d.Strip = d.Value
		chief = f.Results[0]
	}
	for _, r := range f.Results {
		if r == chief {
			continue
		}
		d.Lines = append(d.Lines, bench.Line{Word: resultWord(r), Value: b.resultText(r), Other: b.resultOther(r)})
		if r.Name == fit.Hole && r.Value != nil && r.AtFNumber != nil {
			d.Holes = append(d.Holes, bench.Hole{Name: measure.FNumber(*r.AtFNumber).String(), Across: b.across(measure.Length(*r.Value)), Diameter: *r.Value})
		}
	}
	if chief.Name == fit.Hole && chief.Value != nil && chief.AtFNumber != nil {
		d.Holes = append([]bench.Hole{{Name: measure.FNumber(*chief.AtFNumber).String(), Across: b.across(measure.Length(*chief.Value)), Diameter: *chief.Value}}, d.Holes...)
	}
	d.Disagree = disagrees(f)
	d.Plots = plotsOf(m, f)
	d.Table = tableOf(f)
	if words := scatterWords(f.Scatter); words != "" {
		d.Notes = append(d.Notes, words)
	}
	for _, note := range f.Notes {
		if note = upperFirst(m.plain(note, "")); !slices.Contains(d.Disagree, note) {
			d.Notes = append(d.Notes, note)
		}
	}
	return d
}

// intervalOf is a figure's interval, to be drawn in the studio's units.
func (b onBench) intervalOf(r fit.Result) *bench.Interval {
	if r.Value == nil || !(bandHalf(r) > 0) {
		return nil
	}
	k := 1.0
	if r.Unit == "mm" && b.units != measure.Metric {
		k = inch
	}
	return &bench.Interval{Low: *r.Low95 / k, Value: *r.Value / k, High: *r.High95 / k}
}

// basisOf says how many readings an interval rests on, and what it means.
func basisOf(s fit.Scatter) string {
	words := "The band holds the truth nineteen times in twenty."
	switch {
	case s.Readings == 1:
		return "One reading. " + words
	case s.Readings > 1:
		return strconv.Itoa(s.Readings) + " readings. " + words
	}
	return words
}

// scatterWords say what the interval rests on.
func scatterWords(s fit.Scatter) string {
	if s.Ratio == nil || s.Freedom < 1 {
		return ""
	}
	ratio := figureOf(*s.Ratio, 2)
	if s.Counts == "scatter" {
		return "The readings scatter " + ratio + " times as much as the stated errors make likely, so the band rests on their scatter."
	}
	return "The readings scatter " + ratio + " times as much as the stated errors make likely; the band rests on those errors."
}

// disagrees are the sentences about readings that disagree with the others.
func disagrees(f fit.Found) []string {
	var all []string
	for _, r := range f.Readings {
		if r.Disagrees {
			all = append(all, upperFirst(r.Sentence))
		}
	}
	return all
}

// plotsOf draws the readings against the fitted lines: groups over the same axes go into one drawing.
func plotsOf(m benchMethod, f fit.Found) []bench.Plot {
	var plots []bench.Plot
	at := map[[2]string]int{}
	for _, line := range f.Lines {
		axes := [2]string{line.Across, line.Up}
		i, known := at[axes]
		if !known {
			i = len(plots)
			at[axes] = i
			plots = append(plots, bench.Plot{Title: m.plotTitle, Across: line.Across, Up: line.Up, Line: line.Points})
		} else {
			plots[i].More = append(plots[i].More, bench.PlotLine{Word: groupWord(line.Group), Points: line.Points})
		}
		for _, r := range f.Readings {
			if r.Group != line.Group || r.X == nil {
				continue
			}
			plots[i].Marks = append(plots[i].Marks, bench.Mark{X: *r.X, Y: r.Y, Departs: r.Residual, Second: known, Disagrees: r.Disagrees})
			plots[i].Departs = unitWord(r.Unit)
		}
	}
	return plots
}

func groupWord(group string) string {
	switch fit.Section(group) {
	case fit.Sagittal:
		return "lines along the radius"
	case fit.Tangential:
		return "lines across the radius"
	}
	switch group {
	case "lit":
		return "where the light ends"
	case "sharp":
		return "where definition ends"
	}
	return group
}

// tableOf is every reading beside what the fit makes of it.
func tableOf(f fit.Found) *shared.TableData {
	if len(f.Readings) == 0 {
		return nil
	}
	t := &shared.TableData{Caption: "Readings against the fit", Columns: []shared.Column{{Word: "Reading"}, {Word: "Read", Figures: true}, {Word: "Fitted", Figures: true}, {Word: "Departs", Figures: true}, {Word: "Says"}}}
	for _, r := range f.Readings {
		says := "agrees"
		switch {
		case r.Disagrees:
			says = "disagrees"
		case r.Limit == 0:
			says = "too few to tell"
		}
		name := strconv.Itoa(r.Number)
		if r.Group != "" {
			name += ", " + groupWord(r.Group)
		}
		unit := unitWord(r.Unit)
		t.Rows = append(t.Rows, shared.Row{Cells: []shared.Cell{{Text: name}, {Text: figureUnit(r.Y, unit)}, {Text: figureUnit(r.Fitted, unit)}, {Text: figureUnit(r.Residual, unit)}, {Text: says}}})
	}
	return t
}

func figureUnit(v float64, unit string) string {
	text := minus(strconv.FormatFloat(v, 'f', 3, 64))
	if unit == "" {
		return text
	}
	return text + "\u2009" + unit
}

// foundShort says in few words what a kept reading found.
func (b onBench) foundShort(r studio.LensReading) string {
	f, err := fit.ReadFound(r.Answer)
	if err != nil {
		return "not readable"
	}
	m := methodOf(r.Method)
	if chief, ok := m.chiefResult(f); ok {
		if len(f.All(chief.Name)) > 1 {
			return b.several(f.All(chief.Name))
		}
		return b.resultText(chief)
	}
	if len(f.Results) > 0 {
		return b.resultText(f.Results[0])
	}
	return ""
}

// several lists results of one name, shortly: without their bands.
func (b onBench) several(all []fit.Result) string {
	var words []string
	for _, r := range all {
		if r.Value == nil {
			continue
		}
		name := r.Stop
		if name == "" && r.AtFNumber != nil {
			name = measure.FNumber(*r.AtFNumber).String()
		}
		value := minus(figureOf(*r.Value, 3))
		switch {
		case r.Name == fit.FNumber && name == "f/"+value:
			value = ""
		case r.Name == fit.FNumber:
			value = "f/" + value
		case r.Unit != "":
			value += "\u2009" + unitWord(r.Unit)
		}
		words = append(words, strings.TrimSpace(name+" "+value))
	}
	return strings.Join(words, ", ")
}

// graphsOf are the drawings of a kept reading, for the lens's sheet.
func (b onBench) graphsOf(r studio.LensReading) []SheetGraph {
	f, err := fit.ReadFound(r.Answer)
	if err != nil {
		return nil
	}
	m := methodOf(r.Method)
	var graphs []SheetGraph
	for _, p := range plotsOf(m, f) {
		g := SheetGraph{Name: m.name + ", " + r.Taken.Format("2 January 2006"), XWord: p.Across, YWord: p.Up, Line: p.Line}
		for _, more := range p.More {
			g.More = append(g.More, SheetLine(more))
		}
		for _, mark := range p.Marks {
			g.Marks = append(g.Marks, SheetMark{X: mark.X, Y: mark.Y, Disagrees: mark.Disagrees})
		}
		graphs = append(graphs, g)
	}
	return graphs
}

// disagreesOf are the sentences about the readings of a kept measurement that disagree.
func (b onBench) disagreesOf(r studio.LensReading) []string {
	f, err := fit.ReadFound(r.Answer)
	if err != nil {
		return nil
	}
	var all []string
	for _, words := range disagrees(f) {
		all = append(all, methodOf(r.Method).name+" of "+r.Taken.Format("2 January 2006")+". "+words)
	}
	return all
}
