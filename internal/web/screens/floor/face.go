package floor

import (
	"math"
	"slices"
	"strings"

	"platewright/measure"
)

// muchWider is from how many diagonals on the lens's circle is not drawn any more: its edge would say
// nothing about the plate.
const muchWider = 1.8

// faceHigh is how high the plate is drawn, in units, at most.
const faceHigh = 320.0

// plateRoom is how the drawing of the plate's face is laid out.
type plateRoom struct {
	pen
	scale float64 // millimetres of the plate to a unit
	mid   point
	turn  float64 // -1 turned upright, +1 as on the ground glass
	plate box
	room  box
}

// to is where a place on the plate is drawn.
func (p *plateRoom) to(q Place) point {
	return point{p.mid.x + p.turn*q.Along/p.scale, p.mid.y - p.turn*q.Across/p.scale}
}

func (p *plateRoom) all(places []Place) []point {
	out := make([]point, len(places))
	for i, q := range places {
		out[i] = p.to(q)
	}
	return out
}

// DrawFace draws the plate with the sitter on it: lines of equal blur, the landmarks, the lens's circle
// and the foot of its axis.
func DrawFace(g Geometry, red bool) string {
	f := g.Face
	p := &plateRoom{pen: pen{size: Sheet{Red: red}.letters(), heavy: red}, turn: -1}
	name, stands := "The plate, turned upright", "turned upright"
	if f.OnGlass {
		p.turn, name, stands = 1, "The plate, as on the ground glass", "as it stands on the ground glass"
	}
	const width = 400.0
	w, h := float64(g.Plate.Width), float64(g.Plate.Height)
	p.room = box{2, 1.5*p.size + 6, width - 3.2*p.size, 1.5*p.size + 6 + faceHigh}
	p.scale = max(w/p.room.width(), h/p.room.height())
	circle := float64(f.Circle)
	if circle > muchWider*math.Hypot(w, h) {
		circle = 0
	}
	p.scale = max(p.scale, min(circle, math.Hypot(w, h))/p.room.width())
	p.mid = point{(p.room.left + p.room.right) / 2, (p.room.top + p.room.bottom) / 2}
	p.plate = box{p.mid.x - w/2/p.scale, p.mid.y - h/2/p.scale, p.mid.x + w/2/p.scale, p.mid.y + h/2/p.scale}

	p.name(point{0, 0}, name)
	p.rect("paper", p.plate, ` data-length="face"`)
	p.clipBox("face-clip", p.plate)
	for _, l := range f.Outline {
		class := "outline body"
		if l.Fine {
			class = "thin"
		}
		p.path(class, polyline(p.all(l.At), l.Closed))
	}
	p.grains(f.Grains)
	p.contours(g)
	p.raw(`</g>`)
	p.rect("heavy", p.plate)
	p.lensAxis(f, circle)
	for _, m := range f.Marks {
		if at := p.to(m.At); at.x > p.plate.left && at.x < p.plate.right && at.y > p.plate.top && at.y < p.plate.bottom {
			p.mark(m.State, at, 0.3*p.size, m.Name)
		}
	}
	foot := p.sides(g, width)

	title := name + ": " + g.Plate.String() + ", the sitter " + stands + ", with lines of equal blur"
	if f.Circle > 0 {
		title += ", and the lens's circle, " + g.figure(f.Circle)
	}
	return framed(p.String(), "face", title, foot+0.9*p.size, ` data-scale="`+at4(p.scale)+`" data-middle="`+at(p.mid.x)+`,`+at(p.mid.y)+`"`)
}

// grains stipples what is sharp.
func (p *plateRoom) grains(places []Place) {
	if len(places) == 0 {
		return
	}
	var d strings.Builder
	for _, q := range p.all(places) {
		d.WriteString("M" + at(math.Round(q.x*10)/10) + " " + at(math.Round(q.y*10)/10) + "h0")
	}
	p.path("grain", d.String())
}

