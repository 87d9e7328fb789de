package fhir

import (
	"tengram/internal/clinic"
	"tengram/internal/kernel/record"
)

// what is the kind of one thing in a batch.
type what uint8

const (
	aPerson what = iota
	aFact
	anAside
	aRemoval
)

// batch is what one piece of a file came to, in the order of the file.
type batch struct {
	order    []what
	people   []record.Person
	facts    []clinic.PersonFact
	asides   []clinic.Aside
	removals []string

	lines  int
	taken  map[string]int
	passed map[string]int
}

func newBatch() *batch {
	return &batch{taken: map[string]int{}, passed: map[string]int{}}
}

// reset empties the batch and keeps its memory. What was handed over were
// copies; nothing in them points back here.
func (b *batch) reset() {
	clear(b.people)
	clear(b.facts)
	clear(b.asides)
	b.order, b.people, b.facts = b.order[:0], b.people[:0], b.facts[:0]
	b.asides, b.removals, b.lines = b.asides[:0], b.removals[:0], 0
	clear(b.taken)
	clear(b.passed)
}

func (b *batch) person(p record.Person) {
	b.order, b.people = append(b.order, aPerson), append(b.people, p)
}

func (b *batch) fact(person string, f record.Fact) {
	b.order, b.facts = append(b.order, aFact), append(b.facts, clinic.PersonFact{Person: person, Fact: f})
}

func (b *batch) aside(a clinic.Aside) {
	b.order, b.asides = append(b.order, anAside), append(b.asides, a)
}

func (b *batch) removal(key string) {
	b.order, b.removals = append(b.order, aRemoval), append(b.removals, key)
}

func (b *batch) unused(typ string) { b.passed[typ]++ }
