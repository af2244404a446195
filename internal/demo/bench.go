package demo

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"time"

	"platewright/internal/studio"
)

// truth is what a lens of the invented studio really is, which its bench finds with the errors of a hand.
type truth struct {
	focal         float64   // mm
	front, rear   float64   // principal planes ahead of the lens board, mm
	factor        float64   // entrance pupil over the hole that makes it
	holes         []float64 // of its stops, the full opening first, mm
	sagittal      float64   // curvature of the focal surface, 1/mm
	tangential    float64
	chemical      float64   // focus of the plate behind that of the eye at infinity, mm
	spherical     []float64 // focus at its stops behind that of the full opening, at infinity, mm
	sharpDegrees  float64   // half the cone of good definition at the full opening
	magnification float64   // of exit over entrance pupil
}

// Errors of the invented hand, standard deviations in mm.
const (
	railError     = 0.3
	imageError    = 0.15
	distanceError = 3.0
	holeError     = 0.08
	discError     = 0.25
	stepError     = 7.0
	edgeError     = 3.0
)

// benchDay is one afternoon at the bench.
type benchDay struct {
	daysAgo int
	lens    int
	by      string
	note    string
	method  func(b *benchHand, t truth) map[string]any
	wrong   string // why it is withdrawn on the next day; empty when it stands
}

func truths() map[int]truth {
	return map[int]truth{
		lensWhole: {focal: 303.1, front: 31.5, rear: 50.8, factor: 1.255, holes: []float64{60.1, 48.2, 43.1, 30.1, 21.9},
			sagittal: 0.00118, tangential: -0.0021},
		lensHalf: {focal: 191.4, front: 20.2, rear: 32.1, factor: 1.26, holes: []float64{42.0, 33.8, 27.0, 18.9, 13.8}, sharpDegrees: 26, magnification: 0.91},
		lensBare: {focal: 357.6, front: -3, rear: -5, chemical: -7.4, spherical: []float64{0, 2.9, 4.1}},
	}
}

func benchDays() []benchDay {
	return []benchDay{
		{85, lensWhole, helper, "By the window, a newspaper pinned to the wall.", (*benchHand).curvatureAskew, "The back stood askew: left and right differ by a millimetre and a half."},
		{84, lensWhole, operator, "Steel rule, rail read from the lens board.", (*benchHand).twoMagnificationsHurried, ""},
		{84, lensWhole, operator, "Once more, the back squared.", (*benchHand).curvature, ""},
		{78, lensWhole, operator, "Once more, with a loupe and two rules; the first time the fifth image was off.", (*benchHand).twoMagnifications, ""},
		{77, lensWhole, helper, "The five stops of the tin, twice round with the caliper.", (*benchHand).stops, ""},
		{68, lensHalf, operator, "Rail read from the lens board.", (*benchHand).twoMagnifications, ""},
		{68, lensHalf, operator, "", (*benchHand).stops, ""},
		{52, lensHalf, helper, "Full opening, four corners of the glass.", (*benchHand).coverage, ""},
		{47, lensBare, operator, "", (*benchHand).twoMagnifications, ""},
		{46, lensBare, operator, "Eleven cards 20 mm apart on a board at 45°; three test plates.", (*benchHand).chemicalFocus, ""},
		{40, lensBare, helper, "A lamp behind a pinhole across the yard.", (*benchHand).focusShift, ""},
	}
}

// measured lets the bench's readings be taken and kept.
func (m *maker) measured() error {
	hand := &benchHand{rng: rand.New(rand.NewPCG(m.o.Seed, 0xbe7c4))}
	for i, d := range benchDays() {
		at := m.day.AddDate(0, 0, -d.daysAgo).Add(17*time.Hour + time.Duration(i)*23*time.Minute)
		if at.Weekday() == time.Sunday {
			at = at.AddDate(0, 0, 1)
		}
		hand.stopNames = nil
		for _, s := range m.lenses[d.lens].Stops {
			hand.stopNames = append(hand.stopNames, s.Name)
		}
		method := d.method(hand, truths()[d.lens])
		question, answer, err := m.ask.put("bench", map[string]any{"method": method})
		if err != nil {
			return fmt.Errorf("%s on the bench: %w", m.lenses[d.lens].Name, err)
		}
		kind, _ := method["kind"].(string)
		r := studio.LensReading{ID: m.s.NewID(), Lens: m.lenses[d.lens].ID, Method: studio.BenchMethod(kind), Taken: at, By: d.by,
			Question: string(question), Answer: string(answer), Note: d.note}
		m.at(at, func(ctx context.Context) error {
			_, err := m.s.KeepLensReading(ctx, r)
			return err
		})
		if d.wrong == "" {
			continue
		}
		withdrawn := studio.LensReading{ID: m.s.NewID(), Lens: r.Lens, Taken: at.Add(23 * time.Hour), By: operator, Note: d.wrong, Withdraws: r.ID}
		m.at(withdrawn.Taken, func(ctx context.Context) error {
			_, err := m.s.WithdrawLensReading(ctx, withdrawn)
			return err
		})
	}
	return nil
}

