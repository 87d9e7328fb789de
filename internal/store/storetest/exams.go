package storetest

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"
	"testing"

	"tengram/internal/clinic"
	"tengram/internal/demo"
	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/danger"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/plan"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// draft is an example exam under another id.
func draft(person, id string) exam.Draft {
	d := demo.Examples()[15].Draft // a clean ulcer: the widest document
	d.Patient, d.ID = person, id
	return d
}

// signed is a signature as the clinic would hand it over.
func signed(d exam.Draft, key string) clinic.Signed {
	return clinic.Signed{
		Key: key, Content: "digest of " + key,
		Exam: record.SignedExam{
			Exam:       exam.Exam{Draft: d},
			Assessment: assess.Assess(assess.Input{Exam: &d, Edition: assess.DefaultEdition(), On: today}),
			SignedBy:   nurse, SignedAt: when.MustMoment("2026-05-04T09:10:00.000-05:00"),
		},
		Derived: clinic.Derived{Standing: clinic.Standing{Person: d.Patient, Family: "Derived"}, Place: 1, Rules: "r", Version: 1},
		Audit:   line("sign"),
	}
}

func amended(d exam.Draft, revision int) exam.Draft {
	d.Revision = revision
	d.Amends = &exam.Amendment{Revision: revision - 1, Reason: "typing error", By: other, At: when.MustMoment("2026-05-05T08:00:00-05:00")}
	return d
}

func drafts(t *testing.T, open func(*testing.T) clinic.Store) {
	ctx := context.Background()
	t.Run("every example document comes back as it is", func(t *testing.T) {
		s := open(t)
		for _, e := range demo.Examples() {
			bring(t, s, clinic.ImportBatch{People: []record.Person{person(e.Draft.Patient)}})
			if err := s.KeepDraft(ctx, nurse, e.Draft); err != nil {
				t.Fatal(err)
			}
			same(t, e.Name, must[exam.Draft](t)(s.Draft(ctx, e.Draft.ID)), e.Draft)
		}
		same(t, "number of all drafts", len(must[[]exam.Draft](t)(s.DraftsOf(ctx, ""))), len(demo.Examples()))
	})
	t.Run("the newest state stands, and the newest draft comes first", func(t *testing.T) {
		s := open(t)
		withPeople(t, s, 2)
		first, second := draft("p1", "e1"), draft("p1", "e2")
		for _, d := range []exam.Draft{first, second, draft("p2", "e3")} {
			if err := s.KeepDraft(ctx, nurse, d); err != nil {
				t.Fatal(err)
			}
		}
		first.Note = "changed"
		if err := s.KeepDraft(ctx, other, first); err != nil {
			t.Fatal(err)
		}
		same(t, "drafts", must[[]exam.Draft](t)(s.DraftsOf(ctx, "p1")), []exam.Draft{first, second})
	})
	t.Run("a draft needs a person who is here", func(t *testing.T) {
		code(t, open(t).KeepDraft(ctx, nurse, draft("nobody", "e1")), clinic.NotFound)
	})
	t.Run("a dropped draft is gone and the trail says so", func(t *testing.T) {
		s := open(t)
		withPeople(t, s, 1)
		if err := s.KeepDraft(ctx, nurse, draft("p1", "e1")); err != nil {
			t.Fatal(err)
		}
		if err := s.DropDraft(ctx, "e1", line("drop draft")); err != nil {
			t.Fatal(err)
		}
		_, err := s.Draft(ctx, "e1")
		code(t, err, clinic.NotFound)
		code(t, s.DropDraft(ctx, "e1", line("drop draft")), clinic.NotFound)
		same(t, "audit", must[[]clinic.AuditLine](t)(s.Audit(ctx, 10)), []clinic.AuditLine{line("drop draft")})
	})
}

