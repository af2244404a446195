package archive_test

import (
	"bufio"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"platewright/internal/archive"
)

const childFolder = "PLATEWRIGHT_TEST_CHILD_FOLDER"

// TestLock holds the folder in a second process, then kills that: the lock goes with it.
func TestLock(t *testing.T) {
	if folder := os.Getenv(childFolder); folder != "" {
		_, err := archive.Lock(folder)
		fmt.Println("locked:", err == nil)
		time.Sleep(time.Minute)
		return
	}
	folder := t.TempDir()
	guard, err := archive.Lock(folder)
	ok(t, err)
	var inUse *archive.InUse
	if _, err := archive.Lock(folder); !errors.As(err, &inUse) || inUse.Process != os.Getpid() {
		t.Errorf("locking twice: got %v, want *InUse by process %d", err, os.Getpid())
	}
	ok(t, guard.Unlock())

	child := exec.Command(os.Args[0], "-test.run=^TestLock$")
	child.Env = append(os.Environ(), childFolder+"="+folder)
	out, err := child.StdoutPipe()
	ok(t, err)
	ok(t, child.Start())
	line, err := bufio.NewReader(out).ReadString('\n')
	ok(t, err)
	if line != "locked: true\n" {
		t.Fatalf("the other process says %q", line)
	}
	_, err = archive.Lock(folder)
	if !errors.As(err, &inUse) || inUse.Process != child.Process.Pid || !strings.Contains(err.Error(), fmt.Sprint("process ", child.Process.Pid)) {
		t.Errorf("got %v, want *InUse by process %d", err, child.Process.Pid)
	}
	ok(t, child.Process.Kill())
	if err := child.Wait(); err == nil {
		t.Error("the other process ended by itself")
	}
	guard, err = archive.Lock(folder)
	ok(t, err)
	ok(t, guard.Unlock())
}
