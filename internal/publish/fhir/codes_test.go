package fhir

import (
	"encoding/csv"
	"os"
	"strings"
	"testing"

	"tengram/internal/testdata"
)

// TestTheCodesAreThoseOfTheTable compares the codes with the code table: the
// same standing, none that is marked as not verified, and our own codes by the
// names that stand there.
func TestTheCodesAreThoseOfTheTable(t *testing.T) {
	f, err := os.Open(testdata.Reference(t, "codes", "exam-loinc-snomed.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	standing, never, local := map[string]string{}, map[string]bool{}, []string{}
	for _, r := range rows[1:] {
		element, system, code, use, verified := r[0], r[1], r[2], r[4], r[6]
		key := system + "|" + code
		if verified == "no" || element == "do-not-use" || use == "none" {
			never[key] = true
		}
		if system == "LOCAL" {
			local = append(local, code)
		}
		standing[key] = verified
	}
	if len(standing) < 100 || len(never) < 5 {
		t.Fatalf("%d codes, %d of them not to be used", len(standing), len(never))
	}
	for _, s := range Standards() {
		key := s.System + "|" + s.Code
		if never[key] {
			t.Errorf("%s must not be used", key)
		}
		if standing[key] != s.Verified {
			t.Errorf("%s is %q here and %q in the table", key, s.Verified, standing[key])
		}
	}
	own := map[string]bool{}
	for _, l := range Locals() {
		own[l.Code] = true
	}
	for _, code := range local {
		if !own[code] {
			t.Errorf("our own code %s of the table is not in the list", code)
		}
	}
}

func TestOwnCodesAreDistinctAndNamed(t *testing.T) {
	last := ""
	for _, l := range Locals() {
		if l.Code <= last {
			t.Errorf("%q stands twice or out of order", l.Code)
		}
		if l.Display == "" || l.Code != strings.ToLower(l.Code) || strings.Contains(l.Code, " ") {
			t.Errorf("%q, %q", l.Code, l.Display)
		}
		last = l.Code
	}
}
