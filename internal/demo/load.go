package demo

import (
	"context"
	"fmt"
	"iter"
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
// practice's clock set to it. The panel is built once, at the end, as on the noon
// of Today. Nobody else may use the practice meanwhile; afterwards its clock and
// its store are its own again.
func (k *Clinic) Load(ctx context.Context, c *clinic.Clinic) error {
	clock, store := c.Now, c.Store
	defer func() { c.Now, c.Store = clock, store }()
	c.Store = withoutPanel{store}
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
	c.Store = store
	people := make([]string, len(k.People))
	for i, p := range k.People {
		people[i] = p.ID
	}
	return c.Refresh(ctx, people...)
}

// withoutPanel is a store whose panel rows are not rebuilt after every step: in
// two years of steps nobody looks at them.
type withoutPanel struct{ clinic.Store }

func (withoutPanel) MarkStale(context.Context, string, when.Day) error { return nil }

func (withoutPanel) Stale(context.Context, string, int) ([]string, error) { return nil, nil }

func (withoutPanel) SaveDerived(context.Context, []clinic.Derived) error { return nil }

// RecordsOf is asked for when rows are rebuilt, and has nothing to rebuild.
func (withoutPanel) RecordsOf(context.Context, []string) iter.Seq2[record.Record, error] {
	return func(func(record.Record, error) bool) {}
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

// follow takes a step of a referral, whose id follows from the exam and the
// action that opened it.
func follow(ctx context.Context, c *clinic.Clinic, s ReferralStep) error {
	if err := c.StepReferral(ctx, s.Step.By, s.Person, s.Exam+"."+s.Action, s.Step); err != nil {
		return fmt.Errorf("step %q of the demo on %s: %w", s.Step.What, s.Step.On, err)
	}
	return nil
}
