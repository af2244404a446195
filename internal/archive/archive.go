package archive

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"regexp"
	"runtime"
	"time"

	"platewright/internal/studio"
)

// Archive is the open folder of a studio's files. It is safe for use by several goroutines and by
// several programs.
type Archive struct{ root *os.Root }

var _ studio.Files = (*Archive)(nil)

const tmp = "tmp"

// leftover is how long nothing may have been written to a file under tmp before it counts as left
// over from a crash.
const leftover = time.Hour

// Open opens the archive in the studio's folder, making it if it is not there, and clears away what
// crashes left over.
func Open(studioFolder string) (*Archive, error) {
	folder := studioFolder + string(os.PathSeparator) + "files"
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return nil, fmt.Errorf("open archive: %w", err)
	}
	root, err := os.OpenRoot(folder)
	if err != nil {
		return nil, fmt.Errorf("open archive: %w", err)
	}
	a := &Archive{root: root}
	if err := a.sweep(time.Now().Add(-leftover)); err != nil {
		return nil, errors.Join(fmt.Errorf("open archive: %w", err), root.Close())
	}
	return a, nil
}

// Close ends the use of the archive. Files opened from it stay open.
func (a *Archive) Close() error { return a.root.Close() }

// ours tells a file that create made from whatever else may lie under tmp.
var ours = regexp.MustCompile(`^[A-Z2-7]{26}$`)

// sweep removes files of ours under tmp last written to before then.
func (a *Archive) sweep(then time.Time) error {
	if err := a.folder(tmp); err != nil {
		return err
	}
	entries, err := fs.ReadDir(a.root.FS(), tmp)
	if err != nil {
		return err
	}
	for _, e := range entries {
		about, err := e.Info()
		if errors.Is(err, fs.ErrNotExist) {
			continue // another program was faster
		}
		if err != nil {
			return err
		}
		if !ours.MatchString(e.Name()) || !about.Mode().IsRegular() || !about.ModTime().Before(then) {
			continue
		}
		if err := a.root.Remove(tmp + "/" + e.Name()); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return nil
}

// WellFormed says whether hash has the form of a file's name here.
func WellFormed(hash string) bool {
	if len(hash) != 2*sha256.Size {
		return false
	}
	for i := range len(hash) {
		if c := hash[i]; (c < '0' || c > '9') && (c < 'a' || c > 'f') {
			return false
		}
	}
	return true
}

// path returns where a file lies; a name of another form is no file of ours.
func path(hash string) (string, error) {
	if !WellFormed(hash) {
		if len(hash) > 80 {
			hash = hash[:80]
		}
		return "", fmt.Errorf("file %q: not 64 hexadecimal figures: %w", hash, studio.ErrNotFound)
	}
	return hash[:2] + "/" + hash[2:], nil
}

// Put keeps everything r holds and returns its name. When Put returns, the file is on the disk;
// when it fails, nothing is.
func (a *Archive) Put(ctx context.Context, r io.Reader) (hash string, err error) {
	f, name, err := a.create()
	if err != nil {
		return "", fmt.Errorf("put: %w", err)
	}
	sum := sha256.New()
	size, err := io.Copy(io.MultiWriter(f, sum), patient{ctx, r})
	if err == nil {
		err = f.Sync()
	}
	err = errors.Join(err, f.Close())
	hash = hex.EncodeToString(sum.Sum(nil))
	if err == nil {
		err = ctx.Err()
	}
	if err == nil {
		err = a.keep(ctx, name, hash, size)
	}
	if gone := a.root.Remove(name); gone != nil && !errors.Is(gone, fs.ErrNotExist) {
		err = errors.Join(err, gone)
	}
	if err != nil {
		return "", fmt.Errorf("put: %w", err)
	}
	return hash, nil
}

// patient reads from r for as long as ctx lasts.
type patient struct {
	ctx context.Context
	r   io.Reader
}

func (p patient) Read(b []byte) (int, error) {
	if err := p.ctx.Err(); err != nil {
		return 0, err
	}
	return p.r.Read(b)
}

// create opens a fresh file under tmp.
func (a *Archive) create() (*os.File, string, error) {
	if err := a.folder(tmp); err != nil {
		return nil, "", err
	}
	name := tmp + "/" + rand.Text()
	f, err := a.root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	return f, name, err
}

// keep gives the finished file its name for good.
func (a *Archive) keep(ctx context.Context, name, hash string, size int64) error {
	to, err := path(hash)
	if err != nil {
		return err
	}
	if err := a.folder(hash[:2]); err != nil {
		return err
	}
	err = a.root.Link(name, to)
	if errors.Is(err, fs.ErrExist) {
		if there, damaged := a.verify(ctx, hash); damaged == nil && there == size {
			return a.flush(hash[:2]) // kept before, perhaps by another hand a moment ago
		}
		err = a.root.Rename(name, to) // it was damaged: put the sound one in its place
	} else if err != nil {
		err = a.root.Rename(name, to) // a disk without links
	}
	if err != nil {
		return err
	}
	return a.flush(hash[:2])
}

// folder makes a folder of the archive if it is not there, so that it outlives a power cut.
func (a *Archive) folder(name string) error {
	switch err := a.root.Mkdir(name, 0o700); {
	case errors.Is(err, fs.ErrExist):
		return nil
	case err != nil:
		return err
	}
	return a.flush(".")
}

// flush brings a folder's list of names to the disk.
func (a *Archive) flush(folder string) error {
	if runtime.GOOS == "windows" {
		return nil // which has no such call and journals its folders itself
	}
	d, err := a.root.Open(folder)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}

// Open opens a kept file for reading; the error of a file that is not there wraps
// [studio.ErrNotFound].
func (a *Archive) Open(_ context.Context, hash string) (io.ReadSeekCloser, error) {
	f, err := a.open(hash)
	if err != nil {
		return nil, err
	}
	return f, nil
}

func (a *Archive) open(hash string) (*os.File, error) {
	p, err := path(hash)
	if err != nil {
		return nil, err
	}
	f, err := a.root.Open(p)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("file %s: %w", hash, studio.ErrNotFound)
	}
	if err != nil {
		return nil, fmt.Errorf("file %s: %w", hash, err)
	}
	about, err := f.Stat()
	if err == nil && !about.Mode().IsRegular() {
		err = errors.New("is no regular file")
	}
	if err != nil {
		return nil, errors.Join(fmt.Errorf("file %s: %w", hash, err), f.Close())
	}
	return f, nil
}

