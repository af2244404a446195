package web

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"strconv"
	"strings"
	"sync"
	"time"

	"github.com/alexedwards/scs/v2"
	"golang.org/x/time/rate"

	"platewright/internal/web/shared"
)

const (
	// gaveKey holds in a session which password it gave, seenKey when it last asked for something.
	gaveKey, seenKey = "gave", "seen"
	// sessionIdle and sessionLife bound how long a login lasts. That one is in use is noted once in
	// seenEvery, so that looking at a page writes nothing.
	sessionIdle = 7 * 24 * time.Hour
	sessionLife = 30 * 24 * time.Hour
	seenEvery   = time.Hour
)

func newSessions(cfg Config) *scs.SessionManager {
	m := scs.New()
	m.Store = cfg.Sessions
	m.Lifetime = sessionLife
	m.Cookie.Name = "platewright_login"
	m.Cookie.HttpOnly = true
	m.Cookie.SameSite = http.SameSiteLaxMode
	m.Cookie.Secure = cfg.TLS
	m.Cookie.Persist = true
	m.HashTokenInStore = true
	return m
}

// withSession loads the session of a request. Static files need none.
func (s *Server) withSession(next http.Handler) http.Handler {
	s.logins.ErrorFunc = func(w http.ResponseWriter, r *http.Request, err error) {
		s.answer(w, r, fmt.Errorf("session: %w", err))
	}
	loaded := s.logins.LoadAndSave(s.recognized(next))
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if strings.HasPrefix(r.URL.Path, shared.StaticPrefix) {
			next.ServeHTTP(w, r)
			return
		}
		loaded.ServeHTTP(w, r)
	})
}

// sessionKey is where the context of a request keeps whether its session is logged in. A request
// refused before its session was loaded has none.
type sessionKey struct{}

// recognized looks once at a request's session and keeps what it is worth.
func (s *Server) recognized(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		in, err := s.holdsLogin(r.Context())
		if err != nil {
			s.answer(w, r, fmt.Errorf("session: %w", err))
			return
		}
		next.ServeHTTP(w, r.WithContext(context.WithValue(r.Context(), sessionKey{}, in)))
	})
}

// holdsLogin tells whether a session gave the password that the studio has now, and was used
// lately. A password that is changed ends every login that gave the one before.
func (s *Server) holdsLogin(ctx context.Context) (bool, error) {
	gave := s.logins.GetString(ctx, gaveKey)
	if gave == "" {
		return false, nil
	}
	kept, err := s.cfg.Passwords(ctx)
	if err != nil || kept == "" || gave != passwordMark(kept) {
		return false, err
	}
	now := s.cfg.Clock()
	idle := now.Sub(time.Unix(s.logins.GetInt64(ctx, seenKey), 0))
	if idle > sessionIdle {
		return false, nil
	}
	if idle.Abs() > seenEvery {
		s.logins.Put(ctx, seenKey, now.Unix())
	}
	return true, nil
}

// passwordMark names a kept password, without saying what it is. Each has a salt of its own, so the
// same password set again is another.
func passwordMark(kept string) string {
	sum := sha256.Sum256([]byte(kept))
	return hex.EncodeToString(sum[:16])
}

// loggedIn tells whether this request's session has given the password.
func (s *Server) loggedIn(r *http.Request) bool {
	in, ok := r.Context().Value(sessionKey{}).(bool)
	return ok && in
}

// open lists what is shown without a login: the login itself, the light, and
// the files pages are made of.
func open(path string) bool {
	return path == "/login" || path == "/light" || strings.HasPrefix(path, shared.StaticPrefix)
}

// admitted tells whether a request may see the studio.
func (s *Server) admitted(r *http.Request) bool {
	return fromHere(r) || s.loggedIn(r)
}

// gate lets through what comes from this machine or is logged in.
func (s *Server) gate(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		switch {
		case s.admitted(r) || open(r.URL.Path):
			next.ServeHTTP(w, r)
		case s.logins == nil:
			s.answer(w, r, &problem{status: http.StatusForbidden, title: "Not from elsewhere",
				what: "This studio has no password, so it answers this machine alone; the request was passed on from another.",
				hint: "Set a password and open the studio again."})
		case strings.HasPrefix(r.URL.Path, "/api/"):
			s.answer(w, r, &problem{status: http.StatusUnauthorized, title: "Login needed",
				what: "This needs a login.", hint: "Log in at /login and send the cookie along."})
		case fragment(r):
			w.Header().Set("HX-Redirect", "/login")
			w.WriteHeader(http.StatusUnauthorized)
		case r.Method == http.MethodGet || r.Method == http.MethodHead:
			http.Redirect(w, r, "/login?next="+url.QueryEscape(r.URL.RequestURI()), http.StatusSeeOther)
		default:
			s.answer(w, r, &problem{status: http.StatusUnauthorized, title: "Login needed",
				what: "Nothing was done: this device is not logged in, or its login has run out.",
				hint: "Log in, then do it again."})
		}
	})
}

// askLogin answers GET /login.
func (s *Server) askLogin(w http.ResponseWriter, r *http.Request) error {
	return s.showLogin(w, r, http.StatusOK, r.URL.Query().Get("next"), "")
}

func (s *Server) showLogin(w http.ResponseWriter, r *http.Request, status int, next, wrong string) error {
	page := shared.PageData{Title: "Log in", Lead: "This studio is open to the network, so it asks who is there."}
	page.Bare = true
	return s.showStatus(w, r, status, page, shared.Login(shared.LoginData{Next: localPath(next), Error: wrong}))
}

