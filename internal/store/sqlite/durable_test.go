package sqlite

import (
	"bufio"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"tengram/internal/clinic"
	"tengram/internal/demo"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// A process that is killed must have lost nothing that it said was kept. The
// test runs itself as another process, which writes and says so line by line,
// kills it at a random moment, and looks at what is there.
//
// A kill leaves the operating system alone, so that this shows nothing about a
// loss of power; for that the store relies on synchronous=FULL.

const (
	writerEnv    = "TENGRAM_TEST_WRITER"
	killedRounds = 12
	factsOfBatch = 150
)

func TestMain(m *testing.M) {
	if job := os.Getenv(writerEnv); job != "" {
		if err := writeForever(job); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		return
	}
	os.Exit(m.Run())
}

// writeForever is the other process: "import 17 /path" writes from number 17 on
// until it is killed.
func writeForever(job string) error {
	words := strings.SplitN(job, " ", 3)
	n, err := strconv.Atoi(words[1])
	if err != nil {
		return err
	}
	ctx := context.Background()
	s, err := Open(ctx, words[2])
	if err != nil {
		return err
	}
	for ; ; n++ {
		switch words[0] {
		case "import":
			_, err = s.SaveImport(ctx, batchOf(n))
		case "sign":
			var rec record.Record
			if rec, err = s.Record(ctx, "signed"); err == nil {
				_, _, err = s.KeepSigned(ctx, signatureOf(n, rec.Version))
			}
		}
		if err != nil {
			return err
		}
		fmt.Println(n)
	}
}

// batchOf is one person with a number of facts.
func batchOf(n int) clinic.ImportBatch {
	id := fmt.Sprintf("person-%06d", n)
	b := clinic.ImportBatch{People: []record.Person{{ID: id, Family: "Family " + id}}}
	for i := range factsOfBatch {
		b.Facts = append(b.Facts, clinic.PersonFact{Person: id, Fact: record.Fact{
			Kind: record.Condition, Key: fmt.Sprintf("Condition/%d-%d", n, i), Text: strings.Repeat("x", 100), Start: when.MustMoment("2025-01-02"),
		}})
	}
	return b
}

func signatureOf(n int, version int64) clinic.Signed {
	d := demo.Examples()[n%20].Draft
	d.ID, d.Patient = fmt.Sprintf("exam-%06d", n), "signed"
	return clinic.Signed{
		Key: "key of " + d.ID, Content: "content of " + d.ID,
		Exam:      record.SignedExam{Exam: exam.Exam{Draft: d}, SignedBy: exam.Person{ID: "n1"}, SignedAt: when.MustMoment("2026-05-04T09:00:00Z")},
		Derived:   clinic.Derived{Standing: clinic.Standing{Person: "signed"}, Version: version},
		Referrals: []record.Referral{{ID: "r" + d.ID, Action: "refer"}},
		Audit:     clinic.AuditLine{At: when.MustMoment("2026-05-04T09:00:00Z"), Who: "n1", Did: "sign", Object: d.ID},
	}
}

// killedAt runs the other process and kills it soon after it began to write. It
// returns the last number that it said was kept, or from-1.
func killedAt(t *testing.T, kind, path string, from int) int {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), fmt.Sprintf("%s=%s %d %s", writerEnv, kind, from, path))
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	last := from - 1
	first := make(chan struct{})
	done := make(chan struct{})
	go func() {
		defer close(done)
		lines := bufio.NewScanner(out)
		for lines.Scan() {
			n, err := strconv.Atoi(lines.Text())
			if err != nil {
				break // a line cut short by the kill is no promise
			}
			if last < from {
				close(first)
			}
			last = n
		}
	}()
	select {
	case <-first:
	case <-done:
		t.Fatal("the other process ended by itself")
	}
	time.Sleep(time.Duration(rand.IntN(80_000)) * time.Microsecond)
	if err := cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	<-done
	if err := cmd.Wait(); err == nil {
		t.Fatal("the other process was not killed")
	}
	return last
}

func TestNothingAcknowledgedIsLostWhenAnImportIsKilled(t *testing.T) {
	ctx := context.Background()
	path := filepath.Join(t.TempDir(), "clinic.db")
	from, whole := 0, 0
	for range killedRounds {
		last := killedAt(t, "import", path, from)
		s := reopen(t, path)
		if err := s.Check(ctx); err != nil {
			t.Fatal(err)
		}
		n := 0
		for rec, err := range s.Records(ctx) {
			if err != nil {
				t.Fatal(err)
			}
			want := fmt.Sprintf("person-%06d", n)
			if rec.Person.ID != want || len(rec.Facts) != factsOfBatch {
				t.Fatalf("record %d is of %s with %d facts, want %s with %d: a batch was kept in part", n, rec.Person.ID, len(rec.Facts), want, factsOfBatch)
			}
			n++
		}
		if n <= last {
			t.Fatalf("%d was acknowledged, %d people are there", last, n)
		}
		whole += last + 1 - from
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		from = n
	}
	t.Logf("%d batches acknowledged over %d kills, all there", whole, killedRounds)
}

func TestNothingAcknowledgedIsLostWhenASignatureIsKilled(t *testing.T) {
	ctx := context.Background()
	path := filepath.Join(t.TempDir(), "clinic.db")
	s := reopen(t, path)
	if _, err := s.SaveImport(ctx, clinic.ImportBatch{People: []record.Person{{ID: "signed"}}}); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	from, repeated := 0, 0
	for range killedRounds {
		last := killedAt(t, "sign", path, from)
		s := reopen(t, path)
		if err := s.Check(ctx); err != nil {
			t.Fatal(err)
		}
		rec, err := s.Record(ctx, "signed")
		if err != nil {
			t.Fatal(err)
		}
		if len(rec.Exams) <= last || len(rec.Referrals) != len(rec.Exams) {
			t.Fatalf("%d was acknowledged; %d exams and %d referrals are there", last, len(rec.Exams), len(rec.Referrals))
		}
		lines, err := s.Audit(ctx, 1_000_000)
		if err != nil || len(lines) != len(rec.Exams) {
			t.Fatalf("%d exams have %d audit lines (%v)", len(rec.Exams), len(lines), err)
		}
		// The sender of what was not acknowledged sends it again: once, and only
		// once, is it there.
		next := last + 1
		_, already, err := s.KeepSigned(ctx, signatureOf(next, rec.Version))
		if err != nil || already != (len(rec.Exams) > next) {
			t.Fatalf("sent again: already %v with %d exams, error %v", already, len(rec.Exams), err)
		}
		if already {
			repeated++
		}
		if revisions, err := s.Revisions(ctx, signatureOf(next, 0).Exam.Exam.ID); err != nil || len(revisions) != 1 {
			t.Fatalf("sent again: %d revisions, error %v", len(revisions), err)
		}
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		from = next + 1
	}
	t.Logf("%d signatures acknowledged over %d kills, all there; %d were kept before the kill and not yet acknowledged", from-killedRounds, killedRounds, repeated)
}

func reopen(t *testing.T, path string) *Store {
	t.Helper()
	s, err := Open(context.Background(), path)
	if err != nil {
		t.Fatal(err)
	}
	return s
}
