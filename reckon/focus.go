package reckon

import (
	"fmt"

	"platewright/measure"
	"platewright/optics"
)

type focusQuestion struct {
	FocalMm      float64  `json:"focal_mm" range:"[10,5000]" doc:"focal length"`
	FNumber      *float64 `json:"f_number" one:"aperture" range:"[0.5,256]" doc:"marked f-number"`
	PupilMm      *float64 `json:"pupil_mm" one:"aperture" range:"[0.03,10000]" doc:"diameter of the entrance pupil, as seen from the front; the f-number it makes must lie in 0.5 to 256"`
	PupilMag     float64  `json:"pupil_mag" default:"1" range:"[0.1,10]" doc:"exit pupil over entrance pupil; 1 for a lens symmetrical about its stop"`
	Plate        Plate    `json:"plate" doc:"the plate, by trade name or by its sides"`
	Magnific     *float64 `json:"magnification" one:"where" range:"[0.000001,100]" doc:"image size over the sitter's size"`
	DistanceMm   *float64 `json:"distance_mm" one:"where" range:"[10.1,10000000]" doc:"front principal plane to the sitter's eye plane; beyond the focal length by at least a hundredth of it"`
	FrameMm      *float64 `json:"frame_height_mm" one:"where" range:"[0.1,10000000]" doc:"height of subject that fills the plate's long side; the magnification it makes must be at most 100"`
	BlurMm       *float64 `json:"blur_mm" range:"[0.0001,10]" doc:"largest blur disc on the plate that is called sharp; left out: 0.10 at 250 mm viewing distance, in proportion to viewing_mm"`
	ViewingMm    float64  `json:"viewing_mm" default:"250" range:"[25,10000]" doc:"distance the plate will be looked at from"`
	WavelengthNm float64  `json:"wavelength_nm" default:"430" range:"[200,1100]" doc:"wavelength of the light that makes the picture"`
}

type focusAnswer struct {
	Magnification     float64         `json:"magnification" doc:"image size over the sitter's size"`
	DistanceMm        measure.Length  `json:"distance_mm" doc:"front principal plane to the sitter's eye plane"`
	ExtensionMm       measure.Length  `json:"extension_mm" doc:"rear principal plane to the plate"`
	EffectiveFNumber  measure.FNumber `json:"effective_f_number" doc:"f-number that counts for exposure at this extension"`
	BellowsStops      measure.Stops   `json:"bellows_stops" doc:"exposure the extension asks for beyond that at infinity"`
	NearMm            measure.Length  `json:"near_mm" doc:"front principal plane to the near limit of what is sharp"`
	FarMm             *measure.Length `json:"far_mm" doc:"front principal plane to the far limit; null when it is at infinity"`
	DepthMm           *measure.Length `json:"depth_mm" doc:"near to far limit; null when that is endless"`
	FrontDepthMm      measure.Length  `json:"front_depth_mm" doc:"part of the depth nearer than the sitter's eye plane"`
	RearDepthMm       *measure.Length `json:"rear_depth_mm" doc:"part of the depth behind the sitter's eye plane; null when endless"`
	FrameWidthMm      measure.Length  `json:"frame_width_mm" doc:"what fills the plate's short side at the sitter"`
	FrameHeightMm     measure.Length  `json:"frame_height_mm" doc:"what fills the plate's long side at the sitter"`
	ViewDeg           float64         `json:"view_deg" doc:"angle of the plate's diagonal from the rear principal point, at this extension"`
	EquivalentFocalMm measure.Length  `json:"equivalent_focal_mm" doc:"focal length of the same view at infinity on 24 x 36 mm, by diagonal"`
	EquivalentFNumber measure.FNumber `json:"equivalent_f_number" doc:"f-number of the same pupil on that lens"`
	AiryMm            measure.Length  `json:"airy_mm" doc:"diameter of the first dark ring of diffraction at the effective f-number"`
	RoomMm            measure.Length  `json:"room_mm" doc:"least depth of room: sitter's eye plane to plate, and 1 m behind the camera"`

	BlurMm        measure.Length  `json:"blur_mm" doc:"the blur disc that was called sharp"`
	HyperfocalMm  measure.Length  `json:"hyperfocal_mm" doc:"distance to set for sharpness to infinity"`
	FocusDepthMm  measure.Length  `json:"focus_depth_mm" doc:"play of the plate along the axis within that blur, in all"`
	FocalMm       measure.Length  `json:"focal_mm" doc:"focal length"`
	FNumber       measure.FNumber `json:"f_number" doc:"marked f-number"`
	PupilMm       measure.Length  `json:"pupil_mm" doc:"diameter of the entrance pupil"`
	PupilMag      float64         `json:"pupil_mag" doc:"exit pupil over entrance pupil"`
	PupilAheadMm  measure.Length  `json:"pupil_ahead_mm" doc:"entrance pupil before the front principal plane; negative behind it"`
	PupilViewDeg  float64         `json:"pupil_view_deg" doc:"angle of the same diagonal before the camera, from the entrance pupil"`
	PlateWidthMm  measure.Length  `json:"plate_width_mm" doc:"the plate's width as it lies in the camera"`
	PlateHeightMm measure.Length  `json:"plate_height_mm" doc:"the plate's height as it lies in the camera"`
	FramedFocalMm measure.Length  `json:"framed_focal_mm" doc:"focal length that frames the same sitter from the same distance on 24 x 36 mm, by diagonal"`
	FramedFNumber measure.FNumber `json:"framed_f_number" doc:"f-number on that lens with the same depth relative to the picture"`
	Notes         []string        `json:"notes" doc:"what to know about this answer"`
}

