package clinic_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"tengram/internal/clinic"
	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/plan"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

func TestANewExamHasNothingFilledInAsFound(t *testing.T) {
	ctx := context.Background()
	p := newPractice(t)
	p.withDiabetes("p1")
	toe := example("09-toe-amputation", "p1", "e1", "2026-04-01T09:00:00-05:00")
	p.sign(nurse, toe)
	d := must[exam.Draft](t)(p.StartExam(ctx, nurse, "p1"))
	same(t, "draft", d, exam.Draft{
		Schema: exam.SchemaID, ID: "id-1", Revision: 1, Patient: "p1", Examiner: nurse, Protocol: neuro.FourSites,
		At: when.MustMoment("2026-05-04T10:00:00.000-05:00"),
	})
	if loss := p.open("p1").Background.Loss[foot.Right]; loss.Any() != known.Yes {
		t.Errorf("the background does not know the toe that an earlier exam found lost: %+v", loss)
	}
	_, err := p.StartExam(ctx, nurse, "nobody")
	code(t, err, clinic.NotFound)
}

func TestADraftLivesUntilItIsSignedOrDropped(t *testing.T) {
	ctx := context.Background()
	p := newPractice(t)
	p.withDiabetes("p1")
	d := example(normal, "p1", "e1", "2026-05-04T09:00:00-05:00")
	if err := p.SaveDraft(ctx, nurse, d); err != nil {
		t.Fatal(err)
	}
	same(t, "draft", must[exam.Draft](t)(p.Draft(ctx, viewer, "e1")), d)
	same(t, "drafts on the chart", p.open("p1").Drafts, []exam.Draft{d})
	same(t, "all drafts", must[[]exam.Draft](t)(p.Drafts(ctx, viewer)), []exam.Draft{d})
	p.sign(nurse, d)
	_, err := p.Draft(ctx, nurse, "e1")
	code(t, err, clinic.NotFound)
	code(t, p.SaveDraft(ctx, nurse, d), clinic.Conflict)
	code(t, p.DropDraft(ctx, nurse, "e1"), clinic.NotFound)
	for name, bad := range map[string]func(*exam.Draft){
		"schema": func(d *exam.Draft) { d.Schema = "another" }, "id": func(d *exam.Draft) { d.ID = "" },
		"person": func(d *exam.Draft) { d.Patient = "" }, "revision": func(d *exam.Draft) { d.Revision = 0 },
	} {
		broken := example(normal, "p1", "e2", "2026-05-04T09:00:00-05:00")
		bad(&broken)
		if err := p.SaveDraft(ctx, nurse, broken); clinic.CodeOf(err) != clinic.Invalid {
			t.Errorf("a draft with a broken %s: %v", name, err)
		}
	}
}

func TestAPreviewJudgesAsSigningWouldAndKeepsNothing(t *testing.T) {
	ctx := context.Background()
	p := newPractice(t)
	p.withDiabetes("p1")
	d := example(bunion, "p1", "e1", "2026-05-04T09:00:00-05:00")
	before, problems, err := p.Preview(ctx, nurse, d)
	if err != nil || exam.Blocked(problems) {
		t.Fatalf("problems %v, error %v", problems, err)
	}
	same(t, "exams", len(p.open("p1").Record.Exams), 0)
	same(t, "assessment", p.sign(nurse, d).Assessment, before)

	half := exam.Draft{Schema: exam.SchemaID, ID: "e2", Revision: 1, Patient: "p1"}
	a, problems, err := p.Preview(ctx, nurse, half)
	if err != nil || !exam.Blocked(problems) {
		t.Fatalf("a draft without time and examiner: problems %v, error %v", problems, err)
	}
	if a.On != p.Today() || a.Risk().Settled() {
		t.Errorf("an empty draft is judged on %s, settled %v", a.On, a.Risk().Settled())
	}
}

func TestASignatureIsJudgedKeptAndMovesThePanel(t *testing.T) {
	ctx := context.Background()
	p := newPractice(t)
	p.withDiabetes("p1")
	if before := p.row("p1"); before.RiskLow != -1 || before.Due > p.Today() || before.LastExam != 0 {
		t.Fatalf("a person never examined stands at %+v", before)
	}
	d := example(normal, "p1", "e1", "2026-05-05T04:30:00Z") // 5 May in UTC, and still 4 May here
	kept := p.sign(nurse, d)
	day := when.MustDay("2026-05-04")
	want := assess.Assess(assess.Input{Exam: &kept.Exam.Draft, Background: p.open("p1").Background, Edition: must[assess.Edition](t)(p.Edition(ctx)), On: day})
	same(t, "assessment", kept.Assessment, want)
	same(t, "edition of the exam", kept.Exam.Edition, "us-2024")
	same(t, "signer", kept.SignedBy, nurse)
	same(t, "time", kept.SignedAt.String(), "2026-05-04T10:00:00.000-05:00")
	same(t, "exam as kept", must[[]record.SignedExam](t)(p.Exam(ctx, viewer, "e1")), []record.SignedExam{kept})
	row := p.row("p1")
	if row.RiskLow != 0 || row.RiskHigh != 0 || row.LastExam != day || row.Due != kept.Assessment.Plan.Recall.Due {
		t.Errorf("the panel says %+v, the plan %+v", row, kept.Assessment.Plan.Recall)
	}
	same(t, "row on the chart", p.open("p1").Standing, row)
	same(t, "measure on the chart", p.open("p1").Measure.Numerator, true)
}

