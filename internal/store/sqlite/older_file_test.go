package sqlite

import (
	"context"
	"path/filepath"
	"testing"

	"tengram/internal/clinic"
	"tengram/internal/kernel/record"
)

// A file as it was before versions were kept opens with everything in it; its
// facts have no version, so that the next import stands and brings theirs.
func TestAFileFromBeforeVersionsWereKeptOpensAsBefore(t *testing.T) {
	ctx := context.Background()
	path := filepath.Join(t.TempDir(), "clinic.db")
	s := reopen(t, path)
	if _, err := s.SaveImport(ctx, batchOf(1)); err != nil {
		t.Fatal(err)
	}
	err := s.write(ctx, func(c *conn) error {
		for _, column := range []string{"person DROP COLUMN meta_updated", "person DROP COLUMN meta_version", "fact DROP COLUMN meta_updated", "fact DROP COLUMN meta_version"} {
			if _, err := c.exec(`ALTER TABLE ` + column); err != nil {
				return err
			}
		}
		_, err := c.exec(`DELETE FROM goose_db_version WHERE version_id = 3`)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	s = openAt(t, path)
	rec, err := s.Record(ctx, "person-000001")
	if err != nil || len(rec.Facts) != factsOfBatch {
		t.Fatalf("%d facts, error %v", len(rec.Facts), err)
	}
	if err := s.Check(ctx); err != nil {
		t.Fatal(err)
	}
	again := batchOf(1)
	for i := range again.Facts {
		again.Facts[i].Fact.Version = record.Version{Updated: 20}
	}
	counts, err := s.SaveImport(ctx, again)
	if err != nil || counts.Same != len(again.Facts)+len(again.People) || len(counts.Touched) != 0 {
		t.Fatalf("%+v, error %v", counts, err)
	}
	older := clinic.ImportBatch{Facts: again.Facts[:1]}
	older.Facts[0].Fact.Version.Updated, older.Facts[0].Fact.Text = 10, "older"
	if counts, err = s.SaveImport(ctx, older); err != nil || counts.Older != 1 || len(counts.Changes) != 0 {
		t.Fatalf("%+v, error %v", counts, err)
	}
}
