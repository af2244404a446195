package sky

import (
	"math"

	"platewright/light"
	"platewright/measure"
)

// Sky is the light of sun and sky at one moment on open ground.
type Sky struct {
	Direct  light.Spectrum // of the sun on a plane facing it; dark under cloud and after sunset
	Diffuse light.Spectrum // of the whole sky on level ground
	Global  light.Spectrum // of both on level ground
	Sun     Sun
	Albedo  float64       // share of it that the ground sends back
	Covered float64       // share of the sky under cloud
	Kind    light.Kind    // of the light on open ground
	Band    measure.Stops // either way: how far one such hour strays from the mean told here
	From    string        // what it is reckoned by, a sentence

	blue, grey grid    // the parts of Diffuse, of the clear and of the covered sky
	direct     grid    // Direct
	norm       float64 // of the clear sky's pattern over level ground; zero when there is none
}

// Weather is what stands between sun and ground: clear air, and the share of the sky under cloud, 0 clear to 1 covered.
// Between them the light is a mean over passing clouds; at no moment is it that.
type Weather struct {
	Clear   Clear
	Covered float64
}

// Bands of a sky, our estimates with no source: a clear sky by its haze and its model, which lies up to 0.34 stop above
// the mean of measurements with a low sun [Seidelmann1992], a covered one by how thick the
// cloud is, passing clouds by whether one is before the sun.
const (
	clearBand    measure.Stops = 0.4
	coveredBand  measure.Stops = 1
	passingBand  measure.Stops = 1.5
	twilightBand measure.Stops = 1
)

// OvercastCCT is the colour of a covered sky: between D65 and D75, the usual pair. At this choice the plate sees about
// 0.15 stop less or more at either end.
const OvercastCCT = 7000.0 // K

// Where the model of the clear sky hands over to the fit of twilight, in degrees of true elevation: lower down the
// model's sky goes dark with the sun.
const (
	lowSun       = 5.0
	lowSunZenith = 90 - lowSun - 0.165 // lifted
	darkSun      = -18.0
)

// GroundLight is the light of a clear sky and the sun on level ground by the true elevation of the sun, a published
// fit to measurements from the zenith to the end of twilight [Seidelmann1992]; zero further down. The error is a
// [measure.RangeError].
func GroundLight(elevation measure.Angle) (light.Lux, error) {
	if err := measure.Within("elevation of the sun", elevation.Degrees(), -90, 90+1e-9, "deg"); err != nil {
		return 0, err
	}
	return light.Lux(groundLight(elevation.Degrees())), nil
}

func groundLight(e float64) float64 {
	x := e / 90
	switch {
	case e < darkSun:
		return 0
	case e < -12:
		return math.Pow(10, polynomial(x, 13.84, 262.72, 1447.42, 2797.93))
	case e < -5:
		return math.Pow(10, polynomial(x, 2.70, 12.17, -431.69, -1899.83))
	case e < -0.8:
		return math.Pow(10, polynomial(x, 2.88, 21.81, -258.11, -858.36))
	case e < 5:
		return math.Pow(10, polynomial(x, 2.88, 22.26, -207.64, 1034.30))
	case e < 20:
		return math.Pow(10, polynomial(x, 3.05, 13.28, -45.98, 64.33))
	}
	return math.Pow(10, polynomial(x, 3.74, 3.97, -4.07, 1.47))
}

