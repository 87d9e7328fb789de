package heat_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/heat"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/when"
)

// The week of the cases; 2024-03-04 is a Monday.
var (
	monday    = when.MustDay("2024-03-04")
	tuesday   = monday + 1
	wednesday = monday + 2
)

func read(on when.Day, right, left heat.Temperatures) heat.DayReading {
	return heat.DayReading{On: on, Right: right, Left: left, Unit: heat.Celsius}
}

// alert is a hallux 2.3 warmer on the right.
func alert(on when.Day) heat.LogAlert {
	return heat.LogAlert{On: on, HotSpot: rightHallux(23)}
}

func rightHallux(tenths int) heat.HotSpot {
	return heat.HotSpot{Spot: "hallux", Warmer: foot.Right, Difference: known.TenthsOf(tenths), Unit: heat.Celsius}
}

// The cases are those of tests-and-wounds.md 4, and our own.
func TestTheHomeLog(t *testing.T) {
	hot, cold := but(even(309), heat.SpotHallux, 332), even(309)
	for _, c := range []struct {
		name    string
		log     []heat.DayReading
		rule    heat.LogRule
		through when.Day
		loss    [2]foot.Loss
		want    heat.LogResult
	}{
		{"2.2 exactly is no trigger (4)", []heat.DayReading{read(monday, even(331), even(309))}, heat.OneDay, 0, [2]foot.Loss{}, heat.LogResult{}},
		{"2.3 on one day: measure again tomorrow, no alert by two days (4)", []heat.DayReading{read(monday, hot, cold)}, heat.TwoDays, 0, [2]foot.Loss{},
			heat.LogResult{MeasureAgain: []heat.HotSpot{rightHallux(23)}}},
		{"the same is an alert by the rule of the trials (4)", []heat.DayReading{read(monday, hot, cold)}, heat.OneDay, 0, [2]foot.Loss{},
			heat.LogResult{Alerts: []heat.LogAlert{alert(monday)}}},
		{"2.3 on Monday and Tuesday at the same spot: alert (4)", []heat.DayReading{read(monday, hot, cold), read(tuesday, hot, cold)}, heat.TwoDays, 0, [2]foot.Loss{},
			heat.LogResult{Alerts: []heat.LogAlert{alert(tuesday)}}},
		{"the order of the entries does not matter", []heat.DayReading{read(tuesday, hot, cold), read(monday, hot, cold)}, heat.TwoDays, 0, [2]foot.Loss{},
			heat.LogResult{Alerts: []heat.LogAlert{alert(tuesday)}}},
		{"great toe on Monday, other heel on Tuesday: not the same spot (4)", []heat.DayReading{read(monday, hot, cold), read(tuesday, cold, but(even(309), heat.SpotHeel, 332))}, heat.TwoDays, 0, [2]foot.Loss{},
			heat.LogResult{MeasureAgain: []heat.HotSpot{{Spot: "heel", Warmer: foot.Left, Difference: known.TenthsOf(23), Unit: heat.Celsius}}}},
		{"the same spot, but the other foot is the warmer one", []heat.DayReading{read(monday, hot, cold), read(tuesday, cold, hot)}, heat.TwoDays, 0, [2]foot.Loss{},
			heat.LogResult{MeasureAgain: []heat.HotSpot{{Spot: "hallux", Warmer: foot.Left, Difference: known.TenthsOf(23), Unit: heat.Celsius}}}},
		{"Tuesday missing between two hot days: no alert, remind (4)", []heat.DayReading{read(monday, hot, cold), read(wednesday, hot, cold)}, heat.TwoDays, 0, [2]foot.Loss{},
			heat.LogResult{Missing: []when.Day{tuesday}, MeasureAgain: []heat.HotSpot{rightHallux(23)}}},
		{"a hot day followed by a missing one: remind", []heat.DayReading{read(monday, hot, cold)}, heat.TwoDays, tuesday, [2]foot.Loss{},
			heat.LogResult{Missing: []when.Day{tuesday}}},
		{"a cool day in between ends the run", []heat.DayReading{read(monday, hot, cold), read(tuesday, cold, cold), read(wednesday, hot, cold)}, heat.TwoDays, 0, [2]foot.Loss{},
			heat.LogResult{MeasureAgain: []heat.HotSpot{rightHallux(23)}}},
		{"two readings of one day are not two days, the greater counts", []heat.DayReading{read(monday, hot, cold), read(monday, but(even(309), heat.SpotHallux, 340), cold)}, heat.TwoDays, 0, [2]foot.Loss{},
			heat.LogResult{MeasureAgain: []heat.HotSpot{rightHallux(31)}}},
		{"a day without a pair is a missing day", []heat.DayReading{read(monday, hot, cold), read(tuesday, hot, heat.Temperatures{}), read(wednesday, hot, cold)}, heat.TwoDays, 0, [2]foot.Loss{},
			heat.LogResult{Missing: []when.Day{tuesday}, MeasureAgain: []heat.HotSpot{rightHallux(23)}}},
		{"a spot lost on one side is not compared (4)", []heat.DayReading{read(monday, hot, cold), read(tuesday, hot, cold)}, heat.TwoDays, 0, [2]foot.Loss{{}, lostHallux}, heat.LogResult{}},
		{"an empty log", nil, heat.TwoDays, wednesday, [2]foot.Loss{}, heat.LogResult{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := heat.HomeLog(c.log, c.loss, c.rule, c.through)
			if len(got.Because) == 0 {
				t.Error("there is no reason")
			}
			got.Because = nil
			if diff := cmp.Diff(c.want, got, cmpopts.EquateEmpty()); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

// TestADayCanCrossAMonth: the last of February and the first of March follow
// each other.
func TestADayCanCrossAMonth(t *testing.T) {
	hot, cold := but(even(309), heat.SpotHallux, 332), even(309)
	first := when.MustDay("2024-02-29")
	got := heat.HomeLog([]heat.DayReading{read(first, hot, cold), read(when.MustDay("2024-03-01"), hot, cold)}, [2]foot.Loss{}, heat.TwoDays, 0)
	if len(got.Alerts) != 1 || len(got.Missing) != 0 {
		t.Errorf("got %+v, want one alert", got)
	}
}

// TestTheLogIsNotChanged: the caller's slice keeps its order.
func TestTheLogIsNotChanged(t *testing.T) {
	log := []heat.DayReading{read(tuesday, even(309), even(309)), read(monday, even(309), even(309))}
	heat.HomeLog(log, [2]foot.Loss{}, heat.TwoDays, 0)
	if log[0].On != tuesday {
		t.Error("the log was sorted in place")
	}
}
