package measure

import (
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
)

// adult is the population that the two registry measures of podiatry share: 18
// or older at a qualifying visit in the period, with diabetes in the period, no
// upper age; and the exclusion of people who have lost both legs.
//
// Their own list of visits was not read: the visits of CMS123 stand in for it.
type adult struct {
	run
	visit, diabetes criterion
	legs            legs
	excluded        criterion
	birth           when.Moment
}

func (e *adult) fact(f *record.Fact, m, excludes meaning) {
	switch {
	case m&isVisit != 0:
		e.judge(&e.visit, f, e.adultVisit(f))
	case m&isDiabetes != 0 && f.Kind == record.Condition:
		e.judge(&e.diabetes, f, e.diagnosis(f))
	case m&excludes != 0:
		e.judge(&e.excluded, f, e.reported(f))
	}
	if m&amputation != 0 {
		e.judgeLegs(&e.legs, f, m)
	}
}

// adultVisit: a visit in the period by somebody who was 18 on its day. A birth
// known to the year counts only if its last day makes 18.
func (e *adult) adultVisit(f *record.Fact) verdict {
	v := e.visitInside(f)
	if !v.yes {
		return v
	}
	on, _ := f.Start.Days(e.zone)
	first, last := e.birth.Days(nil)
	switch {
	case first == 0:
		return verdict{why: "is by a person whose birth date is not known", unsure: true}
	case when.Age(last, on) >= 18:
		return v
	case when.Age(first, on) >= 18:
		return verdict{why: "is by a person who was 17 or 18", unsure: true}
	}
	return verdict{why: "is by a person under 18"}
}

// reported: a code that a clinic reports on a claim, with a day in the period.
func (r *run) reported(f *record.Fact) verdict {
	if f.Standing != record.Stands {
		return verdict{why: notFinal}
	}
	return r.at(f.Start, f.End)
}

// populations fills the populations before the numerator and says why.
func (e *adult) populations(s *adultSources) {
	r := &e.result
	r.InitialPopulation = e.visit.met && e.diabetes.met
	r.Denominator = r.InitialPopulation
	r.DenominatorExclusion = r.Denominator && (e.legs.both() || e.excluded.met)
	e.note(&e.visit, &e.diabetes)
	if !e.explain {
		return
	}
	e.sayMet(&e.visit, "Visit", "at 18 or older lies in the period", "No qualifying visit at 18 or older in the period", s.visit)
	e.sayMet(&e.diabetes, "Diabetes", "is present in the period", "No diabetes in the period", s.diabetes)
	if !r.Denominator {
		return
	}
	e.sayLegs(&e.legs, s.excluded)
	if e.excluded.met {
		e.say("Left out: "+e.sets.named(e.excluded.by, ^meaning(0))+" was reported"+dated(e.excluded.by)+".", e.excluded.by.Key, s.excluded)
	}
}

// adultSources are the places in a measure that the sentences point at.
type adultSources struct{ visit, diabetes, excluded, numerator *source.Source }
