package web

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"time"

	"platewright/internal/studio"
	"platewright/internal/web/screens/darkroom"
	"platewright/internal/web/shared"
)

// darkroomRoutes registers the dark room and its clock.
func (s *Server) darkroomRoutes() {
	s.handle("GET /darkroom", s.darkroomHand)
	s.handle("GET /darkroom/{number}", s.darkroomClock)
	s.handle("POST /darkroom/{number}/step", s.darkroomStep)
	s.handle("POST /darkroom/{number}/undo", s.darkroomUndo)
	s.eventsRoutes()
}

// handMost is how many plates in hand one page lists.
const handMost = 40

// byForm is the device of what was recorded without a script.
const byForm = "a page without script"

// darkroomHand answers GET /darkroom: the plates in hand, newest first.
func (s *Server) darkroomHand(w http.ResponseWriter, r *http.Request) error {
	filter := studio.PlateFilter{Open: true, Most: handMost}
	if below := r.URL.Query().Get("below"); below != "" {
		n, err := studio.ParseNumber(below)
		if err != nil {
			return fmt.Errorf("%v: %w", err, studio.ErrNotFound)
		}
		filter.Below = n
	}
	page, err := s.cfg.Studio.Plates(r.Context(), filter)
	if err != nil {
		return err
	}
	here, err := s.studioKey(r.Context())
	if err != nil {
		return err
	}
	data := darkroom.HandData{Studio: here}
	for _, plate := range page.Rows {
		row, err := s.handRow(r.Context(), plate)
		if err != nil {
			return err
		}
		data.Rows = append(data.Rows, row)
	}
	if page.More {
		data.Older = shared.DarkRoom.Path() + "?below=" + page.Rows[len(page.Rows)-1].Number.String()
	}
	return s.show(w, r, shared.PageData{
		Room: shared.DarkRoom, Title: "Dark room", Styles: []string{"clock.css"}, Scripts: []string{"presses.js"},
	}, darkroom.Hand(data))
}

func (s *Server) handRow(ctx context.Context, plate studio.PlateRow) (darkroom.HandRow, error) {
	number := plate.Number.String()
	row := darkroom.HandRow{Number: number, Sitter: plate.SitterName, Href: shared.DarkRoom.Path() + "/" + number}
	for _, step := range studio.Steps(plate.Plan, studio.CommonTargets()) {
		if step.Event == plate.Next {
			row.Do = step.Do
		}
	}
	if plate.Last == "" {
		return row, nil
	}
	at := plate.ChangeAt.In(s.cfg.Location)
	row.Since = string(plate.Last) + " at " + at.Format("15:04")
	if !midnight(at).Equal(midnight(s.now())) {
		row.Since = string(plate.Last) + " on " + at.Format("2 January")
	}
	if !wet(plate.Summary) {
		return row, nil
	}
	story, err := s.cfg.Studio.Plate(ctx, plate.Number)
	if err != nil {
		return row, err
	}
	row.Wet = wetLeft(story, s.cfg.Clock())
	return row, nil
}

// darkroomClock answers GET /darkroom/{number}.
func (s *Server) darkroomClock(w http.ResponseWriter, r *http.Request) error {
	n, err := numberOf(r)
	if err != nil {
		return err
	}
	return s.showClock(w, r, n, clockShown{status: http.StatusOK})
}

// clockShown is how the clock is sent back: what was typed and what is said of it.
type clockShown struct {
	status int
	form   shared.Form
	notice shared.NoticeData
}

func (s *Server) showClock(w http.ResponseWriter, r *http.Request, n studio.Number, shown clockShown) error {
	story, err := s.cfg.Studio.Plate(r.Context(), n)
	if err != nil {
		return err
	}
	data, err := s.clockData(r.Context(), story)
	if err != nil {
		return err
	}
	data.Form, data.Notice = shown.form, shown.notice
	slip := s.plateSlip(r.Context(), story)
	// The clock itself says what is next and what is left, and goes on without the server.
	slip.Next, slip.NextHref, slip.Left = "", "", shared.Countdown{}
	known := slip.Known[:0:0]
	for _, fact := range slip.Known {
		if fact.Word != "Last" {
			known = append(known, fact)
		}
	}
	slip.Known = known
	return s.showStatus(w, r, shown.status, shared.PageData{
		Room: shared.DarkRoom, Title: "Plate " + n.String(), Slip: slip,
		Styles: []string{"clock.css"}, Scripts: []string{"presses.js", "clock.js"},
	}, darkroom.Clock(data))
}

