package floor

import "math"

// muchWider is from how many diagonals on the lens's circle is not drawn any more: its edge would say
// nothing about the plate.
const muchWider = 1.8

// Face draws the plate as it will be looked at, with the sitter at the size the magnification makes
// and the lens's circle where it is known.
func Face(g Geometry, red bool) string {
	p := &pen{size: Sheet{Red: red}.letters(), heavy: red}
	const width = 400.0
	w, h := float64(g.Plate.Width), float64(g.Plate.Height)
	room := box{2, 1.5*p.size + 6, width - 3.2*p.size, 1.5*p.size + 6 + 230}
	k := max(w/room.width(), h/room.height())
	circle := float64(g.Circle)
	if circle > muchWider*math.Hypot(w, h) {
		circle = 0
	}
	k = max(k, circle/room.width())
	mid := point{(room.left + room.right) / 2, (room.top + room.bottom) / 2}
	plate := box{mid.x - w/2/k, mid.y - h/2/k, mid.x + w/2/k, mid.y + h/2/k}

	p.name(point{0, 0}, "The plate's face")
	p.rect("paper", plate, ` data-length="face"`)
	p.raw(`<clipPath id="face-clip">`)
	p.rect("", plate)
	p.raw(`</clipPath><g clip-path="url(#face-clip)">`)
	p.sitter(point{mid.x, mid.y - g.eyesAbove()*g.Magnification/k}, g.Magnification/k)
	p.raw(`</g>`)
	p.rect("heavy", plate)
	cross := 5.0
	p.path("thin", "M"+at(mid.x-cross)+" "+at(mid.y)+"h"+at(2*cross)+"M"+at(mid.x)+" "+at(mid.y-cross)+"v"+at(2*cross))
	if circle > 0 {
		p.raw(`<clipPath id="circle-clip">`)
		p.rect("", box{0, room.top, width, room.bottom})
		p.raw(`</clipPath><circle class="axis" clip-path="url(#circle-clip)" data-length="circle" cx="`, at(mid.x), `" cy="`, at(mid.y), `" r="`, at(circle/2/k), `"></circle>`)
	}
	y := room.bottom + p.size
	p.path("dimension", "M"+at(plate.left)+" "+at(plate.bottom+4)+"V"+at(y+4)+"M"+at(plate.right)+" "+at(plate.bottom+4)+"V"+at(y+4))
	p.across(plate.left, plate.right, y, g.figure(g.Plate.Width), width)
	x := plate.right + p.size
	p.path("dimension", "M"+at(plate.right+4)+" "+at(plate.top)+"H"+at(x+4)+"M"+at(plate.right+4)+" "+at(plate.bottom)+"H"+at(x+4)+
		"M"+at(x)+" "+at(plate.top)+"V"+at(plate.bottom))
	p.arrow(point{x, plate.top}, 0, -1)
	p.arrow(point{x, plate.bottom}, 0, 1)
	p.raw(`<text text-anchor="middle" transform="translate(`, at(x+0.6*p.size), ` `, at(mid.y), `) rotate(-90)">`, escape(g.figure(g.Plate.Height)), `</text>`)

	title := "The plate's face: " + g.Plate.String() + " with the sitter at the size of the image"
	if circle > 0 {
		title += ", and the lens's circle, " + g.figure(g.Circle)
	}
	return framed(p.String(), "face", title, y+1.4*p.size)
}

// across draws a dimension with its figure in it, or below it where there is no room.
func (p *pen) across(from, to, y float64, words string, width float64) {
	w := p.widthOf(words)
	mid := (from + to) / 2
	if w+26 <= to-from {
		p.path("dimension", "M"+at(from)+" "+at(y)+"H"+at(mid-w/2-4)+"M"+at(mid+w/2+4)+" "+at(y)+"H"+at(to))
		p.text(point{mid, y}, "middle", words)
	} else {
		p.path("dimension", "M"+at(from)+" "+at(y)+"H"+at(to))
		p.text(point{min(to+8, width-w), y}, "start", words)
	}
	p.arrow(point{from, y}, -1, 0)
	p.arrow(point{to, y}, 1, 0)
}

