package measure

import (
	"strconv"

	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// notOfAge is the answer for somebody whose age, or whose record, keeps them
// out whatever else stands in it.
func (e *footExamRun) notOfAge(rec *record.Record, age verdict) Result {
	if rec.Person.ReplacedBy != "" {
		e.result.Quality = append(e.result.Quality, "this record was merged into "+rec.Person.ReplacedBy+"; counted there")
		if e.explain {
			e.say("Not counted: this record was merged into "+rec.Person.ReplacedBy+".", "person.replaced-by", mergedOnce)
		}
		return e.done()
	}
	if age.unsure {
		e.result.Quality = append(e.result.Quality, "the birth date "+age.why+"; not counted")
	}
	if e.explain {
		e.sayAge(rec)
	}
	return e.done()
}

func (e *footExamRun) sayAge(rec *record.Record) {
	const wanted = "18 or older and under 75 is asked for"
	first, last := rec.Person.Birth.Days(nil)
	if first == 0 {
		e.say("The birth date is not known; "+wanted+".", "person.birth", cms123Age)
		return
	}
	age := strconv.Itoa(when.Age(last, e.period.First))
	if oldest := when.Age(first, e.period.First); first != last && oldest != when.Age(last, e.period.First) {
		age += " or " + strconv.Itoa(oldest)
	}
	e.say(age+" years old on "+e.period.First.String()+": "+wanted+".", "person.birth", cms123Age)
}

// explainAll puts the whole answer into sentences.
func (e *footExamRun) explainAll(rec *record.Record) {
	e.sayAge(rec)
	e.sayVisit()
	e.sayDiabetes(rec)
	if !e.result.Denominator {
		return
	}
	e.sayExclusions()
	if e.result.DenominatorExclusion {
		return
	}
	e.sayPart("visual", "Feet looked at", &e.visual)
	e.sayPart("monofilament", "Monofilament test", &e.filament)
	e.sayPart("pulses", "Foot pulses", &e.pulse)
}

func (e *footExamRun) sayVisit() {
	c := &e.visit
	switch {
	case c.met:
		e.say("Visit "+e.sets.named(c.by, isVisit)+" on "+c.by.Start.String()+" lies in the period.", c.by.Key, cms123Visit)
	case c.near != nil:
		e.say("No qualifying visit in the period; visit "+e.sets.named(c.near, isVisit)+dated(c.near)+" "+c.why+".", c.near.Key, cms123Visit)
	default:
		e.say("No visit of a kind that qualifies.", "", cms123Visit)
	}
}

func (e *footExamRun) sayDiabetes(rec *record.Record) {
	c := &e.diabetes
	switch {
	case c.met:
		e.say("Diabetes "+e.sets.named(c.by, isDiabetes)+since(c.by)+" is present in the period.", c.by.Key, cms123Diabetes)
	case c.near != nil:
		e.say("No diabetes in the period; "+e.sets.named(c.near, isDiabetes)+dated(c.near)+" "+c.why+".", c.near.Key, cms123Diabetes)
	default:
		e.say("No diagnosis from the diabetes value set.", "", cms123Diabetes)
	}
}

func (e *footExamRun) sayExclusions() {
	if c := &e.hospice; c.met {
		says := "Left out: hospice care"
		if c.by.Kind == record.Order {
			says = "Left out: hospice care was ordered"
		} else if c.by.Kind == record.Encounter {
			says = "Left out: discharged to hospice care"
		}
		e.say(says+" ("+e.sets.named(c.by, isHospice|isInpatient)+")"+dated(c.by)+".", c.by.Key, cms123Hospice)
	}
	switch {
	case e.bilateral.met:
		f := e.bilateral.by
		e.say("Left out: both legs are gone ("+e.sets.named(f, isBilateral)+").", f.Key, cms123Amputated)
	case e.amputated():
		l, r := e.left.by, e.right.by
		e.say("Left out: the left leg is gone ("+e.sets.named(l, isLeft|isOneSided)+since(l)+").", l.Key, cms123Amputated)
		e.say("Left out: the right leg is gone ("+e.sets.named(r, isRight|isOneSided)+since(r)+").", r.Key, cms123Amputated)
	}
}

// sayPart names what met one part of the numerator, or the gap.
func (e *footExamRun) sayPart(part, name string, c *criterion) {
	switch {
	case c.exam != nil:
		e.say(name+": done in the exam signed here on "+e.dayOf(c.exam.Exam.At)+".", "exam."+c.exam.Exam.ID, ourExamCounts)
	case c.met:
		e.say(name+": result"+dated(c.by)+".", c.by.Key, cms123Numerator)
	case c.undone != nil:
		e.gap(part, name+": not done on every foot in the exam signed here on "+e.dayOf(c.undone.Exam.At)+".")
	case c.near != nil:
		e.gap(part, name+": nothing that counts in the period; "+c.near.Key+dated(c.near)+" "+c.why+".")
	case c.elsewhen != nil:
		e.gap(part, name+": nothing in the period; done in the exam signed here on "+e.dayOf(c.elsewhen.Exam.At)+".")
	default:
		e.gap(part, name+": nothing in the record.")
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