// behindCamera is the room the operator has behind the camera.
const behindCamera = 1 * measure.Metre

// focus asks how far, how deep and how large. The formulas are those of paraxial optics with principal
// planes and pupils [Conj1995; PupilDof04]; package optics tells them.
func focus() *Reckoning {
	return define(Spec{
		Name:    "focus",
		Title:   "distance, extension and depth of field",
		Summary: "From a lens, its stop, a plate and one of magnification, distance or framing to extension, bellows stops, depth of field, framing and room.",
		Model: "Principal planes and pupils, no aberrations: the field is flat and the focus does not move with the stop, so a portrait " +
			"lens is softer off its axis than the depth says. Near and far limits are exact for any pupil magnification. " +
			"All distances before the camera are from the front principal plane, the extension is from the rear one; in most lenses " +
			"these lie within the barrel. Diffraction is 2.44 wavelengths by the effective f-number.",
		Sources: []string{"Conj1995", "PupilDof04", "ViewFocus1996"},
		Example: `{"focal_mm": 450, "f_number": 4.5, "plate": "8x10", "magnification": 0.43}`,
	}, answerFocus)
}

func answerFocus(q focusQuestion) (focusAnswer, error) {
	plate := q.plate()
	lens := optics.Lens{Focal: measure.Length(q.FocalMm), PupilMag: q.PupilMag}
	if err := setAperture(&lens, q); err != nil {
		return focusAnswer{}, err
	}
	set, err := setFocus(lens, plate, q)
	if err != nil {
		return focusAnswer{}, err
	}
	blur, notes := q.blur(make([]string, 0, 6))
	depth, err := set.Depth(blur)
	if err != nil {
		return focusAnswer{}, err
	}
	m := measure.Length(set.Magnification)
	infinity, framed := lens.AtInfinity(plate), set.Framed(plate)
	a := focusAnswer{
		Magnification:     set.Magnification,
		DistanceMm:        set.Distance,
		ExtensionMm:       set.Extension,
		EffectiveFNumber:  set.EffectiveStop(),
		BellowsStops:      set.Bellows(),
		NearMm:            depth.Near,
		FrontDepthMm:      depth.Front,
		FrameWidthMm:      plate.ShortSide() / m,
		FrameHeightMm:     plate.LongSide() / m,
		ViewDeg:           set.View(plate.Diagonal()).Degrees(),
		EquivalentFocalMm: infinity.Focal,
		EquivalentFNumber: infinity.Stop,
		AiryMm:            set.Airy(measure.Length(q.WavelengthNm) * measure.Micrometre / 1000),
		RoomMm:            set.Distance + set.Extension + behindCamera,
		BlurMm:            blur,
		HyperfocalMm:      lens.Hyperfocal(blur),
		FocusDepthMm:      set.FocusDepth(blur),
		FocalMm:           lens.Focal,
		FNumber:           lens.Stop,
		PupilMm:           lens.Pupil(),
		PupilMag:          lens.PupilMag,
		PupilAheadMm:      lens.EntrancePupil(),
		PupilViewDeg:      set.ViewFromPupil(plate.Diagonal()).Degrees(),
		PlateWidthMm:      plate.Width,
		PlateHeightMm:     plate.Height,
		FramedFocalMm:     framed.Focal,
		FramedFNumber:     framed.Stop,
	}
	if depth.Endless {
		notes = append(notes, "Everything from near_mm to infinity is within the blur, so far_mm, rear_depth_mm and depth_mm have no figure.")
	} else {
		a.FarMm, a.RearDepthMm, a.DepthMm = &depth.Far, &depth.Rear, &depth.Total
	}
	if depth.Near < 0 {
		notes = append(notes, "The near limit lies behind the front principal plane, between lens and pupil: so large a blur calls everything sharp.")
	}
	if q.PupilMag == 1 {
		notes = append(notes, "Both pupils are taken as equally large (pupil_mag 1), as in a thin or symmetrical lens; at portrait distances another ratio changes exposure and depth by some hundredths.")
	}
	if a.AiryMm > blur {
		notes = append(notes, "At this stop diffraction alone (airy_mm) is wider than the blur called sharp: nothing will be as sharp as that.")
	}
	a.Notes = append(notes,
		"room_mm takes the principal planes as one, leaves 1 m behind the plate, and leaves nothing behind the sitter's eyes: add for head rest and background.",
		"equivalent_* compare the view at infinity; framed_* frame this sitter from this distance, which is why they differ.")
	return a, nil
}

