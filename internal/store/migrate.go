package store

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"time"

	"github.com/pressly/goose/v3"
)

// The schema: what both databases share, and each one's own part beside it. Files are applied in
// the order of their numbers and never edited once released.
//
//go:embed schema
var schema embed.FS

// layers is one folder made of several, in the order of the names; none occurs twice among them.
type layers []fs.FS

func (l layers) Open(name string) (fs.File, error) {
	for _, one := range l {
		f, err := one.Open(name)
		if !errors.Is(err, fs.ErrNotExist) {
			return f, err
		}
	}
	return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
}

func (l layers) ReadDir(name string) ([]fs.DirEntry, error) {
	var all []fs.DirEntry
	for _, one := range l {
		entries, err := fs.ReadDir(one, name)
		if err != nil {
			return nil, err
		}
		all = append(all, entries...)
	}
	slices.SortFunc(all, func(a, b fs.DirEntry) int { return strings.Compare(a.Name(), b.Name()) })
	return all, nil
}

func provider(d dialect, db *sql.DB) (*goose.Provider, error) {
	both := make(layers, 2)
	for i, folder := range []string{"common", d.name} {
		sub, err := fs.Sub(schema, "schema/"+folder)
		if err != nil {
			return nil, err
		}
		both[i] = sub
	}
	return goose.NewProvider(d.goose, db, both, goose.WithTableName("schema_version"), goose.WithDisableGlobalRegistry(true))
}

// migrate brings the schema up to date and refuses one that is ahead of this program.
func migrate(ctx context.Context, d dialect, db *sql.DB) error {
	p, err := provider(d, db)
	if err != nil {
		return err
	}
	sources := p.ListSources()
	newest := sources[len(sources)-1].Version
	// Another process may be bringing the same database up to date at this moment; the one that
	// comes second then finds a table made already, and everything in place when it looks again.
	for try := 1; ; try++ {
		_, err = p.Up(ctx)
		if err == nil || try == d.tries {
			break
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(time.Duration(try) * 50 * time.Millisecond):
		}
	}
	if err != nil {
		return fmt.Errorf("schema: %w", err)
	}
	at, err := p.GetDBVersion(ctx)
	if err != nil {
		return fmt.Errorf("schema: %w", err)
	}
	if at > newest {
		return fmt.Errorf("schema: its version %d is newer than the %d this program knows; use the newer program", at, newest)
	}
	return nil
}
