package plan_test

import (
	"strings"
	"testing"

	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
)

// Intervals: IWGDF 2019 and 2023 12, 6-12, 3-6, 1-3 months (risk reference 1.1);
// NICE NG19 yearly, 3-6, 1-2 months (5.3, second hand). The middle of a range is
// rounded down: our proposal.
func TestTheRecallIsTheChoiceOfThePracticeInsideTheRangeOfTheSource(t *testing.T) {
	for _, tc := range []struct {
		name           string
		edition        func(...string) assess.Edition
		changes        []change
		low, mid, high int
	}{
		{"IWGDF 0: yearly", us, nil, 12, 12, 12},
		{"IWGDF 1: every 6 to 12 months", us, []change{lops}, 6, 9, 12},
		{"IWGDF 2: every 3 to 6 months", us, []change{lops, deformity}, 3, 4, 6},
		{"IWGDF 3: every 1 to 3 months", us, []change{lops, pastUlcer}, 1, 2, 3},
		{"a past ulcer alone is recalled as category 3, by caution", us, []change{pastUlcer}, 1, 2, 3},
		{"NICE low: yearly", uk, nil, 12, 12, 12},
		{"NICE low with callus: yearly (NG-1)", uk, []change{skin(exam.Callus)}, 12, 12, 12},
		{"NICE moderate: every 3 to 6 months (NG-2)", uk, []change{lops}, 3, 4, 6},
		{"NICE moderate, deformity and callus (NG-4)", uk, []change{deformity, skin(exam.Callus)}, 3, 4, 6},
		{"NICE high, neuropathy and callus: every 1 to 2 months (NG-3)", uk, []change{lops, skin(exam.Callus)}, 1, 1, 2},
		{"NICE high, dialysis: every 1 to 2 months (NG-5)", uk, []change{dialysis}, 1, 1, 2},
	} {
		t.Run(tc.name, func(t *testing.T) {
			for choice, months := range map[string]int{"min": tc.low, "middle": tc.mid, "max": tc.high} {
				r := planned(tc.edition(choice), tc.changes...).Recall
				if r.MinMonths != tc.low || r.MaxMonths != tc.high || r.ChosenMonths != months {
					t.Errorf("%s: %d in %d to %d months, want %d in %d to %d", choice, r.ChosenMonths, r.MinMonths, r.MaxMonths, months, tc.low, tc.high)
				}
				if r.From != monday.AddMonths(tc.low) || r.Due != monday.AddMonths(months) || r.Overdue != monday.AddMonths(tc.high) {
					t.Errorf("%s: from %v, due %v, overdue after %v", choice, r.From, r.Due, r.Overdue)
				}
			}
		})
	}
}

// PLN-6: category 3 seen on 2025-01-31 is due from 2025-02-28 and overdue after
// 2025-04-30: a day that the month lacks becomes its last day (derived).
func TestTheEndOfAMonthStaysTheEndOfAMonth(t *testing.T) {
	for _, tc := range []struct{ on, from, due, overdue string }{
		{"2025-01-31", "2025-02-28", "2025-03-31", "2025-04-30"},
		{"2024-01-31", "2024-02-29", "2024-03-31", "2024-04-30"}, // a leap year
		{"2025-11-30", "2025-12-30", "2026-01-30", "2026-02-28"},
	} {
		r := assessed(us(), when.MustDay(tc.on), with(lops, pastUlcer)).Plan.Recall
		if r.From.String() != tc.from || r.Due.String() != tc.due || r.Overdue.String() != tc.overdue {
			t.Errorf("seen on %s: %v, %v, %v", tc.on, r.From, r.Due, r.Overdue)
		}
	}
}

// STD-5: last full exam 13 months ago is overdue (ADA 2024, yearly, second hand).
func TestAnExamOfThirteenMonthsAgoIsOverdueInEveryCategory(t *testing.T) {
	for _, changes := range [][]change{nil, {lops}, {lops, deformity}, {pastUlcer}} {
		for _, e := range []assess.Edition{us("max"), uk("max")} {
			if r := planned(e, changes...).Recall; r.Overdue >= monday.AddMonths(13) {
				t.Errorf("%s, %d findings: overdue only after %v", e.ID, len(changes), r.Overdue)
			}
		}
	}
}

