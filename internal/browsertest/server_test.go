package browsertest

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"os"
	"os/exec"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

// server is the program serving a studio.
type server struct {
	dir     string
	base    string // http://127.0.0.1:port
	command *exec.Cmd
	said    *said
}

// said keeps what the program wrote to standard error.
type said struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (s *said) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.Write(p)
}

func (s *said) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.String()
}

// serve opens the studio in dir on a free port and serves it until the test ends.
func serve(t *testing.T, dir string) *server {
	t.Helper()
	s := &server{dir: dir, said: &said{}}
	s.start(t, "127.0.0.1:0")
	t.Cleanup(func() {
		s.stop(t, syscall.SIGTERM)
		if text := s.said.String(); strings.Contains(text, "level=ERROR") || strings.Contains(text, "panic") {
			t.Errorf("the server's log holds errors:\n%s", text)
		}
	})
	return s
}

// startWithin is how long the program may take until it serves; the bound on its own is kept by a
// benchmark of cmd/platewright, this one only ends a test that hangs.
const startWithin = 30 * time.Second

func (s *server) start(t *testing.T, listen string) {
	t.Helper()
	built, err := program()
	if err != nil {
		t.Fatal(err)
	}
	c := exec.Command(built, "open", "--studio", s.dir, "--listen", listen, "--no-browser")
	c.Env = append(os.Environ(), "DISPLAY=", "WAYLAND_DISPLAY=")
	c.Stderr = s.said
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	address := make(chan string, 1)
	go func() {
		lines := bufio.NewScanner(out)
		for lines.Scan() {
			if _, at, ok := strings.Cut(lines.Text(), "serving at "); ok {
				address <- at
				break
			}
		}
		close(address)
		if _, err := io.Copy(io.Discard, out); err != nil {
			fmt.Fprintln(s.said, "standard output:", err)
		}
	}()
	select {
	case at, ok := <-address:
		if !ok {
			t.Fatalf("platewright open ended without an address: %v\n%s", c.Wait(), s.said)
		}
		s.base = strings.TrimSuffix(at, "/")
	case <-time.After(startWithin):
		t.Fatalf("no address after %v\n%s", startWithin, s.said)
	}
	s.command = c
}

// stop ends the program by a signal and waits for it.
func (s *server) stop(t *testing.T, signal syscall.Signal) {
	t.Helper()
	if s.command == nil {
		return
	}
	if err := s.command.Process.Signal(signal); err != nil {
		t.Error(err)
	}
	err := s.command.Wait()
	s.command = nil
	if signal == syscall.SIGKILL {
		return // it always ends badly
	}
	if err != nil {
		t.Errorf("after %v the program ended with %v\n%s", signal, err, s.said)
	}
}

// killed ends the program with SIGKILL, as a cut of power does.
func (s *server) killed(t *testing.T) { t.Helper(); s.stop(t, syscall.SIGKILL) }

// again starts a killed program at the same address.
func (s *server) again(t *testing.T) {
	t.Helper()
	s.start(t, strings.TrimPrefix(s.base, "http://"))
}
