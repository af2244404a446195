package pose

import (
	"math"
	"math/cmplx"
	"time"

	"platewright/measure"
)

// Smear asks what a sitter's moving across makes of a point on the plate.
//
// A point of the sitter that moves across during the exposure leaves its light along a stretch of the
// plate. How wide that smears is told as four times the rms of its place about its mean over the
// exposure, times the magnification: the width of the disc of blur with the same rms along the movement
// (a disc of diameter c has c/4), so that smear and blur are told by one measure, in the direction that
// suffers most. Where the point moves evenly its stretch is √12 rms long, an eighth less. The span from
// end to end would count a moment's excursion, which leaves hardly any light, like a place where the sitter stayed.
// The rms itself, one axis and without the four, is the figure that tables of sway give; it is not a
// width, and no blur limit is to be held against it.
//
// The Ornstein-Uhlenbeck process has no speed: within a flash its path, as rough as Brownian motion's, would smear
// tens of times as wide as a head at its published speed. So the place here is the smooth process of
// [Sway.Speed], critically damped with ω = 2/τ: over a long exposure the two come to the same. Motion up and down is less and
// is left out; motion toward the lens is for [Sway.StaysWithin].
type Smear struct {
	Magnification float64        // image size over the sitter's size
	Blur          measure.Length // diameter of the largest blur disc called sharp, on the plate; for [Sway.NoSmear]
	During        time.Duration  // the exposure
}

// discOfRms is the diameter of an evenly lit disc over its rms on one axis.
const discOfRms = 4

// UsualSmear returns the smear that is to be expected: that of the rms over exposures alike, on the plate.
func (s Sway) UsualSmear(q Smear) (measure.Length, error) {
	if err := s.checkSmear(q); err != nil {
		return 0, err
	}
	rms := math.Sqrt(smoothSpread(2 * s.units(q.During)))
	return measure.Length(discOfRms*q.Magnification*rms) * s.Across, nil
}

// NoSmear returns the chance that the sitter's moving across smears a point, told as for
// [Sway.UsualSmear], by no more than the blur limit.
//
// The mean square about the mean of one run is a quadratic form of a normal process. Its Laplace
// transform is a closed form and is inverted by the contour of [Talbot2006]. It is good to 0.001.
func (s Sway) NoSmear(q Smear) (float64, error) {
	if err := s.checkSmear(q); err != nil {
		return 0, err
	}
	rms := float64(q.Blur) / (discOfRms * q.Magnification * float64(s.Across))
	return steady(rms*rms, 2*s.units(q.During)), nil
}

func (s Sway) checkSmear(q Smear) error {
	if err := s.Check(); err != nil {
		return err
	}
	if err := measure.Within("magnification", q.Magnification, LeastMagnification, GreatestMagnification, ""); err != nil {
		return err
	}
	if err := measure.Within("blur", float64(q.Blur), 0, float64(GreatestDepth), "mm"); err != nil {
		return err
	}
	return checkTime("the exposure", q.During)
}

// Times from here on are counted in 1/ω.
const (
	briefRun = 1e-3  // up to here a head moves evenly
	longRun  = 120.0 // from here on a run's mean square is as of many runs together
)

// smoothSpread is the mean over runs of the variance of the place within one run, in σ².
func smoothSpread(t float64) float64 {
	if t < 0.1 { // the difference below loses its digits
		return t * t * (1.0/12 - t*(1.0/30-t*(1.0/120-t*(1.0/630-t/4032))))
	}
	decay := math.Exp(-t)
	return 1 - 2/(t*t)*(t*(2-(2+t)*decay)-(3-(3+t*(3+t))*decay))
}

// longSteady is steady of a long run: the mean square has nearly the distribution of an inverse Gaussian variable
// moved so that its first three cumulants are right. The second is twice the double integral over the run of the square of the
// correlation about the mean; the third is 63/t² in the end, and its next term was read off the transform below.
func longSteady(v, mean, t float64) float64 {
	variance := 5 / t * (1 - 7.3/t + 14/(t*t))
	third := 63 / (t * t) * (1 - 9.8/t)
	middle := 3 * variance * variance / third
	shape := middle * middle * middle / variance
	if v += middle - mean; v <= 0 {
		return 0
	}
	off := math.Sqrt(shape/v) * (v/middle - 1)
	far := math.Sqrt(shape/v) * (v/middle + 1) // above 10: the tail's series will do
	tail := math.Exp(-off*off/2) / (far * math.Sqrt(2*math.Pi)) * (1 - 1/(far*far) + 3/(far*far*far*far))
	return math.Min(1, math.Erfc(-off/math.Sqrt2)/2+tail)
}

