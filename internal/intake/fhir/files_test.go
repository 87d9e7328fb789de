package fhir

import (
	"bytes"
	"compress/gzip"
	"context"
	"errors"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"tengram/internal/clinic"
	"tengram/internal/kernel/record"
	"tengram/internal/testdata"
)

const (
	ann  = `{"resourceType":"Patient","id":"ann","gender":"female","birthDate":"1960-06-15"}`
	bob  = `{"resourceType":"Patient","id":"bob","gender":"male","birthDate":"1950-01-01"}`
	carl = `{"resourceType":"Patient","id":"carl","gender":"male","birthDate":"1970-01-01"}`
)

func zip(text string) string {
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	_, _ = w.Write([]byte(text))
	_ = w.Close()
	return b.String()
}

// Each thing that cannot be used is named with file, line and reason, and the
// rest goes in.
func TestEveryFileIsReadAsFarAsItGoes(t *testing.T) {
	packed := zip(ann + "\n" + bob + "\n" + carl + "\n")
	stored := zipStored(t, ann+"\n"+bob+"\n"+carl+"\n")
	for _, c := range []struct {
		says, name, content string
		people              string
		asides              []string
	}{
		{"lines", "a.ndjson", ann + "\n" + bob + "\n", "ann bob", nil},
		{"no line end at the end", "a.ndjson", ann + "\n" + bob, "ann bob", nil},
		{"a byte order mark", "a.ndjson", "\xef\xbb\xbf" + ann + "\n", "ann", nil},
		{"line ends of two characters", "a.ndjson", ann + "\r\n" + bob + "\r\n", "ann bob", nil},
		{"blank lines", "a.ndjson", "\n \t\n" + ann + "\n\n\r\n" + bob + "\n\n", "ann bob", nil},
		{"an empty file of lines", "a.ndjson", "", "", nil},
		{"packed", "a.ndjson.gz", packed, "ann bob carl", nil},
		{"packed twice in a row", "a.ndjson.gz", zip(ann+"\n") + zip(bob+"\n"), "ann bob", nil},
		{"packed, with a name that does not tell", "a.ndjson", packed, "ann bob carl", nil},
		{"packed with a byte order mark", "a.ndjson.gz", zip("\xef\xbb\xbf" + ann), "ann", nil},
		{"a name in capitals", "A.NDJSON", ann, "ann", nil},
		{"a single resource", "a.json", "{\n \"resourceType\": \"Patient\", \"id\": \"ann\",\n \"gender\": \"female\", \"birthDate\": \"1960\" }\n", "ann", nil},
		{"lines in a file called json", "a.json", ann + "\n" + bob + "\n", "ann bob", nil},
		{"a packed Bundle", "a.json.gz", zip(`{"resourceType":"Bundle","type":"collection","entry":[{"resource":` + ann + `}]}`), "ann", nil},
		{"a Bundle in a line", "a.ndjson", `{"resourceType":"Bundle","type":"collection","entry":[{"resource":` + ann + `}]}` + "\n" + bob, "ann bob", nil},

		{"a line that is not JSON", "a.ndjson", ann + "\nhello\n" + bob + "\n", "ann bob", []string{
			"a.ndjson:2: is not right JSON: a value is missing (byte 1)"}},
		{"a truncated line in the middle", "a.ndjson", ann[:49] + "\n" + bob + "\n", "bob", []string{
			"a.ndjson:1: Patient/ann: is not right JSON: gender: the text ends inside a string (byte 50)"}},
		{"a truncated last line", "a.ndjson", ann + "\n" + bob[:65], "ann", []string{
			"a.ndjson:2: Patient/bob: the file is cut off in this line: birthDate: the text ends too early (byte 66)"}},
		{"two resources in a line", "a.ndjson", ann + bob + "\n" + carl, "carl", []string{
			"a.ndjson:1: Patient/ann: is not right JSON: something follows the value (byte 81)"}},
		{"a line that is not UTF-8", "a.ndjson", strings.Replace(ann, "female", "\xff", 1) + "\n" + bob, "bob", []string{
			"a.ndjson:1: Patient/ann: is not right JSON: gender: a string is not UTF-8 (byte 48)"}},
		{"a resource of an unknown type", "a.ndjson", `{"resourceType":"Foot","id":"1"}` + "\n" + bob, "bob", []string{
			"a.ndjson:1: resourceType Foot is not known in FHIR R4"}},
		{"a subject of a type that FHIR does not have", "a.ndjson", bob + "\n" + `{"resourceType":"Observation","id":"1","status":"final","code":{"text":"x"},"subject":{"reference":"patient/bob"}}`, "bob", []string{
			"a.ndjson:2: Observation/1: says whom it is about in a form that cannot be followed"}},
		{"a person without a birth date", "a.ndjson", `{"resourceType":"Patient","id":"dan","gender":"male"}` + "\n" + bob, "dan bob", []string{
			"a.ndjson:1: Patient/dan: taken in, but: there is no birth date, so that age and measures stay unknown"}},
		{"a broken resource of a type that is not used", "a.ndjson", `{"resourceType":"Claim","id":}` + "\n" + bob, "bob", []string{
			"a.ndjson:1: Claim: is not right JSON: id: a value is missing (byte 30)"}},

		{"UTF-16", "a.ndjson", "\xff\xfe{\x00", "", []string{"a.ndjson:0: is UTF-16: save it as UTF-8"}},
		{"an empty document", "a.json", " \n", "", []string{"a.json:0: is empty"}},
		{"a document that is not JSON", "a.json", "hello", "", []string{"a.json:0: is not right JSON: a value is missing (byte 1)"}},
		{"a truncated Bundle", "a.json", `{"resourceType":"Bundle","type":"collection","entry":[{"resource":` + ann + `},{"resource":` + bob[:65], "ann", []string{
			"a.json:0: Bundle: is not right JSON: entry[1].resource.birthDate: the text ends too early (byte 226)"}},
		{"a Bundle with something behind it", "a.json", `{"resourceType":"Bundle","entry":[{"resource":` + ann + `}]} and so on`, "", []string{
			"a.json:0: Bundle: is not right JSON: something follows the value (byte 131)"}},
		{"a Bundle of past versions", "a.json", `{"resourceType":"Bundle","type":"history","entry":[{"resource":` + ann + `}]}`, "", []string{
			"a.json:0: Bundle: is a Bundle of past versions (type history): export the present state"}},
		{"a resource without an id", "a.json", `{"resourceType":"Patient","gender":"male","birthDate":"1960"}`, "", []string{
			"a.json:0: Patient: the resource has no id that can be used"}},

		{"gzip that ends in the middle of a line", "a.ndjson.gz", stored[:len(stored)-50], "ann bob", []string{
			"a.ndjson.gz:3: the file cannot be read on: the gzip file is cut off"}},
		{"gzip that ends behind the last line", "a.ndjson.gz", packed[:len(packed)-8], "ann bob carl", []string{
			"a.ndjson.gz:4: the file cannot be read on: the gzip file is cut off"}},
		{"gzip with a wrong checksum", "a.ndjson.gz", packed[:len(packed)-8] + "12345678", "ann bob carl", []string{
			"a.ndjson.gz:4: the file cannot be read on: the gzip file is damaged: its checksum is wrong"}},
		{"gzip that is nothing but its first bytes", "a.ndjson.gz", "\x1f\x8b", "", []string{
			"a.ndjson.gz:0: cannot be read: the gzip file is cut off"}},
		{"a truncated packed Bundle", "a.json.gz", zipStored(t, `{"resourceType":"Bundle","entry":[{"resource":`+ann+`},{"resource":`+bob+`}]}`)[:200], "ann", []string{
			"a.json.gz:0: the file cannot be read on: the gzip file is cut off"}},
	} {
		t.Run(c.says, func(t *testing.T) {
			folder := t.TempDir()
			if err := os.WriteFile(filepath.Join(folder, c.name), []byte(c.content), 0o600); err != nil {
				t.Fatal(err)
			}
			people, asides, report := gathered(t, Open([]string{folder}, Options{}))
			if got := strings.Join(people, " "); got != c.people {
				t.Errorf("people %q, want %q", got, c.people)
			}
			if diff := cmp.Diff(c.asides, asides); diff != "" {
				t.Error(diff)
			}
			if report.Files != 1 || report.Asides != len(c.asides) {
				t.Errorf("report %+v", report)
			}
		})
	}
}

