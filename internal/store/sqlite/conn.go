package sqlite

import (
	"context"
	"errors"
	"fmt"

	"github.com/ncruces/go-sqlite3"

	"tengram/internal/kernel/when"
)

// conn is one connection with the statements that were prepared on it. It is
// used by one goroutine at a time.
type conn struct {
	*sqlite3.Conn
	kept map[string]*sqlite3.Stmt
}

func (c *conn) close() error {
	var err error
	for _, s := range c.kept {
		err = errors.Join(err, s.Close())
	}
	return errors.Join(err, c.Close())
}

// stmt returns the statement of a text, ready to be bound and run. The same
// text must not be asked for again while its rows are read.
func (c *conn) stmt(text string, args ...any) (*sqlite3.Stmt, error) {
	s := c.kept[text]
	if s == nil {
		var err error
		if s, _, err = c.PrepareFlags(text, sqlite3.PREPARE_PERSISTENT); err != nil {
			return nil, fmt.Errorf("prepare %q: %w", text, err)
		}
		c.kept[text] = s
	}
	for i, a := range args {
		if err := bind(s, i+1, a); err != nil {
			return nil, err
		}
	}
	return s, nil
}

func bind(s *sqlite3.Stmt, i int, a any) error {
	switch a := a.(type) {
	case string:
		return s.BindText(i, a)
	case int:
		return s.BindInt(i, a)
	case int64:
		return s.BindInt64(i, a)
	case when.Day:
		return s.BindInt64(i, int64(a))
	case bool:
		return s.BindBool(i, a)
	case []byte:
		if len(a) == 0 {
			return s.BindZeroBlob(i, 0) // nil would be NULL
		}
		return s.BindBlob(i, a)
	}
	return fmt.Errorf("cannot bind a %T", a)
}

// exec runs a statement that gives no rows and returns how many it changed.
func (c *conn) exec(text string, args ...any) (int64, error) {
	s, err := c.stmt(text, args...)
	if err != nil {
		return 0, err
	}
	if err := s.Exec(); err != nil {
		return 0, fmt.Errorf("%w in %.60q", err, text)
	}
	return c.Changes(), nil
}

// query runs a statement and hands each row to a function, which must not run
// the same text again.
func (c *conn) query(text string, args []any, row func(*sqlite3.Stmt) error) error {
	s, err := c.stmt(text, args...)
	if err != nil {
		return err
	}
	for s.Step() {
		if err := row(s); err != nil {
			return errors.Join(err, s.Reset())
		}
	}
	if err := s.Err(); err != nil {
		_ = s.Reset() // repeats the error
		return fmt.Errorf("%w in %.60q", err, text)
	}
	return s.Reset()
}

// one is query for at most one row; found is false without any.
func (c *conn) one(text string, args []any, row func(*sqlite3.Stmt) error) (found bool, err error) {
	err = c.query(text, args, func(s *sqlite3.Stmt) error {
		found = true
		return row(s)
	})
	return found, err
}

// write runs a function in one transaction. When it returns nil, what was
// written is on the disk; otherwise nothing was written.
func (s *Store) write(ctx context.Context, do func(*conn) error) (err error) {
	var c *conn
	select {
	case c = <-s.writer:
	case <-ctx.Done():
		return ctx.Err()
	}
	defer func() { s.writer <- c }()
	defer c.SetInterrupt(c.SetInterrupt(ctx))
	if err := c.Exec(`BEGIN IMMEDIATE`); err != nil {
		return fmt.Errorf("begin to write: %w", err)
	}
	whole := false
	defer func() {
		c.SetInterrupt(context.Background()) // neither a commit nor its undoing is cut short
		if whole {                           // false after an error and in a panic
			if err = c.Exec(`COMMIT`); err == nil {
				return
			}
			err = fmt.Errorf("commit: %w", err)
		}
		if !c.GetAutocommit() {
			err = errors.Join(err, c.Exec(`ROLLBACK`))
		}
	}()
	if err := do(c); err != nil {
		return err
	}
	whole = true
	return nil
}

// read runs a function in one read transaction: everything it sees is of one
// moment.
func (s *Store) read(ctx context.Context, do func(*conn) error) (err error) {
	var c *conn
	select {
	case c = <-s.pool:
	case <-ctx.Done():
		return ctx.Err()
	}
	defer func() { s.pool <- c }()
	if c == nil {
		if c, err = connect(s.path, readerCache); err != nil {
			return fmt.Errorf("open a connection: %w", err)
		}
		if err := c.Exec(`PRAGMA query_only = ON`); err != nil {
			return err
		}
	}
	defer c.SetInterrupt(c.SetInterrupt(ctx))
	if err := c.Exec(`BEGIN`); err != nil {
		return fmt.Errorf("begin to read: %w", err)
	}
	defer func() {
		c.SetInterrupt(context.Background())
		err = errors.Join(err, c.Exec(`ROLLBACK`))
	}()
	return do(c)
}
