package record

import (
	"cmp"
	"maps"
	"slices"

	"tengram/internal/kernel/when"
)

// Assembler makes records out of people and facts that come in any order, and
// keeps them in memory: the way from files to results without a store. The zero
// value is ready to use.
//
// Of two people with one id, and of two facts of one person with one key, the
// newer version stands; where their versions do not decide, the one that came
// last. Otherwise the order in which things come changes nothing.
type Assembler struct {
	people map[string]Person
	// past are the versions of people of whom another one stands.
	past    map[string][]Version
	facts   map[string][]Fact
	removed map[string]bool
	older   int
}

// Orphan is an id that facts are about and that no person has. Key and Origin
// are those of one of its facts, the first by key.
type Orphan struct {
	Person string
	Facts  int
	Key    string
	Origin Origin
}

// Person takes in a person. It never fails.
func (a *Assembler) Person(p Person) error {
	if a.people == nil {
		a.people, a.past = map[string]Person{}, map[string][]Version{}
	}
	if stands, again := a.people[p.ID]; again {
		if p.Version.Before(stands.Version) {
			stands, p = p, stands
		}
		a.past[p.ID] = append(a.past[p.ID], stands.Version)
	}
	a.people[p.ID] = p
	return nil
}

// Fact takes in a fact of the person with that id. It never fails.
func (a *Assembler) Fact(person string, f Fact) error {
	if a.facts == nil {
		a.facts = map[string][]Fact{}
	}
	a.facts[person] = append(a.facts[person], f)
	return nil
}

// Remove takes back what has that key ("Condition/17", or "Patient/17" for a
// person), whether it came before or comes later. It never fails.
func (a *Assembler) Remove(key string) error {
	if a.removed == nil {
		a.removed = map[string]bool{}
	}
	a.removed[key] = true
	return nil
}

// Records returns the records of everybody who came, ordered by id; their facts
// are ordered by kind, start and key. Somebody who was merged into another
// person who came is no record of their own: their facts and identifiers are
// the other's.
func (a *Assembler) Records() []Record {
	into := a.merges()
	merged := map[string][]string{}
	for _, id := range slices.Sorted(maps.Keys(into)) {
		merged[into[id]] = append(merged[into[id]], id)
	}
	var records []Record
	a.older = a.olderPeople()
	for _, id := range slices.Sorted(maps.Keys(a.people)) {
		if into[id] != "" || a.removed["Patient/"+id] {
			continue
		}
		r := Record{Person: a.people[id]}
		r.Facts = a.settled(id)
		for _, old := range merged[id] {
			r.Person.Identifiers = join(r.Person.Identifiers, a.people[old].Identifiers)
			r.Facts = append(r.Facts, a.settled(old)...)
		}
		if len(merged[id]) > 0 {
			var older int
			r.Facts, older = Settle(r.Facts)
			a.older += older
		}
		r.PlaceAges()
		slices.SortFunc(r.Facts, Fact.compare)
		records = append(records, r)
	}
	return records
}

// Older returns how many versions of people and facts gave way to a newer one in
// the last Records.
func (a *Assembler) Older() int { return a.older }

// Orphans returns the ids that have facts and no person, in order. Their facts
// are in no record.
func (a *Assembler) Orphans() []Orphan {
	into := a.merges()
	var orphans []Orphan
	for _, id := range slices.Sorted(maps.Keys(a.facts)) {
		if a.has(id) || into[id] != "" {
			continue
		}
		facts, _ := Settle(a.facts[id])
		facts = slices.DeleteFunc(facts, a.wasRemoved)
		if len(facts) == 0 {
			continue
		}
		first := slices.MinFunc(facts, func(a, b Fact) int { return cmp.Compare(a.Key, b.Key) })
		orphans = append(orphans, Orphan{id, len(facts), first.Key, first.Origin})
	}
	return orphans
}

// merges maps the id of everybody who was merged to the id of the person who
// stands for them in the end. Links that lead round in a circle, or to nobody
// who came, are not followed.
func (a *Assembler) merges() map[string]string {
	next := map[string]string{}
	for _, id := range slices.Sorted(maps.Keys(a.people)) {
		for _, old := range a.people[id].Replaces {
			if next[old] == "" && a.has(id) {
				next[old] = id
			}
		}
	}
	for id, p := range a.people {
		if p.ReplacedBy != "" && a.has(p.ReplacedBy) {
			next[id] = p.ReplacedBy
		}
	}
	into := map[string]string{}
	for id := range next {
		end, steps := id, 0
		for next[end] != "" && steps <= len(next) {
			end, steps = next[end], steps+1
		}
		if next[end] == "" {
			into[id] = end
		}
	}
	return into
}

func (a *Assembler) has(id string) bool {
	_, ok := a.people[id]
	return ok && !a.removed["Patient/"+id]
}

// settled returns a new list of the facts of one id that stand and were not
// taken back, and counts the older versions.
func (a *Assembler) settled(id string) []Fact {
	facts, older := Settle(a.facts[id])
	a.older += older
	return slices.DeleteFunc(facts, a.wasRemoved)
}

func (a *Assembler) wasRemoved(f Fact) bool {
	whole, _ := f.Whole()
	return a.removed[whole]
}

func (a *Assembler) olderPeople() (n int) {
	for id, past := range a.past {
		for _, v := range past {
			if v.Before(a.people[id].Version) {
				n++
			}
		}
	}
	return n
}

// compare orders facts by kind, start and key. Starts are ordered by their last
// possible day as written, then by instant; unlike Moment.Compare this is an
// order for any mixture of precisions.
func (f Fact) compare(o Fact) int {
	return cmp.Or(
		cmp.Compare(f.Kind, o.Kind),
		compareStart(f.Start, o.Start),
		cmp.Compare(f.Key, o.Key))
}

func compareStart(a, b when.Moment) int {
	lowA, highA := a.Days(nil)
	lowB, highB := b.Days(nil)
	instantA, _ := a.UnixMilli()
	instantB, _ := b.UnixMilli()
	return cmp.Or(
		cmp.Compare(highA, highB),
		cmp.Compare(instantA, instantB),
		cmp.Compare(lowA, lowB),
		cmp.Compare(a.String(), b.String()))
}

// join adds what is not there yet and leaves both lists as they are.
func join(list, more []string) []string {
	list = slices.Clip(list)
	for _, s := range more {
		if !slices.Contains(list, s) {
			list = append(list, s)
		}
	}
	return list
}
