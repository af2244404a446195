package web

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"

	"platewright/internal/studio"
	"platewright/internal/web/screens/floor"
	"platewright/measure"
	"platewright/optics"
	"platewright/scene"
)

// floorResult lays out what was reckoned for the screen.
func floorResult(f *form, p planned, got reckoned) floor.Result {
	result := floor.Result{Units: f.sys, Problems: f.Problems, Lines: floorLines(f, p)}
	if got.Focus == nil {
		result.Waiting = p.waiting
		return result
	}
	a := *got.Focus
	result.Exposure = exposureOf(p, got)
	g := geometryOf(f, p, got)
	g.CapOff = cmp.Or(result.Exposure.Typed, result.Exposure.Reckoned)
	result.Drawn = &g
	setup := p.setup(f.sys, g.Distance, g.Extension)
	for _, m := range slices.Concat(setup.Misfits(), setup.Refocus()) {
		result.Warnings = append(result.Warnings, m.Sentence+" "+m.Hint)
	}
	if long, is := studio.TooLong(exposureAsked(p, got.Seconds), studio.CommonTargets()); is {
		result.Warnings = append(result.Warnings, long.Sentence+" "+long.Hint)
	} else if got.Seconds != nil && p.seconds == 0 {
		result.Warnings = append(result.Warnings, got.Seconds.Warnings...)
	}
	if poise, known := p.poise(got); known {
		if restless, is := studio.Restless(poise); is {
			result.Warnings = append(result.Warnings, restless.Sentence+" "+restless.Hint)
		}
	}
	if got.Trouble != nil {
		result.Warnings = append(result.Warnings, "The sitter cannot be drawn on the plate: "+troubleWords(got.Trouble, p.posed.setting)+".")
	}
	notes := a.Notes
	if got.Seconds != nil {
		notes = append(notes, got.Seconds.Notes...)
	}
	if got.Still != nil {
		notes = append(notes, got.Still.Notes...)
	}
	for _, note := range notes {
		if text := keyWords.Replace(note); warned(note) {
			result.Warnings = append(result.Warnings, text)
		} else {
			result.Notes = append(result.Notes, text)
		}
	}
	result.Figures = floorFigures(f.sys, p, got, g.Behind())
	if got.Seconds != nil {
		result.Figures = append(result.Figures, floor.Figure{Word: "Cap off, before rounding to what a hand gives",
			Value: measure.Thin(measure.FormatExposure(got.Seconds.duration()))})
	}
	if got.Shot != nil {
		got.Shot.tell(f.sys, p, &result)
	}
	result.Still = stillOf(p, got)
	result.Lit = litOf(f, p, got)
	result.Card = cardAddress(f)
	return result
}

// troubleWords say why the sitter cannot be drawn; of a camera that is not moved no movement is to be taken back.
func troubleWords(err error, set studio.Setting) string {
	still := set.FrontTilt == 0 && set.FrontSwing == 0 && set.BackTilt == 0 && set.BackSwing == 0
	if still && errors.Is(err, optics.ErrNoSpot) {
		return "a part of the sitter is so near or so far off the lens's axis that the plate does not lie across its light; move the camera farther away, or take a smaller plate"
	}
	return err.Error()
}

// setup is the brass and wood of a plan, for the studio's own judgement of what goes together.
func (p planned) setup(sys measure.System, distance, extension measure.Length) studio.Setup {
	return studio.Setup{Plate: p.size, Lens: p.lens, Camera: p.camera, Holder: p.holder, Extension: extension, Units: sys,
		Known: &p.known, Stop: p.stop.Name, Distance: distance, Room: p.posed.room, Setting: p.posed.setting}
}

// geometryOf is what is drawn.
func geometryOf(f *form, p planned, got reckoned) floor.Geometry {
	a := *got.Focus
	g := floor.Geometry{
		Distance: a.Distance, Extension: a.Extension, Room: a.Room, Depth: a.Depth, Front: a.FrontDepth, Rear: a.RearDepth,
		Plate: p.size, Pupil: a.Pupil, Widest: a.Pupil, Units: f.sys, Held: floor.ParseView(f.text("view")),
	}
	for _, stop := range p.known.Stops {
		g.Widest = max(g.Widest, p.known.Focal/measure.Length(stop.Measured))
	}
	if p.camera != nil {
		g.Shortest, g.Longest = p.camera.Shortest, p.camera.Longest
	}
	if p.holder != nil {
		g.Holder = &p.holder.Size
	}
	if got.Shot != nil {
		got.Shot.geometry(&g, p.posed.setting, p.onGlass)
	} else {
		plainSections(&g, p.posed.setting, a)
		g.Face.OnGlass = p.onGlass
	}
	if p.posed.room > 0 {
		left := p.posed.room - a.Room - g.Behind()
		g.RoomLeft = &left
	}
	return g
}

