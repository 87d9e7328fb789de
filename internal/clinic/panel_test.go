package clinic_test

import (
	"context"
	"errors"
	"fmt"
	"iter"
	"slices"
	"sync"
	"testing"
	"time"

	"tengram/internal/clinic"
	"tengram/internal/demo"
	"tengram/internal/kernel/danger"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/plan"
	"tengram/internal/kernel/recall"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

func TestAnImportCountsKeepsAsideAndIsTheSameAgain(t *testing.T) {
	ctx := context.Background()
	p := newPractice(t)
	var list things
	const people, facts, asides = 300, 60, 250 // more facts than one batch holds
	for i := range people {
		id := fmt.Sprintf("p%03d", i)
		if i%2 == 0 { // half of the people come behind their facts
			list = append(list, personOf(record.Person{ID: id}))
		}
		for n := range facts {
			list = append(list, factOf(id, record.Fact{Kind: record.Observation, Key: fmt.Sprintf("Observation/%s-%d", id, n)}))
		}
		if i%2 == 1 {
			list = append(list, personOf(record.Person{ID: id}))
		}
	}
	for i := range asides {
		list = append(list, asideOf(clinic.Aside{File: "x", Line: i + 1, Reason: "broken", Raw: []byte("{")}))
	}
	first := p.bring(list...)
	same(t, "counts", []int{first.New, first.Changed, first.Same, first.People, first.AsideCount, len(first.Asides)}, []int{people * (facts + 1), 0, 0, people, asides, 50})
	if first.Unchanged || first.Asides[0].Line != 1 || first.Asides[0].Raw != nil {
		t.Errorf("unchanged %v, first aside %+v", first.Unchanged, first.Asides[0])
	}
	again := p.bring(list...)
	same(t, "counts again", []int{again.New, again.Changed, again.Same, again.People, again.AsideCount}, []int{0, 0, people * (facts + 1), 0, asides})
	if !again.Unchanged {
		t.Error("the same import again is not told to be unchanged")
	}
	same(t, "asides kept", len(must[[]clinic.Aside](t)(p.Asides(ctx, viewer, 1000))), asides)
	_, total, err := p.Panel(ctx, viewer, clinic.PanelQuery{})
	if err != nil || total != people {
		t.Fatalf("%d rows, error %v", total, err)
	}
	counts := must[clinic.Summary](t)(p.Summary(ctx))
	same(t, "stale", counts.Stale, 0)
}

func TestAnImportThatBreaksOffKeepsWhatCameAndCanBeRunAgain(t *testing.T) {
	ctx := context.Background()
	p := newPractice(t)
	boom := errors.New("the disk was pulled")
	var list things
	for i := range 20_000 {
		list = append(list, personOf(record.Person{ID: fmt.Sprintf("p%05d", i)}))
	}
	broken := append(slices.Clone(list), func(clinic.Sink) error { return boom })
	r, err := p.Import(ctx, lead, broken)
	if !errors.Is(err, boom) || r.New == 0 || r.New >= 20_000 || r.Unchanged {
		t.Fatalf("%d new, unchanged %v, error %v", r.New, r.Unchanged, err)
	}
	whole := p.bring(list...)
	same(t, "new and same", []int{whole.New + r.New, whole.Same}, []int{20_000, r.New})
	trail := p.trail()
	same(t, "trail", trail[0], fmt.Sprintf("l: import, broken off  %d new, 0 changed, 0 same, 0 removed, 0 aside", r.New))
}

func TestPartsOfAFactStayWithItOverTheEdgeOfABatch(t *testing.T) {
	p := newPractice(t)
	var list things
	list = append(list, personOf(record.Person{ID: "p"}))
	for i := range 7000 {
		key := fmt.Sprintf("Observation/%05d", i)
		list = append(list, factOf("p", record.Fact{Kind: record.Observation, Key: key}), factOf("p", record.Fact{Kind: record.Observation, Key: key + "#1"}))
	}
	p.bring(list...)
	again := p.bring(list...)
	if !again.Unchanged {
		t.Fatalf("the same import again: %d new, %d changed, %d removed", again.New, again.Changed, again.Removed)
	}
}

func TestWhatIsTakenBackAndComesAgainIsThere(t *testing.T) {
	p := newPractice(t)
	fact := factOf("p", record.Fact{Kind: record.Observation, Key: "Observation/1"})
	remove := func(s clinic.Sink) error { return s.(clinic.Remover).Remove("Observation/1") }
	r := p.bring(personOf(record.Person{ID: "p"}), fact, remove)
	same(t, "removed", []int{r.New, r.Removed, len(p.open("p").Record.Facts)}, []int{2, 1, 0})
	p.bring(fact, remove, fact)
	same(t, "facts", len(p.open("p").Record.Facts), 1)
}

func TestTheOrderOfCallingIsThatOfTheKernel(t *testing.T) {
	ctx := context.Background()
	p := newPractice(t)
	made := demo.Generate(7, p.Today(), demo.Options{People: 300, Zone: p.Zone})
	if err := made.Load(ctx, p.Clinic); err != nil {
		t.Fatal(err)
	}
	p.clock = p.clock.Add(20 * 24 * time.Hour) // days later the order is the one of then
	policy := recall.Default()
	policy.Zone = p.Zone
	var want []recall.Standing
	for rec, err := range p.store.Records(ctx) {
		if err != nil {
			t.Fatal(err)
		}
		want = append(want, recall.Of(&rec, policy, p.Today()))
	}
	if err := p.Refresh(ctx); err != nil {
		t.Fatal(err)
	}
	slices.SortFunc(want, func(a, b recall.Standing) int {
		if recall.Less(a, b, p.Today()) {
			return -1
		}
		return 1
	})
	rows, _, err := p.Panel(ctx, viewer, clinic.PanelQuery{})
	if err != nil {
		t.Fatal(err)
	}
	var got, wanted []string
	due := 0
	for i := range rows {
		got = append(got, fmt.Sprint(rows[i].Person, rows[i].Due, rows[i].RiskLow, rows[i].RiskHigh, rows[i].Why, rows[i].NextVisit, rows[i].OpenUlcers, rows[i].UlcerDue))
	}
	for _, s := range want {
		wanted = append(wanted, fmt.Sprint(s.Person, s.Due, s.RiskLow, s.RiskHigh, s.Why, s.NextVisit, s.OpenUlcers, s.UlcerDue))
		if s.Due != 0 && s.Due <= p.Today() {
			due++
		}
	}
	same(t, "order", got, wanted)
	_, total, err := p.Panel(ctx, viewer, clinic.PanelQuery{DueBy: p.Today()})
	if err != nil || total != due || due == 0 {
		t.Fatalf("%d due, want %d, error %v", total, due, err)
	}

	t.Run("the measure and the summary are those of every record", func(t *testing.T) {
		for _, year := range []int{2026, 2025, 2024} {
			var want measure.Tally
			in := 0
			for rec, err := range p.store.Records(ctx) {
				if err != nil {
					t.Fatal(err)
				}
				r := measure.FootExam().Evaluate(&rec, measure.Context{Period: measure.Year(year), Zone: p.Zone})
				want.Add(r)
				if r.InitialPopulation || len(r.Quality) > 0 {
					in++
				}
			}
			got := must[clinic.MeasureReport](t)(p.Measure(ctx, viewer, "foot-exam", year))
			same(t, fmt.Sprint("tally of ", year), got.Tally, want)
			same(t, fmt.Sprint("people of ", year), len(got.People), in)
			for _, m := range got.People {
				if m.Standing.Person != m.Result.Patient || len(m.Result.Because) == 0 {
					t.Fatalf("result of %s stands with %s, %d reasons", m.Result.Patient, m.Standing.Person, len(m.Result.Because))
				}
			}
			if year == 2026 {
				same(t, "measure of the summary", must[clinic.Summary](t)(p.Summary(ctx)).Measure, want.Counts)
			}
		}
		_, err := p.Measure(ctx, viewer, "none", 2026)
		code(t, err, clinic.NotFound)
		_, err = p.Measure(ctx, viewer, "foot-exam", 3000)
		code(t, err, clinic.Invalid)
	})
	t.Run("the summary counts what the rows say", func(t *testing.T) {
		s := must[clinic.Summary](t)(p.Summary(ctx))
		var want clinic.Counts
		want.People = len(rows)
		for _, r := range rows {
			if r.Watched {
				want.OpenUlcers += r.OpenUlcers
			}
			want.OpenReferrals += r.OpenReferrals
			if r.Diabetes != known.Yes || !r.Watched {
				continue
			}
			want.Diabetes++
			if r.Due != 0 && r.Due <= p.Today() {
				want.Due++
			}
			if r.OverdueAfter != 0 && r.OverdueAfter < p.Today() {
				want.Overdue++
			}
			if r.LastExam == 0 {
				want.NeverExamined++
			}
			switch {
			case r.RiskLow < 0:
			case r.RiskLow == r.RiskHigh:
				want.ByRisk[r.RiskLow]++
			default:
				want.Unsettled++
			}
		}
		want.LateReferrals = s.LateReferrals
		same(t, "counts", s.Counts, want)
	})
}

func TestRowsThatAProgramLeftBehindAreMadeByTheNext(t *testing.T) {
	ctx := context.Background()
	p := newPractice(t)
	p.withDiabetes("p1")
	// A program that is killed after the import and before the refresh.
	_, err := p.store.SaveImport(ctx, clinic.ImportBatch{People: []record.Person{{ID: "p2", Family: "Late"}, {ID: "p1", Family: "Changed", Birth: when.MustMoment("1960")}}})
	if err != nil {
		t.Fatal(err)
	}
	same(t, "stale", must[clinic.Summary](t)(p.Summary(ctx)).Stale, 2)
	same(t, "row before", p.row("p1").Family, "Family-p1")
	if err := p.Refresh(ctx); err != nil {
		t.Fatal(err)
	}
	same(t, "rows after", []string{p.row("p1").Family, p.row("p2").Family}, []string{"Changed", "Late"})
	same(t, "stale", must[clinic.Summary](t)(p.Summary(ctx)).Stale, 0)
}

// oneUnreadable is a store in which one record cannot be read.
type oneUnreadable struct {
	clinic.Store
	id string
}

func (s oneUnreadable) RecordsOf(ctx context.Context, people []string) iter.Seq2[record.Record, error] {
	return func(yield func(record.Record, error) bool) {
		for rec, err := range s.Store.RecordsOf(ctx, people) {
			if rec.Person.ID == s.id {
				rec, err = record.Record{Person: record.Person{ID: s.id}}, errors.New("the kept fact is damaged")
			}
			if !yield(rec, err) {
				return
			}
		}
	}
}

func TestOneUnreadableRecordStopsNobodyElsesRow(t *testing.T) {
	ctx := context.Background()
	p := newPractice(t)
	whole := p.Store
	p.Store = oneUnreadable{p.store, "p2"}
	r, err := p.Import(ctx, lead, things{personOf(record.Person{ID: "p1"}), personOf(record.Person{ID: "p2"}), personOf(record.Person{ID: "p3"})})
	if err == nil || r.New != 3 {
		t.Fatalf("%d new, error %v", r.New, err)
	}
	rows, _, err := p.Panel(ctx, viewer, clinic.PanelQuery{Order: "name"})
	if err != nil {
		t.Fatal(err)
	}
	same(t, "rows", []string{rows[0].Person, rows[1].Person}, []string{"p1", "p3"})
	if err := p.Refresh(ctx, "p1", "p2"); err == nil {
		t.Error("a refresh that could not read a record says nothing")
	}
	p.Store = whole
	if err := p.Refresh(ctx); err != nil {
		t.Fatal(err)
	}
	same(t, "row of the mended record", p.row("p2").Person, "p2")
}

func TestAServerKeepsRowsFresh(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	p := newPractice(t)
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		p.KeepFresh(ctx, time.Millisecond, func(err error) { t.Error(err) })
	}()
	for i := range 3 {
		if _, err := p.store.SaveImport(ctx, clinic.ImportBatch{People: []record.Person{{ID: fmt.Sprint("p", i)}}}); err != nil {
			t.Fatal(err)
		}
		for total := 0; total <= i; { // ends with the test's own limit if rows never come
			var err error
			if _, total, err = p.Panel(ctx, viewer, clinic.PanelQuery{}); err != nil {
				t.Fatal(err)
			}
		}
	}
	cancel()
	<-ended
}

