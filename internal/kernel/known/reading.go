package known

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"
)

// ReadingState says whether a measurement has a number, and if not, why.
type ReadingState uint8

// The states of a measurement. NoSignal is a result, not a number: the probe
// found nothing. TooHigh is a vessel that could not be compressed or a value
// above the device's range.
const (
	NotMeasured ReadingState = iota
	Measured
	NoSignal
	TooHigh
	CannotMeasure
	MeasureDeclined
)

var readingNames = []string{"", "measured", "no-signal", "too-high", "not-possible", "refused"}

// Reading is a measurement in whole units of its smallest step. Scale 1 is for
// whole numbers (mmHg, volts); Tenths below is for one decimal.
//
// In JSON a Reading is a number, or one of the words "no-signal", "too-high",
// "not-possible", "refused"; a value never measured is left out.
type Reading struct {
	State ReadingState
	Value int
}

// Value makes a measured Reading.
func Value(v int) Reading { return Reading{State: Measured, Value: v} }

// Known reports whether there is a number.
func (r Reading) Known() bool { return r.State == Measured }

// Recorded reports whether anything at all was recorded.
func (r Reading) Recorded() bool { return r.State != NotMeasured }

// IsZero reports a measurement that was not made; JSON leaves such fields out.
func (r Reading) IsZero() bool { return r.State == NotMeasured }

// String returns the number, or the word of the state.
func (r Reading) String() string {
	switch r.State {
	case NotMeasured:
		return "not recorded"
	case Measured:
		return strconv.Itoa(r.Value)
	}
	return name(readingNames, int(r.State))
}

// MarshalJSON writes a number or a word.
func (r Reading) MarshalJSON() ([]byte, error) {
	if r.State == Measured {
		return strconv.AppendInt(nil, int64(r.Value), 10), nil
	}
	return stateJSON(r.State)
}

// UnmarshalJSON reads a whole number or a word.
func (r *Reading) UnmarshalJSON(b []byte) error {
	state, isWord, err := wordJSON(b)
	if err != nil || isWord {
		*r = Reading{State: state}
		return err
	}
	v, err := strconv.Atoi(string(b))
	if err != nil {
		return fmt.Errorf("measurement %s is not a whole number", b)
	}
	*r = Value(v)
	return nil
}

// Tenths is a measurement kept as tenths of its unit, so that a difference such
// as 33.1 - 30.9 is exactly 2.2. In JSON it is a number with at most one
// decimal, or one of the words of Reading.
type Tenths struct {
	State ReadingState
	Value int
}

// TenthsOf makes a measured value from a count of tenths: TenthsOf(331) is 33.1.
func TenthsOf(v int) Tenths { return Tenths{State: Measured, Value: v} }

// Known reports whether there is a number.
func (t Tenths) Known() bool { return t.State == Measured }

// Recorded reports whether anything at all was recorded.
func (t Tenths) Recorded() bool { return t.State != NotMeasured }

// IsZero reports a measurement that was not made.
func (t Tenths) IsZero() bool { return t.State == NotMeasured }

// String returns the number with one decimal, or the word of the state.
func (t Tenths) String() string {
	switch t.State {
	case NotMeasured:
		return "not recorded"
	case Measured:
		return string(appendTenths(nil, t.Value))
	}
	return name(readingNames, int(t.State))
}

// MarshalJSON writes a number with one decimal, or a word.
func (t Tenths) MarshalJSON() ([]byte, error) {
	if t.State == Measured {
		return appendTenths(nil, t.Value), nil
	}
	return stateJSON(t.State)
}

// UnmarshalJSON reads a number with at most one decimal, or a word.
func (t *Tenths) UnmarshalJSON(b []byte) error {
	state, isWord, err := wordJSON(b)
	if err != nil || isWord {
		*t = Tenths{State: state}
		return err
	}
	v, err := ParseTenths(string(b))
	if err != nil {
		return err
	}
	*t = TenthsOf(v)
	return nil
}

// ParseTenths reads a decimal such as "33", "33.1" or "-0.5" as tenths. More
// than one decimal is an error, unless the further digits are zeros: rounding
// a measurement silently would move it over an edge.
func ParseTenths(s string) (int, error) {
	whole, frac, _ := bytes.Cut([]byte(s), []byte("."))
	frac = bytes.TrimRight(frac, "0")
	if len(frac) > 1 {
		return 0, fmt.Errorf("measurement %s has more than one decimal", s)
	}
	digits := string(whole) + "0"
	if len(frac) == 1 {
		digits = string(whole) + string(frac)
	}
	v, err := strconv.Atoi(digits)
	if err != nil || len(whole) == 0 {
		return 0, fmt.Errorf("measurement %s is not a number with at most one decimal", s)
	}
	return v, nil
}

func appendTenths(b []byte, v int) []byte {
	if v < 0 {
		b, v = append(b, '-'), -v
	}
	b = strconv.AppendInt(b, int64(v/10), 10)
	return append(b, '.', byte('0'+v%10))
}

func stateJSON(s ReadingState) ([]byte, error) {
	w, err := text(readingNames, int(s), "measurement state")
	if err != nil {
		return nil, err
	}
	return json.Marshal(string(w))
}

func wordJSON(b []byte) (state ReadingState, isWord bool, err error) {
	if len(b) == 0 || b[0] != '"' {
		if string(b) == "null" {
			return NotMeasured, true, nil
		}
		return NotMeasured, false, nil
	}
	var w string
	if err := json.Unmarshal(b, &w); err != nil {
		return NotMeasured, true, err
	}
	i, err := index(readingNames, []byte(w), "measurement")
	if err == nil && ReadingState(i) == Measured {
		err = fmt.Errorf("measurement %q needs a number", w)
	}
	return ReadingState(i), true, err
}
