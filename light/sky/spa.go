package sky

import (
	"math"
	"time"

	"platewright/measure"
)

// Almanac is the earth and the sun at one instant, seen from no place: the report's steps 3.1 to 3.10 [Reda2008].
type Almanac struct {
	JulianDay      float64       // universal time
	EphemerisDay   float64       // terrestrial time
	Longitude      measure.Angle // of the earth about the sun, L
	Latitude       measure.Angle // of the earth about the sun, B
	DistanceAU     float64       // R
	RightAscension measure.Angle // of the sun from the earth's centre, alpha
	Declination    measure.Angle // of the sun from the earth's centre, delta
	SiderealTime   measure.Angle // at Greenwich, apparent, nu
}

// AlmanacAt returns the almanac of an instant. The error is a [measure.RangeError].
func AlmanacAt(t time.Time, deltaT float64) (Almanac, error) {
	if err := checkTime(t, deltaT); err != nil {
		return Almanac{}, err
	}
	a := almanacAt(julianDay(t), deltaT)
	return Almanac{JulianDay: a.JD, EphemerisDay: a.JDE, Longitude: measure.Angle(a.L), Latitude: measure.Angle(a.B), DistanceAU: a.R,
		RightAscension: measure.Angle(a.alpha), Declination: measure.Angle(a.delta), SiderealTime: measure.Angle(a.nu)}, nil
}

// almanac is the same in plain figures under the report's letters, angles in radians.
type almanac struct {
	JD, JDE      float64
	L, B, R      float64
	alpha, delta float64
	nu           float64
}

const degree = math.Pi / 180

// almanacAt is the almanac at a Julian day of universal time, deltaT seconds behind terrestrial time.
func almanacAt(jd, deltaT float64) almanac {
	jde := jd + deltaT/86400                           // (5)
	jc, jce := (jd-2451545)/36525, (jde-2451545)/36525 // (6), (7)
	jme := jce / 10                                    // (8)
	a := almanac{JD: jd, JDE: jde}
	a.L = turn(power(jme, termsL0, termsL1, termsL2, termsL3, termsL4, termsL5)) // (9) to (12)
	a.B = power(jme, termsB0, termsB1)
	a.R = power(jme, termsR0, termsR1, termsR2, termsR3, termsR4)
	theta, beta := a.L+math.Pi, -a.B // (13), (14)
	dPsi, dEps := nutate(jce)
	eps := obliquity(jme) + dEps                                                         // (25)
	aberration := -20.4898 / 3600 * degree / a.R                                         // (26)
	lambda := theta + dPsi + aberration                                                  // (27)
	nu0 := 280.46061837 + 360.98564736629*(jd-2451545) + jc*jc*(0.000387933-jc/38710000) // (28)
	a.nu = turn(math.Mod(nu0, 360)*degree + dPsi*math.Cos(eps))                          // (29)
	sinL, cosL := math.Sincos(lambda)
	sinE, cosE := math.Sincos(eps)
	a.alpha = turn(math.Atan2(sinL*cosE-math.Tan(beta)*sinE, cosL))     // (30)
	a.delta = math.Asin(math.Sin(beta)*cosE + math.Cos(beta)*sinE*sinL) // (31)
	return a
}

// power sums the series of terms, each times a power of t, in units of 1e-8.
func power(t float64, series ...[]term) float64 {
	sum := 0.0
	for i := len(series) - 1; i >= 0; i-- {
		s := 0.0
		for _, x := range series[i] {
			s += x.A * math.Cos(x.B+x.C*t)
		}
		sum = sum*t + s
	}
	return sum / 1e8
}

