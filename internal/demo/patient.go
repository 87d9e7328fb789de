package demo

import (
	"fmt"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

// patient is one person while their story is made.
type patient struct {
	dice
	g      *generator
	person record.Person
	// born is the true birthday, whatever the chart knows of it.
	born when.Day
	// until is the last day on which they could come.
	until when.Day
	// role is the part they play in the mess; nobody plays two.
	role  string
	facts []record.Fact
	comes []visit
	// feet is nil without diabetes.
	feet *feet
	// plan are the days on which the feet are examined.
	plan  []planned
	exams []Visit
	keys  int
	// elsewhere holds keys of facts that came under the id of a record which
	// was merged into this one.
	elsewhere map[string]string
}

// register makes the people. Ages with diabetes follow NHANES 2005-2018, told
// diabetes (nhanes-foot-checks, weighted); the other ages are ours.
func (g *generator) register(n int) {
	has := make([]bool, n)
	order := shuffled(g.dice, upTo(n))
	for _, i := range order[:int(float64(n)*shareWithDiabetes)] {
		has[i] = true
	}
	for i := range n {
		g.people = append(g.people, g.newPatient(i+1, has[i]))
	}
	for _, i := range order {
		if has[i] {
			g.withDiabetes = append(g.withDiabetes, g.people[i])
		} else {
			g.without = append(g.without, g.people[i])
		}
	}
}

func upTo(n int) []int {
	list := make([]int, n)
	for i := range list {
		list[i] = i
	}
	return list
}

type span struct{ low, high int }

var (
	agesWithDiabetes   = []span{{8, 17}, {18, 29}, {30, 39}, {40, 49}, {50, 59}, {60, 64}, {65, 69}, {70, 74}, {75, 79}, {80, 93}}
	sharesWithDiabetes = []float64{1.2, 2.1, 5.8, 13.3, 23.5, 14.0, 12.9, 10.7, 7.8, 8.6}
	agesWithout        = []span{{0, 17}, {18, 39}, {40, 59}, {60, 74}, {75, 95}}
	sharesWithout      = []float64{20, 28, 26, 17, 9}
)

func (g *generator) newPatient(n int, diabetes bool) *patient {
	p := &patient{dice: newDice(g.seed, "person", n), g: g, until: g.yesterday()}
	p.person = record.Person{ID: fmt.Sprintf("tg-%04d", n)}
	p.name()
	ages, shares := agesWithout, sharesWithout
	if diabetes {
		ages, shares = agesWithDiabetes, sharesWithDiabetes
	}
	age := ages[p.weighted(shares...)]
	p.born = g.today.AddMonths(-12*p.between(age.low, age.high)) - when.Day(p.IntN(365))
	p.person.Birth = when.OnDay(p.born)
	p.person.Clinician = clinicians[p.weighted(45, 25, 30)].Name
	p.person.Site = mainSite
	if p.chance(0.35) {
		p.person.Site = branchSite
	}
	p.person.Identifiers = []string{fmt.Sprintf("https://tengram.example/demo/chart|Q%06d", 100000+n*7)}
	if p.chance(0.91) {
		p.person.Phone = p.phone()
	}
	if diabetes {
		p.feet = newFeet(p)
	}
	return p
}

// name gives a name, a sex, a language, and race and ethnicity as a chart has
// them. The shares are ours.
func (p *patient) name() {
	spanish, woman := p.chance(0.22), p.chance(0.53)
	given, family := menEN, familiesEN
	switch {
	case spanish && woman:
		given, family = womenES, familiesES
	case spanish:
		given, family = menES, familiesES
	case woman:
		given = womenEN
	}
	p.person.Given, p.person.Family = pick(p.dice, given), pick(p.dice, family)
	if spanish && p.chance(0.4) {
		p.person.Family += " " + pick(p.dice, family)
	}
	p.person.Sex = "male"
	if woman {
		p.person.Sex = "female"
	}
	p.person.Language = "en"
	if spanish && p.chance(0.75) {
		p.person.Language = "es"
	}
	cdc := func(code string) term.Code { return term.Code{System: term.CDCRace, Code: code} }
	p.person.Race = cdc([]string{"2106-3", "2054-5", "2028-9", "1002-5", "2131-1"}[p.weighted(66, 17, 7, 2, 8)])
	p.person.Ethnicity = cdc("2186-5")
	if spanish {
		p.person.Ethnicity = cdc("2135-2")
	}
	if p.chance(0.06) { // the chart does not say
		p.person.Race, p.person.Ethnicity = term.Code{}, term.Code{}
	}
}

// phone is a number of the block 555-0100 to 555-0199, which is kept free for
// stories.
func (p *patient) phone() string {
	return fmt.Sprintf("(%d) 555-01%02d", pick(p.dice, []int{219, 308, 417, 534, 605, 712, 806, 915}), p.IntN(100))
}

// age in whole years on a day.
func (p *patient) age(on when.Day) int { return when.Age(p.born, on) }

// resources names the kinds of fact as their keys do.
var resources = [...]string{
	record.Condition: "Condition", record.Encounter: "Encounter", record.Procedure: "Procedure", record.Observation: "Observation",
	record.Order: "ServiceRequest", record.Coverage: "Coverage", record.Medication: "MedicationRequest", record.Appointment: "Appointment",
}

// add puts a fact into the chart and returns its place, so that it can be
// changed.
func (p *patient) add(f record.Fact) *record.Fact {
	p.keys++
	f.Key = fmt.Sprintf("%s/%s-%d", resources[f.Kind], p.person.ID, p.keys)
	p.facts = append(p.facts, f)
	return &p.facts[len(p.facts)-1]
}

// condition puts an active problem into the chart.
func (p *patient) condition(codes []term.Code, text string, since when.Day) *record.Fact {
	return p.add(record.Fact{
		Kind: record.Condition, Codes: codes, Text: text, Category: "problem-list-item", Start: when.OnDay(since), Ended: known.No,
	})
}

// of is the id under which a fact came.
func (p *patient) of(f record.Fact) string {
	if id := p.elsewhere[f.Key]; id != "" {
		return id
	}
	return p.person.ID
}

// at is an instant in the practice's zone.
func (p *patient) at(day when.Day, minute int) when.Moment {
	return when.AtTime(p.g.clock(day, minute))
}