func TestAClinicianSetsTheRecallAndGivesTheReason(t *testing.T) {
	set := func(category string) change {
		return func(p *person) {
			p.Override = &exam.Override{Category: category, Reason: "lives alone", By: exam.Person{Name: "Dr Demo"}}
		}
	}
	r := planned(us(), set("2")).Recall
	if r.MaxMonths != 6 || !says(r.Because, "A clinician set category 2 (moderate risk): lives alone") || !says(r.Because, "Risk category 0") {
		t.Errorf("raised: %+v", r)
	}
	if r := planned(us(), pastUlcer, lops, set("1")).Recall; r.MaxMonths != 12 {
		t.Errorf("lowered: %+v", r)
	}
	if r := planned(uk(), set("high")).Recall; r.MaxMonths != 2 {
		t.Errorf("in the words of NICE: %+v", r)
	}
	// A category of another edition's system sets nothing.
	if r := planned(uk(), set("2")).Recall; r.MaxMonths != 12 || says(r.Because, "A clinician set") {
		t.Errorf("a category that NICE does not have: %+v", r)
	}
}

// With an active problem the recall follows the highest category, also where a
// clinician set a lower one: our proposal.
func TestAnActiveProblemIsRecalledAsTheHighestCategory(t *testing.T) {
	low := func(p *person) { p.Override = &exam.Override{Category: "0", Reason: "a slip"} }
	if r := planned(us(), ulcer).Recall; r.MaxMonths != 3 { // an ulcer counts as a past one too
		t.Errorf("ulcer: %+v", r)
	}
	for name, changes := range map[string][]change{"Charcot": {charcotFoot}, "ulcer and a lower override": {ulcer, low}} {
		if r := planned(us(), changes...).Recall; r.MaxMonths != 3 || !says(r.Because, "active foot problem") {
			t.Errorf("%s: %+v", name, r)
		}
	}
	if r := planned(uk(), ulcer).Recall; r.MaxMonths != 2 {
		t.Errorf("by NICE: %+v", r)
	}
}

func TestUnsettledRiskIsRecalledByTheHighestThatIsPossible(t *testing.T) {
	r := planned(us(), lops, func(p *person) { p.Ask.UlcerHistory = 0 }).Recall
	if r.MaxMonths != 3 || !says(r.Because, "not settled") {
		t.Errorf("%+v", r)
	}
}

func TestASystemWithoutAnIntervalIsRecalledYearly(t *testing.T) {
	e := us()
	e.Risk = "podus-2020" // the source gives no recall (risk reference 6.2)
	r := planned(e, lops).Recall
	if r.MinMonths != 12 || r.MaxMonths != 12 || !says(r.Because, "at least yearly") {
		t.Errorf("%+v", r)
	}
}

func TestTwoLostFeetAreSaidAndStillSeen(t *testing.T) {
	r := planned(us(), func(p *person) {
		p.Right, p.Left = exam.Foot{Loss: foot.Loss{Level: foot.BelowKnee}}, exam.Foot{Loss: foot.Loss{Level: foot.AboveKnee}}
		p.Ask.AmputationHistory = yes
	}).Recall
	if r.MaxMonths == 0 || !says(r.Because, "Both feet are gone") {
		t.Errorf("%+v", r)
	}
}

// STD-1 to STD-3 and risk reference 4.1 and 4.2: 2016 lists a past ulcer or
// amputation, deformity, insensate feet and PAD, 2024 only sensory loss and a
// past ulcer or amputation (both second hand). The plan takes the union.
func TestFeetAreLookedAtEveryVisitByTheUnionOfTwoEditions(t *testing.T) {
	for _, tc := range []struct {
		name   string
		change change
		want   bool
		source string
	}{
		{"nothing found", func(*person) {}, false, ""},
		{"STD-1: deformity only, by 2016 alone", deformity, true, "ada-standards-2016"},
		{"STD-2: past amputation, by both", toeLost, true, "ada-standards-2024"},
		{"past ulcer, by both", pastUlcer, true, "ada-standards-2024"},
		{"sensory loss, by both", lops, true, "ada-standards-2024"},
		{"artery disease (an absent pulse), by 2016 alone", noPulse, true, "ada-standards-2016"},
		{"smoking, by neither", smoker, false, ""},
		{"dialysis, by neither", dialysis, false, ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			r := planned(us(), tc.change).Recall
			if r.EveryVisit != tc.want {
				t.Errorf("every visit: %v", r.EveryVisit)
			}
			cited := ""
			for _, reason := range r.Because {
				if strings.HasPrefix(reason.Says, "Shoes and socks off") {
					cited = reason.Source.ID
				}
			}
			if cited != tc.source {
				t.Errorf("cites %q, want %q", cited, tc.source)
			}
		})
	}
}

func says(b source.Because, part string) bool {
	for _, r := range b {
		if strings.Contains(r.Says, part) {
			return true
		}
	}
	return false
}