// plate returns the plate that is asked about.
func (q focusQuestion) plate() measure.PlateSize { return plateOf(q.Plate) }

// plateOf returns a plate to the letter, where a trade size would be a hair off.
func plateOf(p Plate) measure.PlateSize {
	plate := p.Size()
	if s := p.Sides; s != nil {
		plate.Width, plate.Height = measure.Length(s.WidthMm), measure.Length(s.HeightMm)
	}
	return plate
}

// blur returns the blur that is called sharp, with a note when it is the usual one.
func (q focusQuestion) blur(notes []string) (measure.Length, []string) {
	return blurOr(q.BlurMm, q.ViewingMm, notes)
}

// blurOr returns the blur given, or else the usual one of the viewing distance, with a note.
func blurOr(given *float64, viewing float64, notes []string) (measure.Length, []string) {
	if given != nil {
		return measure.Length(*given), notes
	}
	return optics.BlurFor(measure.Length(viewing)), append(notes, "No blur_mm was given: sharp is what blurs by no more than 0.10 mm seen from 250 mm, in proportion to viewing_mm; a convention, others run from 0.075 to 0.25 mm.")
}

// setAperture sets the stop from whichever was given.
func setAperture(l *optics.Lens, q focusQuestion) error {
	if q.FNumber != nil {
		l.Stop = measure.FNumber(*q.FNumber)
		return nil
	}
	pupil := *q.PupilMm
	l.Stop = measure.FNumber(q.FocalMm / pupil)
	low, high := q.FocalMm/float64(optics.GreatestStop), q.FocalMm/float64(optics.LeastStop)
	if l.Stop < optics.LeastStop || l.Stop > optics.GreatestStop {
		return refusePlace("pupil_mm", pupil, low, high, fmt.Sprintf("with a focal length of %s mm, for an f-number of 0.5 to 256", number(q.FocalMm)))
	}
	return nil
}

// setFocus focuses by whichever was given.
func setFocus(l optics.Lens, plate measure.PlateSize, q focusQuestion) (optics.Setting, error) {
	switch {
	case q.Magnific != nil:
		return l.AtMagnification(*q.Magnific)
	case q.DistanceMm != nil:
		near, far := optics.DistanceRange(l.Focal)
		if s := measure.Length(*q.DistanceMm); s < near || s > far {
			return optics.Setting{}, refusePlace("distance_mm", *q.DistanceMm, float64(near), min(float64(far), 1e7),
				fmt.Sprintf("with a focal length of %s mm, for a magnification of at most 100", number(q.FocalMm)))
		}
		return l.AtDistance(measure.Length(*q.DistanceMm))
	}
	long := float64(plate.LongSide())
	m := long / *q.FrameMm
	if m < optics.LeastMagnification || m > optics.GreatestMagnification {
		return optics.Setting{}, refusePlace("frame_height_mm", *q.FrameMm, long/optics.GreatestMagnification, min(long/optics.LeastMagnification, 1e7),
			fmt.Sprintf("on a plate with a long side of %s mm, for a magnification of at most 100", number(long)))
	}
	return l.AtMagnification(m)
}

// refusePlace refuses a value that is in its own range and out of that which the other values leave.
func refusePlace(key string, got, low, high float64, why string) error {
	return &FieldError{Field: key, Message: fmt.Sprintf("%s is %s; allowed is %s to %s mm %s", key, number(got), number(low), number(high), why),
		cause: &measure.RangeError{What: key, Got: got, Low: low, High: high, Unit: "mm", Source: why}}
}
