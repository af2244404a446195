package pose

import (
	"fmt"
	"math"
	"time"

	"platewright/measure"
)

// Support is what steadies the sitter.
type Support string

// The supports.
const (
	Standing Support = "standing"
	Seated   Support = "seated"
	HeadRest Support = "head rest"
)

// Supports lists them, the unsteadiest first.
func Supports() []Support { return []Support{Standing, Seated, HeadRest} }

// Sway is how far and how fast a head moves about its place. Each axis is a stationary
// Ornstein-Uhlenbeck process, dX = -(X/τ) dt + σ √(2/τ) dW: normally distributed about the place with
// standard deviation σ, the correlation over a time Δ being exp(-Δ/τ). The axes are independent. Slow
// drift over minutes and sudden moves are not in it.
type Sway struct {
	Toward measure.Length // σ toward the lens and away
	Across measure.Length // σ across, on a level
	Settle time.Duration  // τ
}

// The ranges of a sway.
const (
	LeastSway      measure.Length = 0.001
	GreatestSway   measure.Length = 100
	LeastSettle                   = 10 * time.Millisecond
	GreatestSettle                = time.Hour
)

// Check reports the first figure that is out of range.
func (s Sway) Check() error {
	if err := measure.Within("sway toward the lens", float64(s.Toward), float64(LeastSway), float64(GreatestSway), "mm"); err != nil {
		return err
	}
	if err := measure.Within("sway across", float64(s.Across), float64(LeastSway), float64(GreatestSway), "mm"); err != nil {
		return err
	}
	return measure.Within("time to settle", s.Settle.Seconds(), LeastSettle.Seconds(), GreatestSettle.Seconds(), "s")
}

// SwayOf returns the sway of a support, for want of the studio's own measurement.
//
// Standing: rms of the centre of pressure on an ordinary floor, eyes open, 5.0 mm toward and 3.3 mm
// across [CopTable2014]; the head of a free stander moves rather more over a minute. Settling 1.6 s
// fits that with the published speed of heads [HeadMotion20]. Seated: an assumption, 2 mm; no clean
// figure was found. Head rest: 0.5 mm and 2 s, an assumption above what masks hold
// [MaskMotion2019] and bite bars [BiteBar01], since a rest touches the back of the head only.
func SwayOf(s Support) (Sway, error) {
	switch s {
	case Standing:
		return Sway{5.0, 3.3, 1600 * time.Millisecond}, nil
	case Seated:
		return Sway{2, 2, 1600 * time.Millisecond}, nil
	case HeadRest:
		return Sway{0.5, 0.5, 2 * time.Second}, nil
	}
	return Sway{}, unknownSupport(s)
}

// SwayRange returns the calmest and the most restless sway that the figures behind [SwayOf] allow:
// standing one standard deviation between people either way [CopTable2014], seated 1 to 4 mm and head
// rest 0.2 to 1 mm by assumption.
func SwayRange(s Support) (calm, restless Sway, err error) {
	switch s {
	case Standing:
		return Sway{2.5, 2.2, 1600 * time.Millisecond}, Sway{7.5, 4.4, 1600 * time.Millisecond}, nil
	case Seated:
		return Sway{1, 1, 1600 * time.Millisecond}, Sway{4, 4, 1600 * time.Millisecond}, nil
	case HeadRest:
		return Sway{0.2, 0.2, 2 * time.Second}, Sway{1, 1, 2 * time.Second}, nil
	}
	return Sway{}, Sway{}, unknownSupport(s)
}

func unknownSupport(s Support) error {
	return fmt.Errorf("no support is called %q; there are standing, seated and head rest", string(s))
}

// Times beyond a day, and magnifications beyond optics' own, are a slip of the pen.
const (
	LongestTime           = 24 * time.Hour
	GreatestDepth         = 1000 * measure.Metre
	GreatestMagnification = 100.0
	LeastMagnification    = 1e-6
	GreatestBlinkRate     = 120.0 // a minute
	openingPerBlink       = 0.15  // s for which a blink hides the eye, in effect: an assumption
	longBlink             = 0.3   // s [Blink1984]
)

