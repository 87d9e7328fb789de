// Package board writes the foot programme on one page for people who run a
// practice and see no patients: where the rate stands and will end, whether it
// changes, which site differs, and what is late.
//
// No name and no id of a person is in it, and no count so small that it could
// point at somebody. The page is written twice from one content: as HTML, which
// is the accessible form, and as a PDF for print.
package board

import (
	"fmt"
	"strconv"

	"tengram/internal/kernel/forecast"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/trend"
	"tengram/internal/kernel/when"
	"tengram/internal/publish/chart"
)

// Input is what the report is made of. Nothing in it is about one person.
type Input struct {
	// Practice is the practice's name, On the day of the report.
	Practice string
	On       when.Day
	// Measure is the yearly measure, Now its share of the year so far and
	// LastYear that of the whole year before; both may be of nobody.
	Measure       measure.Measure
	Now, LastYear trend.Share
	// Months are the months of a series that ends with today.
	Months []trend.Month
	// Forecast is that of the year; nil for none.
	Forecast *forecast.Forecast
	// Target is a rate between 0 and 1, 0 for none.
	Target float64
	// Sites are the groups by site.
	Sites []trend.Group
	// RecallKept is the share of people seen again within the interval of their
	// risk category, of those whose interval ended this year.
	RecallKept trend.Share
	Counts     Counts
	// Page is where the accessible form is found, such as "the page Measure".
	Page string
}

// Counts are the numbers of the programme today.
type Counts struct {
	// Diabetes are the people who are called; the next four are parts of them.
	Diabetes, Due, Overdue, NeverExamined int
	// ByRisk counts settled categories by rank, with names in RiskNames;
	// Unsettled lies between two.
	ByRisk    []int
	RiskNames []string
	Unsettled int
	// OpenUlcers counts ulcers, OpenReferrals and LateReferrals referrals, the
	// late a part of the open.
	OpenUlcers, OpenReferrals, LateReferrals int
}

// The paper of the pictures: half a page wide.
var (
	wide = chart.Format{Wide: 430, High: 190, Bare: true}
	flat = chart.Format{Wide: 430, High: 178, Bare: true}
)

// content is the report in words, guarded.
type content struct {
	title, subtitle string
	// rate is the rate in large letters, and year what it means.
	rate, year string
	// drawings are the pictures with their captions, the year first.
	drawings []chart.Drawing
	sites    chart.Table
	// siteWords stand below the table of sites.
	siteWords string
	funnel    *chart.Drawing
	numbers   []section
	notes     []string
}

// section is a heading with rows of name and number.
type section struct {
	name string
	rows [][2]string
}

// compose turns the input into words and pictures.
func compose(in Input) content {
	c := content{
		title:    "Diabetes foot care",
		subtitle: "Report of " + in.Practice + " as of " + dayWords(in.On),
		rate:     "—",
	}
	now := guarded(in.Now)
	if rate, ok := now.Rate(); ok {
		c.rate = percent(rate)
	}
	c.year = yearWords(in, now)
	c.drawYear(in, now)
	c.drawMonths(in)
	c.bySite(in)
	c.programme(in)
	c.notes = []string{
		"No names and no record numbers are in this report. Counts of 1 to " + strconv.Itoa(trend.LeastShown-1) +
			" people are not shown, nor numbers from which they could be worked out.",
		in.Measure.Title + " (" + in.Measure.Version + "): " + in.Measure.Text,
		"The figures come from the practice's own record and are no result of a payment programme. " +
			"They support, and do not replace, clinical judgement and local protocols.",
	}
	return c
}

// guarded is one share as a table of one row.
func guarded(s trend.Share) trend.GuardedGroup {
	return trend.Guard([]trend.Group{{Share: s}}, trend.LeastShown).Total
}

