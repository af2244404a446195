package pose

import "math"

// The outlines are drawn by eye over the surface: silhouettes from its rings, features as lines laid
// on the face. They show where things are; no figure is taken from them.

// Where the one who looks stands: before the sitter, or at the photographer's right.
const (
	fromFront = iota
	fromSide
)

// toward reports whether a normal faces the one who looks.
func toward(view int, normal Vec) bool {
	if view == fromFront {
		return normal.Z < -0.08
	}
	return normal.X > 0.08
}

// across is the coordinate along the drawing's level.
func across(view int, v Vec) float64 {
	if view == fromFront {
		return v.X
	}
	return v.Z
}

// edges returns the outermost points of the rings from row to row, on either side.
func (g grid) edges(view, from, to int) (low, high []Vec) {
	low, high = make([]Vec, 0, to-from+1), make([]Vec, 0, to-from+1)
	for r := from; r <= to; r++ {
		ring := g.ring(r)
		least, most := 0, 0
		for i, v := range ring {
			if across(view, v) < across(view, ring[least]) {
				least = i
			}
			if across(view, v) > across(view, ring[most]) {
				most = i
			}
		}
		low, high = append(low, vertex(view, ring, least)), append(high, vertex(view, ring, most))
	}
	return low, high
}

// vertex refines an outermost point by the parabola through it and its neighbours.
func vertex(view int, ring []Vec, i int) Vec {
	a, b, c := ring[(i+len(ring)-1)%len(ring)], ring[i], ring[(i+1)%len(ring)]
	bend := across(view, a) - 2*across(view, b) + across(view, c)
	if math.Abs(bend) < 1e-9 {
		return b
	}
	t := max(-0.5, min(0.5, (across(view, a)-across(view, c))/(2*bend)))
	return b.plus(c.minus(a).times(t / 2)).plus(a.plus(c).minus(b.times(2)).times(t * t / 2))
}

// round joins two edges into one closed line.
func round(low, high []Vec) []Vec {
	line := make([]Vec, 0, len(low)+len(high))
	line = append(line, low...)
	for i := len(high) - 1; i >= 0; i-- {
		line = append(line, high[i])
	}
	return line
}

// leaving is a line from where it first leaves a closed one.
func leaving(view int, closed, line []Vec) []Vec {
	first := 0
	for first < len(line)-1 && within(view, closed, line[first]) {
		first++
	}
	if first == 0 {
		return line
	}
	in, out := line[first-1], line[first]
	for range 6 {
		if middle := in.to(out, 0.5); within(view, closed, middle) {
			in = middle
		} else {
			out = middle
		}
	}
	line[first-1] = out
	return line[first-1:]
}

// within reports whether a point lies inside a closed line, by the crossings to one side of it.
func within(view int, closed []Vec, v Vec) bool {
	inside := false
	before := closed[len(closed)-1]
	for _, w := range closed {
		if (w.Y > v.Y) != (before.Y > v.Y) && across(view, v) < across(view, w)+(v.Y-w.Y)/(before.Y-w.Y)*(across(view, before)-across(view, w)) {
			inside = !inside
		}
		before = w
	}
	return inside
}

// smooth puts a point of a Catmull-Rom curve between every two of a line.
func smooth(line []Vec, closed bool) []Vec {
	n := len(line)
	if n < 3 {
		return line
	}
	at := func(i int) Vec {
		if closed {
			return line[(i+n)%n]
		}
		return line[max(0, min(n-1, i))]
	}
	out := make([]Vec, 0, 2*n)
	for i := range n {
		out = append(out, at(i))
		if i == n-1 && !closed {
			break
		}
		out = append(out, at(i).plus(at(i+1)).times(9.0/16).minus(at(i-1).plus(at(i+2)).times(1.0/16)))
	}
	return out
}

// features are the face's lines, as places on it seen from the front.
type features struct {
	part   string
	points []Vec // Z is found on the face
	closed bool
}

