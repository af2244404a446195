package trace

import (
	"fmt"
	"math"

	"platewright/measure"
)

// Surface is one surface of a lens and what follows it.
type Surface struct {
	Curvature float64        // 1/mm, positive when the centre is on the plate's side; 0 is a plane
	Thickness measure.Length // along the axis to the next surface; not used after the last
	After     Medium         // what fills it
	Rim       measure.Length // clear radius; zero leaves the surface without a rim
	Stop      bool           // the stop lies in the vertex plane of this surface
}

// Radius returns the curvature of a radius, which for flat surfaces is written 0.
func Radius(r measure.Length) float64 {
	if r == 0 {
		return 0
	}
	return 1 / float64(r)
}

// System is a lens as drawn: its surfaces in the order in which light meets them, air before the
// first. One surface is the stop; a stop in the open is a plane with the same medium on both sides.
type System struct {
	Name     string
	Source   string // key of docs/SOURCES.md
	Inferred string // what the source does not print and was supplied here
	Surfaces []Surface
}

// The systems the package takes.
const (
	mostSurfaces  = 64
	greatestTurn  = 1e3 // curvature, 1/mm
	greatestReach = 1e6 // thickness, distance, mm
)

// Check reports the first thing that makes the system impossible to trace.
func (s System) Check() error {
	if len(s.Surfaces) == 0 || len(s.Surfaces) > mostSurfaces {
		return &measure.RangeError{What: "number of surfaces", Got: float64(len(s.Surfaces)), Low: 1, High: mostSurfaces}
	}
	stops := 0
	for i, f := range s.Surfaces {
		if err := measure.Within(fmt.Sprintf("curvature of surface %d", i+1), f.Curvature, -greatestTurn, greatestTurn, "1/mm"); err != nil {
			return err
		}
		if err := measure.Within(fmt.Sprintf("thickness after surface %d", i+1), float64(f.Thickness), -greatestReach, greatestReach, "mm"); err != nil {
			return err
		}
		if err := measure.Within(fmt.Sprintf("rim of surface %d", i+1), float64(f.Rim), 0, greatestReach, "mm"); err != nil {
			return err
		}
		if f.Stop {
			stops++
		}
	}
	if stops != 1 {
		return fmt.Errorf("%d surfaces are marked as the stop; exactly one must be", stops)
	}
	return nil
}

// Scaled returns the system with every length multiplied by k.
func (s System) Scaled(k float64) System {
	surfaces := make([]Surface, len(s.Surfaces))
	for i, f := range s.Surfaces {
		f.Curvature /= k
		f.Thickness *= measure.Length(k)
		f.Rim *= measure.Length(k)
		surfaces[i] = f
	}
	s.Surfaces = surfaces
	return s
}

// Reversed returns the system turned round, its last surface to the sitter. What was behind the
// last surface must be air.
func (s System) Reversed() System {
	n := len(s.Surfaces)
	surfaces := make([]Surface, n)
	for i := range surfaces {
		f := s.Surfaces[n-1-i]
		turned := Surface{Curvature: -f.Curvature, Rim: f.Rim, Stop: f.Stop, After: Air()}
		if before := n - 2 - i; before >= 0 {
			turned.Thickness, turned.After = s.Surfaces[before].Thickness, s.Surfaces[before].After
		}
		surfaces[i] = turned
	}
	s.Surfaces = surfaces
	return s
}

// Length returns the distance from the first vertex to the last.
func (s System) Length() measure.Length {
	var sum measure.Length
	for _, f := range s.Surfaces[:max(len(s.Surfaces)-1, 0)] {
		sum += f.Thickness
	}
	return sum
}

// face is a surface in one colour.
type face struct {
	c, t, rim float64
	n, next   float64 // index before and after
}

// Optic is a system in one colour.
type Optic struct {
	System     System
	Wavelength measure.Length

	faces  []face
	stop   int
	length float64
	first  FirstOrder
}

// In returns the system as light of a wavelength meets it. It fails when a glass is not known at
// that wavelength, when the system has no power or no usable stop.
func (s System) In(wavelength measure.Length) (Optic, error) {
	if err := s.Check(); err != nil {
		return Optic{}, err
	}
	o := Optic{System: s, Wavelength: wavelength, faces: make([]face, len(s.Surfaces)), length: float64(s.Length())}
	n := 1.0
	for i, f := range s.Surfaces {
		next, err := f.After.Index(wavelength)
		if err != nil {
			return Optic{}, fmt.Errorf("after surface %d: %w", i+1, err)
		}
		o.faces[i] = face{c: f.Curvature, t: float64(f.Thickness), rim: float64(f.Rim), n: n, next: next}
		if f.Stop {
			o.stop = i
		}
		n = next
	}
	o.faces[len(o.faces)-1].t = 0
	first, err := o.firstOrder()
	if err != nil {
		return Optic{}, err
	}
	o.first = first
	return o, nil
}

