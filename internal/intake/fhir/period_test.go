package fhir

import "testing"

// An onset or end told by a period with one end is taken to be that end; where
// the missing end could have been on that side of it, the fact says so.
func TestAConditionSaysWhichSideOfItsDatesIsOpen(t *testing.T) {
	for _, c := range []struct {
		says, members string
		start, end    string
		startOpen     bool
		endOpen       bool
	}{
		{"an onset by its end alone", `"onsetPeriod":{"end":"2018-03"}`, "2018-03", "", true, false},
		{"an onset by its start alone", `"onsetPeriod":{"start":"2018-03"}`, "2018-03", "", false, false},
		{"an onset by both", `"onsetPeriod":{"start":"2018-03","end":"2018-04"}`, "2018-03/2018-04", "", false, false},
		{"an onset without either", `"onsetPeriod":{}`, "", "", false, false},
		{"an end by its start alone", `"abatementPeriod":{"start":"2018-03"}`, "", "2018-03", false, true},
		{"an end by its end alone", `"abatementPeriod":{"end":"2018-03"}`, "", "2018-03", false, false},
		{"an end by both", `"abatementPeriod":{"start":"2018-03","end":"2018-04"}`, "", "2018-03/2018-04", false, false},
		{"two days", `"onsetDateTime":"2018-03-01","abatementDateTime":"2018-03-02"`, "2018-03-01", "2018-03-02", false, false},
	} {
		t.Run(c.says, func(t *testing.T) {
			out := decodeLine(`{"resourceType":"Condition","id":"1","subject":{"reference":"Patient/p"},` + c.members + `}`)
			f := out.facts[0].Fact
			if f.Start.String() != c.start || f.End.String() != c.end || f.StartOpen != c.startOpen || f.EndOpen != c.endOpen {
				t.Errorf("from %s (open %v) to %s (open %v)", f.Start, f.StartOpen, f.End, f.EndOpen)
			}
		})
	}
}
