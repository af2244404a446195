package archive

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// The byte that is locked lies behind the process id, which others may go on reading.
var place = windows.Overlapped{Offset: 1 << 30}

func hold(f *os.File) error {
	at := place
	err := windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0, &at)
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) {
		return errHeld
	}
	return err
}

func release(f *os.File) error {
	at := place
	return windows.UnlockFileEx(windows.Handle(f.Fd()), 0, 1, 0, &at)
}
