package flash

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/light"
	"platewright/measure"
)

// Room is what the light goes round in: walls, floor and ceiling together. What it adds is reckoned as in an integrating
// sphere of that surface [Sumpner1892], the same on every side: an approximation that is best in a small white room and
// overstates a large, dark or cluttered one, where reflectance is anyhow a guess.
type Room struct {
	Surface     float64 // m²
	Reflectance float64 // mean over all of it, 0 to below 1
}

// Check refuses a room with figures out of range.
func (r Room) Check() error {
	if err := measure.Within("room's surface", r.Surface, 1, 1e5, "m²"); err != nil {
		return err
	}
	return measure.Within("room's reflectance", r.Reflectance, 0, 0.95, "")
}

// Adds returns what the room adds on any receptor, lx·s, of the luminous energy that the heads send out, lm·s: all that
// has been reflected at least once.
func (r Room) Adds(luminous float64) (light.LuxSeconds, error) {
	if err := r.Check(); err != nil {
		return 0, err
	}
	return light.LuxSeconds(luminous * r.Reflectance / (r.Surface * (1 - r.Reflectance))), nil // [Sumpner1892] E = Q rho/(A (1 - rho))
}

// Board is a white board or cloth that throws light back at the sitter's face. Each of its parts is taken as a diffuse
// surface that sends on the share Reflectance of what the heads give it; light between boards is left out.
type Board struct {
	Name          string
	Width, Height measure.Length
	Distance      measure.Length // from its middle to the sitter's face; the board faces the sitter
	Angle         measure.Angle  // round the sitter, as of a [Head]
	Above         measure.Length
	Reflectance   float64 // 0 to 1
}

// Check refuses a board with figures out of range.
func (b Board) Check() error {
	widest := MostSide.Metres()
	for _, c := range []struct {
		what           string
		got, low, high float64
		unit           string
	}{
		{"board's width", b.Width.Metres(), 0.01, widest, "m"},
		{"board's height", b.Height.Metres(), 0.01, widest, "m"},
		{"board's distance", b.Distance.Metres(), 0.05, 100, "m"},
		{"board's angle", b.Angle.Degrees(), -360, 360, "°"},
		{"board's height above the face", b.Above.Metres(), -b.Distance.Metres(), b.Distance.Metres(), "m"},
		{"board's reflectance", b.Reflectance, 0, 1, ""},
	} {
		if err := measure.Within(c.what, c.got, c.low, c.high, c.unit); err != nil {
			return err
		}
	}
	return nil
}

// boardParts is how often a board is cut each way.
const boardParts = 6

// adds gives what the board throws on a receptor at the sitter's face that looks along n, from each head, lx·s.
func (b Board) adds(heads []Head, n r3.Vec) []float64 {
	middle := placeOf(b.Distance, b.Above, b.Angle)
	m := r3.Unit(r3.Scale(-1, middle))
	u := horizontal(m)
	v := r3.Cross(m, u)
	w, h := b.Width.Millimetres()/boardParts, b.Height.Millimetres()/boardParts
	out := make([]float64, len(heads))
	for i := range boardParts {
		for j := range boardParts {
			x, y := (float64(i)+0.5-boardParts/2)*w, (float64(j)+0.5-boardParts/2)*h
			p := r3.Add(middle, r3.Add(r3.Scale(x, u), r3.Scale(y, v)))
			seen := faceSeen(p, m, w, h, n)
			if seen == 0 {
				continue
			}
			for k, head := range heads {
				out[k] += b.Reflectance / math.Pi * head.on(p, m) * seen // L = rho E/pi
			}
		}
	}
	return out
}

// UsualCheek is how far to its side each half of a face is taken to look.
const UsualCheek = 45 * measure.Degree

// Rig is a set of heads round a sitter.
type Rig struct {
	Heads  []Head
	Boards []Board
	Room   *Room         // nil: the room gives nothing back
	Face   measure.Angle // turned to the photographer's right, as in a pose
	Cheek  measure.Angle // how far to either side of where the face looks its halves look; 0 is [UsualCheek]
}

// MostHeads is how many heads and how many boards a rig may have.
const MostHeads = 32

