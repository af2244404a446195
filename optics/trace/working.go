package trace

import (
	"fmt"
	"math"

	"platewright/measure"
)

// Conditions say how a lens is used. Of Stop and Pupil one is given, of Distance and Magnification at
// most one; neither is the sitter at infinity.
type Conditions struct {
	Stop          measure.FNumber // marked f-number: focal length over entrance pupil
	Pupil         measure.Length  // diameter of the entrance pupil
	Distance      measure.Length  // the sitter's plane of focus to the first vertex
	Magnification float64         // image size over subject size
}

// Working is an optic at one stop and distance. Rays are aimed at the stop itself.
type Working struct {
	Optic         Optic
	Stop          measure.FNumber
	Distance      measure.Length // sitter's plane to the first vertex; 0 is infinity
	Magnification float64        // 0 is infinity
	Image         measure.Length // last vertex to the image by rays near the axis

	pupil  float64 // radius of the entrance pupil
	stop   float64 // radius of the opening of the stop
	enters float64 // first vertex to the entrance pupil
}

// Work sets the optic to work. It refuses a sitter of whom a converging lens forms no real image; the virtual image of
// a diverging one lies before its last vertex.
func (o Optic) Work(c Conditions) (Working, error) {
	f := float64(o.first.Focal)
	w := Working{Optic: o, enters: float64(o.first.EntrancePupil)}
	switch {
	case len(o.faces) == 0:
		return Working{}, fmt.Errorf("an optic comes from a system in a colour; this one is empty")
	case c.Stop != 0 && c.Pupil != 0:
		return Working{}, fmt.Errorf("both an f-number and a pupil are given; give one")
	case c.Distance != 0 && c.Magnification != 0:
		return Working{}, fmt.Errorf("both a distance and a magnification are given; give one")
	case c.Pupil != 0:
		if err := measure.Within("entrance pupil", float64(c.Pupil), 1e-6, greatestReach, "mm"); err != nil {
			return Working{}, err
		}
		w.pupil = float64(c.Pupil) / 2
	default:
		if err := measure.Within("f-number", float64(c.Stop), 0.3, 1000, ""); err != nil {
			return Working{}, err
		}
		w.pupil = math.Abs(f) / (2 * float64(c.Stop))
	}
	w.Stop = measure.FNumber(math.Abs(f) / (2 * w.pupil))
	w.stop = w.pupil / math.Abs(o.first.PupilPerStop)

	s := float64(c.Distance)
	if m := c.Magnification; m != 0 {
		if err := measure.Within("magnification", m, 1e-6, 100, ""); err != nil {
			return Working{}, err
		}
		s = f*(1+1/m) - float64(o.first.FrontPrincipal)
		if !(f > 0) || !(s > 0) {
			return Working{}, fmt.Errorf("%s gives no real image %g times as large as the sitter before it", o.name(), m)
		}
	}
	if s == 0 {
		w.Image = o.first.Back
		return w, nil
	}
	if err := measure.Within("distance to the first glass", s, 1e-6, 1e9, "mm"); err != nil {
		return Working{}, err
	}
	beyond := s + float64(o.first.Front) // sitter to the front focal point
	if f > 0 && !(beyond > 1e-9*f) {
		return Working{}, &measure.RangeError{What: "distance to the first glass", Got: s, Low: -float64(o.first.Front), High: 1e9,
			Unit: "mm", Source: "beyond the front focal point, else there is no image on the plate"}
	}
	if !(s+w.enters > 1e-9*math.Abs(f)) {
		return Working{}, fmt.Errorf("the sitter stands in the entrance pupil of %s", o.name())
	}
	w.Distance = measure.Length(s)
	w.Magnification = math.Abs(f) / math.Abs(beyond)
	// Newton's x·x' = f², from the rear focal point.
	n := o.faces[len(o.faces)-1].next
	w.Image = o.first.Back + measure.Length(f*f/(n*beyond))
	return w, nil
}

// field is a point of the sitter: a direction at infinity, a height in a plane else.
type field struct {
	tan, sin, cos float64
	y             float64 // height of the point in the sitter's plane
}

// greatestField is the widest field angle answered for.
const greatestField = 80 * measure.Degree

func (w *Working) field(a measure.Angle) (field, error) {
	if err := measure.Within("field angle", a.Degrees(), -greatestField.Degrees(), greatestField.Degrees(), "degrees"); err != nil {
		return field{}, err
	}
	sin, cos := math.Sincos(float64(a))
	return field{tan: sin / cos, sin: sin, cos: cos, y: -(float64(w.Distance) + w.enters) * sin / cos}, nil
}

// start returns the ray from a field point through a place of the entrance pupil's plane, on the
// plane of the first vertex.
func (w *Working) start(f field, x, y float64) Ray {
	if w.Distance == 0 {
		return Ray{X: x, Y: y - w.enters*f.tan, M: f.sin, N: f.cos}
	}
	// Back from the pupil, not on from the sitter, whose distance would swallow the last digits.
	dx, dy, dz := x, y-f.y, float64(w.Distance)+w.enters
	size := math.Sqrt(dx*dx + dy*dy + dz*dz)
	return Ray{X: x - w.enters*dx/dz, Y: y - w.enters*dy/dz, L: dx / size, M: dy / size, N: dz / size}
}

// atStop returns where a ray meets the plane of the stop.
func (w *Working) atStop(f field, x, y float64) (sx, sy float64, ok bool) {
	r := w.start(f, x, y)
	if cause, _ := w.Optic.run(&r, 0, w.Optic.stop, false); cause != 0 || !r.toPlane() {
		return 0, 0, false
	}
	return r.X, r.Y, true
}

