package plan

import (
	"cmp"
	"slices"

	"tengram/internal/kernel/danger"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/heat"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/risk"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
)

// The plan editions.
const (
	US = "us-2024"
	UK = "uk-ng19"
)

// Input is everything that a plan depends on.
type Input struct {
	// Edition is US or UK.
	Edition    string
	On         when.Day
	Exam       *exam.Draft
	Background *exam.Background
	LOPS       *neuro.Result
	PAD        *perfusion.Result
	Heat       *heat.Result
	Ulcers     []wound.Result
	Flags      []danger.Flag
	// Facts are the risk factors, and Lead the result of the edition's own
	// system. Nice is that of NG19, whose referral times are the only ones read
	// in a guideline, and IWGDF that of IWGDF 2023, whose categories decide about
	// footwear and home temperatures; both serve both editions.
	Facts *risk.Facts
	Lead  *risk.Result
	Nice  *risk.Result
	IWGDF *risk.Result
	// LeadSystem gives the categories that an override may name.
	LeadSystem *risk.System
	// RecallChoice is "min", "middle" or "max".
	RecallChoice string
}

// Make builds the plan. Actions are unique by ID, each with the soonest of the
// deadlines asked for it, ordered by urgency and then by ID.
func Make(in Input) Plan {
	b := &builder{in: in, actions: make([]Action, 0, 12)}
	b.danger()
	b.circulation()
	b.specialist()
	b.skin()
	b.footwear()
	b.teaching()
	b.health()
	b.unfinished()
	slices.SortFunc(b.actions, func(x, y Action) int {
		return cmp.Or(cmp.Compare(x.Urgency, y.Urgency), cmp.Compare(x.ID, y.ID))
	})
	for i := range b.actions {
		b.actions[i].Due = Deadline(in.On, b.actions[i].Urgency)
	}
	return Plan{Edition: in.Edition, Actions: b.actions, Recall: b.recall()}
}

// TriageBy is the last day on which the foot team triages an active problem
// that was found on a day: referral within 1 working day, triage within 1
// further working day (NICE NG19, second hand).
func TriageBy(on when.Day) when.Day { return on.AddWorkingDays(2) }

// Deadline is the last day for an urgency that starts on a day. Working days
// are Monday to Friday; public holidays are the practice's to know. Routine has
// no deadline of its own: it waits for the next exam.
func Deadline(on when.Day, u danger.Urgency) when.Day {
	switch u {
	case danger.Now, danger.SameDay:
		return on
	case danger.OneWorkingDay:
		return on.AddWorkingDays(1)
	case danger.FourDays:
		return on.AddDays(4)
	case danger.TwoWeeks:
		return on.AddDays(14)
	case danger.FourWeeks:
		return on.AddDays(28)
	case danger.EightWeeks:
		return on.AddDays(56)
	case danger.ThreeMonths:
		return on.AddMonths(3)
	}
	return 0
}

type builder struct {
	in      Input
	actions []Action
}

// add puts an action in, or sharpens the one that is already there. A reason
// that is already given is not given again.
func (b *builder) add(a Action) {
	i := slices.IndexFunc(b.actions, func(old Action) bool { return old.ID == a.ID })
	if i < 0 {
		b.actions = append(b.actions, a)
		return
	}
	old := &b.actions[i]
	if a.Urgency < old.Urgency {
		old.Urgency, old.Says, old.To = a.Urgency, a.Says, a.To
	}
	old.Because = slices.Clip(old.Because)
	for _, r := range a.Because {
		if !slices.ContainsFunc(old.Because, func(o source.Reason) bool { return o.Says == r.Says && o.Fact == r.Fact }) {
			old.Because = append(old.Because, r)
		}
	}
}

func because(says string, src *source.Source) source.Because {
	return source.Because{{Says: says, Source: src}}
}
