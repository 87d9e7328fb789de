package measure_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

// codes of every kind that the foot exam reads, and some that it does not.
var someCodes = map[record.Kind][]term.Code{
	record.Condition: {{System: term.ICD10CM, Code: "E11.9"}, {System: term.ICD10CM, Code: "E09.9"}, {System: term.ICD10CM, Code: "E11"},
		{System: term.SNOMED, Code: "44054006"}, {System: term.ICD10CM, Code: "Z89.511"}, {System: term.ICD10CM, Code: "Z89.612"},
		{System: term.ICD10CM, Code: "Q72.03"}, {System: term.ICD10CM, Code: "Q72.20"}, {System: term.ICD10CM, Code: "I10"}},
	record.Encounter: {{System: term.CPT, Code: "99213"}, {System: term.HCPCS, Code: "G0439"}, {System: term.SNOMED, Code: "183452005"}, {System: term.CPT, Code: "99211"}},
	record.Procedure: {{System: term.SNOMED, Code: "385763009"}, {System: term.SNOMED, Code: "88312006"}, {System: term.SNOMED, Code: "721060009"}},
	record.Order:     {{System: term.SNOMED, Code: "385765002"}, {System: term.SNOMED, Code: "1"}},
	record.Observation: {{System: term.SNOMED, Code: "401191002"}, {System: term.SNOMED, Code: "134388005"}, {System: term.SNOMED, Code: "91161007"},
		{System: term.LOINC, Code: "4548-4"}},
}

var kinds = []record.Kind{record.Condition, record.Encounter, record.Procedure, record.Order, record.Observation}

func someMoment(t *rapid.T, label string) when.Moment {
	if rapid.IntRange(0, 7).Draw(t, label+" there") == 0 {
		return when.Moment{}
	}
	day := when.Date(2017, 10, 1) + when.Day(rapid.IntRange(0, 500).Draw(t, label))
	text := day.String() + rapid.SampledFrom([]string{"T00:00Z", "T10:00-05:00", "T23:59:59.999-05:00", "T23:30+13:00", "", "", ""}).Draw(t, label+" time")
	if len(text) == 10 {
		text = text[:rapid.SampledFrom([]int{10, 10, 7, 4}).Draw(t, label+" precision")]
	}
	return when.MustMoment(text)
}

func someFact(t *rapid.T, key string) record.Fact {
	kind := rapid.SampledFrom(kinds).Draw(t, "kind")
	f := record.Fact{Kind: kind, Key: key,
		Codes:    []term.Code{rapid.SampledFrom(someCodes[kind]).Draw(t, "code")},
		Standing: rapid.SampledFrom([]record.Standing{0, 0, 0, 0, record.Void, record.Planned, record.Preliminary}).Draw(t, "standing"),
		Start:    someMoment(t, "start"),
		End:      someMoment(t, "end"),
		Ended:    known.Tri(rapid.IntRange(0, 2).Draw(t, "ended")),
	}
	f.Value.Given = kind == record.Observation && rapid.IntRange(0, 4).Draw(t, "value") > 0
	if f.Value.Given && f.Codes[0].System == term.LOINC {
		f.Value.Number, f.Value.Unit = rapid.SampledFrom([]string{"8.8", "9.0", "9.4", ""}).Draw(t, "number"), "%"
		f.Start = when.MustMoment(rapid.SampledFrom([]string{"2018-03-01", "2018-03-02"}).Draw(t, "test day"))
		f.End = f.Start
	}
	switch rapid.IntRange(0, 3).Draw(t, "site") {
	case 0:
		f.Sites = []term.Code{{System: term.SNOMED, Code: "7771000"}}
	case 1:
		f.Sites = []term.Code{{System: term.SNOMED, Code: "24028007"}}
	}
	if rapid.Bool().Draw(t, "disposition") {
		f.Disposition = []term.Code{{System: term.SNOMED, Code: "428371000124100"}}
	}
	return f
}

func someRecord(t *rapid.T) record.Record {
	rec := record.Record{Person: record.Person{ID: "p", Birth: when.MustMoment(rapid.SampledFrom(
		[]string{"1960-06-15", "1943-01-01", "1943-01-02", "2000-01-01", "2000-01-02", "1943", "1960"}).Draw(t, "birth"))}}
	if rapid.Bool().Draw(t, "from the base") {
		rec.Facts = base().Facts
	}
	for i := range rapid.IntRange(0, 12).Draw(t, "facts") {
		rec.Facts = append(rec.Facts, someFact(t, fmt.Sprint("Fact/", i)))
	}
	for range rapid.IntRange(0, 2).Draw(t, "exams") {
		rec.Exams = append(rec.Exams, examOn(rapid.SampledFrom([]string{"2018-06-01T10:00Z", "2018-12-31T23:30-05:00", "2017-03-01T09:00Z"}).Draw(t, "exam"), nil))
	}
	return rec
}

