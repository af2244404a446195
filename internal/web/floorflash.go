package web

import (
	"context"
	"fmt"
	"math"
	"slices"

	"platewright/internal/studio"
	"platewright/internal/web/screens/floor"
	"platewright/internal/web/shared"
	"platewright/light"
	"platewright/light/flash"
	"platewright/measure"
	"platewright/optics"
)

// flashFound is what a rig can do for the plate.
type flashFound struct {
	rig    flash.Rig
	given  studio.RigGiven
	reach  flash.Reach
	dearer flash.Reach   // the same for one stop more
	sigma  measure.Stops // standard deviation of what the rig does to the plate
	energy float64       // J, of all heads and pops as they are set
	none   string        // why nothing is told; empty when it is
}

// findFlash finds what the rig can do at the lens's stop.
func (s *Server) findFlash(ctx context.Context, p planned, lens optics.Lens, got *reckoned) error {
	found := got.Lit
	readings, err := s.cfg.Studio.RigReadings(ctx, p.lit.rig.ID)
	if err != nil {
		return fmt.Errorf("readings of the rig: %w", err)
	}
	a := &flashFound{given: studio.RigKnown(readings), energy: p.lit.rig.Energy()}
	a.rig = p.lit.rig.Flash(a.given)
	a.rig.Face = measure.Angle(p.posed.setting.Turn)
	of := found.speed.Kind
	if found.typed {
		of = found.kind
	}
	if err := s.weighHeads(a.rig.Heads, of); err != nil {
		return err
	}
	shot := flash.Shot{Index: found.speed.Index, Aperture: lens.Stop, Bellows: measure.Stops(got.Focus.Bellows)}
	if a.reach, err = a.rig.Reach(shot); err == nil {
		shot.Index /= 2 // the same as one stop more light
		a.dearer, err = a.rig.Reach(shot)
	}
	if err != nil {
		a.none = upperFirst(err.Error()) + "."
	}
	half := measure.Stops(found.between.High-found.between.Low) / 2
	a.sigma = rootOfSquares(a.given.Sigma, found.speed.Sigma, half)
	found.flash = a
	return nil
}

// weighHeads gives each head what its tube does to the plate beyond the light of the index.
func (s *Server) weighHeads(heads []flash.Head, of light.Kind) error {
	from, err := s.doesOf(of)
	if err != nil {
		return err
	}
	for i := range heads {
		if kind := heads[i].Tube.Kind(); kind != of {
			to, err := s.doesOf(kind)
			if err != nil {
				return err
			}
			heads[i].Actinic = measure.Stops(between(to, from).Stops)
		}
	}
	return nil
}

// times is how often all heads are fired for the plate: as they are set, unless the pops are asked for.
func (a *flashFound) times(solve string) int {
	if solve == solvePops {
		return max(1, a.reach.Pops)
	}
	return 1
}

// power is by what the heads' energy is turned up, all together.
func (a *flashFound) power(solve string) float64 {
	if solve == solveEnergy {
		return a.reach.Energy
	}
	return 1
}

// pops are those of all heads, as the rig is set.
func (a *flashFound) pops() (n int) {
	for _, h := range a.rig.Heads {
		n += max(1, h.Pops)
	}
	return n
}

// tell lays out what the rig can do.
func (a *flashFound) tell(sys measure.System, p planned, out *floor.Lit) {
	if a.none != "" {
		out.Missing = a.none
		return
	}
	chief, band := a.chief(sys, p)
	out.Chief, out.Band = &chief, &band
	if stops, known := a.reach.Lit.Ratio(); known {
		side := "your right"
		if a.reach.Lit.Left > a.reach.Lit.Right {
			side = "your left"
		}
		if stops < 0.1 {
			side = "neither"
		}
		out.Sides = fmt.Sprintf("Between the sides of the face %s\u2009stops, %s the brighter; shadows of nose and brow are not in it.", figureOf(float64(stops), 2), side)
	} else {
		out.Sides = "One side of the face gets no light of this rig: a board or a second head would open it."
	}
	out.Costs = a.costs(sys, p)
	out.Rows = a.rows(p)
	out.Caught = a.cautions(p.lit.solve)
}

// chief is what is solved for, with its band.
func (a *flashFound) chief(sys measure.System, p planned) (shared.FigureData, shared.BandData) {
	low, high := (-a.sigma).Factor(), a.sigma.Factor()
	band := shared.BandData{Name: "flash", Ratio: true, Basis: a.given.Basis.Text}
	set := func(word, unit string, least, middle, most float64) {
		band.Word, band.Unit, band.Low, band.Median, band.High = word, unit, twoDigits(least), twoDigits(middle), twoDigits(most)
		band.From, band.To = octaves(least, most)
	}
	switch p.lit.solve {
	case solveStop:
		n := float64(a.reach.Largest)
		set("f-number", "", n*(-a.sigma/2).Factor(), n, n*(a.sigma/2).Factor())
		return shared.FigureData{Word: "Stop in the lens, at most", Value: measure.FNumber(n).String(), Large: true, Other: nearestStop(p.lens, measure.FNumber(n))}, band
	case solveEnergy:
		j := a.reach.Energy * a.energy
		set("Energy, all heads and pops", "J", j*low, j, j*high)
		return shared.FigureData{Word: "Energy, all heads and pops", Value: figureOf(j, 2), Unit: "J", Large: true,
			Other: "set now " + figureOf(a.energy, 3) + "\u2009J, so times " + figureOf(a.reach.Energy, 2)}, band
	case solveFarther:
		return a.farthest(sys, band)
	}
	set("Times, before it is rounded up", "", a.reach.Energy*low, a.reach.Energy, a.reach.Energy*high)
	figure := shared.FigureData{Word: "Fire all heads", Value: counted(a.reach.Pops, "time"), Large: true}
	if a.reach.Pops >= flash.MostPops {
		figure.Value = "more than " + counted(flash.MostPops, "time")
	}
	if n := a.pops(); n > len(a.rig.Heads) {
		figure.Other = "each time as the rig is set, " + counted(n, "pop")
	}
	return figure, band
}

