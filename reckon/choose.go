package reckon

import (
	"fmt"
	"slices"
	"time"

	"platewright/light"
	"platewright/measure"
	"platewright/optics"
	"platewright/pose"
	"platewright/scene"
)

type chooseQuestion struct {
	Sharp         sharpWish        `json:"sharp" doc:"what must be sharp"`
	Framing       framingWish      `json:"framing" doc:"how much of the sitter the plate's long side shows"`
	Plate         Plate            `json:"plate" doc:"the plate, by trade name or by its sides"`
	Pose          poseQuestion     `json:"pose" default:"{}" doc:"how the sitter holds the head and trunk"`
	Body          bodyQuestion     `json:"body" default:"{}" doc:"how large the sitter is"`
	Second        *secondQuestion  `json:"second" doc:"a second head like the sitter's, in the same pose"`
	Support       string           `json:"support" default:"\"seated\"" enum:"standing|seated|head rest" doc:"what steadies the sitter"`
	WaitS         float64          `json:"wait_s" default:"60" range:"[0,3600]" doc:"from focusing to the cap coming off"`
	IncidentLx    *float64         `json:"incident_lx" one:"light" range:"[0.01,250000]" doc:"steady light at the sitter's face, receptor toward the camera"`
	EV100         *float64         `json:"ev100" one:"light" range:"[-8,17]" doc:"the same as an exposure value at index 100"`
	FlashLxs      *float64         `json:"flash_lxs" one:"light" range:"[0.01,1000000]" doc:"the most that the flash gives at the sitter's face, in all its pops"`
	ExposureIndex float64          `json:"exposure_index" range:"[0.01,100]" doc:"the plate's speed in this kind of light"`
	ActinicStops  float64          `json:"actinic_stops" default:"0" range:"[-10,10]" doc:"what this light does to the plate beyond the light the index was found in"`
	LongestS      *float64         `json:"longest_s" range:"[0.01,3600]" doc:"the longest exposure that is given in steady light; left out: any"`
	RoomMm        *float64         `json:"room_mm" range:"[500,100000]" doc:"depth of the room; left out: not looked at"`
	BlurMm        *float64         `json:"blur_mm" range:"[0.0001,10]" doc:"largest blur disc on the plate that is called sharp; left out: 0.10 at 250 mm viewing distance, in proportion to viewing_mm"`
	ViewingMm     float64          `json:"viewing_mm" default:"250" range:"[25,10000]" doc:"distance the plate will be looked at from"`
	Swirl         *string          `json:"swirl" enum:"much|little" doc:"whether a swirling background is wanted or not; left out: it does not count"`
	Lenses        []lensQuestion   `json:"lenses" items:"1,200" doc:"the lenses there are"`
	Cameras       []cameraQuestion `json:"cameras" default:"[]" items:"0,50" doc:"the cameras there are; none: one that does everything"`
	Show          int              `json:"show" default:"12" range:"[1,500]" doc:"how many choices are listed"`
}

type sharpWish struct {
	Either
	Named  *string   `enum:"both eyes|both eyes and lips|nose to ear|whole face|two heads" doc:"by name; nose to ear takes the nearer ear, two heads the eyes of both"`
	Listed *[]string `items:"1,13" enum:"right eye|left eye|nose tip|lips|chin|right ear|left ear|hairline|collar|right shoulder|left shoulder|right hand|left hand" doc:"landmarks, right and left being the sitter's; of both heads when there is a second"`
}

type framingWish struct {
	Either
	Named  *string       `enum:"head|head and shoulders|bust|half length" doc:"by name, for a sitter of that size"`
	Height *framingSides `doc:"as a range of heights"`
}

type framingSides struct {
	LeastMm    float64 `json:"least_mm" range:"[50,5000]" doc:"least height of subject on the plate's long side"`
	GreatestMm float64 `json:"greatest_mm" range:"[50,5000]" doc:"greatest height of subject on the plate's long side"`
}

