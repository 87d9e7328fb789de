package recall_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/plan"
	"tengram/internal/kernel/recall"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/risk"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
)

var today = when.MustDay("2026-06-15")

// policy is the default, with the intervals of IWGDF 2023 (table, second hand):
// 0 yearly, 1 every 6-12, 2 every 3-6, 3 every 1-3 months.
func policy() recall.Policy {
	p := recall.Default()
	p.Zone = time.UTC
	return p
}

func TestWhoIsDueAndWhy(t *testing.T) {
	for _, c := range []struct {
		name         string
		rec          record.Record
		last         string
		due, overdue string
		low, high    int
		why          string
	}{
		{"a person never examined is due since the day diabetes was known, and late a year later",
			of(diabetes("2015-03-01")), "", "2015-03-01", "2016-03-01", -1, -1, "Never examined; diabetes since 2015-03-01."},
		{"without a date of the diagnosis, since the first dated entry",
			of(diabetes(""), visit("2020-02-02")), "", "2020-02-02", "2021-02-02", -1, -1, "in the record since 2020-02-02"},
		{"with no date at all, from today",
			of(diabetes("")), "", "2026-06-15", "2027-06-15", -1, -1, "nothing in the record is dated"},
		{"an exam here is followed by its plan",
			of(diabetes("2015-03-01"), signed("2026-03-01", 2, full)), "2026-03-01", "2026-07-01", "2026-09-01", 2, 2, "Last exam here 2026-03-01: 2, moderate risk; every 3 to 6 months."},
		{"a plan that waits two years is cut to one",
			of(diabetes("2015-03-01"), signed("2026-03-01", 24, full)), "2026-03-01", "2027-03-01", "2027-03-01", 0, 0, ""},
		{"an exam of another record alone is followed by a yearly one",
			of(diabetes("2015-03-01"), imported("2026-03-01")), "2026-03-01", "2027-03-01", "2027-03-01", -1, -1, "done elsewhere; no risk was assessed here."},
		{"an exam of another record after one here keeps the interval found here",
			of(diabetes("2015-03-01"), signed("2026-01-01", 3, full), imported("2026-05-01")), "2026-05-01", "2026-07-01", "2026-08-01", 3, 3, "done elsewhere; found here: 3, high risk;"},
		{"an incomplete exam is followed by its own, cautious plan, and says what is missing",
			of(diabetes("2015-03-01"), signed("2026-03-01", 3, noPulses)), "", "2026-05-01", "2026-06-01", 3, 3, "That exam is not complete: the pulses missing."},
		{"an incomplete exam never puts the date of the full one before it off",
			of(diabetes("2015-03-01"), signed("2026-01-01", 3, full), signed("2026-02-20", 1, noPulses)), "2026-01-01", "2026-03-01", "2026-04-01", 1, 1, "not complete"},
		{"a past ulcer in the record of somebody never examined asks for the interval of category 3",
			of(diabetes("2026-05-01"), fact(record.Condition, term.ICD10CM, "Z86.31", "2019-01-01")), "", "2026-05-01", "2026-08-01", -1, 3, "The record has a past foot ulcer"},
		{"so does a lost toe after an exam elsewhere",
			of(diabetes("2015-03-01"), imported("2026-05-01"), fact(record.Condition, term.ICD10CM, "Z89.421", "2019-01-01")), "2026-05-01", "2026-07-01", "2026-08-01", -1, 3, "category 3 (high risk) is assumed: every 1 to 3 months."},
		{"a diagnosis of neuropathy is read as lost sensation: category 1",
			of(diabetes("2026-05-01"), fact(record.Condition, term.ICD10CM, "E11.42", "2019-01-01")), "", "2019-01-01", "2020-01-01", -1, 1, "The record has a diagnosis of neuropathy"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := recall.Of(&c.rec, policy(), today)
			if !s.Watched || s.Diabetes != known.Yes {
				t.Fatalf("not watched, or not on the panel: %+v", s)
			}
			if s.LastExam.String() != c.last || s.Due.String() != c.due || s.OverdueAfter.String() != c.overdue {
				t.Errorf("last %v due %v overdue %v, want %s %s %s", s.LastExam, s.Due, s.OverdueAfter, c.last, c.due, c.overdue)
			}
			if s.RiskLow != c.low || s.RiskHigh != c.high {
				t.Errorf("risk %d to %d, want %d to %d", s.RiskLow, s.RiskHigh, c.low, c.high)
			}
			if !strings.Contains(s.Why, c.why) {
				t.Errorf("why %q does not say %q", s.Why, c.why)
			}
			for _, r := range s.Because {
				if r.Source == nil {
					t.Errorf("no source for %q", r.Says)
				}
			}
		})
	}
}

