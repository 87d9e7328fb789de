package forecast

import (
	"slices"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/trend"
	"tengram/internal/kernel/when"
)

// Cut is one forecast of the past: made on a day, for a period that is over.
type Cut struct {
	On     when.Day       `json:"on"`
	Period measure.Period `json:"period"`
}

// Outcome is a forecast of the past beside what came.
type Outcome struct {
	Cut
	Forecast Point       `json:"forecast"`
	Actual   trend.Share `json:"actual"`
	// In80 and In95 are whether the actual rate lay within the limits.
	In80 bool `json:"in-80"`
	In95 bool `json:"in-95"`
	// Place is the share of draws that ended below the actual rate, those equal
	// to it counted half: near 0 the forecast was too high, near 1 too low.
	Place float64 `json:"place"`
}

// Coverage is how often the intervals held.
type Coverage struct {
	Outcomes []Outcome `json:"outcomes"`
	In80     int       `json:"in-80"`
	In95     int       `json:"in-95"`
	// OffBy is the mean distance of the median from what came, as a rate.
	OffBy float64 `json:"off-by"`
	// TooHigh is the mean of median less actual: above 0 the forecasts promised
	// too much.
	TooHigh float64 `json:"too-high"`
}

// Backtest makes forecasts on days of the past from what had happened by then,
// and holds them against what came. Two things are not as they were: what was
// written later about earlier days is known, and what was booked then is not, as
// a record does not say when a visit was booked. The period of the context does
// not matter. A cut without anybody counted, or on a day outside its period, is
// left out.
func Backtest(records []record.Record, m measure.Measure, ctx measure.Context, cuts []Cut, seed uint64, options Options) (Coverage, error) {
	var c Coverage
	for _, cut := range cuts {
		ctx.Period = cut.Period
		if cut.On < cut.Period.First || cut.On >= cut.Period.Last {
			continue
		}
		panel, err := NewPanel(m, ctx, cut.On, options)
		if err != nil {
			return Coverage{}, err
		}
		var actual trend.Share
		for i := range records {
			then := AsOf(&records[i], cut.On)
			panel.Add(&then)
			if r := panel.in(&records[i], cut.Period.First, cut.Period.Last); counts(r) {
				actual.Of++
				if r.Numerator {
					actual.Met++
				}
			}
		}
		c.add(cut, panel.YearEnd(seed), actual)
	}
	c.means()
	return c, nil
}

func (c *Coverage) add(cut Cut, f Forecast, actual trend.Share) {
	rate, ok := actual.Rate()
	if !ok || !f.OK {
		return
	}
	within := func(i trend.Interval) bool { return rate >= i.Low && rate <= i.High }
	o := Outcome{Cut: cut, Forecast: f.End, Actual: actual, In80: within(f.End.In80), In95: within(f.End.In95)}
	below, _ := slices.BinarySearch(f.ends, rate)
	equal := 0
	for below+equal < len(f.ends) && f.ends[below+equal] == rate {
		equal++
	}
	o.Place = (float64(below) + float64(equal)/2) / float64(len(f.ends))
	c.Outcomes = append(c.Outcomes, o)
}

// Merge adds the outcomes of other forecasts.
func (c *Coverage) Merge(o Coverage) {
	c.Outcomes = append(c.Outcomes, o.Outcomes...)
	c.means()
}

func (c *Coverage) means() {
	*c = Coverage{Outcomes: c.Outcomes}
	for _, o := range c.Outcomes {
		rate, _ := o.Actual.Rate()
		off := o.Forecast.Median - rate
		c.TooHigh += off / float64(len(c.Outcomes))
		c.OffBy += max(off, -off) / float64(len(c.Outcomes))
		if o.In80 {
			c.In80++
		}
		if o.In95 {
			c.In95++
		}
	}
}

// AsOf is a record as it stood at the end of a day: facts, exams and steps of
// referrals that came later are gone, and what ended later goes on. Booked
// visits are gone with the rest. Whether a record is in use is not dated, and
// stays as it is.
func AsOf(rec *record.Record, on when.Day) record.Record {
	then := *rec
	then.Facts, then.Exams, then.Referrals = nil, nil, nil
	if died, _ := rec.Person.DiedAt.Days(nil); died > on {
		then.Person.DiedAt, then.Person.Deceased = when.Moment{}, known.Unknown
	}
	for i := range rec.Facts {
		f := rec.Facts[i]
		start, _ := f.Start.Days(nil)
		end, _ := f.End.Days(nil)
		if start > on || start == 0 && end > on || f.Kind == record.Appointment && end > on {
			continue
		}
		if end > on {
			f.End, f.Ended = when.Moment{}, known.No
			if f.Kind == record.Encounter { // under way
				f.Standing = record.Planned
			}
		}
		then.Facts = append(then.Facts, f)
	}
	for i := range rec.Exams {
		if day, _ := rec.Exams[i].Exam.At.Days(nil); day != 0 && day <= on {
			then.Exams = append(then.Exams, rec.Exams[i])
		}
	}
	for _, r := range rec.Referrals {
		if r.Opened > on {
			continue
		}
		r.Steps = slices.DeleteFunc(slices.Clone(r.Steps), func(s record.ReferralStep) bool { return s.On > on })
		then.Referrals = append(then.Referrals, r)
	}
	return then
}
