package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"tengram/internal/demo"
	intake "tengram/internal/intake/fhir"
	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
	publish "tengram/internal/publish/fhir"
)

// signed judges a draft and signs it on its day.
func signed(d exam.Draft) record.SignedExam {
	_, on := d.At.Days(nil)
	return record.SignedExam{
		Exam:       exam.Exam{Draft: d},
		Assessment: assess.Assess(assess.Input{Exam: &d, Edition: assess.DefaultEdition(), On: on}),
		SignedBy:   exam.Person{ID: "d-oakes", Name: "Dana Oakes"}, SignedAt: d.At,
	}
}

// counted is a person who is in the measure whatever the feet are like: of age,
// with diabetes and a visit in the year of the exam.
func counted(d exam.Draft) (record.Person, []record.Fact) {
	day, _ := d.At.Days(nil)
	visit := when.OnDay(day)
	return record.Person{ID: d.Patient, Birth: when.MustMoment("1966-02-03"), Sex: "female"}, []record.Fact{
		{Kind: record.Condition, Key: "Condition/c", Codes: []term.Code{{System: term.ICD10CM, Code: "E11.9"}}, Start: when.MustMoment("2012"), Ended: known.No},
		{Kind: record.Encounter, Key: "Encounter/e", Codes: []term.Code{{System: term.CPT, Code: "99213"}}, Start: visit, End: visit},
	}
}

// answer is what a measure says, without the sentences.
type answer struct {
	Population, Denominator, Excluded, Numerator bool
	Missing                                      []string
}

func answered(rec *record.Record, year int) answer {
	r := measure.FootExam().Evaluate(rec, measure.Context{Period: measure.Year(year), Zone: time.UTC, Explain: true})
	a := answer{r.InitialPopulation, r.Denominator, r.DenominatorExclusion, r.Numerator, nil}
	for _, g := range r.Gaps {
		a.Missing = append(a.Missing, g.Part)
	}
	return a
}

func yearOf(d exam.Draft) int {
	day, _ := d.At.Days(time.UTC)
	return day.Year()
}

