package optics

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"platewright/measure"
)

// Limits is how far a camera's standards go, to either side of square. Zero movement is a fixed standard;
// a zero Shortest or Longest is unknown, and no limit.
type Limits struct {
	FrontTilt, FrontSwing measure.Angle
	BackTilt, BackSwing   measure.Angle
	Rise, Fall, Shift     measure.Length // of the lens's axis over the plate's middle
	Shortest, Longest     measure.Length // extension
	// BaseTilt tells a camera whose swing axis leans with the tilt; otherwise the tilt axis turns with the swing.
	// It decides which angles are read on the standards' scales.
	BaseTilt bool
}

// steepestStandard is the greatest turn of a standard that Limits may state.
const steepestStandard = 80 * measure.Degree

// Validate reports the first limit that is no limit of a camera.
func (l Limits) Validate() error {
	for _, q := range [...]struct {
		name string
		got  measure.Angle
	}{
		{"front tilt", l.FrontTilt}, {"front swing", l.FrontSwing}, {"back tilt", l.BackTilt}, {"back swing", l.BackSwing},
	} {
		if err := measure.Within("greatest "+q.name, q.got.Degrees(), 0, steepestStandard.Degrees(), "degrees"); err != nil {
			return err
		}
	}
	for _, q := range [...]struct {
		name string
		got  measure.Length
	}{
		{"greatest rise", l.Rise}, {"greatest fall", l.Fall}, {"greatest shift", l.Shift}, {"shortest extension", l.Shortest}, {"longest extension", l.Longest},
	} {
		if err := measure.Within(q.name, float64(q.got), 0, float64(GreatestExtension), "mm"); err != nil {
			return err
		}
	}
	if l.Longest != 0 && l.Longest < l.Shortest {
		return measure.Within("longest extension", float64(l.Longest), float64(l.Shortest), float64(GreatestExtension), "mm")
	}
	return nil
}

// Read returns the tilt and swing that the scales of such a camera show for a movement.
func (l Limits) Read(m Movement) (tilt, swing measure.Angle) {
	if l.BaseTilt {
		return m.Tilt, m.SwingOnTilt()
	}
	return m.TiltOnSwing(), m.Swing
}

// Board returns the limits of the same camera with a lens on it whose rear principal plane lies so far ahead of the
// lens board, toward the sitter; negative behind it. The bellows reach from the board, an extension from that plane.
// A bellows that holds the plate before the plane altogether leaves a longest extension of nearly nothing.
func (l Limits) Board(ahead measure.Length) Limits {
	if l.Shortest != 0 {
		l.Shortest = max(0, l.Shortest+ahead)
	}
	if l.Longest != 0 {
		l.Longest = max(slack, l.Longest+ahead)
	}
	return l
}

// BeyondLimits says which movement a camera would need more of than it has.
type BeyondLimits struct {
	Movement string  // "front tilt", "back swing", "rise", "shift", "shortest extension", "longest extension" ...
	Needs    float64 // degrees or mm, without sign
	Has      float64 // likewise
	Unit     string  // "degrees" or "mm"
	Remedy   string  // what would make it possible, a clause
}

func (e *BeyondLimits) Error() string {
	digits := 1 // as many as tell the two apart
	for digits < 9 && strconv.FormatFloat(e.Needs, 'f', digits, 64) == strconv.FormatFloat(e.Has, 'f', digits, 64) {
		digits++
	}
	need, has := fmt.Sprintf("%.*f %s", digits, e.Needs, e.Unit), fmt.Sprintf("%.*f", digits, e.Has)
	var b strings.Builder
	switch {
	case e.Movement == "longest extension":
		fmt.Fprintf(&b, "the bellows are too short: %s of extension is needed and the camera reaches %s", need, has)
	case e.Movement == "shortest extension":
		fmt.Fprintf(&b, "the bellows do not close far enough: %s of extension is needed and the camera's least is %s", need, has)
	case e.Has == 0:
		fmt.Fprintf(&b, "%s of %s is needed and the camera has none", need, e.Movement)
	default:
		fmt.Fprintf(&b, "%s of %s is needed and the camera has %s", need, e.Movement, has)
	}
	if e.Remedy != "" {
		b.WriteString("; " + e.Remedy)
	}
	return b.String()
}

// slack forgives a movement at its very limit the rounding of its reckoning.
const slack = 1e-9

// Check returns a [*BeyondLimits] for the first movement of the set-up that the camera cannot make.
func (l Limits) Check(s Setup) error {
	if err := l.Validate(); err != nil {
		return err
	}
	if err := s.Check(); err != nil {
		return err
	}
	if err := l.turns(s.Camera); err != nil {
		return err
	}
	for _, q := range [...]struct {
		name      string
		got, most measure.Length
	}{{"rise", s.Centre.Y, l.Rise}, {"fall", -s.Centre.Y, l.Fall}, {"shift", max(s.Centre.X, -s.Centre.X), l.Shift}} {
		if q.got > q.most+slack {
			return &BeyondLimits{q.name, float64(q.got), float64(q.most), "mm", "raise, lower or move the whole camera by the rest"}
		}
	}
	return nil
}

