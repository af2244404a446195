package scene

import (
	"cmp"
	"math"
	"slices"
	"time"

	"platewright/light"
	"platewright/measure"
	"platewright/optics"
)

// Moves says which movements a choice uses.
type Moves string

// Movements: none; the swing alone; tilt and swing.
const (
	Square       Moves = "square"
	Swung        Moves = "swing"
	TiltAndSwing Moves = "tilt and swing"
)

// Choice is one way of making the wanted picture.
type Choice struct {
	Lens    string
	Cameras []string // that can do it, in the order of the kit; empty when the kit names none
	Stop    measure.FNumber
	Moves   Moves

	Setup         optics.Setup   // focused so that the targets lie midway between the limits of sharpness
	Eyes          optics.Point   // midway between the sitter's eyes
	Magnification float64        // in the plane of the sitter's nearer eye
	Distance      measure.Length // front principal plane to that plane
	FocusBehind   measure.Length // how far behind the nearer eye what is sharpest lies; negative before it
	Frame         measure.Length // what fills the plate's long side at the sitter
	Room          measure.Length // depth of room it takes

	Targets     []TargetMark
	TargetShare float64 // share of the targets that is sharp
	FaceShare   float64 // share of the face's front (of both heads) that is sharp
	AllSharp    bool

	Stillness float64          // chance that what is sharp of the targets keeps within its depth through waiting and exposure
	Play      measure.Length   // how far toward the camera and away these may move
	NoSmear   float64          // chance that moving across smears no more than the blur called sharp
	Smear     measure.Length   // on the plate, as is to be expected
	Seconds   light.Seconds    // exposure in steady light; 0 with a flash
	Needed    light.LuxSeconds // at the sitter's face
	Spare     measure.Stops    // of the longest exposure or of the flash; 0 when there is no limit

	Swirl      *Swirl          // nil: the lens's rims are not known
	CircleLeft *measure.Length // least margin of the lens's circle beyond a corner of the plate; nil: the circle is not known

	Best  bool    // no other choice is as good in everything and better in something, and it is no lost plate: see [Choose]
	Score float64 // see [Choose]
	Trade string  // against the first of all, in words

	during time.Duration // how long the sitter is to keep still
}

// TargetMark is a target as it comes out.
type TargetMark struct {
	Target
	Blur  measure.Length
	State State
}

// Swirl is how narrow the cat's eye is that the rims of the lens make of the pupil: 0 where it is round, near 1 where
// hardly any light is left. A background's highlights take its shape.
type Swirl struct {
	Corner float64 // at the corner of the plate farthest from the lens's axis
	Face   float64 // at the landmark of the targets farthest from it
}

// Refusal is something the studio owns that cannot make the picture.
type Refusal struct {
	Lens   string
	Camera string // empty when it is not the camera's fault
	Why    string // a sentence, with what would make it possible
}

// Chosen is the answer of [Choose].
type Chosen struct {
	Ranked  []Choice
	Refused []Refusal
	Best    int // how many of Ranked are best, all at its head
}

// Choose ranks every way the kit offers of making a picture: each lens and stop, square and with the movements that help,
// at up to three distances within the framing, the room, the bellows and the lens's circle.
//
// First come the best: those that no other equals in every respect while being better in one, and of whose targets one is
// sharp and keeps so once in a hundred plates at the least, unless that can be said of no choice at all. The
// respects are the sharp share of the targets, the stillness to a hundredth, the light needed to two figures (seconds, or
// the flash), and, when a taste in swirl is told, the swirl at the corner to a hundredth. The best and
// the rest are each in order of Score to two figures; of equals the one that needs less light is first, then the
// squarer one, then the one with more of the face sharp.
//
// Score is the share of the targets, times the stillness, times what moving across leaves of the sharpness: the blur called
// sharp over that blur and the smear in quadrature.
//
// The camera is taken to stand so that the plate's middle looks at the middle of the framing, the eyes as
// high in it as [BelowEyes] says; the lens sits square before the plate's middle. It is focused so that the foci of all
// targets lie evenly about the plate, and moved so that they lie as nearly in it as can be.
func Choose(q Wanted, own Kit) (Chosen, error) {
	c, err := newChooser(q)
	if err != nil {
		return Chosen{}, err
	}
	for i := range own.Lenses {
		if err := own.Lenses[i].check(); err != nil {
			return Chosen{}, err
		}
		if err := c.lens(&own.Lenses[i], own.Cameras); err != nil {
			return Chosen{}, err
		}
	}
	if err := c.still(); err != nil {
		return Chosen{}, err
	}
	best := c.rank()
	c.tell()
	return Chosen{Ranked: c.choices, Refused: c.refused, Best: best}, nil
}

