package fhir

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

var moments = cmpopts.EquateComparable(when.Moment{})

// The files lie in the order of their names, so that visits come before the
// people and places they point at.
func TestVisitsBearTheNamesOfAnExport(t *testing.T) {
	folder := t.TempDir()
	for name, content := range map[string]string{
		"Encounter.000.ndjson": `{"resourceType":"Encounter","id":"1","status":"finished","subject":{"reference":"Patient/ann"},"participant":[{"individual":{"reference":"Practitioner/d","display":"as the visit calls her"}}],"serviceProvider":{"reference":"https://example.org/Organization/o"}}
{"resourceType":"Encounter","id":"2","status":"finished","subject":{"reference":"Patient/ann"},"participant":[{"individual":{"reference":"Practitioner?identifier=http://hl7.org/fhir/sid/us-npi|9"}}],"location":[{"location":{"reference":"Location/l"}}]}
{"resourceType":"Encounter","id":"3","status":"finished","subject":{"reference":"Patient/ann"},"participant":[{"individual":{"reference":"PractitionerRole/r"}}],"location":[{"location":{"reference":"Location/broken"}}]}
{"resourceType":"Encounter","id":"4","status":"finished","subject":{"reference":"Patient/ann"},"participant":[{"individual":{"reference":"Practitioner/x","display":"Dr. X"}}]}`,
		"Location.000.ndjson":         `{"resourceType":"Location","id":"l","name":"Room 4"}` + "\n" + `{"resourceType":"Location","id":"broken","name":"Room 5"`,
		"Organization.000.ndjson":     `{"resourceType":"Organization","id":"o","name":"Hill Clinic"}`,
		"Patient.000.ndjson":          ann,
		"Practitioner.000.ndjson":     `{"resourceType":"Practitioner","id":"d","identifier":[{"system":"http://hl7.org/fhir/sid/us-npi","value":"9"}],"name":[{"family":"Able","given":["Ada"]}]}`,
		"PractitionerRole.000.ndjson": `{"resourceType":"PractitionerRole","id":"r","practitioner":{"reference":"Practitioner/d"}}`,
	} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(content), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	g, report := read(t, folder)
	if report.Asides != 1 {
		t.Errorf("the broken line is named once: %+v", g.Asides)
	}
	records := g.Records()
	if len(records) != 1 {
		t.Fatal(records)
	}
	var got []record.Fact
	for _, f := range records[0].Facts {
		got = append(got, record.Fact{Key: f.Key, By: f.By, Site: f.Site})
	}
	want := []record.Fact{
		{Key: "Encounter/1", By: "Ada Able", Site: "Hill Clinic"},
		{Key: "Encounter/2", By: "Ada Able", Site: "Room 4"},
		{Key: "Encounter/3", By: "Ada Able", Site: "Location/broken"},
		{Key: "Encounter/4", By: "Dr. X"},
	}
	if diff := cmp.Diff(want, got, moments); diff != "" {
		t.Error(diff)
	}
}
