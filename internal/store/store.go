package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"

	"platewright/internal/studio"
)

// Store is an open database. Its methods are safe for use by several goroutines and, since every
// change is one transaction, by several processes on one database.
type Store struct {
	records
	write, read *sql.DB
}

var _ studio.Records = (*Store)(nil)

// records are the studio's records over a pool, or over one transaction within [Store.Bulk].
type records struct {
	dialect dialect
	pool    querier // for reading
	// atomic runs do in one transaction that is on the disk when atomic returns nil, and leaves
	// nothing behind when it returns an error.
	atomic func(ctx context.Context, do func(q querier) error) error
	later  *later // within Bulk; else nil
}

// Open opens the studio's database and brings its schema up to date. where is the studio's folder,
// in which the file studio.db is made if it is not there, or the URL of a PostgreSQL database,
// postgres://...
func Open(ctx context.Context, where string) (*Store, error) {
	d, err := dialectOf(where)
	if err != nil {
		return nil, err
	}
	write, read, err := d.open(where)
	if err != nil {
		return nil, fmt.Errorf("open %s: %w", d.shown(where), err)
	}
	s := &Store{write: write, read: read}
	s.records = records{dialect: d, pool: read, atomic: s.transact}
	if err := d.alone(ctx, write, func() error { return migrate(ctx, d, write) }); err != nil {
		return nil, errors.Join(fmt.Errorf("open %s: %w", d.shown(where), err), s.Close())
	}
	return s, nil
}

// Close ends the use of the database.
func (s *Store) Close() error {
	if s.read == s.write {
		return s.write.Close()
	}
	return errors.Join(s.read.Close(), s.write.Close())
}

func (s *Store) transact(ctx context.Context, do func(q querier) error) error {
	return s.transaction(ctx, func(tx *sql.Tx) error { return do(tx) })
}

// transaction runs do in a transaction of its own.
func (s *Store) transaction(ctx context.Context, do func(tx *sql.Tx) error) error {
	tx, err := s.write.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	if err := do(tx); err != nil {
		return errors.Join(err, undone(tx))
	}
	return tx.Commit()
}

func undone(tx *sql.Tx) error {
	if err := tx.Rollback(); err != nil && !errors.Is(err, sql.ErrTxDone) {
		return err
	}
	return nil
}

// Bulk runs many calls on the records it hands to do in one transaction, which holds the database
// for writing until do returns. A call that returns an error leaves nothing behind of its own;
// when do returns an error, nothing of the whole is stored. do must use the records from one
// goroutine only, and not the Store itself for writing. Some thousand plates are enough for one
// Bulk: PostgreSQL grows slow when a transaction changes one row, here the last number, far oftener.
func (s *Store) Bulk(ctx context.Context, do func(studio.Records) error) error {
	return s.transaction(ctx, func(plain *sql.Tx) (err error) {
		tx := prepared{tx: plain, all: make(map[string]*sql.Stmt)}
		defer func() { err = errors.Join(err, tx.close()) }()
		held := &later{entries: make(map[[2]string]entry)}
		r := records{dialect: s.dialect, pool: tx, later: held}
		r.atomic = func(ctx context.Context, do func(q querier) error) error {
			if err := inSavepoint(ctx, tx, do); err != nil {
				held.call = held.call[:0]
				return err
			}
			held.keep()
			if len(held.order) < mostHeld {
				return nil
			}
			return r.flush(ctx)
		}
		if err := do(r); err != nil {
			return err
		}
		if err := r.flush(ctx); err != nil || s.dialect.counted == "" {
			return err
		}
		_, err = plain.ExecContext(ctx, s.dialect.counted)
		return err
	})
}

// mostHeld bounds the entries that Bulk holds back.
const mostHeld = 20_000

// inSavepoint runs do so that it leaves nothing behind when it returns an error.
func inSavepoint(ctx context.Context, tx querier, do func(q querier) error) error {
	if _, err := tx.ExecContext(ctx, "savepoint one_call"); err != nil {
		return err
	}
	if err := do(tx); err != nil {
		_, undo := tx.ExecContext(ctx, "rollback to savepoint one_call")
		_, end := tx.ExecContext(ctx, "release savepoint one_call")
		return errors.Join(err, undo, end)
	}
	_, err := tx.ExecContext(ctx, "release savepoint one_call")
	return err
}

// Setting returns what is stored under key, or an error wrapping [studio.ErrNotFound].
func (s *Store) Setting(ctx context.Context, key string) (string, error) {
	var v string
	if err := s.pool.QueryRowContext(ctx, "select value from setting where key = $1", key).Scan(&v); err != nil {
		return "", fmt.Errorf("setting %s: %w", key, absent(err))
	}
	return v, nil
}

// SetSetting stores value under key in place of what was there.
func (s *Store) SetSetting(ctx context.Context, key, value string) error {
	_, err := s.write.ExecContext(ctx, `insert into setting (key, value, created_us, changed_us, version) values ($1, $2, $3, $3, 1)
		on conflict (key) do update set value = excluded.value, changed_us = excluded.changed_us, version = setting.version + 1`,
		key, value, micros(time.Now()))
	if err != nil {
		return fmt.Errorf("set setting %s: %w", key, err)
	}
	return nil
}
