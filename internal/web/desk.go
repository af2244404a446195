package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"platewright/internal/studio"
	"platewright/internal/web/screens/conflict"
	"platewright/internal/web/screens/desk"
	"platewright/internal/web/shared"
	"platewright/measure"
)

func (s *Server) deskRoutes() {
	s.handle("GET /desk", s.deskDay)
	s.handle("POST /desk/sittings", s.bookSitting)
	s.handle("GET /desk/sittings/{id}", s.sitting)
	s.handle("POST /desk/sittings/{id}", s.changeSitting)
	s.handle("GET /desk/sitters", s.sitters)
	s.handle("GET /desk/sitters/{id}", s.sitter)
	s.handle("POST /desk/sitters/{id}", s.changeSitter)
}

// deskPage is what the desk's screens have in common.
func deskPage(title, lead string) shared.PageData {
	return shared.PageData{Room: shared.Desk, Title: title, Lead: lead, Styles: []string{"desk.css"}}
}

// deskDay answers GET /desk, today or any day.
func (s *Server) deskDay(w http.ResponseWriter, r *http.Request) error {
	f, err := s.readQuery(r)
	if err != nil {
		return err
	}
	day := f.day("day")
	if !f.OK() {
		return &problem{status: http.StatusUnprocessableEntity, title: "No such day", what: f.Problem("day") + "."}
	}
	if day.IsZero() {
		day = midnight(f.now)
	}
	fresh := shared.NewForm(map[string]string{"day": day.Format(isoDay), "lasts": "1 h", "plates": "1"})
	return s.showDay(w, r, http.StatusOK, day, desk.Booking{Form: fresh, Of: f.text("booked"), Contact: f.text("contact")})
}

func (s *Server) showDay(w http.ResponseWriter, r *http.Request, status int, day time.Time, booking desk.Booking) error {
	ctx := r.Context()
	sittings, err := s.cfg.Studio.SittingsOn(ctx, day)
	if err != nil {
		return err
	}
	now := s.now()
	today := midnight(now).Equal(day)
	d := desk.Day{
		Previous: day.AddDate(0, 0, -1).Format(isoDay), Next: day.AddDate(0, 0, 1).Format(isoDay),
		Today: today, Booking: booking, Strip: desk.Strip{Now: -1},
	}
	if today {
		d.Strip.Now = hoursOf(now)
	}
	plates, coming := 0, 0
	for _, sitting := range sittings {
		sitter, err := s.cfg.Studio.Sitter(ctx, sitting.Sitter)
		if err != nil {
			return fmt.Errorf("sitter of sitting %s: %w", sitting.ID, err)
		}
		d.Sittings = append(d.Sittings, s.sittingLine(sitting, sitter))
		d.Strip.Bars = append(d.Strip.Bars, s.bar(sitting, sitter))
		if sitting.State != studio.CalledOff {
			plates += sitting.Plates
			coming++
		}
	}
	if booking.Of != "" {
		told, err := s.bookedNotice(ctx, studio.ID(booking.Of), booking.Contact)
		if err != nil {
			return err
		}
		d.Notices = append(d.Notices, told...)
	}
	clashes, err := s.clashes(ctx, day)
	if err != nil {
		return err
	}
	d.Notices = append(d.Notices, clashes...)
	said := "no sitting is booked"
	if coming > 0 {
		said = counted(coming, "sitting") + ", " + counted(plates, "plate") + " wanted"
	}
	d.Strip.Said = "The day as a strip of hours: " + said + "."
	lead := sentence(said)
	if today {
		lead = "Today. " + lead
	}
	d.Booking.Labels = map[string]string{"sitter_name": "Sitter", "size": "Plate size", "plates": "Plates wanted", "purpose": "For"}
	return s.showStatus(w, r, status, deskPage(day.Format("Monday, 2 January"), lead), desk.DayScreen(d))
}

// hoursOf is the time of day in hours since midnight, by the clock on the wall.
func hoursOf(t time.Time) float64 { return float64(t.Hour()) + float64(t.Minute())/60 }

// counted writes a number of things: "1 plate", "3 plates".
func counted(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return strconv.Itoa(n) + " " + thing + "s"
}

