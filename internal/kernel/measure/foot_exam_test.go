package measure_test

import (
	"strings"
	"testing"
	"time"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

var (
	out      = populations{}
	counted  = populations{initial: true, denominator: true}
	leftOut  = populations{initial: true, denominator: true, exclusion: true}
	met      = populations{initial: true, denominator: true, numerator: true}
	newYork  = mustZone("America/New_York")
	auckland = mustZone("Pacific/Auckland")
)

func mustZone(name string) *time.Location {
	z, err := time.LoadLocation(name)
	if err != nil {
		panic(err)
	}
	return z
}

// The base person of the reference, section 1.10: each case changes one thing.
// Places of the facts: 0 diabetes, 1 visit, 2 visual, 3 monofilament, 4 pulses.
func base() record.Record {
	return record.Record{
		Person: record.Person{ID: "p1", Birth: when.MustMoment("1960-06-15")},
		Facts: []record.Fact{
			entry(record.Condition, "Condition/1", term.ICD10CM, "E11.9", "2010-03-01", ""),
			entry(record.Encounter, "Encounter/1", term.CPT, "99213", "2018-05-10T15:00Z", "2018-05-10T15:30Z"),
			finding("Observation/1", "401191002", "2018-05-10T15:10Z"),
			finding("Observation/2", "134388005", "2018-05-10T15:10Z"),
			finding("Observation/3", "91161007", "2018-05-10T15:10Z"),
		},
	}
}

func entry(kind record.Kind, key string, system term.System, code, start, end string) record.Fact {
	f := record.Fact{Kind: kind, Key: key, Codes: []term.Code{{System: system, Code: code}}, Ended: known.Of(end != "")}
	if start != "" {
		f.Start = when.MustMoment(start)
	}
	if end != "" {
		f.End = when.MustMoment(end)
	}
	return f
}

func finding(key, snomed, at string) record.Fact {
	f := entry(record.Observation, key, term.SNOMED, snomed, at, at)
	f.Ended, f.Value.Given = known.Unknown, true
	return f
}

// dates puts the three assessments on days.
func dates(r *record.Record, visual, filament, pulses string) {
	for i, at := range []string{visual, filament, pulses} {
		r.Facts[2+i].Start = when.MustMoment(at)
		r.Facts[2+i].End = r.Facts[2+i].Start
	}
}

func TestFootExamWhereRecordsAreNotPrecise(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*record.Record)
		zone   *time.Location
		sets   *measure.Sets
		want   populations
		// look is part of a data-quality note; empty wants no note at all.
		look string
	}{
		// Reference, section 1.10, cases at the level of FHIR.
		{name: "a diagnosis entered in error or refuted does not count",
			change: func(r *record.Record) { r.Facts[0].Standing = record.Void }, want: out},
		{name: "an inactive diagnosis without an end does not count, and is listed",
			change: func(r *record.Record) { r.Facts[0].Ended = known.Yes }, want: out, look: "marked as over, without a date; not counted"},
		{name: "one that began in the period counts, whenever it ended",
			change: func(r *record.Record) {
				r.Facts[0].Start, r.Facts[0].Ended = when.MustMoment("2018-01-01T00:00:00Z"), known.Yes
			}, want: met},
		{name: "one that began a second before the period does not count, and is listed",
			change: func(r *record.Record) {
				r.Facts[0].Start, r.Facts[0].Ended = when.MustMoment("2017-12-31T23:59:59Z"), known.Yes
			}, want: out, look: "marked as over, without a date; not counted"},
		{name: "one that began in the period needs no status",
			change: func(r *record.Record) {
				r.Facts[0].Start, r.Facts[0].Ended = when.MustMoment("2018-12"), known.Unknown
			}, want: met},
		{name: "a cancelled visit does not count",
			change: func(r *record.Record) { r.Facts[1].Standing = record.Void }, want: out},
		{name: "a planned visit does not count",
			change: func(r *record.Record) { r.Facts[1].Standing = record.Planned }, want: out},
		{name: "a preliminary result does not count",
			change: func(r *record.Record) { r.Facts[2].Standing = record.Preliminary }, want: counted},
		{name: "a result entered in error does not count",
			change: func(r *record.Record) { r.Facts[3].Standing = record.Void }, want: counted},
		{name: "a result that is absent for a reason does not count",
			change: func(r *record.Record) { r.Facts[4].Value = record.Value{Absent: "not-performed"} }, want: counted},
		{name: "the same exam imported twice counts once",
			change: func(r *record.Record) { r.Facts = append(r.Facts, r.Facts[2:]...) }, want: met},
		{name: "a merged record is not counted a second time",
			change: func(r *record.Record) { r.Person.ReplacedBy = "p2" }, want: out, look: "merged into p2"},

		// Reference, section 1.4: our rule for partial dates, MP 2018.
		{name: "exams known to the year 2018 are in, without a note",
			change: func(r *record.Record) { dates(r, "2018", "2018", "2018") }, want: met},
		{name: "an exam known to the month before is out",
			change: func(r *record.Record) { dates(r, "2017-12", "2018", "2018") }, want: counted},
		{name: "an assessment that took from one year into the next is out",
			change: func(r *record.Record) {
				r.Facts[2].Start, r.Facts[2].End = when.MustMoment("2017-12-30"), when.MustMoment("2018-01-02")
			}, want: counted},
		{name: "an assessment whose end nobody wrote down is out, like a visit, and is listed",
			change: func(r *record.Record) { r.Facts[2].End = when.Moment{} }, want: counted, look: "has no end; not counted"},
		{name: "diabetes since the year 2018 is in, without a note",
			change: func(r *record.Record) { r.Facts[0].Start = when.MustMoment("2018") }, want: met},
		{name: "diabetes since the year 2019 is out",
			change: func(r *record.Record) { r.Facts[0].Start = when.MustMoment("2019") }, want: out},
		{name: "diabetes that ended in the year 2017 is out",
			change: func(r *record.Record) { ended(r, "2017") }, want: out},
		{name: "diabetes that ended in the year 2018 is in",
			change: func(r *record.Record) { ended(r, "2018") }, want: met},
		{name: "diabetes that ended on the last day before is out",
			change: func(r *record.Record) { ended(r, "2017-12-31") }, want: out},
		{name: "diabetes that ended on the first day is in",
			change: func(r *record.Record) { ended(r, "2018-01-01") }, want: met},
		{name: "active diabetes without a date is in, and is listed",
			change: func(r *record.Record) { r.Facts[0].Start = when.Moment{} }, want: met, look: "is active and has no date; counted"},
		{name: "diabetes without a date or a status is out, and is listed",
			change: func(r *record.Record) { r.Facts[0].Start, r.Facts[0].Ended = when.Moment{}, known.Unknown }, want: out, look: "has no date; not counted"},
		{name: "dated diabetes without a status is in, and is listed",
			change: func(r *record.Record) { r.Facts[0].Ended = known.Unknown }, want: met, look: "has no end and no status; counted"},
		{name: "a doubtful diagnosis is not listed beside a sure one",
			change: func(r *record.Record) {
				r.Facts = append(r.Facts, entry(record.Condition, "Condition/2", term.ICD10CM, "E11.42", "", ""))
			}, want: met},

		// Birth dates.
		{name: "without a birth date nobody is counted, and it is listed",
			change: func(r *record.Record) { r.Person.Birth = when.Moment{} }, want: out, look: "birth date has no date"},
		{name: "a birth year that settles the age is enough",
			change: func(r *record.Record) { r.Person.Birth = when.MustMoment("1960") }, want: met},
		{name: "born at some time in 1943: 74 or 75, not counted, listed",
			change: func(r *record.Record) { r.Person.Birth = when.MustMoment("1943") }, want: out, look: "birth date is dated too vaguely"},
		{name: "born at some time in January 2000: 17 or 18, not counted, listed",
			change: func(r *record.Record) { r.Person.Birth = when.MustMoment("2000-01") }, want: out, look: "birth date is dated too vaguely"},
		{name: "a birth date is not moved by the practice's zone",
			change: func(r *record.Record) { r.Person.Birth = when.MustMoment("1943-01-02") }, zone: newYork, want: met},
		{name: "death plays no part",
			change: func(r *record.Record) {
				r.Person.Deceased, r.Person.DiedAt = known.Yes, when.MustMoment("2018-06-01")
			}, want: met},

		// Visits.
		{name: "a visit known only by its day counts",
			change: func(r *record.Record) {
				r.Facts[1].Start, r.Facts[1].End = when.MustMoment("2018-12-31"), when.MustMoment("2018-12-31")
			}, want: met},
		{name: "a visit without an end does not count, and is listed",
			change: func(r *record.Record) { r.Facts[1].End = when.Moment{} }, want: out, look: "Encounter/1 (99213) has no end; not counted"},
		{name: "an open visit of another year is not listed",
			change: func(r *record.Record) {
				r.Facts[1].Start, r.Facts[1].End = when.MustMoment("2016-01-01"), when.Moment{}
			}, want: out},
		{name: "any coding of a visit may qualify it",
			change: func(r *record.Record) {
				r.Facts[1].Codes = []term.Code{{System: term.SNOMED, Code: "185349003"}, {System: term.SNOMED, Code: "185463005"}}
			}, want: met},
		{name: "a number of another code system is not the visit",
			change: func(r *record.Record) { r.Facts[1].Codes[0].System = term.SNOMED }, want: out},

		// Days in the practice's calendar.
		{name: "new year's eve at ten in New York is the old year there",
			change: func(r *record.Record) {
				dates(r, "2018-12-31T22:00-05:00", "2018-12-31T22:00-05:00", "2018-12-31T22:00-05:00")
			}, zone: newYork, want: met},
		{name: "the same instant is the new year in UTC",
			change: func(r *record.Record) {
				dates(r, "2018-12-31T22:00-05:00", "2018-12-31T22:00-05:00", "2018-12-31T22:00-05:00")
			}, zone: time.UTC, want: counted},
		{name: "new year's morning in Auckland, written in UTC, is the new year there",
			change: func(r *record.Record) { dates(r, "2017-12-31T12:00Z", "2017-12-31T12:00Z", "2017-12-31T12:00Z") }, zone: auckland, want: met},
		{name: "the last thousandth of the year is inside",
			change: func(r *record.Record) {
				dates(r, "2018-12-31T23:59:59.999Z", "2018-12-31T23:59:60Z", "2018-12-31T23:59:59Z")
			}, zone: time.UTC, want: met},

		// Exclusions.
		{name: "amputations without dates, both active: left out, and listed",
			change: func(r *record.Record) {
				r.Facts = append(r.Facts, entry(record.Condition, "Condition/2", term.ICD10CM, "Z89.511", "", ""),
					entry(record.Condition, "Condition/3", term.ICD10CM, "Z89.512", "", ""))
			}, want: leftOut, look: "is active and has no date"},
		{name: "hospice care under way excludes",
			change: func(r *record.Record) {
				f := entry(record.Procedure, "Procedure/1", term.SNOMED, "385763009", "2018-10-01", "")
				f.Standing = record.Planned
				r.Facts = append(r.Facts, f)
			}, want: leftOut},
		{name: "hospice care that was planned and never begun does not",
			change: func(r *record.Record) {
				f := entry(record.Procedure, "Procedure/1", term.SNOMED, "385763009", "2018-10-01", "")
				f.Standing, f.Ended = record.Planned, known.Unknown
				r.Facts = append(r.Facts, f)
			}, want: met},
		{name: "a hospice order of another kind than a plain one does not, as in the published logic, and is listed",
			change: func(r *record.Record) {
				f := entry(record.Order, "ServiceRequest/1", term.SNOMED, "385763009", "2018-10-01", "")
				f.Intent = "filler-order"
				r.Facts = append(r.Facts, f)
			}, want: met, look: "is another kind of order than a plain one; not counted"},
		{name: "a hospice order that was revoked does not",
			change: func(r *record.Record) {
				f := entry(record.Order, "ServiceRequest/1", term.SNOMED, "385763009", "2018-10-01", "")
				f.Standing = record.Void
				r.Facts = append(r.Facts, f)
			}, want: met},
		{name: "a disposition to hospice of an office visit does not",
			change: func(r *record.Record) {
				r.Facts[1].Disposition = []term.Code{{System: term.SNOMED, Code: "428361000124107"}}
			}, want: met},

		// Editions of the value sets (reference, sections 1.6 and 1.7).
		{name: "generic diabetes in SNOMED is not in the 2018 set",
			change: func(r *record.Record) { r.Facts[0].Codes[0] = term.Code{System: term.SNOMED, Code: "73211009"} }, want: out},
		{name: "and is in the current one", sets: measure.CurrentSets(),
			change: func(r *record.Record) { r.Facts[0].Codes[0] = term.Code{System: term.SNOMED, Code: "73211009"} }, want: met},
		{name: "an eye code that ended in 2016 is in the 2018 set",
			change: func(r *record.Record) { r.Facts[0].Codes[0].Code = "E11.321" }, want: met},
		{name: "and not in the current one", sets: measure.CurrentSets(),
			change: func(r *record.Record) { r.Facts[0].Codes[0].Code = "E11.321" }, want: out},
		{name: "385765002 is hospice in 2018",
			change: func(r *record.Record) {
				r.Facts = append(r.Facts, entry(record.Order, "ServiceRequest/1", term.SNOMED, "385765002", "2018-10-01", ""))
			}, want: leftOut},
		{name: "and not in 2024", sets: measure.CurrentSets(),
			change: func(r *record.Record) {
				r.Facts = append(r.Facts, entry(record.Order, "ServiceRequest/1", term.SNOMED, "385765002", "2018-10-01", ""))
			}, want: met},
		{name: "170935008 is hospice in 2024", sets: measure.CurrentSets(),
			change: func(r *record.Record) {
				r.Facts = append(r.Facts, entry(record.Order, "ServiceRequest/1", term.SNOMED, "170935008", "2018-10-01", ""))
			}, want: leftOut},
		{name: "a bare category is out, and is listed",
			change: func(r *record.Record) { r.Facts[0].Codes[0].Code = "E11" }, want: out, look: "category such as E11"},
	} {
		t.Run(c.name, func(t *testing.T) {
			rec := base()
			c.change(&rec)
			zone := c.zone
			if zone == nil {
				zone = time.UTC
			}
			got := measure.FootExam().Evaluate(&rec, measure.Context{Period: measure.Year(2018), Zone: zone, Sets: c.sets})
			if populationsOf(got) != c.want {
				t.Errorf("got %+v, want %+v", populationsOf(got), c.want)
			}
			notes := strings.Join(got.Quality, "; ")
			if (c.look == "") != (notes == "") || !strings.Contains(notes, c.look) {
				t.Errorf("data-quality notes %q, want %q in them", notes, c.look)
			}
		})
	}
}