// sight is a field point with its chief ray found: where the ray crosses the entrance pupil's plane, and
// how the place in the stop answers to the place there.
type sight struct {
	field
	chief  float64
	xx, yy float64
}

// How near a ray must come to its place in the stop, against the stop's radius: what is tried for, and what
// is taken when the rounding of a long way allows no better.
const (
	aimed     = 1e-11
	accepted  = 1e-7
	mostTries = 40
)

func (w *Working) astray() error { return &Lost{Surface: w.Optic.stop + 1, Cause: Astray} }

// sightAt finds the chief ray of a field angle.
func (w *Working) sightAt(a measure.Angle) (sight, error) {
	f, err := w.field(a)
	if err != nil {
		return sight{}, err
	}
	slope := 1 / w.Optic.first.PupilPerStop
	s := sight{field: f, xx: slope, yy: slope}
	y := 0.0
	_, miss, ok := w.atStop(f, 0, y)
	if !ok {
		return sight{}, w.astray()
	}
	for try := 0; math.Abs(miss) > aimed*w.stop; try++ {
		if try == mostTries {
			if math.Abs(miss) <= accepted*w.stop {
				break
			}
			return sight{}, w.astray()
		}
		step := -miss / s.yy
		_, next, ok := w.atStop(f, 0, y+step)
		for half := 0; !ok && half < 8; half++ {
			step /= 2
			_, next, ok = w.atStop(f, 0, y+step)
		}
		if !ok {
			return sight{}, w.astray()
		}
		if d := (next - miss) / step; d != 0 && !math.IsInf(d, 0) && math.Abs(next) > aimed*w.stop {
			s.yy = d
		}
		y, miss = y+step, next
	}
	s.chief = y
	// How far the pupil is drawn out across and along the field.
	h := 1e-3 * w.pupil
	_, up, ok1 := w.atStop(f, 0, y+h)
	_, down, ok2 := w.atStop(f, 0, y-h)
	across, _, ok3 := w.atStop(f, h, y)
	if !ok1 || !ok2 || !ok3 {
		return sight{}, w.astray()
	}
	s.xx, s.yy = across/h, (up-down)/(2*h)
	if s.xx == 0 || s.yy == 0 {
		return sight{}, w.astray()
	}
	return s, nil
}

// aim returns the ray of a field point that crosses the stop at a place given in radii of the stop.
// The pupil's slopes at the chief ray begin it; each try corrects them by what it found.
func (w *Working) aim(s *sight, px, py float64) (Ray, error) {
	tx, ty := px*w.stop, py*w.stop
	a, b, c, d := s.xx, 0.0, 0.0, s.yy // slopes of the stop's place to the pupil's
	x, y := 0.0, s.chief
	fx, fy := -tx, -ty // what is missing at the chief ray
	for range mostTries {
		if math.Abs(fx)+math.Abs(fy) <= aimed*w.stop {
			return w.start(s.field, x, y), nil
		}
		det := a*d - b*c
		if det == 0 {
			break
		}
		dx, dy := -(d*fx-b*fy)/det, -(a*fy-c*fx)/det
		gx, gy, ok := w.atStop(s.field, x+dx, y+dy)
		for half := 0; !ok && half < 8; half++ {
			dx, dy = dx/2, dy/2
			gx, gy, ok = w.atStop(s.field, x+dx, y+dy)
		}
		if !ok {
			break
		}
		gx, gy = gx-tx, gy-ty
		// Broyden's correction: the slopes that explain this step, changed no more than that needs.
		square := dx*dx + dy*dy
		if square == 0 {
			break
		}
		ex, ey := (gx-fx-a*dx-b*dy)/square, (gy-fy-c*dx-d*dy)/square
		a, b, c, d = a+ex*dx, b+ex*dy, c+ey*dx, d+ey*dy
		x, y, fx, fy = x+dx, y+dy, gx, gy
	}
	if math.Abs(fx)+math.Abs(fy) <= accepted*w.stop {
		return w.start(s.field, x, y), nil
	}
	return Ray{}, w.astray()
}

// Ray returns the ray of a field angle that crosses the stop at a place given in radii of the stop,
// as it leaves the last surface: Z counts from the paraxial image plane. A rim may stop it.
func (w Working) Ray(a measure.Angle, px, py float64) (Ray, error) {
	for _, p := range []float64{px, py} {
		if err := measure.Within("place in the stop", p, -1, 1, "radii"); err != nil {
			return Ray{}, err
		}
	}
	s, err := w.sightAt(a)
	if err != nil {
		return Ray{}, err
	}
	return w.through(&s, px, py)
}

func (w *Working) through(s *sight, px, py float64) (Ray, error) {
	r, err := w.aim(s, px, py)
	if err != nil {
		return Ray{}, err
	}
	if cause, at := w.Optic.run(&r, 0, len(w.Optic.faces), true); cause != 0 {
		return Ray{}, &Lost{Surface: at + 1, Cause: cause}
	}
	r.Z -= float64(w.Image)
	return r, nil
}

// Into returns the ray of a field angle and a place in the stop before the lens, on the plane of the
// first vertex: give it to [Optic.Path] to draw it.
func (w Working) Into(a measure.Angle, px, py float64) (Ray, error) {
	s, err := w.sightAt(a)
	if err != nil {
		return Ray{}, err
	}
	return w.aim(&s, px, py)
}
