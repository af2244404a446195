package sky

import (
	"math"

	"platewright/light"
	"platewright/measure"
)

// Clear is the air of a cloudless sky.
type Clear struct {
	OzoneAtmCm  float64 // ozone overhead, atm-cm; 0.3 is 300 Dobson units
	Aerosol500  float64 // optical depth of haze at 500 nm: 0.05 very clear, 0.1 clear, 0.3 hazy
	WaterCm     float64 // water vapour overhead, cm of rain
	Albedo      float64 // share of the light that the ground sends back
	PressureHPa float64 // at the place, not reduced to the sea
}

// UsualClear is a clear day in the middle latitudes at the sea.
func UsualClear() Clear {
	return Clear{OzoneAtmCm: 0.30, Aerosol500: 0.1, WaterCm: 1.42, Albedo: 0.2, PressureHPa: 1013}
}

// Check refuses air that the model was not made for.
func (c Clear) Check() error {
	for _, x := range []struct {
		what      string
		got       float64
		low, high float64
		unit      string
	}{
		{"ozone", c.OzoneAtmCm, 0.05, 0.7, "atm-cm"},
		{"haze at 500 nm", c.Aerosol500, 0, 1.5, ""},
		{"water vapour", c.WaterCm, 0, 8, "cm"},
		{"ground's albedo", c.Albedo, 0, 1, ""},
		{"pressure of the air", c.PressureHPa, leastAir, mostAir, "hPa"},
	} {
		if err := measure.Within(x.what, x.got, x.low, x.high, x.unit); err != nil {
			return err
		}
	}
	return nil
}

// Constants of the model for a rural haze [Bird1984, 2.4 and 3]: its Ångström exponent, the share of its extinction at 400
// nm that is scattering and how that changes, and how far forward it scatters.
const (
	hazeExponent = 1.14
	hazeScatter  = 0.945
	hazeChange   = 0.095
	hazeForward  = 0.65
)

// AirMass is how many times the air overhead the light of the sun passes, by its lifted zenith distance, which must lie
// within 0 to 90° [KastenYoung1989].
func AirMass(zenith measure.Angle) (float64, error) {
	if err := measure.Within("zenith distance", zenith.Degrees(), 0, 90, "deg"); err != nil {
		return 0, err
	}
	return airMass(zenith.Radians()), nil
}

func airMass(zenith float64) float64 {
	return 1 / (math.Cos(zenith) + 0.50572*math.Pow(96.07995-zenith/degree, -1.6364))
}

// Line is the light of a clear sky at one wavelength, in W/m²/nm.
type Line struct {
	NM      float64
	Beyond  float64 // of the sun beyond the air, at its distance of the day
	Direct  float64 // of the sun's disc and a small ring about it, on a plane facing it
	Diffuse float64 // of the whole sky on level ground
	Global  float64 // of both on level ground
}

// Lines returns the light of a clear sky at the wavelengths of the model, 300 to 860 nm, with the sun above the horizon.
// dayOfYear counts from 1 and stands for the sun's distance. The error is a [measure.RangeError].
func (c Clear) Lines(s Sun, dayOfYear int) ([]Line, error) {
	if err := c.Check(); err != nil {
		return nil, err
	}
	if err := measure.Within("day of the year", float64(dayOfYear), 1, 366, ""); err != nil {
		return nil, err
	}
	if err := measure.Within("zenith distance of the sun", s.Zenith.Degrees(), 0, 90, "deg"); err != nil {
		return nil, err
	}
	out := make([]Line, len(bands))
	c.fill(out, s.Zenith.Radians(), dayOfYear)
	return out, nil
}

