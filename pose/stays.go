package pose

import (
	"math"
	"time"

	"platewright/measure"
)

// Hold asks for the chance of keeping in depth.
type Hold struct {
	Half   measure.Length // half the depth that is sharp
	Offset measure.Length // how far each eye lies off the plane focused on, either way; see [EyesOff]
	Wait   time.Duration  // from focusing to the cap coming off
	During time.Duration  // the exposure
}

// EyesOff returns how far either eye lies off the plane focused on, when that passes midway between
// them and the line between them is turned out of it: half their distance by the sine.
func EyesOff(span measure.Length, turned measure.Angle) measure.Length {
	return span / 2 * measure.Length(math.Abs(math.Sin(turned.Radians())))
}

// StaysWithin returns the chance that the head keeps within the depth all through the exposure.
//
// The depth is laid, when the operator focuses, about where the head is at that moment: X₀, drawn from
// the sway. During the wait the head may go where it likes; at the uncapping it is at a place
// correlated with X₀ by exp(-wait/τ); from then to the end it must stay within ±(Half - |Offset|) of
// X₀. Both eyes move together, so one narrowed interval serves both and nothing is squared. The chance
// of staying is the solution of the backward equation with absorbing walls, averaged over the place at
// the uncapping and over X₀. It is good to 0.001.
func (s Sway) StaysWithin(q Hold) (float64, error) {
	if err := s.checkHold(q); err != nil {
		return 0, err
	}
	h := (float64(q.Half) - math.Abs(float64(q.Offset))) / float64(s.Toward)
	var chance [1]float64
	focusedOnce(chance[:], h, math.Exp(-s.units(q.Wait)), []float64{s.units(q.During)}, fine())
	return chance[0], nil
}

// StaysAbout returns the chance of keeping within ±half of the middle of the sway all through the
// exposure, by one who at its beginning stands off that middle by a normally distributed distance of
// deviation start: zero for one who stands in the very middle, σ for one of whom nothing is known but
// that the operator watched long enough to focus on the middle. It is at most 3σ.
func (s Sway) StaysAbout(half, start measure.Length, during time.Duration) (float64, error) {
	if err := s.checkHold(Hold{Half: half, During: during}); err != nil {
		return 0, err
	}
	if err := measure.Within("the spread at the beginning", float64(start), 0, greatestStart*float64(s.Toward), "mm"); err != nil {
		return 0, err
	}
	h, spread, t := float64(half/s.Toward), float64(start/s.Toward), s.units(during)
	if h <= 0 {
		return 0, nil
	}
	if t < shortestTime {
		return startsWithin(h, spread), nil
	}
	h = min(h, farthest*max(1, spread))
	w := walledIn(-h, h, fine().cells)
	var chance [1]float64
	c := parabola(0, []float64{t}, fine().points)
	c.add(chance[:], 1, w, w.begin(0, spread))
	return min(1, max(0, chance[0])), nil
}

func (s Sway) checkHold(q Hold) error {
	if err := s.Check(); err != nil {
		return err
	}
	if err := measure.Within("half the depth", float64(q.Half), 0, float64(GreatestDepth), "mm"); err != nil {
		return err
	}
	if err := measure.Within("the eyes' offset", float64(q.Offset), -float64(GreatestDepth), float64(GreatestDepth), "mm"); err != nil {
		return err
	}
	if err := checkTime("the wait", q.Wait); err != nil {
		return err
	}
	return checkTime("the exposure", q.During)
}

// startsWithin is the chance that a normal variable of zero mean lies within ±h.
func startsWithin(h, spread float64) float64 {
	if spread == 0 {
		return 1
	}
	return math.Erf(h / (math.Sqrt2 * spread))
}

const (
	shortestTime = 1e-7 // in settling times: below, nothing moves
	farthest     = 6.5  // in σ: nobody gets there
	mostCells    = 72
	mostPlaces   = 11 // of a contour

	greatestStart = 3.0 // in σ: none stands farther off at the beginning
)

// fineness is how finely the chance is worked out.
type fineness struct {
	cells  int     // between the walls
	points int     // of the contour, in the upper half plane
	step   float64 // of X₀, in σ
	steps  int     // of X₀, from the middle out
}

func fine() fineness { return fineness{cells: mostCells, points: 7, step: 0.25, steps: 18} }

// coarse is good to 0.002, for a table.
func coarse() fineness { return fineness{cells: 28, points: 11, step: 0.5, steps: 9} }

// focusedOnce fills in StaysWithin in units of σ and τ for several exposures, rising; kept is the correlation
// over the wait. The average over X₀, in equal steps, converges faster than any power since the weight
// and the chance are analytic; the chance is even in X₀.
func focusedOnce(chances []float64, h, kept float64, times []float64, n fineness) {
	clear(chances)
	if h <= 0 {
		return
	}
	contours := contoursOf(times, n.points)
	spread := math.Sqrt(max(0, 1-kept*kept))
	weights := 0.0
	for i := range n.steps + 1 {
		focus := float64(i) * n.step
		weight := math.Exp(-focus * focus / 2)
		if i > 0 {
			weight *= 2
		}
		weights += weight
	}
	for i := range n.steps + 1 {
		focus := float64(i) * n.step
		weight := math.Exp(-focus*focus/2) / weights
		if i > 0 {
			weight *= 2
		}
		w := walledIn(max(focus-h, -farthest), min(focus+h, farthest), n.cells)
		begin := w.begin(focus*kept, spread)
		most := 0.0
		for k := range contours {
			most = max(most, contours[k].add(chances, weight, w, begin))
		}
		if most < 1e-7 { // farther out there is less still
			break
		}
	}
	for k, t := range times {
		if t < shortestTime {
			chances[k] = startsWithin(h, math.Sqrt(2*(1-kept)))
		}
		chances[k] = min(1, max(0, chances[k]))
	}
}