func TestWhoIsNotRecalled(t *testing.T) {
	dead := of(diabetes("2015"))
	dead.Person.Deceased = known.Yes
	merged := of(diabetes("2015"))
	merged.Person.ReplacedBy = "p2"
	none := of(visit("2020-01-01"), fact(record.Condition, term.ICD10CM, "I10", "2020-01-01"))
	for name, rec := range map[string]record.Record{"the dead": dead, "merged records": merged, "people without diabetes": none} {
		if s := recall.Of(&rec, policy(), today); s.Due != 0 || s.OverdueAfter != 0 || s.Why == "" {
			t.Errorf("%s: due %v, why %q", name, s.Due, s.Why)
		}
	}
}

func TestAnOpenUlcerHasItsOwnClock(t *testing.T) {
	open := signed("2026-06-01", 3, full)
	open.exam.Exam.Ulcers = []wound.Ulcer{{ID: "u1", Side: foot.Left, Place: foot.Hallux, Depth: wound.SkinOnly}}
	open.exam.Exam.Left.Look.Wound = known.Abnormal
	rec := of(diabetes("2015"), open)
	s := recall.Of(&rec, policy(), today)
	if s.OpenUlcers != 1 || s.UlcerDue.String() != "2026-06-15" || s.Due.String() != "2026-08-01" {
		t.Errorf("ulcers %d by %v, exam due %v", s.OpenUlcers, s.UlcerDue, s.Due)
	}
	later := signed("2026-06-10", 3, full)
	rec = of(diabetes("2015"), open, later)
	if s := recall.Of(&rec, policy(), today); s.OpenUlcers != 0 || s.UlcerDue != 0 {
		t.Errorf("a later exam found the foot without a wound: %d open by %v", s.OpenUlcers, s.UlcerDue)
	}
	rec = of(diabetes("2015"), signed("2026-01-01", 3, full), fact(record.Condition, term.ICD10CM, "L97.512", "2026-06-03"))
	if s := recall.Of(&rec, policy(), today); s.OpenUlcers != 1 || s.UlcerDue.String() != "2026-06-03" {
		t.Errorf("an ulcer in the record that no exam has seen: %d by %v", s.OpenUlcers, s.UlcerDue)
	}
}

func TestTheStandingIsMadeAnewWhenABookedVisitPasses(t *testing.T) {
	booked := fact(record.Appointment, term.SNOMED, "0", "2026-07-01T09:00Z")
	booked.fact.Standing, booked.fact.End = record.Planned, when.Moment{}
	rec := of(diabetes("2015"), booked)
	if s := recall.Of(&rec, policy(), today); s.NextVisit.String() != "2026-07-01" || s.Until.String() != "2026-07-02" {
		t.Errorf("next visit %v, until %v", s.NextVisit, s.Until)
	}
}

func TestTheStandingIsMadeAnewOnTheDayOfDeath(t *testing.T) {
	rec := of(diabetes("2015"))
	rec.Person.DiedAt = when.MustMoment("2026-06-20")
	if s := recall.Of(&rec, policy(), today); !s.Watched || s.Until.String() != "2026-06-20" {
		t.Errorf("watched %v, until %v", s.Watched, s.Until)
	}
}

func TestTheOrderOfCalling(t *testing.T) {
	due := when.MustDay("2026-06-01")
	names := []recall.Standing{
		{Person: "high, long late", RiskHigh: 3, Due: due - 100},
		{Person: "high, late", RiskHigh: 3, Due: due},
		{Person: "history high, never assessed", RiskLow: -1, RiskHigh: 3, Due: due + 1},
		{Person: "moderate, years late", RiskHigh: 2, Due: due - 1000},
		{Person: "never assessed", RiskLow: -1, RiskHigh: -1, Due: due - 2000},
		{Person: "low", RiskHigh: 1, Due: due},
		{Person: "very low a", RiskHigh: 0, Due: due},
		{Person: "very low b", RiskHigh: 0, Due: due},
		{Person: "high, not due", RiskHigh: 3, Due: today + 1},
		{Person: "low, not due", RiskHigh: 1, Due: today + 1},
		{Person: "not recalled", RiskHigh: 3},
	}
	rapid.Check(t, func(t *rapid.T) {
		got := rapid.Permutation(names).Draw(t, "people")
		slices.SortFunc(got, func(a, b recall.Standing) int {
			if recall.Less(a, b, today) {
				return -1
			}
			return 1
		})
		for i := range got {
			if got[i].Person != names[i].Person {
				t.Fatalf("place %d: %s, want %s", i, got[i].Person, names[i].Person)
			}
		}
	})
}

