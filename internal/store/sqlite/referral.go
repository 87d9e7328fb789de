package sqlite

import (
	"context"
	"encoding/json"
	"fmt"
	"math"

	"github.com/ncruces/go-sqlite3"

	"tengram/internal/clinic"
	"tengram/internal/kernel/record"
)

// KeepReferral implements clinic.Referrals.
func (s *Store) KeepReferral(ctx context.Context, person string, r record.Referral, audit clinic.AuditLine) error {
	return s.write(ctx, func(c *conn) error {
		if err := personHere(c, person); err != nil {
			return err
		}
		if err := keepReferral(c, person, &r); err != nil {
			return err
		}
		if _, err := touch(c, person); err != nil {
			return err
		}
		if err := countChange(c); err != nil {
			return err
		}
		return keepAudit(c, audit)
	})
}

// theirs are the ids under which something of a person may stand: their own, and
// those of records that were merged into theirs.
const theirs = `(SELECT ?1 UNION ALL SELECT old FROM merged WHERE survivor = ?1)`

// keepReferral writes a referral, under the id under which it stands already. A
// referral without a deadline comes last.
func keepReferral(c *conn, person string, r *record.Referral) error {
	_, err := c.one(`SELECT person FROM referral WHERE id = ?2 AND person IN `+theirs, []any{person, r.ID}, func(s *sqlite3.Stmt) error {
		person = s.ColumnText(0)
		return nil
	})
	if err != nil {
		return err
	}
	doc, err := json.Marshal(r)
	if err != nil {
		return fmt.Errorf("write referral %s: %w", r.ID, err)
	}
	due := int64(r.Due)
	if due == 0 {
		due = math.MaxInt32
	}
	n, err := c.exec(`INSERT INTO referral (person, id, due, closed, steps, doc) VALUES (?1, ?2, ?3, ?4, ?5, ?6)
		ON CONFLICT DO UPDATE SET due = ?3, closed = ?4, steps = ?5, doc = ?6 WHERE steps <= ?5`,
		person, r.ID, due, r.Closed(), len(r.Steps), doc)
	if err == nil && n == 0 {
		err = clinic.Errorf(clinic.Conflict, "somebody else added a step to referral %s meanwhile: look at it again", r.ID)
	}
	return err
}

// Referral implements clinic.Referrals.
func (s *Store) Referral(ctx context.Context, person, id string) (r record.Referral, err error) {
	err = s.read(ctx, func(c *conn) error {
		found, err := c.one(`SELECT doc FROM referral WHERE id = ?2 AND person IN `+theirs, []any{person, id}, func(s *sqlite3.Stmt) error {
			return unmarshal(s.ColumnRawBlob(0), &r, "referral", id)
		})
		if err == nil && !found {
			err = clinic.Errorf(clinic.NotFound, "person %s has no referral %s", person, id)
		}
		return err
	})
	return r, err
}

// OpenReferrals implements clinic.Referrals.
func (s *Store) OpenReferrals(ctx context.Context) (rows []clinic.PersonReferral, err error) {
	err = s.read(ctx, func(c *conn) error {
		return c.query(`SELECT ifnull(m.survivor, r.person), r.doc, s.doc FROM referral r LEFT JOIN merged m ON m.old = r.person
			LEFT JOIN standing s ON s.person = ifnull(m.survivor, r.person) WHERE r.closed = 0 ORDER BY r.due, r.person, r.id`, nil, func(s *sqlite3.Stmt) error {
			row := clinic.PersonReferral{Standing: clinic.Standing{Person: s.ColumnText(0)}}
			if err := unmarshal(s.ColumnRawBlob(1), &row.Referral, "referral of", row.Standing.Person); err != nil {
				return err
			}
			if s.ColumnType(2) != sqlite3.NULL {
				if err := unmarshal(s.ColumnRawBlob(2), &row.Standing, "panel row of", row.Standing.Person); err != nil {
					return err
				}
			}
			rows = append(rows, row)
			return nil
		})
	})
	return rows, err
}
