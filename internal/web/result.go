package web

import (
	"fmt"
	"slices"
	"strings"

	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/danger"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/plan"
	"tengram/internal/kernel/risk"
	"tengram/internal/kernel/when"
)

// resultView is what an assessment says, beside the form or on a page of its
// own.
type resultView struct {
	assess.Assessment
	Problems []exam.Problem
	// Live: the form is on the same page, so that a missing answer can lead to
	// its control.
	Live bool
	// Gone lists the paths that amputation has taken away, for the form.
	Gone []string
	// At says when it was computed, such as "24 Nov 2026".
	At string
}

// Low and High are the bounds that the plan follows.
func (v resultView) bounds() (low, high risk.Category) {
	if len(v.Risks) == 0 {
		return risk.Category{}, risk.Category{}
	}
	return v.Risk().ForPlan()
}

// Gist is the whole result in one line.
func (v resultView) Gist() string {
	if len(v.Risks) == 0 {
		return "No result yet."
	}
	parts := []string{"Risk " + riskWords(v.bounds())}
	if n := len(v.Flags); n > 0 {
		parts = append(parts, counted(n, "red flag"))
	}
	if n := len(v.missing(exam.ForRisk)); n > 0 {
		parts = append(parts, counted(n, "answer")+" open for the risk")
	}
	if n := len(v.blocking()); n > 0 {
		parts = append(parts, counted(n, "problem")+" to mend")
	}
	return strings.Join(parts, " · ")
}

func (v resultView) blocking() []exam.Problem {
	return slices.DeleteFunc(slices.Clone(v.Problems), func(p exam.Problem) bool { return !p.Blocks })
}

// purposes are the purposes of a missing answer with their headings.
var purposes = []struct {
	purpose exam.Purpose
	title   string
}{
	{exam.ForRisk, "To settle the risk"},
	{exam.ForMeasure, "To count for the measure"},
	{exam.ForComprehensive, "For a comprehensive exam"},
}

func (v resultView) missing(p exam.Purpose) []exam.Missing {
	return slices.DeleteFunc(slices.Clone(v.Missing), func(m exam.Missing) bool { return m.Purpose != p })
}

// urgencyGroup is the actions of one urgency.
type urgencyGroup struct {
	Words   string
	Actions []plan.Action
}

// byUrgency keeps the plan's order and puts one heading over each urgency.
func byUrgency(p plan.Plan) []urgencyGroup {
	var groups []urgencyGroup
	for _, a := range p.Actions {
		words := a.Urgency.Words()
		if n := len(groups); n == 0 || groups[n-1].Words != words {
			groups = append(groups, urgencyGroup{Words: words})
		}
		last := &groups[len(groups)-1]
		last.Actions = append(last.Actions, a)
	}
	return groups
}

// recallWords says when the feet are examined again.
func recallWords(r plan.Recall) string {
	if r.Due.IsZero() {
		return "No date follows from what is recorded."
	}
	text := day(r.Due)
	switch {
	case r.MinMonths == r.MaxMonths && r.MaxMonths > 0:
		text += fmt.Sprintf(", in %s", counted(r.MaxMonths, "month"))
	case r.MaxMonths > 0:
		text += fmt.Sprintf(", the practice’s choice in a range of %d to %d months", r.MinMonths, r.MaxMonths)
	}
	if !r.Overdue.IsZero() && r.Overdue != r.Due {
		text += "; late after " + day(r.Overdue)
	}
	return text
}

// addressee is who a referral goes to, in words.
func addressee(a plan.Addressee) string {
	return sentence(strings.ReplaceAll(string(a), "-", " "))
}

// monthsWords is the recall range of a category.
func monthsWords(i risk.Interval) string {
	switch {
	case i.IsZero():
		return "no interval given"
	case i.MinMonths == i.MaxMonths:
		return "every " + counted(i.MaxMonths, "month")
	}
	return fmt.Sprintf("every %d to %d months", i.MinMonths, i.MaxMonths)
}

// dueWords is a deadline that is worth saying: a routine action has none.
func dueWords(u danger.Urgency, due when.Day) string {
	if u == danger.Routine || due.IsZero() {
		return ""
	}
	return "by " + day(due)
}

// factorWords lists the questions that would settle a category.
func factorWords(fs []risk.Factor) string {
	words := make([]string, len(fs))
	for i, f := range fs {
		words[i] = f.Words()
	}
	return strings.Join(words, "; ")
}

// settledBy are the questions that would settle the category that the plan
// follows.
func settledBy(r risk.Result) []risk.Factor {
	if r.Cautious != nil {
		return r.Cautious.SettledBy
	}
	return r.SettledBy
}

// riskClass gives each rank its own weight of line.
func riskClass(rank int) string {
	if rank < 0 {
		return "risk-none"
	}
	return fmt.Sprintf("risk-%d", min(rank, 3))
}

func findingKey(i int, id string) string { return fmt.Sprintf("finding-%d-%s", i, id) }

func goneList(paths []string) string { return strings.Join(paths, " ") }

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}
