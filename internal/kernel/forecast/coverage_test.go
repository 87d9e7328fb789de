package forecast_test

import (
	"testing"

	"tengram/internal/kernel/forecast"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/trend"
	"tengram/internal/kernel/when"
)

var cuts2025 = []forecast.Cut{
	{On: when.MustDay("2025-03-31"), Period: measure.Year(2025)},
	{On: when.MustDay("2025-06-30"), Period: measure.Year(2025)},
	{On: when.MustDay("2025-09-30"), Period: measure.Year(2025)},
	{On: when.MustDay("2025-11-24"), Period: measure.Year(2025)},
}

// Made-up practices of 200 people, of which the model knows nothing beforehand.
// The limits are allowed to hold more often than they say: a practice that never
// changes is easier to foretell than the one they are made for. What the test
// holds: not less often, closer as the year ends, and closer than the guess that
// the rate of the day is the rate of the end.
func TestLimitsHoldAtLeastAsOftenAsTheySay(t *testing.T) {
	steady, regular, reluctant, drifting := usualWorld, usualWorld, usualWorld, usualWorld
	steady.wander = 0
	regular.regular = 4
	reluctant.reluctant = 0.3
	drifting.drift = 0.2
	for _, c := range []struct {
		name         string
		world        world
		in80, in95   float64
		endOff, bias float64
	}{
		{"the habit wanders from month to month", usualWorld, 0.8, 0.95, 0.02, 0.05},
		{"the habit never changes", steady, 0.8, 0.95, 0.02, 0.05},
		{"people come on a regular rhythm", regular, 0.8, 0.95, 0.02, 0.05},
		{"three in ten are never examined", reluctant, 0.8, 0.95, 0.02, 0.05},
		{"the habit drifts", drifting, 0.75, 0.95, 0.025, 0.07},
	} {
		t.Run(c.name, func(t *testing.T) {
			var all forecast.Coverage
			byCut := make([]forecast.Coverage, len(cuts2025))
			naive := make([]float64, len(cuts2025))
			const worlds = 10
			for seed := range uint64(worlds) {
				records := c.world.run(seed)
				for i, cut := range cuts2025 {
					got, err := forecast.Backtest(records, measure.FootExam(), measure.Context{}, cuts2025[i:i+1], 1, forecast.Options{Draws: 200})
					if err != nil {
						t.Fatal(err)
					}
					all.Merge(got)
					byCut[i].Merge(got)
					now, end := rateOn(records, measure.Period{First: cut.Period.First, Last: cut.On}), rateOn(records, cut.Period)
					naive[i] += max(end-now, now-end) / worlds
				}
			}
			n := float64(len(all.Outcomes))
			for i, b := range byCut {
				t.Logf("from %s: the 80 %% limits held %d of %d times, the 95 %% limits %d; off by %.3f on average (today's rate: %.3f), too high by %+.3f",
					cuts2025[i].On, b.In80, len(b.Outcomes), b.In95, b.OffBy, naive[i], b.TooHigh)
				if b.OffBy > naive[i] {
					t.Errorf("from %s the guess that nothing changes is closer", cuts2025[i].On)
				}
			}
			if in := float64(all.In80) / n; in < c.in80 {
				t.Errorf("the 80 %% limits held %.2f of the time", in)
			}
			if in := float64(all.In95) / n; in < c.in95 {
				t.Errorf("the 95 %% limits held %.2f of the time", in)
			}
			if off := byCut[3].OffBy; off > c.endOff || off > byCut[0].OffBy {
				t.Errorf("five weeks before the end off by %.3f, nine months before by %.3f", off, byCut[0].OffBy)
			}
			if max(all.TooHigh, -all.TooHigh) > c.bias {
				t.Errorf("too high by %+.3f on average", all.TooHigh)
			}
		})
	}
}

func rateOn(records []record.Record, period measure.Period) float64 {
	var tally measure.Tally
	for i := range records {
		tally.Add(measure.FootExam().Evaluate(&records[i], measure.Context{Period: period}))
	}
	rate, _ := tally.Rate()
	return rate
}

// A forecast is held against what it did not know: one that knew would put the
// answer in the middle every time.
func TestTheBacktestDoesNotLookAhead(t *testing.T) {
	records := usualWorld.run(3)
	cut := cuts2025[1]
	got, err := forecast.Backtest(records, measure.FootExam(), measure.Context{}, []forecast.Cut{cut}, 5, forecast.Options{Draws: 200})
	if err != nil || len(got.Outcomes) != 1 {
		t.Fatal(got, err)
	}
	then := make([]record.Record, len(records))
	for i := range records {
		then[i] = forecast.AsOf(&records[i], cut.On)
	}
	ctx := measure.Context{Period: cut.Period}
	want, err := forecast.YearEnd(each(then), measure.FootExam(), ctx, cut.On, 5, forecast.Options{Draws: 200})
	if err != nil {
		t.Fatal(err)
	}
	if got.Outcomes[0].Forecast != want.End {
		t.Errorf("back-test %+v, forecast of the records of then %+v", got.Outcomes[0].Forecast, want.End)
	}
	if now := rateOn(then, measure.Period{First: cut.Period.First, Last: cut.On}); want.Now != shareOf(then, cut) {
		t.Errorf("now %v, rate of then %g", want.Now, now)
	}
}

func shareOf(records []record.Record, cut forecast.Cut) trend.Share {
	var tally measure.Tally
	for i := range records {
		tally.Add(measure.FootExam().Evaluate(&records[i], measure.Context{Period: measure.Period{First: cut.Period.First, Last: cut.On}}))
	}
	return trend.Share{Met: tally.Numerator, Of: tally.Denominator - tally.DenominatorExclusion - tally.Exception}
}

func TestCutsThatAreNoForecastAreLeftOut(t *testing.T) {
	records := usualWorld.run(1)[:20]
	got, err := forecast.Backtest(records, measure.FootExam(), measure.Context{}, []forecast.Cut{
		{On: when.MustDay("2025-12-31"), Period: measure.Year(2025)},
		{On: when.MustDay("2024-12-31"), Period: measure.Year(2025)},
		{On: when.MustDay("1990-06-30"), Period: measure.Year(1990)},
	}, 1, forecast.Options{Draws: 20})
	if err != nil || len(got.Outcomes) != 0 {
		t.Errorf("%+v, %v", got, err)
	}
}
