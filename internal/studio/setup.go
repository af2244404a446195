package studio

import (
	"fmt"
	"math"
	"strings"

	"platewright/measure"
	"platewright/optics"
)

// Setup is the brass and wood a plate is planned with, and how it is set. Camera and Holder are nil where
// none was chosen.
type Setup struct {
	Plate     measure.PlateSize
	Lens      Lens
	Camera    *Camera
	Holder    *Holder
	Extension measure.Length // rear principal plane to plate, as reckoned
	Units     measure.System // of the figures in what is said

	Known    *LensKnown     // what is known of the lens; nil takes it as written down
	Stop     string         // name of the stop in it; empty for the widest
	Distance measure.Length // front principal plane to the sitter's eye plane; 0 says nothing of the room
	Room     measure.Length // depth of the room; 0 when unknown
	Setting  Setting        // the movements
}

// behindCamera is what is kept free behind the plate for the one who works there, as the reckoning of the
// focus keeps it: common practice, no source.
const behindCamera = measure.Metre

// sameTurn is how much a standard may lean or turn beyond what it can before that is said: less than its
// scale shows.
const sameTurn = 0.05 * measure.Degree

func (s Setup) known() LensKnown {
	if s.Known != nil {
		return *s.Known
	}
	return asWritten(s.Lens)
}

// cone returns what the lens covers at the stop that is in it; false when that is unknown.
func (s Setup) cone() (optics.Lens, optics.Coverage, bool) {
	k := s.known()
	for _, st := range k.Stops {
		if s.Stop == "" || st.Name == s.Stop {
			c, ok := st.Coverage()
			return optics.Lens{Focal: k.Focal, Stop: st.Measured, PupilMag: k.PupilMag}, c, ok
		}
	}
	l := optics.Lens{Focal: k.Focal, Stop: 8, PupilMag: k.PupilMag} // the stop does not enter
	if s.Lens.Circle <= 0 || l.Check() != nil {
		return l, optics.Coverage{}, false
	}
	return l, optics.CoverageOf(s.Lens.Circle, l), true
}

// CircleAt returns the diameter of the lens's circle of good definition on a plate that stands square at
// this extension; 0 when it is unknown. The circle is a cone's section: it grows with the extension.
func (s Setup) CircleAt() measure.Length {
	l, c, ok := s.cone()
	if !ok || l.Focal <= 0 {
		return 0
	}
	behind := float64(s.Extension) + float64(l.Focal)*(l.PupilMag-1) // exit pupil to plate
	return measure.Length(max(0, 2*behind*math.Tan(float64(c.Half))))
}

// Draw returns how far the bellows is drawn out, lens board to plate, and whether it is known where the
// lens's rear principal plane lies; where it is not, that plane is taken to lie at the board, which in a
// long-barrelled lens may be wrong by the barrel's length, either way.
func (s Setup) Draw() (draw measure.Length, known bool) {
	k := s.known()
	return s.Extension - k.RearAhead, k.PlanesBasis.Kind != ByNothing
}

// Misfits tells what does not go together, each with its figures and what would make it possible.
// Nothing here refuses a plan.
func (s Setup) Misfits() []Problem {
	var found misfits
	if c := s.Camera; c != nil {
		s.bellows(c, &found)
		if !goesInto(s.Plate, c.Back) {
			found.say("camera", "Take a smaller plate or a larger camera.", "The back of %s takes %s; the plate is %s.", c.Name, s.sides(c.Back), s.sides(s.Plate))
		}
		s.movements(c, &found)
	}
	if h := s.Holder; h != nil && !goesInto(s.Plate, h.Size) {
		found.say("holder", "Take another holder or a smaller plate.", "%s takes %s; the plate is %s.", h.Name, s.sides(h.Size), s.sides(s.Plate))
	}
	s.coverage(&found)
	if need := s.Distance + s.Extension + behindCamera; s.Distance > 0 && s.Room > 0 && need > s.Room+sameLength {
		found.say("room", s.forRoom(),
			"From the sitter's eyes to the plate it is %s; with %s behind the camera that asks for a room %s deep, and this one has %s. What stands behind the sitter is not counted.",
			s.long(s.Distance+s.Extension), s.long(behindCamera), s.long(need), s.long(s.Room))
	}
	return found
}