type secondQuestion struct {
	AcrossMm float64 `json:"across_mm" range:"[-3000,3000]" doc:"to the photographer's right of the sitter's"`
	AboveMm  float64 `json:"above_mm" default:"0" range:"[-1000,1000]" doc:"above the sitter's"`
	BehindMm float64 `json:"behind_mm" default:"0" range:"[0,5000]" doc:"behind the sitter's, away from the camera"`
}

type lensQuestion struct {
	Name       string    `json:"name" doc:"what it is called"`
	FocalMm    float64   `json:"focal_mm" range:"[10,5000]" doc:"focal length"`
	Stops      []float64 `json:"stops" items:"1,30" range:"[0.5,256]" doc:"its marked f-numbers"`
	PupilMag   float64   `json:"pupil_mag" default:"1" range:"[0.1,10]" doc:"exit pupil over entrance pupil"`
	CircleMm   *float64  `json:"circle_mm" range:"[5,5000]" doc:"diameter of the circle it covers, focused at infinity; left out: unknown"`
	CurveMm    *float64  `json:"curve_mm" range:"[-1000000,1000000]" doc:"radius of the focal surface on the plate's side, positive when the edges focus nearer the lens, 10 or more to either side; left out: flat"`
	BarrelMm   *float64  `json:"barrel_mm" range:"[1,2000]" doc:"distance between the rims of its front and rear glass; left out: unknown"`
	FrontGlass *float64  `json:"front_glass_mm" range:"[1,2000]" doc:"clear diameter of the front glass"`
	RearGlass  *float64  `json:"rear_glass_mm" range:"[1,2000]" doc:"clear diameter of the rear glass"`
}

type cameraQuestion struct {
	Name       string   `json:"name" doc:"what it is called"`
	Back       *Plate   `json:"back" doc:"the largest plate it takes, lying or upright; left out: any"`
	ShortestMm *float64 `json:"shortest_mm" range:"[1,10000]" doc:"shortest extension; left out: any"`
	LongestMm  *float64 `json:"longest_mm" range:"[1,10000]" doc:"longest extension; left out: any"`
	BackTilt   float64  `json:"back_tilt_deg" default:"0" range:"[0,60]" doc:"greatest tilt of the back, either way; 0 is a fixed back"`
	BackSwing  float64  `json:"back_swing_deg" default:"0" range:"[0,60]" doc:"greatest swing of the back"`
	FrontTilt  float64  `json:"front_tilt_deg" default:"0" range:"[0,60]" doc:"greatest tilt of the lens board"`
	FrontSwing float64  `json:"front_swing_deg" default:"0" range:"[0,60]" doc:"greatest swing of the lens board"`
	BaseTilt   bool     `json:"base_tilt" default:"false" doc:"the swing axis leans with the tilt; otherwise the tilt axis turns with the swing"`
}

type chooseAnswer struct {
	Choices     []choice  `json:"choices" doc:"the first of all ways to make the picture, the best at the head"`
	BestCount   int       `json:"best_count" doc:"how many are best: no other is as good in every respect and better in one, and one of the targets is sharp and keeps so in a hundredth of such plates, if that can be said of any"`
	ChoiceCount int       `json:"choice_count" doc:"how many there are in all"`
	Refused     []refused `json:"refused" doc:"what cannot make the picture, and what would make it possible"`
	FrameMm     span      `json:"framing_mm" doc:"the range of heights on the plate's long side that was looked at"`
	BlurMm      float64   `json:"blur_mm" doc:"the blur that was called sharp"`
	Notes       []string  `json:"notes" doc:"what to know about this answer"`
}

// span is a least and a greatest value.
type span [2]float64

