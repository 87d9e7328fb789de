package measure

import (
	"fmt"
	"strings"

	"tengram/internal/kernel/cohort"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
)

// Sets is one edition of the value sets that the measures match against, laid
// out for one look-up a code.
type Sets struct {
	// ID is "2018" or "current".
	ID    string
	Title string
	// codes holds what each code means, by kind of fact and code system.
	codes [record.Appointment + 1][term.Local + 1]map[string]meaning
}

// meaning is a set of value sets, one bit each.
type meaning uint32

// The value sets. An assessment is one code each.
const (
	isVisit meaning = 1 << iota
	isInpatient
	isDiabetes
	isHospice
	isBilateral
	isLeft
	isRight
	isOneSided // laterality stands in the site
	isVisual
	isFilament
	isPulses
	isSecondTest // vibration or pinprick
	isNeuroMet
	isNeuroExcluded
	isNeuroException
	isFootwearMet
	isFootwearExcluded
	isA1cPercent
	isA1cMmol
	isDistantVisit
	isPalliative
)

// of returns everything that the codes of a fact mean.
func (s *Sets) of(f *record.Fact) meaning {
	if int(f.Kind) >= len(s.codes) {
		return 0
	}
	systems := &s.codes[f.Kind]
	var m meaning
	for i := range f.Codes {
		c := &f.Codes[i]
		if int(c.System) < len(systems) {
			if codes := systems[c.System]; codes != nil {
				m |= codes[c.Code]
			}
		}
	}
	return m
}

// named returns the coding of a fact that has a meaning, for an explanation.
func (s *Sets) named(f *record.Fact, m meaning) string {
	for _, c := range f.Codes {
		if int(c.System) < len(s.codes[f.Kind]) && s.codes[f.Kind][c.System][c.Code]&m != 0 {
			return c.Value()
		}
	}
	return ""
}

func (s *Sets) add(kind record.Kind, system term.System, m meaning, words string) {
	if s.codes[kind][system] == nil {
		s.codes[kind][system] = map[string]meaning{}
	}
	for _, w := range strings.Fields(words) {
		s.codes[kind][system][w] |= m
	}
}

// Sets2018 are the value sets of CMS123v7 as published, the edition in which
// results can be compared with the published logic.
func Sets2018() *Sets { return sets2018 }

// CurrentSets are the 2018 sets with the diabetes set of 15 January 2025 and
// the hospice set of 2024, for today's records.
func CurrentSets() *Sets { return currentSets }

// SetsByID returns the edition of an id.
func SetsByID(id string) (*Sets, error) {
	switch id {
	case "2018", "":
		return sets2018, nil
	case "current":
		return currentSets, nil
	}
	return nil, fmt.Errorf("there is no edition %q of the value sets; there are: 2018, current", id)
}

var (
	sets2018    = makeSets("2018", "Value sets of CMS123v7 (2018)", cohort.Diabetes2018, hospice2018)
	currentSets = makeSets("current", "Value sets of CMS123v7, diabetes of 15 January 2025, hospice of 2024", cohort.Diabetes2025, hospice2024)
)

func makeSets(id, title string, diabetes cohort.Edition, hospice string) *Sets {
	s := &Sets{ID: id, Title: title}
	for c := range diabetes.Codes() {
		s.add(record.Condition, c.System, isDiabetes, c.Code)
	}
	for _, kind := range []record.Kind{record.Procedure, record.Order} {
		s.add(kind, term.SNOMED, isHospice, hospice)
	}
	s.addVisits()
	s.addAmputations()
	s.addAssessments()
	s.addSisters()
	return s
}

// The hospice editions (value set 2.16.840.1.113762.1.4.1108.15).
const (
	hospice2018 = `385763009 385765002`
	hospice2024 = `385763009 170935008 170936009`
)

