package web

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/forecast"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/trend"
	"tengram/internal/kernel/when"
)

// shownClosest is how many people stand in the section of those who are closest
// to closing; the rest are a list of its own.
const shownClosest = 10

// closestID is the name of that list in the address.
const closestID = "closest"

// trendsView is what the measure page says beyond the counts. Pictures are safe
// HTML, empty where there is none.
type trendsView struct {
	// Trends is nil while they are worked out for the first time.
	Trends *clinic.Trends
	Fan    string
	// Months is set where the months can be read as a run.
	Months *monthsView
	// Closest are the first people to call; Listed a page of the whole list,
	// where that is open.
	Closest, Listed []closestView
	// Missing is a picture of what the open gaps lack.
	Missing string
	Groups  []groupsView
}

// monthsView is the opportunities month by month.
type monthsView struct {
	Run, Chart         string
	RunWhy, ChartWhy   source.Because
	Signals            []string
	TooShort, AnyPoint bool
}

// closestView is one person whose gap is open, with what the record says of them.
type closestView struct {
	forecast.Open
	Standing clinic.Standing
}

// groupsView is one grouping: its rows and, for a few, its funnel.
type groupsView struct {
	By     trend.By
	Name   string
	Rows   []trend.Group
	Funnel string
	Why    source.Because
}

// Working reports that the trends are being worked out for the first time.
func (v *trendsView) Working() bool { return v.Trends == nil }

// place is a part of the page to go to.
type place struct{ id, name string }

// places lists the parts that the page has.
func (v *measureView) places() []place {
	var list []place
	add := func(there bool, id, name string) {
		if there {
			list = append(list, place{id, name})
		}
	}
	t := v.Trends
	add(t != nil && t.Forecast != nil, "year", "Where the year will end")
	add(v.Months != nil, "months", "Month by month")
	add(len(v.Closest) > 0, closestID, "Closest to closing")
	add(len(v.Groups) > 0, "groups", "Groups")
	add(t != nil, "times", "How long an exam takes")
	add(true, "people", "People")
	add(v.Reports, "reports", "Reports")
	return list
}

func (s *site) trends(ctx context.Context, who exam.Person, report clinic.MeasureReport) (trendsView, error) {
	m := report.Measure
	t, err := s.Clinic.Trends(ctx, who, m.ID, report.Year, trendPatience)
	v := trendsView{Trends: t}
	if err != nil || t == nil {
		return v, err
	}
	charts := s.Charts
	if charts == nil {
		charts = noCharts{}
	}
	if f := t.Forecast; f != nil {
		v.Fan = charts.Fan("fan", m.Title, monthsOf(t), *f)
		first := f.Open[:min(shownClosest, len(f.Open))]
		if v.Closest, err = s.closest(ctx, who, first); err != nil {
			return v, err
		}
	}
	v.Months = months(t, charts)
	if bars := missing(report); len(bars) > 0 {
		v.Missing = charts.Bars("missing", "What is missing", bars)
	}
	v.Groups = groups(t, charts)
	return v, nil
}

// monthsOf are the months of the year itself.
func monthsOf(t *clinic.Trends) []trend.Month {
	var out []trend.Month
	for _, m := range t.Series.Months {
		if m.First.Year() == t.Year {
			out = append(out, m)
		}
	}
	return out
}

// months reads the whole months of a measure that has months of its own.
func months(t *clinic.Trends, charts Charts) *monthsView {
	if t.Series == nil || t.Series.Kind == trend.ToDateOnly {
		return nil
	}
	var whole []trend.Month
	for _, m := range t.Series.Months {
		if !m.Partial {
			whole = append(whole, m)
		}
	}
	points := t.Series.Opportunities()
	v := &monthsView{AnyPoint: slices.ContainsFunc(points, func(p trend.Share) bool { return p.Of > 0 })}
	if !v.AnyPoint {
		return v
	}
	run, chart := trend.Run(points, false), trend.Chart(points, 0, false)
	v.Run, v.Chart = charts.RunChart("run", t.Measure.Title, whole, run), charts.PChart("p", t.Measure.Title, whole, chart)
	v.RunWhy, v.ChartWhy, v.TooShort = run.Because, chart.Because, run.TooShort
	for _, s := range slices.Concat(run.Signals, chart.Signals) {
		v.Signals = append(v.Signals, signalWords(s, whole))
	}
	return v
}

// signalWords tells one signal with its months.
func signalWords(s trend.Signal, months []trend.Month) string {
	if s.Rule == trend.Crossings {
		return sentence(s.Says) + "."
	}
	at := monthName(months[s.From].First)
	if s.To > s.From {
		at += " to " + monthName(months[s.To].First)
	}
	return at + ": " + s.Says + "."
}

func monthName(d when.Day) string {
	y, m, _ := d.YMD()
	return fmt.Sprintf("%s %d", m, y)
}

// missing counts what the people who are counted and not met lack.
func missing(report clinic.MeasureReport) []Bar {
	var bars []Bar
	for _, p := range report.People {
		if !isCounted(p.Result) || p.Result.Numerator {
			continue
		}
		for _, g := range p.Result.Gaps {
			name := sentence(strings.ReplaceAll(g.Part, "-", " "))
			if i := slices.IndexFunc(bars, func(b Bar) bool { return b.Name == name }); i >= 0 {
				bars[i].Count++
			} else {
				bars = append(bars, Bar{name, 1})
			}
		}
	}
	slices.SortFunc(bars, func(a, b Bar) int { return cmp.Or(cmp.Compare(b.Count, a.Count), cmp.Compare(a.Name, b.Name)) })
	return bars
}