type choice struct {
	Lens          string          `json:"lens" doc:"its name"`
	Cameras       []string        `json:"cameras" doc:"the cameras that can do it"`
	FNumber       measure.FNumber `json:"f_number" doc:"the stop"`
	Moves         scene.Moves     `json:"moves" doc:"which movements it uses: square, swing, or tilt and swing"`
	TiltDeg       float64         `json:"tilt_deg" doc:"tilt of the back, its slope, positive when its top leans backward"`
	SwingDeg      float64         `json:"swing_deg" doc:"swing of the back, its slope, positive when its right-hand side is turned backward"`
	FrontTilt     float64         `json:"front_tilt_deg" doc:"tilt of the lens board"`
	FrontSwing    float64         `json:"front_swing_deg" doc:"swing of the lens board"`
	DistanceMm    measure.Length  `json:"distance_mm" doc:"front principal plane to the plane of the sitter's nearer eye"`
	FocusBehindMm measure.Length  `json:"focus_behind_mm" doc:"how far behind that eye the sharpest place lies, negative before it: between the targets"`
	ExtensionMm   measure.Length  `json:"extension_mm" doc:"rear principal plane to the plate"`
	Magnification float64         `json:"magnification" doc:"in the plane of the sitter's nearer eye"`
	FrameMm       measure.Length  `json:"frame_height_mm" doc:"what fills the plate's long side at the sitter"`
	RoomMm        measure.Length  `json:"room_mm" doc:"depth of room it takes"`
	Targets       []target        `json:"targets" doc:"what was to be sharp, as it comes out"`
	TargetShare   float64         `json:"target_share" doc:"share of the targets that is sharp"`
	FaceShare     float64         `json:"face_share" doc:"sharp share of the face's front, by area"`
	AllSharp      bool            `json:"all_sharp" doc:"whether all targets are sharp"`
	Stillness     float64         `json:"stillness" doc:"chance that what is sharp of the targets keeps within its depth through waiting and exposure"`
	PlayMm        measure.Length  `json:"play_mm" doc:"how far toward the camera and away the sitter may move with that"`
	NoSmear       float64         `json:"no_smear" doc:"chance that moving across smears no more than the blur called sharp"`
	SmearMm       measure.Length  `json:"smear_mm" doc:"width of the smear that is to be expected on the plate, as smear_mm of the reckoning stillness"`
	Seconds       *light.Seconds  `json:"seconds" unit:"s" doc:"time the cap is off; null with a flash"`
	NeededLxs     float64         `json:"needed_lxs" doc:"light-sum it takes at the sitter's face"`
	SpareStops    *measure.Stops  `json:"spare_stops" doc:"what is left of the longest exposure or of the flash; null when there is no limit"`
	SwirlCorner   *float64        `json:"swirl_corner" doc:"how narrow the cat's eye is at the plate's worst corner, 0 round to 1 dark; null when the rims are not known"`
	SwirlFace     *float64        `json:"swirl_face" doc:"the same at the outermost target"`
	CircleLeftMm  *measure.Length `json:"circle_left_mm" doc:"least margin of the lens's circle beyond a corner; null when the circle is not known"`
	Best          bool            `json:"best" doc:"no other choice is as good in every respect and better in one"`
	Score         float64         `json:"score" doc:"target_share by stillness by blur_mm over blur_mm and smear_mm in quadrature"`
	Trade         string          `json:"trade" doc:"against the first of all; of the first, what a stop more or less would trade"`
}

type target struct {
	Name   string         `json:"name" doc:"the landmark"`
	BlurMm measure.Length `json:"blur_mm" doc:"its blur on the plate"`
	State  scene.State    `json:"state" doc:"sharp, soft or gone"`
}

type refused struct {
	Lens   string `json:"lens" doc:"its name"`
	Camera string `json:"camera" doc:"on this camera; empty when no camera is at fault"`
	Why    string `json:"why" doc:"what stands in the way and what would make it possible"`
}

