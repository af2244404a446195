package pose

import (
	"math"
	"math/cmplx"
	"time"

	"platewright/measure"
)

// Smear asks for the chance that moving across smears less than the blur called sharp.
type Smear struct {
	Magnification float64        // image size over the sitter's size
	Blur          measure.Length // diameter of the largest blur disc called sharp, on the plate
	During        time.Duration  // the exposure
}

// NoSmear returns the chance that the sitter's moving across smears a point by no more than the blur
// limit.
//
// During the exposure a point of the sitter leaves its light along a stretch of the plate. Its smear is
// four times the rms of the place about its mean over the exposure, times the magnification: ±2 rms.
// That is the width of the disc with the same rms across, since a disc of diameter c has the rms c/4,
// so smear and blur are told by one measure; the span from end to end would count a moment's excursion,
// which leaves hardly any light, like a place where the sitter stayed. Motion up and down is less and is
// left out; motion toward the lens is for [Sway.StaysWithin].
//
// The mean square about the mean of one run is a quadratic form of a normal process. Its Laplace
// transform is known in closed form and is inverted by the contour of [Talbot2006].
func (s Sway) NoSmear(q Smear) (float64, error) {
	if err := s.Check(); err != nil {
		return 0, err
	}
	if err := measure.Within("magnification", q.Magnification, LeastMagnification, GreatestMagnification, ""); err != nil {
		return 0, err
	}
	if err := measure.Within("blur", float64(q.Blur), 0, float64(GreatestDepth), "mm"); err != nil {
		return 0, err
	}
	if err := checkTime("the exposure", q.During); err != nil {
		return 0, err
	}
	rms := float64(q.Blur) / (4 * q.Magnification * float64(s.Across))
	return steady(rms*rms, s.units(q.During)), nil
}

// longRun, in settling times: from here on the mean square over a run has the distribution of an
// inverse Gaussian variable to 0.0005, with its mean and its variance 2/t (1 - 4.5/t + 6/t²); the third
// cumulant, 12/t² of the Ornstein-Uhlenbeck process, is then nearly right too.
const longRun = 60.0

// longSteady is steady of a long run.
func longSteady(v, mean, t float64) float64 {
	shape := mean * mean * mean * t / (2 * (1 - 4.5/t + 6/(t*t)))
	off := math.Sqrt(shape/v) * (v/mean - 1)
	far := math.Sqrt(shape/v) * (v/mean + 1) // above 10: the tail's series will do
	tail := math.Exp(-off*off/2) / (far * math.Sqrt(2*math.Pi)) * (1 - 1/(far*far) + 3/(far*far*far*far))
	return math.Min(1, math.Erfc(-off/math.Sqrt2)/2+tail)
}

// steady is the chance that the mean square about the mean over a time t (in τ) is at most v (in σ²).
func steady(v, t float64) float64 {
	mean := spreadOver(t)
	switch {
	case v >= 400*mean || t < shortestTime && v > 0:
		return 1
	case v <= 1e-6*mean || v == 0:
		return 0
	}
	if t > longRun {
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
// With α = s/t and κ = √(1+4α), E exp(-α∫X²) is 2√κ e^{(1-κ)t/2} / ((κ+1) √(1 - ρ² e^{-2κt})) with
// ρ = (κ-1)/(κ+1); under the measure so weighted ∫X is normal with the variance
// 2t/κ² - 4/κ³ / (κ + coth(κt/2)), and the square of the mean is taken off by one more Gaussian
// integral. Every root below is of a number in the right half plane, so its branch is the principal one.
func spreadTransform(s complex128, t float64) complex128 {
	k := cmplx.Sqrt(1 + 4*s/complex(t, 0))
	kt := k * complex(t, 0)
	decay := cmplx.Exp(-kt)
	ratio := (k - 1) / (k + 1)
	coth := (1 + decay) / (1 - decay)
	taken := 1 + 2*(k*k-1)/(kt*(k+coth))
	return 2 * k * cmplx.Sqrt(k) / (k + 1) * cmplx.Exp((complex(t, 0)-kt)/2) /
		(cmplx.Sqrt(1-ratio*ratio*decay*decay) * cmplx.Sqrt(taken))
}
