package fhir

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
	"tengram/internal/publish/guard"
)

var made = when.MustMoment("2019-01-15T12:00:00-05:00")

var year = measure.Year(2018)

// worked is the worked example of the measures reference, section 5.5: 100
// people, 4 left out, 60 met, so 60 of 96.
func worked() measure.Tally {
	return measure.Tally{Counts: measure.Counts{People: 300, InitialPopulation: 100, Denominator: 100, DenominatorExclusion: 4, Numerator: 60}}
}

// report reads a MeasureReport back.
type readReport struct {
	Type, Measure, Status string
	Period                struct{ Start, End string }
	ImprovementNotation   json.RawMessage
	Subject               struct{ Reference string }
	Group                 []struct {
		Population   []readPopulation
		MeasureScore json.RawMessage
		Stratifier   []struct {
			Stratum []struct {
				Population   []readPopulation
				MeasureScore json.RawMessage
			}
		}
	}
	EvaluatedResource []struct{ Reference string }
	Contained         []struct {
		ID    string
		Entry []struct{ Item struct{ Reference string } }
	}
}

type readPopulation struct {
	Code    json.RawMessage
	Count   *int
	Element json.RawMessage `json:"_count"`
}

func readBack(t testing.TB, doc []byte) readReport {
	t.Helper()
	var r readReport
	if err := json.Unmarshal(doc, &r); err != nil {
		t.Fatal(err)
	}
	return r
}

func (r readReport) counts() string {
	var b strings.Builder
	for _, p := range r.Group[0].Population {
		fmt.Fprintf(&b, "%d ", *p.Count)
	}
	return strings.TrimSpace(b.String())
}

func TestTheSummaryOfTheWorkedExampleIsFiveEighths(t *testing.T) {
	doc, warnings, err := Summary(measure.FootExam(), year, worked(), ReportOptions{At: made, Reporter: "Harbour Street Practice"})
	if err != nil {
		t.Fatal(err)
	}
	r := readBack(t, doc)
	if r.Type != "summary" || r.Status != "complete" || r.Period.Start != "2018-01-01" || r.Period.End != "2018-12-31" {
		t.Errorf("%+v", r)
	}
	if r.Measure != "https://tengram.example/fhir/Measure/foot-exam|CMS123v7.5.000" {
		t.Errorf("measure %s", r.Measure)
	}
	if got := strings.Join(strings.Fields(string(r.Group[0].MeasureScore)), ""); got != `{"value":0.625}` || r.counts() != "100 100 4 60" {
		t.Errorf("score %s, counts %s", got, r.counts())
	}
	if !bytes.Contains(r.ImprovementNotation, []byte(`"increase"`)) || len(warnings) != 0 {
		t.Errorf("%s, %v", r.ImprovementNotation, warnings)
	}
}

// An undefined rate is left out and never nought (measures reference, 5.5).
func TestAnUndefinedScoreIsLeftOutAndSaysSo(t *testing.T) {
	for _, c := range []measure.Counts{{}, {InitialPopulation: 3, Denominator: 3, DenominatorExclusion: 3}} {
		doc, _, err := Summary(measure.FootExam(), year, measure.Tally{Counts: c}, ReportOptions{At: made})
		if err != nil {
			t.Fatal(err)
		}
		score := string(readBack(t, doc).Group[0].MeasureScore)
		if strings.Contains(score, `"value"`) || !strings.Contains(score, "not-applicable") {
			t.Errorf("%+v: score %s", c, score)
		}
	}
}

func TestAnInverseMeasureIsBetterLower(t *testing.T) {
	doc, _, err := Summary(measure.PoorControl(), year, worked(), ReportOptions{At: made})
	if err != nil {
		t.Fatal(err)
	}
	if r := readBack(t, doc); !bytes.Contains(r.ImprovementNotation, []byte(`"decrease"`)) {
		t.Errorf("%s", r.ImprovementNotation)
	}
}

func TestScoresHaveAtMostSixPlaces(t *testing.T) {
	for want, c := range map[decimal]measure.Counts{
		"0": {Denominator: 7}, "1": {Denominator: 7, Numerator: 7}, "0.333333": {Denominator: 3, Numerator: 1},
		"0.666667": {Denominator: 3, Numerator: 2}, "0.1": {Denominator: 10, Numerator: 1},
	} {
		if got := score(c).Value; got != want {
			t.Errorf("%+v gives %s, want %s", c, got, want)
		}
	}
}

