package main

import (
	"bytes"
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"path/filepath"
	"time"

	"platewright/internal/archive"
	"platewright/internal/demo"
	"platewright/internal/paper"
	"platewright/internal/store"
	"platewright/internal/studio"
	"platewright/internal/web"
	"platewright/reckon"
)

// passwordSetting is the setting that holds the studio's password, as web.HashPassword wrote it.
const passwordSetting = "password"

// house is an open studio folder with everything that works on it.
type house struct {
	dir     string
	guard   *archive.Guard
	store   *store.Store
	files   *archive.Archive
	studio  *studio.Studio
	clock   func() time.Time
	scratch string
}

// enter opens the studio in dir, which is made if it is not there, for this process alone.
func enter(ctx context.Context, dir string, clock func() time.Time) (*house, error) {
	dir, err := filepath.Abs(dir)
	if err != nil {
		return nil, fmt.Errorf("studio's folder: %w", err)
	}
	if err := makeFolder(dir); err != nil {
		return nil, err
	}
	h := &house{dir: dir, clock: clock, scratch: filepath.Join(dir, "scratch")}
	if h.guard, err = archive.Lock(dir); err != nil {
		return nil, err
	}
	if err := h.furnish(ctx); err != nil {
		return nil, errors.Join(err, h.leave())
	}
	return h, nil
}

func (h *house) furnish(ctx context.Context) (err error) {
	if err = os.MkdirAll(h.scratch, 0o700); err != nil {
		return fmt.Errorf("scratch folder: %w", err)
	}
	if err = clearUploads(h.scratch); err != nil {
		return fmt.Errorf("scratch folder: %w", err)
	}
	if h.files, err = archive.Open(h.dir); err != nil {
		return err
	}
	if h.store, err = store.Open(ctx, h.dir); err != nil {
		return err
	}
	h.studio = studio.New(h.store, h.clock, newID)
	return nil
}

// clearUploads removes the uploads that a stop cut off, and nothing else that lies in the folder: it
// may have been somebody's before it was the studio's.
func clearUploads(scratch string) error {
	entries, err := os.ReadDir(scratch)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if !e.Type().IsRegular() || !web.IsUpload(e.Name()) {
			continue
		}
		if err := os.Remove(filepath.Join(scratch, e.Name())); err != nil {
			return err
		}
	}
	return nil
}

// leave closes what enter opened.
func (h *house) leave() error {
	var errs []error
	if h.store != nil {
		errs = append(errs, h.store.Close())
	}
	if h.files != nil {
		errs = append(errs, h.files.Close())
	}
	return errors.Join(append(errs, h.guard.Unlock())...)
}

// read returns a kept file whole.
func (h *house) read(ctx context.Context, name string) ([]byte, error) {
	f, err := h.files.Open(ctx, name)
	if err != nil {
		return nil, err
	}
	content, err := io.ReadAll(f)
	return content, errors.Join(err, f.Close())
}

// newID returns 26 letters and figures that were never given before.
func newID() studio.ID { return studio.ID(rand.Text()) }

// server returns the screens over this studio, to be served at an address.
func (h *house) server(listen string, log *slog.Logger) (*web.Server, error) {
	return web.New(web.Config{
		Studio:    h.studio,
		Files:     h.files,
		Reckon:    reckon.New(),
		Passport:  passport,
		Card:      card,
		LensSheet: lensSheet,
		Brief:     brief,
		Example:   h.example,
		Location:  time.Local,
		Scratch:   h.scratch,
		StudioName: func(ctx context.Context) (string, error) {
			p, err := h.studio.Profile(ctx)
			if errors.Is(err, studio.ErrNotFound) {
				return "", nil
			}
			return p.Name, err
		},
		Passwords: h.password,
		Sessions:  h.store.Sessions(),
		Clock:     h.clock,
		Log:       log,
		Version:   version(),
		Listen:    listen,
	})
}

// password returns the studio's password as it is kept, empty when it has none.
func (h *house) password(ctx context.Context) (string, error) {
	kept, err := h.store.Setting(ctx, passwordSetting)
	if errors.Is(err, studio.ErrNotFound) {
		return "", nil
	}
	return kept, err
}

// example fills the studio, which must hold no sitters, with the invented one. It works on a clock
// of its own, so that the studio's runs on.
func (h *house) example(ctx context.Context) error {
	_, err := h.fill(ctx, demo.NewClock(h.clock))
	return err
}

// fill makes the invented studio, whole or not at all, with its photographs filed as the Copy stand
// files them.
func (h *house) fill(ctx context.Context, clock *demo.Clock) (filled *demo.Filled, err error) {
	err = h.store.Bulk(ctx, func(records studio.Records) error {
		s := studio.New(records, clock.Now, newID)
		filled, err = demo.Fill(ctx, s, clock, demo.Options{
			Seed:  1857,
			Today: time.Now(),
			File: func(ctx context.Context, n studio.Number, fileName string, content []byte) error {
				_, err := s.FileCopy(ctx, h.files, n, studio.NewCopy{
					Event: newID(), FileName: fileName, Content: bytes.NewReader(content), At: s.Now(), Device: "copy stand"})
				return err
			},
		})
		return err
	})
	return filled, err
}

// passport writes a plate's passport.
func passport(w io.Writer, facts studio.PassportFacts, sheet string) error {
	return paper.Passport(w, paper.PageOf(facts, sheet))
}

// setPassword sets the password the studio in dir asks for on the network.
func setPassword(ctx context.Context, dir, password string) error {
	kept, err := web.HashPassword(password)
	if err != nil {
		return err
	}
	if err := makeFolder(dir); err != nil {
		return err
	}
	s, err := store.Open(ctx, dir)
	if err != nil {
		return err
	}
	return errors.Join(s.SetSetting(ctx, passwordSetting, kept), s.Close())
}
