package web

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"platewright/internal/studio"
	"platewright/internal/web/shared"
	"platewright/measure"
	"platewright/optics"
	"platewright/pose"
	"platewright/scene"
)

// posed is how camera and sitter are set, as the form says it. Fields left empty are zero: a square
// camera before a seated grown person who faces it.
type posed struct {
	setting studio.Setting
	blur    measure.Length  // 0 as usual
	room    measure.Length  // wall to wall; 0 unknown
	through []pose.Landmark // what the plane is to be laid through
	lay     bool            // the plane is to be laid now
}

// child is the choice of a child, whose age is asked for apart.
const child = "child"

// readPose reads the parts of the form that set pose, standards and the rest.
func readPose(f *form) posed {
	for name, usual := range map[string]string{"body": string(pose.Adult), "stands": "seated"} {
		if f.text(name) == "" {
			f.Typed.Set(name, usual)
		}
	}
	var p posed
	s := &p.setting
	s.Body = f.oneOf("body", string(pose.Adult), string(pose.Woman), string(pose.Man), child)
	if s.Body == child {
		s.Body = ""
		switch years := f.count("age"); {
		case f.text("age") == "":
			f.refuse("age", "is empty; write the child's age in years")
		case f.Problem("age") != "":
		case years < pose.YoungestChild || years > pose.OldestChild:
			f.refuse("age", "the measures of children run from %d to %d years", pose.YoungestChild, pose.OldestChild)
		default:
			s.Body = string(pose.Child(years))
		}
	}
	s.Turn = f.angle("turn", -pose.GreatestTurn, pose.GreatestTurn)
	s.Nod = f.angle("nod", -pose.GreatestNod, pose.GreatestNod)
	s.Shoulders = f.angle("shoulders", -pose.GreatestTurn, pose.GreatestTurn)
	s.Lean = f.angle("lean", pose.LeastLean, pose.GreatestLean)
	s.Standing = f.oneOf("stands", "seated", "standing") == "standing"
	if !s.Standing {
		s.Seat = f.length("seat")
	}
	s.Hands = f.checked("hands")
	s.SitterSupport = f.oneOf("held", studio.HeldHeadRest)
	switch {
	case s.SitterSupport != "":
	case s.Standing:
		s.SitterSupport = studio.HeldStanding
	default:
		s.SitterSupport = studio.HeldSeated
	}
	s.FocusOn = f.oneOf("focus_on", slices.Concat(studio.FocusBetween(), landmarkNames(true))...)
	if s.FocusOn != "" && !s.Hands && strings.HasSuffix(s.FocusOn, " hand") {
		f.refuse("focus_on", "the hands are left out of the picture; take them in, or focus on something else")
		s.FocusOn = ""
	}
	if f.text("below") != "" {
		s.Below = f.signedLength("below")
		s.Aimed = f.Problem("below") == ""
	}
	s.Rise, s.Shift = f.signedLength("rise"), f.signedLength("shift")
	s.FrontTilt, s.FrontSwing = f.angle("front_tilt", -studio.MostTurn, studio.MostTurn), f.angle("front_swing", -studio.MostTurn, studio.MostTurn)
	s.BackTilt, s.BackSwing = f.angle("back_tilt", -studio.MostTurn, studio.MostTurn), f.angle("back_swing", -studio.MostTurn, studio.MostTurn)
	s.Wait = f.exposure("wait")
	p.blur = f.blur("blur")
	p.room = f.length("room")
	for _, name := range f.Typed["through"] {
		if !slices.Contains(landmarkNames(true), name) {
			f.refuse("through", "%q is not a landmark of the sitter", name)
			continue
		}
		p.through = append(p.through, pose.Landmark(name))
	}
	p.lay = f.checked("lay")
	return p
}

// setFields are the form's fields of pose and standards.
var setFields = []string{"body", "age", "turn", "nod", "shoulders", "lean", "stands", "seat", "held", "hands", "focus_on", "below", "rise", "shift",
	"front_tilt", "front_swing", "back_tilt", "back_swing", "wait"}

// poseRefused tells whether a field of pose or standards cannot be read, so that nothing can be drawn.
func poseRefused(f *form) bool {
	return slices.ContainsFunc(f.Problems, func(p shared.FormProblem) bool {
		return p.Field == "blur" || p.Field == "room" || slices.Contains(setFields, p.Field)
	})
}

