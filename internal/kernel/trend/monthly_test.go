package trend

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

// person is somebody of about 60 with diabetes for years.
func person(id string, facts ...record.Fact) record.Record {
	rec := record.Record{Person: record.Person{ID: id, Birth: when.MustMoment("1965-06-01")}}
	rec.Facts = append(facts, record.Fact{Kind: record.Condition, Key: "Condition/1", Codes: []term.Code{{System: term.ICD10CM, Code: "E11.9"}}, Start: when.MustMoment("2015"), Ended: known.No})
	return rec
}

func visit(day string) record.Fact {
	m := when.MustMoment(day)
	return record.Fact{Kind: record.Encounter, Key: "Encounter/" + day, Codes: []term.Code{{System: term.CPT, Code: "99213"}}, Start: m, End: m, Ended: known.Yes}
}

// examined are the three codes of a foot exam (reference, section 1.8).
func examined(day string) []record.Fact {
	m := when.MustMoment(day)
	var facts []record.Fact
	for _, code := range []string{"401191002", "134388005", "91161007"} {
		facts = append(facts, record.Fact{Kind: record.Observation, Key: "Observation/" + code + day, Codes: []term.Code{{System: term.SNOMED, Code: code}}, Start: m, End: m, Value: record.Value{Given: true, Text: "done"}})
	}
	return facts
}

func TestEveryMeasureHasAKindOfMonth(t *testing.T) {
	for _, m := range measure.All() {
		if KindOf(m) == ToDateOnly && m.ID != "a1c-poor-control" {
			t.Errorf("say in KindOf how %s is cut into months", m.ID)
		}
	}
}

func TestAMonthCountsItsOpportunities(t *testing.T) {
	facts := func(list ...[]record.Fact) []record.Fact {
		var all []record.Fact
		for _, l := range list {
			all = append(all, l...)
		}
		return all
	}
	come := func(days ...string) (all []record.Fact) {
		for _, d := range days {
			all = append(all, visit(d))
		}
		return all
	}
	for _, c := range []struct {
		name string
		rec  record.Record
		// toDate and done of January to April 2026, of a series made on 20 April.
		toDate, done [4]Share
	}{
		{"a visit without an exam is an opportunity missed", person("p", visit("2026-02-03")),
			[4]Share{{0, 0}, {0, 1}, {0, 1}, {0, 1}}, [4]Share{{}, {0, 1}, {}, {}}},
		{"a visit with an exam is one taken, and the next is none", person("p", facts(come("2026-02-03", "2026-03-03"), examined("2026-02-03"))...),
			[4]Share{{0, 0}, {1, 1}, {1, 1}, {1, 1}}, [4]Share{{}, {1, 1}, {}, {}}},
		{"whoever was examined less than a year ago is not due, though the year counts them as missing",
			person("p", facts(come("2025-11-03", "2026-01-05", "2026-03-03"), examined("2025-11-03"))...),
			[4]Share{{0, 1}, {0, 1}, {0, 1}, {0, 1}}, [4]Share{}},
		{"an exam later in the month of the visit still takes it", person("p", facts(come("2026-02-03"), examined("2026-02-27"))...),
			[4]Share{{0, 0}, {1, 1}, {1, 1}, {1, 1}}, [4]Share{{}, {1, 1}, {}, {}}},
		{"an exam begun at one visit and finished at the next takes the second", person("p", facts(come("2026-01-05", "2026-02-03"), examined("2026-01-05")[:2], examined("2026-02-03")[2:])...),
			[4]Share{{0, 1}, {1, 1}, {1, 1}, {1, 1}}, [4]Share{{0, 1}, {1, 1}, {}, {}}},
		{"an exam in a month without a visit is no opportunity, and counts to date", person("p", facts(come("2026-01-05"), examined("2026-03-01"))...),
			[4]Share{{0, 1}, {0, 1}, {1, 1}, {1, 1}}, [4]Share{{0, 1}, {}, {}, {}}},
		{"what lies after today is not known", person("p", visit("2026-04-25")), [4]Share{}, [4]Share{}},
		{"without diabetes nobody is counted", record.Record{Person: record.Person{ID: "p", Birth: when.MustMoment("1965")}, Facts: come("2026-01-05")}, [4]Share{}, [4]Share{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := NewSeries(measure.FootExam(), measure.Context{}, when.MustDay("2026-04-20"), 4)
			s.Add(&c.rec)
			for i, m := range s.Months {
				if m.ToDate != c.toDate[i] || m.Done != c.done[i] {
					t.Errorf("month of %s: to date %v done %v, want %v and %v", m.First, m.ToDate, m.Done, c.toDate[i], c.done[i])
				}
			}
		})
	}
}

