// Package flash tells what studio flash gives at a sitter's face.
//
// A head stores joules; its tube makes luminous energy of them, so many lumen-seconds a joule; a bare tube sends that
// evenly to all sides, a reflector or an umbrella more of it forward, a softbox spreads it over its face. The face of a
// softbox is taken as an evenly bright Lambertian surface, and what it gives is reckoned over all of the face, not from
// its middle: by the formula for a disc [Howell2010] and by Lambert's sum round a polygon [Lambert1760], for a receptor
// turned any way. Inverse square is the limit of both far away. Light that has gone round the room is that of an
// integrating sphere [Sumpner1892], a board one diffuse bounce.
//
// Symbols: Q luminous energy, I intensity times time, L luminance times time, H exposure at the face in lx·s, N aperture
// number, S exposure index, C the meter's constant of package light. Energies and pops add; what a row of pops does to
// wet collodion beyond their sum is unmeasured, and so is what so short a light does to it beyond its sum: find the
// index by flash.
//
// Coordinates: the sitter's face is the origin, x to the photographer's right, y up, z toward the camera.
// The package refuses figures that are not finite or out of the ranges stated; it never calls a dose safe.
package flash

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/light"
	"platewright/measure"
)

// Joules is an electrical energy, as written on a flash head.
type Joules float64

// Efficacies of flash tubes in lumen-seconds a joule: the range in which makers' figures lie, and its geometric middle
// [FlashEfficacy01]. An overdriven or aged tube gives less.
const (
	LeastEfficacy = 15.0
	UsualEfficacy = 26.0
	MostEfficacy  = 45.0
)

// Ranges of what a head may be.
const (
	LeastEnergy   = Joules(0.01)
	MostEnergy    = Joules(1e6)
	LowestYield   = 1.0 // lm s/J
	HighestYield  = 120.0
	LeastDistance = 10 * measure.Millimetre
	MostDistance  = 1000 * measure.Metre
	MostSide      = 20 * measure.Metre
	MostGain      = 200.0
	MostPops      = 1000
)

// Kind is what stands before the tube.
type Kind string

// Kinds of spread.
const (
	Bare      Kind = "bare"
	Reflector Kind = "reflector"
	Umbrella  Kind = "umbrella"
	Softbox   Kind = "softbox"
)

// Kinds returns all kinds of spread.
func Kinds() []Kind { return []Kind{Bare, Reflector, Umbrella, Softbox} }

// Choices returns the texts of [Kinds].
func (Kind) Choices() []string {
	return []string{string(Bare), string(Reflector), string(Umbrella), string(Softbox)}
}

// Spread is how a head's light leaves it.
type Spread struct {
	Kind       Kind
	Gain       float64        // reflector, umbrella: light on the axis over that of the bare tube; 4 to 6, 10 to 20 narrow, and 1 to 2 (common practice, no source): measure it
	Width      measure.Length // softbox: of its face; a round one's diameter; of an umbrella or reflector 0 when unknown
	Height     measure.Length // softbox: of its face; not asked of a round one
	Round      bool           // the face is a disc; those of umbrellas and reflectors always are
	Efficiency float64        // softbox: share of the tube's light that leaves the face, above 0 to 1
}

// Head is one flash head, where it stands and how often it is fired.
type Head struct {
	Name     string
	Energy   Joules  // each pop
	Efficacy float64 // lm s/J
	Tube     light.Tube
	Spread   Spread
	Distance measure.Length // from the middle of the face of the softbox, or from the tube, to the sitter's face, straight
	Angle    measure.Angle  // of its place round the sitter, from the camera, positive to the photographer's right
	Above    measure.Length // the sitter's face
	Feather  measure.Angle  // its axis turned sideways past the sitter, below a right angle; 0 when it is aimed at the face
	Pops     int            // 0 is taken as 1
	Trim     measure.Stops  // what a metered or judged flash gave beyond these figures; see [Head.Metered]
	Actinic  measure.Stops  // what its light does to the plate beyond that in which the index was found
}

// Check refuses a head with figures out of range, naming the figure.
func (h Head) Check() error {
	for _, c := range []struct {
		what           string
		got, low, high float64
		unit           string
	}{
		{"energy", float64(h.Energy), float64(LeastEnergy), float64(MostEnergy), "J"},
		{"efficacy", h.Efficacy, LowestYield, HighestYield, "lm/J"},
		{"distance", h.Distance.Metres(), LeastDistance.Metres(), MostDistance.Metres(), "m"},
		{"pops", float64(h.Pops), 0, MostPops, ""},
		{"trim", float64(h.Trim), -20, 20, "stops"},
		{"actinic stops", float64(h.Actinic), -10, 10, "stops"},
		{"angle", h.Angle.Degrees(), -360, 360, "°"},
		{"feather", h.Feather.Degrees(), -89, 89, "°"},
		{"height above the face", h.Above.Metres(), -h.Distance.Metres(), h.Distance.Metres(), "m"},
	} {
		if err := measure.Within(c.what, c.got, c.low, c.high, c.unit); err != nil {
			return err
		}
	}
	return h.Spread.Check()
}