func (s *Server) bar(sitting studio.Sitting, sitter studio.Sitter) desk.Bar {
	at := sitting.At.In(s.cfg.Location)
	from := hoursOf(at)
	return desk.Bar{
		From: from, To: min(24, from+sitting.Lasts.Hours()), Name: sitter.Name, Plates: sitting.Plates,
		Width: float64(sitting.Size.Width), Height: float64(sitting.Size.Height), CalledOff: sitting.State == studio.CalledOff,
	}
}

// sittingLine is a sitting as lists show it.
func (s *Server) sittingLine(sitting studio.Sitting, sitter studio.Sitter) desk.Sitting {
	at := sitting.At.In(s.cfg.Location)
	line := desk.Sitting{
		Href: "/desk/sittings/" + string(sitting.ID), Day: shortDay(at, s.now()), Time: at.Format("15:04"),
		Sitter: sitter.Name, SitterHref: "/desk/sitters/" + string(sitter.ID), Purpose: sitting.Purpose,
		Plates: fmt.Sprintf("%d × %s", sitting.Plates, measure.Thin(sitting.Size.String())),
		Lasts:  measure.Thin(lastsText(sitting.Lasts)), State: string(sitting.State),
	}
	if sitting.State == studio.Booked || sitting.State == studio.Arrived {
		line.PlanHref = "/floor?sitting=" + string(sitting.ID)
	}
	return line
}

// sittingFields are the names the studio knows a sitting's fields by where the form has another.
var sittingFields = map[string]string{"at": "day", "sitter": "sitter_name", "sitter_contact": "contact"}

// readSitting reads what a form says of a sitting.
func (f *form) readSitting(r studio.Sitting) studio.Sitting {
	f.need("day", "write it as "+f.now.Format(isoDay))
	f.need("time", "write it as 14:30")
	f.need("lasts", "write it as 90 min or 1 h 30")
	f.need("size", "write it as half plate or 13x18 cm")
	f.need("plates", "write how many are wanted")
	r.At, r.Lasts, r.Size, r.Plates = f.moment("day", "time"), f.lasts("lasts"), f.plateSize("size"), f.count("plates")
	r.Purpose, r.Note = f.text("purpose"), f.text("note")
	return r
}

// check refuses all that is wrong with a sitting beside what could not be read: the first thing said
// of a field stands.
func (f *form) check(r studio.Sitting) error {
	err := r.Check()
	var invalid *studio.Invalid
	if errors.As(err, &invalid) && r.At.IsZero() { // of which day or hour says more already
		rest := studio.Invalid{}
		for _, p := range invalid.Problems {
			if p.Field != "at" {
				rest.Problems = append(rest.Problems, p)
			}
		}
		err = &rest
	}
	return f.take(err, sittingFields)
}

// bookSitting answers POST /desk/sittings.
func (s *Server) bookSitting(w http.ResponseWriter, r *http.Request) error {
	f, err := s.readForm(r)
	if err != nil {
		return err
	}
	f.need("sitter_name", "write the sitter's name")
	sitting := f.readSitting(studio.Sitting{})
	found, err := s.sitterMeant(r.Context(), f)
	if err != nil {
		return err
	}
	if err := f.check(sitting); err != nil {
		return err
	}
	if err := f.take(studio.Sitter{Name: f.text("sitter_name"), Contact: f.text("contact")}.Check(), map[string]string{"name": "sitter_name"}); err != nil {
		return err
	}
	again := func() error {
		day := f.day("day")
		if day.IsZero() {
			day = midnight(f.now)
		}
		return s.showDay(w, r, http.StatusUnprocessableEntity, day, desk.Booking{Form: f.Form, Found: found})
	}
	written := ""
	if f.OK() {
		written, err = s.keepContact(r.Context(), f, studio.ID(found.Chosen))
		if err := f.take(err, nil); err != nil {
			return err
		}
	}
	if f.OK() {
		sitting, err = s.book(r.Context(), f, sitting, studio.ID(found.Chosen))
		if err := f.take(err, sittingFields); err != nil {
			return err
		}
	}
	if !f.OK() {
		return again()
	}
	back := "/desk?day=" + sitting.At.In(s.cfg.Location).Format(isoDay) + "&booked=" + url.QueryEscape(string(sitting.ID))
	if written != "" {
		back += "&contact=" + written
	}
	http.Redirect(w, r, back, http.StatusSeeOther)
	return nil
}