// benchHand reads rules and rails with the errors of a hand.
type benchHand struct {
	rng       *rand.Rand
	stopNames []string
}

// read returns a value as it is read off, to a step of the scale.
func (b *benchHand) read(value, sd, step float64) float64 {
	return math.Round(math.Round((value+b.rng.NormFloat64()*sd)/step)*step*1e6) / 1e6
}

// sized are settings at magnifications: rail, image of the rule, and how far the rule is from the board.
func (b *benchHand) sized(t truth) []map[string]any {
	const rule = 200.0
	var readings []map[string]any
	for _, m := range []float64{0.08, 0.15, 0.22, 0.3, 0.4, 0.48, 0.55} {
		readings = append(readings, map[string]any{
			"extension_mm": b.read(t.focal*(1+m)-t.rear, railError, 0.1),
			"image_mm":     b.read(rule*m, imageError, 0.1), "object_mm": rule,
			"distance_mm": b.read(t.focal*(1+1/m)+t.front, distanceError, 1),
		})
	}
	return readings
}

func (b *benchHand) twoMagnifications(t truth) map[string]any {
	return map[string]any{"kind": string(studio.TwoMagnifications), "extension_sd_mm": railError, "image_sd_mm": imageError,
		"distance_sd_mm": distanceError, "readings": b.sized(t)}
}

// twoMagnificationsHurried has one image read from the wrong line of the rule.
func (b *benchHand) twoMagnificationsHurried(t truth) map[string]any {
	q := b.twoMagnifications(t)
	readings := b.sized(t)
	image, _ := readings[4]["image_mm"].(float64)
	readings[4]["image_mm"] = image + 3
	q["readings"] = readings
	return q
}

func (b *benchHand) heights(t truth, askew float64) map[string]any {
	const infinity = 252.0 // the rail's own figure
	var readings []map[string]any
	for _, h := range []float64{0, 0, 30, -30, 50, -50, 70, -70, 85, -85} {
		for _, of := range []struct {
			lines     string
			curvature float64
		}{{"away", t.sagittal}, {"round", t.tangential}} {
			readings = append(readings, map[string]any{"height_mm": b.read(h, 0.3, 0.5), "lines": of.lines,
				"extension_mm": b.read(infinity-of.curvature*h*h/2+askew*h, railError, 0.1)})
		}
	}
	return map[string]any{"kind": string(studio.FieldCurve), "extension_sd_mm": railError, "readings": readings}
}

func (b *benchHand) curvature(t truth) map[string]any { return b.heights(t, 0) }

func (b *benchHand) curvatureAskew(t truth) map[string]any { return b.heights(t, 0.75/85) }

func (b *benchHand) stops(t truth) map[string]any {
	var discs, stops []map[string]any
	for i, hole := range t.holes {
		stops = append(stops, map[string]any{"name": b.stopNames[i], "hole_mm": b.read(hole, holeError, 0.1)})
		if i < 2 {
			discs = append(discs, map[string]any{"hole_mm": b.read(hole, holeError, 0.1), "pupil_mm": b.read(hole*t.factor, discError, 0.1)})
		}
	}
	return map[string]any{"kind": string(studio.StopSizes), "focal_mm": math.Round(t.focal), "focal_sd_mm": 0.5, "pupil_sd_mm": discError,
		"hole_sd_mm": holeError, "discs": discs, "stops": stops}
}

func (b *benchHand) coverage(t truth) map[string]any {
	full := t.focal / (t.holes[0] * t.factor)
	var readings []map[string]any
	for range 4 {
		edge := t.focal * t.magnification * math.Tan(t.sharpDegrees*math.Pi/180)
		readings = append(readings, map[string]any{"edge_mm": b.read(edge, edgeError, 1), "edge": "sharp"})
	}
	return map[string]any{"kind": string(studio.GoodCircle), "focal_mm": math.Round(t.focal), "focal_sd_mm": 0.5, "pupil_mag": t.magnification,
		"edge_sd_mm": edgeError, "f_number": math.Round(10*full) / 10, "readings": readings}
}

func (b *benchHand) chemicalFocus(t truth) map[string]any {
	const m = 0.5
	focused, plate := t.focal*(1+1/m), t.focal*(1+m)
	sharp := 1 / (1/(t.focal+t.chemical) - 1/plate)
	var readings []map[string]any
	for range 3 {
		readings = append(readings, map[string]any{"behind_mm": b.read(sharp-focused, stepError, 10)})
	}
	return map[string]any{"kind": string(studio.ChemicalFocus), "focal_mm": math.Round(t.focal), "focal_sd_mm": 1, "magnification": m,
		"step_sd_mm": stepError, "readings": readings}
}

func (b *benchHand) focusShift(t truth) map[string]any {
	const infinity = 361.0
	var readings []map[string]any
	for i, n := range []float64{5.6, 8, 11} {
		for range 4 {
			readings = append(readings, map[string]any{"f_number": n, "extension_mm": b.read(infinity+t.spherical[i], 2*railError, 0.1)})
		}
	}
	return map[string]any{"kind": string(studio.FocusShift), "extension_sd_mm": 2 * railError, "readings": readings}
}
