package main

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"tengram/internal/demo"
	"tengram/internal/kernel/when"
)

// reportOn runs the report command over the small export of one person who is
// met in 2018, and one without a birth date, who is the reason for exit code 1.
func reportOn(t *testing.T, dir string, args ...string) (out, errs string, code int) {
	t.Helper()
	all := append([]string{"report", "--year", "2018", "--zone", "UTC", "--at", "2019-01-15T12:00:00Z"}, args...)
	return call(t, append(all, dir)...)
}

func TestEachFormatReportsTheSameMeasure(t *testing.T) {
	dir := export(t)
	for _, c := range []struct {
		args []string
		want []string
	}{
		{[]string{"--format", "measure-report"}, []string{`"type": "summary"`, `"value": 1`, "Measure/foot-exam|CMS123v7.5.000"}},
		{[]string{"--format", "subject-list"}, []string{`"type": "subject-list"`, `"reference": "Patient/a"`, `"resourceType": "Measure"`}},
		{[]string{"--format", "individual", "--patient", "a"}, []string{`"type": "individual"`, `"Encounter/e1"`, `"Condition/c1"`}},
		{[]string{"--format", "qrda3"}, []string{`<value xsi:type="REAL" value="1"/>`, "27.1.1\" extension=\"2017-06-01\"", `nullFlavor="UNK"`}},
		{[]string{"--format", "qrda3", "--no-supplemental"}, []string{`code="NUMER"`}},
		{[]string{"--format", "qrda3", "--release", "cms2025", "--tin", "123456789"}, []string{"27.1.2\" extension=\"2024-07-01\"", "MIPS_GROUP"}},
		{[]string{"--format", "qrda1", "--patient", "a"}, []string{`code="55182-0"`, `code="401191002"`, `nullFlavor="MSK"`}},
		{[]string{"--format", "csv"}, []string{"person,measure,", "a,foot-exam,", ",yes,yes,no,no,yes,"}},
	} {
		out, errs, code := reportOn(t, dir, c.args...)
		if code != exitProblems || !strings.Contains(errs, "Patient.000.ndjson, line 2") {
			t.Errorf("%q: exit %d, %s", c.args, code, errs)
		}
		for _, want := range c.want {
			if !strings.Contains(out, want) {
				t.Errorf("%q: %s is not in\n%.1500s", c.args, want, out)
			}
		}
		if strings.Contains(out, "Tester") || strings.Contains(out, "1960-06-15") || strings.Contains(out, "19600615") {
			t.Errorf("%q: a name or a birth date has left", c.args)
		}
	}
}

func TestNamesLeaveOnlyWhenAskedFor(t *testing.T) {
	dir := export(t)
	for _, args := range [][]string{{"--format", "csv"}, {"--format", "qrda1", "--patient", "a"}} {
		if out, _, _ := reportOn(t, dir, append(args, "--with-names")...); !strings.Contains(out, "Tester") {
			t.Errorf("%q: no name, though it was asked for", args)
		}
	}
	key := filepath.Join(t.TempDir(), "key")
	if err := os.WriteFile(key, []byte("0123456789abcdef\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	out, _, _ := reportOn(t, dir, "--format", "subject-list", "--pseudonym-key", key)
	if strings.Contains(out, "Patient/a") || strings.Contains(out, "Encounter/e1") {
		t.Errorf("an id has left under a pseudonym:\n%s", out)
	}
	if _, errs, code := reportOn(t, dir, "--format", "csv", "--with-names", "--pseudonym-key", key); code != exitWrongUse {
		t.Errorf("names and pseudonyms together: exit %d, %s", code, errs)
	}
}

func TestSmallGroupsAreNamedBeforeTheyLeave(t *testing.T) {
	_, errs, _ := reportOn(t, export(t), "--format", "qrda3")
	if !strings.Contains(errs, "NUMER, sex F: fewer than 11 people") {
		t.Errorf("nothing is said of the group of one: %s", errs)
	}
}

func TestAReportFileIsWholeAndForItsOwnerAlone(t *testing.T) {
	dir, file := export(t), filepath.Join(t.TempDir(), "report.xml")
	out, _, code := reportOn(t, dir, "--format", "qrda3", "--out", file)
	if code != exitProblems || out != "" {
		t.Errorf("exit %d, standard output %q", code, out)
	}
	info, err := os.Stat(file)
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Fatalf("%v, %v", info, err)
	}
	// A report that cannot be written leaves the file as it was, and no other.
	before, _ := os.ReadFile(file)
	if _, errs, code := reportOn(t, dir, "--format", "qrda3", "--release", "cms2025", "--out", file); code != exitProblems || !strings.Contains(errs, "tax number") {
		t.Errorf("exit %d, %s", code, errs)
	}
	after, _ := os.ReadFile(file)
	left, err := os.ReadDir(filepath.Dir(file))
	if err != nil || string(before) != string(after) || len(left) != 1 {
		t.Errorf("%d files are left, %v", len(left), err)
	}
}

func TestWrongReportsAreRefused(t *testing.T) {
	dir := export(t)
	for _, c := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"--format", "individual"}, exitWrongUse, "--patient"},
		{[]string{"--format", "csv", "--patient", "a"}, exitWrongUse, "--patient"},
		{[]string{"--format", "xls"}, exitWrongUse, "--format"},
		{[]string{"--measure", "no-such"}, exitWrongUse, "foot-exam"},
		{[]string{"--at", "yesterday"}, exitWrongUse, "--at"},
		{[]string{"--pseudonym-key", filepath.Join(dir, "Patient.000.ndjson.no")}, exitWrongUse, "no such file"},
		{[]string{"--format", "qrda3", "--measure", "recall-kept"}, exitProblems, "no published ids"},
		{[]string{"--format", "individual", "--patient", "nobody"}, exitProblems, "nobody"},
	} {
		if out, errs, code := reportOn(t, dir, c.args...); code != c.code || !strings.Contains(errs, c.says) || out != "" {
			t.Errorf("%q: exit %d, %s%.300s", c.args, code, errs, out)
		}
	}
}