// choose asks which lens, stop, distance and movement can make a wanted picture. Spots are those of
// sharpness, times those of seconds [ISO2720], stillness that of package pose.
func choose() *Reckoning {
	return define(Spec{
		Name:    "choose",
		Title:   "which lens, stop, distance and movement can make this picture",
		Summary: "From what must be sharp, the framing, the plate, the light, the room and what the studio owns to every way of making the picture, ranked, with what each trades; and what cannot make it, and why.",
		Model: "Every lens at every stop, at up to three distances within the framing, square and with the movements that bring the targets nearest to one plane. " +
			"Best are those that no other equals in target_share, stillness (to a hundredth), light needed (to two figures) and, if told, swirl, while being better in one; none with no target sharp, or with a stillness below 0.01, is best while another is not so. " +
			"Best and rest are each in order of score, in which share, stillness and smear tell; of equals the one that needs less light is first. The lens is square before the plate's middle, the eyes a third of the way down (nearer the top of more than half a metre), " +
			"and it is focused midway between the targets. A room holds 1 m behind the plate and 0.5 m behind the sitter's eyes (common practice, no source). " +
			"Spherical aberration and the fall of light at the edges are not in it.",
		Sources: []string{"PupilDof04", "ViewFocus1996", "ISO2720", "ANSUR2012"},
		Example: `{"sharp": "both eyes and lips", "framing": "head and shoulders", "plate": "whole plate", "pose": {"turn_deg": 15}, "support": "head rest", ` +
			`"incident_lx": 4000, "exposure_index": 1, "longest_s": 10, "room_mm": 6000, "show": 3, ` +
			`"lenses": [{"name": "portrait lens 360", "focal_mm": 360, "stops": [4, 5.6, 8], "circle_mm": 290, "curve_mm": 430}, {"name": "wide 150", "focal_mm": 150, "stops": [6.3], "circle_mm": 150}], ` +
			`"cameras": [{"name": "studio camera", "back": "8x10", "longest_mm": 900, "back_swing_deg": 12, "back_tilt_deg": 10}]}`,
		Keys: map[string]string{"greatest framing": "framing.greatest_mm", "least framing": "framing.least_mm", "room": "room_mm", "blur": "blur_mm",
			"exposure index": "exposure_index", "longest exposure": "longest_s", "wait": "wait_s"},
	}, answerChoose)
}

func answerChoose(q chooseQuestion) (chooseAnswer, error) {
	wanted, notes, err := q.wanted()
	if err != nil {
		return chooseAnswer{}, err
	}
	kit, err := q.kit()
	if err != nil {
		return chooseAnswer{}, err
	}
	chosen, err := scene.Choose(wanted, kit)
	if err != nil {
		return chooseAnswer{}, err
	}
	a := chooseAnswer{Choices: make([]choice, 0, min(q.Show, len(chosen.Ranked))), BestCount: chosen.Best, ChoiceCount: len(chosen.Ranked),
		Refused: make([]refused, 0, len(chosen.Refused)),
		FrameMm: span{float64(wanted.Frame.Least), float64(wanted.Frame.Greatest)}, BlurMm: float64(wanted.Blur)}
	for i := range chosen.Ranked {
		if len(a.Choices) == q.Show {
			break
		}
		a.Choices = append(a.Choices, choiceOf(&chosen.Ranked[i], wanted))
	}
	for _, r := range chosen.Refused {
		a.Refused = append(a.Refused, refused{r.Lens, r.Camera, r.Why})
	}
	a.Notes = q.notes(notes, chosen)
	return a, nil
}

