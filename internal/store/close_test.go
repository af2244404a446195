package store_test

import (
	"errors"
	"os"
	"path/filepath"
	"testing"

	"platewright/internal/store"
)

// TestWholeAfterClose holds that after a clean close the file studio.db is whole alone: a copy of
// nothing else has all that was stored, by many readers and a writer.
func TestWholeAfterClose(t *testing.T) {
	folder, copied := t.TempDir(), t.TempDir()
	s, err := store.Open(t.Context(), folder)
	ok(t, err)
	filled(t, s)
	ok(t, s.SetSetting(t.Context(), "last", "line"))
	for range 8 {
		_, err := s.Setting(t.Context(), "last")
		ok(t, err)
	}
	if _, err := os.Stat(filepath.Join(folder, "studio.db-wal")); err != nil {
		t.Errorf("before the close there is no log to be taken in: %v", err)
	}
	ok(t, s.Close())
	for _, beside := range []string{"studio.db-wal", "studio.db-shm"} {
		if _, err := os.Stat(filepath.Join(folder, beside)); !errors.Is(err, os.ErrNotExist) {
			t.Errorf("after a clean close %s is still there (%v)", beside, err)
		}
	}
	content, err := os.ReadFile(filepath.Join(folder, "studio.db"))
	ok(t, err)
	ok(t, os.WriteFile(filepath.Join(copied, "studio.db"), content, 0o600))
	s, err = store.Open(t.Context(), copied)
	ok(t, err)
	last, err := s.Setting(t.Context(), "last")
	ok(t, err)
	same(t, "last setting", last, "line")
	sitters, err := s.Sitters().All(t.Context())
	ok(t, err)
	if len(sitters) == 0 {
		t.Error("the copy has no sitters")
	}
	ok(t, s.Close())
}
