package storetest

import (
	"context"
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"tengram/internal/clinic"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// anyImport compares the store with the way from files to records without one:
// the same things in the same order make the same records, whatever the batches.
func anyImport(t *testing.T, open func(*testing.T) clinic.Store) {
	s := open(t)
	ctx := context.Background()
	run := 0
	rapid.Check(t, func(t *rapid.T) {
		run++
		var assembled record.Assembler
		versioned := rapid.IntRange(0, 2).Draw(t, "versioned")
		version := func() (v record.Version) {
			switch n := rapid.Int64Range(1, 3).Draw(t, "version"); versioned {
			case 1:
				v.Updated = n
			case 2:
				v.Number = n
			}
			return v
		}
		var batch clinic.ImportBatch
		flush := func() {
			if _, err := s.SaveImport(ctx, batch); err != nil {
				t.Fatal(err)
			}
			batch = clinic.ImportBatch{}
		}
		id := func(label string) string {
			return fmt.Sprintf("run %d %s", run, rapid.SampledFrom([]string{"a", "b", "c", "d"}).Draw(t, label))
		}
		for range rapid.IntRange(0, 25).Draw(t, "things") {
			if rapid.IntRange(0, 4).Draw(t, "flush") == 0 {
				flush()
			}
			if rapid.Bool().Draw(t, "person") {
				p := record.Person{ID: id("who"), Given: rapid.SampledFrom([]string{"", "x", "y"}).Draw(t, "given"), Version: version()}
				switch rapid.IntRange(0, 5).Draw(t, "merge") {
				case 0:
					p.ReplacedBy = id("into")
				case 1:
					p.Replaces = []string{id("old")}
				}
				batch.People = append(batch.People, p)
				_ = assembled.Person(p)
				continue
			}
			// A key names one fact of one person, as in a source.
			n := rapid.IntRange(0, 2).Draw(t, "fact")
			who := id("whose")
			f := record.Fact{
				Kind: record.Kind(rapid.IntRange(1, 3).Draw(t, "kind")), Key: fmt.Sprintf("Observation/%s-%d", who, n),
				Start:   when.OnDay(when.MustDay("2020-01-01") + when.Day(rapid.IntRange(0, 3).Draw(t, "start"))),
				Version: version(),
			}
			parts := rapid.IntRange(0, 2).Draw(t, "parts")
			for i := range parts + 1 {
				if i > 0 {
					f.Key = fmt.Sprintf("Observation/%s-%d#%d", who, n, i)
				}
				batch.Facts = append(batch.Facts, clinic.PersonFact{Person: who, Fact: f})
				_ = assembled.Fact(who, f)
			}
		}
		if rapid.Bool().Draw(t, "remove") {
			key := fmt.Sprintf("Observation/%s-%d", id("removed"), rapid.IntRange(0, 2).Draw(t, "fact"))
			batch.Remove = append(batch.Remove, key)
			_ = assembled.Remove(key)
		}
		flush()
		var got []record.Record
		prefix := fmt.Sprintf("run %d ", run)
		var ids []string
		for _, letter := range []string{"a", "b", "c", "d"} {
			ids = append(ids, prefix+letter)
		}
		for rec, err := range s.RecordsOf(ctx, ids) {
			if err != nil {
				t.Fatal(err)
			}
			got = append(got, rec)
		}
		if d := diff(got, assembled.Records()); d != "" {
			t.Fatalf("the store and the assembler differ (-assembled +stored):\n%s", d)
		}
		var walked []record.Record
		for rec, err := range s.Records(ctx) {
			if err != nil {
				t.Fatal(err)
			}
			if len(rec.Person.ID) > len(prefix) && rec.Person.ID[:len(prefix)] == prefix {
				walked = append(walked, rec)
			}
		}
		if d := diff(walked, got); d != "" {
			t.Fatalf("a walk over everybody and one over some differ (-some +all):\n%s", d)
		}
	})
}