// login answers POST /login. A wrong password costs as much time as a right
// one, and so does a studio whose password has been taken away.
func (s *Server) login(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	next := r.PostForm.Get("next")
	if wait, ok := s.guard.allow(peerKey(r)); !ok {
		seconds := int(wait.Round(time.Second)/time.Second) + 1
		w.Header().Set("Retry-After", strconv.Itoa(seconds))
		return s.showLogin(w, r, http.StatusTooManyRequests, next,
			fmt.Sprintf("Too many tries: wait %d s, then try again.", seconds))
	}
	mark, err := s.checkPassword(r, r.PostForm.Get("password"))
	if err != nil {
		return err
	}
	if mark == "" {
		s.cfg.Log.WarnContext(r.Context(), "wrong password", "peer", r.RemoteAddr)
		return s.showLogin(w, r, http.StatusUnprocessableEntity, next, "That is not the studio's password.")
	}
	if err := s.logins.RenewToken(r.Context()); err != nil {
		return fmt.Errorf("log in: %w", err)
	}
	s.logins.Put(r.Context(), gaveKey, mark)
	s.logins.Put(r.Context(), seenKey, s.cfg.Clock().Unix())
	back := localPath(next)
	if back == "" {
		back = "/"
	}
	http.Redirect(w, r, back, http.StatusSeeOther)
	return nil
}

// checkPassword returns the mark of the studio's password when it is the one given, else nothing.
func (s *Server) checkPassword(r *http.Request, given string) (mark string, err error) {
	kept, err := s.cfg.Passwords(r.Context())
	if err != nil {
		return "", fmt.Errorf("log in: %w", err)
	}
	if len(given) > 4*PasswordMost {
		given = given[:4*PasswordMost] // longer than any kept: wrong, at no greater cost
	}
	none := kept == ""
	if none {
		kept = nobody
	}
	s.guard.hashing <- struct{}{}
	defer func() { <-s.guard.hashing }()
	right, err := CheckPassword(kept, given)
	if err != nil {
		return "", fmt.Errorf("log in: %w", err)
	}
	if !right || none {
		return "", nil
	}
	return passwordMark(kept), nil
}

// nobody is a kept password of the usual cost that no password fits: its key
// is all zeros.
const nobody = "$argon2id$v=19$m=19456,t=2,p=1$AAAAAAAAAAAAAAAAAAAAAA$AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA"

// logout answers POST /logout.
func (s *Server) logout(w http.ResponseWriter, r *http.Request) error {
	if err := s.logins.Destroy(r.Context()); err != nil {
		return fmt.Errorf("log out: %w", err)
	}
	http.Redirect(w, r, "/login", http.StatusSeeOther)
	return nil
}

// unreadable is a form that cannot be read, or one that is too large.
func unreadable(err error) error {
	if large := (*http.MaxBytesError)(nil); errors.As(err, &large) {
		return err
	}
	return &problem{status: http.StatusBadRequest, title: "Not readable",
		what: "What was sent is not a form: " + err.Error() + ".", hint: "Load the page again and send it once more."}
}

// loginGuard slows down guessing: five tries at once from one address, then
// one in ten seconds; twenty at once from everywhere, then one a second.
type loginGuard struct {
	clock   func() time.Time
	hashing chan struct{} // how many passwords are checked at one time

	mu     sync.Mutex
	all    *rate.Limiter
	byPeer map[string]*peerLimit
}

type peerLimit struct {
	*rate.Limiter
	seen time.Time
}

const (
	peerEvery, peerAtOnce = 10 * time.Second, 5
	allEvery, allAtOnce   = time.Second, 20
	peersKept             = 4096
)

func newLoginGuard(clock func() time.Time) *loginGuard {
	return &loginGuard{
		clock: clock, hashing: make(chan struct{}, 2),
		all: rate.NewLimiter(rate.Every(allEvery), allAtOnce), byPeer: map[string]*peerLimit{},
	}
}

// allow takes one try of a peer; when it has none left, wait is how long until
// it has.
func (g *loginGuard) allow(peer string) (wait time.Duration, ok bool) {
	g.mu.Lock()
	defer g.mu.Unlock()
	now := g.clock()
	limit := g.byPeer[peer]
	if limit == nil {
		g.forget(now)
		limit = &peerLimit{Limiter: rate.NewLimiter(rate.Every(peerEvery), peerAtOnce)}
		g.byPeer[peer] = limit
	}
	limit.seen = now
	if !limit.AllowN(now, 1) {
		return peerEvery, false
	}
	if !g.all.AllowN(now, 1) {
		return allEvery, false
	}
	return 0, true
}

// forget drops peers whose tries have all grown back, and everybody when too
// many are kept; the limit for all then still holds.
func (g *loginGuard) forget(now time.Time) {
	if len(g.byPeer) < peersKept {
		return
	}
	for peer, limit := range g.byPeer {
		if now.Sub(limit.seen) > peerAtOnce*peerEvery {
			delete(g.byPeer, peer)
		}
	}
	if len(g.byPeer) >= peersKept {
		clear(g.byPeer)
	}
}

// peerKey is the address tries are counted by: an IPv6 network of 64 bits
// counts as one, because one machine owns all of it. A proxy's word about whom
// it carries is not believed.
func peerKey(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return r.RemoteAddr
	}
	addr, err := netip.ParseAddr(host)
	if err != nil {
		return host
	}
	addr = addr.Unmap().WithZone("")
	if addr.Is4() {
		return addr.String()
	}
	network, err := addr.Prefix(64)
	if err != nil {
		return addr.String()
	}
	return network.String()
}
