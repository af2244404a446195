// Package floor draws the screen on which a plate is planned: the camera and the sitter from the
// side and from above, to scale, with the figures the reckonings gave.
//
// [Elevation] and [Detail] make the drawings. Every length in them is a length of [Geometry] divided by
// one scale, so that a rule laid on the drawing measures what the figures say; a test holds that.
// Three things are drawn and not measured, and are only there to be recognised: the sitter's
// outline (mean sizes of grown people, rounded), the barrel around the lens, and the place of the eyes
// in the frame. The two principal planes are drawn as one.
//
// Nothing is reckoned here.
package floor

import "embed"

// Files are the screen's style sheet and script.
//
//go:embed *.css *.js
var Files embed.FS
