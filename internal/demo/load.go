package demo

import (
	"context"
	"fmt"
	"slices"
	"time"

	"tengram/internal/clinic"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// Source is the people and their charts as an import.
func (k *Clinic) Source() clinic.Source { return charts{k} }

type charts struct{ *Clinic }

// Read hands over everybody, then every fact, and names the people without a
// birth date, as a reader of files does.
func (c charts) Read(ctx context.Context, sink clinic.Sink) (clinic.ReadReport, error) {
	report := clinic.ReadReport{Files: 2, Lines: len(c.People) + len(c.Facts), Resources: len(c.People) + len(c.Facts)}
	counts := map[string]int{"Patient": len(c.People)}
	for i, p := range c.People {
		if err := sink.Person(p); err != nil {
			return report, err
		}
		if p.Birth.IsZero() {
			report.Asides++
			err := sink.Aside(clinic.Aside{File: "demo/people", Line: i + 1, Resource: "Patient/" + p.ID, Reason: "has no birth date: taken in, and in no measure that asks for an age"})
			if err != nil {
				return report, err
			}
		}
	}
	for _, f := range c.Facts {
		if err := ctx.Err(); err != nil {
			return report, err
		}
		counts[resources[f.Fact.Kind]]++
		if err := sink.Fact(f.Person, f.Fact); err != nil {
			return report, err
		}
	}
	report.ByType = clinic.TypeCounts(counts)
	return report, nil
}

// Load brings the clinic into a practice by the road of real data: import, then
// each signature and each step of a referral on its own day, with the
// practice's clock set to it. At the end the panel stands as on the noon of
// Today, and the clock is the practice's own again.
func (k *Clinic) Load(ctx context.Context, c *clinic.Clinic) error {
	own := c.Now
	defer func() { c.Now = own }()
	now := func(t time.Time) { c.Now = func() time.Time { return t } }

	now(k.noon(k.Today.AddMonths(-programmeMonths)))
	if err := k.settle(ctx, c); err != nil {
		return err
	}
	if _, err := c.Import(ctx, brandt, k.Source()); err != nil {
		return fmt.Errorf("import the demo charts: %w", err)
	}
	steps := k.Steps
	for _, v := range k.Visits {
		for len(steps) > 0 && steps[0].At.Before(v.SignedAt) {
			now(steps[0].At)
			if err := follow(ctx, c, steps[0]); err != nil {
				return err
			}
			steps = steps[1:]
		}
		now(v.SignedAt)
		if _, err := c.Sign(ctx, v.By, v.Draft, fmt.Sprintf("demo/%s/%d", v.Draft.ID, v.Draft.Revision)); err != nil {
			return fmt.Errorf("sign demo exam %s of %s: %w", v.Draft.ID, v.Draft.Patient, err)
		}
	}
	for _, s := range steps {
		now(s.At)
		if err := follow(ctx, c, s); err != nil {
			return err
		}
	}
	now(k.noon(k.Today))
	people := make([]string, len(k.People))
	for i, p := range k.People {
		people[i] = p.ID
	}
	return c.Refresh(ctx, people...)
}

func (k *Clinic) noon(day when.Day) time.Time {
	y, m, d := day.YMD()
	return time.Date(y, m, d, 12, 0, 0, 0, k.zone)
}

// settle writes the practice's name and its monofilament sites: five, so that
// every definition of lost sensation can be read from one test.
func (k *Clinic) settle(ctx context.Context, c *clinic.Clinic) error {
	p, err := c.Settings(ctx)
	if err != nil {
		return err
	}
	p.Practice, p.Phone, p.Protocol = Name, Phone, neuro.FiveSites
	return c.SetSettings(ctx, brandt, p)
}

// follow takes a step of the referral that is open for the action.
func follow(ctx context.Context, c *clinic.Clinic, s ReferralStep) error {
	rec, err := c.Store.Record(ctx, s.Person)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(rec.Referrals, func(r record.Referral) bool { return r.Action == s.Action && !r.Closed() })
	if i < 0 {
		return fmt.Errorf("no referral %s of %s is open on %s for the step %q", s.Action, s.Person, s.Step.On, s.Step.What)
	}
	return c.StepReferral(ctx, s.Step.By, s.Person, rec.Referrals[i].ID, s.Step)
}