// imported is the record of a person after the exam came in from a file, beside
// what was known of them before.
func imported(t testing.TB, file string, bundle []byte, d exam.Draft) *record.Record {
	t.Helper()
	if err := os.WriteFile(file, bundle, 0o600); err != nil {
		t.Fatal(err)
	}
	var named bytes.Buffer
	g := &gatherer{assembler: &record.Assembler{}, err: &named}
	person, facts := counted(d)
	if err := g.Person(person); err != nil {
		t.Fatal(err)
	}
	for _, f := range facts {
		if err := g.Fact(person.ID, f); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := intake.Open([]string{file}, intake.Options{Workers: 1}).Read(context.Background(), g); err != nil {
		t.Fatal(err)
	}
	if g.asides > 0 {
		t.Errorf("parts of the exam could not be taken in: %s", named.String())
	}
	records := g.assembler.Records()
	if len(records) != 1 {
		t.Fatalf("%d people came in", len(records))
	}
	return &records[0]
}

// sameEverywhere exports a signed exam, imports it somewhere else, and compares
// what the measure says here and there.
func sameEverywhere(t testing.TB, file string, d exam.Draft) answer {
	t.Helper()
	s := signed(d)
	person, facts := counted(d)
	here := answered(&record.Record{Person: person, Facts: facts, Exams: []record.SignedExam{s}}, yearOf(d))
	for _, names := range []bool{false, true} {
		doc, err := publish.ExamBundle(s, person, publish.Options{Names: names})
		if err != nil {
			t.Fatal(err)
		}
		there := answered(imported(t, file, doc, d), yearOf(d))
		if diff := cmp.Diff(here, there); diff != "" {
			t.Errorf("exam %s counts otherwise once it was exported and imported (names %v):\n%s", d.ID, names, diff)
		}
	}
	return here
}

func TestAnExportedExamCountsAsTheSignedOneDoes(t *testing.T) {
	file := filepath.Join(t.TempDir(), "exam.json")
	met := map[bool]int{}
	for _, e := range demo.Examples() {
		met[sameEverywhere(t, file, e.Draft).Numerator]++
	}
	made := demo.Generate(3, when.MustDay("2026-03-02"), demo.Options{People: 2000})
	for i := 0; i < len(made.Visits); i += 1 + len(made.Visits)/60 {
		met[sameEverywhere(t, file, made.Visits[i].Draft).Numerator]++
	}
	if met[true] < 20 || met[false] < 3 {
		t.Errorf("%d exams were met and %d not: the comparison says too little", met[true], met[false])
	}
}

func TestAnyExamCountsTheSameAfterExportAndImport(t *testing.T) {
	dir := t.TempDir()
	examples := demo.Examples()
	n := 0
	rapid.Check(t, func(rt *rapid.T) {
		d := rapid.SampledFrom(examples).Draw(rt, "example").Draft
		for _, side := range foot.Sides {
			unsettle(rt, d.Foot(side), side.String())
		}
		if rapid.Bool().Draw(rt, "amended") {
			d.Revision, d.Amends = 2, &exam.Amendment{Revision: 1, Reason: "typed wrong", At: d.At}
		}
		n++
		file := filepath.Join(dir, fmt.Sprintf("%d.json", n))
		sameEverywhere(t, file, d)
		if t.Failed() {
			rt.Fatalf("exam %s", d.ID)
		}
	})
}

// unsettle changes at random what decides whether a part was done.
func unsettle(t *rapid.T, f *exam.Foot, side string) {
	finding := func(name string) known.Finding {
		return known.Finding(rapid.IntRange(0, int(known.Refused)).Draw(t, side+" "+name))
	}
	if rapid.Bool().Draw(t, side+" loss") {
		f.Loss = foot.Loss{Level: foot.Level(rapid.IntRange(0, int(foot.HipLevel)).Draw(t, side+" level"))}
		if f.Loss.Level == foot.ToesOnly {
			f.Loss.Toes = foot.Toes(rapid.IntRange(1, 31).Draw(t, side+" toes"))
		}
	}
	if rapid.Bool().Draw(t, side+" look") {
		f.Look.Skin, f.Look.Wound = finding("skin"), finding("wound")
	}
	if rapid.Bool().Draw(t, side+" test") {
		for site := range neuro.SiteCount {
			f.Test.Filament[site] = finding(site.String())
		}
	}
	if rapid.Bool().Draw(t, side+" feel") {
		f.Feel.Arteries.DP = perfusion.Pulse(rapid.IntRange(0, int(perfusion.PulseRefused)).Draw(t, side+" DP"))
		f.Feel.Arteries.PT = perfusion.Pulse(rapid.IntRange(0, int(perfusion.PulseRefused)).Draw(t, side+" PT"))
	}
}

// TestAnAmendedExamReplacesTheOneBefore imports two revisions: the second
// stands, and one exam counts once.
func TestAnAmendedExamReplacesTheOneBefore(t *testing.T) {
	first := demo.Examples()[0].Draft
	second := first
	second.Revision, second.Amends = 2, &exam.Amendment{Revision: 1, Reason: "the left pulses were not felt for", At: first.At}
	second.Left.Feel.Arteries.DP, second.Left.Feel.Arteries.PT = perfusion.PulseNotDone, perfusion.PulseNotDone
	dir := t.TempDir()
	var lines bytes.Buffer
	for _, d := range []exam.Draft{first, second} {
		doc, err := publish.ExamBundle(signed(d), record.Person{ID: d.Patient}, publish.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if err := json.Compact(&lines, doc); err != nil {
			t.Fatal(err)
		}
		lines.WriteByte('\n')
	}
	got := answered(imported(t, filepath.Join(dir, "exams.ndjson"), lines.Bytes(), first), 2026)
	if want := (answer{true, true, false, false, []string{"pulses"}}); cmp.Diff(want, got) != "" {
		t.Errorf("%+v, want %+v", got, want)
	}
}
