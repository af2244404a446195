package web

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"platewright/internal/studio"
	"platewright/measure"
)

var (
	stopFirst = regexp.MustCompile(`(?i)^((?:f\s*/?\s*|1\s*:\s*)?[0-9]+(?:[.,][0-9]+)?)(?:\s+(.*))?$`)
	stopLast  = regexp.MustCompile(`(?i)^(.*\S)\s+(f\s*/?\s*[0-9]+(?:[.,][0-9]+)?|1\s*:\s*[0-9]+(?:[.,][0-9]+)?)$`)
)

// parseStops reads the stops of a lens as people list them: "f/3.6, f/4.5 half stop, No. 3 f/8". A
// comma between figures is a decimal point (f/4,5); where there are semicolons or lines, only those
// part the stops. They are ordered from the widest down.
func parseStops(s string) ([]studio.Stop, error) {
	var stops []studio.Stop
	for _, part := range stopParts(s) {
		number, name := part, ""
		if m := stopFirst.FindStringSubmatch(part); m != nil {
			number, name = m[1], m[2]
		} else if m := stopLast.FindStringSubmatch(part); m != nil {
			number, name = m[2], m[1]
		}
		f, err := measure.ParseFNumber(number)
		if err != nil {
			return nil, err
		}
		name = strings.Trim(strings.Join(strings.Fields(name), " "), " ,:")
		if name == "" {
			name = f.String()
		}
		for _, before := range stops {
			if strings.EqualFold(before.Name, name) {
				return nil, fmt.Errorf("stop %q is there twice; give each its own name", name)
			}
		}
		stops = append(stops, studio.Stop{Name: name, FNumber: f})
	}
	slices.SortStableFunc(stops, func(a, b studio.Stop) int {
		switch {
		case a.FNumber < b.FNumber:
			return -1
		case a.FNumber > b.FNumber:
			return 1
		}
		return 0
	})
	return stops, nil
}

// stopParts parts a list of stops.
func stopParts(s string) []string {
	var parts []string
	add := func(part string) {
		if part = strings.TrimSpace(part); part != "" {
			parts = append(parts, part)
		}
	}
	if strings.ContainsAny(s, ";\n") {
		for _, part := range strings.FieldsFunc(s, func(c rune) bool { return c == ';' || c == '\n' }) {
			add(part)
		}
		return parts
	}
	begun := 0
	for i := range len(s) {
		if s[i] != ',' {
			continue
		}
		if decimal := i+1 < len(s) && s[i+1] >= '0' && s[i+1] <= '9' && i > 0 && s[i-1] >= '0' && s[i-1] <= '9'; decimal {
			continue
		}
		add(s[begun:i])
		begun = i + 1
	}
	add(s[begun:])
	return parts
}

// stopsText lists stops so that [parseStops] reads them back.
func stopsText(stops []studio.Stop) string {
	between, after := ", ", ""
	parts := make([]string, len(stops))
	for i, st := range stops {
		parts[i] = st.FNumber.String()
		if st.Name != "" && st.Name != parts[i] {
			parts[i] += " " + st.Name
		}
		if strings.Contains(st.Name, ",") {
			between, after = "; ", ";"
		}
	}
	return strings.Join(parts, between) + after
}

// stops reads a field that lists the stops of a lens.
func (f *form) stops(name string) []studio.Stop {
	return read(f, name, parseStops, func(stops []studio.Stop) string { return counted(len(stops), "stop") + ": " + stopsText(stops) })
}

// typedLength is a length as one would type it, in the unit a bare number means where that reads
// back the same.
func typedLength(l measure.Length, sys measure.System) string {
	if l == 0 {
		return ""
	}
	bare, unit := measure.Millimetre, " mm"
	if sys != measure.Metric {
		bare, unit = measure.Inch, " in"
	}
	text := strings.TrimSuffix(l.Format(sys), unit)
	if back, err := measure.ParseLength(text, bare); err == nil && back-l < 1e-6 && l-back < 1e-6 {
		return text
	}
	return l.String()
}

// typedDegrees is an angle as one would type it; nothing for one of zero.
func typedDegrees(a measure.Angle) string {
	if a == 0 {
		return ""
	}
	return figureOf(a.Degrees(), 9)
}

// typedVolume is a volume as one would type it, so that it reads back the same.
func typedVolume(v measure.Volume, sys measure.System) string {
	text := v.Format(sys)
	if back, err := measure.ParseVolume(text, measure.Millilitre, sys); err == nil && back-v < 1e-6 && v-back < 1e-6 {
		return text
	}
	return v.String()
}