// respects returns in what a choice is better than another, each growing with the good.
func (c *chooser) respects(k *Choice) [4]float64 {
	swirl := 0.0
	if k.Swirl != nil {
		switch c.q.Swirl {
		case MuchSwirl:
			swirl = hundredth(k.Swirl.Corner)
		case LittleSwirl:
			swirl = -hundredth(k.Swirl.Corner)
		}
	}
	return [4]float64{k.TargetShare, hundredth(k.Stillness), -twoFigures(float64(k.Needed)), swirl}
}

// rank puts the best first and returns how many they are.
func (c *chooser) rank() int {
	type ranked struct {
		of    *Choice
		in    [4]float64
		score float64
	}
	all := make([]ranked, len(c.choices))
	for i := range c.choices {
		k := &c.choices[i]
		all[i] = ranked{k, c.respects(k), twoFigures(k.Score)}
	}
	// In this order nothing is beaten by what comes after it, so each need be held only against the best so far.
	slices.SortStableFunc(all, func(a, b ranked) int {
		for i := range a.in {
			if d := cmp.Compare(b.in[i], a.in[i]); d != 0 {
				return d
			}
		}
		return 0
	})
	promises := slices.ContainsFunc(c.choices, func(k Choice) bool { return k.promises() })
	var front [][4]float64
	for i := range all {
		k := &all[i]
		k.of.Best = (k.of.promises() || !promises) && !slices.ContainsFunc(front, func(f [4]float64) bool { return beats(f, k.in) })
		if k.of.Best {
			front = append(front, k.in)
		}
	}
	slices.SortStableFunc(all, func(a, b ranked) int {
		if a.of.Best != b.of.Best {
			if a.of.Best {
				return -1
			}
			return 1
		}
		return cmp.Or(
			cmp.Compare(b.score, a.score),
			cmp.Compare(b.in[2], a.in[2]),
			cmp.Compare(moved(a.of.Moves), moved(b.of.Moves)),
			cmp.Compare(b.of.FaceShare, a.of.FaceShare),
		)
	})
	sorted := make([]Choice, len(all))
	best := 0
	for i := range all {
		sorted[i] = *all[i].of
		if sorted[i].Best {
			best++
		}
	}
	c.choices = sorted
	return best
}

// leastPromise is the chance under which a plate is as good as lost; ours.
const leastPromise = 0.01

// promises reports whether a choice may make the picture: one of its targets is sharp, and keeps so now and then.
func (k *Choice) promises() bool { return k.TargetShare > 0 && k.Stillness >= leastPromise }

// beats reports whether a is nowhere worse than b and somewhere better.
func beats(a, b [4]float64) bool {
	better := false
	for i := range a {
		if a[i] < b[i] {
			return false
		}
		better = better || a[i] > b[i]
	}
	return better
}

func moved(m Moves) int { return slices.Index([]Moves{Square, Swung, TiltAndSwing}, m) }

func hundredth(x float64) float64 { return math.Round(100*x) / 100 }

// twoFigures rounds a number that is not negative to two figures.
func twoFigures(x float64) float64 {
	if x < 1e-9 {
		return 0
	}
	step := math.Pow(10, math.Floor(math.Log10(x))-1)
	return math.Round(x/step) * step
}
