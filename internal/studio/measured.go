package studio

import (
	"math"
	"slices"
	"strings"

	"platewright/measure"
	"platewright/optics"
	"platewright/optics/bench"
)

// found is a figure of a reading that counts.
type found struct {
	bench.Result
	value, sd float64
	band      float64 // half its interval
	from      int     // its reading's place among the readings that count, the newest first
	basis     Basis
}

// results are the figures of the readings that count, the newest reading's first.
type results []found

// ofBench takes what the bench found, the newest of each figure.
func (k *LensKnown) ofBench(readings []LensReading) {
	standing := StandingReadings(readings)
	slices.Reverse(standing)
	slices.SortStableFunc(standing, func(a, b LensReading) int { return b.Taken.Compare(a.Taken) })
	var all results
	for i, r := range standing {
		answer, err := bench.ReadFound(r.Answer)
		if err != nil {
			k.Unread = append(k.Unread, r.ID)
			continue
		}
		basis := Basis{Kind: ByBench, Text: "measured " + r.Taken.Format("2 January 2006") + ", " + string(r.Method), On: r.Taken, Reading: r.ID}
		for _, f := range answer.Results {
			if f.Value == nil {
				continue
			}
			one := found{Result: f, value: *f.Value, from: i, basis: basis}
			if f.SD != nil {
				one.sd = *f.SD
			}
			if f.Low95 != nil && f.High95 != nil {
				one.band = (*f.High95 - *f.Low95) / 2
			}
			all = append(all, one)
		}
	}
	if f, ok := all.newest(bench.Focal, float64(optics.LeastFocal), float64(optics.GreatestFocal)); ok {
		k.Focal, k.FocalSD, k.FocalBand, k.FocalBasis = measure.Length(f.value), measure.Length(f.sd), measure.Length(f.band), f.basis
	}
	if f, ok := all.newest(bench.PupilMag, optics.LeastPupilMag, optics.GreatestPupilMag); ok {
		k.PupilMag, k.PupilMagBasis = f.value, f.basis
	}
	k.planesOf(all)
	k.surfaceOf(all)
	if f, ok := all.newest(bench.Chemical, -1e3, 1e3); ok {
		k.Chemical, k.ChemicalBand, k.ChemicalBasis = measure.Length(f.value), measure.Length(f.band), f.basis
	}
	for i := range k.Stops {
		k.stopOf(i, all)
	}
}

// newest returns the newest figure of that name that lies within the range.
func (rs results) newest(name bench.Name, low, high float64) (found, bool) {
	return rs.first(name, low, high, func(found) bool { return true })
}

func (rs results) first(name bench.Name, low, high float64, fits func(found) bool) (found, bool) {
	for _, f := range rs {
		if f.Name == name && low <= f.value && f.value <= high && fits(f) {
			return f, true
		}
	}
	return found{}, false
}

// beside returns the figure of that name in the same reading.
func (rs results) beside(f found, name bench.Name) (found, bool) {
	return rs.first(name, -math.MaxFloat64, math.MaxFloat64, func(other found) bool { return other.from == f.from })
}

// planesOf takes the principal planes from a reading that has both: only where distances were measured to
// the lens board was the rail read from it too.
func (k *LensKnown) planesOf(all results) {
	reach := 2 * float64(k.Focal)
	front, ok := all.newest(bench.FrontAhead, -reach, reach)
	if !ok {
		return
	}
	if rear, ok := all.beside(front, bench.RearAhead); ok {
		k.FrontAhead, k.RearAhead, k.PlanesBasis = measure.Length(front.value), measure.Length(rear.value), front.basis
	}
}

// surfaceOf takes the focal surface: both sections from the newest reading that has any.
func (k *LensKnown) surfaceOf(all results) {
	newest := slices.IndexFunc(all, func(f found) bool {
		return strings.HasPrefix(string(f.Name), string(bench.Curvature)) && math.Abs(f.value) <= optics.GreatestCurvature
	})
	if newest < 0 {
		return
	}
	one := all[newest]
	curve := func(section bench.Section) (optics.Curve, bool) {
		curvature, fourth := bench.Curvature, bench.Fourth
		if section != "" {
			curvature, fourth = curvature.Of(section), fourth.Of(section)
		}
		c, ok := all.beside(one, curvature)
		if !ok {
			return optics.Curve{}, false
		}
		curve := optics.Curve{Curvature: c.value}
		if f, ok := all.beside(one, fourth); ok && math.Abs(f.value) <= optics.GreatestFourth {
			curve.Fourth = f.value
		}
		return curve, true
	}
	both, even := curve("")
	sagittal, hasSagittal := curve(bench.Sagittal)
	tangential, hasTangential := curve(bench.Tangential)
	k.SurfaceBasis = one.basis
	switch {
	case hasSagittal && hasTangential:
		k.Surface = optics.FocalSurface{Sagittal: sagittal, Tangential: tangential}
	case even:
		k.Surface = optics.Even(both)
	case hasSagittal:
		k.Surface = optics.Even(sagittal)
		k.SurfaceBasis.Text += "; along the radius, and taken so across it"
	default:
		k.Surface = optics.Even(tangential)
		k.SurfaceBasis.Text += "; across the radius, and taken so along it"
	}
}

// sameStop is how much two f-numbers may differ and still be those of one stop: a tenth of a stop of light.
const sameStop = 0.035

func sameStops(a, b measure.FNumber) bool { return math.Abs(float64(a/b)-1) <= sameStop }

// stopOf takes what the bench found of the stop at that place.
func (k *LensKnown) stopOf(i int, all results) {
	st := &k.Stops[i]
	if f, ok := all.first(bench.FNumber, float64(optics.LeastStop), float64(optics.GreatestStop), func(f found) bool {
		return f.Stop == st.Name || f.Stop == "" && i == 0
	}); ok {
		st.Measured, st.Basis = measure.FNumber(f.value), f.basis
	}
	at := func(f found) (measure.FNumber, bool) {
		if f.AtFNumber == nil || !(*f.AtFNumber > 0) {
			return 0, false
		}
		return measure.FNumber(*f.AtFNumber), true
	}
	if f, ok := all.first(bench.FocusShift, -1e3, 1e3, func(f found) bool {
		n, ok := at(f)
		return ok && (sameStops(n, st.Measured) || sameStops(n, st.FNumber)) || f.Stop != "" && f.Stop == st.Name
	}); ok {
		st.Shift, st.ShiftBasis = measure.Length(f.value), f.basis
	}
	// A lens covers no less at a smaller stop: the reading at the nearest stop that is not smaller.
	var best found
	var bestAt measure.FNumber
	for _, f := range all {
		n, ok := at(f)
		if f.Name != bench.HalfAngle || !ok || !(f.value > 0 && f.value < 80) || n > st.Measured && !sameStops(n, st.Measured) {
			continue
		}
		if n > bestAt && !sameStops(n, max(bestAt, optics.LeastStop)) {
			best, bestAt = f, n
		}
	}
	if bestAt > 0 {
		st.Half, st.CoverageBasis = measure.Angle(best.value)*measure.Degree, best.basis
		if !sameStops(bestAt, st.Measured) {
			st.CoverageBasis.Text += " at " + bestAt.String()
		}
	}
}
