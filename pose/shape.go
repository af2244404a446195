package pose

import "math"

// The neutral body: upright, square to the camera, looking into it, with the origin midway between
// the eyes. Everything below is in its coordinates (x right, y up, z away from the camera, mm), as
// stacks of level rings of one and the same number of points.

// point of a curve given by points; between them it is a cubic with no overshoot.
type knot struct{ at, to float64 }

// curve is a function given by points of rising at.
type curve []knot

// value interpolates by a cubic whose slopes are harmonic means, so that it is monotone between its
// points; outside its ends it stays at them.
func (c curve) value(x float64) float64 {
	n := len(c)
	if x <= c[0].at {
		return c[0].to
	}
	if x >= c[n-1].at {
		return c[n-1].to
	}
	i := 1
	for c[i].at < x {
		i++
	}
	h := c[i].at - c[i-1].at
	t := (x - c[i-1].at) / h
	return c[i-1].to*(1+2*t)*(1-t)*(1-t) + h*c.slope(i-1)*t*(1-t)*(1-t) + c[i].to*t*t*(3-2*t) - h*c.slope(i)*t*t*(1-t)
}

func (c curve) slope(i int) float64 {
	if i == 0 || i == len(c)-1 {
		return 0
	}
	before := (c[i].to - c[i-1].to) / (c[i].at - c[i-1].at)
	after := (c[i+1].to - c[i].to) / (c[i+1].at - c[i].at)
	if before*after <= 0 {
		return 0
	}
	return 2 * before * after / (before + after)
}

// Where a ring has its points: fractions of its half breadth across the front, from the sitter's
// right to the left, then back around.
func frontPlaces() [21]float64 {
	return [...]float64{-1, -0.96, -0.87, -0.75, -0.62, -0.5, -0.38, -0.27, -0.17, -0.08, 0, 0.08, 0.17, 0.27, 0.38, 0.5, 0.62, 0.75, 0.87, 0.96, 1}
}

func backPlaces() [9]float64 { return [...]float64{0.98, 0.9, 0.7, 0.37, 0, -0.37, -0.7, -0.9, -0.98} }

const faceEase = 0.62 // how blunt the face is from side to side

const (
	frontPoints = 21
	ringPoints  = 30
	middle      = 10 // the point of a ring at the middle of the front
)

// grid is a stack of rings from the top down.
type grid struct {
	rows   int
	points []Vec // row by row, ringPoints each
}

func newGrid(rows int) grid { return grid{rows, make([]Vec, rows*ringPoints)} }

func (g grid) ring(i int) []Vec { return g.points[i*ringPoints : (i+1)*ringPoints] }

// oval is the plan of a level: an oval whose widest place lies between front and back.
type oval struct {
	y, half           float64
	front, wide, back float64 // depths z
}

// plan holds the points of an oval of size one, so that a level costs no powers.
type plan struct {
	x, deep [ringPoints]float64 // deep is -1 at the front and 1 at the back
}

// blunt is how far back an oval's edge lies at a share of its half breadth: an ellipse with ease 1,
// blunter with less.
func blunt(share, ease float64) float64 {
	s := share * share
	return math.Sqrt(max(0, 1-s*(ease+(1-ease)*s)))
}

func planOf(front, back float64) (p plan) {
	for i, s := range frontPlaces() {
		p.x[i], p.deep[i] = s, -blunt(s, front)
	}
	for i, s := range backPlaces() {
		p.x[frontPoints+i], p.deep[frontPoints+i] = s, blunt(s, back)
	}
	return p
}

func (p *plan) at(o oval, i int) Vec {
	reach := o.wide - o.front
	if p.deep[i] > 0 {
		reach = o.back - o.wide
	}
	return Vec{o.half * p.x[i], o.y, o.wide + reach*p.deep[i]}
}

