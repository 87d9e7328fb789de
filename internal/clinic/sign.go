package clinic

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"slices"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// Sign checks a draft, judges it by the edition in force and keeps it for good,
// with the referrals that its plan opens and the person's new place on the
// panel, in one transaction. The same key with the same draft again returns
// what was signed then.
//
// A draft that was begun from a revision that is no longer the newest is
// refused with code Conflict and kept as a draft, so that both can be read.
func (c *Clinic) Sign(ctx context.Context, who exam.Person, d exam.Draft, key string) (record.SignedExam, error) {
	if d.Revision == 0 {
		d.Revision = 1
	}
	if d.Revision > 1 || d.Amends != nil {
		reason := ""
		if d.Amends != nil {
			reason = d.Amends.Reason
		}
		return c.Amend(ctx, who, d, reason, key)
	}
	return c.sign(ctx, who, d, nil, key, "sign")
}

// Amend signs a new revision of a signed exam. The draft comes from
// StartAmendment, or is the changed document of the revision that it was begun
// from, without Amends.
func (c *Clinic) Amend(ctx context.Context, who exam.Person, d exam.Draft, reason, key string) (record.SignedExam, error) {
	if reason == "" {
		return record.SignedExam{}, Errorf(Invalid, "say why exam %s is amended", d.ID)
	}
	if d.Amends == nil {
		d.Amends = &exam.Amendment{Revision: d.Revision}
		d.Revision++
	} else {
		again := *d.Amends
		d.Amends = &again
	}
	d.Amends.Reason = reason
	if d.Amends.By.IsZero() {
		d.Amends.By = who
	}
	return c.sign(ctx, who, d, nil, key, "amend")
}

// sign keeps a document under a key. sealed is its text where a device signed
// it, and nil where the document was put together here.
func (c *Clinic) sign(ctx context.Context, who exam.Person, d exam.Draft, sealed []byte, key, did string) (record.SignedExam, error) {
	none := record.SignedExam{}
	if err := allow(who, Examine); err != nil {
		return none, err
	}
	if d.Override != nil {
		if err := allow(who, Overrule); err != nil {
			return none, err
		}
	}
	if key == "" {
		return none, Errorf(Invalid, "signing needs a key of its own, so that a repeated request does not sign twice")
	}
	content, err := digest(d, sealed)
	if err != nil {
		return none, err
	}
	now := c.Moment()
	if d.Amends != nil && d.Amends.At.IsZero() {
		d.Amends.At = now
	}
	if d.Examiner.IsZero() {
		d.Examiner = who
	}
	for try := 1; ; try++ {
		kept, err := c.signOnce(ctx, who, d, now, Signed{Key: key, Content: content, Sealed: sealed, Audit: c.line(who, did, d.Patient, fmt.Sprintf("%s/%d", d.ID, d.Revision))})
		if !errors.Is(err, ErrMoved) || try == signTries {
			return kept, err
		}
	}
}

// signTries is how often a signature is tried anew because the record changed
// while the exam was being judged.
const signTries = 10

// signOnce reads the record, judges the exam with it and keeps both together.
func (c *Clinic) signOnce(ctx context.Context, who exam.Person, d exam.Draft, now when.Moment, s Signed) (record.SignedExam, error) {
	none := record.SignedExam{}
	rec, err := c.Store.Record(ctx, d.Patient)
	if err != nil {
		return none, err
	}
	edition, err := c.Edition(ctx)
	if err == nil && s.Sealed != nil {
		edition, err = editionNamed(d.Edition, edition.RecallChoice)
	}
	if err != nil {
		return none, err
	}
	d.Edition = edition.ID
	checked, problems := exam.Check(d)
	if exam.Blocked(problems) {
		return none, refused(problems)
	}
	s.Exam = record.SignedExam{Exam: checked, Assessment: c.assess(checked, rec, edition), SignedBy: who, SignedAt: now}
	s.Referrals = referralsOf(s.Exam, rec, who, c.Today())
	inForce, err := c.rules(ctx)
	if err != nil {
		return none, err
	}
	rec = with(rec, s.Exam, s.Referrals)
	s.Derived, _ = inForce.derive(&rec, c.Today())
	kept, _, err := c.Store.KeepSigned(ctx, s)
	return kept, err
}

// digest names a document as it was sent.
func digest(d exam.Draft, sealed []byte) (string, error) {
	text := sealed
	if text == nil {
		var err error
		if text, err = json.Marshal(d); err != nil {
			return "", fmt.Errorf("write exam %s: %w", d.ID, err)
		}
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:]), nil
}

// ProblemsError is the cause of an Invalid error of Sign and Amend: what must be
// answered first.
type ProblemsError struct{ Problems []exam.Problem }

// Error names the fields; the sentences may hold findings and stay out.
func (e *ProblemsError) Error() string {
	text, n := "", 0
	for _, p := range e.Problems {
		if p.Blocks {
			if n > 0 {
				text += ", "
			}
			text += p.Field
			n++
		}
	}
	return text
}

func refused(problems []exam.Problem) error {
	return &Error{Code: Invalid, Message: "the exam cannot be signed yet; look at these fields", Err: &ProblemsError{problems}}
}

// with is the record after a signature.
func with(rec record.Record, signed record.SignedExam, referrals []record.Referral) record.Record {
	rec.Exams = append(without(rec.Exams, signed.Exam.ID), signed)
	slices.SortStableFunc(rec.Exams, func(a, b record.SignedExam) int {
		return cmp.Or(a.Exam.At.Compare(b.Exam.At), cmp.Compare(a.Exam.ID, b.Exam.ID))
	})
	rec.Referrals = slices.DeleteFunc(slices.Clone(rec.Referrals), func(r record.Referral) bool {
		return slices.ContainsFunc(referrals, func(n record.Referral) bool { return n.ID == r.ID })
	})
	rec.Referrals = append(rec.Referrals, referrals...)
	return rec
}
