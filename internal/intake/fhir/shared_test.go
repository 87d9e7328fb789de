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
