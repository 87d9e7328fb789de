package sqlite

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/ncruces/go-sqlite3"

	"tengram/internal/clinic"
	"tengram/internal/kernel/record"
)

func TestEveryConnectionIsSetForDurability(t *testing.T) {
	s := openTemp(t)
	ctx := context.Background()
	look := func(c *conn) error {
		for pragma, want := range map[string]string{
			"journal_mode": "wal", "synchronous": "2", "foreign_keys": "1", "busy_timeout": "10000", "trusted_schema": "0", "page_size": "8192",
		} {
			_, err := c.one("PRAGMA "+pragma, nil, func(s *sqlite3.Stmt) error {
				if got := s.ColumnText(0); got != want {
					t.Errorf("%s is %s, want %s", pragma, got, want)
				}
				return nil
			})
			if err != nil {
				return err
			}
		}
		return nil
	}
	if err := s.write(ctx, look); err != nil {
		t.Fatal(err)
	}
	var all func(n int) error // holds one connection while it takes the next
	all = func(n int) error {
		if n == 0 {
			return nil
		}
		return s.read(ctx, func(c *conn) error { return errors.Join(look(c), all(n-1)) })
	}
	if err := all(readers); err != nil {
		t.Fatal(err)
	}
}

func TestAReadingConnectionCannotWrite(t *testing.T) {
	err := openTemp(t).read(context.Background(), func(c *conn) error {
		_, err := c.exec(`DELETE FROM person`)
		return err
	})
	if err == nil {
		t.Fatal("a reading connection wrote")
	}
}

func TestAWriteThatFailsOrPanicsLeavesNothing(t *testing.T) {
	s := openTemp(t)
	ctx := context.Background()
	fails := func(how func()) {
		defer func() { _ = recover() }()
		_ = s.write(ctx, func(c *conn) error {
			if _, err := c.exec(`INSERT INTO setting (key, value) VALUES ('k', 'v')`); err != nil {
				t.Fatal(err)
			}
			how()
			return errors.New("no")
		})
	}
	fails(func() {})
	fails(func() { panic("no") })
	if v, err := s.Setting(ctx, "k"); v != "" || err != nil {
		t.Fatalf("setting %q, error %v", v, err)
	}
	if err := s.SetSetting(ctx, "k", "v", clinic.AuditLine{}); err != nil {
		t.Fatalf("the store cannot write after a panic: %v", err)
	}
}

func TestOnlyTheOwnerMayReadTheFiles(t *testing.T) {
	s := openTemp(t)
	if err := s.SetSetting(context.Background(), "k", "v", clinic.AuditLine{}); err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob(s.path + "*")
	if err != nil || len(files) != 3 { // the file, its log and the log's index
		t.Fatalf("files %v, error %v", files, err)
	}
	for _, f := range files {
		info, err := os.Stat(f)
		if err != nil {
			t.Fatal(err)
		}
		if mode := info.Mode().Perm(); mode != 0o600 {
			t.Errorf("%s has mode %o", filepath.Base(f), mode)
		}
	}
}

func TestAFileIsOpenedAgainWithEverythingInIt(t *testing.T) {
	ctx := context.Background()
	path := filepath.Join(t.TempDir(), "with space, #, ? and ñ.db")
	s := reopen(t, path)
	if _, err := s.SaveImport(ctx, batchOf(1)); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(path + "-wal"); err == nil {
		t.Error("the log was not put away")
	}
	rec, err := openAt(t, path).Record(ctx, "person-000001")
	if err != nil || len(rec.Facts) != factsOfBatch {
		t.Fatalf("%d facts, error %v", len(rec.Facts), err)
	}
}

