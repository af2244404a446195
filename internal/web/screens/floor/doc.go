// Package floor draws the screen on which a plate is planned: the camera and the sitter from the
// side and from above, the sitter's head larger, and the plate's face, with the figures the reckonings gave.
//
// [Elevations], [Heads] and [DrawFace] make the drawings. Every length in them is a length of [Geometry]
// divided by one scale, so that a rule laid on the drawing measures what the figures say; tests hold that. What is
// sharp is the shell between its curved limits, in the section through the camera's axis. The plate's face is
// stippled where the sitter is sharp, and crossed by lines of equal blur. A landmark is a dot where it is sharp,
// a ring where it is soft and a cross where it is gone, so that nothing hangs on colour.
//
// Three things are drawn and not measured, and are only there to be recognised: the barrel around the lens,
// the thickness of the holder, and the strokes within the sitter's outline. The two principal planes are drawn as
// one.
//
// Handles are small squares that a finger, a mouse or the arrow keys move; each says which field of the form it
// writes and by how much a unit of the sheet changes it, so that the script needs to know nothing of the trade.
//
// Nothing is reckoned here.
package floor

import "embed"

// Files are the screen's style sheet and script.
//
//go:embed *.css *.js
var Files embed.FS
