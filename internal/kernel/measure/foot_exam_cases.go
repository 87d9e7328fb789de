package measure

import (
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

// footExamCases are a few of the boundary cases of the reference (section
// 1.10), one for each place where a reader would ask.
func footExamCases() []Case {
	ctx := Context{Period: Year(2018)}
	base := func(change func(*record.Record)) record.Record {
		r := record.Record{
			Person: record.Person{ID: "case", Birth: when.MustMoment("1960-06-15")},
			Facts: []record.Fact{
				caseFact(record.Condition, "Condition/1", term.ICD10CM, "E11.9", "2010-03-01", ""),
				caseFact(record.Encounter, "Encounter/1", term.CPT, "99213", "2018-05-10T15:00Z", "2018-05-10T15:30Z"),
				caseResult("Observation/1", "401191002", "2018-05-10T15:10Z"),
				caseResult("Observation/2", "134388005", "2018-05-10T15:10Z"),
				caseResult("Observation/3", "91161007", "2018-05-10T15:10Z"),
			},
		}
		change(&r)
		return r
	}
	in := Result{InitialPopulation: true, Denominator: true}
	met := Result{InitialPopulation: true, Denominator: true, Numerator: true}
	left := Result{InitialPopulation: true, Denominator: true, DenominatorExclusion: true}
	return []Case{
		{"A visit, diabetes and all three parts in the year: met", ctx, base(func(*record.Record) {}), met},
		{"Turns 75 on the first day: not counted", ctx, base(func(r *record.Record) { r.Person.Birth = when.MustMoment("1943-01-01") }), Result{}},
		{"Turns 75 on the second day: counted", ctx, base(func(r *record.Record) { r.Person.Birth = when.MustMoment("1943-01-02") }), met},
		{"The visit has no end: not counted", ctx, base(func(r *record.Record) { r.Facts[1].End = when.Moment{} }), Result{}},
		{"Diabetes ended on the first day of the year: counted", ctx, base(func(r *record.Record) {
			r.Facts[0].End, r.Facts[0].Ended = when.MustMoment("2018-01-01"), known.Yes
		}), met},
		{"The monofilament test has no result: not met", ctx, base(func(r *record.Record) { r.Facts[3].Value = record.Value{} }), in},
		{"Both legs gone, one code a side: left out, and not met in spite of the results", ctx, base(func(r *record.Record) {
			r.Facts = append(r.Facts,
				caseFact(record.Condition, "Condition/2", term.ICD10CM, "Z89.511", "2015", ""),
				caseFact(record.Condition, "Condition/3", term.ICD10CM, "Z89.612", "2018-12-31", ""))
		}), left},
		{"Both feet gone: counted, a foot is not a leg in this measure", ctx, base(func(r *record.Record) {
			r.Facts = append(r.Facts,
				caseFact(record.Condition, "Condition/2", term.ICD10CM, "Z89.431", "2015", ""),
				caseFact(record.Condition, "Condition/3", term.ICD10CM, "Z89.432", "2015", ""))
		}), met},
	}
}

// caseFact makes a standing fact of a worked example. Without an end a
// condition is active; anything else without an end has none.
func caseFact(kind record.Kind, key string, system term.System, code, start, end string) record.Fact {
	f := record.Fact{Kind: kind, Key: key, Codes: []term.Code{{System: system, Code: code}}, Ended: known.No}
	if start != "" {
		f.Start = when.MustMoment(start)
	}
	if end != "" {
		f.End, f.Ended = when.MustMoment(end), known.Yes
	}
	return f
}

// caseResult makes a final observation with a result.
func caseResult(key, snomed, at string) record.Fact {
	f := caseFact(record.Observation, key, term.SNOMED, snomed, at, at)
	f.Value = record.Value{Given: true, Codes: []term.Code{{System: term.SNOMED, Code: "17621005"}}}
	return f
}
