package clinic

import (
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
)

// Standing is the derived row of one person on the panel, rebuilt whenever the
// record changes. It holds days, not "late or not", so that it does not age.
type Standing struct {
	Person    string      `json:"person"`
	Family    string      `json:"family"`
	Given     string      `json:"given"`
	Birth     when.Moment `json:"birth,omitzero"`
	Phone     string      `json:"phone,omitempty"`
	Language  string      `json:"language,omitempty"`
	Clinician string      `json:"clinician,omitempty"`
	Site      string      `json:"site,omitempty"`
	// Diabetes says whether the person belongs to the diabetes panel.
	Diabetes known.Tri `json:"diabetes"`
	// Watched is false for people who are not called: dead, left, hospice.
	Watched bool `json:"watched"`
	// RiskLow and RiskHigh bound the category; -1 is never assessed.
	RiskLow  int    `json:"risk-low"`
	RiskHigh int    `json:"risk-high"`
	RiskWord string `json:"risk-word,omitempty"`
	// LastExam is the day of the last full exam, zero for never.
	LastExam when.Day `json:"last-exam,omitzero"`
	// Due is when the next exam is due, OverdueAfter the last day of the
	// interval; both are zero for a person who is not recalled.
	Due          when.Day `json:"due,omitzero"`
	OverdueAfter when.Day `json:"overdue-after,omitzero"`
	// Why is the reason in one sentence.
	Why string `json:"why"`
	// NextVisit is the next booked visit, where the record has one.
	NextVisit when.Day `json:"next-visit,omitzero"`
	// OpenUlcers and OpenReferrals count what is being followed.
	OpenUlcers    int `json:"open-ulcers,omitempty"`
	OpenReferrals int `json:"open-referrals,omitempty"`
	// UlcerDue is when the open ulcer that was seen longest ago is to be looked
	// at again.
	UlcerDue when.Day `json:"ulcer-due,omitzero"`
}

// PanelQuery selects rows of the panel.
type PanelQuery struct {
	// Text filters by name or id: every word of it must be part of a word of
	// family name, given name or id. Case and accents do not matter.
	Text string
	// DueBy, when set, keeps people who are recalled and whose exam is due on
	// or before that day.
	DueBy when.Day
	// Diabetes keeps the diabetes panel only.
	Diabetes bool
	// People, when set, keeps these ids only.
	People []string
	// Clinician and Site filter exactly.
	Clinician, Site string
	// VisitFrom and VisitTo, when set, keep people whose next booked visit lies
	// between them, both days included.
	VisitFrom, VisitTo when.Day
	// Order is "due" (the order in which to call, the default), "name" or
	// "ulcers".
	Order string
	// Today divides the order "due": those whose exam is due by then come
	// first, those who are not recalled at all come last. Panel sets it.
	Today when.Day
	// Limit is the number of rows, 0 for all of them.
	Limit, Offset int
}

// Derived is everything that is computed from one record, rebuilt as a whole
// when the record or the rules change. Nothing in it is the only place of a
// fact.
type Derived struct {
	Standing Standing
	// Place is where the person stands in the order of calling: smaller comes
	// first, equal places are ordered by id.
	Place  int64
	Ulcers []FollowedUlcer
	// Measures are the results that say something: of people in the initial
	// population, and of those whose record leaves a doubt.
	Measures []measure.Result
	// Until is the first day on which it must be made anew even if nothing was
	// written: a booked visit passes, a hospice order runs out.
	Until when.Day
	// Version is that of the record it was made from.
	Version int64
	// Rules names the rules it was made by.
	Rules string
}

// UlcerRow is one ulcer that is being followed, with its person's row.
type UlcerRow struct {
	Standing Standing
	FollowedUlcer
}

// FollowedUlcer is one ulcer through the exams that saw it, not yet healed in
// the last of them.
type FollowedUlcer struct {
	// Unseen: the record says that there is one, and no exam here has looked
	// at it. Everything else is then empty.
	Unseen bool `json:"unseen,omitempty"`
	// Last is the ulcer as last seen, On that day, in Exam.
	Last wound.Ulcer `json:"last"`
	On   when.Day    `json:"on"`
	Exam string      `json:"exam"`
	// First is the day of the first exam that saw it.
	First when.Day `json:"first"`
	// Result is what was concluded of it then.
	Result wound.Result `json:"result"`
	// Sizes are its areas over time, oldest first.
	Sizes []UlcerSize `json:"sizes"`
}

// UlcerSize is the area of an ulcer on one day, in square millimetres.
type UlcerSize struct {
	On      when.Day `json:"on"`
	Exam    string   `json:"exam"`
	AreaMM2 int      `json:"area-mm2"`
	// Method is how it was found; areas by different methods are not compared.
	Method wound.Method `json:"method,omitzero"`
}

// MeasurePerson is one person's result of a measure with their panel row.
type MeasurePerson struct {
	Standing Standing
	Result   measure.Result
}

// Counts counts the panel.
type Counts struct {
	// People are all records; Diabetes those on the diabetes panel who are
	// watched. Everything below counts within the latter.
	People, Diabetes int
	// Due are due today or before and Overdue past the end of their interval,
	// a part of Due; NeverExamined have no exam.
	Due, Overdue, NeverExamined int
	// ByRisk counts settled categories by rank; Unsettled lies between two.
	ByRisk    [4]int
	Unsettled int
	// OpenUlcers counts ulcers of everybody who is watched, OpenReferrals and
	// LateReferrals the referrals of everybody.
	OpenUlcers, OpenReferrals, LateReferrals int
	// Stale are people whose rows are waiting to be rebuilt.
	Stale int
}
