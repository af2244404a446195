package measure

import (
	"fmt"
	"math"
	"strings"
)

// angleMarks are the marks of degrees, minutes and seconds of arc, each a sixtieth of the one before.
var angleMarks = map[string]float64{
	"°": 1, "º": 1, "d": 1, "deg": 1, "degree": 1, "degrees": 1,
	"'": 1. / 60, "min": 1. / 60, "minute": 1. / 60, "minutes": 1. / 60,
	`"`: 1. / 3600, "s": 1. / 3600, "sec": 1. / 3600, "second": 1. / 3600, "seconds": 1. / 3600,
}

// coordinate is one of the two angles of a place: its name, the letters and words of its sides, and its bound in degrees.
type coordinate struct {
	name            string
	ahead, behind   string // letters for positive and negative
	aheads, behinds []string
	most            float64
}

var (
	latitude  = coordinate{"latitude", "N", "S", []string{"n", "north"}, []string{"s", "south"}, 90}
	longitude = coordinate{"longitude", "E", "W", []string{"e", "east"}, []string{"w", "west"}, 180}
)

// ParseLatitude reads a latitude such as "48.2 N", "48° 12' 30\" N", "N 48 12.5", "33 S" or "-33.5"; without a letter,
// north is positive. Degrees may be followed by minutes and seconds, marked or not.
func ParseLatitude(s string) (Angle, error) { return latitude.parse(s) }

// ParseLongitude reads a longitude as [ParseLatitude] does, such as "16° 22' E" or "-74.006"; without a letter, east is
// positive.
func ParseLongitude(s string) (Angle, error) { return longitude.parse(s) }

func (c coordinate) parse(s string) (Angle, error) {
	r := reading{c.name, s}
	text, err := r.tidy()
	if err != nil {
		return 0, err
	}
	side, text, err := c.side(r, text)
	if err != nil {
		return 0, err
	}
	sign, text := signed(text)
	if side != 0 && sign < 0 {
		return 0, r.refuse("a minus and a letter are one too many; write %s or %s alone", c.ahead, c.behind)
	}
	if side != 0 {
		sign = side
	}
	degrees, err := c.degrees(r, text)
	if err != nil {
		return 0, err
	}
	if err := Within(c.name, sign*degrees, -c.most, c.most, "°"); err != nil {
		return 0, err
	}
	return Angle(sign*degrees) * Degree, nil
}

// side takes the letter or word of a side off either end; 0 when there is none. An s at the end of a latitude is the south,
// not the mark of seconds.
func (c coordinate) side(r reading, text string) (float64, string, error) {
	trimmed := strings.TrimRight(text, ".")
	fields := strings.FieldsFunc(trimmed, func(ch rune) bool { return ch < 'a' || ch > 'z' })
	if len(fields) == 0 {
		return 0, text, nil
	}
	for _, at := range []struct {
		word string
		cut  func(s, word string) (string, bool)
	}{{fields[len(fields)-1], strings.CutSuffix}, {fields[0], strings.CutPrefix}} {
		rest, ends := at.cut(trimmed, at.word)
		if !ends {
			continue
		}
		for _, of := range []struct {
			sign  float64
			words []string
		}{{1, c.aheads}, {-1, c.behinds}} {
			for _, w := range of.words {
				if at.word == w {
					return of.sign, strings.Trim(rest, " ,"), nil
				}
			}
		}
	}
	for _, other := range []string{"n", "north", "s", "south", "e", "east", "w", "west"} {
		if word := fields[len(fields)-1]; word == other && strings.HasSuffix(trimmed, word) && angleMarks[word] == 0 {
			return 0, "", r.refuse("%s is no side of a %s; write %s or %s", strings.ToUpper(other[:1])+other[1:], c.name, c.ahead, c.behind)
		}
	}
	return 0, text, nil
}

// degrees reads degrees, minutes and seconds, marked or in that order.
func (c coordinate) degrees(r reading, text string) (float64, error) {
	total, unit := 0.0, 1.0
	whole := true
	for i := 0; text != ""; i++ {
		if i == 3 {
			return 0, r.refuse("degrees, minutes and seconds are all that is read")
		}
		n := digits(text)
		v, rest, err := r.plain(text)
		if err != nil {
			return 0, err
		}
		if !whole {
			return 0, r.refuse("only the last of degrees, minutes and seconds has decimals")
		}
		whole = n > 0 && v == math.Trunc(v) && !strings.HasPrefix(text[n:], ".") && !strings.HasPrefix(text[n:], ",")
		mark := unit
		end := strings.IndexAny(rest, "0123456789-+./")
		if end < 0 {
			end = len(rest)
		}
		if name := unitName(strings.Trim(rest[:end], " ,:")); name != "" {
			m, ok := angleMarks[name]
			if !ok {
				return 0, r.refuse("%q after the number is not known here; use ° ' \" and %s or %s", name, c.ahead, c.behind)
			}
			mark = m
		} else if strings.Contains(rest[:end], ",") {
			return 0, r.refuse("write latitude and longitude each by itself")
		}
		if i > 0 && (mark > unit || v >= 60) {
			return 0, r.refuse("minutes and seconds come after degrees, each below 60")
		}
		total += v * mark
		unit, text = mark/60, strings.TrimSpace(rest[end:])
	}
	return total, nil
}