// explained are results as an evaluation would give them.
func explained() []measure.Result {
	src := &source.Source{Title: "CMS123v7", Edition: "7.5.000", Standing: source.Confirmed}
	one := func(id string, excluded, met bool) measure.Result {
		return measure.Result{
			Measure: "foot-exam", Period: year, Patient: id, InitialPopulation: true, Denominator: true, DenominatorExclusion: excluded, Numerator: met,
			Because: source.Because{
				{Says: "40 years old & more", Fact: "person.birth", Source: src},
				{Says: "Visit.", Fact: "Encounter/e-" + id, Source: src},
				{Says: "Diabetes.", Fact: "Condition/c-" + id, Source: src},
				{Says: "Test: result.", Fact: "Observation/o-" + id + "#2", Source: src},
				{Says: "Exam.", Fact: "exam.00000000-0000-4000-8000-000000000001", Source: src},
				{Says: "Exam again.", Fact: "exam.00000000-0000-4000-8000-000000000001", Source: src},
			},
		}
	}
	out := []measure.Result{one("p1", false, true), one("p2", false, false), one("p3", true, false)}
	return append(out, measure.Result{Measure: "foot-exam", Period: year, Patient: "p4"})
}

func TestAnIndividualReportSaysWhatItRestsOn(t *testing.T) {
	doc, err := Individual(measure.FootExam(), explained()[0], ReportOptions{At: made})
	if err != nil {
		t.Fatal(err)
	}
	r := readBack(t, doc)
	if r.Type != "individual" || r.Subject.Reference != "Patient/p1" || r.counts() != "1 1 0 1" || r.Group[0].MeasureScore != nil {
		t.Errorf("%+v", r)
	}
	var refs []string
	for _, e := range r.EvaluatedResource {
		refs = append(refs, e.Reference)
	}
	report := Options{}.diagnosticReportID("00000000-0000-4000-8000-000000000001")
	if want := "Patient/p1 Encounter/e-p1 Condition/c-p1 Observation/o-p1 DiagnosticReport/" + report; strings.Join(refs, " ") != want {
		t.Errorf("rests on %v, want %s", refs, want)
	}
	if !bytes.Contains(doc, []byte("40 years old &amp; more [CMS123v7 7.5.000]")) {
		t.Error("the reasons are missing, or are no XHTML")
	}
}

