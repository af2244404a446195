package bench

import (
	"fmt"
	"math"
	"slices"
)

// sized is what was read of an image's size.
type sized struct {
	read  []measured
	m     func(read []float64, scale float64) float64 // magnification; scale is the true length of the rule over its marked one
	value float64
	sd    float64
	key   string
}

// sizeOf reads the magnification, given itself or as image and object.
func sizeOf(i int, magnification, image, object *float64, imageSD, magnificationSD float64) (sized, error) {
	switch {
	case magnification != nil && image == nil && object == nil:
		if *magnification < 4*magnificationSD {
			return sized{}, refuse(place("magnification", i), "%.4g known to ± %.3g tells too little; at least %.4g is needed, or a finer reading", *magnification, magnificationSD, 4*magnificationSD)
		}
		return sized{read: []measured{{*magnification, magnificationSD}}, m: func(r []float64, _ float64) float64 { return r[0] },
			value: *magnification, sd: magnificationSD, key: "magnification"}, nil
	case magnification == nil && image != nil && object != nil:
		if err := readable(place("image_mm", i), *image, imageSD); err != nil {
			return sized{}, err
		}
		o := *object
		s := sized{read: []measured{{*image, imageSD}}, m: func(r []float64, scale float64) float64 { return r[0] / (o * scale) },
			value: *image / o, sd: imageSD / o, key: "image_mm"}
		if s.value < 0.001 || s.value > 20 {
			return sized{}, refuse(place("image_mm", i), "an image of %.4g mm of an object of %.4g mm is a magnification of %.3g; allowed is 0.001 to 20", *image, o, s.value)
		}
		return s, nil
	}
	return sized{}, refuse(place("magnification", i), "a reading has either magnification or both image_mm and object_mm")
}

// extensionsGrow is what is to be looked at when rail readings make no lens.
const extensionsGrow = "extensions must grow as the glass goes away from the lens"

// Measure finds the focal length, the mark of infinity and the rear principal plane, and with distances
// the front one. Two readings at different magnifications are needed.
func (q TwoMagnifications) Measure() (Found, error) {
	if err := enough("readings", len(q.Readings), 2, "the focal length is how the extension grows from one magnification to another"); err != nil {
		return Found{}, err
	}
	sizes := make([]sized, len(q.Readings))
	least, most := 0, 0
	for i, r := range q.Readings {
		var err error
		if sizes[i], err = sizeOf(i, r.Magnification, r.ImageMm, r.ObjectMm, q.ImageSDMm, q.MagnificationSD); err != nil {
			return Found{}, err
		}
		if sizes[i].value < sizes[least].value {
			least = i
		}
		if sizes[i].value > sizes[most].value {
			most = i
		}
	}
	small, large := sizes[least], sizes[most]
	if span := large.value - small.value; span < 5*math.Hypot(small.sd, large.sd) {
		return Found{}, refuse(place(sizes[max(least, most, 1)].key, max(least, most, 1)),
			"all readings are at the magnification %.4g within their error; two that differ clearly are needed, such as 0.1 and 0.5", large.value)
	}
	slope := (q.Readings[most].ExtensionMm - q.Readings[least].ExtensionMm) / (large.value - small.value)
	size := max(math.Abs(slope), 1)
	p := problem{unit: "mm", common: []measured{{1, q.ObjectSDShare}},
		unknowns: []unknown{{q.Readings[least].ExtensionMm - slope*small.value, size}, {slope, size}}}
	for i, r := range q.Readings {
		m := sizes[i].m
		p.readings = append(p.readings, observation{number: i + 1, field: fmt.Sprintf("readings[%d]", i), x: sizes[i].value, y: r.ExtensionMm,
			read: append([]measured{{r.ExtensionMm, q.ExtensionSDMm}}, sizes[i].read...),
			miss: func(u, read []float64) float64 { return read[0] - u[0] - u[1]*m(read[1:], u[2]) }})
	}
	f, err := solved(p, "readings", "take them at clearly different magnifications")
	if err != nil {
		return Found{}, err
	}
	focal := f.of(func(u []float64) float64 { return u[1] })
	if err := f.plausible(focal, "readings", extensionsGrow); err != nil {
		return Found{}, err
	}
	how := fmt.Sprintf("slope of the extension over %d settings from magnification %.3g to %.3g", len(sizes), small.value, large.value)
	results := []Result{
		f.result(Focal, "mm", how, focal),
		f.result(Infinity, "mm", "where the line through the settings meets magnification 0", f.of(func(u []float64) float64 { return u[0] })),
		f.result(RearAhead, "mm", "the focal length less the reading at infinity", f.of(func(u []float64) float64 { return u[1] - u[0] })),
	}
	line := drawn("", "magnification", "rail reading, mm", 0, 1.05*large.value, 2, func(m float64) float64 { return f.at[0] + f.at[1]*m })
	out := f.found(results, []Line{line}, "rear_ahead_mm and front_ahead_mm count from the point the rail and the distances are read from; toward the sitter is positive.")
	return q.frontPlane(out, sizes, f)
}

