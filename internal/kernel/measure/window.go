package measure

import (
	"time"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// window judges dates against a period by calendar days in the practice's zone.
//
// Where a record gave a year or a month, the date is a range of days, and the
// rules say what they do with it (reference, section 1.4, our rule for partial
// dates): an act counts only if its whole range lies inside; a diagnosis has
// begun if its first possible day is not past the period, and is still there
// if its last possible day is not before it. Where the other end of the range
// would give another answer, the verdict is unsure.
type window struct {
	period Period
	zone   *time.Location
}

// verdict is the answer of one rule on one fact. The zero value is no.
type verdict struct {
	yes bool
	// unsure: with the same date known exactly, the answer could be another.
	unsure bool
	// why is a few words for no or for unsure, constant so that it costs
	// nothing.
	why string
}

const (
	noDate       = "has no date"
	noEnd        = "has no end"
	outside      = "lies outside the period"
	vague        = "is dated too vaguely to be sure"
	beganLater   = "begins after the period"
	endedEarlier = "ended before the period"
	endUnknown   = "is marked as over, without a date"
	undated      = "is active and has no date"
	noStatus     = "has no end and no status"
	reversed     = "ends before it begins"
	noResult     = "has no result"
	openSide     = "is dated on one side only"
	component    = "is a part of another observation"
	notPlain     = "is another kind of order than a plain one"
	notFinal     = "is not final, was not done, or was withdrawn"
)

// inside judges whether an act lies wholly inside the period.
func (w window) inside(start, end when.Moment) verdict {
	sl, sh := start.Days(w.zone)
	el, eh := end.Days(w.zone)
	switch {
	case sl == 0:
		return verdict{why: noDate}
	case el == 0:
		return verdict{why: noEnd, unsure: sh >= w.period.First && sl <= w.period.Last}
	}
	could := sh >= w.period.First && el <= w.period.Last
	switch {
	case sl >= w.period.First && eh <= w.period.Last:
		return verdict{yes: true}
	case could && sl <= w.period.Last && eh >= w.period.First:
		return verdict{why: vague, unsure: true}
	}
	return verdict{why: outside}
}

// at is inside for something that is one point in time. Where only its start
// is known, that is its time.
func (w window) at(start, end when.Moment) verdict {
	if end.IsZero() {
		end = start
	}
	return w.inside(start, end)
}

// begun judges whether something began on or before the last day, and overlaps
// whether a diagnosis is there at some time in the period. A start that was told
// as no later than a day, or an end as no earlier, is taken to be that day; if
// the answer with any earlier start and later end is another, it is unsure.
func (w window) begun(f *record.Fact) verdict    { return w.eitherWay(f, window.begunOn) }
func (w window) overlaps(f *record.Fact) verdict { return w.eitherWay(f, window.overlapsOn) }

func (w window) eitherWay(f *record.Fact, rule func(window, *record.Fact) verdict) verdict {
	v := rule(w, f)
	if !f.StartOpen && !f.EndOpen {
		return v
	}
	open := *f
	if f.StartOpen {
		open.Start = when.Between(when.OnDay(when.Date(1, 1, 1)), f.Start)
	}
	if f.EndOpen {
		open.End = when.Between(f.End, when.OnDay(when.Date(9999, 12, 31)))
	}
	if o := rule(w, &open); o.yes != v.yes || !o.yes && o.unsure && !v.unsure {
		return verdict{yes: v.yes, unsure: true, why: openSide}
	}
	return v
}

// begunOn is begun for the days as they stand. Without a start, a known end puts the start before it, at no known day: it has begun.
// Without both it has begun if it is active.
func (w window) begunOn(f *record.Fact) verdict {
	low, high := f.Start.Days(w.zone)
	switch {
	case low == 0 && !f.End.IsZero():
		return verdict{yes: true}
	case low == 0 && f.Ended == known.No:
		return verdict{yes: true, unsure: true, why: undated}
	case low == 0:
		return verdict{why: noDate, unsure: true}
	case low > w.period.Last:
		return verdict{why: beganLater}
	}
	return verdict{yes: true, unsure: high > w.period.Last, why: vague}
}

// overlapsOn is overlaps for the days as they stand, both ends included: one that ended on the first day counts. One that began in the
// period was there, whenever it ended.
func (w window) overlapsOn(f *record.Fact) verdict {
	v := w.begunOn(f)
	if !v.yes {
		return v
	}
	start, _ := f.Start.Days(w.zone)
	low, high := f.End.Days(w.zone)
	switch {
	case high == 0 && start >= w.period.First:
		return v
	case high == 0 && f.Ended == known.Yes:
		return verdict{why: endUnknown, unsure: true}
	case high == 0 && f.Ended == known.Unknown && !v.unsure:
		return verdict{yes: true, unsure: true, why: noStatus}
	case high == 0:
		return v
	case high < w.period.First:
		return verdict{why: endedEarlier}
	case low < w.period.First:
		return verdict{yes: true, unsure: true, why: vague}
	}
	if start > high {
		return verdict{yes: true, unsure: true, why: reversed}
	}
	return v
}

// careOverlaps is overlaps for care that is given over time. Published logic
// reads care without an end as going on, whatever its status says.
func (w window) careOverlaps(f *record.Fact) verdict {
	low, high := f.Start.Days(w.zone)
	endLow, endHigh := f.End.Days(w.zone)
	switch {
	case low == 0 && endHigh == 0:
		return verdict{why: noDate, unsure: true}
	case low > w.period.Last:
		return verdict{why: beganLater}
	case endHigh != 0 && endHigh < w.period.First:
		return verdict{why: endedEarlier}
	}
	unsure := high > w.period.Last || (endHigh != 0 && endLow < w.period.First)
	return verdict{yes: true, unsure: unsure, why: vague}
}

// ageAtStart judges whole years of age on the first day, low included, high
// not. A birth date has no time and is never moved by a zone.
func (w window) ageAtStart(birth when.Moment, low, high int) verdict {
	first, last := birth.Days(nil)
	if first == 0 {
		return verdict{why: noDate, unsure: true}
	}
	in := func(d when.Day) bool {
		age := when.Age(d, w.period.First)
		return age >= low && age < high
	}
	if v := in(first); v == in(last) {
		return verdict{yes: v}
	}
	return verdict{why: vague, unsure: true}
}
