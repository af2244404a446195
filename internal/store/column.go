package store

import (
	"database/sql"
	"database/sql/driver"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"
	"time"
	"unicode/utf8"

	"platewright/internal/studio"
	"platewright/measure"
)

// column is a column of a table, tied to its place in a record: it binds when the record is stored
// and scans when it is read.
type column struct {
	name  string
	value value
	fixed bool // written once, with the record, and never changed
}

type value interface {
	driver.Valuer
	sql.Scanner
}

// bind returns what the columns hold, for a statement. What neither database may be given is
// refused with the column's name.
func bind(columns []column) ([]any, error) {
	args := make([]any, len(columns))
	for i, c := range columns {
		v, err := c.value.Value()
		if err != nil {
			return nil, &studio.Invalid{Problems: []studio.Problem{{Field: c.name, Sentence: err.Error()}}}
		}
		args[i] = v
	}
	return args, nil
}

// places returns where a row is scanned to.
func places(columns []column) []any {
	to := make([]any, len(columns))
	for i, c := range columns {
		to[i] = c.value
	}
	return to
}

func names(columns []column) []string {
	ns := make([]string, len(columns))
	for i, c := range columns {
		ns[i] = c.name
	}
	return ns
}

// holders returns $from, $from+1 ... for n values.
func holders(from, n int) string {
	var b strings.Builder
	for i := range n {
		if i > 0 {
			b.WriteString(", ")
		}
		fmt.Fprintf(&b, "$%d", from+i)
	}
	return b.String()
}

var errMisfit = errors.New("does not fit the record")

func misfit(src any, want string) error {
	return fmt.Errorf("stored %T where %s belongs: %w", src, want, errMisfit)
}

// text is a column of words.
type text[T ~string] struct{ p *T }

func words[T ~string](p *T) value { return text[T]{p} }

func (t text[T]) Value() (driver.Value, error) {
	s := string(*t.p)
	if !utf8.ValidString(s) {
		return nil, errors.New("is not UTF-8 text")
	}
	if strings.ContainsRune(s, 0) {
		return nil, errors.New("holds a zero byte")
	}
	return s, nil
}

func (t text[T]) Scan(src any) error {
	switch s := src.(type) {
	case string:
		*t.p = T(s)
	case []byte:
		*t.p = T(s)
	default:
		return misfit(src, "text")
	}
	return nil
}

// link is a column that names another record, null when it names none.
type link struct{ p *studio.ID }

func (l link) Value() (driver.Value, error) {
	if *l.p == "" {
		return nil, nil
	}
	return text[studio.ID](l).Value()
}

func (l link) Scan(src any) error {
	if src == nil {
		*l.p = ""
		return nil
	}
	return text[studio.ID](l).Scan(src)
}

// whole is a column of whole numbers; a length of time is one of nanoseconds.
type whole[T ~int | ~int64] struct{ p *T }

func count[T ~int | ~int64](p *T) value { return whole[T]{p} }

func (w whole[T]) Value() (driver.Value, error) { return int64(*w.p), nil }

func (w whole[T]) Scan(src any) error {
	n, ok := src.(int64)
	if !ok {
		return misfit(src, "a whole number")
	}
	*w.p = T(n)
	return nil
}

// figure is a column of measured or computed values.
type figure[T ~float64] struct{ p *T }

func amount[T ~float64](p *T) value { return figure[T]{p} }

func (f figure[T]) Value() (driver.Value, error) {
	v := float64(*f.p)
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil, fmt.Errorf("%v is not a finite number", v)
	}
	return v, nil
}

func (f figure[T]) Scan(src any) error {
	switch v := src.(type) {
	case float64:
		*f.p = T(v)
	case int64:
		*f.p = T(v)
	default:
		return misfit(src, "a number")
	}
	return nil
}

// degrees is a column of angles.
type degrees struct{ p *measure.Angle }

func (d degrees) Value() (driver.Value, error) {
	v := degreesOf(*d.p)
	return figure[float64]{&v}.Value()
}

func (d degrees) Scan(src any) error {
	var v float64
	if err := (figure[float64]{&v}).Scan(src); err != nil {
		return err
	}
	*d.p = angleOf(v)
	return nil
}

// degreesOf returns an angle in degrees, to a billionth: a whole number of degrees stays one.
func degreesOf(a measure.Angle) float64 { return math.Round(a.Degrees()*1e9) / 1e9 }

func angleOf(degrees float64) measure.Angle { return measure.Angle(degrees) * measure.Degree }

// instant is a column of whole microseconds UTC since 1970, 0 for the zero time.
type instant struct{ p *time.Time }

func (t instant) Value() (driver.Value, error) { return micros(*t.p), nil }

func (t instant) Scan(src any) error {
	n, ok := src.(int64)
	if !ok {
		return misfit(src, "a time")
	}
	*t.p = fromMicros(n)
	return nil
}

func micros(t time.Time) int64 {
	if t.IsZero() {
		return 0
	}
	return t.UnixMicro()
}

func fromMicros(n int64) time.Time {
	if n == 0 {
		return time.Time{}
	}
	return time.UnixMicro(n).UTC()
}

// kept returns t as it will be read again.
func kept(t time.Time) time.Time { return fromMicros(micros(t)) }

// flag is a column of true or false.
type flag struct{ p *bool }

func (f flag) Value() (driver.Value, error) { return *f.p, nil }

func (f flag) Scan(src any) error {
	switch v := src.(type) {
	case bool:
		*f.p = v
	case int64:
		*f.p = v != 0
	default:
		return misfit(src, "true or false")
	}
	return nil
}

// list is a column of JSON text.
type list[T any] struct{ p *T }

func written[T any](p *T) value { return list[T]{p} }

func (l list[T]) Value() (driver.Value, error) {
	b, err := json.Marshal(*l.p)
	if err != nil {
		return nil, err
	}
	return string(b), nil
}

func (l list[T]) Scan(src any) error {
	var b []byte
	switch s := src.(type) {
	case string:
		b = []byte(s)
	case []byte:
		b = s
	default:
		return misfit(src, "JSON text")
	}
	return json.Unmarshal(b, l.p)
}

// sizeColumns are the three columns of a plate's size.
func sizeColumns(p *measure.PlateSize) []column {
	return []column{
		{name: "size_name", value: words(&p.Name)},
		{name: "width_mm", value: amount(&p.Width)},
		{name: "height_mm", value: amount(&p.Height)},
	}
}
