package web

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"platewright/internal/studio"
	"platewright/internal/web/shared"
	"platewright/measure"
)

// form reads what people typed, field by field. A field left empty reads as zero and is no problem
// unless [form.need] asks for it; one that cannot be read becomes a problem and reads as zero. What
// was typed stays in the embedded Form, which is what a screen shows.
type form struct {
	shared.Form
	sys measure.System // the studio's habit: what a bare number means, how a figure is read back
	loc *time.Location // the studio's place
	now time.Time      // in that place, for "today" and "tomorrow"
}

// readForm reads a posted form in the studio's habits.
func (s *Server) readForm(r *http.Request) (*form, error) {
	if err := r.ParseForm(); err != nil {
		return nil, unreadable(err)
	}
	return s.formOf(r, r.PostForm)
}

// readQuery reads an address's query as a form.
func (s *Server) readQuery(r *http.Request) (*form, error) { return s.formOf(r, r.URL.Query()) }

func (s *Server) formOf(r *http.Request, typed url.Values) (*form, error) {
	sys, err := s.system(r)
	if err != nil {
		return nil, err
	}
	return &form{
		Form: shared.Form{Typed: typed, ReadAs: map[string]string{}, Choices: map[string]bool{}},
		sys:  sys, loc: s.cfg.Location, now: s.now(),
	}, nil
}

// now is the time in the studio's place.
func (s *Server) now() time.Time { return s.cfg.Clock().In(s.cfg.Location) }

// system is the studio's system of weights and measures; metric before it has begun.
func (s *Server) system(r *http.Request) (measure.System, error) {
	p, err := s.cfg.Studio.Profile(r.Context())
	if errors.Is(err, studio.ErrNotFound) {
		return measure.Metric, nil
	}
	if err != nil {
		return measure.Metric, fmt.Errorf("units of the studio: %w", err)
	}
	return systemOf(p), nil
}

func systemOf(p studio.Profile) measure.System {
	if p.Units == studio.Imperial {
		return measure.Imperial
	}
	return measure.Metric
}

// refuse notes what is wrong with a field; the first thing said of a field stands.
func (f *form) refuse(name, format string, args ...any) {
	if f.Problem(name) == "" {
		f.Problems = append(f.Problems, shared.FormProblem{Field: name, Sentence: fmt.Sprintf(format, args...)})
	}
}

// need refuses a field that is empty; say is how it may be filled: "write it as 6 1/2 in".
func (f *form) need(name, say string) {
	if f.text(name) == "" {
		f.refuse(name, "is empty; %s", say)
	}
}

// take makes problems of what the studio refused, so that they stand at their fields, and returns
// any other error as it is. names maps the studio's field names to the form's where they differ.
func (f *form) take(err error, names map[string]string) error {
	var invalid *studio.Invalid
	if !errors.As(err, &invalid) {
		return err
	}
	for _, p := range invalid.Problems {
		field := p.Field
		if n, ok := names[field]; ok {
			field = n
		}
		sentence := p.Sentence
		if p.Hint != "" {
			sentence += "; " + p.Hint
		}
		f.refuse(field, "%s", sentence)
	}
	return nil
}

// read parses a field that is not empty and notes how it was read. again returns empty where what
// was typed needs no repeating.
func read[T any](f *form, name string, parse func(string) (T, error), again func(T) string) T {
	var zero T
	text := f.text(name)
	if text == "" {
		return zero
	}
	v, err := parse(text)
	var outside *measure.RangeError
	if errors.As(err, &outside) {
		f.refuse(name, "%s", f.beyond(text, outside))
		return zero
	}
	if err != nil {
		f.refuse(name, "%v", err)
		return zero
	}
	if said := again(v); said != "" {
		f.ReadAs[name] = said
	}
	return v
}

// text is a field as typed, without the space around it, its lines ended as here and not as
// browsers send them.
func (f *form) text(name string) string {
	return strings.TrimSpace(strings.ReplaceAll(f.Value(name), "\r\n", "\n"))
}

// id is a field that names a record.
func (f *form) id(name string) studio.ID { return studio.ID(f.text(name)) }

// checked tells whether a box was ticked.
func (f *form) checked(name string) bool { return f.text(name) != "" }