// landmarkNames are the landmarks in the order they are offered, from what is focused on most.
func landmarkNames(hands bool) []string {
	all := []pose.Landmark{pose.RightEye, pose.LeftEye, pose.NoseTip, pose.Lips, pose.Chin, pose.RightEar, pose.LeftEar,
		pose.Hairline, pose.Collar, pose.RightShoulder, pose.LeftShoulder}
	if hands {
		all = append(all, pose.RightHand, pose.LeftHand)
	}
	var names []string
	for _, l := range all {
		names = append(names, string(l))
	}
	return names
}

// landmarkOptions are the landmarks one may focus on.
func landmarkOptions() []shared.Option {
	options := []shared.Option{{Value: "", Word: "nearer eye"}}
	for _, name := range studio.FocusBetween() {
		options = append(options, shared.Option{Value: name, Word: focusWord(name)})
	}
	for _, name := range landmarkNames(true) {
		options = append(options, shared.Option{Value: name, Word: name})
	}
	return options
}

// focusWord says what is focused on, where it is one landmark or between several.
func focusWord(name string) string {
	switch {
	case name == "":
		return "nearer eye"
	case name == scene.NoseToEar:
		return "between nose and ear"
	case name == scene.WholeFace:
		return "midway through the face"
	case slices.Contains(studio.FocusBetween(), name):
		return "between " + name
	}
	return name
}

func bodyOptions() []shared.Option {
	return []shared.Option{{Value: string(pose.Adult), Word: "Grown"}, {Value: string(pose.Woman), Word: "Woman"},
		{Value: string(pose.Man), Word: "Man"}, {Value: child, Word: "Child"}}
}

// angle is an angle in degrees, between two others.
func (f *form) angle(name string, low, high measure.Angle) measure.Angle {
	return read(f, name, func(s string) (measure.Angle, error) {
		a, err := parseDegrees(s)
		switch {
		case err != nil:
			return 0, err
		case !(a >= low-sameAngle):
			return 0, fmt.Errorf("%s; the least is %s", s, degrees(low))
		case a > high+sameAngle:
			return 0, fmt.Errorf("%s; the most is %s", s, degrees(high))
		default:
			return min(max(a, low), high), nil
		}
	}, func(measure.Angle) string { return "" })
}

// sameAngle is what rounding makes of an angle.
const sameAngle = 1e-9

// blur is a blur on the plate, in millimetres in every system.
func (f *form) blur(name string) measure.Length {
	return read(f, name,
		func(s string) (measure.Length, error) {
			l, err := measure.ParseLength(s, measure.Millimetre)
			if err == nil {
				err = measure.Within("blur", float64(l), float64(optics.LeastBlur), float64(optics.GreatestBlur), "mm")
			}
			return l, err
		},
		func(l measure.Length) string { return measure.Thin(l.Format(measure.Metric)) })
}

// grown is a sitter of whom nothing is said.
const grown = "grown person"

// poseLine says the pose in a line.
func (p posed) poseLine() string {
	s := p.setting
	words := []string{grown}
	if s.Body != "" && s.Body != string(pose.Adult) {
		words[0] = s.Body
	}
	side := func(a measure.Angle, plus, minus string) {
		switch {
		case a > 0:
			words = append(words, plus+" "+degrees(a))
		case a < 0:
			words = append(words, minus+" "+degrees(-a))
		}
	}
	side(s.Turn, "face to the right", "face to the left")
	side(s.Nod, "chin down", "chin up")
	side(s.Shoulders, "shoulders to the right", "shoulders to the left")
	side(s.Lean, "leaning forward", "leaning back")
	switch {
	case s.Standing:
		words = append(words, "standing")
	default:
		words = append(words, "seated")
	}
	if s.SitterSupport == studio.HeldHeadRest {
		words = append(words, "head rest")
	}
	if s.Hands {
		words = append(words, "hands in the picture")
	}
	switch {
	case s.FocusOn == "":
	case slices.Contains(studio.FocusBetween(), s.FocusOn):
		words = append(words, "focused "+focusWord(s.FocusOn))
	default:
		words = append(words, "focused on the "+s.FocusOn)
	}
	return strings.Join(words, ", ")
}

