package neuro

import (
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

// Score is the sum of a published score. Where items are unknown it is a range:
// Low counts them as nothing, High as the most they can give.
type Score struct {
	Name string `json:"name"`
	// Low and High are points; some scores give half points.
	Low  known.Tenths `json:"low"`
	High known.Tenths `json:"high"`
	// Unknown is the number of items without an answer.
	Unknown int `json:"unknown,omitempty"`
	// Band names the band, empty where the range spans more than one or the
	// score has none.
	Band string `json:"band,omitempty"`
	// Positive answers the score's own cut-off, and Cut names it.
	Positive known.Tri      `json:"positive"`
	Cut      string         `json:"cut,omitempty"`
	Because  source.Because `json:"because"`
}

// half is a number of half points; every score here is a sum of them.
type half int

const point half = 2

// sum adds the items of a score.
type sum struct {
	low, high half
	unknown   int
}

func (s *sum) add(h half) { s.low, s.high = s.low+h, s.high+h }

func (s *sum) open(most half) {
	s.high += most
	s.unknown++
}

// yes gives the points for Yes, none for No, either for Unknown.
func (s *sum) yes(t known.Tri, points half) {
	switch t {
	case known.Yes:
		s.add(points)
	case known.Unknown:
		s.open(points)
	}
}

// reflex gives points for an ankle reflex that is present with reinforcement
// only, or absent.
func (s *sum) reflex(r Reflex, reinforced, absent half) {
	switch r {
	case ReflexPresent:
	case ReflexReinforced:
		s.add(reinforced)
	case ReflexAbsent:
		s.add(absent)
	default:
		s.open(absent)
	}
}

// sense gives points for a sense that is reduced or absent.
func (s *sum) sense(v Sense, reduced, absent half) {
	switch v {
	case SensePresent:
	case SenseReduced:
		s.add(reduced)
	case SenseAbsent:
		s.add(absent)
	default:
		s.open(absent)
	}
}

func (s *sum) score(name string) Score {
	return Score{Name: name, Low: known.TenthsOf(int(s.low) * 5), High: known.TenthsOf(int(s.high) * 5), Unknown: s.unknown}
}

// from answers "is the sum at least cut?".
func (s *sum) from(cut half) known.Tri {
	switch {
	case s.low >= cut:
		return known.Yes
	case s.high < cut:
		return known.No
	}
	return known.Unknown
}

// band names the band that the whole range lies in, or nothing. tops are in
// whole points, ascending; a sum above the last has the last name.
func (s *sum) band(bands []band) string {
	low, high := bandOf(s.low, bands), bandOf(s.high, bands)
	if low != high {
		return ""
	}
	return low
}

type band struct {
	top  half
	name string
}

func bandOf(h half, bands []band) string {
	for _, b := range bands {
		if h <= b.top {
			return b.name
		}
	}
	return bands[len(bands)-1].name
}

// Sense is a sense graded in three steps, as some scores want it.
type Sense uint8

// The grades. SenseReduced for the 128 Hz fork means that the examiner feels it
// 10 seconds or more longer than the person (MNSI, second hand).
const (
	SenseNotDone Sense = iota
	SensePresent
	SenseReduced
	SenseAbsent
)
