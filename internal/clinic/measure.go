package clinic

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/measure"
)

// measuresSetting lists measures and years beyond the usual ones whose results
// are kept, such as "foot-exam:2024 foot-exam:2023".
const measuresSetting = "kept-measures"

// MeasureReport is one measure over the whole panel and one year.
type MeasureReport struct {
	Measure measure.Measure
	Year    int
	// Tally counts everybody.
	Tally measure.Tally
	// People are those in the initial population and those whose record leaves
	// a doubt, in order of id. Nobody else has anything to show.
	People []MeasurePerson
}

// Measure evaluates a measure for a calendar year. The results of the usual
// measures and years are kept and only added up here; the first question for
// another year goes through every record once, which takes a while on a large
// panel and can be cancelled.
func (c *Clinic) Measure(ctx context.Context, who exam.Person, measureID string, year int) (MeasureReport, error) {
	none := MeasureReport{}
	if err := allow(who, See); err != nil {
		return none, err
	}
	m, err := measure.Find(measureID)
	if err != nil {
		return none, &Error{Code: NotFound, Message: "measure", Err: err}
	}
	if year < 1900 || year > c.Today().Year()+1 {
		return none, Errorf(Invalid, "a measure is evaluated for a year up to the next one, not %d", year)
	}
	if err := c.keepMeasure(ctx, who, m.ID, year); err != nil {
		return none, err
	}
	if err := c.Refresh(ctx); err != nil {
		return none, err
	}
	counts, err := c.Store.Counts(ctx, c.Today())
	if err != nil {
		return none, err
	}
	report := MeasureReport{Measure: m, Year: year}
	for p, err := range c.Store.Measured(ctx, m.ID, year) {
		if err != nil {
			return none, err
		}
		report.Tally.Add(p.Result)
		report.People = append(report.People, p)
	}
	report.Tally.People = counts.People
	return report, nil
}

// keptMeasures lists what is kept: the foot exam of this year and the last, and
// what was asked for beyond.
func (c *Clinic) keptMeasures(ctx context.Context) ([]keptMeasure, error) {
	asked, err := c.Store.Setting(ctx, measuresSetting)
	if err != nil {
		return nil, err
	}
	this := c.Today().Year()
	foot := measure.FootExam()
	kept := []keptMeasure{{foot, this}, {foot, this - 1}}
	for _, word := range strings.Fields(asked) {
		id, year, _ := strings.Cut(word, ":")
		m, err := measure.Find(id)
		y, notYear := strconv.Atoi(year)
		if err != nil || notYear != nil {
			continue // of a program that had it; nothing is lost by not keeping its results
		}
		if !slices.ContainsFunc(kept, func(k keptMeasure) bool { return k.ID == id && k.year == y }) {
			kept = append(kept, keptMeasure{m, y})
		}
	}
	return kept, nil
}

// keepMeasure adds a measure and year to those that are kept.
func (c *Clinic) keepMeasure(ctx context.Context, who exam.Person, id string, year int) error {
	kept, err := c.keptMeasures(ctx)
	if err != nil || slices.ContainsFunc(kept, func(k keptMeasure) bool { return k.ID == id && k.year == year }) {
		return err
	}
	asked, err := c.Store.Setting(ctx, measuresSetting)
	if err != nil {
		return err
	}
	word := fmt.Sprintf("%s:%d", id, year)
	return c.Store.SetSetting(ctx, measuresSetting, strings.TrimSpace(asked+" "+word), c.line(who, "keep measure", "", word))
}

// Summary is the programme in a few numbers.
type Summary struct {
	Counts
	// Measure counts the foot-exam measure of this year.
	Measure measure.Counts
	Year    int
	// Edition is the name of the edition in force.
	Edition string
}

// Summary counts the programme as of today. What is stale is counted as such
// and not rebuilt first.
func (c *Clinic) Summary(ctx context.Context) (Summary, error) {
	edition, err := c.Edition(ctx)
	if err != nil {
		return Summary{}, err
	}
	s := Summary{Year: c.Today().Year(), Edition: edition.Name}
	if s.Counts, err = c.Store.Counts(ctx, c.Today()); err != nil {
		return Summary{}, err
	}
	if s.Measure, err = c.Store.Tally(ctx, measure.FootExam().ID, s.Year); err != nil {
		return Summary{}, err
	}
	s.Measure.People = s.People
	return s, nil
}
