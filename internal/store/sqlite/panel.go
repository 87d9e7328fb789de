package sqlite

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"iter"

	"github.com/ncruces/go-sqlite3"

	"tengram/internal/clinic"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/when"
)

// rulesSetting names the rules that the derived rows were last marked for.
const rulesSetting = "derived-by"

// MarkStale implements clinic.Panel.
func (s *Store) MarkStale(ctx context.Context, rules string, today when.Day) error {
	fresh := false
	err := s.read(ctx, func(c *conn) error { // most calls find nothing to do
		_, err := c.one(`SELECT ifnull((SELECT value FROM setting WHERE key = ?1) = ?2, 0)
			AND NOT EXISTS (SELECT 1 FROM standing WHERE until > 0 AND until <= ?3)`,
			[]any{rulesSetting, rules, today}, func(s *sqlite3.Stmt) error {
				fresh = s.ColumnBool(0)
				return nil
			})
		return err
	})
	if err != nil || fresh {
		return err
	}
	return s.write(ctx, func(c *conn) error {
		n, err := c.exec(`INSERT INTO setting (key, value) VALUES (?1, ?2)
			ON CONFLICT (key) DO UPDATE SET value = ?2 WHERE value <> ?2`, rulesSetting, rules)
		if err != nil {
			return err
		}
		if n > 0 {
			_, err = c.exec(`UPDATE person SET stale = 1 WHERE stale = 0 AND id NOT IN (SELECT old FROM merged)`)
			return err
		}
		if _, err := c.exec(`UPDATE person SET stale = 1 WHERE id IN (SELECT person FROM standing WHERE until > 0 AND until <= ?1)`, today); err != nil {
			return err
		}
		_, err = c.exec(`UPDATE standing SET until = 0 WHERE until > 0 AND until <= ?1`, today)
		return err
	})
}

// Stale implements clinic.Panel.
func (s *Store) Stale(ctx context.Context, after string, limit int) (people []string, err error) {
	err = s.read(ctx, func(c *conn) error {
		return c.query(`SELECT id FROM person WHERE stale = 1 AND id > ?1 ORDER BY id LIMIT ?2`, []any{after, limit}, func(s *sqlite3.Stmt) error {
			people = append(people, s.ColumnText(0))
			return nil
		})
	})
	return people, err
}

// SaveDerived implements clinic.Panel.
func (s *Store) SaveDerived(ctx context.Context, rows []clinic.Derived) error {
	return s.write(ctx, func(c *conn) error {
		for i := range rows {
			if err := saveDerived(c, &rows[i]); err != nil {
				return fmt.Errorf("keep the panel row of %s: %w", rows[i].Standing.Person, err)
			}
		}
		return nil
	})
}

// saveDerived replaces one person's rows, unless they are older than what is
// there.
func saveDerived(c *conn, d *clinic.Derived) error {
	st := &d.Standing
	current, err := c.exec(`UPDATE person SET stale = 0 WHERE id = ?1 AND version = ?2
		AND ?3 = ifnull((SELECT value FROM setting WHERE key = ?4), ?3)`, st.Person, d.Version, d.Rules, rulesSetting)
	if err != nil || current == 0 {
		return err
	}
	doc, err := json.Marshal(st)
	if err != nil {
		return err
	}
	if _, err := c.exec(`DELETE FROM standing WHERE person = ?1`, st.Person); err != nil {
		return err
	}
	_, err = c.exec(`INSERT INTO standing (person, place, search, panel, watched, due, overdue_after, last_exam, risk_low, risk_high,
		next_visit, clinician, site, open_ulcers, until, doc)
		VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16)`,
		st.Person, d.Place, fold(st.Family+" "+st.Given+" "+st.Person), st.Diabetes == known.Yes, st.Watched, st.Due, st.OverdueAfter, st.LastExam,
		st.RiskLow, st.RiskHigh, st.NextVisit, st.Clinician, st.Site, st.OpenUlcers, d.Until, doc)
	if err != nil {
		return err
	}
	for n := range d.Ulcers {
		u := &d.Ulcers[n]
		if doc, err = json.Marshal(u); err != nil {
			return err
		}
		if _, err := c.exec(`INSERT INTO ulcer (person, n, first, doc) VALUES (?1, ?2, ?3, ?4)`, st.Person, n, u.First, doc); err != nil {
			return err
		}
	}
	for i := range d.Measures {
		m := &d.Measures[i]
		if doc, err = json.Marshal(m); err != nil {
			return err
		}
		_, err := c.exec(`INSERT INTO measured (measure, year, person, initial, denominator, exclusion, exception, numerator, doubtful, doc)
			VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)`, m.Measure, m.Period.First.Year(), st.Person,
			m.InitialPopulation, m.Denominator, m.DenominatorExclusion, m.Exception, m.Numerator, len(m.Quality) > 0, doc)
		if err != nil {
			return err
		}
	}
	return nil
}

// Measured implements clinic.Panel.
func (s *Store) Measured(ctx context.Context, id string, year int) iter.Seq2[clinic.MeasurePerson, error] {
	return func(yield func(clinic.MeasurePerson, error) bool) {
		err := s.read(ctx, func(c *conn) error {
			return c.query(`SELECT m.person, m.doc, s.doc FROM measured m JOIN standing s ON s.person = m.person
				WHERE m.measure = ?1 AND m.year = ?2 ORDER BY m.person`, []any{id, year}, func(s *sqlite3.Stmt) error {
				var m clinic.MeasurePerson
				person := s.ColumnText(0)
				if err := unmarshal(s.ColumnRawBlob(1), &m.Result, "result of", person); err != nil {
					return err
				}
				if err := unmarshal(s.ColumnRawBlob(2), &m.Standing, "panel row of", person); err != nil {
					return err
				}
				if !yield(m, nil) {
					return errStopped
				}
				return nil
			})
		})
		if err != nil && !errors.Is(err, errStopped) {
			yield(clinic.MeasurePerson{}, err)
		}
	}
}

// Tally implements clinic.Panel.
func (s *Store) Tally(ctx context.Context, id string, year int) (t measure.Counts, err error) {
	err = s.read(ctx, func(c *conn) error {
		// Few combinations of yes and no occur, and the index is in their order.
		return c.query(`SELECT count(*), initial, denominator, exclusion, exception, numerator, doubtful FROM measured WHERE measure = ?1 AND year = ?2
			GROUP BY initial, denominator, exclusion, exception, numerator, doubtful`, []any{id, year}, func(s *sqlite3.Stmt) error {
			n := s.ColumnInt(0)
			t.People += n
			for i, to := range []*int{&t.InitialPopulation, &t.Denominator, &t.DenominatorExclusion, &t.Exception, &t.Numerator, &t.Doubtful} {
				*to += n * s.ColumnInt(i+1)
			}
			return nil
		})
	})
	return t, err
}

// OpenUlcers implements clinic.Panel.
func (s *Store) OpenUlcers(ctx context.Context) (rows []clinic.UlcerRow, err error) {
	err = s.read(ctx, func(c *conn) error {
		return c.query(`SELECT u.person, u.doc, s.doc FROM ulcer u JOIN standing s ON s.person = u.person ORDER BY u.first, u.person, u.n`, nil, func(s *sqlite3.Stmt) error {
			var row clinic.UlcerRow
			person := s.ColumnText(0)
			if err := unmarshal(s.ColumnRawBlob(1), &row.FollowedUlcer, "ulcer of", person); err != nil {
				return err
			}
			rows = append(rows, row)
			return unmarshal(s.ColumnRawBlob(2), &rows[len(rows)-1].Standing, "panel row of", person)
		})
	})
	return rows, err
}
