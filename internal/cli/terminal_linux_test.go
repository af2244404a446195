package cli_test

import (
	"fmt"
	"os"
	"strings"
	"syscall"
	"testing"
	"unsafe"

	"platewright/internal/cli"
)

// onTerminal runs a command with standard output on a terminal and returns what it shows.
func onTerminal(t *testing.T, args ...string) string {
	t.Helper()
	far, err := os.OpenFile("/dev/ptmx", os.O_RDWR, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer far.Close()
	const unlock, number = 0x40045431, 0x80045430 // TIOCSPTLCK and TIOCGPTN of Linux
	var locked, n int32
	for request, value := range map[uintptr]*int32{unlock: &locked, number: &n} {
		if _, _, no := syscall.Syscall(syscall.SYS_IOCTL, far.Fd(), request, uintptr(unsafe.Pointer(value))); no != 0 {
			t.Fatal(no)
		}
	}
	near, err := os.OpenFile(fmt.Sprintf("/dev/pts/%d", n), os.O_RDWR|syscall.O_NOCTTY, 0)
	if err != nil {
		t.Fatal(err)
	}
	shown := make(chan string)
	go func() {
		var all strings.Builder
		buf := make([]byte, 4096)
		for {
			k, err := far.Read(buf) // fails when the near end is closed
			all.Write(buf[:k])
			if err != nil {
				shown <- strings.ReplaceAll(all.String(), "\r\n", "\n")
				return
			}
		}
	}()
	var stderr strings.Builder
	if status := cli.Main(t.Context(), args, strings.NewReader(""), near, &stderr, told()); status != cli.Done {
		t.Errorf("%q: status %d, %s", args, status, stderr.String())
	}
	if err := near.Close(); err != nil {
		t.Fatal(err)
	}
	return <-shown
}

// On a terminal an answer is a table unless JSON is asked for, and the list names the shelf's recipes.
// EV 1 at index 100 and f/4 is 8 s [ISO2720].
func TestOnATerminal(t *testing.T) {
	question := []string{"reckon", "seconds", "ev100=1", "exposure_index=100", "f_number=4"}
	if got := onTerminal(t, question...); !strings.HasPrefix(got, "seconds") || !strings.Contains(got, " 8 s\n") {
		t.Errorf("the answer is shown as\n%s", got)
	}
	if got := onTerminal(t, append(question, "--json")...); !strings.HasPrefix(got, `{"seconds":8,`) {
		t.Errorf("with --json the answer is shown as\n%s", got)
	}
	if got := onTerminal(t, "reckon"); !strings.Contains(got, "\n  silver bath of 45 grains\n") || !strings.HasPrefix(got, "focus ") {
		t.Errorf("the list is shown as\n%s", got)
	}
}
