package store

import (
	"context"
	"database/sql"
	"errors"
)

// prepared is a transaction that prepares each statement once, for the many alike of [Store.Bulk].
// Statements that do not vary with their arguments are few, so none is thrown away before the end.
type prepared struct {
	tx  *sql.Tx
	all map[string]*sql.Stmt
}

func (p prepared) statement(ctx context.Context, query string) (*sql.Stmt, error) {
	if s, ok := p.all[query]; ok {
		return s, nil
	}
	s, err := p.tx.PrepareContext(ctx, query)
	if err == nil {
		p.all[query] = s
	}
	return s, err
}

func (p prepared) ExecContext(ctx context.Context, query string, args ...any) (sql.Result, error) {
	s, err := p.statement(ctx, query)
	if err != nil {
		return nil, err
	}
	return s.ExecContext(ctx, args...)
}

func (p prepared) QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error) {
	s, err := p.statement(ctx, query)
	if err != nil {
		return nil, err
	}
	return s.QueryContext(ctx, args...)
}

func (p prepared) QueryRowContext(ctx context.Context, query string, args ...any) *sql.Row {
	s, err := p.statement(ctx, query)
	if err != nil {
		return p.tx.QueryRowContext(ctx, query, args...) // which reports the error
	}
	return s.QueryRowContext(ctx, args...)
}

func (p prepared) close() error {
	var all []error
	for _, s := range p.all {
		all = append(all, s.Close())
	}
	return errors.Join(all...)
}