func TestASeriesEndsWithAPartOfThisMonth(t *testing.T) {
	s := NewSeries(measure.FootExam(), measure.Context{}, when.MustDay("2026-02-20"), 14)
	first, last := s.Months[0], s.Months[13]
	if first.First != when.MustDay("2025-01-01") || first.Last != when.MustDay("2025-01-31") || first.Partial {
		t.Errorf("first month %+v", first)
	}
	if last.First != when.MustDay("2026-02-01") || last.Last != when.MustDay("2026-02-20") || !last.Partial {
		t.Errorf("last month %+v", last)
	}
	if n := len(s.Opportunities()); n != 13 {
		t.Errorf("%d points to read, want the 13 months that are over", n)
	}
	if whole := NewSeries(measure.FootExam(), measure.Context{}, when.MustDay("2026-02-28"), 1).Months[0]; whole.Partial {
		t.Errorf("a month is whole on its last day: %+v", whole)
	}
}

func someRecord(t *rapid.T, id string) record.Record {
	day := func(label string) string {
		return (when.MustDay("2024-10-01") + when.Day(rapid.IntRange(0, 600).Draw(t, label))).String()
	}
	var facts []record.Fact
	for range rapid.IntRange(0, 5).Draw(t, "visits") {
		facts = append(facts, visit(day("visit")))
	}
	for range rapid.IntRange(0, 2).Draw(t, "exams") {
		facts = append(facts, examined(day("exam"))...)
	}
	rec := person(id, facts...)
	rec.Person.Site = rapid.SampledFrom([]string{"north", "south", ""}).Draw(t, "site")
	return rec
}

func TestTheLastMonthToDateIsTheMeasure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rec := someRecord(t, "p")
		today := when.MustDay("2026-05-20")
		for _, m := range measure.All() {
			s := NewSeries(m, measure.Context{}, today, 17)
			s.Add(&rec)
			want := Share{}
			want.add(m.Evaluate(&rec, measure.Context{Period: measure.Period{First: when.MustDay("2026-01-01"), Last: today}}))
			if got := s.Months[16].ToDate; got != want {
				t.Fatalf("%s: %v, want %v", m.ID, got, want)
			}
		}
	})
}

func TestPartsOfAPanelAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		today := when.MustDay("2026-05-20")
		ctx := measure.Context{Period: measure.Year(2026)}
		series := func() *Series { return NewSeries(measure.FootExam(), ctx, today, 12) }
		whole, parts := series(), [2]*Series{series(), series()}
		var split Split
		var halves [2]Split
		for i := range rapid.IntRange(0, 6).Draw(t, "people") {
			rec := someRecord(t, string(rune('a'+i)))
			half := rapid.IntRange(0, 1).Draw(t, "half")
			whole.Add(&rec)
			parts[half].Add(&rec)
			r, about := measure.FootExam().Evaluate(&rec, ctx), AboutOf(&rec, ctx.Period, nil)
			split.Add(r, about)
			halves[half].Add(r, about)
		}
		parts[1].Merge(parts[0])
		if diff := cmp.Diff(whole.Months, parts[1].Months); diff != "" {
			t.Fatal(diff)
		}
		halves[1].Merge(&halves[0])
		for _, by := range Groupings() {
			if diff := cmp.Diff(split.Groups(by), halves[1].Groups(by), cmpopts.EquateEmpty()); diff != "" {
				t.Fatal(diff)
			}
		}
	})
}

