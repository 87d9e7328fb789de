package demo_test

import (
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"tengram/internal/demo"
	"tengram/internal/kernel/exam"
)

var update = flag.Bool("update", false, "write the golden files anew")

const examplesFolder = "../../docs/examples"

func TestEachExampleStandsInTheDocumentationAsWritten(t *testing.T) {
	for _, e := range demo.Examples() {
		t.Run(e.Name, func(t *testing.T) {
			text, err := e.File()
			if err != nil {
				t.Fatal(err)
			}
			golden(t, e.Name+".json", text)
		})
	}
	golden(t, "README.md", demo.ExamplesIndex())
	if files, err := filepath.Glob(filepath.Join(examplesFolder, "*.json")); err != nil || len(files) != 20 {
		t.Errorf("%d documents in %s (%v), want the 20 that the code writes and no other", len(files), examplesFolder, err)
	}
}

func golden(t *testing.T, name string, text []byte) {
	t.Helper()
	path := filepath.Join(examplesFolder, name)
	if *update {
		if err := os.MkdirAll(examplesFolder, 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v: run this test with -update", err)
	}
	if diff := cmp.Diff(string(want), string(text)); diff != "" {
		t.Errorf("%s differs from the code (run with -update if the code is right):\n%s", name, diff)
	}
}

func TestEachExampleCanBeSigned(t *testing.T) {
	for _, e := range demo.Examples() {
		if _, problems := exam.Check(e.Draft); len(problems) > 0 {
			t.Errorf("%s: %v", e.Name, problems)
		}
	}
}

func TestEachExampleIsReadBackAsItWasWritten(t *testing.T) {
	for _, e := range demo.Examples() {
		text, err := e.File()
		if err != nil {
			t.Fatal(err)
		}
		var back exam.Draft
		if err := json.Unmarshal(text, &back); err != nil {
			t.Errorf("%s: %v", e.Name, err)
		}
		again, err := demo.Example{Name: e.Name, Draft: back}.File()
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(string(text), string(again)); diff != "" {
			t.Errorf("%s: %s", e.Name, diff)
		}
	}
}