// floorLines say what is chosen in the folded parts.
func floorLines(f *form, p planned) floor.Lines {
	l := floor.Lines{Plate: cmp.Or(f.text("size"), "not said"), Card: cardLine(f, p.lit),
		Pose: p.posed.poseLine(), Moves: p.posed.movesLine(f.sys), Rest: p.posed.restLine(f.sys)}
	return l
}

// tell lays out what the shot shows of the sitter.
func (out *shot) tell(sys measure.System, p planned, r *floor.Result) {
	for _, m := range out.marks {
		row := floor.MarkRow{Name: string(m.Name), State: floor.State(m.State), Outside: !m.Seen,
			Blur: blurText(m.Blur), Airy: blurText(m.WithDiffraction)}
		switch {
		case m.State == scene.Sharp:
		case out.FocusApart(m):
			row.Off = "the least blur there"
		case m.Behind > 0:
			row.Off = "too near"
		default:
			row.Off = "too far"
		}
		r.Marks = append(r.Marks, row)
	}
	on := out.focused()
	if out.FocusApart(on) {
		r.Warnings = append(r.Warnings, "The "+string(on.Name)+" is focused on and not sharp: lines along and across the radius of this field come to a focus apart there, and "+
			blurText(on.Blur)+" is the least blur at this stop. Bring it nearer the lens's axis, or stop down.")
	}
	if on.Name != "" && !on.Seen {
		r.Warnings = append(r.Warnings, "The "+string(on.Name)+", which is focused on, falls beside the plate. Set less rise, fall or shift, or move the camera.")
	}
	if out.faceSeen {
		r.Share = fmt.Sprintf("%d\u2009%% of the face's front is sharp.", int(math.Round(100*out.share)))
	}
	r.Basis = "Field " + p.known.SurfaceBasis.Text + "."
	if out.cover != nil {
		c := out.cover
		r.Circle = "Circle " + measure.Thin(c.Circle.Format(sys))
		if c.Left >= 0 {
			r.Circle += ", " + measure.Thin(c.Left.Format(sys)) + " to spare."
		} else {
			r.Circle += ": the " + optics.CornerName(c.Worst) + " corner on the ground glass is cut by " + measure.Thin((-c.Left).Format(sys)) + "."
		}
	}
	if out.laid {
		r.Laid = "Laid through " + string(p.posed.through[0]) + ", " + string(p.posed.through[1]) + " and " + string(p.posed.through[2]) + ": " + p.posed.movesLine(sys) + "."
	}
}

// blurText writes a blur on the plate to a hundredth of a millimetre, and no finer than two figures.
func blurText(l measure.Length) string {
	if l < 1 {
		return strconv.FormatFloat(float64(l), 'f', 2, 64) + "\u2009mm"
	}
	return figureOf(float64(l), 2) + "\u2009mm"
}

