package web_test

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"errors"
	"log/slog"
	"net"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/alexedwards/scs/v2/memstore"

	"platewright/internal/web"
	"platewright/internal/web/shared"
)

// Every kind of answer carries the headers.
func TestSecurityHeaders(t *testing.T) {
	s := local(t, nil)
	for _, path := range []string{"/specimen", "/nowhere", "/", "/static/none", "/api/none"} {
		h := do(s, request("GET", path, "")).Header
		for key, want := range map[string]string{
			"X-Content-Type-Options":       "nosniff",
			"Referrer-Policy":              "same-origin",
			"Cross-Origin-Opener-Policy":   "same-origin",
			"Cross-Origin-Resource-Policy": "same-origin",
		} {
			if got := h.Get(key); got != want {
				t.Errorf("%s: %s = %q, want %q", path, key, got, want)
			}
		}
		csp := h.Get("Content-Security-Policy")
		for _, want := range []string{"default-src 'none'", "script-src 'self';", "form-action 'self'", "frame-ancestors 'none'", "base-uri 'none'"} {
			if !strings.Contains(csp+";", want) {
				t.Errorf("%s: policy lacks %q: %s", path, want, csp)
			}
		}
		if strings.Contains(csp, "unsafe") {
			t.Errorf("%s: policy lets through something unsafe: %s", path, csp)
		}
	}
}

// independent: the hash in the policy is that of the very bytes sent inside
// the style element, hashed here again, in each light; and nothing else on the
// page is inline.
func TestPolicyMatchesInlineStyle(t *testing.T) {
	s := local(t, nil)
	for _, light := range shared.Lights() {
		req := request("GET", "/specimen", "")
		req.AddCookie(&http.Cookie{Name: "light", Value: string(light)})
		r := do(s, req)
		body := text(t, r)
		if n := strings.Count(body, "<style"); n != 1 {
			t.Fatalf("%s: %d style elements, want 1", light, n)
		}
		_, rest, _ := strings.Cut(body, "<style>")
		inline, _, _ := strings.Cut(rest, "</style>")
		sum := sha256.Sum256([]byte(inline))
		want := "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
		if csp := r.Header.Get("Content-Security-Policy"); !strings.Contains(csp, want) {
			t.Errorf("%s: policy lacks %s", light, want)
		}
		for _, banned := range []string{" style=", "<script>", " onclick=", " onload=", "javascript:", "hx-on"} {
			if strings.Contains(body, banned) {
				t.Errorf("%s: the page holds %q, which the policy forbids", light, banned)
			}
		}
	}
}

func TestCrossSiteIsRefused(t *testing.T) {
	s := local(t, nil)
	for _, tt := range []struct {
		name, header, value string
		status              int
	}{
		{"no such headers (a command line)", "", "", http.StatusSeeOther},
		{"same origin", "Sec-Fetch-Site", "same-origin", http.StatusSeeOther},
		{"same origin, older browser", "Origin", "http://127.0.0.1:8417", http.StatusSeeOther},
		{"cross site", "Sec-Fetch-Site", "cross-site", http.StatusForbidden},
		{"same site, other origin", "Sec-Fetch-Site", "same-site", http.StatusForbidden},
		{"foreign origin, older browser", "Origin", "https://elsewhere.example", http.StatusForbidden},
		{"hidden origin", "Origin", "null", http.StatusForbidden},
	} {
		t.Run(tt.name, func(t *testing.T) {
			req := request("POST", "/light", "light=lamp&back=/")
			if tt.header != "" {
				req.Header.Set(tt.header, tt.value)
			}
			r := do(s, req)
			if r.StatusCode != tt.status {
				t.Errorf("status %d, want %d", r.StatusCode, tt.status)
			}
			if tt.status == http.StatusForbidden && len(r.Cookies()) != 0 {
				t.Error("refused, and yet the light was set")
			}
		})
	}
}

