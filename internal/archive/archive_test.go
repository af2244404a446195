package archive_test

import (
	"bytes"
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/iotest"
	"time"

	"pgregory.net/rapid"

	"platewright/internal/archive"
	"platewright/internal/studio"
)

var ctx = context.Background()

func open(t testing.TB, folder string) *archive.Archive {
	t.Helper()
	a, err := archive.Open(folder)
	ok(t, err)
	t.Cleanup(func() { ok(t, a.Close()) })
	return a
}

func ok(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func read(t testing.TB, a *archive.Archive, hash string) []byte {
	t.Helper()
	f, err := a.Open(ctx, hash)
	ok(t, err)
	b, err := io.ReadAll(f)
	ok(t, errors.Join(err, f.Close()))
	return b
}

// files lists what lies below the folder, with slashes.
func files(t testing.TB, folder string) (names []string) {
	t.Helper()
	ok(t, filepath.WalkDir(folder, func(path string, d os.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			rel, err := filepath.Rel(folder, path)
			names = append(names, filepath.ToSlash(rel))
			return err
		}
		return err
	}))
	return names
}

// TestPublishedName: published; the standard's sample message "abc" [FIPS180, from memory].
func TestPublishedName(t *testing.T) {
	folder := t.TempDir()
	a := open(t, folder)
	const want = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
	hash, err := a.Put(ctx, strings.NewReader("abc"))
	ok(t, err)
	if hash != want {
		t.Errorf("put abc: got %s, want %s [FIPS180]", hash, want)
	}
	if got, want := files(t, folder), []string{"files/ba/" + want[2:]}; !slices.Equal(got, want) {
		t.Errorf("the folder holds %v, want %v", got, want)
	}
	if got := read(t, a, hash); string(got) != "abc" {
		t.Errorf("read back %q, want abc", got)
	}
	ok(t, a.Verify(ctx, hash))
}

func TestRoundTrip(t *testing.T) {
	a := open(t, t.TempDir())
	rapid.Check(t, func(rt *rapid.T) {
		content := rapid.SliceOfN(rapid.Byte(), 0, 5000).Draw(rt, "content")
		hash, err := a.Put(ctx, iotest.HalfReader(bytes.NewReader(content)))
		if err != nil {
			rt.Fatalf("put: %v", err)
		}
		if got := read(t, a, hash); !bytes.Equal(got, content) {
			rt.Fatalf("read back %d other bytes", len(got))
		}
		there, err := a.Has(ctx, hash)
		if err != nil || !there {
			rt.Fatalf("has: %t, %v", there, err)
		}
	})
}

func TestFailedPutLeavesNothing(t *testing.T) {
	folder := t.TempDir()
	a := open(t, folder)
	torn := errors.New("torn off")
	_, err := a.Put(ctx, io.MultiReader(strings.NewReader("half a picture"), iotest.ErrReader(torn)))
	if !errors.Is(err, torn) {
		t.Errorf("got %v, want the reader's error", err)
	}
	gone, leave := context.WithCancel(ctx)
	leave()
	if _, err := a.Put(gone, strings.NewReader("")); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v, want the caller's leaving", err)
	}
	if got := files(t, folder); len(got) > 0 {
		t.Errorf("left behind: %v", got)
	}
}

func TestSameContentAtOnce(t *testing.T) {
	folder := t.TempDir()
	a, other := open(t, folder), open(t, folder)
	content := bytes.Repeat([]byte("silver "), 30_000)
	var all sync.WaitGroup
	hashes, errs := make([]string, 8), make([]error, 8)
	for i := range 8 {
		all.Go(func() {
			hashes[i], errs[i] = []*archive.Archive{a, other}[i%2].Put(ctx, iotest.OneByteReader(bytes.NewReader(content)))
		})
	}
	all.Wait()
	ok(t, errors.Join(errs...))
	if hashes[0] == "" || len(slices.Compact(slices.Clone(hashes))) != 1 {
		t.Errorf("got the names %v, want one", hashes)
	}
	if got := files(t, folder); len(got) != 1 {
		t.Errorf("the folder holds %v, want one file", got)
	}
	ok(t, a.Verify(ctx, hashes[0]))
}

