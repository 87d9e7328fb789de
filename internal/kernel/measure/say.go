package measure

import (
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
)

// say adds a reason.
func (r *run) say(says, fact string, s *source.Source) {
	r.result.Because = append(r.result.Because, source.Reason{Says: says, Fact: fact, Source: s})
}

// gap adds a missing part.
func (r *run) gap(part, says string) {
	r.result.Gaps = append(r.result.Gaps, Gap{part, says})
}

// sayMet names what met a criterion of the population, or what came nearest.
func (r *run) sayMet(c *criterion, name, met, not string, s *source.Source) {
	switch {
	case c.met:
		r.say(name+r.code(c.by)+dated(c.by)+" "+met+".", c.by.Key, s)
	case c.near != nil:
		r.say(not+"; "+c.near.Key+r.code(c.near)+dated(c.near)+" "+c.why+".", c.near.Key, s)
	default:
		r.say(not+".", "", s)
	}
}

// sayPart names what met one part of the numerator, or the gap.
func (r *run) sayPart(part, name string, c *criterion, s *source.Source) {
	switch {
	case c.exam != nil:
		r.say(name+": done in the exam signed here on "+r.dayOf(c.exam.Exam.At)+".", "exam."+c.exam.Exam.ID, ourExamCounts)
	case c.met:
		r.say(name+": result"+dated(c.by)+".", c.by.Key, s)
	case c.undone != nil:
		r.gap(part, name+": not done on every foot in the exam signed here on "+r.dayOf(c.undone.Exam.At)+".")
	case c.near != nil:
		r.gap(part, name+": nothing that counts in the period; "+c.near.Key+dated(c.near)+" "+c.why+".")
	case c.elsewhen != nil:
		r.gap(part, name+": nothing in the period; done in the exam signed here on "+r.dayOf(c.elsewhen.Exam.At)+".")
	default:
		r.gap(part, name+": nothing in the record.")
	}
}

// dayOf is the day in the practice's calendar.
func (w window) dayOf(m when.Moment) string {
	low, _ := m.Days(w.zone)
	return low.String()
}

func dated(f *record.Fact) string {
	switch {
	case !f.Start.IsZero():
		return " on " + f.Start.String()
	case !f.End.IsZero():
		return " until " + f.End.String()
	}
	return ""
}

func since(f *record.Fact) string {
	if f.Start.IsZero() {
		return ""
	}
	return " since " + f.Start.String()
}
