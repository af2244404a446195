package web

import (
	"fmt"
	"net/http"
	"runtime/debug"
	"strings"

	"platewright/internal/web/shared"
)

// policy is the content security policy: everything from this server, nothing
// inline but the three style elements of first paint, nothing framed.
func policy() string {
	var hashes []string
	for _, light := range shared.Lights() {
		hashes = append(hashes, light.FirstPaintHash())
	}
	return strings.Join([]string{
		"default-src 'none'",
		"script-src 'self'",
		"style-src 'self' " + strings.Join(hashes, " "),
		"img-src 'self'",
		"connect-src 'self'",
		"font-src 'self'",
		"form-action 'self'",
		"frame-ancestors 'none'",
		"base-uri 'none'",
	}, "; ")
}

// secured sets the headers that hold for every answer. The referrer policy is
// same-origin and not none: with none, a browser that speaks plain HTTP sends
// "Origin: null" with every form, and the cross-site check must refuse it.
func secured(next http.Handler) http.Handler {
	csp := policy()
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", csp)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		next.ServeHTTP(w, r)
	})
}

// wrap puts the gates before the handlers, outermost last.
func (s *Server) wrap(h http.Handler) http.Handler {
	h = s.gate(h)
	if s.logins != nil {
		h = s.withSession(h)
	}
	h = s.sameSite(h)
	h = s.knownHost(h)
	h = secured(h)
	return s.caught(h)
}

// sameSite refuses what another site's page makes a browser send.
func (s *Server) sameSite(next http.Handler) http.Handler {
	protection := http.NewCrossOriginProtection()
	protection.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.answer(w, r, &problem{status: http.StatusForbidden, title: "Not from here",
			what: "This was sent by a page of another site, so nothing was done.",
			hint: "Open the studio's own page and do it there."})
	}))
	return protection.Handler(next)
}

// caught answers for a handler that panics. The connection is still good, so
// the person is told; if half an answer is already out, it is cut off.
func (s *Server) caught(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		watched := &watchedWriter{ResponseWriter: w}
		defer func() {
			cause := recover()
			if cause == nil {
				return
			}
			if cause == http.ErrAbortHandler {
				panic(cause)
			}
			s.cfg.Log.ErrorContext(r.Context(), "panic", "path", r.URL.Path, "cause", cause, "stack", string(debug.Stack()))
			if watched.begun {
				panic(http.ErrAbortHandler)
			}
			s.answer(watched, r, fmt.Errorf("panic: %v", cause))
		}()
		next.ServeHTTP(watched, r)
	})
}

// watchedWriter knows whether an answer has begun.
type watchedWriter struct {
	http.ResponseWriter
	begun bool
}

func (w *watchedWriter) WriteHeader(status int) {
	w.begun = true
	w.ResponseWriter.WriteHeader(status)
}

func (w *watchedWriter) Write(p []byte) (int, error) {
	w.begun = true
	return w.ResponseWriter.Write(p)
}

// Unwrap lets [http.ResponseController] reach the connection.
func (w *watchedWriter) Unwrap() http.ResponseWriter { return w.ResponseWriter }
