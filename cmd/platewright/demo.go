package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"time"

	"platewright/internal/cli"
	"platewright/internal/demo"
	"platewright/internal/web"
)

// doDemo makes the invented studio, does today's first sitting in it through the screens, and opens
// it.
func doDemo(ctx context.Context, o cli.DemoOptions) (err error) {
	if !o.Once { // rather now than when all is made; the invented studio has no password
		if err := web.CheckListen(o.Listen, false); err != nil {
			if web.CheckListen(o.Listen, true) != nil { // no address at all
				return err
			}
			return refused{why: o.Listen + " can be reached by other machines, and the invented studio has no password",
				next: "make it with demo --once --studio DIR, then platewright password --studio DIR and platewright open --studio DIR --listen " + o.Listen}
		}
	}
	if o.Studio == "" {
		if o.Studio, err = demoFolder(); err != nil {
			return err
		}
	} else if err := untouched(o.Studio); err != nil {
		return err
	}
	clock := demo.NewClock(time.Now)
	h, err := enter(ctx, o.Studio, clock.Now)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, h.leave()) }()
	fmt.Fprintf(o.Out, "making an invented studio in %s\n", h.dir)
	filled, err := h.fill(ctx, clock)
	if err != nil {
		return err
	}
	// The sitting is done by requests to the same handler a browser talks to.
	s, err := h.server(cli.DefaultListen, slog.New(slog.NewTextHandler(o.Err, nil)))
	if err != nil {
		return err
	}
	save := saveIn(filepath.Join(h.dir, "papers"))
	made, err := filled.Day(ctx, demo.Screens(s, "http://"+cli.DefaultListen), demo.DayOptions{Out: o.Out, Save: save})
	if err != nil {
		return err
	}
	trueView, err := h.read(ctx, made.Copy.TrueView)
	if err != nil {
		return err
	}
	truePath, err := save("true-view-"+made.Number.String()+".jpg", trueView)
	if err != nil {
		return err
	}
	fmt.Fprintf(o.Out, "made\n")
	for _, row := range [][2]string{{"studio", h.dir}, {"plate", made.Number.String()}, {"photograph", made.Original}, {"true view", truePath}, {"passport", made.Passport}} {
		fmt.Fprintf(o.Out, "  %-14s%s\n", row[0], row[1])
	}
	if o.Once {
		return nil
	}
	return serve(ctx, h, o.OpenOptions, "/plates/"+made.Number.String())
}

// untouched refuses a folder that holds anything.
func untouched(folder string) error {
	next := "name another folder, or leave --studio out"
	held, err := os.ReadDir(folder)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return nil
	case err != nil:
		return fmt.Errorf("folder for the demo: %w", err)
	case slices.ContainsFunc(held, func(e os.DirEntry) bool { return e.Name() == "studio.db" }):
		return refused{why: folder + " holds a studio already, and the demo overwrites none", next: next}
	case len(held) > 0:
		return refused{why: folder + " is not empty, and the demo mixes with nothing", next: next}
	}
	return nil
}

// refused is a rule's no, with what to do instead.
type refused struct{ why, next string }

func (r refused) Error() string { return r.why }

// Refused tells the command line so.
func (r refused) Refused() (why, hint string) { return r.why, r.next }

// demoFolder makes a folder of the demo's own, never one that is there already.
func demoFolder() (string, error) {
	cache, err := os.UserCacheDir()
	if err != nil {
		cache = os.TempDir()
	}
	parent := filepath.Join(cache, "platewright")
	if err := os.MkdirAll(parent, 0o700); err != nil {
		return "", fmt.Errorf("folder for the demo: %w", err)
	}
	dir, err := os.MkdirTemp(parent, time.Now().Format("demo-2006-01-02-*"))
	if err != nil {
		return "", fmt.Errorf("folder for the demo: %w", err)
	}
	return dir, nil
}

// saveIn returns a function that writes papers into a folder.
func saveIn(dir string) func(name string, content []byte) (string, error) {
	return func(name string, content []byte) (path string, err error) {
		if err := os.MkdirAll(dir, 0o700); err != nil {
			return "", err
		}
		root, err := os.OpenRoot(dir)
		if err != nil {
			return "", err
		}
		defer func() { err = errors.Join(err, root.Close()) }()
		f, err := root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
		if err != nil {
			return "", err
		}
		_, err = f.Write(content)
		return filepath.Join(dir, name), errors.Join(err, f.Close())
	}
}
