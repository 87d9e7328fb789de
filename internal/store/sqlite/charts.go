package sqlite

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"iter"
	"slices"

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
// parameter, where there is one, is a sorted JSON list of ids.
var (
	allRecords = recordTexts{
		person:   `SELECT id, version, doc, origin FROM person ORDER BY id`,
		fact:     `SELECT f.person, f.key, f.doc, o.source, f.line FROM fact f JOIN origin o ON o.id = f.source ORDER BY f.person, f.key`,
		exam:     `SELECT person, doc FROM exam WHERE newest = 1 ORDER BY person, id`,
		referral: `SELECT person, doc FROM referral ORDER BY person, id`,
	}
	someRecords = recordTexts{
		person:   `SELECT p.id, p.version, p.doc, p.origin FROM json_each(?1) j CROSS JOIN person p ON p.id = j.value ORDER BY j.key`,
		fact:     `SELECT f.person, f.key, f.doc, o.source, f.line FROM json_each(?1) j CROSS JOIN fact f ON f.person = j.value JOIN origin o ON o.id = f.source ORDER BY j.key, f.key`,
		exam:     `SELECT e.person, e.doc FROM json_each(?1) j CROSS JOIN exam e ON e.person = j.value AND e.newest = 1 ORDER BY j.key, e.id`,
		referral: `SELECT r.person, r.doc FROM json_each(?1) j CROSS JOIN referral r ON r.person = j.value ORDER BY j.key, r.id`,
	}
)

type recordTexts struct{ person, fact, exam, referral string }

// Records implements clinic.Charts.
func (s *Store) Records(ctx context.Context) iter.Seq2[record.Record, error] {
	return s.records(ctx, allRecords)
}

// RecordsOf implements clinic.Charts.
func (s *Store) RecordsOf(ctx context.Context, people []string) iter.Seq2[record.Record, error] {
	people = slices.Clone(people)
	slices.Sort(people)
	list, err := json.Marshal(slices.Compact(people))
	if err != nil {
		return func(yield func(record.Record, error) bool) { yield(record.Record{}, err) }
	}
	return s.records(ctx, someRecords, string(list))
}

var errStopped = errors.New("the reader has seen enough")

// records walks four lists that are in the same order side by side, so that a
// whole panel is read in one pass and each record costs no query of its own.
func (s *Store) records(ctx context.Context, texts recordTexts, args ...any) iter.Seq2[record.Record, error] {
	return func(yield func(record.Record, error) bool) {
		err := s.read(ctx, func(c *conn) error {
			w, err := openWalk(c, texts, args)
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

func openWalk(c *conn, texts recordTexts, args []any) (*walk, error) {
	w := &walk{sources: map[string]string{}}
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
	errs = append(errs, w.facts.of(id, func(s *sqlite3.Stmt) error {
		f := record.Fact{}
		key := s.ColumnText(1)
		err := unmarshal(s.ColumnRawBlob(2), &f, "fact", id+" "+key)
		f.Key, f.Origin = key, record.Origin{Source: w.source(s.ColumnRawText(3)), Line: s.ColumnInt(4)}
		rec.Facts = append(rec.Facts, f)
		return err
	}))
	errs = append(errs, w.exams.of(id, func(s *sqlite3.Stmt) error {
		var e record.SignedExam
		err := unmarshal(s.ColumnRawBlob(1), &e, "exam of person", id)
		rec.Exams = append(rec.Exams, e)
		return err
	}))
	errs = append(errs, w.referral.of(id, func(s *sqlite3.Stmt) error {
		var r record.Referral
		err := unmarshal(s.ColumnRawBlob(1), &r, "referral of person", id)
		rec.Referrals = append(rec.Referrals, r)
		return err
	}))
	rec.Arrange()
	return rec, errors.Join(errs...)
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

func unmarshal(doc []byte, to any, what, id string) error {
	if err := json.Unmarshal(doc, to); err != nil {
		return fmt.Errorf("read the kept %s %s: %w", what, id, err)
	}
	return nil
}
