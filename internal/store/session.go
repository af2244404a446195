package store

import (
	"context"
	"encoding/base64"
	"errors"
	"fmt"
	"time"

	"platewright/internal/studio"
)

// Sessions keeps the sessions of browsers; it fits the session library's store, with and without
// a context.
type Sessions struct{ s *Store }

// Sessions returns the store of sessions.
func (s *Store) Sessions() Sessions { return Sessions{s} }

// FindCtx returns what a session holds; found is false for one unknown or ended.
func (ss Sessions) FindCtx(ctx context.Context, token string) (held []byte, found bool, err error) {
	var v string
	err = absent(ss.s.pool.QueryRowContext(ctx, "select value from session where token = $1 and expiry_us > $2",
		clean(token), micros(time.Now())).Scan(&v))
	switch {
	case errors.Is(err, studio.ErrNotFound):
		return nil, false, nil
	case err != nil:
		return nil, false, fmt.Errorf("find session: %w", err)
	}
	held, err = base64.StdEncoding.DecodeString(v)
	if err != nil {
		return nil, false, fmt.Errorf("find session: %w", err)
	}
	return held, true, nil
}

// CommitCtx stores what a session holds, and clears away the sessions that have ended.
func (ss Sessions) CommitCtx(ctx context.Context, token string, held []byte, expiry time.Time) error {
	now := micros(time.Now())
	err := ss.s.atomic(ctx, func(q querier) error {
		if _, err := q.ExecContext(ctx, "delete from session where expiry_us <= $1", now); err != nil {
			return err
		}
		_, err := q.ExecContext(ctx, `insert into session (token, value, expiry_us, created_us, changed_us, version)
			values ($1, $2, $3, $4, $4, 1) on conflict (token) do update
			set value = excluded.value, expiry_us = excluded.expiry_us, changed_us = excluded.changed_us, version = session.version + 1`,
			token, base64.StdEncoding.EncodeToString(held), micros(expiry), now)
		return err
	})
	if err != nil {
		return fmt.Errorf("store session: %w", err)
	}
	return nil
}

// DeleteCtx ends a session; one unknown is no error.
func (ss Sessions) DeleteCtx(ctx context.Context, token string) error {
	if _, err := ss.s.write.ExecContext(ctx, "delete from session where token = $1", clean(token)); err != nil {
		return fmt.Errorf("end session: %w", err)
	}
	return nil
}

// Find is FindCtx without a context.
func (ss Sessions) Find(token string) ([]byte, bool, error) {
	return ss.FindCtx(context.Background(), token)
}

// Commit is CommitCtx without a context.
func (ss Sessions) Commit(token string, held []byte, expiry time.Time) error {
	return ss.CommitCtx(context.Background(), token, held, expiry)
}

// Delete is DeleteCtx without a context.
func (ss Sessions) Delete(token string) error { return ss.DeleteCtx(context.Background(), token) }
