package studio

import (
	"math"
	"time"

	"platewright/measure"
	"platewright/optics"
)

// Setting is how camera and sitter are to be set for a plate: what is planned of the pose, of the
// standards' movements and of the wait. The zero value is a square camera before a sitter who faces it,
// with nothing said of how they are held. Signs are those of package optics and package pose.
type Setting struct {
	Turn, Nod, Lean measure.Angle  // of the head and trunk: face to the photographer's right, chin down, trunk toward the camera
	Body            string         // whose measures, as package pose names them; empty for a grown person
	Percentile      float64        // of those measures, 1 to 99; 0 for the middle one
	Standing        bool           // the sitter stands; else sits on a seat
	Seat            measure.Length // height of the seat; 0 when unknown
	Hands           bool           // the hands are in the picture
	FocusOn         string         // the landmark that is focused on; empty for the nearer eye

	Rise  measure.Length // of the lens from the middle of the plate; negative is a fall
	Shift measure.Length // of the lens to the photographer's right

	FrontTilt, FrontSwing, BackTilt, BackSwing measure.Angle

	SitterSupport string        // standing, seated or head rest, as package pose names them; empty when unknown
	Wait          time.Duration // from focusing to the cap coming off
}

// Ways a sitter is held.
const (
	HeldStanding = "standing"
	HeldSeated   = "seated"
	HeldHeadRest = "head rest"
)

// Square tells that no movement is set.
func (s Setting) Square() bool {
	return s.Rise == 0 && s.Shift == 0 && s.FrontTilt == 0 && s.FrontSwing == 0 && s.BackTilt == 0 && s.BackSwing == 0
}

// Camera returns the movements as package optics takes them, for a lens of that focal length at that
// extension.
func (s Setting) Camera(focal, extension measure.Length) optics.Camera {
	return optics.Camera{Focal: focal, Extension: extension,
		Lens: optics.Movement{Tilt: s.FrontTilt, Swing: s.FrontSwing}, Back: optics.Movement{Tilt: s.BackTilt, Swing: s.BackSwing}}
}

// Centre returns where the camera's axis meets the plate: a lens that rises takes it up with it.
func (s Setting) Centre() optics.PlatePoint { return optics.PlatePoint{X: s.Shift, Y: s.Rise} }

// scaled returns the setting with a share of its movements.
func (s Setting) scaled(share float64) Setting {
	for _, l := range []*measure.Length{&s.Rise, &s.Shift} {
		*l *= measure.Length(share)
	}
	for _, a := range []*measure.Angle{&s.FrontTilt, &s.FrontSwing, &s.BackTilt, &s.BackSwing} {
		*a *= measure.Angle(share)
	}
	return s
}

func (s Setting) check(ps *problems) {
	for _, a := range []struct {
		field, what string
		angle       measure.Angle
		most        measure.Angle
	}{
		{"turn_deg", "turn", s.Turn, 90 * measure.Degree}, {"nod_deg", "nod", s.Nod, 45 * measure.Degree}, {"lean_deg", "lean", s.Lean, 45 * measure.Degree},
		{"front_tilt_deg", "front tilt", s.FrontTilt, mostTurn}, {"front_swing_deg", "front swing", s.FrontSwing, mostTurn},
		{"back_tilt_deg", "back tilt", s.BackTilt, mostTurn}, {"back_swing_deg", "back swing", s.BackSwing, mostTurn},
	} {
		most := a.most.Degrees()
		ps.within(a.field, measure.Within(a.what, a.angle.Degrees(), -most, most, "°"))
	}
	most := float64(mostSlide)
	ps.within("rise_mm", measure.Within("rise", float64(s.Rise), -most, most, "mm"))
	ps.within("shift_mm", measure.Within("shift", float64(s.Shift), -most, most, "mm"))
	ps.within("seat_mm", measure.Within("height of the seat", float64(s.Seat), 0, 1500, "mm"))
	if s.Percentile != 0 {
		ps.within("percentile", measure.Within("percentile", s.Percentile, 1, 99, ""))
	}
	ps.text("body", s.Body, 100)
	ps.text("focus_on", s.FocusOn, 100)
	switch s.SitterSupport {
	case "", HeldStanding, HeldSeated, HeldHeadRest:
	default:
		ps.add("sitter_support", "%q is not known; standing, seated or head rest is", s.SitterSupport)
	}
	ps.within("wait_s", measure.Within("wait", s.Wait.Seconds(), 0, math.Round(time.Hour.Seconds()), "s"))
}
