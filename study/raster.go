package study

import "math"

type vec struct{ x, y, z float64 }

func (a vec) add(b vec) vec         { return vec{a.x + b.x, a.y + b.y, a.z + b.z} }
func (a vec) sub(b vec) vec         { return vec{a.x - b.x, a.y - b.y, a.z - b.z} }
func (a vec) scaled(k float64) vec  { return vec{a.x * k, a.y * k, a.z * k} }
func (a vec) dot(b vec) float64     { return a.x*b.x + a.y*b.y + a.z*b.z }
func (a vec) cross(b vec) vec       { return vec{a.y*b.z - a.z*b.y, a.z*b.x - a.x*b.z, a.x*b.y - a.y*b.x} }
func (a vec) normal() vec           { return a.scaled(1 / (math.Sqrt(a.dot(a)) + 1e-12)) }
func (a vec) turned(about turn) vec { return vec{about[0].dot(a), about[1].dot(a), about[2].dot(a)} }
func (a vec) unturned(about turn) vec {
	return about[0].scaled(a.x).add(about[1].scaled(a.y)).add(about[2].scaled(a.z))
}

// turn is a rotation, its rows being the new axes.
type turn [3]vec

// posed turns by yaw (about the upright), then nod (about the line through the ears), then lean
// (about the line of sight), in radians.
func posed(yaw, nod, lean float64) turn {
	sy, cy := math.Sincos(yaw)
	sn, cn := math.Sincos(nod)
	sl, cl := math.Sincos(lean)
	at := func(v vec) vec {
		v = vec{cy*v.x + sy*v.z, v.y, -sy*v.x + cy*v.z}
		v = vec{v.x, cn*v.y - sn*v.z, sn*v.y + cn*v.z}
		return vec{cl*v.x - sl*v.y, sl*v.x + cl*v.y, v.z}
	}
	ex, ey, ez := at(vec{1, 0, 0}), at(vec{0, 1, 0}), at(vec{0, 0, 1})
	return turn{{ex.x, ey.x, ez.x}, {ex.y, ey.y, ez.y}, {ex.z, ey.z, ez.z}}
}

// stuff is what a surface is made of.
type stuff uint8

const (
	nothing stuff = iota
	headStuff
	hairStuff
	coatStuff
	linenStuff
	silkStuff
	woodStuff
)

// sheet is a surface given on a grid, closed across.
type sheet struct {
	across, down int
	made         []vec // as modelled, for texture
	at           []vec // in the room
	facing       []vec
	of           stuff
}

// newSheet makes a sheet by a function of two numbers of 0 to 1, poses it and moves it.
func newSheet(of stuff, across, down int, pose turn, move vec, shape func(u, v float64) vec) *sheet {
	s := &sheet{across: across, down: down, of: of, made: make([]vec, across*down), at: make([]vec, across*down), facing: make([]vec, across*down)}
	for j := range down {
		for i := range across {
			k := j*across + i
			s.made[k] = shape(float64(i)/float64(across), float64(j)/float64(down-1))
			s.at[k] = s.made[k].turned(pose).add(move)
		}
	}
	for j := range down {
		up, below := max(j-1, 0)*across, min(j+1, down-1)*across
		for i := range across {
			left, right := (i+across-1)%across, (i+1)%across
			du := s.at[j*across+right].sub(s.at[j*across+left])
			dv := s.at[below+i].sub(s.at[up+i])
			s.facing[j*across+i] = dv.cross(du).normal()
		}
	}
	return s
}

// camera projects the room onto the plate: f is the scale in pixels at distance, which is measured
// from the lens to the plane z = 0.
type camera struct {
	width, height   int
	scale, distance float64
	centre          vec // the point of the room that falls on the middle
}

func (c camera) project(p vec) (x, y float64) {
	k := c.scale * c.distance / (c.distance - p.z)
	return float64(c.width)/2 + (p.x-c.centre.x)*k, float64(c.height)/2 - (p.y-c.centre.y)*k
}

// seen is what the camera sees at each pixel.
type seen struct {
	camera
	of     []stuff
	depth  []float32 // z in the room; larger is nearer
	facing [][3]float32
	made   [][3]float32
}

func newSeen(c camera) *seen {
	n := c.width * c.height
	s := &seen{camera: c, of: make([]stuff, n), depth: make([]float32, n), facing: make([][3]float32, n), made: make([][3]float32, n)}
	for i := range s.depth {
		s.depth[i] = -1e9
	}
	return s
}

// corner is a projected vertex.
type corner struct {
	x, y float64
	k    int
}

func (s *seen) draw(m *sheet) {
	at := make([]corner, len(m.at))
	for k, p := range m.at {
		x, y := s.project(p)
		at[k] = corner{x, y, k}
	}
	m.triangles(at, func(a, b, c corner) { s.fill(m, a, b, c) })
}

