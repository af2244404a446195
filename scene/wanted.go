package scene

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"platewright/light"
	"platewright/measure"
	"platewright/optics"
	"platewright/pose"
)

// Wanted is the picture that is to be made, the room and the light there are for it.
type Wanted struct {
	Targets []Target          // what must be sharp
	Frame   Framing           // how much of the sitter the plate shows
	Plate   measure.PlateSize // as it lies in the camera
	Figure  pose.Figure       // the sitter in the pose
	Second  *Second           // a second head, or nil
	Blur    measure.Length    // largest blur that is called sharp
	Room    measure.Length    // depth of the room; 0: not looked at
	Light   Light
	Support pose.Support  // what steadies the sitter
	Wait    time.Duration // from focusing to the cap coming off
	Swirl   Taste         // whether a swirling background counts
}

// Second is a head like the sitter's, in the same pose, and where it is from the sitter's.
type Second struct {
	Across measure.Length // to the photographer's right
	Above  measure.Length
	Behind measure.Length // away from the camera
}

// Light is what there is to expose by: a steady light or a flash.
type Light struct {
	Index   light.ExposureIndex // of the plate in this light
	Steady  light.Lux           // incident at the sitter's face; 0 when a flash makes the picture
	Flash   light.LuxSeconds    // the most that the flash gives at the sitter's face; 0 in steady light
	Longest light.Seconds       // longest exposure that is given in steady light; 0: any
	Actinic measure.Stops       // what the light does to the plate beyond that in which Index was found
}

// Taste says what is thought of a swirling background.
type Taste string

// Tastes. Where the rims of a lens are not known, its swirl is not either, and counts as neither much nor little.
const (
	AnySwirl    Taste = ""
	MuchSwirl   Taste = "much"
	LittleSwirl Taste = "little"
)

// Target is a landmark that must be sharp.
type Target struct {
	Landmark pose.Landmark
	Second   bool // of the second head
}

func (t Target) String() string {
	if t.Second {
		return string(t.Landmark) + " of the second head"
	}
	return string(t.Landmark)
}

// Names of what must be sharp.
const (
	BothEyes     = "both eyes"
	EyesAndLips  = "both eyes and lips"
	NoseToEar    = "nose to ear"
	WholeFace    = "whole face"
	TwoHeads     = "two heads"
	mostTargets  = 26
	leastFraming = 50   // mm
	mostFraming  = 5000 // mm
)

// TargetNames returns the names that [TargetsOf] knows.
func TargetNames() []string { return []string{BothEyes, EyesAndLips, NoseToEar, WholeFace, TwoHeads} }

// TargetsOf returns the landmarks that a name stands for: nose to ear are the tip of the nose, both eyes and
// the ear nearer the camera; the whole face goes from the hairline to the chin; two heads are the eyes of both.
func TargetsOf(name string, f pose.Figure) ([]Target, error) {
	marks := []pose.Landmark{pose.RightEye, pose.LeftEye}
	switch name {
	case BothEyes, TwoHeads:
	case EyesAndLips:
		marks = append(marks, pose.Lips)
	case NoseToEar:
		marks = append(marks, pose.NoseTip, nearer(f, pose.RightEar, pose.LeftEar))
	case WholeFace:
		marks = append(marks, pose.NoseTip, pose.Lips, pose.Chin, pose.Hairline)
	default:
		return nil, fmt.Errorf("nothing is known by the name %q that must be sharp; known are %q", name, TargetNames())
	}
	return Targets(marks, name == TwoHeads), nil
}

// Targets returns landmarks as targets, those of the second head after them if it counts.
func Targets(marks []pose.Landmark, second bool) []Target {
	var all []Target
	for _, m := range marks {
		all = append(all, Target{Landmark: m})
	}
	if second {
		for _, m := range marks {
			all = append(all, Target{Landmark: m, Second: true})
		}
	}
	return all
}

// Framing is how much of the sitter the plate's long side shows: any height from Least to Greatest.
type Framing struct{ Least, Greatest measure.Length }

// framings for grown sitters, a head being some 23 cm from chin to crown: common practice, no source.
var framings = []struct {
	name string
	is   Framing
}{
	{"head", Framing{330, 450}},
	{"head and shoulders", Framing{450, 650}},
	{"bust", Framing{650, 900}},
	{"half length", Framing{900, 1300}},
}

// FramingNames returns the names that [FramingOf] knows.
func FramingNames() []string {
	var names []string
	for _, f := range framings {
		names = append(names, f.name)
	}
	return names
}

// FramingOf returns the framing of a name for a sitter of that size, 1 being a grown one.
func FramingOf(name string, size float64) (Framing, error) {
	for _, f := range framings {
		if f.name == name {
			k := measure.Length(size)
			return Framing{f.is.Least * k, f.is.Greatest * k}, nil
		}
	}
	return Framing{}, fmt.Errorf("no framing is known by the name %q; known are %q", name, FramingNames())
}

