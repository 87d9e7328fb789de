package demo

import (
	"slices"

	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/plan"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// amendments is how many exams are amended the next working day.
const amendments = 6

// events turns plans into signed exams and imported ones, amends some, and
// tells what became of the referrals.
func (g *generator) events() {
	left := amendments
	for _, p := range g.withDiabetes {
		for _, x := range p.plan {
			if x.kind == elsewhere {
				p.imported(x)
				continue
			}
			p.exams = append(p.exams, p.examine(x))
		}
		if left > 0 && p.role == "" && p.amend() {
			left--
		}
		p.referrals()
	}
}

// imported is an exam in an older system: only observations, with a result of
// normal or abnormal and nothing of what was found.
func (p *patient) imported(x planned) {
	for _, code := range x.codes {
		result := normalValue
		if code == filamentExam && p.feet.lops(x.day) || code == pulseExam && p.feet.pad(x.day) {
			result = abnormal
		}
		at := p.at(x.day, 10*60+15)
		p.add(record.Fact{
			Kind: record.Observation, Codes: snomed(code), Category: "exam", Start: at, End: at,
			Value: record.Value{Given: true, Codes: snomed(result)},
		})
	}
}

// amend changes the first whole exam, if there was one and a day to do it, and
// says why.
func (p *patient) amend() bool {
	i := slices.IndexFunc(p.exams, func(v Visit) bool { return v.Draft.Done().All() && v.Draft.Override == nil })
	if i < 0 {
		return false
	}
	first := p.exams[i]
	seen, _ := first.Draft.At.Days(p.g.zone)
	day := seen.AddWorkingDays(1)
	if day > p.until {
		return false
	}
	d := first.Draft
	d.Revision = 2
	signed := p.g.clock(day, 8*60+p.between(5, 50))
	d.Amends = &exam.Amendment{Revision: 1, By: first.By, At: when.AtTime(signed)}
	if p.chance(0.5) {
		d.Amends.Reason = "The pulses of the two feet were typed in the wrong way round."
		d.Right.Feel.Arteries, d.Left.Feel.Arteries = d.Left.Feel.Arteries, d.Right.Feel.Arteries
	} else {
		d.Amends.Reason = "Found the shoes on the chair after signing: the heel is worn through on one side."
		d.Footwear = exam.Footwear{Suitable: known.Abnormal, WornOut: known.AnswerYes}
	}
	p.exams = append(p.exams, Visit{Draft: d, SignedAt: signed, By: first.By})
	slices.SortStableFunc(p.exams, func(a, b Visit) int { return a.SignedAt.Compare(b.SignedAt) })
	return true
}

// fate is what becomes of a referral.
type fate struct {
	steps []string
	// days after the one before.
	gaps []int
}

// referrals follows what each exam asks for. The rules themselves say which
// referrals that is; one that is open for the same action is not opened twice.
func (p *patient) referrals() {
	over := map[string]when.Day{}
	chart := record.Record{Person: p.person, Facts: p.facts}
	for _, v := range p.exams {
		day, _ := v.Draft.At.Days(p.g.zone)
		a := assess.Assess(assess.Input{
			Exam: &v.Draft, Background: chart.Background(day), Edition: assess.DefaultEdition(), On: day,
		})
		chart.Exams = append(chart.Exams, record.SignedExam{Exam: exam.Exam{Draft: v.Draft}})
		for _, action := range a.Plan.Actions {
			if action.Kind != plan.Refer || v.Draft.Revision > 1 {
				continue
			}
			if until, open := over[action.ID]; open && (until == 0 || until >= day) {
				continue
			}
			_, again := over[action.ID]
			over[action.ID] = p.follow(v.Draft.ID, action.ID, day, again)
		}
	}
}

// follow chooses the fate of one referral and writes its steps as far as
// yesterday; it returns the day on which the referral was closed, zero for one
// that is open.
func (p *patient) follow(exam, action string, opened when.Day, again bool) when.Day {
	day := opened
	f := p.fateOf(action, opened)
	swift := action == "act-now" || action == "refer-foot-team"
	if again && !swift { // asked for at every exam, and already done
		f = fate{[]string{"closed"}, []int{p.between(0, 3)}}
	}
	for i, what := range f.steps {
		day = onWorkday(day+when.Day(f.gaps[i]), day, day+when.Day(f.gaps[i])+2)
		if day == 0 || day > p.g.yesterday() {
			return 0
		}
		step := record.ReferralStep{What: what, On: day, By: pick(p.dice, examiners), Note: note(what, again && !swift)}
		p.g.steps = append(p.g.steps, ReferralStep{Person: p.person.ID, Exam: exam, Action: action, At: p.g.clock(day, 17*60+30+i), Step: step})
		if what == "closed" || what == "declined" {
			return day
		}
	}
	return 0
}

// fateOf is swift for what cannot wait; of the rest, old referrals are mostly
// over and new ones are anywhere on their way.
func (p *patient) fateOf(action string, opened when.Day) fate {
	full := fate{[]string{"sent", "booked", "seen", "closed"}, []int{p.between(0, 2), p.between(1, 6), p.between(9, 40), p.between(2, 12)}}
	if action == "act-now" || action == "refer-foot-team" {
		return fate{full.steps, []int{0, 0, p.between(0, 1), p.between(3, 12)}}
	}
	age := p.g.today - opened
	switch n := p.weighted(42, 16, 14, 14, 10, 4); {
	case age > 150 && p.chance(0.93): // nobody wrote down every step then
		return fate{[]string{"seen", "closed"}, []int{p.between(10, 45), full.gaps[3]}}
	case age > 90 && p.chance(0.8):
		return full
	case n == 0:
		return full
	case n == 1:
		return fate{}
	case n == 2:
		return fate{full.steps[:1], full.gaps}
	case n == 3:
		return fate{full.steps[:2], full.gaps}
	case n == 4:
		return fate{full.steps[:3], full.gaps}
	}
	return fate{[]string{"sent", "declined"}, []int{1, p.between(4, 15)}}
}

func note(what string, again bool) string {
	switch {
	case what == "closed" && again:
		return "Is under their care already."
	case what == "closed":
		return "Letter received and read."
	case what == "declined":
		return "Does not want to go at present; told what to watch for."
	}
	return ""
}
