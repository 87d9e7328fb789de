package measure

import (
	"slices"

	"tengram/internal/kernel/record"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
)

var recallKeptSource = source.OurMeasures.At("recall kept", source.Proposal)

// RecallKept asks whether people were seen again within the interval of their
// risk category. An exam promises the next one by the last day of its recall
// interval; the promise counts in the period that holds that day. The person
// counts once: met if every promise of the period was kept, in the group of the
// category that made the last one.
func RecallKept() Measure {
	return Measure{
		ID:        "recall-kept",
		Title:     "Seen within the interval of the risk category",
		Version:   "1",
		Text:      "Of the people whose recall interval ended in the period, those who had a full foot exam, here or elsewhere, before it ended. Grouped by the risk category that set the interval. People who had died, left or entered hospice care by then are left out.",
		Source:    recallKeptSource,
		Programme: "A measure of this project for a practice's own use.",
		Evaluate:  recallKept,
		Cases:     recallKeptCases,
	}
}

func recallKept(rec *record.Record, ctx Context) Result {
	p := startProgramme(rec, ctx, "recall-kept", recallKeptSource)
	var promises []*record.SignedExam
	for _, x := range inOrder(rec) {
		if p.in(x.Assessment.Plan.Recall.Overdue) && len(x.Assessment.Risks) > 0 {
			promises = append(promises, x)
		}
	}
	if len(promises) == 0 {
		return p.nobody("No recall interval ended in the period.")
	}
	p.counts()
	last := promises[len(promises)-1]
	_, category := last.Assessment.Risk().ForPlan()
	p.result.Stratum = category.Code + ", " + category.Name
	full := fullDays(rec, p.window)
	kept := true
	for _, x := range promises {
		by := x.Assessment.Plan.Recall.Overdue
		on, _ := x.Exam.At.Days(ctx.Zone)
		i, _ := slices.BinarySearch(full, on+1)
		if i < len(full) && full[i] <= by {
			p.tell("The exam of ", on.String(), " asked for the next by ", by.String(), "; it was on ", full[i].String(), ".")
			continue
		}
		if p.leftOut(by) {
			return p.done()
		}
		kept = false
		seen := "none yet"
		if i < len(full) {
			seen = "the next was on " + full[i].String()
		}
		p.tell("The exam of ", on.String(), " asked for the next by ", by.String(), ".")
		p.lack("exam", "No full exam by ", by.String(), "; ", seen, ".")
	}
	p.result.Numerator = kept
	return p.done()
}

// fullDays lists the days on which all three parts of an exam were done, here or
// elsewhere, in order.
func fullDays(rec *record.Record, w window) []when.Day {
	parts := map[when.Day][3]bool{}
	add := func(d when.Day, p [3]bool) {
		have := parts[d]
		for i := range p {
			have[i] = have[i] || p[i]
		}
		parts[d] = have
	}
	for i := range rec.Exams {
		on, _ := rec.Exams[i].Exam.At.Days(w.zone)
		done := rec.Exams[i].Exam.Done()
		add(on, [3]bool{done.Visual, done.Filament, done.Pulses})
	}
	for i := range rec.Facts {
		visual, filament, pulses := Shown(&rec.Facts[i])
		low, high := rec.Facts[i].Start.Days(w.zone)
		if (visual || filament || pulses) && low == high {
			add(low, [3]bool{visual, filament, pulses})
		}
	}
	var days []when.Day
	for d, p := range parts {
		if d != 0 && p == [3]bool{true, true, true} {
			days = append(days, d)
		}
	}
	slices.Sort(days)
	return days
}
