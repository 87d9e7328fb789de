package measure

import (
	"slices"

	"tengram/internal/kernel/cohort"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/term"
)

// cms123 is the published measure.
var cms123 = source.CMS123v7.At("the measure", source.Confirmed)

var (
	cms123Age       = source.CMS123v7.At("initial population: age at the start of the period", source.Confirmed)
	cms123Visit     = source.CMS123v7.At("initial population: qualifying visit", source.Confirmed)
	cms123Diabetes  = source.CMS123v7.At("initial population: diabetes", source.Confirmed)
	cms123Hospice   = source.CMS123v7.At("denominator exclusion: hospice", source.Confirmed)
	cms123Amputated = source.CMS123v7.At("denominator exclusion: amputation of both legs", source.Confirmed)
	cms123Numerator = source.CMS123v7.At("numerator", source.Confirmed)
	ourExamCounts   = source.OurProposal.At("exams signed here: a part counts if it was done on every foot that is there", source.Proposal)
	mergedOnce      = source.OurProposal.At("a person with two records is counted once", source.Proposal)
)

// FootExam is CMS123v7, "Diabetes: Foot Exam".
//
// It follows the published logic where the record is precise. Where the logic
// meets what a record can be, and the engine that publishes results does
// something nobody would mean, we do this, on purpose (reference, section 1.4):
//
//   - Days, not instants: something is inside the period if its day in the
//     practice's own calendar is. The engine ends the period one second before
//     midnight, in universal time.
//   - An active diagnosis without any date counts as present, and is listed
//     under Quality. The engine finds no overlap.
//   - A date known to the year or month is a range of days; see window. One
//     known from one side only is the day that is told, and listed where any
//     other day on the open side would give another answer.
//   - A birth date is never moved by a time zone. Without one the person is not
//     counted and is listed under Quality; the engine fails.
//   - A diagnosis marked as over without a date does not count as overlapping,
//     unless it began in the period (as in the newer published libraries); it
//     is listed.
//   - The time of an assessment is when it was done, not when it was typed in.
//   - A part of an exam signed here counts as a result on the day of the exam,
//     beside imported observations; the three parts may come from both.
//   - A record that was merged into another is not counted a second time.
func FootExam() Measure {
	return Measure{
		ID:      "foot-exam",
		Title:   "Diabetes: foot exam",
		Version: "CMS123v7.5.000",
		Text: "Of the people with diabetes who were at least 18 and under 75 on the first day of the period and had a qualifying visit in it, " +
			"those whose feet were looked at, tested with a monofilament and felt for pulses in the period. " +
			"People in hospice care and people who have lost both legs are left out.",
		Source:    cms123,
		Programme: "In the payment programme for 2017 and 2018, and not since 2019: today an improvement measure of the practice's own. The notice of its steward, NCQA, asks for permission before use in a product that is sold.",
		Published: Published{
			ECQM: "123", MIPS: "163", NQF: "0056",
			VersionSpecific:      "40280382-62C4-DE26-0162-FE2505800CC9",
			VersionNeutral:       "C0D72444-7C26-4863-9B51-8080F8928A85",
			InitialPopulation:    "7567276B-C419-4192-9302-B74184432984",
			Denominator:          "181114D4-30C3-4373-883B-1089B4B5F78C",
			DenominatorExclusion: "169882FC-8B2E-4632-862C-3081579CB7AD",
			NumeratorPopulation:  "1B37DBE9-2193-4846-95BD-A3F3DFF21D5A",
		},
		Evaluate: footExam,
		Cases:    footExamCases,
	}
}

// footExamRun is one evaluation under way.
type footExamRun struct {
	run
	visit, diabetes         criterion
	hospice                 criterion
	legs                    legs
	visual, filament, pulse criterion
}

func footExam(rec *record.Record, ctx Context) Result {
	e := footExamRun{run: start(rec, ctx, "foot-exam")}
	age := e.ageAtStart(rec.Person.Birth, 18, 75)
	if !age.yes || rec.Person.ReplacedBy != "" {
		return e.notOfAge(rec, age)
	}
	for i := range rec.Facts {
		e.fact(&rec.Facts[i])
	}
	e.exams(rec)

	r := &e.result
	r.InitialPopulation = e.visit.met && e.diabetes.met
	r.Denominator = r.InitialPopulation
	r.DenominatorExclusion = r.Denominator && (e.hospice.met || e.legs.both())
	r.Numerator = r.Denominator && !r.DenominatorExclusion && e.visual.met && e.filament.met && e.pulse.met
	e.quality(rec)
	if e.explain {
		e.explainAll(rec)
	}
	return e.done()
}

// fact judges one fact against every criterion that its codes touch.
func (e *footExamRun) fact(f *record.Fact) {
	m := e.sets.of(f)
	if m == 0 {
		return
	}
	switch f.Kind {
	case record.Encounter:
		if m&isVisit != 0 {
			e.judge(&e.visit, f, e.visitInside(f))
		}
		if m&isInpatient != 0 && cohort.HospiceDischarge.HasAny(f.Disposition) {
			e.judge(&e.hospice, f, e.discharged(f))
		}
	case record.Condition:
		if m&isDiabetes != 0 {
			e.judge(&e.diabetes, f, e.diagnosis(f))
		}
		if m&amputation != 0 {
			e.judgeLegs(&e.legs, f, m)
		}
	case record.Procedure:
		if m&isHospice != 0 {
			e.judge(&e.hospice, f, e.care(f))
		}
		if m&amputation != 0 {
			e.judgeLegs(&e.legs, f, m)
		}
	case record.Order:
		if m&isHospice != 0 {
			e.judge(&e.hospice, f, e.ordered(f))
		}
	case record.Observation:
		if m&isVisual != 0 {
			e.judge(&e.visual, f, e.assessment(f))
		}
		if m&isFilament != 0 {
			e.judge(&e.filament, f, e.assessment(f))
		}
		if m&isPulses != 0 {
			e.judge(&e.pulse, f, e.assessment(f))
		}
	}
}

// exams counts the parts of exams that were signed here.
func (e *footExamRun) exams(rec *record.Record) {
	for i := range rec.Exams {
		x := &rec.Exams[i]
		v := e.at(x.Exam.At, x.Exam.At)
		done := x.Exam.Done()
		e.judgeExam(&e.visual, x, v, done.Visual)
		e.judgeExam(&e.filament, x, v, done.Filament)
		e.judgeExam(&e.pulse, x, v, done.Pulses)
	}
}

// quality lists the doubts on which the answer hangs: those of the population
// for everybody, those of exclusions and numerator for the counted.
func (e *footExamRun) quality(rec *record.Record) {
	e.note(&e.visit, &e.diabetes)
	if e.visit.met && !e.diabetes.met {
		for i := range rec.Facts {
			if f := &rec.Facts[i]; parentCode(f) {
				e.result.Quality = append(e.result.Quality, f.Key+" has a category such as E11 for a code, which no value set holds; not counted")
			}
		}
	}
	if e.result.Denominator {
		e.note(&e.hospice, &e.legs.bilateral, &e.legs.left, &e.legs.right, &e.visual, &e.filament, &e.pulse)
	}
}

// parentCode reports a bare category such as E11, which no value set holds.
func parentCode(f *record.Fact) bool {
	return f.Kind == record.Condition && slices.ContainsFunc(f.Codes, func(c term.Code) bool {
		return c.System == term.ICD10CM && (c.Code == "E10" || c.Code == "E11" || c.Code == "E13")
	})
}
