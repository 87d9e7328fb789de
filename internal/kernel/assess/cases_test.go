package assess

import (
	"slices"
	"strings"
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

// cleanUlcer adds a superficial, uninfected, wholly described ulcer of the left
// foot in a person without fever.
func cleanUlcer(d *exam.Draft) {
	no := known.AnswerNo
	d.Vitals = wound.Systemic{TemperatureC: known.TenthsOf(368), HeartRate: known.Value(72), RespiratoryRate: known.Value(14), Unwell: no}
	d.Ask.RestPainNew = no
	d.Left.Look.Wound = known.Abnormal
	d.Ulcers = []wound.Ulcer{{
		ID: "u1", Side: foot.Left, Place: foot.MTH1, Since: when.MustMoment("2026-03-01"), Depth: wound.SkinOnly, ProbeToBone: no, Healed: no,
		Size:      wound.Size{LengthMM: known.Value(10), WidthMM: known.Value(8), Method: wound.Ellipse},
		Infection: wound.Infection{Swelling: no, ErythemaMM: known.Value(0), Tenderness: no, Warmth: no, Pus: no, Deep: no, Bone: no, Spreading: no, Crepitus: no},
	}}
}

func leftPressures(ankle, toe int) func(*exam.Draft) {
	return func(d *exam.Draft) {
		d.Arms = perfusion.Arms{Right: known.Value(130), Left: known.Value(128)}
		a := &d.Left.Feel.Arteries
		a.AnkleDP, a.AnklePT, a.ToePressure = known.Value(ankle), known.Value(ankle), known.Value(toe)
	}
}

func lossOfSensation(d *exam.Draft) { d.Left.Test.Filament[neuro.SiteMTH1] = known.Abnormal }

// callus is on a foot whose skin is otherwise sound.
func callusSeen(d *exam.Draft) {
	d.Left.Look.Skin = known.Abnormal
	d.Left.Look.Lesions = []exam.Lesion{{Place: foot.MTH1, Kind: exam.Callus}}
}

// The check cases of tests-and-wounds 9.6 and of risk 5.6, NG-6 and NG-7, from
// the exam to the plan. Urgencies: NICE NG19 (second hand); where the fast-track
// pathway would allow longer, NICE stands.
func TestUrgentFindingsReachFlagAndReferral(t *testing.T) {
	for _, tc := range []struct {
		name    string
		changes []func(*exam.Draft)
		flags   []string // those that must be there
		worst   danger.Urgency
		first   string // the first action
		to      plan.Addressee
	}{
		{"ulcer with 38.5 degrees: emergency", []func(*exam.Draft){cleanUlcer, func(d *exam.Draft) { d.Vitals.TemperatureC = known.TenthsOf(385) }},
			[]string{"ulcer-with-fever", "open-ulcer"}, danger.Now, "act-now", plan.EmergencyCare},
		{"NG-7 and 9.6: dry black toe, well, no ulcer: immediate", []func(*exam.Draft){func(d *exam.Draft) { d.Right.Look.Gangrene = wound.ToeGangrene }},
			[]string{"gangrene"}, danger.Now, "act-now", plan.EmergencyCare},
		{"NG-6 and 9.6: clean superficial ulcer, afebrile, good pulses, day 1: within 1 working day", []func(*exam.Draft){cleanUlcer},
			[]string{"open-ulcer"}, danger.OneWorkingDay, "off-load-ulcer", plan.FootTeam},
		{"ulcer with a toe pressure of 28: immediate", []func(*exam.Draft){cleanUlcer, leftPressures(130, 28)},
			[]string{"ulcer-with-ischaemia"}, danger.Now, "act-now", plan.EmergencyCare},
		{"MIL-3: hot, red, swollen foot with intact skin: urgent (the tier is from memory; the time is NICE's)", []func(*exam.Draft){func(d *exam.Draft) {
			d.Left.Feel.Warm, d.Left.Feel.Swollen, d.Left.Look.Redness = known.AnswerYes, known.AnswerYes, known.AnswerYes
		}}, []string{"hot-red-swollen-foot"}, danger.OneWorkingDay, "refer-foot-team", plan.FootTeam},
	} {
		t.Run(tc.name, func(t *testing.T) {
			for _, edition := range Editions() {
				d := full()
				for _, c := range tc.changes {
					c(&d)
				}
				a := Assess(Input{Exam: &d, Edition: edition, On: examDay})
				var ids []string
				for _, f := range a.Flags {
					ids = append(ids, f.ID)
				}
				for _, want := range tc.flags {
					if !slices.Contains(ids, want) {
						t.Errorf("%s: flags %v lack %s", edition.ID, ids, want)
					}
				}
				if len(a.Flags) == 0 || a.Flags[0].Urgency != tc.worst {
					t.Fatalf("%s: flags %v, want %v first", edition.ID, a.Flags, tc.worst)
				}
				first := a.Plan.Actions[0]
				if first.ID != tc.first || first.To != tc.to || first.Due != plan.Deadline(examDay, tc.worst) {
					t.Errorf("%s: first action %s to %s by %v", edition.ID, first.ID, first.To, first.Due)
				}
				if a.Active == "" {
					t.Errorf("%s: nothing says that the flag comes before the category", edition.ID)
				}
			}
		})
	}
}

// 9.6: the same ulcer at day 15 and no smaller is referred by both rules: by
// NICE as an ulcer, by the fast-track pathway as one that does not heal.
func TestAnUlcerThatIsNoSmallerAfterTwoWeeksIsReferredByBothRules(t *testing.T) {
	d := full()
	cleanUlcer(&d)
	d.Ulcers[0].Since = when.MustMoment("2026-02-15")
	before := d.Ulcers[0]
	a := Assess(Input{Exam: &d, Edition: DefaultEdition(), On: examDay, Background: exam.Background{
		Ulcers: []exam.PastUlcer{{On: "2026-02-15", Ulcer: before}},
	}})
	cited := map[string]bool{}
	for _, act := range a.Plan.Actions {
		if act.ID == "refer-foot-team" || act.ID == "review-ulcer-care" {
			for _, r := range act.Because {
				if r.Source != nil {
					cited[r.Source.ID] = true
				}
			}
		}
	}
	if !cited["nice-ng19"] || !cited["fast-track-2021"] {
		t.Errorf("cites %v", cited)
	}
}

// An ulcer that was open at an earlier exam stays a flag until somebody looks.
func TestAnUlcerOfAnEarlierExamThatNobodyLookedAtIsFlagged(t *testing.T) {
	d := full()
	cleanUlcer(&d)
	past := exam.Background{Ulcers: []exam.PastUlcer{{On: "2026-02-01", Ulcer: d.Ulcers[0]}}}
	d = full()
	d.Left.Look.Wound = known.NotDone
	a := Assess(Input{Exam: &d, Edition: DefaultEdition(), On: examDay, Background: past})
	if len(a.Flags) != 1 || a.Flags[0].ID != "open-ulcer" || !a.Flags[0].Suspected {
		t.Errorf("flags %+v", a.Flags)
	}
	d.Left.Look.Wound = known.Normal
	if a := Assess(Input{Exam: &d, Edition: DefaultEdition(), On: examDay, Background: past}); len(a.Flags) != 0 {
		t.Errorf("looked at and closed, flags %+v", a.Flags)
	}
}

// tests-and-wounds 9.6 and risk 5.5: where NICE, IWGDF and ADA differ over one
// person. Levels and times of NICE second hand; the cautious 3 is ours.
func TestSystemsDifferOverOnePerson(t *testing.T) {
	toe := func(d *exam.Draft) {
		d.Ask.AmputationHistory = known.AnswerYes
		d.Right.Loss = foot.Loss{Level: foot.ToesOnly, Toes: foot.ToesOf(2)}
	}
	for _, tc := range []struct {
		name                        string
		changes                     []func(*exam.Draft)
		nice, literal, planned, ada string
		specialist                  danger.Urgency // of the referral
	}{
		{"LOPS and callus", []func(*exam.Draft){lossOfSensation, callusSeen}, "high", "1", "1", "1", danger.FourWeeks},
		{"PAD only", []func(*exam.Draft){leftPressures(104, 80)}, "moderate", "1", "1", "2", danger.EightWeeks},
		{"LOPS and PAD", []func(*exam.Draft){lossOfSensation, leftPressures(104, 80)}, "high", "2", "2", "2", danger.FourWeeks},
		{"toe amputation without LOPS and PAD", []func(*exam.Draft){toe}, "high", "0", "3", "3", danger.FourWeeks},
		{"callus only", []func(*exam.Draft){callusSeen}, "low", "0", "0", "0", danger.Routine},
	} {
		t.Run(tc.name, func(t *testing.T) {
			d := full()
			for _, c := range tc.changes {
				c(&d)
			}
			a := judge(d)
			iwgdf, nice, ada := a.risk("iwgdf-2023"), a.risk("nice-ng19"), a.risk("ada-2008")
			_, planned := iwgdf.ForPlan()
			if nice.High.Code != tc.nice || iwgdf.High.Code != tc.literal || planned.Code != tc.planned || ada.High.Code != tc.ada || !nice.Settled() {
				t.Errorf("NICE %s, IWGDF %s planned as %s, ADA %s", nice.High.Code, iwgdf.High.Code, planned.Code, ada.High.Code)
			}
			specialist := danger.Routine
			for _, act := range a.Plan.Actions {
				if act.ID == "refer-foot-specialist" {
					specialist = act.Urgency
				}
			}
			if specialist != tc.specialist {
				t.Errorf("specialist %v, want %v", specialist, tc.specialist)
			}
		})
	}
}

// tests-and-wounds 10.4: with closed skin a blister or a fissure is
// pre-ulcerative; once it reaches the dermis it is recorded, and flagged, as an
// ulcer.
func TestWhatIsNotYetAnUlcer(t *testing.T) {
	for _, kind := range []exam.LesionKind{exam.Blister, exam.Fissure} {
		d := full()
		lossOfSensation(&d)
		d.Left.Look.Skin, d.Left.Look.Lesions = known.Abnormal, []exam.Lesion{{Place: foot.Heel, Kind: kind}}
		a := judge(d)
		if len(a.Flags) != 0 || len(a.Ulcers) != 0 || !hasAction(a, "treat-pre-ulcer") {
			t.Errorf("%v: flags %v, ulcers %d", kind, a.Flags, len(a.Ulcers))
		}
	}
	d := full()
	cleanUlcer(&d)
	if a := judge(d); len(a.Ulcers) != 1 || !slices.ContainsFunc(a.Flags, func(f danger.Flag) bool { return f.ID == "open-ulcer" }) {
		t.Error("a break into the dermis is no ulcer")
	}
}

// MIL-1: the three minutes filled is complete; the second without any nerve
// test is not (components of Miller 2014, confirmed; its referral tiers are
// from memory and used nowhere).
func TestAnExamWithoutANerveTestIsIncomplete(t *testing.T) {
	d := full()
	if a := judge(d); len(a.Missing) != 0 {
		t.Errorf("a full exam lacks %v", a.Missing)
	}
	for _, s := range foot.Sides {
		d.Foot(s).Test = neuro.Foot{}
	}
	purposes := map[exam.Purpose]bool{}
	for _, m := range judge(d).Missing {
		if strings.Contains(m.Field, "test") {
			purposes[m.Purpose] = true
		}
	}
	for _, p := range []exam.Purpose{exam.ForRisk, exam.ForMeasure, exam.ForComprehensive} {
		if !purposes[p] {
			t.Errorf("the missing nerve test is not missed for %s", p)
		}
	}
}
