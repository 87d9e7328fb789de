package measure

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// vagueMoment is a year, a month or a day near the period, or none.
func vagueMoment(t *rapid.T, label string, noneToo bool) when.Moment {
	day := when.Date(2017, 11, 1) + when.Day(rapid.IntRange(0, 700).Draw(t, label))
	cut := rapid.SampledFrom([]int{10, 7, 4}).Draw(t, label+" precision")
	if noneToo && rapid.IntRange(0, 5).Draw(t, label+" there") == 0 {
		return when.Moment{}
	}
	return when.MustMoment(day.String()[:cut])
}

func somePeriod(t *rapid.T) Period {
	first := when.Date(2018, 1, 1) + when.Day(rapid.IntRange(0, 120).Draw(t, "first"))
	return Period{first, first + when.Day(rapid.IntRange(0, 365).Draw(t, "length"))}
}

// everyDay asks a rule about every day that a moment may mean: a vague date
// must give yes for an act only if each of its days does, and be unsure exactly
// if its days disagree.
func everyDay(m when.Moment, yes func(when.Day) bool) (all, some bool) {
	low, high := m.Days(nil)
	all = true
	for d := low; d <= high; d++ {
		if yes(d) {
			some = true
		} else {
			all = false
		}
	}
	return all, some
}

func TestVagueActsAreInOnlyIfEveryDayIs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := window{period: somePeriod(t)}
		m := vagueMoment(t, "act", false)
		all, some := everyDay(m, func(d when.Day) bool { return d >= w.period.First && d <= w.period.Last })
		v := w.at(m, m)
		if v.yes != all || v.unsure != (some && !all) {
			t.Fatalf("%v in %v: %+v, days say all %v some %v", m, w.period, v, all, some)
		}
	})
}

func TestVagueVisitsAreInOnlyIfEveryPairOfDaysIs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := window{period: somePeriod(t)}
		start, end := vagueMoment(t, "start", false), vagueMoment(t, "end", false)
		allStart, someStart := everyDay(start, func(d when.Day) bool { return d >= w.period.First })
		allEnd, someEnd := everyDay(end, func(d when.Day) bool { return d <= w.period.Last })
		v := w.inside(start, end)
		if v.yes != (allStart && allEnd) {
			t.Fatalf("%v to %v in %v: %+v", start, end, w.period, v)
		}
		if v.unsure && (v.yes || !someStart || !someEnd) {
			t.Fatalf("%v to %v in %v: unsure, and no day could change it", start, end, w.period)
		}
	})
}

func TestVagueDiagnosesCountIfSomeDayDoes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := window{period: somePeriod(t)}
		f := record.Fact{Start: vagueMoment(t, "onset", true), End: vagueMoment(t, "end", true),
			Ended: known.Tri(rapid.IntRange(0, 2).Draw(t, "ended"))}
		begun := !f.End.IsZero() || f.Ended == known.No
		if !f.Start.IsZero() {
			_, begun = everyDay(f.Start, func(d when.Day) bool { return d <= w.period.Last })
		}
		there := f.Ended != known.Yes
		if !there && !f.Start.IsZero() { // it was there when it began
			there, _ = everyDay(f.Start, func(d when.Day) bool { return d >= w.period.First })
		}
		if !f.End.IsZero() {
			_, there = everyDay(f.End, func(d when.Day) bool { return d >= w.period.First })
		}
		if got := w.begun(&f).yes; got != begun {
			t.Fatalf("%+v begun by %v: %v, want %v", f, w.period.Last, got, begun)
		}
		if got := w.overlaps(&f).yes; got != (begun && there) {
			t.Fatalf("%+v overlaps %v: %v, want %v and %v", f, w.period, got, begun, there)
		}
	})
}

func TestAgeAtTheStartAgreesWithTheCalendar(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := window{period: somePeriod(t)}
		birth := when.Date(1940, time.January, 1) + when.Day(rapid.IntRange(0, 25000).Draw(t, "birth"))
		cut := rapid.SampledFrom([]int{10, 7, 4}).Draw(t, "precision")
		m := when.MustMoment(birth.String()[:cut])
		all, some := everyDay(m, func(d when.Day) bool {
			age := when.Age(d, w.period.First)
			return age >= 18 && age < 75
		})
		v := w.ageAtStart(m, 18, 75)
		if v.yes != all || v.unsure != (some && !all) {
			t.Fatalf("born %v, at %v: %+v, days say all %v some %v", m, w.period.First, v, all, some)
		}
	})
}
