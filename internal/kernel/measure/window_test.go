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

// A side that is open changes nothing but the doubt, and is doubted exactly if
// some day on that side would change the answer.
func TestAnOpenSideIsDoubtedWhereItCouldDecide(t *testing.T) {
	doubted := 0
	rapid.Check(t, func(t *rapid.T) {
		w := window{period: somePeriod(t)}
		day := func(label string) when.Day {
			return when.Date(2017, 11, 1) + when.Day(rapid.IntRange(0, 700).Draw(t, label))
		}
		f := record.Fact{Start: when.OnDay(day("onset")), Ended: known.Tri(rapid.IntRange(0, 2).Draw(t, "ended")), StartOpen: rapid.Bool().Draw(t, "start open")}
		if rapid.Bool().Draw(t, "has an end") {
			f.End, f.EndOpen = when.OnDay(day("end")), rapid.Bool().Draw(t, "end open")
		}
		for name, rule := range map[string]func(window, *record.Fact) verdict{"begun": window.begun, "overlaps": window.overlaps} {
			closed := f
			closed.StartOpen, closed.EndOpen = false, false
			got, plain := rule(w, &f), rule(w, &closed)
			if got.yes != plain.yes || plain.unsure && !got.unsure {
				t.Fatalf("%s: %+v, with both sides closed %+v", name, got, plain)
			}
			differs := false
			last, first := f.Start, f.End
			for _, d := range []when.Day{w.period.First - 1, w.period.First, w.period.Last, w.period.Last + 1} {
				try := closed
				if low, _ := last.Days(nil); f.StartOpen && d <= low {
					try.Start = when.OnDay(d)
				}
				differs = differs || rule(w, &try).yes != plain.yes
				for _, e := range []when.Day{w.period.First - 1, w.period.First, w.period.Last, w.period.Last + 1} {
					if low, _ := first.Days(nil); f.EndOpen && e >= low {
						try.End = when.OnDay(e)
						differs = differs || rule(w, &try).yes != plain.yes
					}
				}
			}
			if differs != (got.why == openSide) && (differs || !plain.unsure) {
				t.Fatalf("%s of %+v in %v: %+v, and a day on an open side changes it: %v", name, f, w.period, got, differs)
			}
			if differs {
				doubted++
			}
		}
	})
	if doubted < 10 {
		t.Errorf("%d doubts: that is no test", doubted)
	}
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