// studioKey tells this studio from every other: the instant it was begun.
func (s *Server) studioKey(ctx context.Context) (string, error) {
	p, err := s.cfg.Studio.Profile(ctx)
	if err != nil {
		return "", err
	}
	return strconv.FormatInt(p.Created.UnixMicro(), 36), nil
}

// clockData is everything the clock of a plate shows, as it stands now.
func (s *Server) clockData(ctx context.Context, story studio.Story) (darkroom.ClockData, error) {
	now, targets := s.now(), studio.CommonTargets()
	answer, err := json.Marshal(s.plateAnswerOf(story))
	if err != nil {
		return darkroom.ClockData{}, fmt.Errorf("write plate %s down: %w", story.Number, err)
	}
	here, err := s.studioKey(ctx)
	if err != nil {
		return darkroom.ClockData{}, err
	}
	_, zone := now.Zone()
	d := darkroom.ClockData{
		Studio: here,
		Number: story.Number.String(), Plate: string(answer), ZoneS: zone, WetMS: targets.Wet.Milliseconds(),
		Now: string(story.Next), StepID: s.cfg.Studio.NewID(),
	}
	if d.Now == "" {
		d.Now = darkroom.Finished
	}
	if story.Sitter != nil {
		d.Sitter = story.Sitter.Name
	}
	with, err := s.stepsWith(ctx, story.Plan)
	if err != nil {
		return d, err
	}
	for _, step := range studio.Steps(story.Plan, targets) {
		c := darkroom.ClockStep{Step: step, With: with[step.Event]}
		if done := story.Standing(step.Event); done.ID != "" {
			c.Taken = done.At.In(s.cfg.Location).Format("15:04:05")
			c.Took = stepTook(c, done, story)
		}
		d.Steps = append(d.Steps, c)
		if step.Event == story.Next {
			d.Count, d.Due, d.Wet = stepCount(c, story, now)
		}
	}
	if last, ok := story.LastStep(); ok {
		d.Undo = darkroom.UndoData{ID: s.cfg.Studio.NewID(), Corrects: last.ID, Word: string(last.Kind)}
	}
	return d, nil
}

// stepTook says how long a step taken was after the event it is counted from.
func stepTook(c darkroom.ClockStep, done studio.Event, story studio.Story) string {
	if c.Event == studio.Exposed {
		if done.Detail.ExposureS == 0 {
			return "not counted"
		}
		return c.Span(time.Duration(done.Detail.ExposureS * float64(time.Second)))
	}
	since := story.Standing(c.Since)
	if since.ID == "" {
		return ""
	}
	took := done.At.Sub(since.At)
	return "after " + darkroom.Minutes(max(took, 0)) + c.Off(took)
}

// stepCount is the count of the step to take now, what it stands at, and the wet time left.
func stepCount(c darkroom.ClockStep, story studio.Story, now time.Time) (count, due, wetSaid string) {
	if left := wetLeft(story, now); left.Of != "" {
		wetSaid = left.Text()
	}
	if c.Event == studio.Exposed && c.After > 0 {
		return c.Span(c.After), "", wetSaid
	}
	since := story.Standing(c.Since)
	if since.ID == "" {
		return "", "", wetSaid
	}
	if wetSaid == "" {
		due = c.Against(now.Sub(since.At))
	}
	return c.Figures(now.Sub(since.At)), due, wetSaid
}

