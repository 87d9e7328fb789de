package main

import (
	"bufio"
	"fmt"
	"iter"
	"strings"
	"time"

	"tengram/internal/clinic"
	"tengram/internal/intake/fhir"
	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
)

type evaluateCmd struct {
	Paths   []string `arg:"" optional:"" help:"FHIR files or folders to evaluate straight, without a practice's data." type:"path"`
	Measure string   `help:"Measure to evaluate: ${measures}." default:"foot-exam"`
	Year    int      `help:"Calendar year of the measurement period." required:""`
	Data    string   `help:"Data folder of the practice." type:"path" placeholder:"DIR"`
	Sets    string   `help:"Edition of the value sets: ${sets}." default:"2018"`
	Each    bool     `help:"One line a person."`
	JSON    bool     `help:"Print JSON."`
	zoneFlag
}

// Help shows examples.
func (evaluateCmd) Help() string {
	return "Examples:\n  tengram evaluate --year 2026 --data ~/practice\n  tengram evaluate --measure foot-exam --year 2018 --zone America/New_York export/ --each --json\n\nExit code 1 when some of the input could not be read, is about somebody who is not in it, or nobody is in it; that is named on standard error, the rest is evaluated."
}

func measureIDs() string {
	var ids []string
	for _, m := range measure.All() {
		ids = append(ids, m.ID)
	}
	return strings.Join(ids, ", ")
}

func setIDs() string {
	return measure.Sets2018().ID + ", " + measure.CurrentSets().ID
}

// Run evaluates every record and prints the populations and the rate.
func (c evaluateCmd) Run(s *session) error {
	m, ctx, err := c.prepare()
	if err != nil {
		return err
	}
	records, unread, err := c.records(s)
	if err != nil {
		return err
	}
	out := bufio.NewWriter(s.out)
	var tally measure.Tally
	var line []byte
	for rec, err := range records {
		if err != nil {
			unread++
			fmt.Fprintf(s.err, "tengram: a record could not be read: %v\n", err)
			continue
		}
		r := m.Evaluate(&rec, ctx)
		tally.Add(r)
		if !c.Each {
			continue
		}
		if c.JSON {
			line = r.AppendLine(line[:0])
			out.Write(line)
		} else {
			writeResult(page{out}, r)
		}
	}
	if !c.Each {
		c.writeTally(out, m, ctx, tally)
	}
	if err := out.Flush(); err != nil {
		return err
	}
	if unread > 0 {
		return problems{fmt.Errorf("%d parts of the input could not be taken in as they stood; they are named above", unread)}
	}
	return nil
}

func (c evaluateCmd) prepare() (measure.Measure, measure.Context, error) {
	m, err := measure.Find(c.Measure)
	if err != nil {
		return m, measure.Context{}, wrongUse{err}
	}
	zone, err := c.location()
	if err != nil {
		return m, measure.Context{}, err
	}
	sets, err := measure.SetsByID(c.Sets)
	if err != nil {
		return m, measure.Context{}, wrongUse{err}
	}
	if c.Year < 1900 || c.Year > 2200 {
		return m, measure.Context{}, wrongUse{fmt.Errorf("--year %d is not a year from 1900 to 2200", c.Year)}
	}
	if (c.Data == "") == (len(c.Paths) == 0) {
		return m, measure.Context{}, wrongUse{fmt.Errorf("give either --data DIR or files to read, not both")}
	}
	return m, measure.Context{Period: measure.Year(c.Year), Zone: zone, Sets: sets, Explain: c.Each}, nil
}

// records yields the records of the practice or of the files, and counts what
// could not be read of them.
func (c evaluateCmd) records(s *session) (iter.Seq2[record.Record, error], int, error) {
	if c.Data != "" {
		practice, err := openPractice(s.ctx, c.Data, time.UTC, false)
		if err != nil {
			return nil, 0, err
		}
		records, err := practice.Records(s.ctx, operator(), "evaluate "+c.Measure)
		if err != nil {
			return nil, 0, err
		}
		return closing(practice, records), 0, nil
	}
	return readFiles(s, c.Paths)
}

// closing closes the practice once its records have been gone through.
func closing(practice *clinic.Clinic, records iter.Seq2[record.Record, error]) iter.Seq2[record.Record, error] {
	return func(yield func(record.Record, error) bool) {
		defer practice.Store.Close()
		records(yield)
	}
}