// Add skips the months of a year in which the whole year does not count
// somebody; no measure may count them in a shorter period then.
func TestALongerPeriodOfTheYearCountsWhomAShorterOneCounts(t *testing.T) {
	for _, m := range measure.All() {
		if KindOf(m) == ToDateOnly {
			continue
		}
		for _, c := range m.Cases() {
			p := c.Context.Period
			whole := m.Evaluate(&c.Record, c.Context)
			for last := p.First; last < p.Last; last += 9 {
				ctx := c.Context
				ctx.Period.Last = last
				if m.Evaluate(&c.Record, ctx).InitialPopulation && !whole.InitialPopulation {
					t.Errorf("%s, %s: counted until %s and not until %s", m.ID, c.Name, last, p.Last)
				}
			}
		}
	}
}

func TestSplitPutsEverybodyCountedIntoOneGroup(t *testing.T) {
	coverage := func(code, start, end string) record.Fact {
		f := record.Fact{Kind: record.Coverage, Key: code, Codes: []term.Code{{System: term.SourceOfPayment, Code: code}}, Start: when.MustMoment(start)}
		if end != "" {
			f.End = when.MustMoment(end)
		}
		return f
	}
	period := measure.Year(2026)
	for _, c := range []struct {
		name string
		rec  record.Record
		want About
	}{
		{"nothing is recorded", record.Record{}, About{Age: NotRecorded}},
		{"all is recorded", record.Record{
			Person: record.Person{Clinician: "Dr A", Site: "north", Sex: "female", Language: "es-MX", Birth: when.MustMoment("1961-01-01")},
			Facts:  []record.Fact{coverage("12", "2024-01-01", "")},
		}, About{"Dr A", "north", "65 to 74", "female", "Medicare", "Spanish"}},
		{"the later of two payers in the period", record.Record{Facts: []record.Fact{coverage("512", "2026-03-01", ""), coverage("2", "2020-01-01", "2026-02-28")}},
			About{Age: NotRecorded, Payer: "private"}},
		{"a payer that ended before the period is none", record.Record{Facts: []record.Fact{coverage("2", "2020-01-01", "2025-02-28")}}, About{Age: NotRecorded}},
		{"a year of birth that leaves one band", record.Record{Person: record.Person{Birth: when.MustMoment("1990"), Sex: "unknown", Language: "fr"}},
			About{Age: "18 to 44", Language: "fr"}},
		{"a year of birth that leaves two", record.Record{Person: record.Person{Birth: when.MustMoment("1960-12/1961-02")}}, About{Age: NotRecorded}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := AboutOf(&c.rec, period, nil)
			if got != c.want {
				t.Errorf("%+v, want %+v", got, c.want)
			}
			var s Split
			s.Add(measure.Result{Denominator: true, Numerator: true}, got)
			s.Add(measure.Result{Denominator: true, DenominatorExclusion: true}, got)
			s.Add(measure.Result{InitialPopulation: true}, got)
			for _, by := range Groupings() {
				if groups := s.Groups(by); len(groups) != 1 || groups[0].Share != (Share{1, 1}) || groups[0].Name == "" {
					t.Errorf("by %s: %+v", by, groups)
				}
			}
		})
	}
}

func TestTheGroupOfWhomNothingIsKnownComesLast(t *testing.T) {
	var s Split
	for _, site := range []string{"", "west", "abc"} {
		s.Add(measure.Result{Denominator: true}, About{Site: site})
	}
	var names []string
	for _, g := range s.Groups(BySite) {
		names = append(names, g.Name)
	}
	if diff := cmp.Diff([]string{"abc", "west", NotRecorded}, names); diff != "" {
		t.Error(diff)
	}
}
