// Package danger is the ladder of urgency and the red flags: findings that
// cannot wait for the plan of a risk category.
//
// Red flags come first and are never softened: where two sources differ, the
// shorter time stands.
package danger

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

// Urgency is how soon something must happen; a smaller number is sooner.
type Urgency uint8

// The ladder, from an ambulance to the next yearly exam. The merged ladder is
// our proposal; each flag and action carries the source of its own time.
const (
	Now Urgency = iota
	SameDay
	OneWorkingDay
	FourDays
	TwoWeeks
	FourWeeks
	EightWeeks
	ThreeMonths
	Routine
)

var urgencyNames = []string{
	"now", "same-day", "one-working-day", "four-days", "two-weeks", "four-weeks", "eight-weeks", "three-months", "routine",
}

var urgencyWords = []string{
	"Now", "Today", "Within 1 working day", "Within 4 days", "Within 2 weeks", "Within 4 weeks", "Within 8 weeks", "Within 3 months", "Routine",
}

// Words is the urgency in words for a person.
func (u Urgency) Words() string {
	if int(u) < len(urgencyWords) {
		return urgencyWords[u]
	}
	return "invalid"
}

// String returns the JSON word of the urgency.
func (u Urgency) String() string {
	if int(u) < len(urgencyNames) {
		return urgencyNames[u]
	}
	return "invalid"
}

// MarshalText writes the JSON word of the urgency.
func (u Urgency) MarshalText() ([]byte, error) { return known.Word(urgencyNames, int(u), "urgency") }

// UnmarshalText reads the JSON word of the urgency.
func (u *Urgency) UnmarshalText(b []byte) error {
	i, err := known.Index(urgencyNames, b, "urgency")
	*u = Urgency(i)
	return err
}

// Flag is one red flag.
type Flag struct {
	// ID is stable, such as "gangrene" or "ulcer-with-fever".
	ID string `json:"id"`
	// Says is one sentence: what is seen and that it cannot wait.
	Says    string  `json:"says"`
	Urgency Urgency `json:"urgency"`
	// Sides lists the feet it concerns; empty for the whole person.
	Sides []foot.Side `json:"sides,omitempty"`
	// Suspected is true where the flag rests on suspicion rather than on a
	// finding that settles it.
	Suspected bool           `json:"suspected,omitempty"`
	Because   source.Because `json:"because"`
}
