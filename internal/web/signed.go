package web

import (
	"errors"
	"strings"

	"platewright/measure"
)

// cutSign parts a sign off what was typed: a hyphen, a minus or a plus.
func cutSign(s string) (sign float64, rest string) {
	sign = 1
	for _, mark := range []string{"-", "\u2212", "+"} {
		if cut, ok := strings.CutPrefix(s, mark); ok {
			if mark != "+" {
				sign = -1
			}
			return sign, strings.TrimSpace(cut)
		}
	}
	return sign, s
}

// signedLength is a length that may lie on either side of something: a bare number is millimetres or
// inches.
func (f *form) signedLength(name string) measure.Length {
	bare := measure.Millimetre
	if f.sys != measure.Metric {
		bare = measure.Inch
	}
	return read(f, name, func(s string) (measure.Length, error) {
		sign, rest := cutSign(s)
		l, err := measure.ParseLength(rest, bare)
		return measure.Length(sign) * l, err
	}, func(l measure.Length) string { return measure.Thin(l.Format(f.sys)) })
}

// degrees is an angle, as 12, 12.5° or -3 deg.
func (f *form) degrees(name string) measure.Angle {
	return read(f, name, parseDegrees, func(a measure.Angle) string { return a.String() })
}

func parseDegrees(s string) (measure.Angle, error) {
	rest := strings.TrimSpace(s)
	for _, unit := range []string{"degrees", "degree", "deg", "°"} {
		if cut, ok := strings.CutSuffix(strings.ToLower(rest), unit); ok {
			rest = strings.TrimSpace(cut)
			break
		}
	}
	v, err := measure.ParseNumber(rest)
	if err != nil {
		return 0, errors.New("write the degrees in figures, as 12 or 12.5°")
	}
	return measure.Angle(v) * measure.Degree, nil
}
