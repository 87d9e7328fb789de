package fhir

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"tengram/internal/testdata"
)

// byValidators runs the two validators in e2e/validate-fhir.mjs over documents
// and returns what they say against each.
func byValidators(t *testing.T, docs map[string][]byte) map[string][]string {
	t.Helper()
	dir := t.TempDir()
	args := []string{"e2e/validate-fhir.mjs"}
	for name, doc := range docs {
		file := filepath.Join(dir, name+".json")
		if err := os.WriteFile(file, doc, 0o600); err != nil {
			t.Fatal(err)
		}
		args = append(args, file)
	}
	cmd := exec.Command("node", args...)
	cmd.Dir = "../../.."
	var complaints bytes.Buffer
	cmd.Stderr = &complaints
	out, err := cmd.Output()
	said, n := map[string][]string{}, 0
	for lines := bufio.NewScanner(bytes.NewReader(out)); lines.Scan(); n++ {
		var one struct {
			File string   `json:"file"`
			Said []string `json:"said"`
		}
		if err := json.Unmarshal(lines.Bytes(), &one); err != nil {
			t.Fatal(err)
		}
		if len(one.Said) > 0 {
			said[strings.TrimSuffix(filepath.Base(one.File), ".json")] = one.Said
		}
	}
	if n != len(docs) || (err != nil) != (len(said) > 0) {
		t.Fatalf("%d of %d documents were validated (%v): %s\nscripts/npm.sh installs the validators", n, len(docs), err, complaints.String())
	}
	return said
}

// schemaR4 is the published JSON schema of FHIR R4.
func schemaR4(t *testing.T) *jsonschema.Schema {
	t.Helper()
	file := testdata.Shared(t, "fhir-r4-schema", "fhir.schema.json.gz")
	s, err := compileR4(file)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

var compiled = struct {
	sync.Once
	schema *jsonschema.Schema
	err    error
}{}

func compileR4(file string) (*jsonschema.Schema, error) {
	compiled.Do(func() {
		compiled.schema, compiled.err = func() (*jsonschema.Schema, error) {
			f, err := os.Open(file)
			if err != nil {
				return nil, err
			}
			defer f.Close()
			unzipped, err := gzip.NewReader(f)
			if err != nil {
				return nil, err
			}
			text, err := io.ReadAll(unzipped)
			if err != nil {
				return nil, err
			}
			doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
			if err != nil {
				return nil, err
			}
			c := jsonschema.NewCompiler()
			const name = "http://hl7.org/fhir/json-schema/4.0"
			if err := c.AddResource(name, doc); err != nil {
				return nil, err
			}
			return c.Compile(name)
		}()
	})
	return compiled.schema, compiled.err
}

func fitsSchema(s *jsonschema.Schema, doc []byte) error {
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(doc))
	if err != nil {
		return err
	}
	return s.Validate(v)
}

// TestTheValidatorsFindWhatIsDamaged shows that each of the three can fail, and
// on what: none of them is asked for more than it gives.
func TestTheValidatorsFindWhatIsDamaged(t *testing.T) {
	doc, err := ExamBundle(example(t, "01"), anyone("tg-example-01"), Options{Names: true})
	if err != nil {
		t.Fatal(err)
	}
	s := schemaR4(t)
	damages := []struct {
		name, from, to string
		rules, schema  bool
	}{
		{"right", "", "", false, false},
		{"unknown-status", `"status": "final"`, `"status": "done"`, true, true},
		{"no-status", `"status": "final",`, ``, true, false},
		{"extra", `"status": "final"`, `"status": "final", "colour": "red"`, true, true},
		{"month-13", `"effectiveDateTime": "2026-04`, `"effectiveDateTime": "2026-13`, false, true},
		{"no-code", `"code": {`, `"method": {`, true, true},
	}
	docs := map[string][]byte{}
	for _, d := range damages {
		damaged := strings.Replace(string(doc), d.from, d.to, 1)
		if d.from != "" && damaged == string(doc) {
			t.Fatalf("%s: nothing to damage", d.name)
		}
		docs[d.name] = []byte(damaged)
	}
	said := byValidators(t, docs)
	for _, d := range damages {
		text := strings.Join(said[d.name], "\n")
		if strings.Contains(text, "rules: ") != d.rules || strings.Contains(text, "schema: ") != d.schema {
			t.Errorf("%s: the validators say %q", d.name, text)
		}
		if err := fitsSchema(s, docs[d.name]); (err != nil) != d.schema {
			t.Errorf("%s: by the schema %v", d.name, err)
		}
	}
}

// valid fails for everything that any of the checks says against a document.
func valid(t *testing.T, docs map[string][]byte, outside map[string][]string) {
	t.Helper()
	s := schemaR4(t)
	for name, said := range byValidators(t, docs) {
		t.Errorf("%s: %s", name, strings.Join(said, "\n"))
	}
	for name, doc := range docs {
		if err := fitsSchema(s, doc); err != nil {
			t.Errorf("%s does not fit the schema: %.600s", name, fmt.Sprint(err))
		}
		for _, f := range faults(t, doc, outside[name]...) {
			t.Errorf("%s: %s", name, f)
		}
	}
}
