package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"
	"strings"

	"platewright/internal/studio"
)

// querier is a pool or a transaction.
type querier interface {
	ExecContext(ctx context.Context, query string, args ...any) (sql.Result, error)
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
	QueryRowContext(ctx context.Context, query string, args ...any) *sql.Row
}

// table keeps the records of one kind in the table of the same name. It is a [studio.Book].
type table[T any] struct {
	records
	kind    string
	id      func(*T) *studio.ID
	stamp   func(*T) *studio.Stamp
	columns func(*T) []column // all but id and stamp
	compare func(a, b *T) int // the order of All
	// index keeps the search in step with a record just stored; nil for a kind not searched.
	index func(ctx context.Context, q querier, t *T) error
}

func (t table[T]) all(r *T) []column {
	st := t.stamp(r)
	columns := []column{{name: "id", value: words(t.id(r)), fixed: true}}
	columns = append(columns, t.columns(r)...)
	return append(columns,
		column{name: "created_us", value: instant{&st.Created}, fixed: true},
		column{name: "changed_us", value: instant{&st.Changed}},
		column{name: "version", value: count(&st.Version)},
	)
}

// selecting returns "select a, b, ... from t".
func (t table[T]) selecting() string {
	var r T
	return "select " + strings.Join(names(t.all(&r)), ", ") + " from " + t.kind
}

// Add stores a new record; if there is one with its id already, a *Conflict with both.
func (t table[T]) Add(ctx context.Context, record T) error {
	err := t.atomic(ctx, func(q querier) error { return t.add(ctx, q, record, nil) })
	return t.wrap("add", record, err)
}

func (t table[T]) add(ctx context.Context, q querier, record T, more []column) error {
	columns := append(t.all(&record), more...)
	args, err := bind(columns)
	if err != nil {
		return err
	}
	n, err := affected(q.ExecContext(ctx, "insert into "+t.kind+" ("+strings.Join(names(columns), ", ")+
		") values ("+holders(1, len(args))+") on conflict (id) do nothing", args...))
	if err != nil {
		return err
	}
	if n == 0 {
		return t.conflict(ctx, q, record)
	}
	return t.reindex(ctx, q, record)
}

// Find returns the record with that id.
func (t table[T]) Find(ctx context.Context, id studio.ID) (T, error) {
	return t.find(ctx, t.pool, id)
}

func (t table[T]) find(ctx context.Context, q querier, id studio.ID) (T, error) {
	var r T
	err := q.QueryRowContext(ctx, t.selecting()+" where id = $1", string(id)).Scan(places(t.all(&r))...)
	if err != nil {
		var none T
		return none, fmt.Errorf("%s %s: %w", t.kind, id, absent(err))
	}
	return r, nil
}

// Change stores record over the version before it.
func (t table[T]) Change(ctx context.Context, record T) error {
	err := t.atomic(ctx, func(q querier) error { return t.change(ctx, q, record) })
	return t.wrap("change", record, err)
}

func (t table[T]) change(ctx context.Context, q querier, record T) error {
	columns := slices.DeleteFunc(t.all(&record), func(c column) bool { return c.fixed })
	args, err := bind(columns)
	if err != nil {
		return err
	}
	set := make([]string, len(columns))
	for i, c := range columns {
		set[i] = fmt.Sprintf("%s = $%d", c.name, i+1)
	}
	args = append(args, string(*t.id(&record)), int64(t.stamp(&record).Version-1))
	n, err := affected(q.ExecContext(ctx, fmt.Sprintf("update %s set %s where id = $%d and version = $%d",
		t.kind, strings.Join(set, ", "), len(args)-1, len(args)), args...))
	if err != nil {
		return err
	}
	if n == 0 {
		return t.conflict(ctx, q, record)
	}
	return t.reindex(ctx, q, record)
}

func (t table[T]) reindex(ctx context.Context, q querier, record T) error {
	if t.index == nil {
		return nil
	}
	return t.index(ctx, q, &record)
}

// conflict says that theirs is stored where yours was to be, or that nothing is.
func (t table[T]) conflict(ctx context.Context, q querier, yours T) error {
	theirs, err := t.find(ctx, q, *t.id(&yours))
	if err != nil {
		return err
	}
	return &studio.Conflict{Kind: t.kind, Yours: yours, Theirs: theirs}
}

// All returns every record in its order.
func (t table[T]) All(ctx context.Context) ([]T, error) {
	rs, err := t.where(ctx, "")
	if err != nil {
		return nil, err
	}
	slices.SortStableFunc(rs, func(a, b T) int {
		if c := t.compare(&a, &b); c != 0 {
			return c
		}
		return strings.Compare(string(*t.id(&a)), string(*t.id(&b)))
	})
	return rs, nil
}

// where returns the records a clause selects.
func (t table[T]) where(ctx context.Context, clause string, args ...any) ([]T, error) {
	rs, err := gather(ctx, t.pool, func(r *T) []any { return places(t.all(r)) }, t.selecting()+" "+clause, args...)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", t.kind, err)
	}
	return rs, nil
}

// gather scans every row of a query; to says where one is scanned to.
func gather[T any](ctx context.Context, q querier, to func(*T) []any, query string, args ...any) (all []T, err error) {
	rows, err := q.QueryContext(ctx, query, args...)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, rows.Close()) }()
	for rows.Next() {
		var r T
		if err := rows.Scan(to(&r)...); err != nil {
			return nil, err
		}
		all = append(all, r)
	}
	return all, rows.Err()
}

// wrap names what was tried, unless the error says it already.
func (t table[T]) wrap(did string, record T, err error) error {
	if err == nil || errors.Is(err, studio.ErrConflict) || errors.Is(err, studio.ErrNotFound) {
		return err
	}
	return fmt.Errorf("%s %s %s: %w", did, t.kind, *t.id(&record), err)
}

func affected(res sql.Result, err error) (int64, error) {
	if err != nil {
		return 0, err
	}
	return res.RowsAffected()
}

// absent turns the driver's word for an empty answer into the studio's.
func absent(err error) error {
	if errors.Is(err, sql.ErrNoRows) {
		return studio.ErrNotFound
	}
	return err
}

// byName compares names as a reader would order them: without regard to capitals and accents.
func byName(a, b string) int {
	if c := strings.Compare(fold(a), fold(b)); c != 0 {
		return c
	}
	return strings.Compare(a, b)
}
