package web

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"platewright/internal/studio"
	"platewright/internal/web/screens/bench"
	"platewright/internal/web/screens/conflict"
	"platewright/internal/web/shared"
	"platewright/measure"
	fit "platewright/optics/bench"
)

func (s *Server) benchRoutes() {
	s.handle("GET /floor/bench", s.benchList)
	s.handle("GET /floor/bench/{lens}", s.benchOfLens)
	s.handle("GET /floor/bench/{lens}/sheet.pdf", s.lensSheet)
	s.handle("GET /floor/bench/{lens}/{method}", s.measureLens)
	s.handle("POST /floor/bench/{lens}/{method}", s.keepReading)
	s.handle("GET /floor/bench/{lens}/readings/{id}", s.showReading)
	s.handle("POST /floor/bench/{lens}/readings/{id}/withdraw", s.withdrawReading)
}

// onBench is a lens with all that was measured of it.
type onBench struct {
	lens     studio.Lens
	readings []studio.LensReading // in the order they were received, the withdrawn and the withdrawals too
	known    studio.LensKnown
	units    measure.System
	place    *time.Location
}

func (b onBench) path() string { return "/floor/bench/" + string(b.lens.ID) }

// benchLens is the lens a request names.
func (s *Server) benchLens(r *http.Request) (b onBench, err error) {
	if b.lens, err = s.cfg.Studio.Lens(r.Context(), studio.ID(r.PathValue("lens"))); err != nil {
		return b, err
	}
	return s.onBench(r, b.lens)
}

func (s *Server) onBench(r *http.Request, l studio.Lens) (onBench, error) {
	b := onBench{lens: l, place: s.cfg.Location}
	var err error
	if b.readings, err = s.readingsOf(r.Context(), l.ID); err != nil {
		return b, err
	}
	b.known = studio.Known(l, b.readings)
	b.units, err = s.system(r)
	return b, err
}

// readingsOf are a lens's readings, their dates as they are told in the studio's place.
func (s *Server) readingsOf(ctx context.Context, lens studio.ID) ([]studio.LensReading, error) {
	readings, err := s.cfg.Studio.LensReadings(ctx, lens)
	for i := range readings {
		readings[i].Taken = readings[i].Taken.In(s.cfg.Location)
	}
	return readings, err
}

// newest is the reading by a method that was measured last and counts.
func (b onBench) newest(m studio.BenchMethod) (studio.LensReading, bool) {
	var newest studio.LensReading
	for _, r := range studio.StandingReadings(b.readings) {
		if (m == "" || r.Method == m) && !r.Taken.Before(newest.Taken) {
			newest = r
		}
	}
	return newest, newest.ID != ""
}

// withdrawal is the record that withdraws a reading.
func (b onBench) withdrawal(id studio.ID) (studio.LensReading, bool) {
	i := slices.IndexFunc(b.readings, func(r studio.LensReading) bool { return r.Withdraws == id })
	if i < 0 {
		return studio.LensReading{}, false
	}
	return b.readings[i], true
}

// measuredBy lists the methods that a lens was measured by, as it counts now.
func (b onBench) measuredBy() string {
	var words []string
	for _, m := range benchMethods {
		if _, ok := b.newest(m.method); ok {
			words = append(words, lowerFirst(m.name))
		}
	}
	return strings.Join(words, ", ")
}

// benchList answers GET /floor/bench.
func (s *Server) benchList(w http.ResponseWriter, r *http.Request) error {
	page := shared.PageData{Room: shared.Floor, Title: "Bench", Lead: "What each lens is, measured with what a studio has.", Styles: []string{"bench.css"}}
	all, err := s.cfg.Studio.Lenses(r.Context())
	if err != nil {
		return err
	}
	if len(all) == 0 {
		return s.show(w, r, page, bench.NoLens())
	}
	retiredLast(all, func(l studio.Lens) bool { return l.Retired })
	var d bench.ListPage
	for _, l := range all {
		b, err := s.onBench(r, l)
		if err != nil {
			return err
		}
		line := bench.LensLine{Name: l.Name, Href: b.path(), Retired: l.Retired, Newest: "Nothing measured yet"}
		if newest, ok := b.newest(""); ok {
			line.Newest = "Newest measurement " + newest.Taken.Format("2 January 2006") + ", " + methodOf(newest.Method).name
		}
		for _, k := range b.knowns() {
			if k.chief {
				line.Known = append(line.Known, k.Known)
			}
		}
		if words := b.measuredBy(); words != "" {
			line.Known = append(line.Known, bench.Known{Word: "Measured by", Value: words})
		}
		d.Lenses = append(d.Lenses, line)
	}
	for _, m := range benchMethods {
		d.Methods = append(d.Methods, bench.MethodLine{Name: m.name, Drawing: m.drawing, Gives: m.gives, Needs: m.needs})
	}
	return s.show(w, r, page, bench.List(d))
}

