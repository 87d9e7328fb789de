// Package record is one person's whole story as of a date: who they are, dated
// facts with their source, signed exams with their assessments, and referrals
// from opening to closing.
//
// One person is the unit of everything: a page, an export, a measure run.
package record

import (
	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/danger"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/plan"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

// Person is who the record is about.
type Person struct {
	// ID is the id in the source, a FHIR Patient id for FHIR imports.
	ID     string `json:"id"`
	Family string `json:"family,omitempty"`
	Given  string `json:"given,omitempty"`
	// Birth may be a year or a month only; zero is not known.
	Birth when.Moment `json:"birth,omitzero"`
	// Sex is the administrative sex as sent: "female", "male", "other",
	// "unknown", or empty.
	Sex       string    `json:"sex,omitempty"`
	Race      term.Code `json:"race,omitzero"`
	Ethnicity term.Code `json:"ethnicity,omitzero"`
	Language  string    `json:"language,omitempty"`
	Phone     string    `json:"phone,omitempty"`
	// Deceased is Yes when the source says so; DiedAt may be zero even then.
	Deceased known.Tri   `json:"deceased,omitzero"`
	DiedAt   when.Moment `json:"died-at,omitzero"`
	// Inactive: the source says the record is not in use.
	Inactive bool `json:"inactive,omitempty"`
	// ReplacedBy is the id of the record this one was merged into; Replaces are
	// the ids of records that were merged into this one.
	ReplacedBy string   `json:"replaced-by,omitempty"`
	Replaces   []string `json:"replaces,omitempty"`
	// Clinician and Site are for attribution.
	Clinician string `json:"clinician,omitempty"`
	Site      string `json:"site,omitempty"`
	// Identifiers such as a medical record number, "system|value".
	Identifiers []string `json:"identifiers,omitempty"`
	Origin      Origin   `json:"origin,omitzero"`
	// Version is no content: two states that differ in it alone are the same.
	Version Version `json:"-"`
}

// Origin is where a fact came from.
type Origin struct {
	// Source names the file, or "here" for what was entered in this program.
	Source string `json:"source,omitempty"`
	// Line is the line in the file, or the entry in a Bundle; 0 for neither.
	Line int `json:"line,omitempty"`
}

// Kind is the kind of a fact.
type Kind uint8

// The kinds of fact.
const (
	NoKind Kind = iota
	Condition
	Encounter
	Procedure
	Observation
	Order
	Coverage
	Medication
	Appointment
)

var kindNames = []string{"", "condition", "encounter", "procedure", "observation", "order", "coverage", "medication", "appointment"}

// String returns the JSON word of the kind.
func (k Kind) String() string {
	if int(k) < len(kindNames) {
		return kindNames[k]
	}
	return "invalid"
}

// MarshalText writes the JSON word of the kind.
func (k Kind) MarshalText() ([]byte, error) { return known.Word(kindNames, int(k), "fact kind") }

// UnmarshalText reads the JSON word of the kind.
func (k *Kind) UnmarshalText(b []byte) error {
	i, err := known.Index(kindNames, b, "fact kind")
	*k = Kind(i)
	return err
}

// Standing says whether a fact may be counted. A fact that may not is kept, so
// that it can be shown, and never read as the opposite.
type Standing uint8

// The standings of a fact.
const (
	// Stands: it may be counted.
	Stands Standing = iota
	// Void: entered in error, refuted, cancelled, revoked.
	Void
	// NotDone: an act that explicitly did not happen, or was refused.
	NotDone
	// Planned: it has not happened yet, or is under way.
	Planned
	// Preliminary: a result that is not final.
	Preliminary
)

var standingNames = []string{"", "void", "not-done", "planned", "preliminary"}

// IsZero reports that the fact stands; JSON leaves the field out.
func (s Standing) IsZero() bool { return s == Stands }

// MarshalText writes the JSON word of the standing.
func (s Standing) MarshalText() ([]byte, error) {
	return known.Word(standingNames, int(s), "fact standing")
}

// UnmarshalText reads the JSON word of the standing.
func (s *Standing) UnmarshalText(b []byte) error {
	i, err := known.Index(standingNames, b, "fact standing")
	*s = Standing(i)
	return err
}

// Fact is one dated thing that the record says.
type Fact struct {
	Kind Kind `json:"kind"`
	// Key is unique within the person and source, such as "Condition/17".
	Key string `json:"key"`
	// Codes are all codings of the fact.
	Codes []term.Code `json:"codes,omitempty"`
	// Text is the display text, never matched against anything.
	Text     string   `json:"text,omitempty"`
	Standing Standing `json:"standing,omitzero"`
	// Start is the onset, the start of the visit, the time of the act, the
	// authoring of an order. End is the abatement or the end of the visit. A
	// point in time has both alike.
	Start when.Moment `json:"start,omitzero"`
	End   when.Moment `json:"end,omitzero"`
	// StartOpen: the source tells of Start only that it was no later, EndOpen of
	// End only that it was no earlier.
	StartOpen bool `json:"start-open,omitempty"`
	EndOpen   bool `json:"end-open,omitempty"`
	// StartAge and EndAge stand where the source tells Start and End by the
	// person's age. PlaceAges turns them into days.
	StartAge Ages `json:"start-age,omitzero"`
	EndAge   Ages `json:"end-age,omitzero"`
	// Ended says whether it is over: No for an active condition or open care,
	// Yes for one that ended (End may still be zero: nobody said when),
	// Unknown where the source is silent.
	Ended known.Tri `json:"ended,omitzero"`
	// Category, such as "problem-list-item" or "encounter-diagnosis"; for an
	// encounter its class, such as "AMB" or "IMP".
	Category string `json:"category,omitempty"`
	// Intent of an order that is not plainly an "order": "filler-order",
	// "plan" and the like. Empty for a plain one.
	Intent string `json:"intent,omitempty"`
	// Sites are body sites and laterality.
	Sites []term.Code `json:"sites,omitempty"`
	// Disposition of an encounter's discharge.
	Disposition []term.Code `json:"disposition,omitempty"`
	Value       Value       `json:"value,omitzero"`
	// By is the clinician, Site the place, Encounter the visit's key.
	By        string `json:"by,omitempty"`
	Site      string `json:"site,omitempty"`
	Encounter string `json:"encounter,omitempty"`
	Origin    Origin `json:"origin,omitzero"`
	// Version is no content: two states that differ in it alone are the same.
	Version Version `json:"-"`
}

// Value is the result of an observation. Given is false for an absent value,
// whatever the reason.
type Value struct {
	Given bool `json:"given,omitempty"`
	// Number is the decimal as it came, with Comparator ("<", ">", ...) and
	// Unit (UCUM code where sent).
	Number     string      `json:"number,omitempty"`
	Comparator string      `json:"comparator,omitempty"`
	Unit       string      `json:"unit,omitempty"`
	Codes      []term.Code `json:"codes,omitempty"`
	Text       string      `json:"text,omitempty"`
	// Absent is why there is no value, such as "not-performed".
	Absent string `json:"absent,omitempty"`
}

// IsZero reports that the fact has no value part at all.
func (v Value) IsZero() bool {
	return !v.Given && v.Number == "" && v.Comparator == "" && v.Unit == "" && len(v.Codes) == 0 && v.Text == "" && v.Absent == ""
}

// SignedExam is one signed revision of an exam with what was concluded then.
type SignedExam struct {
	Exam       exam.Exam         `json:"exam"`
	Assessment assess.Assessment `json:"assessment"`
	SignedBy   exam.Person       `json:"signed-by"`
	SignedAt   when.Moment       `json:"signed-at"`
}

// Referral is one referral from opening to closing.
type Referral struct {
	ID string `json:"id"`
	// Action is the plan action that it carries out, such as
	// "refer-foot-specialist"; Exam is the exam that asked for it.
	Action  string         `json:"action"`
	Exam    string         `json:"exam,omitempty"`
	To      plan.Addressee `json:"to"`
	Says    string         `json:"says"`
	Urgency danger.Urgency `json:"urgency"`
	Opened  when.Day       `json:"opened"`
	Due     when.Day       `json:"due,omitzero"`
	// Steps are what happened since, oldest first.
	Steps []ReferralStep `json:"steps,omitempty"`
}

// ReferralStep is one thing that happened to a referral.
type ReferralStep struct {
	// What is "sent", "booked", "seen", "closed", "declined" or "note".
	What string      `json:"what"`
	On   when.Day    `json:"on"`
	By   exam.Person `json:"by,omitzero"`
	Note string      `json:"note,omitempty"`
}

// Closed reports whether the referral is over: closed with a result, or
// declined by the person.
func (r Referral) Closed() bool {
	for _, s := range r.Steps {
		if s.What == "closed" || s.What == "declined" {
			return true
		}
	}
	return false
}

// Record is one person's whole story. Facts are ordered by kind, then by start;
// exams hold the newest revision of each, ordered by time.
type Record struct {
	Person    Person       `json:"person"`
	Facts     []Fact       `json:"facts,omitempty"`
	Exams     []SignedExam `json:"exams,omitempty"`
	Referrals []Referral   `json:"referrals,omitempty"`
	// Version counts the changes of the record in its store, so that what was
	// derived from an older state is known to be old. 0 is outside a store.
	Version int64 `json:"-"`
}
