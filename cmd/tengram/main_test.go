package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// call runs the program with arguments and returns what it wrote.
func call(t *testing.T, args ...string) (out, errs string, code int) {
	t.Helper()
	return callWith(t, "", args...)
}

func callWith(t *testing.T, in string, args ...string) (out, errs string, code int) {
	t.Helper()
	var o, e bytes.Buffer
	s := &session{ctx: context.Background(), in: strings.NewReader(in), out: &o, err: &e, getenv: func(string) string { return "" }}
	code = run(s, args)
	return o.String(), e.String(), code
}

// export writes a small bulk export: one person with diabetes and a whole exam,
// one without a birth date.
func export(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	write(t, dir, "Patient.000.ndjson", `{"resourceType":"Patient","id":"a","birthDate":"1960-06-15","gender":"female","name":[{"family":"Tester","given":["Ann"]}]}
{"resourceType":"Patient","id":"b","name":[{"family":"Nodate"}]}
`)
	write(t, dir, "Condition.000.ndjson", `{"resourceType":"Condition","id":"c1","subject":{"reference":"Patient/a"},"clinicalStatus":{"coding":[{"system":"http://terminology.hl7.org/CodeSystem/condition-clinical","code":"active"}]},"code":{"coding":[{"system":"http://hl7.org/fhir/sid/icd-10-cm","code":"E11.9"}]},"onsetDateTime":"2010-03-01"}
`)
	write(t, dir, "Encounter.000.ndjson", `{"resourceType":"Encounter","id":"e1","status":"finished","class":{"code":"AMB"},"type":[{"coding":[{"system":"http://www.ama-assn.org/go/cpt","code":"99213"}]}],"subject":{"reference":"Patient/a"},"period":{"start":"2018-05-10T15:00:00Z","end":"2018-05-10T15:30:00Z"}}
`)
	var obs strings.Builder
	for i, code := range []string{"401191002", "134388005", "91161007"} {
		obs.WriteString(`{"resourceType":"Observation","id":"o` + string(rune('1'+i)) + `","status":"final","code":{"coding":[{"system":"http://snomed.info/sct","code":"` + code + `"}]},"subject":{"reference":"Patient/a"},"effectiveDateTime":"2018-05-10T15:10:00Z","valueCodeableConcept":{"coding":[{"system":"http://snomed.info/sct","code":"17621005"}]}}` + "\n")
	}
	write(t, dir, "Observation.000.ndjson", obs.String())
	return dir
}

func write(t *testing.T, dir, name, text string) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

func TestEvaluateWorksStraightOnFiles(t *testing.T) {
	dir := export(t)
	out, errs, code := call(t, "evaluate", "--measure", "foot-exam", "--year", "2018", "--zone", "UTC", "--each", "--json", dir)
	if code != exitProblems {
		t.Errorf("exit code %d, want 1 for the person without a birth date; %s", code, errs)
	}
	if !strings.Contains(errs, "Patient.000.ndjson, line 2") || !strings.Contains(errs, "birth") {
		t.Errorf("the person without a birth date is not named with file and line: %s", errs)
	}
	lines := strings.Split(strings.TrimSpace(out), "\n")
	if len(lines) != 2 {
		t.Fatalf("%d lines, want one a person:\n%s", len(lines), out)
	}
	if !strings.HasPrefix(lines[0], `{"patient":"a","initial-population":true,"denominator":true,"denominator-exclusion":false,"numerator":true,"because":[`) {
		t.Errorf("first line: %s", lines[0])
	}
	if !strings.HasPrefix(lines[1], `{"patient":"b","initial-population":false,"denominator":false,"denominator-exclusion":false,"numerator":false,"because":[`) {
		t.Errorf("second line: %s", lines[1])
	}
	for _, line := range lines {
		var v struct{ Because []string }
		if err := json.Unmarshal([]byte(line), &v); err != nil || len(v.Because) == 0 {
			t.Errorf("%s: %v", line, err)
		}
	}
}

