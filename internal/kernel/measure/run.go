package measure

import (
	"slices"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
)

// run is one evaluation of one person under way, the part that the measures
// share. It makes no maps and formats nothing unless asked to explain.
type run struct {
	window
	sets    *Sets
	explain bool
	result  Result
}

func start(rec *record.Record, ctx Context, id string) run {
	sets := ctx.Sets
	if sets == nil {
		sets = sets2018
	}
	return run{
		window:  window{ctx.Period, ctx.Zone},
		sets:    sets,
		explain: ctx.Explain,
		result:  Result{Measure: id, Period: ctx.Period, Patient: rec.Person.ID},
	}
}

// criterion is one condition of a measure, met by one fact or exam out of many.
type criterion struct {
	met bool
	// sure: met by something whose date leaves no doubt.
	sure bool
	// by and exam are what met it, kept for an explanation only: the earliest,
	// so that the order of facts does not matter.
	by   *record.Fact
	exam *record.SignedExam
	// near is the latest thing that did not meet it, and why.
	near *record.Fact
	why  string
	// undone is the latest exam in the period that did not do this part,
	// elsewhen the latest exam outside it that did.
	undone, elsewhen *record.SignedExam
	// doubts are notes for Quality, should nothing sure meet the criterion.
	doubts []string
}

// judge takes the verdict on one fact into a criterion.
func (r *run) judge(c *criterion, f *record.Fact, v verdict) {
	if v.yes {
		c.met = true
		c.sure = c.sure || !v.unsure
		if r.explain && (c.by == nil || before(f, c.by)) {
			c.by = f
		}
	} else if r.explain && (c.near == nil || before(c.near, f)) {
		c.near, c.why = f, v.why
	}
	if v.unsure {
		c.doubts = append(c.doubts, r.doubt(f, v))
	}
}

// judgeExam takes one part of an exam signed here into a criterion: v is whether
// the exam counts, done whether this part of it was done.
func (r *run) judgeExam(c *criterion, x *record.SignedExam, v verdict, done bool) {
	if v.yes && done {
		c.met, c.sure = true, true
		if r.explain && (c.exam == nil || x.Exam.At.Compare(c.exam.Exam.At) < 0) {
			c.exam = x
		}
		return
	}
	if !r.explain {
		return
	}
	which := &c.undone
	if !v.yes {
		which = &c.elsewhen
	}
	if v.yes != done && (*which == nil || x.Exam.At.Compare((*which).Exam.At) > 0) {
		*which = x
	}
}

// before orders facts by last possible day as written, then by instant, then by
// key: an order for any mixture of precisions.
func before(a, b *record.Fact) bool {
	_, dayA := a.Start.Days(nil)
	_, dayB := b.Start.Days(nil)
	if dayA != dayB {
		return dayA < dayB
	}
	msA, instantA := a.Start.UnixMilli()
	msB, instantB := b.Start.UnixMilli()
	if instantA != instantB {
		return instantB
	}
	if msA != msB {
		return msA < msB
	}
	return a.Key < b.Key
}

func (r *run) doubt(f *record.Fact, v verdict) string {
	counted := "; not counted"
	if v.yes {
		counted = "; counted"
	}
	return f.Key + r.code(f) + " " + v.why + counted
}

// code names the codings of a fact, in brackets.
func (r *run) code(f *record.Fact) string {
	if c := r.sets.named(f, ^meaning(0)); c != "" {
		return " (" + c + ")"
	}
	return ""
}

// note adds to Quality whatever a criterion was left in doubt about.
func (r *run) note(cs ...*criterion) {
	for _, c := range cs {
		if !c.sure {
			r.result.Quality = append(r.result.Quality, c.doubts...)
		}
	}
}

// done closes the evaluation. Quality is sorted, so that the order of facts
// does not matter.
func (r *run) done() Result {
	if len(r.result.Quality) > 1 {
		slices.Sort(r.result.Quality)
		r.result.Quality = slices.Compact(r.result.Quality)
	}
	return r.result
}

// The rules for each kind of fact follow. A fact that does not stand is never
// counted, and never read as the opposite.

// visitInside: a finished visit, wholly inside the period.
func (r *run) visitInside(f *record.Fact) verdict {
	if f.Standing != record.Stands {
		return verdict{why: notFinal}
	}
	return r.inside(f.Start, f.End)
}

// ordered: an order written in the period. Published logic takes the intent
// "order" and none of the kinds that FHIR places below it; one of those, which
// stands for care all the same, is listed.
func (r *run) ordered(f *record.Fact) verdict {
	if f.Standing != record.Stands {
		return verdict{why: notFinal}
	}
	v := r.at(f.Start, f.Start)
	if f.Intent != "" {
		return verdict{why: notPlain, unsure: v.yes}
	}
	return v
}

// discharged: a stay that ended in the period, whenever it began.
func (r *run) discharged(f *record.Fact) verdict {
	if f.Standing != record.Stands {
		return verdict{why: notFinal}
	}
	if f.End.IsZero() {
		return verdict{why: noEnd}
	}
	return r.at(f.End, f.End)
}

// diagnosis: present at some time in the period.
func (r *run) diagnosis(f *record.Fact) verdict {
	if f.Standing != record.Stands {
		return verdict{why: notFinal}
	}
	return r.overlaps(f)
}

// care: given at some time in the period; care under way counts.
func (r *run) care(f *record.Fact) verdict {
	underWay := f.Standing == record.Planned && f.Ended == known.No
	if f.Standing != record.Stands && !underWay {
		return verdict{why: notFinal}
	}
	return r.careOverlaps(f)
}

// assessment: done in the period, from its start to its end, with a result. One
// whose end nobody wrote down is not, as with a visit. Published logic reads the code
// of an observation and not those of its components; a component that would
// count is listed.
func (r *run) assessment(f *record.Fact) verdict {
	switch _, part := f.Whole(); {
	case part:
		return verdict{why: component, unsure: f.Standing == record.Stands && f.Value.Given && r.inside(f.Start, f.End).yes}
	case f.Standing != record.Stands:
		return verdict{why: notFinal}
	case !f.Value.Given:
		return verdict{why: noResult}
	}
	return r.inside(f.Start, f.End)
}
