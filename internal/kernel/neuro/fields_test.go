package neuro_test

import (
	"encoding/json"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/neuro"
)

// TestWhatIsNamedIsAFieldOfTheExam: every fact of a reason, and everything that would
// settle an answer, is a path of
// the exam document, so that a page can lead from the one to the other.
func TestWhatIsNamedIsAFieldOfTheExam(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tests := drawn(t)
		for _, d := range neuro.Definitions() {
			got := d.Judge(tests)
			for _, r := range got.Because {
				field(t, r.Fact)
			}
			for _, path := range got.SettledBy {
				field(t, path)
			}
		}
	})
}

// field fails t unless the exam document has a field at the path.
func field(t *rapid.T, path string) {
	if path == "" {
		return // a rule, not a fact
	}
	document := "null"
	names := strings.Split(path, ".")
	for i := len(names) - 1; i >= 0; i-- {
		document = `{"` + names[i] + `":` + document + `}`
	}
	read := json.NewDecoder(strings.NewReader(document))
	read.DisallowUnknownFields()
	if err := read.Decode(new(exam.Draft)); err != nil {
		t.Fatalf("%s is no field of the exam: %v", path, err)
	}
}
