package main

import (
	"bufio"
	"bytes"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

// built is the program under test, built by TestMain as a user builds it.
var built string

func TestMain(m *testing.M) {
	flag.Parse()
	os.Exit(run(m))
}

func run(m *testing.M) (status int) {
	dir, err := os.MkdirTemp("", "platewright-command-")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer func() {
		if err := os.RemoveAll(dir); err != nil {
			fmt.Fprintln(os.Stderr, err)
			status = max(status, 1)
		}
	}()
	built = filepath.Join(dir, "platewright")
	if out, err := exec.Command("go", "build", "-o", built, ".").CombinedOutput(); err != nil {
		fmt.Fprintf(os.Stderr, "go build: %v\n%s", err, out)
		return 1
	}
	return m.Run()
}

// outcome is how a command ended.
type outcome struct {
	status   int
	out, err string
}

// does runs a command of the program to its end.
func does(t testing.TB, stdin string, args ...string) outcome {
	t.Helper()
	c := exec.Command(built, args...)
	var out, errs bytes.Buffer
	c.Stdin, c.Stdout, c.Stderr = strings.NewReader(stdin), &out, &errs
	c.Env = append(os.Environ(), "DISPLAY=", "WAYLAND_DISPLAY=")
	err := c.Run()
	var ended *exec.ExitError
	if err != nil && !errors.As(err, &ended) {
		t.Fatal(err)
	}
	return outcome{c.ProcessState.ExitCode(), out.String(), errs.String()}
}

// serving is the program serving a studio.
type serving struct {
	base    string // the first address it printed
	took    time.Duration
	command *exec.Cmd
	said    *log
}

// log keeps what the program writes to standard error.
type log struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (l *log) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.Write(p)
}

func (l *log) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.String()
}

// opened runs platewright open on a studio and waits for the address it prints.
func opened(t testing.TB, dir, listen string) *serving {
	t.Helper()
	c := exec.Command(built, "open", "--studio", dir, "--listen", listen, "--no-browser")
	s := &serving{command: c, said: &log{}}
	c.Stderr = s.said
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	begun := time.Now()
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	address := make(chan string, 1)
	go func() {
		defer close(address)
		lines := bufio.NewScanner(out)
		for lines.Scan() {
			if _, at, ok := strings.Cut(lines.Text(), "serving at "); ok {
				address <- at
				break
			}
		}
		if _, err := io.Copy(io.Discard, out); err != nil && !errors.Is(err, os.ErrClosed) {
			fmt.Fprintln(s.said, "standard output:", err)
		}
	}()
	select {
	case at, ok := <-address:
		if !ok {
			t.Fatalf("platewright open ended without an address: %v\n%s", c.Wait(), s.said)
		}
		s.base, s.took = at, time.Since(begun)
	case <-time.After(30 * time.Second):
		t.Fatalf("platewright open printed no address in 30 s\n%s", s.said)
	}
	return s
}

// killed ends the program as a cut of power does.
func (s *serving) killed(t testing.TB) {
	t.Helper()
	if err := s.command.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	if err := s.command.Wait(); err == nil {
		t.Fatal("a killed program ended well")
	}
}

// stopped asks the program to end, and fails the test when it does not end well.
func (s *serving) stopped(t testing.TB) {
	t.Helper()
	if err := s.command.Process.Signal(syscall.SIGTERM); err != nil {
		t.Error(err)
		return
	}
	if err := s.command.Wait(); err != nil {
		t.Errorf("asked to end, the program ended with %v\n%s", err, s.said)
	}
}
