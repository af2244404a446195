package optics

import "platewright/measure"

// Rims are the edges that cut a lens's light off its axis: the clear diameters of its front and rear
// glass and the length of the barrel between them. Zero is unknown.
type Rims struct {
	Front, Rear, Barrel measure.Length
	// ToEntrance is how far behind the front rim the entrance pupil is seen, ToExit how far before the
	// rear rim the exit pupil. Zero is unknown: half the barrel.
	ToEntrance, ToExit measure.Length
}