func TestARowAgesOnlyUntilItsDay(t *testing.T) {
	ctx := context.Background()
	p := newPractice(t)
	p.withDiabetes("p1")
	for i, day := range []string{"2026-05-06", "2026-08-01"} {
		p.bring(factOf("p1", record.Fact{Kind: record.Appointment, Key: fmt.Sprint("Appointment/", i), Standing: record.Planned, Start: when.MustMoment(day), End: when.MustMoment(day)}))
	}
	same(t, "next visit", p.row("p1").NextVisit.String(), "2026-05-06")
	p.clock = p.clock.Add(3 * 24 * time.Hour)
	if err := p.Refresh(ctx); err != nil {
		t.Fatal(err)
	}
	same(t, "next visit", p.row("p1").NextVisit.String(), "2026-08-01")
}

func TestUlcersAreFollowedWithTheirSizes(t *testing.T) {
	ctx := context.Background()
	p := newPractice(t)
	p.withDiabetes("p1")
	p.withDiabetes("p2")
	p.bring(factOf("p2", record.Fact{Kind: record.Condition, Key: "Condition/ulcer", Ended: known.No, Start: when.MustMoment("2026-04-30"),
		Codes: []term.Code{term.New("http://hl7.org/fhir/sid/icd-10-cm", "L97.512")}}))
	first := example(clean, "p1", "e1", "2026-04-20T09:00:00-05:00")
	second := example(clean, "p1", "e2", "2026-05-04T09:00:00-05:00")
	second.Ulcers[0].Size.LengthMM = known.Value(4)
	second.Ulcers[0].Size.WidthMM = known.Value(3)
	p.sign(nurse, first)
	p.sign(nurse, second)
	rows := must[[]clinic.UlcerRow](t)(p.Ulcers(ctx, viewer))
	if len(rows) != 2 || !rows[0].Unseen || rows[0].Standing.Person != "p2" {
		t.Fatalf("%d rows, the first %+v; want the ulcer that nobody here has seen first", len(rows), rows)
	}
	u := rows[1]
	same(t, "days", []when.Day{u.First, u.On}, []when.Day{when.MustDay("2026-04-20"), when.MustDay("2026-05-04")})
	same(t, "exam", u.Exam, "e2")
	same(t, "last", u.Last, second.Ulcers[0])
	if len(u.Sizes) != 2 || u.Sizes[0].AreaMM2 <= u.Sizes[1].AreaMM2 || u.Sizes[1].AreaMM2 != u.Result.AreaMM2.Value || u.Result.Healing == nil {
		t.Errorf("sizes %+v, result %+v", u.Sizes, u.Result)
	}
	healed := example(clean, "p1", "e3", "2026-05-04T09:30:00-05:00")
	healed.Ulcers[0].Healed, healed.Ulcers[0].Depth = known.AnswerYes, 0
	healed.Right.Look.Wound, healed.Left.Look.Wound = known.Normal, known.Normal
	healed.Ulcers[0].Size.LengthMM, healed.Ulcers[0].Size.WidthMM = known.Reading{}, known.Reading{}
	p.sign(nurse, healed)
	same(t, "ulcers left", len(must[[]clinic.UlcerRow](t)(p.Ulcers(ctx, viewer))), 1)
}