// walled is the generator L u = u″ - x u′ on a stretch with absorbing walls, in finite volumes whose
// masses and resistances are integrals of the stationary density and of its inverse, so that slow escape
// over many σ comes out right: row i is low u(i-1) - (low+high) u(i) + high u(i+1). The cells crowd at the walls, where the chance falls
// from one to nothing within a layer as thin as the time is short.
type walled struct {
	from, to  float64
	cells     int
	at        [mostCells]float64
	low, high [mostCells]float64
}

func walledIn(from, to float64, cells int) *walled {
	w := &walled{from: from, to: to, cells: cells}
	middle, half := (from+to)/2, (to-from)/2
	place := func(i int) float64 { // -1 and cells are the walls
		return middle + half*math.Sin(math.Pi/2*(2*float64(i+1)/float64(cells+1)-1))
	}
	before, here := from, place(0)
	resistance := gauss(before, here, here, 1)
	for i := range cells {
		after := place(i + 1)
		w.at[i] = here
		mass := gauss((before+here)/2, (here+after)/2, here, -1)
		w.low[i] = 1 / (mass * resistance)
		w.high[i] = 1 / (mass * gauss(here, after, here, 1))
		resistance = gauss(here, after, after, 1)
		before, here = here, after
	}
	return w
}

// gauss integrates exp(±(x² - origin²)/2) by two points.
func gauss(from, to, origin, sign float64) float64 {
	middle, half := (from+to)/2, (to-from)/2
	a, b := middle-half/math.Sqrt(3), middle+half/math.Sqrt(3)
	return half * (math.Exp(sign*(a*a-origin*origin)/2) + math.Exp(sign*(b*b-origin*origin)/2))
}

// begin returns the weights of the cells for a beginning normally distributed about mean, the chance
// being taken straight between their places and to nothing at the walls.
func (w *walled) begin(mean, spread float64) *[mostCells]float64 {
	weights := new([mostCells]float64)
	if spread == 0 && (mean <= w.from || mean >= w.to) {
		return weights
	}
	if spread == 0 { // between the two nearest places
		i := 0
		for i < w.cells-1 && w.at[i] < mean {
			i++
		}
		if i == 0 {
			weights[0] = (mean - w.from) / (w.at[0] - w.from)
			return weights
		}
		if w.at[i] < mean {
			weights[i] = (w.to - mean) / (w.to - w.at[i])
			return weights
		}
		u := (mean - w.at[i-1]) / (w.at[i] - w.at[i-1])
		weights[i-1], weights[i] = 1-u, u
		return weights
	}
	// from the mass and the first moment of each stretch between places
	k := 1 / (spread * math.Sqrt2)
	mass := func(x float64) float64 { return 0.5 * math.Erf((x-mean)*k) }
	bell := func(x float64) float64 {
		d := (x - mean) / spread
		return spread / math.Sqrt(2*math.Pi) * math.Exp(-d*d/2)
	}
	a, massA, bellA := w.from, mass(w.from), bell(w.from)
	for i := range w.cells + 1 {
		b := w.to
		if i < w.cells {
			b = w.at[i]
		}
		massB, bellB := mass(b), bell(b)
		m := massB - massA
		moment := mean*m - (bellB - bellA) // ∫ x over the stretch
		up := (moment - a*m) / (b - a)     // share of the right place
		if i > 0 {
			weights[i-1] += m - up
		}
		if i < w.cells {
			weights[i] += up
		}
		a, massA, bellA = b, massB, bellB
	}
	return weights
}

// resolve returns the weighted sum of r, where (z - L) r = 1.
func (w *walled) resolve(z complex128, weights *[mostCells]float64) complex128 {
	var ratio, r [mostCells]complex128
	for i := range w.cells {
		pivot := z + complex(w.low[i]+w.high[i], 0)
		right := complex(1, 0)
		if i > 0 {
			low := complex(w.low[i], 0)
			pivot -= low * ratio[i-1]
			right += low * r[i-1]
		}
		size := 1 / (real(pivot)*real(pivot) + imag(pivot)*imag(pivot)) // the pivot is never near zero nor huge
		inverse := complex(real(pivot)*size, -imag(pivot)*size)
		ratio[i] = complex(w.high[i], 0) * inverse
		r[i] = right * inverse
	}
	sum := r[w.cells-1] * complex(weights[w.cells-1], 0)
	for i := w.cells - 2; i >= 0; i-- {
		r[i] += ratio[i] * r[i+1]
		sum += r[i] * complex(weights[i], 0)
	}
	return sum
}
