package study

import (
	"math"
	"math/rand/v2"
)

// hairdo is how the sitter wears the hair.
type hairdo int

const (
	parted hairdo = iota // short, parted at the side
	drawn                // middle parting, drawn over the ears to a knot
	loose                // long, over the shoulders
	receding
	hairdos
)

// dress is what the sitter wears.
type dress int

const (
	coat dress = iota // dark coat, white collar, cravat
	gown              // dark dress with a lace collar
	shawl
	smock
	dresses
)

// sitter is an invented person. Lengths are millimetres; the eyes lie at height 0 and the axis of
// the head runs through the ears. The proportions are common figures of adult heads, from memory.
type sitter struct {
	seed  uint64
	hair  hairdo
	dress dress
	beard float64 // thickness, 0 for none
	lip   float64 // thickness of a moustache, 0 for none

	wide, long, nose, jaw, brow float64 // factors about 1
	age                         float64 // 0 young to 1 old
	skin, hairShade, iris       float64 // how they reflect blue light, 0 to 1
	freckles                    float64

	head, trunk turn
	move        vec // of the head
	gaze        float64
	shape       outlines
}

func newSitter(seed uint64) *sitter {
	r := rand.New(rand.NewPCG(seed, 0x706c617465))
	f := func(spread float64) float64 { return 1 + spread*(2*r.Float64()-1) }
	s := &sitter{
		seed: seed, hair: hairdo(r.IntN(int(hairdos))), dress: dress(r.IntN(int(dresses))),
		wide: f(0.05), long: f(0.04), nose: f(0.2), jaw: f(0.1), brow: f(0.35), age: r.Float64(),
		skin: 0.27 + 0.13*r.Float64(), hairShade: 0.016 + 0.07*r.Float64()*r.Float64(), iris: 0.05 + 0.2*r.Float64()*r.Float64(),
	}
	if r.Float64() < 0.35 {
		s.freckles = r.Float64()
	}
	s.shape = newOutlines(s.hair)
	bearded := s.hair == parted || s.hair == receding
	switch {
	case bearded && s.dress != smock:
		s.dress = coat
	case !bearded && s.dress == coat:
		s.dress = gown
	}
	if bearded {
		s.jaw *= 1.06
		s.brow *= 1.3
		if r.Float64() < 0.45 {
			s.beard = 5 + 9*r.Float64()
		}
		if s.beard > 0 || r.Float64() < 0.4 {
			s.lip = 3 + 3*r.Float64()
		}
	} else {
		s.jaw *= 0.93
		s.nose *= 0.88
		s.brow *= 0.5
	}
	if s.age > 0.7 {
		s.hairShade += (s.age - 0.7) * 0.6
	}
	yaw := (0.12 + 0.42*r.Float64()) * float64(1-2*r.IntN(2))
	s.head = posed(yaw, 0.03-0.09*r.Float64(), 0.07*(2*r.Float64()-1))
	s.trunk = posed(yaw*0.6+0.25*(2*r.Float64()-1), 0, 0)
	s.gaze = -yaw * (0.55 + 0.45*r.Float64())
	return s
}

// outlines are the curves a head is made of: half width, front and back of the axis and squareness of
// the cut by height; the least height of hair and the greatest of a beard by angle from the front.
type outlines struct {
	halfWidth, front, rear, square, hair, beard curve
}