// turns returns a [*BeyondLimits] for the first turn of a standard, or the extension, that is out of the limits.
func (l Limits) turns(c Camera) error {
	ft, fs := l.Read(c.Lens)
	bt, bs := l.Read(c.Back)
	for _, q := range [...]struct {
		name      string
		got, most measure.Angle
	}{{"front tilt", ft, l.FrontTilt}, {"front swing", fs, l.FrontSwing}, {"back tilt", bt, l.BackTilt}, {"back swing", bs, l.BackSwing}} {
		if got := max(q.got, -q.got); got > q.most+slack {
			return &BeyondLimits{q.name, got.Degrees(), q.most.Degrees(), "degrees", "share the turn between front and back, or bring the points nearer to one plane square to the camera"}
		}
	}
	return l.bellows(c.Extension)
}

func (l Limits) bellows(e measure.Length) error {
	if l.Longest != 0 && e > l.Longest*(1+slack) {
		return &BeyondLimits{"longest extension", float64(e), float64(l.Longest), "mm", "put the sitter farther away or take a shorter lens"}
	}
	if e < l.Shortest*(1-slack) {
		return &BeyondLimits{"shortest extension", float64(e), float64(l.Shortest), "mm", "put the sitter nearer or take a longer lens"}
	}
	return nil
}

// WithinLimits returns a set-up that images the plane onto the plate and that the camera can make. The back does it
// alone if it can, for then the lens's axis stays where it was; else the front alone; else the back gives
// as much as it has and the front the rest. When none of them does, the error is a [*BeyondLimits], or one that wraps
// [ErrBeyondMovements] where no camera could do it.
//
// An extension below the shortest is mended, where it can be, by more turn of the front toward the plane than the
// least: that lengthens it. Set-ups whose standards work against each other are not looked for: both turned far the same way a
// short lens may reach long bellows, and tilts that undo each other may give a fraction of a degree more of swing.
func (pl Plane) WithinLimits(focal measure.Length, l Limits) (Camera, error) {
	if err := l.Validate(); err != nil {
		return Camera{}, err
	}
	back, backErr := pl.ByBack(focal)
	if backErr == nil && l.turns(back) == nil {
		return back, nil
	}
	front, frontErr := pl.ByFront(focal)
	if frontErr == nil && l.turns(front) == nil {
		return front, nil
	}
	var re *measure.RangeError
	if errors.As(backErr, &re) {
		return Camera{}, backErr
	}
	share := sharing{pl: pl, p: pl.Intercepts(), f: float64(focal), l: l}
	shared, err := share.leastFront()
	if err == nil {
		return shared, nil
	}
	var beyond *BeyondLimits
	if errors.As(err, &beyond) {
		beyond.Remedy = share.remedy(beyond, back, backErr, front, frontErr)
	}
	return Camera{}, err
}

// sharing seeks a lens axis a and with it the plate q = p - a/f of one plane p·X = 1, both within limits.
type sharing struct {
	pl Plane
	p  [3]float64
	f  float64
	l  Limits
}

// axes returns which coordinate is the outer turn of the camera's standards, whose slope its scale reads as it is,
// and which the inner: swing and tilt, or with base tilt the other way round.
func (sh sharing) axes() (outer, inner int) {
	if sh.l.BaseTilt {
		return 1, 0
	}
	return 0, 1
}

// most returns the greatest turns of the two standards in the order of axes.
func (sh sharing) most() (front, back [2]measure.Angle) {
	l := sh.l
	if l.BaseTilt {
		return [2]measure.Angle{l.FrontTilt, l.FrontSwing}, [2]measure.Angle{l.BackTilt, l.BackSwing}
	}
	return [2]measure.Angle{l.FrontSwing, l.FrontTilt}, [2]measure.Angle{l.BackSwing, l.BackTilt}
}

// nearness returns 1/E for a lens turned so that its axis stands out by side from z.
func (sh sharing) nearness(side2 float64) float64 {
	// a_z/f - p_z, as 1/f - p_z less what the turn takes: the difference must not cancel.
	az := math.Sqrt(1 - side2)
	return sh.pl.fromFocus(sh.f)/(sh.f*sh.pl.d) - side2/(1+az)/sh.f
}

