// Package exam is the foot exam as a document: what was asked, seen, felt,
// tested and taught on one day, per foot and per place.
//
// A Draft is anything said so far; Check turns it into an Exam or says what is
// wrong with it. A signed Exam never changes: an amendment is a new revision
// that points at the old one. The JSON form of Draft is the published exam
// document (docs/schema/exam.schema.json).
package exam

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/heat"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
)

// SchemaID names the version of the document's form.
const SchemaID = "tengram/exam/1"

// Draft is one exam document, complete or not.
type Draft struct {
	Schema string `json:"schema"`
	// ID is the exam's own random UUID; it stays the same over revisions.
	ID string `json:"id"`
	// Revision counts from 1.
	Revision int `json:"revision"`
	// Amends is set on every revision after the first.
	Amends *Amendment `json:"amends,omitempty"`
	// Patient is the person's id in the record.
	Patient string `json:"patient"`
	// At is the time of the exam, an instant with offset.
	At when.Moment `json:"at,omitzero"`
	// Examiner is who did the exam.
	Examiner Person `json:"examiner,omitzero"`
	// Edition is the edition of the rules that judged the exam, set at signing.
	Edition string `json:"edition,omitempty"`
	// Protocol is the plan of monofilament sites that was followed.
	Protocol neuro.Protocol `json:"protocol,omitzero"`
	Ask      Ask            `json:"ask,omitzero"`
	Right    Foot           `json:"right,omitzero"`
	Left     Foot           `json:"left,omitzero"`
	// Arms are the arm pressures of the ankle-brachial index.
	Arms perfusion.Arms `json:"arms,omitzero"`
	// Vitals are the signs of a systemic response.
	Vitals wound.Systemic `json:"vitals,omitzero"`
	// TemperatureUnit is the unit of the skin temperatures of both feet.
	TemperatureUnit heat.Unit     `json:"temperature-unit,omitzero"`
	Ulcers          []wound.Ulcer `json:"ulcers,omitempty"`
	Footwear        Footwear      `json:"footwear,omitzero"`
	Teach           Teach         `json:"teach,omitzero"`
	// Override is the clinician's own category where it differs.
	Override *Override `json:"override,omitempty"`
	// Seconds is the time spent in each block.
	Seconds Seconds `json:"seconds,omitzero"`
	Note    string  `json:"note,omitempty"`
}

// Exam is a checked document. Only Check makes one.
type Exam struct{ Draft }

// Foot returns the foot of a side.
func (d *Draft) Foot(s foot.Side) *Foot {
	if s == foot.Left {
		return &d.Left
	}
	return &d.Right
}

// Amendment says which revision this one replaces, and why.
type Amendment struct {
	Revision int         `json:"revision"`
	Reason   string      `json:"reason"`
	By       Person      `json:"by"`
	At       when.Moment `json:"at"`
}

// Person is somebody of the practice.
type Person struct {
	ID   string `json:"id,omitempty"`
	Name string `json:"name,omitempty"`
	Role string `json:"role,omitempty"`
}

// IsZero reports that nobody was named.
func (p Person) IsZero() bool { return p == Person{} }

// Override is a clinician's own risk category, recorded beside the computed
// one and never in its place.
type Override struct {
	// Category is the category in the practice's risk system, such as "2".
	Category string `json:"category"`
	Reason   string `json:"reason"`
	By       Person `json:"by"`
}

// Smoking is the tobacco answer.
type Smoking uint8

// The tobacco answers.
const (
	SmokingNotAsked Smoking = iota
	NeverSmoked
	PastSmoker
	CurrentSmoker
)

var smokingNames = []string{"", "never", "past", "current"}

// IsZero reports that tobacco was not asked about.
func (s Smoking) IsZero() bool { return s == SmokingNotAsked }

// String returns the JSON word, or "not recorded".
func (s Smoking) String() string {
	if s == SmokingNotAsked {
		return "not recorded"
	}
	if int(s) < len(smokingNames) {
		return smokingNames[s]
	}
	return "invalid"
}

// MarshalText writes the JSON word.
func (s Smoking) MarshalText() ([]byte, error) { return known.Word(smokingNames, int(s), "smoking") }

// UnmarshalText reads the JSON word.
func (s *Smoking) UnmarshalText(b []byte) error {
	i, err := known.Index(smokingNames, b, "smoking")
	*s = Smoking(i)
	return err
}

// Current answers "does the person use tobacco now?".
func (s Smoking) Current() known.Tri {
	switch s {
	case CurrentSmoker:
		return known.Yes
	case NeverSmoked, PastSmoker:
		return known.No
	}
	return known.Unknown
}

