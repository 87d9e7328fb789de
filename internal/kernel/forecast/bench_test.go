package forecast_test

import (
	"testing"

	"tengram/internal/kernel/forecast"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/when"
)

// BenchmarkYearEnd forecasts a panel of 5,000 people with diabetes in June. One
// operation is one forecast.
func BenchmarkYearEnd(b *testing.B) {
	world := usualWorld
	world.people = 5000
	records := world.run(1)
	ctx := measure.Context{Period: measure.Year(2025)}
	today := when.MustDay("2025-06-30")
	for i := range records {
		records[i] = forecast.AsOf(&records[i], today)
	}
	b.ReportAllocs()
	for b.Loop() {
		f, err := forecast.YearEnd(each(records), measure.FootExam(), ctx, today, 1, forecast.Options{})
		if err != nil || !f.OK {
			b.Fatal(f, err)
		}
	}
}
