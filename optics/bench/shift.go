package bench

import (
	"fmt"
	"math"
	"slices"
)

// Measure finds by how much the focus at each stop lies behind that at the full opening, the widest stop
// read. One reading at each of two stops is needed.
func (q ShiftOnStopping) Measure() (Found, error) {
	var numbers []float64
	for _, r := range q.Readings {
		if !slices.Contains(numbers, r.FNumber) {
			numbers = append(numbers, r.FNumber)
		}
	}
	if len(numbers) < 2 {
		return Found{}, refuse("readings", "%s given at one stop; readings at the full opening and at one stop more are needed, for the shift is from one to the other", counted(len(q.Readings)))
	}
	slices.Sort(numbers)
	p := problem{unit: "mm", unknowns: make([]unknown, len(numbers))}
	for i, r := range q.Readings {
		at := slices.Index(numbers, r.FNumber)
		p.unknowns[at] = unknown{r.ExtensionMm, 1}
		p.readings = append(p.readings, observation{number: i + 1, field: fmt.Sprintf("readings[%d]", i), group: stopName(r.FNumber), x: r.FNumber, y: r.ExtensionMm,
			read: []measured{{r.ExtensionMm, q.ExtensionSDMm}},
			miss: func(u, read []float64) float64 { return read[0] - u[at] }})
	}
	f, err := solved(p, "readings", "take more of them")
	if err != nil {
		return Found{}, err
	}
	var results []Result
	all := Line{Across: "f-number", Up: "rail reading, mm"}
	for i, n := range numbers {
		all.Points = append(all.Points, [2]float64{n, f.at[i]})
		if i == 0 {
			continue
		}
		how := fmt.Sprintf("mean focus at %s less that at %s", stopName(n), stopName(numbers[0]))
		grown := 1 + q.Magnification
		for _, r := range []Result{
			f.result(FocusShift, "mm", how+", over (1 + m)²", f.of(func(u []float64) float64 { return (u[i] - u[0]) / (grown * grown) })), // as optics.Setting.ImageShift
			f.result(ShiftHere, "mm", how, f.of(func(u []float64) float64 { return u[i] - u[0] })),
		} {
			r.AtFNumber = &n
			results = append(results, r)
		}
	}
	notes := []string{fmt.Sprintf("Shifts are from the widest stop read, %s; positive is away from the lens.", stopName(numbers[0]))}
	if q.Magnification > 0 {
		notes = append(notes, "Spherical aberration changes with the distance, so the shift at infinity is that of this distance brought there by (1 + m)², not a measurement there.")
	}
	return f.found(results, []Line{all}, notes...), nil
}

func stopName(n float64) string { return fmt.Sprintf("f/%.3g", n) }

// mostChemical is by how much of the focal length the plate's may differ from the eye's: five times what a single glass
// does [PlateNotes2026].
const mostChemical = 0.1

// Measure finds the chemical focus at infinity; one plate is enough.
func (q StepPlate) Measure() (Found, error) {
	if err := enough("readings", len(q.Readings), 1, "the sharpest card of a plate"); err != nil {
		return Found{}, err
	}
	if q.Magnification < 4*q.MagnificationSD {
		return Found{}, refuse("magnification_sd", "%.3g is more than a quarter of the magnification; measure that better", q.MagnificationSD)
	}
	p := problem{unit: "mm", unknowns: []unknown{{0, q.StepSDMm}}, common: []measured{{q.FocalMm, q.FocalSDMm}, {q.Magnification, q.MagnificationSD}}}
	sum := 0.0
	for i, r := range q.Readings {
		sum += r.BehindMm
		p.readings = append(p.readings, observation{number: i + 1, field: place("behind_mm", i), x: float64(i + 1), y: r.BehindMm, read: []measured{{r.BehindMm, q.StepSDMm}},
			miss: func(u, read []float64) float64 { return read[0] - u[0] }})
	}
	p.unknowns[0].start = sum / float64(len(q.Readings))
	distance := q.FocalMm * (1 + 1/q.Magnification)
	if least := 4*q.StepSDMm - distance; p.unknowns[0].start < least {
		return Found{}, refuse("readings", "the sharpest card is %.4g mm before card 0, which stands %.4g mm from the lens; with such cards at most %.4g mm before it tells anything", -p.unknowns[0].start, distance, -least)
	}
	f, err := solved(p, "readings", "take more of them")
	if err != nil {
		return Found{}, err
	}
	at := f.of(func(u []float64) float64 { return u[0] })
	chemical := f.of(func(u []float64) float64 {
		f, m := u[1], u[2]
		v, s := f*(1+m), f*(1+1/m)+u[0]
		return v*s/(v+s) - f // 1/f' = 1/v + 1/s', the inverse of optics.Setting.SitterShift
	})
	if math.Abs(chemical.value) > mostChemical*q.FocalMm {
		return Found{}, refuse("readings", "a sharpest card %.4g mm behind card 0 (negative: before it) makes the focal length %.4g mm for the plate and %.4g mm for the eye; one lens does not differ by more than %.4g mm, so look for a slip", f.at[0], q.FocalMm+chemical.value, q.FocalMm, mostChemical*q.FocalMm)
	}
	how := "depth of the sharpest card, " + times(len(q.Readings))
	line := drawn("", "plate", "sharpest behind the focused card, mm", 0.5, float64(len(q.Readings))+0.5, 2, func(float64) float64 { return f.at[0] })
	return f.found([]Result{
		f.result(Chemical, "mm", how+", as focal length of the plate's light less that of the eye's", chemical),
		f.result(SitterShift, "mm", how, at),
	}, []Line{line}, "Positive: the plate's focus is the longer, and what is sharp lies behind what the eye focused on. It holds for this plate, light and lens."), nil
}
