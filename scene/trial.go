package scene

import (
	"fmt"
	"math"

	"platewright/measure"
	"platewright/optics"
	"platewright/pose"
)

// stand is one way of setting up a lens before the sitter, at any of its stops.
type stand struct {
	setup   optics.Setup
	eyes    optics.Point
	set     optics.Setting // of the eye plane, square
	moves   Moves
	cameras []string
	face    faceBlur
	cover   optics.Cover // of the lens's circle, or where that is not known of any
}

// trial collects the ways of setting up one lens.
type trial struct {
	*chooser
	lens   *Lens
	stands []stand
	why    string // the last distance or set-up that would not do
}

// What a movement must bring to be worth its setting: it leaves at most this part of the spread of the foci, and turns by
// at least so much.
const (
	worthSpread = 0.9
	worthTurn   = 0.2 * measure.Degree
)

// hair is by how much a corner may be cut: no circle is known to a millimetre.
const hair measure.Length = 1

// at sets the lens up at a magnification of the eye plane: square, and with the movements that help. It reports false
// when that cannot be.
func (t *trial) at(camera *Camera, m float64) bool {
	set, err := t.lens.at(t.lens.Stops[0]).AtMagnification(m)
	if err != nil {
		t.why = fmt.Sprintf("%s: %v", t.lens.Name, err)
		return false
	}
	base := stand{set: set, moves: Square, setup: optics.Setup{Lens: set.Lens, Plate: t.q.Plate, Surface: t.lens.surface(set.Distance),
		Camera: optics.Camera{Focal: set.Lens.Focal, Extension: set.Extension}}}
	base.eyes = point(-t.second.X/2, float64(BelowEyes(t.q.Plate.Height/measure.Length(m)))-t.second.Y/2, float64(set.Distance)-t.eye.Z)
	at := make([]optics.Point, len(t.targets))
	for i, v := range t.targets {
		at[i] = before(base.eyes, v)
	}
	of, err := foci(base.setup, at)
	if err != nil {
		t.wont(m, err)
		return false
	}
	base.setup.Camera = turn(base.setup.Camera, of, 0, 0)
	if err := t.add(base, camera); err != nil {
		t.wont(m, err)
		return false
	}
	spread, _ := depth(of, 0, 0)
	for _, moves := range []Moves{Swung, TiltAndSwing} {
		c, left, ok := t.turned(base.setup, camera.Limits, moves, at, of)
		if !ok || left > worthSpread*spread {
			continue
		}
		moved := base
		moved.moves, moved.setup.Camera = moves, c
		if moved.setup, err = evenly(moved.setup, at); err == nil && t.add(moved, camera) == nil {
			spread = left
		}
	}
	return true
}

// wont says why a magnification will not do.
func (t *trial) wont(m float64, err error) {
	t.why = fmt.Sprintf("%s, with %.0f mm of the sitter on the plate's long side: %v", t.lens.Name, float64(t.q.Plate.LongSide())/m, err)
}

// add keeps a stand if the camera can make it and the lens covers the plate there.
func (t *trial) add(s stand, camera *Camera) error {
	if camera.Limits != nil {
		if err := camera.Limits.Check(s.setup); err != nil {
			return err
		}
	}
	if camera.Name != "" {
		s.cameras = []string{camera.Name}
	}
	for i := range t.stands {
		if have := &t.stands[i]; have.setup == s.setup && have.eyes == s.eyes {
			have.cameras = append(have.cameras, s.cameras...)
			return nil
		}
	}
	covers := optics.Coverage{Half: 45 * measure.Degree}
	if t.lens.Circle > 0 {
		covers = optics.CoverageOf(t.lens.Circle, s.setup.Lens)
	}
	var err error
	if s.cover, err = s.setup.Covers(covers); err != nil {
		return err
	}
	if t.lens.Circle > 0 && s.cover.Left < -hair {
		return s.cover.Check()
	}
	if s.face, err = t.faceOf(&s); err != nil {
		return err
	}
	t.stands = append(t.stands, s)
	return nil
}

// turned returns the camera with the movements that bring the foci of the targets nearest to the plate within its limits,
// and how far apart they are left. It reports false when that takes no turn worth setting.
func (t *trial) turned(square optics.Setup, l *optics.Limits, moves Moves, at []optics.Point, of []focus) (optics.Camera, float64, bool) {
	mostTilt := 0.0
	if moves == TiltAndSwing {
		mostTilt = steepestBack
	}
	swing, tilt := follow(of, steepestBack, mostTilt)
	best := turn(square.Camera, of, swing, tilt)
	left, _ := depth(of, swing, tilt)
	if best.Back.Total() < worthTurn {
		return best, left, false
	}
	moved := square
	moved.Camera = best
	if l == nil || l.Check(moved) == nil {
		return best, left, true
	}
	// The back alone, as far as it goes.
	swing, tilt = follow(of, math.Tan(float64(l.BackSwing)), min(mostTilt, math.Tan(float64(l.BackTilt))))
	short := turn(square.Camera, of, swing, tilt)
	left, _ = depth(of, swing, tilt)
	// The same plane with the front's help; the turned lens carries its curved field along, so the foci are sought anew.
	moved.Camera = best
	if plane, err := planeOf(best, at[0]); err == nil {
		if moved.Camera, err = plane.WithinLimits(best.Focal, *l); err == nil {
			low, high := math.Inf(1), math.Inf(-1)
			for _, p := range at {
				set, err := moved.FocusOn(p)
				if err != nil {
					low = math.Inf(-1)
					break
				}
				low, high = min(low, float64(set.Camera.Extension)), max(high, float64(set.Camera.Extension))
			}
			if high-low < left {
				moved.Camera.Extension = measure.Length((low + high) / 2)
				return moved.Camera, high - low, true
			}
		}
	}
	return short, left, short.Back.Total() >= worthTurn
}

// planeOf returns the plane a camera is focused on, through three of its points about a target.
func planeOf(c optics.Camera, about optics.Point) (optics.Plane, error) {
	p := c.SharpPlane()
	var three [3]optics.Point
	for i, by := range [3][2]float64{{}, {0.1}, {0, 0.1}} {
		// Along the direction d from the lens the plane p·X = 1 is met at 1/(p·d).
		dx, dy := float64(about.X/about.Z)+by[0], float64(about.Y/about.Z)+by[1]
		z := 1 / (p[0]*dx + p[1]*dy + p[2])
		three[i] = point(dx*z, dy*z, z)
	}
	return optics.Through(three)
}

func before(eyes optics.Point, v pose.Vec) optics.Point {
	return optics.Point{X: eyes.X + measure.Length(v.X), Y: eyes.Y + measure.Length(v.Y), Z: eyes.Z + measure.Length(v.Z)}
}