func (s *shaper) features() []features {
	e := s.eye / 31.43 // over an adult's
	q := s.q * scanFace / adultFace
	below := func(local float64) float64 { return s.root + local*s.q }
	var all []features
	for _, side := range [...]float64{-1, 1} {
		lid := func(up float64) []Vec {
			line := make([]Vec, 0, 9)
			for i := range 9 {
				u := float64(i)/4 - 1
				line = append(line, Vec{X: side * (s.eye + 14.5*e*u), Y: up*e*(1-u*u) + 1.2*e*u})
			}
			return line
		}
		iris := make([]Vec, 0, 12)
		for i := range 12 {
			sin, cos := math.Sincos(float64(i) * math.Pi / 6)
			iris = append(iris, Vec{X: side*s.eye + 5.2*e*cos, Y: 5.2 * e * sin})
		}
		all = append(all,
			features{"eye", lid(6), false}, features{"eye", lid(-4.5), false}, features{"eye", iris, true},
			features{"brow", []Vec{{X: side * (s.eye - 17*e), Y: 18 * q}, {X: side * (s.eye - 5*e), Y: 22.5 * q}, {X: side * (s.eye + 8*e), Y: 23 * q}, {X: side * (s.eye + 21*e), Y: 17 * q}}, false},
			features{"nose", []Vec{{X: side * 16 * q, Y: below(-41)}, {X: side * 17.5 * q, Y: below(-46)}, {X: side * 15 * q, Y: below(-50)}, {X: side * 9 * q, Y: below(-48.5)}, {X: side * 4 * q, Y: below(-50.5)}}, false})
	}
	all = append(all,
		features{"nose", []Vec{{X: 6.5 * q, Y: below(-2)}, {X: 7 * q, Y: below(-14)}, {X: 8.5 * q, Y: below(-28)}, {X: 9.5 * q, Y: below(-36)}}, false},
		features{"lips", []Vec{{X: -25 * q, Y: below(-67)}, {X: -12 * q, Y: below(-67)}, {X: 0, Y: below(-mouthBelow)}, {X: 12 * q, Y: below(-67)}, {X: 25 * q, Y: below(-67)}}, false},
		features{"lips", []Vec{{X: -25 * q, Y: below(-67)}, {X: -14 * q, Y: below(-63)}, {X: -5 * q, Y: below(-lipBelow)}, {X: 0, Y: below(-62)}, {X: 5 * q, Y: below(-lipBelow)}, {X: 14 * q, Y: below(-63)}, {X: 25 * q, Y: below(-67)}}, false},
		features{"lips", []Vec{{X: -25 * q, Y: below(-67)}, {X: -13 * q, Y: below(-74)}, {X: 0, Y: below(-76.5)}, {X: 13 * q, Y: below(-74)}, {X: 25 * q, Y: below(-67)}}, false})
	return all
}

// drawn is a feature laid on the posed face, with the directions the face has there.
type drawn struct {
	features
	facing []Vec
}

// lay lays the features on the face.
func (s *shaper) lay(place *stance) []drawn {
	marks := s.features()
	out := make([]drawn, len(marks))
	for i, f := range marks {
		out[i] = drawn{f, make([]Vec, len(f.points))}
		for k, v := range f.points {
			out[i].facing[k] = place.head.of(s.facing(v.X, v.Y))
			f.points[k] = place.ofHead(Vec{v.X, v.Y, s.front(v.X, v.Y)})
		}
	}
	return out
}

// seen appends the runs of a feature's line that the one who looks sees.
func (d drawn) seen(out Outline, view int) Outline {
	from := 0
	for i := range len(d.points) + 1 {
		if i < len(d.points) && toward(view, d.facing[i]) {
			continue
		}
		whole := d.closed && i-from == len(d.points)
		if i-from > 1 {
			out = append(out, Line{d.part, smooth(d.points[from:i], whole), whole})
		}
		from = i + 1
	}
	return out
}

// ears are two closed lines: front edge on the head, rear edge standing off it.
func (s *shaper) ears(place *stance, seen func(normal Vec) bool) []Line {
	var out []Line
	for _, side := range [...]float64{-1, 1} {
		if !seen(place.head.of(Vec{side * 0.85, 0, -0.5})) {
			continue
		}
		line := make([]Vec, 0, 16)
		for i := range 16 {
			sin, cos := math.Sincos(float64(i) * math.Pi / 8)
			h := s.q * scanFace / adultFace
			back := 0.5 + 0.5*cos - 0.12*sin // from the front edge to the rim
			x := s.ear.X + h*(18*max(0, back)-5)
			line = append(line, place.ofHead(Vec{side * x, s.ear.Y + h*(-7+31*sin+3*cos), s.ear.Z + h*(-6+36*back*(0.82+0.18*sin))}))
		}
		out = append(out, Line{"ear", smooth(line, true), true})
	}
	return out
}

