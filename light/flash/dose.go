package flash

import (
	"fmt"
	"math"
	"strconv"

	"platewright/light"
	"platewright/measure"
)

// Limits of exposure for eye and skin that a dose is held against. They are for healthy adults at work over 8 h; a child,
// an eye without its lens, skin under medicine that makes it sensitive stand lower. None of them is a line below which
// nothing happens. The limit for heat in the retina by pulses under 1/4 s is not among them: it was not reckoned.
const (
	ActinicLimit = 30.0  // J/m² over 8 h, S-weighted, 200 to 400 nm, eye and skin [IEC62471, 4.3.1; ICNIRP2004]
	UVALimit     = 1e4   // J/m², 315 to 400 nm at the eye, up to 1000 s [IEC62471, 4.3.2]
	UVABeyond    = 10.0  // W/m² for longer times
	UVAShort     = 1000. // s
	BlueLimit    = 100.0 // J/m², B-weighted, a source seen under less than 11 mrad, up to 100 s [IEC62471], from memory
	BlueBeyond   = 1.0   // W/m² for longer times, from memory
	BlueShort    = 100.  // s
)

// Dose is what falls on a sitter's face in ultraviolet and blue, J/m². Doses of one day add.
type Dose struct {
	UVA       float64 // 315 to 400 nm
	ActinicUV float64 // weighed by how eye and skin are inflamed; of 300 nm and longer only
	Blue      float64 // weighed by the hazard of blue light to the retina
}

// Plus returns the sum of two doses.
func (d Dose) Plus(e Dose) Dose {
	return Dose{d.UVA + e.UVA, d.ActinicUV + e.ActinicUV, d.Blue + e.Blue}
}

// Times returns n such doses.
func (d Dose) Times(n float64) Dose { return Dose{d.UVA * n, d.ActinicUV * n, d.Blue * n} }

// DoseOf returns the dose of an irradiation in J/m²/nm, or, of a spectrum in W/m²/nm, the dose each second. What the
// spectrum does not reach below 300 nm is not in it, and there a bare quartz tube is strongest for eye and skin.
func DoseOf(s light.Spectrum) (Dose, error) {
	S, err := light.NewSpectrum(300, 5, actinicUV())
	if err != nil {
		return Dose{}, err
	}
	B, err := light.NewSpectrum(300, 5, blueHazard())
	if err != nil {
		return Dose{}, err
	}
	return Dose{UVA: trapezoid(s, 315, 400), ActinicUV: s.Weighed(S), Blue: s.Weighed(B)}, nil
}

// trapezoid integrates from lo to hi in steps of 1 nm; a band's ends count half.
func trapezoid(s light.Spectrum, lo, hi float64) float64 {
	sum := (s.At(lo) + s.At(hi)) / 2
	for nm := lo + 1; nm < hi; nm++ {
		sum += s.At(nm)
	}
	return sum
}

// Hazard returns the dose of so much light of a tube at a face. The tube's class is known to a quarter below 400 nm
// [PlateNotes2026], so ultraviolet doses may be 25 % more or less.
func Hazard(t light.Tube, given light.LuxSeconds) (Dose, error) {
	if err := measure.Within("light at the face", float64(given), 0, 1e12, "lx·s"); err != nil {
		return Dose{}, err
	}
	source, err := light.Flash(t)
	if err != nil {
		return Dose{}, err
	}
	each, err := DoseOf(source.Power)
	if err != nil {
		return Dose{}, err
	}
	return each.Times(float64(given) / source.Power.Lux()), nil
}

// Hazard returns the dose of all pops of a head at the sitter's face, on a receptor that looks at the head.
func (h Head) Hazard() (Dose, error) {
	given, err := h.Dose()
	if err != nil {
		return Dose{}, err
	}
	return Hazard(h.Tube, given)
}

// Panel is a lamp of one narrow band, such as ultraviolet diodes, as metered at the face.
type Panel struct {
	PeakNM     float64 // 300 to 700
	WidthNM    float64 // between the half powers, 1 to 100
	Irradiance float64 // W/m² at the face, all wavelengths together; a lux meter does not tell it
}

