package measure

import (
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/source"
)

var completenessSource = source.OurMeasures.At("exam completeness", source.Proposal)

// ExamCompleteness asks whether the last exam signed here in the period did all
// three parts on every foot that is there. It tells whether a low rate of the
// foot exam comes from people who were not seen or from exams that stopped
// half-way.
func ExamCompleteness() Measure {
	return Measure{
		ID:        "exam-completeness",
		Title:     "Exams with all three parts",
		Version:   "1",
		Text:      "Of the people with a foot exam signed here in the period, those whose last one did all three parts: skin and wounds, monofilament, pulses.",
		Source:    completenessSource,
		Programme: "A measure of this project for a practice's own use.",
		Evaluate:  examCompleteness,
		Cases:     completenessCases,
	}
}

func examCompleteness(rec *record.Record, ctx Context) Result {
	p := startProgramme(rec, ctx, "exam-completeness", completenessSource)
	var last *record.SignedExam
	for _, x := range inOrder(rec) {
		if p.at(x.Exam.At, x.Exam.At).yes {
			last = x
		}
	}
	if last == nil {
		return p.nobody("No exam was signed here in the period.")
	}
	p.counts()
	done := last.Exam.Done()
	on := p.dayOf(last.Exam.At)
	p.tell("The last exam of the period was on ", on, ".")
	p.result.Numerator = done.All()
	if !done.Visual {
		p.lack("visual", "Skin and wounds were not looked at on every foot on ", on, ".")
	}
	if !done.Filament {
		p.lack("monofilament", "The monofilament test was not done on every foot on ", on, ".")
	}
	if !done.Pulses {
		p.lack("pulses", "The pulses were not felt on every foot on ", on, ".")
	}
	return p.done()
}
