package reckon

import (
	"errors"
	"fmt"
	"math"

	"platewright/measure"
	"platewright/optics"
)

type planeQuestion struct {
	FocalMm  float64       `json:"focal_mm" range:"[10,5000]" doc:"focal length"`
	PointsMm [3][3]float64 `json:"points_mm" range:"[-1000000,1000000]" doc:"three points [x,y,z] from the lens: x to the photographer's right, y up, z toward the sitter and beyond the focal length"`
	Move     string        `json:"move" enum:"back|front" doc:"back: the lens stays square and the back moves; front: the plate stays square and the lens turns"`
}

type planeAnswer struct {
	TiltDeg     float64         `json:"tilt_deg" doc:"slope of the upright of the standard that moves, positive when its top leans backward"`
	SwingDeg    float64         `json:"swing_deg" doc:"slope of its level line, positive when its right-hand side is turned backward"`
	ExtensionMm measure.Length  `json:"extension_mm" doc:"lens to plate, along the camera's z axis"`
	HingeMm     *measure.Length `json:"hinge_mm" doc:"lens to the line the sharp plane swings about when refocusing; null when nothing is turned"`
	ImageMm     [3][2]float64   `json:"image_mm" doc:"where the three points fall on the plate: x' to the photographer's right and y' up, from the camera's z axis"`
	ResidualMm  float64         `json:"residual_mm" doc:"greatest distance of the three images from the plate, traced through the answered set-up"`
	RefocusMm   *measure.Length `json:"refocus_mm,omitempty" doc:"front only: how far the plate is moved back after the lens was turned"`

	TotalDeg      float64     `json:"total_deg" doc:"angle between lens and plate"`
	TiltOnSwing   float64     `json:"tilt_on_swing_deg" doc:"tilt to set where the tilt axis turns with the swing (swing as swing_deg)"`
	SwingOnTilt   float64     `json:"swing_on_tilt_deg" doc:"swing to set where the swing axis leans with the tilt (tilt as tilt_deg)"`
	ImageBackMm   [3]float64  `json:"image_back_mm" doc:"z' of the three images, backward from the lens"`
	PlanePerMm    [3]float64  `json:"plane_per_mm" unit:"1/mm" doc:"the sharp plane as p of p·X = 1: reciprocals of where it meets the three axes"`
	MeetsAxisMm   *float64    `json:"meets_axis_mm" doc:"z where the sharp plane meets the camera's z axis, negative behind the lens; null when nowhere"`
	HingePointMm  *[3]float64 `json:"hinge_point_mm" doc:"the point of the hinge line nearest the lens"`
	LensAxis      [3]float64  `json:"lens_axis" doc:"unit vector along the lens's axis, toward the sitter"`
	AxisOnPlateMm [2]float64  `json:"axis_on_plate_mm" doc:"where the lens's axis meets the plate: the middle of its good circle"`
	FocalMm       float64     `json:"focal_mm" doc:"focal length"`
	Move          string      `json:"move" doc:"which standard moves"`
	Notes         []string    `json:"notes" doc:"what to know about this answer"`
}

// plane asks for the movements that lay a plane of sharpness through three points: the vector form
// q = p - a/f of the rules that subject, lens and plate share a line, and subject, front focal plane
// and a parallel to the plate through the lens another [ViewFocus1996].
func plane() *Reckoning {
	return define(Spec{
		Name:    "plane",
		Title:   "movements for a plane of sharpness through three points",
		Summary: "From three points and a focal length to tilt, swing and extension of the back or of the lens, with the images of the points and the hinge line.",
		Model: "A lens with principal planes, a flat field and its pivot in the front principal point (a thin lens: its centre), which is the origin; " +
			"the back turns about the point where it meets the z axis. Tilt and swing are slopes: a standard holds " +
			"z' = E + x' tan(swing) + y' tan(tilt) whichever was set first. Coverage is not looked at. Refused are points in line, a plane " +
			"through the lens, and planes no movement reaches: for the back those that meet the axis within the focal length, " +
			"for the front those that pass beside the lens within the focal length, and either that would turn by 90 degrees.",
		Sources: []string{"ViewFocus1996"},
		Example: `{"focal_mm": 360, "points_mm": [[-30, 40, 1795], [32, 42, 1773], [60, -330, 1600]], "move": "front"}`,
	}, answerPlane)
}

