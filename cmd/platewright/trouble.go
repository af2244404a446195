package main

import (
	"errors"
	"fmt"
	"io/fs"
	"net"
	"os"
	"syscall"
)

// trouble is an error told in a user's words, with what to do about it.
type trouble struct {
	why, next string
	cause     error
}

func (t trouble) Error() string { return t.why }
func (t trouble) Unwrap() error { return t.cause }

// Hint tells the command line what to do.
func (t trouble) Hint() string { return t.next }

// unheard says why an address cannot be served.
func unheard(address string, err error) error {
	var name *net.DNSError
	switch {
	case errors.Is(err, syscall.EADDRINUSE):
		return trouble{"something else serves at " + address, "name another with --listen, such as --listen 127.0.0.1:0 for any free port", err}
	case errors.Is(err, fs.ErrPermission):
		return trouble{"this machine lets nobody but its keeper serve at " + address, "name a port above 1023 with --listen", err}
	case errors.Is(err, syscall.EADDRNOTAVAIL), errors.As(err, &name):
		return trouble{"this machine has no address " + address, "name one of its own with --listen, or 0.0.0.0 for all of them", err}
	}
	return fmt.Errorf("listen on %s: %w", address, err)
}

// makeFolder makes a studio's folder where it is not there yet.
func makeFolder(dir string) error {
	err := os.MkdirAll(dir, 0o700)
	switch {
	case err == nil:
		return nil
	case errors.Is(err, syscall.ENOTDIR):
		return trouble{"studio's folder " + dir + ": a file lies there, or on the way to it", "name a folder with --studio", err}
	case errors.Is(err, fs.ErrPermission):
		return trouble{"studio's folder " + dir + " cannot be made: that is not allowed here", "name another folder with --studio", err}
	}
	return fmt.Errorf("studio's folder: %w", err)
}
