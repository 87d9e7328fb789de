package fhir

import (
	"fmt"
	"html"
	"regexp"
	"strconv"
	"strings"

	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/when"
	"tengram/internal/publish/guard"
)

// ReportOptions say what a report says of itself, and what it may show.
type ReportOptions struct {
	Options
	// At is when the report is made, an instant.
	At when.Moment
	// Reporter names the practice; empty leaves it out.
	Reporter string
	// Mask leaves counts below guard.SmallBelow out of a summary, and those from
	// which they could be worked out. Without it they are shown, and those of
	// groups named in the warnings.
	Mask bool
}

// deqmScoring says in a report how its measure is scored, as the examples of the
// data exchange guide do. Reports are not checked against that guide's profiles
// and do not claim them.
const deqmScoring = "http://hl7.org/fhir/us/davinci-deqm/StructureDefinition/extension-measureScoring"

// absentExtension says why a value is missing.
const absentExtension = "http://hl7.org/fhir/StructureDefinition/data-absent-reason"

func because(code string) []extension {
	return []extension{{URL: absentExtension, ValueCode: code}}
}

// Individual writes what a measure says of one person, with the reasons as text
// and what it rests on as references. The result must have been explained
// (measure.Context.Explain) for either to be there.
func Individual(m measure.Measure, r measure.Result, o ReportOptions) ([]byte, error) {
	if err := o.check(); err != nil {
		return nil, err
	}
	return write(o.individual(m, r))
}

// SubjectList writes a Bundle of the report about a list of people, with a List
// for each population, the report of each person in the initial population, and
// the Measure.
func SubjectList(m measure.Measure, p measure.Period, results []measure.Result, o ReportOptions) ([]byte, error) {
	if err := o.check(); err != nil {
		return nil, err
	}
	var tally measure.Tally
	var people []resource
	ks := kinds(m, true)
	lists := make([]list, len(ks))
	for _, r := range results {
		tally.Add(r)
		if !r.InitialPopulation {
			continue
		}
		one := o.individual(m, r)
		people = append(people, one)
		for i, k := range ks {
			if k.of(countsOf(r)) > 0 {
				lists[i].Entry = append(lists[i].Entry, listEntry{reference{Reference: "MeasureReport/" + one.ID}})
			}
		}
	}
	report := o.report(m, p, "subject-list", tally.Counts)
	for i, k := range ks {
		if len(lists[i].Entry) == 0 {
			continue
		}
		l := lists[i]
		l.ResourceType, l.ID, l.Status, l.Mode = "List", k.name, "current", "snapshot"
		report.Contained = append(report.Contained, l)
		for j := range report.Group[0].Population {
			if q := &report.Group[0].Population[j]; q.Code.Coding[0].Code == k.name {
				q.SubjectResults = &reference{Reference: "#" + k.name}
			}
		}
	}
	b := &bundle{ResourceType: "Bundle", ID: idOf("bundle", report.ID), Type: "collection", Timestamp: instant(o.At)}
	for _, r := range append([]resource{measureOf(m), report}, people...) {
		typ, id := r.key()
		b.Entry = append(b.Entry, entry{Base + "/" + typ + "/" + id, r})
	}
	return write(b)
}

// Summary writes the counts and the score of a panel. The warnings name groups
// so small that they may point at a person.
func Summary(m measure.Measure, p measure.Period, t measure.Tally, o ReportOptions) (doc []byte, warnings []string, err error) {
	if err := o.check(); err != nil {
		return nil, nil, err
	}
	report := o.report(m, p, "summary", t.Counts)
	warnings = o.strata(m, &report.Group[0], t)
	doc, err = write(report)
	return doc, warnings, err
}

// report is what the three kinds have in common.
func (o ReportOptions) report(m measure.Measure, p measure.Period, typ string, c measure.Counts) *measureReport {
	i := improvement(m)
	r := &measureReport{
		ResourceType: "MeasureReport", ID: idOf("measure-report", m.ID, m.Version, p.String(), typ),
		Extension: []extension{{URL: deqmScoring, ValueCodeableConcept: &concept{Coding: []coding{{System: scoringSystem, Code: "proportion"}}}}},
		Status:    "complete", Type: typ, Measure: canonical(m), Date: dateTime(o.At),
		Period: period{Start: p.First.String(), End: p.Last.String()}, ImprovementNotation: &i,
		Group: []reportGroup{{}},
	}
	if o.Reporter != "" {
		r.Reporter = &reference{Type: "Organization", Display: o.Reporter}
	}
	r.Group[0].Population = populations(kinds(m, c.Exception > 0), c)
	if typ != "individual" {
		r.Group[0].MeasureScore = score(c)
	}
	return r
}