// sitter draws the outline from the front about a point between the eyes; unit is units of the
// sheet to a millimetre of the sitter.
func (p *pen) sitter(eyes point, unit float64) {
	both := func(list []across) []point {
		out := make([]point, 0, 2*len(list))
		for _, q := range list {
			out = append(out, point{eyes.x + q.right*unit, eyes.y - q.up*unit})
		}
		for i := len(list) - 1; i >= 0; i-- {
			if q := list[i]; q.right > 0 {
				out = append(out, point{eyes.x - q.right*unit, eyes.y - q.up*unit})
			}
		}
		return out
	}
	p.path("outline body", smooth(both(half), true))
	line := func(list []across) {
		for _, sign := range []float64{-1, 1} {
			points := make([]point, len(list))
			for i, q := range list {
				points[i] = point{eyes.x + sign*q.right*unit, eyes.y - q.up*unit}
			}
			p.path("thin", smooth(points, false))
		}
	}
	line(hairline)
	line(collarFront)
	for _, sign := range []float64{-1, 1} {
		side := make([]point, len(shoulder))
		for i, q := range shoulder {
			side[i] = point{eyes.x + sign*q.right*unit, eyes.y - q.up*unit}
		}
		p.path("outline body", smooth(side, false))
		x := eyes.x + sign*31.5*unit
		p.path("thin", "M"+at(x-15*unit)+" "+at(eyes.y)+"Q"+at(x)+" "+at(eyes.y-10*unit)+" "+at(x+15*unit)+" "+at(eyes.y)+
			"Q"+at(x)+" "+at(eyes.y+8*unit)+" "+at(x-15*unit)+" "+at(eyes.y)+"Z")
		p.raw(`<circle class="solid" cx="`, at(x), `" cy="`, at(eyes.y-0.5*unit), `" r="`, at(max(0.8, 4.5*unit)), `"></circle>`)
		p.path("thin", "M"+at(x-19*unit)+" "+at(eyes.y-17*unit)+"q"+at(18*unit)+" "+at(-9*unit)+" "+at(37*unit)+" "+at(2*unit))
	}
	p.path("thin", "M"+at(eyes.x-14*unit)+" "+at(eyes.y+36*unit)+"q"+at(14*unit)+" "+at(9*unit)+" "+at(28*unit)+" 0M"+
		at(eyes.x-24*unit)+" "+at(eyes.y+64*unit)+"q"+at(12*unit)+" "+at(-4*unit)+" "+at(24*unit)+" 0q"+at(12*unit)+" "+at(-4*unit)+" "+at(24*unit)+" 0")
}

// Detail draws the sitter's head from the side, larger, with what is sharp of it hatched and the
// parts of the depth before and behind the eyes.
func Detail(g Geometry, red bool) string {
	p := &pen{size: Sheet{Red: red}.letters(), heavy: red}
	const width, high = 400.0, 236.0
	front, rear := float64(g.Front), math.Inf(1)
	if g.Rear != nil {
		rear = float64(*g.Rear)
	}
	// At least the face is shown, at most ten heads.
	before := min(max(60, 1.25*front), 1500)
	behind := 250.0
	if !math.IsInf(rear, 1) {
		behind = min(max(190, 1.25*rear), 2500)
	}
	k := scaleFor(max((before+behind)/(width-8), 235/high))
	top := 1.5*p.size + 6
	eyes := point{4 + before/k, top + 0.49*high}
	frame := box{2, top, width - 2, top + high}

	p.name(point{0, 0}, "What is sharp")
	p.raw(`<clipPath id="detail-clip">`)
	p.rect("", frame)
	p.raw(`</clipPath><g clip-path="url(#detail-clip)">`)
	near, far := eyes.x-front/k, frame.right
	if !math.IsInf(rear, 1) {
		far = eyes.x + rear/k
	}
	p.hatch("sharp fine", box{max(near, frame.left), frame.top, min(far, frame.right), frame.bottom}, 7)
	to := func(list []place) []point {
		out := make([]point, len(list))
		for i, q := range list {
			out[i] = point{eyes.x + q.back/k, eyes.y - q.up/k}
		}
		return out
	}
	p.path("outline body", smooth(to(profile), false))
	p.path("thin", smooth(to(ear), true))
	for _, stroke := range [][]place{jaw, hair, collar} {
		p.path("thin", smooth(to(stroke), false))
	}
	p.path("thin", smooth(to(eye), true))
	p.path("thin", smooth(to(lid), false))
	p.line("axis", point{eyes.x, frame.top}, point{eyes.x, frame.bottom})
	p.line("sharp", point{near, frame.top}, point{near, frame.bottom}, ` data-length="front"`)
	if !math.IsInf(rear, 1) {
		p.line("sharp", point{far, frame.top}, point{far, frame.bottom}, ` data-length="rear"`)
	}
	p.raw(`</g>`)
	p.rect("thin", frame)

	title := "What is sharp: from " + g.sharp(g.Front) + " before the eyes "
	below := frame.bottom + p.size
	words := "before " + g.sharp(g.Front)
	if g.Rear != nil {
		title += "to " + g.sharp(*g.Rear) + " behind them"
		words += ", behind " + g.sharp(*g.Rear)
	} else {
		title += "to infinity"
		words += ", behind without end"
	}
	if p.widthOf(words) > width {
		p.text(point{2, below}, "start", words[:len("before ")+len(g.sharp(g.Front))])
		below += 1.3 * p.size
		words = words[len("before ")+len(g.sharp(g.Front))+2:]
	}
	p.text(point{2, below}, "start", words)
	return framed(p.String(), "detail", title, below+p.size, ` data-scale="`+at4(k)+`" data-eye="`+at(eyes.x)+`"`)
}

// framed puts a small drawing into its SVG element.
func framed(body, name, title string, height float64, more ...string) string {
	var out pen
	out.raw(`<svg class="drawing elevation narrow `, name, `" viewBox="0 0 400 `, at(height), `" role="img" aria-labelledby="`, name, `-title" aria-describedby="figures-table"`)
	out.raw(more...)
	out.raw(`><title id="`, name, `-title">`, escape(title), `</title>`, body, `</svg>`)
	return out.String()
}