// groups lists every grouping in which there is more than one group.
func groups(t *clinic.Trends, charts Charts) []groupsView {
	var out []groupsView
	for _, by := range trend.Groupings() {
		g := groupsView{By: by, Name: groupingWords(by), Rows: t.Split.Groups(by)}
		if len(g.Rows) < 2 {
			continue
		}
		if by == trend.ByClinician || by == trend.BySite {
			f := trend.Spread(g.Rows)
			g.Funnel, g.Why = charts.Funnel("funnel-"+string(by), t.Measure.Title, string(by)+"s", f), f.Because
		}
		out = append(out, g)
	}
	return out
}

func groupingWords(by trend.By) string {
	switch by {
	case trend.ByAge:
		return "Age on 1 January"
	case trend.ByPayer:
		return "Payer"
	}
	return sentence(string(by))
}

// closest joins the names.
func (s *site) closest(ctx context.Context, who exam.Person, open []forecast.Open) ([]closestView, error) {
	if len(open) == 0 {
		return nil, nil
	}
	ids := make([]string, len(open))
	for i, o := range open {
		ids[i] = o.Person
	}
	rows, _, err := s.Clinic.Panel(ctx, who, clinic.PanelQuery{People: ids})
	if err != nil {
		return nil, err
	}
	list := make([]closestView, len(open))
	for i, o := range open {
		list[i] = closestView{o, clinic.Standing{Person: o.Person}}
		if n := slices.IndexFunc(rows, func(r clinic.Standing) bool { return r.Person == o.Person }); n >= 0 {
			list[i].Standing = rows[n]
		}
	}
	return list, nil
}

// closestPage is the whole list, a page of it.
func (s *site) closestPage(ctx context.Context, who exam.Person, v *measureView) error {
	v.Cell = cellView{ID: closestID, Name: "Closest to closing", Says: "Who is booked by the day, then who will likeliest come and have it done."}
	if v.Trends == nil || v.Trends.Forecast == nil {
		v.turn(0)
		return nil
	}
	open := v.Trends.Forecast.Open
	v.Cell.Count = len(open)
	from, to := v.turn(len(open))
	var err error
	v.Listed, err = s.closest(ctx, who, open[from:to])
	return err
}

// comesWords says when somebody is seen next, and when they were last.
func comesWords(c closestView, today when.Day) string {
	switch {
	case !c.Booked.IsZero():
		return "Comes " + day(c.Booked) + ", " + since(c.Booked, today) + "."
	case !c.LastVisit.IsZero():
		return "No visit is booked; last here " + day(c.LastVisit) + "."
	}
	return "No visit is booked, and none is on record."
}

// endWords says where the year ends, and how surely.
func endWords(f forecast.Forecast) string {
	says := fmt.Sprintf("Between %s and %s in 80 of 100 simulated years. About %s will still meet it, and %s more will be counted.",
		percent(f.End.In80.Low), percent(f.End.In80.High),
		counted(round(f.MoreMet), "person"), thousands(round(f.MoreCounted)))
	if f.Target > 0 {
		says += fmt.Sprintf(" The target of %s is reached in %s.", percentWhole(f.Target), chanceWords(f.Reached))
	}
	return says
}

// chanceWords is the share of draws in which somebody is closed.
func chanceWords(chance float64) string { return fmt.Sprintf("%.0f of 100", 100*chance) }

// intervalWords writes an interval of a rate.
func intervalWords(i trend.Interval) string {
	return fmt.Sprintf("%.0f to %.0f %%", 100*i.Low, 100*i.High)
}

// shareRate is the rate of a group, or that there is none.
func shareRate(s trend.Share) string {
	rate, ok := s.Rate()
	if !ok {
		return "none"
	}
	return percent(rate)
}

// lacks names what is missing of somebody, with the sentence of each part.
func lacks(gaps []measure.Gap) string {
	if len(gaps) == 0 {
		return "Nothing is missing but a visit."
	}
	return "Missing: " + partsOf(gaps) + "."
}

// noCharts is a page without pictures.
type noCharts struct{}

func (noCharts) Fan(string, string, []trend.Month, forecast.Forecast) string   { return "" }
func (noCharts) RunChart(string, string, []trend.Month, trend.RunChart) string { return "" }
func (noCharts) PChart(string, string, []trend.Month, trend.PChart) string     { return "" }
func (noCharts) Funnel(string, string, string, trend.Funnel) string            { return "" }
func (noCharts) Bars(string, string, []Bar) string                             { return "" }

// yearlyAct lets the template name the kind.
const yearlyAct = trend.YearlyAct

func round(v float64) int { return int(math.Round(v)) }

func percentWhole(rate float64) string { return fmt.Sprintf("%d %%", round(100*rate)) }

func isAre(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}

// lowered is a heading inside another: "not met yet".
func lowered(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToLower(r)) + s[n:]
}

// whoWords reads a number of a group aloud.
func whoWords(who string) string {
	if who == "met" {
		return "met"
	}
	return "not met"
}