// contours draws the lines of equal blur and writes the blur on the longest of each.
func (p *plateRoom) contours(g Geometry) {
	var taken []point // where a figure stands already
	for _, m := range g.Face.Marks {
		taken = append(taken, p.to(m.At))
	}
	for _, c := range g.Face.Contours {
		class, length := "equal", "equal"
		if c.Limit {
			class, length = "sharp", "limit"
		}
		var longest []point
		most := 0.0
		for _, l := range c.Lines {
			points := p.all(l.At)
			p.path(class, polyline(points, l.Closed), ` data-length="`, length, `"`)
			if run := run(points); run > most {
				most, longest = run, points
			}
		}
		if p.heavy || most < 3*p.size {
			continue // letters for red light would hide the drawing
		}
		p.level(longest, blurFigure(c.Blur), &taken)
	}
}

// level writes a blur at the outermost place of its line on the plate that is clear of the figures
// written before.
func (p *plateRoom) level(line []point, words string, taken *[]point) {
	best := point{x: math.Inf(-1)}
	for _, q := range line {
		inside := q.x < p.plate.right-2.6*p.size && q.x > p.plate.left && q.y > p.plate.top+p.size && q.y < p.plate.bottom-p.size
		clear := !slices.ContainsFunc(*taken, func(o point) bool { return math.Abs(o.y-q.y) < 1.3*p.size && math.Abs(o.x-q.x) < 2.6*p.size })
		if inside && clear && q.x > best.x {
			best = q
		}
	}
	if math.IsInf(best.x, -1) {
		return
	}
	*taken = append(*taken, best)
	p.text(point{best.x + 3, best.y}, "start", words, ` class="equal-figure"`)
}

// run is the length of a line of points.
func run(points []point) float64 {
	sum := 0.0
	for i := 1; i < len(points); i++ {
		sum += math.Hypot(points[i].x-points[i-1].x, points[i].y-points[i-1].y)
	}
	return sum
}

// blurFigure writes a blur without its unit: two digits, no finer than a hundredth.
func blurFigure(blur measure.Length) string {
	if blur < 1 {
		return formatFigure(math.Round(float64(blur)*100) / 100)
	}
	return formatFigure(math.Round(float64(blur)*10) / 10)
}

// lensAxis draws the foot of the lens's axis and its circle.
func (p *plateRoom) lensAxis(f Face, circle float64) {
	foot := p.to(f.Axis)
	const cross = 7.0
	p.path("thin", "M"+at(foot.x-cross)+" "+at(foot.y)+"h"+at(2*cross)+"M"+at(foot.x)+" "+at(foot.y-cross)+"v"+at(2*cross), ` data-length="foot"`)
	if circle == 0 {
		return
	}
	p.clipBox("circle-clip", box{0, p.room.top - 4, 400, p.room.bottom + 4})
	p.raw(`<circle class="axis" data-length="circle" cx="`, at(foot.x), `" cy="`, at(foot.y), `" r="`, at(circle/2/p.scale), `"></circle></g>`)
}

// sides draws the dimensions of the plate and returns where they end.
func (p *plateRoom) sides(g Geometry, width float64) float64 {
	y := p.plate.bottom + p.size
	p.path("dimension", "M"+at(p.plate.left)+" "+at(p.plate.bottom+4)+"V"+at(y+4)+"M"+at(p.plate.right)+" "+at(p.plate.bottom+4)+"V"+at(y+4))
	p.across(p.plate.left, p.plate.right, y, g.figure(g.Plate.Width), width)
	x := p.plate.right + p.size
	p.path("dimension", "M"+at(p.plate.right+4)+" "+at(p.plate.top)+"H"+at(x+4)+"M"+at(p.plate.right+4)+" "+at(p.plate.bottom)+"H"+at(x+4)+
		"M"+at(x)+" "+at(p.plate.top)+"V"+at(p.plate.bottom))
	p.arrow(point{x, p.plate.top}, 0, -1)
	p.arrow(point{x, p.plate.bottom}, 0, 1)
	p.raw(`<text text-anchor="middle" transform="translate(`, at(x+0.6*p.size), ` `, at(p.mid.y), `) rotate(-90)">`, escape(g.figure(g.Plate.Height)), `</text>`)
	return y
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
