package measure

import (
	"math"
	"strings"
	"time"
)

// Bounds of what the parsers take. They keep slips of the finger out; they are not the limits of
// any computation, which has its own. Common practice, no source.
const (
	longestLength = 1000 * Metre
	shortestTime  = 100 * time.Microsecond
	longestTime   = time.Hour
	leastFNumber  = FNumber(0.5)
	mostFNumber   = FNumber(1000)
	heaviest      = 100 * Kilogram
	largestVolume = 1000 * Litre
	coldest       = Celsius(-60)
	hottest       = Celsius(250)
	darkest       = EV(-12)
	brightest     = EV(24)
)

// lengthUnits maps every accepted way to write a unit of length.
var lengthUnits = map[string]Length{
	"µm": Micrometre, "μm": Micrometre, "um": Micrometre,
	"mm": Millimetre, "millimetre": Millimetre, "millimetres": Millimetre, "millimeter": Millimetre, "millimeters": Millimetre,
	"cm": Centimetre, "centimetre": Centimetre, "centimetres": Centimetre, "centimeter": Centimetre, "centimeters": Centimetre,
	"m": Metre, "metre": Metre, "metres": Metre, "meter": Metre, "meters": Metre,
	"in": Inch, "inch": Inch, "inches": Inch, `"`: Inch,
	"ft": Foot, "foot": Foot, "feet": Foot, "'": Foot,
	"yd": Yard, "yds": Yard, "yard": Yard, "yards": Yard,
}

func (r reading) lengthUnit(name string, bare Length) (float64, error) {
	if name == "" {
		return float64(bare), nil
	}
	u, ok := lengthUnits[name]
	if !ok {
		return 0, r.refuse("the unit %q is not known here; use mm, cm, m, in, ft or yd", name)
	}
	return float64(u), nil
}

// ParseLength reads a length such as "165.1 mm", "6 1/2 in", "6½\"", "1,5 m" or "3 ft 2 in". A
// number without a unit counts in units of bare. A negative length is refused, and one over 1 km.
func ParseLength(s string, bare Length) (Length, error) {
	r := reading{"length", s}
	text, err := r.tidy()
	if err != nil {
		return 0, err
	}
	if strings.HasPrefix(text, "-") {
		return 0, r.refuse("a length is not negative")
	}
	all, err := r.terms(text)
	if err != nil {
		return 0, err
	}
	mm, err := r.sum(all, func(name string) (float64, error) { return r.lengthUnit(name, bare) })
	if err != nil {
		return 0, err
	}
	if err := Within("length", mm, 0, float64(longestLength), "mm"); err != nil {
		return 0, err
	}
	return Length(mm), nil
}

// timeUnits maps every accepted way to write a unit of time, in seconds.
var timeUnits = map[string]float64{
	"": 1, "s": 1, "sec": 1, "secs": 1, "second": 1, "seconds": 1, `"`: 1,
	"ms": 1e-3, "millisecond": 1e-3, "milliseconds": 1e-3,
	"min": 60, "mins": 60, "minute": 60, "minutes": 60, "'": 60,
	"h": 3600, "hour": 3600, "hours": 3600,
}

// ParseExposure reads an exposure time such as "4", "4 s", "1/4 s", "2½ s" or "1 min 20 s"; a
// number without a unit is seconds. It takes 1/10 000 s to one hour.
func ParseExposure(s string) (time.Duration, error) {
	r := reading{"exposure", s}
	text, err := r.tidy()
	if err != nil {
		return 0, err
	}
	if strings.HasPrefix(text, "-") {
		return 0, r.refuse("an exposure is not negative")
	}
	all, err := r.terms(text)
	if err != nil {
		return 0, err
	}
	seconds, err := r.sum(all, func(name string) (float64, error) {
		u, ok := timeUnits[name]
		if !ok {
			return 0, r.refuse("the unit %q is not known here; use s or min", name)
		}
		return u, nil
	})
	if err != nil {
		return 0, err
	}
	if err := Within("exposure", seconds, shortestTime.Seconds(), longestTime.Seconds(), "s"); err != nil {
		return 0, err
	}
	return time.Duration(math.Round(seconds * 1e9)), nil
}

// ParseFNumber reads an aperture number such as "f/4.5", "f 5,6", "1:4.5" or "4.5".
func ParseFNumber(s string) (FNumber, error) {
	r := reading{"f-number", s}
	text, err := r.tidy()
	if err != nil {
		return 0, err
	}
	if after, ok := strings.CutPrefix(text, "1:"); ok {
		text = after
	} else if after, ok := strings.CutPrefix(text, "f"); ok {
		text = strings.TrimLeft(after, " /:")
	}
	text = strings.TrimSpace(text)
	if text == "" {
		return 0, r.refuse("the number is missing; write f/4.5 or 4.5")
	}
	v, rest, err := r.number(text)
	if err != nil {
		return 0, err
	}
	if rest != "" {
		return 0, r.refuse("%q after the number is not understood; write f/4.5 or 4.5", strings.TrimSpace(rest))
	}
	if err := Within("f-number", v, float64(leastFNumber), float64(mostFNumber), ""); err != nil {
		return 0, err
	}
	return FNumber(v), nil
}

// ParseTemperature reads a temperature such as "20 C", "20 °C", "68 F" or "20"; a number without
// a unit is degrees Celsius.
func ParseTemperature(s string) (Celsius, error) {
	r := reading{"temperature", s}
	text, err := r.tidy()
	if err != nil {
		return 0, err
	}
	sign, text := signed(text)
	v, rest, err := r.number(text)
	if err != nil {
		return 0, err
	}
	v *= sign
	c := Celsius(v)
	switch name := strings.TrimSpace(strings.NewReplacer("°", "", "º", "", "degrees", "", "deg", "", ".", "").Replace(rest)); name {
	case "", "c", "celsius":
	case "℃":
	case "f", "fahrenheit", "℉":
		c = FromFahrenheit(v)
	default:
		return 0, r.refuse("the unit %q is not known here; use C or F", name)
	}
	if err := Within("temperature", float64(c), float64(coldest), float64(hottest), "°C"); err != nil {
		return 0, err
	}
	return c, nil
}

// ParseEV reads an exposure value at exposure index 100 such as "12", "EV 12", "12 1/3" or "-2".
func ParseEV(s string) (EV, error) {
	r := reading{"exposure value", s}
	text, err := r.tidy()
	if err != nil {
		return 0, err
	}
	for _, name := range []string{"ev100", "ev"} {
		text = strings.TrimSpace(strings.TrimSuffix(strings.TrimPrefix(text, name), name))
	}
	sign, text := signed(text)
	v, rest, err := r.number(text)
	if err != nil {
		return 0, err
	}
	if rest != "" {
		return 0, r.refuse("%q after the number is not understood; write EV 12 or 12", strings.TrimSpace(rest))
	}
	v *= sign
	if err := Within("exposure value", v, float64(darkest), float64(brightest), ""); err != nil {
		return 0, err
	}
	return EV(v), nil
}
