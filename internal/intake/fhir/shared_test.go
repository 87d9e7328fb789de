package fhir

import (
	"context"
	"testing"

	"github.com/google/go-cmp/cmp"

	"tengram/internal/clinic"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/testdata"
)

func read(t testing.TB, paths ...string) (*clinic.Gather, clinic.ReadReport) {
	t.Helper()
	var g clinic.Gather
	report, err := Open(paths, Options{}).Read(context.Background(), &g)
	if err != nil {
		t.Fatal(err)
	}
	return &g, report
}

// Counts: shared/data/fhir-synthea/README.md and patients.csv.
func TestTheSynthesisedPopulationIsTakenInWhole(t *testing.T) {
	g, report := read(t, testdata.Shared(t, "fhir-synthea", "Patient.ndjson.gz"),
		testdata.Shared(t, "fhir-synthea", "CarePlan.ndjson.gz"),
		testdata.Shared(t, "fhir-synthea", "Condition.ndjson.gz"),
		testdata.Shared(t, "fhir-synthea", "Encounter.ndjson.gz"),
		testdata.Shared(t, "fhir-synthea", "MedicationRequest.ndjson.gz"),
		testdata.Shared(t, "fhir-synthea", "Observation.ndjson.gz"),
		testdata.Shared(t, "fhir-synthea", "Procedure.ndjson.gz"))
	want := clinic.ReadReport{
		Files: 7, Lines: 16_357, Resources: 16_357,
		ByType: []clinic.TypeCount{
			{Type: "Condition", Count: 637}, {Type: "Encounter", Count: 1547},
			{Type: "MedicationRequest", Count: 327}, {Type: "Observation", Count: 12_513},
			{Type: "Patient", Count: 57}, {Type: "Procedure", Count: 1098},
		},
		NotUsed: []clinic.TypeCount{{Type: "CarePlan", Count: 178}},
	}
	if diff := cmp.Diff(want, report); diff != "" {
		t.Error(diff)
	}
	records := g.Records()
	dead, diabetes := 0, 0
	for _, r := range records {
		if r.Person.Deceased == known.Yes {
			dead++
		}
		for _, f := range r.Facts {
			if f.Kind == record.Condition && len(f.Codes) == 1 && f.Codes[0].Value() == "44054006" {
				diabetes++
				break
			}
		}
	}
	if len(records) != 57 || dead != 10 || diabetes != 37 || len(g.Orphans()) != 0 {
		t.Errorf("%d people, %d dead, %d with diabetes, %d orphans", len(records), dead, diabetes, len(g.Orphans()))
	}
}

// Counts: shared/data/fhir-bulk-sample/README.md. The four lines of log.ndjson
// are no resources; they are counted and named, and no failure.
func TestTheBulkExportIsTakenInWhole(t *testing.T) {
	g, report := read(t, testdata.Shared(t, "fhir-bulk-sample"))
	want := clinic.ReadReport{
		Files: 8, Lines: 5756 + 4, Resources: 5756,
		ByType: []clinic.TypeCount{
			{Type: "Condition", Count: 555}, {Type: "Encounter", Count: 1215},
			{Type: "MedicationRequest", Count: 1745}, {Type: "Patient", Count: 13},
			{Type: "Procedure", Count: 2056},
		},
		NotUsed: []clinic.TypeCount{
			{Type: "(export log)", Count: 4}, {Type: "AllergyIntolerance", Count: 11}, {Type: "Immunization", Count: 161},
		},
	}
	if diff := cmp.Diff(want, report); diff != "" {
		t.Error(diff)
	}
	hospice := map[string]int{}
	for _, r := range g.Records() {
		for _, f := range r.Facts {
			for _, c := range f.Codes {
				if v := c.Value(); v == "305336008" || v == "385763009" {
					hospice[v]++
				}
			}
		}
	}
	if n := len(g.Records()); n != 13 || hospice["305336008"] != 4 || hospice["385763009"] != 81 {
		t.Errorf("%d people, hospice %v", n, hospice)
	}
}

// The two Bundles are the source from which the lines of the same two people
// were made, with references rewritten and some types left out (README.md), so
// they come to the same facts. Only the Bundles hold the names of clinicians
// and organisations.
func TestABundleAndItsLinesComeToTheSame(t *testing.T) {
	lines, _ := read(t, testdata.Shared(t, "fhir-synthea", "Patient.ndjson.gz"),
		testdata.Shared(t, "fhir-synthea", "Condition.ndjson.gz"), testdata.Shared(t, "fhir-synthea", "Encounter.ndjson.gz"),
		testdata.Shared(t, "fhir-synthea", "MedicationRequest.ndjson.gz"), testdata.Shared(t, "fhir-synthea", "Observation.ndjson.gz"),
		testdata.Shared(t, "fhir-synthea", "Procedure.ndjson.gz"))
	byID := map[string]record.Record{}
	for _, r := range bare(lines.Records()) {
		byID[r.Person.ID] = r
	}
	for _, id := range []string{"bae2bf00-eca1-47fb-bb43-272f8de1449c", "ffd502c9-23e1-4f8f-bc8a-87373acad280"} {
		g, report := read(t, testdata.Shared(t, "fhir-synthea", "bundle_"+id+".json.gz"))
		if report.Asides != 0 || report.Orphans != 0 {
			t.Errorf("%s: %+v", id, report)
		}
		records := bare(g.Records())
		if len(records) != 1 {
			t.Fatalf("%s: %d people", id, len(records))
		}
		want := byID[id]
		for _, r := range []record.Record{records[0], want} {
			for i := range r.Facts {
				r.Facts[i].By, r.Facts[i].Site = "", ""
			}
		}
		if diff := cmp.Diff(want, records[0], moments); diff != "" {
			t.Errorf("%s: %s", id, diff)
		}
	}
}