// oneOf is a choice among a few; what is none of them is refused. Empty stays empty.
func (f *form) oneOf(name string, allowed ...string) string {
	v := f.text(name)
	f.Choices[name] = true
	if v != "" && !slices.Contains(allowed, v) {
		f.refuse(name, "%q is not one of %s", v, strings.Join(allowed, ", "))
		return ""
	}
	return v
}

// length is a length: a bare number is millimetres or inches.
func (f *form) length(name string) measure.Length {
	bare := measure.Millimetre
	if f.sys != measure.Metric {
		bare = measure.Inch
	}
	return read(f, name,
		func(s string) (measure.Length, error) { return measure.ParseLength(s, bare) },
		func(l measure.Length) string { return measure.Thin(l.Format(f.sys)) })
}

// plateSize is a plate's size by its trade name or its sides.
func (f *form) plateSize(name string) measure.PlateSize {
	return read(f, name, measure.ParsePlateSize, func(p measure.PlateSize) string { return measure.Thin(sizeText(p, f.sys)) })
}

// sizeText is a plate's size in words and figures: "whole plate, 165.1 × 215.9 mm".
func sizeText(p measure.PlateSize, sys measure.System) string {
	if p.Name == "" {
		return p.Format(sys)
	}
	return p.String() + ", " + p.Format(sys)
}

// exposure is a time the cap is off; a bare number is seconds.
func (f *form) exposure(name string) time.Duration {
	return read(f, name, measure.ParseExposure, func(d time.Duration) string { return measure.Thin(measure.FormatExposure(d)) })
}

// volume is what is in a bottle: a bare number is millilitres or imperial fluid ounces.
func (f *form) volume(name string) measure.Volume {
	bare := measure.Millilitre
	if f.sys != measure.Metric {
		bare = measure.ImperialFluidOunce
	}
	return read(f, name,
		func(s string) (measure.Volume, error) { return measure.ParseVolume(s, bare, f.sys) },
		func(v measure.Volume) string { return measure.Thin(v.Format(f.sys)) })
}

// ev is an exposure value at exposure index 100.
func (f *form) ev(name string) measure.EV {
	return read(f, name, measure.ParseEV, func(e measure.EV) string { return measure.Thin(e.String()) })
}

// light is an illuminance; a bare number is lux.
func (f *form) light(name string) measure.Lux {
	return read(f, name, measure.ParseLux, func(e measure.Lux) string { return measure.Thin(e.String()) })
}

// number is a plain number; a comma is a decimal point where it cannot be read otherwise.
func (f *form) number(name string) float64 {
	return read(f, name, measure.ParseNumber, func(v float64) string {
		if again := figureOf(v, 6); again != f.text(name) {
			return again
		}
		return ""
	})
}

// count is a whole number of things.
func (f *form) count(name string) int {
	return read(f, name, func(s string) (int, error) {
		n, err := strconv.Atoi(s)
		if err != nil {
			return 0, fmt.Errorf("%q is not a whole number; write it in figures, as 3", s)
		}
		return n, nil
	}, func(int) string { return "" })
}

// version is that of the record the form was made from.
func (f *form) version() int { return f.count("version") }

// day is a day, at its midnight in the studio's place.
func (f *form) day(name string) time.Time {
	return read(f, name,
		func(s string) (time.Time, error) { return parseDay(s, f.now) },
		dayText)
}

// moment joins a day and an hour field. An hour the clocks skip on that day is refused.
func (f *form) moment(day, hour string) time.Time {
	d := f.day(day)
	h := read(f, hour, parseHour, hourOfDay.String)
	if d.IsZero() || f.text(hour) == "" || f.Problem(hour) != "" {
		return time.Time{}
	}
	at := time.Date(d.Year(), d.Month(), d.Day(), h.hour, h.minute, 0, 0, f.loc)
	if at.Hour() != h.hour || at.Minute() != h.minute {
		f.refuse(hour, "%s does not exist on %s: the clocks go forward over it", h, d.Format("2 January 2006"))
		return time.Time{}
	}
	return at
}

// lasts is how long a sitting takes; a bare number is minutes.
func (f *form) lasts(name string) time.Duration {
	return read(f, name, parseLasts, lastsText)
}
