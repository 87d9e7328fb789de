package measure_test

import (
	"fmt"
	"testing"
	"time"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

// BenchmarkFootExam evaluates charts of about 200 facts, most of them of kinds
// and codes that no measure asks for, as in an export of a whole practice. One
// operation is one chart.
func BenchmarkFootExam(b *testing.B) {
	newYork, err := time.LoadLocation("America/New_York")
	if err != nil {
		b.Fatal(err)
	}
	charts := benchCharts()
	foot := measure.FootExam()
	for _, explain := range []bool{false, true} {
		b.Run(fmt.Sprintf("explain=%v", explain), func(b *testing.B) {
			ctx := measure.Context{Period: measure.Year(2018), Zone: newYork, Explain: explain}
			var tally measure.Tally
			b.ReportAllocs()
			for i := range b.N {
				tally.Add(foot.Evaluate(&charts[i%len(charts)], ctx))
			}
			if b.N > len(charts) && tally.Numerator == 0 {
				b.Fatal("nobody met the measure")
			}
		})
	}
}

// benchCharts makes 1,000 different charts by plain arithmetic.
func benchCharts() []record.Record {
	charts := make([]record.Record, 1000)
	for i := range charts {
		r := &charts[i]
		r.Person = record.Person{ID: fmt.Sprintf("p%d", i), Birth: when.OnDay(when.Date(1930+i%80, 1, 1+i%28))}
		add := func(kind record.Kind, system term.System, code string, day when.Day, open bool) {
			f := record.Fact{Kind: kind, Key: fmt.Sprintf("Fact/%d", len(r.Facts)), Codes: []term.Code{{System: system, Code: code}},
				Start: when.MustMoment(day.String() + "T10:00:00-05:00")}
			if open {
				f.Ended = known.No
			} else {
				f.End, f.Ended = when.MustMoment(day.String()+"T10:30:00-05:00"), known.Yes
			}
			f.Value.Given = kind == record.Observation
			r.Facts = append(r.Facts, f)
		}
		first := when.Date(2012, 1, 1)
		for n := range 20 {
			add(record.Condition, term.SNOMED, fmt.Sprint(38341000+n*7), first+when.Day(n*100), n%3 == 0)
		}
		if i%2 == 0 {
			add(record.Condition, term.SNOMED, "44054006", first, true)
		}
		if i%3 == 0 {
			add(record.Condition, term.ICD10CM, "E11.42", first, true)
		}
		for n := range 30 {
			code, system := "185349003", term.SNOMED
			if n%4 == 0 {
				code, system = "99213", term.CPT
			}
			add(record.Encounter, system, code, first+when.Day(n*90+i%60), false)
		}
		for n := range 20 {
			add(record.Procedure, term.SNOMED, fmt.Sprint(430193006+n), first+when.Day(n*120), false)
		}
		for n := range 110 {
			add(record.Observation, term.LOINC, fmt.Sprintf("%d-%d", 2339+n, n%10), first+when.Day(n*23), false)
		}
		for n, code := range []string{"401191002", "134388005", "91161007"} {
			if i%5 != n {
				add(record.Observation, term.SNOMED, code, when.Date(2018, 3, 1+i%28), false)
			}
		}
		for n := range 20 {
			add(record.Medication, term.RxNorm, fmt.Sprint(860975+n), first+when.Day(n*80), false)
		}
	}
	return charts
}
