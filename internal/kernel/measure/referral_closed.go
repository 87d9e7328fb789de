package measure

import (
	"strconv"

	"tengram/internal/kernel/record"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
)

var referralSource = source.OurMeasures.At("referral closed in time", source.Proposal)

// ReferralClosed asks whether referrals were closed, with a result, by their
// deadline. A referral that the person declined in time is no failure: if all
// were declined the person is an exception.
func ReferralClosed() Measure {
	return Measure{
		ID:        "referral-closed-in-time",
		Title:     "Referrals closed by their deadline",
		Version:   "1",
		Text:      "Of the people with a referral whose deadline lay in the period, those whose referrals were all closed with a result by then. Those who declined are not counted against the rate.",
		Source:    referralSource,
		Programme: "A measure of this project for a practice's own use.",
		Evaluate:  referralClosed,
		Cases:     referralCases,
	}
}

func referralClosed(rec *record.Record, ctx Context) Result {
	p := startProgramme(rec, ctx, "referral-closed-in-time", referralSource)
	closed, declined, late := 0, 0, 0
	for i := range rec.Referrals {
		r := &rec.Referrals[i]
		if r.Due == 0 && p.in(r.Opened) {
			p.result.Quality = append(p.result.Quality, "referral "+r.ID+" has no deadline; not counted")
		}
		if !p.in(r.Due) {
			continue
		}
		p.counts()
		on, how := ending(r)
		switch {
		case how == "closed" && on <= r.Due:
			closed++
			p.tell("Referral ", r.ID, " (", r.Action, ") was closed on ", on.String(), ", due ", r.Due.String(), ".")
		case how == "declined" && on <= r.Due:
			declined++
			p.tell("Referral ", r.ID, " (", r.Action, ") was declined on ", on.String(), ".")
		default:
			if p.leftOut(r.Due) {
				return p.done()
			}
			late++
			p.lack("referral", "Referral ", r.ID, " (", r.Action, ") was not closed by ", r.Due.String(), ".")
		}
	}
	if !p.result.Denominator {
		return p.nobody("No referral fell due in the period.")
	}
	p.tell(plural(closed, "referral", "referrals"), " closed in time, ", strconv.Itoa(declined), " declined, ", strconv.Itoa(late), " not closed in time.")
	p.result.Numerator = late == 0 && closed > 0
	p.result.Exception = late == 0 && closed == 0
	return p.done()
}

// ending returns the first step that ended a referral.
func ending(r *record.Referral) (on when.Day, how string) {
	for _, s := range r.Steps {
		if (s.What == "closed" || s.What == "declined") && (on == 0 || s.On < on) {
			on, how = s.On, s.What
		}
	}
	return on, how
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}