func ended(r *record.Record, on string) {
	r.Facts[0].End, r.Facts[0].Ended = when.MustMoment(on), known.Yes
}

// examOn is an exam signed here with all three parts done, changed by change.
func examOn(at string, change func(*exam.Draft)) record.SignedExam {
	d := exam.Draft{ID: "exam-" + at, Revision: 1, Patient: "p1", At: when.MustMoment(at), Protocol: neuro.TenSites}
	for _, side := range foot.Sides {
		f := d.Foot(side)
		f.Look.Skin, f.Look.Wound = known.Normal, known.Normal
		f.Feel.Arteries = perfusion.Leg{DP: perfusion.PulsePresent, PT: perfusion.PulseAbsent}
		for _, site := range d.Protocol.Sites() {
			f.Test.Filament[site] = known.Normal
		}
	}
	if change != nil {
		change(&d)
	}
	return record.SignedExam{Exam: exam.Exam{Draft: d}}
}

func TestExamsSignedHereCount(t *testing.T) {
	noPulses := func(d *exam.Draft) { d.Right.Feel.Arteries = perfusion.Leg{} }
	for _, c := range []struct {
		name   string
		change func(*record.Record)
		want   populations
		gap    string
	}{
		{"one whole exam is enough", func(r *record.Record) {
			r.Facts = r.Facts[:2]
			r.Exams = []record.SignedExam{examOn("2018-07-01T10:00-04:00", nil)}
		}, met, ""},
		{"an exam whose pulses were not felt leaves a gap", func(r *record.Record) {
			r.Facts = r.Facts[:2]
			r.Exams = []record.SignedExam{examOn("2018-07-01T10:00-04:00", noPulses)}
		}, counted, "Foot pulses: not done on every foot in the exam signed here on 2018-07-01."},
		{"an imported pulse result fills it", func(r *record.Record) {
			r.Facts = append(r.Facts[:2:2], r.Facts[4])
			r.Exams = []record.SignedExam{examOn("2018-07-01T10:00-04:00", noPulses)}
		}, met, ""},
		{"two exams on two days make the three parts together", func(r *record.Record) {
			r.Facts = r.Facts[:2]
			r.Exams = []record.SignedExam{
				examOn("2018-02-01T10:00-05:00", noPulses),
				examOn("2018-09-01T10:00-04:00", func(d *exam.Draft) { d.Left.Test.Filament = neuro.Filament{} }),
			}
		}, met, ""},
		{"an exam of new year's eve late in the evening is of the old year", func(r *record.Record) {
			r.Facts = r.Facts[:2]
			r.Exams = []record.SignedExam{examOn("2018-12-31T23:30-05:00", nil)}
		}, met, ""},
		{"an exam of the year before is not", func(r *record.Record) {
			r.Facts = r.Facts[:2]
			r.Exams = []record.SignedExam{examOn("2017-12-31T23:30-05:00", nil)}
		}, counted, "nothing in the period; done in the exam signed here on 2017-12-31."},
		{"a foot that is gone does not stand in the way", func(r *record.Record) {
			r.Facts = r.Facts[:2]
			r.Exams = []record.SignedExam{examOn("2018-07-01T10:00-04:00", func(d *exam.Draft) {
				d.Left = exam.Foot{Loss: foot.Loss{Level: foot.BelowKnee}}
			})}
		}, met, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			rec := base()
			c.change(&rec)
			got := measure.FootExam().Evaluate(&rec, measure.Context{Period: measure.Year(2018), Zone: newYork, Explain: true})
			if populationsOf(got) != c.want {
				t.Errorf("got %+v, want %+v", populationsOf(got), c.want)
			}
			var gaps []string
			for _, g := range got.Gaps {
				gaps = append(gaps, g.Says)
			}
			if all := strings.Join(gaps, " "); (c.gap == "") != (all == "") || !strings.Contains(all, c.gap) {
				t.Errorf("gaps %q, want %q", all, c.gap)
			}
		})
	}
}

