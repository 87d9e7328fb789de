package measure

import (
	"slices"
	"time"

	"tengram/internal/kernel/cohort"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// ShoeConditionsOf reads the six conditions from a record: from what its codes
// and earlier exams say, and from the last exam here up to the day. What neither
// says stays unknown.
func ShoeConditionsOf(rec *record.Record, zone *time.Location, on when.Day) ShoeConditions {
	bg := rec.Background(on)
	s := ShoeConditions{
		Diabetes:        cohort.Diabetes(rec, on).Is,
		Amputation:      bg.Amputation.Is,
		UlcerHistory:    bg.UlcerHistory.Is,
		Neuropathy:      bg.Neuropathy.Is,
		Deformity:       bg.Deformity.Is,
		PoorCirculation: bg.PAD.Is,
	}
	var last *record.SignedExam
	for _, x := range inOrder(rec) {
		if day, _ := x.Exam.At.Days(zone); day == 0 || day > on {
			continue
		}
		last = x
		if hasLesion(&x.Exam.Draft, exam.BleedingUnderCallus) {
			s.PreUlcerativeCallus = known.Yes
		}
	}
	if last == nil {
		return s
	}
	d := &last.Exam.Draft
	s.Amputation = join(s.Amputation, known.Any(d.Right.Loss.Any(), d.Left.Loss.Any()))
	s.UlcerHistory = join(s.UlcerHistory, d.Ask.UlcerHistory.Tri())
	s.Neuropathy = join(s.Neuropathy, last.Assessment.LOPS.LOPS)
	s.PoorCirculation = join(s.PoorCirculation, last.Assessment.PAD.PAD)
	s.Deformity = join(s.Deformity, eachFoot(d, func(f *exam.Foot) known.Tri {
		if len(f.Look.Deformities) > 0 {
			return known.Yes
		}
		return f.Look.Shape.Abnormal()
	}))
	s.Callus = eachFoot(d, func(f *exam.Foot) known.Tri {
		switch {
		case slices.ContainsFunc(f.Look.Lesions, func(l exam.Lesion) bool { return l.Kind == exam.Callus || l.Kind == exam.BleedingUnderCallus }):
			return known.Yes
		case f.Look.Skin == known.Normal || len(f.Look.Lesions) > 0:
			return known.No
		}
		return known.Unknown
	})
	return s
}

// join lets a yes of either side stand, and else takes what the exam says: the
// record's silence is not a no.
func join(fromRecord, fromExam known.Tri) known.Tri {
	if fromRecord == known.Yes {
		return known.Yes
	}
	return fromExam
}

// eachFoot is Yes if one foot that is there says yes, No if all say no.
func eachFoot(d *exam.Draft, ask func(*exam.Foot) known.Tri) known.Tri {
	out := known.No
	for _, side := range foot.Sides {
		if f := d.Foot(side); !f.Loss.FootGone() {
			out = known.Any(out, ask(f))
		}
	}
	return out
}

func hasLesion(d *exam.Draft, kind exam.LesionKind) bool {
	for _, side := range foot.Sides {
		if slices.ContainsFunc(d.Foot(side).Look.Lesions, func(l exam.Lesion) bool { return l.Kind == kind }) {
			return true
		}
	}
	return false
}
