package qrda

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

func TestDemographicsAreOneCodeEach(t *testing.T) {
	cdc := func(code string) term.Code { return term.Code{System: term.CDCRace, Code: code} }
	for _, c := range []struct {
		says   string
		person record.Person
		want   Demographics
	}{
		{"nothing known", record.Person{}, Demographics{"UNK", "UNK", "UNK", "UNK"}},
		{"all known", record.Person{Sex: "female", Ethnicity: cdc("2135-2"), Race: cdc("2106-3")}, Demographics{"F", "2135-2", "2106-3", "UNK"}},
		{"a sex that the set does not have", record.Person{Sex: "other"}, Demographics{"OTH", "UNK", "UNK", "UNK"}},
		{"a sex said to be unknown", record.Person{Sex: "unknown"}, Demographics{"UNK", "UNK", "UNK", "UNK"}},
		{"a race more exact than the set has", record.Person{Sex: "male", Race: cdc("1006-6")}, Demographics{"M", "UNK", "OTH", "UNK"}},
		{"a code of another system", record.Person{Sex: "male", Race: term.Code{System: term.SNOMED, Code: "2106-3"}}, Demographics{"M", "UNK", "OTH", "UNK"}},
	} {
		if got := DemographicsOf(&record.Record{Person: c.person}, measure.Year(2018)); got != c.want {
			t.Errorf("%s: %v, want %v", c.says, got, c.want)
		}
	}
}

func coverage(key, code, start, end string) record.Fact {
	f := record.Fact{Kind: record.Coverage, Key: key, Codes: []term.Code{{System: term.SourceOfPayment, Code: code}}}
	if start != "" {
		f.Start = when.MustMoment(start)
	}
	if end != "" {
		f.End = when.MustMoment(end)
	}
	return f
}

func TestThePayerIsTheCoverageThatBeganLast(t *testing.T) {
	void := coverage("Coverage/4", "1", "2018-06-01", "")
	void.Standing = record.Void
	for _, c := range []struct {
		says  string
		facts []record.Fact
		want  string
	}{
		{"by its first digit", []record.Fact{coverage("Coverage/1", "121", "", "")}, "1"},
		{"ended before the period", []record.Fact{coverage("Coverage/1", "1", "2016-01-01", "2017-12-31")}, "UNK"},
		{"begins after the period", []record.Fact{coverage("Coverage/1", "1", "2019-01-01", "")}, "UNK"},
		{"ended on the first day of the period", []record.Fact{coverage("Coverage/1", "2", "2016-01-01", "2018-01-01")}, "2"},
		{"changed in the period", []record.Fact{coverage("Coverage/1", "5", "2017-01-01", "2018-05-31"), coverage("Coverage/2", "1", "2018-06-01", "")}, "1"},
		{"two at once: the first key", []record.Fact{coverage("Coverage/2", "5", "2018-01-01", ""), coverage("Coverage/1", "2", "2018-01-01", "")}, "2"},
		{"withdrawn", []record.Fact{coverage("Coverage/3", "6", "2017-01-01", ""), void}, "6"},
		{"no source-of-payment code", []record.Fact{{Kind: record.Coverage, Key: "Coverage/1", Codes: []term.Code{{System: term.Local, Code: "1"}}}}, "UNK"},
	} {
		rec := &record.Record{Facts: c.facts}
		backwards := &record.Record{Facts: slices.Clone(c.facts)}
		slices.Reverse(backwards.Facts)
		got := DemographicsOf(rec, measure.Year(2018))[Payer]
		if other := DemographicsOf(backwards, measure.Year(2018))[Payer]; got != c.want || other != c.want {
			t.Errorf("%s: %s, backwards %s, want %s", c.says, got, other, c.want)
		}
	}
}

func TestGroupsOfEachElementAddUpToThePopulation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var tally measure.Tally
		var b Breakdown
		for range rapid.IntRange(0, 40).Draw(t, "people") {
			r := measure.Result{InitialPopulation: rapid.Bool().Draw(t, "in")}
			r.Denominator = r.InitialPopulation
			r.DenominatorExclusion = r.Denominator && rapid.Bool().Draw(t, "out")
			r.Numerator = r.Denominator && !r.DenominatorExclusion && rapid.Bool().Draw(t, "met")
			tally.Add(r)
			b.Add(r, Demographics{Sex: rapid.SampledFrom([]string{"F", "M", ""}).Draw(t, "sex")})
		}
		r := report(STU21)
		r.Counts, r.Breakdown = tally.Counts, &b
		if ps := r.sums(); len(ps) > 0 {
			t.Error(ps)
		}
	})
}
