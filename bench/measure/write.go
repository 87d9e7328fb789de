package main

import (
	"bufio"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
)

type object = map[string]any

// writeFHIR writes the charts of the first people to a folder as FHIR R4, a
// line a resource, for an engine that reads nothing else. Exams and referrals
// stay out: they are not facts of another system.
func writeFHIR(folder string, m *maker, people int) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	file, err := os.Create(filepath.Join(folder, "charts.ndjson"))
	if err != nil {
		return err
	}
	out := bufio.NewWriter(file)
	lines := json.NewEncoder(out)
	var r record.Record
	for i := range people {
		m.chart(i, &r)
		if err := lines.Encode(object{"resourceType": "Patient", "id": r.Person.ID, "gender": r.Person.Sex, "birthDate": r.Person.Birth.String()}); err != nil {
			return err
		}
		for j := range r.Facts {
			if err := lines.Encode(resource(&r.Facts[j], r.Person.ID)); err != nil {
				return err
			}
		}
	}
	if err := out.Flush(); err != nil {
		return err
	}
	return file.Close()
}

func resource(f *record.Fact, person string) object {
	typ, id, _ := strings.Cut(f.Key, "/")
	o := object{"resourceType": typ, "id": person + "-" + id, "subject": object{"reference": "Patient/" + person}}
	start, end := f.Start.String(), f.End.String()
	period := object{"start": start, "end": end}
	switch f.Kind {
	case record.Condition:
		o["code"], o["onsetDateTime"] = concept(f.Codes), start
		status := "active"
		if f.Ended == known.Yes {
			status, o["abatementDateTime"] = "resolved", end
		}
		o["clinicalStatus"] = object{"coding": []object{{"system": "http://terminology.hl7.org/CodeSystem/condition-clinical", "code": status}}}
	case record.Encounter:
		o["status"], o["class"], o["type"], o["period"] = "finished", object{"code": "AMB"}, []object{concept(f.Codes)}, period
	case record.Procedure:
		o["status"], o["code"], o["performedPeriod"] = "completed", concept(f.Codes), period
	case record.Observation:
		o["status"], o["code"], o["effectiveDateTime"] = "final", concept(f.Codes), start
		if f.Value.Number != "" {
			o["valueQuantity"] = object{"value": json.Number(f.Value.Number), "unit": f.Value.Unit, "code": f.Value.Unit, "system": "http://unitsofmeasure.org"}
		} else {
			o["valueString"] = f.Value.Text
		}
	case record.Medication:
		status := "active"
		if f.Ended == known.Yes {
			status = "completed"
		}
		o["status"], o["intent"], o["medicationCodeableConcept"], o["authoredOn"] = status, "order", concept(f.Codes), start
	}
	return o
}

func concept(codes []term.Code) object {
	var codings []object
	for _, c := range codes {
		codings = append(codings, object{"system": c.URI(), "code": c.Value()})
	}
	return object{"coding": codings}
}
