package measure

import (
	"math"
	"strings"
)

// Lux is an illuminance.
type Lux float64

// FootCandle is one lumen on a square foot [SP811, app. B.8]: 10.76391 lx.
const FootCandle = Lux(1 / (0.3048 * 0.3048))

// luxUnits maps every accepted way to write a unit of illuminance. The empty name is lux.
var luxUnits = map[string]Lux{
	"": 1, "lx": 1, "lux": 1, "klx": 1000, "kilolux": 1000,
	"fc": FootCandle, "ftc": FootCandle, "ft-c": FootCandle, "footcandle": FootCandle, "footcandles": FootCandle,
	"foot-candle": FootCandle, "foot-candles": FootCandle, "foot candle": FootCandle, "foot candles": FootCandle,
}

// ParseLux reads an illuminance such as "2000", "2 000 lx" or "200 fc"; a number without a unit is
// lux. "2,000" is refused, because it is two where a comma is the decimal point. It sets no bounds:
// those are the computation's.
func ParseLux(s string) (Lux, error) {
	r := reading{"light", s}
	v, rest, err := r.single()
	if err != nil {
		return 0, err
	}
	if v < 0 {
		return 0, r.refuse("a light is not negative")
	}
	u, ok := luxUnits[unitName(rest)]
	if !ok {
		return 0, r.refuse("%q after the number is not known here; use lx or fc", strings.TrimSpace(rest))
	}
	return Lux(v) * u, nil
}

// String returns the illuminance in lux to six significant digits: "2152.78 lx".
func (e Lux) String() string { return figure(float64(e), 6) + " lx" }

// ParseNumber reads a number without a unit such as "1.5", "1,5", "-2", "1/3" or "12 000". "2,000"
// is refused, because it can be read two ways.
func ParseNumber(s string) (float64, error) {
	r := reading{"number", s}
	v, rest, err := r.single()
	if err != nil {
		return 0, err
	}
	if rest = strings.TrimSpace(rest); rest != "" {
		return 0, r.refuse("%q after the number is not understood; write it in figures, as 1.5", rest)
	}
	return v, nil
}

// single reads one number, which may have a sign and spaces between groups of three digits, and
// returns what stands behind it.
func (r reading) single() (value float64, rest string, err error) {
	text, err := r.tidy()
	if err != nil {
		return 0, "", err
	}
	sign, text := signed(text)
	v, rest, err := r.number(ungrouped(text))
	if err != nil {
		return 0, "", err
	}
	if math.IsInf(v, 0) {
		return 0, "", r.refuse("it is not a number one can reckon with")
	}
	return sign * v, rest, nil
}

// ungrouped takes the spaces out of a number written in groups of three digits: 12 000.
func ungrouped(s string) string {
	n := digits(s)
	if n == 0 || n > 3 {
		return s
	}
	whole, rest := s[:n], s[n:]
	for strings.HasPrefix(rest, " ") && digits(rest[1:]) == 3 && !strings.HasPrefix(rest[4:], "/") {
		whole, rest = whole+rest[1:4], rest[4:]
	}
	return whole + rest
}