// Check refuses a rig with a figure out of range and says of which head or board.
func (r Rig) Check() error {
	if len(r.Heads) == 0 || len(r.Heads) > MostHeads || len(r.Boards) > MostHeads {
		return fmt.Errorf("a rig has %d heads and %d boards; 1 to %d heads and at most as many boards are reckoned", len(r.Heads), len(r.Boards), MostHeads)
	}
	for i, h := range r.Heads {
		if err := h.Check(); err != nil {
			return fmt.Errorf("head %s: %w", named(h.Name, i), err)
		}
	}
	for i, b := range r.Boards {
		if err := b.Check(); err != nil {
			return fmt.Errorf("board %s: %w", named(b.Name, i), err)
		}
	}
	if r.Room != nil {
		if err := r.Room.Check(); err != nil {
			return err
		}
	}
	if err := measure.Within("turn of the face", r.Face.Degrees(), -180, 180, "°"); err != nil {
		return err
	}
	return measure.Within("side of the face", r.Cheek.Degrees(), 0, 90, "°")
}

func named(name string, i int) string {
	if name != "" {
		return name
	}
	return fmt.Sprint(i + 1)
}

// Lit is what a rig gives at the sitter's face. The shadow of nose, brow and head is not in it.
type Lit struct {
	Front   light.LuxSeconds   // on a receptor at the face that looks at the camera, as a flash meter is held
	Right   light.LuxSeconds   // on the half of the face at the photographer's right
	Left    light.LuxSeconds   // on the other half
	Heads   []light.LuxSeconds // of Front, straight from each head
	Boards  light.LuxSeconds   // of Front, by the boards
	Room    light.LuxSeconds   // of Front, round the room
	Actinic measure.Stops      // what Front does to the plate beyond what the meter says: the heads' own, by their shares
}

// KeyFill returns the brighter and the darker half of the face.
func (l Lit) KeyFill() (key, fill light.LuxSeconds) {
	return max(l.Right, l.Left), min(l.Right, l.Left)
}

// Ratio returns the stops between the two halves of the face, and false when the darker one gets nothing at all.
func (l Lit) Ratio() (stops measure.Stops, known bool) {
	key, fill := l.KeyFill()
	if !(fill > 0) {
		return 0, false
	}
	return measure.StopsOf(float64(key) / float64(fill)), true
}

// At returns what the rig gives at the sitter's face.
func (r Rig) At() (Lit, error) {
	if err := r.Check(); err != nil {
		return Lit{}, err
	}
	cheek := r.Cheek
	if cheek == 0 {
		cheek = UsualCheek
	}
	lit := Lit{Heads: make([]light.LuxSeconds, len(r.Heads))}
	direct, boards, room, plate := r.on(0)
	for i, d := range direct {
		lit.Heads[i] = light.LuxSeconds(d)
	}
	lit.Front, lit.Boards, lit.Room = sum(direct, boards, room), light.LuxSeconds(boards), light.LuxSeconds(room)
	if lit.Front > 0 {
		lit.Actinic = measure.StopsOf(plate / float64(lit.Front))
	}
	direct, boards, room, _ = r.on(r.Face + cheek)
	lit.Right = sum(direct, boards, room)
	direct, boards, room, _ = r.on(r.Face - cheek)
	lit.Left = sum(direct, boards, room)
	return lit, nil
}

func sum(direct []float64, boards, room float64) light.LuxSeconds {
	total := boards + room
	for _, d := range direct {
		total += d
	}
	return light.LuxSeconds(total)
}

// on returns what falls on a receptor at the face turned from the camera to the photographer's right: straight from each
// head, by the boards, round the room, and all of it weighed by what each head's light does to the plate.
func (r Rig) on(turn measure.Angle) (direct []float64, boards, room, plate float64) {
	sin, cos := math.Sincos(turn.Radians())
	n := r3.Vec{X: sin, Z: cos}
	direct = make([]float64, len(r.Heads))
	for i, h := range r.Heads {
		direct[i] = h.on(r3.Vec{}, n)
		plate += direct[i] * h.Actinic.Factor()
		if r.Room != nil {
			adds := h.Luminous() * h.Spread.leaving() * r.Room.Reflectance / (r.Room.Surface * (1 - r.Room.Reflectance))
			room += adds
			plate += adds * h.Actinic.Factor()
		}
	}
	for _, b := range r.Boards {
		for i, e := range b.adds(r.Heads, n) {
			boards += e
			plate += e * r.Heads[i].Actinic.Factor()
		}
	}
	return direct, boards, room, plate
}
