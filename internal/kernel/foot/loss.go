package foot

import (
	"encoding/json"
	"fmt"

	"tengram/internal/kernel/known"
)

// Level is the level of the highest amputation on one leg.
type Level uint8

// The levels, from none to the highest. LevelUnknown is "not recorded".
const (
	LevelUnknown Level = iota
	Whole
	ToesOnly
	Transmetatarsal
	Midfoot
	Hindfoot
	Ankle
	BelowKnee
	ThroughKnee
	AboveKnee
	HipLevel
)

var levelNames = []string{
	"", "whole", "toes", "transmetatarsal", "midfoot", "hindfoot", "ankle",
	"below-knee", "through-knee", "above-knee", "hip",
}

// String returns the JSON word of the level, or "not recorded".
func (l Level) String() string {
	if l == LevelUnknown {
		return "not recorded"
	}
	if int(l) < len(levelNames) {
		return levelNames[l]
	}
	return "invalid"
}

// IsZero reports a level that was not recorded.
func (l Level) IsZero() bool { return l == LevelUnknown }

// MarshalText writes the JSON word of the level.
func (l Level) MarshalText() ([]byte, error) {
	return known.Word(levelNames, int(l), "amputation level")
}

// UnmarshalText reads the JSON word of the level.
func (l *Level) UnmarshalText(b []byte) error {
	i, err := known.Index(levelNames, b, "amputation level")
	*l = Level(i)
	return err
}

// Toes is a set of toes, bit 0 for the hallux. In JSON it is a list of numbers
// 1 to 5.
type Toes uint8

// ToesOf makes a set from toe numbers 1 to 5.
func ToesOf(ns ...int) Toes {
	var t Toes
	for _, n := range ns {
		t |= 1 << (n - 1)
	}
	return t
}

// Has reports whether toe n (1 to 5) is in the set.
func (t Toes) Has(n int) bool { return n >= 1 && n <= 5 && t&(1<<(n-1)) != 0 }

// List returns the toe numbers in order.
func (t Toes) List() []int {
	var ns []int
	for n := 1; n <= 5; n++ {
		if t.Has(n) {
			ns = append(ns, n)
		}
	}
	return ns
}

// MarshalJSON writes a list of toe numbers.
func (t Toes) MarshalJSON() ([]byte, error) { return json.Marshal(t.List()) }

// UnmarshalJSON reads a list of toe numbers.
func (t *Toes) UnmarshalJSON(b []byte) error {
	var ns []int
	if err := json.Unmarshal(b, &ns); err != nil {
		return fmt.Errorf("toes are a list of numbers 1 to 5: %w", err)
	}
	*t = 0
	for _, n := range ns {
		if n < 1 || n > 5 {
			return fmt.Errorf("toe %d is not 1 to 5", n)
		}
		*t |= ToesOf(n)
	}
	return nil
}

// Loss is what amputation has taken from one leg. The zero value is "not
// recorded", which is not the same as a whole foot.
type Loss struct {
	Level Level `json:"level,omitzero"`
	// Toes lists the lost toes, given when Level is "toes".
	Toes Toes `json:"toes,omitempty"`
	// Rays lists toes lost together with their metatarsal head (ray
	// amputation), given when Level is "toes".
	Rays Toes `json:"rays,omitempty"`
}

// IsZero reports that nothing was recorded.
func (l Loss) IsZero() bool { return l == Loss{} }

// Any answers "is any part of this leg amputated?".
func (l Loss) Any() known.Tri {
	switch l.Level {
	case LevelUnknown:
		return known.Unknown
	case Whole:
		return known.No
	}
	return known.Yes
}

// Major answers "is there an amputation above the ankle?". Through the ankle
// counts as minor (IWGDF 2023 definitions, from memory; the English and Welsh
// foot audit's glossary says minor is below the ankle, second hand).
func (l Loss) Major() known.Tri {
	if l.Level == LevelUnknown {
		return known.Unknown
	}
	return known.Of(l.Level >= BelowKnee)
}

// FootGone reports that no foot is left to examine: ankle level or higher.
func (l Loss) FootGone() bool { return l.Level >= Ankle }

// Has reports whether the place is still there. A foot of which nothing was
// recorded is taken to have all its places, so that they are asked for.
func (l Loss) Has(p Place) bool {
	if p == Stump {
		return l.Level >= Transmetatarsal
	}
	switch l.Level {
	case LevelUnknown, Whole:
		return true
	case ToesOnly:
		return l.hasWithToesLost(p)
	case Transmetatarsal:
		return p >= MidfootMedial
	case Midfoot:
		return p >= Heel && p != Dorsum
	case Hindfoot:
		return p >= Heel && p != Dorsum
	}
	return false
}

func (l Loss) hasWithToesLost(p Place) bool {
	gone := l.Toes | l.Rays
	switch {
	case p.Toe() > 0:
		return !gone.Has(p.Toe())
	case p >= Web1 && p <= Web4: // a web needs both of its toes
		n := int(p-Web1) + 1
		return !gone.Has(n) && !gone.Has(n+1)
	case p >= MTH1 && p <= MTH5:
		return !l.Rays.Has(int(p-MTH1) + 1)
	}
	return true
}