// sitterMeant tells which sitter a booking form means: the one chosen, the only one of that very
// name, or someone new. Where several have the name it asks.
func (s *Server) sitterMeant(ctx context.Context, f *form) (desk.Found, error) {
	name := f.text("sitter_name")
	found, err := s.findSitters(ctx, name)
	if err != nil {
		return found, err
	}
	chosen := f.text("sitter")
	if chosen == "new" {
		found.Chosen = "new"
		return found, nil
	}
	if chosen != "" {
		_, err := s.cfg.Studio.Sitter(ctx, studio.ID(chosen))
		if errors.Is(err, studio.ErrNotFound) {
			f.refuse("sitter_name", "the sitter chosen is not among the studio's sitters any more")
		} else if err != nil {
			return found, err
		}
		found.Chosen = chosen
		return found, nil
	}
	same := 0
	for _, sitter := range found.Sitters {
		if strings.EqualFold(sitter.Name, strings.Join(strings.Fields(name), " ")) {
			same++
			found.Chosen = sitter.ID
		}
	}
	switch {
	case same == 0:
		found.Chosen = "new"
	case same > 1:
		found.Chosen, found.Problem = "", "choose one"
		f.refuse("sitter_name", "%d sitters are called %s; choose which below", same, name)
	}
	return found, nil
}

// findSitters lists the sitters whose names begin with what was typed, word by word.
func (s *Server) findSitters(ctx context.Context, typed string) (desk.Found, error) {
	found := desk.Found{Chosen: "new"}
	if len(typed) < 2 || len(typed) > 200 {
		return found, nil
	}
	hits, err := s.cfg.Studio.Search(ctx, studio.Query{Words: typed, Kinds: []string{"sitter"}, Most: 40})
	if err != nil {
		return found, err
	}
	for _, hit := range hits {
		if len(found.Sitters) == 8 {
			break
		}
		sitter, err := s.cfg.Studio.Sitter(ctx, studio.ID(hit.Ref))
		if errors.Is(err, studio.ErrNotFound) {
			continue
		}
		if err != nil {
			return found, err
		}
		found.Sitters = append(found.Sitters, sitterLine(sitter))
		if strings.EqualFold(sitter.Name, typed) {
			found.Chosen = string(sitter.ID)
		}
	}
	return found, nil
}

func sitterLine(sitter studio.Sitter) desk.Sitter {
	return desk.Sitter{ID: string(sitter.ID), Href: "/desk/sitters/" + string(sitter.ID), Name: sitter.Name, Contact: sitter.Contact, Note: sitter.Note}
}

// sitting answers GET /desk/sittings/{id}.
func (s *Server) sitting(w http.ResponseWriter, r *http.Request) error {
	sitting, err := s.cfg.Studio.Sitting(r.Context(), studio.ID(r.PathValue("id")))
	if err != nil {
		return err
	}
	return s.showSitting(w, r, http.StatusOK, sitting, shared.NewForm(s.sittingTyped(sitting)))
}

// sittingTyped is a sitting as one would type it.
func (s *Server) sittingTyped(sitting studio.Sitting) map[string]string {
	at := sitting.At.In(s.cfg.Location)
	return map[string]string{
		"sitter": string(sitting.Sitter), "day": at.Format(isoDay), "time": at.Format("15:04"), "lasts": lastsText(sitting.Lasts),
		"purpose": sitting.Purpose, "size": sitting.Size.String(), "plates": strconv.Itoa(sitting.Plates), "state": string(sitting.State),
		"note": sitting.Note, "version": strconv.Itoa(sitting.Version),
	}
}

// sittingLines are the fields of a sitting, for a conflict.
var sittingLines = []conflict.Field{
	{Name: "version"}, {Name: "sitter"}, {Name: "state", Label: "State"}, {Name: "day", Label: "Day"}, {Name: "time", Label: "Time"}, {Name: "lasts", Label: "Lasts"},
	{Name: "size", Label: "Plate size"}, {Name: "plates", Label: "Plates wanted"}, {Name: "purpose", Label: "For"}, {Name: "note", Label: "Note"},
}

