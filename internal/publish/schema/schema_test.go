package schema_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"tengram/internal/publish/schema"
)

var update = flag.Bool("update", false, "write the golden file anew")

const (
	published = "../../../docs/schema/exam.schema.json"
	examples  = "../../../docs/examples/*.json"
)

func TestThePublishedSchemaIsWhatTheCodeWrites(t *testing.T) {
	text, err := schema.Exam()
	if err != nil {
		t.Fatal(err)
	}
	if *update {
		if err := os.MkdirAll(filepath.Dir(published), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(published, text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(published)
	if err != nil {
		t.Fatalf("%v: run this test with -update", err)
	}
	if diff := cmp.Diff(string(want), string(text)); diff != "" {
		t.Errorf("the published schema differs from the code (run with -update if the code is right):\n%s", diff)
	}
}

// compiled is the schema, itself checked against the 2020-12 meta-schema by the
// compiler.
func compiled(t testing.TB) *jsonschema.Schema {
	t.Helper()
	text, err := schema.Exam()
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource(schema.ID, doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile(schema.ID)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestEveryExampleOfTheDocumentationIsValid(t *testing.T) {
	files, err := filepath.Glob(examples)
	if err != nil || len(files) != 20 {
		t.Fatalf("%d examples (%v), want 20", len(files), err)
	}
	s := compiled(t)
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if err := validate(s, text); err != nil {
			t.Errorf("%s: %v", filepath.Base(file), err)
		}
	}
}

func validate(s *jsonschema.Schema, text []byte) error {
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		return err
	}
	return s.Validate(v)
}

func TestABrokenDocumentFailsForItsOwnReason(t *testing.T) {
	s := compiled(t)
	for _, c := range []struct {
		name string
		// path is what is changed in a small right document, by JSON Pointer;
		// a nil value takes it away.
		path  string
		value any
		// where and why are parts of the validator's only complaint.
		where, why string
	}{
		{"no schema", "/schema", nil, "''", "'schema'"},
		{"another version", "/schema", "tengram/exam/2", "'/schema'", "must be 'tengram/exam/1'"},
		{"an empty id", "/id", "", "'/id'", "minLength"},
		{"no person", "/patient", nil, "''", "'patient'"},
		{"revision nought", "/revision", 0, "'/revision'", "minimum"},
		{"an amendment without a reason", "/amends", map[string]any{"revision": 1, "by": map[string]any{}, "at": "2026-04-06T09:30:00Z"}, "'/amends'", "'reason'"},
		{"a day where a time is needed", "/at", "2026-04-06", "'/at'", "pattern"},
		{"a time without an offset", "/at", "2026-04-06T09:30:00", "'/at'", "pattern"},
		{"a misspelt field", "/rigth", map[string]any{}, "''", "'rigth'"},
		{"a misspelt field deep inside", "/right/feel/arteries/dorsalis", "present", "'/right/feel/arteries'", "'dorsalis'"},
		{"an answer that is no answer", "/ask/numbness", "maybe", "'/ask/numbness'", "one of"},
		{"an empty answer, which is left out instead", "/ask/numbness", "", "'/ask/numbness'", "one of"},
		{"a truth value in place of an answer", "/ask/numbness", true, "'/ask/numbness'", "one of"},
		{"a null, which is left out instead", "/ask/numbness", nil2, "'/ask/numbness'", "one of"},
		{"a monofilament site that is none", "/right/test/filament/toe2", "normal", "'/right/test/filament'", "'toe2'"},
		{"a monofilament felt as a number", "/right/test/filament/hallux", 1, "'/right/test/filament/hallux'", "one of"},
		{"a toe that nobody has", "/right/loss/toes/0", 6, "'/right/loss/toes/0'", "maximum"},
		{"a toe lost twice", "/right/loss/toes", []any{2, 2}, "'/right/loss/toes'", "equal"},
		{"an ulcer without a side", "/ulcers/0/side", nil, "'/ulcers/0'", "'side'"},
		{"an ulcer at no place", "/ulcers/0/place", "", "'/ulcers/0/place'", "one of"},
		{"a length in tenths of a millimetre", "/ulcers/0/size/length-mm", 12.5, "'/ulcers/0/size/length-mm'", "integer"},
		{"a length of nothing", "/ulcers/0/size/length-mm", 0, "'/ulcers/0/size/length-mm'", "minimum"},
		{"a body temperature in Fahrenheit", "/vitals/temperature-c", 98.6, "'/vitals/temperature-c'", "maximum"},
		{"an HbA1c in mmol/mol", "/ask/a1c-percent", 53, "'/ask/a1c-percent'", "maximum"},
		{"a pressure as a text", "/arms/right", "140", "'/arms/right'", "integer"},
		{"a scale of nought", "/ulcers/0/size/units-per-mm", 0, "'/ulcers/0/size/units-per-mm'", "exclusiveMinimum"},
		{"a teaching point that is a number", "/teach/points/0", 7, "'/teach/points/0'", "string"},
	} {
		t.Run(c.name, func(t *testing.T) {
			doc := small(t)
			if err := validate(s, write(t, doc)); err != nil {
				t.Fatalf("the document is wrong before it is broken: %v", err)
			}
			set(t, doc, c.path, c.value)
			err := validate(s, write(t, doc))
			if err == nil {
				t.Fatal("the broken document is valid")
			}
			if !complains(err, c.where, c.why) {
				t.Errorf("want a complaint about %s at %s, got: %#v", c.why, c.where, err)
			}
		})
	}
}

// nil2 puts a JSON null, where nil takes the member away.
var nil2 = json.RawMessage("null")

// complains reports whether one line of a validation error is at the place and
// says why.
func complains(err error, where, why string) bool {
	for line := range strings.Lines(fmt.Sprintf("%#v", err)) {
		if strings.Contains(line, "at "+where+" [") && strings.Contains(line, why) {
			return true
		}
	}
	return false
}

func small(t *testing.T) map[string]any {
	t.Helper()
	var doc map[string]any
	err := json.Unmarshal([]byte(`{
		"schema": "tengram/exam/1", "id": "x", "revision": 1, "patient": "p", "at": "2026-04-06T09:30:00-05:00",
		"protocol": "five-sites", "ask": {"numbness": "no", "a1c-percent": 7.1}, "arms": {"right": 140},
		"vitals": {"temperature-c": 36.8},
		"right": {"loss": {"level": "toes", "toes": [2]}, "feel": {"arteries": {"dorsalis-pedis": "present"}}, "test": {"filament": {"hallux": "normal"}}},
		"ulcers": [{"id": "u1", "side": "right", "place": "mth1", "size": {"length-mm": 9, "method": "traced", "units-per-mm": 4.5}}],
		"teach": {"points": ["shoes"]}
	}`), &doc)
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

// failer is what *testing.T and *rapid.T share.
type failer interface {
	Helper()
	Fatal(...any)
}

func write(t failer, doc any) []byte {
	t.Helper()
	text, err := json.Marshal(doc)
	if err != nil {
		t.Fatal(err)
	}
	return text
}