func TestReferralsAreOpenedOnceMovedForwardAndClosed(t *testing.T) {
	ctx := context.Background()
	p := newPractice(t)
	p.withDiabetes("p1")
	first := p.sign(nurse, example(infected, "p1", "e1", "2026-05-01T09:00:00-05:00"))
	open := func() map[string]record.Referral {
		t.Helper()
		m := map[string]record.Referral{}
		for _, r := range must[[]clinic.PersonReferral](t)(p.Referrals(ctx, viewer)) {
			m[r.Referral.Action] = r.Referral
		}
		return m
	}
	before := open()
	same(t, "number", len(before), len(refers(first)))
	for _, a := range refers(first) {
		same(t, "referral "+a.ID, before[a.ID], record.Referral{ID: "e1." + a.ID, Action: a.ID, Exam: "e1", To: a.To, Says: a.Says, Urgency: a.Urgency, Opened: p.Today(), Due: a.Due})
	}
	action := refers(first)[0].ID
	t.Run("a second exam that asks for the same opens nothing", func(t *testing.T) {
		p.sign(nurse, example(infected, "p1", "e2", "2026-05-02T09:00:00-05:00"))
		same(t, "referrals", open(), before)
	})
	t.Run("a revision that still asks changes nothing", func(t *testing.T) {
		d := must[exam.Draft](t)(p.StartAmendment(ctx, nurse, "e1"))
		if _, err := p.Amend(ctx, nurse, d, "a typing error", "k"); err != nil {
			t.Fatal(err)
		}
		same(t, "referrals", open(), before)
	})
	t.Run("a revision that no longer asks says so and leaves it open", func(t *testing.T) {
		d := example(normal, "p1", "e1", "2026-05-01T09:00:00-05:00")
		d.Revision, d.Amends = 3, &exam.Amendment{Revision: 2, Reason: "wrong person", By: nurse, At: when.MustMoment("2026-05-04T09:00:00-05:00")}
		p.sign(nurse, d)
		r := open()[action]
		if r.Closed() || len(r.Steps) != 1 || r.Steps[0].What != "note" {
			t.Fatalf("steps %+v", r.Steps)
		}
	})
	t.Run("steps are kept with who and when, and a closed one is over", func(t *testing.T) {
		id := before[action].ID
		step := func(s record.ReferralStep) error { return p.StepReferral(ctx, clinician, "p1", id, s) }
		if err := step(record.ReferralStep{What: "closed", Note: "seen"}); err != nil {
			t.Fatal(err)
		}
		if _, still := open()[action]; still {
			t.Error("a closed referral is open")
		}
		same(t, "open referrals of the row", p.row("p1").OpenReferrals, len(before)-1)
		code(t, step(record.ReferralStep{What: "sent"}), clinic.Conflict)
		if err := step(record.ReferralStep{What: "note", Note: "letter came"}); err != nil {
			t.Fatal(err)
		}
		rec := p.open("p1").Record
		n := slices.IndexFunc(rec.Referrals, func(r record.Referral) bool { return r.ID == id })
		same(t, "step", rec.Referrals[n].Steps[1], record.ReferralStep{What: "closed", On: p.Today(), By: clinician, Note: "seen"})
		code(t, step(record.ReferralStep{What: "note"}), clinic.Invalid)
		code(t, step(record.ReferralStep{What: "lost"}), clinic.Invalid)
		code(t, p.StepReferral(ctx, nurse, "p1", "none", record.ReferralStep{What: "sent"}), clinic.NotFound)
	})
	t.Run("after that the next exam opens a new one", func(t *testing.T) {
		p.sign(nurse, example(infected, "p1", "e3", "2026-05-03T09:00:00-05:00"))
		same(t, "id", open()[action].ID, "e3."+action)
	})
}

