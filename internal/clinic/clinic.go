// Package clinic is the use cases: open a person, keep a draft, sign, amend,
// import, list who is due, evaluate the measure, refer and close.
//
// It knows the kernel and the Store interface, and no adapter. The clock, the
// zone and new ids come from outside.
package clinic

import (
	"time"

	"tengram/internal/kernel/when"
)

// Clinic is one practice with its store and its settings.
type Clinic struct {
	Store Store
	// Now is the clock, in the practice's zone.
	Now func() time.Time
	// Zone is the practice's own calendar.
	Zone *time.Location
	// NewID makes a random UUID.
	NewID func() string

	// desk keeps the trends of measures.
	desk trendDesk
}

// Today is the practice's calendar day.
func (c *Clinic) Today() when.Day { return when.DayOf(c.Now().In(c.Zone)) }
