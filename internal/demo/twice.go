package demo

import (
	"fmt"
	"strings"

	"tengram/internal/kernel/record"
)

// secondRecords is how many people without diabetes have a second record.
const secondRecords = 8

// twice makes second records of some people, merged into the first: with a
// shorter name, no phone, and for some a part of the chart under the old id. One
// was merged twice over.
func (g *generator) twice() {
	n := len(g.people)
	second := func(of *patient, id string) *patient {
		n++
		p := &patient{dice: newDice(g.seed, "second record", n), g: g, person: of.person, born: of.born, until: of.until, role: "merged"}
		p.person.ID = fmt.Sprintf("tg-%04d", n)
		p.person.ReplacedBy = id
		p.person.Identifiers = []string{fmt.Sprintf("https://tengram.example/demo/chart|Q%06d", 100000+n*7)}
		p.person.Phone = ""
		if first, _, two := strings.Cut(p.person.Family, " "); two {
			p.person.Family = first
		} else {
			p.person.Given = string([]rune(p.person.Given)[:1]) + "."
		}
		g.people = append(g.people, p)
		return p
	}
	for _, p := range g.withDiabetes {
		if p.role == "two records" {
			p.halfUnder(second(p, p.person.ID).person.ID)
		}
	}
	left := secondRecords
	for _, p := range g.without {
		if p.role != "" || left == 0 {
			continue
		}
		old := second(p, p.person.ID)
		if left--; left == 0 {
			second(p, old.person.ID)
		}
	}
}

// halfUnder leaves every other visit and result under the old id.
func (p *patient) halfUnder(id string) {
	for i, f := range p.facts {
		if i%2 == 0 && (f.Kind == record.Encounter || f.Kind == record.Observation) {
			p.cameAs(f.Key, id)
		}
	}
}