// forRoom says what would make a sitting fit into the room. From the sitter to the plate a lens takes f(2 + m + 1/m)
// and the way between its principal planes, which is left out here: least at life size, four focal lengths.
func (s Setup) forRoom() string {
	const others = "a shorter lens, or work along the room's longer side."
	f := s.known().Focal
	switch {
	case f <= 0:
	case 4*f+behindCamera > s.Room+sameLength:
		return "No size of image fits here with this lens: take " + others
	case s.Extension > 2*f:
		return "Take a smaller image, nearer life size, for beyond it the plate moves away faster than the sitter comes nearer; or " + others
	}
	return "Take more of the sitter's size, which brings the camera nearer, or " + others
}

type misfits []Problem

func (m *misfits) say(field, hint, format string, args ...any) {
	*m = append(*m, Problem{Field: field, Sentence: fmt.Sprintf(format, args...), Hint: hint})
}

func (s Setup) long(l measure.Length) string { return measure.Thin(l.Format(s.Units)) }

func (s Setup) sides(p measure.PlateSize) string { return measure.Thin(p.Format(s.Units)) }

func turned(a measure.Angle) string { return fmt.Sprintf("%.3g°", a.Degrees()) }

func absolute[T ~float64](v T) T { return T(math.Abs(float64(v))) }

func (s Setup) bellows(c *Camera, found *misfits) {
	draw, known := s.Draw()
	where := ""
	if known && draw != s.Extension {
		where = " from lens board to plate"
	}
	switch {
	case draw > c.Longest:
		found.say("camera", "Take less of the sitter's size, a shorter lens, or a camera that draws out further.",
			"The bellows of %s draws out to %s; this needs %s%s, %s more.", c.Name, s.long(c.Longest), s.long(draw), where, s.long(draw-c.Longest))
	case draw < c.Shortest:
		found.say("camera", "Go nearer, take a longer lens, or a board that sits deeper.",
			"The bellows of %s closes to %s; this needs %s%s, %s less.", c.Name, s.long(c.Shortest), s.long(draw), where, s.long(c.Shortest-draw))
	}
}

// movements tells which of the camera's standards would have to go further than it does.
func (s Setup) movements(c *Camera, found *misfits) {
	set := s.Setting
	// What its scales show: of a tilt with a swing that hangs on which axis carries the other.
	moved, limits := set.Camera(s.Lens.Focal, s.Extension), c.Limits()
	frontTilt, frontSwing := limits.Read(moved.Lens)
	backTilt, backSwing := limits.Read(moved.Back)
	const sitter = "turn the sitter"
	for _, m := range []struct {
		what, move, other string
		asked, has, spare measure.Angle // spare: how far the other standard goes
		more              string
	}{
		{"front tilt", "tilt", "back", frontTilt, c.FrontTilt, c.BackTilt, ""},
		{"front swing", "swing", "back", frontSwing, c.FrontSwing, c.BackSwing, sitter},
		{"back tilt", "tilt", "front", backTilt, c.BackTilt, c.FrontTilt, ""},
		{"back swing", "swing", "front", backSwing, c.BackSwing, c.FrontSwing, sitter},
	} {
		asked := absolute(m.asked)
		var ways []string
		if m.spare+sameTurn >= asked {
			ways = append(ways, m.move+" the "+m.other)
		}
		if min(m.has, m.spare)+sameTurn >= asked/2 {
			ways = append(ways, m.move+" both by half")
		}
		if len(ways) == 0 {
			ways = append(ways, m.move+" it less")
		}
		if m.more != "" {
			ways = append(ways, m.more)
		}
		hint := strings.Join(ways, ", or ")
		hint = strings.ToUpper(hint[:1]) + hint[1:]
		switch {
		case asked <= m.has+sameTurn:
		case m.has == 0:
			found.say("camera", hint+"; if it has one, write down how far it goes.", "%s has no %s; this asks for %s.", c.Name, m.what, turned(asked))
		default:
			found.say("camera", hint+", or take a camera that goes further.", "%s has %s of %s; this asks for %s, %s more.",
				c.Name, turned(m.has), m.what, turned(asked), turned(asked-m.has))
		}
	}
	type slide struct {
		what       string
		asked, has measure.Length
		way        string
	}
	slides := []slide{{"rise", set.Rise, c.Rise, "up"}, {"shift", absolute(set.Shift), c.Shift, "aside"}}
	if set.Rise < 0 {
		slides[0] = slide{"fall", -set.Rise, c.Fall, "down"}
	}
	for _, m := range slides {
		missing := m.asked - m.has
		if missing <= sameLength {
			continue
		}
		hint := "Set less of it, or take a camera that goes further."
		if k := s.known(); s.Extension > k.Focal && k.Focal > 0 {
			// An image moves on the plate by the magnification times the way of the whole camera.
			moved := missing * k.Focal / (s.Extension - k.Focal)
			hint = fmt.Sprintf("Move the whole camera %s by %s instead of what is missing, or take a camera that goes further.", m.way, s.long(moved))
		}
		if m.has == 0 {
			found.say("camera", hint, "%s has no %s; this asks for %s.", c.Name, m.what, s.long(m.asked))
		} else {
			found.say("camera", hint, "%s has %s of %s; this asks for %s, %s more.", c.Name, s.long(m.has), m.what, s.long(m.asked), s.long(missing))
		}
	}
}

