package assess

import (
	"testing"

	"tengram/internal/kernel/danger"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/plan"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
)

var examDay = when.MustDay("2026-03-02")

// full is an exam of two whole feet with everything asked and tested normal.
func full() exam.Draft {
	no := known.AnswerNo
	d := exam.Draft{
		Schema: exam.SchemaID, ID: "11111111-1111-4111-8111-111111111111", Revision: 1, Patient: "p1",
		At: when.MustMoment("2026-03-02T09:00:00-05:00"), Examiner: exam.Person{Name: "Demo Nurse"}, Protocol: neuro.FourSites,
		Ask: exam.Ask{
			UlcerHistory: no, AmputationHistory: no, CharcotHistory: no, Revascularised: no, PADDiagnosed: no,
			Retinopathy: no, LowVision: no, KidneyDisease: no, KidneyFailure: no, Dialysis: no, Transplant: no,
			Smoking: exam.NeverSmoked, GlucoseAboveTarget: no, Numbness: no, Pain: no, Claudication: no, RestPain: no,
			CannotReach: no, Helper: known.AnswerYes, DailyCheck: known.AnswerYes, Barefoot: no, VenousDisease: no, OtherNeuropathy: no,
		},
		Footwear: exam.Footwear{Suitable: known.Normal},
		Teach:    exam.Teach{Given: known.AnswerYes, TaughtBack: known.AnswerYes},
	}
	for _, s := range foot.Sides {
		f := d.Foot(s)
		f.Loss.Level = foot.Whole
		f.Look = exam.Look{Skin: known.Normal, Wound: known.Normal, Gangrene: wound.NoGangrene, Nails: known.Normal,
			Shape: known.Normal, Mobility: known.Normal, Wasting: known.Normal, Redness: no}
		f.Feel = exam.Feel{Arteries: perfusion.Leg{DP: perfusion.PulsePresent, PT: perfusion.PulsePresent, CapillaryRefill: known.Normal},
			Oedema: known.Normal, Warm: no, Swollen: no, SuddenlyCold: no}
		for _, site := range d.Protocol.Sites() {
			f.Test.Filament[site] = known.Normal
		}
		f.Test.Vibration = known.Normal
	}
	return d
}

func judge(d exam.Draft) Assessment {
	return Assess(Input{Exam: &d, Edition: DefaultEdition(), On: examDay})
}

func TestAWhollyNormalExamIsVeryLowRiskAndDueInAYear(t *testing.T) {
	a := judge(full())
	// IWGDF 2023 table, second hand (risk reference 1.1): no LOPS, no PAD, yearly.
	if r := a.Risk(); !r.Settled() || r.Low.Code != "0" || r.Cautious != nil {
		t.Errorf("risk %+v", r)
	}
	if len(a.Flags) != 0 || len(a.Findings) != 0 || len(a.Missing) != 0 {
		t.Errorf("flags %v, findings %v, missing %v", a.Flags, a.Findings, a.Missing)
	}
	if got := a.Plan.Recall; got.Due.String() != "2027-03-02" || got.Overdue.String() != "2027-03-02" || got.EveryVisit {
		t.Errorf("recall %+v", got)
	}
	if a.Disagreement != "" {
		t.Errorf("systems disagree over a normal foot: %s", a.Disagreement)
	}
}

func TestNothingRecordedConcludesNothing(t *testing.T) {
	d := exam.Draft{Schema: exam.SchemaID, Protocol: neuro.FourSites}
	a := judge(d)
	low, high := a.Risk().ForPlan()
	if low.Rank != 0 || high.Rank != 3 {
		t.Errorf("an empty exam lies between %d and %d, want 0 and 3", low.Rank, high.Rank)
	}
	if a.LOPS.LOPS.Known() || a.PAD.PAD.Known() {
		t.Errorf("LOPS %v, PAD %v from nothing", a.LOPS.LOPS, a.PAD.PAD)
	}
	if a.Plan.Recall.MaxMonths != 3 {
		t.Errorf("the recall must follow the highest category possible: %+v", a.Plan.Recall)
	}
	if !hasAction(a, "complete-exam") {
		t.Error("nobody is asked to complete the exam")
	}
}

// Expected categories: IWGDF table (risk reference 1.1 and 1.4); NG19 levels and
// times (5.2, 5.3, second hand).
func TestFindingsReachCategoryRecallAndReferral(t *testing.T) {
	rows := []struct {
		name         string
		change       func(*exam.Draft)
		literal, cat string
		months       int // maximum of the recall interval
		specialist   danger.Urgency
	}{
		{"LOPS only", func(d *exam.Draft) { d.Left.Test.Filament[neuro.SiteMTH1] = known.Abnormal }, "1", "1", 12, danger.EightWeeks},
		{"LOPS and deformity", func(d *exam.Draft) {
			d.Left.Test.Filament[neuro.SiteMTH1] = known.Abnormal
			d.Right.Look.Shape, d.Right.Look.Deformities = known.Abnormal, []exam.Deformity{exam.ClawToe}
		}, "2", "2", 6, danger.FourWeeks},
		{"an absent pulse", func(d *exam.Draft) { d.Right.Feel.Arteries.DP = perfusion.PulseAbsent }, "1", "1", 12, danger.EightWeeks},
		{"LOPS with a past ulcer", func(d *exam.Draft) {
			d.Left.Test.Filament[neuro.SiteMTH1] = known.Abnormal
			d.Ask.UlcerHistory = known.AnswerYes
		}, "3", "3", 3, danger.FourWeeks},
		{"a past ulcer alone is literally 0 and planned as 3", func(d *exam.Draft) { d.Ask.UlcerHistory = known.AnswerYes }, "0", "3", 3, danger.FourWeeks},
		{"dialysis alone is literally 0 and planned as 3", func(d *exam.Draft) { d.Ask.KidneyFailure, d.Ask.Dialysis = known.AnswerYes, known.AnswerYes }, "0", "3", 3, danger.FourWeeks},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			d := full()
			r.change(&d)
			a := judge(d)
			low, high := a.Risk().ForPlan()
			if a.Risk().Low.Code != r.literal || low.Code != r.cat || high.Code != r.cat {
				t.Errorf("literal %s, planned %s to %s; want %s and %s", a.Risk().Low.Code, low.Code, high.Code, r.literal, r.cat)
			}
			if a.Plan.Recall.MaxMonths != r.months {
				t.Errorf("recall within %d months, want %d", a.Plan.Recall.MaxMonths, r.months)
			}
			for _, act := range a.Plan.Actions {
				if act.ID == "refer-foot-specialist" && act.Urgency != r.specialist {
					t.Errorf("specialist %v, want %v", act.Urgency, r.specialist)
				}
			}
			if !hasAction(a, "refer-foot-specialist") {
				t.Error("no referral to a foot specialist")
			}
		})
	}
}