// FirstOrder returns the figures of the rays close to the axis.
func (o Optic) FirstOrder() FirstOrder { return o.first }

// FirstOrder holds the first-order figures of a lens. Places before the lens count from the first
// vertex, places behind it from the last, both along the light.
type FirstOrder struct {
	Focal          measure.Length // rear focal length
	Back           measure.Length // last vertex to the rear focal point
	Front          measure.Length // first vertex to the front focal point, negative when that lies before it
	FrontPrincipal measure.Length // first vertex to the front principal plane
	RearPrincipal  measure.Length // last vertex to the rear principal plane
	Gap            measure.Length // front principal plane to the rear one, negative when they are crossed
	Length         measure.Length // first vertex to the last

	EntrancePupil measure.Length // first vertex to the entrance pupil
	ExitPupil     measure.Length // last vertex to the exit pupil
	PupilMag      float64        // exit pupil over entrance pupil
	PupilPerStop  float64        // entrance pupil over the stop's own opening

	// Bare is the curvature the image would have without astigmatism, 1/mm, with the sign of
	// optics.Curve: positive when the edges focus nearer the lens. Its inverse is the radius books
	// print with a minus sign.
	Bare float64
}

// matrix carries height and n·slope from one plane to another.
type matrix struct{ a, b, c, d float64 }

func unit() matrix { return matrix{a: 1, d: 1} }

// then returns m followed by n.
func (m matrix) then(n matrix) matrix {
	return matrix{n.a*m.a + n.b*m.c, n.a*m.b + n.b*m.d, n.c*m.a + n.d*m.c, n.c*m.b + n.d*m.d}
}

func (f face) refraction() matrix { return matrix{a: 1, c: -(f.next - f.n) * f.c, d: 1} }
func (f face) transfer() matrix   { return matrix{a: 1, b: f.t / f.next, d: 1} }

// degenerate is what a figure below counts as none: a power, per unit of the surfaces' own, or a
// pupil's size against its stop.
const degenerate = 1e-12

func (o Optic) firstOrder() (FirstOrder, error) {
	before, after := unit(), unit()
	strength := 0.0
	for i, f := range o.faces {
		step := f.refraction().then(f.transfer())
		if i < o.stop {
			before = before.then(step)
		} else {
			after = after.then(step)
		}
		strength += math.Abs((f.next - f.n) * f.c)
	}
	whole := before.then(after)
	power := -whole.c
	if !(math.Abs(power) > degenerate*strength) {
		return FirstOrder{}, fmt.Errorf("%s has no power: it forms no image", o.name())
	}
	if !(math.Abs(before.a) > degenerate) || !(math.Abs(after.d) > degenerate) {
		return FirstOrder{}, fmt.Errorf("a pupil of %s lies at infinity", o.name())
	}
	n := o.faces[len(o.faces)-1].next
	focal := n / power
	back := whole.a * n / power
	front := -whole.d / power
	bare := 0.0
	for _, f := range o.faces {
		bare += (f.next - f.n) * f.c / (f.n * f.next)
	}
	first := FirstOrder{
		Focal:          measure.Length(focal),
		Back:           measure.Length(back),
		Front:          measure.Length(front),
		FrontPrincipal: measure.Length(front + 1/power),
		RearPrincipal:  measure.Length(back - focal),
		Length:         measure.Length(o.length),
		EntrancePupil:  measure.Length(before.b / before.a),
		ExitPupil:      measure.Length(-after.b * n / after.d),
		PupilMag:       before.a / after.d,
		PupilPerStop:   1 / before.a,
		Bare:           n * bare,
	}
	first.Gap = first.Length + first.RearPrincipal - first.FrontPrincipal
	for _, v := range []float64{focal, back, front, float64(first.EntrancePupil), float64(first.ExitPupil), first.PupilMag, bare} {
		if math.IsNaN(v) || math.Abs(v) > 1e12 {
			return FirstOrder{}, fmt.Errorf("%s is too weak or too strong to reckon with", o.name())
		}
	}
	return first, nil
}

func (o Optic) name() string {
	if o.System.Name == "" {
		return "the system"
	}
	return "the " + o.System.Name
}
