package measure

import (
	"tengram/internal/kernel/plan"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
)

// ulcerAudit is where the bands of waiting come from: alive and free of ulcers
// at 12 weeks, by the time to the first expert assessment.
var ulcerAudit = source.NDFA2018.At("key findings: time to first expert assessment", source.Confirmed)

// ulcerDays is the limit where a referral has no deadline of its own: the
// audit's second band ends with day 13.
const ulcerDays = 13

// UlcerSeen asks whether somebody with a new ulcer was seen by foot specialists
// in time: by the deadline that the plan gave the referral, else within 13 days.
func UlcerSeen() Measure {
	return Measure{
		ID:        "ulcer-seen-in-time",
		Title:     "New ulcers seen by foot specialists in time",
		Version:   "1",
		Text:      "Of the people with an ulcer first recorded in an exam of the period, those who were seen by the foot team, a foot specialist or emergency care by the deadline of the referral, or within 13 days where it has none. An ulcer without such a referral is not met.",
		Source:    ulcerAudit,
		Programme: "A measure of this project for a practice's own use, after a national audit.",
		Evaluate:  ulcerSeen,
		Cases:     ulcerSeenCases,
	}
}

func ulcerSeen(rec *record.Record, ctx Context) Result {
	p := startProgramme(rec, ctx, "ulcer-seen-in-time", ulcerAudit)
	all := true
	for _, c := range newUlcers(rec, p.window) {
		p.counts()
		seen, by := seenFor(rec, c)
		switch {
		case seen != 0 && seen <= by:
			p.tell("Ulcer ", c.ID, " of ", c.First.String(), " was seen on ", seen.String(), ", due ", by.String(), ".")
		case by == 0:
			all = false
			p.lack("referral", "Ulcer ", c.ID, " of ", c.First.String(), ": no referral to foot specialists from that exam.")
		case seen != 0:
			all = false
			p.lack("seen", "Ulcer ", c.ID, " of ", c.First.String(), " was seen on ", seen.String(), ", after ", by.String(), ".")
		default:
			all = false
			p.lack("seen", "Ulcer ", c.ID, " of ", c.First.String(), ": not seen by foot specialists; due ", by.String(), ".")
		}
	}
	if !p.result.Denominator {
		return p.nobody("No ulcer was first recorded in the period.")
	}
	if p.explain && len(p.result.Because) == 0 {
		p.tell("A new ulcer is to be seen by foot specialists.")
	}
	p.result.Numerator = all
	return p.done()
}

// newUlcers are the courses that began in the period.
func newUlcers(rec *record.Record, w window) []Course {
	var fresh []Course
	for _, c := range Courses(rec, w.zone, w.period.Last) {
		if w.in(c.First) {
			fresh = append(fresh, c)
		}
	}
	return fresh
}

// seenFor returns the earliest day on which a referral of the exam that found
// the ulcer led to specialists seeing the person, and its deadline. Without any
// such referral by is zero.
func seenFor(rec *record.Record, c Course) (seen, by when.Day) {
	for i := range rec.Referrals {
		r := &rec.Referrals[i]
		if r.Exam != c.Exam || !toSpecialists(r.To) {
			continue
		}
		due := r.Due
		if due == 0 {
			due = c.First.AddDays(ulcerDays)
		}
		on := firstSeen(r)
		better := by == 0 || (on != 0 && on <= due && (seen == 0 || seen > by)) || (seen == 0 && on != 0)
		if better {
			seen, by = on, due
		}
	}
	return seen, by
}

func toSpecialists(to plan.Addressee) bool {
	return to == plan.EmergencyCare || to == plan.FootTeam || to == plan.FootSpecialist
}

func firstSeen(r *record.Referral) when.Day {
	var on when.Day
	for _, s := range r.Steps {
		if (s.What == "seen" || s.What == "closed") && (on == 0 || s.On < on) {
			on = s.On
		}
	}
	return on
}