const aVisit = `{"resourceType":"Encounter","id":"e9","status":"finished","class":{"code":"AMB"},"subject":%s,"period":{"start":"2018-05-10","end":"2018-05-10"}}` + "\n"

func TestWhatIsInNobodysRecordIsNamed(t *testing.T) {
	ann := `{"resourceType":"Patient","id":"a","birthDate":"1960-06-15","gender":"female"}` + "\n"
	rows := []struct{ name, text, says string }{
		{"a person who is not in the files", ann + fmt.Sprintf(aVisit, `{"reference":"Patient/z"}`),
			"a.ndjson, line 2, Encounter/e9: is about Patient/z, who is not in these files, and is left out\n"},
		{"two facts of one", ann + strings.Replace(fmt.Sprintf(aVisit, `{"reference":"Patient/z"}`), "e9", "e7", 1) + fmt.Sprintf(aVisit, `{"reference":"Patient/z"}`),
			"a.ndjson, line 2, Encounter/e7: is about Patient/z, who is not in these files, and is left out; so are 1 more\n"},
		{"an identifier that nobody has", ann + fmt.Sprintf(aVisit, `{"identifier":{"system":"s","value":"12345"}}`),
			"a.ndjson, line 2, Encounter/e9: is about somebody told by an identifier, who is not in these files, and is left out\n"},
		{"facts without any person", fmt.Sprintf(aVisit, `{"reference":"Patient/z"}`),
			"a.ndjson, line 1, Encounter/e9: is about Patient/z, who is not in these files, and is left out\n"},
		{"an empty file", "", "tengram: nobody is in what was read\n"},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			dir := t.TempDir()
			write(t, dir, "a.ndjson", r.text)
			_, errs, code := call(t, "evaluate", "--year", "2018", "--each", "--json", dir)
			if code != exitProblems || !strings.HasPrefix(errs, r.says) && !strings.Contains(errs, "/"+r.says) {
				t.Errorf("exit %d: %s", code, errs)
			}
			if strings.Contains(errs, "12345") {
				t.Errorf("an identifier is named: %s", errs)
			}
		})
	}
}

func TestDeletedResourcesDoNotCount(t *testing.T) {
	dir := export(t)
	write(t, dir, "deleted.ndjson", `{"resourceType":"Bundle","type":"transaction","entry":[{"request":{"method":"DELETE","url":"Observation/o2"}},{"request":{"method":"DELETE","url":"Patient/b"}}]}`+"\n")
	out, errs, _ := call(t, "evaluate", "--year", "2018", "--zone", "UTC", "--each", "--json", dir)
	if strings.Contains(errs, "o2") || strings.Count(out, "\n") != 1 || !strings.Contains(out, `"denominator":true,"denominator-exclusion":false,"numerator":false`) {
		t.Errorf("%s%s", out, errs)
	}
}

func TestAnImportSaysWhoseFactsWaitForTheirPerson(t *testing.T) {
	dir, data := t.TempDir(), filepath.Join(t.TempDir(), "practice")
	write(t, dir, "a.ndjson", fmt.Sprintf(aVisit, `{"reference":"Patient/z"}`))
	out, errs, code := call(t, "import", "--data", data, dir)
	if code != exitFine || !strings.Contains(out, "1 of the facts are about people who are not in these files") {
		t.Errorf("exit %d\n%s%s", code, out, errs)
	}
	later := t.TempDir()
	write(t, later, "a.ndjson", `{"resourceType":"Patient","id":"z","birthDate":"1960-06-15","gender":"female"}`+"\n")
	if out, errs, code := call(t, "import", "--data", data, later); code != exitFine || strings.Contains(out, "not in these files") {
		t.Errorf("exit %d\n%s%s", code, out, errs)
	}
	if out, _, _ := call(t, "export", "records", "--data", data); !strings.Contains(out, "Encounter/e9") {
		t.Errorf("the fact did not wait: %s", out)
	}
}