func TestTheExamOfAnIndividualReportIsThatOfItsExport(t *testing.T) {
	s := example(t, "01")
	doc, err := ExamBundle(s, anyone(s.Exam.Patient), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if id := parse(t, doc).coded("foot-exam")["id"]; id != (Options{}).diagnosticReportID(s.Exam.ID) {
		t.Errorf("the report of the exam is %v", id)
	}
}

func TestASubjectListHoldsTheReportsThatItLists(t *testing.T) {
	doc, err := SubjectList(measure.FootExam(), year, explained(), ReportOptions{At: made})
	if err != nil {
		t.Fatal(err)
	}
	b := parse(t, doc)
	if n := len(b.Entry); n != 5 { // the Measure, the list, three people
		t.Fatalf("%d entries", n)
	}
	raw, err := json.Marshal(b.Entry[1].Resource)
	if err != nil {
		t.Fatal(err)
	}
	r := readBack(t, raw)
	listed := ""
	for _, l := range r.Contained {
		listed += fmt.Sprintf("%s %d, ", l.ID, len(l.Entry))
	}
	if want := "initial-population 3, denominator 3, denominator-exclusion 1, numerator 1, "; listed != want || r.counts() != "3 3 1 1" {
		t.Errorf("listed %s counts %s", listed, r.counts())
	}
}

func TestUnderAPseudonymAReportNamesNoIdOfThePractice(t *testing.T) {
	key, err := guard.NewPseudonym([]byte("0123456789abcdef"))
	if err != nil {
		t.Fatal(err)
	}
	doc, err := SubjectList(measure.FootExam(), year, explained(), ReportOptions{At: made, Options: Options{Pseudonym: key}})
	if err != nil {
		t.Fatal(err)
	}
	for _, id := range []string{"Patient/p1", "e-p1", "c-p1", "o-p1", "000000000001"} {
		if bytes.Contains(doc, []byte(id)) {
			t.Errorf("%s has left", id)
		}
	}
}

func grouped() measure.Tally {
	t := measure.Tally{Counts: measure.Counts{People: 120, InitialPopulation: 100, Denominator: 100, Numerator: 60}}
	for _, s := range []struct {
		name     string
		den, num int
	}{{"0", 60, 40}, {"1", 25, 15}, {"2", 12, 4}, {"3", 3, 1}} {
		t.Strata = append(t.Strata, measure.Stratum{Name: s.name, Counts: measure.Counts{InitialPopulation: s.den, Denominator: s.den, Numerator: s.num}})
	}
	return t
}

// Below 11 (measures reference, section 6.3).
func TestSmallGroupsAreNamedAndHiddenWhereAsked(t *testing.T) {
	doc, warnings, err := Summary(measure.RecallKept(), year, grouped(), ReportOptions{At: made})
	if err != nil {
		t.Fatal(err)
	}
	if len(warnings) != 4 || !strings.Contains(warnings[0], "initial-population, group 3") {
		t.Errorf("warnings %q", warnings)
	}
	if strings.Contains(string(doc), "masked") {
		t.Error("something is hidden, and nobody asked")
	}
	doc, _, err = Summary(measure.RecallKept(), year, grouped(), ReportOptions{At: made, Mask: true})
	if err != nil {
		t.Fatal(err)
	}
	shown := map[int]string{}
	for i, s := range readBack(t, doc).Group[0].Stratifier[0].Stratum {
		for _, p := range s.Population {
			text := "-"
			if p.Count != nil {
				text = fmt.Sprint(*p.Count)
			} else if !strings.Contains(string(p.Element), `"masked"`) {
				t.Errorf("a count is missing without a reason: %s", p.Element)
			}
			shown[i] += text + " "
		}
		if hidden := strings.Contains(string(s.MeasureScore), "masked"); hidden != strings.Contains(shown[i], "-") {
			t.Errorf("group %d: score %s beside %s", i, s.MeasureScore, shown[i])
		}
	}
	// The group of 3 is hidden, and that of 12 with it. The numerators 4 and 1
	// would leave a sum of 5 to share, so 15 goes with them.
	want := map[int]string{0: "60 60 0 40 ", 1: "25 25 0 - ", 2: "- - - - ", 3: "- - - - "}
	for i := range want {
		if shown[i] != want[i] {
			t.Errorf("group %d shows %q, want %q", i, shown[i], want[i])
		}
	}
}

func TestEveryMeasureAndReportIsValid(t *testing.T) {
	docs, outside := map[string][]byte{}, map[string][]string{}
	var refs []string
	for _, p := range []string{"p1", "p2", "p3"} {
		refs = append(refs, "Patient/"+p, "Encounter/e-"+p, "Condition/c-"+p, "Observation/o-"+p)
	}
	refs = append(refs, "DiagnosticReport/"+Options{}.diagnosticReportID("00000000-0000-4000-8000-000000000001"))
	put := func(name string, doc []byte, err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		docs[name], outside[name] = doc, refs
	}
	o := ReportOptions{At: made, Reporter: "Harbour Street Practice"}
	for _, m := range measure.All() {
		doc, err := Measure(m)
		put("measure-"+m.ID, doc, err)
	}
	doc, err := Individual(measure.FootExam(), explained()[0], o)
	put("individual", doc, err)
	doc, err = SubjectList(measure.FootExam(), year, explained(), o)
	put("subject-list", doc, err)
	doc, err = SubjectList(measure.FootExam(), year, nil, o)
	put("subject-list-of-nobody", doc, err)
	doc, _, err = Summary(measure.FootExam(), year, worked(), o)
	put("summary", doc, err)
	doc, _, err = Summary(measure.FootExam(), year, measure.Tally{}, o)
	put("summary-of-nobody", doc, err)
	o.Mask = true
	doc, _, err = Summary(measure.RecallKept(), year, grouped(), o)
	put("summary-masked", doc, err)
	doc, err = CodeSystem()
	put("codes", doc, err)
	valid(t, docs, outside)
}

// Where groups do not hide each other, everybody's numbers go as well.
func TestNumbersOfEverybodyAreHiddenWhereTheyTell(t *testing.T) {
	all := func(den, num int) measure.Counts {
		return measure.Counts{InitialPopulation: den, Denominator: den, Numerator: num}
	}
	for _, c := range []struct {
		says  string
		tally measure.Tally
		want  string
	}{
		{"large numbers are shown", measure.Tally{Counts: all(60, 40)}, "60 60 0 40"},
		{"few are met", measure.Tally{Counts: all(60, 4)}, "60 60 0 -"},
		{"few are not met", measure.Tally{Counts: all(60, 56)}, "60 60 0 -"},
		{"few are counted", measure.Tally{Counts: all(9, 0)}, "- - - -"},
		{"few are in no group", measure.Tally{Counts: all(63, 40), Strata: []measure.Stratum{{Name: "0", Counts: all(60, 38)}}}, "63 63 0 40"},
	} {
		doc, _, err := Summary(measure.RecallKept(), year, c.tally, ReportOptions{At: made, Mask: true})
		if err != nil {
			t.Fatal(err)
		}
		g := readBack(t, doc).Group[0]
		var shown []string
		for _, p := range g.Population {
			if p.Count == nil {
				shown = append(shown, "-")
			} else {
				shown = append(shown, fmt.Sprint(*p.Count))
			}
		}
		if got := strings.Join(shown, " "); got != c.want {
			t.Errorf("%s: %s, want %s", c.says, got, c.want)
		}
		if masked := strings.Contains(string(g.MeasureScore), "masked"); masked != strings.Contains(c.want, "-") {
			t.Errorf("%s: score %s", c.says, g.MeasureScore)
		}
		for _, s := range g.Stratifier {
			for _, p := range s.Stratum[0].Population[:2] {
				if p.Count != nil {
					t.Errorf("%s: the others can be worked out from the group", c.says)
				}
			}
		}
	}
}
