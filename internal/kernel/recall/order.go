package recall

import (
	"cmp"

	"tengram/internal/kernel/when"
)

// Place is where a standing comes in the order of calling: a smaller place is
// called first, equal places go by id. It is made of the risk group, then of
// the day on which the exam fell due, so that the longest late come first.
//
// It does not depend on today: among the people who are due, today or later, it
// is the order of Less.
func (s Standing) Place() int64 { return int64(s.group())<<32 | int64(s.Due) }

// group orders the risk, our proposal: the highest category that is still
// possible counts. Somebody never assessed, whose record points to no risk,
// stands above category 1 and below 2: unknown is not low.
func (s Standing) group() int {
	switch {
	case s.Due == 0:
		return 6 // not recalled
	case s.RiskHigh >= 3:
		return 0
	case s.RiskHigh == 2:
		return 1
	case s.RiskHigh == NeverAssessed:
		return 2
	case s.RiskHigh == 1:
		return 3
	}
	return 4
}

// Less orders people for calling on a day: those whose exam is due before those
// whose exam is not, each by risk, then by how long they are late, then by id.
// Names play no part.
func Less(a, b Standing, today when.Day) bool {
	return cmp.Or(
		cmp.Compare(a.waiting(today), b.waiting(today)),
		cmp.Compare(a.Place(), b.Place()),
		cmp.Compare(a.Person, b.Person),
	) < 0
}

func (s Standing) waiting(today when.Day) int {
	switch {
	case s.Due == 0:
		return 2
	case s.Due > today:
		return 1
	}
	return 0
}
