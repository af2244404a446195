package bench

import (
	"fmt"
	"math"
	"slices"

	"platewright/optics"
)

// sectionOf tells which section a reading is of, if its lines were told apart.
func sectionOf(lines string) (s Section, apart bool) {
	switch lines {
	case "away":
		return Sagittal, true
	case "round":
		return Tangential, true
	}
	return "", false
}

// sections says which sections the readings tell apart: none named when all are of any detail.
func (q FieldCurve) sections() ([]Section, error) {
	seen := map[Section]bool{}
	for _, r := range q.Readings {
		if s, apart := sectionOf(r.Lines); apart {
			seen[s] = true
		}
	}
	if len(seen) == 0 {
		return []Section{""}, nil
	}
	for i, r := range q.Readings {
		if _, apart := sectionOf(r.Lines); !apart && math.Abs(r.HeightMm) > 3*q.HeightSDMm {
			return nil, refuse(place("lines", i), "%q off the axis, while other readings tell their lines apart; say away or round, or measure any detail as a question of its own", r.Lines)
		}
	}
	var out []Section
	for _, s := range []Section{Sagittal, Tangential} {
		if seen[s] {
			out = append(out, s)
		}
	}
	return out, nil
}

// Measure finds the curvature of the focal surface, of each section apart when lines were told apart. It
// needs readings on or near the axis and at one other height, with the fourth power at two.
func (q FieldCurve) Measure() (Found, error) {
	sections, err := q.sections()
	if err != nil {
		return Found{}, err
	}
	terms := 1
	if q.WithFourth {
		terms = 2
	}
	needed := 1 + terms*len(sections)
	if err := enough("readings", len(q.Readings), needed, "the focus on the axis and the curve off it are sought"); err != nil {
		return Found{}, err
	}
	highest := 0.0
	for _, r := range q.Readings {
		highest = max(highest, math.Abs(r.HeightMm))
	}
	for _, s := range sections {
		if err := q.spread(s, terms); err != nil {
			return Found{}, err
		}
	}
	curve := func(u []float64, s int, h float64) float64 {
		c := optics.Curve{Curvature: u[1+s*terms]}
		if q.WithFourth {
			c.Fourth = u[2+s*terms]
		}
		return h * h * (c.Curvature/2 + c.Fourth*h*h) // as optics.Curve.Nearer
	}
	p := problem{unit: "mm", unknowns: []unknown{{q.Readings[0].ExtensionMm, 1}}}
	for range sections {
		p.unknowns = append(p.unknowns, unknown{0, 2 / (highest * highest)})
		if q.WithFourth {
			p.unknowns = append(p.unknowns, unknown{0, 1 / math.Pow(highest, 4)})
		}
	}
	for i, r := range q.Readings {
		own, _ := sectionOf(r.Lines)
		at := max(slices.Index(sections, own), 0)
		p.readings = append(p.readings, observation{number: i + 1, field: fmt.Sprintf("readings[%d]", i), group: string(own), x: math.Abs(r.HeightMm), y: r.ExtensionMm,
			read: []measured{{r.ExtensionMm, q.ExtensionSDMm}, {r.HeightMm, q.HeightSDMm}},
			miss: func(u, read []float64) float64 { return read[0] - u[0] + curve(u, at, read[1]) }})
	}
	f, err := solved(p, "readings", "take them on the axis and at more heights")
	if err != nil {
		return Found{}, err
	}
	var results []Result
	var lines []Line
	for i, s := range sections {
		if k := f.at[1+i*terms]; math.Abs(k) > optics.GreatestCurvature {
			return Found{}, refuse("readings", "these readings make the focal surface%s bend with a radius of %.2g mm; no lens has less than %.3g mm, so look for a slip%s", of(s), 1/k, 1/optics.GreatestCurvature, f.odd())
		}
		results = append(results, f.curveResults(s, 1+i*terms, q.WithFourth)...)
		lines = append(lines, drawn(string(s), "height from the axis, mm", "rail reading, mm", 0, 1.05*highest, 41, func(h float64) float64 { return f.at[0] - curve(f.at, i, h) }))
	}
	notes := []string{"The curve is that of the distance it was measured at; a flat target square to the axis is taken for granted."}
	if !q.WithFourth && f.raised > 1 {
		notes = append(notes, "The readings do not lie on a parabola within the stated errors; with_fourth true fits a curve that bends more, or back, toward the edge.")
	}
	return f.found(results, lines, notes...), nil
}

// spread refuses readings of a section that do not lie at different heights enough.
func (q FieldCurve) spread(s Section, terms int) error {
	var heights []float64
	last := 0
	for i, r := range q.Readings {
		own, apart := sectionOf(r.Lines)
		if s != "" && apart && own != s {
			continue
		}
		last = i
		h, fresh := math.Abs(r.HeightMm), true
		for _, o := range heights {
			if math.Abs(o-h) < 5*q.HeightSDMm {
				fresh = false
			}
		}
		if fresh {
			heights = append(heights, h)
		}
	}
	if len(heights) <= terms {
		return refuse(place("height_mm", last), "of the heights%s %d can be told apart; at least %d are needed, one of them near the axis", of(s), len(heights), terms+1)
	}
	return nil
}