// Spectra returns the clear sky with the sun at s. From true elevation 5° down the sky keeps the spectrum it has there
// and falls as the light on the ground is published to fall [Seidelmann1992], to nothing at -18°: the ozone's blue of
// twilight is left out, and the band says so. The sun's disc fades as it sinks behind the horizon.
func (c Clear) Spectra(s Sun, dayOfYear int) (Sky, error) {
	if err := c.Check(); err != nil {
		return Sky{}, err
	}
	if err := measure.Within("day of the year", float64(dayOfYear), 1, 366, ""); err != nil {
		return Sky{}, err
	}
	if err := s.check(); err != nil {
		return Sky{}, err
	}
	out := Sky{Sun: s, Albedo: c.Albedo, Kind: light.Sun, Band: clearBand,
		From: "A clear sky by the model of Bird and Riordan for the ozone, haze, water and ground given."}
	trueElevation := s.TrueElevation.Degrees()
	if trueElevation < darkSun {
		out.Kind, out.From = light.Shade, nightFrom
		return out, out.finish()
	}
	var lines [len(bands)]Line
	fade := 1.0
	if trueElevation < lowSun {
		out.Band = twilightBand
		out.From = "A low sun or twilight: the spectrum of a clear sky with the sun 5° up, as bright as the ground is published to be; the true sky is bluer."
		fade = groundLight(trueElevation) / groundLight(lowSun)
		c.fill(lines[:], lowSunZenith*degree, dayOfYear)
	} else {
		c.fill(lines[:], s.Zenith.Radians(), dayOfYear)
	}
	out.blue = onGrid(lines[:], func(l Line) float64 { return l.Diffuse * fade })
	out.norm = patternOverGround(out.domeSun())
	disc := min(max((s.Elevation.Degrees()+sunRadius)/(2*sunRadius), 0), 1)
	if trueElevation < lowSun && disc > 0 {
		c.fill(lines[:], min(s.Zenith.Radians(), math.Pi/2), dayOfYear)
	}
	if disc > 0 {
		out.direct = onGrid(lines[:], func(l Line) float64 { return l.Direct * disc })
	}
	if disc < 0.5 {
		out.Kind = light.Shade
	}
	return out, out.finish()
}

// nightFrom says why a sky is dark.
const nightFrom = "Night: the sun is more than 18° below the horizon; moon, stars and lamps are left out."

// Overcast returns the covered sky with the sun at s behind it, over ground of albedo 0.2: 300 + 21 000 sin h lx on the
// ground by the sun's elevation h [Krochmann1974], below the horizon falling with twilight, in CIE daylight of
// [OvercastCCT]. Its band is wide: thin cloud gives twice as much, rain cloud half or less.
func Overcast(s Sun) (Sky, error) { return Weather{Clear: UsualClear(), Covered: 1}.Sky(s, 1) }

func overcast(s Sun) (grid, error) {
	if s.TrueElevation.Degrees() < darkSun {
		return grid{}, nil
	}
	shape, err := light.Daylight(OvercastCCT)
	if err != nil {
		return grid{}, err
	}
	e := 300 + 21000*math.Sin(max(s.TrueElevation.Radians(), 0))
	if below := s.TrueElevation.Degrees(); below < 0 {
		e *= groundLight(below) / groundLight(0)
	}
	var out grid
	g := sampled(shape.Power)
	out.add(e/shape.Power.Lux(), &g)
	return out, nil
}

// Check refuses weather that cannot be.
func (w Weather) Check() error {
	if err := w.Clear.Check(); err != nil {
		return err
	}
	return measure.Within("share of the sky under cloud", w.Covered, 0, 1, "")
}

// Sky returns the sky of this weather with the sun at s. The error is a [measure.RangeError].
func (w Weather) Sky(s Sun, dayOfYear int) (Sky, error) {
	if err := w.Check(); err != nil {
		return Sky{}, err
	}
	if err := s.check(); err != nil {
		return Sky{}, err
	}
	if w.Covered == 0 {
		return w.Clear.Spectra(s, dayOfYear)
	}
	grey, err := overcast(s)
	if err != nil {
		return Sky{}, err
	}
	out := Sky{Sun: s, Albedo: w.Clear.Albedo, Covered: w.Covered, Kind: light.Overcast, Band: coveredBand,
		From: "A covered sky by a published mean of its light for the sun's elevation, in the colour of CIE daylight of 7000 K."}
	if w.Covered < 1 {
		clear, err := w.Clear.Spectra(s, dayOfYear)
		if err != nil {
			return Sky{}, err
		}
		out.blue.add(1-w.Covered, &clear.blue)
		out.direct.add(1-w.Covered, &clear.direct)
		out.norm = clear.norm
		out.Kind, out.Band = light.AnyDaylight, passingBand
		out.From = "A mean of clear and covered sky over passing clouds: at any one moment the sun is out or it is not."
	}
	out.grey.add(w.Covered, &grey)
	if s.TrueElevation.Degrees() < darkSun {
		out.From = nightFrom
	}
	return out, out.finish()
}