// twoDigits rounds a positive figure to two of its own.
func twoDigits(v float64) float64 {
	unit := math.Pow(10, math.Floor(math.Log10(v))-1)
	return math.Round(v/unit) * unit
}

// farthest is how far the heads may stand.
func (a *flashFound) farthest(sys measure.System, band shared.BandData) (shared.FigureData, shared.BandData) {
	first := a.rig.Heads[0].Distance
	figure := shared.FigureData{Word: "Heads off the face, at most", Large: true}
	band.Word = "Light needed over that given"
	band.Low, band.Median, band.High = twoDigits(a.reach.Energy*(-a.sigma).Factor()), twoDigits(a.reach.Energy), twoDigits(a.reach.Energy*a.sigma.Factor())
	band.From, band.To = octaves(band.Low, band.High)
	if a.reach.Farther == 0 {
		figure.Value, figure.Large, figure.Other = "no distance", false, a.reach.NoFarther
		return figure, band
	}
	figure.Value = measure.Thin((first * measure.Length(a.reach.Farther)).Format(sys))
	figure.Other = "now " + measure.Thin(first.Format(sys)) + ", so all of them times " + figureOf(a.reach.Farther, 2)
	return figure, band
}

// costs are what one stop more costs.
func (a *flashFound) costs(sys measure.System, p planned) []floor.Figure {
	n := float64(p.stop.FNumber)
	costs := []floor.Figure{
		{Word: "Pops", Value: "fire all heads " + counted(a.dearer.Pops, "time"), Other: "instead of " + counted(a.reach.Pops, "time")},
		{Word: "Energy, all heads and pops", Value: figureOf(a.dearer.Energy*a.energy, 2) + "\u2009J", Other: "instead of " + figureOf(a.reach.Energy*a.energy, 2) + "\u2009J"},
		{Word: "Stop", Value: measure.FNumber(n / 1.4142135623730951).String(), Other: "instead of " + p.stop.FNumber.String()},
	}
	first := a.rig.Heads[0].Distance
	far := floor.Figure{Word: "Heads nearer", Value: "no distance gives it"}
	if a.dearer.Farther > 0 {
		far.Value = measure.Thin((first * measure.Length(a.dearer.Farther)).Format(sys))
	}
	if a.reach.Farther > 0 {
		far.Other = "instead of " + measure.Thin((first * measure.Length(a.reach.Farther)).Format(sys)) + " at most"
	}
	return append(costs, far)
}

// rows are further figures: the light, where it comes from, and what falls on the face beyond what one sees.
func (a *flashFound) rows(p planned) []floor.Figure {
	lit := a.reach.Lit
	lxs := func(d light.LuxSeconds) string { return figureOf(float64(d), 3) + "\u2009lx\u2009s" }
	rows := []floor.Figure{{Word: "Light at the face, as the rig is set", Value: lxs(lit.Front)}}
	for i, d := range lit.Heads {
		rows = append(rows, floor.Figure{Word: "of it " + a.rig.Heads[i].Name, Value: lxs(d)})
	}
	if lit.Boards > 0 {
		rows = append(rows, floor.Figure{Word: "of it by the board", Value: lxs(lit.Boards)})
	}
	if lit.Room > 0 {
		rows = append(rows, floor.Figure{Word: "of it round the room", Value: lxs(lit.Room)})
	}
	held, err := a.doses(p.lit.solve)
	if err != nil {
		return rows
	}
	for _, h := range held {
		rows = append(rows, floor.Figure{Word: upperFirst(h.Name), Value: figureOf(h.Got, 2) + "\u2009J/m²",
			Other: figureOf(100*h.Share(), 2) + "\u2009% of the limit, " + h.Standard})
	}
	return rows
}

// doses are what falls on the face of ultraviolet and blue, for the whole plate.
func (a *flashFound) doses(solve string) ([]flash.Held, error) {
	var sum flash.Dose
	for _, h := range a.rig.Heads {
		d, err := h.Hazard()
		if err != nil {
			return nil, err
		}
		sum = sum.Plus(d)
	}
	return sum.Times(float64(a.times(solve)) * a.power(solve)).Against(1)
}

// cautions are those of every head, each once.
func (a *flashFound) cautions(solve string) []string {
	var all []string
	for _, h := range a.rig.Heads {
		h.Pops = max(1, h.Pops) * a.times(solve)
		for _, c := range h.Cautions() {
			if !slices.Contains(all, c) {
				all = append(all, c)
			}
		}
	}
	if held, err := a.doses(solve); err == nil {
		for _, h := range held {
			if h.Share() >= 1 {
				all = append(all, h.Sentence)
			}
		}
	}
	return all
}

// nearestStop names the stop of the lens that is no smaller than what a flash reaches.
func nearestStop(l studio.Lens, most measure.FNumber) string {
	best := studio.Stop{}
	for _, s := range l.Stops {
		if s.FNumber <= most && s.FNumber > best.FNumber {
			best = s
		}
	}
	if best.FNumber == 0 {
		return "no stop of this lens is so wide"
	}
	return "the lens's " + best.Name
}
