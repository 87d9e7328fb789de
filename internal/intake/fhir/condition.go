package fhir

import (
	"tengram/internal/intake/fhir/scan"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// condition reads a Condition.
//
// Onset and abatement may be a day, an age, a period or range in which it lies,
// or free text. Free text gives no date. An abatement says that the condition
// has ended where clinicalStatus is silent; where the two contradict each
// other, clinicalStatus stands and the contradiction is named.
func (r *resource) condition() {
	f := &r.fact
	var clinical, verification, category *concept
	abated := false
	for r.s.OpenObject(); r.s.Next(); {
		switch string(r.s.Key()) {
		case "code":
			r.concept().put(&f.Codes, &f.Text)
		case "clinicalStatus":
			if r.s.Peek() == scan.String {
				r.otherVersion("STU3 or before")
				continue
			}
			clinical = r.concept()
		case "verificationStatus":
			if r.s.Peek() == scan.String {
				r.otherVersion("STU3 or before")
				continue
			}
			verification = r.concept()
		case "category":
			category = r.conceptList()
		case "bodySite":
			r.conceptList().put(&f.Sites, nil)
		case "onsetDateTime":
			f.Start = r.moment()
		case "onsetPeriod":
			var low when.Moment
			f.Start, low, _ = r.sometime()
			f.StartOpen = low.IsZero() && !f.Start.IsZero()
		case "onsetAge":
			f.StartAge = r.age()
		case "onsetRange":
			f.StartAge = r.ageRange()
		case "abatementDateTime":
			abated = true
			f.End = r.moment()
		case "abatementPeriod":
			abated = true
			var high when.Moment
			f.End, _, high = r.sometime()
			f.EndOpen = high.IsZero() && !f.End.IsZero()
		case "abatementAge":
			abated = true
			f.EndAge = r.age()
		case "abatementRange":
			abated = true
			f.EndAge = r.ageRange()
		case "abatementString":
			abated = r.s.Text() != nil
		case "recorder":
			if ref := r.reference(); f.By == "" {
				f.By = r.label(ref)
			}
		case "asserter":
			if ref := r.reference(); ref.typ == "Practitioner" || ref.typ == "PractitionerRole" {
				f.By = r.label(ref)
			}
		case "abatementBoolean":
			r.otherVersion("STU3 or before")
		case "participant":
			r.otherVersion("R5")
		default:
			r.common()
		}
	}
	f.Category = conditionCategory(category)
	if verification.has("entered-in-error") || verification.has("refuted") {
		f.Standing = record.Void
	}
	f.Ended = clinicalEnded(clinical)
	if abated && f.Ended == known.Unknown {
		f.Ended = known.Yes
	}
	if !r.whole() {
		return
	}
	if abated && f.Ended == known.No {
		r.problem("it is active and has an abatement, which contradict each other")
	}
	r.handOver(record.Condition)
}

// conditionCategory returns one of the categories that matter, the problem list
// before the diagnosis of a visit, or else the first.
func conditionCategory(c *concept) string {
	for _, word := range []string{"problem-list-item", "encounter-diagnosis", "health-concern"} {
		if c.has(word) {
			return word
		}
	}
	return c.word()
}

// point sets start and end of something that happened at one point of time.
func (r *resource) point(m when.Moment) { r.fact.Start, r.fact.End = m, m }
