package storetest

import (
	"context"
	"testing"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

func imports(t *testing.T, open func(*testing.T) clinic.Store) {
	ctx := context.Background()
	batch := clinic.ImportBatch{
		People: []record.Person{person("p2"), person("p1")},
		Facts:  append(of("p1", fact("Observation/2", "2025-03"), fact("Observation/1", "")), of("p2", fact("Observation/1", "2024-01-05T10:00:00-05:00"))...),
	}
	t.Run("comes back as it came, in order", func(t *testing.T) {
		s := open(t)
		counts := bring(t, s, batch)
		same(t, "count", counts, clinic.ImportCounts{New: 5, Touched: []string{"p1", "p2"}})
		same(t, "records", collect(t, s.Records(ctx)), []record.Record{
			{Person: person("p1"), Facts: []record.Fact{fact("Observation/1", ""), fact("Observation/2", "2025-03")}},
			{Person: person("p2"), Facts: []record.Fact{fact("Observation/1", "2024-01-05T10:00:00-05:00")}},
		})
	})
	t.Run("again changes nothing, from another file too", func(t *testing.T) {
		s := open(t)
		bring(t, s, batch)
		version := must[record.Record](t)(s.Record(ctx, "p1")).Version
		same(t, "count", bring(t, s, batch), clinic.ImportCounts{Same: 5})
		moved := clinic.ImportBatch{People: []record.Person{person("p1")}, Facts: of("p1", fact("Observation/1", ""))}
		moved.People[0].Origin.Source = "other.ndjson"
		moved.Facts[0].Fact.Origin = record.Origin{Source: "other.ndjson", Line: 99}
		same(t, "count", bring(t, s, moved), clinic.ImportCounts{Same: 2})
		rec := must[record.Record](t)(s.Record(ctx, "p1"))
		if rec.Version != version {
			t.Fatalf("version went from %d to %d although nothing changed", version, rec.Version)
		}
		same(t, "origin", rec.Facts[0].Origin, fact("", "").Origin)
	})
	t.Run("a change is counted, kept and moves the version", func(t *testing.T) {
		s := open(t)
		bring(t, s, batch)
		before := must[record.Record](t)(s.Record(ctx, "p1")).Version
		changed := clinic.ImportBatch{People: []record.Person{person("p1")}, Facts: of("p1", fact("Observation/1", "2026-01-01"), fact("Observation/2", "2025-03"))}
		counts := bring(t, s, changed)
		if len(counts.Changes) != 1 || counts.Changes[0].Before == counts.Changes[0].After {
			t.Fatalf("changes %+v", counts.Changes)
		}
		first := counts.Changes[0]
		counts.Changes = nil
		same(t, "count", counts, clinic.ImportCounts{Same: 2, Touched: []string{"p1"}})
		if back := bring(t, s, batch).Changes; len(back) != 1 || back[0].Key != first.Key || back[0].Before != first.After || back[0].After != first.Before {
			t.Fatalf("there %+v, and back %+v", first, back)
		}
		bring(t, s, changed)
		rec := must[record.Record](t)(s.Record(ctx, "p1"))
		if rec.Version <= before {
			t.Fatalf("version stayed %d", rec.Version)
		}
		same(t, "fact", rec.Facts[1].Start.String(), "2026-01-01")
		if got := must[record.Record](t)(s.Record(ctx, "p2")); len(got.Facts) != 1 || got.Facts[0].Start.String() != "2024-01-05T10:00:00-05:00" {
			t.Fatal("a change to one person's fact reached the fact of another with the same key")
		}
	})
	t.Run("facts that come before their person wait", func(t *testing.T) {
		s := open(t)
		same(t, "count", bring(t, s, clinic.ImportBatch{Facts: of("later", fact("Observation/1", "2025"))}), clinic.ImportCounts{New: 1})
		if _, err := s.Record(ctx, "later"); err == nil {
			t.Fatal("facts alone made a record")
		}
		same(t, "records", collect(t, s.Records(ctx)), []record.Record(nil))
		same(t, "count", bring(t, s, clinic.ImportBatch{People: []record.Person{person("later"), person("a")}}), clinic.ImportCounts{New: 2, Touched: []string{"a", "later"}})
		if got := must[record.Record](t)(s.Record(ctx, "later")); len(got.Facts) != 1 {
			t.Fatalf("%d facts joined, want 1", len(got.Facts))
		}
	})
	t.Run("of two in one batch the last stands, again and again", func(t *testing.T) {
		s := open(t)
		twice := clinic.ImportBatch{
			People: []record.Person{{ID: "p1", Given: "first"}, {ID: "p1", Given: "last"}},
			Facts:  of("p1", fact("Observation/1", "2020"), fact("Observation/1", "2021")),
		}
		same(t, "count", bring(t, s, twice), clinic.ImportCounts{New: 2, Touched: []string{"p1"}})
		same(t, "count", bring(t, s, twice), clinic.ImportCounts{Same: 2})
		rec := must[record.Record](t)(s.Record(ctx, "p1"))
		if rec.Person.Given != "last" || len(rec.Facts) != 1 || rec.Facts[0].Start.String() != "2021" {
			t.Fatalf("kept %q and %v", rec.Person.Given, rec.Facts)
		}
	})
	t.Run("a fact comes with its parts and leaves old ones behind", func(t *testing.T) {
		s := open(t)
		bring(t, s, clinic.ImportBatch{People: []record.Person{person("p1")},
			Facts: of("p1", fact("Observation/1", "2020"), fact("Observation/1#1", "2020"), fact("Observation/1#2", "2020"), fact("Observation/10", "2020"))})
		counts := bring(t, s, clinic.ImportBatch{Facts: of("p1", fact("Observation/1", "2020"), fact("Observation/1#2", "2021"))})
		same(t, "changes", len(counts.Changes), 1)
		counts.Changes = nil
		same(t, "count", counts, clinic.ImportCounts{Same: 1, Removed: 1, Touched: []string{"p1"}})
		same(t, "keys", keys(must[record.Record](t)(s.Record(ctx, "p1"))), []string{"Observation/1", "Observation/10", "Observation/1#2"})
	})
	t.Run("what is removed is gone and its person is told", func(t *testing.T) {
		s := open(t)
		bring(t, s, batch)
		bring(t, s, clinic.ImportBatch{Facts: of("p2", fact("Observation/7", "2020"), fact("Observation/7#1", "2020"))})
		counts := bring(t, s, clinic.ImportBatch{Remove: []string{"Observation/2", "Observation/7", "Observation/none", "Patient/none"}})
		same(t, "count", counts, clinic.ImportCounts{Removed: 3, Touched: []string{"p1", "p2"}})
		same(t, "keys", keys(must[record.Record](t)(s.Record(ctx, "p2"))), []string{"Observation/1"})
	})
	t.Run("a removed person is gone, or inactive where something was entered here", func(t *testing.T) {
		s := open(t)
		withPeople(t, s, 2)
		if err := s.KeepDraft(ctx, nurse, draft("p1", "e1")); err != nil {
			t.Fatal(err)
		}
		counts := bring(t, s, clinic.ImportBatch{Remove: []string{"Patient/p1", "Patient/p2"}})
		same(t, "count", counts, clinic.ImportCounts{Removed: 2, Touched: []string{"p1"}})
		if !must[record.Record](t)(s.Record(ctx, "p1")).Person.Inactive {
			t.Fatal("the person with a draft is not inactive")
		}
		_, err := s.Record(ctx, "p2")
		code(t, err, clinic.NotFound)
		same(t, "count", bring(t, s, clinic.ImportBatch{Remove: []string{"Patient/p1", "Patient/p2"}}), clinic.ImportCounts{})
	})
	t.Run("nothing without an id is taken, and nothing of its batch", func(t *testing.T) {
		s := open(t)
		for _, bad := range []clinic.ImportBatch{
			{People: []record.Person{person("p1"), {}}},
			{People: []record.Person{person("p1")}, Facts: of("", fact("Observation/1", ""))},
			{People: []record.Person{person("p1")}, Facts: of("p1", fact("", ""))},
		} {
			_, err := s.SaveImport(ctx, bad)
			code(t, err, clinic.Invalid)
		}
		same(t, "records", collect(t, s.Records(ctx)), []record.Record(nil))
		same(t, "count of nothing", bring(t, s, clinic.ImportBatch{}), clinic.ImportCounts{})
	})
	t.Run("what was told by age is dated once the birth is known", func(t *testing.T) {
		s := open(t)
		told := record.Fact{Kind: record.Condition, Key: "Condition/1", StartAge: record.Ages{Low: 45, High: 45, Unit: "a"}}
		bring(t, s, clinic.ImportBatch{People: []record.Person{{ID: "p1", Birth: when.MustMoment("1950-02-10")}}, Facts: of("p1", told)})
		low, high := must[record.Record](t)(s.Record(ctx, "p1")).Facts[0].Start.Days(nil)
		if low != when.MustDay("1995-02-10") || high != when.MustDay("1996-02-09") { // from the 45th birthday to the day before the 46th
			t.Fatalf("45 years after 10 February 1950 is from %s to %s", low, high)
		}
	})
	t.Run("what was set aside is kept once, newest first", func(t *testing.T) {
		s := open(t)
		asides := []clinic.Aside{
			{File: "a.ndjson", Line: 3, Resource: "Patient/1", Reason: "no id", Raw: []byte("{\x00\xff}")},
			{File: "b.ndjson", Reason: "not gzip"},
		}
		for range 2 {
			if err := s.KeepAside(ctx, asides); err != nil {
				t.Fatal(err)
			}
		}
		got := must[[]clinic.Aside](t)(s.Asides(ctx, 10))
		same(t, "asides", got, []clinic.Aside{{File: "b.ndjson", Reason: "not gzip"}, {File: "a.ndjson", Line: 3, Resource: "Patient/1", Reason: "no id"}})
		same(t, "asides", len(must[[]clinic.Aside](t)(s.Asides(ctx, 1))), 1)
	})
}

func keys(rec record.Record) []string {
	var list []string
	for _, f := range rec.Facts {
		list = append(list, f.Key)
	}
	return list
}

func mergedRecords(t *testing.T, open func(*testing.T) clinic.Store) {
	ctx := context.Background()
	old, survivor := person("old"), person("new")
	old.ReplacedBy = "new"
	whole := clinic.ImportBatch{People: []record.Person{old, survivor}, Facts: append(of("old", fact("Observation/1", "2020")), of("new", fact("Observation/2", "2021"))...)}
	t.Run("their facts and identifiers stand in one record", func(t *testing.T) {
		s := open(t)
		same(t, "touched", bring(t, s, whole).Touched, []string{"new"})
		list := collect(t, s.Records(ctx))
		if len(list) != 1 {
			t.Fatalf("%d records, want 1", len(list))
		}
		same(t, "keys", keys(list[0]), []string{"Observation/1", "Observation/2"})
		same(t, "identifiers", list[0].Person.Identifiers, []string{"urn:mrn|new", "urn:mrn|old"})
		for _, id := range []string{"old", "new"} {
			same(t, "record by "+id, must[record.Record](t)(s.Record(ctx, id)), list[0])
		}
		same(t, "asked by both ids", collect(t, s.RecordsOf(ctx, []string{"old", "new", "old"})), list)
		for _, rules := range []string{"one", "two"} {
			same(t, "stale", must[[]string](t)(s.Stale(ctx, "", 10)), []string{"new"})
			if err := s.MarkStale(ctx, rules, today); err != nil {
				t.Fatal(err)
			}
		}
	})
	t.Run("a new fact of the old record touches the other", func(t *testing.T) {
		s := open(t)
		bring(t, s, whole)
		counts := bring(t, s, clinic.ImportBatch{Facts: of("old", fact("Observation/3", "2022"))})
		same(t, "touched", counts.Touched, []string{"new"})
	})
	t.Run("what was entered for the old record is followed under the other's id", func(t *testing.T) {
		s := open(t)
		bring(t, s, clinic.ImportBatch{People: []record.Person{person("old"), survivor}})
		if err := s.KeepDraft(ctx, nurse, draft("old", "e1")); err != nil {
			t.Fatal(err)
		}
		r := record.Referral{ID: "r1", Action: "refer", Opened: today, Due: today}
		if err := s.KeepReferral(ctx, "old", r, line("refer")); err != nil {
			t.Fatal(err)
		}
		bring(t, s, whole)
		same(t, "drafts", len(must[[]exam.Draft](t)(s.DraftsOf(ctx, "new"))), 1)
		same(t, "referral", must[record.Referral](t)(s.Referral(ctx, "new", "r1")), r)
		r.Steps = []record.ReferralStep{{What: "sent", On: today}}
		if err := s.KeepReferral(ctx, "new", r, line("refer")); err != nil {
			t.Fatal(err)
		}
		list := must[[]clinic.PersonReferral](t)(s.OpenReferrals(ctx))
		same(t, "open referrals", list, []clinic.PersonReferral{{Standing: clinic.Standing{Person: "new"}, Referral: r}})
		same(t, "referrals of the record", must[record.Record](t)(s.Record(ctx, "new")).Referrals, []record.Referral{r})
	})
	t.Run("the other may say so, and come later", func(t *testing.T) {
		s := open(t)
		bring(t, s, clinic.ImportBatch{People: []record.Person{person("old")}, Facts: of("old", fact("Observation/1", "2020"))})
		saysSo := person("new")
		saysSo.Replaces = []string{"old", "never-came"}
		bring(t, s, clinic.ImportBatch{People: []record.Person{saysSo}})
		same(t, "keys", keys(must[record.Record](t)(s.Record(ctx, "old"))), []string{"Observation/1"})
		same(t, "number of records", len(collect(t, s.Records(ctx))), 1)
		bring(t, s, clinic.ImportBatch{People: []record.Person{person("new")}}) // it takes that back
		same(t, "number of records", len(collect(t, s.Records(ctx))), 2)
		same(t, "stale", must[[]string](t)(s.Stale(ctx, "", 10)), []string{"new", "old"})
	})
	t.Run("a chain ends at its end, a circle is not followed", func(t *testing.T) {
		s := open(t)
		a, b, c, d := person("a"), person("b"), person("c"), person("d")
		a.ReplacedBy, b.ReplacedBy, c.ReplacedBy, d.ReplacedBy = "b", "nobody", "d", "c"
		b.ReplacedBy = "e"
		bring(t, s, clinic.ImportBatch{People: []record.Person{a, b, c, d, person("e")}})
		var ids []string
		for _, rec := range collect(t, s.Records(ctx)) {
			ids = append(ids, rec.Person.ID)
		}
		same(t, "ids", ids, []string{"c", "d", "e"})
		same(t, "end of the chain", must[record.Record](t)(s.Record(ctx, "a")).Person.ID, "e")
	})
}

func charts(t *testing.T, open func(*testing.T) clinic.Store) {
	ctx := context.Background()
	t.Run("nobody of that id is not found", func(t *testing.T) {
		_, err := open(t).Record(ctx, "nobody")
		code(t, err, clinic.NotFound)
	})
	t.Run("records are in order of bytes, whatever the letters", func(t *testing.T) {
		s := open(t)
		var b clinic.ImportBatch
		for _, id := range []string{"b", "a", "B", "10", "9", "é", "z", "a b"} {
			b.People = append(b.People, person(id))
			b.Facts = append(b.Facts, of(id, fact("Observation/1", "2020"))...)
		}
		b.Facts = append(b.Facts, of("aa", fact("Observation/1", "2020"))...) // nobody's
		bring(t, s, b)
		var ids []string
		for _, rec := range collect(t, s.Records(ctx)) {
			ids = append(ids, rec.Person.ID)
			same(t, "facts of "+rec.Person.ID, len(rec.Facts), 1)
		}
		same(t, "ids", ids, []string{"10", "9", "B", "a", "a b", "b", "z", "é"})
	})
	t.Run("some are found among many", func(t *testing.T) {
		s := open(t)
		withPeople(t, s, 20)
		var ids []string
		for _, rec := range collect(t, s.RecordsOf(ctx, []string{"p7", "nobody", "p12", "p7"})) {
			ids = append(ids, rec.Person.ID)
		}
		same(t, "ids", ids, []string{"p12", "p7"})
		same(t, "of nobody", collect(t, s.RecordsOf(ctx, nil)), []record.Record(nil))
	})
	t.Run("a reader may stop, and may write on the way", func(t *testing.T) {
		s := open(t)
		withPeople(t, s, 5)
		n := 0
		for range s.Records(ctx) {
			n++
			if n == 1 {
				bring(t, s, clinic.ImportBatch{People: []record.Person{person("p9")}})
				must[record.Record](t)(s.Record(ctx, "p9"))
			}
			if n == 2 {
				break
			}
		}
		same(t, "records after it", len(collect(t, s.Records(ctx))), 6)
	})
	t.Run("a walk sees one moment", func(t *testing.T) {
		s := open(t)
		withPeople(t, s, 3)
		n := 0
		for range s.Records(ctx) {
			if n++; n == 1 {
				bring(t, s, clinic.ImportBatch{People: []record.Person{person("p8"), person("p9")}})
			}
		}
		same(t, "records seen", n, 3)
	})
}