// Kit is what the studio owns.
type Kit struct {
	Lenses  []Lens
	Cameras []Camera // empty: a camera that does everything
}

// Lens is a lens with its stops and what is known of it.
type Lens struct {
	Name     string
	Focal    measure.Length
	PupilMag float64
	Stops    []measure.FNumber
	Surface  optics.FocalSurface
	Field    func(distance measure.Length) optics.FocalSurface // Surface as it is for a sitter so far away; nil: the same for all
	Circle   measure.Length                                    // diameter it covers, focused at infinity; 0 unknown
	Rims     optics.Rims                                       // zero unknown
	Ahead    measure.Length                                    // rear principal plane ahead of the lens board, toward the sitter; 0 at it, or unknown
}

// Camera is a camera with its limits.
type Camera struct {
	Name   string
	Back   measure.PlateSize // the largest plate it takes, lying or upright; zero unknown
	Limits *optics.Limits    // nil: it does everything
}

// with returns the camera with a lens on it: its bellows, which reach from the lens board, as extensions.
func (c Camera) with(l *Lens) Camera {
	if c.Limits != nil && l.Ahead != 0 {
		limits := c.Limits.Board(l.Ahead)
		c.Limits = &limits
	}
	return c
}

// Check reports the first thing that is wrong with what is wanted.
func (q Wanted) Check() error {
	if len(q.Targets) == 0 || len(q.Targets) > mostTargets {
		return measure.Within("targets", float64(len(q.Targets)), 1, mostTargets, "")
	}
	for _, t := range q.Targets {
		if _, ok := q.Figure.Landmark(t.Landmark); !ok {
			return fmt.Errorf("the %s must be sharp and this figure has none", t.Landmark)
		}
		if t.Second && q.Second == nil {
			return errors.New("a second head must be sharp and it is not said where it is; say how far across and behind")
		}
	}
	for _, c := range []struct {
		what      string
		got       float64
		low, high float64
		unit      string
	}{
		{"least framing", float64(q.Frame.Least), leastFraming, mostFraming, "mm"},
		{"greatest framing", float64(q.Frame.Greatest), float64(q.Frame.Least), mostFraming, "mm"},
		{"plate width", float64(q.Plate.Width), 10, 1000, "mm"},
		{"plate height", float64(q.Plate.Height), 10, 1000, "mm"},
		{"blur", float64(q.Blur), float64(optics.LeastBlur), float64(optics.GreatestBlur), "mm"},
		{"room", float64(q.Room), 0, 1e5, "mm"},
		{"exposure index", float64(q.Light.Index), 1e-4, 1e4, ""},
		{"longest exposure", float64(q.Light.Longest), 0, 3600, "s"},
		{"actinic", float64(q.Light.Actinic), -20, 20, "stops"},
		{"wait", q.Wait.Seconds(), 0, 3600, "s"},
	} {
		if err := measure.Within(c.what, c.got, c.low, c.high, c.unit); err != nil {
			return err
		}
	}
	if (q.Light.Steady > 0) == (q.Light.Flash > 0) {
		return errors.New("say the light once: how bright a steady light is, or how much the flash gives")
	}
	if err := measure.Within("light", float64(max(q.Light.Steady, light.Lux(q.Light.Flash))), 1e-4, 1e7, ""); err != nil {
		return err
	}
	if q.Second != nil {
		if err := measure.Within("behind", float64(q.Second.Behind), 0, 5000, "mm"); err != nil {
			return err
		}
	}
	if !slices.Contains([]Taste{AnySwirl, MuchSwirl, LittleSwirl}, q.Swirl) {
		return fmt.Errorf("swirl may be %q or %q, or be left out, and is %q", MuchSwirl, LittleSwirl, q.Swirl)
	}
	return nil
}

// check reports the first thing that is wrong with a lens.
func (l Lens) check() error {
	if len(l.Stops) == 0 {
		return fmt.Errorf("%s has no stop; measure at least one", l.Name)
	}
	for _, n := range l.Stops {
		if err := l.at(n).Check(); err != nil {
			return fmt.Errorf("%s: %w", l.Name, err)
		}
	}
	if err := measure.Within("circle", float64(l.Circle), 0, 1e4, "mm"); err != nil {
		return fmt.Errorf("%s: %w", l.Name, err)
	}
	return nil
}

// surface returns the focal surface for a sitter at a distance.
func (l Lens) surface(distance measure.Length) optics.FocalSurface {
	if l.Field == nil {
		return l.Surface
	}
	return l.Field(distance)
}

// at returns the lens at a stop.
func (l Lens) at(n measure.FNumber) optics.Lens {
	return optics.Lens{Focal: l.Focal, Stop: n, PupilMag: l.PupilMag}
}
