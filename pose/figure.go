package pose

import (
	"errors"

	"platewright/measure"
)

// Landmark is a place on the sitter that may have to be sharp. Right and left are the sitter's.
type Landmark string

// The landmarks.
const (
	RightEye      Landmark = "right eye"
	LeftEye       Landmark = "left eye"
	NoseTip       Landmark = "nose tip"
	Lips          Landmark = "lips"
	Chin          Landmark = "chin"
	RightEar      Landmark = "right ear"
	LeftEar       Landmark = "left ear"
	Hairline      Landmark = "hairline"
	Collar        Landmark = "collar"
	RightShoulder Landmark = "right shoulder"
	LeftShoulder  Landmark = "left shoulder"
	RightHand     Landmark = "right hand"
	LeftHand      Landmark = "left hand"
)

// Vec is a point or a direction in figure coordinates, mm.
type Vec struct{ X, Y, Z float64 }

// Placed is a landmark of a posed figure.
type Placed struct {
	Name Landmark
	At   Vec
}

// Patch is a small piece of the figure's surface as the camera sees it.
type Patch struct {
	At     Vec
	Normal Vec     // outward, of length one; Z is negative, since the patch faces the camera
	Area   float64 // of the surface itself, mm²
	Face   bool    // of the face's front: hairline to chin, ear to ear as seen
}

// Line is one polyline of an outline.
type Line struct {
	Part   string // "head", "bust", "ear", "eye", "brow", "nose", "lips", "neck", "hand", "seat"
	Points []Vec
	Closed bool
}

// Outline is a drawing of the figure from one side, as polylines in figure coordinates. What is seen
// from the front is drawn with X and Y, from the side with Z and Y, from above with X and Z.
type Outline []Line

// Figure is a body in a pose.
type Figure struct {
	Landmarks          []Placed
	Patches            []Patch
	EyeHeight          measure.Length // the origin above the floor
	Front, Side, Above Outline
}

// Landmark returns where a landmark lies; it reports false when the figure has none of that name.
func (f Figure) Landmark(name Landmark) (Vec, bool) {
	for _, p := range f.Landmarks {
		if p.Name == name {
			return p.At, true
		}
	}
	return Vec{}, false
}

// Pose is a body and how it is placed before the camera. Angles are against the room, not against
// each other: a sitter who leans still holds the head as Turn and Nod say.
type Pose struct {
	Body      Body
	Turn      measure.Angle  // the face turned to the photographer's right
	Nod       measure.Angle  // the chin down
	Lean      measure.Angle  // the trunk toward the camera, about the hips
	Shoulders measure.Angle  // the shoulders turned as Turn says; zero is square to the camera
	Standing  bool           // otherwise seated
	Seat      measure.Length // height of the seat above the floor; not used standing
	Hands     bool           // whether the hands are part of the picture
}

// Figure returns the body in the pose.
func (p Pose) Figure() (Figure, error) { return Figure{}, errors.New("the figure is not drawn yet") }