// head is the shape of a head of given size.
type head struct {
	top, root, chin float64 // levels y: top of the head, root of the nose, underside of the chin
	q               float64 // face over that of [FaceScan2013]
	half            float64 // half the head's breadth
	halfFace        float64 // half the breadth across the cheekbones
	ear             Vec     // the left tragion
	occiput         float64 // depth of the back of the head
	eye             float64 // half the distance of the eyes
}

// The face of one young woman of [FaceScan2013], in mm: her face is 111.1 long, root of the nose to
// underside of the chin.
const (
	scanFace = 111.1

	// From memory: heights and depths that no source at hand gives.
	rootAbove     = 8.0 // root of the nose above the pupils, of an adult with the face 117.85 long
	rootAhead     = 6.0 // root of the nose ahead of the corneas
	browAhead     = 4.0 // brow, between the eyes, ahead of the root of the nose
	adultFace     = 117.85
	earBehindRoot = 84.6 // depth of the tragi behind the root of the nose: from the scan's distances, see headOf
)

// headOf places the scan's triangles: with the tragi 26 mm below the root of the nose
// ([ANSUR2012]: 17.5 mm below the eyes, which lie 8 mm below the root), the distances to the midpoint
// of the tragi [FaceScan2013, table 2] give depths: root to tragi 88.5, tip of the nose 103.8, upper
// lip 94.4, point of the chin 107.3.
func headOf(b Body) head {
	k := float64(b.Face) / adultFace
	h := head{
		top: float64(b.EyeToVertex), root: rootAbove * k, q: float64(b.Face) / scanFace,
		half: float64(b.HeadBreadth) / 2, halfFace: float64(b.FaceBreadth) / 2, eye: float64(b.EyeSpan) / 2,
	}
	h.chin = h.root - float64(b.Face)
	skull := float64(b.HeadLength) / 194.65 // the adult mean of [ANSUR2012]
	h.ear = Vec{0.915 * h.half, h.top - float64(b.TragionToVertex), -rootAhead*k + earBehindRoot*skull}
	h.occiput = float64(b.HeadLength) - (rootAhead+browAhead)*k
	return h
}

// Levels of the face in mm below the root of the nose, and depths behind it, of the scanned face.
const (
	hairAbove  = 55.4
	hairBehind = 12.8
	tipBelow   = 40.8
	tipAhead   = 18.2
	baseBelow  = 50.7 // where the nose meets the lip
	lipBelow   = 60.9 // edge of the upper lip
	mouthBelow = 68.0
	pointBelow = 99.5 // point of the chin
)

// profile is the middle line of the face from the side: depth behind the root of the nose against
// height above it, in the scan's mm. The points with a constant's name are measured, the others drawn
// between them by eye.
func profile() curve {
	return curve{
		{-scanFace, 15}, {-108, 9.5}, {-104, 7.2}, {-pointBelow, 6.5}, {-91, 7.6}, {-83, 5.5}, {-75, -0.6}, {-71, -0.5}, {-mouthBelow, 0.3}, {-65, -2.2}, {-lipBelow, -3.2},
		{-56, -3}, {-baseBelow, -4}, {-48, -11}, {-45, -16.2}, {-tipBelow, -tipAhead}, {-36, -16.8}, {-26, -11.2}, {-17, -6.2}, {-8, -2}, {0, 0},
		{6, -1.8}, {14, -browAhead}, {28, -1.6}, {42, 3.5}, {hairAbove, hairBehind},
	}
}

// cheeks is the same line without the nose and the eyes' hollows: what the cheeks are drawn over.
func cheeks() curve {
	return curve{
		{-scanFace, 15}, {-108, 9.5}, {-pointBelow, 7.5}, {-91, 8.4}, {-83, 6.8}, {-75, 2}, {-lipBelow, -0.6}, {-baseBelow, -0.2}, {-40, 1}, {-26, 2.4}, {-8, 3}, {0, 1}, {6, -1.4},
		{14, -browAhead}, {28, -1.6}, {42, 3.5}, {hairAbove, hairBehind},
	}
}

