package measure_test

import (
	"testing"

	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
)

func TestQualifyingVisits(t *testing.T) {
	for _, c := range []struct {
		name string
		fact record.Fact
		want bool
	}{
		{"an office visit", entry(record.Encounter, "e", term.CPT, "99213", "2018-03-01", "2018-03-01"), true},
		{"an annual wellness visit", entry(record.Encounter, "e", term.HCPCS, "G0439", "2018-03-01", "2018-03-01"), true},
		{"a nurse's visit is not in the sets (reference, section 1.8)", entry(record.Encounter, "e", term.CPT, "99211", "2018-03-01", "2018-03-01"), false},
		{"the same code on a procedure is no visit", entry(record.Procedure, "e", term.CPT, "99213", "2018-03-01", "2018-03-01"), false},
	} {
		if got := measure.QualifyingVisit(&c.fact, nil); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
	planned := entry(record.Encounter, "e", term.CPT, "99213", "2018-03-01", "2018-03-01")
	planned.Standing = record.Planned
	if measure.QualifyingVisit(&planned, measure.CurrentSets()) {
		t.Error("a visit that is still to come did not take place")
	}
}
