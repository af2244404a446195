package optics

import "platewright/measure"

// Limits is how far a camera's standards go, to either side of square. Zero movement is a fixed standard;
// a zero Shortest or Longest is unknown, and no limit.
type Limits struct {
	FrontTilt, FrontSwing measure.Angle
	BackTilt, BackSwing   measure.Angle
	Rise, Fall, Shift     measure.Length // of the lens's axis over the plate's middle
	Shortest, Longest     measure.Length // extension
	// BaseTilt tells a camera whose swing axis leans with the tilt; otherwise the tilt axis turns with the swing.
	// It decides which angles are read on the standards' scales.
	BaseTilt bool
}
