package clinic

import (
	"cmp"
	"context"
	"slices"

	"tengram/internal/kernel/record"
)

// Sink takes what an import reads, in the order of the files. Its methods are
// never called at the same time. An error from one of them ends the import.
type Sink interface {
	// Person takes who a record is about.
	Person(record.Person) error
	// Fact takes one fact of the person with that id, who may come later or
	// never.
	Fact(person string, f record.Fact) error
	// Aside takes what could not be read, or what is wrong with something that
	// was (a person without a birth date is taken and named here).
	Aside(Aside) error
}

// Remover is a Sink that can also take back what an earlier import brought, as
// the list of deleted resources of a bulk export asks.
type Remover interface {
	// Remove takes back the fact with that key, such as "Condition/17", or the
	// person "Patient/17", whoever it is about. An unknown key is no error.
	Remove(key string) error
}

// Source is something that can be read into a Sink: files of one format.
type Source interface {
	// Read reads everything. What is wrong with the input goes to the Sink and
	// into the report; the error is for a sink that failed, a context that
	// ended, or a path that does not exist.
	Read(ctx context.Context, sink Sink) (ReadReport, error)
}

// ReadReport counts what a Source read.
type ReadReport struct {
	// Files were opened; Lines are lines of text, or entries of a Bundle.
	Files int `json:"files"`
	Lines int `json:"lines"`
	// Resources were understood, the unused ones included.
	Resources int `json:"resources"`
	// ByType counts the resources taken in; NotUsed those that are right but
	// hold nothing for foot care, such as "Claim". Both are ordered by type.
	ByType  []TypeCount `json:"by-type,omitempty"`
	NotUsed []TypeCount `json:"not-used,omitempty"`
	// Orphans are facts of people who are not in these files; they were handed
	// over all the same.
	Orphans int `json:"orphans"`
	// Asides were named to the Sink: more than none is exit code 1.
	Asides int `json:"asides"`
}

// TypeCount is how many there were of one type.
type TypeCount struct {
	Type  string `json:"type"`
	Count int    `json:"count"`
}

// TypeCounts turns counts by type into a list ordered by type.
func TypeCounts(counts map[string]int) []TypeCount {
	list := make([]TypeCount, 0, len(counts))
	for t, n := range counts {
		list = append(list, TypeCount{t, n})
	}
	slices.SortFunc(list, func(a, b TypeCount) int { return cmp.Compare(a.Type, b.Type) })
	return list
}

// Gather is a Sink that makes records in memory, with no store.
type Gather struct {
	record.Assembler
	Asides []Aside
}

// Aside keeps what could not be read.
func (g *Gather) Aside(a Aside) error {
	g.Asides = append(g.Asides, a)
	return nil
}