// nutate is the nutation in longitude and in obliquity in radians, T Julian centuries from J2000 (15) to (23).
func nutate(T float64) (psi, eps float64) {
	x := [5]float64{
		polynomial(T, 297.85036, 445267.111480, -0.0019142, 1.0/189474),
		polynomial(T, 357.52772, 35999.050340, -0.0001603, -1.0/300000),
		polynomial(T, 134.96298, 477198.867398, 0.0086972, 1.0/56250),
		polynomial(T, 93.27191, 483202.017538, -0.0036825, 1.0/327270),
		polynomial(T, 125.04452, -1934.136261, 0.0020708, 1.0/450000),
	}
	for i := range nutations {
		n := &nutations[i]
		arg := 0.0
		for j, y := range n.Y {
			arg += float64(y) * x[j]
		}
		s, c := math.Sincos(math.Mod(arg, 360) * degree)
		psi += (n.a + n.b*T) * s
		eps += (n.c + n.d*T) * c
	}
	return psi / 36000000 * degree, eps / 36000000 * degree
}

// obliquity is the mean obliquity of the ecliptic in radians, t thousands of Julian years from J2000 (24).
func obliquity(t float64) float64 {
	return polynomial(t/10, 84381.448, -4680.93, -1.55, 1999.25, -51.38, -249.67, -39.05, 7.12, 27.87, 5.79, 2.45) / 3600 * degree
}

func polynomial(x float64, c ...float64) float64 {
	sum := 0.0
	for i := len(c) - 1; i >= 0; i-- {
		sum = sum*x + c[i]
	}
	return sum
}

// turn brings an angle into [0, 2 pi).
func turn(a float64) float64 {
	a = math.Mod(a, 2*math.Pi)
	if a < 0 {
		a += 2 * math.Pi
	}
	if a >= 2*math.Pi { // a hair below zero
		a = 0
	}
	return a
}

// half brings an angle into [-pi, pi).
func half(a float64) float64 { return turn(a+math.Pi) - math.Pi }

// hourAngle is how far the sun has gone west of the meridian of a longitude, seen from the earth's centre (32).
func (a almanac) hourAngle(longitude float64) float64 { return half(a.nu + longitude - a.alpha) }

// topocentric is the sun seen from a place: its hour angle, declination and elevation without the air, and its
// azimuth from north clockwise, in radians; height in metres above the sea [Reda2008, 3.11 to 3.14.1 and 3.15].
func (a almanac) topocentric(latitude, longitude, height float64) (hour, declination, elevation, azimuth float64) {
	sinF, cosF := math.Sincos(latitude)
	H := a.hourAngle(longitude)
	sinX := math.Sin(8.794 / 3600 * degree / a.R) // (33)
	// u = atan(0.99664719 tan latitude) without its pole (34)
	n := math.Hypot(cosF, 0.99664719*sinF)
	x := cosF/n + height/6378140*cosF                       // (35)
	y := 0.99664719*0.99664719*sinF/n + height/6378140*sinF // (36)
	sinH, cosH := math.Sincos(H)
	sinD, cosD := math.Sincos(a.delta)
	den := cosD - x*sinX*cosH
	dAlpha := math.Atan2(-x*sinX*sinH, den)                       // (37)
	declination = math.Atan2((sinD-y*sinX)*math.Cos(dAlpha), den) // (39)
	hour = H - dAlpha                                             // (40)
	sinH, cosH = math.Sincos(hour)
	sinD, cosD = math.Sincos(declination)
	elevation = math.Asin(min(max(sinF*sinD+cosF*cosD*cosH, -1), 1))          // (41)
	azimuth = turn(math.Atan2(sinH*cosD, cosH*sinF*cosD-sinD*cosF) + math.Pi) // (45), (46)
	return hour, declination, elevation, azimuth
}

// refraction is how much the air lifts the sun, in radians; pressure in hPa, temperature in Celsius. Below the
// true elevation at which the upper rim stands on the horizon it is none (42).
func refraction(elevation, pressure, temperature float64) float64 {
	e := elevation / degree
	if e < -(sunRadius + horizonLift) {
		return 0
	}
	return pressure / 1010 * 283 / (273 + temperature) * 1.02 / (60 * math.Tan((e+10.3/(e+5.11))*degree)) * degree
}

// The sun's half width and the usual lift of the air at the horizon, in degrees [Reda2008, 3.14.2].
const (
	sunRadius   = 0.26667
	horizonLift = 0.5667
)
