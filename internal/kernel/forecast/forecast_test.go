package forecast_test

import (
	"iter"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"tengram/internal/kernel/forecast"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/trend"
	"tengram/internal/kernel/when"
)

func each(records []record.Record) iter.Seq[*record.Record] {
	return func(yield func(*record.Record) bool) {
		for i := range records {
			if !yield(&records[i]) {
				return
			}
		}
	}
}

var year2026 = measure.Context{Period: measure.Year(2026)}

func forecastOf(t interface{ Fatal(...any) }, records []record.Record, today string, options forecast.Options) forecast.Forecast {
	f, err := forecast.YearEnd(each(records), measure.FootExam(), year2026, when.MustDay(today), 1, options)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

var unexported = cmpopts.IgnoreUnexported(forecast.Forecast{})

func somebody(t *rapid.T, id string, until when.Day) record.Record {
	day := func(label string) string {
		return (until - when.Day(rapid.IntRange(0, 700).Draw(t, label))).String()
	}
	var facts []record.Fact
	for range rapid.IntRange(0, 7).Draw(t, "visits") {
		facts = append(facts, visitOn(day("visit")))
	}
	for range rapid.IntRange(0, 2).Draw(t, "exams") {
		on := day("exam")
		facts = append(facts, examOn(on)...)
		if rapid.Bool().Draw(t, "at a visit") {
			facts = append(facts, visitOn(on))
		}
	}
	if rapid.IntRange(0, 4).Draw(t, "booked") == 0 {
		facts = append(facts, bookedOn((until + when.Day(rapid.IntRange(0, 60).Draw(t, "booking"))).String()))
	}
	rec := someone(id, facts)
	if rapid.IntRange(0, 9).Draw(t, "dead") == 0 {
		rec.Person.Deceased, rec.Person.DiedAt = known.Yes, when.OnDay(until-3)
	}
	return rec
}

func somePanel(t *rapid.T, until when.Day) []record.Record {
	var records []record.Record
	for i := range rapid.IntRange(1, 12).Draw(t, "people") {
		records = append(records, somebody(t, string(rune('a'+i)), until))
	}
	return records
}

func someDay(t *rapid.T) string {
	return (when.MustDay("2026-01-01") + when.Day(rapid.IntRange(0, 364).Draw(t, "today"))).String()
}

func TestTheOrderOfPeopleNeverMattersAndASeedIsAnAnswer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		today := someDay(t)
		records := somePanel(t, when.MustDay(today))
		want := forecastOf(t, records, today, forecast.Options{Draws: 40})
		again := forecastOf(t, rapid.Permutation(records).Draw(t, "order"), today, forecast.Options{Draws: 40})
		if diff := cmp.Diff(want, again, unexported); diff != "" {
			t.Fatal(diff)
		}
	})
}

// Somebody whose gap is open is examined, on any day of the year so far: no
// point of the forecast may fall, and none of its limits.
func TestClosingAGapNeverLowersTheForecast(t *testing.T) {
	raised := 0
	rapid.Check(t, func(t *rapid.T) {
		today := someDay(t)
		records := somePanel(t, when.MustDay(today))
		before := forecastOf(t, records, today, forecast.Options{Draws: 60})
		if len(before.Open) == 0 {
			return
		}
		who := rapid.SampledFrom(before.Open).Draw(t, "who").Person
		day := when.MustDay("2026-01-01") + when.Day(rapid.IntRange(0, int(when.MustDay(today)-when.MustDay("2026-01-01"))).Draw(t, "exam day"))
		for i := range records {
			if records[i].Person.ID == who {
				records[i].Facts = append(slices.Clip(records[i].Facts), examOn(day.String())...)
			}
		}
		after := forecastOf(t, records, today, forecast.Options{Draws: 60})
		for i, p := range before.Points {
			q := after.Points[i]
			for _, pair := range [][2]float64{{p.Median, q.Median}, {p.In80.Low, q.In80.Low}, {p.In80.High, q.In80.High}, {p.In95.Low, q.In95.Low}, {p.In95.High, q.In95.High}} {
				if pair[1] < pair[0] {
					t.Fatalf("%s: %g falls to %g; before %+v, after %+v", p.On, pair[0], pair[1], p, q)
				}
				if pair[1] > pair[0] {
					raised++
				}
			}
		}
	})
	if raised == 0 {
		t.Error("no exam ever raised the forecast: the test looked at nothing")
	}
}