func checkTime(what string, d time.Duration) error {
	return measure.Within(what, d.Seconds(), 0, LongestTime.Seconds(), "s")
}

// units returns a time in settling times.
func (s Sway) units(d time.Duration) float64 { return d.Seconds() / s.Settle.Seconds() }

// Spread returns the rms of the place about its own mean within an exposure, toward the lens and
// across: the whole σ over a time much longer than the settling, σ √(t/3τ) over a much shorter one. Over parts of the
// settling time this is more than a head of a finite speed can do; [Sway.UsualSmear] goes by the speed.
func (s Sway) Spread(during time.Duration) (toward, across measure.Length, err error) {
	if err := s.Check(); err != nil {
		return 0, 0, err
	}
	if err := checkTime("the exposure", during); err != nil {
		return 0, 0, err
	}
	k := measure.Length(math.Sqrt(spreadOver(s.units(during))))
	return k * s.Toward, k * s.Across, nil
}

// spreadOver is the mean over runs of the variance of the place within one run, in σ².
func spreadOver(t float64) float64 {
	if t < 1e-3 { // the difference below loses its digits
		return t/3 - t*t/12
	}
	return 1 - 2/t*(1+math.Expm1(-t)/t)
}

// Speed returns the mean speed of the head over a floor, in mm/s. The process above has no speed (its
// path is as rough as Brownian motion's), so this is the critically damped process of the same σ
// whose correlation (1+ωΔ) exp(-ωΔ) has the same integral, ω = 2/τ: its velocities are normal with
// deviation ωσ.
func (s Sway) Speed() (millimetresPerSecond float64, err error) {
	if err := s.Check(); err != nil {
		return 0, err
	}
	w := 2 / s.Settle.Seconds()
	a, b := w*float64(s.Toward), w*float64(s.Across)
	return meanLength(a, b), nil
}

// meanLength is the mean length of a plane vector with independent normal components of deviations a
// and b: √(2/π) times the greater by the complete elliptic integral E of the squared eccentricity, by
// the arithmetic-geometric mean.
func meanLength(a, b float64) float64 {
	if a < b {
		a, b = b, a
	}
	g0, g1 := 1.0, b/a
	sum, two := (1-g1*g1)/2, 0.5
	for range 12 {
		c := (g0 - g1) / 2
		g0, g1 = (g0+g1)/2, math.Sqrt(g0*g1)
		two *= 2
		sum += two * c * c
	}
	return math.Sqrt(2/math.Pi) * a * math.Pi / (2 * g0) * (1 - sum)
}

// Blinking is what the lids do during an exposure.
type Blinking struct {
	Chance    float64       // that there is at least one blink
	OpenShare float64       // of the time, on average
	Ghost     measure.Stops // how much thinner the eye comes out than its lids' surroundings, on average; negative
	One       measure.Stops // the same when one long blink of 0.3 s falls wholly into the exposure
}

// BlinksAtRest is how often a minute people at rest blink; talking it is 26, reading 4.5 [Blinks1997].
const BlinksAtRest = 17.0

// Blinks returns what blinking at a rate does to an exposure. Blinks come at random, at [BlinksAtRest]
// unless known better; each hides the eye for 0.15 s in effect (closing and opening take 0.1 s each,
// and the lids stay closed up to 0.3 s [Blink1984]; the figure is an assumption between).
func Blinks(perMinute float64, during time.Duration) (Blinking, error) {
	if err := measure.Within("blinks a minute", perMinute, 0, GreatestBlinkRate, ""); err != nil {
		return Blinking{}, err
	}
	if err := checkTime("the exposure", during); err != nil {
		return Blinking{}, err
	}
	t := during.Seconds()
	b := Blinking{Chance: -math.Expm1(-perMinute / 60 * t), OpenShare: 1 - perMinute/60*openingPerBlink}
	b.Ghost = measure.StopsOf(b.OpenShare)
	b.One = measure.StopsOf(max(leastOpen, 1-longBlink/max(t, longBlink)))
	return b, nil
}

// leastOpen bounds what is said of an eye that was shut all through: ten stops are as good as nothing.
const leastOpen = 1.0 / 1024
