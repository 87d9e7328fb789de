package qrda

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/publish/guard"
)

// Element is one of the supplemental data elements.
type Element uint8

// The supplemental data elements in the order in which they are written.
const (
	Sex Element = iota
	Ethnicity
	Race
	Payer
	elementCount
)

var elements = [elementCount]struct {
	part       part
	code, name string
}{
	Sex:       {partSex, "76689-9", "sex"},
	Ethnicity: {partEthnicity, "69490-1", "ethnicity"},
	Race:      {partRace, "72826-1", "race"},
	Payer:     {partPayer, "48768-6", "payer"},
}

// String names the element.
func (e Element) String() string { return elements[e].name }

// Demographics are the supplemental data of one person: one code each, or the
// null flavour "UNK" for not known and "OTH" for one that the element's value
// set does not have.
type Demographics [elementCount]string

const (
	unknownFlavor = "UNK"
	otherFlavor   = "OTH"
)

// DemographicsOf reads the supplemental data out of a record.
//
// Sex is the administrative sex; the guide asks for the sex assigned at birth,
// which a record need not hold. The payer is the coverage in force in the
// period that began last, by the first digit of its source-of-payment code:
// every person is counted once, so that the groups add up.
func DemographicsOf(rec *record.Record, p measure.Period) Demographics {
	d := Demographics{Sex: sexOf(rec.Person.Sex)}
	d[Ethnicity] = oneOf(rec.Person.Ethnicity, "2135-2 2186-5")
	d[Race] = oneOf(rec.Person.Race, "1002-5 2028-9 2054-5 2076-8 2106-3 2131-1")
	d[Payer] = payerOf(rec.Facts, p)
	return d
}

func sexOf(s string) string {
	switch s {
	case "female":
		return "F"
	case "male":
		return "M"
	case "other":
		return otherFlavor
	}
	return unknownFlavor
}

// oneOf is the code, if it is one of the categories that reports use.
func oneOf(c term.Code, categories string) string {
	switch {
	case c.Value() == "":
		return unknownFlavor
	case c.System == term.CDCRace && slices.Contains(strings.Fields(categories), c.Code):
		return c.Code
	}
	return otherFlavor
}

func payerOf(facts []record.Fact, p measure.Period) string {
	best := -1
	code := unknownFlavor
	for i := range facts {
		f := &facts[i]
		if f.Kind != record.Coverage || f.Standing != record.Stands {
			continue
		}
		start, _ := f.Start.Days(nil)
		_, end := f.End.Days(nil)
		if start > p.Last || end != 0 && end < p.First {
			continue
		}
		for _, c := range f.Codes {
			if c.System != term.SourceOfPayment || c.Code == "" || c.Code[0] < '1' || c.Code[0] > '9' {
				continue
			}
			if best < 0 || later(f, &facts[best]) {
				best, code = i, c.Code[:1]
			}
			break
		}
	}
	return code
}

// later orders coverages so that the order of facts does not matter.
func later(a, b *record.Fact) bool {
	startA, _ := a.Start.Days(nil)
	startB, _ := b.Start.Days(nil)
	if startA != startB {
		return startA > startB
	}
	return a.Key < b.Key
}

// Breakdown counts a measure's populations by the supplemental data. Add and
// Merge give the same in any order. The zero value is empty.
type Breakdown struct{ cells map[cell]int }

type cell struct {
	population string
	element    Element
	code       string
}

// Cell is one group of a population.
type Cell struct {
	Population string
	Element    Element
	// Code is a code of the element, or a null flavour.
	Code  string
	Count int
}

// Add counts one person.
func (b *Breakdown) Add(r measure.Result, d Demographics) {
	if b.cells == nil {
		b.cells = map[cell]int{}
	}
	for _, p := range populations {
		if !p.has(r) {
			continue
		}
		for e := range elementCount {
			code := d[e]
			if code == "" {
				code = unknownFlavor
			}
			b.cells[cell{p.code, e, code}]++
		}
	}
}

// Merge adds another breakdown.
func (b *Breakdown) Merge(o Breakdown) {
	if b.cells == nil {
		b.cells = map[cell]int{}
	}
	for c, n := range o.cells {
		b.cells[c] += n
	}
}

// Cells lists the groups by population, element and code.
func (b *Breakdown) Cells() []Cell {
	var list []Cell
	for _, c := range slices.Collect(maps.Keys(b.cells)) {
		list = append(list, Cell{c.population, c.element, c.code, b.cells[c]})
	}
	slices.SortFunc(list, func(x, y Cell) int {
		return cmp.Or(cmp.Compare(order(x.Population), order(y.Population)), cmp.Compare(x.Element, y.Element), cmp.Compare(x.Code, y.Code))
	})
	return list
}

// SmallCells names the groups so small that they may point at a person. They
// cannot be left out one by one, because the groups must add up to the
// population; the report can be written without them all.
func (b *Breakdown) SmallCells() []string {
	var small []string
	for _, c := range b.Cells() {
		if guard.Small(c.Count) {
			small = append(small, fmt.Sprintf("%s, %s %s: fewer than %d people, who may be known by it", c.Population, c.Element, c.Code, guard.SmallBelow))
		}
	}
	return small
}

// population is one population of a measure, by its code in QRDA.
type population struct {
	code, name string
	count      func(measure.Counts) int
	has        func(measure.Result) bool
	id         func(measure.Published) string
}

var populations = []population{
	{
		"IPOP", "Initial population",
		func(c measure.Counts) int { return c.InitialPopulation }, func(r measure.Result) bool { return r.InitialPopulation },
		func(p measure.Published) string { return p.InitialPopulation },
	},
	{
		"DENOM", "Denominator",
		func(c measure.Counts) int { return c.Denominator }, func(r measure.Result) bool { return r.Denominator },
		func(p measure.Published) string { return p.Denominator },
	},
	{
		"DENEX", "Denominator exclusions",
		func(c measure.Counts) int { return c.DenominatorExclusion }, func(r measure.Result) bool { return r.DenominatorExclusion },
		func(p measure.Published) string { return p.DenominatorExclusion },
	},
	{
		"NUMER", "Numerator",
		func(c measure.Counts) int { return c.Numerator }, func(r measure.Result) bool { return r.Numerator },
		func(p measure.Published) string { return p.NumeratorPopulation },
	},
}

func order(code string) int {
	return slices.IndexFunc(populations, func(p population) bool { return p.code == code })
}
