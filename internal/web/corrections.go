package web

import (
	"errors"
	"fmt"
	"net/http"
	"regexp"
	"strconv"
	"strings"
	"time"

	"platewright/internal/studio"
	"platewright/internal/web/screens/plates"
	"platewright/internal/web/shared"
	"platewright/measure"
)

// stepFigures are the studio's names of what a step's form asks for, to the form's own.
var stepFigures = map[string]string{"instead.at": "at", "exposure_s": "seconds", "temperature_c": "temperature", "first_image_s": "first_image"}

// correct answers POST /plates/{number}/corrections: an event is voided, one voided by mistake stands
// again as it last stood, or a step gets the time and the figures it should have had.
func (s *Server) correct(w http.ResponseWriter, r *http.Request) error {
	story, err := s.storyOf(r)
	if err != nil {
		return err
	}
	f, err := s.readForm(r)
	if err != nil {
		return err
	}
	e := studio.Event{ID: f.id("id"), Kind: studio.Corrected, At: s.cfg.Clock(), Device: pageDevice, Corrects: f.id("corrects"),
		Detail: studio.Detail{Void: f.checked("void")}}
	if f.checked("amend") && !e.Detail.Void {
		return s.amend(w, r, story, f, e)
	}
	if f.checked("restore") && !e.Detail.Void {
		for _, old := range story.Events {
			switch {
			case old.ID == e.Corrects:
				e.Detail.Instead = &studio.Instead{At: old.At, Detail: old.Detail}
			case old.Kind == studio.Corrected && old.Corrects == e.Corrects && old.Detail.Instead != nil:
				e.Detail.Instead = old.Detail.Instead
			}
		}
	}
	if _, err := s.cfg.Studio.Record(r.Context(), story.Number, e); err != nil {
		return err
	}
	http.Redirect(w, r, shared.PlateStore.Path()+"/"+story.Number.String(), http.StatusSeeOther)
	return nil
}

// amend corrects a step that stands; what was recorded stays in the plate's story.
func (s *Server) amend(w http.ResponseWriter, r *http.Request, story studio.Story, f *form, e studio.Event) error {
	if recorded(story, e.ID) { // sent twice
		http.Redirect(w, r, shared.PlateStore.Path()+"/"+story.Number.String()+"#story", http.StatusSeeOther)
		return nil
	}
	step, ok := standingStep(story, e.Corrects)
	if !ok {
		return &problem{status: http.StatusUnprocessableEntity, title: "Not a step",
			what: "What was to be corrected is no step of plate " + story.Number.String() + " that stands.", hint: "Load the plate again and look at its story."}
	}
	was := step.At.In(s.cfg.Location)
	f.need("at", "write it as "+was.Format("15:04:05"))
	instead := studio.Instead{At: f.stepTime("at", was), Detail: step.Detail}
	if instead.At.Equal(step.At.Truncate(time.Second)) {
		instead.At = step.At // left as it was shown, without its fraction
	}
	f.figuresOf(step.Kind, &instead.Detail)
	if f.OK() && instead.At.Equal(step.At) && sameFigures(instead.Detail, step.Detail) {
		f.refuse("at", "and all figures are as they stand; there is nothing to correct")
	}
	e.Detail.Instead = &instead
	if f.OK() {
		_, err := s.cfg.Studio.Record(r.Context(), story.Number, e)
		if err := f.take(err, stepFigures); err != nil {
			return err
		}
	}
	if !f.OK() {
		return s.showSheet(w, r, http.StatusUnprocessableEntity, story, plates.Forms{Correct: f.Form}, plates.IDs{Correct: string(e.ID), Corrects: e.Corrects})
	}
	http.Redirect(w, r, shared.PlateStore.Path()+"/"+story.Number.String()+"#story", http.StatusSeeOther)
	return nil
}

// addStep answers POST /plates/{number}/steps: a step nobody recorded as it was done, with its time.
func (s *Server) addStep(w http.ResponseWriter, r *http.Request) error {
	story, err := s.storyOf(r)
	if err != nil {
		return err
	}
	f, err := s.readForm(r)
	if err != nil {
		return err
	}
	f.Choices["kind"] = true
	day := s.now()
	if last, ok := story.LastStep(); ok {
		day = last.At.In(s.cfg.Location)
	}
	f.need("kind", "choose the step that was forgotten")
	f.need("at", "write it as "+day.Format("15:04:05"))
	e := studio.Event{ID: f.id("id"), Kind: studio.EventKind(f.text("kind")), At: f.stepTime("at", day), Device: pageDevice}
	if e.Kind != "" && !plates.IsStep(e.Kind) {
		f.refuse("kind", "%q is not a step of the clock", e.Kind)
	}
	f.figuresOf(e.Kind, &e.Detail)
	if f.OK() {
		_, err := s.cfg.Studio.Record(r.Context(), story.Number, e)
		var done *studio.AlreadyDone
		if errors.As(err, &done) {
			f.refuse("kind", "%s stands already, at %s; correct that one, or void it first", done.Kind, done.At.In(s.cfg.Location).Format("15:04:05"))
		} else if err := f.take(err, stepFigures); err != nil {
			return err
		}
	}
	if !f.OK() {
		return s.showSheet(w, r, http.StatusUnprocessableEntity, story, plates.Forms{Step: f.Form}, plates.IDs{Step: string(e.ID)})
	}
	http.Redirect(w, r, shared.PlateStore.Path()+"/"+story.Number.String()+"#story", http.StatusSeeOther)
	return nil
}