func (m *sheet) triangles(at []corner, each func(a, b, c corner)) {
	for j := 0; j < m.down-1; j++ {
		for i := range m.across {
			i2 := (i + 1) % m.across
			a, b := at[j*m.across+i], at[j*m.across+i2]
			c, d := at[(j+1)*m.across+i], at[(j+1)*m.across+i2]
			each(a, c, b)
			each(b, c, d)
		}
	}
}

// fill draws one triangle, keeping what is nearest. Backs are left out.
func (s *seen) fill(m *sheet, a, b, c corner) {
	area := (b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x)
	if area >= -1e-9 {
		return
	}
	x0, x1 := max(0, int(math.Ceil(min(a.x, b.x, c.x)-0.5))), min(s.width-1, int(math.Floor(max(a.x, b.x, c.x)-0.5)))
	y0, y1 := max(0, int(math.Ceil(min(a.y, b.y, c.y)-0.5))), min(s.height-1, int(math.Floor(max(a.y, b.y, c.y)-0.5)))
	if x0 > x1 || y0 > y1 {
		return
	}
	inv := 1 / area
	za, zb, zc := m.at[a.k].z, m.at[b.k].z, m.at[c.k].z
	for y := y0; y <= y1; y++ {
		py := float64(y) + 0.5
		for x := x0; x <= x1; x++ {
			px := float64(x) + 0.5
			wb := ((px-a.x)*(c.y-a.y) - (py-a.y)*(c.x-a.x)) * inv
			wc := ((b.x-a.x)*(py-a.y) - (b.y-a.y)*(px-a.x)) * inv
			wa := 1 - wb - wc
			if wa < 0 || wb < 0 || wc < 0 {
				continue
			}
			i := y*s.width + x
			z := float32(za*wa + zb*wb + zc*wc)
			if z <= s.depth[i] {
				continue
			}
			s.depth[i], s.of[i] = z, m.of
			na, nb, nc := &m.facing[a.k], &m.facing[b.k], &m.facing[c.k]
			s.facing[i] = [3]float32{float32(na.x*wa + nb.x*wb + nc.x*wc), float32(na.y*wa + nb.y*wb + nc.y*wc), float32(na.z*wa + nb.z*wb + nc.z*wc)}
			ma, mb, mc := &m.made[a.k], &m.made[b.k], &m.made[c.k]
			s.made[i] = [3]float32{float32(ma.x*wa + mb.x*wb + mc.x*wc), float32(ma.y*wa + mb.y*wb + mc.y*wc), float32(ma.z*wa + mb.z*wb + mc.z*wc)}
		}
	}
}

// shade is what the window sees: the nearest surface along its light, on a square grid.
type shade struct {
	axes  turn // the third axis points to the window
	side  int
	pitch float64 // mm a cell
	near  []float32
}

func newShade(toward vec, side int, pitch float64, sheets []*sheet) *shade {
	z := toward.normal()
	x := vec{0, 1, 0}.cross(z).normal()
	s := &shade{axes: turn{x, z.cross(x), z}, side: side, pitch: pitch, near: make([]float32, side*side)}
	for i := range s.near {
		s.near[i] = -1e9
	}
	for _, m := range sheets {
		for _, p := range m.at { // dense grids: points are enough, each covering a small square
			q := p.turned(s.axes)
			cx, cy := int(q.x/pitch)+side/2, int(q.y/pitch)+side/2
			for dy := 0; dy <= 1; dy++ {
				for dx := 0; dx <= 1; dx++ {
					if i := (cy+dy)*side + cx + dx; cx+dx >= 0 && cx+dx < side && cy+dy >= 0 && cy+dy < side {
						s.near[i] = max(s.near[i], float32(q.z))
					}
				}
			}
		}
	}
	return s
}

// taps are nine places on a disc, in steps of the golden angle.
func taps() [9]point {
	var t [9]point
	for k := range t {
		sin, cos := math.Sincos(float64(k) * 2.39996)
		r := 3.2 * math.Sqrt(float64(k)+0.5)
		t[k] = point{r * cos, r * sin}
	}
	return t
}

// lit returns the share of the window that a point sees; the window is broad, so edges are soft.
func (s *shade) lit(p vec, around *[9]point) float64 {
	q := p.turned(s.axes)
	sum, n := 0.0, 0.0
	for _, t := range around {
		cx, cy := int((q.x+t.x)/s.pitch)+s.side/2, int((q.y+t.y)/s.pitch)+s.side/2
		if cx < 0 || cx >= s.side || cy < 0 || cy >= s.side {
			continue
		}
		n++
		sum += 1 - step(5, 13, float64(s.near[cy*s.side+cx])-q.z)
	}
	if n == 0 {
		return 1
	}
	return sum / n
}
