package demo

import (
	"slices"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// The book reaches so many working days ahead. On each day so many people with
// diabetes are booked, and so many others; it thins out.
const (
	bookedDays         = 10
	bookedWithDiabetes = 15
	bookedOthers       = 24
)

// appointments fills the book, today's first: one slot of twenty minutes after
// the other with each clinician. Today is filled even on a weekend, so that the
// first page of the demo has something to show.
func (g *generator) appointments() {
	free := func(p *patient) bool {
		return p.until == g.yesterday() && p.role != "merged" && !p.person.Inactive && p.person.Deceased != known.Yes
	}
	diabetes := slices.DeleteFunc(shuffled(g.dice, g.withDiabetes), func(p *patient) bool { return !free(p) })
	others := slices.DeleteFunc(shuffled(g.dice, g.people), func(p *patient) bool { return p.feet != nil || !free(p) })
	day := g.today
	for i := range bookedDays {
		slots := map[string]int{}
		for range bookedWithDiabetes - i {
			if len(diabetes) > 0 {
				diabetes[0].book(day, slots)
				diabetes = diabetes[1:]
			}
		}
		for range bookedOthers - 2*i {
			if len(others) > 0 {
				others[0].book(day, slots)
				others = others[1:]
			}
		}
		day = day.AddWorkingDays(1)
	}
	for i, p := range others[:min(4, len(others))] { // called off
		p.book(g.today+when.Day(i), map[string]int{}).Standing = record.Void
	}
}

func (p *patient) book(day when.Day, slots map[string]int) *record.Fact {
	minute := 8*60 + 20*slots[p.person.Clinician]
	slots[p.person.Clinician]++
	if minute >= 12*60 {
		minute += 60
	}
	return p.add(record.Fact{
		Kind: record.Appointment, Standing: record.Planned, Text: "Office visit", Ended: known.No,
		Start: p.at(day, minute), End: p.at(day, minute+20), By: p.person.Clinician, Site: p.person.Site,
	})
}
