package bench

// TwoMagnifications finds the focal length as the slope of the extension against the magnification, in
// which the principal planes cancel: e = e∞ + f m.
type TwoMagnifications struct {
	Readings        []SizedReading `json:"readings" items:"1,100" doc:"settings at different magnifications, two or more; five are better"`
	ExtensionSDMm   float64        `json:"extension_sd_mm" range:"(0,50]" doc:"to how much one focuses and reads the rail, as a standard deviation"`
	ImageSDMm       float64        `json:"image_sd_mm" default:"0.15" range:"(0,20]" doc:"to how much image_mm is read"`
	MagnificationSD float64        `json:"magnification_sd" default:"0.001" range:"(0,1]" doc:"to how much magnification is known, where it was given itself"`
	ObjectSDShare   float64        `json:"object_sd_share" default:"0" range:"[0,0.1]" doc:"error of the rule's length as a share of it, common to all readings"`
	DistanceSDMm    float64        `json:"distance_sd_mm" default:"3" range:"(0,200]" doc:"to how much distance_mm is read"`
}

// SizedReading is one focused setting with what is known of the size of the image.
type SizedReading struct {
	ExtensionMm   float64  `json:"extension_mm" range:"[-10000,10000]" doc:"reading of the rail, growing as the glass goes away from the lens; from the lens board to the glass if the principal planes are wanted"`
	Magnification *float64 `json:"magnification" range:"[0.001,20]" doc:"image size over object size; or else image_mm and object_mm"`
	ImageMm       *float64 `json:"image_mm" range:"(0,2000]" doc:"length of the image on the glass"`
	ObjectMm      *float64 `json:"object_mm" range:"(0,100000]" doc:"length of what was focused, such as a rule"`
	DistanceMm    *float64 `json:"distance_mm" range:"(0,1000000]" doc:"from that object to the lens board, if the front principal plane is wanted"`
}

// FarTarget finds the focal length from the mark of infinity on the rail, or from a far target brought
// to the edge of the glass by turning the camera.
type FarTarget struct {
	Readings        []FarReading `json:"readings" items:"1,100" doc:"each with extension_mm and a magnification, or with image_mm and angle_deg"`
	ExtensionSDMm   float64      `json:"extension_sd_mm" default:"0.3" range:"(0,50]" doc:"to how much one focuses and reads the rail"`
	InfinitySDMm    float64      `json:"infinity_sd_mm" default:"0.3" range:"[0,50]" doc:"to how much the mark of infinity is right, common to all readings"`
	ImageSDMm       float64      `json:"image_sd_mm" default:"0.15" range:"(0,20]" doc:"to how much image_mm is read"`
	MagnificationSD float64      `json:"magnification_sd" default:"0.001" range:"(0,1]" doc:"to how much magnification is known, where it was given itself"`
	ObjectSDShare   float64      `json:"object_sd_share" default:"0" range:"[0,0.1]" doc:"error of the rule's length as a share of it, common to all readings"`
	AngleSDDeg      float64      `json:"angle_sd_deg" default:"0.1" range:"(0,10]" doc:"to how much the angle is read"`
}

// FarReading is one reading by the mark of infinity, or by an angle.
type FarReading struct {
	ExtensionMm   *float64 `json:"extension_mm" range:"(0,10000]" doc:"how far the glass stands behind the mark of infinity"`
	Magnification *float64 `json:"magnification" range:"[0.001,20]" doc:"image size over object size there; or else image_mm and object_mm"`
	ObjectMm      *float64 `json:"object_mm" range:"(0,100000]" doc:"length of what was focused"`
	ImageMm       *float64 `json:"image_mm" range:"(0,2000]" doc:"length of its image; with angle_deg: from the axis to the far target's image"`
	AngleDeg      *float64 `json:"angle_deg" range:"[1,60]" doc:"by how much the camera was turned to bring the far target from the axis there"`
}

// KnownObject finds the focal length from the length of the image of a rule at a known distance from the
// glass: T = f (2 + m + 1/m) + H, H the distance between the principal planes.
type KnownObject struct {
	Readings      []ObjectReading `json:"readings" items:"1,100" doc:"one or more; at different distances they test each other"`
	ImageSDMm     float64         `json:"image_sd_mm" default:"0.15" range:"(0,20]" doc:"to how much image_mm is read"`
	DistanceSDMm  float64         `json:"distance_sd_mm" default:"3" range:"(0,200]" doc:"to how much target_mm is read"`
	ObjectSDShare float64         `json:"object_sd_share" default:"0" range:"[0,0.1]" doc:"error of the rule's length as a share of it, common to all readings"`
	PlanesMm      float64         `json:"planes_mm" default:"0" range:"[-1000,1000]" doc:"front to rear principal plane, negative when they lie crossed"`
	PlanesSDMm    *float64        `json:"planes_sd_mm" range:"[0,500]" doc:"to how much that is known; left out: 4 % of the focal length found"`
}

