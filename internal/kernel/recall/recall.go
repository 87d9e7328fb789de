// Package recall says where one person stands: when the feet are examined next,
// why then, and in what order to call people.
//
// Whoever was never examined is due now. Everybody is examined at least yearly,
// sooner by risk. An open ulcer is followed by a clock of its own, beside the
// recall.
package recall

import (
	"time"

	"tengram/internal/kernel/cohort"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
)

// Policy is what a practice chooses.
type Policy struct {
	// Zone is the practice's calendar; nil is the offset each time was written
	// with.
	Zone *time.Location
	// LongestMonths is the longest that anybody waits for the next full exam;
	// 0 sets no limit beside the plan of the last exam.
	LongestMonths int
	// Choice is where inside an interval people fall due who were never
	// assessed here: "min", "middle" (rounded down) or "max".
	Choice string
	// Risk is the id of the risk system by which the record's history is read.
	Risk string
	// UlcerDays is after how many days an open ulcer is looked at again.
	UlcerDays int
}

// Default is a yearly exam at least, the middle of an interval, the IWGDF
// system of 2023, and two weeks for an ulcer.
//
// Yearly at the bottom is the rule of IWGDF, ADA and NICE (reference, risk,
// section 10.1); two weeks is the time after which an ulcer that does not heal
// is referred (reference, wounds, section 7.5). The middle is our choice.
func Default() Policy {
	return Policy{LongestMonths: 12, Choice: "middle", Risk: "iwgdf-2023", UlcerDays: 14}
}

var (
	yearly   = source.IWGDF2023Prevention.At("screening at least once a year; the intervals rest on expert opinion", source.Secondary)
	ourOrder = source.OurProposal.At("recall: who is due, and in what order to call", source.Proposal)
)

// NeverAssessed is the rank of somebody whom no exam has placed yet.
const NeverAssessed = -1

// Standing is where one person stands on one day. It holds days and not "late
// or not", so that it does not age before Until.
type Standing struct {
	Person   string
	Diabetes known.Tri
	// Watched is false for people who are not called: dead, left, hospice.
	Watched bool
	// LastExam is the day by which all three parts of an exam were last on
	// record, done here or imported; zero for never. Where the parts were done
	// on different days it is the earliest of their last days.
	LastExam when.Day
	// RiskLow and RiskHigh are ranks in the risk system of the last exam. For
	// somebody never assessed, RiskLow is NeverAssessed, and RiskHigh is the
	// rank that the record's history points to, or NeverAssessed as well.
	RiskLow, RiskHigh int
	// RiskWord is the category as a number and a word.
	RiskWord string
	// Due is when the next exam is due, OverdueAfter the last day of the
	// interval; both are zero for a person who is not recalled.
	Due, OverdueAfter when.Day
	// Why is the reason in one sentence or two; Because has them with sources.
	Why     string
	Because source.Because
	// NextVisit is the next booked visit.
	NextVisit when.Day
	// OpenUlcers counts ulcers seen open in the last exam that spoke of them,
	// and one for an ulcer in the record that no exam here has seen.
	OpenUlcers int
	// UlcerDue is when the open ulcer that was seen longest ago is to be looked
	// at again; zero without one.
	UlcerDue      when.Day
	OpenReferrals int
	// Until is the first later day on which the standing must be made anew even
	// if nothing is written: a visit passes, hospice care ends. Zero is never.
	Until when.Day
}

// Of says where a person stands on a day.
func Of(rec *record.Record, policy Policy, on when.Day) Standing {
	diabetes := cohort.Diabetes(rec, on)
	watched, whyNot := cohort.Watched(rec, on)
	p := person{rec: rec, policy: policy, on: on, diabetes: diabetes}
	p.read()
	s := Standing{
		Person:        rec.Person.ID,
		Diabetes:      diabetes.Is,
		Watched:       watched,
		LastExam:      p.lastFull(),
		NextVisit:     p.nextVisit,
		OpenReferrals: open(rec.Referrals),
	}
	history := p.risk(&s)
	p.ulcers(&s)
	switch {
	case !watched:
		s.Because = whyNot
	case diabetes.Is != known.Yes && len(rec.Exams) == 0:
		s.Because = diabetes.Because
	default:
		p.due(&s, history)
	}
	s.Why = sentence(s.Because)
	s.Until = p.until
	return s
}

func open(referrals []record.Referral) int {
	n := 0
	for _, r := range referrals {
		if !r.Closed() {
			n++
		}
	}
	return n
}

// sentence joins what is said.
func sentence(b source.Because) string {
	out := ""
	for i, r := range b {
		if i > 0 {
			out += " "
		}
		out += r.Says
	}
	return out
}