func yearWords(in Input, now trend.GuardedGroup) string {
	year := strconv.Itoa(in.On.Year())
	rate, ok := now.Rate()
	if !ok {
		if in.Now.Of == 0 {
			return in.Measure.Title + ", " + year + ": nobody is counted yet."
		}
		return in.Measure.Title + ", " + year + ": too few people to show a rate."
	}
	says := fmt.Sprintf("%s, %s so far: %d of %d people (%s). ", in.Measure.Title, year, now.Met, now.Of, percent(rate))
	if last, ok := guarded(in.LastYear).Rate(); ok {
		says += fmt.Sprintf("The whole of %d ended at %s. ", in.On.Year()-1, percent(last))
	}
	if f := in.Forecast; f != nil && f.OK && f.Today < f.Period.Last {
		says += fmt.Sprintf("The year is expected to end near %s, in 80 of 100 simulated years between %s and %s. ",
			percent(f.End.Median), percent(f.End.In80.Low), percent(f.End.In80.High))
		if f.Target > 0 {
			says += fmt.Sprintf("The target of %s was reached in %s. ", percent(f.Target), ofHundred(f.Reached))
		}
	}
	return says
}

func ofHundred(share float64) string { return fmt.Sprintf("%.0f of 100", 100*share) }

// drawYear draws the year to date and the forecast. Months in which the counts
// are small are left out of the line.
func (c *content) drawYear(in Input, now trend.GuardedGroup) {
	if _, ok := now.Rate(); !ok || in.Forecast == nil || !in.Forecast.OK {
		return
	}
	var months []trend.Month
	for _, m := range in.Months {
		g := guarded(m.ToDate)
		if _, ok := g.Rate(); ok && m.First >= in.Forecast.Period.First && m.First <= in.Forecast.Period.Last {
			months = append(months, m)
		}
	}
	d := wide.Fan("year", in.Measure.Title, months, *in.Forecast, in.Target)
	d.Title = "Where the year will end"
	d.Says = "Line: the rate from January to each day. Dashes: the middle of the simulated years; dark and light: 80 and 95 of 100 of them."
	if in.Target > 0 {
		d.Says += " Dots: the target."
	}
	d.Table.Caption = d.Title
	c.drawings = append(c.drawings, d)
}

// drawMonths draws what was done of what was due, by month if the counts are
// large enough, else by quarter or half-year, else not at all.
func (c *content) drawMonths(in Input) {
	var whole []trend.Month
	for _, m := range in.Months {
		if !m.Partial {
			whole = append(whole, m)
		}
	}
	for _, of := range []struct {
		months int
		name   string
	}{{1, "month"}, {3, "quarter"}, {6, "half-year"}} {
		points := together(whole, of.months)
		if len(points) < 3 || !shown(points) {
			continue
		}
		var shares []trend.Share
		for _, p := range points {
			shares = append(shares, p.Done)
		}
		limits := trend.Chart(shares, 0, false)
		d := wide.PChart("months", in.Measure.Title, points, limits)
		d.Title = "What was due and done, by " + of.name
		d.Says = "Of the people who came while the exam was due, those who had it. Dots: the limits of chance. " + changeWords(trend.Run(shares, false), limits, points)
		d.Table.Caption = d.Title
		c.drawings = append(c.drawings, d)
		return
	}
}

// changeWords says whether anything but chance shows.
func changeWords(run trend.RunChart, limits trend.PChart, points []trend.Month) string {
	says := ""
	for _, s := range run.Signals {
		if s.Rule == trend.Shift {
			says += fmt.Sprintf("A shift: %s, %s to %s. ", s.Says, monthWords(points[s.From].First), monthWords(points[s.To].Last))
		}
	}
	for _, s := range limits.Signals {
		says += fmt.Sprintf("%s lies %s. ", monthWords(points[s.From].Last), s.Says)
	}
	if says == "" && run.TooShort {
		return "There are too few points to read a run, and none lies beyond the limits."
	}
	if says == "" {
		return "Nothing but chance shows."
	}
	return says
}

// together adds up whole groups of so many months, the newest group last.
func together(months []trend.Month, n int) []trend.Month {
	var out []trend.Month
	for i := len(months) % n; i+n <= len(months); i += n {
		group := trend.Month{First: months[i].First, Last: months[i+n-1].Last}
		for _, m := range months[i : i+n] {
			group.Done = group.Done.Plus(m.Done)
		}
		out = append(out, group)
	}
	return out
}

func shown(points []trend.Month) bool {
	for _, p := range points {
		if p.Done.Of > 0 {
			if _, ok := guarded(p.Done).Rate(); !ok {
				return false
			}
		}
	}
	return true
}
