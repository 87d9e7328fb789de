package clinic

import (
	"context"
	"iter"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/source"
)

// Chart is everything about one person, read at once.
type Chart struct {
	Record   record.Record
	Standing Standing
	// Because are the reasons for the standing, with their sources.
	Because    source.Because
	Background exam.Background
	Drafts     []exam.Draft
	// Measure is the foot-exam measure of the current year.
	Measure measure.Result
	// Ulcers are those being followed.
	Ulcers []FollowedUlcer
}

// Open reads a person's chart and writes into the audit trail that who did.
func (c *Clinic) Open(ctx context.Context, who exam.Person, person string) (Chart, error) {
	if err := allow(who, See); err != nil {
		return Chart{}, err
	}
	rec, err := c.Store.Record(ctx, person)
	if err != nil {
		return Chart{}, err
	}
	drafts, err := c.Store.DraftsOf(ctx, person)
	if err != nil {
		return Chart{}, err
	}
	if err := c.Store.KeepAudit(ctx, c.line(who, "open", person, "")); err != nil {
		return Chart{}, err
	}
	inForce, err := c.rules(ctx)
	if err != nil {
		return Chart{}, err
	}
	derived, because := inForce.derive(&rec, c.Today())
	return Chart{
		Record: rec, Standing: derived.Standing, Because: because, Background: rec.Background(c.Today()),
		Drafts: drafts, Ulcers: derived.Ulcers,
		Measure: measure.FootExam().Evaluate(&rec, measure.Context{
			Period: measure.Year(c.Today().Year()), Zone: c.Zone, Explain: true,
		}),
	}, nil
}

// Panel lists people by the query and counts all that match.
func (c *Clinic) Panel(ctx context.Context, who exam.Person, q PanelQuery) ([]Standing, int, error) {
	if err := allow(who, See); err != nil {
		return nil, 0, err
	}
	q.Today = c.Today()
	return c.Store.Standings(ctx, q)
}

// Ulcers lists the ulcers that are followed, longest open first.
func (c *Clinic) Ulcers(ctx context.Context, who exam.Person) ([]UlcerRow, error) {
	if err := allow(who, See); err != nil {
		return nil, err
	}
	return c.Store.OpenUlcers(ctx)
}

// Records goes through all whole records, for an export; the audit trail says
// what for, such as "export fhir".
func (c *Clinic) Records(ctx context.Context, who exam.Person, did string) (iter.Seq2[record.Record, error], error) {
	if err := allow(who, Take); err != nil {
		return nil, err
	}
	if err := c.Store.KeepAudit(ctx, c.line(who, did, "", "all")); err != nil {
		return nil, err
	}
	return c.Store.Records(ctx), nil
}
