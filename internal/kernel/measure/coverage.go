package measure

import (
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
)

// Coverage is what a Medicare rule says of one person on one day. It is no
// promise of payment: contractors may count differently, and say so themselves.
type Coverage struct {
	ID    string
	Title string
	// Met is Unknown where the record does not settle it.
	Met known.Tri
	// Code is the service or modifier that the rule points to, such as "G0246"
	// or "Q8"; empty where none.
	Code string
	// Earliest is the first day on which a time rule is met; zero where none
	// applies.
	Earliest when.Day
	// Because says which conditions hold and which do not.
	Because source.Because
}

func (c *Coverage) say(says string, s *source.Source) {
	c.Because = append(c.Because, source.Reason{Says: says, Source: s})
}

// need joins one condition into the answer, with a sentence for each outcome.
func (c *Coverage) need(is known.Tri, yes, no, unknown string, s *source.Source) {
	c.Met = known.All(c.Met, is)
	switch is {
	case known.Yes:
		c.say(yes, s)
	case known.No:
		c.say(no, s)
	default:
		c.say(unknown, s)
	}
}
