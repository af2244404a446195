package studio

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"time"

	"platewright/measure"
)

// Support is what a plate is made of.
type Support string

// Supports of a positive.
const (
	BlackMetal Support = "blackened metal"
	ClearGlass Support = "clear glass"
	DarkGlass  Support = "dark glass"
)

// Supports lists them.
func Supports() []Support { return []Support{BlackMetal, ClearGlass, DarkGlass} }

// Number is a plate's number: the year it was begun and its place in that year, "26-0147".
type Number struct {
	Year   int // four figures
	Serial int // from 1
}

func (n Number) String() string { return fmt.Sprintf("%02d-%04d", n.Year%100, n.Serial) }

var numberForm = regexp.MustCompile(`^([0-9]{2})-([0-9]{4,7})$`)

// ParseNumber reads a plate number as it stands on a slip. Two figures of a year stand for 2000
// to 2099.
func ParseNumber(s string) (Number, error) {
	m := numberForm.FindStringSubmatch(s)
	if m == nil {
		return Number{}, fmt.Errorf("plate number %q is not of the form 26-0147", s)
	}
	year, errYear := strconv.Atoi(m[1])
	serial, errSerial := strconv.Atoi(m[2])
	if errYear != nil || errSerial != nil || serial == 0 {
		return Number{}, fmt.Errorf("plate number %q is not of the form 26-0147", s)
	}
	return Number{Year: 2000 + year, Serial: serial}, nil
}

// Plan is how a plate is meant to be made. Ids may be empty where nothing was chosen; the figures
// are those the reckonings gave when the plan was made.
type Plan struct {
	Sitting       ID
	Size          measure.PlateSize
	Support       Support
	Lens          ID
	Stop          Stop
	Camera        ID
	Holder        ID
	Distance      measure.Length // front principal plane to the sitter's eye plane
	Magnification float64
	Extension     measure.Length // rear principal plane to plate
	Depth         measure.Length // total depth of what is sharp; 0 when it reaches infinity
	BlurLimit     measure.Length
	Exposure      time.Duration
	Light         string // where the light comes from, in the operator's words
	Collodion     ID     // batches
	Bath          ID
	Developer     ID
	Fixer         ID
	Varnish       ID
	Note          string
	Setting       Setting // of camera and sitter
	Lighting      Lighting
}

func (p Plan) check() error {
	var ps problems
	ps.size("size", p.Size)
	known := false
	for _, s := range Supports() {
		known = known || s == p.Support
	}
	if !known {
		ps.add("support", "%q is not known; blackened metal, clear glass or dark glass is", p.Support)
	}
	if p.Lens != "" {
		ps.within("stop", measure.Within("stop", float64(p.Stop.FNumber), 0.5, 256, ""))
		ps.within("distance_mm", measure.Within("distance", float64(p.Distance), 10, 1e6, "mm"))
		ps.within("magnification", measure.Within("magnification", p.Magnification, 1e-4, 20, ""))
	}
	for _, l := range []struct {
		field, what string
		length      measure.Length
	}{{"extension_mm", "extension", p.Extension}, {"depth_mm", "depth", p.Depth}, {"blur_mm", "blur", p.BlurLimit}} {
		ps.within(l.field, measure.Within(l.what, float64(l.length), 0, math.MaxFloat64, "mm"))
	}
	if p.Exposure < 0 || p.Exposure > longestExposure {
		ps.add("seconds", "%s; the most that can be planned is %s", measure.FormatExposure(p.Exposure), measure.FormatExposure(longestExposure))
	}
	ps.text("light", p.Light, 400)
	ps.text("note", p.Note, 4000)
	p.Setting.check(&ps)
	p.Lighting.check(&ps)
	return ps.err()
}

// Plate is a plate from its planning on. Everything that happened to it is in its events.
type Plate struct {
	ID     ID
	Number Number
	Plan   Plan
	Stamp
}

// PlateRow is what a list shows of a plate: the plate with what its events come to.
type PlateRow struct {
	Plate
	Summary
	SitterName string
}

// Story is a plate with all its events, in the order they were received, and what they come to.
type Story struct {
	Plate
	Events []Event
	Summary
	Sitting *Sitting // nil when the plate belongs to none
	Sitter  *Sitter  // nil when the plate belongs to none
}