// Has says whether a file of that name is kept.
func (a *Archive) Has(_ context.Context, hash string) (bool, error) {
	f, err := a.open(hash)
	if errors.Is(err, studio.ErrNotFound) {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	return true, f.Close()
}

// Damaged says that a file's bytes are no longer those its name stands for.
type Damaged struct {
	Hash string // the name it is kept under
	Got  string // the name its bytes would have
	Size int64  // how many bytes it has now
}

func (e *Damaged) Error() string {
	return fmt.Sprintf("file %s: damaged: its %d bytes sum to %s", e.Hash, e.Size, e.Got)
}

// Verify reads a kept file whole and compares it with its name; one that does not fit gives
// [*Damaged].
func (a *Archive) Verify(ctx context.Context, hash string) error {
	_, err := a.verify(ctx, hash)
	return err
}

func (a *Archive) verify(ctx context.Context, hash string) (size int64, err error) {
	f, err := a.open(hash)
	if err != nil {
		return 0, err
	}
	sum := sha256.New()
	size, err = io.Copy(sum, patient{ctx, f})
	if err = errors.Join(err, f.Close()); err != nil {
		return 0, fmt.Errorf("file %s: %w", hash, err)
	}
	if got := hex.EncodeToString(sum.Sum(nil)); got != hash {
		return size, &Damaged{Hash: hash, Got: got, Size: size}
	}
	return size, nil
}

// All calls each with the name of every kept file, in order, until each returns an error. What has
// no name of this archive's form is passed over.
func (a *Archive) All(ctx context.Context, each func(hash string) error) error {
	folders, err := fs.ReadDir(a.root.FS(), ".")
	if err != nil {
		return fmt.Errorf("list archive: %w", err)
	}
	for _, folder := range folders {
		if len(folder.Name()) != 2 || !folder.IsDir() {
			continue
		}
		files, err := fs.ReadDir(a.root.FS(), folder.Name())
		if err != nil {
			return fmt.Errorf("list archive: %w", err)
		}
		for _, file := range files {
			if err := ctx.Err(); err != nil {
				return err
			}
			if hash := folder.Name() + file.Name(); WellFormed(hash) {
				if err := each(hash); err != nil {
					return err
				}
			}
		}
	}
	return nil
}
