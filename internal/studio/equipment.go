package studio

import (
	"platewright/measure"
	"platewright/optics/trace"
)

// Stop is an opening of a lens: a Waterhouse stop or a setting of its iris.
type Stop struct {
	Name    string // as it is engraved or called; "f/4.5" when it has no other name
	FNumber measure.FNumber
}

// Lens is a lens the studio owns, with its stops from the widest down, as it is written down. What the
// bench found out about it is in its readings; [Known] puts the two together.
type Lens struct {
	ID       ID
	Name     string
	Form     string // "portrait, two cells apart", "rapid rectilinear" ... as the studio calls it
	Design   string // key of the form of optics/trace it is built like; empty when unknown
	Focal    measure.Length
	PupilMag float64        // exit pupil over entrance pupil; 1 when unknown
	Circle   measure.Length // diameter of good definition at infinity; 0 when unknown
	Stops    []Stop

	Barrel     measure.Length // from the rim of the front glass to that of the rear glass; 0 when unknown
	FrontGlass measure.Length // clear diameter of the front glass; 0 when unknown
	RearGlass  measure.Length // clear diameter of the rear glass; 0 when unknown
	BoardAhead measure.Length // how far the middle of the principal planes lies ahead of the lens board, toward the sitter; negative behind it; 0 takes them as one

	FocalGuessed bool // Focal is a guess, neither engraved nor measured, until the bench has measured it

	Note    string
	Retired bool
	Stamp
}

func (l Lens) check() error {
	var ps problems
	ps.name("name", l.Name)
	ps.text("form", l.Form, 200)
	if _, err := trace.FormOf(l.Design); l.Design != "" && err != nil {
		ps.add("design", "%v", err)
	}
	ps.text("note", l.Note, 4000)
	ps.within("focal_mm", measure.Within("focal length", float64(l.Focal), 10, 5000, "mm"))
	ps.within("pupil_mag", measure.Within("pupil magnification", l.PupilMag, 0.2, 5, ""))
	ps.within("circle_mm", measure.Within("circle", float64(l.Circle), 0, 5000, "mm"))
	ps.within("barrel_mm", measure.Within("barrel", float64(l.Barrel), 0, 2000, "mm"))
	ps.within("front_glass_mm", measure.Within("front glass", float64(l.FrontGlass), 0, 1000, "mm"))
	ps.within("rear_glass_mm", measure.Within("rear glass", float64(l.RearGlass), 0, 1000, "mm"))
	ps.within("board_ahead_mm", measure.Within("principal planes ahead of the board", float64(l.BoardAhead), -2000, 2000, "mm"))
	if len(l.Stops) == 0 {
		ps.add("stops", "are missing; a lens needs at least its full opening, as f/4.5")
	}
	for _, s := range l.Stops {
		ps.within("stops", measure.Within("stop "+s.Name, float64(s.FNumber), 0.5, 256, ""))
	}
	return ps.err()
}

// Stop returns the stop of that name.
func (l Lens) Stop(name string) (Stop, bool) {
	for _, s := range l.Stops {
		if s.Name == name {
			return s, true
		}
	}
	return Stop{}, false
}

// Camera is a camera with the reach of its bellows and of its standards' movements. A movement of zero
// is one it does not have.
type Camera struct {
	ID       ID
	Name     string
	Back     measure.PlateSize // the largest plate its back takes
	Shortest measure.Length    // least extension, lens board to plate
	Longest  measure.Length    // greatest extension

	FrontTilt  measure.Angle  // farthest the lens board leans, either way
	FrontSwing measure.Angle  // farthest it turns, either way
	BackTilt   measure.Angle  // farthest the back leans, either way
	BackSwing  measure.Angle  // farthest it turns, either way
	Rise       measure.Length // farthest the lens board goes up from the middle of the plate
	Fall       measure.Length // and down
	Shift      measure.Length // and to either side
	BaseTilt   bool           // its standards tilt at their foot, so that the middle moves too; else about the middle

	Note    string
	Retired bool
	Stamp
}

// The most that a camera's movements may be: beyond any that is built, and a guard against a wrong unit.
const (
	MostTurn  = 60 * measure.Degree
	mostSlide = 500 * measure.Millimetre
)

func (c Camera) check() error {
	var ps problems
	ps.name("name", c.Name)
	ps.text("note", c.Note, 4000)
	ps.size("back", c.Back)
	ps.within("shortest_mm", measure.Within("shortest extension", float64(c.Shortest), 10, 5000, "mm"))
	ps.within("longest_mm", measure.Within("longest extension", float64(c.Longest), 10, 5000, "mm"))
	if c.Longest < c.Shortest {
		ps.add("longest_mm", "%g mm is less than the shortest extension, %g mm", float64(c.Longest), float64(c.Shortest))
	}
	for _, m := range []struct {
		field, what string
		most        measure.Angle
	}{
		{"front_tilt_deg", "front tilt", c.FrontTilt}, {"front_swing_deg", "front swing", c.FrontSwing},
		{"back_tilt_deg", "back tilt", c.BackTilt}, {"back_swing_deg", "back swing", c.BackSwing},
	} {
		ps.within(m.field, measure.Within(m.what, m.most.Degrees(), 0, MostTurn.Degrees(), "°"))
	}
	for _, m := range []struct {
		field, what string
		most        measure.Length
	}{{"rise_mm", "rise", c.Rise}, {"fall_mm", "fall", c.Fall}, {"shift_mm", "shift", c.Shift}} {
		ps.within(m.field, measure.Within(m.what, float64(m.most), 0, float64(mostSlide), "mm"))
	}
	return ps.err()
}

// Check tells all that is wrong with a record by itself as [*Invalid], or nothing: what adding or
// changing it would refuse first. A form asks it beside what could not be read.
func (l Lens) Check() error { return readyLens(l).check() }

// Check is [Lens.Check] for a camera.
func (c Camera) Check() error { return c.check() }