func choiceOf(k *scene.Choice, q scene.Wanted) choice {
	c := choice{Lens: k.Lens, Cameras: k.Cameras, FNumber: k.Stop, Moves: k.Moves,
		TiltDeg: k.Setup.Camera.Back.Tilt.Degrees(), SwingDeg: k.Setup.Camera.Back.Swing.Degrees(),
		FrontTilt: k.Setup.Camera.Lens.Tilt.Degrees(), FrontSwing: k.Setup.Camera.Lens.Swing.Degrees(),
		DistanceMm: k.Distance, FocusBehindMm: k.FocusBehind, ExtensionMm: k.Setup.Camera.Extension,
		Magnification: k.Magnification, FrameMm: k.Frame, RoomMm: k.Room,
		TargetShare: k.TargetShare, FaceShare: k.FaceShare, AllSharp: k.AllSharp, Stillness: k.Stillness, PlayMm: k.Play, NoSmear: k.NoSmear, SmearMm: k.Smear,
		NeededLxs: float64(k.Needed), CircleLeftMm: k.CircleLeft, Best: k.Best, Score: k.Score, Trade: k.Trade}
	if c.Cameras == nil {
		c.Cameras = []string{}
	}
	for _, t := range k.Targets {
		c.Targets = append(c.Targets, target{t.Target.String(), t.Blur, t.State})
	}
	if q.Light.Flash == 0 {
		c.Seconds = &k.Seconds
	}
	if q.Light.Flash > 0 || q.Light.Longest > 0 {
		c.SpareStops = &k.Spare
	}
	if k.Swirl != nil {
		c.SwirlCorner, c.SwirlFace = &k.Swirl.Corner, &k.Swirl.Face
	}
	return c
}

// wanted returns the picture that is asked for.
func (q chooseQuestion) wanted() (scene.Wanted, []string, error) {
	figure, err := figureOf(q.Pose, q.Body)
	if err != nil {
		return scene.Wanted{}, nil, err
	}
	w := scene.Wanted{Plate: plateOf(q.Plate), Figure: figure, Support: pose.Support(q.Support),
		Wait: time.Duration(q.WaitS * float64(time.Second)),
		Light: scene.Light{Index: light.ExposureIndex(q.ExposureIndex), Actinic: measure.Stops(q.ActinicStops),
			Steady: light.Lux(given(q.IncidentLx)), Flash: light.LuxSeconds(given(q.FlashLxs)), Longest: light.Seconds(given(q.LongestS))},
		Room: measure.Length(given(q.RoomMm))}
	if q.EV100 != nil {
		w.Light.Steady = light.IlluminanceAt(measure.EV(*q.EV100))
	}
	if q.Swirl != nil {
		w.Swirl = scene.Taste(*q.Swirl)
	}
	if s := q.Second; s != nil {
		w.Second = &scene.Second{Across: measure.Length(s.AcrossMm), Above: measure.Length(s.AboveMm), Behind: measure.Length(s.BehindMm)}
	}
	if w.Targets, err = q.targets(figure); err != nil {
		return scene.Wanted{}, nil, err
	}
	if w.Frame, err = q.framing(); err != nil {
		return scene.Wanted{}, nil, err
	}
	var notes []string
	w.Blur, notes = blurOr(q.BlurMm, q.ViewingMm, make([]string, 0, 8))
	return w, notes, nil
}

func (q chooseQuestion) targets(f pose.Figure) ([]scene.Target, error) {
	if q.Sharp.Named != nil {
		if *q.Sharp.Named == scene.TwoHeads && q.Second == nil {
			return nil, &FieldError{Field: "second", Message: `second is missing; with sharp "two heads" it says where the second head is`}
		}
		return scene.TargetsOf(*q.Sharp.Named, f)
	}
	var marks []pose.Landmark
	for i, name := range *q.Sharp.Listed {
		if _, ok := f.Landmark(pose.Landmark(name)); !ok {
			return nil, &FieldError{Field: fmt.Sprintf("sharp[%d]", i), Message: fmt.Sprintf("sharp[%d] is %q; the hands count only with pose.hands true", i, name)}
		}
		marks = append(marks, pose.Landmark(name))
	}
	return scene.Targets(marks, q.Second != nil), nil
}

func (q chooseQuestion) framing() (scene.Framing, error) {
	if h := q.Framing.Height; h != nil {
		return scene.Framing{Least: measure.Length(h.LeastMm), Greatest: measure.Length(h.GreatestMm)}, nil
	}
	mean, err := pose.BodyOf(pose.Adult, 50)
	if err != nil {
		return scene.Framing{}, err
	}
	body, err := q.Body.of(q.Pose.HeadScale)
	if err != nil {
		return scene.Framing{}, err
	}
	return scene.FramingOf(*q.Framing.Named, (body.EyeToVertex + body.Face).Over(mean.EyeToVertex+mean.Face))
}