// addVisits adds the six sets of qualifying visits (reference, section 1.8) and
// the inpatient stays that can end in hospice.
func (s *Sets) addVisits() {
	const (
		office          = `99201 99202 99203 99204 99205 99212 99213 99214 99215`
		preventiveKnown = `99395 99396 99397`
		preventiveNew   = `99385 99386 99387`
		home            = `99341 99342 99343 99344 99345 99347 99348 99349 99350`
		officeSNOMED    = `185463005 185464004 185465003 30346009 3391000175108 37894004 439740005`
		homeSNOMED      = `185460008 185462000 185466002 185467006 185468001 185470005 225929007 315205008
			439708006 698704008 704126008`
	)
	s.add(record.Encounter, term.CPT, isVisit, office+" "+preventiveKnown+" "+preventiveNew+" "+home)
	s.add(record.Encounter, term.HCPCS, isVisit, `G0438 G0439`)
	s.add(record.Encounter, term.SNOMED, isVisit, officeSNOMED+" "+homeSNOMED)
	s.add(record.Encounter, term.SNOMED, isInpatient, `183452005 32485007 8715000`)
}

// addAmputations adds the seven amputation sets (reference, section 1.5).
func (s *Sets) addAmputations() {
	s.add(record.Condition, term.ICD10CM, isBilateral, `Q72.03 Q72.23`)
	s.add(record.Condition, term.ICD9CM, isBilateral, `897.6 897.7`)

	s.add(record.Condition, term.ICD10CM, isLeft, `Q72.22 S78.012A S78.012D S78.112A S78.112D S88.012A
		S88.012D S88.112A S88.112D S88.112S S88.912S Z89.512 Z89.522 Z89.612 Z89.622`)
	s.add(record.Condition, term.SNOMED, isLeft, `308096001 308098000`)
	s.add(record.Procedure, term.SNOMED, isLeft, `721056006 721060009`)

	s.add(record.Condition, term.ICD10CM, isRight, `Q72.21 S78.011A S78.011D S78.111A S78.111D S88.011A
		S88.011D S88.111A S88.111D S88.111S S88.911S Z89.511 Z89.521 Z89.611 Z89.621`)
	s.add(record.Condition, term.SNOMED, isRight, `308095002 308097005`)
	s.add(record.Procedure, term.SNOMED, isRight, `721059004 721061008`)

	s.add(record.Condition, term.ICD10CM, isOneSided, `Q72.20`)
	s.add(record.Condition, term.ICD9CM, isOneSided, `897.0 897.1 897.2 897.3 V49.75 V49.76 V49.77`)
	s.add(record.Condition, term.SNOMED, isOneSided, `723840008 732212008`)
	s.add(record.Procedure, term.SNOMED, isOneSided, `110470001 11228000 12663001 265735000 265736004
		298049006 298050006 38162008 397163000 397164006 397166008 397167004 397168009 397169001 443025009
		6661001 76017008 79733001 83574003 87562003 88312006`)
}

// addAssessments adds the three assessments of the numerator.
func (s *Sets) addAssessments() {
	s.add(record.Observation, term.SNOMED, isVisual, `401191002`)
	s.add(record.Observation, term.SNOMED, isFilament, `134388005`)
	s.add(record.Observation, term.SNOMED, isPulses, `91161007`)
}

// hasSide reports whether one of the sites is the qualifier left or right. A
// body structure such as "left lower leg" is neither.
func hasSide(sites []term.Code, a, b string) bool {
	for _, c := range sites {
		if c.System == term.SNOMED && (c.Code == a || c.Code == b) {
			return true
		}
	}
	return false
}

func onLeft(f *record.Fact) bool  { return hasSide(f.Sites, "7771000", "419161000") }
func onRight(f *record.Fact) bool { return hasSide(f.Sites, "24028007", "419465000") }

// Shown says which of the three parts of the foot exam an imported result
// shows. A fact that does not stand, or has no
// result, shows none.
func Shown(f *record.Fact) (visual, filament, pulses bool) {
	if f.Kind != record.Observation || f.Standing != record.Stands || !f.Value.Given {
		return false, false, false
	}
	m := sets2018.of(f)
	return m&isVisual != 0, m&isFilament != 0, m&isPulses != 0
}