// frontPlane adds the front principal plane where distances were read: D = a + f (1 + 1/m). The settings are
// fitted once more together with the distances; there an image is sought as well as read, its one error counting
// for both.
func (q TwoMagnifications) frontPlane(out Found, sizes []sized, first *fit) (Found, error) {
	p := problem{unit: "mm", common: first.common}
	p.unknowns = append(slices.Clone(first.unknowns), unknown{0, first.unknowns[1].size})
	p.unknowns[0].start, p.unknowns[1].start = first.at[0], first.at[1]
	settings := slices.Clone(first.readings)
	var images []observation
	for i, r := range q.Readings {
		own := sizes[i].read[0]
		if r.DistanceMm == nil {
			m := sizes[i].m
			settings[i].miss = func(u, read []float64) float64 { return read[0] - u[0] - u[1]*m(read[1:], u[len(u)-1]) }
			continue
		}
		k := len(p.unknowns)
		p.unknowns = append(p.unknowns, unknown{own.value, own.value})
		size := func(u []float64) float64 { return sizes[i].m(u[k:k+1], u[len(u)-1]) }
		images = append(images, observation{read: []measured{own}, miss: func(u, read []float64) float64 { return read[0] - u[k] }})
		settings[i].read = settings[i].read[:1]
		settings[i].miss = func(u, read []float64) float64 { return read[0] - u[0] - u[1]*size(u) }
		p.readings = append(p.readings, observation{number: i + 1, field: place("distance_mm", i), group: "distance", x: 1 + 1/sizes[i].value, y: *r.DistanceMm,
			read: []measured{{*r.DistanceMm, q.DistanceSDMm}},
			miss: func(u, read []float64) float64 { return read[0] - u[2] - u[1]*(1+1/size(u)) }})
	}
	n := len(p.readings)
	if n == 0 {
		return out, nil
	}
	p.readings = slices.Concat(p.readings, settings, images)
	f, err := solved(p, "readings", "read distances once more")
	if err != nil {
		return Found{}, err
	}
	how := fmt.Sprintf("distance to the object less f (1 + 1/m), in %d settings", n)
	out.Results = append(out.Results, f.result(FrontAhead, "mm", how, f.of(func(u []float64) float64 { return u[2] })))
	for _, r := range f.shown()[:n] {
		out.Readings = append(out.Readings, r)
		if r.Disagrees {
			out.Notes = append(out.Notes, "Of the distances: "+r.Sentence)
		}
	}
	return out, nil
}

