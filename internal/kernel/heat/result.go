package heat

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

// Result is the comparison of one visit.
type Result struct {
	// Hot answers "is one spot warmer than its partner by more than the
	// rule's difference?".
	Hot known.Tri `json:"hot"`
	// Spots are the pairs over the limit.
	Spots []HotSpot `json:"spots,omitempty"`
	// NotCompared are spots that exist on one side only, or were measured on
	// one side only.
	NotCompared []string `json:"not-compared,omitempty"`
	// CharcotSuspected answers "must acute Charcot foot be thought of?", and
	// on which side.
	CharcotSuspected known.Tri      `json:"charcot-suspected"`
	CharcotSides     []foot.Side    `json:"charcot-sides,omitempty"`
	Because          source.Because `json:"because"`
}

// HotSpot is one pair of spots over the limit.
type HotSpot struct {
	Spot   string    `json:"spot"`
	Warmer foot.Side `json:"warmer"`
	// Difference is in tenths of a degree of the unit measured.
	Difference known.Tenths `json:"difference"`
	Unit       Unit         `json:"unit"`
}
