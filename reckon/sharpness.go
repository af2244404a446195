package reckon

import (
	"errors"
	"fmt"
	"math"

	"platewright/measure"
	"platewright/optics"
	"platewright/pose"
	"platewright/scene"
)

type sharpnessQuestion struct {
	focusQuestion
	CurveMm      *float64     `json:"curve_mm" range:"[-1000000,1000000]" doc:"radius of the focal surface on the plate's side, positive when the edges focus nearer the lens, 10 or more to either side; left out or null: flat"`
	SagittalMm   *float64     `json:"sagittal_curve_mm" range:"[-1000000,1000000]" doc:"that radius for lines that run away from the axis, where it was measured apart; left out: curve_mm"`
	TangentialMm *float64     `json:"tangential_curve_mm" range:"[-1000000,1000000]" doc:"that radius for lines that run round the axis; left out: curve_mm"`
	CentreMm     [2]float64   `json:"centre_mm" default:"[0,0]" range:"[-1000,1000]" doc:"[x,y] where the lens's axis, square, meets the plate, from its middle: rise, fall and shift"`
	TiltDeg      float64      `json:"tilt_deg" default:"0" range:"[-45,45]" doc:"tilt of the back, positive when its top leans backward"`
	SwingDeg     float64      `json:"swing_deg" default:"0" range:"[-45,45]" doc:"swing of the back, positive when its right-hand side is turned backward"`
	FrontTilt    float64      `json:"front_tilt_deg" default:"0" range:"[-45,45]" doc:"tilt of the lens board"`
	FrontSwing   float64      `json:"front_swing_deg" default:"0" range:"[-45,45]" doc:"swing of the lens board"`
	ShiftMm      float64      `json:"shift_mm" default:"0" range:"[-100,100]" doc:"how far the image that makes the picture falls behind the one that was focused by eye: chemical focus, and focus shift if the stop is changed after focusing"`
	Pose         poseQuestion `json:"pose" default:"{}" doc:"how the sitter holds the head and trunk"`
	Body         bodyQuestion `json:"body" default:"{}" doc:"how large the sitter is"`
	FocusOn      string       `json:"focus_on" default:"\"nearer eye\"" enum:"nearer eye|right eye|left eye|nose tip|lips|chin|right ear|left ear|hairline|collar|right shoulder|left shoulder|right hand|left hand" doc:"what the camera is focused on, right and left being the sitter's, hands only with pose.hands true: this landmark lies in the plane of magnification, distance_mm or frame_height_mm"`
	EyesAtMm     [2]float64   `json:"eyes_at_mm" default:"[0,0]" range:"[-10000,10000]" doc:"[x,y] of the point midway between the eyes, from the camera's z axis, at the sitter"`
}

type poseQuestion struct {
	TurnDeg      float64 `json:"turn_deg" default:"0" range:"[-90,90]" doc:"the face turned to the photographer's right"`
	NodDeg       float64 `json:"nod_deg" default:"0" range:"[-45,45]" doc:"the chin down"`
	LeanDeg      float64 `json:"lean_deg" default:"0" range:"[-20,45]" doc:"the trunk toward the camera"`
	ShouldersDeg float64 `json:"shoulders_deg" default:"0" range:"[-90,90]" doc:"the shoulders turned to the photographer's right"`
	HeadScale    float64 `json:"head_scale" default:"1" range:"[0.5,1.5]" doc:"size of the sitter over that of body"`
	Standing     bool    `json:"standing" default:"false" doc:"standing; otherwise seated"`
	SeatMm       float64 `json:"seat_mm" default:"450" range:"[150,1000]" doc:"height of the seat above the floor; not used standing"`
	Hands        bool    `json:"hands" default:"false" doc:"the hands are part of the picture and are listed"`
}

type bodyQuestion struct {
	Who        whose   `json:"who" default:"\"adult\"" doc:"whose measures; adult is the mean of women and men"`
	Percentile float64 `json:"percentile" default:"50" range:"[1,99]" doc:"percentile of every measure among these people"`
}

// whose is a name of package pose.
type whose string

// Choices lists whose bodies there are.
func (whose) Choices() []string {
	var names []string
	for _, w := range pose.Everyone() {
		names = append(names, string(w))
	}
	return names
}

