package scene

import (
	"errors"
	"fmt"
	"math"

	"platewright/optics"
	"platewright/pose"
)

// How closely a curved shell is laid through three points: how far along z it may miss them, with two foci (where
// the least spot is found no better) how far, in how many rounds that must be reached, and the step by which the slope
// of the misses is felt. Millimetres.
const (
	throughNear   = 1e-8
	throughFoci   = 0.01
	throughRounds = 20
	throughFeel   = 0.1
)

var errTooCurved = errors.New("the focal surface is too curved for a sharp shell through")

// Through returns the shot with the movements that lay the sharp shell through three landmarks, the sitter staying where they
// are, within the limits of the camera's standards. When that cannot be, the error says why: [optics.ErrInLine] and
// [optics.ErrThroughLens] of the points, a [*optics.BeyondLimits] of the camera.
//
// A plane through the points is what a flat field needs. With a curved one the plane is laid through three others, before or behind
// them on the lines to the lens, by as much as the shell then misses it.
func (s Shot) Through(names [3]pose.Landmark, l optics.Limits) (Shot, error) {
	t := through{setup: s.Setup, limits: l, shot: s}
	t.setup.Shift = 0 // focused by eye
	for i, name := range names {
		at, err := s.At(name)
		if err != nil {
			return Shot{}, err
		}
		t.marks[i] = at
	}
	setup, err := t.solve()
	if err != nil {
		return Shot{}, fmt.Errorf("%s, %s and %s: %w", names[0], names[1], names[2], err)
	}
	setup.Shift = s.Setup.Shift
	s.Setup = setup
	return s, nil
}

// through seeks three aims, each so much farther on the line from the lens to its mark, for which the shell passes
// through the marks.
type through struct {
	setup  optics.Setup
	limits optics.Limits
	shot   Shot
	marks  [3]optics.Point
}

func (t *through) solve() (optics.Setup, error) {
	var farther [3]float64
	enough := throughNear
	if t.setup.Surface.Sagittal != t.setup.Surface.Tangential {
		enough = throughFoci
	}
	for round := range throughRounds {
		setup, miss, err := t.missed(farther)
		if err != nil {
			if round > 0 {
				err = fmt.Errorf("a plane would do, but not with a focal surface so curved: %w", err)
			}
			return optics.Setup{}, err
		}
		if max(math.Abs(miss[0]), math.Abs(miss[1]), math.Abs(miss[2])) <= enough {
			return setup, nil
		}
		var slope [3][3]float64 // of each miss, by how much farther each aim lies
		for k := range farther {
			felt := farther
			felt[k] += throughFeel
			_, m, err := t.missed(felt)
			if err != nil {
				return optics.Setup{}, err
			}
			for i := range m {
				slope[i][k] = (m[i] - miss[i]) / throughFeel
			}
		}
		step, ok := solve3(slope, miss)
		if !ok {
			return optics.Setup{}, errTooCurved
		}
		for k := range farther {
			farther[k] -= step[k]
		}
	}
	return optics.Setup{}, errTooCurved
}

// missed lays a plane through the aims and returns the set-up for it, and how much farther than each mark the shell lies.
func (t *through) missed(farther [3]float64) (optics.Setup, [3]float64, error) {
	var aims [3]optics.Point
	for i, m := range t.marks {
		k := 1 + farther[i]/float64(m.Z)
		aims[i] = point(float64(m.X)*k, float64(m.Y)*k, float64(m.Z)*k)
	}
	var miss [3]float64
	plane, err := optics.Through(aims)
	if err != nil {
		return optics.Setup{}, miss, err
	}
	setup := t.setup
	if setup.Camera, err = plane.WithinLimits(setup.Lens.Focal, t.limits); err != nil {
		return optics.Setup{}, miss, err
	}
	for i, m := range t.marks {
		spot, err := setup.Spot(m)
		if err != nil {
			return optics.Setup{}, miss, err
		}
		reach, err := setup.Along(spot.At, t.shot.Blur)
		if err != nil || reach.Beyond {
			return optics.Setup{}, miss, errTooCurved
		}
		miss[i] = float64(reach.Sharp.Z - m.Z)
	}
	return setup, miss, nil
}

// solve3 solves three linear equations by Cramer's rule; it reports false when they have no one answer.
func solve3(a [3][3]float64, b [3]float64) ([3]float64, bool) {
	det := func(m [3][3]float64) float64 {
		return m[0][0]*(m[1][1]*m[2][2]-m[1][2]*m[2][1]) - m[0][1]*(m[1][0]*m[2][2]-m[1][2]*m[2][0]) + m[0][2]*(m[1][0]*m[2][1]-m[1][1]*m[2][0])
	}
	whole := det(a)
	if !(math.Abs(whole) > 1e-9) {
		return [3]float64{}, false
	}
	var x [3]float64
	for k := range x {
		m := a
		for i := range m {
			m[i][k] = b[i]
		}
		x[k] = det(m) / whole
	}
	return x, true
}
