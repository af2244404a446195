package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"time"
	"unicode"

	"platewright/measure"
	"platewright/reckon"
)

// limit writes an end of a range as a person reads it, on the inner side of it: what is shown can be
// typed and is taken. up says that the inner side is the larger one.
type limit func(v float64, up bool) string

// outOfRange says what was given, and the limit it passes.
func outOfRange(given string, got, low, high float64, write limit) string {
	if got < low {
		return given + "; the least is " + write(low, true)
	}
	return given + "; the most is " + write(high, false)
}

// beyond says of a field's figure, as it was typed, which limit it passes.
func (f *form) beyond(typed string, re *measure.RangeError) string {
	write := f.limitIn(re.Unit)
	if re.Unit == "mm" && bare(typed) {
		typed = measure.Thin(measure.Length(re.Got).Format(f.sys))
	}
	if re.What == "width" || re.What == "height" {
		typed = fmt.Sprintf("%s, a %s of %s", typed, re.What, measure.Thin(measure.Length(re.Got).Format(f.sys)))
	}
	return outOfRange(typed, re.Got, re.Low, re.High, write)
}

// limitIn writes limits of quantities that a range error gives in this unit.
func (f *form) limitIn(unit string) limit {
	switch unit {
	case "mm":
		return f.lengthLimit
	case "s":
		return func(v float64, _ bool) string {
			return measure.Thin(measure.FormatExposure(time.Duration(math.Round(v * float64(time.Second)))))
		}
	case "ml":
		return func(v float64, _ bool) string { return measure.Thin(measure.Volume(v).Format(f.sys)) }
	}
	return func(v float64, _ bool) string { return measure.Thin(strings.TrimSpace(figureOf(v, 6) + " " + unit)) }
}

// lengthLimit writes a limit of a length to the millimetre, or the sixteenth of an inch; short ones to
// a tenth of a millimetre.
func (f *form) lengthLimit(v float64, up bool) string {
	step := 1.0
	switch {
	case f.sys == measure.Metric && v < 10, f.sys != measure.Metric && v < float64(measure.Inch)/2:
		step = 0.1
	case f.sys != measure.Metric:
		step = float64(measure.Inch) / 16
	}
	n := math.Floor(v/step + 1e-9)
	if up {
		n = math.Ceil(v/step - 1e-9)
	}
	return measure.Thin(measure.Length(n * step).Format(f.sys))
}

// bare tells whether a figure was typed without its unit.
func bare(typed string) bool {
	last := strings.TrimSpace(typed)
	return last != "" && unicode.IsNumber([]rune(last)[len([]rune(last))-1])
}

// refusedFigure says of a figure that a reckoning refused which limit it passes; ok is false when it
// was not refused for that.
func (f *form) refusedFigure(r *reckon.Reckoning, refused *reckon.FieldError, field string, question map[string]any) (said string, ok bool) {
	got, isFigure := question[refused.Field].(float64)
	if !isFigure {
		return "", false
	}
	var low, high float64
	var re *measure.RangeError
	place := false // whether the limits are those the other figures leave
	if errors.As(refused, &re) {
		low, high, place = re.Low, re.High, true
	} else if i := slices.IndexFunc(r.Fields, func(k reckon.Field) bool { return k.Key == refused.Field }); i >= 0 && r.Fields[i].Range != nil {
		low, high = r.Fields[i].Range.Low, r.Fields[i].Range.High
		// The end of the field's own range may be out of what the other figures leave: those limits count.
		at := maps.Clone(question)
		at[refused.Field] = min(max(got, low), high)
		if nearer := askedAgain(r, at); nearer != nil {
			low, high, place = nearer.Low, nearer.High, true
		}
	}
	if low <= got && got <= high {
		return "", false
	}
	typed := f.text(field)
	long := func(key float64) string { return measure.Thin(measure.Length(key).Format(f.sys)) }
	switch refused.Field {
	case "distance_mm", "frame_height_mm":
		given := typed
		if bare(typed) {
			given = long(got)
		}
		said = outOfRange(given, got, low, high, f.lengthLimit)
		focal, _ := question["focal_mm"].(float64)
		if side := f.longSide(question); place && refused.Field == "frame_height_mm" && side > 0 {
			said += " on a plate with a long side of " + long(side)
		} else if place && focal > 0 {
			said += " with a focal length of " + long(focal)
		}
		if larger, unit := f.larger(got); bare(typed) && got < low && larger >= low && larger <= high {
			said += "; for " + unit + " write " + typed + " " + map[string]string{"metres": "m", "feet": "ft"}[unit]
		}
	case "magnification":
		said = outOfRange(typed, got, low, high, func(v float64, _ bool) string { return ratioText(v) })
	case "incident_lx":
		said = outOfRange(typed, got, low, high, func(v float64, _ bool) string { return measure.Thin(measure.Lux(v).String()) })
	case "ev100", "exposure_index":
		said = outOfRange(typed, got, low, high, f.limitIn(""))
	default:
		said = outOfRange(keyWords.Replace(refused.Field+" is")+" "+figureOf(got, 3), got, low, high, f.limitIn(""))
	}
	return said, true
}

// askedAgain is the range that a question is out of; nil when it is answered.
func askedAgain(r *reckon.Reckoning, question map[string]any) *measure.RangeError {
	text, err := json.Marshal(question)
	if err == nil {
		_, err = r.Answer(text)
	}
	var re *measure.RangeError
	if errors.As(err, &re) {
		return re
	}
	return nil
}

// longSide is the long side of the plate a question is about; 0 when it is about none.
func (f *form) longSide(question map[string]any) float64 {
	plate, _ := question["plate"].(map[string]any)
	width, _ := plate["width_mm"].(float64)
	height, _ := plate["height_mm"].(float64)
	return max(width, height)
}

// larger is what a bare length would be in the unit one says distances in.
func (f *form) larger(mm float64) (float64, string) {
	if f.sys == measure.Metric {
		return mm * float64(measure.Metre), "metres"
	}
	return mm / float64(measure.Inch) * float64(measure.Foot), "feet"
}

// ratioText writes a magnification as the image's size to the sitter's: 1 : 3, or 2 : 1.
func ratioText(m float64) string {
	if m > 1 {
		return figureOf(m, 3) + " : 1"
	}
	return "1 : " + figureOf(1/m, 3)
}