// A name elsewhere that is made to point at this machine gets no answer.
func TestForeignHost(t *testing.T) {
	s := local(t, nil)
	for host, want := range map[string]int{
		"127.0.0.1:8417": 200, "localhost:8417": 200, "localhost": 200, "[::1]:8417": 200, "LOCALHOST.:8417": 200,
		"studio.example:8417": 421, "127.0.0.1.elsewhere.example": 421, "192.168.1.5:8417": 421, "": 421,
	} {
		req := request("GET", "/specimen", "")
		req.Host = host
		r := do(s, req)
		if r.StatusCode != want {
			t.Errorf("host %q: status %d, want %d", host, r.StatusCode, want)
		}
		if want == 421 && !strings.Contains(text(t, r), "this machine only") {
			t.Errorf("host %q: refused without a sentence", host)
		}
	}
}

func TestBodyLimit(t *testing.T) {
	s := local(t, nil)
	big := "light=lamp&back=/" + strings.Repeat("a", 1<<20)
	if r := do(s, request("POST", "/light", big)); r.StatusCode != http.StatusRequestEntityTooLarge {
		t.Errorf("declared: status %d, want 413", r.StatusCode)
	}
	req := request("POST", "/light", big)
	req.ContentLength = -1 // chunked: the length shows only while reading
	r := do(s, req)
	if r.StatusCode != http.StatusRequestEntityTooLarge {
		t.Errorf("chunked: status %d, want 413", r.StatusCode)
	}
	if !strings.Contains(text(t, r), "1 MB") {
		t.Error("refused without the limit")
	}
}

func TestNotFound(t *testing.T) {
	s := local(t, nil)
	r := do(s, request("GET", "/nowhere", ""))
	if r.StatusCode != http.StatusNotFound || !strings.Contains(text(t, r), "nothing at this address") {
		t.Errorf("status %d", r.StatusCode)
	}
	r = do(s, request("GET", "/api/nowhere", ""))
	var answer struct {
		Error struct{ Message string }
	}
	if err := json.NewDecoder(r.Body).Decode(&answer); err != nil || r.StatusCode != 404 || answer.Error.Message == "" {
		t.Errorf("api: status %d, %v, %+v", r.StatusCode, err, answer)
	}
}

// A failure inside is told without its inner words, and found in the log by
// its reference.
func TestFailureHasReference(t *testing.T) {
	var log bytes.Buffer
	for name, broken := range map[string]func(context.Context) (string, error){
		"error": func(context.Context) (string, error) { return "", errors.New("disk of glass is cracked") },
		"panic": func(context.Context) (string, error) { panic("disk of glass is cracked") },
	} {
		log.Reset()
		calls := 0
		s := local(t, func(c *web.Config) {
			c.Log = slog.New(slog.NewTextHandler(&log, nil))
			c.StudioName = func(ctx context.Context) (string, error) {
				if calls++; calls > 1 {
					return "The Glass House", nil
				}
				return broken(ctx)
			}
		})
		r := do(s, request("GET", "/specimen", ""))
		body := text(t, r)
		if r.StatusCode != http.StatusInternalServerError || strings.Contains(body, "cracked") {
			t.Errorf("%s: status %d, inner words shown: %v", name, r.StatusCode, strings.Contains(body, "cracked"))
		}
		_, rest, _ := strings.Cut(body, `Reference <span class="tabular">`)
		reference, _, _ := strings.Cut(rest, "<")
		if len(reference) != 8 || !strings.Contains(log.String(), reference) || !strings.Contains(log.String(), "cracked") {
			t.Errorf("%s: reference %q, log %q", name, reference, log.String())
		}
	}
}

