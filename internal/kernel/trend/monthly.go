package trend

import (
	"time"

	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// Kind is how a measure is cut into months.
type Kind uint8

// The kinds of measure.
const (
	// ToDateOnly: a state of the year, such as the latest HbA1c; a month of it
	// has no meaning of its own.
	ToDateOnly Kind = iota
	// YearlyAct: something asked for once a year at any visit. Its month counts
	// the people who came while it was due.
	YearlyAct
	// Events: things that fall due on days of their own. Its month is the
	// measure of that month.
	Events
)

// KindOf says how a measure is cut into months.
func KindOf(m measure.Measure) Kind {
	switch m.ID {
	case "foot-exam", "neuro-evaluation", "footwear-evaluation":
		return YearlyAct
	case "recall-kept", "referral-closed-in-time", "ulcer-seen-in-time", "ulcer-healed-12-weeks", "exam-completeness":
		return Events
	}
	return ToDateOnly
}

// Series counts one measure month by month. Add and Merge give the same answer
// in any order, so that the parts of a panel can be counted apart.
//
// Each month has two shares, our proposal:
//
//   - ToDate is the measure from the first of January to the end of the month:
//     the number the year ends with, growing through the year. Its points
//     depend on each other and start anew each January, so no run rule may be
//     put to it.
//   - Done is what the practice made of the month's opportunities. For a yearly
//     act: of the people whom the year to date counts, who had a qualifying
//     visit in the month and had not met the measure in the twelve months
//     before it, those who met it by the end of the month. For events: the
//     measure of the month alone. These are mostly different people each month;
//     run chart and p-chart read them.
//
// What was written into a record later than it happened counts where it
// happened: a series made today may differ from one made then.
type Series struct {
	Measure       string  `json:"measure"`
	LowerIsBetter bool    `json:"lower-is-better,omitempty"`
	Kind          Kind    `json:"kind"`
	Months        []Month `json:"months"`

	evaluate func(*record.Record, measure.Context) measure.Result
	context  measure.Context
}

// Month is one month of a series.
type Month struct {
	First when.Day `json:"first"`
	// Last is the last day of the month, or the last day known if Partial.
	Last    when.Day `json:"last"`
	Partial bool     `json:"partial,omitempty"`
	ToDate  Share    `json:"to-date"`
	Done    Share    `json:"done"`
}

// NewSeries makes an empty series of so many months that ends with the month of
// today, known up to today. The period of the context does not matter.
func NewSeries(m measure.Measure, ctx measure.Context, today when.Day, months int) *Series {
	ctx.Explain = false
	s := &Series{Measure: m.ID, LowerIsBetter: m.LowerIsBetter, Kind: KindOf(m), evaluate: m.Evaluate, context: ctx}
	y, month, _ := today.YMD()
	this := when.Date(y, month, 1)
	for i := months - 1; i >= 0; i-- {
		first := this.AddMonths(-i)
		last := first.AddMonths(1) - 1
		s.Months = append(s.Months, Month{First: first, Last: min(last, today), Partial: last > today})
	}
	return s
}

// Add counts one person.
func (s *Series) Add(rec *record.Record) {
	year, counts := 0, false
	for i := range s.Months {
		m := &s.Months[i]
		begin := when.Date(m.First.Year(), time.January, 1)
		if y := m.First.Year(); y != year {
			// Whoever is not in the population of the longest period of the year
			// is in none of its shorter ones, unless it asks for an age at the
			// end of the period, as the latest HbA1c does.
			year = y
			counts = s.Kind == ToDateOnly || s.in(rec, begin, s.lastOf(y)).InitialPopulation
		}
		if !counts {
			continue
		}
		toDate := s.in(rec, begin, m.Last)
		m.ToDate.add(toDate)
		if counted(toDate) {
			s.done(m, rec)
		}
	}
}

// lastOf is the last known day of a year in the series.
func (s *Series) lastOf(year int) when.Day {
	last := when.Day(0)
	for _, m := range s.Months {
		if m.First.Year() == year {
			last = m.Last
		}
	}
	return last
}

func (s *Series) done(m *Month, rec *record.Record) {
	switch s.Kind {
	case Events:
		m.Done.add(s.in(rec, m.First, m.Last))
	case YearlyAct:
		if !counted(s.in(rec, m.First, m.Last)) || s.in(rec, m.First.AddMonths(-12), m.First-1).Numerator {
			return
		}
		m.Done.Of++
		if s.in(rec, (m.Last + 1).AddMonths(-12), m.Last).Numerator {
			m.Done.Met++
		}
	}
}

func (s *Series) in(rec *record.Record, first, last when.Day) measure.Result {
	ctx := s.context
	ctx.Period = measure.Period{First: first, Last: last}
	return s.evaluate(rec, ctx)
}

// Merge adds another series of the same measure and months.
func (s *Series) Merge(o *Series) {
	for i := range s.Months {
		s.Months[i].ToDate = s.Months[i].ToDate.Plus(o.Months[i].ToDate)
		s.Months[i].Done = s.Months[i].Done.Plus(o.Months[i].Done)
	}
}

// Opportunities are the months' Done shares, for a run chart or a p-chart. A
// month that is not over is left out: whoever comes late in it would be missing.
func (s *Series) Opportunities() []Share {
	var points []Share
	for _, m := range s.Months {
		if !m.Partial {
			points = append(points, m.Done)
		}
	}
	return points
}

// counted is whether a result is in what a rate is divided by.
func counted(r measure.Result) bool {
	return r.Denominator && !r.DenominatorExclusion && !r.Exception
}

func (s *Share) add(r measure.Result) {
	if !counted(r) {
		return
	}
	s.Of++
	if r.Numerator {
		s.Met++
	}
}
