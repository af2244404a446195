package collodion

import (
	"errors"
	"fmt"
	"math"

	"platewright/light"
	"platewright/measure"
)

// Lit is a light on the way to the film: a source and the glazing before the sitter.
type Lit struct {
	Source  light.Spectrum
	Glazing light.Filter
}

// Pair is two plates that came out alike in two lights, through one lens, from one batch, one after the other.
type Pair struct {
	A, B  Lit
	More  measure.Stops // what A did beyond B with the same meter reading: log2 of B's lux-seconds over A's when both plates match
	Sigma measure.Stops // one standard deviation of More, 0.01 to 5; a third of a stop is good work
}

// MostPairs is how many pairs one fit takes.
const MostPairs = 200

// Fit is what paired plates tell of a film: where its edge lies and how much ultraviolet it sees, against a drawn curve.
type Fit struct {
	EdgeNM, EdgeSD float64
	UV, UVSD       measure.Stops
	Correlation    float64 // of the two, -1 to 1
	Pairs          int
	Rest           float64 // rms of what is left of the pairs over their sigmas: near 1 when the model holds
	From           string
}

// FitPairs finds the edge and the ultraviolet level for which the film's actinic ratios agree best with paired plates. It begins at
// s, with [EdgeSD] and [UVSD] as what is believed beforehand, so that one pair already tells something and a pair that is
// blind to one of the two leaves it as it was. The uncertainties are those of least squares about the best place.
func (s Sensitivity) FitPairs(pairs []Pair, lens light.Filter) (Fit, error) {
	if len(pairs) == 0 || len(pairs) > MostPairs {
		return Fit{}, fmt.Errorf("%d pairs of plates; 1 to %d are taken, and 2 with unlike lights tell both numbers", len(pairs), MostPairs)
	}
	for i, p := range pairs {
		if err := measure.Within(fmt.Sprintf("pair %d: difference", i+1), float64(p.More), -12, 12, "stops"); err != nil {
			return Fit{}, err
		}
		if err := measure.Within(fmt.Sprintf("pair %d: sigma", i+1), float64(p.Sigma), 0.01, 5, "stops"); err != nil {
			return Fit{}, err
		}
	}
	f := fitting{s: s, pairs: pairs, lens: lens}
	at, best := [2]float64{}, 0.0
	var err error
	if best, err = f.cost(at); err != nil {
		return Fit{}, err
	}
	var cov [3]float64
	for range 40 {
		var step [2]float64
		if step, cov, err = f.step(at); err != nil {
			return Fit{}, err
		}
		moved := false
		for k := 0; k < 12; k++ { // the whole step, or the greatest half of a half of it that betters the fit
			try := [2]float64{held(at[0]+step[0], MostEdge), held(at[1]+step[1], float64(MostUV))}
			cost, err := f.cost(try)
			if err != nil {
				return Fit{}, err
			}
			if cost < best {
				moved = best-cost > 1e-12*(1+best)
				at, best = try, cost
				break
			}
			step[0], step[1] = step[0]/2, step[1]/2
		}
		if !moved {
			break
		}
	}
	if math.Abs(at[0]) >= MostEdge || math.Abs(at[1]) >= float64(MostUV) {
		return Fit{}, errors.New("the pairs ask for an edge more than 25 nm or an ultraviolet more than 3 stops from the drawn curve; look for a meter, a tube or a reading that is not what it is said to be")
	}
	if _, cov, err = f.step(at); err != nil {
		return Fit{}, err
	}
	out := Fit{EdgeNM: at[0], EdgeSD: math.Sqrt(cov[0]), UV: measure.Stops(at[1]), UVSD: measure.Stops(math.Sqrt(cov[2])),
		Correlation: cov[1] / math.Sqrt(cov[0]*cov[2]), Pairs: len(pairs)}
	rest, err := f.rest(at)
	if err != nil {
		return Fit{}, err
	}
	sum := 0.0
	for _, r := range rest {
		sum += r * r
	}
	out.Rest = math.Sqrt(sum / float64(len(rest)))
	out.From = fmt.Sprintf("From %d paired plates on a drawn curve: edge %+.1f ± %.1f nm, ultraviolet %+.2f ± %.2f stops.", out.Pairs, out.EdgeNM, out.EdgeSD, float64(out.UV), float64(out.UVSD))
	if out.Rest > 2 {
		out.From += " The pairs contradict one another, or a light is not what it is said to be: they lie further off than their errors allow."
	}
	return out, nil
}