// fill is the model [Bird1984], with the figures of its later program: see [Bird1984] in docs/SOURCES.md. The names are
// the report's: T transmittances, r Rayleigh, a aerosol, w water, o ozone, u mixed gases, s scattered, a absorbed; I
// diffuse light from r, a and g, the ground.
func (c Clear) fill(out []Line, zenith float64, dayOfYear int) {
	M := airMass(zenith)
	Mp := M * c.PressureHPa / 1013
	cosZ := math.Max(math.Cos(zenith), 0)
	const h0 = 22.0 / 6370
	Mo := (1 + h0) / math.Sqrt(cosZ*cosZ+2*h0) // (2-10)
	D := distanceFactor(dayOfYear)
	alg := math.Log(1 - hazeForward)
	bfs := alg * (0.0783 + alg*(-0.3824-alg*0.5874)) // (3-13)
	afs := alg * (1.459 + alg*(0.1595+alg*0.4129))   // (3-12)
	fs := 1 - 0.5*math.Exp((afs+bfs*cosZ)*cosZ)      // (3-11)
	fsp := 1 - 0.5*math.Exp((afs+bfs/1.8)/1.8)       // (3-15)
	const Mprime = 1.8                               // air mass for light on its way up
	Mpp := Mprime * c.PressureHPa / 1013
	for i, b := range bands {
		um := b.nm / 1000
		lnL := math.Log(b.nm / 400)
		tau := c.Aerosol500 * math.Exp(-hazeExponent*math.Log(b.nm/500)) // (2-7)
		omega := hazeScatter * math.Exp(-hazeChange*lnL*lnL)             // (3-16)
		ray := 1 / (um * um * um * um * (115.6406 - 1.3366/(um*um)))     // (2-4)
		Tr, Trp := math.Exp(-Mp*ray), math.Exp(-Mpp*ray)
		Ta := math.Exp(-tau * M)          // (2-6)
		Tas := math.Exp(-omega * tau * M) // (3-9)
		Taa := Ta / Tas                   // (3-10)
		Tasp := math.Exp(-omega * tau * Mprime)
		Taap := math.Exp(-(1 - omega) * tau * Mprime)
		To := math.Exp(-b.ozone * c.OzoneAtmCm * Mo) // (2-9)
		Tw, Twp := vapour(b.water*c.WaterCm*M), vapour(b.water*c.WaterCm*Mprime)
		Tu, Tup := mixed(b.mixed*Mp), mixed(b.mixed*Mpp)

		H := b.beyond * D
		direct := H * Tr * Ta * Tw * To * Tu // (2-1)
		common := H * cosZ * To * Tu * Tw * Taa
		tr95 := math.Exp(-0.95 * Mp * ray)
		Ir := common * (1 - tr95) * 0.5                                   // (3-5)
		Ia := common * math.Exp(-1.5*Mp*ray) * (1 - Tas) * fs             // (3-6)
		rs := Tup * Twp * Taap * (0.5*(1-Trp) + (1-fsp)*Trp*(1-Tasp))     // (3-8)
		Ig := (direct*cosZ + Ir + Ia) * rs * c.Albedo / (1 - rs*c.Albedo) // (3-7)
		Cs := 1.0
		if b.nm <= 450 {
			Cs = math.Pow((b.nm+550)/1000, 1.8) // (3-17)
		}
		diffuse := (Ir + Ia + Ig) * Cs
		out[i] = Line{NM: b.nm, Beyond: H, Direct: direct, Diffuse: diffuse, Global: direct*cosZ + diffuse}
	}
}

// vapour is what water lets through (2-8).
func vapour(x float64) float64 {
	if x == 0 {
		return 1
	}
	return math.Exp(-0.2385 * x / math.Pow(1+20.07*x, 0.45))
}

// mixed is what the evenly mixed gases let through (2-11).
func mixed(x float64) float64 {
	if x == 0 {
		return 1
	}
	return math.Exp(-1.41 * x / math.Pow(1+118.3*x, 0.45))
}

// distanceFactor is the inverse square of the sun's distance by the day of the year (2-2, 2-3), after Spencer.
func distanceFactor(dayOfYear int) float64 {
	s, c := math.Sincos(2 * math.Pi * float64(dayOfYear-1) / 365)
	s2, c2 := 2*s*c, c*c-s*s
	return 1.00011 + 0.034221*c + 0.00128*s + 0.000719*c2 + 0.000077*s2
}

// The grid of the package's spectra.
const (
	firstNM = 300.0
	lastNM  = 830.0
	stepNM  = 5.0
	samples = int((lastNM-firstNM)/stepNM) + 1
)

// grid is a spectrum of the package in plain figures.
type grid [samples]float64

// onGrid draws values at the model's wavelengths onto the grid by straight lines. The model's own wavelengths lie up to 26
// nm apart in the red, where neither plate nor eye sees much structure.
func onGrid(lines []Line, value func(Line) float64) (out grid) {
	j := 0
	for i := range out {
		nm := firstNM + stepNM*float64(i)
		for lines[j+1].NM < nm {
			j++
		}
		f := (nm - lines[j].NM) / (lines[j+1].NM - lines[j].NM)
		out[i] = (1-f)*value(lines[j]) + f*value(lines[j+1])
	}
	return out
}

// sampled is a spectrum read off at the grid.
func sampled(s light.Spectrum) (out grid) {
	for i := range out {
		out[i] = s.At(firstNM + stepNM*float64(i))
	}
	return out
}

func (g *grid) spectrum() (light.Spectrum, error) { return light.NewSpectrum(firstNM, stepNM, g[:]) }

// add adds k times another.
func (g *grid) add(k float64, h *grid) {
	for i, v := range h {
		g[i] += k * v
	}
}

// by is the sum of the products.
func (g *grid) by(h *grid) float64 {
	sum := 0.0
	for i, v := range h {
		sum += g[i] * v
	}
	return sum
}