func TestCheckListen(t *testing.T) {
	for _, tt := range []struct {
		addr     string
		password bool
		refused  bool
	}{
		{"127.0.0.1:8417", false, false}, {"localhost:0", false, false}, {"[::1]:8417", false, false}, {"127.8.8.8:1", false, false},
		{":8417", false, true}, {"0.0.0.0:8417", false, true}, {"[::]:8417", false, true}, {"192.168.1.5:8417", false, true},
		{"studio.local:8417", false, true}, {":8417", true, false}, {"192.168.1.5:8417", true, false},
		{"8417", true, true}, {"127.0.0.1:http", true, true}, {"127.0.0.1:70000", true, true}, {"", true, true},
	} {
		err := web.CheckListen(tt.addr, tt.password)
		if (err != nil) != tt.refused {
			t.Errorf("%q with password %v: %v, want refused %v", tt.addr, tt.password, err, tt.refused)
		}
		var said interface{ Refused() (string, string) }
		if err != nil {
			if !errors.As(err, &said) {
				t.Errorf("%q: %T has no hint", tt.addr, err)
			} else if why, hint := said.Refused(); why == "" || hint == "" {
				t.Errorf("%q: why %q, hint %q", tt.addr, why, hint)
			}
		}
	}
}

const password = "silver in the glass"