// practiceWithExam is a data folder with the small export and one signed exam.
func practiceWithExam(t *testing.T) (data, id string) {
	t.Helper()
	data = filepath.Join(t.TempDir(), "practice")
	if _, errs, code := call(t, "import", "--data", data, "--zone", "UTC", export(t)); code != exitProblems {
		t.Fatalf("import: exit %d, %s", code, errs)
	}
	practice, err := openPractice(context.Background(), data, time.UTC, false)
	if err != nil {
		t.Fatal(err)
	}
	defer practice.Store.Close()
	fixToday(practice, when.MustDay("2018-07-02"))
	d := demo.Examples()[1].Draft // protective sensation is lost, so a referral is opened
	d.Patient, d.At, d.Note = "a", when.MustMoment("2018-07-02T09:30:00Z"), "Daughter Mildred helps."
	if _, err := practice.Sign(context.Background(), operator(), d, "one"); err != nil {
		t.Fatal(err)
	}
	return data, d.ID
}

func TestSignedExamsAreExportedAsFHIR(t *testing.T) {
	data, id := practiceWithExam(t)
	out, errs, code := call(t, "export", "fhir", "--data", data, "--zone", "UTC")
	if code != exitFine || strings.Count(out, "\n") != 1 {
		t.Fatalf("exit %d, %s%.500s", code, errs, out)
	}
	var bundle struct {
		ResourceType string
		Entry        []struct{ Resource map[string]any }
	}
	if err := json.Unmarshal([]byte(out), &bundle); err != nil || bundle.ResourceType != "Bundle" {
		t.Fatalf("%v, %s", err, bundle.ResourceType)
	}
	orders := 0
	for _, e := range bundle.Entry {
		if e.Resource["resourceType"] == "ServiceRequest" {
			orders++
			if e.Resource["intent"] != "order" {
				t.Errorf("the practice opened this referral: %v", e.Resource["intent"])
			}
		}
	}
	if orders != 1 || !strings.Contains(out, id) {
		t.Errorf("%d referrals", orders)
	}
	for _, word := range []string{"Tester", "Mildred", "Dana", "1960"} {
		if strings.Contains(out, word) {
			t.Errorf("%s has left", word)
		}
	}
	if out, _, _ := call(t, "export", "fhir", "--data", data, "--with-names", "--patient", "a"); !strings.Contains(out, "Tester") || !strings.Contains(out, "Mildred") {
		t.Error("names were asked for and are not there")
	}
	if out, _, _ := call(t, "export", "fhir", "--data", data, "--patient", "b"); out != "" {
		t.Errorf("somebody without an exam: %s", out)
	}
	if _, errs, code := call(t, "export", "exams", "--data", data, "--with-names"); code != exitWrongUse {
		t.Errorf("exit %d, %s", code, errs)
	}
	if _, _, code := call(t, "export", "fhir", "--data", data, "--patient", "nobody"); code != exitProblems {
		t.Errorf("nobody: exit %d", code)
	}
}

func TestAPracticeReportsFromItsData(t *testing.T) {
	data, id := practiceWithExam(t)
	out, errs, code := call(t, "report", "--year", "2018", "--zone", "UTC", "--data", data, "--format", "individual", "--patient", "a")
	if code != exitFine || !strings.Contains(out, "DiagnosticReport/") || !strings.Contains(out, `"count": 1`) {
		t.Errorf("exit %d, %s%.1500s", code, errs, out)
	}
	exported, _, _ := call(t, "export", "fhir", "--data", data)
	at := strings.Index(out, "DiagnosticReport/")
	if ref := out[at : at+len("DiagnosticReport/")+36]; !strings.Contains(exported, strings.TrimPrefix(ref, "DiagnosticReport/")) {
		t.Errorf("the report rests on %s, which the export of exam %s does not hold", ref, id)
	}
	for _, format := range []string{"measure-report", "subject-list", "qrda3", "csv"} {
		if out, errs, code := call(t, "report", "--year", "2018", "--zone", "UTC", "--data", data, "--format", format); code != exitFine || out == "" {
			t.Errorf("%s: exit %d, %s", format, code, errs)
		}
	}
}