// standingStep is the step of that id as it stands after all corrections.
func standingStep(story studio.Story, id studio.ID) (studio.Event, bool) {
	for _, e := range studio.Stands(story.Events) {
		if e.ID == id && plates.IsStep(e.Kind) {
			return e, true
		}
	}
	return studio.Event{}, false
}

// stepTyped is a step as one would type it into its form.
func (s *Server) stepTyped(e studio.Event) map[string]string {
	figure := func(v float64) string {
		if v == 0 {
			return ""
		}
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	typed := map[string]string{"at": e.At.In(s.cfg.Location).Format(isoDay + " 15:04:05"), "seconds": figure(e.Detail.ExposureS), "first_image": figure(e.Detail.FirstImageS)}
	if t := e.Detail.TemperatureC; t != nil {
		typed["temperature"] = strconv.FormatFloat(float64(*t), 'f', -1, 64)
	}
	return typed
}

// figuresOf reads the figures that belong to a step of this kind and refuses those that do not. A
// figure left empty is not known.
func (f *form) figuresOf(kind studio.EventKind, d *studio.Detail) {
	has := plates.FiguresOf(kind)
	if has.Seconds {
		d.ExposureS = f.exposure("seconds").Seconds()
	}
	if has.FirstImage {
		d.FirstImageS = f.exposure("first_image").Seconds()
	}
	if has.Temperature {
		d.TemperatureC = nil
		if f.text("temperature") != "" {
			t := read(f, "temperature", measure.ParseTemperature, func(t measure.Celsius) string { return measure.Thin(t.String()) })
			d.TemperatureC = &t
		}
	}
	if kind == "" {
		return
	}
	for _, each := range []struct {
		name, of string
		belongs  bool
	}{
		{"seconds", "the exposure", has.Seconds}, {"first_image", "the end of the developer", has.FirstImage}, {"temperature", "the bath and the developer", has.Temperature},
	} {
		if !each.belongs && f.text(each.name) != "" {
			f.refuse(each.name, "belongs to %s alone; leave it empty for %q", each.of, kind)
		}
	}
}

// sameFigures tells whether two details of a step have the same figures.
func sameFigures(a, b studio.Detail) bool {
	sameWarmth := a.TemperatureC == nil && b.TemperatureC == nil || a.TemperatureC != nil && b.TemperatureC != nil && *a.TemperatureC == *b.TemperatureC
	return a.ExposureS == b.ExposureS && a.FirstImageS == b.FirstImageS && sameWarmth
}

// momentForm is a time of day to the second, with a day before it or without.
var momentForm = regexp.MustCompile(`^(?:(.*\S)[ ,]+)?(\d{1,2}:\d{2})(?::(\d{2}))?$`)

// stepTime reads when a step was done: 14:02:10 or 14:02, of the day given unless another stands before it.
func (f *form) stepTime(name string, day time.Time) time.Time {
	return read(f, name, func(s string) (time.Time, error) { return parseMoment(s, day, f.now) },
		func(t time.Time) string { return dayText(t) + t.Format(", 15:04:05") })
}

func parseMoment(s string, day, now time.Time) (time.Time, error) {
	m := momentForm.FindStringSubmatch(strings.TrimSpace(s))
	if m == nil || len(s) > 60 {
		return time.Time{}, fmt.Errorf("time %.60q is not understood; write it as %s or %s", s, day.Format("15:04:05"), day.Format(isoDay+" 15:04:05"))
	}
	if m[1] != "" {
		var err error
		if day, err = parseDay(m[1], now); err != nil {
			return time.Time{}, err
		}
	}
	h, err := parseHour(m[2])
	if err != nil {
		return time.Time{}, err
	}
	second := atoi(m[3])
	if second > 59 {
		return time.Time{}, fmt.Errorf("time %q has %d seconds; 0 to 59 are allowed", s, second)
	}
	at := time.Date(day.Year(), day.Month(), day.Day(), h.hour, h.minute, second, 0, day.Location())
	if at.Hour() != h.hour || at.Minute() != h.minute {
		return time.Time{}, fmt.Errorf("%s does not exist on %s: the clocks go forward over it", h, day.Format("2 January 2006"))
	}
	return at, nil
}
