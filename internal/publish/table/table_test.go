package table

import (
	"bytes"
	"encoding/csv"
	"flag"
	"os"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/source"
	"tengram/internal/publish/guard"
)

var update = flag.Bool("update", false, "write the golden file anew")

func people() ([]measure.Result, []record.Person) {
	results := []measure.Result{
		{Patient: "p1", Period: measure.Year(2026), InitialPopulation: true, Denominator: true, Numerator: true, Stratum: "2",
			Because: source.Because{{Says: "Visit 99213 on 2026-02-03 lies in the period."}, {Says: "Feet looked at, \"both\"."}}},
		{Patient: "p2", Period: measure.Year(2026), InitialPopulation: true, Denominator: true,
			Gaps:    []measure.Gap{{Part: "pulses", Says: "Foot pulses: nothing in the record."}, {Part: "visual", Says: "Feet looked at: nothing in the record."}},
			Quality: []string{"Condition/7 is active and has no date; counted", "the birth date is dated too vaguely to be sure; not counted"}},
		{Patient: "=1+1", Period: measure.Year(2026)},
	}
	return results, []record.Person{{ID: "p1", Family: "Ibáñez, de la", Given: "Rosa"}, {ID: "p2", Family: "@cmd", Given: "-2"}, {}}
}

func written(t testing.TB, results []measure.Result, people []record.Person, o Options) []byte {
	t.Helper()
	var b bytes.Buffer
	w, err := NewWriter(&b, measure.FootExam(), o)
	if err != nil {
		t.Fatal(err)
	}
	for i := range results {
		if err := w.Add(results[i], people[i]); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestTheTableIsAsItWas(t *testing.T) {
	results, persons := people()
	got := written(t, results, persons, Options{Names: true})
	const file = "testdata/foot-exam.csv"
	if *update {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v: run this test with -update", err)
	}
	if diff := cmp.Diff(string(want), string(got)); diff != "" {
		t.Errorf("%s differs (run with -update if the code is right):\n%s", file, diff)
	}
}

func TestNamesStayHereUnlessAsked(t *testing.T) {
	results, persons := people()
	if text := string(written(t, results, persons, Options{})); strings.Contains(text, "Ibáñez") || strings.Contains(text, "family") {
		t.Errorf("a name has left:\n%s", text)
	}
	key, err := guard.NewPseudonym([]byte("0123456789abcdef"))
	if err != nil {
		t.Fatal(err)
	}
	text := string(written(t, results, persons, Options{Pseudonym: key}))
	for _, id := range []string{"p1", "Condition/7", "=1+1"} {
		if strings.Contains(text, id) {
			t.Errorf("%s has left:\n%s", id, text)
		}
	}
	if !strings.Contains(text, "pulses visual") {
		t.Errorf("the missing parts are gone too:\n%s", text)
	}
	if _, err := NewWriter(&bytes.Buffer{}, measure.FootExam(), Options{Names: true, Pseudonym: key}); err == nil {
		t.Error("names and pseudonyms were given together")
	}
}

// RFC 4180, section 2: lines end with CR LF, and a quoted field may hold
// commas, quotation marks and line ends.
func TestAnyTextIsReadBackAndNeverRuns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		family := rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{"=HYPERLINK(\"x\")", " =1", "+1", "-cmd", "@SUM", "\t=1", "\r=1", "＝1", "-12", "a\r\nb", `"`})).Draw(t, "family")
		r := measure.Result{Patient: "p1", Period: measure.Year(2026)}
		var b bytes.Buffer
		w, err := NewWriter(&b, measure.FootExam(), Options{Names: true})
		if err != nil {
			t.Fatal(err)
		}
		if err := w.Add(r, record.Person{Family: family}); err != nil {
			t.Fatal(err)
		}
		if err := w.Close(); err != nil {
			t.Fatal(err)
		}
		if n := strings.Count(strings.ReplaceAll(b.String(), "\r\n", ""), "\n"); n > 0 {
			t.Errorf("%d line ends without CR", n)
		}
		rows, err := csv.NewReader(bytes.NewReader(b.Bytes())).ReadAll()
		if err != nil || len(rows) != 2 || len(rows[0]) != len(rows[1]) {
			t.Fatalf("%v %d rows", err, len(rows))
		}
		got := rows[1][1]
		// Inside a field a lone CR is left out, and the reader makes one line end
		// of CR LF.
		want := strings.ReplaceAll(family, "\r", "")
		if strings.TrimPrefix(got, "'") != want && got != want {
			t.Errorf("%q came back as %q", family, got)
		}
		trimmed := strings.TrimLeft(got, " ")
		if first, _ := utf8.DecodeRuneInString(trimmed); trimmed != "" && strings.ContainsRune("=+@\t\r\n＝＋－＠", first) {
			t.Errorf("%q would run", got)
		}
		if strings.HasPrefix(trimmed, "-") && strings.Trim(trimmed[1:], "0123456789") != "" {
			t.Errorf("%q would run", got)
		}
	})
}
