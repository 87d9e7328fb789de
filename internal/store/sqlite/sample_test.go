package sqlite

import (
	"context"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"tengram/internal/clinic"
	"tengram/internal/intake/fhir"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
	"tengram/internal/testdata"
)

// both hands everything to the store and to memory.
type both struct {
	record.Assembler
	store *Store
	batch clinic.ImportBatch
}

func (b *both) Person(p record.Person) error {
	b.batch.People = append(b.batch.People, p)
	return b.Assembler.Person(p)
}

func (b *both) Fact(person string, f record.Fact) error {
	b.batch.Facts = append(b.batch.Facts, clinic.PersonFact{Person: person, Fact: f})
	return b.Assembler.Fact(person, f)
}

func (*both) Aside(clinic.Aside) error { return nil }

func TestASampleExportComesBackAsItWasRead(t *testing.T) {
	ctx := context.Background()
	for _, folder := range []string{"fhir-bulk-sample", "fhir-synthea"} {
		t.Run(folder, func(t *testing.T) {
			in := &both{store: openTemp(t)}
			if _, err := fhir.Open([]string{testdata.Shared(t, folder)}, fhir.Options{}).Read(ctx, in); err != nil {
				t.Fatal(err)
			}
			for range 2 {
				if _, err := in.store.SaveImport(ctx, in.batch); err != nil {
					t.Fatal(err)
				}
			}
			want := in.Records()
			if len(want) == 0 {
				t.Fatal("the sample holds nobody")
			}
			i := 0
			for got, err := range in.store.Records(ctx) {
				if err != nil {
					t.Fatal(err)
				}
				if i == len(want) {
					t.Fatal("the store holds more people")
				}
				if d := cmp.Diff(want[i], got, cmpopts.EquateEmpty(), cmpopts.IgnoreFields(record.Record{}, "Version"), cmp.Comparer(func(a, b when.Moment) bool { return a == b })); d != "" {
					t.Fatalf("record %d differs (-read +stored):\n%s", i, d)
				}
				i++
			}
			if i != len(want) {
				t.Fatalf("%d people are stored of %d", i, len(want))
			}
		})
	}
}