// FittedTo returns the sensitivity of a fit: its edge and ultraviolet moved, its factor narrowed to what the fit leaves open.
func (s Sensitivity) FittedTo(f Fit) (Sensitivity, error) {
	if err := measure.Within("edge's standard deviation", f.EdgeSD, 0, 2*MostEdge, "nm"); err != nil {
		return Sensitivity{}, err
	}
	if err := measure.Within("ultraviolet's standard deviation", float64(f.UVSD), 0, 2*float64(MostUV), "stops"); err != nil {
		return Sensitivity{}, err
	}
	out, err := s.Fitted(f.EdgeNM, f.UV)
	if err != nil {
		return Sensitivity{}, err
	}
	first, _, step := out.Factor.Bounds()
	v := out.Factor.Values()
	for i := range v {
		nm := first + step*float64(i)
		uv, edge := 1-ramp(uvFull, uvNone, nm), ramp(firmTo, looseFrom, nm)
		narrow := uv*float64(f.UVSD/UVSD) + edge*f.EdgeSD/EdgeSD + (1 - uv - edge)
		v[i] = math.Pow(v[i], narrow)
	}
	if out.Factor, err = light.NewSpectrum(first, step, v); err != nil {
		return Sensitivity{}, err
	}
	out.From = s.From + " " + f.From
	return out, nil
}

// fitting is a fit under way: place 0 is the edge in nm, place 1 the ultraviolet in stops.
type fitting struct {
	s     Sensitivity
	pairs []Pair
	lens  light.Filter
}

// rest returns, for each pair, what the film there leaves over, in sigmas.
func (f fitting) rest(at [2]float64) ([]float64, error) {
	film, err := f.s.Fitted(at[0], measure.Stops(at[1]))
	if err != nil {
		return nil, err
	}
	out := make([]float64, len(f.pairs))
	for i, p := range f.pairs {
		a, err := film.perLux(p.A, f.lens)
		if err != nil {
			return nil, fmt.Errorf("pair %d, light A: %w", i+1, err)
		}
		b, err := film.perLux(p.B, f.lens)
		if err != nil {
			return nil, fmt.Errorf("pair %d, light B: %w", i+1, err)
		}
		out[i] = float64((p.More - (a - b)) / p.Sigma)
	}
	return out, nil
}

// cost is half the sum of the squares, what is believed beforehand among them.
func (f fitting) cost(at [2]float64) (float64, error) {
	rest, err := f.rest(at)
	sum := at[0]*at[0]/(EdgeSD*EdgeSD) + at[1]*at[1]/square(UVSD)
	for _, r := range rest {
		sum += r * r
	}
	return sum / 2, err
}

// step returns the step of Gauss and Newton, and the covariances of edge with edge, edge with ultraviolet, ultraviolet with itself.
func (f fitting) step(at [2]float64) (step [2]float64, cov [3]float64, err error) {
	rest, err := f.rest(at)
	if err != nil {
		return step, cov, err
	}
	var slopes [2][]float64
	for k, d := range [2]float64{0.25, 0.02} {
		up, down := at, at
		up[k], down[k] = min(at[k]+d, [2]float64{MostEdge, float64(MostUV)}[k]), max(at[k]-d, -[2]float64{MostEdge, float64(MostUV)}[k])
		a, err := f.rest(up)
		if err != nil {
			return step, cov, err
		}
		b, err := f.rest(down)
		if err != nil {
			return step, cov, err
		}
		for i := range a {
			slopes[k] = append(slopes[k], (a[i]-b[i])/(up[k]-down[k]))
		}
	}
	ee, eu, uu := 1/(EdgeSD*EdgeSD), 0.0, 1/square(UVSD)
	ge, gu := at[0]*ee, at[1]*uu
	for i, r := range rest {
		e, u := slopes[0][i], slopes[1][i]
		ee, eu, uu = ee+e*e, eu+e*u, uu+u*u
		ge, gu = ge+e*r, gu+u*r
	}
	det := ee*uu - eu*eu // at least what is believed beforehand makes of it
	cov = [3]float64{uu / det, -eu / det, ee / det}
	return [2]float64{-(cov[0]*ge + cov[1]*gu), -(cov[1]*ge + cov[2]*gu)}, cov, nil
}

func held(v, most float64) float64 { return max(-most, min(most, v)) }
