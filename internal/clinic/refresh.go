package clinic

import (
	"context"
	"fmt"
	"time"
)

// refreshBatch is the number of people whose rows are rebuilt in one
// transaction.
const refreshBatch = 500

// Refresh rebuilds the derived rows of these people. Without names it rebuilds
// whatever is stale: after an import, after a change of the rules, and after a
// program that ended before it came to it.
func (c *Clinic) Refresh(ctx context.Context, people ...string) error {
	r, err := c.rules(ctx)
	if err != nil {
		return err
	}
	if err := c.Store.MarkStale(ctx, r.name(), c.Today()); err != nil {
		return err
	}
	if len(people) > 0 {
		for start := 0; start < len(people); start += refreshBatch {
			if err := c.rebuild(ctx, r, people[start:min(start+refreshBatch, len(people))]); err != nil {
				return err
			}
		}
		return nil
	}
	return c.refreshStale(ctx, r)
}

// KeepFresh rebuilds what is stale now and again after every interval, until the
// context ends. A server runs it beside its pages: rows age at midnight, and a
// program that ended early may have left some behind. Errors go to failed and
// do not end it.
func (c *Clinic) KeepFresh(ctx context.Context, every time.Duration, failed func(error)) {
	ticker := time.NewTicker(every)
	defer ticker.Stop()
	for {
		if err := c.Refresh(ctx); err != nil && ctx.Err() == nil {
			failed(err)
		}
		select {
		case <-ctx.Done():
			return
		case <-ticker.C:
		}
	}
}

// refreshStale walks once through everybody who is stale. People whose record
// changes meanwhile stay stale and are taken by the next call.
func (c *Clinic) refreshStale(ctx context.Context, r rules) error {
	for after := ""; ; {
		people, err := c.Store.Stale(ctx, after, refreshBatch)
		if err != nil || len(people) == 0 {
			return err
		}
		if err := c.rebuild(ctx, r, people); err != nil {
			return err
		}
		after = people[len(people)-1]
	}
}

func (c *Clinic) rebuild(ctx context.Context, r rules, people []string) error {
	today := c.Today()
	rows := make([]Derived, 0, len(people))
	for rec, err := range c.Store.RecordsOf(ctx, people) {
		if err != nil {
			return fmt.Errorf("rebuild the panel row of %s: %w", rec.Person.ID, err)
		}
		d, _ := r.derive(&rec, today)
		rows = append(rows, d)
	}
	return c.Store.SaveDerived(ctx, rows)
}