func someContext(t *rapid.T) measure.Context {
	return measure.Context{
		Period:  measure.Year(rapid.SampledFrom([]int{2017, 2018}).Draw(t, "year")),
		Zone:    rapid.SampledFrom([]*time.Location{nil, time.UTC, newYork, auckland}).Draw(t, "zone"),
		Sets:    rapid.SampledFrom([]*measure.Sets{nil, measure.CurrentSets()}).Draw(t, "sets"),
		Explain: rapid.Bool().Draw(t, "explain"),
	}
}

func TestTheOrderOfFactsNeverMatters(t *testing.T) {
	for _, m := range measure.All() {
		t.Run(m.ID, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				rec, ctx := someRecord(t), someContext(t)
				want := m.Evaluate(&rec, ctx)
				rec.Facts = rapid.Permutation(rec.Facts).Draw(t, "order")
				rec.Exams = rapid.Permutation(rec.Exams).Draw(t, "exam order")
				if diff := cmp.Diff(want, m.Evaluate(&rec, ctx)); diff != "" {
					t.Fatal(diff)
				}
			})
		})
	}
}

func TestAnUnrelatedFactNeverChangesAResult(t *testing.T) {
	unrelated := []record.Fact{
		entry(record.Condition, "x", term.ICD10CM, "I10", "2018-03-01", ""),
		entry(record.Condition, "x", term.ICD10CM, "Z89.421", "2018-03-01", ""), // a toe is not a leg
		entry(record.Encounter, "x", term.CPT, "99211", "2018-03-01", "2018-03-01"),
		entry(record.Procedure, "x", term.CPT, "11055", "2018-03-01", "2018-03-01"),
		entry(record.Medication, "x", term.RxNorm, "860975", "2018-03-01", ""),
		entry(record.Appointment, "x", term.SNOMED, "185463005", "2018-03-01", ""),
		finding("x", "40733004", "2018-03-01"),
	}
	for _, m := range measure.All() {
		t.Run(m.ID, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				rec, ctx := someRecord(t), someContext(t)
				want := m.Evaluate(&rec, ctx)
				rec.Facts = append(rec.Facts[:len(rec.Facts):len(rec.Facts)], rapid.SampledFrom(unrelated).Draw(t, "unrelated"))
				if diff := cmp.Diff(want, m.Evaluate(&rec, ctx)); diff != "" {
					t.Fatal(diff)
				}
			})
		})
	}
}

func TestPopulationsAreNested(t *testing.T) {
	for _, m := range measure.All() {
		t.Run(m.ID, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				rec, ctx := someRecord(t), someContext(t)
				r := m.Evaluate(&rec, ctx)
				if r.Denominator && !r.InitialPopulation || r.DenominatorExclusion && !r.Denominator ||
					r.Numerator && (!r.Denominator || r.DenominatorExclusion || r.Exception) || r.Exception && (!r.Denominator || r.DenominatorExclusion) {
					t.Fatalf("%+v", r)
				}
				ctx.Explain = !ctx.Explain
				again := m.Evaluate(&rec, ctx)
				if diff := cmp.Diff(r, again, cmpopts.IgnoreFields(measure.Result{}, "Because", "Gaps")); diff != "" {
					t.Fatalf("explaining changes the answer: %s", diff)
				}
				if !ctx.Explain {
					again = r
				}
				if len(again.Because) == 0 {
					t.Fatal("no reasons")
				}
				for _, reason := range again.Because {
					if reason.Source == nil || reason.Says == "" {
						t.Fatalf("a reason without a source: %+v", reason)
					}
				}
			})
		})
	}
}

