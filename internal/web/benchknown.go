package web

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"platewright/internal/studio"
	"platewright/internal/web/screens/bench"
	"platewright/measure"
	"platewright/optics"
)

// knownThing is one thing known of a lens; the chief ones stand in the list of lenses.
type knownThing struct {
	bench.Known
	chief bool
}

// knowns tells all that is known of a lens, each with its basis.
func (b onBench) knowns() []knownThing {
	k := b.known
	thing := func(chief bool, word, value string, basis studio.Basis) knownThing {
		return knownThing{bench.Known{Word: word, Value: value, Basis: basis.Text, Measured: basis.Kind == studio.ByBench}, chief}
	}
	all := []knownThing{
		thing(true, "Focal length", b.lengthBand(k.Focal, k.FocalBand), k.FocalBasis),
		thing(false, "Exit pupil over entrance pupil", figureOf(k.PupilMag, 3), k.PupilMagBasis),
		thing(false, "Principal planes", b.planes(), k.PlanesBasis),
	}
	if len(k.Stops) > 0 {
		all = append(all, thing(true, "Stops", b.stopsKnown(), b.stopsBasis()))
	}
	all = append(all,
		thing(false, "Field", b.surface(), k.SurfaceBasis),
		thing(false, "Chemical focus", b.offset(k.Chemical, k.ChemicalBand, "with the eye's"), k.ChemicalBasis))
	if words, basis, ok := b.shifts(); ok {
		all = append(all, thing(false, "Focus shift", words, basis))
	}
	if words, basis, ok := b.circles(); ok {
		all = append(all, thing(false, "Circle of good definition", words, basis))
	}
	if k.Rims.Front > 0 && k.Rims.Rear > 0 {
		all = append(all, thing(false, "Glasses, front and rear", b.long(k.Rims.Front)+" and "+b.long(k.Rims.Rear)+", "+b.long(k.Rims.Barrel)+" apart", k.RimsBasis))
	}
	return all
}

// long is a length in the studio's units.
func (b onBench) long(l measure.Length) string { return measure.Thin(l.Format(b.units)) }

// lengthBand is a length with half the band that holds it nineteen times in twenty, where one is known.
func (b onBench) lengthBand(l, half measure.Length) string {
	if half <= 0 {
		return b.long(l)
	}
	return b.plusMinus(float64(l), float64(half))
}

// plusMinus writes a length in millimetres and half its band in the studio's units, with the figures the band is worth.
func (b onBench) plusMinus(v, half float64) string {
	if b.units != measure.Metric {
		return bandFigures(v/inch, half/inch) + "\u2009in"
	}
	return bandFigures(v, half) + "\u2009mm"
}

// bandFigures writes v ± half, both to the second figure of half.
func bandFigures(v, half float64) string {
	if !(half > 0) || math.IsInf(half, 0) {
		return figureOf(v, 4)
	}
	places := int(max(0, min(4, 1-math.Floor(math.Log10(half)))))
	return minus(strconv.FormatFloat(v, 'f', places, 64)) + " ± " + strconv.FormatFloat(half, 'f', places, 64)
}

// minus sets the sign of a negative figure as it is printed.
func minus(text string) string { return strings.Replace(text, "-", "−", 1) }

func (b onBench) planes() string {
	k := b.known
	if k.FrontAhead == 0 && k.RearAhead == 0 {
		return "taken in the lens board"
	}
	where := func(l measure.Length) string {
		if l < 0 {
			return b.long(-l) + " behind the board"
		}
		return b.long(l) + " ahead of the board"
	}
	if k.FrontAhead == k.RearAhead {
		return where(k.FrontAhead)
	}
	return "front one " + where(k.FrontAhead) + ", rear one " + where(k.RearAhead)
}

func (b onBench) stopsKnown() string {
	var words []string
	for _, st := range b.known.Stops {
		name := st.Measured.String()
		if st.Name != st.FNumber.String() {
			name = st.Name + " " + name
		}
		words = append(words, name)
	}
	return strings.Join(words, ", ")
}

// stopsBasis is where the stops' figures come from: the bench's where any of them does.
func (b onBench) stopsBasis() studio.Basis {
	stops := b.known.Stops
	if i := slices.IndexFunc(stops, func(s studio.StopKnown) bool { return s.Basis.Kind == studio.ByBench }); i >= 0 {
		basis := stops[i].Basis
		if slices.ContainsFunc(stops, func(s studio.StopKnown) bool { return s.Basis.Kind != studio.ByBench }) {
			basis.Text += "; others as written down"
		}
		return basis
	}
	return stops[0].Basis
}

// surface says how far the focus comes nearer the lens at a place on the glass, which is what one sees.
func (b onBench) surface() string {
	s := b.known.Surface
	if s == (optics.FocalSurface{}) {
		return "flat"
	}
	h := b.curveHeight()
	sagittal, tangential := s.Sagittal.Nearer(h), s.Tangential.Nearer(h)
	at := " at " + b.long(h) + " from the middle"
	if math.Abs(float64(sagittal-tangential)) < 0.005 {
		return b.nearer(sagittal) + at
	}
	return b.nearer(sagittal) + " for lines along the radius, " + b.nearer(tangential) + " for lines across it," + at
}

