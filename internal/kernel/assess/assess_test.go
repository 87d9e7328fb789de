package assess

import (
	"encoding/json"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"tengram/internal/kernel/danger"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/plan"
	"tengram/internal/kernel/risk"
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

// worsenings are single steps from a finding to a worse one.
var worsenings = []struct {
	name   string
	change func(*exam.Draft)
}{
	{"filament lost left", func(d *exam.Draft) { d.Left.Test.Filament[neuro.SiteMTH5] = known.Abnormal }},
	{"filament lost right", func(d *exam.Draft) { d.Right.Test.Filament[neuro.SiteHallux] = known.Abnormal }},
	{"fork lost", func(d *exam.Draft) { d.Left.Test.Vibration = known.Abnormal }},
	{"pulse lost left", func(d *exam.Draft) { d.Left.Feel.Arteries.DP = perfusion.PulseAbsent }},
	{"pulse lost right", func(d *exam.Draft) { d.Right.Feel.Arteries.PT = perfusion.PulseAbsent }},
	{"claudication", func(d *exam.Draft) { d.Ask.Claudication = known.AnswerYes }},
	{"rest pain", func(d *exam.Draft) { d.Ask.RestPain = known.AnswerYes }},
	{"deformity", func(d *exam.Draft) {
		d.Right.Look.Shape, d.Right.Look.Deformities = known.Abnormal, []exam.Deformity{exam.HammerToe}
	}},
	{"callus", func(d *exam.Draft) {
		d.Left.Look.Skin = known.Abnormal
		d.Left.Look.Lesions = append(d.Left.Look.Lesions, exam.Lesion{Place: foot.MTH1, Kind: exam.Callus})
	}},
	{"blister", func(d *exam.Draft) {
		d.Right.Look.Skin = known.Abnormal
		d.Right.Look.Lesions = append(d.Right.Look.Lesions, exam.Lesion{Place: foot.Heel, Kind: exam.Blister})
	}},
	{"past ulcer", func(d *exam.Draft) { d.Ask.UlcerHistory = known.AnswerYes }},
	{"past Charcot", func(d *exam.Draft) { d.Ask.CharcotHistory = known.AnswerYes }},
	{"dialysis", func(d *exam.Draft) { d.Ask.KidneyFailure, d.Ask.Dialysis = known.AnswerYes, known.AnswerYes }},
	{"smoking", func(d *exam.Draft) { d.Ask.Smoking = exam.CurrentSmoker }},
	{"gangrene", func(d *exam.Draft) { d.Left.Look.Gangrene = wound.ToeGangrene }},
	{"open wound", func(d *exam.Draft) { d.Right.Look.Wound = known.Abnormal }},
	{"suddenly cold", func(d *exam.Draft) { d.Right.Feel.SuddenlyCold = known.AnswerYes }},
	{"warm and swollen", func(d *exam.Draft) { d.Left.Feel.Warm, d.Left.Feel.Swollen = known.AnswerYes, known.AnswerYes }},
	{"fever", func(d *exam.Draft) { d.Vitals.TemperatureC = known.TenthsOf(386) }},
	{"cannot see", func(d *exam.Draft) { d.Ask.LowVision = known.AnswerYes }},
}

func drawWorse(t *rapid.T) (exam.Draft, []int) {
	d := full()
	picked := rapid.SliceOfDistinct(rapid.IntRange(0, len(worsenings)-1), rapid.ID[int]).Draw(t, "findings")
	for _, i := range picked {
		worsenings[i].change(&d)
	}
	return d, picked
}

func TestAWorseFindingNeverLowersRiskNorDelaysAnAction(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, _ := drawWorse(t)
		worse := clone(d)
		step := worsenings[rapid.IntRange(0, len(worsenings)-1).Draw(t, "step")]
		step.change(&worse)
		a, b := judge(d), judge(worse)
		for i := range a.Risks {
			aLow, aHigh := a.Risks[i].ForPlan()
			bLow, bHigh := b.Risks[i].ForPlan()
			if a.Risks[i].Undefined || b.Risks[i].Undefined {
				continue // the published text has no row to compare
			}
			if bLow.Rank < aLow.Rank || bHigh.Rank < aHigh.Rank {
				t.Errorf("%s: %s falls from %d..%d to %d..%d", step.name, a.Risks[i].System, aLow.Rank, aHigh.Rank, bLow.Rank, bHigh.Rank)
			}
		}
		if b.Plan.Recall.Overdue > a.Plan.Recall.Overdue {
			t.Errorf("%s: the next exam moves from %v to %v", step.name, a.Plan.Recall.Overdue, b.Plan.Recall.Overdue)
		}
		for _, before := range a.Plan.Actions {
			for _, after := range b.Plan.Actions {
				if after.ID == before.ID && after.Urgency > before.Urgency {
					t.Errorf("%s: %s moves from %v to %v", step.name, before.ID, before.Urgency, after.Urgency)
				}
			}
		}
		if len(a.Flags) > 0 && (len(b.Flags) == 0 || b.Flags[0].Urgency > a.Flags[0].Urgency) {
			t.Errorf("%s: the most urgent flag is softened", step.name)
		}
	})
}

