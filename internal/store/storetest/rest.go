package storetest

import (
	"context"
	"testing"
	"time"

	"tengram/internal/clinic"
	"tengram/internal/kernel/danger"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/plan"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

func referrals(t *testing.T, open func(*testing.T) clinic.Store) {
	ctx := context.Background()
	s := open(t)
	withPeople(t, s, 2)
	referral := func(id string, due when.Day) record.Referral {
		return record.Referral{ID: id, Action: "refer-" + id, Exam: "e1", To: plan.FootSpecialist, Says: "Refer “soon”", Urgency: danger.TwoWeeks, Opened: today, Due: due}
	}
	step := func(r record.Referral, what string) record.Referral {
		r.Steps = append(r.Steps[:len(r.Steps):len(r.Steps)], record.ReferralStep{What: what, On: today, By: nurse, Note: "n"})
		return r
	}
	keep := func(t *testing.T, person string, r record.Referral) {
		t.Helper()
		if err := s.KeepReferral(ctx, person, r, line("refer")); err != nil {
			t.Fatal(err)
		}
	}
	late, soon, never := referral("late", today-3), referral("soon", today+2), referral("never", 0)
	keep(t, "p1", never)
	keep(t, "p2", late)
	keep(t, "p1", soon)
	keep(t, "p1", late) // the same id of another person
	list := func(t *testing.T) (ids []string) {
		t.Helper()
		for _, r := range must[[]clinic.PersonReferral](t)(s.OpenReferrals(ctx)) {
			ids = append(ids, r.Standing.Person+" "+r.Referral.ID)
		}
		return ids
	}
	t.Run("the earliest deadline comes first, none comes last", func(t *testing.T) {
		same(t, "order", list(t), []string{"p1 late", "p2 late", "p1 soon", "p1 never"})
		same(t, "referral", must[[]clinic.PersonReferral](t)(s.OpenReferrals(ctx))[2].Referral, soon)
		counts := must[clinic.Counts](t)(s.Counts(ctx, today))
		same(t, "counts", []int{counts.OpenReferrals, counts.LateReferrals}, []int{4, 2})
	})
	t.Run("a step moves the record's version and is kept", func(t *testing.T) {
		before := must[record.Record](t)(s.Record(ctx, "p2")).Version
		keep(t, "p2", step(late, "sent"))
		same(t, "referral", must[record.Referral](t)(s.Referral(ctx, "p2", "late")), step(late, "sent"))
		if must[record.Record](t)(s.Record(ctx, "p2")).Version <= before {
			t.Fatal("the version stayed")
		}
	})
	t.Run("a state that lost a step is refused", func(t *testing.T) {
		code(t, s.KeepReferral(ctx, "p2", late, line("refer")), clinic.Conflict)
		same(t, "referral", must[record.Referral](t)(s.Referral(ctx, "p2", "late")), step(late, "sent"))
	})
	t.Run("a closed referral leaves the list and stays in the record", func(t *testing.T) {
		keep(t, "p1", step(late, "closed"))
		same(t, "order", list(t), []string{"p2 late", "p1 soon", "p1 never"})
		same(t, "number in the record", len(must[record.Record](t)(s.Record(ctx, "p1")).Referrals), 3)
	})
	t.Run("nobody has none", func(t *testing.T) {
		code(t, s.KeepReferral(ctx, "nobody", late, line("refer")), clinic.NotFound)
		_, err := s.Referral(ctx, "p2", "soon")
		code(t, err, clinic.NotFound)
	})
}

func settings(t *testing.T, open func(*testing.T) clinic.Store) {
	ctx := context.Background()
	s := open(t)
	same(t, "unset", must[string](t)(s.Setting(ctx, "edition")), "")
	for _, value := range []string{"us-2024", "uk-ng19", "", "Ñ\n“x”"} {
		if err := s.SetSetting(ctx, "edition", value, line("set "+value)); err != nil {
			t.Fatal(err)
		}
		same(t, "set", must[string](t)(s.Setting(ctx, "edition")), value)
	}
	if err := s.KeepAudit(ctx, line("open")); err != nil {
		t.Fatal(err)
	}
	same(t, "newest lines first", must[[]clinic.AuditLine](t)(s.Audit(ctx, 2)), []clinic.AuditLine{line("open"), line("set Ñ\n“x”")})
	same(t, "all lines", len(must[[]clinic.AuditLine](t)(s.Audit(ctx, 100))), 5)
}

func accounts(t *testing.T, open func(*testing.T) clinic.Store) {
	ctx := context.Background()
	first := clinic.Account{Person: nurse, Hash: "$h1"}
	second := clinic.Account{Person: other, Hash: "$h2"}
	t.Run("the first account is made once", func(t *testing.T) {
		s := open(t)
		if !must[bool](t)(s.FirstAccount(ctx, first, line("first"))) {
			t.Fatal("the first account was not made")
		}
		if must[bool](t)(s.FirstAccount(ctx, second, line("first"))) {
			t.Fatal("a second first account was made")
		}
		same(t, "accounts", must[[]clinic.Account](t)(s.ListAccounts(ctx)), []clinic.Account{first})
		same(t, "audit lines", len(must[[]clinic.AuditLine](t)(s.Audit(ctx, 10))), 1)
	})
	t.Run("an account changes and is listed by id", func(t *testing.T) {
		s := open(t)
		for _, a := range []clinic.Account{first, second} {
			if err := s.KeepAccount(ctx, a, line("account")); err != nil {
				t.Fatal(err)
			}
		}
		closed := first
		closed.Closed, closed.Person.Role = true, clinic.Viewer
		if err := s.KeepAccount(ctx, closed, line("account")); err != nil {
			t.Fatal(err)
		}
		same(t, "accounts", must[[]clinic.Account](t)(s.ListAccounts(ctx)), []clinic.Account{second, closed})
		same(t, "account", must[clinic.Account](t)(s.Account(ctx, "n1")), closed)
		_, err := s.Account(ctx, "nobody")
		code(t, err, clinic.NotFound)
	})
	t.Run("a session is found until it ends", func(t *testing.T) {
		s := open(t)
		now := time.Date(2026, 5, 4, 9, 0, 0, 0, time.UTC)
		find := func(token string, at time.Time) (string, bool) {
			data, found, err := s.Session(ctx, token, at)
			if err != nil {
				t.Fatal(err)
			}
			return string(data), found
		}
		if err := s.KeepSession(ctx, "t1", []byte("one"), now.Add(time.Hour), now); err != nil {
			t.Fatal(err)
		}
		if err := s.KeepSession(ctx, "t2", []byte{}, now.Add(2*time.Hour), now); err != nil {
			t.Fatal(err)
		}
		if data, found := find("t1", now.Add(time.Minute)); !found || data != "one" {
			t.Fatalf("found %v %q", found, data)
		}
		if _, found := find("t1", now.Add(time.Hour)); found {
			t.Fatal("a session was found after its end")
		}
		if err := s.KeepSession(ctx, "t2", []byte("two"), now.Add(3*time.Hour), now.Add(90*time.Minute)); err != nil {
			t.Fatal(err)
		}
		if _, found := find("t1", now); found {
			t.Fatal("an ended session was not forgotten")
		}
		if data, found := find("t2", now); !found || data != "two" {
			t.Fatalf("found %v %q", found, data)
		}
		if err := s.DropSession(ctx, "t2"); err != nil {
			t.Fatal(err)
		}
		if _, found := find("t2", now); found {
			t.Fatal("a dropped session was found")
		}
		if _, found := find("never", now); found {
			t.Fatal("a session that never was is found")
		}
	})
}

// cancelled: a call whose context has ended changes nothing and says why.
func cancelled(t *testing.T, open func(*testing.T) clinic.Store) {
	s := open(t)
	withPeople(t, s, 1)
	ended, cancel := context.WithCancel(context.Background())
	cancel()
	for name, call := range map[string]func() error{
		"import": func() error {
			_, err := s.SaveImport(ended, clinic.ImportBatch{People: []record.Person{person("p9")}})
			return err
		},
		"draft":   func() error { return s.KeepDraft(ended, nurse, draft("p1", "e1")) },
		"sign":    func() error { _, _, err := s.KeepSigned(ended, signed(draft("p1", "e1"), "k")); return err },
		"setting": func() error { return s.SetSetting(ended, "x", "y", line("set")) },
		"record":  func() error { _, err := s.Record(ended, "p1"); return err },
		"records": func() error {
			for _, err := range s.Records(ended) {
				if err != nil {
					return err
				}
			}
			return nil
		},
		"panel": func() error { _, _, err := s.Standings(ended, clinic.PanelQuery{}); return err },
	} {
		t.Run(name, func(t *testing.T) {
			if call() == nil {
				t.Fatal("a call with an ended context did not fail")
			}
		})
	}
	ctx := context.Background()
	same(t, "people", len(collect(t, s.Records(ctx))), 1)
	same(t, "drafts", must[[]exam.Draft](t)(s.DraftsOf(ctx, "")), []exam.Draft(nil))
	same(t, "setting", must[string](t)(s.Setting(ctx, "x")), "")
}
