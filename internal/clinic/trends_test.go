package clinic_test

import (
	"context"
	"errors"
	"iter"
	"testing"
	"time"

	"tengram/internal/clinic"
	"tengram/internal/demo"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/forecast"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/trend"
	"tengram/internal/kernel/when"
)

// forever waits for trends until they are there.
const forever = -1

func (p *practice) trends(id string, year int) *clinic.Trends {
	p.t.Helper()
	return must[*clinic.Trends](p.t)(p.Trends(context.Background(), viewer, id, year, forever))
}

// The trends are what the kernel says of the records as they stand, put together
// here by hand.
func TestTrendsAreWhatTheRecordsSay(t *testing.T) {
	p := newPractice(t)
	ctx := context.Background()
	made := demo.Generate(7, p.Today(), demo.Options{People: 300, Zone: p.Zone})
	if err := made.Load(ctx, p.Clinic); err != nil {
		t.Fatal(err)
	}
	if err := p.SetTarget(ctx, lead, "foot-exam", 80); err != nil {
		t.Fatal(err)
	}
	m, today := measure.FootExam(), p.Today()
	in := measure.Context{Period: measure.Year(2026), Zone: p.Zone}
	toDate := in
	toDate.Period.Last = today
	series := trend.NewSeries(m, in, today, 24)
	panel := must[*forecast.Panel](t)(forecast.NewPanel(m, in, today, forecast.Options{Target: 0.8}))
	var split trend.Split
	var kept measure.Tally
	times := trend.NewTimes(when.MustDay("2025-05-05"), when.MustDay("2026-05-04"), p.Zone)
	for rec, err := range p.store.Records(ctx) {
		if err != nil {
			t.Fatal(err)
		}
		series.Add(&rec)
		panel.Add(&rec)
		times.Add(&rec)
		split.Add(m.Evaluate(&rec, in), trend.AboutOf(&rec, in.Period, p.Zone))
		kept.Add(measure.RecallKept().Evaluate(&rec, toDate))
	}
	want := panel.YearEnd(2026)

	got := p.trends("foot-exam", 2026)
	same(t, "months", got.Series.Months, series.Months)
	for _, by := range trend.Groupings() {
		same(t, "groups by "+string(by), got.Split.Groups(by), split.Groups(by))
	}
	if got.Forecast.End != want.End || got.Forecast.Reached != want.Reached || got.Forecast.Seed != 2026 {
		t.Errorf("ends at %v, reached %v, seed %d; want %v, %v", got.Forecast.End, got.Forecast.Reached, got.Forecast.Seed, want.End, want.Reached)
	}
	same(t, "people still open", got.Forecast.Open, want.Open)
	same(t, "how long a whole exam takes", got.Times.Whole(), times.Whole())
	same(t, "how long each block takes", got.Times.Blocks(), times.Blocks())
	if n := got.Times; n.Untimed != times.Untimed || n.Untimed == 0 || n.Partial == 0 || n.Whole().TooFew() {
		t.Errorf("the made-up clinic shows too little of its times: %+v", n)
	}
	same(t, "recall kept", got.RecallKept, trend.Share{Met: kept.Numerator, Of: kept.Denominator - kept.DenominatorExclusion})
	if n := got.Forecast.Now; n.Of < 20 || kept.Denominator == 0 || len(want.Open) < 10 {
		t.Fatalf("the clinic is too small to show anything: %v, %d, %d", n, kept.Denominator, len(want.Open))
	}

	report := must[clinic.MeasureReport](t)(p.Measure(ctx, viewer, "foot-exam", 2026))
	same(t, "the rate of the page", report.Share(), got.Forecast.Now)
	counted := 0
	for _, r := range report.People {
		if r.Result.Denominator && !r.Result.DenominatorExclusion {
			counted++
			if _, ok := got.About[r.Result.Patient]; !ok {
				t.Errorf("%s is counted and in no group", r.Result.Patient)
			}
		}
	}
	same(t, "people with groups", len(got.About), counted)
}

