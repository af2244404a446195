package main

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// TestTroubleInWords meets what commonly goes wrong with a command: each is told in one sentence with
// what to do, at once, and makes nothing.
func TestTroubleInWords(t *testing.T) {
	dir := t.TempDir()
	s := opened(t, dir, "127.0.0.1:0")
	defer s.stopped(t)
	taken := strings.TrimPrefix(s.base, "http://")
	file := filepath.Join(t.TempDir(), "letter.txt")
	if err := os.WriteFile(file, []byte("dear"), 0o600); err != nil {
		t.Fatal(err)
	}
	other := filepath.Join(t.TempDir(), "other")
	unmade := filepath.Join(t.TempDir(), "unmade")
	for _, tt := range []struct {
		words     []string
		stdin     string
		status    int
		why, hint string
	}{
		{[]string{"open", "--studio", other, "--no-browser", "--listen", taken}, "", 1, "something else serves at " + taken, "name another with --listen"},
		{[]string{"open", "--studio", other, "--no-browser", "--listen", "192.0.2.1:0"}, "", 3, "has no password", "set one first with platewright password"},
		{[]string{"open", "--studio", file, "--no-browser", "--listen", "127.0.0.1:0"}, "", 1, "a file lies there", "name a folder with --studio"},
		{[]string{"open", "--studio", filepath.Join(file, "below"), "--no-browser"}, "", 1, "a file lies there", "name a folder with --studio"},
		{[]string{"password", "--studio", file}, "long enough a word\n", 1, "a file lies there", "name a folder with --studio"},
		{[]string{"open", "--studio", dir, "--no-browser"}, "", 1, "in use by process", "end it first, or open its address in the browser"},
		{[]string{"password", "--studio", other}, "x\n", 1, "password: 1 letter, allowed are 10 to 256", ""},
		{[]string{"demo", "--studio", unmade, "--listen", "0.0.0.0:0"}, "", 3, "the invented studio has no password", "platewright password --studio DIR"},
		{[]string{"demo", "--studio", unmade, "--listen", "127.0.0.1:99999"}, "", 3, "is not a number from 0 to 65535", "write 127.0.0.1:8417"},
	} {
		begun := time.Now()
		got := does(t, tt.stdin, tt.words...)
		if got.status != tt.status || !strings.HasPrefix(got.err, "error: ") || !strings.Contains(got.err, tt.why) || strings.Count(got.err, "\n") > 2 || got.out != "" {
			t.Errorf("%v: status %d, want %d and %q\n%s%s", tt.words, got.status, tt.status, tt.why, got.out, got.err)
		}
		if !strings.Contains(got.err, tt.hint) || strings.Contains(got.err, "hint: ") != (tt.hint != "") {
			t.Errorf("%v: the hint is not %q:\n%s", tt.words, tt.hint, got.err)
		}
		if took := time.Since(begun); took > 10*time.Second {
			t.Errorf("%v: refused after %v", tt.words, took)
		}
	}
	if _, err := os.Stat(unmade); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a demo that was refused made its folder all the same: %v", err)
	}
	help := does(t, "", "password", "--help")
	if !strings.Contains(help.out, "10 to 256 letters") {
		t.Errorf("the help of password does not say how long one is:\n%s", help.out)
	}
}