// movesLine says the movements in a line.
func (p posed) movesLine(sys measure.System) string {
	if p.setting.Square() {
		return "square"
	}
	var words []string
	for _, m := range p.moves(sys) {
		words = append(words, m.word+" "+m.value)
	}
	return strings.Join(words, ", ")
}

// move is a movement that is set: "back tilt", "3.5°".
type move struct {
	front       bool
	word, value string
}

// moves are the movements that are set, in words that carry their sign.
func (p posed) moves(sys measure.System) []move {
	s := p.setting
	var set []move
	slide := func(l measure.Length, plus, minus string) {
		if l != 0 {
			word := plus
			if l < 0 {
				word, l = minus, -l
			}
			set = append(set, move{true, word, measure.Thin(l.Format(sys))})
		}
	}
	slide(s.Rise, "rise", "fall")
	slide(s.Shift, "shift right", "shift left")
	for _, a := range []struct {
		front       bool
		angle       measure.Angle
		plus, minus string
	}{
		{true, s.FrontTilt, "front tilt back", "front tilt forward"}, {true, s.FrontSwing, "front swing, right side back", "front swing, left side back"},
		{false, s.BackTilt, "back tilt back", "back tilt forward"}, {false, s.BackSwing, "back swing, right side back", "back swing, left side back"},
	} {
		if a.angle != 0 {
			word := a.plus
			if a.angle < 0 {
				word, a.angle = a.minus, -a.angle
			}
			set = append(set, move{a.front, word, degrees(a.angle)})
		}
	}
	return set
}

// restLine says the blur, the wait and the room in a line.
func (p posed) restLine(sys measure.System) string {
	blur := p.blur
	if blur == 0 {
		blur = optics.UsualBlur
	}
	words := []string{measure.Thin(blur.Format(measure.Metric))}
	if p.setting.Wait > 0 {
		words = append(words, "wait "+measure.Thin(measure.FormatExposure(p.setting.Wait)))
	}
	if p.room > 0 {
		words = append(words, "room "+measure.Thin(p.room.Format(sys)))
	}
	return strings.Join(words, ", ")
}

// degrees writes an angle to a tenth of a degree.
func degrees(a measure.Angle) string {
	return figureOf(math.Round(a.Degrees()*10)/10, 3) + "°"
}

// setPose writes a setting into the form's fields.
func (f *form) setPose(s studio.Setting) {
	set := func(name, text string) {
		if text != "" {
			f.Typed.Set(name, text)
		}
	}
	if age, ok := strings.CutPrefix(s.Body, "child of "); ok {
		set("body", child)
		set("age", age)
	} else {
		set("body", s.Body)
	}
	f.setAngle("turn", s.Turn)
	f.setAngle("nod", s.Nod)
	f.setAngle("shoulders", s.Shoulders)
	f.setAngle("lean", s.Lean)
	if s.Standing {
		set("stands", "standing")
	}
	if s.Seat > 0 {
		set("seat", s.Seat.Format(f.sys))
	}
	if s.Hands {
		set("hands", "yes")
	}
	if s.SitterSupport == studio.HeldHeadRest {
		set("held", s.SitterSupport)
	}
	set("focus_on", s.FocusOn)
	if s.Aimed {
		set("below", s.Below.Format(f.sys))
	}
	if s.Wait > 0 {
		set("wait", measure.FormatExposure(s.Wait))
	}
	f.setMoves(s)
}

// setMoves writes the movements of a setting into the form's fields.
func (f *form) setMoves(s studio.Setting) {
	for name, l := range map[string]measure.Length{"rise": s.Rise, "shift": s.Shift} {
		f.Typed.Del(name)
		if l != 0 {
			f.Typed.Set(name, l.Format(f.sys))
		}
	}
	f.setAngle("front_tilt", s.FrontTilt)
	f.setAngle("front_swing", s.FrontSwing)
	f.setAngle("back_tilt", s.BackTilt)
	f.setAngle("back_swing", s.BackSwing)
}

// setAngle writes an angle to a hundredth of a degree; one of nought leaves its field empty.
func (f *form) setAngle(name string, a measure.Angle) {
	f.Typed.Del(name)
	if deg := math.Round(a.Degrees()*100) / 100; deg != 0 {
		f.Typed.Set(name, figureOf(deg, 4))
	}
}