type sharpnessAnswer struct {
	Landmarks  []landmark `json:"landmarks" doc:"the sitter's landmarks as they come out"`
	SharpShare *float64   `json:"sharp_share" doc:"sharp share of the face's front that the lens sees, by area; null when the face is turned away"`

	FocusOn          pose.Landmark   `json:"focus_on" doc:"the landmark focused on"`
	Magnification    float64         `json:"magnification" doc:"image size over the sitter's size in that landmark's plane, the camera being square"`
	DistanceMm       measure.Length  `json:"distance_mm" doc:"front principal plane to that landmark's plane"`
	ExtensionMm      measure.Length  `json:"extension_mm" doc:"rear principal plane to the plate along the camera's z axis, focused on the landmark as the camera stands"`
	EffectiveFNumber measure.FNumber `json:"effective_f_number" doc:"f-number that counts for exposure, the camera being square"`
	BellowsStops     measure.Stops   `json:"bellows_stops" doc:"exposure the extension asks for beyond that at infinity, the camera being square"`
	NearMm           *measure.Length `json:"near_mm" doc:"z of the nearest that is sharp along the light to the middle of the plate; null when nothing there is"`
	FarMm            *measure.Length `json:"far_mm" doc:"z of the farthest; null when nothing is sharp there or it is at infinity"`
	AiryMm           measure.Length  `json:"airy_mm" doc:"diameter of the first dark ring of diffraction at the effective f-number"`
	BlurMm           measure.Length  `json:"blur_mm" doc:"the blur that was called sharp"`
	EyesMm           [3]float64      `json:"eyes_mm" doc:"[x,y,z] of the point midway between the eyes, from the front principal point"`
	EyeHeightMm      measure.Length  `json:"eye_height_mm" doc:"that point above the floor"`
	FocalMm          measure.Length  `json:"focal_mm" doc:"focal length"`
	FNumber          measure.FNumber `json:"f_number" doc:"marked f-number"`
	PlateWidthMm     measure.Length  `json:"plate_width_mm" doc:"the plate's width as it lies in the camera"`
	PlateHeightMm    measure.Length  `json:"plate_height_mm" doc:"the plate's height as it lies in the camera"`
	Notes            []string        `json:"notes" doc:"what to know about this answer"`
}

type landmark struct {
	Name            pose.Landmark  `json:"name" doc:"its name; right and left are the sitter's"`
	XMm             measure.Length `json:"x_mm" doc:"to the photographer's right of the camera's z axis"`
	YMm             measure.Length `json:"y_mm" doc:"above it"`
	ZMm             measure.Length `json:"z_mm" doc:"from the front principal plane"`
	BlurMm          measure.Length `json:"blur_mm" doc:"long axis of the geometric blur ellipse on the plate"`
	State           scene.State    `json:"state" doc:"sharp: blur_mm within the limit; soft: within three times it; gone: beyond"`
	ShortMm         measure.Length `json:"short_mm" doc:"short axis of that ellipse"`
	WithDiffraction measure.Length `json:"with_diffraction_mm" doc:"blur_mm and airy_mm in quadrature; it does not decide the state"`
	BehindMm        measure.Length `json:"focus_behind_mm" doc:"how far its focus lies behind the plate; negative before it"`
	ImageMm         [2]float64     `json:"image_mm" doc:"[x,y] of its image from the plate's middle, to the photographer's right and up; the image is upside down"`
	OnPlate         bool           `json:"on_plate" doc:"its image falls on the plate"`
}

// sharpness asks what of the sitter will be sharp. Spots are those of package optics, by similar
// triangles at the pupils [PupilDof04], under the camera's movements [ViewFocus1996].
func sharpness() *Reckoning {
	return define(Spec{
		Name:    "sharpness",
		Title:   "what of the sitter will be sharp",
		Summary: "From a lens, its stop and focal surface, the camera's movements and a posed sitter to the blur of each landmark on the plate, and how much of the face is sharp.",
		Model: "Paraxial optics with pupils, a curved focal surface and tilted standards; the blur is the long axis of the geometric spot. " +
			"The camera is focused on the landmark focus_on as it stands, so that its blur is nothing (with two focal surfaces, the least); what shift_mm moves comes after. " +
			"The sitter is a head and bust of published measures, smooth and without hair; real noses and shoulders differ by a centimetre and more. " +
			"Spherical aberration, which softens all alike, is not in it.",
		Sources: []string{"PupilDof04", "ViewFocus1996", "ANSUR2012"},
		Example: `{"focal_mm": 450, "f_number": 4.5, "plate": "8x10", "magnification": 0.43, "curve_mm": 540, "pose": {"turn_deg": 15}}`,
	}, answerSharpness)
}

