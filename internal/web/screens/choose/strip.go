package choose

import (
	"html"
	"math"
	"strconv"
	"strings"
)

// stripWide is the width of a strip in its own units.
const stripWide = 420.0

func n(v float64) string {
	if v = math.Round(v*10) / 10; v == 0 {
		return "0"
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// Draw returns the strip as an SVG element: the floor with the room's walls, the camera with its bellows,
// the sitter's head at the eyes. Only lengths along the floor are to scale.
func (s Strip) Draw() string {
	if !(s.Whole > 0) {
		return ""
	}
	var p strings.Builder
	path := func(class, d string) { p.WriteString(`<path class="` + class + `" d="` + d + `"></path>`) }
	k := (stripWide - 8) / s.Whole
	const axis, ground = 24.0, 56.0
	eyes := stripWide - 4 - 0.06*(stripWide-8)
	lens := eyes - s.Distance*k
	plate := lens - s.Extension*k
	path("outline", "M2 "+n(ground)+"H418")
	if s.Room > 0 {
		wall := max(2, stripWide-4-s.Room*k)
		path("heavy", "M"+n(wall)+" 6V"+n(ground)+"M418 6V"+n(ground))
	}
	path("axis", "M"+n(plate)+" "+n(axis)+"H"+n(eyes))
	path("thin", "M"+n(plate)+" "+n(axis-13)+"L"+n(lens)+" "+n(axis-9)+"V"+n(axis+9)+"L"+n(plate)+" "+n(axis+13)+"Z")
	path("heavy", "M"+n(plate)+" "+n(axis-15)+"V"+n(axis+15))
	path("paper", "M"+n(lens)+" "+n(axis-7)+"h9v14h-9Z")
	path("thin", "M"+n((plate+lens)/2)+" "+n(axis+15)+"L"+n((plate+lens)/2-9)+" "+n(ground)+"M"+n((plate+lens)/2)+" "+n(axis+15)+"L"+n((plate+lens)/2+9)+" "+n(ground))
	path("outline", "M"+n(eyes)+" "+n(axis-14)+"c9 0 12 6 12 13s-4 12 -9 13h-5c-3 -2 -4 -5 -4 -7l-3 -2l3 -4c-1 -7 1 -13 6 -13Z")
	path("outline", "M"+n(eyes+1)+" "+n(axis+12)+"c-12 3 -14 10 -14 20h26c0 -10 0 -17 -6 -20")
	return `<svg class="drawing room-strip" role="img" aria-label="` + html.EscapeString(s.Said) + `" viewBox="0 0 420 62">` + p.String() + `</svg>`
}
