package recall

import (
	"strconv"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/plan"
	"tengram/internal/kernel/risk"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
)

// due sets when the next exam is due, with the reasons.
func (p *person) due(s *Standing, h history) {
	switch {
	case s.LastExam == 0 && p.exam == nil:
		p.neverExamined(s, h)
	case p.exam != nil && p.examDay >= s.LastExam:
		p.byPlan(s)
	default:
		p.byImport(s, h)
	}
	if s.OpenUlcers > 0 {
		s.say("An open ulcer is followed beside this, next by "+s.UlcerDue.String()+".", p.ulcerFact, ourOrder)
	}
}

// neverExamined: due from the first day on which the record has diabetes, else
// from its first dated entry, else now. The interval runs from that day.
func (p *person) neverExamined(s *Standing, h history) {
	from := p.diabetes.Since
	since := "diabetes since " + from.String()
	if from == 0 {
		from, since = p.known, "in the record since "+p.known.String()
	}
	if from == 0 {
		from, since = p.on, "nothing in the record is dated"
	}
	s.say("Never examined; "+since+".", "", yearly)
	longest := p.limit()
	if h.points {
		p.sayHistory(s, h)
		if m := h.category.Recall.MaxMonths; m > 0 {
			longest = min(longest, m)
		}
	}
	s.Due, s.OverdueAfter = from, from.AddMonths(longest)
}

// byPlan: the plan of the last assessed exam here. An exam that did not do all
// three parts never puts the date of the full one before it off.
func (p *person) byPlan(s *Standing) {
	rc := p.exam.Assessment.Plan.Recall
	s.say("Last exam here "+p.examDay.String()+": "+s.RiskWord+"; "+interval(rc.MinMonths, rc.MaxMonths)+".", "exam."+p.exam.Exam.ID, first(rc.Because))
	s.Due, s.OverdueAfter = p.dates(rc, p.examDay)
	if done := p.exam.Exam.Done(); !done.All() {
		s.say("That exam is not complete: "+missing(done)+".", "exam."+p.exam.Exam.ID, ourOrder)
		if p.whole != nil {
			day, _ := p.whole.Exam.At.Days(p.policy.Zone)
			due, overdue := p.dates(p.whole.Assessment.Plan.Recall, day)
			s.Due, s.OverdueAfter = min(s.Due, due), min(s.OverdueAfter, overdue)
		}
	}
}

// byImport: a full exam of another record is newer than anything done here. Its
// interval is that of the last assessment here, else what the record's history
// points to, else yearly.
func (p *person) byImport(s *Standing, h history) {
	if p.exam != nil {
		rc := p.exam.Assessment.Plan.Recall
		s.say("Last exam "+s.LastExam.String()+", done elsewhere; found here: "+s.RiskWord+"; "+interval(rc.MinMonths, rc.MaxMonths)+".", "exam."+p.exam.Exam.ID, first(rc.Because))
		s.Due, s.OverdueAfter = p.dates(plan.Recall{MinMonths: rc.MinMonths, MaxMonths: rc.MaxMonths, ChosenMonths: rc.ChosenMonths}, s.LastExam)
		return
	}
	s.say("Last exam "+s.LastExam.String()+", done elsewhere; no risk was assessed here.", "", ourOrder)
	rc := plan.Recall{MinMonths: 12, MaxMonths: 12, ChosenMonths: 12}
	if h.points && h.category.Recall.MaxMonths > 0 {
		p.sayHistory(s, h)
		rc = p.choose(h.category.Recall)
	}
	s.Due, s.OverdueAfter = p.dates(rc, s.LastExam)
}

// dates are the due day and the last day of an interval that began on a day,
// neither past the practice's longest wait.
func (p *person) dates(rc plan.Recall, from when.Day) (due, overdue when.Day) {
	due, overdue = rc.Due, rc.Overdue
	if due == 0 {
		due = from.AddMonths(rc.ChosenMonths)
	}
	if overdue == 0 {
		overdue = from.AddMonths(max(rc.MaxMonths, rc.ChosenMonths))
	}
	if n := p.policy.LongestMonths; n > 0 {
		last := from.AddMonths(n)
		due, overdue = min(due, last), min(overdue, last)
	}
	return due, overdue
}

// limit is the longest wait from a day on which an exam was already due; a
// practice without a limit still has a year.
func (p *person) limit() int {
	if p.policy.LongestMonths == 0 {
		return 12
	}
	return p.policy.LongestMonths
}

func (p *person) choose(i risk.Interval) plan.Recall {
	rc := plan.Recall{MinMonths: i.MinMonths, MaxMonths: i.MaxMonths, ChosenMonths: (i.MinMonths + i.MaxMonths) / 2}
	switch p.policy.Choice {
	case "min":
		rc.ChosenMonths = i.MinMonths
	case "max":
		rc.ChosenMonths = i.MaxMonths
	}
	return rc
}

func (p *person) sayHistory(s *Standing, h history) {
	s.Because = append(s.Because, h.because...)
	s.say("Without an exam here, category "+h.category.Code+" ("+h.category.Name+") is assumed: "+interval(h.category.Recall.MinMonths, h.category.Recall.MaxMonths)+".", "", h.system)
}

// interval words a range of months.
func interval(low, high int) string {
	switch {
	case high == 0:
		return "no interval is given"
	case low == high:
		return "every " + months(high)
	}
	return "every " + strconv.Itoa(low) + " to " + months(high)
}

func first(b source.Because) *source.Source {
	if len(b) == 0 {
		return ourOrder
	}
	return b[0].Source
}

func missing(done exam.Parts) string {
	out := ""
	for _, part := range []struct {
		done bool
		name string
	}{{done.Visual, "the look at skin and wounds"}, {done.Filament, "the monofilament test"}, {done.Pulses, "the pulses"}} {
		if part.done {
			continue
		}
		if out != "" {
			out += ", "
		}
		out += part.name
	}
	return out + " missing"
}
