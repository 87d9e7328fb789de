package measure

import (
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/source"
)

var mips126 = source.MIPS126.At("the measure", source.Confirmed)

var mips126Places = &adultSources{
	visit:     source.MIPS126.At("denominator: 18 or older at a visit", source.Confirmed),
	diabetes:  source.MIPS126.At("denominator: diabetes", source.Confirmed),
	excluded:  source.MIPS126.At("denominator exclusion", source.Secondary),
	numerator: source.MIPS126.At("numerator: monofilament and one further test", source.Confirmed),
}

// NeuroEvaluation is MIPS 126: a neurological exam of the lower limbs, which is
// the 10 g monofilament and at least one of vibration, pinprick, ankle reflexes
// or vibration threshold. A registry measure, so what its text leaves open is
// our reading:
//
//   - "within 12 months" is within the period;
//   - tests of one foot that is there do not stand for the other;
//   - LOPS counts as documented before when an exam signed here before the
//     period found it; a neuropathy code is not a test result;
//   - "cannot respond" is a dementia code together with an exam in the period
//     whose monofilament test was not possible;
//   - a refusal is not a reason: not met.
func NeuroEvaluation() Measure {
	return Measure{
		ID:        "neuro-evaluation",
		Title:     "Diabetic foot care: neurological evaluation",
		Version:   "MIPS 126",
		Text:      "Of the people with diabetes who were 18 or older at a visit in the period, those who had the monofilament test and at least one further nerve test of the feet in the period.",
		Source:    mips126,
		Programme: "A registry measure of the payment programme, listed for 2017 to 2027.",
		Published: Published{MIPS: "126", NQF: "0417"},
		Evaluate:  neuroEvaluation,
		Cases:     neuroCases,
	}
}

type neuroRun struct {
	adult
	filament, second criterion
	exception        criterion
	dementia         criterion
}

func neuroEvaluation(rec *record.Record, ctx Context) Result {
	e := neuroRun{adult: adult{run: start(rec, ctx, "neuro-evaluation"), birth: rec.Person.Birth}}
	for i := range rec.Facts {
		e.fact(&rec.Facts[i])
	}
	known, unable := e.exams(rec)
	e.populations(mips126Places)
	r := &e.result
	if r.Denominator && (known != nil || unable != nil) {
		r.DenominatorExclusion = true
		e.sayExam(known, "loss of protective sensation was already found on ")
		e.sayExam(unable, "the monofilament test was not possible, with dementia in the record, on ")
	}
	open := r.Denominator && !r.DenominatorExclusion
	r.Numerator = open && e.filament.met && e.second.met
	r.Exception = open && !r.Numerator && e.exception.met
	if open {
		e.note(&e.filament, &e.second)
	}
	if e.explain && open {
		e.explainTests()
	}
	return e.done()
}

func (e *neuroRun) fact(f *record.Fact) {
	m := e.sets.of(f)
	if f.Kind == record.Condition && dementiaCode(f.Codes) {
		e.judge(&e.dementia, f, e.diagnosis(f))
	}
	if m == 0 {
		return
	}
	e.adult.fact(f, m, isNeuroExcluded)
	switch {
	case m&isFilament != 0:
		e.judge(&e.filament, f, e.assessment(f))
	case m&isSecondTest != 0:
		e.judge(&e.second, f, e.assessment(f))
	case m&isNeuroMet != 0:
		e.judge(&e.filament, f, e.reported(f))
		e.judge(&e.second, f, e.reported(f))
	case m&isNeuroException != 0:
		e.judge(&e.exception, f, e.reported(f))
	}
}

// exams takes in what was tested here. It returns the earliest exam before the
// period that found LOPS, and the earliest in it whose monofilament test was
// not possible in somebody with dementia.
func (e *neuroRun) exams(rec *record.Record) (lops, unable *record.SignedExam) {
	for i := range rec.Exams {
		x := &rec.Exams[i]
		_, on := x.Exam.At.Days(e.zone)
		v := e.at(x.Exam.At, x.Exam.At)
		if x.Assessment.LOPS.LOPS == known.Yes && on < e.period.First {
			lops = earlier(lops, x)
		}
		if v.yes && e.dementia.met && filamentImpossible(&x.Exam.Draft) {
			unable = earlier(unable, x)
		}
		e.judgeExam(&e.filament, x, v, x.Exam.Done().Filament)
		e.judgeExam(&e.second, x, v, secondTestDone(&x.Exam.Draft))
	}
	return lops, unable
}

func earlier(a, b *record.SignedExam) *record.SignedExam {
	if a == nil || b.Exam.At.Compare(a.Exam.At) < 0 || (b.Exam.At.Compare(a.Exam.At) == 0 && b.Exam.ID < a.Exam.ID) {
		return b
	}
	return a
}

// secondTestDone reports that every foot that is there had one of the further
// tests, with a result.
func secondTestDone(d *exam.Draft) bool {
	feet := 0
	for _, side := range foot.Sides {
		f := d.Foot(side)
		if f.Loss.FootGone() {
			continue
		}
		feet++
		if !anySecondTest(f.Test) {
			return false
		}
	}
	return feet > 0
}

func anySecondTest(t neuro.Foot) bool {
	return t.Vibration.Tested() || t.Pinprick.Tested() || t.Reflex.Abnormal().Known() || t.VPT.Known()
}

// filamentImpossible reports that no site of any foot that is there could be
// tested, and at least one was tried.
func filamentImpossible(d *exam.Draft) bool {
	tried := false
	for _, side := range foot.Sides {
		f := d.Foot(side)
		for _, v := range f.Test.Filament {
			switch v {
			case known.Normal, known.Abnormal:
				return false
			case known.NotPossible:
				tried = true
			}
		}
	}
	return tried
}

func (e *neuroRun) sayExam(x *record.SignedExam, says string) {
	if x != nil && e.explain {
		e.say("Left out: "+says+e.dayOf(x.Exam.At)+".", "exam."+x.Exam.ID, mips126Places.excluded)
	}
}

func (e *neuroRun) explainTests() {
	e.sayPart("monofilament", "Monofilament test", &e.filament, mips126Places.numerator)
	e.sayPart("second-test", "Vibration, pinprick, reflex or vibration threshold", &e.second, mips126Places.numerator)
	if e.result.Exception {
		e.say("Not counted against the rate: a medical reason for not testing was reported"+dated(e.exception.by)+".", e.exception.by.Key, mips126Places.excluded)
	}
}
