package record

import (
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/when"
)

// Background is what the record says on the day of an exam, for the rules: from
// coded facts that stand and began on that day or before, and from signed exams
// of earlier days. The record can only say yes: what it does not say is left
// unknown. Where several facts say the same, the newest is named.
//
// A fact dated to the month or year counts from the first day that it may mean;
// a fact without a date counts. What a person has now (artery disease,
// neuropathy, low vision, kidney failure, dialysis, smoking) no longer counts
// from a condition that has surely ended; what a person has had counts for
// good.
func (r *Record) Background(on when.Day) exam.Background {
	g := gathered{on: on}
	for i := range r.Facts {
		g.fact(&r.Facts[i])
	}
	var bg exam.Background
	for i := range r.Exams {
		if day := examDay(&r.Exams[i]); day != 0 && day < on {
			g.exam(&r.Exams[i].Exam.Draft, day)
			bg.Ulcers = appendUlcers(bg.Ulcers, &r.Exams[i].Exam.Draft, day)
		}
	}
	g.settleAnswers()

	bg.UlcerHistory = g.item(meansUlcerHistory)
	bg.OpenUlcer = g.newer(meansUlcer, g.noWound)
	bg.Amputation = g.item(meansAmputation)
	bg.CharcotHistory = g.item(meansCharcot)
	bg.Revascularised = g.item(meansRevascularised)
	bg.PAD = g.item(meansPAD)
	bg.Neuropathy = g.item(meansNeuropathy)
	bg.Retinopathy = g.item(meansRetinopathy)
	bg.LowVision = g.item(meansLowVision)
	bg.Deformity = g.item(meansDeformity)
	bg.KidneyFailure = g.item(meansKidneyFailure)
	bg.Dialysis = g.item(meansDialysis)
	bg.Transplant = g.item(meansTransplant)
	bg.EGFRBelow30 = g.newer(meansEGFRBelow30, g.egfrAbove)
	bg.Smoker = g.newer(meansSmoker, g.notSmoking)
	bg.Loss = g.losses()
	bg.Age = ageOn(r.Person.Birth, on)
	if g.diabetesSince != 0 {
		bg.DiabetesYears = known.Value(max(0, when.Age(g.diabetesSince, on)))
	}
	return bg
}

// examDay is the day of an exam as written at its place.
func examDay(e *SignedExam) when.Day {
	_, day := e.Exam.At.Days(nil)
	return day
}

func appendUlcers(list []exam.PastUlcer, d *exam.Draft, day when.Day) []exam.PastUlcer {
	for _, u := range d.Ulcers {
		list = append(list, exam.PastUlcer{On: day.String(), Ulcer: u})
	}
	return list
}

// ageOn is the age that is surely reached, 0 for an unknown birth.
func ageOn(birth when.Moment, on when.Day) int {
	_, last := birth.Days(nil)
	if last == 0 || last > on {
		return 0
	}
	return when.Age(last, on)
}

// losses joins codes and exams for each side. An examiner who looked stands
// before codes of the same day or earlier, and before codes without a date;
// later codes add to it.
func (g *gathered) losses() (out [2]foot.Loss) {
	for _, side := range foot.Sides {
		seen := g.seenLoss[side]
		out[side] = seen.loss
		for _, l := range g.codedLoss {
			if l.sides.has(side) && (seen.loss.IsZero() || l.from > seen.on) {
				out[side] = worseLoss(out[side], l.loss)
			}
		}
	}
	return out
}

// worseLoss is the higher of two losses; of two losses of toes, both.
func worseLoss(a, b foot.Loss) foot.Loss {
	switch {
	case a.Level == foot.ToesOnly && b.Level == foot.ToesOnly:
		return foot.Loss{Level: foot.ToesOnly, Toes: a.Toes | b.Toes, Rays: a.Rays | b.Rays}
	case b.Level > a.Level:
		return b
	}
	return a
}
