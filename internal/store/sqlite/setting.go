package sqlite

import (
	"context"

	"github.com/ncruces/go-sqlite3"

	"tengram/internal/clinic"
)

// Setting implements clinic.Settings.
func (s *Store) Setting(ctx context.Context, key string) (value string, err error) {
	err = s.read(ctx, func(c *conn) error {
		_, err := c.one(`SELECT value FROM setting WHERE key = ?1`, []any{key}, func(s *sqlite3.Stmt) error {
			value = s.ColumnText(0)
			return nil
		})
		return err
	})
	return value, err
}

// SetSetting implements clinic.Settings.
func (s *Store) SetSetting(ctx context.Context, key, value string, audit clinic.AuditLine) error {
	return s.write(ctx, func(c *conn) error {
		_, err := c.exec(`INSERT INTO setting (key, value) VALUES (?1, ?2) ON CONFLICT (key) DO UPDATE SET value = ?2`, key, value)
		if err != nil {
			return err
		}
		return keepAudit(c, audit)
	})
}

// KeepAudit implements clinic.Settings.
func (s *Store) KeepAudit(ctx context.Context, line clinic.AuditLine) error {
	return s.write(ctx, func(c *conn) error { return keepAudit(c, line) })
}

func keepAudit(c *conn, a clinic.AuditLine) error {
	_, err := c.exec(`INSERT INTO audit (at, who, did, person, object) VALUES (?1, ?2, ?3, ?4, ?5)`, a.At.String(), a.Who, a.Did, a.Person, a.Object)
	return err
}

// Audit implements clinic.Settings.
func (s *Store) Audit(ctx context.Context, limit int) (lines []clinic.AuditLine, err error) {
	err = s.read(ctx, func(c *conn) error {
		return c.query(`SELECT at, who, did, person, object FROM audit ORDER BY n DESC LIMIT ?1`, []any{limit}, func(s *sqlite3.Stmt) error {
			a := clinic.AuditLine{Who: s.ColumnText(1), Did: s.ColumnText(2), Person: s.ColumnText(3), Object: s.ColumnText(4)}
			err := a.At.UnmarshalText(s.ColumnRawText(0))
			lines = append(lines, a)
			return err
		})
	})
	return lines, err
}