// ObjectReading is the image of a known length at a known distance.
type ObjectReading struct {
	ObjectMm float64 `json:"object_mm" range:"(0,100000]" doc:"length of the object"`
	ImageMm  float64 `json:"image_mm" range:"(0,2000]" doc:"length of its image on the glass"`
	TargetMm float64 `json:"target_mm" range:"(0,1000000]" doc:"from the object to the glass"`
}

// NodalPoint finds the focal length as the distance of the image of a far target from the axis about which
// the lens is turned without the image moving.
type NodalPoint struct {
	Readings     []NodalReading `json:"readings" items:"1,100" doc:"one or more, each focused and laid on the axis anew"`
	DistanceSDMm float64        `json:"distance_sd_mm" default:"0.5" range:"(0,50]" doc:"to how much one focuses and finds the axis of rest"`
	AxisSDMm     float64        `json:"axis_sd_mm" default:"0.5" range:"[0,50]" doc:"to how much the place of the axis on the stand is known, common to all readings"`
}

// NodalReading is one setting.
type NodalReading struct {
	DistanceMm float64 `json:"distance_mm" range:"[10,5000]" doc:"axis to image"`
}

// EntrancePupil finds the diameter of the entrance pupil, and with the focal length the f-number: from the
// disc of light that a pinhole torch at the infinity focus sends out in front, or by looking at the opening.
type EntrancePupil struct {
	Readings  []PupilReading `json:"readings" items:"1,100" doc:"one or more, each with disc_mm or seen_mm"`
	ReadSDMm  float64        `json:"read_sd_mm" default:"0.3" range:"(0,20]" doc:"to how much the disc or the opening is read"`
	EyeMm     *float64       `json:"eye_mm" range:"[100,100000]" doc:"from the eye to the scale held before the lens; needed for seen_mm"`
	DepthMm   float64        `json:"depth_mm" default:"0" range:"[0,1000]" doc:"how far behind that scale the opening seems to lie"`
	DepthSDMm float64        `json:"depth_sd_mm" default:"5" range:"[0,200]" doc:"to how much that is known, common to all readings"`
	FocalMm   float64        `json:"focal_mm" range:"[10,5000]" doc:"focal length"`
	FocalSDMm float64        `json:"focal_sd_mm" range:"[0,500]" doc:"its standard deviation, from its own measurement"`
}

// PupilReading is one reading of the opening, by one of two ways.
type PupilReading struct {
	DiscMm *float64 `json:"disc_mm" one:"way" range:"(0,1000]" doc:"diameter of the disc of light on paper in front"`
	SeenMm *float64 `json:"seen_mm" one:"way" range:"(0,1000]" doc:"diameter of the opening read on a scale before the lens, seen from eye_mm"`
}

// StopHoles finds the f-number of each stop from its hole, and the holes to cut for f-numbers wanted.
type StopHoles struct {
	FocalMm      float64         `json:"focal_mm" range:"[10,5000]" doc:"focal length"`
	FocalSDMm    float64         `json:"focal_sd_mm" range:"[0,500]" doc:"its standard deviation, from its own measurement"`
	Discs        []FactorReading `json:"discs" default:"[]" items:"0,100" doc:"stops of known hole with the entrance pupil they make: how much the front glass magnifies the hole; or else stop_factor"`
	StopFactor   *float64        `json:"stop_factor" range:"[0.2,5]" doc:"entrance pupil over the hole that makes it, if measured before"`
	StopFactorSD float64         `json:"stop_factor_sd" default:"0" range:"[0,1]" doc:"its standard deviation"`
	PupilSDMm    float64         `json:"pupil_sd_mm" default:"0.3" range:"(0,20]" doc:"to how much pupil_mm is read"`
	HoleSDMm     float64         `json:"hole_sd_mm" default:"0.1" range:"(0,20]" doc:"to how much a hole is measured"`
	Stops        []StopReading   `json:"stops" default:"[]" items:"0,50" doc:"the stops there are"`
	Wanted       []float64       `json:"wanted" default:"[]" items:"0,50" range:"[0.5,256]" doc:"f-numbers to cut holes for, such as [4.5,5.6,8,11,16]"`
}

// FactorReading is a hole beside the entrance pupil it makes.
type FactorReading struct {
	HoleMm  float64 `json:"hole_mm" range:"(0,1000]" doc:"diameter of the hole"`
	PupilMm float64 `json:"pupil_mm" range:"(0,1000]" doc:"diameter of the entrance pupil, as disc_mm of an entrance pupil is read"`
}

// StopReading is a stop and its hole.
type StopReading struct {
	Name   string  `json:"name" doc:"what is engraved on it, or any name"`
	HoleMm float64 `json:"hole_mm" range:"(0,1000]" doc:"diameter of its hole"`
}

// PupilSides finds the pupil magnification by looking at one and the same stop from both sides.
type PupilSides struct {
	Readings []SidesReading `json:"readings" items:"1,100" doc:"one or more"`
	ReadSDMm float64        `json:"read_sd_mm" default:"0.3" range:"(0,20]" doc:"to how much an opening is read"`
}