// Check refuses a spread with figures out of range, naming the figure.
func (s Spread) Check() error {
	widest := MostSide.Metres()
	switch s.Kind {
	case Bare:
		return nil
	case Reflector, Umbrella:
		if err := measure.Within("gain", s.Gain, 0.01, MostGain, ""); err != nil {
			return err
		}
		return measure.Within("width", s.Width.Metres(), 0, widest, "m")
	case Softbox:
		if err := measure.Within("efficiency", s.Efficiency, 0.001, 1, ""); err != nil {
			return err
		}
		if err := measure.Within("width", s.Width.Metres(), 0.001, widest, "m"); err != nil || s.Round {
			return err
		}
		return measure.Within("height", s.Height.Metres(), 0.001, widest, "m")
	}
	return fmt.Errorf("no spread is called %q; known are bare, reflector, umbrella, softbox", string(s.Kind))
}

// axis returns I on the head's axis over Q, lumen-seconds a steradian for each lumen-second of the tube.
func (s Spread) axis() float64 {
	switch s.Kind {
	case Reflector, Umbrella:
		return s.Gain / (4 * math.Pi)
	case Softbox:
		return s.Efficiency / math.Pi // a Lambertian face: Q = pi I
	}
	return 1 / (4 * math.Pi)
}

// leaving returns the share of the tube's light that goes out into the room; of reflectors and umbrellas all is taken.
func (s Spread) leaving() float64 {
	if s.Kind == Softbox {
		return s.Efficiency
	}
	return 1
}

// toward returns the share of the axis's intensity that a face too small or too far to be told by its size sends at an
// angle of which the cosine is given. A bare tube sends to all sides alike; a reflector's beam is taken as the power of the
// cosine that keeps the tube's energy, which is gain/2 - 1 for what goes forward only: an assumption.
func (s Spread) toward(cos float64) float64 {
	switch {
	case s.Kind == Bare:
		return 1
	case cos <= 0:
		return 0
	case s.Kind == Softbox:
		return cos
	}
	return math.Pow(cos, max(0, s.Gain/2-1))
}

// area returns the bright face in mm², 0 when the light is taken to come from a point.
func (s Spread) area() float64 {
	w, h := s.Width.Millimetres(), s.Height.Millimetres()
	switch {
	case s.Kind == Bare:
		return 0
	case s.Round || s.Kind != Softbox:
		return math.Pi * w * w / 4
	}
	return w * h
}

// pops returns how often the head is fired.
func (h Head) pops() float64 { return float64(max(1, h.Pops)) }

// Luminous returns the luminous energy of the tube over all pops, lm·s.
func (h Head) Luminous() float64 {
	return float64(h.Energy) * h.Efficacy * h.pops() * h.Trim.Factor() // Q = eta W
}

// Beam returns the intensity on the head's axis times the time, candela-seconds, over all pops.
func (h Head) Beam() (float64, error) {
	if err := h.Check(); err != nil {
		return 0, err
	}
	return h.Luminous() * h.Spread.axis(), nil
}

// Dose returns what the head gives at the sitter's face, on a receptor that looks at the middle of the head.
func (h Head) Dose() (light.LuxSeconds, error) { return h.DoseTurned(0) }

// DoseTurned returns the same on a receptor turned sideways by an angle from the head. A large face reaches round: it lights
// receptors turned by more than a right angle.
func (h Head) DoseTurned(turn measure.Angle) (light.LuxSeconds, error) {
	if err := h.Check(); err != nil {
		return 0, err
	}
	if err := measure.Within("turn", turn.Degrees(), -180, 180, "°"); err != nil {
		return 0, err
	}
	at := h.place()
	sideways := horizontal(at)
	toward := r3.Unit(at)
	sin, cos := math.Sincos(turn.Radians())
	return light.LuxSeconds(h.on(r3.Vec{}, r3.Add(r3.Scale(cos, toward), r3.Scale(sin, sideways)))), nil
}

// place returns where the head stands, mm.
func (h Head) place() r3.Vec { return placeOf(h.Distance, h.Above, h.Angle) }

func placeOf(distance, above measure.Length, angle measure.Angle) r3.Vec {
	d, y := distance.Millimetres(), above.Millimetres()
	ground := math.Sqrt(max(0, d*d-y*y))
	sin, cos := math.Sincos(angle.Radians())
	return r3.Vec{X: ground * sin, Y: y, Z: ground * cos}
}

// on returns H in lx·s on a receptor at p, mm, that looks along the unit vector n.
func (h Head) on(p, n r3.Vec) float64 {
	at := h.place()
	aim := r3.Unit(r3.Scale(-1, at))
	if h.Feather != 0 {
		sin, cos := math.Sincos(h.Feather.Radians())
		aim = r3.Add(r3.Scale(cos, aim), r3.Scale(sin, horizontal(aim)))
	}
	c := r3.Sub(at, p)
	I := h.Luminous() * h.Spread.axis()
	area := h.Spread.area()
	if area == 0 {
		d := r3.Norm(c)
		cos := max(0, r3.Dot(n, c)/d)
		const mm2 = 1e6 // to a square metre
		return I * h.Spread.toward(-r3.Dot(aim, c)/d) * cos * mm2 / (d * d)
	}
	L := I / area * 1e6 // lm s/(sr m²): a Lambertian face, I = L times its area
	if h.Spread.Round || h.Spread.Kind != Softbox {
		return L * discSeen(c, aim, h.Spread.Width.Millimetres()/2, n)
	}
	return L * faceSeen(c, aim, h.Spread.Width.Millimetres(), h.Spread.Height.Millimetres(), n)
}
