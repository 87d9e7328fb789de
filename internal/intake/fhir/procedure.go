package fhir

import (
	"tengram/internal/kernel/record"
)

// procedure reads a Procedure. Why one was not done stands in Value.Absent and
// Value.Codes.
func (r *resource) procedure() {
	f := &r.fact
	var status string
	var why *concept
	for r.s.OpenObject(); r.s.Next(); {
		switch string(r.s.Key()) {
		case "status":
			status = r.word()
		case "statusReason":
			why = r.concept()
		case "code":
			r.concept().put(&f.Codes, &f.Text)
		case "category":
			f.Category = r.concept().word()
		case "bodySite":
			r.conceptList().put(&f.Sites, nil)
		case "performedDateTime":
			r.point(r.moment())
		case "performedPeriod":
			f.Start, f.End = r.period()
		case "performedAge":
			f.StartAge = r.age()
			f.EndAge = f.StartAge
		case "performedRange":
			f.StartAge = r.ageRange()
			f.EndAge = f.StartAge
		case "performer":
			f.By = r.performers()
		case "location":
			f.Site = r.label(r.reference())
		case "notDone", "notDoneReason", "notPerformed", "reasonNotPerformed":
			r.otherVersion("STU3 or before")
		case "occurrenceDateTime", "occurrencePeriod", "occurrenceString", "occurrenceAge", "occurrenceRange",
			"occurrenceTiming", "recorded", "reportedBoolean", "reportedReference", "reason":
			r.otherVersion("R5")
		default:
			r.common()
		}
	}
	if !r.whole() {
		return
	}
	r.status(status, procedureStatus)
	if f.Standing == record.NotDone {
		f.Value.Absent = "not-done"
		if w := why.word(); w != "" {
			f.Value.Absent = w
			f.Value.Codes = why.codes
		}
	}
	r.handOver(record.Procedure)
}

// performers returns the first performer.
func (r *resource) performers() (first string) {
	for r.s.OpenArray(); r.s.Next(); {
		for r.s.OpenObject(); r.s.Next(); {
			if string(r.s.Key()) == "actor" {
				if label := r.label(r.reference()); first == "" {
					first = label
				}
			}
		}
	}
	return first
}