func newOutlines(h hairdo) outlines {
	o := outlines{
		halfWidth: curve{{-125, 44}, {-105, 51}, {-85, 58.5}, {-60, 64.5}, {-35, 69}, {-10, 72}, {20, 75}, {50, 75}, {75, 67}, {90, 57}, {101, 44}, {108, 33}, {112, 23}, {114.5, 14}, {116, 1}},
		front:     curve{{-122, 74}, {-114, 84}, {-104, 90}, {-96, 89}, {-86, 85}, {-78, 89}, {-68, 90}, {-58, 91}, {-46, 91}, {-30, 89}, {-10, 87}, {6, 88}, {20, 95}, {45, 94}, {70, 85}, {88, 70}, {101, 51}, {108, 37}, {112, 25}, {114.5, 15}, {116, 1}},
		rear:      curve{{-120, 58}, {-80, 70}, {-40, 86}, {0, 98}, {40, 102}, {75, 90}, {95, 67}, {105, 49}, {111, 30}, {114.5, 15}, {116, 1}},
		square:    curve{{-115, 1.6}, {-95, 1.75}, {-60, 2.0}, {-20, 2.35}, {20, 2.35}, {60, 2.2}, {116, 2}},
		hair:      curve{{0, 66}, {0.35, 66}, {0.75, 60}, {1.0, 44}, {1.25, 20}, {1.38, -12}, {1.5, -16}, {1.62, 22}, {1.82, 20}, {2, -45}, {3.2, -80}},
		beard:     curve{{0, -82}, {0.25, -84}, {0.42, -70}, {0.7, -58}, {1.0, -40}, {1.3, -8}, {1.5, 0}},
	}
	switch h {
	case drawn:
		o.hair = curve{{0, 70}, {0.35, 64}, {0.75, 48}, {1.05, 18}, {1.3, -22}, {1.6, -40}, {2.1, -52}, {3.2, -70}}
	case loose:
		o.hair = curve{{0, 69}, {0.4, 61}, {0.8, 40}, {1.02, -5}, {1.15, -60}, {1.4, -135}, {3.2, -150}}
	case receding:
		o.hair = curve{{0, 92}, {0.3, 96}, {0.6, 98}, {0.9, 70}, {1.15, 40}, {1.36, 8}, {1.5, -4}, {1.62, 20}, {1.8, 18}, {2, -40}, {3.2, -75}}
	}
	return o
}

// skull is the distance from the axis at an angle (0 is the front) and height, features of the
// face included, hair not.
func (s *sitter) skull(angle, y float64) float64 {
	sin, cos := math.Sincos(angle)
	w, p := s.shape.halfWidth.at(y)*s.wide, s.shape.square.at(y)
	w *= mix(1, s.jaw, step(-20, -80, y))
	var d float64
	if cos >= 0 {
		d = s.shape.front.at(y)
	} else {
		d, p = s.shape.rear.at(y), 2.1
	}
	r := math.Pow(math.Pow(math.Abs(sin)/w, p)+math.Pow(math.Abs(cos)/d, p), -1/p)
	x := r * sin
	if cos > 0 {
		r += s.features(x, math.Abs(x), y)
	}
	r += 9 * bell(math.Abs(angle)-1.68, 0.12) * bell(y+6, 19) // ears
	r -= 4 * bell(math.Abs(angle)-1.62, 0.05) * bell(y+4, 12)

	// From the jaw the surface falls back to the neck, at the chin lower than at the ear.
	jaw := -117 + 42*math.Pow(min(1, math.Abs(angle)/1.75), 1.6)
	nw, nd := 55*s.wide*mix(0.88, 1.05, step(0.93, 1.06, s.jaw)), 57.0
	nr := math.Pow(math.Pow(math.Abs(sin)/nw, 2)+math.Pow(math.Abs(cos)/nd, 2), -0.5) - 14*cos
	nr += 3 * bell(math.Abs(angle)-0.5-0.004*(y+150), 0.13) // the cords of the neck
	t := step(jaw-7, jaw+9, y)
	return mix(nr, r, t)
}