// curveHeight is the height a field curve is told at: a fifth of the focal length, in round figures.
func (b onBench) curveHeight() measure.Length {
	return measure.Length(max(5, math.Round(float64(b.known.Focal)/50)*10))
}

func (b onBench) nearer(l measure.Length) string {
	switch {
	case math.Abs(float64(l)) < 0.005:
		return "flat"
	case l < 0:
		return figureOf(float64(-l), 2) + "\u2009mm farther"
	}
	return figureOf(float64(l), 2) + "\u2009mm nearer"
}

// offset says how far the focus of the plate lies from that of the eye.
func (b onBench) offset(l, half measure.Length, none string) string {
	if l == 0 && half == 0 {
		return none
	}
	words := b.plusMinus(math.Abs(float64(l)), float64(half))
	switch {
	case l < 0:
		return words + " nearer the lens"
	default:
		return words + " farther back"
	}
}

// shifts lists how far the focus moves at each stop, where that is known.
func (b onBench) shifts() (string, studio.Basis, bool) {
	var words []string
	var basis studio.Basis
	for _, st := range b.known.Stops {
		if st.ShiftBasis.Kind == studio.ByNothing {
			continue
		}
		basis = st.ShiftBasis
		word := "none"
		if way := math.Abs(float64(st.Shift)); way >= 0.005 {
			word = measure.Thin(measure.Length(way).FormatDepth(b.units)) + map[bool]string{true: " farther back", false: " nearer the lens"}[st.Shift > 0]
		}
		words = append(words, st.Name+" "+word)
	}
	if len(words) == 0 {
		return "", basis, false
	}
	return strings.Join(words, ", ") + ", at infinity", basis, true
}

// circles lists the circle of good definition at each stop, at infinity, where that is known.
func (b onBench) circles() (string, studio.Basis, bool) {
	var words []string
	var basis studio.Basis
	for _, st := range b.known.Stops {
		if st.Half == 0 {
			continue
		}
		basis = st.CoverageBasis
		words = append(words, st.Name+" "+b.long(b.known.Circle(st)))
	}
	if len(words) == 0 {
		return "", basis, false
	}
	if basis.Kind == studio.ByHand {
		words = words[:1]
	}
	return strings.Join(words, ", "), basis, true
}

// sheet is what the lens's sheet says.
func (b onBench) sheet() LensSheet {
	d := LensSheet{Name: b.lens.Name, Form: sentence(b.lens.Form), Note: b.lens.Note, Printed: b.lens.Changed.In(b.place)}
	for _, k := range b.knowns() {
		if k.Word != "Stops" {
			d.Known = append(d.Known, SheetKnown{k.Word, k.Value, k.Basis})
		}
	}
	d.Stops, d.Holes = b.sheetStops(), b.sheetHoles()
	if g, ok := b.curveGraph(); ok {
		d.Graphs = append(d.Graphs, g)
	}
	for _, reading := range slices.Backward(b.readings) {
		if reading.Taken.After(d.Printed) {
			d.Printed = reading.Taken
		}
		if reading.Withdraws != "" {
			continue
		}
		_, gone := b.withdrawal(reading.ID)
		d.Readings = append(d.Readings, SheetReading{Date: reading.Taken.Format("2 January 2006"), Method: methodOf(reading.Method).name, Found: b.foundShort(reading), By: reading.By, Withdrawn: gone})
		if !gone {
			if newest, _ := b.newest(reading.Method); newest.ID == reading.ID {
				d.Graphs = append(d.Graphs, b.graphsOf(reading)...)
			}
			d.Disagrees = append(d.Disagrees, b.disagreesOf(reading)...)
		}
	}
	return d
}

// curveGraph draws the field curve that is reckoned with.
func (b onBench) curveGraph() (SheetGraph, bool) {
	s := b.known.Surface
	if s == (optics.FocalSurface{}) || b.known.SurfaceBasis.Kind == studio.ByBench { // a measured one is drawn with its readings
		return SheetGraph{}, false
	}
	g := SheetGraph{Name: "Field, " + b.known.SurfaceBasis.Text, XWord: "mm from the middle", YWord: "mm nearer the lens", LineWord: "along the radius"}
	line := func(c optics.Curve) (points [][2]float64) {
		for i := range 21 {
			h := 1.5 * float64(b.curveHeight()) * float64(i) / 20
			points = append(points, [2]float64{h, float64(c.Nearer(measure.Length(h)))})
		}
		return points
	}
	g.Line = line(s.Sagittal)
	if s.Tangential != s.Sagittal {
		g.More = []SheetLine{{Word: "across it", Points: line(s.Tangential)}}
	} else {
		g.LineWord = ""
	}
	return g, true
}