func (s *Server) showSitting(w http.ResponseWriter, r *http.Request, status int, sitting studio.Sitting, f shared.Form) error {
	ctx := r.Context()
	sitter, err := s.cfg.Studio.Sitter(ctx, sitting.Sitter)
	if err != nil {
		return err
	}
	f.Labels = map[string]string{}
	for _, line := range sittingLines {
		f.Labels[line.Name] = line.Label
	}
	plates, err := s.platesOfSitting(ctx, sitting)
	if err != nil {
		return err
	}
	at := sitting.At.In(s.cfg.Location)
	screen := desk.OneSitting{
		Form: f, ID: string(sitting.ID), SitterID: string(sitting.Sitter), Sitter: sitter.Name,
		SitterHref: "/desk/sitters/" + string(sitter.ID), Day: "/desk?day=" + at.Format(isoDay), DayWord: dayText(at),
		State: string(sitting.State), Plates: plates, Note: sitting.Note,
	}
	for _, state := range studio.SittingStates() {
		screen.StatesInTheOrder = append(screen.StatesInTheOrder, string(state))
	}
	line := s.sittingLine(sitting, sitter)
	lead := strings.Join([]string{dayText(at), line.Time, line.Lasts, line.Plates}, ", ")
	if sitting.Purpose != "" {
		lead += ", for " + sitting.Purpose
	}
	page := deskPage(sitter.Name, lead+". "+sentence(line.State))
	page.Slip = s.sittingSlip(sitting, sitter)
	return s.showStatus(w, r, status, page, desk.SittingScreen(screen))
}

// platesOfSitting lists the plates of a sitting as lists show them.
func (s *Server) platesOfSitting(ctx context.Context, sitting studio.Sitting) ([]desk.Plate, error) {
	page, err := s.cfg.Studio.Plates(ctx, studio.PlateFilter{Sitting: sitting.ID, Most: 200})
	if err != nil {
		return nil, err
	}
	var list []desk.Plate
	for _, row := range page.Rows {
		p := desk.Plate{Number: row.Number.String(), Href: "/plates/" + row.Number.String(), Size: measure.Thin(row.Plan.Size.String()), State: row.State()}
		if row.PouredAt.IsZero() {
			p.Href = "/darkroom/" + row.Number.String()
		}
		if row.Plan.Exposure > 0 {
			p.Seconds = measure.Thin(measure.FormatExposure(row.Plan.Exposure))
		}
		list = append(list, p)
	}
	return list, nil
}

// changeSitting answers POST /desk/sittings/{id}.
func (s *Server) changeSitting(w http.ResponseWriter, r *http.Request) error {
	stored, err := s.cfg.Studio.Sitting(r.Context(), studio.ID(r.PathValue("id")))
	if err != nil {
		return err
	}
	f, err := s.readForm(r)
	if err != nil {
		return err
	}
	changed := f.readSitting(stored)
	changed.Version = f.version()
	changed.State = studio.SittingState(f.oneOf("state", statesAsText()...))
	if sitter := f.id("sitter"); sitter != "" {
		changed.Sitter = sitter
	}
	if err := f.check(changed); err != nil {
		return err
	}
	if f.OK() {
		_, err = s.cfg.Studio.ChangeSitting(r.Context(), changed)
		here := "/desk/sittings/" + string(stored.ID)
		if yours, theirs, ok := conflicting[studio.Sitting](err); ok {
			return s.showConflict(w, r, deskPage("A sitting in two forms", ""), conflict.Data{What: "sitting", Action: here, Back: here},
				sittingLines, s.sittingTyped(yours), s.sittingTyped(theirs))
		}
		if err := f.take(err, sittingFields); err != nil {
			return err
		}
	}
	if !f.OK() {
		return s.showSitting(w, r, http.StatusUnprocessableEntity, stored, f.Form)
	}
	http.Redirect(w, r, "/desk/sittings/"+string(stored.ID), http.StatusSeeOther)
	return nil
}

