package measure

import (
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
)

// healedDays is 12 weeks.
const healedDays = 84

// UlcerHealed asks whether somebody with an ulcer was alive and free of ulcers
// 12 weeks after it was first recorded here. The audit that asks the same
// counts from the first assessment by experts; a practice knows its own exam.
// What was not looked at again is not healed: unknown is not normal.
func UlcerHealed() Measure {
	return Measure{
		ID:        "ulcer-healed-12-weeks",
		Title:     "Alive and free of ulcers after 12 weeks",
		Version:   "1",
		Text:      "Of the people with an ulcer whose 84th day after it was first recorded lay in the period, those who were alive then and whose ulcers had all been found healed by an exam here.",
		Source:    ulcerAudit,
		Programme: "A measure of this project for a practice's own use, after a national audit.",
		Evaluate:  ulcerHealed,
		Cases:     ulcerHealedCases,
	}
}

func ulcerHealed(rec *record.Record, ctx Context) Result {
	p := startProgramme(rec, ctx, "ulcer-healed-12-weeks", ulcerAudit)
	if len(rec.Exams) == 0 {
		return p.nobody("No ulcer reached its 12th week in the period.")
	}
	died, _ := rec.Person.DiedAt.Days(nil)
	free := true
	for _, c := range Courses(rec, p.zone, p.period.Last) {
		by := c.First.AddDays(healedDays)
		if !p.in(by) {
			continue
		}
		p.counts()
		p.tell("Ulcer ", c.ID, " was first recorded on ", c.First.String(), "; 12 weeks end on ", by.String(), ".")
		if died != 0 && died <= by || died == 0 && rec.Person.Deceased == known.Yes {
			free = false
			p.lack("alive", "Died ", rec.Person.DiedAt.String(), ".")
			continue
		}
		for _, o := range Courses(rec, p.zone, by) {
			switch {
			case o.Healed != 0:
				p.tell("Ulcer ", o.ID, " was found healed on ", o.Healed.String(), ".")
			case o.LastSeen == o.First && o.First != by:
				free = false
				p.lack("looked-at", "Ulcer ", o.ID, " was not looked at again between ", o.First.String(), " and ", by.String(), ".")
			default:
				free = false
				p.lack("healed", "Ulcer ", o.ID, " was still open on ", o.LastSeen.String(), ".")
			}
		}
	}
	if !p.result.Denominator {
		return p.nobody("No ulcer reached its 12th week in the period.")
	}
	p.result.Numerator = free
	return p.done()
}
