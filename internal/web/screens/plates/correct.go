package plates

import (
	"platewright/internal/studio"
	"platewright/internal/web/shared"
)

// Figures are what can be known of a step beside its time.
type Figures struct{ Seconds, Temperature, FirstImage bool }

// FiguresOf tells which of them a step of this kind has.
func FiguresOf(kind studio.EventKind) Figures {
	return Figures{
		Seconds:     kind == studio.Exposed,
		Temperature: kind == studio.InBath || kind == studio.DeveloperOn,
		FirstImage:  kind == studio.DeveloperOff,
	}
}

// IsStep tells whether only one event of the kind may stand.
func IsStep(kind studio.EventKind) bool {
	for _, s := range studio.Steps(studio.Plan{}, studio.CommonTargets()) {
		if s.Event == kind {
			return true
		}
	}
	return false
}

// Correcting is a step about to be corrected.
type Correcting struct {
	Event, What string
	Has         Figures
}

// CorrectingOf is the form's head for a step as it stands.
func CorrectingOf(e studio.Event, h Habits) *Correcting {
	return &Correcting{Event: string(e.ID), What: eventText(e) + ", " + moment(e.At, h), Has: FiguresOf(e.Kind)}
}

// missing are the steps that do not stand, in the order of the clock.
func missing(story studio.Story) []shared.Option {
	var all []shared.Option
	for _, s := range studio.Steps(story.Plan, studio.CommonTargets()) {
		if story.Standing(s.Event).ID == "" {
			all = append(all, shared.Option{Value: string(s.Event), Word: capital(string(s.Event))})
		}
	}
	return all
}

// earlier are the forms an event had before the one that stands, the first first.
func earlier(story studio.Story, now studio.Event, h Habits) []string {
	var all []string
	say := func(e studio.Event) {
		text := eventText(e) + ", " + moment(e.At, h)
		if len(all) == 0 || all[len(all)-1] != text {
			all = append(all, text)
		}
	}
	for _, e := range story.Events {
		switch {
		case e.ID == now.ID:
			say(e)
		case e.Kind == studio.Corrected && e.Corrects == now.ID && e.Detail.Instead != nil:
			was := now
			was.At, was.Detail = e.Detail.Instead.At, e.Detail.Instead.Detail
			say(was)
		}
	}
	if n := len(all); n > 0 && all[n-1] == eventText(now)+", "+moment(now.At, h) {
		all = all[:n-1]
	}
	return all
}
