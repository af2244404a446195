package measure

import (
	"fmt"
	"math"
	"strconv"
)

// RangeError says that a quantity lies outside the range in which a computation holds.
type RangeError struct {
	What   string  // the quantity, as a person or a JSON key names it
	Got    float64 // the value given
	Low    float64 // least value allowed
	High   float64 // greatest value allowed
	Unit   string  // unit of the three figures, empty for ratios and counts
	Source string  // citation key of docs/SOURCES.md or a reason; may be empty
}

func (e *RangeError) Error() string {
	got, low, high := readable(e.Got), readable(e.Low), readable(e.High)
	if got == low || got == high { // outside by less than seven digits show
		got = strconv.FormatFloat(e.Got, 'g', -1, 64)
	}
	unit := ""
	if e.Unit != "" {
		unit = " " + e.Unit
	}
	s := fmt.Sprintf("%s %s%s is outside %s to %s%s", e.What, got, unit, low, high, unit)
	if e.Source != "" {
		s += " (" + e.Source + ")"
	}
	return s
}

// readable writes a figure to seven significant digits, without an exponent between a
// ten-thousandth and ten million.
func readable(v float64) string {
	if size := math.Abs(v); size >= 1e-4 && size < 1e7 {
		return strconv.FormatFloat(rounded(v, 7), 'f', -1, 64)
	}
	return strconv.FormatFloat(v, 'g', 7, 64)
}

// Within returns a [*RangeError] unless low <= got <= high; not-a-number is always outside.
func Within(what string, got, low, high float64, unit string) error {
	if low <= got && got <= high {
		return nil
	}
	return &RangeError{What: what, Got: got, Low: low, High: high, Unit: unit}
}

// ParseError says why a written quantity was not understood.
type ParseError struct {
	What   string // the kind of quantity: "length", "plate size"
	Text   string // what was given
	Reason string // what is wrong and what is allowed
}

func (e *ParseError) Error() string { return fmt.Sprintf("%s %q: %s", e.What, e.Text, e.Reason) }

// reading carries the two facts every refusal of one text repeats.
type reading struct{ what, text string }

func (r reading) refuse(format string, args ...any) error {
	return &ParseError{What: r.what, Text: r.text, Reason: fmt.Sprintf(format, args...)}
}