func populations(ks []kind, c measure.Counts) []population {
	var ps []population
	for _, k := range ks {
		n := k.of(c)
		ps = append(ps, population{ID: k.id, Code: k.code(), Count: &n})
	}
	return ps
}

// score is the rate as a bare decimal of at most six places. Where nobody is
// left to divide by there is none, and the report says so: never 0.
func score(c measure.Counts) *quantity {
	rate, ok := c.Rate()
	if !ok {
		return &quantity{Extension: because("not-applicable")}
	}
	text := strconv.FormatFloat(rate, 'f', 6, 64)
	return &quantity{Value: decimal(strings.TrimSuffix(strings.TrimRight(text, "0"), "."))}
}

func countsOf(r measure.Result) measure.Counts {
	var t measure.Tally
	t.Add(r)
	return t.Counts
}

func (o ReportOptions) individual(m measure.Measure, r measure.Result) *measureReport {
	out := o.report(m, r.Period, "individual", countsOf(r))
	person := o.personID(r.Patient)
	out.ID = idOf("measure-report", m.ID, m.Version, r.Period.String(), "individual", person)
	out.Subject = &reference{Reference: "Patient/" + person}
	seen := map[string]bool{}
	for _, b := range r.Because {
		ref, ok := o.evidence(b.Fact, person)
		if key := ref.Reference; ok && !seen[key] {
			seen[key] = true
			out.EvaluatedResource = append(out.EvaluatedResource, ref)
		}
	}
	// The sentences name facts by their keys, which are ids of the practice.
	if says := r.Sentences(); len(says) > 0 && !o.Pseudonym.On() {
		out.Text = narrate(says)
	}
	return out
}

func narrate(says []string) *narrative {
	var b strings.Builder
	b.WriteString(`<div xmlns="http://www.w3.org/1999/xhtml"><ul>`)
	for _, s := range says {
		b.WriteString("<li>" + html.EscapeString(s) + "</li>")
	}
	b.WriteString("</ul></div>")
	return &narrative{Status: "generated", Div: b.String()}
}

// factKey is the key of a fact that was imported from FHIR.
var factKey = regexp.MustCompile(`^([A-Z][A-Za-z]+)/([A-Za-z0-9.-]{1,64})(#[0-9]+)?$`)

// evidence is what a reason rests on, as a reference: an imported resource, an
// exam signed here, or the person.
func (o ReportOptions) evidence(fact, person string) (reference, bool) {
	if exam, ok := strings.CutPrefix(fact, "exam."); ok {
		return reference{Reference: "DiagnosticReport/" + o.diagnosticReportID(exam)}, true
	}
	if strings.HasPrefix(fact, "person.") {
		return reference{Reference: "Patient/" + person}, true
	}
	if p := factKey.FindStringSubmatch(fact); p != nil {
		return reference{Reference: p[1] + "/" + o.Pseudonym.Of("fact", p[2])}, true
	}
	return reference{}, false
}

// strata writes the groups of a measure that has some, and leaves small counts
// out where that is asked for.
func (o ReportOptions) strata(m measure.Measure, g *reportGroup, t measure.Tally) (warnings []string) {
	ks := kinds(m, t.Exception > 0)
	strata := make([]stratum, len(t.Strata))
	for i, s := range t.Strata {
		strata[i] = stratum{Value: concept{Text: s.Name}, Population: populations(ks, s.Counts), MeasureScore: score(s.Counts)}
	}
	for _, k := range ks {
		for _, s := range t.Strata {
			if guard.Small(k.of(s.Counts)) {
				warnings = append(warnings, fmt.Sprintf("%s, group %s: fewer than %d people, who may be known by it", k.name, s.Name, guard.SmallBelow))
			}
		}
	}
	if o.Mask {
		hidden := maskOf(ks, t)
		for i := range strata {
			apply(hidden.groups[i], strata[i].Population, &strata[i].MeasureScore)
		}
		apply(hidden.all, g.Population, &g.MeasureScore)
	}
	if len(strata) > 0 {
		g.Stratifier = []stratifier{{Code: []concept{{Text: "group"}}, Stratum: strata}}
	}
	return warnings
}
