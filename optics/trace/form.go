package trace

import (
	"fmt"
	"strings"

	"platewright/measure"
	"platewright/optics"
)

// Form is a kind of lens whose design is known: one maker's drawing of it, to stand for an unmeasured lens
// of that kind.
type Form struct {
	Key      string // what a lens record holds
	Name     string // in the words of the trade
	Source   string // key of docs/SOURCES.md
	Inferred string // what the source does not print and was supplied here; empty when nothing was

	System  System          // in the units of the source
	Largest measure.FNumber // the widest stop the drawing is meant for
	Half    measure.Angle   // half the field it is meant for, at infinity
	Good    measure.Angle   // half the field of good definition, over which a focal surface is fitted

	Movable *Movable // a distance the user of the lens can change; nil when there is none

	Rims      optics.Rims // for a focal length of 100 mm; the zero value where nothing is known
	RimsBasis string
}

// Movable is a distance within a lens that its user sets, for a focal length of 100 mm.
type Movable struct {
	Name     string
	Least    measure.Length // sharp
	Greatest measure.Length // softest
	after    int            // the surface it follows
}

// Forms returns every form, in the order of a list to choose from.
func Forms() []Form {
	return []Form{portrait1840(), portrait1840Front(), portrait1950(), triplet(), fourGlass1902(), fourGlassLater(),
		fiveGlass(), landscape(), doubleMeniscus(), softFocus()}
}

// FormOf returns the form of a key.
func FormOf(key string) (Form, error) {
	var keys []string
	for _, f := range Forms() {
		if f.Key == key {
			return f, nil
		}
		keys = append(keys, f.Key)
	}
	return Form{}, fmt.Errorf("form %q is not known; known are %s", key, strings.Join(keys, ", "))
}

// With returns the form with its movable distance set, given for a focal length of 100 mm in the sharp
// position.
func (f Form) With(separation measure.Length) (Form, error) {
	if f.Movable == nil {
		return Form{}, fmt.Errorf("the %s has no distance to set", f.Name)
	}
	m := *f.Movable
	if err := measure.Within(m.Name, float64(separation), float64(m.Least), float64(m.Greatest), "mm"); err != nil {
		return Form{}, err
	}
	f.System = f.System.Scaled(1)
	f.System.Surfaces[m.after].Thickness = separation
	return f, nil
}

// LeastFocal and GreatestFocal bound what a form is scaled to.
const (
	LeastFocal    = optics.LeastFocal
	GreatestFocal = optics.GreatestFocal
)

// Scaled returns the form's system with a focal length in the eye's light. A form with a movable distance
// has that focal length when the distance is at its least: setting it softer changes the focal length.
func (f Form) Scaled(focal measure.Length) (System, error) {
	if err := measure.Within("focal length", float64(focal), float64(LeastFocal), float64(GreatestFocal), "mm"); err != nil {
		return System{}, err
	}
	sharp := f
	if f.Movable != nil {
		var err error
		if sharp, err = f.With(f.Movable.Least); err != nil {
			return System{}, err
		}
	}
	o, err := sharp.System.In(Visual)
	if err != nil {
		return System{}, fmt.Errorf("%s: %w", f.Name, err)
	}
	return f.System.Scaled(focal.Over(o.first.Focal)), nil
}

// Basis says what a figure taken from the form is worth.
func (f Form) Basis() string { return "of the form (" + f.Name + "), not of this lens" }

// drawn is one line of a printed prescription.
type drawn struct {
	radius    float64 // 0 for a plane
	thickness float64
	after     Medium
}

// build makes a system of printed lines; stop is the line, counted from 0, in whose vertex plane the stop lies.
func build(name, source string, stop int, lines []drawn) System {
	s := System{Name: name, Source: source, Surfaces: make([]Surface, len(lines))}
	for i, l := range lines {
		s.Surfaces[i] = Surface{Curvature: Radius(measure.Length(l.radius)), Thickness: measure.Length(l.thickness), After: l.after, Stop: i == stop}
	}
	return s
}

// named returns a catalogued glass that is known to be in the table.
func named(name string) Medium {
	g, err := Glass(name)
	if err != nil {
		panic(err) // a name misspelt in this package's own tables
	}
	return g
}
