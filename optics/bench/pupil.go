package bench

import (
	"fmt"
	"math"

	"platewright/optics"
)

// UniformNumber returns the number of a stop in the Uniform System: N²/16 [UniformSystem81].
func UniformNumber(n float64) float64 { return n * n / 16 }

// fNumbers returns the figures of an opening whose entrance pupil is told by pupil.
func (f *fit) fNumbers(how, field string, number func(at []float64) float64) ([]Result, error) {
	n := f.of(number)
	if err := f.precise(n, "f-number", field); err != nil {
		return nil, err
	}
	if low, high := float64(optics.LeastStop), float64(optics.GreatestStop); n.value < low || n.value > high {
		return nil, refuse(field, "this opening makes f/%.3g with that focal length; f/%g to f/%g are reckoned with", n.value, low, high)
	}
	r := f.result(FNumber, "", how, n)
	r.Stops = stops(n)
	us := f.result(Uniform, "", "the square of the f-number over 16", f.of(func(at []float64) float64 { return UniformNumber(number(at)) }))
	return []Result{r, us}, nil
}

// Measure finds the entrance pupil and the f-number; one reading is enough.
func (q EntrancePupil) Measure() (Found, error) {
	if err := enough("readings", len(q.Readings), 1, "the disc or the opening"); err != nil {
		return Found{}, err
	}
	p := problem{unit: "mm", common: []measured{{q.FocalMm, q.FocalSDMm}, {q.DepthMm, 0}}}
	eye := math.Inf(1)
	way := "disc of light from the infinity focus"
	for i, r := range q.Readings {
		o := observation{number: i + 1, x: float64(i + 1)}
		if r.DiscMm != nil {
			o.field, o.group, o.y = place("disc_mm", i), "disc", *r.DiscMm
			o.miss = func(u, read []float64) float64 { return read[0] - u[0] }
		} else {
			o.field, o.group, o.y = place("seen_mm", i), "seen", *r.SeenMm
			if q.EyeMm == nil {
				return Found{}, refuse("eye_mm", "missing; an opening read from the front lies behind the scale, and from how far it was seen says how much larger it is")
			}
			eye, way = *q.EyeMm, "opening read from the front, corrected for where it lies"
			p.common[1].sd = q.DepthSDMm
			o.miss = func(u, read []float64) float64 { return read[0] - u[0]*eye/(eye+u[2]) } // similar triangles
		}
		if err := readable(o.field, o.y, q.ReadSDMm); err != nil {
			return Found{}, err
		}
		o.read = []measured{{o.y, q.ReadSDMm}}
		p.readings = append(p.readings, o)
	}
	p.unknowns = []unknown{{p.readings[0].y, p.readings[0].y}}
	f, err := solved(p, "readings", "take more of them")
	if err != nil {
		return Found{}, err
	}
	pupil := f.of(func(u []float64) float64 { return u[0] })
	how := way + ", " + times(len(p.readings))
	results := []Result{f.result(Pupil, "mm", how, pupil)}
	more, err := f.fNumbers("focal length over the pupil", "readings", func(u []float64) float64 { return u[1] / u[0] })
	if err != nil {
		return Found{}, err
	}
	last := float64(len(q.Readings)) + 0.5
	var lines []Line
	for _, g := range []string{"disc", "seen"} {
		for _, o := range p.readings {
			if o.group == g {
				lines = append(lines, drawn(g, "reading", "diameter as read, mm", 0.5, last, 2, func(float64) float64 { return o.y - o.miss(f.at, []float64{o.y}) }))
				break
			}
		}
	}
	return f.found(append(results, more...), lines), nil
}

