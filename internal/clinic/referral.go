package clinic

import (
	"context"
	"fmt"
	"slices"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/plan"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// referralsOf lists the referrals that a signature opens or changes.
//
// A referral that is open for the same action is not opened twice: an earlier
// deadline moves it forward, and a step says so. A later revision that no longer
// asks for a referral of its exam leaves it open, with a step that says so,
// because somebody may already be on the way.
func referralsOf(signed record.SignedExam, rec record.Record, who exam.Person, today when.Day) []record.Referral {
	var out []record.Referral
	wanted := map[string]bool{}
	for _, a := range signed.Assessment.Plan.Actions {
		if a.Kind != plan.Refer {
			continue
		}
		wanted[a.ID] = true
		open := slices.IndexFunc(rec.Referrals, func(r record.Referral) bool { return r.Action == a.ID && !r.Closed() })
		if open < 0 {
			out = append(out, opened(signed, rec, a, today))
			continue
		}
		r := rec.Referrals[open]
		if a.Urgency < r.Urgency || (!a.Due.IsZero() && (r.Due.IsZero() || a.Due < r.Due)) {
			r.Urgency, r.Says = min(a.Urgency, r.Urgency), a.Says
			if r.Due.IsZero() || (!a.Due.IsZero() && a.Due < r.Due) {
				r.Due = a.Due
			}
			out = append(out, stepped(r, who, today, "Sooner than before, by exam "+signed.Exam.ID+"."))
		}
	}
	for _, r := range rec.Referrals {
		if r.Exam == signed.Exam.ID && !r.Closed() && !wanted[r.Action] {
			out = append(out, stepped(r, who, today, fmt.Sprintf("No longer asked for by revision %d of the exam.", signed.Exam.Revision)))
		}
	}
	return out
}

// opened makes a referral. Its id follows from exam and action, so that signing
// the same thing again makes the same referral; a second one for the same
// action of the same exam counts up.
func opened(signed record.SignedExam, rec record.Record, a plan.Action, today when.Day) record.Referral {
	id := signed.Exam.ID + "." + a.ID
	for n := 2; slices.ContainsFunc(rec.Referrals, func(r record.Referral) bool { return r.ID == id }); n++ {
		id = fmt.Sprintf("%s.%s.%d", signed.Exam.ID, a.ID, n)
	}
	return record.Referral{
		ID: id, Action: a.ID, Exam: signed.Exam.ID, To: a.To, Says: a.Says,
		Urgency: a.Urgency, Opened: today, Due: a.Due,
	}
}

func stepped(r record.Referral, who exam.Person, today when.Day, note string) record.Referral {
	r.Steps = append(slices.Clone(r.Steps), record.ReferralStep{What: "note", On: today, By: who, Note: note})
	return r
}

// Referrals lists open referrals, earliest deadline first.
func (c *Clinic) Referrals(ctx context.Context, who exam.Person) ([]PersonReferral, error) {
	if err := allow(who, See); err != nil {
		return nil, err
	}
	return c.Store.OpenReferrals(ctx)
}

// Steps lists what may happen to a referral, in the usual order.
func Steps() []string { return []string{"sent", "booked", "seen", "closed", "declined", "note"} }

// StepReferral adds a step to a referral. The step's day is today where it has
// none, and its person is who.
func (c *Clinic) StepReferral(ctx context.Context, who exam.Person, person, referral string, step record.ReferralStep) error {
	if err := allow(who, Examine); err != nil {
		return err
	}
	if !slices.Contains(Steps(), step.What) {
		return Errorf(Invalid, "a referral step is one of %q, not %q", Steps(), step.What)
	}
	if step.What == "note" && step.Note == "" {
		return Errorf(Invalid, "the note on referral %s is empty", referral)
	}
	r, err := c.Store.Referral(ctx, person, referral)
	if err != nil {
		return err
	}
	if r.Closed() && step.What != "note" {
		return Errorf(Conflict, "referral %s is closed already; add a note, or let the next exam open a new one", referral)
	}
	if step.On.IsZero() {
		step.On = c.Today()
	}
	step.By = who
	r.Steps = append(slices.Clone(r.Steps), step)
	if err := c.Store.KeepReferral(ctx, person, r, c.line(who, "referral "+step.What, person, referral)); err != nil {
		return err
	}
	return c.Refresh(ctx, person)
}