// relief is how wide what stands out of the cheeks is, against height.
func relief() curve {
	return curve{{-pointBelow, 15}, {-83, 17}, {-mouthBelow, 15}, {-55, 9}, {-46, 10}, {-tipBelow, 9.5}, {-26, 6.5}, {-8, 6}, {5, 8}}
}

// breadths of the head, as a share of its half breadth: above the eyes against height as a share of
// that of the top, below them against depth as a share of that of the chin. At the cheekbones the
// share is that of the face.
func (h head) breadths() curve {
	cheek := h.halfFace / h.half
	ear := max(0.02, min(0.28, h.ear.Y/h.chin))
	return curve{
		{-1, 0.20}, {-0.955, 0.34}, {-0.85, 0.52}, {-0.70, 0.69}, {-0.5, 0.815 * cheek / 0.9}, {-0.3, cheek}, {-ear, 0.915},
		{0.02, 0.935}, {0.2, 0.985}, {0.36, 1}, {0.55, 0.955}, {0.7, 0.86}, {0.8, 0.75}, {0.9, 0.565}, {0.965, 0.34}, {1, 0.02},
	}
}

// wides is the depth of a level's widest place, as a share of the tragi's.
func wides() curve {
	return curve{{-1, 0.42}, {-0.85, 0.62}, {-0.7, 0.8}, {-0.5, 0.92}, {-0.3, 0.99}, {-0.15, 1}, {0.1, 1.05}, {0.4, 1.15}, {1, 1.2}}
}

// backs is the depth of the back of the head and neck, as a share of the back of the head's.
func backs() curve {
	return curve{{-1, 0.34}, {-0.75, 0.50}, {-0.57, 0.62}, {-0.4, 0.78}, {-0.2, 0.92}, {0, 0.985}, {0.22, 1}, {0.5, 0.975}, {0.75, 0.885}, {0.9, 0.765}, {0.965, 0.67}, {1, 0.56}}
}

// hairs is the depth of the front above the hairline: from the forehead's to the crown's, as a share.
func hairs() curve { return curve{{0, 0}, {0.3, 0.11}, {0.6, 0.30}, {0.85, 0.62}, {1, 1}} }

// shaper draws levels of a head: the plan, and on it the nose and lips, and eyes at depth zero.
type shaper struct {
	head
	plan                                                      plan
	breadth, wide, behind, hair, cheek, midline, reliefWidths curve
	lift                                                      float64 // how far the eyes must stand out for their corneas to lie at depth zero
}

func shaperOf(h head) shaper {
	s := shaper{
		head: h, plan: planOf(faceEase, 0.88),
		breadth: h.breadths(), wide: wides(), behind: backs(), hair: hairs(), cheek: cheeks(), midline: profile(), reliefWidths: relief(),
	}
	o, out, wide := s.level(0)
	s.lift = s.over(o, out, wide, h.eye)
	return s
}

// level returns the plan of the head at a height, and what stands out of it in the middle and how wide.
func (s *shaper) level(y float64) (o oval, out, wide float64) {
	up := y / s.top
	if y < 0 {
		up = -y / s.chin
	}
	o = oval{y: y, half: s.half * s.breadth.value(up), wide: s.ear.Z * s.wide.value(up), back: s.occiput * s.behind.value(up)}
	ahead := -rootAhead * s.q * scanFace / adultFace
	local := (y - s.root) / s.q // in the scan's mm above the root
	if local <= hairAbove {
		o.front = ahead + s.q*s.cheek.value(local)
		return o, s.q * (s.cheek.value(local) - s.midline.value(local)), s.q * s.reliefWidths.value(local)
	}
	hair := s.root + hairAbove*s.q
	crown := 0.56 * s.occiput
	from := ahead + hairBehind*s.q
	o.front = from + (crown-1-from)*s.hair.value((y-hair)/(s.top-hair))
	return o, 0, 1
}