// features are the hills and hollows of the face; x is signed, ax its amount.
func (s *sitter) features(x, ax, y float64) float64 {
	d := 0.0
	// nose
	if ax < 34 && y > -64 && y < 26 {
		foot := -49 + 0.03*x*x + 2.5*bell(ax-7, 3)
		h := 20 * s.nose * step(14, -35, y) * math.Sqrt(step(foot, foot+11, y))
		d += h * bell(x, mix(5.6, 8.2, step(0, -38, y)))
		d += 8.5 * s.nose * bell(ax-12.3, 4.4) * bell(y+40.5, 4.6)
		d -= 2.5 * bell(ax-17.5, 2.6) * bell(y+38, 7)
	}
	// sockets, eyeballs, lids
	if y > -40 && y < 46 {
		d -= 11.5 * bell(ax-30, 13) * bell(y-3, 9.5)
		d -= 5 * bell(ax-15, 6) * bell(y-5, 8)
		d += 8.2 * bell(ax-31.5, 10.5) * bell(y, 8.2)
		d += 3.4 * s.brow * both(x, 27, 17) * bell(y-19, 5.5)
		d -= (0.6 + 2*s.age) * bell(ax-31, 11) * bell(y+13-0.006*(ax-31)*(ax-31), 2.2)
	}
	// cheeks and temples
	d += 5.5 * bell(ax-47, 15) * bell(y+21, 13)
	d -= (1.2 + 3.5*s.age) * bell(ax-46, 12) * bell(y+60, 17)
	d -= 4 * bell(ax-64, 9) * bell(y-38, 18)
	d += 2.5 * both(x, 24, 16) * bell(y-55, 14)
	// mouth
	if ax < 60 && y > -100 && y < -36 {
		open := -68.5 + 0.0016*ax*ax
		d += 4.4 * bell(ax-4, 11) * bell(y-open-5, 3.4)
		d += 5.2 * bell(x, 12) * bell(y-open+6.5, 4.2)
		d -= 4.0 * bell(x, 15.5) * bell(y-open, 1.25)
		d -= 3.2 * bell(ax-26, 4) * bell(y+69, 4)
		d -= 1.6 * bell(x, 2.6) * bell(y+56, 5)
	}
	d += 2.2 * bell(x, 22) * bell(y+66, 16)
	fold := 19 + (-40-y)*0.32 // from the wing of the nose to beside the mouth
	if y < -36 && y > -84 {
		d -= (0.7 + 1.9*s.age) * bell(ax-fold, 2.6) * step(-84, -70, y) * step(-36, -44, y)
	}
	d += 4.2 * bell(x, 13) * bell(y+101, 8)
	if s.age > 0.45 { // lines of the forehead
		d += (s.age - 0.45) * 1.5 * math.Sin(y*0.62+0.004*ax*ax) * bell(y-52, 12) * bell(x, 26)
	}
	return d
}

// both is a bump on either side.
func both(x, at, half float64) float64 { return bell(x-at, half) + bell(x+at, half) }

// hairAt returns how much a place is hair (0 to 1) and how thick.
func (s *sitter) hairAt(angle, y, x float64) (share, thick float64) {
	least := s.shape.hair.at(math.Abs(angle))
	if y < least-7 && (y > 0 || s.beard == 0 && s.lip == 0) {
		return 0, 0
	}
	edge := least + 2.5*noise(angle*22, y*0.02, s.seed+40)
	share = step(edge-3, edge+8, y)
	depth := y - edge
	strand := 1.5 * s.strands(angle, y, 0.34)
	switch s.hair {
	case parted:
		thick = 11*step(0, 42, depth) + 9*bell(angle-0.35, 0.55)*step(60, 100, y) - 5*bell(angle+0.62, 0.1)*step(60, 80, y)
		thick += 4 * noise(angle*5, y*0.05, s.seed+43) * step(5, 30, depth)
	case receding:
		thick = 5*step(0, 30, depth) + 5*bell(math.Abs(angle)-1.8, 0.5)
	case drawn:
		thick = 8*step(0, 30, depth) + 12*bell(math.Abs(angle)-1.35, 0.45)*bell(y+2, 40) - 4*bell(angle, 0.07)*step(60, 85, y)
	case loose:
		thick = 10*step(0, 30, depth) + 16*step(0.8, 1.5, math.Abs(angle))*step(90, 10, y) - 4*bell(angle, 0.07)*step(60, 85, y)
		thick += 5 * noise(angle*7, y*0.025, s.seed+43) * step(5, 60, depth)
	}
	thick = thick*share + strand*share
	if s.beard > 0 || s.lip > 0 {
		b, t := s.beardAt(angle, y, x)
		if b > share {
			share = b
		}
		thick += t + 0.8*noise(x*0.5, y*0.4, s.seed+45)*b - strand*b*share*0.6
	}
	return share, thick
}

