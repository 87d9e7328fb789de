// Package demo makes a clinic that does not exist: people, charts, visits, foot
// exams and referrals of two years, with the mess that real charts have.
//
// The same seed and day make the same clinic, to the byte, and everything moves
// with the day, so the demo is never stale. It takes the road of real data: the
// charts come in as an import, and every exam is signed through the clinic's
// own use cases.
package demo

import (
	"cmp"
	"slices"
	"time"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// The size of the clinic and the length of its story.
const (
	defaultPeople = 3000
	// shareWithDiabetes of the people have a diabetes code that counts for the
	// clinic's list: about what a US practice sees (common practice, no source).
	shareWithDiabetes = 0.139
	// storyMonths is how far back visits go, programmeMonths how long feet have
	// been examined in this program.
	storyMonths     = 24
	programmeMonths = 22
)

// Options change what is made; the zero value is the clinic of about 3,000.
type Options struct {
	// People is how many there are, 3000 when zero; below 2000 some of the mess
	// does not fit.
	People int
	// Zone is the practice's calendar, UTC when nil.
	Zone *time.Location
}

// Clinic is the made-up clinic as data.
type Clinic struct {
	Today  when.Day
	People []record.Person
	Facts  []clinic.PersonFact
	// Visits are the exams in the order in which they are signed.
	Visits []Visit
	// Steps are what happened to referrals, in order of time.
	Steps []ReferralStep
	zone  *time.Location
}

// Visit is one exam to sign. A draft with a revision above 1 amends the one
// before it.
type Visit struct {
	Draft    exam.Draft  `json:"draft"`
	SignedAt time.Time   `json:"signed-at"`
	By       exam.Person `json:"by"`
}

// ReferralStep is one step of the referral that an exam opened for an action.
type ReferralStep struct {
	Person string              `json:"person"`
	Exam   string              `json:"exam"`
	Action string              `json:"action"`
	At     time.Time           `json:"at"`
	Step   record.ReferralStep `json:"step"`
}

// Generate makes the clinic as it stands on the morning of a day.
func Generate(seed uint64, today when.Day, options Options) *Clinic {
	if options.People <= 0 {
		options.People = defaultPeople
	}
	if options.Zone == nil {
		options.Zone = time.UTC
	}
	g := &generator{seed: seed, today: today, zone: options.Zone, dice: newDice(seed, "clinic", 0)}
	g.register(options.People)
	g.cast()
	for _, p := range g.people {
		p.chart()
	}
	g.visits()
	g.ulcers()
	g.schedule()
	g.events()
	for _, p := range g.people {
		p.record()
	}
	g.mess()
	g.appointments()
	return g.result()
}

// generator holds the clinic while it is made.
type generator struct {
	dice
	seed   uint64
	today  when.Day
	zone   *time.Location
	people []*patient
	// withDiabetes are those on the clinic's diabetes list and without the
	// others, in an order of chance from which parts are given out.
	withDiabetes, without []*patient
	steps                 []ReferralStep
}

// from is the first day of the story, programme the first day of exams, and
// yesterday the last day on which anything has happened.
func (g *generator) from() when.Day      { return g.today.AddMonths(-storyMonths) }
func (g *generator) programme() when.Day { return g.today.AddMonths(-programmeMonths) }
func (g *generator) yesterday() when.Day { return g.today - 1 }

// yearStart is the first day of the measure's year.
func (g *generator) yearStart() when.Day { return when.Date(g.today.Year(), time.January, 1) }

// clock is a time of day in the practice's zone, in minutes from midnight.
func (g *generator) clock(day when.Day, minute int) time.Time {
	y, m, d := day.YMD()
	return time.Date(y, m, d, minute/60, minute%60, 0, 0, g.zone)
}

// result puts everything in order.
func (g *generator) result() *Clinic {
	c := &Clinic{Today: g.today, Steps: g.steps, zone: g.zone}
	line := 0
	for _, p := range g.people {
		line++
		p.person.Origin = record.Origin{Source: "demo/people", Line: line}
		c.People = append(c.People, p.person)
		for _, f := range p.facts {
			f.Origin = record.Origin{Source: "demo/charts", Line: len(c.Facts) + 1}
			c.Facts = append(c.Facts, clinic.PersonFact{Person: p.of(f), Fact: f})
		}
		c.Visits = append(c.Visits, p.exams...)
	}
	slices.SortStableFunc(c.Visits, func(a, b Visit) int {
		return cmp.Or(a.SignedAt.Compare(b.SignedAt), cmp.Compare(a.Draft.ID, b.Draft.ID))
	})
	slices.SortStableFunc(c.Steps, func(a, b ReferralStep) int {
		return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Person, b.Person))
	})
	return c
}
