package pose

import (
	"math"

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
	Part   string // "head", "face", "ear", "eye", "brow", "nose", "lips", "neck", "bust", "hand", "leg"
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

// The ranges of a pose.
const (
	GreatestTurn                = 90 * measure.Degree
	GreatestNod                 = 45 * measure.Degree
	LeastLean                   = -20 * measure.Degree
	GreatestLean                = 45 * measure.Degree
	LeastSeat    measure.Length = 150
	GreatestSeat measure.Length = 1000
)

// Check reports the first thing about the pose that no sitter could do.
func (p Pose) Check() error {
	if err := p.Body.Check(); err != nil {
		return err
	}
	for _, a := range []struct {
		what      string
		got       measure.Angle
		low, high measure.Angle
	}{
		{"turn of the head", p.Turn, -GreatestTurn, GreatestTurn},
		{"turn of the shoulders", p.Shoulders, -GreatestTurn, GreatestTurn},
		{"nod", p.Nod, -GreatestNod, GreatestNod},
		{"lean", p.Lean, LeastLean, GreatestLean},
	} {
		if err := measure.Within(a.what, a.got.Degrees(), a.low.Degrees(), a.high.Degrees(), "°"); err != nil {
			return err
		}
	}
	if p.Standing {
		return nil
	}
	return measure.Within("height of the seat", float64(p.Seat), float64(LeastSeat), float64(GreatestSeat), "mm")
}

// turn is a rotation: first about the level axis across by nod, then about the upright axis by yaw.
type turn struct{ sinNod, cosNod, sinYaw, cosYaw float64 }

func turnBy(nod, yaw measure.Angle) turn {
	sn, cn := math.Sincos(nod.Radians())
	sy, cy := math.Sincos(yaw.Radians())
	return turn{sn, cn, sy, cy}
}

func (t turn) of(v Vec) Vec {
	y, z := v.Y*t.cosNod+v.Z*t.sinNod, -v.Y*t.sinNod+v.Z*t.cosNod
	return Vec{v.X*t.cosYaw - z*t.sinYaw, y, v.X*t.sinYaw + z*t.cosYaw}
}

func (v Vec) plus(w Vec) Vec          { return Vec{v.X + w.X, v.Y + w.Y, v.Z + w.Z} }
func (v Vec) minus(w Vec) Vec         { return Vec{v.X - w.X, v.Y - w.Y, v.Z - w.Z} }
func (v Vec) times(k float64) Vec     { return Vec{v.X * k, v.Y * k, v.Z * k} }
func (v Vec) dot(w Vec) float64       { return v.X*w.X + v.Y*w.Y + v.Z*w.Z }
func (v Vec) cross(w Vec) Vec         { return Vec{v.Y*w.Z - v.Z*w.Y, v.Z*w.X - v.X*w.Z, v.X*w.Y - v.Y*w.X} }
func (v Vec) to(w Vec, u float64) Vec { return v.plus(w.minus(v).times(u)) }
func (v Vec) length() float64         { return math.Sqrt(v.dot(v)) }

// Where the body turns, from memory: the head where the skull rests on the neck, the shoulders about
// the neck's upright, the trunk about the hips a hand's breadth above the seat.
const (
	pivotBelow  = 40.0 // below the eyes
	pivotBehind = 92.0
	hipsAbove   = 90.0 // above the seat
)

// stance moves the neutral body into the pose.
type stance struct {
	head, shoulders, lean turn
	pivot, hips           Vec
	upright               float64 // depth of the axis about which the shoulders turn
	eyes                  Vec     // where the middle of the eyes came to lie, before it became the origin
}

func (p Pose) stance(h head, t bust) stance {
	k := float64(p.Body.HeadLength) / 194.65
	size := float64(p.Body.SittingEye) / 776.3
	s := stance{
		head:      turnBy(p.Nod, p.Turn),
		shoulders: turnBy(0, p.Shoulders),
		lean:      turnBy(p.Lean, 0),
		pivot:     Vec{0, -pivotBelow * k, pivotBehind * k},
		hips:      Vec{0, -float64(p.Body.SittingEye) + hipsAbove*size, t.shoulder + 30*size},
		upright:   t.shoulder,
	}
	s.eyes = s.ofHead(Vec{})
	return s
}

// ofTrunk moves a point of the trunk.
func (s *stance) ofTrunk(v Vec) Vec {
	axis := Vec{0, 0, s.upright}
	v = s.shoulders.of(v.minus(axis)).plus(axis)
	return s.lean.of(v.minus(s.hips)).plus(s.hips).minus(s.eyes)
}

// ofHead moves a point of the head: its pivot goes with the lean, its attitude is its own.
func (s *stance) ofHead(v Vec) Vec {
	pivot := s.lean.of(s.pivot.minus(s.hips)).plus(s.hips)
	return s.head.of(v.minus(s.pivot)).plus(pivot).minus(s.eyes)
}

// Figure returns the body in the pose. The head's attitude (Turn, Nod) is against the room; leaning
// carries it forward and down without tilting it. The origin is laid midway between the eyes after
// all has been moved. Seen as from far away: what a patch hides of another is not worked out, so on a
// face turned far the cheek behind the nose still counts as seen.
func (p Pose) Figure() (Figure, error) {
	if err := p.Check(); err != nil {
		return Figure{}, err
	}
	h := headOf(p.Body)
	shaper, bust := shaperOf(h), bustOf(p.Body, h)
	place := p.stance(h, bust)
	round := planOf(0.78, 0.78)

	skull := shaper.skull()
	for i, v := range skull.points {
		skull.points[i] = place.ofHead(v)
	}
	throat, follows := bust.throat(&round, h)
	for r := range throat.rows {
		for i, v := range throat.ring(r) {
			throat.ring(r)[i] = place.ofHead(v).to(place.ofTrunk(v), follows[r])
		}
	}
	trunk := bust.trunk(&round)
	for i, v := range trunk.points {
		trunk.points[i] = place.ofTrunk(v)
	}
	hands := p.hands(bust, &place)

	f := Figure{Landmarks: make([]Placed, 0, 13), Patches: make([]Patch, 0, 900)}
	f.Landmarks = append(f.Landmarks,
		Placed{RightEye, place.ofHead(Vec{-h.eye, 0, 0})},
		Placed{LeftEye, place.ofHead(Vec{h.eye, 0, 0})},
		Placed{NoseTip, place.ofHead(shaper.middle(-tipBelow))},
		Placed{Lips, place.ofHead(shaper.middle(-mouthBelow))},
		Placed{Chin, place.ofHead(shaper.middle(-pointBelow))},
		Placed{RightEar, place.ofHead(Vec{-h.ear.X, h.ear.Y, h.ear.Z})},
		Placed{LeftEar, place.ofHead(h.ear)},
		Placed{Hairline, place.ofHead(shaper.middle(hairAbove))},
		Placed{Collar, place.ofTrunk(Vec{0, bust.y, bust.collar})},
		Placed{RightShoulder, place.ofTrunk(Vec{-bust.tips, bust.y - tipsBelow*bust.size, bust.shoulder})},
		Placed{LeftShoulder, place.ofTrunk(Vec{bust.tips, bust.y - tipsBelow*bust.size, bust.shoulder})})
	if p.Hands {
		f.Landmarks = append(f.Landmarks, Placed{RightHand, hands[0]}, Placed{LeftHand, hands[1]})
	}
	f.Patches = skull.patches(f.Patches, rowsAbove, rowsAbove+faceRows-1)
	f.Patches = throat.patches(f.Patches, -1, -1)
	f.Patches = trunk.patches(f.Patches, -1, -1)

	eye := float64(p.Seat + p.Body.SittingEye)
	if p.Standing {
		eye = float64(p.Body.Stature - p.Body.EyeToVertex)
	}
	f.EyeHeight = measure.Length(eye + place.eyes.Y)
	p.draw(&f, &shaper, &place, skull, throat, trunk, hands)
	return f, nil
}

// middle returns the point of the face's middle line at a height in the scan's mm above the root of
// the nose.
func (s *shaper) middle(local float64) Vec {
	y := s.root + local*s.q
	return Vec{0, y, s.front(0, y)}
}

// hands returns where the backs of the right and the left hand lie: seated in the lap, halfway from
// the belly to the knees and a thigh's height above the seat; standing at the sides.
func (p Pose) hands(t bust, place *stance) [2]Vec {
	b := p.Body
	if p.Standing {
		below := -0.49 * float64(b.Stature) // eyes to hanging hands, from memory
		x, z := 0.93*t.arms, t.shoulder-10
		return [2]Vec{place.ofTrunk(Vec{-x, below, z}), place.ofTrunk(Vec{x, below, z})}
	}
	belly := t.back - float64(b.AbdomenDepth)
	knees := t.back - float64(b.ButtockKnee)
	thigh := 170 * float64(b.SittingEye) / 776.3 // seat to the back of a hand on it, from memory
	v := Vec{0.6 * float64(b.HandBreadth), -float64(b.SittingEye) + thigh, (belly + knees) / 2}
	return [2]Vec{Vec{-v.X, v.Y, v.Z}.minus(place.eyes), v.minus(place.eyes)}
}

// patches appends the grid's quadrilaterals that face the camera. Those between the two rows and on
// the front are the face's.
func (g grid) patches(out []Patch, faceFrom, faceTo int) []Patch {
	for r := range g.rows - 1 {
		above, below := g.ring(r), g.ring(r+1)
		for i := range ringPoints {
			j := (i + 1) % ringPoints
			normal := below[j].minus(above[i]).cross(below[i].minus(above[j])) // outward, twice the area long
			at := above[i].plus(above[j]).plus(below[i]).plus(below[j]).times(0.25)
			long := normal.length()
			if long < 1e-9 {
				continue
			}
			normal = normal.times(1 / long)
			if normal.Z >= 0 {
				continue
			}
			out = append(out, Patch{At: at, Normal: normal, Area: long / 2, Face: r >= faceFrom && r < faceTo && i < frontPoints-1})
		}
	}
	return out
}