func TestAFileOfANewerProgramIsRefused(t *testing.T) {
	ctx := context.Background()
	path := filepath.Join(t.TempDir(), "clinic.db")
	s := reopen(t, path)
	err := s.write(ctx, func(c *conn) error {
		_, err := c.exec(`INSERT INTO goose_db_version (version_id, is_applied) VALUES (9999, 1)`)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(ctx, path); !errors.Is(err, errNewer) {
		t.Fatalf("error %v", err)
	}
}

func TestOpeningWhatIsNoDatabaseOrNowhereFails(t *testing.T) {
	ctx := context.Background()
	path := filepath.Join(t.TempDir(), "letter.db")
	if err := os.WriteFile(path, []byte(strings.Repeat("Dear colleague, ", 100)), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, p := range []string{path, filepath.Join(t.TempDir(), "no", "folder.db")} {
		if s, err := Open(ctx, p); err == nil {
			t.Errorf("%s opened", p)
			_ = s.Close()
		}
	}
	if text, err := os.ReadFile(path); err != nil || !strings.HasPrefix(string(text), "Dear") {
		t.Error("the other file was written over")
	}
}

func TestABackupIsACopyAndNeverWritesOver(t *testing.T) {
	ctx := context.Background()
	s := openTemp(t)
	if _, err := s.SaveImport(ctx, batchOf(1)); err != nil {
		t.Fatal(err)
	}
	copied := filepath.Join(t.TempDir(), "backup.db")
	if err := s.Backup(ctx, copied); err != nil {
		t.Fatal(err)
	}
	if err := s.Backup(ctx, copied); err == nil {
		t.Fatal("a backup was written over")
	}
	info, err := os.Stat(copied)
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Fatalf("mode %v, error %v", info.Mode(), err)
	}
	b := openAt(t, copied)
	if err := b.Check(ctx); err != nil {
		t.Fatal(err)
	}
	if rec, err := b.Record(ctx, "person-000001"); err != nil || len(rec.Facts) != factsOfBatch {
		t.Fatalf("%d facts, error %v", len(rec.Facts), err)
	}
}

func TestOneUnreadableRecordDoesNotHideTheNext(t *testing.T) {
	ctx := context.Background()
	s := openTemp(t)
	for n := range 3 {
		if _, err := s.SaveImport(ctx, batchOf(n)); err != nil {
			t.Fatal(err)
		}
	}
	err := s.write(ctx, func(c *conn) error {
		_, err := c.exec(`UPDATE fact SET doc = CAST('{"kind":' AS BLOB) WHERE person = 'person-000001' AND key = 'Condition/1-7'`)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	var read, failed []string
	for rec, err := range s.Records(ctx) {
		if err != nil {
			failed = append(failed, rec.Person.ID)
			if !strings.Contains(err.Error(), "Condition/1-7") || strings.Contains(err.Error(), "Family") {
				t.Errorf("the error names no fact, or names a person: %v", err)
			}
			continue
		}
		if len(rec.Facts) != factsOfBatch {
			t.Errorf("%s has %d facts", rec.Person.ID, len(rec.Facts))
		}
		read = append(read, rec.Person.ID)
	}
	if fmt.Sprint(failed) != "[person-000001]" || fmt.Sprint(read) != "[person-000000 person-000002]" {
		t.Fatalf("failed %v, read %v", failed, read)
	}
}

func TestCheckFindsADamagedFile(t *testing.T) {
	ctx := context.Background()
	path := filepath.Join(t.TempDir(), "clinic.db")
	s := reopen(t, path)
	for n := range 20 {
		if _, err := s.SaveImport(ctx, batchOf(n)); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.Check(ctx); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		t.Fatal(err)
	}
	info, err := f.Stat()
	if err != nil {
		t.Fatal(err)
	}
	for page := info.Size() / 8192 / 2; page < info.Size()/8192/2+10; page++ {
		if _, err := f.WriteAt(make([]byte, 64), page*8192); err != nil {
			t.Fatal(err)
		}
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	if err := openAt(t, path).Check(ctx); err == nil {
		t.Fatal("ten pages were damaged and the check found nothing")
	}
}

// Two programs may open one file, such as the server and a command.
func TestTwoStoresOfOneFileWriteInTurns(t *testing.T) {
	ctx := context.Background()
	path := filepath.Join(t.TempDir(), "clinic.db")
	stores := make([]*Store, 2)
	var opening sync.WaitGroup
	for i := range stores {
		opening.Go(func() { // both make the tables at once
			var err error
			if stores[i], err = Open(ctx, path); err != nil {
				t.Error(err)
			}
		})
	}
	opening.Wait()
	if t.Failed() {
		t.FailNow()
	}
	var writing sync.WaitGroup
	const each = 20
	for i, s := range stores {
		writing.Go(func() {
			for n := range each {
				if _, err := s.SaveImport(ctx, clinic.ImportBatch{People: []record.Person{{ID: fmt.Sprintf("%d-%d", i, n)}}}); err != nil {
					t.Error(err)
				}
			}
		})
	}
	writing.Wait()
	counts, err := stores[0].Counts(ctx, 1)
	if err != nil || counts.People != 2*each {
		t.Errorf("%d people, error %v", counts.People, err)
	}
	for _, s := range stores {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	}
}

func TestNamesAreFolded(t *testing.T) {
	for in, want := range map[string]string{
		"Núñez": "nunez", "NU\u0301N\u0303EZ": "nunez", "  a \t B\u00a0c ": "a b c", "Ørsted": "ørsted", "Straße": "straße", "İlker": "ilker", "李": "李", "": "",
	} {
		if got := fold(in); got != want {
			t.Errorf("%q folds to %q, want %q", in, got, want)
		}
	}
}