func TestOnTheLastDayTheForecastIsTheRate(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		last := when.MustDay("2026-12-31")
		records := somePanel(t, last)
		for i := range records {
			records[i].Facts = slices.DeleteFunc(records[i].Facts, func(f record.Fact) bool { return f.Kind == record.Appointment })
		}
		for _, today := range []string{"2026-12-31", "2027-02-03"} {
			f := forecastOf(t, records, today, forecast.Options{Draws: 30})
			rate, ok := f.Now.Rate()
			if f.OK != ok {
				t.Fatalf("a rate of %v is %v", f.Now, f.OK)
			}
			if want := (forecast.Point{On: last, Median: rate, In80: trend.Interval{Low: rate, High: rate}, In95: trend.Interval{Low: rate, High: rate}}); ok && (f.End != want || len(f.Points) != 1) {
				t.Fatalf("%+v, want %+v", f.Points, want)
			}
			if f.MoreMet != 0 || f.MoreCounted != 0 {
				t.Fatalf("%g more are met", f.MoreMet)
			}
		}
	})
}

func TestLimitsNestAndStayRates(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		today := someDay(t)
		f := forecastOf(t, somePanel(t, when.MustDay(today)), today, forecast.Options{Draws: 50})
		last := when.Day(0)
		for _, p := range f.Points {
			in := []float64{0, p.In95.Low, p.In80.Low, p.Median, p.In80.High, p.In95.High, 1}
			if !slices.IsSorted(in) || p.On <= last || p.On < when.MustDay(today) {
				t.Fatalf("%+v", p)
			}
			last = p.On
		}
		if f.OK && f.End.On != when.MustDay("2026-12-31") {
			t.Fatalf("the last point is %s", f.End.On)
		}
		for _, o := range f.Open {
			if o.Chance < 0 || o.Chance > 1 {
				t.Fatalf("%+v", o)
			}
		}
	})
}

// panel is a practice that does its exams: 40 people who come every 90 days or
// so, examined at every third visit that is due.
func panel() []record.Record {
	var records []record.Record
	for i := range 40 {
		var facts []record.Fact
		exams := 0
		for n, day := 0, when.MustDay("2024-12-01")+when.Day(i*2); day < when.MustDay("2026-09-01"); n, day = n+1, day+when.Day(80+i%20) {
			facts = append(facts, visitOn(day.String()))
			if n%4 == i%4 && exams < 2 {
				facts = append(facts, examOn(day.String())...)
				exams++
			}
		}
		records = append(records, someone("panel-"+string(rune('A'+i)), facts))
	}
	return records
}

func open(t *testing.T, f forecast.Forecast, person string) forecast.Open {
	t.Helper()
	for _, o := range f.Open {
		if o.Person == person {
			return o
		}
	}
	t.Fatalf("%s is not among the open: %+v", person, f.Open)
	return forecast.Open{}
}

