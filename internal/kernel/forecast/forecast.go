// Package forecast says where the rate of a yearly measure will end, by playing
// the rest of the year many times from a stated seed.
//
// For each person who is not met yet it asks two things: will they come again
// before the year ends, and will the practice do at that visit what is missing?
// The first is read from the person's own rhythm of visits and from what is
// booked, the second from what the practice made of such visits of late. The
// spread of the answers is the interval; Backtest says how often such intervals
// held in the past.
package forecast

import (
	"fmt"
	"iter"

	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/trend"
	"tengram/internal/kernel/when"
)

var model = source.OurProposal.At("forecast: own rhythm of visits, and what the practice does at a visit", source.Proposal)

// Options are the settings of the model; the zero value of each takes its
// default. All defaults are our proposal. Spread and VisitSpread were chosen so
// that the limits hold about as often as they say in a made-up practice whose
// habit drifts; in one that never changes they hold more often.
type Options struct {
	// Draws is how often the rest of the year is played: 1000.
	Draws int
	// LookbackDays is how much history the rhythm is read from: 730.
	LookbackDays int
	// HalfLifeDays is after how long a visit counts half in what the practice
	// does at visits: 182.
	HalfLifeDays float64
	// Spread is by how many times less a visit counts than one independent
	// observation, since a practice changes from month to month: 3.
	Spread float64
	// VisitSpread is the standard deviation of how busy the rest of the year is
	// against the past, as a share: 0.07.
	VisitSpread float64
	// Target is a rate between 0 and 1 whose chance is asked for; 0 for none.
	Target float64
}

func (o Options) withDefaults() Options {
	if o.Draws == 0 {
		o.Draws = 1000
	}
	if o.LookbackDays == 0 {
		o.LookbackDays = 730
	}
	if o.HalfLifeDays == 0 {
		o.HalfLifeDays = 182
	}
	if o.Spread == 0 {
		o.Spread = 3
	}
	if o.VisitSpread == 0 {
		o.VisitSpread = 0.07
	}
	return o
}

// Forecast is where a measure stands and where it will end.
type Forecast struct {
	Measure string         `json:"measure"`
	Period  measure.Period `json:"period"`
	Today   when.Day       `json:"today"`
	Seed    uint64         `json:"seed"`
	Draws   int            `json:"draws"`
	// Now is the measure as of today.
	Now trend.Share `json:"now"`
	// Points are the ends of the months from now to the end of the period, the
	// last of them the end.
	Points []Point `json:"points"`
	// End is the last point. OK is false where nobody is counted, now or then.
	End Point `json:"end"`
	OK  bool  `json:"ok"`
	// MoreMet and MoreCounted are the people expected to meet the measure and to
	// enter its count from now on.
	MoreMet     float64 `json:"more-met"`
	MoreCounted float64 `json:"more-counted"`
	// Target and Reached are the rate asked for and the share of draws that end
	// at or above it.
	Target  float64 `json:"target,omitempty"`
	Reached float64 `json:"reached,omitempty"`
	// Open are the people who are counted, or will be when they come, and are
	// not met: the cheapest to close first.
	Open    []Open         `json:"open"`
	Because source.Because `json:"because"`

	// ends are the rates of the draws at the end, in order.
	ends []float64
}

// Point is the rate at the end of one day: the middle draw, and the limits that
// hold 80 and 95 of 100 draws. Rates are between 0 and 1.
type Point struct {
	On     when.Day       `json:"on"`
	Median float64        `json:"median"`
	In80   trend.Interval `json:"in-80"`
	In95   trend.Interval `json:"in-95"`
}

// Open is one person whose gap is open.
type Open struct {
	Person string `json:"person"`
	// Counted is false for somebody whom the measure counts only once they come.
	Counted bool `json:"counted"`
	// Booked is the next booked visit in the period, zero for none.
	Booked when.Day `json:"booked,omitzero"`
	// LastVisit is the last qualifying visit on record, zero for none.
	LastVisit when.Day `json:"last-visit,omitzero"`
	// Chance is the share of draws in which they meet the measure in the period.
	Chance float64 `json:"chance"`
	// Missing is what keeps them out of the numerator.
	Missing []measure.Gap `json:"missing,omitempty"`
}

// YearEnd forecasts a measure for the period of the context, as of the end of
// today but for the visits that are booked for it. The order of records does not
// matter, and the same seed gives the same answer.
//
// It forecasts what is asked for once a year at visits (trend.YearlyAct), and
// returns an error for another kind of measure, for a measure of which less is
// better, and for a day before the period.
func YearEnd(records iter.Seq[*record.Record], m measure.Measure, ctx measure.Context, today when.Day, seed uint64, options Options) (Forecast, error) {
	p, err := NewPanel(m, ctx, today, options)
	if err != nil {
		return Forecast{}, err
	}
	for rec := range records {
		p.Add(rec)
	}
	return p.YearEnd(seed), nil
}

// Panel gathers what a forecast needs of each person, one record at a time, so
// that a large panel need not lie in memory as records.
type Panel struct {
	measure measure.Measure
	context measure.Context
	options Options
	today   when.Day
	members []member
	now     trend.Share
	// kept and missed are past bookings.
	kept, missed int
}

// NewPanel makes an empty panel for one forecast.
func NewPanel(m measure.Measure, ctx measure.Context, today when.Day, options Options) (*Panel, error) {
	switch {
	case trend.KindOf(m) != trend.YearlyAct || m.LowerIsBetter:
		return nil, fmt.Errorf("measure %q is not forecast: only what is asked for once a year at visits is", m.ID)
	case today < ctx.Period.First:
		return nil, fmt.Errorf("a forecast for %s cannot be made on %s, before it begins", ctx.Period, today)
	}
	ctx.Explain = false
	return &Panel{measure: m, context: ctx, options: options.withDefaults(), today: min(today, ctx.Period.Last)}, nil
}