// benchOfLens answers GET /floor/bench/{lens}.
func (s *Server) benchOfLens(w http.ResponseWriter, r *http.Request) error {
	b, err := s.benchLens(r)
	if err != nil {
		return err
	}
	d := bench.LensPage{Name: b.lens.Name, Record: "/floor/lenses/" + string(b.lens.ID), Sheet: b.path() + "/sheet.pdf"}
	if kept := studio.ID(r.URL.Query().Get("kept")); kept != "" {
		if i := slices.IndexFunc(b.readings, func(r studio.LensReading) bool { return r.ID == kept }); i >= 0 {
			d.Kept = keptWords(b.readings[i], b)
		}
	}
	for _, k := range b.knowns() {
		d.Known = append(d.Known, k.Known)
	}
	measured := false
	for _, m := range benchMethods {
		line := bench.MethodLine{Name: m.name, Href: b.path() + "/" + m.slug, Drawing: m.drawing, Gives: m.gives, Needs: m.needs}
		if newest, ok := b.newest(m.method); ok {
			line.State = newest.Taken.Format("2 January 2006") + ": " + b.foundShort(newest)
			measured = true
		}
		d.Methods = append(d.Methods, line)
	}
	d.Methods[0].Recommended = !measured
	for _, reading := range slices.Backward(b.readings) {
		if reading.Withdraws != "" {
			continue
		}
		_, gone := b.withdrawal(reading.ID)
		d.Readings = append(d.Readings, bench.ReadingLine{Href: b.path() + "/readings/" + string(reading.ID), Date: reading.Taken.Format("2 January 2006"),
			Method: methodOf(reading.Method).name, Found: b.foundShort(reading), By: reading.By, Withdrawn: gone})
	}
	page := shared.PageData{Room: shared.Floor, Title: "Bench: " + b.lens.Name, Lead: sentence(b.lens.Form), Styles: []string{"bench.css"}}
	return s.show(w, r, page, bench.OfLens(d))
}

func keptWords(r studio.LensReading, b onBench) string {
	if r.Withdraws != "" {
		return "The reading is withdrawn. It stays below, struck through."
	}
	return "Kept with the lens: " + methodOf(r.Method).name + ", " + b.foundShort(r) + "."
}

// measuring is a form of the guided measuring, read.
type measuring struct {
	onBench
	*form
	method   benchMethod
	strict   bool // to be kept: a row that is written in half is a fault
	rows     int
	rowOf    []int          // the row each reading of the question stands in
	question map[string]any // nil where there is not enough to ask with
	waiting  string
	dropped  []fit.Name // results that mean nothing with what is known here
	answer   *fit.Found
	refused  []string
}

// measure reads a form and asks the reckoning.
func (s *Server) measure(b onBench, f *form, name string, strict bool) (*measuring, error) {
	m, known := methodBySlug(name)
	if !known {
		return nil, errNoPage
	}
	g := &measuring{onBench: b, form: f, method: m, strict: strict}
	g.begin()
	g.countRows()
	g.label()
	g.question, g.waiting = g.ask()
	if g.question == nil || !f.OK() {
		return g, nil
	}
	return g, s.askBench(g)
}

// countRows is how many rows the form has, with one to spare.
func (g *measuring) countRows() {
	least := max(1, g.method.rowsLeast)
	said, err := strconv.Atoi(g.text("rows"))
	if err != nil {
		said = 0
	}
	g.rows = min(max(said, least), mostRows)
	filled := 0
	for i := 1; i <= mostRows; i++ {
		if g.filled(i) {
			filled = i
		}
	}
	g.rows = min(max(g.rows, filled+1), mostRows)
	if g.checked("more") {
		g.rows = min(g.rows+1, mostRows)
	}
}

// label names the lines of the form as they are labelled, for the head of a refusal.
func (g *measuring) label() {
	g.Labels = map[string]string{"readings": g.method.rowsWord}
	for _, v := range g.method.set {
		g.Labels[v.name] = v.label
	}
	for row := 1; row <= g.rows; row++ {
		for _, v := range g.method.row {
			n := strconv.Itoa(row)
			g.Labels[v.name+"_"+n] = "Row " + n + ", " + lowerFirst(v.label)
		}
	}
}

