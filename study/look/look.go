// Package look computes how a colour photograph would come out on a wet collodion plate: a study, not a
// promise.
//
// The way of a pixel: the camera's colour, read by the photograph's own colour profile, becomes linear
// sRGB; that becomes the share of the plate's light which the surface sends back; exposure and the
// plate's curve make silver of it; the developer gives the silver its tone; and the picture is turned
// left for right, as a plate is. Nothing here reads a file or a clock, or starts work side by side:
// the caller hands in [Each] for that.
package look

// Each hands out the work 0 to n-1, in any order, side by side if it can, and returns when all is done.
// A nil Each does one piece after another.
type Each func(n int, do func(i int))

func (e Each) all(n int, do func(i int)) {
	if e != nil {
		e(n, do)
		return
	}
	for i := range n {
		do(i)
	}
}

// Area is a part of a photograph, in percent of its sides from the upper left corner, as the photograph
// is seen upright and not mirrored.
type Area struct{ X, Y, Width, Height float64 }
