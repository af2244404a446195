package web

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strings"

	"github.com/a-h/templ"

	"platewright/internal/studio"
	"platewright/internal/web/shared"
)

// handlerFunc answers one request or says why not.
type handlerFunc func(http.ResponseWriter, *http.Request) error

// bodyLimit is how much a request may send unless it is an upload.
const bodyLimit = 1_000_000

// errNoPage is an address nothing answers to.
var errNoPage = fmt.Errorf("page: %w", studio.ErrNotFound)

// handle registers a handler whose requests may send up to 1 MB.
func (s *Server) handle(pattern string, h handlerFunc) {
	s.handleUpload(pattern, bodyLimit, h)
}

// handleUpload registers a handler with a limit of its own on what is sent.
func (s *Server) handleUpload(pattern string, limit int64, h handlerFunc) {
	s.mux.HandleFunc(pattern, func(w http.ResponseWriter, r *http.Request) {
		if limit > bodyLimit {
			s.allowSlow(w)
		}
		err := tooLarge(r, limit)
		if err == nil {
			r.Body = http.MaxBytesReader(w, r.Body, limit)
			err = h(w, r)
		}
		if err != nil {
			s.answer(w, r, err)
		}
	})
}

// tooLarge refuses a body that says beforehand that it is over the limit.
func tooLarge(r *http.Request, limit int64) error {
	if r.ContentLength > limit {
		return &http.MaxBytesError{Limit: limit}
	}
	return nil
}

// fragment tells whether a script asks for a part of the page only.
func fragment(r *http.Request) bool {
	h := r.Header
	return h.Get("HX-Request") == "true" && h.Get("HX-Request-Type") != "full" && h.Get("HX-History-Restore-Request") != "true"
}

// show answers with a screen: the whole page, or the screen alone when a
// script asks for it. With a fragment the slip is sent again if the screen
// gave one. It is the only place that decides between the two.
func (s *Server) show(w http.ResponseWriter, r *http.Request, page shared.PageData, screen templ.Component) error {
	return s.showStatus(w, r, http.StatusOK, page, screen)
}

// showStatus is show with another status: a form sent back with what is wrong
// is 422.
func (s *Server) showStatus(w http.ResponseWriter, r *http.Request, status int, page shared.PageData, screen templ.Component) error {
	if s.cfg.StudioName != nil {
		name, err := s.cfg.StudioName(r.Context())
		if err != nil {
			return fmt.Errorf("studio's name: %w", err)
		}
		page.Studio = name
	}
	if page.Slip.Kind == "" && !page.Bare && s.cfg.InHand != nil {
		slip, err := s.cfg.InHand(r.Context())
		if err != nil {
			return fmt.Errorf("what is in hand: %w", err)
		}
		page.Slip = slip
	}
	return s.render(w, r, status, page, screen)
}

// render writes a screen in its frame. It asks the studio nothing, so that a
// failure can still be shown.
func (s *Server) render(w http.ResponseWriter, r *http.Request, status int, page shared.PageData, screen templ.Component) error {
	page.Assets = s.assets
	page.Light = lightOf(r)
	page.Here = here(r)
	page.LoggedIn = s.loggedIn(r)
	ctx := shared.WithLight(r.Context(), page.Light)
	var out bytes.Buffer
	var err error
	if fragment(r) {
		if err = screen.Render(ctx, &out); err == nil && page.Slip.Kind != "" {
			err = shared.SlipAgain(page.Slip).Render(ctx, &out)
		}
	} else {
		err = shared.Page(page).Render(templ.WithChildren(ctx, screen), &out)
	}
	if err != nil {
		return fmt.Errorf("show %s: %w", page.Title, err)
	}
	h := w.Header()
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Add("Vary", "HX-Request, HX-Request-Type, Cookie")
	h.Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	if _, err := out.WriteTo(w); err != nil {
		s.undelivered(r, err)
	}
	return nil
}

// undelivered notes an answer that could not be sent. It is not a failure of
// the request: nobody is there any more to be told.
func (s *Server) undelivered(r *http.Request, err error) {
	s.cfg.Log.DebugContext(r.Context(), "answer not delivered", "path", r.URL.Path, "error", err)
}

// here is where the light buttons lead back to: this page, when it can be
// asked for again.
func here(r *http.Request) string {
	if r.Method == http.MethodGet {
		return r.URL.RequestURI()
	}
	if back := localPath(refererPath(r)); back != "" {
		return back
	}
	return "/"
}

// failure is an error in the words of the person who asked.
type failure struct {
	status int
	title  string
	field  string // the field that was wrong, when it was one
	shared.TroubleData
}

// problem is an error that carries its own words; the sentence is shown as it is.
type problem struct {
	status            int
	title, what, hint string
}

