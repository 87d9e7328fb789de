package fhir

import (
	"tengram/internal/intake/fhir/scan"
	"tengram/internal/kernel/record"
)

// encounter reads an Encounter. Its codes are those of type, its category the
// class.
func (r *resource) encounter() {
	f := &r.fact
	var status, place string
	for r.s.OpenObject(); r.s.Next(); {
		switch string(r.s.Key()) {
		case "status":
			status = r.word()
			if status == "completed" || status == "discharged" || status == "discontinued" {
				r.otherVersion("R5")
			}
		case "class":
			if r.s.Peek() == scan.Array {
				r.otherVersion("R5")
				continue
			}
			if r.s.Peek() == scan.String {
				r.otherVersion("DSTU2")
				continue
			}
			code, _ := r.coding()
			f.Category = code.Value()
		case "type":
			r.conceptList().put(&f.Codes, &f.Text)
		case "period":
			f.Start, f.End = r.period()
		case "participant":
			f.By = r.participants()
		case "serviceProvider":
			f.Site = r.label(r.reference())
		case "location":
			place = r.places()
		case "hospitalization":
			for r.s.OpenObject(); r.s.Next(); {
				switch string(r.s.Key()) {
				case "dischargeDisposition":
					r.concept().put(&f.Disposition, nil)
				case "modifierExtension":
					r.modifier()
				}
			}
		case "actualPeriod", "admission", "plannedStartDate", "plannedEndDate", "subjectStatus", "virtualService":
			r.otherVersion("R5")
		default:
			r.common()
		}
	}
	if f.Site == "" {
		f.Site = place
	}
	if !r.whole() {
		return
	}
	r.status(status, encounterStatus)
	r.handOver(record.Encounter)
}

// participants returns the clinician: the primary performer (PPRF), or else who
// attended (ATND), or else the first.
func (r *resource) participants() string {
	by, best := "", 0
	for r.s.OpenArray(); r.s.Next(); {
		var who reference
		var role *concept
		for r.s.OpenObject(); r.s.Next(); {
			switch string(r.s.Key()) {
			case "individual":
				who = r.reference()
			case "actor":
				r.otherVersion("R5")
			case "type":
				role = r.conceptList()
			}
		}
		rank := 1
		switch {
		case role.has("PPRF"):
			rank = 3
		case role.has("ATND"):
			rank = 2
		}
		if label := r.label(who); label != "" && who.typ != "RelatedPerson" && rank > best {
			by, best = label, rank
		}
	}
	return by
}

// places returns the first location.
func (r *resource) places() (first string) {
	for r.s.OpenArray(); r.s.Next(); {
		for r.s.OpenObject(); r.s.Next(); {
			if string(r.s.Key()) == "location" {
				if label := r.label(r.reference()); first == "" {
					first = label
				}
			}
		}
	}
	return first
}
