package clinic

import (
	"context"
	"errors"
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
	if len(people) == 0 {
		return c.refreshStale(ctx, r)
	}
	var unread unreadable
	for start := 0; start < len(people); start += refreshBatch {
		if err := c.rebuild(ctx, r, people[start:min(start+refreshBatch, len(people))], &unread); err != nil {
			return err
		}
	}
	return unread.err()
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
	var unread unreadable
	for after := ""; ; {
		people, err := c.Store.Stale(ctx, after, refreshBatch)
		if err != nil {
			return err
		}
		if len(people) == 0 {
			return unread.err()
		}
		if err := c.rebuild(ctx, r, people, &unread); err != nil {
			return err
		}
		after = people[len(people)-1]
	}
}

// rebuild makes the rows of some people. A record that cannot be read stops
// nobody else's; it stays stale and is named at the end.
func (c *Clinic) rebuild(ctx context.Context, r rules, people []string, unread *unreadable) error {
	today := c.Today()
	rows := make([]Derived, 0, len(people))
	for rec, err := range c.Store.RecordsOf(ctx, people) {
		switch {
		case err == nil:
			d, _ := r.derive(&rec, today)
			rows = append(rows, d)
		case rec.Person.ID == "": // the walk itself broke off
			return err
		default:
			unread.add(err)
		}
	}
	return c.Store.SaveDerived(ctx, rows)
}

// unreadable collects what could not be read: the first few in words, all in
// number.
type unreadable struct {
	count int
	first []error
}

func (u *unreadable) add(err error) {
	u.count++
	if len(u.first) < 5 {
		u.first = append(u.first, err)
	}
}

func (u *unreadable) err() error {
	if u.count == 0 {
		return nil
	}
	return fmt.Errorf("%d records cannot be read and have no panel row of today: %w", u.count, errors.Join(u.first...))
}