// Measure finds the focal length; one reading is enough.
func (q FarTarget) Measure() (Found, error) {
	if err := enough("readings", len(q.Readings), 1, "an extension with a magnification, or an image with an angle"); err != nil {
		return Found{}, err
	}
	p := problem{unit: "mm", common: []measured{{0, 0}, {1, 0}}}
	most := map[string]float64{}
	for i, r := range q.Readings {
		o := observation{number: i + 1, field: fmt.Sprintf("readings[%d]", i)}
		var first float64
		switch {
		case r.AngleDeg != nil && r.ImageMm != nil && r.ExtensionMm == nil && r.Magnification == nil && r.ObjectMm == nil:
			if err := readable(place("image_mm", i), *r.ImageMm, q.ImageSDMm); err != nil {
				return Found{}, err
			}
			if *r.AngleDeg < 4*q.AngleSDDeg {
				return Found{}, refuse(place("angle_deg", i), "%.3g° read to ± %.3g° tells too little; turn the camera by at least %.3g°", *r.AngleDeg, q.AngleSDDeg, 4*q.AngleSDDeg)
			}
			o.group, o.x, o.y = "angle", math.Tan(*r.AngleDeg*math.Pi/180), *r.ImageMm
			o.read = []measured{{*r.ImageMm, q.ImageSDMm}, {*r.AngleDeg, q.AngleSDDeg}}
			o.miss = func(u, read []float64) float64 { return read[0] - u[0]*math.Tan(read[1]*math.Pi/180) }
			first = o.y / o.x
		case r.ExtensionMm != nil && r.AngleDeg == nil:
			s, err := sizeOf(i, r.Magnification, r.ImageMm, r.ObjectMm, q.ImageSDMm, q.MagnificationSD)
			if err != nil {
				return Found{}, err
			}
			if err := readable(place("extension_mm", i), *r.ExtensionMm, math.Hypot(q.ExtensionSDMm, q.InfinitySDMm)); err != nil {
				return Found{}, err
			}
			o.group, o.x, o.y = "mark", s.value, *r.ExtensionMm
			o.read = append([]measured{{*r.ExtensionMm, q.ExtensionSDMm}}, s.read...)
			o.miss = func(u, read []float64) float64 { return read[0] - u[1] - u[0]*s.m(read[1:], u[2]) }
			first = o.y / o.x
			p.common = []measured{{0, q.InfinitySDMm}, {1, q.ObjectSDShare}}
		default:
			return Found{}, refuse(fmt.Sprintf("readings[%d]", i), "a reading is extension_mm with a magnification (or image_mm and object_mm), or image_mm with angle_deg")
		}
		if i == 0 {
			p.unknowns = []unknown{{first, first}}
		}
		most[o.group] = max(most[o.group], o.x)
		p.readings = append(p.readings, o)
	}
	f, err := solved(p, "readings", "take more of them")
	if err != nil {
		return Found{}, err
	}
	focal := f.of(func(u []float64) float64 { return u[0] })
	if err := f.plausible(focal, "readings", extensionsGrow+", images with the angle"); err != nil {
		return Found{}, err
	}
	var lines []Line
	how := "far target and extension over magnification"
	if top, ok := most["mark"]; ok {
		lines = append(lines, drawn("mark", "magnification", "behind the mark of infinity, mm", 0, 1.05*top, 2, func(m float64) float64 { return f.at[1] + f.at[0]*m }))
	} else {
		how = "far target and image over the tangent of the angle turned"
	}
	if top, ok := most["angle"]; ok {
		lines = append(lines, drawn("angle", "tangent of the angle", "image from the axis, mm", 0, 1.05*top, 2, func(t float64) float64 { return f.at[0] * t }))
	}
	results := []Result{f.result(Focal, "mm", fmt.Sprintf("%s, %s", how, times(len(p.readings))), focal)}
	return f.found(results, lines, "A target k focal lengths away is sharp f/k behind infinity: add that to infinity_sd_mm, or take one farther away."), nil
}

func times(n int) string {
	if n == 1 {
		return "one reading"
	}
	return fmt.Sprintf("%d readings", n)
}

// planesShare is how much of the focal length the principal planes may lie apart when nothing is known;
// the portrait form of 1840 has -0.063 [PlateNotes2026], most others less, so 0.04 as a standard deviation.
const planesShare = 0.04