// SidesReading is the same stop seen from both sides from equally far.
type SidesReading struct {
	FrontMm float64 `json:"front_mm" range:"(0,1000]" doc:"diameter of the opening from the front"`
	RearMm  float64 `json:"rear_mm" range:"(0,1000]" doc:"the same from behind"`
}

// FieldCurve finds the focal surface from best-focus readings at several heights on the glass, of a flat
// target square to the axis: e(h) = e0 - h²/2R - k h⁴.
type FieldCurve struct {
	Readings      []HeightReading `json:"readings" items:"1,200" doc:"on the axis and off it, at different heights"`
	ExtensionSDMm float64         `json:"extension_sd_mm" range:"(0,50]" doc:"to how much one focuses and reads the rail"`
	HeightSDMm    float64         `json:"height_sd_mm" default:"0.5" range:"(0,20]" doc:"to how much a height is read"`
	WithFourth    bool            `json:"with_fourth" default:"false" doc:"true fits the term in h⁴ as well, for fields that curve more, or back, toward the edge"`
}

// HeightReading is one best focus at a height on the glass.
type HeightReading struct {
	HeightMm    float64 `json:"height_mm" range:"[-1000,1000]" doc:"from the axis to the image; the sign is only a note of the side"`
	ExtensionMm float64 `json:"extension_mm" range:"[-10000,10000]" doc:"reading of the rail, growing as the glass goes away from the lens"`
	Lines       string  `json:"lines" default:"\"any\"" enum:"any|away|round" doc:"what was focused: lines that run away from the axis (sagittal), round it (tangential), or any detail"`
}

// GoodCircle finds the cone of good definition at a stop, and the lit cone, from where their edges lie on the glass.
type GoodCircle struct {
	Readings      []EdgeReading `json:"readings" items:"1,100" doc:"one or more, in different directions"`
	EdgeSDMm      float64       `json:"edge_sd_mm" default:"3" range:"(0,200]" doc:"to how much an edge is told"`
	FocalMm       float64       `json:"focal_mm" range:"[10,5000]" doc:"focal length"`
	FocalSDMm     float64       `json:"focal_sd_mm" default:"0" range:"[0,500]" doc:"its standard deviation"`
	PupilMag      float64       `json:"pupil_mag" default:"1" range:"[0.1,10]" doc:"exit over entrance pupil"`
	PupilMagSD    float64       `json:"pupil_mag_sd" default:"0" range:"[0,1]" doc:"its standard deviation"`
	Magnification float64       `json:"magnification" default:"0" range:"[0,10]" doc:"at which it was read; 0 for a far target"`
	FNumber       float64       `json:"f_number" range:"[0.5,256]" doc:"the stop it was read at"`
}

// EdgeReading is where an edge lies.
type EdgeReading struct {
	EdgeMm float64 `json:"edge_mm" range:"(0,2000]" doc:"from the axis to the edge, half the diameter of the circle"`
	Edge   string  `json:"edge" default:"\"sharp\"" enum:"sharp|lit" doc:"sharp: where definition ends; lit: where light ends"`
}

// ShiftOnStopping finds how the focus moves as the lens is stopped down.
type ShiftOnStopping struct {
	Readings      []ShiftReading `json:"readings" items:"1,200" doc:"best focus at the full opening and at each stop, several times each"`
	ExtensionSDMm float64        `json:"extension_sd_mm" range:"(0,50]" doc:"to how much one focuses and reads the rail"`
	Magnification float64        `json:"magnification" default:"0" range:"[0,10]" doc:"at which it was read; 0 for a far target"`
}

// ShiftReading is one best focus at a stop.
type ShiftReading struct {
	FNumber     float64 `json:"f_number" range:"[0.5,256]" doc:"the stop"`
	ExtensionMm float64 `json:"extension_mm" range:"[-10000,10000]" doc:"reading of the rail, growing as the glass goes away from the lens"`
}

// StepPlate finds the chemical focus from plates of cards at stepped depths: the card that is sharpest on
// the plate, where the eye had focused on card 0.
type StepPlate struct {
	Readings        []StepReading `json:"readings" items:"1,100" doc:"one for each plate"`
	StepSDMm        float64       `json:"step_sd_mm" range:"(0,1000]" doc:"to how much the sharpest depth is told; at least 0.29 of the step between cards, and about a quarter of the depth of field"`
	FocalMm         float64       `json:"focal_mm" range:"[10,5000]" doc:"focal length"`
	FocalSDMm       float64       `json:"focal_sd_mm" default:"0" range:"[0,500]" doc:"its standard deviation"`
	Magnification   float64       `json:"magnification" range:"[0.001,10]" doc:"at card 0"`
	MagnificationSD float64       `json:"magnification_sd" default:"0.001" range:"[0,1]" doc:"its standard deviation"`
}

// StepReading is one plate.
type StepReading struct {
	BehindMm float64 `json:"behind_mm" range:"[-5000,5000]" doc:"how far the sharpest card lies behind card 0, away from the camera; negative before it"`
}