// mostRows is how many readings one measuring takes.
const mostRows = 60

// filled tells whether a figure is written in a row; a name or a choice alone is nothing.
func (g *measuring) filled(row int) bool {
	return slices.ContainsFunc(g.method.row, func(v figureField) bool {
		return v.kind != oneOfAFew && v.kind != someWords && v.kind != aStop && v.shown(g) && g.text(v.name+"_"+strconv.Itoa(row)) != ""
	})
}

// page is the screen of a form.
func (g *measuring) page(id studio.ID) bench.MethodPage {
	d := bench.MethodPage{Form: g.Form, ID: string(id), Action: g.path() + "/" + g.method.slug, Version: strconv.Itoa(g.lens.Version),
		Bench: g.path(), Lens: g.lens.Name, Steps: g.steps(), Found: g.found()}
	if v := g.text("version"); v != "" {
		d.Version = v
	}
	d.Keep = g.ticks()
	return d
}

// measureLens answers GET /floor/bench/{lens}/{method}: the page, or what a form that is being filled
// in says so far.
func (s *Server) measureLens(w http.ResponseWriter, r *http.Request) error {
	b, err := s.benchLens(r)
	if err != nil {
		return err
	}
	f, err := s.readQuery(r)
	if err != nil {
		return err
	}
	g, err := s.measure(b, f, r.PathValue("method"), false)
	if err != nil {
		return err
	}
	if fragment(r) && strings.HasSuffix(r.Header.Get("HX-Target"), "#found") {
		return s.render(w, r, http.StatusOK, shared.PageData{Title: "Bench"}, bench.Live(g.page("")))
	}
	if !f.checked("asked") { // nothing was typed yet: what is missing is not said as a fault
		g.Problems = nil
	}
	return s.showMeasuring(w, r, http.StatusOK, g)
}

func (s *Server) showMeasuring(w http.ResponseWriter, r *http.Request, status int, g *measuring) error {
	id := s.cfg.Studio.NewID() // made with the form, so that a form sent twice keeps one reading
	if given := g.id("id"); given != "" && r.Method == http.MethodPost {
		id = given
	}
	page := shared.PageData{Room: shared.Floor, Title: g.method.title, Lead: g.lens.Name + ": " + g.method.gives,
		Styles: []string{"bench.css"}, Scripts: []string{"bench.js"}}
	return s.showStatus(w, r, status, page, bench.Method(g.page(id)))
}

// keepReading answers POST /floor/bench/{lens}/{method}.
func (s *Server) keepReading(w http.ResponseWriter, r *http.Request) error {
	b, err := s.benchLens(r)
	if err != nil {
		return err
	}
	f, err := s.readForm(r)
	if err != nil {
		return err
	}
	g, err := s.measure(b, f, r.PathValue("method"), true)
	if err != nil {
		return err
	}
	if f.OK() && g.answer == nil {
		f.refuse("readings", "%s", strings.Join(append(g.refused, g.waiting), " "))
	}
	var changed *studio.Lens
	if f.OK() {
		if changed = g.changed(); changed != nil {
			if err := f.take(changed.Check(), recordTicks); err != nil {
				return err
			}
		}
	}
	if !f.OK() {
		return s.showMeasuring(w, r, http.StatusUnprocessableEntity, g)
	}
	question, err := json.Marshal(g.question)
	if err != nil {
		return err
	}
	answer, err := json.Marshal(g.answer)
	if err != nil {
		return err
	}
	kept, err := s.cfg.Studio.KeepLensReading(r.Context(), studio.LensReading{ID: f.id("id"), Lens: b.lens.ID, Method: g.method.method, Taken: s.now(),
		By: f.text("by"), Note: f.text("note"), Question: string(question), Answer: string(answer)})
	var other *studio.OtherReading
	if errors.As(err, &other) { // kept, gone back to and written anew: it is a reading of its own
		f.refuse("readings", "this page was kept already, with other figures or words, and that reading stays; keep it once more, and it is kept beside that one")
		f.Typed.Del("id")
	} else if err := f.take(err, nil); err != nil {
		return err
	}
	if !f.OK() {
		return s.showMeasuring(w, r, http.StatusUnprocessableEntity, g)
	}
	if changed != nil {
		_, err := s.cfg.Studio.ChangeLens(r.Context(), *changed)
		if done, err := s.lensConflict(w, r, err, f.sys); done || err != nil {
			return err
		}
	}
	http.Redirect(w, r, b.path()+"?kept="+string(kept.ID), http.StatusSeeOther)
	return nil
}