// leastFront turns the front by no more than the back leaves it to do.
//
// Turning the front brings 1/E down and with it what the back's greatest slopes take of the plane, so the least turn is
// approached from below, never passed: if it is not within the limits, no other is whose standards share the work. (A back
// turned farther than the plane asks, and a front turned against it, lengthen hypot(b, qi) a hair.)
func (sh sharing) leastFront() (Camera, error) {
	i, j := sh.axes()
	front, back := sh.most()
	ti, tj := math.Tan(float64(back[0])), math.Tan(float64(back[1]))
	pi, pj := math.Abs(sh.p[i]), math.Abs(sh.p[j])
	var ai, aj float64
	for range 400 {
		side2 := ai*ai + aj*aj
		if side2 >= 1 {
			break
		}
		b := sh.nearness(side2)
		if b <= 0 {
			return Camera{}, fmt.Errorf("%w: however front and back share it, its image does not fall behind the lens; move the camera so that the plane crosses its axis farther away", ErrBeyondMovements)
		}
		qi := min(pi, ti*b)
		ni := sh.f * (pi - qi)
		nj := sh.f * max(0, pj-tj*math.Hypot(b, qi))
		done := math.Abs(ni-ai)+math.Abs(nj-aj) <= 1e-16
		ai, aj = ni, nj
		if done {
			break
		}
	}
	least, err := sh.camera(ai, aj)
	if err != nil {
		return Camera{}, err
	}
	err = sh.l.turns(least)
	var beyond *BeyondLimits
	if err == nil || !errors.As(err, &beyond) || beyond.Movement != "shortest extension" {
		return least, err
	}
	// Turn the front more, up to all that it and the plane allow, until the extension is long enough.
	mi := math.Sin(float64(front[0]))
	mj := math.Sin(float64(front[1]))
	low, high := 0.0, 1.0
	at := func(k float64) (Camera, error) {
		return sh.camera(ai+k*max(0, min(mi, sh.f*pi)-ai), aj+k*max(0, min(mj, sh.f*pj)-aj))
	}
	for range 60 {
		k := (low + high) / 2
		if c, e := at(k); e == nil && c.Extension >= sh.l.Shortest {
			high = k
		} else {
			low = k
		}
	}
	if more, e := at(high); e == nil && sh.l.turns(more) == nil {
		return more, nil
	}
	return Camera{}, err
}

// camera returns the set-up whose lens axis stands out by so much in the outer and the inner direction, toward the plane's
// own side.
func (sh sharing) camera(ai, aj float64) (Camera, error) {
	i, j := sh.axes()
	side2 := ai*ai + aj*aj
	if side2 >= 1-0.5/(steepest*steepest) {
		return Camera{}, fmt.Errorf("%w: the front would have to turn by 90 degrees", ErrBeyondMovements)
	}
	az := math.Sqrt(1 - side2)
	b := sh.nearness(side2)
	if b <= 0 {
		return Camera{}, fmt.Errorf("%w: its image does not fall behind the lens", ErrBeyondMovements)
	}
	var a, q [3]float64
	a[i], a[j] = math.Copysign(ai, sh.p[i]), math.Copysign(aj, sh.p[j])
	q[i], q[j] = sh.p[i]-a[i]/sh.f, sh.p[j]-a[j]/sh.f
	slope := func(v float64) measure.Angle { return measure.Angle(math.Atan(v)) }
	return Camera{
		Focal:     measure.Length(sh.f),
		Lens:      Movement{Tilt: slope(0 + a[1]/az), Swing: slope(0 + a[0]/az)},
		Back:      Movement{Tilt: slope(0 - q[1]/b), Swing: slope(0 - q[0]/b)},
		Extension: measure.Length(1 / b),
	}, nil
}

// remedy says what would make a plane possible that the camera does not reach.
func (sh sharing) remedy(e *BeyondLimits, back Camera, backErr error, front Camera, frontErr error) string {
	switch e.Movement {
	case "longest extension":
		// Square or turned back, E = 1/(1/f - p_z) is the least extension there is.
		if f := 1 / (1/e.Has + sh.p[2]); f > 0 && f < sh.f {
			return fmt.Sprintf("a focal length of at most %.0f mm would reach it, or put the sitter farther away", math.Floor(f))
		}
		return e.Remedy
	case "shortest extension":
		return e.Remedy
	}
	turn := func(c Camera, err error, m Movement) string {
		if err != nil {
			return ""
		}
		tilt, swing := sh.l.Read(m)
		var parts []string
		for _, q := range []struct {
			name string
			by   measure.Angle
		}{{"tilts", tilt}, {"swings", swing}} {
			if d := math.Abs(q.by.Degrees()); d > 0.05 {
				parts = append(parts, fmt.Sprintf("%s %.1f degrees", q.name, d))
			}
		}
		return strings.Join(parts, " and ")
	}
	var ways []string
	if w := turn(back, backErr, back.Back); w != "" {
		ways = append(ways, "a back that "+w)
	}
	if w := turn(front, frontErr, front.Lens); w != "" {
		ways = append(ways, "a front that "+w)
	}
	ways = append(ways, "points that lie nearer to one plane square to the camera (turn the sitter or move the camera)")
	beside := ""
	if strings.HasPrefix(e.Movement, "front") && (sh.l.BackTilt > 0 || sh.l.BackSwing > 0) {
		beside = "this is beside all that the back gives; "
	}
	return beside + "what would reach it: " + strings.Join(ways, ", or ")
}