// kit returns what the studio owns.
func (q chooseQuestion) kit() (scene.Kit, error) {
	var kit scene.Kit
	for i, l := range q.Lenses {
		own := scene.Lens{Name: l.Name, Focal: measure.Length(l.FocalMm), PupilMag: l.PupilMag, Circle: measure.Length(given(l.CircleMm)),
			Rims: optics.Rims{Front: measure.Length(given(l.FrontGlass)), Rear: measure.Length(given(l.RearGlass)), Barrel: measure.Length(given(l.BarrelMm))}}
		for _, n := range l.Stops {
			own.Stops = append(own.Stops, measure.FNumber(n))
		}
		var err error
		if own.Surface, err = surfaceOf(curve{fmt.Sprintf("lenses[%d].curve_mm", i), l.CurveMm}, curve{}, curve{}); err != nil {
			return scene.Kit{}, err
		}
		kit.Lenses = append(kit.Lenses, own)
	}
	for i, c := range q.Cameras {
		deg := func(v float64) measure.Angle { return measure.Angle(v) * measure.Degree }
		own := scene.Camera{Name: c.Name, Limits: &optics.Limits{BackTilt: deg(c.BackTilt), BackSwing: deg(c.BackSwing),
			FrontTilt: deg(c.FrontTilt), FrontSwing: deg(c.FrontSwing), BaseTilt: c.BaseTilt,
			Shortest: measure.Length(given(c.ShortestMm)), Longest: measure.Length(given(c.LongestMm))}}
		if c.ShortestMm != nil && c.LongestMm != nil && *c.LongestMm < *c.ShortestMm {
			key := fmt.Sprintf("cameras[%d].longest_mm", i)
			return scene.Kit{}, refusePlace(key, *c.LongestMm, *c.ShortestMm, 10000, "being no shorter than shortest_mm")
		}
		if c.Back != nil {
			own.Back = plateOf(*c.Back)
		}
		kit.Cameras = append(kit.Cameras, own)
	}
	return kit, nil
}

// given returns a number, or nothing when it was left out.
func given(v *float64) float64 {
	if v == nil {
		return 0
	}
	return *v
}

func (q chooseQuestion) notes(notes []string, c scene.Chosen) []string {
	circle, rims := 0, 0
	for _, l := range q.Lenses {
		if l.CircleMm == nil {
			circle++
		}
		if l.BarrelMm == nil || l.FrontGlass == nil || l.RearGlass == nil {
			rims++
		}
	}
	if len(c.Ranked) == 0 {
		notes = append(notes, "Nothing there is can make this picture; refused says what would help.")
	}
	if len(c.Ranked) > 0 && !slices.ContainsFunc(c.Ranked, func(k scene.Choice) bool { return k.AllSharp }) {
		notes = append(notes, "No choice makes all of what was wanted sharp at once. A smaller stop, a looser framing, a head turned less or a larger blur called sharp would.")
	}
	if circle > 0 {
		notes = append(notes, fmt.Sprintf("Of %d of the lenses the circle is not known, so whether they cover the plate was not looked at.", circle))
	}
	if rims > 0 {
		notes = append(notes, fmt.Sprintf("Of %d of the lenses the glasses and the barrel are not known, so nothing is said of their swirl.", rims))
	}
	if len(q.Cameras) == 0 {
		notes = append(notes, "No camera was named: bellows and movements were not looked at, nor whether the plate fits.")
	}
	if q.Support != string(pose.Standing) {
		notes = append(notes, "How much a seated or supported head sways is an assumption; the studio's own plates know better.")
	}
	if q.ActinicStops == 0 {
		notes = append(notes, "The light is taken to be of the kind the exposure index was found in.")
	}
	return append(notes, "Seconds are by the meter's constant 250, as in the reckoning seconds, where their band is told.")
}