// Of the years 2017, 2018 and 2019, exactly the one that holds the exam has the
// person in its numerator, in whatever zone the practice is.
func TestMovingTheExamMovesExactlyOneYear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		zone := rapid.SampledFrom([]*time.Location{time.UTC, newYork, auckland}).Draw(t, "zone")
		at := time.Date(2017, 1, 1, 0, 0, 0, 0, zone).Add(time.Duration(rapid.Int64Range(0, 3*365*86400-1).Draw(t, "second")) * time.Second)
		rec := base()
		dates(&rec, when.AtTime(at.UTC()).String(), when.AtTime(at.UTC()).String(), when.AtTime(at.UTC()).String())
		if rapid.Bool().Draw(t, "signed here") {
			rec.Facts = rec.Facts[:2]
			rec.Exams = []record.SignedExam{examOn(when.AtTime(at.UTC()).String(), nil)}
		}
		for y := 2017; y <= 2019; y++ { // a visit in each year
			rec.Facts = append(rec.Facts, entry(record.Encounter, fmt.Sprint("Encounter/", y), term.CPT, "99213", fmt.Sprintf("%d-06-01", y), fmt.Sprintf("%d-06-01", y)))
		}
		for y := 2017; y <= 2019; y++ {
			got := measure.FootExam().Evaluate(&rec, measure.Context{Period: measure.Year(y), Zone: zone})
			if got.Numerator != (at.Year() == y) {
				t.Fatalf("exam at %v: numerator of %d is %v", at, y, got.Numerator)
			}
		}
	})
}

func TestTalliesAddUpInAnyGrouping(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var whole, left, right measure.Tally
		var results []measure.Result
		for range rapid.IntRange(0, 20).Draw(t, "people") {
			r := measure.Result{InitialPopulation: rapid.Bool().Draw(t, "initial"), Numerator: rapid.Bool().Draw(t, "numerator"),
				DenominatorExclusion: rapid.Bool().Draw(t, "exclusion"), Exception: rapid.Bool().Draw(t, "exception"),
				Stratum: rapid.SampledFrom([]string{"", "0", "1", "2", "3"}).Draw(t, "stratum")}
			r.Denominator = r.InitialPopulation
			results = append(results, r)
			whole.Add(r)
		}
		for _, r := range rapid.Permutation(results).Draw(t, "order") {
			if rapid.Bool().Draw(t, "left") {
				left.Add(r)
			} else {
				right.Add(r)
			}
		}
		other := measure.Tally{}
		other.Merge(right)
		other.Merge(left)
		left.Merge(right)
		if diff := cmp.Diff(whole, left); diff != "" {
			t.Fatal(diff)
		}
		if diff := cmp.Diff(whole, other); diff != "" {
			t.Fatal(diff)
		}
	})
}

// Reference, section 5.5: 100 in the denominator, 4 excluded, 60 met.
func TestRate(t *testing.T) {
	var tally measure.Tally
	if _, ok := tally.Rate(); ok {
		t.Error("the rate of nobody is defined")
	}
	for i := range 100 {
		tally.Add(measure.Result{InitialPopulation: true, Denominator: true, DenominatorExclusion: i < 4, Numerator: i >= 40})
	}
	if rate, ok := tally.Rate(); !ok || rate != 0.625 {
		t.Errorf("rate %v %v, want 0.625", rate, ok)
	}
	excluded := measure.Tally{}
	excluded.Add(measure.Result{InitialPopulation: true, Denominator: true, DenominatorExclusion: true})
	if _, ok := excluded.Rate(); ok {
		t.Error("with everybody excluded the rate is defined")
	}
}

func TestTheWorkedExamplesHold(t *testing.T) {
	for _, m := range measure.All() {
		cases := m.Cases()
		if len(cases) < 3 {
			t.Errorf("%s has %d worked examples", m.ID, len(cases))
		}
		for _, c := range cases {
			got := m.Evaluate(&c.Record, c.Context)
			got = measure.Result{InitialPopulation: got.InitialPopulation, Denominator: got.Denominator, DenominatorExclusion: got.DenominatorExclusion,
				Exception: got.Exception, Numerator: got.Numerator, Stratum: got.Stratum}
			if diff := cmp.Diff(c.Want, got); diff != "" {
				t.Errorf("%s: %s: %s", m.ID, c.Name, diff)
			}
		}
	}
}

func TestEveryMeasureIsFoundByItsID(t *testing.T) {
	for _, m := range measure.All() {
		got, err := measure.Find(m.ID)
		if err != nil || got.Title != m.Title || m.Text == "" || m.Source == nil || m.Version == "" {
			t.Errorf("%s: %v %+v", m.ID, err, got)
		}
	}
	if _, err := measure.Find("no-such"); err == nil {
		t.Error("an unknown measure is found")
	}
}
