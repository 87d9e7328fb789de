package demo

import (
	"slices"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

// visit is one encounter.
type visit struct {
	day             when.Day
	minute, minutes int
	code            term.Code
	class           string
}

// Visits a year: with diabetes about four, otherwise fewer than two (common
// practice, no source). Some people are not seen at all this year.
const (
	visitsWithDiabetes = 3.8
	visitsWithout      = 1.4
	notSeenThisYear    = 0.09
)

// visits gives everybody their visits of two years.
func (g *generator) visits() {
	for _, p := range g.people {
		perYear, absent := visitsWithout, 0.25
		if p.feet != nil {
			perYear, absent = visitsWithDiabetes, notSeenThisYear
		}
		mustCome := p.role == "edge of age" || p.role == "both legs" || p.role == "hospice" || p.role == "ended this year"
		stays := !mustCome && p.chance(absent)
		for month := range storyMonths {
			first := g.from().AddMonths(month)
			day := p.workday(first, min(first.AddMonths(1)-1, p.until))
			if !p.chance(perYear/12) || day == 0 || day < p.born || (stays && day >= g.yearStart()) {
				continue
			}
			p.come(day)
		}
		if mustCome {
			p.comeIn(g.yearStart(), p.until)
		}
	}
}

// come adds a visit on a day, or finds the one that is there.
func (p *patient) come(day when.Day) *visit {
	if i := slices.IndexFunc(p.comes, func(v visit) bool { return v.day == day }); i >= 0 {
		return &p.comes[i]
	}
	v := visit{day: day, minute: 8*60 + 20*p.between(0, 25), minutes: 20, code: p.kindOfVisit(day), class: "AMB"}
	p.comes = append(p.comes, v)
	return &p.comes[len(p.comes)-1]
}

// comeIn adds a visit between two days, if there is a working day.
func (p *patient) comeIn(low, high when.Day) when.Day {
	day := p.workday(max(low, p.born), min(high, p.until))
	if day != 0 {
		p.come(day)
	}
	return day
}

// kindOfVisit is a kind that qualifies for the measure, except for those whose
// visits of this year do not.
func (p *patient) kindOfVisit(day when.Day) term.Code {
	if p.role == "visits that do not count" && day >= p.g.yearStart() {
		return pick(p.dice, []term.Code{nurseOnly, telephone, generic})
	}
	switch p.weighted(52, 26, 6, 12, 4) {
	case 0:
		return officeShort
	case 1:
		return officeLong
	case 2:
		return officeBrief
	case 3:
		switch age := p.age(day); {
		case age >= 66 && p.chance(0.7):
			return wellness
		case age >= 65:
			return preventiveOlder
		case age >= 40:
			return preventive
		}
		return officeShort
	}
	if p.feet == nil && p.chance(0.5) {
		return emergency
	}
	return officeNew
}

// encounters are the visits as facts, oldest first.
func (p *patient) encounters() []record.Fact {
	slices.SortFunc(p.comes, func(a, b visit) int { return int(a.day - b.day) })
	list := make([]record.Fact, 0, len(p.comes))
	for _, v := range p.comes {
		list = append(list, p.encounter(v))
	}
	return list
}

func (p *patient) encounter(v visit) record.Fact {
	class := v.class
	switch v.code {
	case emergency:
		class = "EMER"
	case telephone:
		class = "VR"
	}
	return record.Fact{
		Kind: record.Encounter, Codes: []term.Code{v.code}, Category: class, Ended: known.Yes,
		Start: p.at(v.day, v.minute), End: p.at(v.day, v.minute+v.minutes),
		By: p.person.Clinician, Site: p.person.Site,
	}
}

// stay is a hospital stay.
func (p *patient) stay(from, to when.Day) *record.Fact {
	return p.add(record.Fact{
		Kind: record.Encounter, Codes: []term.Code{inpatient}, Category: "IMP", Ended: known.Yes,
		Start: p.at(from, 14*60), End: p.at(to, 11*60), Text: "Hospital stay",
	})
}
