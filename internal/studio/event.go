package studio

import (
	"regexp"
	"time"

	"platewright/measure"
)

// EventKind says what happened to a plate.
type EventKind string

// What can happen to a plate. The first ten are the steps of the clock, in their order.
const (
	Poured       EventKind = "poured"
	InBath       EventKind = "in bath"
	OutOfBath    EventKind = "out of bath"
	Loaded       EventKind = "loaded"
	Exposed      EventKind = "exposed"
	DeveloperOn  EventKind = "developer on"
	DeveloperOff EventKind = "developer off"
	Fixed        EventKind = "fixed"
	Washed       EventKind = "washed"
	Varnished    EventKind = "varnished"

	Judged    EventKind = "judged"
	Marked    EventKind = "marked"
	Copied    EventKind = "copied"
	Moved     EventKind = "moved"
	Delivered EventKind = "delivered"
	Noted     EventKind = "noted"
	Corrected EventKind = "corrected"
)

// Event is one thing that happened to a plate. It is never changed: a [Corrected] event says what
// was wrong with an earlier one.
type Event struct {
	ID       ID // made by the device, so that a repeat is harmless
	Plate    ID
	Kind     EventKind
	At       time.Time // by the device's clock
	Received time.Time // by the server's clock
	Device   string
	By       string // who, as the device was told; may be empty
	Corrects ID     // for Corrected: the event it speaks of
	Detail   Detail
}

// Detail is what there is to say of an event, by its kind; the rest is empty.
type Detail struct {
	ExposureS    float64          `json:"exposure_s,omitempty"`    // Exposed: seconds the cap was off
	FirstImageS  float64          `json:"first_image_s,omitempty"` // DeveloperOff: seconds to the first image
	TemperatureC *measure.Celsius `json:"temperature_c,omitempty"` // InBath, DeveloperOn: of bath or developer
	Verdict      *Verdict         `json:"verdict,omitempty"`       // Judged
	Mark         *Mark            `json:"mark,omitempty"`          // Marked
	Copy         *Copy            `json:"copy,omitempty"`          // Copied
	Place        string           `json:"place,omitempty"`         // Moved, Delivered: where to
	Words        string           `json:"words,omitempty"`         // anything the hand wants to say
	Void         bool             `json:"void,omitempty"`          // Corrected: it did not happen
	Instead      *Instead         `json:"instead,omitempty"`       // Corrected: what did happen
}

// Instead replaces the time and detail of the event a correction speaks of.
type Instead struct {
	At     time.Time `json:"at"`
	Detail Detail    `json:"detail"`
}

// Fate is what becomes of a plate.
type Fate string

// Fates of a plate.
const (
	Keep   Fate = "keep"
	Redo   Fate = "redo"
	Reject Fate = "reject"
)

// Fates lists them.
func Fates() []Fate { return []Fate{Keep, Redo, Reject} }

// Verdict is the operator's word on a plate.
type Verdict struct {
	Word int    `json:"word"` // -3 much too dark to 3 much too light
	Fate Fate   `json:"fate"`
	Say  string `json:"say,omitempty"`
}

var verdictWords = [7]string{"much too dark", "too dark", "a little dark", "right", "a little light", "too light", "much too light"}

// VerdictWord returns the word for -3 to 3.
func VerdictWord(word int) string {
	if word < -3 || word > 3 {
		return ""
	}
	return verdictWords[word+3]
}

// Mark is a fault at a place on a plate, in hundredths of the plate's sides as the plate itself
// shows it: 0,0 is the upper left corner.
type Mark struct {
	Appearance string  `json:"appearance"`
	XPct       float64 `json:"x_pct"`
	YPct       float64 `json:"y_pct"`
	Say        string  `json:"say,omitempty"`
}

// Copy is a photograph of the plate, filed. The three pictures are named by their content.
type Copy struct {
	Original string `json:"original"` // as it came, untouched
	FileName string `json:"file_name"`
	TrueView string `json:"true_view"` // turned left for right, full size
	View     string `json:"view"`      // for the screen
	Thumb    string `json:"thumb"`     // for lists
	Format   string `json:"format"`
	WidthPx  int    `json:"width_px"`
	HeightPx int    `json:"height_px"`
	Turned   bool   `json:"turned"` // whether left and right were exchanged for the true view
}

var idForm = regexp.MustCompile(`^[A-Za-z0-9_-]{8,64}$`)

// latestAhead is how far a device's clock may run ahead of the server's before an event's time is
// refused; a day and a half covers every wrong time zone.
const latestAhead = 36 * time.Hour