func TestTheDueDayDoesNotMoveWithToday(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		category := rapid.IntRange(0, 3).Draw(t, "category")
		rec := of(diabetes("2015-03-01"))
		if rapid.Bool().Draw(t, "examined") {
			rec = of(diabetes("2015-03-01"), signed("2026-03-01", category, full))
		}
		a := recall.Of(&rec, policy(), today)
		b := recall.Of(&rec, policy(), today+when.Day(rapid.IntRange(0, 3000).Draw(t, "days later")))
		if fmt.Sprint(a) != fmt.Sprint(b) {
			t.Fatalf("the standing moved with the day:\n%+v\n%+v", a, b)
		}
	})
}

// part is one thing in a record.
type part struct {
	fact *record.Fact
	more []record.Fact
	exam *record.SignedExam
}

func of(parts ...part) record.Record {
	rec := record.Record{Person: record.Person{ID: "p1"}}
	for _, p := range parts {
		if p.fact != nil {
			rec.Facts = append(rec.Facts, *p.fact)
		}
		rec.Facts = append(rec.Facts, p.more...)
		if p.exam != nil {
			rec.Exams = append(rec.Exams, *p.exam)
		}
	}
	for i := range rec.Facts {
		rec.Facts[i].Key = fmt.Sprint("Fact/", i)
	}
	return rec
}

func fact(kind record.Kind, system term.System, code, start string) part {
	f := record.Fact{Kind: kind, Codes: []term.Code{{System: system, Code: code}}, Ended: known.No}
	if start != "" {
		f.Start = when.MustMoment(start)
		if kind != record.Condition {
			f.End = f.Start
		}
	}
	return part{fact: &f}
}

func diabetes(since string) part { return fact(record.Condition, term.ICD10CM, "E11.9", since) }
func visit(on string) part       { return fact(record.Encounter, term.CPT, "99213", on) }

func imported(on string) part {
	var p part
	for _, code := range []string{"401191002", "134388005", "91161007"} {
		f := fact(record.Observation, term.SNOMED, code, on).fact
		f.Value.Given = true
		p.more = append(p.more, *f)
	}
	return p
}

func full(*exam.Draft)       {}
func noPulses(d *exam.Draft) { d.Left.Feel.Arteries.DP = perfusion.PulseNotDone }

// signed makes an exam with a plan. category 24 stands for a system that waits
// 24 months in its lowest category.
func signed(on string, category int, change func(*exam.Draft)) part {
	d := exam.Draft{ID: "exam-" + on, Revision: 1, Patient: "p1", At: when.MustMoment(on + "T10:00Z"), Protocol: neuro.ThreeSites}
	for _, side := range foot.Sides {
		f := d.Foot(side)
		f.Look.Skin, f.Look.Wound = known.Normal, known.Normal
		f.Feel.Arteries = perfusion.Leg{DP: perfusion.PulsePresent, PT: perfusion.PulsePresent}
		for _, site := range d.Protocol.Sites() {
			f.Test.Filament[site] = known.Normal
		}
	}
	change(&d)
	sys, _ := risk.ByID("iwgdf-2023")
	rank, months := category, [2]int{}
	if category == 24 {
		rank, months = 0, [2]int{24, 24}
	} else {
		months = [2]int{sys.Categories[rank].Recall.MinMonths, sys.Categories[rank].Recall.MaxMonths}
	}
	day := when.MustDay(on)
	chosen := (months[0] + months[1]) / 2
	a := assess.Assessment{
		Risks: []risk.Result{{System: sys.ID, Low: sys.Categories[rank], High: sys.Categories[rank]}},
		Plan: plan.Plan{Recall: plan.Recall{MinMonths: months[0], MaxMonths: months[1], ChosenMonths: chosen,
			Due: day.AddMonths(chosen), Overdue: day.AddMonths(months[1])}},
	}
	return part{exam: &record.SignedExam{Exam: exam.Exam{Draft: d}, Assessment: a}}
}
