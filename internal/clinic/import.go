package clinic

import (
	"context"
	"errors"
	"fmt"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/record"
)

// An import is written in batches of this many people and facts; asides hold
// raw text and go in smaller ones.
const (
	importBatch = 8000
	asideBatch  = 200
	asidesShown = 50
)

// ImportReport says what an import read and what it changed.
type ImportReport struct {
	Read ReadReport `json:"read"`
	// New, Changed and Same count facts and people; Removed what was taken
	// back.
	New     int `json:"new"`
	Changed int `json:"changed"`
	Same    int `json:"same"`
	Removed int `json:"removed,omitempty"`
	// Older counts those that were passed over because a newer version of them
	// was here already, or came before them.
	Older int `json:"older,omitempty"`
	// People whose record changed.
	People int `json:"people"`
	// Asides are the first of those that were kept aside, AsideCount is all.
	Asides     []Aside `json:"asides,omitempty"`
	AsideCount int     `json:"aside-count"`
	// Unchanged: everything was there already.
	Unchanged bool `json:"unchanged"`
}

// Import takes in everything that a source holds, keeps aside what cannot be
// read, and rebuilds the panel rows of the people it touched. Run again with
// the same source it changes nothing.
//
// What was counted is kept even where a later part fails: the report is true
// with an error, too, and the import can be run again.
func (c *Clinic) Import(ctx context.Context, who exam.Person, src Source) (ImportReport, error) {
	if err := allow(who, Bring); err != nil {
		return ImportReport{}, err
	}
	in := &taking{ctx: ctx, store: c.Store, touched: map[string]struct{}{}, net: map[string]Change{}}
	read, err := src.Read(ctx, in)
	in.report.Read = read
	if err == nil {
		err = in.flush()
	}
	if waiting := in.settle(); err == nil {
		err = waiting
	}
	r := &in.report
	r.People = len(in.touched)
	r.Unchanged = err == nil && r.New+r.Changed+r.Removed == 0
	if r.Unchanged {
		r.People = 0
	}
	did := "import"
	if err != nil {
		err, did = fmt.Errorf("import: %w", err), "import, broken off"
	}
	counts := fmt.Sprintf("%d new, %d changed, %d same, %d removed, %d aside", r.New, r.Changed, r.Same, r.Removed, r.AsideCount)
	noted := c.Store.KeepAudit(context.WithoutCancel(ctx), c.line(who, did, "", counts))
	if err = errors.Join(err, noted); err != nil {
		return *r, err
	}
	return *r, c.Refresh(ctx)
}

// Asides lists what was kept aside, newest first.
func (c *Clinic) Asides(ctx context.Context, who exam.Person, limit int) ([]Aside, error) {
	if err := allow(who, See); err != nil {
		return nil, err
	}
	return c.Store.Asides(ctx, limit)
}

// taking is the Sink of an import.
type taking struct {
	ctx     context.Context
	store   Importer
	batch   ImportBatch
	asides  []Aside
	touched map[string]struct{}
	// net is what each replaced thing was before the import and is now.
	net    map[string]Change
	report ImportReport
	// writing is the batch that is being written; nil for none.
	writing chan written
}

type written struct {
	counts ImportCounts
	err    error
}

func (t *taking) Person(p record.Person) error {
	if err := t.afterRemovals(); err != nil {
		return err
	}
	if err := t.full(); err != nil {
		return err
	}
	t.batch.People = append(t.batch.People, p)
	return nil
}

func (t *taking) Fact(person string, f record.Fact) error {
	if err := t.afterRemovals(); err != nil {
		return err
	}
	// The parts of a fact stay with it: what comes without one takes it away.
	if _, part := f.Whole(); !part {
		if err := t.full(); err != nil {
			return err
		}
	}
	t.batch.Facts = append(t.batch.Facts, PersonFact{person, f})
	return nil
}

func (t *taking) Remove(key string) error {
	if err := t.full(); err != nil {
		return err
	}
	t.batch.Remove = append(t.batch.Remove, key)
	return nil
}

func (t *taking) Aside(a Aside) error {
	t.report.AsideCount++
	if len(t.report.Asides) < asidesShown {
		shown := a
		shown.Raw = nil
		t.report.Asides = append(t.report.Asides, shown)
	}
	t.asides = append(t.asides, a)
	if len(t.asides) < asideBatch {
		return nil
	}
	return t.flushAsides()
}

// afterRemovals writes a batch that has removals before anything is added to
// it: a batch removes last, and what comes now may be the same thing again.
func (t *taking) afterRemovals() error {
	if len(t.batch.Remove) == 0 {
		return nil
	}
	return t.flushBatch()
}

// full writes the batch when it is large enough.
func (t *taking) full() error {
	if len(t.batch.People)+len(t.batch.Facts)+len(t.batch.Remove) < importBatch {
		return nil
	}
	return t.flushBatch()
}

// flushBatch hands the batch to the store and waits for the one before it, so
// that reading goes on while the last batch is written.
func (t *taking) flushBatch() error {
	if err := t.settle(); err != nil {
		return err
	}
	batch := t.batch
	if len(batch.People)+len(batch.Facts)+len(batch.Remove) == 0 {
		return nil
	}
	t.batch = ImportBatch{Facts: make([]PersonFact, 0, importBatch)}
	t.writing = make(chan written, 1)
	go func() {
		counts, err := t.store.SaveImport(t.ctx, batch)
		t.writing <- written{counts, err}
	}()
	return nil
}

// settle waits for the batch that is being written and counts it.
func (t *taking) settle() error {
	if t.writing == nil {
		return nil
	}
	w := <-t.writing
	t.writing = nil
	if w.err != nil {
		return w.err
	}
	t.report.New += w.counts.New
	for _, change := range w.counts.Changes {
		t.replaced(change)
	}
	t.report.Same += w.counts.Same
	t.report.Removed += w.counts.Removed
	t.report.Older += w.counts.Older
	for _, p := range w.counts.Touched {
		t.touched[p] = struct{}{}
	}
	return nil
}

// replaced counts a change once for each thing, and not at all where the last
// version of the import is what was there before it: the same export again has
// then changed nothing, even if it holds two versions of a thing.
func (t *taking) replaced(change Change) {
	before, again := t.net[change.Key]
	if again {
		if before.Before != before.After {
			t.report.Changed--
		}
		change.Before = before.Before
	}
	t.net[change.Key] = change
	if change.Before != change.After {
		t.report.Changed++
	} else {
		t.report.Same++
	}
}

func (t *taking) flushAsides() error {
	if len(t.asides) == 0 {
		return nil
	}
	err := t.store.KeepAside(t.ctx, t.asides)
	t.asides = t.asides[:0]
	return err
}

func (t *taking) flush() error {
	if err := t.flushBatch(); err != nil {
		return err
	}
	if err := t.settle(); err != nil {
		return err
	}
	return t.flushAsides()
}
