package sqlite

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"time"

	"github.com/ncruces/go-sqlite3"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
)

const accountColumns = `SELECT id, name, role, hash, closed FROM account`

func account(s *sqlite3.Stmt) clinic.Account {
	return clinic.Account{
		Person: exam.Person{ID: s.ColumnText(0), Name: s.ColumnText(1), Role: s.ColumnText(2)},
		Hash:   s.ColumnText(3), Closed: s.ColumnBool(4),
	}
}

// Account implements clinic.Accounts.
func (s *Store) Account(ctx context.Context, id string) (a clinic.Account, err error) {
	err = s.read(ctx, func(c *conn) error {
		found, err := c.one(accountColumns+` WHERE id = ?1`, []any{id}, func(s *sqlite3.Stmt) error {
			a = account(s)
			return nil
		})
		if err == nil && !found {
			err = clinic.Errorf(clinic.NotFound, "there is no account %q", id)
		}
		return err
	})
	return a, err
}

// ListAccounts implements clinic.Accounts.
func (s *Store) ListAccounts(ctx context.Context) (list []clinic.Account, err error) {
	err = s.read(ctx, func(c *conn) error {
		return c.query(accountColumns+` ORDER BY id`, nil, func(s *sqlite3.Stmt) error {
			list = append(list, account(s))
			return nil
		})
	})
	return list, err
}

// KeepAccount implements clinic.Accounts.
func (s *Store) KeepAccount(ctx context.Context, a clinic.Account, audit clinic.AuditLine) error {
	return s.write(ctx, func(c *conn) error { return keepAccount(c, a, audit) })
}

// FirstAccount implements clinic.Accounts.
func (s *Store) FirstAccount(ctx context.Context, a clinic.Account, audit clinic.AuditLine) (made bool, err error) {
	err = s.write(ctx, func(c *conn) error {
		found, err := c.one(`SELECT 1 FROM account LIMIT 1`, nil, func(*sqlite3.Stmt) error { return nil })
		if err != nil || found {
			return err
		}
		made = true
		return keepAccount(c, a, audit)
	})
	return made && err == nil, err
}

func keepAccount(c *conn, a clinic.Account, audit clinic.AuditLine) error {
	_, err := c.exec(`INSERT INTO account (id, name, role, hash, closed) VALUES (?1, ?2, ?3, ?4, ?5)
		ON CONFLICT (id) DO UPDATE SET name = ?2, role = ?3, hash = ?4, closed = ?5`,
		a.Person.ID, a.Person.Name, a.Person.Role, a.Hash, a.Closed)
	if err != nil {
		return err
	}
	return keepAudit(c, audit)
}

// token is what is kept of a session's token.
func token(t string) string {
	sum := sha256.Sum256([]byte(t))
	return hex.EncodeToString(sum[:])
}

// Session implements clinic.Accounts.
func (s *Store) Session(ctx context.Context, t string, now time.Time) (data []byte, found bool, err error) {
	err = s.read(ctx, func(c *conn) error {
		found, err = c.one(`SELECT data FROM session WHERE token = ?1 AND expires > ?2`, []any{token(t), now.UnixMilli()}, func(s *sqlite3.Stmt) error {
			data = s.ColumnBlob(0, nil)
			return nil
		})
		return err
	})
	return data, found, err
}

// KeepSession implements clinic.Accounts.
func (s *Store) KeepSession(ctx context.Context, t string, data []byte, expires, now time.Time) error {
	return s.write(ctx, func(c *conn) error {
		if _, err := c.exec(`DELETE FROM session WHERE expires <= ?1`, now.UnixMilli()); err != nil {
			return err
		}
		_, err := c.exec(`INSERT INTO session (token, data, expires) VALUES (?1, ?2, ?3)
			ON CONFLICT (token) DO UPDATE SET data = ?2, expires = ?3`, token(t), data, expires.UnixMilli())
		return err
	})
}

// DropSession implements clinic.Accounts.
func (s *Store) DropSession(ctx context.Context, t string) error {
	return s.write(ctx, func(c *conn) error {
		_, err := c.exec(`DELETE FROM session WHERE token = ?1`, token(t))
		return err
	})
}
