package demo

import (
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// mess puts into the charts what real ones have: diagnoses that are no
// diabetes, were wrong or withdrawn, visits that never ended or did not happen,
// people twice.
func (g *generator) mess() {
	others := g.without
	give := func(n int, suits func(*patient) bool, do func(p *patient, i int)) {
		for _, p := range others {
			if n == 0 {
				return
			}
			if p.role == "" && suits(p) {
				n--
				p.role = "mess"
				do(p, n)
			}
		}
	}
	adult := aged(25, 85)
	mother := func(p *patient) bool { return p.person.Sex == "female" && aged(20, 42)(p) }

	// What is not diabetes, or not any more.
	give(150, aged(30, 85), func(p *patient, _ int) { p.condition(icd("R73.03"), "Prediabetes", p.past(5)) })
	give(12, adult, func(p *patient, _ int) { p.condition(snomed(preDM), "Prediabetes", p.past(5)) })
	give(8, mother, func(p *patient, i int) {
		f := p.condition(icd("O24.410"), "Gestational diabetes", g.today-when.Day(40+i*70))
		if start, _ := f.Start.Days(nil); i > 2 {
			f.End, f.Ended = when.OnDay(start+150), known.Yes
		}
	})
	give(9, mother, func(p *patient, _ int) { p.condition(icd("Z86.32"), "Past gestational diabetes", p.past(6)) })
	give(3, adult, func(p *patient, _ int) {
		p.condition(icd("E11.9"), "Diabetes, refuted", p.past(2)).Standing = record.Void
	})
	give(3, adult, func(p *patient, _ int) {
		f := p.condition(icd("E11.9"), "Diabetes, entered in error", p.past(2))
		f.Standing, f.Ended = record.Void, known.Unknown
	})
	give(2, adult, func(p *patient, _ int) { p.condition(icd("Z79.4"), "Long-term insulin", p.past(2)) })
	give(4, adult, func(p *patient, _ int) { p.result("4548-4", "7.9", "%", g.yesterday()-60) })

	// Birth dates.
	give(4, adult, func(p *patient, _ int) { p.person.Birth = when.Moment{} })
	give(15, adult, func(p *patient, _ int) { p.person.Birth = when.MustMoment(p.born.String()[:4]) })
	give(4, adult, func(p *patient, _ int) { p.person.Birth = when.MustMoment(p.born.String()[:7]) })

	// Visits. A visit that is added changes nobody's place in the measure.
	g.visitMess()
	g.examMess()
	g.hospiceMess()
	g.twice()
	g.strangers()
}

// visitMess adds visits without an end, visits that did not happen, and hospital
// stays.
func (g *generator) visitMess() {
	for i, p := range shuffled(g.dice, g.people)[:min(70, len(g.people))] {
		day := p.workday(p.g.from(), p.until)
		if day == 0 || day < p.born {
			continue
		}
		f := p.encounter(visit{day: day, minute: 15 * 60, minutes: 20, code: officeShort, class: "AMB"})
		switch {
		case i < 10: // never closed
			f.End, f.Ended = when.Moment{}, known.Unknown
		case i < 15:
			f.Codes, f.Text = nil, "Visit without a code"
		case i < 25:
			p.stay(day, min(day+3, p.g.yesterday()))
			continue
		default:
			f.Standing, f.Ended = record.Void, known.Unknown
		}
		p.add(f)
	}
}

// examMess adds exam observations that do not count, or count twice.
func (g *generator) examMess() {
	n := 0
	for _, p := range g.withDiabetes {
		if n == 14 || p.role != "" || len(p.exams) == 0 {
			continue
		}
		first, _ := p.exams[0].Draft.At.Days(nil)
		at := p.at(first, 16*60)
		f := record.Fact{
			Kind: record.Observation, Codes: snomed(filamentExam), Category: "exam", Start: at, End: at,
			Value: record.Value{Given: true, Codes: snomed(normalValue)},
		}
		switch n {
		case 0, 1, 2, 3: // refused: no value, with the reason
			f.Value = record.Value{Absent: "asked-declined"}
		case 4, 5:
			f.Standing = record.Void
		case 6, 7:
			f.Standing = record.Preliminary
		case 8, 9: // known to the month
			f.Start = when.MustMoment(first.String()[:7])
			f.End = f.Start
		default: // the same result again under another key
			p.add(f)
		}
		p.add(f)
		n++
	}
}

// hospiceMess is hospice in the four ways in which a chart can say it, and once
// long ago.
func (g *generator) hospiceMess() {
	i := 0
	for _, p := range g.withDiabetes {
		if p.role != "hospice" {
			continue
		}
		start := g.yearStart()
		recent := max(start, g.today-60)
		switch i {
		case 0:
			p.add(record.Fact{Kind: record.Order, Codes: snomed(hospice), Text: "Hospice order", Start: when.OnDay(recent), Ended: known.Unknown})
		case 1:
			p.add(record.Fact{Kind: record.Procedure, Codes: snomed(hospice), Text: "Hospice care", Standing: record.Planned, Start: when.OnDay(g.today - 90), Ended: known.No})
		case 2:
			stay := p.stay(max(recent-4, g.from()), recent)
			stay.Disposition = append(stay.Disposition, hospiceHome)
		case 3:
			p.add(record.Fact{Kind: record.Procedure, Codes: snomed(hospice), Text: "Hospice care", Start: when.OnDay(g.today - 30), Ended: known.No})
		default: // came back from hospice
			p.add(record.Fact{Kind: record.Order, Codes: snomed(hospice), Text: "Hospice order", Start: when.OnDay(g.today - 460), Ended: known.Yes, End: when.OnDay(g.today - 300)})
		}
		i++
	}
}

// strangers are facts of people who are not in the register.
func (g *generator) strangers() {
	p := g.people[len(g.people)-1]
	for i := range 3 {
		day := g.today - when.Day(30+i*40)
		f := p.add(p.encounter(visit{day: day, minute: 9 * 60, minutes: 20, code: officeShort, class: "AMB"}))
		p.cameAs(f.Key, "tg-9001")
	}
}

func (p *patient) cameAs(key, id string) {
	if p.elsewhere == nil {
		p.elsewhere = map[string]string{}
	}
	p.elsewhere[key] = id
}