func TestWhatCannotBeSignedSaysWhichFields(t *testing.T) {
	ctx := context.Background()
	p := newPractice(t)
	p.withDiabetes("p1")
	d := example(normal, "p1", "e1", "2026-05-04T09:00:00-05:00")
	_, err := p.Sign(ctx, nurse, d, "")
	code(t, err, clinic.Invalid)
	d.At = when.Moment{}
	_, err = p.Sign(ctx, nurse, d, "k")
	code(t, err, clinic.Invalid)
	var problems *clinic.ProblemsError
	if !errors.As(err, &problems) || len(problems.Problems) == 0 || !strings.Contains(err.Error(), "at") {
		t.Fatalf("error %v carries no problems", err)
	}
	d = example(normal, "nobody", "e1", "2026-05-04T09:00:00-05:00")
	_, err = p.Sign(ctx, nurse, d, "k")
	code(t, err, clinic.NotFound)
}

func TestTheSameRequestSignsOnce(t *testing.T) {
	ctx := context.Background()
	p := newPractice(t)
	p.withDiabetes("p1")
	d := example(infected, "p1", "e1", "2026-05-04T09:00:00-05:00")
	d.Examiner = exam.Person{}
	first, err := p.Sign(ctx, nurse, d, "key")
	if err != nil {
		t.Fatal(err)
	}
	same(t, "examiner", first.Exam.Examiner, nurse)
	p.clock = p.clock.Add(3 * time.Hour)
	if err := p.SetEdition(ctx, lead, "uk-ng19"); err != nil {
		t.Fatal(err)
	}
	again, err := p.Sign(ctx, nurse, d, "key")
	if err != nil {
		t.Fatal(err)
	}
	same(t, "answer", again, first)
	referrals := must[[]clinic.PersonReferral](t)(p.Referrals(ctx, nurse))
	same(t, "number of referrals", len(referrals), len(refers(first)))
	d.Note = "changed"
	_, err = p.Sign(ctx, nurse, d, "key")
	code(t, err, clinic.Conflict)
	same(t, "what was sent beside it", must[exam.Draft](t)(p.Draft(ctx, nurse, "e1")).Note, "changed")
}

func refers(x record.SignedExam) (list []plan.Action) {
	for _, a := range x.Assessment.Plan.Actions {
		if a.Kind == plan.Refer {
			list = append(list, a)
		}
	}
	return list
}

func TestAnAmendmentIsANewRevisionThatIsJudgedAnew(t *testing.T) {
	ctx := context.Background()
	p := newPractice(t)
	p.withDiabetes("p1")
	first := p.sign(nurse, example(clean, "p1", "e1", "2026-05-04T09:00:00-05:00"))
	_, err := p.Amend(ctx, nurse, first.Exam.Draft, "", "k")
	code(t, err, clinic.Invalid)

	d := must[exam.Draft](t)(p.StartAmendment(ctx, clinician, "e1"))
	d.Ulcers = nil
	d.Right.Look.Wound, d.Left.Look.Wound = known.Normal, known.Normal
	p.clock = p.clock.Add(time.Hour)
	second, err := p.Amend(ctx, clinician, d, "there was no ulcer", "k2")
	if err != nil {
		t.Fatal(err)
	}
	same(t, "amendment", *second.Exam.Amends, exam.Amendment{Revision: 1, Reason: "there was no ulcer", By: clinician, At: when.MustMoment("2026-05-04T10:00:00.000-05:00")})
	same(t, "revisions", must[[]record.SignedExam](t)(p.Exam(ctx, viewer, "e1")), []record.SignedExam{first, second})
	// The ulcer of the first revision is no past ulcer of the second.
	if len(second.Assessment.Ulcers) != 0 || len(p.open("p1").Background.Ulcers) != 0 {
		t.Error("an ulcer that was taken back is still there")
	}
	same(t, "open ulcers", p.row("p1").OpenUlcers, 0)
	same(t, "ulcers followed", len(must[[]clinic.UlcerRow](t)(p.Ulcers(ctx, viewer))), 0)

	t.Run("the same request again is answered", func(t *testing.T) {
		p.clock = p.clock.Add(time.Hour)
		again, err := p.Amend(ctx, clinician, d, "there was no ulcer", "k2")
		if err != nil {
			t.Fatal(err)
		}
		same(t, "answer", again, second)
	})
	t.Run("the changed document of the newest revision will do", func(t *testing.T) {
		d := second.Exam.Draft
		d.Amends, d.Note = nil, "again"
		third, err := p.Amend(ctx, nurse, d, "a note", "k3")
		if err != nil {
			t.Fatal(err)
		}
		same(t, "revision", third.Exam.Revision, 3)
		same(t, "amended by", third.Exam.Amends.By, nurse)
	})
	t.Run("from an old revision it is refused, and both can be read", func(t *testing.T) {
		d.Note = "mine"
		_, err := p.Sign(ctx, clinician, withReason(d, "late"), "k4")
		code(t, err, clinic.Conflict)
		if strings.Contains(err.Error(), "Family") {
			t.Errorf("the error names a person: %v", err)
		}
		same(t, "what was sent", must[exam.Draft](t)(p.Draft(ctx, nurse, "e1")).Note, "mine")
		same(t, "revisions", len(must[[]record.SignedExam](t)(p.Exam(ctx, viewer, "e1"))), 3)
	})
	t.Run("of nothing it is not found", func(t *testing.T) {
		_, err := p.StartAmendment(ctx, nurse, "none")
		code(t, err, clinic.NotFound)
	})
}