func readFiles(s *session, paths []string) (iter.Seq2[record.Record, error], int, error) {
	gather := &gatherer{assembler: &record.Assembler{}, err: s.err}
	if _, err := fhir.Open(paths, fhir.Options{}).Read(s.ctx, gather); err != nil {
		return nil, 0, wrongUse{err}
	}
	records := gather.assembler.Records()
	switch n := gather.assembler.Older(); {
	case n == 1:
		fmt.Fprintln(s.err, "tengram: 1 version of a resource gave way to a newer one")
	case n > 1:
		fmt.Fprintf(s.err, "tengram: %d versions of resources gave way to newer ones\n", n)
	}
	for _, o := range gather.assembler.Orphans() {
		if err := gather.Aside(orphanAside(o)); err != nil {
			return nil, 0, err
		}
	}
	if len(records) == 0 && gather.asides == 0 {
		gather.asides++
		fmt.Fprintln(s.err, "tengram: nobody is in what was read")
	}
	return func(yield func(record.Record, error) bool) {
		for i := range records {
			if !yield(records[i], nil) {
				return
			}
		}
	}, gather.asides, nil
}

func (c evaluateCmd) writeTally(out *bufio.Writer, m measure.Measure, ctx measure.Context, t measure.Tally) {
	rate, defined := t.Rate()
	if c.JSON {
		v := map[string]any{"measure": m.ID, "version": m.Version, "period": ctx.Period, "sets": c.Sets, "tally": t, "caution": assess.Caution}
		if defined {
			v["rate"] = rate
		}
		_ = writeJSON(out, v)
		return
	}
	p := page{out}
	p.item(0, "", m.Title+" ("+m.Version+"), "+ctx.Period.String())
	p.item(0, "", m.Programme)
	fmt.Fprintf(out, "\n  %-26s %7d\n  %-26s %7d\n  %-26s %7d\n  %-26s %7d\n  %-26s %7d\n", "People", t.People, "Initial population", t.InitialPopulation,
		"Denominator", t.Denominator, "Denominator exclusions", t.DenominatorExclusion, "Numerator", t.Numerator)
	if t.Exception > 0 {
		fmt.Fprintf(out, "  %-26s %7d\n", "Exceptions", t.Exception)
	}
	if defined {
		fmt.Fprintf(out, "  %-26s %6.1f%%  (%d of %d)\n", "Rate", 100*rate, t.Numerator, t.Denominator-t.DenominatorExclusion-t.Exception)
	} else {
		fmt.Fprintf(out, "  %-26s undefined: nobody is left to divide by\n", "Rate")
	}
	for _, g := range t.Strata {
		rate, ok := g.Rate()
		if ok {
			fmt.Fprintf(out, "  %-26s %6.1f%%  (%d of %d)\n", g.Name, 100*rate, g.Numerator, g.Denominator-g.DenominatorExclusion-g.Exception)
		}
	}
	if t.Doubtful > 0 {
		p.item(2, "", fmt.Sprintf("%d people have a doubtful date in the record; --each shows which.", t.Doubtful))
	}
}

func writeResult(p page, r measure.Result) {
	words := "not in the initial population"
	switch {
	case r.DenominatorExclusion:
		words = "excluded"
	case r.Exception:
		words = "exception"
	case r.Numerator:
		words = "met"
	case r.Denominator:
		words = "not met"
	}
	p.item(0, r.Patient+": ", words)
	for _, text := range r.Sentences() {
		p.item(4, "- ", text)
	}
}

// gatherer puts what is read into an assembler and names what is not.
type gatherer struct {
	assembler *record.Assembler
	err       interface{ Write([]byte) (int, error) }
	asides    int
}

func (g *gatherer) Person(p record.Person) error { return g.assembler.Person(p) }

func (g *gatherer) Fact(person string, f record.Fact) error {
	return g.assembler.Fact(person, f)
}

// Remove takes back what a list of deleted resources names.
func (g *gatherer) Remove(key string) error { return g.assembler.Remove(key) }

func (g *gatherer) Aside(a clinic.Aside) error {
	g.asides++
	fmt.Fprintln(g.err, asideLine(a))
	return nil
}

// orphanAside names facts that are in no record, because the person whom they
// are about is not in the files. Somebody who is known by an identifier only is
// not named by it.
func orphanAside(o record.Orphan) clinic.Aside {
	who := "Patient/" + o.Person
	if strings.HasPrefix(o.Person, "?") {
		who = "somebody told by an identifier"
	}
	reason := "is about " + who + ", who is not in these files, and is left out"
	if o.Facts > 1 {
		reason += fmt.Sprintf("; so are %d more", o.Facts-1)
	}
	return clinic.Aside{File: o.Origin.Source, Line: o.Origin.Line, Resource: o.Key, Reason: reason}
}

func asideLine(a clinic.Aside) string {
	text := a.File
	if a.Line > 0 {
		text += fmt.Sprintf(", line %d", a.Line)
	}
	if a.Resource != "" {
		text += ", " + a.Resource
	}
	return text + ": " + a.Reason
}
