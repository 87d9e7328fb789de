package perfusion

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

// Index is a pressure ratio in hundredths: 79 is 0.79.
type Index struct {
	// Known is false where it could not be computed; Why says why.
	Known bool   `json:"known"`
	Value int    `json:"hundredths,omitempty"`
	Band  string `json:"band,omitempty"`
	Why   string `json:"why,omitempty"`
	// SingleArm: only one arm was measured.
	SingleArm bool `json:"single-arm,omitempty"`
	// SingleArtery: only one of the two ankle arteries was looked for, so that
	// the other may be higher.
	SingleArtery bool `json:"single-artery,omitempty"`
}

// Level is how far the evidence speaks for PAD.
type Level uint8

// The levels. Suspected asks for pressures; Likely is abnormal pressures or a
// diagnosis; Unlikely is normal pulses without symptoms, or normal pressures.
const (
	CannotSay Level = iota
	Unlikely
	Suspected
	Likely
)

var levelNames = []string{"cannot-say", "unlikely", "suspected", "likely"}

// String returns the JSON word of the level.
func (l Level) String() string {
	if int(l) < len(levelNames) {
		return levelNames[l]
	}
	return "invalid"
}

// MarshalText writes the JSON word of the level.
func (l Level) MarshalText() ([]byte, error) { return known.Word(levelNames, int(l), "PAD level") }

// UnmarshalText reads the JSON word of the level.
func (l *Level) UnmarshalText(b []byte) error {
	i, err := known.Index(levelNames, b, "PAD level")
	*l = Level(i)
	return err
}

// LegResult is what can be said of one leg.
type LegResult struct {
	Side  foot.Side `json:"side"`
	Gone  bool      `json:"gone,omitempty"`
	Level Level     `json:"level"`
	ABI   Index     `json:"abi,omitzero"`
	TBI   Index     `json:"tbi,omitzero"`
	// Critical: pressures in the range where a wound needs urgent vascular
	// care (union of the 2019 and 2023 triggers).
	Critical known.Tri `json:"critical"`
}

// Result is what can be said of one person's leg arteries.
type Result struct {
	// PAD is the answer the risk systems read: Yes for Suspected and Likely
	// (an absent pulse or claudication counts until pressures settle it), No
	// for Unlikely, Unknown otherwise.
	PAD   known.Tri    `json:"pad"`
	Level Level        `json:"level"`
	Legs  [2]LegResult `json:"legs"`
	// PulseAbsent answers "is any pedal pulse absent?".
	PulseAbsent known.Tri `json:"pulse-absent"`
	// PressuresNeeded: the evidence asks for ankle and toe pressures.
	PressuresNeeded known.Tri `json:"pressures-needed"`
	// SettledBy names what would settle an unknown answer.
	SettledBy []string       `json:"settled-by,omitempty"`
	Because   source.Because `json:"because"`
}

// IsZero reports an index that was not asked for.
func (i Index) IsZero() bool { return i == Index{} }