// A revision is judged against the rest of the record, not against what it
// replaces, even where it moves the exam to a later day.
func TestARevisionIsNoHistoryOfItself(t *testing.T) {
	ctx := context.Background()
	p := newPractice(t)
	p.withDiabetes("p1")
	d := example(normal, "p1", "e1", "2026-05-01T09:00:00-05:00")
	d.Ask.UlcerHistory = known.AnswerYes
	p.sign(nurse, d)
	d = must[exam.Draft](t)(p.StartAmendment(ctx, nurse, "e1"))
	d.Ask.UlcerHistory, d.At = known.AnswerNo, when.MustMoment("2026-05-04T09:00:00-05:00")
	second, err := p.Amend(ctx, nurse, d, "another person's ulcer, another day", "k2")
	if err != nil {
		t.Fatal(err)
	}
	plain := example(normal, "p1", "e9", "2026-05-04T09:00:00-05:00")
	p.withDiabetes("p2")
	plain.Patient = "p2"
	want := p.sign(nurse, plain)
	same(t, "risk", second.Assessment.Risk(), want.Assessment.Risk())
}

func withReason(d exam.Draft, reason string) exam.Draft {
	again := *d.Amends
	again.Reason = reason
	d.Amends = &again
	return d
}

func TestAnotherEditionJudgesTheNextExamAndNotTheLast(t *testing.T) {
	ctx := context.Background()
	p := newPractice(t)
	p.withDiabetes("p1")
	first := p.sign(nurse, example(bunion, "p1", "e1", "2026-05-01T09:00:00-05:00"))
	if err := p.SetEdition(ctx, lead, "uk-ng19"); err != nil {
		t.Fatal(err)
	}
	second := p.sign(nurse, example(bunion, "p1", "e2", "2026-05-04T09:00:00-05:00"))
	same(t, "editions", []string{first.Exam.Edition, second.Exam.Edition}, []string{"us-2024", "uk-ng19"})
	same(t, "leading systems", []string{first.Assessment.Risk().System, second.Assessment.Risk().System}, []string{"iwgdf-2023", "nice-ng19"})
	same(t, "the first as kept", must[[]record.SignedExam](t)(p.Exam(ctx, viewer, "e1")), []record.SignedExam{first})
	code(t, p.SetEdition(ctx, lead, "mars-2099"), clinic.Invalid)
	if err := p.store.SetSetting(ctx, "edition", "mars-2099", clinic.AuditLine{}); err != nil {
		t.Fatal(err)
	}
	_, err := p.Sign(ctx, nurse, example(bunion, "p1", "e3", "2026-05-04T09:00:00-05:00"), "k")
	code(t, err, clinic.Invalid)
}

func TestSettingsAreKeptAndCheckedAndMoveTheRecall(t *testing.T) {
	ctx := context.Background()
	p := newPractice(t)
	p.withDiabetes("p1")
	same(t, "defaults", must[clinic.Preferences](t)(p.Settings(ctx)), clinic.Preferences{Edition: "us-2024", RecallChoice: "middle", Protocol: neuro.FourSites})
	want := clinic.Preferences{Edition: "us-2024", RecallChoice: "min", Protocol: neuro.TenSites, Practice: "Elm “Street”", Phone: "555 0100"}
	if err := p.SetSettings(ctx, lead, want); err != nil {
		t.Fatal(err)
	}
	same(t, "settings", must[clinic.Preferences](t)(p.Settings(ctx)), want)
	same(t, "protocol of a new exam", must[exam.Draft](t)(p.StartExam(ctx, nurse, "p1")).Protocol, neuro.TenSites)
	recall := p.sign(nurse, example("03-weak-pulse", "p1", "e1", "2026-05-04T09:00:00-05:00")).Assessment.Plan.Recall
	if recall.MinMonths == recall.MaxMonths || recall.ChosenMonths != recall.MinMonths {
		t.Errorf("of %d to %d months %d were chosen, want the fewest", recall.MinMonths, recall.MaxMonths, recall.ChosenMonths)
	}
	want.RecallChoice = "soon"
	code(t, p.SetSettings(ctx, lead, want), clinic.Invalid)
}
