package web_test

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"platewright/internal/studio"
)

// A step's time and figures can be corrected by a form that holds what stands; what stood before stays
// readable, struck through.
func TestStepIsCorrected(t *testing.T) {
	s := storeWith(t, nil)
	id := s.record(t, s.plate, studio.Exposed, studio.Detail{ExposureS: 4})
	was := s.story(t).Standing(studio.Exposed).At.In(s.loc)
	page := s.get(t, s.at("?correct="+string(id)))
	for name, want := range map[string]string{"at": was.Format("2006-01-02 15:04:05"), "seconds": "4", "corrects": string(id)} {
		if got, _ := kept(find(page, with("id", "correct"))[0], name); got != want {
			t.Errorf("the form shows %s as %q, want %q", name, got, want)
		}
	}
	form := values("id", "mend-id-0001", "corrects", string(id), "amend", "yes", "at", was.Format("2006-01-02 15:04:05"), "seconds", "4")
	for name, value := range map[string]string{"at": "", "seconds": "-3"} {
		back := find(document(t, s.post(t, s.at("/corrections"), but(form, name, value), http.StatusUnprocessableEntity)), with("id", "correct"))[0]
		if _, problem := kept(back, name); problem == "" {
			t.Errorf("%s=%q: nothing is said at the field", name, value)
		}
		for field := range form {
			if got, _ := kept(back, field); field != "amend" && got != but(form, name, value).Get(field) {
				t.Errorf("%s=%q: %s shows %q", name, value, field, got)
			}
		}
	}
	for at, why := range map[string]string{"half past": "is not understood", "14:61": "61 minutes", "14:20:75": "75 seconds", "Smarch 14:20": "day", "2031-01-01 10:00": "ahead",
		was.Format("15:04:05"): "nothing to correct"} {
		if got := mainWords(document(t, s.post(t, s.at("/corrections"), but(form, "at", at), http.StatusUnprocessableEntity))); !strings.Contains(got, why) {
			t.Errorf("corrected to %q: the page does not say %q: %.400s", at, why, got)
		}
	}
	first := but(but(form, "seconds", "6"), "at", was.Add(-2*time.Minute).Format("15:04:05"))
	s.post(t, s.at("/corrections"), first, http.StatusSeeOther)
	s.post(t, s.at("/corrections"), first, http.StatusSeeOther) // sent twice
	s.post(t, s.at("/corrections"), but(but(form, "id", "mend-id-0002"), "seconds", "7"), http.StatusSeeOther)
	e := s.story(t).Standing(studio.Exposed)
	if e.Detail.ExposureS != 7 || !e.At.Equal(was.Truncate(time.Second)) {
		t.Errorf("after two corrections %v at %v stand, want 7 s at %v", e.Detail.ExposureS, e.At, was)
	}
	var struck []string
	for _, was := range find(find(s.get(t, s.at("")), with("class", "story-table"))[0], tag("s")) {
		struck = append(struck, words(was))
	}
	if len(struck) != 2 || !strings.Contains(struck[0], "exposed, 4\u2009s") && !strings.Contains(struck[0], "exposed, 4 s") || !strings.Contains(struck[1], "6") {
		t.Errorf("struck through are %q, want the exposures of 4 and of 6 s", struck)
	}
	s.post(t, s.at("/corrections"), but(but(form, "id", "mend-id-0003"), "corrects", "no-such-step"), http.StatusUnprocessableEntity)
}

// A step nobody recorded is added with its time; one that stands is refused, and one voided can be
// given again.
func TestForgottenStepIsAdded(t *testing.T) {
	s := storeWith(t, nil)
	voided := s.record(t, s.plate, studio.Exposed, studio.Detail{ExposureS: 4})
	s.record(t, s.plate, studio.DeveloperOn, studio.Detail{})
	form := values("id", "step-id-0001", "kind", "exposed", "at", "2026-11-24 10:20:30", "seconds", "5")
	said := mainWords(document(t, s.post(t, s.at("/steps"), form, http.StatusUnprocessableEntity)))
	if !strings.Contains(said, "exposed stands already") {
		t.Errorf("a step that stands is refused with %.400s", said)
	}
	s.post(t, s.at("/corrections"), values("id", "void-id-0001", "corrects", string(voided), "void", "yes"), http.StatusSeeOther)
	for name, value := range map[string]string{"kind": "", "at": "", "temperature": "20"} {
		s.spoilt(t, "/steps", form, name, value)
	}
	s.post(t, s.at("/steps"), but(form, "kind", "judged"), http.StatusUnprocessableEntity)
	s.post(t, s.at("/steps"), form, http.StatusSeeOther)
	e := s.story(t).Standing(studio.Exposed)
	if want := time.Date(2026, 11, 24, 10, 20, 30, 0, s.loc); e.ID != "step-id-0001" || e.Detail.ExposureS != 5 || !e.At.Equal(want) {
		t.Errorf("the exposure that stands is %+v, want 5 s at %v", e, want)
	}
	// Without a day the step belongs to the day of the last one.
	day := s.story(t).Standing(studio.DeveloperOn).At.In(s.loc)
	s.post(t, s.at("/steps"), values("id", "step-id-0002", "kind", "in bath", "at", "9:05", "temperature", "68 F"), http.StatusSeeOther)
	e = s.story(t).Standing(studio.InBath)
	// 68 degrees Fahrenheit are 20 degrees Celsius, by (F - 32) / 1.8 [SP811, B.8].
	if want := time.Date(day.Year(), day.Month(), day.Day(), 9, 5, 0, 0, s.loc); !e.At.Equal(want) || e.Detail.TemperatureC == nil || *e.Detail.TemperatureC < 19.999 || *e.Detail.TemperatureC > 20.001 {
		t.Errorf("in the bath at %v, %v, want %v and 20 °C", e.At, e.Detail.TemperatureC, want)
	}
	for _, step := range find(s.get(t, s.at("")), with("name", "kind")) {
		if v := attr(step, "value"); v == "exposed" || v == "in bath" || v == "poured" {
			t.Errorf("%s is offered though it stands", v)
		}
	}
}