func TestImportingTwiceChangesNothingAndSaysSo(t *testing.T) {
	dir, data := export(t), filepath.Join(t.TempDir(), "practice")
	out, errs, code := call(t, "import", "--data", data, "--zone", "UTC", dir)
	if code != exitProblems || !strings.Contains(out, "7 new") {
		t.Fatalf("first import: exit %d\n%s%s", code, out, errs)
	}
	out, _, _ = call(t, "import", "--data", data, "--zone", "UTC", dir)
	if !strings.Contains(out, "Nothing changed") || !strings.Contains(out, "0 new, 0 changed, 7 as they were") {
		t.Errorf("second import:\n%s", out)
	}
	out, errs, code = call(t, "evaluate", "--year", "2018", "--zone", "UTC", "--data", data)
	if code != exitFine || !strings.Contains(out, "100.0%  (1 of 1)") {
		t.Errorf("evaluate over the data: exit %d\n%s%s", code, out, errs)
	}
	out, _, code = call(t, "export", "records", "--data", data)
	if code != exitFine || strings.Count(out, "\n") != 2 {
		t.Errorf("export: exit %d\n%s", code, out)
	}
}

// An export may hold two versions of one resource, in files far apart: the last
// stands, and the same export again leaves it so.
func TestAnExportWithTwoVersionsOfAThingChangesNothingTheSecondTime(t *testing.T) {
	dir := t.TempDir()
	var many strings.Builder
	for i := range 9000 { // more than one batch of the import
		fmt.Fprintf(&many, `{"resourceType":"Encounter","id":"e%d","status":"finished","class":{"code":"AMB"},"subject":{"reference":"Patient/a"},"period":{"start":"2018-05-10","end":"2018-05-10"}}`+"\n", i)
	}
	write(t, dir, "1.ndjson", `{"resourceType":"Patient","id":"a","birthDate":"1960-06-15","gender":"female","name":[{"family":"Early"}]}`+"\n")
	write(t, dir, "2.ndjson", many.String())
	write(t, dir, "3.ndjson", `{"resourceType":"Patient","id":"a","birthDate":"1960-06-15","gender":"female","name":[{"family":"Late"}]}`+"\n")
	data := filepath.Join(t.TempDir(), "practice")
	if out, errs, code := call(t, "import", "--data", data, dir); code != exitFine {
		t.Fatalf("exit %d\n%s%s", code, out, errs)
	}
	out, _, code := call(t, "import", "--data", data, dir)
	if code != exitFine || !strings.Contains(out, "0 new, 0 changed") || !strings.Contains(out, "Nothing changed") {
		t.Errorf("exit %d\n%s", code, out)
	}
	if out, _, _ := call(t, "export", "records", "--data", data); !strings.Contains(out, `"family":"Late"`) {
		t.Errorf("the last version does not stand: %.200s", out)
	}
}

// A deletion by mistake and its correction come in any order: the older version
// counts for nothing, is told once, and is no problem.
func TestAnOlderVersionThatComesLaterIsPassedOverAndTold(t *testing.T) {
	visit := func(status, updated string) string {
		return strings.Replace(strings.Replace(fmt.Sprintf(aVisit, `{"reference":"Patient/a"}`), `"finished"`, `"`+status+`"`, 1),
			`"id":`, `"meta":{"versionId":"x","lastUpdated":"`+updated+`"},"id":`, 1)
	}
	ann := `{"resourceType":"Patient","id":"a","birthDate":"1960-06-15","gender":"female"}` + "\n"
	newer, older := visit("entered-in-error", "2018-06-01T00:10:00+02:00"), visit("finished", "2018-05-31T22:09:00Z")
	if !strings.Contains(newer, `"entered-in-error"`) || !strings.Contains(older, "lastUpdated") {
		t.Fatal(newer, older)
	}
	both, first, second, data := t.TempDir(), t.TempDir(), t.TempDir(), filepath.Join(t.TempDir(), "practice")
	write(t, both, "a.ndjson", ann+newer+older)
	write(t, first, "a.ndjson", ann+newer)
	write(t, second, "a.ndjson", ann+older)
	_, errs, code := call(t, "evaluate", "--year", "2018", "--zone", "UTC", both)
	if code != exitFine || errs != "tengram: 1 version of a resource gave way to a newer one\n" {
		t.Errorf("evaluate: exit %d\n%s", code, errs)
	}
	if out, errs, code := call(t, "import", "--data", data, first); code != exitFine || strings.Contains(out, "older") {
		t.Fatalf("exit %d\n%s%s", code, out, errs)
	}
	out, errs, code := call(t, "import", "--data", data, second)
	if code != exitFine || !strings.Contains(out, "Nothing changed") || !strings.Contains(out, "1 came in an older version than is here; the newer one stands.") {
		t.Errorf("exit %d\n%s%s", code, out, errs)
	}
	if out, _, _ := call(t, "export", "records", "--data", data); !strings.Contains(out, `"standing":"void"`) {
		t.Errorf("the newer version does not stand: %s", out)
	}
}

