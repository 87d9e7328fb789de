package clinic

import (
	"context"

	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// Case is what one exam needs to go on where the practice cannot be reached:
// the draft, whose feet they are, and what the record says beside them. It
// holds no more of the record than that.
type Case struct {
	Exam exam.Draft `json:"exam"`
	// Person has a name, a birth and a sex, and nothing else.
	Person record.Person `json:"person"`
	// Background is what the rules read, as of the day of the exam; Shown is
	// what stands beside the questions, as of today.
	Background exam.Background `json:"background"`
	Shown      exam.Background `json:"shown"`
	// Last is the newest signed exam of the person beside this one, without what
	// was concluded from it; nil for none.
	Last *record.SignedExam `json:"last,omitempty"`
	// Edition is the edition in force, with the practice's choice inside recall
	// intervals.
	Edition      string `json:"edition"`
	RecallChoice string `json:"recall-choice"`
	// On is the day from which deadlines count, Today the practice's day.
	On    when.Day `json:"on"`
	Today when.Day `json:"today"`
}

// Case reads the case of a draft; the audit trail says that it was taken along.
func (c *Clinic) Case(ctx context.Context, who exam.Person, id string) (Case, error) {
	if err := allow(who, Examine); err != nil {
		return Case{}, err
	}
	d, err := c.Store.Draft(ctx, id)
	if err != nil {
		return Case{}, err
	}
	rec, err := c.Store.Record(ctx, d.Patient)
	if err != nil {
		return Case{}, err
	}
	edition, err := c.Edition(ctx)
	if err != nil {
		return Case{}, err
	}
	if err := c.Store.KeepAudit(ctx, c.line(who, "take along", d.Patient, id)); err != nil {
		return Case{}, err
	}
	p, on := rec.Person, c.dayOf(d.At)
	shown := rec.Background(c.Today())
	rec.Exams = without(rec.Exams, d.ID)
	var last *record.SignedExam
	if n := len(rec.Exams); n > 0 {
		last = &rec.Exams[n-1]
		last.Assessment = assess.Assessment{}
	}
	return Case{
		Exam: d, Person: record.Person{ID: p.ID, Family: p.Family, Given: p.Given, Birth: p.Birth, Sex: p.Sex},
		Background: rec.Background(on), Shown: shown, Last: last,
		Edition: edition.ID, RecallChoice: edition.RecallChoice, On: on, Today: c.Today(),
	}, nil
}

// Judge assesses a draft of the case as Preview would.
func (c Case) Judge(d exam.Draft) (assess.Assessment, []exam.Problem, error) {
	edition, err := editionNamed(c.Edition, c.RecallChoice)
	if err != nil {
		return assess.Assessment{}, nil, err
	}
	d.Edition = edition.ID
	checked, problems := exam.Check(d)
	return assess.Assess(assess.Input{Exam: &checked.Draft, Background: c.Background, Edition: edition, On: c.On}), problems, nil
}
