// Package risk stratifies a person's feet by the published systems, each in a
// file of its own and all of one shape: which factors it reads, which category
// they give, when that category is seen again.
//
// Factors may be unknown. A result is then an interval of categories, found by
// trying both answers to every unknown, with the smallest set of questions that
// would settle it. Categories describe feet without active disease; a red flag
// is routed by urgency first.
//
// The scores that are not stratifications (Boyko, Martins-Mendes, DIAFORA) and
// the sums of planning stand beside the systems, each in a file of its own.
package risk

import (
	"strings"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

// Factor is one yes-no input of the systems.
type Factor uint8

// The factors. PAD and LOPS are conclusions of packages perfusion and neuro.
const (
	LOPS Factor = iota
	PAD
	Deformity
	UlcerHistory
	Amputation
	// ESRD: end-stage kidney disease (IWGDF).
	ESRD
	// KidneyReplacement: dialysis or transplant (NICE), narrower than ESRD.
	KidneyReplacement
	// EGFRBelow30 (Scotland).
	EGFRBelow30
	Callus
	CharcotHistory
	// SelfCareDifficulty: cannot look after the own feet and has no help.
	SelfCareDifficulty
	// FilamentInsensate: the monofilament was not felt at one or more sites
	// (PODUS); differs from LOPS where another test made it positive.
	FilamentInsensate
	// PulseAbsent: any pedal pulse absent (PODUS).
	PulseAbsent
	FactorCount
)

var factorNames = [FactorCount]string{
	"lops", "pad", "deformity", "ulcer-history", "amputation", "esrd",
	"kidney-replacement", "egfr-below-30", "callus", "charcot-history",
	"self-care-difficulty", "filament-insensate", "pulse-absent",
}

var factorWords = [FactorCount]string{
	"loss of protective sensation", "peripheral artery disease", "foot deformity",
	"a past foot ulcer", "a past amputation", "end-stage kidney disease",
	"dialysis or kidney transplant", "eGFR below 30", "callus", "a past Charcot foot",
	"difficulty with foot self-care", "monofilament not felt", "an absent foot pulse",
}

// String returns the stable word of the factor.
func (f Factor) String() string { return factorNames[f] }

// Words names the factor in the trade's words.
func (f Factor) Words() string { return factorWords[f] }

// MarshalText writes the stable word of the factor.
func (f Factor) MarshalText() ([]byte, error) { return []byte(f.String()), nil }

// Facts are the factors of one person with what each rests on.
type Facts struct {
	Is      [FactorCount]known.Tri
	Because [FactorCount]source.Because
}

// Set is a full assignment of the factors, one bit each, bit f for Factor f.
type Set uint32

// Has reports whether the factor is set.
func (s Set) Has(f Factor) bool { return s&(1<<f) != 0 }

// Interval is a recall interval in months as the source gives it: a range
// stays a range. Zero means that the source gives none.
type Interval struct {
	MinMonths int `json:"min-months"`
	MaxMonths int `json:"max-months"`
}

// IsZero reports that the source gives no interval.
func (i Interval) IsZero() bool { return i == Interval{} }

// Category is one category of one system.
type Category struct {
	// Rank orders the categories of a system, 0 is the lowest risk.
	Rank int `json:"rank"`
	// Code is what the system calls it: "0", "3", "moderate".
	Code string `json:"code"`
	// Name is the risk in words; with Code it is always shown: a number and a
	// word.
	Name string `json:"name"`
	// Recall is when the foot is seen again.
	Recall Interval `json:"recall,omitzero"`
	// Probability is a published probability with its 95 % interval and span,
	// nil where the system gives none.
	Probability *Probability `json:"probability,omitempty"`
}

// Words is the category as a number, or what the system has for one, and a
// word: "3 (high risk)", "moderate risk", "2 of 4 points".
func (c Category) Words() string {
	if strings.HasPrefix(c.Name, c.Code) {
		return c.Name
	}
	return c.Code + " (" + c.Name + ")"
}

// Probability is a published risk of an ulcer, in tenths of a per cent.
type Probability struct {
	Percent known.Tenths `json:"percent"`
	Low     known.Tenths `json:"low"`
	High    known.Tenths `json:"high"`
	Years   int          `json:"years"`
}

// System is one published stratification. Only this package makes them; see
// Systems.
type System struct {
	// ID is stable, such as "iwgdf-2023".
	ID   string
	Name string
	// Factors are the inputs it reads, in the order to ask them.
	Factors []Factor
	// Categories in rank order.
	Categories []Category
	// Judge gives the rank of a full assignment, or -1 where the text leaves
	// the combination undefined.
	Judge func(Set) int
	// Explain gives the rule for the rank of an assignment, by the literal
	// reading or, where only that one gives the rank, by the cautious one. Rank
	// -1 explains the missing row.
	Explain func(Set, int) source.Because
	Source  *source.Source

	literal reading
	// cautious is the more careful reading, without rows where there is none.
	cautious reading
	// noRow says what is done where the text has no row.
	noRow source.Reason
}

// Result is what one system says of one person.
type Result struct {
	System string `json:"system"`
	Name   string `json:"name"`
	// Low and High bound the category; they are equal when it is settled.
	Low  Category `json:"low"`
	High Category `json:"high"`
	// Undefined is true where the published text has no row for the person,
	// whatever the unknown answers are. Low and High are then of the nearest
	// row, which is that of the same person without the factor that has no row
	// (our proposal), and Because says so.
	Undefined bool `json:"undefined,omitempty"`
	// SettledBy is the smallest set of questions whose answers always settle
	// the category, in the system's order; empty when settled.
	SettledBy []Factor `json:"settled-by,omitempty"`
	// Cautious is the reading that the plan follows where the literal text
	// would rate a history of ulcer, amputation or kidney failure too low.
	Cautious *Cautious      `json:"cautious,omitempty"`
	Because  source.Because `json:"because"`
}

// Cautious is a second, more careful reading of the same system.
type Cautious struct {
	Low       Category       `json:"low"`
	High      Category       `json:"high"`
	SettledBy []Factor       `json:"settled-by,omitempty"`
	Because   source.Because `json:"because"`
}

// Settled reports whether one category remains.
func (r Result) Settled() bool { return r.Low.Rank == r.High.Rank }

// ForPlan returns the bounds that the plan follows: the cautious ones where
// there are any.
func (r Result) ForPlan() (low, high Category) {
	if r.Cautious != nil {
		return r.Cautious.Low, r.Cautious.High
	}
	return r.Low, r.High
}