func TestWhoIsClosestToClosing(t *testing.T) {
	dead := someone("dead", visits("2026-01-10", "2026-04-10"))
	dead.Person.Deceased, dead.Person.DiedAt = known.Yes, when.MustMoment("2026-05-01")
	cancelled := bookedOn("2026-09-03")
	cancelled.Standing = record.Void
	pulsesLeft := someone("pulses left", visits("2026-01-10", "2026-04-10", "2026-07-10"), examOn("2026-01-10")[:2])
	records := append(panel(),
		someone("tuesday", visits("2026-02-01"), []record.Fact{bookedOn("2026-09-08"), bookedOn("2026-10-20")}),
		someone("today", visits("2026-02-01"), []record.Fact{bookedOn("2026-09-01")}),
		someone("came today", visits("2026-02-01", "2026-09-01"), []record.Fact{bookedOn("2026-09-01")}),
		someone("next year", visits("2026-02-01"), []record.Fact{bookedOn("2027-01-08")}),
		someone("often here", visits("2025-09-01", "2025-10-01", "2025-11-01", "2025-12-01", "2026-01-01", "2026-02-01", "2026-03-01", "2026-04-01", "2026-05-01", "2026-06-01", "2026-07-01", "2026-08-01")),
		someone("seldom here", visits("2024-10-01", "2026-08-01")),
		someone("not yet counted", visits("2025-03-01", "2025-06-01"), examOn("2026-03-01")[:1]),
		someone("only a visit", visits("2025-03-01", "2025-06-01", "2025-09-01", "2025-12-01"), examOn("2026-03-01")),
		someone("cancelled", visits("2026-02-01"), []record.Fact{cancelled}),
		dead, pulsesLeft,
	)
	f := forecastOf(t, records, "2026-09-01", forecast.Options{})
	for name, want := range map[string]string{
		"tuesday": "2026-09-08", "today": "2026-09-01", "came today": "", "next year": "", "cancelled": "", "dead": "",
	} {
		if got := open(t, f, name).Booked.String(); got != want {
			t.Errorf("%s is booked for %q, want %q", name, got, want)
		}
	}
	if f.Open[0].Person != "today" || f.Open[1].Person != "tuesday" {
		t.Errorf("the booked come first, by the day: %s, %s", f.Open[0].Person, f.Open[1].Person)
	}
	chance := func(name string) float64 { return open(t, f, name).Chance }
	for _, order := range [][2]string{{"tuesday", "next year"}, {"often here", "seldom here"}, {"only a visit", "not yet counted"}, {"seldom here", "dead"}} {
		if chance(order[0]) <= chance(order[1]) {
			t.Errorf("%s has a chance of %.2f, %s of %.2f", order[0], chance(order[0]), order[1], chance(order[1]))
		}
	}
	if chance("dead") != 0 {
		t.Errorf("somebody who died has a chance of %g", chance("dead"))
	}
	if o := open(t, f, "not yet counted"); o.Counted || len(o.Missing) != 2 || o.Missing[0].Part != "monofilament" {
		t.Errorf("%+v", o)
	}
	if o := open(t, f, "only a visit"); o.Counted || len(o.Missing) != 0 {
		t.Errorf("nothing is missing but a visit: %+v", o)
	}
	if o := open(t, f, "pulses left"); !o.Counted || len(o.Missing) != 1 || o.Missing[0].Part != "pulses" || o.LastVisit != when.MustDay("2026-07-10") {
		t.Errorf("%+v", o)
	}
	total := 0.0
	for _, o := range f.Open {
		total += o.Chance
	}
	if math.Abs(total-f.MoreMet) > 1e-9 {
		t.Errorf("the chances add up to %g, %g more are expected to be met", total, f.MoreMet)
	}
}

// The panel comes every 80 to 100 days: whoever was last seen three months ago
// is likelier to come within a month than somebody seen last week.
func TestARhythmIsFollowed(t *testing.T) {
	records := append(panel(),
		someone("seen last week", visits("2025-08-25", "2025-11-25", "2026-02-23", "2026-05-25", "2026-11-25")),
		someone("seen three months ago", visits("2025-06-01", "2025-09-01", "2025-12-01", "2026-06-01", "2026-09-01")),
	)
	for i := range records {
		for n, day := 0, when.MustDay("2026-09-01")+when.Day(i); day < when.MustDay("2026-12-01") && i < 40; n, day = n+1, day+90 {
			records[i].Facts = append(records[i].Facts, visitOn(day.String()))
		}
	}
	f := forecastOf(t, records, "2026-12-01", forecast.Options{Draws: 2000})
	if week, months := open(t, f, "seen last week").Chance, open(t, f, "seen three months ago").Chance; months < 2*week {
		t.Errorf("seen last week: chance %.3f; three months ago: %.3f", week, months)
	}
}

func TestATargetIsReachedInAShareOfDraws(t *testing.T) {
	last := 1.1
	for _, target := range []float64{0.01, 0.5, 0.7, 0.8, 0.9, 1} {
		f := forecastOf(t, panel(), "2026-07-01", forecast.Options{Target: target})
		if f.Reached > last || f.Target != target {
			t.Errorf("target %g is reached in %g, a lower one in %g", target, f.Reached, last)
		}
		last = f.Reached
		if target == 0.01 && f.Reached != 1 {
			t.Errorf("a target of 1 %% is reached in %g", f.Reached)
		}
		if median := f.End.Median; target == 0.5 && median > 0.5 && f.Reached < 0.5 {
			t.Errorf("the median is %g, and 0.5 is reached in %g", median, f.Reached)
		}
	}
}