// floorFigures is the table of what was reckoned.
func floorFigures(sys measure.System, p planned, got reckoned, behind measure.Length) []floor.Figure {
	a := *got.Focus
	other := measure.Imperial
	if sys != measure.Metric {
		other = measure.Metric
	}
	long := func(word string, l measure.Length) floor.Figure {
		figure := floor.Figure{Word: word, Value: measure.Thin(l.Format(sys))}
		if again := measure.Thin(l.Format(other)); again != figure.Value { // short lengths are millimetres in both
			figure.Other = again
		}
		return figure
	}
	carded := func(word string, figure floor.Figure) floor.Figure { // on the set-up card too
		figure.OnCard = word
		return figure
	}
	two := func(word string, x, y measure.Length) floor.Figure {
		sides := measure.PlateSize{Width: x, Height: y}
		return floor.Figure{Word: word, Value: measure.Thin(sides.Format(sys)), Other: measure.Thin(sides.Format(other))}
	}
	across, up := a.frame()
	extension, at := got.extension(), ", on the axis"
	if got.Shot != nil {
		// As it is drawn: movements and the curve of the field change it, for they change the extension.
		across, up = got.Shot.frame()
		if got.Shot.depthAt != "" {
			at = ", at the " + string(got.Shot.depthAt)
		}
	}
	board := long("Eyes to lens board", a.Distance+p.known.FrontAhead)
	board.Other = p.known.PlanesBasis.Text
	const deep, to = "Depth of sharpness", "Sharp to"
	depth, far := floor.Figure{Word: deep + at, Value: "without end"}, floor.Figure{Word: to + at, Value: "infinity"}
	if a.Depth != nil && a.Far != nil {
		depth, far = floor.Figure{Word: depth.Word, Value: measure.Thin(a.Depth.FormatDepth(sys))}, long(far.Word, *a.Far)
	}
	depth.Other = "by a blur of " + measure.Thin(a.Blur.String())
	sharp := []floor.Figure{carded("Sharp from", long("Sharp from"+at, a.Near)), carded(to, far), carded(deep, depth)}
	if got.Shot != nil && got.Shot.nothing {
		depth.Value = "none"
		sharp = []floor.Figure{carded(deep, depth)}
	}
	figures := []floor.Figure{
		{Word: "Magnification", OnCard: "Magnification", Value: figureOf(a.Magnification, 3), Other: ratioText(a.Magnification)},
		long("Distance, lens to what is in focus", a.Distance),
		board,
		long("Extension, lens to plate", extension),
		{Word: "Stop at this extension", OnCard: "Stop at this extension", Value: a.EffectiveFNumber.String(), Other: "marked " + p.stop.FNumber.String()},
		{Word: "Bellows", OnCard: "Bellows", Value: measure.Thin(a.Bellows.String()), Other: "already in the seconds"},
	}
	figures = append(figures, sharp...)
	figures = append(figures,
		carded("Frame", two("Fills the plate, across × up", across, up)),
		floor.Figure{Word: "View over the diagonal", Value: figureOf(a.ViewDeg, 3) + "°"},
		floor.Figure{Word: "Same frame on 24 × 36 mm", Value: measure.Thin(a.FramedFocal.Format(measure.Metric)) + ", " + a.FramedFNumber.String(),
			Other: "same view at infinity " + measure.Thin(a.EquivalentFocal.Format(measure.Metric)) + ", " + a.EquivalentFNumber.String()},
		carded("Room", long("Room, wall to eyes, a metre behind the plate in it and nothing behind the eyes", a.Room)),
	)
	if got.Shot != nil {
		figures = append(figures, got.Shot.figures(sys, p, long)...)
	}
	if p.posed.room > 0 {
		left := long("Left of the room behind the sitter", p.posed.room-a.Room-behind)
		figures = append(figures, left)
	}
	return figures
}

// figures are those of the lens's circle and of the camera's place.
func (out *shot) figures(sys measure.System, p planned, long func(string, measure.Length) floor.Figure) []floor.Figure {
	all := []floor.Figure{long("Lens above the floor", out.lensHeight(p.posed.setting))}
	all[0].Other = "eyes " + measure.Thin(out.Figure.EyeHeight.Format(sys)) + " above it"
	if c := out.cover; c != nil {
		circle := long("Lens's circle on the plate", c.Circle)
		circle.OnCard = circle.Word
		circle.Other = "needed " + measure.Thin(c.Needed.Format(sys)) + ", plate's diagonal " + measure.Thin(p.size.Diagonal().Format(sys))
		all = append(all, circle)
	}
	return all
}

// frame is what fills the plate at the distance of what is focused on, as it is drawn: through the middle of the lens.
func (out *shot) frame() (across, up measure.Length) {
	wide := func(s floor.Section) measure.Length { return measure.Length(s.Frame[1] - s.Frame[0]) }
	return wide(out.fromAbove), wide(out.fromSide)
}

// lensHeight is how high the lens stands above the floor: the camera below the eyes, and the lens risen.
func (out *shot) lensHeight(set studio.Setting) measure.Length {
	return out.Figure.EyeHeight - out.below + set.Rise
}
