package light

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"platewright/measure"
)

// What is read of a spectrum of somebody's own.
const (
	WidestGapNM  = 20.0    // between neighbours
	LongestCSV   = 1 << 20 // bytes of text
	longestCells = 64      // characters of a number
)

// FromPairs returns the spectrum through pairs of wavelength and value, wavelengths rising, at most 20 nm apart. It stands
// on the multiples of 5 nm when all its wavelengths do, else on the whole nanometres; pairs closer than that are averaged
// over each nanometre, so that a narrow line keeps its energy.
func FromPairs(nm, values []float64) (Spectrum, error) {
	if len(nm) != len(values) {
		return Spectrum{}, fmt.Errorf("%d wavelengths and %d values; each wavelength has one value", len(nm), len(values))
	}
	return evened(nm, values, func(i int) string { return fmt.Sprintf("pair %d", i+1) })
}

// evened checks pairs and brings them onto an even grid; where names the place of a pair.
func evened(nm, values []float64, where func(i int) string) (Spectrum, error) {
	if len(nm) < 2 {
		return Spectrum{}, fmt.Errorf("%d pairs of wavelength and power; a spectrum needs at least 2", len(nm))
	}
	if len(nm) > MostSamples {
		return Spectrum{}, fmt.Errorf("%d pairs of wavelength and power; at most %d are read", len(nm), MostSamples)
	}
	step, closest := usualStep, math.Inf(1)
	for i, w := range nm {
		if !(w >= ShortestNM && w <= LongestNM) {
			return Spectrum{}, fmt.Errorf("%s: wavelength %g nm is outside %g to %g nm", where(i), w, ShortestNM, LongestNM)
		}
		if v := values[i]; !(v >= 0 && v <= MostPower) {
			return Spectrum{}, fmt.Errorf("%s: power %g at %g nm; a power is a number from 0 to %g, so take the meter's dark reading off first", where(i), v, w, MostPower)
		}
		if math.Abs(w/usualStep-math.Round(w/usualStep)) > 1e-9 {
			step = 1
		}
		if i == 0 {
			continue
		}
		d := w - nm[i-1]
		if !(d > 0) {
			return Spectrum{}, fmt.Errorf("%s: %g nm comes after %g nm; wavelengths rise from pair to pair, so sort them and keep each once", where(i), w, nm[i-1])
		}
		if d > WidestGapNM+1e-9 {
			return Spectrum{}, fmt.Errorf("%s: nothing is given between %g and %g nm; a gap of more than %g nm is not guessed at, so give what lies between, or 0", where(i), nm[i-1], w, WidestGapNM)
		}
		closest = min(closest, d)
	}
	low, high := nm[0], nm[len(nm)-1]
	first := step * math.Ceil(low/step-1e-9)
	n := int(math.Floor((high-first)/step+1e-9)) + 1
	if n < 2 {
		return Spectrum{}, fmt.Errorf("the pairs span %g to %g nm; a spectrum spans at least two whole nanometres", low, high)
	}
	v := make([]float64, n)
	j := 0
	for i := range v {
		at := first + step*float64(i)
		if closest < step-1e-9 {
			v[i] = meanOver(nm, values, max(low, at-step/2), min(high, at+step/2), &j)
			continue
		}
		v[i] = between(nm, values, at)
	}
	return NewSpectrum(first, step, v)
}

// between returns the value at a wavelength within the pairs, linear between neighbours.
func between(nm, values []float64, at float64) float64 {
	i, found := slices.BinarySearch(nm, at)
	switch {
	case found:
		return values[i]
	case i == 0:
		return values[0]
	case i == len(nm):
		return values[i-1]
	}
	f := (at - nm[i-1]) / (nm[i] - nm[i-1])
	return values[i-1] + f*(values[i]-values[i-1])
}

// meanOver returns the mean of the line through the pairs from lo to hi. from is where the last call left off.
func meanOver(nm, values []float64, lo, hi float64, from *int) float64 {
	for *from+1 < len(nm) && nm[*from+1] <= lo {
		*from++
	}
	sum, x, y := 0.0, lo, between(nm, values, lo)
	for i := *from + 1; i < len(nm) && nm[i] < hi; i++ {
		sum += (nm[i] - x) * (values[i] + y) / 2
		x, y = nm[i], values[i]
	}
	sum += (hi - x) * (between(nm, values, hi) + y) / 2
	return sum / (hi - lo)
}

// ReadCSV reads a spectrum written as lines of wavelength in nm and power, divided by a tab, a semicolon or a comma (with a
// tab or a semicolon the decimal mark may be a comma); lines that start with # and empty lines are passed over, and the
// first other line may be a heading. What is wrong is told with the number of its line.
func ReadCSV(text string) (Spectrum, error) {
	if len(text) > LongestCSV {
		return Spectrum{}, fmt.Errorf("the text is %d bytes long; at most %d are read, so leave out wavelengths the plate does not see", len(text), LongestCSV)
	}
	var nm, values []float64
	var lines []int
	headed := false
	number := 0
	for line := range strings.Lines(strings.TrimPrefix(text, "\ufeff")) {
		number++
		line = strings.TrimSpace(line)
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		cells := divided(line)
		if len(cells) != 2 {
			return Spectrum{}, fmt.Errorf("line %d has %d columns; two are read, wavelength in nm and power, divided by a comma, a semicolon or a tab", number, len(cells))
		}
		w, err := readNumber(cells[0])
		if err != nil && len(nm) == 0 && !headed {
			headed = true
			continue
		}
		if err != nil {
			return Spectrum{}, fmt.Errorf("line %d: wavelength: %w", number, err)
		}
		v, err := readNumber(cells[1])
		if err != nil {
			return Spectrum{}, fmt.Errorf("line %d: power: %w", number, err)
		}
		if len(nm) == MostSamples {
			return Spectrum{}, fmt.Errorf("line %d: more than %d pairs; so many are not read", number, MostSamples)
		}
		nm, values, lines = append(nm, w), append(values, v), append(lines, number)
	}
	if len(nm) == 0 {
		return Spectrum{}, errors.New("no line holds a wavelength and a power; write one pair a line, such as 450, 0.8")
	}
	return evened(nm, values, func(i int) string { return fmt.Sprintf("line %d", lines[i]) })
}

// divided returns the cells of a line, an empty one at the end left out.
func divided(line string) []string {
	mark := ","
	for _, m := range []string{"\t", ";"} {
		if strings.Contains(line, m) {
			mark = m
			break
		}
	}
	cells := strings.Split(line, mark)
	for i, c := range cells {
		cells[i] = strings.Trim(strings.TrimSpace(c), `"`)
		if mark != "," && strings.Count(c, ",") == 1 && !strings.Contains(c, ".") {
			cells[i] = strings.Replace(cells[i], ",", ".", 1)
		}
	}
	if len(cells) == 3 && cells[2] == "" {
		cells = cells[:2]
	}
	return cells
}

// readNumber reads one cell.
func readNumber(cell string) (float64, error) {
	if len(cell) > longestCells {
		return 0, fmt.Errorf("%q is no number", shortened(cell))
	}
	v, err := strconv.ParseFloat(cell, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, &measure.ParseError{What: "number", Text: cell, Reason: "a finite number in figures is needed, such as 450 or 0.8"}
	}
	return v, nil
}