// The plans of two exams seldom ask for the same thing at another urgency, so
// that this is shown on a referral that was kept as later.
func TestAReferralIsMovedForwardByAMoreUrgentExam(t *testing.T) {
	ctx := context.Background()
	p := newPractice(t)
	p.withDiabetes("p1")
	probe, _, err := p.Preview(ctx, nurse, example(infected, "p1", "e1", "2026-05-04T09:00:00-05:00"))
	if err != nil {
		t.Fatal(err)
	}
	n := slices.IndexFunc(probe.Plan.Actions, func(a plan.Action) bool { return a.Kind == plan.Refer })
	wanted := probe.Plan.Actions[n]
	for name, later := range map[string]record.Referral{
		"later day":   {Urgency: wanted.Urgency, Due: p.Today() + 90},
		"less urgent": {Urgency: danger.Routine, Due: wanted.Due},
		"no day":      {Urgency: wanted.Urgency},
	} {
		t.Run(name, func(t *testing.T) {
			p := newPractice(t)
			p.withDiabetes("p1")
			later.ID, later.Action, later.Exam, later.To, later.Opened = "old", wanted.ID, "e0", wanted.To, p.Today()-30
			if err := p.store.KeepReferral(ctx, "p1", later, clinic.AuditLine{}); err != nil {
				t.Fatal(err)
			}
			p.sign(nurse, example(infected, "p1", "e1", "2026-05-04T09:00:00-05:00"))
			rec := p.open("p1").Record
			i := slices.IndexFunc(rec.Referrals, func(r record.Referral) bool { return r.ID == "old" })
			r := rec.Referrals[i]
			if r.Due != wanted.Due || r.Urgency != wanted.Urgency || len(r.Steps) != 1 || r.Opened != p.Today()-30 {
				t.Fatalf("the referral stands at %+v, want due %s", r, wanted.Due)
			}
			if slices.ContainsFunc(rec.Referrals, func(r record.Referral) bool { return r.ID != "old" && r.Action == wanted.ID }) {
				t.Error("a second referral was opened for the same action")
			}
		})
	}
}

