package sky

import (
	"math"
	"time"
)

// Day is the sun's course over one civil day. What does not happen on that day is nil.
type Day struct {
	Rise *time.Time // first rising of the upper rim
	Noon *time.Time // the sun on the meridian, in the south or in the north
	Set  *time.Time // last setting of the upper rim

	Start, End time.Time // midnight to midnight
	NeverSets  bool      // the sun is up all day
	NeverRises bool      // the sun is down all day
}

// horizon is the geocentric elevation at which the upper rim is said to rise and set [Reda2008, A.2.4]: the sun's half
// width and the usual lift of the air. A real horizon, height above the sea and the weather move it by minutes.
const horizon = -0.8333 * degree

// track is the sun's course over a day, its Greenwich hour angle (unwound) and declination as parabolas through three
// almanacs: within 0.01 arc seconds of the almanac itself.
type track struct {
	start, span float64 // Julian day, days
	gha, delta  [3]float64
}

func trackOver(start, end time.Time, deltaT float64) track {
	tr := track{start: julianDay(start), span: end.Sub(start).Hours() / 24}
	for i := range 3 {
		x := float64(i) / 2
		a := almanacAt(tr.start+x*tr.span, deltaT)
		tr.delta[i] = a.delta
		tr.gha[i] = a.nu - a.alpha
		if i > 0 { // unwound: the sun goes round once in a day
			expected := tr.gha[0] + 2*math.Pi*x*tr.span
			tr.gha[i] = expected + half(tr.gha[i]-expected)
		}
	}
	return tr
}

// at returns hour angle (unwound) and declination a share x of the span after its start.
func (tr track) at(x float64) (gha, delta float64) {
	a, b, c := (1-x)*(1-2*x), 4*x*(1-x), x*(2*x-1)
	return a*tr.gha[0] + b*tr.gha[1] + c*tr.gha[2], a*tr.delta[0] + b*tr.delta[1] + c*tr.delta[2]
}

// DayAt returns the sun's course over the civil day of t in t's own location. Rising and setting are those of the upper
// rim on a level horizon with the usual air, told to the second; the weather's air moves them by more. The error is a
// [measure.RangeError].
func DayAt(t time.Time, p Place, deltaT float64) (Day, error) {
	if err := p.Check(); err != nil {
		return Day{}, err
	}
	if err := checkTime(t, deltaT); err != nil {
		return Day{}, err
	}
	y, m, d := t.Date()
	day := Day{Start: time.Date(y, m, d, 0, 0, 0, 0, t.Location()), End: time.Date(y, m, d+1, 0, 0, 0, 0, t.Location())}
	tr := trackOver(day.Start, day.End, deltaT)
	sinF, cosF := math.Sincos(p.Latitude.Radians())
	lon := p.Longitude.Radians()
	above := func(x float64) float64 {
		gha, delta := tr.at(x)
		s, c := math.Sincos(delta)
		return sinF*s + cosF*c*math.Cos(gha+lon) - math.Sin(horizon)
	}
	// The height turns only where the hour angle is near a multiple of half a turn: between its turns it only rises or
	// only falls.
	nodes := []float64{0}
	first, _ := tr.at(0)
	last, _ := tr.at(1)
	for k := math.Ceil((first + lon) / math.Pi); k*math.Pi <= last+lon; k++ {
		x := bisect(0, 1, func(x float64) float64 { g, _ := tr.at(x); return g + lon - k*math.Pi })
		if math.Mod(k, 2) == 0 && day.Noon == nil && x < 1 {
			day.Noon = day.instant(x)
		}
		nodes = append(nodes, turning(max(x-0.1, nodes[len(nodes)-1]), min(x+0.1, 1), above))
	}
	nodes = append(nodes, 1)
	for i := 1; i < len(nodes); i++ {
		from, to := nodes[i-1], nodes[i]
		switch low, high := above(from) < 0, above(to) < 0; {
		case low && !high && day.Rise == nil:
			day.Rise = day.instant(bisect(from, to, above))
		case !low && high:
			day.Set = day.instant(bisect(from, to, func(x float64) float64 { return -above(x) }))
		}
	}
	if day.Rise == nil && day.Set == nil {
		day.NeverSets = above(0.5) >= 0
		day.NeverRises = !day.NeverSets
	}
	return day, nil
}

// instant is the whole second nearest to a share of the day.
func (d Day) instant(x float64) *time.Time {
	t := d.Start.Add(time.Duration(x * float64(d.End.Sub(d.Start)))).Round(time.Second)
	return &t
}

// bisect returns where a function that rises from below zero to above crosses zero.
func bisect(low, high float64, f func(float64) float64) float64 {
	for range 40 {
		mid := (low + high) / 2
		if f(mid) < 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// turning returns where between low and high a function with one turn is farthest from its ends' straight line: its
// greatest value when it bends down, its least when it bends up.
func turning(low, high float64, f func(float64) float64) float64 {
	sign := 1.0
	if f((low+high)/2) < (f(low)+f(high))/2 {
		sign = -1
	}
	for range 60 {
		a, b := low+(high-low)/3, high-(high-low)/3
		if sign*f(a) < sign*f(b) {
			low = a
		} else {
			high = b
		}
	}
	return (low + high) / 2
}