func of(s Section) string {
	if s == "" {
		return ""
	}
	return " of the " + string(s) + " lines"
}

// curveResults returns the figures of one section.
func (f *fit) curveResults(s Section, at int, withFourth bool) []Result {
	name := func(n Name) Name {
		if s == "" {
			return n
		}
		return n.Of(s)
	}
	k := f.of(func(u []float64) float64 { return u[at] })
	how := fmt.Sprintf("best focus over the height on the glass, %d readings", len(f.readings))
	results := []Result{f.result(name(Curvature), "1/mm", how, k)}
	r := Result{Name: name(Curve), Unit: "mm", Basis: sentence("the curvature's interval holds 0, so the field cannot be told from flat")}
	if k.low > 0 || k.high < 0 {
		r = f.result(name(Curve), "mm", "one over the curvature, its interval too", estimate{1 / k.value, k.sd / (k.value * k.value), 1 / k.high, 1 / k.low})
	}
	results = append(results, r)
	if withFourth {
		results = append(results, f.result(name(Fourth), "1/mm³", how, f.of(func(u []float64) float64 { return u[at+1] })))
	}
	return results
}

// Measure finds the half-angles of good definition and of light, whichever was read, and the circles they
// cover at infinity. One reading is enough.
func (q GoodCircle) Measure() (Found, error) {
	if err := enough("readings", len(q.Readings), 1, "from the axis to the edge"); err != nil {
		return Found{}, err
	}
	p := problem{unit: "mm", common: []measured{{q.FocalMm, q.FocalSDMm}, {q.PupilMag, q.PupilMagSD}}}
	if q.PupilMag < 4*q.PupilMagSD {
		return Found{}, refuse("pupil_mag_sd", "%.3g is more than a quarter of the pupil magnification; measure that better", q.PupilMagSD)
	}
	behind := q.FocalMm * (q.PupilMag + q.Magnification) // exit pupil to plate [PupilDof04]
	var groups []string
	most := map[string]float64{}
	for i, r := range q.Readings {
		if err := readable(place("edge_mm", i), r.EdgeMm, q.EdgeSDMm); err != nil {
			return Found{}, err
		}
		if r.EdgeMm > behind*math.Tan(80*math.Pi/180) {
			return Found{}, refuse(place("edge_mm", i), "%.4g mm is more than 80° from the axis, seen from the exit pupil; at most %.4g mm with that focal length", r.EdgeMm, behind*math.Tan(80*math.Pi/180))
		}
		at := -1
		for g, name := range groups {
			if name == r.Edge {
				at = g
			}
		}
		if at < 0 {
			at = len(groups)
			groups = append(groups, r.Edge)
			p.unknowns = append(p.unknowns, unknown{r.EdgeMm / behind, r.EdgeMm / behind})
		}
		most[r.Edge] = max(most[r.Edge], float64(i+1))
		p.readings = append(p.readings, observation{number: i + 1, field: place("edge_mm", i), group: r.Edge, x: float64(i + 1), y: r.EdgeMm, read: []measured{{r.EdgeMm, q.EdgeSDMm}},
			miss: func(u, read []float64) float64 {
				c := u[len(u)-2:]
				return read[0] - u[at]*c[0]*(c[1]+q.Magnification)
			}})
	}
	f, err := solved(p, "readings", "take more of them")
	if err != nil {
		return Found{}, err
	}
	var results []Result
	var lines []Line
	for g, name := range groups {
		angle, circle := HalfAngle, Circle
		if name == "lit" {
			angle, circle = LitAngle, LitCircle
		}
		for _, r := range []Result{
			f.result(angle, "°", "from the exit pupil to the "+name+" edge, "+times(len(q.Readings)), f.of(func(u []float64) float64 { return math.Atan(u[g]) * 180 / math.Pi })),
			f.result(circle, "mm", "what that cone covers with the lens at infinity", f.of(func(u []float64) float64 {
				c := u[len(u)-2:]
				return 2 * u[g] * c[0] * c[1]
			})),
		} {
			n := q.FNumber
			r.AtFNumber = &n
			results = append(results, r)
		}
		edge := f.at[g] * f.at[len(f.at)-2] * (f.at[len(f.at)-1] + q.Magnification)
		lines = append(lines, drawn(name, "reading", "axis to edge, mm", 0.5, float64(len(q.Readings))+0.5, 2, func(float64) float64 { return edge }))
	}
	return f.found(results, lines, "Where definition ends is a matter of judgement: the same eye, target and loupe at every stop."), nil
}
