// Package sky tells where the sun stands and what light sun and sky send: on open ground, and through a window
// onto a sitter.
//
// The sun's place is the full algorithm of the NREL report [Reda2008], ±0.0003° by its authors, with the air's
// lift near the horizon. A clear sky is the simple spectral model of Bird and Riordan [Bird1984] spread over
// the dome as the CIE's standard clear sky [ISO15469]; a covered sky is a published mean of its illuminance by the
// sun's elevation [Krochmann1974], spread as Moon and Spencer found it, with the colour of CIE daylight. Twilight
// follows a published fit of illuminance alone [Seidelmann1992].
//
// Directions are azimuths from true north, clockwise, and elevations above the horizon. Spectra are irradiances in
// W/m²/nm, 300 to 830 nm at 5 nm. Every light here is a reckoned mean of a kind of weather: the real sky of an
// hour lies about it by the [Sky]'s band, and a meter at the sitter's face is better than any of it.
package sky

import (
	"fmt"
	"math"
	"time"

	"platewright/measure"
)

// Place is a place on the earth: north and east positive, Elevation above the sea.
type Place struct {
	Latitude, Longitude measure.Angle
	Elevation           measure.Length
}

// Limits of a place and of its air.
const (
	lowestPlace, highestPlace = -500.0, 9000.0 // m
	leastAir, mostAir         = 300.0, 1100.0  // hPa
	coldestAir, hottestAir    = -90.0, 60.0    // Celsius
)

// Check refuses a place that is not on the earth.
func (p Place) Check() error {
	if err := measure.Within("latitude", p.Latitude.Degrees(), -90, 90, "deg"); err != nil {
		return err
	}
	if err := measure.Within("longitude", p.Longitude.Degrees(), -180, 180, "deg"); err != nil {
		return err
	}
	return measure.Within("elevation of the place", p.Elevation.Metres(), lowestPlace, highestPlace, "m")
}

// Air is the air at a place: its lift of the sun near the horizon goes by it.
type Air struct{ PressureHPa, TemperatureC float64 }

// UsualAir is the standard atmosphere's pressure at the sea and a mean temperature.
func UsualAir() Air { return Air{1013.25, 12} }

// Check refuses air that no place has.
func (a Air) Check() error {
	if err := measure.Within("pressure of the air", a.PressureHPa, leastAir, mostAir, "hPa"); err != nil {
		return err
	}
	return measure.Within("temperature of the air", a.TemperatureC, coldestAir, hottestAir, "°C")
}

// Sun is the sun seen from a place.
type Sun struct {
	Zenith        measure.Angle // from straight up, lifted by the air
	Azimuth       measure.Angle // from north clockwise, 0 to below a full turn
	Elevation     measure.Angle // above the horizon, lifted by the air
	TrueElevation measure.Angle // the same without the air
	Declination   measure.Angle
	HourAngle     measure.Angle // west of the meridian, from minus to plus half a turn
	DistanceAU    float64
}

// Years for which the sun is told. The report's terms hold far beyond; the earth's turning is not known so far ahead.
const (
	FirstYear = 1800
	LastYear  = 2300
)

// SunAt returns the sun at an instant seen from a place, deltaT seconds after universal time in terrestrial time; see
// [DeltaT]. Below true elevation -0.83337°, where its upper rim leaves the horizon, the air's lift is left out, as in
// the report: there Elevation steps down by some half a degree. At a pole, where every direction is south or north,
// azimuth and hour angle are told from the meridian of the longitude given. The error is a [measure.RangeError].
func SunAt(t time.Time, p Place, a Air, deltaT float64) (Sun, error) {
	if err := p.Check(); err != nil {
		return Sun{}, err
	}
	if err := a.Check(); err != nil {
		return Sun{}, err
	}
	if err := checkTime(t, deltaT); err != nil {
		return Sun{}, err
	}
	return almanacAt(julianDay(t), deltaT).seenFrom(p, a), nil
}

func (al almanac) seenFrom(p Place, a Air) Sun {
	hour, declination, e0, azimuth := al.topocentric(p.Latitude.Radians(), p.Longitude.Radians(), p.Elevation.Metres())
	e := min(e0+refraction(e0, a.PressureHPa, a.TemperatureC), math.Pi/2)
	return Sun{
		Zenith: measure.Angle(math.Pi/2 - e), Azimuth: measure.Angle(azimuth),
		Elevation: measure.Angle(e), TrueElevation: measure.Angle(e0),
		Declination: measure.Angle(declination), HourAngle: measure.Angle(half(hour)), DistanceAU: al.R,
	}
}

// checkTime refuses a time or a deltaT for which the sun is not told.
func checkTime(t time.Time, deltaT float64) error {
	if y := t.UTC().Year(); y < FirstYear || y > LastYear {
		return &measure.RangeError{What: "year", Got: float64(y), Low: FirstYear, High: LastYear}
	}
	return measure.Within("delta T", deltaT, -8000, 8000, "s")
}

// julianDay is the Julian day of an instant, taken as universal time (UT1 and UTC differ by less than 0.9 s, by which
// the sun moves less than 0.004°).
func julianDay(t time.Time) float64 {
	return float64(t.Unix())/86400 + float64(t.Nanosecond())/86400e9 + 2440587.5
}

// DeltaT returns terrestrial minus universal time in seconds by the polynomials of Espenak and Meeus [Espenak2006],
// for [FirstYear] to [LastYear] and held at their ends beyond. From 2005 on they are a forecast that runs ahead: in 2026
// by about 6 s, from which the sun's place takes 0.0001°.
func DeltaT(t time.Time) float64 {
	u := t.UTC()
	y := min(max(float64(u.Year())+(float64(u.Month())-0.5)/12, FirstYear), LastYear+1)
	switch {
	case y < 1860:
		return polynomial(y-1800, 13.72, -0.332447, 0.0068612, 0.0041116, -0.00037436, 0.0000121272, -0.0000001699, 0.000000000875)
	case y < 1900:
		return polynomial(y-1860, 7.62, 0.5737, -0.251754, 0.01680668, -0.0004473624, 1.0/233174)
	case y < 1920:
		return polynomial(y-1900, -2.79, 1.494119, -0.0598939, 0.0061966, -0.000197)
	case y < 1941:
		return polynomial(y-1920, 21.20, 0.84493, -0.076100, 0.0020936)
	case y < 1961:
		return polynomial(y-1950, 29.07, 0.407, -1.0/233, 1.0/2547)
	case y < 1986:
		return polynomial(y-1975, 45.45, 1.067, -1.0/260, -1.0/718)
	case y < 2005:
		return polynomial(y-2000, 63.86, 0.3345, -0.060374, 0.0017275, 0.000651814, 0.00002373599)
	case y < 2050:
		return polynomial(y-2000, 62.92, 0.32217, 0.005589)
	case y < 2150:
		return -20 + 32*(y-1820)*(y-1820)/1e4 - 0.5628*(2150-y)
	}
	return -20 + 32*(y-1820)*(y-1820)/1e4
}

// String says where the sun stands: "41.2° up in 194°".
func (s Sun) String() string {
	return fmt.Sprintf("%.1f° up in %.0f°", s.Elevation.Degrees(), math.Mod(math.Round(s.Azimuth.Degrees()), 360))
}