func answerPlane(q planeQuestion) (planeAnswer, error) {
	var points [3]optics.Point
	for i, p := range q.PointsMm {
		if p[2] <= q.FocalMm {
			key := fmt.Sprintf("points_mm[%d][2]", i)
			return planeAnswer{}, &FieldError{Field: key, Message: fmt.Sprintf("%s is %s; allowed is above the focal length, %s mm, up to %s mm",
				key, number(p[2]), number(q.FocalMm), number(float64(optics.GreatestReach)))}
		}
		points[i] = optics.Point{X: measure.Length(p[0]), Y: measure.Length(p[1]), Z: measure.Length(p[2])}
	}
	sharp, err := optics.Through(points)
	if err != nil {
		return planeAnswer{}, refusePoints(err, q)
	}
	by := sharp.ByBack
	if q.Move == "front" {
		by = sharp.ByFront
	}
	camera, err := by(measure.Length(q.FocalMm))
	if err != nil {
		return planeAnswer{}, refusePoints(err, q)
	}
	moved := camera.Back
	a := planeAnswer{
		ExtensionMm: camera.Extension,
		PlanePerMm:  sharp.Intercepts(),
		LensAxis:    camera.Axis(),
		FocalMm:     q.FocalMm,
		Move:        q.Move,
	}
	if q.Move == "front" {
		moved = camera.Lens
		refocus := camera.Refocus()
		a.RefocusMm = &refocus
	}
	a.TiltDeg, a.SwingDeg, a.TotalDeg = moved.Tilt.Degrees(), moved.Swing.Degrees(), moved.Total().Degrees()
	a.TiltOnSwing, a.SwingOnTilt = moved.TiltOnSwing().Degrees(), moved.SwingOnTilt().Degrees()
	for i, p := range points {
		im, err := camera.Image(p)
		if err != nil {
			return planeAnswer{}, refusePoints(err, q)
		}
		a.ImageMm[i] = [2]float64{float64(im.X), float64(im.Y)}
		a.ImageBackMm[i] = float64(im.Z)
		a.ResidualMm = max(a.ResidualMm, math.Abs(float64(camera.Off(im))))
	}
	if h, ok := camera.Hinge(); ok {
		a.HingeMm = &h.Distance
		a.HingePointMm = &[3]float64{float64(h.Foot.X), float64(h.Foot.Y), float64(h.Foot.Z)}
	}
	if p := a.PlanePerMm[2]; p != 0 {
		z := 1 / p
		a.MeetsAxisMm = &z
	}
	// The axis, run backward from the lens, meets a square plate here; before a tilted back it is z itself.
	E := float64(camera.Extension)
	a.AxisOnPlateMm = [2]float64{-a.LensAxis[0] / a.LensAxis[2] * E, -a.LensAxis[1] / a.LensAxis[2] * E}
	a.Notes = planeNotes(camera, moved, q.Move == "front")
	return a, nil
}

func planeNotes(c optics.Camera, moved optics.Movement, front bool) []string {
	notes := make([]string, 0, 5)
	if front {
		notes = append(notes, "The lens turns about its front principal point, which stays where the points were measured from; the plate stays square. A lens that turns about its board or base moves away from there: measure again from where it then stands.",
			"refocus_mm counts from where a square lens is sharp on the spot where the plane meets the camera's axis.")
	} else {
		notes = append(notes, "The lens stays square and in its place; the back turns about the point where it meets the lens's axis. The picture's perspective changes with the back.")
	}
	if moved.Tilt != 0 && moved.Swing != 0 {
		notes = append(notes, "tilt_deg and swing_deg are slopes of the standard; with both set, a scale that rides on the other movement reads tilt_on_swing_deg or swing_on_tilt_deg.")
	}
	if moved.Total() > 30*measure.Degree {
		notes = append(notes, "A turn of more than 30 degrees is beyond most cameras (common practice, no source).")
	}
	if c.Extension > 4*c.Focal {
		notes = append(notes, "The extension is more than four focal lengths: look whether the bellows reaches.")
	}
	return append(notes, "Whether the lens covers the plate so far off its axis is not looked at; axis_on_plate_mm is the middle of its good circle.")
}

// refusePoints blames the points for what they ask.
func refusePoints(err error, q planeQuestion) error {
	text := err.Error()
	if errors.Is(err, optics.ErrBeyondMovements) {
		text += fmt.Sprintf(" (move %q, focal length %s mm)", q.Move, number(q.FocalMm))
	}
	p := q.PointsMm
	given := make([]string, 3)
	for i := range p {
		given[i] = fmt.Sprintf("[%s, %s, %s]", number(p[i][0]), number(p[i][1]), number(p[i][2]))
	}
	return &FieldError{Field: "points_mm", cause: err, Message: fmt.Sprintf(
		"points_mm is %s, %s, %s; allowed are three points whose plane can be made sharp: %s", given[0], given[1], given[2], text)}
}
