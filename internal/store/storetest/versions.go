package storetest

import (
	"context"
	"testing"

	"tengram/internal/clinic"
	"tengram/internal/kernel/record"
)

// updated is a fact in the version that its source changed at that time.
func updated(at int64, key, start string) record.Fact {
	f := fact(key, start)
	f.Version.Updated = at
	return f
}

// versions is what stands of a thing that comes in several states.
func versions(t *testing.T, open func(*testing.T) clinic.Store) {
	ctx := context.Background()
	starts := func(rec record.Record) (list []string) {
		for _, f := range rec.Facts {
			list = append(list, f.Key+" "+f.Start.String())
		}
		return list
	}
	someone := clinic.ImportBatch{People: []record.Person{person("p1")}}
	t.Run("an older one that comes later changes nothing and is counted", func(t *testing.T) {
		s := open(t)
		bring(t, s, someone)
		newer := clinic.ImportBatch{Facts: of("p1", updated(20, "Observation/1", "2022"), updated(20, "Observation/1#1", "2022"))}
		older := clinic.ImportBatch{Facts: of("p1", updated(10, "Observation/1", "2021"), updated(10, "Observation/1#1", "2021"), updated(10, "Observation/1#2", "2021"))}
		bring(t, s, newer)
		before := must[record.Record](t)(s.Record(ctx, "p1"))
		same(t, "count", bring(t, s, older), clinic.ImportCounts{Older: 1})
		after := must[record.Record](t)(s.Record(ctx, "p1"))
		same(t, "record", after, before)
		same(t, "version", after.Version, before.Version)
		same(t, "the newer again", bring(t, s, newer), clinic.ImportCounts{Same: 2})
	})
	t.Run("a newer one that comes later stands, with its parts alone", func(t *testing.T) {
		s := open(t)
		bring(t, s, someone)
		bring(t, s, clinic.ImportBatch{Facts: of("p1", updated(10, "Observation/1", "2021"), updated(10, "Observation/1#1", "2021"))})
		bring(t, s, clinic.ImportBatch{Facts: of("p1", updated(20, "Observation/1", "2022"))})
		same(t, "facts", starts(must[record.Record](t)(s.Record(ctx, "p1"))), []string{"Observation/1 2022"})
	})
	t.Run("in one batch the newer stands with its parts, whatever the order", func(t *testing.T) {
		newer := of("p1", updated(20, "Observation/1", "2022"), updated(20, "Observation/1#2", "2022"))
		older := of("p1", updated(10, "Observation/1", "2021"), updated(10, "Observation/1#1", "2021"), updated(10, "Observation/1#2", "2021"))
		for _, facts := range [][]clinic.PersonFact{append(newer[:2:2], older...), append(older[:3:3], newer...)} {
			s := open(t)
			bring(t, s, someone)
			same(t, "new", bring(t, s, clinic.ImportBatch{Facts: facts}).New, 2)
			same(t, "facts", starts(must[record.Record](t)(s.Record(ctx, "p1"))), []string{"Observation/1 2022", "Observation/1#2 2022"})
		}
	})
	t.Run("the same content in a newer version is the same, and newer", func(t *testing.T) {
		s := open(t)
		bring(t, s, someone)
		bring(t, s, clinic.ImportBatch{Facts: of("p1", updated(10, "Observation/1", "2022"))})
		same(t, "count", bring(t, s, clinic.ImportBatch{Facts: of("p1", updated(30, "Observation/1", "2022"))}), clinic.ImportCounts{Same: 1})
		same(t, "count", bring(t, s, clinic.ImportBatch{Facts: of("p1", updated(20, "Observation/1", "2021"))}), clinic.ImportCounts{Older: 1})
	})
	t.Run("without a version the later one stands", func(t *testing.T) {
		s := open(t)
		bring(t, s, someone)
		bring(t, s, clinic.ImportBatch{Facts: of("p1", updated(10, "Observation/1", "2022"))})
		bring(t, s, clinic.ImportBatch{Facts: of("p1", fact("Observation/1", "2021"))})
		same(t, "facts", starts(must[record.Record](t)(s.Record(ctx, "p1"))), []string{"Observation/1 2021"})
		bring(t, s, clinic.ImportBatch{Facts: of("p1", updated(5, "Observation/1", "2020"))})
		same(t, "facts", starts(must[record.Record](t)(s.Record(ctx, "p1"))), []string{"Observation/1 2020"})
	})
	t.Run("of a person too, and of whom they were merged into", func(t *testing.T) {
		s := open(t)
		newer, older, content := person("p1"), person("p1"), person("p1")
		newer.Version.Updated, older.Version.Updated, content.Version.Updated = 20, 10, 30
		older.Given, older.ReplacedBy = "older", "p2"
		bring(t, s, clinic.ImportBatch{People: []record.Person{newer, person("p2")}})
		same(t, "count", bring(t, s, clinic.ImportBatch{People: []record.Person{older}}), clinic.ImportCounts{Older: 1})
		same(t, "person", must[record.Record](t)(s.Record(ctx, "p1")).Person, newer)
		same(t, "count", bring(t, s, clinic.ImportBatch{People: []record.Person{content, older}}), clinic.ImportCounts{Same: 1, Older: 1})
		older.Version.Updated = 25
		same(t, "count", bring(t, s, clinic.ImportBatch{People: []record.Person{older}}), clinic.ImportCounts{Older: 1})
	})
	t.Run("of one thing in two merged records the newer stands", func(t *testing.T) {
		s := open(t)
		old := person("old")
		old.ReplacedBy = "new"
		bring(t, s, clinic.ImportBatch{People: []record.Person{old, person("new")},
			Facts: append(of("new", updated(20, "Observation/1", "2022")), of("old", updated(10, "Observation/1", "2021"), updated(10, "Observation/1#1", "2021"))...)})
		same(t, "facts", starts(must[record.Record](t)(s.Record(ctx, "new"))), []string{"Observation/1 2022"})
	})
}