func TestTrendsAreKeptUntilTheDayOrARecordChanges(t *testing.T) {
	p := newPractice(t)
	ctx := context.Background()
	p.withDiabetes("p1")
	first := p.trends("foot-exam", 2026)
	for _, step := range []struct {
		name string
		do   func()
		new  bool
	}{
		{"nothing happened", func() {}, false},
		{"an hour went by", func() { p.clock = p.clock.Add(time.Hour) }, false},
		{"a chart was opened", func() { p.open("p1") }, false},
		{"the same export came again", func() { p.withDiabetes("p1") }, false},
		{"somebody came", func() { p.withDiabetes("p2") }, true},
		{"an exam was signed", func() { p.sign(nurse, example(normal, "p1", "e1", "2026-05-04T09:00:00-05:00")) }, true},
		{"a target was set", func() {
			if err := p.SetTarget(ctx, lead, "foot-exam", 90); err != nil {
				t.Fatal(err)
			}
		}, true},
		{"the target of another measure was set", func() {
			if err := p.SetTarget(ctx, lead, "neuro-evaluation", 90); err != nil {
				t.Fatal(err)
			}
		}, false},
		{"another year was asked for", func() { p.trends("foot-exam", 2025) }, false},
		{"the day changed", func() { p.clock = p.clock.AddDate(0, 0, 1) }, true},
	} {
		step.do()
		next := p.trends("foot-exam", 2026)
		if (next != first) != step.new {
			t.Errorf("%s: made anew is %v", step.name, next != first)
		}
		if next.On != p.Today() || next.Outdated {
			t.Errorf("%s: of %s, outdated %v", step.name, next.On, next.Outdated)
		}
		first = next
	}
	same(t, "counted", first.Forecast.Now, trend.Share{Met: 1, Of: 2})
}

// Times are of the practice and its last twelve months, whatever measure and
// year the page is of. What a signed amendment keeps is left out.
func TestTimesAreOfTheLastTwelveMonths(t *testing.T) {
	p := newPractice(t)
	p.withDiabetes("p1")
	p.withDiabetes("p2")
	timed := func(person, id, at string, s exam.Seconds) exam.Draft {
		d := example(normal, person, id, at)
		d.Seconds = s
		return d
	}
	p.sign(nurse, timed("p1", "e1", "2025-05-04T09:00:00-05:00", exam.Seconds{Ask: 500})) // a day too early
	p.sign(nurse, timed("p1", "e2", "2025-05-05T09:00:00-05:00", exam.Seconds{Ask: 60, Look: 40}))
	p.sign(nurse, timed("p1", "e3", "2026-01-05T09:00:00-06:00", exam.Seconds{}))
	for _, c := range []struct {
		measure string
		year    int
	}{{"foot-exam", 2026}, {"foot-exam", 2025}, {"foot-exam", 2027}, {"recall-kept", 2026}} {
		got := p.trends(c.measure, c.year).Times
		if got.Exams != 2 || got.Untimed != 1 || got.Whole() != (trend.Middle{Exams: 1, Low: 100, Median: 100, High: 100}) {
			t.Errorf("%s %d: %+v, whole %+v", c.measure, c.year, got, got.Whole())
		}
	}

	last := p.sign(nurse, timed("p2", "e4", "2026-05-04T09:00:00-05:00", exam.Seconds{Ask: 30, Look: 30}))
	if got := p.trends("foot-exam", 2026).Times; got.Whole().Median != 80 {
		t.Errorf("an exam of today is not in it: %+v", got.Whole())
	}
	d := must[exam.Draft](t)(p.StartAmendment(context.Background(), nurse, last.Exam.ID))
	d.Seconds.Ask += 400
	d.Note = "The left shoe is worn."
	d.Amends.Reason = "Found the shoes after signing."
	p.sign(nurse, d)
	got := p.trends("foot-exam", 2026).Times
	if got.Exams != 3 || got.Amended != 1 || got.Whole() != (trend.Middle{Exams: 1, Low: 100, Median: 100, High: 100}) {
		t.Errorf("after an amendment: %+v, whole %+v", got, got.Whole())
	}
}

func TestTrendsOfOtherYearsAndMeasures(t *testing.T) {
	p := newPractice(t)
	p.withDiabetes("p1")
	for _, c := range []struct {
		name             string
		measure          string
		year             int
		on               string
		months, forecast bool
	}{
		{"the year before is over", "foot-exam", 2025, "2025-12-31", true, false},
		{"the next year has not begun", "foot-exam", 2027, "2026-05-04", false, false},
		{"events are not forecast", "recall-kept", 2026, "2026-05-04", true, false},
		{"another thing asked for once a year is", "neuro-evaluation", 2026, "2026-05-04", true, true},
	} {
		got := p.trends(c.measure, c.year)
		if got.On != when.MustDay(c.on) || (got.Series != nil) != c.months || (got.Forecast != nil) != c.forecast {
			t.Errorf("%s: on %s, months %v, forecast %v", c.name, got.On, got.Series != nil, got.Forecast != nil)
		}
		if got.Series != nil && (len(got.Series.Months) != 24 || got.Series.Months[23].Last != got.On) {
			t.Errorf("%s: %d months", c.name, len(got.Series.Months))
		}
	}
}

