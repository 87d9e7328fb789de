package measure

import (
	"strconv"

	"tengram/internal/kernel/cohort"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
)

var cms122 = source.CMS122.At("the measure", source.Confirmed)

var (
	cms122Age       = source.CMS122.At("initial population: 18 to 75 at the end of the period", source.Confirmed)
	cms122Visit     = source.CMS122.At("initial population: visit", source.Confirmed)
	cms122Diabetes  = source.CMS122.At("initial population: diabetes", source.Confirmed)
	cms122Excluded  = source.CMS122.At("denominator exclusion: hospice, palliative care", source.Confirmed)
	cms122Numerator = source.CMS122.At("numerator: above 9 %, without a result, or not tested", source.Confirmed)
	a1cConversion   = source.NGSPEquation.At("NGSP = 0.09148 x IFCC + 2.152", source.Memory)
)

// PoorControl is the glycaemic measure CMS122 as context for foot care, not for
// reporting: the last HbA1c (or glucose management indicator) above 9 %. Lower
// is better.
//
// The age is 18 to 75 at the end of the period, 75 included: another rule than
// the foot exam's. Left out of it here: the exclusions for nursing homes,
// advanced illness and frailty, whose code sets were not read.
func PoorControl() Measure {
	return Measure{
		ID:            "a1c-poor-control",
		Title:         "Glycaemic status above 9 %, context",
		Version:       "after CMS122, simplified",
		Text:          "Of the people with diabetes aged 18 to 75 at the end of the period who had a visit in it, those whose last HbA1c or glucose management indicator was above 9 %, had no result, or was not done. Lower is better. Nursing-home, frailty and advanced-illness exclusions are not applied.",
		Source:        cms122,
		Programme:     "Context for foot care; not for reporting.",
		LowerIsBetter: true,
		Published:     Published{ECQM: "122", MIPS: "001"},
		Evaluate:      poorControl,
		Cases:         poorControlCases,
	}
}

type controlRun struct {
	run
	visit, diabetes, excluded criterion
	last                      lastTest
}

// lastTest is the most recent day with a test, and the lowest result of it.
type lastTest struct {
	on    when.Day
	value float64
	given bool
	fact  *record.Fact
}

func poorControl(rec *record.Record, ctx Context) Result {
	e := controlRun{run: start(rec, ctx, "a1c-poor-control")}
	age := e.ageAtEnd(rec.Person.Birth, 18, 75)
	if !age.yes {
		if age.unsure {
			e.result.Quality = append(e.result.Quality, "the birth date "+age.why+"; not counted")
		}
		if e.explain {
			e.say("Not 18 to 75 years old on "+e.period.Last.String()+", or the birth date does not tell.", "person.birth", cms122Age)
		}
		return e.done()
	}
	for i := range rec.Facts {
		if f := &rec.Facts[i]; e.sets.of(f) != 0 {
			e.fact(f, e.sets.of(f))
		}
	}
	r := &e.result
	r.InitialPopulation = e.visit.met && e.diabetes.met
	r.Denominator = r.InitialPopulation
	r.DenominatorExclusion = r.Denominator && e.excluded.met
	r.Numerator = r.Denominator && !r.DenominatorExclusion && (!e.last.given || e.last.value > 9)
	e.note(&e.visit, &e.diabetes)
	if r.Denominator {
		e.note(&e.excluded)
	}
	if e.explain {
		e.explainAll()
	}
	return e.done()
}

func (e *controlRun) fact(f *record.Fact, m meaning) {
	switch f.Kind {
	case record.Encounter:
		if m&(isVisit|isDistantVisit) != 0 {
			e.judge(&e.visit, f, e.visitInside(f))
		}
		if m&isInpatient != 0 && cohort.HospiceDischarge.HasAny(f.Disposition) {
			e.judge(&e.excluded, f, e.discharged(f))
		}
	case record.Condition:
		if m&isDiabetes != 0 {
			e.judge(&e.diabetes, f, e.diagnosis(f))
		}
		if m&isPalliative != 0 {
			e.judge(&e.excluded, f, e.diagnosis(f))
		}
	case record.Procedure:
		if m&isHospice != 0 {
			e.judge(&e.excluded, f, e.care(f))
		}
	case record.Order:
		if m&isHospice != 0 {
			e.judge(&e.excluded, f, e.ordered(f))
		}
	case record.Observation:
		if m&(isA1cPercent|isA1cMmol) != 0 {
			e.test(f, m)
		}
	}
}

// test takes a test into the most recent day. A test without a result is a test
// all the same: if no other of its day has one, the result is missing.
func (e *controlRun) test(f *record.Fact, m meaning) {
	if f.Standing != record.Stands || !e.at(f.Start, f.End).yes {
		return
	}
	on, _ := f.Start.Days(e.zone)
	value, given := percent(f, m)
	l := &e.last
	switch {
	case on < l.on:
	case on > l.on, given && (!l.given || value < l.value):
		*l = lastTest{on, value, given, f}
	case given == l.given && value == l.value && before(f, l.fact):
		l.fact = f
	}
}

// percent is the result in per cent (NGSP). A result in mmol/mol is converted
// and never compared with a limit in per cent; a code and a unit that
// contradict each other give no result. A result below a bound counts as the
// bound, one above a bound as just more than it.
func percent(f *record.Fact, m meaning) (float64, bool) {
	v, err := strconv.ParseFloat(f.Value.Number, 64)
	if err != nil || !f.Value.Given {
		return 0, false
	}
	switch unit := f.Value.Unit; {
	case unit == "mmol/mol" && m&isA1cMmol != 0:
		v = 0.09148*v + 2.152
	case unit == "%" && m&isA1cPercent != 0, unit == "" && m&isA1cPercent != 0:
	default:
		return 0, false
	}
	if f.Value.Comparator == ">" {
		v += 0.001
	}
	return v, true
}

// ageAtEnd judges whole years of age on the last day, both ends included.
func (w window) ageAtEnd(birth when.Moment, low, high int) verdict {
	end := window{period: Period{w.period.Last, w.period.Last}}
	return end.ageAtStart(birth, low, high+1)
}

func (e *controlRun) explainAll() {
	e.sayMet(&e.visit, "Visit", "lies in the period", "No qualifying visit in the period", cms122Visit)
	e.sayMet(&e.diabetes, "Diabetes", "is present in the period", "No diabetes in the period", cms122Diabetes)
	switch l := &e.last; {
	case !e.result.Denominator:
	case e.result.DenominatorExclusion:
		e.say("Left out: "+e.excluded.by.Key+e.code(e.excluded.by)+dated(e.excluded.by)+".", e.excluded.by.Key, cms122Excluded)
	case l.fact == nil:
		e.say("No HbA1c or glucose management indicator in the period.", "", cms122Numerator)
	case !l.given:
		e.say("The last test, on "+l.on.String()+", has no result that can be read.", l.fact.Key, cms122Numerator)
	default:
		says := "The last test, on " + l.on.String() + ", was " + l.fact.Value.Comparator + l.fact.Value.Number + " " + l.fact.Value.Unit
		if l.fact.Value.Unit == "mmol/mol" {
			e.say(says+", "+strconv.FormatFloat(l.value, 'f', 1, 64)+" %.", l.fact.Key, a1cConversion)
			return
		}
		e.say(says+".", l.fact.Key, cms122Numerator)
	}
}
