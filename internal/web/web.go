// Package web serves the studio's screens and its HTTP interface.
//
// A request passes, from outside in: a panic guard, the security headers, the
// check of the Host header, the cross-site check, the login, and then one
// handler. A handler reads what was asked, asks the studio, and shows; it
// returns an error for everything else, and one place ([Server.answer]) turns
// errors into a status and a sentence.
//
// On loopback addresses no password is asked, and only requests that name this
// machine as their host are answered. Beyond loopback a password is required
// ([CheckListen] refuses to listen without one) and every request that does
// not plainly come from this machine must log in; a login ends when the password
// is changed. The transport is plain HTTP
// unless a TLS listener is handed to [Server.Serve]; a password sent over plain
// HTTP can be read by others on the same network.
//
// Nothing here holds a rule of the trade.
package web

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"net"
	"net/http"
	"sync/atomic"
	"time"

	"github.com/alexedwards/scs/v2"

	"platewright/internal/studio"
	"platewright/internal/web/screens/specimen"
	"platewright/internal/web/shared"
	"platewright/reckon"
)

// Config is what the server needs from outside. Clock and Log must be set;
// Passwords and Sessions must be set when Listen reaches beyond loopback.
type Config struct {
	// Studio, Files and Reckon are what the rooms work on. Without a Studio
	// the shell is served alone.
	Studio *studio.Studio
	Files  studio.Files
	Reckon *reckon.Registry
	// Passport writes a plate's passport as PDF on "a4" or "letter".
	Passport func(w io.Writer, facts studio.PassportFacts, paper string) error
	// Card writes a plate's set-up card, LensSheet a lens's sheet, as PDF on "a4" or "letter".
	Card      func(w io.Writer, facts Card, paper string) error
	LensSheet func(w io.Writer, facts LensSheet, paper string) error
	// Brief writes what a sitter may wear, as PDF on "a4" or "letter".
	Brief func(w io.Writer, facts Brief, paper string) error
	// Example fills a studio that has begun with the example; nil offers none.
	Example func(context.Context) error
	// Location is where the studio's days begin and end.
	Location *time.Location
	// Scratch is a folder for uploads in flight.
	Scratch string
	// StudioName is shown in the frame; nil shows the product's name.
	StudioName func(context.Context) (string, error)
	// InHand gives the slip of the plate or sitting in hand; nil shows an
	// empty slip.
	InHand func(context.Context) (shared.SlipData, error)
	// Passwords gives the studio's password as [HashPassword] wrote it, empty
	// when it has none.
	Passwords func(context.Context) (string, error)
	// Sessions keeps logins.
	Sessions scs.Store
	Clock    func() time.Time
	Log      *slog.Logger
	Version  string
	Listen   string // the address listened on, host:port
	TLS      bool   // the listener speaks TLS: cookies are marked for it
}

// Server answers the studio's requests. It is safe for use by several
// goroutines.
type Server struct {
	cfg     Config
	assets  *shared.Assets
	mux     *http.ServeMux
	handler http.Handler
	logins  *scs.SessionManager // nil when nobody can log in
	guard   *loginGuard
	host    string // the host listened on
	local   bool   // listening on loopback only

	hasBegun atomic.Bool // once the studio has begun; it never un-begins
}

// screenFiles are the style sheets and scripts of the screens.
func screenFiles() []fs.FS { return roomFiles() }

// New makes a server. It refuses a configuration that would leave a studio
// open to the network.
func New(cfg Config) (*Server, error) {
	if cfg.Clock == nil || cfg.Log == nil {
		return nil, errors.New("web: clock and log must be given")
	}
	host, _, err := net.SplitHostPort(cfg.Listen)
	if err != nil {
		return nil, fmt.Errorf("web: listen address %q: %w", cfg.Listen, err)
	}
	assets, err := shared.NewAssets(screenFiles()...)
	if err != nil {
		return nil, fmt.Errorf("web: %w", err)
	}
	if cfg.Location == nil {
		cfg.Location = time.Local
	}
	s := &Server{cfg: cfg, assets: assets, mux: http.NewServeMux(), host: host, local: loopbackHost(host)}
	if !s.local && (cfg.Passwords == nil || cfg.Sessions == nil) {
		return nil, fmt.Errorf("web: listening on %s needs passwords and sessions", cfg.Listen)
	}
	if cfg.Passwords != nil && cfg.Sessions != nil {
		s.logins = newSessions(cfg)
		s.guard = newLoginGuard(cfg.Clock)
	}
	s.routes()
	s.handler = s.wrap(s.begun(s.mux))
	return s, nil
}

// ServeHTTP answers one request.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.handler.ServeHTTP(w, r) }

// routes registers every address the server knows.
func (s *Server) routes() {
	s.mux.Handle("GET "+shared.StaticPrefix, s.assets)
	s.handle("POST /light", s.setLight)
	s.handle("GET /specimen", s.specimen)
	if s.logins != nil {
		s.handle("GET /login", s.askLogin)
		s.handle("POST /login", s.login)
		s.handle("POST /logout", s.logout)
	}
	if s.cfg.Studio != nil {
		s.roomRoutes()
	}
	s.handle("GET /{$}", func(w http.ResponseWriter, r *http.Request) error {
		http.Redirect(w, r, shared.Desk.Path(), http.StatusSeeOther)
		return nil
	})
	s.handle("/", func(http.ResponseWriter, *http.Request) error { return errNoPage })
}

// specimen shows every part of the screens on one sheet.
func (s *Server) specimen(w http.ResponseWriter, r *http.Request) error {
	return s.show(w, r, shared.PageData{
		Room: shared.Floor, Title: "Specimen sheet", Slip: specimen.Slip(),
		Lead: "Every part of the screens, to be looked at in each light.",
	}, specimen.Sheet(r.URL.RequestURI(), s.assets.URL("wedge.svg")))
}

// newReference returns eight letters under which a failure is found in the log.
func newReference() string { return rand.Text()[:8] }

// AssetURL is the address of a file pages are made of.
func (s *Server) AssetURL(name string) string { return s.assets.URL(name) }