func TestBrokenInputIsNamedAndTheRestGoesIn(t *testing.T) {
	rows := []struct{ name, file, text, names string }{
		{"a line that is not JSON", "Condition.001.ndjson", "{\"resourceType\":\"Condition\",\n", "Condition.001.ndjson, line 1"},
		{"a resource of an unknown type", "Odd.000.ndjson", `{"resourceType":"Sandwich","id":"1"}` + "\n", "Odd.000.ndjson, line 1"},
		{"a truncated file", "Encounter.001.ndjson", `{"resourceType":"Encounter","id":"e9","status":"fin`, "Encounter.001.ndjson, line 1"},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			dir := export(t)
			write(t, dir, r.file, r.text)
			out, errs, code := call(t, "import", "--data", t.TempDir(), "--zone", "UTC", dir)
			if code != exitProblems || !strings.Contains(strings.Join(strings.Fields(out), " "), r.names) || !strings.Contains(out, "7 new") {
				t.Errorf("exit %d\n%s%s", code, out, errs)
			}
		})
	}
}

func TestWrongUseIsExitCodeTwoWithAHint(t *testing.T) {
	rows := []struct {
		args []string
		says string
	}{
		{[]string{"nonsense"}, "tengram --help"},
		{[]string{"evaluate", "--year", "2018"}, "--data"},
		{[]string{"evaluate", "--year", "18", "x"}, "--year"},
		{[]string{"evaluate", "--year", "2018", "--measure", "no-such", "x"}, "foot-exam"},
		{[]string{"evaluate", "--year", "2018", "/no/such/path"}, "/no/such/path"},
		{[]string{"due", "--data", t.TempDir()}, "import"},
		{[]string{"calc", "no-such"}, "abi"},
		{[]string{"calc", "abi", "right-dp=-5", "right-pt=90", "right-arm=120"}, "right-dp=-5"},
		{[]string{"calc", "wifi", "wound=7", "ischemia=0", "infection=0"}, "wound=7"},
		{[]string{"calc", "abi", "right-dp-cm=5"}, "right-dp-cm"},
		{[]string{"assess", "/no/such/file.json"}, "/no/such/file.json"},
		{[]string{"assess", "--edition", "mars-1", "x"}, "us-2024"},
		{[]string{"demo", "--once", "--today", "tomorrow"}, "--today"},
	}
	for _, r := range rows {
		if _, errs, code := call(t, r.args...); code != exitWrongUse || !strings.Contains(errs, r.says) {
			t.Errorf("%q: exit %d, %s", r.args, code, errs)
		}
	}
}