// over is the depth at a place of a level, without the eyes.
func (s *shaper) over(o oval, out, wide, x float64) float64 {
	share := math.Min(math.Abs(x)/o.half, 1)
	return o.wide - (o.wide-o.front)*blunt(share, faceEase) - out*math.Exp(-x*x/(2*wide*wide))
}

// The half sizes of an eyeball's bulge, as a share of the distance of the eyes.
const (
	bulgeAcross = 0.17
	bulgeUp     = 0.14
)

func (s *shaper) bulge(x, y float64) float64 {
	a, u := (math.Abs(x)-s.eye)/(2*s.eye*bulgeAcross), y/(2*s.eye*bulgeUp)
	return s.lift * math.Exp(-(a*a+u*u)/2)
}

// front is the depth of the face at a place as seen from the front.
func (s *shaper) front(x, y float64) float64 {
	o, out, wide := s.level(y)
	return s.over(o, out, wide, x) - s.bulge(x, y)
}

// facing is the outward direction of the face's front at a place.
func (s *shaper) facing(x, y float64) Vec {
	const d = 1.5
	o, out, wide := s.level(y)
	here := s.over(o, out, wide, x) - s.bulge(x, y)
	slope := Vec{(s.over(o, out, wide, x+d) - s.bulge(x+d, y) - here) / d, (s.front(x, y+d) - here) / d, -1}
	return slope.times(1 / slope.length())
}

// rows of the head, from the top down, and which of them bound the face.
const (
	rowsAbove = 7
	faceRows  = 19
	headRows  = rowsAbove + faceRows + 1
)

func (s *shaper) levels() (y [headRows]float64) {
	hair := s.root + hairAbove*s.q
	for i, share := range [rowsAbove]float64{1, 0.965, 0.89, 0.77, 0.61, 0.40, 0.19} {
		y[i] = hair + share*(s.top-hair)
	}
	for i, local := range [faceRows]float64{hairAbove, 42, 28, 14, 5, math.NaN(), -17, -26, -34, -tipBelow, -45.5, -baseBelow, -lipBelow, -mouthBelow, -75, -83, -91, -pointBelow, -scanFace} {
		y[rowsAbove+i] = s.root + local*s.q
	}
	y[rowsAbove+5] = 0 // the eyes
	y[headRows-1] = s.chin - 2*s.q
	return y
}

// skull is the whole head with its face.
func (s *shaper) skull() grid {
	g := newGrid(headRows)
	for r, y := range s.levels() {
		ring := g.ring(r)
		if r == headRows-1 { // the underside of the jaw
			copy(ring, g.ring(r-1))
			for i := range ring {
				ring[i].Y = y
				if i < frontPoints {
					ring[i].Z += 14 * s.q
				}
			}
			continue
		}
		o, out, wide := s.level(y)
		for i := range ring {
			ring[i] = s.plan.at(o, i)
			if i < frontPoints {
				x := ring[i].X
				ring[i].Z -= out * math.Exp(-x*x/(2*wide*wide))
				if math.Abs(y) < s.eye {
					ring[i].Z -= s.bulge(x, y)
				}
			}
		}
	}
	return g
}

// Neck and trunk, drawn by eye between what [ANSUR2012] tells: depths from memory.
const (
	collarBehind   = 50.0  // pit of the neck behind the corneas, adult
	shoulderBehind = 110.0 // tips of the shoulders behind the corneas, adult
	backBehind     = 252.0 // the back behind the corneas, adult
)

// bust sizes the neck and the trunk.
type bust struct {
	collar, shoulder, back float64 // depths
	y                      float64 // level of the collar
	neck                   float64 // half its breadth
	tips, arms             float64 // half breadths
	chest                  float64 // depth of its front
	size                   float64 // over an adult's
	jaw                    float64 // level at which the neck leaves the head
}

