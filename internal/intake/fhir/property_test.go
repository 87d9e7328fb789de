package fhir

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"tengram/internal/clinic"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/testdata"
)

// someLines are lines of every kind of resource with keys of their own, and of
// the broken ones among them.
func someLines(t *testing.T) []string {
	t.Helper()
	var lines []string
	inputs, err := filepath.Glob("testdata/golden/*.ndjson")
	if err != nil {
		t.Fatal(err)
	}
	for _, input := range inputs {
		b, err := os.ReadFile(input)
		if err != nil {
			t.Fatal(err)
		}
		lines = append(lines, strings.Split(strings.TrimSpace(string(b)), "\n")...)
	}
	for i, line := range bytes.Split(bytes.TrimSpace(population(t)), []byte("\n")) {
		if i < 57 || i%97 == 0 {
			lines = append(lines, string(line))
		}
	}
	return lines
}

// bare leaves out where things came from.
func bare(records []record.Record) []record.Record {
	for i := range records {
		records[i].Person.Origin = record.Origin{}
		for j := range records[i].Facts {
			records[i].Facts[j].Origin = record.Origin{}
		}
	}
	return records
}

// elsewhere leaves out where the facts that are in no record came from.
var elsewhere = cmpopts.IgnoreFields(record.Orphan{}, "Origin")

func TestTheOrderOfLinesAndFilesNeverMatters(t *testing.T) {
	lines := someLines(t)
	folder := t.TempDir()
	write := func(t interface{ Fatal(...any) }, lines []string, files int) (*clinic.Gather, clinic.ReadReport) {
		paths := make([]string, files)
		for i := range files {
			paths[i] = filepath.Join(folder, string(rune('a'+i))+".ndjson")
			part := lines[i*len(lines)/files : (i+1)*len(lines)/files]
			if err := os.WriteFile(paths[i], []byte(strings.Join(part, "\n")), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		var g clinic.Gather
		r := Open(paths, Options{})
		r.limits.piece = 1 << 13
		report, err := r.Read(context.Background(), &g)
		if err != nil {
			t.Fatal(err)
		}
		report.Files = 0
		return &g, report
	}
	first, want := write(t, lines, 1)
	records := bare(first.Records())
	if len(records) < 60 || want.Asides < 40 {
		t.Fatalf("%d records, %d asides: that is no test", len(records), want.Asides)
	}
	rapid.Check(t, func(t *rapid.T) {
		files := rapid.IntRange(1, 5).Draw(t, "files")
		g, report := write(t, rapid.Permutation(lines).Draw(t, "lines"), files)
		if diff := cmp.Diff(want, report); diff != "" {
			t.Fatal(diff)
		}
		if diff := cmp.Diff(records, bare(g.Records()), moments); diff != "" {
			t.Fatal(diff)
		}
		if diff := cmp.Diff(first.Orphans(), g.Orphans(), elsewhere); diff != "" {
			t.Fatal(diff)
		}
	})
}

func TestReadingTwiceChangesNothing(t *testing.T) {
	folder := testdata.Shared(t, "fhir-bulk-sample")
	g, _ := read(t, folder)
	once := g.Records()
	if _, err := Open([]string{folder}, Options{}).Read(context.Background(), g); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(once, g.Records(), moments); diff != "" {
		t.Error(diff)
	}
}

// Senders write ICD-10-CM codes with and without the dot, in either case, and
// name the system by address or OID (measures-and-standards.md, section 3.1).
func TestEveryWritingOfADiagnosisIsTheSameCode(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		code := rapid.StringMatching(`[A-Z][0-9][0-9A-Z]\.[0-9A-Z]{1,4}`).Draw(t, "code")
		written := code
		if rapid.Bool().Draw(t, "no dot") {
			written = strings.Replace(written, ".", "", 1)
		}
		if rapid.Bool().Draw(t, "lower case") {
			written = strings.ToLower(written)
		}
		system := rapid.SampledFrom([]string{"http://hl7.org/fhir/sid/icd-10-cm", "urn:oid:2.16.840.1.113883.6.90"}).Draw(t, "system")
		out := decodeLine(`{"resourceType":"Condition","id":"1","subject":{"reference":"Patient/p"},"code":{"coding":[{"system":"` + system + `","code":"` + written + `"}]}}`)
		want := []term.Code{{System: term.ICD10CM, Code: code}}
		if diff := cmp.Diff(want, out.facts[0].Fact.Codes); diff != "" {
			t.Fatal(diff)
		}
	})
}

func decodeLine(line string) *batch {
	out := newBatch()
	newDecoder(nil).piece(&piece{file: file{"a.ndjson", "a.ndjson", true}, data: []byte(line), line: 1}, out)
	return out
}

// FuzzLines gives the decoder any text: it neither panics nor loses a line
// without naming it.
func FuzzLines(f *testing.F) {
	inputs, err := filepath.Glob("testdata/golden/*.*json")
	if err != nil {
		f.Fatal(err)
	}
	for _, input := range inputs {
		b, err := os.ReadFile(input)
		if err != nil {
			f.Fatal(err)
		}
		for line := range bytes.Lines(b) {
			f.Add(line)
		}
		f.Add(b)
	}
	d, out := newDecoder(nil), newBatch()
	f.Fuzz(func(t *testing.T, text []byte) {
		before := bytes.Clone(text)
		for _, byLine := range []bool{true, false} {
			out.reset()
			d.piece(&piece{file: file{"a", "a", byLine}, data: text, line: 1, last: true}, out)
			if !bytes.Equal(before, text) {
				t.Fatal("the text was written to")
			}
			if bytes.Contains(text, []byte("Bundle")) {
				continue // a line may hold many resources
			}
			told := 0
			for _, counts := range []map[string]int{out.taken, out.passed} {
				for _, n := range counts {
					told += n
				}
			}
			for _, a := range out.asides {
				if !strings.HasPrefix(a.Reason, "taken in, but: ") {
					told++
				}
			}
			if told != out.lines && !(told == 1 && len(bytes.TrimSpace(text)) == 0) {
				t.Fatalf("%d lines, and %d things told of them: %+v", out.lines, told, out)
			}
		}
	})
}