func signing(t *testing.T, open func(*testing.T) clinic.Store) {
	ctx := context.Background()
	keep := func(t *testing.T, s clinic.Store, in clinic.Signed) {
		t.Helper()
		in.Derived.Version = must[record.Record](t)(s.Record(ctx, in.Exam.Exam.Patient)).Version
		if _, already, err := s.KeepSigned(ctx, in); err != nil || already {
			t.Fatalf("already %v, error %v", already, err)
		}
	}
	t.Run("keeps everything of one signature", func(t *testing.T) {
		s := open(t)
		withPeople(t, s, 1)
		if err := s.KeepDraft(ctx, nurse, draft("p1", "e1")); err != nil {
			t.Fatal(err)
		}
		in := signed(draft("p1", "e1"), "k1")
		in.Derived.Version = must[record.Record](t)(s.Record(ctx, "p1")).Version
		in.Referrals = []record.Referral{{ID: "e1.refer", Action: "refer", Exam: "e1", To: plan.FootTeam, Urgency: danger.OneWorkingDay, Opened: today, Due: today + 1}}
		kept, already, err := s.KeepSigned(ctx, in)
		if err != nil || already {
			t.Fatalf("already %v, error %v", already, err)
		}
		same(t, "answer", kept, in.Exam)
		rec := must[record.Record](t)(s.Record(ctx, "p1"))
		same(t, "record", rec, record.Record{Person: person("p1"), Exams: []record.SignedExam{in.Exam}, Referrals: in.Referrals})
		if rec.Version <= in.Derived.Version {
			t.Fatalf("version stayed %d", rec.Version)
		}
		_, err = s.Draft(ctx, "e1")
		code(t, err, clinic.NotFound)
		same(t, "audit", must[[]clinic.AuditLine](t)(s.Audit(ctx, 10)), []clinic.AuditLine{line("sign")})
		rows, total, err := s.Standings(ctx, clinic.PanelQuery{})
		if err != nil {
			t.Fatal(err)
		}
		same(t, "panel", rows, []clinic.Standing{in.Derived.Standing})
		same(t, "total", total, 1)
		same(t, "stale", must[[]string](t)(s.Stale(ctx, "", 10)), []string(nil))
	})
	t.Run("an exam judged with an older record is refused, and nothing is written", func(t *testing.T) {
		s := open(t)
		withPeople(t, s, 1)
		in := signed(draft("p1", "e1"), "k1")
		in.Derived.Version = must[record.Record](t)(s.Record(ctx, "p1")).Version
		bring(t, s, clinic.ImportBatch{Facts: of("p1", fact("Observation/1", "2020"))})
		_, _, err := s.KeepSigned(ctx, in)
		code(t, err, clinic.Conflict)
		if !errors.Is(err, clinic.ErrMoved) {
			t.Fatalf("error %v", err)
		}
		_, err = s.Revisions(ctx, "e1")
		code(t, err, clinic.NotFound)
		_, err = s.Draft(ctx, "e1")
		code(t, err, clinic.NotFound)
		keep(t, s, in)
	})
	t.Run("a text that a device signed comes back byte for byte", func(t *testing.T) {
		s := open(t)
		withPeople(t, s, 1)
		in := signed(draft("p1", "e1"), "k1")
		in.Sealed = []byte("{ \"odd\" :\t1.50 }\n\x00\xff")
		keep(t, s, in)
		keep(t, s, signed(draft("p1", "e2"), "k2"))
		same(t, "sealed", must[[]byte](t)(s.Sealed(ctx, "e1", 1)), in.Sealed)
		same(t, "signed here", must[[]byte](t)(s.Sealed(ctx, "e2", 1)), []byte(nil))
		_, err := s.Sealed(ctx, "e1", 2)
		code(t, err, clinic.NotFound)
	})
	t.Run("the same request again is answered and not done again", func(t *testing.T) {
		s := open(t)
		withPeople(t, s, 1)
		in := signed(draft("p1", "e1"), "k1")
		keep(t, s, in)
		again := in
		again.Exam.SignedAt = when.MustMoment("2026-05-04T12:00:00-05:00")
		kept, already, err := s.KeepSigned(ctx, again)
		if err != nil || !already {
			t.Fatalf("already %v, error %v", already, err)
		}
		same(t, "answer", kept, in.Exam)
		same(t, "revisions", len(must[[]record.SignedExam](t)(s.Revisions(ctx, "e1"))), 1)
		same(t, "audit lines", len(must[[]clinic.AuditLine](t)(s.Audit(ctx, 10))), 1)
	})
	t.Run("a key used for something else is refused, and that is kept as a draft", func(t *testing.T) {
		s := open(t)
		withPeople(t, s, 1)
		keep(t, s, signed(draft("p1", "e1"), "k1"))
		another := signed(draft("p1", "e2"), "k1")
		another.Content = "something else"
		_, _, err := s.KeepSigned(ctx, another)
		code(t, err, clinic.Conflict)
		same(t, "draft", must[exam.Draft](t)(s.Draft(ctx, "e2")), another.Exam.Exam.Draft)
	})
	t.Run("revisions follow each other and the record holds the newest", func(t *testing.T) {
		s := open(t)
		withPeople(t, s, 1)
		first := signed(draft("p1", "e1"), "k1")
		second := signed(amended(draft("p1", "e1"), 2), "k2")
		keep(t, s, first)
		keep(t, s, second)
		same(t, "revisions", must[[]record.SignedExam](t)(s.Revisions(ctx, "e1")), []record.SignedExam{first.Exam, second.Exam})
		same(t, "record", must[record.Record](t)(s.Record(ctx, "p1")).Exams, []record.SignedExam{second.Exam})
	})
	t.Run("a revision of an old base is refused and kept as a draft", func(t *testing.T) {
		s := open(t)
		withPeople(t, s, 1)
		keep(t, s, signed(draft("p1", "e1"), "k1"))
		keep(t, s, signed(amended(draft("p1", "e1"), 2), "k2"))
		late := amended(draft("p1", "e1"), 2)
		late.Note = "mine"
		_, _, err := s.KeepSigned(ctx, signed(late, "k3"))
		code(t, err, clinic.Conflict)
		same(t, "draft", must[exam.Draft](t)(s.Draft(ctx, "e1")), late)
		same(t, "revisions", len(must[[]record.SignedExam](t)(s.Revisions(ctx, "e1"))), 2)
		for name, d := range map[string]exam.Draft{"first again": draft("p1", "e1"), "a gap": amended(draft("p1", "e1"), 9), "no base": amended(draft("p1", "e9"), 2)} {
			_, _, err := s.KeepSigned(ctx, signed(d, "key of "+name))
			code(t, err, clinic.Conflict)
		}
	})
	t.Run("a draft of a signed revision is refused, of the next one kept", func(t *testing.T) {
		s := open(t)
		withPeople(t, s, 1)
		keep(t, s, signed(draft("p1", "e1"), "k1"))
		code(t, s.KeepDraft(ctx, nurse, draft("p1", "e1")), clinic.Conflict)
		next := amended(draft("p1", "e1"), 2)
		if err := s.KeepDraft(ctx, nurse, next); err != nil {
			t.Fatal(err)
		}
		same(t, "draft", must[exam.Draft](t)(s.Draft(ctx, "e1")), next)
	})
	t.Run("nobody signs for a person who is not here", func(t *testing.T) {
		s := open(t)
		_, _, err := s.KeepSigned(ctx, signed(draft("nobody", "e1"), "k1"))
		code(t, err, clinic.NotFound)
		_, err = s.Revisions(ctx, "e1")
		code(t, err, clinic.NotFound)
	})
	t.Run("exams of a record are ordered by time, not by id", func(t *testing.T) {
		s := open(t)
		withPeople(t, s, 1)
		for i, at := range []string{"2026-03-01T10:00:00Z", "2024-03-01T10:00:00Z", "2025-03-01T23:00:00-11:00"} {
			d := draft("p1", fmt.Sprintf("e%d", i))
			d.At = when.MustMoment(at)
			keep(t, s, signed(d, fmt.Sprintf("k%d", i)))
		}
		var ids []string
		for _, e := range must[record.Record](t)(s.Record(ctx, "p1")).Exams {
			ids = append(ids, e.Exam.ID)
		}
		same(t, "order", ids, []string{"e1", "e2", "e0"})
	})
}

