package studio

import (
	"cmp"
	"slices"
	"time"

	"platewright/measure"
	"platewright/optics"
	"platewright/pose"
)

// Setting is how camera and sitter are to be set for a plate: what is planned of the pose, of the
// standards' movements and of the wait. The zero value is a square camera before a sitter who faces it,
// with nothing said of how they are held. Signs are those of package optics and package pose.
type Setting struct {
	Turn, Nod, Lean measure.Angle  // of the head and trunk: face to the photographer's right, chin down, trunk toward the camera
	Shoulders       measure.Angle  // turned as Turn says; zero is square to the camera
	Body            string         // whose measures, as package pose names them; empty for a grown person
	Percentile      float64        // of those measures, 1 to 99; 0 for the middle one
	Standing        bool           // the sitter stands; else sits on a seat
	Seat            measure.Length // height of the seat; 0 when unknown
	Hands           bool           // the hands are in the picture
	FocusOn         string         // the landmark that is focused on, or one of FocusBetween; empty for the nearer eye

	Aimed bool           // Below is told; otherwise the picture's height proposes it
	Below measure.Length // of the camera's middle below the eyes; negative above them

	Rise  measure.Length // of the lens from the middle of the plate; negative is a fall
	Shift measure.Length // of the lens to the photographer's right

	FrontTilt, FrontSwing, BackTilt, BackSwing measure.Angle

	SitterSupport string        // standing, seated or head rest, as package pose names them; empty when unknown
	Wait          time.Duration // from focusing to the cap coming off
}

// Ways a sitter is held.
const (
	HeldStanding = string(pose.Standing)
	HeldSeated   = string(pose.Seated)
	HeldHeadRest = string(pose.HeadRest)
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

// Limits returns how far the camera's standards go, as package optics takes it.
func (c Camera) Limits() optics.Limits {
	return optics.Limits{FrontTilt: c.FrontTilt, FrontSwing: c.FrontSwing, BackTilt: c.BackTilt, BackSwing: c.BackSwing,
		Rise: c.Rise, Fall: c.Fall, Shift: c.Shift, Shortest: c.Shortest, Longest: c.Longest, BaseTilt: c.BaseTilt}
}

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

// CommonSeat is the height of a seat where none is told: common practice, no source.
const CommonSeat = 450 * measure.Millimetre

// body returns whose measures the setting is for, and at which percentile.
func (s Setting) body() (pose.Who, float64) {
	return cmp.Or(pose.Who(s.Body), pose.Adult), cmp.Or(s.Percentile, 50)
}

// Pose returns the pose as package pose takes it.
func (s Setting) Pose() (pose.Pose, error) {
	body, err := pose.BodyOf(s.body())
	if err != nil {
		return pose.Pose{}, err
	}
	return pose.Pose{Body: body, Turn: s.Turn, Nod: s.Nod, Lean: s.Lean, Shoulders: s.Shoulders,
		Standing: s.Standing, Seat: cmp.Or(s.Seat, CommonSeat), Hands: s.Hands}, nil
}

// FocusBetween returns what the camera may be focused between, instead of on one landmark: so that the foci of all that
// is named lie evenly about the plate.
func FocusBetween() []string {
	return []string{"both eyes", "both eyes and lips", "nose to ear", "whole face"}
}

// landmarks are the places that may be focused on.
var landmarks = [...]pose.Landmark{pose.RightEye, pose.LeftEye, pose.NoseTip, pose.Lips, pose.Chin, pose.RightEar, pose.LeftEar,
	pose.Hairline, pose.Collar, pose.RightShoulder, pose.LeftShoulder, pose.RightHand, pose.LeftHand}

// mostBelow is the farthest the camera's middle is taken to lie below or above the eyes, in millimetres: more than any room
// is high.
const mostBelow = 10_000

func (s Setting) check(ps *problems) {
	for _, a := range []struct {
		field, what      string
		angle, low, high measure.Angle
	}{
		{"turn_deg", "turn", s.Turn, -pose.GreatestTurn, pose.GreatestTurn}, {"shoulders_deg", "turn of the shoulders", s.Shoulders, -pose.GreatestTurn, pose.GreatestTurn},
		{"nod_deg", "nod", s.Nod, -pose.GreatestNod, pose.GreatestNod}, {"lean_deg", "lean", s.Lean, pose.LeastLean, pose.GreatestLean},
		{"front_tilt_deg", "front tilt", s.FrontTilt, -MostTurn, MostTurn}, {"front_swing_deg", "front swing", s.FrontSwing, -MostTurn, MostTurn},
		{"back_tilt_deg", "back tilt", s.BackTilt, -MostTurn, MostTurn}, {"back_swing_deg", "back swing", s.BackSwing, -MostTurn, MostTurn},
	} {
		ps.within(a.field, measure.Within(a.what, a.angle.Degrees(), a.low.Degrees(), a.high.Degrees(), "°"))
	}
	most := float64(mostSlide)
	ps.within("rise_mm", measure.Within("rise", float64(s.Rise), -most, most, "mm"))
	ps.within("shift_mm", measure.Within("shift", float64(s.Shift), -most, most, "mm"))
	ps.within("below_mm", measure.Within("camera below the eyes", float64(s.Below), -mostBelow, mostBelow, "mm"))
	if s.Seat != 0 {
		ps.within("seat_mm", measure.Within("height of the seat", float64(s.Seat), float64(pose.LeastSeat), float64(pose.GreatestSeat), "mm"))
	}
	who, percentile := s.body()
	if outside := measure.Within("percentile", percentile, pose.LeastPercentile, pose.GreatestPercentile, ""); outside != nil {
		ps.within("percentile", outside)
	} else if _, err := pose.BodyOf(who, percentile); err != nil {
		ps.within("body", err)
	}
	if s.FocusOn != "" && !slices.Contains(landmarks[:], pose.Landmark(s.FocusOn)) && !slices.Contains(FocusBetween(), s.FocusOn) {
		ps.add("focus_on", "%q is no place on a sitter that is focused on; the left eye, say, is", s.FocusOn)
	}
	switch pose.Support(s.SitterSupport) {
	case "", pose.Standing, pose.Seated, pose.HeadRest:
	default:
		ps.add("sitter_support", "%q is not known; standing, seated or head rest is", s.SitterSupport)
	}
	ps.within("wait_s", measure.Within("wait", s.Wait.Seconds(), 0, time.Hour.Seconds(), "s"))
}