func TestWeakPulsesAskForPressures(t *testing.T) {
	d := full()
	d.Left.Feel.Arteries.PT = perfusion.PulseWeak
	if !hasAction(judge(d), "test-pressures") {
		t.Error("a weak pulse asks for no pressures (ADA 2016, second hand)")
	}
	d = full()
	d.Ask.Claudication = known.AnswerYes
	if !hasAction(judge(d), "test-pressures") {
		t.Error("claudication asks for no pressures (ADA 2016, second hand)")
	}
}

func TestAnOverrideStandsBesideTheComputedCategory(t *testing.T) {
	d := full()
	d.Override = &exam.Override{Category: "2", Reason: "very frail", By: exam.Person{Name: "Dr Demo"}}
	a := judge(d)
	if a.Risk().Low.Code != "0" || a.Override.Category != "2" || a.Plan.Recall.MaxMonths != 6 {
		t.Errorf("computed %s, override %v, recall %d", a.Risk().Low.Code, a.Override, a.Plan.Recall.MaxMonths)
	}
}

func TestTheRecordsYesStandsAgainstTodaysNo(t *testing.T) {
	d := full()
	a := Assess(Input{Exam: &d, Edition: DefaultEdition(), On: examDay,
		Background: exam.Background{UlcerHistory: exam.Item{Is: known.Yes, From: "Z86.31, 2019"}}})
	if _, high := a.Risk().ForPlan(); high.Code != "3" {
		t.Errorf("an ulcer on the problem list gives category %s", high.Code)
	}
}

func TestAFootThatTheRecordSaysIsGoneIsNotAskedFor(t *testing.T) {
	d := full()
	d.Left, d.Ask.AmputationHistory = exam.Foot{}, 0
	bg := exam.Background{Amputation: exam.Item{Is: known.Yes, From: "Z89.512"}}
	bg.Loss[foot.Left] = foot.Loss{Level: foot.BelowKnee}
	a := Assess(Input{Exam: &d, Edition: DefaultEdition(), On: examDay, Background: bg})
	if !a.LOPS.Feet[foot.Left].Gone || a.LOPS.LOPS != known.No {
		t.Errorf("LOPS %+v", a.LOPS)
	}
	if !d.Left.IsZero() {
		t.Error("the exam itself was changed")
	}
	d.Left.Test.Filament[neuro.SiteHallux] = known.Abnormal
	if a := Assess(Input{Exam: &d, Edition: DefaultEdition(), On: examDay, Background: bg}); a.LOPS.LOPS != known.Yes {
		t.Error("a finding of today is lost to an old code")
	}
}

func TestDeadlinesCountFromTheDayOfTheExam(t *testing.T) {
	friday := when.MustDay("2026-03-06")
	want := map[danger.Urgency]string{
		danger.Now: "2026-03-06", danger.SameDay: "2026-03-06", danger.OneWorkingDay: "2026-03-09", danger.FourDays: "2026-03-10",
		danger.TwoWeeks: "2026-03-20", danger.FourWeeks: "2026-04-03", danger.EightWeeks: "2026-05-01", danger.ThreeMonths: "2026-06-06", danger.Routine: "",
	}
	for u, day := range want {
		if got := plan.Deadline(friday, u).String(); got != day {
			t.Errorf("%v from Friday 2026-03-06 is %s, want %s", u, got, day)
		}
	}
}

func hasAction(a Assessment, id string) bool {
	for _, act := range a.Plan.Actions {
		if act.ID == id {
			return true
		}
	}
	return false
}

func TestWhatIsMissingNamesAFieldOfTheDocument(t *testing.T) {
	d := full()
	d.Left.Look.Shape, d.Ask.UlcerHistory = 0, 0
	d.Right.Test.Filament[neuro.SiteHallux] = known.Abnormal
	for _, m := range judge(d).Missing {
		if m.Purpose == exam.ForRisk && (m.Field == "left.look.shape" || m.Field == "ask.ulcer-history") {
			continue
		}
		if m.Purpose == exam.ForRisk {
			t.Errorf("missing for the risk: %+v", m)
		}
	}
}

// A page asks for an assessment at every keystroke: what it allocates is held
// where it was measured, with a little room.
func TestAFullExamAllocatesLittle(t *testing.T) {
	d := full()
	lossOfSensation(&d)
	in := Input{Exam: &d, Edition: DefaultEdition(), On: examDay}
	if n := testing.AllocsPerRun(100, func() { Assess(in) }); n > 80 {
		t.Errorf("%v allocations for one exam, 80 are allowed", n)
	}
}
