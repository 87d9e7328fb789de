// Package plan turns an assessment into what to do: tests, referrals with a
// deadline and an addressee, footwear, teaching, follow-up, and the recall
// date.
//
// A plan is a pure function of the assessment and a date. It proposes; a
// licensed clinician decides, under local protocols.
package plan

import (
	"tengram/internal/kernel/danger"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
)

// Kind groups the actions.
type Kind string

// The kinds of action.
const (
	Refer    Kind = "refer"
	Test     Kind = "test"
	Examine  Kind = "examine"
	Protect  Kind = "protect"
	Footwear Kind = "footwear"
	Educate  Kind = "educate"
	Health   Kind = "health"
	Record   Kind = "record"
)

// Addressee is the kind of service that a referral or test goes to.
type Addressee string

// The kinds of addressee. The practice maps them to its own services.
const (
	EmergencyCare  Addressee = "emergency-care"
	FootTeam       Addressee = "multidisciplinary-foot-team"
	FootSpecialist Addressee = "foot-specialist"
	Vascular       Addressee = "vascular-laboratory-or-surgeon"
	VascularLab    Addressee = "vascular-laboratory"
	Orthotics      Addressee = "footwear-and-orthotics"
	Practice       Addressee = "this-practice"
	Kidney         Addressee = "kidney-team"
	StopSmoking    Addressee = "stop-smoking-service"
)

// Action is one thing to do.
type Action struct {
	// ID is stable and says what and for whom, such as "refer-foot-specialist".
	// A plan never holds the same ID twice.
	ID   string `json:"id"`
	Kind Kind   `json:"kind"`
	// Says is the action in words, a verb first.
	Says    string         `json:"says"`
	To      Addressee      `json:"to,omitempty"`
	Urgency danger.Urgency `json:"urgency"`
	// Due is the last day by which it is to be done.
	Due     when.Day       `json:"due,omitzero"`
	Because source.Because `json:"because"`
}

// Recall is when the person's feet are examined again.
type Recall struct {
	// MinMonths and MaxMonths are the source's interval.
	MinMonths int `json:"min-months"`
	MaxMonths int `json:"max-months"`
	// ChosenMonths is the practice's choice inside it.
	ChosenMonths int `json:"chosen-months"`
	// From is the first day of the interval, Due the day of the practice's
	// choice, Overdue the last day of the interval: after it, the exam is late.
	From    when.Day `json:"from,omitzero"`
	Due     when.Day `json:"due,omitzero"`
	Overdue when.Day `json:"overdue-after,omitzero"`
	// EveryVisit: shoes and socks off at every visit, besides the full exam.
	EveryVisit bool           `json:"every-visit"`
	Because    source.Because `json:"because"`
}

// Plan is everything to do for one person after one exam.
type Plan struct {
	// Edition is the plan edition, such as "us-2024" or "uk-ng19".
	Edition string `json:"edition"`
	// Actions are ordered by urgency, then by ID.
	Actions []Action `json:"actions"`
	Recall  Recall   `json:"recall"`
}