func statesAsText() []string {
	var all []string
	for _, state := range studio.SittingStates() {
		all = append(all, string(state))
	}
	return all
}

// sitters answers GET /desk/sitters: the list, or, for a script, those a typed name may mean.
func (s *Server) sitters(w http.ResponseWriter, r *http.Request) error {
	if fragment(r) && r.URL.Query().Has("sitter_name") {
		found, err := s.findSitters(r.Context(), strings.Join(strings.Fields(r.URL.Query().Get("sitter_name")), " "))
		if err != nil {
			return err
		}
		return s.render(w, r, http.StatusOK, shared.PageData{Title: "Sitters found"}, desk.FoundSitters(found))
	}
	all, err := s.cfg.Studio.Sitters(r.Context())
	if err != nil {
		return err
	}
	var list []desk.Sitter
	for _, sitter := range all {
		list = append(list, sitterLine(sitter))
	}
	return s.show(w, r, deskPage("Sitters", counted(len(list), "sitter")+"."), desk.Sitters(list))
}

// sitter answers GET /desk/sitters/{id}.
func (s *Server) sitter(w http.ResponseWriter, r *http.Request) error {
	sitter, err := s.cfg.Studio.Sitter(r.Context(), studio.ID(r.PathValue("id")))
	if err != nil {
		return err
	}
	return s.showSitter(w, r, http.StatusOK, sitter, shared.NewForm(sitterTyped(sitter)))
}

func sitterTyped(sitter studio.Sitter) map[string]string {
	return map[string]string{"name": sitter.Name, "contact": sitter.Contact, "note": sitter.Note, "version": strconv.Itoa(sitter.Version)}
}

var sitterLines = []conflict.Field{{Name: "version"}, {Name: "name", Label: "Name"}, {Name: "contact", Label: "Contact"}, {Name: "note", Label: "Note"}}

func (s *Server) showSitter(w http.ResponseWriter, r *http.Request, status int, sitter studio.Sitter, f shared.Form) error {
	ctx := r.Context()
	all, err := s.cfg.Studio.SittingsOf(ctx, sitter.ID)
	if err != nil {
		return err
	}
	screen := desk.OneSitter{Form: f, ID: string(sitter.ID)}
	for i := len(all) - 1; i >= 0; i-- {
		screen.Sittings = append(screen.Sittings, s.sittingLine(all[i], sitter))
		plates, err := s.platesOfSitting(ctx, all[i])
		if err != nil {
			return err
		}
		screen.Plates = append(screen.Plates, plates...)
	}
	lead := counted(len(screen.Sittings), "sitting") + ", " + counted(len(screen.Plates), "plate") + "."
	if sitter.Contact != "" {
		lead = sitter.Contact + ". " + lead
	}
	return s.showStatus(w, r, status, deskPage(sitter.Name, lead), desk.SitterScreen(screen))
}

// changeSitter answers POST /desk/sitters/{id}.
func (s *Server) changeSitter(w http.ResponseWriter, r *http.Request) error {
	stored, err := s.cfg.Studio.Sitter(r.Context(), studio.ID(r.PathValue("id")))
	if err != nil {
		return err
	}
	f, err := s.readForm(r)
	if err != nil {
		return err
	}
	changed := stored
	changed.Name, changed.Contact, changed.Note, changed.Version = f.text("name"), f.text("contact"), f.text("note"), f.version()
	here := "/desk/sitters/" + string(stored.ID)
	if f.OK() {
		_, err = s.cfg.Studio.ChangeSitter(r.Context(), changed)
		if yours, theirs, ok := conflicting[studio.Sitter](err); ok {
			return s.showConflict(w, r, deskPage("A sitter in two forms", ""), conflict.Data{What: "sitter", Action: here, Back: here},
				sitterLines, sitterTyped(yours), sitterTyped(theirs))
		}
		if err := f.take(err, nil); err != nil {
			return err
		}
	}
	if !f.OK() {
		return s.showSitter(w, r, http.StatusUnprocessableEntity, stored, f.Form)
	}
	http.Redirect(w, r, here, http.StatusSeeOther)
	return nil
}