func TestTheLineOfOnePerson(t *testing.T) {
	rec := base()
	rec.Facts = rec.Facts[:4]
	ctx := measure.Context{Period: measure.Year(2018), Zone: time.UTC}
	if got, want := string(measure.FootExam().Evaluate(&rec, ctx).AppendLine(nil)),
		`{"patient":"p1","initial-population":true,"denominator":true,"denominator-exclusion":false,"numerator":false,"because":[]}`+"\n"; got != want {
		t.Errorf("without reasons:\n%s\n%s", got, want)
	}
	ctx.Explain = true
	want := `{"patient":"p1","initial-population":true,"denominator":true,"denominator-exclusion":false,"numerator":false,"because":[` +
		`"57 years old on 2018-01-01: 18 or older and under 75 is asked for. [CMS123v7 7.5.000, initial population: age at the start of the period]",` +
		`"Visit 99213 on 2018-05-10T15:00Z lies in the period. [CMS123v7 7.5.000, initial population: qualifying visit]",` +
		`"Diabetes E11.9 since 2010-03-01 is present in the period. [CMS123v7 7.5.000, initial population: diabetes]",` +
		`"Feet looked at: result on 2018-05-10T15:10Z. [CMS123v7 7.5.000, numerator]",` +
		`"Monofilament test: result on 2018-05-10T15:10Z. [CMS123v7 7.5.000, numerator]",` +
		`"Foot pulses: nothing in the record."]}` + "\n"
	if got := string(measure.FootExam().Evaluate(&rec, ctx).AppendLine(nil)); got != want {
		t.Errorf("with reasons:\n%s\n%s", got, want)
	}
}

func TestOfTwoFactsOfOneTimeTheFirstKeyIsNamed(t *testing.T) {
	ctx := measure.Context{Period: measure.Year(2018), Zone: time.UTC, Explain: true}
	second := base().Facts[1]
	second.Key = "Encounter/0"
	for _, at := range []int{0, 5} {
		rec := base()
		rec.Facts = append(rec.Facts[:at:at], append([]record.Fact{second}, rec.Facts[at:]...)...)
		if got := measure.FootExam().Evaluate(&rec, ctx).Because[1].Fact; got != "Encounter/0" {
			t.Errorf("with the second visit at place %d the reason names %s", at, got)
		}
	}
}

func TestAComponentIsNotAnAssessmentOfItsOwn(t *testing.T) {
	rec := base()
	rec.Facts[4].Key = "Observation/9#1"
	got := measure.FootExam().Evaluate(&rec, measure.Context{Period: measure.Year(2018), Zone: time.UTC})
	if got.Numerator || len(got.Quality) != 1 || !strings.Contains(got.Quality[0], "is a part of another observation; not counted") {
		t.Errorf("numerator %v, notes %q", got.Numerator, got.Quality)
	}
}
