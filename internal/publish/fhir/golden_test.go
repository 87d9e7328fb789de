package fhir

import (
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
)

var update = flag.Bool("update", false, "write the golden files anew")

func golden(t *testing.T, name string, got []byte, err error) {
	t.Helper()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	if *update {
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(name)
	if err != nil {
		t.Fatalf("%v: run this test with -update", err)
	}
	if diff := cmp.Diff(string(want), string(got)); diff != "" {
		t.Errorf("%s differs (run with -update if the code is right):\n%s", name, diff)
	}
}

// plainly gives fixed reasons in place of those of the rules, whose wording is
// tested where it is written.
func plainly(s record.SignedExam) record.SignedExam {
	fixed := source.Because{{Says: "Because of this.", Source: &source.Source{Title: "A document", Edition: "2024", Standing: source.Confirmed}}}
	for i := range s.Assessment.Risks {
		s.Assessment.Risks[i].Because = fixed
		if c := s.Assessment.Risks[i].Cautious; c != nil {
			c.Because = fixed
		}
	}
	for i := range s.Assessment.Plan.Actions {
		s.Assessment.Plan.Actions[i].Because = fixed
	}
	return s
}

// The golden files are validated where they are made: each is also among the
// documents of TestEveryExportedExamIsValid and TestEveryMeasureAndReportIsValid,
// and TestGoldenFilesAreValid reads them from the disk.
func TestExportsAreAsTheyWere(t *testing.T) {
	s := plainly(example(t, "09"))
	doc, err := ExamBundle(s, anyone(s.Exam.Patient), Options{})
	golden(t, "testdata/exam-toe-amputation.json", doc, err)

	s = plainly(example(t, "17"))
	s.Exam.Revision, s.Exam.Amends = 2, &exam.Amendment{Revision: 1, Reason: "The size was typed wrong.", By: s.SignedBy, At: s.SignedAt}
	referred := record.Referral{ID: "r1", Action: "refer-foot-team", Exam: s.Exam.ID, Due: s.Assessment.On.AddDays(1),
		Steps: []record.ReferralStep{{What: "sent", On: s.Assessment.On}}}
	doc, err = ExamBundle(s, anyone(s.Exam.Patient), Options{Names: true, Referrals: []record.Referral{referred}})
	golden(t, "testdata/exam-ulcer-amended-with-names.json", doc, err)

	o := ReportOptions{At: made, Reporter: "Harbour Street Practice"}
	doc, err = Individual(measure.FootExam(), explained()[0], o)
	golden(t, "testdata/individual.json", doc, err)
	doc, err = SubjectList(measure.FootExam(), year, explained(), o)
	golden(t, "testdata/subject-list.json", doc, err)
	doc, _, err = Summary(measure.FootExam(), year, worked(), o)
	golden(t, "testdata/summary.json", doc, err)
	o.Mask = true
	doc, _, err = Summary(measure.RecallKept(), year, grouped(), o)
	golden(t, "testdata/summary-masked.json", doc, err)
}

const docs = "../../../docs/fhir/"

func TestTheDocumentationIsWhatTheCodeWrites(t *testing.T) {
	doc, err := CodeSystem()
	golden(t, docs+"foot-exam-codes.json", append(doc, '\n'), err)
	doc, err = Measure(measure.FootExam())
	golden(t, docs+"foot-exam-measure.json", doc, err)
	golden(t, docs+"codes.md", CodesTable(), nil)
}

func TestGoldenFilesAreValid(t *testing.T) {
	files, err := filepath.Glob("testdata/*.json")
	if err != nil || len(files) < 6 {
		t.Fatalf("%d golden files, %v", len(files), err)
	}
	files = append(files, docs+"foot-exam-codes.json", docs+"foot-exam-measure.json")
	all := map[string][]byte{}
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		all[filepath.Base(f)] = text
	}
	s := schemaR4(t)
	for name, said := range byValidators(t, all) {
		t.Errorf("%s: %v", name, said)
	}
	for name, doc := range all {
		if err := fitsSchema(s, doc); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestTimesAreWrittenAsFHIRHasThem holds the forms that a record can hold
// against those that R4 allows (R4, data types, dateTime).
func TestTimesAreWrittenAsFHIRHasThem(t *testing.T) {
	for text, want := range map[string]string{
		"2026": "2026", "2026-04": "2026-04", "2026-04-06": "2026-04-06", "2026-04-06T09:30": "2026-04-06",
		"2026-04-06T09:30Z": "2026-04-06T09:30:00Z", "2026-04-06T09:30:15.5+14:00": "2026-04-06T09:30:15.5+14:00",
		"2026-04-06T09:30:00+14:30": "2026-04-05T19:00:00.000Z", "2026-04/2026-05": "", "": "",
	} {
		var m when.Moment
		if err := m.UnmarshalText([]byte(text)); err != nil {
			t.Fatal(err)
		}
		if got := dateTime(m); got != want {
			t.Errorf("%q is written %q, want %q", text, got, want)
		}
	}
}
