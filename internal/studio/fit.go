package studio

import (
	"fmt"

	"platewright/measure"
)

// sameLength is how much longer a plate's side may be than a holder's before it counts as too long:
// rounding of inches, not play.
const sameLength = 0.05 * measure.Millimetre

// Setup is the brass and wood a plate is planned with. Camera and Holder are nil where none was
// chosen.
type Setup struct {
	Plate     measure.PlateSize
	Lens      Lens
	Camera    *Camera
	Holder    *Holder
	Extension measure.Length // rear principal plane to plate, as reckoned
	Units     measure.System // of the figures in what is said
}

// CircleAt returns the lens's circle of good definition on a plate at this extension; 0 when it is
// unknown. The circle is a cone's section: it grows with the extension.
func (s Setup) CircleAt() measure.Length {
	if s.Lens.Focal <= 0 {
		return 0
	}
	return s.Lens.Circle * measure.Length(s.Extension.Over(s.Lens.Focal))
}

// Misfits tells what does not go together, each with its figures and what may be done. It takes lens
// board and principal planes as one, which in a long-barrelled lens they are not: within a barrel's
// length it may be wrong either way. Nothing here refuses a plan.
func (s Setup) Misfits() []Problem {
	var found []Problem
	say := func(field, hint, format string, args ...any) {
		found = append(found, Problem{Field: field, Sentence: fmt.Sprintf(format, args...), Hint: hint})
	}
	long := func(l measure.Length) string { return measure.Thin(l.Format(s.Units)) }
	sides := func(p measure.PlateSize) string { return measure.Thin(p.Format(s.Units)) }
	if c := s.Camera; c != nil {
		switch {
		case s.Extension > c.Longest:
			say("camera", "Take less of the sitter's size, a shorter lens, or a camera that draws out further.",
				"The bellows of %s draws out to %s; this needs %s, %s more.", c.Name, long(c.Longest), long(s.Extension), long(s.Extension-c.Longest))
		case s.Extension < c.Shortest:
			say("camera", "Go nearer, take a longer lens, or a board that sits deeper.",
				"The bellows of %s closes to %s; this needs %s, %s less.", c.Name, long(c.Shortest), long(s.Extension), long(c.Shortest-s.Extension))
		}
		if !goesInto(s.Plate, c.Back) {
			say("camera", "Take a smaller plate or a larger camera.", "The back of %s takes %s; the plate is %s.", c.Name, sides(c.Back), sides(s.Plate))
		}
	}
	if h := s.Holder; h != nil && !goesInto(s.Plate, h.Size) {
		say("holder", "Take another holder or a smaller plate.", "%s takes %s; the plate is %s.", h.Name, sides(h.Size), sides(s.Plate))
	}
	if circle := s.CircleAt(); circle > 0 && circle < s.Plate.Diagonal() {
		say("lens", "Its corners will be soft or dark: take a smaller plate, go nearer, or mean it so.",
			"%s is good over a circle of %s at this extension; the plate's diagonal is %s.", s.Lens.Name, long(circle), long(s.Plate.Diagonal()))
	}
	return found
}

// goesInto tells whether a plate goes into an opening, either way round.
func goesInto(plate, opening measure.PlateSize) bool {
	return plate.LongSide() <= opening.LongSide()+sameLength && plate.ShortSide() <= opening.ShortSide()+sameLength
}