// draw fills in the three outlines.
func (p Pose) draw(f *Figure, s *shaper, place *stance, skull, throat, trunk grid, hands [2]Vec) {
	marks := s.lay(place)
	for view, out := range [...]*Outline{&f.Front, &f.Side} {
		*out = make(Outline, 0, 32)
		low, high := skull.edges(view, 0, headRows-1)
		head := smooth(round(low, high), true)
		*out = append(*out, Line{"head", head, true})
		neckLow, neckHigh := throat.edges(view, 0, neckRows-3)
		bustLow, bustHigh := trunk.edges(view, 0, trunkRows-1)
		*out = append(*out,
			Line{"bust", smooth(leaving(view, head, append(neckLow, bustLow...)), false), false},
			Line{"bust", smooth(leaving(view, head, append(neckHigh, bustHigh...)), false), false})
		for _, mark := range marks {
			*out = mark.seen(*out, view)
		}
		*out = append(*out, s.ears(place, func(normal Vec) bool { return toward(view, normal) })...)
	}
	f.Above = append(make(Outline, 0, 8),
		Line{"bust", smooth(trunk.ring(widestRow), true), true},
		Line{"head", smooth(skull.ring(rowsAbove+2), true), true},
		Line{"nose", smooth(skull.ring(rowsAbove + 9)[middle-3:middle+4], false), false})
	f.Above = append(f.Above, s.ears(place, func(Vec) bool { return true })...)
	if p.Hands {
		for i, at := range hands {
			hand := p.handLine(at, float64(2*i-1))
			f.Front, f.Side, f.Above = append(f.Front, hand), append(f.Side, hand), append(f.Above, hand)
		}
	}
	f.Side = append(f.Side, p.legs(f, trunk)...)
}

// handLine is the outline of a hand about its middle: flat on the thigh, or hanging.
func (p Pose) handLine(at Vec, side float64) Line {
	long, broad := float64(p.Body.HandLength)/2, float64(p.Body.HandBreadth)/2
	line := make([]Vec, 0, 16)
	for i := range 16 {
		sin, cos := math.Sincos(float64(i) * math.Pi / 8)
		v := Vec{side * 0.3 * broad * cos, -long * sin, broad * cos}
		if !p.Standing { // fingers toward the knees and inward
			v = Vec{broad*cos - side*0.35*long*sin, 0.12 * long * sin, -0.9 * long * sin}
		}
		line = append(line, at.plus(v))
	}
	return Line{"hand", line, true}
}

// legs are two lines from the trunk to the floor, for the side.
func (p Pose) legs(f *Figure, trunk grid) []Line {
	b := p.Body
	floor := -float64(f.EyeHeight)
	front, back := trunk.edges(fromSide, trunkRows-1, trunkRows-1)
	k := float64(b.SittingEye) / 776.3
	if p.Standing {
		thick := back[0].Z - front[0].Z
		return []Line{
			{"leg", smooth([]Vec{front[0], {0, front[0].Y - 250*k, front[0].Z + 0.05*thick}, {0, floor + 500*k, front[0].Z + 0.22*thick}, {0, floor + 70*k, front[0].Z + 0.34*thick}, {0, floor, front[0].Z - 0.1*thick}}, false), false},
			{"leg", smooth([]Vec{back[0], {0, back[0].Y - 250*k, back[0].Z + 0.04*thick}, {0, floor + 480*k, back[0].Z - 0.25*thick}, {0, floor + 70*k, back[0].Z - 0.36*thick}, {0, floor, back[0].Z - 0.34*thick}}, false), false},
		}
	}
	seat := floor + float64(p.Seat)
	knee := back[0].Z - float64(b.ButtockKnee)
	return []Line{
		{"leg", smooth([]Vec{front[0], {0, seat + 190*k, front[0].Z - 20*k}, {0, seat + 155*k, front[0].Z - 90*k}, {0, seat + 120*k, knee + 60*k}, {0, seat + 70*k, knee}, {0, seat - 60*k, knee + 14*k}, {0, floor + 70*k, knee + 40*k}, {0, floor, knee - 90*k}}, false), false},
		{"leg", smooth([]Vec{back[0], {0, seat + 120*k, back[0].Z + 12*k}, {0, seat + 20*k, back[0].Z - 20*k}, {0, seat, back[0].Z - 80*k}, {0, seat, knee + 150*k}, {0, seat - 50*k, knee + 120*k}, {0, floor + 70*k, knee + 125*k}, {0, floor, knee + 135*k}}, false), false},
	}
}
