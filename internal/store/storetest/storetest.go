// Package storetest is the suite that every clinic.Store must pass, whatever
// database is behind it.
//
// It asks only what the interface promises. What a database promises beyond it,
// such as surviving a kill, is tested beside that database.
package storetest

import (
	"context"
	"fmt"
	"iter"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

// Run puts a store through the suite. open makes a new, empty store and closes
// it at the end of the test.
func Run(t *testing.T, open func(t *testing.T) clinic.Store) {
	for _, part := range []struct {
		name string
		test func(*testing.T, func(*testing.T) clinic.Store)
	}{
		{"import", imports}, {"versions", versions}, {"merged records", mergedRecords}, {"any import", anyImport},
		{"charts", charts}, {"changes", changes}, {"drafts", drafts}, {"signing", signing}, {"signing at the same time", signingTogether},
		{"panel", panel}, {"stale rows", staleRows}, {"derived rows", derivedRows},
		{"referrals", referrals}, {"settings", settings}, {"accounts", accounts}, {"cancelled", cancelled},
	} {
		t.Run(part.name, func(t *testing.T) { part.test(t, open) })
	}
}

// Somebody and somewhere for the tests.
var (
	nurse = exam.Person{ID: "n1", Name: "Nurse One", Role: clinic.Nurse}
	other = exam.Person{ID: "c1", Name: "Clinician One", Role: clinic.Clinician}
	today = when.MustDay("2026-05-04")
)

func line(did string) clinic.AuditLine {
	return clinic.AuditLine{At: when.MustMoment("2026-05-04T09:00:00.000-05:00"), Who: "n1", Did: did, Person: "p1", Object: "o1"}
}

// person is a record's person with every field that a source can fill.
func person(id string) record.Person {
	return record.Person{
		ID: id, Family: "Ñandú-O’Brien", Given: "Zoë 李", Birth: when.MustMoment("1950-02"), Sex: "female",
		Race: term.New("urn:oid:2.16.840.1.113883.6.238", "2106-3"), Language: "es-US", Phone: "+1 555 0100",
		Deceased: known.No, Clinician: "dr-1", Site: "north", Identifiers: []string{"urn:mrn|" + id},
		Origin: record.Origin{Source: "Patient.ndjson", Line: 7},
	}
}

// fact is an observation with every kind of content.
func fact(key, start string) record.Fact {
	f := record.Fact{
		Kind: record.Observation, Key: key, Codes: []term.Code{term.New("http://loinc.org", "4548-4"), term.New("http://x.example/own", "a|b")},
		Text: "HbA1c “quoted” \u2028 <&>", Ended: known.Yes, Category: "laboratory",
		Value: record.Value{Given: true, Number: "7.10", Unit: "%"},
		By:    "dr-1", Encounter: "Encounter/1",
		Origin: record.Origin{Source: "Observation.ndjson", Line: 3},
	}
	if start != "" {
		f.Start = when.MustMoment(start)
	}
	return f
}

func of(person string, facts ...record.Fact) []clinic.PersonFact {
	list := make([]clinic.PersonFact, 0, len(facts))
	for _, f := range facts {
		list = append(list, clinic.PersonFact{Person: person, Fact: f})
	}
	return list
}

// bring imports a batch and fails the test where that fails.
func bring(t testing.TB, s clinic.Store, b clinic.ImportBatch) clinic.ImportCounts {
	t.Helper()
	counts, err := s.SaveImport(context.Background(), b)
	if err != nil {
		t.Fatal(err)
	}
	return counts
}

// withPeople brings people p1, p2 and so on.
func withPeople(t testing.TB, s clinic.Store, n int) []string {
	t.Helper()
	var b clinic.ImportBatch
	var ids []string
	for i := range n {
		ids = append(ids, fmt.Sprintf("p%d", i+1))
		b.People = append(b.People, person(ids[i]))
	}
	bring(t, s, b)
	return ids
}

func must[T any](t testing.TB) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func collect(t testing.TB, records iter.Seq2[record.Record, error]) []record.Record {
	t.Helper()
	var list []record.Record
	for rec, err := range records {
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, rec)
	}
	return list
}

// code fails the test unless the error has the code.
func code(t testing.TB, err error, want clinic.Code) {
	t.Helper()
	if err == nil || clinic.CodeOf(err) != want {
		t.Fatalf("error %v has code %q, want %q", err, clinic.CodeOf(err), want)
	}
}

// same fails the test unless two values are alike. Empty and missing lists are,
// the version of a record is the store's own, and that of a person is not read
// back.
func same(t testing.TB, what string, got, want any) {
	t.Helper()
	if d := diff(got, want); d != "" {
		t.Fatalf("%s differs (-want +got):\n%s", what, d)
	}
}

func diff(got, want any) string {
	return cmp.Diff(want, got, cmpopts.EquateEmpty(), cmpopts.IgnoreFields(record.Record{}, "Version"), cmpopts.IgnoreFields(record.Person{}, "Version"),
		cmp.Comparer(func(a, b when.Moment) bool { return a.String() == b.String() }))
}
