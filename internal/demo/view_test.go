package demo_test

import (
	"testing"

	"tengram/internal/demo"
	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

// november is the day of most tests; its year is far along.
var november = when.MustDay("2026-11-24")

// view is a made-up clinic, opened for looking up.
type view struct {
	*demo.Clinic
	people map[string]record.Person
	facts  map[string][]record.Fact
	exams  map[string][]demo.Visit
}

func look(c *demo.Clinic) view {
	v := view{c, map[string]record.Person{}, map[string][]record.Fact{}, map[string][]demo.Visit{}}
	for _, p := range c.People {
		v.people[p.ID] = p
	}
	for _, f := range c.Facts {
		v.facts[f.Person] = append(v.facts[f.Person], f.Fact)
	}
	for _, x := range c.Visits {
		v.exams[x.Draft.Patient] = append(v.exams[x.Draft.Patient], x)
	}
	return v
}

// countPeople, countFacts and countExams count what is so.
func (v view) countPeople(is func(record.Person) bool) int {
	n := 0
	for _, p := range v.Clinic.People {
		if is(p) {
			n++
		}
	}
	return n
}

func (v view) countFacts(is func(record.Fact) bool) int {
	n := 0
	for _, f := range v.Clinic.Facts {
		if is(f.Fact) {
			n++
		}
	}
	return n
}

func (v view) countExams(is func(*exam.Draft) bool) int {
	n := 0
	for i := range v.Visits {
		if is(&v.Visits[i].Draft) {
			n++
		}
	}
	return n
}

// signedAt is when the newest revision of an exam was signed.
func (v view) signedAt(id string) (ms int64) {
	for _, x := range v.Visits {
		if x.Draft.ID == id {
			ms = x.SignedAt.UnixMilli()
		}
	}
	return ms
}

func has(f record.Fact, kind record.Kind, system term.System, code string) bool {
	if f.Kind != kind {
		return false
	}
	for _, c := range f.Codes {
		if c.System == system && c.Code == code {
			return true
		}
	}
	return false
}

// records puts the whole story into records, as signing does: charts joined,
// exams judged in order with the record of their day behind them, the newest
// revision of each.
func records(t *testing.T, c *demo.Clinic) []record.Record {
	t.Helper()
	var in record.Assembler
	for _, p := range c.People {
		if err := in.Person(p); err != nil {
			t.Fatal(err)
		}
	}
	for _, f := range c.Facts {
		if err := in.Fact(f.Person, f.Fact); err != nil {
			t.Fatal(err)
		}
	}
	list := in.Records()
	at := map[string]*record.Record{}
	for i := range list {
		at[list[i].Person.ID] = &list[i]
	}
	for _, v := range c.Visits {
		rec := at[v.Draft.Patient]
		if rec == nil {
			t.Fatalf("exam %s is of nobody", v.Draft.ID)
		}
		var kept []record.SignedExam
		for _, x := range rec.Exams {
			if x.Exam.ID != v.Draft.ID {
				kept = append(kept, x)
			}
		}
		rec.Exams = kept
		_, on := v.Draft.At.Days(nil)
		d := v.Draft
		a := assess.Assess(assess.Input{Exam: &d, Background: rec.Background(on), Edition: assess.DefaultEdition(), On: on})
		rec.Exams = append(rec.Exams, record.SignedExam{Exam: exam.Exam{Draft: d}, Assessment: a, SignedBy: v.By, SignedAt: when.AtTime(v.SignedAt)})
	}
	return list
}
