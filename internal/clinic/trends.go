package clinic

import (
	"context"
	"fmt"
	"strconv"
	"time"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/forecast"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/trend"
	"tengram/internal/kernel/when"
)

// trendMonths is how many months a series has: two years show a change from one
// year to the next. Our choice.
const trendMonths = 24

// timesMonths is of how many months the exams are whose times are told: a year
// has enough of them in a small practice. Our choice.
const timesMonths = 12

// Trends is what one measure says of a year beyond its counts: how it moved, how
// groups differ, and where it will end. It is made from every record at once and
// kept until the day or a record changes.
type Trends struct {
	Measure measure.Measure
	Year    int
	// On is the last day that was looked at: today, or the end of an earlier
	// year. A year that has not begun has neither series nor forecast.
	On when.Day
	// Series ends with the month of On; nil for none.
	Series *trend.Series
	// Forecast is nil for a year that is over and for a measure that is not
	// asked for once a year at visits.
	Forecast *forecast.Forecast
	// Split counts the people of the rate by group, and About is the groups of
	// each of them by id.
	Split trend.Split
	About map[string]trend.About
	// RecallKept is the share of people seen again within the interval of their
	// category, of those whose interval ended in the year.
	RecallKept trend.Share
	// Times is how long the exams of the last twelve months took, to today and
	// not to the end of the year. It is of the practice as a whole: nothing here
	// tells one examiner from another.
	Times trend.Times
	// Unread counts records that could not be read and are not in it.
	Unread int
	// Outdated: a record or the day has changed since, and it is being made
	// again.
	Outdated bool
}

// Trends returns the trends of a measure for a calendar year. What is kept and
// still holds is returned at once. Otherwise they are made beside the request,
// for which it waits so long and no longer; a negative wait is one without end.
// After it the last known ones are returned, marked as outdated, or nil where
// there are none yet: the answer is then being made, and to be asked for again.
func (c *Clinic) Trends(ctx context.Context, who exam.Person, measureID string, year int, wait time.Duration) (*Trends, error) {
	if err := allow(who, See); err != nil {
		return nil, err
	}
	m, err := measure.Find(measureID)
	if err != nil {
		return nil, &Error{Code: NotFound, Message: "measure", Err: err}
	}
	if year < 1900 || year > c.Today().Year()+1 {
		return nil, Errorf(Invalid, "a measure is evaluated for a year up to the next one, not %d", year)
	}
	state, err := c.trendState(ctx, m)
	if err != nil {
		return nil, err
	}
	return c.desk.get(ctx, trendKey{m.ID, year}, state, wait, func(ctx context.Context) (*Trends, error) {
		return c.makeTrends(ctx, m, year, state)
	})
}

// EndWork stops what is made beside the requests and waits for it. Nothing is
// begun after it.
func (c *Clinic) EndWork() { c.desk.end() }

// trendState is what trends hold for: they are made again when it changes.
type trendState struct {
	today   when.Day
	changes int64
	target  float64
}

// serves reports whether what was made for a state answers a question of another:
// of the same day and target, and no record changed since.
func (s trendState) serves(asked trendState) bool {
	return s.today == asked.today && s.target == asked.target && s.changes >= asked.changes
}

func (c *Clinic) trendState(ctx context.Context, m measure.Measure) (trendState, error) {
	s := trendState{today: c.Today()}
	var err error
	if s.changes, err = c.Store.Changes(ctx); err != nil {
		return s, err
	}
	s.target, err = c.target(ctx, m.ID)
	return s, err
}

// makeTrends goes through every record once.
func (c *Clinic) makeTrends(ctx context.Context, m measure.Measure, year int, state trendState) (*Trends, error) {
	in := measure.Context{Period: measure.Year(year), Zone: c.Zone}
	t := &Trends{Measure: m, Year: year, On: min(state.today, in.Period.Last), About: map[string]trend.About{}}
	t.Times = trend.NewTimes(state.today.AddMonths(-timesMonths)+1, state.today, c.Zone)
	begun := t.On >= in.Period.First
	if begun {
		t.Series = trend.NewSeries(m, in, t.On, trendMonths)
	}
	var panel *forecast.Panel
	if begun && t.On < in.Period.Last {
		panel, _ = forecast.NewPanel(m, in, t.On, forecast.Options{Target: state.target}) // none for a measure that is not forecast
	}
	kept, soFar := measure.RecallKept(), in
	soFar.Period.Last = t.On
	same := words{}
	for rec, err := range c.Store.Records(ctx) {
		switch {
		case err == nil:
		case rec.Person.ID == "": // the walk itself broke off
			return nil, err
		default:
			t.Unread++
			continue
		}
		if begun {
			t.Series.Add(&rec)
			t.RecallKept = t.RecallKept.Plus(shareOf(kept.Evaluate(&rec, soFar)))
		}
		if panel != nil {
			panel.Add(&rec)
		}
		t.Times.Add(&rec)
		t.sort(&rec, in, same)
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if panel != nil {
		// The seed is the year: the same all year long, so that two days differ by
		// what happened and not by the dice.
		f := panel.YearEnd(uint64(year))
		t.Forecast = &f
	}
	return t, nil
}

// sort puts a person into their groups.
func (t *Trends) sort(rec *record.Record, in measure.Context, same words) {
	result := t.Measure.Evaluate(rec, in)
	if shareOf(result).Of == 0 {
		return
	}
	about := trend.AboutOf(rec, in.Period, in.Zone)
	t.Split.Add(result, about)
	for _, s := range []*string{&about.Clinician, &about.Site, &about.Age, &about.Sex, &about.Payer, &about.Language} {
		*s = same.one(*s)
	}
	t.About[rec.Person.ID] = about
}

// words keeps one copy of each word, since a panel has few names of groups and
// many people.
type words map[string]string

func (w words) one(s string) string {
	if kept, ok := w[s]; ok {
		return kept
	}
	w[s] = s
	return s
}

// shareOf is what one result adds to a rate.
func shareOf(r measure.Result) (s trend.Share) {
	if r.Denominator && !r.DenominatorExclusion && !r.Exception {
		s.Of = 1
		if r.Numerator {
			s.Met = 1
		}
	}
	return s
}

// targetSetting names the rate that the practice wants of a measure, in
// percent.
func targetSetting(measureID string) string { return "target-" + measureID }

// target is the rate that the practice wants of a measure, between 0 and 1; 0
// for none.
func (c *Clinic) target(ctx context.Context, measureID string) (float64, error) {
	text, err := c.Store.Setting(ctx, targetSetting(measureID))
	if err != nil || text == "" {
		return 0, err
	}
	percent, err := strconv.Atoi(text)
	if err != nil || percent < 1 || percent > 100 {
		return 0, Errorf(Invalid, "the setting %s is not a whole number from 1 to 100: set the target again", targetSetting(measureID))
	}
	return float64(percent) / 100, nil
}

// SetTarget keeps the rate that the practice wants of a measure, in whole
// percent; 0 is none.
func (c *Clinic) SetTarget(ctx context.Context, who exam.Person, measureID string, percent int) error {
	if err := allow(who, Decide); err != nil {
		return err
	}
	if _, err := measure.Find(measureID); err != nil {
		return &Error{Code: NotFound, Message: "measure", Err: err}
	}
	if percent < 0 || percent > 100 {
		return Errorf(Invalid, "a target is a whole number of percent from 1 to 100, or nothing for none")
	}
	text := ""
	if percent > 0 {
		text = fmt.Sprint(percent)
	}
	return c.Store.SetSetting(ctx, targetSetting(measureID), text, c.line(who, "set target", "", measureID+" "+text))
}