// Ask is the first block: history and symptoms. Each is a question that was
// put to the person; what the record says stands in Background.
type Ask struct {
	// UlcerHistory: ever a foot ulcer that has healed.
	UlcerHistory known.Answer `json:"ulcer-history,omitzero"`
	// AmputationHistory: ever an amputation of a toe, foot or leg. The level
	// stands with each foot.
	AmputationHistory known.Answer `json:"amputation-history,omitzero"`
	CharcotHistory    known.Answer `json:"charcot-history,omitzero"`
	// Revascularised: angioplasty, stent or bypass of a leg.
	Revascularised known.Answer `json:"revascularised,omitzero"`
	PADDiagnosed   known.Answer `json:"pad-diagnosed,omitzero"`
	Retinopathy    known.Answer `json:"retinopathy,omitzero"`
	// LowVision: cannot see the own soles well enough.
	LowVision known.Answer `json:"low-vision,omitzero"`
	// KidneyDisease: any chronic kidney disease.
	KidneyDisease known.Answer `json:"kidney-disease,omitzero"`
	// KidneyFailure: end-stage kidney disease, dialysis or not.
	KidneyFailure known.Answer `json:"kidney-failure,omitzero"`
	Dialysis      known.Answer `json:"dialysis,omitzero"`
	Transplant    known.Answer `json:"kidney-transplant,omitzero"`
	Smoking       Smoking      `json:"smoking,omitzero"`
	// GlucoseAboveTarget: above the person's own target.
	GlucoseAboveTarget known.Answer `json:"glucose-above-target,omitzero"`
	// A1c is the last HbA1c in per cent (NGSP), in tenths.
	A1c known.Tenths `json:"a1c-percent,omitzero"`

	Numbness known.Answer `json:"numbness,omitzero"`
	// Pain: burning, tingling, shooting or electric pain.
	Pain known.Answer `json:"neuropathic-pain,omitzero"`
	// Claudication: leg pain or fatigue on walking that rest relieves.
	Claudication known.Answer `json:"claudication,omitzero"`
	// RestPain: foot pain at rest or at night, better with the leg down.
	RestPain known.Answer `json:"rest-pain,omitzero"`
	// RestPainNew: the rest pain is new.
	RestPainNew known.Answer `json:"rest-pain-new,omitzero"`

	// CannotReach: cannot reach the own toes.
	CannotReach known.Answer `json:"cannot-reach,omitzero"`
	// Helper: somebody at home can look at the feet.
	Helper known.Answer `json:"helper,omitzero"`
	// DailyCheck: looks at both feet every day.
	DailyCheck known.Answer `json:"daily-check,omitzero"`
	Barefoot   known.Answer `json:"walks-barefoot,omitzero"`
	// FootSpecialist: seen regularly by a foot-care specialist.
	FootSpecialist known.Answer `json:"foot-specialist,omitzero"`
	// VenousDisease: chronic venous insufficiency.
	VenousDisease known.Answer `json:"venous-disease,omitzero"`
	// OtherNeuropathy: another cause of neuropathy is known (B12, alcohol,
	// chemotherapy, spine).
	OtherNeuropathy known.Answer `json:"other-neuropathy-cause,omitzero"`
}

// IsZero reports that nothing was asked.
func (a Ask) IsZero() bool { return a == Ask{} }

// Footwear is the look at shoes and socks.
type Footwear struct {
	// Suitable: Normal when shape, fit and wear suit the foot and its risk.
	Suitable known.Finding `json:"suitable,omitzero"`
	// Sized: the feet were measured with a standard device.
	Sized known.Answer `json:"sized,omitzero"`
	// TooTight, WornOut and ForeignBody say what was wrong.
	TooTight    known.Answer `json:"too-tight,omitzero"`
	WornOut     known.Answer `json:"worn-out,omitzero"`
	ForeignBody known.Answer `json:"foreign-body,omitzero"`
	// Prescribed: wears prescribed footwear.
	Prescribed known.Answer `json:"prescribed,omitzero"`
}

// IsZero reports that footwear was not looked at.
func (f Footwear) IsZero() bool { return f == Footwear{} }

// Teach is the last block: what was taught and whether it came back.
type Teach struct {
	// Given: the teaching for this person's risk was given today.
	Given known.Answer `json:"given,omitzero"`
	// TaughtBack: the person said or showed it back right.
	TaughtBack known.Answer `json:"taught-back,omitzero"`
	Language   string       `json:"language,omitempty"`
	// Points are the ids of the points taught.
	Points []string `json:"points,omitempty"`
}

// IsZero reports that nothing was taught.
func (t Teach) IsZero() bool {
	return t.Given.IsZero() && t.TaughtBack.IsZero() && t.Language == "" && len(t.Points) == 0
}

// Seconds is the time spent in each block of the page.
type Seconds struct {
	Ask   int `json:"ask,omitempty"`
	Look  int `json:"look,omitempty"`
	Feel  int `json:"feel,omitempty"`
	Test  int `json:"test,omitempty"`
	Teach int `json:"teach,omitempty"`
}

// IsZero reports that no time was kept.
func (s Seconds) IsZero() bool { return s == Seconds{} }

// Total is the sum of the blocks, in seconds.
func (s Seconds) Total() int { return s.Ask + s.Look + s.Feel + s.Test + s.Teach }
