package fhir

import (
	"strings"
	"unicode"

	"tengram/internal/kernel/measure"
)

const (
	populationSystem  = "http://terminology.hl7.org/CodeSystem/measure-population"
	scoringSystem     = "http://terminology.hl7.org/CodeSystem/measure-scoring"
	typeSystem        = "http://terminology.hl7.org/CodeSystem/measure-type"
	improvementSystem = "http://terminology.hl7.org/CodeSystem/measure-improvement-notation"
)

// ncqa is the notice that goes with a published measure of that steward
// (reference: section 0).
const ncqa = "The published measure is stewarded by NCQA. Its notice allows use that is not commercial; use inside a product that is sold needs the steward's permission. This implementation was not reviewed by the steward."

// CanonicalURL is the stable address of a measure as the project publishes it,
// without a version. No FHIR Measure of CMS123 is published elsewhere that was
// found, so the project has one of its own, with the published ids as
// identifiers.
func CanonicalURL(m measure.Measure) string { return Base + "/Measure/" + m.ID }

// canonical pins the version.
func canonical(m measure.Measure) string { return CanonicalURL(m) + "|" + m.Version }

// Measure writes a measure as a FHIR Measure resource: who is counted and what
// is asked for, in words. The logic is this program's and not in it.
func Measure(m measure.Measure) ([]byte, error) { return write(measureOf(m)) }

func measureOf(m measure.Measure) *measureResource {
	r := &measureResource{
		ResourceType: "Measure", ID: m.ID, URL: CanonicalURL(m), Version: m.Version, Name: computerName(m.ID), Title: m.Title,
		Status: "active", Publisher: "Tengram", Description: m.Text, Usage: m.Programme,
		Scoring:             concept{Coding: []coding{{System: scoringSystem, Code: "proportion"}}},
		ImprovementNotation: improvement(m),
		Group:               []measureGroup{{}},
	}
	p := m.Published
	for _, id := range []identifier{
		{System: "http://hl7.org/fhir/cqi/ecqm/Measure/Identifier/cms", Value: p.ECQM},
		{System: "http://hl7.org/fhir/cqi/ecqm/Measure/Identifier/nqf", Value: p.NQF},
		{System: Base + "/NamingSystem/mips-quality-id", Value: p.MIPS},
		{System: Base + "/NamingSystem/ecqm-version-specific-id", Value: p.VersionSpecific},
		{System: Base + "/NamingSystem/ecqm-version-neutral-id", Value: p.VersionNeutral},
	} {
		if id.Value != "" {
			r.Identifier = append(r.Identifier, id)
		}
	}
	if p.ECQM == "123" {
		r.Copyright = ncqa
		r.Type = []concept{{Coding: []coding{{System: typeSystem, Code: "process"}}}}
	}
	for _, k := range kinds(m, true) {
		r.Group[0].Population = append(r.Group[0].Population, measurePopulation{
			ID: k.id, Code: k.code(), Criteria: expression{Description: "as the description of the measure says; the name is that of the population, no library is published with it", Language: "text/cql", Expression: k.title()},
		})
	}
	return r
}

// computerName turns "foot-exam" into "FootExam".
func computerName(id string) string {
	var b strings.Builder
	up := true
	for _, c := range id {
		switch {
		case c == '-':
			up = true
		case up:
			b.WriteRune(unicode.ToUpper(c))
			up = false
		default:
			b.WriteRune(c)
		}
	}
	return b.String()
}

func improvement(m measure.Measure) concept {
	code := "increase"
	if m.LowerIsBetter {
		code = "decrease"
	}
	return concept{Coding: []coding{{System: improvementSystem, Code: code}}}
}

// kind is one population of a measure.
type kind struct {
	name string
	id   string
	of   func(measure.Counts) int
}

func (k kind) code() concept {
	return concept{Coding: []coding{{System: populationSystem, Code: k.name}}}
}

// title is the name of the population as an identifier of CQL:
// "Initial Population" in quotation marks.
func (k kind) title() string {
	words := strings.Split(k.name, "-")
	for i, w := range words {
		words[i] = strings.ToUpper(w[:1]) + w[1:]
	}
	return `"` + strings.Join(words, " ") + `"`
}

// kinds lists the populations; exceptions only where a measure has some.
func kinds(m measure.Measure, exceptions bool) []kind {
	p := m.Published
	ks := []kind{
		{"initial-population", p.InitialPopulation, func(c measure.Counts) int { return c.InitialPopulation }},
		{"denominator", p.Denominator, func(c measure.Counts) int { return c.Denominator }},
		{"denominator-exclusion", p.DenominatorExclusion, func(c measure.Counts) int { return c.DenominatorExclusion }},
	}
	if exceptions && p.ECQM != "123" { // CMS123 has no exceptions (reference: section 1.1)
		ks = append(ks, kind{"denominator-exception", "", func(c measure.Counts) int { return c.Exception }})
	}
	return append(ks, kind{"numerator", p.NumeratorPopulation, func(c measure.Counts) int { return c.Numerator }})
}
