package demo_test

import (
	"testing"

	"tengram/internal/demo"
	"tengram/internal/kernel/forecast"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/when"
)

// The clinic's year is over on its last day, so forecasts made through the year
// can be held against what came. The clinic was made without a thought of the
// forecast, and differently: so many people are examined in the year, each at
// one of their visits. It is no evidence about real practices, of which each has
// its own history to test on.
func TestForecastsOfTheDemoClinicHold(t *testing.T) {
	var all, late forecast.Coverage
	const clinics = 3
	for seed := range uint64(clinics) {
		recs := records(t, demo.Generate(seed+1, when.MustDay("2026-12-31"), demo.Options{}))
		for _, on := range []string{"2026-03-31", "2026-05-31", "2026-07-31", "2026-09-30", "2026-10-31", "2026-11-24"} {
			got, err := forecast.Backtest(recs, measure.FootExam(), measure.Context{}, []forecast.Cut{{On: when.MustDay(on), Period: measure.Year(2026)}}, 1, forecast.Options{Draws: 500})
			if err != nil {
				t.Fatal(err)
			}
			o := got.Outcomes[0]
			rate, _ := o.Actual.Rate()
			t.Logf("clinic %d from %s: %.3f, 80 of 100 between %.3f and %.3f, 95 between %.3f and %.3f; came %.3f of %d people",
				seed+1, on, o.Forecast.Median, o.Forecast.In80.Low, o.Forecast.In80.High, o.Forecast.In95.Low, o.Forecast.In95.High, rate, o.Actual.Of)
			all.Merge(got)
			if on >= "2026-10" {
				late.Merge(got)
			}
		}
	}
	n := len(all.Outcomes)
	t.Logf("the 80 %% limits held %d of %d times, the 95 %% limits %d; off by %.3f on average, too high by %+.3f", all.In80, n, all.In95, all.OffBy, all.TooHigh)
	if all.In80*100 < 80*n || all.In95*100 < 95*n {
		t.Errorf("the 80 %% limits held %d and the 95 %% limits %d of %d times", all.In80, all.In95, n)
	}
	if all.OffBy > 0.05 || late.OffBy > 0.02 {
		t.Errorf("off by %.3f on average, and in the last quarter by %.3f", all.OffBy, late.OffBy)
	}
}
