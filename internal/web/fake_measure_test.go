package web

import (
	"context"
	"fmt"
	"time"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/forecast"
	"tengram/internal/kernel/trend"
)

// fakeTrends is what the fake clinic knows beyond the report.
type fakeTrends struct {
	trends *clinic.Trends
	// target and left are what was asked of it.
	target int
	left   []string
}

func (f *fakeClinic) Trends(_ context.Context, _ exam.Person, _ string, _ int, wait time.Duration) (*clinic.Trends, error) {
	if wait < 0 {
		panic("a page waits without end")
	}
	return f.trends, f.fail
}

func (f *fakeClinic) SetTarget(_ context.Context, who exam.Person, _ string, percent int) error {
	if !clinic.May(who, clinic.Decide) {
		return clinic.Errorf(clinic.Forbidden, "not yours to decide")
	}
	f.target = percent
	return f.fail
}

func (f *fakeClinic) Leave(_ context.Context, who exam.Person, form clinic.Form, names bool, id string, year int) (clinic.Leaving, error) {
	if form == clinic.TableForm && !clinic.May(who, clinic.Take) {
		return clinic.Leaving{}, clinic.Errorf(clinic.Forbidden, "not yours to take")
	}
	f.left = append(f.left, fmt.Sprintf("%s %v %s %d", form, names, id, year))
	return clinic.Leaving{Report: f.report, Trends: f.trends}, f.fail
}

// fakeCharts says what it was asked to draw.
type fakeCharts struct{}

func drawn(id, words string, n int) string {
	return fmt.Sprintf(`<figure id="%s">%s, %d</figure>`, id, words, n)
}

func (fakeCharts) Fan(id, _ string, months []trend.Month, _ forecast.Forecast) string {
	return drawn(id, "fan", len(months))
}

func (fakeCharts) RunChart(id, _ string, months []trend.Month, _ trend.RunChart) string {
	return drawn(id, "run", len(months))
}

func (fakeCharts) PChart(id, _ string, months []trend.Month, _ trend.PChart) string {
	return drawn(id, "p", len(months))
}

func (fakeCharts) Funnel(id, _, groups string, f trend.Funnel) string {
	return drawn(id, "funnel of "+groups, len(f.Groups))
}

func (fakeCharts) Bars(id, title string, bars []Bar) string { return drawn(id, title, len(bars)) }

// fakeReports writes which form it was asked for.
type fakeReports struct{}

func (fakeReports) Summary(clinic.Leaving) ([]byte, error) { return []byte("summary"), nil }

func (fakeReports) Table(_ clinic.Leaving, names bool) ([]byte, error) {
	return fmt.Appendf(nil, "table, names %v", names), nil
}

func (fakeReports) Board(l clinic.Leaving) ([]byte, error) { return []byte("board"), nil }
