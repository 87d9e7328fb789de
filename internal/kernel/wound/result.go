package wound

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
)

// Result is what can be said of one ulcer today. Every class is an interval
// where something is missing; Low equals High when it is settled.
type Result struct {
	ID    string     `json:"id"`
	Side  foot.Side  `json:"side"`
	Place foot.Place `json:"place"`
	Open  known.Tri  `json:"open"`
	// AreaMM2 is the area in square millimetres; Method says how it was found.
	AreaMM2 known.Reading `json:"area-mm2,omitzero"`
	Method  Method        `json:"method,omitzero"`
	// Problems say what in the record of the ulcer cannot be so.
	Problems []Problem `json:"problems,omitempty"`
	// Classes are the classifications, in a fixed order.
	Classes []Class `json:"classes"`
	// Healing is nil without an earlier size by the same method.
	Healing *Healing `json:"healing,omitempty"`
	// Worry says why the ulcer needs a new look; empty when nothing does.
	Worry source.Because `json:"worry,omitempty"`
}

// Class is one classification of one ulcer.
type Class struct {
	// ID is stable, such as "sinbad", "texas", "wagner", "infection-2023",
	// "wifi".
	ID   string `json:"id"`
	Name string `json:"name"`
	// Low and High are the class as written, such as "3", "2B" or "stage 3".
	Low  string `json:"low"`
	High string `json:"high"`
	// Words says it in words.
	Words string `json:"words"`
	// Missing names the inputs that would settle it. An interval with nothing
	// missing is left to a clinician's judgement; Words says of what.
	Missing []string       `json:"missing,omitempty"`
	Because source.Because `json:"because"`
}

// Healing is the trend since the first size by the same method.
type Healing struct {
	Days int `json:"days"`
	// ReductionPercent is the percent area reduction in tenths; negative is
	// growth.
	ReductionPercent known.Tenths `json:"reduction-percent"`
	OnTrack          known.Tri    `json:"on-track"`
	// Method, From, FromMM2 and ToMM2 say what was compared: the method, the
	// day of the first size, and the two areas in whole mm2.
	Method  Method   `json:"method"`
	From    when.Day `json:"from"`
	FromMM2 int      `json:"from-mm2"`
	ToMM2   int      `json:"to-mm2"`
	// EdgeUMPerWeek is the mean inward travel of the edge in micrometres a
	// week; negative is growth.
	EdgeUMPerWeek int `json:"edge-um-per-week"`
	// Projection is nil where the sizes do not carry one.
	Projection *Projection    `json:"projection,omitempty"`
	Because    source.Because `json:"because"`
}