func answerSharpness(q sharpnessQuestion) (sharpnessAnswer, error) {
	shot, set, notes, err := setShot(q)
	if err != nil {
		return sharpnessAnswer{}, err
	}
	marks, err := shot.Landmarks()
	if err != nil {
		return sharpnessAnswer{}, q.tooNear(err)
	}
	a := sharpnessAnswer{
		Landmarks:        make([]landmark, len(marks)),
		FocusOn:          shot.FocusOn,
		Magnification:    set.Magnification,
		DistanceMm:       set.Distance,
		ExtensionMm:      shot.Setup.Camera.Extension,
		EffectiveFNumber: set.EffectiveStop(),
		BellowsStops:     set.Bellows(),
		AiryMm:           set.Airy(shot.Wavelength),
		BlurMm:           shot.Blur,
		EyesMm:           [3]float64{float64(shot.Eyes.X), float64(shot.Eyes.Y), float64(shot.Eyes.Z)},
		EyeHeightMm:      shot.Figure.EyeHeight,
		FocalMm:          set.Lens.Focal,
		FNumber:          set.Lens.Stop,
		PlateWidthMm:     shot.Setup.Plate.Width,
		PlateHeightMm:    shot.Setup.Plate.Height,
	}
	beside := 0
	for i, m := range marks {
		a.Landmarks[i] = landmark{Name: m.Name, XMm: m.At.X, YMm: m.At.Y, ZMm: m.At.Z,
			BlurMm: m.Blur, State: m.State, ShortMm: m.Short, WithDiffraction: m.WithDiffraction, BehindMm: m.Behind,
			ImageMm: [2]float64{float64(m.On.X), float64(m.On.Y)}, OnPlate: m.Seen}
		if !m.Seen {
			beside++
		}
		if shot.FocusApart(m) {
			notes = append(notes, fmt.Sprintf("At the %s lines along and across the radius come to a focus apart: %s mm is the least blur there at this stop. Bring it nearer the lens's axis, or stop down.",
				m.Name, number(rounded(float64(m.Blur)))))
		}
	}
	if share, err := shot.Share(); err == nil {
		a.SharpShare = &share
	} else {
		notes = append(notes, "The face is turned away from the lens, so it has no sharp share.")
	}
	if r, err := shot.Setup.Along(optics.PlatePoint{}, shot.Blur); err == nil && !r.Nothing {
		a.NearMm = &r.Near.Z
		if !r.Endless {
			a.FarMm = &r.Far.Z
		}
	}
	a.Notes = sharpnessNotes(notes, q, a, beside)
	return a, nil
}

// setShot sets the camera up and the sitter before it, focused.
func setShot(q sharpnessQuestion) (scene.Shot, optics.Setting, []string, error) {
	fail := func(err error) (scene.Shot, optics.Setting, []string, error) {
		return scene.Shot{}, optics.Setting{}, nil, err
	}
	lens := optics.Lens{Focal: measure.Length(q.FocalMm), PupilMag: q.PupilMag}
	if err := setAperture(&lens, q.focusQuestion); err != nil {
		return fail(err)
	}
	set, err := setFocus(lens, q.plate(), q.focusQuestion)
	if err != nil {
		return fail(err)
	}
	surface, err := surfaceOf(curve{"curve_mm", q.CurveMm}, curve{"sagittal_curve_mm", q.SagittalMm}, curve{"tangential_curve_mm", q.TangentialMm})
	if err != nil {
		return fail(err)
	}
	figure, err := figureOf(q.Pose, q.Body)
	if err != nil {
		return fail(err)
	}
	blur, notes := q.blur(make([]string, 0, 8))
	shot := scene.Shot{
		Setup: optics.Setup{
			Lens: set.Lens,
			Camera: optics.Camera{Focal: set.Lens.Focal, Extension: set.Extension,
				Back: movement(q.TiltDeg, q.SwingDeg), Lens: movement(q.FrontTilt, q.FrontSwing)},
			Plate:   q.plate(),
			Centre:  optics.PlatePoint{X: measure.Length(q.CentreMm[0]), Y: measure.Length(q.CentreMm[1])},
			Surface: surface,
			Shift:   measure.Length(q.ShiftMm),
		},
		Figure:     figure,
		Eyes:       optics.Point{X: measure.Length(q.EyesAtMm[0]), Y: measure.Length(q.EyesAtMm[1])},
		FocusOn:    pose.Landmark(q.FocusOn),
		Blur:       blur,
		Wavelength: measure.Length(q.WavelengthNm) * measure.Micrometre / 1000,
	}
	if q.FocusOn == "nearer eye" {
		shot.FocusOn = scene.NearerEye(figure)
	}
	if _, ok := figure.Landmark(shot.FocusOn); !ok {
		return fail(&FieldError{Field: "focus_on", Message: fmt.Sprintf("focus_on is %q; the hands count only with pose.hands true", q.FocusOn)})
	}
	shot, err = shot.Focused(set.Distance)
	if err != nil {
		return fail(err)
	}
	return shot, set, notes, nil
}

