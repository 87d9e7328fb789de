package sqlite

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"iter"

	jsonv2 "github.com/go-json-experiment/json"
	"github.com/ncruces/go-sqlite3"

	"tengram/internal/clinic"
	"tengram/internal/kernel/record"
)

// Record implements clinic.Charts.
func (s *Store) Record(ctx context.Context, person string) (record.Record, error) {
	for rec, err := range s.RecordsOf(ctx, []string{person}) {
		if err != nil {
			return record.Record{}, err
		}
		return rec, nil
	}
	if err := ctx.Err(); err != nil {
		return record.Record{}, err
	}
	return record.Record{}, clinic.Errorf(clinic.NotFound, "there is no person %s: import the record first", person)
}

// The four texts that a record is joined from, each in order of person. The
// parameter, where there is one, is a JSON list of ids.
var (
	allRecords = recordTexts{
		person:   `SELECT id, version, doc, origin FROM person WHERE id NOT IN (SELECT old FROM merged) ORDER BY id`,
		fact:     `SELECT f.person, f.key, f.doc, o.source, f.line, f.meta_updated, f.meta_version FROM fact f JOIN origin o ON o.id = f.source ORDER BY f.person, f.key`,
		exam:     `SELECT person, doc FROM exam WHERE newest = 1 ORDER BY person, id`,
		referral: `SELECT person, doc FROM referral ORDER BY person, id`,
	}
	someRecords = recordTexts{
		person:   `SELECT id, version, doc, origin FROM person WHERE id IN (SELECT value FROM json_each(?1)) ORDER BY id`,
		fact:     `SELECT f.person, f.key, f.doc, o.source, f.line, f.meta_updated, f.meta_version FROM fact f JOIN origin o ON o.id = f.source WHERE f.person IN (SELECT value FROM json_each(?1)) ORDER BY f.person, f.key`,
		exam:     `SELECT person, doc FROM exam WHERE newest = 1 AND person IN (SELECT value FROM json_each(?1)) ORDER BY person, id`,
		referral: `SELECT person, doc FROM referral WHERE person IN (SELECT value FROM json_each(?1)) ORDER BY person, id`,
	}
)

type recordTexts struct{ person, fact, exam, referral string }

// Records implements clinic.Charts.
func (s *Store) Records(ctx context.Context) iter.Seq2[record.Record, error] {
	return s.records(ctx, func(c *conn, m merges) (*walk, error) { return openWalk(c, allRecords, m) })
}

// RecordsOf implements clinic.Charts.
func (s *Store) RecordsOf(ctx context.Context, people []string) iter.Seq2[record.Record, error] {
	return s.records(ctx, func(c *conn, m merges) (*walk, error) {
		list, err := json.Marshal(m.survivors(people))
		if err != nil {
			return nil, err
		}
		return openWalk(c, someRecords, m, string(list))
	})
}

// Changes implements clinic.Charts.
func (s *Store) Changes(ctx context.Context) (n int64, err error) {
	err = s.read(ctx, func(c *conn) error {
		_, err := c.one(`SELECT CAST(value AS INTEGER) FROM setting WHERE key = ?1`, []any{changesSetting}, func(s *sqlite3.Stmt) error {
			n = s.ColumnInt64(0)
			return nil
		})
		return err
	})
	return n, err
}

var errStopped = errors.New("the reader has seen enough")

// records walks four lists that are in the same order side by side, so that a
// whole panel is read in one pass and each record costs no query of its own.
func (s *Store) records(ctx context.Context, open func(*conn, merges) (*walk, error)) iter.Seq2[record.Record, error] {
	return func(yield func(record.Record, error) bool) {
		err := s.read(ctx, func(c *conn) error {
			m, err := readMerges(c)
			if err != nil {
				return err
			}
			w, err := open(c, m)
			if err != nil {
				return err
			}
			err = w.run(yield)
			return errors.Join(err, w.close())
		})
		if err != nil && !errors.Is(err, errStopped) {
			yield(record.Record{}, fmt.Errorf("read the records: %w", err))
		}
	}
}

// walk is the four lists, each standing at its next row.
type walk struct {
	conn                   *conn
	merges                 merges
	people                 *sqlite3.Stmt
	facts, exams, referral *list
	sources                map[string]string
}

// list is one list of rows whose first column is a person.
type list struct {
	stmt   *sqlite3.Stmt
	person []byte // of the row it stands at
	more   bool
}

