package archive

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// InUse says that another program serves the studio's folder.
type InUse struct {
	Folder  string
	Process int // its process id, 0 when it is not known
}

func (e *InUse) Error() string {
	if e.Process == 0 {
		return fmt.Sprintf("studio folder %s: in use by another program", e.Folder)
	}
	return fmt.Sprintf("studio folder %s: in use by process %d", e.Folder, e.Process)
}

// Hint says what to do about it.
func (e *InUse) Hint() string { return "end it first, or open its address in the browser" }

// Guard holds a studio's folder for this program.
type Guard struct{ f *os.File }

// errHeld is what hold returns when another program holds the file.
var errHeld = errors.New("held by another program")

// Lock takes the studio's folder, making it if it is not there, or returns [*InUse] at once. The
// lock ends with [Guard.Unlock] or with the process, however that ends; the file studio.lock stays.
func Lock(folder string) (*Guard, error) {
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return nil, fmt.Errorf("lock studio folder: %w", err)
	}
	f, err := os.OpenFile(filepath.Join(folder, "studio.lock"), os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, fmt.Errorf("lock studio folder: %w", err)
	}
	if err := hold(f); err != nil {
		if errors.Is(err, errHeld) {
			err = &InUse{Folder: folder, Process: holder(f)}
		} else {
			err = fmt.Errorf("lock studio folder %s: %w", folder, err)
		}
		return nil, errors.Join(err, f.Close())
	}
	if err := sign(f); err != nil {
		return nil, errors.Join(fmt.Errorf("lock studio folder %s: %w", folder, err), f.Close())
	}
	return &Guard{f: f}, nil
}

// sign writes this process's id into the file.
func sign(f *os.File) error {
	if err := f.Truncate(0); err != nil {
		return err
	}
	_, err := f.WriteAt([]byte(strconv.Itoa(os.Getpid())+"\n"), 0)
	return err
}

// holder reads the process id of the program that holds the file, 0 when it says none.
func holder(f *os.File) int {
	b, err := io.ReadAll(io.NewSectionReader(f, 0, 32))
	if err != nil {
		return 0
	}
	id, err := strconv.Atoi(strings.TrimSpace(string(b)))
	if err != nil || id < 0 {
		return 0
	}
	return id
}

// Unlock gives the folder free.
func (g *Guard) Unlock() error { return errors.Join(release(g.f), g.f.Close()) }
