package web

import (
	"strconv"

	"platewright/internal/studio"
	"platewright/measure"
	fit "platewright/optics/bench"
)

// across is the width of a hole as one cuts it: in inches to the thousandth, for a sixteenth is coarser than
// what a hole is known to.
func (b onBench) across(l measure.Length) string {
	if b.units != measure.Metric {
		return thousandths(float64(l)/inch) + "\u2009in"
	}
	return strconv.FormatFloat(float64(l), 'f', 2, 64) + "\u2009mm"
}

func thousandths(v float64) string { return strconv.FormatFloat(v, 'f', 3, 64) }

// stopSizes is what the newest reading of stops and holes that has a result of that name found.
func (b onBench) stopSizes(name fit.Name) (fit.Found, studio.LensReading) {
	var newest studio.LensReading
	var found fit.Found
	for _, r := range studio.StandingReadings(b.readings) {
		if r.Method != studio.StopSizes || r.Taken.Before(newest.Taken) {
			continue
		}
		f, err := fit.ReadFound(r.Answer)
		if err != nil {
			continue
		}
		if one, ok := f.Get(name); ok && one.Value != nil {
			newest, found = r, f
		}
	}
	return found, newest
}

// stopFactor is how much larger than its hole a stop looks from the front, as it was measured last; 0 when
// it never was.
func (b onBench) stopFactor() float64 {
	f, _ := b.stopSizes(fit.StopFactor)
	if k, ok := f.Get(fit.StopFactor); ok {
		return *k.Value
	}
	return 0
}

// sheetStops are the lens's stops with their holes, and after them those that were measured on the bench and
// not written down in the record.
func (b onBench) sheetStops() []SheetStop {
	found, reading := b.stopSizes(fit.FNumber)
	var measured []fit.Result
	for _, r := range found.All(fit.FNumber) {
		if r.Value != nil && r.Stop != "" && r.StopMm != nil {
			measured = append(measured, r)
		}
	}
	factor := b.stopFactor()
	listed := map[string]bool{}
	var all []SheetStop
	for _, st := range b.known.Stops {
		listed[st.Name] = true
		pupil := measure.Length(float64(b.known.Focal) / float64(st.Measured))
		one := SheetStop{Name: st.Name, FNumber: st.Measured.String(), Pupil: b.across(pupil), Basis: st.Basis.Text}
		if factor > 0 { // the hole that makes this pupil
			one.Hole = b.across(pupil / measure.Length(factor))
		}
		for _, r := range measured {
			if r.Stop == st.Name {
				one.Hole = b.across(measure.Length(*r.StopMm))
			}
		}
		all = append(all, one)
	}
	for _, r := range measured {
		if listed[r.Stop] {
			continue
		}
		one := SheetStop{Name: r.Stop, FNumber: measure.FNumber(*r.Value).String(), Pupil: b.across(measure.Length(float64(b.known.Focal) / *r.Value)), Hole: b.across(measure.Length(*r.StopMm)),
			Basis: "measured " + reading.Taken.Format("2 January 2006") + "; not in the record"}
		all = append(all, one)
	}
	return all
}

// sheetHoles are the holes to cut for the series that was asked for last.
func (b onBench) sheetHoles() []SheetHole {
	found, reading := b.stopSizes(fit.Hole)
	var all []SheetHole
	for _, r := range found.All(fit.Hole) {
		if r.Value == nil || r.AtFNumber == nil {
			continue
		}
		all = append(all, SheetHole{FNumber: measure.FNumber(*r.AtFNumber).String(), Across: b.resultText(r), Other: b.resultOther(r),
			Basis: "from readings of " + reading.Taken.Format("2 January 2006")})
	}
	return all
}
