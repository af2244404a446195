package bench

import (
	"encoding/json"
	"fmt"
)

// Name says what a [Result] is. The names are kept with measurements and never change their meaning.
type Name string

// Names of results, with their units.
const (
	Focal       Name = "focal_mm"            // focal length
	Infinity    Name = "infinity_mm"         // rail reading at which a far target is sharp
	FrontAhead  Name = "front_ahead_mm"      // front principal plane ahead of the point the readings are measured from, toward the sitter
	RearAhead   Name = "rear_ahead_mm"       // rear principal plane ahead of it
	Pupil       Name = "pupil_mm"            // diameter of the entrance pupil
	FNumber     Name = "f_number"            // of the full opening, or with Stop and StopMm of that stop
	Uniform     Name = "us_number"           // N²/16 of the same
	StopFactor  Name = "stop_factor"         // entrance pupil over the hole that makes it
	Hole        Name = "hole_mm"             // with AtFNumber: diameter to cut for it
	PupilMag    Name = "pupil_mag"           // exit over entrance pupil
	Curvature   Name = "curvature_per_mm"    // 1/R of the focal surface, positive when the edges focus nearer the lens
	Curve       Name = "curve_mm"            // R; null when it cannot be told from flat
	Fourth      Name = "fourth_per_mm3"      // k of the term k h⁴
	HalfAngle   Name = "half_angle_deg"      // half the cone of good definition, from the exit pupil
	Circle      Name = "circle_mm"           // diameter of the circle it covers at infinity
	LitAngle    Name = "lit_half_angle_deg"  // half the cone that is lit
	LitCircle   Name = "lit_circle_mm"       // diameter of the circle it lights at infinity
	FocusShift  Name = "focus_shift_mm"      // with AtFNumber: focus behind that of the full opening, at infinity
	ShiftHere   Name = "focus_shift_here_mm" // the same at the magnification it was read at
	Chemical    Name = "chemical_mm"         // focus of the plate behind that of the eye, at infinity
	SitterShift Name = "sitter_shift_mm"     // the sharpest place behind the one focused on, as read, on the sitter's side
)

// Of names a result of one of the two sections of a focal surface.
func (n Name) Of(s Section) Name { return n + Name("_"+s) }

// Section is a section of the focal surface, or both as one.
type Section string

// The sections.
const (
	Sagittal   Section = "sagittal"   // drawn sharp there: lines that run away from the axis
	Tangential Section = "tangential" // lines that run round the axis
)

// Result is one figure that follows from the readings.
type Result struct {
	Name      Name     `json:"name" doc:"what it is, by a name that never changes its meaning"`
	Value     *float64 `json:"value" doc:"best value; null for the radius of a curve that cannot be told from flat"`
	Unit      string   `json:"unit" doc:"of the four figures; empty for ratios"`
	SD        *float64 `json:"sd" doc:"standard deviation; null for a radius that cannot be told from flat"`
	Low95     *float64 `json:"low95" doc:"lower end of the interval that holds the truth nineteen times in twenty"`
	High95    *float64 `json:"high95" doc:"upper end"`
	Stop      string   `json:"stop" doc:"name of the stop it is of; empty otherwise"`
	StopMm    *float64 `json:"stop_mm" doc:"diameter of that stop's hole; null otherwise"`
	AtFNumber *float64 `json:"at_f_number" doc:"the f-number it holds at, or is wanted for; null otherwise"`
	Stops     *float64 `json:"stops_sd" doc:"sd as exposure, for f-numbers; null otherwise"`
	Basis     string   `json:"basis" doc:"what it rests on, a sentence"`
}

// Reading is one reading beside what the fit makes of it.
type Reading struct {
	Number    int      `json:"number" doc:"its place among the readings, from 1"`
	Field     string   `json:"field" doc:"the key of the question it was given under"`
	Group     string   `json:"group" doc:"what it belongs to where readings are of several kinds: a section, a stop, an edge; empty otherwise"`
	X         *float64 `json:"x" doc:"what it is drawn over: see lines; null when there is nothing"`
	Y         float64  `json:"y" doc:"what was read"`
	Fitted    float64  `json:"fitted" doc:"what the fit makes of it"`
	Residual  float64  `json:"residual" doc:"read less fitted"`
	Unit      string   `json:"unit" doc:"of y, fitted and residual"`
	InSD      float64  `json:"in_sd" doc:"its distance from what the others say, in standard deviations of that"`
	Limit     float64  `json:"limit_sd" doc:"from how many on it disagrees; 0 when there are too few others to tell"`
	Disagrees bool     `json:"disagrees" doc:"it lies farther from the others than chance does once in twenty to the worst of so many"`
	Sentence  string   `json:"sentence" doc:"what to do about it; empty when it agrees"`
}

// Line is the fitted curve, to be drawn with the readings of its group.
type Line struct {
	Group  string       `json:"group" doc:"that of the readings"`
	Across string       `json:"across" doc:"what x is, with its unit"`
	Up     string       `json:"up" doc:"what y is, with its unit"`
	Points [][2]float64 `json:"points" doc:"[x,y] along the fit"`
}

// Scatter says how the readings agree with the errors stated for them.
type Scatter struct {
	Readings int      `json:"readings" doc:"how many"`
	Freedom  int      `json:"freedom" doc:"readings beyond those needed"`
	Ratio    *float64 `json:"ratio" doc:"their scatter over what the stated errors make likely; null when there are none to spare"`
	Chance   *float64 `json:"chance" doc:"how often chance alone gives as much, 0 to 1"`
	Counts   string   `json:"counts" doc:"what the intervals rest on: stated or scatter"`
}

// Found is what a method found.
type Found struct {
	Results  []Result  `json:"results" doc:"the figures found"`
	Readings []Reading `json:"readings" doc:"every reading, with what the fit makes of it; none is left out"`
	Lines    []Line    `json:"lines" doc:"the fit, to be drawn"`
	Scatter  Scatter   `json:"scatter" doc:"how the readings agree with the stated errors"`
	Notes    []string  `json:"notes" doc:"what to know about this answer"`
}

// Get returns the first result of that name.
func (f Found) Get(n Name) (Result, bool) {
	for _, r := range f.Results {
		if r.Name == n {
			return r, true
		}
	}
	return Result{}, false
}

// All returns all results of that name, such as the shift of every stop.
func (f Found) All(n Name) []Result {
	var out []Result
	for _, r := range f.Results {
		if r.Name == n {
			out = append(out, r)
		}
	}
	return out
}

// ReadFound reads back an answer of the reckoning "bench".
func ReadFound(answer string) (Found, error) {
	var f Found
	if err := json.Unmarshal([]byte(answer), &f); err != nil {
		return Found{}, fmt.Errorf("this is no answer of the bench: %w", err)
	}
	if f.Results == nil {
		return Found{}, fmt.Errorf("this is no answer of the bench: it has no results")
	}
	return f, nil
}

// FieldError says which key of a method is wrong, and how.
type FieldError struct {
	Field   string // as in the question, list places in brackets: "readings[1].magnification"
	Message string // what was given, what is allowed, what would make it possible
}

func (e *FieldError) Error() string { return e.Field + ": " + e.Message }

func refuse(field, format string, args ...any) error {
	return &FieldError{Field: field, Message: fmt.Sprintf(format, args...)}
}