func TestActionsAreUniqueOrderedAndExplained(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, _ := drawWorse(t)
		a := judge(d)
		seen := map[string]bool{}
		for i, act := range a.Plan.Actions {
			if seen[act.ID] {
				t.Errorf("action %s twice", act.ID)
			}
			seen[act.ID] = true
			if i > 0 && (a.Plan.Actions[i-1].Urgency > act.Urgency) {
				t.Errorf("action %s stands out of order", act.ID)
			}
			sourced := false
			for _, r := range act.Because {
				sourced = sourced || r.Source != nil
			}
			if act.Says == "" || !sourced {
				t.Errorf("action %s has no words or no source: %+v", act.ID, act.Because)
			}
		}
		if again := judge(d); !reflect.DeepEqual(a, again) {
			t.Error("the same exam gives two answers")
		}
		if _, err := json.Marshal(a); err != nil {
			t.Errorf("cannot be written: %v", err)
		}
	})
}

func TestTheMirroredExamHasTheMirroredAnswer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, _ := drawWorse(t)
		m := clone(d)
		m.Right, m.Left = m.Left, m.Right
		a, b := judge(d), judge(m)
		for i := range a.Risks {
			if a.Risks[i].Low.Rank != b.Risks[i].Low.Rank || a.Risks[i].High.Rank != b.Risks[i].High.Rank {
				t.Errorf("%s differs in the mirror", a.Risks[i].System)
			}
		}
		if !reflect.DeepEqual(actionTimes(a), actionTimes(b)) {
			t.Errorf("the plan differs in the mirror: %v and %v", actionTimes(a), actionTimes(b))
		}
		for _, s := range foot.Sides {
			if a.LOPS.Feet[s].LOPS != b.LOPS.Feet[s.Other()].LOPS || a.PAD.Legs[s].Level != b.PAD.Legs[s.Other()].Level {
				t.Errorf("the %v foot is not the mirror's %v foot", s, s.Other())
			}
		}
	})
}

func actionTimes(a Assessment) map[string]danger.Urgency {
	m := map[string]danger.Urgency{}
	for _, act := range a.Plan.Actions {
		m[act.ID] = act.Urgency
	}
	return m
}

// blanks are single answers that can be taken back to "not recorded".
var blanks = []func(*exam.Draft){
	func(d *exam.Draft) { d.Ask.UlcerHistory = 0 },
	func(d *exam.Draft) { d.Ask.KidneyFailure, d.Ask.Dialysis = 0, 0 },
	func(d *exam.Draft) { d.Ask.AmputationHistory, d.Right.Loss, d.Left.Loss = 0, foot.Loss{}, foot.Loss{} },
	func(d *exam.Draft) { d.Left.Test.Filament, d.Left.Test.Vibration = neuro.Filament{}, 0 },
	func(d *exam.Draft) { d.Right.Test.Filament[neuro.SiteHallux] = 0 },
	func(d *exam.Draft) { d.Right.Feel.Arteries = perfusion.Leg{} },
	func(d *exam.Draft) { d.Left.Look.Shape, d.Left.Look.Deformities, d.Left.Look.Mobility = 0, nil, 0 },
	func(d *exam.Draft) { d.Ask.Claudication = 0 },
	func(d *exam.Draft) { d.Left.Look.Skin, d.Left.Look.Lesions = 0, nil },
	func(d *exam.Draft) { d.Ask.Transplant = 0 },
}

func TestLearningAnUnknownNeverLeavesTheInterval(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole, _ := drawWorse(t)
		partial := clone(whole)
		for _, i := range rapid.SliceOfDistinct(rapid.IntRange(0, len(blanks)-1), rapid.ID[int]).Draw(t, "blanks") {
			blanks[i](&partial)
		}
		a, b := judge(partial), judge(whole)
		for i := range a.Risks {
			if a.Risks[i].Undefined || b.Risks[i].Undefined {
				continue
			}
			aLow, aHigh := a.Risks[i].ForPlan()
			bLow, bHigh := b.Risks[i].ForPlan()
			if bLow.Rank < aLow.Rank || bHigh.Rank > aHigh.Rank {
				t.Errorf("%s: %d..%d becomes %d..%d when more is known", a.Risks[i].System, aLow.Rank, aHigh.Rank, bLow.Rank, bHigh.Rank)
			}
		}
	})
}

func clone(d exam.Draft) exam.Draft {
	b, err := json.Marshal(d)
	if err != nil {
		panic(err)
	}
	var c exam.Draft
	if err := json.Unmarshal(b, &c); err != nil {
		panic(err)
	}
	return c
}

func FuzzAssessAnyDocument(f *testing.F) {
	whole := full()
	for _, w := range worsenings {
		w.change(&whole)
		b, _ := json.Marshal(whole)
		f.Add(b)
	}
	f.Add([]byte(`{}`))
	f.Fuzz(func(t *testing.T, b []byte) {
		var d exam.Draft
		if json.Unmarshal(b, &d) != nil {
			return
		}
		exam.Check(d)
		for _, e := range Editions() {
			a := Assess(Input{Exam: &d, Edition: e, On: examDay})
			if len(a.Risks) != len(risk.Systems()) || a.Caution == "" {
				t.Errorf("%d risks, caution %q", len(a.Risks), a.Caution)
			}
			if a.Risk().Low.Rank > a.Risk().High.Rank {
				t.Errorf("interval upside down: %+v", a.Risk())
			}
		}
	})
}

func BenchmarkAssessFullExam(b *testing.B) {
	d := full()
	d.Left.Test.Filament[neuro.SiteMTH1] = known.Abnormal
	d.Right.Look.Shape, d.Right.Look.Deformities = known.Abnormal, []exam.Deformity{exam.ClawToe}
	in := Input{Exam: &d, Edition: DefaultEdition(), On: examDay}
	b.ReportAllocs()
	for b.Loop() {
		Assess(in)
	}
}