// finish adds up the parts.
func (k *Sky) finish() error {
	sum := k.blue
	sum.add(1, &k.grey)
	var err error
	if k.Direct, err = k.direct.spectrum(); err != nil {
		return err
	}
	if k.Diffuse, err = sum.spectrum(); err != nil {
		return err
	}
	sum.add(k.sunUp(), &k.direct)
	k.Global, err = sum.spectrum()
	return err
}

// sunUp is the cosine of the sun on level ground.
func (k *Sky) sunUp() float64 { return math.Sin(max(k.Sun.Elevation.Radians(), 0)) }

// domeSun is the sun's zenith distance that the pattern of the clear sky goes by: on the horizon when it is below.
func (k *Sky) domeSun() float64 { return min(k.Sun.Zenith.Radians(), math.Pi/2) }

// pattern is the relative luminance of a clear sky at zenith distance Z, chi from the sun: type 12 of the CIE's general
// sky, without its division by the zenith [ISO15469].
func pattern(cosZ, cosChi float64) float64 {
	chi := math.Acos(min(max(cosChi, -1), 1))
	phi := 1.0
	if cosZ > 1e-6 {
		phi = 1 - math.Exp(-0.32/cosZ)
	}
	return phi * (1 + 10*(math.Exp(-3*chi)-math.Exp(-3*math.Pi/2)) + 0.45*cosChi*cosChi)
}

// patternOverGround is the integral of the pattern times the cosine over the dome, in sin² Z and azimuth, half the dome
// for its symmetry.
func patternOverGround(sunZenith float64) float64 {
	sinS, cosS := math.Sincos(sunZenith)
	sum := 0.0
	for _, turn := range gauss(0, math.Pi) {
		cosA := math.Cos(turn.at)
		for _, ring := range gauss(0, 1) {
			cosZ, sinZ := math.Sqrt(1-ring.at), math.Sqrt(ring.at)
			sum += turn.weight * ring.weight * pattern(cosZ, cosZ*cosS+sinZ*sinS*cosA)
		}
	}
	return sum
}

// parts are the shares per steradian of the clear and of the covered part of the sky's light on level ground that come
// from a direction, a turn from the sun's azimuth and an elevation given by its sine and cosine.
func (k *Sky) parts(fromSun, sinE, cosE float64) (blue, grey float64) {
	if k.norm > 0 {
		sinS, cosS := math.Sincos(k.domeSun())
		blue = pattern(sinE, sinE*cosS+cosE*sinS*math.Cos(fromSun)) / k.norm
	}
	return blue, (1 + 2*sinE) / 3 * 9 / (7 * math.Pi) // Moon and Spencer's overcast sky, type 16 [ISO15469]
}

// Luminance is how bright the sky is in a direction above the horizon, in cd/m², without the sun's disc. The error is a
// [measure.RangeError].
func (k Sky) Luminance(azimuth, elevation measure.Angle) (float64, error) {
	if err := measure.Within("azimuth", azimuth.Degrees(), -360, 360, "deg"); err != nil {
		return 0, err
	}
	if err := measure.Within("elevation", elevation.Degrees(), 0, 90+1e-9, "deg"); err != nil {
		return 0, err
	}
	sinE, cosE := math.Sincos(elevation.Radians())
	blue, grey := k.parts((azimuth - k.Sun.Azimuth).Radians(), sinE, cosE)
	var there grid
	there.add(blue, &k.blue)
	there.add(grey, &k.grey)
	out, err := there.spectrum()
	return out.Lux(), err
}

// check refuses a sun that was not told by this package.
func (s Sun) check() error {
	for _, x := range []struct {
		what      string
		got       measure.Angle
		low, high float64
	}{
		{"zenith distance of the sun", s.Zenith, 0, 180}, {"elevation of the sun", s.Elevation, -90, 90},
		{"true elevation of the sun", s.TrueElevation, -90, 90}, {"azimuth of the sun", s.Azimuth, 0, 360},
	} {
		if err := measure.Within(x.what, x.got.Degrees(), x.low-1e-9, x.high+1e-9, "deg"); err != nil {
			return err
		}
	}
	return nil
}