// lensConflict shows both forms of a lens's record where someone else changed it meanwhile; the reading
// is kept by then.
func (s *Server) lensConflict(w http.ResponseWriter, r *http.Request, err error, sys measure.System) (done bool, _ error) {
	yours, theirs, ok := conflicting[studio.Lens](err)
	if !ok {
		return false, err
	}
	k := s.lensKind()
	here := k.path + "/" + string(theirs.ID)
	page := shared.PageData{Room: k.room, Title: "A lens in two forms", Lead: "The reading is kept. Only the lens's record is still to be chosen."}
	return true, s.showConflict(w, r, page, conflict.Data{What: k.one, Action: here, Back: here}, k.lines(), k.typed(yours, sys), k.typed(theirs, sys))
}

// showReading answers GET /floor/bench/{lens}/readings/{id}.
func (s *Server) showReading(w http.ResponseWriter, r *http.Request) error {
	b, err := s.benchLens(r)
	if err != nil {
		return err
	}
	f, err := s.readQuery(r)
	if err != nil {
		return err
	}
	return s.readingPage(w, r, http.StatusOK, b, f)
}

func (s *Server) readingPage(w http.ResponseWriter, r *http.Request, status int, b onBench, f *form) error {
	i := slices.IndexFunc(b.readings, func(each studio.LensReading) bool {
		return string(each.ID) == r.PathValue("id") && each.Withdraws == ""
	})
	if i < 0 {
		return errNoPage
	}
	reading := b.readings[i]
	m := methodOf(reading.Method)
	g, given, err := b.again(reading)
	if err != nil {
		return err
	}
	here := b.path() + "/readings/" + string(reading.ID)
	d := bench.ReadingPage{Form: f.Form, Lens: b.lens.Name, Bench: b.path(), Method: m.name, Date: reading.Taken.Format("2 January 2006, 15:04"), By: reading.By, Note: reading.Note,
		Found: g.found(), Given: given, Again: b.path() + "/" + m.slug + "?" + g.Typed.Encode(), Action: here + "/withdraw", ID: string(s.cfg.Studio.NewID())}
	if given := f.id("id"); given != "" {
		d.ID = string(given)
	}
	if gone, is := b.withdrawal(reading.ID); is {
		d.Action, d.WithdrawnOn, d.WithdrawnWhy = "", "withdrawn "+gone.Taken.Format("2 January 2006"), gone.Note
	}
	lead := "Measured " + d.Date
	if d.By != "" {
		lead += " by " + d.By
	}
	page := shared.PageData{Room: shared.Floor, Title: b.lens.Name + ": " + m.name, Lead: lead + ".", Styles: []string{"bench.css"}}
	return s.showStatus(w, r, status, page, bench.Reading(d))
}

// withdrawReading answers POST /floor/bench/{lens}/readings/{id}/withdraw.
func (s *Server) withdrawReading(w http.ResponseWriter, r *http.Request) error {
	b, err := s.benchLens(r)
	if err != nil {
		return err
	}
	f, err := s.readForm(r)
	if err != nil {
		return err
	}
	f.need("note", "write why the reading does not count, for whoever reads it later")
	if f.OK() {
		gone, err := s.cfg.Studio.WithdrawLensReading(r.Context(), studio.LensReading{ID: f.id("id"), Lens: b.lens.ID, Taken: s.now(),
			By: f.text("by"), Note: f.text("note"), Withdraws: studio.ID(r.PathValue("id"))})
		if err == nil {
			http.Redirect(w, r, b.path()+"?kept="+string(gone.ID), http.StatusSeeOther)
			return nil
		}
		if err := f.take(err, nil); err != nil {
			return err
		}
	}
	return s.readingPage(w, r, http.StatusUnprocessableEntity, b, f)
}

// lensSheet answers GET /floor/bench/{lens}/sheet.pdf.
func (s *Server) lensSheet(w http.ResponseWriter, r *http.Request) error {
	b, err := s.benchLens(r)
	if err != nil {
		return err
	}
	if s.cfg.LensSheet == nil {
		return errNoPage
	}
	sheet, err := paperOf(r)
	if err != nil {
		return err
	}
	facts := b.sheet()
	if facts.Studio, err = s.studioName(r.Context()); err != nil {
		return err
	}
	return s.sendPaper(w, r, "lens-"+string(b.lens.ID)+".pdf", "sheet of lens "+string(b.lens.ID), func(pdf *bytes.Buffer) error {
		return s.cfg.LensSheet(pdf, facts, sheet)
	})
}
