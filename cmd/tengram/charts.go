package main

import (
	"bytes"
	"cmp"

	"tengram/internal/clinic"
	"tengram/internal/kernel/forecast"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/trend"
	"tengram/internal/publish/board"
	"tengram/internal/publish/chart"
	"tengram/internal/publish/fhir"
	"tengram/internal/publish/guard"
	"tengram/internal/publish/table"
	"tengram/internal/web"
)

// onPage is the paper of a picture on a page: so wide that letters stay readable
// on a phone, and two of them stand beside each other on a tablet.
var onPage = chart.Format{Wide: 440, High: 330}

// pictures draws what the pages show.
type pictures struct{}

var _ web.Charts = pictures{}

// Fan implements web.Charts.
func (pictures) Fan(id, name string, months []trend.Month, f forecast.Forecast) string {
	return onPage.Fan(id, name, months, f, f.Target).Figure()
}

// RunChart implements web.Charts.
func (pictures) RunChart(id, name string, months []trend.Month, read trend.RunChart) string {
	return onPage.RunChart(id, name, months, read).Figure()
}

// PChart implements web.Charts.
func (pictures) PChart(id, name string, months []trend.Month, read trend.PChart) string {
	return onPage.PChart(id, name, months, read).Figure()
}

// Funnel implements web.Charts.
func (pictures) Funnel(id, name, groups string, f trend.Funnel) string {
	return onPage.Funnel(id, name, groups, f).Figure()
}

// Bars implements web.Charts.
func (pictures) Bars(id, title string, bars []web.Bar) string {
	list := make([]chart.Bar, len(bars))
	for i, b := range bars {
		list[i] = chart.Bar(b)
	}
	return chart.Bars(id, title, list).Figure()
}

// unnamed stands where a practice has not said its name.
const unnamed = "Unnamed practice"

// reports writes what leaves from the measure page.
type reports struct{}

var _ web.Reports = reports{}

// Summary implements web.Reports.
func (reports) Summary(l clinic.Leaving) ([]byte, error) {
	doc, _, err := fhir.Summary(l.Report.Measure, l.Report.Period(), l.Report.Tally, fhir.ReportOptions{At: l.At, Reporter: cmp.Or(l.Practice, unnamed), Mask: true})
	return doc, err
}

// Table implements web.Reports.
func (reports) Table(l clinic.Leaving, names bool) ([]byte, error) {
	var out bytes.Buffer
	w, err := table.NewWriter(&out, l.Report.Measure, table.Options{Names: names, Pseudonym: guard.Pseudonym{}})
	if err != nil {
		return nil, err
	}
	for _, p := range l.Report.People {
		if err := w.Add(p.Result, record.Person{Family: p.Standing.Family, Given: p.Standing.Given}); err != nil {
			return nil, err
		}
	}
	err = w.Close()
	return out.Bytes(), err
}

// Board implements web.Reports.
func (reports) Board(l clinic.Leaving) ([]byte, error) {
	var out bytes.Buffer
	err := board.Render(&out, boardOf(l))
	return out.Bytes(), err
}

// boardOf turns what the clinic gathered into a report without names.
func boardOf(l clinic.Leaving) board.Input {
	t, n := l.Trends, l.Counts
	in := board.Input{
		Practice: cmp.Or(l.Practice, unnamed), On: t.On, Measure: t.Measure, Now: l.Report.Share(), LastYear: l.LastYear,
		Forecast: t.Forecast, Sites: t.Split.Groups(trend.BySite), RecallKept: t.RecallKept, Page: "the page Measure of this program",
		Counts: board.Counts{
			Diabetes: n.Diabetes, Due: n.Due, Overdue: n.Overdue, NeverExamined: n.NeverExamined,
			ByRisk: n.ByRisk[:], RiskNames: l.RiskNames, Unsettled: n.Unsettled,
			OpenUlcers: n.OpenUlcers, OpenReferrals: n.OpenReferrals, LateReferrals: n.LateReferrals,
		},
	}
	if t.Series != nil {
		in.Months = t.Series.Months
	}
	if t.Forecast != nil {
		in.Target = t.Forecast.Target
	}
	return in
}
