package plan

import (
	"tengram/internal/kernel/danger"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/risk"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
)

// recall counts the next exam from the day of this one, by the highest category
// that is still possible, and names the practice's choice inside the range.
func (b *builder) recall() Recall {
	low, high := b.in.Lead.ForPlan()
	category, reasons := high, source.Because{{
		Says:   "Risk category " + high.Code + " (" + high.Name + ") in " + b.in.Lead.Name + ".",
		Source: b.in.LeadSystem.Source,
	}}
	if low.Rank != high.Rank {
		reasons = append(reasons, source.Reason{Says: "The category is not settled; the recall follows the highest that is possible.", Source: highestStands})
	}
	if c, ok := b.overridden(); ok {
		category = c
		reasons = append(reasons, source.Reason{Says: "A clinician set category " + c.Code + " (" + c.Name + "): " + b.in.Exam.Override.Reason, Fact: "override", Source: overrideRules})
	}
	if b.active() {
		top := b.in.LeadSystem.Categories[len(b.in.LeadSystem.Categories)-1]
		if top.Rank > category.Rank {
			category = top
			reasons = append(reasons, source.Reason{Says: "There is an active foot problem; after it the foot belongs to the highest category.", Source: activeIsTop})
		}
	}
	r := Recall{MinMonths: category.Recall.MinMonths, MaxMonths: category.Recall.MaxMonths, Because: reasons}
	if gone(b.in.LOPS) {
		r.Because = append(r.Because, source.Reason{Says: "Both feet are gone: the stumps and the skin are looked at, there is no foot exam to repeat.", Source: goneFeet})
	}
	if r.MinMonths == 0 {
		r.MinMonths, r.MaxMonths = 12, 12
		r.Because = append(r.Because, source.Reason{Says: "The system gives no interval; everyone with diabetes is examined at least yearly.", Source: yearly})
	}
	r.count(b.in.On, b.in.RecallChoice)
	b.everyVisit(&r)
	return r
}

// SourceOfSchedule is where the counting inside an interval comes from.
var SourceOfSchedule = source.OurProposal.At("from the shortest of the interval, overdue after the longest; a day that a month lacks becomes its last day; the middle is rounded down", source.Proposal)

// Schedule is the recall of a category seen on a day: from the minimum of the
// interval, due at the practice's choice ("min", "middle" or "max") inside it,
// overdue after the maximum. ok is false where the source gives no interval.
func Schedule(on when.Day, i risk.Interval, choice string) (r Recall, ok bool) {
	if i.IsZero() {
		return Recall{}, false
	}
	r = Recall{MinMonths: i.MinMonths, MaxMonths: i.MaxMonths}
	r.count(on, choice)
	return r, true
}

// count fills in the days of the interval.
func (r *Recall) count(on when.Day, choice string) {
	r.ChosenMonths = choose(r.MinMonths, r.MaxMonths, choice)
	r.From, r.Due, r.Overdue = on.AddMonths(r.MinMonths), on.AddMonths(r.ChosenMonths), on.AddMonths(r.MaxMonths)
}

// choose places the practice's choice inside the range; "middle" rounds down.
func choose(low, high int, choice string) int {
	switch choice {
	case "min":
		return low
	case "max":
		return high
	}
	return (low + high) / 2
}

func (b *builder) overridden() (risk.Category, bool) {
	o := b.in.Exam.Override
	if o == nil {
		return risk.Category{}, false
	}
	for _, c := range b.in.LeadSystem.Categories {
		if c.Code == o.Category {
			return c, true
		}
	}
	return risk.Category{}, false
}

func (b *builder) active() bool {
	for _, f := range b.in.Flags {
		if f.Urgency <= danger.OneWorkingDay {
			return true
		}
	}
	return false
}

// everyVisit joins the 2016 list (ulcer or amputation, deformity, insensate
// feet, PAD) with the 2024 one (sensory loss, ulcer or amputation): the wider
// list is the safer one.
func (b *builder) everyVisit(r *Recall) {
	for _, f := range []risk.Factor{risk.LOPS, risk.UlcerHistory, risk.Amputation} {
		if b.in.Facts.Is[f] == known.Yes {
			r.EveryVisit = true
			r.Because = append(r.Because, source.Reason{Says: "Shoes and socks off at every visit: there is " + f.Words() + ".", Source: adaEveryVisit2})
			return
		}
	}
	for _, f := range []risk.Factor{risk.PAD, risk.Deformity} {
		if b.in.Facts.Is[f] == known.Yes {
			r.EveryVisit = true
			r.Because = append(r.Because, source.Reason{Says: "Shoes and socks off at every visit: there is " + f.Words() + ".", Source: adaEveryVisit})
			return
		}
	}
}

// gone reports that no foot is left on either side.
func gone(l *neuro.Result) bool { return l.Feet[foot.Right].Gone && l.Feet[foot.Left].Gone }
