package fhir

import (
	"strings"
	"sync"

	"tengram/internal/clinic"
)

// gatherer hands batches to the sink in order and counts.
type gatherer struct {
	sink    clinic.Sink
	remover clinic.Remover
	batches *sync.Pool
	report  clinic.ReadReport

	taken, unused map[string]int
	// facts counts them by person; people are those who came.
	facts  map[string]int
	people map[string]bool
	// identifiers finds people by identifier, "" where it fits several.
	identifiers map[string]string
	// held are facts whose person is told by an identifier.
	held []clinic.PersonFact
}

func newGatherer(sink clinic.Sink) *gatherer {
	remover, _ := sink.(clinic.Remover)
	return &gatherer{
		sink: sink, remover: remover,
		batches: &sync.Pool{New: func() any { return newBatch() }},
		taken:   map[string]int{}, unused: map[string]int{},
		facts: map[string]int{}, people: map[string]bool{}, identifiers: map[string]string{},
	}
}

// take hands over one batch and gives it back.
func (g *gatherer) take(b *batch) error {
	var people, facts, asides, removals int
	for _, w := range b.order {
		var err error
		switch w {
		case aPerson:
			err = g.person(b, people)
			people++
		case aFact:
			err = g.fact(b.facts[facts])
			facts++
		case anAside:
			err = g.aside(b.asides[asides])
			asides++
		case aRemoval:
			err = g.removal(b.removals[removals])
			removals++
		}
		if err != nil {
			return err
		}
	}
	g.report.Lines += b.lines
	add(g.taken, b.taken)
	add(g.unused, b.passed)
	b.reset()
	g.batches.Put(b)
	return nil
}

func (g *gatherer) person(b *batch, i int) error {
	p := b.people[i]
	g.people[p.ID] = true
	for _, identifier := range p.Identifiers {
		if other, known := g.identifiers[identifier]; known && other != p.ID {
			g.identifiers[identifier] = ""
			continue
		}
		g.identifiers[identifier] = p.ID
	}
	return g.sink.Person(p)
}

func (g *gatherer) fact(f clinic.PersonFact) error {
	if strings.HasPrefix(f.Person, byIdentifier) {
		g.held = append(g.held, f)
		return nil
	}
	g.facts[f.Person]++
	return g.sink.Fact(f.Person, f.Fact)
}

func (g *gatherer) aside(a clinic.Aside) error {
	g.report.Asides++
	return g.sink.Aside(a)
}

func (g *gatherer) removal(key string) error {
	if g.remover != nil {
		g.unused["(deletion)"]++
		return g.remover.Remove(key)
	}
	return g.aside(clinic.Aside{Resource: key, Reason: "is to be deleted, which cannot be done here"})
}

// late hands over the facts whose person is told by an identifier. An identifier
// that nobody has stays in the place of the id; so does one that several people
// have, which is named.
func (g *gatherer) late() error {
	for _, f := range g.held {
		identifier := strings.TrimPrefix(f.Person, byIdentifier)
		id, known := g.identifiers[identifier]
		if known && id == "" {
			err := g.aside(clinic.Aside{
				File: f.Fact.Origin.Source, Line: f.Fact.Origin.Line, Resource: f.Fact.Key,
				Reason: "says whom it is about by an identifier that fits several people",
			})
			if err != nil {
				return err
			}
		}
		if id != "" {
			f.Person = id
		}
		g.facts[f.Person]++
		if err := g.sink.Fact(f.Person, f.Fact); err != nil {
			return err
		}
	}
	g.held = nil
	return nil
}

// finish makes the report of what was handed over.
func (g *gatherer) finish() clinic.ReadReport {
	r := g.report
	r.ByType, r.NotUsed = clinic.TypeCounts(g.taken), clinic.TypeCounts(g.unused)
	for _, list := range [][]clinic.TypeCount{r.ByType, r.NotUsed} {
		for _, c := range list {
			if !strings.HasPrefix(c.Type, "(") {
				r.Resources += c.Count
			}
		}
	}
	for person, n := range g.facts {
		if !g.people[person] {
			r.Orphans += n
		}
	}
	return r
}

func add(to, from map[string]int) {
	for k, n := range from {
		to[k] += n
	}
}