// zipStored packs without compressing, so that what is cut off is known.
func zipStored(t *testing.T, text string) string {
	t.Helper()
	var b bytes.Buffer
	w, err := gzip.NewWriterLevel(&b, gzip.NoCompression)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := w.Write([]byte(text)); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// gathered reads and returns the ids of the people in the order in which they
// came, and the asides as text.
func gathered(t *testing.T, r *Reader) (people, asides []string, report clinic.ReadReport) {
	t.Helper()
	s := &sequence{}
	report, err := r.Read(context.Background(), s)
	if err != nil {
		t.Fatal(err)
	}
	return s.people, s.asides, report
}

type sequence struct {
	people, asides []string
	facts          int
	raw            [][]byte
	fail           error
}

func (s *sequence) Person(p record.Person) error {
	s.people = append(s.people, p.ID)
	return s.fail
}

func (s *sequence) Fact(string, record.Fact) error {
	s.facts++
	return s.fail
}

func (s *sequence) Aside(a clinic.Aside) error {
	text := filepath.Base(a.File) + ":" + strconv.Itoa(a.Line) + ": "
	if a.Resource != "" {
		text += a.Resource + ": "
	}
	s.asides = append(s.asides, text+a.Reason)
	s.raw = append(s.raw, a.Raw)
	return s.fail
}

func TestFoldersAreReadInOrderAndFilesOnce(t *testing.T) {
	folder := t.TempDir()
	for name, content := range map[string]string{
		"b/2.ndjson": bob, "b/1.ndjson": ann, "a.ndjson": carl,
		"README.md": "no JSON", ".hidden.ndjson": "no JSON", "data.csv": "no JSON", "b/SHA256SUMS": "no JSON",
		"named.txt": strings.ReplaceAll(ann, "ann", "dan"),
	} {
		path := filepath.Join(folder, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(content), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Symlink("b/2.ndjson", filepath.Join(folder, "c.ndjson")); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("b", filepath.Join(folder, "d")); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("nowhere", filepath.Join(folder, "e.ndjson")); err != nil {
		t.Fatal(err)
	}
	people, asides, report := gathered(t, Open([]string{folder, filepath.Join(folder, "b"), filepath.Join(folder, "named.txt")}, Options{}))
	if diff := cmp.Diff([]string{"carl", "ann", "bob", "bob", "dan"}, people); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]string{
		"d:0: is a link to a folder, which is not followed: name that folder itself",
		"e.ndjson:0: is a link to nothing that can be read: no such file or directory",
	}, asides); diff != "" {
		t.Error(diff)
	}
	if report.Files != 5 || report.Lines != 5 {
		t.Errorf("report %+v", report)
	}
}

func TestAFileOfAFolderInAnotherFormIsNamed(t *testing.T) {
	folder := t.TempDir()
	for _, name := range []string{"a.ndjson", "b.zip", "c.tar.gz", "d.TGZ", "e.ndjson.bz2", "f.xml", "g.xml.gz", "notes.txt", "table.csv", "sums.gz"} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(ann), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	people, asides, report := gathered(t, Open([]string{folder}, Options{}))
	packed, xml := ":0: is packed in a form that is not read: unpack it first", ":0: is XML, which is not read: export it as JSON"
	if diff := cmp.Diff([]string{"b.zip" + packed, "c.tar.gz" + packed, "d.TGZ" + packed, "e.ndjson.bz2" + packed, "f.xml" + xml, "g.xml.gz" + xml}, asides); diff != "" {
		t.Error(diff)
	}
	if len(people) != 1 || report.Files != 1 || report.Asides != 6 {
		t.Errorf("%v, %+v", people, report)
	}
}

func TestAPathThatDoesNotExistIsAnError(t *testing.T) {
	report, err := Open([]string{filepath.Join(t.TempDir(), "none")}, Options{}).Read(context.Background(), &sequence{})
	if !errors.Is(err, os.ErrNotExist) || report.Files != 0 {
		t.Errorf("got %v, %+v", err, report)
	}
}

func TestWhatWasSetAsideKeepsItsText(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.ndjson")
	const broken = `{"resourceType":"Patient","id":`
	if err := os.WriteFile(path, []byte(broken+"\n"+ann+"\n"+broken), 0o600); err != nil {
		t.Fatal(err)
	}
	s := &sequence{}
	if _, err := Open([]string{path}, Options{}).Read(context.Background(), s); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([][]byte{[]byte(broken), []byte(broken)}, s.raw); diff != "" {
		t.Error(diff)
	}
}

// The lines are longer than one piece, and one is longer than a line may be.
func TestLongLines(t *testing.T) {
	long := func(id string, n int) string {
		return `{"resourceType":"Patient","id":"` + id + `","gender":"male","birthDate":"1960","text":{"div":"` + strings.Repeat("x", n) + `"}}`
	}
	content := ann + "\n" + long("l1", 3000) + "\n" + bob + "\n" + long("l2", 20_000) + "\n" + long("l3", 4000) + "\n" + carl + "\n" + long("l4", 20_000)
	path := filepath.Join(t.TempDir(), "a.ndjson")
	if err := os.WriteFile(path, []byte(content), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, piece := range []int{64, 100, 1000, 1 << 14} {
		r := Open([]string{path}, Options{})
		r.limits = limits{piece: piece, line: 10_000, document: 1 << 20}
		if piece == 1<<14 {
			r.limits.line = 1 << 14
		}
		people, asides, _ := gathered(t, r)
		if diff := cmp.Diff([]string{"ann", "l1", "bob", "l3", "carl"}, people); diff != "" {
			t.Errorf("pieces of %d: %s", piece, diff)
		}
		if diff := cmp.Diff([]string{
			"a.ndjson:4: the line is longer than 0 MiB; only its beginning is kept",
			"a.ndjson:7: the line is longer than 0 MiB; only its beginning is kept",
		}, asides); diff != "" {
			t.Errorf("pieces of %d: %s", piece, diff)
		}
	}
}

func TestALineOfSeveralMiBIsRead(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.ndjson")
	content := `{"resourceType":"Patient","text":{"div":"` + strings.Repeat("é", 3<<20) + `"},"id":"long","gender":"male","birthDate":"1960"}` + "\n" + ann
	if err := os.WriteFile(path, []byte(content), 0o600); err != nil {
		t.Fatal(err)
	}
	people, asides, _ := gathered(t, Open([]string{path}, Options{}))
	if diff := cmp.Diff([]string{"long", "ann"}, people); diff != "" || asides != nil {
		t.Error(diff, asides)
	}
}

func TestADocumentThatIsTooLargeIsNamed(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.json")
	if err := os.WriteFile(path, []byte(ann), 0o600); err != nil {
		t.Fatal(err)
	}
	r := Open([]string{path}, Options{})
	r.limits.document = len(ann) - 1
	_, asides, _ := gathered(t, r)
	if diff := cmp.Diff([]string{"a.json:0: is one document of more than 0 MiB: export it as NDJSON, one resource a line"}, asides); diff != "" {
		t.Error(diff)
	}
	r.limits.document = len(ann)
	if people, asides, _ := gathered(t, r); len(people) != 1 || asides != nil {
		t.Error(people, asides)
	}
}

// However the files are cut and by however many they are decoded, the same
// things come in the same order.
func TestTheOrderIsThatOfTheFiles(t *testing.T) {
	folder := testdata.Shared(t, "fhir-bulk-sample")
	var first string
	for _, o := range []struct{ workers, piece int }{{1, 1 << 20}, {2, 1 << 12}, {8, 1 << 16}} {
		s := scribe{t: t}
		r := Open([]string{folder, "testdata/golden"}, Options{Workers: o.workers})
		r.limits.piece = o.piece
		report, err := r.Read(context.Background(), &s)
		if err != nil {
			t.Fatal(err)
		}
		if err := s.write("report", report); err != nil {
			t.Fatal(err)
		}
		if first == "" {
			first = s.text.String()
		}
		if got := s.text.String(); got != first {
			t.Errorf("%d workers and pieces of %d bytes give another result", o.workers, o.piece)
		}
	}
}

func TestAFailingSinkEndsTheImport(t *testing.T) {
	full := errors.New("disk full")
	_, err := Open([]string{testdata.Shared(t, "fhir-synthea")}, Options{}).Read(context.Background(), &sequence{fail: full})
	if !errors.Is(err, full) {
		t.Errorf("got %v", err)
	}
}

func TestAnEndedContextEndsTheImport(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	s := &stopping{after: 500, stop: stop}
	report, err := Open([]string{testdata.Shared(t, "fhir-synthea")}, Options{}).Read(ctx, s)
	if !errors.Is(err, context.Canceled) {
		t.Fatalf("got %v", err)
	}
	if s.n < 500 || report.Resources >= 16_357 {
		t.Errorf("handed over %d, counted %d", s.n, report.Resources)
	}
	stop()
	if _, err := Open([]string{"testdata/golden"}, Options{}).Read(ctx, &sequence{}); !errors.Is(err, context.Canceled) {
		t.Errorf("a context that had ended before: %v", err)
	}
}

// stopping ends its context after some facts.
type stopping struct {
	nothing
	after int
	stop  func()
}

func (s *stopping) Fact(p string, f record.Fact) error {
	if s.n == s.after {
		s.stop()
	}
	return s.nothing.Fact(p, f)
}
