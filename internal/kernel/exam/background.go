package exam

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/wound"
)

// Item is one thing that the record says of a person. The record can say yes;
// its silence is not a no, so Is is Yes or Unknown.
type Item struct {
	Is known.Tri `json:"is"`
	// From is what it rests on, in words and without naming the person:
	// "Z86.31, 2019-05-02".
	From string `json:"from,omitempty"`
}

// Background is what the record already says, beside what was asked today. A
// yes from either side stands.
type Background struct {
	// UlcerHistory: an ulcer was recorded before the day of the exam, healed or
	// not.
	UlcerHistory Item `json:"ulcer-history,omitzero"`
	// OpenUlcer: an ulcer is recorded that nobody has recorded as healed.
	OpenUlcer      Item `json:"open-ulcer,omitzero"`
	Amputation     Item `json:"amputation,omitzero"`
	CharcotHistory Item `json:"charcot-history,omitzero"`
	Revascularised Item `json:"revascularised,omitzero"`
	PAD            Item `json:"pad,omitzero"`
	// Neuropathy is a diagnosis, not a test result.
	Neuropathy  Item `json:"neuropathy,omitzero"`
	Retinopathy Item `json:"retinopathy,omitzero"`
	LowVision   Item `json:"low-vision,omitzero"`
	Deformity   Item `json:"deformity,omitzero"`
	// KidneyFailure: stage 5 or end-stage disease, or dialysis. Dialysis and
	// Transplant are facts of their own: the risk systems read them differently.
	KidneyFailure Item `json:"kidney-failure,omitzero"`
	Dialysis      Item `json:"dialysis,omitzero"`
	Transplant    Item `json:"kidney-transplant,omitzero"`
	EGFRBelow30   Item `json:"egfr-below-30,omitzero"`
	Smoker        Item `json:"smoker,omitzero"`
	// Loss is the amputation the record gives for each side; what a later exam
	// saw stands before what a code says.
	Loss [2]foot.Loss `json:"loss,omitzero"`
	// Ulcers are the ulcers of earlier exams, oldest first, for the healing
	// rules.
	Ulcers []PastUlcer `json:"ulcers,omitempty"`
	// Age in whole years on the day of the exam, as far as it is surely reached
	// where the birth is known to the month or year; 0 is unknown.
	Age int `json:"age,omitempty"`
	// DiabetesYears is the duration in whole years since the record first says
	// diabetes, so at least that long; Known is false when the record does not
	// say.
	DiabetesYears known.Reading `json:"diabetes-years,omitzero"`
}

// PastUlcer is an ulcer as an earlier exam recorded it.
type PastUlcer struct {
	On    string      `json:"on"` // YYYY-MM-DD
	Ulcer wound.Ulcer `json:"ulcer"`
}