func TestEveryCommandHelpsWithAnExample(t *testing.T) {
	for _, name := range []string{"demo", "serve", "import", "evaluate", "due", "assess", "calc", "export", "version"} {
		out, _, code := call(t, name, "--help")
		if code != exitFine || !strings.Contains(out, "tengram "+name) || !strings.Contains(out, "xample") {
			t.Errorf("%s --help: exit %d\n%s", name, code, out)
		}
		for _, line := range strings.Split(out, "\n") {
			if len([]rune(line)) > columns && !strings.Contains(line, "  tengram ") {
				t.Errorf("%s --help has a line of %d columns: %s", name, len([]rune(line)), line)
			}
		}
	}
}

func TestAssessReadsADocumentFromStandardInput(t *testing.T) {
	text, err := os.ReadFile("../../docs/examples/08-past-ulcer.json")
	if err != nil {
		t.Fatal(err)
	}
	out, errs, code := callWith(t, string(text), "assess", "-", "--json")
	var a struct {
		Risks   []struct{ System string }
		Plan    struct{ Actions []struct{ ID string } }
		Caution string
	}
	if err := json.Unmarshal([]byte(out), &a); err != nil || code != exitFine {
		t.Fatalf("exit %d, %v, %s", code, err, errs)
	}
	if len(a.Risks) == 0 || a.Risks[0].System != "iwgdf-2023" || len(a.Plan.Actions) == 0 || a.Caution == "" {
		t.Errorf("%+v", a)
	}
	out, _, _ = callWith(t, string(text), "assess", "-")
	for _, word := range []string{"RISK", "PLAN", "because", "licensed clinical judgement"} {
		if !strings.Contains(out, word) {
			t.Errorf("the page of text lacks %q:\n%s", word, out)
		}
	}
	for _, line := range strings.Split(out, "\n") {
		if len([]rune(line)) > columns {
			t.Errorf("a line of %d columns: %s", len([]rune(line)), line)
		}
	}
	if _, errs, code := callWith(t, `{"schema":"tengram/exam/1","left":{"lok":{}}}`, "assess", "-"); code != exitWrongUse || !strings.Contains(errs, "lok") {
		t.Errorf("an unknown field: exit %d, %s", code, errs)
	}
}

func TestCalcGivesNumbersAMachineMayRead(t *testing.T) {
	// tests-and-wounds reference, 1.7: DP 96, PT 104 over arms 128 and 132 is 0.79.
	out, errs, code := call(t, "calc", "abi", "right-dp=96", "right-pt=104", "left-dp=60", "left-pt=50", "right-arm=128", "left-arm=132", "--json")
	var abi struct {
		Result struct{ Right, Left struct{ ABI float64 } }
	}
	if err := json.Unmarshal([]byte(out), &abi); err != nil || code != exitFine || abi.Result.Right.ABI != 0.79 || abi.Result.Left.ABI != 0.45 {
		t.Errorf("exit %d, %v, %s %s", code, err, out, errs)
	}
	// risk reference, IWG-7: LOPS unknown, deformity, nothing else: 0 to 2.
	out, errs, code = call(t, "calc", "iwgdf", "lops=unknown", "pad=no", "deformity=yes", "ulcer-history=no", "amputation=no", "esrd=no", "--json")
	var iwgdf struct {
		Result struct {
			Low, High int
			SettledBy []string
		}
	}
	if err := json.Unmarshal([]byte(out), &iwgdf); err != nil || code != exitFine || iwgdf.Result.Low != 0 || iwgdf.Result.High != 2 || strings.Join(iwgdf.Result.SettledBy, ",") != "lops" {
		t.Errorf("exit %d, %v, %s %s", code, err, out, errs)
	}
}

func TestTheDemoIsTheSameEveryTime(t *testing.T) {
	args := []string{"demo", "--once", "--today", "2026-03-02", "--zone", "America/New_York"}
	first, errs, code := call(t, args...)
	if code != exitFine {
		t.Fatalf("exit %d: %s", code, errs)
	}
	if n := strings.Count(first, "\n"); n != 10 {
		t.Errorf("the summary has %d lines, want ten:\n%s", n, first)
	}
	if second, _, _ := call(t, args...); second != first {
		t.Errorf("two runs differ:\n%s\n%s", first, second)
	}
}