// Spectrum returns the panel's light at the face, W/m²/nm: a bell curve, its tails cut where the lamp gives a millionth.
func (p Panel) Spectrum() (light.Spectrum, error) {
	for _, c := range []struct {
		what           string
		got, low, high float64
		unit           string
	}{{"peak", p.PeakNM, 300, 700, "nm"}, {"width", p.WidthNM, 1, 100, "nm"}, {"irradiance", p.Irradiance, 0, 1e5, "W/m²"}} {
		if err := measure.Within(c.what, c.got, c.low, c.high, c.unit); err != nil {
			return light.Spectrum{}, err
		}
	}
	const first, last, step = 250, 800, 0.25
	v := make([]float64, int((last-first)/step)+1)
	sum := 0.0
	for i := range v {
		x := (first + step*float64(i) - p.PeakNM) / p.WidthNM
		if bell := math.Exp(-4 * math.Ln2 * x * x); bell > 1e-6 {
			v[i] = bell
			sum += bell * step
		}
	}
	for i := range v {
		v[i] *= p.Irradiance / sum
	}
	return light.NewSpectrum(first, step, v)
}

// Over returns the dose of the panel over a time.
func (p Panel) Over(t light.Seconds) (Dose, error) {
	if err := measure.Within("time", float64(t), 0, 86400, "s"); err != nil {
		return Dose{}, err
	}
	s, err := p.Spectrum()
	if err != nil {
		return Dose{}, err
	}
	each, err := DoseOf(s)
	return each.Times(float64(t)), err
}

// UVATime returns how long so much UVA, W/m², may fall on an eye in a day before the limit is reached; unbounded tells that the
// irradiance alone is below what the limit allows for any time.
func UVATime(irradiance float64) (t light.Seconds, unbounded bool, err error) {
	if err := measure.Within("UVA irradiance", irradiance, 0, 1e6, "W/m²"); err != nil {
		return 0, false, err
	}
	if irradiance <= UVABeyond {
		return 0, true, nil
	}
	return light.Seconds(UVALimit / irradiance), false, nil // [IEC62471, 4.3.2]
}

// ActinicTime returns the same for S-weighted ultraviolet, W/m², within 8 h [IEC62471, 4.3.1].
func ActinicTime(irradiance float64) (t light.Seconds, unbounded bool, err error) {
	if err := measure.Within("actinic UV irradiance", irradiance, 0, 1e6, "W/m²"); err != nil {
		return 0, false, err
	}
	const day = 8 * 3600
	if irradiance <= ActinicLimit/day {
		return 0, true, nil
	}
	return light.Seconds(ActinicLimit / irradiance), false, nil
}

// Held is a dose held against one limit.
type Held struct {
	Name     string
	Got      float64 // J/m²
	Limit    float64 // J/m²
	Standard string
	Sentence string
}

// Share returns the dose over the limit.
func (h Held) Share() float64 { return h.Got / h.Limit }

// Against holds the dose that fell within a time against the limits, figures and a sentence each. No sentence says that a
// dose does no harm.
func (d Dose) Against(within light.Seconds) ([]Held, error) {
	if err := measure.Within("time", float64(within), 0, 86400, "s"); err != nil {
		return nil, err
	}
	for _, v := range []float64{d.UVA, d.ActinicUV, d.Blue} {
		if err := measure.Within("dose", v, 0, 1e15, "J/m²"); err != nil {
			return nil, err
		}
	}
	uva, blue := UVALimit, BlueLimit
	if within > UVAShort {
		uva = UVABeyond * float64(within)
	}
	if within > BlueShort {
		blue = BlueBeyond * float64(within)
	}
	held := []Held{
		{Name: "actinic ultraviolet at eye and skin", Got: d.ActinicUV, Limit: ActinicLimit, Standard: "IEC 62471, 4.3.1; ICNIRP 2004; weights from memory"},
		{Name: "UVA at the eye", Got: d.UVA, Limit: uva, Standard: "IEC 62471, 4.3.2"},
		{Name: "blue light of a small source at the eye", Got: d.Blue, Limit: blue, Standard: "IEC 62471, small source, limit from memory"},
	}
	for i, h := range held {
		says := "of the limit"
		if h.Share() >= 1 {
			says = "of the limit: it is passed; shorten, step back, or keep the light off the eyes"
		}
		held[i].Sentence = fmt.Sprintf("%s: %s J/m² of %s J/m², %s %s (%s).", h.Name, plain(h.Got), plain(h.Limit), percent(h.Share()), says, h.Standard)
	}
	return held, nil
}

// plain writes a figure to two significant digits without an exponent.
func plain(v float64) string {
	two, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 2, 64), 64) // what FormatFloat wrote is a number
	return strconv.FormatFloat(two, 'f', -1, 64)
}

func percent(share float64) string {
	if share > 0 && share < 0.0001 {
		return "under 0.01 %"
	}
	return plain(100*share) + " %"
}