// signingTogether lets many sign at once: of one key exactly one is new, of one
// revision exactly one wins, and everything else is kept.
func signingTogether(t *testing.T, open func(*testing.T) clinic.Store) {
	ctx := context.Background()
	s := open(t)
	withPeople(t, s, 1)
	const many = 8
	together := func(in func(i int) clinic.Signed) (fresh, already int, refused []error) {
		version := must[record.Record](t)(s.Record(ctx, "p1")).Version
		var mu sync.Mutex
		var wg sync.WaitGroup
		for i := range many {
			wg.Go(func() {
				request := in(i)
				request.Derived.Version = version
				_, was, err := s.KeepSigned(ctx, request)
				mu.Lock()
				defer mu.Unlock()
				switch {
				case err != nil:
					refused = append(refused, err)
				case was:
					already++
				default:
					fresh++
				}
			})
		}
		wg.Wait()
		return fresh, already, refused
	}
	fresh, already, refused := together(func(int) clinic.Signed { return signed(draft("p1", "e1"), "k") })
	if fresh != 1 || already != many-1 || len(refused) != 0 {
		t.Fatalf("one request sent %d times was done %d times, answered %d times, refused %d times (%v)", many, fresh, already, len(refused), refused)
	}
	fresh, already, refused = together(func(i int) clinic.Signed {
		return signed(amended(draft("p1", "e1"), 2), fmt.Sprintf("k%d", i))
	})
	if fresh != 1 || already != 0 || len(refused) != many-1 || slices.ContainsFunc(refused, func(err error) bool { return clinic.CodeOf(err) != clinic.Conflict }) {
		t.Fatalf("%d amendments of one base: %d won, %d answered, refused %v", many, fresh, already, refused)
	}
	same(t, "revisions", len(must[[]record.SignedExam](t)(s.Revisions(ctx, "e1"))), 2)
}
