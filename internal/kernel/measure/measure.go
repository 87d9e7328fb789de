// Package measure holds quality measures, each declared in a file of its own:
// who is in it, who is left out of it, who meets it, with the reasons and what
// is missing, for one person and one period.
//
// A measure is a pure function of one record, a period, the practice's calendar
// and an edition of the value sets. Tallies add up in any order and grouping.
//
// CMS123 is a measure of NCQA, used under the notice that goes with it. CPT
// numbers are owned by the American Medical Association and stand here for
// matching only, without descriptors; SNOMED CT is owned by SNOMED
// International, LOINC by the Regenstrief Institute.
package measure

import (
	"fmt"
	"strings"
	"time"

	"tengram/internal/kernel/record"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
)

// Period is the measurement period, both days included.
type Period struct {
	First when.Day `json:"first"`
	Last  when.Day `json:"last"`
}

// Year is the period of one calendar year.
func Year(y int) Period {
	return Period{when.Date(y, time.January, 1), when.Date(y, time.December, 31)}
}

// String returns "2026-01-01 to 2026-12-31".
func (p Period) String() string { return p.First.String() + " to " + p.Last.String() }

// Context is what a measure is evaluated in.
type Context struct {
	Period Period
	// Zone is the practice's calendar, in which instants become days; nil means
	// the offset in which each was written.
	Zone *time.Location
	// Sets is the edition of the value sets; nil is Sets2018.
	Sets *Sets
	// Explain asks for Because and Gaps. Without it an evaluation is several
	// times faster.
	Explain bool
}

// Measure is one quality measure.
type Measure struct {
	// ID is stable, such as "foot-exam".
	ID    string
	Title string
	// Text says in a few sentences whom it counts and what it asks for.
	Text    string
	Version string
	Source  *source.Source
	// Standing in programmes: whether anybody asks for it, and until when.
	Programme string
	// LowerIsBetter is set for an inverse measure.
	LowerIsBetter bool
	// Published holds the ids of a published electronic measure.
	Published Published
	Evaluate  func(*record.Record, Context) Result
	// Cases are small worked examples, which the tests run.
	Cases func() []Case
}

// Published are the ids that a report of the measure carries; empty for
// measures of our own.
type Published struct {
	ECQM, MIPS, NQF string
	// VersionSpecific and VersionNeutral identify the measure, the others its
	// populations.
	VersionSpecific, VersionNeutral                                           string
	InitialPopulation, Denominator, DenominatorExclusion, NumeratorPopulation string
}

// Result is what one measure says of one person. Denominator includes the
// excluded; Numerator is never true for them.
type Result struct {
	Measure string `json:"measure"`
	Period  Period `json:"period"`
	Patient string `json:"patient"`

	InitialPopulation    bool `json:"initial-population"`
	Denominator          bool `json:"denominator"`
	DenominatorExclusion bool `json:"denominator-exclusion"`
	// Exception: in the denominator, not met, and left out of the rate for a
	// reason that the measure accepts.
	Exception bool `json:"exception,omitempty"`
	Numerator bool `json:"numerator"`
	// Stratum is the group that a person is counted in where a measure has
	// groups, such as a risk category.
	Stratum string `json:"stratum,omitempty"`

	// Because and Gaps are empty unless Context.Explain was set.
	Because source.Because `json:"because,omitempty"`
	// Gaps is what keeps a counted person out of the numerator.
	Gaps []Gap `json:"gaps,omitempty"`
	// Quality lists what in the record should be looked at, because a date is
	// missing, vague or contradictory and the answer hangs on it.
	Quality []string `json:"quality,omitempty"`
}

// Gap is one part of the numerator that is missing.
type Gap struct {
	// Part is stable, such as "pulses".
	Part string `json:"part"`
	// Says what is missing, and the nearest thing that is there.
	Says string `json:"says"`
}

// Case is one worked example of a measure.
type Case struct {
	// Name is a sentence.
	Name    string
	Context Context
	Record  record.Record
	// Want holds the populations only.
	Want Result
}

// All lists the measures, the foot exam first.
func All() []Measure {
	return []Measure{
		FootExam(),
		NeuroEvaluation(),
		FootwearEvaluation(),
		PoorControl(),
		RecallKept(),
		ReferralClosed(),
		UlcerSeen(),
		UlcerHealed(),
		ExamCompleteness(),
	}
}

// Find returns the measure of an id.
func Find(id string) (Measure, error) {
	var ids []string
	for _, m := range All() {
		if m.ID == id {
			return m, nil
		}
		ids = append(ids, m.ID)
	}
	return Measure{}, fmt.Errorf("there is no measure %q; there are: %s", id, strings.Join(ids, ", "))
}