// coverage tells when the lens's circle does not hold the plate as it stands.
func (s Setup) coverage(found *misfits) {
	l, cone, ok := s.cone()
	if !ok {
		return
	}
	soft := "Its corners will be soft or dark: take a smaller plate, go nearer, or mean it so."
	if circle := s.CircleAt(); s.Setting.Square() {
		if circle < s.Plate.Diagonal() {
			found.say("lens", soft, "%s is good over a circle of %s at this extension; the plate's diagonal is %s.", s.Lens.Name, s.long(circle), s.long(s.Plate.Diagonal()))
		}
		return
	}
	cover, err := s.optical(l).Covers(cone)
	switch {
	case err != nil:
		found.say("lens", "Set less of the movements.", "With these movements %s draws no picture on the plate: %v.", s.Lens.Name, err)
		return
	case cover.Left >= 0:
		return
	}
	share := s.movedShare(l, cone)
	hint := soft
	if share > 0 {
		hint = fmt.Sprintf("It holds the plate up to %.0f%% of these movements: %s. Else its corners will be soft or dark: take a smaller plate, go nearer, or mean it so.",
			math.Floor(100*share), s.moved(share))
	}
	found.say("lens", hint, "%s is good over a circle of %s at this extension; moved so, the plate needs %s, and its %s corner on the ground glass is cut by %s.",
		s.Lens.Name, s.long(cover.Circle), s.long(cover.Needed), optics.CornerName(cover.Worst), s.long(-cover.Left))
}

func (s Setup) optical(l optics.Lens) optics.Setup {
	return optics.Setup{Lens: l, Camera: s.Setting.Camera(l.Focal, s.Extension), Plate: s.Plate, Centre: s.Setting.Centre()}
}

// movedShare returns the greatest share of the movements at which the circle still holds the plate; 0 when
// it does not even on a square camera.
func (s Setup) movedShare(l optics.Lens, cone optics.Coverage) float64 {
	holds := func(share float64) bool {
		part := s
		part.Setting = s.Setting.scaled(share)
		cover, err := part.optical(l).Covers(cone)
		return err == nil && cover.Left >= 0
	}
	if !holds(0) {
		return 0
	}
	low, high := 0.0, 1.0
	for range 20 { // to a millionth
		if mid := (low + high) / 2; holds(mid) {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// moved names the movements at a share of what they are, in figures that do not exceed it.
func (s Setup) moved(share float64) string {
	part := s.Setting.scaled(share)
	var said []string
	for _, m := range []struct {
		what  string
		slide measure.Length
	}{{"rise", part.Rise}, {"fall", -part.Rise}, {"shift", part.Shift}, {"shift to the left", -part.Shift}} {
		if m.slide > 0 {
			said = append(said, s.long(measure.Length(math.Floor(float64(m.slide))))+" of "+m.what)
		}
	}
	for _, m := range []struct {
		what string
		turn measure.Angle
	}{{"front tilt", part.FrontTilt}, {"front swing", part.FrontSwing}, {"back tilt", part.BackTilt}, {"back swing", part.BackSwing}} {
		if m.turn != 0 {
			said = append(said, turned(measure.Angle(math.Floor(absolute(m.turn).Degrees()*10)/10)*measure.Degree)+" of "+m.what)
		}
	}
	return strings.Join(said, ", ")
}

// sameExtension is how far apart two extensions may be that are set as one on a rail.
const sameExtension = 0.5 * measure.Millimetre

// Differs tells that a plate was planned with another extension than its lens and setting ask for by what is known of
// them now.
func (p Plan) Differs(now measure.Length, units measure.System) (Problem, bool) {
	if p.Extension == 0 || math.Abs(float64(now-p.Extension)) <= float64(sameExtension) {
		return Problem{}, false
	}
	return Problem{Field: "lens",
		Sentence: fmt.Sprintf("This plate was planned with %s from lens to plate; by what is known of the lens now it is %s.",
			measure.Thin(p.Extension.Format(units)), measure.Thin(now.Format(units))),
		Hint: "Focus on the ground glass."}, true
}