// Measure finds the focal length; one reading is enough.
func (q KnownObject) Measure() (Found, error) {
	if err := enough("readings", len(q.Readings), 1, "the image of a known length at a known distance"); err != nil {
		return Found{}, err
	}
	p := problem{unit: "mm"}
	var sum, most float64
	least := math.Inf(1)
	for i, r := range q.Readings {
		s, err := sizeOf(i, nil, &r.ImageMm, &r.ObjectMm, q.ImageSDMm, 0)
		if err != nil {
			return Found{}, err
		}
		if err := readable(place("target_mm", i), r.TargetMm, q.DistanceSDMm); err != nil {
			return Found{}, err
		}
		reach := func(m float64) float64 { return 2 + m + 1/m } // T = f (2 + m + 1/m) + H [Conj1995]
		x := reach(s.value)
		sum += (r.TargetMm - q.PlanesMm) / x
		least, most = min(least, x), max(most, x)
		p.readings = append(p.readings, observation{number: i + 1, field: fmt.Sprintf("readings[%d]", i), x: x, y: r.TargetMm,
			read: append([]measured{{r.TargetMm, q.DistanceSDMm}}, s.read...),
			miss: func(u, read []float64) float64 { return read[0] - u[1] - u[0]*reach(s.m(read[1:], u[2])) }})
	}
	first := sum / float64(len(p.readings))
	if first <= 0 {
		return Found{}, refuse("planes_mm", "%.4g mm leaves no distance for the focal length; it must be less than target_mm", q.PlanesMm)
	}
	apart := planesShare * first
	notes := []string{"Nothing is known of the principal planes of an unmarked lens: they were taken as 4 % of the focal length apart either way (one sd); two magnifications do without."}
	if q.PlanesSDMm != nil {
		apart, notes = *q.PlanesSDMm, nil
	}
	p.unknowns, p.common = []unknown{{first, first}}, []measured{{q.PlanesMm, apart}, {1, q.ObjectSDShare}}
	f, err := solved(p, "readings", "take more of them")
	if err != nil {
		return Found{}, err
	}
	focal := f.of(func(u []float64) float64 { return u[0] })
	if err := f.plausible(focal, "readings", "target_mm is from the object to the glass, object_mm and image_mm the same length there"); err != nil {
		return Found{}, err
	}
	line := drawn("", "2 + m + 1/m", "object to glass, mm", 0.95*least, 1.05*most, 2, func(x float64) float64 { return f.at[1] + f.at[0]*x })
	return f.found([]Result{f.result(Focal, "mm", "known object at a known distance, "+times(len(p.readings)), focal)}, []Line{line}, notes...), nil
}

// Measure finds the focal length; one reading is enough.
func (q NodalPoint) Measure() (Found, error) {
	if err := enough("readings", len(q.Readings), 1, "axis of rest to image"); err != nil {
		return Found{}, err
	}
	p := problem{unit: "mm", common: []measured{{0, q.AxisSDMm}}, unknowns: []unknown{{q.Readings[0].DistanceMm, q.Readings[0].DistanceMm}}}
	for i, r := range q.Readings {
		p.readings = append(p.readings, observation{number: i + 1, field: place("distance_mm", i), x: float64(i + 1), y: r.DistanceMm, read: []measured{{r.DistanceMm, q.DistanceSDMm}},
			miss: func(u, read []float64) float64 { return read[0] - u[1] - u[0] }})
	}
	f, err := solved(p, "readings", "take more of them")
	if err != nil {
		return Found{}, err
	}
	focal := f.of(func(u []float64) float64 { return u[0] })
	if err := f.plausible(focal, "readings", "each is from the axis of rest to the image"); err != nil {
		return Found{}, err
	}
	line := drawn("", "reading", "axis to image, mm", 0.5, float64(len(q.Readings))+0.5, 2, func(float64) float64 { return f.at[0] })
	return f.found([]Result{f.result(Focal, "mm", "image at rest about the rear nodal point, "+times(len(p.readings)), focal)}, []Line{line}), nil
}
