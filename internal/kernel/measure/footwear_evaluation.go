package measure

import (
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/source"
)

var mips127 = source.MIPS127.At("the measure", source.Confirmed)

var mips127Places = &adultSources{
	visit:     source.MIPS127.At("denominator: 18 or older at a visit", source.Confirmed),
	diabetes:  source.MIPS127.At("denominator: diabetes", source.Confirmed),
	excluded:  source.MIPS127.At("denominator exclusion", source.Secondary),
	numerator: source.MIPS127.At("numerator: footwear looked at, feet sized, advice by risk", source.Confirmed),
}

// FootwearEvaluation is MIPS 127: shoes looked at, feet measured with a
// standard device, advice given that fits the risk, all in one exam. The foot
// exam that the work includes is measured by the others and not asked for a
// second time here, which is our reading.
func FootwearEvaluation() Measure {
	return Measure{
		ID:        "footwear-evaluation",
		Title:     "Diabetic foot care: evaluation of footwear",
		Version:   "MIPS 127",
		Text:      "Of the people with diabetes who were 18 or older at a visit in the period, those whose shoes were looked at and whose feet were measured for size in the period, with advice.",
		Source:    mips127,
		Programme: "A registry measure of the payment programme.",
		Published: Published{MIPS: "127", NQF: "0416"},
		Evaluate:  footwearEvaluation,
		Cases:     footwearCases,
	}
}

type footwearRun struct {
	adult
	footwear criterion
}

func footwearEvaluation(rec *record.Record, ctx Context) Result {
	e := footwearRun{adult: adult{run: start(rec, ctx, "footwear-evaluation"), birth: rec.Person.Birth}}
	for i := range rec.Facts {
		f := &rec.Facts[i]
		m := e.sets.of(f)
		if m == 0 {
			continue
		}
		e.adult.fact(f, m, isFootwearExcluded)
		if m&isFootwearMet != 0 {
			e.judge(&e.footwear, f, e.reported(f))
		}
	}
	for i := range rec.Exams {
		x := &rec.Exams[i]
		e.judgeExam(&e.footwear, x, e.at(x.Exam.At, x.Exam.At), footwearDone(&x.Exam.Draft))
	}
	e.populations(mips127Places)
	r := &e.result
	open := r.Denominator && !r.DenominatorExclusion
	r.Numerator = open && e.footwear.met
	if open {
		e.note(&e.footwear)
	}
	if e.explain && open {
		e.sayPart("footwear", "Shoes looked at, feet measured, advice given", &e.footwear, mips127Places.numerator)
	}
	return e.done()
}

func footwearDone(d *exam.Draft) bool {
	return d.Footwear.Suitable.Tested() && d.Footwear.Sized == known.AnswerYes && d.Teach.Given == known.AnswerYes
}