// plain reads a number with a decimal point or comma and no fraction.
func (r reading) plain(s string) (value float64, rest string, err error) {
	n := digits(s)
	if strings.HasPrefix(s[n:], ",") && digits(s[n+1:]) == 3 {
		// Three decimals of a degree are as common as two: no one writes thousands of degrees.
		s = s[:n] + "." + s[n+1:]
	}
	m := n
	if len(s) > n && (s[n] == '.' || s[n] == ',') {
		m = n + 1 + digits(s[n+1:])
	}
	if v, tail, err := r.number(s[:m]); err != nil || strings.TrimSpace(tail) != "" {
		return 0, "", r.refuse("a number is missing at %q", s)
	} else {
		return v, s[m:], nil
	}
}

// FormatLatitude writes a latitude in degrees to a ten-thousandth, ten metres on the ground: "48.2083° N".
func FormatLatitude(a Angle) string { return latitude.format(a) }

// FormatLongitude writes a longitude as [FormatLatitude] does: "16.3731° E".
func FormatLongitude(a Angle) string { return longitude.format(a) }

func (c coordinate) format(a Angle) string {
	v := fixed(math.Abs(a.Degrees()), 4)
	side := c.ahead
	if a < 0 && v != "0" {
		side = c.behind
	}
	return fmt.Sprintf("%s° %s", v, side)
}

// Bounds of a height above the sea that is read: the shore of the lowest lake, with room, and the highest mountain.
const (
	lowestPlace  = -500 * Metre
	highestPlace = 9000 * Metre
)

// ParseElevation reads a height above the sea such as "171 m", "560 ft", "-20" or "1 200"; a number without a unit counts
// in units of bare.
func ParseElevation(s string, bare Length) (Length, error) {
	r := reading{"height above the sea", s}
	v, rest, err := r.single()
	if err != nil {
		return 0, err
	}
	u, err := r.lengthUnit(unitName(rest), bare)
	if err != nil {
		return 0, err
	}
	l := Length(v * u)
	if err := Within("height above the sea", l.Metres(), lowestPlace.Metres(), highestPlace.Metres(), "m"); err != nil {
		return 0, err
	}
	return l, nil
}

// points of the compass, clockwise from north.
var points = [16]string{"n", "nne", "ne", "ene", "e", "ese", "se", "sse", "s", "ssw", "sw", "wsw", "w", "wnw", "nw", "nnw"}

// ParseFacing reads where something looks to, from true north over east: "N", "north", "NNW", "south-east", "352" or
// "352 deg".
func ParseFacing(s string) (Angle, error) {
	r := reading{"direction", s}
	text, err := r.tidy()
	if err != nil {
		return 0, err
	}
	short := strings.NewReplacer("north", "n", "east", "e", "south", "s", "west", "w", "-", "", " ", "", ".", "").Replace(text)
	for i, p := range points {
		if short == p {
			return Angle(float64(i)*22.5) * Degree, nil
		}
	}
	v, rest, err := r.single()
	if err != nil {
		return 0, r.refuse("it is neither a point of the compass, as NNW, nor degrees from north over east, as 337")
	}
	if name := unitName(rest); name != "" && angleMarks[name] != 1 {
		return 0, r.refuse("%q after the number is not known here; use degrees from north over east, as 337", strings.TrimSpace(rest))
	}
	if err := Within("direction", v, 0, 360, "°"); err != nil {
		return 0, err
	}
	return Angle(v) * Degree, nil
}

// FormatFacing writes a direction in degrees with the nearest of the sixteen points: "352° (N)".
func FormatFacing(a Angle) string {
	d := math.Mod(math.Mod(a.Degrees(), 360)+360, 360)
	return fmt.Sprintf("%s° (%s)", fixed(d, 1), strings.ToUpper(points[int(math.Round(d/22.5))%16]))
}
