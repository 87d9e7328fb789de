package fhir

import (
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
)

// verdict is what a status says: whether the fact may be counted, and whether
// it is over.
type verdict struct {
	standing record.Standing
	ended    known.Tri
}

// status applies the word of a status element. One that is missing, "unknown"
// or not in the table leaves a fact that is kept and not counted.
func (r *resource) status(word string, table map[string]verdict) {
	v, ok := table[word]
	switch {
	case ok:
	case word == "":
		r.problem("there is no status, so that it does not count")
	case word != "unknown":
		r.problem("its status is none that FHIR R4 has for " + r.typ + ", so that it does not count")
	}
	if !ok {
		v = verdict{record.Preliminary, known.Unknown}
	}
	r.fact.Standing, r.fact.Ended = v.standing, v.ended
}

// The tables give each code of the FHIR R4 (4.0.1) value set that the element
// is bound to; which statuses count is as in the published FHIR versions of the
// quality measures (finished visits, completed procedures, final results,
// active or completed orders).

var encounterStatus = map[string]verdict{
	"planned":          {record.Planned, known.Unknown},
	"arrived":          {record.Planned, known.No},
	"triaged":          {record.Planned, known.No},
	"in-progress":      {record.Planned, known.No},
	"onleave":          {record.Planned, known.No},
	"finished":         {record.Stands, known.Yes},
	"cancelled":        {record.Void, known.Unknown},
	"entered-in-error": {record.Void, known.Unknown},
}

// A procedure under way is Planned and not ended; that tells open hospice care
// from a procedure that is still to come. A stopped one was not carried out to
// its end and is not counted as done.
var procedureStatus = map[string]verdict{
	"preparation":      {record.Planned, known.Unknown},
	"in-progress":      {record.Planned, known.No},
	"on-hold":          {record.Planned, known.Unknown},
	"not-done":         {record.NotDone, known.Unknown},
	"stopped":          {record.NotDone, known.Yes},
	"completed":        {record.Stands, known.Yes},
	"entered-in-error": {record.Void, known.Unknown},
}

var observationStatus = map[string]verdict{
	"registered":       {record.Preliminary, known.Unknown},
	"preliminary":      {record.Preliminary, known.Unknown},
	"final":            {record.Stands, known.Unknown},
	"amended":          {record.Stands, known.Unknown},
	"corrected":        {record.Stands, known.Unknown},
	"cancelled":        {record.Void, known.Unknown},
	"entered-in-error": {record.Void, known.Unknown},
}

var orderStatus = map[string]verdict{
	"draft":            {record.Planned, known.Unknown},
	"active":           {record.Stands, known.No},
	"on-hold":          {record.Planned, known.No},
	"revoked":          {record.Void, known.Unknown},
	"completed":        {record.Stands, known.Yes},
	"entered-in-error": {record.Void, known.Unknown},
}

// A prescription that was stopped was in force until then.
var medicationStatus = map[string]verdict{
	"draft":            {record.Planned, known.Unknown},
	"active":           {record.Stands, known.No},
	"on-hold":          {record.Stands, known.Unknown},
	"completed":        {record.Stands, known.Yes},
	"stopped":          {record.Stands, known.Yes},
	"cancelled":        {record.Void, known.Unknown},
	"entered-in-error": {record.Void, known.Unknown},
}

var coverageStatus = map[string]verdict{
	"active":           {record.Stands, known.Unknown},
	"draft":            {record.Planned, known.Unknown},
	"cancelled":        {record.Void, known.Unknown},
	"entered-in-error": {record.Void, known.Unknown},
}

// A booked appointment stands: it is the booking that is the fact.
var appointmentStatus = map[string]verdict{
	"proposed":         {record.Planned, known.Unknown},
	"pending":          {record.Planned, known.Unknown},
	"waitlist":         {record.Planned, known.Unknown},
	"booked":           {record.Stands, known.No},
	"arrived":          {record.Stands, known.No},
	"checked-in":       {record.Stands, known.No},
	"fulfilled":        {record.Stands, known.Yes},
	"noshow":           {record.NotDone, known.Yes},
	"cancelled":        {record.Void, known.Unknown},
	"entered-in-error": {record.Void, known.Unknown},
}

// ordered says which intents make a request an order: the code "order" and the
// codes that FHIR places below it. The others are ideas of somebody.
func ordered(intent string) bool {
	switch intent {
	case "order", "original-order", "reflex-order", "filler-order", "instance-order":
		return true
	}
	return false
}

// clinicalEnded reads Condition.clinicalStatus.
func clinicalEnded(c *concept) known.Tri {
	switch {
	case c == nil:
		return known.Unknown
	case c.has("active"), c.has("recurrence"), c.has("relapse"):
		return known.No
	case c.has("inactive"), c.has("remission"), c.has("resolved"):
		return known.Yes
	}
	return known.Unknown
}
