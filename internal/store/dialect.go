package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"
	_ "github.com/jackc/pgx/v5/stdlib" // the driver "pgx"
	"github.com/pressly/goose/v3"
	driver "modernc.org/sqlite" // the driver "sqlite"; the one that binds $n by number
)

// dialect is all in which the two databases differ.
type dialect struct {
	name string // also the folder of its own part of the schema
	// lock ends a query so that the row it reads is this transaction's alone until its end.
	lock string
	// match turns words of letters and figures alone into a full-text query: every word must be the
	// beginning of a word of the entry.
	match func(kind string, words []string) string
	// newest answers with the newest $2 entries of the kind that match the query $1.
	newest func(kind string) string
	// counted ends a Bulk, so that searches know at once how much there is; empty when there is no need.
	counted string
	open    func(where string) (write, read *sql.DB, err error)
	// alone runs the bringing up to date of the schema; tries is how often that may be tried anew.
	alone func(ctx context.Context, db *sql.DB, do func() error) error
	tries int
	goose goose.Dialect
}

func dialectOf(where string) (dialect, error) {
	switch {
	case where == "":
		return dialect{}, errors.New("open: neither a folder nor a postgres:// URL was given")
	case isPostgres(where):
		return postgres, nil
	case strings.Contains(where, "://"):
		return dialect{}, fmt.Errorf("open %s: neither a folder nor a postgres:// URL", redacted(where))
	}
	return sqlite, nil
}

func isPostgres(where string) bool {
	return strings.HasPrefix(where, "postgres://") || strings.HasPrefix(where, "postgresql://")
}

// shown returns where for an error message, without a password.
func (d dialect) shown(where string) string {
	if isPostgres(where) {
		return redacted(where)
	}
	return where
}

func redacted(where string) string {
	u, err := url.Parse(where)
	if err != nil {
		return "the database"
	}
	u.RawQuery = ""
	return u.Redacted()
}

var sqlite = dialect{
	name: "sqlite",
	// A writing transaction has the whole file to itself from its first statement: _txlock below.
	lock: "",
	match: func(kind string, words []string) string {
		return `"` + kindMark + kind + `" AND "` + strings.Join(words, `" * AND "`) + `" *`
	},
	newest: func(kind string) string {
		index := "search_people"
		if kind == "plate" {
			index = "search_plate"
		}
		return "select e.kind, e.ref, e.title, e.body, e.title_words, e.body_words from (select rowid as id from " +
			index + " where " + index + " match $1 order by rowid desc limit $2) as m" +
			" join search_entry e on e.id = m.id order by m.id desc"
	},
	open:  openSQLite,
	alone: aloneSQLite,
	tries: 5,
	goose: goose.DialectSQLite3,
}

var postgres = dialect{
	name: "postgres",
	lock: " for update",
	match: func(kind string, words []string) string {
		return "'" + kindMark + kind + "' & '" + strings.Join(words, "':* & '") + "':*"
	},
	newest:  func(string) string { return newestPostgres },
	counted: "analyze sitter, sitting, plate, event, search_entry",
	open:    openPostgres,
	alone:   alonePostgres,
	tries:   1,
	goose:   goose.DialectPostgres,
}

// newestPostgres looks through the newest entries first, where a common word is found often enough,
// and through the index only when it was not. The database's own plan, made once for every word,
// would take one of the two ways for all.
const newestPostgres = `with recent as materialized (
		select id from search_entry
		where id > coalesce((select id from search_entry order by id desc offset 4000 limit 1), 0) and lexemes @@ cast($1 as tsquery)
		order by id desc limit $2
	), every as materialized (
		select id from search_entry where (select count(*) from recent) < $2 and lexemes @@ cast($1 as tsquery)
	)
	select e.kind, e.ref, e.title, e.body, e.title_words, e.body_words from (
		select id from recent where (select count(*) from recent) >= $2 union all select id from every order by id desc limit $2
	) as m join search_entry e on e.id = m.id order by m.id desc`