func bustOf(b Body, h head) bust {
	size := float64(b.Shoulders) / 390.55 // the adult mean of [ANSUR2012]
	k := float64(b.HeadLength) / 194.65
	t := bust{
		collar: collarBehind * k, shoulder: shoulderBehind * k, back: shoulderBehind*k + (backBehind-shoulderBehind)*float64(b.ChestDepth)/250.65,
		y: -float64(b.EyeToCollar), neck: float64(b.NeckBreadth) / 2, tips: float64(b.Shoulders) / 2, arms: float64(b.Deltoids) / 2,
		size: size, jaw: 0.74 * h.chin,
	}
	t.chest = t.back - float64(b.ChestDepth)
	return t
}

const (
	neckRows  = 6
	napeAbove = 38.0 // how much higher the neck leaves the head behind than in front
)

// throat is the neck from under the jaw to the collar, and how far each ring follows the trunk.
func (t bust) throat(p *plan, h head) (grid, [neckRows]float64) {
	g := newGrid(neckRows)
	var follows [neckRows]float64
	top := 0.72 * h.occiput
	for r := range neckRows {
		u := float64(r) / (neckRows - 1)
		follows[r] = u
		y := t.jaw + u*(t.y-t.jaw)
		half := t.neck * (1 + 0.04*(1-u) + 0.22*u*u*u)
		back := top + u*(0.8*t.back-top)
		front := t.collar + (1-u)*2*h.q - 3*h.q*math.Sin(math.Pi*u)
		o := oval{y: y, half: half, front: front, wide: (front + back) / 2, back: back}
		for i := range g.ring(r) {
			g.ring(r)[i] = p.at(o, i)
			g.ring(r)[i].Y += napeAbove * h.q * (1 - u) * (1 + p.deep[i]) / 2
		}
	}
	return g, follows
}

const (
	trunkRows = 12
	tipsBelow = 8.0 // tips of the shoulders below the collar
	widestRow = 8   // of the trunk
)

// trunk is the shoulders, chest and upper arms, down to below the elbows' level.
func (t bust) trunk(p *plan) grid {
	g := newGrid(trunkRows)
	s := t.size
	for r, o := range [trunkRows]oval{
		{34 * s, 1.24 * t.neck, t.collar + 1*s, t.shoulder, 0.78 * t.back},
		{20 * s, 0.50*t.tips + 0.3*t.neck, t.collar + 4*s, t.shoulder, 0.80 * t.back},
		{9 * s, 0.80 * t.tips, t.collar + 3*s, t.shoulder, 0.84 * t.back},
		{0, 0.93 * t.tips, t.collar, t.shoulder, 0.87 * t.back},
		{-tipsBelow * s, t.tips, t.collar - 3*s, t.shoulder, 0.89 * t.back},
		{-23 * s, 0.6*t.tips + 0.4*t.arms, t.collar - 9*s, t.shoulder, 0.93 * t.back},
		{-45 * s, 0.23*t.tips + 0.77*t.arms, t.collar - 17*s, t.shoulder + 2*s, 0.96 * t.back},
		{-70 * s, 0.985 * t.arms, t.collar - 24*s, t.shoulder + 4*s, 0.985 * t.back},
		{-120 * s, t.arms, t.chest + 6*s, t.shoulder + 8*s, t.back},
		{-190 * s, 0.985 * t.arms, t.chest, t.shoulder + 10*s, 0.99 * t.back},
		{-280 * s, 0.955 * t.arms, t.chest + 6*s, t.shoulder + 10*s, 0.96 * t.back},
		{-370 * s, 0.93 * t.arms, t.chest + 12*s, t.shoulder + 10*s, 0.95 * t.back},
	} {
		o.y += t.y
		for i := range g.ring(r) {
			g.ring(r)[i] = p.at(o, i)
		}
	}
	return g
}
