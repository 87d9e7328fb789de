package fhir

import (
	"tengram/internal/intake/fhir/scan"
	"tengram/internal/kernel/record"
)

// request is what the two kinds of order have in common.
type request struct {
	status, intent string
	not            bool
}

// apply sets the standing by intent and "do not perform".
func (q request) apply(f *record.Fact) {
	if q.intent != "order" {
		f.Intent = q.intent
	}
	switch {
	case f.Standing == record.Void:
	case q.not:
		f.Standing = record.NotDone
	case !ordered(q.intent) && f.Standing == record.Stands:
		f.Standing = record.Planned
	}
}

// serviceRequest reads a ServiceRequest. Its time is when it was authored.
func (r *resource) serviceRequest() {
	f := &r.fact
	var q request
	for r.s.OpenObject(); r.s.Next(); {
		switch string(r.s.Key()) {
		case "status":
			q.status = r.word()
		case "intent":
			q.intent = r.word()
		case "doNotPerform":
			q.not, _ = r.s.Bool()
		case "code":
			if r.isCodeableReference() {
				r.otherVersion("R5")
				continue
			}
			r.concept().put(&f.Codes, &f.Text)
		case "category":
			f.Category = r.conceptList().word()
		case "bodySite":
			r.conceptList().put(&f.Sites, nil)
		case "authoredOn":
			r.point(r.moment())
		case "requester":
			f.By = r.label(r.reference())
		case "reason", "bodyStructure":
			r.otherVersion("R5")
		default:
			r.common()
		}
	}
	if !r.whole() {
		return
	}
	r.status(q.status, orderStatus)
	q.apply(f)
	r.handOver(record.Order)
}

// isCodeableReference looks whether a CodeableReference of FHIR R5 stands where
// R4 has a CodeableConcept.
func (r *resource) isCodeableReference() (is bool) {
	if r.s.Peek() != scan.Object {
		return false
	}
	mark := r.s.Mark()
	for r.s.OpenObject(); r.s.Next(); {
		key := string(r.s.Key())
		is = is || key == "concept" || key == "reference"
	}
	r.s.Rewind(mark)
	return is
}

// medicationRequest reads a MedicationRequest. Its start is when it was
// authored; it has no end.
func (r *resource) medicationRequest() {
	f := &r.fact
	var q request
	var drug reference
	for r.s.OpenObject(); r.s.Next(); {
		switch string(r.s.Key()) {
		case "status":
			q.status = r.word()
		case "intent":
			q.intent = r.word()
		case "doNotPerform":
			q.not, _ = r.s.Bool()
		case "medicationCodeableConcept":
			r.concept().put(&f.Codes, &f.Text)
		case "medicationReference":
			drug = r.reference()
		case "category":
			f.Category = r.conceptList().word()
		case "authoredOn":
			f.Start = r.moment()
		case "requester":
			f.By = r.label(r.reference())
		case "medication":
			r.otherVersion("R5")
		default:
			r.common()
		}
	}
	if !r.whole() {
		return
	}
	if drug.given && len(f.Codes) == 0 {
		r.medication(drug).put(&f.Codes, &f.Text)
		if f.Text == "" {
			f.Text = drug.display
		}
	}
	r.status(q.status, medicationStatus)
	q.apply(f)
	r.handOver(record.Medication)
}

// medication finds the code of a Medication that is contained, or in the same
// Bundle; nil where it is neither.
func (r *resource) medication(ref reference) (code *concept) {
	if ref.contained == "" {
		if r.bundle == nil {
			return nil
		}
		return r.bundle.medications[ref.key]
	}
	r.eachContained(func(typ, id string) {
		if typ != "Medication" || id != ref.contained || r.s.Peek() != scan.Object {
			return
		}
		for r.s.OpenObject(); r.s.Next(); {
			if string(r.s.Key()) == "code" {
				code = r.concept()
			}
		}
	})
	return code
}

// coverage reads a Coverage. Its codes are the type, which tells the payer.
func (r *resource) coverage() {
	f := &r.fact
	var status string
	var payer reference
	for r.s.OpenObject(); r.s.Next(); {
		switch string(r.s.Key()) {
		case "status":
			status = r.word()
		case "type":
			r.concept().put(&f.Codes, &f.Text)
		case "period":
			f.Start, f.End = r.period()
		case "payor":
			for r.s.OpenArray(); r.s.Next(); {
				if ref := r.reference(); !payer.given {
					payer = ref
				}
			}
		case "kind", "insurer", "paymentBy":
			r.otherVersion("R5")
		default:
			r.common()
		}
	}
	if !r.whole() {
		return
	}
	if f.Text == "" {
		f.Text = payer.display
	}
	r.status(status, coverageStatus)
	r.handOver(record.Coverage)
}

// appointment reads an Appointment, a fact of every patient who takes part.
func (r *resource) appointment() {
	f := &r.fact
	var status string
	var service, kind *concept
	var patients []reference
	for r.s.OpenObject(); r.s.Next(); {
		switch string(r.s.Key()) {
		case "status":
			status = r.word()
		case "serviceType":
			service = r.conceptList()
		case "appointmentType":
			kind = r.concept()
		case "description":
			f.Text = string(r.s.Text())
		case "start":
			f.Start = r.moment()
		case "end":
			f.End = r.moment()
		case "participant":
			patients, f.By, f.Site = r.attendees()
		case "class", "reason", "virtualService", "previousAppointment":
			r.otherVersion("R5")
		default:
			r.common()
		}
	}
	if !r.whole() {
		return
	}
	for _, c := range []*concept{service, kind} {
		if c == nil {
			continue
		}
		f.Codes = append(f.Codes[:len(f.Codes):len(f.Codes)], c.codes...)
		if f.Text == "" {
			f.Text = c.text
		}
	}
	r.status(status, appointmentStatus)
	r.handTo(record.Appointment, patients)
}

// attendees returns the patients of an appointment, the first clinician and the
// first place.
func (r *resource) attendees() (patients []reference, by, site string) {
	for r.s.OpenArray(); r.s.Next(); {
		var actor reference
		for r.s.OpenObject(); r.s.Next(); {
			switch string(r.s.Key()) {
			case "actor":
				actor = r.reference()
			case "modifierExtension":
				r.modifier()
			}
		}
		switch actor.typ {
		case "Patient":
			patients = append(patients, actor)
		case "Practitioner", "PractitionerRole":
			if by == "" {
				by = r.label(actor)
			}
		case "Location":
			if site == "" {
				site = r.label(actor)
			}
		}
	}
	return patients, by, site
}
