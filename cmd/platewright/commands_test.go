package main

import (
	"errors"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// asker asks as one device does: it keeps cookies and follows no redirect.
func asker(t *testing.T) *http.Client {
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	return &http.Client{Jar: jar, Timeout: 20 * time.Second,
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
}

// answer is what a request was answered with.
type answer struct {
	status   int
	location string
	body     string
}

func ask(t *testing.T, c *http.Client, r *http.Request) answer {
	t.Helper()
	got, err := c.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	body, err := io.ReadAll(got.Body)
	if err != nil {
		t.Fatal(err)
	}
	if err := got.Body.Close(); err != nil {
		t.Fatal(err)
	}
	return answer{got.StatusCode, got.Header.Get("Location"), string(body)}
}

// asked is a request that a machine elsewhere sends through a proxy, or one from this machine.
func asked(t *testing.T, elsewhere bool, method, address string, form url.Values) *http.Request {
	t.Helper()
	r, err := http.NewRequest(method, address, strings.NewReader(form.Encode()))
	if err != nil {
		t.Fatal(err)
	}
	if form != nil {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	if elsewhere {
		r.Header.Set("X-Forwarded-For", "192.0.2.17")
	}
	return r
}

// TestBeyondThisMachine asks for a password before other machines are served, and then asks them for
// it.
func TestBeyondThisMachine(t *testing.T) {
	dir := t.TempDir()
	refused := does(t, "", "open", "--studio", dir, "--listen", "0.0.0.0:0", "--no-browser")
	if refused.status != 3 || !strings.Contains(refused.err, "error: 0.0.0.0:0 can be reached by other machines, and this studio has no password") ||
		!strings.Contains(refused.err, "hint: ") || refused.out != "" {
		t.Errorf("open beyond this machine without a password: status %d, want 3 with the reason and a hint\n%s%s", refused.status, refused.out, refused.err)
	}

	const password = "albumen and oil of lavender"
	set := does(t, password+"\n", "password", "--studio", dir)
	if set.status != 0 || set.out != "password set\n" {
		t.Fatalf("password: status %d\n%s%s", set.status, set.out, set.err)
	}
	leak, err := os.ReadFile(filepath.Join(dir, "studio.db"))
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(string(leak), password) {
		t.Error("the studio holds the password itself")
	}

	s := opened(t, dir, "0.0.0.0:0")
	defer s.stopped(t)
	here := s.base
	if !strings.HasPrefix(here, "http://127.0.0.1:") {
		t.Errorf("the first address printed is %s, want the one of this machine", here)
	}
	if got := ask(t, asker(t), asked(t, false, "GET", here+"/begin", nil)); got.status != http.StatusOK {
		t.Errorf("from this machine /begin answers %d, want 200 without a login", got.status)
	}
	far := asker(t)
	if got := ask(t, far, asked(t, true, "GET", here+"/begin", nil)); got.status != http.StatusSeeOther || got.location != "/login?next=%2Fbegin" {
		t.Errorf("from elsewhere /begin answers %d and leads to %q, want 303 to the login", got.status, got.location)
	}
	if got := ask(t, far, asked(t, true, "GET", here+"/api/plates/26-0001", nil)); got.status != http.StatusUnauthorized {
		t.Errorf("from elsewhere the interface answers %d, want 401", got.status)
	}
	if got := ask(t, far, asked(t, true, "POST", here+"/login", url.Values{"password": {"albumen"}, "next": {"/begin"}})); got.status/100 != 4 {
		t.Errorf("a wrong password is answered with %d", got.status)
	}
	if got := ask(t, far, asked(t, true, "POST", here+"/login", url.Values{"password": {password}, "next": {"/begin"}})); got.status != http.StatusSeeOther || got.location != "/begin" {
		t.Fatalf("the password is answered with %d to %q, want 303 to /begin\n%s", got.status, got.location, got.body)
	}
	if got := ask(t, far, asked(t, true, "GET", here+"/begin", nil)); got.status != http.StatusOK {
		t.Errorf("after the login /begin answers %d, want 200", got.status)
	}
	if got := ask(t, asker(t), asked(t, true, "GET", here+"/begin", nil)); got.status != http.StatusSeeOther {
		t.Errorf("another device is let in by the login of the first: %d", got.status)
	}
}

// TestLoginOutlivesRestart keeps a device logged in when the program is killed and started again.
func TestLoginOutlivesRestart(t *testing.T) {
	dir := t.TempDir()
	if set := does(t, "varnish by the fire\n", "password", "--studio", dir); set.status != 0 {
		t.Fatalf("password: status %d\n%s", set.status, set.err)
	}
	s := opened(t, dir, "127.0.0.1:0")
	far := asker(t)
	if got := ask(t, far, asked(t, true, "POST", s.base+"/login", url.Values{"password": {"varnish by the fire"}})); got.status != http.StatusSeeOther {
		t.Fatalf("login answers %d", got.status)
	}
	s.killed(t)
	s = opened(t, dir, strings.TrimPrefix(s.base, "http://"))
	defer s.stopped(t)
	if got := ask(t, far, asked(t, true, "GET", s.base+"/begin", nil)); got.status != http.StatusOK {
		t.Errorf("after a restart the device is asked again: %d to %s", got.status, got.location)
	}
}

// TestOneProgramAtATime refuses a studio that another program serves, in one sentence, and takes it
// when that one was killed.
func TestOneProgramAtATime(t *testing.T) {
	dir := t.TempDir()
	s := opened(t, dir, "127.0.0.1:0")
	for _, command := range [][]string{
		{"open", "--studio", dir, "--listen", "127.0.0.1:0", "--no-browser"},
		{"demo", "--once", "--studio", dir},
	} {
		second := does(t, "", command...)
		if second.status == 0 || strings.Count(second.err, "\n") > 2 || !strings.HasPrefix(second.err, "error: ") {
			t.Errorf("%v beside another: status %d, want a refusal in a sentence\n%s", command, second.status, second.err)
		}
		if command[0] == "open" && !strings.Contains(second.err, "in use by process") {
			t.Errorf("%v beside another does not say who has the folder:\n%s", command, second.err)
		}
	}
	s.killed(t)
	opened(t, dir, "127.0.0.1:0").stopped(t)
}

// TestDemoOnce does the demo's day and finds what it says it made.
func TestDemoOnce(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "studio")
	done := does(t, "", "demo", "--once", "--studio", dir)
	if done.status != 0 {
		t.Fatalf("demo --once: status %d\n%s%s", done.status, done.out, done.err)
	}
	if done.err != "" {
		t.Errorf("demo --once writes to standard error:\n%s", done.err)
	}
	lines := strings.Split(strings.TrimSuffix(done.out, "\n"), "\n")
	if len(lines) >= 60 {
		t.Errorf("demo --once prints %d lines, want fewer than 60", len(lines))
	}
	_, made, ok := strings.Cut(done.out, "\nmade\n")
	if !ok {
		t.Fatalf("demo --once does not say what it made:\n%s", done.out)
	}
	paths := map[string]string{}
	for line := range strings.Lines(made) {
		word, value, _ := strings.Cut(strings.TrimSpace(line), "  ")
		paths[word] = strings.TrimSpace(value)
	}
	for word, begins := range map[string]string{"photograph": "\xff\xd8\xff", "true view": "\xff\xd8\xff", "passport": "%PDF-"} {
		content, err := os.ReadFile(paths[word])
		if err != nil {
			t.Errorf("%s: %v", word, err)
			continue
		}
		if !strings.HasPrefix(string(content), begins) {
			t.Errorf("%s at %s begins with %q, want %q", word, paths[word], content[:min(8, len(content))], begins)
		}
	}
	if paths["studio"] != dir {
		t.Errorf("the studio is said to lie in %q, want %q", paths["studio"], dir)
	}
	// What was made opens, with today's plate in it.
	s := opened(t, dir, "127.0.0.1:0")
	defer s.stopped(t)
	got := ask(t, asker(t), asked(t, false, "GET", s.base+"/plates/"+paths["plate"], nil))
	if got.status != http.StatusOK || !strings.Contains(got.body, paths["plate"]) {
		t.Errorf("plate %s answers %d", paths["plate"], got.status)
	}
}

// TestDemoOverwritesNothing refuses a folder that holds a studio, or anything else.
func TestDemoOverwritesNothing(t *testing.T) {
	dir := t.TempDir()
	letter := filepath.Join(dir, "letter.txt")
	if err := os.WriteFile(letter, []byte("dear"), 0o600); err != nil {
		t.Fatal(err)
	}
	mixed := does(t, "", "demo", "--once", "--studio", dir)
	if left, err := os.ReadDir(dir); mixed.status != 3 || !strings.Contains(mixed.err, "is not empty") || err != nil || len(left) != 1 {
		t.Errorf("demo beside a letter: status %d, want 3, the reason and nothing made: %v, %v\n%s", mixed.status, left, err, mixed.err)
	}
	if err := os.Remove(letter); err != nil {
		t.Fatal(err)
	}
	opened(t, dir, "127.0.0.1:0").stopped(t)
	refused := does(t, "", "demo", "--once", "--studio", dir)
	if refused.status != 3 || !strings.Contains(refused.err, "holds a studio already") {
		t.Errorf("demo in a studio: status %d, want 3 and the reason\n%s", refused.status, refused.err)
	}
}

// TestOpenLeavesOthersAlone opens a studio in a folder that somebody had used for other things: only
// uploads that were cut off are cleared away.
func TestOpenLeavesOthersAlone(t *testing.T) {
	dir := t.TempDir()
	scratch := filepath.Join(dir, "scratch")
	if err := os.MkdirAll(filepath.Join(scratch, "platewright-upload-no-file"), 0o700); err != nil {
		t.Fatal(err)
	}
	kept, cutOff := filepath.Join(scratch, "sketch.txt"), filepath.Join(scratch, "platewright-upload-123")
	for _, f := range []string{kept, cutOff} {
		if err := os.WriteFile(f, []byte("half"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	opened(t, dir, "127.0.0.1:0").stopped(t)
	if _, err := os.Stat(kept); err != nil {
		t.Errorf("what somebody had in the folder is gone: %v", err)
	}
	if _, err := os.Stat(cutOff); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("an upload that was cut off is still there: %v", err)
	}
}

// TestPasswordChangedWhileServing ends every login at once.
func TestPasswordChangedWhileServing(t *testing.T) {
	dir := t.TempDir()
	set := func(password string) {
		t.Helper()
		if set := does(t, password+"\n", "password", "--studio", dir); set.status != 0 {
			t.Fatalf("password: status %d\n%s", set.status, set.err)
		}
	}
	set("varnish by the fire")
	s := opened(t, dir, "127.0.0.1:0")
	defer s.stopped(t)
	far := asker(t)
	if got := ask(t, far, asked(t, true, "POST", s.base+"/login", url.Values{"password": {"varnish by the fire"}})); got.status != http.StatusSeeOther {
		t.Fatalf("login answers %d", got.status)
	}
	if got := ask(t, far, asked(t, true, "GET", s.base+"/begin", nil)); got.status != http.StatusOK {
		t.Fatalf("after the login /begin answers %d", got.status)
	}
	set("varnish by the window")
	if got := ask(t, far, asked(t, true, "GET", s.base+"/begin", nil)); got.status != http.StatusSeeOther {
		t.Errorf("after the password was changed the old login is answered with %d, want 303 to the login", got.status)
	}
	if got := ask(t, far, asked(t, true, "POST", s.base+"/login", url.Values{"password": {"varnish by the window"}})); got.status != http.StatusSeeOther {
		t.Errorf("the new password is answered with %d", got.status)
	}
}