// network is a server open to the studio's network.
func network(t *testing.T, clock func() time.Time) *web.Server {
	t.Helper()
	kept, err := web.HashPassword(password)
	if err != nil {
		t.Fatal(err)
	}
	s, err := web.New(web.Config{
		Clock: clock, Log: slog.New(slog.DiscardHandler), Listen: "0.0.0.0:8417",
		Sessions: memstore.NewWithCleanupInterval(0), Passwords: func(context.Context) (string, error) { return kept, nil },
	})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// fromNetwork is a request of a phone in the studio.
func fromNetwork(method, target, body string, cookies ...*http.Cookie) *http.Request {
	r := request(method, target, body)
	r.Host = "studio.local:8417"
	r.RemoteAddr = "192.168.1.20:50000"
	for _, c := range cookies {
		r.AddCookie(c)
	}
	return r
}

func loginForm(p string) string { return url.Values{"password": {p}, "next": {"/specimen"}}.Encode() }

func TestNetworkNeedsLogin(t *testing.T) {
	s := network(t, noon)

	r := do(s, fromNetwork("GET", "/specimen?a=1", ""))
	if got := r.Header.Get("Location"); r.StatusCode != http.StatusSeeOther || got != "/login?next=%2Fspecimen%3Fa%3D1" {
		t.Fatalf("status %d to %q, want 303 to the login", r.StatusCode, got)
	}
	if r := do(s, fromNetwork("POST", "/specimen", "a=1")); r.StatusCode != http.StatusUnauthorized {
		t.Errorf("post: status %d, want 401", r.StatusCode)
	}
	r = do(s, fromNetwork("POST", "/api/reckon/focus", "{}"))
	if r.StatusCode != http.StatusUnauthorized || r.Header.Get("Content-Type") != "application/json" {
		t.Errorf("api: status %d, %s; want 401 in JSON", r.StatusCode, r.Header.Get("Content-Type"))
	}
	for _, shown := range []string{"/login", s.AssetURL("shared.css")} {
		if r := do(s, fromNetwork("GET", shown, "")); r.StatusCode != http.StatusOK {
			t.Errorf("%s without login: status %d", shown, r.StatusCode)
		}
	}
	page := document(t, do(s, fromNetwork("GET", "/login", "")))
	if len(find(page, tag("nav"))) != 0 || len(find(page, tag("aside"))) != 0 {
		t.Error("the login shows rooms or a slip")
	}

	r = do(s, fromNetwork("POST", "/login", loginForm("not the password")))
	if r.StatusCode != http.StatusUnprocessableEntity || len(r.Cookies()) != 0 {
		t.Fatalf("wrong password: status %d, cookies %v", r.StatusCode, r.Cookies())
	}

	r = do(s, fromNetwork("POST", "/login", loginForm(password)))
	if r.StatusCode != http.StatusSeeOther || r.Header.Get("Location") != "/specimen" {
		t.Fatalf("right password: status %d to %q", r.StatusCode, r.Header.Get("Location"))
	}
	if len(r.Cookies()) != 1 {
		t.Fatalf("cookies %v", r.Cookies())
	}
	login := r.Cookies()[0]
	if !login.HttpOnly || login.SameSite != http.SameSiteLaxMode {
		t.Errorf("cookie %v: want HttpOnly and SameSite=Lax", login)
	}
	r = do(s, fromNetwork("GET", "/specimen", "", login))
	if r.StatusCode != http.StatusOK {
		t.Fatalf("logged in: status %d", r.StatusCode)
	}
	if n := len(find(document(t, r), tag("form"), with("action", "/logout"))); n != 1 {
		t.Errorf("%d log-out buttons, want 1", n)
	}

	// A second login gets a new token, and the old one is worth nothing.
	r = do(s, fromNetwork("POST", "/login", loginForm(password), login))
	if len(r.Cookies()) != 1 || r.Cookies()[0].Value == login.Value {
		t.Fatal("the token was not renewed at login")
	}
	if r := do(s, fromNetwork("GET", "/specimen", "", login)); r.StatusCode != http.StatusSeeOther {
		t.Errorf("old token: status %d, want 303 to the login", r.StatusCode)
	}
	login = r.Cookies()[0]
	do(s, fromNetwork("POST", "/logout", "", login))
	if r := do(s, fromNetwork("GET", "/specimen", "", login)); r.StatusCode != http.StatusSeeOther {
		t.Errorf("after log-out: status %d, want 303 to the login", r.StatusCode)
	}
}

// Who is on this machine is believed only when everything about the request
// says so.
func TestWhoIsHere(t *testing.T) {
	s := network(t, noon)
	for _, tt := range []struct {
		name, peer, host, header string
		want                     int
	}{
		{"this machine", "127.0.0.1:5", "localhost:8417", "", 200},
		{"this machine over IPv6", "[::1]:5", "[::1]:8417", "", 200},
		{"a phone", "192.168.1.20:5", "studio.local:8417", "", 303},
		{"a phone naming this machine", "192.168.1.20:5", "localhost:8417", "", 303},
		{"a foreign name that points here", "127.0.0.1:5", "elsewhere.example", "", 303},
		{"a proxy here (X-Forwarded-For)", "127.0.0.1:5", "localhost:8417", "X-Forwarded-For", 303},
		{"a proxy here (Forwarded)", "127.0.0.1:5", "localhost:8417", "Forwarded", 303},
		{"a proxy here (Via)", "127.0.0.1:5", "localhost:8417", "Via", 303},
	} {
		req := request("GET", "/specimen", "")
		req.RemoteAddr, req.Host = tt.peer, tt.host
		if tt.header != "" {
			req.Header.Set(tt.header, "for=203.0.113.9")
		}
		if r := do(s, req); r.StatusCode != tt.want {
			t.Errorf("%s: status %d, want %d", tt.name, r.StatusCode, tt.want)
		}
	}
	old := request("GET", "/specimen", "")
	old.Proto, old.ProtoMajor, old.ProtoMinor = "HTTP/1.0", 1, 0
	if r := do(s, old); r.StatusCode != http.StatusSeeOther {
		t.Errorf("a proxy that speaks HTTP/1.0: status %d, want 303 to the login", r.StatusCode)
	}
	// Without a password there is no login to send a proxy's request to.
	req := request("GET", "/specimen", "")
	req.Header.Set("X-Forwarded-For", "203.0.113.9")
	if r := do(local(t, nil), req); r.StatusCode != http.StatusForbidden {
		t.Errorf("proxy to a studio without password: status %d, want 403", r.StatusCode)
	}
}

// A login ends when the password is changed, though to the same words, and when it lies unused for a
// week; in use it lasts, and looking at pages writes nothing to the store of sessions.
func TestLoginEnds(t *testing.T) {
	now := noon()
	kept, err := web.HashPassword(password)
	if err != nil {
		t.Fatal(err)
	}
	sessions := &counting{MemStore: memstore.NewWithCleanupInterval(0)}
	s, err := web.New(web.Config{
		Clock: func() time.Time { return now }, Log: slog.New(slog.DiscardHandler), Listen: "0.0.0.0:8417",
		Sessions: sessions, Passwords: func(context.Context) (string, error) { return kept, nil },
	})
	if err != nil {
		t.Fatal(err)
	}
	login := func() *http.Cookie {
		t.Helper()
		r := do(s, fromNetwork("POST", "/login", loginForm(password)))
		if len(r.Cookies()) != 1 {
			t.Fatalf("login: status %d, cookies %v", r.StatusCode, r.Cookies())
		}
		return r.Cookies()[0]
	}
	holds := func(c *http.Cookie, when string, want int) {
		t.Helper()
		if r := do(s, fromNetwork("GET", "/specimen", "", c)); r.StatusCode != want {
			t.Errorf("%s: status %d, want %d", when, r.StatusCode, want)
		}
	}
	c := login()
	before := sessions.commits
	for range 5 {
		holds(c, "just logged in", http.StatusOK)
	}
	if sessions.commits != before {
		t.Errorf("five pages wrote the session %d times, want none", sessions.commits-before)
	}
	for range 3 {
		now = now.Add(6 * 24 * time.Hour)
		holds(c, "used within a week", http.StatusOK)
	}
	now = now.Add(7*24*time.Hour + time.Minute)
	holds(c, "unused for a week", http.StatusSeeOther)

	c = login()
	if kept, err = web.HashPassword(password); err != nil {
		t.Fatal(err)
	}
	holds(c, "after the password was set again", http.StatusSeeOther)
	c = login()
	kept = ""
	holds(c, "after the password was taken away", http.StatusSeeOther)
}

// counting counts what is written to a store of sessions.
type counting struct {
	*memstore.MemStore
	commits int
}

func (c *counting) Commit(token string, b []byte, expiry time.Time) error {
	c.commits++
	return c.MemStore.Commit(token, b, expiry)
}

// Five tries at once, then one in ten seconds, counted by address.
func TestLoginRateLimit(t *testing.T) {
	now := noon()
	s := network(t, func() time.Time { return now })
	try := func(peer string) *http.Response {
		req := fromNetwork("POST", "/login", loginForm("wrong"))
		req.RemoteAddr = net.JoinHostPort(peer, "5")
		return do(s, req)
	}
	for i := range 5 {
		if r := try("192.168.1.66"); r.StatusCode != http.StatusUnprocessableEntity {
			t.Fatalf("try %d: status %d, want 422", i+1, r.StatusCode)
		}
	}
	r := try("192.168.1.66")
	if r.StatusCode != http.StatusTooManyRequests || r.Header.Get("Retry-After") == "" || !strings.Contains(text(t, r), "Too many tries") {
		t.Fatalf("sixth try: status %d, Retry-After %q; want 429 with a sentence", r.StatusCode, r.Header.Get("Retry-After"))
	}
	if r := try("192.168.1.67"); r.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("another phone: status %d, want 422", r.StatusCode)
	}
	now = now.Add(11 * time.Second)
	if r := try("192.168.1.66"); r.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("11 s later: status %d, want 422", r.StatusCode)
	}
	// From everywhere together: twenty at once.
	refused := 0
	for i := range 30 {
		if try("10.0.0."+string(rune('1'+i%9))+string(rune('0'+i/9))).StatusCode == http.StatusTooManyRequests {
			refused++
		}
	}
	if refused < 5 {
		t.Errorf("%d of 30 tries from many addresses refused, want at least 5", refused)
	}
}

func TestServerStopsGracefully(t *testing.T) {
	s := local(t, nil)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(ctx, l) }()
	r, err := http.Get("http://" + l.Addr().String() + "/specimen")
	if err != nil || r.StatusCode != http.StatusOK {
		t.Fatalf("%v, %v", r, err)
	}
	if err := r.Body.Close(); err != nil {
		t.Fatal(err)
	}
	cancel()
	if err := <-ended; err != nil {
		t.Errorf("stopping: %v", err)
	}
	if _, err := net.Dial("tcp", l.Addr().String()); err == nil {
		t.Error("still listening")
	}
}