// Measure finds the stop factor, the f-number of each stop and the hole for each f-number wanted. It needs
// one disc, or the stop factor.
func (q StopHoles) Measure() (Found, error) {
	p := problem{unit: "mm", common: []measured{{q.FocalMm, q.FocalSDMm}}}
	switch {
	case q.StopFactor != nil && len(q.Discs) > 0:
		return Found{}, refuse("stop_factor", "given beside discs that make it; give one of the two")
	case q.StopFactor != nil:
		k := *q.StopFactor
		p.unit, p.unknowns = "", []unknown{{k, k}}
		p.readings = []observation{{number: 1, field: "stop_factor", y: k, read: []measured{{k, max(q.StopFactorSD, 1e-6*k)}}, // exact is to a millionth
			miss: func(u, read []float64) float64 { return read[0] - u[0] }}}
	case len(q.Discs) == 0:
		return Found{}, refuse("discs", "at least 1 is needed, a hole and the pupil it makes, or stop_factor: the front glass magnifies the hole")
	default:
		k := q.Discs[0].PupilMm / q.Discs[0].HoleMm
		p.unknowns = []unknown{{k, k}}
		for i, d := range q.Discs {
			field := fmt.Sprintf("discs[%d]", i)
			if err := readable(field+".hole_mm", d.HoleMm, q.HoleSDMm); err != nil {
				return Found{}, err
			}
			if err := readable(field+".pupil_mm", d.PupilMm, q.PupilSDMm); err != nil {
				return Found{}, err
			}
			p.readings = append(p.readings, observation{number: i + 1, field: field, x: d.HoleMm, y: d.PupilMm,
				read: []measured{{d.PupilMm, q.PupilSDMm}, {d.HoleMm, q.HoleSDMm}},
				miss: func(u, read []float64) float64 { return read[0] - u[0]*read[1] }})
		}
	}
	for i, s := range q.Stops {
		if err := readable(fmt.Sprintf("stops[%d].hole_mm", i), s.HoleMm, q.HoleSDMm); err != nil {
			return Found{}, err
		}
		p.common = append(p.common, measured{s.HoleMm, q.HoleSDMm})
	}
	f, err := solved(p, "discs", "take more of them")
	if err != nil {
		return Found{}, err
	}
	factor := f.of(func(u []float64) float64 { return u[0] })
	if err := f.precise(factor, "stop factor", "discs"); err != nil {
		return Found{}, err
	}
	how, lines := "stop factor as given", []Line(nil)
	if q.StopFactor == nil {
		how = "entrance pupil over hole, " + times(len(q.Discs))
		most := 0.0
		for _, d := range q.Discs {
			most = max(most, d.HoleMm)
		}
		lines = []Line{drawn("", "hole, mm", "entrance pupil, mm", 0, 1.05*most, 2, func(h float64) float64 { return f.at[0] * h })}
	}
	results := []Result{f.result(StopFactor, "", how, factor)}
	for i, s := range q.Stops {
		more, err := f.fNumbers("focal length over stop factor times hole", fmt.Sprintf("stops[%d].hole_mm", i),
			func(u []float64) float64 { return u[1] / (u[0] * u[2+i]) })
		if err != nil {
			return Found{}, err
		}
		for _, r := range more {
			hole := s.HoleMm
			r.Stop, r.StopMm = s.Name, &hole
			results = append(results, r)
		}
	}
	for _, n := range q.Wanted {
		r := f.result(Hole, "mm", "focal length over stop factor times f-number", f.of(func(u []float64) float64 { return u[1] / (u[0] * n) }))
		r.AtFNumber = &n
		results = append(results, r)
	}
	out := f.found(results, lines)
	if q.StopFactor != nil {
		out.Notes = []string{"The stop factor was given, not read here; its standard deviation is taken as given."}
		if q.StopFactorSD == 0 {
			out.Notes[0] = "The stop factor was given without a standard deviation and is taken as exact."
		}
	}
	return out, nil
}

// Measure finds the pupil magnification; one reading is enough.
func (q PupilSides) Measure() (Found, error) {
	if err := enough("readings", len(q.Readings), 1, "the same stop from both sides"); err != nil {
		return Found{}, err
	}
	p := problem{unit: "mm"}
	most := 0.0
	for i, r := range q.Readings {
		if err := readable(place("front_mm", i), r.FrontMm, q.ReadSDMm); err != nil {
			return Found{}, err
		}
		if err := readable(place("rear_mm", i), r.RearMm, q.ReadSDMm); err != nil {
			return Found{}, err
		}
		most = max(most, r.FrontMm)
		p.readings = append(p.readings, observation{number: i + 1, field: fmt.Sprintf("readings[%d]", i), x: r.FrontMm, y: r.RearMm,
			read: []measured{{r.RearMm, q.ReadSDMm}, {r.FrontMm, q.ReadSDMm}},
			miss: func(u, read []float64) float64 { return read[0] - u[0]*read[1] }})
	}
	first := q.Readings[0].RearMm / q.Readings[0].FrontMm
	p.unknowns = []unknown{{first, first}}
	f, err := solved(p, "readings", "take more of them")
	if err != nil {
		return Found{}, err
	}
	mag := f.of(func(u []float64) float64 { return u[0] })
	if err := f.precise(mag, "pupil magnification", "readings"); err != nil {
		return Found{}, err
	}
	if mag.value < optics.LeastPupilMag || mag.value > optics.GreatestPupilMag {
		return Found{}, refuse("readings", "these make a pupil magnification of %.3g; %g to %g is reckoned with", mag.value, optics.LeastPupilMag, optics.GreatestPupilMag)
	}
	line := drawn("", "from the front, mm", "from behind, mm", 0, 1.05*most, 2, func(x float64) float64 { return f.at[0] * x })
	return f.found([]Result{f.result(PupilMag, "", "opening from behind over opening from the front, "+times(len(q.Readings)), mag)}, []Line{line},
		"Both sides are taken as seen from equally far from the opening itself; from ten times the barrel's length a rim's depth spoils little."), nil
}