// gatedStore lets its records be read when the test says so.
type gatedStore struct {
	clinic.Store
	gate chan error
}

func (g *gatedStore) Records(ctx context.Context) iter.Seq2[record.Record, error] {
	return func(yield func(record.Record, error) bool) {
		select {
		case err := <-g.gate:
			if err != nil {
				yield(record.Record{}, err)
				return
			}
		case <-ctx.Done():
			yield(record.Record{}, ctx.Err())
			return
		}
		g.Store.Records(ctx)(yield)
	}
}

func TestAPageDoesNotWaitForALargePanel(t *testing.T) {
	p := newPractice(t)
	ctx := context.Background()
	p.withDiabetes("p1")
	gated := &gatedStore{Store: p.store, gate: make(chan error)}
	p.Clinic.Store = gated
	ask := func(wait time.Duration) (*clinic.Trends, error) {
		return p.Trends(ctx, viewer, "foot-exam", 2026, wait)
	}
	if none, err := ask(0); none != nil || err != nil {
		t.Fatalf("%v, %v before anything was read", none, err)
	}
	gated.gate <- nil
	whole, err := ask(forever)
	if err != nil || whole.Outdated || whole.Forecast.Now.Of != 1 {
		t.Fatalf("%+v, %v", whole, err)
	}

	p.withDiabetes("p2")
	old, err := ask(0)
	if err != nil || !old.Outdated || old.Forecast.Now.Of != 1 {
		t.Fatalf("the last known: %+v, %v", old, err)
	}
	if whole.Outdated {
		t.Error("what another page holds was changed")
	}
	gated.gate <- nil
	if next, err := ask(forever); err != nil || next.Forecast.Now.Of != 2 {
		t.Fatalf("%+v, %v", next, err)
	}

	p.withDiabetes("p3")
	broken := errors.New("a broken disk")
	if _, err := ask(0); err != nil {
		t.Fatal(err)
	}
	gated.gate <- broken
	if _, err := ask(forever); !errors.Is(err, broken) {
		t.Fatalf("the failure is not told: %v", err)
	}
	if old, err := ask(0); err != nil || !old.Outdated {
		t.Fatalf("it is not tried again: %+v, %v", old, err)
	}

	// Nobody lets it read any more: the end of the program must not hang on it.
	p.EndWork()
	if _, err := ask(forever); !errors.Is(err, context.Canceled) {
		t.Errorf("work went on after the end: %v", err)
	}
}

func TestWhoMaySeeTrendsAndSetTargets(t *testing.T) {
	p := newPractice(t)
	ctx := context.Background()
	_, err := p.Trends(ctx, exam.Person{}, "foot-exam", 2026, forever)
	code(t, err, clinic.Forbidden)
	_, err = p.Trends(ctx, viewer, "no-such", 2026, forever)
	code(t, err, clinic.NotFound)
	_, err = p.Trends(ctx, viewer, "foot-exam", 2028, forever)
	code(t, err, clinic.Invalid)
	code(t, p.SetTarget(ctx, clinician, "foot-exam", 80), clinic.Forbidden)
	code(t, p.SetTarget(ctx, lead, "no-such", 80), clinic.NotFound)
	code(t, p.SetTarget(ctx, lead, "foot-exam", 101), clinic.Invalid)
}

func TestWhatLeavesIsWrittenDown(t *testing.T) {
	p := newPractice(t)
	ctx := context.Background()
	p.withDiabetes("p1")
	p.sign(nurse, example(normal, "p1", "e1", "2026-05-04T09:00:00-05:00"))
	_, err := p.Leave(ctx, nurse, clinic.TableForm, false, "foot-exam", 2026)
	code(t, err, clinic.Forbidden)
	before := len(p.trail())
	l := must[clinic.Leaving](t)(p.Leave(ctx, viewer, clinic.BoardForm, false, "foot-exam", 2026))
	same(t, "the rate", l.Report.Share(), trend.Share{Met: 1, Of: 1})
	if l.Trends == nil || l.Counts.People != 1 || l.LastYear.Of != 0 {
		t.Errorf("%+v", l)
	}
	must[clinic.Leaving](t)(p.Leave(ctx, viewer, clinic.SummaryForm, false, "foot-exam", 2026))
	must[clinic.Leaving](t)(p.Leave(ctx, lead, clinic.TableForm, true, "foot-exam", 2026))
	same(t, "the trail", p.trail()[before:], []string{
		"v: report board  foot-exam:2026", "v: report summary  foot-exam:2026", "l: report table  foot-exam:2026 with names",
	})
}
