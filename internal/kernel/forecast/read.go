package forecast

import (
	"slices"

	"tengram/internal/kernel/cohort"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

// dueAfter is for how many days after somebody met the measure the next time is
// not due yet, and a visit seldom brings it. Our proposal.
const dueAfter = 300

// member is what the forecast keeps of one person.
type member struct {
	id string
	// counted: in the count now. A member who is not counted is once they come.
	counted bool
	// met: meets the measure now. metWhenSeen: nothing is missing but a visit.
	met, metWhenSeen bool
	// called is false for somebody who will not come: dead, left, in hospice.
	called bool
	// since is the first day of the history that is read; visits are the days of
	// qualifying visits from then to today, in order.
	since  when.Day
	visits []when.Day
	booked []when.Day
	// lastMet is the last day before the period by which the measure was met;
	// fails counts this period's visits that did not
	// bring it though it was due.
	lastMet when.Day
	fails   int
	tried   []attempt
	missing []measure.Gap
}

// attempt is one visit of somebody who had not met the measure: of its class,
// and whether it brought the measure.
type attempt struct {
	day   when.Day
	class int
	met   bool
}

// Add reads one person.
func (p *Panel) Add(rec *record.Record) {
	whole := p.in(rec, p.context.Period.First, p.today)
	m := member{id: rec.Person.ID, counted: counts(whole), met: whole.Numerator}
	if !m.counted {
		if whole.Denominator { // left out or excused, and stays so
			return
		}
		if seen := p.ifSeen(rec, false); !counts(seen) {
			return
		} else {
			m.metWhenSeen = seen.Numerator
		}
	}
	if m.counted {
		p.now.Of++
		if m.met {
			p.now.Met++
		}
	}
	m.called, _ = cohort.Watched(rec, p.today)
	days := p.days(rec, &m)
	period := p.context.Period
	last := measure.Period{First: period.First.AddMonths(-12), Last: period.First - 1}
	m.lastMet = p.lastMet(rec, days, last)
	before := measure.Period{First: last.First.AddMonths(-12), Last: last.First - 1}
	p.learn(rec, &m, last, p.lastMet(rec, days, before), days)
	m.fails = p.learn(rec, &m, measure.Period{First: period.First, Last: p.today}, m.lastMet, days)
	if !m.met && !m.metWhenSeen {
		m.missing = p.missing(rec, m.counted)
	}
	p.members = append(p.members, m)
}

// counts is whether a result is in what a rate is divided by.
func counts(r measure.Result) bool {
	return r.Denominator && !r.DenominatorExclusion && !r.Exception
}

func (p *Panel) in(rec *record.Record, first, last when.Day) measure.Result {
	ctx := p.context
	ctx.Period = measure.Period{First: first, Last: last}
	return p.measure.Evaluate(rec, ctx)
}

// ifSeen is the measure of today as if the person had a qualifying visit today.
// The code is any that qualifies.
func (p *Panel) ifSeen(rec *record.Record, explain bool) measure.Result {
	with := *rec
	today := when.OnDay(p.today)
	with.Facts = append(slices.Clip(rec.Facts), record.Fact{
		Kind: record.Encounter, Key: "forecast", Codes: []term.Code{{System: term.CPT, Code: "99213"}}, Start: today, End: today,
	})
	ctx := p.context
	ctx.Period.Last, ctx.Explain = p.today, explain
	return p.measure.Evaluate(&with, ctx)
}

func (p *Panel) missing(rec *record.Record, counted bool) []measure.Gap {
	if !counted {
		return p.ifSeen(rec, true).Gaps
	}
	ctx := p.context
	ctx.Period.Last, ctx.Explain = p.today, true
	return p.measure.Evaluate(rec, ctx).Gaps
}

// days fills the visits and bookings of a member, counts the bookings of the
// past, and returns the days on which anything was done, in order.
func (p *Panel) days(rec *record.Record, m *member) []when.Day {
	from := p.today - when.Day(p.options.LookbackDays)
	known := p.today
	var days, booked []when.Day
	for i := range rec.Facts {
		f := &rec.Facts[i]
		day, _ := f.Start.Days(p.context.Zone)
		if day == 0 {
			continue
		}
		if f.Standing == record.Stands {
			known = min(known, day)
		}
		switch f.Kind {
		case record.Encounter, record.Appointment:
			if f.Standing == record.Planned || f.Kind == record.Appointment && (f.Standing == record.Stands || f.Standing == record.NotDone) {
				booked = append(booked, day)
			}
			if day > from && day <= p.today && measure.QualifyingVisit(f, p.context.Sets) {
				m.visits = append(m.visits, day)
			}
			days = append(days, day)
		case record.Observation, record.Procedure:
			days = append(days, day)
		}
	}
	for i := range rec.Exams {
		if day, _ := rec.Exams[i].Exam.At.Days(p.context.Zone); day != 0 {
			days = append(days, day)
		}
	}
	m.since = max(from, known)
	m.visits = distinct(m.visits)
	for _, day := range distinct(booked) {
		_, came := slices.BinarySearch(m.visits, day)
		switch {
		case day > p.context.Period.Last:
		case day > p.today || day == p.today && !came:
			m.booked = append(m.booked, day)
		case day > from && came:
			p.kept++
		case day > from:
			p.missed++
		}
	}
	return distinct(days)
}

func distinct(days []when.Day) []when.Day {
	slices.Sort(days)
	return slices.Compact(days)
}

// inside are the days of a list that lie in a period.
func inside(days []when.Day, period measure.Period) []when.Day {
	low, _ := slices.BinarySearch(days, period.First)
	high, _ := slices.BinarySearch(days, period.Last+1)
	return days[low:max(low, high)]
}

// lastMet is the last day from which to the end of a period the measure is
// still met, or zero where the whole period does not meet it.
func (p *Panel) lastMet(rec *record.Record, days []when.Day, period measure.Period) when.Day {
	days = inside(days, period)
	low, high := 0, len(days) // met from days[:low], not met from days[high:]
	for low < high {
		middle := (low + high) / 2
		if p.in(rec, days[middle], period.Last).Numerator {
			low = middle + 1
		} else {
			high = middle
		}
	}
	if low == 0 {
		return 0
	}
	return days[low-1]
}

// firstMet is the first day up to which a period meets the measure, or zero.
func (p *Panel) firstMet(rec *record.Record, days []when.Day, period measure.Period) when.Day {
	days = inside(days, period)
	low, high := 0, len(days) // not met by days[:low], met by days[high:]
	for low < high {
		middle := (low + high) / 2
		if p.in(rec, period.First, days[middle]).Numerator {
			high = middle
		} else {
			low = middle + 1
		}
	}
	if low == len(days) {
		return 0
	}
	return days[low]
}

// The classes of a visit: early, while the measure is not due yet; then, for
// people who met it in the year before and for those who did not, by how many
// visits of the period have already not brought it though it was due. Whoever
// was missed before is likelier to be missed again.
const (
	early = iota
	again
	againMissed
	fresh
	freshMissed
	freshMissedOften
	classes
)

func class(day, lastMet when.Day, fails int) int {
	switch {
	case lastMet == 0:
		return fresh + min(fails, 2)
	case day-lastMet < dueAfter:
		return early
	}
	return again + min(fails, 1)
}

// learn keeps what a period's visits made of somebody who was counted in it, up
// to the first day that met the measure, and returns how many did not bring it
// though it was due. A day that met it counts as a visit whether there was one
// or not.
func (p *Panel) learn(rec *record.Record, m *member, period measure.Period, lastMet when.Day, days []when.Day) (fails int) {
	whole := p.in(rec, period.First, period.Last)
	if !counts(whole) {
		return 0
	}
	met := when.Day(0)
	if whole.Numerator {
		met = p.firstMet(rec, days, period)
	}
	for _, day := range inside(m.visits, period) {
		if met != 0 && day >= met {
			break
		}
		c := class(day, lastMet, fails)
		m.tried = append(m.tried, attempt{day, c, false})
		if c != early {
			fails++
		}
	}
	if met != 0 {
		m.tried = append(m.tried, attempt{met, class(met, lastMet, fails), true})
	}
	return fails
}
