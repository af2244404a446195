package scene

import (
	"errors"

	"platewright/optics"
	"platewright/pose"
)

// Through returns the shot with the movements that lay the sharp shell through three landmarks, within the limits of the
// camera's standards.
func (s Shot) Through(names [3]pose.Landmark, l optics.Limits) (Shot, error) {
	return Shot{}, errors.New("not yet")
}