// steady is the chance that the mean square about the mean over a time t is at most v (in σ²).
func steady(v, t float64) float64 {
	mean := smoothSpread(t)
	switch {
	case v >= 400*mean:
		return 1
	case v <= 1e-6*mean:
		return 0
	case t < briefRun:
		return math.Erf(math.Sqrt(v / (2 * mean))) // the rms is a normal speed by the time over √12
	case t > longRun:
		return longSteady(v, mean, t)
	}
	const n = 64
	sum := 0.0
	for k := range n / 2 {
		theta := math.Pi * (2*float64(k) + 1) / n
		sin, cos := math.Sincos(0.6407 * theta)
		cot := cos / sin
		z := complex(n*(0.5017*theta*cot-0.6122), n*0.2645*theta)
		dz := complex(n*0.5017*(cot-0.6407*theta/(sin*sin)), n*0.2645)
		sum += 2 * real(cmplx.Exp(z)*dz/complex(0, n)*spreadTransform(z/complex(v, 0), t)/z)
	}
	return math.Min(1, math.Max(0, sum))
}

// spreadTransform is E exp(-s V) of the mean square V about the mean, for s off the negative axis.
//
// The correlation K obeys (D²-1)² K = 4 δ. With α = s/t, E exp(-α∫X²) is det(1+2αK) to the power -1/2, and the determinant vanishes
// where (D²-1)² f = -8α f has an answer that keeps (D+1)² f and its slope at nought at the end of the run and, mirrored, at its
// beginning. With p² = 1 ± √(-8α) these are combinations of cosh(p₁x), cosh(p₂x) and of the sinh, x from the
// run's middle; the determinants of both pairs, over what they are at α = 0, make that of 1+2αK. Under the
// measure so weighted ∫X is normal with the variance q, the integral of h in (D²-1)² h + 8α h = 4 under
// the same conditions, and the square of the mean is taken off by one more Gaussian integral.
// Every root below is of a number off the negative axis, so its branch is the principal one.
func spreadTransform(s complex128, t float64) complex128 {
	run := complex(t, 0)
	alpha := s / run
	r := cmplx.Sqrt(8 * alpha)
	p1, p2 := cmplx.Sqrt(1+1i*r), cmplx.Sqrt(1-1i*r)
	d1, d2 := cmplx.Exp(-p1*run), cmplx.Exp(-p2*run)
	c1, s1, c2, s2 := (1+d1)/2, (1-d1)/2, (1+d2)/2, (1-d2)/2 // cosh and sinh of p t/2 over exp(p t/2)
	// (D+1)² f and its slope at the end, of the even and of the odd functions
	f1, g1 := (p1*p1+1)*c1+2*p1*s1, p1*((p1*p1+1)*s1+2*p1*c1)
	f2, g2 := (p2*p2+1)*c2+2*p2*s2, p2*((p2*p2+1)*s2+2*p2*c2)
	even := f1*g2 - f2*g1
	odd := ((p1*p1+1)*s1+2*p1*c1)*p2*((p2*p2+1)*c2+2*p2*s2) - ((p2*p2+1)*s2+2*p2*c2)*p1*((p1*p1+1)*c1+2*p1*s1)
	lead := (p1 + 1) * (p1 + 1) * (p2 + 1) * (p2 + 1) * (p2 - p1) / 4 // of both, in a long run
	taken := 1/(1+r*r) + 4*alpha/run*4/(1+8*alpha)*(g2*s1/p1-g1*s2/p2)/even
	whole := 8 * (p1 + p2) * cmplx.Sqrt(p1*p2) / ((p1 + 1) * (p1 + 1) * (p2 + 1) * (p2 + 1)) * cmplx.Exp((2-p1-p2)*run/2)
	return whole / (cmplx.Sqrt(even/lead) * cmplx.Sqrt(odd/lead) * cmplx.Sqrt(taken))
}
