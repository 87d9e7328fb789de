package trend

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

// By is what people are grouped by.
type By string

// The groupings.
const (
	ByClinician By = "clinician"
	BySite      By = "site"
	ByAge       By = "age"
	BySex       By = "sex"
	ByPayer     By = "payer"
	ByLanguage  By = "language"
)

// Groupings lists what people can be grouped by, in the order of a report.
func Groupings() []By { return []By{ByClinician, BySite, ByAge, BySex, ByPayer, ByLanguage} }

// NotRecorded is the group of people of whom the record does not say.
const NotRecorded = "not recorded"

// About is what of a person a grouping reads. Each is a group's name, and
// NotRecorded where the record does not say.
type About struct {
	Clinician, Site, Age, Sex, Payer, Language string
}

// In is the person's group in a grouping.
func (a About) In(by By) string {
	group := ""
	switch by {
	case ByClinician:
		group = a.Clinician
	case BySite:
		group = a.Site
	case ByAge:
		group = a.Age
	case BySex:
		group = a.Sex
	case ByPayer:
		group = a.Payer
	case ByLanguage:
		group = a.Language
	}
	return cmp.Or(group, NotRecorded)
}

// AboutOf reads a record: the age on the first day of a period, and the payer
// that covered the person last in it.
func AboutOf(rec *record.Record, period measure.Period, zone *time.Location) About {
	p := &rec.Person
	a := About{
		Clinician: p.Clinician,
		Site:      p.Site,
		Sex:       sexOf(p.Sex),
		Language:  LanguageOf(p.Language),
		Age:       AgeBand(p.Birth, period.First),
	}
	var since when.Day
	for i := range rec.Facts {
		f := &rec.Facts[i]
		if f.Kind != record.Coverage || f.Standing != record.Stands {
			continue
		}
		start, _ := f.Start.Days(zone)
		_, end := f.End.Days(zone)
		payer := payerOf(f.Codes)
		if payer == "" || start > period.Last || (end != 0 && end < period.First) {
			continue
		}
		if a.Payer == "" || start > since || (start == since && payer < a.Payer) {
			a.Payer, since = payer, start
		}
	}
	return a
}

// AgeBand is the band of whole years of age on a day. The edges are those of
// the foot exam measure (18 and 75) and two between (our proposal).
func AgeBand(birth when.Moment, on when.Day) string {
	first, last := birth.Days(nil)
	if first == 0 {
		return NotRecorded
	}
	band := func(age int) string {
		switch {
		case age < 18:
			return "under 18"
		case age < 45:
			return "18 to 44"
		case age < 65:
			return "45 to 64"
		case age < 75:
			return "65 to 74"
		}
		return "75 and over"
	}
	if b := band(when.Age(first, on)); b == band(when.Age(last, on)) {
		return b
	}
	return NotRecorded // the year of birth leaves two bands
}

func sexOf(s string) string {
	if s == "unknown" {
		return ""
	}
	return s
}

// LanguageOf is the language of a tag such as "es-MX" in words, or its code where
// there is no word for it here.
func LanguageOf(tag string) string {
	language, _, _ := strings.Cut(strings.ToLower(tag), "-")
	switch language {
	case "en":
		return "English"
	case "es":
		return "Spanish"
	}
	return language
}

// payerOf groups a source-of-payment code by its first digit: 1 Medicare, 2
// Medicaid, 5 and 6 private, the rest other (reference, section 6.2: an
// assumption).
func payerOf(codes []term.Code) string {
	for _, c := range codes {
		if c.System != term.SourceOfPayment || c.Code == "" {
			continue
		}
		switch c.Code[0] {
		case '1':
			return "Medicare"
		case '2':
			return "Medicaid"
		case '5', '6':
			return "private"
		}
		return "other"
	}
	return ""
}

// Group is one group of a grouping with its share.
type Group struct {
	Name string `json:"name"`
	Share
}

// Split counts results by group. Who is not counted in the measure, who is left
// out of it and who is excused is in no group.
type Split struct {
	groups [6][]Group
}

// Add counts one result of a person.
func (s *Split) Add(r measure.Result, about About) {
	if !counted(r) {
		return
	}
	one := Share{Of: 1}
	if r.Numerator {
		one.Met = 1
	}
	for i, by := range Groupings() {
		s.group(i, about.In(by), one)
	}
}

// Merge adds another split of other people.
func (s *Split) Merge(o *Split) {
	for i := range o.groups {
		for _, g := range o.groups[i] {
			s.group(i, g.Name, g.Share)
		}
	}
}

func (s *Split) group(i int, name string, share Share) {
	list := s.groups[i]
	at, found := slices.BinarySearchFunc(list, name, func(g Group, name string) int { return cmp.Compare(g.Name, name) })
	if !found {
		s.groups[i] = slices.Insert(list, at, Group{name, share})
		return
	}
	list[at].Share = list[at].Plus(share)
}

// Groups are the groups of a grouping in order of name, those of whom the
// record does not say last.
func (s *Split) Groups(by By) []Group {
	list := slices.Clone(s.groups[max(0, slices.Index(Groupings(), by))])
	slices.SortStableFunc(list, func(a, b Group) int {
		return cmp.Compare(last(a.Name), last(b.Name))
	})
	return list
}

func last(name string) int {
	if name == NotRecorded {
		return 1
	}
	return 0
}
