package fhir

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"tengram/internal/clinic"
	"tengram/internal/kernel/record"
)

var update = flag.Bool("update", false, "write the golden files anew")

// scribe writes down what it is given, one line a thing.
type scribe struct {
	t    *testing.T
	text strings.Builder
}

func (s *scribe) write(kind string, v any) error {
	b, err := json.Marshal(v)
	if err != nil {
		s.t.Fatal(err)
	}
	fmt.Fprintf(&s.text, "%s %s\n", kind, b)
	return nil
}

func (s *scribe) Person(p record.Person) error { return s.write("person", p) }

func (s *scribe) Fact(person string, f record.Fact) error { return s.write("fact of "+person, f) }

func (s *scribe) Remove(key string) error { return s.write("remove", key) }

func (s *scribe) Aside(a clinic.Aside) error {
	a.File = filepath.Base(a.File)
	return s.write("aside", a)
}

// TestGolden shows what every kind of resource comes to. The inputs are made up;
// how each is to be read is said in measures-and-standards.md, sections 1.9 and
// 5.1 to 5.6 (FHIR R4 4.0.1), and in the comments of the readers.
func TestGolden(t *testing.T) {
	inputs, err := filepath.Glob("testdata/golden/*.*json")
	if err != nil || len(inputs) == 0 {
		t.Fatal("no inputs", err)
	}
	for _, input := range inputs {
		t.Run(filepath.Base(input), func(t *testing.T) {
			s := scribe{t: t}
			report, err := Open([]string{input}, Options{}).Read(context.Background(), &s)
			if err != nil {
				t.Fatal(err)
			}
			if err := s.write("report", report); err != nil {
				t.Fatal(err)
			}
			golden := strings.TrimSuffix(input, filepath.Ext(input)) + ".golden"
			if *update {
				if err := os.WriteFile(golden, []byte(s.text.String()), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(s.text.String(), "\n")); diff != "" {
				t.Error(diff)
			}
		})
	}
}
