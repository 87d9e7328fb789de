package clinic

import (
	"context"

	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// StartExam makes an empty draft for a person: a new id, now, the examiner and
// the practice's monofilament protocol. Nothing is filled in as found; not even
// an amputation that the record knows, which the form shows beside the question
// and the examiner confirms.
func (c *Clinic) StartExam(ctx context.Context, who exam.Person, person string) (exam.Draft, error) {
	if err := allow(who, Examine); err != nil {
		return exam.Draft{}, err
	}
	if _, err := c.Store.Record(ctx, person); err != nil {
		return exam.Draft{}, err
	}
	protocol, err := c.protocol(ctx)
	if err != nil {
		return exam.Draft{}, err
	}
	return exam.Draft{
		Schema: exam.SchemaID, ID: c.NewID(), Revision: 1, Patient: person,
		At: c.Moment(), Examiner: who, Protocol: protocol,
	}, nil
}

// StartAmendment makes a draft of the next revision of a signed exam.
func (c *Clinic) StartAmendment(ctx context.Context, who exam.Person, id string) (exam.Draft, error) {
	if err := allow(who, Examine); err != nil {
		return exam.Draft{}, err
	}
	revisions, err := c.Store.Revisions(ctx, id)
	if err != nil {
		return exam.Draft{}, err
	}
	d := revisions[len(revisions)-1].Exam.Draft
	d.Amends = &exam.Amendment{Revision: d.Revision, By: who, At: c.Moment()}
	d.Revision++
	return d, nil
}

// SaveDraft keeps the newest state of a draft.
func (c *Clinic) SaveDraft(ctx context.Context, who exam.Person, d exam.Draft) error {
	if err := allow(who, Examine); err != nil {
		return err
	}
	if d.Schema != exam.SchemaID {
		return Errorf(Invalid, "the draft says schema %q; this program keeps %q", d.Schema, exam.SchemaID)
	}
	if d.ID == "" || d.Patient == "" || d.Revision < 1 {
		return Errorf(Invalid, "a draft needs an id, a person and a revision of at least 1")
	}
	return c.Store.KeepDraft(ctx, who, d)
}

// Draft returns a draft by its id.
func (c *Clinic) Draft(ctx context.Context, who exam.Person, id string) (exam.Draft, error) {
	if err := allow(who, See); err != nil {
		return exam.Draft{}, err
	}
	return c.Store.Draft(ctx, id)
}

// Drafts lists every unsigned exam of the practice, newest first.
func (c *Clinic) Drafts(ctx context.Context, who exam.Person) ([]exam.Draft, error) {
	if err := allow(who, See); err != nil {
		return nil, err
	}
	return c.Store.DraftsOf(ctx, "")
}

// DropDraft throws a draft away.
func (c *Clinic) DropDraft(ctx context.Context, who exam.Person, id string) error {
	if err := allow(who, Examine); err != nil {
		return err
	}
	d, err := c.Store.Draft(ctx, id)
	if err != nil {
		return err
	}
	return c.Store.DropDraft(ctx, id, c.line(who, "drop draft", d.Patient, id))
}

// Exam returns every signed revision of an exam, oldest first.
func (c *Clinic) Exam(ctx context.Context, who exam.Person, id string) ([]record.SignedExam, error) {
	if err := allow(who, See); err != nil {
		return nil, err
	}
	return c.Store.Revisions(ctx, id)
}

// Preview assesses a draft as it stands, with everything that would stop it
// from being signed. It keeps nothing.
func (c *Clinic) Preview(ctx context.Context, who exam.Person, d exam.Draft) (assess.Assessment, []exam.Problem, error) {
	if err := allow(who, See); err != nil {
		return assess.Assessment{}, nil, err
	}
	rec, err := c.Store.Record(ctx, d.Patient)
	if err != nil {
		return assess.Assessment{}, nil, err
	}
	edition, err := c.Edition(ctx)
	if err != nil {
		return assess.Assessment{}, nil, err
	}
	d.Edition = edition.ID
	checked, problems := exam.Check(d)
	return c.assess(checked, rec, edition), problems, nil
}

// assess judges an exam with the record as background. Other revisions of the
// exam itself are no background.
func (c *Clinic) assess(checked exam.Exam, rec record.Record, edition assess.Edition) assess.Assessment {
	on := c.dayOf(checked.At)
	rec.Exams = without(rec.Exams, checked.ID)
	return assess.Assess(assess.Input{
		Exam: &checked.Draft, Background: rec.Background(on), Edition: edition, On: on,
	})
}

// dayOf is the day of an exam in the practice's calendar; today where the draft
// has no time yet.
func (c *Clinic) dayOf(at when.Moment) when.Day {
	if at.IsZero() {
		return c.Today()
	}
	_, day := at.Days(c.Zone)
	return day
}

func without(exams []record.SignedExam, id string) []record.SignedExam {
	kept := make([]record.SignedExam, 0, len(exams))
	for _, e := range exams {
		if e.Exam.ID != id {
			kept = append(kept, e)
		}
	}
	return kept
}