func (e Event) check() error {
	var ps problems
	if !idForm.MatchString(string(e.ID)) {
		ps.add("id", "%q is not 8 to 64 letters, figures, dashes or underscores", e.ID)
	}
	ps.text("device", e.Device, 100)
	ps.text("by", e.By, 200)
	ps.moment("at", e.At, e.Received)
	if !e.Kind.known() {
		ps.add("kind", "%q is not known", e.Kind)
	}
	e.Detail.check(e.Kind, &ps)
	if e.Kind == Corrected && e.Corrects == "" {
		ps.add("corrects", "is empty; a correction names the event it speaks of")
	}
	if e.Kind == Corrected && e.Detail.Void == (e.Detail.Instead != nil) {
		ps.add("instead", "a correction says either what happened instead or that it did not happen")
	}
	if e.Kind == Corrected && !e.Detail.Void && e.Detail.Instead != nil {
		ps.moment("instead.at", e.Detail.Instead.At, e.Received)
	}
	return ps.err()
}

// moment looks a time over that a device gave.
func (ps *problems) moment(field string, at, received time.Time) {
	if at.Year() < 2000 {
		ps.add(field, "%s is before 2000-01-01; set the device's clock", at.Format(time.RFC3339))
	} else if at.Sub(received) > latestAhead {
		ps.add(field, "%s is more than %.0f hours ahead of this studio's clock; set the device's clock", at.Format(time.RFC3339), latestAhead.Hours())
	}
}

func (d Detail) check(kind EventKind, ps *problems) {
	for _, only := range []struct {
		field string
		given bool
		of    EventKind
	}{
		{"verdict", d.Verdict != nil, Judged}, {"mark", d.Mark != nil, Marked}, {"copy", d.Copy != nil, Copied},
		{"void", d.Void, Corrected}, {"instead", d.Instead != nil, Corrected},
	} {
		if only.given && kind != only.of {
			ps.add(only.field, "belongs to an event %q, and this one is %q", only.of, kind)
		}
	}
	ps.within("exposure_s", measure.Within("exposure", d.ExposureS, 0, 3600, "s"))
	ps.within("first_image_s", measure.Within("time to the first image", d.FirstImageS, 0, 600, "s"))
	if t := d.TemperatureC; t != nil {
		ps.within("temperature_c", measure.Within("temperature", float64(*t), -20, 60, "°C"))
	}
	switch {
	case kind == Judged && d.Verdict == nil:
		ps.add("verdict", "is missing")
	case kind == Judged:
		if VerdictWord(d.Verdict.Word) == "" {
			ps.add("verdict", "%d is outside -3 (much too dark) to 3 (much too light)", d.Verdict.Word)
		}
		switch d.Verdict.Fate {
		case Keep, Redo, Reject:
		default:
			ps.add("fate", "%q is not known; keep, redo or reject is", d.Verdict.Fate)
		}
		ps.text("say", d.Verdict.Say, 4000)
	case kind == Marked && d.Mark == nil:
		ps.add("mark", "is missing")
	case kind == Marked:
		ps.name("appearance", d.Mark.Appearance)
		ps.within("x_pct", measure.Within("place across", d.Mark.XPct, 0, 100, "%"))
		ps.within("y_pct", measure.Within("place down", d.Mark.YPct, 0, 100, "%"))
		ps.text("say", d.Mark.Say, 4000)
	case kind == Copied && (d.Copy == nil || d.Copy.Original == "" || d.Copy.TrueView == ""):
		ps.add("copy", "is missing its pictures")
	case kind == Copied:
		ps.text("photograph", d.Copy.FileName, 400)
	case (kind == Moved || kind == Delivered) && tidy(d.Place) == "":
		ps.add("place", "is empty; say where the plate went")
	case kind == Noted && tidy(d.Words) == "":
		ps.add("words", "are empty")
	}
	ps.text("place", d.Place, 400)
	ps.text("words", d.Words, 4000)
}

func (k EventKind) known() bool {
	switch k {
	case Judged, Marked, Copied, Moved, Delivered, Noted, Corrected:
		return true
	}
	return k.step() >= 0
}

// step returns the place of k among the steps of the clock, -1 for what is no step.
func (k EventKind) step() int {
	for i, s := range stepOrder {
		if s == k {
			return i
		}
	}
	return -1
}

var stepOrder = [...]EventKind{Poured, InBath, OutOfBath, Loaded, Exposed, DeveloperOn, DeveloperOff, Fixed, Washed, Varnished}