// Many sign exams of one person at once, while facts come in. Every exam is
// kept, no referral is opened twice, and the row is that of the whole record.
func TestSigningAtTheSameTimeLosesNothing(t *testing.T) {
	ctx := context.Background()
	p := newPractice(t)
	p.withDiabetes("p1")
	var wg sync.WaitGroup
	const many = 5
	for i := range many {
		wg.Go(func() {
			d := example(infected, "p1", fmt.Sprintf("e%d", i), fmt.Sprintf("2026-05-0%dT09:00:00-05:00", i%3+1))
			if _, err := p.Sign(ctx, nurse, d, fmt.Sprint("k", i)); err != nil {
				t.Error(err)
			}
		})
	}
	wg.Go(func() {
		for i := range many {
			_, err := p.store.SaveImport(ctx, clinic.ImportBatch{Facts: []clinic.PersonFact{{Person: "p1", Fact: record.Fact{Kind: record.Observation, Key: fmt.Sprint("Observation/", i)}}}})
			if err != nil {
				t.Error(err)
			}
		}
	})
	wg.Wait()
	if err := p.Refresh(ctx); err != nil {
		t.Fatal(err)
	}
	chart := p.open("p1")
	same(t, "exams", len(chart.Record.Exams), many)
	actions := map[string]bool{}
	for _, r := range chart.Record.Referrals {
		if actions[r.Action] {
			t.Errorf("%s was opened twice", r.Action)
		}
		actions[r.Action] = true
	}
	same(t, "row", p.row("p1"), chart.Standing)
}
