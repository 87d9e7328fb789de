package calc

import (
	"fmt"
	"strings"

	"tengram/internal/kernel/plan"
	"tengram/internal/kernel/risk"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
)

// recallCalculators lists the calculators of the recall.
func recallCalculators() []Calculator {
	return []Calculator{{
		Name:  "recall",
		Title: "when a foot is examined again: from, due and overdue, by the category and the day of the exam",
		Inputs: []Input{
			{Name: "category", Says: "category in the system: 0 to 3 by IWGDF, low, moderate or high by NICE", Required: true},
			{Name: "on", Says: "day of the exam, YYYY-MM-DD", Required: true},
			{Name: "system", Says: "risk system, not given is iwgdf-2023: " + strings.Join(recalling(), ", ")},
			{Name: "choice", Says: "the practice's choice inside the interval: min, middle (also when not given) or max"},
		},
		Example: "category=3 on=2025-01-31",
		Run:     runRecall,
	}}
}

// recalling lists the systems that give an interval.
func recalling() (ids []string) {
	for _, s := range risk.Systems() {
		if !s.Categories[0].Recall.IsZero() {
			ids = append(ids, s.ID)
		}
	}
	return ids
}

func runRecall(a *Args) (Output, error) {
	choice := a.Word("choice", "min", "middle", "max")
	if choice == "" {
		choice = "middle"
	}
	id := a.Word("system", recalling()...)
	if id == "" {
		id = "iwgdf-2023"
	}
	on := day(a, "on")
	system, _ := risk.ByID(id)
	var codes []string
	for _, c := range system.Categories {
		codes = append(codes, c.Code)
	}
	code := a.Word("category", codes...)
	if a.err() != nil {
		return Output{}, nil
	}
	var c risk.Category
	for _, each := range system.Categories {
		if each.Code == code {
			c = each
		}
	}
	r, _ := plan.Schedule(on, c.Recall, choice)
	result := Fields{
		{"category", c.Words()}, {"minMonths", r.MinMonths}, {"maxMonths", r.MaxMonths}, {"chosenMonths", r.ChosenMonths},
		{"from", r.From.String()}, {"due", r.Due.String()}, {"overdueAfter", r.Overdue.String()},
	}
	return output(result, source.Because{
		{Says: fmt.Sprintf("%s, category %s: every %s months.", system.Name, c.Words(), span(r.MinMonths, r.MaxMonths)), Source: system.Source},
		{Says: "From the shortest of the interval, overdue after the longest. A day that a month lacks becomes its last day. The middle is rounded down.",
			Source: plan.SourceOfSchedule},
	}), nil
}

// span writes an interval of months, "6 to 12" or "12".
func span(low, high int) string {
	if low == high {
		return fmt.Sprint(low)
	}
	return fmt.Sprintf("%d to %d", low, high)
}

// day reads a date; not given is no day.
func day(a *Args, name string) when.Day {
	if !a.Has(name) {
		return 0
	}
	d, err := when.ParseDay(a.Text(name))
	if err != nil {
		a.Bad(name, "a day is written YYYY-MM-DD")
	}
	return d
}