// strands is noise drawn out along the hair, at the given waves a millimetre across it. Where two
// ways of lying meet, the two are blended.
func (s *sitter) strands(angle, y, fine float64) float64 {
	a := math.Abs(angle)
	lying := func(across, along float64) float64 {
		return 0.7*noise(across*fine, along*0.022, s.seed+41) + 0.4*noise(across*fine*2.7, along*0.03, s.seed+42)
	}
	swept := func() float64 { return lying(y+46*a+9*math.Sin(2*a), 70*a) }
	falling := func() float64 { return lying(64*angle+0.12*y, y) }
	t := 1.0
	switch s.hair {
	case drawn:
		t = 0
	case loose:
		t = step(40, 5, y)
	case parted:
		t = step(52, 30, y)
		if swept = func() float64 { return lying(0.8*y+36*math.Abs(angle+0.62), 70*angle) }; y < -20 {
			t = 1
		}
	}
	switch t {
	case 0:
		return swept()
	case 1:
		return falling()
	}
	return mix(swept(), falling(), t)
}

func (s *sitter) beardAt(angle, y, x float64) (share, thick float64) {
	ax := math.Abs(x)
	jaw := -117 + 42*math.Pow(min(1, math.Abs(angle)/1.75), 1.6)
	if math.Abs(angle) > 1.5 || y > 0 || y < jaw-12 {
		return 0, 0
	}
	if s.beard > 0 {
		edge := s.shape.beard.at(math.Abs(angle)) + 3*noise(angle*15, 0, s.seed+44)
		share = step(edge+4, edge-6, y) * step(1.5, 1.4, math.Abs(angle)) * step(jaw-12, jaw-4, y)
		thick = s.beard * share * (0.5 + bell(y+112, 22)*bell(angle, 0.7))
	}
	if s.lip > 0 {
		m := step(33, 24, ax) * step(-66.5, -63.5, y+0.09*ax) * step(-48.5, -52.5, y+0.12*ax)
		share = max(share, m)
		thick += s.lip * m
	}
	return share, thick
}

// sheets models the sitter: head with neck, hair knot, trunk, collar.
func (s *sitter) sheets() []*sheet {
	s.move = vec{}
	var out []*sheet
	out = append(out, newSheet(headStuff, 210, 220, s.head, s.move, func(u, v float64) vec {
		// Rows are denser on the face than on the crown and the neck.
		angle := (u - 0.5) * 2 * math.Pi
		angle -= 0.55 * math.Sin(angle) // and columns denser at the front
		y := 116 - v*288
		r := s.skull(angle, y)
		_, t := s.hairAt(angle, y, r*math.Sin(angle))
		if rise := y - 40; rise > 0 { // over the brow hair stands off from the crown as well
			l := math.Hypot(r, rise)
			r, y = r+t*r/l, y+t*rise/l
		} else {
			r += t
		}
		y *= mix(1, s.long, 0.6)
		return vec{r * math.Sin(angle), y, r * math.Cos(angle)}
	}))
	ball := func(of stuff, at, size vec, pose turn) {
		out = append(out, newSheet(of, 60, 40, pose, at.turned(pose), func(u, v float64) vec {
			sin, cos := math.Sincos(u * 2 * math.Pi)
			sv, cv := math.Sincos(v * math.Pi)
			k := 1 + 0.05*noise(u*30, v*4, s.seed+50)
			return vec{size.x * sv * sin * k, size.y * cv * k, size.z * sv * cos * k}
		}))
	}
	if s.hair == drawn {
		ball(hairStuff, vec{0, 45, -112}, vec{46, 40, 34}, s.head)
	}
	out = append(out, s.body()...)
	return out
}

