package clinic

import (
	"context"
	"fmt"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/risk"
	"tengram/internal/kernel/trend"
	"tengram/internal/kernel/when"
)

// Form is a form in which a measure leaves the practice.
type Form string

// The forms. SummaryForm and BoardForm hold counts only; TableForm has a line for every
// person, and needs the right to take records.
const (
	SummaryForm Form = "summary"
	BoardForm   Form = "board"
	TableForm   Form = "table"
)

// Leaving is what a report of a measure is made of.
type Leaving struct {
	// Practice is the practice's name, empty where it has none; At is when the
	// report is made.
	Practice string
	At       when.Moment
	Report   MeasureReport
	// The rest is for a board only.
	Trends   *Trends
	LastYear trend.Share
	Counts   Counts
	// RiskNames are the categories of the edition in force, by rank.
	RiskNames []string
}

// Leave gathers what a report of a measure is made of, and writes into the audit
// trail that it leaves. names says that a table will hold names.
func (c *Clinic) Leave(ctx context.Context, who exam.Person, form Form, names bool, measureID string, year int) (Leaving, error) {
	act := See
	if form == TableForm {
		act = Take
	}
	if err := allow(who, act); err != nil {
		return Leaving{}, err
	}
	l := Leaving{At: c.Moment()}
	var err error
	if l.Report, err = c.Measure(ctx, who, measureID, year); err != nil {
		return l, err
	}
	settings, err := c.Settings(ctx)
	if err != nil {
		return l, err
	}
	l.Practice = settings.Practice
	if form == BoardForm {
		if err := c.forBoard(ctx, who, &l); err != nil {
			return l, err
		}
	}
	object := fmt.Sprintf("%s:%d", measureID, year)
	if names {
		object += " with names"
	}
	return l, c.Store.KeepAudit(ctx, c.line(who, "report "+string(form), "", object))
}

func (c *Clinic) forBoard(ctx context.Context, who exam.Person, l *Leaving) error {
	id, year := l.Report.Measure.ID, l.Report.Year
	var err error
	if l.Trends, err = c.Trends(ctx, who, id, year, -1); err != nil {
		return err
	}
	last, err := c.Measure(ctx, who, id, year-1)
	if err != nil {
		return err
	}
	l.LastYear = countsShare(last.Tally.Counts)
	if l.Counts, err = c.Store.Counts(ctx, c.Today()); err != nil {
		return err
	}
	edition, err := c.Edition(ctx)
	if err != nil {
		return err
	}
	system, _ := risk.ByID(edition.Risk)
	for _, category := range system.Categories {
		l.RiskNames = append(l.RiskNames, category.Code+", "+category.Name)
	}
	return nil
}

// Period is the year of the report.
func (r MeasureReport) Period() measure.Period { return measure.Year(r.Year) }

// Share is the rate of a measure as the two counts that it is made of.
func (r MeasureReport) Share() trend.Share { return countsShare(r.Tally.Counts) }

func countsShare(n measure.Counts) trend.Share {
	return trend.Share{Met: n.Numerator, Of: n.Denominator - n.DenominatorExclusion - n.Exception}
}