// tooNear names the key that sets how far away the sitter is, when a part of the sitter is too near for any image.
func (q sharpnessQuestion) tooNear(err error) error {
	var inside *optics.InsideFocal
	if !errors.As(err, &inside) {
		return err
	}
	key := "frame_height_mm"
	switch {
	case q.Magnific != nil:
		key = "magnification"
	case q.DistanceMm != nil:
		key = "distance_mm"
	}
	return &FieldError{Field: key, Message: key + " brings the sitter too near; " + err.Error(), cause: err}
}

func movement(tilt, swing float64) optics.Movement {
	return optics.Movement{Tilt: measure.Angle(tilt) * measure.Degree, Swing: measure.Angle(swing) * measure.Degree}
}

// leastCurve is the least radius of a focal surface that is believed, in millimetres.
const leastCurve = 10

// curve is a radius of a focal surface under the key it was given by.
type curve struct {
	key    string
	radius *float64
}

// surfaceOf returns the focal surface of whichever radii were given; the two sections go before the one for both.
func surfaceOf(both, sagittal, tangential curve) (optics.FocalSurface, error) {
	var s optics.FocalSurface
	for _, c := range []struct {
		curve
		of []*optics.Curve
	}{{both, []*optics.Curve{&s.Sagittal, &s.Tangential}}, {sagittal, []*optics.Curve{&s.Sagittal}}, {tangential, []*optics.Curve{&s.Tangential}}} {
		if c.radius == nil {
			continue
		}
		if math.Abs(*c.radius) < leastCurve {
			return optics.FocalSurface{}, &FieldError{Field: c.key, Message: fmt.Sprintf(
				"%s is %s; allowed is a radius of %d mm or more to either side, or null for a flat field", c.key, number(*c.radius), leastCurve)}
		}
		for _, section := range c.of {
			*section = optics.CurveOfRadius(measure.Length(*c.radius))
		}
	}
	return s, nil
}

// of returns the body at a scale.
func (b bodyQuestion) of(scale float64) (pose.Body, error) {
	body, err := pose.BodyOf(pose.Who(b.Who), b.Percentile)
	return body.Scaled(scale), err
}

// figureOf returns the sitter's figure.
func figureOf(p poseQuestion, b bodyQuestion) (pose.Figure, error) {
	body, err := b.of(p.HeadScale)
	if err != nil {
		return pose.Figure{}, err
	}
	if err := body.Check(); err != nil {
		return pose.Figure{}, &FieldError{Field: "pose.head_scale", Message: fmt.Sprintf(
			"pose.head_scale is %s, which makes this body no human's: %v; a scale nearer 1, or another body.who, would do", number(p.HeadScale), err), cause: err}
	}
	deg := func(v float64) measure.Angle { return measure.Angle(v) * measure.Degree }
	return pose.Pose{Body: body, Turn: deg(p.TurnDeg), Nod: deg(p.NodDeg), Lean: deg(p.LeanDeg),
		Shoulders: deg(p.ShouldersDeg), Standing: p.Standing, Seat: measure.Length(p.SeatMm), Hands: p.Hands}.Figure()
}

func sharpnessNotes(notes []string, q sharpnessQuestion, a sharpnessAnswer, beside int) []string {
	if q.CurveMm == nil && q.SagittalMm == nil && q.TangentialMm == nil {
		notes = append(notes, "The field is taken as flat; a portrait lens of the old kind focuses its edges nearer, and the bench finds by how much.")
	}
	if q.PupilMag == 1 {
		notes = append(notes, "Both pupils are taken as equally large (pupil_mag 1), as in a thin or symmetrical lens.")
	}
	if a.AiryMm > a.BlurMm {
		notes = append(notes, "At this stop diffraction alone (airy_mm) is wider than the blur called sharp: nothing will be as sharp as that, whatever its state says.")
	}
	if q.ShiftMm != 0 {
		notes = append(notes, fmt.Sprintf("shift_mm puts the picture %s mm off what was focused by eye: the blur at the landmark focused on comes from that.", number(q.ShiftMm)))
	}
	if beside > 0 {
		notes = append(notes, fmt.Sprintf("%d of the landmarks fall beside the plate; their blur is what it would be there.", beside))
	}
	return append(notes, "The sitter is a figure of published measures without hair; measure your own where a few millimetres decide.")
}
