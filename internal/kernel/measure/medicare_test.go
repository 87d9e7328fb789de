package measure_test

import (
	"strings"
	"testing"
	"time"

	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

// day reads a constant date.
func day(s string) when.Day { return when.MustDay(s) }

const yes, no = known.Yes, known.No

// coverageCases are the rows of medicare-mips-check-cases.csv about coverage,
// by case id; says is part of a reason.
func coverageCases() map[string]struct {
	got  measure.Coverage
	met  known.Tri
	code string
	says string
} {
	lops := func(s measure.LOPSService) measure.Coverage { return s.Judge() }
	due := func(last, on string, specialist ...when.Day) measure.Coverage {
		return lops(measure.LOPSService{Diabetes: yes, Neuropathy: yes, LOPS: yes, Last: day(last), On: day(on), Specialist: specialist})
	}
	classes := func(a, b, c int) measure.Coverage { return measure.ClassFindings{A: a, B: b, C: c}.Judge() }
	// Everything that is not named is known to be absent.
	shoe := func(change func(*measure.ShoeConditions)) measure.Coverage {
		s := measure.ShoeConditions{Diabetes: yes, Amputation: no, UlcerHistory: no, PreUlcerativeCallus: no, Neuropathy: no, Callus: no, Deformity: no, PoorCirculation: no}
		change(&s)
		return s.Judge()
	}
	papers := func(change func(*measure.ShoeOrder)) measure.Coverage {
		o := measure.ShoeOrder{Delivery: day("2025-09-15"), DiabetesVisit: day("2025-07-01"), Certified: day("2025-08-01"), Certifier: measure.ManagingPhysician, Documented: yes}
		change(&o)
		return o.Judge()
	}
	items := func(depth, custom, inserts int) measure.Coverage {
		return measure.ShoeItems{Depth: depth, Custom: custom, Inserts: inserts}.Judge()
	}
	return map[string]struct {
		got  measure.Coverage
		met  known.Tri
		code string
		says string
	}{
		"M009": {lops(measure.LOPSService{Diabetes: yes, Neuropathy: yes, LOPS: yes, On: day("2025-01-10")}), yes, "G0245", ""},
		"M010": {lops(measure.LOPSService{Diabetes: yes, Neuropathy: yes, LOPS: no, On: day("2025-01-10")}), no, "G0245", "no loss of protective sensation"},
		"M011": {lops(measure.LOPSService{Diabetes: no, Neuropathy: yes, LOPS: yes, On: day("2025-01-10")}), no, "G0245", "No diabetes"},
		"M012": {due("2025-01-10", "2025-07-09"), no, "G0246", "possible from 2025-07-10"},
		"M013": {due("2025-01-10", "2025-07-10"), yes, "G0246", ""},
		"M014": {due("2025-08-31", "2026-02-28"), yes, "G0246", ""},
		"M015": {due("2025-01-10", "2025-08-01", day("2025-04-02")), no, "G0246", "another reason on 2025-04-02"},
		"M016": {due("2024-06-01", "2024-12-01"), yes, "G0246", ""},
		"M018": {due("2024-06-01", "2024-12-01"), yes, "G0246", ""},
		"M019": {lops(measure.LOPSService{Diabetes: yes, Neuropathy: yes, LOPS: yes, On: day("2025-01-10"), Educated: no}), no, "G0245", "Teaching"},
		"M020": {classes(1, 0, 0), yes, "Q7", ""},
		"M021": {classes(0, 2, 0), yes, "Q8", ""},
		"M022": {classes(0, 1, 2), yes, "Q9", ""},
		"M023": {classes(0, 1, 1), no, "", "not presumed"},
		"M024": {classes(0, 0, 3), no, "", "not presumed"},
		"M025": {shoe(func(s *measure.ShoeConditions) { s.UlcerHistory = yes }), yes, "", "earlier foot ulcer"},
		"M026": {shoe(func(s *measure.ShoeConditions) { s.Neuropathy = yes }), no, "", "None of the six"},
		"M027": {shoe(func(s *measure.ShoeConditions) { s.Neuropathy, s.Callus = yes, yes }), yes, "", "neuropathy with callus"},
		"M028": {shoe(func(s *measure.ShoeConditions) { s.PreUlcerativeCallus = yes }), yes, "", "earlier pre-ulcerative callus"},
		"M029": {shoe(func(s *measure.ShoeConditions) { s.Callus = yes }), no, "", "None of the six"},
		"M030": {shoe(func(s *measure.ShoeConditions) { s.Deformity = yes }), yes, "", "deformity"},
		"M031": {shoe(func(s *measure.ShoeConditions) { s.PoorCirculation = yes }), yes, "", "poor circulation"},
		"M032": {shoe(func(s *measure.ShoeConditions) { s.Amputation = yes }), yes, "", "amputation"},
		"M033": {shoe(func(s *measure.ShoeConditions) { s.Diabetes, s.Deformity = no, yes }), no, "", "No diabetes"},
		"M034": {shoe(func(s *measure.ShoeConditions) { s.Diabetes, s.Deformity = no, yes }), no, "", "prediabetes"},
		"M035": {papers(func(*measure.ShoeOrder) {}), yes, "", "Certified by the physician"},
		"M036": {papers(func(o *measure.ShoeOrder) { o.Certifier = measure.Podiatrist }), no, "", "Not certified"},
		"M037": {papers(func(o *measure.ShoeOrder) { o.Certifier = measure.NurseAlone }), no, "", "Not certified"},
		"M038": {papers(func(*measure.ShoeOrder) {}), yes, "", ""}, // who prescribes plays no part
		"M039": {papers(func(o *measure.ShoeOrder) { o.DiabetesVisit = day("2025-03-15") }), yes, "", ""},
		"M040": {papers(func(o *measure.ShoeOrder) { o.DiabetesVisit = day("2025-03-14") }), no, "", "2025-03-14 is not within 6 months"},
		"M041": {papers(func(o *measure.ShoeOrder) { o.Certified = day("2025-06-15") }), yes, "", ""},
		"M042": {papers(func(o *measure.ShoeOrder) { o.Certified = day("2025-06-14") }), no, "", "2025-06-14 is not within 3 months"},
		"M043": {papers(func(o *measure.ShoeOrder) { o.DiabetesVisit = day("2025-09-20") }), no, "", "2025-09-20 is not within 6 months"},
		"M044": {papers(func(o *measure.ShoeOrder) { o.Documented = no }), no, "", "neither documented"},
		"M045": {papers(func(*measure.ShoeOrder) {}), yes, "", "agreed in writing"},
		"M046": {items(1, 0, 3), yes, "", ""},
		"M047": {items(1, 0, 4), no, "", "1 pairs of inserts over"},
		"M048": {items(0, 1, 2), yes, "", ""},
		"M049": {items(0, 1, 3), no, "", "1 pairs of inserts over"},
		"M050": {items(1, 1, 0), no, "", "More than one pair"},
		"M051": {items(1, 0, 0), yes, "", ""}, // each calendar year for itself
	}
}

// adultOn is a person with diabetes and a visit in 2026, changed by change.
func adultOn(birth string, change func(*record.Record)) record.Record {
	rec := record.Record{Person: record.Person{ID: "p1", Birth: when.MustMoment(birth)}, Facts: []record.Fact{
		entry(record.Condition, "Condition/1", term.ICD10CM, "E11.9", "2010-03-01", ""),
		entry(record.Encounter, "Encounter/1", term.CPT, "99213", "2026-05-10", "2026-05-10"),
	}}
	change(&rec)
	return rec
}

func a1c(key, on, number string) record.Fact {
	f := entry(record.Observation, key, term.LOINC, "4548-4", on, on)
	f.Value = record.Value{Given: true, Number: number, Unit: "%"}
	return f
}

// measureCases are the rows about the sister measures in the year 2026.
func measureCases() map[string]struct {
	measure string
	rec     record.Record
	want    populations
} {
	const nerve, footwear, control = "neuro-evaluation", "footwear-evaluation", "a1c-poor-control"
	with := func(birth string, change func(*exam.Draft)) record.Record {
		return adultOn(birth, func(r *record.Record) { r.Exams = []record.SignedExam{examOn("2026-05-10T10:00Z", change)} })
	}
	fork := func(d *exam.Draft) { d.Right.Test.Vibration, d.Left.Test.Vibration = known.Normal, known.Normal }
	noFilament := func(d *exam.Draft) {
		d.Right.Test.Filament, d.Left.Test.Filament = neuro.Filament{}, neuro.Filament{}
	}
	legs := func(r *record.Record) {
		r.Facts = append(r.Facts, entry(record.Condition, "Condition/2", term.ICD10CM, "Z89.511", "2015", ""), entry(record.Condition, "Condition/3", term.ICD10CM, "Z89.512", "2015", ""))
	}
	shoes := func(d *exam.Draft) {
		d.Footwear = exam.Footwear{Suitable: known.Normal, Sized: known.AnswerYes}
		d.Teach.Given = known.AnswerYes
	}
	tests := func(birth string, facts ...record.Fact) record.Record {
		return adultOn(birth, func(r *record.Record) { r.Facts = append(r.Facts, facts...) })
	}
	return map[string]struct {
		measure string
		rec     record.Record
		want    populations
	}{
		"M052": {nerve, with("1981-01-01", fork), met},
		"M053": {nerve, with("1981-01-01", func(d *exam.Draft) {
			d.Right.Test.Reflex, d.Left.Test.Reflex = neuro.ReflexPresent, neuro.ReflexAbsent
		}), met},
		"M054": {nerve, with("1981-01-01", nil), counted},
		"M055": {nerve, with("1981-01-01", func(d *exam.Draft) { fork(d); noFilament(d) }), counted},
		"M056": {nerve, with("2009-01-01", fork), out},
		"M057": {nerve, with("1944-01-01", fork), met},
		"M058": {nerve, adultOn("1981-01-01", legs), leftOut},
		"M059": {nerve, adultOn("1981-01-01", func(r *record.Record) {
			x := examOn("2025-05-10T10:00Z", fork)
			x.Assessment = assess.Assessment{LOPS: neuro.Result{LOPS: known.Yes}}
			r.Exams = []record.SignedExam{x}
		}), leftOut},
		"M060": {nerve, adultOn("1981-01-01", func(r *record.Record) {
			r.Facts = append(r.Facts, entry(record.Condition, "Condition/2", term.ICD10CM, "F03.90", "2024", ""))
			r.Exams = []record.SignedExam{examOn("2026-05-10T10:00Z", func(d *exam.Draft) {
				for _, side := range foot.Sides {
					for i := range d.Foot(side).Test.Filament {
						d.Foot(side).Test.Filament[i] = known.NotPossible
					}
				}
			})}
		}), leftOut},
		"M061": {nerve, adultOn("1981-01-01", func(r *record.Record) {
			r.Facts = append(r.Facts, entry(record.Procedure, "Procedure/1", term.HCPCS, "G2179", "2026-05-10", "2026-05-10"))
		}), counted}, // and an exception, tested below
		"M062": {nerve, with("1981-01-01", func(d *exam.Draft) {
			fork(d)
			for i := range d.Left.Test.Filament {
				d.Left.Test.Filament[i] = known.Refused
			}
		}), counted},
		"M063": {footwear, with("1981-01-01", shoes), met},
		"M064": {footwear, with("1981-01-01", func(d *exam.Draft) { shoes(d); d.Footwear.Sized = known.AnswerNo }), counted},
		"M065": {footwear, adultOn("1981-01-01", legs), leftOut},
		"M066": {control, tests("1951-06-01", a1c("Observation/1", "2026-03-01", "9.4")), met},
		"M067": {control, tests("1950-12-31", a1c("Observation/1", "2026-03-01", "9.4")), out},
		"M068": {control, tests("2008-12-31", a1c("Observation/1", "2026-03-01", "9.4")), met},
		"M069": {control, tests("1960-01-01", a1c("Observation/1", "2026-03-01", "9.0")), counted},
		"M070": {control, tests("1960-01-01", a1c("Observation/1", "2026-03-01", "9.1")), met},
		"M071": {control, tests("1960-01-01"), met},
		"M072": {control, tests("1960-01-01", a1c("Observation/1", "2026-03-01", "9.4"), a1c("Observation/2", "2026-03-01", "8.8")), counted},
		"M073": {control, tests("1960-01-01", a1c("Observation/1", "2026-01-05", "10.2"), a1c("Observation/2", "2026-06-01", "8.0")), counted},
	}
}

// elsewhere are rows that other rooms answer, or that are not answered.
var elsewhere = map[string]string{
	"M001": "the LOPS test itself, package neuro", "M002": "as M001", "M003": "as M001", "M004": "as M001",
	"M005": "as M001", "M006": "as M001", "M007": "as M001", "M008": "as M001",
	"M017": "claims on one day, unverified in the table; not built",
}

func TestEveryRowOfTheMedicareTableHolds(t *testing.T) {
	coverage, measures := coverageCases(), measureCases()
	for _, row := range table(t, "medicare-mips-check-cases.csv") {
		id := row["case"]
		t.Run(id+" "+row["facts"], func(t *testing.T) {
			if c, ok := coverage[id]; ok {
				var says []string
				for _, r := range c.got.Because {
					says = append(says, r.Says)
				}
				if c.got.Met != c.met || c.got.Code != c.code || !strings.Contains(strings.Join(says, " "), c.says) {
					t.Errorf("met %v code %q: %q; the table expects %q", c.got.Met, c.got.Code, says, row["expected"])
				}
				return
			}
			if c, ok := measures[id]; ok {
				m, err := measure.Find(c.measure)
				if err != nil {
					t.Fatal(err)
				}
				got := m.Evaluate(&c.rec, measure.Context{Period: measure.Year(2026), Zone: time.UTC, Explain: true})
				if populationsOf(got) != c.want || got.Exception != (id == "M061") {
					t.Errorf("%+v; the table expects %q\n%q", got, row["expected"], got.Sentences())
				}
				return
			}
			if elsewhere[id] == "" {
				t.Errorf("the row is not covered: %q", row["expected"])
			}
		})
	}
}

func TestA1cUnitsAreNeverMixed(t *testing.T) {
	m := measure.PoorControl()
	for _, c := range []struct {
		name, code, number, comparator, unit string
		numerator                            bool
	}{
		// NGSP = 0.09148 x IFCC + 2.152 (from memory): 74 is 8.92 %, 75 is 9.01 %.
		{"74 mmol/mol is not above 9 %", "59261-8", "74", "", "mmol/mol", false},
		{"75 mmol/mol is", "59261-8", "75", "", "mmol/mol", true},
		{"64 mmol/mol is not compared with 9", "59261-8", "64", "", "mmol/mol", false},
		{"a code in per cent with a unit of mmol/mol gives no result", "4548-4", "64", "", "mmol/mol", true},
		{"below 4 % is not above 9", "4548-4", "4", "<", "%", false},
		{"above 9 % is", "4548-4", "9", ">", "%", true},
		{"a test without a number is a missing result", "4548-4", "", "", "", true},
	} {
		rec := adultOn("1960-01-01", func(r *record.Record) {
			f := entry(record.Observation, "Observation/1", term.LOINC, c.code, "2026-03-01", "2026-03-01")
			f.Value = record.Value{Given: c.number != "", Number: c.number, Comparator: c.comparator, Unit: c.unit}
			r.Facts = append(r.Facts, f)
		})
		if got := m.Evaluate(&rec, measure.Context{Period: measure.Year(2026), Zone: time.UTC}); got.Numerator != c.numerator {
			t.Errorf("%s: numerator %v", c.name, got.Numerator)
		}
	}
}

func TestCoverageReadFromARecord(t *testing.T) {
	rec := adultOn("1960-01-01", func(r *record.Record) {
		r.Facts = append(r.Facts, entry(record.Condition, "Condition/2", term.ICD10CM, "E11.42", "2020", ""),
			entry(record.Procedure, "Procedure/1", term.HCPCS, "G0245", "2026-01-10", "2026-01-10"))
		x := examOn("2026-01-10T10:00Z", func(d *exam.Draft) { d.Left.Look.Deformities = []exam.Deformity{exam.HammerToe} })
		x.Assessment.LOPS.LOPS = known.Yes
		r.Exams = []record.SignedExam{x}
	})
	early, late := measure.LOPSCoverage(&rec, time.UTC, day("2026-07-09")), measure.LOPSCoverage(&rec, time.UTC, day("2026-07-10"))
	if early.Met != known.No || late.Met != known.Yes || late.Code != "G0246" || late.Earliest != day("2026-07-10") {
		t.Errorf("six months after the first service: %+v then %+v", early, late)
	}
	s := measure.ShoeConditionsOf(&rec, time.UTC, day("2026-02-01"))
	if s.Deformity != known.Yes || s.Neuropathy != known.Yes || s.Callus != known.No || s.Judge().Met != known.Yes {
		t.Errorf("%+v", s)
	}
	empty := adultOn("1960-01-01", func(*record.Record) {})
	if s := measure.ShoeConditionsOf(&empty, time.UTC, day("2026-02-01")); s.Judge().Met != known.Unknown {
		t.Errorf("a record that says nothing settles nothing: %+v", s)
	}
}

func TestTheLowestResultOfTheLastDayCountsInAnyOrder(t *testing.T) {
	high, low := a1c("Observation/1", "2026-03-01", "9.4"), a1c("Observation/2", "2026-03-01", "8.8")
	for _, facts := range [][]record.Fact{{high, low}, {low, high}} {
		rec := adultOn("1960-01-01", func(r *record.Record) { r.Facts = append(r.Facts, facts...) })
		if got := measure.PoorControl().Evaluate(&rec, measure.Context{Period: measure.Year(2026)}); got.Numerator {
			t.Error("the higher of two results of one day counts")
		}
	}
}

func TestNeuroExclusionsAreNarrow(t *testing.T) {
	ctx := measure.Context{Period: measure.Year(2026), Zone: time.UTC}
	found := adultOn("1981-01-01", func(r *record.Record) {
		x := examOn("2026-05-10T10:00Z", func(d *exam.Draft) { d.Right.Test.Pinprick, d.Left.Test.Pinprick = known.Normal, known.Normal })
		x.Assessment.LOPS.LOPS = known.Yes
		r.Exams = []record.SignedExam{x}
	})
	if got := measure.NeuroEvaluation().Evaluate(&found, ctx); populationsOf(got) != met {
		t.Errorf("LOPS found in the period itself is what the exam is for: %+v", populationsOf(got))
	}
	impossible := adultOn("1981-01-01", func(r *record.Record) {
		r.Exams = []record.SignedExam{examOn("2026-05-10T10:00Z", func(d *exam.Draft) {
			for _, side := range foot.Sides {
				for i := range d.Foot(side).Test.Filament {
					d.Foot(side).Test.Filament[i] = known.NotPossible
				}
			}
		})}
	})
	if got := measure.NeuroEvaluation().Evaluate(&impossible, ctx); populationsOf(got) != counted {
		t.Errorf("a test that was not possible for another reason is not an exclusion: %+v", populationsOf(got))
	}
}

func TestASpecialistSeenBeforeTheLastServiceDoesNotCount(t *testing.T) {
	s := measure.LOPSService{Diabetes: yes, Neuropathy: yes, LOPS: yes, Last: day("2025-01-10"), On: day("2025-08-01"), Specialist: []when.Day{day("2024-12-01"), day("2025-08-01")}}
	if got := s.Judge(); got.Met != known.Yes {
		t.Errorf("%+v", got)
	}
}