// stepsWith names the bottle or the holder of the steps that need one.
func (s *Server) stepsWith(ctx context.Context, plan studio.Plan) (map[studio.EventKind]string, error) {
	with := map[studio.EventKind]string{}
	for kind, id := range map[studio.EventKind]studio.ID{
		studio.Poured: plan.Collodion, studio.InBath: plan.Bath, studio.DeveloperOn: plan.Developer,
		studio.Fixed: plan.Fixer, studio.Varnished: plan.Varnish,
	} {
		if id == "" {
			continue
		}
		batch, err := s.cfg.Studio.Batch(ctx, id)
		if err != nil {
			return nil, fmt.Errorf("batch of a plate: %w", err)
		}
		with[kind] = batch.Name
	}
	if plan.Holder != "" {
		holder, err := s.cfg.Studio.Holder(ctx, plan.Holder)
		if err != nil {
			return nil, fmt.Errorf("holder of a plate: %w", err)
		}
		with[studio.Loaded] = holder.Name
	}
	return with, nil
}

// darkroomStep answers POST /darkroom/{number}/step: the step a page without script records.
func (s *Server) darkroomStep(w http.ResponseWriter, r *http.Request) error {
	f, err := s.readForm(r)
	if err != nil {
		return err
	}
	e := studio.Event{ID: f.id("id"), Kind: studio.EventKind(f.text("kind")), Device: byForm}
	if e.Kind == studio.Exposed {
		e.Detail.ExposureS = f.exposure("seconds").Seconds()
	}
	return s.recordByForm(w, r, f, e)
}

// darkroomUndo answers POST /darkroom/{number}/undo: it voids the step the form names, or else the
// last one.
func (s *Server) darkroomUndo(w http.ResponseWriter, r *http.Request) error {
	f, err := s.readForm(r)
	if err != nil {
		return err
	}
	e := studio.Event{ID: f.id("id"), Kind: studio.Corrected, Corrects: f.id("corrects"), Device: byForm, Detail: studio.Detail{Void: true}}
	if e.ID == "" {
		e.ID = s.cfg.Studio.NewID()
	}
	if e.Corrects == "" {
		n, err := numberOf(r)
		if err != nil {
			return err
		}
		story, err := s.cfg.Studio.Plate(r.Context(), n)
		if err != nil {
			return err
		}
		last, ok := story.LastStep()
		if !ok {
			return s.showClock(w, r, n, clockShown{status: http.StatusUnprocessableEntity,
				notice: shared.NoticeData{Kind: shared.Refused, Text: "No step was taken yet, so there is none to undo."}})
		}
		e.Corrects = last.ID
	}
	return s.recordByForm(w, r, f, e)
}

// recordByForm records an event and leads back to the clock, or sends the clock back with what was
// refused.
func (s *Server) recordByForm(w http.ResponseWriter, r *http.Request, f *form, e studio.Event) error {
	n, err := numberOf(r)
	if err != nil {
		return err
	}
	e.At = s.cfg.Clock()
	if text := f.text("at"); text != "" {
		at, err := time.Parse(time.RFC3339, text)
		if err != nil {
			f.refuse("at", "%q is not a time as 2026-11-24T14:02:10Z", text)
		}
		e.At = at
	}
	if f.OK() {
		_, err = s.cfg.Studio.Record(r.Context(), n, e)
		var done *studio.AlreadyDone
		if errors.As(err, &done) {
			return s.showClock(w, r, n, clockShown{status: http.StatusConflict,
				notice: shared.NoticeData{Kind: shared.Refused, Text: s.alreadySentence(done)}})
		}
		if err := f.take(err, map[string]string{"exposure_s": "seconds"}); err != nil {
			return err
		}
	}
	if f.OK() {
		http.Redirect(w, r, shared.DarkRoom.Path()+"/"+n.String(), http.StatusSeeOther)
		return nil
	}
	shown := clockShown{status: http.StatusUnprocessableEntity, form: f.Form}
	for _, p := range f.Problems {
		if p.Field != "seconds" {
			shown.notice = shared.NoticeData{Kind: shared.Refused, Text: "Not recorded: " + p.Field + " " + p.Sentence + "."}
		}
	}
	return s.showClock(w, r, n, shown)
}