// body models the trunk and what is worn at the neck.
func (s *sitter) body() []*sheet {
	shoulder := curve{{-420, 196}, {-290, 205}, {-255, 200}, {-228, 184}, {-207, 150}, {-190, 108}, {-172, 80}, {-150, 66}, {-140, 62}}
	chest := curve{{-420, 118}, {-320, 112}, {-260, 98}, {-220, 82}, {-190, 68}, {-165, 57}, {-140, 50}}
	back := curve{{-420, 110}, {-260, 105}, {-215, 92}, {-185, 80}, {-160, 72}, {-140, 66}}
	broad := 1.0
	if s.dress == gown || s.hair == drawn || s.hair == loose {
		broad = 0.9
	}
	of := coatStuff
	if s.dress == shawl || s.dress == smock {
		of = silkStuff
	}
	trunk := newSheet(of, 120, 90, s.trunk, vec{0, 24, -18}, func(u, v float64) vec {
		angle := (u - 0.5) * 2 * math.Pi
		sin, cos := math.Sincos(angle)
		y := -140 - v*270
		w := shoulder.at(y) * broad
		d := chest.at(y)
		if cos < 0 {
			d = back.at(y)
		}
		p := 2.3
		r := math.Pow(math.Pow(math.Abs(sin)/w, p)+math.Pow(math.Abs(cos)/d, p), -1/p)
		x := r * sin
		// folds of cloth, and the arm set off from the chest
		r += 3.0*clouds(x*0.018, y*0.03, s.seed+60) + 1.5*noise(x*0.06+y*0.05, y*0.02, s.seed+61)
		if cos > 0 {
			r -= 9 * bell(math.Abs(x)-132*broad, 8) * step(-235, -290, y)
			if s.dress == coat { // lapels stand proud of the shirt
				open := s.opening(y)
				r += 4 * step(open-1.5, open+1.5, math.Abs(x))
				r += 3 * step(open+30+0.25*(y+200), open+27+0.25*(y+200), math.Abs(x)) * step(open-1.5, open+1.5, math.Abs(x)) * step(-330, -300, y)
			}
		}
		return vec{r * sin, y, r * cos}
	})
	out := []*sheet{trunk}
	ring := func(of stuff, top, low, out1, out2, wave float64) *sheet {
		return newSheet(of, 130, 20, s.trunk, vec{0, 24, -18}, func(u, v float64) vec {
			angle := (u - 0.5) * 2 * math.Pi
			sin, cos := math.Sincos(angle)
			t := math.Sin(v * math.Pi * 0.62)
			y := mix(top, low, v) - 16*bell(angle, 0.55)*v
			e := mix(out1, out2, v) + 5*t + wave*math.Sin(angle*23)*v
			return vec{(58 + e) * sin, y, (52+e)*cos + 4}
		})
	}
	switch s.dress {
	case coat:
		out = append(out, ring(linenStuff, -126, -158, 2, 6, 0))
		for _, side := range []float64{-1, 1} { // the two halves of a cravat, and its knot
			out = append(out, newSheet(silkStuff, 40, 30, s.trunk, vec{0, 24, -18}, func(u, v float64) vec {
				sin, cos := math.Sincos(u * 2 * math.Pi)
				sv, cv := math.Sincos(v * math.Pi)
				return vec{side*21 + 21*sv*sin, -166 + 11*cv*(0.6+0.02*math.Abs(21*sv*sin)) - 4*math.Abs(sin)*sv, 68 + 8*sv*cos}
			}))
		}
		out = append(out, newSheet(silkStuff, 30, 20, s.trunk, vec{0, 24, -18}, func(u, v float64) vec {
			sin, cos := math.Sincos(u * 2 * math.Pi)
			sv, cv := math.Sincos(v * math.Pi)
			return vec{9 * sv * sin, -165 + 10*cv, 72 + 9*sv*cos}
		}))
	case gown:
		out = append(out, ring(linenStuff, -141, -182, 1, 34, 2.2))
	case shawl:
		out = append(out, ring(silkStuff, -138, -190, 6, 46, 1.5))
	case smock:
		out = append(out, ring(linenStuff, -140, -160, 1, 10, 1))
	}
	return out
}

// opening is half the width at which the shirt shows between the lapels.
func (s *sitter) opening(y float64) float64 { return max(0, (y+300)*0.34) }
