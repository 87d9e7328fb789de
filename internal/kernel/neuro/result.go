package neuro

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

// Definition is one published definition of LOPS.
type Definition struct {
	// ID is stable, such as "lops-iwgdf-2023".
	ID     string
	Name   string
	Source *source.Source
	// Judge applies the definition.
	Judge func(Tests) Result
}

// Result is LOPS by one definition.
type Result struct {
	Definition string `json:"definition"`
	Name       string `json:"name"`
	// LOPS is the person's answer: Yes if either foot has it, No only if both
	// feet that exist are cleared.
	LOPS known.Tri `json:"lops"`
	// Feet is the answer for each foot; a foot that is gone is Unknown and
	// Gone.
	Feet [2]FootResult `json:"feet"`
	// SettledBy names the tests that would settle an unknown answer, such as
	// "left.test.filament.hallux".
	SettledBy []string       `json:"settled-by,omitempty"`
	Because   source.Because `json:"because"`
}

// FootResult is the answer for one foot, with its counts.
type FootResult struct {
	Side foot.Side `json:"side"`
	LOPS known.Tri `json:"lops"`
	// Gone: no foot is left to test.
	Gone bool `json:"gone,omitempty"`
	// Insensate, Tested and Absent count the sites of the definition (toes, for
	// the touch test): not felt, tested, lost to amputation.
	Insensate int `json:"insensate"`
	Tested    int `json:"tested"`
	Absent    int `json:"absent"`
	// Incomplete: cleared or counted on fewer sites than the definition has.
	Incomplete bool `json:"incomplete,omitempty"`
}
