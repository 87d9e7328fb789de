package sqlite

import (
	"context"
	"encoding/json"
	"fmt"

	"github.com/ncruces/go-sqlite3"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/record"
)

// KeepDraft implements clinic.Exams.
func (s *Store) KeepDraft(ctx context.Context, who exam.Person, d exam.Draft) error {
	doc, err := json.Marshal(d)
	if err != nil {
		return fmt.Errorf("write draft %s: %w", d.ID, err)
	}
	return s.write(ctx, func(c *conn) error {
		if err := personHere(c, d.Patient); err != nil {
			return err
		}
		last, err := lastRevision(c, d.ID)
		if err != nil {
			return err
		}
		if d.Revision <= last {
			return clinic.Errorf(clinic.Conflict, "revision %d of exam %s is signed already: open the exam again to amend it", d.Revision, d.ID)
		}
		return keepDraft(c, who, d, doc)
	})
}

// keepDraft writes a draft. One that somebody else wrote is kept in the past.
func keepDraft(c *conn, who exam.Person, d exam.Draft, doc []byte) error {
	_, err := c.exec(`INSERT INTO draft_past (id, person, revision, doc, saved_by)
		SELECT id, person, revision, doc, saved_by FROM draft WHERE id = ?1 AND saved_by <> ?2`, d.ID, who.ID)
	if err != nil {
		return err
	}
	_, err = c.exec(`INSERT INTO draft (id, person, revision, doc, saved_by, saved)
		VALUES (?1, ?2, ?3, ?4, ?5, (SELECT ifnull(max(saved), 0) + 1 FROM draft))
		ON CONFLICT (id) DO UPDATE SET person = ?2, revision = ?3, doc = ?4, saved_by = ?5, saved = excluded.saved`,
		d.ID, d.Patient, d.Revision, doc, who.ID)
	return err
}

func personHere(c *conn, person string) error {
	found, err := c.one(`SELECT 1 FROM person WHERE id = ?1`, []any{person}, func(*sqlite3.Stmt) error { return nil })
	if err == nil && !found {
		err = clinic.Errorf(clinic.NotFound, "there is no person %s: import the record first", person)
	}
	return err
}

func lastRevision(c *conn, id string) (last int, err error) {
	_, err = c.one(`SELECT ifnull(max(revision), 0) FROM exam WHERE id = ?1`, []any{id}, func(s *sqlite3.Stmt) error {
		last = s.ColumnInt(0)
		return nil
	})
	return last, err
}

// Draft implements clinic.Exams.
func (s *Store) Draft(ctx context.Context, id string) (d exam.Draft, err error) {
	err = s.read(ctx, func(c *conn) error {
		found, err := c.one(`SELECT doc FROM draft WHERE id = ?1`, []any{id}, func(s *sqlite3.Stmt) error {
			return unmarshal(s.ColumnRawBlob(0), &d, "draft", id)
		})
		if err == nil && !found {
			err = clinic.Errorf(clinic.NotFound, "there is no draft %s: it was signed or dropped", id)
		}
		return err
	})
	return d, err
}

// DraftsOf implements clinic.Exams.
func (s *Store) DraftsOf(ctx context.Context, person string) (list []exam.Draft, err error) {
	err = s.read(ctx, func(c *conn) error {
		return c.query(`SELECT id, doc FROM draft WHERE ?1 = '' OR person IN `+theirs+` ORDER BY saved DESC`, []any{person}, func(s *sqlite3.Stmt) error {
			var d exam.Draft
			err := unmarshal(s.ColumnRawBlob(1), &d, "draft", s.ColumnText(0))
			list = append(list, d)
			return err
		})
	})
	return list, err
}

// DropDraft implements clinic.Exams.
func (s *Store) DropDraft(ctx context.Context, id string, audit clinic.AuditLine) error {
	return s.write(ctx, func(c *conn) error {
		n, err := c.exec(`DELETE FROM draft WHERE id = ?1`, id)
		if err != nil {
			return err
		}
		if n == 0 {
			return clinic.Errorf(clinic.NotFound, "there is no draft %s: it was signed or dropped", id)
		}
		return keepAudit(c, audit)
	})
}

// KeepSigned implements clinic.Exams.
func (s *Store) KeepSigned(ctx context.Context, in clinic.Signed) (kept record.SignedExam, already bool, err error) {
	d := &in.Exam.Exam.Draft
	doc, err := json.Marshal(in.Exam)
	if err != nil {
		return kept, false, fmt.Errorf("write exam %s: %w", d.ID, err)
	}
	draft, err := json.Marshal(d)
	if err != nil {
		return kept, false, fmt.Errorf("write exam %s: %w", d.ID, err)
	}
	var refused error
	err = s.write(ctx, func(c *conn) error {
		if kept, already, refused, err = answered(c, &in); err != nil || already {
			return err
		}
		if refused == nil {
			if refused, err = clashes(c, d); err != nil {
				return err
			}
		}
		if refused != nil {
			return keepBeside(c, in.Exam.SignedBy, *d, draft)
		}
		if err := moved(c, &in); err != nil {
			return err
		}
		kept = in.Exam
		return keepSigned(c, &in, doc)
	})
	if err != nil {
		return record.SignedExam{}, false, fmt.Errorf("keep exam %s: %w", d.ID, err)
	}
	return kept, already, refused
}