// openSQLite opens the file with one connection that writes and several that only read. A commit
// is on the disk before it is acknowledged (synchronous full), and readers never wait (WAL).
func openSQLite(folder string) (write, read *sql.DB, err error) {
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return nil, nil, err
	}
	path, err := filepath.Abs(filepath.Join(folder, "studio.db"))
	if err != nil {
		return nil, nil, err
	}
	if err := makePrivate(path); err != nil {
		return nil, nil, err
	}
	path = filepath.ToSlash(path)
	if !strings.HasPrefix(path, "/") {
		path = "/" + path // a drive's letter
	}
	file := "file://" + (&url.URL{Path: path}).EscapedPath() + "?_pragma=busy_timeout(5000)&_pragma=journal_mode(wal)" +
		"&_pragma=foreign_keys(1)&_pragma=synchronous(full)&_pragma=cache_size(-16000)&_txlock=immediate&_dqs=0"
	if write, err = sql.Open("sqlite", file); err != nil {
		return nil, nil, err
	}
	write.SetMaxOpenConns(1)
	if read, err = sql.Open("sqlite", file+"&_pragma=query_only(1)"); err != nil {
		return nil, nil, errors.Join(err, write.Close())
	}
	n := max(4, runtime.NumCPU())
	read.SetMaxOpenConns(n)
	read.SetMaxIdleConns(n)
	return write, read, nil
}

// makePrivate makes a file that is not there, so that it is its owner's alone even in a folder that
// others can read; what SQLite lays beside it takes its mode. A file that is there is not opened:
// closing it would take SQLite's locks from this process.
func makePrivate(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o600)
	if errors.Is(err, os.ErrExist) {
		return nil
	}
	if err != nil {
		return err
	}
	return f.Close()
}

// openPostgres opens one pool for reading and writing.
func openPostgres(where string) (write, read *sql.DB, err error) {
	if _, err := pgx.ParseConfig(where); err != nil {
		return nil, nil, errors.New("the postgres:// URL cannot be read") // err may show the password
	}
	db, err := sql.Open("pgx", where)
	if err != nil {
		return nil, nil, err
	}
	db.SetMaxOpenConns(16)
	db.SetMaxIdleConns(16)
	return db, db, nil
}

// alonePostgres runs do while no other process does the same on this schema of the database.
func alonePostgres(ctx context.Context, db *sql.DB, do func() error) (err error) {
	conn, err := db.Conn(ctx)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, conn.Close()) }()
	const key = "hashtext('studio schema ' || current_schema())"
	if _, err := conn.ExecContext(ctx, "select pg_advisory_lock("+key+")"); err != nil {
		return err
	}
	err = do()
	_, unlock := conn.ExecContext(context.WithoutCancel(ctx), "select pg_advisory_unlock("+key+")")
	return errors.Join(err, unlock)
}

// aloneSQLite runs do; the file itself lets only one process write.
func aloneSQLite(ctx context.Context, db *sql.DB, do func() error) error {
	// The first connection lays the journal beside the file, and SQLite does not wait for another that is about it.
	if err := patiently(ctx, func() error { return db.PingContext(ctx) }); err != nil {
		return err
	}
	return patiently(ctx, do)
}

// patiently runs do again while another holds the file, for as long as a person waits for a program to open.
func patiently(ctx context.Context, do func() error) error {
	const most = 15 * time.Second
	for until := time.Now().Add(most); ; {
		err := do()
		if busy := (*driver.Error)(nil); !errors.As(err, &busy) || busy.Code()&0xff != busyCode || time.Now().After(until) {
			return err
		}
		select {
		case <-ctx.Done():
			return errors.Join(err, ctx.Err())
		case <-time.After(20 * time.Millisecond):
		}
	}
}

// busyCode is SQLite's SQLITE_BUSY, in the low byte of what the driver tells.
const busyCode = 5
