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
	e.sayPart("visual", "Feet looked at", &e.visual, cms123Numerator)
	e.sayPart("monofilament", "Monofilament test", &e.filament, cms123Numerator)
	e.sayPart("pulses", "Foot pulses", &e.pulse, cms123Numerator)
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
	e.sayLegs(&e.legs, cms123Amputated)
}