func (p *problem) Error() string { return p.what }

// failureOf is the one table from errors to status and words. An error it does
// not know is 500, and its text is for the log alone.
func failureOf(err error) failure {
	var said *problem
	var invalid *studio.Invalid
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &said):
		return failure{status: said.status, title: said.title, TroubleData: shared.TroubleData{What: said.what, Hint: said.hint}}
	case errors.As(err, &invalid):
		f := failure{status: http.StatusUnprocessableEntity, title: "Not taken", TroubleData: shared.TroubleData{What: "Something in what was sent cannot be taken."}}
		if len(invalid.Problems) > 0 {
			p := invalid.Problems[0]
			f.field, f.What, f.Hint = p.Field, p.Sentence, p.Hint
		}
		return f
	case errors.Is(err, studio.ErrNotFound):
		return failure{status: http.StatusNotFound, title: "Not found", TroubleData: shared.TroubleData{
			What: "There is nothing at this address.",
			Hint: "Plates are never removed or renumbered: look for its number in the plate store.",
			Back: shared.PlateStore.Path(), BackWord: "Plate store"}}
	case errors.Is(err, studio.ErrConflict):
		return failure{status: http.StatusConflict, title: "Changed meanwhile", TroubleData: shared.TroubleData{
			What: "Someone else changed this after you opened it, so nothing was written.",
			Hint: "Load it again, look at the newer state, and make your change on top of it."}}
	case errors.Is(err, studio.ErrNotPermitted):
		return failure{status: http.StatusForbidden, title: "Not permitted", TroubleData: shared.TroubleData{
			What: "This is not permitted here.",
			Hint: "The person who keeps the studio can permit it."}}
	case errors.As(err, &large):
		return failure{status: http.StatusRequestEntityTooLarge, title: "Too large", TroubleData: shared.TroubleData{
			What: fmt.Sprintf("What was sent is larger than the %s taken here, so nothing was kept.", megabytes(large.Limit)),
			Hint: "Send a smaller file."}}
	default:
		return failure{status: http.StatusInternalServerError, title: "Something failed", TroubleData: shared.TroubleData{
			What: "The studio could not answer this. Nothing half-done was kept.",
			Hint: "Try once more; if it fails again, look in the log under the reference.", Reference: newReference()}}
	}
}

// megabytes says a limit as people say the size of a file: "64 kB", "1 MB", "1.5 GB".
func megabytes(n int64) string {
	switch {
	case n >= 1e9:
		return fmt.Sprintf("%.3g GB", float64(n)/1e9)
	case n >= 1e6:
		return fmt.Sprintf("%d MB", n/1e6)
	default:
		return fmt.Sprintf("%d kB", n/1e3)
	}
}

// answer tells the one who asked what went wrong, as a page, a fragment or
// JSON, whichever was asked for.
func (s *Server) answer(w http.ResponseWriter, r *http.Request, err error) {
	if errors.Is(err, context.Canceled) && r.Context().Err() != nil { // whoever asked has gone, and nothing failed
		s.undelivered(r, err)
		return
	}
	f := failureOf(err)
	if f.status >= http.StatusInternalServerError {
		s.cfg.Log.ErrorContext(r.Context(), "request failed", "reference", f.Reference, "method", r.Method, "path", r.URL.Path, "error", err)
	}
	w.Header().Set("Cache-Control", "no-store")
	if strings.HasPrefix(r.URL.Path, "/api/") {
		s.answerJSON(w, r, f)
		return
	}
	page := shared.PageData{Title: f.title}
	page.Bare = !s.admitted(r)
	if s.cfg.StudioName != nil && !page.Bare {
		name, nameErr := s.cfg.StudioName(r.Context())
		if nameErr != nil {
			s.cfg.Log.WarnContext(r.Context(), "studio's name", "error", nameErr)
		}
		page.Studio = name
	}
	if err := s.render(w, r, f.status, page, shared.Trouble(f.TroubleData)); err != nil {
		s.cfg.Log.ErrorContext(r.Context(), "error page failed", "path", r.URL.Path, "error", err)
		http.Error(w, f.What, f.status)
	}
}

// answerJSON is answer for the HTTP interface.
func (s *Server) answerJSON(w http.ResponseWriter, r *http.Request, f failure) {
	type said struct {
		Field     string `json:"field,omitempty"`
		Message   string `json:"message"`
		Hint      string `json:"hint,omitempty"`
		Reference string `json:"reference,omitempty"`
	}
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(f.status)
	err := json.NewEncoder(w).Encode(struct {
		Error said `json:"error"`
	}{said{f.field, f.What, f.Hint, f.Reference}})
	if err != nil {
		s.undelivered(r, err)
	}
}
