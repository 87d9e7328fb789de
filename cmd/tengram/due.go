package main

import (
	"fmt"

	"tengram/internal/clinic"
	"tengram/internal/kernel/when"
)

type dueCmd struct {
	Data  string `help:"Data folder of the practice." required:"" type:"path" placeholder:"DIR"`
	Today string `help:"Day to judge by, YYYY-MM-DD; today when left out." placeholder:"DAY"`
	Limit int    `help:"How many people to list, 0 for all." default:"50"`
	JSON  bool   `help:"Print one JSON document a line."`
	zoneFlag
}

// Help shows an example.
func (dueCmd) Help() string {
	return "Example:\n  tengram due --data ~/practice --limit 20"
}

// Run lists who is due, highest risk and longest late first.
func (c dueCmd) Run(s *session) error {
	zone, err := c.location()
	if err != nil {
		return err
	}
	practice, err := openPractice(s.ctx, c.Data, zone, false)
	if err != nil {
		return err
	}
	defer practice.Store.Close()
	if c.Today != "" {
		day, err := parseToday(c.Today)
		if err != nil {
			return err
		}
		fixToday(practice, day)
	}
	today := practice.Today()
	rows, total, err := practice.Panel(s.ctx, operator(), clinic.PanelQuery{Diabetes: true, DueBy: today, Order: "due", Limit: c.Limit})
	if err != nil {
		return err
	}
	if c.JSON {
		for _, r := range rows {
			if err := writeLine(s.out, r); err != nil {
				return err
			}
		}
		return nil
	}
	fmt.Fprintf(s.out, "%d people are due for a foot exam on %s; highest risk first, then the latest.\n\n", total, today)
	p := page{s.out}
	for i, r := range rows {
		p.item(0, fmt.Sprintf("%4d  ", i+1), fmt.Sprintf("%s, %s (%s), %s", r.Family, r.Given, r.Person, lateness(r, today)))
		p.item(6, "", r.Why)
	}
	if more := total - len(rows); more > 0 {
		fmt.Fprintf(s.out, "\n%d more; --limit 0 lists all.\n", more)
	}
	return nil
}

func lateness(r clinic.Standing, today when.Day) string {
	switch {
	case r.LastExam.IsZero():
		return "never examined"
	case today > r.OverdueAfter:
		return fmt.Sprintf("%d days overdue", today-r.OverdueAfter)
	}
	return "due since " + r.Due.String()
}
