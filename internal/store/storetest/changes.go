package storetest

import (
	"context"
	"testing"

	"tengram/internal/clinic"
	"tengram/internal/kernel/record"
)

// changes: the count of changes rises with what a record holds, and with nothing
// else.
func changes(t *testing.T, open func(*testing.T) clinic.Store) {
	ctx := context.Background()
	s := open(t)
	people := withPeople(t, s, 3)
	referral := record.Referral{ID: "r1", Opened: today, Due: today + 14}
	signing := signed(draft(people[0], "e1"), "key 1")
	for _, step := range []struct {
		name string
		do   func(*testing.T)
		want bool
	}{
		{"an import of something new", func(t *testing.T) {
			bring(t, s, clinic.ImportBatch{Facts: of(people[0], fact("Condition/new", "2026-01-01"))})
		}, true},
		{"the same import again", func(t *testing.T) {
			bring(t, s, clinic.ImportBatch{Facts: of(people[0], fact("Condition/new", "2026-01-01"))})
		}, false},
		{"a fact that changed", func(t *testing.T) {
			bring(t, s, clinic.ImportBatch{Facts: of(people[0], fact("Condition/new", "2026-01-02"))})
		}, true},
		{"a fact that is removed", func(t *testing.T) {
			bring(t, s, clinic.ImportBatch{Remove: []string{"Condition/new"}})
		}, true},
		{"a person who is removed", func(t *testing.T) {
			bring(t, s, clinic.ImportBatch{Remove: []string{"Patient/" + people[2]}})
		}, true},
		{"a draft", func(t *testing.T) {
			if err := s.KeepDraft(ctx, nurse, draft(people[0], "e1")); err != nil {
				t.Fatal(err)
			}
		}, false},
		{"a signature", func(t *testing.T) {
			signing.Derived = row(people[0], "A", "B", 1, today)
			signing.Derived.Version = must[record.Record](t)(s.Record(ctx, people[0])).Version
			if _, _, err := s.KeepSigned(ctx, signing); err != nil {
				t.Fatal(err)
			}
		}, true},
		{"the same signature again", func(t *testing.T) {
			if _, _, err := s.KeepSigned(ctx, signing); err != nil {
				t.Fatal(err)
			}
		}, false},
		{"a referral", func(t *testing.T) {
			if err := s.KeepReferral(ctx, people[1], referral, line("refer")); err != nil {
				t.Fatal(err)
			}
		}, true},
		{"a setting, a mark and an audit line", func(t *testing.T) {
			if err := s.SetSetting(ctx, "edition", "us-2024", line("set")); err != nil {
				t.Fatal(err)
			}
			if err := s.MarkStale(ctx, "other rules", today+1); err != nil {
				t.Fatal(err)
			}
			if err := s.KeepAudit(ctx, line("open")); err != nil {
				t.Fatal(err)
			}
		}, false},
	} {
		t.Run(step.name, func(t *testing.T) {
			before := must[int64](t)(s.Changes(ctx))
			step.do(t)
			if after := must[int64](t)(s.Changes(ctx)); (after > before) != step.want || after < before {
				t.Errorf("%d, then %d", before, after)
			}
		})
	}
}
