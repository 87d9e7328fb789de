// Package heat compares skin temperature between the two feet, at one visit or
// in a home log of two days, and says when a warm, swollen or red foot must be
// thought a Charcot foot.
//
// Temperatures are tenths of a degree in the unit they were measured in, so
// that a difference of exactly 2.2 is not taken for more.
package heat

import (
	"encoding/json"
	"fmt"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
)

// Spot is a place where the skin temperature is taken on both feet.
type Spot uint8

// The six spots a foot (names from memory; six or more a foot in the trials,
// confirmed).
const (
	SpotHallux Spot = iota
	SpotMTH1
	SpotMTH3
	SpotMTH5
	SpotMidfoot
	SpotHeel
	SpotCount
)

var spotNames = [SpotCount]string{"hallux", "mth1", "mth3", "mth5", "midfoot", "heel"}

var spotPlaces = [SpotCount]foot.Place{
	foot.Hallux, foot.MTH1, foot.MTH3, foot.MTH5, foot.MidfootMedial, foot.Heel,
}

// String returns the JSON word of the spot.
func (s Spot) String() string { return spotNames[s] }

// Place returns where the spot lies.
func (s Spot) Place() foot.Place { return spotPlaces[s] }

// Temperatures are the skin temperatures of one foot, in tenths of a degree of
// the exam's unit.
type Temperatures [SpotCount]known.Tenths

// IsZero reports that no temperature was recorded.
func (t Temperatures) IsZero() bool { return t == Temperatures{} }

// MarshalJSON writes an object of spot to temperature, in spot order.
func (t Temperatures) MarshalJSON() ([]byte, error) {
	b := []byte{'{'}
	for s, v := range t {
		if v.IsZero() {
			continue
		}
		if len(b) > 1 {
			b = append(b, ',')
		}
		w, err := v.MarshalJSON()
		if err != nil {
			return nil, err
		}
		b = fmt.Appendf(b, "%q:%s", Spot(s).String(), w)
	}
	return append(b, '}'), nil
}

// UnmarshalJSON reads an object of spot to temperature.
func (t *Temperatures) UnmarshalJSON(b []byte) error {
	m := map[string]known.Tenths{}
	if err := json.Unmarshal(b, &m); err != nil {
		return err
	}
	*t = Temperatures{}
	for s := range SpotCount {
		if v, ok := m[s.String()]; ok {
			t[s] = v
			delete(m, s.String())
		}
	}
	for name := range m {
		return fmt.Errorf("temperature spot %q is not one of the six spots", name)
	}
	return nil
}

// Unit is the unit of skin temperatures.
type Unit uint8

// The units. A difference is compared in the unit that was measured.
const (
	UnitUnknown Unit = iota
	Celsius
	Fahrenheit
)

var unitNames = []string{"", "C", "F"}

// IsZero reports that no unit was recorded.
func (u Unit) IsZero() bool { return u == UnitUnknown }

// String returns "C" or "F".
func (u Unit) String() string {
	if int(u) < len(unitNames) {
		return unitNames[u]
	}
	return "invalid"
}

// MarshalText writes "C" or "F".
func (u Unit) MarshalText() ([]byte, error) { return known.Word(unitNames, int(u), "temperature unit") }

// UnmarshalText reads "C" or "F".
func (u *Unit) UnmarshalText(b []byte) error {
	i, err := known.Index(unitNames, b, "temperature unit")
	*u = Unit(i)
	return err
}
