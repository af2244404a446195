//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package archive

import (
	"errors"
	"os"
	"syscall"
)

func hold(f *os.File) error {
	err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		return errHeld
	}
	return err
}

func release(f *os.File) error { return syscall.Flock(int(f.Fd()), syscall.LOCK_UN) }