func TestHostileNames(t *testing.T) {
	folder := t.TempDir()
	a := open(t, folder)
	ok(t, os.WriteFile(filepath.Join(folder, "secret"), []byte("s"), 0o600))
	sixty := strings.Repeat("a", 60)
	for _, name := range []string{"", ".", "..", "/", "../secret", "../../etc/passwd", "ab/" + sixty, sixty, strings.Repeat("A", 64), strings.Repeat("g", 64),
		strings.Repeat("../", 21) + "a", strings.Repeat(".", 64), strings.Repeat("a", 63) + "\x00", strings.Repeat("a", 65), "..\\..\\secret", "tmp", strings.Repeat("é", 32), strings.Repeat("x", 100_000)} {
		if archive.WellFormed(name) {
			t.Errorf("%.80q passes for a name", name)
		}
		if _, err := a.Open(ctx, name); !errors.Is(err, studio.ErrNotFound) || len(err.Error()) > 500 {
			t.Errorf("open %.80q: got %.600v, want ErrNotFound", name, err)
		}
		if there, err := a.Has(ctx, name); there || err != nil {
			t.Errorf("has %.80q: %t, %v", name, there, err)
		}
		if err := a.Verify(ctx, name); !errors.Is(err, studio.ErrNotFound) {
			t.Errorf("verify %.80q: got %v, want ErrNotFound", name, err)
		}
	}

	// A link planted under a well-formed name leads nowhere, and neither does a folder.
	hash := strings.Repeat("a", 64)
	ok(t, os.Mkdir(filepath.Join(folder, "files", "aa"), 0o700))
	planted := filepath.Join(folder, "files", "aa", hash[2:])
	ok(t, os.Symlink(filepath.Join(folder, "secret"), planted))
	if f, err := a.Open(ctx, hash); err == nil {
		t.Errorf("a link out of the folder was followed: %v", f.Close())
	}
	ok(t, os.Remove(planted))
	ok(t, os.Mkdir(planted, 0o700))
	if _, err := a.Open(ctx, hash); err == nil {
		t.Error("a folder was opened as a file")
	}
}

// TestCrashLeftovers clears what a killed program left, and leaves what one is writing just now.
func TestCrashLeftovers(t *testing.T) {
	folder := t.TempDir()
	a, err := archive.Open(folder)
	ok(t, err)
	hash, err := a.Put(ctx, strings.NewReader("kept"))
	ok(t, errors.Join(err, a.Close()))
	stale, fresh := filepath.Join(folder, "files", "tmp", rand.Text()), filepath.Join(folder, "files", "tmp", rand.Text())
	foreign := filepath.Join(folder, "files", "tmp", "letter.txt") // of a folder that was somebody's before
	for _, f := range []string{stale, fresh, foreign} {
		ok(t, os.WriteFile(f, []byte("half"), 0o600))
	}
	for _, f := range []string{stale, foreign} {
		ok(t, os.Chtimes(f, time.Time{}, time.Now().Add(-2*time.Hour)))
	}
	a = open(t, folder)
	got, want := files(t, folder), []string{"files/" + hash[:2] + "/" + hash[2:], "files/tmp/" + filepath.Base(fresh), "files/tmp/letter.txt"}
	if slices.Sort(got); !slices.Equal(got, want) {
		t.Errorf("the folder holds %v, want %v", got, want)
	}
	ok(t, a.Verify(ctx, hash))
}

func TestDamage(t *testing.T) {
	folder := t.TempDir()
	a := open(t, folder)
	for name, spoil := range map[string]func(b []byte) []byte{
		"one bit":   func(b []byte) []byte { b[3] ^= 1; return b },
		"cut short": func(b []byte) []byte { return b[:4] },
		"emptied":   func([]byte) []byte { return nil },
	} {
		content := []byte("content for " + name)
		hash, err := a.Put(ctx, bytes.NewReader(content))
		ok(t, err)
		ok(t, os.WriteFile(filepath.Join(folder, "files", hash[:2], hash[2:]), spoil(bytes.Clone(content)), 0o600))
		var damaged *archive.Damaged
		if err := a.Verify(ctx, hash); !errors.As(err, &damaged) || damaged.Hash != hash {
			t.Errorf("%s: got %v, want *Damaged", name, err)
		}
		again, err := a.Put(ctx, bytes.NewReader(content)) // mends it
		ok(t, err)
		ok(t, a.Verify(ctx, again))
	}
}

func TestAll(t *testing.T) {
	folder := t.TempDir()
	a := open(t, folder)
	var want []string
	for i := range 300 {
		content := fmt.Sprint("file ", i)
		sum := sha256.Sum256([]byte(content))
		want = append(want, hex.EncodeToString(sum[:]))
		_, err := a.Put(ctx, strings.NewReader(content))
		ok(t, err)
	}
	ok(t, os.WriteFile(filepath.Join(folder, "files", want[0][:2], "notes.txt"), nil, 0o600))
	slices.Sort(want)
	var got []string
	ok(t, a.All(ctx, func(hash string) error { got = append(got, hash); return a.Verify(ctx, hash) }))
	if !slices.Equal(got, want) {
		t.Errorf("listed %d names, want the %d put", len(got), len(want))
	}
	stop := errors.New("stop")
	if err := a.All(ctx, func(string) error { return stop }); !errors.Is(err, stop) {
		t.Errorf("got %v, want the caller's error", err)
	}
}
