package recall

import (
	"strconv"

	"tengram/internal/kernel/cohort"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

// person is one record being read.
type person struct {
	rec      *record.Record
	policy   Policy
	on       when.Day
	diabetes cohort.Result
	// parts are the last days of looking, monofilament and pulses.
	parts [3]when.Day
	// exam is the newest exam that was assessed, examDay its day; whole is the
	// newest of those that did all three parts.
	exam, whole *record.SignedExam
	examDay     when.Day
	// known is the first dated thing in the record.
	known     when.Day
	nextVisit when.Day
	// ulcerSince is the newest day of an ulcer that the record says is open.
	ulcerSince when.Day
	ulcerFact  string
	until      when.Day
}

// read goes once through facts and exams.
func (p *person) read() {
	for i := range p.rec.Facts {
		p.fact(&p.rec.Facts[i])
	}
	for i := range p.rec.Exams {
		p.signed(&p.rec.Exams[i])
	}
	if p.nextVisit != 0 {
		p.changes(p.nextVisit + 1)
	}
	if died, _ := p.rec.Person.DiedAt.Days(nil); died > p.on {
		p.changes(died)
	}
}

// changes notes a later day on which the standing is another.
func (p *person) changes(on when.Day) {
	if on > p.on && (p.until == 0 || on < p.until) {
		p.until = on
	}
}

func (p *person) fact(f *record.Fact) {
	low, _ := f.Start.Days(p.policy.Zone)
	_, high := f.End.Days(p.policy.Zone)
	if low != 0 && f.Standing == record.Stands && (p.known == 0 || low < p.known) {
		p.known = low
	}
	switch f.Kind {
	case record.Appointment, record.Encounter:
		booked := f.Standing == record.Planned || (f.Kind == record.Appointment && f.Standing == record.Stands)
		if booked && low >= p.on && (p.nextVisit == 0 || low < p.nextVisit) {
			p.nextVisit = low
		}
		p.changes(high + 1)
	case record.Observation:
		visual, filament, pulses := measure.Shown(f)
		for i, shown := range [3]bool{visual, filament, pulses} {
			if shown && low != 0 && low <= p.on {
				p.parts[i] = max(p.parts[i], low)
			}
		}
	case record.Condition:
		p.changes(low)
		p.changes(high + 1)
		if f.Standing == record.Stands && f.Ended != known.Yes && low <= p.on && openUlcerCode(f.Codes) && low >= p.ulcerSince {
			p.ulcerSince, p.ulcerFact = low, f.Key
		}
	case record.Procedure, record.Order:
		if cohort.HospiceCodes.HasAny(f.Codes) {
			p.changes(low)
			p.changes(high + 1)
			p.changes(low.AddMonths(cohort.HospiceMonths))
		}
	}
}

func (p *person) signed(x *record.SignedExam) {
	on, _ := x.Exam.At.Days(p.policy.Zone)
	if on == 0 || on > p.on {
		return
	}
	done := x.Exam.Done()
	for i, did := range [3]bool{done.Visual, done.Filament, done.Pulses} {
		if did {
			p.parts[i] = max(p.parts[i], on)
		}
	}
	if len(x.Assessment.Risks) == 0 {
		return
	}
	if p.exam == nil || newer(x, p.exam) {
		p.exam, p.examDay = x, on
	}
	if done.All() && (p.whole == nil || newer(x, p.whole)) {
		p.whole = x
	}
}

func newer(a, b *record.SignedExam) bool {
	if c := a.Exam.At.Compare(b.Exam.At); c != 0 {
		return c > 0
	}
	return a.Exam.ID > b.Exam.ID
}

func (p *person) lastFull() when.Day { return min(p.parts[0], p.parts[1], p.parts[2]) }

// ulcers counts what is open and sets its clock.
func (p *person) ulcers(s *Standing) {
	var oldest when.Day
	for _, c := range measure.Courses(p.rec, p.policy.Zone, p.on) {
		if c.Healed != 0 {
			continue
		}
		s.OpenUlcers++
		if oldest == 0 || c.LastSeen < oldest {
			oldest = c.LastSeen
		}
	}
	if oldest != 0 {
		s.UlcerDue = oldest.AddDays(p.policy.UlcerDays)
	}
	if p.ulcerUnseen() {
		s.OpenUlcers++
		since := p.ulcerSince
		if since == 0 {
			since = p.on
		}
		if s.UlcerDue == 0 || since < s.UlcerDue {
			s.UlcerDue = since
		}
	}
}

// ulcerUnseen reports an ulcer that the record says is open and that no exam
// here has looked at since.
func (p *person) ulcerUnseen() bool {
	return p.ulcerFact != "" && (p.parts[0] == 0 || p.parts[0] < p.ulcerSince)
}

// openUlcerCode reports a code of a foot ulcer that is there: diabetes with
// foot ulcer (E08 to E13, .621), ulcer of heel, midfoot or other part of the
// foot (L97.4, L97.5), pressure ulcer of the heel (L89.6); foot-risk table,
// order file of 2021. In SNOMED CT diabetic foot ulcer, without a side, left or
// right, and neuropathic ulcer; exam codes table.
func openUlcerCode(codes []term.Code) bool {
	for _, c := range codes {
		if c.System == term.SNOMED {
			switch c.Code {
			case "371087003", "860978005", "860977000", "201251005":
				return true
			}
		}
		if c.System != term.ICD10CM || len(c.Code) < 5 {
			continue
		}
		switch c.Code[:3] {
		case "E08", "E09", "E10", "E11", "E13":
			if c.Code[3:] == ".621" {
				return true
			}
		case "L97":
			if c.Code[4] == '4' || c.Code[4] == '5' {
				return true
			}
		case "L89":
			if c.Code[4] == '6' {
				return true
			}
		}
	}
	return false
}

func months(n int) string {
	if n == 1 {
		return "1 month"
	}
	return strconv.Itoa(n) + " months"
}

func (s *Standing) say(says, fact string, src *source.Source) {
	s.Because = append(s.Because, source.Reason{Says: says, Fact: fact, Source: src})
}
