// Package darkroom holds the screens of the dark room: the plates in hand, and the clock of one
// plate. The clock is written once by the server with everything it may say; clock.js only chooses
// what is shown and counts, and presses.js hands presses over. Without the script the same page works by forms.
package darkroom

import (
	"embed"
	"fmt"
	"strconv"
	"strings"
	"time"

	"platewright/internal/studio"
	"platewright/internal/web/shared"
	"platewright/measure"
)

// Files are the style sheet and the scripts of these screens.
//
//go:embed clock.css clock.js presses.js
var Files embed.FS

// HandData is the list of plates in hand.
type HandData struct {
	Studio string // tells this studio's presses from another's on the same device
	Rows   []HandRow
	Older  string // address of the older plates; empty when there are none
}

// HandRow is one plate in hand.
type HandRow struct {
	Number, Sitter string
	Href           string
	Do             string // what is to be done now
	Since          string // "in bath since 14:02"; empty for a plate only planned
	Wet            shared.Countdown
}

// ClockData is the clock of one plate.
type ClockData struct {
	Studio         string // tells this studio's presses from another's on the same device
	Number, Sitter string
	Plate          string // the plate as the HTTP interface answers it, as JSON
	ZoneS          int    // seconds the studio's place is ahead of UTC
	WetMS          int64  // how long the film stays wet out of the bath
	Steps          []ClockStep
	Now            string // the key of what is shown: a step's event, or [Finished]
	Count          string // the count as this page was made; empty when nothing is counted
	Due            string // what the count is against, as this page was made
	Wet            string // what is left of the wet time, as this page was made
	Undo           UndoData
	StepID         studio.ID   // the id of the event the form will record
	Form           shared.Form // what was typed in the form; its field is seconds
	Notice         shared.NoticeData
}

// UndoData is the step that undoing takes back. The zero value is none.
type UndoData struct {
	ID       studio.ID // of the correction
	Corrects studio.ID
	Word     string
}

// ClockStep is a step with all the clock may say of it.
type ClockStep struct {
	studio.Step
	With string // the bottle or holder it is done with; may be empty
	// What was done; Taken is empty for a step not taken yet.
	Taken string // the time
	Took  string // how long after the event counted from, against the target
}

// Keys of what the clock shows beside the steps themselves.
const (
	CapOff   = "cap off" // the cap is off and the seconds run
	Finished = "finished"
)

// words of the button: what a press records.
var pressWords = map[studio.EventKind]string{
	studio.Poured:       "Poured",
	studio.InBath:       "In the bath",
	studio.OutOfBath:    "Out of the bath",
	studio.Loaded:       "Loaded",
	studio.Exposed:      "Exposed",
	studio.DeveloperOn:  "Developer on",
	studio.DeveloperOff: "Developer off",
	studio.Fixed:        "Fixed",
	studio.Washed:       "Washed",
	studio.Varnished:    "Varnished",
}

// PressWord is what a press at that step says it records.
func PressWord(kind studio.EventKind) string { return pressWords[kind] }

// InSeconds tells whether a step is counted in seconds rather than in minutes and seconds.
func (s ClockStep) InSeconds() bool {
	return s.Event == studio.Exposed || s.After > 0 && s.After <= time.Minute && s.Until <= 2*time.Minute
}

// Span writes a span as the step counts it: 45 s, 3:00.
func (s ClockStep) Span(d time.Duration) string {
	if s.Event == studio.Exposed {
		return measure.Thin(measure.FormatExposure(d))
	}
	return Minutes(d)
}

// Figures writes the count itself, its whole seconds counted from zero.
func (s ClockStep) Figures(d time.Duration) string {
	seconds := int64(max(d, 0) / time.Second)
	if s.InSeconds() && seconds < 100 {
		return strconv.FormatInt(seconds, 10)
	}
	return Minutes(time.Duration(seconds) * time.Second)
}

// Minutes writes a span as minutes and seconds, with hours when there are any: 0:34, 1:02:10.
func Minutes(d time.Duration) string {
	seconds := int64(d / time.Second)
	if seconds >= 3600 {
		return fmt.Sprintf("%d:%02d:%02d", seconds/3600, seconds/60%60, seconds%60)
	}
	return fmt.Sprintf("%d:%02d", seconds/60, seconds%60)
}

// Target is what the step's count runs against, in words.
func (s ClockStep) Target() string {
	switch {
	case s.Event == studio.Exposed && s.After > 0:
		return "planned " + s.Span(s.After)
	case s.Event == studio.Exposed:
		return "the hand decides"
	case s.After > 0 && s.Until > 0:
		return s.Span(s.After) + " to " + s.Span(s.Until)
	case s.After > 0:
		return "from " + s.Span(s.After)
	case s.Until > 0:
		return "before " + s.Span(s.Until)
	default:
		return "the hand decides"
	}
}

// Against says where a count stands against its target: "due in 0:21", "now", "late by 0:10".
func (s ClockStep) Against(d time.Duration) string {
	switch {
	case s.Until > 0 && d >= s.Until:
		return "late by " + Minutes(d-s.Until)
	case s.After > 0 && d < s.After:
		return "due in " + Minutes((s.After - d + time.Second - 1).Truncate(time.Second))
	case s.After > 0:
		return "due now"
	case s.Until > 0:
		return "within " + Minutes((s.Until - d + time.Second - 1).Truncate(time.Second))
	default:
		return ""
	}
}

// Off says how far a step taken was from its target, by the whole seconds it is shown with; empty
// when it was within.
func (s ClockStep) Off(d time.Duration) string {
	d = d.Truncate(time.Second)
	switch {
	case s.Until > 0 && d > s.Until:
		return ", late by " + Minutes(d-s.Until)
	case s.After > 0 && d < s.After:
		return ", early by " + Minutes(s.After-d)
	default:
		return ""
	}
}

// keys lists what a part of the clock belongs to, for the script to choose by.
func keys(all ...string) string { return strings.Join(all, "|") }

// shownFor tells whether a part is in sight as the page is made.
func (d ClockData) shownFor(all ...string) bool {
	for _, key := range all {
		if key == d.Now {
			return true
		}
	}
	return false
}

// step is the step shown now; nil at the end.
func (d ClockData) step() *ClockStep {
	for i := range d.Steps {
		if string(d.Steps[i].Event) == d.Now {
			return &d.Steps[i]
		}
	}
	return nil
}

// anyTaken tells whether a step was taken yet.
func (d ClockData) anyTaken() bool {
	for _, s := range d.Steps {
		if s.Taken != "" {
			return true
		}
	}
	return false
}

func ms(d time.Duration) string { return strconv.FormatInt(d.Milliseconds(), 10) }

// planned is the planned exposure as the count shows it before the cap comes off.
func (d ClockData) planned() string {
	for _, s := range d.Steps {
		if s.Event == studio.Exposed && s.After > 0 {
			return s.Span(s.After)
		}
	}
	return ""
}
