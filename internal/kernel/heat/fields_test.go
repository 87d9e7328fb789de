package heat_test

import (
	"encoding/json"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/heat"
)

// TestWhatIsNamedIsAFieldOfTheExam: every fact of a reason is a path of
// the exam document, so that a page can lead from the one to the other.
func TestWhatIsNamedIsAFieldOfTheExam(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for _, r := range heat.Judge(drawn(t)).Because {
			field(t, r.Fact)
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