func openWalk(c *conn, texts recordTexts, m merges, args ...any) (*walk, error) {
	w := &walk{conn: c, merges: m, sources: map[string]string{}}
	var err error
	if w.people, err = c.stmt(texts.person, args...); err != nil {
		return nil, err
	}
	for _, l := range []struct {
		to   **list
		text string
	}{{&w.facts, texts.fact}, {&w.exams, texts.exam}, {&w.referral, texts.referral}} {
		stmt, err := c.stmt(l.text, args...)
		if err != nil {
			return nil, err
		}
		*l.to = &list{stmt: stmt}
		(*l.to).next()
	}
	return w, nil
}

func (w *walk) close() error {
	err := w.people.Reset()
	for _, l := range []*list{w.facts, w.exams, w.referral} {
		err = errors.Join(err, l.stmt.Reset())
	}
	return err
}

func (l *list) next() {
	if l.more = l.stmt.Step(); l.more {
		l.person = append(l.person[:0], l.stmt.ColumnRawText(0)...)
	}
}

// of hands each row of a person to a function and passes over rows of people
// who come before: those are facts whose person is not here yet.
func (l *list) of(person string, row func(*sqlite3.Stmt) error) error {
	for l.more {
		switch order := cmp.Compare(string(l.person), person); {
		case order > 0:
			return nil
		case order == 0:
			if err := row(l.stmt); err != nil {
				l.skip(person)
				return err
			}
		}
		l.next()
	}
	return l.stmt.Err()
}

func (l *list) skip(person string) {
	for l.more && string(l.person) == person {
		l.next()
	}
}

func (w *walk) run(yield func(record.Record, error) bool) error {
	for w.people.Step() {
		rec, err := w.record()
		if err != nil {
			rec = record.Record{Person: record.Person{ID: rec.Person.ID}}
		}
		if !yield(rec, err) {
			return errStopped
		}
	}
	return errors.Join(w.people.Err(), w.facts.stmt.Err(), w.exams.stmt.Err(), w.referral.stmt.Err())
}

// record reads the record of the person at which the walk stands.
func (w *walk) record() (record.Record, error) {
	id := w.people.ColumnText(0)
	rec := record.Record{Version: w.people.ColumnInt64(1)}
	errs := []error{
		unmarshal(w.people.ColumnRawBlob(2), &rec.Person, "person", id),
		unmarshal(w.people.ColumnRawBlob(3), &rec.Person.Origin, "origin of person", id),
	}
	rec.Person.ID = id
	errs = append(errs,
		w.facts.of(id, func(s *sqlite3.Stmt) error { return w.addFact(&rec, s) }),
		w.exams.of(id, func(s *sqlite3.Stmt) error { return addExam(&rec, s) }),
		w.referral.of(id, func(s *sqlite3.Stmt) error { return addReferral(&rec, s) }))
	if old := w.merges.old[id]; len(old) > 0 {
		errs = append(errs, w.join(&rec, old))
	}
	rec.Arrange()
	return rec, errors.Join(errs...)
}

func (w *walk) addFact(rec *record.Record, s *sqlite3.Stmt) error {
	f := record.Fact{}
	key := s.ColumnText(1)
	err := unmarshal(s.ColumnRawBlob(2), &f, "fact", rec.Person.ID+" "+key)
	f.Key, f.Origin = key, record.Origin{Source: w.source(s.ColumnRawText(3)), Line: s.ColumnInt(4)}
	f.Version = record.Version{Updated: s.ColumnInt64(5), Number: s.ColumnInt64(6)}
	rec.Facts = append(rec.Facts, f)
	return err
}

func addExam(rec *record.Record, s *sqlite3.Stmt) error {
	var e record.SignedExam
	err := unmarshal(s.ColumnRawBlob(1), &e, "exam of person", rec.Person.ID)
	rec.Exams = append(rec.Exams, e)
	return err
}

func addReferral(rec *record.Record, s *sqlite3.Stmt) error {
	var r record.Referral
	err := unmarshal(s.ColumnRawBlob(1), &r, "referral of person", rec.Person.ID)
	rec.Referrals = append(rec.Referrals, r)
	return err
}

// source returns one string for the same name of a file, however often it
// comes.
func (w *walk) source(name []byte) string {
	if s, ok := w.sources[string(name)]; ok {
		return s
	}
	s := string(name)
	w.sources[s] = s
	return s
}

// unmarshal reads a document that encoding/json wrote. The reader is the second
// edition of that package: it is twice as fast, and refuses what the first lets
// pass.
func unmarshal(doc []byte, to any, what, id string) error {
	if err := jsonv2.Unmarshal(doc, to); err != nil {
		return fmt.Errorf("read the kept %s %s: %w", what, id, err)
	}
	return nil
}
