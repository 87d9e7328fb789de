package demo_test

import (
	"encoding/csv"
	"os"
	"strings"
	"testing"

	"tengram/internal/demo"
	"tengram/internal/kernel/term"
	"tengram/internal/testdata"
)

// TestTheChartsCodesAreRealOnes looks up each ICD-10-CM code of the families
// that the order files of 2024 to 2026 were read for. The bare category E11 is
// part of the mess.
func TestTheChartsCodesAreRealOnes(t *testing.T) {
	file, err := os.Open(testdata.Shared(t, "icd10cm", "icd10cm_foot.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	billable := map[string]bool{}
	for _, row := range rows[1:] {
		billable[row[1]] = row[2] == "1"
	}
	looked := map[string]bool{}
	for _, f := range demo.Generate(1, november, demo.Options{}).Facts {
		for _, c := range f.Fact.Codes {
			if c.System != term.ICD10CM || c.Code == "E11" || looked[c.Code] || !read(c.Code) {
				continue
			}
			looked[c.Code] = true
			if !billable[strings.ReplaceAll(c.Code, ".", "")] {
				t.Errorf("%s is no billable code of the order files", c.Code)
			}
		}
	}
	if len(looked) < 25 {
		t.Errorf("only %d codes looked up", len(looked))
	}
}

// read reports whether the table holds the family of a code.
func read(code string) bool {
	for _, family := range strings.Fields("E08 E09 E10 E11 E13 L97 Z89 Z86.31") {
		if strings.HasPrefix(code, family) {
			return true
		}
	}
	return false
}