// answered looks for a request of the same key that was done before.
func answered(c *conn, in *clinic.Signed) (kept record.SignedExam, already bool, refused, err error) {
	var doc []byte
	content := ""
	found, err := c.one(`SELECT r.content, e.doc FROM request r JOIN exam e ON e.id = r.exam AND e.revision = r.revision WHERE r.key = ?1`,
		[]any{in.Key}, func(s *sqlite3.Stmt) error {
			content, doc = s.ColumnText(0), s.ColumnBlob(1, nil)
			return nil
		})
	if err != nil || !found {
		return kept, false, nil, err
	}
	if content != in.Content {
		return kept, false, clinic.Errorf(clinic.Conflict, "this request's key signed another document before: both are kept, open exam %s to compare", in.Exam.Exam.ID), nil
	}
	return kept, true, nil, unmarshal(doc, &kept, "exam", in.Exam.Exam.ID)
}

// clashes says why a revision cannot follow what is signed already.
func clashes(c *conn, d *exam.Draft) (refused, err error) {
	if err := personHere(c, d.Patient); err != nil {
		return nil, err
	}
	last, err := lastRevision(c, d.ID)
	if err != nil || d.Revision == last+1 {
		return nil, err
	}
	if last == 0 {
		return clinic.Errorf(clinic.Conflict, "exam %s has no signed revision to amend", d.ID), nil
	}
	return clinic.Errorf(clinic.Conflict, "exam %s has revision %d already: both versions are kept, compare them and amend the newest", d.ID, last), nil
}

// moved says that the record is another by now than the one that the exam was
// judged with.
func moved(c *conn, in *clinic.Signed) error {
	id := in.Exam.Exam.Patient
	version := int64(0)
	_, err := c.one(`SELECT version FROM person WHERE id = ifnull((SELECT survivor FROM merged WHERE old = ?1), ?1)`, []any{id}, func(s *sqlite3.Stmt) error {
		version = s.ColumnInt64(0)
		return nil
	})
	if err == nil && version != in.Derived.Version {
		err = &clinic.Error{Code: clinic.Conflict, Message: "sign an exam of " + id, Err: clinic.ErrMoved}
	}
	return err
}

// keepBeside keeps a document that could not be signed. It takes the place of
// the draft it was made from, which goes into the past.
func keepBeside(c *conn, who exam.Person, d exam.Draft, doc []byte) error {
	_, err := c.exec(`INSERT INTO draft_past (id, person, revision, doc, saved_by)
		SELECT id, person, revision, doc, saved_by FROM draft WHERE id = ?1 AND saved_by = ?2 AND doc <> ?3`, d.ID, who.ID, doc)
	if err != nil {
		return err
	}
	return keepDraft(c, who, d, doc)
}

func keepSigned(c *conn, in *clinic.Signed, doc []byte) error {
	d := &in.Exam.Exam.Draft
	if _, err := c.exec(`UPDATE exam SET newest = 0 WHERE id = ?1 AND newest = 1`, d.ID); err != nil {
		return err
	}
	if _, err := c.exec(`INSERT INTO exam (id, revision, person, newest, doc, sealed) VALUES (?1, ?2, ?3, 1, ?4, ?5)`, d.ID, d.Revision, d.Patient, doc, in.Sealed); err != nil {
		return err
	}
	if _, err := c.exec(`INSERT INTO request (key, content, exam, revision) VALUES (?1, ?2, ?3, ?4)`, in.Key, in.Content, d.ID, d.Revision); err != nil {
		return err
	}
	if _, err := c.exec(`DELETE FROM draft WHERE id = ?1 AND revision <= ?2`, d.ID, d.Revision); err != nil {
		return err
	}
	for i := range in.Referrals {
		if err := keepReferral(c, d.Patient, &in.Referrals[i]); err != nil {
			return err
		}
	}
	if _, err := touch(c, d.Patient); err != nil {
		return err
	}
	if err := countChange(c); err != nil {
		return err
	}
	// The rows were made from the record as it is after this touch.
	derived := in.Derived
	derived.Version++
	if err := saveDerived(c, &derived); err != nil {
		return err
	}
	return keepAudit(c, in.Audit)
}

// Revisions implements clinic.Exams.
func (s *Store) Revisions(ctx context.Context, id string) (list []record.SignedExam, err error) {
	err = s.read(ctx, func(c *conn) error {
		return c.query(`SELECT doc FROM exam WHERE id = ?1 ORDER BY revision`, []any{id}, func(s *sqlite3.Stmt) error {
			var e record.SignedExam
			err := unmarshal(s.ColumnRawBlob(0), &e, "exam", id)
			list = append(list, e)
			return err
		})
	})
	if err == nil && len(list) == 0 {
		err = clinic.Errorf(clinic.NotFound, "there is no signed exam %s", id)
	}
	return list, err
}

// Sealed implements clinic.Exams.
func (s *Store) Sealed(ctx context.Context, id string, revision int) (text []byte, err error) {
	err = s.read(ctx, func(c *conn) error {
		found, err := c.one(`SELECT sealed FROM exam WHERE id = ?1 AND revision = ?2`, []any{id, revision}, func(s *sqlite3.Stmt) error {
			text = s.ColumnBlob(0, nil)
			return nil
		})
		if err == nil && !found {
			err = clinic.Errorf(clinic.NotFound, "there is no signed revision %d of exam %s", revision, id)
		}
		return err
	})
	return text, err
}