func TestWhatCannotBeForecastIsRefused(t *testing.T) {
	for _, c := range []struct {
		id, today, want string
	}{
		{"recall-kept", "2026-05-01", `measure "recall-kept" is not forecast: only what is asked for once a year at visits is`},
		{"a1c-poor-control", "2026-05-01", `measure "a1c-poor-control" is not forecast: only what is asked for once a year at visits is`},
		{"foot-exam", "2025-12-31", "a forecast for 2026-01-01 to 2026-12-31 cannot be made on 2025-12-31, before it begins"},
	} {
		m, err := measure.Find(c.id)
		if err != nil {
			t.Fatal(err)
		}
		_, err = forecast.YearEnd(each(nil), m, year2026, when.MustDay(c.today), 1, forecast.Options{})
		if err == nil || err.Error() != c.want {
			t.Errorf("%s on %s: %v", c.id, c.today, err)
		}
	}
	if f := forecastOf(t, nil, "2026-05-01", forecast.Options{}); f.OK || len(f.Open) != 0 {
		t.Errorf("nobody: %+v", f)
	}
}

func TestAForecastSaysWhatItRestsOn(t *testing.T) {
	f := forecastOf(t, panel(), "2026-07-01", forecast.Options{Draws: 100})
	var said []string
	for _, r := range f.Because {
		if r.Source == nil {
			t.Errorf("%q has no source", r.Says)
		}
		said = append(said, r.Says)
	}
	for _, part := range []string{"counted and not met", "times a year", "kept 85 times in 100", "Not foreseen", "100 draws from seed 1"} {
		if !strings.Contains(strings.Join(said, "\n"), part) {
			t.Errorf("nothing says %q:\n%s", part, strings.Join(said, "\n"))
		}
	}
}

func TestARecordAsOfADay(t *testing.T) {
	on := when.MustDay("2026-06-30")
	stay := visitOn("2026-06-25")
	stay.End = when.MustMoment("2026-07-02")
	ended := diabetes()
	ended.End, ended.Ended = when.MustMoment("2026-08"), known.Yes
	rec := record.Record{
		Person: record.Person{ID: "p", Deceased: known.Yes, DiedAt: when.MustMoment("2026-07-04")},
		Facts:  []record.Fact{ended, stay, visitOn("2026-06-30"), visitOn("2026-07-01"), bookedOn("2026-06-01"), bookedOn("2026-07-03")},
		Referrals: []record.Referral{
			{ID: "r1", Opened: on - 5, Steps: []record.ReferralStep{{What: "sent", On: on}, {What: "closed", On: on + 1}}},
			{ID: "r2", Opened: on + 1},
		},
	}
	whole := rec
	then := forecast.AsOf(&rec, on)
	if diff := cmp.Diff(whole, rec, cmpopts.EquateComparable(when.Moment{})); diff != "" {
		t.Errorf("the record itself was changed: %s", diff)
	}
	if then.Person.Deceased != known.Unknown || !then.Person.DiedAt.IsZero() {
		t.Errorf("who died on 4 July lived on 30 June: %+v", then.Person)
	}
	var keys []string
	for _, f := range then.Facts {
		keys = append(keys, f.Key)
	}
	if diff := cmp.Diff([]string{"Condition/1", "Encounter/2026-06-25", "Encounter/2026-06-30", "Appointment/2026-06-01"}, keys); diff != "" {
		t.Error(diff)
	}
	if f := then.Facts[0]; f.Ended != known.No || !f.End.IsZero() {
		t.Errorf("what ended in August went on in June: %+v", f)
	}
	if f := then.Facts[1]; f.Standing != record.Planned {
		t.Errorf("a stay that ended in July was under way: %+v", f)
	}
	if len(then.Referrals) != 1 || len(then.Referrals[0].Steps) != 1 || then.Referrals[0].Closed() {
		t.Errorf("%+v", then.Referrals)
	}
}
